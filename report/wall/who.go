package wall

import (
	"strconv"
	"strings"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/flow"
	"hardfeed/report/words"
)

// listSizes are those of the list of the whole yard, in mm. It is read from a trolley, at
// 0.7 m: sixteen minutes of arc are 3.3 mm there, twenty 4.1 (LE-01).
func listSizes() sizes {
	return sizes{amount: 4.4, fraction: 4, unit: 2.8, aside: 2.6, feed: 3.3, feedLow: 2.7, meal: 5.5, clock: 4.4, day: 3.6, tag: least, note: 2.7, box: 0,
		pad: 0.75, gap: 1, mark: 3.3, list: true}
}

// aPageful is how many horses a meal may have that begins on another's page.
const aPageful = 40

// who is the list of the whole yard on its way: what each horse gets at each meal.
type who struct {
	paper
	t sizes

	w, nameW, feedW, unitW, dayW float64
}

// measureWidth is how wide the longest name of the yard's measures is beside its amounts.
func (s *who) measureWidth() float64 {
	widest := 0.0
	for _, m := range s.Plan.Week.Measures {
		plural := func(t words.Language) string { return shortUnit(t.Plural(2, m.Name)) }
		widest = max(widest, s.d.Set.Width(draw.Bold, s.t.unit, plural(s.Main)), s.d.Set.Width(draw.Regular, least, s.Second(plural)))
	}
	return widest
}

// whoGetsWhat is the whole yard, meal by meal, in the workbook's order of horses: the
// first pages of cards.pdf. A line is one feed of one horse, a column one day.
func (s *who) whoGetsWhat() {
	w := s.Plan.Week
	const margin = 10.0
	s.t = listSizes()
	f := &flow.Flow{D: s.d, X: margin, W: s.d.PageW - 2*margin, Top: margin, Foot: s.d.PageH - margin - 6}
	s.w, s.dayW = f.W, max(0.08*f.W, min(0.09*f.W, s.boxedWidth("amount.weigh")+2*s.t.cellPad()+0.2))
	s.unitW = min(max(0.07*f.W, s.boxedWidth("amount.weigh")+1.2, s.measureWidth()+1.2), 0.12*f.W)
	s.nameW = (f.W - 7*s.dayW - s.unitW) / 2
	s.feedW = s.nameW
	s.title(f)
	meals := s.meals()
	for i, m := range meals {
		f.Gap(4)
		head := s.mealHead(m)
		total := head.H
		var page []*draw.Group // the rows, until they are more than a page
		s.mealRows(m, f.Room()-head.H, func(rows ...*draw.Group) {
			full := total > f.Room()
			for _, r := range rows {
				total += r.H
			}
			switch {
			case full:
				f.More(head, rows...)
			case total > f.Room():
				f.Table(head, append(page, rows...))
			default:
				page = append(page, rows...)
			}
		})
		if total <= f.Room() {
			if i > 0 { // one page to carry along; the first meal is under the title
				f.Keep(total)
			}
			f.Table(head, page)
		}
		if len(s.Plan.Horses) > aPageful && i < len(meals)-1 { // what waits for its page is much; the notes go with the last meal
			f.End()
		}
	}
	s.d.Drawing = ""
	f.Gap(3)
	f.Put(s.notes()...)
	f.End()
	foot := words.Join(", ", s.Word("who.title"), w.Yard, s.Main.WeekSpan(w), s.EditionWord())
	if s.AnyUnweighed() { // a page goes about alone
		foot = words.Join(". ", foot, s.Word("who.unweighed.short"))
	}
	flow.PageFeet(s.Sheet, s.d, margin, f.W, words.Join(". ", foot, s.Awaiting()))
}

// title is the yard, the week, and the general warnings, which have no room on the cards.
func (s *who) title(f *flow.Flow) {
	d, w := s.d, s.Plan.Week
	rw := 0.45 * f.W
	right := draw.Stack(0.8,
		d.Set.Number(draw.Bold, 4.6, rw, draw.Black, s.Main.WeekSpan(w)),
		draw.Framed(0.6, 1, d.Set.Number(draw.Bold, 4.2, rw-2, draw.Black, s.Both(func(t words.Language) string { return t.NotAfter(w) }))))
	left := draw.Stack(0.5,
		d.Set.Fit(draw.Bold, 8, 4, f.W-rw-5, draw.Black, s.BothOf("who.title")),
		d.Set.Fit(draw.Regular, 3.6, 2.5, f.W-rw-5, draw.Black, words.Join(", ", w.Yard, s.EditionWord())))
	f.Put(draw.Pad(draw.Space(0, 0).Add(0, 0, left).Add(f.W-rw, 0, right), 0, 0, 0, 1))
	for _, t := range s.Languages() {
		f.Put(d.Set.Lines(draw.Regular, least, f.W, draw.Black, t.Standing())...)
	}
}

