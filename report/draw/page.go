package draw

import (
	"bytes"
	"math"
	"strconv"
)

// What a page shows is a list of operators (ISO 32000-1, Annex A), in points and
// from the page's foot upwards.

// faceNames are the fonts' names in the pages.
var faceNames = [2]string{"/R", "/B"}

// state is what the page's operators have been told last, so that it is not said
// twice.
type state struct {
	face         Face
	pt           float64
	fill, stroke Ink
	width        float64
}

// content is what the page being drawn shows.
type content struct {
	high   float64 // the page, mm
	buf    []byte
	state  state
	shapes [2][10]bool // figures of all pages that are drawn as shapes, by face
}

// untold is the state of which nothing is known.
var untold = state{pt: -1, fill: -1, stroke: -1, width: -1}

// number writes v with as many decimals at most as given, without those that are
// nothing.
func (c *content) number(v float64, decimals int) { c.buf = append(decimal(c.buf, v, decimals), ' ') }

var powers = [...]int64{1, 10, 100, 1000}

// decimal appends what strconv does, without idle zeros. A page is numbers for the
// most part: those that are not near the middle between two roundings, where the
// last bit of a product would decide, are written as whole numbers.
func decimal(b []byte, v float64, decimals int) []byte {
	power := powers[decimals]
	scaled := math.Abs(v) * float64(power)
	n := int64(scaled + 0.5)
	if !(scaled < 1e9) || math.Abs(scaled-float64(n)) > 0.499999 {
		b = strconv.AppendFloat(b, v, 'f', decimals, 64)
		if decimals > 0 {
			b = bytes.TrimSuffix(bytes.TrimRight(b, "0"), []byte("."))
		}
		return b
	}
	if math.Signbit(v) {
		b = append(b, '-')
	}
	b = strconv.AppendInt(b, n/power, 10)
	rest := n % power
	for i, point := decimals-1, true; rest > 0; i-- {
		if point {
			b, point = append(b, '.'), false
		}
		b = append(b, byte('0'+rest/powers[i]))
		rest %= powers[i]
	}
	return b
}

// at writes a place on the page.
func (c *content) at(x, y float64, decimals int) {
	c.number(x/mmPerPoint, decimals)
	c.number((c.high-y)/mmPerPoint, decimals)
}

func (c *content) op(name string) { c.buf = append(append(c.buf, name...), '\n') }

func (c *content) grey(ink Ink, op string) {
	c.number(float64(ink)/255, 3)
	c.op(op)
}

func (c *content) fill(ink Ink) {
	if ink != c.state.fill {
		c.grey(ink, "g")
		c.state.fill = ink
	}
}

func (c *content) stroke(ink Ink, width float64) {
	if ink != c.state.stroke {
		c.grey(ink, "G")
		c.state.stroke = ink
	}
	if width != c.state.width {
		c.number(width/mmPerPoint, 2)
		c.op("w")
		c.state.width = width
	}
}

// write writes s with its feet on y, pt points large.
func (c *content) write(f Face, pt float64, ink Ink, x, y float64, s string) {
	c.fill(ink)
	c.buf = append(c.buf, "BT "...)
	if f != c.state.face || pt != c.state.pt {
		c.buf = append(append(c.buf, faceNames[f]...), ' ')
		c.number(pt, 2)
		c.buf = append(c.buf, "Tf "...)
		c.state.face, c.state.pt = f, pt
	}
	c.at(x, y, 2)
	c.buf = append(c.buf, "Td ("...)
	for _, r := range s { // none is above U+FFFF: Printable sees to that
		c.buf = escaped(escaped(c.buf, byte(r>>8)), byte(r))
	}
	c.op(") Tj ET")
}

// escaped appends a byte of a string in round brackets.
func escaped(b []byte, c byte) []byte {
	switch c {
	case '(', ')', '\\':
		return append(b, '\\', c)
	case '\r':
		return append(b, '\\', 'r')
	}
	return append(b, c)
}

func (c *content) line(x1, y1, x2, y2 float64) {
	c.at(x1, y1, 2)
	c.buf = append(c.buf, "m "...)
	c.at(x2, y2, 2)
	c.op("l S")
}

// LineTo draws a straight line.
func (d *Doc) LineTo(x1, y1, x2, y2, width float64, ink Ink) {
	d.on.stroke(ink, width)
	d.on.line(x1, y1, x2, y2)
}

// Dashes draws a dashed line to cut along.
func (d *Doc) Dashes(x1, y1, x2, y2 float64) {
	if d.KeepBoxes {
		d.Cuts = append(d.Cuts, Box{Page: d.Page(), X: x1, Y: y1, W: x2 - x1, H: y2 - y1})
	}
	d.on.stroke(Mid, 0.15)
	d.on.buf = append(d.on.buf, '[')
	d.on.number(1/mmPerPoint, 2)
	d.on.number(2/mmPerPoint, 2)
	d.on.op("] 0 d")
	d.on.line(x1, y1, x2, y2)
	d.on.op("[] 0 d")
}

func (c *content) rect(x, y, w, h float64, op string) {
	c.at(x, y, 2)
	c.number(w/mmPerPoint, 2)
	c.number(-h/mmPerPoint, 2)
	c.op(op)
}

// Rect draws a filled rectangle.
func (d *Doc) Rect(x, y, w, h float64, ink Ink) {
	d.on.fill(ink)
	d.on.rect(x, y, w, h, "re f")
}

// Outline draws a rectangle's outline, its line wholly inside.
func (d *Doc) Outline(x, y, w, h, width float64) {
	d.on.stroke(Black, width)
	d.on.rect(x+width/2, y+width/2, w-width, h-width, "re S")
}

// clip has nothing be drawn outside a rectangle until endClip.
func (c *content) clip(x, y, w, h float64) {
	c.op("q")
	c.rect(x, y, w, h, "re W n")
}

func (c *content) endClip() {
	c.op("Q")
	c.state = untold
}

// paint are the operators of the ways to draw a shape: filled, drawn round, both.
var paint = map[string]string{"F": "f", "D": "S", "FD": "B"}

// poly draws a closed shape through the places x, y, x, y and so on.
func (c *content) poly(style string, xy ...float64) {
	op := "m"
	for i := 0; i+1 < len(xy); i += 2 {
		c.at(xy[i], xy[i+1], 3)
		c.op(op)
		op = "l"
	}
	c.at(xy[0], xy[1], 3)
	c.op("l " + paint[style])
}

// circle draws one as six curves, which leave the true circle by less than a
// thousandth of its radius.
func (c *content) circle(cx, cy, r float64, style string) {
	const step = math.Pi / 3
	c.at(cx+r, cy, 3)
	c.op("m")
	for i := range 6 {
		s0, c0 := math.Sincos(float64(i) * step)
		s1, c1 := math.Sincos(float64(i+1) * step)
		c.at(cx+r*(c0-s0*step/3), cy-r*(s0+c0*step/3), 3)
		c.at(cx+r*(c1+s1*step/3), cy-r*(s1-c1*step/3), 3)
		c.at(cx+r*c1, cy-r*s1, 3)
		c.op("c")
	}
	c.op(paint[style])
}
