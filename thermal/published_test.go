package thermal

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"
)

// Every case stands in testdata/published.csv with its source.
func TestPublishedCases(t *testing.T) {
	cases, err := Published(context.Background())
	require.NoError(t, err)
	require.Greater(t, len(cases), 60)
	for _, c := range cases {
		if !c.Holds() {
			t.Errorf("%s %s (%s) = %.5g %s, want %.5g %s within %.2g (printed: %g)", c.ID, c.Quantity, c.Source, c.Got, c.Unit, c.Exact, c.Unit, c.Tolerance, c.Published)
		}
	}
}
