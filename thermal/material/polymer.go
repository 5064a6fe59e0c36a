package material

import (
	"fmt"
	"math"
	"slices"
)

// PolymerRow is a jaw polymer at 23 °C, a typical grade as printed.
type PolymerRow struct {
	Name             string
	Aliases          []string
	Amorphous        bool
	GlassTransitionC float64
	// Deflection045C and Deflection180C are the deflection temperatures under
	// load by ISO 75, methods B (0.45 MPa) and A (1.80 MPa).
	Deflection045C, Deflection180C float64
	SofteningC                     float64 // needle penetration test, 0: unknown
	DensityKgM3                    float64
	SpecificHeatJKgK               float64
	ConductivityWMK                float64 // solid, across the layers' lines
	ExpansionPerK                  float64
	YoungMPa                       float64
	StrengthXYMPa, StrengthZMPa    float64 // tensile, in and across the layers
	CompressiveMPa                 float64
	BearingMPa                     float64 // allowed under a bolt head at 23 °C
	ServiceC                       float64 // continuous service
	// GoC, CautionC and StopC are the working limits of a clamped face at up to
	// 1.8 MPa; see [PolymerRow.LimitsAt].
	GoC, CautionC, StopC float64
	Coolant              string // what coolants do to it
	Source               string
	Doubt                string
}

var polymers = catalogue[PolymerRow]{kind: "polymer"}

func init() {
	readTable("polymers.csv", func(r record) {
		row := PolymerRow{
			Name: r.text("name"), Aliases: r.list("aliases"), Amorphous: r.number("amorphous") == 1,
			GlassTransitionC: r.number("glass_transition_C"),
			Deflection045C:   r.number("deflection_045_C"),
			Deflection180C:   r.number("deflection_180_C"),
			SofteningC:       r.number("softening_A50_C"),
			DensityKgM3:      r.number("density_kg_m3"),
			SpecificHeatJKgK: r.number("specific_heat_J_kgK"),
			ConductivityWMK:  r.number("conductivity_W_mK"),
			ExpansionPerK:    1e-6 * r.number("cte_1e-6_K"),
			YoungMPa:         r.number("young_MPa"),
			StrengthXYMPa:    r.number("strength_xy_MPa"), StrengthZMPa: r.number("strength_z_MPa"),
			CompressiveMPa: r.number("compressive_MPa"),
			BearingMPa:     r.number("bearing_MPa"),
			ServiceC:       r.number("service_C"),
			GoC:            r.number("go_C"), CautionC: r.number("caution_C"), StopC: r.number("stop_C"),
			Coolant: r.text("coolant"), Source: r.text("source"), Doubt: r.text("doubt"),
		}
		polymers.add(row, row.Name, row.Aliases)
	})
}

// tooSoft are the rubbers, as plain names.
var tooSoft = []string{"tpu", "tpu95a", "tpe", "flexible"}

// Polymer returns the row of a jaw polymer by name or alias ("PLA+" and "silk
// PLA" are PLA). A name that is not in the table gives an *UnknownError with
// the near ones, a rubbery one a *SoftError.
func Polymer(name string) (PolymerRow, error) {
	if slices.Contains(tooSoft, plain(name)) {
		return PolymerRow{}, &SoftError{Name: name}
	}
	return polymers.find(name)
}

// Polymers returns all jaw polymers in table order.
func Polymers() []PolymerRow { return slices.Clone(polymers.rows) }

// SoftError says that a polymer is a rubber and can't be a jaw.
type SoftError struct{ Name string }

func (e *SoftError) Error() string {
	return fmt.Sprintf("polymer %q is too soft for a jaw (its modulus is 25 to 60 MPa and it has no deflection temperature under load); use PLA, PETG or ABS", e.Name)
}

// Working margins under the deflection temperature at 1.8 MPa, in K, and of an
// amorphous polymer under its glass transition. Derived from the data sheets'
// spread; no published source.
const (
	goMarginK      = 15
	cautionMarginK = 5
	glassMarginK   = 5
	methodAMPa     = 1.80
	methodBMPa     = 0.45
)

// Own completes a row that was made from a data sheet: it fills in the working
// limits by the rule of the table (go to 15 K and caution to 5 K under the
// deflection temperature at 1.8 MPa; stop at that temperature, or 5 K under
// the glass transition of an amorphous polymer if that is lower). Without a
// value at 1.8 MPa (0) the lower of the one at 0.45 MPa less 15 K and the
// glass transition less 5 K takes its place. Every thermal number must be
// above 0.
//
// A strength that is 0 is taken as the smallest share that it has in any row of
// the table: across the layers and in compression of the strength in the
// layers, under a bolt head of that in compression. Judgement, no source.
func Own(row PolymerRow) (PolymerRow, error) {
	for _, v := range []struct {
		says  string
		value float64
	}{
		{"density in kg/m³", row.DensityKgM3},
		{"specific heat in J/(kg·K)", row.SpecificHeatJKgK},
		{"conductivity in W/(m·K)", row.ConductivityWMK},
		{"modulus in MPa", row.YoungMPa},
		{"deflection temperature at 0.45 MPa in °C", row.Deflection045C},
	} {
		if !(v.value > 0 && v.value < 1e5) {
			return PolymerRow{}, fmt.Errorf("%s of polymer %q is %g, must be above 0", v.says, row.Name, v.value)
		}
	}
	if row.Deflection180C == 0 {
		row.Deflection180C = row.Deflection045C - goMarginK
		if row.Amorphous && row.GlassTransitionC != 0 {
			row.Deflection180C = min(row.Deflection180C, row.GlassTransitionC-glassMarginK)
		}
	}
	if !(row.Deflection180C > 0 && row.Deflection180C <= row.Deflection045C) {
		return PolymerRow{}, fmt.Errorf("deflection temperature at 1.8 MPa of polymer %q is %g °C, must be above 0 and at most the one at 0.45 MPa (%g °C)",
			row.Name, row.Deflection180C, row.Deflection045C)
	}
	row.StopC = row.Deflection180C
	if row.Amorphous && row.GlassTransitionC != 0 {
		row.StopC = min(row.StopC, row.GlassTransitionC-glassMarginK)
	}
	row.CautionC = row.Deflection180C - cautionMarginK
	row.GoC = row.Deflection180C - goMarginK
	row.CautionC, row.GoC = min(row.CautionC, row.StopC), min(row.GoC, row.StopC)
	row.guessStrengths()
	return row, nil
}

