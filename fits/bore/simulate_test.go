package bore

import (
	"context"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// The numbers of batches. Where every reading is a number 10,000 take seconds;
// the grid needs the flag for as many.
var (
	batches     = flag.Int("batches", 10000, "simulated batches where the gauge gives a number")
	feelBatches = flag.Int("feel-batches", 60, "simulated batches where only feel steers; 10000 take many minutes")
)

// shopRequest is the shop of the simulations: bore gauge of 3 µm, scatter 4 µm,
// offset −30 ± 20 µm, 2 % risk a part, a control with 3 decimals.
func shopRequest(widthMM float64) Request {
	q := plain()
	q.Window = Window{9.996 - widthMM, 9.996}
	q.Risk, q.ResolutionMM, q.ScatterDoubt = UsualRisk, UsualResolutionMM, UsualScatterDoubt
	q.Gauge = Gauge{Kind: "bore gauge", SdMM: 0.003, BiasSdMM: 0.0015}
	return q
}

func play(t *testing.T, q Request, truth Truth, way Way, fromMM float64, batches int) Outcome {
	t.Helper()
	o, err := Simulate(context.Background(), Scenario{Request: q, Truth: truth, Way: way, FromMM: fromMM, Batches: batches, Parts: 5, Seed: 20})
	require.NoError(t, err)
	a := o.All
	t.Logf("%4.0f µm %-11s %+v: passes on part 1 %.2f, on part 5 %.2f; readings %.2f; spoiled %.4f, in %.4f, under %.4f, flagged %.4f",
		q.Window.WidthMM()*1e3, way, truth, o.ByPart[0].PerPart(o.ByPart[0].Passes), o.ByPart[4].PerPart(o.ByPart[4].Passes),
		a.PerPart(a.Readings), a.PerPart(a.Spoiled), a.PerPart(a.In), a.PerPart(a.Under), a.PerPart(a.Flagged))
	return o
}

// slack is three standard errors of a share p counted over n parts, so that a
// run shorter than 10,000 batches is judged honestly.
func slack(p float64, n int) float64 { return 3 * math.Sqrt(p*(1-p)/float64(n)) }

func TestSpoiledBoresStayWithinTheRisk(t *testing.T) {
	for _, um := range []float64{14, 17, 20, 22, 26, 30, 40, 60} {
		q := shopRequest(um / 1e3)
		f := Feasible(q)
		o := play(t, q, Truth{}, Learning, 9.9, *batches)
		spoiled, in := o.All.PerPart(o.All.Spoiled), o.All.PerPart(o.All.In)
		require.LessOrEqualf(t, spoiled, 1.2*q.Risk+slack(1.2*q.Risk, o.All.Parts), "spoiled in a %v µm window = %.4f, want at most %.4f", um, spoiled, 1.2*q.Risk)
		if um >= 22 {
			require.Truef(t, f.OK, "a %v µm window is feasible: %s", um, f.Words(MM))
		}
		if f.OK {
			require.GreaterOrEqualf(t, in, 0.95-slack(0.95, o.All.Parts), "in a %v µm window = %.4f, want at least 0.95", um, in)
		} else {
			require.Greater(t, f.NeededMM, f.WidthMM)
			require.Lessf(t, in, 0.95, "a %v µm window is called infeasible and yet %.4f are in it", um, in)
		}
		last := o.ByPart[4]
		if f.OK {
			require.LessOrEqual(t, last.PerPart(last.Passes), 2.5)
		}
	}
}

// Passes on part 1 beside a thou at a time from 0.1 mm under. At 22 µm the share
// is 0.64, above the 0.60 aimed at: the fixed steps leap over so narrow a window
// and stop early with a sixth of the bores spoiled. From 26 µm on it is kept.
func TestFewerPassesThanFixedSteps(t *testing.T) {
	for _, c := range []struct{ um, most float64 }{{22, 0.66}, {26, 0.605}, {30, 0.58}, {40, 0.58}} {
		q := shopRequest(c.um / 1e3)
		first := func(o Outcome) float64 { return o.ByPart[0].PerPart(o.ByPart[0].Passes) }
		learn := play(t, q, Truth{}, Learning, 9.9, *batches)
		fixed := play(t, q, Truth{}, FixedSteps, 9.9, *batches)
		far := play(t, q, Truth{}, FixedSteps, 9.75, *batches)
		half := play(t, q, Truth{}, HalfWay, 9.75, *batches)
		require.LessOrEqualf(t, first(learn)/first(fixed), c.most, "passes on part 1 at %v µm: %.2f against %.2f", c.um, first(learn), first(fixed))
		require.Less(t, first(learn), first(half))
		require.Less(t, first(half), first(far))
		require.Greater(t, learn.All.In, half.All.In)
		require.Greater(t, learn.All.In, fixed.All.In)
	}
}

func TestAMachineOutsideThePrior(t *testing.T) {
	for _, um := range []float64{22, 30} {
		q := shopRequest(um / 1e3)
		inside := play(t, q, Truth{}, Learning, 9.9, *batches)
		o := play(t, q, Truth{OffsetTimes: 2, ScatterTimes: 2}, Learning, 9.9, *batches)
		spoiled := o.All.PerPart(o.All.Spoiled)
		require.LessOrEqualf(t, spoiled, 3*q.Risk+slack(3*q.Risk, o.All.Parts), "spoiled = %.4f, want at most %.4f", spoiled, 3*q.Risk)
		require.Greater(t, o.All.PerPart(o.All.Flagged), 5*inside.All.PerPart(inside.All.Flagged), "surprises must be flagged")
	}
}

// What spoils bores in a shop: each at most 5 %, in windows from 28 µm on. At
// 22 µm a gauge that reads 5 µm too small, three times its stated bias, spoils
// 5.6 %.
func TestFaultsOfTheShop(t *testing.T) {
	for _, um := range []float64{28, 30} {
		shopFaults(t, shopRequest(um/1e3))
	}
}

func shopFaults(t *testing.T, q Request) {
	t.Helper()
	for name, truth := range map[string]Truth{
		"gauge 5 µm over":  {GaugeBiasMM: 0.005},
		"gauge 5 µm under": {GaugeBiasMM: -0.005},
		"15 K warm":        {WarmK: 15, AlphaPerK: 23.6e-6},
		"swapped digits":   {SwappedDigit: true},
		"8 µm taper":       {TaperMM: 0.008},
	} {
		t.Log(name)
		o := play(t, q, truth, Learning, 9.9, *batches)
		spoiled := o.All.PerPart(o.All.Spoiled)
		require.LessOrEqualf(t, spoiled, 0.05+slack(0.05, o.All.Parts), "%s: spoiled = %.4f, want at most 0.05", name, spoiled)
		if truth.SwappedDigit {
			// One of five parts has such a reading; swapped neighbours less than 9 µm
			// apart, and the first reading of all, hide in the doubt.
			require.Greater(t, o.All.PerPart(o.All.Flagged), 0.10)
		}
	}
}

// Feel alone, with a plug of the target size: a 30 µm window, which is called
// infeasible for it, and one that is not.
func TestFeelAloneSteers(t *testing.T) {
	g, err := GaugeByKind("plug")
	require.NoError(t, err)
	for _, c := range []struct {
		um    float64
		truth Truth
	}{{30, Truth{}}, {36, Truth{}}, {36, Truth{TaperMM: 0.008}}} {
		q := shopRequest(c.um / 1e3)
		q.Gauge = g
		q.Gauge.PlugMM = q.PlugTargetMM()
		o := play(t, q, c.truth, Learning, 9.9, *feelBatches)
		spoiled, in := o.All.PerPart(o.All.Spoiled), o.All.PerPart(o.All.In)
		require.LessOrEqualf(t, spoiled, 2*q.Risk+slack(2*q.Risk, o.All.Parts), "spoiled = %.4f, want at most %.4f", spoiled, 2*q.Risk)
		require.Equal(t, c.um >= 35, Feasible(q).OK)
		if Feasible(q).OK && c.truth == (Truth{}) {
			require.GreaterOrEqualf(t, in, 0.95-slack(0.95, o.All.Parts), "in = %.4f, want at least 0.95", in)
		}
	}
}

// A window of just the width that a gauge is said to need is hit.
func TestNeededWidthIsEnough(t *testing.T) {
	for _, g := range Gauges() {
		q := shopRequest(0.022)
		q.Gauge = g
		if !g.Reads() {
			continue // those are slow; plugs stand in the test above
		}
		q = shopRequest(q.neededMM(g))
		q.Gauge = g
		o := play(t, q, Truth{}, Learning, 9.9, *batches/5)
		in := o.All.PerPart(o.All.In)
		require.GreaterOrEqualf(t, in, 0.945-slack(0.945, o.All.Parts), "%s: in = %.4f, want about 0.95", g.Kind, in)
	}
}

// A known answer for a whole policy: 1 % a pass, done at 95 %, at most 12 passes,
// the settings of the worked example, gave 0.959 in, 0.032 over and 3.6 passes in
// an independent simulation of 20,000 bores. It is the trap that a part's risk is
// not a pass's.
func TestRiskAPassIsNotRiskAPart(t *testing.T) {
	q := plain()
	rng := rand.New(rand.NewPCG(3, 3))
	const n = 20000
	var in, over, passes float64
	for range n {
		b := newClosed(q.Offset, q.Gauge, q.ScatterMM, 0, 0)
		s := Session{request: q, now: b}
		offset, bore := q.Offset.MeanMM+q.Offset.SdMM*rng.NormFloat64(), 0.0
		for range 12 {
			c := s.fitting(0.01, 11)
			bore = math.Max(bore, c+offset+q.ScatterMM*rng.NormFloat64())
			b.guesses[0].hasBore = false
			b.Cut(c)
			b.Read(Reading{Kind: Measured, MM: bore + q.Gauge.SdMM*rng.NormFloat64()})
			passes++
			if c := b.Chances(q.Window); c.In >= 0.95 || c.Over > 0.5 {
				break
			}
		}
		if bore > q.Window.UpperMM {
			over++
		} else if bore >= q.Window.LowerMM {
			in++
		}
	}
	t.Logf("in %.3f, over %.3f, passes %.2f", in/n, over/n, passes/n)
	require.InDelta(t, 0.032, over/n, 0.01)
	require.InDelta(t, 0.959, in/n, 0.015)
	require.InDelta(t, 3.6, passes/n, 0.3)
}

func TestSimulationIsRepeatable(t *testing.T) {
	q := shopRequest(0.022)
	a, b := play(t, q, Truth{}, Learning, 9.9, 50), play(t, q, Truth{}, Learning, 9.9, 50)
	require.Equal(t, a, b)
	_, err := Simulate(context.Background(), Scenario{Request: q, Way: "by eye", FromMM: 9.9, Batches: 1, Parts: 1})
	require.ErrorContains(t, err, "by eye")
	_, err = Simulate(context.Background(), Scenario{Request: q, Way: Learning, FromMM: math.NaN(), Batches: 1, Parts: 1})
	var r *RangeError
	require.ErrorAs(t, err, &r)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = Simulate(ctx, Scenario{Request: q, Way: Learning, FromMM: 9.9, Batches: 1, Parts: 1})
	require.ErrorIs(t, err, context.Canceled)
}

func TestSwappedDigits(t *testing.T) {
	require.Equal(t, "9.396 9.963", fmt.Sprintf("%.3f %.3f", swapped(9.936, 0), swapped(9.936, 1)))
}

// The ways of the baselines work with every gauge.
func TestBaselinesWithEveryGauge(t *testing.T) {
	for _, g := range Gauges() {
		if g.Kind == "insert" {
			continue
		}
		q := shopRequest(0.030)
		q.Gauge = g
		q.Gauge.PlugMM = q.PlugTargetMM()
		for _, way := range []Way{FixedSteps, HalfWay} {
			o := play(t, q, Truth{}, way, 9.9, 200)
			require.Less(t, o.All.PerPart(o.All.Passes), 15.0)
			require.Equal(t, o.All.Parts, o.All.In+o.All.Under+o.All.Spoiled)
		}
	}
}
