package bore

import (
	"fmt"
	"math"
	"slices"
)

// Do is what to do next at the machine.
type Do string

// The things to do.
const (
	Cut     Do = "cut"     // a pass at CommandMM
	Spring  Do = "spring"  // the same pass again, with the same command
	Measure Do = "measure" // look at the bore as it stands, once more
	Done    Do = "done"
	Stop    Do = "stop"
)

// Why says what lies behind a [Do].
type Why string

// The reasons.
const (
	FirstPass   Why = "first pass"
	NextPass    Why = "next pass"
	NoReading   Why = "no reading yet"
	Unsure      Why = "another reading would tell"
	InWindow    Why = "in the window"
	Surprise    Why = "surprise"
	TooLarge    Why = "probably too large"
	TooNarrow   Why = "window too narrow for what is known"
	RiskSpent   Why = "the part's risk is spent"
	StartsLarge Why = "start too large"
	SpringPass  Why = "no dependable chip left"
)

// Answer is the next thing to do, with what is held to be true.
type Answer struct {
	Do        Do
	Why       Why
	Part      int // from 1
	Pass      int // the pass that the answer is about, from 1
	CommandMM float64
	// WallStockMM is left per wall at the command, from the insert's nominal size.
	WallStockMM float64
	// ExpectMM and SdMM are the expected bore: after the pass if one is to be
	// made, as it stands otherwise. Chances are of that bore.
	ExpectMM, SdMM float64
	Chances        Chances
	// AddedRisk is what the pass spends of the part's risk; RiskLeft is what was
	// left before it.
	AddedRisk, RiskLeft float64
	// SurpriseMM is how far the last reading is from what was expected.
	SurpriseMM float64
	// Dropped counts readings of this pass that were set aside as mistaken.
	Dropped int
	// OffsetMM is the belief about real minus commanded bore.
	OffsetMM, OffsetSdMM float64
}

// surpriseTail is the tail of three standard deviations.
var surpriseTail = oddness(3)

// Shares of the risk left that one pass may spend: while the window can't be
// reached yet it keeps half for later; a pass that should land in it may spend
// most, and leaves the rest for one more. With less than spentShare of the
// part's risk left there is no further pass. Chosen by simulation.
const (
	farShare   = 0.5
	landShare  = 0.85
	spentShare = 0.25
)

// Session walks through a batch. It is not safe for use by several goroutines.
type Session struct {
	request Request
	part    int
	pass    int

	before    Belief // before the pass
	after     Belief // after the pass, before its readings
	now       Belief // with its readings
	commanded float64
	spent     float64 // of the part's risk
	readings  []Reading
	springs   int
	surprise  float64 // mm; kept while a reading is odd and unexplained
	odd       bool
	dropped   int
}

// NewSession begins with part 1. numbersOnly promises that every reading of the
// whole batch will be a number, so that the closed form can serve. It returns
// the error of [Request.Check].
func NewSession(q Request, numbersOnly bool) (*Session, error) {
	if err := q.Check(); err != nil {
		return nil, err
	}
	return &Session{request: q, part: 1, now: q.belief(numbersOnly)}, nil
}

// NextPart begins another part. extraSdMM is the doubt about the offset that a
// change brings (see [Change]), on top of the request's drift.
func (s *Session) NextPart(extraSdMM float64) {
	s.now.NewPart(s.startMM(), math.Hypot(s.request.DriftSdMM, extraSdMM))
	s.part++
	s.pass, s.spent, s.springs, s.commanded = 0, 0, 0, 0
	s.readings, s.odd, s.dropped, s.surprise = nil, false, 0, 0
}

// SetWindow changes the window, for another insert as measured. The request's
// plug stays.
func (s *Session) SetWindow(w Window) { s.request.Window = w }

func (s *Session) startMM() float64 {
	if _, ok := s.now.(*grid); ok {
		return s.request.gridStart()
	}
	return s.request.StartMM
}

// Bore gives mean and standard deviation of the bore as it stands, in mm.
func (s *Session) Bore() (meanMM, sdMM float64) { return s.now.Bore() }

