package job

import (
	"fmt"
	"math"
	"math/big"
	"regexp"
	"strconv"
	"strings"
)

// QuantityError says what is wrong with a quantity as typed, and what would be
// right. Help is empty when there is nothing to suggest.
type QuantityError struct{ Says, Help string }

func (e *QuantityError) Error() string {
	if e.Help == "" {
		return e.Says
	}
	return e.Says + "; " + e.Help
}

func refuse(help, format string, a ...any) *QuantityError {
	return &QuantityError{Says: fmt.Sprintf(format, a...), Help: help}
}

// Longest quantity that is read, in characters.
const maxQuantity = 64

// ParseLength reads a length such as "12", "12 mm", "1 1/2 in" or "3 thou" and
// returns it in mm. A bare number is in inches if inch is set, else in mm.
// The error is a *QuantityError.
func ParseLength(text string, inch bool) (mm float64, err error) {
	return parsed(length, text, inch)
}

// ParseTemperature reads "22 C", "22 °C" or "72 F" and returns °C. The error is
// a *QuantityError.
func ParseTemperature(text string) (celsius float64, err error) {
	return parsed(temperature, text, false)
}

// ParseTime reads "90 s" or "4 min" and returns s. The error is a
// *QuantityError.
func ParseTime(text string) (seconds float64, err error) {
	return parsed(duration, text, false)
}

func parsed(k *kind, text string, inch bool) (float64, error) {
	v, bad := k.parse(text, inch)
	if bad != nil {
		return 0, bad
	}
	return v, nil
}

// A measure is a number as typed with the unit that follows it.
type measure struct {
	number *big.Rat
	unit   string // as typed, "" for a bare number
}

// parse reads one quantity of this kind in the unit used inside.
func (k *kind) parse(text string, inch bool) (float64, *QuantityError) {
	m, bad := readMeasure(text, k)
	if bad != nil {
		return 0, bad
	}
	return k.convert(m, text, inch)
}

// convert brings a measure to the unit used inside. The factor is exact, so
// that 1.5 in and 38.1 mm are the same number to the last bit.
func (k *kind) convert(m measure, text string, inch bool) (float64, *QuantityError) {
	u, bad := k.unitOf(m, text, inch)
	if bad != nil {
		return 0, bad
	}
	r := new(big.Rat).Add(m.number, &u.zero)
	v, _ := r.Mul(r, &u.factor).Float64()
	if k == angle && u.name == "deg" {
		v = v / 180 * math.Pi
	}
	if math.IsInf(v, 0) {
		return 0, refuse("", "%q is too large a number", text)
	}
	return v, nil
}

func (k *kind) unitOf(m measure, text string, inch bool) (*unit, *QuantityError) {
	if m.unit == "" {
		if k.bare == nil {
			return nil, refuse("write "+k.suggest(text), "%q has no unit, and %s carries its unit in any file", text, k.article())
		}
		return k.bare(inch), nil
	}
	if len(k.units) == 0 {
		return nil, refuse("", "%q carries a unit, and this is a bare number", text)
	}
	spelled := foldUnit(m.unit)
	if u := k.unit(spelled); u != nil {
		return u, nil
	}
	if spelled == "mil" && (k == length || k == roughness) {
		return nil, refuse("write thou for a thousandth of an inch, mm for a millimetre", "%q is in mil, which is not the same in every shop", text)
	}
	for _, other := range kinds {
		if other != k && other.unit(spelled) != nil {
			return nil, refuse("write something like "+k.example, "%q is %s, and this is %s", text, other.article(), k.article())
		}
	}
	names := make([]string, len(k.units))
	for i, u := range k.units {
		names[i] = u.name
	}
	if near := nearest(spelled, names); near != "" {
		return nil, refuse("did you mean "+near+"?", "%q ends in %q, which is no unit of %s", text, m.unit, k.name)
	}
	return nil, refuse("use "+listOr(names), "%q ends in %q, which is no unit of %s", text, m.unit, k.name)
}

// suggest completes a bare number with the kind's first unit, or gives the
// kind's example when the text is no plain number.
func (k *kind) suggest(text string) string {
	if _, err := strconv.ParseFloat(strings.TrimSpace(text), 64); err != nil || len(k.units) == 0 {
		return k.example
	}
	number := strings.TrimSpace(text)
	switch k {
	case force:
		return number + " N or " + number + " lbf"
	case temperature:
		return number + " C or " + number + " F"
	}
	return number + " " + k.units[0].name
}

