package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
)

// A randomJob writes job files such as a shop might: any shape, table, polymer,
// seat, option, insert and cut, in mm or inches, most of them sensible and
// some not.
type randomJob struct {
	*rand.Rand
	inch bool
	b    strings.Builder
	size float64 // of the part, mm across
	// heightMM and cutterMM are what later sections refer to.
	heightMM, cutterMM float64
}

func newRandomJob(seed uint64) string {
	g := &randomJob{Rand: rand.New(rand.NewPCG(seed, 16))}
	g.inch = g.IntN(3) == 0
	g.line("secondop: 1")
	g.line("name: %s", pick(g, "bracket", "lens ring 4", "Ärmel — links", "a rather long name that no jaw has room for"))
	g.line("units: %s", map[bool]string{true: "in", false: "mm"}[g.inch])
	g.part()
	g.table()
	g.jaws()
	if g.IntN(4) == 0 {
		g.gentle()
		return g.b.String()
	}
	if g.often() {
		g.clamp()
	}
	g.tools()
	if g.often() {
		g.cut()
	}
	if g.often() {
		g.fit()
	}
	if g.sometimes() {
		g.line("machine: %s", pick(g, "rigid", "ordinary", "light gantry"))
	} else if g.sometimes() {
		g.line("machine: {scatter: %.0f um, spindle: %.0f W, max_speed: %d rpm, resolution: %g um}",
			g.between(2, 20), g.between(80, 2200), 6000+1000*g.IntN(24), pick(g, 1.0, 2.5, 10))
	}
	if g.sometimes() {
		g.line("zero: {z: %s}", pick(g, "seat", "top"))
	}
	return g.b.String()
}

func pick[T any](g *randomJob, of ...T) T { return of[g.IntN(len(of))] }

func (g *randomJob) line(format string, args ...any) { fmt.Fprintf(&g.b, format+"\n", args...) }

// between favours the lower end, as shops do.
func (g *randomJob) between(lo, hi float64) float64 { return lo + (hi-lo)*g.Float64()*g.Float64() }
func (g *randomJob) often() bool                    { return g.IntN(5) > 0 }
func (g *randomJob) sometimes() bool                { return g.IntN(4) == 0 }

// mm is a length as the job's units write it: bare, or with a unit of its own.
func (g *randomJob) mm(mm float64) string {
	bare, unit, places := mm, "mm", 3
	if g.inch {
		bare = mm / 25.4
	}
	if g.IntN(6) == 0 {
		return strconv.FormatFloat(mm, 'f', places, 64) + " " + unit
	}
	if g.inch {
		places = 5
	}
	return strconv.FormatFloat(bare, 'f', places, 64)
}

// exactly writes a length without rounding, for pitches in the other system.
func (g *randomJob) exactly(mm float64) string {
	return strconv.FormatFloat(mm, 'f', -1, 64) + " mm"
}

func (g *randomJob) pair(x, y float64) string { return "[" + g.mm(x) + ", " + g.mm(y) + "]" }

func (g *randomJob) part() {
	g.size = 12 + 80*g.Float64()*g.Float64()
	g.heightMM = g.between(8, 50)
	g.line("part:")
	g.line("  material: %s", pick(g, "aluminium 6061-T6", "aluminium 7075-T6", "aluminium 2024-T3", "aluminium casting AlSi10",
		"brass C360", "copper ETP", "steel 1018", "stainless 304", "titanium Ti-6Al-4V", "acetal copolymer"))
	g.line("  height: %s", g.mm(g.heightMM))
	switch g.IntN(4) {
	case 0:
		g.line("  turn: auto")
	case 1:
		g.line("  turn: %.1f deg", 360*g.Float64()-180)
	}
	if g.sometimes() {
		g.line("  edge_break: %s", g.mm(g.between(0, 1)))
	}
	g.line("  outline:")
	if g.often() {
		g.line("    seen: %s", pick(g, "this side", "other side"))
	}
	g.line("    shapes:")
	at := [2]float64{0.03 * g.size * g.NormFloat64(), 0.03 * g.size * g.NormFloat64()}
	g.line("      - {add: %s, at: %s}", g.shape(g.size), g.pair(at[0], at[1]))
	for range g.IntN(4) {
		a, r := 2*math.Pi*g.Float64(), g.size*(0.4+0.2*g.Float64())
		g.line("      - {%s: %s, at: %s}", pick(g, "add", "cut"), g.shape(g.size*(0.15+0.3*g.Float64())),
			g.pair(at[0]+r*math.Cos(a), at[1]+r*math.Sin(a)))
	}
}

