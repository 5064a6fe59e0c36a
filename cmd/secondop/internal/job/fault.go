package job

import (
	"fmt"
	"io"
	"sort"
	"strings"
)

// Fault is one thing wrong or doubtful in a file. It carries the line it is
// about, so that it can be printed without the file.
type Fault struct {
	Pos   Pos
	Error bool // else a caution
	Says  string
	Path  string // key path, "fit.bore.depth"
	Span  int    // characters to mark
	Note  string
	Help  string

	line, above string
}

func (p Pos) String() string {
	if p.Line == 0 {
		return p.File
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
}

// String is the fault's first line: "knob.yaml:14:15: error: what is wrong".
func (f Fault) String() string {
	return fmt.Sprintf("%s: %s: %s", f.Pos, f.word(), f.Says)
}

func (f Fault) word() string {
	if f.Error {
		return "error"
	}
	return "caution"
}

// AnyError says whether one of the faults stops the job.
func AnyError(faults []Fault) bool {
	for _, f := range faults {
		if f.Error {
			return true
		}
	}
	return false
}

const (
	red    = "\x1b[31m"
	yellow = "\x1b[33m"
	bold   = "\x1b[1m"
	plainC = "\x1b[0m"
)

// Most faults that Print shows; a file with more has one cause.
const maxPrinted = 100

// Print writes the faults in the order given, each with its place, its line, a
// marker below it, and note and help where there are any. Colour adds to the
// words and the marker, it never stands for them.
func Print(w io.Writer, faults []Fault, color bool) error {
	var b strings.Builder
	for i, f := range faults {
		if i > 0 {
			b.WriteByte('\n')
		}
		if i == maxPrinted {
			fmt.Fprintf(&b, "and %d more\n", len(faults)-i)
			break
		}
		f.print(&b, color)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func (f Fault) print(b *strings.Builder, color bool) {
	paint := func(code, s string) string {
		if !color {
			return s
		}
		return code + s + plainC
	}
	tone := yellow
	if f.Error {
		tone = red
	}
	fmt.Fprintf(b, "%s: %s: %s\n", f.Pos, paint(bold+tone, f.word()), paint(bold, f.Says))
	if f.line != "" {
		from := windowAt(f.Pos.Column)
		if strings.TrimSpace(f.above) != "" {
			fmt.Fprintf(b, "%s | %s\n", gutter(f.Pos.Line-1), clip(f.above, 0))
		}
		line := clip(f.line, from)
		fmt.Fprintf(b, "%s | %s\n", gutter(f.Pos.Line), line)
		column := f.Pos.Column - from
		mark := strings.Repeat("^", max(1, min(f.Span, len([]rune(line))-column+1)))
		under := blank(line, column-1) + paint(tone, mark)
		if f.Path != "" {
			under += " " + f.Path
		}
		fmt.Fprintf(b, "%s | %s\n", gutter(0), under)
	}
	if f.Note != "" {
		fmt.Fprintf(b, "  note: %s\n", f.Note)
	}
	if f.Help != "" {
		fmt.Fprintf(b, "  help: %s\n", f.Help)
	}
}

// A fault shows this much of a line, and of a longer one the stretch around its
// column.
const maxShown = 140

// windowAt is how many characters are left out before the fault's column.
func windowAt(column int) int {
	if column <= maxShown-20 {
		return 0
	}
	return column - maxShown/2
}

// clip is the stretch of a line that is shown.
func clip(line string, from int) string {
	r := []rune(line)
	if from > 0 && from < len(r) {
		r = append([]rune("..."), r[from+3:]...)
	}
	if len(r) > maxShown {
		r = append(r[:maxShown:maxShown], []rune("...")...)
	}
	return string(r)
}

func gutter(line int) string {
	if line == 0 {
		return "     "
	}
	return fmt.Sprintf("%5d", line)
}

// blank fills the place of the first n characters of line; tabs stay tabs.
func blank(line string, n int) string {
	r := []rune(line)
	out := make([]rune, 0, n)
	for i := range n {
		if i < len(r) && r[i] == '\t' {
			out = append(out, '\t')
			continue
		}
		out = append(out, ' ')
	}
	return string(out)
}

// inFileOrder sorts by line and column; the job file comes before the shop file.
func inFileOrder(faults []Fault, first string) {
	sort.SliceStable(faults, func(i, j int) bool {
		a, b := faults[i].Pos, faults[j].Pos
		if a.File != b.File {
			return a.File == first
		}
		if a.Line != b.Line {
			return a.Line < b.Line
		}
		return a.Column < b.Column
	})
}

// A place is where a key's value stands, with its line, for later faults.
type place struct {
	Pos
	span        int
	line, above string
}

// At returns the place of the value at path, and false if the file doesn't
// give it. Entries of a list count from 1: "cut.operations[2].feed"; tools go
// by name: "tools.6 mm.diameter".
func (j *Job) At(path string) (Pos, bool) {
	p, ok := j.places[path]
	return p.Pos, ok
}

// FaultAt makes an error about the value at path. If the file doesn't give that
// key, the fault stands at the nearest section around it that the file gives.
func (j *Job) FaultAt(path, says, help string) Fault {
	f := Fault{Pos: Pos{File: j.File, Line: 1, Column: 1}, Error: true, Says: says, Path: path, Help: help}
	for p := path; ; p = parent(p) {
		if at, ok := j.places[p]; ok {
			f.Pos, f.Span, f.line, f.above = at.Pos, at.span, at.line, at.above
			return f
		}
		if p == "" {
			return f
		}
	}
}

// CautionAt is FaultAt for a remark that doesn't stop the job.
func (j *Job) CautionAt(path, says, help string) Fault {
	f := j.FaultAt(path, says, help)
	f.Error = false
	return f
}

// NoteAt says where another value comes from, for a fault's note: "the
// thickness comes from knob.yaml:6:11". For a default it says so.
func (j *Job) NoteAt(what, path string) string {
	if at, ok := j.places[path]; ok {
		return fmt.Sprintf("%s comes from %s", what, at.Pos)
	}
	return fmt.Sprintf("%s is the default of %s", what, path)
}

// parent is the path of the section around a key. A name of a tool may carry a
// dot, so that a step may pass through a path that nothing has.
func parent(path string) string {
	i := strings.LastIndexAny(path, ".[")
	if i < 0 {
		return ""
	}
	return path[:i]
}
