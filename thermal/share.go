package thermal

import (
	"math"

	"secondop/thermal/material"
)

// Band is a low, likely and high estimate of one number.
type Band struct{ Low, Likely, High float64 }

// Chip is what decides how much of a cut's heat stays in the part.
type Chip struct {
	SpeedMMin float64 // cutting speed in m/min
	MeanMM    float64 // mean uncut chip thickness
	// ShearAngleRad is the angle of the shear plane; 0: 30°, in the middle of
	// 25 to 35° for aluminium (from memory).
	ShearAngleRad float64
	// EdgeFraction is the part of the cutting power spent on the edge (rubbing
	// and ploughing: edge coefficient times edge length in the cut times speed),
	// 0 to 1; 0: not known, a share of 0.05 stands for it.
	EdgeFraction float64
}

const (
	usualShearRad = 30 * math.Pi / 180
	// shearPart is how much of the power goes into the shear plane: 2/3 to 3/4.
	// Source: Kalpakjian and Schmid, example 21.1 (32 % to rake friction).
	shearPart = 0.70
	edgeShare = 0.05
	// Bounds of the share. 0.60 is the level that judgements use unless a
	// reading narrows it: no published measurement of small parts was found,
	// so it is own judgement on the safe side.
	leastShare   = 0.05
	leastLight   = 0.10 // aluminium and copper alloys
	mostShare    = 0.60
	lightWMK     = 100.0 // conductivity above which a metal counts as such
	lowShearPart = 2.0 / 3
	lowEdgeShare = 0.02
	// workFromEdge is how much of the edge's heat the work keeps, likely and low.
	// Own judgement: rubbing heats mostly the work, but the intercept of a force
	// fit, which the edge's power comes from, is not all rubbing. It puts 45 to
	// 55 % of a thin slow chip's power into aluminium.
	workFromEdge    = 0.5
	lowWorkFromEdge = 0.25
	floodLow        = 0.5 // own judgement: coolant takes heat at the cut itself
	floodLikely     = 0.8
	mistLow         = 0.8
	smallestThermX  = 0.04
)

var unknownChip = Band{Low: 0.20, Likely: 0.40, High: mostShare}

// ThermalNumber returns R·tan φ of a chip, without unit: density times specific
// heat times speed times chip thickness over conductivity, times the tangent
// of the shear angle.
func ThermalNumber(part material.PartRow, c Chip) float64 {
	angle := c.ShearAngleRad
	if angle == 0 {
		angle = usualShearRad
	}
	r := part.DensityKgM3 * part.SpecificHeatJKgK * c.SpeedMMin / 60 * c.MeanMM * 1e-3 / part.ConductivityWMK
	return r * math.Tan(angle)
}

// Boothroyd returns the fraction of the shear plane's heat that is conducted
// into the work, for x = R·tan φ above 0:
//
//	0.5 - 0.35·log10 x  for x to 10,  0.3 - 0.15·log10 x  beyond
//
// held between 0 and 1. A fit to experiments for x from 0.04.
// Source: Boothroyd's fit as coded by Xia and Gillespie, J. Mater. Process.
// Technol. 2019, 116389; the lower bound of its range from memory.
func Boothroyd(x float64) float64 {
	if !(x > smallestThermX) {
		return 1
	}
	if x <= 10 {
		return min(1, 0.5-0.35*math.Log10(x))
	}
	return max(0, 0.3-0.15*math.Log10(x))
}

// BoothroydNatural is the same fit as one natural logarithm, 0.15·ln(27.5/x),
// held between 0 and 1; lower than Boothroyd beyond x = 10.
// Source: Ghosh and Mallik, Manufacturing Science, problem 4.6.
func BoothroydNatural(x float64) float64 {
	return max(0, min(1, 0.15*math.Log(27.5/x)))
}

// Weiner returns the same fraction by the closed form for a moving inclined
// plane, with Y = x/4:
//
//	erf √Y/(4Y) + (1+Y)·erfc √Y - e^-Y/√π·(1/(2√Y) + √Y)
//
// for x above 0. Source: Weiner 1955, from memory; lies under Boothroyd's fit.
func Weiner(x float64) float64 {
	y := x / 4
	r := math.Sqrt(y)
	if y > 200 {
		return 1 / (4 * y)
	}
	return math.Erf(r)/(4*y) + (1+y)*math.Erfc(r) - math.Exp(-y)/math.Sqrt(math.Pi)*(1/(2*r)+r)
}

// Share returns the band of the share of cutting power that stays in the part.
//
// Likely is 0.70·Boothroyd + 0.05, or 0.70·Boothroyd·(1-e) + 0.5·e when
// the fraction e spent on the edge is known; low is Weiner's with 2/3 of the power
// and less at the edge; high is 0.60. Flood and mist lower the low and likely
// ends, never the high one. The zero Chip says that nothing is known of it and
// gives 0.20, 0.40 and 0.60, the range of small mills in aluminium. An *InputError names a field that is out of range.
func Share(part material.PartRow, c Chip, cooling string) (Band, error) {
	kind, err := findCooling(cooling)
	if err != nil {
		return Band{}, err
	}
	if c == (Chip{}) {
		return unknownChip, nil
	}
	var in inputs
	in.positive("cutting speed", c.SpeedMMin, "m/min")
	in.positive("mean chip thickness", c.MeanMM, "mm")
	if !(c.ShearAngleRad >= 0 && c.ShearAngleRad < math.Pi/2) {
		in.reject("shear angle", c.ShearAngleRad, "rad", "must be 0 (usual) to under π/2")
	}
	in.unit("fraction of the power spent on the edge", c.EdgeFraction)
	if in.err != nil {
		return Band{}, in.err
	}
	least := leastShare
	if part.ConductivityWMK > lightWMK {
		least = leastLight
	}
	x := ThermalNumber(part, c)
	likely := shearPart*Boothroyd(x) + edgeShare
	low := lowShearPart*Weiner(x) + lowEdgeShare
	if e := c.EdgeFraction; e > 0 {
		likely = shearPart*Boothroyd(x)*(1-e) + workFromEdge*e
		low = lowShearPart*Weiner(x)*(1-e) + lowWorkFromEdge*e
	}
	likely = max(least, min(mostShare, likely*kind.shareLikely))
	low = max(leastShare, min(likely, low*kind.shareLow))
	return Band{Low: low, Likely: likely, High: mostShare}, nil
}
