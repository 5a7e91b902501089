package report

import (
	"fmt"
	"slices"
	"strings"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
)

// whoCap is the height of amounts and feeds on the sheet of the whole yard, in
// mm: it is read from a trolley, at arm's length.
const whoCap = 3.1

// whoGetsWhat is the whole yard, meal by meal, in the workbook's order of
// horses: the first pages of cards.pdf, about one a meal.
func (s *sheet) whoGetsWhat() {
	d, w := s.d, s.p.Week
	const margin = 10.0
	f := &flow{d: d, x: margin, w: d.PageW - 2*margin, top: margin, foot: d.PageH - margin - 6}

	rw := 0.45 * f.w
	right := draw.Stack(0.8,
		d.Number(draw.Bold, 4.6, rw, draw.Black, weekSpan(w)),
		draw.Framed(0.6, 1, d.Number(draw.Bold, 4.2, rw-2, draw.Black, notAfter(w))))
	title := draw.Stack(0.5,
		d.Fit(draw.Bold, 8, 4, f.w-rw-5, draw.Black, "Who gets what"),
		d.Fit(draw.Regular, 3.6, 2.5, f.w-rw-5, draw.Black, join(", ", w.Yard, s.editionWord())))
	f.put(draw.Space(0, 0).Add(0, 0, title).Add(f.w-rw, 0, right), draw.Space(f.w, 1))
	maxH := f.foot - f.top - 30
	for _, m := range s.yardMeals() {
		rows, idle := s.whoRows(m, f.w, maxH)
		s.horse = ""
		if len(idle) > 0 && m.name != allDay { // named, so that nobody looks for them in vain
			last := row([]float64{f.w}, 0.8, maxH,
				d.Lines(draw.Regular, 2.6, f.w-1.6, draw.Black, "Nothing at this meal: "+strings.Join(idle, "; ")+"."))
			if n := len(rows) - 1; n >= 0 && len(last) == 1 && rows[n].H+last[0].H < maxH {
				rows[n] = draw.Stack(0, rows[n], last[0]) // not alone on a page
			} else {
				rows = append(rows, last...)
			}
		}
		rows = append(rows, s.together(m, f.w)...)
		head := s.whoHead(m, f.w)
		f.gap(4)
		// A meal is one page to carry along, wherever one page holds it.
		total := head.H
		for _, r := range rows {
			total += r.H
		}
		if total <= f.foot-f.top {
			f.keep(total)
		}
		f.table(head, rows)
	}
	s.whoNotes(f)
	foot := join(", ", "Who gets what", w.Yard, weekSpan(w), s.editionWord())
	if s.anyUnweighed() { // a page goes about alone
		foot = join(". ", foot, "Boxed U: scoop not weighed here")
	}
	s.pageFeet(margin, f.w, foot)
}

// whoNotes stand behind the meals, so that the first page is the first meal.
func (s *sheet) whoNotes(f *flow) {
	d := s.d
	f.gap(4)
	held, none := 0, 0
	for _, h := range s.p.Horses {
		switch h.Status {
		case yard.Held:
			held++
		case yard.NoCard:
			none++
		}
	}
	f.put(d.Lines(draw.Regular, 2.6, f.w, draw.Black, fmt.Sprintf(
		"%s on this list: %d held (less than was planned), %d without a computed card. Amounts are a work day's; "+
			"REST and EVENT lines name what differs on those days, all else stays. Every horse has its own card with its cautions.",
		countOf(len(s.p.Horses), "horse"), held, none))...)
	if s.anyUnweighed() {
		mark := s.boxed("U", 2.2)
		lines := d.Lines(draw.Regular, 2.6, f.w-mark.W-2, draw.Black,
			"UNWEIGHED: nobody has weighed this measure of this feed here, its weight is a published density or not known. Weigh one before you rely on it.")
		for i, l := range lines {
			if i == 0 {
				l = draw.Beside(2, mark, l)
			} else {
				l = draw.Pad(l, mark.W+2, 0, 0, 0)
			}
			f.put(l)
		}
	}
}

func (s *sheet) anyUnweighed() bool {
	return slices.ContainsFunc(s.p.Horses, func(h yard.HorsePlan) bool { return slices.ContainsFunc(h.Servings, s.unweighed) })
}

