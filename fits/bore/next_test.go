package bore

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Tip deflections worked by hand from y = F·L³/(3·E·I) with 0.8·D, 580 and
// 203 GPa, to the digits shown.
func TestTipDeflection(t *testing.T) {
	for _, c := range []struct{ d, l, e, f, wantUM, within float64 }{
		{6, 20, 590e3, 20, 3.4, 0.1},
		{6, 20, 205e3, 20, 9.7, 0.3},
		{6, 30, 590e3, 20, 11.5, 0.3},
		{3, 12, 590e3, 10, 5.9, 0.2},
		{10, 30, 590e3, 30, 2.2, 0.1},
	} {
		require.InDeltaf(t, c.wantUM, TipDeflection(c.d, c.l, c.e, c.f)*1e3, c.within, "TipDeflection(%v) in µm", c)
	}
	// Twice the stick-out: eight times; twice the diameter: a sixteenth.
	y := TipDeflection(6, 20, CarbideMPa, 20)
	require.InDelta(t, 8, TipDeflection(6, 40, CarbideMPa, 20)/y, 1e-9)
	require.InDelta(t, 1.0/16, TipDeflection(12, 20, CarbideMPa, 20)/y, 1e-9)
}

func TestOffsetPriorIsWideAndALittleNegative(t *testing.T) {
	c := Cutter{DiameterMM: 6, StickoutMM: 20, YoungMPa: CarbideMPa, LoadN: 20, RunoutMM: 0.005, ToleranceMM: ToolToleranceMM(6), MachineSdMM: 0.012}
	p, err := OffsetPrior(c)
	require.NoError(t, err)
	require.InDelta(t, -0.019+0.005-0.0068, p.MeanMM, 0.0002)
	require.InDelta(t, 0.0168, p.SdMM, 0.0005)
	c.StickoutMM = math.NaN()
	_, err = OffsetPrior(c)
	require.ErrorContains(t, err, "stick-out")
}

// 10 mm of aluminium 15 K warm reads 3.5 µm large, 20 mm 7.1 µm (23.6e-6/K,
// worked by hand).
func TestWarmPart(t *testing.T) {
	for size, um := range map[float64]float64{10: 3.5, 20: 7.1} {
		r, err := Reading{Kind: Measured, MM: size}.AtRoom(Warmth{PartC: 37, RoomC: 22, AlphaPerK: 23.6e-6})
		require.NoError(t, err)
		require.InDelta(t, um, (size-r.MM)*1e3, 0.05)
		require.InDelta(t, size*23.6e-6, r.ExtraSdMM, 1e-9)
	}
	// A plug that goes into a warm bore is a smaller plug in a cold one.
	r, err := Reading{Kind: Felt, Feel: ByThumb, PlugMM: 10}.AtRoom(Warmth{PartC: 37, RoomC: 22, AlphaPerK: 23.6e-6})
	require.NoError(t, err)
	require.InDelta(t, 9.99646, r.PlugMM, 1e-5)
	require.NoError(t, Unmeasured(23.9, 22))
	require.ErrorContains(t, Unmeasured(24.5, 22), "needs its temperature")
	require.Error(t, Unmeasured(math.NaN(), 22))
	_, err = Reading{Kind: Measured, MM: 10}.AtRoom(Warmth{PartC: 80, RoomC: 22, AlphaPerK: 23.6e-6})
	var w *WarmPartError
	require.ErrorAs(t, err, &w)
}

