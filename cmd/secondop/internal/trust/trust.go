// Package trust gathers the published values that the rooms carry with them and
// holds the program's own against them, on the machine it runs on.
package trust

import (
	"context"
	"fmt"
	"io"
	"math"
	"sort"
	"strings"
	"text/tabwriter"

	"secondop/fits"
	"secondop/fits/press"
	"secondop/fixture/hold"
	"secondop/thermal"
	"secondop/thermal/cutting"
)

// Case is one known value beside the program's own.
type Case struct {
	Room, Source, What, Unit   string
	Published, Tolerance, Ours float64
	// Counts says that the value was read in a source outside the project. A
	// reference vector worked out from a published formula, or a value from
	// memory, is checked all the same but doesn't count as published.
	Counts bool
}

// Agrees tells whether the two are within what the source's printing can show.
func (c Case) Agrees() bool { return math.Abs(c.Published-c.Ours) <= c.Tolerance }

// Rooms in the order of the tables.
var Rooms = []string{"fits", "press", "bore", "forces", "grip", "heat"}

// Cases computes every known value anew.
func Cases(ctx context.Context) (all []Case, err error) {
	add := func(room, source, what, unit string, published, tolerance, ours float64, counts bool) {
		all = append(all, Case{room, source, what, unit, published, tolerance, ours, counts})
	}
	limits, err := fits.CheckCases()
	if err != nil {
		return nil, err
	}
	for _, c := range limits {
		add("fits", c.Source, c.What, c.Unit, c.Published, c.Tolerance, c.Ours, !c.FromMemory)
	}
	joints, err := press.CheckCases()
	if err != nil {
		return nil, err
	}
	for _, c := range joints {
		add("press", c.Source, c.What, c.Unit, c.Published, c.Tolerance, c.Ours, !c.FromMemory)
	}
	forces, err := cutting.CheckCases()
	if err != nil {
		return nil, err
	}
	for _, c := range forces {
		add("forces", c.Source, c.What, c.Unit, c.Published, c.Tolerance, c.Ours, c.Status == "published")
	}
	grips, err := hold.CheckCases()
	if err != nil {
		return nil, err
	}
	for _, c := range grips {
		add("grip", c.Source, c.What, c.Unit, c.Published, c.Tolerance, c.Ours, c.Status == "published")
	}
	heats, err := thermal.Published(ctx)
	if err != nil {
		return nil, err
	}
	for _, c := range heats {
		all = append(all, heatCase(c))
	}
	return all, nil
}

// heatCase takes a textbook's answer. Many were read from a chart: the exact
// value of the same formula with the printed inputs is what ours must meet, so
// the printed answer may be off by as much as the chart is. Without a printed
// answer the exact value is a reference.
func heatCase(c thermal.Case) Case {
	out := Case{
		Room: "heat", Source: c.Source, What: c.ID + ", " + c.Quantity, Unit: c.Unit,
		Published: c.Published, Ours: c.Got, Counts: c.Published != 0,
		Tolerance: math.Abs(c.Published-c.Exact) + c.Tolerance*math.Abs(c.Exact),
	}
	if !out.Counts {
		out.Published, out.Tolerance = c.Exact, c.Tolerance*math.Abs(c.Exact)
	}
	if !c.Holds() {
		out.Tolerance = 0
	}
	return out
}

// Row sums up one room.
type Row struct {
	Room             string  `json:"room"`
	Published        int     `json:"published"` // values read in a source outside the project
	Reference        int     `json:"reference"` // vectors worked out from published formulas, and values from memory
	Mismatches       int     `json:"mismatches"`
	Sources          int     `json:"sources"`
	WorstOfTolerance float64 `json:"worst_of_tolerance"` // largest difference over the source's own tolerance
	WorstAt          string  `json:"worst_at"`
}

// Sum sums up the cases room by room.
func Sum(cases []Case) (rows []Row) {
	for _, room := range Rooms {
		r := Row{Room: room}
		sources := map[string]bool{}
		for _, c := range cases {
			if c.Room != room {
				continue
			}
			if c.Counts {
				r.Published++
				sources[c.Source] = true
			} else {
				r.Reference++
			}
			if !c.Agrees() {
				r.Mismatches++
			}
			if c.Tolerance > 0 {
				if w := math.Abs(c.Published-c.Ours) / c.Tolerance; w > r.WorstOfTolerance {
					r.WorstOfTolerance, r.WorstAt = w, c.What
				}
			}
		}
		r.Sources = len(sources)
		rows = append(rows, r)
	}
	return rows
}

