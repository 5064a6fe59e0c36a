package material

import (
	"fmt"
	"slices"
	"strings"
)

// InsertRow is the material of a bought insert at 20 to 25 °C. A magnet is
// brittle and has no yield: use its tensile and compressive strength. A value
// that does not apply is 0.
type InsertRow struct {
	Name             string
	Aliases          []string
	Magnet           bool
	DensityKgM3      float64
	SpecificHeatJKgK float64
	ConductivityWMK  float64
	YoungMPa         float64
	Poisson          float64
	YieldMPa         float64
	TensileMPa       float64
	CompressiveMPa   float64
	// Expansion along the axis (the direction of magnetisation of a magnet) and
	// across it. Sintered NdFeB shrinks across its axis when it warms.
	ExpansionAxialPerK, ExpansionRadialPerK float64
	WorkingC                                float64 // highest working temperature; 0: none known
	CurieC                                  float64
	Source                                  string
	Doubt                                   string
}

// GradeRow is the working temperature that goes with the suffix of a NdFeB
// grade.
type GradeRow struct {
	Suffix   string // "", M, H, SH, UH, EH, AH
	WorkingC float64
	Source   string
	Doubt    string
}

// ThinMagnet is the ratio of length to diameter under which a NdFeB disc loses
// strength earlier than its grade says, and ThinWorkingC what a grade without
// suffix then stands. Source: magnet makers state the grade's temperature at
// this ratio; 60 °C is a common derating, from memory.
const (
	ThinMagnet   = 0.7
	ThinWorkingC = 60.0
)

var (
	inserts = catalogue[InsertRow]{kind: "insert material"}
	grades  []GradeRow
)

func init() {
	readTable("inserts.csv", func(r record) {
		row := InsertRow{
			Name: r.text("name"), Aliases: r.list("aliases"), Magnet: r.number("magnet") == 1,
			DensityKgM3:         r.number("density_kg_m3"),
			SpecificHeatJKgK:    r.number("specific_heat_J_kgK"),
			ConductivityWMK:     r.number("conductivity_W_mK"),
			YoungMPa:            1000 * r.number("young_GPa"),
			Poisson:             r.number("poisson"),
			YieldMPa:            r.number("yield_MPa"),
			TensileMPa:          r.number("tensile_MPa"),
			CompressiveMPa:      r.number("compressive_MPa"),
			ExpansionAxialPerK:  1e-6 * r.number("cte_axial_1e-6_K"),
			ExpansionRadialPerK: 1e-6 * r.number("cte_radial_1e-6_K"),
			WorkingC:            r.number("working_C"),
			CurieC:              r.number("curie_C"),
			Source:              r.text("source"), Doubt: r.text("doubt"),
		}
		inserts.add(row, row.Name, row.Aliases)
	})
	readTable("magnet_grades.csv", func(r record) {
		grades = append(grades, GradeRow{
			Suffix: r.text("suffix"), WorkingC: r.number("working_C"),
			Source: r.text("source"), Doubt: r.text("doubt"),
		})
	})
}

// Insert returns the row of an insert material by name or alias ("NdFeB",
// "disc magnet", "dowel pin", "bronze"). A name that is not in the table gives
// an *UnknownError with the near ones.
func Insert(name string) (InsertRow, error) {
	return inserts.find(name)
}

// Inserts returns all insert materials in table order.
func Inserts() []InsertRow { return slices.Clone(inserts.rows) }

// Grades returns the NdFeB suffixes in order of temperature.
func Grades() []GradeRow { return slices.Clone(grades) }

// MagnetWorkingC returns the highest working temperature in °C of a sintered
// NdFeB disc of the grade ("N42", "N45SH"; "" is a grade without suffix) whose
// length over diameter is ratio (0: unknown, judged as thick).
//
// N50 to N55 without suffix stand 60 °C only, as does a plain grade in a disc
// thinner than ThinMagnet; a thin disc of a suffixed grade loses the same
// 20 K. A grade that is not of the form N, number, suffix gives an error that
// lists the suffixes.
func MagnetWorkingC(grade string, ratio float64) (float64, error) {
	if !(ratio >= 0) {
		return 0, fmt.Errorf("length over diameter of the magnet is %g, must be 0 (unknown) or more", ratio)
	}
	class, suffix, err := splitGrade(grade)
	if err != nil {
		return 0, err
	}
	i := slices.IndexFunc(grades, func(g GradeRow) bool { return g.Suffix == suffix })
	if i < 0 {
		return 0, gradeError(grade)
	}
	workingC := grades[i].WorkingC
	if ratio > 0 && ratio < ThinMagnet || suffix == "" && class >= 50 {
		workingC -= grades[0].WorkingC - ThinWorkingC
	}
	return workingC, nil
}

// splitGrade reads "N45SH" as 45, "SH".
func splitGrade(grade string) (class int, suffix string, err error) {
	g := strings.ToUpper(strings.TrimSpace(grade))
	if g == "" || g == "N" {
		return 0, "", nil
	}
	g = strings.TrimPrefix(g, "N")
	digits := len(g) - len(strings.TrimLeft(g, "0123456789"))
	if digits != 2 {
		return 0, "", gradeError(grade)
	}
	if _, err := fmt.Sscan(g[:digits], &class); err != nil {
		return 0, "", gradeError(grade)
	}
	return class, g[digits:], nil
}

func gradeError(grade string) error {
	var near []string
	for _, g := range grades {
		near = append(near, "N42"+g.Suffix)
	}
	return &UnknownError{Kind: "magnet grade", Name: grade, Near: near}
}
