package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"github.com/spf13/cobra"

	"secondop/cmd/secondop/internal/folder"
	"secondop/cmd/secondop/internal/job"
)

func newNew(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "new [FILE]",
		Short: "Write a commented job file to start from",
		Long: `Write a commented job file to start from, to FILE or to standard output.
make accepts it unchanged. A file that exists is not overwritten.`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return job.New(a.stdout)
			}
			if _, err := os.Lstat(args[0]); !errors.Is(err, fs.ErrNotExist) {
				return fmt.Errorf("%s exists already; name another file", args[0])
			}
			var b bytes.Buffer
			if err := job.New(&b); err != nil {
				return err
			}
			if err := folder.WriteFile(folder.Disk{}, args[0], b.Bytes()); err != nil {
				return err
			}
			fmt.Fprintf(a.stderr, "wrote %s; next: secondop make %s\n", args[0], args[0])
			return nil
		},
	}
}
