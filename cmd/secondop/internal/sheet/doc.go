// Package sheet writes the setup sheet.
package sheet
