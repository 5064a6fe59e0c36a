package fits

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// must looks a size up that the test knows to exist.
func must(t testing.TB, sizeMM float64, class string) Fit {
	t.Helper()
	f, err := Limits(sizeMM, class)
	if err != nil {
		t.Fatalf("Limits(%g, %s) = %v, want limits", sizeMM, class, err)
	}
	return f
}

func TestPublishedValues(t *testing.T) {
	cases, err := CheckCases()
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]int{}
	for _, c := range cases {
		if !c.Agrees() {
			t.Errorf("%s = got %g %s, want %g %s (±%g; %s)", c.What, c.Ours, c.Unit, c.Published, c.Unit, c.Tolerance, c.Source)
		}
		if !c.FromMemory {
			seen[c.Unit]++
		}
	}
	t.Logf("published values: %d metric, %d inch", seen["µm"], seen["thou"])
	if seen["µm"] < 500 || seen["thou"] < 200 {
		t.Errorf("published values seen in a source: got %d metric and %d inch, want at least 500 and 200", seen["µm"], seen["thou"])
	}
}

// IT7 for each range of ISO 286-1, typed from fits tables independent of the
// embedded ones (makers' reproductions of DIN ISO 286).
func TestSizesOnTheEdgeOfARangeBelongBelow(t *testing.T) {
	edges := []float64{0, 3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500}
	it7 := []float64{10, 12, 15, 18, 21, 25, 30, 35, 40, 46, 52, 57, 63}
	for i, want := range it7 {
		for _, size := range []float64{edges[i] + 0.001, (edges[i] + edges[i+1]) / 2, edges[i+1]} {
			if got := must(t, size, "H7").Hole.UpperUM; got != want {
				t.Errorf("Limits(%g, H7) upper = got %g µm, want %g µm", size, got, want)
			}
		}
	}
}

func TestEdgesNamedInTheStandard(t *testing.T) {
	for _, c := range []struct {
		size         float64
		class        string
		upper, lower float64
	}{
		{10.000, "P7", -9, -24}, {10.001, "P7", -11, -29}, // Δ changes with the range
		{3.000, "N7", -4, -14}, {3.001, "N7", -4, -16}, // no Δ to 3 mm
		{3.000, "N9", -4, -29}, {3.001, "N9", 0, -30}, // N above IT8
		{25, "P7", -14, -35},                                                                            // the standard's own printed example of Δ
		{250, "M6", -8, -37}, {250.001, "M6", -9, -41}, {315, "M6", -9, -41}, {315.001, "M6", -10, -46}, // the one exception
		{1, "A11", 0, 0}, {1.001, "A11", 330, 270},
	} {
		f, err := Limits(c.size, c.class)
		if c.upper == 0 && c.lower == 0 {
			if err == nil {
				t.Errorf("Limits(%g, %s) = got limits, want a refusal", c.size, c.class)
			}
			continue
		}
		if err != nil {
			t.Errorf("Limits(%g, %s) = got %v, want %g/%g µm", c.size, c.class, err, c.upper, c.lower)
			continue
		}
		if f.Hole.UpperUM != c.upper || f.Hole.LowerUM != c.lower {
			t.Errorf("Limits(%g, %s) = got %g/%g µm, want %g/%g µm", c.size, c.class, f.Hole.UpperUM, f.Hole.LowerUM, c.upper, c.lower)
		}
	}
}

// A size on an edge that comes from inches must not fall off it by its last bit.
func TestEdgesSurviveInches(t *testing.T) {
	for _, r := range loadInch() {
		for _, size := range []float64{r.to * 25.4, 25.4 * r.to, r.to / 0.03937007874015748} {
			f := must(t, size, r.class)
			if f.Hole.UpperThou != r.holeUpper || f.Shaft.UpperThou != r.shaftUpper || f.Shaft.LowerThou != r.shaftLower {
				t.Errorf("Limits(%g in, %s) = got another row, want that of %g to %g in", r.to, r.class, r.over, r.to)
			}
		}
		f := must(t, (r.over+0.0001)*25.4, r.class)
		if f.Shaft.UpperThou != r.shaftUpper {
			t.Errorf("Limits(%g in, %s) shaft = got %g thou, want %g thou", r.over+0.0001, r.class, f.Shaft.UpperThou, r.shaftUpper)
		}
		if got, want := f.Shaft.UpperUM, r.shaftUpper*25.4; math.Abs(got-want) > 1e-9 {
			t.Errorf("Limits(%g in, %s) shaft = got %g µm, want %g µm", r.over+0.0001, r.class, got, want)
		}
	}
}