func TestFeelWords(t *testing.T) {
	for typed, want := range map[string]Feel{
		"won't start": WontStart, "wont-start": WontStart, "Wont Start": WontStart, "won’t start": WontStart,
		"starts": Starts, "pushes in by thumb": ByThumb, "pushes-in-by-thumb": ByThumb, "slides in": SlidesIn, "drops_in": DropsIn,
	} {
		got, err := ParseFeel(typed)
		require.NoError(t, err)
		require.Equal(t, want, got)
	}
	_, err := ParseFeel("snug")
	require.ErrorContains(t, err, `"snug"`)
	edge := math.Inf(-1)
	for _, f := range Feels {
		least, most := f.Band()
		require.Equal(t, edge, least, "the bands leave no gap")
		edge = most
	}
	require.Equal(t, math.Inf(1), edge)
	sum := 0.0
	g := Gauge{Feels: true, SdMM: 0.004, PlugMM: 10}
	for _, f := range Feels {
		sum += Reading{Kind: Felt, Feel: f, PlugMM: 10}.likelihood(g, 10.003, 0)
	}
	require.InDelta(t, 1, sum, 1e-12)
}

// A pin interval alone is a rectangular reading: sd = step/√12.
func TestPinsAreAnInterval(t *testing.T) {
	g := Gauge{Kind: "pin gauges", SdMM: 0.0003, PinStepMM: 0.01, EntryMM: 0.002}
	b := newGrid(Prior{0, 0.05, 0}, g, 0.004, 0, 9.8)
	b.Cut(10)
	b.Read(Reading{Kind: Limits, GoesMM: 9.99, StopsMM: 10})
	m, sd := b.Bore()
	require.InDelta(t, 9.997, m, 0.0002)
	require.InDelta(t, 0.01/math.Sqrt(12), sd, 0.0001)
	// A single gauge that stops leaves the other side open.
	b = newGrid(Prior{0, 0.05, 0}, g, 0.004, 0, 9.8)
	b.Cut(10)
	b.Read(Reading{Kind: Limits, StopsMM: 10})
	require.Less(t, b.Chances(Window{9.9, 10.005}).Over, 1e-6)
}

func session(t *testing.T, q Request) *Session {
	t.Helper()
	s, err := NewSession(q, true)
	require.NoError(t, err)
	return s
}

func measured(mm float64) Reading { return Reading{Kind: Measured, MM: mm} }

func TestAPartFromFirstPassToDone(t *testing.T) {
	q := shopRequest(0.022)
	q.StartMM = 9.9
	s := session(t, q)
	a := s.Next()
	require.Equal(t, Cut, a.Do)
	require.Equal(t, FirstPass, a.Why)
	require.InDelta(t, (10-a.CommandMM)/2, a.WallStockMM, 1e-9, "wall stock is per wall, positive while the bore is smaller")
	require.LessOrEqual(t, a.AddedRisk, q.Risk)
	require.NoError(t, s.Cut(a.CommandMM))
	require.Equal(t, NoReading, s.Next().Why)
	require.Equal(t, Measure, s.Next().Do)
	require.NoError(t, s.Read(measured(9.94)))
	a = s.Next()
	require.Equal(t, Cut, a.Do)
	require.Equal(t, 2, a.Pass)
	require.NoError(t, s.Cut(a.CommandMM))
	require.NoError(t, s.Read(measured(9.985)))
	a = s.Next()
	require.Equal(t, Done, a.Do, a.Words(MM))
	require.Greater(t, a.Chances.In, 0.95)
	// The offset learnt carries over: the second part goes straight to size.
	s.NextPart(0)
	a = s.Next()
	require.Equal(t, 2, a.Part)
	require.Greater(t, a.Chances.In, 0.5)
	sharp := a.OffsetSdMM
	// A tool change brings doubt back, and with it a shorter first pass.
	u := session(t, q)
	require.NoError(t, u.Cut(s.commanded+9.97))
	require.NoError(t, u.Read(measured(9.94)))
	extra, err := ExtraSdMM(q.Offset, []Change{ToolChanged})
	require.NoError(t, err)
	u.NextPart(extra)
	require.Greater(t, u.Next().OffsetSdMM, 2*sharp)
	require.Less(t, u.Next().CommandMM, a.CommandMM)
}

