package fits

import (
	"embed"
	"fmt"
	"math"
	"strings"
)

//go:embed testdata/*.csv
var caseFiles embed.FS

// CheckCase is one published value beside the package's own.
type CheckCase struct {
	Source, What, Unit         string
	Published, Tolerance, Ours float64
	FromMemory                 bool // the published side was not seen, so it counts for nothing
}

// Agrees tells whether the package's value is the published one, within what
// the source's printing can show.
func (c CheckCase) Agrees() bool { return math.Abs(c.Published-c.Ours) <= c.Tolerance }

// CheckCases computes every embedded published value anew: limits of ISO
// members and fits, housing bores and fits of bearing makers, and the printed
// clearances of ANSI B4.1. It returns an error if a published class is refused.
//
// The sources are not the ones that the tables were read from, except for ANSI
// B4.1, where only the printed clearances are compared (the limits themselves
// would be the table checked against itself).
func CheckCases() ([]CheckCase, error) {
	var all []CheckCase
	seen := map[string]bool{} // a value printed in two of the sources counts once
	for _, read := range []func() ([]CheckCase, error){isoCases, bearingCases, inchCases} {
		cases, err := read()
		if err != nil {
			return nil, err
		}
		for _, c := range cases {
			if !seen[c.What] {
				seen[c.What] = true
				all = append(all, c)
			}
		}
	}
	return all, nil
}

// Published limits are whole or half micrometres.
const printedUM = 1e-6

func isoCases() ([]CheckCase, error) {
	var cases []CheckCase
	for _, r := range readTable(caseFiles, "testdata/iso286_check_cases.csv") {
		size, class, source := number(r[1]), r[2], r[9]
		f, err := Limits(size, class)
		if err != nil {
			return nil, fmt.Errorf("published case %s: %w", class, err)
		}
		add := func(what, text string, ours float64) {
			if text == "" {
				return
			}
			cases = append(cases, CheckCase{
				Source: source, What: fmt.Sprintf("%g %s %s", size, class, what), Unit: "µm",
				Published: number(text), Tolerance: printedUM, Ours: ours,
			})
		}
		// A fit composed here from two published members is not a published
		// fit: its sums would count the same figures twice.
		if r[0] == "fit_published" {
			add("greatest clearance", r[7], f.ClearanceMaxUM)
			add("least clearance", r[8], f.ClearanceMinUM)
		}
		// The corrigendum prints one limit; the other was computed from it.
		if corrected, ok := corrigendum[class]; ok && strings.Contains(source, "Cor.1") {
			r = append([]string(nil), r...)
			for i := 3; i <= 6; i++ {
				if i != corrected {
					r[i] = ""
				}
			}
		}
		if f.Hole != nil {
			add("hole upper", r[3], f.Hole.UpperUM)
			add("hole lower", r[4], f.Hole.LowerUM)
		}
		if f.Shaft != nil {
			add("shaft upper", r[5], f.Shaft.UpperUM)
			add("shaft lower", r[6], f.Shaft.LowerUM)
		}
	}
	return cases, nil
}

// corrigendum gives the column of the one limit that ISO 286-2:1988/Cor.1:2006
// prints for each class.
var corrigendum = map[string]int{"A13": 3, "E8": 3, "f9": 6}

func bearingCases() ([]CheckCase, error) {
	var cases []CheckCase
	for _, r := range readTable(caseFiles, "testdata/bearing_housing_fits.csv") {
		size, class, source := number(r[1]), r[4], r[11]
		h, err := Limits(size, class)
		if err != nil {
			return nil, fmt.Errorf("published case %s: %w", class, err)
		}
		f := Between(size, *h.Hole, Member{Class: "outer ring", UpperUM: number(r[2]), LowerUM: number(r[3])})
		low, high := f.ProbableUM()
		for _, c := range []struct {
			what, text      string
			ours, tolerance float64
		}{
			{"hole lower", r[5], h.Hole.LowerUM, printedUM},
			{"hole upper", r[6], h.Hole.UpperUM, printedUM},
			{"with the outer ring, least clearance", r[7], f.ClearanceMinUM, printedUM},
			{"with the outer ring, greatest clearance", r[8], f.ClearanceMaxUM, printedUM},
			// printed in whole micrometres, rounded inwards or outwards
			{"with the outer ring, probable least clearance", r[9], low, 1},
			{"with the outer ring, probable greatest clearance", r[10], high, 1},
		} {
			cases = append(cases, CheckCase{
				Source: source, What: fmt.Sprintf("%g %s %s", size, class, c.what), Unit: "µm",
				Published: number(c.text), Tolerance: c.tolerance, Ours: c.ours,
			})
		}
	}
	return cases, nil
}

func inchCases() ([]CheckCase, error) {
	var cases []CheckCase
	for _, r := range readTable(caseFiles, "testdata/ansi_b41_printed_fits.csv") {
		sizeIn, class, source := number(r[1]), r[2], r[5]
		f, err := Limits(sizeIn*mmPerInch, class)
		if err != nil {
			return nil, fmt.Errorf("published case %s: %w", class, err)
		}
		memory := strings.Contains(strings.ToLower(source), "memory")
		for i, ours := range []float64{f.ClearanceMinUM, f.ClearanceMaxUM} {
			cases = append(cases, CheckCase{
				Source: source, What: fmt.Sprintf("%g in %s %s", sizeIn, class, [2]string{"least clearance", "greatest clearance"}[i]), Unit: "thou",
				Published: number(r[3+i]), Tolerance: 1e-6, Ours: ours / umPerThou, FromMemory: memory,
			})
		}
	}
	return cases, nil
}
