package wall

import (
	"math"
	"strings"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/flow"
	"hardfeed/report/words"
	"hardfeed/templates/wording"
)

// scoops is scoops.pdf on its way.
type scoops struct{ paper }

// Scoops is scoops.pdf: what a scoop of each feed weighs, and how many scoops a
// weight is.
func Scoops() *flow.Document {
	return &flow.Document{Title: func(s *words.Sheet) string { return s.Word("title.scoops") }, Draw: drawScoops}
}

// drawScoops draws scoops.pdf: what a scoop of each feed weighs, and how many
// scoops a weight is.
func drawScoops(sheet *words.Sheet, d *draw.Doc) error {
	s := &scoops{paper{sheet, d}}
	w := s.Plan.Week
	const margin = 10.0
	f := &flow.Flow{D: d, X: margin, W: d.PageW - 2*margin, Top: margin, Foot: d.PageH - margin - 6}
	f.Put(d.Fit(draw.Bold, 8, 4, f.W, draw.Black, s.BothOf("scoops.title")),
		d.Fit(draw.Regular, 3.2, 2.2, f.W, draw.Black, words.Join(", ", w.Yard, s.Main.WeekSpan(w), s.EditionWord())),
		draw.Space(f.W, 1))
	level := draw.Level(11)
	var how []*draw.Group
	for _, t := range s.Languages() {
		how = append(how, d.Para(draw.Regular, 2.5, f.W-level.W-3, draw.Black, t.Say("scoops.how")))
	}
	text := draw.Stack(1, how...)
	f.Put(draw.Space(f.W, max(text.H, level.H)).Add(0, 0, text).Add(f.W-level.W, 0, level))
	if len(s.Plan.Week.Measures) > 1 && s.largestMeasure() > 0 {
		f.Put(d.Lines(draw.Regular, 2.5, f.W, draw.Black, s.BothOf("scoops.drawn"))...)
	}
	any := false
	for _, n := range s.Plan.Feeds {
		if !n.MeasureKg.IsKnown() && !n.Unweighed {
			continue
		}
		any = true
		b := s.scoopBlock(n, f.W)
		f.Gap(4)
		f.Put(b)
	}
	if !any {
		f.Gap(6)
		f.Put(d.Lines(draw.Bold, 4, f.W, draw.Black, s.BothOf("scoops.none"))...)
	}
	f.End()
	flow.PageFeet(s.Sheet, s.d, margin, f.W, words.Join(". ", words.Join(", ", s.Word("title.scoops"), w.Yard, s.EditionWord()), s.Awaiting()))
	return nil
}

