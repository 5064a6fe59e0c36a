package material

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"
)

// KcLaw is one published law of the tangential force on a cutting edge. At an
// uncut chip thickness h (mm) the force per mm of edge is
//
//	dFt/db = kc1.1·h^(1−mc) + edge     (N/mm)
//
// A Kienzle row has edge 0; a measured pair of shear and edge coefficients has
// mc 0. Below ValidFromChipMM the law is extrapolated.
type KcLaw struct {
	KC11NMM2        float64 // specific cutting force at h = b = 1 mm, N/mm²
	MC              float64 // exponent, 0..1
	EdgeNMM         float64 // force per mm of edge that does not depend on the chip, N/mm
	ValidFromChipMM float64 // thinnest chip of the data behind the row, mm
	Source          string
}

// ForceNMM returns the tangential force per mm of edge in N/mm at an uncut chip
// thickness in mm. It is 0 where there is no chip.
func (l KcLaw) ForceNMM(chipMM float64) float64 {
	if !(chipMM > 0) {
		return 0
	}
	return l.KC11NMM2*math.Pow(chipMM, 1-l.MC) + l.EdgeNMM
}

// Kc is what is known of the specific cutting force of one group of part
// materials. Low and High are other published rows, not a spread of Likely, so
// at some chip thickness they may lie on the same side of it; thermal/cutting
// orders them.
type Kc struct {
	Group             string
	Low, Likely, High KcLaw
	// FlankNMM is the part of the force per mm of edge that rubs instead of
	// cutting, N/mm; its power goes into the part.
	FlankNMM    float64
	FlankSource string
}

// A KcGroupError says that there is no data for a group of part materials.
type KcGroupError struct{ Group string }

func (e *KcGroupError) Error() string {
	return fmt.Sprintf("no specific cutting force for material group %q; there is one for %s", e.Group, strings.Join(KcGroups(), ", "))
}

//go:embed testdata/kc.csv
var kcCSV string

// KcOf returns the specific cutting force of a material group, such as
// "aluminium aged". It returns a *KcGroupError for a group without data.
// "brass" means leaded brass; unleaded brass cuts with about twice the force
// (Groover, Fundamentals of Modern Manufacturing, Table 20.2: 2.2 J/mm³).
func KcOf(group string) (Kc, error) {
	for _, k := range kcTable() {
		if k.Group == group {
			return k, nil
		}
	}
	return Kc{}, &KcGroupError{Group: group}
}

// KcGroups lists the material groups with data, in table order.
func KcGroups() []string {
	var names []string
	for _, k := range kcTable() {
		names = append(names, k.Group)
	}
	return names
}

// kcTable reads the embedded table once. A fault in it is ours, so it panics.
var kcTable = sync.OnceValue(func() []Kc {
	table, err := readKc(kcCSV)
	if err != nil {
		panic("material: kc.csv: " + err.Error())
	}
	return table
})

func readKc(text string) ([]Kc, error) {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		return nil, err
	}
	var table []Kc
	for i, row := range rows[1:] {
		group, level, source := row[0], row[1], row[6]
		if len(table) == 0 || table[len(table)-1].Group != group {
			table = append(table, Kc{Group: group})
		}
		k := &table[len(table)-1]
		var v [4]float64
		for c := range v {
			if row[2+c] == "" {
				continue
			}
			if v[c], err = strconv.ParseFloat(row[2+c], 64); err != nil {
				return nil, fmt.Errorf("row %d: %w", i+2, err)
			}
		}
		law := KcLaw{KC11NMM2: v[0], MC: v[1], EdgeNMM: v[2], ValidFromChipMM: v[3], Source: source}
		switch level {
		case "low":
			k.Low = law
		case "likely":
			k.Likely = law
		case "high":
			k.High = law
		case "flank":
			k.FlankNMM, k.FlankSource = v[2], source
		default:
			return nil, fmt.Errorf("row %d: level %q, must be low, likely, high or flank", i+2, level)
		}
	}
	return table, nil
}
