package thermal

import (
	"context"
	"embed"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"

	"secondop/thermal/material"
)

//go:embed testdata/published.csv
var publishedTable embed.FS

// Case is one published answer and what this package makes of it.
type Case struct {
	ID, Source, Quantity, Unit string
	// Published is the printed answer, often read from a chart; Exact is the
	// value of the formula with the printed inputs, which Got must meet within
	// the relative Tolerance.
	Published, Exact, Got, Tolerance float64
	Note                             string
}

// Holds says whether the case is met.
func (c Case) Holds() bool { return math.Abs(c.Got-c.Exact) <= c.Tolerance*math.Abs(c.Exact) }

// Published computes every published case in the package's table. An error is
// a fault of the table or the end of the context.
func Published(ctx context.Context) ([]Case, error) {
	data, err := publishedTable.ReadFile("testdata/published.csv")
	if err != nil {
		return nil, err
	}
	lines, err := csv.NewReader(strings.NewReader(string(data))).ReadAll()
	if err != nil {
		return nil, err
	}
	var out []Case
	for _, l := range lines[1:] {
		c := Case{ID: l[0], Source: l[1], Quantity: l[2], Unit: l[3], Note: l[9]}
		for i, v := range map[int]*float64{6: &c.Published, 7: &c.Exact, 8: &c.Tolerance} {
			if *v, err = strconv.ParseFloat(l[i], 64); err != nil {
				return nil, fmt.Errorf("case %s: %w", c.ID, err)
			}
		}
		f, ok := formulas[l[4]]
		if !ok {
			return nil, fmt.Errorf("case %s: no formula %q", c.ID, l[4])
		}
		if c.Got, err = f.of(ctx, l[5]); err != nil {
			return nil, fmt.Errorf("case %s: %w", c.ID, err)
		}
		out = append(out, c)
	}
	return out, nil
}

// values are a case's named inputs, in SI units unless the formula says so.
type values struct {
	named map[string]float64
	miss  string
}

// get returns an input; a missing one is remembered.
func (v *values) get(name string) float64 {
	x, ok := v.named[name]
	if !ok {
		v.miss = name
	}
	return x
}

type formula func(context.Context, *values) (float64, error)

func (f formula) of(ctx context.Context, inputs string) (float64, error) {
	v := &values{named: map[string]float64{}}
	for _, pair := range strings.Split(inputs, ";") {
		name, text, _ := strings.Cut(pair, "=")
		x, err := strconv.ParseFloat(text, 64)
		if err != nil {
			return 0, fmt.Errorf("input %q: %w", pair, err)
		}
		v.named[name] = x
	}
	got, err := f(ctx, v)
	if err == nil && v.miss != "" {
		err = fmt.Errorf("input %s is missing", v.miss)
	}
	return got, err
}

// plain makes a formula of a closed form.
func plain(f func(v *values) float64) formula {
	return func(_ context.Context, v *values) (float64, error) { return f(v), nil }
}

func (v *values) slab() slab { return slab{v.get("k"), v.get("alpha"), v.get("L"), v.get("h")} }
func (v *values) rod() rod   { return rod{slab{v.get("k"), v.get("alpha"), v.get("R"), v.get("h")}} }

// from turns a fraction of the way from the first to the fluid's temperature
// that is still to go into a temperature.
func (v *values) from(theta float64) float64 {
	return v.get("fluid") + theta*(v.get("start")-v.get("fluid"))
}

func (v *values) ra() float64 {
	return rayleigh(v.get("g"), v.get("rise"), v.get("mean"), v.get("L"), v.get("nu"), v.get("Pr"))
}

// film turns a Nusselt number into a film coefficient.
func (v *values) film(nu float64) float64 { return nu * v.get("k") / v.get("L") }

func (v *values) plateHeat(nu float64) float64 { return v.film(nu) * v.get("area") * v.get("rise") }

func (v *values) shortTheta() float64 {
	s := slab{v.get("k"), v.get("alpha"), v.get("L"), v.get("h")}
	return s.theta(v.get("x"), v.get("t")) * v.rod().theta(v.get("r"), v.get("t"))
}

