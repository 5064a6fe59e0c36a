package plan

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"secondop/cmd/secondop/internal/job"
	"secondop/fits/press"
	"secondop/fixture"
	"secondop/thermal"
	"secondop/thermal/material"
)

// Heat is the judgement of the jaws against the heat.
type Heat struct {
	Answer  thermal.Answer
	Request thermal.Request
	Press   *thermal.PressAnswer
}

// heatRequest words the job for the heat model.
func heatRequest(j *job.Job, part material.PartRow, poly material.PolymerRow, pair *fixture.Pair, ops []Operation, pressureMPa float64) thermal.Request {
	r := thermal.Request{
		Part: part, Polymer: poly, AmbientC: thermal.ShopC(j.Cut.AmbientC, j.Cut.Cabinet),
		Cooling: j.Cut.Cooling, FilmWM2K: j.Cut.FilmWM2K, ToolChangeS: j.Cut.ToolChangeS, SwapS: j.Cut.PartChangeS,
		Batch: j.Cut.Batch, PressureMPa: pressureMPa, CutInPlace: j.Jaws.Finish == "cut in place", ShareFrom: j.Cut.ShareFrom,
	}
	if s := j.Cut.Share; s != nil {
		r.Share = &thermal.Band{Low: s.Low, Likely: s.Likely, High: s.High}
	}
	e := pair.Exposure(j.Part.HeightMM, options(j.Jaws).Seat)
	r.Geometry = thermal.Geometry{
		VolumeMM3: e.VolumeMM3, HeightMM: j.Part.HeightMM, TopMM2: e.TopMM2, FreeMM2: e.FreeMM2, GripMM2: e.GripMM2,
		OpeningMM2: e.OpeningMM2, JawWallMM: e.JawWallMM, SkinMM: fixture.SkinMM(j.Jaws.Walls, j.Jaws.LineWidthMM),
		Infill: j.Jaws.Infill, Seat: j.Jaws.Seat, SeatMM2: e.SeatMM2, SeatMM: pair.Heights.SeatMM,
	}
	for _, o := range ops {
		r.Operations = append(r.Operations, o.heat)
	}
	return r
}

// heatOf runs the model on the job.
func heatOf(ctx context.Context, j *job.Job, r thermal.Request) (*Heat, error) {
	a, err := thermal.Judge(ctx, r)
	if err != nil {
		return nil, heatRefusal(j, err)
	}
	return &Heat{Answer: a, Request: r}, nil
}

// heatRefusal puts what the heat model turns away at the key it concerns.
func heatRefusal(j *job.Job, err error) error {
	var (
		input   *thermal.InputError
		unknown *material.UnknownError
	)
	switch {
	case errors.As(err, &input):
		at := "cut.operations"
		if input.Operation > 0 {
			at = fmt.Sprintf("cut.operations[%d]", input.Operation)
		}
		return refused(j.FaultAt(at, words(j, input.Error()), ""))
	case errors.As(err, &unknown) && unknown.Kind == "seat":
		return refused(j.FaultAt("jaws.seat", unknown.Error(), ""))
	case errors.As(err, &unknown):
		return refused(j.FaultAt("cut."+unknown.Kind, unknown.Error(), ""))
	}
	return err
}

// pressing asks whether the insert may be pressed while the part is warm.
func (h *Heat) pressing(f *Fit, grade string) error {
	row, err := material.Insert(f.Insert.MaterialName)
	if err != nil {
		return err
	}
	p := thermal.Pressing{
		Part: h.Request.Part, Insert: row, Grade: grade, DiameterMM: f.Insert.DiameterMM, HeightMM: f.Insert.HeightMM,
		PartC: h.Answer.PartC.High, AmbientC: h.Request.AmbientC,
	}
	if um := press.UM(f.Window.InterferenceMM.Low); um > 0 {
		p.InterferenceUM = um
	}
	a, err := thermal.Press(p)
	if err != nil {
		return err
	}
	h.Press = &a
	return nil
}

