package press

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestEngagedLength(t *testing.T) {
	for what, c := range map[string]struct {
		seat            Seat
		height, chamfer float64
		want            float64
	}{
		"sunk, no chamfers":             {Seat{DepthMM: 5}, 3, 0, 3},
		"sunk, chamfers at both ends":   {Seat{DepthMM: 5}, 3, 0.2, 2.6},
		"flush with a lead-in":          {Seat{DepthMM: 3, LeadInMM: 0.5}, 3, 0.2, 2.3},
		"flush, lead-in under chamfer":  {Seat{DepthMM: 3, LeadInMM: 0.1}, 3, 0.2, 2.6},
		"sunk below the lead-in":        {Seat{DepthMM: 5, LeadInMM: 1}, 3, 0, 3},
		"sunk into the lead-in":         {Seat{DepthMM: 3.3, LeadInMM: 1}, 3, 0, 2.3},
		"proud":                         {Seat{DepthMM: 2}, 3, 0.2, 1.8},
		"floor relief":                  {Seat{DepthMM: 3, FloorReliefMM: 0.5}, 3, 0, 2.5},
		"relief counts only in a floor": {Seat{DepthMM: 3, FloorReliefMM: 0.5, Through: true}, 3, 0, 3},
	} {
		if got := c.seat.EngagedMM(c.height, c.chamfer); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%s: EngagedMM = got %g mm, want %g mm", what, got, c.want)
		}
	}
	// 5° over 2 mm opens the mouth by 0.35 mm
	if got := (Seat{LeadInMM: 2, LeadInRad: 5 * math.Pi / 180}).LeadInWidthMM(); math.Abs(got-0.35) > 0.0005 {
		t.Errorf("LeadInWidthMM of 5° over 2 mm = got %.4f mm, want 0.35 mm", got)
	}
}

func TestTrappedAirRefusals(t *testing.T) {
	for _, c := range [][3]float64{{10, 1, 2}, {10, 1, 0}, {0, 10, 1}, {10, math.NaN(), 1}, {10, 10, math.NaN()}} {
		var e *RangeError
		if _, _, err := TrappedAir(c[0], c[1], c[2]); !errors.As(err, &e) {
			t.Errorf("TrappedAir(%v) = got %v, want a *RangeError", c, err)
		}
	}
	if p, f, err := TrappedAir(10, 3, 3); err != nil || p != 0 || f != 0 {
		t.Errorf("TrappedAir with nothing squeezed = got %g MPa, %g N, %v, want nothing", p, f, err)
	}
}

func TestReamerToBuy(t *testing.T) {
	const in = 25.4
	for _, c := range []struct {
		min, max float64
		inch     bool
		want     string
	}{
		{10, 10.015, false, "10 mm H7"},
		{9.975, 9.995, false, "9.98 mm"}, // a press under the size
		{0.2495 * in, 0.25 * in, true, "0.2495 in"},
		{0.25 * in, 0.251 * in, true, "1/4 in"},
		{0.25 * in, 0.251 * in, false, "6.35 mm"},
		{2.997, 3.012, false, "3 mm H7"},
	} {
		r, ok, err := ReamerFor(c.min, c.max, c.inch)
		if err != nil || !ok || r.Name != c.want {
			t.Errorf("ReamerFor(%.4f, %.4f, inch %v) = got %q, %v, %v, want %q", c.min, c.max, c.inch, r.Name, ok, err, c.want)
			continue
		}
		if r.Source == "" || !(r.PredrillMM < r.SizeMM-0.1 && r.PredrillMM > r.SizeMM-0.4) {
			t.Errorf("%s: predrill %g mm, source %q", r.Name, r.PredrillMM, r.Source)
		}
		if text := r.Says(nil); !strings.Contains(text, "reamer "+c.want) || strings.Contains(text, "%") {
			t.Errorf("Says = got %q", text)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(1, 25).Draw(t, "low")
		high := low + rapid.Float64Range(0.001, 0.05).Draw(t, "width")
		r, ok, err := ReamerFor(low, high, rapid.Bool().Draw(t, "inch"))
		if err != nil {
			t.Fatal(err)
		}
		if !ok {
			return
		}
		inside := math.Min(high, r.HoleMaxMM) - math.Max(low, r.HoleMinMM)
		if got := inside / (r.HoleMaxMM - r.HoleMinMM); math.Abs(got-r.InWindow) > 1e-9 || !(got > 0) {
			t.Fatalf("%s for %g to %g: got %g in the window, want %g", r.Name, low, high, r.InWindow, got)
		}
		// a window of two hundredths has a reamer that cuts within it
		if high-low > 0.023 && r.InWindow < 1-1e-9 {
			t.Fatalf("%s for %g to %g mm: got %g in the window, want all", r.Name, low, high, r.InWindow)
		}
	})
	for _, c := range [][2]float64{{0.5, 0.6}, {10, 10}, {10, 9}, {25.9, 26.5}, {math.NaN(), 10}, {10, math.NaN()}} {
		if _, _, err := ReamerFor(c[0], c[1], false); err == nil {
			t.Errorf("ReamerFor(%v) = got no error", c)
		}
	}
}