var formulas = map[string]formula{
	"lumped_size": plain(func(v *values) float64 {
		return v.get("tau") * v.get("h") * v.get("shape") / (v.get("density") * v.get("c")) * 1e3
	}),
	"lumped_time":     plain(func(v *values) float64 { return v.get("tau") * v.coolingLog() }),
	"lumped_tau_ball": plain((*values).ballTau),
	"lumped_ball":     plain(func(v *values) float64 { return v.ballTau() * v.coolingLog() }),
	"run_radiating_end": func(ctx context.Context, v *values) (float64, error) {
		end, _, err := radiating(ctx, v)
		return end, err
	},
	"run_radiating_time": func(ctx context.Context, v *values) (float64, error) { _, at, err := radiating(ctx, v); return at, err },
	"fourier":            plain(func(v *values) float64 { return v.get("alpha") * v.get("t") / square(v.get("L")) }),
	"wall":               plain(func(v *values) float64 { return v.from(v.slab().theta(v.get("x"), v.get("t"))) }),
	"wall_heat":          plain(func(v *values) float64 { return v.slab().heat(v.get("t")) }),
	"wall_heat_abs":      plain(func(v *values) float64 { return 1e-6 * 2 * v.get("L") * v.fullHeat() * v.slab().heat(v.get("t")) }),
	"cylinder":           plain(func(v *values) float64 { return v.from(v.rod().theta(v.get("r"), v.get("t"))) }),
	"cylinder_heat_abs":  plain(func(v *values) float64 { return 1e-3 * v.circle() * v.fullHeat() * v.rod().heat(v.get("t")) }),
	"short_cylinder":     plain(func(v *values) float64 { return v.from(v.shortTheta()) }),
	"end_of_cylinder": plain(func(v *values) float64 {
		along := 1 - underFilm(v.get("k"), v.get("alpha"), v.get("h"), v.get("x"), v.get("t"))
		return v.from(along * v.rod().theta(0, v.get("t")))
	}),
	"short_cylinder_heat_abs": plain(func(v *values) float64 {
		a, b := v.slab().heat(v.get("t")), v.rod().heat(v.get("t"))
		return 1e-3 * v.circle() * 2 * v.get("L") * v.fullHeat() * (a + b*(1-a))
	}),
	"flux": plain(func(v *values) float64 {
		return v.get("start") + underFlux(v.get("k"), v.get("alpha"), v.get("q"), v.get("x"), v.get("t"))
	}),
	"held": plain(func(v *values) float64 {
		return v.get("surface") + (v.get("start")-v.get("surface"))*math.Erf(v.get("x")/(2*math.Sqrt(v.get("alpha")*v.get("t"))))
	}),
	"pulse": plain(func(v *values) float64 {
		spread := v.get("alpha") * v.get("t")
		return v.get("start") + v.get("pulse")/(v.get("density")*v.get("c")*math.Sqrt(math.Pi*spread))*math.Exp(-square(v.get("x"))/(4*spread))
	}),
	"convected_time": plain(func(v *values) float64 {
		part := (v.get("to") - v.get("start")) / (v.get("fluid") - v.get("start"))
		return bisect(1, 1e5, func(t float64) float64 {
			return underFilm(v.get("k"), v.get("alpha"), v.get("h"), v.get("x"), t) - part
		}, false)
	}),
	"stays_semi_infinite":   plain(func(v *values) float64 { return square(v.get("L")/3.64) / v.get("alpha") }),
	"touch":                 plain(func(v *values) float64 { return v.get("e1") / (v.get("e1") + v.get("e2")) }),
	"bars_heat":             plain((*values).barsHeat),
	"bars_drop":             plain(func(v *values) float64 { return v.barsHeat() / (v.get("hc") * math.Pi / 4 * square(v.get("d"))) }),
	"run_chip":              chipOnPlate,
	"inverse":               plain(func(v *values) float64 { return 1 / v.get("x") }),
	"equivalent":            plain(func(v *values) float64 { return 100 * v.get("k") / v.get("hc") }),
	"plates_flux":           plain((*values).platesFlux),
	"plates_drop":           plain(func(v *values) float64 { return v.platesFlux() * v.get("R") }),
	"vertical":              plain(func(v *values) float64 { return verticalNu(v.get("Gr")*v.get("Pr"), v.get("Pr")) }),
	"vertical_film":         plain(func(v *values) float64 { return v.film(verticalNu(v.get("Ra"), v.get("Pr"))) }),
	"squire_film":           plain(func(v *values) float64 { return v.film(squireNu(v.ra(), v.get("Pr"))) }),
	"laminar_film":          plain(func(v *values) float64 { return v.film(laminarNu(v.get("Ra"), v.get("Pr"))) }),
	"up_film":               plain(func(v *values) float64 { return v.film(upNu(v.get("Ra"))) }),
	"down_film":             plain(func(v *values) float64 { return v.film(downNu(v.get("Ra"))) }),
	"up":                    plain(func(v *values) float64 { return upNu(v.get("Gr") * v.get("Pr")) }),
	"down":                  plain(func(v *values) float64 { return downNu(v.get("Gr") * v.get("Pr")) }),
	"block_film":            plain(func(v *values) float64 { return v.film(blockNu(v.ra())) }),
	"block_heat":            plain(func(v *values) float64 { return v.plateHeat(blockNu(v.ra())) }),
	"plate_heat_vertical":   plain(func(v *values) float64 { return v.plateHeat(verticalNu(v.ra(), v.get("Pr"))) }),
	"plate_heat_up_laminar": plain(func(v *values) float64 { return v.plateHeat(0.54 * math.Pow(v.ra(), 0.25)) }),
	"plate_heat_down":       plain(func(v *values) float64 { return v.plateHeat(downNu(v.ra())) }),
	"radiation": plain(func(v *values) float64 {
		hot, walls := v.get("hot")-absoluteZeroC, v.get("walls")-absoluteZeroC
		return v.get("emissivity") * stefanWM2K4 * v.get("area") * (square(hot*hot) - square(walls*walls))
	}),
	"thermal_x": plain(func(v *values) float64 { // speed in m/min, thickness in mm
		row := material.PartRow{DensityKgM3: v.get("density"), SpecificHeatJKgK: v.get("c"), ConductivityWMK: v.get("k")}
		return ThermalNumber(row, Chip{SpeedMMin: v.get("v"), MeanMM: v.get("h"), ShearAngleRad: v.get("angle")})
	}),
	"boothroyd":         plain(func(v *values) float64 { return Boothroyd(v.get("x")) }),
	"boothroyd_natural": plain(func(v *values) float64 { return BoothroydNatural(v.get("x")) }),
	"weiner":            plain(func(v *values) float64 { return Weiner(v.get("x")) }),
}

