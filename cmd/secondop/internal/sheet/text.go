package sheet

import (
	"fmt"
	"html/template"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// say is fmt.Sprintf for HTML with %s throughout: the format is ours, every
// string among the arguments is escaped, and only template.HTML passes as it is.
func say(format string, args ...any) template.HTML {
	safe := make([]any, len(args))
	for i, a := range args {
		switch a := a.(type) {
		case template.HTML:
			safe[i] = string(a)
		case string:
			safe[i] = template.HTMLEscapeString(a)
		case int:
			safe[i] = strconv.Itoa(a)
		default:
			panic(fmt.Sprintf("sheet: %T can't be shown", a)) // numbers get their units first
		}
	}
	return template.HTML(fmt.Sprintf(format, safe...)) //nolint:gosec // every argument is escaped above
}

// both is a quantity in the job's units with the other system behind it in grey.
func both(main, other string) template.HTML {
	if main == other {
		return say(`<b>%s</b>`, tied(main))
	}
	return say(`<b>%s</b> <i>%s</i>`, tied(main), tied(other))
}

// tied keeps a short quantity on one line with its unit.
func tied(s string) string {
	if len(s) > 14 {
		return s
	}
	return strings.ReplaceAll(s, " ", "\u00a0")
}

// Quantities in both systems.
func (s *sheet) length(mm float64) template.HTML { return both(s.u.Length(mm), s.other.Length(mm)) }
func (s *sheet) size(mm float64) template.HTML   { return both(s.u.Size(mm), s.other.Size(mm)) }
func (s *sheet) coarse(mm float64) template.HTML { return both(s.u.Coarse(mm), s.other.Coarse(mm)) }
func (s *sheet) force(n float64) template.HTML   { return both(s.u.Force(n), s.other.Force(n)) }
func (s *sheet) torque(nm float64) template.HTML { return both(s.u.Torque(nm), s.other.Torque(nm)) }
func (s *sheet) warm(c float64) template.HTML {
	return both(s.u.Temperature(c), s.other.Temperature(c))
}

func (s *sheet) point(xMM, yMM float64) template.HTML {
	return both(s.u.Point(xMM, yMM), s.other.Point(xMM, yMM))
}

func (s *sheet) box(size [3]float64) template.HTML {
	in := func(f func(float64) string) string {
		return f(size[0]) + " × " + f(size[1]) + " × " + f(size[2])
	}
	return both(in(s.u.Coarse), in(s.other.Coarse))
}

// span is two values, written once when they read alike.
func (s *sheet) span(low, high float64, f func(float64) template.HTML) template.HTML {
	a, b := f(low), f(high)
	if a == b {
		return b
	}
	return a + " to " + b
}

// capital begins a finding as a sentence.
func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
