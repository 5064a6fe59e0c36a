package sheet

import (
	"html/template"
	"strings"

	"secondop/cmd/secondop/internal/job"
	"secondop/cmd/secondop/internal/plan"
)

// number is one of the few that matter most.
type number struct {
	Value, Name string
	Says        template.HTML
}

// verdictSays is what each verdict means for the operator.
var verdictSays = map[string]string{
	"go":      "No check found a reason against this job.",
	"caution": "It can be done. Read each caution before you start.",
	"stop":    "Don't cut this job as it stands.",
}

// notJudged says what the verdict leaves out.
func notJudged(branches []string) string {
	if len(branches) == 0 {
		return ""
	}
	return " Not judged: " + strings.Join(branches, ", ") + "."
}

func (s *sheet) page() (*page, error) {
	pg := &page{
		Style: template.CSS(styleCSS), Code: template.JS(viewJS), Licence: viewLicence,
		Name: s.r.Job, Program: s.r.Program, Verdict: s.r.Verdict, VerdictSays: verdictSays[s.r.Verdict] + notJudged(s.r.NotJudged),
		Numbers: s.numbers(), Steps: s.steps(), Inputs: s.plan.Job.Read,
		LeftOut: s.leftOut(), Sources: s.sources(),
	}
	for _, want := range []string{"stop", "caution", "go"} {
		for _, r := range s.r.Reasons {
			switch {
			case r.Verdict != want:
			case want == "go":
				pg.Findings = append(pg.Findings, r)
			default:
				pg.Doubts = append(pg.Doubts, r)
			}
		}
	}
	pg.Plan, pg.Section, pg.Lying = s.planView(), s.section(), s.faceUp()
	pg.PlanSays, pg.SectionSays, pg.LyingSays = s.zeroSays()+s.undercutSays(), s.gripSays(), say("<b>This face up</b>, %s", s.wayRound())
	pg.Template, pg.TemplateLast = s.trueSize()
	pg.Heat, pg.Schedule, pg.Factor, pg.Polymers = s.heatChart(), s.scheduleChart(), s.factorChart(), s.polymerChart()
	if s.r.Heat != nil {
		pg.ScheduleSays = capital(s.r.Heat.ScheduleSays) + "."
	}
	if pg.Window = s.windowChart(); pg.Window != "" {
		pg.WindowSays = say("%s.", capital(s.r.Fit.GaugeSays))
	}
	if s.r.Hold != nil {
		pg.Advice = s.r.Hold.Advice
	}
	pg.Changes, pg.Dense = s.changes(), s.dense()
	list := s.bodies()
	drawn, err := picture(list)
	if err != nil {
		return nil, err
	}
	pg.Picture = dataURL(drawn)
	pg.Data, err = s.view(list)
	return pg, err
}

// usualLines is how many lines of findings, operations, screws and passes four
// printed pages hold at their usual size.
const usualLines = 30

func (s *sheet) dense() bool {
	lines := len(s.r.Reasons) + len(s.plan.Ops) + len(s.r.Jaws.Bolts) + len(s.r.Jaws.Parts)
	if s.r.Fit != nil {
		lines += 2 * len(s.r.Fit.Passes)
	}
	return lines > usualLines
}

// numbers are the holding factor, the minutes to the limit and the bore window.
func (s *sheet) numbers() []number {
	return []number{s.gripNumber(), s.heatNumber(), s.boreNumber()}
}

func (s *sheet) gripNumber() number {
	n := number{Name: "holding factor", Value: "–", Says: "not judged: the job has no clamp or no cut"}
	h := s.r.Hold
	switch {
	case h == nil:
	case h.HoldingFactor == nil && h.NeededClampN > 0:
		n.Says = say("no clamp force is known; it takes %s", s.force(h.NeededClampN))
	case h.HoldingFactor != nil:
		n.Value = s.u.Factor(h.HoldingFactor.Likely)
		n.Says = say("times the likely load; %s on the high estimate. Weakest in “%s”, where the part %s", s.u.Factor(h.HoldingFactor.Low), h.Worst.Operation, h.Worst.Fails)
	}
	return n
}

