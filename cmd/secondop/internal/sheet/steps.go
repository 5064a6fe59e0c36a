package sheet

import (
	"fmt"
	"html/template"
	"strings"

	"secondop/cmd/secondop/internal/plan"
)

// step is one thing to do, in order. Care is what can hurt there.
type step struct {
	Title string
	Do    []template.HTML
	Care  []template.HTML
	Table *table
}

// table is a small table of a step. An empty cell is filled in by hand.
type table struct {
	Head []template.HTML
	Rows []row
	Note template.HTML
}

// row is one line of a table, with a remark under it.
type row struct {
	Cells []template.HTML
	Note  template.HTML
}

func (t *table) add(cells ...template.HTML) { t.Rows = append(t.Rows, row{Cells: cells}) }

func (st *step) do(format string, args ...any)   { st.Do = append(st.Do, say(format, args...)) }
func (st *step) care(format string, args ...any) { st.Care = append(st.Care, say(format, args...)) }

// steps are those that the job needs.
func (s *sheet) steps() []step {
	list := []step{s.proveFit(), s.printJaws(), s.boltDown(), s.setZero(), s.loadPart(), s.closeJaws()}
	if s.plan.Job.Cut != nil {
		list = append(list, s.cutPart())
	}
	if s.r.Fit != nil {
		list = append(list, s.gaugeBore(), s.pressInsert())
	}
	return append(list, s.checkPart())
}

func (s *sheet) piece(role string) (plan.Mesh, plan.Piece) {
	for _, m := range s.plan.Jaws.Pieces {
		if m.Role != role {
			continue
		}
		for _, p := range append([]plan.Piece{s.r.Jaws.Fixed, s.r.Jaws.Moving}, s.r.Jaws.Parts...) {
			if p.File == m.File {
				return m, p
			}
		}
	}
	return plan.Mesh{}, plan.Piece{}
}

func (s *sheet) proveFit() step {
	st := step{Title: "Print the fit slice first"}
	_, slice := s.piece("fit slice")
	st.do("Print <b>%s</b> once, %s of %s, before the long print: about ten minutes. It is the tightest 3 mm of both pockets.", slice.File, s.u.Mass(slice.PrintG), s.plan.Polymer.Name)
	st.do("Drop the part in, this face up. It must fall in without force and not rattle. If it doesn't, measure the slice, put the printer's error into the job (<code>jaws: printer:</code>) and make the jaws again.")
	return st
}

func (s *sheet) printJaws() step {
	j := s.plan.Job.Jaws
	st := step{Title: "Print the jaws"}
	t := &table{Head: []template.HTML{"file", "count", "size as it lies", "mass"}}
	add := func(p plan.Piece) {
		t.add(say("<b>%s</b>", p.File), "1", s.box(p.SizeMM), both(s.u.Mass(p.PrintG), s.other.Mass(p.PrintG)))
	}
	split := map[string]bool{}
	for _, m := range s.plan.Jaws.Pieces {
		split[m.Role] = true
	}
	if !split["fixed part"] {
		add(s.r.Jaws.Fixed)
	}
	if !split["moving part"] {
		add(s.r.Jaws.Moving)
	}
	for _, p := range s.r.Jaws.Parts {
		if p.File != "fit-slice.stl" {
			add(p)
		}
	}
	st.Table = t
	st.do("Lay each as its file lies: flat side down, no supports. %s, %s walls, %s infill.", s.plan.Polymer.Name, j.Walls, s.u.Share(j.Infill))
	if m := s.r.Jaws.PrintMinutes; m != nil {
		st.do("All together %s, roughly %s to %s.", both(s.u.Mass(s.r.Jaws.MassG), s.other.Mass(s.r.Jaws.MassG)), s.u.Time(m.Min*60), s.u.Time(m.Max*60))
	}
	return st
}

