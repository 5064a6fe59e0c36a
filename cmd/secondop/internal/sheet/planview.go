package sheet

import (
	"fmt"
	"html/template"
	"math"

	"secondop/cmd/secondop/internal/plan"
	"secondop/fixture"
	"secondop/fixture/grid"
	"secondop/fixture/outline"
)

// planView is the pair on the table from above, to scale, in the local frame.
func (s *sheet) planView() template.HTML {
	p := s.plan.Jaws.Pair
	box := p.Fixed.BoxMM.Union(p.Moving.BoxMM)
	for _, pad := range []*fixture.Pad{p.ClampPad, p.BackPad} {
		if pad != nil {
			box = box.Union(grid.Box{X0: pad.XMM, X1: pad.XMM, Y0: pad.YMM, Y1: pad.YMM})
		}
	}
	if holes(s.plan) {
		box = box.Union(grid.Box{X0: p.Anchor.XMM, X1: p.Anchor.XMM, Y0: p.Anchor.YMM, Y1: p.Anchor.YMM})
	}
	v := &planDrawing{sheet: s, pair: p, em: math.Max(box.X1-box.X0, box.Y1-box.Y0) / 34}
	box = box.Grown(5 * v.em)
	box.Y0 -= v.em
	box.X1 += 2 * v.em
	v.canvas = newCanvas(box.X0, box.Y0, box.X1, box.Y1)
	v.table()
	v.jaw(p.Fixed, "fixed", p.PocketFixed)
	v.jaw(p.Moving, "moving", p.PocketMoving)
	v.parts()
	v.undercut()
	v.clamp()
	v.bolts()
	v.zero()
	v.dimensions()
	return v.svg("plan", s.planSays())
}

// planDrawing is a plan view being drawn. em is about the height of its text.
type planDrawing struct {
	*canvas
	*sheet
	pair *fixture.Pair
	em   float64
}

// holes reports whether the table is a grid of tapped holes.
func holes(p *plan.Plan) bool { return p.Job.Table.Grid != nil }

// holeGrid is the job's table for the placing of its holes.
func holeGrid(p *plan.Plan) grid.Table {
	g := p.Job.Table.Grid
	return grid.Table{PitchXMM: g.PitchXMM, PitchYMM: g.PitchYMM, Columns: g.Columns, Rows: g.Rows, Stagger: g.Stagger}
}

// table draws holes with their columns and rows, or slots.
func (v *planDrawing) table() {
	p := v.sheet.plan
	if !holes(p) {
		v.slots()
		return
	}
	t := holeGrid(p)
	ax, ay := t.Hole(v.pair.Anchor.Column, v.pair.Anchor.Row)
	dx, dy := v.pair.Anchor.XMM-ax, v.pair.Anchor.YMM-ay
	r := math.Min(t.PitchXMM, t.PitchYMM) * 0.09
	inside := func(x, y, room float64) bool {
		return x > v.lo.X+room && x < v.hi.X-room && y > v.lo.Y+room && y < v.hi.Y-room
	}
	blocked := map[[2]int]bool{}
	for _, b := range p.Job.Table.Grid.Blocked {
		blocked[b] = true
	}
	columns, rows := map[int]bool{}, map[int]bool{}
	for row := 1; row <= t.Rows; row++ {
		for column := 1; column <= t.Columns; column++ {
			x, y := t.Hole(column, row)
			x, y = x+dx, y+dy
			if !inside(x, y, 2.2*v.em) || x+r > v.dimAt()-0.3*v.em {
				continue
			}
			v.circle("hole", x, y, r)
			if blocked[[2]int{column, row}] {
				v.line("hole", x-r, y-r, x+r, y+r)
				v.line("hole", x-r, y+r, x+r, y-r)
			}
			if !columns[column] && !t.Stagger {
				columns[column] = true
				v.text("mark", "middle", x, v.lo.Y+0.5*v.em, fmt.Sprintf("c%d", column))
			}
			if !rows[row] {
				rows[row] = true
				v.text("mark", "start", v.lo.X, y-0.35*v.em, fmt.Sprintf("r%d", row))
			}
		}
	}
}

// slots draws the table's T-slots as bands.
func (v *planDrawing) slots() {
	t := v.sheet.plan.Job.Table.Slots
	for n := -20; n <= 20; n++ {
		at := float64(n) * t.PitchMM
		if t.AlongY {
			if x := at - v.pair.PartZeroXMM; x > v.lo.X && x < v.hi.X {
				v.rect("slot", x-t.WidthMM/2, v.lo.Y, x+t.WidthMM/2, v.hi.Y)
			}
			continue
		}
		if y := at - v.pair.PartZeroYMM; y > v.lo.Y && y < v.hi.Y {
			v.rect("slot", v.lo.X, y-t.WidthMM/2, v.hi.X, y+t.WidthMM/2)
		}
	}
}

