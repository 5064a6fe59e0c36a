package plan

import (
	"context"
	"math"

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
	if err := p.DesignJaws(ctx); err != nil {
		return err
	}
	return p.Jaws.mesh(ctx, p.Job)
}

// DesignJaws designs the pair and leaves it unmeshed.
func (p *Plan) DesignJaws(ctx context.Context) error {
	var err error
	if p.Clamp, err = clampOf(p.Job, p.Part, p.Polymer.YoungMPa, p.coldBearingMPa()); err != nil {
		return err
	}
	if p.Jaws, err = designOf(ctx, p.Job, request(p.Job, p.Part, p.Polymer, p.Clamp)); err != nil {
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
// outline, materials, the jaws' design, forces and fit.
func Check(ctx context.Context, j *job.Job, files Files) (*Plan, error) {
	p, err := Start(j, files)
	if err != nil {
		return nil, err
	}
	return p, p.take(ctx, p.DesignJaws, func(context.Context) (err error) {
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

// wet says that the cooling leaves the jaws wet.
func (p *Plan) wet() bool {
	return p.Job.Cut != nil && coolingIsWet(p.Job.Cut.Cooling)
}
