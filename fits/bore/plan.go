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
	// Do is what is expected after the pass's reading, and Reading what the
	// gauge is then expected to tell.
	Then    Do
	Reading Reading
	// OverAboveMM is the reading from which the bore is more likely over than
	// not, DoneFromMM and DoneToMM those between which it is done; all 0 where
	// the gauge gives no number, and Done both 0 where no reading alone would do.
	DoneFromMM, DoneToMM, OverAboveMM float64
	Says                              string
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

// expectedReading is the likeliest reading of the bore as it stands.
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

// verdicts gives what a single measured reading of the pass would mean.
func (s *Session) verdicts() (doneFrom, doneTo, overAbove float64) {
	q := s.request
	if !q.Gauge.Reads() {
		return 0, 0, 0
	}
	at := func(mm float64) Chances {
		b := s.now.Clone()
		b.Read(Reading{Kind: Measured, MM: mm})
		return b.Chances(q.Window)
	}
	const step = 0.0005
	least := math.Floor((q.Window.LowerMM-0.02)/step) * step
	for mm := least; mm < q.Window.UpperMM+0.06; mm += step {
		c := at(mm)
		if c.In >= 1-q.Doubt {
			if doneFrom == 0 {
				doneFrom = mm
			}
			doneTo = mm
		}
		if c.Over > 0.5 {
			overAbove = mm
			break
		}
	}
	return doneFrom, doneTo, overAbove
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
