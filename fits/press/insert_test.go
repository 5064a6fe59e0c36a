package press

import (
	"errors"
	"math"
	"strings"
	"testing"

	"secondop/fits"
)

func find(t testing.TB, q Query) Insert {
	t.Helper()
	in, err := Find(q)
	if err != nil {
		t.Fatalf("Find(%+v) = %v", q, err)
	}
	if in.Source == "" || in.MaterialName == "" || in.Name == "" || !(in.RzUM > 0) {
		t.Errorf("Find(%+v) = got %+v, want source, material, name and roughness", q, in)
	}
	return in
}

// checkInsert compares the insert's limits and its usual hole, in mm.
func checkInsert(t *testing.T, q Query, smallest, largest, holeMin, holeMax float64) {
	t.Helper()
	in := find(t, q)
	if math.Abs(in.smallest()-smallest) > 1e-6 || math.Abs(in.largest()-largest) > 1e-6 {
		t.Errorf("%s = got %.5f to %.5f mm, want %.5f to %.5f mm", in.Name, in.smallest(), in.largest(), smallest, largest)
	}
	if math.Abs(in.Hole.MinMM-holeMin) > 1e-6 || math.Abs(in.Hole.MaxMM-holeMax) > 1e-6 {
		t.Errorf("%s hole = got %.5f to %.5f mm, want %.5f to %.5f mm (%s)", in.Name, in.Hole.MinMM, in.Hole.MaxMM, holeMin, holeMax, in.Hole.Source)
	}
}

// Expected limits are typed from the standards' and makers' tables named in the
// catalogue, not computed.
func TestCatalogue(t *testing.T) {
	const in = 25.4
	checkInsert(t, Query{Kind: Dowel, DiameterMM: 6, HeightMM: 12}, 6.004, 6.012, 5.988, 6.000)
	checkInsert(t, Query{Kind: Dowel, Designation: "ISO 2338 m6", DiameterMM: 3, HeightMM: 12}, 3.002, 3.008, 2.988, 2.998)
	checkInsert(t, Query{Kind: Dowel, Designation: "ISO 2338 h8", DiameterMM: 6, HeightMM: 12}, 5.982, 6.000, 5.988, 6.000)
	checkInsert(t, Query{Kind: Dowel, Designation: "1/4", HeightMM: 12}, 0.2501*in, 0.2503*in, 0.2495*in, 0.25*in)
	checkInsert(t, Query{Kind: Dowel, Designation: "1/4 oversize", HeightMM: 12}, 0.2509*in, 0.2511*in, 0.2495*in, 0.25*in)
	checkInsert(t, Query{Kind: Dowel, DiameterMM: 3.175, HeightMM: 12}, 0.1251*in, 0.1253*in, 0.1245*in, 0.125*in)
	checkInsert(t, Query{Kind: Dowel, Designation: "B18.8.5M", DiameterMM: 6, HeightMM: 12}, 6.003, 6.009, 5.987, 6.000)
	checkInsert(t, Query{Kind: Dowel, Designation: "ASME B18.8.5M oversize", DiameterMM: 3, HeightMM: 12}, 3.025, 3.030, 2.987, 3.000)
	checkInsert(t, Query{Kind: DrillBushing, Designation: "5/32", InnerMM: 2, HeightMM: 8}, 0.1575*in, 0.1578*in, 0.1565*in, 0.157*in)
	checkInsert(t, Query{Kind: DrillBushing, DiameterMM: 10, InnerMM: 6, HeightMM: 8}, 10.010, 10.019, 10.000, 10.015)
	checkInsert(t, Query{Kind: Bushing, DiameterMM: 12, InnerMM: 8, HeightMM: 8}, 12.028, 12.039, 12.000, 12.018)
	checkInsert(t, Query{Kind: BallBearing, Designation: "6201-2RS"}, 31.989, 32, 31.989, 32.014)
	checkInsert(t, Query{Kind: BallBearing, Designation: "608ZZ", Load: "indeterminate"}, 21.991, 22, 21.985, 22.006)
	checkInsert(t, Query{Kind: BallBearing, Designation: "608", Load: "rotating"}, 21.991, 22, 21.972, 21.993)
	checkInsert(t, Query{Kind: BallBearing, DiameterMM: 22, InnerMM: 8, HeightMM: 7}, 21.991, 22, 21.991, 22.012)
	checkInsert(t, Query{Kind: ThreadedInsert, Designation: "M2.5", HeightMM: 4}, 3.65, 3.65, 3.15, 3.25)
	checkInsert(t, Query{Kind: ThreadedInsert, Designation: "M3", DiameterMM: 4.2, PilotMM: 4, HeightMM: 4}, 4.2, 4.2, 4.0, 4.1)
	checkInsert(t, Query{Kind: DiscMagnet, DiameterMM: 10, HeightMM: 3, Grade: "N42"}, 9.95, 10.05, 0, 0)
	checkInsert(t, Query{Kind: DiscMagnet, DiameterMM: 15, HeightMM: 3, Grade: "N42"}, 14.92, 15.08, 0, 0)
	checkInsert(t, Query{Kind: DiscMagnet, DiameterMM: 30, HeightMM: 3, Grade: "N42"}, 29.87, 30.13, 0, 0)
	checkInsert(t, Query{Kind: Own, DiameterMM: 8, UpperMM: 0.02, LowerMM: -0.01, ToleranceGiven: true, HeightMM: 3}, 7.99, 8.02, 0, 0)

	// what is measured or given comes before the catalogue, and the hole stays
	// that of the nominal size
	checkInsert(t, Query{Kind: Dowel, DiameterMM: 6.008, Measured: true, HeightMM: 12}, 6.008, 6.008, 5.988, 6.000)
	checkInsert(t, Query{Kind: Dowel, Designation: "1/4", DiameterMM: 6.3552, Measured: true, HeightMM: 12}, 6.3552, 6.3552, 0.2495*in, 0.25*in)
	checkInsert(t, Query{Kind: BallBearing, Designation: "608", DiameterMM: 21.995, Measured: true}, 21.995, 21.995, 21.991, 22.012)
	checkInsert(t, Query{Kind: DiscMagnet, DiameterMM: 10, UpperMM: 0.03, LowerMM: -0.03, ToleranceGiven: true, HeightMM: 3}, 9.97, 10.03, 0, 0)
}

