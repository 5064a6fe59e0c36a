package main

import (
	"context"
	"fmt"
	"math"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"secondop/cmd/secondop/internal/borelog"
	"secondop/cmd/secondop/internal/job"
	"secondop/fits/bore"
)

func newBoreNext(a *app) *cobra.Command {
	var f boreFlags
	c := &cobra.Command{
		Use:   "next JOB --part N",
		Short: "What to do now",
		Args:  cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			b, l, err := a.boreAt(args[0], f)
			if err != nil {
				return err
			}
			ans, err := b.next(l)
			if err != nil {
				return err
			}
			return a.answer(b, f.json, ans)
		},
	}
	f.add(c, true)
	return c
}

func (a *app) sayTorn(b *boreJob, torn int) {
	if torn > 0 {
		fmt.Fprintf(a.stderr, "note: %s ended in %d bytes of a record that was cut off while it was written; it was never answered and is left out\n", b.logPath, torn)
	}
}

// state is the batch with the part at the machine last. Its window is the one
// asked for now, or else the one that its records carry.
func (b *boreJob) state(l *bore.Log) (bore.State, error) {
	s, err := l.State(b.request, b.plan.Metal.ExpansionPerK, b.part)
	if err != nil {
		return s, err
	}
	if b.insertMM > 0 {
		w := b.request.Window
		s.Parts[len(s.Parts)-1].Window = &w
	}
	return s, nil
}

func (b *boreJob) next(l *bore.Log) (bore.Answer, error) {
	s, err := b.state(l)
	if err != nil {
		return bore.Answer{}, err
	}
	return bore.Next(s)
}

// seen is what was typed about one pass.
type seen struct {
	commanded, measured, feel, goes, stops string
	temp, room                             string
	cool, again                            bool
	changed                                []string
}

func newBoreLog(a *app) *cobra.Command {
	var f boreFlags
	var s seen
	c := &cobra.Command{
		Use:   "log JOB --part N --commanded D [--measured D | --seen WORDS | --goes D --stops D]",
		Short: "Record a pass and what was seen, and answer with the next",
		Long: `Record a pass and what was seen, and answer with the next. Sizes are on diameter,
in the job's units unless they say otherwise. The words for --seen, from the
smallest bore to the largest: ` + feelList() + `.
The same --commanded as before is another reading of the same pass, unless a
spring pass was asked for.`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			b, _, err := a.boreAt(args[0], f)
			if err != nil {
				return err
			}
			ans, err := a.record(c.Context(), b, s)
			if err != nil {
				return err
			}
			return a.answer(b, f.json, ans)
		},
	}
	f.add(c, true)
	fl := c.Flags()
	fl.StringVar(&s.commanded, "commanded", "", "diameter the pass was commanded at")
	fl.StringVar(&s.measured, "measured", "", "bore as measured")
	fl.StringVar(&s.feel, "seen", "", "how the plug or the insert behaves")
	fl.StringVar(&s.goes, "goes", "", "largest gauge that goes in")
	fl.StringVar(&s.stops, "stops", "", "smallest gauge that doesn't")
	fl.StringVar(&s.temp, "temp", "", "the part's temperature at the reading, such as 31 C")
	fl.StringVar(&s.room, "room", "", "the room's, where gauge and insert lie (default: the job's ambient)")
	fl.BoolVar(&s.cool, "cool", false, "the part has come to the room's temperature")
	fl.BoolVar(&s.again, "again", false, "another reading of the last pass, even after a spring pass was asked for")
	fl.StringSliceVar(&s.changed, "changed", nil, "what has changed since the part before: tool, depth, material")
	return c
}

func feelList() string {
	var words []string
	for _, f := range bore.Feels {
		words = append(words, string(f))
	}
	return strings.Join(words, ", ")
}

// record writes what was typed to the log and gives the next thing to do.
func (a *app) record(ctx context.Context, b *boreJob, s seen) (bore.Answer, error) {
	r, err := b.parse(ctx, s)
	if err != nil {
		return bore.Answer{}, err
	}
	l, _, err := borelog.Add(b.logPath, b.identity, func(l *bore.Log) (bore.Record, error) { return b.place(l, r, s.again) })
	if err != nil {
		return bore.Answer{}, err
	}
	return b.next(l)
}

