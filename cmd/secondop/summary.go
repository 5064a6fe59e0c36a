package main

import (
	"fmt"
	"io"
	"strings"

	"secondop/cmd/secondop/internal/job"
	"secondop/cmd/secondop/internal/plan"
)

// summary prints at most a screen: the verdict and what each branch found.
func (a *app) summary(p *plan.Plan, r plan.Result, dir string) error {
	s := &screen{plan: p, result: r}
	s.head()
	s.jaws()
	s.hold()
	s.heat()
	s.fit()
	s.close(dir)
	return s.print(a.stdout)
}

func (s *screen) print(w io.Writer) error {
	_, err := io.WriteString(w, s.b.String())
	return err
}

// screen collects the lines of a summary. The first column names the branch.
type screen struct {
	plan   *plan.Plan
	result plan.Result
	b      strings.Builder
}

const labelWidth = 8

// say writes one line; the label is written only when it changes.
func (s *screen) say(label, format string, args ...any) {
	fmt.Fprintf(&s.b, "%-*s%s\n", labelWidth, label, fmt.Sprintf(format, args...))
}

func (s *screen) head() {
	s.say("job", "%s", s.result.Job)
}

func (s *screen) jaws() {
	j, u := s.result.Jaws, s.plan.Job.Units()
	if j == nil {
		return
	}
	size := func(p plan.Piece) string {
		return fmt.Sprintf("%s x %s x %s", u.Coarse(p.SizeMM[0]), u.Coarse(p.SizeMM[1]), u.Coarse(p.SizeMM[2]))
	}
	s.say("jaws", "fixed %s, moving %s; %s of %s", size(j.Fixed), size(j.Moving), u.Mass(j.MassG), s.plan.Polymer.Name)
	var holes []string
	for _, b := range j.Bolts {
		holes = append(holes, boltPlace(b))
	}
	if len(j.Bolts) > 0 {
		b := j.Bolts[0]
		s.say("", "screws %s x %s with washer, %s, in %s", b.Screw, u.Coarse(b.LengthMM), u.Torque(b.TorqueNm), strings.Join(holes, " and "))
	}
	s.say("", "part zero: X %s, Y %s from %s, known to %s; indicate for anything closer",
		u.Coarse(j.PartZeroMM[0]), u.Coarse(j.PartZeroMM[1]), anchorPlace(j.Anchor, s.plan.Job.Table), u.Coarse(j.PartZeroDoubtMM))
	h := j.HeightsMM
	s.say("", "above the table: seat %s, jaw top %s, part top %s then %s, highest %s",
		u.Coarse(h.Seat), u.Coarse(h.JawTop), u.Coarse(h.PartTopBefore), u.Coarse(h.PartTopAfter), u.Coarse(h.Highest))
}

func boltPlace(b plan.Bolt) string {
	if b.Slot > 0 {
		return fmt.Sprintf("slot %d", b.Slot)
	}
	return fmt.Sprintf("column %d row %d", b.Column, b.Row)
}

func anchorPlace(h plan.Hole, t job.Table) string {
	switch {
	case t.Slots != nil && t.Slots.AlongY:
		return "the slot's centre line and the fixed jaw's back face"
	case t.Slots != nil:
		return "the slot's centre line and the fixed jaw's left face"
	}
	return fmt.Sprintf("the anchor hole, column %d row %d", h.Column, h.Row)
}

func (s *screen) hold() {
	h, u := s.result.Hold, s.plan.Job.Units()
	if h == nil {
		return
	}
	if h.HoldingFactor == nil && h.NeededClampN == 0 {
		if h.ClampN != nil {
			s.say("grip", "clamp %s after creep; no cut to judge it by", u.Force(h.ClampN.Likely))
		}
		return
	}
	if h.HoldingFactor == nil {
		s.say("grip", "no holding factor; %s of clamp force would be needed", u.Force(h.NeededClampN))
		return
	}
	s.say("grip", "carries %s times the likely load, %s times the high one; clamp %s after creep",
		u.Factor(h.HoldingFactor.Likely), u.Factor(h.HoldingFactor.Low), u.Force(h.ClampN.Likely))
	s.say("", "weakest in %q: %s toward %.0f deg (0 is +X, counter-clockwise), where it %s", h.Worst.Operation, u.Force(h.Worst.ForceN), h.Worst.DirectionDeg, h.Worst.Fails)
}

func (s *screen) heat() {
	h, u := s.result.Heat, s.plan.Job.Units()
	if h == nil {
		return
	}
	s.say("heat", "jaw face %s likely, %s on the high estimate, which decides; limit %s",
		u.Temperature(*h.JawFaceC.Likely), u.Temperature(*h.JawFaceC.High), u.Temperature(h.LimitC))
	if t := h.SecondsToLimit.Low; t != nil {
		s.say("", "the limit may come after %s of cutting", u.Time(*t))
	}
}

func (s *screen) fit() {
	f, u := s.result.Fit, s.plan.Job.Units()
	if f == nil {
		return
	}
	if f.BoreMM == nil {
		s.say("fit", "no bore size does it")
		return
	}
	s.say("fit", "bore %s to %s on diameter%s", u.Size(f.BoreMM.Min), u.Size(f.BoreMM.Max), passesPlanned(len(f.Passes)))
	if f.PressInN != nil && f.PressInN.Max > 0 {
		s.say("", "press in with %s to %s (%s); holds %s to %s", u.Force(f.PressInN.Min), u.Force(f.PressInN.Max), f.PressWith,
			u.Force(f.PushOutN.Min), u.Force(f.PushOutN.Max))
	}
}

func passesPlanned(n int) string {
	switch n {
	case 0:
		return ""
	case 1:
		return "; 1 pass planned"
	}
	return fmt.Sprintf("; %d passes planned", n)
}

// close prints the folder, the reasons that are not go, and the verdict last.
func (s *screen) close(dir string) {
	if dir != "" {
		s.say("folder", "%s", dir)
	}
	for _, want := range []string{"stop", "caution"} {
		for _, r := range s.result.Reasons {
			if r.Verdict == want {
				s.say(want, "%s: %s", r.Check, r.Says)
			}
		}
	}
	if s.result.Heat != nil && s.result.Heat.Verdict != "go" {
		for i, alt := range s.result.Heat.Alternatives {
			if i == 3 {
				break
			}
			s.say("try", "%s: %s, jaw face %s", alt.Change, alt.Verdict, s.plan.Job.Units().Temperature(alt.JawFaceC))
		}
	}
	not := ""
	if len(s.result.NotJudged) > 0 {
		not = " (not judged: " + strings.Join(s.result.NotJudged, ", ") + ")"
	}
	s.say("verdict", "%s%s", s.result.Verdict, not)
}
