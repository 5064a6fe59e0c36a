package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A linkedModule is one whose code is in the program on some system.
type linkedModule struct{ path, version, dir string }

// linked asks the go command what the program is built from.
func linked(t *testing.T) []linkedModule {
	t.Helper()
	found := map[string]linkedModule{}
	for _, system := range []string{"linux", "windows", "darwin"} {
		c := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}}\t{{.Version}}\t{{.Dir}}{{end}}{{end}}", ".")
		c.Env = append(os.Environ(), "GOOS="+system, "CGO_ENABLED=0")
		out, err := c.Output()
		require.NoError(t, err)
		for line := range strings.Lines(string(out)) {
			if f := strings.Split(strings.TrimSpace(line), "\t"); len(f) == 3 {
				found[f[0]] = linkedModule{f[0], f[1], f[2]}
			}
		}
	}
	var list []linkedModule
	for _, m := range found {
		list = append(list, m)
	}
	slices.SortFunc(list, func(a, b linkedModule) int { return strings.Compare(a.path, b.path) })
	return list
}

// licenceFiles are the texts that a module asks to be handed on. Of FreeType-Go's
// two licences the program takes the FreeType License.
func licenceFiles(t *testing.T, dir string) (files []string) {
	t.Helper()
	for _, pattern := range []string{"LICENSE*", "NOTICE*", "PATENTS*", "licenses/ftl.txt", "THIRD_PARTY_LICENSES/*", "font/gofont/ttfs/README"} {
		found, err := filepath.Glob(filepath.Join(dir, filepath.FromSlash(pattern)))
		require.NoError(t, err)
		files = append(files, found...)
	}
	require.NotEmptyf(t, files, "%s has no licence", dir)
	return files
}

func licenceText(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	require.NoError(t, err)
	var lines []string
	for line := range strings.Lines(string(bytes.ToValidUTF8(b, []byte("?")))) {
		lines = append(lines, strings.TrimRight(line, " \t\r\n\f"))
	}
	return strings.Trim(strings.Join(lines, "\n"), "\n") + "\n"
}

// The notices hold the licences of the language, of every module that is linked
// on any system, and of the sheet's 3-D view, word for word.
func TestNoticesHoldEveryLicence(t *testing.T) {
	var b strings.Builder
	b.WriteString("secondop is built from the work of others. Their licences follow.\n" +
		"Portions of this software are copyright © 1996-2002, 2006 The FreeType Project\n(www.freetype.org). All rights reserved.\n")
	add := func(name string, files ...string) {
		fmt.Fprintf(&b, "\n%s\n%s\n", strings.Repeat("=", 78), name)
		for _, f := range files {
			fmt.Fprintf(&b, "%s\n\n%s", strings.Repeat("-", 78), licenceText(t, f))
		}
	}
	add("Go, its standard library and runtime", filepath.Join(goRoot(t), "LICENSE"))
	modules := linked(t)
	require.Greater(t, len(modules), 8)
	for _, m := range modules {
		add(m.path+" "+m.version, licenceFiles(t, m.dir)...)
	}
	add("three.js, in the setup sheet", filepath.Join("internal", "sheet", "view", "LICENSE-three.txt"))
	if *update {
		require.NoError(t, os.WriteFile("notices.txt", []byte(b.String()), 0o644))
	}
	want, err := os.ReadFile("notices.txt")
	require.NoError(t, err)
	have := strings.ReplaceAll(string(want), "\r\n", "\n")
	for _, m := range modules {
		require.Containsf(t, have, "\n"+m.path+" "+m.version+"\n", "go test -run Notices -update ./cmd/secondop brings notices.txt up to date")
	}
	require.True(t, have == b.String(), "notices.txt is out of date; go test -run Notices -update ./cmd/secondop writes it anew")
	status, stdout, _ := secondop("version", "--notices")
	require.Equal(t, exitDone, status)
	for _, words := range []string{"FreeType Project", "Apache License", "three.js authors", "The Go Authors", "Jason T. Harris"} {
		require.Contains(t, stdout, words)
	}
}

func goRoot(t *testing.T) string {
	t.Helper()
	out, err := exec.Command("go", "env", "GOROOT").Output()
	require.NoError(t, err, "GOROOT of %s", runtime.Version())
	return strings.TrimSpace(string(out))
}
