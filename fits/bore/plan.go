package bore

import (
	"errors"
	"math"
)

// Row is one pass of a plan made before the first chip, on the supposition that
// each reading comes out as expected.
type Row struct {
	N         int
	CommandMM float64
	// WallStockMM is left per wall, from the insert's nominal size.
	WallStockMM float64
	ExpectMM    float64
	SdMM        float64
	// POver is the chance that the bore is over after this pass.
	POver float64
	PIn   float64
	// Reading is what the gauge is expected to tell of it, and Then what to do
	// after that.
	Reading Reading
	Then    Do
	// DoneFromMM to DoneToMM are the readings that would end the part, and from
	// OverAboveMM on the bore is more likely over than not: a measured bore, or
	// the largest pin that goes. 0 where no one reading would do, and for a feel.
	DoneFromMM, DoneToMM, OverAboveMM float64
	// Felt tells what each word would mean where a plug is felt.
	Felt []Meaning
	Says string
}

// Meaning is what a feel tells about the bore.
type Meaning struct {
	Feel    Feel
	Chances Chances
}

// Plan is the way from the start to the window as expected, and what can be
// said about it before the first pass.
type Plan struct {
	Rows        []Row
	Feasibility Feasibility
	// Ends is how the expected way ends.
	Ends Answer
}

// mostPasses ends a plan that does not end by itself.
const mostPasses = 40

// NewPlan gives the table of passes. A window that can't be hit dependably is no
// error: the feasibility says so, and the rows show how far one gets. It returns
// the errors of [Request.Check], except that a blind gauge gives an infeasible
// plan without rows.
func NewPlan(q Request) (Plan, error) {
	var blind *BlindGaugeError
	if err := q.Check(); errors.As(err, &blind) {
		return Plan{Feasibility: Feasible(q), Ends: Answer{Do: Stop, Why: TooNarrow, Part: 1}}, nil
	} else if err != nil {
		return Plan{}, err
	}
	s, err := NewSession(q, true)
	if err != nil {
		return Plan{}, err
	}
	p := Plan{Feasibility: Feasible(q)}
	for len(p.Rows) < mostPasses {
		a := s.Next()
		if a.Do != Cut && a.Do != Spring {
			p.Ends = a
			break
		}
		row := Row{
			N: a.Pass, CommandMM: a.CommandMM, WallStockMM: a.WallStockMM,
			ExpectMM: a.ExpectMM, SdMM: a.SdMM, POver: a.Chances.Over, PIn: a.Chances.In,
		}
		if err := s.Cut(a.CommandMM); err != nil {
			return Plan{}, err
		}
		row.DoneFromMM, row.DoneToMM, row.OverAboveMM = s.verdicts()
		row.Felt = s.meanings()
		row.Reading = s.expectedReading()
		p.Ends = Answer{Do: Measure}
		for n := 0; n < q.MaxReadings && p.Ends.Do == Measure; n++ {
			if err := s.Read(row.Reading); err != nil {
				return Plan{}, err
			}
			p.Ends = s.Next()
		}
		row.Then = p.Ends.Do
		row.Says = row.Words(MM)
		p.Rows = append(p.Rows, row)
	}
	return p, nil
}

// expectedReading is the middlemost reading of the bore as it stands.
func (s *Session) expectedReading() Reading {
	g := s.request.Gauge
	mean, _ := s.now.Bore()
	switch {
	case g.Feels:
		best := Reading{}
		most := -1.0
		for _, f := range Feels {
			r := Reading{Kind: Felt, Feel: f, PlugMM: g.PlugMM}
			if p := s.now.Tail(r); p > most {
				best, most = r, p
			}
		}
		return best
	case g.PinStepMM > 0:
		goes := math.Floor((mean-g.EntryMM)/g.PinStepMM+1e-9) * g.PinStepMM
		return Reading{Kind: Limits, GoesMM: goes, StopsMM: goes + g.PinStepMM}
	default:
		return Reading{Kind: Measured, MM: mean}
	}
}

// given tells what the chances would be with one reading of the pass.
func (s *Session) given(r Reading) Chances {
	b := s.now.Clone()
	b.Read(r)
	return b.Chances(s.request.Window)
}

