package job

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"unicode"

	"gopkg.in/yaml.v3"
)

// object is a JSON object.
type object = map[string]any

// Schema returns the JSON schema (draft 2020-12) of the job file, made from the
// table of keys. An editor completes and checks by it. It knows the shape of
// every value, not what lies between keys: the reader is stricter.
func Schema() []byte {
	s := root.object()
	s["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	s["$id"] = "urn:secondop:job:1"
	s["title"] = "job file of secondop"
	s["required"] = []string{"secondop", "name", "units", "part", "jaws"} // the rest may stand in the shop file
	defs := object{}
	for _, k := range append(kinds, ratio) {
		defs[k.defName()] = k.schema()
	}
	s["$defs"] = defs
	out, err := json.MarshalIndent(s, "", "  ")
	if err != nil {
		panic(err) // maps, strings and numbers
	}
	return append(out, '\n')
}

func (k *kind) defName() string {
	if k == ratio {
		return "ratio"
	}
	return strings.ReplaceAll(k.name, " ", "_")
}

func (k *kind) schema() object {
	if k == ratio {
		return object{"type": "number", "description": "a bare number, such as " + k.example}
	}
	names := make([]string, len(k.units))
	patterns := []string{}
	for i, u := range k.units {
		names[i] = u.name
		patterns = append(patterns, unitPattern(foldUnit(u.name)))
		for _, a := range u.also {
			patterns = append(patterns, unitPattern(a))
		}
	}
	s := object{"type": "string", "description": k.article() + " with its unit (" + listOr(names) + "), such as " + k.example}
	unit := `(?:` + strings.Join(patterns, "|") + `)`
	if k.bare != nil {
		s["type"] = []string{"number", "string"}
		s["description"] = k.article() + ", bare in the file's units or with its own (" + listOr(names) + "), such as " + k.example
		unit += "?"
	}
	number := numberPattern
	if k == length || k == roughness {
		number = lengthPattern
	}
	s["pattern"] = `^\s*` + number + `\s*` + unit + `\s*$`
	return s
}

const (
	numberPattern = `[+\-−]?(?:\d+\.?\d*|\.\d+)`
	lengthPattern = `[+\-−]?(?:\d+[ \-]\d+/\d+|\d+/\d+|\d+\.?\d*|\.\d+)`
)

// unitPattern matches every spelling that folds to the same unit.
func unitPattern(folded string) string {
	var b strings.Builder
	for i, r := range folded {
		if i > 0 {
			b.WriteString(`[ .·*^()\-]*`)
		}
		switch {
		case r == 'u':
			b.WriteString("[uUµμ]")
		case r == '2':
			b.WriteString("[2²]")
		case r == '3':
			b.WriteString("[3³]")
		case unicode.IsLetter(r):
			b.WriteString("[" + string(r) + string(unicode.ToUpper(r)) + "]")
		case r == '"':
			b.WriteString(`["″”]`)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteString(`\)?`)
	switch folded {
	case "c", "f":
		return "°?" + b.String()
	case "deg":
		return "(?:°|" + b.String() + ")"
	}
	return b.String()
}

// object is the schema of a section with k's children.
func (k *key) object() object {
	properties, required := object{}, []string{}
	for _, c := range k.children {
		if c.shopOnly {
			continue
		}
		properties[c.name] = c.schema()
		if c.must {
			required = append(required, c.name)
		}
	}
	s := object{"type": "object", "properties": properties, "additionalProperties": false}
	if len(required) > 0 {
		s["required"] = required
	}
	if len(k.exactly) > 0 {
		s["oneOf"] = requireEach(k.exactly)
	}
	var rules []object
	for _, c := range k.children {
		if c.beside != nil {
			rules = append(rules, object{"if": object{"required": []string{c.name}}, "then": object{"anyOf": requireEach(c.beside)}})
		}
	}
	if rules != nil {
		s["allOf"] = rules
	}
	if more := sectionSchemas[k.path]; more != nil {
		for name, v := range more {
			s[name] = v
		}
	}
	return s
}

func requireEach(names []string) []object {
	each := make([]object, len(names))
	for i, n := range names {
		each[i] = object{"required": []string{n}}
	}
	return each
}

// schema is the schema of one key.
func (k *key) schema() object {
	s := k.bareSchema()
	if len(k.children) > 0 && k.form != aList && k.form != byName && k.form != aSection {
		s = object{"anyOf": []object{s, k.object()}}
	}
	s["description"] = k.says
	if k.standard != "" {
		var standard any
		if err := yaml.Unmarshal([]byte(k.standard), &standard); err != nil {
			panic(err)
		}
		s["default"] = standard
	}
	if k.otherwise != "" {
		s["description"] = k.says + " (left out: " + k.otherwise + ")"
	}
	return s
}

// bareSchema is the schema of a key's value alone.
func (k *key) bareSchema() object {
	switch k.form {
	case aWord:
		return object{"enum": k.words}
	case aText:
		return object{"type": []string{"string", "number"}, "minLength": 1, "maxLength": maxText}
	case aFlag:
		return object{"enum": []any{true, false, "yes", "no"}}
	case aWhole:
		return k.bounded(object{"type": "integer"}, false)
	case aTolerance:
		return object{"type": []string{"number", "string"}, "pattern": `^\s*\d`}
	case aSection:
		return k.object()
	case aList:
		return object{"type": "array", "minItems": 1, "items": k.object()}
	case byName:
		return object{"type": "object", "additionalProperties": k.object()}
	case aForm:
		s := formSchemas[k.path]
		if s == nil {
			panic("job: " + k.path + " has a form of its own and no schema")
		}
		return s()
	}
	one := k.bounded(object{"$ref": "#/$defs/" + k.kind.defName()}, k.kind.bare != nil)
	n := k.entries()
	if n == 0 {
		return one
	}
	many := object{"type": "array", "items": one, "minItems": n, "maxItems": n}
	if k.spread {
		return object{"anyOf": []object{one, many}}
	}
	return many
}

// entries is how many values the key's list has; 0: no list.
func (k *key) entries() int {
	f := &frame{Job: &Job{Table: Table{Grid: &Grid{}, Slots: &Slots{}}, Clamp: &Clamp{}, Cut: &Cut{}, Fit: &Fit{}}, draft: &draft{}, shape: &Shape{}, tool: &Tool{}, op: &Operation{}}
	f.Jaws.OwnPolymer, f.Jaws.PressNest = &Polymer{}, &PressNest{}
	return len(several(k.into(f)))
}

// bounded adds a key's range to the schema of a bare number. The unit of a bare
// length is not known here, so that only its sign is judged.
func (k *key) bounded(s object, signOnly bool) object {
	if !k.ranged {
		return s
	}
	switch {
	case signOnly && k.low != 0:
		return s
	case k.open:
		s["exclusiveMinimum"] = k.low
	case k.kind == count || k.kind == ratio || signOnly:
		s["minimum"] = k.low
	}
	if !signOnly && !math.IsInf(k.high, 1) && (k.kind == count || k.kind == ratio) {
		s["maximum"] = k.high
	}
	return s
}

func ref(k *kind) object { return object{"$ref": "#/$defs/" + k.defName()} }

// The schemas of values with a form of their own.
var formSchemas = map[string]func() object{
	"secondop":              func() object { return object{"const": 1} },
	"part.turn":             func() object { return object{"anyOf": []object{{"const": "auto"}, ref(angle)}} },
	"table.grid.thread":     threadSchema,
	"table.slots.thread":    threadSchema,
	"clamp.screw":           threadSchema,
	"table.slots.direction": func() object { return object{"enum": []string{"x", "y"}} },
	"table.grid.blocked": func() object {
		return object{"type": "array", "items": object{"type": "array", "items": object{"type": "integer", "minimum": 1}, "minItems": 2, "maxItems": 2}}
	},
	"part.outline.shapes[].points": func() object {
		corner := object{"type": "array", "items": ref(length), "minItems": 2, "maxItems": 2}
		at := object{"description": "the corner's X and Y", "type": "array", "items": ref(length), "minItems": 2, "maxItems": 2}
		bulge := object{"description": "tangent of a quarter of the arc's angle, positive counter-clockwise", "type": "number"}
		arc := object{"type": "object", "properties": object{"at": at, "bulge": bulge}, "required": []string{"at"}, "additionalProperties": false}
		return object{"type": "array", "items": object{"anyOf": []object{corner, arc}}, "minItems": 2, "maxItems": maxPoints}
	},
	"cut.operations[].width": func() object { return object{"anyOf": []object{ref(length), ref(percent)}} },
	"fit.by": func() object {
		return object{"type": "string", "pattern": `^(?:press|bond|` + strings.Trim(classPattern.String(), "^$") + `)$`}
	},
	"fit.bore.start": func() object {
		under := length.schema()["pattern"].(string)
		return object{"anyOf": []object{ref(length), {"type": "string", "pattern": strings.TrimSuffix(under, "$") + `under\s*$`}}}
	},
}

func threadSchema() object {
	return object{
		"type": "string", "examples": []string{"M6", "1/4-20", "#8-32"},
		"pattern": `^\s*(?:[mM] ?\d+(?:\.\d+)?(?: ?x ?\d+(?:\.\d+)?)?|(?:#|[nN][oO]\.? ?|[nN]umber )?[\d/ ]+ ?(?:in|")? ?- ?\d+(?: ?[uU][nN][cCfF])?)\s*$`,
	}
}

// What lies between the keys of some sections.
var sectionSchemas = map[string]object{
	"part.outline.shapes": {"allOf": shapeRules()},
	"fit.bore": {"anyOf": []object{
		{"required": []string{"depth"}},
		{"properties": object{"through": object{"enum": []any{true, "yes"}}}, "required": []string{"through"}},
	}},
	"fit.insert": {"anyOf": []object{{"required": []string{"diameter"}}, {"required": []string{"designation"}}}},
	"cut.operations": {"anyOf": []object{
		{"required": []string{"heat", "lasts"}},
		{"required": []string{"power", "lasts"}},
		{"required": []string{"kind", "tool", "speed", "feed", "to"}},
	}},
}

// shapeRules says for each kind of shape which keys it needs and which it
// doesn't take.
func shapeRules() []object {
	var rules []object
	for _, kind := range shapeKinds {
		is := []object{}
		for _, how := range []string{"add", "cut"} {
			is = append(is, object{"properties": object{how: object{"const": kind}}, "required": []string{how}})
		}
		required, never := []string{}, object{}
		for _, k := range partKeys() {
			name := k.path[strings.LastIndexByte(k.path, '.')+1:]
			switch {
			case k.only == nil:
			case !slices.Contains(k.only, kind):
				never[name] = false
			case k.needed:
				required = append(required, name)
			}
		}
		rules = append(rules, object{"if": object{"anyOf": is}, "then": object{"required": required, "properties": never}})
	}
	return rules
}
