// Package folder writes a set of files as one folder: whole or not at all.
//
// Files are staged beside the target, one by one, each written and synced; the
// finished folder then takes the target's name. A folder that carries the
// [Marker] was made here and is replaced whole; what a person has added to it
// or changed in it since is moved aside, never deleted. A folder without the
// marker is refused.
package folder
