package job

import (
	"encoding/binary"
	"fmt"
	"os"
	"reflect"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"
)

// scalars lists every scalar of a file, keys and values.
func scalars(n *yaml.Node, isKey bool, visit func(n *yaml.Node, isKey bool)) {
	switch n.Kind {
	case yaml.ScalarNode:
		visit(n, isKey)
	case yaml.MappingNode:
		for i := range n.Content {
			scalars(n.Content[i], i%2 == 0, visit)
		}
	default:
		for _, c := range n.Content {
			scalars(c, false, visit)
		}
	}
}

// No scalar is passed over: spoiling any one of them, key or value, gives an
// error at its very line and column, or, for the few free texts, another job.
func TestEveryScalarIsUsedOrReported(t *testing.T) {
	for _, file := range []string{"everything.yaml", "base.yaml", "design.yaml", "inch.yaml"} {
		src, err := os.ReadFile("testdata/" + file)
		require.NoError(t, err)
		good := mustRead(t, file, src)
		top, faults := parseTree(&source{file, strings.Split(strings.TrimSuffix(string(src), "\n"), "\n"), false})
		require.Empty(t, faults)
		s, bad := decode(file, src)
		require.Nil(t, bad)
		count, free := 0, 0
		scalars(top, false, func(n *yaml.Node, isKey bool) {
			count++
			lines := append([]string{}, s.lines...)
			line := []rune(lines[n.Line-1])
			span := s.span(n)
			spoiled := `"zz 9 zz"`
			lines[n.Line-1] = string(line[:n.Column-1]) + spoiled + string(line[n.Column-1+span:])
			j, faults := Read(file, []byte(strings.Join(lines, "\n")), "", nil)
			if j != nil {
				free++
				require.False(t, reflect.DeepEqual(good.Read, j.Read), "%s:%d:%d: %q counts for nothing", file, n.Line, n.Column, n.Value)
				return
			}
			for _, f := range faults {
				if f.Error && f.Pos.Line == n.Line && f.Pos.Column == n.Column {
					return
				}
			}
			// A tool's name, spoiled where it is defined, is missed where it is used.
			if isKey && strings.Contains(printed(t, faults), "is not under tools") {
				return
			}
			t.Errorf("%s:%d:%d: %q spoiled, and the faults are elsewhere:\n%s", file, n.Line, n.Column, n.Value, printed(t, faults))
		})
		t.Logf("%s: %d scalars, %d of them free texts", file, count, free)
		require.Less(t, free, 14)
	}
}

// Leaving out any line of a job gives a job or a fault, never a panic; with a
// fault the place is inside the file.
func TestAnyLineMayBeMissing(t *testing.T) {
	for _, file := range []string{"everything.yaml", "base.yaml", "design.yaml"} {
		src, err := os.ReadFile("testdata/" + file)
		require.NoError(t, err)
		lines := strings.Split(string(src), "\n")
		for i := range lines {
			without := strings.Join(append(append([]string{}, lines[:i]...), lines[i+1:]...), "\n")
			checkRead(t, []byte(without), nil)
			checkRead(t, []byte(strings.Join(lines[:i], "\n")), nil)
		}
	}
}

// checkRead holds what must hold for any bytes.
func checkRead(t *testing.T, src, shop []byte) {
	t.Helper()
	j, faults := Read("job.yaml", src, "shop.yaml", shop)
	if (j == nil) != AnyError(faults) {
		t.Fatalf("Read(%q) = job %v with faults %v", src, j != nil, faults)
	}
	if j != nil && len(faults) > 0 {
		t.Fatalf("Read(%q) gives a job and faults", src)
	}
	last := Pos{}
	for _, f := range faults {
		if f.Pos.Line < 1 || f.Pos.Column < 1 || f.Says == "" {
			t.Fatalf("Read(%q): fault %+v has no place or no words", src, f)
		}
		if f.Pos.File == last.File && (f.Pos.Line < last.Line || f.Pos.Line == last.Line && f.Pos.Column < last.Column) {
			t.Fatalf("Read(%q): fault %v comes after %v", src, f.Pos, last)
		}
		last = f.Pos
		out := printed(t, []Fault{f})
		verb := strings.Contains(out, "%!") && !strings.Contains(string(src)+string(shop), "%!")
		if verb || strings.ContainsAny(out, "\x00\x1b") {
			t.Fatalf("Read(%q) prints %q", src, out)
		}
	}
	if j != nil {
		requireFinite(t, reflect.ValueOf(j).Elem(), "job")
	}
}

func requireFinite(t *testing.T, v reflect.Value, path string) {
	t.Helper()
	switch v.Kind() {
	case reflect.Float64:
		if f := v.Float(); f != f || f > 1e12 || f < -1e12 {
			t.Fatalf("%s is %v", path, f)
		}
	case reflect.Pointer:
		if !v.IsNil() {
			requireFinite(t, v.Elem(), path)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			requireFinite(t, v.Field(i), path+"."+v.Type().Field(i).Name)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			requireFinite(t, v.Index(i), path)
		}
	}
}