func (g *randomJob) shape(size float64) string {
	turn := ""
	if g.IntN(2) == 0 {
		turn = fmt.Sprintf(", turn: %.0f deg", 360*g.Float64())
	}
	switch g.IntN(6) {
	case 0:
		return "circle, diameter: " + g.mm(size)
	case 1:
		h := size * (0.4 + 0.6*g.Float64())
		r := ""
		if g.IntN(2) == 0 {
			r = ", corner_radius: " + g.mm(h*0.45*g.Float64())
		}
		return "rectangle, size: " + g.pair(size, h) + r + turn
	case 2:
		return fmt.Sprintf("polygon, sides: %d, across_flats: %s%s", 3+g.IntN(7), g.mm(size*0.9), turn)
	case 3:
		return "slot, length: " + g.mm(size) + ", width: " + g.mm(size*(0.3+0.6*g.Float64())) + turn
	}
	n := 4 + g.IntN(14)
	var points []string
	for k := range n {
		r := size / 2 * (0.6 + 0.4*g.Float64())
		a := 2 * math.Pi * (float64(k) + 0.6*g.Float64()) / float64(n)
		p := g.pair(r*math.Cos(a), r*math.Sin(a))
		if g.IntN(3) == 0 {
			p = fmt.Sprintf("{at: %s, bulge: %.3f}", p, 0.4*(g.Float64()-0.3))
		}
		points = append(points, p)
	}
	return "polyline, points: [" + strings.Join(points, ", ") + "]" + turn
}

func (g *randomJob) table() {
	g.line("table:")
	if g.IntN(4) == 0 {
		k := pick(g, struct{ width, pitch, thread string }{"12 mm", "50 mm", "M10"}, struct{ width, pitch, thread string }{"10 mm", "40 mm", "M8"},
			struct{ width, pitch, thread string }{"9/16 in", "2 in", "1/2-13"})
		g.line("  slots: {width: %s, pitch: %s, thread: %s, direction: %s, count: %d}", k.width, k.pitch, k.thread, pick(g, "x", "y"), 3+g.IntN(6))
	} else {
		k := pick(g, struct {
			x, y   float64
			n      int
			thread string
			depth  float64
		}{25, 25, 13, "M6", 15}, struct {
			x, y   float64
			n      int
			thread string
			depth  float64
		}{38.1, 38.1, 9, "1/4-20", 15}, struct {
			x, y   float64
			n      int
			thread string
			depth  float64
		}{50, 50, 9, "M8", 16}, struct {
			x, y   float64
			n      int
			thread string
			depth  float64
		}{25.4, 50.8, 11, "1/4-20", 12.7}, struct {
			x, y   float64
			n      int
			thread string
			depth  float64
		}{20, 20, 16, "M5", 10}, struct {
			x, y   float64
			n      int
			thread string
			depth  float64
		}{30, 25, 12, `"#10-24"`, 14})
		extra := ""
		if g.IntN(2) == 0 {
			extra += ", thread_depth: " + g.exactly(k.depth)
		}
		if g.sometimes() {
			extra += ", stagger: true"
		}
		if g.sometimes() {
			extra += fmt.Sprintf(", blocked: [[%d, %d], [%d, %d]]", 1+g.IntN(k.n), 1+g.IntN(k.n), 1+g.IntN(k.n), 1+g.IntN(k.n))
		}
		g.line("  grid: {pitch: [%s, %s], columns: %d, rows: %d, thread: %s%s}", g.exactly(k.x), g.exactly(k.y), k.n, k.n, k.thread, extra)
	}
	if g.sometimes() {
		g.line("  material: %s", pick(g, "aluminium", "steel", "cast iron"))
	}
}

