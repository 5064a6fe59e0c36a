package plan

import (
	"context"
	"errors"
	"io/fs"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"secondop/cmd/secondop/internal/job"
	"secondop/fits/bore"
	"secondop/fixture/hold"
	"secondop/thermal/cutting"
	"secondop/thermal/material"
)

// plain is a job of which every branch is go. Cases replace a piece of it.
const plain = `secondop: 1
name: plain
units: mm
part:
  material: 6061-T6
  height: 20
  outline:
    seen: this side
    shapes: [{add: rectangle, size: [50, 38], corner_radius: 6}]
table: {grid: {pitch: 25, columns: 12, rows: 8, thread: M6, thread_depth: 15}}
jaws: {polymer: PETG, grip: 11}
clamp: {force: 1500 N, reacts_on: jaw}
tools:
  six: {diameter: 6, flutes: 2, material: carbide, stickout: 20}
  bit: {diameter: 3, flutes: 2, material: HSS, stickout: 25}
cut:
  ambient: 22 C
  cooling: air blast
  operations:
    - {name: face, kind: face, tool: six, speed: 10000 rpm, feed: 800, depth: 0.4, width: 4, to: 0.4}
    - {name: hole, kind: drill, tool: bit, speed: 3000 rpm, feed: 150, at: [14, 0], to: 8}
fit:
  insert: {kind: disc magnet, diameter: 11.962 +-0.004, measured: true, height: 4}
  must_hold: 60 N
  service: [5 C, 40 C]
  bore: {at: [0, 0], depth: 4.1, start: 11.8, tool: six, cleared: 9}
  gauge: bore gauge
machine: rigid
`

// read reads the plain job with pairs of pieces, old and new, replaced.
func read(t *testing.T, change ...string) *job.Job {
	t.Helper()
	for i := 0; i < len(change); i += 2 {
		require.Contains(t, plain, change[i], "the plain job has no such piece")
	}
	j, faults := job.Read("plain.yaml", []byte(strings.NewReplacer(change...).Replace(plain)), "", nil)
	require.False(t, job.AnyError(faults), "%v", faults)
	return j
}

func noFiles(string) ([]byte, error) { return nil, fs.ErrNotExist }

// What a room turns away is said at the key it comes from, in a few words that
// name the thing.
func TestARefusalStandsAtItsKey(t *testing.T) {
	for _, c := range []struct {
		name, path, says string
		change           []string
	}{
		{"material", "part.material", "unobtainium", []string{"6061-T6", "unobtainium"}},
		{"polymer", "jaws.polymer", "granite", []string{"PETG", "granite"}},
		{
			"own polymer", "jaws.own", "deflection temperature",
			[]string{"polymer: PETG", "own: {name: stuff, deflection_temperature_045: 60 C, deflection_temperature_180: 90 C}"},
		},
		{"a shape of no size", "part.outline.shapes[2]", "", []string{"corner_radius: 6}]", "corner_radius: 6}, {cut: rectangle, size: [90, 90]}]"}},
		{"a cut before any add", "part.outline.shapes[1]", "nothing yet", []string{"[{add: rectangle", "[{cut: rectangle"}},
		{"a drill that turns too slowly for its feed", "cut.operations[2].feed", "feed is", []string{"speed: 3000 rpm", "speed: 1 rpm"}},
		{"feed of a drill", "cut.operations[2].feed", "mm/rev", []string{"feed: 150", "feed: 9000"}},
		{"axial depth", "cut.operations[1].depth", "axial depth of cut is 120 mm", []string{"depth: 0.4", "depth: 120"}},
		{"flutes", "tools.six.flutes", "number of flutes is 14", []string{"flutes: 2, material: carbide", "flutes: 14, material: carbide"}},
		{"helix", "tools.six.helix", "helix angle is 65 deg", []string{"flutes: 2, material: carbide", "flutes: 2, helix: 65 deg, material: carbide"}},
		{"rake", "tools.six.rake", "rake angle is 42 deg", []string{"flutes: 2, material: carbide", "flutes: 2, rake: 42 deg, material: carbide"}},
		{"runout", "tools.six.runout", "runout is 0.5 mm", []string{"flutes: 2, material: carbide", "flutes: 2, runout: 0.5, material: carbide"}},
		{"diameter of a drill", "tools.bit.diameter", "hole diameter is 60 mm", []string{"diameter: 3,", "diameter: 60,"}},
		{"what a pocket removes", "cut.operations[1]", "add removes", []string{"kind: face", "kind: pocket"}},
		{"a bore outside the part", "fit.bore.at", "reaches past the part's outline", []string{"at: [0, 0]", "at: [22, 0]"}},
		{"a tool that a bore plan can't take", "tools.six.stickout", "tool stick-out is 140 mm", []string{"stickout: 20}", "stickout: 140}"}},
		{"class of a fit", "fit.by", "", []string{"must_hold: 60 N", "by: Q9/x3"}},
		{"outline file", "part.outline.dxf", "can't be read", []string{"shapes: [{add: rectangle, size: [50, 38], corner_radius: 6}]", "dxf: none.dxf"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Check(context.Background(), read(t, c.change...), noFiles)
			requireRefused(t, err, c.path, c.says)
		})
	}
}