// meals are all meals any horse is fed at, in the yard's order; what has no meal last:
// it is nobody's round.
func (s *who) meals() []words.Meal {
	all := yard.HorsePlan{} // is served once at each
	known := map[string]bool{}
	for i := range s.Plan.Horses {
		h := &s.Plan.Horses[i]
		for j := range h.Servings {
			if v := &h.Servings[j]; !known[v.Meal] {
				known[v.Meal] = true
				all.Servings = append(all.Servings, *v)
			}
		}
	}
	out := words.MealsOf(s.Plan.Week, &all)
	switch {
	case len(out) == 0:
		return []words.Meal{{Name: words.AllDay}}
	case out[0].Name == words.AllDay:
		out = append(out[1:], out[0])
	}
	return out
}

func (s *who) dayX(day int) float64 { return s.nameW + s.feedW + s.unitW + float64(day)*s.dayW }

// mealHead is a meal's name, its time, the week it is for (pages go astray), and the days
// over their columns.
func (s *who) mealHead(m words.Meal) *draw.Group {
	d := s.d
	span := d.Set.Number(draw.Bold, 2.8, 0.4*s.w, draw.Black, s.Main.WeekSpan(s.Plan.Week))
	name := d.Set.Fit(draw.Bold, s.t.meal, 3, 0.58*s.w, draw.Black, words.Join("  ", s.Both(func(t words.Language) string { return t.Name("meal.", m.Name) }), m.Clock))
	g := draw.Space(s.w, 0).Add(0, 0, name)
	g.Add(s.w-span.W, max(0, g.H-span.H-0.6), span)
	top := g.H + 0.4
	high := 0.0
	for day := range 7 {
		lines := []*draw.Group{fitTrim(d, draw.Bold, s.t.day, least, s.dayW-1, draw.Black, s.Main.Weekday(s.Plan.Week, day))}
		if also := s.Second(func(l words.Language) string { return l.Weekday(s.Plan.Week, day) }); also != "" {
			lines = append(lines, fitTrim(d, draw.Regular, least, least, s.dayW-1, draw.Black, also))
		}
		c := centred(0.6, lines...)
		g.Add(s.dayX(day)+(s.dayW-c.W)/2, top, c)
		high = max(high, c.H)
	}
	g.W, g.H = s.w, top+high+0.9
	h := g.H
	return g.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x, y+h, x+s.w, y+h, 0.6, draw.Black) })
}

// mealRows puts the horses at one meal, those who get nothing by name, and the totals;
// nothing is higher than room.
func (s *who) mealRows(m words.Meal, room float64, put func(...*draw.Group)) {
	round := m.Name != words.AllDay
	var idle, without []string
	sums := sumsOf(s.Sheet)
	for i := range s.Plan.Horses {
		c := &card{paper: s.paper, horse: &s.Plan.Horses[i]}
		s.d.Drawing = c.horse.Horse.Name
		rows := s.RowsAt(c.horse, m.Name)
		empty := len(c.horse.Servings) == 0 // nobody has said what it gets, or nothing was worked out
		switch {
		case len(rows) > 0:
			put(s.horse(c, rows, room)...)
			sums.add(rows)
		case empty && round:
			without = append(without, c.horse.Horse.Name)
			put(s.asked(c))
		case !empty:
			idle = append(idle, c.horse.Horse.Name)
		}
	}
	s.d.Drawing = ""
	if len(idle) > 0 && round { // named, so that nobody looks for them in vain
		put(draw.Space(s.w, 0.8))
		put(s.d.Set.Lines(draw.Regular, 2.6, s.w, draw.Black, s.Word("who.idle", "names", strings.Join(idle, "; ")))...)
	}
	put(s.totals(sums, without, round)...)
}

// horse is a horse's lines, its name before the first, together where that is not higher
// than a page.
func (s *who) horse(c *card, rows []words.Row, room float64) []*draw.Group {
	name := s.name(c)
	lines := s.lines(c, rows)
	high := 0.0
	for _, l := range lines {
		high += l.H
	}
	if high = max(high, name.H+1.4); high > room-20 {
		lines[0] = draw.Space(0, 0).Add(0, 0.8, name).Add(0, 0, lines[0])
		for i, l := range lines {
			lines[i] = ruled(l, s.w, 0, 0.2, draw.Mid)
		}
		return lines
	}
	all := draw.Space(s.w, high).Add(0, 0.8, name)
	y := 0.0
	for _, l := range lines {
		all.Add(0, y, l)
		y += l.H
	}
	return []*draw.Group{ruled(all, s.w, 0, 0.4, draw.Black)}
}

