package draw

import (
	"math"
	"slices"
)

// WeekPanel is a chart over weeks, each a place of the same width: amounts as upright
// bars, marks over them, and measurements where they fall. Panels of the same weeks
// are under each other and are read downwards. Everything in it is told apart without
// colour.
type WeekPanel struct {
	Weeks    int
	FromZero bool // the scale begins at zero; else where the least is
	Bars     []WeekBar
	Marks    []WeekMark
	Points   []WeekPoint // joined by a line, in order
	Fan      []WeekRange // what is expected, in order
	Flags    []float64   // times at which something happens, in weeks from the first one's beginning
	Below    []string    // under each week; "": nothing
	Scale    func(v float64) string
}

// WeekBar is an amount of one week; an unknown one (NaN) is hatched.
type WeekBar struct {
	Week  int
	Value float64
	Fill  Ink // White: an outline
}

// WeekMark is a short line across the place of a week: thin, or Heavy.
type WeekMark struct {
	Week  int
	Value float64
	Heavy bool
}

// WeekPoint is a measurement at a time, in weeks from the first one's beginning.
type WeekPoint struct {
	At, Value float64
	Open      bool // unlike the others: a ring, and the line passes it by
}

// WeekRange is what is expected at a time.
type WeekRange struct{ At, Low, Mean, High float64 }

// scaleW is the room on the left for the figures of the scale, mm.
const scaleW = 13

// ends are the least and the most of all that is drawn; ok is false where that is nothing.
func (p WeekPanel) ends() (lo, hi float64, ok bool) {
	lo, hi = math.Inf(1), math.Inf(-1)
	take := func(vs ...float64) {
		for _, v := range vs {
			if !math.IsNaN(v) && !math.IsInf(v, 0) {
				lo, hi, ok = min(lo, v), max(hi, v), true
			}
		}
	}
	for _, b := range p.Bars {
		take(b.Value)
	}
	for _, m := range p.Marks {
		take(m.Value)
	}
	for _, x := range p.Points {
		take(x.Value)
	}
	for _, r := range p.Fan {
		take(r.Low, r.High)
	}
	if p.FromZero {
		return 0, max(hi, 0), true
	}
	// One measurement, or several that are alike, are in the middle and not in a corner;
	// and a kilogram more or less does not look like a change.
	margin := max((hi-lo)*0.05, (leastSpan*math.Abs(hi+lo)/2-(hi-lo))/2)
	return lo - margin, hi + margin, ok
}

// leastSpan is how much of what is measured a scale takes at least.
const leastSpan = 0.03

// niceStep is a step of 1, 2 or 5 times a power of ten that takes a span in at most four.
func niceStep(span float64) float64 {
	if !(span > 0) {
		return 1
	}
	step := math.Pow(10, math.Floor(math.Log10(span/4)))
	for _, m := range []float64{1, 2, 5, 10} {
		if span/(step*m) <= 4 {
			return step * m
		}
	}
	return step * 10
}

// WeekChart draws a panel w wide whose scale is h high.
func WeekChart(set *Typesetter, w, h, capMM float64, p WeekPanel) *Group {
	line := capMM * Leading
	g := Space(w, h+2*line)
	lo, hi, any := p.ends()
	if p.Weeks < 1 {
		return g
	}
	if !any {
		lo, hi = 0, 1
	}
	step := niceStep(hi - lo)
	lo, hi = math.Floor(lo/step)*step, math.Ceil(hi/step-1e-9)*step
	if hi <= lo {
		hi = lo + step
	}
	pitch := (w - scaleW) / float64(p.Weeks)
	top := line // for the flags
	x := func(at float64) float64 { return scaleW + pitch*min(max(at, 0), float64(p.Weeks)) }
	y := func(v float64) float64 { return top + h*(1-unit((v-lo)/(hi-lo))) }
	if any {
		for v := lo; v <= hi+step/2; v += step {
			t := set.Number(Regular, capMM, scaleW-2, Black, p.Scale(v))
			g.Add(scaleW-1.5-t.W, min(max(y(v)-t.H/2, 0), top+h-t.H/2), t)
			at := y(v)
			g.Draw(func(d *Doc, x0, y0 float64) { d.LineTo(x0+scaleW, y0+at, x0+w, y0+at, 0.1, Mid) })
		}
	}
	p.drawBars(g, pitch, y, top, h)
	zeros(set, g, p, pitch, top+h, capMM)
	g.Draw(func(d *Doc, x0, y0 float64) { p.drawPoints(d, x0, y0, x, y) })
	if n := len(p.Points); any && n > 0 && len(p.Fan) == 0 && p.Scale != nil {
		last := p.Points[n-1]
		t := set.Number(Regular, capMM, 20, Black, p.Scale(last.Value))
		g.Add(max(scaleW+1, x(last.At)-t.W-1.2), y(last.Value)-t.H-0.6, t)
	}
	for _, at := range p.Flags {
		fx := x(at)
		g.Draw(func(d *Doc, x0, y0 float64) {
			d.on.fill(Black)
			d.on.poly("F", x0+fx-1.1, y0+0.2, x0+fx+1.1, y0+0.2, x0+fx, y0+2.2)
			d.LineTo(x0+fx, y0+2.2, x0+fx, y0+top+h, 0.15, Dark)
		})
	}
	for i, text := range p.Below {
		if text != "" {
			t := set.Number(Regular, capMM, 14, Black, text)
			g.Add(min(x(float64(i)+0.5)-t.W/2, w-t.W), top+h+0.6, t)
		}
	}
	return g.Draw(func(d *Doc, x0, y0 float64) { d.LineTo(x0+scaleW, y0+top+h, x0+w, y0+top+h, 0.3, Black) })
}

