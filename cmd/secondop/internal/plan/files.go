package plan

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"secondop/cmd/secondop/internal/job"
	"secondop/fixture/drawing"
)

// mmPerInch is exact since 1959.
const mmPerInch = 25.4

func drawnDXF(j *job.Job, files Files) (reading, error) {
	return drawnFile(j, files, j.Part.Outline.DXF, "part.outline.dxf", drawing.ReadDXF)
}

func drawnSVG(j *job.Job, files Files) (reading, error) {
	return drawnFile(j, files, j.Part.Outline.SVG, "part.outline.svg", drawing.ReadSVG)
}

func drawnFile(
	j *job.Job, files Files, f *job.DrawingFile, key string, read func(io.Reader, drawing.Options) (*drawing.Result, error),
) (reading, error) {
	b, err := files(f.Path)
	if err != nil {
		return reading{}, unreadable(j, key, err)
	}
	r, err := read(bytes.NewReader(b), drawing.Options{Layer: f.Layer, UnitMM: f.UnitMM, GapMM: f.GapMM, JobUnitMM: unitMM(j)})
	return outlined(j, key, f.Path, r, err)
}

// unitMM is what a number of a file without a unit is worth.
func unitMM(j *job.Job) float64 {
	if j.Inch {
		return mmPerInch
	}
	return 1
}

func unreadable(j *job.Job, key string, err error) error {
	return refused(j.FaultAt(key, "the outline file can't be read: "+fileWords(err), "paths are relative to the job file"))
}

// outlined hands on what a reader of outlines gave.
func outlined(j *job.Job, key, path string, r *drawing.Result, err error) (reading, error) {
	if err != nil {
		return reading{}, refused(drawingFault(j, key, path, err))
	}
	out := reading{outline: r.Outline}
	for _, m := range r.Remarks {
		says := path + ": " + words(j, m.Says)
		if m.Line > 0 {
			says = fmt.Sprintf("%s, line %d: %s", path, m.Line, words(j, m.Says))
		}
		if m.SizeMM > 0 {
			u := j.Units()
			says += fmt.Sprintf(" (%s at %s)", u.Length(m.SizeMM), u.Point(m.At.X, m.At.Y))
		}
		if m.Caution {
			out.cautions = append(out.cautions, j.CautionAt(key, says, ""))
		} else {
			out.notes = append(out.notes, says)
		}
	}
	return out, nil
}

// drawingFault words what a drawing's reader turned away, with the place in the
// drawing.
func drawingFault(j *job.Job, key, path string, err error) job.Fault {
	var e *drawing.Error
	if !errors.As(err, &e) {
		return j.FaultAt(key, path+": "+err.Error(), "")
	}
	where := path
	if e.Line > 0 {
		where = fmt.Sprintf("%s, line %d", path, e.Line)
	}
	if e.Entity != "" {
		where += ", " + e.Entity
	}
	return j.FaultAt(key, where+": "+words(j, e.Says), words(j, e.Help))
}

// fileWords drops the operation and the path that a file error carries.
func fileWords(err error) string {
	var inner interface{ Unwrap() error }
	if errors.As(err, &inner) && inner.Unwrap() != nil {
		return inner.Unwrap().Error()
	}
	return err.Error()
}

func drawnSTL(j *job.Job, files Files) (reading, error) {
	f, key := j.Part.Outline.STL, "part.outline.stl"
	b, err := files(f.Path)
	if err != nil {
		return reading{}, unreadable(j, key, err)
	}
	r, err := drawing.ReadSTL(bytes.NewReader(b), drawing.Band{
		Up: f.Up, FromMM: f.FromMM, ToMM: f.ToMM, UnitMM: f.UnitMM, JobUnitMM: unitMM(j),
	})
	return outlined(j, key, f.Path, r, err)
}
