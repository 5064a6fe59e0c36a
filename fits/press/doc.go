// Package press is the mechanics of interference fits: pressure, stress,
// forces, temperature, and the window of bore sizes for an insert in the hand.
//
// Lengths in mm, forces in N, stresses in MPa, temperatures in °C. Interference
// is on diameter, insert minus bore, positive when the insert is larger; tension
// is positive. Sizes are at 20 °C and a rise is counted from there.
//
// Lamé's thick rings in plane stress: round, equally long, elastic, without the
// peaks at the edges. The package doesn't know outlines (the least wall arrives
// as a number), how a bore is cut, or materials by name.
package press
