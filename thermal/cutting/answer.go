package cutting

import "math"

// LargestWidth returns the largest radial width in mm at which the likely
// in-plane peak stays within limitN, no wider than m.WidthMM. It is 0 when not
// even a hundredth of m.WidthMM does.
func LargestWidth(m EndMill, limitN float64) (widthMM float64, err error) {
	return largest(m.WidthMM, limitN, func(w float64) (float64, error) {
		m.WidthMM = w
		f, err := Mill(m)
		return f.InPlaneN.Likely, err
	})
}

// LargestFeed returns the largest feed in mm/min at which the likely in-plane
// peak stays within limitN, no faster than m.FeedMMMin. It is 0 when not even a
// hundredth of m.FeedMMMin does; below 0.01 mm a tooth the edge rubs.
func LargestFeed(m EndMill, limitN float64) (feedMMMin float64, err error) {
	return largest(m.FeedMMMin, limitN, func(v float64) (float64, error) {
		m.FeedMMMin = v
		f, err := Mill(m)
		return f.InPlaneN.Likely, err
	})
}

// LargestDepth returns the largest axial depth in mm at which the likely
// in-plane peak stays within limitN, no deeper than m.DepthMM, or 0.
func LargestDepth(m EndMill, limitN float64) (depthMM float64, err error) {
	return largest(m.DepthMM, limitN, func(ap float64) (float64, error) {
		m.DepthMM = ap
		f, err := Mill(m)
		return f.InPlaneN.Likely, err
	})
}

// largest finds the root of a rising force by bisection, to 0.1 % of most.
func largest(most, limitN float64, force func(float64) (float64, error)) (float64, error) {
	f, err := force(most)
	if err != nil || f <= limitN {
		return most, err
	}
	lo, hi := most/100, most
	if f, err = force(lo); err != nil || !(f <= limitN) {
		return 0, err
	}
	for range 20 {
		mid := math.Sqrt(lo * hi)
		if f, err = force(mid); err != nil {
			return 0, err
		}
		if f <= limitN {
			lo = mid
		} else {
			hi = mid
		}
		if hi-lo < most/1000 {
			break
		}
	}
	return lo, nil
}
