package bore

import (
	"encoding/csv"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"github.com/stretchr/testify/require"
)

func plain() Request {
	return Request{
		Window: Window{9.981, 9.996}, InsertNominalMM: 10, StartMM: 0, StepMM: 0.0254,
		Gauge: Gauge{Kind: "bore gauge", SdMM: 0.003}, ScatterMM: 0.004,
		Offset: Prior{MeanMM: -0.030, SdMM: 0.020}, Risk: 0.01, Doubt: 0.05, ResolutionMM: 0.001,
		ChipMM: 0.005, DriftSdMM: 0.002, MaxReadings: 3,
	}
}

// The worked example, computed by hand with the plain normal rule (bore 10 N7;
// prior −0.030 ± 0.020, scatter 4 µm, gauge 3 µm, 1 % a pass): the table in
// testdata, which leaves out that metal does not grow back.
func TestClosedFormGivesTheWorkedExample(t *testing.T) {
	f, err := os.Open("testdata/worked_example.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	q := plain()
	b := newClosed(q.Offset, q.Gauge, q.ScatterMM, 0, 0)
	for _, r := range rows[1:] {
		v := make([]float64, len(r))
		for i := range r {
			v[i], err = strconv.ParseFloat(r[i], 64)
			require.NoError(t, err)
		}
		m, sd := b.Offset()
		near := func(what string, got, want float64) {
			t.Helper()
			require.InDeltaf(t, want, got, 0.51e-6, "pass %v: %s = %.7f mm, want %.6f mm", v[0], what, got, want)
		}
		near("prior offset", m, v[1])
		near("its sd", sd, v[2])
		s := math.Hypot(sd, q.ScatterMM)
		near("predicted sd", s, v[3])
		near("largest command", q.Window.UpperMM-m-quantile(0.99)*s, v[4])
		session := Session{request: q, now: b}
		require.InDelta(t, v[5], session.fitting(0.01, 11), 1e-9)
		b.guesses[0].hasBore = false
		b.Cut(v[5])
		b.Read(Reading{Kind: Measured, MM: v[6]})
		m, sd = b.Offset()
		near("offset", m, v[8])
		near("its sd", sd, v[9])
		m, sd = b.Bore()
		near("bore", m, v[10])
		near("its sd", sd, v[11])
	}
}

// Probability of conformity. The first row's numbers stand on a public page on
// JCGM 106:2012, 7.4 and its answer was worked by hand; the others are examples
// of that guide's 7.3.3 (from memory), to the two digits printed there.
func TestConformityAgainstPublishedValues(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		window       Window
		estimate, sd float64
		want, within float64
	}{
		{Window{12.5, 16.3}, 13.6, 1.8, 0.663, 0.0005},
		{Window{-inf, -5.40}, -5.47, 0.05, 0.92, 0.005},
		{Window{490, inf}, 509.7, 8.6, 0.99, 0.005},
	} {
		got := c.window.Conformity(c.estimate, c.sd)
		require.InDeltaf(t, c.want, got.In, c.within, "Conformity(%v, %v, %v) = %.4f, want %.4f", c.window, c.estimate, c.sd, got.In, c.want)
		require.InDelta(t, 1, got.In+got.Under+got.Over, 1e-12)
	}
	// Guard band of one limit at 5 %, and of two standard deviations: worked by hand.
	w := Window{9.981, 9.996}
	require.InDelta(t, 9.9911, w.Guarded(1.645, 0.003).UpperMM, 5e-5)
	require.InDelta(t, 9.990, w.Guarded(2, 0.003).UpperMM, 5e-5)
}

// Weights of the newest reading in the plain rule, prior 20 µm, r 5 µm: 0.941,
// 0.485, 0.327, 0.246, 0.198, worked by hand; they tend to Grubbs' 1/n (An
// optimum procedure for setting machines or adjusting processes, 1954).
func TestGainTendsToTheHarmonicRule(t *testing.T) {
	g := Gauge{Kind: "bore gauge", SdMM: 0.003}
	b := newClosed(Prior{SdMM: 0.020}, g, 0.004, 0, 0)
	for n, want := range []float64{0.941, 0.485, 0.327, 0.246, 0.198} {
		before, _ := b.Offset()
		b.guesses[0].hasBore = false
		b.Cut(10)
		b.Read(Reading{Kind: Measured, MM: 10 + before + 0.001})
		after, _ := b.Offset()
		require.InDeltaf(t, want, (after-before)/0.001, 0.0005, "gain of reading %d", n+1)
	}
}

