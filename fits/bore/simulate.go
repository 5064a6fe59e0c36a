package bore

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
)

// Way is how the simulated operator goes about it.
type Way string

// The ways that are compared.
const (
	Learning   Way = "learning"    // this package
	FixedSteps Way = "fixed steps" // a step at a time until a reading is in
	HalfWay    Way = "half way"    // measure, then go half of what is left
)

// Truth is the simulated machine and shop: what the plan does not know. The zero
// value is a machine inside the prior and a gauge as described.
type Truth struct {
	OffsetTimes  float64 // times the offset drawn from the prior; 0 means 1
	ScatterTimes float64 // times the request's scatter; 0 means 1
	GaugeBiasMM  float64 // the gauge reads so much too large, on top of what it draws
	WarmK        float64 // the part is warmer than the gauge, and nobody says so
	AlphaPerK    float64 // of the part
	SwappedDigit bool    // one reading of each batch has two digits swapped
	TaperMM      float64 // the bottom is smaller: the gauge sees the mouth, insert and plug the bottom
}

// Scenario is one simulation.
type Scenario struct {
	Request Request
	Truth   Truth
	Way     Way
	FromMM  float64 // bore before creeping
	Batches int     // 1 to 1,000,000
	Parts   int     // a batch, 1 to 1,000
	Seed    uint64
}

// Tally counts over all parts with the same number in their batch.
type Tally struct {
	Parts                       int
	Passes, Readings            int
	Spoiled, In, Under, Flagged int // flagged: at least one surprise
}

// PerPart gives a count as a share of the parts.
func (t Tally) PerPart(n int) float64 { return float64(n) / float64(t.Parts) }

func (t Tally) plus(u Tally) Tally {
	return Tally{
		t.Parts + u.Parts, t.Passes + u.Passes, t.Readings + u.Readings,
		t.Spoiled + u.Spoiled, t.In + u.In, t.Under + u.Under, t.Flagged + u.Flagged,
	}
}

// Outcome is what a simulation gives: a tally for each part number and for all.
type Outcome struct {
	ByPart []Tally
	All    Tally
}

// Simulate plays batches against a machine with its own hidden offset, scatter,
// drift and gauge. A bore is spoiled if it ends above the window where the
// insert feels it. The same scenario gives the same outcome. It returns the
// errors of [Request.Check] and a *RangeError, or ctx's error when stopped.
func Simulate(ctx context.Context, sc Scenario) (Outcome, error) {
	for _, e := range []error{
		sc.Request.Check(),
		within("batches", float64(sc.Batches), 1, 1e6, ""),
		within("parts a batch", float64(sc.Parts), 1, 1000, ""),
		within("bore before creeping", sc.FromMM, 0.5, sc.Request.Window.UpperMM, "mm"),
		within("warm part", sc.Truth.WarmK, -60, 200, "K"),
		within("gauge bias", sc.Truth.GaugeBiasMM, -0.2, 0.2, "mm"),
		within("taper", sc.Truth.TaperMM, 0, 0.2, "mm"),
		within("times the offset", sc.Truth.OffsetTimes, 0, 10, ""),
		within("times the scatter", sc.Truth.ScatterTimes, 0, 10, ""),
	} {
		if e != nil {
			return Outcome{}, e
		}
	}
	sc.Request.StartMM = sc.FromMM
	out := Outcome{ByPart: make([]Tally, sc.Parts)}
	for i := range sc.Batches {
		if err := ctx.Err(); err != nil {
			return Outcome{}, err
		}
		if err := sc.batch(uint64(i), out.ByPart); err != nil {
			return Outcome{}, err
		}
	}
	for _, t := range out.ByPart {
		out.All = out.All.plus(t)
	}
	return out, nil
}

// shop is one batch's hidden truth.
type shop struct {
	sc                  *Scenario
	rng                 *rand.Rand
	offset, scatter     float64
	bias                float64
	bore                float64
	swapPart            int
	part, passes, reads int
	flagged             bool
}

func orOne(v float64) float64 {
	if v == 0 {
		return 1
	}
	return v
}