// Machinery's Handbook's own example of its table of force fits.
func TestHandbookExampleOfFN2(t *testing.T) {
	f := must(t, 3*25.4, "FN2")
	got := [4]float64{f.Hole.LowerThou, f.Hole.UpperThou, f.Shaft.LowerThou, f.Shaft.UpperThou}
	if want := [4]float64{0, 1.2, 2.2, 2.9}; got != want {
		t.Errorf("Limits(3 in, FN2) = got %v thou, want %v thou", got, want)
	}
}

func TestFactsOfTheTrade(t *testing.T) {
	if f := must(t, 3, "H7/p6"); f.Kind != Transition || f.ClearanceMaxUM != 4 || f.ClearanceMinUM != -12 {
		t.Errorf("Limits(3, H7/p6) = got %s %g to %g µm, want transition -12 to 4 µm", f.Kind, f.ClearanceMinUM, f.ClearanceMaxUM)
	}
	if f := must(t, 10, "H7/p6"); f.Kind != Interference {
		t.Errorf("Limits(10, H7/p6) = got %s, want interference", f.Kind)
	}
	if f := must(t, 3, "H7/r6"); f.ClearanceMaxUM != 0 || f.Kind != Interference {
		t.Errorf("Limits(3, H7/r6) = got %s up to %g µm, want interference up to 0", f.Kind, f.ClearanceMaxUM)
	}
	if f := must(t, 25, "H7/h6"); f.Kind != Clearance {
		t.Errorf("Limits(25, H7/h6) = got %s, want clearance", f.Kind)
	}
	// FN5 has the coarser hole: at its loosest it can be looser than FN4.
	for _, in := range []float64{0.3, 0.5, 1.3} {
		if f4, f5 := must(t, in*25.4, "FN4"), must(t, in*25.4, "FN5"); !(f5.ClearanceMaxUM > f4.ClearanceMaxUM) {
			t.Errorf("at %g in FN5 is tight by %g µm at least, want less than FN4's %g µm", in, -f5.ClearanceMaxUM, -f4.ClearanceMaxUM)
		}
	}
}

// The purpose of Δ: a fit is the same on the hole basis and on the shaft basis,
// H7/p6 and P7/h6. It ties K to ZC to k to zc through Δ, which neither table
// says, so a wrong cell in one of them shows here.
func TestHoleAndShaftBasisGiveTheSameFit(t *testing.T) {
	shown := 0
	for _, b := range loadISO().deviations["ZC"] {
		if b.over < 3 || !b.grades.holds(7) {
			continue
		}
		for _, l := range []string{"K", "M", "N", "P", "R", "S", "T", "U", "V", "X", "Y", "Z", "ZA", "ZB", "ZC"} {
			for _, grade := range []int{6, 7, 8} {
				if l != "K" && l != "M" && l != "N" && grade > 7 {
					continue
				}
				if l == "M" && grade == 6 && b.to > 250 && b.to <= 315 {
					continue // the standard's one exception
				}
				hole := must2(b.to, "H"+gradeText(grade)+"/"+strings.ToLower(l)+gradeText(grade-1))
				shaft := must2(b.to, l+gradeText(grade)+"/h"+gradeText(grade-1))
				if hole == nil || shaft == nil {
					continue // not tabulated at this size
				}
				shown++
				if hole.ClearanceMinUM != shaft.ClearanceMinUM || hole.ClearanceMaxUM != shaft.ClearanceMaxUM {
					t.Errorf("at %g mm %s = got %g to %g µm, want as %s %g to %g µm", b.to, shaft.Class,
						shaft.ClearanceMinUM, shaft.ClearanceMaxUM, hole.Class, hole.ClearanceMinUM, hole.ClearanceMaxUM)
				}
			}
		}
	}
	if shown < 700 {
		t.Errorf("pairs compared: got %d, want at least 700", shown)
	}
}

