package cutting

import "math"

// blade is one revolution of an end mill in the cut: geometry in mm and rad, no
// material. Angles run from where a tooth enters an up-milling cut.
type blade struct {
	diameterMM, depthMM float64
	teeth               int
	exitRad             float64 // the engagement angle; a tooth enters at 0
	helixRad            float64
	chipMM              []float64 // feed per tooth of each tooth, mm
}

// edgeForce is the force per mm of edge in N/mm at a chip thickness in mm:
// tangential, radial and axial.
type edgeForce func(chipMM float64) (tangential, radial, axial float64)

// peaks are the largest sums over the teeth in one revolution, in N, and the
// means of the in-plane components along and across the feed.
type peaks struct {
	tangentialN, radialN, inPlaneN, axialN float64
	meanX, meanY, meanZ                    float64
}

const arcSteps = 512 // steps over the arc in cut; the trapezoid error is below 0.01 %

// turn integrates the edge force over the helical edges through one revolution:
//
//	F(φ) = Σ_teeth R/tan λ · ∫ f(h(φ')) dφ',  φ' from φ − ap·tan λ/R to φ,
//
// the lag of the edge along the axial depth ap at the helix angle λ.
func (b blade) turn(f edgeForce) peaks {
	lag := 2 * b.depthMM * math.Tan(b.helixRad) / b.diameterMM
	step := b.exitRad / arcSteps
	// One table of running integrals for each distinct tooth.
	tables := make([]arcTable, len(b.chipMM))
	for i, chip := range b.chipMM {
		if i > 0 && chip == b.chipMM[i-1] {
			tables[i] = tables[i-1]
			continue
		}
		tables[i] = newArcTable(f, chip, step)
	}
	pitch := 2 * math.Pi / float64(b.teeth)
	// Teeth that are alike repeat after one pitch. One stop is where a straight
	// tooth leaves the cut, with the thickest chip.
	period := pitch
	if len(b.chipMM) > 1 {
		period = 2 * math.Pi
	}
	var p peaks
	const stops = 720
	for k := range stops {
		at := b.exitRad + period*float64(k)/stops
		var sum arcSum
		for j := range b.teeth {
			phi := math.Mod(at+float64(j)*pitch, 2*math.Pi)
			t := &tables[j%len(tables)]
			sum.add(t.tooth(phi, lag, b.depthMM, step))
			sum.add(t.tooth(phi+2*math.Pi, lag, b.depthMM, step)) // an edge that lags over the turn
		}
		p.tangentialN = max(p.tangentialN, sum[3])
		p.radialN = max(p.radialN, sum[4])
		p.axialN = max(p.axialN, sum[2])
		p.inPlaneN = max(p.inPlaneN, math.Hypot(sum[0], sum[1]))
		p.meanX += sum[0] / stops
		p.meanY += sum[1] / stops
		p.meanZ += sum[2] / stops
	}
	return p
}

// arcSum is Fx, Fy, Fz, ΣFt, ΣFr; x along the feed of an up-milling cut.
type arcSum [5]float64

func (s *arcSum) add(o arcSum) {
	for i := range s {
		s[i] += o[i]
	}
}

// arcTable holds the force per mm of edge at each step of the arc and its
// running integral over the angle.
type arcTable struct{ density, running []arcSum }

func newArcTable(f edgeForce, chipMM, step float64) arcTable {
	t := arcTable{make([]arcSum, arcSteps+1), make([]arcSum, arcSteps+1)}
	for i := range t.density {
		sin, cos := math.Sincos(float64(i) * step)
		ft, fr, fa := f(chipMM * sin)
		t.density[i] = arcSum{-ft*cos - fr*sin, ft*sin - fr*cos, fa, ft, fr}
		if i == 0 {
			continue
		}
		for c := range t.density[i] {
			t.running[i][c] = t.running[i-1][c] + step*(t.density[i-1][c]+t.density[i][c])/2
		}
	}
	return t
}

// tooth returns the force of one edge whose tip is at the angle phi.
func (t *arcTable) tooth(phi, lag, depthMM, step float64) arcSum {
	if lag < 2*step { // straight enough: the whole edge is at one angle
		i := int(phi/step + 0.5)
		if i > arcSteps {
			return arcSum{}
		}
		s := t.density[i]
		for c := range s {
			s[c] *= depthMM
		}
		return s
	}
	lead, trail := t.at(phi/step), t.at((phi-lag)/step)
	var s arcSum
	for c := range s {
		s[c] = (lead[c] - trail[c]) * depthMM / lag
	}
	return s
}

// at reads the running integral at a fractional step, constant outside the arc.
func (t *arcTable) at(steps float64) arcSum {
	if !(steps > 0) {
		return arcSum{}
	}
	i := int(steps)
	if i >= arcSteps {
		return t.running[arcSteps]
	}
	w := steps - float64(i)
	s := t.running[i]
	for c := range s {
		s[c] += w * (t.running[i+1][c] - s[c])
	}
	return s
}