// zeros are the bars of weeks that have none of it: a thick line and the figure, so that
// they are not taken for weeks of which nothing is known.
func zeros(set *Typesetter, g *Group, p WeekPanel, pitch, foot, capMM float64) {
	bw := min(pitch*0.7, 9)
	for _, b := range p.Bars {
		if b.Value != 0 {
			continue
		}
		middle := scaleW + (float64(b.Week)+0.5)*pitch
		g.Draw(func(d *Doc, x0, y0 float64) {
			d.Rect(x0+middle-bw/2, y0+foot-0.8, bw, 0.8, b.Fill)
			d.Outline(x0+middle-bw/2, y0+foot-0.8, bw, 0.8, 0.25)
		})
		t := set.Number(Regular, capMM, pitch, Black, p.Scale(0))
		g.Add(p.besideFlags(middle-t.W/2, t.W, pitch), foot-1-t.H, t)
	}
}

// besideFlags is where a figure w wide goes that would begin at left: beside the line of a
// flag, on the side that is nearer, and not across it.
func (p WeekPanel) besideFlags(left, w, pitch float64) float64 {
	const clear = 0.5
	at := func(f float64) float64 { return scaleW + pitch*min(max(f, 0), float64(p.Weeks)) }
	free := func(l float64) bool {
		return !slices.ContainsFunc(p.Flags, func(f float64) bool { return at(f) > l-clear/2 && at(f) < l+w+clear/2 })
	}
	best := left
	if free(left) {
		return left
	}
	far := math.Inf(1)
	for _, f := range p.Flags {
		for _, l := range []float64{at(f) + clear, at(f) - clear - w} {
			if by := math.Abs(l - left); free(l) && by < far {
				best, far = l, by
			}
		}
	}
	return best
}

func (p WeekPanel) drawBars(g *Group, pitch float64, y func(float64) float64, top, h float64) {
	bw := min(pitch*0.7, 9)
	for _, b := range p.Bars {
		left := scaleW + (float64(b.Week)+0.5)*pitch - bw/2
		if math.IsNaN(b.Value) {
			g.Add(left, top+h*0.75, Hatch(bw, h/4))
			continue
		}
		at := y(b.Value)
		g.Draw(func(d *Doc, x0, y0 float64) {
			if top+h-at > 0.3 {
				d.Rect(x0+left, y0+at, bw, top+h-at, b.Fill)
				d.Outline(x0+left, y0+at, bw, top+h-at, 0.25)
			}
		})
	}
	for _, m := range p.Marks {
		left, at, thick := scaleW+(float64(m.Week)+0.5)*pitch-pitch*0.45, y(m.Value), 0.2
		if m.Heavy {
			thick = 0.7
		}
		g.Draw(func(d *Doc, x0, y0 float64) { d.LineTo(x0+left, y0+at, x0+left+pitch*0.9, y0+at, thick, Black) })
	}
}

func (p WeekPanel) drawPoints(d *Doc, x0, y0 float64, x, y func(float64) float64) {
	if n := len(p.Fan); n > 1 {
		var edge []float64
		for _, r := range p.Fan {
			edge = append(edge, x0+x(r.At), y0+y(r.High))
		}
		for i := n - 1; i >= 0; i-- {
			edge = append(edge, x0+x(p.Fan[i].At), y0+y(p.Fan[i].Low))
		}
		d.on.fill(Light)
		d.on.poly("F", edge...)
		for i := 1; i < n; i++ {
			a, b := p.Fan[i-1], p.Fan[i]
			d.LineTo(x0+x(a.At), y0+y(a.High), x0+x(b.At), y0+y(b.High), 0.2, Black)
			d.LineTo(x0+x(a.At), y0+y(a.Low), x0+x(b.At), y0+y(b.Low), 0.2, Black)
			d.Dashes(x0+x(a.At), y0+y(a.Mean), x0+x(b.At), y0+y(b.Mean))
		}
	}
	before := -1
	for i, m := range p.Points {
		if m.Open {
			continue
		}
		if before >= 0 {
			d.LineTo(x0+x(p.Points[before].At), y0+y(p.Points[before].Value), x0+x(m.At), y0+y(m.Value), 0.4, Black)
		}
		before = i
	}
	for _, m := range p.Points {
		style := "F"
		d.on.fill(Black)
		if m.Open {
			style = "FD"
			d.on.fill(White)
			d.on.stroke(Black, 0.3)
		}
		d.on.circle(x0+x(m.At), y0+y(m.Value), 0.8, style)
	}
}