// block is the result's account of the heat.
func (h *Heat) block(j *job.Job, costs []float64) *HeatBlock {
	a := h.Answer
	b := &HeatBlock{
		Verdict: a.Verdict, LimitC: a.Limits.StopC, CautionC: a.Limits.CautionC, GoC: a.Limits.GoC, LimitSays: words(j, a.Limits.Says),
		PartC: band(a.PartC.Low, a.PartC.Likely, a.PartC.High), JawFaceC: band(a.JawFaceC.Low, a.JawFaceC.Likely, a.JawFaceC.High),
		SecondsToLimit: Band{Low: a.CuttingSToLimit.Low, Likely: a.CuttingSToLimit.Likely, High: a.CuttingSToLimit.High},
		Share:          band(a.Share.Low, a.Share.Likely, a.Share.High), ShareFrom: a.ShareFrom,
		Touch:    &Touch{Says: words(j, a.Touch.Says), SafeAfter: a.Touch.SafeAfterS},
		Schedule: []Stretch{}, ScheduleSays: words(j, a.Schedule.Says), OpeningsSay: words(j, a.Openings), Alternatives: []Alternative{}, MaxRateMM3S: a.MaxRateMM3S,
		Balance: Balance{
			InJ: a.Balance.InJ, PartJ: a.Balance.PartJ, JawsJ: a.Balance.LayersJ, LossJ: a.Balance.LossJ,
			ChipsJ: a.Balance.ChipsJ, RelError: a.Balance.RelativeError,
		},
	}
	for _, s := range a.Schedule.Stretches {
		b.Schedule = append(b.Schedule, Stretch(s))
	}
	for i, alt := range a.Alternatives {
		row := Alternative{Change: alt.Change, Verdict: alt.Verdict, JawFaceC: alt.JawFaceC, LimitC: alt.LimitC, Says: words(j, alt.Says)}
		if i < len(costs) {
			row.HoldingFactor = &costs[i]
		}
		b.Alternatives = append(b.Alternatives, row)
	}
	for _, p := range a.Series {
		b.Series = append(b.Series, HeatPoint{
			TimeS: p.TimeS, PartC: band(p.PartC.Low, p.PartC.Likely, p.PartC.High),
			JawFaceC: band(p.JawFaceC.Low, p.JawFaceC.Likely, p.JawFaceC.High),
			DeepC:    band(p.DeepC.Low, p.DeepC.Likely, p.DeepC.High),
		})
	}
	if h.Press != nil {
		b.PressSays = words(j, h.Press.Says)
	}
	return b
}

// reasons are the heat's part of the verdict.
func (h *Heat) reasons(j *job.Job) (out []Reason) {
	if says := strayCalibration(j.Cut, h.Request.Part.Name); says != "" {
		out = append(out, Reason{Check: "heat", Verdict: "caution", Says: says})
	}
	for i, s := range h.Answer.Says {
		v := "go"
		if i == 0 {
			v = h.Answer.Verdict
		}
		out = append(out, Reason{Check: "heat", Verdict: v, Says: words(j, s)})
	}
	if h.Press != nil && h.Press.Verdict != thermal.Go {
		// The part can be left to cool: only an insert that the heat would spoil
		// makes a caution of it.
		v := thermal.Go
		if h.Press.Verdict == thermal.Stop {
			v = thermal.Caution
		}
		out = append(out, Reason{Check: "heat", Verdict: v, Says: words(j, h.Press.Says)})
	}
	return out
}

// coolingIsWet says that a kind of cooling leaves the grip with its wet
// friction.
func coolingIsWet(name string) bool {
	for _, c := range thermal.Coolings() {
		if c.Name == name {
			return c.Wet
		}
	}
	return false
}

// strayCalibration says that the share of heat may have been learnt on another
// metal or with another cooling than the job's, and may not hold here.
func strayCalibration(c *job.Cut, metal string) string {
	from := c.ShareFrom
	if c.Share == nil || !strings.HasPrefix(from, "calibration") {
		return ""
	}
	switch {
	case !strings.Contains(from, metal):
		return "the share of heat may have been learnt on another metal than " + metal + " (" + from + ")"
	case !strings.Contains(from, "cooling "+c.Cooling):
		return "the share of heat may have been learnt with another cooling than " + c.Cooling + " (" + from + ")"
	}
	return ""
}
