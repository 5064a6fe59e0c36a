package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"secondop/cmd/secondop/internal/borelog"
	"secondop/fits/bore"
)

const guideHelp = `At each prompt type one of
  9.936              the bore as measured
  a feel word        ` + "won't start, starts, pushes in by thumb, slides in, drops in" + `
  9.93 goes 9.94 stops
  at 9.964           the pass was commanded at another diameter than asked
  temp 31 C          the part's temperature, for the readings that follow
  cool               the part has come to the room's temperature
  undo               void the last record
  next part          go on with another part
  quit
Every record is on the disk before the answer. Spindle off and the cutter out of
reach before you gauge; no fingers under it.
`

func newBoreGuide(a *app) *cobra.Command {
	var f boreFlags
	c := &cobra.Command{
		Use:   "guide JOB --part N",
		Short: "Ask and answer at the machine, pass by pass",
		Long:  "Ask and answer at the machine, pass by pass.\n\n" + guideHelp,
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			b, err := a.boreJob(args[0], f)
			if err != nil {
				return err
			}
			if b.part == 0 {
				b.part = 1
			}
			g := &guide{a: a, b: b, lines: readLines(a.stdin)}
			fmt.Fprint(a.stdout, guideHelp, "\n")
			return g.run(c.Context())
		},
	}
	f.add(c, true)
	c.Flags().Lookup("json").Hidden = true
	return c
}

// guide is a conversation. It keeps nothing that isn't in the log, apart from
// the part's temperature and a command other than the one asked for.
type guide struct {
	a         *app
	b         *boreJob
	lines     <-chan string
	temp      string
	cool      bool
	commanded string
}

// readLines reads in a goroutine, so that a waiting prompt can be interrupted.
func readLines(r io.Reader) <-chan string {
	lines := make(chan string)
	go func() {
		defer close(lines)
		for s := bufio.NewScanner(r); s.Scan(); {
			lines <- strings.TrimSpace(s.Text())
		}
	}()
	return lines
}

func (g *guide) ask(ctx context.Context, prompt string) (string, error) {
	fmt.Fprint(g.a.stdout, prompt)
	select {
	case <-ctx.Done():
		fmt.Fprintln(g.a.stdout, "\nevery record so far is in the log")
		return "", ctx.Err()
	case l, ok := <-g.lines:
		if !ok {
			return "", io.EOF
		}
		return l, nil
	}
}

func (g *guide) run(ctx context.Context) error {
	for {
		l, err := g.a.readLog(g.b)
		if err != nil {
			return err
		}
		now, err := g.b.next(l)
		if err != nil {
			return err
		}
		if err := g.b.print(g.a.stdout, now); err != nil {
			return err
		}
		line, err := g.ask(ctx, g.prompt(now))
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		if line == "quit" {
			return nil
		}
		if err := g.take(ctx, line, now); err != nil {
			if ctx.Err() != nil {
				return err
			}
			fmt.Fprintf(g.a.stdout, "%v\n", err)
		}
		fmt.Fprintln(g.a.stdout)
	}
}

func (g *guide) prompt(now bore.Answer) string {
	switch now.Do {
	case bore.Cut, bore.Spring:
		return "make the pass, spindle off, gauge; what do you see? "
	case bore.Measure:
		return "what do you see? "
	case bore.Done:
		return "next part, or quit? "
	default:
		return "another reading, undo, next part, or quit? "
	}
}

// take acts on one line.
func (g *guide) take(ctx context.Context, line string, now bore.Answer) error {
	word, rest, _ := strings.Cut(line, " ")
	switch {
	case line == "":
		return nil
	case line == "help" || line == "?":
		fmt.Fprint(g.a.stdout, guideHelp)
		return nil
	case line == "undo":
		return g.undo()
	case line == "next part":
		g.b.part++
		g.commanded, g.temp, g.cool = "", "", false
		return nil
	case word == "temp":
		g.temp, g.cool = rest, false
		return nil
	case line == "cool":
		g.temp, g.cool = "", true
		return nil
	case word == "at":
		g.commanded = rest
		return nil
	}
	s := seen{commanded: g.commanded, temp: g.temp, cool: g.cool}
	if s.commanded == "" {
		s.commanded = fmt.Sprintf("%.5f mm", now.CommandMM)
	}
	switch {
	case strings.Contains(line, "goes") || strings.Contains(line, "stops"):
		s.goes, s.stops = limits(line)
	case strings.ContainsAny(line[:1], "0123456789."):
		s.measured = line
	default:
		s.feel = line
	}
	if s.measured != "" || s.feel != "" || s.goes != "" || s.stops != "" {
		if ok, err := g.sure(ctx, s); err != nil || !ok {
			return err
		}
	}
	_, err := g.a.record(ctx, g.b, s)
	if err == nil {
		g.commanded = ""
	}
	return err
}

// limits reads "9.93 goes 9.94 stops", in either order and with either left out.
func limits(line string) (goes, stops string) {
	var words []string
	for _, w := range strings.Fields(line) {
		switch w {
		case "goes":
			goes, words = strings.Join(words, " "), nil
		case "stops":
			stops, words = strings.Join(words, " "), nil
		default:
			words = append(words, w)
		}
	}
	return goes, stops
}

// sure asks before a reading is saved that is far from what is expected.
func (g *guide) sure(ctx context.Context, s seen) (bool, error) {
	r, err := g.b.parse(ctx, s)
	if err != nil {
		return false, err
	}
	l, err := borelog.Read(g.b.logPath, g.b.identity)
	if err != nil {
		return false, err
	}
	if r, err = g.b.place(l, r, false); err != nil {
		return false, err
	}
	l.Append(r)
	ans, err := g.b.next(l)
	if err != nil || ans.Why != bore.Surprise {
		return err == nil, err
	}
	fmt.Fprintf(g.a.stdout, "%s\n", ans.Words(g.b.say))
	answer, err := g.ask(ctx, "save it all the same? yes or no: ")
	if err != nil {
		return false, err
	}
	return answer == "yes" || answer == "y", nil
}

func (g *guide) undo() error {
	voided, torn, err := g.b.undo(0)
	if err != nil {
		return err
	}
	g.a.sayTorn(g.b, torn)
	_, err = fmt.Fprintf(g.a.stdout, "record %d is void: %s\n", voided.N, g.b.describe(voided))
	return err
}
