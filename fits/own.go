package fits

import (
	"math"
	"strconv"
	"strings"
)

// Own is a tolerance of your own as one side of a fit: the deviations from the
// size, in mm. Upper must not lie below lower; both must be within ±10 mm.
// Otherwise Own returns a *ToleranceError.
func Own(upperMM, lowerMM float64) (Member, error) {
	switch {
	case !(math.Abs(upperMM) <= 10 && math.Abs(lowerMM) <= 10):
		return Member{}, &ToleranceError{UpperMM: upperMM, LowerMM: lowerMM, Rule: "each deviation must be within ±10 mm"}
	case upperMM < lowerMM:
		return Member{}, &ToleranceError{UpperMM: upperMM, LowerMM: lowerMM, Rule: "is upside down: the upper deviation comes first and must not be the smaller one"}
	}
	text := signed(upperMM) + "/" + signed(lowerMM)
	if upperMM == -lowerMM {
		text = "±" + strconv.FormatFloat(upperMM, 'g', -1, 64)
	}
	return Member{Class: text, UpperUM: clean(upperMM * 1000), LowerUM: clean(lowerMM * 1000)}, nil
}

func signed(v float64) string {
	if v == 0 {
		return "0"
	}
	if v > 0 {
		return "+" + strconv.FormatFloat(v, 'g', -1, 64)
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}

// ParseTolerance reads the deviations of a tolerance text in whatever unit it
// is written: "±0.05", "+-0.05", "+/-0.05", "+0.00/-0.02", "-0.01/-0.03",
// "+0/-0.5". It returns a *ToleranceError for anything else and for limits
// that are upside down.
func ParseTolerance(text string) (upper, lower float64, err error) {
	t := strings.ReplaceAll(strings.TrimSpace(text), " ", "")
	t = strings.ReplaceAll(t, "−", "-")
	for _, both := range []string{"±", "+/-", "+-"} {
		rest, ok := strings.CutPrefix(t, both)
		if !ok {
			continue
		}
		v, ok := plainNumber(rest)
		if !ok || strings.HasPrefix(rest, "+") || v < 0 {
			return 0, 0, &ToleranceError{Text: text, Rule: "needs one plain number after the sign, such as ±0.05"}
		}
		return v, -v, nil
	}
	first, second, two := strings.Cut(t, "/")
	upper, ok1 := plainNumber(first)
	lower, ok2 := plainNumber(second)
	switch {
	case !two || !ok1 || !ok2:
		return 0, 0, &ToleranceError{Text: text, Rule: "must be such as ±0.05 or +0.00/-0.02"}
	case upper < lower:
		return 0, 0, &ToleranceError{Text: text, Rule: "is upside down: the upper deviation comes first and must not be the smaller one"}
	}
	return upper, lower, nil
}

// plainNumber reads digits with at most one sign and one point: no exponent, no
// hexadecimal, no infinity.
func plainNumber(s string) (float64, bool) {
	if s == "" || strings.Trim(s, "+-.0123456789") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil && !math.IsInf(v, 0)
}