// A parting line is only found wanting once the jaws are designed.
func TestARefusalOfTheDesignStandsAtItsKey(t *testing.T) {
	p, err := Start(read(t, "grip: 11", "grip: 11, parting: 60"), noFiles)
	require.NoError(t, err)
	requireRefused(t, p.MakeJaws(context.Background()), "jaws.parting", "leaves one jaw without the part")
}

// Every number of a cut that the force model turns away has a key of its own:
// the names of the two packages may not drift apart.
func TestEveryQuantityOfACutHasItsKey(t *testing.T) {
	nan := math.NaN()
	kc, err := material.KcOf("aluminium wrought")
	require.NoError(t, err)
	mill := cutting.EndMill{DiameterMM: 6, Flutes: 2, SpeedRPM: 1e4, FeedMMMin: 800, DepthMM: 1, WidthMM: 2, Kc: kc}
	hole := cutting.Hole{DiameterMM: 3, SpeedRPM: 3000, FeedMMRev: 0.05, Kc: kc}
	cutter := bore.Cutter{DiameterMM: 6, StickoutMM: 20, YoungMPa: bore.CarbideMPa, LoadN: 10, ToleranceMM: bore.ToolToleranceMM(6), MachineSdMM: 0.005}
	_, err = cutting.Mill(mill)
	require.NoError(t, err)
	_, err = cutting.Drill(hole)
	require.NoError(t, err)
	_, err = bore.OffsetPrior(cutter)
	require.NoError(t, err)
	j := &job.Job{Fit: &job.Fit{Bore: job.Bore{Tool: "six"}}}
	milled := func(spoil func(*cutting.EndMill)) error {
		m := mill
		spoil(&m)
		_, err := cutting.Mill(m)
		return err
	}
	drilled := func(spoil func(*cutting.Hole)) error {
		h := hole
		spoil(&h)
		_, err := cutting.Drill(h)
		return err
	}
	bored := func(spoil func(*bore.Cutter)) error {
		c := cutter
		spoil(&c)
		_, err := bore.OffsetPrior(c)
		return err
	}
	for _, c := range []struct {
		err        error
		cut, finer string // the key for an operation, and for the finishing cut of the bore
	}{
		{milled(func(m *cutting.EndMill) { m.DiameterMM = nan }), "tools.six.diameter", "tools.six.diameter"},
		{milled(func(m *cutting.EndMill) { m.Flutes = 0 }), "tools.six.flutes", "tools.six.flutes"},
		{milled(func(m *cutting.EndMill) { m.SpeedRPM = nan }), "cut.speed", "fit.bore.speed"},
		{milled(func(m *cutting.EndMill) { m.FeedMMMin = nan }), "cut.feed", "fit.bore.feed"},
		{milled(func(m *cutting.EndMill) { m.DepthMM = nan }), "cut.depth", "fit.bore.depth"},
		{milled(func(m *cutting.EndMill) { m.WidthMM = 7 }), "cut.width", "fit.step"},
		{milled(func(m *cutting.EndMill) { m.HelixRad = nan }), "tools.six.helix", "tools.six.helix"},
		{milled(func(m *cutting.EndMill) { m.RakeRad = nan }), "tools.six.rake", "tools.six.rake"},
		{milled(func(m *cutting.EndMill) { m.RunoutMM = nan }), "tools.six.runout", "tools.six.runout"},
		{milled(func(m *cutting.EndMill) { m.Kc = material.Kc{} }), "cut", "fit.bore.tool"},
		{drilled(func(h *cutting.Hole) { h.DiameterMM = nan }), "tools.six.diameter", ""},
		{drilled(func(h *cutting.Hole) { h.SpeedRPM = nan }), "cut.speed", ""},
		{drilled(func(h *cutting.Hole) { h.FeedMMRev = nan }), "cut.feed", ""},
		{drilled(func(h *cutting.Hole) { h.HelixRad = nan }), "tools.six.helix", ""},
		{bored(func(c *bore.Cutter) { c.DiameterMM = nan }), "", "tools.six.diameter"},
		{bored(func(c *bore.Cutter) { c.StickoutMM = nan }), "", "tools.six.stickout"},
		{bored(func(c *bore.Cutter) { c.RunoutMM = nan }), "", "tools.six.runout"},
		{bored(func(c *bore.Cutter) { c.LoadN = nan }), "", "fit.bore.tool"},
	} {
		require.Error(t, c.err)
		if c.cut != "" {
			require.Equal(t, c.cut, cutPath("cut", "six", c.err), "%v", c.err)
		}
		if c.finer != "" {
			require.Equal(t, c.finer, finishPath(j, c.err), "%v", c.err)
		}
	}
}

