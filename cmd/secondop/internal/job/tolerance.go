package job

import (
	"math/big"
	"strings"
)

// Tolerance is a size with its limits as deviations, all in mm. Given is false
// when the text was a size alone.
type Tolerance struct {
	SizeMM, UpperMM, LowerMM float64
	Given                    bool
}

// ParseTolerance reads "10", "10 ±0.05", "10 +-0.05", "10 +/- 0.05" or
// "10 +0.00/-0.02", upper deviation first, each number with or without a unit
// of length. A bare size is in inches if inch is set, else in mm; a bare
// deviation is in the unit of the size. The error is a *QuantityError.
func ParseTolerance(text string, inch bool) (Tolerance, error) {
	t, bad := readTolerance(text, inch)
	if bad != nil {
		return Tolerance{}, bad
	}
	return t, nil
}

var plusMinus = strings.NewReplacer("+/-", "±", "+-", "±", "+ / -", "±", "+ -", "±", "∓", "±")

const toleranceExample = "write something like 10 ±0.05 or 10 +0.00/-0.02"

func readTolerance(text string, inch bool) (Tolerance, *QuantityError) {
	s := plusMinus.Replace(tidy(text))
	size, rest, bad := readNumber(s, text, length)
	if bad != nil {
		return Tolerance{}, bad
	}
	sizeUnit, rest := untilSign(rest)
	if rest == "" {
		mm, bad := length.convert(measure{size, sizeUnit}, text, inch)
		return Tolerance{SizeMM: mm}, bad
	}
	upper, lower, bad := readDeviations(rest, text)
	if bad != nil {
		return Tolerance{}, bad
	}
	if bad := sayWhoseUnit(sizeUnit, lower.unit, text, inch); bad != nil {
		return Tolerance{}, bad
	}
	t := Tolerance{Given: true}
	for _, part := range []struct {
		to       *float64
		m        measure
		fallback string
	}{{&t.SizeMM, measure{size, sizeUnit}, ""}, {&t.UpperMM, upper, sizeUnit}, {&t.LowerMM, lower, sizeUnit}} {
		if part.m.unit == "" {
			part.m.unit = part.fallback
		}
		if *part.to, bad = length.convert(part.m, text, inch); bad != nil {
			return Tolerance{}, bad
		}
	}
	if !(t.UpperMM >= t.LowerMM) {
		return Tolerance{}, refuse("write the upper deviation first, such as 10 +0.00/-0.02", "tolerance %q is upside down", text)
	}
	return t, nil
}

// readDeviations reads "±0.05" or "+0.00/-0.02". A unit after the second
// deviation serves the first as well.
func readDeviations(s, shown string) (upper, lower measure, bad *QuantityError) {
	if after, ok := strings.CutPrefix(s, "±"); ok {
		n, unit, bad := readNumber(strings.TrimSpace(after), shown, length)
		switch {
		case bad != nil:
			return upper, lower, bad
		case n.Sign() < 0 || strings.ContainsAny(unit, "+±"):
			return upper, lower, refuse(toleranceExample, "%q is not a tolerance", shown)
		}
		unit = strings.TrimSpace(unit)
		return measure{n, unit}, measure{new(big.Rat).Neg(n), unit}, nil
	}
	first, rest, bad := readNumber(unspaced(s), shown, length)
	if bad != nil {
		return upper, lower, bad
	}
	// "+0.05" alone says nothing about the other side.
	firstUnit, rest := untilSign(strings.Replace(rest, "/", " ", 1))
	if rest == "" || rest[0] == "±"[0] {
		return upper, lower, refuse(toleranceExample, "%q gives one deviation, and a tolerance has two", shown)
	}
	second, secondUnit, bad := readNumber(unspaced(rest), shown, length)
	if bad != nil {
		return upper, lower, bad
	}
	secondUnit = strings.TrimSpace(secondUnit)
	if firstUnit == "" {
		firstUnit = secondUnit
	}
	return measure{first, firstUnit}, measure{second, secondUnit}, nil
}

// sayWhoseUnit refuses "0.3937 ±0.05 mm" in an inch file: the size could be
// meant in either unit.
func sayWhoseUnit(sizeUnit, deviationUnit, text string, inch bool) *QuantityError {
	if sizeUnit != "" || deviationUnit == "" {
		return nil
	}
	said, mine := length.unit(foldUnit(deviationUnit)), length.bare(inch)
	if said == nil || said == mine || said.name != "mm" && said.name != "in" {
		return nil
	}
	return refuse("write the unit after the size as well", "%q leaves open whether the size is in mm or in inches", text)
}

// untilSign splits at the first + - or ±.
func untilSign(s string) (before, from string) {
	if i := strings.IndexAny(s, "+-±"); i >= 0 {
		return strings.TrimSpace(s[:i]), s[i:]
	}
	return strings.TrimSpace(s), ""
}

// unspaced closes the gap between a sign and its number.
func unspaced(s string) string {
	if s != "" && (s[0] == '+' || s[0] == '-') {
		return s[:1] + strings.TrimSpace(s[1:])
	}
	return s
}