func (v *values) coolingLog() float64 {
	return math.Log((v.get("start") - v.get("fluid")) / (v.get("to") - v.get("fluid")))
}

func (v *values) ballTau() float64 {
	return v.get("density") * v.get("c") * v.get("d") / (6 * v.get("h"))
}

func (v *values) circle() float64 { return math.Pi * square(v.get("R")) }

// fullHeat is the heat of a cubic metre over the fluid, in J.
func (v *values) fullHeat() float64 {
	return v.get("density") * v.get("c") * (v.get("start") - v.get("fluid"))
}

func (v *values) barsHeat() float64 {
	area := math.Pi / 4 * square(v.get("d"))
	return v.get("rise") * area / (2*v.get("L")/v.get("k") + 1/v.get("hc"))
}

func (v *values) platesFlux() float64 {
	return v.get("rise") / (2*v.get("L")/v.get("k") + v.get("R"))
}

// radiating runs the model of a ball in a hot gas between hotter walls: its
// steady temperature and the time to 1 K below it.
func radiating(ctx context.Context, v *values) (endC, timeS float64, err error) {
	d := v.get("d") // mm
	fluid := v.get("fluid")
	m := Model{
		AmbientC: fluid, SampleS: 0.01, ToleranceK: 1e-4,
		Part: Part{
			VolumeMM3: math.Pi / 6 * d * d * d, DensityKgM3: v.get("density"), SpecificHeatJKgK: v.get("c"),
			ConductivityWMK: v.get("k"), StartC: v.get("start"),
			Faces: []Face{{AreaMM2: math.Pi * d * d, FilmWM2K: v.get("h"), Emissivity: v.get("emissivity"), WallsAboveK: v.get("walls") - fluid}},
		},
		Stretches: []Stretch{{LastsS: 60}},
	}
	h, err := Run(ctx, m)
	if err != nil {
		return 0, 0, err
	}
	endC = h.Points[len(h.Points)-1].PartC
	for i := 1; i < len(h.Points); i++ {
		a, b := h.Points[i-1], h.Points[i]
		if to := endC - 1; b.PartC >= to {
			return endC, a.TimeS + (b.TimeS-a.TimeS)*(to-a.PartC)/(b.PartC-a.PartC), nil
		}
	}
	return endC, math.NaN(), nil
}

// chipOnPlate runs the model of a thin chip that gives off q on a joint and a
// plate, a film on either side, to its steady temperature. The chip's own heat
// capacity is arbitrary.
func chipOnPlate(ctx context.Context, v *values) (float64, error) {
	const sideMM = 10.0
	m := Model{
		AmbientC: v.get("fluid"),
		Part: Part{
			VolumeMM3: sideMM * sideMM * 0.5, DensityKgM3: 2330, SpecificHeatJKgK: 712, ConductivityWMK: 148, StartC: v.get("fluid"),
			Faces: []Face{{AreaMM2: sideMM * sideMM, FilmWM2K: v.get("h")}},
		},
		Layers: []Layer{{
			Name: "plate", AreaMM2: sideMM * sideMM, ContactWM2K: 1 / v.get("joint"), BackFilmWM2K: v.get("h"),
			Sheets: []Sheet{{ThicknessMM: 1e3 * v.get("L"), DensityKgM3: 2700, SpecificHeatJKgK: 900, ConductivityWMK: v.get("k")}},
		}},
		Stretches: []Stretch{{LastsS: 5000, HeatW: v.get("q") * sideMM * sideMM * mm2}},
	}
	h, err := Run(ctx, m)
	if err != nil {
		return 0, err
	}
	return h.Points[len(h.Points)-1].PartC, nil
}
