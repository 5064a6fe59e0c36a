package thermal

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// brick is a quarter of a block between two jaws on a seat in three
// dimensions, by explicit finite volumes of 2 mm: a second way to the
// temperatures of a model, with all that one temperature for the part and one
// dimension for the jaws leave out.
type brick struct {
	lengthMM, widthMM, heightMM float64 // x, y, z of the whole block
	part                        Sheet
	jaw                         Layer // one of two, on the long sides from z = 0
	jawHeightMM                 float64
	seat                        *Layer // under the whole bottom; nil: film there
	filmWM2K                    float64
	heatW                       float64 // evenly over the top
	ambientC, lastsS            float64
}

// model is the same block for the program under test.
func (b brick) model() Model {
	grip := b.lengthMM * b.jawHeightMM
	around := 2 * (b.lengthMM + b.widthMM) * b.heightMM
	free := b.lengthMM*b.widthMM + around - 2*grip
	if b.seat == nil {
		free += b.lengthMM * b.widthMM
	}
	jaw := b.jaw
	jaw.AreaMM2, jaw.SideMM, jaw.SideFilmWM2K = grip, 2*(b.lengthMM+b.jawHeightMM), b.filmWM2K
	m := Model{
		AmbientC: b.ambientC,
		Part: Part{
			VolumeMM3: b.lengthMM * b.widthMM * b.heightMM, DensityKgM3: b.part.DensityKgM3, SpecificHeatJKgK: b.part.SpecificHeatJKgK,
			ConductivityWMK: b.part.ConductivityWMK, StartC: b.ambientC, HeatedMM2: b.lengthMM * b.widthMM, ThicknessMM: b.heightMM,
			Faces: []Face{{Name: "free", AreaMM2: free, FilmWM2K: b.filmWM2K}},
		},
		Layers:    []Layer{jaw, jaw},
		Stretches: []Stretch{{Name: "heat", LastsS: b.lastsS, HeatW: b.heatW}},
	}
	if b.seat != nil {
		seat := *b.seat
		seat.AreaMM2, seat.PathMM = b.lengthMM*b.widthMM, b.heightMM/2
		m.Layers = append(m.Layers, seat)
	}
	return m
}

// solved is what the three dimensions give: the part's mean and hottest, the
// mean and the hottest of the jaw's face.
type solved struct{ meanC, hotC, faceC, hotFaceC float64 }

// link is a conductance in W/K between two cells; to is -1 for the ambient.
type link struct {
	from, to int
	wPerK    float64
}

// cells are the quarter block's cells and what joins them.
type cells struct {
	b          brick
	nx, ny, nz int
	capacity   []float64 // J/K
	links      []link
	top        []int // cells that take the heat
	skins      []skin
}

// skin is a cell of the part with the jaw's cell behind it.
type skin struct {
	part, jaw      int
	across, toFace float64 // W/K between the two, and from the face to the jaw's
}

const cellMM = 2.0

func (c *cells) add(s Sheet, volumeMM3 float64) int {
	c.capacity = append(c.capacity, s.DensityKgM3*s.SpecificHeatJKgK*volumeMM3*1e-9)
	return len(c.capacity) - 1
}

func (c *cells) join(from, to int, wPerK float64) { c.links = append(c.links, link{from, to, wPerK}) }

// between is the conductance of an area over half of da in a, h, half of db in b.
func between(areaMM2, da, ka, h, db, kb float64) float64 {
	return areaMM2 * 1e-6 / (da*0.5e-3/ka + 1/h + db*0.5e-3/kb)
}

func toAir(areaMM2, d, k, h float64) float64 { return areaMM2 * 1e-6 / (d*0.5e-3/k + 1/h) }

func (c *cells) index(i, j, k int) int { return (i*c.ny+j)*c.nz + k }

func (c *cells) addPart() {
	k := c.b.part.ConductivityWMK
	inside := between(cellMM*cellMM, cellMM, k, math.Inf(1), cellMM, k)
	film := toAir(cellMM*cellMM, cellMM, k, c.b.filmWM2K)
	for range c.nx * c.ny * c.nz {
		c.add(c.b.part, cellMM*cellMM*cellMM)
	}
	grip := int(c.b.jawHeightMM / cellMM)
	for n := range c.capacity {
		i, j, k := n/c.nz/c.ny, n/c.nz%c.ny, n%c.nz
		if i+1 < c.nx {
			c.join(n, c.index(i+1, j, k), inside)
		} else {
			c.join(n, -1, film)
		}
		if j+1 < c.ny {
			c.join(n, c.index(i, j+1, k), inside)
		} else if k >= grip {
			c.join(n, -1, film)
		}
		if k+1 < c.nz {
			c.join(n, c.index(i, j, k+1), inside)
		} else {
			c.join(n, -1, film)
			c.top = append(c.top, n)
		}
		if k == 0 && c.b.seat == nil {
			c.join(n, -1, film)
		}
	}
}

