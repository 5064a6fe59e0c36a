package bore

import (
	"bytes"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func goodProgram() ProgramRequest {
	control, _ := ControlByName("plain")
	return ProgramRequest{
		Part: "cabinet knob, back side", Tool: "6 mm end mill", Control: control, WorkOffset: "G54",
		Passes: []Planned{{1, 9.966, 9.936}}, ClearedMM: 9.7,
		ToolMM: 6, FluteMM: 15, StickoutMM: 20, CentreCutting: true,
		XMM: 3.5, YMM: -2.25, MouthZMM: 19.6, DepthMM: 3.1, ClearZMM: 45, ParkXMM: 3.5, ParkYMM: -60,
		SpindleRPM: 10000, WallFeedMMMin: 300, PlungeMMMin: 120, PitchMM: 0.8, Turns: 2,
	}
}

// stock is the metal in front of the interpreter's cutter: a height for each
// cell of a plan, with the part's top at the mouth and a hole already there.
type stock struct {
	cell   float64
	n      int
	centre [2]float64
	height []float64
}

func newStock(r ProgramRequest) *stock {
	span := r.Passes[len(r.Passes)-1].CommandMM + 3
	k := &stock{cell: span / 60, centre: [2]float64{r.XMM, r.YMM}}
	k.n = int(span/k.cell) | 1
	k.height = make([]float64, k.n*k.n)
	for i := range k.height {
		k.height[i] = r.MouthZMM
		if x, y := k.at(i); math.Hypot(x-r.XMM, y-r.YMM) < r.ClearedMM/2 {
			k.height[i] = r.MouthZMM - 100
		}
	}
	return k
}

func (k *stock) at(i int) (x, y float64) {
	half := float64(k.n-1) / 2
	return k.centre[0] + (float64(i%k.n)-half)*k.cell, k.centre[1] + (float64(i/k.n)-half)*k.cell
}

// pose puts the cutter somewhere. It tells how much metal it meets there: the
// deepest bite, and whether any of it stands nearer to the bore's centre than
// within.
func (k *stock) pose(x, y, z, toolMM, within float64) (bite float64, core bool) {
	for i, h := range k.height {
		if h <= z+1e-9 {
			continue
		}
		cx, cy := k.at(i)
		if math.Hypot(cx-x, cy-y) > toolMM/2-k.cell {
			continue
		}
		bite = math.Max(bite, h-z)
		if math.Hypot(cx-k.centre[0], cy-k.centre[1]) < within {
			core = true
		}
		k.height[i] = z
	}
	return bite, core
}

type xyz struct{ x, y, z float64 }

// run interprets a program as a control would and fails the test if it does
// anything that it must not. It returns the poses of the tool's tip in mm.
func run(t require.TestingT, r ProgramRequest, text string, parked xyz) []xyz {
	m := &mill{r: r, at: parked, scale: 1, modal: -1, spindle: true, stock: newStock(r)}
	for i, l := range strings.Split(strings.TrimSpace(text), "\n") {
		require.LessOrEqualf(t, len(l), 70, "line %d is longer than a control's buffer", i+1)
		require.NoErrorf(t, m.step(l), "line %d: %s", i+1, l)
	}
	require.True(t, m.ended, "the program must end")
	require.False(t, m.spindle, "the program must end with the spindle off")
	return m.path
}

type mill struct {
	r            ProgramRequest
	stock        *stock
	at           xyz
	scale        float64
	modal        int
	feed         float64
	spindle      bool
	units, plane bool
	absolute     bool
	offset       bool
	ended        bool
	path         []xyz
	stops        int
	spun         bool // since the last stop
}

var word = regexp.MustCompile(`([A-Z])(-?[0-9.]+)`)

func (m *mill) step(l string) error {
	if m.ended {
		return fmt.Errorf("a line after the end")
	}
	if strings.HasPrefix(l, "(") {
		if strings.Count(l, "(") != 1 || !strings.HasSuffix(l, ")") || strings.Count(l, ")") != 1 {
			return fmt.Errorf("comment is not one comment")
		}
		return nil
	}
	if rest := strings.TrimSpace(word.ReplaceAllString(l, "")); rest != "" {
		return fmt.Errorf("what is %q", rest)
	}
	axes := map[string]float64{}
	motion := -1
	for _, w := range word.FindAllStringSubmatch(l, -1) {
		v, err := strconv.ParseFloat(w[2], 64)
		if err != nil {
			return err
		}
		switch w[1] {
		case "G":
			motionOf, err := m.gee(w[2])
			if err != nil {
				return err
			}
			if motionOf >= 0 {
				motion = motionOf
			}
		case "M":
			if err := m.em(w[2]); err != nil {
				return err
			}
		case "F":
			m.feed = v * m.scale
		case "S", "H", "P":
		default:
			axes[w[1]] = v * m.scale
		}
	}
	if len(axes) == 0 {
		return nil
	}
	if motion < 0 {
		return fmt.Errorf("a move that relies on the line before")
	}
	return m.move(motion, axes)
}

func (m *mill) gee(code string) (motion int, err error) {
	switch code {
	case "0":
		return 0, nil
	case "1":
		return 1, nil
	case "3":
		return 3, nil
	case "4", "43", "40", "94", "61", "91.1":
	case "17":
		m.plane = true
	case "20", "70":
		m.units, m.scale = true, 25.4
	case "21", "71":
		m.units, m.scale = true, 1
	case "90":
		m.absolute = true
	case "54", "55", "56", "57", "58", "59":
		m.offset = true
	default:
		return -1, fmt.Errorf("G%s must not be used", code)
	}
	return -1, nil
}

func (m *mill) em(code string) error {
	switch code {
	case "3":
		m.spindle, m.spun = true, true
	case "5":
		m.spindle = false
	case "9":
	case "0":
		m.stops++
		away := math.Hypot(m.at.x-m.r.XMM, m.at.y-m.r.YMM)
		if m.spindle {
			return fmt.Errorf("waits with the spindle on")
		}
		if away < m.r.Passes[len(m.r.Passes)-1].CommandMM/2+m.r.ToolMM/2 {
			return fmt.Errorf("waits %.2f mm from the bore's centre", away)
		}
		if m.at.z < m.r.ClearZMM-1e-3 {
			return fmt.Errorf("waits below the clearance plane")
		}
		m.units, m.plane, m.absolute, m.offset, m.spun = false, false, false, false, false
	case "30":
		m.ended = true
	default:
		return fmt.Errorf("M%s must not be used", code)
	}
	return nil
}

func (m *mill) move(motion int, axes map[string]float64) error {
	if !m.units || !m.plane || !m.absolute || !m.offset {
		return fmt.Errorf("moves before the modes are stated")
	}
	to := m.at
	for name, at := range map[string]*float64{"X": &to.x, "Y": &to.y, "Z": &to.z} {
		if v, ok := axes[name]; ok {
			*at = v
		}
	}
	clear := m.r.ClearZMM - 1e-3
	sideways := to.x != m.at.x || to.y != m.at.y
	if motion == 0 {
		if sideways && (m.at.z < clear || to.z < clear) {
			return fmt.Errorf("a rapid sideways below the clearance plane")
		}
		if to.z < m.at.z && to.z < clear {
			return fmt.Errorf("a rapid down below the clearance plane")
		}
		return m.along([]xyz{to}, true)
	}
	if !m.spun || !m.spindle {
		return fmt.Errorf("feeds with the spindle off")
	}
	if m.feed <= 0 {
		return fmt.Errorf("feeds without a feed")
	}
	if to.z > m.at.z+1e-9 {
		return fmt.Errorf("Z rises on the way in")
	}
	if motion == 1 {
		if sideways {
			return fmt.Errorf("a straight feed sideways")
		}
		var way []xyz
		for i := 1; i <= 40; i++ {
			way = append(way, xyz{to.x, to.y, m.at.z + (to.z-m.at.z)*float64(i)/40})
		}
		return m.along(way, false)
	}
	for _, name := range []string{"X", "Y", "I", "J"} {
		if _, ok := axes[name]; !ok {
			return fmt.Errorf("an arc without %s", name)
		}
	}
	cx, cy := m.at.x+axes["I"], m.at.y+axes["J"]
	r0, r1 := math.Hypot(m.at.x-cx, m.at.y-cy), math.Hypot(to.x-cx, to.y-cy)
	if math.Abs(r0-r1) >= 0.001 {
		return fmt.Errorf("the arc's radii differ by %.4f mm", math.Abs(r0-r1))
	}
	from, turn := math.Atan2(m.at.y-cy, m.at.x-cx), math.Atan2(to.y-cy, to.x-cx)
	turn -= from
	for turn <= 1e-9 {
		turn += 2 * math.Pi
	}
	var way []xyz
	const pieces = 48
	for i := 1; i <= pieces; i++ {
		f := float64(i) / pieces
		way = append(way, xyz{cx + r0*math.Cos(from+turn*f), cy + r0*math.Sin(from+turn*f), m.at.z + (to.z-m.at.z)*f})
	}
	way[pieces-1] = to
	return m.along(way, false)
}

// along moves through poses and looks at the metal.
func (m *mill) along(way []xyz, rapid bool) error {
	largest := m.r.Passes[len(m.r.Passes)-1].CommandMM
	for _, p := range way {
		if p.z < m.r.MouthZMM-m.r.DepthMM-1e-3 {
			return fmt.Errorf("goes %.3f mm below the floor", m.r.MouthZMM-m.r.DepthMM-p.z)
		}
		if p.z < m.r.MouthZMM {
			if off := math.Hypot(p.x-m.r.XMM, p.y-m.r.YMM) - (largest-m.r.ToolMM)/2; off > 0.001 {
				return fmt.Errorf("leaves the bore by %.4f mm", off)
			}
		}
		if p.z < m.r.ClearZMM-1e-3 {
			// Metal nearer to the centre than the cut's own stock is a core.
			core := math.Min(m.r.ClearedMM, largest) / 2
			straight := p.x == m.at.x && p.y == m.at.y && p.z < m.at.z
			bite, post := m.stock.pose(p.x, p.y, p.z, m.r.ToolMM, core-0.1)
			if bite > 0 && rapid {
				return fmt.Errorf("a rapid meets metal")
			}
			if bite > 0 && straight {
				return fmt.Errorf("goes straight down into metal")
			}
			if bite > m.r.PitchMM+1e-6 && post {
				return fmt.Errorf("meets an uncut core, %.2f mm high", bite)
			}
			if m.r.ClearedMM == 0 && bite > m.r.PitchMM+1e-6 {
				return fmt.Errorf("a bite of %.2f mm, more than the pitch", bite)
			}
		}
		m.at = p
		m.path = append(m.path, p)
	}
	return nil
}

func program(t require.TestingT, r ProgramRequest) string {
	var b bytes.Buffer
	require.NoError(t, Program(&b, r))
	return b.String()
}

func TestProgramsKeepToTheBore(t *testing.T) {
	for name, change := range map[string]func(*ProgramRequest){
		"first pass in a hole":  func(*ProgramRequest) {},
		"first pass from solid": func(r *ProgramRequest) { r.ClearedMM = 0 },
		"gently into the solid": func(r *ProgramRequest) { r.ClearedMM, r.CentreCutting, r.PitchMM = 0, false, 0.6 },
		"third pass":            func(r *ProgramRequest) { r.Passes = []Planned{{3, 10.012, 9.985}}; r.ClearedMM = 9.96 },
		"several, with stops":   func(r *ProgramRequest) { r.Passes = []Planned{{1, 9.916, 9.89}, {2, 9.942, 9.91}, {3, 9.966, 9.936}} },
		"small tool, cleared":   func(r *ProgramRequest) { r.ToolMM, r.PitchMM = 3, 0.5 },
		"small path":            func(r *ProgramRequest) { r.ToolMM, r.ClearedMM, r.PitchMM = 9.5, 9.7, 0.2 },
		"a large bore, far out": func(r *ProgramRequest) {
			r.Passes[0].CommandMM, r.ClearedMM, r.ToolMM, r.XMM, r.YMM = 31.75, 31.5, 12.7, -183.217, 96.004
		},
	} {
		t.Run(name, func(t *testing.T) {
			for _, c := range Controls() {
				for _, inch := range []bool{false, true} {
					r := goodProgram()
					change(&r)
					r.Control, r.Inch, r.ToolNumber = c, inch, 4
					text := program(t, r)
					for _, parked := range []xyz{{0, 0, 60}, {200, -100, 46}, {-50, 80, 45}, {3.5, -2.25, 120}} {
						if len(r.Passes) > 1 && (inch || c.Name != "plain") {
							continue
						}
						run(t, r, text, parked)
					}
				}
			}
		})
	}
}

// The bore that the path makes is the command, to the control's last digit.
func TestThePathMakesTheCommandedBore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := goodProgram()
		r.ToolMM = rapid.Float64Range(3, 12).Draw(t, "tool")
		r.Passes[0].CommandMM = math.Round(r.ToolMM*rapid.Float64Range(1.1, 1.95).Draw(t, "ratio")*500) / 500
		r.XMM = rapid.Float64Range(-100, 100).Draw(t, "x")
		r.Inch = rapid.Bool().Draw(t, "inch")
		r.ClearedMM = 0
		p := &writer{r: r, unitMM: 0.001}
		if r.Inch {
			p.unitMM = 25.4e-5
		}
		radius := (r.Passes[0].CommandMM - r.ToolMM) / 2
		at := onCircle(radius / p.unitMM)
		got := 2*math.Hypot(float64(at.x), float64(at.y))*p.unitMM + r.ToolMM
		if math.Abs(got-r.Passes[0].CommandMM) > 0.0005 {
			t.Fatalf("path makes %.5f mm, want %.5f mm", got, r.Passes[0].CommandMM)
		}
	})
}

