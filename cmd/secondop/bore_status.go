package main

import (
	"fmt"
	"math"
	"os"
	"time"

	"github.com/spf13/cobra"

	"secondop/cmd/secondop/internal/borelog"
	"secondop/cmd/secondop/internal/plan"
	"secondop/fits/bore"
)

func newBoreUndo(a *app) *cobra.Command {
	var f boreFlags
	record := 0
	c := &cobra.Command{
		Use:   "undo JOB",
		Short: "Void the last record; it stays in the log",
		Args:  cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			b, err := a.boreJob(args[0], f)
			if err != nil {
				return err
			}
			voided, torn, err := b.undo(record)
			if err != nil {
				return err
			}
			a.sayTorn(b, torn)
			if f.json {
				return a.printJSON(map[string]any{"version": plan.Version, "voided": voided.N, "part": voided.Part, "pass": voided.Pass})
			}
			_, err = fmt.Fprintf(a.stdout, "record %d is void: part %d, pass %d, %s\n", voided.N, voided.Part, voided.Pass, b.describe(voided))
			return err
		},
	}
	f.add(c, false)
	c.Flags().IntVar(&record, "record", 0, "number of the record to void (default: the last that stands)")
	return c
}

// undo voids a record, by default the last that stands.
func (b *boreJob) undo(record int) (voided bore.Record, torn int, err error) {
	_, torn, err = borelog.Add(b.logPath, b.identity, func(l *bore.Log) (bore.Record, error) {
		var ok bool
		if voided, ok = l.Last(); !ok {
			return bore.Record{}, fmt.Errorf("there is no record to void")
		}
		if record != 0 {
			if voided, ok = l.Standing(record); !ok {
				return bore.Record{}, fmt.Errorf("record %d doesn't stand in the log; `secondop bore status` lists those that do", record)
			}
		}
		return bore.Record{At: time.Now().UTC().Format(time.RFC3339), Void: voided.N}, nil
	})
	return voided, torn, err
}

// describe tells a record in a few words.
func (b *boreJob) describe(r bore.Record) string {
	s := "commanded " + b.Units().Size(r.CommandedMM)
	if r.Reading == nil {
		return s + ", not measured"
	}
	switch x := r.Reading; x.Kind {
	case bore.Measured:
		s += ", measured " + b.Units().Size(x.MM)
	case bore.Felt:
		s += fmt.Sprintf(", %s plug %s", b.Units().Size(x.PlugMM), x.Feel)
	case bore.Limits:
		if x.GoesMM > 0 {
			s += ", " + b.Units().Size(x.GoesMM) + " goes"
		}
		if x.StopsMM > 0 {
			s += ", " + b.Units().Size(x.StopsMM) + " stops"
		}
	}
	if !math.IsNaN(r.PartC) {
		s += " at " + b.Units().Temperature(r.PartC)
	}
	return s
}

func newBoreStatus(a *app) *cobra.Command {
	var f boreFlags
	c := &cobra.Command{
		Use:   "status JOB",
		Short: "The batch so far, and what is held to be true",
		Args:  cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			b, err := a.boreJob(args[0], f)
			if err != nil {
				return err
			}
			l, err := a.readLog(b)
			if err != nil {
				return err
			}
			return a.status(b, l, f.json)
		},
	}
	f.add(c, false)
	return c
}

func (a *app) status(b *boreJob, l *bore.Log, asJSON bool) error {
	last, ok := l.Last()
	if !ok {
		last.Part = 1
	}
	b.part = last.Part
	ans, err := b.next(l)
	if err != nil {
		return err
	}
	type row struct {
		Record int    `json:"record"`
		Part   int    `json:"part"`
		Pass   int    `json:"pass"`
		At     string `json:"at"`
		Void   bool   `json:"void"`
		Says   string `json:"says"`
	}
	rows := []row{}
	for _, r := range l.Records {
		if r.Void == 0 {
			_, stands := l.Standing(r.N)
			rows = append(rows, row{r.N, r.Part, r.Pass, r.At, !stands, b.describe(r)})
		}
	}
	if asJSON {
		return a.printJSON(map[string]any{"version": plan.Version, "log": b.logPath, "records": rows, "now": b.json(ans)})
	}
	if _, err := os.Stat(b.logPath); err != nil {
		fmt.Fprintf(a.stdout, "no log yet (%s)\n", b.logPath)
	}
	for _, r := range rows {
		void := ""
		if r.Void {
			void = " (void)"
		}
		fmt.Fprintf(a.stdout, "record %d: part %d, pass %d, %s%s\n", r.Record, r.Part, r.Pass, r.Says, void)
	}
	fmt.Fprintf(a.stdout, "the bore comes out %s ± %s from the command\n", b.say(ans.OffsetMM), b.say(ans.OffsetSdMM))
	return b.print(a.stdout, ans)
}
