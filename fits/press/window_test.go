package press

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"secondop/fits"
)

// ring is one of two rings for the second formula: radii, material, and what it
// grows with the temperature.
type ring struct {
	inner, outer float64
	m            Material
	riseK        float64
}

// pair solves two rings that are pressed together, from the displacement field
// of each, u = A·r + B/r, with thermal strain, the stress at the free rims zero,
// and at the joint the same stress and the same radius. It shares nothing with
// the closed form: not even the joint's diameter, which differs here for the
// two parts. It returns the pressure, the hub's hoop stress at its bore, and how
// far the two free rims move outward.
func pair(t testing.TB, hub, insert ring) (pressure, hoop, outerMove, innerMove float64) {
	t.Helper()
	stress := func(r ring, rho, sign float64) (a, b, thermal float64) {
		k := r.m.YoungMPa / (1 - r.m.Poisson*r.m.Poisson)
		return k * (1 + r.m.Poisson), sign * k * (1 - r.m.Poisson) / (rho * rho), r.m.YoungMPa * r.m.ExpansionPerK * r.riseK / (1 - r.m.Poisson)
	}
	// unknowns: A and B/scale² of the hub, then of the insert
	s := insert.outer * insert.outer
	m := mat.NewDense(4, 4, nil)
	rhs := mat.NewVecDense(4, nil)
	a, b, th := stress(hub, hub.outer, -1)
	m.SetRow(0, []float64{a, b * s, 0, 0})
	rhs.SetVec(0, th)
	if insert.inner > 0 {
		a, b, th = stress(insert, insert.inner, -1)
		m.SetRow(1, []float64{0, 0, a, b * s})
		rhs.SetVec(1, th)
	} else {
		m.SetRow(1, []float64{0, 0, 0, 1})
	}
	ha, hb, hth := stress(hub, hub.inner, -1)
	ia, ib, ith := stress(insert, insert.outer, -1)
	m.SetRow(2, []float64{ha, hb * s, -ia, -ib * s})
	rhs.SetVec(2, hth-ith)
	m.SetRow(3, []float64{hub.inner, s / hub.inner, -insert.outer, -s / insert.outer})
	rhs.SetVec(3, insert.outer-hub.inner)
	for i := range 4 { // rows of one size
		row := m.RawRowView(i)
		big := 0.0
		for _, v := range row {
			big = math.Max(big, math.Abs(v))
		}
		for k := range row {
			row[k] /= big
		}
		rhs.SetVec(i, rhs.AtVec(i)/big)
	}
	var x mat.VecDense
	if err := x.SolveVec(m, rhs); err != nil {
		t.Fatal(err)
	}
	A, B := x.AtVec(0), x.AtVec(1)*s
	pressure = -(ha*A + hb*B - hth)
	ta, tb, tth := stress(hub, hub.inner, +1)
	outerMove = A*hub.outer + B/hub.outer
	if insert.inner > 0 {
		innerMove = x.AtVec(2)*insert.inner + x.AtVec(3)*s/insert.inner
	}
	return pressure, ta*A + tb*B - tth, outerMove, innerMove
}

func TestSecondFormulaAgreesWithLame(t *testing.T) {
	j := Joint{DiameterMM: 10, HubOuterMM: 22, InsertInnerMM: 3, LengthMM: 5, InterferenceMM: 0.001, RiseK: -10, Hub: alu, Insert: steel}
	r := press(t, j)
	p, hoop, _, _ := pair(t, ring{5 - 0.0005, 11, alu, -10}, ring{1.5, 5, steel, -10})
	near(t, "pressure in MPa", p, r.PressureMPa, 1e-3)
	near(t, "hoop stress in MPa", hoop, r.HubHoopMPa, 1e-3)

	j.RiseK = 0 // how far the free rims move, without the temperature's own growth
	r = press(t, j)
	_, _, outer, inner := pair(t, ring{5 - 0.0005, 11, alu, 0}, ring{1.5, 5, steel, 0})
	near(t, "growth of the part's outside in mm", r.HubGrowsMM, 2*outer, 1e-3)
	near(t, "closing of the insert's hole in mm", r.InsertClosesMM, -2*inner, 1e-3)
}

