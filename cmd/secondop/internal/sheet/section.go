package sheet

import (
	"html/template"
	"math"

	"secondop/cmd/secondop/internal/job"
	"secondop/fixture/mesh"
	"secondop/fixture/outline"
	"secondop/fixture/solid"
)

// section is the cut through pocket and part along Y, with the heights from the
// table.
func (s *sheet) section() template.HTML {
	p := s.plan.Jaws.Pair
	lo, hi := p.Part.Bounds()
	d := &sectionDrawing{sheet: s, atX: s.sectionX(), y0: p.Moving.BoxMM.Y0, y1: p.Fixed.BoxMM.Y1}
	tool, deepest := s.deepest()
	h := p.Heights
	top := h.PartTopBeforeMM
	if tool != nil {
		top = math.Max(top, h.PartTopBeforeMM-deepest+tool.StickoutMM+6)
	}
	d.em = math.Max(d.y1-d.y0+40, 1.3*top) / 34
	d.canvas = newCanvas(d.y0-2*d.em, -2.2*d.em, d.y1+13*d.em, top+2*d.em)
	d.line("table", d.lo.X, 0, d.y1+2*d.em, 0)
	for _, m := range s.plan.Jaws.Pieces {
		if m.Role == "fixed" || m.Role == "moving" {
			d.cut("jaw "+m.Role, m.Mesh)
		}
	}
	d.seat(lo, hi)
	d.cut("part cutpart", s.part)
	d.finishedTop()
	d.screw()
	if tool != nil {
		d.tool(tool, deepest)
	}
	d.heights()
	d.text("mark", "start", d.lo.X+0.3*d.em, -1.6*d.em, "front: moving jaw")
	d.text("mark", "end", d.y1+2*d.em, -1.6*d.em, "back: fixed jaw")
	return d.svg("section", "Section through pocket and part, along Y, with the heights above the table.")
}

type sectionDrawing struct {
	*canvas
	*sheet
	atX, y0, y1, em float64
}

// sectionX is where the section is taken: through the bore, else through the
// middle of the part.
func (s *sheet) sectionX() float64 {
	if s.plan.Job.Fit != nil {
		return s.boreAt().X
	}
	return s.plan.Jaws.Pair.Part.Centroid().X
}

// boreAt is the bore's middle in the local frame.
func (s *sheet) boreAt() outline.Point {
	b := s.plan.Job.Fit.Bore
	return outline.Point{X: b.AtMM[0], Y: b.AtMM[1]}.Turned(s.plan.Jaws.Pair.TurnRad)
}

// deepest is the tool that goes deepest below the part's top, and how deep.
func (s *sheet) deepest() (tool *job.Tool, mm float64) {
	for i := range s.plan.Ops {
		if o := &s.plan.Ops[i]; o.Tool != nil && (tool == nil || o.ToMM > mm) {
			tool, mm = o.Tool, o.ToMM
		}
	}
	return tool, mm
}

// partMesh is the part before this operation, standing on its seat.
func (s *sheet) partMesh() (*mesh.Mesh, error) {
	p := s.plan.Jaws.Pair
	return mesh.Build(solid.Solid{Name: "part", Prisms: []solid.Prism{
		{Name: "part", Plan: p.Part, Z0MM: p.Heights.SeatMM, Z1MM: p.Heights.PartTopBeforeMM},
	}}, mesh.Options{ChordMM: partChordMM})
}

// partChordMM is how far the part's facets may lie from its arcs: a tenth of
// what the eye can see on a sheet.
const partChordMM = 0.01

// cut draws the section of a body.
func (d *sectionDrawing) cut(class string, m *mesh.Mesh) {
	path := ""
	for _, ring := range slice(m, d.atX) {
		path += d.path(true, ring...)
	}
	d.add(`<path class="%s" fill-rule="evenodd" d="%s"/>`, class, path)
}

// seat draws the parallels or the plate under the part.
func (d *sectionDrawing) seat(lo, hi outline.Point) {
	z := d.plan.Jaws.Pair.Heights.SeatMM
	switch d.plan.Job.Jaws.Seat {
	case "parallels":
		wide := math.Min(5, (hi.Y-lo.Y)/6)
		for _, y := range []float64{lo.Y + 1.2*wide, hi.Y - 1.2*wide} {
			d.rect("metal", y-wide/2, 0, y+wide/2, z)
		}
	case "plate":
		d.rect("metal", lo.Y+1, 0, hi.Y-1, z)
	}
}

