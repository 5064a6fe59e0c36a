package press

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Whatever is asked, the answer is a typed refusal or numbers that make sense.
func TestJudgeNeverGivesNonsense(t *testing.T) {
	answered := map[Kind]int{}
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.Float64Range(1.5, 48).Draw(t, "d")
		q := Query{
			Kind: rapid.SampledFrom(Kinds()).Draw(t, "kind"), DiameterMM: d, HeightMM: rapid.Float64Range(0.3, 60).Draw(t, "height"),
			InnerMM: rapid.Float64Range(0, 0.9).Draw(t, "inner") * d, Measured: rapid.Bool().Draw(t, "measured"), ToleranceGiven: true,
			UpperMM: rapid.Float64Range(-0.1, 0.2).Draw(t, "upper"), LowerMM: rapid.Float64Range(-0.2, 0.1).Draw(t, "lower"),
			PilotMM: 0.9 * d,
		}
		in, err := Find(q)
		if err != nil {
			return
		}
		in.Material = rapid.SampledFrom([]Material{steel, magnet, {YoungMPa: 100e3, Poisson: 0.34, YieldMPa: 125, ExpansionPerK: 18e-6}}).Draw(t, "material")
		r := Request{
			Insert: in, Part: alu, By: rapid.SampledFrom([]Way{ByPress, ByBond, ByClass}).Draw(t, "by"),
			Class:     rapid.SampledFrom([]string{"H7", "P7", "H7/s6", "ZC9", "A11", "FN2", "N9"}).Draw(t, "class"),
			MustHoldN: rapid.Float64Range(0, 3000).Draw(t, "must hold"), LeastWallMM: rapid.Float64Range(0.05, 60).Draw(t, "wall"),
			Seat: Seat{
				DepthMM: rapid.Float64Range(0.2, 80).Draw(t, "depth"), Through: rapid.Bool().Draw(t, "through"),
				LeadInMM: rapid.Float64Range(0, 1).Draw(t, "lead-in"), LeadInRad: rapid.Float64Range(0, 1.4).Draw(t, "angle"),
				VentMM: rapid.Float64Range(0, 2).Draw(t, "vent"), CutterRadiusMM: rapid.Float64Range(0, 1).Draw(t, "corner"),
			},
			ServiceLowC: rapid.Float64Range(-60, 20).Draw(t, "cold"), ServiceHighC: rapid.Float64Range(20, 150).Draw(t, "hot"),
			Lubricated: rapid.Bool().Draw(t, "oil"),
		}
		w, err := Judge(r)
		if err != nil {
			if err.Error() == "" || strings.Contains(err.Error(), "%!") {
				t.Fatalf("refusal %q", err)
			}
			return
		}
		answered[q.Kind]++
		for _, v := range []float64{
			w.BoreMinMM, w.BoreMaxMM, w.NeedMM, w.AllowMM, w.InterferenceMM.Low, w.InterferenceMM.High, w.PressInN.Low, w.PressInN.High,
			w.PushOutN.Low, w.PushOutN.High, w.AirN, w.HeatToC, w.EngagedMM, w.Tight.HubTrescaMPa, w.Loose.PressureMPa,
		} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("a number that is none in %+v", w)
			}
		}
		if w.Feasible && !(w.BoreMinMM > 0 && w.BoreMinMM < w.BoreMaxMM && w.InterferenceMM.Low < w.InterferenceMM.High && w.PressInN.Low <= w.PressInN.High) {
			t.Fatalf("a window the wrong way round: %+v", w)
		}
		if !w.Feasible && (w.Verdict != Stop || w.BoreMaxMM != 0) {
			t.Fatalf("no window, and yet %s and %g mm", w.Verdict, w.BoreMaxMM)
		}
		worst := Go
		for _, reason := range w.Reasons {
			worst = worst.Worse(reason.Verdict)
			if text := reason.Says(nil); strings.Contains(text, "%") || strings.Contains(text, "NaN") {
				t.Fatalf("reason %q", text)
			}
		}
		if worst != w.Verdict {
			t.Fatalf("verdict %s, worst reason %s", w.Verdict, worst)
		}
	})
	for _, k := range Kinds() {
		if answered[k] == 0 {
			t.Logf("no %s was answered this time", k)
		}
	}
}
