package thermal

import (
	"context"
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// block is a 6061 block 60 x 40 x 20 between two PLA jaws 60 x 12 x 10 on its
// long sides, 20 W over its top, film 10 on all free faces.
func block() Model {
	jaw := Layer{
		Name: "jaw", AreaMM2: 600, ContactWM2K: 500,
		Sheets:       []Sheet{{ThicknessMM: 12, DensityKgM3: 1240, SpecificHeatJKgK: 1800, ConductivityWMK: 0.13}},
		BackFilmWM2K: 2000, SideMM: 140, SideFilmWM2K: 10,
	}
	return Model{
		AmbientC: 20,
		Part: Part{
			VolumeMM3: 60 * 40 * 20, DensityKgM3: 2700, SpecificHeatJKgK: 896, ConductivityWMK: 167, StartC: 20,
			Faces:     []Face{{Name: "free", AreaMM2: 7600, FilmWM2K: 10}},
			HeatedMM2: 2400, ThicknessMM: 20,
		},
		Layers:    []Layer{jaw, jaw},
		Stretches: []Stretch{{Name: "heat", LastsS: 300, HeatW: 20}},
	}
}

func run(t require.TestingT, m Model) History {
	h, err := Run(context.Background(), m)
	require.NoError(t, err)
	return h
}

func last(h History) Point { return h.Points[len(h.Points)-1] }

// Source: CalculiX 2.20, 4320 hexahedra, half model, 0.5 s steps.
func TestBlockAgainstFiniteElements(t *testing.T) {
	f, err := os.Open("testdata/block_fem.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	m := block()
	m.SampleS, m.DepthsMM = 60, []float64{2, 6, 12}
	h := run(t, m)
	require.Len(t, h.Points, len(rows))
	for i, row := range rows[1:] {
		var v [7]float64
		for j, cell := range row {
			v[j], err = strconv.ParseFloat(cell, 64)
			require.NoError(t, err)
		}
		p := h.Points[i+1]
		require.InDelta(t, v[0], p.TimeS, 1e-9)
		mean := v[2] + (v[1]-v[2])/3
		rise := mean - 20
		check := func(what string, got, want, part float64) {
			if math.Abs(got-want) > part {
				t.Errorf("%s at %g s = %.3f °C, want %.3f °C within %.3f K", what, v[0], got, want, part)
			}
		}
		check("part", p.PartC, mean, 0.01*rise)
		check("jaw skin", p.Layers[0].FaceC, v[3], 0.02*(v[3]-20))
		check("2 mm deep", p.Layers[0].AtC[0], v[4], 0.05*rise)
		check("6 mm deep", p.Layers[0].AtC[1], v[5], 0.05*rise)
		check("back", p.Layers[0].AtC[2], v[6], 0.05*rise)
		// The lumped and one-dimensional prediction that stands beside the
		// finite elements.
		check("top of the part", p.PartC+p.HotK, v[1], 0.01*rise)
	}
	require.InDelta(t, 0.06, h.Balance.LayersJ/6000, 0.02, "about 6 %% goes into the jaws")
	require.InDelta(t, 0.09, h.Balance.LossJ/6000, 0.02, "about 9 %% into the air")
}

// bare is a part of 100 J/K with 0.1 W/K of film and no layers.
func bare() Model {
	return Model{
		AmbientC: 20,
		Part: Part{
			VolumeMM3: 1e5 / 2.7, DensityKgM3: 2700, SpecificHeatJKgK: 1000, ConductivityWMK: 167, StartC: 20,
			Faces: []Face{{AreaMM2: 1e4, FilmWM2K: 10}},
		},
		Stretches: []Stretch{{LastsS: 1800, HeatW: 5}},
	}
}

// T = T∞ + P/(hA)·(1 - e^(-t/τ)), τ = 1000 s. Source: Incropera, section 5.2.
func TestConstantPowerOnALumpedPart(t *testing.T) {
	m := bare()
	m.SampleS = 100
	for _, p := range run(t, m).Points {
		require.InDelta(t, 20+50*(1-math.Exp(-p.TimeS/1000)), p.PartC, 0.002, "part at %g s in °C", p.TimeS)
	}
}

// A part that loses metal: ΔT = Qt/(C0-C1)·ln(C0/C1), without losses.
func TestAdiabaticRiseOfAShrinkingPart(t *testing.T) {
	m := bare()
	m.Part.Faces = nil
	m.Stretches[0].RemovesMM3 = 0.6 * m.Part.VolumeMM3
	p := last(run(t, m))
	require.InDelta(t, 20+5*1800/60.0*math.Log(100/40.0), p.PartC, 0.005, "part in °C")
}

// half is a half space of copper under a part that has next to no heat of its
// own.
func half(k, alpha float64) Model {
	return Model{
		AmbientC: 20, DepthsMM: []float64{0, 25, 150}, Cells: 200,
		Part: Part{VolumeMM3: 0.01, DensityKgM3: 1000, SpecificHeatJKgK: 1000, ConductivityWMK: 400, StartC: 20},
		Layers: []Layer{{
			Name: "half space", AreaMM2: 1e6, ContactWM2K: math.Inf(1),
			Sheets: []Sheet{{ThicknessMM: 1000, DensityKgM3: k / alpha / 1000, SpecificHeatJKgK: 1000, ConductivityWMK: k}},
		}},
		Stretches: []Stretch{{LastsS: 120}},
	}
}

// Source: Incropera 5.10c (H5), Holman 4.2 (H7): 2q√(αt/π)/k·e^… - qx/k·erfc….
func TestHalfSpaceUnderAFlux(t *testing.T) {
	m := half(401, 117e-6)
	m.Stretches[0].HeatW = 3e5
	p := last(run(t, m)).Layers[0]
	require.InDelta(t, 120.03, p.FaceC, 0.1, "surface in °C")
	require.InDelta(t, 45.41, p.AtC[2], 0.05, "150 mm deep in °C")

	m = half(45, 1.4e-5)
	m.AmbientC, m.Part.StartC = 35, 35
	m.Stretches[0] = Stretch{LastsS: 30, HeatW: 3.2e5}
	p = last(run(t, m)).Layers[0]
	require.InDelta(t, 199.44, p.FaceC, 0.16, "surface in °C")
	require.InDelta(t, 79.31, p.AtC[1], 0.08, "25 mm deep in °C")
}

// Source: Holman 4.2 (H7): a surface held at 250 °C, here by a part with
// boundless heat.
func TestHalfSpaceHeldAtItsFace(t *testing.T) {
	m := half(45, 1.4e-5)
	m.AmbientC, m.Part.StartC, m.Part.VolumeMM3 = 35, 250, 1e15
	m.Stretches[0].LastsS = 30
	require.InDelta(t, 118.50, last(run(t, m)).Layers[0].AtC[1], 0.12, "25 mm deep in °C")
}

// T_i = (e1·T1 + e2·T2)/(e1 + e2), e = √(kρc). Source: Incropera, section 5.7.
func TestTwoHalfSpacesTouching(t *testing.T) {
	m := half(167, 6.9e-5)
	plastic := half(0.13, 5.8e-8).Layers[0]
	plastic.Sheets[0].ThicknessMM = 30
	m.Layers[0].StartAboveK = 60
	m.Layers = append(m.Layers, plastic)
	m.Stretches[0].LastsS = 10
	e1, e2 := 167/math.Sqrt(6.9e-5), 0.13/math.Sqrt(5.8e-8)
	require.InDelta(t, 20+60*e1/(e1+e2), last(run(t, m)).PartC, 0.06, "where they touch in °C")
}

// wall is Incropera 5.4 (H4): a wall with a film on its face, insulated behind.
func wallModel(cells int) Model {
	return Model{
		AmbientC: 60, Cells: cells, DepthsMM: []float64{40}, ToleranceK: 1e-6,
		Part: Part{
			VolumeMM3: 0.01, DensityKgM3: 1000, SpecificHeatJKgK: 1000, ConductivityWMK: 64, StartC: -20,
			Faces: []Face{{AreaMM2: 1e6, FilmWM2K: 500}},
		},
		Layers: []Layer{{
			Name: "wall", AreaMM2: 1e6, ContactWM2K: math.Inf(1), StartAboveK: -80,
			Sheets: []Sheet{{ThicknessMM: 40, DensityKgM3: 63.9 / 18.8e-6 / 434, SpecificHeatJKgK: 434, ConductivityWMK: 63.9}},
		}},
		Stretches: []Stretch{{LastsS: 480}},
	}
}

func TestPlaneWall(t *testing.T) {
	p := last(run(t, wallModel(60))).Layers[0]
	require.InDelta(t, 45.36, p.FaceC, 0.045, "exposed face in °C")
	require.InDelta(t, 43.02, p.AtC[0], 0.043, "insulated face in °C")
}

// Halving the cells must cut the error by four (exponent 2.0 ± 0.15).
func TestOrderInSpace(t *testing.T) {
	exact := slab{63.9, 18.8e-6, 0.04, 500}
	errAt := func(cells int) float64 {
		return last(run(t, wallModel(cells))).Layers[0].FaceC - (60 - 80*exact.theta(0.04, 480))
	}
	coarse, fine := errAt(10), errAt(20)
	order := math.Log2(math.Abs(coarse / fine))
	require.InDelta(t, 2, order, 0.15, "order in space from errors %.3g and %.3g K", coarse, fine)
	finer := errAt(40)
	require.InDelta(t, 2, math.Log2(math.Abs(fine/finer)), 0.15, "order in space from errors %.3g and %.3g K", fine, finer)
}

// Halving the step must cut the error by four (exponent 2.0 ± 0.15), with
// radiation, metal leaving and jaws.
func TestOrderInTime(t *testing.T) {
	at := func(step float64) float64 {
		m := block()
		m.fixedStepS = step
		m.Part.Faces[0].Emissivity = 0.8
		m.Stretches[0].RemovesMM3 = 20000
		return last(run(t, m)).PartC
	}
	exact := at(0.05)
	a, b, c := at(10)-exact, at(5)-exact, at(2.5)-exact
	require.InDelta(t, 2, math.Log2(math.Abs(a/b)), 0.15, "order in time from errors %.3g and %.3g K", a, b)
	require.InDelta(t, 2, math.Log2(math.Abs(b/c)), 0.15, "order in time from errors %.3g and %.3g K", b, c)
}

func TestHalfAnHourIsGoodToAHundredth(t *testing.T) {
	m := halfHour()
	coarse := run(t, m)
	m.ToleranceK = 1e-7
	fine := run(t, m)
	require.InDelta(t, last(fine).PartC, last(coarse).PartC, 0.01, "part in °C")
	require.InDelta(t, last(fine).Layers[0].FaceC, last(coarse).Layers[0].FaceC, 0.01, "face in °C")
	m.Cells = 240
	cells := run(t, m)
	require.InDelta(t, last(cells).Layers[0].FaceC, last(coarse).Layers[0].FaceC, 0.05, "face with eight times the cells in °C")
}

// A sample inside a step agrees with a run that ends there.
func TestSamplesBetweenSteps(t *testing.T) {
	m := block()
	m.SampleS, m.DepthsMM = 7, []float64{1}
	for _, p := range run(t, m).Points[1:] {
		short := block()
		short.DepthsMM = m.DepthsMM
		short.Stretches[0].LastsS = p.TimeS
		want := last(run(t, short))
		require.InDelta(t, want.PartC, p.PartC, 0.005, "part at %g s in °C", p.TimeS)
		require.InDelta(t, want.Layers[0].FaceC, p.Layers[0].FaceC, 0.02, "face at %g s in °C", p.TimeS)
		require.InDelta(t, want.Layers[0].AtC[0], p.Layers[0].AtC[0], 0.02, "1 mm deep at %g s in °C", p.TimeS)
	}
}

// anyModel draws a model with everything in it.
func anyModel(t *rapid.T) Model {
	f := func(name string, a, b float64) float64 { return rapid.Float64Range(a, b).Draw(t, name) }
	m := block()
	m.AmbientC = f("ambient", -10, 40)
	m.Part.StartC = m.AmbientC + f("start above", -20, 30)
	m.Part.Faces = append(m.Part.Faces, Face{Name: "cooled", AreaMM2: f("cooled", 0, 5000), Cooled: true, Emissivity: f("emissivity", 0, 1), WallsAboveK: f("walls", -20, 20)})
	m.Layers[0].ContactWM2K = f("contact", 1, 1e5)
	m.Layers[1].ContactWM2K = math.Inf(1)
	m.Layers[1].BackAboveK = f("back", -10, 10)
	m.Layers[1].StartAboveK = f("layer start", -10, 30)
	m.Layers[1].Sheets = append(m.Layers[1].Sheets, Sheet{ThicknessMM: f("second sheet", 1, 20), DensityKgM3: 7800, SpecificHeatJKgK: 480, ConductivityWMK: 50})
	left := m.Part.VolumeMM3
	m.Stretches = nil
	for i := range rapid.IntRange(1, 4).Draw(t, "stretches") {
		s := Stretch{Name: "s", LastsS: f("lasts", 1, 600), HeatW: f("heat", 0, 60), FilmWM2K: f("film", 0, 1000), FluidAboveK: f("fluid", -15, 5)}
		if i > 0 && rapid.Bool().Draw(t, "fresh") {
			s.FreshPart, left = true, m.Part.VolumeMM3
		}
		s.RemovesMM3 = f("removed", 0, 0.8) * left
		left -= s.RemovesMM3
		m.Stretches = append(m.Stretches, s)
	}
	return m
}

// ΣCΔT + losses + chips + parts carried away = heat in, to 1e-6. The stored
// heat is read off the final temperatures, the flows off the steps.
func TestEnergyBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyModel(t)
		h := run(t, m)
		if h.Balance.RelativeError > 1e-6 {
			t.Fatalf("balance %+v is out by %g, want 1e-6", h.Balance, h.Balance.RelativeError)
		}
		in := 0.0
		for _, s := range m.Stretches {
			in += s.HeatW * s.LastsS
		}
		require.InDelta(t, in, h.Balance.InJ, 1e-9*(1+in))
	})
}