func (s *sheet) boltDown() step {
	p := s.plan.Jaws.Pair
	st := step{Title: "Bolt the fixed jaw down"}
	st.do("Clean table, threads and the underside of the jaw. The fixed jaw stands behind the part, away from you.")
	t := &table{Head: []template.HTML{"jaw", "hole", "screw", "washer", "torque"}}
	for _, b := range s.r.Jaws.Bolts {
		place := fmt.Sprintf("slot %d", slotOf(b))
		if b.Column > 0 && b.Row > 0 {
			place = fmt.Sprintf("column %d, row %d", b.Column, b.Row)
		}
		if b.Slotted {
			place += " (slotted hole)"
		}
		t.add(say("%s", b.Jaw), say("<b>%s</b>", place), say("<b>%s × %s</b>", b.Screw, s.u.Coarse(b.LengthMM)), say("%s", b.Washer), s.torque(b.TorqueNm))
	}
	t.Note = "Columns and rows count from 1 at the front left of the table."
	st.Table = t
	st.do("Screw in by hand first. Push the jaw back (+Y) hard against its screws, then tighten: round hole first, slotted hole second.")
	d := p.Datum
	st.do("Run an indicator along the jaw's back beside the clamp pad, %s from end to end, and tap it parallel to X before the last quarter turn.", s.coarse(d.IndicateX1-d.IndicateX0))
	if p.TubeLengthMM > 0 {
		st.do("Spacer tubes round the screws: %s long, %s outside, flush to 0.1 mm short of the plastic.", s.length(p.TubeLengthMM), s.length(p.TubeOuterMM))
	}
	st.care("The plastic under the washers sets the torque. More crushes it and holds less.")
	return st
}

func (s *sheet) setZero() step {
	j := s.r.Jaws
	p := s.plan.Jaws.Pair
	st := step{Title: "Set zero"}
	if j.Anchor.Column > 0 && j.Anchor.Row > 0 {
		st.do("Part zero lies at %s from the centre of the anchor hole, column %s, row %s (the free hole ringed in the plan view).", s.point(j.PartZeroMM[0], j.PartZeroMM[1]), j.Anchor.Column, j.Anchor.Row)
	} else {
		st.do("Part zero lies at %s from %s.", s.point(j.PartZeroMM[0], j.PartZeroMM[1]), s.slotOrigin())
	}
	st.do("It is known to ±%s: good for facing. For anything that must be placed closer, indicate or probe the part itself.", s.coarse(j.PartZeroDoubtMM))
	st.do("Closer, with an edge finder on the fixed jaw: part zero lies %s to the right of its left face and %s in front of its back face (beside the clamp pad, not on it), known to ±%s.",
		s.coarse(-p.Datum.LeftXMM), s.coarse(p.Datum.BackYMM), s.coarse(p.Datum.DoubtMM))
	h := p.Heights
	if s.plan.Job.Zero.Z == "top" {
		st.do("Z zero is the <b>top of the part before cutting</b>, %s above the table.", s.length(h.PartTopBeforeMM))
	} else {
		st.do("Z zero is the <b>seat</b>, that is %s, %s above the table.", s.seatName(), s.length(h.SeatMM))
	}
	return st
}

// seatName is what the part stands on.
func (s *sheet) seatName() string {
	switch s.plan.Job.Jaws.Seat {
	case "table":
		return "the table top"
	case "parallels":
		return "the top of the parallels"
	case "plate":
		return "the top of the metal plate"
	}
	return "the printed seat"
}

func (s *sheet) loadPart() step {
	p := s.plan.Jaws.Pair
	st := step{Title: "Load the part"}
	h := s.length(p.Heights.SeatMM)
	switch s.plan.Job.Jaws.Seat {
	case "parallels":
		st.do("Put parallels %s high on the table, in the open bottom of the pocket. The plastic only squeezes; the metal carries.", h)
	case "plate":
		st.do("Put the metal plate, %s thick, on the table in the open bottom of the pocket.", h)
	}
	st.do("Deburr the lower edge of the part, wipe part, seat and pocket. A burr or a chip lifts the part.")
	st.do("<b>This face up</b> as drawn, %s", s.wayRound())
	st.do("Tap it down with a soft mallet. A feeler of 0.05 mm must not go under it anywhere.")
	return st
}

// wayRound says which way round the part goes in.
func (s *sheet) wayRound() string {
	n := s.r.Outline.TurnsAlike
	switch {
	case s.r.Jaws.OneWay == "notch":
		return "with the part's own mark at the witness notch: the outline alone lets it in several ways."
	case s.r.Jaws.OneWay == "turn":
		return "turned as in the plan view. It would also go in upside down: look which face is finished, or mark it."
	case s.r.Jaws.OneWay == "outline":
		return "turned as in the plan view: the outline lets it in one way only."
	case n > 1:
		return fmt.Sprintf("turned as in the plan view. The outline lets it in %d ways; mark the part.", n)
	}
	return "turned as in the plan view. Nothing in the jaws keeps it from being loaded the wrong way; mark the part."
}