// parse reads what was typed.
func (b *boreJob) parse(ctx context.Context, s seen) (bore.Record, error) {
	r := bore.Record{
		At: time.Now().UTC().Format(time.RFC3339), Part: b.part, PartC: bore.NoTemperature(), RoomC: bore.NoTemperature(),
		InsertMM: b.insertMM,
	}
	if b.insertMM > 0 {
		r.Window = b.request.Window
	}
	if s.commanded == "" {
		return r, fmt.Errorf("--commanded is missing: the diameter that the pass was commanded at")
	}
	var err error
	if r.CommandedMM, err = b.length("--commanded", s.commanded); err != nil {
		return r, err
	}
	if off := r.CommandedMM - b.request.InsertNominalMM; !(math.Abs(off) < mostCommandOffMM) {
		return r, fmt.Errorf("--commanded is %s, more than %s from the insert (%s): is the unit right?",
			b.say(r.CommandedMM), b.Units().Length(mostCommandOffMM), b.say(b.request.InsertNominalMM))
	}
	for _, c := range s.changed {
		r.Changes = append(r.Changes, bore.Change(c))
	}
	if _, err := bore.ExtraSdMM(b.request.Offset, r.Changes); err != nil {
		return r, err
	}
	if r.Reading, err = b.reading(s); err != nil || r.Reading == nil {
		return r, err
	}
	return r, b.warmth(ctx, s, &r)
}

// reading is what was seen, nil if nothing was.
func (b *boreJob) reading(s seen) (*bore.Reading, error) {
	kinds := 0
	for _, given := range []bool{s.measured != "", s.feel != "", s.goes != "" || s.stops != ""} {
		if given {
			kinds++
		}
	}
	switch {
	case kinds == 0:
		return nil, nil
	case kinds > 1:
		return nil, fmt.Errorf("give one of --measured, --seen and --goes/--stops at a time; log the other as another reading of the same pass")
	}
	r := bore.Reading{}
	var err error
	switch {
	case s.measured != "":
		r.Kind = bore.Measured
		r.MM, err = b.length("--measured", s.measured)
	case s.feel != "":
		r.Kind = bore.Felt
		if r.Feel, err = bore.ParseFeel(s.feel); err == nil {
			r.PlugMM = b.request.Gauge.PlugMM
			if r.PlugMM == 0 { // the job's gauge gives numbers: it is the insert that was tried
				r.PlugMM = b.plan.Fit.Insert.DiameterMM
			}
		}
	default:
		r.Kind = bore.Limits
		if s.goes != "" {
			r.GoesMM, err = b.length("--goes", s.goes)
		}
		if err == nil && s.stops != "" {
			r.StopsMM, err = b.length("--stops", s.stops)
		}
	}
	return &r, err
}

// warmth fills in the temperatures, or refuses a reading of a part that the
// heat's estimate says is warm.
func (b *boreJob) warmth(ctx context.Context, s seen, r *bore.Record) (err error) {
	room := 20.0
	if b.Cut != nil {
		room = b.Cut.AmbientC
	}
	if s.room != "" {
		if room, err = job.ParseTemperature(s.room); err != nil {
			return fmt.Errorf("--room: %w", err)
		}
	}
	if s.temp != "" {
		if r.PartC, err = job.ParseTemperature(s.temp); err != nil {
			return fmt.Errorf("--temp: %w", err)
		}
		r.RoomC = room
		_, err = r.Reading.AtRoom(bore.Warmth{PartC: r.PartC, RoomC: room, AlphaPerK: b.plan.Metal.ExpansionPerK})
		return err
	}
	if s.cool || b.Cut == nil {
		return nil
	}
	if err := b.plan.WalkHeat(ctx); err != nil || b.plan.Heat == nil {
		return err
	}
	series := b.plan.Heat.Answer.Series
	if len(series) == 0 {
		return nil
	}
	if err := bore.Unmeasured(series[len(series)-1].PartC.Likely, b.Cut.AmbientC); err != nil {
		return fmt.Errorf("%w (--temp; or --cool once it has)", err)
	}
	return nil
}

// place gives a record its pass number.
func (b *boreJob) place(l *bore.Log, r bore.Record, again bool) (bore.Record, error) {
	s, err := b.state(l)
	if err != nil {
		return r, err
	}
	last := 0
	for _, v := range l.Valid() {
		if v.Part == r.Part {
			last = v.Pass
		}
	}
	passes := s.Parts[len(s.Parts)-1].Passes
	r.Pass = last + 1
	if len(passes) > 0 {
		now := passes[len(passes)-1].CommandedMM
		same := math.Abs(now-r.CommandedMM) < b.request.ResolutionMM/2
		ans, err := bore.Next(s)
		if err != nil {
			return r, err
		}
		if same && (again || ans.Do != bore.Spring) {
			r.Pass = last
			if r.Reading == nil {
				return r, fmt.Errorf("pass %d at %s is in the log already; give what was seen of it", last, b.say(now))
			}
		} else if again {
			return r, fmt.Errorf("--again is a reading of the last pass, which was commanded at %s", b.say(now))
		}
	}
	// Nothing is written that could not be read back as a batch.
	trial := *l
	trial.Append(r)
	s, err = b.state(&trial)
	if err != nil {
		return r, err
	}
	_, err = bore.Next(s)
	return r, err
}