// 1,000 measured inserts in parts of any metal: at the loose end of the window,
// flattened, at either service temperature, the insert still bears what it
// must; at the tight end the part doesn't yield and the press is strong enough.
// Where no window is found, no interference would have done.
func TestThousandMeasuredInserts(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 1000))
	uniform := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	feasible, refused := 0, 0
	for n := range 1000 {
		part := Material{Name: "aluminium", YoungMPa: uniform(45e3, 210e3), Poisson: uniform(0.25, 0.35), YieldMPa: uniform(80, 600), ExpansionPerK: uniform(9e-6, 27e-6)}
		insert := []Material{magnet, steel, {Name: "bronze", YoungMPa: 100e3, Poisson: 0.34, YieldMPa: 200, ExpansionPerK: 18e-6}}[rng.IntN(3)]
		d := uniform(2, 40)
		in := Insert{Kind: Own, DiameterMM: d, NominalMM: d, Measured: true, HeightMM: uniform(0.3, 2) * d, ChamferMM: uniform(0, 0.04) * d, Material: insert, RzUM: uniform(1, 4)}
		if rng.IntN(3) == 0 {
			in.InnerMM = uniform(0.1, 0.8) * d
		}
		wall := uniform(0.15, 2) * d
		low, high := uniform(-30, 20), uniform(20, 75)
		r := Request{
			Insert: in, Part: part, By: ByPress, MustHoldN: math.Exp(uniform(math.Log(5), math.Log(2000))),
			Seat: Seat{DepthMM: in.HeightMM + 2}, LeastWallMM: wall, ServiceLowC: low, ServiceHighC: high, RzBoreUM: uniform(2, 8),
		}
		w, err := Judge(r)
		if err != nil {
			t.Fatalf("insert %d: Judge = %v", n, err)
		}
		length := in.HeightMM - 2*in.ChamferMM
		lost := 0.8 * (r.RzBoreUM + in.RzUM) / 1000
		at := func(boreMM, lostMM, tempC float64) (force, tresca, pressIn float64) {
			size := d - lostMM
			if size+(insert.ExpansionPerK-part.ExpansionPerK)*d*(tempC-20) <= boreMM {
				return 0, 0, 0
			}
			p, hoop, _, _ := pair(t, ring{boreMM / 2, boreMM/2 + wall, part, tempC - 20}, ring{in.InnerMM / 2, size / 2, insert, tempC - 20})
			return 0.06 * p * math.Pi * boreMM * length, hoop + p, 0.25 * p * math.Pi * boreMM * length
		}
		if !w.Feasible {
			refused++
			// just under the most that is allowed it holds too little
			weakest := math.Inf(1)
			for _, c := range []float64{low, 20, high} {
				force, _, _ := at(d-0.98*w.AllowMM+0.0002, lost, c)
				weakest = math.Min(weakest, force)
			}
			if weakest > r.MustHoldN {
				t.Errorf("insert %d: no window found, but just under the largest interference allowed it holds %g N, asked %g N", n, weakest, r.MustHoldN)
			}
			continue
		}
		feasible++
		if !(w.BoreMinMM < w.BoreMaxMM && w.BoreMaxMM < d+0.2) {
			t.Fatalf("insert %d of %g mm: window %g to %g mm", n, d, w.BoreMinMM, w.BoreMaxMM)
		}
		for _, c := range []float64{low, (low + 20) / 2, 20, (20 + high) / 2, high} {
			if force, _, _ := at(w.BoreMaxMM, lost, c); force < r.MustHoldN {
				t.Errorf("insert %d: at the loose end and %.0f °C it holds %g N, must hold %g N", n, c, force, r.MustHoldN)
			}
			if _, tresca, _ := at(w.BoreMinMM, 0, c); tresca > part.YieldMPa {
				t.Errorf("insert %d: at the tight end and %.0f °C the bore sees %g MPa, yield is %g MPa", n, c, tresca, part.YieldMPa)
			}
		}
		if _, _, force := at(w.BoreMinMM, 0, 20); force > DefaultMaxPressN {
			t.Errorf("insert %d: the tight end takes %g N to press in, the press gives %g N", n, force, DefaultMaxPressN)
		}
	}
	t.Logf("%d windows, %d refusals", feasible, refused)
	if feasible < 300 || refused < 100 {
		t.Errorf("got %d windows and %d refusals, want a fair share of both", feasible, refused)
	}
}

func discMagnet(t testing.TB, q Query) Insert {
	t.Helper()
	q.Kind = DiscMagnet
	in, err := Find(q)
	if err != nil {
		t.Fatal(err)
	}
	in.Material = magnet
	return in
}

func judge(t testing.TB, r Request) Window {
	t.Helper()
	w, err := Judge(r)
	if err != nil {
		t.Fatalf("Judge = %v", err)
	}
	for _, reason := range w.Reasons {
		if says := reason.Says(nil); strings.Contains(says, "%") || says == "" {
			t.Errorf("reason %q has words and numbers that don't match", says)
		}
		if strings.Count(reason.words, "%") != len(reason.numbers) {
			t.Errorf("reason %q has %d numbers", reason.words, len(reason.numbers))
		}
	}
	return w
}

func says(w Window, words string) bool {
	for _, r := range w.Reasons {
		if strings.Contains(r.Says(nil), words) {
			return true
		}
	}
	return false
}

