package thermal

import (
	"context"
	"fmt"
	"math"

	"secondop/thermal/material"
)

// Verdicts.
const (
	Go      = "go"
	Caution = "caution"
	Stop    = "stop"
)

// Answer is the judgement of a job.
type Answer struct {
	Verdict string
	// Says are the sentences behind the verdict, the first one the reason.
	Says     []string
	Limits   material.Limits
	PartC    Band // hottest over the job
	JawFaceC Band // hottest plastic face over the job
	// CuttingSToLimit is the cutting time at which the face reaches the limit;
	// Low goes with the high estimate of heat. nil: not in this job.
	CuttingSToLimit Never
	// Share of the cutting power that stays in the part, of the operation that
	// brings most heat; zero if all heat was given.
	Share     Band
	ShareFrom string
	Touch     Touch
	Schedule  Schedule
	// MaxRateMM3S is the largest mean removal rate that keeps the high estimate
	// at or below the caution limit for the whole job, at the job's own energy a
	// volume; nil: nothing is removed, or ten times the job's rate still does.
	MaxRateMM3S  *float64
	Alternatives []Alternative // best first
	Openings     string        // what the openings change; "" without openings
	Balance      Balance       // of the likely run
	Series       []SeriesPoint
	Biot         float64
	// PartsRun is how many parts of the batch were run until the jaws settled.
	PartsRun int
	// DropK is what was added for the drop inside the part (high estimate).
	DropK float64
}

// Never is a band of times of which each may never come (nil).
type Never struct{ Low, Likely, High *float64 }

// SeriesPoint is one time of the three runs.
type SeriesPoint struct {
	TimeS                  float64
	PartC, JawFaceC, DeepC Band // Deep is 2 mm into the plastic
}

// trace is one run at one level.
type trace struct {
	partC, faceC float64 // hottest
	dropK        float64
	toLimitS     *float64 // cutting seconds
	endPartC     float64
	biot         float64
	balance      Balance
	points       []Point
	sim          *sim
}

// dropMatters is the internal drop in K from which it is added to the face
// even when the Biot number of the films is small. Own judgement.
const dropMatters = 2.0

// watch follows the judged faces of a run.
type watch struct {
	s      *sim
	marked []bool
	biot   float64
}

func newWatch(m *Model, s *sim) *watch {
	w := &watch{s: s, biot: m.biot()}
	for i := range m.Layers {
		w.marked = append(w.marked, m.Layers[i].plastic)
	}
	return w
}

// dropK is what the judged face may be hotter than the mean says.
func (w *watch) dropK() float64 {
	if d := w.s.hotK(); w.biot > lumpedBiot || d > dropMatters {
		return d
	}
	return 0
}

// faceC is the hottest judged face in °C, with the drop.
func (w *watch) faceC() float64 { return w.s.m.AmbientC + w.s.faceK(w.marked) + w.dropK() }

// faceAtC is the same inside the last step.
func (w *watch) faceAtC(timeS float64) float64 {
	hottest := math.Inf(-1)
	for i, l := range w.s.pointAt(timeS).Layers {
		if w.marked[i] {
			hottest = max(hottest, l.FaceC)
		}
	}
	return hottest + w.dropK()
}

// follow runs a model and keeps its extremes. limitC is what toLimitS waits
// for; sampleS is 0 for no series.
func follow(ctx context.Context, m *Model, limitC, sampleS float64) (*trace, error) {
	s := newSim(m)
	w := newWatch(m, s)
	t := &trace{biot: w.biot, partC: m.Part.StartC, faceC: m.AmbientC, sim: s}
	for i := range m.Layers {
		t.faceC = max(t.faceC, m.AmbientC+m.Layers[i].StartAboveK)
	}
	s.stretch = &m.Stretches[0]
	next := sampleS
	if sampleS > 0 {
		t.points = append(t.points, s.point(0, s.partK(), nil))
	}
	cut := 0.0
	seen := func() {
		t.partC = max(t.partC, m.AmbientC+s.partK())
		t.faceC = max(t.faceC, w.faceC())
		t.dropK = max(t.dropK, w.dropK())
		for sampleS > 0 && next <= s.timeS {
			t.points = append(t.points, s.pointAt(next))
			next += sampleS
		}
	}
	for i := range m.Stretches {
		st := &m.Stretches[i]
		s.begin(st)
		left := st.LastsS
		if t.toLimitS == nil {
			gone, hit, err := s.advance(ctx, left, func() float64 { return w.faceC() - limitC }, seen)
			if err != nil {
				return nil, err
			}
			left -= gone
			if hit {
				at := cut
				if st.cutting {
					at += gone
				}
				t.toLimitS = &at
			}
		}
		if _, _, err := s.advance(ctx, left, nil, seen); err != nil {
			return nil, err
		}
		if st.cutting {
			cut += st.LastsS
		}
	}
	t.endPartC = m.AmbientC + s.partK()
	t.balance = s.balance()
	return t, nil
}

// verdictOf compares the hottest face with the limits.
func verdictOf(faceC float64, l material.Limits) string {
	switch {
	case !(faceC < l.StopC):
		return Stop
	case faceC > l.GoC:
		return Caution
	}
	return Go
}

const (
	longestSampleS = 10.0
	fewestSamples  = 60
)

