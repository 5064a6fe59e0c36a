package press

import (
	"fmt"
	"math"
)

// ReferenceC is the temperature at which sizes are given (ISO 1).
const ReferenceC = 20.0

// Material is what the mechanics need to know of a part or an insert. A brittle
// material has no yield: give its strengths and leave YieldMPa at 0.
type Material struct {
	Name          string
	YoungMPa      float64 // modulus of elasticity, 100 to 1 000 000
	Poisson       float64 // 0 to below 0.5
	YieldMPa      float64
	TensileMPa    float64
	CompressMPa   float64 // compressive strength, a positive number
	ExpansionPerK float64 // across the axis of the joint, -1e-4 to 5e-4
	WorkingC      float64 // highest working temperature; 0: none known
}

// strength is the stress the material may see in squeeze (MPa): its yield, or
// its compressive strength if it has none. 0: not known.
func (m Material) strength() float64 {
	if m.YieldMPa > 0 {
		return m.YieldMPa
	}
	return m.CompressMPa
}

// Band is a low and a high estimate of one number.
type Band struct{ Low, High float64 }

// Joint is one insert in one bore.
type Joint struct {
	DiameterMM    float64 // of the joint, above 0 to 500
	HubOuterMM    float64 // effective outer diameter of the part round it
	InsertInnerMM float64 // hole in the insert, 0 for a solid one
	LengthMM      float64 // engaged length
	// InterferenceMM is on diameter at 20 °C, insert minus bore; negative for a
	// loose fit.
	InterferenceMM float64
	// FlatteningMM is what the surfaces lose on diameter; see [Flattening]. Set
	// it for holding, leave it at 0 for stress.
	FlatteningMM float64
	RiseK        float64 // temperature of both above 20 °C
	Hub, Insert  Material

	HoldFriction  Band // coefficient that resists pushing out or turning
	PressFriction Band // coefficient while pressing in
}

// Result is what the interference does. All is 0 for a fit that is loose.
type Result struct {
	// InterferenceMM is what is left on diameter at the temperature, after
	// flattening; negative means loose by that much.
	InterferenceMM float64
	PressureMPa    float64

	HubHoopMPa, HubTrescaMPa, HubMisesMPa float64 // at the bore, where they are largest
	InsertHoopMPa, InsertMisesMPa         float64 // at the joint
	InsertInnerHoopMPa                    float64 // at the inside; the joint's own if solid
	InsertTrescaMPa                       float64 // the largest anywhere in it

	PressInN, PushOutN Band
	TorqueNmm          Band // that turns the insert, with the holding friction

	HubGrowsMM     float64 // outer diameter of the part, larger by this
	InsertClosesMM float64 // inside diameter of the insert, smaller by this
}

// Press returns what an interference does to the two parts. It returns a
// *RangeError if a field is outside its bounds or is not finite.
//
// The formula is Lamé's for a thick ring on a solid or hollow insert, both in
// plane stress, with δ on diameter,
//
//	p = δ / ( d·[ (1/Eh)·((D²+d²)/(D²−d²) + νh) + (1/Es)·((d²+di²)/(d²−di²) − νs) ] )
//	δ = δ20 + (αs − αh)·d·rise − flattening
//
// and holds while both parts stay elastic; past that it overstates p. Hub bore:
// σθ = p·(D²+d²)/(D²−d²), σr = −p. Insert at the joint: σθ = −p·(d²+di²)/(d²−di²),
// inside: −2·p·d²/(d²−di²). Force = π·d·L·μ·p, torque = force·d/2.
// Source: Shigley, 9th ed., eq. 3-56 and 3-57.
func Press(j Joint) (Result, error) {
	if err := j.check(); err != nil {
		return Result{}, err
	}
	r := Result{InterferenceMM: j.InterferenceMM + j.growthMM() - j.FlatteningMM}
	p := max(0, r.InterferenceMM) * j.stiffness()
	r.PressureMPa = p

	d, D, di := j.DiameterMM, j.HubOuterMM, j.InsertInnerMM
	r.HubHoopMPa = p * ringFactor(d, D)
	r.HubTrescaMPa = r.HubHoopMPa + p
	r.HubMisesMPa = mises(r.HubHoopMPa, -p)
	r.InsertHoopMPa = -p * ringFactor(di, d)
	r.InsertMisesMPa = mises(r.InsertHoopMPa, -p)
	r.InsertInnerHoopMPa, r.InsertTrescaMPa = r.InsertHoopMPa, p
	if di > 0 {
		r.InsertInnerHoopMPa = -2 * p * d * d / (d*d - di*di)
		r.InsertTrescaMPa = -r.InsertInnerHoopMPa
	}

	area := math.Pi * d * j.LengthMM
	r.PressInN = Band{area * j.PressFriction.Low * p, area * j.PressFriction.High * p}
	r.PushOutN = Band{area * j.HoldFriction.Low * p, area * j.HoldFriction.High * p}
	r.TorqueNmm = Band{r.PushOutN.Low * d / 2, r.PushOutN.High * d / 2}

	r.HubGrowsMM = 2 * p * d * d / (D*D - d*d) * D / j.Hub.YoungMPa
	r.InsertClosesMM = -r.InsertInnerHoopMPa * di / j.Insert.YoungMPa
	return r, nil
}