// ruled is g with a line below it, from x on.
func ruled(g *draw.Group, w, from, width float64, ink draw.Ink) *draw.Group {
	h := g.H
	return g.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x+from, y+h, x+w, y+h, width, ink) })
}

// lines are rows of feeds: the feed, its unit, seven amounts.
func (s *who) lines(c *card, rows []words.Row) []*draw.Group {
	var out []*draw.Group
	for i, r := range rows {
		l := c.labelOf(r)
		l.each = ""
		g := draw.Space(s.w, 0)
		k := columns{s.feedW + s.unitW, s.unitW, s.dayW}
		row := c.dayRow(r, c.feedName(r, k.feed(), s.t), l, s.w-s.nameW, k, s.t)
		g.Add(s.nameW, 0, row)
		for _, p := range r.Spare {
			g.Add(s.nameW, g.H, c.spareRow(p, s.w-s.nameW, s.feedW+s.unitW, s.t))
		}
		if i > 0 {
			g.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x+s.nameW, y, x+s.w, y, 0.2, draw.Mid) })
		}
		out = append(out, g)
	}
	return out
}

// name is a horse's name, with what is to be known before it is fed.
func (s *who) name(c *card) *draw.Group {
	d, w := s.d, s.nameW-1.5
	lines := []*draw.Group{d.Set.Close(draw.Bold, s.unbrokenCap(3.4, s.t.low(), w, c.horse.Horse.Name), w, draw.Black, c.horse.Horse.Name)}
	key := words.StatusKey(c.horse)
	word, also := "", ""
	if s.Main.Has(key) {
		word, also = s.Word(key), s.Also(key)
	}
	for _, t := range []string{word, also} {
		if t != "" {
			lines = append(lines, draw.On(draw.Black, 0.5, d.Set.Close(draw.Bold, least, w-1, draw.White, t)))
		}
	}
	return draw.Stack(0.8, lines...)
}

// asked is a horse of which nobody knows what it gets.
func (s *who) asked(c *card) *draw.Group {
	d, w := s.d, s.w-s.nameW
	var lines []*draw.Group
	if c.horse.Status == yard.NoCard {
		lines = append(lines, d.Set.Lines(draw.Bold, 3, w, draw.Black, s.Word("nocard.ask", "who", s.Main.Ask(s.Plan.Week)))...)
		lines = append(lines, d.Set.Lines(draw.Regular, 2.7, w, draw.Black, s.BothOf("who.hay"))...)
	} else {
		lines = d.Set.Lines(draw.Bold, 3, w, draw.Black, s.BothOf("nofeed"))
	}
	g := draw.Space(s.w, 0).Add(0, 0.8, s.name(c))
	g.Add(s.nameW, 0.6, draw.Stack(0, lines...))
	g.W, g.H = s.w, g.H+0.8
	return ruled(g, s.w, 0, 0.4, draw.Black)
}

// sums adds up a meal, day by day: of each feed what goes out by the measure, on the
// scale and by the millilitre, apart.
type sums struct {
	*words.Sheet
	rows  []words.Row
	total [][7]yard.Serving // of rows
	adLib []adLib
}

// adLib is how many horses eat a feed as they will.
type adLib struct {
	feed   string
	horses int
}

func sumsOf(s *words.Sheet) *sums { return &sums{Sheet: s} }

func (t *sums) add(rows []words.Row) {
	for _, r := range rows {
		free := false
		for day, e := range r.Days {
			v := e.Serving
			switch {
			case v == nil || e.None || v.Grazed.IsKnown(): // nobody carries it out
			case v.AdLib:
				free = true
			default:
				t.one(day, *v)
			}
		}
		if free {
			t.free(r.Feed)
		}
	}
}

func (t *sums) free(feed string) {
	for i := range t.adLib {
		if strings.EqualFold(t.adLib[i].feed, feed) {
			t.adLib[i].horses++
			return
		}
	}
	t.adLib = append(t.adLib, adLib{feed, 1})
}

