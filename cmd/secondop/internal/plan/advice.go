package plan

import (
	"context"
	"fmt"
	"math"

	"secondop/cmd/secondop/internal/job"
	"secondop/fixture/hold"
	"secondop/thermal"
	"secondop/thermal/cutting"
	"secondop/thermal/material"
)

// advise says what would give the grip the wanted factor, in the order in which
// it costs least: more clamp force, a lighter cut, a deeper grip.
func (h *Hold) advise(j *job.Job, p Part, kc material.Kc) error {
	cuts := gripCuts(h.ops)
	if len(cuts) == 0 || h.KeptN == 0 || h.Report.Likely >= j.Cut.WantedFactor {
		return nil
	}
	u := j.Units()
	want := u.Factor(j.Cut.WantedFactor)
	switch {
	case h.KeptSays != "": // more clamp force would only push the jaw away
		h.say("hold the jaws by more than their screws: a clamp that spans both, a stop behind the fixed jaw, or spacer tubes and more torque")
	case h.Reachable:
		h.say("%s of clamp force after creep carries %s times the likely load", u.Force(h.NeededN), want)
	default:
		h.say("no clamp force does it: at %s the pocket walls would be crushed", u.Force(h.NeededN))
	}
	worst, op := h.worst()
	limitN := hold.Share(worst.InPlaneN, h.Report.Likely, j.Cut.WantedFactor)
	if op.Kind != "drill" && op.Kind != "tap" {
		if err := h.lighter(j, op, kc, limitN); err != nil {
			return err
		}
	}
	if rad, factor, worth := worst.WorthTurning(); worth {
		h.say("the grip is strongest toward %.0f deg (factor %s): let the main force of %s point there", degrees(rad), u.Factor(factor), worst.Name)
	}
	grip := h.with(h.KeptN, h.friction, h.AtC)
	top, found, err := grip.DeeperGrip(cuts, j.Cut.WantedFactor, p.HeightMM-op.ToMM, h.Report.Cuts...)
	if err != nil {
		return err
	}
	if found && top > grip.TopMM {
		h.say("a grip %s deeper carries %s times the likely load", u.Coarse(top-grip.TopMM), want)
	}
	return nil
}

func (h *Hold) say(format string, args ...any) {
	h.Advice = append(h.Advice, fmt.Sprintf(format, args...))
}

// worst is the cut with the least factor and its operation.
func (h *Hold) worst() (hold.CutResult, *Operation) {
	n := 0
	for i := range h.ops {
		if h.ops[i].grip == nil {
			continue
		}
		if n == h.Report.Worst {
			return h.Report.Cuts[n], &h.ops[i]
		}
		n++
	}
	panic("plan: the worst cut has no operation")
}

// lighter says which radial width or feed the clamp as given would carry.
func (h *Hold) lighter(j *job.Job, op *Operation, kc material.Kc, limitN float64) error {
	u := j.Units()
	width, err := cutting.LargestWidth(op.endMill(kc), limitN)
	if err != nil {
		return err
	}
	feed, err := cutting.LargestFeed(op.endMill(kc), limitN)
	if err != nil {
		return err
	}
	if width > 0 {
		h.say("in %s: a radial width of at most %s", op.Name, u.Length(width))
	}
	if feed > 0 {
		h.say("in %s: a feed of at most %s", op.Name, u.Feed(feed))
	}
	return nil
}

// overTime is the worst cut's factor as the plastic warms, on the high estimate.
func (h *Hold) overTime(series []thermal.SeriesPoint) error {
	if len(h.Report.Cuts) == 0 || len(series) == 0 {
		return nil
	}
	const points = 12
	for i := range points {
		at := series[i*(len(series)-1)/(points-1)]
		f, err := h.factor(h.polymer, h.friction, at.JawFaceC.High)
		if err != nil {
			return err
		}
		h.Over = append(h.Over, FactorAt{TimeS: at.TimeS, Factor: f})
	}
	return nil
}

// factor is how many times the worst load is carried with another polymer,
// friction and temperature; 0 where the plastic has let go.
func (h *Hold) factor(poly material.PolymerRow, friction, celsius float64) (float64, error) {
	if !(plasticAt(poly, celsius).Share() > hold.LeastShare) {
		return 0, nil
	}
	g := *h.Grip
	g.polymer = poly
	held, err := g.with(h.KeptN, friction, celsius).Clamp()
	if err != nil {
		return 0, err
	}
	worst, op := h.worst()
	return finite(held.Factor(worst.WorstLoad(op.grip.HeightMM)).Lower), nil
}

// costs finds the holding factor that goes with each alternative of the heat.
func (p *Plan) costs(ctx context.Context) error {
	if len(p.Hold.Report.Cuts) == 0 {
		return nil
	}
	for _, alt := range p.Heat.Answer.Alternatives {
		if err := ctx.Err(); err != nil {
			return err
		}
		poly, friction := p.Polymer, p.Hold.friction
		if alt.Polymer != "" {
			row, err := material.Polymer(alt.Polymer)
			if err != nil {
				return err
			}
			poly = row
		}
		if alt.Cooling != "" {
			friction = frictionOf(p.Job, alt.FrictionWet)
		}
		f, err := p.Hold.factor(poly, friction, math.Min(alt.JawFaceC, alt.LimitC))
		if err != nil {
			return err
		}
		p.Costs = append(p.Costs, f)
	}
	return nil
}
