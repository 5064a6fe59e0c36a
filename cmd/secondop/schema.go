package main

import (
	"github.com/spf13/cobra"

	"secondop/cmd/secondop/internal/job"
	"secondop/cmd/secondop/internal/plan"
)

func newSchema(a *app) *cobra.Command {
	c := &cobra.Command{
		Use:   "schema",
		Short: "JSON schemas of the job file and of result.json",
		Args:  cobra.NoArgs,
		RunE:  func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	for name, s := range map[string]struct {
		short string
		text  func() []byte
	}{
		"job":    {"Schema of the job file, for an editor", job.Schema},
		"result": {"Schema of result.json", plan.Schema},
	} {
		c.AddCommand(&cobra.Command{
			Use: name, Short: s.short, Args: cobra.NoArgs,
			RunE: func(*cobra.Command, []string) error {
				_, err := a.stdout.Write(s.text())
				return err
			},
		})
	}
	return c
}
