package report

import (
	"fmt"
	"math"
	"strings"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/templates/wording"
)

// scoops draws scoops.pdf: what a scoop of each feed weighs, and how many
// scoops a weight is.
func scoops(s *sheet) error {
	if err := s.start(s.word("title.scoops"), false); err != nil {
		return err
	}
	d, w := s.d, s.p.Week
	const margin = 10.0
	f := &flow{d: d, x: margin, w: d.PageW - 2*margin, top: margin, foot: d.PageH - margin - 6}
	f.put(d.Fit(draw.Bold, 8, 4, f.w, draw.Black, s.bothOf("scoops.title")),
		d.Fit(draw.Regular, 3.2, 2.2, f.w, draw.Black, join(", ", w.Yard, s.main.weekSpan(w), s.editionWord())),
		draw.Space(f.w, 1))
	level := draw.Level(11)
	var how []*draw.Group
	for _, t := range s.tongues() {
		how = append(how, d.Para(draw.Regular, 2.5, f.w-level.W-3, draw.Black, t.Say("scoops.how")))
	}
	text := draw.Stack(1, how...)
	f.put(draw.Space(f.w, max(text.H, level.H)).Add(0, 0, text).Add(f.w-level.W, 0, level))
	if len(s.p.Week.Measures) > 1 && s.largestMeasure() > 0 {
		f.put(d.Lines(draw.Regular, 2.5, f.w, draw.Black, s.bothOf("scoops.drawn"))...)
	}
	any := false
	for _, n := range s.p.Feeds {
		if !n.MeasureKg.IsKnown() && !n.Unweighed {
			continue
		}
		any = true
		b := s.scoopBlock(n, f.w)
		f.gap(4)
		f.put(b)
	}
	if !any {
		f.gap(6)
		f.put(d.Lines(draw.Bold, 4, f.w, draw.Black, s.bothOf("scoops.none"))...)
	}
	f.end()
	s.pageFeet(margin, f.w, join(". ", join(", ", s.word("title.scoops"), w.Yard, s.editionWord()), s.awaiting()))
	return nil
}

func (s *sheet) scoopBlock(n yard.FeedNeed, w float64) *draw.Group {
	d := s.d
	measure := s.measureName(n)
	one, ok := n.MeasureKg.Get()
	ok = ok && one > 0 && !math.IsInf(one, 0)

	b := draw.Space(w, 0)
	b.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x, y, x+w, y, 0.8, draw.Black) })
	whole, tall := w, 0.0
	if drawn := s.drawnMeasure(measure); drawn != nil {
		b.Add(w-drawn.W, 1.5, drawn)
		tall, b.H = b.H, 0 // the words begin beside it, not below
		w -= drawn.W + 3
	}
	b.Add(0, 1, d.Fit(draw.Bold, 6, 3.2, w, draw.Black, n.Feed.Name))

	is := s.main.Say("scoops.level.unknown", "measure", s.main.plural(1, measure))
	if ok {
		is = s.main.Say("scoops.level", "measure", s.main.plural(1, measure), "kg", s.main.figure(one, 3)+nb+"kg", "lb", s.main.pounds(one))
	}
	b.Add(0, b.H, d.Number(draw.Bold, 4.2, w, draw.Black, is))
	switch {
	case n.Unweighed || !ok:
		say := func(t tongue) string {
			what := t.Say("scoops.density")
			switch {
			case !ok:
				what = t.Say("scoops.density.none")
			case n.DensityFrom != "" && t.Code == wording.Original: // a source is named in English; the office sheet has it
				what = t.Say("scoops.density.from", "source", n.DensityFrom)
			}
			return t.Say("scoops.rely", "what", what)
		}
		word := draw.On(draw.Black, 1, d.Line(draw.Bold, 4, draw.White, s.bothOf("amount.unweighed")))
		text := d.Para(draw.Regular, 2.5, w-word.W-3, draw.Black, s.both(say))
		b.Add(0, b.H+0.8, draw.Beside(3, word, text))
	case n.Feed.MeasureWeighed.IsZero():
		b.Add(0, b.H, d.Number(draw.Regular, 2.6, w, draw.Black, s.bothOf("scoops.no date")))
	default:
		b.Add(0, b.H, d.Number(draw.Regular, 2.6, w, draw.Black, s.both(func(t tongue) string {
			return t.Say("scoops.weighed", "date", t.dated("date.year", n.Feed.MeasureWeighed))
		})))
	}
	w = whole
	y := max(b.H, tall) + 2
	left := 0.65 * w
	if ok {
		b.Add(0, y, s.measuresToWeight(one, measure, left-4))
		b.Add(left, y, s.weightToMeasures(one, measure, w-left))
	}
	b.Add(0, b.H+2, s.weighingBoxes(measure, w))
	return b
}

// measureTop is how high the yard's largest measure is drawn, in mm.
const measureTop = 13.0

// largestMeasure is the volume of the yard's largest measure, in litres; 0 where
// none is known.
func (s *sheet) largestMeasure() float64 {
	top := 0.0
	for _, m := range s.p.Week.Measures {
		if l, ok := m.Litres.Get(); ok && !math.IsInf(l, 0) {
			top = max(top, l)
		}
	}
	return top
}

// measureHigh is how high a measure of so many litres is drawn, in mm: volumes go
// with the cube of lengths.
func (s *sheet) measureHigh(litres float64) float64 {
	return measureTop * math.Cbrt(litres/s.largestMeasure())
}

