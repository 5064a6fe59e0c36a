package thermal

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// benchmarkB1 is a 6061 block 60 x 40 x 20 between two PLA jaws 60 x 12 x 10
// on its long sides, 20 W over its top, film 10 on all free faces.
func benchmarkB1() Model {
	pla := Layer{
		Name: "jaw", AreaMM2: 600, ContactWM2K: 500,
		Sheets:       []Sheet{{ThicknessMM: 12, DensityKgM3: 1240, SpecificHeatJKgK: 1800, ConductivityWMK: 0.13}},
		BackFilmWM2K: 2000, SideMM: 140, SideFilmWM2K: 10,
	}
	return Model{
		AmbientC: 20,
		Part: Part{
			VolumeMM3: 60 * 40 * 20, DensityKgM3: 2700, SpecificHeatJKgK: 896, ConductivityWMK: 167, StartC: 20,
			Faces:     []Face{{Name: "free", AreaMM2: 7600, FilmWM2K: 10}},
			HeatedMM2: 2400, ThicknessMM: 20,
		},
		Layers:    []Layer{pla, pla},
		Stretches: []Stretch{{LastsS: 300, HeatW: 20}},
		SampleS:   60,
		DepthsMM:  []float64{2, 6, 12},
	}
}

func TestQuick(t *testing.T) {
	h, err := Run(context.Background(), benchmarkB1())
	require.NoError(t, err)
	for _, p := range h.Points {
		t.Log(p.TimeS, p.PartC, p.HotK, p.Layers[0])
	}
	t.Log(h.Steps, h.Balance, h.Biot)
	_ = math.Pi
}
