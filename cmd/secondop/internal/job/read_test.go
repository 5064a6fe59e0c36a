package job

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func mustRead(t *testing.T, name string, src []byte) *Job {
	t.Helper()
	j, faults := Read(name, src, "", nil)
	var b strings.Builder
	require.NoError(t, Print(&b, faults, false))
	require.NotNil(t, j, b.String())
	return j
}

func TestTheDesignsExampleReads(t *testing.T) {
	src, err := os.ReadFile("testdata/design.yaml")
	require.NoError(t, err)
	j := mustRead(t, "design.yaml", src)
	require.Equal(t, "cabinet knob, back side", j.Name)
	require.Equal(t, 38.1, j.Table.Grid.PitchXMM)
	require.Equal(t, 0.001, j.Machine.ResolutionMM)
}

func TestTheStarterJobReadsWithoutACaution(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, New(&b))
	j := mustRead(t, "new.yaml", b.Bytes())
	require.Empty(t, j.Cautions)
}

func BenchmarkRead(b *testing.B) {
	src, err := os.ReadFile("testdata/everything.yaml")
	require.NoError(b, err)
	b.SetBytes(int64(len(src)))
	for b.Loop() {
		if j, _ := Read("x.yaml", src, "", nil); j == nil {
			b.Fatal("everything.yaml doesn't read")
		}
	}
}
