package press

import (
	"math"
	"strconv"
	"strings"
)

// MagnetGrade is what a grade's name says of a magnet.
type MagnetGrade struct {
	Name       string  // as found: N42, SmCo, ferrite
	Material   string  // name for a table of materials
	Suffix     string  // of a NdFeB grade: "", M, H, SH, UH, EH, AH
	RemanenceT float64 // upper end of what makers list, T
	Known      bool    // the grade was recognised; else the strongest is taken
	Source     string
}

// Upper ends of the remanence that makers list for sintered NdFeB, in T.
// From memory; makers' lists differ by 0.02 T.
var remanenceT = map[int]float64{
	30: 1.13, 33: 1.17, 35: 1.21, 38: 1.26, 40: 1.29, 42: 1.32, 45: 1.37, 48: 1.42, 50: 1.46, 52: 1.48, 54: 1.52, 55: 1.52,
}

// Grade reads a magnet's grade such as "N42", "N42SH", "SmCo", "ferrite", "Y30"
// or "C8". For a grade that it does not know it takes N52, whose own pull asks
// most of the fit, and says so in Known. Remanences are from memory.
func Grade(text string) MagnetGrade {
	g := strings.ToUpper(strings.ReplaceAll(strings.TrimSpace(text), " ", ""))
	switch {
	case strings.HasPrefix(g, "SMCO") || strings.HasPrefix(g, "SM2CO") || strings.HasPrefix(g, "YXG"):
		return MagnetGrade{Name: text, Material: "sintered SmCo 2:17", RemanenceT: 1.15, Known: true, Source: "makers' lists, from memory"}
	case strings.HasPrefix(g, "FERRITE") || strings.HasPrefix(g, "CERAMIC") || strings.HasPrefix(g, "Y") || strings.HasPrefix(g, "C"):
		return MagnetGrade{Name: text, Material: "hard ferrite", RemanenceT: 0.43, Known: true, Source: "makers' lists, from memory"}
	}
	if rest, ok := strings.CutPrefix(g, "N"); ok {
		digits := rest[:len(rest)-len(strings.TrimLeft(rest, "0123456789"))]
		suffix := rest[len(digits):]
		n, _ := strconv.Atoi(digits)
		if t, ok := remanenceT[n]; ok && suffixes[suffix] {
			return MagnetGrade{Name: g, Material: "sintered NdFeB", Suffix: suffix, RemanenceT: t, Known: true, Source: "makers' lists, from memory"}
		}
	}
	return MagnetGrade{Name: "N52", Material: "sintered NdFeB", RemanenceT: remanenceT[52], Source: "the strongest common grade, taken because the grade is unknown"}
}

var suffixes = map[string]bool{"": true, "M": true, "H": true, "SH": true, "UH": true, "EH": true, "AH": true}

// Pull returns the force in N with which a disc magnet of diameter dMM and
// height heightMM, magnetised along its axis with remanenceT, clings to thick
// iron with no gap. Real pulls are lower: plating, paint, thin or rough plates.
//
// The iron mirrors the magnet, so the pull is the stress of the field of a
// magnet of twice the height over its middle plane,
//
//	F = ∫ Bz²/(2·μ0) dA
//
// with Bz that of a cylinder of uniform magnetisation. For a long magnet it
// tends to Br²·A/(2·μ0), which it never passes. Pull returns a *RangeError
// unless 0.5 <= dMM <= 300, 0.1 <= heightMM <= 300 and 0 < remanenceT <= 1.6.
// Source: field after Derby and Olbert, Am. J. Phys. 78 (2010) 229; stress from
// Maxwell's tensor; both from memory, checked against the limits of the formula.
func Pull(dMM, heightMM, remanenceT float64) (newtons float64, err error) {
	for _, c := range []error{
		inRange("magnet diameter in mm", dMM, 0.5, 300),
		inRange("magnet height in mm", heightMM, 0.1, 300),
		inRange("remanence in T", remanenceT, 1e-3, 1.6),
	} {
		if c != nil {
			return 0, c
		}
	}
	// In units of the radius; the field jumps at the rim, so each side has its
	// own integral. Outside, t = 1/ρ maps the plane to 0..1.
	l := heightMM / (dMM / 2)
	inside := simpson(func(rho float64) float64 { b := midField(rho, l); return b * b * rho }, 0, 1-1e-9, 400)
	outside := simpson(func(t float64) float64 { b := midField(1/t, l); return b * b / (t * t * t) }, 1e-3, 1-1e-9, 400)
	radiusM := dMM / 2000
	const mu0 = 4e-7 * math.Pi
	return remanenceT * remanenceT * radiusM * radiusM * 2 * math.Pi * (inside + outside) / (2 * mu0), nil
}

// midField is Bz/Br in the middle plane of a cylinder of radius 1 that reaches
// from -l to l, at the distance rho from its axis.
func midField(rho, l float64) float64 {
	beta := l / math.Hypot(l, rho+1)
	k := math.Sqrt((l*l + (1-rho)*(1-rho)) / (l*l + (1+rho)*(1+rho)))
	gamma := (1 - rho) / (1 + rho)
	return 2 / math.Pi / (1 + rho) * beta * cel(k, gamma*gamma, 1, gamma)
}

// cel is Bulirsch's general complete elliptic integral,
// ∫0..π/2 (c·cos²+s·sin²)/((cos²+p·sin²)·√(cos²+kc²·sin²)), for p > 0.
func cel(kc, p, c, s float64) float64 {
	k := math.Abs(kc)
	em := 1.0
	p = math.Sqrt(p)
	s /= p
	f := c
	c += s / p
	g := k / p
	s = 2 * (s + f*g)
	p += g
	g = em
	em += k
	kk := k
	for math.Abs(g-k) > g*1e-10 {
		k = 2 * math.Sqrt(kk)
		kk = k * em
		f = c
		c += s / p
		g = kk / p
		s = 2 * (s + f*g)
		p += g
		g = em
		em += k
	}
	return math.Pi / 2 * (s + c*em) / (em * (em + p))
}

// simpson integrates f from a to b in n (even) steps.
func simpson(f func(float64) float64, a, b float64, n int) float64 {
	h := (b - a) / float64(n)
	sum := f(a) + f(b)
	for i := 1; i < n; i++ {
		sum += float64(2+2*(i%2)) * f(a+float64(i)*h)
	}
	return sum * h / 3
}