// jaw draws a block with its pockets taken out.
func (v *planDrawing) jaw(j fixture.Jaw, role string, pockets []*outline.Outline) {
	b := j.BoxMM
	v.polygon("jaw "+role, true, corners(b)...)
	// The pocket is swept past the jaw's face: what shows is what lies in the block.
	v.add(`<clipPath id="block-%s"><path d="%s"/></clipPath><g clip-path="url(#block-%s)">`, role, v.path(true, corners(b)...), role)
	for _, o := range pockets {
		v.outline("pocket", o)
	}
	v.add("</g>")
	if role == "fixed" {
		v.text("name", "start", b.X0+0.4*v.em, b.Y1+0.4*v.em, "fixed jaw")
	} else {
		v.text("name", "start", b.X0+0.4*v.em, b.Y0-1.2*v.em, "moving jaw")
	}
}

func corners(b grid.Box) []outline.Point {
	return []outline.Point{{X: b.X0, Y: b.Y0}, {X: b.X1, Y: b.Y0}, {X: b.X1, Y: b.Y1}, {X: b.X0, Y: b.Y1}}
}

// parts draws the part and its bore in every nest.
func (v *planDrawing) parts() {
	for _, at := range v.pair.Nests {
		v.outline("part", v.pair.Part.Moved(at.X, at.Y))
	}
	f := v.sheet.plan.Job.Fit
	if f == nil {
		return
	}
	at := v.boreAt()
	for _, n := range v.pair.Nests {
		v.circle("bore", at.X+n.X, at.Y+n.Y, f.Insert.DiameterMM/2)
	}
}

// undercut marks the stretches of the outline that a jaw can't touch.
func (v *planDrawing) undercut() {
	for _, u := range v.pair.Contact.Undercut {
		v.line("undercut", u.From.X, u.From.Y, u.To.X, u.To.Y)
	}
}

// clampAt is where the clamp presses on the moving jaw, and half its width as
// drawn.
func (v *planDrawing) clampAt() (x, y, half float64) {
	if p := v.pair.ClampPad; p != nil {
		return p.XMM, p.YMM, p.WidthMM / 4
	}
	b := v.pair.Moving.BoxMM
	return (b.X0 + b.X1) / 2, b.Y0, v.em
}

// dimAt is where the dimensions along Y stand.
func (v *planDrawing) dimAt() float64 {
	return math.Max(v.pair.Fixed.BoxMM.X1, v.pair.Moving.BoxMM.X1) + 1.2*v.em
}

// clamp draws what presses on the jaws, and the way they close.
func (v *planDrawing) clamp() {
	p := v.pair
	x, y, half := v.clampAt()
	if p.ClampPad != nil {
		v.rect("jaw moving", x-2*half, y, x+2*half, p.Moving.BoxMM.Y0)
	}
	v.rect("clamp", x-half, v.lo.Y+1.6*v.em, x+half, y)
	v.text("name", "middle", x, y-1.6*v.em, "clamp")
	v.arrow("closes", x+half+v.em, y-2.9*v.em, x+half+v.em, y-0.4*v.em, v.em)
	v.text("mark", "start", x+half+1.6*v.em, y-1.8*v.em, "closes")
	if b := p.BackPad; b != nil {
		v.rect("jaw fixed", b.XMM-b.WidthMM/2, p.Fixed.BoxMM.Y1, b.XMM+b.WidthMM/2, b.YMM)
		v.rect("clamp", b.XMM-b.WidthMM/4, b.YMM, b.XMM+b.WidthMM/4, b.YMM+2*v.em)
	}
}

func (v *planDrawing) bolts() {
	for _, b := range v.pair.Bolts {
		x, y := b.Hole.XMM, b.Hole.YMM
		v.circle("bolt", x, y, b.Washer.OuterMM/2)
		v.circle("shank", x, y, b.HoleMM/3)
		if holes(v.sheet.plan) {
			v.text("place", "middle", x, y-b.Washer.OuterMM/2-1.1*v.em, fmt.Sprintf("c%d r%d", b.Hole.Column, b.Hole.Row))
		}
	}
}

