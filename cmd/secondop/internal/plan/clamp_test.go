package plan

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"secondop/fixture/hold"
)

func clampOfJob(t *testing.T, change ...string) Clamping {
	t.Helper()
	j := read(t, change...)
	p, err := Start(j, noFiles)
	require.NoError(t, err)
	c, err := clampOf(j, p.Part, p.Polymer.YoungMPa, p.coldBearingMPa())
	require.NoError(t, err)
	return c
}

// A known force is what it is, less creep.
func TestAKnownForceIsTheClamps(t *testing.T) {
	c := clampOfJob(t)
	require.InDelta(t, 0.75*1500, c.LikelyN, 1e-9, "N after creep")
	require.False(t, c.OnTable)
	require.True(t, clampOfJob(t, "reacts_on: jaw", "reacts_on: table").OnTable)
	require.InDelta(t, 1500, clampOfJob(t, "reacts_on: jaw", "reacts_on: jaw, springy: true").LikelyN, 1e-9, "a springy clamp follows the creep")
	require.Zero(t, clampOfJob(t, without("clamp", "tools")...), "a job without a clamp says nothing")
}

// The force of a screw is T/(K·d): 2 N·m on an M6 at K = 0.20, Shigley's factor
// for a clean dry thread.
func TestAScrewClampsByItsTorque(t *testing.T) {
	c := clampOfJob(t, "force: 1500 N", "kind: screw, screw: M6, torque: 2 Nm")
	require.InEpsilon(t, 0.75*2000/(0.20*6), c.LikelyN, 1e-9, "N after creep")
	require.InEpsilon(t, 0.75*2000/(0.30*6), c.LowN, 1e-9, "N after creep, low")
}

// Between two flat faces a pull of 2·mu·F makes the part creep, so that the
// force is the pull over 2·mu; the corners' radii add a little wrap.
func TestAPullTestTellsTheForce(t *testing.T) {
	c := clampOfJob(t, "force: 1500 N", "pull_test: 300 N")
	require.InEpsilon(t, 0.75*300/(2*hold.DryFriction), c.LikelyN, 0.15, "N after creep")
	twice := clampOfJob(t, "force: 1500 N", "pull_test: 600 N")
	require.InEpsilon(t, 2*c.LikelyN, twice.LikelyN, 0.02, "twice the pull is twice the force")
}

// A moving jaw that is bolted once a clamp has closed it keeps no more than its
// screws' friction, and the result says so.
func TestABoltedMovingJawKeepsWhatItsScrewsHold(t *testing.T) {
	p, err := Make(context.Background(), read(t, "grip: 11", "grip: 11, moving: {by: bolts, bolts: 2}", "force: 1500 N", "force: 20000 N"), noFiles)
	require.NoError(t, err)
	m := p.Grip.mount
	require.NotNil(t, m.Moving)
	require.Equal(t, 2, m.Moving.Count)
	require.InDelta(t, math.Min(m.Moving.SlipN(), m.Fixed.SlipN()), p.Grip.KeptN, 1e-9, "N kept")
	require.Less(t, p.Grip.KeptN, p.Clamp.LikelyN)
	r := p.Result("test")
	require.InDelta(t, p.Grip.KeptN, r.Hold.ClampN.Likely, 1e-9, "N in the result")
	require.NotEqual(t, "go", r.Hold.Verdict)
	found := false
	for _, x := range r.Reasons {
		found = found || x.Check == "hold" && x.Says == p.Grip.KeptSays
	}
	require.True(t, found, "no reason says %q", p.Grip.KeptSays)

	clamped, err := Make(context.Background(), read(t), noFiles)
	require.NoError(t, err)
	require.Nil(t, clamped.Grip.mount.Moving)
	require.InDelta(t, clamped.Clamp.LikelyN, clamped.Grip.KeptN, 1e-9)
}
