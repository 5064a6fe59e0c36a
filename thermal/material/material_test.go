package material

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestNamesAreFoundAsAMakerTypesThem(t *testing.T) {
	for typed, want := range map[string]string{
		"aluminium 6061-T6": "aluminium 6061-T6", "6061": "aluminium 6061-T6", "aluminum 6061-T6": "aluminium 6061-T6",
		" 6061 t6": "aluminium 6061-T6", "brass C360": "brass C360", "CZ121": "brass C360", "Ti64": "titanium Ti-6Al-4V",
		"304 stainless": "", "aluminium": "", "POM": "acetal copolymer", "mild steel": "steel 1018",
	} {
		got, err := Part(typed)
		if want == "" {
			var unknown *UnknownError
			require.ErrorAs(t, err, &unknown, "Part(%q)", typed)
			continue
		}
		require.NoError(t, err, "Part(%q)", typed)
		require.Equal(t, want, got.Name, "Part(%q)", typed)
	}
	for typed, want := range map[string]string{"pla": "PLA", "PLA+": "PLA", "Silk PLA": "PLA", "nylon CF": "PA12-CF15", "HT-PLA": "PLA annealed"} {
		got, err := Polymer(typed)
		require.NoError(t, err, "Polymer(%q)", typed)
		require.Equal(t, want, got.Name, "Polymer(%q)", typed)
	}
	for typed, want := range map[string]string{"NdFeB": "sintered NdFeB", "disc magnet": "sintered NdFeB", "ferrite": "hard ferrite", "dowel pin": "hardened steel", "bronze": "cast bronze"} {
		got, err := Insert(typed)
		require.NoError(t, err, "Insert(%q)", typed)
		require.Equal(t, want, got.Name, "Insert(%q)", typed)
	}
}

func TestAnUnknownNameListsTheNearOnes(t *testing.T) {
	for _, c := range []struct {
		look func(string) error
		name string
		near string
	}{
		{func(n string) error { _, err := Part(n); return err }, "6016", "aluminium 6061-T6"},
		{func(n string) error { _, err := Part(n); return err }, "aluminium", "aluminium 6061-T6"},
		{func(n string) error { _, err := Part(n); return err }, "stainles 304", "stainless 304"},
		{func(n string) error { _, err := Polymer(n); return err }, "PTEG", "PETG"},
		{func(n string) error { _, err := Insert(n); return err }, "neodynium", "sintered NdFeB"},
	} {
		err := c.look(c.name)
		var unknown *UnknownError
		require.True(t, errors.As(err, &unknown), "lookup of %q: %v", c.name, err)
		require.Contains(t, unknown.Near, c.near, "near names of %q", c.name)
		require.LessOrEqual(t, len(unknown.Near), nearest, "near names of %q", c.name)
		require.Contains(t, err.Error(), c.near)
	}
	_, err := Polymer("xyzzy")
	require.ErrorContains(t, err, "PLA", "with nothing near, all are listed")
	_, err = Polymer("TPU 95A")
	var soft *SoftError
	require.ErrorAs(t, err, &soft)
	require.ErrorContains(t, err, "use PLA, PETG or ABS")
}

