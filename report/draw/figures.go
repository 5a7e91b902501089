package draw

import (
	"fmt"
	"math"
	"strings"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// fractions are those that have a sign of their own, with the figures they are drawn of.
var fractions = map[rune][2]rune{'¼': {'1', '4'}, '½': {'1', '2'}, '¾': {'3', '4'}}

// stagger is how high a fraction stands, in heights of its figures: the one above reaches
// down beside the one below, so that both can be large.
const stagger = 1.4

// Figures is a number with its feet on one line, capitals capMM high. A fraction at its
// end is drawn of figures fractionMM high, far larger than those of the font's own sign:
// a quarter must not be read as a half. The whole number before it is then as high as the
// fraction.
//
// A fraction's figures are shapes and no text. Its sign is text that is not seen, right
// behind the whole number: who copies, searches or reads aloud has 1¾, and not 1 3 4.
//
// It is shared, see [Typesetter.once].
func (t *Typesetter) Figures(f Face, capMM, fractionMM float64, s string) *Group {
	return t.once(look{what: figured, face: f, capMM: capMM, other: fractionMM, text: s}, func() []*Group {
		return []*Group{t.figures(f, capMM, fractionMM, s)}
	})[0]
}

func (t *Typesetter) figures(f Face, capMM, fractionMM float64, s string) *Group {
	s, _ = Printable(s)
	at := strings.IndexFunc(s, func(r rune) bool { _, ok := fractions[r]; return ok })
	if at < 0 {
		return t.Trim(f, capMM, Black, s)
	}
	sign := []rune(s[at:])[0]
	before, after := s[:at], s[at+len(string(sign)):]
	high := max(capMM, stagger*fractionMM)
	fractionMM = max(fractionMM, high/stagger*0.999)
	g, from := Space(0, high), 0.0 // where the sign stands, and where it is drawn
	if before != "" {
		g.Add(0, 0, t.Trim(f, high, Black, before))
		from, g.W = g.W, g.W+0.26*fractionMM
	}
	part := t.fraction(f, fractionMM, high, sign)
	to := g.W
	t.advance(f, sign) // so that the font has it
	g.Draw(func(d *Doc, x, y float64) {
		d.on.unseen(f, high, x+from, y+high, string(sign))
		if d.KeepBoxes {
			d.Boxes = append(d.Boxes, Box{Page: d.Page(), X: x + to, Y: y, W: part.W, H: high, Cap: fractionMM, Text: string(sign)})
		}
	})
	g.Add(to, 0, part)
	if after != "" {
		g.Add(g.W+0.3*fractionMM, high-capMM, t.Trim(f, capMM, Black, after))
	}
	return g
}

// fraction is one of the fractions, its figures capMM high, high mm in all.
func (t *Typesetter) fraction(f Face, capMM, high float64, sign rune) *Group {
	over, under := fractions[sign][0], fractions[sign][1]
	wide, gap := t.Width(f, capMM, string(over)), 0.3*capMM
	g := Space(wide+gap+t.Width(f, capMM, string(under)), high)
	return g.Draw(func(d *Doc, x, y float64) {
		d.on.shape(f, capMM, x, y+capMM, over)
		d.on.shape(f, capMM, x+wide+gap, y+high, under)
		// Between the two, from the foot of the one to the head of the other.
		d.LineTo(x+wide-0.12*capMM, y+high, x+wide+gap+0.12*capMM, y, 0.1*capMM, Black)
	})
}

// unseen writes text that is read and not seen (ISO 32000-1, 9.3.6).
func (c *content) unseen(f Face, capMM, x, y float64, s string) {
	c.op("3 Tr")
	c.write(f, points(capMM), Black, x, y, s)
	c.op("0 Tr")
}

// shape draws a figure's outline, filled, with its feet on y.
func (c *content) shape(f Face, capMM, x, y float64, figure rune) {
	c.fill(Black)
	c.shapes[f][figure-'0'] = true
	c.buf = append(c.buf, "q "...)
	pt := points(capMM) * capPerEm
	c.number(pt, 3)
	c.buf = append(c.buf, "0 0 "...)
	c.number(pt, 3)
	c.at(x, y, 2)
	c.buf = append(append(append(c.buf, "cm "...), shapeName(f, figure)...), " Do Q\n"...)
}

func shapeName(f Face, figure rune) string { return faceNames[f] + string(figure) }

// writeShapes writes the outlines that pages use, once each, and gives the entries that
// name them in the pages' resources (ISO 32000-1, 8.10).
func (d *Doc) writeShapes() (entries string) {
	for f := range d.on.shapes {
		for i, used := range d.on.shapes[f] {
			if !used {
				continue
			}
			path := outline(Face(f), '0'+rune(i))
			entries += fmt.Sprintf("%s %d 0 R\n", shapeName(Face(f), '0'+rune(i)), len(d.file.begins))
			d.file.begins = append(d.file.begins, 0)
			d.file.object(len(d.file.begins)-1, fmt.Appendf(nil, "<</Type /XObject /Subtype /Form /BBox [0 -0.1 1.5 1.1] /Length %d>>\nstream\n", len(path)), path, []byte("\nendstream\nendobj\n"))
		}
	}
	return entries
}

// outline is a figure as the font has it, in heights of capitals, its feet on zero.
func outline(f Face, figure rune) []byte {
	ft := faces()[f]
	em := fixed.I(int(ft.UnitsPerEm()))
	var buf sfnt.Buffer
	i, err := ft.GlyphIndex(&buf, figure)
	if err != nil {
		panic(err) // the font is built in, and the tests draw all its figures
	}
	segments, err := ft.LoadGlyph(&buf, i, em, nil)
	if err != nil {
		panic(err)
	}
	var b []byte
	scale := 1 / (float64(em) * capPerEm)
	type place [2]float64
	var now place
	put := func(op string, places ...place) {
		for _, p := range places {
			b = append(decimal(append(decimal(b, p[0], 3), ' '), p[1], 3), ' ')
		}
		b = append(append(b, op...), '\n')
		if len(places) > 0 {
			now = places[len(places)-1]
		}
	}
	for _, s := range segments {
		var at [3]place
		for k, p := range s.Args {
			at[k] = place{float64(p.X) * scale, -float64(p.Y) * scale}
		}
		between := func(a, b place) place { return place{a[0] + (b[0]-a[0])*2/3, a[1] + (b[1]-a[1])*2/3} }
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			put("m", at[0])
		case sfnt.SegmentOpLineTo:
			put("l", at[0])
		case sfnt.SegmentOpQuadTo: // PDF has curves of the third degree only
			put("c", between(now, at[0]), between(at[1], at[0]), at[1])
		case sfnt.SegmentOpCubeTo:
			put("c", at[0], at[1], at[2])
		}
	}
	return append(b, 'f')
}

// points is the size of type whose capitals are so high, rounded down to what pages say.
func points(capMM float64) float64 { return math.Floor(capMM/capPerEm/mmPerPoint*100+1e-6) / 100 }