func (s *sheet) closeJaws() step {
	p := s.plan.Jaws.Pair
	c := s.plan.Job.Clamp
	st := step{Title: "Clamp"}
	st.do("Slide the moving jaw against the part, toward the fixed jaw (+Y). Closed, a gap of about %s is left between the jaws' faces. If the faces touch, the part isn't held.", s.length(p.GapMM))
	if p.ClampPad != nil {
		st.do("Press in the middle of the pad on the front, %s above the table; lower lifts the part off its seat.", s.coarse(p.ClampPad.CentreMM))
	}
	switch {
	case c == nil:
		st.do("The job names no clamp: the grip is not judged.")
	case s.r.Hold != nil && s.r.Hold.ClampN != nil:
		st.do("Clamp force: %s; the sheet counts on %s after the plastic has crept.", s.clampName(), s.force(s.r.Hold.ClampN.Likely))
	default:
		st.do("Clamp: %s.", s.clampName())
	}
	if p.BackPad != nil {
		st.do("The clamp spans both jaws: its other end presses on the pad at the back, at the same height.")
	}
	for _, b := range p.Bolts {
		if b.Moving {
			st.do("Then tighten the moving jaw's screws through their slots to %s, and leave the clamp on.", s.torque(b.TorqueNm))
			break
		}
	}
	st.do("Nip the clamp again after <b>5 minutes</b>, and once more when the part is warm: plastic creeps.")
	st.do("Pull the part straight up with a luggage scale until it creeps, once: <code>clamp: {pull_test: …}</code> then takes the place of two guesses.")
	return st
}

func (s *sheet) clampName() string {
	c := s.plan.Job.Clamp
	switch {
	case c.ForceN > 0:
		return s.u.Force(c.ForceN) + " as the job says"
	case c.PullTestN > 0:
		return "as in the pull test of " + s.u.Force(c.PullTestN)
	case c.Kind == "screw":
		return fmt.Sprintf("screw %s at %s", c.Screw, s.u.Torque(c.TorqueNm))
	}
	return c.Kind
}

// acrossMM is the height kept above everything when moving across. Common
// practice, no source.
const acrossMM = 5

func (s *sheet) cutPart() step {
	p := s.plan
	st := step{Title: "Cut"}
	t := &table{Head: []template.HTML{"operation", "tool", "spindle", "feed", "depth × width", "from – to, below the top", "time"}}
	for _, o := range p.Ops {
		if o.Tool == nil {
			t.add(say("%s", o.Name), "–", "–", "–", "–", "–", say("%s", s.u.Time(o.LastsS)))
			continue
		}
		depth := say("%s × %s", s.u.Length(o.DepthMM), s.u.Length(o.WidthMM))
		if o.DepthMM == 0 {
			depth = "–"
		}
		t.add(
			say("<b>%s</b>", o.Name), say("%s, %s out", o.Operation.Tool, s.u.Coarse(o.Tool.StickoutMM)), say("%s", s.u.Speed(o.SpeedRPM)), say("%s", s.u.Feed(o.FeedMMMin)),
			depth, say("%s – %s", s.u.Length(o.FromMM), s.u.Length(o.ToMM)), say("%s", s.u.Time(o.LastsS)),
		)
	}
	t.Note = say("Cooling: %s.", p.Job.Cut.Cooling)
	st.Table = t
	h := p.Jaws.Pair.Heights
	if h.PartTopAfterMM < h.PartTopBeforeMM {
		st.do("The part's top comes from %s down to %s above the table.", s.length(h.PartTopBeforeMM), s.length(h.PartTopAfterMM))
	} else {
		st.do("No operation faces the part: its top stays %s above the table.", s.length(h.PartTopBeforeMM))
	}
	st.do("Move across only above the highest thing there is, %s above the table, and %s more.", s.length(h.HighestMM), s.length(acrossMM))
	if heat := s.r.Heat; heat != nil {
		st.do("Rests: %s.", heat.ScheduleSays)
		st.do("<b>When to stop:</b> %s. A thermometer taped to the part that reads %s says rest; the limit is %s.", s.stopRule(), s.warm(heat.CautionC), s.warm(heat.LimitC))
		if heat.Touch != nil {
			st.care("The part gets hot while the jaws still look fine: %s.", heat.Touch.Says)
		}
	}
	if s.r.Verdict == "stop" {
		st.care("The verdict is <b>stop</b>: don't cut this job as it stands. What follows is what was judged.")
	}
	st.care("Eye protection. Nobody in the plane of the cutter: a part that comes out can blind or kill. Prove the program in air first, hand on the stop.")
	if strings.Contains(p.Metal.Name, "magnesium") || strings.Contains(p.Metal.Name, "titanium") {
		st.care("Chips of %s burn: keep them few and coarse, no water on a fire, a bucket of dry sand at hand.", p.Metal.Name)
	}
	return st
}