// one adds a serving to its feed's row of its kind.
func (t *sums) one(day int, v yard.Serving) {
	n, counted := words.ByMeasure(v)
	measure := ""
	if counted {
		measure = v.Measure
	}
	ml, byMl := v.Ml.Get()
	weigh := v.Weigh && !counted
	at := -1
	for i, r := range t.rows {
		sum := t.total[i][day]
		if strings.EqualFold(r.Feed, v.Feed) && sum.Measure == measure && sum.Ml.IsKnown() == byMl && sum.Weigh == weigh {
			at = i
		}
	}
	if at < 0 {
		at = len(t.rows)
		var all [7]yard.Serving
		for d := range all {
			all[d] = yard.Serving{Feed: v.Feed, Class: v.Class, Measure: measure, Weigh: weigh}
			if byMl {
				all[d].Ml = yard.Known(0)
			}
			if counted {
				all[d].Measures = yard.Known(0)
			}
		}
		t.rows, t.total = append(t.rows, words.Row{Feed: v.Feed, Class: v.Class}), append(t.total, all)
	}
	sum := &t.total[at][day]
	sum.Kg += v.Kg
	if byMl {
		sum.Ml = yard.Known(sum.Ml.Or(0) + ml)
	}
	if counted {
		sum.Measures = yard.Known(sum.Measures.Or(0) + n)
	}
}

// done are the rows with their amounts.
func (t *sums) done() []words.Row {
	for i := range t.rows {
		for day := range 7 {
			v := &t.total[i][day]
			t.rows[i].Days[day] = words.Entry{Amount: t.AmountOf(*v), Serving: v}
			t.rows[i].Days[day].Unweighed = t.Unweighed(*v)
		}
		t.InOneUnit(&t.rows[i])
	}
	return t.rows
}

// totals are a meal's last lines: how much of each feed goes out on each day, to mix it.
func (s *who) totals(t *sums, without []string, round bool) []*draw.Group {
	rows := t.done()
	if len(rows) == 0 && (round || len(t.adLib) == 0) {
		return nil
	}
	title := s.Word("who.together")
	if len(without) > 0 && round {
		title = s.Word("who.together.without", "names", strings.Join(without, ", "))
	}
	var lines []*draw.Group
	for _, l := range s.lines(&card{paper: s.paper}, rows) {
		lines = append(lines, ruled(l, s.w, s.nameW, 0.2, draw.Mid))
	}
	for _, a := range t.adLib {
		key := "who.adlib.n"
		if a.horses == 1 {
			key = "who.adlib.1"
		}
		if a.horses > 1 || round {
			lines = append(lines, s.d.Set.Lines(draw.Regular, 2.7, s.w, draw.Black, a.feed+" "+s.Word(key, "n", strconv.Itoa(a.horses)))...)
		}
	}
	return s.titled(title, lines)
}

// mostTotals is how high a block of totals may be, mm: it is not parted from its title.
const mostTotals = 110.0

// titled are lines in blocks that are not parted, each with the title above it.
func (s *who) titled(title string, lines []*draw.Group) (blocks []*draw.Group) {
	for len(lines) > 0 {
		block := append([]*draw.Group{draw.Space(s.w, 1.5)}, s.d.Set.Lines(draw.Bold, 3, s.w, draw.Black, title)...)
		high := 0.0
		for len(lines) > 0 && (high == 0 || high+lines[0].H <= mostTotals) {
			high += lines[0].H
			block, lines = append(block, lines[0]), lines[1:]
		}
		blocks = append(blocks, draw.Stack(0, block...))
	}
	return blocks
}

// notes say how many horses are on the list.
func (s *who) notes() []*draw.Group {
	d := s.d
	less, none := 0, 0
	for _, h := range s.Plan.Horses {
		switch h.Status {
		case yard.Held:
			less++
		case yard.NoCard:
			none++
		}
	}
	var lines []*draw.Group
	for _, t := range s.Languages() {
		lines = append(lines, d.Set.Lines(draw.Regular, 2.6, s.w, draw.Black, t.Say("who.list",
			"n", strconv.Itoa(len(s.Plan.Horses)), "held", strconv.Itoa(less), "none", strconv.Itoa(none)))...)
	}
	if s.AnyUnweighed() {
		mark := s.boxedWidth("amount.unweighed.short")
		for i, l := range d.Set.Lines(draw.Regular, 2.6, s.w-mark-2, draw.Black, s.BothOf("who.unweighed")) {
			if i == 0 {
				l = draw.Beside(2, s.boxed("amount.unweighed.short", least, mark), l)
			} else {
				l = draw.Pad(l, mark+2, 0, 0, 0)
			}
			lines = append(lines, l)
		}
	}
	return lines
}
