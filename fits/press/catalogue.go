package press

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"secondop/fits"
)

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
	if in.InnerMM > 0 {
		in.Doubts = append(in.Doubts, "its pull is computed as if it had no hole: a ring pulls less")
	}
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
	if p, ok := standardPin(name, in.DiameterMM); ok {
		in.pin(p, q)
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
		return &InsertError{Kind: in.Kind, What: fmt.Sprintf("designation %q is unknown", q.Designation), Near: []string{"ISO 8734", "ISO 2338 m6", "ISO 2338 h8", "B18.8.5M", "1/4 (ASME B18.8.2, 1/16 to 1)", "1/4 oversize"}}
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

// pin is one row of a standard that gives pins and holes in so many words, in mm.
type pin struct {
	name, source      string
	nominal           float64
	largest, smallest float64
	holeMax, holeMin  float64
	point             float64 // least diameter of the tapered end
}

func (in *Insert) pin(p pin, q Query) {
	if !q.sized() {
		in.DiameterMM = p.nominal
	}
	in.NominalMM = p.nominal
	in.UpperMM, in.LowerMM = p.largest-in.DiameterMM, p.smallest-in.DiameterMM
	in.Name, in.Source = "dowel "+p.name, p.source
	in.Hole = Hole{MinMM: p.holeMin, MaxMM: p.holeMax, Source: "the standard's suggested hole"}
	// the standards taper the end by 4 to 8°
	otherwise(&in.ChamferMM, (p.nominal-p.point)/2/math.Tan(6*math.Pi/180))
}

// standardPin finds a pin of ASME B18.8.5M by that name and its diameter, or one
// of ASME B18.8.2 by its fraction or by a diameter that is one of its nominal
// sizes and no whole or half millimetre. "oversize" anywhere in the name picks
// the second series.
func standardPin(name string, diameterMM float64) (pin, bool) {
	plain, oversize := strings.CutSuffix(name, "OVERSIZE")
	plain = strings.TrimSpace(plain)
	series, column := "", 0
	if oversize {
		series, column = " oversize", 2
	}
	if strings.HasSuffix(plain, "B18.8.5M") {
		for _, r := range readCSV("data/dowel_b18_8_5m_metric.csv") {
			if nominal := number(r[0]); math.Abs(diameterMM-nominal) < 0.05 {
				return pin{
					name: "ASME B18.8.5M " + r[0] + series, source: r[9], nominal: nominal,
					largest: number(r[1+column]), smallest: number(r[2+column]),
					holeMax: number(r[7]), holeMin: number(r[8]), point: number(r[6]),
				}, true
			}
		}
		return pin{}, false
	}
	const inch = 25.4
	fraction := strings.TrimSpace(strings.TrimPrefix(plain, "ASME B18.8.2"))
	for _, r := range readCSV("data/dowel_b18_8_2_inch.csv") {
		nominal := number(r[1]) * inch
		byDiameter := fraction == "" && math.Abs(diameterMM-nominal) < 0.03 && math.Abs(diameterMM*2-math.Round(diameterMM*2)) > 0.07
		if fraction != r[0] && !byDiameter {
			continue
		}
		if oversize {
			column = 3
		}
		// the holes of the sizes under 1/8, which the table leaves out, follow
		// the others: +0/-0.0005 in
		return pin{
			name: "ASME B18.8.2 " + r[0] + series, source: r[12], nominal: nominal,
			largest: number(r[3+column]) * inch, smallest: number(r[4+column]) * inch,
			holeMax: nominal, holeMin: nominal - 0.0005*inch, point: number(r[9]) * inch,
		}, true
	}
	return pin{}, false
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

// Catalogue lists the inserts that the package knows by name, and one of each
// kind that goes by its size, with their limits, usual hole and sources.
func Catalogue() []Insert {
	var queries []Query
	for _, d := range []float64{5, 15, 30} {
		queries = append(queries, Query{Kind: DiscMagnet, DiameterMM: d, HeightMM: d / 2, Grade: "N42"})
	}
	for _, d := range []float64{1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 16, 20} {
		queries = append(queries, Query{Kind: Dowel, Designation: "ISO 8734", DiameterMM: d})
	}
	for _, r := range readCSV("data/dowel_b18_8_5m_metric.csv") {
		queries = append(queries, Query{Kind: Dowel, Designation: "ASME B18.8.5M", DiameterMM: number(r[0])})
	}
	for _, r := range readCSV("data/dowel_b18_8_2_inch.csv") {
		queries = append(queries,
			Query{Kind: Dowel, Designation: "ASME B18.8.2 " + r[0]},
			Query{Kind: Dowel, Designation: "ASME B18.8.2 " + r[0] + " oversize"})
	}
	queries = append(queries, Query{Kind: Bushing, DiameterMM: 12, InnerMM: 8}, Query{Kind: DrillBushing, DiameterMM: 10, InnerMM: 6})
	for _, r := range readCSV("data/drill_bushing_b94_33.csv") {
		queries = append(queries, Query{Kind: DrillBushing, Designation: r[0], InnerMM: 2})
	}
	for _, r := range readCSV("data/bearings.csv") {
		queries = append(queries, Query{Kind: BallBearing, Designation: r[0]})
	}
	queries = append(queries, Query{Kind: ThreadedInsert, Designation: "M2.5"})

	all := make([]Insert, 0, len(queries))
	for _, q := range queries {
		in, err := Find(q)
		if err != nil {
			panic(fmt.Sprintf("press: catalogue: %v", err))
		}
		all = append(all, in)
	}
	return all
}
