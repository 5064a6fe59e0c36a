package main

import "fmt"

// A table on the terminal has at most so many rows.
const (
	mostRows      = 40
	mostStretches = 10
)

// holdDetail is the summary of the grip with a line for each operation.
func (s *screen) holdDetail() {
	s.hold()
	h, u := s.result.Hold, s.plan.Job.Units()
	for i, o := range h.Operations {
		if i == mostRows {
			break
		}
		if o.ForceN.Likely == nil {
			s.say("", "%-18s no force given", o.Name)
			continue
		}
		factor := "not judged"
		if h.HoldingFactor != nil {
			factor = fmt.Sprintf("factor %s and %s", u.Factor(o.Factor), u.Factor(o.FactorLow))
		}
		s.say("", "%-18s in plane %s likely, %s high; %s; %s", o.Name,
			u.Force(*o.ForceN.Likely), u.Force(*o.ForceN.High), u.Power(*o.PowerW.Likely), factor)
	}
	s.say("", "friction %.2g; for %s times the likely load it takes %s of clamp force", h.Friction,
		u.Factor(s.plan.Job.Cut.WantedFactor), u.Force(h.NeededClampN))
	for _, advice := range h.Advice {
		s.say("try", "%s", advice)
	}
}

// heatDetail is the summary of the heat with schedule and touch.
func (s *screen) heatDetail() {
	s.heat()
	h, u := s.result.Heat, s.plan.Job.Units()
	s.say("", "part %s likely, %s high; share of the cutting power that stays in it %s to %s (%s)",
		u.Temperature(*h.PartC.Likely), u.Temperature(*h.PartC.High), u.Share(*h.Share.Low), u.Share(*h.Share.High), h.ShareFrom)
	s.say("touch", "%s", h.Touch.Says)
	if h.ScheduleSays != "" {
		s.say("plan", "%s", h.ScheduleSays)
	}
	for i, st := range h.Schedule {
		if i == mostStretches {
			s.say("", "and %d more like these", len(h.Schedule)-i)
			break
		}
		s.say("", "%s %s, from %s for %s: jaw face %s", st.Do, st.Operation, u.Time(st.FromS), u.Time(st.LastsS), u.Temperature(st.JawFaceC))
	}
	for i, alt := range h.Alternatives {
		if i == mostRows/4 {
			break
		}
		s.say(altLabel(i), "%s: %s, jaw face %s of %s", alt.Change, alt.Verdict, u.Temperature(alt.JawFaceC), u.Temperature(alt.LimitC))
	}
}

func altLabel(i int) string {
	if i == 0 {
		return "instead"
	}
	return ""
}

// fitDetail is the summary of the fit with the table of passes.
func (s *screen) fitDetail() {
	s.fit()
	f, u := s.result.Fit, s.plan.Job.Units()
	if f.GaugeSays != "" {
		s.say("gauge", "%s", f.GaugeSays)
	}
	if f.DialSays != "" {
		s.say("dial", "%s", f.DialSays)
	}
	if f.Reamer != "" {
		s.say("ream", "%s", f.Reamer)
	}
	if len(f.Passes) > 0 {
		s.say("pass", "%-14s %-22s %-14s %s", "on diameter", "to the insert, a wall", "expect", "chance over")
	}
	for _, p := range f.Passes {
		s.say(fmt.Sprintf("%4d", p.N), "%-14s %-22s %-14s %.2g %%", u.Size(p.BoreMM), u.Size(p.WallStockMM), u.Size(p.ExpectMM), p.POver*100)
	}
}
