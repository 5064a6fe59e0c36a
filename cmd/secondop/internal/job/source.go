package job

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"
)

// Limits on a job or shop file.
const (
	maxFileBytes = 1 << 20
	maxLines     = 20_000
	maxDepth     = 16
	maxValues    = 100_000
)

// A source is a file's text, decoded, in lines without their ends.
type source struct {
	file  string
	lines []string
	inch  bool // the unit of its bare lengths
}

func (s *source) line(n int) string {
	if n < 1 || n > len(s.lines) {
		return ""
	}
	return s.lines[n-1]
}

// shown is a line with its control characters made harmless to a terminal.
func (s *source) shown(n int) string {
	return strings.Map(func(r rune) rune {
		if r != '\t' && (unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp)) {
			return '?'
		}
		return r
	}, s.line(n))
}

func (s *source) text() string { return strings.Join(s.lines, "\n") + "\n" }

// decode turns the bytes of a file into a source. It takes UTF-8 and UTF-16,
// with or without a byte order mark, and any of the three line ends.
func decode(file string, raw []byte) (*source, *Fault) {
	s := &source{file: file}
	if len(raw) > maxFileBytes {
		return s, s.fault(1, 1, 0, fmt.Sprintf("the file has %d bytes, at most %d are read", len(raw), maxFileBytes), "")
	}
	text, bad := s.toUTF8(raw)
	if bad != nil {
		return s, bad
	}
	text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	s.lines = strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	if len(s.lines) > maxLines {
		return s, s.fault(maxLines, 1, 0, fmt.Sprintf("the file has %d lines, at most %d are read", len(s.lines), maxLines), "")
	}
	for n, line := range s.lines {
		column := 0
		for _, r := range line {
			column++
			if r != '\t' && (unicode.IsControl(r) || r == '\u2028' || r == '\u2029' || r == '\ufeff') {
				return s, s.fault(n+1, column, 1, fmt.Sprintf("an invisible character (U+%04X) stands here", r), "delete it and type the line again")
			}
		}
	}
	return s, nil
}

func (s *source) toUTF8(raw []byte) (string, *Fault) {
	switch {
	case len(raw) >= 3 && raw[0] == 0xEF && raw[1] == 0xBB && raw[2] == 0xBF:
		raw = raw[3:]
	case len(raw) >= 2 && (raw[0] == 0xFF && raw[1] == 0xFE || raw[1] == 0 && raw[0] != 0):
		return s.fromUTF16(raw, func(i int) uint16 { return uint16(raw[i]) | uint16(raw[i+1])<<8 })
	case len(raw) >= 2 && (raw[0] == 0xFE && raw[1] == 0xFF || raw[0] == 0 && raw[1] != 0):
		return s.fromUTF16(raw, func(i int) uint16 { return uint16(raw[i+1]) | uint16(raw[i])<<8 })
	}
	if utf8.Valid(raw) {
		return string(raw), nil
	}
	// Name the place of the first byte that is no UTF-8.
	line, column, at := 1, 1, 0
	for at < len(raw) {
		r, n := utf8.DecodeRune(raw[at:])
		if r == utf8.RuneError && n == 1 {
			break
		}
		column++
		if r == '\n' {
			line, column = line+1, 1
		}
		at += n
	}
	s.lines = strings.Split(strings.ReplaceAll(strings.ToValidUTF8(string(raw), "?"), "\r\n", "\n"), "\n")
	return "", s.fault(line, column, 1, fmt.Sprintf("this character (byte %02X) is not in UTF-8", raw[at]),
		"save the file as UTF-8, or write the sign in ASCII: +- for plus or minus, um for micrometres, deg for degrees")
}

func (s *source) fromUTF16(raw []byte, at func(i int) uint16) (string, *Fault) {
	if len(raw)%2 != 0 {
		return "", s.fault(1, 1, 0, "the file ends in the middle of a character of UTF-16", "save the file as UTF-8")
	}
	units := make([]uint16, 0, len(raw)/2)
	for i := 0; i < len(raw); i += 2 {
		units = append(units, at(i))
	}
	if units[0] == 0xFEFF {
		units = units[1:]
	}
	return string(utf16.Decode(units)), nil
}

// fault makes an error at a place of the source.
func (s *source) fault(line, column, span int, says, help string) *Fault {
	f := &Fault{Pos: Pos{s.file, line, column}, Error: true, Says: says, Span: span, Help: help}
	f.quote(s)
	return f
}

// quote keeps the fault's line, and the one before it, for printing.
func (f *Fault) quote(s *source) {
	f.line = s.shown(f.Pos.Line)
	f.above = s.shown(f.Pos.Line - 1)
}
