package bore

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

// grid keeps the joint probability of offset and bore on a regular grid, once
// for each guess of the pass scatter and each node of the gauge's bias. Offset
// and bore share the spacing, so a pass needs one table of Φ: given the offset,
// the new bore is the larger of two independent numbers, and
//
//	F_new(x | b) = F_old(x | b) · Φ((x − c − b)/s_p)
//
// is exact. A reading multiplies by its likelihood. The bias is integrated with
// Gauss-Hermite nodes.
type grid struct {
	gauge  Gauge
	stepMM float64
	bMin   float64 // centre of the first offset cell
	dMin   float64 // centre of the first bore cell
	nb, nd int
	slices []slice
	cached *rowSums // of the window last asked for; nil after a change
}

// rowSums are, for each row of each slice, the probabilities of a bore up to
// the window's limits.
type rowSums struct {
	window Window
	lower  []float64
	upper  []float64
}

type slice struct {
	scatterMM, biasMM float64
	p                 []float64 // nb rows of nd cells; sums to the slice's weight
}

const (
	gridReach = 5.0   // standard deviations kept on either side
	gridCrop  = 1e-10 // rows and columns with less than this are dropped
	biasNodes = 5
	gridMost  = 4096 // cells in one direction
)

func newGrid(p Prior, g Gauge, scatterMM, scatterDoubt, startMM float64) *grid {
	sharp := math.Min(scatterMM, g.SdMM)
	b := &grid{gauge: g, stepMM: math.Min(math.Max(sharp/1.6, 0.0003), math.Max(p.SdMM/4, 0.0003))}
	scatters, weights := scatterGuesses(scatterMM, scatterDoubt)
	nodes, shares := []float64{0}, []float64{1}
	if g.BiasSdMM > 0 {
		nodes, shares = make([]float64, biasNodes), make([]float64, biasNodes)
		quad.Hermite{}.FixedLocations(nodes, shares, math.Inf(-1), math.Inf(1))
		for i := range nodes {
			shares[i] /= math.Sqrt(math.Pi)
			nodes[i] *= math.Sqrt2 * g.BiasSdMM
		}
	}
	half := int(math.Ceil(gridReach * p.SdMM / b.stepMM))
	b.nb, b.nd, b.bMin, b.dMin = 2*half+1, 1, p.MeanMM-float64(half)*b.stepMM, startMM
	for i := range scatters {
		for j := range nodes {
			s := slice{scatterMM: scatters[i], biasMM: nodes[j], p: make([]float64, b.nb)}
			for k := range s.p {
				s.p[k] = weights[i] * shares[j] * density((b.offset(k)-p.MeanMM)/math.Max(p.SdMM, b.stepMM/4))
			}
			b.slices = append(b.slices, s)
		}
	}
	b.tidy()
	return b
}

func (b *grid) offset(k int) float64 { return b.bMin + float64(k)*b.stepMM }
func (b *grid) bore(i int) float64   { return b.dMin + float64(i)*b.stepMM }

func (b *grid) Clone() Belief {
	c := *b
	c.cached = nil
	c.slices = make([]slice, len(b.slices))
	for i, s := range b.slices {
		c.slices[i] = slice{s.scatterMM, s.biasMM, append([]float64(nil), s.p...)}
	}
	return &c
}

// reshape moves the grid to other ranges of whole cells, dropping what is
// outside and adding empty cells.
func (b *grid) reshape(bFrom, nb, dFrom, nd int) {
	for i := range b.slices {
		s := &b.slices[i]
		q := make([]float64, nb*nd)
		for j := 0; j < nb; j++ {
			old := j + bFrom
			if old < 0 || old >= b.nb || dFrom >= b.nd {
				continue
			}
			// dFrom is never negative: the bore's range grows upward only.
			copy(q[j*nd:(j+1)*nd], s.p[old*b.nd+dFrom:(old+1)*b.nd])
		}
		s.p = q
	}
	b.bMin, b.dMin = b.offset(bFrom), b.bore(dFrom)
	b.nb, b.nd = nb, nd
}

