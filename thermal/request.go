package thermal

import (
	"fmt"
	"math"

	"secondop/thermal/material"
)

// Request is a job as the judgement sees it.
type Request struct {
	Part     material.PartRow
	Polymer  material.PolymerRow
	Geometry Geometry
	AmbientC float64

	Cooling    string  // none, spindle wind, air blast, brushed lubricant, mist, flood, own
	FilmWM2K   float64 // for own
	Operations []Operation
	// ToolChangeS is the pause before an operation with another tool, SwapS the
	// one between two parts. Nothing cools during them but still air.
	ToolChangeS, SwapS float64
	// Batch is how many parts follow one another in the same jaws; 0: 1. Once
	// the jaws have settled every further part is as the last, so no more parts
	// are run than that takes; see [Answer.PartsRun].
	Batch int

	// PressureMPa is the contact pressure on the plastic.
	PressureMPa float64
	// CutInPlace says that the jaw faces were cut in place instead of left as
	// printed.
	CutInPlace bool
	// Share, when not nil, is a calibrated share of the likely cutting power;
	// ShareFrom says where it comes from.
	Share     *Band
	ShareFrom string
}

// Geometry is the part between its jaws. Areas of the part in mm².
type Geometry struct {
	VolumeMM3 float64 // before cutting
	HeightMM  float64
	TopMM2    float64 // the face that is cut
	FreeMM2   float64 // all surface in the open, the top included
	// GripMM2 is the surface in contact with both jaws, less openings.
	GripMM2    float64
	OpeningMM2 float64 // surface that openings in the jaws lay bare
	JawWallMM  float64 // plastic behind the part's face, to the jaw's back
	JawSideMM  float64 // perimeter of one jaw's side that loses heat; 0: none
	SkinMM     float64 // solid plastic at the face before the infill begins
	Infill     float64 // solid fraction behind it, 0 to 1
	Seat       string  // "" (nothing under the part), table, parallels, plate, print
	SeatMM2    float64 // contact with the seat
	SeatMM     float64 // height of the seat; 0: 10 mm
}

// Operation is one stretch of cutting.
type Operation struct {
	Name       string
	NewTool    bool // a tool change comes before it
	LastsS     float64
	RemovesMM3 float64
	// Either the power of the cut with the chip it takes, or the heat that
	// enters the part.
	PowerW Band
	Chip   Chip
	HeatW  float64
}

// level is which end of the estimates a run takes.
type level int

const (
	low level = iota
	likely
	high
)

func (b Band) at(l level) float64 { return [...]float64{b.Low, b.Likely, b.High}[l] }

// cold is the entry of a cooling film that belongs to a level of heat: much
// heat goes with little cooling.
func (b Band) cold(l level) float64 { return [...]float64{b.High, b.Likely, b.Low}[l] }

func (b Band) ordered() bool {
	return b.Low >= 0 && b.Low <= b.Likely && b.Likely <= b.High && b.High < math.Inf(1)
}

func (r *Request) check() error {
	var in inputs
	in.celsius("ambient temperature", r.AmbientC)
	in.notNegative("tool change time", r.ToolChangeS, "s")
	in.notNegative("swap time", r.SwapS, "s")
	in.notNegative("contact pressure", r.PressureMPa, "MPa")
	if r.Batch < 0 || r.Batch > 1000 {
		in.reject("batch", float64(r.Batch), "parts", "must be 1 to 1000")
	}
	if r.Cooling == ownFilm {
		in.notNegative("film", r.FilmWM2K, "W/(m²·K)")
	}
	if r.Share != nil && !(r.Share.ordered() && r.Share.Low > 0 && r.Share.High <= 1) {
		in.reject("share of the cutting power", r.Share.Likely, "", "must be a band above 0 and at most 1, low to high")
	}
	r.Geometry.check(&in)
	if len(r.Operations) == 0 {
		in.reject("number of operations", 0, "", "must be at least 1")
	}
	left := r.Geometry.VolumeMM3
	for i, o := range r.Operations {
		in.of(i+1, o.Name)
		in.positive("duration", o.LastsS, "s")
		in.notNegative("removed volume", o.RemovesMM3, "mm³")
		in.notNegative("heat", o.HeatW, "W")
		if !o.PowerW.ordered() {
			in.reject("power", o.PowerW.Likely, "W", "must be a band of 0 or more, low to high")
		}
		left -= o.RemovesMM3
		if !(left > 0) {
			in.reject("removed volume", o.RemovesMM3, "mm³",
				fmt.Sprintf("must be less than what is left of the part (%.6g mm³)", left+o.RemovesMM3))
		}
	}
	return in.err
}

