package plan

import (
	"fmt"
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"secondop/cmd/secondop/internal/job"
)

// square is a DXF of a square about its zero, with corners half units from both
// axes. header may name a unit.
func square(header string, half float64) string { return gapped(header, half, 0) }

// gapped is a square that its last line leaves open by gap.
func gapped(header string, half, gap float64) string {
	lines := []string{"0", "SECTION", "2", "HEADER"}
	lines = append(lines, strings.Fields(header)...)
	lines = append(lines, "0", "ENDSEC", "0", "SECTION", "2", "ENTITIES")
	corners := [][2]float64{{-half, -half}, {half, -half}, {half, half}, {-half, half}, {-half, gap - half}}
	for i := range 4 {
		a, b := corners[i], corners[i+1]
		lines = append(lines, "0", "LINE", "8", "PART", "10", fmt.Sprint(a[0]), "20", fmt.Sprint(a[1]), "11", fmt.Sprint(b[0]), "21", fmt.Sprint(b[1]))
	}
	return strings.Join(append(lines, "0", "ENDSEC", "0", "EOF", ""), "\n")
}

const inMM = "9 $INSUNITS 70 4"

// block is a text STL of a box of 40 x 30 with a foot wider by footMM below z = 5.
func block(footMM float64) string {
	var b strings.Builder
	b.WriteString("solid block\n")
	box := func(x, y, z0, z1 float64) {
		p := [8][3]float64{{-x, -y, z0}, {x, -y, z0}, {x, y, z0}, {-x, y, z0}, {-x, -y, z1}, {x, -y, z1}, {x, y, z1}, {-x, y, z1}}
		for _, q := range [6][4]int{{3, 2, 1, 0}, {4, 5, 6, 7}, {0, 1, 5, 4}, {1, 2, 6, 5}, {2, 3, 7, 6}, {3, 0, 4, 7}} {
			for _, t := range [2][3]int{{q[0], q[1], q[2]}, {q[0], q[2], q[3]}} {
				b.WriteString("facet normal 0 0 0\nouter loop\n")
				for _, i := range t {
					fmt.Fprintf(&b, "vertex %g %g %g\n", p[i][0], p[i][1], p[i][2])
				}
				b.WriteString("endloop\nendfacet\n")
			}
		}
	}
	box(20+footMM, 15+footMM, 0, 5)
	box(20, 15, 5, 20)
	b.WriteString("endsolid block\n")
	return b.String()
}

const shapes = "shapes: [{add: rectangle, size: [50, 38], corner_radius: 6}]"

// drawnFrom starts the plain job with its outline from a file.
func drawnFrom(t *testing.T, source, text string, change ...string) (*Plan, error) {
	t.Helper()
	j := read(t, append([]string{shapes, source}, change...)...)
	return Start(j, func(path string) ([]byte, error) {
		if path != "part.dxf" && path != "part.svg" && path != "part.stl" {
			return nil, &fs.PathError{Op: "open", Path: path, Err: fs.ErrNotExist}
		}
		return []byte(text), nil
	})
}

func said(faults []job.Fault) (all string) {
	for _, f := range faults {
		all += f.String() + "\n"
	}
	return all
}

func TestOutlineFilesGiveTheOutline(t *testing.T) {
	for _, c := range []struct {
		name, source, text string
		areaMM2            float64
	}{
		{"DXF in mm", "dxf: part.dxf", square(inMM, 20), 1600},
		{"DXF in inches", "dxf: part.dxf", square("9 $INSUNITS 70 1", 2), 16 * 25.4 * 25.4},
		{"DXF in a unit that the job says", "dxf: part.dxf\n    unit: cm", square("", 2), 1600},
		{"SVG in mm", "svg: part.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="60mm" viewBox="0 0 60 60"><rect x="10" y="10" width="40" height="30"/></svg>`, 1200},
		{"STL above its foot", "stl: part.stl\n    up: +z\n    from: 6\n    to: 20", block(4), 1200},
		{"STL with its foot", "stl: part.stl\n    up: +z\n    from: 0\n    to: 20", block(4), 48 * 38},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := drawnFrom(t, c.source, c.text)
			require.NoError(t, err)
			require.InDelta(t, c.areaMM2, p.OutlineBlock().AreaMM2, 1e-3*c.areaMM2, "area in mm²")
		})
	}
}

