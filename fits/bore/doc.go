// Package bore creeps up on a bore: it keeps a belief about how far the real
// bore is from the commanded one, and gives the next pass, the chance of going
// over, and when to stop.
//
// Every size is a diameter in mm unless its name says otherwise; wall stock is
// per wall and positive while the bore is smaller than the insert. The offset
// is real bore minus commanded bore, negative when the bore comes out small.
// Sizes are at the temperature of the room, where gauge and insert lie.
//
// The package knows neither the job file nor the window's reasons, opens no
// file and drives no machine.
package bore