func (g *Geometry) check(in *inputs) {
	in.positive("part volume", g.VolumeMM3, "mm³")
	in.notNegative("part height", g.HeightMM, "mm")
	in.notNegative("area of the face that is cut", g.TopMM2, "mm²")
	in.notNegative("free area", g.FreeMM2, "mm²")
	in.positive("gripped area", g.GripMM2, "mm²")
	in.notNegative("area of the openings", g.OpeningMM2, "mm²")
	in.positive("jaw wall", g.JawWallMM, "mm")
	in.notNegative("jaw side", g.JawSideMM, "mm")
	in.notNegative("solid skin", g.SkinMM, "mm")
	if g.SkinMM < g.JawWallMM && !(g.Infill > 0 && g.Infill <= 1) {
		in.reject("infill", g.Infill, "", "must be above 0 and at most 1")
	}
	in.notNegative("seat area", g.SeatMM2, "mm²")
	in.notNegative("seat height", g.SeatMM, "mm")
	if g.Seat != "" && g.SeatMM2 == 0 {
		in.reject("seat area", 0, "mm²", "must be above 0 when there is a seat")
	}
}

// shareOf returns the share of an operation's power, and heatOf the heat that
// enters the part.
func (r *Request) shareOf(o *Operation) (Band, error) {
	if r.Share != nil {
		return *r.Share, nil
	}
	return Share(r.Part, o.Chip, r.Cooling)
}

func (r *Request) heatOf(o *Operation) (Band, error) {
	switch {
	case o.HeatW > 0:
		return Band{o.HeatW, o.HeatW, o.HeatW}, nil
	case o.PowerW.High == 0:
		return Band{}, nil
	}
	share, err := r.shareOf(o)
	if err != nil {
		return Band{}, fmt.Errorf("operation %q: %w", o.Name, err)
	}
	if r.Share != nil { // fitted on the likely power, so it carries that doubt too
		p := o.PowerW.Likely
		return Band{share.Low * p, share.Likely * p, share.High * p}, nil
	}
	return Band{share.Low * o.PowerW.Low, share.Likely * o.PowerW.Likely, share.High * o.PowerW.High}, nil
}

// films are the film coefficients of a cooling at one level.
type films struct {
	cut, rest, still float64
	liquid           bool
}

func (r *Request) films(l level) (films, error) {
	c, err := findCooling(r.Cooling)
	if err != nil {
		return films{}, err
	}
	f := films{cut: c.FilmWM2K.cold(l), rest: c.RestWM2K.cold(l), still: stillAirWM2K.cold(l), liquid: c.Liquid}
	if r.Cooling == ownFilm {
		f.cut, f.rest = r.FilmWM2K, r.FilmWM2K
	}
	return f, nil
}

// model is the run at one level: the stretches of all parts in order.
func (r *Request) model(l level) (Model, error) {
	f, err := r.films(l)
	if err != nil {
		return Model{}, err
	}
	g := &r.Geometry
	m := Model{
		AmbientC: r.AmbientC,
		Part: Part{
			VolumeMM3: g.VolumeMM3, DensityKgM3: r.Part.DensityKgM3, SpecificHeatJKgK: r.Part.SpecificHeatJKgK,
			ConductivityWMK: r.Part.ConductivityWMK, StartC: r.AmbientC,
			Faces: []Face{
				{Name: "free surface", AreaMM2: g.FreeMM2, Cooled: true, Emissivity: r.Part.Emissivity},
				{Name: "openings", AreaMM2: g.OpeningMM2, Cooled: true, Emissivity: r.Part.Emissivity},
			},
			HeatedMM2: g.TopMM2, ThicknessMM: g.HeightMM,
		},
		DepthsMM: []float64{2},
	}
	layers, err := r.layers(l, f)
	if err != nil {
		return Model{}, err
	}
	m.Layers = layers
	for n := range r.partsRun(layers) {
		if n > 0 {
			m.Stretches = append(m.Stretches, Stretch{Name: swapName, LastsS: r.SwapS, FilmWM2K: f.still})
		}
		for i := range r.Operations {
			o := &r.Operations[i]
			if o.NewTool && r.ToolChangeS > 0 {
				m.Stretches = append(m.Stretches, Stretch{Name: changeName, LastsS: r.ToolChangeS, FilmWM2K: f.still})
			}
			heat, err := r.heatOf(o)
			if err != nil {
				return Model{}, err
			}
			m.Stretches = append(m.Stretches, Stretch{
				Name: o.Name, LastsS: o.LastsS, HeatW: heat.at(l), RemovesMM3: o.RemovesMM3,
				FilmWM2K: f.cut, Wet: f.liquid, FreshPart: n > 0 && i == 0, cutting: true,
			})
		}
	}
	return m, m.check()
}

