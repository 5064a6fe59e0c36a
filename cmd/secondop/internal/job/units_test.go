package job

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// No more digits than can be defended, in the job's units.
func TestUnitsAsPeopleReadThem(t *testing.T) {
	mm, inch := Units{}, Units{Inch: true}
	for _, c := range []struct{ got, want string }{
		{mm.Length(38.1), "38.1 mm"},
		{inch.Length(38.1), "1.5 in"},
		{mm.Length(9.98765), "9.988 mm"},
		{inch.Length(9.98765), "0.3932 in"},
		{mm.Length(-1e-9), "0 mm"},
		{mm.Size(10), "10.000 mm"},
		{inch.Size(9.525), "0.3750 in"},
		{mm.Coarse(22.04), "22 mm"},
		{inch.Coarse(22.04), "0.87 in"},
		{mm.Point(37.5, -42.123), "X 37.5, Y -42.12 mm"},
		{mm.Small(0.0123), "12.3 µm"},
		{inch.Small(0.0254), "1 thou"},
		{mm.Other(25.4), "1 in"},
		{inch.Other(25.4), "25.4 mm"},
		{mm.Feed(800.4), "800 mm/min"},
		{inch.Feed(762), "30 in/min"},
		{mm.Force(1234), "1200 N"},
		{inch.Force(444.82), "100 lbf"},
		{mm.Force(0), "0 N"},
		{mm.Force(0.0344), "0.034 N"},
		{mm.Torque(2.53), "2.5 Nm"},
		{inch.Torque(2.53), "22 in lbf"},
		{mm.Temperature(41.4), "41 °C"},
		{inch.Temperature(41.4), "107 °F"},
		{mm.Rise(10.4), "10 °C"},
		{inch.Rise(10), "18 °F"},
		{mm.Stress(3.94), "3.9 MPa"},
		{inch.Stress(3.94), "570 psi"},
		{mm.Volume(943), "940 mm³"},
		{mm.Volume(96_714), "97 cm³"},
		{inch.Volume(16387.064), "1 in³"},
		{mm.Power(61.7), "62 W"},
		{mm.Speed(10004), "10000 rpm"},
		{mm.Mass(81.2), "81 g"},
		{inch.Mass(81.2), "2.9 oz"},
		{mm.Angle(math.Pi / 6), "30 deg"},
		{mm.Share(0.245), "24 %"},
		{mm.Time(58), "58 s"},
		{mm.Time(150), "2.5 min"},
		{mm.Time(1800), "30 min"},
		{mm.Time(9000), "2 h 30 min"},
		{mm.Factor(3.85), "3.9"},
		{mm.Length(math.NaN()), "not known"},
		{mm.Time(math.Inf(1)), "not known"},
		{mm.Factor(math.NaN()), "not known"},
	} {
		if c.got != c.want {
			t.Errorf("printed %q, want %q", c.got, c.want)
		}
	}
}

func TestFaultsFromElsewhereStandAtTheirKey(t *testing.T) {
	j := read(t, "base.yaml")
	f := j.FaultAt("fit.bore.depth", "too deep", "use 9 mm")
	require.Equal(t, Pos{"base.yaml", 25, 12}, f.Pos)
	require.Equal(t, "base.yaml:25:12: error: too deep\n   24 |   bore:\n   25 |     depth: 12\n      |            ^^ fit.bore.depth\n  help: use 9 mm\n", printed(t, []Fault{f}))
	require.Equal(t, Pos{"base.yaml", 24, 3}, j.FaultAt("fit.bore.lead_in", "x", "").Pos, "a default stands at its section")
	require.Equal(t, Pos{"base.yaml", 18, 3}, j.FaultAt("tools.6 mm.rake", "x", "").Pos)
	require.Equal(t, Pos{"base.yaml", 21, 7}, j.FaultAt("cut.operations[1].removes", "x", "").Pos)
	require.Equal(t, Pos{"base.yaml", 1, 1}, j.FaultAt("machine.spindle", "x", "").Pos, "a section that is left out stands at the top")
	require.False(t, j.CautionAt("jaws.grip", "x", "").Error)
	require.Equal(t, "the height comes from base.yaml:6:11", j.NoteAt("the height", "part.height"))
	require.Equal(t, "the gap is the default of jaws.gap", j.NoteAt("the gap", "jaws.gap"))
}

// Colour adds, it never stands for a word or a mark.
func TestColourAddsNothingButColour(t *testing.T) {
	j := read(t, "base.yaml")
	faults := []Fault{j.FaultAt("jaws.grip", "too much", "less"), j.CautionAt("part.height", "rather high", "")}
	var plain, coloured strings.Builder
	require.NoError(t, Print(&plain, faults, false))
	require.NoError(t, Print(&coloured, faults, true))
	require.NotContains(t, plain.String(), "\x1b")
	stripped := strings.NewReplacer(bold, "", red, "", yellow, "", plainC, "").Replace(coloured.String())
	require.Equal(t, plain.String(), stripped)
	require.Contains(t, coloured.String(), red)
}

func TestAFloodOfFaultsIsCutShort(t *testing.T) {
	out := printed(t, make([]Fault, maxPrinted+7))
	require.True(t, strings.HasSuffix(out, "and 7 more\n"))
}

func TestASuggestionNeedsExactlyOneNear(t *testing.T) {
	keys := []string{"depth", "width", "feed", "from", "to", "seat", "seat_height", "seat_kind", "lead_in", "chip_groove"}
	for typed, want := range map[string]string{
		"depht": "depth", "detph": "depth", "dpth": "depth", "feeds": "feed", "Width": "width", "leadin": "lead_in", "lead-in": "lead_in",
		"chip groove": "chip_groove", "seats": "seat", "seat_": "seat", "height": "seat_height", "form": "from", "t": "", "x": "", "grip": "", "": "",
		"zzzzzzzz": "", strings.Repeat("depth", 50): "",
	} {
		require.Equal(t, want, Near(typed, keys), typed)
	}
	require.Empty(t, Near("clamp", []string{"bar clamp", "C clamp"}), "two are near")
}
