package cutting

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"

	"secondop/thermal/material"
)

// CheckCase is one known value beside the package's own.
type CheckCase struct {
	Source, What, Unit         string
	Published, Tolerance, Ours float64
	// Status is "published", "from memory" (the printed page was not seen) or
	// "computed" (a reference vector from a published formula).
	Status string
}

// Agrees tells whether the package's value is the known one within what the
// source's printing can show.
func (c CheckCase) Agrees() bool { return math.Abs(c.Published-c.Ours) <= c.Tolerance }

//go:embed testdata/cases.csv
var casesCSV string

// CheckCases computes every embedded example anew.
func CheckCases() ([]CheckCase, error) {
	rows, err := csv.NewReader(strings.NewReader(casesCSV)).ReadAll()
	if err != nil {
		return nil, err
	}
	var cases []CheckCase
	for i, r := range rows[1:] {
		in := map[string]float64{}
		for _, pair := range strings.Split(r[2], ";") {
			name, text, _ := strings.Cut(pair, "=")
			if in[name], err = strconv.ParseFloat(text, 64); err != nil {
				return nil, fmt.Errorf("cases.csv line %d: %w", i+2, err)
			}
		}
		c := CheckCase{Source: r[8], What: r[0] + ", " + r[3], Unit: r[6], Status: r[7]}
		if c.Published, err = strconv.ParseFloat(r[4], 64); err != nil {
			return nil, fmt.Errorf("cases.csv line %d: %w", i+2, err)
		}
		if c.Tolerance, err = strconv.ParseFloat(r[5], 64); err != nil {
			return nil, fmt.Errorf("cases.csv line %d: %w", i+2, err)
		}
		if c.Ours, err = evaluate(r[1], r[3], in); err != nil {
			return nil, fmt.Errorf("cases.csv line %d: %w", i+2, err)
		}
		cases = append(cases, c)
	}
	return cases, nil
}

const (
	newtonPerPound   = 4.4482216
	newtonMMPerInLb  = 112.98483
	compressionInDTs = 1.2
)

// evaluate runs one formula of the package on the inputs of a case.
func evaluate(formula, result string, in map[string]float64) (float64, error) {
	law := material.KcLaw{KC11NMM2: in["kc"] + in["kc11"], MC: in["mc"]}
	kc := material.Kc{Low: law, Likely: law, High: law}
	const deg = math.Pi / 180
	var out map[string]float64
	switch formula {
	case "mill":
		vf := in["vf"]
		if fz := in["fz"]; fz > 0 {
			vf = fz * in["z"] * in["rpm"]
		}
		f, err := Mill(EndMill{DiameterMM: in["D"], Flutes: int(in["z"]), SpeedRPM: in["rpm"], FeedMMMin: vf, DepthMM: in["ap"], WidthMM: in["ae"], Kc: kc})
		if err != nil {
			return 0, err
		}
		out = map[string]float64{
			"speed": f.SpeedMMin, "feed per tooth": f.FeedPerToothMM, "power": f.PowerW.Likely, "mean chip": f.ChipMeanMM,
			"removal": f.RemovalMM3S, "engagement": f.EngagementRad / deg, "kc": f.KcMeanNMM2.Likely, "teeth in cut": f.TeethInCut,
			"mean": f.Mean.TangentialN.Likely, "mean per tooth": f.Mean.TangentialN.Likely / f.TeethInCut, "peak": f.Peak.TangentialN.Likely,
		}
	case "drill", "bore":
		h := Hole{DiameterMM: in["D"], SpeedRPM: 500, FeedMMRev: in["f"], SplitPoint: true, DepthOfCut: in["ap"], Kc: kc}
		make := Drill
		if formula == "bore" {
			make = Bore
		}
		f, err := make(h)
		if err != nil {
			return 0, err
		}
		out = map[string]float64{"torque": f.TorqueNmm.Likely, "lip thrust": f.ThrustN.Likely, "tangential": 2 * f.TorqueNmm.Likely / in["D"]}
	case "handbook inch":
		h := HandbookDrill{Kd: in["Kd"], Ff: in["Ff"], FT: in["FT"], FM: in["FM"], A: in["A"], B: in["B"], J: in["J"], W: in["W"], Dia: in["D"], Inch: true}
		out = map[string]float64{"thrust": h.ThrustN(), "torque": h.TorqueNmm()}
	case "law":
		out = map[string]float64{"power": law.ForceNMM(in["h"]) / in["h"] * in["Q"] / 1000}
	case "orthogonal":
		law = material.KcLaw{KC11NMM2: 1500, MC: 0.22}
		out = map[string]float64{"tangential": in["w"] * law.ForceNMM(in["h"]) * Correction{RakeRad: in["rake"] * deg, Wear: 1, Speed: 1, Compression: 1}.Factor()}
	case "school":
		h := MeanChip(in["fz"], in["ae"], in["D"]) * math.Cos(in["helix"]*deg)
		factor := Correction{RakeRad: in["rake"] * deg, BaseRakeRad: in["base"] * deg, Wear: 1.3, Speed: 1, Compression: compressionInDTs}.Factor()
		out = map[string]float64{"mean per tooth": in["ap"] / math.Cos(in["helix"]*deg) * law.ForceNMM(h) * factor}
	}
	v, ok := out[result]
	if !ok {
		return 0, fmt.Errorf("formula %q has no result %q", formula, result)
	}
	return v, nil
}