func TestASurpriseStopsWithQuestions(t *testing.T) {
	q := shopRequest(0.022)
	q.StartMM = 9.9
	begin := func() *Session {
		s := session(t, q)
		require.NoError(t, s.Cut(9.966))
		require.NoError(t, s.Read(measured(9.936)))
		require.NoError(t, s.Cut(9.990))
		return s
	}
	// Digits swapped: 9.916 for 9.961. The next reading puts it aside.
	s := begin()
	require.NoError(t, s.Read(measured(9.916)))
	a := s.Next()
	require.Equal(t, Stop, a.Do)
	require.Equal(t, Surprise, a.Why)
	require.Contains(t, a.Words(MM), "digits swapped?")
	require.InDelta(t, -0.044, a.SurpriseMM, 0.002)
	require.NoError(t, s.Read(measured(9.961)))
	a = s.Next()
	require.Equal(t, 1, a.Dropped)
	require.Equal(t, Cut, a.Do)
	clean := begin()
	require.NoError(t, clean.Read(measured(9.961)))
	require.Equal(t, clean.Next().CommandMM, a.CommandMM, "a dropped reading leaves no trace")
	// The tool really is another one: two readings agree, and are believed.
	s = begin()
	require.NoError(t, s.Read(measured(10.008)))
	require.Equal(t, Surprise, s.Next().Why)
	require.NoError(t, s.Read(measured(10.009)))
	a = s.Next()
	require.Zero(t, a.Dropped)
	require.InDelta(t, 10.0085, a.ExpectMM, 0.002)
	require.Equal(t, Stop, a.Do)
	require.Equal(t, TooLarge, a.Why)
	// Two that disagree settle nothing.
	s = begin()
	require.NoError(t, s.Read(measured(9.916)))
	require.NoError(t, s.Read(measured(9.999)))
	require.Equal(t, Surprise, s.Next().Why)
}

func TestAnInsertThatTellsNothingIsRefused(t *testing.T) {
	q := shopRequest(0.010)
	g, err := GaugeByKind("insert")
	require.NoError(t, err)
	q.Window, q.Gauge = Window{9.978, 9.990}, g
	q.Gauge.PlugMM = 10
	_, err = NewSession(q, false)
	var blind *BlindGaugeError
	require.ErrorAs(t, err, &blind)
	require.Equal(t, 9.984, blind.TargetMM)
	p, err := NewPlan(q)
	require.NoError(t, err)
	require.True(t, p.Feasibility.Blind)
	require.Contains(t, p.Feasibility.Words(MM), "plug of 9.984 mm")
	require.Empty(t, p.Rows)
}

func TestFeasibilityNamesTheGaugeThatWouldDo(t *testing.T) {
	q := shopRequest(0.026)
	g, err := GaugeByKind("caliper")
	require.NoError(t, err)
	q.Gauge = g
	f := Feasible(q)
	require.False(t, f.OK)
	require.Contains(t, f.Would, "bore gauge")
	require.NotContains(t, f.Would, "caliper")
	q.ScatterMM = 0.010
	f = Feasible(q)
	require.Empty(t, f.Would)
	require.Greater(t, f.MachineMM, f.WidthMM)
	require.Contains(t, f.Words(MM), "the machine's scatter alone needs")
	// With the offset known, no bias and no rounding it is the one-shot rule:
	// 3.97, 3.61 and 3.29 standard deviations (worked by hand).
	q = shopRequest(0.026)
	q.Gauge, q.ScatterMM, q.Offset.SdMM, q.ResolutionMM = Gauge{SdMM: 0.0001}, 0.005, 0.0005, 1e-9
	for _, c := range []struct{ risk, doubt, want float64 }{{0.01, 0.05, 3.97}, {0.01, 0.10, 3.61}, {0.05, 0.05, 3.29}} {
		q.Risk, q.Doubt = c.risk, c.doubt
		require.InDelta(t, c.want, q.neededMM(q.Gauge)/0.005, 0.03)
	}
}