func TestMetricAndInchGiveTheSamePath(t *testing.T) {
	r := goodProgram()
	mm := run(t, r, program(t, r), xyz{0, 0, 60})
	r.Inch = true
	inch := run(t, r, program(t, r), xyz{0, 0, 60})
	lowest := func(p []xyz) (z, reach float64) {
		z = math.Inf(1)
		for _, q := range p {
			z = math.Min(z, q.z)
			if q.z < r.MouthZMM {
				reach = math.Max(reach, math.Hypot(q.x-r.XMM, q.y-r.YMM))
			}
		}
		return z, reach
	}
	z0, reach0 := lowest(mm)
	z1, reach1 := lowest(inch)
	require.InDelta(t, z0, z1, 0.0003)
	require.InDelta(t, reach0, reach1, 0.001)
	require.Len(t, inch, len(mm))
	for i := range mm {
		// Both begin their circle within a thousandth of a turn of one another.
		require.InDeltaf(t, 0, math.Hypot(mm[i].x-inch[i].x, mm[i].y-inch[i].y), 1.2, "pose %d", i)
		require.InDeltaf(t, mm[i].z, inch[i].z, 0.001, "pose %d", i)
	}
}

func TestProgramRefusals(t *testing.T) {
	for want, change := range map[string]func(*ProgramRequest){
		"must be smaller than the bore": func(r *ProgramRequest) { r.ToolMM = 10 },
		"under half the bore":           func(r *ProgramRequest) { r.ToolMM, r.ClearedMM = 3, 0 },
		"flutes are":                    func(r *ProgramRequest) { r.FluteMM = 3 },
		"sticks out":                    func(r *ProgramRequest) { r.StickoutMM = 4 },
		"path's radius":                 func(r *ProgramRequest) { r.ToolMM = 9.9 },
		"needs the tool's number":       func(r *ProgramRequest) { r.Control, _ = ControlByName("milliseconds dwell") },
		"hold is stop":                  func(r *ProgramRequest) { r.Stops = []string{"hold is stop"} },
		"not centre-cutting":            func(r *ProgramRequest) { r.ClearedMM, r.CentreCutting, r.PitchMM = 0, false, 2 },
		"no wider than the tool":        func(r *ProgramRequest) { r.Passes[0].N, r.ClearedMM = 2, 6 },
		"too near to gauge":             func(r *ProgramRequest) { r.ParkXMM, r.ParkYMM = 3.5, -5 },
		"work offset":                   func(r *ProgramRequest) { r.WorkOffset = "G92" },
		"clearance plane":               func(r *ProgramRequest) { r.ClearZMM = 10 },
		"spindle speed":                 func(r *ProgramRequest) { r.SpindleRPM = math.NaN() },
		"no pass":                       func(r *ProgramRequest) { r.Passes = nil },
		"smaller than the one before":   func(r *ProgramRequest) { r.Passes = append(r.Passes, Planned{2, 9.95, 9.9}) },
		"control is not chosen":         func(r *ProgramRequest) { r.Control = Control{} },
	} {
		r := goodProgram()
		change(&r)
		var b bytes.Buffer
		err := Program(&b, r)
		require.ErrorContains(t, err, want)
		require.Zero(t, b.Len(), "nothing is written")
	}
	_, err := ControlByName("fancy")
	require.ErrorContains(t, err, "plain")
}