func TestWithoutHeatNothingChanges(t *testing.T) {
	m := block()
	m.Stretches[0].HeatW, m.Stretches[0].RemovesMM3 = 0, 10000
	m.Part.Faces[0].Emissivity = 0.5
	p := last(run(t, m))
	require.InDelta(t, 20, p.PartC, 1e-9)
	require.InDelta(t, 20, p.Layers[0].FaceC, 1e-9)
}

func TestLongerIsHotterAndLooserIsColderAndSmallerIsHotter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := block()
		m.Stretches[0].LastsS = rapid.Float64Range(5, 1500).Draw(t, "lasts")
		m.Layers[0].ContactWM2K = rapid.Float64Range(50, 5000).Draw(t, "contact")
		base := last(run(t, m))

		longer := m
		longer.Stretches = []Stretch{m.Stretches[0]}
		longer.Stretches[0].LastsS *= 1.2
		require.Greater(t, last(run(t, longer)).PartC, base.PartC, "20 %% longer, part in °C")

		looser := m
		looser.Layers = append([]Layer{}, m.Layers...)
		looser.Layers[0].ContactWM2K /= 1.5
		require.Less(t, last(run(t, looser)).Layers[0].FaceC, base.Layers[0].FaceC, "a thicker contact, face in °C")

		smaller := m
		smaller.Stretches = []Stretch{m.Stretches[0]}
		smaller.Stretches[0].RemovesMM3 = rapid.Float64Range(1000, 45000).Draw(t, "removed")
		require.Greater(t, last(run(t, smaller)).PartC, base.PartC, "less of the part left, part in °C")
	})
}