func (g *randomJob) jaws() {
	g.line("jaws:")
	if g.IntN(10) == 0 {
		g.line("  own: {name: mine, deflection_temperature_045: %.0f C, deflection_temperature_180: %.0f C}", g.between(70, 160), g.between(50, 69))
	} else {
		g.line("  polymer: %s", pick(g, "PLA", "PLA", "PETG", "PETG", "ABS", "ASA", "PA12-CF15", "PC", "PEI", "resin"))
	}
	g.line("  printer: {outside: %s, inside: %s}", g.mm(g.between(0, 0.1)), g.mm(g.between(0, 0.15)))
	grip := g.heightMM * (0.3 + 0.5*g.Float64())
	g.line("  grip: %s", g.mm(grip))
	seat := pick(g, "table", "parallels", "parallels", "plate", "print")
	g.line("  seat: %s", seat)
	if seat != "table" {
		g.line("  seat_height: %s", g.mm(g.between(4, 20)))
	}
	if seat == "print" {
		g.line("  seat_kind: %s", pick(g, "ledge", "floor"))
	}
	g.line("  clearance: {fixed: %s, moving: %s}", g.mm(g.between(0, 0.15)), g.mm(g.between(0, 0.25)))
	option := func(format string, args ...any) {
		if g.sometimes() {
			g.line("  "+format, args...)
		}
	}
	option("gap: %s", g.mm(g.between(1, 4)))
	option("lead_in: %s", g.mm(g.between(0, 1.5)))
	option("chip_groove: %s", g.mm(g.between(0, 1.5)))
	option("corner_relief: %s", g.mm(g.between(0, 1.2)))
	option("bed_chamfer: %s", g.mm(g.between(0, 0.8)))
	option("finish: cut in place")
	option("nests: %d", 1+g.IntN(3))
	option("marks: %s", pick(g, "none", "raised"))
	option("one_way: notch")
	if grip > 14 {
		option("openings: %d", 1+g.IntN(3))
	}
	option("press_nest: {hole: %s}", g.mm(g.between(0, 8)))
	option("spacer_tubes: true")
	option("fixed: {bolts: %d}", 2+g.IntN(3))
	switch g.IntN(3) {
	case 0:
		g.line("  moving: {by: bolts}")
	case 1:
		g.line("  moving: {by: clamp, travel: %s, tongue: %t}", g.mm(g.between(3, 10)), g.IntN(2) == 0)
	}
}

func (g *randomJob) clamp() {
	switch g.IntN(4) {
	case 0:
		g.line("clamp: {kind: %s}", pick(g, "bar clamp", "parallel clamp", "C clamp", "toggle clamp", "cam clamp", "strap clamp"))
	case 1:
		g.line("clamp: {kind: screw, screw: M6, torque: %.1f Nm}", g.between(0.3, 3))
	case 2:
		g.line("clamp: {force: %.0f N, reacts_on: %s}", g.between(200, 2500), pick(g, "jaw", "table"))
	case 3:
		g.line("clamp: {pull_test: %.0f lbf}", g.between(10, 150))
	}
}

func (g *randomJob) tools() {
	g.cutterMM = pick(g, 3.0, 4, 6, 6.35, 8, 10)
	hand := ""
	if g.sometimes() {
		hand = ", helix_hand: " + pick(g, "down", "straight")
	}
	g.line("tools:")
	g.line("  cutter: {diameter: %s, flutes: %d, material: %s, stickout: %s, flute_length: %s%s}", g.exactly(g.cutterMM), 1+g.IntN(4),
		pick(g, "carbide", "HSS"), g.mm(g.cutterMM*4), g.mm(g.cutterMM*2.5), hand)
	g.line("  drill: {diameter: 5 mm, flutes: 2, material: HSS, flute_length: 50 mm, stickout: 60 mm}")
}

