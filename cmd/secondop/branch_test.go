package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// plainJob has nothing that is judged; sections are added to it.
const plainJob = `secondop: 1
name: plain
units: mm
part:
  material: 6061-T6
  height: 20
  outline: {seen: this side, shapes: [{add: rectangle, size: [50, 38], corner_radius: 6}]}
table: {grid: {pitch: 25, columns: 12, rows: 8, thread: M6, thread_depth: 15}}
jaws: {polymer: PETG, grip: 11}
tools:
  six: {diameter: 6, flutes: 2, material: carbide, stickout: 20, flute_length: 15}
`

const (
	clamped  = "clamp: {force: 1500 N, reacts_on: jaw}\n"
	lightCut = `cut:
  ambient: 22 C
  cooling: air blast
  operations: [{name: face, kind: face, tool: six, speed: 10000 rpm, feed: 800, depth: 0.4, width: 4, to: 0.4}]
`
	heavyCut = `cut:
  ambient: 22 C
  operations: [{name: plough, kind: pocket, tool: six, speed: 3000 rpm, feed: 1500, depth: 12, width: 6, to: 12, removes: 9000 mm3}]
`
	longHeat = `cut:
  ambient: 22 C
  operations: [{name: soak, heat: 60 W, lasts: 3600 s}]
`
	goodFit = `fit:
  insert: {kind: disc magnet, diameter: 11.962 +-0.004, measured: true, height: 4}
  must_hold: 60 N
  service: [5 C, 40 C]
  bore: {at: [0, 0], depth: 4.1, start: 11.8, tool: six, cleared: 9}
  gauge: bore gauge
`
	hopelessFit = `fit:
  insert: {kind: disc magnet, diameter: 11.962 +-0.004, measured: true, height: 4}
  must_hold: 40000 N
  bore: {at: [0, 0], depth: 4.1, start: 11.8, tool: six, cleared: 9}
  gauge: bore gauge
`
)

func jobFile(t *testing.T, sections ...string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "job.yaml")
	require.NoError(t, os.WriteFile(path, []byte(plainJob+strings.Join(sections, "")), 0o644))
	return path
}

// hold, heat and fit follow their own verdict, whatever the others would say;
// check is 0 or 2.
func TestEachBranchFollowsItsOwnVerdict(t *testing.T) {
	for _, c := range []struct {
		name, command string
		sections      []string
		status        int
	}{
		{"a light cut is held", "hold", []string{clamped, lightCut}, exitDone},
		{"a heavy cut is not", "hold", []string{clamped, heavyCut}, exitStop},
		{"a fit that can't be is no matter of the grip", "hold", []string{clamped, lightCut, hopelessFit}, exitDone},
		{"a clamp without a cut", "hold", []string{clamped}, exitNotDone},
		{"no clamp and no cut", "hold", nil, exitNotDone},
		{"a light cut is cool", "heat", []string{clamped, lightCut}, exitDone},
		{"an hour of 60 W is not", "heat", []string{clamped, longHeat}, exitStop},
		{"heat needs a cut", "heat", []string{clamped}, exitNotDone},
		{"a fit", "fit", []string{goodFit}, exitDone},
		{"a fit that can't be", "fit", []string{hopelessFit}, exitStop},
		{"a grip that stops is no matter of the fit", "fit", []string{clamped, heavyCut, goodFit}, exitDone},
		{"no fit", "fit", []string{clamped}, exitNotDone},
		{"check tells only whether the job reads", "check", []string{clamped, heavyCut, hopelessFit}, exitDone},
		{"check refuses what can't be done", "check", []string{strings.Replace(goodFit, "[0, 0]", "[90, 0]", 1)}, exitNotDone},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := jobFile(t, c.sections...)
			status, stdout, stderr := secondop(c.command, path)
			require.Equal(t, c.status, status, "%s: %s%s", c.command, stdout, stderr)
			status, stdout, stderr = secondop(c.command, "--json", path)
			require.Equal(t, c.status, status, "%s --json: %s", c.command, stderr)
			if c.command == "check" || c.status == exitNotDone {
				return
			}
			var r map[string]json.RawMessage
			require.NoError(t, json.Unmarshal([]byte(stdout), &r))
			var block struct{ Verdict string }
			require.NoError(t, json.Unmarshal(r[c.command], &block))
			require.Equal(t, c.status == exitStop, block.Verdict == "stop", "the block's verdict is %s", block.Verdict)
		})
	}
}

// jaws follows the pair's verdict alone.
func TestJawsAloneHeedNoCutAndNoFit(t *testing.T) {
	path := jobFile(t, clamped, heavyCut, hopelessFit)
	status, _, stderr := secondop("jaws", "-o", filepath.Join(t.TempDir(), "o"), path)
	require.Equal(t, exitDone, status, stderr)
	status, _, _ = secondop("make", "-o", filepath.Join(t.TempDir(), "o"), path)
	require.Equal(t, exitStop, status)
}

func TestLimitsIsDoneOrNotDone(t *testing.T) {
	for _, c := range []struct {
		args   []string
		status int
	}{
		{[]string{"25", "H7/p6"}, exitDone},
		{[]string{"25", "H7/u8"}, exitDone},
		{[]string{"25", "Q7"}, exitNotDone},
		{[]string{"nan", "H7"}, exitNotDone},
		{[]string{"25"}, exitNotDone},
	} {
		status, _, stderr := secondop(append([]string{"limits"}, c.args...)...)
		require.Equal(t, c.status, status, "limits %v: %s", c.args, stderr)
	}
}