func must2(size float64, class string) *Fit {
	f, err := Limits(size, class)
	if err != nil {
		return nil
	}
	return &f
}

// Rules that the standard states and the tables were not made from.
func TestRulesOfTheStandard(t *testing.T) {
	iso := loadISO()
	for _, b := range iso.grades {
		for g := 7; g <= 13; g++ {
			if got, want := iso.tolerance(b.to, g+5), 10*iso.tolerance(b.to, g); got != want {
				t.Errorf("IT%d at %g mm = got %g µm, want ten times IT%d, %g µm", g+5, b.to, got, g, want)
			}
		}
		for g := lowestGrade; g < highestGrade; g++ {
			if !(iso.tolerance(b.to, g+1) > iso.tolerance(b.to, g)) {
				t.Errorf("IT%s at %g mm is not above the grade below it", gradeText(g+1), b.to)
			}
		}
		for g := 3; g <= 8; g++ {
			delta, ok := iso.delta(b.to, g)
			if want := iso.tolerance(b.to, g) - iso.tolerance(b.to, g-1); b.to > 3 && (!ok || delta != want) {
				t.Errorf("Δ for IT%d at %g mm = got %g µm, want the step to the grade below, %g µm", g, b.to, delta, want)
			}
		}
	}
	for _, l := range []string{"A", "B", "C", "CD", "D", "E", "EF", "F", "FG", "G", "H"} {
		for _, b := range iso.deviations[l] {
			hole, shaft := must(t, b.to, l+"9").Hole, must(t, b.to, strings.ToLower(l)+"9").Shaft
			if hole.LowerUM != -shaft.UpperUM || hole.UpperUM != -shaft.LowerUM {
				t.Errorf("%s9 at %g mm = got %g/%g µm, want the mirror of the shaft's", l, b.to, hole.UpperUM, hole.LowerUM)
			}
		}
	}
}

// From letter to letter a hole only gets tighter, and from range to range no
// deviation comes nearer to the zero line: what a slip of the pen would break.
func TestDeviationsAreInOrder(t *testing.T) {
	iso := loadISO()
	for _, b := range iso.deviations["ZC"] {
		last, lastLetter := math.Inf(1), ""
		for _, l := range letters {
			f := must2(b.to, l+"7")
			if f == nil {
				continue
			}
			if l == "JS" || l == "J" {
				continue // symmetric and tabulated: neither is between its neighbours
			}
			if !(f.Hole.UpperUM < last) {
				t.Errorf("%s7 at %g mm has upper limit %g µm, want below %s7's %g µm", l, b.to, f.Hole.UpperUM, lastLetter, last)
			}
			last, lastLetter = f.Hole.UpperUM, l
		}
	}
	for _, l := range letters {
		if l == "J" || l == "JS" {
			continue
		}
		last := 0.0
		for _, b := range iso.deviations[strings.ToLower(l)] {
			if l == "K" && !b.grades.holds(6) {
				continue
			}
			if abs(b.um) < last {
				t.Errorf("%s over %g mm = got %g µm, want no less than %g µm of the range below", strings.ToLower(l), b.over, b.um, last)
			}
			last = abs(b.um)
		}
	}
}

