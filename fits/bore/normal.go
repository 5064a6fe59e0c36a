package bore

import "math"

// cdf is the standard normal distribution function.
func cdf(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// density is the standard normal density.
func density(z float64) float64 { return math.Exp(-0.5*z*z) / math.Sqrt(2*math.Pi) }

// quantile is the z with cdf(z) = p.
func quantile(p float64) float64 { return -math.Sqrt2 * math.Erfcinv(2*p) }

// greatest gives mean and variance of max(a, b) for two jointly normal numbers,
// and the weight of a in its covariance with any third one:
//
//	Cov(x, max) = share·Cov(x, a) + (1−share)·Cov(x, b)
//
// Source: C. E. Clark, The greatest of a finite set of random variables,
// Operations Research 9 (1961) 145, eqs. 2 to 4 and 6 (from memory).
func greatest(meanA, varA, meanB, varB, covAB float64) (mean, variance, share float64) {
	gap := varA + varB - 2*covAB
	if gap <= 1e-18 {
		if meanA >= meanB {
			return meanA, varA, 1
		}
		return meanB, varB, 0
	}
	s := math.Sqrt(gap)
	lead := meanA - meanB
	z := lead / s
	share = cdf(z)
	// Moments about b's mean, so that micrometres don't drown in squared sizes.
	first := lead*share + s*density(z)
	second := (lead*lead+varA)*share + varB*(1-share) + lead*s*density(z)
	return meanB + first, math.Max(second-first*first, 0), share
}
