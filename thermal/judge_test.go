package thermal

import (
	"context"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"secondop/thermal/material"
)

func polymer(t require.TestingT, name string) material.PolymerRow {
	p, err := material.Polymer(name)
	require.NoError(t, err)
	return p
}

func part(t require.TestingT, name string) material.PartRow {
	p, err := material.Part(name)
	require.NoError(t, err)
	return p
}

func judge(t require.TestingT, r Request) Answer {
	a, err := Judge(context.Background(), r)
	require.NoError(t, err)
	return a
}

// palm is a palm-size 6061 part, 80 x 60 x 20, gripped 11 mm deep in PLA with
// nothing but a printed ledge under it: faced by 0.4 mm at 16 mm³/s and
// engraved. Powers are 1.2 J/mm³ with a third either way.
func palm(t require.TestingT) Request {
	return Request{
		Part: part(t, "6061"), Polymer: polymer(t, "PLA"), AmbientC: 25, Cooling: "none",
		Geometry: Geometry{
			VolumeMM3: 80 * 60 * 20, HeightMM: 20, TopMM2: 4800, FreeMM2: 4800 + 280*9, GripMM2: 280 * 11 * 0.8,
			JawWallMM: 15, SkinMM: 2.7, Infill: 0.4,
		},
		ToolChangeS: 60, SwapS: 120, PressureMPa: 0.5,
		Operations: []Operation{
			{Name: "face", LastsS: 120, RemovesMM3: 1920, PowerW: Band{13, 19, 26}, Chip: Chip{SpeedMMin: 190, MeanMM: 0.03}},
			{Name: "engrave", NewTool: true, LastsS: 300, RemovesMM3: 60, PowerW: Band{0.5, 1, 2}, Chip: Chip{SpeedMMin: 60, MeanMM: 0.01}},
		},
	}
}

// hollowed is the same part with 55 % of it milled out at 22 mm³/s, dry.
func hollowed(t require.TestingT) Request {
	r := palm(t)
	volume := 0.55 * r.Geometry.VolumeMM3
	r.Operations = []Operation{{
		Name: "hollow out", LastsS: volume / 22, RemovesMM3: volume,
		PowerW: Band{18, 26, 36}, Chip: Chip{SpeedMMin: 190, MeanMM: 0.03},
	}}
	return r
}

// Common practice, no source: facing and engraving a palm-size part in PLA
// does no harm; hollowing it out dry softens the jaws within minutes.
func TestFacedAndEngravedIsGoHollowedIsStop(t *testing.T) {
	a := judge(t, palm(t))
	require.Equal(t, Go, a.Verdict, a.Says)
	require.Zero(t, a.Schedule.Stops)
	require.Nil(t, a.CuttingSToLimit.Low)

	a = judge(t, hollowed(t))
	require.Equal(t, Stop, a.Verdict, a.Says)
	require.NotNil(t, a.CuttingSToLimit.Low)
	require.Less(t, *a.CuttingSToLimit.Low, 600.0, "seconds of cutting to the limit, high estimate")
	require.Greater(t, *a.CuttingSToLimit.Low, 60.0, "seconds of cutting to the limit, high estimate")
	require.NotNil(t, a.CuttingSToLimit.Likely)
	require.Greater(t, *a.CuttingSToLimit.Likely, *a.CuttingSToLimit.Low)
	require.Contains(t, a.Says[0], "high estimate")
	require.Contains(t, a.Touch.Says, "ISO 13732-1")
	require.NotNil(t, a.Touch.SafeAfterS)
	require.Positive(t, *a.Touch.SafeAfterS)
}

func TestTheVerdictIsTheHighEstimates(t *testing.T) {
	r := hollowed(t)
	a := judge(t, r)
	share := Band{a.Share.Low, a.Share.Likely, a.Share.Likely}
	r.Share = &share
	b := judge(t, r)
	require.Less(t, b.JawFaceC.High, a.JawFaceC.High, "with the likely share as the highest")
	for _, x := range []Answer{a, b} {
		require.Equal(t, verdictOf(x.JawFaceC.High, x.Limits), x.Verdict)
		require.LessOrEqual(t, x.JawFaceC.Low, x.JawFaceC.Likely)
		require.LessOrEqual(t, x.JawFaceC.Likely, x.JawFaceC.High)
	}
}

