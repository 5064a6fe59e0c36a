package job

import "math"

// root is the table of keys as a tree: ranges in the units used inside, defaults
// as they would be typed (common practice, no source, unless a row says
// otherwise). It is hung in init because some rows read by functions that look
// the table up.
var root *key

func init() {
	root = tree(concat(fileKeys(), partKeys(), tableKeys(), jawKeys(), clampKeys(), toolKeys(), cutKeys(), fitKeys(), machineKeys()))
}

func concat(lists ...[]*key) (all []*key) {
	for _, l := range lists {
		all = append(all, l...)
	}
	return all
}

// deg makes a range of angles readable.
func deg(d float64) float64 { return d / 180 * math.Pi }

func fileKeys() []*key {
	return []*key{
		custom("secondop", readVersion, "version of the job file's layout", must, sample("1")),
		text("name", func(f *frame) any { return &f.Name }, "what the part and this side of it are called", must, sample("plain knob, back side")),
		word("units", func(f *frame) any { return new(string) }, "unit of every bare length and feed, and of the output", must, words("mm", "inch", "in"), sample("mm")),
	}
}

func partKeys() []*key {
	return []*key{
		section("part", nil, "the part as it stands in the jaws", must),
		text("part.material", func(f *frame) any { return &f.Part.Material }, "what the part is made of; `secondop list materials` shows the ones known", must, sample("aluminium 6061-T6")),
		quantity("part.height", length, func(f *frame) any { return &f.Part.HeightMM }, "height as it stands in the jaws, before this operation", must, sized(0, 500), sample("20")),
		quantity("part.edge_break", length, func(f *frame) any { return &f.Part.EdgeBreakMM }, "chamfer or radius at the part's own lower edge", standard("0.2 mm"), within(0, 20)),
		section("part.outline", nil, "the outline seen from above: exactly one of shapes, dxf, svg, stl", must, exactlyOne("shapes", "dxf", "svg", "stl")),
		word("part.outline.seen", func(f *frame) any { return &f.Part.Outline.Seen }, "which side the outline was drawn from; asked for when it has no mirror line", words("this side", "other side"), otherwise("not said"), sample("this side")),
		list("part.outline.shapes", func(f *frame, n int) { f.Part.Outline.Shapes = make([]Shape, n) },
			func(f *frame, i int, _ string) { f.shape = &f.Part.Outline.Shapes[i] }, "shapes from first to last; `add` joins, `cut` removes", exactlyOne("add", "cut")),
		word("part.outline.shapes[].add", func(f *frame) any { return &f.draft.add }, "a shape that is joined to those before", words(shapeKinds...)),
		word("part.outline.shapes[].cut", func(f *frame) any { return &f.draft.cut }, "a shape that is removed from those before", words(shapeKinds...)),
		quantity("part.outline.shapes[].diameter", length, func(f *frame) any { return &f.shape.DiameterMM }, "diameter of a circle", needs("circle"), sized(0, 1000)),
		quantity("part.outline.shapes[].size", length, func(f *frame) any { return &f.shape.SizeMM }, "size of a rectangle along X and Y", needs("rectangle"), sized(0, 1000)),
		quantity("part.outline.shapes[].corner_radius", length, func(f *frame) any { return &f.shape.CornerRadiusMM }, "radius of a rectangle's corners", belongs("rectangle"), standard("0 mm"), within(0, 500)),
		whole("part.outline.shapes[].sides", func(f *frame) any { return &f.shape.Sides }, "number of a regular polygon's sides", needs("polygon"), within(3, 360)),
		quantity("part.outline.shapes[].across_flats", length, func(f *frame) any { return &f.shape.AcrossFlatsMM }, "a polygon's width: twice from its middle to the middle of a side", needs("polygon"), sized(0, 1000)),
		quantity("part.outline.shapes[].length", length, func(f *frame) any { return &f.shape.LengthMM }, "overall length of a slot, round ends included", needs("slot"), sized(0, 1000)),
		quantity("part.outline.shapes[].width", length, func(f *frame) any { return &f.shape.WidthMM }, "width of a slot", needs("slot"), sized(0, 1000)),
		custom("part.outline.shapes[].points", readPoints, "corners of a polyline in turn: [x, y], or {at: [x, y], bulge: b} where an arc starts (b is the tangent of a quarter of its angle, positive counter-clockwise)", needs("polyline")),
		quantity("part.outline.shapes[].at", length, func(f *frame) any { return &f.shape.AtMM }, "where the shape's middle lies: X, Y", standard("[0, 0]"), within(-1000, 1000)),
		quantity("part.outline.shapes[].turn", angle, func(f *frame) any { return &f.shape.TurnRad }, "counter-clockwise turn about the shape's own middle", standard("0 deg"), within(deg(-360), deg(360))),
		text("part.outline.dxf", func(f *frame) any { return &f.draft.dxf.Path }, "DXF file, beside the job file or by a path from there"),
		text("part.outline.svg", func(f *frame) any { return &f.draft.svg.Path }, "SVG file, beside the job file or by a path from there"),
		text("part.outline.stl", func(f *frame) any { return &f.draft.stl.Path }, "STL file of the part, of which the silhouette of a band is taken"),
		text("part.outline.layer", func(f *frame) any { return &f.draft.layer }, "layer of the drawing that holds the outline", otherwise("every layer that shows"), beside("dxf", "svg")),
		word("part.outline.unit", func(f *frame) any { return &f.draft.unit }, "unit of the drawing's numbers", words("mm", "cm", "m", "inch", "in"), otherwise("as the drawing says"), beside("dxf", "svg", "stl")),
		quantity("part.outline.gap", length, func(f *frame) any { return &f.draft.gap }, "widest gap in a drawing that is closed", within(0, 2), otherwise("0.1 mm"), beside("dxf", "svg")),
		word("part.outline.up", func(f *frame) any { return &f.draft.up }, "which way of the STL file points up in the jaws", words("+z", "-z", "+x", "-x", "+y", "-y"), otherwise("+z"), beside("stl")),
		quantity("part.outline.from", length, func(f *frame) any { return &f.draft.from }, "foot of the band above the part's lowest point", within(0, 500), otherwise("0 mm"), beside("stl")),
		quantity("part.outline.to", length, func(f *frame) any { return &f.draft.to }, "top of the band above the part's lowest point", sized(0, 500), otherwise("the grip"), beside("stl")),
		custom("part.turn", readTurn, "counter-clockwise turn of the part between the jaws, or `auto`: the tool picks it", standard("0 deg")),
	}
}

