package material

import (
	"embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
)

//go:embed testdata/parts.csv testdata/polymers.csv testdata/inserts.csv testdata/magnet_grades.csv
var tables embed.FS

// record is one row of an embedded table, read by column name. A table that
// does not parse is our own fault, so it panics.
type record struct {
	file   string
	line   int
	column map[string]int
	cells  []string
}

// readTable calls row for every record of the embedded file name.
func readTable(name string, row func(record)) {
	data, err := tables.ReadFile("testdata/" + name)
	if err != nil {
		panic(err)
	}
	lines, err := csv.NewReader(strings.NewReader(string(data))).ReadAll()
	if err != nil {
		panic(fmt.Sprintf("%s: %v", name, err))
	}
	column := map[string]int{}
	for i, c := range lines[0] {
		column[c] = i
	}
	for i, cells := range lines[1:] {
		row(record{file: name, line: i + 2, column: column, cells: cells})
	}
}

func (r record) text(column string) string {
	i, ok := r.column[column]
	if !ok {
		panic(fmt.Sprintf("%s has no column %s", r.file, column))
	}
	return r.cells[i]
}

func (r record) number(column string) float64 {
	v, err := strconv.ParseFloat(r.text(column), 64)
	if err != nil {
		panic(fmt.Sprintf("%s:%d: %s: %v", r.file, r.line, column, err))
	}
	return v
}

func (r record) list(column string) []string {
	if r.text(column) == "" {
		return nil
	}
	return strings.Split(r.text(column), ";")
}

// catalogue is a table's rows, looked up by name or alias.
type catalogue[R any] struct {
	kind  string // for the error: "part material"
	rows  []R
	names []string
	index map[string]int
}

// add enters a row under its name and aliases. Two rows under one name are a
// fault of the table.
func (c *catalogue[R]) add(row R, name string, aliases []string) {
	if c.index == nil {
		c.index = map[string]int{}
	}
	for _, n := range append([]string{name}, aliases...) {
		if j, taken := c.index[plain(n)]; taken && j != len(c.rows) {
			panic(fmt.Sprintf("%s %q names two rows", c.kind, n))
		}
		c.index[plain(n)] = len(c.rows)
	}
	c.rows, c.names = append(c.rows, row), append(c.names, name)
}

func (c *catalogue[R]) find(name string) (R, error) {
	if i, ok := c.index[plain(name)]; ok {
		return c.rows[i], nil
	}
	var none R
	return none, &UnknownError{Kind: c.kind, Name: name, Near: near(name, c.names, c.index)}
}

// plain is a name without case, spaces and punctuation, in British spelling.
func plain(name string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(name) {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9', r == '+':
			b.WriteRune(r)
		}
	}
	return strings.ReplaceAll(b.String(), "aluminum", "aluminium")
}

// UnknownError says that a name is not in a table, and which are near.
type UnknownError struct {
	Kind string   // what was looked for: "part material", "polymer", ...
	Name string   // as given
	Near []string // nearest first; all names when none is near
}

func (e *UnknownError) Error() string {
	return fmt.Sprintf("%s %q is not in the table; near: %s", e.Kind, e.Name, strings.Join(e.Near, ", "))
}
