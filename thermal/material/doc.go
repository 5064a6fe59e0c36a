// Package material is the table of part, insert and jaw materials.
package material
