package plan

import (
	"context"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"secondop/cmd/secondop/internal/job"
	"secondop/fixture/hold"
	"secondop/thermal/cutting"
)

func TestFiniteKeepsWhatJSONCantSayOut(t *testing.T) {
	for in, want := range map[float64]float64{0: 0, -3.5: -3.5, math.Inf(1): 1e6, math.Inf(-1): -1e6, 2e9: 1e6} {
		require.Equal(t, want, finite(in), "finite(%g)", in)
	}
}

// without drops a section, from its name to the next one.
func without(section, next string) []string {
	from := strings.Index(plain, "\n"+section+":")
	to := strings.Index(plain, "\n"+next+":")
	return []string{plain[from:to], ""}
}

// Whatever a job leaves out or drives to an end, result.json can be written and
// no number in it is one that JSON has no word for.
func TestEveryResultCanBeWritten(t *testing.T) {
	const ops = `    - {name: face, kind: face, tool: six, speed: 10000 rpm, feed: 800, depth: 0.4, width: 4, to: 0.4}
    - {name: hole, kind: drill, tool: bit, speed: 3000 rpm, feed: 150, at: [14, 0], to: 8}
`
	for _, c := range []struct {
		name   string
		change []string
	}{
		{"everything", nil},
		{"no clamp", without("clamp", "tools")},
		{"no cut", without("cut", "fit")},
		{"no cut and no fit", append(without("cut", "fit"), without("fit", "machine")...)},
		{"no clamp and no cut", append(without("clamp", "tools"), without("cut", "fit")...)},
		{"only heat is known", []string{ops, "    - {name: soak, heat: 3 W, lasts: 60 s}\n"}},
		{"only power is known", []string{ops, "    - {name: cut, power: 30 W, lasts: 60 s}\n"}},
		{"hardly any heat", []string{ops, "    - {name: soak, heat: 0.001 W, lasts: 1 s}\n"}},
		{"far too much heat", []string{ops, "    - {name: soak, heat: 900 W, lasts: 900 s}\n"}},
		{"only a drill", []string{ops, "    - {name: hole, kind: drill, tool: bit, speed: 3000 rpm, feed: 150, to: 8}\n"}},
		{"a clamp that hardly pushes", []string{"force: 1500 N", "force: 0.01 N"}},
		{"a clamp that crushes", []string{"force: 1500 N", "force: 90000 N"}},
		{"a magnet that nothing is asked of", []string{"  must_hold: 60 N\n", ""}},
		{"a bond", []string{"must_hold: 60 N", "by: bond"}},
		{"a loose class", []string{"must_hold: 60 N", "by: H11"}},
		{"a hold beyond reach", []string{"must_hold: 60 N", "must_hold: 90000 N"}},
		{"any press", []string{"must_hold: 60 N", "must_hold: 60 N\n  press_force: 900000 N"}},
		{"a lot that scatters", []string{"11.962 +-0.004, measured: true", "11.95 +-0.05"}},
		{"a reamer", []string{"start: 11.8, tool: six, cleared: 9", "cut_by: ream"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := Make(context.Background(), read(t, c.change...), noFiles)
			require.NoError(t, err)
			r := p.Result("test")
			b, err := json.Marshal(r)
			require.NoError(t, err)
			require.NoError(t, resultSchema(t).Validate(asDocument(t, json.RawMessage(b))))
			for _, x := range r.Reasons {
				require.NotRegexp(t, `NaN|Inf|%!|not known,`, x.Says)
			}
			requireVerdictsAddUp(t, r)
		})
	}
}

// The result's verdict is the worst of its reasons, and so is each block's of
// its own.
func requireVerdictsAddUp(t *testing.T, r Result) {
	t.Helper()
	worst := map[string]string{"": "go"}
	for _, x := range r.Reasons {
		worst[""], worst[x.Check] = worse(worst[""], x.Verdict), worse(worst[x.Check], x.Verdict)
	}
	require.Equal(t, worst[""], r.Verdict)
	blocks := map[string]string{}
	if r.Jaws != nil {
		blocks["jaws"] = r.Jaws.Verdict
	}
	if r.Hold != nil {
		blocks["hold"] = r.Hold.Verdict
	}
	if r.Heat != nil {
		blocks["heat"] = r.Heat.Verdict
	}
	if r.Fit != nil {
		blocks["fit"] = r.Fit.Verdict
	}
	for check, verdict := range blocks {
		require.Equal(t, worse("go", worst[check]), verdict, "%s", check)
	}
}