// drawnMeasure is a measure drawn to its size against the largest, its volume
// below; nil where its volume is not known.
func (s *sheet) drawnMeasure(name string) *draw.Group {
	top := s.largestMeasure()
	for _, m := range s.p.Week.Measures {
		litres, ok := m.Litres.Get()
		if !strings.EqualFold(m.Name, name) || !ok || !(litres > 0) || litres > top {
			continue
		}
		cup := draw.Scoops(1, s.measureHigh(litres))
		label := s.d.Number(draw.Regular, 2.2, 30, draw.Black, s.main.plural(1, m.Name)+" "+s.main.figure(litres, 2)+nb+"l")
		g := draw.Space(max(cup.W, label.W), measureTop+label.H)
		g.Add((g.W-cup.W)/2, measureTop-cup.H, cup)
		return g.Add((g.W-label.W)/2, measureTop+0.3, label)
	}
	return nil
}

// measuresToWeight is ¼ to 4 measures in kg and lb.
func (s *sheet) measuresToWeight(one float64, measure string, w float64) *draw.Group {
	d := s.d
	g := draw.Space(w, 0)
	g.Add(0, 0, d.Number(draw.Bold, 2.7, w, draw.Black, s.bothMeasures("scoops.to weight", 2, measure)))
	top, colW := g.H+0.6, w/4
	const rowH = 9.6
	for i := range 16 {
		n := float64(i+1) / 4
		x, y := float64(i/4)*colW, top+float64(i%4)*rowH
		c := draw.Space(colW, rowH)
		c.Draw(func(d *draw.Doc, x, y float64) { d.Outline(x, y, colW, rowH, 0.15) })
		c.Add(1, 1.9, d.Number(draw.Bold, 3.6, 0.25*colW, draw.Black, s.main.count(n)))
		kgX := 0.33 * colW
		t := draw.Stack(0,
			d.Number(draw.Bold, 2.9, colW-kgX-1, draw.Black, s.main.figure(n*one, 3)+nb+"kg"),
			d.Number(draw.Regular, 2.2, colW-kgX-1, draw.Black, s.main.pounds(n*one)))
		c.Add(kgX, 0.5, t)
		g.Add(x, y, c)
	}
	return g
}

// weightToMeasures is each quarter of a kilo in measures. A weight that is no
// quarter of a measure is given with two decimals, as it is.
func (s *sheet) weightToMeasures(one float64, measure string, w float64) *draw.Group {
	d := s.d
	g := draw.Space(w, 0)
	g.Add(0, 0, d.Number(draw.Bold, 2.7, w, draw.Black, s.bothMeasures("scoops.to measures", 2, measure)))
	top, colW := g.H+0.6, w/2
	const rows, rowH = 6, 6.4
	for i := range 2 * rows {
		kg := float64(i+1) / 4
		n := kg / one
		if q := math.Round(n*4) / 4; math.Abs(q-n) < 0.005 {
			n = q
		} else {
			n = math.Round(n*100) / 100
		}
		c := draw.Space(colW, rowH)
		c.Draw(func(d *draw.Doc, x, y float64) { d.Outline(x, y, colW, rowH, 0.15) })
		c.Add(1, 1.1, d.Number(draw.Bold, 2.6, 0.5*colW, draw.Black, s.main.weight(kg)))
		c.Add(0.56*colW, 1.1, d.Number(draw.Regular, 2.6, 0.4*colW, draw.Black, s.main.count(n)))
		g.Add(float64(i/rows)*colW, top+float64(i%rows)*rowH, c)
	}
	return g
}

// weighingBoxes are to be written in with a pen.
func (s *sheet) weighingBoxes(measure string, w float64) *draw.Group {
	d := s.d
	g := draw.Space(w, 0)
	labels := []struct {
		key string
		n   float64
	}{{"scoops.box.date", 1}, {"scoops.box.three", 3}, {"scoops.box.one", 1}, {"scoops.box.initials", 1}}
	const sets, h = 2, 9.0
	setW := w / sets
	bw := (setW - 3) / 4
	heads, top := make([]*draw.Group, len(labels)), 0.0
	for j, l := range labels {
		heads[j] = draw.Space(0, 0)
		for _, t := range s.tongues() {
			heads[j] = draw.Stack(0, heads[j], d.Fit(draw.Regular, 1.8, footFloor, bw-1.5, draw.Black, t.Say(l.key, "measure", t.plural(l.n, measure), "measures", t.plural(l.n, measure))))
		}
		top = max(top, heads[j].H)
	}
	for i := range sets {
		for j := range labels {
			x := float64(i)*setW + float64(j)*bw
			if i > 0 {
				x += 3
			}
			g.Add(x, top-heads[j].H, heads[j])
			g.Add(x, top+0.1, draw.Space(bw, h).Draw(func(d *draw.Doc, x, y float64) { d.Outline(x, y, bw, h, 0.35) }))
		}
	}
	return g
}

// bothMeasures is a phrase about n measures, in both languages.
func (s *sheet) bothMeasures(key string, n float64, measure string) string {
	return s.both(func(t tongue) string {
		return t.Say(key, "measure", t.plural(n, measure), "measures", t.plural(n, measure))
	})
}

func per(v yard.Num, of yard.Num) string {
	a, ok1 := v.Get()
	b, ok2 := of.Get()
	if !ok1 || !ok2 || b <= 0 {
		return ""
	}
	return fmt.Sprintf("%.0f%%", 100*a/b)
}
