package plan

import (
	"errors"
	"fmt"

	"secondop/cmd/secondop/internal/job"
	"secondop/fixture/hold"
	"secondop/thermal"
	"secondop/thermal/cutting"
	"secondop/thermal/material"
)

// Operation is one stretch of cutting with its forces, power and time.
type Operation struct {
	job.Operation
	Tool     *job.Tool
	InPlane  cutting.Band
	Power    cutting.Band
	Removes  float64 // mm³
	LastsS   float64
	Cautions []string

	grip *hold.Cut // nil when the job gives only heat or power
	heat thermal.Operation
}

// cutsOf works out every operation of the job.
func cutsOf(j *job.Job, p Part, m material.PartRow) ([]Operation, error) {
	if j.Cut == nil {
		return nil, nil
	}
	kc, err := material.KcOf(m.KcGroup)
	if err != nil {
		return nil, refused(j.FaultAt("part.material", err.Error(), ""))
	}
	var list []Operation
	last := ""
	for i, op := range j.Cut.Operations {
		o := Operation{Operation: op, Tool: j.Tool(op.Tool), LastsS: op.LastsS, Removes: op.RemovesMM3}
		path := fmt.Sprintf("cut.operations[%d]", i+1)
		if err := o.work(p, kc); err != nil {
			return nil, refused(j.FaultAt(cutPath(path, op.Tool, err), words(j, err.Error()), ""))
		}
		o.heat.Name, o.heat.LastsS, o.heat.RemovesMM3 = op.Name, o.LastsS, o.Removes
		o.heat.NewTool = i > 0 && op.Tool != last
		last = op.Tool
		list = append(list, o)
	}
	return list, nil
}

// Keys that the quantities of a cutting.RangeError come from: those of the
// operation or bore itself, and those of its tool.
var (
	cutKeys = map[string]string{
		"spindle speed": "speed", "feed": "feed", "axial depth of cut": "depth", "radial width of cut": "width",
	}
	cutterKeys = map[string]string{
		"cutter diameter": "diameter", "hole diameter": "diameter", "number of flutes": "flutes",
		"helix angle": "helix", "rake angle": "rake", "runout": "runout",
	}
)

// cutPath is the key that an error of cutting concerns: one beside those under
// path, one of the tool, or path itself.
func cutPath(path, tool string, err error) string {
	var out *cutting.RangeError
	if !errors.As(err, &out) {
		return path
	}
	if key := cutKeys[out.What]; key != "" {
		return path + "." + key
	}
	if key := cutterKeys[out.What]; key != "" {
		return "tools." + tool + "." + key
	}
	return path
}

// work fills in forces, power, volume and time.
func (o *Operation) work(p Part, kc material.Kc) error {
	switch {
	case o.HeatW > 0:
		o.heat.HeatW = o.HeatW
		return nil
	case o.PowerW > 0:
		o.Power = cutting.Band{Low: o.PowerW, Likely: o.PowerW, High: o.PowerW}
		o.heat.PowerW = thermal.Band(o.Power)
		return nil
	case o.Kind == "drill" || o.Kind == "tap":
		return o.along(p, kc)
	}
	return o.milled(p, kc)
}

// milled is an operation of an end mill.
func (o *Operation) milled(p Part, kc material.Kc) error {
	if o.WidthMM == 0 { // a slot, an engraving and a bore from solid take the whole tool
		o.WidthMM = o.Tool.DiameterMM
	}
	f, err := cutting.Mill(o.endMill(kc))
	if err != nil {
		return err
	}
	o.InPlane, o.Power, o.Cautions = f.InPlaneN, f.PowerW, f.Cautions
	if err := o.time(p, f.RemovalMM3S); err != nil {
		return err
	}
	o.heat.PowerW = thermal.Band(f.PowerW)
	o.heat.Chip = thermal.Chip{
		SpeedMMin: f.SpeedMMin, MeanMM: f.ChipMeanMM, EdgeFraction: cutting.EdgeShare(f.EdgePowerW.Likely, f.PowerW.Likely),
	}
	// The axial force is tried both ways: a worn edge or a ramp may turn it.
	axial := f.Peak.AxialN.Size()
	o.grip = o.cut(p, f.InPlaneN, axial, axial, f.TorqueNmm)
	return nil
}

