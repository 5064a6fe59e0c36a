package job

import "strings"

// A key is one row of the table: where a value stands in the file, what it
// measures, in which range, what it is if left out, and where it goes. The
// table drives the reader, the suggestions, the starter job, the schema and
// the list of inputs as read.
type key struct {
	path string // list entries are [], entries by name are {}
	form form
	kind *kind // of a quantity
	says string
	into func(*frame) any

	must      bool
	standard  string // the default, as it would be typed
	otherwise string // what happens without the key, when that is no plain value
	low, high float64
	ranged    bool
	open      bool // low itself is turned away
	words     []string
	beside    []string // of these siblings one must be given
	exactly   []string // of these children exactly one is given
	short     []string // children that the short form, a single value, fills
	spread    bool     // one value may stand for a whole list
	only      []string // kinds of shape that have the key
	needed    bool     // for all kinds in only
	shopOnly  bool
	sample    string // for the starter job and the schema

	rising bool // a list's values must not fall

	begin func(f *frame)                     // of a section that is nil when left out
	grow  func(f *frame, n int)              // of a list
	each  func(f *frame, i int, name string) // of a list, before each entry
	read  func(f *frame, v value)            // of a form of its own

	name     string
	children []*key
}

// form is the shape of a value.
type form int

const (
	aQuantity form = iota
	aWord
	aText
	aFlag
	aWhole
	aTolerance
	aSection
	aList  // of sections
	byName // sections under names of the user's own
	aForm  // read by a function of its own
)

// A frame is where the values of the section being read go.
type frame struct {
	*Job
	r     *reader
	src   *source
	shape *Shape
	tool  *Tool
	op    *Operation
	draft *draft // of the whole job; add and cut of the shape being read
}

// A draft holds what is read before it is known where it belongs.
type draft struct {
	dxf, svg, stl DrawingFile
	up            string
	from, to      float64
	layer, unit   string
	gap           float64
	add, cut      string
	over, under   float64
	holes         int
	share         [3]float64
	sharedFrom    string
	sharedDate    string
	calibrated    bool
}

type option func(*key)

func must(k *key)                      { k.must = true }
func spread(k *key)                    { k.spread = true }
func rising(k *key)                    { k.rising = true }
func shopOnly(k *key)                  { k.shopOnly = true }
func standard(typed string) option     { return func(k *key) { k.standard = typed } }
func otherwise(happens string) option  { return func(k *key) { k.otherwise = happens } }
func beside(siblings ...string) option { return func(k *key) { k.beside = siblings } }
func exactlyOne(of ...string) option   { return func(k *key) { k.exactly = of } }
func short(fills ...string) option     { return func(k *key) { k.short = fills } }
func sample(typed string) option       { return func(k *key) { k.sample = typed } }
func words(choices ...string) option   { return func(k *key) { k.words = choices } }
func within(low, high float64) option {
	return func(k *key) { k.low, k.high, k.ranged = low, high, true }
}
func needs(kinds ...string) option   { return func(k *key) { k.only, k.needed = kinds, true } }
func belongs(kinds ...string) option { return func(k *key) { k.only = kinds } }
func sized(low, high float64) option {
	return func(k *key) { k.low, k.high, k.ranged, k.open = low, high, true, true }
}

func row(k key, options []option) *key {
	for _, o := range options {
		o(&k)
	}
	return &k
}

func quantity(path string, kind *kind, into func(*frame) any, says string, options ...option) *key {
	return row(key{path: path, form: aQuantity, kind: kind, into: into, says: says}, options)
}

func word(path string, into func(*frame) any, says string, options ...option) *key {
	return row(key{path: path, form: aWord, into: into, says: says}, options)
}

func text(path string, into func(*frame) any, says string, options ...option) *key {
	return row(key{path: path, form: aText, into: into, says: says}, options)
}

func yesNo(path string, into func(*frame) any, says string, options ...option) *key {
	return row(key{path: path, form: aFlag, into: into, says: says}, options)
}

func whole(path string, into func(*frame) any, says string, options ...option) *key {
	return row(key{path: path, form: aWhole, kind: count, into: into, says: says}, options)
}

func section(path string, open func(*frame), says string, options ...option) *key {
	return row(key{path: path, form: aSection, says: says, begin: open}, options)
}

func list(path string, grow func(*frame, int), each func(*frame, int, string), says string, options ...option) *key {
	return row(key{path: path, form: aList, says: says, grow: grow, each: each}, options)
}

func named(path string, grow func(*frame, int), each func(*frame, int, string), says string, options ...option) *key {
	return row(key{path: path, form: byName, says: says, grow: grow, each: each}, options)
}

func tolerance(path string, into func(*frame) any, says string, options ...option) *key {
	return row(key{path: path, form: aTolerance, kind: length, into: into, says: says}, options)
}

func custom(path string, read func(*frame, value), says string, options ...option) *key {
	return row(key{path: path, form: aForm, read: read, says: says}, options)
}

// tree hangs the rows of the table into one another by their paths. The root
// has no path; a row's children keep the order of the table.
func tree(rows []*key) *key {
	root := &key{form: aSection, says: "the job"}
	byPath := map[string]*key{"": root}
	for _, k := range rows {
		above, name := "", k.path
		if i := strings.LastIndexByte(k.path, '.'); i >= 0 {
			above, name = k.path[:i], k.path[i+1:]
		}
		above = strings.TrimSuffix(strings.TrimSuffix(above, "[]"), "{}")
		parent := byPath[above]
		if parent == nil {
			panic("job: the table has no row for " + above + " above " + k.path)
		}
		if byPath[k.path] != nil {
			panic("job: the table has two rows for " + k.path)
		}
		k.name = name
		parent.children = append(parent.children, k)
		byPath[k.path] = k
	}
	return root
}

func (k *key) child(name string) *key {
	for _, c := range k.children {
		if c.name == name {
			return c
		}
	}
	return nil
}

// holdsKeys says whether the value may be a section: by its form, or because
// keys hang below it beside a short form.
func (k *key) holdsKeys() bool {
	return k.form == aSection || len(k.children) > 0 && k.form != aList && k.form != byName
}

// shown is the sample; a bare length gets its unit where the file is in inches.
func (k *key) shown(inch bool) string {
	if inch && k.kind != nil && k.kind.bare != nil && len(k.kind.units) > 0 && strings.Trim(k.sample, "0123456789.") == "" {
		return k.sample + " " + k.kind.units[0].name
	}
	return k.sample
}

// label is the key in words: "feed", "chip groove".
func (k *key) label() string { return strings.ReplaceAll(k.name, "_", " ") }
