package draw

import (
	"math"
	"slices"
)

// Columns draws one upright grey bar for each value on a common scale, with its
// label below and its figure above; a value that is not a number is hatched.
func Columns(set *Typesetter, w, h, capMM float64, values []float64, figures, labels []string) *Group {
	return bars(set, w, h, capMM, nil, values, figures, labels)
}

// Pairs does the same for two values a place: the first an outline, the second
// grey. The figures are of both: "18.2 / 19".
func Pairs(set *Typesetter, w, h, capMM float64, outlined, filled []float64, figures, labels []string) *Group {
	return bars(set, w, h, capMM, outlined, filled, figures, labels)
}

func bars(set *Typesetter, w, h, capMM float64, outlined, filled []float64, figures, labels []string) *Group {
	g := Space(w, 0)
	top := 0.0
	for _, v := range slices.Concat(outlined, filled) {
		if v > top && !math.IsInf(v, 1) {
			top = v
		}
	}
	pitch := w / float64(len(filled))
	bw := pitch * 0.6
	if outlined != nil {
		bw /= 2
	}
	line := capMM * Leading
	for i := range filled {
		mid := (float64(i) + 0.5) * pitch
		highest := 0.0
		bar := func(x0, v float64, fill bool) {
			if math.IsNaN(v) {
				highest = h
				g.Add(x0, line, Hatch(bw, h))
				return
			}
			bh := 0.0
			if top > 0 {
				bh = h * unit(v/top)
			}
			highest = max(highest, bh)
			g.Draw(func(d *Doc, x, y float64) {
				if fill {
					d.Rect(x+x0, y+line+h-bh, bw, bh, Mid)
				}
				if outlined != nil {
					d.Outline(x+x0, y+line+h-bh, bw, bh, 0.25)
				}
			})
		}
		if outlined == nil {
			bar(mid-bw/2, filled[i], true)
		} else {
			bar(mid-bw, outlined[i], false)
			bar(mid, filled[i], true)
		}
		f := set.Number(Regular, capMM, pitch-0.6, Black, figures[i])
		l := set.Number(Regular, capMM, pitch-0.6, Black, labels[i])
		g.Add(mid-f.W/2, h-highest, f)
		g.Add(mid-l.W/2, line+h+0.4, l)
	}
	return g.Draw(func(d *Doc, x, y float64) { d.LineTo(x, y+line+h, x+w, y+line+h, 0.3, Black) })
}

// StepWeek is one place of [Steps].
type StepWeek struct {
	Value  float64 // not a number: not known, and hatched
	Figure string
	Label  [2]string // two lines below it
	Fill   Ink       // White: an outline only
	Gap    bool      // no record: nothing is drawn but the label
}

// StepMark is a line across the places of [Steps] from one of them on; its
// label stands to the right, Below the line or above it.
type StepMark struct {
	At    float64
	Label string
	From  int
	Below bool
}

// Steps draws amounts over weeks as upright bars on a common scale from zero,
// with marks across them; what is told apart is told by outline, grey and black.
func Steps(set *Typesetter, w, h, capMM float64, weeks []StepWeek, marks []StepMark) *Group {
	line := capMM * Leading
	g := Space(w, 0)
	if len(weeks) == 0 {
		return g
	}
	side := 0.0 // the marks' words
	top := 0.0
	var words []*Group
	for _, m := range marks {
		l := set.Number(Regular, capMM, 0.2*w, Black, m.Label)
		words, side = append(words, l), max(side, l.W+1.5)
		top = max(top, m.At)
	}
	for _, v := range weeks {
		if v.Value > top && !math.IsInf(v.Value, 1) {
			top = v.Value
		}
	}
	rise := func(v float64) float64 {
		if top <= 0 {
			return 0
		}
		return h * unit(v/top)
	}
	if len(marks) > 0 {
		line *= 1.5 // a label above the highest line
	}
	base := line + h
	pitch := (w - side) / float64(len(weeks))
	bw := min(pitch*0.6, 9)
	for i, m := range marks {
		y0, x0 := base-rise(m.At), float64(m.From)*pitch
		g.Draw(func(d *Doc, x, y float64) { d.LineTo(x+x0, y+y0, x+w, y+y0, 0.2, Dark) })
		at := y0 - words[i].H
		if m.Below {
			at = y0 + 0.2
		}
		g.Add(w-words[i].W, max(0, at), words[i])
	}
	for i, v := range weeks {
		mid := (float64(i) + 0.5) * pitch
		below := base + 0.4
		for _, t := range v.Label {
			if t != "" {
				l := set.Number(Regular, capMM, pitch-0.6, Black, t)
				g.Add(mid-l.W/2, below, l)
			}
			below += capMM * Leading
		}
		if v.Gap {
			continue
		}
		high := h
		if math.IsNaN(v.Value) {
			g.Add(mid-bw/2, line, Hatch(bw, h))
		} else {
			high = rise(v.Value)
			g.Draw(func(d *Doc, x, y float64) {
				d.Rect(x+mid-bw/2, y+base-high, bw, high, v.Fill)
				if high > 0.6 {
					d.Outline(x+mid-bw/2, y+base-high, bw, high, 0.25)
				}
			})
		}
		f := set.Number(Regular, capMM, pitch-0.6, Black, v.Figure)
		// A mark's line ends well before a figure and goes on well behind it; nearer, it
		// would read as a minus.
		at := base - high - f.H
		g.Draw(func(d *Doc, x, y float64) { d.Rect(x+mid-f.W/2-1.1, y+at, f.W+2.2, f.H, White) })
		g.Add(mid-f.W/2, at, f)
	}
	return g.Draw(func(d *Doc, x, y float64) { d.LineTo(x, y+base, x+w-side, y+base, 0.3, Black) })
}

