// Package thermal computes the temperatures of part and jaws over time, the
// softening limit, and how long one may cut before the plastic lets go.
//
// The part has one temperature; each jaw wall and the seat is a transient layer
// that touches it. Run computes one history for a given heat, Judge the low,
// likely and high estimates of a job with schedule and alternatives.
//
// Units: mm, mm², mm³, s, W, J, °C, W/(m²·K), W/(m·K), kg/m³, J/(kg·K). Depth
// into a layer counts from the face that touches the part. The package knows
// nothing of the cutter; power and removed volume come as numbers.
package thermal
