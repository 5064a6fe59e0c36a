package job

import (
	"fmt"
	"io"
	"strings"
)

// New writes a commented job file to start from. Its comments are the
// sentences of the table of keys; `make` accepts it unchanged.
func New(w io.Writer) error {
	var b strings.Builder
	for _, line := range strings.Split(strings.TrimSpace(starter), "\n") {
		text, path, marked := strings.Cut(line, "#=")
		if !marked {
			b.WriteString(line + "\n")
			continue
		}
		path, extra, _ := strings.Cut(strings.TrimSpace(path), "; ")
		k := root.find(path)
		if k == nil {
			panic("job: the starter job speaks of " + path + ", which is not in the table")
		}
		says := k.says
		if extra != "" {
			says += "; " + extra
		}
		fmt.Fprintf(&b, "%-42s # %s\n", strings.TrimRight(text, " "), says)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// find is the row of a path as the table writes it, "cut.operations[].feed".
func (k *key) find(path string) *key {
	if k.path == path {
		return k
	}
	for _, c := range k.children {
		if found := c.find(path); found != nil {
			return found
		}
	}
	return nil
}

const starter = `
# A job for secondop: hold a finished part for one more side.
# Change the values to those of your part, your table and your tools, then:
#     secondop check FILE      what is wrong or doubtful in this file
#     secondop make FILE       jaws to print, verdict, setup sheet
# Lengths and feeds are in ` + "`units`" + ` unless they carry a unit of their own: 1/2 in, 3 thou.
secondop: 1
name: plain cap, back side
units: mm #= units; inch for inches

part:
  material: aluminium 7075-T6 #= part.material
  height: 25 #= part.height
  outline: #= part.outline
    seen: this side #= part.outline.seen; or other side
    shapes: #= part.outline.shapes
      - {add: circle, diameter: 50}
      - {cut: rectangle, size: [50, 8], at: [0, -25]}   # a flat, so that it goes in one way
  turn: 0 deg #= part.turn

table:
  grid: #= table.grid
    pitch: 25 #= table.grid.pitch
    columns: 12
    rows: 8
    thread: M6 #= table.grid.thread
    thread_depth: 12 #= table.grid.thread_depth

jaws:
  polymer: PLA #= jaws.polymer
  printer: {outside: 0.05, inside: 0.10} #= jaws.printer
  grip: 14 #= jaws.grip
  seat: parallels #= jaws.seat; or table, plate, print
  clearance: {fixed: 0.05, moving: 0.15} #= jaws.clearance
  fixed: {bolts: 2} #= jaws.fixed
  moving: {by: clamp} #= jaws.moving; or by: bolts

# Leave out clamp, cut or fit and that side is not judged.
clamp: {kind: bar clamp} #= clamp
zero: {z: seat} #= zero; or z: top

tools:
  6 mm: {diameter: 6, flutes: 2, material: carbide, stickout: 20, flute_length: 15}

cut:
  ambient: 25 C #= cut.ambient
  cooling: air blast #= cut.cooling
  operations: # depth: of each pass; width: what one path takes; to: below the top, before cutting
    - {name: face, kind: face, tool: 6 mm, speed: 10000 rpm, feed: 1000, depth: 0.25, width: 4, to: 0.25}
    - {name: recess, kind: pocket, tool: 6 mm, speed: 10000 rpm, feed: 1000, depth: 0.5, width: 2, from: 0.25, to: 1.25, removes: 310 mm3}

fit:
  insert: {kind: dowel, diameter: 10.006, measured: true, height: 8} #= fit.insert
  by: press #= fit.by
  must_hold: 100 N #= fit.must_hold
  bore: {at: [0, 0], through: true, cut_by: helix, tool: 6 mm} #= fit.bore
  gauge: bore gauge #= fit.gauge
  step: 1 thou #= fit.step

machine: ordinary #= machine; rigid, ordinary, light gantry
`