func TestAWarmJawHeatsTheNextPartMore(t *testing.T) {
	m := block()
	m.Stretches = append(m.Stretches, Stretch{Name: "second", LastsS: 300, HeatW: 20, FreshPart: true})
	h := run(t, m)
	require.Greater(t, h.Points[2].Layers[0].FaceC, h.Points[1].Layers[0].FaceC, "face in °C")
	require.Greater(t, h.Points[2].PartC, h.Points[1].PartC+0.5, "second part in °C")
	require.Less(t, h.Points[2].PartC, h.Points[1].PartC+5, "second part in °C")
}

func TestInternalDropAndBiot(t *testing.T) {
	h := run(t, block())
	// q·L/(3k): 20 W over 24 cm² on 20 mm of 6061.
	require.InDelta(t, 20/0.0024*0.020/(3*167), h.Points[0].HotK, 1e-9)
	// h·V/(A·k) = 10·48e-6/(7600e-6·167).
	require.InDelta(t, 10*48e-6/(7600e-6*167), h.Biot, 1e-9)
}

// A plate under a flux with its other side insulated settles to q·L/(3k)
// between the face and the mean; before that it is less.
// Source: Carslaw and Jaeger, section 3.8.
func TestTheInternalDropIsTheLargest(t *testing.T) {
	m := half(15, 4e-6) // stainless steel, 20 mm
	m.Layers[0].Sheets[0].ThicknessMM = 20
	const flux, area, depth = 8000.0, 1.0, 0.020
	m.Stretches[0] = Stretch{LastsS: 400, HeatW: flux * area}
	m.SampleS = 5
	capacity := 15 / 4e-6 * depth
	for _, p := range run(t, m).Points {
		drop := p.PartC - (20 + flux*p.TimeS/capacity)
		require.LessOrEqual(t, drop, flux*depth/(3*15)*1.002, "drop at %g s in K", p.TimeS)
		if p.TimeS > 100 {
			require.InDelta(t, flux*depth/(3*15), drop, 0.02, "drop at %g s in K", p.TimeS)
		}
	}
}