func (o *Operation) endMill(kc material.Kc) cutting.EndMill {
	t := o.Tool
	return cutting.EndMill{
		DiameterMM: t.DiameterMM, Flutes: t.Flutes, SpeedRPM: o.SpeedRPM, FeedMMMin: o.FeedMMMin,
		DepthMM: o.DepthMM, WidthMM: o.WidthMM, HelixRad: t.HelixRad, Down: t.HelixHand == "down",
		RakeRad: t.RakeRad, HSS: t.Material == "HSS", Worn: t.Worn, RunoutMM: t.RunoutMM, Kc: kc,
	}
}

// along is an operation of a tool that works along Z.
func (o *Operation) along(p Part, kc material.Kc) error {
	t := o.Tool
	h := cutting.Hole{
		DiameterMM: t.DiameterMM, SpeedRPM: o.SpeedRPM, FeedMMRev: cutting.FeedPerRevMM(o.FeedMMMin, o.SpeedRPM),
		HSS: t.Material == "HSS", Worn: t.Worn, HelixRad: t.HelixRad, Kc: kc,
	}
	make := cutting.Drill
	if o.Kind == "tap" {
		make = cutting.Tap
	}
	f, err := make(h)
	if err != nil {
		return err
	}
	o.Power, o.Cautions = f.PowerW, f.Cautions
	if err := o.time(p, o.swept(p).RemovalMM3S(o.FeedMMMin)); err != nil {
		return err
	}
	o.heat.PowerW = thermal.Band(f.PowerW)
	o.heat.Chip = thermal.Chip{
		SpeedMMin: cutting.SurfaceMMin(t.DiameterMM, o.SpeedRPM), MeanMM: f.ChipMM,
		EdgeFraction: cutting.EdgeShare(f.EdgePowerW.Likely, f.PowerW.Likely),
	}
	o.grip = o.cut(p, f.RadialN, f.LiftN, f.ThrustN, f.TorqueNmm)
	return nil
}

func (o *Operation) cut(p Part, inPlane, up, down, torque cutting.Band) *hold.Cut {
	c := &hold.Cut{
		Name: o.Name, InPlaneN: estimate(inPlane), UpN: estimate(up), DownN: estimate(down), TorqueNmm: estimate(torque),
		// The first pass has the longest lever above the grip.
		HeightMM: p.HeightMM - o.FromMM,
	}
	switch {
	case o.AtMM != nil:
		at := p.placed(*o.AtMM)
		c.Places = []hold.Place{{XMM: at.X, YMM: at.Y}}
	case o.Kind == "face" || o.Kind == "contour":
		c.Places = hold.Rim(p.Placed)
	}
	return c
}

func estimate(b cutting.Band) hold.Estimate { return hold.Estimate{Likely: b.Likely, High: b.High} }

func (o *Operation) swept(p Part) cutting.Swept {
	return cutting.Swept{
		AreaMM2: p.Placed.AreaMM2(), PerimeterMM: p.Placed.PerimeterMM(), ToolMM: o.Tool.DiameterMM,
		WidthMM: o.WidthMM, FromMM: o.FromMM, ToMM: o.ToMM,
	}
}

// time fills in what the job leaves out of removed volume and time.
func (o *Operation) time(p Part, rateMM3S float64) error {
	switch {
	case o.Removes > 0 && o.LastsS > 0:
	case o.Removes > 0:
		o.LastsS = cutting.DurationS(o.Removes, rateMM3S)
	case o.LastsS > 0:
		o.Removes = cutting.RemovedMM3(o.LastsS, rateMM3S)
	default:
		s := o.swept(p)
		switch o.Kind {
		case "face":
			o.Removes = s.Face()
		case "contour":
			o.Removes = s.Contour()
		case "drill", "tap", "bore":
			o.Removes = s.Hole()
		default:
			return fmt.Errorf("how much this %s removes can't be told from the outline: add removes (a volume) or lasts (a time)", o.Kind)
		}
		o.LastsS = cutting.DurationS(o.Removes, rateMM3S)
	}
	return nil
}