// Whatever the readings, the sum of the risks of a part's passes stays within
// the budget, commands are on the control's grid, and steps are kept.
func TestPlannedPassesKeepTheirBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := shopRequest(rapid.Float64Range(0.012, 0.06).Draw(t, "width"))
		q.StartMM = 9.9
		s, err := NewSession(q, true)
		if err != nil {
			t.Fatal(err)
		}
		spent, last := 0.0, 0.0
		for range 12 {
			a := s.Next()
			if sum := a.Chances.In + a.Chances.Under + a.Chances.Over; math.Abs(sum-1) > 1e-9 {
				t.Fatalf("chances of %+v add up to %v", a, sum)
			}
			switch a.Do {
			case Done, Stop:
				return
			case Measure:
				if err := s.Read(measured(a.ExpectMM + rapid.Float64Range(-3, 3).Draw(t, "off")*math.Hypot(a.SdMM, 0.003))); err != nil {
					t.Fatal(err)
				}
				continue
			}
			spent += a.AddedRisk
			if spent > q.Risk+1e-12 {
				t.Fatalf("pass %d brings the part's risk to %.4f, want at most %.4f", a.Pass, spent, q.Risk)
			}
			if off := math.Remainder(a.CommandMM, q.ResolutionMM); math.Abs(off) > 1e-9 {
				t.Fatalf("command %.6f mm is not a multiple of %.4f mm", a.CommandMM, q.ResolutionMM)
			}
			if a.Pass > 1 && a.CommandMM > last+q.StepMM+1e-9 {
				t.Fatalf("pass %d grows by %.4f mm, more than the step %.4f mm", a.Pass, a.CommandMM-last, q.StepMM)
			}
			if a.Do == Spring && math.Abs(a.CommandMM-last) > 1e-9 {
				t.Fatalf("a spring pass at %.4f mm after %.4f mm", a.CommandMM, last)
			}
			last = a.CommandMM
			if err := s.Cut(a.CommandMM); err != nil {
				t.Fatal(err)
			}
		}
	})
}

func TestPlanTellsTheWay(t *testing.T) {
	q := shopRequest(0.022)
	q.StartMM = 9.9
	p, err := NewPlan(q)
	require.NoError(t, err)
	require.True(t, p.Feasibility.OK)
	require.Equal(t, Done, p.Ends.Do)
	require.NotEmpty(t, p.Rows)
	for i, r := range p.Rows {
		require.Equal(t, i+1, r.N)
		require.NotEmpty(t, r.Says)
		if i > 0 {
			require.Greater(t, r.CommandMM, p.Rows[i-1].CommandMM)
		}
	}
	// A reading inside the row's own band ends the part, one over it doesn't.
	last := p.Rows[len(p.Rows)-1]
	require.Greater(t, last.DoneFromMM, 0.0)
	for mm, want := range map[float64]bool{(last.DoneFromMM + last.DoneToMM) / 2: true, last.OverAboveMM + 0.002: false, last.DoneFromMM - 0.003: false} {
		s := session(t, q)
		for i, r := range p.Rows {
			require.NoError(t, s.Cut(r.CommandMM))
			if i < len(p.Rows)-1 {
				require.NoError(t, s.Read(r.Reading))
			}
		}
		require.NoError(t, s.Read(measured(mm)))
		require.Equalf(t, want, s.Next().Do == Done, "a reading of %.4f mm", mm)
	}
}

func TestRequestsThatCannotBe(t *testing.T) {
	for what, spoil := range map[string]func(*Request){
		"largest bore":       func(q *Request) { q.Window.UpperMM = q.Window.LowerMM },
		"least bore":         func(q *Request) { q.Window.LowerMM = math.NaN() },
		"risk a part":        func(q *Request) { q.Risk = 0 },
		"step on diameter":   func(q *Request) { q.StepMM = math.Inf(1) },
		"pass scatter":       func(q *Request) { q.ScatterMM = 0 },
		"bore before":        func(q *Request) { q.StartMM = 11 },
		"gauge noise":        func(q *Request) { q.Gauge.SdMM = -1 },
		"readings a pass":    func(q *Request) { q.MaxReadings = 0 },
		"resolution":         func(q *Request) { q.ResolutionMM = 0 },
		"standard deviation": func(q *Request) { q.Offset.SdMM = 1 },
	} {
		q := shopRequest(0.022)
		spoil(&q)
		_, err := NewPlan(q)
		require.ErrorContains(t, err, what)
	}
	s := session(t, shopRequest(0.022))
	require.ErrorContains(t, s.Read(measured(9.9)), "no pass yet")
	require.Error(t, s.Cut(math.NaN()))
	require.NoError(t, s.Cut(9.96))
	require.Error(t, s.Read(Reading{Kind: Measured, MM: math.NaN()}))
	require.ErrorContains(t, s.Read(Reading{Kind: Limits, GoesMM: 10, StopsMM: 9.9}), "must be larger")
	require.ErrorContains(t, s.Read(Reading{Kind: Felt, Feel: Starts, PlugMM: 10}), "measured bores only")
}

