package thermal

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"secondop/thermal/material"
)

// Fractions of the fit at a shear angle of 30°: at 100 and 300 m/min for chips
// of 0.02, 0.05 and 0.10 mm. Source: calculated from the fit.
func TestFractionsOfCommonMetals(t *testing.T) {
	for name, want := range map[string][6]float64{
		"6061":       {.69, .53, .55, .39, .45, .28},
		"7075":       {.64, .47, .50, .33, .39, .23},
		"brass C360": {.59, .43, .45, .29, .35, .18},
		"1018":       {.45, .28, .31, .15, .20, .10},
		"304":        {.26, .13, .14, .07, .09, .02},
		"Ti-6Al-4V":  {.21, .10, .12, .04, .07, 0},
	} {
		i := 0
		for _, chip := range []float64{0.02, 0.05, 0.10} {
			for _, speed := range []float64{100, 300} {
				got := Boothroyd(ThermalNumber(part(t, name), Chip{SpeedMMin: speed, MeanMM: chip}))
				require.InDelta(t, want[i], got, 0.011, "%s at %g m/min, %g mm", name, speed, chip)
				i++
			}
		}
	}
}

// The closed form tends to 1/(4Y) for large and to 1 for small numbers, and
// the two forms of the fit agree where both hold.
func TestPartitionLimits(t *testing.T) {
	require.InDelta(t, 1/1000.0, Weiner(1000), 2e-5)
	require.InDelta(t, Weiner(799.9), Weiner(800.1), 1e-5)
	require.InDelta(t, 1, Weiner(1e-6), 2e-3)
	require.Equal(t, 1.0, Boothroyd(0.001))
	require.Equal(t, 0.0, Boothroyd(1e6))
	for x := 0.05; x <= 10; x *= 1.1 {
		require.InDelta(t, BoothroydNatural(x), Boothroyd(x), 0.017, "x = %g", x)
		require.GreaterOrEqual(t, Boothroyd(x), Weiner(x), "the fit lies above the closed form at x = %g", x)
	}
}

func TestShareIsABandInItsBounds(t *testing.T) {
	kinds := Coolings()
	rapid.Check(t, func(t *rapid.T) {
		row := rapid.SampledFrom(material.Parts()).Draw(t, "part")
		c := Chip{
			SpeedMMin: rapid.Float64Range(1, 1000).Draw(t, "speed"), MeanMM: rapid.Float64Range(1e-3, 0.5).Draw(t, "chip"),
			EdgeFraction: rapid.Float64Range(0, 1).Draw(t, "edge"),
		}
		kind := rapid.SampledFrom(kinds).Draw(t, "cooling").Name
		b, err := Share(row, c, kind)
		require.NoError(t, err)
		require.GreaterOrEqual(t, b.Low, leastShare)
		require.LessOrEqual(t, b.Low, b.Likely)
		require.LessOrEqual(t, b.Likely, b.High)
		require.Equal(t, mostShare, b.High)
		faster := c
		faster.SpeedMMin *= 2
		f, err := Share(row, faster, kind)
		require.NoError(t, err)
		require.LessOrEqual(t, f.Likely, b.Likely, "twice the speed")
	})
	_, err := Share(part(t, "6061"), Chip{SpeedMMin: 100}, "none")
	var input *InputError
	require.ErrorAs(t, err, &input)
	require.Equal(t, "mean chip thickness", input.Field)
	_, err = Share(part(t, "6061"), Chip{SpeedMMin: 100, MeanMM: 0.02}, "water jet")
	require.ErrorContains(t, err, "flood")
}

// The film of still air covers natural convection on plates of 15 to 60 mm at
// 5 to 60 K above a shop of 20 °C. Source: Churchill and Chu, McAdams; air at
// 310 K: k 0.027 W/mK, ν 16.9e-6 m²/s, Pr 0.706 (from memory).
func TestStillAirCoversTheCorrelations(t *testing.T) {
	const k, nu, pr = 0.027, 16.9e-6, 0.706
	for _, rise := range []float64{10, 30, 60} {
		for _, length := range []float64{0.015, 0.03, 0.06} {
			ra := rayleigh(9.81, rise, 310, length, nu, pr)
			side := laminarNu(ra, pr) * k / length
			top := upNu(rayleigh(9.81, rise, 310, length/4, nu, pr)) * k / (length / 4)
			require.GreaterOrEqual(t, side, stillAirWM2K.Low, "side of %g m at %g K", length, rise)
			require.GreaterOrEqual(t, top, stillAirWM2K.Low, "top of %g m at %g K", length, rise)
			if rise == 30 && length == 0.03 {
				require.InDelta(t, stillAirWM2K.Likely, side, 2.5, "side at %g K", rise)
			}
		}
	}
}

// Solid fraction 1 is the solid; 0.2 and 0.5 lie between the bounds.
// Source: parallel .047 and .078, series .031 and .043 for k 0.13, calculated.
func TestInfillConducts(t *testing.T) {
	p := material.PolymerRow{DensityKgM3: 1240, SpecificHeatJKgK: 1800, ConductivityWMK: 0.13}
	require.InDelta(t, 0.13, Infilled(p, 1, 1).ConductivityWMK, 1e-12)
	for solid, bounds := range map[float64][2]float64{0.2: {.031, .047}, 0.5: {.043, .078}} {
		s := Infilled(p, 1, solid)
		require.Greater(t, s.ConductivityWMK, bounds[0])
		require.LessOrEqual(t, s.ConductivityWMK, bounds[1]+5e-4)
		require.InDelta(t, solid*1240, s.DensityKgM3, 1e-9)
	}
}

func TestPressingIntoAWarmPart(t *testing.T) {
	magnet, err := material.Insert("NdFeB")
	require.NoError(t, err)
	p := Pressing{Part: part(t, "6061"), Insert: magnet, DiameterMM: 10, HeightMM: 8, InterferenceUM: 5, PartC: 65, AmbientC: 25}
	a, err := Press(p)
	require.NoError(t, err)
	// 10 mm · 40 K · (23.6 + 4.8)e-6 = 11 µm. Source: calculated from the rows.
	require.InDelta(t, 11.36, a.LostUM, 0.01, "interference lost in µm")
	require.InDelta(t, 9.44, a.BoreGrowthUM, 0.01, "bore growth in µm")
	require.Equal(t, Caution, a.Verdict)
	p.PartC = 81
	a, err = Press(p)
	require.NoError(t, err)
	require.Equal(t, Stop, a.Verdict, a.Says)
	p.HeightMM, p.PartC = 3, 65 // a thin disc stands 60 °C
	a, err = Press(p)
	require.NoError(t, err)
	require.Equal(t, Stop, a.Verdict, a.Says)
	p.Grade = "N45SH"
	a, err = Press(p)
	require.NoError(t, err)
	require.Equal(t, Caution, a.Verdict, a.Says)
	p.PartC = 26
	a, err = Press(p)
	require.NoError(t, err)
	require.Equal(t, Go, a.Verdict, a.Says)
	p.Grade = "N42QQ"
	_, err = Press(p)
	require.Error(t, err)
	p.Grade, p.PartC = "", math.NaN()
	_, err = Press(p)
	require.Error(t, err)
}

// Every piece that the command shows must name its context's end.
func TestJudgeStopsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := Judge(ctx, palm(t))
	require.ErrorIs(t, err, context.Canceled)
}
