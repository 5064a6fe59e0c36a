package job

import (
	"fmt"
	"path/filepath"
	"slices"
	"sort"
	"strings"

	"gopkg.in/yaml.v3"
)

// shape sorts out one entry of the shapes list: which kind it is, and that it
// has the keys of its kind and no others.
func (r *reader) shape(f *frame, n *yaml.Node, path string) {
	d, s := f.draft, f.shape
	switch {
	case r.broken[path+".add"] || r.broken[path+".cut"]:
		return
	case d.add != "" && d.cut != "":
		r.fault(f, n, path, "this shape is both added and cut", "keep `add` or `cut`")
		return
	case d.add == "" && d.cut == "":
		r.fault(f, n, path, "this shape says neither `add` nor `cut`", "write {add: circle, ...} or {cut: circle, ...}; shapes are "+listOr(shapeKinds))
		return
	}
	s.Kind, s.Cut = d.add+d.cut, d.cut != ""
	for _, k := range root.child("part").child("outline").child("shapes").children {
		if k.only == nil {
			continue
		}
		given, mine := child(n, k.name) != nil, slices.Contains(k.only, s.Kind)
		switch {
		case given && !mine:
			r.faultAt(path+"."+k.name, fmt.Sprintf("a %s has no %s", s.Kind, k.label()), fmt.Sprintf("%s belongs to a %s", k.name, listOr(k.only)))
		case !given && mine && k.needed:
			r.fault(f, n, path, fmt.Sprintf("this %s has no %s", s.Kind, k.label()), fmt.Sprintf("add %s: %s", k.name, k.says))
		}
	}
	if s.Kind == "slot" && r.unbroken(path+".length", path+".width") && s.LengthMM > 0 && s.WidthMM > 0 && !(s.LengthMM >= s.WidthMM) {
		r.faultAt(path+".length", fmt.Sprintf("slot length is %s, must be at least its width (%s)", r.length(s.LengthMM), r.length(s.WidthMM)), "the length is overall, round ends included")
	}
	if s.Kind == "rectangle" && !(2*s.CornerRadiusMM <= min(s.SizeMM[0], s.SizeMM[1])) && r.unbroken(path+".size", path+".corner_radius") {
		r.faultAt(path+".corner_radius", fmt.Sprintf("corner radius is %s, must be at most half the smaller side (%s)", r.length(s.CornerRadiusMM), r.length(min(s.SizeMM[0], s.SizeMM[1])/2)), "")
	}
}

func (r *reader) length(mm float64) string { return Units{r.job.Inch}.Length(mm) }

// settle fills in what depends on several keys. It takes broken values as they
// are: nothing comes of a job with an error.
func (r *reader) settle(f *frame) {
	j, d := r.job, f.draft
	if g := j.Table.Grid; g != nil {
		if d.holes > 1 {
			g.PitchXMM = d.over / float64(d.holes-1)
			g.PitchYMM = g.PitchXMM
		}
		if !r.given("table.grid.first_hole") {
			g.FirstHoleMM = [2]float64{g.PitchXMM / 2, g.PitchYMM / 2}
		}
	}
	if c := j.Clamp; c != nil && c.ReactsOn == "" {
		c.ReactsOn = "table"
		switch c.Kind {
		case "bar clamp", "parallel clamp", "C clamp", "trigger clamp":
			c.ReactsOn = "jaw"
		}
	}
	if j.Jaws.SeatHeightMM == 0 && j.Jaws.Seat != "table" && !r.given("jaws.seat_height") {
		j.Jaws.SeatHeightMM = standardSeatMM
	}
	if c := j.Cut; c != nil {
		if c.FilmWM2K > 0 {
			c.Cooling = "own"
		}
		if d.calibrated && c.Share == nil {
			c.Share = &Band{d.share[0], d.share[1], d.share[2]}
			c.ShareFrom = strings.TrimSuffix("calibration: "+d.sharedFrom+", "+d.sharedDate, ", ")
		}
		for i := range c.Operations {
			if op := &c.Operations[i]; op.Name == "" {
				op.Name = strings.TrimSpace(fmt.Sprintf("%s %d", op.Kind, i+1))
			}
		}
	}
	if j.Fit != nil && j.Fit.GapMM != nil {
		j.Fit.GapMM.Likely = (j.Fit.GapMM.Low + j.Fit.GapMM.High) / 2
	}
	r.drawing(d)
}