func (g *randomJob) cut() {
	g.line("cut:")
	g.line("  ambient: %.0f C", 15+20*g.Float64())
	g.line("  cooling: %s", pick(g, "none", "air blast", "brushed lubricant", "mist", "flood", "{film: 40 W/m2K}"))
	if g.sometimes() {
		g.line("  batch: %d", 1+g.IntN(6))
	}
	if g.sometimes() {
		g.line("  cabinet: true")
	}
	g.line("  operations:")
	n := 1 + g.IntN(4)
	for k := range n {
		kind := pick(g, "face", "face", "pocket", "contour", "slot", "drill", "bore", "engrave", "heat")
		rpm := 4000 + 1000*g.IntN(16)
		depth := g.between(0.1, 2)
		to := math.Min(depth*float64(1+g.IntN(5)), g.heightMM*0.4)
		switch kind {
		case "heat":
			g.line("    - {name: known %d, %s: %.0f W, lasts: %.0f s}", k, pick(g, "heat", "power"), g.between(2, 120), g.between(5, 900))
		case "drill":
			g.line("    - {kind: drill, tool: drill, speed: %d rpm, feed: %.0f mm/min, to: %s}", 1000+100*g.IntN(30), g.between(60, 400), g.mm(math.Min(6, g.heightMM*0.5)))
		default:
			removes := ""
			if kind != "face" {
				removes = fmt.Sprintf(", removes: %.0f mm3", 0.2*g.size*g.size*to*g.between(0.1, 1))
			}
			width := g.mm(g.cutterMM * (0.1 + 0.8*g.Float64()))
			if g.sometimes() {
				width = fmt.Sprintf("%d %%", 5+g.IntN(90))
			}
			g.line("    - {kind: %s, tool: cutter, speed: %d rpm, feed: %.0f mm/min, depth: %s, width: %s, to: %s%s, conventional: %t}",
				kind, rpm, float64(rpm)*g.between(0.02, 0.2), g.mm(math.Min(depth, to)), width, g.mm(to), removes, g.sometimes())
		}
	}
}

// gentle is a cut that any sound grip carries.
func (g *randomJob) gentle() {
	g.line("clamp: {force: %.0f N, reacts_on: jaw}", 500+500*g.Float64())
	g.tools()
	g.line("cut:")
	g.line("  ambient: %.0f C", 16+8*g.Float64())
	g.line("  cooling: air blast")
	g.line("  operations:")
	g.line("    - {kind: face, tool: cutter, speed: 12000 rpm, feed: %.0f mm/min, depth: 0.1 mm, width: 10 %%, to: 0.1 mm}", g.between(300, 500))
}

func (g *randomJob) fit() {
	d := math.Min(g.between(3, 20), g.size/5)
	h := g.between(2, 12)
	g.line("fit:")
	insert := "kind: " + pick(g, "disc magnet", "dowel", "dowel", "bushing", "drill bushing", "ball bearing", "threaded insert", "own, material: hardened steel")
	switch {
	case strings.Contains(insert, "bearing"):
		d, h = 22, 7
		insert += ", designation: 608"
	case strings.Contains(insert, "threaded"):
		d, h = 6.35, 8
		insert += ", designation: M4, pilot: " + g.mm(5.6)
	}
	if strings.Contains(insert, "bushing") {
		insert += ", inner_diameter: " + g.mm(d*0.6)
	}
	diameter := g.exactly(math.Round(d*1000) / 1000)
	if g.often() || strings.Contains(insert, "own") {
		diameter += pick(g, " +-0.004 mm", " +0.010/-0.000 mm", " +-0.03 mm", " +0.000/-0.012 mm")
	}
	g.line("  insert: {%s, diameter: %s, height: %s, measured: %t}", insert, diameter, g.mm(h), g.IntN(2) == 0)
	g.line("  by: %s", pick(g, "press", "press", "bond", "H7/p6", "N7", "H7/g6", "FN2", "M9"))
	if g.IntN(2) == 0 {
		g.line("  must_hold: %.0f N", g.between(5, 800))
	}
	where := "[0, 0]"
	if g.sometimes() {
		where = g.pair(g.size*0.08*g.NormFloat64(), g.size*0.08*g.NormFloat64())
	}
	deep := "depth: " + g.mm(h+0.1+g.between(0, 2))
	if g.sometimes() {
		deep = "through: true"
	}
	g.line("  bore: {at: %s, %s, cut_by: %s, tool: cutter, start: %s under, cleared: %s, program: %t, vent: %s, dial_on: %s}",
		where, deep, pick(g, "helix", "helix", "ream", "boring head"), g.mm(g.between(0.05, 0.4)), g.mm(d*0.7), g.IntN(2) == 0,
		g.mm(pick(g, 0, 1.5)), pick(g, "diameter", "radius"))
	g.line("  gauge: %s", pick(g, "insert", "plug", "pin gauges", "bore gauge", "three-point micrometer", "small-hole gauge", "telescoping gauge", "caliper"))
	if g.sometimes() {
		g.line("  service: [%.0f C, %.0f C]", -20+20*g.Float64(), 30+60*g.Float64())
	}
	if g.sometimes() {
		g.line("  step: %.1f thou", g.between(0.2, 3))
	}
}
