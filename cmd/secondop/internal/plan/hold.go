package plan

import (
	"fmt"
	"math"
	"strings"

	"secondop/cmd/secondop/internal/job"
	"secondop/fixture/hold"
	"secondop/thermal/cutting"
)

// Hold is the judgement of the grip.
type Hold struct {
	*Grip
	Report hold.Report
	// NeededN is the clamp force for the wanted factor; Reachable is false where
	// the plastic would be crushed first, and NeededN is then the most it takes.
	NeededN   float64
	Reachable bool
	Closures  []hold.Closure
	Touching  float64 // share of the contacts that carries the clamp force
	Advice    []string
	AtC       float64 // temperature of the plastic that it is judged at
	Over      []FactorAt
	ops       []Operation
}

// holdOf judges the grip against the cuts with the plastic at a temperature.
func holdOf(j *job.Job, g *Grip, ops []Operation, p Part, celsius float64) (*Hold, error) {
	h := &Hold{Grip: g, AtC: celsius, ops: ops}
	cuts := gripCuts(ops)
	grip := g.with(g.KeptN, g.friction, celsius)
	if g.KeptN == 0 {
		return h, h.need(j, grip, cuts)
	}
	held, err := grip.Clamp()
	if err != nil {
		return nil, gripRefusal(j, err)
	}
	if h.Report, err = held.Report(cuts, g.limits(j, held, cuts, p, celsius)); err != nil {
		return nil, err
	}
	h.Closures = held.Closures()
	_, _, h.Touching = held.Pressure()
	if err := h.need(j, grip, cuts); err != nil {
		return nil, err
	}
	if g.KeptSays != "" {
		h.Report.Reasons = append(h.Report.Reasons, hold.Reason{Verdict: hold.Caution, Says: g.KeptSays + spansHint(j)})
		h.Report.Verdict = hold.Worse(h.Report.Verdict, hold.Caution)
	}
	return h, nil
}

// need finds the clamp force for the wanted factor, from the worst loads if
// they are known.
func (h *Hold) need(j *job.Job, grip hold.Grip, cuts []hold.Cut) (err error) {
	if len(cuts) > 0 {
		h.NeededN, h.Reachable, err = grip.NeededClamp(cuts, j.Cut.WantedFactor, h.Report.Cuts...)
	}
	return err
}

func gripCuts(ops []Operation) (cuts []hold.Cut) {
	for _, o := range ops {
		if o.grip != nil {
			cuts = append(cuts, *o.grip)
		}
	}
	return cuts
}

// block is the result's account of the grip.
func (h *Hold) block() *HoldBlock {
	b := &HoldBlock{
		Verdict: h.Report.Verdict, NeededClampN: h.NeededN, Limits: map[string]float64{}, Advice: h.Advice,
		Friction: h.friction, OverTime: h.Over, Operations: []HoldOperation{},
	}
	if b.Advice == nil {
		b.Advice = []string{}
	}
	if h.KeptN > 0 {
		b.ClampN = &LowLikely{Low: math.Min(h.Clamp.LowN, h.KeptN), Likely: h.KeptN}
	} else {
		b.Verdict = hold.Caution
	}
	for _, l := range h.Report.Limits {
		b.Limits[limitKey(l)] = finite(l.Value)
	}
	b.HalfFriction, b.TouchingShare, b.UndercutMM = finite(h.Report.HalfFriction), h.Touching, h.wall.UndercutMM
	for _, c := range h.Closures {
		b.Closures = append(b.Closures, Closure{Motion: c.Motion, Unit: closureUnit(c), TotalN: finite(c.Total), ShapeN: finite(c.Shape), CaughtN: finite(c.Caught), By: c.By})
	}
	n := 0
	for _, o := range h.ops {
		row := HoldOperation{Name: o.Name, PowerW: band(o.Power.Low, o.Power.Likely, o.Power.High)}
		if o.grip != nil {
			row.ForceN = band(o.InPlane.Low, o.InPlane.Likely, o.InPlane.High)
			if n < len(h.Report.Cuts) {
				c := h.Report.Cuts[n]
				row.Factor, row.FactorLow, row.DirectionDeg = finite(c.Likely.Lower), finite(c.High), degrees(c.AngleRad)
			}
			n++
		}
		b.Operations = append(b.Operations, row)
	}
	if len(h.Report.Cuts) > 0 {
		w := h.Report.Cuts[h.Report.Worst]
		b.HoldingFactor = &FactorPair{Likely: finite(h.Report.Likely), Low: finite(h.Report.High)}
		b.Worst = &WorstLoad{
			Operation: w.Name, DirectionDeg: degrees(w.AngleRad), ForceN: w.InPlaneN, AxialN: w.AxialN, Fails: w.Likely.Fails,
		}
	}
	return b
}

