package sheet

import (
	"html"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"secondop/cmd/secondop/internal/plan"
)

var (
	scripts = regexp.MustCompile(`(?s)<(script|style|svg).*?</(script|style|svg)>`)
	tags    = regexp.MustCompile(`<[^>]*>`)
	spaces  = regexp.MustCompile(`\s+`)
)

// readable is the sheet as text, without drawings.
func readable(page string) string {
	page = strings.ReplaceAll(page, viewJS, "")
	page = strings.ReplaceAll(page, "\u00a0", " ")
	return strings.TrimSpace(spaces.ReplaceAllString(html.UnescapeString(tags.ReplaceAllString(scripts.ReplaceAllString(page, " "), " ")), " "))
}

// A reader who has nothing but the sheet finds the answer to every question of
// the setup. The answers are those of result.json, worded here again.
func TestAStrangerCanSetTheJobUp(t *testing.T) {
	p, r := planOf(t, "latch-plate/job.yaml")
	text := readable(written(t, p, r))
	u := p.Job.Units()
	b := r.Jaws.Bolts
	require.Len(t, b, 2)
	for question, answer := range map[string]string{
		"which holes":                "column 4, row 5 M6 × 20 mm",
		"which other hole":           "column 8, row 5 (slotted hole) M6 × 20 mm",
		"which screw and torque":     "M6 × 20 mm ISO 7093 M6 " + u.Torque(b[0].TorqueNm),
		"which face up":              "This face up",
		"which way round":            "the outline lets it in one way only",
		"zero from where":            "X -22.5, Y -40 mm X -0.886, Y -1.575 in from the centre of the anchor hole , column 7, row 6",
		"how well is zero known":     "±0.6",
		"z zero":                     "Z zero is the seat , that is the top of the parallels, 10 mm",
		"how deep is the bore":       "Depth 4.1 mm",
		"how far does the tool go":   "0 mm – 4.5 mm",
		"when to stop":               "When to stop: the jaws don't reach their limit in this job on the high estimate",
		"at which temperature":       "reads " + u.Temperature(r.Heat.CautionC),
		"which pole":                 "the north pole out",
		"what to measure with":       "Measure with: bore gauge",
		"which bore":                 "11.927 mm 0.4696 in to 11.948 mm 0.4704 in , on diameter",
		"how hard to press":          "How hard: " + u.Force(r.Fit.PressInN.Min),
		"press with what":            "with: arbor press",
		"what to print first":        "Print fit-slice.stl once",
		"what to print next":         "fixed-jaw.stl 1 125.7 mm × 26.9 mm × 19 mm",
		"in which position":          "flat side down",
		"how warm may it be gauged":  "gauge it at",
		"what the stock's sign says": "Wall stock is the metal left per wall",
		"how hard to clamp":          "1200 N as the job says",
		"when to clamp again":        "again after 5 minutes , and once more when the part is warm",
		"clamp where":                "Press in the middle of the pad on the front, 15.1 mm",
		"what is not covered":        "What is not covered Jaws: the printer is taken as square",
		"how thick is the part then": "Height of the finished part: 13.6 mm",
	} {
		text, answer := loose(text), loose(answer)
		require.Truef(t, strings.Contains(text, answer), "%s? The sheet doesn't say %q", question, answer)
	}
}

// loose leaves out what tags put between words.
func loose(s string) string {
	return strings.NewReplacer(" ,", ",", " .", ".", "± ", "±").Replace(spaces.ReplaceAllString(s, " "))
}

// What each verdict must not leave unsaid.
func TestTheFirstScreenSaysTheVerdictAndWhy(t *testing.T) {
	p, r := planOf(t, "ring-tray/job.yaml")
	text := readable(written(t, p, r))
	require.Equal(t, "stop", r.Verdict)
	head := text[:strings.Index(text, "On the table")]
	for _, want := range []string{"stop Don't cut this job as it stands", "stop, heat:", "90 s", "holding factor 2.6", "not judged: the job has no fit"} {
		require.Truef(t, strings.Contains(loose(head), want), "the first screen doesn't say %q: %s", want, head)
	}
	require.Contains(t, text, "The verdict is stop : don't cut this job as it stands")
	require.Contains(t, text, "What would change it")
	require.Contains(t, text, "polymer: "+strings.TrimPrefix(r.Heat.Alternatives[0].Change, "polymer: "))
}

// An inch job speaks inches first and mm in grey.
func TestUnitsAreTheJobs(t *testing.T) {
	p, r := planOf(t, "pen-foot/job.yaml")
	z := r.Jaws.PartZeroMM
	text := loose(readable(written(t, p, r)))
	for _, want := range []string{"bore window, on diameter 0.4987 to 0.4999 in 12.667 to 12.696 mm", "in lbf", "Part zero is " + p.Job.Units().Point(z[0], z[1]) + " X 38.1, Y ", p.Job.Units().Temperature(*r.Heat.JawFaceC.Likely)} {
		require.Truef(t, strings.Contains(text, want), "the sheet doesn't say %q", want)
	}
}

// Every input of the job and every default stands on the sheet.
func TestEveryInputIsListed(t *testing.T) {
	p, r := planOf(t, "latch-plate/job.yaml")
	text := readable(written(t, p, r))
	require.Greater(t, len(p.Job.Read), 80)
	for _, in := range p.Job.Read {
		want := spaces.ReplaceAllString(strings.TrimSpace(in.Path+" "+in.Value+" "+in.Unit), " ")
		require.Truef(t, strings.Contains(text, want), "the sheet doesn't list %q", want)
	}
}

func TestAJobWithoutCutOrFitHasASheetThatSaysSo(t *testing.T) {
	p, r := planText(t, examples+"/ring-tray/job.yaml", `
secondop: 1
name: bare ring
units: mm
part:
  material: aluminium 6061-T6
  height: 24
  outline:
    shapes:
      - {add: circle, diameter: 62}
table:
  slots: {width: 12, pitch: 50, direction: x, thread: M10}
jaws: {polymer: PLA, grip: 14, seat: table, nests: 2}
`)
	text := loose(readable(written(t, p, r)))
	for _, want := range []string{
		"holding factor –", "not judged: the job has no cut", "not judged: the job has no fit", "The job names no clamp",
		"from the centre line of slot", "left face of the fixed jaw",
		"the table top",
	} {
		require.Truef(t, strings.Contains(text, want), "the sheet doesn't say %q", want)
	}
	require.NotContains(t, text, "Creep up on the bore")
}

// Text of the job is never markup, wherever it lands.
func TestJobTextIsEscaped(t *testing.T) {
	p, r := planOf(t, "latch-plate/job.yaml")
	const hostile = `"><script>x</script><svg onload=x>`
	j := *p.Job
	j.Name = hostile
	j.Read = append(j.Read[:len(j.Read):len(j.Read)], j.Read[0])
	j.Read[len(j.Read)-1].Value = hostile
	q := *p
	q.Job = &j
	r.Job = hostile
	r.Reasons = append(r.Reasons[:len(r.Reasons):len(r.Reasons)],
		plan.Reason{Check: hostile, Verdict: "caution", Says: hostile}, plan.Reason{Check: hostile, Verdict: "go", Says: hostile})
	ops := append([]plan.Operation(nil), p.Ops...)
	ops[0].Name = hostile
	q.Ops = ops
	page := strings.ReplaceAll(written(t, &q, r), viewJS, "")
	require.False(t, strings.Contains(page, "<script>x"), "a script of the job's")
	require.False(t, strings.Contains(page, "<svg onload"), "markup of the job's")
	require.Contains(t, readable(page), hostile)
}
