package bore

import (
	"fmt"
	"math"
	"strings"
)

// Feel is how a plug, or the insert itself, behaves at the bore.
type Feel string

// The words for a feel, from the smallest bore to the largest.
const (
	WontStart Feel = "won't start"
	Starts    Feel = "starts"
	ByThumb   Feel = "pushes in by thumb"
	SlidesIn  Feel = "slides in"
	DropsIn   Feel = "drops in"
)

// The ends of the bands of bore minus plug, and what a feel and a pin are worth,
// in mm. Shop judgement, no source.
const (
	looseEnd    = 0.015
	slideEnd    = 0.005
	startsEnd   = -0.005
	feelSdMM    = 0.004
	feelBiasMM  = 0.003
	pinEntryMM  = 0.002
	pinFeelSdMM = 0.0015
)

// Feels lists the words from the smallest bore to the largest.
var Feels = []Feel{WontStart, Starts, ByThumb, SlidesIn, DropsIn}

// ParseFeel reads a feel word; `wont-start`, `wont start` and the like are taken.
func ParseFeel(word string) (Feel, error) {
	bare := func(s string) string {
		return strings.Join(strings.Fields(strings.NewReplacer("'", "", "’", "", "-", " ", "_", " ").Replace(strings.ToLower(s))), " ")
	}
	for _, f := range Feels {
		if bare(string(f)) == bare(word) {
			return f, nil
		}
	}
	return "", fmt.Errorf("%q is no feel this program knows, must be one of won't start (wont-start), starts, pushes in by thumb, slides in, drops in", word)
}

// Band gives the range of bore minus plug, in mm, that feels so: above +5 µm of
// plug over bore it won't start, down to 0 it starts, to −5 pushes in by thumb,
// to −15 slides, below that it drops. For 6 to 20 mm, clean, deburred, at one
// temperature. Shop judgement, no source.
func (f Feel) Band() (leastMM, mostMM float64) {
	switch f {
	case WontStart:
		return math.Inf(-1), startsEnd
	case Starts:
		return startsEnd, 0
	case ByThumb:
		return 0, slideEnd
	case SlidesIn:
		return slideEnd, looseEnd
	default:
		return looseEnd, math.Inf(1)
	}
}

// Gauge is what tells the bore's size.
type Gauge struct {
	Kind string
	// SdMM is the standard deviation of one reading about the next; averaging
	// shrinks it. BiasSdMM is the standard uncertainty of what all readings have
	// in common (setting ring, wear, the user's touch); averaging does not.
	SdMM, BiasSdMM float64
	// Feels says that the gauge is the insert or a plug, of size PlugMM.
	Feels  bool
	PlugMM float64
	// PinStepMM is the step of a set of pins, 0 for a gauge that reads a number.
	PinStepMM float64
	// EntryMM is how much larger than a pin the bore must be to let it in.
	EntryMM float64
}

// Reads says that the gauge gives a number.
func (g Gauge) Reads() bool { return !g.Feels && g.PinStepMM == 0 }

// Gauges lists the gauges this package knows by name, the best first, with the
// uncertainty to assume for each when the user gives none. The split between
// noise and bias is shop judgement, no source; their sums are in the range of
// the sources named with each.
func Gauges() []Gauge {
	return []Gauge{
		{Kind: "three-point micrometer", SdMM: 0.002, BiasSdMM: 0.0015}, // 2 to 3 µm, from memory
		{Kind: "bore gauge", SdMM: 0.003, BiasSdMM: 0.0015},             // two-point dial on a ring: 2 to 4 µm, from memory
		{Kind: "pin gauges", SdMM: pinFeelSdMM, BiasSdMM: 0.001, PinStepMM: 0.01, EntryMM: pinEntryMM},
		{Kind: "plug", SdMM: feelSdMM, BiasSdMM: feelBiasMM, Feels: true},   // shop judgement, no source
		{Kind: "insert", SdMM: feelSdMM, BiasSdMM: feelBiasMM, Feels: true}, // the same
		{Kind: "small-hole gauge", SdMM: 0.006, BiasSdMM: 0.004},            // split ball: 5 to 10 µm, from memory
		{Kind: "telescoping gauge", SdMM: 0.008, BiasSdMM: 0.005},           // 5 to 13 µm by feel, from memory
		{Kind: "caliper", SdMM: 0.012, BiasSdMM: 0.012},                     // ISO 13385-1: MPE 0.03, u 0.017 in all
	}
}