// Cut says that a pass was made.
func (s *Session) Cut(commandedMM float64) error {
	if err := within("commanded bore", commandedMM, 0.5, MaxDiameterMM, "mm"); err != nil {
		return err
	}
	_, added := s.now.After(commandedMM, s.request.Window)
	s.spent += added
	if s.pass > 0 && math.Abs(commandedMM-s.commanded) < s.request.ResolutionMM/2 {
		s.springs++
	}
	s.before = s.now
	s.after = s.before.Clone()
	s.after.Cut(commandedMM)
	s.now = s.after
	s.pass++
	s.commanded, s.readings, s.odd, s.dropped, s.surprise = commandedMM, nil, false, 0, 0
	return nil
}

// Read takes in one more reading of the pass. A reading far outside the belief
// is held back until another one tells whether it was a mistake: if the next
// agrees with the belief, the odd one is dropped; if two odd ones agree with
// each other, the machine is not what it was taken for and the offset's doubt
// is widened by what they are off.
func (s *Session) Read(r Reading) error {
	if err := r.check(); err != nil {
		return err
	}
	if s.pass == 0 {
		return fmt.Errorf("part %d has no pass yet to be measured", s.part)
	}
	if _, isClosed := s.after.(*closed); isClosed && r.Kind != Measured {
		return fmt.Errorf("this session was begun for measured bores only")
	}
	s.readings = append(s.readings, r)
	s.odd, s.dropped, s.surprise = false, 0, 0
	ordinary := s.after.Clone()
	var odd []Reading
	taken := 0
	for _, r := range s.readings {
		if ordinary.Tail(r) < surpriseTail {
			odd = append(odd, r)
			continue
		}
		if s.mayAdd(r, taken) {
			ordinary.Read(r)
		}
		taken++
	}
	switch {
	case taken > 0:
		s.now, s.dropped = ordinary, len(odd)
	case s.agree(odd):
		s.now = s.believe(odd)
	default:
		s.odd = true
		s.surprise = s.after.SurpriseMM(odd[len(odd)-1])
		s.now = s.after
	}
	return nil
}

// mayAdd says that a reading tells something new: the same feel again doesn't.
func (s *Session) mayAdd(r Reading, taken int) bool {
	return taken == 0 || r.Kind != Felt || s.readings[0].Kind != Felt || r.PlugMM != s.readings[0].PlugMM
}

// agree says that the last two odd readings tell the same.
func (s *Session) agree(odd []Reading) bool {
	if len(odd) < 2 {
		return false
	}
	a, b := odd[len(odd)-1], odd[len(odd)-2]
	if a.Kind != b.Kind {
		return false
	}
	if a.Kind == Measured {
		g := s.request.Gauge.SdMM
		return math.Abs(a.MM-b.MM) <= 3*math.Sqrt(2*g*g+a.ExtraSdMM*a.ExtraSdMM+b.ExtraSdMM*b.ExtraSdMM)
	}
	return a == b
}

// believe takes the last two odd readings at their word.
func (s *Session) believe(odd []Reading) Belief {
	b := s.before.Clone()
	last := odd[len(odd)-2:]
	wide := math.Abs(s.after.SurpriseMM(last[1]))
	if wide == 0 {
		wide = s.request.Offset.SdMM
	}
	b.Widen(wide)
	b.Cut(s.commanded)
	for i, r := range last {
		if i == 0 || r.Kind == Measured {
			b.Read(r)
		}
	}
	return b
}

// Next says what to do now.
func (s *Session) Next() Answer {
	q := s.request
	a := Answer{Part: s.part, Pass: s.pass, CommandMM: s.commanded, RiskLeft: math.Max(q.Risk-s.spent, 0), SurpriseMM: s.surprise, Dropped: s.dropped}
	a.OffsetMM, a.OffsetSdMM = s.now.Offset()
	if s.pass == 0 {
		return s.first(a)
	}
	a.ExpectMM, a.SdMM = s.now.Bore()
	a.Chances = s.now.Chances(q.Window)
	a.WallStockMM = (q.InsertNominalMM - s.commanded) / 2
	switch {
	case s.odd:
		a.Do, a.Why = Stop, Surprise
	case len(s.readings) == 0:
		a.Do, a.Why = Measure, NoReading
	case a.Chances.In >= 1-q.Doubt:
		a.Do, a.Why = Done, InWindow
	default:
		a = s.decide(a)
	}
	return a
}

// first plans the first pass of a part.
func (s *Session) first(a Answer) Answer {
	command := s.largest(a.RiskLeft, math.Inf(1))
	a.Pass = 1
	if s.request.StartMM > 0 && command+a.OffsetMM < s.request.StartMM+s.request.ChipMM {
		a.Do, a.Why, a.CommandMM = Stop, StartsLarge, 0
		a.ExpectMM, a.Chances = s.request.StartMM, s.now.Chances(s.request.Window)
		return a
	}
	return s.to(a, Cut, FirstPass, command)
}