func countOf(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// yardMeals is every meal any horse is fed at, plus those of the yard sheet.
func (s *sheet) yardMeals() []meal {
	all := yard.HorsePlan{}
	for _, h := range s.p.Horses {
		all.Servings = append(all.Servings, h.Servings...)
	}
	out := mealsOf(s.p.Week, all)
	if len(out) == 0 {
		return []meal{{name: allDay}}
	}
	if out[0].name == allDay { // short, and nobody's round: behind the meals
		out = append(out[1:], out[0])
	}
	return out
}

// whoHead is a meal's name, its time, and the week it is for: pages go astray.
func (s *sheet) whoHead(m meal, w float64) *draw.Group {
	d := s.d
	span := d.Number(draw.Bold, 2.8, 0.4*w, draw.Black, weekSpan(s.p.Week))
	name := d.Fit(draw.Bold, 5.5, 3, 0.58*w, draw.Black, join("  ", m.name, m.clock))
	g := draw.Space(w, 0).Add(0, 0, name)
	g.Add(w-span.W, max(0, g.H-span.H-0.6), span)
	rule := g.H + 0.3
	g.H += 0.8
	return g.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x, y+rule, x+w, y+rule, 0.5, draw.Black) })
}

// at is what a horse gets at a meal of the yard.
func (s *sheet) at(h yard.HorsePlan, m meal) (feeds []mealFeed, fed bool) {
	for _, hm := range mealsOf(s.p.Week, h) {
		if strings.EqualFold(hm.name, m.name) {
			return hm.feeds, true
		}
	}
	return nil, false
}

// ordinary is the column a horse's line is written from, and the others: the
// work day's, or the first that has a day this week.
func ordinary(h yard.HorsePlan) (first dayColumn, others []dayColumn) {
	cols := dayColumns(h)
	i := max(0, slices.IndexFunc(cols, func(c dayColumn) bool { return c.on.any() }))
	if len(cols) == 0 {
		return dayColumn{}, nil
	}
	return cols[i], slices.Delete(slices.Clone(cols), i, i+1)
}

// whoRows are the horses at one meal, and the names of those who get nothing.
func (s *sheet) whoRows(m meal, w, maxH float64) (rows []*draw.Group, idle []string) {
	d := s.d
	const pad = 0.7
	widths := columns(w, 1, 5.2)
	nameW, feedsW := widths[0]-2*pad, widths[1]-2*pad
	for _, h := range s.p.Horses {
		s.horse = h.Horse.Name
		feeds, fed := s.at(h, m)
		if !fed && h.Status != yard.NoCard {
			idle = append(idle, h.Horse.Name)
			continue
		}
		name := cell(d.Lines(draw.Bold, 3.4, nameW, draw.Black, h.Horse.Name))
		if word := statusWords[h.Status]; word != "" {
			name = append(name, draw.On(draw.Black, 0.5, d.Number(draw.Bold, 2.6, nameW-1, draw.White, word)))
		}
		var says cell
		if h.Status == yard.NoCard && len(h.Servings) == 0 {
			says = append(says, d.Lines(draw.Bold, whoCap, feedsW, draw.Black, "Ask before feeding: "+ask(s.p.Week))...)
			says = append(says, d.Lines(draw.Regular, whoCap, feedsW, draw.Black, "Keep hay and water in front of it, no change of hard feed.")...)
		} else {
			says = s.whoLines(h, feeds, feedsW)
		}
		rows = append(rows, row(widths, pad, maxH, name, says)...)
	}
	return rows, idle
}

// whoLines are one horse's feeds at one meal, one after the other, and under
// them a line for each other kind of day, with what differs on it.
func (s *sheet) whoLines(h yard.HorsePlan, feeds []mealFeed, w float64) cell {
	first, others := ordinary(h)
	var pieces []piece
	for _, f := range feeds {
		if st := s.stages(first, f.stages[first.kind]); len(st) > 0 {
			pieces = append(pieces, s.whoPieces(f.feed, st, w)...)
		}
	}
	if len(pieces) == 0 {
		t := "nothing at this meal"
		if first.unsaid {
			t = first.nothing()
		}
		pieces = s.inLines(draw.Regular, w, t)
	}
	label := func(c dayColumn) *draw.Group {
		return s.d.Number(draw.Bold, 2.6, w, draw.Black, join(" ", c.short, listed(s.p.Week, c.on))+":")
	}
	var lead *draw.Group
	if first.kind != yard.WorkDay { // not what the sheet's head says
		lead = label(first)
	}
	out := s.packed(w, lead, pieces)
	for _, c := range others {
		var pieces []piece
		for _, f := range feeds {
			switch st := s.stages(c, f.stages[c.kind]); {
			case !s.differs(first, c, f):
			case len(st) == 0:
				pieces = append(pieces, s.inLines(draw.Bold, w, "no "+f.feed)...)
			default:
				pieces = append(pieces, s.whoPieces(f.feed, st, w)...)
			}
		}
		if c.unsaid {
			pieces = s.inLines(draw.Bold, w, c.nothing())
		}
		if len(pieces) > 0 {
			out = append(out, s.packed(w, label(c), pieces)...)
		}
	}
	return out
}