func TestLooseLotOfMagnetsMustBeMeasuredOrBonded(t *testing.T) {
	r := Request{
		Insert: discMagnet(t, Query{DiameterMM: 10, HeightMM: 3, Grade: "N42"}), Part: alu, By: ByPress, MustHoldN: 20,
		Seat: Seat{DepthMM: 3.1, LeadInMM: 0.2, VentMM: 1}, LeastWallMM: 6,
	}
	w := judge(t, r)
	if !w.MeasureEach || w.Verdict != Caution || !says(w, "measure each insert") || !says(w, "or bond it") || !says(w, "scatter by 100 µm") {
		t.Errorf("a lot of ±0.05 = got %s %+v, want to be told to measure each or bond", w.Verdict, w.Reasons)
	}
	if width := w.BoreMaxMM - w.BoreMinMM; !(width > 0 && width < 0.03) {
		t.Errorf("window for one magnet = got %g mm wide, want a few hundredths at most", width)
	}
	// the same window moved to the measured magnet
	lower, upper, err := w.BoreFor(9.987)
	if err != nil {
		t.Fatal(err)
	}
	r.Insert = discMagnet(t, Query{DiameterMM: 9.987, HeightMM: 3, Grade: "N42", Measured: true})
	one := judge(t, r)
	if one.MeasureEach || math.Abs(one.BoreMinMM-lower) > 2e-4 || math.Abs(one.BoreMaxMM-upper) > 2e-4 {
		t.Errorf("window of a measured magnet = got %.4f to %.4f, want about %.4f to %.4f mm", one.BoreMinMM, one.BoreMaxMM, lower, upper)
	}
	if one.Verdict != Go {
		t.Errorf("a measured magnet in a vented bore = got %s, want go: %+v", one.Verdict, one.Reasons)
	}
	r.By = ByBond
	bond := judge(t, r)
	if math.Abs(bond.BoreMinMM-(9.987+0.05)) > 1e-9 || math.Abs(bond.BoreMaxMM-(9.987+0.15)) > 1e-9 {
		t.Errorf("bonded window = got %.4f to %.4f mm, want the insert plus 0.05 to 0.15", bond.BoreMinMM, bond.BoreMaxMM)
	}
	if want := 20 / (math.Pi * 9.987 * 2.6); math.Abs(bond.ShearMPa-want) > 1e-9 || !says(bond, "shear") { // 3 mm less two chamfers
		t.Errorf("shear asked of the adhesive = got %g MPa, want %g MPa, and words for it", bond.ShearMPa, want)
	}
}

func TestMagnetDefaultsToThreeTimesItsPull(t *testing.T) {
	in := discMagnet(t, Query{DiameterMM: 10, HeightMM: 3, Grade: "N42", Measured: true})
	w := judge(t, Request{Insert: in, Part: alu, By: ByPress, Seat: Seat{DepthMM: 5}, LeastWallMM: 6})
	if math.Abs(w.MustHoldN-73.1) > 0.5 || w.MustHoldN != 3*in.PullN || !says(w, "three times its own pull") {
		t.Errorf("must hold = got %g N, want %g N", w.MustHoldN, 3*in.PullN)
	}
	if !says(w, "don't heat it") || w.ChillToC != nil || w.HeatToC != 0 {
		t.Errorf("heat %g °C and cold %v offered for a magnet that stands 80 °C and grows in the cold", w.HeatToC, w.ChillToC)
	}
}

