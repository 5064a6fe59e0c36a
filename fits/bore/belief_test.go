package bore

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

func plain() Request {
	return Request{
		Window: Window{9.981, 9.996}, InsertNominalMM: 10, StartMM: 0, StepMM: 0.0254,
		Gauge: Gauge{Kind: "bore gauge", SdMM: 0.003}, ScatterMM: 0.004,
		Offset: Prior{MeanMM: -0.030, SdMM: 0.020}, Risk: 0.01, Doubt: 0.05, ResolutionMM: 0.001,
		ChipMM: 0.005, DriftSdMM: 0.002, MaxReadings: 3,
	}
}

// The worked example, computed by hand with the plain normal rule (bore 10 N7;
// prior −0.030 ± 0.020, scatter 4 µm, gauge 3 µm, 1 % a pass): the table in
// testdata, which leaves out that metal does not grow back.
func TestClosedFormGivesTheWorkedExample(t *testing.T) {
	f, err := os.Open("testdata/worked_example.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	q := plain()
	b := newClosed(q.Offset, q.Gauge, q.ScatterMM, 0, 0)
	for _, r := range rows[1:] {
		v := make([]float64, len(r))
		for i := range r {
			v[i], err = strconv.ParseFloat(r[i], 64)
			require.NoError(t, err)
		}
		m, sd := b.Offset()
		near := func(what string, got, want float64) {
			t.Helper()
			require.InDeltaf(t, want, got, 0.51e-6, "pass %v: %s = %.7f mm, want %.6f mm", v[0], what, got, want)
		}
		near("prior offset", m, v[1])
		near("its sd", sd, v[2])
		s := math.Hypot(sd, q.ScatterMM)
		near("predicted sd", s, v[3])
		near("largest command", q.Window.UpperMM-m-quantile(0.99)*s, v[4])
		session := Session{request: q, now: b}
		require.InDelta(t, v[5], session.fitting(0.01, 11), 1e-9)
		b.guesses[0].hasBore = false
		b.Cut(v[5])
		b.Read(Reading{Kind: Measured, MM: v[6]})
		m, sd = b.Offset()
		near("offset", m, v[8])
		near("its sd", sd, v[9])
		m, sd = b.Bore()
		near("bore", m, v[10])
		near("its sd", sd, v[11])
	}
}
