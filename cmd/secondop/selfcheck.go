package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"secondop/cmd/secondop/internal/trust"
)

func newSelfcheck(a *app) *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use:   "selfcheck",
		Short: "The published cases, computed on this machine",
		Long: `Compute every published value that the program carries with it and hold it
against the printed one, within what the source's printing can show. The exit
status is 2 if one doesn't agree: then don't rely on this build.`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			cases, err := trust.Cases(c.Context())
			if err != nil {
				return err
			}
			rows := trust.Sum(cases)
			published, mismatches := trust.Total(rows)
			if asJSON {
				err = a.printJSON(map[string]any{"version": 1, "published": published, "mismatches": mismatches, "rooms": rows})
			} else {
				err = trust.Print(a.stdout, cases)
			}
			if err == nil && mismatches > 0 {
				err = fmt.Errorf("%d of the values are outside their tolerance on this machine", mismatches)
			}
			return err
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print the sums as JSON")
	return c
}
