package cutting

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// The torque is the work of one turn over 2π: what the chips of a turn cost,
// at the specific force that their mean thickness has.
func TestTorqueIsTheWorkOfOneTurn(t *testing.T) {
	m := EndMill{DiameterMM: 8, Flutes: 2, SpeedRPM: 9000, FeedMMMin: 900, DepthMM: 1.5, WidthMM: 3, Kc: law(700, 0, 0)}
	f, err := Mill(m)
	require.NoError(t, err)
	removedMM3 := m.FeedMMMin / m.SpeedRPM * m.DepthMM * m.WidthMM
	want := 700 * removedMM3 / (2 * math.Pi) // kc does not depend on the chip here
	require.InEpsilonf(t, want, f.TorqueNmm.Likely, 0.03, "torque = %.2f N·mm, want %.2f N·mm", f.TorqueNmm.Likely, want)
}
