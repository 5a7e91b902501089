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

// untold is the state of which nothing is known.
var untold = state{pt: -1, fill: -1, stroke: -1, width: -1}

// number writes v with as many decimals at most as given, without those that are
// nothing.
func (d *Doc) number(v float64, decimals int) { d.buf = append(decimal(d.buf, v, decimals), ' ') }

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
func (d *Doc) at(x, y float64, decimals int) {
	d.number(x/mmPerPoint, decimals)
	d.number((d.PageH-y)/mmPerPoint, decimals)
}

func (d *Doc) op(name string) { d.buf = append(append(d.buf, name...), '\n') }

func (d *Doc) grey(ink Ink, op string) {
	d.number(float64(ink)/255, 3)
	d.op(op)
}

func (d *Doc) fill(ink Ink) {
	if ink != d.state.fill {
		d.grey(ink, "g")
		d.state.fill = ink
	}
}

func (d *Doc) stroke(ink Ink, width float64) {
	if ink != d.state.stroke {
		d.grey(ink, "G")
		d.state.stroke = ink
	}
	if width != d.state.width {
		d.number(width/mmPerPoint, 2)
		d.op("w")
		d.state.width = width
	}
}

// write writes s with its feet on y, pt points large.
func (d *Doc) write(f Face, pt float64, ink Ink, x, y float64, s string) {
	d.fill(ink)
	d.buf = append(d.buf, "BT "...)
	if f != d.state.face || pt != d.state.pt {
		d.buf = append(append(d.buf, faceNames[f]...), ' ')
		d.number(pt, 2)
		d.buf = append(d.buf, "Tf "...)
		d.state.face, d.state.pt = f, pt
	}
	d.at(x, y, 2)
	d.buf = append(d.buf, "Td ("...)
	for _, r := range s { // none is above U+FFFF: Printable sees to that
		d.buf = escaped(escaped(d.buf, byte(r>>8)), byte(r))
	}
	d.op(") Tj ET")
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

func (d *Doc) line(x1, y1, x2, y2 float64) {
	d.at(x1, y1, 2)
	d.buf = append(d.buf, "m "...)
	d.at(x2, y2, 2)
	d.op("l S")
}

// LineTo draws a straight line.
func (d *Doc) LineTo(x1, y1, x2, y2, width float64, ink Ink) {
	d.stroke(ink, width)
	d.line(x1, y1, x2, y2)
}

// Dashes draws a dashed line to cut along.
func (d *Doc) Dashes(x1, y1, x2, y2 float64) {
	if d.KeepBoxes {
		d.Cuts = append(d.Cuts, Box{Page: d.Page(), X: x1, Y: y1, W: x2 - x1, H: y2 - y1})
	}
	d.stroke(Mid, 0.15)
	d.buf = append(d.buf, '[')
	d.number(1/mmPerPoint, 2)
	d.number(2/mmPerPoint, 2)
	d.op("] 0 d")
	d.line(x1, y1, x2, y2)
	d.op("[] 0 d")
}

func (d *Doc) rect(x, y, w, h float64, op string) {
	d.at(x, y, 2)
	d.number(w/mmPerPoint, 2)
	d.number(-h/mmPerPoint, 2)
	d.op(op)
}

// Rect draws a filled rectangle.
func (d *Doc) Rect(x, y, w, h float64, ink Ink) {
	d.fill(ink)
	d.rect(x, y, w, h, "re f")
}

// Outline draws a rectangle's outline, its line wholly inside.
func (d *Doc) Outline(x, y, w, h, width float64) {
	d.stroke(Black, width)
	d.rect(x+width/2, y+width/2, w-width, h-width, "re S")
}

// clip has nothing be drawn outside a rectangle until endClip.
func (d *Doc) clip(x, y, w, h float64) {
	d.op("q")
	d.rect(x, y, w, h, "re W n")
}

func (d *Doc) endClip() {
	d.op("Q")
	d.state = untold
}

// paint are the operators of the ways to draw a shape: filled, drawn round, both.
var paint = map[string]string{"F": "f", "D": "S", "FD": "B"}

// poly draws a closed shape through the places x, y, x, y and so on.
func (d *Doc) poly(style string, xy ...float64) {
	op := "m"
	for i := 0; i+1 < len(xy); i += 2 {
		d.at(xy[i], xy[i+1], 3)
		d.op(op)
		op = "l"
	}
	d.at(xy[0], xy[1], 3)
	d.op("l " + paint[style])
}

// circle draws one as six curves, which leave the true circle by less than a
// thousandth of its radius.
func (d *Doc) circle(cx, cy, r float64, style string) {
	const step = math.Pi / 3
	d.at(cx+r, cy, 3)
	d.op("m")
	for i := range 6 {
		s0, c0 := math.Sincos(float64(i) * step)
		s1, c1 := math.Sincos(float64(i+1) * step)
		d.at(cx+r*(c0-s0*step/3), cy-r*(s0+c0*step/3), 3)
		d.at(cx+r*(c1+s1*step/3), cy-r*(s1-c1*step/3), 3)
		d.at(cx+r*c1, cy-r*s1, 3)
		d.op("c")
	}
	d.op(paint[style])
}