func TestClassesAreJudgedAsTheyAre(t *testing.T) {
	pin := Insert{Kind: Own, Name: "pin", DiameterMM: 10, NominalMM: 10, UpperMM: 0, LowerMM: -0.009, HeightMM: 12, ChamferMM: 0.5, Material: steel, RzUM: 1.6}
	base := Request{Insert: pin, Part: alu, By: ByClass, Seat: Seat{DepthMM: 14, VentMM: 1}, LeastWallMM: 8}
	for _, c := range []struct {
		class      string
		min, max   float64 // interference, µm
		mustHold   float64
		verdict    Verdict
		word       string
		upper, low float64
	}{
		{"P7", 0, 24, 0, Caution, "interference", 9.991, 9.976}, // the loosest pair just touches
		{"P7", 0, 24, 500, Stop, "interference", 9.991, 9.976},
		{"H7", -24, 0, 0, Caution, "clearance", 10.015, 10.000},
		{"K7", -14, 10, 0, Caution, "transition", 10.005, 9.990},
		{"ZC7", 82, 106, 0, Stop, "interference", 9.909, 9.894},
	} {
		r := base
		r.Class, r.MustHoldN = c.class, c.mustHold
		w := judge(t, r)
		if math.Abs(w.InterferenceMM.Low*1000-c.min) > 1e-6 || math.Abs(w.InterferenceMM.High*1000-c.max) > 1e-6 {
			t.Errorf("%s = got interference %g to %g µm, want %g to %g µm", c.class, w.InterferenceMM.Low*1000, w.InterferenceMM.High*1000, c.min, c.max)
		}
		if w.Verdict != c.verdict || !says(w, "a "+c.word+" fit") && !says(w, c.word+" fit") {
			t.Errorf("%s, must hold %g N = got %s, want %s and the word %s", c.class, c.mustHold, w.Verdict, c.verdict, c.word)
		}
		if math.Abs(w.BoreMinMM-c.low) > 1e-9 || math.Abs(w.BoreMaxMM-c.upper) > 1e-9 {
			t.Errorf("%s = got bore %g to %g mm, want %g to %g mm", c.class, w.BoreMinMM, w.BoreMaxMM, c.low, c.upper)
		}
	}
	for class, near := range map[string]string{"p6": "H7/p6", "Q7": "P7", "H7/": "", "": ""} {
		r := base
		r.Class = class
		var e *fits.ClassError
		if _, err := Judge(r); !errors.As(err, &e) || !strings.Contains(strings.Join(e.Near, " "), near) {
			t.Errorf("class %q = got %v, want a class error near %s", class, err, near)
		}
	}
	// an insert without a tolerance takes the shaft's class of the fit
	r := base
	r.Insert.LowerMM, r.Class = 0, "H7/s6"
	if w := judge(t, r); math.Abs(w.InterferenceMM.Low*1000-8) > 1e-6 || math.Abs(w.InterferenceMM.High*1000-32) > 1e-6 {
		t.Errorf("H7/s6 at 10 mm = got %g to %g µm, want 8 to 32 µm", w.InterferenceMM.Low*1000, w.InterferenceMM.High*1000)
	}
}

// The more force may lie between what it must hold and what the press gives, the
// wider the window, at both ends.
func TestWindowGrowsWithTheForceBand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.Float64Range(3, 30).Draw(t, "d")
		in := Insert{Kind: Own, DiameterMM: d, NominalMM: d, Measured: true, HeightMM: d, ChamferMM: 0.2, Material: steel, RzUM: 1.6}
		narrow := Request{
			Insert: in, Part: alu, By: ByPress, Seat: Seat{DepthMM: d + 1}, LeastWallMM: rapid.Float64Range(0.2, 2).Draw(t, "wall/d") * d,
			MustHoldN: rapid.Float64Range(20, 400).Draw(t, "must hold"), MaxPressN: rapid.Float64Range(500, 9000).Draw(t, "press"),
		}
		wide := narrow
		wide.MustHoldN *= rapid.Float64Range(0.2, 1).Draw(t, "less to hold")
		wide.MaxPressN *= rapid.Float64Range(1, 5).Draw(t, "more press")
		a, errA := Judge(narrow)
		b, errB := Judge(wide)
		if errA != nil || errB != nil {
			t.Fatalf("Judge = %v, %v", errA, errB)
		}
		if a.Feasible && (!b.Feasible || b.BoreMinMM > a.BoreMinMM || b.BoreMaxMM < a.BoreMaxMM) {
			t.Fatalf("window of the wider band = %g to %g mm, want to hold %g to %g mm", b.BoreMinMM, b.BoreMaxMM, a.BoreMinMM, a.BoreMaxMM)
		}
	})
}

// A wider service range or a loose lot never widens the window.
func TestWindowShrinksWithDoubt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.Float64Range(3, 30).Draw(t, "d")
		in := Insert{Kind: Own, DiameterMM: d, NominalMM: d, Measured: true, HeightMM: d, ChamferMM: 0.2, Material: steel, RzUM: 1.6}
		sure := Request{
			Insert: in, Part: alu, By: ByPress, Seat: Seat{DepthMM: d + 1}, LeastWallMM: d, MustHoldN: rapid.Float64Range(5, 300).Draw(t, "must hold"),
			ServiceLowC: 10, ServiceHighC: 30,
		}
		doubt := sure
		doubt.ServiceLowC -= rapid.Float64Range(0, 40).Draw(t, "colder")
		doubt.ServiceHighC += rapid.Float64Range(0, 60).Draw(t, "hotter")
		a, errA := Judge(sure)
		b, errB := Judge(doubt)
		if errA != nil || errB != nil {
			t.Fatalf("Judge = %v, %v", errA, errB)
		}
		if b.Feasible && (!a.Feasible || b.BoreMinMM < a.BoreMinMM-1e-12 || b.BoreMaxMM > a.BoreMaxMM+1e-12) {
			t.Fatalf("window from %g to %g °C = %g to %g mm, want within %g to %g mm", doubt.ServiceLowC, doubt.ServiceHighC, b.BoreMinMM, b.BoreMaxMM, a.BoreMinMM, a.BoreMaxMM)
		}
	})
}

