package job

import (
	"testing"

	"github.com/stretchr/testify/require"

	"secondop/fits/bore"
	"secondop/fits/press"
	"secondop/fixture/hold"
	"secondop/thermal"
)

// The words that the job file takes are those that the domain knows. This
// package doesn't import the domain; the test does.
func TestTheJobFilesWordsAreThoseOfTheDomain(t *testing.T) {
	var inserts, gauges, controls, coolings []string
	for _, k := range press.Kinds() {
		inserts = append(inserts, string(k))
	}
	for _, g := range bore.Gauges() {
		gauges = append(gauges, g.Kind)
	}
	for _, c := range bore.Controls() {
		controls = append(controls, c.Name)
	}
	for _, c := range thermal.Coolings() {
		coolings = append(coolings, c.Name)
	}
	require.ElementsMatch(t, inserts, root.find("fit.insert.kind").words)
	require.ElementsMatch(t, gauges, root.find("fit.gauge").words)
	require.ElementsMatch(t, gauges, root.find("fit.gauge.kind").words)
	require.ElementsMatch(t, controls, root.find("fit.bore.control").words)
	require.Subset(t, coolings, root.find("cut.cooling").words)
	clamps := []string{"screw"}
	for _, c := range hold.ClampKinds() {
		clamps = append(clamps, c.Kind)
		r := &reader{job: &Job{Clamp: &Clamp{Kind: c.Kind}}}
		r.settle(&frame{draft: &draft{}})
		require.Equal(t, c.ReactsOn, r.job.Clamp.ReactsOn, c.Kind)
	}
	require.ElementsMatch(t, clamps, root.find("clamp.kind").words)
	for _, kind := range root.find("machine.kind").words {
		_, err := bore.MillByKind(kind)
		require.NoError(t, err)
	}
}
