package plan

import (
	"errors"
	"fmt"

	"secondop/cmd/secondop/internal/job"
	"secondop/fixture/outline"
)

// Files reads a file that the job names, by its path relative to the job file.
type Files func(path string) ([]byte, error)

// A RefusedError says why a job can't be done, at the places of the job file
// that it comes from.
type RefusedError struct{ Faults []job.Fault }

func (e *RefusedError) Error() string {
	if len(e.Faults) == 0 {
		return "the job can't be done"
	}
	return e.Faults[0].String()
}

func refused(f ...job.Fault) *RefusedError { return &RefusedError{Faults: f} }

// symmetryTolMM is how far a turned or mirrored outline may lie from itself and
// still count as alike: about what a printed pocket can tell apart.
const symmetryTolMM = 0.05

// Part is the workpiece in its own frame and as it stands between the jaws.
type Part struct {
	// Drawn is the outline seen from above in this operation, before its turn;
	// Placed is after it. Part zero is (0, 0) of both.
	Drawn, Placed *outline.Outline
	TurnRad       float64
	HeightMM      float64
	Symmetry      outline.Symmetry
	Remarks       []job.Fault
	Notes         []string // what was mended or left out in reading, nothing doubtful
}

// reading is an outline as its source gives it.
type reading struct {
	outline  *outline.Outline
	cautions []job.Fault
	notes    []string
}

// turned is the part with another turn.
func (p Part) turned(rad float64) Part {
	p.TurnRad, p.Placed = rad, p.Drawn.Turned(rad)
	return p
}

// partOf reads the outline the job describes, from its shapes or its file.
func partOf(j *job.Job, files Files) (Part, error) {
	r, err := drawn(j, files)
	if err != nil {
		return Part{}, err
	}
	p := Part{Drawn: r.outline, HeightMM: j.Part.HeightMM, Remarks: r.cautions, Notes: r.notes}
	if j.Part.Outline.Seen == "other side" {
		p.Drawn = p.Drawn.Mirrored()
	}
	p.Symmetry = p.Drawn.Symmetry(symmetryTolMM)
	if p.Symmetry.Chiral() && j.Part.Outline.Seen == "" {
		p.Remarks = append(p.Remarks, j.CautionAt("part.outline",
			"the outline has no mirror line, and the job doesn't say which side it was drawn from",
			"write `seen: this side` if it shows the part as it stands in the jaws, `seen: other side` if it shows the side that lies down"))
	}
	return p.turned(j.Part.TurnRad), nil
}

func drawn(j *job.Job, files Files) (reading, error) {
	src := j.Part.Outline
	switch {
	case src.DXF != nil:
		return drawnDXF(j, files)
	case src.SVG != nil:
		return drawnSVG(j, files)
	case src.STL != nil:
		return drawnSTL(j, files)
	}
	return drawnShapes(j)
}

// drawnShapes joins and removes the shapes in their order.
func drawnShapes(j *job.Job) (reading, error) {
	var o *outline.Outline
	for i, s := range j.Part.Outline.Shapes {
		path := fmt.Sprintf("part.outline.shapes[%d]", i+1)
		piece, err := shape(s)
		if err == nil {
			switch {
			case s.Cut && o == nil:
				return reading{}, refused(j.FaultAt(path, "there is nothing yet that this shape could be cut from", "put an `add` before it"))
			case s.Cut:
				o, err = outline.Difference(o, piece)
			default:
				o, err = outline.Union(o, piece)
			}
		}
		if err != nil {
			return reading{}, refused(j.FaultAt(path, shapeWords(err), ""))
		}
		if o == nil {
			return reading{}, refused(j.FaultAt(path, "this shape cuts everything away that stands before it", ""))
		}
	}
	return reading{outline: o}, nil
}

func shapeWords(err error) string {
	var form *outline.FormError
	if errors.As(err, &form) {
		return "this shape can't be used: " + form.Error()
	}
	return err.Error()
}

func shape(s job.Shape) (*outline.Outline, error) {
	at := outline.Point{X: s.AtMM[0], Y: s.AtMM[1]}
	switch s.Kind {
	case "circle":
		return outline.Circle(s.DiameterMM, at)
	case "rectangle":
		return outline.Rectangle(s.SizeMM[0], s.SizeMM[1], s.CornerRadiusMM, at, s.TurnRad)
	case "polygon":
		return outline.RegularPolygon(s.Sides, s.AcrossFlatsMM, at, s.TurnRad)
	case "slot":
		return outline.Slot(s.LengthMM, s.WidthMM, at, s.TurnRad)
	case "polyline":
		vs := make([]outline.Vertex, len(s.Points))
		for i, v := range s.Points {
			vs[i] = outline.Vertex{Point: outline.Point{X: v.XMM, Y: v.YMM}, Bulge: v.Bulge}
		}
		o, err := outline.Polyline(vs)
		if err != nil {
			return nil, err
		}
		return o.Turned(s.TurnRad).Moved(at.X, at.Y), nil
	}
	return nil, fmt.Errorf("shape %q is unknown", s.Kind)
}

// block is the result's account of the outline.
func (p Part) block() *OutlineBlock {
	lo, hi := p.Placed.Bounds()
	return &OutlineBlock{
		AreaMM2: p.Placed.AreaMM2(), PerimeterMM: p.Placed.PerimeterMM(),
		BoxMM: [4]float64{lo.X, lo.Y, hi.X, hi.Y}, Loops: len(p.Placed.Loops()),
		TurnsAlike: p.Symmetry.TurnsAlike, MirrorLines: p.Symmetry.MirrorLines,
	}
}

// point is a place that the job gives in the part's own frame.
func (p Part) point(xy [2]float64) outline.Point { return outline.Point{X: xy[0], Y: xy[1]} }

// placed is the same place after the part's turn, still from part zero.
func (p Part) placed(xy [2]float64) outline.Point { return p.point(xy).Turned(p.TurnRad) }
