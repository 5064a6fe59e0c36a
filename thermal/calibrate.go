package thermal

import (
	"context"
	"fmt"
	"math"

	"secondop/thermal/material"
)

// Reading is one thermometer reading of a job.
type Reading struct {
	TimeS   float64 // from the start of the first operation
	Celsius float64
	Where   string  // part or jaw face
	DoubtK  float64 // standard uncertainty of the reading; 0: 1.5 K
}

// Calibration is the share of the likely cutting power that readings tell.
type Calibration struct {
	Before, After Band // shares
	// Ratio is After's high end over its low end, +Inf without a bound. Useful is
	// false when it is wider than 1.5 to 1: the readings came too early or doubt
	// each other.
	Ratio  float64
	Useful bool
	// MisfitK is the root mean square of what the readings and the fit differ by.
	MisfitK float64
	Says    string
}

const (
	readingDoubtK = 1.5 // taped thermocouple or tape under an infrared thermometer
	// repeats is how much one cut's share differs from the next of the same
	// kind, as a relative standard deviation: the edge wears, chips pack. Own
	// judgement; a calibrated laboratory model reaches 20 % on the temperature
	// rise (Kalidas et al. 2002, abstract).
	repeats      = 0.06
	nineOfTen    = 1.645 // two-sided normal quantile for 90 %
	usefulRatio  = 1.5
	latestAfterS = 3600.0
	bandIsSigmas = 2.0 // half a film's band is two standard deviations
)

// Calibrate fits the share of the cutting power that enters the part to
// readings taken during the job or up to an hour after its end, and returns
// the band before and after. The band holds nine of ten later cuts of the same
// kind: it combines the readings' doubt, what the film's band changes, and the
// scatter from cut to cut.
//
// It returns an *InputError for a reading that is out of range, when no
// operation gives its power, and when the readings ask for a share of 0 or
// less or of more than the whole power.
func Calibrate(ctx context.Context, r Request, readings []Reading) (Calibration, error) {
	if err := r.check(); err != nil {
		return Calibration{}, err
	}
	if err := checkReadings(readings); err != nil {
		return Calibration{}, err
	}
	before, err := r.mainShare()
	if err != nil {
		return Calibration{}, err
	}
	if before == (Band{}) {
		return Calibration{}, &InputError{Field: "number of operations with a cutting power", Value: 0, Rule: "must be at least 1 to fit its share"}
	}
	var shares [3]float64
	var doubt, misfit float64
	for l := low; l <= high; l++ {
		s, d, rms, err := r.fit(ctx, l, readings)
		if err != nil {
			return Calibration{}, err
		}
		shares[l] = s
		if l == likely {
			doubt, misfit = d, rms
		}
	}
	best := shares[likely]
	if !(best > 0 && best <= 1) {
		return Calibration{}, &InputError{
			Field: "share of the cutting power that the readings ask for", Value: best,
			Rule: "must be above 0 and at most 1: check where and when the temperature was read, and speed, feed and removed volume",
		}
	}
	// A low film asks for less heat, a high one for more.
	film := math.Abs(shares[high]-shares[low]) / (2 * bandIsSigmas)
	// The scatter counts twice: for the cut that was read and for the one to come.
	sigma := math.Sqrt(doubt*doubt+film*film+2*square(repeats*best)) * nineOfTen
	c := Calibration{Before: before, MisfitK: misfit}
	// Ends in proportion: the doubt is about a factor.
	c.After = Band{Low: best * math.Exp(-sigma/best), Likely: best, High: min(1, best*math.Exp(sigma/best))}
	c.Ratio = c.After.High / c.After.Low
	c.Useful = c.Ratio <= usefulRatio
	c.Says = fmt.Sprintf("the part keeps %.0f %% of the cutting power, between %.0f and %.0f %%", 100*best, 100*c.After.Low, 100*c.After.High)
	if !c.Useful {
		wide := "that is no bound at all"
		if !math.IsInf(c.Ratio, 1) {
			wide = fmt.Sprintf("that is %.1f to 1, wider than %.1f to 1", c.Ratio, usefulRatio)
		}
		c.Says += "; " + wide + ": read again when the part is warmer, soon after the cut, or take more readings"
	}
	return c, nil
}

