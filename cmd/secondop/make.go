package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"secondop/cmd/secondop/internal/folder"
	"secondop/cmd/secondop/internal/outputs"
	"secondop/cmd/secondop/internal/plan"
)

// jobFlags are those of every command that reads a job file.
type jobFlags struct {
	shop, out string
	json      bool
}

func (f *jobFlags) add(c *cobra.Command, writes bool) {
	c.Flags().StringVar(&f.shop, "shop", "", "shop file (default: shop.yaml beside the job, if there is one)")
	c.Flags().BoolVar(&f.json, "json", false, "print the result as JSON")
	if writes {
		c.Flags().StringVarP(&f.out, "out", "o", "", "folder to write (default: the job's name with the ending .out)")
	}
}

func newMake(a *app) *cobra.Command {
	var f jobFlags
	c := &cobra.Command{
		Use:   "make JOB",
		Short: "Everything, into a folder: meshes, setup sheet, passes, verdict",
		Args:  oneJob,
		RunE: func(c *cobra.Command, args []string) error {
			return a.make(c.Context(), args[0], f, (*app).everything)
		},
	}
	f.add(c, true)
	return c
}

func newJaws(a *app) *cobra.Command {
	var f jobFlags
	c := &cobra.Command{
		Use:   "jaws JOB",
		Short: "The pair of jaws alone, into a folder: meshes, pocket profile",
		Args:  oneJob,
		RunE: func(c *cobra.Command, args []string) error {
			return a.make(c.Context(), args[0], f, (*app).jawsAlone)
		},
	}
	f.add(c, true)
	return c
}

// made is what a command has to write and to say.
type made struct {
	plan   *plan.Plan
	result plan.Result
	files  []folder.File
	says   string // why a file that the job asks for is not among them
}

// make runs a job, writes its folder and reports on it.
func (a *app) make(ctx context.Context, path string, f jobFlags, run func(*app, context.Context, loaded) (made, error)) error {
	l, err := a.load(path, f.shop)
	if err != nil {
		return err
	}
	done := a.atWork("designing and judging")
	m, err := run(a, ctx, l)
	done()
	if err != nil {
		return err
	}
	if m.says != "" {
		fmt.Fprintln(a.stderr, m.says)
	}
	if m.files, err = outputs.WithResult(m.files, m.result); err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	dir := outputFolder(path, f.out)
	rep, err := folder.Write(folder.Disk{}, dir, m.files)
	if err != nil {
		return err
	}
	if rep.Kept != "" {
		fmt.Fprintf(a.stderr, "%d files that you had added or changed were moved to %s\n", len(rep.KeptFiles), rep.Kept)
	}
	if f.json {
		err = a.printJSON(m.result)
	} else {
		err = a.summary(m.plan, m.result, dir)
	}
	if err != nil {
		return err
	}
	return verdictError(m.result.Verdict)
}

func (a *app) everything(ctx context.Context, l loaded) (made, error) {
	p, err := plan.Make(ctx, l.Job, l.files)
	if err != nil {
		return made{}, err
	}
	m := made{plan: p, result: p.Result(programName())}
	if m.files, m.says, err = outputs.All(p, m.result); err != nil {
		return made{}, err
	}
	return m, nil
}

func (a *app) jawsAlone(ctx context.Context, l loaded) (made, error) {
	p, err := plan.Start(l.Job, l.files)
	if err != nil {
		return made{}, err
	}
	if err := p.MakeJaws(ctx); err != nil {
		return made{}, err
	}
	m := made{plan: p, result: p.JawsResult(programName())}
	if m.files, err = outputs.Jaws(p); err != nil {
		return made{}, err
	}
	return m, nil
}

func programName() string { return "secondop " + programVersion() }
