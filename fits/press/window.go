package press

import (
	"fmt"
	"math"
)

// Window is the smallest and the largest bore that does the job, and why.
type Window struct {
	Verdict Verdict
	Reasons []Reason

	// Feasible is false when no bore does it; then the bore limits are 0.
	Feasible             bool
	BoreMinMM, BoreMaxMM float64
	// MeasureEach is set when the bore limits hold for an insert of exactly
	// Insert.DiameterMM and the loose lot scatters too much for one bore: use
	// [Window.BoreFor] with each measured piece.
	MeasureEach bool

	// NeedMM and AllowMM are the least interference that holds and the largest
	// that neither yields nor asks too much of the press, on diameter at 20 °C.
	// NeedMM is 0 if nothing is asked to hold.
	NeedMM, AllowMM float64

	// InterferenceMM runs from the loosest to the tightest pair in the window, on
	// diameter at 20 °C; negative is clearance.
	InterferenceMM Band
	// Loose is the loosest pair, flattened, at the temperature that takes most
	// from it; Tight is the tightest, not flattened, at the one that adds most.
	Loose, Tight   Result
	LooseC, TightC float64

	PressInN, PushOutN Band // at 20 °C, and at the worst temperatures
	PressWith          string
	AirN               float64  // push of the air shut in, 0: none
	HeatToC            float64  // part's temperature at which the insert drops in; 0: heat is out
	ChillToC           *float64 // insert's temperature at which it drops in; nil: cold is out
	MustHoldN          float64  // in force
	EffectiveOuterMM   float64
	EngagedMM          float64
	GapMM              Band    // for a bond
	ShearMPa           float64 // that a bond must bear, 0: nothing is asked of it

	fixedHole bool
}

// BoreFor returns the bore limits for one measured insert. For a fixed hole (a
// class, or the usual hole of a bought insert) they don't depend on it. It
// returns a *RangeError if the insert's diameter isn't above 0 or no bore does.
func (w Window) BoreFor(insertMM float64) (minMM, maxMM float64, err error) {
	switch {
	case !(insertMM > 0 && insertMM <= 500):
		return 0, 0, &RangeError{What: "insert diameter in mm", Value: insertMM, Rule: "must be above 0 and at most 500"}
	case w.fixedHole:
		return w.BoreMinMM, w.BoreMaxMM, nil
	case w.GapMM.High > 0:
		return insertMM + w.GapMM.Low, insertMM + w.GapMM.High, nil
	case !(w.NeedMM < w.AllowMM):
		return 0, 0, &RangeError{What: "interference that is needed in mm", Value: w.NeedMM, Against: w.AllowMM, Rule: fmt.Sprintf("must be below the largest allowed (%.6g)", w.AllowMM)}
	}
	return insertMM - w.AllowMM, insertMM - w.NeedMM, nil
}

func (w *Window) say(check string, v Verdict, words string, numbers ...Quantity) {
	w.Verdict = w.Verdict.Worse(v)
	w.Reasons = append(w.Reasons, Reason{Check: check, Verdict: v, words: words, numbers: numbers})
}

