package sheet

import (
	"html/template"
	"math"

	"secondop/fixture/outline"
)

// What the 1:1 page can hold: the smaller of A4 and Letter, less its margins.
const (
	templateWideMM = 184
	templateHighMM = 205
	// templateShareMM is how high the outline may be for the inputs to follow on
	// the same page.
	templateShareMM = 120
)

// trueSize is the part's outline 1:1 with two bars to check the printer by;
// empty when no page can hold it. full says that it leaves no room on its page.
func (s *sheet) trueSize() (svg template.HTML, full bool) {
	o := s.plan.Jaws.Pair.Part
	lo, hi := o.Bounds()
	if hi.X-lo.X > templateWideMM && hi.Y-lo.Y <= templateWideMM {
		o = o.Turned(math.Pi / 2)
		lo, hi = o.Bounds()
	}
	if hi.X-lo.X > templateWideMM || hi.Y-lo.Y > templateHighMM {
		return "", true
	}
	const em, bars = 3.4, 18.0
	wide := math.Max(hi.X-lo.X, 60)
	c := newCanvas(lo.X-1, lo.Y-bars, lo.X+wide+1, hi.Y+1)
	c.outline("part", o)
	c.line("thin", -4, 0, 4, 0)
	c.line("thin", 0, -4, 0, 4)
	if f := s.plan.Job.Fit; f != nil {
		at := s.boreAt()
		if o != s.plan.Jaws.Pair.Part {
			at = at.Turned(math.Pi / 2)
		}
		c.circle("bore", at.X, at.Y, f.Insert.DiameterMM/2)
	}
	inside := o.Centroid()
	c.text("face", "middle", inside.X, inside.Y+em, "this face up")
	c.bar(lo.X, lo.Y-6, 50, em, "50 mm")
	c.bar(lo.X, lo.Y-bars+3, 50.8, em, "2 in")
	return c.svg("true", "The part's outline in its true size, with check bars of 50 mm and 2 in."), hi.Y-lo.Y > templateShareMM
}

// bar is a check bar with end strokes.
func (c *canvas) bar(x, y, length, em float64, name string) {
	c.line("axis", x, y, x+length, y)
	for _, end := range []float64{x, x + length} {
		c.polygon("axis", false, outline.Point{X: end, Y: y - em/2}, outline.Point{X: end, Y: y + em/2})
	}
	c.text("mark", "start", x+2, y+0.4*em, name)
}