// tidy drops rows and columns at the rim that hold next to nothing and scales
// the rest to 1. It ends every change.
func (b *grid) tidy() {
	b.cached = nil
	rows, columns := make([]float64, b.nb), make([]float64, b.nd)
	for _, s := range b.slices {
		for j := range rows {
			sum := 0.0
			for k, v := range s.p[j*b.nd : (j+1)*b.nd] {
				sum += v
				columns[k] += v
			}
			rows[j] += sum
		}
	}
	total := 0.0
	for _, v := range rows {
		total += v
	}
	if total == 0 {
		return
	}
	trim := func(v []float64) (from, n int) {
		to := len(v)
		for from < to-1 && v[from] < gridCrop*total {
			from++
		}
		for to > from+1 && v[to-1] < gridCrop*total {
			to--
		}
		return from, to - from
	}
	bFrom, nb := trim(rows)
	dFrom, nd := trim(columns)
	if nb < b.nb || nd < b.nd {
		b.reshape(bFrom, nb, dFrom, nd)
	}
	for _, s := range b.slices {
		for i := range s.p {
			s.p[i] /= total
		}
	}
}

// rise is Φ((x − c − b)/s) at the upper edges of the bore cells; the entry for
// bore cell i and offset cell j stands at i − j + nb − 1.
func (b *grid) rise(commandedMM, scatterMM float64) []float64 {
	t := make([]float64, b.nb+b.nd-1)
	first := b.dMin - commandedMM - b.bMin + b.stepMM/2
	for i := range t {
		t[i] = cdf((first + float64(i-b.nb+1)*b.stepMM) / scatterMM)
	}
	return t
}

func (b *grid) Cut(commandedMM float64) {
	widest := 0.0
	for _, s := range b.slices {
		widest = math.Max(widest, s.scatterMM)
	}
	top := commandedMM + b.offset(b.nb-1) + gridReach*widest
	if n := int(math.Ceil((top - b.dMin) / b.stepMM)); n+1 > b.nd {
		b.reshape(0, b.nb, 0, min(n+1, gridMost))
	}
	for i := range b.slices {
		s := &b.slices[i]
		t := b.rise(commandedMM, s.scatterMM)
		for j := 0; j < b.nb; j++ {
			row := s.p[j*b.nd : (j+1)*b.nd]
			old, before := 0.0, 0.0
			for k, v := range row {
				old += v
				now := old * t[k-j+b.nb-1]
				row[k] = now - before
				before = now
			}
		}
	}
	b.tidy()
}

// weigh gives the likelihood of r at every bore cell of one slice.
func (b *grid) weigh(r Reading, biasMM float64) []float64 {
	l := make([]float64, b.nd)
	for k := range l {
		l[k] = r.likelihood(b.gauge, b.bore(k), biasMM)
	}
	return l
}

func (b *grid) Read(r Reading) {
	for i := range b.slices {
		s := &b.slices[i]
		l := b.weigh(r, s.biasMM)
		for j := 0; j < b.nb; j++ {
			row := s.p[j*b.nd : (j+1)*b.nd]
			for k := range row {
				row[k] *= l[k]
			}
		}
	}
	b.tidy()
}

// Tail is twice the smaller of the chances to read so little and so much: for a
// reading without a number, up to and from its interval on.
func (b *grid) Tail(r Reading) float64 {
	least, most, sd := r.MM, r.MM, math.Hypot(b.gauge.SdMM, r.ExtraSdMM)
	if r.Kind != Measured {
		least, most, sd = r.interval(b.gauge)
	}
	below, above := 0.0, 0.0
	for _, s := range b.slices {
		bias := 0.0
		if r.sharesBias(b.gauge) || r.Kind == Measured {
			bias = s.biasMM
		}
		column := make([]float64, b.nd)
		for j := 0; j < b.nb; j++ {
			for k, v := range s.p[j*b.nd : (j+1)*b.nd] {
				column[k] += v
			}
		}
		for k, v := range column {
			x := b.bore(k) + bias
			below += v * cdf((most-x)/sd)
			above += v * cdf((x-least)/sd)
		}
	}
	return math.Min(2*math.Min(below, above), 1)
}

func (b *grid) SurpriseMM(r Reading) float64 {
	if r.Kind != Measured {
		return 0
	}
	off := 0.0
	for _, s := range b.slices {
		for j := 0; j < b.nb; j++ {
			for k, v := range s.p[j*b.nd : (j+1)*b.nd] {
				off += v * (r.MM - b.bore(k) - s.biasMM)
			}
		}
	}
	return off
}