// Point is one measurement: how many days before the last, and its value with
// what is written at it.
type Point struct {
	Days, Value float64
	Label       string
}

// Trend is a line plot of measurements in order of time, the last on the right.
// Labels that would cover another are left out, the last and the first never.
func Trend(set *Typesetter, w, h, capMM float64, points []Point) *Group {
	line := capMM * Leading
	g := Space(w, h+2*line+1.5)
	if len(points) == 0 {
		return g
	}
	lo, hi, span := math.Inf(1), math.Inf(-1), 0.0
	for _, p := range points {
		lo, hi, span = min(lo, p.Value), max(hi, p.Value), max(span, p.Days)
	}
	margin := max((hi-lo)*0.15, 1e-9)
	lo, hi = lo-margin, hi+margin
	const side = 12 // room for half a label at each end
	at := func(p Point) (x, y float64) {
		x = w - side
		if span > 0 {
			x -= (w - 2*side) * unit(p.Days/span)
		}
		return x, line + 0.5 + h*(1-unit((p.Value-lo)/(hi-lo)))
	}
	g.Draw(func(d *Doc, x, y float64) {
		d.LineTo(x, y+line+0.5+h, x+w, y+line+0.5+h, 0.2, Mid)
		for i := 1; i < len(points); i++ {
			x1, y1 := at(points[i-1])
			x2, y2 := at(points[i])
			d.LineTo(x+x1, y+y1, x+x2, y+y2, 0.4, Black)
		}
		for _, p := range points {
			cx, cy := at(p)
			d.on.fill(Black)
			d.on.circle(x+cx, y+cy, 0.8, "F")
		}
	})
	order := []int{len(points) - 1, 0}
	for i := 1; i < len(points)-1; i++ {
		order = append(order, i)
	}
	if len(points) == 1 {
		order = order[:1]
	}
	var labels []label
	for _, i := range order {
		x, y := at(points[i])
		labels = append(labels, label{x, y, points[i].Label})
	}
	writeLabels(set, g, w, capMM, 2*side, labels)
	return g
}

// label is what is written at a point, above it where there is room.
type label struct {
	x, y float64
	text string
}

// box is where something stands.
type box struct{ x0, x1, y0, y1 float64 }

func (b box) covers(o box) bool { return b.x1 > o.x0 && b.x0 < o.x1 && b.y1 > o.y0 && b.y0 < o.y1 }

// label writes labels into a drawing, the first first; those that would cover another,
// or what is taken, are left out. It gives back what is taken then.
func writeLabels(set *Typesetter, g *Group, w, capMM, most float64, labels []label, taken ...box) []box {
	for _, at := range labels {
		l := set.Number(Regular, capMM, most, Black, at.text)
		above, below := at.y-1.2-l.H, at.y+1.2
		for _, to := range [][2]float64{{at.x - l.W/2, above}, {at.x - l.W/2, below}, {at.x - l.W, above}, {at.x - l.W, below}} {
			x0, y0 := min(max(0, to[0]), w-l.W), to[1]
			b := box{x0 - 1, x0 + l.W + 1, y0, y0 + l.H}
			if y0 < 0 || y0+l.H > g.H || slices.ContainsFunc(taken, b.covers) {
				continue
			}
			taken = append(taken, b)
			g.Add(x0, y0, l)
			break
		}
	}
	return taken
}