// The same for the grip.
func TestEveryQuantityOfAGripHasItsKey(t *testing.T) {
	j := read(t)
	p, err := Start(j, noFiles)
	require.NoError(t, err)
	wall, err := hold.Reach(p.Part.Placed, hold.Jaws{GapMM: 2})
	require.NoError(t, err)
	grip := hold.Grip{Contacts: wall.Contacts, TopMM: 10, ClampN: 500, Friction: 0.15, YoungMPa: 2000, WallMM: 8, AllowedMPa: 20}
	_, err = grip.Clamp()
	require.NoError(t, err)
	clamp := func(spoil func(*hold.Grip)) error {
		g := grip
		spoil(&g)
		_, err := g.Clamp()
		return err
	}
	_, noWall := hold.Reach(p.Part.Placed, hold.Jaws{GapMM: 2, PartingYMM: 300})
	_, noGap := hold.Reach(p.Part.Placed, hold.Jaws{GapMM: math.NaN()})
	_, noPull := hold.Clamp{PullTestN: 1e9}.Force(grip)
	for _, c := range []struct {
		err       error
		path, has string
	}{
		{clamp(func(g *hold.Grip) { g.TopMM = 0.1 }), "jaws.grip", "net grip is 0.1 mm"},
		{clamp(func(g *hold.Grip) { g.Friction = 2 }), "cut.friction", "friction is 2"},
		{clamp(func(g *hold.Grip) { g.ClampN = 2e5 }), "clamp", "clamp force is 200000 N"},
		{clamp(func(g *hold.Grip) { g.WallMM = 0 }), "jaws.wall", "wall behind the pocket is 0 mm"},
		{clamp(func(g *hold.Grip) { g.YoungMPa = 0 }), "jaws", "modulus of the walls is 0 MPa"},
		{noGap, "jaws.gap", "gap between the jaws"},
		{noWall, "part.outline", "the fixed jaw has no wall"},
		{noPull, "clamp.pull_test", "pull test is 1e+09 N"},
	} {
		require.Error(t, c.err)
		f := fault(t, gripRefusal(j, c.err))
		require.Equal(t, c.path, f.Path, "%v", c.err)
		require.True(t, strings.HasPrefix(f.Says, c.has), "%q must begin with %q", f.Says, c.has)
	}
	_, odd := hold.Clamp{Kind: "string"}.Force(grip)
	require.Equal(t, "clamp", fault(t, clampRefusal(j, odd)).Path)
	require.Equal(t, "clamp.pull_test", fault(t, clampRefusal(j, noPull)).Path)
}

func requireRefused(t *testing.T, err error, path, says string) {
	t.Helper()
	f := fault(t, err)
	require.Equal(t, path, f.Path, "%s", f)
	require.Contains(t, f.Says, says)
	require.NotContains(t, f.Says, "  ")
	require.NotContains(t, f.Says, " ,")
	require.Greater(t, f.Pos.Line, 1, "%s: the place is not in the file", f)
}

// fault is the one fault that an error carries.
func fault(t *testing.T, err error) job.Fault {
	t.Helper()
	var refused *RefusedError
	require.True(t, errors.As(err, &refused), "error %v carries no place", err)
	require.Len(t, refused.Faults, 1)
	return refused.Faults[0]
}
