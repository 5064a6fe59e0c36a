package main

import (
	"fmt"
	"io"
	"math"

	"github.com/spf13/cobra"

	"secondop/cmd/secondop/internal/borelog"
	"secondop/cmd/secondop/internal/job"
	"secondop/cmd/secondop/internal/plan"
	"secondop/fits/bore"
)

const boreHelp = `At the machine: creep up on the bore, and never go over.

  secondop bore plan JOB                      the passes as expected, before the first chip
  secondop bore next JOB --part 1             what to do now
  secondop bore log JOB --part 1 --commanded 9.966 --measured 9.936
                                              what was cut and seen; answers with the next pass
  secondop bore guide JOB --part 1            the same, asking and answering
  secondop bore undo JOB                      void the last record
  secondop bore status JOB                    the batch so far
  secondop bore program JOB --part 1          the next pass as a program for the control
  secondop bore simulate JOB                  the plan against simulated machines

Bore sizes are on diameter; wall stock is per wall, positive while the bore is
smaller than the insert. Gauge with the spindle off and the cutter out of reach:
no fingers under it. Prove a program in air first.`

func newBore(a *app) *cobra.Command {
	c := &cobra.Command{
		Use:   "bore",
		Short: "At the machine: creep up on the bore, pass by pass",
		Long:  boreHelp,
		Args:  cobra.NoArgs,
		RunE:  func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(
		newBorePlan(a), newBoreNext(a), newBoreLog(a), newBoreUndo(a),
		newBoreStatus(a), newBoreGuide(a), newBoreProgram(a), newBoreSimulate(a),
	)
	return c
}

// boreFlags are those of every bore command.
type boreFlags struct {
	jobFlags
	log, insert, plug string
	part              int
}

func (f *boreFlags) add(c *cobra.Command, onePart bool) {
	f.jobFlags.add(c, false)
	c.Flags().StringVar(&f.log, "log", "", "log file (default: the job's name with the ending .bore.log beside it)")
	if onePart {
		c.Flags().IntVar(&f.part, "part", 0, "number of the part at the machine, from 1")
		c.Flags().StringVar(&f.insert, "insert", "", "this part's own insert as measured, on diameter")
		c.Flags().StringVar(&f.plug, "plug", "", "size of the plug whose feel is logged, on diameter (default: the one the plan asks for)")
	}
}

// boreJob is a job as the bore commands need it.
type boreJob struct {
	loaded
	plan     *plan.Plan
	request  bore.Request
	identity bore.Identity
	logPath  string
	part     int
	insertMM float64 // as measured, 0 if the job's own applies
}

// What is typed at the machine may lie so far from the job's insert, on
// diameter; beyond it the unit or the part is likely another. Our choice, no
// source.
const (
	mostOffMM        = 0.5 // an insert as measured
	mostCommandOffMM = 2.0 // a commanded bore
)

func (a *app) boreJob(path string, f boreFlags) (*boreJob, error) {
	l, err := a.load(path, f.shop)
	if err != nil {
		return nil, err
	}
	p, err := plan.Start(l.Job, l.files)
	if err != nil {
		return nil, err
	}
	b := &boreJob{loaded: l, plan: p, part: f.part, logPath: f.log}
	if b.logPath == "" {
		b.logPath = besideJob(path, ".bore.log")
	}
	if l.Fit == nil {
		return nil, plan.Unjudged(l.Job, "fit")
	}
	if l.Fit.Bore.CutBy == "ream" {
		return nil, fmt.Errorf("a reamer cuts its own size, there is no pass to plan; `secondop fit` names the reamer")
	}
	if f.insert != "" {
		if b.insertMM, err = b.length("--insert", f.insert); err != nil {
			return nil, err
		}
	}
	if err := p.JudgeFit(0); err != nil {
		return nil, err
	}
	nominal := p.Fit.Insert.DiameterMM
	b.identity = bore.Identity{Insert: l.Fit.Insert.Kind, NominalMM: nominal, Material: p.Metal.Name, Tool: l.Fit.Bore.Tool}
	if b.insertMM > 0 {
		if !(math.Abs(b.insertMM-nominal) <= mostOffMM) {
			return nil, fmt.Errorf("--insert is %s, the job's insert is %s; a measured insert may differ by %s at most",
				b.say(b.insertMM), b.say(nominal), b.Units().Length(mostOffMM))
		}
		if err := p.JudgeFit(b.insertMM); err != nil {
			return nil, err
		}
	}
	if !p.Fit.Window.Feasible {
		return nil, fmt.Errorf("no bore size does it for this insert (`secondop fit` says why); if its size varies, measure it and give --insert")
	}
	return b, b.ask(nominal, f.plug)
}

// ask fills in the request.
func (b *boreJob) ask(nominalMM float64, plug string) (err error) {
	q, err := plan.BoreRequest(b.Job, b.plan.Fit, b.plan.Metal)
	if err != nil {
		return err
	}
	q.InsertNominalMM = nominalMM
	if plug != "" {
		if q.Gauge.PlugMM, err = b.length("--plug", plug); err != nil {
			return err
		}
	}
	b.request = q
	return nil
}

// length reads a length as typed in the job's units.
func (b *boreJob) length(flag, text string) (float64, error) {
	mm, err := job.ParseLength(text, b.Inch)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", flag, err)
	}
	return mm, nil
}

