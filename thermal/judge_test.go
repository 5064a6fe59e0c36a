package thermal

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"
	"secondop/thermal/material"
)

func polymer(t require.TestingT, name string) material.PolymerRow {
	p, err := material.Polymer(name)
	require.NoError(t, err)
	return p
}

func part(t require.TestingT, name string) material.PartRow {
	p, err := material.Part(name)
	require.NoError(t, err)
	return p
}

// palm is a palm-size 6061 part, 80 x 60 x 20, in PLA on parallels.
func palm(t require.TestingT) Request {
	return Request{
		Part: part(t, "6061"), Polymer: polymer(t, "PLA"), AmbientC: 25, Cooling: "none",
		Geometry: Geometry{
			VolumeMM3: 80 * 60 * 20, HeightMM: 20, TopMM2: 4800, FreeMM2: 4800 + 280*9, GripMM2: 280 * 11 * 0.8,
			JawWallMM: 15, SkinMM: 2.7, Infill: 0.4,
		},
		ToolChangeS: 60, SwapS: 120, PressureMPa: 0.5,
		Operations: []Operation{
			{Name: "face", LastsS: 120, RemovesMM3: 1900, PowerW: Band{12, 20, 28}, Chip: Chip{SpeedMMin: 190, MeanMM: 0.03}},
			{Name: "engrave", NewTool: true, LastsS: 300, RemovesMM3: 60, PowerW: Band{0.5, 1, 2}, Chip: Chip{SpeedMMin: 60, MeanMM: 0.01}},
		},
	}
}

func TestQuickJudge(t *testing.T) {
	r := palm(t)
	a, err := Judge(context.Background(), r)
	require.NoError(t, err)
	t.Logf("%+v", a.Says)
	t.Log(a.Verdict, a.PartC, a.JawFaceC, a.Share, a.Touch, a.Schedule, a.Biot, a.DropK)
	if a.MaxRateMM3S != nil {
		t.Log(*a.MaxRateMM3S)
	}
	for _, x := range a.Alternatives {
		t.Log(x)
	}
}

func BenchmarkJudge(b *testing.B) {
	r := palm(b)
	for b.Loop() {
		_, err := Judge(context.Background(), r)
		require.NoError(b, err)
	}
}
