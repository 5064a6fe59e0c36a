package plan

import (
	"errors"

	"secondop/cmd/secondop/internal/job"
	"secondop/fixture/grid"
	"secondop/fixture/hold"
)

// Clamping is the closing force as far as the job tells it; all zero when it
// says nothing.
type Clamping struct {
	LowN, LikelyN float64
	OnTable       bool
	HeightMM      float64
}

// gripFor is the part between walls of the job's clearances before any jaw is
// designed, for reading a pull test.
func gripFor(j *job.Job, p Part, youngMPa, bearingMPa float64) (hold.Grip, error) {
	wall, err := hold.Reach(p.Placed, hold.Jaws{
		PartingYMM: hold.WidestY(p.Placed), GapMM: j.Jaws.GapMM,
		ClearanceFixedMM: j.Jaws.ClearanceFixedMM, ClearanceMovingMM: j.Jaws.ClearanceMovingMM,
	})
	return hold.Grip{
		Contacts: wall.Contacts, TopMM: j.Jaws.GripMM, Friction: hold.DryFriction,
		YoungMPa: youngMPa, WallMM: usualWallMM, AllowedMPa: bearingMPa,
	}, err
}

// usualWallMM stands for the wall behind the pocket until it is designed.
const usualWallMM = 10

// clampOf is the force of the job's clamp after creep.
func clampOf(j *job.Job, p Part, youngMPa, bearingMPa float64) (Clamping, error) {
	c := j.Clamp
	if c == nil {
		return Clamping{}, nil
	}
	clamp := hold.Clamp{Kind: c.Kind, ForceN: c.ForceN, PullTestN: c.PullTestN, Springy: c.Springy}
	if c.Kind == "screw" {
		f, err := grid.LookupFastener(c.Screw)
		if err != nil {
			return Clamping{}, refused(j.FaultAt("clamp.screw", err.Error(), ""))
		}
		clamp.ScrewMM, clamp.TorqueNmm = f.DMM, grid.NmmOf(c.TorqueNm)
	}
	var g hold.Grip
	if c.PullTestN > 0 {
		var err error
		if g, err = gripFor(j, p, youngMPa, bearingMPa); err != nil {
			return Clamping{}, gripRefusal(j, err)
		}
	}
	force, err := clamp.Force(g)
	if err != nil {
		return Clamping{}, clampRefusal(j, err)
	}
	return Clamping{LowN: force.Low, LikelyN: force.Likely, OnTable: c.ReactsOn == "table", HeightMM: c.HeightMM}, nil
}

// clampRefusal is gripRefusal where the grip is only there to read a pull test:
// what names no key of its own is the clamp's.
func clampRefusal(j *job.Job, err error) error {
	var (
		touch *hold.ContactError
		out   *hold.RangeError
	)
	if errors.As(err, &touch) || errors.As(err, &out) {
		return gripRefusal(j, err)
	}
	return refused(j.FaultAt("clamp", words(j, err.Error()), ""))
}
