package plan

import (
	"errors"

	"secondop/cmd/secondop/internal/job"
	"secondop/fixture/outline"
)

var errNoReader = errors.New("outline files are not read yet")

func drawnDXF(j *job.Job, _ Files) (*outline.Outline, []job.Fault, error) {
	return nil, nil, refused(j.FaultAt("part.outline.dxf", errNoReader.Error(), ""))
}

func drawnSVG(j *job.Job, _ Files) (*outline.Outline, []job.Fault, error) {
	return nil, nil, refused(j.FaultAt("part.outline.svg", errNoReader.Error(), ""))
}

func drawnSTL(j *job.Job, _ Files) (*outline.Outline, []job.Fault, error) {
	return nil, nil, refused(j.FaultAt("part.outline.stl", errNoReader.Error(), ""))
}