// addJaw puts a column of cells behind each of the part's gripped ones; they
// grow from 0.15 mm.
func (c *cells) addJaw() {
	s := c.b.jaw.Sheets[0]
	var thick []float64
	for left, d := s.ThicknessMM, 0.15; left > 1e-9; d *= 1.2 {
		if left < 2*d {
			d = left
		}
		thick = append(thick, d)
		left -= d
	}
	kj, grip := s.ConductivityWMK, int(c.b.jawHeightMM/cellMM)
	for i := range c.nx {
		for k := range grip {
			before := c.index(i, c.ny-1, k)
			dBefore, kBefore, h := cellMM, c.b.part.ConductivityWMK, c.b.jaw.ContactWM2K
			for y, d := range thick {
				n := c.add(s, cellMM*cellMM*d)
				g := between(cellMM*cellMM, dBefore, kBefore, h, d, kj)
				c.join(before, n, g)
				if y == 0 {
					c.skins = append(c.skins, skin{before, n, g, cellMM * cellMM * 1e-6 / (d * 0.5e-3 / kj)})
				}
				along, side := between(cellMM*d, cellMM, kj, math.Inf(1), cellMM, kj), toAir(cellMM*d, cellMM, kj, c.b.filmWM2K)
				if k > 0 {
					c.join(n-len(thick), n, along)
				}
				if i > 0 {
					c.join(n-len(thick)*grip, n, along)
				}
				if i == c.nx-1 {
					c.join(n, -1, side)
				}
				if k == 0 || k == grip-1 {
					c.join(n, -1, side)
				}
				if y == len(thick)-1 {
					c.join(n, -1, toAir(cellMM*cellMM, d, kj, c.b.jaw.BackFilmWM2K))
				}
				before, dBefore, kBefore, h = n, d, kj, math.Inf(1)
			}
		}
	}
}

func (c *cells) addSeat() {
	s := c.b.seat.Sheets[0]
	deep := int(s.ThicknessMM / cellMM)
	for i := range c.nx {
		for j := range c.ny {
			before, kBefore, h := c.index(i, j, 0), c.b.part.ConductivityWMK, c.b.seat.ContactWM2K
			for range deep {
				n := c.add(s, cellMM*cellMM*cellMM)
				c.join(before, n, between(cellMM*cellMM, cellMM, kBefore, h, cellMM, s.ConductivityWMK))
				along := between(cellMM*cellMM, cellMM, s.ConductivityWMK, math.Inf(1), cellMM, s.ConductivityWMK)
				if j > 0 {
					c.join(n-deep, n, along)
				}
				if i > 0 {
					c.join(n-deep*c.ny, n, along)
				}
				before, kBefore, h = n, s.ConductivityWMK, math.Inf(1)
			}
			c.join(before, -1, toAir(cellMM*cellMM, cellMM, s.ConductivityWMK, c.b.seat.BackFilmWM2K))
		}
	}
}

// solve steps the quarter block.
func (b brick) solve() solved {
	c := cells{b: b, nx: int(b.lengthMM / 2 / cellMM), ny: int(b.widthMM / 2 / cellMM), nz: int(b.heightMM / cellMM)}
	c.addPart()
	parts := len(c.capacity)
	c.addJaw()
	if b.seat != nil {
		c.addSeat()
	}
	u := b.step(c.capacity, c.links, c.top)
	var out solved
	for _, v := range u[:parts] {
		out.meanC += (b.ambientC + v) / float64(parts)
		out.hotC = max(out.hotC, b.ambientC+v)
	}
	for _, s := range c.skins {
		face := b.ambientC + u[s.jaw] + s.across*(u[s.part]-u[s.jaw])/s.toFace
		out.faceC += face / float64(len(c.skins))
		out.hotFaceC = max(out.hotFaceC, face)
	}
	return out
}