// zero draws part zero and its way from the anchor hole.
func (v *planDrawing) zero() {
	e := v.em
	v.line("zero", -1.5*e, 0, 1.5*e, 0)
	v.line("zero", 0, -1.5*e, 0, 1.5*e)
	v.circle("zero", 0, 0, 0.7*e)
	v.text("name", "start", 1.1*e, -1.2*e, "part zero")
	a, name := outline.Point{X: -v.pair.PartZeroXMM, Y: -v.pair.PartZeroYMM}, "origin" // of a table with slots
	if holes(v.sheet.plan) {
		name = fmt.Sprintf("anchor c%d r%d", v.pair.Anchor.Column, v.pair.Anchor.Row)
	}
	v.circle("anchor", a.X, a.Y, 1.1*e)
	up := 1.5 * e
	if a.Y < 0 {
		up = -2.3 * e
	}
	v.text("name", "middle", a.X, a.Y+up, name)
	v.line("way", a.X, a.Y, 0, a.Y)
	v.line("way", 0, a.Y, 0, 0)
}

// dimensions are those of the two blocks, outside of everything else.
func (v *planDrawing) dimensions() {
	f, m := v.pair.Fixed.BoxMM, v.pair.Moving.BoxMM
	above := v.hi.Y - 1.2*v.em
	v.line("thin", f.X0, f.Y1, f.X0, above)
	v.line("thin", f.X1, f.Y1, f.X1, above)
	v.dimX(f.X0, f.X1, above)
	below := v.lo.Y + 2.6*v.em
	v.line("thin", m.X0, m.Y0, m.X0, below)
	v.line("thin", m.X1, m.Y0, m.X1, below)
	v.dimX(m.X0, m.X1, below)
	for _, b := range []grid.Box{f, m} {
		v.dimY(b.Y0, b.Y1, v.dimAt(), b.X1)
	}
}

func (v *planDrawing) dimX(x0, x1, y float64) {
	h := 0.6 * v.em
	v.line("dim", x0, y, x1, y)
	v.head("dim", x1, y, x0, y, h)
	v.head("dim", x0, y, x1, y, h)
	v.text("dimension", "middle", x0+(x1-x0)*0.3, y+0.35*v.em, v.u.Coarse(x1-x0))
}

func (v *planDrawing) dimY(y0, y1, x, from float64) {
	h := 0.6 * v.em
	v.line("thin", from, y0, x, y0)
	v.line("thin", from, y1, x, y1)
	v.line("dim", x, y0, x, y1)
	v.head("dim", x, y1, x, y0, h)
	v.head("dim", x, y0, x, y1, h)
	v.text("dimension", "start", x+0.4*v.em, (y0+y1)/2-0.4*v.em, v.u.Coarse(y1-y0))
}

// zeroSays puts the way from the anchor hole to part zero into words.
func (s *sheet) zeroSays() template.HTML {
	z := s.r.Jaws.PartZeroMM
	if !holes(s.plan) {
		return say("Part zero is %s from %s.", s.point(z[0], z[1]), s.slotOrigin())
	}
	a := s.r.Jaws.Anchor
	return say("Part zero is %s from the anchor hole in column %s, row %s.", s.point(z[0], z[1]), a.Column, a.Row)
}

// slotOrigin is the origin of a table with slots in words.
func (s *sheet) slotOrigin() template.HTML {
	face, n := "left face", 0
	if s.plan.Job.Table.Slots.AlongY {
		face = "back face"
	}
	if bolts := s.r.Jaws.Bolts; len(bolts) > 0 {
		n = slotOf(bolts[0])
	}
	return say("the centre line of slot %s (counted from the front left) and the %s of the fixed jaw", n, face)
}

// slotOf is the slot of a screw: along a slot there is no other count.
func slotOf(b plan.Bolt) int { return max(b.Slot, b.Column, b.Row) }

// undercutSays explains the heavy dashes, where there are any.
func (s *sheet) undercutSays() template.HTML {
	c := s.plan.Jaws.Pair.Contact
	if len(c.Undercut) == 0 {
		return ""
	}
	return say(" Heavy dashes: %s of the outline lie in undercuts; no jaw touches there.", s.coarse(c.UndercutMM))
}

func (s *sheet) planSays() string {
	return "Plan view to scale: table, both jaws, part, screws, clamp, anchor hole and part zero."
}

// faceUp is the part as it lies in the jaws, seen from above.
func (s *sheet) faceUp() template.HTML {
	p := s.plan.Jaws.Pair
	lo, hi := p.Part.Bounds()
	em := math.Max(hi.X-lo.X, hi.Y-lo.Y) / 14
	c := newCanvas(lo.X-em, lo.Y-em, hi.X+em, hi.Y+2.4*em)
	c.outline("part", p.Part)
	if f := s.plan.Job.Fit; f != nil {
		at := s.boreAt()
		c.circle("bore", at.X, at.Y, f.Insert.DiameterMM/2)
	}
	c.text("face", "middle", (lo.X+hi.X)/2, hi.Y+0.8*em, "this face up")
	return c.svg("small", "The part as it lies in the jaws, seen from above: this face up.")
}