func TestBoringHeadSteps(t *testing.T) {
	onDiameter, onRadius := Dial{DivisionMM: 0.01}, Dial{DivisionMM: 0.01, OnRadius: true}
	steps, err := onRadius.Steps(9.7, 9.985, 0.1)
	if err != nil {
		t.Fatal(err)
	}
	var turned float64
	for _, s := range steps {
		turned += s.Divisions
	}
	// 0.285 on diameter is 0.1425 on radius: 14 divisions of 0.01, half a division each
	if last := steps[len(steps)-1]; math.Abs(last.BoreMM-9.98) > 1e-9 || math.Abs(turned-14) > 1e-9 || len(steps) != 3 {
		t.Errorf("on radius from 9.7 to 9.985 = got %d steps, %g divisions to %g mm, want 3 steps, 14 divisions to 9.98 mm", len(steps), turned, last.BoreMM)
	}
	if got := onRadius.PerDivisionMM() / onDiameter.PerDivisionMM(); got != 2 {
		t.Errorf("a division on radius adds %g times one on diameter, want 2", got)
	}
	if !strings.Contains(onRadius.Says(nil), "on radius") || !strings.Contains(onRadius.Says(nil), "adds 0.020 mm") || !strings.Contains(onDiameter.Says(nil), "on diameter") {
		t.Errorf("Says = got %q and %q", onRadius.Says(nil), onDiameter.Says(nil))
	}
	rapid.Check(t, func(t *rapid.T) {
		d := Dial{DivisionMM: rapid.SampledFrom([]float64{0.005, 0.01, 0.02, 0.0254}).Draw(t, "division"), OnRadius: rapid.Bool().Draw(t, "radius")}
		start := rapid.Float64Range(5, 50).Draw(t, "start")
		target := start + rapid.Float64Range(0.03, 1).Draw(t, "to go")
		step := rapid.Float64Range(0.03, 0.3).Draw(t, "step")
		steps, err := d.Steps(start, target, step)
		if err != nil {
			t.Fatal(err)
		}
		bore := start
		for _, s := range steps {
			grows := s.Divisions * d.PerDivisionMM()
			if grows > step+1e-9 || math.Abs(bore+grows-s.BoreMM) > 1e-9 || s.BoreMM > target+1e-9 {
				t.Fatalf("step of %g divisions from %g mm to %g mm, want at most %g mm and not past %g mm", s.Divisions, bore, s.BoreMM, step, target)
			}
			bore = s.BoreMM
		}
		if target-bore > d.PerDivisionMM()/2+1e-9 {
			t.Fatalf("steps end at %g mm, want within half a division of %g mm", bore, target)
		}
	})
	for _, c := range [][3]float64{{10, 9, 0.1}, {10, 10, 0.1}, {0, 10, 0.1}, {9, 10, 0.001}, {1, 100, 0.02}, {9, 10, math.NaN()}, {math.NaN(), 10, 0.1}} {
		var e *RangeError
		if _, err := onDiameter.Steps(c[0], c[1], c[2]); !errors.As(err, &e) {
			t.Errorf("Steps(%v) = got %v, want a *RangeError", c, err)
		}
	}
}
