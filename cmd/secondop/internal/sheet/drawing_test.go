package sheet

import (
	"bytes"
	"image/png"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"secondop/fixture/mesh"
	"secondop/fixture/outline"
	"secondop/fixture/solid"
)

// pathArea reads an SVG path of M, L, A and Z, as the SVG standard defines
// them (Y down, sweep flag 1 is clockwise as seen), and returns its area.
func pathArea(t require.TestingT, d string) (area float64) {
	for _, word := range []string{"M", "L", "A", "Z"} {
		d = strings.ReplaceAll(d, word, " "+word+" ")
	}
	f := strings.Fields(d)
	num := func(i int) float64 {
		v, err := strconv.ParseFloat(f[i], 64)
		require.NoError(t, err)
		return v
	}
	var x, y, sx, sy float64
	to := func(nx, ny float64) {
		area += (x*ny - nx*y) / 2
		x, y = nx, ny
	}
	for i := 0; i < len(f); {
		switch f[i] {
		case "M":
			x, y = num(i+1), num(i+2)
			sx, sy = x, y
			i += 3
		case "L":
			to(num(i+1), num(i+2))
			i += 3
		case "A":
			r, sweep, ex, ey := num(i+1), num(i+5), num(i+6), num(i+7)
			chord := math.Hypot(ex-x, ey-y)
			half := math.Asin(math.Min(1, chord/2/r))
			segment := r * r * (half - math.Sin(half)*math.Cos(half))
			to(ex, ey)
			if sweep == 1 { // with Y down, clockwise as seen is the positive sense of this sum
				area += segment
			} else {
				area -= segment
			}
			i += 8
		case "Z":
			to(sx, sy)
			i++
		default:
			require.Fail(t, "unknown path word "+f[i])
		}
	}
	return area
}

// An outline keeps its area on its way into a drawing, arcs and holes included.
func TestDrawnOutlinesKeepTheirArea(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.Float64Range(20, 80).Draw(t, "w"), rapid.Float64Range(20, 80).Draw(t, "h")
		o, err := outline.Rectangle(w, h, rapid.Float64Range(0.5, 9).Draw(t, "r"), outline.Point{X: 3, Y: -7}, rapid.Float64Range(0, 6).Draw(t, "turn"))
		require.NoError(t, err)
		// Quarter arcs: of a half circle the rounding to 0.001 mm hides the angle.
		hole, err := outline.Rectangle(12, 8, rapid.Float64Range(0.5, 3.9).Draw(t, "hole"), outline.Point{X: 3, Y: -7}, 0)
		require.NoError(t, err)
		o, err = outline.Difference(o, hole)
		require.NoError(t, err)
		got := -pathArea(t, newCanvas(-100, -100, 100, 100).outlinePath(o)) // Y is flipped, and the sense with it
		require.InDeltaf(t, o.AreaMM2(), got, 0.002*(w+h)*4, "area drawn, mm²")
	})
}

func boxMesh(t *testing.T, w, d, z0, z1 float64) *mesh.Mesh {
	t.Helper()
	o, err := outline.Rectangle(w, d, 0, outline.Point{X: 2, Y: 5}, 0)
	require.NoError(t, err)
	m, err := mesh.Build(solid.Solid{Name: "box", Prisms: []solid.Prism{{Name: "box", Plan: o, Z0MM: z0, Z1MM: z1}}}, mesh.Options{ChordMM: 0.01})
	require.NoError(t, err)
	return m
}

func ringArea(ring []outline.Point) (a float64) {
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		a += (p.X*q.Y - q.X*p.Y) / 2
	}
	return math.Abs(a)
}

// A slice of a box is its cross section, wherever it is cut, and nothing
// outside of it; a slice of a tube has its hole.
func TestASliceIsTheCrossSection(t *testing.T) {
	m := boxMesh(t, 40, 24, 3, 12)
	for _, x := range []float64{-17.99, 0, 2, 21.9} {
		rings := slice(m, x)
		require.Lenf(t, rings, 1, "rings at x = %g", x)
		require.InDeltaf(t, 24.0*9.0, ringArea(rings[0]), 1e-3, "area at x = %g, mm²", x)
	}
	require.Empty(t, slice(m, 23))
	require.Empty(t, slice(m, -18.5))

	outer, err := outline.Circle(30, outline.Point{})
	require.NoError(t, err)
	inner, err := outline.Circle(20, outline.Point{})
	require.NoError(t, err)
	tube, err := mesh.Build(solid.Solid{Name: "tube", Prisms: []solid.Prism{
		{Name: "out", Plan: outer, Z0MM: 0, Z1MM: 10}, {Name: "in", Op: solid.Cut, Plan: inner, Z0MM: 4, Z1MM: 10},
	}}, mesh.Options{ChordMM: 0.001})
	require.NoError(t, err)
	rings := slice(tube, 0)
	require.Len(t, rings, 1, "a cup cut through its middle is one ring")
	require.InDelta(t, 30*10-20*6, ringArea(rings[0]), 0.1, "area, mm²")
	require.Len(t, slice(tube, 12), 1)
}

