package cutting

import "fmt"

// Band is a low, a likely and a high estimate of one number.
type Band struct{ Low, Likely, High float64 }

// times scales the three estimates.
func (b Band) times(k float64) Band { return Band{b.Low * k, b.Likely * k, b.High * k} }

// by multiplies estimate by estimate.
func (b Band) by(c Band) Band { return Band{b.Low * c.Low, b.Likely * c.Likely, b.High * c.High} }

// ordered widens the band so that Low <= Likely <= High.
func (b Band) ordered() Band { return Band{min(b.Low, b.Likely), b.Likely, max(b.High, b.Likely)} }

// A RangeError says that an input is outside the range a formula is good for.
// The bound itself belongs to the range, 0 doesn't.
type RangeError struct {
	What      string // "radial width of cut"
	Value     float64
	Unit      string
	Over      float64
	UpTo      float64
	Inclusive bool   // Over itself is allowed
	Why       string // "the cutter is that wide"; may be empty
}

func (e *RangeError) Error() string {
	bound := "above"
	if e.Inclusive {
		bound = "at least"
	}
	unit := ""
	if e.Unit != "" {
		unit = " " + e.Unit
	}
	s := fmt.Sprintf("%s is %g%s, must be %s %g%s and at most %g%s", e.What, e.Value, unit, bound, e.Over, unit, e.UpTo, unit)
	if e.Why != "" {
		s += " (" + e.Why + ")"
	}
	return s
}

// within turns away a value outside (over, upTo], NaN included.
func within(what string, v, over, upTo float64, unit, why string) error {
	if !(v > over && v <= upTo) {
		return &RangeError{What: what, Value: v, Unit: unit, Over: over, UpTo: upTo, Why: why}
	}
	return nil
}

// atLeast turns away a value outside [from, upTo], NaN included.
func atLeast(what string, v, from, upTo float64, unit string) error {
	if !(v >= from && v <= upTo) {
		return &RangeError{What: what, Value: v, Unit: unit, Over: from, UpTo: upTo, Inclusive: true}
	}
	return nil
}
