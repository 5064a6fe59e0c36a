package cutting

import (
	"math"

	"secondop/thermal/material"
)

// Engagement returns the angle in rad over which a tooth is in the cut when an
// end mill of diameter D cuts a strip of radial width ae along its side,
//
//	φs = acos(1 − 2·ae/D)
//
// It holds for 0 < ae <= D with the cutter's centre outside the wall or on it
// (a pocket wall, a contour, a slot), not for a face mill centred on a narrower
// strip. Source: Dietrich/Tschätsch, Praxis der Zerspantechnik, 2014.
func Engagement(widthMM, diameterMM float64) float64 {
	return math.Acos(max(-1, 1-2*widthMM/diameterMM))
}

// MeanChip returns the mean uncut chip thickness in mm over that angle,
// hm = 2·fz·ae/(D·φs). Source: Palbit catalogue p.128.
func MeanChip(feedPerToothMM, widthMM, diameterMM float64) float64 {
	return 2 * feedPerToothMM * widthMM / (diameterMM * Engagement(widthMM, diameterMM))
}

// PeakChip returns the largest uncut chip thickness in mm, fz·sin φ at the end
// of the engagement or fz when more than half the cutter is in the cut.
// Source: El-Hofy, Fundamentals of Machining Processes, p.174.
func PeakChip(feedPerToothMM, widthMM, diameterMM float64) float64 {
	if 2*widthMM >= diameterMM {
		return feedPerToothMM
	}
	return feedPerToothMM * math.Sin(Engagement(widthMM, diameterMM))
}

// Correction are the factors on a tabulated specific cutting force.
type Correction struct {
	RakeRad, BaseRakeRad float64 // the tool's and the table's rake; 1 % a degree
	Wear                 float64 // 1 sharp, 1.1 worn finishing, 1.25 to 1.3 worn roughing, up to 1.5
	Speed                float64 // 1.0 carbide, 1.2 high-speed steel
	Compression          float64 // 1.2 where a turning table is used for milling the German school's way, else 1
}

// Factor multiplies the corrections, (1 − (γ − γ0)/100°)·wear·speed·compression.
// Source: Dietrich/Tschätsch 2014; wear also Groover, Fundamentals of Modern
// Manufacturing, section 20.5.
func (c Correction) Factor() float64 {
	rake := 1 - (c.RakeRad-c.BaseRakeRad)*180/math.Pi/100
	return rake * c.Wear * c.Speed * c.Compression
}

// Wear factors of the low, likely and high estimate. A sharp edge may wear
// until it is changed, so the high estimate always has a worn one. Source: 1.3
// is Dietrich/Tschätsch's default, 1.5 its upper end.
var (
	sharpWear = Band{1, 1, 1.3}
	wornWear  = Band{1.1, 1.3, 1.5}
)

// Shares of the tangential force. Judgement from six measured coefficient sets
// of aluminium (Chinese J. Mech. Eng. 2021, s10033-021-00536-9, Table 5):
// radial 0.16 to 0.60, axial 0.04 to 0.43.
var (
	radialShare = Band{0.3, 0.5, 0.6}
	axialShare  = Band{0.3, 0.4, 0.45}
)

// highSpeedSteel is the speed factor of HSS, Dietrich/Tschätsch 2014.
const highSpeedSteel = 1.2

// kcBand evaluates the three laws at one chip thickness, in N/mm².
func kcBand(k material.Kc, chipMM float64) Band {
	return Band{
		k.Low.ForceNMM(chipMM) / chipMM,
		k.Likely.ForceNMM(chipMM) / chipMM,
		k.High.ForceNMM(chipMM) / chipMM,
	}
}
