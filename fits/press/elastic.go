package press

import "math"

// Elastic holds the pressures, in MPa, at which a ring or an insert of yield σy
// stops being elastic.
type Elastic struct {
	TrescaMPa   float64 // largest shear stress: the warning
	MisesMPa    float64 // largest distortion energy, plane stress
	ModifiedMPa float64 // σy·(1−q²)/√3, the form used in DIN 7190 (from memory)
	// PlasticMPa is the pressure at which the whole ring has yielded, about
	// (2/√3)·σy·ln(D/d). Source: Hill, from memory. 0 for an insert.
	PlasticMPa float64
}

// HubLimits returns the limits of a ring from dMM to outerMM with a yield in
// MPa, q = d/D:
//
//	Tresca  σy·(1−q²)/2
//	Mises   σy·(1−q²)/√(3+q⁴)
//
// It returns a *RangeError unless 0 < dMM < outerMM and yieldMPa > 0.
// Both follow from Lamé's stresses at the bore.
func HubLimits(dMM, outerMM, yieldMPa float64) (Elastic, error) {
	if !(dMM > 0 && dMM < outerMM && !math.IsInf(outerMM, 0)) {
		return Elastic{}, &RangeError{What: "insert diameter in mm", Value: dMM, Against: outerMM, Rule: "must be above 0 and smaller than the part round it"}
	}
	if !(yieldMPa > 0 && yieldMPa <= 1e4) {
		return Elastic{}, &RangeError{What: "part yield in MPa", Value: yieldMPa, Rule: "must be above 0 and at most 10000"}
	}
	q2 := dMM * dMM / (outerMM * outerMM)
	return Elastic{
		TrescaMPa:   yieldMPa * (1 - q2) / 2,
		MisesMPa:    yieldMPa * (1 - q2) / math.Sqrt(3+q2*q2),
		ModifiedMPa: yieldMPa * (1 - q2) / math.Sqrt(3),
		PlasticMPa:  2 / math.Sqrt(3) * yieldMPa * math.Log(outerMM/dMM),
	}, nil
}

// InsertLimits returns the limits of an insert of diameter dMM with a hole of
// innerMM (0: solid) and a strength in MPa: its yield, or the compressive
// strength of a brittle one.
//
//	solid   Tresca and Mises σy, modified (2/√3)·σy
//	hollow  Tresca and Mises σy·(1−q²)/2, q = di/d, modified σy·(1−q²)/√3
//
// It returns a *RangeError unless 0 <= innerMM < dMM and strengthMPa > 0.
func InsertLimits(dMM, innerMM, strengthMPa float64) (Elastic, error) {
	if !(dMM > 0 && innerMM >= 0 && innerMM < dMM && !math.IsInf(dMM, 0)) {
		return Elastic{}, &RangeError{What: "hole in the insert in mm", Value: innerMM, Against: dMM, Rule: "must be from 0 to below the insert's own diameter"}
	}
	if !(strengthMPa > 0 && strengthMPa <= 1e5) {
		return Elastic{}, &RangeError{What: "insert strength in MPa", Value: strengthMPa, Rule: "must be above 0 and at most 100000"}
	}
	if innerMM == 0 {
		return Elastic{TrescaMPa: strengthMPa, MisesMPa: strengthMPa, ModifiedMPa: 2 / math.Sqrt(3) * strengthMPa}, nil
	}
	q2 := innerMM * innerMM / (dMM * dMM)
	return Elastic{
		TrescaMPa:   strengthMPa * (1 - q2) / 2,
		MisesMPa:    strengthMPa * (1 - q2) / 2,
		ModifiedMPa: strengthMPa * (1 - q2) / math.Sqrt(3),
	}, nil
}

// Flattening returns what the surfaces lose of the interference on diameter, in
// mm: factor·(Rz_bore + Rz_insert), roughnesses in µm.
//
// The factor is 0.8 after DIN 7190:2001; a later edition is said to use 0.4
// (not verified), so it is a setting. 0.8 is the careful choice for holding
// force; use 0 for stress.
func Flattening(rzBoreUM, rzInsertUM, factor float64) (float64, error) {
	for _, c := range []error{
		inRange("roughness Rz of the bore in µm", rzBoreUM, 0, 200),
		inRange("roughness Rz of the insert in µm", rzInsertUM, 0, 200),
		inRange("factor of flattening", factor, 0, 2),
	} {
		if c != nil {
			return 0, c
		}
	}
	return factor * (rzBoreUM + rzInsertUM) / 1000, nil
}

// DefaultFlatteningFactor is DIN 7190:2001's.
const DefaultFlatteningFactor = 0.8

// RzOf returns a usual roughness in µm for how a surface was made: "milled",
// "bored", "reamed", "drilled", "ground", "drawn" or "plated". ok is false for any other
// word. Common practice, no source.
func RzOf(made string) (rzUM float64, ok bool) {
	v, ok := map[string]float64{"milled": 6.3, "bored": 6.3, "reamed": 3.2, "ground": 1.6, "drawn": 4, "plated": 2.5, "drilled": 16}[made]
	return v, ok
}
