package report

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
)

// Heights of amounts and feeds on the sheet of the whole yard, in mm: it is read
// from a trolley, at arm's length.
const (
	whoTop   = 3.1
	whoFloor = 2.6 // 11 point
)

// whoGetsWhat is the whole yard, meal by meal, in the workbook's order of
// horses: the first pages of cards.pdf, about one a meal.
func (s *sheet) whoGetsWhat() {
	w := s.p.Week
	defer func() { s.fed = nil }() // in a large yard it is much
	const margin = 10.0
	var f *flow
	// The type gives way a little where what is no meal of its own would else stand
	// alone on the last page.
	for top := whoTop; top >= whoFloor; top -= 0.1 {
		try := &flow{d: s.d, x: margin, w: s.d.PageW - 2*margin, top: margin, foot: s.d.PageH - margin - 6}
		short, alone := s.whoPages(try, top)
		if f == nil || !alone {
			f = try
		}
		if !short || !alone {
			break
		}
	}
	f.end()
	foot := join(", ", s.word("who.title"), w.Yard, s.main.weekSpan(w), s.editionWord())
	if s.anyUnweighed() { // a page goes about alone
		foot = join(". ", foot, s.word("who.unweighed.short"))
	}
	foot = join(". ", foot, s.awaiting())
	s.pageFeet(margin, f.w, foot)
}

// whoPages fills f, in type no larger than top. It says whether each meal is on one
// page, and whether what is no meal has a page of its own.
func (s *sheet) whoPages(f *flow, top float64) (short, alone bool) {
	d, w := s.d, s.p.Week
	rw := 0.45 * f.w
	right := draw.Stack(0.8,
		d.Number(draw.Bold, 4.6, rw, draw.Black, s.main.weekSpan(w)),
		draw.Framed(0.6, 1, d.Number(draw.Bold, 4.2, rw-2, draw.Black, s.both(func(t tongue) string { return t.notAfter(w) }))))
	left := draw.Stack(0.5,
		d.Fit(draw.Bold, 8, 4, f.w-rw-5, draw.Black, s.bothOf("who.title")),
		d.Fit(draw.Regular, 3.6, 2.5, f.w-rw-5, draw.Black, join(", ", w.Yard, s.editionWord())))
	title := draw.Pad(draw.Space(0, 0).Add(0, 0, left).Add(f.w-rw, 0, right), 0, 0, 0, 1)
	f.put(title)
	short = true
	meals, rest := s.yardMeals()
	for i, m := range meals {
		f.gap(whoGap)
		// A meal is one page to carry along, wherever one page holds it; the first
		// one's is the page with the title. The type gives way a little for that.
		room := f.room()
		if i == 0 {
			room -= title.H + whoGap
		}
		head := s.whoHead(m, f.w)
		var rows []*draw.Group
		total := math.Inf(1)
		for s.whoCap = top; total > room && s.whoCap >= whoFloor; s.whoCap -= 0.1 {
			rows, total = s.whoMeal(m, f.w, room-head.H, true), head.H
			for _, r := range rows {
				total += r.H
			}
			if total > 1.4*room { // no type is small enough
				break
			}
		}
		if total > room { // on several pages, then as large as can be
			short = false
			if s.whoCap != top || room != f.room() {
				s.whoCap = top
				rows = s.whoMeal(m, f.w, f.room()-head.H, true)
			}
		} else {
			f.keep(total)
		}
		f.table(head, rows)
	}
	// The rest, and how to read it all, stand at the foot of pages that have room.
	s.whoCap = top
	if rest != nil {
		head := s.whoHead(*rest, f.w)
		rows := s.whoMeal(*rest, f.w, f.room()-head.H, false)
		all := draw.Stack(0, rows...)
		if head.H+all.H <= f.room() {
			low := d.Fit(draw.Bold, 3.4, 3, f.w, draw.Black, s.both(func(t tongue) string { return t.name("meal.", rest.name) })) // where the high head finds no room
			alone = !f.slip(whoGap, draw.Stack(0, head, all), draw.Stack(0, low, all))
		} else {
			f.gap(whoGap)
			f.table(head, rows)
		}
	}
	return short, !f.slip(whoGap, s.whoNotes(f.w, 2.6, true), s.whoNotes(f.w, 2.3, true), s.whoNotes(f.w, 2, true), s.whoNotes(f.w, 2, false)) || alone
}

// whoGap is the white space between meals, in mm.
const whoGap = 4.0

