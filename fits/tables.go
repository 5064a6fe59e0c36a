package fits

import (
	"embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
	"sync"
)

//go:embed data/*.csv
var dataFiles embed.FS

// Grades count IT01 as -1, IT0 as 0 and IT1 to IT18 as themselves.
const (
	lowestGrade  = -1
	highestGrade = 18
)

// sizeBand is a range of sizes: over, up to and including.
type sizeBand struct{ over, to float64 }

func (b sizeBand) holds(size float64) bool { return size > b.over && size <= b.to }

// gradeRow is one size range of the standard tolerances, in µm, from IT01 on.
type gradeRow struct {
	sizeBand
	um [highestGrade - lowestGrade + 1]float64
}

// deltaRow is one size range of the Δ values for IT3 to IT8, in µm.
type deltaRow struct {
	sizeBand
	um [6]float64
}

// deviation is one cell of the tables of fundamental deviations.
type deviation struct {
	sizeBand
	um       float64
	kind     string // es, ei, ES, EI, or both sides alike
	addDelta bool
	grades   gradeSet
	memory   bool // not seen in a source
}

// inchRow is one class over one size range of ANSI B4.1: inches and thousandths.
type inchRow struct {
	sizeBand
	class                  string
	holeClass, shaftClass  string
	holeUpper, holeLower   float64
	shaftUpper, shaftLower float64
	source                 string
}

// isoTables holds the metric standard as read from the embedded files.
type isoTables struct {
	grades     []gradeRow
	deltas     []deltaRow
	deviations map[string][]deviation // by letter, upper case for holes
}

// The tables are read on first use: a program that looks up no fit pays nothing.
var loadISO = sync.OnceValue(func() *isoTables {
	t := &isoTables{deviations: map[string][]deviation{}}
	for _, r := range readTable(dataFiles, "data/iso286_it.csv") {
		row := gradeRow{sizeBand: sizeBand{number(r[0]), number(r[1])}}
		for i := range row.um {
			row.um[i] = number(r[2+i])
		}
		t.grades = append(t.grades, row)
	}
	for _, r := range readTable(dataFiles, "data/iso286_delta.csv") {
		row := deltaRow{sizeBand: sizeBand{number(r[0]), number(r[1])}}
		for i := range row.um {
			row.um[i] = number(r[2+i])
		}
		t.deltas = append(t.deltas, row)
	}
	for _, r := range readTable(dataFiles, "data/iso286_shaft_deviations.csv") {
		t.add(r[2], deviation{
			sizeBand: sizeBand{number(r[0]), number(r[1])}, kind: r[3], um: number(r[4]),
			grades: parseGradeSet(r[5]), memory: strings.Contains(r[6], "from memory"),
		})
	}
	for _, r := range readTable(dataFiles, "data/iso286_hole_deviations.csv") {
		t.add(r[2], deviation{
			sizeBand: sizeBand{number(r[0]), number(r[1])}, kind: r[3], um: number(r[4]),
			addDelta: r[5] == "yes", grades: parseGradeSet(r[6]),
		})
	}
	return t
})

var loadInch = sync.OnceValue(func() []inchRow {
	var rows []inchRow
	for _, r := range readTable(dataFiles, "data/ansi_b41.csv") {
		rows = append(rows, inchRow{
			sizeBand: sizeBand{number(r[0]), number(r[1])}, class: r[2], holeClass: r[3], shaftClass: r[4],
			holeUpper: number(r[5]), holeLower: number(r[6]), shaftUpper: number(r[7]), shaftLower: number(r[8]), source: r[9],
		})
	}
	return rows
})

func (t *isoTables) add(letter string, d deviation) {
	t.deviations[letter] = append(t.deviations[letter], d)
}

// tolerance is the standard tolerance of a grade in µm.
func (t *isoTables) tolerance(size float64, grade int) float64 {
	for _, r := range t.grades {
		if r.holds(size) {
			return r.um[grade-lowestGrade]
		}
	}
	panic(fmt.Sprintf("fits: no standard tolerance for %g mm", size))
}

// delta is the Δ of a grade in µm; ok is false where the standard gives none.
func (t *isoTables) delta(size float64, grade int) (um float64, ok bool) {
	if grade < 3 || grade > 8 {
		return 0, false
	}
	for _, r := range t.deltas {
		if r.holds(size) {
			return r.um[grade-3], true
		}
	}
	return 0, false
}

// cell is the fundamental deviation of a letter for a size and grade.
func (t *isoTables) cell(letter string, size float64, grade int) (deviation, bool) {
	for _, d := range t.deviations[letter] {
		if d.holds(size) && d.grades.holds(grade) {
			return d, true
		}
	}
	return deviation{}, false
}

// gradeSet says for which grades a cell stands, one bit a grade from IT01 on.
type gradeSet uint32

func (s gradeSet) holds(grade int) bool { return s&(1<<(grade-lowestGrade)) != 0 }

// parseGradeSet reads the tables' column of grades: "all", "<=IT7", ">IT7",
// "IT4-IT7", "IT5 IT6", "<=IT3 and >=IT8".
func parseGradeSet(text string) gradeSet {
	span := func(from, to int) (s gradeSet) {
		for g := from; g <= to; g++ {
			s |= 1 << (g - lowestGrade)
		}
		return s
	}
	grade := func(s string) int {
		n, err := strconv.Atoi(strings.TrimPrefix(s, "IT"))
		if err != nil {
			panic(fmt.Sprintf("fits: grades %q in the tables", text))
		}
		return n
	}
	var set gradeSet
	for _, word := range strings.Fields(strings.ReplaceAll(text, " and ", " ")) {
		switch {
		case word == "all":
			set |= span(lowestGrade, highestGrade)
		case strings.HasPrefix(word, "<="):
			set |= span(lowestGrade, grade(word[2:]))
		case strings.HasPrefix(word, ">="):
			set |= span(grade(word[2:]), highestGrade)
		case strings.HasPrefix(word, ">"):
			set |= span(grade(word[1:])+1, highestGrade)
		case strings.Contains(word, "-"):
			from, to, _ := strings.Cut(word, "-")
			set |= span(grade(from), grade(to))
		default:
			set |= span(grade(word), grade(word))
		}
	}
	return set
}

// readTable reads an embedded table without its head line. The files are part
// of the program: a fault in one is a bug.
func readTable(files embed.FS, name string) [][]string {
	f, err := files.Open(name)
	if err != nil {
		panic(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		panic(fmt.Sprintf("fits: %s: %v", name, err))
	}
	return rows[1:]
}

func number(text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		panic(fmt.Sprintf("fits: number %q in the tables", text))
	}
	return v
}
