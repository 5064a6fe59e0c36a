package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// lines hands each write on as it comes.
type lines chan string

func (l lines) Write(b []byte) (int, error) {
	l <- string(b)
	return len(b), nil
}

func TestLongWorkIsShownAndWipedAgain(t *testing.T) {
	said := make(lines, 100)
	done := showWork(said, "working", time.Millisecond, time.Millisecond)
	first, second := <-said, <-said
	for _, s := range []string{first, second} {
		require.Regexp(t, `^\rworking: \d+ s so far; Ctrl-C stops, and nothing is written$`, s)
	}
	done()
	close(said)
	last := ""
	for s := range said {
		last = s
	}
	require.Equal(t, "\r\x1b[K", last, "the line is wiped before the results come")
}

func TestShortWorkIsNotSpokenOf(t *testing.T) {
	var out bytes.Buffer
	showWork(&out, "working", time.Hour, time.Hour)()
	require.Empty(t, out.String())
}

func TestNoProgressOffATerminal(t *testing.T) {
	var out, errs bytes.Buffer
	a := newApp(nil, &out, &errs)
	require.False(t, a.terminal)
	a.atWork("working")()
	require.Empty(t, errs.String())
	status, _, stderr := secondop("make", "-o", filepath.Join(t.TempDir(), "made"), filepath.Join(examples, "latch-plate", "job.yaml"))
	require.Equal(t, exitDone, status)
	require.NotContains(t, stderr, "\r")
	require.NotContains(t, stderr, "\x1b")
}

// Faults are coloured on a terminal, and never with NO_COLOR.
func TestNoColorIsObeyed(t *testing.T) {
	bad := filepath.Join(t.TempDir(), "bad.yaml")
	require.NoError(t, os.WriteFile(bad, []byte("secondop: 1\nnmae: x\n"), 0o644))
	for _, c := range []struct {
		terminal bool
		noColor  string
		coloured bool
	}{{true, "", true}, {true, "1", false}, {false, "", false}, {false, "1", false}} {
		t.Setenv("NO_COLOR", c.noColor)
		var errs bytes.Buffer
		a := newApp(nil, &errs, &errs)
		a.setTerminal(c.terminal)
		_, err := a.load(bad, "")
		require.Equal(t, exitNotDone, a.exit(t.Context(), err))
		require.Equalf(t, c.coloured, strings.Contains(errs.String(), "\x1b["), "terminal %t, NO_COLOR=%q", c.terminal, c.noColor)
	}
}
