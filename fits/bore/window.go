package bore

import (
	"fmt"
	"math"
)

// MaxDiameterMM bounds every diameter this package takes.
const MaxDiameterMM = 200.0

// RangeError says that a quantity is outside the range that the model covers.
type RangeError struct {
	What     string
	Value    float64
	Min, Max float64
	Unit     string
}

func (e *RangeError) Error() string {
	unit := ""
	if e.Unit != "" {
		unit = " " + e.Unit
	}
	return fmt.Sprintf("%s is %.6g%s, must be %.6g to %.6g%s", e.What, e.Value, unit, e.Min, e.Max, unit)
}

// within returns a *RangeError unless least <= v <= most. NaN is outside.
func within(what string, v, least, most float64, unit string) error {
	if v >= least && v <= most {
		return nil
	}
	return &RangeError{What: what, Value: v, Min: least, Max: most, Unit: unit}
}

// Window is the smallest and the largest bore that does the job, in mm.
type Window struct{ LowerMM, UpperMM float64 }

// Chances are the probabilities that a bore is under, in and over a window.
// They add up to 1.
type Chances struct{ Under, In, Over float64 }

// Conformity gives the chances of a value that is normally distributed about
// estimateMM with standard deviation sdMM > 0:
//
//	P(in) = Φ((U−y)/u) − Φ((L−y)/u)
//
// An infinite limit stands for a limit that isn't there.
// Source: JCGM 106:2012, 7.4.
func (w Window) Conformity(estimateMM, sdMM float64) Chances {
	var c Chances
	if !math.IsInf(w.LowerMM, -1) {
		c.Under = cdf((w.LowerMM - estimateMM) / sdMM)
	}
	if !math.IsInf(w.UpperMM, 1) {
		c.Over = cdf((estimateMM - w.UpperMM) / sdMM)
	}
	c.In = math.Max(1-c.Under-c.Over, 0)
	return c
}

// Guarded is the window reduced at either end by z·u: a reading inside it proves
// conformity with the chance Φ(z) at one limit. It is empty (Lower above Upper)
// when the uncertainty is too large for the window.
// Source: ISO 14253-1:2017 as summarised in trade literature; the text was not seen.
func (w Window) Guarded(z, sdMM float64) Window {
	return Window{w.LowerMM + z*sdMM, w.UpperMM - z*sdMM}
}

// WidthMM is the width of the window on diameter.
func (w Window) WidthMM() float64 { return w.UpperMM - w.LowerMM }

// MiddleMM is the middle of the window.
func (w Window) MiddleMM() float64 { return (w.LowerMM + w.UpperMM) / 2 }
