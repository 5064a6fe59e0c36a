package job

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"
)

// leaf reads a value that holds no keys.
func (r *reader) leaf(v value) {
	k := v.key
	if k.form == aForm {
		k.read(v.f, v)
		return
	}
	to := k.into(v.f)
	if floats := several(to); floats != nil {
		r.numbers(v, floats)
		return
	}
	if v.Kind != yaml.ScalarNode {
		v.fault(fmt.Sprintf("%s is a %s, must be a single value", k.label(), shapeOf(v.Node)), exampleOf(k))
		return
	}
	switch k.form {
	case aWord:
		r.word(v, to.(*string))
	case aText:
		r.text(v, to.(*string))
	case aFlag:
		r.flag(v, to.(*bool))
	case aWhole:
		r.whole(v, to.(*int))
	case aTolerance:
		r.tolerance(v, to.(*Insert))
	default:
		if x, ok := r.quantity(v, v.Node); ok {
			*to.(*float64) = x
			r.show(v, x)
		}
	}
}

// several turns the targets of a list into pointers; nil for a single value.
func several(to any) []*float64 {
	switch to := to.(type) {
	case []*float64:
		return to
	case *[2]float64:
		return []*float64{&to[0], &to[1]}
	case *[3]float64:
		return []*float64{&to[0], &to[1], &to[2]}
	}
	return nil
}

func exampleOf(k *key) string {
	switch {
	case k.sample != "":
		return "write something like " + k.name + ": " + k.sample
	case k.kind != nil:
		return "write something like " + k.name + ": " + k.kind.example
	}
	return ""
}

// numbers reads a list of quantities of one kind.
func (r *reader) numbers(v value, to []*float64) {
	k := v.key
	if v.Kind == yaml.ScalarNode && k.spread {
		x, ok := r.quantity(v, v.Node)
		for i := range to {
			*to[i] = x
		}
		if ok {
			r.show(v, x)
		}
		return
	}
	if v.Kind != yaml.SequenceNode || len(v.Content) != len(to) {
		help := fmt.Sprintf("write %s: [%s]", k.name, strings.TrimSuffix(strings.Repeat(oneOf(k.kind)+", ", len(to)), ", "))
		is := "a " + shapeOf(v.Node)
		if v.Kind == yaml.SequenceNode {
			is = fmt.Sprintf("a list of %d", len(v.Content))
			if len(v.Content) > len(to) && v.Style&yaml.FlowStyle != 0 {
				help = "a comma parts the numbers of a list, decimals take a point"
			}
		}
		v.fault(fmt.Sprintf("%s is %s, must be a list of %d", k.label(), is, len(to)), help)
		return
	}
	fine := true
	shown := make([]string, len(to))
	for i, n := range v.Content {
		x, ok := r.quantity(v, n)
		fine = fine && ok
		*to[i] = x
		shown[i], _ = k.kind.plain(x, n.Value, v.f.src.inch)
		if ok && fine && k.rising && i > 0 && x < *to[i-1] {
			r.fault(v.f, n, v.path, fmt.Sprintf("%s %s comes after %s, and this list runs from low to high", k.label(), n.Value, v.Content[i-1].Value), "swap the two")
			fine = false
		}
	}
	if fine {
		_, unit := k.kind.plain(0, "", v.f.src.inch)
		r.note(v.path, strings.Join(shown, ", "), unit, k.says, r.standard)
	}
}

// oneOf is an example of a kind's value, bare where it may be.
func oneOf(k *kind) string {
	example, _, _ := strings.Cut(k.example, " or ")
	if k.bare != nil {
		example, _, _ = strings.Cut(example, " ")
	}
	return example
}

// quantity reads one scalar and checks its range.
func (r *reader) quantity(v value, n *yaml.Node) (float64, bool) {
	k := v.key
	if n.Kind != yaml.ScalarNode || isNull(n) {
		r.fault(v.f, n, v.path, fmt.Sprintf("%s has an entry that is no single value", k.label()), exampleOf(k))
		return 0, false
	}
	x, bad := k.kind.parse(n.Value, v.f.src.inch)
	if bad != nil {
		r.fault(v.f, n, v.path, k.label()+" "+bad.Says, bad.Help)
		return 0, false
	}
	if says := k.outside(x, n.Value, v.f.src.inch); says != "" {
		r.fault(v.f, n, v.path, says, "")
		return 0, false
	}
	return x, true
}

// outside says how a value breaks its key's range, or "".
func (k *key) outside(x float64, typed string, inch bool) string {
	if !k.ranged {
		return ""
	}
	above := x >= k.low
	if k.open {
		above = x > k.low
	}
	if above && x <= k.high {
		return ""
	}
	low := k.kind.inUnits(k.low, inch)
	rule := "at least " + low
	if k.open {
		rule = "more than " + low
	}
	if !math.IsInf(k.high, 1) {
		rule += " and at most " + k.kind.inUnits(k.high, inch)
	}
	is := k.kind.inUnits(x, inch)
	if m, bad := readMeasure(typed, k.kind); bad == nil && m.unit != "" {
		is = strings.TrimSpace(typed)
	}
	return fmt.Sprintf("%s is %s, must be %s", k.label(), is, rule)
}

