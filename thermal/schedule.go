package thermal

import (
	"context"
	"fmt"
	"math"

	"secondop/thermal/material"
)

// Schedule is the plan of cutting and resting that keeps the high estimate at
// or below the caution limit.
type Schedule struct {
	// Feasible is false when no plan was found; Says tells why.
	Feasible  bool
	Practical bool // no rest is longer than three minutes
	Stops     int
	RestS     float64 // of each stop
	Stretches []Planned
	// Face is the jaw face over the schedule on the high estimate, at most 10 s
	// apart, for the chart.
	Face []FacePoint
	Says string
}

// FacePoint is the jaw face at one time of a schedule.
type FacePoint struct{ TimeS, JawFaceC float64 }

// Planned is one stretch of a schedule.
type Planned struct {
	Do        string // cut, rest, change
	Operation string
	FromS     float64
	LastsS    float64
	JawFaceC  float64 // high estimate at its end
}

const (
	// longestRestS is the longest rest that anybody stands at a machine for.
	// Common practice, no source.
	longestRestS = 180.0
	leastCutS    = 10.0 // between two rests
	mostStops    = 30   // a part
	restStepS    = 5.0
)

// longRests are tried when no practical rest does.
var longRests = []float64{300, 600, 1200, 2400, 3600}

// schedule finds the fewest stops with rests of at most three minutes, and for
// that number of stops the shortest rest; if there is none, the shortest of
// the impractical rests that does it. Every candidate is a run of the model.
func (r *Request) schedule(ctx context.Context, l material.Limits) (Schedule, error) {
	m, err := r.model(high)
	if err != nil {
		return Schedule{}, err
	}
	f, err := r.films(high)
	if err != nil {
		return Schedule{}, err
	}
	if l.CautionC <= r.AmbientC {
		return Schedule{Says: fmt.Sprintf("no rest helps: the caution limit of %.0f °C is not above the shop's %.0f °C", l.CautionC, r.AmbientC)}, nil
	}
	best, err := searched(func(restS float64) (Schedule, error) {
		return rested(ctx, &m, f.rest, l.CautionC, restS, 0)
	})
	if err != nil || !best.Feasible {
		return best, err
	}
	drawn, err := rested(ctx, &m, f.rest, l.CautionC, best.RestS, longestSampleS)
	best.Face = drawn.Face
	return best, err
}

// searched looks for the best rest by trying; try gives the schedule with
// rests of restS seconds.
func searched(try func(restS float64) (Schedule, error)) (Schedule, error) {
	best, err := try(longestRestS)
	if err != nil {
		return Schedule{}, err
	}
	if !best.Feasible {
		for _, rest := range longRests {
			if best, err = try(rest); err != nil {
				return Schedule{}, err
			}
			if best.Feasible {
				best.Says = fmt.Sprintf("rests of %.0f min are impractical: use an air nozzle or a metal seat, or swap parts while one cools", rest/60)
				return best, nil
			}
		}
		best.Says = "no schedule of rests keeps the jaw face under the caution limit: use another cut, a metal seat, another cooling or another polymer"
		return best, nil
	}
	if best.Stops > 0 {
		shortest, longest := 0.0, longestRestS
		for longest-shortest > restStepS {
			middle := (shortest + longest) / 2
			s, err := try(middle)
			if err != nil {
				return Schedule{}, err
			}
			if s.Feasible && s.Stops <= best.Stops {
				best, longest = s, middle
			} else {
				shortest = middle
			}
		}
	}
	best.Practical = true
	switch best.Stops {
	case 0:
		best.Says = "no rest is needed"
	case 1:
		best.Says = fmt.Sprintf("one rest of %.0f s", best.RestS)
	default:
		best.Says = fmt.Sprintf("%d rests of %.0f s each", best.Stops, best.RestS)
	}
	return best, nil
}