var shapeKinds = []string{"circle", "rectangle", "polygon", "slot", "polyline"}

func tableKeys() []*key {
	return []*key{
		section("table", nil, "the machine's table: a grid of tapped holes, or T-slots", must, exactlyOne("grid", "slots")),
		section("table.grid", func(f *frame) { f.Table.Grid = &Grid{} }, "tapped holes; columns run along X, rows along Y, both from 1 at the front left"),
		quantity("table.grid.pitch", length, func(f *frame) any { return pitchOf(f) }, "distance from hole to hole, or [x, y]; or measured over several holes: {over, holes}", must, spread, sized(3, 300), sample("25")),
		quantity("table.grid.pitch.over", length, func(f *frame) any { return &f.draft.over }, "distance between the middles of the first and the last hole measured", must, sized(3, 3000)),
		whole("table.grid.pitch.holes", func(f *frame) any { return &f.draft.holes }, "how many holes that spans, both end holes counted", must, within(2, 500)),
		whole("table.grid.columns", func(f *frame) any { return &f.Table.Grid.Columns }, "number of holes along X", must, within(2, 500), sample("12")),
		whole("table.grid.rows", func(f *frame) any { return &f.Table.Grid.Rows }, "number of holes along Y", must, within(2, 500), sample("8")),
		custom("table.grid.thread", readThread(func(f *frame) *string { return &f.Table.Grid.Thread }), "thread of the holes, such as M6, 1/4-20, or #8-32 in quotes", must, sample("M6")),
		yesNo("table.grid.stagger", func(f *frame) any { return &f.Table.Grid.Stagger }, "every second row is shifted by half a pitch", standard("false")),
		quantity("table.grid.first_hole", length, func(f *frame) any { return &f.Table.Grid.FirstHoleMM }, "hole 1, 1 from the table's front left corner: X, Y", within(0, 1000), otherwise("half a pitch")),
		custom("table.grid.blocked", readBlocked, "holes that can't be used: [[column, row], ...]", otherwise("none")),
		quantity("table.grid.thread_depth", length, func(f *frame) any { return &f.Table.Grid.ThreadDepthMM }, "depth of full thread; run a screw in and count its turns", sized(0, 200), otherwise("unknown: 1.5 d in aluminium, 1 d in steel or iron")),
		yesNo("table.grid.through", func(f *frame) any { return &f.Table.Grid.Through }, "the holes are open below", standard("false")),
		section("table.slots", func(f *frame) { f.Table.Slots = &Slots{} }, "T-slots"),
		quantity("table.slots.width", length, func(f *frame) any { return &f.Table.Slots.WidthMM }, "width of the slot's throat", must, sized(2, 60)),
		quantity("table.slots.pitch", length, func(f *frame) any { return &f.Table.Slots.PitchMM }, "distance from slot to slot", must, sized(5, 500)),
		custom("table.slots.direction", readDirection, "the axis along which the slots run", standard("x"), words("x", "y")),
		whole("table.slots.count", func(f *frame) any { return &f.Table.Slots.Count }, "number of slots", standard("3"), within(1, 50)),
		custom("table.slots.thread", readThread(func(f *frame) *string { return &f.Table.Slots.Thread }), "thread of the T-nuts", must),
		word("table.material", func(f *frame) any { return &f.Table.Material }, "what the threads are cut in", standard("aluminium"), words("aluminium", "steel", "cast iron")),
	}
}

