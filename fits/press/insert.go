package press

import (
	"fmt"
	"math"
	"slices"
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

// Outside diameters of machined sintered magnets, ± mm up to a diameter.
var magnetTolerance = []struct{ toMM, plusMinusMM float64 }{{10, 0.05}, {20, 0.08}, {50, 0.13}}

func findMagnet(in *Insert, q Query) error {
	if err := in.needDiameter(); err != nil {
		return err
	}
	if in.HeightMM == 0 {
		return &InsertError{Kind: in.Kind, What: "needs a height"}
	}
	in.Grade = Grade(q.Grade)
	in.MaterialName = in.Grade.Material
	in.Name = fmt.Sprintf("disc magnet %g × %g %s", in.DiameterMM, in.HeightMM, in.Grade.Name)
	otherwise(&in.ChamferMM, 0.2)
	in.RzUM = 2.5
	in.Source = "trade tolerance of machined outside diameters, makers' pages"
	known := q.Measured || q.ToleranceGiven
	for _, t := range magnetTolerance {
		if !known && in.DiameterMM <= t.toMM {
			in.UpperMM, in.LowerMM, known = t.plusMinusMM, -t.plusMinusMM, true
		}
	}
	if !known {
		return &InsertError{Kind: in.Kind, What: "has no trade tolerance above 50 mm: give one, or measure it"}
	}
	pull, err := Pull(in.DiameterMM, in.HeightMM, in.Grade.RemanenceT)
	if err != nil {
		return err
	}
	in.PullN, in.MustHoldN = pull, 3*pull
	in.MustHoldSays = "three times its own pull on thick iron"
	if !in.Grade.Known {
		in.Doubts = append(in.Doubts, "the grade is unknown: N52 is taken, the strongest")
	}
	in.Doubts = append(in.Doubts, "nickel plating adds 20 to 40 µm on diameter; whether the catalogue size includes it varies, so measure over the plating")
	return nil
}

func findOwn(in *Insert, q Query) error {
	if err := in.needDiameter(); err != nil {
		return err
	}
	if !q.Measured && !q.ToleranceGiven {
		return &InsertError{Kind: in.Kind, What: "needs its tolerance, or its measured diameter"}
	}
	in.Name = fmt.Sprintf("own insert %g", in.DiameterMM)
	in.MaterialName = "carbon steel"
	in.RzUM = 4
	return nil
}

func findDowel(in *Insert, q Query) error {
	in.MaterialName, in.RzUM = "hardened steel", 1.6
	name := strings.ToUpper(strings.TrimSpace(q.Designation))
	if row, ok := inchDowel(name, in.DiameterMM); ok {
		in.inchPin(row, strings.Contains(name, "OVERSIZE"), q)
		return nil
	}
	if err := in.needDiameter(); err != nil {
		return err
	}
	class, standard := "m6", "ISO 8734"
	switch {
	case name == "" || strings.HasPrefix(name, "ISO 8734") || strings.HasPrefix(name, "DIN 6325"):
	case strings.HasPrefix(name, "ISO 2338"):
		standard = "ISO 2338"
		if strings.Contains(name, "H8") {
			class = "h8"
		}
	default:
		return &InsertError{Kind: in.Kind, What: fmt.Sprintf("designation %q is unknown", q.Designation), Near: []string{"ISO 8734", "ISO 2338 m6", "ISO 2338 h8", "1/8 to 1 (ASME B18.8.2)", "1/4 oversize"}}
	}
	nominal := in.NominalMM
	shaft, err := fits.Limits(nominal, class)
	if err != nil {
		return err
	}
	in.Name = fmt.Sprintf("dowel %s %g %s", standard, nominal, class)
	in.UpperMM, in.LowerMM = shaft.Shaft.UpperUM/1000, shaft.Shaft.LowerUM/1000
	in.Source = standard + " " + class + ", limits from ISO 286-1"
	hole, err := fits.Limits(nominal, "M7")
	if err != nil {
		return err
	}
	in.Hole = holeOf(nominal, *hole.Hole, "common practice, no source; near the hole of +0/-13 µm that ASME B18.8.5M gives its pins")
	otherwise(&in.ChamferMM, 0.15*nominal) // z1 of DIN 6325
	return nil
}

// inchPin completes a pin of ASME B18.8.2.
func (in *Insert) inchPin(r []string, oversize bool, q Query) {
	const inch = 25.4
	nominal := number(r[1]) * inch
	series, high, low := "", number(r[3])*inch, number(r[4])*inch
	if oversize {
		series, high, low = " oversize", number(r[6])*inch, number(r[7])*inch
	}
	if !q.sized() {
		in.DiameterMM = nominal
	}
	in.NominalMM = nominal
	in.UpperMM, in.LowerMM = high-in.DiameterMM, low-in.DiameterMM
	in.Name = "dowel ASME B18.8.2 " + r[0] + series
	in.Source = r[12]
	holeSource := "ASME B18.8.2, suggested hole"
	if r[10] == "" {
		holeSource += " (of the sizes from 1/8 up)"
	}
	in.Hole = Hole{MinMM: nominal - 0.0005*inch, MaxMM: nominal, Source: holeSource}
	otherwise(&in.ChamferMM, (number(r[2])*inch-number(r[8])*inch)/2/math.Tan(6*math.Pi/180))
}

// inchDowel finds a pin of ASME B18.8.2 by its fraction, or by a diameter that is
// one of its nominal sizes and no whole or half millimetre.
func inchDowel(name string, diameterMM float64) ([]string, bool) {
	fraction := strings.TrimSpace(strings.TrimSuffix(strings.TrimPrefix(name, "ASME B18.8.2"), "OVERSIZE"))
	for _, r := range readCSV("data/dowel_b18_8_2_inch.csv") {
		nominalMM := number(r[1]) * 25.4
		if fraction != "" && fraction == r[0] {
			return r, true
		}
		if fraction == "" && math.Abs(diameterMM-nominalMM) < 0.03 && math.Abs(diameterMM*2-math.Round(diameterMM*2)) > 0.07 {
			return r, true
		}
	}
	return nil, false
}

func findBushing(in *Insert, q Query) error {
	if err := in.needDiameter(); err != nil {
		return err
	}
	if in.InnerMM == 0 {
		return &InsertError{Kind: in.Kind, What: "needs its inner diameter"}
	}
	in.Name = fmt.Sprintf("bushing %g × %g", in.DiameterMM, in.InnerMM)
	in.MaterialName, in.RzUM = "cast bronze", 4
	otherwise(&in.ChamferMM, 0.5)
	return in.fromFit("H7/s6", "ISO 4379 for the bushing's outside, from memory")
}

// nominalSize is the catalogue size next to a measured one: a whole or half
// millimetre, or a thirty-second of an inch.
func nominalSize(measuredMM float64) float64 {
	const thirtySecondMM = 25.4 / 32
	metric := math.Round(measuredMM*2) / 2
	inch := math.Round(measuredMM/thirtySecondMM) * thirtySecondMM
	if metric == 0 || math.Abs(inch-measuredMM) < math.Abs(metric-measuredMM) {
		return inch
	}
	return metric
}

// fromFit takes the insert's tolerance and its usual hole from a fit.
func (in *Insert) fromFit(class, source string) error {
	f, err := fits.Limits(in.NominalMM, class)
	if err != nil {
		return err
	}
	in.UpperMM, in.LowerMM = f.Shaft.UpperUM/1000, f.Shaft.LowerUM/1000
	in.Source = source + "; limits from ISO 286-1"
	in.Hole = holeOf(in.NominalMM, *f.Hole, source)
	return nil
}

func findDrillBushing(in *Insert, q Query) error {
	in.MaterialName, in.RzUM = "hardened steel", 1.6
	otherwise(&in.ChamferMM, 0.5)
	if q.InnerMM == 0 {
		return &InsertError{Kind: in.Kind, What: "needs its inner diameter"}
	}
	const inch = 25.4
	name := strings.TrimSpace(q.Designation)
	var sizes []string
	for _, r := range readCSV("data/drill_bushing_b94_33.csv") {
		sizes = append(sizes, r[0])
		high, low := number(r[1])*inch, number(r[2])*inch
		byDiameter := name == "" && in.DiameterMM > low-0.02 && in.DiameterMM < high+0.02
		if r[0] != name && !byDiameter {
			continue
		}
		if !q.sized() {
			in.DiameterMM = high
		}
		in.NominalMM = high
		in.Name = "drill bushing ASME B94.33 P " + r[0]
		in.UpperMM, in.LowerMM, in.Source = high-in.DiameterMM, low-in.DiameterMM, r[3]
		in.Hole = Hole{
			MinMM: low - 0.0010*inch, MaxMM: low - 0.0005*inch,
			Source: "0.0005 to 0.0013 in of interference, from one maker's hole of .1565 to .1570 for a body of .1578/.1575",
		}
		return nil
	}
	if name != "" {
		return &InsertError{Kind: in.Kind, What: fmt.Sprintf("body size %q is unknown", name), Near: sizes}
	}
	if err := in.needDiameter(); err != nil {
		return err
	}
	in.Name = fmt.Sprintf("drill bushing ISO 4247 %g", in.DiameterMM)
	return in.fromFit("H7/n6", "ISO 4247, from memory")
}

// Housing classes for a ball bearing's outer ring by its load, tighter by one in
// light alloy.
var housingClass = map[string]string{"": "J7", "stationary": "J7", "indeterminate": "K7", "rotating": "N7"}

func findBearing(in *Insert, q Query) error {
	boreMM := q.InnerMM
	if d := bearingRow(q.Designation); d != nil {
		boreMM = number(d[1])
		if !q.sized() {
			in.DiameterMM = number(d[2])
		}
		in.NominalMM = number(d[2])
		otherwise(&in.HeightMM, number(d[3]))
		in.Name = "ball bearing " + d[0]
	} else if q.Designation != "" {
		return &InsertError{Kind: in.Kind, What: fmt.Sprintf("designation %q is unknown: give diameter, inner diameter and height", q.Designation), Near: bearingNames()}
	}
	if err := in.needDiameter(); err != nil {
		return err
	}
	if boreMM == 0 {
		return &InsertError{Kind: in.Kind, What: "needs a designation such as 608, or its inner diameter"}
	}
	if !(boreMM < in.DiameterMM) {
		return &RangeError{What: "bore of the bearing in mm", Value: boreMM, Against: in.DiameterMM, Rule: fmt.Sprintf("must be smaller than its outside (%.6g)", in.DiameterMM)}
	}
	class, ok := housingClass[q.Load]
	if !ok {
		return &InsertError{Kind: in.Kind, What: fmt.Sprintf("load %q is unknown", q.Load), Near: []string{"stationary", "indeterminate", "rotating"}}
	}
	nominal := in.NominalMM
	lower, source, ok := outerRing(nominal)
	if !ok {
		return &InsertError{Kind: in.Kind, What: "outside must be over 2.5 and at most 250 mm"}
	}
	if in.Name == "" {
		in.Name = fmt.Sprintf("ball bearing %g × %g", in.DiameterMM, boreMM)
	}
	in.UpperMM, in.LowerMM, in.Source = 0, lower/1000, source
	in.MaterialName, in.RzUM = "hardened steel", 1.6
	otherwise(&in.ChamferMM, 0.3)
	// The ring is thinnest under the balls; the pressure sees it as a ring from
	// there to its outside.
	in.InnerMM = (4*nominal + boreMM) / 5
	h, err := fits.Limits(nominal, class)
	if err != nil {
		return err
	}
	in.Hole = holeOf(nominal, *h.Hole, "housing class by load, one bearing maker's table and general practice")
	in.Doubts = append(in.Doubts,
		"in light alloy or a thin wall one class tighter is usual (from memory)",
		"the ring is taken as thin as under its balls, (4·D + d)/5 inside (from memory); a tight fit takes away internal clearance; press on the outer ring only")
	return nil
}

// bearingRow finds a designation, with or without a suffix for seals.
func bearingRow(designation string) []string {
	name := strings.ToUpper(strings.ReplaceAll(designation, " ", ""))
	for _, r := range readCSV("data/bearings.csv") {
		rest, ok := strings.CutPrefix(name, r[0])
		if ok && (rest == "" || strings.IndexFunc(rest[:1], func(c rune) bool { return c >= '0' && c <= '9' }) < 0) {
			return r
		}
	}
	return nil
}

func bearingNames() []string {
	var names []string
	for _, r := range readCSV("data/bearings.csv") {
		names = append(names, r[0])
	}
	slices.Sort(names)
	return names
}

func outerRing(diameterMM float64) (lowerUM float64, source string, ok bool) {
	for _, r := range readCSV("data/bearing_outer_ring.csv") {
		if diameterMM > number(r[0]) && diameterMM <= number(r[1]) {
			return number(r[2]), r[3], true
		}
	}
	return 0, "", false
}

// The one size of press-in threaded insert whose hole was seen in a source.
var threadedPilots = map[string]struct {
	pilotMM, outsideMM float64
	source             string
}{"M2.5": {3.15, 3.65, "one maker's table of mini inserts (columns hard to align)"}}

func findThreaded(in *Insert, q Query) error {
	in.MaterialName, in.RzUM = "brass", 16
	pilot, source := q.PilotMM, "as given by the maker"
	row, known := threadedPilots[strings.ToUpper(strings.TrimSpace(q.Designation))]
	if pilot == 0 && known {
		pilot, source = row.pilotMM, row.source
	}
	if in.DiameterMM == 0 && known {
		in.DiameterMM, in.NominalMM = row.outsideMM, row.outsideMM
	}
	if pilot == 0 {
		return &InsertError{Kind: in.Kind, What: fmt.Sprintf("the hole for %q must come from its maker: give the pilot hole", q.Designation), Near: []string{"M2.5"}}
	}
	if err := in.needDiameter(); err != nil {
		return err
	}
	if !(pilot < in.DiameterMM) {
		return &RangeError{What: "pilot hole in mm", Value: pilot, Against: in.DiameterMM, Rule: fmt.Sprintf("must be smaller than the insert's outside (%.6g)", in.DiameterMM)}
	}
	in.Name = strings.TrimSpace("threaded insert " + q.Designation)
	in.Source = source
	in.Hole = Hole{MinMM: pilot, MaxMM: pilot + 0.10, Source: "maker's pilot hole " + source + ", +0.10/0"}
	return nil
}