// differs says whether a feed's amounts in column c are other than what column
// first gives on the same days.
func (s *sheet) differs(first, c dayColumn, f mealFeed) bool {
	on := c.on
	if !on.any() {
		on[0] = true // such a day may still come
	}
	for i := range on {
		if on[i] && !slices.EqualFunc(validOn(f.stages[first.kind], i), validOn(f.stages[c.kind], i), func(a, b yard.Serving) bool {
			return amountOf(a, s.p.Week.Imperial) == amountOf(b, s.p.Week.Imperial)
		}) {
			return true
		}
	}
	return false
}

// validOn is what of a feed's stages holds on a day; none before the first.
func validOn(ss []yard.Serving, day int) []yard.Serving {
	var out []yard.Serving
	for _, v := range ss {
		if int(v.From) > day {
			break
		}
		if len(out) > 0 && out[0].From != v.From {
			out = nil
		}
		out = append(out, v)
	}
	return out
}

// piece is what stays on one line.
type piece struct {
	g  *draw.Group
	on bool // goes on from the piece before it, without a dot between
}

// inLines is running text as pieces, a line each.
func (s *sheet) inLines(f draw.Face, w float64, text string) []piece {
	var out []piece
	for i, l := range s.d.Lines(f, whoCap, w, draw.Black, text) {
		out = append(out, piece{l, i > 0})
	}
	return out
}

// whoPieces are one feed's drawing, amount and name; where the amount changes
// in the week, its name and each amount with its days.
func (s *sheet) whoPieces(feed string, stages []stage, w float64) []piece {
	d := s.d
	named := d.Line(draw.Regular, whoCap, draw.Black, feed)
	staged := len(stages) > 1 || stages[0].days != ""
	if staged {
		named = d.Line(draw.Regular, whoCap, draw.Black, feed+":")
	}
	var out []piece
	for i, st := range stages {
		var parts []*draw.Group
		a := st.amount
		words := a.String()
		if i < len(stages)-1 {
			words += ";"
		}
		if staged && i == 0 {
			parts = append(parts, named)
		}
		if st.days != "" {
			parts = append(parts, d.Line(draw.Bold, 2.6, draw.Black, st.days))
		}
		if mark := markOf(st.serving, a, 3.4); mark.W > 0 {
			parts = append(parts, mark)
		}
		box := ""
		switch {
		case a.weigh:
			box = "WEIGH"
		case a.unweighed:
			box = "U"
		}
		if box != "" {
			parts = append(parts, s.boxed(box, 2))
		}
		parts = append(parts, d.Line(draw.Bold, whoCap, draw.Black, words))
		if !staged {
			parts = append(parts, named)
		}
		g := draw.Beside(0.9, parts...)
		if g.W <= w {
			out = append(out, piece{g, i > 0})
			continue
		}
		text := join(" ", st.days, box, words, feed)
		for _, p := range s.inLines(draw.Bold, w, text) {
			out = append(out, piece{p.g, p.on || i > 0})
		}
	}
	return out
}

// packed sets pieces one after the other in lines w wide, dots between them;
// lead stands before the first.
func (s *sheet) packed(w float64, lead *draw.Group, pieces []piece) []*draw.Group {
	const gap = 1.3
	var out []*draw.Group
	line := lead
	for i, p := range pieces {
		add := []*draw.Group{p.g}
		if i > 0 && !p.on {
			add = []*draw.Group{s.d.Line(draw.Bold, whoCap, draw.Black, "·"), p.g}
		}
		if line == nil {
			line = p.g
			continue
		}
		if longer := draw.Beside(gap, append([]*draw.Group{line}, add...)...); longer.W <= w {
			line = longer
			continue
		}
		out = append(out, line)
		line = p.g
	}
	if line != nil {
		out = append(out, line)
	}
	return out
}

