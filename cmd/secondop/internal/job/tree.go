package job

import (
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"
)

const (
	noKeys  = "the file holds no keys"
	newHelp = "`secondop new` writes a job file to start from"
)

// parseTree reads the one document of a source. Syntax errors and everything
// in YAML that a job file doesn't use come back as faults.
func parseTree(s *source) (*yaml.Node, []Fault) {
	var doc yaml.Node
	dec := yaml.NewDecoder(strings.NewReader(s.text()))
	switch err := dec.Decode(&doc); {
	case errors.Is(err, io.EOF):
		return nil, []Fault{*s.fault(1, 1, 0, noKeys, newHelp)}
	case err != nil:
		return nil, []Fault{*s.syntaxFault(err)}
	}
	top := doc.Content[0]
	var faults []Fault
	if more := s.secondDocument(dec); more != nil {
		faults = append(faults, *more)
	}
	if top.Kind != yaml.MappingNode {
		return nil, append(faults, *s.fault(top.Line, top.Column, 1, "the file is not a list of keys and values", newHelp))
	}
	c := census{s: s}
	c.walk(top, 1)
	return top, append(faults, c.faults...)
}

func (s *source) secondDocument(dec *yaml.Decoder) *Fault {
	var doc yaml.Node
	err := dec.Decode(&doc)
	if errors.Is(err, io.EOF) {
		return nil
	}
	if doc.Line > 0 {
		return s.fault(doc.Line, 1, 3, "a second document begins here, and a file holds one job", "keep each job in a file of its own")
	}
	if err == nil {
		return nil
	}
	if strings.Contains(err.Error(), "<document start>") {
		line, column := s.outdent()
		return s.fault(line, column, 1, "this line is indented less than the first key", "give all keys of a section the same indentation")
	}
	return s.syntaxFault(err)
}

// A census counts values and depth and refuses what a job file doesn't use.
type census struct {
	s      *source
	values int
	faults []Fault
	full   bool
}

func (c *census) refuse(n *yaml.Node, span int, says, help string) {
	c.faults = append(c.faults, *c.s.fault(n.Line, n.Column, span, says, help))
}

func (c *census) walk(n *yaml.Node, depth int) {
	if c.full {
		return
	}
	c.values++
	switch {
	case c.values > maxValues:
		c.full = true
		c.refuse(n, 1, fmt.Sprintf("the file holds more than %d values", maxValues), "")
		return
	case depth > maxDepth:
		c.full = true
		c.refuse(n, 1, fmt.Sprintf("sections are nested more than %d deep", maxDepth), "")
		return
	case n.Kind == yaml.AliasNode:
		c.refuse(n, len([]rune(n.Value))+1, fmt.Sprintf("%q stands for a value given elsewhere, and a job file spells every value out", "*"+n.Value), "repeat the value, or put quotes round it if a star belongs to it")
		return
	case n.Anchor != "":
		c.refuse(n, len([]rune(n.Anchor))+1, fmt.Sprintf("%q names a value for use elsewhere, and a job file spells every value out", "&"+n.Anchor), "leave the name out, or put quotes round it if an ampersand belongs to it")
	case n.Style&yaml.TaggedStyle != 0:
		c.refuse(n, len([]rune(n.Tag)), fmt.Sprintf("%q is a type mark, and a job file needs none", n.Tag), "leave it out, or put quotes round it if an exclamation mark belongs to it")
	case n.Kind == yaml.ScalarNode && n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		c.refuse(n, 1, "this value runs over several lines", "write it on one line")
	case n.Kind == yaml.ScalarNode && strings.ContainsFunc(n.Value, isControl):
		c.refuse(n, c.s.span(n), "this value holds a line break or another control character", "write it on one line, without a backslash")
	}
	if n.Kind == yaml.MappingNode {
		c.keys(n)
	}
	for _, child := range n.Content {
		c.walk(child, depth+1)
	}
}

func isControl(r rune) bool { return r < ' ' || r == 0x7f || r == 0x85 || r == 0x2028 || r == 0x2029 }