// A small 6061 part on 9 cm² of metal: the seat carries the heat away, and
// costs nothing. Common practice, no source.
func TestAMetalSeatRanksFirst(t *testing.T) {
	r := palm(t)
	r.Geometry = Geometry{
		VolumeMM3: 908 * 20, HeightMM: 20, TopMM2: 908, FreeMM2: 908 + 107*8, GripMM2: 107 * 10 * 0.7,
		JawWallMM: 15, SkinMM: 2.7, Infill: 0.4, Seat: "print", SeatMM2: 700,
	}
	r.Operations = []Operation{{Name: "pocket", LastsS: 180, RemovesMM3: 900, PowerW: Band{4, 6, 8}, Chip: Chip{SpeedMMin: 190, MeanMM: 0.02}}}
	a := judge(t, r)
	require.NotEqual(t, Go, a.Verdict)
	best := a.Alternatives[0]
	require.Equal(t, "seat", best.Kind, "best of %v", a.Alternatives[:3])
	require.Equal(t, Go, best.Verdict)
	for i := 1; i < len(a.Alternatives); i++ {
		require.LessOrEqual(t, verdictRank[a.Alternatives[i-1].Verdict], verdictRank[a.Alternatives[i].Verdict], "ranking of %v", a.Alternatives)
	}
}

func TestAlternativesCoverEveryPolymerCoolingAndSeat(t *testing.T) {
	a := judge(t, hollowed(t))
	count := map[string]int{}
	for _, x := range a.Alternatives {
		count[x.Kind]++
		if x.Kind == "cooling" {
			require.Equal(t, x.Cooling == "mist" || x.Cooling == "flood" || x.Cooling == "brushed lubricant", x.FrictionWet, x.Cooling)
		}
	}
	require.Equal(t, map[string]int{"seat": 3, "cooling": 4, "rate": 1, "polymer": len(material.Polymers()) - 1}, count)
	r := hollowed(t)
	r.Polymer = polymer(t, "ABS")
	for _, x := range judge(t, r).Alternatives {
		if x.Cooling == "flood" {
			require.Contains(t, x.Says, "crazes", "a coolant that harms the polymer is said")
		}
	}
}

// Flood cools more than mist, mist more than air, air more than none.
func TestMoreFilmIsColder(t *testing.T) {
	face := math.Inf(1)
	for _, kind := range []string{"none", "spindle wind", "air blast", "mist", "flood"} {
		r := hollowed(t)
		r.Cooling = kind
		got := judge(t, r).JawFaceC.High
		require.Less(t, got, face, kind)
		face = got
	}
}

// Under a film openings cool; in still air the plastic that they replace would
// have taken up more heat than the air does.
func TestOpeningsCoolUnderAFilm(t *testing.T) {
	for kind, cooler := range map[string]bool{"flood": true, "none": false} {
		r := hollowed(t)
		r.Cooling = kind
		closed := judge(t, r)
		require.Empty(t, closed.Openings)
		r.Geometry.GripMM2 -= 800
		r.Geometry.OpeningMM2 = 800
		open := judge(t, r)
		require.Equal(t, cooler, open.JawFaceC.High < closed.JawFaceC.High, "%s: face %.1f °C with openings, %.1f °C without", kind, open.JawFaceC.High, closed.JawFaceC.High)
		require.NotEmpty(t, open.Openings)
	}
}