func TestBadModelsAreNamed(t *testing.T) {
	for field, spoil := range map[string]func(*Model){
		"ambient temperature":                 func(m *Model) { m.AmbientC = -300 },
		"part start temperature":              func(m *Model) { m.Part.StartC = math.NaN() },
		"part volume":                         func(m *Model) { m.Part.VolumeMM3 = 0 },
		"part density":                        func(m *Model) { m.Part.DensityKgM3 = math.Inf(1) },
		"free area":                           func(m *Model) { m.Part.Faces[0].AreaMM2 = -1 },
		"free emissivity":                     func(m *Model) { m.Part.Faces[0].Emissivity = 1.1 },
		"jaw contact conductance":             func(m *Model) { m.Layers[0].ContactWM2K = math.NaN() },
		"jaw thickness":                       func(m *Model) { m.Layers[0].Sheets[0].ThicknessMM = 0 },
		"jaw number of sheets":                func(m *Model) { m.Layers[0].Sheets = nil },
		"number of stretches":                 func(m *Model) { m.Stretches = nil },
		"stretch 1 (heat): duration":          func(m *Model) { m.Stretches[0].LastsS = -1 },
		"stretch 1 (heat): heat":              func(m *Model) { m.Stretches[0].HeatW = math.NaN() },
		"stretch 1 (heat): removed volume":    func(m *Model) { m.Stretches[0].RemovesMM3 = 48000 },
		"stretch 1 (heat): fluid temperature": func(m *Model) { m.Stretches[0].FluidAboveK = -400 },
		"sample time":                         func(m *Model) { m.SampleS = -1 },
		"depth":                               func(m *Model) { m.DepthsMM = []float64{math.NaN()} },
		"number of cells":                     func(m *Model) { m.Cells = -1 },
	} {
		m := block()
		spoil(&m)
		_, err := Run(context.Background(), m)
		var input *InputError
		require.ErrorAs(t, err, &input, field)
		require.Equal(t, field, input.Field)
	}
}

