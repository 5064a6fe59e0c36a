package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"secondop/cmd/secondop/internal/job"
	"secondop/cmd/secondop/internal/plan"
)

// checkResult is what check prints as JSON.
type checkResult struct {
	Version int                `json:"version"`
	OK      bool               `json:"ok"`
	Outline *plan.OutlineBlock `json:"outline"`
	Remarks []string           `json:"remarks"`
}

func newCheck(a *app) *cobra.Command {
	var f jobFlags
	c := &cobra.Command{
		Use:   "check JOB",
		Short: "Read a job and say what is wrong or doubtful",
		Args:  oneJob,
		RunE: func(c *cobra.Command, args []string) error {
			l, err := a.load(args[0], f.shop)
			if err != nil {
				return a.checkFailed(f.json, err)
			}
			p, err := plan.Check(c.Context(), l.Job, l.files)
			if err != nil {
				return a.checkFailed(f.json, err)
			}
			return a.checked(p, f.json)
		},
	}
	f.add(c, false)
	return c
}

// checkFailed adds the JSON answer to the faults that go to stderr.
func (a *app) checkFailed(asJSON bool, err error) error {
	var refused *plan.RefusedError
	if !asJSON || !errors.As(err, &refused) {
		return err
	}
	r := checkResult{Version: plan.Version, Remarks: []string{}}
	for _, fault := range refused.Faults {
		r.Remarks = append(r.Remarks, fault.String())
	}
	if jsonErr := a.printJSON(r); jsonErr != nil {
		return jsonErr
	}
	return err
}

func (a *app) checked(p *plan.Plan, asJSON bool) error {
	o := p.OutlineBlock()
	if asJSON {
		r := checkResult{Version: plan.Version, OK: true, Outline: o, Remarks: []string{}}
		for _, fault := range p.Remarks {
			r.Remarks = append(r.Remarks, fault.String())
		}
		r.Remarks = append(r.Remarks, p.Part.Notes...)
		return a.printJSON(r)
	}
	for _, says := range p.Part.Notes {
		fmt.Fprintln(a.stderr, "remark: "+says)
	}
	if len(p.Remarks) > 0 {
		if err := job.Print(a.stderr, p.Remarks, a.colour); err != nil {
			return err
		}
	}
	u := p.Job.Units()
	_, err := fmt.Fprintf(a.stdout, "%s reads well: outline %s x %s, %s\n", p.Job.File,
		u.Length(o.BoxMM[2]-o.BoxMM[0]), u.Length(o.BoxMM[3]-o.BoxMM[1]), symmetryWords(o))
	return err
}

func symmetryWords(o *plan.OutlineBlock) string {
	var words string
	switch o.TurnsAlike {
	case 0:
		words = "round: it goes in at any turn"
	case 1:
		words = "goes in one way round"
	default:
		words = fmt.Sprintf("goes in %d ways round", o.TurnsAlike)
	}
	switch {
	case o.MirrorLines == 0:
		words += ", and its mirror image is another part"
	case o.TurnsAlike == 1:
		words += ", but also upside down"
	}
	return words
}
