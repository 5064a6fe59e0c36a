package bore

import (
	"fmt"
	"io"
	"math"
	"strings"
)

// Planned is one pass of a program.
type Planned struct {
	N                   int // the pass's number in its part
	CommandMM, ExpectMM float64
}

// ProgramRequest is a program for one pass, or for several with a stop between.
// X, Y and Z are in the frame of the work offset.
type ProgramRequest struct {
	Part, Tool string
	ToolNumber int // for a control that applies tool lengths
	Control    Control
	WorkOffset string // G54 to G59
	Inch       bool

	Passes []Planned
	// ClearedMM is the hole that is there already, to full depth; 0 for none.
	ClearedMM                   float64
	ToolMM, FluteMM, StickoutMM float64
	CentreCutting               bool
	XMM, YMM, MouthZMM          float64
	DepthMM                     float64 // below the mouth; through bores: with the run-out
	ClearZMM                    float64 // above everything in the job
	ParkXMM, ParkYMM            float64 // where the tool waits while the bore is gauged
	SpindleRPM                  float64
	WallFeedMMMin, PlungeMMMin  float64
	PitchMM                     float64
	Turns                       int // full turns at depth of every pass after the first
	// Stops are verdicts against cutting at all; there is no program with any.
	Stops []string
}

// ProgramError says why there is no program.
type ProgramError struct{ Says string }

func (e *ProgramError) Error() string { return "no bore program: " + e.Says }

func refuse(format string, args ...any) error { return &ProgramError{fmt.Sprintf(format, args...)} }

// Bounds of a program that are judgement, no source.
const (
	overMouthMM   = 1.0  // where the helix begins above the mouth
	floorStockMM  = 0.02 // what later passes stay off the first pass's floor
	lookAsideMM   = 10.0 // how far beside the bore the tool stands for a look
	freeMM        = 0.1  // least play between tool and hole on the way straight down
	steepestRad   = 3 * math.Pi / 180
	approachS     = 4.0 // the way down takes as long where there is no dwell
	spinUpS       = 4
	commentLength = 60
)

// Check returns the first thing that forbids the program.
func (r ProgramRequest) Check() error {
	if len(r.Stops) > 0 {
		return refuse("%s", strings.Join(r.Stops, "; "))
	}
	for _, e := range []error{
		within("tool diameter", r.ToolMM, 0.5, 50, "mm"),
		within("bore depth", r.DepthMM, 0.2, 200, "mm"),
		within("spindle speed", r.SpindleRPM, 50, 200000, "rpm"),
		within("feed at the wall", r.WallFeedMMMin, 1, 20000, "mm/min"),
		within("feed downward", r.PlungeMMMin, 1, 5000, "mm/min"),
		within("pitch", r.PitchMM, 0.01, 20, "mm"),
		within("full turns at depth", float64(r.Turns), 1, 20, ""),
		within("cleared middle", r.ClearedMM, 0, MaxDiameterMM, "mm"),
		within("x of the bore", r.XMM, -2000, 2000, "mm"),
		within("y of the bore", r.YMM, -2000, 2000, "mm"),
		within("z of the mouth", r.MouthZMM, -500, 500, "mm"),
		within("clearance plane", r.ClearZMM, r.MouthZMM+2, 1000, "mm"),
		within("x of the park point", r.ParkXMM, -2000, 2000, "mm"),
		within("y of the park point", r.ParkYMM, -2000, 2000, "mm"),
	} {
		if e != nil {
			return e
		}
	}
	switch {
	case len(r.Passes) == 0:
		return refuse("no pass is left to make")
	case r.Control.MetricWord == "":
		return refuse("the control is not chosen")
	case r.Control.ToolLength && r.ToolNumber < 1:
		return refuse("control %q applies the tool's length, so it needs the tool's number", r.Control.Name)
	case len(r.WorkOffset) != 3 || r.WorkOffset < "G54" || r.WorkOffset > "G59":
		return refuse("work offset %q is not one of G54 to G59", r.WorkOffset)
	case r.DepthMM > r.FluteMM:
		return refuse("the bore is %.2f mm deep, the flutes are %.2f mm long", r.DepthMM, r.FluteMM)
	case r.DepthMM > r.StickoutMM-1:
		return refuse("the bore is %.2f mm deep, the tool sticks out %.2f mm and must keep 1 mm below its holder", r.DepthMM, r.StickoutMM)
	}
	if d := math.Hypot(r.ParkXMM-r.XMM, r.ParkYMM-r.YMM); d < r.Passes[len(r.Passes)-1].CommandMM/2+r.ToolMM/2+lookAsideMM {
		return refuse("the park point is %.1f mm from the bore's centre, too near to gauge beside the cutter", d)
	}
	cleared := r.ClearedMM
	for i, p := range r.Passes {
		if err := r.checkPass(p, cleared); err != nil {
			return err
		}
		if i > 0 && p.CommandMM < r.Passes[i-1].CommandMM {
			return refuse("pass %d is smaller than the one before it", p.N)
		}
		cleared = math.Max(cleared, p.CommandMM)
	}
	return nil
}

