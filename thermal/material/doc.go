// Package material is the one table of part, insert and jaw materials. Every
// row names its source; a value that comes from memory, is estimated or was
// derived says so in the row's Doubt.
//
// Units: kg/m³, J/(kg·K), W/(m·K), MPa, 1/K, °C, all at 20 to 25 °C unless a
// name says otherwise. Names are matched without regard to case, spaces and
// punctuation; a name that is not in the table is an error that lists the near
// ones. The package does not know how a material is used.
package material
