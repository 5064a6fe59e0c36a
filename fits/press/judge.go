package press

import (
	"fmt"
	"math"
	"strings"

	"secondop/fits"
)

// judgeHold says what the loosest pair bears at its worst temperature.
func (w *Window) judgeHold() {
	low := w.PushOutN.Low
	switch {
	case w.Loose.InterferenceMM <= 0 && w.InterferenceMM.Low <= 0:
		v := Caution
		if w.MustHoldN > 0 {
			v = Stop
		}
		w.say("hold", v, "the loosest pair is loose by % at 20 °C: it holds nothing by itself; bond it or take a tighter class", um(-w.InterferenceMM.Low))
	case w.Loose.InterferenceMM <= 0:
		v := Caution
		if w.MustHoldN > 0 {
			v = Stop
		}
		w.say("hold", v, "the loosest pair, tight by %, lets go at %: temperature and flattened surfaces take all of it", um(w.InterferenceMM.Low), degC(w.LooseC))
	case w.MustHoldN > 0 && low < w.MustHoldN:
		w.say("hold", Stop, "the loosest pair bears only % at %, it must hold %", newton(low), degC(w.LooseC), newton(w.MustHoldN))
	case w.MustHoldN > 0:
		w.say("hold", Go, "the loosest pair still bears % at %, it must hold %", newton(low), degC(w.LooseC), newton(w.MustHoldN))
	default:
		w.say("hold", Go, "the loosest pair bears % at %", newton(low), degC(w.LooseC))
	}
}

// judgeYield holds the tightest pair at its worst temperature against both
// materials.
func (w *Window) judgeYield(r *Request) {
	yield := r.Part.YieldMPa
	switch {
	case w.Tight.HubMisesMPa > yield:
		w.say("yield", Stop, "the tightest pair yields the part at %: % (von Mises) at the bore against a yield of %; past yield the pressure is less than computed", degC(w.TightC), mpa(w.Tight.HubMisesMPa), mpa(yield))
	case w.Tight.HubTrescaMPa > yield:
		w.say("yield", Caution, "the tightest pair is at the part's elastic limit at %: % (Tresca) at the bore against a yield of %", degC(w.TightC), mpa(w.Tight.HubTrescaMPa), mpa(yield))
	case w.Tight.PressureMPa > 0:
		w.say("yield", Go, "the tightest pair stresses the bore to % (Tresca) at %, below the yield of %", mpa(w.Tight.HubTrescaMPa), degC(w.TightC), mpa(yield))
	}
	switch s := r.Insert.Material.strength(); {
	case w.Tight.InsertTrescaMPa == 0:
	case s == 0:
		w.say("yield", Caution, "the insert's strength isn't known: it is squeezed by up to %", mpa(w.Tight.InsertTrescaMPa))
	case w.Tight.InsertTrescaMPa > s && r.Insert.Material.YieldMPa > 0:
		w.say("yield", Caution, "the tightest pair squeezes the insert past its yield, % against %: it gives a little and grips less than computed", mpa(w.Tight.InsertTrescaMPa), mpa(s))
	case w.Tight.InsertTrescaMPa > s:
		w.say("yield", Stop, "the tightest pair crushes the insert: % against %", mpa(w.Tight.InsertTrescaMPa), mpa(s))
	}
	if w.Tight.InsertClosesMM > 0.0005 {
		words := "the insert's own hole closes by up to %: ream it after pressing"
		if r.Insert.Kind == BallBearing {
			words = "the ring closes on the balls by up to %: that comes off the bearing's internal clearance"
		}
		w.say("insert", Go, words, um(w.Tight.InsertClosesMM))
	}
}

// What gives a press-in force, with the largest force of each in N. Common
// practice, no source.
var presses = []struct {
	Name  string
	MaxN  float64
	Usual string
}{
	{"thumb", 60, "a flat thumb or a block pushed by hand"},
	{"vise", 3000, "a vise with a soft flat under each jaw, closed slowly"},
	{"arbor press", 9000, "an arbor press of a ton"},
}

// PressWith names what presses an insert in with a force in N: thumb, vise, arbor
// press or, past that, hydraulic press.
func PressWith(forceN float64) string {
	for _, p := range presses {
		if forceN <= p.MaxN {
			return p.Name
		}
	}
	return "hydraulic press"
}

