package thermal

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"secondop/thermal/material"
)

func TestCalibrationFindsTheShareOfAnExactReading(t *testing.T) {
	r := hollowed(t)
	for _, share := range []float64{0.15, 0.35, 0.55, 0.9} {
		q := r
		q.Share = &Band{share, share, share}
		m, err := q.model(likely)
		require.NoError(t, err)
		readings := []Reading{{TimeS: 300, Where: "part", DoubtK: 0.5}, {TimeS: 500, Where: "jaw face", DoubtK: 0.5}}
		at, err := predict(context.Background(), &m, readings)
		require.NoError(t, err)
		for i := range readings {
			readings[i].Celsius = at[i]
		}
		c, err := Calibrate(context.Background(), r, readings)
		require.NoError(t, err)
		require.InDelta(t, share, c.After.Likely, 1e-3*share, "share")
		require.Less(t, c.MisfitK, 0.01)
		require.True(t, c.Useful, c.Says)
	}
}

// A simulated truth: share, film and contact are drawn, the share scatters
// from cut to cut, and every thermometer reading is off. After one reading of
// one cut the band must hold nine of ten later readings of other cuts, and be
// at most 1.5 to 1 wide.
func TestOneReadingNarrowsTheBandAndItHolds(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 9))
	const shops, later, off = 100, 5, 1.5
	held, all, widest := 0, 0, 0.0
	shareHeld := 0
	for range shops {
		share := 0.15 + 0.4*rng.Float64()
		film := 5 + 15*rng.Float64()
		// truth is one cut, read once: without doubt at all times, with it at the end.
		truth := func(r Request, times []Reading) []float64 {
			s := share * math.Exp(0.06*rng.NormFloat64())
			r.Share, r.Cooling, r.FilmWM2K = &Band{s, s, s}, ownFilm, film
			m, err := r.model(likely)
			require.NoError(t, err)
			for i := range m.Layers {
				m.Layers[i].ContactWM2K = 300 + 1200*rng.Float64()
			}
			at, err := predict(context.Background(), &m, times)
			require.NoError(t, err)
			return at
		}
		// The recipe: on a small block cut until it is 25 K above the shop, then read.
		r := hollowed(t)
		r.Geometry.VolumeMM3, r.Geometry.TopMM2 = 60*40*20, 2400
		r.Geometry.FreeMM2, r.Geometry.GripMM2 = 2400+200*10, 200*10*0.8
		r.Operations[0].LastsS, r.Operations[0].RemovesMM3 = 1200, 22*1200
		var times []Reading
		for s := 60.0; s < 1200; s += 15 {
			times = append(times, Reading{TimeS: s, Where: "part"})
		}
		warm := r.AmbientC + 25 + 10*rng.Float64()
		at := truth(r, times)
		i := 0
		for at[i] < warm && i < len(at)-1 {
			i++
		}
		reading := times[i : i+1]
		reading[0].Celsius = at[i] + off*rng.NormFloat64()
		c, err := Calibrate(context.Background(), r, reading)
		require.NoError(t, err)
		if !c.Useful { // a cold reading: it says so, and is not used
			continue
		}
		widest = max(widest, c.Ratio)
		if share >= c.After.Low && share <= c.After.High {
			shareHeld++
		}
		for range later {
			q := hollowed(t)
			q.Share = &c.After
			q.Operations[0].LastsS *= 0.5 + rng.Float64()
			q.Operations[0].RemovesMM3 *= 0.5 + 0.5*rng.Float64()
			at := []Reading{{TimeS: 120 + 600*rng.Float64(), Where: "part"}}
			got := truth(q, at)[0] + off*rng.NormFloat64()
			var ends [2]float64
			for i, l := range []level{low, high} {
				m, err := q.model(l)
				require.NoError(t, err)
				p, err := predict(context.Background(), &m, at)
				require.NoError(t, err)
				ends[i] = p[0]
			}
			all++
			// The later thermometer is off too.
			middle, half := (ends[0]+ends[1])/2, math.Hypot((ends[1]-ends[0])/2, nineOfTen*off)
			if math.Abs(got-middle) <= half {
				held++
			}
		}
	}
	t.Logf("%d of %d later readings held, %d shares, widest band %.2f to 1", held, all, shareHeld, widest)
	require.Greater(t, all, shops*later*3/4, "later readings: nearly every shop's reading is of use")
	require.LessOrEqual(t, widest, 1.5)
	require.GreaterOrEqual(t, float64(held), 0.9*float64(all), "%d of %d later readings", held, all)
	require.GreaterOrEqual(t, float64(shareHeld), 0.88*float64(all)/later, "%d true shares in the band", shareHeld)
}

func TestAColdReadingIsCalledUseless(t *testing.T) {
	c, err := Calibrate(context.Background(), hollowed(t), []Reading{{TimeS: 20, Celsius: 26, Where: "part"}})
	require.NoError(t, err)
	require.False(t, c.Useful)
	require.Contains(t, c.Says, "wider than")
}

func TestBadReadings(t *testing.T) {
	for field, readings := range map[string][]Reading{
		"number of readings":     nil,
		"reading 1: time":        {{TimeS: -1, Celsius: 30, Where: "part"}},
		"reading 1: temperature": {{TimeS: 10, Celsius: -300, Where: "part"}},
		"reading 1: doubt":       {{TimeS: 10, Celsius: 30, Where: "part", DoubtK: -1}},
		"time of a reading":      {{TimeS: 1e5, Celsius: 30, Where: "part"}},
		"share of the cutting power that the readings ask for": {{TimeS: 300, Celsius: 200, Where: "part"}},
	} {
		_, err := Calibrate(context.Background(), hollowed(t), readings)
		var input *InputError
		require.ErrorAs(t, err, &input, field)
		require.Equal(t, field, input.Field)
	}
	_, err := Calibrate(context.Background(), hollowed(t), []Reading{{TimeS: 300, Celsius: 40, Where: "spindle"}})
	var unknown *material.UnknownError
	require.ErrorAs(t, err, &unknown)
	r := palm(t)
	r.Operations = []Operation{{Name: "known", LastsS: 100, HeatW: 5}}
	_, err = Calibrate(context.Background(), r, []Reading{{TimeS: 90, Celsius: 40, Where: "part"}})
	require.ErrorContains(t, err, "cutting power")
}
