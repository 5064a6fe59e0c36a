package thermal

import (
	"context"
	"math"
)

// sim is a model on its way through time. Temperatures inside are above
// ambient; the part's state is its heat in J, so that metal may leave it
// without an error in the account.
//
// Time stepping is TR-BDF2: a trapezoidal stage and a backward-difference
// stage with one factorisation, second order, stable for any stiffness, with a
// third-order companion for the error. Each stage eliminates the walls and is
// left with one scalar equation in the part's temperature, which radiation
// makes non-linear; Newton's method solves it. Heat flows are summed with the
// stages' own weights, so the account closes to rounding whatever the step.
// Source: Bank et al., IEEE Trans. CAD 4 (1985) 436; Hosea and Shampine, Appl.
// Numer. Math. 20 (1996) 21 (from memory).
type sim struct {
	m     *Model
	walls []*wall

	timeS    float64
	heatJ    float64 // of the part above ambient
	capacity float64 // J/K of the part now
	stretch  *Stretch
	perMM3   float64 // J/(K·mm³) of the part's metal
	leaving  float64 // J/(K·s) that leave with the chips

	step  float64 // next step tried, s
	tol   float64
	steps int
	f1, f float64 // slope of heatJ at the start and at the end of a step, W
	// slopeBefore is the one at the start of the last accepted step.
	slopeBefore float64
	ready       bool // f1 and the walls' f1 belong to this state

	startHeatJ, startCapacity, startTimeS float64 // before the last step

	inJ, lossJ, chipsJ, carriedJ float64
}

var (
	trGamma  = 2 - math.Sqrt2
	trD      = trGamma / 2
	trW      = math.Sqrt2 / 4
	trErrors = [3]float64{(1-trW)/3 - trW, (3*trW+1)/3 - trW, trD/3 - trD}
)

const (
	defaultToleranceK = 2e-4
	firstStepS        = 0.05
	smallestStepS     = 1e-9
	runawayK          = 1e5
)

func newSim(m *Model) *sim {
	s := &sim{m: m, step: firstStepS, tol: m.ToleranceK}
	if s.tol == 0 {
		s.tol = defaultToleranceK
	}
	s.perMM3 = m.Part.DensityKgM3 * m.Part.SpecificHeatJKgK * mm3
	s.capacity = s.perMM3 * m.Part.VolumeMM3
	s.heatJ = s.capacity * (m.Part.StartC - m.AmbientC)
	for i := range m.Layers {
		s.walls = append(s.walls, newWall(&m.Layers[i], m.Cells, m.Part.ConductivityWMK))
	}
	return s
}

// begin sets the conditions of a stretch.
func (s *sim) begin(st *Stretch) {
	if st.FreshPart {
		whole := s.perMM3 * s.m.Part.VolumeMM3
		fresh := whole * (s.m.Part.StartC - s.m.AmbientC)
		s.carriedJ += s.heatJ - fresh
		s.heatJ, s.capacity = fresh, whole
	}
	s.stretch = st
	s.leaving = 0
	if st.LastsS > 0 {
		s.leaving = s.perMM3 * st.RemovesMM3 / st.LastsS
	}
	s.ready = false
	s.step = min(s.step, 0.5)
}

// partK is the part's temperature above ambient.
func (s *sim) partK() float64 { return s.heatJ / s.capacity }

// faces returns the heat in W that the free surface loses at u above ambient,
// and its derivative in W/K.
func (s *sim) faces(u float64) (lossW, slope float64) {
	ambientK := s.m.AmbientC - absoluteZeroC
	for i := range s.m.Part.Faces {
		f := &s.m.Part.Faces[i]
		film, fluid, dry := f.FilmWM2K, f.FluidAboveK, true
		if f.Cooled {
			film, fluid, dry = s.stretch.FilmWM2K, s.stretch.FluidAboveK, !s.stretch.Wet
		}
		a := f.AreaMM2 * mm2
		lossW += film * a * (u - fluid)
		slope += film * a
		if f.Emissivity > 0 && dry {
			t, walls := ambientK+u, ambientK+f.WallsAboveK
			lossW += f.Emissivity * stefanWM2K4 * a * (t*t*t*t - walls*walls*walls*walls)
			slope += 4 * f.Emissivity * stefanWM2K4 * a * t * t * t
		}
	}
	return lossW, slope
}

