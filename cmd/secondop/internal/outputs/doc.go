// Package outputs turns a plan into the files of its folder: meshes, drawing,
// table of passes, setup sheet and result.json. It writes bytes, never paths.
package outputs