// Bounds that hold for every solid of the kind; they catch a slipped decimal.
func TestRowsAreOfTheRightOrder(t *testing.T) {
	in := func(name, what string, v, low, high float64) {
		t.Helper()
		if !(v >= low && v <= high) {
			t.Errorf("%s: %s = %g, want %g to %g", name, what, v, low, high)
		}
	}
	for _, p := range Parts() {
		in(p.Name, "density", p.DensityKgM3, 1300, 9000)
		in(p.Name, "heat per volume in MJ/(m³K)", p.DensityKgM3*p.SpecificHeatJKgK/1e6, 1.9, 4.1)
		in(p.Name, "conductivity", p.ConductivityWMK, 0.2, 400)
		in(p.Name, "modulus", p.YoungMPa, 2500, 210e3)
		in(p.Name, "poisson", p.Poisson, 0.28, 0.36)
		in(p.Name, "yield", p.YieldMPa, 50, 900)
		in(p.Name, "expansion", p.ExpansionPerK, 8e-6, 120e-6)
		require.NotEmpty(t, p.Source, p.Name)
		_, err := KcOf(p.KcGroup)
		require.NoError(t, err, p.Name)
	}
	for _, p := range Polymers() {
		in(p.Name, "density", p.DensityKgM3, 900, 1450)
		in(p.Name, "specific heat", p.SpecificHeatJKgK, 1000, 2100)
		in(p.Name, "conductivity", p.ConductivityWMK, 0.1, 0.5)
		in(p.Name, "method A", p.Deflection180C, 50, p.Deflection045C)
		in(p.Name, "strength Z", p.StrengthZMPa, 0.35*p.StrengthXYMPa, p.StrengthXYMPa)
		in(p.Name, "stop", p.StopC, p.CautionC, p.Deflection180C)
		in(p.Name, "caution", p.CautionC, p.GoC, p.Deflection180C-cautionMarginK+3)
		in(p.Name, "go", p.GoC, 30, p.Deflection180C-10)
		require.NotEmpty(t, p.Source, p.Name)
	}
	for _, p := range Inserts() {
		in(p.Name, "heat per volume in MJ/(m³K)", p.DensityKgM3*p.SpecificHeatJKgK/1e6, 2.3, 4.1)
		in(p.Name, "modulus", p.YoungMPa, 40e3, 210e3)
		require.NotEmpty(t, p.Source, p.Name)
		if p.Magnet {
			in(p.Name, "working temperature", p.WorkingC, 60, 350)
			in(p.Name, "tensile strength", p.TensileMPa, 20, 100)
		}
	}
}

// Working limits of the first table in every row's note: PLA 37/47/52,
// PETG 50/60/65, ABS 70/80/85, ASA 80/90/95, PC 115/125/130, PA12 40/48/55.
func TestWorkingLimits(t *testing.T) {
	for name, want := range map[string][3]float64{
		"PLA": {37, 47, 52}, "PETG": {50, 60, 65}, "ASA": {80, 90, 95}, "PC": {115, 125, 130}, "PA12": {40, 48, 55},
	} {
		p, err := Polymer(name)
		require.NoError(t, err)
		l, err := p.LimitsAt(1)
		require.NoError(t, err)
		require.Equal(t, want, [3]float64{l.GoC, l.CautionC, l.StopC}, name)
	}
}

func TestLimitsFallWithPressureOnly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.SampledFrom(Polymers()).Draw(t, "polymer")
		low := rapid.Float64Range(0, 30).Draw(t, "low")
		high := rapid.Float64Range(low, 30).Draw(t, "high")
		a, err := p.LimitsAt(low)
		require.NoError(t, err)
		b, err := p.LimitsAt(high)
		require.NoError(t, err)
		require.LessOrEqual(t, b.StopC, a.StopC)
		require.LessOrEqual(t, a.StopC, p.StopC)
		require.LessOrEqual(t, a.GoC, a.CautionC)
		require.LessOrEqual(t, a.CautionC, a.StopC)
	})
	for _, bad := range []float64{-1, math.NaN(), math.Inf(1)} {
		_, err := Polymers()[0].LimitsAt(bad)
		require.Error(t, err, "LimitsAt(%g)", bad)
	}
}

// The line through the ISO 75 points: at four times method A's load the limit
// falls by as much again as from B to A.
func TestLimitAtFourTimesMethodA(t *testing.T) {
	p, err := Polymer("PLA")
	require.NoError(t, err)
	l, err := p.LimitsAt(7.2)
	require.NoError(t, err)
	require.InDelta(t, 52-(56-52), l.StopC, 1e-9)
}

// Source: ISO 75 criterion, 0.2 % strain at 1.8 and 0.45 MPa: 900 and 225 MPa.
func TestModulusPassesThroughTheISO75Points(t *testing.T) {
	for _, p := range Polymers() {
		require.InDelta(t, p.YoungMPa, p.YoungAtMPa(23), 1e-9, p.Name)
		require.InDelta(t, min(900, p.YoungMPa), p.YoungAtMPa(p.Deflection180C), 1e-6, p.Name)
		require.InDelta(t, 225, p.YoungAtMPa(max(p.Deflection045C, p.Deflection180C+1)), 1e-6, p.Name)
		require.Zero(t, p.YoungAtMPa(p.Deflection045C+20), p.Name)
		last := math.Inf(1)
		for c := -20.0; c < 300; c += 0.5 {
			e := p.YoungAtMPa(c)
			require.LessOrEqual(t, e, last, "%s at %g °C", p.Name, c)
			last = e
		}
	}
}

