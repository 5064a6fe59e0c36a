package plan

import (
	"errors"
	"math"

	"secondop/cmd/secondop/internal/job"
	"secondop/fixture"
	"secondop/fixture/hold"
	"secondop/thermal/material"
)

// Grip is the part between the jaws as designed.
type Grip struct {
	pair     *fixture.Pair
	wall     hold.Wall
	polymer  material.PolymerRow
	mount    hold.Mount
	friction float64
	// KeptN is the closing force that the screws let stand; KeptSays tells why
	// it is less than the clamp's.
	Clamp    Clamping
	KeptN    float64
	KeptSays string
}

// gripOf finds the contact of the part with the two pockets.
func gripOf(j *job.Job, pair *fixture.Pair, poly material.PolymerRow, clamp Clamping, wet bool) (*Grip, error) {
	g := &Grip{pair: pair, polymer: poly, Clamp: clamp, friction: frictionOf(j, wet)}
	var err error
	g.wall, err = hold.Reach(pair.Part, hold.Jaws{
		PartingYMM: pair.PartingYMM, GapMM: pair.GapMM,
		ClearanceFixedMM: j.Jaws.ClearanceFixedMM, ClearanceMovingMM: j.Jaws.ClearanceMovingMM,
	})
	if err != nil {
		return nil, gripRefusal(j, err)
	}
	g.mount = mountOf(pair, clamp)
	g.KeptN, g.KeptSays = g.mount.Kept(clamp.LikelyN)
	return g, nil
}

func frictionOf(j *job.Job, wet bool) float64 {
	if j.Cut != nil && j.Cut.Friction > 0 {
		return j.Cut.Friction
	}
	return hold.FrictionOf(wet)
}

func mountOf(pair *fixture.Pair, clamp Clamping) hold.Mount {
	m := hold.Mount{OnTable: clamp.OnTable}
	var moving hold.Screws
	for _, b := range pair.Bolts {
		s := &m.Fixed
		if b.Moving {
			s = &moving
		}
		s.Count++
		s.PreloadN, s.TableFriction = b.PreloadN, hold.TableFriction
	}
	if moving.Count > 0 {
		m.Moving = &moving
	}
	return m
}

// plasticAt is a polymer's strength at a temperature.
func plasticAt(p material.PolymerRow, celsius float64) hold.Plastic {
	return hold.Plastic{
		YoungMPa: p.YoungMPa, YoungNowMPa: p.YoungAtMPa(celsius),
		CompressiveMPa: p.CompressiveMPa, AcrossMPa: p.StrengthZMPa, UnderHeadMPa: p.BearingMPa,
	}
}

// with is the grip clamped with a force, its plastic at a temperature.
func (g *Grip) with(forceN, friction, celsius float64) hold.Grip {
	p := plasticAt(g.polymer, celsius)
	return hold.Grip{
		Contacts: g.wall.Contacts,
		BottomMM: g.pair.ContactLowMM - g.pair.Heights.SeatMM, TopMM: g.pair.ContactHighMM - g.pair.Heights.SeatMM,
		ClampN: forceN, Friction: friction, YoungMPa: p.YoungNowMPa,
		WallMM:     g.pair.Walls.ThinnestMM(),
		AllowedMPa: p.BearingMPa(), Bolted: g.mount.Moving != nil,
	}
}

// pressureMPa is the mean pressure of the clamp on the walls that touch, with
// the plastic at a temperature; 0 when no clamp force is known.
func (g *Grip) pressureMPa(celsius float64) (float64, error) {
	if g.KeptN == 0 {
		return 0, nil
	}
	h, err := g.with(g.KeptN, g.friction, celsius).Clamp()
	if err != nil {
		return 0, err
	}
	_, mean, _ := h.Pressure()
	return mean, nil
}

// gripRefusal puts what the grip model turns away at the key it concerns.
func gripRefusal(j *job.Job, err error) error {
	at, help := "part.outline", "turn the part, or move the parting line with jaws.parting"
	var out *hold.RangeError
	if errors.As(err, &out) {
		at, help = map[string]string{
			"net grip": "jaws.grip", "friction": "cut.friction", "clamp force": "clamp", "pull test": "clamp.pull_test",
			"gap between the jaws": "jaws.gap", "wall behind the pocket": "jaws.wall",
		}[out.What], ""
		if at == "" {
			at = "jaws"
		}
	}
	return refused(j.FaultAt(at, words(j, err.Error()), help))
}

// limits are the checks beside slip.
func (g *Grip) limits(j *job.Job, held *hold.Held, cuts []hold.Cut, p Part, celsius float64) []hold.Limit {
	plastic := plasticAt(g.polymer, celsius)
	list := []hold.Limit{hold.WallPressure(held, plastic), hold.NetGrip(g.pair.GripNetMM, p.HeightMM)}
	w := g.pair.Walls
	list = append(list, hold.JawRoot(hold.Cantilever{
		WidthMM: g.pair.Fixed.BoxMM.X1 - g.pair.Fixed.BoxMM.X0, ThickMM: w.BehindFixedMM, HeightMM: w.LeverMM,
		ForceN: g.KeptN, YoungMPa: plastic.YoungNowMPa, Poisson: plasticPoisson,
	}, plastic))
	for _, b := range g.pair.Bolts {
		if !j.Jaws.SpacerTubes {
			// The screws stand away from the part, in plastic as warm as the shop.
			list = append(list, hold.WasherBearing(b.PreloadN, b.Washer.OuterMM, b.HoleMM, math.Max(b.SlideXMM, b.SlideYMM), plasticAt(g.polymer, shopC(j))))
			break
		}
	}
	push := hold.Estimate{}
	for _, c := range cuts {
		push.Likely, push.High = math.Max(push.Likely, c.InPlaneN.Likely), math.Max(push.High, c.InPlaneN.High)
	}
	if len(cuts) > 0 {
		list = append(list, hold.FixedJawSlides(g.mount, g.KeptN, push), held.Tilt(cuts))
	}
	return list
}

// plasticPoisson is Poisson's ratio of the jaw polymers, 0.35 to 0.4 in the
// data sheets.
const plasticPoisson = 0.35
