package job

import (
	"bytes"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"
)

// Calibration is what thermometer readings taught: the share of cutting power
// that enters the part, as shares of one, and where it comes from.
type Calibration struct {
	Low, Likely, High float64
	From              string // the job and cut that were read
	Date              string // 2026-01-31
}

// SetCalibration returns the shop file with the calibration in it, everything
// else as it was. An empty file gets its first lines; inch is then its unit.
func SetCalibration(name string, shop []byte, inch bool, c Calibration) ([]byte, []Fault) {
	share := func(x float64) string { return digits(x*100, 3) + " %" }
	return set(name, shop, inch, []setting{
		{"calibration", "share", fmt.Sprintf("[%s, %s, %s]", share(c.Low), share(c.Likely), share(c.High))},
		{"calibration", "from", quoted(c.From)},
		{"calibration", "date", quoted(c.Date)},
	})
}

// SetPrinter returns the shop file with the printer's errors in it, per wall,
// everything else as it was.
func SetPrinter(name string, shop []byte, inch bool, outsideMM, insideMM float64) ([]byte, []Fault) {
	u := Units{inch}
	return set(name, shop, inch, []setting{
		{"printer", "outside", u.Length(outsideMM)},
		{"printer", "inside", u.Length(insideMM)},
	})
}

// A setting is a value for one key of one section, as typed.
type setting struct{ section, key, value string }

// quoted writes a text so that YAML reads it as that text.
func quoted(s string) string {
	s = strings.Map(func(r rune) rune {
		if isControl(r) {
			return ' '
		}
		return r
	}, s)
	if r := []rune(s); len(r) > maxText {
		s = string(r[:maxText])
	}
	return strconv.Quote(s)
}

// set edits the text, not a tree: comments, blank lines and the order of the
// keys stay. The result is read back and must differ in the settings alone.
func set(name string, shop []byte, inch bool, settings []setting) ([]byte, []Fault) {
	if len(bytes.TrimSpace(shop)) == 0 {
		units := "mm"
		if inch {
			units = "inch"
		}
		shop = []byte("# What the jobs beside this file share: table, printer, tools, clamp, machine.\nsecondop: 1\nunits: " + units + "\n")
	}
	s, bad := decode(name, shop)
	if bad != nil {
		return nil, []Fault{*bad}
	}
	before, faults := parseTree(s)
	if len(faults) > 0 {
		return nil, faults
	}
	byHand := s.fault(1, 1, 0, "this file is laid out in a way that can't be edited without harm",
		"add by hand: "+settings[0].section+": {"+inOneLine(settings)+"}")
	top := before
	for _, one := range slices.Backward(settings) { // each goes in above the last
		if bad := s.set(top, one); bad != nil {
			return nil, []Fault{*bad}
		}
		if top, faults = parseTree(s); len(faults) > 0 {
			return nil, []Fault{*byHand}
		}
	}
	if !sameButFor(before, top, settings) {
		return nil, []Fault{*byHand}
	}
	end := "\n"
	if bytes.Contains(shop, []byte("\r\n")) {
		end = "\r\n"
	}
	return []byte(strings.Join(s.lines, end) + end), nil
}

func inOneLine(settings []setting) string {
	parts := make([]string, len(settings))
	for i, one := range settings {
		parts[i] = one.key + ": " + one.value
	}
	return strings.Join(parts, ", ")
}

// set puts one value into the text.
func (s *source) set(top *yaml.Node, one setting) *Fault {
	section := child(top, one.section)
	switch {
	case section == nil:
		s.lines = append(s.lines, one.section+":", "  "+one.key+": "+one.value)
		return nil
	case section.Kind != yaml.MappingNode || len(section.Content) == 0:
		return s.fault(section.Line, section.Column, 1, one.section+" is no section of keys", "")
	}
	value := child(section, one.key)
	if value == nil {
		s.add(section, one)
		return nil
	}
	span := s.span(value)
	if value.Kind == yaml.SequenceNode {
		span = s.flowSpan(value)
	}
	if span == 0 || value.Kind == yaml.MappingNode {
		return s.fault(value.Line, value.Column, 1, one.key+" is not written on one line", "write it as "+one.key+": "+one.value)
	}
	line := []rune(s.line(value.Line))
	s.lines[value.Line-1] = string(line[:value.Column-1]) + one.value + string(line[value.Column-1+span:])
	return nil
}

// add puts a new key before the first of a section.
func (s *source) add(section *yaml.Node, one setting) {
	first := section.Content[0]
	line := []rune(s.line(first.Line))
	if section.Style&yaml.FlowStyle != 0 {
		s.lines[first.Line-1] = string(line[:first.Column-1]) + one.key + ": " + one.value + ", " + string(line[first.Column-1:])
		return
	}
	added := strings.Repeat(" ", first.Column-1) + one.key + ": " + one.value
	s.lines = append(s.lines[:first.Line-1], append([]string{added}, s.lines[first.Line-1:]...)...)
}

// flowSpan is the width of a list written on one line, else 0.
func (s *source) flowSpan(n *yaml.Node) int {
	line := []rune(s.line(n.Line))
	for i := n.Column - 1; i >= 0 && i < len(line) && line[n.Column-1] == '['; i++ {
		if line[i] == ']' {
			return i - n.Column + 2
		}
	}
	return 0
}

// sameButFor compares two trees that may differ in the settings.
func sameButFor(before, after *yaml.Node, settings []setting) bool {
	plain := func(n *yaml.Node) map[string]any {
		m := map[string]any{}
		if n.Decode(&m) != nil {
			return nil
		}
		for _, one := range settings {
			if section, ok := m[one.section].(map[string]any); ok {
				delete(section, one.key)
				if len(section) == 0 {
					delete(m, one.section)
				}
			}
		}
		return m
	}
	a, b := plain(before), plain(after)
	if a == nil || !reflect.DeepEqual(a, b) {
		return false
	}
	for _, one := range settings {
		var want any
		got := child(after, one.section)
		if got == nil || child(got, one.key) == nil || yaml.Unmarshal([]byte(one.value), &want) != nil {
			return false
		}
		var is any
		if child(got, one.key).Decode(&is) != nil || !reflect.DeepEqual(want, is) {
			return false
		}
	}
	return true
}
