package main

import (
	"context"
	"math"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"secondop/cmd/secondop/internal/outputs"
	"secondop/cmd/secondop/internal/plan"
)

// BenchmarkReference is work that no change of ours alters: how fast the
// machine is now. The comparison of benchmarks is in units of it.
func BenchmarkReference(b *testing.B) {
	table := make([]float64, 1<<16)
	for b.Loop() {
		sum := 0.0
		for i := range table {
			table[i] = math.Exp(-math.Sqrt(float64(i)+sum*1e-9)) + table[(i*7919)&(1<<16-1)]*1e-3
			sum += table[i]
		}
	}
}

// BenchmarkMake is the whole of make on an example, but for the disk.
func BenchmarkMake(b *testing.B) {
	a := newApp(nil, nil, nil)
	l, err := a.load(filepath.Join(examples, "latch-plate", "job.yaml"), "")
	require.NoError(b, err)
	for b.Loop() {
		p, err := plan.Make(context.Background(), l.Job, l.files)
		require.NoError(b, err)
		files, _, err := outputs.All(p, p.Result("secondop"))
		require.NoError(b, err)
		require.NotEmpty(b, files)
	}
}
