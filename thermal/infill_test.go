package thermal

import (
	"testing"

	"github.com/stretchr/testify/require"

	"secondop/thermal/material"
)

// No mixture conducts better than its parts side by side or worse than one
// behind the other (Wiener's bounds), and more plastic never conducts less.
func TestInfillLiesBetweenSeriesAndParallel(t *testing.T) {
	p := material.PolymerRow{DensityKgM3: 1240, SpecificHeatJKgK: 1800, ConductivityWMK: 0.2}
	before := 0.0
	for solid := 0.05; solid < 1; solid += 0.05 {
		k := Infilled(p, 1, solid).ConductivityWMK
		require.Lessf(t, k, solid*0.2+(1-solid)*airWMK, "conductivity at %.0f %% infill", 100*solid)
		require.Greaterf(t, k, 1/(solid/0.2+(1-solid)/airWMK), "conductivity at %.0f %% infill", 100*solid)
		require.Greaterf(t, k, before, "conductivity at %.0f %% infill", 100*solid)
		before = k
	}
}