func (s *sheet) heatNumber() number {
	h := s.r.Heat
	if h == nil {
		return number{Name: "cutting time to the heat limit", Value: "–", Says: "not judged: the job has no cut"}
	}
	n := number{Name: "cutting time to the heat limit", Value: "not in this job"}
	n.Says = say("Jaw face %s likely, %s on the high estimate; the limit is %s", s.warm(*h.JawFaceC.Likely), s.warm(*h.JawFaceC.High), s.warm(h.LimitC))
	if t := h.SecondsToLimit.Low; t != nil {
		n.Value = s.u.Time(*t)
		likely := "on the likely one not in this job"
		if t := h.SecondsToLimit.Likely; t != nil {
			likely = "on the likely one after " + s.u.Time(*t)
		}
		n.Says = say("On the high estimate; %s. ", likely) + n.Says
	}
	return n
}

func (s *sheet) boreNumber() number {
	f := s.r.Fit
	switch {
	case f == nil:
		return number{Name: "bore window, on diameter", Value: "–", Says: "not judged: the job has no fit"}
	case f.BoreMM == nil:
		return number{Name: "bore window, on diameter", Value: "none", Says: "no bore size does it"}
	}
	n := number{Name: "bore window, on diameter", Value: between(s.u, f.BoreMM)}
	n.Says = say("<i>%s</i>; %s, gauged with: %s", between(s.other, f.BoreMM),
		counted(len(f.Passes), "pass planned", "passes planned"), s.plan.Job.Fit.Gauge.Kind)
	return n
}

// mostChanges is how many of the heat's alternatives are shown, best first.
const mostChanges = 6

// changes are the alternatives of a job whose heat is not simply go, each with
// the holding factor that goes with it.
func (s *sheet) changes() *table {
	h := s.r.Heat
	if h == nil || h.Verdict == "go" || len(h.Alternatives) == 0 {
		return nil
	}
	t := &table{Head: []template.HTML{"change", "heat", "jaw face, high estimate", "limit", "holding factor", "mind"}}
	for i, a := range h.Alternatives {
		if i == mostChanges {
			break
		}
		factor := template.HTML("–")
		if a.HoldingFactor != nil {
			factor = say("%s", s.u.Factor(*a.HoldingFactor))
		}
		mind := template.HTML("–")
		if a.Says != "" {
			mind = say("%s", a.Says)
		}
		t.add(say("<b>%s</b>", a.Change), say("%s", a.Verdict), s.warm(a.JawFaceC), s.warm(a.LimitC), factor, mind)
	}
	return t
}

// between is a span of sizes with its unit once.
func between(u job.Units, sp *plan.Span) string {
	low, high := u.Size(sp.Min), u.Size(sp.Max)
	return strings.TrimRight(low, " inm") + " to " + high
}

// source is one body of data and where it comes from.
type source struct{ Of, From string }

func (s *sheet) sources() []source {
	p := s.plan
	list := []source{{"jaw polymer, " + p.Polymer.Name, p.Polymer.Source}, {"part metal, " + p.Metal.Name, p.Metal.Source}}
	if p.Fit != nil {
		list = append(list, source{"insert, " + p.Fit.Insert.Name, p.Fit.Insert.Source})
	}
	return list
}

func (s *sheet) leftOut() []string { return leftOut }

// leftOut is what the models know nothing of.
var leftOut = []string{
	"Jaws: the printer is taken as square and even; warp is not modelled. The screws' holes stand where the table's pitch says.",
	"Grip: static. No chatter, no cutter that grabs. Friction of printed plastic on milled metal has no published source; it is judgement. Measure it with a pull test.",
	"Heat: the part has one temperature. Chips that stay in a pocket and heat it again, and a dull cutter, are not modelled. Measure it with a thermometer.",
	"Fit: elastic rings of one length. Edge peaks, lobes and burrs are not modelled. Press forces are bands of about a factor of two.",
	"Bore: one offset, one scatter, slow drift. A surprise stops the plan with a question; it is not explained.",
	"Travel of the machine, the holder's full shape and the clamp's own shape are not checked: jog round the job with the spindle off.",
}
