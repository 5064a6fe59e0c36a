package plan

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"secondop/cmd/secondop/internal/job"
	"secondop/fixture/drawing"
	"secondop/fixture/outline"
)

// mmPerInch is exact since 1959.
const mmPerInch = 25.4

func drawnDXF(j *job.Job, files Files) (*outline.Outline, []job.Fault, error) {
	return drawnFile(j, files, j.Part.Outline.DXF, "part.outline.dxf", drawing.ReadDXF)
}

func drawnSVG(j *job.Job, files Files) (*outline.Outline, []job.Fault, error) {
	return drawnFile(j, files, j.Part.Outline.SVG, "part.outline.svg", drawing.ReadSVG)
}

func drawnFile(
	j *job.Job, files Files, f *job.DrawingFile, key string, read func(io.Reader, drawing.Options) (*drawing.Result, error),
) (*outline.Outline, []job.Fault, error) {
	b, err := files(f.Path)
	if err != nil {
		return nil, nil, refused(j.FaultAt(key, "the outline file can't be read: "+fileWords(err), "paths are relative to the job file"))
	}
	opt := drawing.Options{Layer: f.Layer, UnitMM: f.UnitMM, GapMM: f.GapMM, JobUnitMM: 1}
	if j.Inch {
		opt.JobUnitMM = mmPerInch
	}
	r, err := read(bytes.NewReader(b), opt)
	if err != nil {
		return nil, nil, refused(drawingFault(j, key, f.Path, err))
	}
	var remarks []job.Fault
	for _, m := range r.Remarks {
		if m.Caution {
			remarks = append(remarks, j.CautionAt(key, f.Path+": "+m.Says, ""))
		}
	}
	return r.Outline, remarks, nil
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
	return j.FaultAt(key, where+": "+e.Says, e.Help)
}

// fileWords drops the operation and the path that a file error carries.
func fileWords(err error) string {
	var inner interface{ Unwrap() error }
	if errors.As(err, &inner) && inner.Unwrap() != nil {
		return inner.Unwrap().Error()
	}
	return err.Error()
}

func drawnSTL(j *job.Job, _ Files) (*outline.Outline, []job.Fault, error) {
	return nil, nil, refused(j.FaultAt("part.outline.stl", "the silhouette of a mesh is not taken yet", ""))
}
