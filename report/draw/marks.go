package draw

import (
	"math"
)

// On puts g on a ground of ink with a margin round it.
func On(ink Ink, margin float64, g *Group) *Group {
	s := Space(g.W+2*margin, g.H+2*margin)
	s.Draw(func(d *Doc, x, y float64) { d.Rect(x, y, s.W, s.H, ink) })
	return s.Add(margin, margin, g)
}

// Framed puts g in a box.
func Framed(width, margin float64, g *Group) *Group {
	s := Space(g.W+2*margin, g.H+2*margin)
	s.Draw(func(d *Doc, x, y float64) { d.Outline(x, y, s.W, s.H, width) })
	return s.Add(margin, margin, g)
}

// mark remembers where a drawing stands, if that is kept.
func (d *Doc) mark(x, y, w, h float64) {
	if d.KeepBoxes {
		d.Marks = append(d.Marks, Box{Page: d.Page(), X: x, Y: y, W: w, H: h})
	}
}

// marked is g, remembered where it is drawn.
func marked(g *Group) *Group {
	return g.Draw(func(d *Doc, x, y float64) { d.mark(x, y, g.W, g.H) })
}

// maxScoops is how many scoops are drawn one by one; more cannot be counted at
// a glance.
const maxScoops = 6

// Scoops draws n measures, h high: whole ones black, the last filled by its
// part. Above six, or where n is not a number that can be drawn, it draws
// nothing, and the words stand alone. It is shared, see [Typesetter.once].
func (t *Typesetter) Scoops(n, h float64) *Group {
	return t.once(look{what: measures, capMM: h, other: n}, func() []*Group { return []*Group{scoops(n, h)} })[0]
}

func scoops(n, h float64) *Group {
	if !(n > 0 && n <= maxScoops) {
		return Space(0, 0)
	}
	g := &Group{H: h}
	cup, step := 0.86*h, 1.22*h
	count := int(math.Ceil(n - 1e-9))
	g.W = float64(count-1)*step + 1.1*h
	for i := range count {
		part := min(1, n-float64(i))
		dx := float64(i) * step
		g.Draw(func(d *Doc, x, y float64) { d.scoop(x+dx, y, cup, h, part) })
	}
	return marked(g)
}

// scoop is a cup, wider at the brim, with a stub of a handle, filled from the
// bottom to part of its height.
func (d *Doc) scoop(x, y, w, h, part float64) {
	lw := max(0.25, 0.075*h)
	in := 0.15 * w // how far each side leans in at the foot
	top, foot := y+lw/2, y+h-lw/2
	left, right := x+lw/2, x+w-lw/2
	level := foot - part*(foot-top)
	lean := in * (level - top) / (foot - top)
	d.on.fill(Black)
	d.on.poly("F", left+lean, level, right-lean, level, right-in, foot, left+in, foot)
	d.on.stroke(Black, lw)
	d.on.poly("D", left, top, right, top, right-in, foot, left+in, foot)
	d.on.stroke(Black, 0.16*h)
	d.on.line(right-0.02*w, y+0.22*h, x+w+0.22*h, y+0.22*h)
}

// Level draws what a level measure is, h high: one filled to the brim, ticked,
// and a heaped one, crossed out.
func Level(h float64) *Group {
	const heap = 0.3
	cup := h / (1 + heap)
	g := marked(Space(3.4*cup, h))
	return g.Draw(func(d *Doc, x, y float64) {
		lw := max(0.3, 0.08*cup)
		top := y + h - cup
		d.scoop(x, top, 0.86*cup, cup, 1)
		d.on.stroke(Black, lw)
		d.on.line(x+1.1*cup, top+0.75*cup, x+1.22*cup, top+0.95*cup)
		d.on.line(x+1.22*cup, top+0.95*cup, x+1.5*cup, top+0.5*cup)
		at := x + 1.9*cup
		d.scoop(at, top, 0.86*cup, cup, 1)
		d.on.fill(Black)
		d.on.poly("F", at, top, at+0.43*cup, y, at+0.86*cup, top)
		d.on.stroke(Black, lw)
		left, low := at+1.12*cup, top+0.5*cup
		d.on.line(left, low, left+0.36*cup, low+0.45*cup)
		d.on.line(left, low+0.45*cup, left+0.36*cup, low)
	})
}

