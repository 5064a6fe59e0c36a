// Package browsertest has no code of its own: its tests open the setup sheet in
// a real browser, found on PATH, and are skipped where there is none.
package browsertest