// checkPass looks at one pass with the hole that it finds.
func (r ProgramRequest) checkPass(p Planned, clearedMM float64) error {
	radius := (p.CommandMM - r.ToolMM) / 2
	core := p.CommandMM - 2*r.ToolMM
	switch {
	case !(p.CommandMM > 0.5 && p.CommandMM < MaxDiameterMM):
		return within("commanded bore", p.CommandMM, 0.5, MaxDiameterMM, "mm")
	case !(r.ToolMM < p.CommandMM):
		return refuse("the tool (%.3f mm) must be smaller than the bore (%.3f mm)", r.ToolMM, p.CommandMM)
	case radius < r.Control.LeastRadiusMM:
		return refuse("the path's radius would be %.3f mm, the control's arcs need %.3f mm: take a smaller tool", radius, r.Control.LeastRadiusMM)
	case core > clearedMM:
		return refuse("the tool (%.3f mm) is under half the bore (%.3f mm) and would leave a post of %.3f mm: clear the middle first to %.3f mm or more and say so, or take a larger tool", r.ToolMM, p.CommandMM, core, core)
	}
	if r.goesStraight(p) {
		if r.ToolMM > clearedMM-freeMM {
			return refuse("pass %d goes straight down, but the hole (%.3f mm) is no wider than the tool (%.3f mm)", p.N, clearedMM, r.ToolMM)
		}
		return nil
	}
	if slope := math.Atan(r.PitchMM / (2 * math.Pi * radius)); clearedMM < r.ToolMM && !r.CentreCutting && slope > steepestRad {
		return refuse("a pitch of %.2f mm is %.1f° steep; into the solid a cutter that is not centre-cutting takes 3° at most, %.3f mm here",
			r.PitchMM, slope*180/math.Pi, 2*math.Pi*radius*math.Tan(steepestRad))
	}
	return nil
}

// goesStraight says that the pass finds the hole of the first one.
func (r ProgramRequest) goesStraight(p Planned) bool { return p.N > 1 }

// Program writes the program in words that nearly all controls share: absolute
// moves, half-circles with I and J from their start, no cycles, no macros. The
// order of motion is such that the tool is above everything whenever X and Y
// move outside the bore, and beside the bore with the spindle off whenever the
// program waits. It returns a *ProgramError or *RangeError and writes nothing
// if anything forbids the program.
func Program(w io.Writer, r ProgramRequest) error {
	if err := r.Check(); err != nil {
		return err
	}
	p := &writer{r: r, unitMM: 0.001, decimals: 3}
	if r.Inch {
		p.unitMM, p.decimals = 25.4e-5, 5
	}
	p.header()
	p.look()
	for _, pass := range r.Passes {
		p.pass(pass)
	}
	p.line("M30")
	_, err := io.WriteString(w, p.b.String())
	return err
}

// writer emits a program. Positions are whole counts of the unit, so that arcs
// begin and end exactly where the lines say.
type writer struct {
	r        ProgramRequest
	b        strings.Builder
	unitMM   float64
	decimals int
}

func (p *writer) line(format string, args ...any) {
	fmt.Fprintf(&p.b, format+"\n", args...)
}

func (p *writer) counts(mm float64) int { return int(math.Round(mm / p.unitMM)) }

// at writes a position of so many counts.
func (p *writer) at(counts int) string {
	scale := 1
	for range p.decimals {
		scale *= 10
	}
	sign := ""
	if counts < 0 {
		sign, counts = "-", -counts
	}
	return fmt.Sprintf("%s%d.%0*d", sign, counts/scale, p.decimals, counts%scale)
}

func (p *writer) feed(mmMin float64) string {
	if p.r.Inch {
		return fmt.Sprintf("F%.2f", mmMin/25.4)
	}
	return fmt.Sprintf("F%.0f", math.Max(mmMin, 1))
}

// size writes a length for a comment.
func (p *writer) size(mm float64) string {
	if p.r.Inch {
		return fmt.Sprintf("%.4f IN", mm/25.4)
	}
	return fmt.Sprintf("%.3f MM", mm)
}

// comment writes text as a comment: capitals, plain ASCII, nothing that could
// end the comment or begin a block, at most 60 characters.
func (p *writer) comment(format string, args ...any) {
	p.line("(%s)", Bare(fmt.Sprintf(format, args...)))
}

