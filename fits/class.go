package fits

import (
	"slices"
	"strconv"
	"strings"
)

// The letters of ISO 286-1 from the loosest to the tightest hole.
var letters = []string{
	"A", "B", "C", "CD", "D", "E", "EF", "F", "FG", "G", "H", "JS", "J", "K", "M", "N",
	"P", "R", "S", "T", "U", "V", "X", "Y", "Z", "ZA", "ZB", "ZC",
}

// isoClass is a tolerance class as written: letter and grade.
type isoClass struct {
	letter string // capitals for a hole
	grade  int
	hole   bool
}

func (c isoClass) String() string { return c.letter + gradeText(c.grade) }

func gradeText(grade int) string {
	if grade == lowestGrade {
		return "01"
	}
	return strconv.Itoa(grade)
}

// parseClass reads a class such as H7 or js01. The size only serves the near
// names in the error.
func parseClass(sizeMM float64, text string) (isoClass, error) {
	cut := strings.IndexAny(text, "0123456789")
	if cut < 0 {
		cut = len(text)
	}
	letter, digits := text[:cut], text[cut:]
	upper := strings.ToUpper(letter)
	c := isoClass{letter: letter, hole: letter == upper}

	grade, gradeErr := strconv.Atoi(digits)
	switch {
	case digits == "01":
		c.grade = -1
	case gradeErr == nil && (len(digits) == 1 || digits[0] != '0'):
		c.grade = grade
	default:
		gradeErr = strconv.ErrSyntax
	}

	switch {
	case upper == "RC" || upper == "LC":
		return c, &ClassError{Class: text, SizeMM: sizeMM, Rule: "the running and clearance classes of ANSI B4.1 are not in the tables here", Near: existing(sizeMM, "H8/f7", "H7/g6", "H7/h6")}
	case slices.Contains([]string{"FN", "LN", "LT"}, upper):
		return c, &ClassError{Class: text, SizeMM: sizeMM, Rule: "no such inch class", Near: inchClassesAt(sizeMM, upper)}
	case !isLetters(letter):
		return c, &ClassError{Class: text, SizeMM: sizeMM, Rule: "must be a letter and a grade such as H7 or p6, a fit such as H7/p6, or an inch class such as FN2"}
	case gradeErr != nil:
		if i := strings.IndexFunc(digits, isLetter); i > 0 {
			return c, &ClassError{Class: text, SizeMM: sizeMM, Rule: "must be one class, or two with a stroke between", Near: existing(sizeMM, text[:cut+i]+"/"+digits[i:])}
		}
		return c, &ClassError{Class: text, SizeMM: sizeMM, Rule: "needs a grade from 01 to 18 after its letter", Near: nearClasses(sizeMM, c.withGrade(7))}
	case letter != upper && letter != strings.ToLower(letter):
		return c, &ClassError{Class: text, SizeMM: sizeMM, Rule: "mixes capital and small letters: capitals are holes, small letters shafts", Near: existing(sizeMM, upper+digits, strings.ToLower(letter)+digits)}
	case !slices.Contains(letters, upper):
		return c, &ClassError{Class: text, SizeMM: sizeMM, Rule: "the letters are A to H, JS, J, K, M, N, P, R to V, X to Z and CD, EF, FG, ZA, ZB, ZC", Near: nearClasses(sizeMM, c)}
	case c.grade > highestGrade:
		return c, &ClassError{Class: text, SizeMM: sizeMM, Rule: "the grades are 01, 0 and 1 to 18", Near: nearClasses(sizeMM, c)}
	}
	return c, nil
}

func (c isoClass) withGrade(g int) isoClass { c.grade = g; return c }

func isLetter(r rune) bool { return (r >= 'A' && r <= 'Z') || (r >= 'a' && r <= 'z') }

func isLetters(s string) bool {
	return s != "" && strings.IndexFunc(s, func(r rune) bool { return !isLetter(r) }) < 0
}

// limits returns the limits of the class for a size in mm, and whether the
// fundamental deviation is from memory.
func (c isoClass) limits(sizeMM float64) (Member, bool, error) {
	if !(sizeMM > 0 && sizeMM <= maxISOSizeMM) {
		return Member{}, false, &SizeError{SizeMM: sizeMM, Class: c.String(), MaxMM: maxISOSizeMM, Rule: "must be above 0 and at most 500 mm for these tables of ISO 286-1"}
	}
	if rule := c.refusal(sizeMM); rule != "" {
		return Member{}, false, &ClassError{Class: c.String(), SizeMM: sizeMM, Rule: rule, Near: nearClasses(sizeMM, c)}
	}
	upper, lower, memory := c.deviations(sizeMM)
	return Member{Class: c.String(), UpperUM: clean(upper), LowerUM: clean(lower)}, memory, nil
}