func TestARunawayIsAnError(t *testing.T) {
	m := bare()
	m.Part.Faces = nil
	m.Stretches[0].HeatW = 1e8
	_, err := Run(context.Background(), m)
	var input *InputError
	require.ErrorAs(t, err, &input)
	require.Equal(t, "part temperature", input.Field)
}

func TestRunStopsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := Run(ctx, block())
	require.ErrorIs(t, err, context.Canceled)
}

// The closed form must not overflow where plastic jaws are: h√(αt)/k of 32.
func TestFilmOnAHalfSpaceDoesNotOverflow(t *testing.T) {
	got := underFilm(0.13, 5.8e-8, 1000, 0, 300)
	require.InDelta(t, 1-1/(32.09*math.Sqrt(math.Pi)), got, 1e-4)
	require.InDelta(t, erfcx(19.999999), erfcx(20.000001), 1e-8)
}

// Jaw skin over time for a part held at ΔT, k 0.13, α 5.8e-8.
// Source: the half-space formula with a film, calculated.
func TestSkinOfAJawAgainstTheHalfSpace(t *testing.T) {
	for _, h := range []float64{300, 500, 1000, 3000} {
		m := half(0.13, 5.8e-8)
		m.Part.VolumeMM3, m.Part.StartC = 1e15, 120
		m.Layers[0].ContactWM2K = h
		m.Layers[0].Sheets[0].ThicknessMM = 30
		m.DepthsMM, m.Cells = []float64{2}, 60
		for _, s := range []float64{1, 10, 60, 300} {
			m.Stretches[0].LastsS = s
			p := last(run(t, m)).Layers[0]
			require.InDelta(t, underFilm(0.13, 5.8e-8, h, 0, s), (p.FaceC-20)/100, 0.004, "skin at %g s with %g W/m²K", s, h)
			require.InDelta(t, underFilm(0.13, 5.8e-8, h, 0.002, s), (p.AtC[0]-20)/100, 0.004, "2 mm at %g s with %g W/m²K", s, h)
		}
	}
}

// halfHour is thirty minutes of cutting with two jaws.
func halfHour() Model {
	m := block()
	m.Stretches = []Stretch{
		{Name: "face", LastsS: 300, HeatW: 8, RemovesMM3: 2000},
		{Name: "change", LastsS: 60},
		{Name: "pocket", LastsS: 1200, HeatW: 6, RemovesMM3: 15000},
		{Name: "change", LastsS: 60},
		{Name: "engrave", LastsS: 180, HeatW: 1},
	}
	return m
}

func BenchmarkHalfAnHour(b *testing.B) {
	m := halfHour()
	m.SampleS, m.DepthsMM = 10, []float64{2}
	steps := 0
	for b.Loop() {
		steps = run(b, m).Steps
	}
	b.ReportMetric(float64(steps), "steps")
}