// step is the explicit integration, at 0.9 of the stable step.
func (b brick) step(capacity []float64, links []link, top []int) []float64 {
	sum := make([]float64, len(capacity))
	for _, l := range links {
		sum[l.from] += l.wPerK
		if l.to >= 0 {
			sum[l.to] += l.wPerK
		}
	}
	dt := math.Inf(1)
	for n, c := range capacity {
		dt = min(dt, 0.9*c/sum[n])
	}
	steps := math.Ceil(b.lastsS / dt)
	dt = b.lastsS / steps
	u, flow := make([]float64, len(capacity)), make([]float64, len(capacity))
	for range int(steps) {
		clear(flow)
		for _, n := range top {
			flow[n] = b.heatW / 4 / float64(len(top))
		}
		for _, l := range links {
			if l.to < 0 {
				flow[l.from] -= l.wPerK * u[l.from]
				continue
			}
			q := l.wPerK * (u[l.from] - u[l.to])
			flow[l.from] -= q
			flow[l.to] += q
		}
		for n, c := range capacity {
			u[n] += dt * flow[n] / c
		}
	}
	return u
}

func aluminiumBlock() brick {
	return brick{
		lengthMM: 60, widthMM: 40, heightMM: 20, part: Sheet{DensityKgM3: 2700, SpecificHeatJKgK: 896, ConductivityWMK: 167},
		jaw: Layer{
			Name: "jaw", ContactWM2K: 500, BackFilmWM2K: 2000,
			Sheets: []Sheet{{ThicknessMM: 12, DensityKgM3: 1240, SpecificHeatJKgK: 1800, ConductivityWMK: 0.13}},
		},
		jawHeightMM: 10, filmWM2K: 10, heatW: 20, ambientC: 20, lastsS: 300,
	}
}

// The three-dimensional program agrees with the finite elements on their own
// block, so that it may judge others. Source: CalculiX 2.20, block_fem.csv.
func TestTheThreeDimensionalProgramAgreesWithTheElements(t *testing.T) {
	got := aluminiumBlock().solve()
	require.InDelta(t, 63.807+(64.310-63.807)/3, got.meanC, 0.1, "mean of the part in °C")
	require.InDelta(t, 64.310, got.hotC, 0.15, "top of the part in °C")
	require.InDelta(t, 60.927, got.hotFaceC, 0.6, "jaw skin in °C")
}

// Blocks that the elements did not see: part within 1 % of the rise, face
// within 2 %; and the face with the internal drop is never colder than the
// hottest spot of the face.
func TestOtherBlocksInThreeDimensions(t *testing.T) {
	onSeat := aluminiumBlock()
	onSeat.seat = &Layer{
		Name: "seat", ContactWM2K: 1000, BackFilmWM2K: 2000,
		Sheets: []Sheet{{ThicknessMM: 10, DensityKgM3: 2700, SpecificHeatJKgK: 896, ConductivityWMK: 117}},
	}
	onSeat.heatW = 60
	deep := aluminiumBlock()
	deep.jawHeightMM, deep.filmWM2K, deep.jaw.ContactWM2K = 16, 60, 3000
	deep.jaw.BackFilmWM2K = 8
	deep.jaw.Sheets = []Sheet{{ThicknessMM: 20, DensityKgM3: 1270, SpecificHeatJKgK: 1250, ConductivityWMK: 0.2}}
	deep.lastsS = 200
	stainless := aluminiumBlock()
	stainless.part = Sheet{DensityKgM3: 7900, SpecificHeatJKgK: 477, ConductivityWMK: 15}
	stainless.lastsS = 400
	for name, b := range map[string]brick{"on an aluminium plate": onSeat, "deep in PETG under a blast": deep, "stainless steel": stainless} {
		want := b.solve()
		h := run(t, b.model())
		p := last(h)
		rise := want.meanC - b.ambientC
		require.InDelta(t, want.meanC, p.PartC, 0.01*rise, "%s: part in °C", name)
		if p.HotK < 0.05*rise { // else the grip is colder than the mean says
			require.InDelta(t, want.faceC, p.Layers[0].FaceC, 0.02*(want.faceC-b.ambientC), "%s: face in °C", name)
		}
		require.GreaterOrEqual(t, p.Layers[0].FaceC+p.HotK, want.hotFaceC, "%s: hottest of the face in °C", name)
		require.GreaterOrEqual(t, p.PartC+p.HotK, want.hotC-0.01*rise, "%s: hottest of the part in °C", name)
		t.Logf("%s: part %.2f of %.2f °C, face %.2f of %.2f °C, drop %.2f K", name, p.PartC, want.meanC, p.Layers[0].FaceC, want.faceC, p.HotK)
	}
}