// The first pass must leave room: a start so near that nothing may be cut is said.
func TestAStartTooLargeIsSaid(t *testing.T) {
	q := shopRequest(0.022)
	q.StartMM = 9.985
	a := session(t, q).Next()
	require.Equal(t, Stop, a.Do)
	require.Equal(t, StartsLarge, a.Why)
}

func benchmarkNext(b *testing.B, kind string) {
	q := shopRequest(0.030)
	q.StartMM = 9.9
	q.Gauge, _ = GaugeByKind(kind)
	q.Gauge.PlugMM = 9.981
	state := State{Request: q}
	for range 5 {
		p := Part{}
		for _, c := range []float64{9.966, 9.986, 10.006} {
			r := measured(c - 0.03)
			if q.Gauge.Feels {
				r = Reading{Kind: Felt, Feel: WontStart, PlugMM: q.Gauge.PlugMM}
			}
			p.Passes = append(p.Passes, Pass{CommandedMM: c, Readings: []Reading{r}})
		}
		state.Parts = append(state.Parts, p)
	}
	for b.Loop() {
		if _, err := Next(state); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkNextMeasured(b *testing.B) { benchmarkNext(b, "bore gauge") }
func BenchmarkNextFelt(b *testing.B)     { benchmarkNext(b, "plug") }

// Feel alone uses the risk up before the plug starts: that is said as it is.
func TestRiskThatIsSpentIsSaid(t *testing.T) {
	q := shopRequest(0.022)
	q.StartMM = 9.9
	q.Gauge, _ = GaugeByKind("plug")
	q.Gauge.PlugMM = q.PlugTargetMM()
	s, err := NewSession(q, false)
	require.NoError(t, err)
	for range 20 {
		a := s.Next()
		if a.Do == Stop {
			require.Equal(t, RiskSpent, a.Why)
			require.Contains(t, a.Words(MM), "risk accepted for this part is spent")
			return
		}
		require.Contains(t, []Do{Cut, Spring}, a.Do)
		require.NoError(t, s.Cut(a.CommandMM))
		require.NoError(t, s.Read(Reading{Kind: Felt, Feel: WontStart, PlugMM: q.Gauge.PlugMM}))
	}
	t.Fatal("twenty passes that won't start, and the risk is not spent")
}

// A fine set of pins gives many intervals, each of them unlikely; none is a
// surprise for that.
func TestFinePinsAreNoSurprise(t *testing.T) {
	g := Gauge{Kind: "pin gauges", SdMM: 0.0015, BiasSdMM: 0.001, PinStepMM: 0.001, EntryMM: 0.002}
	b := newGrid(Prior{-0.03, 0.02, 0}, g, 0.004, 0.1, 9.85)
	b.Cut(9.97)
	at := func(sd float64) float64 {
		goes := 9.94 + sd*0.0209 - g.EntryMM
		return b.Tail(Reading{Kind: Limits, GoesMM: goes, StopsMM: goes + g.PinStepMM})
	}
	require.Greater(t, at(2.5), surpriseTail)
	require.Greater(t, at(-2.5), surpriseTail)
	require.Less(t, at(3.8), surpriseTail)
	require.Less(t, at(-3.8), surpriseTail)
}