func TestPressIsNamedInShopWords(t *testing.T) {
	for _, c := range []struct {
		forceN float64
		want   string
	}{{0, "thumb"}, {60, "thumb"}, {61, "vise"}, {3000, "vise"}, {3001, "arbor press"}, {9000, "arbor press"}, {9001, "hydraulic press"}} {
		if got := PressWith(c.forceN); got != c.want {
			t.Errorf("PressWith(%g) = got %s, want %s", c.forceN, got, c.want)
		}
	}
	in := discMagnet(t, Query{DiameterMM: 10, HeightMM: 3, Grade: "N42", Measured: true})
	w := judge(t, Request{Insert: in, Part: alu, By: ByPress, MustHoldN: 20, Seat: Seat{DepthMM: 5}, LeastWallMM: 6})
	if w.PressWith != "vise" || !says(w, "vise (") || !says(w, "never with a hammer") {
		t.Errorf("a magnet of 10 mm = got %q, want a vise and no hammer: %g to %g N", w.PressWith, w.PressInN.Low, w.PressInN.High)
	}
}

func TestVerdicts(t *testing.T) {
	in := discMagnet(t, Query{DiameterMM: 10, HeightMM: 3, Grade: "N42", Measured: true})
	good := Request{Insert: in, Part: alu, By: ByPress, MustHoldN: 20, Seat: Seat{DepthMM: 5, VentMM: 1}, LeastWallMM: 6}
	if w := judge(t, good); w.Verdict != Go {
		t.Fatalf("the request they are made from = got %s, want go: %+v", w.Verdict, w.Reasons)
	}
	for what, c := range map[string]struct {
		spoil   func(*Request)
		verdict Verdict
		says    string
	}{
		"a wall of 1 mm":             {func(r *Request) { r.LeastWallMM = 1; r.MustHoldN = 2 }, Caution, "the wall left is 1.000 mm"},
		"too much to hold":           {func(r *Request) { r.MustHoldN = 500 }, Stop, "no bore does it"},
		"a part that gets too hot":   {func(r *Request) { r.ServiceHighC = 120; r.ServiceLowC = 20; r.MustHoldN = 0.1 }, Stop, "the insert stands 80 °C"},
		"a blind bore, no vent":      {func(r *Request) { r.Seat.VentMM = 0; r.Seat.DepthMM = 3 }, Caution, "vent"},
		"a cutter with a corner":     {func(r *Request) { r.Seat.CutterRadiusMM = 0.5 }, Caution, "radius of 0.500 mm at the floor"},
		"a shallow bore":             {func(r *Request) { r.Seat.DepthMM = 2.5; r.MustHoldN = 5 }, Caution, "stands proud"},
		"a lead-in of no width":      {func(r *Request) { r.Seat.LeadInMM, r.Seat.LeadInRad = 0.1, 0.09 }, Caution, "the lead-in opens the mouth"},
		"a sharp insert, no lead-in": {func(r *Request) { r.Insert.ChamferMM = 0 }, Caution, "lead-in"},
		"a plastic part": {func(r *Request) {
			r.Part = Material{Name: "POM", YoungMPa: 2800, Poisson: 0.38, YieldMPa: 65, ExpansionPerK: 110e-6}
			r.MustHoldN = 0.2
			r.ServiceLowC, r.ServiceHighC = 18, 22
			r.RzBoreUM = 2
		}, Caution, "creeps"},
	} {
		r := good
		c.spoil(&r)
		w := judge(t, r)
		if w.Verdict != c.verdict || !says(w, c.says) {
			var all []string
			for _, reason := range w.Reasons {
				all = append(all, reason.Says(nil))
			}
			t.Errorf("%s = got %s, want %s and %q: %s", what, w.Verdict, c.verdict, c.says, strings.Join(all, " | "))
		}
	}
}

