package plan

import (
	"regexp"
	"strconv"

	"secondop/cmd/secondop/internal/job"
)

// The rooms word their findings in mm, N, MPa and °C. In a job in inches their
// numbers are said in its units.
var (
	inSI    = regexp.MustCompile(`(-?\d+(?:\.\d+)?)( x (-?\d+(?:\.\d+)?))? (mm|µm|um|N|MPa|°C|K)\b`)
	toUnits = map[string]func(job.Units, float64) string{
		"mm":  job.Units.Length,
		"µm":  func(u job.Units, x float64) string { return u.Small(x / 1000) },
		"um":  func(u job.Units, x float64) string { return u.Small(x / 1000) },
		"N":   job.Units.Force,
		"MPa": job.Units.Stress,
		"°C":  job.Units.Temperature,
		"K":   job.Units.Rise,
	}
)

// words says a finding in the job's units.
func words(j *job.Job, says string) string {
	if !j.Inch {
		return says
	}
	u := j.Units()
	return inSI.ReplaceAllStringFunc(says, func(m string) string {
		part := inSI.FindStringSubmatch(m)
		first, err := strconv.ParseFloat(part[1], 64)
		if err != nil {
			return m
		}
		to := toUnits[part[4]]
		if part[3] == "" {
			return to(u, first)
		}
		second, err := strconv.ParseFloat(part[3], 64)
		if err != nil {
			return m
		}
		return to(u, first) + " x " + to(u, second)
	})
}