// Bare strips a text of everything that a control might take for more than a
// comment.
func Bare(text string) string {
	bare := strings.Map(func(c rune) rune {
		switch {
		case c == '\n' || c == '\r' || c == '\t':
			return ' '
		case c < ' ' || c > '~' || strings.ContainsRune("();%", c):
			return -1
		}
		return c
	}, text)
	return strings.TrimSpace(first60(strings.ToUpper(bare)))
}

func first60(s string) string {
	if len(s) > commentLength {
		return s[:commentLength]
	}
	return s
}

func (p *writer) header() {
	r := p.r
	p.comment("BORE PROGRAM: %s", r.Part)
	p.comment("TOOL %s, %s ON DIAMETER", r.Tool, p.size(r.ToolMM))
	for _, c := range r.Passes {
		p.comment("PASS %d: COMMAND %s, EXPECT %s", c.N, p.size(c.CommandMM), p.size(c.ExpectMM))
	}
	p.comment("DEPTH %s FROM Z %s", p.size(r.DepthMM), p.at(p.counts(r.MouthZMM)))
	p.comment("ZERO %s, BORE AT X %s Y %s", r.WorkOffset, p.at(p.counts(r.XMM)), p.at(p.counts(r.YMM)))
	if r.Control.ToolLength {
		p.comment("TOOL NUMBER %d, ITS LENGTH OFFSET IS APPLIED", r.ToolNumber)
	} else {
		p.comment("Z TOUCHED OFF WITH THIS VERY TOOL")
	}
	p.comment("SPINDLE %.0f RPM, FEED AT THE WALL %s A MINUTE", r.SpindleRPM, p.size(r.WallFeedMMMin))
	p.comment("PARKS AT X %s Y %s TO BE GAUGED", p.at(p.counts(r.ParkXMM)), p.at(p.counts(r.ParkYMM)))
	if r.ClearedMM > 0 {
		p.comment("NEEDS A HOLE OF %s TO FULL DEPTH", p.size(r.ClearedMM))
	} else {
		p.comment("FROM SOLID")
	}
	p.comment("CAUTION: PROVE IT IN AIR FIRST, HAND ON THE STOP")
	p.comment("GAUGE WITH THE SPINDLE OFF, NEVER UNDER THE CUTTER")
}

// modes are restated whenever the program goes on after a stop.
func (p *writer) modes() {
	unit := p.r.Control.MetricWord
	if p.r.Inch {
		unit = p.r.Control.InchWord
	}
	for _, w := range []string{"G17", unit, "G90", "G94", "G40"} {
		p.line("%s", w)
	}
	if p.r.Control.ArcMode {
		p.line("G91.1")
	}
	if p.r.Control.ExactPath {
		p.line("G61")
	}
	p.line("%s", p.r.WorkOffset)
}

func (p *writer) rapidXY(xMM, yMM float64) {
	p.line("G0 X%s Y%s", p.at(p.counts(xMM)), p.at(p.counts(yMM)))
}

func (p *writer) clear() { p.line("G0 Z%s", p.at(p.counts(p.r.ClearZMM))) }

// look stops once beside the bore, for a look at zero and height.
func (p *writer) look() {
	r := p.r
	p.line("M5")
	p.line("M9")
	p.modes()
	if r.Control.ToolLength {
		p.line("G0 G43 Z%s H%d", p.at(p.counts(r.ClearZMM)), r.ToolNumber)
	} else {
		p.clear()
	}
	aside := math.Ceil(r.Passes[len(r.Passes)-1].CommandMM/2 + r.ToolMM/2 + lookAsideMM)
	p.rapidXY(r.XMM+aside, r.YMM)
	p.comment("LOOK: TOOL %s RIGHT OF THE BORE CENTRE", p.size(aside))
	p.comment("LOOK: TIP %s ABOVE THE MOUTH", p.size(r.ClearZMM-r.MouthZMM))
	p.line("M0")
}

// point is a lattice point of the path's circle as seen from its centre. Both
// counts are even, so that its half is on the lattice, too.
type point struct{ x, y int }

// onCircle finds the even lattice point nearest to the circle, off the
// quadrants, where backlash leaves its marks: between 30° and 60°.
func onCircle(radiusCounts float64) point {
	best, miss := point{}, math.Inf(1)
	from, to := int(radiusCounts*0.5), int(radiusCounts*math.Sqrt(3)/2)
	for x := from + from%2; x <= to; x += 2 {
		y := 2 * int(math.Round(math.Sqrt(math.Max(radiusCounts*radiusCounts-float64(x*x), 0))/2))
		if d := math.Abs(math.Hypot(float64(x), float64(y)) - radiusCounts); d < miss {
			best, miss = point{x, y}, d
		}
	}
	return best
}

