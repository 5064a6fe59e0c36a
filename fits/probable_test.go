package fits

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// Probable limits lie inside the sharp ones and about the same middle; two
// equal tolerances give 1/√2 of the sharp width, and one that is nothing gives
// the other's.
func TestProbableLimitsLieWithinTheSharpOnes(t *testing.T) {
	fit := func(hole, shaft float64) Fit {
		return Between(20, Member{Class: "hole", UpperUM: hole}, Member{Class: "shaft", UpperUM: -10, LowerUM: -10 - shaft})
	}
	for _, c := range []struct{ hole, shaft, width float64 }{{20, 20, 40 / math.Sqrt2}, {21, 0, 21}, {30, 40, 50}} {
		f := fit(c.hole, c.shaft)
		low, high := f.ProbableUM()
		require.InDeltaf(t, c.width, high-low, 1e-9, "width of the probable clearance of %g on %g µm", c.hole, c.shaft)
		require.InDelta(t, f.ClearanceMinUM+f.ClearanceMaxUM, low+high, 1e-9)
		require.GreaterOrEqual(t, low, f.ClearanceMinUM-1e-9)
		require.LessOrEqual(t, high, f.ClearanceMaxUM+1e-9)
	}
}
