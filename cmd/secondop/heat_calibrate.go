package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"secondop/cmd/secondop/internal/folder"
	"secondop/cmd/secondop/internal/job"
	"secondop/cmd/secondop/internal/plan"
	"secondop/thermal"
)

const calibrateHelp = `Fit the share of the cutting power that stays in the part to thermometer
readings, and write it into the shop file, where later jobs find it. The job
file stays as it is.

  secondop heat calibrate block.yaml --read "6 min: 48 C"
  secondop heat calibrate block.yaml --read "4 min: 41 C" --read "6 min: 106 F: jaw face"

A reading is the time since the first operation began, tool changes included,
the temperature, and where: part (default) or jaw face.

A cut to calibrate with
  1. Take a small block of the metal you cut, about 60 x 40 x 20 mm, in printed
     jaws with a printed seat (seat: print), and write its job file: one pocket,
     dry, with your usual tool, speed and feed. On a metal seat the heat runs
     away by a contact that nobody knows, and the band stays wide.
  2. Tape a thermocouple into a drilled hole on the side, or put a patch of
     matt tape there for an infrared thermometer: bare metal reads far too low.
     Keep hands, leads and thermometer away from the turning tool.
  3. Cut until the part is 25 C (45 F) or more above the shop, but not past the
     jaws' limit. Stop the spindle, read, and note the time. Later than an hour
     after the end of the job is too late.
The more the part has warmed and the sooner you read, the narrower the band. A
band wider than 1.5 to 1 is shown but not written. It is good for the same metal,
cooling and kind of cut, while the edge is about as sharp.`

// calibrateFlags are what heat calibrate takes.
type calibrateFlags struct {
	jobFlags
	readings []string
	doubt    float64
	date     string
}

func newHeatCalibrate(a *app) *cobra.Command {
	var f calibrateFlags
	c := &cobra.Command{
		Use:   "calibrate JOB --read \"TIME: TEMPERATURE\"",
		Short: "Fit the share of heat to thermometer readings, into the shop file",
		Long:  calibrateHelp,
		Args:  oneJob,
		RunE: func(c *cobra.Command, args []string) error {
			return a.calibrate(c.Context(), args[0], f)
		},
	}
	f.add(c, false)
	c.Flags().Lookup("shop").Usage = "shop file to write (default: shop.yaml beside the job)"
	c.Flags().StringArrayVar(&f.readings, "read", nil, "a reading: TIME: TEMPERATURE[: part or jaw face]")
	c.Flags().Float64Var(&f.doubt, "doubt", 0, "standard uncertainty of the thermometer in K (default 1.5)")
	c.Flags().StringVar(&f.date, "date", "", "day of the readings, as 2026-01-31 (default: today)")
	return c
}

func (a *app) calibrate(ctx context.Context, path string, f calibrateFlags) error {
	readings, err := f.parse()
	if err != nil {
		return err
	}
	shopPath := f.shop
	if shopPath == "" {
		shopPath = filepath.Join(filepath.Dir(path), "shop.yaml")
	}
	shop, err := readLimited(shopPath, maxJobBytes)
	absent := errors.Is(err, fs.ErrNotExist)
	if err != nil && !absent {
		return err
	}
	l, err := a.load(path, given(f.shop, absent))
	if err != nil {
		return err
	}
	p, err := plan.Start(l.Job, l.files)
	if err != nil {
		return err
	}
	if err := p.WalkHeat(ctx); err != nil {
		return err
	}
	if p.Heat == nil {
		return plan.Unjudged(l.Job, "cut")
	}
	c, err := thermal.Calibrate(ctx, p.Heat.Request, readings)
	if err != nil {
		return err
	}
	if c.Useful {
		cut := job.Calibration{Low: c.After.Low, Likely: c.After.Likely, High: c.After.High, From: cutName(l.Job, p.Metal.Name), Date: f.date}
		text, faults := job.SetCalibration(shopPath, shop, l.Inch, cut)
		if job.AnyError(faults) {
			return &plan.RefusedError{Faults: faults}
		}
		if err := folder.WriteFile(folder.Disk{}, shopPath, text); err != nil {
			return err
		}
	}
	if err := a.showCalibration(l.Job, c, shopPath, f.json); err != nil {
		return err
	}
	if !c.Useful {
		if math.IsInf(c.Ratio, 1) {
			return fmt.Errorf("%s was not written: the readings set no bound to the share", shopPath)
		}
		return fmt.Errorf("%s was not written: the band is %.2f to 1, must be at most 1.5 to 1", shopPath, c.Ratio)
	}
	return nil
}