// The picture fills its frame and shows a box where the projection puts it.
func TestThePictureShowsTheBodies(t *testing.T) {
	b, err := picture([]body{{"box", "part", boxMesh(t, 60, 30, 0, 20)}})
	require.NoError(t, err)
	again, err := picture([]body{{"box", "part", boxMesh(t, 60, 30, 0, 20)}})
	require.NoError(t, err)
	require.True(t, bytes.Equal(b, again), "the same bodies give the same bytes")
	img, err := png.Decode(bytes.NewReader(b))
	require.NoError(t, err)
	drawn := 0
	for y := range pictureHigh {
		for x := range pictureWide {
			if _, _, _, a := img.At(x, y).RGBA(); a > 0 {
				drawn++
			}
		}
	}
	// The shadow of a box along a direction is the sum of its faces times the
	// direction's share of each normal.
	sa, ca := math.Sincos(eyeAround)
	sb, cb := math.Sincos(eyeAbove)
	shadow := 30*20*math.Abs(sa*cb) + 60*20*math.Abs(ca*cb) + 60*30*math.Abs(sb)
	r := newRaster([]body{{"box", "part", boxMesh(t, 60, 30, 0, 20)}})
	require.InEpsilon(t, shadow*r.scale*r.scale, float64(drawn), 0.02, "pixels drawn")
	x := (60*math.Abs(ca) + 30*math.Abs(sa)) * r.scale
	require.True(t, x > 0.6*pictureWide || math.Abs((60*math.Abs(sa*sb)+30*math.Abs(ca*sb)+20*cb)*r.scale-0.97*pictureHigh) < 2, "the box fills the frame one way")
}

// A view that would make the sheet too large is left out; the picture stays.
func TestAViewTooLargeIsLeftOut(t *testing.T) {
	p, r := planOf(t, "latch-plate/job.yaml")
	s := &sheet{plan: p, r: r}
	round, err := outline.Circle(60, outline.Point{})
	require.NoError(t, err)
	fine, err := mesh.Build(solid.Solid{Name: "fine", Prisms: []solid.Prism{{Name: "fine", Plan: round, Z0MM: 0, Z1MM: 10}}}, mesh.Options{ChordMM: mesh.MinChordMM})
	require.NoError(t, err)
	var list []body
	for triangles := len(fine.Triangles); triangles <= mostTriangles; triangles += len(fine.Triangles) {
		list = append(list, body{"fine", "part", fine})
		data, err := s.view(list)
		require.NoError(t, err)
		require.NotEmpty(t, data)
		require.Less(t, len(data)+len(viewJS), 1_500_000, "bytes of a view of %d triangles, with its code", triangles)
	}
	list = append(list, body{"fine", "part", fine})
	data, err := s.view(list)
	require.NoError(t, err)
	require.Empty(t, data)
}

// Ticks are round, inside, few, and never written as minus zero.
func TestTicksAreRound(t *testing.T) {
	require.Equal(t, []float64{0, 1, 2, 3}, nice(-0.2, 3.4, 5))
	require.Equal(t, []float64{20, 40, 60}, nice(19.9, 66, 4))
	rapid.Check(t, func(t *rapid.T) {
		lo := rapid.Float64Range(-100, 1000).Draw(t, "lo")
		hi := lo + rapid.Float64Range(0.01, 1000).Draw(t, "more")
		list := nice(lo, hi, 5)
		require.LessOrEqual(t, len(list), 6)
		for _, v := range list {
			require.True(t, v >= lo-1e-6 && v <= hi+1e-6)
			require.False(t, v == 0 && math.Signbit(v))
		}
	})
}

// BenchmarkSheet is the making of a sheet beyond the meshes.
func BenchmarkSheet(b *testing.B) {
	p, r := planOf(b, "latch-plate/job.yaml")
	for b.Loop() {
		var w bytes.Buffer
		if err := Write(&w, p, r); err != nil {
			b.Fatal(err)
		}
	}
}