func TestSeriesIsFineEnoughToDraw(t *testing.T) {
	a := judge(t, hollowed(t))
	for i := 1; i < len(a.Series); i++ {
		require.LessOrEqual(t, a.Series[i].TimeS-a.Series[i-1].TimeS, 10.0+1e-9, "seconds between points")
	}
	end := a.Series[len(a.Series)-1]
	require.InDelta(t, 0.55*96000/22, end.TimeS, 10.1)
	require.Less(t, end.DeepC.High, end.JawFaceC.High, "2 mm deep is colder than the face")
	require.LessOrEqual(t, a.Balance.RelativeError, 1e-6)
}

// A part of stainless steel under flood is not of one temperature.
func TestAHighBiotNumberIsSaid(t *testing.T) {
	r := palm(t)
	r.Part = part(t, "304")
	r.Cooling = "flood"
	r.Geometry.HeightMM = 20
	a := judge(t, r)
	require.Greater(t, a.Biot, lumpedBiot)
	require.Contains(t, strings.Join(a.Says, "; "), "Biot")
	require.Positive(t, a.DropK)
}

func TestBadRequestsAreNamed(t *testing.T) {
	for field, spoil := range map[string]func(*Request){
		"ambient temperature":                   func(r *Request) { r.AmbientC = -274 },
		"operation 1 (face): duration":          func(r *Request) { r.Operations[0].LastsS = -5 },
		"operation 2 (engrave): removed volume": func(r *Request) { r.Operations[1].RemovesMM3 = 96000 },
		"operation 1 (face): power":             func(r *Request) { r.Operations[0].PowerW.High = math.NaN() },
		"operation 1 (face): heat":              func(r *Request) { r.Operations[0].HeatW = -1 },
		"number of operations":                  func(r *Request) { r.Operations = nil },
		"batch":                                 func(r *Request) { r.Batch = -1 },
		"infill":                                func(r *Request) { r.Geometry.Infill = 1.2 },
		"seat area":                             func(r *Request) { r.Geometry.Seat = "plate" },
		"gripped area":                          func(r *Request) { r.Geometry.GripMM2 = 0 },
		"share of the cutting power":            func(r *Request) { r.Share = &Band{0.5, 0.4, 0.6} },
		"contact pressure":                      func(r *Request) { r.PressureMPa = math.NaN() },
		"tool change time":                      func(r *Request) { r.ToolChangeS = -1 },
	} {
		r := palm(t)
		spoil(&r)
		_, err := Judge(context.Background(), r)
		var input *InputError
		require.ErrorAs(t, err, &input, field)
		require.Equal(t, field, input.Field)
		if n, quantity, ok := strings.Cut(field, ": "); ok {
			require.Equal(t, quantity, input.Quantity)
			require.Contains(t, n, strconv.Itoa(input.Operation))
		}
	}
	for name, spoil := range map[string]func(*Request){
		"flod":    func(r *Request) { r.Cooling = "flod" },
		"granite": func(r *Request) { r.Geometry.Seat, r.Geometry.SeatMM2 = "granite", 100 },
	} {
		r := palm(t)
		spoil(&r)
		_, err := Judge(context.Background(), r)
		var unknown *material.UnknownError
		require.ErrorAs(t, err, &unknown, name)
		require.NotEmpty(t, unknown.Near)
		require.ErrorContains(t, err, name)
	}
}

