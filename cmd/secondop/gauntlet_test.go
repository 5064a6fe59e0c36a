package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"maps"
	"math"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/require"

	"secondop/cmd/secondop/internal/folder"
	"secondop/cmd/secondop/internal/job"
	"secondop/cmd/secondop/internal/outputs"
	"secondop/cmd/secondop/internal/plan"
	"secondop/fixture/outline"
)

var (
	gauntletJobs  = flag.Uint64("gauntlet", 0, "random jobs to run through the whole of make (default: 300 with -run Gauntlet, 80 among all tests)")
	gauntletFirst = flag.Uint64("gauntlet-first", 0, "seed of the first of them; a failing job is run again with this and -gauntlet 1")
)

// gauntletCount keeps the whole suite short: the full count runs when the
// gauntlet is asked for by name.
func gauntletCount() uint64 {
	switch {
	case *gauntletJobs > 0:
		return *gauntletJobs
	case strings.Contains(flag.Lookup("test.run").Value.String(), "Gauntlet"):
		return 300
	}
	return 80
}

// Every random job is built whole, and each of its files keeps what a
// machinist relies on; or it is refused at a place of its file, in words.
func TestGauntlet(t *testing.T) {
	var (
		lock     sync.Mutex
		outcomes = map[string]int{}
	)
	schema, jobs := compiledResultSchema(t), gauntletCount()
	t.Run("jobs", func(t *testing.T) {
		for seed := *gauntletFirst; seed < *gauntletFirst+jobs; seed++ {
			t.Run(fmt.Sprint(seed), func(t *testing.T) {
				t.Parallel()
				outcome := runGauntlet(t, schema, newRandomJob(seed))
				t.Log(outcome)
				lock.Lock()
				defer lock.Unlock()
				outcomes[outcome]++
			})
		}
	})
	built, all := 0, uint64(0)
	for _, o := range slices.Sorted(maps.Keys(outcomes)) {
		t.Logf("%4d %s", outcomes[o], o)
		all += uint64(outcomes[o])
		if strings.HasPrefix(o, "built") {
			built += outcomes[o]
		}
	}
	require.Equal(t, jobs, all, "jobs that came to an end")
	if all >= 100 {
		require.Greater(t, uint64(built), all/2, "most random jobs are ordinary and must be built")
		for _, verdict := range []string{"go", "caution", "stop"} {
			require.Positivef(t, outcomes["built, "+verdict], "no job came out as %s: the gauntlet is too narrow", verdict)
		}
	}
}

func runGauntlet(t *testing.T, schema *jsonschema.Schema, text string) (outcome string) {
	defer func() {
		if p := recover(); p != nil {
			t.Fatalf("panic: %v\n%s\njob:\n%s", p, debug.Stack(), text)
		}
		if t.Failed() {
			t.Logf("job:\n%s", text)
		}
	}()
	p, files, err := gauntletMake(text)
	if err != nil {
		return requireRefusal(t, err)
	}
	r := requireResultFile(t, schema, p, files)
	requireMeshes(t, p, r, files)
	requireGauntletBolts(t, p, r)
	requireCleanText(t, p, r, files)
	return "built, " + r.Verdict
}

// gauntletMake is the command `make` without the disk.
func gauntletMake(text string) (*plan.Plan, []folder.File, error) {
	j, faults := job.Read("job.yaml", []byte(text), "", nil)
	if job.AnyError(faults) {
		return nil, nil, &plan.RefusedError{Faults: slices.DeleteFunc(faults, func(f job.Fault) bool { return !f.Error })}
	}
	p, err := plan.Make(context.Background(), j, func(string) ([]byte, error) { return nil, fs.ErrNotExist })
	if err != nil {
		return nil, nil, err
	}
	r := p.Result("secondop under test")
	files, _, err := outputs.All(p, r)
	if err != nil {
		return nil, nil, err
	}
	files, err = outputs.WithResult(files, r)
	return p, files, err
}

// requireRefusal checks that a job is turned away at a place of its file, in
// words that a person can read.
func requireRefusal(t *testing.T, err error) (outcome string) {
	t.Helper()
	var no *plan.RefusedError
	require.Truef(t, errors.As(err, &no), "%v is no refusal", err)
	require.NotEmpty(t, no.Faults)
	for _, f := range no.Faults {
		require.Positivef(t, f.Pos.Line, "%q has no place in the file", f.Says)
		require.NotEmptyf(t, f.Path, "%q is at no key", f.Says)
		require.NotEmpty(t, f.Says)
		requireWords(t, "refusal", f.Says+"\n"+f.Note+"\n"+f.Help)
	}
	f := no.Faults[0]
	return "refused at " + regexp.MustCompile(`\[\d+\]`).ReplaceAllString(f.Path, "[]") + ": " + regexp.MustCompile(`[0-9.]+`).ReplaceAllString(f.Says, "#")
}

func compiledResultSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(plan.Schema()))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("urn:secondop:result:1", doc))
	s, err := c.Compile("urn:secondop:result:1")
	require.NoError(t, err)
	return s
}

func requireResultFile(t *testing.T, schema *jsonschema.Schema, p *plan.Plan, files []folder.File) plan.Result {
	t.Helper()
	last := files[len(files)-1]
	require.Equal(t, "result.json", last.Name)
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(last.Bytes))
	require.NoError(t, err)
	require.NoError(t, schema.Validate(doc))
	var r plan.Result
	require.NoError(t, json.Unmarshal(last.Bytes, &r))
	worst := "go"
	rank := map[string]int{"go": 0, "caution": 1, "stop": 2}
	for _, reason := range r.Reasons {
		require.NotEmpty(t, reason.Says)
		if rank[reason.Verdict] > rank[worst] {
			worst = reason.Verdict
		}
	}
	require.Equal(t, worst, r.Verdict, "the verdict is the worst of its reasons")
	pushes := p.Job.Cut != nil && slices.ContainsFunc(p.Job.Cut.Operations, func(o job.Operation) bool { return o.Kind != "" })
	require.Equal(t, pushes && p.Job.Clamp != nil, r.Hold != nil && r.Hold.HoldingFactor != nil, "the grip is judged when a cutter pushes a clamped part")
	require.Equal(t, p.Job.Fit != nil, r.Fit != nil)
	return r
}

// requireMeshes checks every mesh file by a reader of the test's own: each
// edge used once each way, the size that result.json says, and the pocket
// neither tighter nor wider than asked. That no mesh cuts itself was checked
// by the verifier before, which make never goes past.
func requireMeshes(t *testing.T, p *plan.Plan, r plan.Result, files []folder.File) {
	t.Helper()
	pieces := map[string]plan.Piece{r.Jaws.Fixed.File: r.Jaws.Fixed, r.Jaws.Moving.File: r.Jaws.Moving}
	for _, piece := range r.Jaws.Parts {
		pieces[piece.File] = piece
	}
	meshes := 0
	for _, f := range files {
		if filepath.Ext(f.Name) != ".stl" {
			continue
		}
		meshes++
		facets := facetsOf(t, f.Name, f.Bytes)
		vol, lo, hi := requireClosed(t, f.Name, facets)
		for k := range 3 {
			require.InDelta(t, 0, lo[k], 1e-6, "%s: lowest corner", f.Name)
		}
		piece, ok := pieces[f.Name]
		if !ok {
			continue
		}
		require.Len(t, facets, piece.Triangles)
		require.InDelta(t, piece.VolumeMM3, vol, 1e-3*vol, "%s: volume", f.Name)
		for k := range 3 {
			require.InDelta(t, piece.SizeMM[k], hi[k]-lo[k], 1e-3, "%s: size along axis %d", f.Name, k)
		}
		moving := strings.HasPrefix(f.Name, "moving")
		if !moving && !strings.HasPrefix(f.Name, "fixed") {
			continue
		}
		requireClearance(t, p, r.Jaws, f.Name, placed(facets, piece.PlaceMM), moving, piece.File == r.Jaws.Fixed.File || moving)
	}
	require.Equal(t, len(p.Jaws.Pieces), meshes)
}

// requireClearance walks a jaw's surface where the part stands in it.
func requireClearance(t *testing.T, p *plan.Plan, j *plan.JawsBlock, name string, facets []facet, moving, whole bool) {
	t.Helper()
	const tolMM = 0.02
	jaws := p.Job.Jaws
	asked, travel := j.ClearanceMM.Fixed, 0.0
	if moving {
		asked, travel = j.ClearanceMM.Moving, jaws.Moving.TravelMM
	}
	asked += jaws.PrinterInsideMM
	if jaws.Finish == "cut in place" {
		asked -= jaws.SkimMM
	}
	zeros := [][3]float64{j.PartZeroMM}
	for _, n := range j.Nests {
		zeros = append(zeros, n.PartZeroMM)
	}
	toPart := func(c corner, opened float64) float64 {
		d := math.Inf(1)
		for _, z := range zeros {
			d = min(d, p.Part.Placed.Distance(outline.Point{X: c[0] - z[0], Y: c[1] - opened - z[1]}))
		}
		return d
	}
	least, leastWall := math.Inf(1), math.Inf(1)
	// Fine enough to meet the wall between seat and lead-in.
	sampled(facets, min(2, max(0.3, j.GripNetMM/2)), func(c corner) {
		if c[2] <= j.HeightsMM.Seat+1e-3 || c[2] >= j.HeightsMM.PartTopBefore {
			return
		}
		d := toPart(c, 0)
		least = min(least, d)
		if c[2] < j.HeightsMM.JawTop-jaws.LeadInMM-1e-3 {
			leastWall = min(leastWall, d)
		}
		if travel > 0 && jaws.Finish == "printed" {
			require.Greaterf(t, toPart(c, travel), asked-tolMM, "%s: opened by %g mm the jaw meets the part", name, travel)
		}
	})
	require.Greaterf(t, least, asked-tolMM, "%s: the part does not drop in", name)
	if whole {
		require.Lessf(t, leastWall, asked+tolMM, "%s: the pocket is wider than asked", name)
	}
}

