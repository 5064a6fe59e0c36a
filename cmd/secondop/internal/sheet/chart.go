package sheet

import (
	"html/template"
	"math"

	"secondop/fixture/outline"
)

// chart is a canvas with a plot in data coordinates. em is about the height of
// its text.
type chart struct {
	*canvas
	x0, x1, y0, y1 float64 // data at the edges of the plot
	left, bottom   float64 // margins in canvas units
	em             float64
}

const (
	chartWide = 100.0
	chartEm   = 2.6
)

// newChart is a plot of the data from x0 to x1 and y0 to y1, as high as given.
func newChart(x0, x1, y0, y1, high float64) *chart {
	return &chart{canvas: newCanvas(0, 0, chartWide, high), x0: x0, x1: x1, y0: y0, y1: y1, left: 6.5 * chartEm, bottom: 2 * chartEm, em: chartEm}
}

func (c *chart) px(x float64) float64 {
	return c.left + (x-c.x0)/(c.x1-c.x0)*(c.hi.X-c.left-c.em)
}

func (c *chart) py(y float64) float64 {
	return c.bottom + (y-c.y0)/(c.y1-c.y0)*(c.hi.Y-c.bottom-c.em)
}

func (c *chart) at(x, y float64) outline.Point { return outline.Point{X: c.px(x), Y: c.py(y)} }

// curve draws y over x; clip keeps it inside the plot.
func (c *chart) curve(class string, n int, f func(i int) (x, y float64)) {
	points := make([]outline.Point, 0, n)
	for i := range n {
		x, y := f(i)
		points = append(points, c.at(x, math.Max(c.y0, math.Min(c.y1, y))))
	}
	c.polygon(class, false, points...)
}

// level draws a line across with its name above it at the left, or below it at
// the right.
func (c *chart) level(class string, y float64, name string, below bool) {
	c.line(class, c.px(c.x0), c.py(y), c.px(c.x1), c.py(y))
	if below {
		c.text("mark", "end", c.px(c.x1), c.py(y)-1.3*c.em, name)
		return
	}
	c.text("mark", "start", c.px(c.x0)+0.5*c.em, c.py(y)+0.4*c.em, name)
}

func (c *chart) axes() {
	c.line("axis", c.px(c.x0), c.py(c.y0), c.px(c.x1), c.py(c.y0))
	c.line("axis", c.px(c.x0), c.py(c.y0), c.px(c.x0), c.py(c.y1))
}

func (c *chart) tickY(y float64, name string) {
	c.line("axis", c.px(c.x0)-0.4*c.em, c.py(y), c.px(c.x0), c.py(y))
	c.text("mark", "end", c.px(c.x0)-0.7*c.em, c.py(y)-0.35*c.em, name)
}

func (c *chart) tickX(x float64, name string) {
	anchor := "middle"
	if c.px(x) > c.hi.X-4*c.em {
		anchor = "end"
	}
	c.line("axis", c.px(x), c.py(c.y0)-0.4*c.em, c.px(x), c.py(c.y0))
	c.text("mark", anchor, c.px(x), c.py(c.y0)-1.5*c.em, name)
}

// nice are round values from lo to hi, a few of them, in steps of one of
// steps times a power of ten.
func nice(lo, hi float64, few int) (list []float64) {
	if !(hi > lo) {
		return nil
	}
	step := math.Pow(10, math.Floor(math.Log10((hi-lo)/float64(few))))
	for _, k := range []float64{1, 2, 5, 10} {
		if (hi-lo)/(k*step) <= float64(few) {
			step *= k
			break
		}
	}
	for n := math.Ceil(lo/step - 1e-9); n*step <= hi+1e-9*step; n++ {
		list = append(list, n*step+0) // no minus before a zero
	}
	return list
}

// times are round times up to endS.
func times(endS float64) (list []float64) {
	for _, step := range []float64{5, 10, 15, 30, 60, 120, 300, 600, 1200, 1800, 3600, 7200} {
		if endS/step > 5 {
			continue
		}
		for t := 0.0; t <= endS; t += step {
			list = append(list, t)
		}
		return list
	}
	return []float64{0, endS}
}

// warmTicks are temperatures in °C that are round in the job's units.
func (s *sheet) warmTicks(loC, hiC float64) []float64 {
	if !s.u.Inch {
		return nice(loC, hiC, 5)
	}
	list := nice(loC*9/5+32, hiC*9/5+32, 5)
	for i := range list {
		list[i] = (list[i] - 32) * 5 / 9
	}
	return list
}

// heatChart is the jaw face over the time of cutting without a rest, with its
// band and the limits.
func (s *sheet) heatChart() template.HTML {
	h := s.r.Heat
	if h == nil || len(h.Series) < 2 {
		return ""
	}
	end := h.Series[len(h.Series)-1].TimeS
	low, high := *h.Series[0].JawFaceC.Likely, h.LimitC
	for _, p := range h.Series {
		low, high = math.Min(low, *p.JawFaceC.Low), math.Max(high, math.Max(*p.JawFaceC.High, *p.PartC.Likely))
	}
	c := newChart(0, end, low-2, high+(high-low)*0.12, 46)
	n := len(h.Series)
	band := make([]outline.Point, 0, 2*n)
	for i := range n {
		band = append(band, c.at(h.Series[i].TimeS, *h.Series[i].JawFaceC.High))
	}
	for i := n - 1; i >= 0; i-- {
		band = append(band, c.at(h.Series[i].TimeS, *h.Series[i].JawFaceC.Low))
	}
	c.polygon("band", true, band...)
	c.curve("likely", n, func(i int) (float64, float64) { return h.Series[i].TimeS, *h.Series[i].JawFaceC.Likely })
	c.level("limit", h.LimitC, "limit "+s.u.Temperature(h.LimitC), false)
	c.level("caution", h.CautionC, "rest at "+s.u.Temperature(h.CautionC), true)
	last := h.Series[n*4/5]
	c.text("mark", "end", c.px(last.TimeS), c.py(*last.JawFaceC.High)+0.6*c.em, "high estimate")
	c.text("mark", "start", c.px(last.TimeS), c.py(*last.JawFaceC.Likely)-1.3*c.em, "likely")
	c.axes()
	for _, t := range s.warmTicks(c.y0, c.y1) {
		c.tickY(t, s.u.Temperature(t))
	}
	for _, t := range times(end) {
		c.tickX(t, s.u.Time(t))
	}
	return c.svg("chart", "Temperature of the jaw face over the time of cutting without a rest: band from the low to the high estimate, and the limit.")
}

