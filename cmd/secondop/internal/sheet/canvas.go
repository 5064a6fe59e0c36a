package sheet

import (
	"fmt"
	"html/template"
	"math"
	"strconv"
	"strings"

	"secondop/fixture/outline"
)

// canvas draws one SVG. Its units are those of the drawing (mm, or whatever a
// chart maps to them), X right and Y up; lo and hi are the corners that show.
type canvas struct {
	lo, hi outline.Point
	body   strings.Builder
}

func newCanvas(loX, loY, hiX, hiY float64) *canvas {
	return &canvas{lo: outline.Point{X: loX, Y: loY}, hi: outline.Point{X: hiX, Y: hiY}}
}

// coordinate writes a number with at most 3 decimals.
func coordinate(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		panic("sheet: a drawing got a number that is not finite") // nothing finite leads here
	}
	s := strconv.FormatFloat(x, 'f', 3, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

func (c *canvas) xy(p outline.Point) string {
	return coordinate(p.X-c.lo.X) + " " + coordinate(c.hi.Y-p.Y)
}

func (c *canvas) add(format string, args ...any) { fmt.Fprintf(&c.body, format, args...) }

// outlinePath is the d attribute of an outline, arcs as arcs.
func (c *canvas) outlinePath(o *outline.Outline) string {
	var b strings.Builder
	for _, l := range o.Loops() {
		b.WriteString("M" + c.xy(l[0].A))
		for _, s := range l {
			if !s.IsArc() {
				b.WriteString("L" + c.xy(s.B))
				continue
			}
			sweep := "0" // counter-clockwise: Y points up in the drawing
			if s.Bulge < 0 {
				sweep = "1"
			}
			r := coordinate(math.Abs(s.RadiusMM()))
			b.WriteString("A" + r + " " + r + " 0 0 " + sweep + " " + c.xy(s.B))
		}
		b.WriteString("Z")
	}
	return b.String()
}

func (c *canvas) outline(class string, o *outline.Outline) {
	c.add(`<path class="%s" d="%s"/>`, class, c.outlinePath(o))
}

// path is the d attribute of straight pieces.
func (c *canvas) path(closed bool, points ...outline.Point) string {
	var b strings.Builder
	for i, p := range points {
		if i == 0 {
			b.WriteString("M")
		} else {
			b.WriteString("L")
		}
		b.WriteString(c.xy(p))
	}
	if closed {
		b.WriteString("Z")
	}
	return b.String()
}

func (c *canvas) polygon(class string, closed bool, points ...outline.Point) {
	c.add(`<path class="%s" d="%s"/>`, class, c.path(closed, points...))
}

func (c *canvas) line(class string, x0, y0, x1, y1 float64) {
	c.polygon(class, false, outline.Point{X: x0, Y: y0}, outline.Point{X: x1, Y: y1})
}

func (c *canvas) rect(class string, x0, y0, x1, y1 float64) {
	c.polygon(class, true, outline.Point{X: x0, Y: y0}, outline.Point{X: x1, Y: y0}, outline.Point{X: x1, Y: y1}, outline.Point{X: x0, Y: y1})
}

func (c *canvas) circle(class string, x, y, r float64) {
	p := outline.Point{X: x - c.lo.X, Y: c.hi.Y - y}
	c.add(`<circle class="%s" cx="%s" cy="%s" r="%s"/>`, class, coordinate(p.X), coordinate(p.Y), coordinate(r))
}

// text writes s at a point; anchor is start, middle or end.
func (c *canvas) text(class, anchor string, x, y float64, s string) {
	p := outline.Point{X: x - c.lo.X, Y: c.hi.Y - y}
	c.add(`<text class="%s" text-anchor="%s" x="%s" y="%s">%s</text>`, class, anchor, coordinate(p.X), coordinate(p.Y), template.HTMLEscapeString(s))
}

// arrow draws a line with a head of size h at its end.
func (c *canvas) arrow(class string, x0, y0, x1, y1, h float64) {
	c.line(class, x0, y0, x1, y1)
	c.head(class, x0, y0, x1, y1, h)
}

func (c *canvas) head(class string, x0, y0, x1, y1, h float64) {
	length := math.Hypot(x1-x0, y1-y0)
	if length == 0 {
		return
	}
	ux, uy := (x1-x0)/length, (y1-y0)/length
	c.polygon(class+" head", true, outline.Point{X: x1, Y: y1},
		outline.Point{X: x1 - h*ux + h*uy/3, Y: y1 - h*uy - h*ux/3}, outline.Point{X: x1 - h*ux - h*uy/3, Y: y1 - h*uy + h*ux/3})
}

// svg closes the drawing. says is its alternative text; the classes steer its
// place and size.
func (c *canvas) svg(class, says string) template.HTML {
	w, h := c.hi.X-c.lo.X, c.hi.Y-c.lo.Y
	return template.HTML(fmt.Sprintf(`<svg class="%s" role="img" aria-label="%s" viewBox="0 0 %s %s" style="--w:%s">%s</svg>`,
		class, template.HTMLEscapeString(says), coordinate(w), coordinate(h), coordinate(w), c.body.String())) //nolint:gosec // numbers, our own classes and escaped text
}