// requireGauntletBolts counts the pitches from the anchor hole to every screw
// with the job's own numbers.
func requireGauntletBolts(t *testing.T, p *plan.Plan, r plan.Result) {
	t.Helper()
	j := r.Jaws
	require.NotEmpty(t, j.Bolts)
	if s := p.Job.Table.Slots; s != nil {
		for _, b := range j.Bolts {
			across := b.YMM
			if s.AlongY {
				across = b.XMM
			}
			n := math.Round(across / s.PitchMM)
			require.InDelta(t, n*s.PitchMM, across, 1e-3, "a screw beside its slot")
			require.True(t, b.Slot >= 1 && b.Slot <= s.Count, "slot %d of %d", b.Slot, s.Count)
		}
		return
	}
	g := p.Job.Table.Grid
	hole := func(column, row int) (x, y float64) {
		x, y = float64(column-1)*g.PitchXMM, float64(row-1)*g.PitchYMM
		if g.Stagger && row%2 == 0 {
			x += g.PitchXMM / 2
		}
		return x, y
	}
	ax, ay := hole(j.Anchor.Column, j.Anchor.Row)
	for _, b := range j.Bolts {
		x, y := hole(b.Column, b.Row)
		require.InDelta(t, x-ax, b.XMM, 1e-3, "screw in column %d row %d", b.Column, b.Row)
		require.InDelta(t, y-ay, b.YMM, 1e-3, "screw in column %d row %d", b.Column, b.Row)
		require.True(t, b.Column >= 1 && b.Column <= g.Columns && b.Row >= 1 && b.Row <= g.Rows, "a screw off the table")
		require.NotContains(t, g.Blocked, [2]int{b.Column, b.Row})
		require.False(t, b.Column == j.Anchor.Column && b.Row == j.Anchor.Row, "the anchor hole must stay free")
	}
}

var (
	scriptOrStyle = regexp.MustCompile(`(?s)<(script|style)[^>]*>.*?</(script|style)>`)
	dataURI       = regexp.MustCompile(`data:[a-z0-9/+.-]*;base64,[A-Za-z0-9+/=]*`)
	exponent      = regexp.MustCompile(`e-\d\d\b`)
	// What Go, or a browser, writes where a number or a word is missing.
	missing = regexp.MustCompile(`\bNaN\b|[+-]Inf\b|\bInfinity\b|\bundefined\b|%![a-zA-Z(]|<nil>|<no value>|\[object|internal error|0x[0-9a-f]{6}|e[+-]\d\d\b`)
)

// requireWords checks that a text has no hole in it.
func requireWords(t *testing.T, what, text string) {
	t.Helper()
	if at := missing.FindStringIndex(text); at != nil {
		lo, hi := max(0, at[0]-80), min(len(text), at[1]+40)
		require.Failf(t, what+" has a hole", "%q", text[lo:hi])
	}
}

func requireCleanText(t *testing.T, p *plan.Plan, r plan.Result, files []folder.File) {
	t.Helper()
	seen := map[string]bool{}
	for _, f := range files {
		seen[f.Name] = true
		switch filepath.Ext(f.Name) {
		case ".html":
			text := dataURI.ReplaceAllString(scriptOrStyle.ReplaceAllString(string(f.Bytes), ""), "")
			requireWords(t, f.Name, text)
			require.Contains(t, text, map[string]string{"go": "go", "caution": "caution", "stop": "stop"}[r.Verdict])
		case ".csv", ".nc":
			requireWords(t, f.Name, string(f.Bytes))
		case ".dxf": // whose numbers may have exponents
			requireWords(t, f.Name, exponent.ReplaceAllString(string(f.Bytes), ""))
		case ".json":
			for _, reason := range r.Reasons {
				requireWords(t, f.Name, reason.Says)
			}
		}
	}
	require.True(t, seen["setup-sheet.html"] && seen["jaws.3mf"] && seen["pocket.dxf"] && seen["fit-slice.stl"])
	var out bytes.Buffer
	require.NoError(t, newApp(nil, &out, &out).summary(p, r, "job.out"))
	requireWords(t, "summary", out.String())
}
