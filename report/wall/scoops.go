package wall

import (
	"math"
	"strings"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/flow"
	"hardfeed/report/words"
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
// parts are the numbers of measures that hands dish out.
var parts = [...]float64{0.25, 0.5, 0.75, 1, 1.5, 2}

func drawScoops(sheet *words.Sheet, d *draw.Doc) error {
	s := &scoops{paper{sheet, d}}
	const margin = 10.0
	f := &flow.Flow{D: d, X: margin, W: d.PageW - 2*margin, Top: margin, Foot: d.PageH - margin - 6}
	var feeds []yard.FeedNeed
	for _, n := range s.Plan.Feeds {
		if n.MeasureKg.IsKnown() || n.Unweighed {
			feeds = append(feeds, n)
		}
	}
	d.Drawing = ""
	s.lookUp(f, feeds)
	f.End()
	s.weighings(f, feeds)
	f.End()
	flow.PageFeet(s.Sheet, s.d, margin, f.W, words.Join(". ", words.Join(", ", s.Word("title.scoops"), s.Plan.Week.Yard, s.EditionWord()), s.Awaiting()))
	return nil
}

func (s *scoops) title(f *flow.Flow, key string) {
	w := s.Plan.Week
	f.Put(s.d.Set.Fit(draw.Bold, 8, 4, f.W, draw.Black, s.BothOf(key)),
		s.d.Set.Fit(draw.Regular, 3.2, least, f.W, draw.Black, words.Join(", ", w.Yard, s.Main.WeekSpan(w), s.EditionWord())),
		draw.Space(f.W, 2))
}

// lookUp is what so many measures of each feed weigh: a line a feed, in the yard's units.
func (s *scoops) lookUp(f *flow.Flow, feeds []yard.FeedNeed) {
	d := s.d
	s.title(f, "scoops.title")
	level := draw.Level(11)
	var how []*draw.Group
	for _, t := range s.Languages() {
		how = append(how, d.Set.Para(draw.Regular, 2.7, f.W-level.W-3, draw.Black, t.Say("scoops.level.how")))
	}
	text := draw.Stack(1, how...)
	f.Put(draw.Space(f.W, max(text.H, level.H)).Add(0, 0, text).Add(f.W-level.W, 0, level), draw.Space(f.W, 2))
	if len(feeds) == 0 {
		f.Put(d.Set.Lines(draw.Bold, 4, f.W, draw.Black, s.BothOf("scoops.none"))...)
		return
	}
	const amount = 4.2 // capitals, in mm: read at 0.7 m
	firstW := 0.34 * f.W
	partW := (f.W - firstW) / float64(len(parts))
	head := draw.Space(f.W, 0)
	for i, n := range parts {
		g := d.Set.Figures(draw.Bold, 5.9, 4.2, s.Main.Count(n))
		head.Add(firstW+float64(i)*partW+(partW-g.W)/2, 0.5, g)
	}
	head.W, head.H = f.W, head.H+1.5
	high := head.H
	head.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x, y+high, x+f.W, y+high, 0.6, draw.Black) })
	var rows []*draw.Group
	drawn := map[string]bool{}
	for _, n := range feeds {
		measure := s.MeasureName(n)
		lines := []*draw.Group{d.Set.Close(draw.Bold, s.unbrokenCap(3.6, least, firstW-3, n.Feed.Name), firstW-3, draw.Black, n.Feed.Name)}
		what := []*draw.Group{fitTrim(d, draw.Regular, 2.7, least, firstW-3, draw.Black, s.Both(func(t words.Language) string { return t.Plural(1, measure) }))}
		if mark := s.drawnMeasure(measure); mark != nil && !drawn[measure] {
			drawn[measure] = true
			what = append(what, mark)
		}
		lines = append(lines, draw.Beside(2, what...), s.from(n, firstW-3))
		name := draw.Stack(0.9, lines...)
		row := draw.Space(f.W, 0)
		row.Add(0, 1.2, name)
		row.W, row.H = f.W, max(row.H, amount*1.4+2.4)+1.2
		one, ok := n.MeasureKg.Get()
		var cells [len(parts)]*draw.Group
		for i, times := range parts {
			cells[i] = d.Set.Trim(draw.Bold, amount, draw.Black, "?")
			if ok && one > 0 && !math.IsInf(one, 0) {
				cells[i] = s.weightCell(s.Main.Weight(one*times), amount, partW-2)
			}
			row.H = max(row.H, cells[i].H+2.4)
		}
		for i, cell := range cells {
			row.Add(firstW+float64(i)*partW+(partW-cell.W)/2, (row.H-cell.H)/2, cell)
		}
		h := row.H
		row.Draw(func(d *draw.Doc, x, y float64) {
			d.LineTo(x, y+h, x+f.W, y+h, 0.2, draw.Mid)
			for i := range parts {
				d.LineTo(x+firstW+float64(i)*partW, y, x+firstW+float64(i)*partW, y+h, 0.2, draw.Mid)
			}
		})
		rows = append(rows, row)
	}
	f.Table(head, rows)
	if len(drawn) > 1 {
		f.Gap(2)
		f.Put(d.Set.Lines(draw.Regular, least, f.W, draw.Black, s.BothOf("scoops.drawn"))...)
	}
}