func (w *Window) judgePress(r *Request) {
	if w.PressInN.High <= 0 {
		return
	}
	w.PressWith = PressWith(w.PressInN.High)
	how := w.PressWith
	for _, p := range presses {
		if p.Name == how {
			how += " (" + p.Usual + ")"
		}
	}
	v := Go
	if w.PressInN.High > r.MaxPressN {
		v = Stop
		how += ", more than the press at hand gives: heat the part or chill the insert"
	}
	w.say("press", v, "pressing in takes % to %: "+how+"; a force is never sure within a factor of two", newton(w.PressInN.Low), newton(w.PressInN.High))
	switch r.Insert.Kind {
	case DiscMagnet:
		w.say("press", Go, "press a magnet straight, on a soft flat that isn't iron, never with a hammer: it chips when it cocks; wear eye protection")
	case Dowel, DrillBushing:
		w.say("press", Go, "press it, don't strike it: hardened steel splinters; wear eye protection")
	}
}

// Wall ratios below which the wall is doubtful: our suggestion, no source.
const (
	wallCaution = 0.25
	wallThin    = 0.15
)

func (w *Window) judgeWall(r *Request) {
	if r.By == ByBond || r.Insert.Kind == ThreadedInsert {
		return
	}
	t, d := r.LeastWallMM, r.Insert.DiameterMM
	switch {
	case t < wallThin*d:
		w.say("wall", Caution, "the wall left is %, less than 0.15 of the insert's %: it will bulge and the bore go oval", mm(t), mm(d))
	case t < wallCaution*d:
		w.say("wall", Caution, "the wall left is %, less than a quarter of the insert's %: the bore may go oval and shift to the thin side", mm(t), mm(d))
	default:
		w.say("wall", Go, "the wall left is %, so the part counts as a ring of % outside", mm(t), mm(w.EffectiveOuterMM))
	}
}

// creepsMPa is the modulus below which a part is taken for plastic.
const creepsMPa = 10000

func (w *Window) judgeMaterials(r *Request) {
	in := r.Insert
	if r.By != ByBond && r.Part.YoungMPa < creepsMPa {
		w.say("material", Caution, "the part is plastic: it creeps and the grip goes with time; bond the insert or give it something to catch on")
	}
	if limit := in.Material.WorkingC; limit > 0 && r.ServiceHighC > limit {
		w.say("heat", Stop, "the part may reach % and the insert stands %", degC(r.ServiceHighC), degC(limit))
	}
	for _, d := range in.Doubts {
		w.say("insert", Go, strings.ReplaceAll(d, "%", "per cent"))
	}
}

// nominalDoubtMM is how far a measured insert may be from a catalogue size
// before its nominal size is doubtful. Our choice, no source.
const nominalDoubtMM = 0.1

// class takes the hole of a class as it is.
func (w *Window) class(r *Request) error {
	in := r.Insert
	nominal := in.NominalMM
	if !(nominal > 0) {
		nominal = in.DiameterMM
	}
	f, err := fits.Limits(nominal, r.Class)
	if err != nil {
		return err
	}
	if f.Hole == nil {
		e := &fits.ClassError{Class: r.Class, SizeMM: nominal, Rule: "is a shaft's class, and the bore needs a hole's"}
		for _, near := range []string{strings.ToUpper(r.Class), "H7/" + r.Class} {
			if _, err := fits.Limits(nominal, near); err == nil {
				e.Near = append(e.Near, near)
			}
		}
		return e
	}
	if _, err := w.bounds(r, 0); err != nil {
		return err
	}
	hole := holeOf(nominal, *f.Hole, f.Standard)
	w.fixedHole, w.Feasible = true, true
	w.BoreMinMM, w.BoreMaxMM = hole.MinMM, hole.MaxMM
	small, large := in.smallest(), in.largest()
	if f.Shaft != nil && !in.Measured && in.LowerMM == 0 && in.UpperMM == 0 {
		small, large = nominal+f.Shaft.LowerUM/1000, nominal+f.Shaft.UpperUM/1000
	}
	own := fits.Between(nominal, *f.Hole, fits.Member{Class: in.Name, UpperUM: (large - nominal) * 1000, LowerUM: (small - nominal) * 1000})
	w.say("class", Go, fmt.Sprintf("%s (%s) on %%: hole %% to %%; with this insert a %s fit", f.Class, f.Standard, own.Kind), mm(nominal), mm(hole.MinMM), mm(hole.MaxMM))
	if off := in.DiameterMM - nominal; math.Abs(off) > nominalDoubtMM {
		w.say("class", Caution, "the insert measures % and % was taken for its nominal size: give the bore a size instead if that is wrong", mm(in.DiameterMM), mm(nominal))
	}
	if f.Shaft != nil && small == in.smallest() && large == in.largest() {
		w.say("class", Go, "the insert's own size counts, % to %, not the shaft's class", mm(small), mm(large))
	}
	if f.FromMemory {
		w.say("class", Caution, "that row of the table is from memory: check it against the standard")
	}
	return w.judgePair(r, small, large)
}