func TestBadRequests(t *testing.T) {
	in := discMagnet(t, Query{DiameterMM: 10, HeightMM: 3, Grade: "N42"})
	good := Request{Insert: in, Part: alu, By: ByPress, MustHoldN: 20, Seat: Seat{DepthMM: 5}, LeastWallMM: 6}
	for what, spoil := range map[string]func(*Request){
		"no wall":                      func(r *Request) { r.LeastWallMM = 0 },
		"insert larger than the part":  func(r *Request) { r.LeastWallMM = -3 },
		"a wall that isn't a number":   func(r *Request) { r.LeastWallMM = math.NaN() },
		"tolerance upside down":        func(r *Request) { r.Insert.UpperMM, r.Insert.LowerMM = -0.05, 0.05 },
		"temperatures upside down":     func(r *Request) { r.ServiceLowC, r.ServiceHighC = 50, -10 },
		"gap upside down":              func(r *Request) { r.GapMM = Band{0.2, 0.1} },
		"a force that isn't one":       func(r *Request) { r.MustHoldN = math.Inf(1) },
		"no depth":                     func(r *Request) { r.Seat.DepthMM = 0 },
		"a lead-in longer than it all": func(r *Request) { r.Seat.LeadInMM = 5 },
		"a part without a yield":       func(r *Request) { r.Part.YieldMPa = 0 },
		"an insert without a material": func(r *Request) { r.Insert.Material = Material{} },
		"friction of a hovercraft":     func(r *Request) { r.HoldFriction = Band{0, 0.1} },
	} {
		r := good
		spoil(&r)
		var e *RangeError
		if _, err := Judge(r); !errors.As(err, &e) {
			t.Errorf("%s: Judge = got %v, want a *RangeError", what, err)
		}
	}
	r := good
	r.By = "luck"
	var e *InsertError
	if _, err := Judge(r); !errors.As(err, &e) {
		t.Errorf("held by luck: Judge = got %v, want an *InsertError", err)
	}
	own := good
	own.Insert.Kind, own.Insert.MustHoldN, own.MustHoldN = Own, 0, 0
	if _, err := Judge(own); !errors.As(err, &e) || !strings.Contains(err.Error(), "neither what it must hold nor which class") {
		t.Errorf("own insert without a wish: Judge = got %v, want to be asked", err)
	}
	w := judge(t, good)
	for _, d := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if _, _, err := w.BoreFor(d); err == nil {
			t.Errorf("BoreFor(%g) = got no error", d)
		}
	}
}

func BenchmarkJudge(b *testing.B) {
	in := discMagnet(b, Query{DiameterMM: 10, HeightMM: 3, Grade: "N42", Measured: true})
	r := Request{Insert: in, Part: alu, By: ByPress, MustHoldN: 20, Seat: Seat{DepthMM: 5}, LeastWallMM: 6}
	for b.Loop() {
		if _, err := Judge(r); err != nil {
			b.Fatal(err)
		}
	}
}

// The usual hole of a bought insert, in 6061: cut back where it would strain the
// part, and never a pair that is tighter than allowed.
func TestUsualHoles(t *testing.T) {
	bronze := Material{Name: "cast bronze", YoungMPa: 100000, Poisson: 0.34, YieldMPa: 125, ExpansionPerK: 18e-6}
	for what, c := range map[string]struct {
		q       Query
		m       Material
		wall    float64
		verdict Verdict
		says    string
	}{
		"a loose pin may let go":            {Query{Kind: Dowel, DiameterMM: 6, HeightMM: 12}, steel, 6, Caution, "the insert and bore to its size less"},
		"a measured pin holds":              {Query{Kind: Dowel, DiameterMM: 6.010, Measured: true, HeightMM: 12}, steel, 6, Go, "so that no insert is tighter than"},
		"an inch pin":                       {Query{Kind: Dowel, Designation: "1/4", HeightMM: 12}, steel, 6, Caution, "so that no insert is tighter than"},
		"a drill bushing moves its hole":    {Query{Kind: DrillBushing, Designation: "1/4", InnerMM: 3, HeightMM: 12}, steel, 6, Caution, "would strain the part"},
		"a bushing's own hole closes":       {Query{Kind: Bushing, DiameterMM: 12, InnerMM: 8, HeightMM: 12}, bronze, 6, Caution, "ream it after pressing"},
		"a bearing that must turn":          {Query{Kind: BallBearing, Designation: "608", Load: "rotating"}, steel, 8, Caution, "comes off the bearing's internal clearance"},
		"a threaded insert takes its maker": {Query{Kind: ThreadedInsert, Designation: "M2.5", HeightMM: 5}, Material{Name: "brass", YoungMPa: 106e3, Poisson: 0.324, YieldMPa: 310, ExpansionPerK: 19e-6}, 0.5, Caution, "the maker's figure counts"},
	} {
		in := find(t, c.q)
		in.Material = c.m
		w := judge(t, Request{Insert: in, Part: alu, By: ByPress, Seat: Seat{DepthMM: in.HeightMM + 1, VentMM: 1}, LeastWallMM: c.wall})
		if w.Verdict != c.verdict || !w.Feasible || !(w.BoreMinMM < w.BoreMaxMM) {
			t.Errorf("%s = got %s, %.4f to %.4f mm, want %s and a window: %+v", what, w.Verdict, w.BoreMinMM, w.BoreMaxMM, c.verdict, w.Reasons)
		}
		if !says(w, c.says) {
			t.Errorf("%s: no reason says %q: %+v", what, c.says, w.Reasons)
		}
		if c.q.Kind != ThreadedInsert && (w.InterferenceMM.High > w.AllowMM+1e-9 || w.Tight.HubTrescaMPa > alu.YieldMPa) {
			t.Errorf("%s: tightest pair %.4f mm and %.0f MPa, allowed %.4f mm and %g MPa", what, w.InterferenceMM.High, w.Tight.HubTrescaMPa, w.AllowMM, alu.YieldMPa)
		}
		if low, high, err := w.BoreFor(in.DiameterMM); err != nil || low != w.BoreMinMM || high != w.BoreMaxMM {
			t.Errorf("%s: BoreFor = got %g to %g mm, %v, want the hole itself", what, low, high, err)
		}
	}
	// in steel the same pin takes the usual hole as it is
	in := find(t, Query{Kind: Dowel, DiameterMM: 6, HeightMM: 12})
	in.Material = steel
	tool := Material{Name: "tool steel", YoungMPa: 207e3, Poisson: 0.292, YieldMPa: 900, ExpansionPerK: 11.5e-6}
	w := judge(t, Request{Insert: in, Part: tool, By: ByPress, Seat: Seat{DepthMM: 13, VentMM: 1}, LeastWallMM: 6, MaxPressN: 30000, RzBoreUM: 3.2})
	if math.Abs(w.BoreMinMM-5.988) > 1e-9 || w.BoreMaxMM > 6 {
		t.Errorf("6 m6 in tool steel = got %.4f to %.4f mm, want from M7's 5.988 mm", w.BoreMinMM, w.BoreMaxMM)
	}
	if w.HeatToC < 100 || w.ChillToC != nil && *w.ChillToC > 0 {
		t.Errorf("heat to %g °C, cold %v: want a part well warmer than the shop", w.HeatToC, w.ChillToC)
	}
}