// given is the shop file to read: none when the one to write does not exist.
func given(shop string, absent bool) string {
	if absent {
		return ""
	}
	return shop
}

// parse reads the readings and the date.
func (f *calibrateFlags) parse() ([]thermal.Reading, error) {
	if f.date == "" {
		f.date = time.Now().Format(time.DateOnly)
	}
	if _, err := time.Parse(time.DateOnly, f.date); err != nil {
		return nil, fmt.Errorf("date %q is no day, must be as 2026-01-31", f.date)
	}
	if len(f.readings) == 0 {
		return nil, errors.New(`no reading is given: add --read "6 min: 48 C"`)
	}
	var out []thermal.Reading
	for _, text := range f.readings {
		fields := strings.Split(text, ":")
		if len(fields) < 2 || len(fields) > 3 {
			return nil, fmt.Errorf(`reading %q must be TIME: TEMPERATURE, such as "6 min: 48 C"`, text)
		}
		r := thermal.Reading{Where: "part", DoubtK: f.doubt}
		var err error
		if r.TimeS, err = job.ParseTime(strings.TrimSpace(fields[0])); err != nil {
			return nil, fmt.Errorf("reading %q: %w", text, err)
		}
		if r.Celsius, err = job.ParseTemperature(strings.TrimSpace(fields[1])); err != nil {
			return nil, fmt.Errorf("reading %q: %w", text, err)
		}
		if len(fields) == 3 {
			r.Where = strings.TrimSpace(fields[2])
		}
		out = append(out, r)
	}
	return out, nil
}

// cutName says which cut was read, with the metal under the name that the
// table gives it, whatever the job calls it.
func cutName(j *job.Job, metal string) string {
	var names []string
	for _, o := range j.Cut.Operations {
		names = append(names, o.Name)
	}
	return fmt.Sprintf("%s: %s, %s, cooling %s", j.Name, metal, strings.Join(names, " and "), j.Cut.Cooling)
}

type shareJSON struct {
	Low    float64 `json:"low"`
	Likely float64 `json:"likely"`
	High   float64 `json:"high"`
}

type calibrationJSON struct {
	Before  shareJSON `json:"share_before"`
	After   shareJSON `json:"share"`
	Ratio   *float64  `json:"ratio"` // high over low, null without bound
	MisfitK float64   `json:"misfit_K"`
	Written bool      `json:"written"`
	Shop    string    `json:"shop"`
	Says    string    `json:"says"`
}

func (a *app) showCalibration(j *job.Job, c thermal.Calibration, shop string, asJSON bool) error {
	if asJSON {
		out := calibrationJSON{Before: shareJSON(c.Before), After: shareJSON(c.After), MisfitK: c.MisfitK, Written: c.Useful, Shop: shop, Says: c.Says}
		if !math.IsInf(c.Ratio, 1) {
			out.Ratio = &c.Ratio
		}
		return a.printJSON(map[string]any{"version": plan.Version, "calibration": out})
	}
	u := j.Units()
	band := func(b thermal.Band) string {
		return fmt.Sprintf("%s likely, %s to %s", u.Share(b.Likely), u.Share(b.Low), u.Share(b.High))
	}
	_, err := fmt.Fprintf(a.stdout, "before  %s\nafter   %s\nmisfit  %.1f K\n%s\n", band(c.Before), band(c.After), c.MisfitK, c.Says)
	if err == nil && c.Useful {
		fmt.Fprintf(a.stderr, "wrote the calibration into %s\n", shop)
	}
	return err
}