// Source: orodian.com suffix table; N50 to N55 and thin discs 60 °C.
func TestMagnetGrades(t *testing.T) {
	for grade, want := range map[string]float64{"": 80, "N42": 80, "42": 80, "n45sh": 150, "N52": 60, "N48H": 120, "N38EH": 200, "N40UH": 180, "N42M": 100} {
		got, err := MagnetWorkingC(grade, 1)
		require.NoError(t, err, grade)
		require.Equal(t, want, got, "MagnetWorkingC(%q, 1) in °C", grade)
	}
	thin, err := MagnetWorkingC("N42", 0.3)
	require.NoError(t, err)
	require.Equal(t, 60.0, thin, "MagnetWorkingC(N42, 0.3) in °C")
	for _, bad := range []string{"N42XX", "grade 5", "N4", "H"} {
		_, err := MagnetWorkingC(bad, 1)
		require.Error(t, err, bad)
	}
	_, err = MagnetWorkingC("N42", math.NaN())
	require.Error(t, err)
	for i, g := range Grades()[1:] {
		require.Greater(t, g.WorkingC, Grades()[i].WorkingC, g.Suffix)
	}
}

func TestOwnPolymerFollowsTheTablesRule(t *testing.T) {
	row, err := Own(PolymerRow{Name: "mine", Amorphous: true, GlassTransitionC: 77, Deflection045C: 74, Deflection180C: 65, DensityKgM3: 1270, SpecificHeatJKgK: 1250, ConductivityWMK: 0.2, YoungMPa: 2100})
	require.NoError(t, err)
	require.Equal(t, [3]float64{50, 60, 65}, [3]float64{row.GoC, row.CautionC, row.StopC})
	noA, err := Own(PolymerRow{Name: "mine", Deflection045C: 90, DensityKgM3: 1270, SpecificHeatJKgK: 1250, ConductivityWMK: 0.2, YoungMPa: 2100})
	require.NoError(t, err)
	require.Equal(t, 75.0, noA.StopC)
	_, err = Own(PolymerRow{Name: "mine", Deflection045C: 90, DensityKgM3: math.NaN(), SpecificHeatJKgK: 1250, ConductivityWMK: 0.2, YoungMPa: 2100})
	require.ErrorContains(t, err, "density")
	_, err = Own(PolymerRow{Name: "mine", Deflection045C: 60, Deflection180C: 70, DensityKgM3: 1270, SpecificHeatJKgK: 1250, ConductivityWMK: 0.2, YoungMPa: 2100})
	require.ErrorContains(t, err, "1.8 MPa")
}

// The strengths of an own polymer that its data sheet leaves out are no better
// than those of any row with the same strength in the layers.
func TestOwnPolymersStrengthsAreNoBetterThanAnyRows(t *testing.T) {
	for _, p := range Polymers() {
		own, err := Own(PolymerRow{
			Name: "mine", Deflection045C: p.Deflection045C, Deflection180C: p.Deflection180C, StrengthXYMPa: p.StrengthXYMPa,
			DensityKgM3: p.DensityKgM3, SpecificHeatJKgK: p.SpecificHeatJKgK, ConductivityWMK: p.ConductivityWMK, YoungMPa: p.YoungMPa,
		})
		require.NoError(t, err)
		for _, s := range []struct {
			what     string
			own, row float64
		}{
			{"across the layers", own.StrengthZMPa, p.StrengthZMPa},
			{"compressive", own.CompressiveMPa, p.CompressiveMPa},
			{"under a bolt head", own.BearingMPa, p.BearingMPa},
		} {
			require.Positivef(t, s.own, "%s strength of a polymer like %s", s.what, p.Name)
			require.LessOrEqualf(t, s.own, s.row*(1+1e-12), "%s strength of a polymer like %s", s.what, p.Name)
		}
	}
}

func TestListsAreCopies(t *testing.T) {
	Parts()[0].Name = "spoiled"
	Polymers()[0].Name = "spoiled"
	Inserts()[0].Name = "spoiled"
	require.False(t, slices.ContainsFunc(Parts(), func(p PartRow) bool { return strings.Contains(p.Name, "spoiled") }))
	require.Equal(t, "PLA", Polymers()[0].Name)
	require.NotEqual(t, "spoiled", Inserts()[0].Name)
}