// Seat height for parallels, a plate or a printed seat, when not said: common
// practice, no source.
const standardSeatMM = 10

var unitMM = map[string]float64{"mm": 1, "cm": 10, "m": 1000, "inch": 25.4, "in": 25.4}

// drawing puts together what the outline section says about a file.
func (r *reader) drawing(d *draft) {
	o, path := &r.job.Part.Outline, "part.outline."
	gap := d.gap
	if !r.given(path + "gap") {
		gap = 0.1
	}
	of := func(file string) *DrawingFile {
		return &DrawingFile{Path: file, Layer: d.layer, UnitMM: unitMM[d.unit], GapMM: gap}
	}
	if d.dxf.Path != "" {
		o.DXF = of(d.dxf.Path)
	}
	if d.svg.Path != "" {
		o.SVG = of(d.svg.Path)
	}
	if d.stl.Path != "" {
		o.STL = &STLFile{Path: d.stl.Path, Up: d.up, FromMM: d.from, ToMM: d.to, UnitMM: unitMM[d.unit]}
		if o.STL.Up == "" {
			o.STL.Up = "+z"
		}
		if o.STL.ToMM == 0 {
			o.STL.ToMM = r.job.Jaws.GripMM
		}
	}
}

// check looks for faults that lie between keys.
func (r *reader) check(f *frame) {
	r.checkOutline()
	r.checkTable()
	r.checkHeights()
	r.checkClamp()
	r.checkCut()
	r.checkFit()
}

// oneOf demands exactly one of some keys of a section, as its row says.
func (r *reader) oneOf(section string) (one string) {
	var given []string
	names := root.find(section).exactly
	for _, n := range names {
		if r.given(join(section, n)) || r.broken[join(section, n)] {
			given = append(given, n)
		}
	}
	sort.SliceStable(given, func(i, k int) bool {
		a, b := r.job.places[join(section, given[i])], r.job.places[join(section, given[k])]
		return a.Line < b.Line || a.Line == b.Line && a.Column < b.Column
	})
	switch len(given) {
	case 1:
		return given[0]
	case 0:
		if r.given(section) {
			r.faultAt(section, fmt.Sprintf("%s has none of %s", section, listAnd(names)), "give exactly one of them")
		}
	default:
		bad := r.faultAt(join(section, given[1]), fmt.Sprintf("%s has %s, and takes exactly one of %s", section, listAnd(given), listAnd(names)), "keep one")
		if at, ok := r.job.At(join(section, given[0])); ok {
			bad.Note = fmt.Sprintf("%s stands at %s", given[0], at)
		}
	}
	return ""
}

func (r *reader) checkOutline() {
	const o = "part.outline"
	source := r.oneOf(o)
	if source == "" {
		return
	}
	for _, k := range root.find(o).children {
		if path := join(o, k.name); k.beside != nil && r.given(path) && !slices.Contains(k.beside, source) {
			r.faultAt(path, fmt.Sprintf("%s belongs to an outline from %s, and this one is from %s", k.name, listOr(k.beside), source), "leave it out")
		}
	}
	if s := r.job.Part.Outline.STL; s != nil && r.unbroken(join(o, "from"), join(o, "to"), "jaws.grip") && !(s.ToMM > s.FromMM) {
		where := join(o, "to")
		bad := r.faultAt(where, fmt.Sprintf("the band ends at %s, must end above its foot (%s)", r.length(s.ToMM), r.length(s.FromMM)), "")
		bad.Note = r.job.NoteAt("the foot", join(o, "from"))
	}
	if path := r.outlinePath(); filepath.IsAbs(path) || strings.HasPrefix(path, "~") {
		r.caution(join(o, source), fmt.Sprintf("%s is a path of this machine", path), "put the file beside the job file and give its name alone, so that the two stay together")
	}
}