// One bore for a lot suits its smallest and its largest insert: its window lies
// within that of either, measured.
func TestLotWindowSuitsBothEnds(t *testing.T) {
	kept := 0
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.Float64Range(5, 30).Draw(t, "d")
		tol := rapid.Float64Range(0.0005, 0.006).Draw(t, "tolerance")
		r := Request{
			Insert: Insert{Kind: Own, DiameterMM: d, NominalMM: d, UpperMM: tol, LowerMM: -tol, HeightMM: d, ChamferMM: 0.2, Material: steel, RzUM: 1.6},
			Part:   alu, By: ByPress, Seat: Seat{DepthMM: d + 1}, LeastWallMM: d, MustHoldN: rapid.Float64Range(5, 100).Draw(t, "must hold"),
			ServiceLowC: 0, ServiceHighC: 40, RzBoreUM: 3.2, MaxPressN: 50000,
		}
		lot, err := Judge(r)
		if err != nil {
			t.Fatal(err)
		}
		if !lot.Feasible || lot.MeasureEach {
			return
		}
		kept++
		for _, size := range []float64{d - tol, d + tol} {
			one := r
			one.Insert.DiameterMM, one.Insert.UpperMM, one.Insert.LowerMM, one.Insert.Measured = size, 0, 0, true
			w, err := Judge(one)
			if err != nil {
				t.Fatal(err)
			}
			if lot.BoreMinMM < w.BoreMinMM-1e-4 || lot.BoreMaxMM > w.BoreMaxMM+1e-4 {
				t.Fatalf("lot's window %.4f to %.4f mm, want within %.4f to %.4f mm of the insert of %.4f", lot.BoreMinMM, lot.BoreMaxMM, w.BoreMinMM, w.BoreMaxMM, size)
			}
		}
	})
	if kept < 20 {
		t.Errorf("lots with one window: got %d of 100, want a fair share", kept)
	}
}

// A pin with 10 to 20 µm of interference on 10 mm, set by an own insert in H7's
// hole of 10.000 to 10.015 mm.
func tightPin(m Material, smallest, largest float64) Request {
	return Request{
		Insert: Insert{Kind: Own, Name: "pin", DiameterMM: 10, NominalMM: 10, UpperMM: largest, LowerMM: smallest, HeightMM: 10, ChamferMM: 0.5, Material: m, RzUM: 1.6},
		Part:   alu, By: ByClass, Class: "H7", Seat: Seat{DepthMM: 12, VentMM: 1}, LeastWallMM: 10, MaxPressN: 50000,
	}
}