// say writes a length in the job's units; small ones in µm or thou.
func (b *boreJob) say(mm float64) string {
	if math.Abs(mm) < 0.1 {
		return b.Units().Small(mm)
	}
	return b.Units().Size(mm)
}

// boreAt is a boreJob for the part named by --part, with its log.
func (a *app) boreAt(path string, f boreFlags) (*boreJob, *bore.Log, error) {
	b, err := a.boreJob(path, f)
	if err != nil {
		return nil, nil, err
	}
	if b.part < 1 {
		return nil, nil, fmt.Errorf("--part is missing: the number of the part at the machine, from 1")
	}
	l, err := a.readLog(b)
	return b, l, err
}

// readLog reads the log, and tells of a record that was cut off.
func (a *app) readLog(b *boreJob) (*bore.Log, error) {
	l, err := borelog.Read(b.logPath, b.identity)
	if err == nil {
		a.sayTorn(b, l.Torn())
	}
	return l, err
}

// answerJSON is what next and log answer with.
type answerJSON struct {
	Version     int     `json:"version"`
	Part        int     `json:"part"`
	Pass        int     `json:"pass"`
	Do          string  `json:"do"`
	BoreMM      float64 `json:"bore_mm"` // commanded, on diameter
	WallStockMM float64 `json:"wall_stock_mm"`
	ExpectMM    float64 `json:"expect_mm"`
	POver       float64 `json:"p_over"`
	PIn         float64 `json:"p_in"`
	Says        string  `json:"says"`
	Surprise    bool    `json:"surprise"`
	OffsetMM    float64 `json:"offset_mm"`
	OffsetSdMM  float64 `json:"offset_sd_mm"`
}

func (b *boreJob) json(a bore.Answer) answerJSON {
	return answerJSON{
		Version: plan.Version, Part: b.part, Pass: a.Pass, Do: string(a.Do), BoreMM: round(a.CommandMM), WallStockMM: round(a.WallStockMM),
		ExpectMM: round(a.ExpectMM), POver: round(a.Chances.Over), PIn: round(a.Chances.In), Says: a.Words(b.say),
		Surprise: a.Why == bore.Surprise, OffsetMM: round(a.OffsetMM), OffsetSdMM: round(a.OffsetSdMM),
	}
}

// round keeps 0.1 µm and a hundredth of a percent.
func round(v float64) float64 { return math.Round(v*1e4) / 1e4 }

// print tells an answer, in the other system of units as well where a size is set.
func (b *boreJob) print(w io.Writer, a bore.Answer) error {
	head := fmt.Sprintf("part %d, pass %d: %s", b.part, a.Pass, a.Do)
	if a.Do == bore.Cut || a.Do == bore.Spring {
		head += fmt.Sprintf(" at %s (%s) on diameter", b.Units().Size(a.CommandMM), job.Units{Inch: !b.Inch}.Size(a.CommandMM))
	}
	_, err := fmt.Fprintf(w, "%s\n%s\n", head, a.Words(b.say))
	return err
}

func (a *app) answer(b *boreJob, asJSON bool, ans bore.Answer) error {
	if asJSON {
		return a.printJSON(b.json(ans))
	}
	return b.print(a.stdout, ans)
}
