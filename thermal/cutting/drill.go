package cutting

import (
	"fmt"
	"math"

	"secondop/thermal/material"
)

// Hole is a drill, a reamer, a boring tool or a tap working along Z.
type Hole struct {
	DiameterMM float64 // 0.3 to 50; of a tap its nominal diameter
	SpeedRPM   float64 // 1 to 200000
	FeedMMRev  float64 // 0.001 to 2; of a tap its pitch, up to 6
	PointRad   float64 // drill point angle, 60° to 180°; 0 means 118°
	SplitPoint bool    // or a pilot hole: no chisel edge
	HelixRad   float64 // 0 to 60°
	DepthOfCut float64 // boring: radial depth, mm
	HSS, Worn  bool
	Kc         material.Kc
}

// HoleForce is what a tool along Z puts on the part.
type HoleForce struct {
	TorqueNmm  Band // about the tool's axis
	ThrustN    Band // down, onto the seat, while cutting
	LiftN      Band // up, at breakthrough or while the tool is drawn out
	RadialN    Band // boring: sideways, turning with the tool
	PowerW     Band
	EdgePowerW Band
	ChipMM     float64
	Cautions   []string
}

const defaultPointRad = 118 * math.Pi / 180

// liftShare is the part of the pull of a corkscrew, ΣFt·tan λ with ΣFt = 4M/D,
// that a drill puts on the part as it breaks through. Judgement, no source:
// at breakthrough about half of each lip is still in the cut and most of it
// still pushes down.
var liftShare = Band{0, 0.25, 0.5}

// chiselSpread is the ratio of a tool maker's thrust to the handbook's in the
// same cut, 488 N to about 367 N for 6 mm, 0.1 mm/rev in aluminium (Tungaloy
// 2020-2021 p.1656; Machinery's Handbook 31 p.1152). Two published rules differ
// by up to 2.
const chiselSpread = 1.33

// Drill returns thrust and torque of a twist drill in solid metal:
//
//	torque = kc·f·D²/8,  lip thrust = kc·f/2·D/2·sin κ,  h = f/2·sin κ
//
// with half the point angle κ, and the thrust of the chisel edge on top by the
// handbook's ratio B + 0.14·D²·J/(Ff·FT) (D in mm; no chisel edge for a split
// point). Sources: lip forces from memory (Dubbel form), checked against
// Machinery's Handbook 31 p.1152-1153 and Tungaloy p.1656 within their spread.
// It returns a *RangeError for a field outside the range given on [Hole].
func Drill(d Hole) (HoleForce, error) {
	if d.PointRad == 0 {
		d.PointRad = defaultPointRad
	}
	if err := d.check(2); err != nil {
		return HoleForce{}, err
	}
	if err := atLeast("drill point angle", d.PointRad*180/math.Pi, 60, 180, "deg"); err != nil {
		return HoleForce{}, err
	}
	sin := math.Sin(d.PointRad / 2)
	f := HoleForce{ChipMM: d.FeedMMRev / 2 * sin}
	kc := kcBand(d.Kc, f.ChipMM).by(d.correction()).ordered()
	f.TorqueNmm = kc.times(d.FeedMMRev * d.DiameterMM * d.DiameterMM / 8)
	lips := kc.times(d.FeedMMRev / 2 * d.DiameterMM / 2 * sin)
	chisel := chiselFactor(d)
	f.ThrustN = lips.by(Band{1, chisel, chisel * chiselSpread})
	f.LiftN = f.TorqueNmm.times(4 * math.Tan(d.HelixRad) / d.DiameterMM).by(liftShare)
	f.power(d, d.DiameterMM/2)
	return f, nil
}