// stopRule is the rule for the hand at the machine.
func (s *sheet) stopRule() string {
	rule := "the jaws don't reach their limit in this job on the high estimate"
	if t := s.r.Heat.SecondsToLimit.Low; t != nil {
		rule = "after " + s.u.Time(*t) + " of cutting in one go at the latest"
	}
	if s.plan.Polymer.CautionC < 55 {
		rule += "; if the part feels clearly warm (about " + s.u.Temperature(40) + "), stop and blow: " + s.plan.Polymer.Name + " lets go before it hurts"
	}
	return rule
}

func (s *sheet) gaugeBore() step {
	f := s.r.Fit
	j := s.plan.Job.Fit
	st := step{Title: "Creep up on the bore and gauge it"}
	if f.BoreMM == nil {
		st.do("No bore size does it: don't cut this bore. See the reasons at the top.")
		return st
	}
	st.do("Depth %s from the finished top. Measure with: <b>%s</b>. Window: %s, on diameter.", s.boreDepth(), j.Gauge.Kind, s.span(f.BoreMM.Min, f.BoreMM.Max, s.size))
	st.do("Blow the bore out, wipe it, break the mouth's burr; then gauge it in two directions, near the mouth and near the floor.")
	if h := s.r.Heat; h != nil && h.PressSays != "" {
		st.do("%s.", capital(h.PressSays))
	}
	if j.Bore.Program && s.r.Verdict != "stop" {
		st.do("<b>bore.nc</b>, if it is in the folder, is pass 1. The passes after it depend on what you measure: <code>secondop bore next</code>.")
	}
	if f.Reamer != "" {
		st.do("%s.", capital(f.Reamer))
	}
	if f.DialSays != "" {
		st.do("%s.", capital(f.DialSays))
	}
	if len(f.Passes) > 0 {
		t := &table{Head: []template.HTML{"pass", "command, on diameter", "wall stock, per wall", "expect", "measured", "temperature"}}
		for _, p := range f.Passes {
			t.Rows = append(t.Rows, row{
				Cells: []template.HTML{say("%s", p.N), s.size(p.BoreMM), say("%s", s.u.Small(p.WallStockMM)), s.size(p.ExpectMM), "", ""},
				Note:  say("%s.", capital(p.Says)),
			})
		}
		t.Note = "Wall stock is the metal left per wall to the insert's nominal size; positive: the bore is still smaller."
		st.Table = t
	}
	st.care("Spindle off and cutter clear before fingers or a gauge go near the bore. Never gauge under the cutter.")
	return st
}

func (s *sheet) boreDepth() template.HTML {
	b := s.plan.Job.Fit.Bore
	if b.Through {
		return say("right through, %s", s.length(s.plan.Job.Part.HeightMM))
	}
	return s.length(b.DepthMM)
}

func (s *sheet) pressInsert() step {
	f := s.r.Fit
	st := step{Title: "Press"}
	in := s.plan.Fit.Insert
	if in.Kind == "disc magnet" {
		if pole := s.plan.Job.Fit.Insert.PoleOut; pole != "" {
			st.do("<b>Which pole:</b> the %s pole out. Find it with the mating magnet or a compass before pressing, and mark that face with a pen.", pole)
		} else {
			st.do("<b>Which pole:</b> decide it with the mating magnet before pressing, mark the face that stays out with a pen, and tick it here: pole out ☐ N ☐ S. The job doesn't say it (pole_out).")
		}
	}
	if f.PressInN != nil && f.PressInN.Max > 0 {
		st.do("How hard: %s, with: <b>%s</b>. Squarely, the part backed on a flat.", s.span(f.PressInN.Min, f.PressInN.Max, s.force), f.PressWith)
	}
	st.care("A hard pin or a magnet can shatter when it cocks: press, don't strike, behind a shield.")
	if in.Kind == "disc magnet" {
		st.care("Magnets jump at iron, pinch and chip, and harm pacemakers. Never machine or heat one; keep swarf off its face.")
	}
	return st
}

func (s *sheet) checkPart() step {
	p := s.plan.Jaws.Pair
	st := step{Title: "Check"}
	after := s.plan.Job.Part.HeightMM - (p.Heights.PartTopBeforeMM - p.Heights.PartTopAfterMM)
	st.do("Height of the finished part: %s. Measured: <u></u>", s.length(after))
	if f := s.r.Fit; f != nil && f.PushOutN != nil && f.PushOutN.Max > 0 {
		st.do("The insert sits home and holds %s.", s.span(f.PushOutN.Min, f.PushOutN.Max, s.force))
	}
	st.do("Look at the clamped faces for marks and at the pocket for glaze: glazed plastic has been too hot. Then the next part.")
	return st
}