// settled is how many time constants of the slowest plastic wall count as
// settled: e^-6 of the way is left.
const settled = 6.0

// partsRun is the number of parts of the batch that are run: all, or as many
// as the plastic takes to settle and two more. The slowest time constant of a
// wall held at its face and insulated behind is 4/π² of its resistance times
// its heat capacity; the contact adds its own.
func (r *Request) partsRun(layers []Layer) int {
	cycleS := r.SwapS
	for _, o := range r.Operations {
		cycleS += o.LastsS
		if o.NewTool {
			cycleS += r.ToolChangeS
		}
	}
	slowestS := 0.0
	for _, l := range layers {
		if !l.plastic {
			continue
		}
		resistance, capacity := 0.0, 0.0 // of a square metre
		for _, s := range l.Sheets {
			resistance += s.ThicknessMM * 1e-3 / s.ConductivityWMK
			capacity += s.ThicknessMM * 1e-3 * s.DensityKgM3 * s.SpecificHeatJKgK
		}
		slowestS = max(slowestS, capacity*(4/(math.Pi*math.Pi)*resistance+1/l.ContactWM2K))
	}
	return min(max(1, r.Batch), 2+int(math.Ceil(settled*slowestS/cycleS)))
}

const (
	changeName = "tool change"
	swapName   = "next part"
)

// layers are the two jaws and the seat. The judged ones are of plastic.
func (r *Request) layers(l level, f films) ([]Layer, error) {
	g := &r.Geometry
	plastic := printedContact
	if r.CutInPlace {
		plastic = cutContact
	}
	wet := 1.0
	if f.liquid {
		wet = wetContact
	}
	h := [...]float64{plastic.low * wet, plastic.likely * wet, math.Inf(1)}[l]
	var sheets []Sheet
	skin := min(g.SkinMM, g.JawWallMM)
	if skin > 0 {
		sheets = append(sheets, Infilled(r.Polymer, skin, 1))
	}
	if g.JawWallMM > skin {
		sheets = append(sheets, Infilled(r.Polymer, g.JawWallMM-skin, g.Infill))
	}
	jaw := Layer{
		AreaMM2: g.GripMM2 / 2, ContactWM2K: h, Sheets: sheets,
		BackFilmWM2K: f.still, SideMM: g.JawSideMM, SideFilmWM2K: f.still, plastic: true,
	}
	fixed, moving := jaw, jaw
	fixed.Name, moving.Name = "fixed jaw", "moving jaw"
	layers := []Layer{fixed, moving}

	thick := g.SeatMM
	if thick == 0 {
		thick = usualSeatMM
	}
	seat := Layer{Name: "seat", AreaMM2: g.SeatMM2, ContactWM2K: metalContact.cold(l), PathMM: g.HeightMM / 2}
	aluminium := Sheet{DensityKgM3: 2700, SpecificHeatJKgK: 896, ConductivityWMK: 117}
	steel := Sheet{DensityKgM3: 7850, SpecificHeatJKgK: 486, ConductivityWMK: 50}
	switch g.Seat {
	case "":
		return layers, nil
	case "table": // ten millimetres of it, and the mass behind at ambient
		seat.Sheets, seat.BackFilmWM2K = []Sheet{aluminium}, tableWM2K
		thick = usualSeatMM
	case "plate":
		seat.Sheets, seat.BackFilmWM2K = []Sheet{aluminium}, boltedWM2K
	case "parallels":
		seat.Sheets, seat.BackFilmWM2K = []Sheet{steel}, metalContact.cold(l)
	case "print":
		solid := g.Infill
		if solid == 0 { // solid walls all through
			solid = 1
		}
		seat.Sheets, seat.BackFilmWM2K = []Sheet{Infilled(r.Polymer, thick, solid)}, printedContact.likely
		seat.ContactWM2K, seat.PathMM, seat.plastic = h, 0, true
	default:
		return nil, &material.UnknownError{Kind: "seat", Name: g.Seat, Near: []string{"table", "parallels", "plate", "print"}}
	}
	seat.Sheets[0].ThicknessMM = thick
	return append(layers, seat), nil
}

const (
	usualSeatMM = 10.0
	// tableWM2K is the table behind a seat's first ten millimetres: spreading
	// from a spot of 20 mm radius into a half space of aluminium gives 10 000.
	tableWM2K = 2000.0
)