// A branch tells its own block, its own reasons and those on the job, and its
// verdict heeds no other branch's.
func TestABranchTellsItsOwnAlone(t *testing.T) {
	p, err := Make(context.Background(), read(t, "must_hold: 60 N", "must_hold: 90000 N", "seen: this side\n", "\n"), noFiles)
	require.NoError(t, err)
	require.Equal(t, "stop", p.Result("test").Verdict)
	for check, want := range map[string]string{"jaws": "go", "hold": "go", "heat": "go", "fit": "stop"} {
		r := p.BranchResult("test", check)
		require.Equal(t, want == "stop", r.Verdict == "stop", "%s is %s", check, r.Verdict)
		require.Equal(t, []bool{check == "jaws", check == "hold", check == "heat", check == "fit"},
			[]bool{r.Jaws != nil, r.Hold != nil, r.Heat != nil, r.Fit != nil}, check)
		for _, x := range r.Reasons {
			require.Contains(t, []string{check, "job"}, x.Check)
		}
	}
}

func TestSectionsLeftOutAreNamed(t *testing.T) {
	for _, c := range []struct {
		change []string
		want   []string
	}{
		{nil, nil},
		{without("cut", "fit"), []string{"the job has no `cut`: grip and heat are not judged"}},
		{without("fit", "machine"), []string{"the job has no `fit`: no bore is judged"}},
	} {
		p := &Plan{Job: read(t, c.change...)}
		var says []string
		for _, r := range p.unjudged() {
			require.Equal(t, "go", r.Verdict)
			says = append(says, r.Says)
		}
		require.Equal(t, c.want, says)
	}
}

func TestAShareLearntElsewhereIsDoubted(t *testing.T) {
	share := &job.Band{Low: 0.1, Likely: 0.2, High: 0.3}
	const metal = "aluminium 6061-T6"
	for _, c := range []struct {
		share *job.Band
		from  string
		says  string
	}{
		{nil, "calibration: block: brass C360, pocket, cooling none", ""},
		{share, "the job", ""},
		{share, "calibration: block: aluminium 6061-T6, pocket, cooling air blast, 2026-03-01", ""},
		{share, "calibration: block: brass C360, pocket, cooling air blast, 2026-03-01", "another metal than aluminium 6061-T6"},
		{share, "calibration: block: aluminium 6061-T6, pocket, cooling none, 2026-03-01", "another cooling than air blast"},
		{share, "calibration: a test block", "may have been learnt on another metal"},
	} {
		got := strayCalibration(&job.Cut{Share: c.share, ShareFrom: c.from, Cooling: "air blast"}, metal)
		require.Contains(t, got, c.says)
		require.Equal(t, c.says == "", got == "", "strayCalibration(%q) = %q", c.from, got)
	}
}

// A share that was learnt on the same metal under another of its names is not
// doubted.
func TestACalibrationKnowsAMetalByAllItsNames(t *testing.T) {
	for _, name := range []string{"6061-T6", "aluminium 6061", "6061"} {
		p, err := Start(read(t, "6061-T6", name), noFiles)
		require.NoError(t, err)
		require.Equal(t, "aluminium 6061-T6", p.Metal.Name)
	}
}

func TestTheSpindleIsAskedForNoMoreThanItHas(t *testing.T) {
	ops := []Operation{
		{Operation: job.Operation{Name: "rough", SpeedRPM: 24000}, Power: cutting.Band{Likely: 410}},
		{Operation: job.Operation{Name: "light", SpeedRPM: 8000}, Power: cutting.Band{Likely: 50}},
	}
	for _, c := range []struct {
		machine job.Machine
		want    []string
	}{
		{job.Machine{}, nil},
		{job.Machine{SpindleW: 600, MaxRPM: 24000}, nil},
		{job.Machine{SpindleW: 500}, []string{"rough takes 410 W, more than four fifths of the spindle's 500 W"}},
		{job.Machine{MaxRPM: 10000}, []string{"rough asks for 24000 rpm, the spindle turns at most 10000 rpm"}},
	} {
		var says []string
		for _, r := range spindle(&job.Job{Machine: c.machine}, ops) {
			require.Equal(t, hold.Caution, r.Verdict)
			says = append(says, r.Says)
		}
		require.Equal(t, c.want, says)
	}
}

// A spindle that is too weak is a caution of the grip's block as well as of the
// job.
func TestAWeakSpindleIsACautionOfTheGrip(t *testing.T) {
	p, err := Make(context.Background(), read(t, "machine: rigid", "machine: {kind: rigid, max_speed: 9000 rpm}"), noFiles)
	require.NoError(t, err)
	r := p.Result("test")
	require.Equal(t, "caution", r.Hold.Verdict)
	require.Equal(t, "caution", r.Verdict)
}
