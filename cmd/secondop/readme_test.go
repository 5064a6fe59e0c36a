package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"secondop/cmd/secondop/internal/trust"
)

//go:generate go test -run ^TestTheReadmes -update .

// The READMEs show what the program prints: each block between two markers is
// made here, so that it can't rot. -update rewrites them.
func TestTheReadmesShowWhatTheProgramPrints(t *testing.T) {
	for _, dir := range []string{"../..", filepath.Join(examples, "latch-plate"), filepath.Join(examples, "pen-foot"), filepath.Join(examples, "ring-tray"), filepath.Join(examples, "drawer-pull"), filepath.Join(examples, "stepped-foot")} {
		path := filepath.Join(dir, "README.md")
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		want := renewed(t, string(text))
		if *update {
			require.NoError(t, os.WriteFile(path, []byte(want), 0o644))
			continue
		}
		require.Equal(t, want, string(text), "%s doesn't show what the program prints; run go generate ./cmd/secondop", path)
	}
}

var marked = regexp.MustCompile(`(?s)<!-- (output: ([a-z/. -]+)|trust) -->\n.*?<!-- /(output|trust) -->`)

func renewed(t *testing.T, text string) string {
	return marked.ReplaceAllStringFunc(text, func(block string) string {
		m := marked.FindStringSubmatch(block)
		if m[1] == "trust" {
			return "<!-- trust -->\n" + trusted(t) + "<!-- /trust -->"
		}
		return fmt.Sprintf("<!-- output: %s -->\n\n```text\n%s```\n\n<!-- /output -->", m[2], printed(t, m[2]))
	})
}

func trusted(t *testing.T) string {
	t.Helper()
	cases, err := trust.Cases(context.Background())
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, trust.Markdown(&b, cases))
	return b.String()
}

// printed runs a command line on the examples and returns what it prints, with
// the command as a user types it above it.
func printed(t *testing.T, line string) string {
	t.Helper()
	words := strings.Fields(line)
	args := append([]string{}, words...)
	for i, w := range args {
		if strings.HasSuffix(w, ".yaml") {
			args[i] = filepath.Join(examples, filepath.FromSlash(strings.TrimPrefix(w, "examples/")))
		}
	}
	if args[0] == "make" {
		args = append(args, "-o", filepath.Join(t.TempDir(), "job.out"))
	}
	_, stdout, stderr := secondop(args...)
	require.NotContains(t, stderr, "error:", line)
	stdout = regexp.MustCompile(`(?m)^folder .*\n`).ReplaceAllString(stdout, "")
	return "$ secondop " + line + "\n" + stdout
}

// Nothing the project says points at a place on the machine it was made on.
func TestNoFileNamesAMachine(t *testing.T) {
	forbidden := regexp.MustCompile(`/(work|tmp|root)/[a-z]|proxy\.golang|registry\.npmjs`)
	err := filepath.WalkDir("../..", func(path string, e os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if e.IsDir() {
			if n := e.Name(); n == ".git" || n == "node_modules" || strings.HasSuffix(n, ".out") || strings.HasPrefix(n, ".job") {
				return filepath.SkipDir
			}
			return nil
		}
		switch filepath.Ext(path) {
		case ".go", ".md", ".yaml", ".csv", ".json", ".js", ".svg", ".dxf", ".txtar":
		default:
			return nil
		}
		if filepath.Base(path) == "readme_test.go" || filepath.Base(path) == "view.min.js" {
			return nil
		}
		b, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		if at := forbidden.FindIndex(b); at != nil {
			t.Errorf("%s names a place of one machine: %q", path, b[at[0]:min(at[1]+20, len(b))])
		}
		return nil
	})
	require.NoError(t, err)
}