// The greatest of two normal numbers: symmetric case in closed form (mean
// s/√π, variance s²(1 − 1/π)), and the limits where one is far ahead.
func TestGreatestOfTwoNormals(t *testing.T) {
	m, v, share := greatest(0, 4, 0, 4, 0)
	require.InDelta(t, 2/math.Sqrt(math.Pi), m, 1e-12)
	require.InDelta(t, 4*(1-1/math.Pi), v, 1e-12)
	require.InDelta(t, 0.5, share, 1e-12)
	m, v, share = greatest(100, 4, 0, 9, 1)
	require.InDelta(t, 100, m, 1e-9)
	require.InDelta(t, 4, v, 1e-9)
	require.InDelta(t, 1, share, 1e-12)
	m, v, share = greatest(5, 1, 5, 1, 1) // the same number twice
	require.Equal(t, []float64{5, 1, 1}, []float64{m, v, share})
}

// scripted histories that both engines must judge alike.
var histories = []struct {
	name  string
	cuts  []float64
	reads [][]float64
	exact bool // no pass so small that the closed form only approximates
}{
	{"one reading a pass", []float64{9.966, 9.990, 10.008}, [][]float64{{9.935}, {9.961}, {9.981}}, true},
	{"two readings, one pass unread", []float64{9.960, 9.985, 10.006}, [][]float64{{9.931, 9.934}, {}, {9.978}}, true},
	{"spring passes", []float64{9.990, 9.990, 9.994}, [][]float64{{9.962}, {9.966}, {9.965}}, false},
}

// The two engines share this suite: where every reading is a number the grid
// and the normal form must agree.
func TestEnginesAgreeOnNumbers(t *testing.T) {
	for _, doubt := range []float64{0, 0.1} {
		for _, bias := range []float64{0, 0.0015} {
			for _, h := range histories {
				q := plain()
				q.Gauge.BiasSdMM, q.ScatterDoubt, q.StartMM = bias, doubt, 9.85
				w := Window{9.974, 9.996}
				both := []Belief{
					newClosed(q.Offset, q.Gauge, q.ScatterMM, doubt, q.StartMM),
					newGrid(q.Offset, q.Gauge, q.ScatterMM, doubt, q.StartMM),
				}
				tol := 0.0002
				if !h.exact {
					tol = 0.0008
				}
				alike := func(what string, a, b, tol float64) {
					t.Helper()
					require.InDeltaf(t, a, b, tol, "%s, scatter doubt %v, bias %v: %s = closed %.6f, grid %.6f", h.name, doubt, bias, what, a, b)
				}
				for i, c := range h.cuts {
					for _, b := range both {
						b.Cut(c)
					}
					for _, m := range h.reads[i] {
						r := Reading{Kind: Measured, MM: m}
						if h.exact {
							alike("tail", both[0].Tail(r), both[1].Tail(r), 0.02)
						}
						for _, b := range both {
							b.Read(r)
						}
					}
					m0, s0 := both[0].Bore()
					m1, s1 := both[1].Bore()
					alike("bore", m0, m1, tol)
					alike("its sd", s0, s1, tol)
					m0, s0 = both[0].Offset()
					m1, s1 = both[1].Offset()
					alike("offset", m0, m1, tol)
					alike("its sd", s0, s1, tol)
					c0, c1 := both[0].Chances(w), both[1].Chances(w)
					alike("P(in)", c0.In, c1.In, 0.06)
					a0, r0 := both[0].After(c+0.012, w)
					a1, r1 := both[1].After(c+0.012, w)
					alike("P(over) after", a0.Over, a1.Over, 0.02)
					require.GreaterOrEqual(t, r0, r1-0.004, "the closed form may only overstate the added risk")
				}
			}
		}
	}
}