const maxISOSizeMM = 500

// refusal says why the standard gives no limits for the class at the size, or "".
func (c isoClass) refusal(sizeMM float64) string {
	t := loadISO()
	letter := strings.ToUpper(c.letter)
	if sizeMM <= 1 {
		switch {
		case letter == "A" || letter == "B":
			return "A and B (a and b) are not provided at or below 1 mm"
		case c.hole && letter == "N" && c.grade > 8:
			return "N above IT8 is not used at or below 1 mm"
		case c.grade >= 14:
			return "IT14 to IT18 are not used at or below 1 mm"
		}
	}
	d, ok := t.cell(c.letter, sizeMM, c.grade)
	if !ok {
		return c.missing(sizeMM)
	}
	if d.addDelta {
		if _, ok := t.delta(sizeMM, c.grade); !ok {
			return "the standard gives Δ for grades 3 to 8 only, so K to ZC below IT3 have no limits over 3 mm"
		}
	}
	return ""
}

// missing words the reason why a letter has no cell at a size and grade.
func (c isoClass) missing(sizeMM float64) string {
	t := loadISO()
	other := slices.ContainsFunc(t.deviations[c.letter], func(d deviation) bool { return d.holds(sizeMM) })
	switch {
	case !other && slices.Contains([]string{"CD", "EF", "FG"}, strings.ToUpper(c.letter)):
		return c.letter + " is tabulated up to 50 mm only"
	case !other:
		return c.letter + " is not tabulated at sizes this small"
	case c.letter == "K":
		return "K above IT8 is tabulated up to 3 mm only"
	case c.letter == "J":
		return "J is tabulated for IT6 to IT8 only"
	case c.letter == "j":
		return "j is tabulated for IT5 to IT7 only, and IT8 up to 3 mm"
	}
	return c.letter + " is not tabulated for this grade"
}

// deviations returns the upper and lower deviation in µm. The class must not
// be one that refusal turns away.
func (c isoClass) deviations(sizeMM float64) (upper, lower float64, memory bool) {
	t := loadISO()
	it := t.tolerance(sizeMM, c.grade)
	d, _ := t.cell(c.letter, sizeMM, c.grade)
	value := d.um
	if d.addDelta {
		delta, _ := t.delta(sizeMM, c.grade)
		value += delta
	}
	if c.letter == "M" && c.grade == 6 && sizeMM > 250 && sizeMM <= 315 {
		value = -9 // the one exception the standard prints: not -20 + 9
	}
	switch d.kind {
	case "es", "ES":
		return value, value - it, d.memory
	case "ei", "EI":
		return value + it, value, d.memory
	}
	return it / 2, -it / 2, d.memory // JS, js
}

// existing keeps the names that are classes or fits at the size.
func existing(sizeMM float64, names ...string) []string {
	return slices.DeleteFunc(names, func(name string) bool {
		_, err := Limits(sizeMM, name)
		return err != nil
	})
}

// nearClasses names up to three classes that exist at the size and differ least
// from the one asked for in letter and grade.
func nearClasses(sizeMM float64, c isoClass) []string {
	if !(sizeMM > 0 && sizeMM <= maxISOSizeMM) {
		return nil
	}
	place := letterPlace(strings.ToUpper(c.letter))
	type candidate struct {
		name string
		cost float64
	}
	var found []candidate
	for i, l := range letters {
		for g := lowestGrade; g <= highestGrade; g++ {
			near := isoClass{letter: l, grade: g, hole: c.hole}
			if !c.hole {
				near.letter = strings.ToLower(l)
			}
			cost := abs(float64(i)-place) + abs(float64(g-c.grade))
			if cost <= 12 && near.refusal(sizeMM) == "" {
				found = append(found, candidate{near.String(), cost})
			}
		}
	}
	slices.SortStableFunc(found, func(a, b candidate) int {
		switch {
		case a.cost < b.cost:
			return -1
		case a.cost > b.cost:
			return 1
		}
		return 0
	})
	var names []string
	for _, f := range found[:min(3, len(found))] {
		names = append(names, f.name)
	}
	return names
}

// letterPlace is where a letter stands, or would stand, in the row of letters.
func letterPlace(letter string) float64 {
	if i := slices.Index(letters, letter); i >= 0 {
		return float64(i)
	}
	for i, l := range letters {
		if l[0] > letter[0] {
			return float64(i) - 0.5
		}
	}
	return float64(len(letters))
}

func abs(v float64) float64 {
	if v < 0 {
		return -v
	}
	return v
}