// inUnits writes a value of this kind with its unit, in the file's units.
func (k *kind) inUnits(x float64, inch bool) string {
	value, unit := k.plain(x, "", inch)
	if unit == "" {
		return value
	}
	return value + " " + unit
}

// plain is a value and its unit for the list of inputs: lengths and feeds in
// the file's units, anything else as typed, or in the kind's first unit.
func (k *kind) plain(x float64, typed string, inch bool) (value, unit string) {
	if len(k.units) == 0 {
		return number(x), ""
	}
	in := &k.units[0]
	if k.bare != nil {
		in = k.bare(inch)
	} else if m, bad := readMeasure(typed, k); bad == nil && m.unit != "" {
		if said := k.unit(foldUnit(m.unit)); said != nil {
			in = said
		}
	}
	factor, _ := in.factor.Float64()
	zero, _ := in.zero.Float64()
	if k == angle && in.name == "deg" {
		factor = math.Pi / 180
	}
	return number(x/factor - zero), in.name
}

// number writes up to six significant digits and no more decimals than those.
func number(x float64) string {
	if x == 0 || math.IsNaN(x) || math.IsInf(x, 0) {
		return strconv.FormatFloat(x+0, 'f', -1, 64)
	}
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'e', 5, 64), 64)
	return strconv.FormatFloat(rounded, 'f', -1, 64)
}

// show adds a single quantity to the list of inputs.
func (r *reader) show(v value, x float64) {
	value, unit := v.key.kind.plain(x, v.Value, v.f.src.inch)
	r.note(v.path, value, unit, v.key.says, r.standard)
}

func (r *reader) word(v value, to *string) {
	for _, w := range v.key.words {
		if fold(w) == fold(v.Value) {
			*to = w
			r.note(v.path, w, "", v.key.says, r.standard)
			return
		}
	}
	says := fmt.Sprintf("%s %q is not known", v.key.label(), v.Value)
	if near := nearest(v.Value, v.key.words); near != "" {
		v.fault(says, fmt.Sprintf("did you mean %q?", near)).Note = "known are " + listAnd(v.key.words)
		return
	}
	v.fault(says, "use "+listOr(v.key.words))
}

// Longest text that a key takes, in characters.
const maxText = 200

func (r *reader) text(v value, to *string) {
	s := strings.TrimSpace(v.Value)
	if n := len([]rune(s)); n == 0 || n > maxText {
		v.fault(fmt.Sprintf("%s has %d characters, must have 1 to %d", v.key.label(), n, maxText), "")
		return
	}
	*to = s
	r.note(v.path, s, "", v.key.says, r.standard)
}

func (r *reader) flag(v value, to *bool) {
	switch strings.ToLower(v.Value) {
	case "true", "yes":
		*to = true
	case "false", "no":
		*to = false
	default:
		v.fault(fmt.Sprintf("%s %q is neither true nor false", v.key.label(), v.Value), "write true or false")
		return
	}
	r.note(v.path, strconv.FormatBool(*to), "", v.key.says, r.standard)
}

func (r *reader) whole(v value, to *int) {
	if n, ok := v.integer(v.Node); ok {
		*to = n
		r.note(v.path, strconv.Itoa(n), "", v.key.says, r.standard)
	}
}

// integer reads a whole number within the key's range.
func (v value) integer(n *yaml.Node) (int, bool) {
	x, ok := v.f.r.quantity(v, n)
	if !ok {
		return 0, false
	}
	if x != math.Trunc(x) || math.Abs(x) > 1e9 {
		v.f.r.fault(v.f, n, v.path, fmt.Sprintf("%s is %s, must be a whole number", v.key.label(), n.Value), "")
		return 0, false
	}
	return int(x), true
}

func (r *reader) tolerance(v value, to *Insert) {
	t, bad := readTolerance(v.Value, v.f.src.inch)
	if bad != nil {
		v.refuse(bad)
		return
	}
	says := v.key.outside(t.SizeMM, v.Value, v.f.src.inch)
	switch {
	case says != "":
		v.fault(says, "")
		return
	case !(t.SizeMM+t.LowerMM > 0):
		v.fault(fmt.Sprintf("%s %q allows a size of nothing or less", v.key.label(), v.Value), "")
		return
	case t.Given && t.UpperMM-t.LowerMM > t.SizeMM/5:
		r.caution(v.path, fmt.Sprintf("%s %q has a tolerance of %s, more than a fifth of the size", v.key.label(), v.Value, length.inUnits(t.UpperMM-t.LowerMM, v.f.src.inch)), "")
	}
	to.DiameterMM, to.UpperMM, to.LowerMM, to.ToleranceGiven = t.SizeMM, t.UpperMM, t.LowerMM, t.Given
	shown, unit := length.plain(t.SizeMM, "", v.f.src.inch)
	if t.Given {
		upper, _ := length.plain(t.UpperMM, "", v.f.src.inch)
		lower, _ := length.plain(t.LowerMM, "", v.f.src.inch)
		shown += " " + signed(upper) + "/" + signed(lower)
	}
	r.note(v.path, shown, unit, v.key.says, false)
}

func signed(s string) string {
	if strings.HasPrefix(s, "-") {
		return s
	}
	return "+" + s
}
