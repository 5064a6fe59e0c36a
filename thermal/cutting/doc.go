// Package cutting gives the forces a cutter puts on the part, the torque and
// the power, as low, likely and high estimates.
//
// Lengths are mm, forces N, torques N·mm, powers W, specific forces N/mm²,
// angles rad. An axial force is positive when it lifts the part off its seat.
// The high estimate takes the upper published row and a worn edge.
//
// The package knows nothing of grips, temperatures or job files; the part's
// material arrives as a [secondop/thermal/material.Kc].
package cutting
