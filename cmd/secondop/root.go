package main

import "github.com/spf13/cobra"

const rootHelp = `secondop designs printed soft jaws for one more operation on a finished part,
from one job file: jaws that fit the part and the table, whether the grip beats
the cutter, how long one may cut before the plastic lets go, and a bore plan
that creeps up on a press fit.

  secondop new job.yaml     write a job file to start from
  secondop make job.yaml    everything, into the folder job.out

The program advises. The machine's and the makers' instructions, local rules
and your own judgement go first: wear eye protection, and prove a new set-up
in air.`

// newRoot is the command with all its parts. Each command has a file of its
// own, named after it.
func newRoot(a *app) *cobra.Command {
	root := &cobra.Command{
		Use:           "secondop",
		Short:         "Printed soft jaws, grip, heat and press fit from one job file",
		Long:          rootHelp,
		SilenceErrors: true,
		SilenceUsage:  true,
	}
	root.SetOut(a.stdout)
	root.SetErr(a.stderr)
	root.SetIn(a.stdin)
	root.CompletionOptions.HiddenDefaultCmd = true
	root.AddCommand(
		newNew(a),
		newCheck(a),
		newMake(a),
		newJaws(a),
		newHold(a),
		newHeat(a),
		newFit(a),
		newBore(a),
		newList(a),
		newSchema(a),
		newSelfcheck(a),
		newLimits(a),
		newVersion(a),
	)
	return root
}