// rested cuts until the face reaches targetC, rests restS seconds, and so on.
// It follows the face every sampleS seconds; 0: not at all.
func rested(ctx context.Context, m *Model, restFilm, targetC, restS, sampleS float64) (Schedule, error) {
	s := newSim(m)
	w := newWatch(m, s)
	out := Schedule{Feasible: true, RestS: restS}
	plan := func(do, name string, fromS float64) {
		if s.timeS > fromS {
			out.Stretches = append(out.Stretches, Planned{Do: do, Operation: name, FromS: fromS, LastsS: s.timeS - fromS, JawFaceC: w.faceC()})
		}
	}
	stops := 0 // of this part
	next := 0.0
	seen := func() {
		for ; sampleS > 0 && next <= s.timeS; next += sampleS {
			out.Face = append(out.Face, FacePoint{next, w.faceAtC(next)})
		}
	}
	rest := Stretch{Name: "rest", LastsS: restS, FilmWM2K: restFilm}
	for i := range m.Stretches {
		st := m.Stretches[i]
		if !st.cutting {
			from := s.timeS
			s.begin(&st)
			if _, _, err := s.advance(ctx, st.LastsS, nil, seen); err != nil {
				return Schedule{}, err
			}
			plan("change", st.Name, from)
			continue
		}
		if st.FreshPart {
			stops = 0
		}
		for st.LastsS > 0 {
			from := s.timeS
			piece := st // the sim keeps a pointer
			s.begin(&piece)
			gone, hit, err := s.advance(ctx, st.LastsS, func() float64 { return w.faceC() - targetC }, seen)
			if err != nil {
				return Schedule{}, err
			}
			plan("cut", st.Name, from)
			if !hit {
				break
			}
			st.RemovesMM3 *= 1 - gone/st.LastsS
			st.LastsS -= gone
			st.FreshPart = false
			short := gone < leastCutS && stops > 0 && st.LastsS > 0
			if short || stops == mostStops {
				return Schedule{}, nil
			}
			stops++
			out.Stops++
			from = s.timeS
			pause := rest
			s.begin(&pause)
			if _, _, err := s.advance(ctx, restS, nil, seen); err != nil {
				return Schedule{}, err
			}
			plan("rest", "", from)
		}
	}
	return out, nil
}

// scaled is the job at a removal rate s times its own: power up, time down.
func (r *Request) scaled(s float64) Request {
	q := *r
	q.Operations = make([]Operation, len(r.Operations))
	for i, o := range r.Operations {
		o.LastsS /= s
		o.HeatW *= s
		o.PowerW = Band{o.PowerW.Low * s, o.PowerW.Likely * s, o.PowerW.High * s}
		q.Operations[i] = o
	}
	return q
}

const (
	fastest = 10.0
	slowest = 0.01
)

// maxRate finds the largest removal rate by running the job at many rates.
func (r *Request) maxRate(ctx context.Context, l material.Limits) (*float64, error) {
	volume, seconds := 0.0, 0.0
	for _, o := range r.Operations {
		volume += o.RemovesMM3
		seconds += o.LastsS
	}
	if volume == 0 {
		return nil, nil
	}
	holds := func(s float64) (bool, error) {
		q := r.scaled(s)
		t, err := q.highRun(ctx)
		if err != nil {
			return false, err
		}
		return t.faceC <= l.CautionC, nil
	}
	if ok, err := holds(fastest); err != nil || ok {
		return nil, err
	}
	rate := 0.0
	if ok, err := holds(slowest); err != nil || !ok {
		return &rate, err
	}
	a, b := math.Log(slowest), math.Log(fastest)
	for b-a > 0.01 {
		middle := (a + b) / 2
		ok, err := holds(math.Exp(middle))
		if err != nil {
			return nil, err
		}
		if ok {
			a = middle
		} else {
			b = middle
		}
	}
	rate = math.Exp(a) * volume / seconds
	return &rate, nil
}

// highRun follows the high estimate without a series.
func (r *Request) highRun(ctx context.Context) (*trace, error) {
	m, err := r.model(high)
	if err != nil {
		return nil, err
	}
	return follow(ctx, &m, math.Inf(1), 0)
}
