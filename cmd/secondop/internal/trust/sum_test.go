package trust

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"secondop/thermal"
)

// Cases of the test's own: two that agree, one reference, one that is off and
// one that came out as no number.
var cases = []Case{
	{"fits", "A", "first", "um", 25, 0.5, 25.4, true},
	{"fits", "A", "second", "um", -14, 0.5, -14, true},
	{"fits", "B", "from memory", "um", 10, 0.5, 10.1, false},
	{"press", "C", "off", "MPa", 100, 1, 103, true},
	{"heat", "D", "lost", "°C", 50, 1, math.NaN(), true},
}

func TestWhatAgreesIsWithinTheSourcesPrinting(t *testing.T) {
	for i, want := range []bool{true, true, true, false, false} {
		require.Equal(t, want, cases[i].Agrees(), cases[i].What)
	}
	edge := Case{Published: 1, Tolerance: 0.5, Ours: 1.5}
	require.True(t, edge.Agrees(), "the tolerance itself belongs to it")
}

// Only values read outside the project count as published; all are checked.
func TestTheSumsCountPublishedValuesAndReferencesApart(t *testing.T) {
	rows := Sum(cases)
	require.Len(t, rows, len(Rooms), "a room without cases has a row of noughts")
	require.Equal(t, Row{Room: "fits", Published: 2, Reference: 1, Sources: 1, WorstOfTolerance: 0.8, WorstAt: "first"}, rounded(rows[0]))
	require.Equal(t, Row{Room: "press", Published: 1, Mismatches: 1, Sources: 1, WorstOfTolerance: 3, WorstAt: "off"}, rounded(rows[1]))
	published, mismatches := Total(rows)
	require.Equal(t, 4, published)
	require.Equal(t, 2, mismatches, "a value that is no number is a mismatch")
}

func rounded(r Row) Row {
	r.WorstOfTolerance = math.Round(r.WorstOfTolerance*1e6) / 1e6
	return r
}

func TestEveryMismatchIsPrinted(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, Print(&b, cases))
	require.Contains(t, b.String(), "4 published values, 2 mismatches")
	require.Equal(t, 2, strings.Count(b.String(), "\nmismatch: "))
	require.Contains(t, b.String(), "mismatch: press, off: published 100 MPa, ours 103, tolerance 1 (C)")
}

// The README's table shows of each source the value that differs most, and a
// bar in a text doesn't end its cell.
func TestTheTableShowsTheWorstOfEachSource(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, Markdown(&b, append([]Case{{"fits", "E", "with | a bar", "um", 3, 1, 3, true}}, cases...)))
	require.Contains(t, b.String(), "| A | first | 25 um | 25.4 | 0.4 |")
	require.NotContains(t, b.String(), "| second |")
	require.NotContains(t, b.String(), "from memory |", "a reference is no published case")
	require.Contains(t, b.String(), "| E | with / a bar | 3 um | 3 | 0 |")
	require.LessOrEqual(t, len([]rune(cell(strings.Repeat("long ", 60)))), 110)
}

// A value read from a chart may be off by as much as the chart is; the exact
// value of the formula is what ours must meet.
func TestAChartsValueMayBeAsFarOffAsTheChart(t *testing.T) {
	held := thermal.Case{Published: 60, Exact: 58, Got: 58.01, Tolerance: 0.001}
	require.True(t, heatCase(held).Agrees())
	require.True(t, heatCase(held).Counts)
	missed := held
	missed.Got = 59
	require.False(t, heatCase(missed).Agrees(), "within the chart's error, and yet not the exact value")
	reference := thermal.Case{Exact: 58, Got: 58.01, Tolerance: 0.001}
	require.True(t, heatCase(reference).Agrees())
	require.False(t, heatCase(reference).Counts)
}
