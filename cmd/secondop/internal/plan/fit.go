package plan

import (
	"errors"
	"fmt"

	"secondop/cmd/secondop/internal/job"
	"secondop/fits"
	"secondop/fits/press"
	"secondop/thermal/material"
)

// Fit is the window of bore sizes for the job's insert, and why.
type Fit struct {
	Insert press.Insert
	Window press.Window
	WallMM float64 // least metal between the bore and any other edge
}

// fitOf finds the window of bore sizes. The insert may be given as measured at
// the machine: measuredMM above 0 takes the place of the job's diameter.
func fitOf(j *job.Job, p Part, part material.PartRow, measuredMM float64) (*Fit, error) {
	f := j.Fit
	in, err := insertOf(f.Insert, measuredMM)
	if err != nil {
		return nil, fitRefusal(j, err)
	}
	// Distance is negative inside.
	wall := press.WallMM(-p.Drawn.Distance(p.point(f.Bore.AtMM)), in.DiameterMM)
	if !(wall > 0) {
		return nil, refused(j.FaultAt("fit.bore.at",
			"the bore of "+j.Units().Length(in.DiameterMM)+" reaches past the part's outline by "+j.Units().Length(-wall),
			"move it inward, or take a smaller insert"))
	}
	req := press.Request{
		Insert: in, Part: hub(part), By: press.Way(f.By), Class: f.Class, MustHoldN: f.MustHoldN,
		Seat: seatOf(j), LeastWallMM: wall, ServiceLowC: f.ServiceLowC, ServiceHighC: f.ServiceHighC,
		RzBoreUM: rzBore(f), RzInsertUM: f.RzInsertUM, FlatteningFactor: &f.RzFactor,
		Lubricated: f.Lubricated, MaxPressN: f.MaxPressN,
		HoldFriction:  press.Band{Low: f.HoldFrictionLow, High: f.HoldFrictionHigh},
		PressFriction: press.Band{Low: f.PressFrictionLow, High: f.PressFrictionHigh},
	}
	if f.GapMM != nil {
		req.GapMM = press.Band{Low: f.GapMM.Low, High: f.GapMM.High}
	}
	w, err := press.Judge(req)
	if err != nil {
		return nil, fitRefusal(j, err)
	}
	return &Fit{Insert: in, Window: w, WallMM: wall}, nil
}

func insertOf(in job.Insert, measuredMM float64) (press.Insert, error) {
	q := press.Query{
		Kind: press.Kind(in.Kind), Designation: in.Designation, DiameterMM: in.DiameterMM,
		UpperMM: in.UpperMM, LowerMM: in.LowerMM, ToleranceGiven: in.ToleranceGiven, Measured: in.Measured,
		HeightMM: in.HeightMM, InnerMM: in.InnerDiameterMM, ChamferMM: in.LeadInMM, Grade: in.Grade, Load: in.Load, PilotMM: in.PilotMM,
	}
	if measuredMM > 0 {
		q.DiameterMM, q.Measured, q.ToleranceGiven = measuredMM, true, false
	}
	found, err := press.Find(q)
	if err != nil {
		return found, err
	}
	name := in.Material
	if name == "" {
		name = found.MaterialName
	}
	row, err := material.Insert(name)
	if err != nil {
		return found, err
	}
	found.MaterialName = row.Name
	found.Material = press.Material{
		Name: row.Name, YoungMPa: row.YoungMPa, Poisson: row.Poisson, YieldMPa: row.YieldMPa, TensileMPa: row.TensileMPa,
		CompressMPa: row.CompressiveMPa, ExpansionPerK: row.ExpansionRadialPerK, WorkingC: row.WorkingC,
	}
	if row.Magnet && in.Grade != "" && found.DiameterMM > 0 {
		if found.Material.WorkingC, err = material.MagnetWorkingC(in.Grade, found.HeightMM/found.DiameterMM); err != nil {
			return found, err
		}
	}
	return found, nil
}

func hub(m material.PartRow) press.Material {
	return press.Material{Name: m.Name, YoungMPa: m.YoungMPa, Poisson: m.Poisson, YieldMPa: m.YieldMPa, ExpansionPerK: m.ExpansionPerK}
}

func seatOf(j *job.Job) press.Seat {
	b := j.Fit.Bore
	s := press.Seat{
		DepthMM: b.DepthMM, Through: b.Through, LeadInMM: b.LeadInMM, LeadInRad: b.LeadInRad,
		FloorReliefMM: b.FloorReliefMM, VentMM: b.VentMM,
	}
	if b.Through {
		s.DepthMM = j.Part.HeightMM
	}
	if t := j.Tool(b.Tool); t != nil {
		s.CutterRadiusMM = t.CornerRadiusMM
	}
	return s
}