// What a reader mends quietly is a note; what may be wrong is a caution at the
// key that names the file. Both name the file.
func TestOutlineFilesRemarkOnWhatTheyMend(t *testing.T) {
	p, err := drawnFrom(t, "dxf: part.dxf", square("", 20))
	require.NoError(t, err)
	require.Contains(t, strings.Join(p.Part.Notes, "\n"), "part.dxf: the file does not say its unit; one drawing unit is taken as 1 mm")
	require.Empty(t, p.Remarks, "a job in mm takes a file without a unit as it is")

	p, err = drawnFrom(t, "dxf: part.dxf\n    unit: mm", square("9 $INSUNITS 70 1", 20))
	require.NoError(t, err)
	require.Contains(t, said(p.Remarks), "caution: part.dxf: the file says that its unit is 25.4 mm, the job says 1 mm")
	for _, f := range p.Remarks {
		require.Equal(t, "part.outline.dxf", f.Path)
		require.Equal(t, 9, f.Pos.Line)
	}
	r := p.Result("test")
	require.Equal(t, "caution", r.Verdict, "a remark on the job makes it a caution")

	p, err = drawnFrom(t, "stl: part.stl\n    up: +z\n    from: 0\n    to: 20", block(0))
	require.NoError(t, err)
	require.Contains(t, strings.Join(p.Part.Notes, "\n"), "part.stl: an STL does not say its unit")
}

// In a job in inches the remarks are in inches.
func TestRemarksOnAFileAreInTheJobsUnits(t *testing.T) {
	text := `secondop: 1
name: plain
units: in
part: {material: 6061-T6, height: 0.8, outline: {seen: this side, dxf: part.dxf}}
table: {grid: {pitch: 1, columns: 9, rows: 7, thread: 1/4-20}}
jaws: {polymer: PETG, grip: 0.4}
`
	j, faults := job.Read("plain.yaml", []byte(text), "", nil)
	require.False(t, job.AnyError(faults), "%v", faults)
	p, err := Start(j, func(string) ([]byte, error) { return []byte(square("", 1)), nil })
	require.NoError(t, err)
	require.Contains(t, strings.Join(p.Part.Notes, "\n"), "one drawing unit is taken as 1 in")

	_, err = Start(j, func(string) ([]byte, error) { return []byte(gapped("", 1, 0.25)), nil })
	require.NotContains(t, fault(t, err).Says, " mm")
	require.Contains(t, fault(t, err).Says, "0.25 in away")
}

func TestAnOutlineFileThatCantBeUsedSaysWhere(t *testing.T) {
	for _, c := range []struct{ name, source, text, path, says string }{
		{"no such file", "dxf: none.dxf", "", "part.outline.dxf", "the outline file can't be read: file does not exist"},
		{"an open outline", "dxf: part.dxf", gapped(inMM, 20, 3), "part.outline.dxf", "part.dxf"},
		{"not a DXF", "dxf: part.dxf", "hello", "part.outline.dxf", "part.dxf"},
		{"not an SVG", "svg: part.svg", "hello", "part.outline.svg", "part.svg"},
		{"not an STL", "stl: part.stl\n    up: +z\n    from: 0\n    to: 20", "hello", "part.outline.stl", "part.stl"},
		{"a band beside the mesh", "stl: part.stl\n    up: +z\n    from: 30\n    to: 40", block(0), "part.outline.stl", "none within the part"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := drawnFrom(t, c.source, c.text)
			requireRefused(t, err, c.path, c.says)
		})
	}
}
