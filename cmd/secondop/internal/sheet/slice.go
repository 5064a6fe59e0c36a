package sheet

import (
	"secondop/fixture/mesh"
	"secondop/fixture/outline"
)

// slice cuts a mesh at x = atMM and returns the closed rings of the section as
// points (y, z). atMM is moved off the mesh's vertices by less than 0.01 mm, so
// that every crossed triangle is crossed in two of its edges.
func slice(m *mesh.Mesh, atMM float64) (rings [][]outline.Point) {
	at := offVertices(m, atMM)
	next := map[[2]int32][2]int32{} // from the edge where the plane enters a triangle to where it leaves
	for _, t := range m.Triangles {
		var in, out [2]int32
		crossed := 0
		for k := range 3 {
			a, b := t[k], t[(k+1)%3]
			left, right := float64(m.Vertices[a][0]) < at, float64(m.Vertices[b][0]) < at
			switch {
			case left && !right:
				in = edgeOf(a, b)
				crossed++
			case right && !left:
				out = edgeOf(a, b)
				crossed++
			}
		}
		if crossed == 2 {
			next[in] = out
		}
	}
	// Triangles are walked in their order, so that rings come in the same order
	// every time.
	for _, t := range m.Triangles {
		for k := range 3 {
			if ring := walk(m, next, edgeOf(t[k], t[(k+1)%3]), at); len(ring) > 2 {
				rings = append(rings, ring)
			}
		}
	}
	return rings
}

func edgeOf(a, b int32) [2]int32 {
	if a > b {
		a, b = b, a
	}
	return [2]int32{a, b}
}

// walk follows the section from one crossed edge to the next and takes them out
// of next.
func walk(m *mesh.Mesh, next map[[2]int32][2]int32, edge [2]int32, at float64) (ring []outline.Point) {
	for {
		to, ok := next[edge]
		if !ok {
			return ring
		}
		delete(next, edge)
		a, b := m.Vertices[edge[0]], m.Vertices[edge[1]]
		share := (at - float64(a[0])) / (float64(b[0]) - float64(a[0]))
		ring = append(ring, outline.Point{
			X: float64(a[1]) + share*(float64(b[1])-float64(a[1])),
			Y: float64(a[2]) + share*(float64(b[2])-float64(a[2])),
		})
		edge = to
	}
}

// offVertices moves a plane by the least of a few small steps that leaves no
// vertex on it.
func offVertices(m *mesh.Mesh, at float64) float64 {
	taken := map[float64]bool{}
	for _, v := range m.Vertices {
		taken[float64(v[0])] = true
	}
	for at = at + 1e-4; taken[at]; {
		at += 1e-4
	}
	return at
}