// weightCell is a weight over its unit.
func (s *scoops) weightCell(weight string, cap, w float64) *draw.Group {
	number, unit, _ := strings.Cut(weight, words.NoBreak)
	return centred(1.2, fitTrim(s.d, draw.Bold, cap, least, w, draw.Black, number), fitTrim(s.d, draw.Regular, 2.7, least, w, draw.Black, unit))
}

// from says whether the measure was weighed, and when.
func (s *scoops) from(n yard.FeedNeed, w float64) *draw.Group {
	d := s.d
	_, known := n.MeasureKg.Get()
	switch {
	case n.Unweighed || !known:
		key := "scoops.density"
		if !known {
			key = "scoops.density.none"
		}
		return draw.Stack(0.6, draw.On(draw.Black, 0.7, fitTrim(d, draw.Bold, 2.7, least, w-1.4, draw.White, s.BothOf("amount.unweighed"))),
			d.Set.Close(draw.Regular, least, w, draw.Black, s.Both(func(t words.Language) string { return t.Say("scoops.rely", "what", t.Say(key)) })))
	case n.Feed.MeasureWeighed.IsZero():
		return d.Set.Close(draw.Regular, least, w, draw.Black, s.BothOf("scoops.no date"))
	}
	return d.Set.Close(draw.Regular, least, w, draw.Black, s.Both(func(t words.Language) string {
		return t.Say("scoops.weighed", "date", t.Dated("date.year", n.Feed.MeasureWeighed))
	}))
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
		cup := s.d.Set.Scoops(1, s.measureHigh(litres))
		label := s.d.Set.Number(draw.Regular, 2.2, 30, draw.Black, s.Main.Plural(1, m.Name)+" "+s.Main.Litres(litres))
		g := draw.Space(max(cup.W, label.W), measureTop+label.H)
		g.Add((g.W-cup.W)/2, measureTop-cup.H, cup)
		return g.Add((g.W-label.W)/2, measureTop+0.3, label)
	}
	return nil
}

// weighings is a page to write fresh weighings on, and the general warnings, which have
// no room on the cards.
func (s *scoops) weighings(f *flow.Flow, feeds []yard.FeedNeed) {
	d := s.d
	s.title(f, "scoops.write")
	for _, t := range s.Languages() {
		f.Put(d.Set.Lines(draw.Regular, 2.7, f.W, draw.Black, t.Say("scoops.how"))...)
	}
	f.Gap(3)
	shares := []float64{2.6, 1.3, 1.5, 1.5, 1}
	widths := flow.Columns(f.W, shares...)
	keys := []string{"", "scoops.box.date", "scoops.box.three", "scoops.box.one", "scoops.box.initials"}
	var rows []*draw.Group
	var head *draw.Group
	for _, n := range feeds {
		measure := s.MeasureName(n)
		if head == nil {
			head = draw.Space(f.W, 0)
			x := widths[0]
			for i, key := range keys[1:] {
				g := draw.Space(0, 0)
				for _, t := range s.Languages() {
					g = draw.Stack(0.4, g, d.Set.Close(draw.Regular, least, widths[i+1]-2, draw.Black, t.Say(key, "measure", t.Plural(1, measure), "measures", t.Plural(3, measure))))
				}
				head.Add(x+1, 0, g)
				x += widths[i+1]
			}
			head.W, head.H = f.W, head.H+1
		}
		const boxH = 9.5
		name := draw.Stack(0.8, d.Set.Close(draw.Bold, s.unbrokenCap(3.2, least, widths[0]-2, n.Feed.Name), widths[0]-2, draw.Black, n.Feed.Name),
			fitTrim(d, draw.Regular, least, least, widths[0]-2, draw.Black, s.Main.Plural(1, measure)))
		row := draw.Space(f.W, max(boxH, name.H)+1.5)
		row.Add(0, 0.5, name)
		row.Draw(func(d *draw.Doc, x, y float64) {
			at := x + widths[0]
			for _, w := range widths[1:] {
				d.Outline(at, y, w-0.6, boxH, 0.35)
				at += w
			}
		})
		rows = append(rows, row)
	}
	f.Table(head, rows)
	f.Gap(5)
	for _, t := range s.Languages() {
		f.Put(d.Set.Lines(draw.Regular, 2.7, f.W, draw.Black, t.Standing())...)
	}
}