// Every row of ASME B18.8.2 and of ASME B94.33 can be found by its name, and its
// limits make sense of one another.
func TestEveryInchRowIsFound(t *testing.T) {
	for _, r := range readCSV("data/dowel_b18_8_2_inch.csv") {
		in := find(t, Query{Kind: Dowel, Designation: r[0], HeightMM: 10})
		if got := in.smallest() - in.Hole.MaxMM; math.Abs(got-0.0001*25.4) > 1e-6 {
			t.Errorf("%s: least interference = got %.4f mm, want 0.0001 in", in.Name, got)
		}
		if got := in.largest() - in.Hole.MinMM; math.Abs(got-0.0008*25.4) > 1e-6 {
			t.Errorf("%s: greatest interference = got %.4f mm, want 0.0008 in", in.Name, got)
		}
		if r[10] != "" && (math.Abs(in.Hole.MaxMM-number(r[10])*25.4) > 1e-6 || math.Abs(in.Hole.MinMM-number(r[11])*25.4) > 1e-6) {
			t.Errorf("%s: hole = got %.4f to %.4f in, want %s to %s in", in.Name, in.Hole.MinMM/25.4, in.Hole.MaxMM/25.4, r[11], r[10])
		}
	}
	for _, r := range readCSV("data/drill_bushing_b94_33.csv") {
		in := find(t, Query{Kind: DrillBushing, Designation: r[0], InnerMM: 1, HeightMM: 10})
		if math.Abs(in.largest()-number(r[1])*25.4) > 1e-6 || math.Abs(in.smallest()-number(r[2])*25.4) > 1e-6 {
			t.Errorf("%s = got %.4f to %.4f in, want %s to %s in", in.Name, in.smallest()/25.4, in.largest()/25.4, r[2], r[1])
		}
	}
	for _, r := range readCSV("data/bearings.csv") {
		in := find(t, Query{Kind: BallBearing, Designation: r[0]})
		if !(in.InnerMM > number(r[1]) && in.InnerMM < in.DiameterMM) || in.HeightMM != number(r[3]) {
			t.Errorf("%s: ring inside = got %g mm, want between bore and outside", in.Name, in.InnerMM)
		}
	}
}

func TestCatalogueNamesItsSources(t *testing.T) {
	names := map[string]bool{}
	for _, in := range Catalogue() {
		if in.Source == "" || in.Name == "" || names[in.Name] || in.Kind != DiscMagnet && in.Hole.Source == "" {
			t.Errorf("catalogue row %+v has no name of its own or no source", in)
		}
		names[in.Name] = true
		if in.Kind != ThreadedInsert && !(in.UpperMM > in.LowerMM) {
			t.Errorf("%s has no tolerance", in.Name)
		}
	}
	if len(names) < 100 {
		t.Errorf("catalogue rows: got %d, want at least 100", len(names))
	}
}

