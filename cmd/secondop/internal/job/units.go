package job

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Units writes numbers for people: in the units of the job, with no more digits
// than can be defended. It is the one formatter of terminal, sheet and remarks.
// A number that is not finite reads "not known".
type Units struct{ Inch bool }

// Units are those of the job file.
func (j *Job) Units() Units { return Units{j.Inch} }

const notKnown = "not known"

// fixed writes x with at most n decimals and no trailing zeros.
func fixed(x float64, n int) string {
	s := strconv.FormatFloat(x, 'f', n, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// digits rounds x to n significant digits.
func digits(x float64, n int) string {
	if x == 0 {
		return "0"
	}
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'e', n-1, 64), 64)
	return strconv.FormatFloat(rounded, 'f', -1, 64)
}

func with(x float64, value, unit string) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return notKnown
	}
	return value + " " + unit
}

// Length writes a length in mm to 0.001 mm, or in inches to 0.0001 in.
func (u Units) Length(mm float64) string {
	if u.Inch {
		return with(mm, fixed(mm/25.4, 4), "in")
	}
	return with(mm, fixed(mm, 3), "mm")
}

// Size writes a length with a fixed number of decimals, for columns and for
// sizes to be set: 0.001 mm, or 0.0001 in.
func (u Units) Size(mm float64) string {
	if u.Inch {
		return with(mm, strconv.FormatFloat(mm/25.4, 'f', 4, 64), "in")
	}
	return with(mm, strconv.FormatFloat(mm, 'f', 3, 64), "mm")
}

// Coarse writes a length to 0.1 mm or 0.01 in, for heights and distances that
// a print decides.
func (u Units) Coarse(mm float64) string {
	if u.Inch {
		return with(mm, fixed(mm/25.4, 2), "in")
	}
	return with(mm, fixed(mm, 1), "mm")
}

// Point writes X and Y, to 0.01 mm or 0.001 in.
func (u Units) Point(xMM, yMM float64) string {
	if u.Inch {
		return with(xMM+yMM, fmt.Sprintf("X %s, Y %s", fixed(xMM/25.4, 3), fixed(yMM/25.4, 3)), "in")
	}
	return with(xMM+yMM, fmt.Sprintf("X %s, Y %s", fixed(xMM, 2), fixed(yMM, 2)), "mm")
}

// Small writes a length of a few micrometres, or of thousandths of an inch.
func (u Units) Small(mm float64) string {
	if u.Inch {
		return with(mm, fixed(mm/0.0254, 2), "thou")
	}
	return with(mm, fixed(mm*1000, 1), "µm")
}

// Other is the same length in the other system, for the small print.
func (u Units) Other(mm float64) string { return Units{!u.Inch}.Length(mm) }

// Feed writes a feed to 1 mm/min or 0.1 in/min.
func (u Units) Feed(mmMin float64) string {
	if u.Inch {
		return with(mmMin, fixed(mmMin/25.4, 1), "in/min")
	}
	return with(mmMin, fixed(mmMin, 0), "mm/min")
}

// Force writes a force to two significant digits: the models know no more.
func (u Units) Force(n float64) string {
	if u.Inch {
		return with(n, digits(n/4.4482216152605, 2), "lbf")
	}
	return with(n, digits(n, 2), "N")
}

// Torque writes a torque to two significant digits.
func (u Units) Torque(nm float64) string {
	if u.Inch {
		return with(nm, digits(nm/0.1129848290276167, 2), "in lbf")
	}
	return with(nm, digits(nm, 2), "Nm")
}

// Temperature writes a temperature to 1 °C or 1 °F.
func (u Units) Temperature(celsius float64) string {
	if u.Inch {
		return with(celsius, fixed(celsius*9/5+32, 0), "°F")
	}
	return with(celsius, fixed(celsius, 0), "°C")
}

// Rise writes a difference of temperatures.
func (u Units) Rise(kelvin float64) string {
	if u.Inch {
		return with(kelvin, digits(kelvin*9/5, 2), "°F")
	}
	return with(kelvin, digits(kelvin, 2), "°C")
}

// Stress writes a pressure or stress to two significant digits.
func (u Units) Stress(mpa float64) string {
	if u.Inch {
		return with(mpa, digits(mpa/0.0068947572931683613, 2), "psi")
	}
	return with(mpa, digits(mpa, 2), "MPa")
}

// Volume writes a volume to two significant digits.
func (u Units) Volume(mm3 float64) string {
	switch {
	case u.Inch:
		return with(mm3, digits(mm3/16387.064, 2), "in³")
	case math.Abs(mm3) >= 10_000:
		return with(mm3, digits(mm3/1000, 2), "cm³")
	}
	return with(mm3, digits(mm3, 2), "mm³")
}

// Power writes a power to two significant digits.
func (u Units) Power(w float64) string { return with(w, digits(w, 2), "W") }

// Speed writes a spindle speed to 10 rpm.
func (u Units) Speed(rpm float64) string { return with(rpm, fixed(math.Round(rpm/10)*10, 0), "rpm") }

// Mass writes a mass to 1 g.
func (u Units) Mass(g float64) string {
	if u.Inch {
		return with(g, digits(g/28.349523125, 2), "oz")
	}
	return with(g, fixed(g, 0), "g")
}

// Angle writes an angle to 0.1 degrees.
func (u Units) Angle(rad float64) string { return with(rad, fixed(rad/math.Pi*180, 1), "deg") }

// Share writes a share of one as a percentage to two significant digits.
func (u Units) Share(x float64) string { return with(x, digits(x*100, 2), "%") }

// Time writes a stretch of time: seconds up to two minutes, then minutes, then
// hours and minutes.
func (u Units) Time(s float64) string {
	switch {
	case math.IsNaN(s) || math.IsInf(s, 0):
		return notKnown
	case math.Abs(s) < 119.5:
		return fixed(s, 0) + " s"
	case math.Abs(s) < 10*60:
		return fixed(s/60, 1) + " min"
	case math.Abs(s) < 119.5*60:
		return fixed(s/60, 0) + " min"
	}
	minutes := int(math.Round(s / 60))
	return fmt.Sprintf("%d h %d min", minutes/60, minutes%60)
}

// Factor writes a holding factor to 0.1, without a unit.
func (u Units) Factor(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return notKnown
	}
	return strconv.FormatFloat(x, 'f', 1, 64)
}