// Judge runs the low, likely and high estimates of a job and returns the
// verdict, which the high estimate decides, with schedule and alternatives.
// It returns an *InputError that names the field if a number is out of range,
// and a *material.UnknownError for a cooling or seat it doesn't know.
func Judge(ctx context.Context, r Request) (Answer, error) {
	if err := r.check(); err != nil {
		return Answer{}, err
	}
	limits, err := r.Polymer.LimitsAt(r.PressureMPa)
	if err != nil {
		return Answer{}, err
	}
	a := Answer{Limits: limits, ShareFrom: r.ShareFrom}
	var traces [3]*trace
	for l := low; l <= high; l++ {
		m, err := r.model(l)
		if err != nil {
			return Answer{}, err
		}
		total := 0.0
		a.PartsRun = 1
		for _, s := range m.Stretches {
			total += s.LastsS
			if s.FreshPart {
				a.PartsRun++
			}
		}
		if traces[l], err = follow(ctx, &m, limits.StopC, min(longestSampleS, total/fewestSamples)); err != nil {
			return Answer{}, err
		}
	}
	hot := traces[high]
	a.PartC = Band{traces[low].partC, traces[likely].partC, hot.partC}
	a.JawFaceC = Band{traces[low].faceC, traces[likely].faceC, hot.faceC}
	a.CuttingSToLimit = Never{Low: hot.toLimitS, Likely: traces[likely].toLimitS, High: traces[low].toLimitS}
	a.Balance, a.Biot, a.DropK = traces[likely].balance, hot.biot, hot.dropK
	a.Series = joined(traces)
	a.Verdict = verdictOf(hot.faceC, limits)
	if a.Share, err = r.mainShare(); err != nil {
		return Answer{}, err
	}
	if a.ShareFrom == "" {
		a.ShareFrom = "shear-plane partition, not calibrated"
	}
	if a.Touch, err = r.touch(ctx, hot); err != nil {
		return Answer{}, err
	}
	if a.Schedule, err = r.schedule(ctx, limits); err != nil {
		return Answer{}, err
	}
	if a.MaxRateMM3S, err = r.maxRate(ctx, limits); err != nil {
		return Answer{}, err
	}
	if a.Alternatives, err = r.alternatives(ctx); err != nil {
		return Answer{}, err
	}
	if a.Openings, err = r.openings(ctx, hot.faceC); err != nil {
		return Answer{}, err
	}
	a.Says = r.says(&a)
	return a, nil
}

// joined puts the three runs' points, which fall on the same times, together.
func joined(t [3]*trace) []SeriesPoint {
	n := min(len(t[0].points), len(t[1].points), len(t[2].points))
	out := make([]SeriesPoint, n)
	band := func(i int, of func(Point) float64) Band {
		return Band{of(t[0].points[i]), of(t[1].points[i]), of(t[2].points[i])}
	}
	for i := range out {
		out[i] = SeriesPoint{
			TimeS:    t[0].points[i].TimeS,
			PartC:    band(i, func(p Point) float64 { return p.PartC }),
			JawFaceC: band(i, func(p Point) float64 { return max(p.Layers[0].FaceC, p.Layers[1].FaceC) }),
			DeepC:    band(i, func(p Point) float64 { return max(p.Layers[0].AtC[0], p.Layers[1].AtC[0]) }),
		}
	}
	return out
}

// mainShare is the share of the operation with the most heat.
func (r *Request) mainShare() (Band, error) {
	var best Band
	most := 0.0
	for i := range r.Operations {
		o := &r.Operations[i]
		if o.HeatW > 0 || o.PowerW.High == 0 {
			continue
		}
		share, err := r.shareOf(o)
		if err != nil {
			return Band{}, err
		}
		if heat := o.PowerW.High * o.LastsS; heat > most {
			best, most = share, heat
		}
	}
	return best, nil
}

// says words the verdict.
func (r *Request) says(a *Answer) []string {
	face, l := a.JawFaceC.High, a.Limits
	first := fmt.Sprintf("the jaw face stays at or under %.0f °C on the high estimate; %s is safe to %.0f °C", math.Ceil(face), r.Polymer.Name, l.GoC)
	switch a.Verdict {
	case Caution:
		first = fmt.Sprintf("the jaw face reaches %.0f °C on the high estimate, above %.0f °C where %s is safe and below its limit of %.0f °C", face, l.GoC, r.Polymer.Name, l.StopC)
		if face > l.CautionC {
			first += fmt.Sprintf(", with only %.0f K to spare", l.StopC-face)
		}
	case Stop:
		first = fmt.Sprintf("the jaw face passes the limit of %.0f °C for %s on the high estimate", l.StopC, r.Polymer.Name)
		if t := a.CuttingSToLimit.Low; t != nil {
			first += fmt.Sprintf(" after %.0f s of cutting", *t)
		}
		if l.StopC <= r.AmbientC {
			first = fmt.Sprintf("at %.1f MPa %s has its limit at %.0f °C, which the shop has already (%.0f °C)", r.PressureMPa, r.Polymer.Name, l.StopC, r.AmbientC)
		}
	}
	says := []string{first}
	if a.Biot > lumpedBiot {
		says = append(says, fmt.Sprintf("the part is not of one temperature (Biot number %.2f, above %.1f); the drop inside it is added", a.Biot, lumpedBiot))
	} else if a.DropK > 0 {
		says = append(says, fmt.Sprintf("the part conducts poorly; %.0f K are added for the drop inside it", a.DropK))
	}
	return says
}
