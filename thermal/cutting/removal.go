package cutting

import "math"

// Swept is what an operation takes away when the job doesn't say: the volume
// in mm³ that its path sweeps.
type Swept struct {
	AreaMM2     float64 // of the part's face
	PerimeterMM float64 // of the part's outline
	ToolMM      float64 // diameter of the tool
	WidthMM     float64 // radial width of the cut
	FromMM      float64 // depth at which it starts, below the part's top
	ToMM        float64 // and ends
}

// Face is the whole face taken down: area times depth.
func (s Swept) Face() float64 { return s.AreaMM2 * (s.ToMM - s.FromMM) }

// Contour is once round the part: perimeter times radial width times depth.
func (s Swept) Contour() float64 { return s.PerimeterMM * s.WidthMM * (s.ToMM - s.FromMM) }

// Hole is a hole of the tool's diameter: π/4·D² times depth.
func (s Swept) Hole() float64 { return math.Pi / 4 * s.ToolMM * s.ToolMM * (s.ToMM - s.FromMM) }

// RemovalMM3S is the removal rate of a drill in mm³/s at a feed in mm/min.
func (s Swept) RemovalMM3S(feedMMMin float64) float64 {
	return math.Pi / 4 * s.ToolMM * s.ToolMM * feedMMMin / 60
}

// DurationS is the time in s that a volume in mm³ takes at a removal rate in
// mm³/s.
func DurationS(removesMM3, rateMM3S float64) float64 { return removesMM3 / rateMM3S }

// RemovedMM3 is the volume in mm³ that goes in a time in s at that rate.
func RemovedMM3(lastsS, rateMM3S float64) float64 { return lastsS * rateMM3S }

// FeedPerRevMM is the feed of one turn in mm.
func FeedPerRevMM(feedMMMin, speedRPM float64) float64 { return feedMMMin / speedRPM }

// EdgeShare is the part of a power that is spent in rubbing, 0 to 1.
func EdgeShare(edgeW, powerW float64) float64 {
	if !(powerW > 0) {
		return 0
	}
	return math.Min(1, edgeW/powerW)
}

// SurfaceMMin is the surface speed in m/min of an edge on a diameter in mm.
func SurfaceMMin(diameterMM, speedRPM float64) float64 { return math.Pi * diameterMM * speedRPM / 1000 }

// FeedMMMin is the feed in mm/min of a feed per tooth in mm.
func FeedMMMin(perToothMM float64, flutes int, speedRPM float64) float64 {
	return perToothMM * float64(flutes) * speedRPM
}

// Overloads says that a cut takes more than four fifths of a spindle's power,
// both in W; false for a spindle that is not known (0). Common practice.
func Overloads(powerW, spindleW float64) bool { return spindleW > 0 && powerW > 0.8*spindleW }

// Size is the band of magnitudes.
func (b Band) Size() Band {
	if b.Likely < 0 {
		return Band{-b.High, -b.Likely, -b.Low}.sorted()
	}
	return b.sorted()
}

// sorted is the band with its ends in order.
func (b Band) sorted() Band {
	return Band{math.Min(b.Low, b.High), b.Likely, math.Max(b.Low, b.High)}
}
