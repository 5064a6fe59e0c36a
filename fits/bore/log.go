package bore

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// Log is the record of a batch as read from its file: only ever added to, one
// record a line, each line with a checksum that runs on from the one before.
type Log struct {
	Identity Identity
	Records  []Record

	whole int    // bytes of whole lines
	torn  int    // bytes after them that a cut-off write has left
	open  bool   // the last line is whole but lacks its line end
	last  uint32 // checksum of the last line
}

// LineError says that one line of a log is not as it was written.
type LineError struct {
	Line int // from 1
	Says string
}

func (e *LineError) Error() string {
	return fmt.Sprintf("line %d of the bore log %s; it was edited or damaged: put it back as it was, or begin another log (a wrong record is voided with undo, not edited)", e.Line, e.Says)
}

// OtherLogError says that a log belongs to another job.
type OtherLogError struct{ Log, Job Identity }

func (e *OtherLogError) Error() string {
	var s []string
	add := func(what, log, job string) {
		if log != job {
			s = append(s, fmt.Sprintf("its %s is %q, the job's is %q", what, log, job))
		}
	}
	add("insert", e.Log.Insert, e.Job.Insert)
	add("material", e.Log.Material, e.Job.Material)
	add("tool", e.Log.Tool, e.Job.Tool)
	if e.Log.NominalMM != e.Job.NominalMM {
		s = append(s, fmt.Sprintf("its nominal size is %.4f mm, the job's is %.4f mm", e.Log.NominalMM, e.Job.NominalMM))
	}
	return "the bore log is from another job: " + strings.Join(s, "; ")
}

// ReadLog reads a log. A last line that a power cut has torn is left out (see
// [Log.Torn]); any other line that doesn't match its checksum is a *LineError.
// An empty or wholly torn log belongs to id; another identity is an
// *OtherLogError.
func ReadLog(r io.Reader, id Identity) (*Log, error) {
	all, err := io.ReadAll(r)
	if err != nil {
		return nil, err
	}
	l := &Log{Identity: id}
	text := bytes.TrimRight(all, "\x00") // a power cut may leave a file's end blank
	l.torn = len(all) - len(text)
	for n := 1; len(text) > 0; n++ {
		row, rest, ended := bytes.Cut(text, []byte("\n"))
		err := l.take(n, string(row))
		if err != nil && !ended && l.mayBeTorn(n, row) {
			l.torn += len(text)
			return l, nil
		}
		if err != nil {
			return nil, err
		}
		l.whole += len(row)
		if ended {
			l.whole++
		}
		l.open = !ended
		text = rest
	}
	return l, nil
}

// mayBeTorn says that a last line without its end may be the beginning of a
// record. The first line must be the beginning of this very job's own, so that
// some other file is never taken for a torn log.
func (l *Log) mayBeTorn(n int, row []byte) bool {
	if n > 1 {
		return true
	}
	head, _ := l.Identity.line().seal(0)
	return strings.HasPrefix(head, string(row))
}

// take reads one line.
func (l *Log) take(n int, row string) error {
	cut := strings.LastIndex(row, sumMark)
	if cut < 0 || len(row) != cut+len(sumMark)+8 {
		if n == 1 {
			return fmt.Errorf("this is no bore log: its first line is %q", first(row, 40))
		}
		return &LineError{n, "has no checksum"}
	}
	text := row[:cut]
	want, err := strconv.ParseUint(row[cut+len(sumMark):], 16, 32)
	now := sum(l.last, text)
	if err != nil || uint32(want) != now {
		return &LineError{n, "doesn't match its checksum"}
	}
	if n == 1 {
		id, err := parseIdentity(text)
		if err != nil {
			return &LineError{n, err.Error()}
		}
		if id != l.Identity {
			return &OtherLogError{Log: id, Job: l.Identity}
		}
		l.last = now
		return nil
	}
	r, err := parseRecord(text)
	if err != nil {
		return &LineError{n, err.Error()}
	}
	if r.N != len(l.Records)+1 {
		return &LineError{n, fmt.Sprintf("is record %d, where %d belongs", r.N, len(l.Records)+1)}
	}
	l.Records, l.last = append(l.Records, r), now
	return nil
}

