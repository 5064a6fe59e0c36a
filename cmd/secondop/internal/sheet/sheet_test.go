package sheet

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"secondop/cmd/secondop/internal/job"
	"secondop/cmd/secondop/internal/plan"
)

const examples = "../../../../examples"

// made keeps the plans of the examples, which take longest.
var made sync.Map

type planned struct {
	plan   *plan.Plan
	result plan.Result
}

// planOf makes the plan of an example.
func planOf(t testing.TB, name string) (*plan.Plan, plan.Result) {
	t.Helper()
	if got, ok := made.Load(name); ok {
		p := got.(planned)
		return p.plan, p.result
	}
	path := filepath.Join(examples, filepath.FromSlash(name))
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	p, r := planText(t, path, string(text))
	made.Store(name, planned{p, r})
	return p, r
}

// planText makes the plan of a job's text, which stands in an example's folder.
func planText(t testing.TB, path, text string) (*plan.Plan, plan.Result) {
	t.Helper()
	j, faults := job.Read(path, []byte(text), "", nil)
	require.Falsef(t, job.AnyError(faults), "%s: %v", path, faults)
	p, err := plan.Make(context.Background(), j, func(name string) ([]byte, error) {
		return os.ReadFile(filepath.Join(filepath.Dir(path), filepath.FromSlash(name)))
	})
	require.NoError(t, err)
	return p, p.Result("secondop 1.0")
}

func written(t testing.TB, p *plan.Plan, r plan.Result) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Write(&b, p, r))
	return b.String()
}

var every = []string{"latch-plate/job.yaml", "pen-foot/job.yaml", "ring-tray/job.yaml", "drawer-pull/job.yaml", "stepped-foot/job.yaml"}

func TestEveryExampleHasASheet(t *testing.T) {
	for _, name := range every {
		t.Run(name, func(t *testing.T) {
			p, r := planOf(t, name)
			html := strings.ReplaceAll(written(t, p, r), viewJS, "")
			require.True(t, strings.Contains(html, "<h1>"+p.Job.Name+"</h1>"), "the job's name")
			require.Less(t, len(html), 2_000_000, "bytes")
			require.True(t, html == strings.ReplaceAll(written(t, p, r), viewJS, ""), "the same job gives the same bytes")
			for _, wrong := range []string{"NaN", "undefined", "%!", "Inf ", "<nil>", "ZgotmplZ", "not known"} {
				at := strings.Index(html, wrong)
				require.Negative(t, at, "%q in …%s…", wrong, html[max(0, at-60):min(len(html), max(0, at)+60)])
			}
		})
	}
}
