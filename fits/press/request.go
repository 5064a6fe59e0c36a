package press

import (
	"fmt"
	"math"
)

// Way is how an insert is held.
type Way string

// The ways to hold an insert.
const (
	ByPress Way = "press" // by interference
	ByBond  Way = "bond"  // by adhesive in a gap
	ByClass Way = "class" // in the hole of a standard class
)

// Defaults of a [Request].
const (
	DefaultServiceLowC, DefaultServiceHighC = -10.0, 50.0

	// DefaultMaxPressN is what a one-ton arbor press gives. Common practice, no source.
	DefaultMaxPressN = 9000.0
)

// DefaultGapMM is the gap on diameter for an adhesive. Common practice, no source.
var DefaultGapMM = Band{0.05, 0.15}

// Request is everything that the window of bore sizes depends on.
type Request struct {
	Insert Insert // with its Material filled in
	Part   Material
	By     Way
	Class  string // for ByClass: N9, H7/p6, FN2
	// MustHoldN is the push-out force it must bear. 0 takes the insert's own
	// default; where that is 0 too, the usual hole decides.
	MustHoldN float64
	GapMM     Band // for ByBond, on diameter; zero: DefaultGapMM

	Seat Seat
	// LeastWallMM is the least metal from the bore's edge to any other edge,
	// hole, thread or step within its depth.
	LeastWallMM float64

	// ServiceLowC and ServiceHighC bound the temperature of the finished part;
	// both 0: -10 and 50 °C.
	ServiceLowC, ServiceHighC float64

	RzBoreUM         float64 // 0: 6.3
	RzInsertUM       float64 // 0: the insert's
	FlatteningFactor *float64
	Lubricated       bool
	HoldFriction     Band // zero: by the part's material
	PressFriction    Band
	MaxPressN        float64 // largest press-in force; 0: DefaultMaxPressN
}

// leastWallMM is the thinnest wall that is still judged.
const leastWallMM = 0.05

// fill puts every default in and checks the numbers.
func (r *Request) fill() error {
	if r.ServiceLowC == 0 && r.ServiceHighC == 0 {
		r.ServiceLowC, r.ServiceHighC = DefaultServiceLowC, DefaultServiceHighC
	}
	otherwise(&r.RzBoreUM, 6.3)
	otherwise(&r.RzInsertUM, r.Insert.RzUM)
	otherwise(&r.MaxPressN, DefaultMaxPressN)
	if r.FlatteningFactor == nil {
		v := DefaultFlatteningFactor
		r.FlatteningFactor = &v
	}
	f := Friction(r.Part.Name, r.Lubricated)
	if r.HoldFriction == (Band{}) {
		r.HoldFriction = f.Hold
	}
	if r.PressFriction == (Band{}) {
		r.PressFriction = f.Press
	}
	if r.GapMM == (Band{}) {
		r.GapMM = DefaultGapMM
	}
	return r.check()
}

func (r *Request) check() error {
	switch r.By {
	case ByPress, ByBond, ByClass:
	default:
		return &InsertError{Kind: r.Insert.Kind, What: fmt.Sprintf("held by %q is unknown", string(r.By)), Near: []string{"press", "bond", "class"}}
	}
	if r.Insert.UpperMM < r.Insert.LowerMM {
		return &RangeError{What: "upper deviation of the insert in mm", Value: r.Insert.UpperMM, Against: r.Insert.LowerMM, Rule: fmt.Sprintf("is upside down: must not be below the lower one (%.6g)", r.Insert.LowerMM)}
	}
	if !(r.ServiceLowC <= r.ServiceHighC) {
		return &RangeError{What: "lowest service temperature in °C", Value: r.ServiceLowC, Against: r.ServiceHighC, Rule: fmt.Sprintf("must not be above the highest (%.6g)", r.ServiceHighC)}
	}
	if !(r.GapMM.Low > 0 && r.GapMM.Low < r.GapMM.High && r.GapMM.High <= 2) {
		return &RangeError{What: "smallest gap for the adhesive in mm", Value: r.GapMM.Low, Against: r.GapMM.High, Rule: fmt.Sprintf("must be above 0 and below the largest (%.6g), and that at most 2", r.GapMM.High)}
	}
	if !(r.HoldFriction.Low > 0) {
		return &RangeError{What: "lower end of the holding friction", Value: r.HoldFriction.Low, Rule: "must be above 0"}
	}
	if !(r.PressFriction.High > 0) {
		return &RangeError{What: "upper end of the press-in friction", Value: r.PressFriction.High, Rule: "must be above 0"}
	}
	if !(r.LeastWallMM >= leastWallMM && r.LeastWallMM <= 1e5) {
		return &RangeError{What: "least wall in mm", Value: r.LeastWallMM, Against: leastWallMM, Rule: fmt.Sprintf("must be at least %g: the insert is larger than the part has room for there", leastWallMM)}
	}
	for _, c := range []error{
		inRange("lowest service temperature in °C", r.ServiceLowC, -200, 400),
		inRange("highest service temperature in °C", r.ServiceHighC, -200, 400),
		inRange("push-out force in N", r.MustHoldN, 0, 1e7),
		inRange("largest press-in force in N", r.MaxPressN, 1, 1e7),
		inRange("part yield in MPa", r.Part.YieldMPa, 1, 1e4),
		inRange("factor of flattening", *r.FlatteningFactor, 0, 2),
		inRange("insert height in mm", r.Insert.HeightMM, 0.1, 300),
		r.Seat.check(),
	} {
		if c != nil {
			return c
		}
	}
	_, err := r.joint(r.Insert.DiameterMM, 1)
	return err
}

