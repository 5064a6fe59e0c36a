package main

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"
	"unicode/utf16"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"secondop": func() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }})
}

// TestScripts runs whole commands as a user types them. Each file in
// testdata/script is one story.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{Dir: "testdata/script", Cmds: map[string]func(*testscript.TestScript, bool, []string){
		"exits": exits, "interrupt": interrupt, "slowjob": slowJob, "utf16": utf16File, "large": largeFile,
	}, Condition: func(cond string) (bool, error) {
		if cond == "root" {
			return os.Geteuid() == 0, nil
		}
		return false, fmt.Errorf("condition %q is not known", cond)
	}})
}

func statusOf(err error) int {
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		return exit.ExitCode()
	}
	if err != nil {
		return -1
	}
	return 0
}

// exits STATUS COMMAND... runs a command and wants that very exit status.
func exits(ts *testscript.TestScript, _ bool, args []string) {
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	if got := statusOf(ts.Exec(args[1], args[2:]...)); got != want {
		ts.Fatalf("%s exits %d, want %d", strings.Join(args[1:], " "), got, want)
	}
}

// interrupt COMMAND... runs a command, presses Ctrl-C once it is at work, and
// wants exit status 130.
func interrupt(ts *testscript.TestScript, _ bool, args []string) {
	path, err := exec.LookPath(args[0]) // testscript has put its commands on PATH
	ts.Check(err)
	c := exec.Command(path, args[1:]...)
	c.Dir = ts.MkAbs(".")
	var errs strings.Builder
	c.Stderr = &errs
	ts.Check(c.Start())
	time.Sleep(700 * time.Millisecond)
	ts.Check(c.Process.Signal(os.Interrupt))
	if got := statusOf(c.Wait()); got != exitInterrupted || !strings.Contains(errs.String(), "interrupted") {
		ts.Fatalf("%s exits %d and says %q, want %d and interrupted", strings.Join(args, " "), got, errs.String(), exitInterrupted)
	}
}

// slowjob FILE writes a job that takes seconds: a jagged outline of 1,500 corners.
func slowJob(ts *testscript.TestScript, _ bool, args []string) {
	var points []string
	for k := range 1500 {
		s, c := math.Sincos(2 * math.Pi * float64(k) / 1500)
		r := 40 + 3*math.Sin(18*math.Pi*float64(k)/1500) + 0.2*float64(k%2)
		points = append(points, fmt.Sprintf("[%.4f, %.4f]", r*c, r*s))
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), fmt.Appendf(nil, `secondop: 1
name: jagged disc
units: mm
part:
  material: 6061-T6
  height: 30
  turn: auto
  outline: {seen: this side, shapes: [{add: polyline, points: [%s]}]}
table: {grid: {pitch: 25, columns: 30, rows: 20, thread: M6}}
jaws: {polymer: PETG, grip: 20, openings: 6}
clamp: {force: 900 N}
tools: {c: {diameter: 6, flutes: 2}}
cut: {operations: [{kind: face, tool: c, speed: 9000 rpm, feed: 500, depth: 0.2, width: 2, to: 0.2}]}
`, strings.Join(points, ", ")), 0o644))
}

// utf16 big|little FROM TO writes a text file anew in UTF-16 with its mark.
func utf16File(ts *testscript.TestScript, _ bool, args []string) {
	var order binary.AppendByteOrder = binary.LittleEndian
	if args[0] == "big" {
		order = binary.BigEndian
	}
	var b []byte
	for _, u := range utf16.Encode([]rune("\ufeff" + ts.ReadFile(args[1]))) {
		b = order.AppendUint16(b, u)
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[2]), b, 0o644))
}

// large FILE BYTES writes a file of comments of that many bytes.
func largeFile(ts *testscript.TestScript, _ bool, args []string) {
	n, err := strconv.Atoi(args[1])
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(strings.Repeat("# filling\n", n/10)), 0o644))
}