// finishedTop marks what the cuts leave.
func (d *sectionDrawing) finishedTop() {
	p := d.plan.Jaws.Pair
	lo, hi := p.Part.Bounds()
	if h := p.Heights; h.PartTopAfterMM < h.PartTopBeforeMM {
		d.line("finish", lo.Y-d.em, h.PartTopAfterMM, hi.Y+d.em, h.PartTopAfterMM)
	}
	f := d.plan.Job.Fit
	if f == nil {
		return
	}
	bottom := p.Heights.PartTopAfterMM - f.Bore.DepthMM
	if f.Bore.Through {
		bottom = p.Heights.SeatMM
	}
	at, r := d.boreAt(), f.Insert.DiameterMM/2
	d.polygon("finish", false, outline.Point{X: at.Y - r, Y: p.Heights.PartTopAfterMM}, outline.Point{X: at.Y - r, Y: bottom},
		outline.Point{X: at.Y + r, Y: bottom}, outline.Point{X: at.Y + r, Y: p.Heights.PartTopAfterMM})
}

// screw draws the fixed jaw's screw where it stands along Y; it lies beside the
// section, so it is dashed.
func (d *sectionDrawing) screw() {
	for _, b := range d.plan.Jaws.Pair.Bolts {
		if b.Moving {
			continue
		}
		y, shank := b.Hole.YMM, b.HoleMM*0.45
		seat, head := b.Screw.SeatMM, b.Screw.HeadTopMM
		d.rect("beside", y-b.Washer.OuterMM/2, seat, y+b.Washer.OuterMM/2, seat+b.Washer.ThickMM)
		d.rect("beside", y-1.6*shank, seat+b.Washer.ThickMM, y+1.6*shank, head)
		d.rect("beside", y-shank, -1.8*d.em, y+shank, seat)
		return
	}
}

func (d *sectionDrawing) tool(t *job.Tool, deepest float64) {
	p := d.plan.Jaws.Pair
	y := p.Part.Centroid().Y
	if d.plan.Job.Fit != nil {
		y = d.boreAt().Y
	}
	tip := p.Heights.PartTopBeforeMM - deepest
	nose := tip + t.StickoutMM
	d.rect("tool", y-t.DiameterMM/2, tip, y+t.DiameterMM/2, nose)
	wide := t.HolderDiameterMM
	if wide == 0 { // not said: drawn, not judged
		wide = 2.5 * t.DiameterMM
	}
	d.polygon("tool", false, outline.Point{X: y - wide/2, Y: d.hi.Y}, outline.Point{X: y - wide/2, Y: nose},
		outline.Point{X: y + wide/2, Y: nose}, outline.Point{X: y + wide/2, Y: d.hi.Y})
	side := y + wide/2 + d.em
	d.line("dim", side, tip, side, nose)
	d.head("dim", side, tip, side, nose, 0.6*d.em)
	d.head("dim", side, nose, side, tip, 0.6*d.em)
	d.text("dimension", "start", side+0.5*d.em, nose-1.2*d.em, "stick-out "+d.u.Coarse(t.StickoutMM))
}

// heights are labels at the right, spread so that none covers another.
func (d *sectionDrawing) heights() {
	h := d.plan.Jaws.Pair.Heights
	type label struct {
		zMM  float64
		name string
	}
	labels := []label{{0, "table and seat 0"}}
	if h.SeatMM > 0 {
		labels = []label{{0, "table 0"}, {h.SeatMM, "seat " + d.u.Coarse(h.SeatMM)}}
	}
	labels = append(labels, label{h.JawTopMM, "jaw top " + d.u.Coarse(h.JawTopMM)})
	if h.PartTopAfterMM < h.PartTopBeforeMM {
		labels = append(labels, label{h.PartTopAfterMM, "then " + d.u.Coarse(h.PartTopAfterMM)})
	}
	labels = append(labels, label{h.PartTopBeforeMM, "part top " + d.u.Coarse(h.PartTopBeforeMM)})
	if h.HighestMM > h.PartTopBeforeMM {
		labels = append(labels, label{h.HighestMM, "highest " + d.u.Coarse(h.HighestMM)})
	}
	x, at := d.y1+3.4*d.em, math.Inf(-1)
	for _, l := range labels {
		at = math.Max(l.zMM, at+1.35*d.em)
		d.polygon("thin", false, outline.Point{X: d.y1 + 0.4*d.em, Y: l.zMM}, outline.Point{X: d.y1 + 1.6*d.em, Y: l.zMM},
			outline.Point{X: x - 0.3*d.em, Y: at}, outline.Point{X: x, Y: at})
		d.text("dimension", "start", x+0.2*d.em, at-0.35*d.em, l.name)
	}
}

// gripSays puts the grip into words, for the caption of the section.
func (s *sheet) gripSays() template.HTML {
	j := s.r.Jaws
	return say("Along Y, at X %s from part zero. Grip %s, %s of it net; clearance a side %s fixed, %s moving; gap %s.", s.coarse(s.sectionX()),
		s.coarse(j.GripMM), s.coarse(j.GripNetMM), s.length(j.ClearanceMM.Fixed), s.length(j.ClearanceMM.Moving), s.coarse(j.GapMM))
}
