package plan

import (
	"context"
	"errors"
	"fmt"
	"math"

	"secondop/cmd/secondop/internal/job"
	"secondop/fixture"
	"secondop/fixture/grid"
	"secondop/fixture/mesh"
	"secondop/fixture/outline"
	"secondop/fixture/solid"
	"secondop/thermal/material"
)

// Jaws are the pair as designed and meshed.
type Jaws struct {
	Pair   *fixture.Pair
	Pieces []Mesh // what is printed, in the order of the folder
}

// Mesh is one printed piece, in the local frame: part zero at (0, 0), the
// table's axes, z = 0 at the table top.
type Mesh struct {
	File, Name string
	Role       string // fixed, moving, fit slice, press nest
	Solid      solid.Solid
	Mesh       *mesh.Mesh
	Report     mesh.Report
}

// Printed is the piece shifted so that its lowest corner is at (0, 0, 0).
func (m Mesh) Printed() *mesh.Mesh { return m.Mesh.AtOrigin() }

// request words the job for the designer.
func request(j *job.Job, p Part, poly material.PolymerRow, clamp Clamping) fixture.Request {
	plastic := plasticAt(poly, shopC(j))
	r := fixture.Request{
		Part: p.Drawn, HeightMM: p.HeightMM, TurnRad: j.Part.TurnRad, TurnAuto: j.Part.TurnAuto, Name: j.Name,
		SoftTable: j.Table.Material == "aluminium",
		Printer:   printer(j.Jaws),
		Polymer: fixture.Polymer{
			ModulusMPa: plastic.YoungNowMPa, StrengthXYMPa: poly.StrengthXYMPa, StrengthZMPa: poly.StrengthZMPa,
			BearingMPa: plastic.HeadMPa(), DensityKgM3: poly.DensityKgM3,
		},
		Clamp: fixture.Clamp{LowN: clamp.LowN, LikelyN: clamp.LikelyN, OnTable: clamp.OnTable, HeightMM: clamp.HeightMM},
		Jaws:  options(j.Jaws),
	}
	r.Jaws.EdgeBreakMM = j.Part.EdgeBreakMM
	r.Table, r.Thread, r.SlotMM, r.ThreadMM, r.ThreadOpen = table(j.Table)
	if j.Cut != nil {
		for _, op := range j.Cut.Operations {
			r.Operations = append(r.Operations, clearWay(j, op))
		}
	}
	if j.Fit != nil {
		b := j.Fit.Bore
		r.Bore = &fixture.Bore{XMM: b.AtMM[0], YMM: b.AtMM[1], DiameterMM: j.Fit.Insert.DiameterMM, DepthMM: b.DepthMM, Through: b.Through}
	}
	return r
}

func printer(j job.Jaws) fixture.Printer {
	return fixture.Printer{
		OutsideMM: j.PrinterOutsideMM, InsideMM: j.PrinterInsideMM, LineWidthMM: j.LineWidthMM,
		Walls: j.Walls, Infill: j.Infill, BedXMM: j.BedXMM, BedYMM: j.BedYMM, BedZMM: j.BedZMM, ChordMM: j.ChordMM,
	}
}

func table(t job.Table) (g grid.Table, thread string, slotMM, threadMM float64, open bool) {
	if s := t.Slots; s != nil {
		g = grid.Table{Kind: grid.SlotsAlongX, PitchXMM: s.PitchMM, PitchYMM: s.PitchMM, Rows: s.Count}
		if s.AlongY {
			g.Kind, g.Rows, g.Columns = grid.SlotsAlongY, 0, s.Count
		}
		return g, s.Thread, s.WidthMM, 0, false
	}
	h := t.Grid
	g = grid.Table{
		PitchXMM: h.PitchXMM, PitchYMM: h.PitchYMM, Columns: h.Columns, Rows: h.Rows, Stagger: h.Stagger,
		FirstXMM: h.FirstHoleMM[0], FirstYMM: h.FirstHoleMM[1], Blocked: h.Blocked,
	}
	return g, h.Thread, 0, h.ThreadDepthMM, h.Through
}

func options(j job.Jaws) fixture.Options {
	o := fixture.Options{
		GripMM: j.GripMM, SeatHeightMM: j.SeatHeightMM,
		ClearanceFixedMM: j.ClearanceFixedMM, ClearanceMovingMM: j.ClearanceMovingMM, GapMM: j.GapMM,
		LeadInMM: j.LeadInMM, ChipGrooveMM: j.ChipGrooveMM, CornerReliefMM: j.CornerReliefMM, BedChamferMM: j.BedChamferMM,
		WallMM: j.WallMM, PartingMM: j.PartingMM, CutInPlace: j.Finish == "cut in place", SkimMM: j.SkimMM,
		Nests: j.Nests, Notch: j.OneWay == "notch", Openings: j.Openings, OpeningWidthMM: j.OpeningWidthMM,
		SpacerTubes: j.SpacerTubes, FixedBolts: j.Fixed.Bolts, MovingByBolts: j.Moving.By == "bolts",
		MovingBolts: j.Moving.Bolts, TravelMM: j.Moving.TravelMM, Tongue: j.Moving.Tongue,
	}
	o.Seat = map[string]fixture.SeatKind{
		"table": fixture.OnTable, "parallels": fixture.OnParallels, "plate": fixture.OnPlate, "print": fixture.OnLedge,
	}[j.Seat]
	if j.Seat == "print" && j.SeatKind == "floor" {
		o.Seat = fixture.OnFloor
	}
	o.Marks = map[string]fixture.MarkKind{"none": fixture.NoMarks, "sunk": fixture.SunkMarks, "raised": fixture.RaisedMarks}[j.Marks]
	if n := j.PressNest; n != nil {
		o.Press = &fixture.PressNest{HoleMM: n.HoleMM, ReliefMM: n.ReliefMM, DishMM: n.DishMM, DishDepthMM: n.DishDepthMM}
	}
	return o
}

