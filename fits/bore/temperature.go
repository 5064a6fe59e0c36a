package bore

import (
	"fmt"
	"math"
)

// WarmLimitK is how far part and room may differ before a reading needs the
// part's temperature: 10 mm of aluminium is then 0.5 µm off.
const WarmLimitK = 2.0

const (
	correctLimitK = 40.0 // beyond it a correction is no better than a guess; judgement
	thermometerK  = 1.0  // doubt of the part's temperature; judgement
)

// Warmth is the part's temperature when it was read. Gauge and insert lie in the
// room.
type Warmth struct {
	PartC, RoomC float64
	AlphaPerK    float64 // of the part, 0 to 200e-6
}

// WarmPartError says that a part is too far from the room's temperature for its
// reading to be judged.
type WarmPartError struct {
	RiseK    float64
	LimitK   float64
	Measured bool // a temperature was given
}

func (e *WarmPartError) Error() string {
	if e.Measured {
		return fmt.Sprintf("the part is %.0f K from the room, must be within %.0f K to correct a reading: let it come to the room's temperature", e.RiseK, e.LimitK)
	}
	return fmt.Sprintf("the part is expected to be %.0f K from the room, more than %.0f K needs its temperature: measure it and give it, or let it come to the room's", e.RiseK, e.LimitK)
}

// AtRoom gives the reading as it would be with the part at the room's
// temperature: every size divided by 1 + α·(part − room), with the doubt that a
// thermometer of ±1 K leaves. It returns a *RangeError, or a *WarmPartError
// beyond 40 K.
func (r Reading) AtRoom(w Warmth) (Reading, error) {
	rise := w.PartC - w.RoomC
	for _, e := range []error{
		within("part temperature", w.PartC, -20, 150, "°C"),
		within("room temperature", w.RoomC, -20, 60, "°C"),
		within("expansion of the part", w.AlphaPerK, 0, 200e-6, "1/K"),
	} {
		if e != nil {
			return Reading{}, e
		}
	}
	if math.Abs(rise) > correctLimitK {
		return Reading{}, &WarmPartError{RiseK: rise, LimitK: correctLimitK, Measured: true}
	}
	factor := 1 + w.AlphaPerK*rise
	size := math.Max(math.Max(r.MM, r.PlugMM), math.Max(r.GoesMM, r.StopsMM))
	r.MM, r.PlugMM, r.GoesMM, r.StopsMM = r.MM/factor, r.PlugMM/factor, r.GoesMM/factor, r.StopsMM/factor
	r.ExtraSdMM = math.Hypot(r.ExtraSdMM, size*w.AlphaPerK*thermometerK)
	return r, nil
}

// Unmeasured refuses a reading of a part that is expected to be more than
// [WarmLimitK] from the room and whose temperature was not measured.
func Unmeasured(expectedC, roomC float64) error {
	if rise := expectedC - roomC; !(math.Abs(rise) <= WarmLimitK) {
		return &WarmPartError{RiseK: rise, LimitK: WarmLimitK}
	}
	return nil
}