var (
	mixedNumber   = regexp.MustCompile(`^([+-]?)(\d+)[ -](\d+)/(\d+)`)
	fraction      = regexp.MustCompile(`^([+-]?)(\d+)/(\d+)`)
	decimalNumber = regexp.MustCompile(`^([+-]?)(\d+\.?\d*|\.\d+)`)
	oddNumber     = regexp.MustCompile(`(?i)^[+-]?(0x[0-9a-f]+|0[ob][0-9]+|\.?nan\b|\.?inf(inity)?\b)`)
	underscored   = regexp.MustCompile(`^[+-]?\d[\d_]*_[\d_.]*`)
	withComma     = regexp.MustCompile(`^([+-]?\d*),(\d+)`)
	exponent      = regexp.MustCompile(`^([+-]?(?:\d+\.?\d*|\.\d+)[eE][+-]?\d+)`)
	leadingZero   = regexp.MustCompile(`^[+-]?0\d`)
)

// readMeasure splits a text into number and unit. Fractions are for lengths.
func readMeasure(text string, k *kind) (measure, *QuantityError) {
	m, rest, bad := readNumber(tidy(text), text, k)
	if bad != nil {
		return measure{}, bad
	}
	return measure{m, strings.TrimSpace(rest)}, nil
}

// tidy brings the look-alikes of signs and spaces to ASCII.
func tidy(text string) string {
	return strings.TrimSpace(lookAlikes.Replace(text))
}

var lookAlikes = strings.NewReplacer("\u2212", "-", "\u2013", "-", "\u00a0", " ", "\u202f", " ", "\u2009", " ", "\u2044", "/", "\t", " ")

// readNumber reads the number at the start of s; shown is what the user typed.
func readNumber(s, shown string, k *kind) (number *big.Rat, rest string, bad *QuantityError) {
	if len(s) > maxQuantity {
		return nil, "", refuse("", "\"%.16s...\" has %d characters, at most %d are read", s, len([]rune(s)), maxQuantity)
	}
	if bad := oddlyWritten(s, shown, k); bad != nil {
		return nil, "", bad
	}
	if m := mixedNumber.FindStringSubmatch(s); m != nil {
		return readFraction(s, shown, k, m[0], m[1], m[2], m[3], m[4])
	}
	if m := fraction.FindStringSubmatch(s); m != nil {
		return readFraction(s, shown, k, m[0], m[1], "0", m[2], m[3])
	}
	m := decimalNumber.FindString(s)
	if m == "" {
		return nil, "", refuse("write something like "+k.example, "%q is not %s", shown, k.article())
	}
	number, ok := new(big.Rat).SetString(strings.TrimSuffix(m, "."))
	if !ok {
		return nil, "", refuse("write something like "+k.example, "%q is not %s", shown, k.article())
	}
	return number, s[len(m):], nil
}

func readFraction(s, shown string, k *kind, all, sign, whole, over, under string) (*big.Rat, string, *QuantityError) {
	if k != length && k != roughness {
		return nil, "", refuse("write it as a decimal number", "%q is a fraction, and only lengths are read as fractions", shown)
	}
	frac, ok := new(big.Rat).SetString(over + "/" + under)
	if !ok { // a zero below the line
		return nil, "", refuse("", "%q divides by zero", shown)
	}
	w, _ := new(big.Rat).SetString(whole)
	frac.Add(frac, w)
	if sign == "-" {
		frac.Neg(frac)
	}
	return frac, s[len(all):], nil
}

// oddlyWritten turns away the spellings of numbers that YAML readers and
// people read in two ways.
func oddlyWritten(s, shown string, k *kind) *QuantityError {
	if m := withComma.FindStringSubmatch(s); m != nil {
		point := m[1] + "." + m[2]
		if m[1] == "" || m[1] == "-" || m[1] == "+" {
			point = m[1] + "0." + m[2]
		}
		if len(m[2]) == 3 && m[1] != "" && m[1] != "0" {
			return refuse("write "+m[1]+m[2]+" if the comma parts thousands, "+point+" if it is the decimal point",
				"%q has a comma in a number", shown)
		}
		return refuse("write "+point, "%q has a comma in a number, decimals take a point", shown)
	}
	switch {
	case oddNumber.MatchString(s):
		return refuse("write something like "+k.example, "%q is not a plain decimal number", shown)
	case underscored.MatchString(s):
		return refuse("write "+strings.ReplaceAll(s, "_", ""), "%q has an underscore in a number", shown)
	case exponent.MatchString(s):
		help := ""
		if v, err := strconv.ParseFloat(exponent.FindString(s), 64); err == nil && math.Abs(v) < 1e9 && math.Abs(v) >= 1e-6 {
			help = "write " + strconv.FormatFloat(v, 'f', -1, 64) + s[len(exponent.FindString(s)):]
		}
		return refuse(help, "%q is written with a power of ten", shown)
	case leadingZero.MatchString(s):
		without := strings.TrimLeft(strings.TrimLeft(s, "+-"), "0")
		if without == "" || without[0] < '0' || without[0] > '9' {
			without = "0" + without
		}
		if s[0] == '-' {
			without = "-" + without
		}
		return refuse("write "+without, "%q starts with a zero, which some programs read as a number to base eight", shown)
	}
	return nil
}
