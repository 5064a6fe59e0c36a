package plan

import (
	"context"
	"math"
	"slices"

	"secondop/cmd/secondop/internal/job"
	"secondop/fits/bore"
	"secondop/thermal"
	"secondop/thermal/material"
)

// Plan is one job on its way from the outline to the verdict. Each step is
// taken once, from what the steps before it found; a command takes the steps it
// needs.
type Plan struct {
	Job     *job.Job
	Part    Part
	Metal   material.PartRow
	Polymer material.PolymerRow
	Clamp   Clamping
	Ops     []Operation
	Jaws    *Jaws
	Grip    *Grip
	Hold    *Hold
	Heat    *Heat
	Fit     *Fit
	Bore    *bore.Plan
	// Costs are the holding factors of the heat's alternatives, in their order.
	Costs []float64

	Remarks []job.Fault // on the job and its outline
}

// Start reads the outline and looks the materials up: all that every branch
// needs.
func Start(j *job.Job, files Files) (*Plan, error) {
	p := &Plan{Job: j, Remarks: j.Cautions}
	var err error
	if p.Metal, err = material.Part(j.Part.Material); err != nil {
		return nil, refused(j.FaultAt("part.material", err.Error(), ""))
	}
	if p.Polymer, err = polymerOf(j); err != nil {
		return nil, err
	}
	if p.Part, err = partOf(j, files); err != nil {
		return nil, err
	}
	p.Remarks = append(p.Remarks, p.Part.Remarks...)
	return p, nil
}

func polymerOf(j *job.Job) (material.PolymerRow, error) {
	own := j.Jaws.OwnPolymer
	if own == nil {
		row, err := material.Polymer(j.Jaws.Polymer)
		if err != nil {
			return row, refused(j.FaultAt("jaws.polymer", err.Error(), ""))
		}
		return row, nil
	}
	row, err := material.Own(material.PolymerRow{
		Name: own.Name, Amorphous: own.Amorphous, GlassTransitionC: own.GlassTransitionC,
		Deflection045C: own.DeflectionTemperature045C, Deflection180C: own.DeflectionTemperature180C,
		DensityKgM3: own.DensityKgM3, SpecificHeatJKgK: own.SpecificHeatJKgK, ConductivityWMK: own.ConductivityWMK,
		YoungMPa: own.YoungMPa, StrengthXYMPa: own.StrengthMPa, Source: "the job's own data sheet",
	})
	if err != nil {
		return row, refused(j.FaultAt("jaws.own", err.Error(), ""))
	}
	return row, nil
}

// MakeJaws designs and meshes the pair.
func (p *Plan) MakeJaws(ctx context.Context) error {
	var err error
	if p.Clamp, err = clampOf(p.Job, p.Part, p.Polymer.YoungMPa, p.coldBearingMPa()); err != nil {
		return err
	}
	if p.Jaws, err = jawsOf(ctx, p.Job, request(p.Job, p.Part, p.Polymer, p.Clamp)); err != nil {
		return err
	}
	p.Part = p.Part.turned(p.Jaws.Pair.TurnRad)
	return nil
}

func (p *Plan) coldBearingMPa() float64 {
	return plasticAt(p.Polymer, coldC).BearingMPa()
}

// shopC is the air round the jaws: a job without cut has a shop as the tables.
func shopC(j *job.Job) float64 {
	if j.Cut == nil {
		return coldC
	}
	return thermal.ShopC(j.Cut.AmbientC, j.Cut.Cabinet)
}

// coldC is the temperature at which the tables give their strengths.
const coldC = 23

// JudgeHeat runs contact pressure, then temperatures.
func (p *Plan) JudgeHeat(ctx context.Context) error {
	if err := p.cuts(); err != nil {
		return err
	}
	pressure, err := p.Grip.pressureMPa(coldC)
	if err != nil {
		return gripRefusal(p.Job, err)
	}
	if len(p.Ops) == 0 {
		return nil
	}
	p.Heat, err = heatOf(ctx, p.Job, heatRequest(p.Job, p.Metal, p.Polymer, p.Jaws.Pair, p.Ops, pressure))
	return err
}

// cuts works out the operations and the contact of the grip.
func (p *Plan) cuts() error {
	var err error
	if p.Ops, err = cutsOf(p.Job, p.Part, p.Metal); err != nil {
		return err
	}
	p.Grip, err = gripOf(p.Job, p.Jaws.Pair, p.Polymer, p.Clamp, p.wet())
	return err
}

// JudgeHold judges the grip with the plastic as warm as the heat model finds
// it, but no warmer than its limit: there the cutting stops.
func (p *Plan) JudgeHold() error {
	if p.Job.Cut == nil && p.Job.Clamp == nil {
		return nil
	}
	at := float64(coldC)
	if p.Heat != nil {
		at = math.Max(at, math.Min(p.Heat.Answer.JawFaceC.High, p.Heat.Answer.Limits.StopC))
	}
	var err error
	if p.Hold, err = holdOf(p.Job, p.Grip, p.Ops, p.Part, at); err != nil || p.Job.Cut == nil {
		return err
	}
	kc, err := material.KcOf(p.Metal.KcGroup)
	if err != nil {
		return err
	}
	if err := p.Hold.advise(p.Job, p.Part, kc); err != nil || p.Heat == nil {
		return err
	}
	return p.Hold.overTime(p.Heat.Answer.Series)
}

