package draw

import (
	"math"
	"strings"
)

// fractions are those that have a sign of their own.
var fractions = map[rune][2]string{'¼': {"1", "4"}, '½': {"1", "2"}, '¾': {"3", "4"}}

// stagger is how high a fraction stands, in heights of its figures: the one above reaches
// down beside the one below, so that both can be large.
const stagger = 1.4

// Figures is a number with its feet on one line, capitals capMM high. A fraction at its
// end is drawn of figures fractionMM high, far larger than those of the font's own sign:
// a quarter must not be read as a half. The whole number before it is then as high as the
// fraction. It is read back, and read aloud, as that sign.
func (d *Doc) Figures(f Face, capMM, fractionMM float64, s string) *Group {
	s, _ = Printable(s)
	at := strings.IndexFunc(s, func(r rune) bool { _, ok := fractions[r]; return ok })
	if at < 0 {
		return d.Trim(f, capMM, Black, s)
	}
	sign := []rune(s[at:])[0]
	before, after := s[:at], s[at+len(string(sign)):]
	high := max(capMM, stagger*fractionMM)
	fractionMM = max(fractionMM, high/stagger*0.999)
	part := d.fraction(f, fractionMM, high, sign)
	if before == "" && after == "" {
		return part
	}
	g := Space(0, high)
	if before != "" {
		g.Add(0, 0, d.Trim(f, high, Black, before))
		g.W += 0.26 * fractionMM
	}
	g.Add(g.W, 0, part)
	if after != "" {
		g.Add(g.W+0.3*fractionMM, high-capMM, d.Trim(f, capMM, Black, after))
	}
	return g
}

// fraction is one of the fractions' signs, figures capMM high, high mm in all.
func (d *Doc) fraction(f Face, capMM, high float64, sign rune) *Group {
	over, under := fractions[sign][0], fractions[sign][1]
	wide, gap := d.Width(f, capMM, over), 0.3*capMM
	g := Space(wide+gap+d.Width(f, capMM, under), high)
	d.advance(f, sign) // so that the font has it
	return g.Draw(func(d *Doc, x, y float64) {
		d.actualText(sign)
		pt := math.Floor(capMM/capPerEm/mmPerPoint*100+1e-6) / 100
		d.write(f, pt, Black, x, y+capMM, over)
		d.write(f, pt, Black, x+wide+gap, y+high, under)
		d.op("EMC")
		// Between the two, from the foot of the one to the head of the other.
		d.LineTo(x+wide-0.12*capMM, y+high, x+wide+gap+0.12*capMM, y, 0.1*capMM, Black)
		if d.KeepBoxes {
			d.Boxes = append(d.Boxes, Box{Page: d.Page(), X: x, Y: y, W: g.W, H: high, Cap: capMM, Text: string(sign)})
		}
	})
}

// actualText begins a stretch that is read back as one sign (ISO 32000-1, 14.9.4).
func (d *Doc) actualText(sign rune) {
	const hex = "0123456789ABCDEF"
	d.buf = append(d.buf, "/Span <</ActualText <FEFF"...)
	for shift := 12; shift >= 0; shift -= 4 {
		d.buf = append(d.buf, hex[sign>>shift&15])
	}
	d.op(">>> BDC")
}