func checkReadings(readings []Reading) error {
	var in inputs
	if len(readings) == 0 {
		in.reject("number of readings", 0, "", "must be at least 1")
	}
	for i, x := range readings {
		name := fmt.Sprintf("reading %d: ", i+1)
		in.positive(name+"time", x.TimeS, "s")
		in.celsius(name+"temperature", x.Celsius)
		in.notNegative(name+"doubt", x.DoubtK, "K")
		if x.Where != "part" && x.Where != "jaw face" {
			return &material.UnknownError{Kind: "place of a reading", Name: x.Where, Near: []string{"part", "jaw face"}}
		}
	}
	return in.err
}

// fit finds the share at one level of the films by least squares. The model is
// linear in the heat but for radiation, which is small: three rounds of secants.
func (r *Request) fit(ctx context.Context, l level, readings []Reading) (share, doubt, rmsK float64, err error) {
	at := func(s float64) ([]float64, error) {
		q := *r
		q.Share = &Band{s, s, s}
		m, err := q.model(l)
		if err != nil {
			return nil, err
		}
		return predict(ctx, &m, readings)
	}
	const step = 0.05
	share = 0.4
	for range 3 {
		share = min(max(share, 0.01), 0.95)
		a, err := at(share)
		if err != nil {
			return 0, 0, 0, err
		}
		b, err := at(share + step)
		if err != nil {
			return 0, 0, 0, err
		}
		num, den, sum := 0.0, 0.0, 0.0
		for i, x := range readings {
			slope, w := (b[i]-a[i])/step, 1/square(doubtOf(x))
			num += w * slope * (x.Celsius - a[i])
			den += w * slope * slope
			sum += square(x.Celsius - a[i])
		}
		if den == 0 {
			return 0, 0, 0, &InputError{Field: "time of the readings", Value: readings[0].TimeS, Unit: "s", Rule: "must be after some cutting"}
		}
		share += num / den
		doubt, rmsK = 1/math.Sqrt(den), math.Sqrt(sum/float64(len(readings)))
	}
	return share, doubt, rmsK, nil
}

func doubtOf(x Reading) float64 {
	if x.DoubtK == 0 {
		return readingDoubtK
	}
	return x.DoubtK
}

func square(x float64) float64 { return x * x }

// predict returns the model's temperature in °C at each reading. After the
// last stretch the part rests in still air.
func predict(ctx context.Context, m *Model, readings []Reading) ([]float64, error) {
	stretches := append(append([]Stretch{}, m.Stretches...),
		Stretch{Name: "rest", LastsS: latestAfterS, FilmWM2K: stillAirWM2K.Likely})
	out := make([]float64, len(readings))
	s := newSim(m)
	from, last := 0.0, 0.0
	for i := range stretches {
		last = from + stretches[i].LastsS
		s.begin(&stretches[i])
		for {
			next := -1
			for k, x := range readings {
				if x.TimeS > s.timeS && x.TimeS <= last && (next < 0 || x.TimeS < readings[next].TimeS) {
					next = k
				}
			}
			until := last
			if next >= 0 {
				until = readings[next].TimeS
			}
			if _, _, err := s.advance(ctx, until-s.timeS, nil, nil); err != nil {
				return nil, err
			}
			s.timeS = until // without the rounding of a sum of steps
			if next < 0 {
				break
			}
			for k, x := range readings {
				if x.TimeS == until {
					out[k] = s.m.AmbientC + s.partK()
					if x.Where == "jaw face" {
						out[k] = s.m.AmbientC + max(s.walls[0].faceK(s.partK(), s.walls[0].u), s.walls[1].faceK(s.partK(), s.walls[1].u))
					}
				}
			}
		}
		from = last
	}
	for _, x := range readings {
		if x.TimeS > last {
			return nil, &InputError{Field: "time of a reading", Value: x.TimeS, Unit: "s", Rule: fmt.Sprintf("must be within an hour of the job's end (%g s)", last)}
		}
	}
	return out, nil
}