// Bore returns the forces of a single-point boring tool or of a reamer's edges
// taken as one: Ft = kc·ap·f at the bore's radius, a feed force of 0.3 to 0.6
// and a radial force of 0.2 to 0.5 of it (from memory). The tool pushes down;
// drawn out with the spindle turning it pulls no more than the feed force.
func Bore(b Hole) (HoleForce, error) {
	if err := b.check(2); err != nil {
		return HoleForce{}, err
	}
	if err := within("radial depth of cut", b.DepthOfCut, 0, b.DiameterMM/2, "mm", "half the bore"); err != nil {
		return HoleForce{}, err
	}
	f := HoleForce{ChipMM: b.FeedMMRev}
	tangential := kcBand(b.Kc, f.ChipMM).by(b.correction()).ordered().times(b.DepthOfCut * b.FeedMMRev)
	f.TorqueNmm = tangential.times(b.DiameterMM / 2)
	f.ThrustN = tangential.by(Band{0.3, 0.45, 0.6})
	f.LiftN = Band{0, f.ThrustN.Likely / 2, f.ThrustN.High}
	radial := tangential.by(Band{0.2, 0.35, 0.5})
	f.RadialN = Band{math.Hypot(radial.Low, tangential.Low), math.Hypot(radial.Likely, tangential.Likely), math.Hypot(radial.High, tangential.High)}
	f.power(b, b.DepthOfCut)
	return f, nil
}

// Tap returns the torque of cutting a thread of pitch p, M = kc·p²·D/8000 in
// N·m with kc at a chip of a tenth of the pitch, and a pull of a tenth of
// ΣFt = 2M/D either way, since a tap follows its own thread. Source: the torque
// is a tool maker's catalogue formula (from memory), the pull a judgement.
func Tap(t Hole) (HoleForce, error) {
	if err := t.check(6); err != nil {
		return HoleForce{}, err
	}
	f := HoleForce{ChipMM: t.FeedMMRev / 10}
	kc := kcBand(t.Kc, f.ChipMM).by(t.correction()).ordered()
	f.TorqueNmm = kc.times(t.FeedMMRev * t.FeedMMRev * t.DiameterMM / 8)
	f.LiftN = f.TorqueNmm.times(2 / t.DiameterMM).by(Band{0, 0.1, 0.2})
	f.ThrustN = f.LiftN
	f.power(t, t.FeedMMRev)
	return f, nil
}

func (d Hole) check(mostFeedMM float64) error {
	for _, err := range []error{
		within("hole diameter", d.DiameterMM, 0.2999, 50, "mm", ""),
		within("spindle speed", d.SpeedRPM, 0, 200000, "rpm", ""),
		within("feed", d.FeedMMRev, 0.00099, mostFeedMM, "mm/rev", ""),
		atLeast("helix angle", d.HelixRad*180/math.Pi, 0, 60, "deg"),
	} {
		if err != nil {
			return err
		}
	}
	if !(d.Kc.Likely.KC11NMM2 > 0) {
		return fmt.Errorf("the part's material has no specific cutting force")
	}
	return nil
}

func (d Hole) correction() Band { return EndMill{HSS: d.HSS, Worn: d.Worn}.correction() }

// power fills in the power from the torque, and the rubbing of an edge of the
// given length at the hole's outer radius.
func (f *HoleForce) power(d Hole, edgeMM float64) {
	radS := d.SpeedRPM * 2 * math.Pi / 60
	f.PowerW = f.TorqueNmm.times(radS / 1000)
	edge := d.correction().times(d.Kc.FlankNMM * edgeMM * d.DiameterMM / 2 * radS / 1000)
	f.EdgePowerW = Band{min(edge.Low, f.PowerW.Low), min(edge.Likely, f.PowerW.Likely), min(edge.High, f.PowerW.High)}
	if f.ChipMM < d.Kc.Likely.ValidFromChipMM {
		f.Cautions = append(f.Cautions, fmt.Sprintf("the chip is %.3f mm thick; the cutting force table starts at %.2f mm, so the force is extrapolated and may be off by a factor of 2",
			f.ChipMM, d.Kc.Likely.ValidFromChipMM))
	}
}