// stiffness is the pressure per interference on diameter, in MPa/mm.
func (j Joint) stiffness() float64 {
	hub := (ringFactor(j.DiameterMM, j.HubOuterMM) + j.Hub.Poisson) / j.Hub.YoungMPa
	insert := (ringFactor(j.InsertInnerMM, j.DiameterMM) - j.Insert.Poisson) / j.Insert.YoungMPa
	return 1 / (j.DiameterMM * (hub + insert))
}

// growthMM is what the temperature adds to the interference.
func (j Joint) growthMM() float64 {
	return (j.Insert.ExpansionPerK - j.Hub.ExpansionPerK) * j.DiameterMM * j.RiseK
}

// ringFactor is (D² + d²)/(D² − d²) of a ring from d to D.
func ringFactor(d, D float64) float64 { return (D*D + d*d) / (D*D - d*d) }

// mises is the equivalent stress of two principal stresses in plane stress.
func mises(a, b float64) float64 { return math.Sqrt(a*a - a*b + b*b) }

// RangeError is a number outside what the mechanics hold for.
type RangeError struct {
	What    string // what the number is, with its unit
	Value   float64
	Rule    string
	Against float64 // the number it was held against, if the rule names one
}

func (e *RangeError) Error() string { return fmt.Sprintf("%s is %.6g, %s", e.What, e.Value, e.Rule) }

func inRange(what string, v, low, high float64) error {
	if v >= low && v <= high {
		return nil
	}
	return &RangeError{What: what, Value: v, Rule: fmt.Sprintf("must be from %g to %g", low, high)}
}

func (j Joint) check() error {
	d := j.DiameterMM
	if !(d > 0 && d <= 500) {
		return &RangeError{What: "insert diameter in mm", Value: d, Rule: "must be above 0 and at most 500"}
	}
	if !(j.HubOuterMM > d && j.HubOuterMM <= 1e6) {
		return &RangeError{What: "insert diameter in mm", Value: d, Against: j.HubOuterMM, Rule: fmt.Sprintf("must be smaller than the part round it (%.6g)", j.HubOuterMM)}
	}
	if !(j.InsertInnerMM >= 0 && j.InsertInnerMM < d) {
		return &RangeError{What: "hole in the insert in mm", Value: j.InsertInnerMM, Against: d, Rule: fmt.Sprintf("must be from 0 to below the insert's own diameter (%.6g)", d)}
	}
	for _, c := range []error{
		inRange("engaged length in mm", j.LengthMM, 1e-3, 1000),
		inRange("interference in mm", j.InterferenceMM, -10, d/10),
		inRange("flattening in mm", j.FlatteningMM, 0, 1),
		inRange("temperature rise in K", j.RiseK, -293, 1000),
		j.Hub.check("part"), j.Insert.check("insert"),
		j.HoldFriction.check("holding friction"), j.PressFriction.check("press-in friction"),
	} {
		if c != nil {
			return c
		}
	}
	return nil
}

func (b Band) check(what string) error {
	if b.Low >= 0 && b.Low <= b.High && b.High <= 2 {
		return nil
	}
	return &RangeError{What: "lower end of the " + what, Value: b.Low, Against: b.High, Rule: fmt.Sprintf("must be from 0 to its upper end (%g), and that at most 2", b.High)}
}

func (m Material) check(whose string) error {
	for _, c := range []error{
		inRange(whose+" modulus in MPa", m.YoungMPa, 100, 1e6),
		inRange(whose+" Poisson's ratio", m.Poisson, 0, 0.4999),
		inRange(whose+" expansion per K", m.ExpansionPerK, -1e-4, 5e-4),
		inRange(whose+" yield in MPa", m.YieldMPa, 0, 1e4),
		inRange(whose+" compressive strength in MPa", m.CompressMPa, 0, 1e5),
		inRange(whose+" tensile strength in MPa", m.TensileMPa, 0, 1e4),
	} {
		if c != nil {
			return c
		}
	}
	return nil
}
