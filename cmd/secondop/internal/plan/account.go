package plan

import (
	"slices"

	"secondop/cmd/secondop/internal/job"
	"secondop/fixture"
)

// Result is everything that the steps taken so far found.
func (p *Plan) Result(program string) Result {
	r := Result{Version: Version, Program: program, Job: p.Job.Name, Verdict: "go", Outline: p.Part.block(), Reasons: []Reason{}, NotJudged: p.notJudged()}
	for _, f := range p.Remarks {
		r.Reasons = append(r.Reasons, Reason{Check: "job", Verdict: "caution", Says: f.Says})
	}
	for _, says := range p.Part.Notes {
		r.Reasons = append(r.Reasons, Reason{Check: "outline", Verdict: "go", Says: says})
	}
	if p.Jaws != nil {
		r.Jaws = p.Jaws.block(p.Polymer, p.Job.Jaws)
		r.Reasons = append(r.Reasons, p.Jaws.reasons(p.Job)...)
	}
	if p.Hold != nil {
		r.Hold = p.Hold.block()
		r.Reasons = append(r.Reasons, p.Hold.reasons(p.Job)...)
	}
	if p.Heat != nil {
		r.Heat = p.Heat.block(p.Job, p.Costs)
		r.Reasons = append(r.Reasons, p.Heat.reasons(p.Job)...)
	}
	if p.Fit != nil {
		r.Fit = p.Fit.block(p.Job)
		r.Reasons = append(r.Reasons, p.Fit.reasons(p.Job)...)
		r.Reasons = append(r.Reasons, p.roughed()...)
		if p.Bore != nil {
			passes(r.Fit, *p.Bore, p.Job)
			if f := p.Bore.Feasibility; !f.OK {
				r.Reasons = append(r.Reasons, Reason{Check: "fit", Verdict: "caution", Says: r.Fit.GaugeSays})
			}
		}
	}
	r.Reasons = append(r.Reasons, p.unjudged()...)
	r.weigh()
	return r
}

// weigh makes every verdict the worst of the reasons given for it: each block's
// of its own, the result's of all.
func (r *Result) weigh() {
	blocks := map[string]*string{}
	if r.Jaws != nil {
		blocks["jaws"] = &r.Jaws.Verdict
	}
	if r.Hold != nil {
		blocks["hold"] = &r.Hold.Verdict
	}
	if r.Heat != nil {
		blocks["heat"] = &r.Heat.Verdict
	}
	if r.Fit != nil {
		blocks["fit"] = &r.Fit.Verdict
	}
	for _, x := range r.Reasons {
		r.Verdict = worse(r.Verdict, x.Verdict)
		if own := blocks[x.Check]; own != nil {
			*own = worse(*own, x.Verdict)
		}
	}
}

// unjudged names the sections that the job leaves out.
func (p *Plan) unjudged() (out []Reason) {
	for _, s := range []struct {
		missing bool
		check   string
		says    string
	}{
		{p.Job.Cut == nil, "hold", "the job has no `cut`: grip and heat are not judged"},
		{p.Job.Fit == nil, "fit", "the job has no `fit`: no bore is judged"},
	} {
		if s.missing {
			out = append(out, Reason{Check: s.check, Verdict: "go", Says: s.says})
		}
	}
	return out
}

// roughed compares what the job's own bore operations leave with the depth of
// the fit's bore, and says what a through bore meets below.
func (p *Plan) roughed() (out []Reason) {
	if p.Jaws == nil || p.Job.Cut == nil {
		return nil
	}
	u, b, h := p.Job.Units(), p.Job.Fit.Bore, p.Jaws.Pair.Heights
	floor := fixture.BoreFloorMM(h, b.DepthMM, b.Through)
	for _, o := range p.Job.Cut.Operations {
		if o.Kind != "bore" && o.Kind != "drill" || o.AtMM != nil && *o.AtMM != b.AtMM {
			continue
		}
		if left := fixture.LeftAboveMM(h, o.ToMM, floor); left > 0.01 {
			out = append(out, Reason{Check: "fit", Verdict: "caution", Says: o.Name + " ends " + u.Length(left) +
				" above the floor of the fit's bore: the first pass would cut into solid there"})
		}
	}
	if b.Through {
		out = append(out, Reason{Check: "fit", Verdict: "go", Says: "the bore goes through to the seat: keep parallels or plate out from under it, and look what the cutter meets below"})
	}
	return out
}

// notJudged names the branches that nothing was asked of.
func (p *Plan) notJudged() (out []string) {
	switch {
	case p.Job.Cut == nil:
		out = append(out, "grip", "heat")
	case p.Job.Clamp == nil:
		out = append(out, "grip")
	}
	if p.Job.Fit == nil {
		out = append(out, "fit")
	}
	return out
}

func worse(a, b string) string {
	rank := map[string]int{"go": 0, "caution": 1, "stop": 2}
	if rank[b] > rank[a] {
		return b
	}
	return a
}

func (w *Jaws) reasons(j *job.Job) (out []Reason) {
	for _, r := range w.Pair.Remarks {
		v := "go"
		if r.Caution {
			v = "caution"
		}
		out = append(out, Reason{Check: "jaws", Verdict: v, Says: words(j, r.Says)})
	}
	return out
}

func (f *Fit) reasons(j *job.Job) (out []Reason) {
	for _, r := range f.Window.Reasons {
		out = append(out, Reason{Check: "fit", Verdict: string(r.Verdict), Says: r.Says(quantity(j))})
	}
	return out
}

// JawsResult is the account of the pair alone.
func (p *Plan) JawsResult(program string) Result { return p.BranchResult(program, "jaws") }

// BranchResult is the account of one branch: its own block and reasons, those
// on the job, and the verdict of both.
func (p *Plan) BranchResult(program, check string) Result {
	r := p.Result(program)
	r.Reasons = slices.DeleteFunc(r.Reasons, func(x Reason) bool { return x.Check != check && x.Check != "job" })
	r.Verdict = "go"
	r.weigh()
	if check != "jaws" {
		r.Jaws = nil
	}
	if check != "hold" {
		r.Hold = nil
	}
	if check != "heat" {
		r.Heat = nil
	}
	if check != "fit" {
		r.Fit = nil
	}
	return r
}

// Unjudged is the error of a branch whose section the job leaves out.
func Unjudged(j *job.Job, section string) error {
	return refused(j.FaultAt(section, "the job has no `"+section+"`, so there is nothing to judge", "add the section `"+section+"`; `secondop new` shows one"))
}

// OutlineBlock is the result's account of the outline.
func (p *Plan) OutlineBlock() *OutlineBlock { return p.Part.block() }