// GaugeByKind gives the assumed gauge of that name.
func GaugeByKind(kind string) (Gauge, error) {
	for _, g := range Gauges() {
		if g.Kind == kind {
			return g, nil
		}
	}
	names := make([]string, 0, 8)
	for _, g := range Gauges() {
		names = append(names, g.Kind)
	}
	return Gauge{}, fmt.Errorf("gauge %q is not known, must be one of %s", kind, strings.Join(names, ", "))
}

// ReadingKind tells the ways of seeing a bore apart.
type ReadingKind int

// The ways of seeing a bore.
const (
	Measured ReadingKind = iota + 1 // a number
	Felt                            // how the plug or the insert behaves
	Limits                          // one gauge goes, another doesn't
)

// Reading is one look at the bore as it stands.
type Reading struct {
	Kind ReadingKind
	MM   float64 // measured bore, at room temperature
	Feel Feel
	// PlugMM is the plug or insert that was felt.
	PlugMM float64
	// GoesMM is the largest gauge that goes, StopsMM the smallest that doesn't;
	// 0 if none was tried.
	GoesMM, StopsMM float64
	// ExtraSdMM is further doubt of this reading, such as from its temperature.
	ExtraSdMM float64
}

// interval gives the range of bores that a reading without a number stands for,
// seen through noise of sd: see likelihood.
func (r Reading) interval(g Gauge) (least, most, sd float64) {
	least, most = math.Inf(-1), math.Inf(1)
	if r.Kind == Felt {
		least, most = r.Feel.Band()
		least, most = least+r.PlugMM, most+r.PlugMM
		sd = feelSdMM
		if g.Feels {
			sd = g.SdMM
		} else {
			sd = math.Hypot(sd, feelBiasMM) // no bias of its own is kept for it
		}
		return least, most, math.Hypot(sd, r.ExtraSdMM)
	}
	entry := pinEntryMM
	sd = pinFeelSdMM
	if g.PinStepMM > 0 {
		entry, sd = g.EntryMM, g.SdMM
	}
	if r.GoesMM > 0 {
		least = r.GoesMM + entry
	}
	if r.StopsMM > 0 {
		most = r.StopsMM + entry
	}
	return least, most, math.Hypot(sd, r.ExtraSdMM)
}

// likelihood is the probability (for a number: the density per mm) of the
// reading if the bore were boreMM and the gauge read biasMM too large.
func (r Reading) likelihood(g Gauge, boreMM, biasMM float64) float64 {
	if r.Kind == Measured {
		sd := math.Hypot(g.SdMM, r.ExtraSdMM)
		return density((r.MM-boreMM-biasMM)/sd) / sd
	}
	least, most, sd := r.interval(g)
	x := boreMM
	if r.sharesBias(g) {
		x += biasMM
	}
	return cdf((most-x)/sd) - cdf((least-x)/sd)
}

// sharesBias says that the reading is of the kind whose bias the belief carries.
func (r Reading) sharesBias(g Gauge) bool {
	switch r.Kind {
	case Felt:
		return g.Feels
	case Limits:
		return g.PinStepMM > 0
	default:
		return g.Reads()
	}
}

// check refuses a reading that can't be.
func (r Reading) check() error {
	switch r.Kind {
	case Measured:
		return within("measured bore", r.MM, 0.1, MaxDiameterMM, "mm")
	case Felt:
		if _, err := ParseFeel(string(r.Feel)); err != nil {
			return err
		}
		return within("plug", r.PlugMM, 0.1, MaxDiameterMM, "mm")
	case Limits:
		if r.GoesMM == 0 && r.StopsMM == 0 {
			return fmt.Errorf("neither a gauge that goes nor one that stops is given")
		}
		if r.GoesMM != 0 && r.StopsMM != 0 && !(r.StopsMM > r.GoesMM) {
			return fmt.Errorf("gauge that stops is %.4f mm, must be larger than the one that goes (%.4f mm)", r.StopsMM, r.GoesMM)
		}
		for _, v := range []float64{r.GoesMM, r.StopsMM} {
			if v != 0 {
				if err := within("limit gauge", v, 0.1, MaxDiameterMM, "mm"); err != nil {
					return err
				}
			}
		}
		return nil
	default:
		return fmt.Errorf("reading of kind %d is not known", r.Kind)
	}
}
