package bore

import (
	"fmt"
	"hash/crc32"
	"math"
	"strconv"
	"strings"
)

// Identity says which bore a log is about. What may change while the bore stays
// the same (speeds, the plan of cuts) is not in it.
type Identity struct {
	Insert    string
	NominalMM float64
	Material  string
	Tool      string
}

// Record is one line of a log: a pass with what was seen of it, or the voiding
// of an earlier record.
type Record struct {
	N    int    // from 1, given by the log
	At   string // when, as the caller writes it
	Void int    // the record that is voided; 0 for a pass

	Part, Pass  int
	CommandedMM float64
	Changes     []Change
	// Reading is as it was seen, not corrected for temperature; nil if the pass
	// was not measured yet.
	Reading *Reading
	// PartC and RoomC are the temperatures at the reading, NaN if not given.
	PartC, RoomC float64
	// InsertMM is this part's own insert as measured and Window what follows
	// from it; 0 if the job's own applies.
	InsertMM float64
	Window   Window
}

// NoTemperature stands for a temperature that was not measured.
func NoTemperature() float64 { return math.NaN() }

const (
	headWord = "bore-log"
	passWord = "pass"
	voidWord = "void"
	sumMark  = " ~"
)

// line writes words and key=value pairs, and ends with the checksum, which runs
// on from the line before: a line that is edited, moved or left out is noticed.
type line struct{ b strings.Builder }

func (l *line) word(w string) { l.b.WriteString(w) }
func (l *line) text(key, v string) {
	fmt.Fprintf(&l.b, " %s=%s", key, strconv.QuoteToASCII(v))
}
func (l *line) count(key string, v int) { fmt.Fprintf(&l.b, " %s=%d", key, v) }
func (l *line) number(key string, v float64) {
	s := strings.TrimRight(strconv.FormatFloat(v, 'f', 6, 64), "0")
	fmt.Fprintf(&l.b, " %s=%s", key, strings.TrimSuffix(s, "."))
}

// sum is the checksum of a line's text after the line with the sum before.
func sum(before uint32, text string) uint32 {
	return crc32.Update(before, crc32.MakeTable(crc32.Castagnoli), []byte(text))
}

// seal ends a line.
func (l *line) seal(before uint32) (text string, after uint32) {
	after = sum(before, l.b.String())
	return fmt.Sprintf("%s%s%08x\n", l.b.String(), sumMark, after), after
}

func (id Identity) line() *line {
	l := &line{}
	l.word(headWord)
	l.count("version", 1)
	l.text("insert", id.Insert)
	l.number("nominal_mm", id.NominalMM)
	l.text("material", id.Material)
	l.text("tool", id.Tool)
	return l
}

func (r Record) line() *line {
	l := &line{}
	if r.Void > 0 {
		l.word(voidWord)
		l.count("n", r.N)
		l.text("at", r.At)
		l.count("record", r.Void)
		return l
	}
	l.word(passWord)
	l.count("n", r.N)
	l.text("at", r.At)
	l.count("part", r.Part)
	l.count("pass", r.Pass)
	l.number("commanded_mm", r.CommandedMM)
	for _, c := range r.Changes {
		l.text("changed", string(c))
	}
	if r.Reading != nil {
		switch r.Reading.Kind {
		case Measured:
			l.number("measured_mm", r.Reading.MM)
		case Felt:
			l.text("seen", string(r.Reading.Feel))
			l.number("plug_mm", r.Reading.PlugMM)
		case Limits:
			l.number("goes_mm", r.Reading.GoesMM)
			l.number("stops_mm", r.Reading.StopsMM)
		}
	}
	if !math.IsNaN(r.PartC) {
		l.number("part_C", r.PartC)
	}
	if !math.IsNaN(r.RoomC) {
		l.number("room_C", r.RoomC)
	}
	if r.InsertMM > 0 {
		l.number("insert_mm", r.InsertMM)
		l.number("least_mm", r.Window.LowerMM)
		l.number("most_mm", r.Window.UpperMM)
	}
	return l
}