// The grid against plain sampling: draw offset, bias and scatter, keep the draws
// that give the same words, and compare.
func TestGridAgainstSampling(t *testing.T) {
	g, err := GaugeByKind("plug")
	require.NoError(t, err)
	g.PlugMM = 10
	prior, scatter, start := Prior{MeanMM: -0.02, SdMM: 0.012}, 0.004, 9.9
	cuts := []float64{10.000, 10.012, 10.020, 10.020}
	seen := []Feel{WontStart, WontStart, Starts, ByThumb}
	b := newGrid(prior, g, scatter, 0, start)
	for i, c := range cuts {
		b.Cut(c)
		b.Read(Reading{Kind: Felt, Feel: seen[i], PlugMM: g.PlugMM})
	}
	rng := rand.New(rand.NewPCG(7, 7))
	var n, sb, sbb, sd, sdd, in float64
	w := Window{9.996, 10.006}
	for range 2_000_000 {
		offset := prior.MeanMM + prior.SdMM*rng.NormFloat64()
		bias := g.BiasSdMM * rng.NormFloat64()
		d, ok := start, true
		for i, c := range cuts {
			d = math.Max(d, c+offset+scatter*rng.NormFloat64())
			x := d + bias + g.SdMM*rng.NormFloat64() - g.PlugMM
			if least, most := seen[i].Band(); x < least || x >= most {
				ok = false
				break
			}
		}
		if !ok {
			continue
		}
		n++
		sb, sbb, sd, sdd = sb+offset, sbb+offset*offset, sd+d, sdd+(d-10)*(d-10)
		if d > w.LowerMM && d < w.UpperMM {
			in++
		}
	}
	require.Greater(t, n, 10_000.0)
	m, s := b.Offset()
	require.InDelta(t, sb/n, m, 0.0002)
	require.InDelta(t, math.Sqrt(sbb/n-sb/n*sb/n), s, 0.0002)
	m, s = b.Bore()
	require.InDelta(t, sd/n, m, 0.0002)
	require.InDelta(t, math.Sqrt(sdd/n-(sd/n-10)*(sd/n-10)), s, 0.0002)
	require.InDelta(t, in/n, b.Chances(w).In, 0.015)
}

// A finer grid must not move the answer.
func TestGridConverges(t *testing.T) {
	g, _ := GaugeByKind("plug")
	g.PlugMM = 10
	at := func(sharper float64) float64 {
		b := newGrid(Prior{-0.02, 0.012, 0}, g, 0.004, 0, 9.9)
		fine := &grid{}
		*fine = *b
		if sharper != 1 {
			old := g
			old.SdMM /= sharper
			fine = newGrid(Prior{-0.02, 0.012, 0}, old, 0.004, 0, 9.9)
			fine.gauge = g
		}
		for i, c := range []float64{10.0, 10.012, 10.02} {
			fine.Cut(c)
			fine.Read(Reading{Kind: Felt, Feel: []Feel{WontStart, WontStart, Starts}[i], PlugMM: 10})
		}
		m, _ := fine.Bore()
		return m
	}
	require.InDelta(t, at(4), at(1), 0.0001, "bore on the usual grid = %.5f mm, on one four times finer %.5f mm", at(1), at(4))
}

// A bore never shrinks, whatever is commanded, and chances add up.
func TestABoreNeverShrinks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := plain()
		q.StartMM = 9.9
		g := q.Gauge
		var b Belief = newClosed(q.Offset, g, q.ScatterMM, 0.1, q.StartMM)
		if rapid.Bool().Draw(t, "grid") {
			b = newGrid(q.Offset, g, q.ScatterMM, 0.1, q.StartMM)
		}
		w := q.Window
		for range rapid.IntRange(1, 4).Draw(t, "passes") {
			before, _ := b.Bore()
			over := b.Chances(w).Over
			c := rapid.Float64Range(9.93, 10.02).Draw(t, "commanded")
			promised, added := b.After(c, w)
			b.Cut(c)
			after, _ := b.Bore()
			if after < before-1e-9 {
				t.Fatalf("Cut(%.4f) takes the bore from %.6f to %.6f mm", c, before, after)
			}
			now := b.Chances(w)
			if math.Abs(promised.In-now.In) > 0.02 || math.Abs(now.In+now.Under+now.Over-1) > 1e-9 {
				t.Fatalf("After(%.4f) = %+v, and then Chances = %+v", c, promised, now)
			}
			if now.Over > over+added+0.03 { // the normal form only approximates a large chance
				t.Fatalf("P(over) went from %.4f to %.4f, more than the added risk %.4f", over, now.Over, added)
			}
			if rapid.Bool().Draw(t, "measured") {
				b.Read(Reading{Kind: Measured, MM: after + rapid.Float64Range(-0.008, 0.008).Draw(t, "off")})
			}
		}
	})
}