// Judge returns the window of bore sizes for an insert, a part and a way to hold
// it, with a verdict and its reasons.
//
// It holds when the least interference, flattened, with the low friction, at the
// worst service temperature, bears what it must; it stays elastic when the
// greatest interference, not flattened, at the worst temperature, keeps the
// largest shear stress (Tresca) below yield; the press-in force stays within
// what the shop has. About a hundredth of force and stress, and a five-hundredth of
// what temperature and flattening take, is kept in hand for the first-order
// formulas. A class is judged as it is and never cut back.
//
// Judge returns a *RangeError for numbers out of bounds, a *fits.ClassError for
// a class that doesn't exist, and an *InsertError for a request without a way.
func Judge(r Request) (Window, error) {
	if err := r.fill(); err != nil {
		return Window{}, err
	}
	w := Window{Verdict: Go, MustHoldN: r.MustHoldN}
	w.EffectiveOuterMM = EffectiveOuterMM(r.Insert.DiameterMM, r.LeastWallMM)
	w.EngagedMM = r.Seat.EngagedMM(r.Insert.HeightMM, r.Insert.ChamferMM)
	if !(w.EngagedMM > 0) {
		return Window{}, &RangeError{What: "engaged length in mm", Value: w.EngagedMM, Rule: "must be above 0: lead-in, floor relief and chamfers leave nothing of the insert's height"}
	}
	var err error
	switch {
	case r.By == ByBond:
		err = w.bond(&r)
	case r.By == ByClass:
		err = w.class(&r)
	case r.Insert.Kind == ThreadedInsert:
		w.threaded(&r)
	case r.MustHoldN > 0 || (!r.Insert.Hole.known() && r.Insert.MustHoldN > 0):
		err = w.mustHold(&r)
	case r.Insert.Hole.known():
		err = w.usualHole(&r)
	default:
		return Window{}, &InsertError{Kind: r.Insert.Kind, What: "says neither what it must hold nor which class of hole it wants"}
	}
	if err != nil {
		return Window{}, err
	}
	w.judgeWall(&r)
	w.judgeMaterials(&r)
	if w.Feasible {
		w.judgeSeat(&r)
		w.judgeAssembly(&r)
	}
	return w, nil
}

// mustHold makes the window from the force that the insert must bear.
func (w *Window) mustHold(r *Request) error {
	in := r.Insert
	if w.MustHoldN == 0 {
		w.MustHoldN = in.MustHoldN
		w.say("hold", Go, "it must hold %: "+in.MustHoldSays, newton(w.MustHoldN))
	}
	if ok, err := w.bounds(r, w.MustHoldN); err != nil || !ok {
		return err
	}
	w.BoreMinMM, w.BoreMaxMM = in.largest()-w.AllowMM, in.smallest()-w.NeedMM
	w.Feasible = true
	small, large := in.smallest(), in.largest()
	if !in.Measured && w.BoreMaxMM-w.BoreMinMM < leastWindowMM {
		w.lot(r)
		small, large = in.DiameterMM, in.DiameterMM
	}
	return w.judgePair(r, small, large)
}

// bounds works out how much interference is needed and allowed for one insert of
// the nominal size; ok is false, with the reason said, when nothing lies between.
func (w *Window) bounds(r *Request, forceN float64) (ok bool, err error) {
	j, err := r.joint(r.Insert.DiameterMM, w.EngagedMM)
	if err != nil {
		return false, err
	}
	most := r.allowed(j)
	w.AllowMM = most.deltaMM
	if forceN > 0 {
		var atC float64
		w.NeedMM, atC = r.needed(j, forceN)
		if w.NeedMM >= w.AllowMM {
			w.say("hold", Stop, "no bore does it: holding % at % takes an interference of %, but "+limitWords[most.by]+" allows only %; use more engagement, a thicker wall, a smaller force or a bond",
				newton(forceN), degC(atC), um(w.NeedMM), um(w.AllowMM))
			return false, nil
		}
	}
	return true, nil
}

var limitWords = map[string]string{
	"part": "the part's yield", "insert": "the insert's strength", "press": "the press-in force",
}

// lot says that one bore can't suit every insert of the lot, and makes the window
// that of an insert of exactly the nominal size.
func (w *Window) lot(r *Request) {
	in := r.Insert
	w.MeasureEach = true
	w.BoreMinMM, w.BoreMaxMM = in.DiameterMM-w.AllowMM, in.DiameterMM-w.NeedMM
	w.say("insert", Caution, "the inserts scatter by % and one bore suits only %: measure each insert and bore to it (its own size less % to %), or bond it in a gap",
		um(in.UpperMM-in.LowerMM), um(w.AllowMM-w.NeedMM), um(w.NeedMM), um(w.AllowMM))
}

// leastWindowMM is the narrowest window that a small mill is asked to hit when
// another choice is open. Our choice, no source.
const leastWindowMM = 0.005