// meanings tells what each word would mean.
func (s *Session) meanings() (all []Meaning) {
	if !s.request.Gauge.Feels {
		return nil
	}
	for _, f := range Feels {
		all = append(all, Meaning{f, s.given(Reading{Kind: Felt, Feel: f, PlugMM: s.request.Gauge.PlugMM})})
	}
	return all
}

// verdicts gives what a single reading of the pass would mean.
func (s *Session) verdicts() (doneFrom, doneTo, overAbove float64) {
	q := s.request
	if q.Gauge.Feels {
		return 0, 0, 0
	}
	step := 0.0005
	reading := func(mm float64) Reading { return Reading{Kind: Measured, MM: mm} }
	if q.Gauge.PinStepMM > 0 {
		step = q.Gauge.PinStepMM
		reading = func(mm float64) Reading { return Reading{Kind: Limits, GoesMM: mm, StopsMM: mm + step} }
	}
	least := math.Floor((q.Window.LowerMM-0.02)/step) * step
	for mm := least; mm < q.Window.UpperMM+0.06; mm += step {
		c := s.given(reading(mm))
		if c.In >= 1-q.Doubt {
			if doneFrom == 0 {
				doneFrom = mm
			}
			doneTo = mm
		}
		if c.Over > 0.5 {
			return doneFrom, doneTo, mm
		}
	}
	return doneFrom, doneTo, 0
}

// Feasibility says before the first pass whether this gauge and this machine
// can hit this window.
type Feasibility struct {
	OK bool
	// NeededMM is the narrowest window that can be hit with the accepted risk
	// and doubt; WidthMM is the
	// window's own width.
	NeededMM, WidthMM float64
	// MachineMM is what the machine alone would need, with a perfect gauge.
	MachineMM float64
	// Blind says that the insert's feel can't tell anything in time; PlugMM is
	// the plug to make instead.
	Blind  bool
	PlugMM float64
	// Would lists the gauges of [Gauges] with which it could be done.
	Would []string
}

// settled is after how many passes a part usually lands: two or three.
const settled = 2.5

// feltBandMM is the band that a press bore is felt in: from `starts` to the end
// of `slides in`.
const feltBandMM = looseEnd

// neededMM is the narrowest feasible window for a gauge:
//
//	(z_risk + z_doubt)·S + resolution,  S² = s_p² + τ² + u²
//
// with s_p the stated scatter, τ the doubt about the offset by then
// and u the gauge's bias. A feel can't be repeated to advantage, so its own
// noise stays in u, too. By simulation (scatter 4 µm) 95 % end in a window of
// this width, with each of the gauges that this package knows.
func (q Request) neededMM(g Gauge) float64 {
	noise, stays := g.SdMM, g.BiasSdMM
	if g.PinStepMM > 0 {
		noise = math.Hypot(noise, g.PinStepMM/math.Sqrt(12))
	}
	if g.Feels {
		noise = math.Hypot(noise, feltBandMM/math.Sqrt(12))
		stays = math.Hypot(stays, noise)
	}
	r2 := q.ScatterMM*q.ScatterMM + noise*noise
	tau2 := 1 / (1/(q.Offset.SdMM*q.Offset.SdMM) + settled/r2)
	s := math.Sqrt(q.ScatterMM*q.ScatterMM + tau2 + stays*stays)
	return (quantile(1-q.Risk)+quantile(1-q.Doubt))*s + q.ResolutionMM
}

// Feasible tells whether the window can be hit, and with which gauges it could.
func Feasible(q Request) Feasibility {
	f := Feasibility{
		NeededMM: q.neededMM(q.Gauge), WidthMM: q.Window.WidthMM(),
		MachineMM: q.neededMM(Gauge{}), PlugMM: q.PlugTargetMM(),
	}
	f.Blind = q.Gauge.Feels && q.Window.UpperMM <= q.Gauge.PlugMM+startsEnd
	f.OK = f.WidthMM >= f.NeededMM && !f.Blind
	for _, g := range Gauges() {
		if g.Kind != "insert" && q.neededMM(g) <= f.WidthMM {
			f.Would = append(f.Would, g.Kind)
		}
	}
	return f
}
