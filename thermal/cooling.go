package thermal

import (
	"slices"

	"secondop/thermal/material"
)

// Cooling is one way of cooling the cut.
type Cooling struct {
	Name string
	// FilmWM2K is the film on the free faces while cutting, and RestWM2K while
	// resting with the cooling left on.
	FilmWM2K, RestWM2K Band
	// Wet says that the friction of the grip falls to the wet one.
	Wet    bool
	Liquid bool // covers the faces: no radiation
	Source string

	unchosen              bool // comes with the spindle; nobody can switch it on
	shareLow, shareLikely float64
}

// stillAirWM2K is the film of natural convection on a small hot part.
// Source: vertical, upward and downward plates at 10 to 60 K and 15 to 60 mm
// (see the tests of the correlations), rounded to the safe side.
var stillAirWM2K = Band{Low: 4, Likely: 7, High: 11}

var coolings = []Cooling{
	{
		Name: "none", FilmWM2K: Band{Low: 4, Likely: 10, High: 25}, RestWM2K: stillAirWM2K, shareLow: 1, shareLikely: 1,
		Source: "still air at the low end; some of the spindle's wind at the high end (own judgement)",
	},
	{
		Name: "spindle wind", FilmWM2K: Band{Low: 10, Likely: 30, High: 50}, RestWM2K: stillAirWM2K, unchosen: true, shareLow: 1, shareLikely: 1,
		Source: "laminar plate at 0.3 to 8 m/s over 50 mm, calculated",
	},
	{
		Name: "air blast", FilmWM2K: Band{Low: 30, Likely: 60, High: 100}, RestWM2K: Band{Low: 30, Likely: 60, High: 100}, shareLow: 1, shareLikely: 1,
		Source: "laminar plate at 5 to 30 m/s over 50 mm: 39 to 95, calculated",
	},
	{
		Name: "brushed lubricant", FilmWM2K: Band{Low: 4, Likely: 10, High: 25}, RestWM2K: stillAirWM2K, Wet: true, shareLow: 1, shareLikely: 1,
		Source: "as none: the film is thin and dries (common practice, no source)",
	},
	{
		Name: "mist", FilmWM2K: Band{Low: 50, Likely: 120, High: 300}, RestWM2K: Band{Low: 50, Likely: 120, High: 300}, Wet: true, shareLow: mistLow, shareLikely: 1,
		Source: "air-like, conduction over convection: Luchesi and Coelho 2012 (abstract); 50 to 300 own judgement",
	},
	{
		Name: "flood", FilmWM2K: Band{Low: 500, Likely: 1000, High: 3000}, RestWM2K: Band{Low: 500, Likely: 1000, High: 3000}, Wet: true, Liquid: true, shareLow: floodLow, shareLikely: floodLikely,
		Source: "1000 to 10000, Childs et al. 1988, seen second-hand; wetted faces only",
	},
}

// ownFilm is the name of a cooling that is given as a film coefficient.
const ownFilm = "own"

// Coolings returns the kinds of cooling, weakest first.
func Coolings() []Cooling { return slices.Clone(coolings) }

func findCooling(name string) (Cooling, error) {
	if name == ownFilm {
		return Cooling{Name: ownFilm, shareLow: 1, shareLikely: 1}, nil
	}
	var names []string
	for _, c := range coolings {
		if c.Name == name {
			return c, nil
		}
		names = append(names, c.Name)
	}
	return Cooling{}, &material.UnknownError{Kind: "cooling", Name: name, Near: names}
}

// contact is the conductance between plastic and metal, in W/(m²·K). The high
// estimate of a judgement takes no resistance at all. Source: gap of air under
// layer lines, 0.05 mm mean: 520; models give 300 to 1500 for a printed face
// and 1500 to 5000 for one cut in place; a wet one is three to five times that.
type contact struct{ low, likely float64 }

var (
	printedContact = contact{low: 300, likely: 700}
	cutContact     = contact{low: 1500, likely: 2500}
	wetContact     = 3.0
	// metalContact is a machined part on a machined metal seat under its own
	// weight and a tap. Source: gaps of 0.01 to 0.045 mm of air; own judgement.
	metalContact = Band{Low: 600, Likely: 1000, High: 3000}
	// boltedWM2K is a seat that is held down on the table.
	boltedWM2K = 2000.0
)

const airWMK = 0.026

// Infilled returns a sheet of a printed polymer with the solid fraction 0 to 1:
// density in proportion, the heat of a kilogram unchanged, conductivity the
// mean of the parallel bound and of Maxwell's for bubbles of air.
// Source: two-phase bounds, own choice of their mean.
func Infilled(p material.PolymerRow, thicknessMM, solid float64) Sheet {
	k := p.ConductivityWMK
	parallel := solid*k + (1-solid)*airWMK
	void := 1 - solid
	maxwell := k * (2*k + airWMK - 2*void*(k-airWMK)) / (2*k + airWMK + void*(k-airWMK))
	return Sheet{
		ThicknessMM: thicknessMM, DensityKgM3: solid * p.DensityKgM3,
		SpecificHeatJKgK: p.SpecificHeatJKgK, ConductivityWMK: (parallel + maxwell) / 2,
	}
}