// WallMM is the metal left between a bore and the nearest edge of the part, in
// mm: insideMM is how far the bore's axis lies inside that edge. It is negative
// by as much as the bore reaches past the edge.
func WallMM(insideMM, diameterMM float64) float64 { return insideMM - diameterMM/2 }

// EffectiveOuterMM is the outer diameter of the ring that stands for the part
// round a bore: d + 2·t with t the least wall, both in mm. For an eccentric
// round boss that is careful by 2 to 7 %. Source: fit of an inscribed circle,
// compared with Timoshenko and Goodier's eccentric ring (from memory).
func EffectiveOuterMM(dMM, leastWallMM float64) float64 { return dMM + 2*leastWallMM }

// joint is the pair with an insert of diameter dMM, not yet with an interference.
func (r *Request) joint(dMM, engagedMM float64) (Joint, error) {
	j := Joint{
		DiameterMM: dMM, HubOuterMM: EffectiveOuterMM(dMM, r.LeastWallMM), InsertInnerMM: r.Insert.InnerMM,
		LengthMM: engagedMM, Hub: r.Part, Insert: r.Insert.Material,
		HoldFriction: r.HoldFriction, PressFriction: r.PressFriction,
	}
	return j, j.check()
}

// The ring formulas are first-order in the interference, so the window keeps
// something in hand: inHand of every force, stressInHand of every stress (it errs
// by the interference over the diameter), slipMM of every length that
// temperature or flattening takes.
const inHand = 1.01

func stressInHand(deltaMM, dMM float64) float64 { return 1.005 + 1.5*math.Abs(deltaMM)/dMM }

func slipMM(growthMM, lostMM float64) float64 { return (math.Abs(growthMM) + lostMM) / 500 }

// temperatures are those at which the fit must work: service and 20 °C.
func (r *Request) temperatures() [3]float64 {
	return [3]float64{r.ServiceLowC, ReferenceC, r.ServiceHighC}
}

func (r *Request) flatteningMM() float64 {
	return *r.FlatteningFactor * (r.RzBoreUM + r.RzInsertUM) / 1000
}

// needed is the least interference at 20 °C with which the joint bears forceN at
// every temperature, flattened and with the low friction, and the temperature
// that asks most.
func (r *Request) needed(j Joint, forceN float64) (deltaMM, atC float64) {
	pressure := forceN * inHand / (math.Pi * j.DiameterMM * j.LengthMM * r.HoldFriction.Low)
	deltaMM = math.Inf(-1)
	for _, t := range r.temperatures() {
		j.RiseK = t - ReferenceC
		growth, lost := j.growthMM(), r.flatteningMM()
		if d := pressure/j.stiffness() + lost - growth + slipMM(growth, lost); d > deltaMM {
			deltaMM, atC = d, t
		}
	}
	return deltaMM, atC
}

// limit is the largest interference at 20 °C and what sets it.
type limit struct {
	deltaMM, atC float64
	by           string // part, insert, press
}

// allowed is the largest interference at 20 °C at which the part doesn't yield
// (by Tresca, no flattening) nor a brittle insert break at any temperature, and
// the press-in force stays within MaxPressN.
func (r *Request) allowed(j Joint) limit {
	k := j.stiffness()
	least := limit{deltaMM: math.Inf(1)}
	lower := func(deltaMM, atC float64, by string) {
		if deltaMM < least.deltaMM {
			least = limit{deltaMM, atC, by}
		}
	}
	hub := r.Part.YieldMPa / (ringFactor(j.DiameterMM, j.HubOuterMM) + 1)
	insert := math.Inf(1)
	if m := j.Insert; m.YieldMPa == 0 && m.CompressMPa > 0 { // a metal ring only gives a little
		insert = m.CompressMPa
		if di, d := j.InsertInnerMM, j.DiameterMM; di > 0 {
			insert *= (d*d - di*di) / (2 * d * d)
		}
	}
	for _, t := range r.temperatures() {
		j.RiseK = t - ReferenceC
		growth := j.growthMM()
		elastic := func(pressure float64, by string) {
			if delta := pressure / k; delta < j.DiameterMM { // infinite: nothing to break
				lower(delta/stressInHand(delta, j.DiameterMM)-growth-slipMM(growth, 0), t, by)
			}
		}
		elastic(hub, "part")
		elastic(insert, "insert")
	}
	j.RiseK = 0
	pressure := r.MaxPressN / inHand / (math.Pi * j.DiameterMM * j.LengthMM * r.PressFriction.High)
	lower(pressure/k, ReferenceC, "press")
	return least
}
