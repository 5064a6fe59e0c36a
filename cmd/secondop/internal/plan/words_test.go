package plan

import (
	"testing"

	"github.com/stretchr/testify/require"

	"secondop/cmd/secondop/internal/job"
)

// The factors are exact (25.4 mm) or NIST SP 811 (4.448 222 N a pound-force,
// 6894.757 Pa a psi, 0.112 984 8 N·m an inch-pound).
func TestFindingsAreSaidInTheJobsUnits(t *testing.T) {
	inch, mm := &job.Job{Inch: true}, &job.Job{}
	for _, c := range [][2]string{
		{"needs 254 x 127 mm of table", "needs 10 in x 5 in of table"},
		{"net grip is 12.7 mm", "net grip is 0.5 in"},
		{"a push of 444.8222 N", "a push of 100 lbf"},
		{"stays at or under 50 °C", "stays at or under 122 °F"},
		{"with 10 K to spare", "with 18 °F to spare"},
		{"M6 x 20 in column 4", "M6 x 20 in column 4"},
		{"M6 x 25.4 mm", "M6 x 1 in"},
		{"runs from -12.7 to 25.4 mm", "runs from -0.5 in to 1 in"},
		{"must be above 0 and at most 254 mm", "must be above 0 in and at most 10 in"},
		{"closed within 2.54e+02 mm", "closed within 10 in"},
		{"removes 32774.128 mm³", "removes 2 in³"},
		{"open at (-25.4, 12.7) mm", "open at (-1 in, 0.5 in)"},
		{"a feed of 254 mm/min", "a feed of 10 in/min"},
		{"a face of 600 mm²", "a face of 600 mm²"},
		{"a torque of 1129.848 N·mm", "a torque of 10 in lbf"},
		{"stressed 6.894757 MPa", "stressed 1000 psi"},
		{"friction 0.15, factor 2.5", "friction 0.15, factor 2.5"},
	} {
		require.Equal(t, c[1], words(inch, c[0]))
		require.Equal(t, c[0], words(mm, c[0]))
	}
}
