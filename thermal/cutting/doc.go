// Package cutting gives cutting forces, power and the heat that enters the part.
package cutting
