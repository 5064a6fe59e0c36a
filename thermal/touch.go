package thermal

import (
	"context"
	"fmt"
)

// Touch says what a hand would feel on the part at the end of the job.
type Touch struct {
	PartC float64 // high estimate at the end
	Says  string
	// SafeAfterS is when the part is below the ten-minute threshold, from the
	// end of cutting in still air; 0: at once; nil: not within four hours.
	SafeAfterS *float64
}

// Thresholds of skin burns on bare metal in °C, by how long one touches it.
// Source: ISO 13732-1:2006, from memory, not verified.
const (
	burnMetal10MinC = 48.0
	burnMetal1MinC  = 51.0
	burnMetal4SC    = 60.0
	warmC           = 40.0
	longestCoolingS = 4 * 3600.0
)

func (r *Request) touch(ctx context.Context, hot *trace) (Touch, error) {
	t := Touch{PartC: hot.endPartC}
	switch c := t.PartC; {
	case c >= burnMetal4SC:
		t.Says = fmt.Sprintf("%.0f °C: burns in seconds, don't touch", c)
	case c >= burnMetal1MinC:
		t.Says = fmt.Sprintf("%.0f °C: don't hold", c)
	case c >= burnMetal10MinC:
		t.Says = fmt.Sprintf("%.0f °C: hot to hold", c)
	case c >= warmC:
		t.Says = fmt.Sprintf("%.0f °C: clearly warm, safe to hold", c)
	default:
		t.Says = fmt.Sprintf("%.0f °C: safe to hold", c)
	}
	if r.Polymer.StopC < burnMetal4SC {
		t.Says += fmt.Sprintf("; if the part feels clearly warm (about %.0f °C), stop and blow: %s lets go before it hurts", warmC, r.Polymer.Name)
	}
	t.Says += " (high estimate; thresholds of ISO 13732-1 from memory)"

	s := hot.sim
	s.begin(&Stretch{Name: "cooling", LastsS: longestCoolingS, FilmWM2K: stillAirWM2K.Low})
	gone, hit, err := s.advance(ctx, longestCoolingS, func() float64 { return burnMetal10MinC - (s.m.AmbientC + s.partK()) }, nil)
	if err != nil {
		return Touch{}, err
	}
	if hit {
		t.SafeAfterS = &gone
	}
	return t, nil
}
