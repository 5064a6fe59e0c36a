package plan

import (
	"errors"

	"secondop/cmd/secondop/internal/job"
	"secondop/fits/bore"
	"secondop/thermal/cutting"
	"secondop/thermal/material"
)

// Usual finishing cut of a bore when the job doesn't say speed and feed: the
// force of a pass depends on the chip, hardly on the speed. Common practice.
const (
	usualFinishToothMM = 0.02
	usualFinishRPM     = 10000
)

// BoreRequest is what the bore plan of a job rests on, for a fit that has a
// window.
func BoreRequest(j *job.Job, f *Fit, part material.PartRow) (bore.Request, error) {
	w := f.Window
	mill, err := bore.MillByKind(j.Machine.Kind)
	if err != nil {
		return bore.Request{}, refused(j.FaultAt("machine", err.Error(), ""))
	}
	q := bore.Request{
		Window: bore.Window{LowerMM: w.BoreMinMM, UpperMM: w.BoreMaxMM}, InsertNominalMM: f.Insert.DiameterMM,
		StartMM: j.Fit.Bore.StartMM, StepMM: j.Fit.StepMM, ScatterMM: mill.ScatterMM, ScatterDoubt: bore.UsualScatterDoubt,
		Risk: j.Fit.Risk, Doubt: bore.UsualDoubt, ResolutionMM: bore.UsualResolutionMM, ChipMM: bore.UsualChipMM,
		DriftSdMM: bore.UsualDriftMM, MaxReadings: bore.UsualReadings,
	}
	if j.Machine.ScatterMM > 0 {
		q.ScatterMM, q.ScatterDoubt = j.Machine.ScatterMM, 0
	}
	if j.Machine.ResolutionMM > 0 {
		q.ResolutionMM = bore.DiameterResolutionMM(j.Machine.ResolutionMM)
	}
	if q.Gauge, err = gaugeOf(j, f.Insert.DiameterMM); err != nil {
		return bore.Request{}, refused(j.FaultAt("fit.gauge", err.Error(), ""))
	}
	if q.Gauge.Kind == "plug" { // made at the size that tells most
		q.Gauge.PlugMM = q.PlugTargetMM()
	}
	if q.StartMM == 0 {
		q.StartMM = bore.UsualStartMM(f.Insert.DiameterMM)
	}
	if q.Offset, err = offsetOf(j, part, mill); err != nil {
		return bore.Request{}, refused(j.FaultAt(finishPath(j, err), words(j, err.Error()), ""))
	}
	return q, nil
}

func gaugeOf(j *job.Job, insertMM float64) (bore.Gauge, error) {
	asked := j.Fit.Gauge
	g, err := bore.GaugeByKind(asked.Kind)
	if err != nil {
		return g, err
	}
	if asked.UncertaintyMM > 0 {
		g.SdMM = asked.UncertaintyMM
	}
	if asked.BiasMM > 0 {
		g.BiasSdMM = asked.BiasMM
	}
	if asked.StepMM > 0 {
		g.PinStepMM = asked.StepMM
	}
	if g.Feels {
		g.PlugMM = insertMM
	}
	return g, nil
}

// offsetOf is the belief about real less commanded bore before the first pass.
func offsetOf(j *job.Job, part material.PartRow, mill bore.Mill) (bore.Prior, error) {
	t := j.Tool(j.Fit.Bore.Tool)
	if t == nil { // a reamer or a boring head set by hand: only the machine's doubt
		return bore.Prior{SdMM: mill.OffsetSdMM}, nil
	}
	c := bore.Cutter{
		DiameterMM: t.DiameterMM, StickoutMM: t.StickoutMM, YoungMPa: bore.CarbideMPa, RunoutMM: t.RunoutMM,
		ToleranceMM: bore.ToolToleranceMM(t.DiameterMM), MachineSdMM: mill.OffsetSdMM,
	}
	if t.Material == "HSS" {
		c.YoungMPa = bore.HSSMPa
	}
	kc, err := material.KcOf(part.KcGroup)
	if err != nil {
		return bore.Prior{}, err
	}
	em := cutting.EndMill{
		DiameterMM: t.DiameterMM, Flutes: t.Flutes, SpeedRPM: j.Fit.Bore.SpeedRPM, FeedMMMin: j.Fit.Bore.FeedMMMin,
		DepthMM: boreDepth(j), WidthMM: bore.WallOf(j.Fit.StepMM), HelixRad: t.HelixRad, RakeRad: t.RakeRad,
		HSS: t.Material == "HSS", Worn: t.Worn, Kc: kc,
	}
	if em.SpeedRPM == 0 || em.FeedMMMin == 0 {
		em.SpeedRPM, em.FeedMMMin = usualFinishRPM, cutting.FeedMMMin(usualFinishToothMM, t.Flutes, usualFinishRPM)
	}
	f, err := cutting.Mill(em)
	if err != nil {
		return bore.Prior{}, err
	}
	c.LoadN = f.Mean.RadialN.Likely
	return bore.OffsetPrior(c)
}

// finishPath is the key that an error about the finishing cut of the bore, or
// about its tool, concerns. The cut's width is half a step.
func finishPath(j *job.Job, err error) string {
	tool := j.Fit.Bore.Tool
	var out *bore.RangeError
	if errors.As(err, &out) {
		if key := finisherKeys[out.What]; key != "" {
			return "tools." + tool + "." + key
		}
	}
	switch path := cutPath("fit.bore", tool, err); path {
	case "fit.bore":
		return "fit.bore.tool"
	case "fit.bore.width":
		return "fit.step"
	case "fit.bore.depth":
		if j.Fit.Bore.Through {
			return "part.height"
		}
		return path
	default:
		return path
	}
}

// finisherKeys are the keys of a tool that the quantities of a bore.RangeError
// come from.
var finisherKeys = map[string]string{"tool diameter": "diameter", "tool stick-out": "stickout", "run-out": "runout"}

func boreDepth(j *job.Job) float64 {
	if j.Fit.Bore.Through {
		return j.Part.HeightMM
	}
	return j.Fit.Bore.DepthMM
}

// passes puts the plan of passes into the result.
func passes(b *FitBlock, p bore.Plan, j *job.Job) {
	length := j.Units().Size
	ok := p.Feasibility.OK
	b.Feasible = &ok
	b.GaugeSays = p.Feasibility.Words(length)
	for _, r := range p.Rows {
		b.Passes = append(b.Passes, PassRow{
			N: r.N, BoreMM: r.CommandMM, WallStockMM: r.WallStockMM, ExpectMM: r.ExpectMM, POver: r.POver, Says: r.Words(length),
		})
	}
}
