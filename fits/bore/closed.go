package bore

import "math"

// The unknowns of the closed form, in this order: offset, bore, gauge bias.
const (
	iOffset = iota
	iBore
	iBias
	unknowns
)

// closed is the normal form: for each guess of the pass scatter the unknowns
// are jointly normal, and each reading updates mean and covariance by the
// ordinary conjugate rule. With one guess, no bias and the first bore far below
// it is
//
//	1/τ² = 1/τ₀² + 1/r²,  μ = τ²·(μ₀/τ₀² + z/r²),  z = m − c,  r² = s_p² + s_m²
//
// That metal does not grow back is taken in by matching the first two moments
// of the larger of two normal numbers (see greatest). Source: any text on the
// normal model, e.g. Gelman et al., Bayesian Data Analysis, ch. 2 (from memory).
type closed struct {
	gauge   Gauge
	guesses []guess
}

type guess struct {
	weight, scatterMM float64
	hasBore           bool
	mean              [unknowns]float64
	cov               [unknowns][unknowns]float64
}

func newClosed(p Prior, g Gauge, scatterMM, scatterDoubt, startMM float64) *closed {
	scatters, weights := scatterGuesses(scatterMM, scatterDoubt)
	b := &closed{gauge: g}
	for i := range scatters {
		var q guess
		q.weight, q.scatterMM = weights[i], scatters[i]
		q.mean[iOffset] = p.MeanMM
		q.cov[iOffset][iOffset] = p.SdMM * p.SdMM
		q.cov[iBias][iBias] = g.BiasSdMM * g.BiasSdMM
		b.guesses = append(b.guesses, q)
	}
	b.NewPart(startMM, 0)
	return b
}

func (b *closed) Clone() Belief {
	c := &closed{gauge: b.gauge, guesses: make([]guess, len(b.guesses))}
	copy(c.guesses, b.guesses)
	return c
}

func (b *closed) Cut(commandedMM float64) {
	for i := range b.guesses {
		b.guesses[i].cut(commandedMM)
	}
}

// fresh gives mean and variance of c + b + e, and its covariances.
func (q *guess) fresh(commandedMM float64) (mean, variance float64, with [unknowns]float64) {
	for j := range with {
		with[j] = q.cov[iOffset][j]
	}
	return commandedMM + q.mean[iOffset], q.cov[iOffset][iOffset] + q.scatterMM*q.scatterMM, with
}

func (q *guess) cut(commandedMM float64) {
	mean, variance, with := q.fresh(commandedMM)
	share := 1.0
	if q.hasBore {
		mean, variance, share = greatest(mean, variance, q.mean[iBore], q.cov[iBore][iBore], with[iBore])
	}
	for _, j := range []int{iOffset, iBias} {
		c := share*with[j] + (1-share)*q.cov[iBore][j]
		q.cov[iBore][j], q.cov[j][iBore] = c, c
	}
	q.mean[iBore], q.cov[iBore][iBore], q.hasBore = mean, variance, true
}

// expected gives mean and variance of a measured reading.
func (q *guess) expected(noiseSd float64) (mean, variance float64) {
	return q.mean[iBore] + q.mean[iBias],
		q.cov[iBore][iBore] + q.cov[iBias][iBias] + 2*q.cov[iBore][iBias] + noiseSd*noiseSd
}

func (b *closed) noise(r Reading) float64 { return math.Hypot(b.gauge.SdMM, r.ExtraSdMM) }

// Read takes measured readings only; the grid takes the others.
func (b *closed) Read(r Reading) {
	noise := b.noise(r)
	logs := make([]float64, len(b.guesses))
	for i := range b.guesses {
		q := &b.guesses[i]
		mean, variance := q.expected(noise)
		off := r.MM - mean
		logs[i] = math.Log(q.weight) - 0.5*math.Log(variance) - 0.5*off*off/variance
		var h, gain [unknowns]float64
		for j := range h {
			h[j] = q.cov[j][iBore] + q.cov[j][iBias]
			gain[j] = h[j] / variance
			q.mean[j] += gain[j] * off
		}
		for j := range h {
			for k := range h {
				q.cov[j][k] -= gain[j] * h[k]
			}
		}
	}
	most := math.Inf(-1)
	for _, l := range logs {
		most = math.Max(most, l)
	}
	sum := 0.0
	for i, l := range logs {
		b.guesses[i].weight = math.Exp(l - most)
		sum += b.guesses[i].weight
	}
	for i := range b.guesses {
		b.guesses[i].weight /= sum
	}
}

func (b *closed) Tail(r Reading) float64 {
	noise, tail := b.noise(r), 0.0
	for i := range b.guesses {
		mean, variance := b.guesses[i].expected(noise)
		tail += b.guesses[i].weight * oddness((r.MM-mean)/math.Sqrt(variance))
	}
	return tail
}

func (b *closed) SurpriseMM(r Reading) float64 {
	off := 0.0
	for i := range b.guesses {
		mean, _ := b.guesses[i].expected(0)
		off += b.guesses[i].weight * (r.MM - mean)
	}
	return off
}

func (b *closed) Widen(sdMM float64) {
	for i := range b.guesses {
		b.guesses[i].cov[iOffset][iOffset] += sdMM * sdMM
	}
}

func (b *closed) NewPart(startMM, driftSdMM float64) {
	for i := range b.guesses {
		q := &b.guesses[i]
		for j := range q.mean {
			q.cov[iBore][j], q.cov[j][iBore] = 0, 0
		}
		q.mean[iBore], q.hasBore = startMM, startMM > 0
		q.cov[iOffset][iOffset] += driftSdMM * driftSdMM
	}
}

// pooled is mean and standard deviation of one unknown over all guesses.
func (b *closed) pooled(j int) (mean, sd float64) {
	for _, q := range b.guesses {
		mean += q.weight * q.mean[j]
	}
	v := 0.0
	for _, q := range b.guesses {
		off := q.mean[j] - mean
		v += q.weight * (q.cov[j][j] + off*off)
	}
	return mean, math.Sqrt(v)
}

func (b *closed) Bore() (meanMM, sdMM float64)   { return b.pooled(iBore) }
func (b *closed) Offset() (meanMM, sdMM float64) { return b.pooled(iOffset) }

// tiny stands in for a standard deviation of nothing.
const tiny = 1e-9

func (b *closed) Chances(w Window) Chances {
	var sum Chances
	for _, q := range b.guesses {
		sum = sum.plus(q.weight, w.Conformity(q.mean[iBore], math.Sqrt(q.cov[iBore][iBore])+tiny))
	}
	return sum
}

func (c Chances) plus(weight float64, d Chances) Chances {
	return Chances{c.Under + weight*d.Under, c.In + weight*d.In, c.Over + weight*d.Over}
}

// After holds the added risk to be the whole chance that the fresh cut is over,
// which is never less than what the pass adds.
func (b *closed) After(commandedMM float64, w Window) (c Chances, added float64) {
	for _, q := range b.guesses {
		mean, variance, _ := q.fresh(commandedMM)
		added += q.weight * cdf((mean-w.UpperMM)/math.Sqrt(variance))
		q.cut(commandedMM)
		c = c.plus(q.weight, w.Conformity(q.mean[iBore], math.Sqrt(q.cov[iBore][iBore])+tiny))
	}
	return c, added
}
