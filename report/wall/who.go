package wall

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/flow"
	"hardfeed/report/words"
)

// Heights of amounts and feeds on the sheet of the whole yard, in mm: it is read
// from a trolley, at arm's length.
const (
	whoTop   = 3.1
	whoFloor = 2.6 // 11 point
)

// who is the sheet of the whole yard on its way.
type who struct {
	paper
	fed []fed   // by horse, once the meals of the yard have been asked for
	cap float64 // the height of type, in mm
}

// whoGetsWhat is the whole yard, meal by meal, in the workbook's order of
// horses: the first pages of cards.pdf, about one a meal.
func (s *who) whoGetsWhat() {
	w := s.Plan.Week
	const margin = 10.0
	var f *flow.Flow
	// The type gives way a little where what is no meal of its own would else stand
	// alone on the last page.
	for top := whoTop; top >= whoFloor; top -= 0.1 {
		try := &flow.Flow{D: s.d, X: margin, W: s.d.PageW - 2*margin, Top: margin, Foot: s.d.PageH - margin - 6}
		short, alone := s.whoPages(try, top)
		if f == nil || !alone {
			f = try
		}
		if !short || !alone {
			break
		}
	}
	f.End()
	foot := words.Join(", ", s.Word("who.title"), w.Yard, s.Main.WeekSpan(w), s.EditionWord())
	if s.AnyUnweighed() { // a page goes about alone
		foot = words.Join(". ", foot, s.Word("who.unweighed.short"))
	}
	foot = words.Join(". ", foot, s.Awaiting())
	flow.PageFeet(s.Sheet, s.d, margin, f.W, foot)
}

// whoPages fills f, in type no larger than top. It says whether each meal is on one
// page, and whether what is no meal has a page of its own.
func (s *who) whoPages(f *flow.Flow, top float64) (short, alone bool) {
	d, w := s.d, s.Plan.Week
	rw := 0.45 * f.W
	right := draw.Stack(0.8,
		d.Number(draw.Bold, 4.6, rw, draw.Black, s.Main.WeekSpan(w)),
		draw.Framed(0.6, 1, d.Number(draw.Bold, 4.2, rw-2, draw.Black, s.Both(func(t words.Language) string { return t.NotAfter(w) }))))
	left := draw.Stack(0.5,
		d.Fit(draw.Bold, 8, 4, f.W-rw-5, draw.Black, s.BothOf("who.title")),
		d.Fit(draw.Regular, 3.6, 2.5, f.W-rw-5, draw.Black, words.Join(", ", w.Yard, s.EditionWord())))
	title := draw.Pad(draw.Space(0, 0).Add(0, 0, left).Add(f.W-rw, 0, right), 0, 0, 0, 1)
	f.Put(title)
	for _, t := range s.Languages() {
		f.Put(d.Lines(draw.Regular, least, f.W, draw.Black, t.Standing())...)
	}
	warnings := f.Height()
	short = true
	meals, rest := s.yardMeals()
	for i, m := range meals {
		f.Gap(whoGap)
		// A meal is one page to carry along, wherever one page holds it; the first
		// one's is the page with the title. The type gives way a little for that.
		room := f.Room()
		if i == 0 {
			room -= warnings + whoGap
		}
		head := s.whoHead(m, f.W)
		var rows []*draw.Group
		total := math.Inf(1)
		for s.cap = top; total > room && s.cap >= whoFloor; s.cap -= 0.1 {
			rows, total = s.whoMeal(m, f.W, room-head.H, true), head.H
			for _, r := range rows {
				total += r.H
			}
			if total > 1.4*room { // no type is small enough
				break
			}
		}
		if total > room { // on several pages, then as large as can be
			short = false
			if s.cap != top || room != f.Room() {
				s.cap = top
				rows = s.whoMeal(m, f.W, f.Room()-head.H, true)
			}
		} else {
			f.Keep(total)
		}
		f.Table(head, rows)
	}
	// The rest, and how to read it all, stand at the foot of pages that have room.
	s.cap = top
	if rest != nil {
		head := s.whoHead(*rest, f.W)
		rows := s.whoMeal(*rest, f.W, f.Room()-head.H, false)
		all := draw.Stack(0, rows...)
		if head.H+all.H <= f.Room() {
			low := d.Fit(draw.Bold, 3.4, 3, f.W, draw.Black, s.Both(func(t words.Language) string { return t.Name("meal.", rest.Name) })) // where the high head finds no room
			alone = !f.Slip(whoGap, draw.Stack(0, head, all), draw.Stack(0, low, all))
		} else {
			f.Gap(whoGap)
			f.Table(head, rows)
		}
	}
	return short, !f.Slip(whoGap, s.whoNotes(f.W, 2.6, true), s.whoNotes(f.W, 2.3, true), s.whoNotes(f.W, 2, true), s.whoNotes(f.W, 2, false)) || alone
}