func first(s string, n int) string {
	if len(s) > n {
		return s[:n] + "..."
	}
	return s
}

// Torn is the number of bytes after the last whole line, left by a write that
// was cut off; they hold no record that was ever answered.
func (l *Log) Torn() int { return l.torn }

// Whole is the number of bytes of whole lines. A writer cuts the file there
// before it appends.
func (l *Log) Whole() int { return l.whole }

// Append numbers the record and gives the bytes that add it to the log: for an
// empty log the first line, too. They are to be written in one go.
func (l *Log) Append(r Record) (Record, []byte) {
	var b bytes.Buffer
	if l.whole == 0 {
		head, after := l.Identity.line().seal(0)
		b.WriteString(head)
		l.last = after
	} else if l.open {
		b.WriteByte('\n')
	}
	r.N = len(l.Records) + 1
	text, after := r.line().seal(l.last)
	b.WriteString(text)
	l.Records, l.last, l.open = append(l.Records, r), after, false
	l.whole += b.Len()
	return r, b.Bytes()
}

// Valid lists the pass records that are not voided.
func (l *Log) Valid() []Record {
	voided := map[int]bool{}
	for _, r := range l.Records {
		if r.Void > 0 {
			voided[r.Void] = true
		}
	}
	var valid []Record
	for _, r := range l.Records {
		if r.Void == 0 && !voided[r.N] {
			valid = append(valid, r)
		}
	}
	return valid
}

// Last gives the last record that is not voided.
func (l *Log) Last() (Record, bool) {
	valid := l.Valid()
	if len(valid) == 0 {
		return Record{}, false
	}
	return valid[len(valid)-1], true
}

// State gives the batch that the log tells of, with every reading brought to the
// room's temperature; alphaPerK is the part's expansion. part is the one at the
// machine: it is begun if the log doesn't know it yet. A part that comes back
// after a later one was begun is an error.
func (l *Log) State(q Request, alphaPerK float64, part int) (State, error) {
	s := State{Request: q}
	numbers := []int{}
	pass := 0
	for _, r := range l.Valid() {
		if len(numbers) == 0 || numbers[len(numbers)-1] != r.Part {
			if len(numbers) > 0 && r.Part < numbers[len(numbers)-1] {
				return State{}, fmt.Errorf("record %d is of part %d, but part %d was begun before it", r.N, r.Part, numbers[len(numbers)-1])
			}
			numbers, pass = append(numbers, r.Part), 0
			s.Parts = append(s.Parts, Part{Changes: r.Changes})
		}
		p := &s.Parts[len(s.Parts)-1]
		if r.InsertMM > 0 {
			w := r.Window
			p.Window = &w
		}
		if pass != r.Pass {
			pass = r.Pass
			p.Passes = append(p.Passes, Pass{CommandedMM: r.CommandedMM})
		}
		if r.Reading == nil {
			continue
		}
		reading := *r.Reading
		if !math.IsNaN(r.PartC) {
			var err error
			if reading, err = reading.AtRoom(Warmth{r.PartC, r.RoomC, alphaPerK}); err != nil {
				return State{}, fmt.Errorf("record %d: %w", r.N, err)
			}
		}
		c := &p.Passes[len(p.Passes)-1]
		c.Readings = append(c.Readings, reading)
	}
	if len(numbers) > 0 && part < numbers[len(numbers)-1] {
		return State{}, fmt.Errorf("part %d is closed, part %d was begun after it", part, numbers[len(numbers)-1])
	}
	if len(numbers) == 0 || numbers[len(numbers)-1] != part {
		s.Parts = append(s.Parts, Part{})
	}
	return s, nil
}

// Standing gives a pass record by its number, if it is not voided.
func (l *Log) Standing(n int) (Record, bool) {
	for _, r := range l.Valid() {
		if r.N == n {
			return r, true
		}
	}
	return Record{}, false
}