// slip puts the largest of some groups at the foot of a page that has room for it, the
// last such page; where none has, the largest behind all else, and says so.
func (f *flow) slip(gap float64, largestFirst ...*draw.Group) (found bool) {
	pages := f.pages()
	for _, g := range largestFirst {
		for i, p := range slices.Backward(pages) {
			if p.full+gap+g.H > f.room() {
				continue
			}
			if i+1 < len(pages) { // that the page after it stays what it is
				next := &f.blocks[p.next]
				if next.head != nil {
					continue // a table goes on there
				}
				next.keep = f.room()
			}
			f.blocks = slices.Insert(f.blocks, p.next, flowBlock{g: g, gap: gap})
			return true
		}
	}
	f.gap(gap)
	f.put(largestFirst[0])
	return false
}

// whoMeal is all that stands under a meal's head, at the height of type now tried,
// nothing higher than room; on a round the horses without a card are named as well.
func (s *sheet) whoMeal(m meal, w, room float64, round bool) []*draw.Group {
	// Lines as long as a sheet on its side are not easily followed: there, two columns.
	n, between := 1, 8.0
	if s.d.PageW > s.d.PageH {
		n = 2
	}
	rows, idle := s.whoRows(m, (w-float64(n-1)*between)/float64(n), room-20, round)
	s.horse = ""
	rows = inColumns(rows, n, between, room)
	if len(idle) > 0 && round { // named, so that nobody looks for them in vain
		last := row([]float64{w}, 0.8, room,
			s.d.Lines(draw.Regular, 2.6, w-1.6, draw.Black, s.word("who.idle", "names", strings.Join(idle, "; "))))
		if n := len(rows) - 1; n >= 0 && len(last) == 1 && rows[n].H+last[0].H < room {
			rows[n] = draw.Stack(0, rows[n], last[0]) // not alone on a page
		} else {
			rows = append(rows, last...)
		}
	}
	if !round && len(idle) == len(s.p.Horses)-1 { // one horse's is no sum
		return rows
	}
	return append(rows, s.together(m, w, round)...)
}

// inColumns sets rows in n columns, in blocks no higher than room; the columns of the
// last block are about as high as each other.
func inColumns(rows []*draw.Group, n int, between, room float64) []*draw.Group {
	if n == 1 {
		return rows
	}
	// taken is how many rows n columns of a height hold.
	taken := func(high float64) (ends []int) {
		i := 0
		for range n {
			for y := 0.0; i < len(rows) && (y == 0 || y+rows[i].H <= high); i++ {
				y += rows[i].H
			}
			ends = append(ends, i)
		}
		return ends
	}
	var out []*draw.Group
	for len(rows) > 0 {
		ends := taken(room)
		for high := room; ends[n-1] == len(rows) && high > 0; high-- {
			if e := taken(high); e[n-1] == len(rows) {
				ends = e
			} else {
				break
			}
		}
		block := draw.Space(0, 0)
		from := 0
		for i, to := range ends {
			if to > from {
				block.Add(float64(i)*(rows[from].W+between), 0, draw.Stack(0, rows[from:to]...))
			}
			from = to
		}
		out, rows = append(out, block), rows[from:]
	}
	return out
}

