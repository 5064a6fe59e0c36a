package fits

import (
	"slices"
	"strings"
)

const mmPerInch = 25.4

// inchFamily tells whether a class is of the inch standard's families and
// returns the family. A family with no number is left to parseClass to refuse.
func inchFamily(class string) (string, bool) {
	if len(class) != 3 || class[2] < '0' || class[2] > '9' {
		return "", false
	}
	family := strings.ToUpper(class[:2])
	return family, family == "FN" || family == "LN" || family == "LT"
}

// inchLimits looks a class of ANSI B4.1 up. The ranges are in inches and are not
// the metric ranges divided by 25.4.
func inchLimits(sizeMM float64, class, family string) (Fit, error) {
	class = family + class[2:]
	sizeIn := snap(sizeMM / mmPerInch)
	known, largest := false, 0.0
	for _, r := range loadInch() {
		if r.class == class && r.holds(sizeIn) {
			return r.fit(sizeMM), nil
		}
		known = known || r.class == class
		if strings.HasPrefix(r.class, family) {
			largest = max(largest, r.to)
		}
	}
	switch {
	case sizeIn > largest:
		return Fit{}, &SizeError{SizeMM: sizeMM, Class: class, MaxMM: largest * mmPerInch, Inch: true, Rule: "is past the end of the table of ANSI B4.1"}
	case known:
		return Fit{}, &ClassError{Class: class, SizeMM: sizeMM, Inch: true, Rule: "ANSI B4.1 does not define it at this size", Near: inchClassesAt(sizeMM, family)}
	}
	return Fit{}, &ClassError{Class: class, SizeMM: sizeMM, Inch: true, Rule: "no such inch class", Near: inchClassesAt(sizeMM, family)}
}

func (r inchRow) fit(sizeMM float64) Fit {
	f := Between(sizeMM,
		inchMember(r.holeClass, r.holeUpper, r.holeLower),
		inchMember(r.shaftClass, r.shaftUpper, r.shaftLower))
	f.Class, f.Standard, f.Source = r.class, "ANSI B4.1-1967", r.source
	f.FromMemory = strings.Contains(strings.ToLower(r.source), "from memory")
	return f
}

func inchMember(class string, upper, lower float64) Member {
	return Member{
		Class: class, InThou: true, UpperThou: upper, LowerThou: lower,
		UpperUM: clean(upper * umPerThou), LowerUM: clean(lower * umPerThou),
	}
}

// inchClassesAt lists the classes of one family that exist at a size.
func inchClassesAt(sizeMM float64, family string) []string {
	var names []string
	for _, r := range loadInch() {
		if strings.HasPrefix(r.class, family) && r.holds(snap(sizeMM/mmPerInch)) && !slices.Contains(names, r.class) {
			names = append(names, r.class)
		}
	}
	return names
}
