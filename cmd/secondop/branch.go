package main

import (
	"context"

	"github.com/spf13/cobra"

	"secondop/cmd/secondop/internal/plan"
)

// branch is one of the smaller commands: it walks a part of the plan, prints
// its own block and follows that block's verdict.
type branch struct {
	name, short string
	walk        func(context.Context, *plan.Plan) error
	// block picks the command's own part of the result and its verdict; a nil
	// block means that the job leaves the section out.
	block   func(plan.Result) (block any, verdict string)
	section string // the section of the job that it judges
	show    func(*screen)
}

func newHold(a *app) *cobra.Command {
	return a.branch(branch{
		name: "hold", short: "The grip against the cutter", section: "cut",
		walk: func(ctx context.Context, p *plan.Plan) error { return p.WalkHold(ctx) },
		block: func(r plan.Result) (any, string) {
			if r.Hold == nil {
				return nil, ""
			}
			return r.Hold, r.Hold.Verdict
		},
		show: (*screen).holdDetail,
	})
}

func newFit(a *app) *cobra.Command {
	return a.branch(branch{
		name: "fit", short: "The press fit and the bore passes", section: "fit",
		walk: func(_ context.Context, p *plan.Plan) error { return p.JudgeFit(0) },
		block: func(r plan.Result) (any, string) {
			if r.Fit == nil {
				return nil, ""
			}
			return r.Fit, r.Fit.Verdict
		},
		show: (*screen).fitDetail,
	})
}

func newHeat(a *app) *cobra.Command {
	c := a.branch(branch{
		name: "heat", short: "The jaws against the heat", section: "cut",
		walk: func(ctx context.Context, p *plan.Plan) error { return p.WalkHeat(ctx) },
		block: func(r plan.Result) (any, string) {
			if r.Heat == nil {
				return nil, ""
			}
			return r.Heat, r.Heat.Verdict
		},
		show: (*screen).heatDetail,
	})
	c.AddCommand(newHeatCalibrate(a))
	return c
}

func (a *app) branch(b branch) *cobra.Command {
	var f jobFlags
	c := &cobra.Command{
		Use:   b.name + " JOB",
		Short: b.short,
		Args:  oneJob,
		RunE: func(c *cobra.Command, args []string) error {
			l, err := a.load(args[0], f.shop)
			if err != nil {
				return err
			}
			return a.walk(c.Context(), l, b, f.json)
		},
	}
	f.add(c, false)
	return c
}

func (a *app) walk(ctx context.Context, l loaded, b branch, asJSON bool) error {
	if b.section == "cut" && l.Cut == nil {
		return plan.Unjudged(l.Job, b.section)
	}
	p, err := plan.Start(l.Job, l.files)
	if err != nil {
		return err
	}
	done := a.atWork("judging")
	err = b.walk(ctx, p)
	done()
	if err != nil {
		return err
	}
	r := p.BranchResult(programName(), b.name)
	block, verdict := b.block(r)
	if block == nil {
		return plan.Unjudged(l.Job, b.section)
	}
	if asJSON {
		err = a.printJSON(map[string]any{"version": plan.Version, b.name: block})
	} else {
		s := &screen{plan: p, result: r}
		s.head()
		b.show(s)
		s.close("")
		err = s.print(a.stdout)
	}
	if err != nil {
		return err
	}
	return verdictError(verdict)
}
