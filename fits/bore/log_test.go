package bore

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var knob = Identity{Insert: `disc "magnet"`, NominalMM: 10, Material: "aluminium 6061-T6", Tool: "6 mm"}

// sampleLog is a log with every sort of record, and the offsets of its line ends.
func sampleLog(t require.TestingT) (text []byte, ends []int) {
	l, err := ReadLog(strings.NewReader(""), knob)
	require.NoError(t, err)
	base := Record{At: "2030-01-02T03:04:05Z", Part: 1, Pass: 1, CommandedMM: 9.966, PartC: NoTemperature(), RoomC: NoTemperature()}
	add := func(r Record) {
		_, b := l.Append(r)
		text = append(text, b...)
	}
	r := base
	r.Reading = &Reading{Kind: Measured, MM: 9.936}
	add(r)
	r.Pass, r.CommandedMM, r.PartC, r.RoomC = 2, 9.99, 31.5, 22
	r.Reading = &Reading{Kind: Felt, Feel: WontStart, PlugMM: 9.985}
	add(r)
	add(Record{At: base.At, Void: 2})
	r.Reading = &Reading{Kind: Limits, GoesMM: 9.95, StopsMM: 9.96}
	add(r)
	r = base
	r.Part, r.Changes, r.InsertMM, r.Window = 2, []Change{ToolChanged, DepthChanged}, 9.987, Window{9.96, 9.98}
	add(r)
	for i, c := range text {
		if c == '\n' {
			ends = append(ends, i+1)
		}
	}
	return text, ends
}

func TestLogReadsWhatItWrote(t *testing.T) {
	text, ends := sampleLog(t)
	require.Len(t, ends, 6)
	l, err := ReadLog(bytes.NewReader(text), knob)
	require.NoError(t, err)
	require.Zero(t, l.Torn())
	require.Equal(t, len(text), l.Whole())
	again, err := ReadLog(strings.NewReader(""), knob)
	require.NoError(t, err)
	var copied []byte
	for _, r := range l.Records {
		_, b := again.Append(r)
		copied = append(copied, b...)
	}
	require.Equal(t, string(text), string(copied))
	require.Len(t, l.Valid(), 3)
}

// A power cut may leave any beginning of the file. What was whole stays, what
// was torn is said, and the next record goes on from there.
func TestLogSurvivesACutAtEveryByte(t *testing.T) {
	text, ends := sampleLog(t)
	for n := range len(text) + 1 {
		for _, tail := range [][]byte{nil, make([]byte, 7)} {
			cut := append(append([]byte(nil), text[:n]...), tail...)
			l, err := ReadLog(bytes.NewReader(cut), knob)
			require.NoErrorf(t, err, "cut at byte %d", n)
			want := 0
			for i, e := range ends {
				if n >= e-1 && i > 0 { // a line whole but for its line end counts
					want = i
				}
			}
			require.Lenf(t, l.Records, want, "cut at byte %d", n)
			require.Equalf(t, len(cut), l.Whole()+l.Torn(), "cut at byte %d", n)
			_, b := l.Append(Record{At: "x", Part: 3, Pass: 1, CommandedMM: 9.9, PartC: NoTemperature(), RoomC: NoTemperature()})
			file := append(append([]byte(nil), cut[:min(len(cut), l.Whole()-len(b))]...), b...)
			l, err = ReadLog(bytes.NewReader(file), knob)
			require.NoErrorf(t, err, "after going on from a cut at byte %d", n)
			require.Len(t, l.Records, want+1)
		}
	}
}

// An edited, lost or moved line is named; none is taken for a torn one.
func TestLogNamesAnEditedLine(t *testing.T) {
	text, ends := sampleLog(t)
	lineOf := func(at int) int {
		for i, e := range ends {
			if at < e {
				return i + 1
			}
		}
		return 0
	}
	for at := range text {
		if text[at] == '\n' {
			continue
		}
		edited := append([]byte(nil), text...)
		edited[at] ^= 1
		if edited[at] == '\n' {
			continue
		}
		_, err := ReadLog(bytes.NewReader(edited), knob)
		require.Errorf(t, err, "byte %d edited", at)
		if n := lineOf(at); n > 1 {
			require.ErrorContainsf(t, err, fmt.Sprintf("line %d", n), "byte %d edited", at)
		}
	}
	lines := strings.SplitAfter(string(text), "\n")
	_, err := ReadLog(strings.NewReader(lines[0]+lines[2]+lines[3]), knob)
	var e *LineError
	require.ErrorAs(t, err, &e)
	require.Equal(t, 2, e.Line)
	_, err = ReadLog(strings.NewReader(lines[0]+lines[1]+lines[3]+lines[2]), knob)
	require.ErrorAs(t, err, &e)
	require.Equal(t, 3, e.Line)
}