func clampKeys() []*key {
	return []*key{
		section("clamp", func(f *frame) { f.Clamp = &Clamp{} }, "what closes the jaws: exactly one of kind, force, pull_test", exactlyOne("kind", "force", "pull_test")),
		word("clamp.kind", func(f *frame) any { return &f.Clamp.Kind }, "kind of clamp; half of its usual rating counts", words(clampKinds...), sample("bar clamp")),
		quantity("clamp.force", force, func(f *frame) any { return &f.Clamp.ForceN }, "force along the closing direction, when it is known", sized(0, 100_000)),
		quantity("clamp.pull_test", force, func(f *frame) any { return &f.Clamp.PullTestN }, "upward pull, by a luggage scale, at which the clamped part creeps", sized(0, 100_000)),
		custom("clamp.screw", readThread(func(f *frame) *string { return &f.Clamp.Screw }), "thread of the screw that pushes, for the kind `screw`", beside("kind")),
		quantity("clamp.torque", torq, func(f *frame) any { return &f.Clamp.TorqueNm }, "torque on that screw", sized(0, 200), beside("kind")),
		word("clamp.reacts_on", func(f *frame) any { return &f.Clamp.ReactsOn }, "what takes the clamp's reaction: the fixed jaw, which a bar spans, or the table", words("jaw", "table"), otherwise("by kind: the jaw for bar, parallel, C and trigger clamps, else the table")),
		yesNo("clamp.springy", func(f *frame) any { return &f.Clamp.Springy }, "a spring follows up as the plastic creeps", standard("false")),
		quantity("clamp.height", length, func(f *frame) any { return &f.Clamp.HeightMM }, "highest point of the clamp above the table", sized(0, 500), otherwise("unknown")),
		section("zero", nil, "where Z zero lies"),
		word("zero.z", func(f *frame) any { return &f.Zero.Z }, "Z zero on the seat, or on the part's top before cutting", standard("seat"), words("seat", "top")),
	}
}

var clampKinds = []string{"bar clamp", "parallel clamp", "C clamp", "trigger clamp", "toggle clamp", "cam clamp", "strap clamp", "screw"}

func machineKeys() []*key {
	return []*key{
		word("machine", func(f *frame) any { return &f.Machine.Kind }, "what the mill is like, or a section", words("rigid", "ordinary", "light gantry"), short("kind"), sample("ordinary")),
		word("machine.kind", func(f *frame) any { return &f.Machine.Kind }, "what the mill is like", standard("ordinary"), words("rigid", "ordinary", "light gantry")),
		quantity("machine.scatter", fine, func(f *frame) any { return &f.Machine.ScatterMM }, "scatter of repeated finishing passes on diameter, one standard deviation", sized(0, 0.2), otherwise("by kind: 3, 5 or 10 um")),
		quantity("machine.spindle", power, func(f *frame) any { return &f.Machine.SpindleW }, "power of the spindle", sized(0, 50_000), otherwise("not said, not checked")),
		quantity("machine.max_speed", speed, func(f *frame) any { return &f.Machine.MaxRPM }, "highest spindle speed", sized(0, 200_000), otherwise("not said, not checked")),
		quantity("machine.resolution", fine, func(f *frame) any { return &f.Machine.ResolutionMM }, "smallest step of the control, per axis", standard("1 um"), sized(0, 0.1)),
		section("calibration", func(f *frame) { f.draft.calibrated = true }, "what a thermometer reading taught about this shop", shopOnly),
		quantity("calibration.share", percent, func(f *frame) any { return bandOf(&f.draft.share) }, "share of cutting power that enters the part: low, likely, high", must, rising, within(0, 1)),
		text("calibration.from", func(f *frame) any { return &f.draft.sharedFrom }, "the cut it was read from", must),
		text("calibration.date", func(f *frame) any { return &f.draft.sharedDate }, "the day it was read"),
	}
}
