package plan

import (
	"testing"

	"github.com/stretchr/testify/require"

	"secondop/cmd/secondop/internal/job"
)

// The factors are exact (25.4 mm) or NIST SP 811 (4.448 222 N a pound-force).
func TestFindingsAreSaidInTheJobsUnits(t *testing.T) {
	inch, mm := &job.Job{Inch: true}, &job.Job{}
	for _, c := range [][2]string{
		{"needs 254 x 127 mm of table", "needs 10 in x 5 in of table"},
		{"net grip is 12.7 mm", "net grip is 0.5 in"},
		{"a push of 444.8222 N", "a push of 100 lbf"},
		{"stays at or under 50 °C", "stays at or under 122 °F"},
		{"with 10 K to spare", "with 18 °F to spare"},
		{"M6 x 20 in column 4", "M6 x 20 in column 4"},
		{"friction 0.15, factor 2.5", "friction 0.15, factor 2.5"},
	} {
		require.Equal(t, c[1], words(inch, c[0]))
		require.Equal(t, c[0], words(mm, c[0]))
	}
}