func TestLogOfAnotherJobIsRefused(t *testing.T) {
	text, _ := sampleLog(t)
	other := knob
	other.Tool, other.NominalMM = "4 mm", 8
	_, err := ReadLog(bytes.NewReader(text), other)
	var o *OtherLogError
	require.ErrorAs(t, err, &o)
	require.ErrorContains(t, err, `its tool is "6 mm", the job's is "4 mm"`)
	require.ErrorContains(t, err, "8.0000 mm")
	for _, foreign := range []string{"secondop: 1\nname: knob\n", "secondop: 1", "b"[:0] + "boring notes"} {
		_, err = ReadLog(strings.NewReader(foreign), knob)
		require.ErrorContainsf(t, err, "no bore log", "%q", foreign)
	}
}

// Whatever is in the texts comes back, and never makes a second line.
func TestLogTakesAnyText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		id := Identity{Insert: rapid.String().Draw(t, "insert"), Material: rapid.String().Draw(t, "material"), NominalMM: 10}
		l, err := ReadLog(strings.NewReader(""), id)
		require.NoError(t, err)
		r := Record{At: rapid.String().Draw(t, "at"), Part: 1, Pass: 1, CommandedMM: 9.9, PartC: NoTemperature(), RoomC: NoTemperature()}
		_, b := l.Append(r)
		require.Equal(t, 2, bytes.Count(b, []byte("\n")))
		back, err := ReadLog(bytes.NewReader(b), id)
		require.NoError(t, err)
		require.Equal(t, strings.ToValidUTF8(r.At, "\ufffd"), strings.ToValidUTF8(back.Records[0].At, "\ufffd"))
	})
}

func FuzzReadLog(f *testing.F) {
	text, _ := sampleLog(f)
	f.Add(text)
	f.Add(text[:len(text)-9])
	f.Add([]byte("bore-log version=1 ~00000000\n"))
	f.Fuzz(func(t *testing.T, b []byte) {
		l, err := ReadLog(bytes.NewReader(b), knob)
		if err == nil && l.Whole()+l.Torn() != len(b) {
			t.Fatalf("ReadLog keeps %d and drops %d of %d bytes", l.Whole(), l.Torn(), len(b))
		}
	})
}

func TestLogBecomesABatch(t *testing.T) {
	l, _ := ReadLog(strings.NewReader(""), knob)
	blank := Record{PartC: NoTemperature(), RoomC: NoTemperature()}
	add := func(part, pass int, c, m float64) {
		r := blank
		r.Part, r.Pass, r.CommandedMM = part, pass, c
		if m > 0 {
			r.Reading = &Reading{Kind: Measured, MM: m}
		}
		l.Append(r)
	}
	add(1, 1, 9.966, 9.936)
	add(1, 1, 9.966, 9.937) // the same pass, read again
	add(1, 2, 9.99, 10.02)  // typed wrong
	v := blank
	v.Void = 3
	l.Append(v)
	add(1, 2, 9.99, 9.96)
	add(3, 1, 10.0, 0)
	s, err := l.State(shopRequest(0.022), 23.6e-6, 3)
	require.NoError(t, err)
	require.Len(t, s.Parts, 2)
	require.Len(t, s.Parts[0].Passes, 2)
	require.Len(t, s.Parts[0].Passes[0].Readings, 2)
	require.Equal(t, 9.96, s.Parts[0].Passes[1].Readings[0].MM)
	require.Empty(t, s.Parts[1].Passes[0].Readings)
	_, err = l.State(shopRequest(0.022), 23.6e-6, 2)
	require.ErrorContains(t, err, "part 2 is closed")
	s, err = l.State(shopRequest(0.022), 23.6e-6, 4)
	require.NoError(t, err)
	require.Len(t, s.Parts, 3)
	last, ok := l.Last()
	require.True(t, ok)
	require.Equal(t, 6, last.N)
}
