package press

import (
	"fmt"
	"math"
)

// Assembly is putting an insert in by heat or cold instead of force.
type Assembly struct {
	DiameterMM        float64
	InterferenceMM    float64 // largest, on diameter at 20 °C
	ClearanceMM       float64 // wanted while it goes in, on diameter; 0: d/1000
	RoomC             float64 // of what is neither heated nor chilled
	PartExpansionPerK float64
	InsertExpansionPerK,
	PartLimitC float64 // the part must not get hotter; 0: none
	InsertLimitC float64 // nor the insert, which takes the part's heat; 0: none
	ColdestC     float64 // what the insert can be chilled to; 0: dry ice, -78 °C
}

// HeatError is a temperature that assembly would need and mustn't reach.
type HeatError struct {
	What          string // part, insert
	NeedC, LimitC float64
	Rule          string
}

func (e *HeatError) Error() string {
	return fmt.Sprintf("%s would have to reach %.0f °C, %s (%.0f °C)", e.What, e.NeedC, e.Rule, e.LimitC)
}

const dryIceC = -78.0

// AluminiumTemperC is where heat-treated aluminium begins to lose strength when
// it is held for minutes. Common practice, no source.
const AluminiumTemperC = 150.0

func (a *Assembly) fill() error {
	otherwise(&a.ClearanceMM, a.DiameterMM/1000)
	otherwise(&a.ColdestC, dryIceC)
	for _, c := range []error{
		inRange("insert diameter in mm", a.DiameterMM, 0.1, 500),
		inRange("interference in mm", a.InterferenceMM, 0, a.DiameterMM/10),
		inRange("clearance for assembly in mm", a.ClearanceMM, 0, 1),
		inRange("room temperature in °C", a.RoomC, -50, 80),
		inRange("part expansion per K", a.PartExpansionPerK, 1e-7, 5e-4),
		inRange("insert expansion per K", a.InsertExpansionPerK, -1e-4, 5e-4),
	} {
		if c != nil {
			return c
		}
	}
	return nil
}

// gapMM is the growth that heat or cold must make at room temperature.
func (a Assembly) gapMM() float64 {
	drift := (a.InsertExpansionPerK - a.PartExpansionPerK) * a.DiameterMM * (a.RoomC - ReferenceC)
	return math.Max(0, a.InterferenceMM+drift+a.ClearanceMM)
}

// HeatTo returns the temperature in °C to which the part is heated so that an
// insert at room temperature drops in with the clearance:
//
//	ΔT = (δmax + clearance)/(αpart·d)
//
// It returns a *HeatError if that is above what the part or the insert stands,
// and a *RangeError for numbers out of bounds. A clearance of d/1000 is from
// Roloff/Matek, from memory.
func (a Assembly) HeatTo() (partC float64, err error) {
	if err := a.fill(); err != nil {
		return 0, err
	}
	partC = a.RoomC + a.gapMM()/(a.PartExpansionPerK*a.DiameterMM)
	if a.InsertLimitC != 0 && partC > a.InsertLimitC {
		return 0, &HeatError{What: "insert", NeedC: partC, LimitC: a.InsertLimitC, Rule: "more than it stands"}
	}
	if a.PartLimitC != 0 && partC > a.PartLimitC {
		return 0, &HeatError{What: "part", NeedC: partC, LimitC: a.PartLimitC, Rule: "more than it stands"}
	}
	return partC, nil
}

// ChillTo returns the temperature in °C to which the insert is chilled so that it
// drops into a part at room temperature with the clearance. It returns a
// *HeatError if nothing at hand is as cold, or if cold makes the insert larger,
// as it does a NdFeB magnet across its axis.
func (a Assembly) ChillTo() (insertC float64, err error) {
	if err := a.fill(); err != nil {
		return 0, err
	}
	if !(a.InsertExpansionPerK > 0) {
		return 0, &HeatError{What: "insert", NeedC: a.ColdestC, LimitC: a.RoomC, Rule: "but cold doesn't make it smaller than at room temperature"}
	}
	insertC = a.RoomC - a.gapMM()/(a.InsertExpansionPerK*a.DiameterMM)
	if insertC < a.ColdestC {
		return 0, &HeatError{What: "insert", NeedC: insertC, LimitC: a.ColdestC, Rule: "colder than what is at hand"}
	}
	return insertC, nil
}

// judgeAssembly says whether heat or cold spares the force.
func (w *Window) judgeAssembly(r *Request) {
	if w.InterferenceMM.High <= 0 || r.By == ByBond || r.Insert.Kind == ThreadedInsert {
		return
	}
	in := r.Insert
	a := Assembly{
		DiameterMM: in.DiameterMM, InterferenceMM: w.InterferenceMM.High, RoomC: ReferenceC,
		PartExpansionPerK: r.Part.ExpansionPerK, InsertExpansionPerK: in.Material.ExpansionPerK,
		PartLimitC: r.Part.WorkingC, InsertLimitC: in.Material.WorkingC,
	}
	if a.PartLimitC == 0 && Friction(r.Part.Name, false).Part == "aluminium" {
		a.PartLimitC = AluminiumTemperC
	}
	clearance := um(in.DiameterMM / 1000)
	var hot *HeatError
	switch c, err := a.HeatTo(); {
	case err == nil:
		w.HeatToC = c
		w.say("heat", Go, "instead of force: heat the part to % and the insert drops in with %; gloves, no flame, and not in the printed jaws", degC(c), clearance)
	case asHeat(err, &hot) && in.Kind == DiscMagnet:
		w.say("heat", Go, "don't heat it: the part would have to be %, and the "+hot.What+" stands %", degC(hot.NeedC), degC(hot.LimitC))
	}
	if c, err := a.ChillTo(); err == nil {
		w.ChillToC = &c
		w.say("heat", Go, "or chill the insert to % (dry ice reaches -78 °C): insulated gloves, fresh air, and wipe off the frost", degC(c))
	}
}

func asHeat(err error, to **HeatError) bool {
	h, ok := err.(*HeatError)
	*to = h
	return ok
}