// JudgeFit finds the bore window and the passes to it. measuredMM above 0 is
// the insert as measured.
func (p *Plan) JudgeFit(measuredMM float64) error {
	if p.Job.Fit == nil {
		return nil
	}
	var err error
	if p.Fit, err = fitOf(p.Job, p.Part, p.Metal, measuredMM); err != nil || !p.Fit.Window.Feasible {
		return err
	}
	if !creeps(p.Job) {
		return nil
	}
	q, err := BoreRequest(p.Job, p.Fit, p.Metal)
	if err != nil {
		return err
	}
	passes, err := bore.NewPlan(q)
	if err != nil {
		return refused(p.Job.FaultAt("fit.bore", err.Error(), ""))
	}
	p.Bore = &passes
	return nil
}

// creeps says that the bore grows pass by pass: a reamer cuts its own size.
func creeps(j *job.Job) bool { return j.Fit.Bore.CutBy != "ream" }

// Make takes every step.
func Make(ctx context.Context, j *job.Job, files Files) (*Plan, error) {
	p, err := Start(j, files)
	if err != nil {
		return nil, err
	}
	return p, p.take(ctx, p.WalkHold, func(context.Context) error { return p.JudgeFit(0) }, p.join)
}

// Check takes the steps that cost little and tell whether the job can be done:
// outline, materials, forces and fit.
func Check(ctx context.Context, j *job.Job, files Files) (*Plan, error) {
	p, err := Start(j, files)
	if err != nil {
		return nil, err
	}
	return p, p.take(ctx, func(context.Context) (err error) {
		p.Ops, err = cutsOf(j, p.Part, p.Metal)
		return err
	}, func(context.Context) error { return p.JudgeFit(0) })
}

// WalkHeat walks the branch of the heat.
func (p *Plan) WalkHeat(ctx context.Context) error { return p.take(ctx, p.MakeJaws, p.JudgeHeat) }

// WalkHold walks the branch of the grip, which needs the heat.
func (p *Plan) WalkHold(ctx context.Context) error {
	return p.take(ctx, p.WalkHeat, func(context.Context) error { return p.JudgeHold() })
}

func (p *Plan) take(ctx context.Context, steps ...func(context.Context) error) error {
	for _, step := range steps {
		if err := step(ctx); err != nil {
			return err
		}
		if err := ctx.Err(); err != nil {
			return err
		}
	}
	return nil
}

// join carries what one branch found to another that needs it.
func (p *Plan) join(ctx context.Context) error {
	if p.Heat != nil && p.Hold != nil {
		if err := p.costs(ctx); err != nil {
			return err
		}
	}
	if p.Heat != nil && p.Fit != nil && p.Fit.Window.Feasible {
		return p.Heat.pressing(p.Fit, p.Job.Fit.Insert.Grade)
	}
	return nil
}

// Result is everything that the steps taken so far found.
func (p *Plan) Result(program string) Result {
	r := Result{Version: Version, Program: program, Job: p.Job.Name, Verdict: "go", Outline: p.Part.block(), Reasons: []Reason{}}
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
		if p.Bore != nil {
			passes(r.Fit, *p.Bore, p.Job)
			if f := p.Bore.Feasibility; !f.OK {
				r.Reasons = append(r.Reasons, Reason{Check: "fit", Verdict: "caution", Says: r.Fit.GaugeSays})
			}
		}
	}
	r.Reasons = append(r.Reasons, p.unjudged()...)
	for _, reason := range r.Reasons {
		r.Verdict = worse(r.Verdict, reason.Verdict)
	}
	if r.Fit != nil {
		for _, reason := range r.Reasons {
			if reason.Check == "fit" {
				r.Fit.Verdict = worse(r.Fit.Verdict, reason.Verdict)
			}
		}
	}
	return r
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

// wet says that the cooling leaves the jaws wet.
func (p *Plan) wet() bool {
	return p.Job.Cut != nil && coolingIsWet(p.Job.Cut.Cooling)
}

// JawsResult is the account of the pair alone.
func (p *Plan) JawsResult(program string) Result { return p.BranchResult(program, "jaws") }

// BranchResult is the account of one branch: its own block and reasons, those
// on the job, and the verdict of both.
func (p *Plan) BranchResult(program, check string) Result {
	r := p.Result(program)
	r.Reasons = slices.DeleteFunc(r.Reasons, func(x Reason) bool { return x.Check != check && x.Check != "job" })
	r.Verdict = "go"
	for _, x := range r.Reasons {
		r.Verdict = worse(r.Verdict, x.Verdict)
	}
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