// scheduleChart is the cutting and resting, with the jaw face on the high
// estimate. A job without rests has none.
func (s *sheet) scheduleChart() template.HTML {
	if s.plan.Heat == nil || s.plan.Heat.Answer.Schedule.Stops == 0 {
		return ""
	}
	a := s.plan.Heat.Answer.Schedule
	face := a.Face
	if len(face) < 2 {
		return ""
	}
	end := face[len(face)-1].TimeS
	low, high := face[0].JawFaceC, s.r.Heat.LimitC
	for _, p := range face {
		low, high = math.Min(low, p.JawFaceC), math.Max(high, p.JawFaceC)
	}
	c := newChart(0, end, low-(high-low)*0.18, high+(high-low)*0.15, 40)
	for _, st := range a.Stretches {
		if st.Do == "cut" {
			c.rect("cutting", c.px(st.FromS), c.py(c.y0), c.px(st.FromS+st.LastsS), c.py(c.y0)+c.em)
		}
	}
	c.curve("likely", len(face), func(i int) (float64, float64) { return face[i].TimeS, face[i].JawFaceC })
	c.level("limit", s.r.Heat.LimitC, "limit "+s.u.Temperature(s.r.Heat.LimitC), false)
	c.axes()
	for _, t := range s.warmTicks(c.y0, c.y1) {
		c.tickY(t, s.u.Temperature(t))
	}
	for _, t := range times(end) {
		c.tickX(t, s.u.Time(t))
	}
	return c.svg("chart", "Cutting and resting: the bars at the foot are cutting, the line is the jaw face on the high estimate.")
}

// factorChart is the holding factor as the plastic warms.
func (s *sheet) factorChart() template.HTML {
	h := s.r.Hold
	if h == nil || len(h.OverTime) < 2 {
		return ""
	}
	over, wanted := h.OverTime, s.plan.Job.Cut.WantedFactor
	end, high := over[len(over)-1].TimeS, wanted
	for _, p := range over {
		high = math.Max(high, p.Factor)
	}
	c := newChart(0, end, 0, high*1.25, 36)
	c.curve("likely", len(over), func(i int) (float64, float64) { return over[i].TimeS, over[i].Factor })
	c.level("limit", 1, "1: it slips", false)
	c.level("caution", wanted, "wanted "+s.u.Factor(wanted), true)
	c.axes()
	for _, y := range nice(0, c.y1, 5) {
		c.tickY(y, s.u.Factor(y))
	}
	for _, t := range times(end) {
		c.tickX(t, s.u.Time(t))
	}
	return c.svg("chart", "Holding factor of the worst cut over the time of cutting, with the plastic as warm as the high estimate.")
}

// mostPolymers is how many rows the comparison shows.
const mostPolymers = 9

// polymerChart compares jaw polymers: the face on the high estimate against
// each one's limit.
func (s *sheet) polymerChart() template.HTML {
	if s.plan.Heat == nil {
		return ""
	}
	type row struct {
		name, verdict string
		face, limit   float64
	}
	rows := []row{{s.plan.Polymer.Name + " (this job)", s.r.Heat.Verdict, *s.r.Heat.JawFaceC.High, s.r.Heat.LimitC}}
	for _, a := range s.plan.Heat.Answer.Alternatives {
		if a.Polymer != "" && len(rows) < mostPolymers {
			rows = append(rows, row{a.Polymer, a.Verdict, a.JawFaceC, a.LimitC})
		}
	}
	low := s.plan.Heat.Request.AmbientC
	high := low + 1
	for _, r := range rows {
		high = math.Max(high, math.Max(r.face, r.limit))
	}
	n := float64(len(rows))
	c := newChart(low-2, high+5, 0, n, 3*chartEm+n*2.5*chartEm)
	c.left = c.em
	for i, r := range rows {
		y := n - float64(i) - 0.75
		c.text("mark", "start", c.px(low), c.py(y)+0.55*c.em, r.name+": "+r.verdict)
		c.line("thin", c.px(low), c.py(y), c.px(r.limit), c.py(y))
		c.line("limit", c.px(r.limit), c.py(y)-0.6*c.em, c.px(r.limit), c.py(y)+0.6*c.em)
		c.circle("dot", c.px(r.face), c.py(y), 0.4*c.em)
	}
	for _, t := range s.warmTicks(low, high) {
		c.tickX(t, s.u.Temperature(t))
	}
	return c.svg("chart", "Jaw polymers compared: the dot is the jaw face on the high estimate, the stroke the polymer's limit.")
}
