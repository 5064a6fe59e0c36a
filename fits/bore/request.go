package bore

import (
	"fmt"
	"math"
)

// Usual values for the fields of a [Request] that a maker doesn't know.
const (
	UsualRisk         = 0.02  // of spoiling one part in all its passes
	UsualDoubt        = 0.05  // chance of being outside that still counts as done
	UsualResolutionMM = 0.002 // control with 3 decimals of mm on the radius
	UsualChipMM       = 0.005 // about twice a sharp edge's radius; common practice, no source
	UsualDriftMM      = 0.002 // wear from part to part; judgement
	UsualScatterDoubt = 0.1   // judgement
	UsualReadings     = 3
)

// Request is everything a plan rests on, in mm on diameter. No field has a
// default of its own; see the Usual constants.
type Request struct {
	Window          Window
	InsertNominalMM float64 // wall stock is counted from it
	// StartMM is the bore before creeping; 0 if unknown, which leaves unsaid
	// whether the first pass cuts at all.
	StartMM float64
	// StepMM is the largest growth of the commanded diameter from the second
	// pass of a part on.
	StepMM float64
	Gauge  Gauge
	// ScatterMM is the standard deviation of repeated finishing passes.
	// ScatterDoubt is the probability that it is twice that, 0 if it is known.
	ScatterMM, ScatterDoubt float64
	Offset                  Prior
	// Risk is the accepted chance of spoiling one part in all its passes, Doubt
	// the chance of being outside the window at which a bore is called done.
	Risk, Doubt  float64
	ResolutionMM float64 // of the control
	ChipMM       float64 // smallest growth that a pass dependably cuts
	DriftSdMM    float64 // of the offset from one part to the next
	MaxReadings  int     // of one pass
}

// BlindGaugeError says that a gauge can tell nothing about a window.
type BlindGaugeError struct {
	InsertMM float64
	Window   Window
	TargetMM float64 // the plug to make instead
}

func (e *BlindGaugeError) Error() string {
	return fmt.Sprintf("the insert (%.3f mm) won't start anywhere in the window %.3f to %.3f mm, so its feel tells nothing before the window is passed; make or buy a plug of %.3f mm and log how that feels",
		e.InsertMM, e.Window.LowerMM, e.Window.UpperMM, e.TargetMM)
}

// Check returns the first thing that is wrong with the request: a *RangeError,
// or a *BlindGaugeError if the insert's feel can't steer to the window.
func (q Request) Check() error {
	for _, err := range []error{
		within("least bore", q.Window.LowerMM, 0.5, MaxDiameterMM, "mm"),
		within("largest bore", q.Window.UpperMM, q.Window.LowerMM+0.0005, q.Window.LowerMM+2, "mm"),
		within("insert's nominal size", q.InsertNominalMM, 0.5, MaxDiameterMM, "mm"),
		within("step on diameter", q.StepMM, 0.001, 1, "mm"),
		within("pass scatter", q.ScatterMM, 0.0002, 0.1, "mm"),
		within("chance of twice the scatter", q.ScatterDoubt, 0, 0.9, ""),
		within("mean of the offset", q.Offset.MeanMM, -0.5, 0.5, "mm"),
		within("standard deviation of the offset", q.Offset.SdMM, 0.0005, 0.2, "mm"),
		within("risk a part", q.Risk, 1e-4, 0.3, ""),
		within("doubt at which a bore is done", q.Doubt, 1e-3, 0.4, ""),
		within("resolution of the control on diameter", q.ResolutionMM, 1e-5, 0.1, "mm"),
		within("dependable chip on diameter", q.ChipMM, 0, 0.1, "mm"),
		within("drift from part to part", q.DriftSdMM, 0, 0.1, "mm"),
		within("readings a pass", float64(q.MaxReadings), 1, 20, ""),
		within("gauge noise", q.Gauge.SdMM, 0.0001, 0.1, "mm"),
		within("gauge bias", q.Gauge.BiasSdMM, 0, 0.1, "mm"),
		within("pin step", q.Gauge.PinStepMM, 0, 0.5, "mm"),
	} {
		if err != nil {
			return err
		}
	}
	if q.StartMM != 0 {
		if err := within("bore before creeping", q.StartMM, 0.5, q.Window.UpperMM, "mm"); err != nil {
			return err
		}
	}
	if !q.Gauge.Feels {
		return nil
	}
	if err := within("plug", q.Gauge.PlugMM, 0.5, MaxDiameterMM, "mm"); err != nil {
		return err
	}
	if q.Window.UpperMM <= q.Gauge.PlugMM+startsEnd {
		return &BlindGaugeError{q.Gauge.PlugMM, q.Window, q.PlugTargetMM()}
	}
	return nil
}

// PlugTargetMM is the plug to make where only feel tells the size: such that it
// goes from `starts` to `pushes in by thumb` at the middle of the window.
func (q Request) PlugTargetMM() float64 {
	return math.Round(q.Window.MiddleMM()*1e3) / 1e3
}

// floor gives the largest multiple of the control's resolution up to mm.
func (q Request) floor(mm float64) float64 {
	return math.Floor(mm/q.ResolutionMM+1e-6) * q.ResolutionMM
}

// belief begins a belief: closed while every reading is a number.
func (q Request) belief(numbersOnly bool) Belief {
	if numbersOnly && q.Gauge.Reads() {
		return newClosed(q.Offset, q.Gauge, q.ScatterMM, q.ScatterDoubt, q.StartMM)
	}
	return newGrid(q.Offset, q.Gauge, q.ScatterMM, q.ScatterDoubt, q.gridStart())
}

// gridStart is where the grid's bores begin: at the start if it is known, else
// below anything that a first pass can leave.
func (q Request) gridStart() float64 {
	if q.StartMM > 0 {
		return q.StartMM
	}
	return q.Window.LowerMM - q.Window.WidthMM() - math.Abs(q.Offset.MeanMM) - 2*gridReach*(q.Offset.SdMM+q.ScatterMM)
}
