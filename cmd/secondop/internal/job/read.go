package job

import (
	"fmt"
	"slices"
	"sort"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"
)

// Read reads a job file and, if there is one, the shop file beside it. The
// names are those the user gave; they appear in faults. With a fault that is an
// error the job is nil and all faults come back in file order; without one the
// cautions are in the job and the faults are nil.
//
// A section of the shop file (table, printer, clamp, machine) serves when the
// job doesn't have it; tools are joined by name; the job wins.
func Read(name string, file []byte, shopName string, shop []byte) (*Job, []Fault) {
	r := &reader{broken: map[string]bool{}, from: map[*yaml.Node]*source{}, skip: map[*yaml.Node]bool{}, job: &Job{File: name, places: map[string]place{}}}
	top := r.load(name, file)
	var shopTop *yaml.Node
	if shop != nil {
		shopTop = r.load(shopName, shop)
	}
	if top != nil && len(top.Content) == 0 {
		r.faults = append(r.faults, *r.from[top].fault(1, 1, 0, noKeys, newHelp))
		top = nil
	}
	if top == nil || shop != nil && shopTop == nil {
		inFileOrder(r.faults, name)
		return nil, r.faults
	}
	if shopTop != nil {
		r.overlay(top, shopTop)
	}
	f := &frame{Job: r.job, r: r, src: r.from[top], draft: &draft{}}
	r.job.Inch = f.src.inch
	r.job.places[""] = r.placeOf(f.src, top.Content[0])
	r.section(f, root, top, "")
	for _, later := range r.late {
		later()
	}
	r.settle(f)
	r.check(f)
	inFileOrder(r.faults, name)
	if AnyError(r.faults) {
		return nil, r.faults
	}
	r.job.Cautions = r.faults
	return r.job, nil
}

// A reader walks the tree of a job file along the table of keys.
type reader struct {
	job    *Job
	faults []Fault
	broken map[string]bool // paths with an error
	from   map[*yaml.Node]*source
	skip   map[*yaml.Node]bool // values with a fault already
	late   []func()
	// standard is set while a default is read.
	standard bool
}

// A value is a node with its key and its place in the table and in the file.
type value struct {
	*yaml.Node
	key  *key
	path string
	f    *frame
}

func (r *reader) load(name string, raw []byte) *yaml.Node {
	s, bad := decode(name, raw)
	if bad != nil {
		r.faults = append(r.faults, *bad)
		return nil
	}
	top, faults := parseTree(s)
	r.faults = append(r.faults, faults...)
	if top == nil || len(faults) > 0 {
		return nil
	}
	r.from[top] = s
	for i := 0; i+1 < len(top.Content); i += 2 {
		if u := top.Content[i+1].Value; top.Content[i].Value == "units" {
			s.inch = u == "inch" || u == "in"
		}
	}
	return top
}

func (r *reader) placeOf(s *source, n *yaml.Node) place {
	span := 1
	switch {
	case n.Kind == yaml.ScalarNode:
		span = s.span(n)
	case n.Kind == yaml.MappingNode && len(n.Content) > 0 && n.Style&yaml.FlowStyle == 0:
		span = s.span(n.Content[0])
	}
	return place{Pos{s.file, n.Line, n.Column}, span, s.shown(n.Line), s.shown(n.Line - 1)}
}

// fault reports an error at a node.
func (r *reader) fault(f *frame, n *yaml.Node, path, says, help string) *Fault {
	if r.standard {
		panic("job: the default of " + path + ": " + says)
	}
	p := r.placeOf(f.src, n)
	r.faults = append(r.faults, Fault{Pos: p.Pos, Error: true, Says: says, Path: path, Span: p.span, Help: help, line: p.line, above: p.above})
	r.broken[path] = true
	return &r.faults[len(r.faults)-1]
}

// faultAt reports an error about a path that has been read.
func (r *reader) faultAt(path, says, help string) *Fault {
	r.faults = append(r.faults, r.job.FaultAt(path, says, help))
	r.broken[path] = true
	return &r.faults[len(r.faults)-1]
}

func (r *reader) caution(path, says, help string) *Fault {
	r.faults = append(r.faults, r.job.CautionAt(path, says, help))
	return &r.faults[len(r.faults)-1]
}

func (v value) fault(says, help string) *Fault { return v.f.r.fault(v.f, v.Node, v.path, says, help) }