// whoGap is the white space between meals, in mm.
const whoGap = 4.0

// whoMeal is all that stands under a meal's head, at the height of type now tried,
// nothing higher than room; on a round the horses without a card are named as well.
func (s *who) whoMeal(m words.Meal, w, room float64, round bool) []*draw.Group {
	// Lines as long as a sheet on its side are not easily followed: there, two columns.
	n, between := 1, 8.0
	if s.d.PageW > s.d.PageH {
		n = 2
	}
	rows, idle := s.whoRows(m, (w-float64(n-1)*between)/float64(n), room-20, round)
	s.d.Drawing = ""
	rows = flow.InColumns(rows, n, between, room)
	if len(idle) > 0 && round { // named, so that nobody looks for them in vain
		last := flow.Row([]float64{w}, 0.8, room,
			s.d.Lines(draw.Regular, 2.6, w-1.6, draw.Black, s.Word("who.idle", "names", strings.Join(idle, "; "))))
		if n := len(rows) - 1; n >= 0 && len(last) == 1 && rows[n].H+last[0].H < room {
			rows[n] = draw.Stack(0, rows[n], last[0]) // not alone on a page
		} else {
			rows = append(rows, last...)
		}
	}
	if !round && len(idle) == len(s.Plan.Horses)-1 { // one horse's is no sum
		return rows
	}
	return append(rows, s.together(m, w, round)...)
}

// whoNotes are how the sheet is to be read; in full with what a boxed U means, which
// is in short at each page's foot.
func (s *who) whoNotes(w, cap float64, full bool) *draw.Group {
	d := s.d
	held, none := 0, 0
	for _, h := range s.Plan.Horses {
		switch h.Status {
		case yard.Held:
			held++
		case yard.NoCard:
			none++
		}
	}
	var lines []*draw.Group
	for _, t := range s.Languages() {
		lines = append(lines, d.Lines(draw.Regular, cap, w, draw.Black, t.Say("who.list",
			"n", strconv.Itoa(len(s.Plan.Horses)), "held", strconv.Itoa(held), "none", strconv.Itoa(none)))...)
	}
	if full && s.AnyUnweighed() {
		mark := s.boxed("amount.unweighed.short", 0.85*cap, math.Inf(1))
		for i, l := range d.Lines(draw.Regular, cap, w-mark.W-2, draw.Black, s.BothOf("who.unweighed")) {
			if i == 0 {
				l = draw.Beside(2, mark, l)
			} else {
				l = draw.Pad(l, mark.W+2, 0, 0, 0)
			}
			lines = append(lines, l)
		}
	}
	return draw.Stack(0, lines...)
}

// yardMeals is every meal any horse is fed at, plus those of the yard sheet; what is
// fed at none of them stands by itself, nil where there is nothing such.
func (s *who) yardMeals() (meals []words.Meal, rest *words.Meal) {
	if s.fed == nil {
		for _, h := range s.Plan.Horses {
			first, others := ordinary(h)
			s.fed = append(s.fed, fed{words.MealsOf(s.Plan.Week, h), first, others})
		}
	}
	all := yard.HorsePlan{} // is served once at each
	known := map[string]bool{}
	for _, h := range s.Plan.Horses {
		for i := range h.Servings {
			if v := &h.Servings[i]; !known[v.Meal] {
				known[v.Meal] = true
				all.Servings = append(all.Servings, *v)
			}
		}
	}
	out := words.MealsOf(s.Plan.Week, all)
	if len(out) == 0 {
		return []words.Meal{{Name: words.AllDay}}, nil
	}
	if out[0].Name == words.AllDay && len(out) > 1 { // short, and nobody's round
		return out[1:], &out[0]
	}
	return out, nil
}

// whoHead is a meal's name, its time, and the week it is for: pages go astray.
func (s *who) whoHead(m words.Meal, w float64) *draw.Group {
	d := s.d
	span := d.Number(draw.Bold, 2.8, 0.4*w, draw.Black, s.Main.WeekSpan(s.Plan.Week))
	name := d.Fit(draw.Bold, 5.5, 3, 0.58*w, draw.Black, words.Join("  ", s.Both(func(t words.Language) string { return t.Name("meal.", m.Name) }), m.Clock))
	g := draw.Space(w, 0).Add(0, 0, name)
	g.Add(w-span.W, max(0, g.H-span.H-0.6), span)
	rule := g.H + 0.3
	g.H += 0.8
	return g.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x, y+rule, x+w, y+rule, 0.5, draw.Black) })
}

