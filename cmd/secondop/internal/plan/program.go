package plan

import (
	"bytes"
	"errors"
	"strings"

	"secondop/cmd/secondop/internal/job"
	"secondop/fits/bore"
	"secondop/thermal/cutting"
)

// Usual values of a bore program that the job may leave out. Common practice,
// no source.
const (
	usualPitchMM = 0.5
	usualTurns   = 2
	clearAboveMM = 5.0
	parkBesideMM = 60.0
)

// ProgramRequest is the program for some passes of the job's bore. stops are
// the verdicts against cutting; with any there is no program.
func (p *Plan) ProgramRequest(passes []bore.Planned, stops []string) (bore.ProgramRequest, error) {
	j := p.Job
	b := j.Fit.Bore
	control, err := bore.ControlByName(b.Control)
	if err != nil {
		return bore.ProgramRequest{}, refused(j.FaultAt("fit.bore.control", err.Error(), ""))
	}
	t := j.Tool(b.Tool)
	if t == nil {
		return bore.ProgramRequest{}, refused(j.FaultAt("fit.bore.tool", "a bore program needs the tool that cuts it", "name one of `tools`"))
	}
	at := p.Part.placed(b.AtMM)
	q := bore.ProgramRequest{
		Part: j.Name, Tool: t.Name, Control: control, WorkOffset: b.WorkOffset, Inch: j.Inch, Passes: passes, Stops: stops,
		ClearedMM: b.ClearedMM, ToolMM: t.DiameterMM, FluteMM: t.FluteLengthMM, StickoutMM: t.StickoutMM, CentreCutting: t.CentreCutting,
		ToolNumber: t.Number, XMM: at.X, YMM: at.Y, DepthMM: boreDepth(j), SpindleRPM: b.SpeedRPM, WallFeedMMMin: b.FeedMMMin, PitchMM: b.PitchMM, Turns: usualTurns,
	}
	if b.StartMM > q.ClearedMM { // the bore before creeping is there already
		q.ClearedMM = b.StartMM
	}
	h := p.Jaws.Pair.Heights
	zero := h.PartTopBeforeMM // `zero: top` is the top before cutting
	if j.Zero.Z != "top" {
		zero = h.SeatMM
	}
	q.MouthZMM, q.ClearZMM = h.PartTopAfterMM-zero, h.HighestMM-zero+clearAboveMM
	if b.Through { // down to the seat, not into it
		q.DepthMM = h.PartTopAfterMM - h.SeatMM
	}
	if q.SpindleRPM == 0 {
		q.SpindleRPM = speedOf(j, t.Name)
	}
	if q.SpindleRPM == 0 {
		return q, refused(j.FaultAt("fit.bore", "a bore program needs a spindle speed, and no operation drives "+t.Name, "add speed: 8000 rpm, as fits the tool and the metal"))
	}
	if q.WallFeedMMMin == 0 {
		q.WallFeedMMMin = cutting.FeedMMMin(usualFinishToothMM, t.Flutes, q.SpindleRPM)
	}
	q.PlungeMMMin = bore.PlungeFeedMMMin(q.WallFeedMMMin)
	if q.PitchMM == 0 {
		q.PitchMM = usualPitchMM
	}
	_, hi := p.Part.Placed.Bounds()
	q.ParkXMM, q.ParkYMM = hi.X+parkBesideMM, at.Y
	if b.ParkMM != nil {
		q.ParkXMM, q.ParkYMM = b.ParkMM[0], b.ParkMM[1]
	}
	return q, nil
}

// speedOf is the spindle speed at which the job's operations drive a tool, the
// slowest of them; 0 if none does.
func speedOf(j *job.Job, tool string) (rpm float64) {
	if j.Cut == nil {
		return 0
	}
	for _, o := range j.Cut.Operations {
		if o.Tool == tool && o.SpeedRPM > 0 && (rpm == 0 || o.SpeedRPM < rpm) {
			rpm = o.SpeedRPM
		}
	}
	return rpm
}

// Program is the first pass of the bore as a program, nil when the job asks for
// none or something forbids it; says then tells what.
func (p *Plan) Program(r Result) (program []byte, says string, err error) {
	if p.Job.Fit == nil || !p.Job.Fit.Bore.Program {
		return nil, "", nil
	}
	if not := p.notJudged(); len(not) > 0 {
		return nil, "no bore program: " + strings.Join(not, " and ") + " not judged; give the job its cut and clamp", nil
	}
	if r.Verdict == "stop" {
		return nil, "no bore program while the verdict is stop", nil
	}
	switch {
	case p.Bore == nil || len(p.Bore.Rows) == 0:
		return nil, "no bore program: there is no pass to make", nil
	case p.Fit.Window.MeasureEach:
		return nil, "no bore program: each insert must be measured first, and its own bore planned with `secondop bore`", nil
	case !p.Bore.Feasibility.OK:
		return nil, "no bore program: " + p.Bore.Feasibility.Words(p.Job.Units().Size), nil
	}
	first := p.Bore.Rows[0]
	q, err := p.ProgramRequest([]bore.Planned{{N: first.N, CommandMM: first.CommandMM, ExpectMM: first.ExpectMM}}, nil)
	if err != nil {
		return nil, "", err
	}
	var b bytes.Buffer
	switch err := bore.Program(&b, q); {
	case err == nil:
		return b.Bytes(), "", nil
	case isProgramRefusal(err):
		return nil, words(p.Job, err.Error()), nil
	default:
		return nil, "", err
	}
}

func isProgramRefusal(err error) bool {
	var (
		no  *bore.ProgramError
		out *bore.RangeError
	)
	return errors.As(err, &no) || errors.As(err, &out)
}