// The outer ring is the thin ring it is: far softer than a pin of its size.
func TestBearingRingIsThin(t *testing.T) {
	in := find(t, Query{Kind: BallBearing, Designation: "608"})
	j := Joint{DiameterMM: 22, HubOuterMM: 34, InsertInnerMM: in.InnerMM, LengthMM: 7, InterferenceMM: 0.01, Hub: alu, Insert: steel}
	ring := press(t, j)
	j.InsertInnerMM = 0
	if pin := press(t, j); !(ring.PressureMPa < 0.6*pin.PressureMPa) {
		t.Errorf("608's ring presses with %.1f MPa, want well under a pin's %.1f MPa", ring.PressureMPa, pin.PressureMPa)
	}
	if !(ring.InsertClosesMM > 0.003 && ring.InsertClosesMM < 0.010) {
		t.Errorf("608's ring closes by %.4f mm, want most of the 0.010 mm of interference", ring.InsertClosesMM)
	}
}

func TestInsertsThatCannotBeFound(t *testing.T) {
	for what, c := range map[string]struct {
		q    Query
		says string
	}{
		"an unknown kind":                {Query{Kind: "wedge", DiameterMM: 5, HeightMM: 5}, "known are disc magnet, dowel"},
		"a magnet without a size":        {Query{Kind: DiscMagnet, HeightMM: 3}, "needs a diameter"},
		"a magnet without a height":      {Query{Kind: DiscMagnet, DiameterMM: 10}, "needs a height"},
		"a magnet past the trade's":      {Query{Kind: DiscMagnet, DiameterMM: 60, HeightMM: 5}, "above 50 mm"},
		"an unknown pin":                 {Query{Kind: Dowel, Designation: "ABC", DiameterMM: 5, HeightMM: 5}, "known are ISO 8734"},
		"an unknown bearing":             {Query{Kind: BallBearing, Designation: "9999"}, "give diameter, inner diameter"},
		"a bearing like another":         {Query{Kind: BallBearing, Designation: "62019"}, "is unknown"},
		"a bearing's odd load":           {Query{Kind: BallBearing, Designation: "608", Load: "heavy"}, "known are stationary"},
		"a bearing without a bore":       {Query{Kind: BallBearing, DiameterMM: 22, HeightMM: 7}, "needs a designation"},
		"a bearing inside out":           {Query{Kind: BallBearing, DiameterMM: 22, InnerMM: 23, HeightMM: 7}, "must be smaller than its outside"},
		"a bushing without a hole":       {Query{Kind: Bushing, DiameterMM: 10, HeightMM: 5}, "needs its inner diameter"},
		"a bushing inside out":           {Query{Kind: Bushing, DiameterMM: 10, InnerMM: 12, HeightMM: 5}, "must be smaller than the insert"},
		"an unknown drill bushing":       {Query{Kind: DrillBushing, Designation: "7/16", InnerMM: 3, HeightMM: 5}, "known are 5/32"},
		"an insert without its pilot":    {Query{Kind: ThreadedInsert, Designation: "M3", DiameterMM: 4.2, HeightMM: 5}, "must come from its maker"},
		"a pilot larger than the insert": {Query{Kind: ThreadedInsert, DiameterMM: 4.2, PilotMM: 5, HeightMM: 5}, "smaller than the insert's outside"},
		"own, and no tolerance":          {Query{Kind: Own, DiameterMM: 5, HeightMM: 5}, "needs its tolerance"},
		"measured, and no diameter":      {Query{Kind: Dowel, Designation: "1/4", Measured: true, HeightMM: 5}, "needs its measured diameter"},
		"a tolerance upside down":        {Query{Kind: Own, DiameterMM: 5, UpperMM: -0.1, LowerMM: 0.1, ToleranceGiven: true, HeightMM: 5}, "upside down"},
		"a diameter that isn't one":      {Query{Kind: Own, DiameterMM: math.NaN(), Measured: true, HeightMM: 5}, "must be from 0 to 300"},
	} {
		_, err := Find(c.q)
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: Find = got %v, want a refusal that says %q", what, err, c.says)
			continue
		}
		var insert *InsertError
		var number *RangeError
		var tolerance *fits.ToleranceError
		if !errors.As(err, &insert) && !errors.As(err, &number) && !errors.As(err, &tolerance) {
			t.Errorf("%s: Find = got %T, want a typed error", what, err)
		}
	}
}