// bond makes the window from the gap for the adhesive.
func (w *Window) bond(r *Request) error {
	in := r.Insert
	w.GapMM, w.Feasible = r.GapMM, true
	w.BoreMinMM, w.BoreMaxMM = in.largest()+r.GapMM.Low, in.smallest()+r.GapMM.High
	if !(w.BoreMinMM < w.BoreMaxMM) {
		w.MeasureEach = true
		w.BoreMinMM, w.BoreMaxMM = in.DiameterMM+r.GapMM.Low, in.DiameterMM+r.GapMM.High
		w.say("bond", Caution, "the inserts scatter by %, as much as the gap may: sort them, or accept gaps from % to % on diameter",
			um(in.UpperMM-in.LowerMM), mm(r.GapMM.Low-in.UpperMM), mm(r.GapMM.High-in.LowerMM))
	}
	w.InterferenceMM = Band{in.smallest() - w.BoreMaxMM, in.largest() - w.BoreMinMM}
	if w.MustHoldN == 0 {
		w.MustHoldN = in.MustHoldN
	}
	words := "gap for the adhesive % to % on diameter"
	numbers := []Quantity{mm(r.GapMM.Low), mm(r.GapMM.High)}
	if r.GapMM == DefaultGapMM {
		words += " (common practice, no source; retaining compounds are strongest from 0.05 to 0.13 mm, one seller)"
	}
	w.say("bond", Go, words, numbers...)
	if w.MustHoldN > 0 {
		w.ShearMPa = w.MustHoldN / (math.Pi * in.DiameterMM * w.EngagedMM)
		w.say("bond", Go, "holding % asks a shear of % from the adhesive, up to %: see its sheet, and degrease both", newton(w.MustHoldN), mpa(w.ShearMPa), degC(r.ServiceHighC))
	}
	worst := 0.0
	for _, t := range r.temperatures() {
		worst = math.Max(worst, math.Abs((r.Part.ExpansionPerK-in.Material.ExpansionPerK)*in.DiameterMM*(t-ReferenceC)))
	}
	w.say("bond", Go, "the gap changes by up to % on diameter between the service temperatures: the adhesive must stretch that far", um(worst))
	return nil
}

// threaded takes the maker's hole: a knurled insert cuts and flows, and the ring
// formulas don't hold for it.
func (w *Window) threaded(r *Request) {
	in := r.Insert
	w.fixedHole, w.Feasible = true, true
	w.BoreMinMM, w.BoreMaxMM = in.Hole.MinMM, in.Hole.MaxMM
	w.InterferenceMM = Band{in.smallest() - w.BoreMaxMM, in.largest() - w.BoreMinMM}
	w.say("class", Go, "hole % to %: "+in.Hole.Source, mm(w.BoreMinMM), mm(w.BoreMaxMM))
	w.say("hold", Caution, "a knurled insert cuts its way in: its hold isn't computed here, the maker's figure counts")
	if t, d := r.LeastWallMM, in.DiameterMM; t < 0.2*d {
		w.say("wall", Caution, "the wall left is %; one maker asks for 0.2 to 0.6 of the insert's % in light alloy", mm(t), mm(d))
	}
}
