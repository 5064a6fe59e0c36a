package job

import (
	"fmt"
	"regexp"
	"strings"

	"gopkg.in/yaml.v3"
)

// Values with a form of their own, and the targets of some that need room made.

func readVersion(f *frame, v value) {
	if v.Kind != yaml.ScalarNode || v.Value != "1" {
		v.fault(fmt.Sprintf("layout %q of the job file is not known", v.Value), "this version of the program reads secondop: 1")
		return
	}
	f.r.note(v.path, "1", "", v.key.says, false)
}

// readTurn reads an angle, or the word auto.
func readTurn(f *frame, v value) {
	if v.Kind == yaml.ScalarNode && fold(v.Value) == "auto" {
		f.Part.TurnAuto = true
		f.r.note(v.path, "auto", "", v.key.says, f.r.standard)
		return
	}
	f.r.as(v, quantity("turn", angle, func(f *frame) any { return &f.Part.TurnRad }, v.key.says, within(deg(-360), deg(360)), sample("0 deg")))
}

// as reads a value by a row that is not in the table.
func (r *reader) as(v value, k *key) {
	k.name = v.key.name
	r.leaf(value{v.Node, k, v.path, v.f})
}

// readWidth reads a length, or a percentage of the tool's diameter.
func readWidth(f *frame, v value) {
	if v.Kind == yaml.ScalarNode && strings.HasSuffix(strings.TrimSpace(v.Value), "%") {
		share := new(float64)
		before := f.r.broken[v.path]
		f.r.as(v, quantity("width", percent, func(*frame) any { return share }, v.key.says, sized(0, 1)))
		op, r := f.op, f.r
		if r.broken[v.path] == before {
			r.late = append(r.late, func() {
				if t := r.job.Tool(op.Tool); t != nil {
					op.WidthMM = *share * t.DiameterMM
				}
			})
		}
		return
	}
	f.r.as(v, quantity("width", length, func(f *frame) any { return &f.op.WidthMM }, v.key.says, sized(0, 200)))
}

// Tool returns the tool of that name, or nil.
func (j *Job) Tool(name string) *Tool {
	for i := range j.Tools {
		if j.Tools[i].Name == name {
			return &j.Tools[i]
		}
	}
	return nil
}

// readStart reads a diameter, or how far it lies under the insert's.
func readStart(f *frame, v value) {
	k := quantity("start", length, func(f *frame) any { return &f.Fit.Bore.StartMM }, v.key.says, sized(0, 300))
	under, ok := strings.CutSuffix(strings.TrimSpace(v.Value), "under")
	if !ok || v.Kind != yaml.ScalarNode {
		f.r.as(v, k)
		return
	}
	left := *v.Node
	left.Value = strings.TrimSpace(under)
	k.into = func(f *frame) any { return &f.draft.under }
	v.Node = &left
	f.r.as(v, k)
	fit, d, r := f.Fit, f.draft, f.r
	r.late = append(r.late, func() {
		if r.unbroken(v.path, "fit.insert.diameter") && fit.Insert.DiameterMM > 0 {
			fit.Bore.StartMM = fit.Insert.DiameterMM - d.under
		}
	})
}

// A thread as people write it: M6, 1/4-20, #8-32, no 8-32, with or without UNC
// or UNF behind, or an M thread with its pitch.
var (
	metricThread = regexp.MustCompile(`(?i)^m ?(\d+(?:\.\d+)?)(?: ?x ?(\d+(?:\.\d+)?))?$`)
	inchThread   = regexp.MustCompile(`(?i)^(\d+/\d+|\d+ \d+/\d+|\d+) ?(?:in|")? ?- ?(\d+)(?: ?un[cf])?$`)
	numberThread = regexp.MustCompile(`(?i)^(?:#|no\.? ?|number )(\d+) ?- ?(\d+)(?: ?un[cf])?$`)
)

// readThread brings a thread to one spelling: M6, 1/4-20, #8-32.
func readThread(to func(*frame) *string) func(*frame, value) {
	return func(f *frame, v value) {
		s := tidy(v.Value)
		switch m := metricThread.FindStringSubmatch(s); {
		case v.Kind != yaml.ScalarNode:
			s = ""
		case m != nil:
			s = "M" + m[1]
			if m[2] != "" {
				s += "x" + m[2]
			}
		case numberThread.MatchString(s):
			m := numberThread.FindStringSubmatch(s)
			s = "#" + m[1] + "-" + m[2]
		case inchThread.MatchString(s):
			m := inchThread.FindStringSubmatch(s)
			s = m[1] + "-" + m[2]
		default:
			s = ""
		}
		if s == "" {
			v.fault(fmt.Sprintf("%s %q is not a thread", v.key.label(), v.Value), `write something like M6, 1/4-20, or "#8-32" in quotes`)
			return
		}
		*to(f) = s
		f.r.note(v.path, s, "", v.key.says, false)
	}
}

func readDirection(f *frame, v value) {
	axis := ""
	f.r.as(v, word("direction", func(*frame) any { return &axis }, v.key.says, words("x", "y")))
	f.Table.Slots.AlongY = axis == "y"
}

// Most corners of one polyline.
const maxPoints = 5000

