package outputs

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"io/fs"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"secondop/cmd/secondop/internal/folder"
	"secondop/cmd/secondop/internal/job"
	"secondop/cmd/secondop/internal/plan"
	"secondop/fixture/mesh"
	"secondop/fixture/outline"
	"secondop/fixture/solid"
)

func box(t require.TestingT, x, y, z float64) *mesh.Mesh {
	o, err := outline.Rectangle(x, y, 0, outline.Point{}, 0)
	require.NoError(t, err)
	m, err := mesh.Build(solid.Solid{Name: "box", Prisms: []solid.Prism{{Name: "box", Plan: o, Z0MM: 0, Z1MM: z}}}, mesh.Options{ChordMM: 0.1})
	require.NoError(t, err)
	return m.AtOrigin()
}

// Objects stand one behind the other with room to print between them, and on
// whole millimetres.
func TestObjectsStandBesideOneAnother(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		sizes := rapid.SliceOfN(rapid.Float64Range(1, 200), 1, 6).Draw(rt, "depths in mm")
		var objects []mesh.Object
		for _, y := range sizes {
			objects = append(objects, mesh.Object{Mesh: box(rt, 10, y, 5)})
		}
		besides(objects)
		end := math.Inf(-1)
		for i, o := range objects {
			lo, hi := o.Mesh.Bounds()
			if from := lo[1] + o.ShiftMM[1]; i > 0 && !(from >= end+5-1e-9 && from <= end+6+1e-9) {
				rt.Fatalf("object %d begins %g mm behind the one before it, want 5 to 6 mm", i, from-end)
			}
			if s := o.ShiftMM; s[0] != 0 || s[2] != 0 || s[1] != math.Round(s[1]) {
				rt.Fatalf("object %d is shifted by %v mm, want whole mm along Y alone", i, s)
			}
			end = hi[1] + o.ShiftMM[1]
		}
	})
}

// 25.4 mm an inch and 0.0254 mm a thousandth are exact.
func TestPassesStandInMillimetresAndInches(t *testing.T) {
	f, err := Passes([]plan.PassRow{{N: 2, BoreMM: 12.7, WallStockMM: 0.0254, ExpectMM: 12.675, POver: 0.0125, Says: `gauge, then "stop"`}})
	require.NoError(t, err)
	require.Equal(t, "passes.csv", f.Name)
	rows, err := csv.NewReader(bytes.NewReader(f.Bytes)).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 2)
	for name, want := range map[string]string{
		"pass": "2", "bore_on_diameter_mm": "12.700", "bore_on_diameter_in": "0.50000", "wall_stock_per_wall_mm": "0.0254",
		"wall_stock_per_wall_thou": "1.00", "expect_on_diameter_mm": "12.6750", "chance_over": "0.0125", "says": `gauge, then "stop"`,
	} {
		at := slices.Index(rows[0], name)
		require.NotEqual(t, -1, at, "column %s of %v", name, rows[0])
		require.Equal(t, want, rows[1][at], name)
	}
}

const text = `secondop: 1
name: plain
units: mm
part:
  material: 6061-T6
  height: 20
  outline: {seen: this side, shapes: [{add: rectangle, size: [50, 38], corner_radius: 6}]}
table: {grid: {pitch: 25, columns: 12, rows: 8, thread: M6, thread_depth: 15}}
jaws: {polymer: PETG, grip: 11, FINISH}
`

func pair(t *testing.T, finish string) *plan.Plan {
	t.Helper()
	j, faults := job.Read("plain.yaml", bytes.Replace([]byte(text), []byte("FINISH"), []byte(finish), 1), "", nil)
	require.False(t, job.AnyError(faults), "%v", faults)
	p, err := plan.Start(j, func(string) ([]byte, error) { return nil, fs.ErrNotExist })
	require.NoError(t, err)
	require.NoError(t, p.MakeJaws(t.Context()))
	return p
}

// Jaws that are cut in place get the finished pockets as layers of their own.
func TestThePocketsDrawingHasTheLayersOfItsJob(t *testing.T) {
	for finish, finished := range map[string]bool{"finish: printed": false, "finish: cut in place": true} {
		f, err := pocket(pair(t, finish))
		require.NoError(t, err)
		require.Equal(t, "pocket.dxf", f.Name)
		for _, layer := range []string{"PART", "FIXED-JAW", "MOVING-JAW"} {
			require.Contains(t, string(f.Bytes), "\n"+layer+"\n", finish)
		}
		for _, layer := range []string{"FINISH-FIXED", "FINISH-MOVING"} {
			require.Equal(t, finished, bytes.Contains(f.Bytes, []byte("\n"+layer+"\n")), "%s: layer %s", finish, layer)
		}
	}
}

// result.json comes last and names every other file by its hash.
func TestTheResultNamesEveryFile(t *testing.T) {
	p := pair(t, "finish: printed")
	files, err := Jaws(p)
	require.NoError(t, err)
	r := p.BranchResult("test", "jaws")
	all, err := WithResult(files, r)
	require.NoError(t, err)
	require.Len(t, all, len(files)+1)
	last := all[len(files)]
	require.Equal(t, ResultName, last.Name)
	var back plan.Result
	require.NoError(t, json.Unmarshal(last.Bytes, &back))
	require.Len(t, back.Files, len(files))
	for i, f := range files {
		require.Equal(t, plan.FileEntry{Name: f.Name, SHA256: f.SHA256(), Bytes: len(f.Bytes)}, back.Files[i])
	}
	require.Empty(t, r.Files, "the result that was handed in is left as it was")
}

// A number that JSON can't say is an error, never a broken file.
func TestAResultThatCantBeWrittenIsAnError(t *testing.T) {
	_, err := WithResult([]folder.File{{Name: "a"}}, plan.Result{Hold: &plan.HoldBlock{NeededClampN: math.Inf(1)}})
	require.Error(t, err)
}
