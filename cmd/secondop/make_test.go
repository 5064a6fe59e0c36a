package main

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"secondop/cmd/secondop/internal/plan"
)

// secondop runs one command line and returns its status and streams.
func secondop(args ...string) (status int, stdout, stderr string) {
	var out, errs bytes.Buffer
	status = run(args, bytes.NewReader(nil), &out, &errs)
	return status, out.String(), errs.String()
}

// made runs make on a job into a folder of the test's own.
func makeInto(t *testing.T, job string, wantStatus int) (dir string) {
	t.Helper()
	dir = filepath.Join(t.TempDir(), "made")
	status, _, stderr := secondop("make", "-o", dir, job)
	require.Equalf(t, wantStatus, status, "make %s: %s", job, stderr)
	return dir
}

// arcLine turns corners with bulges into a broken line of fine chords, as the
// DXF reference defines them: the bulge is the tangent of a quarter of the arc's
// angle, positive counter-clockwise, and belongs to the piece that starts there.
func arcLine(corners [][3]float64) (line brokenLine) {
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		line = append(line, [2]float64{a[0], a[1]})
		if a[2] == 0 {
			continue
		}
		angle := 4 * math.Atan(a[2])
		chordX, chordY := b[0]-a[0], b[1]-a[1]
		chord := math.Hypot(chordX, chordY)
		r := chord * (1 + a[2]*a[2]) / (4 * a[2]) // signed
		// The centre lies left of the chord for a positive bulge under 1.
		h := r * math.Cos(angle/2)
		cx, cy := (a[0]+b[0])/2-chordY/chord*h, (a[1]+b[1])/2+chordX/chord*h
		from := math.Atan2(a[1]-cy, a[0]-cx)
		const n = 400
		for k := 1; k < n; k++ {
			at := from + angle*float64(k)/n
			line = append(line, [2]float64{cx + math.Abs(r)*math.Cos(at), cy + math.Abs(r)*math.Sin(at)})
		}
	}
	return line
}

// latchPlate is the outline of the example, typed in again from its drawing.
var latchPlate = arcLine([][3]float64{
	{-24, -18, 0},
	{24, -18, math.Tan(math.Pi / 8)},
	{30, -12, 0},
	{30, 12, math.Tan(math.Pi / 8)},
	{24, 18, 0},
	{13, 18, 0},
	{13, 14, 0},
	{7, 14, 0},
	{7, 18, 0},
	{-24, 18, math.Tan(math.Pi / 8)},
	{-30, 12, 0},
	{-30, 8, 1},
	{-30, -4, 0},
	{-30, -12, math.Tan(math.Pi / 8)},
})

// Every file of the folder is there, and the folder says so itself.
var wholeFolder = []string{"fixed-jaw.stl", "moving-jaw.stl", "jaws.3mf", "fit-slice.stl", "pocket.dxf", "setup-sheet.html", "result.json"}

func TestThePrintedPairFitsThePartWhereTheResultPutsIt(t *testing.T) {
	dir := makeInto(t, filepath.Join(examples, "latch-plate", "job.yaml"), exitDone)
	requirePairFits(t, dir, latchPlate, 14, 0.10, 1)
	requireBoltsOnGrid(t, dir, 25, 25)
}

func TestEveryExample(t *testing.T) {
	for _, c := range []struct {
		job             string
		status          int
		pitchMM         float64
		heightMM        float64
		insideMM        float64
		passes, program bool
	}{
		{"latch-plate/job.yaml", exitDone, 25, 14, 0.10, true, true},
		{"pen-foot/job.yaml", exitDone, 38.1, 19.05, 0.1016, true, false},
		{"ring-tray/job.yaml", exitStop, 38.1, 24, 0.10, false, false},
		{"ring-tray/as-advised.yaml", exitDone, 38.1, 24, 0.10, false, false},
		{"drawer-pull/job.yaml", exitDone, 25, 16, 0.10, false, false},
		{"stepped-foot/job.yaml", exitDone, 25.4, 18, 0.10, false, false},
	} {
		t.Run(c.job, func(t *testing.T) {
			path := filepath.Join(examples, filepath.FromSlash(c.job))
			dir := makeInto(t, path, c.status)
			want := append([]string{}, wholeFolder...)
			if c.passes {
				want = append(want, "passes.csv")
			}
			if c.program {
				want = append(want, "bore.nc")
			}
			for _, f := range want {
				require.FileExists(t, filepath.Join(dir, f))
			}
			if !c.program {
				require.NoFileExists(t, filepath.Join(dir, "bore.nc"))
			}
			requireBoltsOnGrid(t, dir, c.pitchMM, c.pitchMM)
			requirePairFits(t, dir, asDrawn(t, path), c.heightMM, c.insideMM, 1)
			requireHashes(t, dir)
		})
	}
}

// asDrawn is the part's outline in its own frame after its turn, in fine chords.
func asDrawn(t *testing.T, path string) (line brokenLine) {
	t.Helper()
	a := newApp(bytes.NewReader(nil), &bytes.Buffer{}, &bytes.Buffer{})
	l, err := a.load(path, "")
	require.NoError(t, err)
	p, err := plan.Start(l.Job, l.files)
	require.NoError(t, err)
	rings := p.Part.Placed.Flatten(0.0005)
	require.Len(t, rings, 1)
	for _, q := range rings[0].Points {
		line = append(line, [2]float64{q.X, q.Y})
	}
	return line
}

func requireHashes(t *testing.T, dir string) {
	t.Helper()
	r := readResult(t, dir)
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.Len(t, entries, len(r.Files)+2, "files beside those that result.json names, itself and the marker")
	for _, f := range r.Files {
		b, err := os.ReadFile(filepath.Join(dir, f.Name))
		require.NoError(t, err)
		require.Equal(t, f.SHA256, sha256Hex(b), f.Name)
	}
}

// A beginner is not greeted with a stop.
func TestTheStarterJobIsGo(t *testing.T) {
	path := filepath.Join(t.TempDir(), "first job.yaml")
	status, _, stderr := secondop("new", path)
	require.Equal(t, exitDone, status, stderr)
	status, _, stderr = secondop("new", path)
	require.Equal(t, exitNotDone, status, "new must not overwrite a file")
	require.Contains(t, stderr, "exists already")

	status, stdout, stderr := secondop("make", path)
	require.Equal(t, exitDone, status, stderr)
	require.Regexp(t, `(?m)^verdict +go$`, stdout)
	require.LessOrEqual(t, bytes.Count([]byte(stdout), []byte("\n")), 24, "the summary is more than one screen")
	dir := filepath.Join(filepath.Dir(path), "first job.out")
	requirePairFits(t, dir, asDrawn(t, path), 25, 0.10, 1)
}

// The same job gives the same bytes.
func TestTheSameJobGivesTheSameBytes(t *testing.T) {
	job := filepath.Join(examples, "latch-plate", "job.yaml")
	a, b := makeInto(t, job, exitDone), makeInto(t, job, exitDone)
	entries, err := os.ReadDir(a)
	require.NoError(t, err)
	for _, e := range entries {
		x, err := os.ReadFile(filepath.Join(a, e.Name()))
		require.NoError(t, err)
		y, err := os.ReadFile(filepath.Join(b, e.Name()))
		require.NoError(t, err)
		require.True(t, bytes.Equal(x, y), "%s differs from run to run", e.Name())
	}
}
