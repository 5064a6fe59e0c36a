package main

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func sha256Hex(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}

const inMM = `secondop: 1
name: twin
units: mm
part:
  material: 6061-T6
  height: 19.05
  outline: {seen: this side, shapes: [{add: rectangle, size: [50.8, 38.1], corner_radius: 6.35}, {add: circle, diameter: 25.4, at: [25.4, 0]}]}
table: {grid: {pitch: 38.1, columns: 9, rows: 7, thread: 1/4-20, thread_depth: 15.24}}
jaws: {polymer: PETG, printer: {outside: 0.0508, inside: 0.1016}, grip: 11.43, clearance: {fixed: 0.0508, moving: 0.1016}}
clamp: {force: 1200 N, reacts_on: jaw}
tools:
  quarter: {diameter: 6.35, flutes: 2, material: carbide, stickout: 22.86, flute_length: 19.05}
cut:
  ambient: 20 C
  cooling: air blast
  operations:
    - {name: face, kind: face, tool: quarter, speed: 9000 rpm, feed: 711.2, depth: 0.381, width: 3.81, to: 0.381}
fit:
  insert: {kind: dowel, diameter: 12.705 +-0.0025, measured: true, height: 12.7}
  bore: {at: [6.35, 0], depth: 12.7, start: 12.446, tool: quarter, cleared: 11}
  gauge: bore gauge
  step: 0.0254
machine: ordinary
`

const inInches = `secondop: 1
name: twin
units: in
part:
  material: 6061-T6
  height: 3/4
  outline: {seen: this side, shapes: [{add: rectangle, size: [2, 1.5], corner_radius: 1/4 in}, {add: circle, diameter: 1, at: [1, 0]}]}
table: {grid: {pitch: 1 1/2 in, columns: 9, rows: 7, thread: 1/4-20, thread_depth: 0.6}}
jaws: {polymer: PETG, printer: {outside: 2 thou, inside: 4 thou}, grip: 0.45, clearance: {fixed: 2 thou, moving: 0.004}}
clamp: {force: 1200 N, reacts_on: jaw}
tools:
  quarter: {diameter: 1/4 in, flutes: 2, material: carbide, stickout: 0.9, flute_length: 0.75}
cut:
  ambient: 68 F
  cooling: air blast
  operations:
    - {name: face, kind: face, tool: quarter, speed: 9000 rpm, feed: 28, depth: 0.015, width: 0.15, to: 0.015}
fit:
  insert: {kind: dowel, diameter: 12.705 mm +-0.0025 mm, measured: true, height: 0.5}
  bore: {at: [0.25, 0], depth: 0.5, start: 0.49, tool: quarter, cleared: 11 mm}
  gauge: bore gauge
  step: 1 thou
machine: ordinary
`

// A job in inches and the same job in mm give the same result within rounding.
// Words carry the units of the job, so only numbers are compared; the hashes of
// files with words in them differ.
func TestInchesAndMillimetresGiveOneResult(t *testing.T) {
	read := func(text string) map[string]any {
		path := filepath.Join(t.TempDir(), "twin.yaml")
		require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
		dir := makeInto(t, path, exitDone)
		b, err := os.ReadFile(filepath.Join(dir, "result.json"))
		require.NoError(t, err)
		var r map[string]any
		require.NoError(t, json.Unmarshal(b, &r))
		delete(r, "files")
		return r
	}
	mm, in := read(inMM), read(inInches)
	n := 0
	requireAlike(t, "result", mm, in, &n)
	require.Greater(t, n, 300, "numbers compared")
}

func requireAlike(t *testing.T, path string, a, b any, n *int) {
	t.Helper()
	require.Equalf(t, reflect.TypeOf(a), reflect.TypeOf(b), "%s: kind", path)
	switch x := a.(type) {
	case map[string]any:
		y := b.(map[string]any)
		require.Equalf(t, len(x), len(y), "%s: keys", path)
		for k := range x {
			requireAlike(t, path+"."+k, x[k], y[k], n)
		}
	case []any:
		y := b.([]any)
		require.Lenf(t, y, len(x), "%s", path)
		for i := range x {
			requireAlike(t, path+"[]", x[i], y[i], n)
		}
	case float64:
		*n++
		y := b.(float64)
		require.InDeltaf(t, x, y, 1e-6*math.Max(1, math.Abs(x)), "%s", path)
	case bool:
		require.Equalf(t, x, b, "%s", path)
	case string:
		// File names, verdicts and screws are the same; sentences carry units.
		if !strings.Contains(x, " ") {
			require.Equalf(t, x, b, "%s", path)
		}
	}
}

// A chiral part drawn from the other side, and said so, gets the same pocket.
func TestADrawingOfTheOtherSideGivesTheSamePocket(t *testing.T) {
	const job = `secondop: 1
name: hook
units: mm
part:
  material: 6061-T6
  height: 20
  outline: {SEEN shapes: [{add: polyline, points: POINTS}]}
table: {grid: {pitch: 25, columns: 12, rows: 8, thread: M6}}
jaws: {polymer: PLA, grip: 12}
`
	pocket := func(seen, points string) []byte {
		path := filepath.Join(t.TempDir(), "hook.yaml")
		text := strings.NewReplacer("SEEN", seen, "POINTS", points).Replace(job)
		require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
		dir := filepath.Join(t.TempDir(), "o")
		status, _, stderr := secondop("jaws", "-o", dir, path)
		require.Equal(t, exitDone, status, stderr)
		b, err := os.ReadFile(filepath.Join(dir, "fixed-jaw.stl"))
		require.NoError(t, err)
		return b
	}
	this := pocket("seen: this side,", "[[-20, -15], [20, -15], [20, 15], [8, 15], [8, 4], [-20, 4]]")
	other := pocket("seen: other side,", "[[20, -15], [20, 4], [-8, 4], [-8, 15], [-20, 15], [-20, -15]]")
	require.Equal(t, this, other, "seen: other side must mirror the drawing")
	wrong := pocket("seen: this side,", "[[20, -15], [20, 4], [-8, 4], [-8, 15], [-20, 15], [-20, -15]]")
	require.NotEqual(t, this, wrong, "a mirrored part must not get the same pocket")
}
