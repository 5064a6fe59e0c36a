package job

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"
)

func compiled(t *testing.T) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema()))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	require.NoError(t, c.AddResource("urn:secondop:job:1", doc))
	s, err := c.Compile("urn:secondop:job:1")
	require.NoError(t, err)
	return s
}

// asJSON is what an editor hands to its validator.
func asJSON(t *testing.T, src []byte) (any, bool) {
	t.Helper()
	var v any
	if yaml.Unmarshal(src, &v) != nil {
		return nil, false
	}
	b, err := json.Marshal(v)
	if err != nil { // .nan, or keys that are no strings
		return nil, false
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(b))
	require.NoError(t, err)
	return doc, true
}

func goodJobs(t *testing.T) map[string][]byte {
	t.Helper()
	var starter bytes.Buffer
	require.NoError(t, New(&starter))
	jobs := map[string][]byte{"new": starter.Bytes()}
	for _, name := range []string{"design", "base", "everything", "inch"} {
		src, err := os.ReadFile(filepath.Join("testdata", name+".yaml"))
		require.NoError(t, err)
		jobs[name] = src
	}
	return jobs
}

func TestTheSchemaTakesEveryGoodJob(t *testing.T) {
	s := compiled(t)
	for name, src := range goodJobs(t) {
		mustRead(t, name, src)
		doc, ok := asJSON(t, src)
		require.True(t, ok, name)
		require.NoError(t, s.Validate(doc), name)
	}
}

// Faults of a value's shape are seen by the schema too. Those between keys are
// the reader's alone: they are listed, so that the list can't grow unseen.
func TestTheSchemaRefusesWhatTheReaderRefuses(t *testing.T) {
	onlyTheReader := map[string]bool{}
	for _, name := range strings.Split(strings.TrimSpace(`
out of range in inches
double key
anchor and alias
tag
several lines
second colon
slot too short
corner radius too large
band upside down
grip more than height
grip eaten by lead-in and groove
seat height on the table
screw without torque
torque without screw
tool not defined
tool not defined, none near
heat and power
ends above its start
deeper than the part
wider than the tool
deeper than the flutes
bore deeper than the part
start over the insert
start under by a word
program without a tool
tolerance upside down
half a tolerance
tolerance in whose unit
tolerance to nothing
inner diameter
gap without bond
falling list
out of range, temperature
octal
hexadecimal
leading zero
division by zero
too long
line break in quotes
more than the whole tool
`), "\n") {
		onlyTheReader[name] = true
	}
	s := compiled(t)
	base, err := os.ReadFile("testdata/base.yaml")
	require.NoError(t, err)
	archive, err := txtar.ParseFile("testdata/faults.txtar")
	require.NoError(t, err)
	refused := 0
	for _, f := range archive.Files {
		edits, prints, _ := strings.Cut(string(f.Data), "\n=>\n")
		src, shop, err := edit(string(base), edits)
		require.NoError(t, err)
		doc, ok := asJSON(t, []byte(src))
		if !ok || shop != "" {
			continue
		}
		bad := strings.Contains(prints, ": error: ")
		invalid := s.Validate(doc) != nil
		switch {
		case invalid && !bad:
			t.Errorf("%s: the schema refuses what the reader takes", f.Name)
		case bad && !invalid && !onlyTheReader[f.Name]:
			t.Errorf("%s: the schema takes what the reader refuses", f.Name)
		case invalid && onlyTheReader[f.Name]:
			t.Errorf("%s: the schema refuses this, and the list says it can't", f.Name)
		case invalid:
			refused++
		}
	}
	require.Greater(t, refused, 35)
}

func TestEveryKeyHasADescriptionInTheSchema(t *testing.T) {
	var visit func(path string, v any) int
	visit = func(path string, v any) int {
		n := 0
		m, ok := v.(map[string]any)
		if !ok {
			return 0
		}
		if props, ok := m["properties"].(map[string]any); ok {
			for name, p := range props {
				if sub, ok := p.(map[string]any); ok && m["if"] == nil && m["additionalProperties"] == false {
					require.NotEmpty(t, sub["description"], path+"/"+name)
					n++
				}
			}
		}
		for name, sub := range m {
			n += visit(name, sub)
			if list, ok := sub.([]any); ok {
				for _, e := range list {
					n += visit(name, e)
				}
			}
		}
		return n
	}
	var doc any
	require.NoError(t, json.Unmarshal(Schema(), &doc))
	require.Greater(t, visit("", doc), 150)
}

// The examples that the project ships are read, and an editor agrees.
func TestTheExamplesReadAndFitTheSchema(t *testing.T) {
	files, err := filepath.Glob("../../../../examples/*/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	s := compiled(t)
	for _, file := range files {
		src, err := os.ReadFile(file)
		require.NoError(t, err)
		if filepath.Base(file) == "shop.yaml" {
			continue
		}
		mustRead(t, filepath.Base(file), src)
		doc, ok := asJSON(t, src)
		require.True(t, ok, file)
		require.NoError(t, s.Validate(doc), file)
	}
}
