// Package sheet writes the setup sheet: one HTML file that works with no
// network, on a phone, a tablet and on paper, from which a stranger can set the
// job up.
//
// All text is escaped, every number comes from the plan or its result, and the
// same job gives the same bytes. Drawings are SVG in mm with X right and Y up;
// the 3-D view reads the meshes in the local frame (part zero at (0, 0), Z up
// from the table top). The package judges nothing and computes no physics.
package sheet