// Bale draws a bale of forage, h high.
func Bale(h float64) *Group {
	g := marked(Space(1.5*h, h))
	return g.Draw(func(d *Doc, x, y float64) {
		lw := max(0.25, 0.07*h)
		t := y + 0.15*h
		d.Outline(x, t, g.W, 0.8*h, lw)
		for _, f := range []float64{0.3, 0.7} {
			d.LineTo(x+f*g.W, t, x+f*g.W, t+0.8*h, 1.6*lw, Black)
		}
		for _, f := range []float64{0.35, 0.65} { // stalks
			d.LineTo(x+0.06*g.W, t+f*0.8*h, x+0.22*g.W, t+f*0.8*h, lw*0.7, Black)
			d.LineTo(x+0.4*g.W, t+f*0.8*h, x+0.6*g.W, t+f*0.8*h, lw*0.7, Black)
			d.LineTo(x+0.78*g.W, t+f*0.8*h, x+0.94*g.W, t+f*0.8*h, lw*0.7, Black)
		}
	})
}

// Drop draws a drop of oil, h high.
func Drop(h float64) *Group {
	g := marked(Space(0.7*h, h))
	return g.Draw(func(d *Doc, x, y float64) {
		r := 0.3 * h
		cx, cy := x+0.35*h, y+h-r-0.05*h
		d.on.fill(Black)
		d.on.circle(cx, cy, r, "F")
		d.on.poly("F", cx-0.92*r, cy-0.4*r, cx, y+0.02*h, cx+0.92*r, cy-0.4*r)
	})
}

// Shaker draws what salt comes out of, h high: a pot with a pierced lid, grains in it.
func Shaker(h float64) *Group {
	g := marked(Space(0.72*h, h))
	return g.Draw(func(d *Doc, x, y float64) {
		lw := max(0.25, 0.07*h)
		left, right := x+lw/2, x+g.W-lw/2
		neck, foot := y+0.36*h, y+0.93*h
		d.on.fill(Black)
		d.on.poly("F", left, neck, left+0.12*h, y+0.08*h, right-0.12*h, y+0.08*h, right, neck)
		d.on.stroke(Black, lw)
		d.on.poly("D", left+0.04*h, neck, right-0.04*h, neck, right, foot, left, foot)
		d.on.fill(White)
		for _, at := range []float64{0.32, 0.5, 0.68} {
			d.on.circle(x+at*g.W, y+0.22*h, 0.045*h, "F")
		}
		d.on.fill(Black)
		for _, at := range []float64{0.3, 0.5, 0.7} {
			d.on.circle(x+at*g.W, y+0.62*h, 0.035*h, "F")
			d.on.circle(x+at*g.W, y+0.78*h, 0.035*h, "F")
		}
	})
}

// Arrow draws a solid arrow, up or down, h high.
func Arrow(up bool, h float64) *Group {
	g := marked(Space(0.8*h, h))
	return g.Draw(func(d *Doc, x, y float64) {
		tip, neck, foot := y, y+0.5*h, y+h
		if !up {
			tip, neck, foot = y+h, y+0.5*h, y
		}
		d.on.fill(Black)
		d.on.poly("F", x, neck, x+0.4*h, tip, x+0.8*h, neck)
		d.Rect(x+0.26*h, min(neck, foot), 0.28*h, math.Abs(foot-neck), Black)
	})
}

// TickBox is a box to tick, its sides size long.
func TickBox(size float64) *Group {
	return marked(Space(size, size).Draw(func(d *Doc, x, y float64) { d.Outline(x, y, size, size, 0.35) }))
}

// TickBoxes draws a row of boxes w wide in all, a label above each; further rows
// of labels, as many each, stand smaller under the first.
func TickBoxes(set *Typesetter, w float64, labels ...[]string) *Group {
	g := Space(w, 0)
	pitch := w / float64(len(labels[0]))
	size := pitch + 0.3 // neighbours share an edge: every tenth of a millimetre helps a wet pen
	cap := min(pitch*0.5, 2.4)
	top := 0.0
	for row, ls := range labels {
		c := cap
		if row > 0 {
			c = 0.75 * cap
		}
		for i, l := range ls {
			t := set.Number(Regular, c, pitch-0.2, Black, l)
			g.Add((float64(i)+0.5)*pitch-t.W/2, top, t)
		}
		top += c * Leading
	}
	for i := range labels[0] {
		box := Space(pitch, size).Draw(func(d *Doc, x, y float64) {
			d.Outline(x, y, size, size, 0.3)
			d.mark(x, y, pitch, size)
		})
		g.Add(float64(i)*pitch, top, box)
	}
	return g
}

// Hatch fills a rectangle with slanted lines: "unknown".
func Hatch(w, h float64) *Group {
	g := Space(w, h)
	return g.Draw(func(d *Doc, x, y float64) {
		d.on.clip(x, y, w, h)
		d.on.stroke(Black, 0.15)
		for s := -h; s < w; s += 1.3 {
			d.on.line(x+s, y+h, x+s+h, y)
		}
		d.on.endClip()
		d.Outline(x, y, w, h, 0.2)
	})
}

// unit holds v between 0 and 1; what is not a number goes to 0.
func unit(v float64) float64 {
	if !(v > 0) {
		return 0
	}
	return min(1, v)
}

