package main

import (
	"bytes"
	"context"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// boreScriptJob takes the job file out of the story of the bore commands.
func boreScriptJob(t testing.TB) string {
	t.Helper()
	story, err := os.ReadFile("testdata/script/bore.txtar")
	require.NoError(t, err)
	_, text, ok := strings.Cut(string(story), "-- knob.yaml --\n")
	require.True(t, ok)
	path := filepath.Join(t.TempDir(), "knob.yaml")
	require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
	return path
}

// An interrupted conversation ends at once, waiting or not, with every record in
// the log.
func TestInterruptedGuideLosesNothing(t *testing.T) {
	job := boreScriptJob(t)
	in, typing := io.Pipe()
	ctx, cancel := context.WithCancel(context.Background())
	var out bytes.Buffer
	a := newApp(in, &out, io.Discard)
	root := newRoot(a)
	root.SetArgs([]string{"bore", "guide", job, "--part", "1"})
	ended := make(chan error)
	go func() { ended <- root.ExecuteContext(ctx) }()
	_, err := typing.Write([]byte("9.925\n"))
	require.NoError(t, err)
	_, err = typing.Write([]byte("help\n")) // taken only after the record is answered
	require.NoError(t, err)
	cancel()
	require.ErrorIs(t, <-ended, context.Canceled)
	require.Contains(t, out.String(), "every record so far is in the log")
	log, err := os.ReadFile(strings.TrimSuffix(job, ".yaml") + ".bore.log")
	require.NoError(t, err)
	require.Contains(t, string(log), "measured_mm=9.925")
}

// The whole command, from reading the job to the answer, apart from starting the
// process.
func BenchmarkBoreNext(b *testing.B) {
	job := boreScriptJob(b)
	logged := [][]string{{"9.936", "9.925"}, {"9.958", "9.949"}}
	for _, l := range logged {
		require.Zero(b, run([]string{"bore", "log", job, "--part", "1", "--commanded", l[0], "--measured", l[1]}, strings.NewReader(""), io.Discard, os.Stderr))
	}
	for b.Loop() {
		if run([]string{"bore", "next", job, "--part", "2"}, strings.NewReader(""), io.Discard, os.Stderr) != 0 {
			b.Fatal("bore next doesn't answer")
		}
	}
}