// pass goes from wherever the tool is, at the clearance plane, to the park point.
func (p *writer) pass(pass Planned) {
	r := p.r
	radius := (pass.CommandMM - r.ToolMM) / 2
	at := onCircle(radius / p.unitMM)
	path := p.feed(r.WallFeedMMMin * (pass.CommandMM - r.ToolMM) / pass.CommandMM)
	bottom := p.counts(r.MouthZMM - r.DepthMM)
	if r.goesStraight(pass) {
		bottom += p.counts(floorStockMM)
	}
	p.comment("PASS %d: COMMAND %s ON DIAMETER", pass.N, p.size(pass.CommandMM))
	p.modes()
	p.line("M3 S%.0f", r.SpindleRPM)
	if r.Control.DwellPerSecond > 0 {
		p.line("G4 P%d", spinUpS*r.Control.DwellPerSecond)
	}
	p.clear()
	p.rapidXY(r.XMM, r.YMM)
	over := p.counts(r.MouthZMM + overMouthMM)
	approach := (r.ClearZMM - r.MouthZMM) * 60 / approachS
	if r.goesStraight(pass) {
		p.line("G1 Z%s %s", p.at(over), p.feed(math.Min(approach, 600)))
		p.line("G1 Z%s %s", p.at(bottom), p.feed(r.PlungeMMMin))
		p.arcIn(at, path)
		for range r.Turns {
			p.turn(at)
		}
	} else {
		p.line("G1 Z%s %s", p.at(over), p.feed(math.Min(approach, 600)))
		p.arcIn(at, path)
		p.helix(at, over, bottom)
		p.turn(at)
	}
	p.arcOut(at)
	p.clear()
	p.line("M5")
	p.line("M9")
	p.rapidXY(r.ParkXMM, r.ParkYMM)
	p.comment("GAUGE NOW: EXPECT %s", p.size(pass.ExpectMM))
	p.comment("LOG IT BEFORE THE NEXT PASS")
	p.line("M0")
}

// helix falls in equal half turns, each at most half the pitch.
func (p *writer) helix(at point, from, to int) {
	fall := from - to
	turns := int(math.Ceil(float64(fall) * p.unitMM / p.r.PitchMM))
	z := func(half int) int { return from - fall*half/(2*turns) }
	for i := range turns {
		p.turn(at, z(2*i+1), z(2*i+2))
	}
}

// turn makes two half-circles, flat or down to a height each.
func (p *writer) turn(at point, heights ...int) {
	x, y := p.counts(p.r.XMM), p.counts(p.r.YMM)
	for half, sign := range []int{-1, 1} {
		z := ""
		if len(heights) > 0 {
			z = " Z" + p.at(heights[half])
		}
		p.line("G3 X%s Y%s%s I%s J%s", p.at(x+sign*at.x), p.at(y+sign*at.y), z, p.at(sign*at.x), p.at(sign*at.y))
	}
}

// arcIn leads from the centre to the wall along a half-circle that meets the
// path without a corner; arcOut leads back.
func (p *writer) arcIn(at point, feed string) {
	p.line("G3 X%s Y%s I%s J%s %s", p.at(p.counts(p.r.XMM)+at.x), p.at(p.counts(p.r.YMM)+at.y), p.at(at.x/2), p.at(at.y/2), feed)
}

func (p *writer) arcOut(at point) {
	p.line("G3 X%s Y%s I%s J%s", p.at(p.counts(p.r.XMM)), p.at(p.counts(p.r.YMM)), p.at(-at.x/2), p.at(-at.y/2))
}

// Pessimistic plans so many passes that need no reading between them: all are
// within what the first belief allows, a step apart. They begin a part.
func Pessimistic(q Request, passes int) ([]Planned, error) {
	if err := within("passes", float64(passes), 1, 20, ""); err != nil {
		return nil, err
	}
	s, err := NewSession(q, false)
	if err != nil {
		return nil, err
	}
	a := s.Next()
	if a.Do != Cut {
		return nil, refuse("%s", a.Words(MM))
	}
	var all []Planned
	for i := range passes {
		c := a.CommandMM - float64(passes-1-i)*q.StepMM
		c = q.floor(c)
		if c+q.Offset.MeanMM <= q.StartMM+q.ChipMM && i < passes-1 {
			continue
		}
		all = append(all, Planned{N: len(all) + 1, CommandMM: c, ExpectMM: math.Max(c+q.Offset.MeanMM, q.StartMM)})
	}
	return all, nil
}
