// Package fits turns a size and a class into limits: ISO 286-1:2010 from 0 to
// 500 mm, the inch classes LT, LN and FN of ANSI B4.1, the preferred metric
// fits of ANSI B4.2, and tolerances of your own.
//
// Sizes are in mm, deviations in µm from that size, positive outward. Inch
// classes carry their thousandths exactly beside the µm. Clearance is on
// diameter, hole minus shaft; interference is negative clearance.
//
// The deviations come from tables, because the standard's old formulas do not
// reproduce them. Every reading is at 20 °C. The package knows nothing of
// materials, forces or how a hole is cut.
package fits