// fed is what a horse's lines are written from, whatever the meal.
type fed struct {
	meals  []words.Meal
	first  words.Column   // the column its lines are written from
	others []words.Column // those that may differ
}

// at is what the plan's i-th horse gets at a meal of the yard.
func (s *who) at(i int, m words.Meal) (feeds []words.MealFeed, fed bool) {
	for _, hm := range s.fed[i].meals {
		if strings.EqualFold(hm.Name, m.Name) {
			return hm.Feeds, true
		}
	}
	return nil, false
}

// ordinary is the column a horse's line is written from, and the others: the
// work day's, or the first that has a day this week.
func ordinary(h yard.HorsePlan) (first words.Column, others []words.Column) {
	cols := words.Columns(h)
	i := max(0, slices.IndexFunc(cols, func(c words.Column) bool { return c.On.Any() }))
	if len(cols) == 0 {
		return words.Column{}, nil
	}
	return cols[i], slices.Delete(slices.Clone(cols), i, i+1)
}

// tagFloor is how small HELD and its like may become before they wrap, in mm.
const tagFloor = 1.8

// whoRows are the horses at one meal, and the names of those who get nothing.
func (s *who) whoRows(m words.Meal, w, maxH float64, round bool) (rows []*draw.Group, idle []string) {
	d := s.d
	const pad = 0.7
	widths := flow.Columns(w, 1, 5.2)
	nameW, feedsW := widths[0]-2*pad, widths[1]-2*pad
	for i, h := range s.Plan.Horses {
		s.d.Drawing = h.Horse.Name
		feeds, fed := s.at(i, m)
		unknown := h.Status != yard.NoCard && len(h.Servings) == 0 // nobody has said what it gets
		if !fed && !(round && (h.Status == yard.NoCard || unknown)) {
			idle = append(idle, h.Horse.Name)
			continue
		}
		name := flow.Cell(d.Lines(draw.Bold, s.unbrokenCap(3.4, 1.9, nameW, h.Horse.Name), nameW, draw.Black, h.Horse.Name))
		if word := s.StatusWord(h.Status); word != "" {
			tag := d.Fit(draw.Bold, 2.6, tagFloor, nameW-1, draw.White, word)
			if t := s.Also("status." + string(h.Status)); t != "" {
				tag = draw.Stack(0, tag, d.Fit(draw.Regular, 2.2, tagFloor, nameW-1, draw.White, t))
			}
			name = append(name, draw.On(draw.Black, 0.5, tag))
		}
		var says flow.Cell
		switch {
		case unknown:
			says = d.Lines(draw.Bold, s.cap, feedsW, draw.Black, s.BothOf("nofeed"))
		case h.Status == yard.NoCard && len(h.Servings) == 0:
			says = append(says, d.Lines(draw.Bold, s.cap, feedsW, draw.Black, s.Word("nocard.ask", "who", s.Main.Ask(s.Plan.Week)))...)
			says = append(says, d.Lines(draw.Regular, s.cap, feedsW, draw.Black, s.BothOf("who.hay"))...)
		default:
			says = s.whoLines(s.fed[i].first, s.fed[i].others, feeds, feedsW)
		}
		rows = append(rows, flow.Row(widths, pad, maxH, name, says)...)
	}
	return rows, idle
}

// whoLines are one horse's feeds at one meal, one after the other, and under
// them a line for each other kind of day, with what differs on it.
func (s *who) whoLines(first words.Column, others []words.Column, feeds []words.MealFeed, w float64) flow.Cell {
	var pieces []piece
	for _, f := range feeds {
		if st := s.Stages(first, f.On(first.Kind)); len(st) > 0 {
			pieces = append(pieces, s.whoPieces(f.Feed, st, w)...)
		}
	}
	if len(pieces) == 0 {
		t := s.BothOf("who.nothing")
		if first.Unsaid {
			t = s.BothOf(first.Nothing())
		}
		pieces = s.inLines(draw.Regular, w, t)
	}
	label := func(c words.Column) *draw.Group {
		return s.d.Number(draw.Bold, 2.6, w, draw.Black, words.Join(" ", s.shortOf(c), s.Main.Listed(s.Plan.Week, c.On))+":")
	}
	var lead *draw.Group
	if first.Kind != yard.WorkDay { // not what the sheet's head says
		lead = label(first)
	}
	out := s.packed(w, lead, pieces)
	for _, c := range others {
		var pieces []piece
		for _, f := range feeds {
			switch st := s.Stages(c, f.On(c.Kind)); {
			case !s.differs(first, c, f):
			case len(st) == 0:
				pieces = append(pieces, s.inLines(draw.Bold, w, s.Word("who.no feed", "feed", f.Feed))...)
			default:
				pieces = append(pieces, s.whoPieces(f.Feed, st, w)...)
			}
		}
		if c.Unsaid {
			pieces = s.inLines(draw.Bold, w, s.BothOf(c.Nothing()))
		}
		if len(pieces) > 0 {
			out = append(out, s.packed(w, label(c), pieces)...)
		}
	}
	return out
}