// One job, whatever wrote the file.
func TestEveryEncodingReadsAlike(t *testing.T) {
	src, err := os.ReadFile("testdata/design.yaml")
	require.NoError(t, err)
	want := mustRead(t, "x", src)
	crlf := strings.ReplaceAll(string(src), "\n", "\r\n")
	wide := func(order binary.AppendByteOrder, mark bool, s string) []byte {
		var b []byte
		if mark {
			b = order.AppendUint16(b, 0xFEFF)
		}
		for _, u := range utf16.Encode([]rune(s)) {
			b = order.AppendUint16(b, u)
		}
		return b
	}
	for name, raw := range map[string][]byte{
		"CRLF":                     []byte(crlf),
		"CR":                       []byte(strings.ReplaceAll(string(src), "\n", "\r")),
		"no newline at the end":    []byte(strings.TrimSuffix(string(src), "\n")),
		"byte order mark":          append([]byte{0xEF, 0xBB, 0xBF}, src...),
		"byte order mark and CRLF": append([]byte{0xEF, 0xBB, 0xBF}, crlf...),
		"UTF-16, little end first": wide(binary.LittleEndian, true, crlf),
		"UTF-16, big end first":    wide(binary.BigEndian, true, string(src)),
		"UTF-16 without a mark":    wide(binary.LittleEndian, false, string(src)),
	} {
		require.Equal(t, want, mustRead(t, "x", raw), name)
	}
}

// Columns count characters, whatever their bytes, in any encoding.
func TestColumnsCountCharacters(t *testing.T) {
	base, err := os.ReadFile("testdata/base.yaml")
	require.NoError(t, err)
	src := strings.Replace(string(base), "name: lid of a sensor box", "name: Gehäuse für Prüfgerät (µ)", 1)
	src = strings.Replace(src, "{kind: dowel, diameter: 8 +0.015/+0.006, height: 12}", "{material: Stahl — gehärtet, kind: dübel, diameter: 8, height: 12}", 1)
	for _, raw := range []string{src, "\xEF\xBB\xBF" + strings.ReplaceAll(src, "\n", "\r\n")} {
		_, faults := Read("lid.yaml", []byte(raw), "", nil)
		require.Len(t, faults, 1)
		require.Equal(t, Pos{"lid.yaml", 23, 46}, faults[0].Pos)
		require.Contains(t, printed(t, faults), "\n      | "+strings.Repeat(" ", 45)+"^^^^^ fit.insert.kind\n")
	}
}

func TestLimitsOnAFileAreSaid(t *testing.T) {
	deep := "a: " + strings.Repeat("[", 40) + strings.Repeat("]", 40)
	for name, c := range map[string]struct{ src, says string }{
		"bytes":            {strings.Repeat("#", maxFileBytes+1), "the file has 1048577 bytes, at most 1048576 are read"},
		"lines":            {strings.Repeat("#\n", maxLines+1), "the file has 20001 lines, at most 20000 are read"},
		"depth":            {deep, "sections are nested more than 16 deep"},
		"depth of the lib": {"a: " + strings.Repeat("[", 20_000), "not in YAML's grammar"},
		"values":           {"a: [" + strings.Repeat("1,", maxValues) + "1]", "the file holds more than 100000 values"},
		"empty":            {"", "the file holds no keys"},
		"empty braces":     {"{}", "the file holds no keys"},
		"comment alone":    {"# nothing\n", "the file holds no keys"},
		"a list":           {"- a\n", "not a list of keys"},
		"a word":           {"secondop\n", "not a list of keys"},
		"half of UTF-16":   {"\xff\xfea\x00b", "ends in the middle of a character of UTF-16"},
		"control":          {"name: a\x07b\n", "an invisible character (U+0007) stands here"},
		"line separator":   {"name: a\u2028b\n", "an invisible character (U+2028) stands here"},
		"Latin-1":          {"name: Geh\xe4use\n", "this character (byte E4) is not in UTF-8"},
		"NUL":              {"name: ab\x00\n", "an invisible character (U+0000) stands here"},
	} {
		j, faults := Read("x.yaml", []byte(c.src), "", nil)
		require.Nil(t, j, name)
		require.Contains(t, faults[0].Says, c.says, name)
		checkRead(t, []byte(c.src), nil)
	}
	_, faults := Read("x.yaml", []byte("name: Geh\xe4use\n"), "", nil)
	require.Equal(t, Pos{"x.yaml", 1, 10}, faults[0].Pos)
}

func TestALongLineIsShownRoundItsFault(t *testing.T) {
	base, err := os.ReadFile("testdata/base.yaml")
	require.NoError(t, err)
	var shapes []string
	for i := range 40 {
		shapes = append(shapes, fmt.Sprintf("{add: circle, diameter: %d}", i+1))
	}
	src := strings.Replace(string(base), "    shapes:\n", "    shapes: ["+strings.Join(shapes, ", ")+", {add: circle, diameter: -1}]\n    other:\n", 1)
	_, faults := Read("x.yaml", []byte(src), "", nil)
	out := printed(t, faults[:1])
	for _, line := range strings.Split(out, "\n") {
		require.LessOrEqual(t, len([]rune(line)), 180, line)
	}
	require.Contains(t, out, "diameter: -1}]")
}

func FuzzJob(f *testing.F) {
	for _, name := range []string{"design", "base", "everything", "inch"} {
		src, err := os.ReadFile("testdata/" + name + ".yaml")
		require.NoError(f, err)
		f.Add(src, []byte("units: mm\n"))
	}
	f.Add([]byte("a: *b\n"), []byte("units: in\ntools: {a: {diameter: 1, flutes: 2}}\nprinter: {outside: 0.1}\n"))
	f.Add([]byte("jaws: {grip: 12,5}\n"), []byte("calibration: {share: [1 %, 2 %, 3 %], from: x}\nunits: mm\n"))
	f.Add([]byte("{}"), []byte("{}"))
	f.Add([]byte("thread: #8-32\n---\n"), []byte{})
	f.Fuzz(func(t *testing.T, src, shop []byte) {
		if len(shop) == 0 {
			shop = nil
		}
		checkRead(t, src, shop)
	})
}
