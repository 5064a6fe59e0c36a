package main

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"secondop/fixture/mesh"
	"secondop/fixture/outline"
	"secondop/fixture/solid"
	"secondop/fixture/stl"
)

var update = flag.Bool("update", false, "rewrite the example mesh, the README's output and the goldens")

const examples = "../../examples"

// stepped is the part of the example stepped-foot as it is designed: a wide
// flange below and a narrower body above.
func stepped(t *testing.T) *mesh.Mesh {
	t.Helper()
	flange, err := outline.Rectangle(52, 34, 5, outline.Point{}, 0)
	require.NoError(t, err)
	ear, err := outline.Circle(14, outline.Point{X: 26, Y: 6})
	require.NoError(t, err)
	plan, err := outline.Union(flange, ear)
	require.NoError(t, err)
	body, err := outline.Rectangle(40, 26, 4, outline.Point{X: -2}, 0)
	require.NoError(t, err)
	m, err := mesh.Build(solid.Solid{Name: "stepped foot", Prisms: []solid.Prism{
		{Name: "flange", Plan: plan, Z0MM: 0, Z1MM: 12},
		{Name: "body", Plan: body, Z0MM: 12, Z1MM: 18},
	}}, mesh.Options{ChordMM: 0.01})
	require.NoError(t, err)
	return m
}

// The mesh of an example is made by the project itself: -update writes it. The
// triangles may come to lie otherwise; the body they bound may not.
func TestTheExampleMeshIsTheProjectsOwn(t *testing.T) {
	want := stepped(t)
	path := filepath.Join(examples, "stepped-foot", "stepped-foot.stl")
	if *update {
		var b bytes.Buffer
		require.NoError(t, stl.Write(&b, "stepped foot, mm", want.STLTriangles()))
		require.NoError(t, os.WriteFile(path, b.Bytes(), 0o644))
	}
	volume, lo, hi := requireClosed(t, path, readFacets(t, path))
	require.InDelta(t, want.VolumeMM3(), volume, 1e-4*volume)
	wantLo, wantHi := want.Bounds()
	for k := range 3 {
		require.InDelta(t, wantLo[k], lo[k], 1e-3)
		require.InDelta(t, wantHi[k], hi[k], 1e-3)
	}
}
