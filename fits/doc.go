// Package fits gives limits and fits: size and class to limits.
package fits