// keys refuses merge keys, keys that are no plain words, and double keys.
func (c *census) keys(n *yaml.Node) {
	first := map[string]*yaml.Node{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		k := n.Content[i]
		switch {
		case k.Kind != yaml.ScalarNode:
			c.refuse(k, 1, "a key is a plain word, not a list or a section", "")
		case k.Tag == "!!merge":
			c.refuse(k, 2, "\"<<\" takes over another section's keys, and a job file spells every value out", "repeat the keys")
		case first[k.Value] != nil:
			c.refuse(k, c.s.span(k), fmt.Sprintf("key %q stands here a second time", k.Value), "keep one of the two")
			c.faults[len(c.faults)-1].Note = fmt.Sprintf("the first stands at %s:%d:%d", c.s.file, first[k.Value].Line, first[k.Value].Column)
		default:
			first[k.Value] = k
		}
	}
}

// span is how many characters a scalar takes in its line.
func (s *source) span(n *yaml.Node) int {
	line := []rune(s.line(n.Line))
	at := n.Column - 1
	if at >= len(line) || at < 0 {
		return 1
	}
	switch n.Style &^ yaml.TaggedStyle {
	case yaml.DoubleQuotedStyle, yaml.SingleQuotedStyle:
		quote := line[at]
		for i := at + 1; i < len(line); i++ {
			if line[i] == '\\' && quote == '"' {
				i++
			} else if line[i] == quote {
				return i - at + 1
			}
		}
		return len(line) - at
	}
	return max(1, min(len([]rune(n.Value)), len(line)-at))
}

var (
	yamlLine    = regexp.MustCompile(`^yaml: line (\d+): (.*)$`)
	yamlAnchor  = regexp.MustCompile(`unknown anchor '(.*)' referenced`)
	hashValue   = regexp.MustCompile(`:\s+(#\S*)`)
	flowHash    = regexp.MustCompile(`[{\[][^}\]]*[:,]\s+(#[^\s,}\]]*)`)
	oddStart    = regexp.MustCompile("[:,\\[{-]\\s+([@`%|>])")
	secondColon = regexp.MustCompile(`:\s.*?(:)(\s|$)`)
)

// syntaxFault words an error of the YAML parser, which gives a line at best.
func (s *source) syntaxFault(err error) *Fault {
	line, what := 1, strings.TrimPrefix(err.Error(), "yaml: ")
	if m := yamlLine.FindStringSubmatch(err.Error()); m != nil {
		line, _ = strconv.Atoi(m[1])
		what = m[2]
	}
	line = min(max(line, 1), len(s.lines))
	here := func(column, span int, says, help string) *Fault { return s.fault(line, column, span, says, help) }
	text := s.line(line)
	start := len([]rune(text)) - len([]rune(strings.TrimLeft(text, " \t"))) + 1
	if m := yamlAnchor.FindStringSubmatch(what); m != nil {
		if at, column := s.find("*" + m[1]); at > 0 {
			line = at
			return here(column, len([]rune(m[1]))+1, fmt.Sprintf("%q stands for a value given elsewhere, and a job file spells every value out", "*"+m[1]), "put quotes round it if a star belongs to it")
		}
	}
	for n := line; n <= min(line+2, len(s.lines)); n++ {
		if m := flowHash.FindStringSubmatchIndex(s.line(n)); m != nil {
			word := s.line(n)[m[2]:m[3]]
			return s.fault(n, runeColumn(s.line(n), m[2]), len([]rune(word)), fmt.Sprintf("%q and all after it is read as a comment", word), quoteHash(word))
		}
	}
	switch {
	case s.tabFrom(line) > 0 && (strings.Contains(what, "tab character") || strings.Contains(what, "cannot start any token")):
		line = s.tabFrom(line)
		return here(strings.IndexByte(s.line(line), '\t')+1, 1, "a tab stands in the indentation", "indent with spaces")
	case strings.Contains(what, "cannot start any token"):
		if m := oddStart.FindStringSubmatchIndex(text); m != nil {
			return here(runeColumn(text, m[2]), 1, fmt.Sprintf("a value can't begin with %q", text[m[2]:m[3]]), "put quotes round the value")
		}
	case strings.Contains(what, "mapping values are not allowed"):
		if m := secondColon.FindStringSubmatchIndex(text); m != nil {
			return here(runeColumn(text, m[2]), 1, "a second colon stands in this line", "put quotes round a value that holds a colon, or begin a new line for the key")
		}
		return here(start, 1, "this key is indented, and the line above has a value already", "give all keys of a section the same indentation")
	case strings.Contains(what, "unexpected end of stream"):
		return s.openQuote(line)
	case strings.Contains(what, "expected ',' or"):
		if n, column := s.openBracket(); n > 0 {
			return s.fault(n, column, 1, "this bracket is not closed", "a list needs [ and ], a section in one line { and }")
		}
		return here(start, 1, "a bracket in this line or above is not closed, or a comma is missing", "a list needs [ and ], a section in one line { and }")
	case strings.Contains(what, "could not find expected ':'"):
		return here(start, 1, "a colon is missing here or in the line above", "write key: value")
	case strings.Contains(what, "incompatible YAML document"):
		return here(start, 1, "this line asks for another version of YAML", "leave it out")
	}
	return here(start, 1, "this line is not in YAML's grammar: "+what, "check brackets, quotes and indentation here and in the line above")
}

