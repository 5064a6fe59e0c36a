package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"golang.org/x/term"

	"secondop/cmd/secondop/internal/job"
	"secondop/cmd/secondop/internal/plan"
)

// Exit statuses.
const (
	exitDone        = 0
	exitStop        = 1 // done, and the verdict is stop
	exitNotDone     = 2 // command line, job file, disk, impossible geometry
	exitInterrupted = 130
)

// errStop says that the work was done and its verdict is stop.
var errStop = errors.New("verdict stop")

// app is what every command shares: the three streams and how they look.
type app struct {
	stdin          io.Reader
	stdout, stderr io.Writer
	colour         bool // on stderr
	terminal       bool // stderr is one: progress may be shown
}

func newApp(stdin io.Reader, stdout, stderr io.Writer) *app {
	a := &app{stdin: stdin, stdout: stdout, stderr: stderr}
	a.setTerminal(isTerminal(stderr))
	return a
}

func (a *app) setTerminal(is bool) {
	a.terminal, a.colour = is, is && os.Getenv("NO_COLOR") == ""
}

func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// exit turns a command's error into words on stderr and the exit status.
func (a *app) exit(ctx context.Context, err error) int {
	var refused *plan.RefusedError
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errStop):
		return exitStop
	case ctx.Err() != nil:
		fmt.Fprintln(a.stderr, "interrupted")
		return exitInterrupted
	case errors.As(err, &refused):
		if job.Print(a.stderr, refused.Faults, a.colour) != nil {
			return exitNotDone
		}
	default:
		fmt.Fprintf(a.stderr, "error: %v\n", plainError(err))
	}
	return exitNotDone
}

// plainError drops the operation that Go puts before a file error's words.
func plainError(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) && errors.Unwrap(err) == path.Err {
		return fmt.Errorf("%s: %w", path.Path, path.Err)
	}
	return err
}

// printJSON writes v as indented JSON to stdout.
func (a *app) printJSON(v any) error {
	enc := json.NewEncoder(a.stdout)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(v)
}

// verdictError is errStop for the verdict stop and nil for any other.
func verdictError(verdict string) error {
	if verdict == "stop" {
		return errStop
	}
	return nil
}
