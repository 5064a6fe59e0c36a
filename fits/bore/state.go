package bore

import (
	"fmt"
	"math"
)

// Change is what has changed since the part before.
type Change string

// The changes that bring doubt about the offset, and how much: a tool change
// as much as the tool's tolerance and its run-out, another depth or material as
// much as the deflection may differ. Judgement, no source.
const (
	ToolChanged     Change = "tool"
	DepthChanged    Change = "depth"
	MaterialChanged Change = "material"
)

// Changes lists them.
var Changes = []Change{ToolChanged, DepthChanged, MaterialChanged}

// ExtraSdMM is the doubt that changes bring, given the first doubt about the
// offset. It is never more than that first doubt.
func ExtraSdMM(p Prior, changes []Change) (float64, error) {
	v := 0.0
	for _, c := range changes {
		switch c {
		case ToolChanged:
			v += p.SdMM * p.SdMM
		case DepthChanged, MaterialChanged:
			e := math.Max(p.DeflectionMM, p.SdMM/4)
			v += e * e
		default:
			return 0, fmt.Errorf("change %q is not known, must be tool, depth or material", c)
		}
	}
	return math.Min(math.Sqrt(v), p.SdMM), nil
}

// Pass is one pass as made and what was seen of it.
type Pass struct {
	CommandedMM float64
	Readings    []Reading
}

// Part is one part of the batch.
type Part struct {
	Changes []Change
	Window  *Window // of this part's own insert, if it was measured
	Passes  []Pass
}

// State is a batch as it stands. The last part is the one at the machine.
type State struct {
	Request Request
	Parts   []Part
}

// numbersOnly says that every reading is a number.
func (s State) numbersOnly() bool {
	for _, p := range s.Parts {
		for _, c := range p.Passes {
			for _, r := range c.Readings {
				if r.Kind != Measured {
					return false
				}
			}
		}
	}
	return true
}

// Replay walks through the batch. It returns the errors of [Request.Check] and
// those of a pass or reading that can't be.
func Replay(state State) (*Session, error) {
	s, err := NewSession(state.Request, state.numbersOnly())
	if err != nil {
		return nil, err
	}
	for i, p := range state.Parts {
		extra, err := ExtraSdMM(state.Request.Offset, p.Changes)
		if err != nil {
			return nil, err
		}
		switch {
		case i > 0:
			s.NextPart(extra)
		case extra > 0:
			s.now.Widen(extra)
		}
		s.SetWindow(state.Request.Window)
		if p.Window != nil {
			q := state.Request
			q.Window = *p.Window
			if err := q.Check(); err != nil {
				return nil, err
			}
			s.SetWindow(*p.Window)
		}
		for _, c := range p.Passes {
			if err := s.Cut(c.CommandedMM); err != nil {
				return nil, err
			}
			for _, r := range c.Readings {
				if err := s.Read(r); err != nil {
					return nil, err
				}
			}
		}
	}
	return s, nil
}

// Next says what to do next in a batch: see [Session.Next].
func Next(state State) (Answer, error) {
	s, err := Replay(state)
	if err != nil {
		return Answer{}, err
	}
	return s.Next(), nil
}