func TestNominalSizeNextToAMeasuredOne(t *testing.T) {
	for _, c := range []struct{ measured, want float64 }{{9.987, 10}, {10.04, 10}, {6.352, 6.35}, {3.17, 3.175}, {12.69, 12.7}, {5.51, 5.5}, {2.995, 3}} {
		if got := nominalSize(c.measured); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("nominalSize(%g) = got %g mm, want %g mm", c.measured, got, c.want)
		}
	}
}

func TestGrades(t *testing.T) {
	for _, c := range []struct {
		text, material, suffix string
		known                  bool
	}{
		{"N42", "sintered NdFeB", "", true},
		{"n42sh", "sintered NdFeB", "SH", true},
		{"N 52", "sintered NdFeB", "", true},
		{"SmCo", "sintered SmCo 2:17", "", true},
		{"ferrite", "hard ferrite", "", true},
		{"Y30", "hard ferrite", "", true},
		{"C8", "hard ferrite", "", true},
		{"", "sintered NdFeB", "", false},
		{"N99", "sintered NdFeB", "", false},
		{"N42Z", "sintered NdFeB", "", false},
		{"strong", "sintered NdFeB", "", false},
	} {
		g := Grade(c.text)
		if g.Material != c.material || g.Suffix != c.suffix || g.Known != c.known || !(g.RemanenceT > 0.3 && g.RemanenceT < 1.6) || g.Source == "" {
			t.Errorf("Grade(%q) = got %+v, want %s, suffix %q, known %v", c.text, g, c.material, c.suffix, c.known)
		}
	}
	if in := find(t, Query{Kind: DiscMagnet, DiameterMM: 10, HeightMM: 3}); !strings.Contains(strings.Join(in.Doubts, " "), "grade is unknown") {
		t.Errorf("a magnet of no grade = got doubts %q, want to hear that N52 was taken", in.Doubts)
	}
}

// The pull's closed forms at either end, and what makers list in the middle.
func TestPull(t *testing.T) {
	pull := func(d, h, b float64) float64 {
		f, err := Pull(d, h, b)
		if err != nil {
			t.Fatalf("Pull(%g, %g, %g) = %v", d, h, b, err)
		}
		return f
	}
	const mu0 = 4e-7 * math.Pi
	long := 1.3 * 1.3 * math.Pi / 4 * 1e-4 / (2 * mu0)
	near(t, "a long magnet tends to Br²·A/2μ0; pull in N", pull(10, 300, 1.3), long, 1e-3)
	// on the axis the field of the doubled magnet is Br·l/√(l²+1)
	near(t, "field on the axis", midField(0, 0.6), 0.6/math.Hypot(0.6, 1), 1e-9)
	// far out it is that of a dipole, volume 2π·l
	near(t, "field far out", midField(500, 0.6), -0.6/2/math.Pow(500, 3)*1, 1e-4)
	// across the rim it jumps by all of Br
	near(t, "jump at the rim", midField(1-1e-7, 0.6)-midField(1+1e-7, 0.6), 1, 1e-5)
	// no flux comes or goes: what is inside returns outside
	flux := simpson(func(r float64) float64 { return midField(r, 0.6) * r }, 0, 1-1e-9, 400) +
		simpson(func(u float64) float64 { return midField(1/u, 0.6) / (u * u * u) }, 1e-4, 1-1e-9, 4000)
	if math.Abs(flux) > 1e-3 {
		t.Errorf("flux through the middle plane = got %g, want 0", flux)
	}
	near(t, "twice the size, four times the pull", pull(20, 6, 1.3), 4*pull(10, 3, 1.3), 1e-12)
	near(t, "the square of the remanence", pull(10, 3, 1.2), pull(10, 3, 0.6)*4, 1e-12)
	last := 0.0
	for _, h := range []float64{0.5, 1, 2, 3, 5, 10, 20} {
		f := pull(10, h, 1.3)
		if !(f > last && f < long) {
			t.Errorf("pull of 10 × %g = got %g N, want more than the lower magnet's %g N and less than %g N", h, f, last, long)
		}
		last = f
	}
	// makers list 15 to 25 N for 10 × 3 of N42 (common practice, no source)
	if f := pull(10, 3, 1.32); !(f > 15 && f < 26) {
		t.Errorf("pull of 10 × 3 N42 = got %g N, want 15 to 26 N", f)
	}
	for _, bad := range [][3]float64{{0, 3, 1.3}, {10, 0, 1.3}, {10, 3, 2}, {math.NaN(), 3, 1.3}, {10, math.Inf(1), 1.3}} {
		var e *RangeError
		if _, err := Pull(bad[0], bad[1], bad[2]); !errors.As(err, &e) {
			t.Errorf("Pull(%v) = got %v, want a *RangeError", bad, err)
		}
	}
}
