package job

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "rewrite the goldens")

func golden(t *testing.T, path, got string) {
	t.Helper()
	if *update {
		require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
		return
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, string(want), got, path)
}

func printed(t *testing.T, faults []Fault) string {
	t.Helper()
	var b strings.Builder
	require.NoError(t, Print(&b, faults, false))
	return b.String()
}

// The broken jobs that need no more than the file itself to be refused.
func TestABrokenJobIsRefusedAtItsLineAndColumn(t *testing.T) {
	for name, want := range map[string]Pos{
		"wrong-unit":    {Line: 15, Column: 9},
		"comma":         {Line: 15, Column: 9},
		"unknown-key":   {Line: 25, Column: 5},
		"missing-key":   {Line: 4, Column: 1},
		"nan":           {Line: 6, Column: 11},
		"empty-value":   {Line: 6, Column: 3},
		"negative-size": {Line: 9, Column: 37},
		"two-documents": {Line: 27, Column: 1},
	} {
		t.Run(name, func(t *testing.T) {
			file := filepath.Join("testdata", "broken", name+".yaml")
			src, err := os.ReadFile(file)
			require.NoError(t, err)
			j, faults := Read(name+".yaml", src, "", nil)
			require.Nil(t, j)
			want.File = name + ".yaml"
			require.Equal(t, want, faults[0].Pos)
			golden(t, strings.TrimSuffix(file, ".yaml")+".txt", printed(t, faults))
		})
	}
}

// What lies outside the file is for others to find: these two read well.
func TestAJobThatFailsLaterReadsWell(t *testing.T) {
	for _, name := range []string{"outline-larger-than-table", "missing-dxf"} {
		src, err := os.ReadFile(filepath.Join("testdata", "broken", name+".yaml"))
		require.NoError(t, err)
		mustRead(t, name, src)
	}
}

// Every message, pinned. testdata/faults.txtar holds edits of base.yaml, each
// with what is printed; a line "- old" is replaced by the "+ new" after it, and
// a "+ new" without one is added at the end.
func TestEveryMessageReadsAsPinned(t *testing.T) {
	base, err := os.ReadFile("testdata/base.yaml")
	require.NoError(t, err)
	const file = "testdata/faults.txtar"
	archive, err := txtar.ParseFile(file)
	require.NoError(t, err)
	for i, f := range archive.Files {
		edits, _, _ := strings.Cut(string(f.Data), "\n=>\n")
		edits = strings.TrimSuffix(edits, "\n")
		src, shop, err := edit(string(base), edits)
		require.NoError(t, err, f.Name)
		var shopFile []byte
		if shop != "" {
			shopFile = []byte(shop)
		}
		j, faults := Read("lid.yaml", []byte(src), "shop.yaml", shopFile)
		if j != nil {
			faults = j.Cautions
		}
		out := printed(t, faults)
		if out == "" {
			out = "no fault\n"
		}
		archive.Files[i].Data = []byte(edits + "\n=>\n" + out)
	}
	golden(t, file, string(txtar.Format(archive)))
}

var unescape = strings.NewReplacer(`\\n`, `\n`, `\n`, "\n")

func edit(base, edits string) (job, shop string, err error) {
	old, job := "", base
	for _, line := range strings.Split(edits, "\n") {
		what, text := line[:min(2, len(line))], line[min(2, len(line)):]
		text = unescape.Replace(text)
		switch what {
		case "- ":
			if old != "" {
				job = strings.Replace(job, old, "", 1)
			}
			old = text
			if strings.Count(job, old) != 1 {
				return "", "", fmt.Errorf("%q stands %d times in the base", old, strings.Count(job, old))
			}
		case "+ ":
			if old == "" {
				job += text + "\n"
				continue
			}
			job = strings.Replace(job, old, text, 1)
			old = ""
		case "s ":
			shop += text + "\n"
		default:
			return "", "", fmt.Errorf("line %q is no edit", line)
		}
	}
	if old != "" {
		job = strings.Replace(job, old, "", 1)
	}
	return job, shop, nil
}
