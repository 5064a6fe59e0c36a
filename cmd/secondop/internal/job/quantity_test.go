package job

import (
	"fmt"
	"math"
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Factors from NIST SP 811 (2008), appendix B.8, to its digits; exact ones in
// full.
func TestUnitsAreThoseOfTheStandard(t *testing.T) {
	for _, c := range []struct {
		kind *kind
		text string
		want float64
	}{
		{length, "1 in", 25.4},
		{length, "1 ft", 304.8},
		{length, "1 1/2 in", 38.1},
		{length, "1-1/2in", 38.1},
		{length, "1/4\"", 6.35},
		{length, "3 thou", 0.0762},
		{length, "5 tenths", 0.0127},
		{length, "1.5 cm", 15},
		{length, "0.01 m", 10},
		{length, "7 µm", 0.007},
		{length, "7 um", 0.007},
		{length, "-.5", -0.5},
		{length, "5.", 5},
		{length, "−3 mm", -3},
		{length, "12\u00a0mm", 12},
		{feed, "30 in/min", 762},
		{feed, "30 ipm", 762},
		{feed, "10 mm/s", 600},
		{force, "100 lbf", 444.82216152605},
		{force, "12 kg", 117.6798},
		{force, "1.2 kN", 1200},
		{temperature, "72 F", 22.0 + 2.0/9},
		{temperature, "72 °F", 22.0 + 2.0/9},
		{temperature, "-40 F", -40},
		{temperature, "22 °C", 22},
		{temperature, "295.15 K", 22},
		{power, "1 hp", 745.69987158227022},
		{duration, "4 min", 240},
		{duration, "2 h", 7200},
		{angle, "90 deg", math.Pi / 2},
		{angle, "90°", math.Pi / 2},
		{percent, "40 %", 0.4},
		{percent, "40%", 0.4},
		{volume, "1 in3", 16387.064},
		{volume, "2 cm^3", 2000},
		{volume, "3 mm³", 3},
		{film, "8 W/(m²·K)", 8},
		{torq, "18 in-lbs", 2.0337269224971},
		{torq, "2 N·m", 2},
		{torq, "1 ft lbf", 1.3558179483314},
		{density, "1.24 g/cm3", 1240},
		{stress, "1 ksi", 6.894757293168},
		{roughness, "125 uin", 3.175},
		{fine, "5 um", 0.005},
		{speed, "1800 1/min", 1800},
	} {
		got, bad := c.kind.parse(c.text, false)
		require.Nil(t, bad, c.text)
		require.InEpsilon(t, c.want, got, 1e-12, "parse(%q) = %v, want %v", c.text, got, c.want)
	}
}

func TestBareNumbersAreForLengthAndFeed(t *testing.T) {
	for _, k := range kinds {
		_, bad := k.parse("12", false)
		if k == length || k == feed {
			require.Nil(t, bad, k.name)
			continue
		}
		require.NotNil(t, bad, k.name)
		require.Contains(t, bad.Says, "has no unit")
		_, again := k.parse(strings.SplitN(strings.TrimPrefix(bad.Help, "write "), " or ", 2)[0], false)
		require.Nil(t, again, "%s: the help %q doesn't read", k.name, bad.Help)
	}
	inch, _ := length.parse("12", true)
	require.Equal(t, 304.8, inch)
}

// Every example that a message shows must read, and so must every unit's name.
func TestEveryExampleReads(t *testing.T) {
	for _, k := range kinds {
		for _, example := range strings.Split(k.example, " or ") {
			_, bad := k.parse(example, false)
			require.Nil(t, bad, example)
		}
		for _, unit := range k.units {
			for _, spelled := range append([]string{unit.name, strings.ToUpper(unit.name)}, unit.also...) {
				_, bad := k.parse("3 "+spelled, false)
				require.Nil(t, bad, "%s: 3 %s", k.name, spelled)
			}
		}
	}
}

func TestNumbersThatReadTwoWaysAreRefused(t *testing.T) {
	for text, help := range map[string]string{
		"12,5": "12.5", ",5": "0.5", "12,5 mm": "12.5", "1,250": "1250", "012": "12", "00.5": "0.5", "-012": "-12", "007 mm": "7 mm",
		"1_000": "1000", "1e3": "1000", "2.5E-1 in": "0.25 in", "0x1F": "", "0o17": "", "0b101": "", ".nan": "", ".NaN": "", "nan": "",
		".inf": "", "-.inf": "", "inf": "", "infinity": "", "": "", "--3": "", "+-3": "", "3 3": "", "1/2/3": "", "1 1 1/2 in": "", "3mm mm": "",
		"12 mm 3": "", "~": "", "null": "", "true": "", "1.2.3": "", "½ in": "", "１２": "",
	} {
		_, bad := length.parse(text, false)
		require.NotNil(t, bad, "%q was read", text)
		require.Contains(t, bad.Help, help, text)
	}
}

func TestATolerance(t *testing.T) {
	for _, c := range []struct {
		text string
		inch bool
		want Tolerance
	}{
		{"10", false, Tolerance{10, 0, 0, false}},
		{"10 ±0.05", false, Tolerance{10, 0.05, -0.05, true}},
		{"10 ± 0.05", false, Tolerance{10, 0.05, -0.05, true}},
		{"10 +-0.05", false, Tolerance{10, 0.05, -0.05, true}},
		{"10 +/- 0.05", false, Tolerance{10, 0.05, -0.05, true}},
		{"10 +0.00/-0.02", false, Tolerance{10, 0, -0.02, true}},
		{"10 +0.00 / -0.02", false, Tolerance{10, 0, -0.02, true}},
		{"10 +0/-0.02 mm", false, Tolerance{10, 0, -0.02, true}},
		{"6 +0.012/+0.004", false, Tolerance{6, 0.012, 0.004, true}},
		{"6 -0.004/-0.012", false, Tolerance{6, -0.004, -0.012, true}},
		{"6 +0.012 +0.004", false, Tolerance{6, 0.012, 0.004, true}},
		{"10 mm ±50 um", true, Tolerance{10, 0.05, -0.05, true}},
		{"10 mm ±0.05", true, Tolerance{10, 0.05, -0.05, true}},
		{"1/4 in ±0.0005", false, Tolerance{6.35, 0.0127, -0.0127, true}},
		{"0.25 ±5 tenths", true, Tolerance{6.35, 0.0127, -0.0127, true}},
		{"0.25 +0.0002/-0.0000 in", true, Tolerance{6.35, 0.00508, 0, true}},
		{"1-1/2 in +0.001/-0", false, Tolerance{38.1, 0.0254, 0, true}},
	} {
		got, err := ParseTolerance(c.text, c.inch)
		require.NoError(t, err, c.text)
		require.InDelta(t, c.want.SizeMM, got.SizeMM, 1e-12, c.text)
		require.InDelta(t, c.want.UpperMM, got.UpperMM, 1e-12, c.text)
		require.InDelta(t, c.want.LowerMM, got.LowerMM, 1e-12, c.text)
		require.Equal(t, c.want.Given, got.Given, c.text)
	}
	for _, text := range []string{"10 ±", "10 ±-0.05", "10 ±0.05 ±0.1", "10 +0.05", "10 -0.02/+0.00", "10 ±0,05", "±0.05", "10 +0.1/-x", "10 h7", "10 ±0.05 kg", "10 ±0.05 in"} {
		_, err := ParseTolerance(text, false)
		require.Error(t, err, text)
	}
}

// A length in inches and the same in millimetres, written as decimals, are the
// same number to the last bit.
func TestInchesAndMillimetresAgreeToTheLastBit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.Int64Range(-1_000_000, 1_000_000).Draw(t, "ten-thousandths of an inch")
		inches := big.NewRat(n, 10_000)
		mm := new(big.Rat).Mul(inches, big.NewRat(254, 10))
		a, bad := length.parse(inches.FloatString(4)+" in", false)
		b, badB := length.parse(mm.FloatString(6), false)
		c, badC := length.parse(inches.FloatString(4), true)
		if bad != nil || badB != nil || badC != nil {
			t.Fatalf("%s in is not read: %v %v %v", inches.FloatString(4), bad, badB, badC)
		}
		if a != b || a != c {
			t.Fatalf("%s in = %v mm, in an inch file %v mm, %s mm = %v mm", inches.FloatString(4), a, c, mm.FloatString(6), b)
		}
	})
}

