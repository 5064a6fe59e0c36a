package thermal

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// replay runs a schedule as one model, by Run, and returns the hottest face.
func replay(t *testing.T, r Request, s Schedule) float64 {
	m, err := r.model(high)
	require.NoError(t, err)
	f, err := r.films(high)
	require.NoError(t, err)
	whole := map[string]Stretch{}
	for _, st := range m.Stretches {
		whole[st.Name] = st
	}
	m.Stretches, m.SampleS = nil, 1
	seconds := map[string]float64{}
	for _, p := range s.Stretches {
		switch p.Do {
		case "cut":
			st := whole[p.Operation]
			seconds[p.Operation] += p.LastsS
			st.RemovesMM3 *= p.LastsS / st.LastsS
			st.LastsS = p.LastsS
			m.Stretches = append(m.Stretches, st)
		case "rest":
			m.Stretches = append(m.Stretches, Stretch{Name: "rest", LastsS: p.LastsS, FilmWM2K: f.rest})
		case "change":
			m.Stretches = append(m.Stretches, Stretch{Name: "change", LastsS: p.LastsS, FilmWM2K: f.still})
		}
	}
	for _, o := range r.Operations {
		require.InDelta(t, o.LastsS, seconds[o.Name], 1e-3, "%s is cut whole, in s", o.Name)
	}
	hottest := math.Inf(-1)
	for _, p := range run(t, m).Points {
		hottest = max(hottest, p.Layers[0].FaceC)
	}
	return hottest
}

func TestAScheduleKeepsTheFaceUnderTheCautionLimit(t *testing.T) {
	r := hollowed(t)
	r.Cooling = "air blast"
	s := judge(t, r).Schedule
	require.True(t, s.Feasible, s.Says)
	require.Positive(t, s.Stops)
	require.LessOrEqual(t, replay(t, r, s), 47.05, "hottest face of the schedule in °C")
	if s.Practical {
		require.LessOrEqual(t, s.RestS, longestRestS)
	}
	whole := 0.0
	for _, p := range s.Stretches {
		whole += p.LastsS
	}
	for i, p := range s.Face {
		require.LessOrEqual(t, p.JawFaceC, 47.05, "face at %g s in °C", p.TimeS)
		require.InDelta(t, 10*float64(i), p.TimeS, 1e-6)
	}
	require.InDelta(t, whole, s.Face[len(s.Face)-1].TimeS, 10)
}

// Brute force: with one stop fewer and the longest practical rests, no places
// for the stops keep the face under the limit.
func TestNoScheduleHasFewerStops(t *testing.T) {
	r := palm(t)
	r.Cooling = "air blast"
	r.Operations = []Operation{{Name: "hollow out", LastsS: 350, RemovesMM3: 8000, PowerW: Band{18, 26, 36}, Chip: Chip{SpeedMMin: 190, MeanMM: 0.03}}}
	s := judge(t, r).Schedule
	require.True(t, s.Practical, s.Says)
	require.GreaterOrEqual(t, s.Stops, 2, s.Says)
	require.LessOrEqual(t, s.Stops, 4, s.Says)
	fewest := math.Inf(1)
	const parts = 14
	var place func(from, left int, cuts []int)
	place = func(from, left int, cuts []int) {
		if left == 0 {
			trial := Schedule{}
			at := 0
			for _, c := range append(cuts, parts) {
				trial.Stretches = append(trial.Stretches, Planned{Do: "cut", Operation: "hollow out", LastsS: float64(c-at) * 350 / parts})
				if c < parts {
					trial.Stretches = append(trial.Stretches, Planned{Do: "rest", LastsS: longestRestS})
				}
				at = c
			}
			fewest = min(fewest, replay(t, r, trial))
			return
		}
		for c := from; c < parts; c++ {
			place(c+1, left-1, append(append([]int{}, cuts...), c))
		}
	}
	place(1, s.Stops-1, nil)
	require.Greater(t, fewest, 47.0, "the coolest schedule with %d stops, in °C", s.Stops-1)
}

// Common practice, no source: still air cools a small part in wrapped jaws far
// too slowly to wait for.
func TestRestingInStillAirIsImpractical(t *testing.T) {
	s := judge(t, hollowed(t)).Schedule
	require.False(t, s.Practical, s.Says)
	if s.Feasible {
		require.Greater(t, s.RestS, longestRestS)
		require.Contains(t, s.Says, "impractical")
		require.Contains(t, s.Says, "air nozzle")
	}
}

func TestNoRestHelpsAboveTheShopsOwnTemperature(t *testing.T) {
	r := hollowed(t)
	r.AmbientC = 48
	a := judge(t, r)
	require.False(t, a.Schedule.Feasible)
	require.Contains(t, a.Schedule.Says, "no rest helps")
}

func TestTheLargestRateIsTheLargest(t *testing.T) {
	r := hollowed(t)
	a := judge(t, r)
	require.NotNil(t, a.MaxRateMM3S)
	own := 22.0
	require.Less(t, *a.MaxRateMM3S, own, "mm³/s")
	for factor, want := range map[float64]bool{0.99: true, 1.03: false} {
		q := r.scaled(*a.MaxRateMM3S * factor / own)
		hot, err := q.highRun(context.Background())
		require.NoError(t, err)
		require.Equal(t, want, hot.faceC <= a.Limits.CautionC, "face %.2f °C at %g of the largest rate", hot.faceC, factor)
	}
	require.Nil(t, judge(t, func() Request {
		q := palm(t)
		q.Operations = q.Operations[1:]
		return q
	}()).MaxRateMM3S, "engraving has no largest rate")
}
