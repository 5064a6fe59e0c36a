package sheet

import (
	"html/template"
	"math"

	"secondop/cmd/secondop/internal/plan"
)

// windowChart is the bore window to scale, on diameter, with the insert and its
// tolerance, the passes and the gauge's doubt.
func (s *sheet) windowChart() template.HTML {
	f := s.r.Fit
	if f == nil || f.BoreMM == nil {
		return ""
	}
	in := s.plan.Fit.Insert
	low, high := math.Min(f.BoreMM.Min, in.DiameterMM+in.LowerMM), math.Max(f.BoreMM.Max, in.DiameterMM+in.UpperMM)
	for _, p := range f.Passes {
		low, high = math.Min(low, p.BoreMM), math.Max(high, p.BoreMM)
	}
	wide := f.BoreMM.Max - f.BoreMM.Min
	// A first pass far below would squeeze the window to a stroke.
	low = math.Max(low, f.BoreMM.Min-3*wide)
	doubt := s.gaugeDoubtMM()
	if doubt < 3*wide {
		low, high = math.Min(low, (f.BoreMM.Min+f.BoreMM.Max)/2-doubt), math.Max(high, (f.BoreMM.Min+f.BoreMM.Max)/2+doubt)
	}
	room := (high - low) * 0.04
	c := newChart(low-room, high+room, 0, 4, 34)
	c.left = 11 * c.em
	row := func(y float64, name string) { c.text("mark", "end", c.left-0.8*c.em, c.py(y)-0.35*c.em, name) }
	band := func(class string, y, from, to float64) {
		c.rect(class, c.px(from), c.py(y)-0.7*c.em, c.px(math.Max(to, from)), c.py(y)+0.7*c.em)
	}
	row(3.5, "insert")
	if in.UpperMM > in.LowerMM {
		band("insert", 3.5, in.DiameterMM+in.LowerMM, in.DiameterMM+in.UpperMM)
	} else {
		c.line("likely", c.px(in.DiameterMM), c.py(3.5)-0.7*c.em, c.px(in.DiameterMM), c.py(3.5)+0.7*c.em)
	}
	row(2.5, "window")
	band("band", 2.5, f.BoreMM.Min, f.BoreMM.Max)
	row(1.5, "passes")
	for _, p := range f.Passes {
		if p.BoreMM >= low {
			c.line("likely", c.px(p.BoreMM), c.py(1.5)-0.7*c.em, c.px(p.BoreMM), c.py(1.5)+0.7*c.em)
		}
	}
	row(0.5, "gauge's doubt")
	if doubt > 0 {
		m := math.Max(c.x0, (f.BoreMM.Min+f.BoreMM.Max)/2-doubt)
		n := math.Min(c.x1, (f.BoreMM.Min+f.BoreMM.Max)/2+doubt)
		c.line("dim", c.px(m), c.py(0.5), c.px(n), c.py(0.5))
		c.line("dim", c.px(m), c.py(0.5)-0.5*c.em, c.px(m), c.py(0.5)+0.5*c.em)
		c.line("dim", c.px(n), c.py(0.5)-0.5*c.em, c.px(n), c.py(0.5)+0.5*c.em)
	}
	c.line("axis", c.px(c.x0), c.py(0), c.px(c.x1), c.py(0))
	for _, mm := range s.sizeTicks(c.x0, c.x1) {
		c.tickX(mm, s.u.Size(mm))
	}
	return c.svg("chart", "Bore window, insert, passes and gauge's doubt on one scale, on diameter.")
}

// sizeTicks are sizes in mm that are round in the job's units.
func (s *sheet) sizeTicks(loMM, hiMM float64) []float64 {
	if !s.u.Inch {
		return nice(loMM, hiMM, 4)
	}
	list := nice(loMM/25.4, hiMM/25.4, 4)
	for i := range list {
		list[i] *= 25.4
	}
	return list
}

// gaugeDoubtMM is twice the standard uncertainty of one reading, to either
// side; 0 where the gauge gives no number.
func (s *sheet) gaugeDoubtMM() float64 {
	q, err := plan.BoreRequest(s.plan.Job, s.plan.Fit, s.plan.Metal)
	if err != nil { // the fit has no creeping bore
		return 0
	}
	return 2 * math.Hypot(q.Gauge.SdMM, q.Gauge.BiasSdMM)
}
