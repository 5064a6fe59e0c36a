package bore

import (
	"fmt"
	"strings"
)

// Control is what a family of controls wants beyond the words that they all
// understand. What they all understand is taken from the documents of several
// of them; ISO 6983-1, the format's standard, was not seen.
type Control struct {
	Name string
	// Dwell is the P word of G4 for one second, 0 where G4 is not used.
	DwellPerSecond int
	// ToolLength asks for a tool number and applies its length offset by G43;
	// otherwise the program is for the tool that Z was touched off with.
	ToolLength bool
	// ArcMode states incremental arc centres, ExactPath an exact path.
	ArcMode, ExactPath bool
	// MetricWord and InchWord choose the unit.
	MetricWord, InchWord string
	// LeastRadiusMM is the smallest path radius that its arcs keep to.
	LeastRadiusMM float64
}

// Arc chords of common controls are up to 2 µm off; a path of 25 times that keeps
// them out of sight (judgement).
const leastPathRadiusMM = 0.05

// Controls lists the families, the plainest first.
func Controls() []Control {
	return []Control{
		{Name: "plain", MetricWord: "G21", InchWord: "G20", LeastRadiusMM: leastPathRadiusMM},
		{Name: "incremental arcs only", DwellPerSecond: 1, MetricWord: "G21", InchWord: "G20", LeastRadiusMM: leastPathRadiusMM},
		{Name: "seconds dwell", DwellPerSecond: 1, ToolLength: true, ArcMode: true, ExactPath: true, MetricWord: "G21", InchWord: "G20", LeastRadiusMM: leastPathRadiusMM},
		{Name: "milliseconds dwell", DwellPerSecond: 1000, ToolLength: true, MetricWord: "G21", InchWord: "G20", LeastRadiusMM: leastPathRadiusMM},
		{Name: "units by G70 and G71", MetricWord: "G71", InchWord: "G70", LeastRadiusMM: leastPathRadiusMM},
	}
}

// ControlByName gives a family; an empty name is the plainest.
func ControlByName(name string) (Control, error) {
	var names []string
	for _, c := range Controls() {
		if c.Name == name || name == "" {
			return c, nil
		}
		names = append(names, c.Name)
	}
	return Control{}, fmt.Errorf("control %q is not known, must be one of %s", name, strings.Join(names, ", "))
}