// anyJob draws a job from the whole range of small parts, dry.
func anyJob(rng *rand.Rand) Request {
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	parts, polymers := material.Parts(), material.Polymers()
	side, depth, height := between(15, 100), between(15, 80), between(6, 40)
	grip := height * between(0.2, 0.7)
	around := 2 * (side + depth)
	g := Geometry{
		VolumeMM3: side * depth * height * between(0.4, 1), HeightMM: height, TopMM2: side * depth,
		FreeMM2: side*depth + around*(height-grip), GripMM2: around * grip * between(0.3, 1),
		JawWallMM: between(4, 30), SkinMM: between(0.8, 4), Infill: between(0.1, 1),
	}
	g.Seat = []string{"", "table", "parallels", "plate", "print"}[rng.IntN(5)]
	if g.Seat != "" {
		g.SeatMM2 = side * depth * between(0.1, 0.9)
	}
	r := Request{
		Part: parts[rng.IntN(len(parts))], Polymer: polymers[rng.IntN(len(polymers))], AmbientC: between(10, 38),
		Cooling: []string{"none", "brushed lubricant"}[rng.IntN(2)], Geometry: g, ToolChangeS: between(0, 90), SwapS: between(0, 200),
		Batch: 1 + rng.IntN(3), PressureMPa: between(0, 3),
	}
	left := g.VolumeMM3
	for range 1 + rng.IntN(4) {
		removes := left * between(0, 0.3)
		left -= removes
		likely := math.Exp(between(math.Log(0.5), math.Log(60)))
		r.Operations = append(r.Operations, Operation{
			Name: "op", NewTool: rng.IntN(2) == 0, LastsS: between(5, 500), RemovesMM3: removes,
			PowerW: Band{0.7 * likely, likely, 1.3 * likely}, Chip: Chip{SpeedMMin: between(30, 400), MeanMM: between(0.005, 0.1)},
		})
	}
	return r
}

// hottestFace is a second program for the hot end: share 0.6, still air, by
// explicit steps with the part, equal cells of plastic and the seat as one
// node, no contact resistance at the jaws. It shares nothing with the model.
func hottestFace(r Request) float64 {
	const share, film, dt, cells = 0.6, 4.0, 0.02, 12
	g := r.Geometry
	perMM3 := r.Part.DensityKgM3 * r.Part.SpecificHeatJKgK * 1e-9
	p := r.Polymer
	dx := g.JawWallMM / cells * 1e-3
	area := g.GripMM2 * 1e-6
	jaw := make([]float64, cells)
	seat, capacitySeat, toSeat, fromSeat := 0.0, 1.0, 0.0, 0.0
	if g.Seat == "table" || g.Seat == "parallels" || g.Seat == "plate" {
		a := g.SeatMM2 * 1e-6
		toSeat = 600 * a
		fromSeat = 2000 * a
		if g.Seat == "parallels" {
			fromSeat = 600 * a
		}
		capacitySeat = 2700 * 896 * a * 0.010
	}
	u, hottest := 0.0, 0.0
	volume := g.VolumeMM3
	step := func(heatW, removeMM3 float64) {
		flow := heatW - film*(g.FreeMM2)*1e-6*u - toSeat*(u-seat)
		in := p.ConductivityWMK * area * (u - jaw[0]) / (dx / 2)
		flow -= in
		for i := range jaw {
			skin := g.SkinMM >= (float64(i)+0.5)*g.JawWallMM/cells
			density := p.DensityKgM3
			if !skin {
				density *= g.Infill
			}
			out := 0.0
			if i+1 < cells {
				out = p.ConductivityWMK * area * (jaw[i] - jaw[i+1]) / dx
			}
			jaw[i] += dt * (in - out) / (density * p.SpecificHeatJKgK * area * dx)
			in = out
		}
		seat += dt * (toSeat*(u-seat) - fromSeat*seat) / capacitySeat
		u += dt * flow / (perMM3 * volume)
		volume -= removeMM3
		hottest = max(hottest, u)
	}
	for n := range max(1, r.Batch) {
		if n > 0 {
			for t := 0.0; t < r.SwapS; t += dt {
				step(0, 0)
			}
			u, volume = 0, g.VolumeMM3
		}
		for _, o := range r.Operations {
			if o.NewTool {
				for t := 0.0; t < r.ToolChangeS; t += dt {
					step(0, 0)
				}
			}
			steps := math.Ceil(o.LastsS / dt)
			for range int(steps) {
				step(share*o.PowerW.High*o.LastsS/(steps*dt), o.RemovesMM3/steps)
			}
		}
	}
	return r.AmbientC + hottest
}