// lossW is all heat that leaves to the surroundings, chips apart.
func (s *sim) lossW(u float64, of func(*wall) []float64) float64 {
	out, _ := s.faces(u)
	for _, w := range s.walls {
		out += w.loss(of(w))
	}
	return out
}

// solve finds the part's temperature of one stage with step weight d and
// right-hand side in J, and the walls' cells from rhs in each wall.
func (s *sim) solve(d, rhsJ, capacity, guess float64) float64 {
	conductance, constant := s.leaving, s.stretch.HeatW
	for _, w := range s.walls {
		w.sweep(d, w.rhs, true)
		conductance += w.gain[0] * (1 - w.q[0])
		constant += w.gain[0] * w.p[0]
	}
	u := guess
	for range 50 {
		loss, slope := s.faces(u)
		r := capacity*u - rhsJ - d*(constant-loss-conductance*u)
		du := r / (capacity + d*(slope+conductance))
		u -= du
		if math.Abs(du) <= 1e-12*(1+math.Abs(u)) {
			break
		}
	}
	return u
}

// slopes computes the derivatives at the present state.
func (s *sim) slopes() {
	u := s.partK()
	loss, _ := s.faces(u)
	s.f1 = s.stretch.HeatW - loss - s.leaving*u
	for _, w := range s.walls {
		w.slope(u, w.u, w.f1)
		s.f1 -= w.flow(u, w.u)
	}
	s.ready = true
}

// take makes one step of h seconds and returns the estimate of its error in K.
// The state before the step stays in start... and in each wall's before.
func (s *sim) take(h float64) float64 {
	if !s.ready {
		s.slopes()
	}
	u0, c0 := s.partK(), s.capacity
	d := trD * h
	rate := s.leaving
	now := func(w *wall) []float64 { return w.u }
	loss := trW * s.lossW(u0, now)
	chips := trW * rate * u0

	for _, w := range s.walls {
		copy(w.before, w.u)
		w.factor(d)
		for j, v := range w.u {
			w.rhs[j] = v + d*w.f1[j]
		}
	}
	c2 := c0 - rate*trGamma*h
	rhs2 := s.heatJ + d*s.f1
	u2 := s.solve(d, rhs2, c2, u0)
	f2 := (c2*u2 - rhs2) / d
	for _, w := range s.walls {
		w.substitute(u2, w.u)
		for j, v := range w.u {
			w.f2[j] = (v - w.rhs[j]) / d
			w.rhs[j] = w.before[j] + h*trW*(w.f1[j]+w.f2[j])
		}
	}
	loss += trW * s.lossW(u2, now)
	chips += trW * rate * u2

	c3 := c0 - rate*h
	rhs3 := s.heatJ + h*trW*(s.f1+f2)
	u3 := s.solve(d, rhs3, c3, u2)
	f3 := (c3*u3 - rhs3) / d
	for _, w := range s.walls {
		w.substitute(u3, w.u)
		for j, v := range w.u {
			w.f3[j] = (v - w.rhs[j]) / d
			w.errK[j] = h * (trErrors[0]*w.f1[j] + trErrors[1]*w.f2[j] + trErrors[2]*w.f3[j])
		}
	}
	loss += trD * s.lossW(u3, now)
	chips += trD * rate * u3
	errK := s.errorK(d, h*(trErrors[0]*s.f1+trErrors[1]*f2+trErrors[2]*f3), c3, u3)

	s.startHeatJ, s.startCapacity, s.startTimeS = s.heatJ, s.capacity, s.timeS
	s.heatJ, s.capacity, s.timeS = c3*u3, c3, s.timeS+h
	s.f = f3
	s.inJ += h * s.stretch.HeatW
	s.lossJ += h * loss
	s.chipsJ += h * chips
	return errK
}

