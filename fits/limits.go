package fits

import (
	"math"
	"strings"
)

// umPerThou is exact: 0.001 in is 25.4 µm.
const umPerThou = 25.4

// Kind says what a hole and a shaft do to each other.
type Kind string

// The three kinds of fit, as ISO 286-1 names them. A fit that reaches zero
// clearance at one end is a clearance fit (from above) or an interference fit
// (from below).
const (
	Clearance    Kind = "clearance"
	Transition   Kind = "transition"
	Interference Kind = "interference"
)

// Member is one side of a fit: the tolerance of a hole or of a shaft.
type Member struct {
	Class            string // as the standard writes it, or the text of an own tolerance
	UpperUM, LowerUM float64
	// InThou is set for a member of an inch standard; UpperThou and LowerThou
	// are then its limits in thousandths of an inch, exact.
	InThou               bool
	UpperThou, LowerThou float64
}

// Fit is a size with the limits of a hole, a shaft, or both. The member that
// was not asked for is nil, and then the clearances are 0 and Kind is empty.
type Fit struct {
	SizeMM      float64
	Class       string
	Hole, Shaft *Member

	// Clearance on diameter, hole minus shaft; negative is interference.
	ClearanceMinUM, ClearanceMaxUM float64
	Kind                           Kind

	Standard string // "ISO 286-1:2010", "ANSI B4.1-1967", "own"
	Source   string // where the figures were read
	// FromMemory is set when the row was not seen in any source but only
	// agrees with its neighbours.
	FromMemory bool
}

const isoSource = "ISO 286-1:2010 tables as reproduced by makers' and textbook tables; fundamental deviations a to c, cd, ef, fg, j and k below 180 mm partly from memory, checked against published limits"

// Limits returns the limits of a size in mm for one class ("H7", "p6"), a fit
// ("H7/p6"), or an inch class ("FN2", "LN3", "LT1").
//
// ISO classes hold over 0 to 500 mm, A to ZC and a to zc, IT01 to IT18, as far
// as the standard's tables go; inch classes to 4.73, 5.52 or 7.09 in. A class
// that doesn't exist, or not at that size, is a *ClassError that names the near
// ones; a size outside the tables is a *SizeError.
//
// Source: ISO 286-1:2010; ANSI B4.1-1967 (R1999) after Machinery's Handbook,
// 27th ed. p. 663 and 31st ed. tables 10 to 12.
func Limits(sizeMM float64, class string) (Fit, error) {
	sizeMM = snap(sizeMM)
	class = strings.TrimSpace(class)
	if !(sizeMM > 0) || math.IsInf(sizeMM, 0) {
		return Fit{}, &SizeError{SizeMM: sizeMM, Class: class, Rule: "must be a size above 0"}
	}
	if family, ok := inchFamily(class); ok {
		return inchLimits(sizeMM, class, family)
	}
	hole, shaft, paired := strings.Cut(class, "/")
	if !paired {
		return single(sizeMM, class)
	}
	return pair(sizeMM, class, strings.TrimSpace(hole), strings.TrimSpace(shaft))
}

func single(sizeMM float64, class string) (Fit, error) {
	c, err := parseClass(sizeMM, class)
	if err != nil {
		return Fit{}, err
	}
	m, memory, err := c.limits(sizeMM)
	if err != nil {
		return Fit{}, err
	}
	f := Fit{SizeMM: sizeMM, Class: m.Class, Standard: "ISO 286-1:2010", Source: isoSource, FromMemory: memory}
	if c.hole {
		f.Hole = &m
	} else {
		f.Shaft = &m
	}
	return f, nil
}

func pair(sizeMM float64, class, holeClass, shaftClass string) (Fit, error) {
	h, err := parseClass(sizeMM, holeClass)
	if err != nil {
		return Fit{}, err
	}
	s, err := parseClass(sizeMM, shaftClass)
	if err != nil {
		return Fit{}, err
	}
	switch {
	case !h.hole && s.hole:
		return Fit{}, &ClassError{Class: class, SizeMM: sizeMM, Rule: "the hole's class comes first", Near: existing(sizeMM, s.String()+"/"+h.String())}
	case h.hole && s.hole:
		return Fit{}, &ClassError{Class: class, SizeMM: sizeMM, Rule: "both classes are holes' (capital letters); the second must be a shaft's", Near: existing(sizeMM, h.String()+"/"+strings.ToLower(s.letter)+gradeText(s.grade))}
	case !h.hole && !s.hole:
		return Fit{}, &ClassError{Class: class, SizeMM: sizeMM, Rule: "both classes are shafts' (small letters); the first must be a hole's", Near: existing(sizeMM, strings.ToUpper(h.letter)+gradeText(h.grade)+"/"+s.String())}
	}
	hole, holeMemory, err := h.limits(sizeMM)
	if err != nil {
		return Fit{}, err
	}
	shaft, shaftMemory, err := s.limits(sizeMM)
	if err != nil {
		return Fit{}, err
	}
	f := Between(sizeMM, hole, shaft)
	f.Standard, f.Source, f.FromMemory = "ISO 286-1:2010", isoSource, holeMemory || shaftMemory
	return f, nil
}

// Between joins a hole and a shaft of the same size, in mm, to a fit. Their
// limits are taken as they are; use it for a class against a tolerance of your
// own or against a measured size.
func Between(sizeMM float64, hole, shaft Member) Fit {
	f := Fit{
		SizeMM: sizeMM, Class: hole.Class + "/" + shaft.Class, Hole: &hole, Shaft: &shaft,
		ClearanceMinUM: clean(hole.LowerUM - shaft.UpperUM),
		ClearanceMaxUM: clean(hole.UpperUM - shaft.LowerUM),
		Standard:       "own",
	}
	switch {
	case f.ClearanceMinUM >= 0:
		f.Kind = Clearance
	case f.ClearanceMaxUM <= 0:
		f.Kind = Interference
	default:
		f.Kind = Transition
	}
	return f
}

// ProbableUM returns the clearance on diameter, in µm, between which nearly all
// pairs fall when both members scatter evenly about the middle of their
// tolerances: the half tolerances add as squares,
//
//	mean ± √((Th/2)² + (Ts/2)²)
//
// Bearing makers print this as the probable fit. It returns 0, 0 for a single
// member.
func (f Fit) ProbableUM() (minUM, maxUM float64) {
	if f.Hole == nil || f.Shaft == nil {
		return 0, 0
	}
	mean := (f.ClearanceMinUM + f.ClearanceMaxUM) / 2
	half := math.Hypot(f.Hole.UpperUM-f.Hole.LowerUM, f.Shaft.UpperUM-f.Shaft.LowerUM) / 2
	return mean - half, mean + half
}

// snap removes the last bits that a conversion between inches and millimetres
// leaves, so that a size on the edge of a range stays on it.
func snap(sizeMM float64) float64 { return math.Round(sizeMM*1e9) / 1e9 }

// clean removes the last bits that sums of thousandths leave.
func clean(um float64) float64 { return math.Round(um*1e6)/1e6 + 0 }
