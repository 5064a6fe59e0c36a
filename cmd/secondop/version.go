package main

import (
	_ "embed"
	"fmt"
	"runtime/debug"

	"github.com/spf13/cobra"
)

// notices are the licences of everything that is linked into the program or
// embedded in its sheet; notices_test.go makes the file.
//
//go:embed notices.txt
var notices string

func newVersion(a *app) *cobra.Command {
	var full bool
	c := &cobra.Command{
		Use:   "version",
		Short: "Print the program's version, and the licences of what it is built from",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			_, err := fmt.Fprintf(a.stdout, "secondop %s\n", programVersion())
			if full && err == nil {
				_, err = fmt.Fprintf(a.stdout, "\n%s", notices)
			}
			return err
		},
	}
	c.Flags().BoolVar(&full, "notices", false, "print the licences too")
	return c
}

// programVersion is the module version, or the number below for a build from
// a checkout: never a date or a commit, so that the same job gives the same bytes.
func programVersion() string {
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" && info.Main.Version != "(devel)" && len(info.Main.Version) < 12 {
		return info.Main.Version
	}
	return "1.0"
}
