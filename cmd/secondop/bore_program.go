package main

import (
	"bytes"
	"fmt"

	"github.com/spf13/cobra"

	"secondop/cmd/secondop/internal/folder"
	"secondop/fits/bore"
)

func newBoreProgram(a *app) *cobra.Command {
	var f boreFlags
	var out string
	passes := 1
	c := &cobra.Command{
		Use:   "program JOB --part N",
		Short: "The next pass as a program for the control",
		Long: `The next pass as a program for the control, in the common subset of ISO 6983,
for the control named by the job's fit.bore.control. With --passes, several
passes that need no reading between them, each with a stop: all of them within
what is known before the first chip.

There is no program while fit or hold is stop, or while the window can't be hit.
Prove it in air first, hand on the stop. Gauge with the spindle off and never
under the cutter.`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			b, l, err := a.boreAt(args[0], f)
			if err != nil {
				return err
			}
			if err := b.plan.WalkHold(c.Context()); err != nil {
				return err
			}
			q, err := b.program(l, passes)
			if err != nil {
				return err
			}
			var text bytes.Buffer
			if err := bore.Program(&text, q); err != nil {
				return err
			}
			return a.deliver(out, text.Bytes())
		},
	}
	f.add(c, true)
	c.Flags().Lookup("json").Hidden = true
	c.Flags().StringVarP(&out, "out", "o", "", "file to write (default: standard output)")
	c.Flags().IntVar(&passes, "passes", 1, "so many passes with a stop between, for a part that is not begun")
	return c
}

// program asks for the program of what the log says is next.
func (b *boreJob) program(l *bore.Log, passes int) (bore.ProgramRequest, error) {
	state, err := b.state(l)
	if err != nil {
		return bore.ProgramRequest{}, err
	}
	session, err := bore.Replay(state)
	if err != nil {
		return bore.ProgramRequest{}, err
	}
	next := session.Next()
	if next.Do != bore.Cut && next.Do != bore.Spring {
		return bore.ProgramRequest{}, &bore.ProgramError{Says: "part " + fmt.Sprint(b.part) + " is to have no pass now: " + next.Words(b.say)}
	}
	planned := []bore.Planned{{N: next.Pass, CommandMM: next.CommandMM, ExpectMM: next.ExpectMM}}
	if passes > 1 {
		if next.Pass > 1 {
			return bore.ProgramRequest{}, fmt.Errorf("--passes is for a part that is not begun; part %d has %d passes in the log", b.part, next.Pass-1)
		}
		if planned, err = bore.Pessimistic(b.request, passes); err != nil {
			return bore.ProgramRequest{}, err
		}
	}
	q, err := b.plan.ProgramRequest(planned, b.stops())
	if err != nil {
		return q, err
	}
	if next.Pass > 1 {
		q.ClearedMM, _ = session.Bore()
	}
	return q, nil
}

// stops are the verdicts that forbid a program.
func (b *boreJob) stops() (says []string) {
	for _, r := range b.plan.Result(programName()).Reasons {
		if r.Verdict == "stop" && (r.Check == "fit" || r.Check == "hold") {
			says = append(says, r.Check+" is stop: "+r.Says)
		}
	}
	if f := bore.Feasible(b.request); !f.OK {
		says = append(says, f.Words(b.say))
	}
	return says
}

// deliver prints a text, or writes it to a file whole or not at all.
func (a *app) deliver(path string, text []byte) error {
	if path == "" {
		_, err := a.stdout.Write(text)
		return err
	}
	return folder.WriteFile(folder.Disk{}, path, text)
}