// whoNotes are how the sheet is to be read; in full with what a boxed U means, which
// is in short at each page's foot.
func (s *sheet) whoNotes(w, cap float64, full bool) *draw.Group {
	d := s.d
	held, none := 0, 0
	for _, h := range s.p.Horses {
		switch h.Status {
		case yard.Held:
			held++
		case yard.NoCard:
			none++
		}
	}
	var lines []*draw.Group
	for _, t := range s.tongues() {
		lines = append(lines, d.Lines(draw.Regular, cap, w, draw.Black, t.Say("who.list",
			"n", strconv.Itoa(len(s.p.Horses)), "held", strconv.Itoa(held), "none", strconv.Itoa(none)))...)
	}
	if full && s.anyUnweighed() {
		mark := s.boxed("amount.unweighed.short", 0.85*cap, math.Inf(1))
		for i, l := range d.Lines(draw.Regular, cap, w-mark.W-2, draw.Black, s.bothOf("who.unweighed")) {
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

func (s *sheet) anyUnweighed() bool {
	return slices.ContainsFunc(s.p.Horses, func(h yard.HorsePlan) bool { return slices.ContainsFunc(h.Servings, s.unweighed) })
}

func countOf(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// yardMeals is every meal any horse is fed at, plus those of the yard sheet; what is
// fed at none of them stands by itself, nil where there is nothing such.
func (s *sheet) yardMeals() (meals []meal, rest *meal) {
	if s.fed == nil {
		for _, h := range s.p.Horses {
			first, others := ordinary(h)
			s.fed = append(s.fed, fed{mealsOf(s.p.Week, h), first, others})
		}
	}
	all := yard.HorsePlan{} // is served once at each
	known := map[string]bool{}
	for _, h := range s.p.Horses {
		for i := range h.Servings {
			if v := &h.Servings[i]; !known[v.Meal] {
				known[v.Meal] = true
				all.Servings = append(all.Servings, *v)
			}
		}
	}
	out := mealsOf(s.p.Week, all)
	if len(out) == 0 {
		return []meal{{name: allDay}}, nil
	}
	if out[0].name == allDay && len(out) > 1 { // short, and nobody's round
		return out[1:], &out[0]
	}
	return out, nil
}

// whoHead is a meal's name, its time, and the week it is for: pages go astray.
func (s *sheet) whoHead(m meal, w float64) *draw.Group {
	d := s.d
	span := d.Number(draw.Bold, 2.8, 0.4*w, draw.Black, s.main.weekSpan(s.p.Week))
	name := d.Fit(draw.Bold, 5.5, 3, 0.58*w, draw.Black, join("  ", s.both(func(t tongue) string { return t.name("meal.", m.name) }), m.clock))
	g := draw.Space(w, 0).Add(0, 0, name)
	g.Add(w-span.W, max(0, g.H-span.H-0.6), span)
	rule := g.H + 0.3
	g.H += 0.8
	return g.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x, y+rule, x+w, y+rule, 0.5, draw.Black) })
}

// fed is what a horse's lines are written from, whatever the meal.
type fed struct {
	meals  []meal
	first  dayColumn   // the column its lines are written from
	others []dayColumn // those that may differ
}

// at is what the plan's i-th horse gets at a meal of the yard.
func (s *sheet) at(i int, m meal) (feeds []mealFeed, fed bool) {
	for _, hm := range s.fed[i].meals {
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

// tagFloor is how small HELD and its like may become before they wrap, in mm.
const tagFloor = 1.8

// unbrokenCap is the height of bold type, between floor and top, at which no word
// of a name has to be broken to fit w; the floor where there is none.
func (s *sheet) unbrokenCap(top, floor, w float64, name string) float64 {
	shown, _ := draw.Printable(name)
	for _, word := range strings.Fields(shown) {
		for _, part := range strings.SplitAfter(word, "-") {
			if full := s.d.Width(draw.Bold, top, part); full > w {
				top *= w / full * 0.999
			}
		}
	}
	return max(top, floor)
}

// whoRows are the horses at one meal, and the names of those who get nothing.
func (s *sheet) whoRows(m meal, w, maxH float64, round bool) (rows []*draw.Group, idle []string) {
	d := s.d
	const pad = 0.7
	widths := columns(w, 1, 5.2)
	nameW, feedsW := widths[0]-2*pad, widths[1]-2*pad
	for i, h := range s.p.Horses {
		s.horse = h.Horse.Name
		feeds, fed := s.at(i, m)
		unknown := h.Status != yard.NoCard && len(h.Servings) == 0 // nobody has said what it gets
		if !fed && !(round && (h.Status == yard.NoCard || unknown)) {
			idle = append(idle, h.Horse.Name)
			continue
		}
		name := cell(d.Lines(draw.Bold, s.unbrokenCap(3.4, 1.9, nameW, h.Horse.Name), nameW, draw.Black, h.Horse.Name))
		if word := s.statusWord(h.Status); word != "" {
			tag := d.Fit(draw.Bold, 2.6, tagFloor, nameW-1, draw.White, word)
			if t := s.also("status." + string(h.Status)); t != "" {
				tag = draw.Stack(0, tag, d.Fit(draw.Regular, 2.2, tagFloor, nameW-1, draw.White, t))
			}
			name = append(name, draw.On(draw.Black, 0.5, tag))
		}
		var says cell
		switch {
		case unknown:
			says = d.Lines(draw.Bold, s.whoCap, feedsW, draw.Black, s.bothOf("nofeed"))
		case h.Status == yard.NoCard && len(h.Servings) == 0:
			says = append(says, d.Lines(draw.Bold, s.whoCap, feedsW, draw.Black, s.word("nocard.ask", "who", s.main.ask(s.p.Week)))...)
			says = append(says, d.Lines(draw.Regular, s.whoCap, feedsW, draw.Black, s.bothOf("who.hay"))...)
		default:
			says = s.whoLines(s.fed[i].first, s.fed[i].others, feeds, feedsW)
		}
		rows = append(rows, row(widths, pad, maxH, name, says)...)
	}
	return rows, idle
}

// whoLines are one horse's feeds at one meal, one after the other, and under
// them a line for each other kind of day, with what differs on it.
func (s *sheet) whoLines(first dayColumn, others []dayColumn, feeds []mealFeed, w float64) cell {
	var pieces []piece
	for _, f := range feeds {
		if st := s.stages(first, f.on(first.kind)); len(st) > 0 {
			pieces = append(pieces, s.whoPieces(f.feed, st, w)...)
		}
	}
	if len(pieces) == 0 {
		t := s.bothOf("who.nothing")
		if first.unsaid {
			t = s.bothOf(first.nothing())
		}
		pieces = s.inLines(draw.Regular, w, t)
	}
	label := func(c dayColumn) *draw.Group {
		return s.d.Number(draw.Bold, 2.6, w, draw.Black, join(" ", s.shortOf(c), s.main.listed(s.p.Week, c.on))+":")
	}
	var lead *draw.Group
	if first.kind != yard.WorkDay { // not what the sheet's head says
		lead = label(first)
	}
	out := s.packed(w, lead, pieces)
	for _, c := range others {
		var pieces []piece
		for _, f := range feeds {
			switch st := s.stages(c, f.on(c.kind)); {
			case !s.differs(first, c, f):
			case len(st) == 0:
				pieces = append(pieces, s.inLines(draw.Bold, w, s.word("who.no feed", "feed", f.feed))...)
			default:
				pieces = append(pieces, s.whoPieces(f.feed, st, w)...)
			}
		}
		if c.unsaid {
			pieces = s.inLines(draw.Bold, w, s.bothOf(c.nothing()))
		}
		if len(pieces) > 0 {
			out = append(out, s.packed(w, label(c), pieces)...)
		}
	}
	return out
}

// shortOf is a kind of day in a word, in both languages.
func (s *sheet) shortOf(c dayColumn) string {
	if c.short == "" {
		return ""
	}
	return join("/", s.word(c.short), s.also(c.short))
}

// differs says whether a feed's amounts in column c are other than what the line
// of column first says of the same days. Where that line has its days printed, a day
// that none of them holds is not said.
func (s *sheet) differs(first, c dayColumn, f mealFeed) bool {
	on := c.on
	if !on.any() {
		on = days{true, true, true, true, true, true, true} // such a day may still come, on any
	}
	of, in := f.on(first.kind), f.on(c.kind)
	said := s.stages(first, of)
	for i := range on {
		if !on[i] {
			continue
		}
		same := slices.EqualFunc(validOn(of, i), validOn(in, i), func(a, b *yard.Serving) bool {
			one, other := *a, *b
			one.Day = other.Day
			return one == other || s.amountOf(one) == s.amountOf(other)
		})
		if !same || len(said) > 0 && !slices.ContainsFunc(said, func(st stage) bool { return st.holds(i) }) {
			return true
		}
	}
	return false
}

// holds says whether a stage, as its days are printed, is read as holding on a day.
func (st stage) holds(day int) bool {
	return !st.on.any() || st.on[day] || st.from >= 0 && day >= st.from
}

// validOn is what of a feed's stages holds on a day; none before the first.
func validOn(ss []*yard.Serving, day int) []*yard.Serving {
	from, to := 0, 0
	for ; to < len(ss) && int(ss[to].From) <= day; to++ {
		if ss[to].From != ss[from].From {
			from = to
		}
	}
	return ss[from:to]
}

// piece is what stays on one line.
type piece struct {
	g  *draw.Group
	on bool // goes on from the piece before it, without a dot between
}

// inLines is running text as pieces, a line each.
func (s *sheet) inLines(f draw.Face, w float64, text string) []piece {
	var out []piece
	for i, l := range s.d.Lines(f, s.whoCap, w, draw.Black, text) {
		out = append(out, piece{l, i > 0})
	}
	return out
}

// whoPieces are one feed's drawing, amount and name; where the amount changes
// in the week, its name and each amount with its days.
func (s *sheet) whoPieces(feed string, stages []stage, w float64) []piece {
	d := s.d
	named := d.Line(draw.Regular, s.whoCap, draw.Black, feed)
	staged := len(stages) > 1 || stages[0].on.any()
	if staged {
		named = d.Line(draw.Regular, s.whoCap, draw.Black, feed+":")
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
		days := s.main.days(s.p.Week, st)
		if days != "" {
			parts = append(parts, d.Line(draw.Bold, 2.6, draw.Black, days))
		}
		if mark := markOf(*st.serving, a, 3.4); mark.W > 0 {
			parts = append(parts, mark)
		}
		box := ""
		switch {
		case a.weigh:
			box = "amount.weigh"
		case a.unweighed:
			box = "amount.unweighed.short"
		}
		if box != "" {
			parts = append(parts, s.boxed(box, 2, math.Inf(1)))
			box = s.word(box)
		}
		parts = append(parts, d.Line(draw.Bold, s.whoCap, draw.Black, words))
		if !staged {
			parts = append(parts, named)
		}
		g := draw.Beside(0.9, parts...)
		if g.W <= w {
			out = append(out, piece{g, i > 0})
			continue
		}
		text := join(" ", days, box, words, feed)
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
			add = []*draw.Group{s.d.Line(draw.Bold, s.whoCap, draw.Black, "·"), p.g}
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
	for i, h := range s.p.Horses {
		feeds, fed := s.at(i, m)
		if !fed && (h.Status == yard.NoCard || len(h.Servings) == 0) {
			without = append(without, h.Horse.Name)
		}
		first := s.fed[i].first
		for _, f := range feeds {
			for _, v := range validOn(f.on(first.kind), first.on.first()) {
				i := slices.IndexFunc(out, func(t sum) bool { return strings.EqualFold(t.feed, v.Feed) })
				if i < 0 {
					out = append(out, sum{feed: v.Feed, class: v.Class})
					i = len(out) - 1
				}
				out[i].add(*v, s.unweighed(*v))
			}
		}
	}
	return out, without
}

func (t *sum) add(v yard.Serving, unweighed bool) {
	ml, byMl := v.Ml.Get()
	n, counted := byMeasure(v)
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
func (s *sheet) sumWords(t sum) string {
	l := s.main
	kg := l.weight(t.kg)
	if (t.class == yard.Salt || t.class == yard.Supplement) && t.kg < 1 {
		kg = l.figure(t.kg*1000, 1) + nb + "g"
	} else if s.p.Week.Imperial {
		kg = l.pounds(t.kg) + " / " + kg
	}
	var counts, parts []string
	for _, m := range t.measures {
		counts = append(counts, l.count(m.n)+nb+l.plural(m.n, m.name))
	}
	if len(counts) > 0 && t.weighed > 0 {
		counts = append(counts, l.Say("amount.weigh")+nb+l.weight(t.weighed))
		kg = l.Say("who.in all", "weight", kg)
	}
	parts = append(parts, strings.Join(counts, " + "))
	if t.kg > 0 {
		parts = append(parts, kg)
	}
	if t.ml > 0 {
		parts = append(parts, l.figure(t.ml, 1)+nb+"ml")
	}
	if t.adLib > 0 {
		key := "who.adlib.n"
		if t.adLib == 1 {
			key = "who.adlib.1"
		}
		parts = append(parts, l.Say(key, "n", strconv.Itoa(t.adLib)))
	}
	return join(", ", parts...)
}

// together is a meal's last lines: how much of each feed goes out, so that it
// can be barrowed out.
func (s *sheet) together(m meal, w float64, round bool) []*draw.Group {
	d := s.d
	sums, without := s.sums(m)
	var pieces []piece
	for _, t := range sums {
		words := s.sumWords(t)
		if words == "" {
			continue
		}
		parts := []*draw.Group{d.Line(draw.Regular, s.whoCap, draw.Black, t.feed)}
		if t.unsure {
			parts = append(parts, s.boxed("amount.unweighed.short", 2, math.Inf(1)))
		}
		g := draw.Beside(0.9, append(parts, d.Line(draw.Bold, s.whoCap, draw.Black, words))...)
		if g.W > w {
			pieces = append(pieces, s.inLines(draw.Bold, w, join(" ", t.feed, words))...)
		} else {
			pieces = append(pieces, piece{g: g})
		}
	}
	if len(pieces) == 0 {
		return nil
	}
	title := s.word("who.together")
	if len(without) > 0 && round {
		title = s.word("who.together.without", "names", strings.Join(without, ", "))
	}
	lines := append(d.Lines(draw.Bold, 2.8, w, draw.Black, title+":"), s.packed(w, nil, pieces)...)
	lines[0] = draw.Pad(lines[0], 0, 1, 0, 0)
	if len(lines) < 12 {
		return []*draw.Group{draw.Stack(0, lines...)}
	}
	return lines
}
