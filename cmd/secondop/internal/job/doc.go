// Package job reads the job file: quantities with units, one table of keys,
// defaults, and faults with file, line, column, the line itself and a hint.
//
// What it hands on is a [Job] of plain numbers in mm, N, s, °C, W, rpm, mm/min
// and rad. It is the only package that parses or prints inches. It computes
// nothing about jaws, heat or fits.
package job
