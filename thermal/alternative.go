package thermal

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"secondop/thermal/material"
)

// Alternative is one change to the job and how the high estimate would fare.
type Alternative struct {
	Kind   string // seat, cooling, rate, polymer
	Change string
	// Polymer, Cooling or Seat is the value to put into the job.
	Polymer, Cooling, Seat string
	Verdict                string
	JawFaceC               float64 // high estimate
	LimitC                 float64
	// FrictionWet says that the grip then has only its wet friction.
	FrictionWet bool
	Says        string
}

// rank orders kinds of change by what they cost: a metal seat nothing, and it
// makes the part flat; an air nozzle little; a slower cut time; another polymer
// a print; a liquid half of the grip.
func (a *Alternative) rank() int {
	switch {
	case a.FrictionWet:
		return 4
	case a.Kind == "seat":
		return 0
	case a.Kind == "cooling":
		return 1
	case a.Kind == "rate":
		return 2
	}
	return 3
}

// order is what is left to the limit, most first; but of the polymers that are
// go the one with the lowest limit comes first, because it prints most easily.
func (a *Alternative) order() float64 {
	if a.Kind == "polymer" && a.Verdict == Go {
		return a.LimitC
	}
	return a.JawFaceC - a.LimitC
}

var verdictRank = map[string]int{Go: 0, Caution: 1, Stop: 2}

// alternatives runs every other polymer, cooling, the metal seats and half the
// removal rate, and ranks them: verdict, then cost, then what is left to the
// limit.
func (r *Request) alternatives(ctx context.Context) ([]Alternative, error) {
	var out []Alternative
	add := func(a Alternative, q *Request) error {
		limits, err := q.Polymer.LimitsAt(q.PressureMPa)
		if err != nil {
			return err
		}
		t, err := q.highRun(ctx)
		if err != nil {
			return err
		}
		a.Verdict, a.JawFaceC, a.LimitC = verdictOf(t.faceC, limits), t.faceC, limits.StopC
		out = append(out, a)
		return nil
	}
	for _, seat := range []string{"table", "parallels", "plate"} {
		if r.Geometry.Seat == "table" || r.Geometry.Seat == "parallels" || r.Geometry.Seat == "plate" {
			break
		}
		q := *r
		q.Geometry.Seat, q.Geometry.SeatMM2 = seat, q.Geometry.TopMM2
		if seat == "parallels" {
			q.Geometry.SeatMM2 *= parallelsPart
		}
		if q.Geometry.SeatMM2 == 0 {
			continue
		}
		if err := add(Alternative{Kind: "seat", Seat: seat, Change: "metal seat: " + seat, Says: "for a flat underside; also sets the part flat and parallel"}, &q); err != nil {
			return nil, err
		}
	}
	for _, c := range coolings {
		if c.Name == r.Cooling || c.unchosen {
			continue
		}
		q := *r
		q.Cooling = c.Name
		a := Alternative{Kind: "cooling", Cooling: c.Name, Change: "cooling: " + c.Name, FrictionWet: c.Wet}
		if c.Wet {
			a.Says = "wets the grip"
			if r.Polymer.Coolant != "" {
				a.Says += fmt.Sprintf("; %s %s", r.Polymer.Name, r.Polymer.Coolant)
			}
		}
		if err := add(a, &q); err != nil {
			return nil, err
		}
	}
	half := r.scaled(0.5)
	if err := add(Alternative{Kind: "rate", Change: "half the removal rate", Says: "keep the chip thick: fewer turns rather than less feed a tooth"}, &half); err != nil {
		return nil, err
	}
	for _, p := range material.Polymers() {
		if p.Name == r.Polymer.Name {
			continue
		}
		q := *r
		q.Polymer = p
		if err := add(Alternative{Kind: "polymer", Polymer: p.Name, Change: "polymer: " + p.Name, Says: p.Coolant}, &q); err != nil {
			return nil, err
		}
	}
	slices.SortStableFunc(out, func(a, b Alternative) int {
		return cmp.Or(
			cmp.Compare(verdictRank[a.Verdict], verdictRank[b.Verdict]),
			cmp.Compare(a.rank(), b.rank()),
			cmp.Compare(a.order(), b.order()),
		)
	})
	return out, nil
}

// parallelsPart is how much of the part's face two parallels touch. Own
// judgement.
const parallelsPart = 0.3

// openings says what the openings in the jaws change on the high estimate.
func (r *Request) openings(ctx context.Context, faceC float64) (string, error) {
	if r.Geometry.OpeningMM2 == 0 {
		return "", nil
	}
	q := *r
	q.Geometry.GripMM2 += q.Geometry.OpeningMM2
	q.Geometry.OpeningMM2 = 0
	t, err := q.highRun(ctx)
	if err != nil {
		return "", err
	}
	switch d := t.faceC - faceC; {
	case d >= 0.5:
		return fmt.Sprintf("the openings keep the jaw face %.1f K cooler than closed jaws would", d), nil
	case d <= -0.5:
		return fmt.Sprintf("the openings leave the jaw face %.1f K hotter: the plastic they replace would take up more heat than the air does", -d), nil
	}
	return "the openings change the jaw face by less than half a kelvin", nil
}
