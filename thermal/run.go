package thermal

import (
	"context"
	"math"
)

// History is what a run gives.
type History struct {
	Points  []Point // every SampleS, at the ends of the stretches, and the start
	Balance Balance
	Steps   int
	// Biot is the largest film on the free surface times volume over free area
	// over conductivity; the one-temperature part is a good model under 0.1.
	Biot float64
}

// Point is the state at one time.
type Point struct {
	TimeS float64
	PartC float64 // mean
	// HotK is how much hotter than the mean the heated face is, q·L/(3k) for
	// the heat flux q over the part's thickness L while it is cut; q·L/(2k) on a
	// seat with a path.
	HotK   float64
	Layers []LayerPoint
}

// LayerPoint is one layer's state: the face that touches the part, and the
// depths that the model asked for.
type LayerPoint struct {
	FaceC float64
	AtC   []float64
}

// Balance is the account of heat above ambient, in J. What parts carried away
// when they were changed stands in PartJ.
type Balance struct {
	InJ, PartJ, LayersJ, LossJ, ChipsJ float64
	// RelativeError is what is missing, over the sum of all entries' sizes.
	RelativeError float64
}

// lumpedBiot is the Biot number up to which a part may have one temperature,
// with an error under 5 %. Source: Incropera, section 5.2.
const lumpedBiot = 0.1

// Run computes one history. It returns an *InputError that names the field if
// a number is out of range or not finite, and the context's error if it ends.
// The error of a step is held under the model's tolerance; a whole run of half
// an hour is then good to about 0.01 K.
func Run(ctx context.Context, m Model) (History, error) {
	if err := m.check(); err != nil {
		return History{}, err
	}
	s := newSim(&m)
	h := History{Biot: m.biot()}
	s.stretch = &m.Stretches[0]
	h.Points = append(h.Points, s.point(0, s.partK(), nil))
	next := m.SampleS
	for i := range m.Stretches {
		st := &m.Stretches[i]
		s.begin(st)
		seen := func() {
			for m.SampleS > 0 && next < s.timeS*(1-1e-12) {
				h.Points = append(h.Points, s.pointAt(next))
				next += m.SampleS
			}
		}
		if _, _, err := s.advance(ctx, st.LastsS, nil, seen); err != nil {
			return History{}, err
		}
		h.Points = append(h.Points, s.point(s.timeS, s.partK(), nil))
		if m.SampleS > 0 && next <= s.timeS*(1+1e-12) {
			next += m.SampleS
		}
	}
	h.Balance = s.balance()
	h.Steps = s.steps
	return h, nil
}

// point reports the present state, or the cells in at when it is not nil.
func (s *sim) point(timeS, u float64, at [][]float64) Point {
	p := Point{TimeS: timeS, PartC: s.m.AmbientC + u, HotK: s.hotK()}
	for i, w := range s.walls {
		cells := w.u
		if at != nil {
			cells = at[i]
		}
		l := LayerPoint{FaceC: s.m.AmbientC + w.faceK(u, cells)}
		for _, d := range s.m.DepthsMM {
			l.AtC = append(l.AtC, s.m.AmbientC+w.atK(d, u, cells))
		}
		p.Layers = append(p.Layers, l)
	}
	return p
}

// pointAt reports a time inside the step just accepted, by the cubic through
// values and slopes at its ends.
func (s *sim) pointAt(timeS float64) Point {
	h := s.timeS - s.startTimeS
	x := (timeS - s.startTimeS) / h
	a, b := (1+2*x)*(1-x)*(1-x), x*x*(3-2*x)
	da, db := h*x*(1-x)*(1-x), h*x*x*(x-1)
	u0, u1 := s.startHeatJ/s.startCapacity, s.partK()
	v0 := (s.slopeBefore + s.leaving*u0) / s.startCapacity
	v1 := (s.f + s.leaving*u1) / s.capacity
	at := make([][]float64, len(s.walls))
	for i, w := range s.walls {
		at[i] = make([]float64, len(w.u))
		for j := range w.u {
			at[i][j] = a*w.before[j] + b*w.u[j] + da*w.slopeA[j] + db*w.slopeB[j]
		}
	}
	return s.point(timeS, a*u0+b*u1+da*v0+db*v1, at)
}

// hotK is the steady drop between a heated face and the mean of a plate whose
// other side is insulated, q·L/(3k), or rests on a seat that takes the heat,
// q·L/(2k).
func (s *sim) hotK() float64 {
	p := &s.m.Part
	if p.HeatedMM2 == 0 || s.stretch == nil || s.stretch.HeatW <= 0 {
		return 0
	}
	part := 3.0
	for i := range s.m.Layers {
		if s.m.Layers[i].PathMM > 0 {
			part = 2
		}
	}
	return s.stretch.HeatW / (p.HeatedMM2 * mm2) * p.ThicknessMM * 1e-3 / (part * p.ConductivityWMK)
}

// faceK is the hottest layer face that is marked, above ambient.
func (s *sim) faceK(marked []bool) float64 {
	hottest := math.Inf(-1)
	for i, w := range s.walls {
		if marked == nil || marked[i] {
			hottest = max(hottest, w.faceK(s.partK(), w.u))
		}
	}
	return hottest
}

func (s *sim) balance() Balance {
	start := s.perMM3 * s.m.Part.VolumeMM3 * (s.m.Part.StartC - s.m.AmbientC)
	b := Balance{InJ: s.inJ, PartJ: s.heatJ - start + s.carriedJ, LossJ: s.lossJ, ChipsJ: s.chipsJ}
	for i, w := range s.walls {
		stored := w.heatJ(w.u)
		for _, c := range w.capacity {
			stored -= c * s.m.Layers[i].StartAboveK
		}
		b.LayersJ += stored
	}
	missing := b.InJ - b.PartJ - b.LayersJ - b.LossJ - b.ChipsJ
	if size := math.Abs(b.InJ) + math.Abs(b.PartJ) + math.Abs(b.LayersJ) + math.Abs(b.LossJ) + math.Abs(b.ChipsJ); size > 0 {
		b.RelativeError = math.Abs(missing) / size
	}
	return b
}

// biot is the largest of the stretches' Biot numbers.
func (m *Model) biot() float64 {
	area, own, cooled := 0.0, 0.0, 0.0
	for _, f := range m.Part.Faces {
		area += f.AreaMM2
		if f.Cooled {
			cooled += f.AreaMM2
		} else {
			own += f.AreaMM2 * f.FilmWM2K
		}
	}
	if area == 0 {
		return 0
	}
	film := 0.0
	for _, s := range m.Stretches {
		film = max(film, (own+cooled*s.FilmWM2K)/area)
	}
	return film * m.Part.VolumeMM3 / area * 1e-3 / m.Part.ConductivityWMK
}