func (p *PolymerRow) guessStrengths() {
	least := func(part, whole func(PolymerRow) float64) float64 {
		share := math.Inf(1)
		for _, row := range polymers.rows {
			share = min(share, part(row)/whole(row))
		}
		return share
	}
	inLayers := func(p PolymerRow) float64 { return p.StrengthXYMPa }
	compressive := func(p PolymerRow) float64 { return p.CompressiveMPa }
	if p.StrengthZMPa == 0 {
		p.StrengthZMPa = p.StrengthXYMPa * least(func(p PolymerRow) float64 { return p.StrengthZMPa }, inLayers)
	}
	if p.CompressiveMPa == 0 {
		p.CompressiveMPa = p.StrengthXYMPa * least(compressive, inLayers)
	}
	if p.BearingMPa == 0 {
		p.BearingMPa = p.CompressiveMPa * least(func(p PolymerRow) float64 { return p.BearingMPa }, compressive)
	}
}

// Limits are the temperatures in °C of a clamped face: up to GoC the grip is
// safe, up to CautionC it wants watching, at StopC the plastic lets go.
type Limits struct {
	GoC, CautionC, StopC float64
	Says                 string
}

// LimitsAt returns the limits at a contact pressure in MPa (0 or more).
//
// Up to 1.8 MPa they are the table's: a lighter squeeze doesn't raise them,
// because the pressure is a mean and the plastic creeps. Above, all three fall
// along the line through the two ISO 75 points over the logarithm of the load,
//
//	T(p) = A - (B - A)·ln(p/1.8)/ln(1.8/0.45)
//
// The line is an extrapolation, own derivation, no published source.
func (p PolymerRow) LimitsAt(pressureMPa float64) (Limits, error) {
	if !(pressureMPa >= 0 && pressureMPa < 1000) {
		return Limits{}, fmt.Errorf("contact pressure is %g MPa, must be 0 to 1000 MPa", pressureMPa)
	}
	by := fmt.Sprintf("deflection temperature of %s at 1.8 MPa (ISO 75, method A)", p.Name)
	if p.Amorphous && p.StopC < p.Deflection180C {
		by = fmt.Sprintf("glass transition of %s less %d K", p.Name, glassMarginK)
	}
	l := Limits{GoC: p.GoC, CautionC: p.CautionC, StopC: p.StopC, Says: by}
	if pressureMPa > methodAMPa {
		fallK := (p.Deflection045C - p.Deflection180C) * math.Log(pressureMPa/methodAMPa) / math.Log(methodAMPa/methodBMPa)
		l.GoC, l.CautionC, l.StopC = l.GoC-fallK, l.CautionC-fallK, l.StopC-fallK
		l.Says += fmt.Sprintf(", less %.0f K for a contact pressure of %.1f MPa", fallK, pressureMPa)
	}
	return l, nil
}

// YoungAtMPa returns the modulus in MPa at a temperature in °C: linear from
// the value at 23 °C to 900 MPa at method A's temperature and 225 MPa at
// method B's, the modulus at which a bar just reaches the 0.2 % outer-fibre
// strain of ISO 75; below 23 °C it stays, and above B it falls to nothing over
// 10 K. Source: derived from ISO 75's criterion (0.34 mm at 64 mm span and
// 4 mm height); minutes-scale stiffness, not months.
func (p PolymerRow) YoungAtMPa(celsius float64) float64 {
	const (
		roomC      = 23.0
		atA, atB   = 900.0, 225.0
		collapsesK = 10.0
	)
	room := p.YoungMPa
	a := min(atA, room)
	b := min(atB, a)
	points := [][2]float64{
		{roomC, room},
		{p.Deflection180C, a},
		{max(p.Deflection045C, p.Deflection180C+1), b},
		{max(p.Deflection045C, p.Deflection180C+1) + collapsesK, 0},
	}
	if !(celsius > roomC) {
		return room
	}
	for i := 1; i < len(points); i++ {
		if celsius <= points[i][0] {
			from, to := points[i-1], points[i]
			return from[1] + (to[1]-from[1])*(celsius-from[0])/(to[0]-from[0])
		}
	}
	return 0
}