// Widen spreads the offset by a normal number, with the bore left as it is.
func (b *grid) Widen(sdMM float64) {
	if sdMM <= 0 {
		return
	}
	half := int(math.Ceil(gridReach * sdMM / b.stepMM))
	kernel := make([]float64, 2*half+1)
	sum := 0.0
	for i := range kernel {
		kernel[i] = density(float64(i-half) * b.stepMM / sdMM)
		sum += kernel[i]
	}
	b.reshape(-half, b.nb+2*half, 0, b.nd)
	for i := range b.slices {
		s := &b.slices[i]
		q := make([]float64, len(s.p))
		for j := half; j < b.nb-half; j++ {
			for m, w := range kernel {
				to := (j + m - half) * b.nd
				for k, v := range s.p[j*b.nd : (j+1)*b.nd] {
					q[to+k] += v * w / sum
				}
			}
		}
		s.p = q
	}
	b.tidy()
}

func (b *grid) NewPart(startMM, driftSdMM float64) {
	for i := range b.slices {
		s := &b.slices[i]
		q := make([]float64, b.nb)
		for j := range q {
			for _, v := range s.p[j*b.nd : (j+1)*b.nd] {
				q[j] += v
			}
		}
		s.p = q
	}
	b.nd, b.dMin = 1, startMM
	b.Widen(driftSdMM)
}

func (b *grid) Bore() (meanMM, sdMM float64) {
	return b.moments(func(_, k int) float64 { return b.bore(k) })
}

func (b *grid) Offset() (meanMM, sdMM float64) {
	return b.moments(func(j, _ int) float64 { return b.offset(j) })
}

func (b *grid) moments(of func(j, k int) float64) (mean, sd float64) {
	base := of(0, 0)
	first, second := 0.0, 0.0
	for _, s := range b.slices {
		for j := 0; j < b.nb; j++ {
			for k, v := range s.p[j*b.nd : (j+1)*b.nd] {
				x := of(j, k) - base
				first += v * x
				second += v * x * x
			}
		}
	}
	return base + first, math.Sqrt(math.Max(second-first*first, 0))
}

// upTo gives, for one row of a slice, the probability of a bore below xMM; a
// cell that x falls into counts in proportion.
func (b *grid) upTo(row []float64, xMM float64) float64 {
	at := (xMM-b.dMin)/b.stepMM + 0.5
	sum := 0.0
	for k, v := range row {
		switch {
		case float64(k+1) <= at:
			sum += v
		case float64(k) < at:
			sum += v * (at - float64(k))
		}
	}
	return sum
}

// sums gives the row sums of a window.
func (b *grid) sums(w Window) *rowSums {
	if b.cached != nil && b.cached.window == w {
		return b.cached
	}
	c := &rowSums{window: w}
	for _, s := range b.slices {
		for j := 0; j < b.nb; j++ {
			row := s.p[j*b.nd : (j+1)*b.nd]
			c.lower = append(c.lower, b.upTo(row, w.LowerMM))
			c.upper = append(c.upper, b.upTo(row, w.UpperMM))
		}
	}
	b.cached = c
	return c
}

func (b *grid) Chances(w Window) Chances {
	c := b.sums(w)
	under, notOver := 0.0, 0.0
	for i := range c.lower {
		under += c.lower[i]
		notOver += c.upper[i]
	}
	return Chances{Under: under, In: math.Max(notOver-under, 0), Over: math.Max(1-notOver, 0)}
}

func (b *grid) After(commandedMM float64, w Window) (c Chances, added float64) {
	sums := b.sums(w)
	notOver := 0.0
	for i, s := range b.slices {
		for j := 0; j < b.nb; j++ {
			at := commandedMM + b.offset(j)
			row := i*b.nb + j
			stays := cdf((w.UpperMM - at) / s.scatterMM)
			notOver += sums.upper[row] * stays
			added += sums.upper[row] * (1 - stays)
			c.Under += sums.lower[row] * cdf((w.LowerMM-at)/s.scatterMM)
		}
	}
	c.Over = math.Max(1-notOver, 0)
	c.In = math.Max(1-c.Under-c.Over, 0)
	return c, added
}
