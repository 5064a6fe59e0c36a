package main

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The top level is exactly this; dotfiles apart.
func TestTopLevelIsTheDesigns(t *testing.T) {
	want := map[string]bool{
		"cmd": true, "fixture": true, "fits": true, "thermal": true, "testdata": true, "examples": true,
		"go.mod": true, "go.sum": true, "README.md": true, "DEVELOPERS.md": true,
	}
	entries, err := os.ReadDir("../..")
	require.NoError(t, err)
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), ".") {
			continue
		}
		require.Truef(t, want[e.Name()], "%s stands at the top level, where only %v belong", e.Name(), want)
		delete(want, e.Name())
	}
	require.Empty(t, want, "missing at the top level")
}

// rooms lists the packages of each room in the order in which they may import:
// a package may import only those before it in its own room.
var rooms = map[string][]string{
	"thermal": {"thermal/material", "thermal/cutting", "thermal"},
	"fits":    {"fits", "fits/press", "fits/bore"},
	"fixture": {
		"fixture/outline", "fixture/stl", "fixture/drawing", "fixture/grid", "fixture/hold",
		"fixture/solid", "fixture/mesh", "fixture",
	},
}

// What a domain package must not know. os and log are paths and streams, the
// rest is presentation.
var forbiddenInDomain = map[string]bool{
	"os": true, "flag": true, "log": true, "log/slog": true, "net": true, "net/http": true,
	"html/template": true, "text/template": true, "encoding/json": true, "gopkg.in/yaml.v3": true,
	"github.com/spf13/cobra": true,
}

func TestImportsPointOneWay(t *testing.T) {
	cmd := exec.Command("go", "list", "-json=ImportPath,Imports", "./...")
	cmd.Dir = filepath.Join("..", "..")
	out, err := cmd.Output()
	require.NoError(t, err)

	place := map[string][2]any{}
	for room, list := range rooms {
		for i, p := range list {
			place["secondop/"+p] = [2]any{room, i}
		}
	}
	seen := 0
	for dec := json.NewDecoder(bytes.NewReader(out)); dec.More(); {
		var p struct {
			ImportPath string
			Imports    []string
		}
		require.NoError(t, dec.Decode(&p))
		here, isDomain := place[p.ImportPath]
		if !isDomain {
			if !strings.HasPrefix(p.ImportPath, "secondop/cmd/") {
				t.Errorf("%s is in no room", p.ImportPath)
			}
			continue
		}
		seen++
		for _, imp := range p.Imports {
			if forbiddenInDomain[imp] {
				t.Errorf("%s imports %s; a domain package must not", p.ImportPath, imp)
			}
			if strings.HasPrefix(imp, "github.com/deadsy/sdfx") && imp != "github.com/deadsy/sdfx/sdf" {
				t.Errorf("%s imports %s; only sdfx's sdf package is allowed", p.ImportPath, imp)
			}
			if !strings.HasPrefix(imp, "secondop/") {
				continue
			}
			there, ok := place[imp]
			switch {
			case !ok:
				t.Errorf("%s imports %s; a domain package must not know the command", p.ImportPath, imp)
			case there[0] != here[0]:
				t.Errorf("%s imports %s; fixture, fits and thermal do not import one another", p.ImportPath, imp)
			case there[1].(int) >= here[1].(int):
				t.Errorf("%s imports %s, which stands after it in its room", p.ImportPath, imp)
			}
		}
	}
	require.Positive(t, seen)
}
