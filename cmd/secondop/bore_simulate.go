package main

import (
	"fmt"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"secondop/cmd/secondop/internal/plan"
	"secondop/fits/bore"
)

// Batches that take a few seconds, with and without a gauge that gives a number.
const (
	usualBatches     = 5000
	usualFeelBatches = 100
)

type simulatedJSON struct {
	Way     string              `json:"way"`
	FromMM  float64             `json:"from_mm"`
	Batches int                 `json:"batches"`
	Parts   []simulatedPartJSON `json:"parts"`
}

type simulatedPartJSON struct {
	Part     int     `json:"part"`
	Passes   float64 `json:"passes"`
	Readings float64 `json:"readings"`
	Spoiled  float64 `json:"spoiled"`
	In       float64 `json:"in"`
	Under    float64 `json:"under"`
	Flagged  float64 `json:"flagged"`
}

func newBoreSimulate(a *app) *cobra.Command {
	var f boreFlags
	var truth bore.Truth
	var bias, taper string
	batches, seed, parts := 0, uint64(1), 5
	c := &cobra.Command{
		Use:   "simulate JOB",
		Short: "The plan against simulated machines, beside fixed steps and going half way",
		Long: `Plays the plan against simulated machines, each with its own hidden offset,
scatter, drift and gauge, and prints passes a part and the share of spoiled
bores, by the part's number in its batch. Beside it, with the same gauge: the
job's step at a time from the start and from 0.25 mm under, and going half of
what is left. The machines are as the job describes them unless told otherwise.`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			b, err := a.boreJob(args[0], f)
			if err != nil {
				return err
			}
			for flag, v := range map[string]*float64{"--gauge-bias": &truth.GaugeBiasMM, "--taper": &truth.TaperMM} {
				text := map[string]string{"--gauge-bias": bias, "--taper": taper}[flag]
				if *v, err = b.length(flag, text); err != nil {
					return err
				}
			}
			truth.AlphaPerK = b.plan.Metal.ExpansionPerK
			if batches == 0 {
				batches = usualBatches
				if !b.request.Gauge.Reads() {
					batches = usualFeelBatches
				}
			}
			var all []simulatedJSON
			for _, way := range []struct {
				way  bore.Way
				from float64
			}{
				{bore.Learning, b.request.StartMM},
				{bore.FixedSteps, b.request.StartMM},
				{bore.FixedSteps, b.request.InsertNominalMM - 0.25},
				{bore.HalfWay, b.request.StartMM},
			} {
				o, err := bore.Simulate(c.Context(), bore.Scenario{
					Request: b.request, Truth: truth, Way: way.way, FromMM: way.from, Batches: batches, Parts: parts, Seed: seed,
				})
				if err != nil {
					return err
				}
				all = append(all, simulated(way.way, way.from, batches, o))
			}
			if f.json {
				return a.printJSON(map[string]any{"version": plan.Version, "risk": b.request.Risk, "simulated": all})
			}
			return a.printSimulated(b, all)
		},
	}
	f.add(c, true)
	c.Flags().Lookup("part").Hidden = true
	fl := c.Flags()
	fl.IntVar(&batches, "batches", 0, fmt.Sprintf("batches to play (default %d, or %d where only feel steers)", usualBatches, usualFeelBatches))
	fl.IntVar(&parts, "parts", 5, "parts a batch")
	fl.Uint64Var(&seed, "seed", 1, "the same seed gives the same numbers")
	fl.Float64Var(&truth.OffsetTimes, "offset-times", 1, "the machine's offset is so many times what the plan expects")
	fl.Float64Var(&truth.ScatterTimes, "scatter-times", 1, "its scatter, the same")
	fl.StringVar(&bias, "gauge-bias", "0", "the gauge reads so much too large")
	fl.Float64Var(&truth.WarmK, "warm", 0, "the part is so many K warmer than the gauge, unsaid")
	fl.StringVar(&taper, "taper", "0", "the bottom of the bore is so much smaller, where the gauge doesn't see it")
	fl.BoolVar(&truth.SwappedDigit, "swapped-digits", false, "one reading of each batch has two digits swapped")
	return c
}

func simulated(way bore.Way, fromMM float64, batches int, o bore.Outcome) simulatedJSON {
	s := simulatedJSON{Way: string(way), FromMM: round(fromMM), Batches: batches}
	for i, t := range o.ByPart {
		s.Parts = append(s.Parts, simulatedPartJSON{
			Part: i + 1, Passes: round(t.PerPart(t.Passes)), Readings: round(t.PerPart(t.Readings)), Spoiled: round(t.PerPart(t.Spoiled)),
			In: round(t.PerPart(t.In)), Under: round(t.PerPart(t.Under)), Flagged: round(t.PerPart(t.Flagged)),
		})
	}
	return s
}

func (a *app) printSimulated(b *boreJob, all []simulatedJSON) error {
	fmt.Fprintf(a.stdout, "window %s to %s, accepted risk %.1f %% a part, %d batches\n", b.say(b.request.Window.LowerMM), b.say(b.request.Window.UpperMM), b.request.Risk*100, all[0].Batches)
	fmt.Fprintf(a.stdout, "%s\n\n", bore.Feasible(b.request).Words(b.say))
	w := tabwriter.NewWriter(a.stdout, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "way\tfrom\tpart\tpasses\treadings\tspoiled\tin\tunder\tsurprises\t")
	for _, s := range all {
		for _, p := range s.Parts {
			fmt.Fprintf(w, "%s\t%s\t%d\t%.2f\t%.2f\t%.1f %%\t%.1f %%\t%.1f %%\t%.1f %%\t\n",
				s.Way, b.say(s.FromMM), p.Part, p.Passes, p.Readings, p.Spoiled*100, p.In*100, p.Under*100, p.Flagged*100)
		}
	}
	return w.Flush()
}
