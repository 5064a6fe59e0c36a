package press

import (
	"fmt"
	"math"
)

// Seat is the shape of the bore beside its diameter.
type Seat struct {
	DepthMM        float64 // of the bore; of the part, if Through
	Through        bool
	LeadInMM       float64 // chamfer at the mouth, along the axis
	LeadInRad      float64 // its angle to the bore's axis; 0: 45°
	FloorReliefMM  float64 // height at the floor that the insert doesn't reach
	CutterRadiusMM float64 // corner radius that the cutter leaves at the floor
	VentMM         float64 // diameter of a hole that lets air out
}

func (s Seat) check() error {
	if !(s.DepthMM > 0 && s.DepthMM <= 300) {
		return &RangeError{What: "bore depth in mm", Value: s.DepthMM, Rule: "must be above 0 and at most 300"}
	}
	for _, c := range []error{
		inRange("lead-in in mm", s.LeadInMM, 0, 50),
		inRange("angle of the lead-in in rad", s.LeadInRad, 0, 1.4),
		inRange("floor relief in mm", s.FloorReliefMM, 0, 50),
		inRange("corner radius of the cutter in mm", s.CutterRadiusMM, 0, 50),
		inRange("vent in mm", s.VentMM, 0, 50),
	} {
		if c != nil {
			return c
		}
	}
	return nil
}

// LeadInWidthMM is what the lead-in adds to the bore's diameter at its mouth:
// 2·length·tan(angle).
func (s Seat) LeadInWidthMM() float64 {
	angle := s.LeadInRad
	if angle == 0 {
		angle = math.Pi / 4
	}
	return 2 * s.LeadInMM * math.Tan(angle)
}

// EngagedMM is the length on which an insert touches the bore: what stands in
// the bore less the lead-in at the mouth and the insert's chamfers inside.
func (s Seat) EngagedMM(heightMM, chamferMM float64) float64 {
	room := s.DepthMM
	if !s.Through {
		room -= s.FloorReliefMM
	}
	inside := math.Min(heightMM, room)
	engaged := inside - chamferMM // the leading edge
	// The trailing edge counts only as far as it stands below the lead-in's end.
	sunk := room - heightMM
	engaged -= math.Max(0, s.LeadInMM-math.Max(0, sunk))
	if sunk >= 0 {
		engaged -= math.Max(0, chamferMM-math.Max(0, s.LeadInMM-sunk))
	}
	return engaged
}

// TrappedAir returns the pressure in MPa above the outside and the force in N of
// air shut in under an insert of diameter dMM that seals at the height
// sealedMM above the floor and is pushed to endMM: Boyle's law, no leak.
// It returns a *RangeError unless 0 < endMM <= sealedMM.
func TrappedAir(dMM, sealedMM, endMM float64) (pressureMPa, forceN float64, err error) {
	if e := inRange("insert diameter in mm", dMM, 0.1, 500); e != nil {
		return 0, 0, e
	}
	if !(endMM > 0 && endMM <= sealedMM && sealedMM <= 1000) {
		return 0, 0, &RangeError{What: "height of the air left in mm", Value: endMM, Against: sealedMM, Rule: fmt.Sprintf("must be above 0 and at most the height where the insert seals (%.6g)", sealedMM)}
	}
	const atmosphereMPa = 0.101325
	pressureMPa = atmosphereMPa * (sealedMM/endMM - 1)
	return pressureMPa, pressureMPa * math.Pi / 4 * dMM * dMM, nil
}

// leastAirMM is the air left under an insert pushed home: surfaces, chamfers and
// corner. Our assumption, no source.
const leastAirMM = 0.1

// judgeSeat checks the bore's shape against an interference deltaMM and the
// force that holds.
func (w *Window) judgeSeat(r *Request) {
	s, in := r.Seat, r.Insert
	if in.HeightMM > s.DepthMM && r.By != ByBond {
		w.say("seat", Caution, "the insert is % high and the bore % deep: it stands proud", mm(in.HeightMM), mm(s.DepthMM))
	}
	if r.By != ByBond && in.Kind != ThreadedInsert {
		switch open := s.LeadInWidthMM() + 2*in.ChamferMM; {
		case s.LeadInMM > 0 && s.LeadInWidthMM() <= w.InterferenceMM.High:
			w.say("seat", Caution, "the lead-in opens the mouth by % on diameter, less than the greatest interference of %", mm(s.LeadInWidthMM()), um(w.InterferenceMM.High))
		case open <= w.InterferenceMM.High:
			w.say("seat", Caution, "neither bore nor insert has a lead-in: give the mouth 0.2 to 0.5 mm at 15 to 30° (common practice), or the insert starts cocked")
		}
	}
	if !s.Through && s.CutterRadiusMM > math.Max(in.ChamferMM, s.FloorReliefMM) {
		w.say("seat", Caution, "the cutter leaves a radius of % at the floor and the insert's edge has only %: the insert won't seat; relieve the floor or bore % deeper", mm(s.CutterRadiusMM), mm(in.ChamferMM), mm(s.CutterRadiusMM))
	}
	if s.Through && in.HeightMM < s.DepthMM {
		w.say("seat", Go, "the bore goes through and nothing stops the insert: press it against a stop, or to a mark")
	}
	if s.Through || s.VentMM > 0 || in.InnerMM > 0 || r.By == ByBond || w.InterferenceMM.High <= 0 {
		return
	}
	left := math.Max(leastAirMM, s.DepthMM-in.HeightMM)
	sealed := math.Max(left, s.DepthMM-s.LeadInMM)
	pressure, force, err := TrappedAir(in.DiameterMM, sealed, left)
	if err != nil || pressure < 0.05 {
		return
	}
	v := Go
	if force > w.PushOutN.Low/2 {
		v = Caution
	}
	w.AirN = force
	w.say("air", v, "air shut in under the insert pushes back with up to % until it leaks: give it a vent at the floor (which also lets it be pushed out again) or a small flat, or press slowly and hold", newton(force))
}
