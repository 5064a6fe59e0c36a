package plan

import (
	"bytes"
	"encoding/json"
	"reflect"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/require"
)

func resultSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema()))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("urn:secondop:result:1", doc))
	s, err := c.Compile("urn:secondop:result:1")
	require.NoError(t, err)
	return s
}

// filled is a result with every field set, each slice with two entries.
func filled(v reflect.Value, name string) {
	switch v.Kind() {
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		filled(v.Elem(), name)
	case reflect.Struct:
		for i := range v.NumField() {
			filled(v.Field(i), v.Type().Field(i).Name)
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		filled(v.Index(0), name)
		filled(v.Index(1), name)
	case reflect.Array:
		for i := range v.Len() {
			filled(v.Index(i), name)
		}
	case reflect.Map:
		v.Set(reflect.MakeMap(v.Type()))
		e := reflect.New(v.Type().Elem()).Elem()
		filled(e, name)
		v.SetMapIndex(reflect.ValueOf("a"), e)
	case reflect.String:
		v.SetString("go")
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int:
		v.SetInt(2)
	case reflect.Float64:
		v.SetFloat(1.5)
	}
}

func asDocument(t *testing.T, v any) any {
	t.Helper()
	b, err := json.Marshal(v)
	require.NoError(t, err)
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(b))
	require.NoError(t, err)
	return doc
}

func TestTheResultsSchemaTakesFullAndEmptyResults(t *testing.T) {
	s := resultSchema(t)
	var full Result
	filled(reflect.ValueOf(&full).Elem(), "")
	require.NoError(t, s.Validate(asDocument(t, full)))
	require.NoError(t, s.Validate(asDocument(t, Result{Version: Version, Verdict: "go"})), "what is not judged is null")
}

// Every single value of a full result, replaced by one of another type or left
// out, is refused: the schema passes over no key.
func TestTheResultsSchemaRefusesEverySpoiledValue(t *testing.T) {
	s := resultSchema(t)
	var full Result
	filled(reflect.ValueOf(&full).Elem(), "")
	optional := optionalKeys(reflect.TypeFor[Result](), map[string]bool{})
	doc := asDocument(t, full)
	count := 0
	var visit func(v any, path string)
	visit = func(v any, path string) {
		switch v := v.(type) {
		case map[string]any:
			for k, was := range v {
				count++
				v[k] = []any{"wrong", 1}
				require.Error(t, s.Validate(doc), "%s.%s of another type", path, k)
				delete(v, k)
				if !optional[k] && !strings.HasSuffix(path, ".limits") {
					require.Error(t, s.Validate(doc), "%s without %s", path, k)
				}
				v[k] = was
				visit(was, path+"."+k)
			}
		case []any:
			for i, was := range v {
				v[i] = map[string]any{"wrong": 1}
				require.Error(t, s.Validate(doc), "%s[%d] of another type", path, i)
				v[i] = was
				visit(was, path)
			}
		}
	}
	visit(doc, "result")
	require.Greater(t, count, 150)
	doc.(map[string]any)["verdict"] = "maybe"
	require.Error(t, s.Validate(doc))
}

func optionalKeys(t reflect.Type, found map[string]bool) map[string]bool {
	switch t.Kind() {
	case reflect.Pointer, reflect.Slice, reflect.Map, reflect.Array:
		optionalKeys(t.Elem(), found)
	case reflect.Struct:
		for i := range t.NumField() {
			if name, option, _ := strings.Cut(t.Field(i).Tag.Get("json"), ","); option == "omitempty" {
				found[name] = true
			}
			optionalKeys(t.Field(i).Type, found)
		}
	}
	return found
}

func TestEveryKeyOfTheResultIsDescribedWithItsUnit(t *testing.T) {
	var schema struct {
		Properties map[string]struct{ Description string }
		Defs       map[string]struct {
			Description string
			Properties  map[string]struct{ Description string }
		} `json:"$defs"`
	}
	require.NoError(t, json.Unmarshal(Schema(), &schema))
	require.Contains(t, schema.Properties["verdict"].Description, "go, caution, stop")
	for name, d := range schema.Defs {
		require.NotEmpty(t, d.Description, name)
		for key, p := range d.Properties {
			require.NotEmpty(t, p.Description, name+"."+key)
			if strings.HasSuffix(key, "_mm") {
				require.Contains(t, p.Description, " in mm", name+"."+key)
			}
		}
	}
	require.Contains(t, schema.Defs["Heights"].Description, "table top")
}