// The interpreter must see what is wrong: programs spoiled by hand are refused.
func TestTheInterpreterSeesFaults(t *testing.T) {
	r := goodProgram()
	text := program(t, r)
	for _, c := range []struct{ name, old, new string }{
		{"spindle on at the end", "M5\nM9\nG0 X3.500 Y-60.000", "M9\nG0 X3.500 Y-60.000"},
		{"rapid sideways at depth", "G0 Z45.000\nM5\nM9\nG0 X3.500 Y-60.000", "M5\nM9\nG0 X3.500 Y-60.000\nG0 Z45.000"},
		{"units left out", "G21\n", ""},
		{"stop over the bore", "M5\nM9\nG0 X3.500 Y-60.000", "M5\nM9"},
	} {
		spoilt := strings.ReplaceAll(text, c.old, c.new)
		require.NotEqual(t, text, spoilt, c.name)
		require.Error(t, tryRun(r, spoilt), c.name)
	}
	// A post left standing: the check that refuses it is by-passed.
	r.ToolMM, r.ClearedMM, r.PitchMM = 3, 0, 0.5
	p := &writer{r: r, unitMM: 0.001, decimals: 3}
	p.look()
	p.pass(r.Passes[0])
	p.line("M30")
	require.ErrorContains(t, tryRun(r, p.b.String()), "bite")
	// Straight down into metal.
	r = goodProgram()
	r.Passes[0].N, r.ClearedMM = 2, 5
	p = &writer{r: r, unitMM: 0.001, decimals: 3}
	p.look()
	p.pass(r.Passes[0])
	p.line("M30")
	require.ErrorContains(t, tryRun(r, p.b.String()), "straight down into metal")
}