func (s *scoops) scoopBlock(n yard.FeedNeed, w float64) *draw.Group {
	d := s.d
	measure := s.MeasureName(n)
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

	is := s.Main.Say("scoops.level.unknown", "measure", s.Main.Plural(1, measure))
	if ok {
		is = s.Main.Say("scoops.level", "measure", s.Main.Plural(1, measure), "weight", s.Main.Weight(one))
	}
	b.Add(0, b.H, d.Number(draw.Bold, 4.2, w, draw.Black, is))
	switch {
	case n.Unweighed || !ok:
		say := func(t words.Language) string {
			what := t.Say("scoops.density")
			switch {
			case !ok:
				what = t.Say("scoops.density.none")
			case n.DensityFrom != "" && t.Code == wording.Original: // a source is named in English; the office sheet has it
				what = t.Say("scoops.density.from", "source", n.DensityFrom)
			}
			return t.Say("scoops.rely", "what", what)
		}
		word := draw.On(draw.Black, 1, d.Line(draw.Bold, 4, draw.White, s.BothOf("amount.unweighed")))
		text := d.Para(draw.Regular, 2.5, w-word.W-3, draw.Black, s.Both(say))
		b.Add(0, b.H+0.8, draw.Beside(3, word, text))
	case n.Feed.MeasureWeighed.IsZero():
		b.Add(0, b.H, d.Number(draw.Regular, 2.6, w, draw.Black, s.BothOf("scoops.no date")))
	default:
		b.Add(0, b.H, d.Number(draw.Regular, 2.6, w, draw.Black, s.Both(func(t words.Language) string {
			return t.Say("scoops.weighed", "date", t.Dated("date.year", n.Feed.MeasureWeighed))
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
func (s *scoops) largestMeasure() float64 {
	top := 0.0
	for _, m := range s.Plan.Week.Measures {
		if l, ok := m.Litres.Get(); ok && !math.IsInf(l, 0) {
			top = max(top, l)
		}
	}
	return top
}

// measureHigh is how high a measure of so many litres is drawn, in mm: volumes go
// with the cube of lengths.
func (s *scoops) measureHigh(litres float64) float64 {
	return measureTop * math.Cbrt(litres/s.largestMeasure())
}

// drawnMeasure is a measure drawn to its size against the largest, its volume
// below; nil where its volume is not known.
func (s *scoops) drawnMeasure(name string) *draw.Group {
	top := s.largestMeasure()
	for _, m := range s.Plan.Week.Measures {
		litres, ok := m.Litres.Get()
		if !strings.EqualFold(m.Name, name) || !ok || !(litres > 0) || litres > top {
			continue
		}
		cup := draw.Scoops(1, s.measureHigh(litres))
		label := s.d.Number(draw.Regular, 2.2, 30, draw.Black, s.Main.Plural(1, m.Name)+" "+s.Main.Figure(litres, 2)+words.NoBreak+"l")
		g := draw.Space(max(cup.W, label.W), measureTop+label.H)
		g.Add((g.W-cup.W)/2, measureTop-cup.H, cup)
		return g.Add((g.W-label.W)/2, measureTop+0.3, label)
	}
	return nil
}

// measuresToWeight is ¼ to 4 measures in kg and lb.
func (s *scoops) measuresToWeight(one float64, measure string, w float64) *draw.Group {
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
		c.Add(1, 1.9, d.Number(draw.Bold, 3.6, 0.25*colW, draw.Black, s.Main.Count(n)))
		kgX := 0.33 * colW
		c.Add(kgX, 1.9, d.Number(draw.Bold, 2.9, colW-kgX-1, draw.Black, s.Main.Weight(n*one)))
		g.Add(x, y, c)
	}
	return g
}

// weightToMeasures is each quarter of a kilo in measures. A weight that is no
// quarter of a measure is given with two decimals, as it is.
func (s *scoops) weightToMeasures(one float64, measure string, w float64) *draw.Group {
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
		c.Add(1, 1.1, d.Number(draw.Bold, 2.6, 0.5*colW, draw.Black, s.Main.Weight(kg)))
		c.Add(0.56*colW, 1.1, d.Number(draw.Regular, 2.6, 0.4*colW, draw.Black, s.Main.Count(n)))
		g.Add(float64(i/rows)*colW, top+float64(i%rows)*rowH, c)
	}
	return g
}

// weighingBoxes are to be written in with a pen.
func (s *scoops) weighingBoxes(measure string, w float64) *draw.Group {
	d := s.d
	g := draw.Space(w, 0)
	labels := []struct {
		key string
		Num float64
	}{{"scoops.box.date", 1}, {"scoops.box.three", 3}, {"scoops.box.one", 1}, {"scoops.box.initials", 1}}
	const sets, h = 2, 9.0
	setW := w / sets
	bw := (setW - 3) / 4
	heads, top := make([]*draw.Group, len(labels)), 0.0
	for j, l := range labels {
		heads[j] = draw.Space(0, 0)
		for _, t := range s.Languages() {
			heads[j] = draw.Stack(0, heads[j], d.Fit(draw.Regular, 1.8, least, bw-1.5, draw.Black, t.Say(l.key, "measure", t.Plural(l.Num, measure), "measures", t.Plural(l.Num, measure))))
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
func (s *scoops) bothMeasures(key string, n float64, measure string) string {
	return s.Both(func(t words.Language) string {
		return t.Say(key, "measure", t.Plural(n, measure), "measures", t.Plural(n, measure))
	})
}
