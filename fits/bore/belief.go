package bore

import "math"

// Belief is what is held to be true about the offset, the bore as it stands and
// the gauge's bias. Given the offset b and the pass scatter e, a pass makes
//
//	d = max(c + b + e, d before)
//
// for metal does not grow back, and a reading is m = d + g + v with the gauge's
// bias g, the same in every reading, and its noise v. Two engines keep it: a
// closed normal form where every reading is a number, and a grid for the rest.
type Belief interface {
	// Cut says that a pass was made at the commanded diameter.
	Cut(commandedMM float64)
	// Read takes in a reading of the bore as it stands.
	Read(r Reading)
	// Tail is the probability of a reading at least as odd as r; SurpriseMM is how
	// far r is from what is expected, 0 for a reading without a number.
	Tail(r Reading) float64
	SurpriseMM(r Reading) float64
	// Widen adds doubt to the offset.
	Widen(sdMM float64)
	// NewPart forgets the bore and begins another one of startMM (0: unknown),
	// with the doubt about the offset that has come in between.
	NewPart(startMM, driftSdMM float64)
	// Bore and Offset give mean and standard deviation in mm.
	Bore() (meanMM, sdMM float64)
	Offset() (meanMM, sdMM float64)
	// Chances are those of the bore as it stands.
	Chances(w Window) Chances
	// After gives the chances of the bore after a pass at commandedMM, and the
	// risk that the pass adds: to be over by it and not before.
	After(commandedMM float64, w Window) (c Chances, added float64)
	// Clone gives a copy that lives on its own.
	Clone() Belief
}

// scatterGuesses are the pass scatters held to be possible, with their weights.
func scatterGuesses(scatterMM, doubt float64) (scatters, weights []float64) {
	if doubt == 0 {
		return []float64{scatterMM}, []float64{1}
	}
	return []float64{scatterMM, 2 * scatterMM}, []float64{1 - doubt, doubt}
}

// oddness is the two-sided tail of a standard normal number.
func oddness(z float64) float64 { return math.Erfc(math.Abs(z) / math.Sqrt2) }