// sum is what of one feed goes out at one meal.
type sum struct {
	feed     string
	class    yard.FeedClass
	kg, ml   float64 // kg: of all that has a weight
	weighed  float64 // kg of it dished out on the scale though the feed has a measure
	measures []measured
	adLib    int // horses that eat as much as they will
	unsure   bool
}

type measured struct {
	name string
	n    float64
}

// sums adds up a meal on an ordinary work day at the week's start: of each
// horse what the first day of its line gives. Horses are given that are left
// out because nobody knows what they get.
func (s *sheet) sums(m meal) (out []sum, without []string) {
	for _, h := range s.p.Horses {
		feeds, fed := s.at(h, m)
		if !fed && h.Status == yard.NoCard {
			without = append(without, h.Horse.Name)
		}
		first, _ := ordinary(h)
		for _, f := range feeds {
			for _, v := range validOn(f.stages[first.kind], first.on.first()) {
				i := slices.IndexFunc(out, func(t sum) bool { return strings.EqualFold(t.feed, v.Feed) })
				if i < 0 {
					out = append(out, sum{feed: v.Feed, class: v.Class})
					i = len(out) - 1
				}
				out[i].add(v, s.unweighed(v))
			}
		}
	}
	return out, without
}

func (t *sum) add(v yard.Serving, unweighed bool) {
	ml, byMl := v.Ml.Get()
	n, counted := v.Measures.Get()
	switch {
	case v.AdLib:
		t.adLib++
		return
	case byMl:
		t.ml += ml
		return
	case v.Weigh:
		t.weighed += float64(v.Kg)
	case amountOf(v, false).byMeasure && counted:
		t.unsure = t.unsure || unweighed
		i := slices.IndexFunc(t.measures, func(m measured) bool { return m.name == v.Measure })
		if i < 0 {
			t.measures = append(t.measures, measured{name: v.Measure})
			i = len(t.measures) - 1
		}
		t.measures[i].n += n
	}
	t.kg += float64(v.Kg)
}

// words is "6¼ scoops, 8.1 kg".
func (t sum) words(imperial bool) string {
	kg := weight(t.kg)
	if (t.class == yard.Salt || t.class == yard.Supplement) && t.kg < 1 {
		kg = figure(t.kg*1000, 1) + nb + "g"
	} else if imperial {
		kg += " / " + pounds(t.kg)
	}
	var counts, parts []string
	for _, m := range t.measures {
		counts = append(counts, count(m.n)+nb+plural(m.n, m.name))
	}
	if len(counts) > 0 && t.weighed > 0 {
		counts = append(counts, "WEIGH"+nb+weight(t.weighed))
		kg += " in all"
	}
	parts = append(parts, strings.Join(counts, " + "))
	if t.kg > 0 {
		parts = append(parts, kg)
	}
	if t.ml > 0 {
		parts = append(parts, figure(t.ml, 1)+nb+"ml")
	}
	if t.adLib > 0 {
		parts = append(parts, "ad lib for "+countOf(t.adLib, "horse"))
	}
	return join(", ", parts...)
}

// together is a meal's last lines: how much of each feed goes out, so that it
// can be barrowed out.
func (s *sheet) together(m meal, w float64) []*draw.Group {
	d := s.d
	sums, without := s.sums(m)
	var pieces []piece
	for _, t := range sums {
		words := t.words(s.p.Week.Imperial)
		if words == "" {
			continue
		}
		parts := []*draw.Group{d.Line(draw.Regular, whoCap, draw.Black, t.feed)}
		if t.unsure {
			parts = append(parts, s.boxed("U", 2))
		}
		g := draw.Beside(0.9, append(parts, d.Line(draw.Bold, whoCap, draw.Black, words))...)
		if g.W > w {
			pieces = append(pieces, s.inLines(draw.Bold, w, join(" ", t.feed, words))...)
		} else {
			pieces = append(pieces, piece{g: g})
		}
	}
	if len(pieces) == 0 {
		return nil
	}
	title := "All together, a work day at the week's start"
	if len(without) > 0 {
		title += ", without " + strings.Join(without, ", ")
	}
	lines := append(d.Lines(draw.Bold, 2.8, w, draw.Black, title+":"), s.packed(w, nil, pieces)...)
	lines[0] = draw.Pad(lines[0], 0, 1, 0, 0)
	if len(lines) < 12 {
		return []*draw.Group{draw.Stack(0, lines...)}
	}
	return lines
}
