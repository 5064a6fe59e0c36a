package press

import (
	"math"
	"testing"
)

var al = Material{Name: "aluminium 6061-T6", YoungMPa: 68900, Poisson: .33, YieldMPa: 276, ExpansionPerK: 23.6e-6}
var ndfeb = Material{Name: "NdFeB", YoungMPa: 160000, Poisson: .24, TensileMPa: 80, CompressMPa: 780, ExpansionPerK: -4.8e-6, WorkingC: 80}
var steel = Material{Name: "hardened steel", YoungMPa: 207000, Poisson: .292, YieldMPa: 1500, ExpansionPerK: 11.5e-6}

func TestTry(t *testing.T) {
	show := func(q Query, mat Material, by Way, class string, hold float64) {
		in, err := Find(q)
		if err != nil {
			t.Log(err)
			return
		}
		in.Material = mat
		w, err := Judge(Request{Insert: in, Part: al, By: by, Class: class, MustHoldN: hold, LeastWallMM: 6, Seat: Seat{DepthMM: q.HeightMM + .1, LeadInMM: .2}})
		if err != nil {
			t.Log(in.Name, err)
			return
		}
		t.Logf("%s %s: %s %v bore %.4f..%.4f need %.4f allow %.4f int %.4f", in.Name, by, w.Verdict, w.Feasible, w.BoreMinMM, w.BoreMaxMM, w.NeedMM, w.AllowMM, w.InterferenceMM)
		for _, r := range w.Reasons {
			t.Log("   ", r.Verdict, r.Check, r.Says(nil))
		}
	}
	m := Query{Kind: DiscMagnet, DiameterMM: 10, HeightMM: 3, Grade: "N42"}
	show(m, ndfeb, ByPress, "", 0)
	show(m, ndfeb, ByPress, "", 20)
	show(m, ndfeb, ByBond, "", 0)
	m.Measured = true
	m.DiameterMM = 9.987
	show(m, ndfeb, ByPress, "", 20)
	show(m, ndfeb, ByClass, "N9", 0)
	show(Query{Kind: Dowel, DiameterMM: 6, HeightMM: 12}, steel, ByPress, "", 0)
	show(Query{Kind: Dowel, Designation: "1/4", HeightMM: 12}, steel, ByPress, "", 0)
	show(Query{Kind: Dowel, DiameterMM: 6, HeightMM: 12}, steel, ByClass, "H7/p6", 0)
	show(Query{Kind: BallBearing, Designation: "608ZZ", HeightMM: 7}, steel, ByPress, "", 0)
	show(Query{Kind: BallBearing, Designation: "608ZZ", HeightMM: 7, Load: "rotating"}, steel, ByPress, "", 0)
	show(Query{Kind: Bushing, DiameterMM: 12, InnerMM: 8, HeightMM: 12}, Material{YoungMPa: 100000, Poisson: .34, YieldMPa: 125, ExpansionPerK: 18e-6}, ByPress, "", 0)
	show(Query{Kind: DrillBushing, DiameterMM: 6.39, InnerMM: 3, HeightMM: 12}, steel, ByPress, "", 0)
	show(Query{Kind: ThreadedInsert, Designation: "M2.5", HeightMM: 5}, steel, ByPress, "", 0)
	_ = math.Pi
}
