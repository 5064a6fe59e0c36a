package main

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"secondop/cmd/secondop/internal/plan"
)

// A reader of binary STL of the test's own, so that a fault in the project's
// writer and reader can't cancel out.
type corner [3]float64

type facet [3]corner

func readFacets(t *testing.T, path string) []facet {
	t.Helper()
	b, err := os.ReadFile(path)
	require.NoError(t, err)
	return facetsOf(t, path, b)
}

func facetsOf(t *testing.T, name string, b []byte) []facet {
	t.Helper()
	require.GreaterOrEqual(t, len(b), 84)
	require.False(t, bytes.HasPrefix(b, []byte("solid")), "%s: a binary STL that starts with \"solid\" is taken for text", name)
	n := int(binary.LittleEndian.Uint32(b[80:]))
	require.Equal(t, 84+50*n, len(b), "%s: size", name)
	out := make([]facet, n)
	for i := range out {
		at := b[84+50*i+12:]
		for c := range 3 {
			for k := range 3 {
				out[i][c][k] = float64(math.Float32frombits(binary.LittleEndian.Uint32(at[(c*3+k)*4:])))
			}
		}
	}
	return out
}

// requireClosed checks that every edge is used exactly twice, once each way,
// and returns the volume.
func requireClosed(t *testing.T, name string, fs []facet) (volumeMM3 float64, lo, hi corner) {
	t.Helper()
	uses := map[[2]corner]int{}
	lo = corner{math.Inf(1), math.Inf(1), math.Inf(1)}
	hi = corner{math.Inf(-1), math.Inf(-1), math.Inf(-1)}
	for _, f := range fs {
		a, b, c := f[0], f[1], f[2]
		volumeMM3 += (a[0]*(b[1]*c[2]-b[2]*c[1]) - a[1]*(b[0]*c[2]-b[2]*c[0]) + a[2]*(b[0]*c[1]-b[1]*c[0])) / 6
		for i := range 3 {
			uses[[2]corner{f[i], f[(i+1)%3]}]++
			for k := range 3 {
				lo[k], hi[k] = min(lo[k], f[i][k]), max(hi[k], f[i][k])
			}
		}
	}
	for e, n := range uses {
		require.Equalf(t, 1, n, "%s: an edge is used %d times in one direction", name, n)
		require.Equalf(t, 1, uses[[2]corner{e[1], e[0]}], "%s: an edge has no neighbour", name)
	}
	require.Positivef(t, volumeMM3, "%s: turned inside out", name)
	return volumeMM3, lo, hi
}

// placed is one piece where result.json says it stands on the table.
func placed(fs []facet, by [3]float64) []facet {
	out := make([]facet, len(fs))
	for i, f := range fs {
		for c := range 3 {
			for k := range 3 {
				out[i][c][k] = f[c][k] + by[k]
			}
		}
	}
	return out
}

// sampled calls visit with points spread over the facets at most stepMM apart.
func sampled(fs []facet, stepMM float64, visit func(corner)) {
	for _, f := range fs {
		long := 0.0
		for i := range 3 {
			a, b := f[i], f[(i+1)%3]
			long = max(long, math.Sqrt((a[0]-b[0])*(a[0]-b[0])+(a[1]-b[1])*(a[1]-b[1])+(a[2]-b[2])*(a[2]-b[2])))
		}
		n := max(1, int(math.Ceil(long/stepMM)))
		for i := 0; i <= n; i++ {
			for j := 0; i+j <= n; j++ {
				u, v := float64(i)/float64(n), float64(j)/float64(n)
				var p corner
				for k := range 3 {
					p[k] = f[0][k]*(1-u-v) + f[1][k]*u + f[2][k]*v
				}
				visit(p)
			}
		}
	}
}

// brokenLine is the part's outline as many short chords, made by the test from
// the job itself and in the table frame.
type brokenLine [][2]float64

// distance is the signed distance to the closed line, negative inside.
func (l brokenLine) distance(x, y float64) float64 {
	best, inside := math.Inf(1), false
	for i := range l {
		a, b := l[i], l[(i+1)%len(l)]
		dx, dy := b[0]-a[0], b[1]-a[1]
		t := ((x-a[0])*dx + (y-a[1])*dy) / (dx*dx + dy*dy)
		t = min(max(t, 0), 1)
		best = min(best, math.Hypot(x-a[0]-t*dx, y-a[1]-t*dy))
		if (a[1] > y) != (b[1] > y) && x < a[0]+(y-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
			inside = !inside
		}
	}
	if inside {
		return -best
	}
	return best
}

