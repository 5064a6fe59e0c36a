package plan

import (
	_ "embed"
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"reflect"
	"slices"
	"strings"
	"sync"
)

// The result's own source: the comments on its fields describe them in the
// schema, and a key without a comment is described by its name and unit.
//
//go:embed result.go
var resultSource string

// Schema returns the JSON schema (draft 2020-12) of result.json, made from
// [Result]. Keys only ever get added within one version, so that a reader must
// let unknown keys pass; the schema does.
func Schema() []byte {
	s := schemaMaker{says: comments(), defs: map[string]any{}}
	root := s.object(reflect.TypeFor[Result]())
	root["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	root["$id"] = "urn:secondop:result:1"
	root["title"] = "result.json of secondop"
	root["$defs"] = s.defs
	out, err := json.MarshalIndent(root, "", "  ")
	if err != nil {
		panic(err) // maps, strings and numbers
	}
	return append(out, '\n')
}

// comments reads what stands beside the types and fields of the result.
var comments = sync.OnceValue(func() map[string]string {
	file, err := parser.ParseFile(token.NewFileSet(), "result.go", resultSource, parser.ParseComments)
	if err != nil {
		panic("plan: " + err.Error())
	}
	says := map[string]string{}
	for _, d := range file.Decls {
		g, ok := d.(*ast.GenDecl)
		if !ok {
			continue
		}
		for _, spec := range g.Specs {
			t, ok := spec.(*ast.TypeSpec)
			if !ok {
				continue
			}
			says[t.Name.Name] = sentence(g.Doc, t.Name.Name)
			if fields, ok := t.Type.(*ast.StructType); ok {
				for _, f := range fields.Fields.List {
					for _, n := range f.Names {
						says[t.Name.Name+"."+n.Name] = sentence(f.Doc, "") + sentence(f.Comment, "")
					}
				}
			}
		}
	}
	return says
})

// sentence is a comment on one line, without the name that Go begins it with.
func sentence(c *ast.CommentGroup, name string) string {
	if c == nil {
		return ""
	}
	text := strings.TrimSuffix(strings.Join(strings.Fields(c.Text()), " "), ".")
	for _, verb := range []string{" is ", " are ", " describes ", " names ", " says "} {
		if after, ok := strings.CutPrefix(text, name+verb); name != "" && ok {
			return after
		}
	}
	return text
}

type schemaMaker struct {
	says map[string]string
	defs map[string]any
}

func (s *schemaMaker) object(t reflect.Type) map[string]any {
	properties, required := map[string]any{}, []string{}
	for i := range t.NumField() {
		f := t.Field(i)
		name, option, _ := strings.Cut(f.Tag.Get("json"), ",")
		if name == "" || name == "-" {
			continue
		}
		p := s.value(f.Type)
		p["description"] = described(name, s.says[t.Name()+"."+f.Name])
		if name == "verdict" {
			p["enum"] = []string{"go", "caution", "stop"}
		}
		properties[name] = p
		if option != "omitempty" {
			required = append(required, name)
		}
	}
	slices.Sort(required)
	return map[string]any{"type": "object", "description": s.says[t.Name()], "properties": properties, "required": required}
}

// value is the schema of a field's type. Structs become definitions.
func (s *schemaMaker) value(t reflect.Type) map[string]any {
	switch t.Kind() {
	case reflect.Pointer:
		return map[string]any{"anyOf": []any{s.value(t.Elem()), map[string]any{"type": "null"}}}
	case reflect.Struct:
		if _, ok := s.defs[t.Name()]; !ok {
			s.defs[t.Name()] = nil // the name is taken while its fields are made
			s.defs[t.Name()] = s.object(t)
		}
		return map[string]any{"$ref": "#/$defs/" + t.Name()}
	case reflect.Slice: // null when there are none
		return map[string]any{"type": []string{"array", "null"}, "items": s.value(t.Elem())}
	case reflect.Array:
		return map[string]any{"type": "array", "items": s.value(t.Elem()), "minItems": t.Len(), "maxItems": t.Len()}
	case reflect.Map:
		return map[string]any{"type": []string{"object", "null"}, "additionalProperties": s.value(t.Elem())}
	case reflect.String:
		return map[string]any{"type": "string"}
	case reflect.Bool:
		return map[string]any{"type": "boolean"}
	case reflect.Int, reflect.Int64:
		return map[string]any{"type": "integer"}
	case reflect.Float64:
		return map[string]any{"type": "number"}
	}
	panic("plan: the schema knows no " + t.String())
}

// Units as the keys of the result end in them.
var keyUnits = []struct{ suffix, unit string }{
	{"_mm3_s", "mm³/s"},
	{"_mm3", "mm³"},
	{"_mm2", "mm²"},
	{"_mm", "mm"},
	{"_um", "µm"},
	{"_MPa", "MPa"},
	{"_Nmm", "N·mm"},
	{"_Nm", "N·m"},
	{"_N", "N"},
	{"_C", "°C"},
	{"_deg", "degrees"},
	{"_s", "s"},
	{"_J", "J"},
	{"_W", "W"},
	{"_g", "g"},
}

// described is a field's words: its key, its unit, and what stands beside it.
func described(key, comment string) string {
	words := key
	for _, u := range keyUnits {
		if before, ok := strings.CutSuffix(key, u.suffix); ok {
			words = before + " in " + u.unit
			break
		}
	}
	words = strings.ReplaceAll(words, "_", " ")
	if comment != "" {
		words += ": " + comment
	}
	return words
}