// tryRun runs a program and gives the first fault.
func tryRun(r ProgramRequest, text string) error {
	m := &mill{r: r, at: xyz{0, 0, 60}, scale: 1, spindle: true, stock: newStock(r)}
	for _, l := range strings.Split(strings.TrimSpace(text), "\n") {
		if err := m.step(l); err != nil {
			return err
		}
	}
	return nil
}

// A name from a job file can neither end a comment nor begin a block.
func TestNoTextGetsOutOfItsComment(t *testing.T) {
	require.Equal(t, "KNOB BACK G0 Z-50", Bare("knob (back)\nG0 Z-50"))
	require.Equal(t, "10 , 5", Bare("10 µ%, ;5"))
	rapid.Check(t, func(t *rapid.T) {
		r := goodProgram()
		r.Part, r.Tool = rapid.String().Draw(t, "part"), rapid.String().Draw(t, "tool")
		plain := goodProgram()
		plain.Part, plain.Tool = "", ""
		blocks := func(text string) (out []string) {
			for _, l := range strings.Split(text, "\n") {
				if !strings.HasPrefix(l, "(") {
					out = append(out, l)
				}
			}
			return out
		}
		require.Equal(t, blocks(program(t, plain)), blocks(program(t, r)))
	})
}

// Several passes without a reading between them: never above what the first
// belief allows.
func TestPessimisticPasses(t *testing.T) {
	q := shopRequest(0.022)
	q.StartMM = 9.9
	p, err := Pessimistic(q, 4)
	require.NoError(t, err)
	s := session(t, q)
	require.Equal(t, s.Next().CommandMM, p[len(p)-1].CommandMM)
	sum := 0.0
	for i, c := range p {
		require.Equal(t, i+1, c.N)
		_, added := s.now.After(c.CommandMM, q.Window)
		sum += added
	}
	require.LessOrEqual(t, sum, q.Risk)
}