func (sc *Scenario) batch(n uint64, tallies []Tally) error {
	q := sc.Request
	s := &shop{sc: sc, rng: rand.New(rand.NewPCG(sc.Seed, n)), swapPart: -1}
	s.offset = (q.Offset.MeanMM + q.Offset.SdMM*s.rng.NormFloat64()) * orOne(sc.Truth.OffsetTimes)
	s.scatter = q.ScatterMM * orOne(sc.Truth.ScatterTimes)
	s.bias = q.Gauge.BiasSdMM * s.rng.NormFloat64()
	if sc.Truth.SwappedDigit {
		s.swapPart = s.rng.IntN(sc.Parts)
	}
	session, err := NewSession(q, q.Gauge.Reads())
	if err != nil {
		return err
	}
	for i := range tallies {
		s.part, s.passes, s.reads, s.flagged, s.bore = i, 0, 0, false, sc.FromMM
		if i > 0 {
			s.offset += q.DriftSdMM * s.rng.NormFloat64()
		}
		switch sc.Way {
		case Learning:
			if i > 0 {
				session.NextPart(0)
			}
			err = s.learn(session)
		case FixedSteps:
			s.step(func(float64) float64 { return q.StepMM })
		case HalfWay:
			s.step(func(left float64) float64 {
				if math.IsInf(left, 1) { // it won't start, which tells no number
					return q.StepMM
				}
				return left / 2
			})
		default:
			err = fmt.Errorf("way %q is not known, must be %s, %s or %s", sc.Way, Learning, FixedSteps, HalfWay)
		}
		if err != nil {
			return err
		}
		tallies[i] = tallies[i].plus(s.tally())
	}
	return nil
}

// tally judges the bore where the insert feels it.
func (s *shop) tally() Tally {
	t := Tally{Parts: 1, Passes: s.passes, Readings: s.reads}
	w, felt := s.sc.Request.Window, s.bore-s.sc.Truth.TaperMM
	switch {
	case felt > w.UpperMM:
		t.Spoiled = 1
	case felt < w.LowerMM:
		t.Under = 1
	default:
		t.In = 1
	}
	if s.flagged {
		t.Flagged = 1
	}
	return t
}

func (s *shop) cut(commandedMM float64) {
	s.bore = math.Max(s.bore, commandedMM+s.offset+s.scatter*s.rng.NormFloat64())
	s.passes++
}

// read looks at the bore with the request's gauge.
func (s *shop) read() Reading {
	g := s.sc.Request.Gauge
	s.reads++
	noise := g.SdMM * s.rng.NormFloat64()
	seen := s.bore + s.bias + s.sc.Truth.GaugeBiasMM + noise + s.bore*s.sc.Truth.AlphaPerK*s.sc.Truth.WarmK
	switch {
	case g.Feels:
		x := seen - s.sc.Truth.TaperMM - g.PlugMM
		for _, f := range Feels {
			if _, most := f.Band(); x < most {
				return Reading{Kind: Felt, Feel: f, PlugMM: g.PlugMM}
			}
		}
		panic("bore: the last feel has no end")
	case g.PinStepMM > 0:
		goes := math.Floor((seen-g.EntryMM)/g.PinStepMM) * g.PinStepMM
		return Reading{Kind: Limits, GoesMM: goes, StopsMM: goes + g.PinStepMM}
	}
	if s.part == s.swapPart && s.reads == 1 {
		seen = swapped(seen, s.rng.IntN(2))
	}
	return Reading{Kind: Measured, MM: math.Round(seen*1e3) / 1e3}
}

// swapped swaps two neighbouring digits of the three decimals.
func swapped(mm float64, which int) float64 {
	um := int(math.Round(mm * 1e3))
	a, b, c := um/100%10, um/10%10, um%10
	if which == 0 {
		a, b = b, a
	} else {
		b, c = c, b
	}
	return float64(um/1000*1000+a*100+b*10+c) / 1e3
}

// learn plays one part by the package's answers.
func (s *shop) learn(session *Session) error {
	surprises := 0
	for s.passes < mostPasses {
		a := session.Next()
		switch {
		case a.Do == Cut || a.Do == Spring:
			if err := session.Cut(a.CommandMM); err != nil {
				return err
			}
			s.cut(a.CommandMM)
		case a.Do == Measure || a.Why == Surprise && surprises < 3:
			if a.Why == Surprise {
				s.flagged = true
				surprises++
			}
			if err := session.Read(s.read()); err != nil {
				return err
			}
		default:
			return nil
		}
	}
	return nil
}

// step plays one part without learning: a pass, a reading, and on until the
// reading (or the feel) says that the window is reached.
func (s *shop) step(grow func(leftMM float64) float64) {
	q := s.sc.Request
	command, seen := s.sc.FromMM, s.sc.FromMM
	for s.passes < 4*mostPasses {
		command += grow(q.Window.MiddleMM() - seen)
		s.cut(command)
		r := s.read()
		switch r.Kind {
		case Measured:
			seen = r.MM
		case Limits:
			seen = r.GoesMM + q.Gauge.EntryMM
		default:
			seen, _ = r.Feel.Band()
			seen += q.Gauge.PlugMM
		}
		if seen >= q.Window.LowerMM {
			return
		}
	}
}
