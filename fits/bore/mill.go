package bore

import (
	"fmt"
	"strings"
)

// MillByKind gives the assumed machine of that name; "own" is an ordinary one
// whose scatter the user knows.
func MillByKind(kind string) (Mill, error) {
	if kind == "own" {
		kind = "ordinary"
	}
	var names []string
	for _, m := range Mills() {
		if m.Kind == kind {
			return m, nil
		}
		names = append(names, m.Kind)
	}
	return Mill{}, fmt.Errorf("machine %q is not known, must be one of %s", kind, strings.Join(names, ", "))
}

// DiameterResolutionMM is the step of a bore's diameter on a control whose axes
// step by axisMM: the path radius moves by one step, the diameter by two.
func DiameterResolutionMM(axisMM float64) float64 { return 2 * axisMM }

// WallOf is the wall stock that a step on diameter takes, in the same unit.
func WallOf(diameter float64) float64 { return diameter / 2 }

// PlungeFeedMMMin is the feed downward that goes with a feed at the wall: a
// third of it. Common practice, no source.
func PlungeFeedMMMin(wallFeedMMMin float64) float64 { return wallFeedMMMin / 3 }

// UsualStartMM is the bore before creeping when nobody says: 0.1 mm under the
// insert. Common practice, no source.
func UsualStartMM(insertMM float64) float64 { return insertMM - 0.1 }
