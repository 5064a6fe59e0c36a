package fits

import (
	"math"
	"strconv"
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
