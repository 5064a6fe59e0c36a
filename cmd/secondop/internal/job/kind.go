package job

import (
	"math/big"
	"strings"
)

// A kind is what a key's value measures, with the units it is read in.
type kind struct {
	name    string // with its article left out: "length"
	an      bool   // takes "an"
	units   []unit
	bare    func(inch bool) *unit // nil: a bare number is refused
	example string
}

// A unit turns a typed number into the unit used inside: (x + zero)·factor.
type unit struct {
	name         string
	factor, zero big.Rat
	also         []string // further spellings, folded
}

func (k *kind) article() string {
	switch {
	case k == count, k == ratio:
		return k.name
	case k.an:
		return "an " + k.name
	}
	return "a " + k.name
}

func (k *kind) unit(folded string) *unit {
	for i := range k.units {
		u := &k.units[i]
		if foldUnit(u.name) == folded {
			return u
		}
		for _, a := range u.also {
			if a == folded {
				return u
			}
		}
	}
	return nil
}

// u makes a unit; factor is an exact decimal or a fraction of two.
func u(name, factor string, also ...string) unit {
	return shifted(name, factor, "0", also...)
}

func shifted(name, factor, zero string, also ...string) unit {
	made := unit{name: name, also: also}
	over, under, isFraction := strings.Cut(factor, "/")
	setRat(&made.factor, over)
	if isFraction {
		var by big.Rat
		setRat(&by, under)
		made.factor.Quo(&made.factor, &by)
	}
	setRat(&made.zero, zero)
	return made
}

func setRat(r *big.Rat, s string) {
	if _, ok := r.SetString(s); !ok {
		panic("job: unit factor " + s + " is not a number")
	}
}

// foldUnit brings the spellings of one unit together: case, spaces, dots,
// hyphens and brackets, raised figures and the two signs for micro.
func foldUnit(s string) string {
	return unitFolder.Replace(strings.ToLower(s))
}

var unitFolder = strings.NewReplacer(" ", "", "·", "", "*", "", "^", "", "(", "", ")", "", "-", "", ".", "",
	"²", "2", "³", "3", "µ", "u", "μ", "u", "°c", "c", "°f", "f", "°", "deg", "″", `"`, "”", `"`)

func either(inside, inches *kind, metric, inch string) func(bool) *unit {
	return func(isInch bool) *unit {
		if isInch {
			return inches.unit(foldUnit(inch))
		}
		return inside.unit(foldUnit(metric))
	}
}

// The kinds of quantity. Factors are exact by definition (inch, pound,
// pound-force and the horse power of 550 ft lbf/s; NIST SP 811, appendix B).
var (
	length = &kind{name: "length", example: "12 mm or 1/2 in", units: []unit{
		u("mm", "1", "millimetre", "millimeter", "millimetres", "millimeters"),
		u("in", "25.4", "inch", "inches", `"`),
		u("thou", "0.0254", "thousandth", "thousandths"),
		u("tenths", "0.00254", "tenth"),
		u("um", "0.001", "micron", "microns"),
		u("cm", "10"), u("m", "1000"), u("ft", "304.8", "feet", "foot"),
	}}
	roughness = &kind{name: "surface height", example: "6.3 um", units: []unit{
		u("um", "1", "micron", "microns"), u("uin", "0.0254", "microinch", "microinches"), u("mm", "1000"),
	}}
	fine = &kind{name: "small length", example: "5 um", units: []unit{
		u("um", "0.001", "micron", "microns"), u("mm", "1"), u("thou", "0.0254"), u("tenths", "0.00254", "tenth"), u("in", "25.4", "inch", `"`),
	}}
	feed = &kind{name: "feed", example: "800 mm/min or 30 in/min", units: []unit{
		u("mm/min", "1"), u("in/min", "25.4", "ipm", "inch/min", `"/min`), u("mm/s", "60"), u("in/s", "1524"), u("m/min", "1000"),
	}}
	force = &kind{name: "force", example: "450 N or 100 lbf", units: []unit{
		u("N", "1", "newton", "newtons"), u("kN", "1000"),
		u("lbf", "4.4482216152605", "lb", "lbs"), u("kgf", "9.80665", "kg", "kp"),
	}}
	temperature = &kind{name: "temperature", example: "22 C or 72 F", units: []unit{
		u("C", "1", "degc"), shifted("F", "5/9", "-32", "degf"), shifted("K", "1", "-273.15"),
	}}
	speed = &kind{name: "spindle speed", example: "10000 rpm", units: []unit{u("rpm", "1", "1/min", "rev/min", "r/min")}}
	power = &kind{name: "power", example: "60 W", units: []unit{
		u("W", "1", "watt", "watts"), u("kW", "1000"), u("hp", "745.69987158227022"),
	}}
	duration = &kind{name: "time", example: "90 s or 4 min", units: []unit{
		u("s", "1", "sec", "second", "seconds"), u("min", "60", "minute", "minutes"), u("h", "3600", "hour", "hours"),
	}}
	angle   = &kind{name: "angle", an: true, example: "30 deg", units: []unit{u("deg", "1", "degree", "degrees"), u("rad", "1", "radian", "radians")}}
	percent = &kind{name: "percentage", example: "40 %", units: []unit{u("%", "0.01", "percent")}}
	volume  = &kind{name: "volume", example: "900 mm3 or 0.05 in3", units: []unit{
		u("mm3", "1"), u("cm3", "1000", "cc", "ml"), u("in3", "16387.064", "cuin"),
	}}
	film = &kind{name: "film coefficient", example: "8 W/m2K", units: []unit{u("W/m2K", "1", "w/m2/k")}}
	torq = &kind{name: "torque", example: "2 Nm or 18 in lbf", units: []unit{
		u("Nm", "1"), u("Ncm", "0.01"),
		u("in lbf", "0.1129848290276167", "inlb", "inlbs", "lbfin", "lbin"),
		u("ft lbf", "1.3558179483314004", "ftlb", "ftlbs", "lbfft", "lbft"),
	}}
	density      = &kind{name: "density", example: "1240 kg/m3 or 1.24 g/cm3", units: []unit{u("kg/m3", "1"), u("g/cm3", "1000", "g/cc")}}
	specificHeat = &kind{name: "specific heat", example: "1200 J/kgK", units: []unit{
		u("J/kgK", "1", "j/kg/k"), u("kJ/kgK", "1000", "kj/kg/k"), u("J/gK", "1000", "j/g/k"),
	}}
	conductivity = &kind{name: "conductivity", example: "0.13 W/mK", units: []unit{u("W/mK", "1", "w/m/k")}}
	stress       = &kind{name: "stress", example: "50 MPa or 7 ksi", units: []unit{
		u("MPa", "1", "n/mm2"), u("GPa", "1000"), u("psi", "0.0068947572931683613"), u("ksi", "6.8947572931683613"),
	}}
	ratio = &kind{name: "a bare number", example: "0.15", bare: plain}
	count = &kind{name: "a whole number", example: "2", bare: plain}
)

var one = u("", "1")

func plain(bool) *unit { return &one }

var kinds []*kind

func init() {
	length.bare = either(length, length, "mm", "in")
	feed.bare = either(feed, feed, "mm/min", "in/min")
	kinds = []*kind{
		length, roughness, fine, feed, force, temperature, speed, power, duration, angle, percent, volume, film, torq,
		density, specificHeat, conductivity, stress,
	}
}