// tabFrom is the first line from n on that has a tab in its indentation, or 0.
func (s *source) tabFrom(n int) int {
	for ; n <= min(len(s.lines), n+2); n++ {
		l := s.line(n)
		if strings.ContainsRune(l[:len(l)-len(strings.TrimLeft(l, " \t"))], '\t') {
			return n
		}
	}
	return 0
}

// outdent is the first key that is indented less than the first of all.
func (s *source) outdent() (line, column int) {
	first := -1
	for i, l := range s.lines {
		t := strings.TrimLeft(l, " ")
		if t == "" || t[0] == '#' || strings.HasPrefix(t, "---") {
			continue
		}
		indent := len(l) - len(t)
		if first >= 0 && indent < first {
			return i + 1, indent + 1
		}
		if first < 0 {
			first = indent
		}
	}
	return 1, 1
}

// openBracket is the place of the first bracket that is closed by one of the
// other kind, or by none. It reads no quotes across lines.
func (s *source) openBracket() (line, column int) {
	type opener struct {
		r            rune
		line, column int
	}
	var open []opener
	for n, l := range s.lines {
		quote := rune(0)
		before := ' '
		for at, r := range []rune(l) {
			starts := strings.ContainsRune(" ,:[{", before)
			switch {
			case quote != 0:
				if r == quote {
					quote = 0
				}
			case r == '#' && before == ' ':
				before = '#'
			case (r == '"' || r == '\'') && starts:
				quote = r
			case r == '[' || r == '{':
				if starts || len(open) > 0 {
					open = append(open, opener{r, n + 1, at + 1})
				}
			case (r == ']' || r == '}') && len(open) > 0:
				last := open[len(open)-1]
				if (last.r == '[') != (r == ']') {
					return last.line, last.column
				}
				open = open[:len(open)-1]
			}
			if before == '#' {
				break
			}
			before = r
		}
	}
	if len(open) > 0 {
		return open[len(open)-1].line, open[len(open)-1].column
	}
	return 0, 0
}

// openQuote looks for the quote that no other closes.
func (s *source) openQuote(last int) *Fault {
	for n := min(last, len(s.lines)); n >= 1; n-- {
		for _, quote := range []string{`"`, "'"} {
			if strings.Count(s.line(n), quote)%2 == 1 {
				return s.fault(n, runeColumn(s.line(n), strings.Index(s.line(n), quote)), 1, "this quote is not closed", "")
			}
		}
	}
	return s.fault(last, 1, 1, "a quote or bracket is not closed before the end of the file", "")
}

func (s *source) find(word string) (line, column int) {
	for i, l := range s.lines {
		if at := strings.Index(l, word); at >= 0 {
			return i + 1, runeColumn(l, at)
		}
	}
	return 0, 0
}

func runeColumn(line string, at int) int {
	if at < 0 {
		return 1
	}
	return len([]rune(line[:at])) + 1
}

func quoteHash(word string) string {
	return fmt.Sprintf(`put quotes round it: "%s", or write no %s`, word, strings.TrimPrefix(word, "#"))
}
