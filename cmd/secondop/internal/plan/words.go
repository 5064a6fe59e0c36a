package plan

import (
	"regexp"
	"strconv"

	"secondop/cmd/secondop/internal/job"
)

// The rooms word their findings in mm, N, MPa and °C. In a job in inches their
// numbers are said in its units: one number, or two that share a unit, as in
// "10 x 5 mm" and "must be above 0 and at most 300 mm", or a point, "(1, 2) mm".
// A longer unit stands before the one that it begins with; a unit without a
// function is left alone.
var (
	pointMM = regexp.MustCompile(`\((-?\d+(?:\.\d+)?), (-?\d+(?:\.\d+)?)\) mm\b`)
	inSI    = regexp.MustCompile(`(-?\b\d+(?:\.\d+)?(?:e[-+]?\d+)?)` +
		`(?:( x | to | and | and at most )(-?\d+(?:\.\d+)?(?:e[-+]?\d+)?))?` +
		` (mm³|mm²|N·mm|N/mm²|(?:mm/min|mm|µm|um|N|MPa|°C|K)\b)`)
	toUnits = map[string]func(job.Units, float64) string{
		"mm":     job.Units.Length,
		"mm³":    job.Units.Volume,
		"mm/min": job.Units.Feed,
		"µm":     small,
		"um":     small,
		"N":      job.Units.Force,
		"N·mm":   func(u job.Units, x float64) string { return u.Torque(x / 1000) },
		"MPa":    job.Units.Stress,
		"N/mm²":  job.Units.Stress,
		"°C":     job.Units.Temperature,
		"K":      job.Units.Rise,
	}
)

func small(u job.Units, um float64) string { return u.Small(um / 1000) }

// words says a finding in the job's units.
func words(j *job.Job, says string) string {
	if !j.Inch {
		return says
	}
	u := j.Units()
	says = pointMM.ReplaceAllString(says, "($1 mm, $2 mm)")
	return inSI.ReplaceAllStringFunc(says, func(m string) string {
		part := inSI.FindStringSubmatch(m)
		to := toUnits[part[4]]
		first, err := strconv.ParseFloat(part[1], 64)
		if to == nil || err != nil {
			return m
		}
		if part[3] == "" {
			return to(u, first)
		}
		second, err := strconv.ParseFloat(part[3], 64)
		if err != nil {
			return m
		}
		return to(u, first) + part[2] + to(u, second)
	})
}
