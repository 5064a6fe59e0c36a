package press

import (
	"embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
)

//go:embed data/*.csv testdata/*.csv
var files embed.FS

// FrictionRow is the pair of bands for one pairing of part and insert.
type FrictionRow struct {
	Part        string // family of the part: aluminium, cast iron, steel, brass
	Lubricated  bool
	Hold, Press Band
	Source      string
}

// Two numbers, because the safe side differs: a low one for what holds, a high
// one for what it takes to press in. The holding values are the DIN 7190-1
// adhesion values for a pressed-in steel insert, from slipping to loosening; no
// table was found for plated magnets, so they take the part's row.
const pressBandSource = "; press-in: common practice, no source"

var frictionRows = []FrictionRow{
	{"aluminium", false, Band{0.06, 0.07}, Band{0.15, 0.25}, "hold: DIN 7190-1 sec. 5.2, Al-Si casting, dry, from memory" + pressBandSource},
	{"aluminium", true, Band{0.04, 0.05}, Band{0.08, 0.15}, "hold: DIN 7190-1 sec. 5.2, Al-Si casting, lubricated, from memory" + pressBandSource},
	{"steel", false, Band{0.08, 0.11}, Band{0.15, 0.25}, "hold: DIN 7190-1 sec. 5.2, E335, dry, partly a secondary copy" + pressBandSource},
	{"steel", true, Band{0.07, 0.08}, Band{0.10, 0.18}, "hold: DIN 7190-1 sec. 5.2, E335, lubricated, partly a secondary copy" + pressBandSource},
	{"cast iron", false, Band{0.11, 0.12}, Band{0.15, 0.25}, "hold: DIN 7190-1 sec. 5.2, EN-GJL-250, dry, from memory" + pressBandSource},
	{"cast iron", true, Band{0.05, 0.06}, Band{0.08, 0.15}, "hold: DIN 7190-1 sec. 5.2, EN-GJL-250, lubricated, from memory" + pressBandSource},
	{"brass", false, Band{0.06, 0.07}, Band{0.15, 0.25}, "hold: DIN 7190-1 sec. 5.2, lead bronze, dry, from memory" + pressBandSource},
	{"brass", true, Band{0.04, 0.05}, Band{0.08, 0.15}, "hold: taken as the aluminium row, no source" + pressBandSource},
}

// Friction returns the holding and press-in bands for a part of a material whose
// name holds "alumin", "iron", "brass", "bronze", "copper" or "steel"; any other
// gets the aluminium row, the lowest. lubricated is true when the joint is
// assembled with oil or a press paste.
func Friction(partMaterial string, lubricated bool) FrictionRow {
	name := strings.ToLower(partMaterial)
	family := "aluminium"
	for _, f := range []struct{ word, family string }{
		{"alumin", "aluminium"}, {"iron", "cast iron"}, {"brass", "brass"}, {"bronze", "brass"}, {"copper", "brass"}, {"steel", "steel"},
	} {
		if strings.Contains(name, f.word) {
			family = f.family
			break
		}
	}
	for _, r := range frictionRows {
		if r.Part == family && r.Lubricated == lubricated {
			return r
		}
	}
	panic("press: no friction row for " + family)
}

// FrictionRows lists every pairing, for a printed table.
func FrictionRows() []FrictionRow { return append([]FrictionRow(nil), frictionRows...) }

// readCSV reads an embedded file without its head line. The files are part of
// the program: a fault in one is a bug.
func readCSV(name string) [][]string {
	f, err := files.Open(name)
	if err != nil {
		panic(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		panic(fmt.Sprintf("press: %s: %v", name, err))
	}
	return rows[1:]
}

func number(text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		panic(fmt.Sprintf("press: number %q in a table", text))
	}
	return v
}
