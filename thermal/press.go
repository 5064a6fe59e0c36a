package thermal

import (
	"fmt"
	"math"

	"secondop/thermal/material"
)

// Pressing is an insert that is to be pressed into the warm part.
type Pressing struct {
	Part   material.PartRow
	Insert material.InsertRow
	Grade  string // of a NdFeB magnet; "" is a grade without suffix
	// DiameterMM of the bore, HeightMM of the insert, and the least interference
	// of the fit on diameter in µm (0: not a press fit).
	DiameterMM, HeightMM float64
	InterferenceUM       float64
	PartC                float64 // high estimate when it is pressed
	AmbientC             float64 // at which insert and gauge are
}

// PressAnswer says whether the insert may be pressed at that temperature.
type PressAnswer struct {
	Verdict string
	// WorkingC is the highest temperature the insert stands; 0: none known.
	WorkingC float64
	// BoreGrowthUM is how much larger the warm bore is on diameter, and LostUM
	// how much interference is gone once the insert has the part's temperature.
	BoreGrowthUM, LostUM float64
	// JudgeAtC is the part's temperature from which a gauge tells the bore's
	// cold size to a micrometre.
	JudgeAtC float64
	Says     string
}

// gaugeUM is the growth of the bore that a gauge reading may hide.
const gaugeUM = 1.0

// Press judges pressing an insert into a part that is still warm. It is Stop
// above the insert's working temperature, Caution when the warm bore has lost
// the interference or hides its cold size from a gauge, else Go.
//
//	growth = d·α·ΔT,  lost = d·(α_part - α_insert,radial)·ΔT
//
// A sintered NdFeB magnet shrinks across its axis, so it loses more. The fit
// comes back when all is cold. Valid for a bore of up to 200 mm.
func Press(p Pressing) (PressAnswer, error) {
	var in inputs
	if !(p.DiameterMM > 0 && p.DiameterMM <= 200) {
		in.reject("bore diameter", p.DiameterMM, "mm", "must be above 0 and at most 200 mm")
	}
	in.positive("insert height", p.HeightMM, "mm")
	in.notNegative("least interference", p.InterferenceUM, "µm")
	in.celsius("part temperature", p.PartC)
	in.celsius("ambient temperature", p.AmbientC)
	if in.err != nil {
		return PressAnswer{}, in.err
	}
	a := PressAnswer{Verdict: Go, WorkingC: p.Insert.WorkingC}
	if p.Insert.Magnet && p.Insert.ExpansionRadialPerK < 0 { // sintered NdFeB, the only one with grades by suffix
		working, err := material.MagnetWorkingC(p.Grade, p.HeightMM/p.DiameterMM)
		if err != nil {
			return PressAnswer{}, err
		}
		a.WorkingC = working
	}
	riseK := p.PartC - p.AmbientC
	perK := p.DiameterMM * 1e3 * p.Part.ExpansionPerK
	a.BoreGrowthUM = perK * riseK
	a.LostUM = p.DiameterMM * 1e3 * (p.Part.ExpansionPerK - p.Insert.ExpansionRadialPerK) * riseK
	a.JudgeAtC = p.AmbientC + gaugeUM/perK

	switch {
	case a.WorkingC > 0 && p.PartC > a.WorkingC:
		a.Verdict = Stop
		a.Says = fmt.Sprintf("don't press yet: the part may have %.0f °C and the %s stands %.0f °C", math.Ceil(p.PartC), p.Insert.Name, a.WorkingC)
	case p.InterferenceUM > 0 && a.LostUM >= p.InterferenceUM:
		a.Verdict = Caution
		a.Says = fmt.Sprintf("at %.0f °C the fit has lost %.1f µm and holds nothing (least interference %.1f µm); it comes back when cold", p.PartC, a.LostUM, p.InterferenceUM)
	case a.BoreGrowthUM > gaugeUM:
		a.Verdict = Caution
		a.Says = fmt.Sprintf("the warm bore measures %.1f µm large on diameter", a.BoreGrowthUM)
	default:
		a.Says = fmt.Sprintf("the part is cool enough to gauge and to press (bore %.1f µm large on diameter)", math.Abs(a.BoreGrowthUM))
	}
	if a.Verdict != Go && a.JudgeAtC < p.PartC {
		a.Says += fmt.Sprintf("; gauge it at %.1f °C or below", a.JudgeAtC)
	}
	return a, nil
}
