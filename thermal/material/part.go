package material

import "slices"

// PartRow is a part material at 20 to 25 °C.
type PartRow struct {
	Name    string
	Aliases []string
	// KcGroup is the group of the specific cutting force this material falls in.
	KcGroup          string
	DensityKgM3      float64
	SpecificHeatJKgK float64
	ConductivityWMK  float64
	YoungMPa         float64
	Poisson          float64
	YieldMPa         float64
	ExpansionPerK    float64 // linear
	Emissivity       float64 // as machined, total hemispherical
	Source           string
	Doubt            string // which values are from memory, estimated or a range
}

var parts = catalogue[PartRow]{kind: "part material"}

func init() {
	readTable("parts.csv", func(r record) {
		row := PartRow{
			Name: r.text("name"), Aliases: r.list("aliases"), KcGroup: r.text("kc_group"),
			DensityKgM3:      r.number("density_kg_m3"),
			SpecificHeatJKgK: r.number("specific_heat_J_kgK"),
			ConductivityWMK:  r.number("conductivity_W_mK"),
			YoungMPa:         1000 * r.number("young_GPa"),
			Poisson:          r.number("poisson"),
			YieldMPa:         r.number("yield_MPa"),
			ExpansionPerK:    1e-6 * r.number("cte_1e-6_K"),
			Emissivity:       r.number("emissivity"),
			Source:           r.text("source"), Doubt: r.text("doubt"),
		}
		parts.add(row, row.Name, row.Aliases)
	})
}

// Part returns the row of a part material by name or alias ("6061",
// "aluminum 6061-T6", "brass C360"). A name that is not in the table gives an
// *UnknownError with the near ones; so does "aluminium" alone, because the
// alloys differ too much for one of them to be meant.
func Part(name string) (PartRow, error) {
	return parts.find(name)
}

// Parts returns all part materials in table order.
func Parts() []PartRow { return slices.Clone(parts.rows) }