// refuse reports a quantity that could not be read.
func (v value) refuse(bad *QuantityError) {
	v.fault(v.key.label()+" "+bad.Says, bad.Help)
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

// section reads a mapping along the children of k.
func (r *reader) section(f *frame, k *key, n *yaml.Node, path string) {
	given := map[string]int{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		name := n.Content[i].Value
		if k.child(name) == nil || k.child(name).shopOnly && r.from[n.Content[i]] == nil {
			r.unknown(f, k, n, i, path)
			continue
		}
		given[name] = i
	}
	for _, c := range k.children {
		i, ok := given[c.name]
		if !ok {
			r.absent(f, c, join(path, c.name))
			continue
		}
		in := f
		if s := r.from[n.Content[i]]; s != nil {
			moved := *f
			moved.src, in = s, &moved
		}
		r.value(in, c, n.Content[i], n.Content[i+1], join(path, c.name))
	}
}

// unknown reports a key that the section doesn't have.
func (r *reader) unknown(f *frame, k *key, n *yaml.Node, i int, path string) {
	name, after := n.Content[i], n.Content[i+1]
	full := join(path, name.Value)
	if _, err := strconv.Atoi(name.Value); err == nil && isNull(after) && n.Style&yaml.FlowStyle != 0 && i > 0 {
		before := n.Content[i-1]
		r.skip[before] = true
		r.fault(f, before, join(path, n.Content[i-2].Value), fmt.Sprintf("\"%s,%s\" has a comma in a number, decimals take a point", before.Value, name.Value),
			fmt.Sprintf("write %s.%s", before.Value, name.Value))
		return
	}
	if key, val, ok := strings.Cut(name.Value, ":"); ok && isNull(after) && k.child(key) != nil {
		r.broken[join(path, key)] = true // not missing as well
		r.fault(f, name, full, fmt.Sprintf("a space is missing after the colon of %q", key), fmt.Sprintf("write %s: %s", key, val))
		return
	}
	names := make([]string, 0, len(k.children))
	for _, c := range k.children {
		if !c.shopOnly {
			names = append(names, c.name)
		}
	}
	says := fmt.Sprintf("unknown key %q", name.Value)
	if near := nearest(name.Value, names); near != "" {
		r.broken[join(path, near)] = true // not missing as well
		r.fault(f, name, full, says, fmt.Sprintf("did you mean %q?", near))
		return
	}
	bad := r.fault(f, name, full, says, "")
	bad.Note = "the keys here are " + listAnd(names)
	switch home := homeOf(name.Value); {
	case k.child(name.Value) != nil:
		bad.Note, bad.Help = "", fmt.Sprintf("%q belongs to the shop file", name.Value)
	case home != "":
		bad.Help = fmt.Sprintf("%q belongs to %s", name.Value, home)
	}
}

// homeOf is the one section that has a key of this name, or "".
func homeOf(name string) string {
	home := ""
	var visit func(k *key)
	visit = func(k *key) {
		for _, c := range k.children {
			if c.name == name {
				if home != "" {
					home = "several"
				} else {
					home = k.path
				}
			}
			visit(c)
		}
	}
	visit(root)
	if home == "several" || home == "" {
		return ""
	}
	return strings.NewReplacer("[]", "", "{}", "").Replace(home)
}

func isNull(n *yaml.Node) bool { return n.Kind == yaml.ScalarNode && n.Tag == "!!null" }

// absent fills in a key that the file leaves out.
func (r *reader) absent(f *frame, k *key, path string) {
	switch {
	case k.only != nil && !slices.Contains(k.only, f.draft.add+f.draft.cut):
	case k.beside != nil && !slices.ContainsFunc(k.beside, func(s string) bool { return r.given(join(parent(path), s)) }):
	case r.broken[path]: // misspelled
	case k.must:
		home := parent(path)
		where := home
		if home == "" {
			where = "the job"
		}
		help := fmt.Sprintf("add %s: %s", k.name, k.says)
		if k.sample != "" {
			help = fmt.Sprintf("add %q: %s", k.name+": "+k.shown(f.src.inch), k.says)
		}
		r.faultAt(home, fmt.Sprintf("%s has no %s", where, k.name), help)
		r.broken[path] = true
	case k.standard != "":
		var doc yaml.Node
		if err := yaml.Unmarshal([]byte(k.standard), &doc); err != nil {
			panic("job: the default of " + path + ": " + err.Error())
		}
		r.standard = true
		r.leaf(value{doc.Content[0], k, path, f})
		r.standard = false
	case k.otherwise != "":
		r.note(path, k.otherwise, "", k.says, true)
	case k.holdsKeys() && k.begin == nil && !k.shopOnly:
		r.section(f, k, &yaml.Node{Kind: yaml.MappingNode}, path)
	}
}

// value reads one key's value, whatever its form.
func (r *reader) value(f *frame, k *key, name, n *yaml.Node, path string) {
	v := value{n, k, path, f}
	if r.skip[n] {
		return
	}
	if isNull(n) {
		r.empty(f, name, v)
		return
	}
	if n.Kind == yaml.ScalarNode {
		r.job.places[path] = r.placeOf(f.src, n)
	} else {
		r.job.places[path] = r.placeOf(f.src, name)
	}
	switch {
	case k.form == aList:
		r.list(v)
	case k.form == byName:
		r.names(v)
	case k.holdsKeys() && n.Kind == yaml.MappingNode:
		if k.begin != nil {
			k.begin(f)
		}
		r.section(f, k, n, path)
	case k.form == aSection:
		names := make([]string, len(k.children))
		for i, c := range k.children {
			names[i] = c.name
		}
		v.fault(fmt.Sprintf("%s is a %s, must be a section of keys", k.label(), shapeOf(n)), "its keys are "+strings.Join(names, ", "))
	default:
		r.leaf(v)
		for _, c := range k.children {
			if !c.must && !slices.Contains(k.short, c.name) {
				r.absent(f, c, join(path, c.name))
			}
		}
	}
}

// empty reports a key without a value, and the comment that ate it.
func (r *reader) empty(f *frame, name *yaml.Node, v value) {
	bad := r.fault(f, name, v.path, v.key.label()+" is empty", "")
	line := f.src.line(name.Line)
	if m := hashValue.FindStringSubmatch(line); m != nil && strings.Contains(line, ": ") {
		bad.Says = fmt.Sprintf("%s is empty: %q is read as a comment", v.key.label(), m[1])
		bad.Help = quoteHash(m[1])
		return
	}
	switch {
	case v.key.sample != "":
		bad.Help = fmt.Sprintf("write something like %s: %s", v.key.name, v.key.sample)
	case v.key.kind != nil && v.key.kind.example != "":
		bad.Help = fmt.Sprintf("write something like %s: %s", v.key.name, v.key.kind.example)
	case !v.key.must:
		bad.Help = "leave the key out if it is not needed"
	}
}

func shapeOf(n *yaml.Node) string {
	switch n.Kind {
	case yaml.SequenceNode:
		return "list"
	case yaml.MappingNode:
		return "section"
	}
	return "single value"
}

// list reads a list of sections.
func (r *reader) list(v value) {
	if v.Kind != yaml.SequenceNode {
		v.fault(fmt.Sprintf("%s is a %s, must be a list", v.key.label(), shapeOf(v.Node)), "begin each entry with a hyphen")
		return
	}
	v.key.grow(v.f, len(v.Content))
	for i, n := range v.Content {
		path := fmt.Sprintf("%s[%d]", v.path, i+1)
		r.job.places[path] = r.placeOf(v.f.src, n)
		if n.Kind != yaml.MappingNode {
			r.fault(v.f, n, path, fmt.Sprintf("entry %d of %s is a %s, must be a section of keys", i+1, v.key.label(), shapeOf(n)), "write it as {key: value, key: value}")
			continue
		}
		in := *v.f
		in.draft = &draft{}
		v.key.each(&in, i, "")
		r.section(&in, v.key, n, path)
		if in.shape != nil {
			r.shape(&in, n, path)
		}
	}
	if len(v.Content) == 0 {
		v.fault(v.key.label()+" has no entries", "")
	}
}

// names reads a mapping whose keys are names of the user's own.
func (r *reader) names(v value) {
	if v.Kind != yaml.MappingNode {
		v.fault(fmt.Sprintf("%s is a %s, must be a section of named entries", v.key.label(), shapeOf(v.Node)), "write each as name: {key: value}")
		return
	}
	v.key.grow(v.f, len(v.Content)/2)
	for i := 0; i+1 < len(v.Content); i += 2 {
		name, n := v.Content[i], v.Content[i+1]
		in := *v.f
		if s := r.from[name]; s != nil {
			in.src = s
		}
		path := v.path + "." + name.Value
		r.job.places[path] = r.placeOf(in.src, name)
		switch {
		case name.Value == "" || isNull(name) || len([]rune(name.Value)) > maxName:
			r.fault(&in, name, v.path, fmt.Sprintf("a name here has 1 to %d characters", maxName), "")
			continue
		case n.Kind != yaml.MappingNode:
			r.fault(&in, name, path, fmt.Sprintf("%s is a %s, must be a section of keys", name.Value, shapeOf(n)), "write it as {key: value, key: value}")
			continue
		}
		v.key.each(&in, i/2, name.Value)
		r.section(&in, v.key, n, path)
	}
}

const maxName = 60

// note adds a line to the list of inputs as read.
func (r *reader) note(path, value, unit, says string, standard bool) {
	r.job.Read = append(r.job.Read, Input{Path: path, Value: value, Unit: unit, Says: says, Default: standard})
}

// unbroken says whether none of the paths has an error.
func (r *reader) unbroken(paths ...string) bool {
	for _, p := range paths {
		if r.broken[p] {
			return false
		}
	}
	return true
}

// given says whether the file gives a path.
func (r *reader) given(path string) bool {
	_, ok := r.job.places[path]
	return ok
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}
