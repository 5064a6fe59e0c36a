// Package thermal computes the temperatures of part and jaws over time.
package thermal