func (r *reader) outlinePath() string {
	o := r.job.Part.Outline
	switch {
	case o.DXF != nil:
		return o.DXF.Path
	case o.SVG != nil:
		return o.SVG.Path
	case o.STL != nil:
		return o.STL.Path
	}
	return ""
}

func (r *reader) checkTable() {
	kind := r.oneOf("table")
	g := r.job.Table.Grid
	if kind != "grid" || g == nil {
		return
	}
	for i, hole := range g.Blocked {
		if hole[0] > g.Columns || hole[1] > g.Rows {
			if r.unbroken("table.grid.columns", "table.grid.rows", "table.grid.blocked") {
				r.faultAt(fmt.Sprintf("table.grid.blocked[%d]", i+1), fmt.Sprintf("blocked hole is column %d, row %d, and the table has %d columns and %d rows", hole[0], hole[1], g.Columns, g.Rows), "")
			}
		}
	}
	if r.unbroken("table.grid.pitch", "table.grid.thread") && g.Thread != "" {
		r.nearPitch(g)
	}
}

// nearPitch warns of a pitch that is close to one of the other system while
// the thread is of that other system.
func (r *reader) nearPitch(g *Grid) {
	metric := strings.HasPrefix(g.Thread, "M")
	pairs := []struct{ mm, inch float64 }{{12.5, 12.7}, {25, 25.4}, {38, 38.1}, {50, 50.8}, {75, 76.2}, {100, 101.6}}
	for _, p := range pairs {
		is, other := p.inch, p.mm
		if !metric {
			is, other = p.mm, p.inch
		}
		if g.PitchXMM == is {
			bad := r.caution("table.grid.pitch", fmt.Sprintf("pitch is %s, and a table with %s holes more often has %s", both(is), g.Thread, both(other)),
				"measure over several holes and write pitch: {over: .., holes: ..}")
			bad.Note = r.job.NoteAt("the thread", "table.grid.thread")
		}
	}
}

func both(mm float64) string { return fixed(mm, 3) + " mm (" + fixed(mm/25.4, 3) + " in)" }

func (r *reader) checkHeights() {
	j := r.job
	if r.unbroken("jaws.grip", "part.height") && j.Jaws.GripMM > 0 && j.Part.HeightMM > 0 && !(j.Jaws.GripMM <= j.Part.HeightMM) {
		bad := r.faultAt("jaws.grip", fmt.Sprintf("grip is %s, must be at most the part's height (%s)", r.length(j.Jaws.GripMM), r.length(j.Part.HeightMM)), "")
		bad.Note = j.NoteAt("the height", "part.height")
	}
	if r.unbroken("jaws.grip", "jaws.lead_in", "jaws.chip_groove") && j.Jaws.GripMM > 0 && !(j.Jaws.GripMM > j.Jaws.LeadInMM+j.Jaws.ChipGrooveMM) {
		r.faultAt("jaws.grip", fmt.Sprintf("grip is %s, must be more than lead-in and chip groove together (%s)", r.length(j.Jaws.GripMM), r.length(j.Jaws.LeadInMM+j.Jaws.ChipGrooveMM)), "")
	}
	if own := j.Jaws.OwnPolymer; r.polymer() == "own" && own != nil {
		j.Jaws.Polymer = own.Name
	}
	if j.Jaws.Seat == "table" && j.Jaws.SeatHeightMM > 0 && r.given("jaws.seat_height") {
		r.faultAt("jaws.seat_height", fmt.Sprintf("seat height is %s, and a seat on the table has none", r.length(j.Jaws.SeatHeightMM)), "leave it out, or say seat: parallels or plate")
	}
	if r.given("jaws.seat_kind") && j.Jaws.Seat != "print" && r.unbroken("jaws.seat") {
		r.faultAt("jaws.seat_kind", fmt.Sprintf("seat kind is for a printed seat, and the seat is %s", j.Jaws.Seat), "leave it out, or say seat: print")
	}
}