// Bar draws supply against need on a scale where full is the whole width w: a
// grey bar to supply, hatched on to most where it may be as much as that, a thick
// upright at need, a dashed one at limit. Negative or missing numbers are drawn as
// nothing; an infinite most leaves the end open.
func Bar(w, h, full, supply, most, need, limit float64) *Group {
	g := Space(w, h)
	pos := func(v float64) float64 { return unit(v/full) * w }
	return g.Draw(func(d *Doc, x, y float64) {
		if !(full > 0) {
			return
		}
		d.LineTo(x, y+h, x+w, y+h, 0.15, Mid)
		d.LineTo(x, y, x, y+h, 0.15, Black)
		if supply > 0 {
			d.Rect(x, y+0.2*h, pos(supply), 0.6*h, Mid)
		}
		if rest := pos(most) - pos(supply); math.IsInf(most, 1) && rest > 1 {
			d.Place(x+pos(supply), y+0.2*h, Hatch(min(rest, 12), 0.6*h))
		} else if rest > 0.3 {
			d.Place(x+pos(supply), y+0.2*h, Hatch(rest, 0.6*h))
		}
		if need > 0 {
			d.LineTo(x+pos(need), y-0.1*h, x+pos(need), y+1.1*h, 0.7, Black)
		}
		if limit > 0 {
			for i := range 3 {
				t := y + float64(i)*0.4*h
				d.LineTo(x+pos(limit), t, x+pos(limit), t+0.22*h, 0.5, Black)
			}
		}
	})
}

// Mark is a place on a number line.
type Mark struct {
	At    float64
	Label string // with its number
	Above bool   // label above the line, else below
	Kind  MarkKind
}

// MarkKind is the shape of a mark: shapes, not tones, tell them apart.
type MarkKind int

const (
	Dot MarkKind = iota // filled
	Ring
	Tick // an upright: a limit
)

// Band is a stretch of a number line.
type Band struct{ From, To float64 }

// NumberLine draws marks on a line w wide from lo to hi, and hatched bands on
// it. Labels that would run into each other move away from the line, a row at a
// time.
func NumberLine(set *Typesetter, w, lo, hi, capMM float64, marks []Mark, bands ...Band) *Group {
	if !(hi > lo) {
		hi = lo + 1
	}
	pos := func(v float64) float64 { return unit((v-lo)/(hi-lo)) * w }
	row := capMM*Leading + 0.4
	type label struct {
		g     *Group
		x     float64
		row   int
		above bool
		at    float64
	}
	var ls []label
	rows := [2]int{}
	for _, m := range marks {
		g := set.Number(Regular, capMM, w, Black, m.Label)
		l := label{g: g, at: pos(m.At), above: m.Above}
		l.x = min(max(0, l.at-g.W/2), w-g.W)
		for again := true; again; {
			again = false
			for _, o := range ls {
				if o.above == l.above && o.row == l.row && l.x < o.x+o.g.W+1.5 && o.x < l.x+g.W+1.5 {
					l.row++
					again = true
				}
			}
		}
		side := 0
		if l.above {
			side = 1
		}
		rows[side] = max(rows[side], l.row+1)
		ls = append(ls, l)
	}
	const half = 2.2
	y0 := float64(rows[1])*row + half
	out := Space(w, y0+half+float64(rows[0])*row)
	top := func(l label) float64 {
		if l.above {
			return y0 - half - float64(l.row+1)*row
		}
		return y0 + half + float64(l.row)*row
	}
	for _, b := range bands {
		if from, to := pos(b.From), pos(b.To); to > from {
			out.Add(from, y0-1.3, Hatch(to-from, 2.6))
		}
	}
	out.Draw(func(d *Doc, x, y float64) {
		d.LineTo(x, y+y0, x+w, y+y0, 0.4, Black)
		for _, l := range ls { // leads to the labels that had to move away
			if l.row > 0 {
				d.LineTo(x+l.at, y+y0, x+l.at, y+top(l)+l.g.H/2, 0.12, Mid)
			}
		}
		for _, l := range ls { // a lead that passes behind a label is covered
			d.Rect(x+l.x-0.5, y+top(l), l.g.W+1, l.g.H, White)
		}
	})
	for i, m := range marks {
		l := ls[i]
		out.Draw(func(d *Doc, x, y float64) {
			cx, cy := x+l.at, y+y0
			switch m.Kind {
			case Dot:
				d.on.fill(Black)
				d.on.circle(cx, cy, 1.3, "F")
			case Ring:
				d.on.fill(White)
				d.on.stroke(Black, 0.5)
				d.on.circle(cx, cy, 1.3, "FD")
			case Tick:
				d.LineTo(cx, cy-half, cx, cy+half, 0.8, Black)
			}
		})
		out.Add(l.x, top(l), l.g)
	}
	return out
}
