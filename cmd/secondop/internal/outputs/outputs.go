package outputs

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"strconv"

	"secondop/cmd/secondop/internal/folder"
	"secondop/cmd/secondop/internal/plan"
	"secondop/cmd/secondop/internal/sheet"
	"secondop/fixture/drawing"
	"secondop/fixture/mesh"
	"secondop/fixture/outline"
	"secondop/fixture/stl"
)

// SheetName is the file that goes to the machine.
const SheetName = "setup-sheet.html"

// ResultName is the file that is written last and names all others.
const ResultName = "result.json"

// Jaws are the files of the pair alone: meshes and the pocket's profile.
func Jaws(p *plan.Plan) ([]folder.File, error) {
	var (
		files   []folder.File
		objects []mesh.Object
	)
	for _, m := range p.Jaws.Pieces {
		printed := m.Printed()
		var b bytes.Buffer
		if err := stl.Write(&b, "secondop "+m.Name+", mm", printed.STLTriangles()); err != nil {
			return nil, fmt.Errorf("%s: %w", m.File, err)
		}
		files = append(files, folder.File{Name: m.File, Bytes: b.Bytes()})
		objects = append(objects, mesh.Object{Name: m.Name, Mesh: printed})
	}
	besides(objects)
	var b bytes.Buffer
	if err := mesh.Write3MF(&b, objects); err != nil {
		return nil, err
	}
	files = append(files, folder.File{Name: "jaws.3mf", Bytes: b.Bytes()})
	dxf, err := pocket(p)
	if err != nil {
		return nil, err
	}
	return append(files, dxf), nil
}

// besides places the objects one behind the other, so that none stands in another.
func besides(objects []mesh.Object) {
	const gapMM = 5
	y := 0.0
	for i := range objects {
		objects[i].ShiftMM[1] = y
		_, hi := objects[i].Mesh.Bounds()
		y = math.Ceil(y + hi[1] + gapMM)
	}
}

// pocket is the profile of both pockets, and where they are cut in place the
// finished one.
func pocket(p *plan.Plan) (folder.File, error) {
	pair := p.Jaws.Pair
	layers := []drawing.Layer{
		{Name: "PART", Outlines: []*outline.Outline{pair.Part}},
		{Name: "FIXED-JAW", Outlines: pair.PocketFixed},
		{Name: "MOVING-JAW", Outlines: pair.PocketMoving},
	}
	if len(pair.FinishFixed) > 0 {
		layers = append(layers,
			drawing.Layer{Name: "FINISH-FIXED", Outlines: pair.FinishFixed},
			drawing.Layer{Name: "FINISH-MOVING", Outlines: pair.FinishMoving})
	}
	var b bytes.Buffer
	err := drawing.WriteDXF(&b, layers)
	return folder.File{Name: "pocket.dxf", Bytes: b.Bytes()}, err
}

// Passes is the table of bore passes, in mm and inches.
func Passes(rows []plan.PassRow) (folder.File, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	lines := [][]string{{
		"pass", "bore_on_diameter_mm", "bore_on_diameter_in", "wall_stock_per_wall_mm", "wall_stock_per_wall_thou",
		"expect_on_diameter_mm", "expect_on_diameter_in", "chance_over", "measured_on_diameter", "says",
	}}
	for _, r := range rows {
		lines = append(lines, []string{
			strconv.Itoa(r.N), number(r.BoreMM, 3), number(r.BoreMM/25.4, 5), number(r.WallStockMM, 4), number(r.WallStockMM/0.0254, 2),
			number(r.ExpectMM, 4), number(r.ExpectMM/25.4, 5), number(r.POver, 4), "", r.Says,
		})
	}
	err := w.WriteAll(lines)
	return folder.File{Name: "passes.csv", Bytes: b.Bytes()}, err
}

func number(x float64, decimals int) string { return strconv.FormatFloat(x, 'f', decimals, 64) }

// WithResult closes the list with result.json, which carries the hash of every
// file before it.
func WithResult(files []folder.File, r plan.Result) ([]folder.File, error) {
	r.Files = nil
	for _, f := range files {
		r.Files = append(r.Files, plan.FileEntry{Name: f.Name, SHA256: f.SHA256(), Bytes: len(f.Bytes)})
	}
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	if err := enc.Encode(r); err != nil {
		return nil, err
	}
	return append(files, folder.File{Name: ResultName, Bytes: b.Bytes()}), nil
}

// All are the files of a whole job, without result.json. says tells why a file
// that the job asks for is not among them.
func All(p *plan.Plan, r plan.Result) (files []folder.File, says string, err error) {
	if files, err = Jaws(p); err != nil {
		return nil, "", err
	}
	if r.Fit != nil {
		passes, err := Passes(r.Fit.Passes)
		if err != nil {
			return nil, "", err
		}
		files = append(files, passes)
	}
	program, says, err := p.Program(r)
	if err != nil {
		return nil, "", err
	}
	if program != nil {
		files = append(files, folder.File{Name: "bore.nc", Bytes: program})
	}
	var b bytes.Buffer
	if err := sheet.Write(&b, p, r); err != nil {
		return nil, "", err
	}
	return append(files, folder.File{Name: SheetName, Bytes: b.Bytes()}), says, nil
}
