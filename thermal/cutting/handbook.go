package cutting

import "math"

// HandbookDrill is a drill in the terms of Machinery's Handbook 31, p.1152-1153.
type HandbookDrill struct {
	Kd   float64 // work material factor: steel of 200 BHN 24000, aluminium alloys about 7000 (from memory)
	Ff   float64 // feed factor
	FT   float64 // thrust factor for the diameter
	FM   float64 // torque factor for the diameter
	A    float64 // chisel edge factor for torque
	B    float64 // chisel edge factors for thrust
	J    float64
	W    float64 // tool wear factor, 1 sharp to about 1.3
	Dia  float64 // mm, or in
	Inch bool    // the factors are the inch tables'
}

// ThrustN is T = 0.05·Kd·Ff·FT·B·W + 0.007·Kd·D²·J·W in N with metric factors,
// 2·Kd·Ff·FT·B·W + Kd·D²·J·W in pounds with inch ones.
func (h HandbookDrill) ThrustN() float64 {
	lips, chisel := h.Kd*h.Ff*h.FT*h.B*h.W, h.Kd*h.Dia*h.Dia*h.J*h.W
	if h.Inch {
		return (2*lips + chisel) * newtonPerPound
	}
	return 0.05*lips + 0.007*chisel
}

// TorqueNmm is M = 0.000025·Kd·Ff·FM·A·W in N·m with metric factors and
// Kd·Ff·FM·A·W in pound inches with inch ones, returned in N·mm.
func (h HandbookDrill) TorqueNmm() float64 {
	m := h.Kd * h.Ff * h.FM * h.A * h.W
	if h.Inch {
		return m * newtonMMPerInLb
	}
	return 0.025 * m
}

// HandbookFactors returns the feed and diameter factors of the same pages,
// interpolated on logarithms and, beyond the printed ends (0.01 to 0.5 mm/rev,
// 1.6 to 16 mm), continued along the last two rows. The page's row of 8.8 mm is
// out of line with its neighbours in the copy seen and is left out.
func HandbookFactors(diameterMM, feedMMRev float64) (ff, ft, fm float64) {
	return loglog(feedFactor, 1, feedMMRev), loglog(diameterFactor, 1, diameterMM), loglog(diameterFactor, 2, diameterMM)
}

// Chisel edge factors of the standard point (c/d = 0.18).
const (
	chiselB = 1.355
	chiselJ = 0.030
)

var feedFactor = [][3]float64{
	{0.01, 0.025},
	{0.03, 0.060},
	{0.05, 0.091},
	{0.08, 0.133},
	{0.10, 0.158},
	{0.12, 0.183},
	{0.15, 0.219},
	{0.18, 0.254},
	{0.20, 0.276},
	{0.25, 0.330},
	{0.30, 0.382},
	{0.40, 0.480},
	{0.50, 0.574},
}

var diameterFactor = [][3]float64{
	{1.6, 1.46, 2.33},
	{2.4, 2.02, 4.84},
	{3.2, 2.54, 8.12},
	{4.0, 3.03, 12.12},
	{4.8, 3.51, 16.84},
	{5.6, 3.97, 22.22},
	{6.4, 4.42, 28.26},
	{8.0, 5.28, 42.22},
	{9.5, 6.06, 57.53},
	{11, 6.81, 74.90},
	{12.5, 7.54, 94.28},
	{16, 9.19, 147.0},
}

func loglog(table [][3]float64, column int, x float64) float64 {
	i := 1
	for i < len(table)-1 && table[i][0] < x {
		i++
	}
	a, b := table[i-1], table[i]
	t := math.Log(x/a[0]) / math.Log(b[0]/a[0])
	return a[column] * math.Pow(b[column]/a[column], t)
}

// chiselFactor is the handbook's thrust of a standard point over that of its
// lips alone.
func chiselFactor(d Hole) float64 {
	if d.SplitPoint {
		return 1
	}
	ff, ft, _ := HandbookFactors(d.DiameterMM, d.FeedMMRev)
	return chiselB + 0.14*d.DiameterMM*d.DiameterMM*chiselJ/(ff*ft)
}
