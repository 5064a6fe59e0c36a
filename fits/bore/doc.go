// Package bore plans bore passes.
package bore