func clearWay(j *job.Job, op job.Operation) fixture.Operation {
	c := fixture.Operation{Name: op.Name, Kind: op.Kind, ToMM: op.ToMM, WidthMM: op.WidthMM, AtMM: op.AtMM}
	if t := j.Tool(op.Tool); t != nil {
		c.ToolMM, c.StickoutMM, c.HolderMM = t.DiameterMM, t.StickoutMM, t.HolderDiameterMM
	}
	return c
}

// designOf designs the pair and leaves it unmeshed.
func designOf(ctx context.Context, j *job.Job, r fixture.Request) (*Jaws, error) {
	pair, err := fixture.Design(ctx, r)
	if err != nil {
		return nil, jawRefusal(j, err)
	}
	return &Jaws{Pair: pair}, nil
}

// mesh meshes every piece of the pair. Each mesh is verified before it is
// handed on.
func (w *Jaws) mesh(ctx context.Context, j *job.Job) error {
	for _, piece := range pieces(w.Pair) {
		if err := ctx.Err(); err != nil {
			return err
		}
		opt := mesh.Options{ChordMM: j.Jaws.ChordMM}
		m, err := mesh.Build(piece.Solid, opt)
		var touch *mesh.TouchError
		switch {
		case errors.As(err, &touch):
			return refused(j.FaultAt("jaws", words(j, fmt.Sprintf("the %s can't be printed as it comes out: %v", piece.Name, touch)),
				"change clearance, wall, groove or lead-in a little"))
		case err != nil:
			return fmt.Errorf("mesh of the %s: %w", piece.Name, err)
		}
		if piece.Report, err = mesh.Verify(m, piece.Solid, mesh.VerifyOptions{ChordMM: j.Jaws.ChordMM}); err != nil {
			return err
		}
		piece.Mesh = m
		w.Pieces = append(w.Pieces, piece)
	}
	return nil
}

// pieces lists what is printed.
func pieces(p *fixture.Pair) (list []Mesh) {
	jaw := func(role string, jw fixture.Jaw) {
		list = append(list, Mesh{File: role + "-jaw.stl", Name: role + " jaw", Role: role, Solid: jw.Solid})
		for i, part := range jw.Parts {
			list = append(list, Mesh{
				File: fmt.Sprintf("%s-jaw-%d.stl", role, i+1), Name: fmt.Sprintf("%s jaw, part %d", role, i+1),
				Role: role + " part", Solid: part,
			})
		}
	}
	jaw("fixed", p.Fixed)
	jaw("moving", p.Moving)
	list = append(list, Mesh{File: "fit-slice.stl", Name: "fit slice", Role: "fit slice", Solid: p.FitSlice})
	if p.PressNest != nil {
		list = append(list, Mesh{File: "press-nest.stl", Name: "press nest", Role: "press nest", Solid: *p.PressNest})
	}
	return list
}

// jawRefusal puts a designer's refusal at the key it concerns.
func jawRefusal(j *job.Job, err error) error {
	var no *fixture.Refusal
	if errors.As(err, &no) {
		field := no.Field
		if field == "" {
			field = "jaws"
		}
		return refused(j.FaultAt(field, words(j, no.Says), ""))
	}
	var form *outline.FormError
	if errors.As(err, &form) {
		return refused(j.FaultAt("part.outline", "no jaws can be drawn around this outline: "+form.Error(), ""))
	}
	return err
}

