package press

import (
	"fmt"
	"math"
	"strings"
)

// CheckCase is one published value beside the package's own.
type CheckCase struct {
	Source, What, Unit         string
	Published, Tolerance, Ours float64
	FromMemory                 bool // the published side or an input was not seen, so it counts for nothing
}

// Agrees tells whether the package's value is the published one, within what
// the source's printing can show.
func (c CheckCase) Agrees() bool { return math.Abs(c.Published-c.Ours) <= c.Tolerance }

// mpaPerPsi is exact to the digits given: 1 psi in MPa.
const mpaPerPsi = 0.006894757293168

// CheckCases computes every embedded published worked example anew. The
// examples give interference and materials and print pressures and stresses to
// three or four figures, hence a tolerance of 0.1 %.
func CheckCases() ([]CheckCase, error) {
	var cases []CheckCase
	for _, r := range readCSV("testdata/press_fit_examples.csv") {
		length, stress, unit := 1.0, 1.0, "MPa"
		if r[2] == "in,psi" {
			length, stress, unit = 25.4, mpaPerPsi, "psi"
		}
		res, err := Press(Joint{
			DiameterMM: number(r[3]) * length, HubOuterMM: number(r[4]) * length, InsertInnerMM: number(r[5]) * length,
			LengthMM: 1, InterferenceMM: number(r[6]) * length,
			Hub:    Material{YoungMPa: number(r[7]) * stress, Poisson: number(r[8])},
			Insert: Material{YoungMPa: number(r[9]) * stress, Poisson: number(r[10])},
		})
		if err != nil {
			return nil, fmt.Errorf("published case %s: %w", r[0], err)
		}
		for i, v := range []struct {
			what string
			mpa  float64
		}{
			{"pressure", res.PressureMPa},
			{"hoop stress of the hub", res.HubHoopMPa},
			{"hoop stress of the insert", res.InsertHoopMPa},
			{"von Mises stress of the hub", res.HubMisesMPa},
			{"von Mises stress of the insert", res.InsertMisesMPa},
		} {
			if text := r[11+i]; text != "" {
				published := number(text)
				cases = append(cases, CheckCase{
					Source: r[1], What: r[0] + ", " + v.what, Unit: unit,
					Published: published, Tolerance: math.Abs(published) * 1e-3, Ours: v.mpa / stress,
					FromMemory: strings.Contains(r[1]+r[16], "from memory"),
				})
			}
		}
	}
	return dowelCases(cases)
}

// dowelCases adds the limits that pin makers print for m6 pins, ISO 8734, DIN 7
// and DIN 6325, in µm.
func dowelCases(cases []CheckCase) ([]CheckCase, error) {
	for _, r := range readCSV("testdata/dowel_m6.csv") {
		in, err := Find(Query{Kind: Dowel, Designation: "ISO 8734", DiameterMM: number(r[1])})
		if err != nil {
			return nil, fmt.Errorf("published dowel of %s mm: %w", r[1], err)
		}
		for i, v := range []float64{in.LowerMM, in.UpperMM} {
			cases = append(cases, CheckCase{
				Source: r[4], What: fmt.Sprintf("dowel %s m6, %s", r[1], [2]string{"lower", "upper"}[i]), Unit: "µm",
				Published: number(r[2+i]), Tolerance: 1e-6, Ours: v * 1000,
			})
		}
	}
	return cases, nil
}
