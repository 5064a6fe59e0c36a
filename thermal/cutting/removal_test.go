package cutting

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// Closed forms.
func TestSweptVolumes(t *testing.T) {
	s := Swept{AreaMM2: 1000, PerimeterMM: 120, ToolMM: 6, WidthMM: 0.5, FromMM: 0.4, ToMM: 2.4}
	require.InDelta(t, 2000, s.Face(), 1e-9)
	require.InDelta(t, 120, s.Contour(), 1e-9)
	require.InDelta(t, 18*math.Pi, s.Hole(), 1e-9)
	require.InDelta(t, 10, DurationS(s.Hole(), s.RemovalMM3S(12)), 1e-9, "2 mm at 12 mm/min last 10 s")
	require.InDelta(t, s.Face(), RemovedMM3(DurationS(s.Face(), 7), 7), 1e-9)
	require.Zero(t, EdgeShare(1, 0))
	require.InDelta(t, 1, EdgeShare(3, 2), 0)
}