// No false go: at the hot end of the band no job that is called go passes the
// limit, by the second program. Explicit steps with full conductivity of
// infilled plastic differ from the model by a few kelvin at most, well within
// the 10 K and more between go and stop.
func TestNoFalseGo(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 1))
	goes, worst := 0, math.Inf(1)
	for n := range 500 {
		r := anyJob(rng)
		limits, err := r.Polymer.LimitsAt(r.PressureMPa)
		require.NoError(t, err)
		hot, err := r.highRun(context.Background())
		require.NoError(t, err)
		if verdictOf(hot.faceC, limits) != Go {
			continue
		}
		goes++
		got := hottestFace(r)
		worst = min(worst, limits.StopC-got)
		if !(got < limits.StopC) {
			t.Errorf("job %d is go at %.1f °C, but the second program reaches %.1f °C, limit %.1f °C: %+v", n, hot.faceC, got, limits.StopC, r)
		}
	}
	require.Greater(t, goes, 50, "jobs called go")
	require.Less(t, goes, 450, "jobs called go")
	t.Logf("%d of 500 jobs are go; the nearest stays %.1f K under its limit", goes, worst)
}

func TestHeatGivenDirectlyHasNoBand(t *testing.T) {
	r := palm(t)
	r.Operations = []Operation{{Name: "known heat", LastsS: 300, HeatW: 12}}
	a := judge(t, r)
	require.Equal(t, Band{}, a.Share)
	rapid.Check(t, func(t *rapid.T) {
		watts := rapid.Float64Range(0.1, 40).Draw(t, "heat")
		q := r
		q.Operations = []Operation{{Name: "known heat", LastsS: 300, HeatW: watts}}
		m, err := q.model(high)
		require.NoError(t, err)
		require.Equal(t, watts, m.Stretches[0].HeatW)
	})
}

func BenchmarkJudge(b *testing.B) {
	r := hollowed(b)
	for b.Loop() {
		judge(b, r)
	}
}

// A job may give the power of a cut and nothing else.
func TestPowerWithoutAChipHasTheWholeBand(t *testing.T) {
	r := palm(t)
	r.Operations = []Operation{{Name: "power", LastsS: 100, PowerW: Band{60, 60, 60}}}
	a := judge(t, r)
	require.Equal(t, unknownChip, a.Share)
	r.Operations[0].Chip.SpeedMMin = 100
	_, err := Judge(context.Background(), r)
	require.ErrorContains(t, err, "mean chip thickness")
}

// A batch is run until the jaws settle; a part more changes nothing.
func TestALongBatchSettles(t *testing.T) {
	r := palm(t)
	r.Batch = 1000
	settled := judge(t, r)
	require.Less(t, settled.PartsRun, 60, "parts run")
	r.Batch = 1
	one := judge(t, r)
	require.Equal(t, 1, one.PartsRun)
	m, err := r.model(high)
	require.NoError(t, err)
	cycle := m.Stretches
	for range 150 {
		m.Stretches = append(m.Stretches, Stretch{Name: swapName, LastsS: r.SwapS, FilmWM2K: stillAirWM2K.Low})
		again := append([]Stretch{}, cycle...)
		again[0].FreshPart = true
		m.Stretches = append(m.Stretches, again...)
	}
	whole, err := follow(context.Background(), &m, math.Inf(1), 0)
	require.NoError(t, err)
	require.InDelta(t, whole.faceC, settled.JawFaceC.High, 0.01, "face of 150 parts in °C")
	require.Greater(t, settled.JawFaceC.High, one.JawFaceC.High, "warm jaws")
}

// Shop judgement, no source: a closed cabinet is 8 K warmer.
func TestAClosedCabinetIsWarmer(t *testing.T) {
	require.InDelta(t, 33, ShopC(25, true), 1e-12)
	require.InDelta(t, 25, ShopC(25, false), 1e-12)
}

// With the shop at the limit everything is stop, from the first second.
func TestTheShopAtTheLimitIsStop(t *testing.T) {
	r := palm(t)
	r.AmbientC = r.Polymer.StopC
	a := judge(t, r)
	require.Equal(t, Stop, a.Verdict)
	require.Zero(t, *a.CuttingSToLimit.Low)
	require.Contains(t, a.Says[0], "which the shop has already")
}