// What the formatter prints reads back as the same value, to its digits.
func TestWhatIsPrintedReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mm := rapid.Float64Range(-1000, 1000).Draw(t, "mm")
		for _, u := range []Units{{false}, {true}} {
			for text, doubt := range map[string]float64{u.Length(mm): 0.0013, u.Size(mm): 0.0013, u.Coarse(mm): 0.13, u.Small(mm): 0.00013} {
				back, err := ParseLength(text, !u.Inch)
				if err != nil || math.Abs(back-mm) > doubt {
					t.Fatalf("%v mm prints as %q, which reads as %v mm (%v)", mm, text, back, err)
				}
			}
			c := rapid.Float64Range(-50, 300).Draw(t, "C")
			back, err := ParseTemperature(u.Temperature(c))
			if err != nil || math.Abs(back-c) > 0.51 {
				t.Fatalf("%v C prints as %q, which reads as %v C (%v)", c, u.Temperature(c), back, err)
			}
		}
	})
}

// Fractions add up: n/d in is n times 1/d in.
func TestFractions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := rapid.Int64Range(0, 20).Draw(t, "whole")
		d := rapid.SampledFrom([]int64{2, 4, 8, 16, 32, 64, 3, 10}).Draw(t, "under")
		n := rapid.Int64Range(0, 2*d).Draw(t, "over")
		want, _ := new(big.Rat).Mul(new(big.Rat).Add(big.NewRat(whole, 1), big.NewRat(n, d)), big.NewRat(254, 10)).Float64()
		got, bad := length.parse(fmt.Sprintf("%d %d/%d in", whole, n, d), false)
		if bad != nil || got != want {
			t.Fatalf("%d %d/%d in = %v mm, want %v mm (%v)", whole, n, d, got, want, bad)
		}
	})
}

func FuzzQuantity(f *testing.F) {
	for _, s := range []string{"12", "12 mm", "1 1/2 in", "3 thou", "12,5", "012", "10 ±0.05", "10 +0.00/-0.02", "450 N", "72 °F", "1e9", "0x10", ".nan", "½", "10 +- 0.05 in", "1/0", "−3", "18 in-lbs", "+", "10 ±", "5 %"} {
		f.Add(s, true)
		f.Add(s, false)
	}
	f.Fuzz(func(t *testing.T, s string, inch bool) {
		for _, k := range kinds {
			v, bad := k.parse(s, inch)
			if bad == nil && (math.IsNaN(v) || math.IsInf(v, 0)) {
				t.Errorf("parse(%q) as %s = %v", s, k.name, v)
			}
			if bad != nil && bad.Says == "" {
				t.Errorf("parse(%q) as %s is refused without a word", s, k.name)
			}
		}
		tol, err := ParseTolerance(s, inch)
		if err == nil && !(tol.UpperMM >= tol.LowerMM) {
			t.Errorf("ParseTolerance(%q) = %+v, upside down", s, tol)
		}
		if strings.ContainsAny(s, ",_xX") && err == nil {
			t.Errorf("ParseTolerance(%q) was read", s)
		}
	})
}