// shortOf is a kind of day in a word, in both languages.
func (s *who) shortOf(c words.Column) string {
	if c.Short == "" {
		return ""
	}
	return words.Join("/", s.Word(c.Short), s.Also(c.Short))
}

// differs says whether a feed's amounts in column c are other than what the line
// of column first says of the same days. Where that line has its days printed, a day
// that none of them holds is not said.
func (s *who) differs(first, c words.Column, f words.MealFeed) bool {
	on := c.On
	if !on.Any() {
		on = words.Days{true, true, true, true, true, true, true} // such a day may still come, on any
	}
	of, in := f.On(first.Kind), f.On(c.Kind)
	said := s.Stages(first, of)
	for i := range on {
		if !on[i] {
			continue
		}
		same := slices.EqualFunc(words.ValidOn(of, i), words.ValidOn(in, i), func(a, b *yard.Serving) bool {
			one, other := *a, *b
			one.Day = other.Day
			return one == other || s.AmountOf(one) == s.AmountOf(other)
		})
		if !same || len(said) > 0 && !slices.ContainsFunc(said, func(st words.Stage) bool { return st.Holds(i) }) {
			return true
		}
	}
	return false
}

// piece is what stays on one line.
type piece struct {
	g  *draw.Group
	on bool // goes on from the piece before it, without a dot between
}

// inLines is running text as pieces, a line each.
func (s *who) inLines(f draw.Face, w float64, text string) []piece {
	var out []piece
	for i, l := range s.d.Lines(f, s.cap, w, draw.Black, text) {
		out = append(out, piece{l, i > 0})
	}
	return out
}

// whoPieces are one feed's drawing, amount and name; where the amount changes
// in the week, its name and each amount with its days.
func (s *who) whoPieces(feed string, stages []words.Stage, w float64) []piece {
	d := s.d
	named := d.Line(draw.Regular, s.cap, draw.Black, feed)
	staged := len(stages) > 1 || stages[0].On.Any()
	if staged {
		named = d.Line(draw.Regular, s.cap, draw.Black, feed+":")
	}
	var out []piece
	for i, st := range stages {
		var parts []*draw.Group
		a := st.Amount
		texts := a.String()
		if i < len(stages)-1 {
			texts += ";"
		}
		if staged && i == 0 {
			parts = append(parts, named)
		}
		days := s.Main.Days(s.Plan.Week, st)
		if days != "" {
			parts = append(parts, d.Line(draw.Bold, 2.6, draw.Black, days))
		}
		if mark := markOf(*st.Serving, a, 3.4); mark.W > 0 {
			parts = append(parts, mark)
		}
		box := ""
		switch {
		case a.Weigh:
			box = "amount.weigh"
		case a.Unweighed:
			box = "amount.unweighed.short"
		}
		if box != "" {
			parts = append(parts, s.boxed(box, 2, math.Inf(1)))
			box = s.Word(box)
		}
		parts = append(parts, d.Line(draw.Bold, s.cap, draw.Black, texts))
		if !staged {
			parts = append(parts, named)
		}
		g := draw.Beside(0.9, parts...)
		if g.W <= w {
			out = append(out, piece{g, i > 0})
			continue
		}
		text := words.Join(" ", days, box, texts, feed)
		for _, p := range s.inLines(draw.Bold, w, text) {
			out = append(out, piece{p.g, p.on || i > 0})
		}
	}
	return out
}