// reasons are the hold's part of the verdict.
func (h *Hold) reasons(j *job.Job) (out []Reason) {
	if h.KeptN == 0 {
		if h.NeededN > 0 {
			out = append(out, Reason{Check: "hold", Verdict: hold.Caution, Says: fmt.Sprintf(
				"no clamp force is known; to carry %s times the likely load it takes %s", j.Units().Factor(j.Cut.WantedFactor), j.Units().Force(h.NeededN))})
		}
		return out
	}
	for _, r := range h.Report.Reasons {
		out = append(out, Reason{Check: "hold", Verdict: r.Verdict, Says: words(j, r.Says)})
	}
	out = append(out, spindle(j, h.ops)...)
	for _, o := range h.ops {
		for _, c := range o.Cautions {
			out = append(out, Reason{Check: "hold", Verdict: "go", Says: o.Name + ": " + words(j, c)})
		}
	}
	return out
}

func band(low, likely, high float64) Band { return Band{Low: &low, Likely: &likely, High: &high} }

// finite keeps what JSON can't say out of the result: without a load any factor
// is large.
func finite(x float64) float64 {
	return math.Max(-mostFactor, math.Min(mostFactor, x))
}

const mostFactor = 1e6

// degrees is an angle in degrees from 0 to 360.
func degrees(rad float64) float64 { return math.Mod(rad*180/math.Pi+360, 360) }

// spindle says where an operation asks more of the machine than it has.
func spindle(j *job.Job, ops []Operation) (out []Reason) {
	u, m := j.Units(), j.Machine
	for _, o := range ops {
		if cutting.Overloads(o.Power.Likely, m.SpindleW) {
			out = append(out, Reason{Check: "hold", Verdict: hold.Caution, Says: fmt.Sprintf(
				"%s takes %s, more than four fifths of the spindle's %s", o.Name, u.Power(o.Power.Likely), u.Power(m.SpindleW))})
		}
		if m.MaxRPM > 0 && o.SpeedRPM > m.MaxRPM {
			out = append(out, Reason{Check: "hold", Verdict: hold.Caution, Says: fmt.Sprintf(
				"%s asks for %s, the spindle turns at most %s", o.Name, u.Speed(o.SpeedRPM), u.Speed(m.MaxRPM))})
		}
	}
	return out
}

// limitKey is a limit's name as a key, with its unit: wall_pressure_MPa.
func limitKey(l hold.Limit) string {
	unit := l.Unit
	if strings.Contains(unit, " ") {
		unit = "factor"
	}
	return strings.ReplaceAll(l.Name, " ", "_") + "_" + unit
}

func closureUnit(c hold.Closure) string {
	if strings.HasPrefix(c.Motion, "spin") {
		return "N·mm"
	}
	return "N"
}

// spansHint tells how to say that a measured clamp spans both jaws; by default
// it is taken to push off the table.
func spansHint(j *job.Job) string {
	if c := j.Clamp; c != nil && c.Kind == "" && c.ReactsOn != "jaw" && j.Jaws.Moving.By != "bolts" {
		return "; if it does span both jaws, say clamp: reacts_on: jaw"
	}
	return ""
}
