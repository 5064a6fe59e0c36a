package bore

import (
	"fmt"
	"strings"
)

// Length writes a length in the reader's units, with its unit.
type Length func(mm float64) string

// MM writes mm with three decimals, in µm below 0.1 mm.
func MM(mm float64) string {
	if mm > -0.1 && mm < 0.1 {
		return fmt.Sprintf("%.1f µm", mm*1e3)
	}
	return fmt.Sprintf("%.3f mm", mm)
}

// share writes a probability with no more digits than it deserves.
func share(p float64) string {
	switch {
	case p < 0.0005:
		return "under 0.1 %"
	case p < 0.095:
		return fmt.Sprintf("%.1f %%", p*100)
	case p > 0.995:
		return "over 99 %"
	default:
		return fmt.Sprintf("%.0f %%", p*100)
	}
}

// Words says what to measure after a planned pass and what each outcome means.
func (r Row) Words(length Length) string {
	var s strings.Builder
	switch r.Reading.Kind {
	case Felt:
		fmt.Fprintf(&s, "try the %s plug; expect %q", length(r.Reading.PlugMM), r.Reading.Feel)
		for _, m := range r.Felt {
			what := "another pass"
			switch {
			case m.Chances.Over > 0.5:
				what = "probably over"
			case m.Chances.In > 1-UsualDoubt:
				what = "done"
			case m.Chances.Over > m.Chances.Under:
				what = "stop, it may be over"
			}
			fmt.Fprintf(&s, "; %s: %s", m.Feel, what)
		}
		return s.String()
	case Limits:
		fmt.Fprintf(&s, "try pins; expect %s goes and %s doesn't", length(r.Reading.GoesMM), length(r.Reading.StopsMM))
		if r.DoneFromMM > 0 {
			fmt.Fprintf(&s, "; done if the largest that goes is %s to %s", length(r.DoneFromMM), length(r.DoneToMM))
		}
	default:
		fmt.Fprintf(&s, "measure; expect about %s", length(r.ExpectMM))
		if r.DoneFromMM > 0 {
			fmt.Fprintf(&s, "; below %s another pass, from there to %s done", length(r.DoneFromMM), length(r.DoneToMM))
		}
	}
	if r.DoneFromMM == 0 {
		s.WriteString("; one reading won't settle it here")
	}
	if r.OverAboveMM > 0 {
		fmt.Fprintf(&s, "; from %s on probably over", length(r.OverAboveMM))
	}
	return s.String()
}

// Words says what to do and why, in one or two sentences.
func (a Answer) Words(length Length) string {
	state := fmt.Sprintf("bore about %s ± %s, %s to be in the window, %s to be over", length(a.ExpectMM), length(a.SdMM), share(a.Chances.In), share(a.Chances.Over))
	switch a.Do {
	case Cut, Spring:
		again := ""
		if a.Do == Spring {
			again = "the same pass again, nothing larger leaves a dependable chip; "
		}
		return fmt.Sprintf("%scommand %s on diameter (wall stock %s per wall); then expect %s ± %s, %s to be over", again,
			length(a.CommandMM), length(a.WallStockMM), length(a.ExpectMM), length(a.SdMM), share(a.Chances.Over))
	case Done:
		return state + ": leave it"
	case Measure:
		if a.Why == NoReading {
			return "measure the bore, spindle off and the cutter out of reach"
		}
		return state + ": measure again before cutting, turned by 45°"
	}
	switch a.Why {
	case Surprise:
		off := ""
		if a.SurpriseMM != 0 {
			off = fmt.Sprintf(" (%s off)", length(a.SurpriseMM))
		}
		return "the reading is far from what was expected" + off + ": a chip in the gauge or the bore? digits swapped? the wrong tool or a moved part? the right command? Void a wrong record, or measure again and log that; no pass until then"
	case TooLarge:
		return state + ": probably too large; set the part aside, and see a larger insert, retaining compound or a sleeve"
	case RiskSpent:
		return state + ": still too small in all likelihood, but the risk accepted for this part is spent; a gauge that tells a number would settle it, or go on by your own judgement"
	case StartsLarge:
		return fmt.Sprintf("a start of %s leaves no room for a first pass that may not go over; make a test bore in scrap first, or a smaller start", length(a.ExpectMM))
	default:
		return state + ": no pass and no reading of this gauge will make it surer; judge it by the insert, or use a better gauge"
	}
}

// Words says whether the window can be hit, with the figures.
func (f Feasibility) Words(length Length) string {
	var s strings.Builder
	switch {
	case f.Blind:
		fmt.Fprintf(&s, "the insert won't start anywhere in this window, so its feel tells nothing in time: make or buy a plug of %s and log its feel", length(f.PlugMM))
		return s.String()
	case f.OK:
		fmt.Fprintf(&s, "the window is %s wide; this machine and gauge need %s", length(f.WidthMM), length(f.NeededMM))
		return s.String()
	}
	fmt.Fprintf(&s, "the window is %s wide, this machine and gauge need %s to hit it dependably", length(f.WidthMM), length(f.NeededMM))
	if len(f.Would) > 0 {
		fmt.Fprintf(&s, "; it could be done with: %s", strings.Join(f.Would, ", "))
	} else {
		fmt.Fprintf(&s, "; no gauge would do, the machine's scatter alone needs %s: ream it, bore it with a boring head, or choose a wider window", length(f.MachineMM))
	}
	return s.String()
}
