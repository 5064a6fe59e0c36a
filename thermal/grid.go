package thermal

import "math"

// wall is a layer cut into cells: capacities in J/K and conductances in W/K of
// the whole area. Cell j touches cell j-1 through gain[j]; gain[0] leads to the
// part and includes the contact and half of the first cell.
type wall struct {
	capacity []float64
	gain     []float64
	side     []float64 // W/K to ambient
	middleMM []float64 // depth of each cell's middle
	depthMM  float64   // whole thickness
	back     float64   // W/K from the last cell's middle to the back's surroundings
	backK    float64   // surroundings behind, above ambient
	skin     float64   // W/K from the face to the first cell's middle
	contact  float64   // W/K from the part's mean to the face, may be +Inf
	backSkin float64   // W/K from the last cell's middle to the back face

	// Work space of the solver, one entry a cell.
	u, rhs, f1, f2, f3, errK []float64
	p, q, pivot              []float64
	before, slopeA, slopeB   []float64
}

const (
	defaultCells = 30
	// growth is the ratio of the last to the first cell at the default grading.
	growth = 25.0
)

// newWall cuts a layer into n cells that grow smoothly with depth; each sheet
// gets its share of them, and no cell crosses from one sheet into the next.
//
// The edges are at x(s) = D·(e^(a·s) - 1)/(e^a - 1) for s from 0 to 1 with
// e^a = 25, moved to the nearest sheet borders piece by piece. The map is
// smooth inside a sheet, so halving the cells cuts the error by four.
func newWall(l *Layer, n int, partWMK float64) *wall {
	if n == 0 {
		n = defaultCells
	}
	total := 0.0
	for _, s := range l.Sheets {
		total += s.ThicknessMM
	}
	a := math.Log(growth)
	at := func(s float64) float64 { return total * (math.Exp(a*s) - 1) / (growth - 1) }
	place := func(x float64) float64 { return math.Log(1+x/total*(growth-1)) / a }

	w := &wall{depthMM: total, backK: l.BackAboveK}
	area := l.AreaMM2 * mm2
	from := 0.0
	var half []float64 // K/W from a cell's middle to its edge
	for _, s := range l.Sheets {
		to := from + s.ThicknessMM
		s0, s1 := place(from), place(to)
		cells := max(2, int(math.Round(float64(n)*(s1-s0))))
		for i := range cells {
			x0 := at(s0 + (s1-s0)*float64(i)/float64(cells))
			x1 := at(s0 + (s1-s0)*float64(i+1)/float64(cells))
			dx := (x1 - x0) * 1e-3
			w.capacity = append(w.capacity, s.DensityKgM3*s.SpecificHeatJKgK*area*dx)
			w.side = append(w.side, l.SideFilmWM2K*l.SideMM*1e-3*dx)
			w.middleMM = append(w.middleMM, (x0+x1)/2)
			half = append(half, dx/2/(s.ConductivityWMK*area))
		}
		from = to
	}
	last := len(half) - 1
	w.skin = 1 / half[0]
	w.contact = l.ContactWM2K * area
	if l.PathMM > 0 {
		w.contact = series(w.contact, partWMK*area/(l.PathMM*1e-3))
	}
	w.gain = make([]float64, len(half))
	w.gain[0] = series(w.contact, w.skin)
	for j := 1; j <= last; j++ {
		w.gain[j] = 1 / (half[j-1] + half[j])
	}
	w.backSkin = 1 / half[last]
	w.back = series(l.BackFilmWM2K*area, w.backSkin)
	for _, v := range []*[]float64{&w.u, &w.rhs, &w.f1, &w.f2, &w.f3, &w.errK, &w.p, &w.q, &w.pivot, &w.before, &w.slopeA, &w.slopeB} {
		*v = make([]float64, len(half))
	}
	for j := range w.u {
		w.u[j] = l.StartAboveK
	}
	return w
}

// series is the conductance of two in a row; the first may be +Inf or 0.
func series(a, b float64) float64 {
	if math.IsInf(a, 1) {
		return b
	}
	return a * b / (a + b)
}

// flow is the heat in W from the part at u0 (above ambient) into the wall.
func (w *wall) flow(u0 float64, u []float64) float64 { return w.gain[0] * (u0 - u[0]) }

// loss is the heat in W that leaves the wall by back and sides.
func (w *wall) loss(u []float64) float64 {
	out := w.back * (u[len(u)-1] - w.backK)
	for j, s := range w.side {
		out += s * u[j]
	}
	return out
}

// slope writes du/dt of every cell, in K/s, into out.
func (w *wall) slope(u0 float64, u, out []float64) {
	last := len(u) - 1
	in := w.gain[0] * (u0 - u[0])
	for j := range u {
		var onward float64
		if j < last {
			onward = w.gain[j+1] * (u[j] - u[j+1])
		} else {
			onward = w.back * (u[j] - w.backK)
		}
		out[j] = (in - onward - w.side[j]*u[j]) / w.capacity[j]
		in = onward
	}
}

// factor prepares the solution of (1 - s·d/dt) u = rhs for the step weight s:
// u[j] = p[j] + q[j]·u[j-1], with u[-1] the part.
func (w *wall) factor(s float64) {
	last := len(w.u) - 1
	next := 0.0 // conductance from j to what lies behind, with what it passes back
	for j := last; j >= 0; j-- {
		var behind float64
		if j == last {
			behind = w.back
		} else {
			behind = w.gain[j+1] * (1 - next)
		}
		w.pivot[j] = w.capacity[j] + s*(w.gain[j]+behind+w.side[j])
		w.q[j] = s * w.gain[j] / w.pivot[j]
		next = w.q[j]
	}
}

// sweep computes p for the right-hand side rhs in K. withBack adds the
// surroundings behind (false for a correction, which has none).
func (w *wall) sweep(s float64, rhs []float64, withBack bool) {
	last := len(rhs) - 1
	behind := 0.0
	if withBack {
		behind = w.back * w.backK
	}
	for j := last; j >= 0; j-- {
		w.p[j] = (w.capacity[j]*rhs[j] + s*behind) / w.pivot[j]
		behind = w.gain[j] * w.p[j]
	}
}

// substitute writes the solution for the part at u0 into out.
func (w *wall) substitute(u0 float64, out []float64) {
	for j := range out {
		out[j] = w.p[j] + w.q[j]*u0
		u0 = out[j]
	}
}

// faceK is the face's temperature above ambient when the part is at u0.
func (w *wall) faceK(u0 float64, u []float64) float64 {
	if math.IsInf(w.contact, 1) {
		return u0
	}
	return u[0] + w.flow(u0, u)/w.skin
}

// atK is the temperature above ambient at a depth: linear between the face,
// the cells' middles and the back. A depth beyond the back gives the back's.
func (w *wall) atK(depthMM, u0 float64, u []float64) float64 {
	last := len(u) - 1
	x0, v0 := 0.0, w.faceK(u0, u)
	for j := range u {
		if depthMM <= w.middleMM[j] {
			return v0 + (u[j]-v0)*(depthMM-x0)/(w.middleMM[j]-x0)
		}
		x0, v0 = w.middleMM[j], u[j]
	}
	back := u[last] - w.back*(u[last]-w.backK)/w.backSkin
	return v0 + (back-v0)*(min(depthMM, w.depthMM)-x0)/(w.depthMM-x0)
}

// heatJ is the heat stored above ambient.
func (w *wall) heatJ(u []float64) float64 {
	sum := 0.0
	for j, c := range w.capacity {
		sum += c * u[j]
	}
	return sum
}
