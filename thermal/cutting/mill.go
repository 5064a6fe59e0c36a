package cutting

import (
	"fmt"
	"math"

	"secondop/thermal/material"
)

// EndMill is a cylindrical cutter in a side cut, a pocket, a facing cut or a
// slot. Faces are judged as side cuts of their radial width.
type EndMill struct {
	DiameterMM float64 // 0.1 to 300
	Flutes     int     // 1 to 12
	SpeedRPM   float64 // 1 to 200000
	FeedMMMin  float64 // 0.1 to 50000
	DepthMM    float64 // axial depth of cut, up to 100
	WidthMM    float64 // radial width of cut, up to the diameter (a slot)
	HelixRad   float64 // 0 to 60°; 0 is a straight flute
	Down       bool    // the flutes push the part down instead of lifting it
	RakeRad    float64 // −30° to 40°
	HSS        bool    // high-speed steel; else carbide
	Worn       bool
	RunoutMM   float64 // total indicator reading at the edge, 0 to 0.2
	Kc         material.Kc
}

// Force is what one end mill puts on the part.
type Force struct {
	EngagementRad          float64
	FeedPerToothMM         float64
	ChipMeanMM, ChipPeakMM float64
	SpeedMMin              float64 // cutting speed, m/min
	TeethInCut             float64 // mean number, z·φs/2π
	KcMeanNMM2             Band    // specific cutting force at the mean chip, corrections included
	Mean, Peak             Components
	// InPlaneN is the largest resultant of the tangential and radial forces of
	// all teeth at one instant: what pushes the part along the table.
	InPlaneN    Band
	TorqueNmm   Band // mean, on the spindle
	PowerW      Band // mean, at the edge
	EdgePowerW  Band // the share of PowerW spent in rubbing, which heats the part
	RemovalMM3S float64
	Cautions    []string
}

// Components are the forces of the whole cutter on the part in N. Axial is
// positive when it lifts the part.
type Components struct{ TangentialN, RadialN, AxialN Band }

// Mill returns the forces of an end mill.
//
// The mean is Kienzle's at the mean chip thickness over the side-cut
// engagement, Ft = kc(hm)·ap·ae·fz·z/(π·D), with kc = kc1.1·hm^(−mc); the peak
// follows the helical edges of all teeth through one revolution with the local
// chip h = fz·sin φ, where one tooth takes the runout's share on top,
// runout·sin(π/z). Radial and axial forces are shares of the tangential one,
// the axial one at most Ft·tan λ for a helix angle λ.
//
// The low, likely and high rows of the material are taken with a sharp, the
// given and a worn edge. Mill returns a *RangeError for a field outside the
// range given on [EndMill]. A corner radius is not modelled.
// Sources: Dietrich/Tschätsch 2014; El-Hofy p.174; Altintas for the edge
// integration (from memory).
func Mill(m EndMill) (Force, error) {
	if err := m.check(); err != nil {
		return Force{}, err
	}
	z := float64(m.Flutes)
	f := Force{
		EngagementRad:  Engagement(m.WidthMM, m.DiameterMM),
		FeedPerToothMM: m.FeedMMMin / (m.SpeedRPM * z),
		SpeedMMin:      math.Pi * m.DiameterMM * m.SpeedRPM / 1000,
	}
	f.ChipMeanMM = MeanChip(f.FeedPerToothMM, m.WidthMM, m.DiameterMM)
	f.ChipPeakMM = PeakChip(f.FeedPerToothMM, m.WidthMM, m.DiameterMM)
	f.TeethInCut = z * f.EngagementRad / (2 * math.Pi)
	f.RemovalMM3S = m.DepthMM * m.WidthMM * m.FeedMMMin / 60

	corr := m.correction()
	f.KcMeanNMM2 = kcBand(m.Kc, f.ChipMeanMM).by(corr).ordered()
	tangential := f.KcMeanNMM2.times(f.ChipMeanMM * m.DepthMM * f.TeethInCut)
	axial := m.axialShare()
	f.Mean = Components{tangential, tangential.by(radialShare), tangential.by(axial)}
	f.TorqueNmm = tangential.times(m.DiameterMM / 2)
	mms := f.SpeedMMin * 1000 / 60
	f.PowerW = tangential.times(mms / 1000)
	edge := Band{1, 1, 1}.by(corr).times(m.Kc.FlankNMM * m.DepthMM * f.TeethInCut * mms / 1000)
	f.EdgePowerW = Band{min(edge.Low, f.PowerW.Low), min(edge.Likely, f.PowerW.Likely), min(edge.High, f.PowerW.High)}

	low := m.peak(m.Kc.Low, corr.Low, radialShare.Low, axial.Low, 0)
	likely := m.peak(m.Kc.Likely, corr.Likely, radialShare.Likely, axial.Likely, m.RunoutMM)
	high := m.peak(m.Kc.High, corr.High, radialShare.High, axial.High, m.RunoutMM)
	f.Peak = Components{
		Band{low.tangentialN, likely.tangentialN, high.tangentialN}.ordered(),
		Band{low.radialN, likely.radialN, high.radialN}.ordered(),
		Band{low.axialN, likely.axialN, high.axialN}.ordered(),
	}
	f.InPlaneN = Band{low.inPlaneN, likely.inPlaneN, high.inPlaneN}.ordered()
	if m.Down {
		f.Mean.AxialN, f.Peak.AxialN = f.Mean.AxialN.negated(), f.Peak.AxialN.negated()
	}
	f.Cautions = m.cautions(f)
	return f, nil
}

