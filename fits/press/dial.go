package press

import (
	"fmt"
	"math"
)

// Dial is the dial of a boring head.
type Dial struct {
	DivisionMM float64 // what one division says, as engraved
	OnRadius   bool    // the division moves the tool, so the bore grows by twice that
}

// DialStep is one setting of a boring head.
type DialStep struct {
	Divisions float64 // to turn from the last setting
	BoreMM    float64 // bore that it aims at
}

// PerDivisionMM is what one division adds to the bore's diameter.
func (d Dial) PerDivisionMM() float64 {
	if d.OnRadius {
		return 2 * d.DivisionMM
	}
	return d.DivisionMM
}

// Steps leads a bore from startMM to targetMM in steps of at most stepMM, all on
// diameter, in whole or half divisions and never past the target. The last bore
// lies within half a division under the target. It returns a *RangeError unless
// 0 < startMM < targetMM, the division is from 0.001 to 0.1 mm and a step holds at
// least half a division, or if it would take more than 200 steps.
func (d Dial) Steps(startMM, targetMM, stepMM float64) ([]DialStep, error) {
	if e := inRange("division of the dial in mm", d.DivisionMM, 0.001, 0.1); e != nil {
		return nil, e
	}
	if !(startMM > 0 && startMM < targetMM && targetMM <= 500) {
		return nil, &RangeError{What: "bore at the start in mm", Value: startMM, Against: targetMM, Rule: fmt.Sprintf("must be above 0 and below the target (%.6g)", targetMM)}
	}
	half := d.PerDivisionMM() / 2
	perStep := math.Floor(stepMM/half + 1e-9)
	if !(perStep >= 1) {
		return nil, &RangeError{What: "step on diameter in mm", Value: stepMM, Against: half, Rule: fmt.Sprintf("must be at least half a division, which adds %.6g on diameter", half)}
	}
	total := math.Floor((targetMM-startMM)/half + 1e-9)
	if total/perStep > 200 {
		return nil, &RangeError{What: "step on diameter in mm", Value: stepMM, Rule: "takes more than 200 steps: start nearer"}
	}
	var steps []DialStep
	for done := 0.0; done < total; {
		n := math.Min(perStep, total-done)
		done += n
		steps = append(steps, DialStep{Divisions: n / 2, BoreMM: startMM + done*half})
	}
	return steps, nil
}

// Says states which way the dial counts.
func (d Dial) Says(write func(Quantity) string) string {
	words := "the dial reads on diameter: one division of % adds % to the bore"
	if d.OnRadius {
		words = "the dial reads on radius: one division of % adds % to the bore"
	}
	return Reason{words: words, numbers: []Quantity{mm(d.DivisionMM), mm(d.PerDivisionMM())}}.Says(write)
}