// errorK filters the raw error through the step's own matrix, which takes the
// stiff part out of it, and returns its largest entry.
func (s *sim) errorK(d, errJ, capacity, u float64) float64 {
	_, slope := s.faces(u)
	conductance, constant := s.leaving+slope, 0.0
	for _, w := range s.walls {
		w.sweep(d, w.errK, false)
		conductance += w.gain[0] * (1 - w.q[0])
		constant += w.gain[0] * w.p[0]
	}
	e0 := (errJ + d*constant) / (capacity + d*conductance)
	worst := math.Abs(e0)
	for _, w := range s.walls {
		u := e0
		for j := range w.errK {
			u = w.p[j] + w.q[j]*u
			worst = max(worst, math.Abs(u))
		}
	}
	return worst
}

// account is what a rejected step has to give back.
type account struct{ inJ, lossJ, chipsJ float64 }

func (s *sim) account() account { return account{s.inJ, s.lossJ, s.chipsJ} }

// undo goes back to the state before the last step.
func (s *sim) undo(a account) {
	s.heatJ, s.capacity, s.timeS = s.startHeatJ, s.startCapacity, s.startTimeS
	s.inJ, s.lossJ, s.chipsJ = a.inJ, a.lossJ, a.chipsJ
	for _, w := range s.walls {
		copy(w.u, w.before)
	}
}

// accept makes the slope at the end of a step the one at the start of the next.
func (s *sim) accept() {
	s.steps++
	s.slopeBefore, s.f1 = s.f1, s.f
	for _, w := range s.walls {
		copy(w.slopeA, w.f1)
		copy(w.slopeB, w.f3)
		w.f1, w.f3 = w.f3, w.f1
	}
}

// advance runs the present stretch for lasts seconds. After every step it
// calls seen (may be nil). If over is not nil it stops where over turns from
// negative to 0 or more and returns the seconds gone by and true.
func (s *sim) advance(ctx context.Context, lasts float64, over func() float64, seen func()) (float64, bool, error) {
	if over != nil && over() >= 0 {
		return 0, true, nil
	}
	gone := 0.0
	for gone < lasts {
		if err := ctx.Err(); err != nil {
			return gone, false, err
		}
		before := s.account()
		h := s.nextStep(lasts - gone)
		last := h == lasts-gone
		if errK := s.take(h); s.m.fixedStepS == 0 {
			grow := 0.9 * math.Cbrt(s.tol/max(errK, 1e-30))
			if errK > s.tol && h > smallestStepS {
				s.undo(before)
				s.step = h * max(0.2, grow)
				continue
			}
			if !last || grow < 1 {
				s.step = h * min(4, max(0.2, grow))
			} else {
				s.step = max(s.step, h)
			}
		}
		if u := s.partK(); !(math.Abs(u) < runawayK) {
			return gone, false, &InputError{Field: "part temperature", Value: s.m.AmbientC + u, Unit: "°C", Rule: "has left what the model is for: give less heat or a larger part"}
		}
		if over != nil && over() >= 0 {
			part := s.cut(before, h, over)
			s.accept()
			if seen != nil {
				seen()
			}
			return gone + part, true, nil
		}
		s.accept()
		gone += h
		if last {
			gone = lasts
		}
		if seen != nil {
			seen()
		}
	}
	return gone, false, nil
}

func (s *sim) nextStep(left float64) float64 {
	h := s.step
	if s.m.fixedStepS > 0 {
		h = s.m.fixedStepS
	}
	if h >= left*(1-1e-12) {
		return left
	}
	return min(h, max(left/2, s.m.fixedStepS)) // no crumb at the end
}

// cut shortens the step just taken, of h seconds, to the moment at which over
// reaches 0, and returns its length.
func (s *sim) cut(before account, h float64, over func() float64) float64 {
	low, high := 0.0, h
	for range 60 {
		if high-low <= 1e-6*(1+s.startTimeS) {
			break
		}
		middle := (low + high) / 2
		s.undo(before)
		s.take(middle)
		if over() >= 0 {
			high = middle
		} else {
			low = middle
		}
	}
	s.undo(before)
	s.take(high)
	return high
}