// Total counts published values and mismatches of all rooms.
func Total(rows []Row) (published, mismatches int) {
	for _, r := range rows {
		published += r.Published
		mismatches += r.Mismatches
	}
	return published, mismatches
}

// Print writes the sums as a table, and every mismatch below it.
func Print(w io.Writer, cases []Case) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "room\tpublished\tsources\treference\tmismatches\tworst, of its tolerance\t")
	rows := Sum(cases)
	for _, r := range rows {
		fmt.Fprintf(t, "%s\t%d\t%d\t%d\t%d\t%.0f %%\t%s\n", r.Room, r.Published, r.Sources, r.Reference, r.Mismatches, r.WorstOfTolerance*100, r.WorstAt)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	published, mismatches := Total(rows)
	fmt.Fprintf(w, "%d published values, %d mismatches\n", published, mismatches)
	for _, c := range cases {
		if !c.Agrees() {
			fmt.Fprintf(w, "mismatch: %s, %s: published %.6g %s, ours %.6g, tolerance %.2g (%s)\n", c.Room, c.What, c.Published, c.Unit, c.Ours, c.Tolerance, c.Source)
		}
	}
	return nil
}

// Markdown writes the section of the README: the sums, then one case of each
// source with the largest difference.
func Markdown(w io.Writer, cases []Case) error {
	rows := Sum(cases)
	published, mismatches := Total(rows)
	fmt.Fprintf(w, "%d published values are computed anew by `secondop selfcheck`, with %d outside the tolerance of their source's own printing.\n", published, mismatches)
	fmt.Fprint(w, "A reference vector is worked out from a published formula apart from this code, or known from memory; it is checked and not counted.\n\n")
	fmt.Fprintln(w, "| room | published values | sources | reference vectors | mismatches |")
	fmt.Fprintln(w, "|---|---|---|---|---|")
	for _, r := range rows {
		fmt.Fprintf(w, "| %s | %d | %d | %d | %d |\n", r.Room, r.Published, r.Sources, r.Reference, r.Mismatches)
	}
	fmt.Fprint(w, "\nCase by case, the one of each source that differs most:\n\n")
	fmt.Fprintln(w, "| source | case | published | ours | difference |")
	fmt.Fprintln(w, "|---|---|---|---|---|")
	for _, c := range worstOfEachSource(cases) {
		fmt.Fprintf(w, "| %s | %s | %.6g %s | %.6g | %s |\n", cell(c.Source), cell(c.What), c.Published, c.Unit, c.Ours, difference(c))
	}
	return nil
}

// difference is how far ours is off, 0 below what six digits show.
func difference(c Case) string {
	d := math.Abs(c.Published - c.Ours)
	if d <= 1e-6*math.Abs(c.Published) {
		return "0"
	}
	return fmt.Sprintf("%.2g", d)
}

func worstOfEachSource(cases []Case) (out []Case) {
	worst := map[string]Case{}
	for _, c := range cases {
		if !c.Counts {
			continue
		}
		key := c.Room + "\x00" + c.Source
		if old, ok := worst[key]; !ok || math.Abs(c.Published-c.Ours) > math.Abs(old.Published-old.Ours) {
			worst[key] = c
		}
	}
	for _, c := range worst {
		out = append(out, c)
	}
	rank := map[string]int{}
	for i, r := range Rooms {
		rank[r] = i
	}
	sort.Slice(out, func(i, j int) bool {
		if a, b := rank[out[i].Room], rank[out[j].Room]; a != b {
			return a < b
		}
		return out[i].Source < out[j].Source
	})
	return out
}

// cell keeps a text within one cell of a table, and short.
func cell(s string) string {
	s = strings.Join(strings.Fields(strings.ReplaceAll(s, "|", "/")), " ")
	if r := []rune(s); len(r) > 110 {
		s = string(r[:107]) + "..."
	}
	return s
}