func (r *reader) polymer() string {
	if !r.given("jaws") {
		return ""
	}
	return r.oneOf("jaws")
}

func (r *reader) checkClamp() {
	c := r.job.Clamp
	if c == nil {
		return
	}
	kind := r.oneOf("clamp")
	screw := kind == "kind" && c.Kind == "screw"
	for _, k := range []string{"screw", "torque"} {
		path := "clamp." + k
		switch {
		case screw && !r.given(path):
			r.faultAt("clamp.kind", fmt.Sprintf("a screw's force needs its %s", k), "write {kind: screw, screw: M6, torque: 2 Nm}")
		case !screw && kind != "" && r.given(path) && r.unbroken("clamp.kind"):
			r.faultAt(path, fmt.Sprintf("%s is for the kind `screw`", k), "leave it out")
		}
	}
}

func (r *reader) checkFit() {
	fit := r.job.Fit
	if fit == nil {
		return
	}
	if !r.given("fit.insert.diameter") && !r.given("fit.insert.designation") && r.given("fit.insert") {
		r.faultAt("fit.insert", "the insert has neither diameter nor designation", "add diameter: 10 ±0.05, as measured or as its seller says")
	}
	r.checkBore(fit)
	if fit.By != "bond" && r.given("fit.gap") && r.unbroken("fit.by") {
		r.faultAt("fit.gap", "a gap for the adhesive is for `by: bond`", "leave it out")
	}
	if in := fit.Insert; r.unbroken("fit.insert.diameter", "fit.insert.inner_diameter") && in.DiameterMM > 0 && !(in.InnerDiameterMM < in.DiameterMM) {
		r.faultAt("fit.insert.inner_diameter", fmt.Sprintf("inner diameter is %s, must be less than the diameter (%s)", r.length(in.InnerDiameterMM), r.length(in.DiameterMM)), "")
	}
}

func (r *reader) checkBore(fit *Fit) {
	b, height := fit.Bore, r.job.Part.HeightMM
	switch {
	case !r.given("fit.bore") || r.broken["fit.bore.depth"] || r.broken["fit.bore.through"]:
	case !r.given("fit.bore.depth") && !b.Through:
		r.faultAt("fit.bore", "the bore has no depth and doesn't go through", "add depth: 3.1, or through: true")
	case r.unbroken("part.height") && height > 0 && b.DepthMM > height:
		bad := r.faultAt("fit.bore.depth", fmt.Sprintf("bore depth %s is more than the part is thick (%s)", r.length(b.DepthMM), r.length(height)),
			"say through: true for a bore that goes through")
		bad.Note = r.job.NoteAt("the thickness", "part.height")
	}
	if d := fit.Insert.DiameterMM; r.unbroken("fit.bore.start", "fit.insert.diameter") && r.given("fit.bore.start") && d > 0 && !(b.StartMM > 0 && b.StartMM <= d) {
		bad := r.faultAt("fit.bore.start", fmt.Sprintf("start is %s, must be more than 0 and at most the insert's diameter (%s)", r.length(b.StartMM), r.length(d)), "")
		bad.Note = r.job.NoteAt("the diameter", "fit.insert.diameter")
	}
	r.knownTool("fit.bore.tool", b.Tool)
	if b.Program && b.Tool == "" && r.unbroken("fit.bore.tool", "fit.bore.program") {
		r.faultAt("fit.bore.program", "a program needs the bore's tool", "add tool: with the name of one under tools")
	}
}

// knownTool demands that a tool named somewhere is defined.
func (r *reader) knownTool(path, name string) {
	if name == "" || r.broken[path] || r.broken["tools"] || r.given("tools."+name) {
		return
	}
	var names []string
	for _, t := range r.job.Tools {
		names = append(names, t.Name)
	}
	bad := r.faultAt(path, fmt.Sprintf("tool %q is not under tools", name), "add it to tools, with its diameter and flutes")
	if near := nearest(name, names); near != "" {
		bad.Help = fmt.Sprintf("did you mean %q?", near)
	}
	if len(names) > 0 {
		bad.Note = "the tools are " + strings.Join(names, ", ")
	}
}
