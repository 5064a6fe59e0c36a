package main

import (
	"fmt"
	"io"
	"sort"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"secondop/cmd/secondop/internal/job"
	"secondop/fits/bore"
	"secondop/fits/press"
	"secondop/fixture/grid"
	"secondop/fixture/hold"
	"secondop/thermal"
	"secondop/thermal/material"
)

// A listing is one table of the program's data, each row with its source.
type listing struct {
	says string
	head []string
	rows func() [][]string
}

var listings = map[string]listing{
	"materials": {"part materials", []string{"name", "density kg/m3", "conducts W/mK", "yield MPa", "source"}, func() (rows [][]string) {
		for _, m := range material.Parts() {
			rows = append(rows, []string{m.Name, num(m.DensityKgM3), num(m.ConductivityWMK), num(m.YieldMPa), sourced(m.Source, m.Doubt)})
		}
		return rows
	}},
	"polymers": {"jaw polymers", []string{"name", "safe to C", "caution to C", "stop at C", "source"}, func() (rows [][]string) {
		for _, m := range material.Polymers() {
			rows = append(rows, []string{m.Name, num(m.GoC), num(m.CautionC), num(m.StopC), sourced(m.Source, m.Doubt)})
		}
		return rows
	}},
	"inserts": {"insert materials", []string{"name", "modulus MPa", "grows 1e-6/K", "working C", "source"}, func() (rows [][]string) {
		for _, m := range material.Inserts() {
			rows = append(rows, []string{m.Name, num(m.YoungMPa), num(m.ExpansionRadialPerK * 1e6), num(m.WorkingC), sourced(m.Source, m.Doubt)})
		}
		return rows
	}},
	"fasteners": {"screws and washers", []string{"thread", "hole mm", "head mm", "washer mm", "source"}, func() (rows [][]string) {
		for _, f := range grid.Fasteners() {
			source := "ISO 273, ISO 4762, ISO 7089"
			if f.Inch {
				source = "ASME B18.2.8, B18.3, B18.21.1"
			}
			rows = append(rows, []string{f.Name, num(f.NormalMM), num(f.HeadMM), num(f.Plain.OuterMM), source})
		}
		return rows
	}},
	"clamps": {"kinds of clamp", []string{"kind", "rated from N", "to N", "reacts on", "source"}, func() (rows [][]string) {
		for _, k := range hold.ClampKinds() {
			rows = append(rows, []string{k.Kind, num(k.RatedLowN), num(k.RatedHighN), k.ReactsOn, k.Source})
		}
		return rows
	}},
	"cooling": {"kinds of cooling", []string{"kind", "film W/m2K", "wet", "source"}, func() (rows [][]string) {
		for _, c := range thermal.Coolings() {
			rows = append(rows, []string{c.Name, fmt.Sprintf("%s to %s", num(c.FilmWM2K.Low), num(c.FilmWM2K.High)), yes(c.Wet), c.Source})
		}
		return rows
	}},
	"gauges": {"what tells the bore's size", []string{"gauge", "noise um", "bias um", "source"}, func() (rows [][]string) {
		for _, g := range bore.Gauges() {
			rows = append(rows, []string{g.Kind, num(g.SdMM * 1000), num(g.BiasSdMM * 1000), "shop judgement within makers' figures"})
		}
		return rows
	}},
	"kinds": {"inserts a job may name", []string{"kind"}, func() (rows [][]string) {
		for _, k := range press.Kinds() {
			rows = append(rows, []string{string(k)})
		}
		return rows
	}},
	"controls": {"controls a bore program may be for", []string{"control", "dwell", "tool length"}, func() (rows [][]string) {
		for _, c := range bore.Controls() {
			rows = append(rows, []string{c.Name, yes(c.DwellPerSecond > 0), yes(c.ToolLength)})
		}
		return rows
	}},
	"classes": {"limits and fits", []string{"system", "range", "source"}, func() [][]string {
		return [][]string{
			{"hole classes A1 to ZC18, JS", "0 to 500 mm", "ISO 286-1, tables"},
			{"shaft classes a1 to zc18, js", "0 to 500 mm", "ISO 286-1, tables"},
			{"FN1 to FN5", "0 to 5.52 in", "ANSI B4.1, tables"},
			{"LN1 to LN3", "0 to 7.09 in", "ANSI B4.1, tables"},
			{"LT1 to LT6", "0 to 4.73 in", "ANSI B4.1, tables"},
			{"own tolerance: 10 +-0.05", "", ""},
		}
	}},
}

func newList(a *app) *cobra.Command {
	var asJSON bool
	names := make([]string, 0, len(listings))
	for n := range listings {
		names = append(names, n)
	}
	sort.Strings(names)
	c := &cobra.Command{
		Use:       "list [TABLE]",
		Short:     "The program's tables with their sources: " + strings.Join(names, ", "),
		Args:      cobra.MaximumNArgs(1),
		ValidArgs: names,
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return a.listNames(names)
			}
			l, ok := listings[args[0]]
			if !ok {
				hint := ""
				if near := job.Near(args[0], names); near != "" {
					hint = fmt.Sprintf("; did you mean %q?", near)
				}
				return fmt.Errorf("there is no table %q; there are %s%s", args[0], strings.Join(names, ", "), hint)
			}
			if asJSON {
				return a.printJSON(map[string]any{"version": 1, args[0]: l.objects()})
			}
			return l.print(a.stdout)
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print the table as JSON")
	return c
}

func (a *app) listNames(names []string) error {
	w := tabwriter.NewWriter(a.stdout, 0, 0, 2, ' ', 0)
	for _, n := range names {
		fmt.Fprintf(w, "%s\t%s\n", n, listings[n].says)
	}
	return w.Flush()
}

func (l listing) print(out io.Writer) error {
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, strings.Join(l.head, "\t"))
	for _, r := range l.rows() {
		fmt.Fprintln(w, strings.Join(r, "\t"))
	}
	return w.Flush()
}

func (l listing) objects() (out []map[string]string) {
	for _, r := range l.rows() {
		o := map[string]string{}
		for i, v := range r {
			o[l.head[i]] = v
		}
		out = append(out, o)
	}
	return out
}

// num writes a table's number; 0 stands for a value that is not known.
func num(x float64) string {
	if x == 0 {
		return "-"
	}
	return fmt.Sprintf("%.5g", x)
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

func sourced(source, doubt string) string {
	if doubt != "" {
		return source + " (" + doubt + ")"
	}
	return source
}
