// Package press is the mechanics of interference fits.
package press