// pair is one key=value of a line.
type pair struct{ key, value string }

// splitLine takes a line's text apart.
func splitLine(text string) (word string, pairs []pair, err error) {
	word, rest, _ := strings.Cut(text, " ")
	for rest != "" {
		key, after, ok := strings.Cut(rest, "=")
		if !ok {
			return "", nil, fmt.Errorf("%q has no value", rest)
		}
		if strings.HasPrefix(after, `"`) {
			quoted, err := strconv.QuotedPrefix(after)
			if err != nil {
				return "", nil, fmt.Errorf("%s is not closed by a quote", key)
			}
			value, err := strconv.Unquote(quoted)
			if err != nil {
				return "", nil, err
			}
			pairs = append(pairs, pair{key, value})
			rest = strings.TrimPrefix(after[len(quoted):], " ")
			continue
		}
		value, next, _ := strings.Cut(after, " ")
		pairs = append(pairs, pair{key, value})
		rest = next
	}
	return word, pairs, nil
}

// parseIdentity reads a log's first line.
func parseIdentity(text string) (Identity, error) {
	word, pairs, err := splitLine(text)
	if err != nil {
		return Identity{}, err
	}
	if word != headWord {
		return Identity{}, fmt.Errorf("a log begins with %q", headWord)
	}
	var id Identity
	for _, p := range pairs {
		switch p.key {
		case "version":
			if p.value != "1" {
				return Identity{}, fmt.Errorf("the log's version is %s, this program reads version 1", p.value)
			}
		case "insert":
			id.Insert = p.value
		case "nominal_mm":
			id.NominalMM, err = strconv.ParseFloat(p.value, 64)
		case "material":
			id.Material = p.value
		case "tool":
			id.Tool = p.value
		}
		if err != nil {
			return Identity{}, fmt.Errorf("%s=%s is no number", p.key, p.value)
		}
	}
	return id, nil
}

// parseRecord reads any other line.
func parseRecord(text string) (Record, error) {
	word, pairs, err := splitLine(text)
	if err != nil {
		return Record{}, err
	}
	if word != passWord && word != voidWord {
		return Record{}, fmt.Errorf("%q is neither %s nor %s", word, passWord, voidWord)
	}
	r := Record{PartC: NoTemperature(), RoomC: NoTemperature()}
	reading := Reading{}
	numbers := map[string]*float64{
		"commanded_mm": &r.CommandedMM, "measured_mm": &reading.MM, "plug_mm": &reading.PlugMM,
		"goes_mm": &reading.GoesMM, "stops_mm": &reading.StopsMM, "part_C": &r.PartC, "room_C": &r.RoomC,
		"insert_mm": &r.InsertMM, "least_mm": &r.Window.LowerMM, "most_mm": &r.Window.UpperMM,
	}
	counts := map[string]*int{"n": &r.N, "part": &r.Part, "pass": &r.Pass, "record": &r.Void}
	kinds := map[string]ReadingKind{"measured_mm": Measured, "seen": Felt, "goes_mm": Limits}
	for _, p := range pairs {
		if k, ok := kinds[p.key]; ok {
			reading.Kind = k
		}
		switch {
		case numbers[p.key] != nil:
			*numbers[p.key], err = strconv.ParseFloat(p.value, 64)
		case counts[p.key] != nil:
			*counts[p.key], err = strconv.Atoi(p.value)
		case p.key == "at":
			r.At = p.value
		case p.key == "seen":
			reading.Feel, err = ParseFeel(p.value)
		case p.key == "changed":
			r.Changes = append(r.Changes, Change(p.value))
		default:
			return Record{}, fmt.Errorf("key %q is not known", p.key)
		}
		if err != nil {
			return Record{}, fmt.Errorf("%s=%s can't be read", p.key, p.value)
		}
	}
	if reading.Kind != 0 {
		r.Reading = &reading
	}
	return r, nil
}