func readResult(t *testing.T, dir string) plan.Result {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(dir, "result.json"))
	require.NoError(t, err)
	var r plan.Result
	require.NoError(t, json.Unmarshal(b, &r))
	return r
}

// requirePairFits puts both printed meshes back where result.json says they
// stand and checks that the part drops in from above, the moving jaw reaches
// it, nothing intersects, the gap stays open and the clearance is neither less
// nor more than asked.
func requirePairFits(t *testing.T, dir string, partAtZero brokenLine, heightMM, printerInsideMM, leadInMM float64) {
	t.Helper()
	const tolMM = 0.02
	r := readResult(t, dir)
	j := r.Jaws
	part := make(brokenLine, len(partAtZero))
	for i, p := range partAtZero {
		part[i] = [2]float64{p[0] + j.PartZeroMM[0], p[1] + j.PartZeroMM[1]}
	}
	seat, top := j.HeightsMM.Seat, j.HeightsMM.PartTopBefore
	require.InDelta(t, heightMM, top-seat, 1e-6)

	pieces := map[string]plan.Piece{"fixed": j.Fixed, "moving": j.Moving}
	asked := map[string]float64{"fixed": j.ClearanceMM.Fixed + printerInsideMM, "moving": j.ClearanceMM.Moving + printerInsideMM}
	face := map[string]float64{}
	for which, piece := range pieces {
		fs := readFacets(t, filepath.Join(dir, piece.File))
		require.Len(t, fs, piece.Triangles)
		vol, lo, hi := requireClosed(t, which, fs)
		require.InDelta(t, piece.VolumeMM3, vol, 1e-3*vol)
		for k := range 3 {
			require.InDelta(t, 0, lo[k], 1e-6, "%s: lowest corner", which)
			require.InDelta(t, piece.SizeMM[k], hi[k]-lo[k], 0.1, "%s: size along axis %d", which, k)
		}
		onTable := placed(fs, piece.PlaceMM)
		least, leastWall := math.Inf(1), math.Inf(1)
		edge := math.Inf(1)
		sampled(onTable, 1.5, func(p corner) {
			if which == "fixed" {
				edge = min(edge, p[1])
			} else {
				edge = min(edge, -p[1])
			}
			if p[2] <= seat+1e-3 || p[2] >= top { // at or under the seat, or above the part
				return
			}
			d := part.distance(p[0], p[1])
			least = min(least, d)
			if p[2] < j.HeightsMM.JawTop-leadInMM-1e-6 {
				leastWall = min(leastWall, d)
			}
		})
		require.Greater(t, least, asked[which]-tolMM, "%s jaw: the part does not drop in", which)
		require.Less(t, leastWall, asked[which]+tolMM, "%s jaw: the pocket is larger than asked", which)
		face[which] = edge
	}
	gap := face["fixed"] + face["moving"]
	require.InDelta(t, j.GapMM, gap, 0.01, "gap between the jaw faces")
	require.Greater(t, gap-j.ClearanceMM.Fixed-j.ClearanceMM.Moving-2*printerInsideMM, 0.2, "the jaws meet before they hold the part")
	// The moving jaw comes straight along +Y: it must stay clear of the part on
	// the whole way.
	moving := placed(readFacets(t, filepath.Join(dir, j.Moving.File)), j.Moving.PlaceMM)
	for _, opened := range []float64{0.5, 1, 2, 4, 8, 16, 32} {
		sampled(moving, 3, func(p corner) {
			if p[2] <= seat+1e-3 || p[2] >= top {
				return
			}
			require.Greater(t, part.distance(p[0], p[1]-opened), asked["moving"]-tolMM,
				"opened by %g mm the moving jaw meets the part", opened)
		})
	}
}

// requireBoltsOnGrid checks that every bolt is a whole number of pitches from
// the anchor hole, within 1 µm, and agrees with its column and row.
func requireBoltsOnGrid(t *testing.T, dir string, pitchXMM, pitchYMM float64) {
	t.Helper()
	j := readResult(t, dir).Jaws
	require.NotEmpty(t, j.Bolts)
	for _, b := range j.Bolts {
		nx, ny := b.XMM/pitchXMM, b.YMM/pitchYMM
		require.InDelta(t, math.Round(nx)*pitchXMM, b.XMM, 1e-3, "bolt x")
		require.InDelta(t, math.Round(ny)*pitchYMM, b.YMM, 1e-3, "bolt y")
		require.Equal(t, b.Column-j.Anchor.Column, int(math.Round(nx)), "bolt column")
		require.Equal(t, b.Row-j.Anchor.Row, int(math.Round(ny)), "bolt row")
		require.False(t, b.Column == j.Anchor.Column && b.Row == j.Anchor.Row, "the anchor hole must stay free")
	}
}