// usualHole takes the hole that is usual for the insert. Its tight end is cut
// back, and the whole hole moved if need be, so that the largest insert doesn't
// yield the part; its loose end is cut back so that the smallest still grips at
// the worst temperature, if that leaves a window worth the name.
func (w *Window) usualHole(r *Request) error {
	in := r.Insert
	j, err := r.joint(in.DiameterMM, w.EngagedMM)
	if err != nil {
		return err
	}
	w.AllowMM = r.allowed(j).deltaMM
	w.NeedMM, _ = r.needed(j, 0)
	least, most := in.Hole.MinMM, in.Hole.MaxMM
	name := in.Hole.Class
	if name == "" {
		name = "the maker's or standard's"
	}
	w.say("class", Go, "usual hole % to %, "+name+" ("+in.Hole.Source+")", mm(least), mm(most))

	if tight := in.largest() - w.AllowMM; tight > least {
		least = tight
		v := Go
		if moved := tight + math.Min(most-in.Hole.MinMM, leastWindowMM); most < moved {
			most, v = math.Min(moved, in.smallest()), Caution
		}
		if !(least < most) {
			w.say("yield", Stop, "no one bore does: the largest insert may be tight by % at most, and the inserts scatter by %; measure each, or bond it", um(w.AllowMM), um(in.UpperMM-in.LowerMM))
			return nil
		}
		w.say("yield", v, "all of that hole would strain the part past its yield or ask too much of the press: the window is % to %, so that no insert is tighter than %", mm(least), mm(most), um(w.AllowMM))
	}
	if grips := in.smallest() - w.NeedMM; grips < most {
		if grips-least >= leastWindowMM {
			most = grips
			w.say("hold", Go, "the hole's large end is cut back to %, so that the smallest insert still grips at its worst temperature", mm(most))
		} else if !in.Measured && w.NeedMM < w.AllowMM {
			w.say("insert", Go, "to be sure of the grip, measure the insert and bore to its size less % to %", um(w.NeedMM), um(w.AllowMM))
		}
	}
	w.fixedHole, w.Feasible = true, true
	w.BoreMinMM, w.BoreMaxMM = least, most
	return w.judgePair(r, in.smallest(), in.largest())
}

// judgePair judges the loosest and the tightest pair of the window.
func (w *Window) judgePair(r *Request, smallestMM, largestMM float64) error {
	w.InterferenceMM = Band{smallestMM - w.BoreMaxMM, largestMM - w.BoreMinMM}
	j, err := r.joint(r.Insert.DiameterMM, w.EngagedMM)
	if err != nil {
		return err
	}
	loosest, tightest := math.Inf(1), math.Inf(-1)
	for _, t := range r.temperatures() {
		j.RiseK = t - ReferenceC
		if g := j.growthMM(); g < loosest {
			loosest, w.LooseC = g, t
		}
		if g := j.growthMM(); g > tightest {
			tightest, w.TightC = g, t
		}
	}
	loose, tight := j, j
	loose.InterferenceMM, loose.FlatteningMM, loose.RiseK = w.InterferenceMM.Low, r.flatteningMM(), w.LooseC-ReferenceC
	tight.InterferenceMM, tight.RiseK = w.InterferenceMM.High, w.TightC-ReferenceC
	if w.Loose, err = Press(loose); err != nil {
		return err
	}
	if w.Tight, err = Press(tight); err != nil {
		return err
	}
	w.PushOutN = Band{w.Loose.PushOutN.Low, w.Tight.PushOutN.High}

	loose.RiseK, tight.RiseK, loose.FlatteningMM = 0, 0, 0
	cool, err := Press(loose)
	if err != nil {
		return err
	}
	warm, err := Press(tight)
	if err != nil {
		return err
	}
	w.PressInN = Band{cool.PressInN.Low, warm.PressInN.High}
	w.judgeHold()
	w.judgeYield(r)
	w.judgePress(r)
	return nil
}