// What a window reports of its two ends is what Press says of them.
func TestWindowReportsItsEnds(t *testing.T) {
	r := tightPin(steel, 0.030, 0.035)
	w := judge(t, r)
	loose := Joint{
		DiameterMM: 10, HubOuterMM: 30, LengthMM: 9, InterferenceMM: 0.015, FlatteningMM: 0.8 * (6.3 + 1.6) / 1000, RiseK: 30, Hub: alu, Insert: steel,
		HoldFriction: Band{0.06, 0.07}, PressFriction: Band{0.15, 0.25},
	}
	tight := loose
	tight.InterferenceMM, tight.FlatteningMM, tight.RiseK = 0.035, 0, -30
	if w.LooseC != 50 || w.TightC != -10 {
		t.Errorf("steel in aluminium is loosest at %g °C and tightest at %g °C, want 50 and -10", w.LooseC, w.TightC)
	}
	near(t, "pressure of the loosest pair in MPa", w.Loose.PressureMPa, press(t, loose).PressureMPa, 1e-9)
	near(t, "pressure of the tightest pair in MPa", w.Tight.PressureMPa, press(t, tight).PressureMPa, 1e-9)
	near(t, "least push-out force in N", w.PushOutN.Low, press(t, loose).PushOutN.Low, 1e-9)
	tight.RiseK = 0
	near(t, "greatest press-in force in N", w.PressInN.High, press(t, tight).PressInN.High, 1e-9)
	// an insert that grows more than the part is tightest hot
	grows := Material{Name: "brass", YoungMPa: 106e3, Poisson: 0.324, YieldMPa: 310, ExpansionPerK: 40e-6}
	if w := judge(t, tightPin(grows, 0.030, 0.035)); w.LooseC != -10 || w.TightC != 50 {
		t.Errorf("an insert that grows more is loosest at %g °C and tightest at %g °C, want -10 and 50", w.LooseC, w.TightC)
	}
}

func TestClassVerdictsAtTheLimits(t *testing.T) {
	// interference on 10 mm of steel in 6061 at which the bore yields, at -10 °C
	at := func(largest float64) Window { return judge(t, tightPin(steel, 0.0262, largest)) }
	if w := at(0.0265); w.Tight.HubTrescaMPa > alu.YieldMPa || w.Verdict != Go {
		t.Errorf("just below the elastic limit = got %s at %.0f MPa, want go", w.Verdict, w.Tight.HubTrescaMPa)
	}
	if w := at(0.0305); !(w.Tight.HubTrescaMPa > alu.YieldMPa && w.Tight.HubMisesMPa < alu.YieldMPa) || w.Verdict != Caution {
		t.Errorf("between Tresca %.0f and von Mises %.0f MPa = got %s, want caution", w.Tight.HubTrescaMPa, w.Tight.HubMisesMPa, w.Verdict)
	}
	if w := at(0.040); !(w.Tight.HubMisesMPa > alu.YieldMPa) || w.Verdict != Stop || !says(w, "yields the part") {
		t.Errorf("past von Mises, %.0f MPa = got %s, want stop", w.Tight.HubMisesMPa, w.Verdict)
	}
	glass := Material{Name: "brittle", YoungMPa: 207000, Poisson: 0.292, CompressMPa: 60, ExpansionPerK: 11.5e-6}
	if w := judge(t, tightPin(glass, 0.022, 0.0265)); w.Verdict != Stop || !says(w, "crushes the insert") {
		t.Errorf("a brittle insert of 60 MPa at %.0f MPa = got %s, want stop", w.Tight.InsertTrescaMPa, w.Verdict)
	}
	soft := glass
	soft.CompressMPa, soft.YieldMPa = 0, 60
	if w := judge(t, tightPin(soft, 0.022, 0.0265)); w.Verdict != Caution || !says(w, "past its yield") {
		t.Errorf("a soft insert of 60 MPa at %.0f MPa = got %s, want caution", w.Tight.InsertTrescaMPa, w.Verdict)
	}
	unknown := glass
	unknown.CompressMPa = 0
	if w := judge(t, tightPin(unknown, 0.022, 0.0265)); w.Verdict != Caution || !says(w, "strength isn't known") {
		t.Errorf("an insert of unknown strength = got %s, want caution", w.Verdict)
	}
	weak := tightPin(steel, 0.022, 0.0265)
	weak.MaxPressN = 2000
	if w := judge(t, weak); w.Verdict != Stop || !says(w, "more than the press at hand gives") {
		t.Errorf("%.0f N with a press of 2000 N = got %s, want stop", w.PressInN.High, w.Verdict)
	}
}

func TestUsualHoleIsCutBackAtItsLooseEnd(t *testing.T) {
	in := find(t, Query{Kind: Dowel, DiameterMM: 6.006, Measured: true, HeightMM: 12})
	in.Material = steel
	w := judge(t, Request{Insert: in, Part: alu, By: ByPress, Seat: Seat{DepthMM: 13, VentMM: 1}, LeastWallMM: 6})
	// flattened by 6.32 µm and 2.18 µm loosened at 50 °C, a fivehundredth of both in hand
	want := 6.006 - (0.00632+0.0021802)*1.002
	if math.Abs(w.BoreMaxMM-want) > 1e-6 || !says(w, "still grips at its worst temperature") {
		t.Errorf("measured 6.006 pin = got up to %.5f mm, want %.5f mm: %+v", w.BoreMaxMM, want, w.Reasons)
	}
	if w.Loose.InterferenceMM < 0 || w.Verdict != Go {
		t.Errorf("loosest pair = got %g mm, %s, want a grip and go", w.Loose.InterferenceMM, w.Verdict)
	}
}