// readPoints reads a polyline's corners.
func readPoints(f *frame, v value) {
	if v.Kind != yaml.SequenceNode || len(v.Content) < 2 || len(v.Content) > maxPoints {
		n := ""
		if v.Kind == yaml.SequenceNode {
			n = fmt.Sprintf(" of %d", len(v.Content))
		}
		v.fault(fmt.Sprintf("points is a %s%s, must be a list of 2 to %d corners", shapeOf(v.Node), n, maxPoints), "write it as points: [[0, 0], [10, 0], [10, 5]]")
		return
	}
	f.shape.Points = make([]Vertex, len(v.Content))
	for i, n := range v.Content {
		path := fmt.Sprintf("%s[%d]", v.path, i+1)
		f.r.job.places[path] = f.r.placeOf(f.src, n)
		f.r.corner(value{n, v.key, path, f}, &f.shape.Points[i])
	}
	f.r.note(v.path, fmt.Sprintf("%d corners", len(v.Content)), "", v.key.says, false)
}

func (r *reader) corner(v value, to *Vertex) {
	at := quantity("at", length, func(*frame) any { return []*float64{&to.XMM, &to.YMM} }, "the corner's X and Y", within(-1000, 1000), must, sample("[12, 12]"))
	if v.Kind != yaml.MappingNode {
		at.name = "corner"
		r.quietly(func() { r.leaf(value{v.Node, at, v.path, v.f}) })
		return
	}
	row := tree([]*key{at, quantity("bulge", ratio, func(*frame) any { return &to.Bulge }, "tangent of a quarter of the arc's angle", within(-1000, 1000))})
	r.quietly(func() { r.section(v.f, row, v.Node, v.path) })
}

// quietly reads without adding to the list of inputs.
func (r *reader) quietly(read func()) {
	kept := len(r.job.Read)
	read()
	r.job.Read = r.job.Read[:kept]
}

// readBlocked reads a list of holes.
func readBlocked(f *frame, v value) {
	if v.Kind != yaml.SequenceNode {
		v.fault(fmt.Sprintf("blocked is a %s, must be a list of holes", shapeOf(v.Node)), "write it as blocked: [[1, 1], [9, 7]], column before row")
		return
	}
	k := whole("blocked", nil, v.key.says, within(1, 500))
	k.name = v.key.name
	shown := []string{}
	for i, n := range v.Content {
		path := fmt.Sprintf("%s[%d]", v.path, i+1)
		f.r.job.places[path] = f.r.placeOf(f.src, n)
		hole := value{n, k, path, f}
		if n.Kind != yaml.SequenceNode || len(n.Content) != 2 {
			hole.fault(fmt.Sprintf("a blocked hole is a %s, must be a list of column and row", shapeOf(n)), "write it as [column, row]")
			continue
		}
		column, fine := hole.integer(n.Content[0])
		row, ok := hole.integer(n.Content[1])
		if fine && ok {
			f.Table.Grid.Blocked = append(f.Table.Grid.Blocked, [2]int{column, row})
			shown = append(shown, fmt.Sprintf("[%d, %d]", column, row))
		}
	}
	f.r.note(v.path, strings.Join(shown, ", "), "", v.key.says, false)
}

var classPattern = regexp.MustCompile(`^(?:[A-Za-z]{1,2}\d{1,2}(?: ?/ ?[A-Za-z]{1,2}\d{1,2})?|(?:FN|LN|LT|RC|LC)[1-9]\d?)$`)

// readBy reads press, bond, or a class of fit.
func readBy(f *frame, v value) {
	typed := strings.TrimSpace(v.Value)
	switch {
	case v.Kind != yaml.ScalarNode:
		v.fault(fmt.Sprintf("by is a %s, must be a single value", shapeOf(v.Node)), "write press, bond, or a class such as H7/p6 or N9")
		return
	case fold(typed) == "press" || fold(typed) == "bond":
		f.Fit.By = fold(typed)
	case classPattern.MatchString(typed):
		f.Fit.By, f.Fit.Class = "class", strings.ReplaceAll(typed, " ", "")
		f.r.note(v.path, f.Fit.Class, "", v.key.says, false)
		return
	default:
		help := "write press, bond, or a class such as H7/p6 or N9"
		if near := nearest(typed, []string{"press", "bond"}); near != "" {
			help = fmt.Sprintf("did you mean %q?", near)
		}
		v.fault(fmt.Sprintf("by %q is neither a way to hold the insert nor a class of fit", v.Value), help)
		return
	}
	f.r.note(v.path, f.Fit.By, "", v.key.says, f.r.standard)
}

func pitchOf(f *frame) []*float64 {
	return []*float64{&f.Table.Grid.PitchXMM, &f.Table.Grid.PitchYMM}
}

func bandOf(b *[3]float64) []*float64 { return []*float64{&b[0], &b[1], &b[2]} }

func shareOf(f *frame) []*float64 {
	f.Cut.Share = &Band{}
	return []*float64{&f.Cut.Share.Low, &f.Cut.Share.Likely, &f.Cut.Share.High}
}

func gapOf(f *frame) []*float64 {
	f.Fit.GapMM = &Band{}
	return []*float64{&f.Fit.GapMM.Low, &f.Fit.GapMM.High}
}

func optional(to **float64) *float64 {
	*to = new(float64)
	return *to
}

func optionalPair(to **[2]float64) *[2]float64 {
	*to = new([2]float64)
	return *to
}
