package main

import (
	"fmt"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"secondop/cmd/secondop/internal/job"
	"secondop/cmd/secondop/internal/plan"
	"secondop/fits/bore"
)

type borePlanJSON struct {
	Version int          `json:"version"`
	Bore    borePlanBody `json:"bore"`
}

type borePlanBody struct {
	WindowMM plan.Span      `json:"window_mm"`
	OffsetMM float64        `json:"offset_mm"`
	OffsetSd float64        `json:"offset_sd_mm"`
	Feasible bool           `json:"feasible"`
	NeededMM float64        `json:"needed_mm"`
	Says     string         `json:"says"`
	Passes   []plan.PassRow `json:"passes"`
	Ends     string         `json:"ends"`
}

func newBorePlan(a *app) *cobra.Command {
	var f boreFlags
	c := &cobra.Command{
		Use:   "plan JOB",
		Short: "The passes as expected, before the first chip",
		Args:  cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			b, err := a.boreJob(args[0], f)
			if err != nil {
				return err
			}
			p, err := bore.NewPlan(b.request)
			if err != nil {
				return err
			}
			if f.json {
				return a.printJSON(b.planJSON(p))
			}
			return a.printPlan(b, p)
		},
	}
	f.add(c, true)
	c.Flags().Lookup("part").Hidden = true
	return c
}

func (b *boreJob) planJSON(p bore.Plan) borePlanJSON {
	w := b.request.Window
	body := borePlanBody{
		WindowMM: plan.Span{Min: round(w.LowerMM), Max: round(w.UpperMM)},
		OffsetMM: round(b.request.Offset.MeanMM), OffsetSd: round(b.request.Offset.SdMM),
		Feasible: p.Feasibility.OK, NeededMM: round(p.Feasibility.NeededMM), Says: p.Feasibility.Words(b.say),
		Passes: []plan.PassRow{}, Ends: string(p.Ends.Do),
	}
	for _, r := range p.Rows {
		body.Passes = append(body.Passes, plan.PassRow{
			N: r.N, BoreMM: round(r.CommandMM), WallStockMM: round(r.WallStockMM), ExpectMM: round(r.ExpectMM), POver: round(r.POver), Says: r.Words(b.say),
		})
	}
	return borePlanJSON{plan.Version, body}
}

func (a *app) printPlan(b *boreJob, p bore.Plan) error {
	q := b.request
	metric, inch := job.Units{}, job.Units{Inch: true}
	both := func(mm float64) string { return metric.Size(mm) + " (" + inch.Size(mm) + ")" }
	fmt.Fprintf(a.stdout, "window     %s to %s on diameter\n", both(q.Window.LowerMM), both(q.Window.UpperMM))
	fmt.Fprintf(a.stdout, "start      %s on diameter\n", both(q.StartMM))
	fmt.Fprintf(a.stdout, "offset     the bore is held to come out %s ± %s from the command\n", b.say(q.Offset.MeanMM), b.say(q.Offset.SdMM))
	fmt.Fprintf(a.stdout, "feasible   %s\n", p.Feasibility.Words(b.say))
	if q.Gauge.Feels && q.Gauge.Kind == "insert" {
		fmt.Fprintf(a.stdout, "advice     the insert is the only gauge: a plug of %s tells more\n", both(q.PlugTargetMM()))
	}
	if len(p.Rows) == 0 {
		return nil
	}
	fmt.Fprintln(a.stdout)
	w := tabwriter.NewWriter(a.stdout, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "pass\tcommand, on diameter\t\twall stock, per wall\t\texpect\tover\t")
	for _, r := range p.Rows {
		fmt.Fprintf(w, "%d\t%s\t%s\t%s\t%s\t%s\t%.1f %%\t\n", r.N, metric.Size(r.CommandMM), inch.Size(r.CommandMM),
			metric.Small(r.WallStockMM), inch.Small(r.WallStockMM), b.Units().Size(r.ExpectMM), r.POver*100)
	}
	if err := w.Flush(); err != nil {
		return err
	}
	fmt.Fprintln(a.stdout)
	for _, r := range p.Rows {
		fmt.Fprintf(a.stdout, "after pass %d: %s\n", r.N, r.Words(b.say))
	}
	fmt.Fprintf(a.stdout, "then %s\n\nThis is the way if every reading comes out as expected. At the machine, log\neach pass and take the next one from the answer.\n", p.Ends.Words(b.say))
	return nil
}
