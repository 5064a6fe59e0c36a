package sheet

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"html/template"
	"math"

	"secondop/fixture/mesh"
)

// viewPiece is one body of the 3-D view, its numbers little-endian.
type viewPiece struct {
	Name      string `json:"name"`
	Role      string `json:"role"`
	Positions []byte `json:"positions"` // float32, mm
	Indices   []byte `json:"indices"`   // uint32
}

type viewData struct {
	Pieces []viewPiece   `json:"pieces"`
	Box    [2][3]float64 `json:"box"`
	Travel float64       `json:"travel"`
	Lift   float64       `json:"lift"`
	Says   string        `json:"says"`
}

// body is a mesh with its part in the picture and in the view.
type body struct {
	name, role string
	mesh       *mesh.Mesh
}

// bodies are both jaws and the part in every nest, closed.
func (s *sheet) bodies() (list []body) {
	for _, m := range s.plan.Jaws.Pieces {
		if m.Role == "fixed" || m.Role == "moving" {
			list = append(list, body{m.Name, m.Role, m.Mesh})
		}
	}
	for _, at := range s.plan.Jaws.Pair.Nests {
		list = append(list, body{"part", "part", s.part.Moved(at.X, at.Y, 0)})
	}
	return list
}

// boundsOf is the box round all bodies.
func boundsOf(list []body) (lo, hi [3]float64) {
	for k := range 3 {
		lo[k], hi[k] = math.Inf(1), math.Inf(-1)
	}
	for _, b := range list {
		l, h := b.mesh.Bounds()
		for k := range 3 {
			lo[k], hi[k] = math.Min(lo[k], l[k]), math.Max(hi[k], h[k])
		}
	}
	return lo, hi
}

// mostTriangles bounds what the 3-D view carries, so that a sheet stays under
// 2 MB; above it the sheet has the drawn picture alone.
const mostTriangles = 30000

const viewSays = "Both jaws and the part. Arrow keys turn, plus and minus change the size; the slider opens the jaws."

// view is the data of the 3-D view, empty where the meshes are too large.
func (s *sheet) view(list []body) (template.JS, error) {
	d := viewData{Travel: s.plan.Job.Jaws.Moving.TravelMM, Lift: s.plan.Jaws.Pair.GripMM + 12, Says: viewSays}
	d.Box[0], d.Box[1] = boundsOf(list)
	triangles := 0
	for _, b := range list {
		if triangles += len(b.mesh.Triangles); triangles > mostTriangles {
			return "", nil
		}
		d.Pieces = append(d.Pieces, viewPiece{b.name, b.role, littleEndian(b.mesh.Vertices), littleEndian(b.mesh.Triangles)})
	}
	text, err := json.Marshal(d)
	return template.JS(text), err //nolint:gosec // JSON with < > & escaped
}

func littleEndian(v any) []byte {
	var b bytes.Buffer
	if err := binary.Write(&b, binary.LittleEndian, v); err != nil {
		panic(err) // numbers of fixed size into memory
	}
	return b.Bytes()
}

// dataURL is a picture as the page carries it.
func dataURL(png []byte) template.URL {
	return template.URL("data:image/png;base64," + base64.StdEncoding.EncodeToString(png)) //nolint:gosec // our own bytes
}