// block is the result's account of the jaws.
func (w *Jaws) block(poly material.PolymerRow, jaws job.Jaws) *JawsBlock {
	p := w.Pair
	b := &JawsBlock{
		PartZeroMM:      [3]float64{p.PartZeroXMM, p.PartZeroYMM, p.Heights.SeatMM},
		PartZeroDoubtMM: p.DoubtMM, Anchor: Hole{Column: p.Anchor.Column, Row: p.Anchor.Row},
		HeightsMM: Heights{
			Seat: p.Heights.SeatMM, JawTop: p.Heights.JawTopMM, PartTopBefore: p.Heights.PartTopBeforeMM,
			PartTopAfter: p.Heights.PartTopAfterMM, Highest: p.Heights.HighestMM,
		},
		ClearanceMM: ClearancePair{Fixed: jaws.ClearanceFixedMM, Moving: jaws.ClearanceMovingMM},
		TurnDeg:     p.TurnRad * 180 / math.Pi, GripMM: p.GripMM, GripNetMM: p.GripNetMM, GapMM: p.GapMM,
		ContactDeg: p.Contact.FixedDeg + p.Contact.MovingDeg, OneWay: p.OneWay,
		LiftMomentNmm: p.LiftMomentNmm, DeflectionMM: p.Walls.DeflectionMM, RootStressMPa: p.Walls.RootMPa,
		OpeningAreaMM2: p.OpeningAreaMM2, Verdict: "go",
	}
	b.TurnWhy, b.FixedSlipN, b.TubeMM = p.TurnWhy, p.FixedSlipN, p.TubeLengthMM
	zero := [2]float64{p.PartZeroXMM, p.PartZeroYMM}
	b.Datum = &Datum{
		LeftXMM: p.Datum.LeftXMM + zero[0], BackYMM: p.Datum.BackYMM + zero[1], DoubtMM: p.Datum.DoubtMM,
		IndicateXMM: Span{p.Datum.IndicateX0 + zero[0], p.Datum.IndicateX1 + zero[0]},
	}
	if pad := p.ClampPad; pad != nil {
		b.ClampPad = &ClampPad{XMM: pad.XMM + zero[0], HeightMM: pad.CentreMM, WidthMM: pad.WidthMM}
	}
	for _, u := range p.Contact.Undercut {
		b.Undercut = append(b.Undercut, Undercut{
			Jaw: jawName(u.Moving), LengthMM: u.LengthMM,
			FromMM: [2]float64{u.From.X + zero[0], u.From.Y + zero[1]}, ToMM: [2]float64{u.To.X + zero[0], u.To.Y + zero[1]},
		})
	}
	if w := p.Loading; w != nil {
		for _, l := range w.Wrong {
			b.Loadings = append(b.Loadings, Loading{Flipped: l.Flipped, TurnDeg: degrees(l.TurnRad), Fits: l.Fits, ReachMM: l.ReachMM, AtMM: [2]float64{l.At.X, l.At.Y}})
		}
	}
	for _, d := range p.Doubt {
		b.DoubtParts = append(b.DoubtParts, DoubtPart{Says: d.Says, MM: d.MM})
	}
	for _, screw := range p.Bolts {
		b.Bolts = append(b.Bolts, w.bolt(screw))
	}
	for i, n := range p.Nests {
		if len(p.Nests) < 2 {
			break
		}
		b.Nests = append(b.Nests, Nest{N: i + 1, PartZeroMM: [3]float64{p.PartZeroXMM + n.X, p.PartZeroYMM + n.Y, p.Heights.SeatMM}})
	}
	for _, r := range p.Remarks {
		if r.Caution {
			b.Verdict = "caution"
		}
	}
	minutes := &Span{}
	b.PrintMinutes = minutes
	for _, m := range w.Pieces {
		piece, print := w.piece(m, poly, printer(jaws))
		switch m.Role {
		case "fixed":
			b.Fixed = piece
		case "moving":
			b.Moving = piece
		default:
			b.Parts = append(b.Parts, piece)
			continue
		}
		b.MassG += piece.PrintG
		minutes.Min += print.MinutesLow
		minutes.Max += print.MinutesHigh
	}
	return b
}

func (w *Jaws) piece(m Mesh, poly material.PolymerRow, printer fixture.Printer) (Piece, fixture.PrintEstimate) {
	lo, hi := m.Mesh.Bounds()
	p := Piece{File: m.File, VolumeMM3: m.Mesh.VolumeMM3(), Triangles: len(m.Mesh.Triangles)}
	zero := [3]float64{w.Pair.PartZeroXMM, w.Pair.PartZeroYMM, 0}
	for k := range 3 {
		p.SizeMM[k] = hi[k] - lo[k]
		p.PlaceMM[k] = lo[k] + zero[k]
	}
	print := fixture.Print(p.VolumeMM3, m.Mesh.AreaMM2(), printer, poly.DensityKgM3)
	p.PrintG = print.MassG
	return p, print
}

func (w *Jaws) bolt(s fixture.Bolt) Bolt {
	// Of a hole on slots only the slot counts; its other number is 0.
	column, row, slot := s.Hole.Column, s.Hole.Row, 0
	if column == 0 || row == 0 {
		column, row, slot = 0, 0, column+row
	}
	return Bolt{
		Jaw: jawName(s.Moving), Column: column, Row: row, Slot: slot,
		XMM: s.Hole.XMM + w.Pair.PartZeroXMM, YMM: s.Hole.YMM + w.Pair.PartZeroYMM,
		Screw: s.Thread, LengthMM: s.Screw.LengthMM, Washer: s.Washer.Name, TorqueNm: s.TorqueNm,
		Slotted: s.SlideXMM > 0 || s.SlideYMM > 0, SlideMM: [2]float64{s.SlideXMM, s.SlideYMM}, EngagementMM: s.Screw.EngagementMM,
	}
}

func jawName(moving bool) string {
	if moving {
		return "moving"
	}
	return "fixed"
}
