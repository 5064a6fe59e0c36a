package thermal

import "math"

// Closed forms that the model is checked against. SI units.
// Source: Incropera, chapters 5 and 9; Carslaw and Jaeger.

// slab is a plane wall of half thickness L (or one insulated at x = 0) with a
// film on its face; rod a long cylinder of radius L.
type slab struct{ k, alpha, L, h float64 }

func (s slab) biot() float64             { return s.h * s.L / s.k }
func (s slab) fourier(t float64) float64 { return s.alpha * t / (s.L * s.L) }

// theta is the excess temperature at x over the first one, by the full series.
func (s slab) theta(x, t float64) float64 {
	sum := 0.0
	for n := range 200 {
		z := s.root(n)
		term := 4 * math.Sin(z) / (2*z + math.Sin(2*z)) * math.Exp(-z*z*s.fourier(t))
		sum += term * math.Cos(z*x/s.L)
		if term < 1e-14 {
			break
		}
	}
	return sum
}

// heat is the fraction of the heat that has left.
func (s slab) heat(t float64) float64 {
	left := 0.0
	for n := range 200 {
		z := s.root(n)
		term := 4 * math.Sin(z) / (2*z + math.Sin(2*z)) * math.Exp(-z*z*s.fourier(t))
		left += term * math.Sin(z) / z
		if term < 1e-14 {
			break
		}
	}
	return 1 - left
}

// root is the n-th solution of ζ·tan ζ = Bi.
func (s slab) root(n int) float64 {
	return bisect(float64(n)*math.Pi, (float64(n)+0.5)*math.Pi, func(z float64) float64 {
		return z*math.Sin(z) - s.biot()*math.Cos(z)
	}, n%2 == 1)
}

// bisect finds the zero of f between a and b; f rises there, or falls.
func bisect(a, b float64, f func(float64) float64, falls bool) float64 {
	for range 200 {
		m := (a + b) / 2
		if (f(m) > 0) != falls {
			b = m
		} else {
			a = m
		}
	}
	return (a + b) / 2
}

// rod is the cylinder; its series' first term is exact to 1e-5 from a Fourier
// number of 0.5.
type rod struct{ slab }

func (r rod) first() (z, c float64) {
	const firstZeroOfJ0 = 2.404825557695773
	z = bisect(0, firstZeroOfJ0, func(z float64) float64 { return z*math.J1(z) - r.biot()*math.J0(z) }, false)
	return z, 2 * math.J1(z) / (z * (math.J0(z)*math.J0(z) + math.J1(z)*math.J1(z)))
}

func (r rod) theta(radius, t float64) float64 {
	z, c := r.first()
	return c * math.Exp(-z*z*r.fourier(t)) * math.J0(z*radius/r.L)
}

func (r rod) heat(t float64) float64 {
	z, _ := r.first()
	return 1 - 2*r.theta(0, t)*math.J1(z)/z
}

// underFlux is the rise at depth x of a half space under the flux q.
func underFlux(k, alpha, q, x, t float64) float64 {
	return 2*q/k*math.Sqrt(alpha*t/math.Pi)*math.Exp(-x*x/(4*alpha*t)) - q*x/k*math.Erfc(x/(2*math.Sqrt(alpha*t)))
}

// underFilm is the fraction of the way to the fluid's temperature at depth x
// of a half space.
//
//	erfc a - e^(hx/k + b²)·erfc(a+b),  a = x/(2√(αt)), b = h√(αt)/k
//
// The second term is written as e^(-a²)·erfcx(a+b), which can't overflow.
func underFilm(k, alpha, h, x, t float64) float64 {
	a, b := x/(2*math.Sqrt(alpha*t)), h*math.Sqrt(alpha*t)/k
	return math.Erfc(a) - math.Exp(-a*a)*erfcx(a+b)
}

// erfcx is e^(x²)·erfc x for x of 0 or more.
func erfcx(x float64) float64 {
	if x < 20 {
		return math.Exp(x*x) * math.Erfc(x)
	}
	y := 1 / (x * x)
	return (1 - y/2 + 3*y*y/4 - 15*y*y*y/8) / (x * math.Sqrt(math.Pi))
}

// Natural convection: Nusselt numbers.

// verticalNu: Churchill and Chu 1975, all Rayleigh numbers.
func verticalNu(ra, pr float64) float64 {
	root := 0.825 + 0.387*math.Pow(ra, 1.0/6)/math.Pow(1+math.Pow(0.492/pr, 9.0/16), 8.0/27)
	return root * root
}

// laminarNu: Churchill and Chu, Rayleigh number under 1e9.
func laminarNu(ra, pr float64) float64 {
	return 0.68 + 0.67*math.Pow(ra, 0.25)/math.Pow(1+math.Pow(0.492/pr, 9.0/16), 4.0/9)
}

// squireNu: Squire and Eckert, laminar, as in Lienhard 8.27 (from memory).
func squireNu(ra, pr float64) float64 { return 0.678 * math.Pow(ra*pr/(0.952+pr), 0.25) }

// upNu and downNu: McAdams, a hot plate facing up or down, length area over
// perimeter.
func upNu(ra float64) float64 {
	if ra <= 1e7 {
		return 0.54 * math.Pow(ra, 0.25)
	}
	return 0.15 * math.Cbrt(ra)
}

func downNu(ra float64) float64 { return 0.27 * math.Pow(ra, 0.25) }

// blockNu: King, as in Holman 7.6; length of the path over the block.
func blockNu(ra float64) float64 { return 0.52 * math.Pow(ra, 0.25) }

// rayleigh is g·ΔT·L³·Pr/(T·ν²) with the mean temperature in K.
func rayleigh(g, riseK, meanK, lengthM, nu, pr float64) float64 {
	return g * riseK / meanK * lengthM * lengthM * lengthM * pr / (nu * nu)
}