// rzBore is the bore's roughness as given, else by how it is cut.
func rzBore(f *job.Fit) float64 {
	if f.RzBoreUM > 0 {
		return f.RzBoreUM
	}
	made := "bored"
	if f.Bore.CutBy == "ream" {
		made = "reamed"
	}
	rz, _ := press.RzOf(made)
	return rz
}

// fitRefusal puts what the fit's rooms turn away at the key it concerns.
func fitRefusal(j *job.Job, err error) error {
	var (
		insert    *press.InsertError
		class     *fits.ClassError
		tolerance *fits.ToleranceError
		unknown   *material.UnknownError
		ranged    *press.RangeError
	)
	at := "fit"
	switch {
	case errors.As(err, &insert):
		at = "fit.insert"
	case errors.As(err, &class):
		at = "fit.by"
	case errors.As(err, &tolerance):
		at = "fit.insert.diameter"
	case errors.As(err, &unknown):
		at = "fit.insert.material"
	case errors.As(err, &ranged):
	}
	return refused(j.FaultAt(at, err.Error(), ""))
}

// quantity words a number of the fit in the job's units.
func quantity(j *job.Job) func(press.Quantity) string {
	u := j.Units()
	return func(q press.Quantity) string {
		switch q.Unit {
		case "mm":
			return u.Length(q.Value)
		case "µm":
			return u.Small(q.Value / 1000)
		case "N":
			return u.Force(q.Value)
		case "MPa":
			return u.Stress(q.Value)
		case "°C":
			return u.Temperature(q.Value)
		case "K":
			return u.Rise(q.Value)
		}
		return q.String()
	}
}

// block is the result's account of the fit, without the passes.
func (f *Fit) block(j *job.Job) *FitBlock {
	w := f.Window
	b := &FitBlock{
		Verdict: string(w.Verdict), WallMM: f.WallMM, EffectiveMM: w.EffectiveOuterMM, PressWith: w.PressWith,
		Passes: []PassRow{}, MustHoldN: w.MustHoldN, NeedUM: press.UM(w.NeedMM), AllowUM: press.UM(w.AllowMM),
		MeasureEach: w.MeasureEach, AirN: w.AirN,
	}
	if w.Feasible {
		b.BoreMM = &Span{w.BoreMinMM, w.BoreMaxMM}
		b.InterferenceUM = &Span{press.UM(w.InterferenceMM.Low), press.UM(w.InterferenceMM.High)}
		b.PressureMPa = &Span{w.Loose.PressureMPa, w.Tight.PressureMPa}
		b.HubStressMPa = &Span{w.Loose.HubHoopMPa, w.Tight.HubHoopMPa}
		b.PressInN = &Span{w.PressInN.Low, w.PressInN.High}
		b.PushOutN = &Span{w.PushOutN.Low, w.PushOutN.High}
	}
	f.cutBy(j, b)
	for _, r := range w.Reasons {
		b.Says = append(b.Says, r.Says(quantity(j)))
	}
	return b
}

// cutBy says what the way of cutting asks for beside the passes: the reamer to
// buy, or how the boring head's dial counts.
func (f *Fit) cutBy(j *job.Job, b *FitBlock) {
	switch j.Fit.Bore.CutBy {
	case "ream":
		b.Reamer = f.reamer(j)
	case "boring head":
		d := press.Dial{DivisionMM: usualDivisionMM, OnRadius: j.Fit.Bore.DialOn == "radius"}
		if j.Inch {
			d.DivisionMM = usualDivisionInchMM
		}
		b.DialSays = d.Says(quantity(j))
	}
}

// Usual divisions of a boring head's dial: 0.01 mm, or a thousandth of an inch.
// Common practice, no source.
const (
	usualDivisionMM     = 0.01
	usualDivisionInchMM = 0.0254
)

func (f *Fit) reamer(j *job.Job) string {
	w := f.Window
	if !w.Feasible {
		return ""
	}
	u := j.Units()
	r, ok, err := press.ReamerFor(w.BoreMinMM, w.BoreMaxMM, j.Inch)
	if err != nil || !ok {
		return "no standard reamer makes a hole of " + u.Size(w.BoreMinMM) + " to " + u.Size(w.BoreMaxMM) + ": bore it, or change the fit"
	}
	return fmt.Sprintf("reamer %s after a drill of %s; its hole comes out %s to %s, %s of that in the window (%s)",
		r.Name, u.Length(r.PredrillMM), u.Size(r.HoleMinMM), u.Size(r.HoleMaxMM), u.Share(r.InWindow), r.Source)
}
