package bore

import "math"

// Cutter is what is known before the first pass about the tool and the machine
// that drives it.
type Cutter struct {
	DiameterMM float64 // 0.5 to 50
	StickoutMM float64 // from the holder to the tip, up to 20 diameters
	YoungMPa   float64 // 590,000 for carbide, 205,000 for HSS
	LoadN      float64 // side load on the tip in the finishing pass, 0 to 2,000
	// RunoutMM is the total indicated run-out; the bore grows by it.
	RunoutMM float64
	// ToleranceMM is the real tool diameter minus the nominal one: least, most.
	ToleranceMM [2]float64
	// MachineSdMM is the doubt from lag, backlash and chords, on diameter.
	MachineSdMM float64
}

// Prior is the belief about the offset (real minus commanded bore) before the
// first pass.
type Prior struct {
	MeanMM, SdMM float64
	// DeflectionMM is how far the tip is pushed aside; the bore is smaller by twice that.
	DeflectionMM float64
}

// Young's moduli of cutter materials in MPa. Carbide 580 to 600 GPa and HSS 200
// to 210 GPa, makers' data.
const (
	CarbideMPa = 590e3
	HSSMPa     = 205e3
)

// effective is the diameter of the plain rod that bends like a fluted cutter, as
// a share of its diameter. Source: Kops and Vo, Determination of the equivalent
// diameter of an end mill based on its compliance, CIRP Annals 39 (1990).
const effective = 0.8

// TipDeflection gives how far the tip of a cutter yields, in mm:
//
//	y = F·L³ / (3·E·I),  I = π·(0.8·D)⁴/64
//
// Holder and machine give way too, which is not in it.
func TipDeflection(diameterMM, stickoutMM, youngMPa, loadN float64) float64 {
	d := effective * diameterMM
	inertia := math.Pi * d * d * d * d / 64
	return loadN * stickoutMM * stickoutMM * stickoutMM / (3 * youngMPa * inertia)
}

// OffsetPrior gives the belief about the offset before the first pass:
//
//	mean = middle of the tool's tolerance + run-out − 2·deflection
//	sd²  = tolerance²/12 + (run-out/2)² + deflection² + machine²
//
// so half of what run-out and deflection do is held to be doubtful (judgement).
// It returns a *RangeError for a field outside the bounds given on [Cutter].
func OffsetPrior(c Cutter) (Prior, error) {
	for _, e := range []error{
		within("tool diameter", c.DiameterMM, 0.5, 50, "mm"),
		within("tool stick-out", c.StickoutMM, 0.5, 20*math.Max(c.DiameterMM, 0), "mm"),
		within("Young's modulus of the tool", c.YoungMPa, 50e3, 1e6, "MPa"),
		within("side load", c.LoadN, 0, 2000, "N"),
		within("run-out", c.RunoutMM, 0, 0.5, "mm"),
		within("least tool deviation", c.ToleranceMM[0], -0.5, c.ToleranceMM[1], "mm"),
		within("largest tool deviation", c.ToleranceMM[1], -0.5, 0.5, "mm"),
		within("machine doubt", c.MachineSdMM, 0, 0.2, "mm"),
	} {
		if e != nil {
			return Prior{}, e
		}
	}
	y := TipDeflection(c.DiameterMM, c.StickoutMM, c.YoungMPa, c.LoadN)
	span := c.ToleranceMM[1] - c.ToleranceMM[0]
	return Prior{
		MeanMM:       (c.ToleranceMM[0]+c.ToleranceMM[1])/2 + c.RunoutMM - 2*y,
		SdMM:         math.Sqrt(span*span/12 + c.RunoutMM*c.RunoutMM/4 + y*y + c.MachineSdMM*c.MachineSdMM),
		DeflectionMM: y,
	}, nil
}

// ToolToleranceMM gives least and most real tool diameter minus nominal for a
// cutter of unknown make: from the bottom of class e8 up to its nominal size.
// e8 as printed by a cutter maker: 3 to 6 mm −38 µm, 6 to 10 −47, 10 to 18 −59;
// below 3 mm −28 and above 18 mm −73 (ISO 286, from memory).
func ToolToleranceMM(diameterMM float64) [2]float64 {
	switch {
	case diameterMM <= 3:
		return [2]float64{-0.028, 0}
	case diameterMM <= 6:
		return [2]float64{-0.038, 0}
	case diameterMM <= 10:
		return [2]float64{-0.047, 0}
	case diameterMM <= 18:
		return [2]float64{-0.059, 0}
	default:
		return [2]float64{-0.073, 0}
	}
}

// Mill is a kind of machine: the scatter of repeated finishing passes and the
// doubt of its own offset, both on diameter, one standard deviation.
type Mill struct {
	Kind                  string
	ScatterMM, OffsetSdMM float64
}

// Mills lists the kinds of machine. No usable source was found for the scatter
// of small mills; these are judgement, to be replaced by the user's own numbers.
func Mills() []Mill {
	return []Mill{
		{"rigid", 0.003, 0.008},
		{"ordinary", 0.005, 0.012},
		{"light gantry", 0.010, 0.020},
	}
}
