package thermal

import (
	"fmt"
	"math"
)

// Model is one run: a part, the layers that touch it, and what happens to it.
// Every surrounding temperature is given above the ambient, so that the zero
// value of a field means ambient.
type Model struct {
	AmbientC  float64
	Part      Part
	Layers    []Layer
	Stretches []Stretch // in order, at least one
	// DepthsMM are the depths into each layer that the history reports.
	DepthsMM []float64
	// SampleS is the time between two points of the history; 0: only the ends of
	// the stretches.
	SampleS float64
	// ToleranceK bounds the error of one time step; 0: 0.0002 K.
	ToleranceK float64
	// Cells is the number of cells a layer is cut into; 0: 30.
	Cells int

	fixedStepS float64 // tests of the order: constant steps instead of adaptive ones
}

// Part is a body of one temperature.
type Part struct {
	VolumeMM3        float64
	DensityKgM3      float64
	SpecificHeatJKgK float64
	ConductivityWMK  float64 // for the Biot number and the internal drop only
	StartC           float64
	Faces            []Face
	// HeatedMM2 and ThicknessMM are the face that takes the heat and how far it
	// is to the opposite one, for the internal drop; 0: the drop is not computed.
	HeatedMM2   float64
	ThicknessMM float64
}

// Face is a piece of the part's free surface.
type Face struct {
	Name        string
	AreaMM2     float64
	FilmWM2K    float64
	FluidAboveK float64 // fluid's temperature above ambient
	Cooled      bool    // takes the stretch's film and fluid instead of its own
	Emissivity  float64 // 0: no radiation
	WallsAboveK float64 // temperature of what it radiates to, above ambient
}

// Layer is a wall that touches the part with its face and may lose heat at its
// back and along its sides: one-dimensional, transient.
type Layer struct {
	Name        string
	AreaMM2     float64
	ContactWM2K float64 // +Inf: no resistance
	// PathMM is the part's own metal on the way from its mean to this layer:
	// half its height for a seat that takes the heat of the top; 0: none.
	PathMM      float64
	Sheets      []Sheet // from the face outward
	StartAboveK float64 // all of it, above ambient

	BackFilmWM2K float64
	BackAboveK   float64
	SideMM       float64 // perimeter of the cross-section that loses heat
	SideFilmWM2K float64

	plastic bool // a judgement looks at its face
}

// Sheet is one material of a layer.
type Sheet struct {
	ThicknessMM      float64
	DensityKgM3      float64
	SpecificHeatJKgK float64
	ConductivityWMK  float64
}

// Stretch is a time during which heat, removal and cooling are constant.
type Stretch struct {
	Name        string
	LastsS      float64
	HeatW       float64 // that enters the part
	RemovesMM3  float64 // evenly over the stretch; leaves at the part's temperature
	FilmWM2K    float64 // on the faces marked Cooled
	FluidAboveK float64
	Wet         bool // the film is a liquid: no radiation from the cooled faces
	// FreshPart puts a new whole part at its start temperature into the warm
	// layers before the stretch begins.
	FreshPart bool

	cutting bool // of a judgement: counts as cutting time
}

// check returns the first number that the model can't take.
func (m *Model) check() error {
	var in inputs
	in.celsius("ambient temperature", m.AmbientC)
	m.Part.check(&in, m.AmbientC)
	for i := range m.Layers {
		m.Layers[i].check(&in, m.AmbientC)
	}
	if len(m.Stretches) == 0 {
		in.reject("number of stretches", 0, "", "must be at least 1")
	}
	left := m.Part.VolumeMM3
	for i, s := range m.Stretches {
		name := fmt.Sprintf("stretch %d (%s): ", i+1, s.Name)
		in.notNegative(name+"duration", s.LastsS, "s")
		in.notNegative(name+"film", s.FilmWM2K, "W/(m²·K)")
		in.celsius(name+"fluid temperature", m.AmbientC+s.FluidAboveK)
		if !(math.Abs(s.HeatW) < 1e9) {
			in.reject(name+"heat", s.HeatW, "W", "must be finite")
		}
		in.notNegative(name+"removed volume", s.RemovesMM3, "mm³")
		if s.FreshPart {
			left = m.Part.VolumeMM3
		}
		left -= s.RemovesMM3
		if !(left > 0) {
			in.reject(name+"removed volume", s.RemovesMM3, "mm³",
				fmt.Sprintf("must be less than what is left of the part (%.6g mm³)", left+s.RemovesMM3))
		}
		if s.LastsS == 0 && (s.RemovesMM3 > 0 || s.HeatW != 0) {
			in.reject(name+"duration", 0, "s", "must be above 0 when the stretch heats or removes")
		}
	}
	for _, d := range m.DepthsMM {
		in.notNegative("depth", d, "mm")
	}
	in.notNegative("sample time", m.SampleS, "s")
	in.notNegative("tolerance", m.ToleranceK, "K")
	if m.Cells < 0 || m.Cells > 10000 {
		in.reject("number of cells", float64(m.Cells), "", "must be 1 to 10000, or 0 for the default")
	}
	return in.err
}

func (p *Part) check(in *inputs, ambientC float64) {
	in.positive("part volume", p.VolumeMM3, "mm³")
	in.positive("part density", p.DensityKgM3, "kg/m³")
	in.positive("part specific heat", p.SpecificHeatJKgK, "J/(kg·K)")
	in.positive("part conductivity", p.ConductivityWMK, "W/(m·K)")
	in.celsius("part start temperature", p.StartC)
	in.notNegative("heated area", p.HeatedMM2, "mm²")
	in.notNegative("part thickness", p.ThicknessMM, "mm")
	for _, f := range p.Faces {
		in.notNegative(f.Name+" area", f.AreaMM2, "mm²")
		in.notNegative(f.Name+" film", f.FilmWM2K, "W/(m²·K)")
		in.unit(f.Name+" emissivity", f.Emissivity)
		in.celsius(f.Name+" fluid temperature", ambientC+f.FluidAboveK)
		in.celsius(f.Name+" surrounding walls", ambientC+f.WallsAboveK)
	}
}

func (l *Layer) check(in *inputs, ambientC float64) {
	in.positive(l.Name+" area", l.AreaMM2, "mm²")
	if !(l.ContactWM2K >= 0) {
		in.reject(l.Name+" contact conductance", l.ContactWM2K, "W/(m²·K)", "must be 0 or more")
	}
	in.celsius(l.Name+" start temperature", ambientC+l.StartAboveK)
	in.celsius(l.Name+" back temperature", ambientC+l.BackAboveK)
	if !(l.BackFilmWM2K >= 0) {
		in.reject(l.Name+" back film", l.BackFilmWM2K, "W/(m²·K)", "must be 0 or more")
	}
	in.notNegative(l.Name+" path in the part", l.PathMM, "mm")
	in.notNegative(l.Name+" side perimeter", l.SideMM, "mm")
	in.notNegative(l.Name+" side film", l.SideFilmWM2K, "W/(m²·K)")
	if len(l.Sheets) == 0 {
		in.reject(l.Name+" number of sheets", 0, "", "must be at least 1")
	}
	for _, s := range l.Sheets {
		in.positive(l.Name+" thickness", s.ThicknessMM, "mm")
		in.positive(l.Name+" density", s.DensityKgM3, "kg/m³")
		in.positive(l.Name+" specific heat", s.SpecificHeatJKgK, "J/(kg·K)")
		in.positive(l.Name+" conductivity", s.ConductivityWMK, "W/(m·K)")
	}
}
