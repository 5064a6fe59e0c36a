package job

import (
	"fmt"
	"strings"
)

func (r *reader) checkCut() {
	c := r.job.Cut
	if c == nil {
		return
	}
	for i := range c.Operations {
		if path := fmt.Sprintf("cut.operations[%d]", i+1); !r.broken[path] {
			r.operation(&c.Operations[i], path)
		}
	}
}

// operation checks one operation. One with heat or power given needs its time
// and nothing else; any other needs the tool and how it is driven.
func (r *reader) operation(op *Operation, path string) {
	r.knownTool(path+".tool", op.Tool)
	heat, power := r.given(path+".heat"), r.given(path+".power")
	if heat && power {
		r.faultAt(path+".power", "this operation has both heat and power", "keep heat, what enters the part, or power, what the cut takes")
		return
	}
	if heat || power {
		if !r.given(path + ".lasts") {
			r.faultAt(path, "this operation has no time", "add lasts: 90 s")
		}
		return
	}
	needed := []string{"kind", "tool", "speed", "feed", "depth", "width", "to"}
	switch op.Kind {
	case "drill", "tap":
		needed = []string{"kind", "tool", "speed", "feed", "to"}
	case "bore", "engrave", "slot":
		needed = []string{"kind", "tool", "speed", "feed", "depth", "to"}
	}
	var missing []string
	for _, k := range needed {
		if !r.given(path+"."+k) && !r.broken[path+"."+k] {
			missing = append(missing, k)
		}
	}
	if len(missing) > 0 {
		what := "this operation"
		if op.Kind != "" {
			what = "this " + op.Kind
		}
		r.faultAt(path, fmt.Sprintf("%s has no %s", what, strings.Join(missing, ", ")), r.examples(missing))
		return
	}
	r.operationSizes(op, path)
}

// examples shows what the missing keys look like.
func (r *reader) examples(names []string) string {
	shown := map[string]string{
		"kind": "pocket", "tool": "6 mm", "speed": "10000 rpm", "feed": "800", "depth": "1", "width": "1", "to": "4",
	}
	if r.job.Inch {
		shown["tool"], shown["feed"], shown["depth"], shown["width"], shown["to"] = "1/4", "30", "0.04", "0.04", "0.15"
	}
	if len(r.job.Tools) > 0 {
		shown["tool"] = r.job.Tools[0].Name
	}
	parts := make([]string, len(names))
	for i, n := range names {
		parts[i] = n + ": " + shown[n]
	}
	return "add something like " + strings.Join(parts, ", ")
}

func (r *reader) operationSizes(op *Operation, path string) {
	at := func(k string) string { return path + "." + k }
	height := r.job.Part.HeightMM
	if r.unbroken(at("from"), at("to")) && !(op.ToMM > op.FromMM) {
		bad := r.faultAt(at("to"), fmt.Sprintf("%s ends at %s, must end below its start (%s)", op.Name, r.length(op.ToMM), r.length(op.FromMM)), "depths count downward from the part's top before cutting")
		bad.Note = r.job.NoteAt("the start", at("from"))
	}
	if r.unbroken(at("to"), "part.height") && height > 0 && op.ToMM > height && op.Kind != "drill" && op.Kind != "contour" {
		bad := r.faultAt(at("to"), fmt.Sprintf("%s ends at %s, which is more than the part is thick (%s)", op.Name, r.length(op.ToMM), r.length(height)), "")
		bad.Note = r.job.NoteAt("the thickness", "part.height")
	}
	t := r.job.Tool(op.Tool)
	if t == nil || !(t.DiameterMM > 0) {
		return
	}
	if op.Kind == "slot" && !r.given(at("width")) {
		op.WidthMM = t.DiameterMM
	}
	if r.unbroken(at("width")) && op.WidthMM > t.DiameterMM*(1+1e-9) {
		bad := r.faultAt(at("width"), fmt.Sprintf("width is %s, must be at most the tool's diameter (%s)", r.length(op.WidthMM), r.length(t.DiameterMM)), "the radial width is what one path takes")
		bad.Note = r.job.NoteAt("the diameter", "tools."+op.Tool+".diameter")
	}
	if r.unbroken(at("depth")) && t.FluteLengthMM > 0 && op.DepthMM > t.FluteLengthMM {
		bad := r.faultAt(at("depth"), fmt.Sprintf("depth is %s a pass, must be at most the tool's flute length (%s)", r.length(op.DepthMM), r.length(t.FluteLengthMM)), "")
		bad.Note = r.job.NoteAt("the flute length", "tools."+op.Tool+".flute_length")
	}
}