// decide weighs another reading against another pass.
func (s *Session) decide(a Answer) Answer {
	q := s.request
	more := len(s.readings) < q.MaxReadings && !q.Gauge.Feels && q.Gauge.PinStepMM == 0
	if more && !s.usedGauge() {
		a.Do, a.Why = Measure, Unsure // so far only felt, with a better gauge at hand
		return a
	}
	if a.Chances.Over > a.Chances.Under {
		if more && a.Chances.Over < 1-q.Doubt {
			a.Do, a.Why = Measure, Unsure
			return a
		}
		a.Do, a.Why = Stop, TooLarge
		if a.Chances.Over < 0.5 {
			a.Why = TooNarrow
		}
		return a
	}
	if more && a.Chances.Under < 0.5 {
		a.Do, a.Why = Measure, Unsure
		return a
	}
	if a.Chances.Over <= q.Risk {
		command := s.largest(a.RiskLeft, s.commanded+q.StepMM)
		grows := command + a.OffsetMM - a.ExpectMM
		switch {
		case grows >= q.ChipMM && command >= s.commanded+q.ResolutionMM/2:
			return s.to(a, Cut, NextPass, command)
		case command >= s.commanded-q.ResolutionMM/2 && s.springs < 1:
			return s.to(a, Spring, SpringPass, s.commanded)
		}
	}
	if more {
		a.Do, a.Why = Measure, Unsure
		return a
	}
	a.Do, a.Why = Stop, TooNarrow
	if a.Chances.Under > 0.5 && a.RiskLeft < spentShare*q.Risk {
		a.Why = RiskSpent
	}
	return a
}

// usedGauge says that the pass was read with the request's own gauge.
func (s *Session) usedGauge() bool {
	return slices.ContainsFunc(s.readings, func(r Reading) bool { return r.sharesBias(s.request.Gauge) })
}

// to fills in an answer that makes a pass.
func (s *Session) to(a Answer, do Do, why Why, commandMM float64) Answer {
	b := s.now.Clone()
	a.Chances, a.AddedRisk = b.After(commandMM, s.request.Window)
	b.Cut(commandMM)
	a.Do, a.Why, a.CommandMM, a.Pass = do, why, commandMM, s.pass+1
	a.ExpectMM, a.SdMM = b.Bore()
	a.WallStockMM = (s.request.InsertNominalMM - commandMM) / 2
	return a
}

// largest is the largest command that adds no more risk than a share of what is
// left, is not above most, and doesn't aim past the middle of the window, where
// there is nothing to gain. It is rounded down to the control's resolution.
func (s *Session) largest(riskLeft, mostMM float64) float64 {
	q := s.request
	offset, _ := s.now.Offset()
	top := math.Min(mostMM, q.Window.MiddleMM()-offset)
	land := s.fitting(riskLeft*landShare, top)
	if c, _ := s.now.After(land, q.Window); c.In >= 0.5 {
		return land
	}
	far := s.fitting(riskLeft*farShare, top)
	if s.pass == 0 {
		return far
	}
	// A pass too small to cut dependably is no caution: spend what a chip takes.
	bore, _ := s.now.Bore()
	chip := math.Ceil((bore-offset+q.ChipMM)/q.ResolutionMM) * q.ResolutionMM
	return math.Max(far, math.Min(chip, land))
}

// fitting gives the largest multiple of the resolution, up to topMM, whose added
// risk is at most the given one. The risk rises with the command.
func (s *Session) fitting(risk, topMM float64) float64 {
	q := s.request
	fits := func(steps int) bool {
		_, added := s.now.After(float64(steps)*q.ResolutionMM, q.Window)
		return added <= risk
	}
	most := int(math.Round(q.floor(topMM) / q.ResolutionMM))
	if fits(most) {
		return float64(most) * q.ResolutionMM
	}
	least := most - 1
	for width := 2; !fits(least); width *= 2 {
		most = least
		least -= width
		if float64(least)*q.ResolutionMM < q.Window.LowerMM-2 {
			break
		}
	}
	for most-least > 1 {
		if mid := (least + most) / 2; fits(mid) {
			least = mid
		} else {
			most = mid
		}
	}
	return float64(least) * q.ResolutionMM
}