func TestRefusals(t *testing.T) {
	for _, c := range []struct {
		size  float64
		class string
		says  string
		near  string
	}{
		{0.8, "A11", "not provided at or below 1 mm", ""},
		{1, "B9", "not provided at or below 1 mm", ""},
		{1, "b9", "not provided at or below 1 mm", ""},
		{1, "N9", "N above IT8 is not used at or below 1 mm", "N8"},
		{0.9, "H14", "IT14 to IT18 are not used at or below 1 mm", "H13"},
		{500.001, "H7", "at most 500 mm", ""},
		{25, "Q7", "the letters are", "P7"},
		{25, "I6", "the letters are", "H6"},
		{25, "o6", "the letters are", "n6"},
		{25, "H19", "the grades are", "H18"},
		{25, "H007", "needs a grade", "H7"},
		{25, "H", "needs a grade", "H7"},
		{25, "7", "must be a letter and a grade", ""},
		{25, "", "must be a letter and a grade", ""},
		{25, "Js7", "mixes capital and small", "JS7"},
		{25, "H7p6", "with a stroke between", "H7/p6"},
		{25, "p6/H7", "the hole's class comes first", "H7/p6"},
		{25, "H7/P6", "must be a shaft's", "H7/p6"},
		{25, "h7/p6", "must be a hole's", "H7/p6"},
		{10, "V6", "not tabulated at sizes this small", "U6"},
		{60, "CD7", "up to 50 mm only", "D7"},
		{10, "K9", "up to 3 mm only", "K8"},
		{10, "J9", "IT6 to IT8 only", "J8"},
		{10, "j8", "IT5 to IT7 only", "j7"},
		{10, "P2", "grades 3 to 8 only", "P3"},
		{20, "FN3", "does not define it at this size", "FN2"},
		{20, "FN6", "no such inch class", "FN5"},
		{20, "FN", "no such inch class", "FN1"},
		{20, "LN4", "no such inch class", "LN3"},
		{20, "RC3", "not in the tables here", "H7/g6"},
		{150, "FN2", "past the end", ""},
		{math.NaN(), "H7", "above 0", ""},
		{math.Inf(1), "H7", "above 0", ""},
		{0, "H7", "above 0", ""},
		{-5, "FN2", "above 0", ""},
	} {
		_, err := Limits(c.size, c.class)
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("Limits(%g, %q) = got %v, want a refusal that says %q", c.size, c.class, err, c.says)
			continue
		}
		var class *ClassError
		if c.near != "" && (!errors.As(err, &class) || !slices.Contains(class.Near, c.near)) {
			t.Errorf("Limits(%g, %q) = got %v, want %s among the near ones", c.size, c.class, err, c.near)
		}
		var size *SizeError
		if c.near == "" && !errors.As(err, &class) && !errors.As(err, &size) {
			t.Errorf("Limits(%g, %q) = got %T, want a typed error", c.size, c.class, err)
		}
	}
}

// Every class that an error names must exist at that size.
func TestNearClassesExist(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size := rapid.Float64Range(0.1, 500).Draw(t, "size")
		class := rapid.StringMatching(`[A-Za-z]{1,2}[0-9]{1,2}(/?[A-Za-z]{1,2}[0-9]{1,2})?`).Draw(t, "class")
		_, err := Limits(size, class)
		var e *ClassError
		if !errors.As(err, &e) {
			return
		}
		for _, near := range e.Near {
			if _, err := Limits(size, near); err != nil {
				t.Fatalf("Limits(%g, %q) names %q, which is refused: %v", size, class, near, err)
			}
		}
	})
}

func TestEveryMemberHasItsGradesWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size := rapid.Float64Range(0.1, 500).Draw(t, "size")
		letter := rapid.SampledFrom(letters).Draw(t, "letter")
		if rapid.Bool().Draw(t, "shaft") {
			letter = strings.ToLower(letter)
		}
		grade := rapid.IntRange(lowestGrade, highestGrade).Draw(t, "grade")
		f, err := Limits(size, letter+gradeText(grade))
		if err != nil {
			return
		}
		m := f.Hole
		if m == nil {
			m = f.Shaft
		}
		if got, want := m.UpperUM-m.LowerUM, loadISO().tolerance(size, grade); math.Abs(got-want) > 1e-9 {
			t.Fatalf("Limits(%g, %s) is %g µm wide, want %g µm", size, m.Class, got, want)
		}
	})
}

