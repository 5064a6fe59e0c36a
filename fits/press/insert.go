package press

import (
	"fmt"
	"strings"

	"secondop/fits"
)

// Kind is what an insert is.
type Kind string

// The kinds of insert.
const (
	DiscMagnet     Kind = "disc magnet"
	Dowel          Kind = "dowel"
	Bushing        Kind = "bushing"
	DrillBushing   Kind = "drill bushing"
	BallBearing    Kind = "ball bearing"
	ThreadedInsert Kind = "threaded insert"
	Own            Kind = "own"
)

// Kinds lists every kind of insert.
func Kinds() []Kind {
	return []Kind{DiscMagnet, Dowel, Bushing, DrillBushing, BallBearing, ThreadedInsert, Own}
}

// Query is what a job says of an insert. Zero values take the kind's defaults.
type Query struct {
	Kind             Kind
	Designation      string  // "ISO 8734", "ISO 2338 h8", "1/4", "6201", "M2.5"
	DiameterMM       float64 // 0: from the designation
	UpperMM, LowerMM float64 // deviations, if ToleranceGiven
	ToleranceGiven   bool
	Measured         bool // DiameterMM is the size of the piece in the hand
	HeightMM         float64
	InnerMM          float64 // its own hole; of a bearing, the shaft's bore
	ChamferMM        float64 // 0: by kind
	Grade            string  // of a magnet
	Load             string  // on a bearing's outer ring: stationary, indeterminate, rotating
	PilotMM          float64 // hole that the maker of a threaded insert asks for
}

// Hole is a hole that is usual for an insert. The zero value means that none is.
type Hole struct {
	MinMM, MaxMM float64
	Class        string // when it is a class of ISO 286-1
	Source       string
}

// holeOf is the hole that a member of a fit describes at a nominal size.
func holeOf(nominalMM float64, m fits.Member, source string) Hole {
	return Hole{MinMM: nominalMM + m.LowerUM/1000, MaxMM: nominalMM + m.UpperUM/1000, Class: m.Class, Source: source}
}

func (h Hole) known() bool { return h.Source != "" }

// Insert is a bought thing with every default filled in.
type Insert struct {
	Kind             Kind
	Name             string  // "dowel ISO 8734 6 m6"
	NominalMM        float64 // catalogue size
	DiameterMM       float64 // nominal, or as measured
	UpperMM, LowerMM float64 // deviations from DiameterMM, 0 when measured
	Measured         bool
	HeightMM         float64
	InnerMM          float64 // of the ring that the pressure acts on
	ChamferMM        float64 // at the leading edge, along the axis
	MaterialName     string  // name for a table of materials
	Material         Material
	Hole             Hole
	RzUM             float64
	MustHoldN        float64 // default push-out force; 0: none is usual
	MustHoldSays     string
	PullN            float64 // of a magnet
	Grade            MagnetGrade
	Source           string // of the diameter's tolerance
	Doubts           []string
}

// smallest and largest diameter that the tolerance allows.
func (in Insert) smallest() float64 { return in.DiameterMM + in.LowerMM }
func (in Insert) largest() float64  { return in.DiameterMM + in.UpperMM }

// InsertError is an insert that the catalogue can't complete.
type InsertError struct {
	Kind Kind
	What string // what is missing or unknown
	Near []string
}

func (e *InsertError) Error() string {
	text := fmt.Sprintf("insert %q: %s", string(e.Kind), e.What)
	if len(e.Near) > 0 {
		text += "; known are " + strings.Join(e.Near, ", ")
	}
	return text
}

// Find completes an insert from its kind: tolerance, material by name, usual
// hole, what it must hold, each with its source. The caller fills in
// Insert.Material from its own table of materials under MaterialName.
//
// It returns an *InsertError for an unknown kind or designation or a size
// that is missing, a *RangeError for a number out of bounds, and a
// *fits.ToleranceError for a tolerance that is upside down.
func Find(q Query) (Insert, error) {
	if err := q.check(); err != nil {
		return Insert{}, err
	}
	in := Insert{
		Kind: q.Kind, DiameterMM: q.DiameterMM, HeightMM: q.HeightMM, InnerMM: q.InnerMM,
		ChamferMM: q.ChamferMM, Measured: q.Measured,
	}
	find, ok := finders[q.Kind]
	if !ok {
		return Insert{}, &InsertError{Kind: q.Kind, What: "no such kind", Near: kindNames()}
	}
	in.NominalMM = q.DiameterMM
	if q.Measured {
		in.NominalMM = nominalSize(q.DiameterMM)
	}
	if err := find(&in, q); err != nil {
		return Insert{}, err
	}
	switch {
	case q.Measured:
		in.UpperMM, in.LowerMM, in.Source = 0, 0, "measured"
	case q.ToleranceGiven:
		in.UpperMM, in.LowerMM, in.Source = q.UpperMM, q.LowerMM, "as given"
	}
	if !(in.InnerMM < in.smallest()) {
		return Insert{}, &RangeError{What: "hole in the insert in mm", Value: in.InnerMM, Against: in.smallest(), Rule: fmt.Sprintf("must be smaller than the insert (%.6g)", in.smallest())}
	}
	return in, nil
}

var finders = map[Kind]func(*Insert, Query) error{
	DiscMagnet: findMagnet, Dowel: findDowel, Bushing: findBushing, DrillBushing: findDrillBushing,
	BallBearing: findBearing, ThreadedInsert: findThreaded, Own: findOwn,
}

func kindNames() []string {
	var names []string
	for _, k := range Kinds() {
		names = append(names, string(k))
	}
	return names
}

func (q Query) check() error {
	for _, c := range []error{
		inRange("insert diameter in mm", q.DiameterMM, 0, 300),
		inRange("insert height in mm", q.HeightMM, 0, 300),
		inRange("hole in the insert in mm", q.InnerMM, 0, 300),
		inRange("insert chamfer in mm", q.ChamferMM, 0, 50),
		inRange("pilot hole in mm", q.PilotMM, 0, 300),
	} {
		if c != nil {
			return c
		}
	}
	if q.Measured && q.DiameterMM == 0 {
		return &InsertError{Kind: q.Kind, What: "is said to be measured, so it needs its measured diameter"}
	}
	if q.ToleranceGiven {
		if _, err := fits.Own(q.UpperMM, q.LowerMM); err != nil {
			return err
		}
	}
	return nil
}

// sized tells whether the query's own diameter counts, and not the catalogue's.
func (q Query) sized() bool { return q.Measured || (q.ToleranceGiven && q.DiameterMM > 0) }

func (in *Insert) needDiameter() error {
	if in.DiameterMM == 0 {
		return &InsertError{Kind: in.Kind, What: "needs a diameter"}
	}
	return nil
}

// otherwise sets a number that the query left at 0.
func otherwise(to *float64, v float64) {
	if *to == 0 {
		*to = v
	}
}