// packed sets pieces one after the other in lines w wide, dots between them;
// lead stands before the first.
func (s *who) packed(w float64, lead *draw.Group, pieces []piece) []*draw.Group {
	const gap = 1.3
	var out []*draw.Group
	line := lead
	for i, p := range pieces {
		add := []*draw.Group{p.g}
		if i > 0 && !p.on {
			add = []*draw.Group{s.d.Line(draw.Bold, s.cap, draw.Black, "·"), p.g}
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
func (s *who) sums(m words.Meal) (out []sum, without []string) {
	for i, h := range s.Plan.Horses {
		feeds, fed := s.at(i, m)
		if !fed && (h.Status == yard.NoCard || len(h.Servings) == 0) {
			without = append(without, h.Horse.Name)
		}
		first := s.fed[i].first
		for _, f := range feeds {
			for _, v := range words.ValidOn(f.On(first.Kind), first.On.First()) {
				i := slices.IndexFunc(out, func(t sum) bool { return strings.EqualFold(t.feed, v.Feed) })
				if i < 0 {
					out = append(out, sum{feed: v.Feed, class: v.Class})
					i = len(out) - 1
				}
				out[i].add(*v, s.Unweighed(*v))
			}
		}
	}
	return out, without
}

func (t *sum) add(v yard.Serving, unweighed bool) {
	ml, byMl := v.Ml.Get()
	n, counted := words.ByMeasure(v)
	switch {
	case v.Grazed.IsKnown(): // nobody carries it out
		return
	case v.AdLib:
		t.adLib++
		return
	case byMl:
		t.ml += ml
		return
	case v.Weigh:
		t.weighed += float64(v.Kg)
	case counted:
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

// sumWords is "6¼ scoops, 8.1 kg".
func (s *who) sumWords(t sum) string {
	l := s.Main
	kg := l.Weight(t.kg)
	var counts, parts []string
	for _, m := range t.measures {
		counts = append(counts, l.Count(m.n)+words.NoBreak+l.Plural(m.n, m.name))
	}
	if len(counts) > 0 && t.weighed > 0 {
		counts = append(counts, l.Say("amount.weigh")+words.NoBreak+l.Weight(t.weighed))
		kg = l.Say("who.in all", "weight", kg)
	}
	parts = append(parts, strings.Join(counts, " + "))
	if t.kg > 0 {
		parts = append(parts, kg)
	}
	if t.ml > 0 {
		parts = append(parts, l.Figure(t.ml, 0)+words.NoBreak+"ml")
	}
	if t.adLib > 0 {
		key := "who.adlib.n"
		if t.adLib == 1 {
			key = "who.adlib.1"
		}
		parts = append(parts, l.Say(key, "n", strconv.Itoa(t.adLib)))
	}
	return words.Join(", ", parts...)
}

// together is a meal's last lines: how much of each feed goes out, so that it
// can be barrowed out.
func (s *who) together(m words.Meal, w float64, round bool) []*draw.Group {
	d := s.d
	sums, without := s.sums(m)
	var pieces []piece
	for _, t := range sums {
		texts := s.sumWords(t)
		if texts == "" {
			continue
		}
		parts := []*draw.Group{d.Line(draw.Regular, s.cap, draw.Black, t.feed)}
		if t.unsure {
			parts = append(parts, s.boxed("amount.unweighed.short", 2, math.Inf(1)))
		}
		g := draw.Beside(0.9, append(parts, d.Line(draw.Bold, s.cap, draw.Black, texts))...)
		if g.W > w {
			pieces = append(pieces, s.inLines(draw.Bold, w, words.Join(" ", t.feed, texts))...)
		} else {
			pieces = append(pieces, piece{g: g})
		}
	}
	if len(pieces) == 0 {
		return nil
	}
	title := s.Word("who.together")
	if len(without) > 0 && round {
		title = s.Word("who.together.without", "names", strings.Join(without, ", "))
	}
	lines := append(d.Lines(draw.Bold, 2.8, w, draw.Black, title+":"), s.packed(w, nil, pieces)...)
	lines[0] = draw.Pad(lines[0], 0, 1, 0, 0)
	if len(lines) < 12 {
		return []*draw.Group{draw.Stack(0, lines...)}
	}
	return lines
}

// markOf is the drawing of an amount, h high: scoops as scoops, oil as a drop.
func markOf(sv yard.Serving, a words.Amount, h float64) *draw.Group {
	n, ok := sv.Measures.Get()
	switch {
	case a.None || a.Weigh:
	case sv.Grazed.IsKnown(): // nothing is carried to it
	case sv.Class == yard.Forage:
		return draw.Bale(0.85 * h)
	case sv.Class == yard.Oil:
		return draw.Drop(h)
	case sv.Class == yard.Salt && sv.Kg > 0:
		return draw.Shaker(h)
	case ok && sv.Measure != "" && !math.IsNaN(n):
		return draw.Scoops(n, h*0.85)
	}
	return draw.Space(0, 0)
}
