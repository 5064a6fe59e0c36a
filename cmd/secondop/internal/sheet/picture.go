package sheet

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
)

// The drawn picture stands in for the 3-D view on paper and where there is no
// WebGL: the bodies from the same side, flat shades and their edges.
const (
	pictureWide = 1100
	pictureHigh = 640
	shades      = 6
)

// eye is the direction of the picture: about the view's own first one.
const (
	eyeAround = -0.6
	eyeAbove  = 0.75
)

// pictureColours are the shades of the fixed jaw, the moving jaw and the part,
// after the background (see-through) and the ink.
func pictureColours() color.Palette {
	p := color.Palette{color.RGBA{}, color.RGBA{28, 27, 24, 255}}
	for _, full := range []color.RGBA{{205, 198, 180, 255}, {232, 226, 210, 255}, {125, 180, 191, 255}} {
		for i := range shades {
			k := 0.62 + 0.38*float64(i)/(shades-1)
			p = append(p, color.RGBA{uint8(k * float64(full.R)), uint8(k * float64(full.G)), uint8(k * float64(full.B)), 255})
		}
	}
	return p
}

var roleShade = map[string]int{"fixed": 0, "moving": 1, "part": 2}

// picture draws the bodies, nearest first, and returns a PNG.
func picture(list []body) ([]byte, error) {
	r := newRaster(list)
	for _, b := range list {
		for _, t := range b.mesh.Triangles {
			v := b.mesh.Vertices
			r.triangle([3][3]float32{v[t[0]], v[t[1]], v[t[2]]}, roleShade[b.role])
		}
	}
	var out bytes.Buffer
	err := (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(&out, r.image())
	return out.Bytes(), err
}

// raster holds for every pixel the depth (larger is nearer), the direction of
// the face and its shade; no face is shade -1.
type raster struct {
	right, up, out [3]float64
	middle         [3]float64
	scale          float64 // pixels a mm
	depth          []float64
	facing         [][3]float64
	shade          []int8
	body           []int8
}

func newRaster(list []body) *raster {
	sa, ca := math.Sincos(eyeAround)
	sb, cb := math.Sincos(eyeAbove)
	r := &raster{
		out: [3]float64{sa * cb, -ca * cb, sb}, right: [3]float64{ca, sa, 0}, up: [3]float64{-sa * sb, ca * sb, cb},
		depth: make([]float64, pictureWide*pictureHigh), facing: make([][3]float64, pictureWide*pictureHigh),
		shade: make([]int8, pictureWide*pictureHigh), body: make([]int8, pictureWide*pictureHigh),
	}
	for i := range r.depth {
		r.depth[i], r.shade[i], r.body[i] = math.Inf(-1), -1, -1
	}
	lo, hi := boundsOf(list)
	var x, y float64 // half the box as seen
	for k := range 3 {
		r.middle[k] = (lo[k] + hi[k]) / 2
		x += math.Abs(r.right[k]) * (hi[k] - lo[k]) / 2
		y += math.Abs(r.up[k]) * (hi[k] - lo[k]) / 2
	}
	r.scale = 0.97 * math.Min(pictureWide/2/x, pictureHigh/2/y)
	return r
}

func dot(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

// seen is a point in pixels, right and down, and its depth in mm.
func (r *raster) seen(v [3]float32) [3]float64 {
	var d [3]float64
	for k := range 3 {
		d[k] = float64(v[k]) - r.middle[k]
	}
	return [3]float64{pictureWide/2 + r.scale*dot(d, r.right), pictureHigh/2 - r.scale*dot(d, r.up), dot(d, r.out)}
}

func (r *raster) triangle(v [3][3]float32, body int) {
	var a, b [3]float64
	for k := range 3 {
		a[k], b[k] = float64(v[1][k]-v[0][k]), float64(v[2][k]-v[0][k])
	}
	n := [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
	length := math.Sqrt(dot(n, n))
	if length == 0 || dot(n, r.out) <= 0 { // no area, or seen from behind
		return
	}
	for k := range 3 {
		n[k] /= length
	}
	light := 0.25*dot(n, r.out) + 0.55*math.Max(0, n[2]) + 0.2*math.Max(0, dot(n, r.right))
	shade := int8(body*shades + int(math.Min(shades-1, math.Floor(light*shades))))
	p, q, s := r.seen(v[0]), r.seen(v[1]), r.seen(v[2])
	area := (q[0]-p[0])*(s[1]-p[1]) - (q[1]-p[1])*(s[0]-p[0])
	if area == 0 {
		return
	}
	x0, x1 := span3(p[0], q[0], s[0], pictureWide)
	y0, y1 := span3(p[1], q[1], s[1], pictureHigh)
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			fx, fy := float64(x)+0.5, float64(y)+0.5
			u := ((fx-p[0])*(s[1]-p[1]) - (fy-p[1])*(s[0]-p[0])) / area
			w := ((q[0]-p[0])*(fy-p[1]) - (q[1]-p[1])*(fx-p[0])) / area
			if u < 0 || w < 0 || u+w > 1 {
				continue
			}
			i := y*pictureWide + x
			if z := p[2] + u*(q[2]-p[2]) + w*(s[2]-p[2]); z > r.depth[i] {
				r.depth[i], r.facing[i], r.shade[i], r.body[i] = z, n, shade, int8(body)
			}
		}
	}
}

func span3(a, b, c, size float64) (from, to int) {
	return int(math.Max(0, math.Floor(math.Min(a, math.Min(b, c))))), int(math.Min(size-1, math.Ceil(math.Max(a, math.Max(b, c)))))
}

// image draws an edge where a pixel and its neighbour to the right or below are
// of different bodies, face more than about 25 degrees apart, or jump in depth.
func (r *raster) image() *image.Paletted {
	img := image.NewPaletted(image.Rect(0, 0, pictureWide, pictureHigh), pictureColours())
	const crease = 0.9 // cosine of 26 degrees
	for y := range pictureHigh {
		for x := range pictureWide {
			i := y*pictureWide + x
			edge := false
			for _, j := range [2]int{i + 1, i + pictureWide} {
				if (j == i+1 && x == pictureWide-1) || j >= len(r.depth) {
					continue
				}
				switch {
				case r.body[i] != r.body[j]:
					edge = true
				case r.body[i] < 0:
				case dot(r.facing[i], r.facing[j]) < crease, math.Abs(r.depth[i]-r.depth[j])*r.scale > 8:
					edge = true
				}
			}
			switch {
			case edge:
				img.Pix[i] = 1
			case r.shade[i] >= 0:
				img.Pix[i] = uint8(r.shade[i]) + 2
			}
		}
	}
	return img
}