// negated turns the sign; Low stays the estimate of least magnitude.
func (b Band) negated() Band { return b.times(-1) }

func (m EndMill) check() error {
	const deg = math.Pi / 180
	if m.Flutes < 1 || m.Flutes > 12 {
		return &RangeError{What: "number of flutes", Value: float64(m.Flutes), Over: 1, UpTo: 12, Inclusive: true}
	}
	for _, err := range []error{
		within("cutter diameter", m.DiameterMM, 0.0999, 300, "mm", ""),
		within("spindle speed", m.SpeedRPM, 0, 200000, "rpm", ""),
		within("feed", m.FeedMMMin, 0, 50000, "mm/min", ""),
		within("axial depth of cut", m.DepthMM, 0, 100, "mm", ""),
		within("radial width of cut", m.WidthMM, 0, m.DiameterMM, "mm", "the cutter is that wide"),
		atLeast("helix angle", m.HelixRad/deg, 0, 60, "deg"),
		atLeast("rake angle", m.RakeRad/deg, -30, 40, "deg"),
		atLeast("runout", m.RunoutMM, 0, 0.2, "mm"),
	} {
		if err != nil {
			return err
		}
	}
	if !(m.Kc.Likely.KC11NMM2 > 0) {
		return fmt.Errorf("the part's material has no specific cutting force")
	}
	return nil
}

// correction is the factor on the specific cutting force, estimate by estimate.
func (m EndMill) correction() Band {
	wear, speed := sharpWear, 1.0
	if m.Worn {
		wear = wornWear
	}
	if m.HSS {
		speed = highSpeedSteel
	}
	of := func(wear float64) float64 {
		return Correction{RakeRad: m.RakeRad, Wear: wear, Speed: speed, Compression: 1}.Factor()
	}
	return Band{of(wear.Low), of(wear.Likely), of(wear.High)}
}

func (m EndMill) axialShare() Band {
	most := math.Tan(m.HelixRad)
	return Band{min(axialShare.Low, most), min(axialShare.Likely, most), min(axialShare.High, most)}
}

// peak runs one revolution with one law. The first tooth runs out.
func (m EndMill) peak(law material.KcLaw, factor, radial, axial, runoutMM float64) peaks {
	fz := m.FeedMMMin / (m.SpeedRPM * float64(m.Flutes))
	chips := []float64{fz}
	if runoutMM > 0 && m.Flutes > 1 {
		chips = make([]float64, m.Flutes)
		for i := range chips {
			chips[i] = fz
		}
		chips[0] += runoutMM * math.Sin(math.Pi/float64(m.Flutes))
	}
	b := blade{
		diameterMM: m.DiameterMM, depthMM: m.DepthMM, teeth: m.Flutes,
		exitRad: Engagement(m.WidthMM, m.DiameterMM), helixRad: m.HelixRad, chipMM: chips,
	}
	return b.turn(func(h float64) (t, r, a float64) {
		t = factor * law.ForceNMM(h)
		return t, radial * t, axial * t
	})
}

// Thresholds of the cautions. The first is the lower end of the data behind
// the tables, as each row says; the second a common edge radius of 5 to 10 µm
// (common practice, no source).
const rubbingMM = 0.01

func (m EndMill) cautions(f Force) []string {
	var says []string
	if f.ChipMeanMM < m.Kc.Likely.ValidFromChipMM {
		says = append(says, fmt.Sprintf("the mean chip is %.3f mm; the cutting force table starts at %.2f mm, so the force is extrapolated and may be off by a factor of 2",
			f.ChipMeanMM, m.Kc.Likely.ValidFromChipMM))
	}
	if f.FeedPerToothMM < rubbingMM {
		says = append(says, fmt.Sprintf("feed per tooth is %.4f mm, under %.2f mm the edge rubs more than it cuts; feed faster or turn slower", f.FeedPerToothMM, rubbingMM))
	}
	return says
}