// inches to mm and back find the same row and the same thousandths.
func TestInchRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tenths := rapid.IntRange(400, 47000).Draw(t, "ten-thousandths")
		in := float64(tenths) / 10000
		class := rapid.SampledFrom([]string{"FN1", "FN2", "FN4", "LN1", "LN3", "LT1", "LT6"}).Draw(t, "class")
		a, errA := Limits(in*25.4, class)
		b, errB := Limits(a.SizeMM/25.4*25.4, class)
		if errA != nil || errB != nil {
			t.Fatalf("Limits(%g in, %s) = %v, %v", in, class, errA, errB)
		}
		if *a.Hole != *b.Hole || *a.Shaft != *b.Shaft {
			t.Fatalf("Limits(%g in, %s) changes on the way to mm and back", in, class)
		}
		if got := a.Shaft.UpperUM / 25.4; math.Abs(got-a.Shaft.UpperThou) > 1e-9 {
			t.Fatalf("shaft of %s at %g in = got %g thou from µm, want %g thou", class, in, got, a.Shaft.UpperThou)
		}
	})
}

func TestOwnTolerance(t *testing.T) {
	m, err := Own(0.05, -0.05)
	if err != nil || m.UpperUM != 50 || m.LowerUM != -50 || m.Class != "±0.05" {
		t.Errorf("Own(0.05, -0.05) = got %+v, %v, want ±50 µm", m, err)
	}
	hole := must(t, 10, "N9")
	f := Between(10, *hole.Hole, m)
	if f.ClearanceMinUM != -86 || f.ClearanceMaxUM != 50 || f.Kind != Transition {
		t.Errorf("N9 with ±0.05 at 10 mm = got %s %g to %g µm, want transition -86 to 50 µm", f.Kind, f.ClearanceMinUM, f.ClearanceMaxUM)
	}
	for _, c := range [][2]float64{{-0.05, 0.05}, {math.NaN(), 0}, {0, math.NaN()}, {11, 0}, {math.Inf(1), 0}} {
		var e *ToleranceError
		if _, err := Own(c[0], c[1]); !errors.As(err, &e) {
			t.Errorf("Own(%g, %g) = got %v, want a *ToleranceError", c[0], c[1], err)
		}
	}
}

func TestPreferredFitsAreOrderedAndExist(t *testing.T) {
	last := math.Inf(1)
	for i, c := range Preferred() {
		f := must(t, 25, c.Class)
		if i%10 == 0 {
			last = math.Inf(1)
		}
		if !(f.ClearanceMaxUM < last) {
			t.Errorf("preferred fit %s at 25 mm reaches %g µm, want less than the one before, %g µm", c.Class, f.ClearanceMaxUM, last)
		}
		last = f.ClearanceMaxUM
	}
	for _, c := range InchClasses() {
		if c.Use == "" || !(c.OverIn < c.ToIn) {
			t.Errorf("inch class %+v has no use or no sizes", c)
		}
	}
}

func FuzzLimits(f *testing.F) {
	f.Add(25.0, "H7/p6")
	f.Add(12.7, "FN2")
	f.Add(0.5, "js01")
	f.Fuzz(func(t *testing.T, size float64, class string) {
		fit, err := Limits(size, class)
		if err != nil {
			if err.Error() == "" {
				t.Fatal("an error without words")
			}
			return
		}
		if fit.Hole == nil && fit.Shaft == nil {
			t.Fatalf("Limits(%g, %q) = got neither hole nor shaft", size, class)
		}
		for _, m := range []*Member{fit.Hole, fit.Shaft} {
			if m != nil && !(m.UpperUM >= m.LowerUM) {
				t.Fatalf("Limits(%g, %q) = got %g/%g µm", size, class, m.UpperUM, m.LowerUM)
			}
		}
	})
}

func BenchmarkLimits(b *testing.B) {
	for b.Loop() {
		if _, err := Limits(25, "H7/p6"); err != nil {
			b.Fatal(err)
		}
	}
}
