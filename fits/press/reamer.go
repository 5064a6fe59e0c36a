package press

import (
	"fmt"
	"math"
	"strings"

	"secondop/fits"
)

// Reamer is a reamer to buy, and the hole that it is likely to make.
type Reamer struct {
	Name                 string // "10 mm H7", "9.98 mm", "1/4 in", "0.2495 in"
	SizeMM               float64
	HoleMinMM, HoleMaxMM float64 // likely hole
	// InWindow is the share of the likely hole that lies in the window, 0 to 1.
	InWindow   float64
	PredrillMM float64 // drill before it
	Source     string
}

// How much larger than itself a reamer cuts in aluminium, on diameter.
// Common practice, no source.
const reamsOverMM = 0.008

// ReamerFor returns the standard reamer whose likely hole lies best in a window
// of bore sizes in mm: a metric one for H7 holes, one in hundredths of a
// millimetre, a fractional inch one, or one over or under size in half
// thousandths of an inch. Where two do as well, inch picks the system and the
// commoner one wins. ok is false when no likely hole touches the window.
//
// Sizes and tolerances: H7 reamers make the hole they are named for (DIN 212);
// hundredths +4/0 µm; inch +0.0002/0 in to 1/4 in and +0.0003/0 in above (common
// practice, from memory). Valid for windows from 1 to 25 mm.
func ReamerFor(boreMinMM, boreMaxMM float64, inch bool) (r Reamer, ok bool, err error) {
	if !(boreMinMM >= 1 && boreMinMM < boreMaxMM && boreMaxMM <= 26) {
		return Reamer{}, false, &RangeError{What: "smallest bore in mm", Value: boreMinMM, Against: boreMaxMM, Rule: fmt.Sprintf("must be from 1 to below the largest (%.6g), and that at most 26", boreMaxMM)}
	}
	for _, c := range reamersNear(boreMinMM, boreMaxMM, inch) {
		overlap := math.Min(c.HoleMaxMM, boreMaxMM) - math.Max(c.HoleMinMM, boreMinMM)
		c.InWindow = math.Max(0, overlap) / (c.HoleMaxMM - c.HoleMinMM)
		if c.InWindow > r.InWindow+1e-9 {
			r = c
		}
	}
	r.PredrillMM = math.Floor((r.SizeMM-0.2)*10) / 10
	return r, r.InWindow > 0, nil
}

// reamersNear lists the reamers about a window, the preferred first.
func reamersNear(minMM, maxMM float64, inch bool) []Reamer {
	low, high := minMM-0.05, maxMM+0.05
	var metric, imperial []Reamer
	for half := math.Ceil(low * 2); half <= high*2; half++ {
		d := half / 2
		h, err := fits.Limits(d, "H7")
		if err == nil {
			metric = append(metric, Reamer{
				Name: fmt.Sprintf("%g mm H7", d), SizeMM: d, HoleMinMM: d, HoleMaxMM: d + h.Hole.UpperUM/1000,
				Source: "ISO 286-1 for the hole; the reamer after DIN 212",
			})
		}
	}
	for c := math.Ceil(low * 100); c <= high*100; c++ {
		d := c / 100
		metric = append(metric, Reamer{
			Name: fmt.Sprintf("%.2f mm", d), SizeMM: d, HoleMinMM: d, HoleMaxMM: d + 0.004 + reamsOverMM,
			Source: "reamers in hundredths, +4/0 µm, cutting up to 8 µm over; common practice, from memory",
		})
	}
	const stepMM = 0.0005 * 25.4
	for n := math.Ceil(low / stepMM); n <= high/stepMM; n++ {
		d := n * stepMM
		tolerance := 0.0002 * 25.4
		if d > 6.36 {
			tolerance = 0.0003 * 25.4
		}
		imperial = append(imperial, Reamer{
			Name: fmt.Sprintf("%.4f in", d/25.4), SizeMM: d, HoleMinMM: d, HoleMaxMM: d + tolerance + reamsOverMM,
			Source: "inch reamers in half thousandths, cutting up to 8 µm over; common practice, from memory",
		})
	}
	var fractional []Reamer
	for n := math.Ceil(low / 25.4 * 64); n <= high/25.4*64; n++ {
		d := n / 64 * 25.4
		tolerance := 0.0002 * 25.4
		if d > 6.36 {
			tolerance = 0.0003 * 25.4
		}
		fractional = append(fractional, Reamer{
			Name: fraction(int(n), 64) + " in", SizeMM: d, HoleMinMM: d, HoleMaxMM: d + tolerance + reamsOverMM,
			Source: "fractional reamers, cutting up to 8 µm over; common practice, from memory",
		})
	}
	imperial = append(fractional, imperial...)
	if inch {
		return append(imperial, metric...)
	}
	return append(metric, imperial...)
}

// fraction writes n/of in lowest terms, with its whole part.
func fraction(n, of int) string {
	for n%2 == 0 && of > 1 {
		n, of = n/2, of/2
	}
	whole, rest := n/of, n%of
	var parts []string
	if whole > 0 {
		parts = append(parts, fmt.Sprint(whole))
	}
	if rest > 0 {
		parts = append(parts, fmt.Sprintf("%d/%d", rest, of))
	}
	return strings.Join(parts, " ")
}

// Says words the reamer for a sheet; write is as in [Reason.Says].
func (r Reamer) Says(write func(Quantity) string) string {
	words := "reamer " + r.Name + ": likely hole % to %, "
	v := Go
	switch {
	case r.InWindow >= 1-1e-9:
		words += "all of it in the window"
	case r.InWindow >= 0.5:
		v = Caution
		words += "most of it in the window: ream a trial hole first"
	default:
		v = Caution
		words += "little of it in the window: ream a trial hole, or bore it"
	}
	return Reason{Verdict: v, words: words + "; drill % before it", numbers: []Quantity{mm(r.HoleMinMM), mm(r.HoleMaxMM), mm(r.PredrillMM)}}.Says(write)
}
