package wall

import (
	"strings"
	"unicode"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/words"
)

// cellPad is the white on each side of a cell, in mm: figures stand clear of the rules.
func (t sizes) cellPad() float64 {
	if t.list {
		return 0.7
	}
	return max(1, 0.17*t.amount)
}

// table is a card's meals, a row a feed: in a week that changes a column a day, else one
// column. It says whether a number had to be made smaller than its floor.
func (c *card) table(w float64, t sizes) (head *draw.Group, meals []*draw.Group, wide bool) {
	if len(c.chart.Meals) == 0 {
		g := c.d.Set.Fit(draw.Bold, 1.2*t.feed, t.unit, w, draw.Black, c.BothOf("nofeed"))
		return draw.Space(w, 0), []*draw.Group{draw.Pad(g, 0, 2*t.pad, 0, 2*t.pad)}, false
	}
	if c.chart.Alike {
		return c.oneColumn(w, t)
	}
	return c.sevenColumns(w, t)
}

// label is what is before a row's amounts: the feed, and the unit of them all where
// they have one.
type label struct {
	unit   string // "" where the cells have their own
	second string // the unit in the second language
	each   string // what one measure weighs
	weigh  bool   // all on the scale
	warn   bool   // nobody has weighed the measure

	measure bool // the unit is a measure: what is weighed says so in its cell
}

// labelOf finds what a row's amounts have in common. Where some are by one measure and
// others are weighed, it is the measure, and the weighed ones say their own unit.
func (c *card) labelOf(r words.Row) label {
	var l label
	var most, one float64 // measures: the most of a day, and what one weighs
	kinds := map[label]bool{}
	measures := map[string]bool{}
	for day, e := range r.Days {
		if e.Serving == nil || e.None || e.Unit == "" || day > 0 && !r.Step(day) {
			continue
		}
		l.warn = l.warn || e.Unweighed
		n, counted := words.ByMeasure(*e.Serving)
		if !counted {
			kinds[label{unit: e.Unit, weigh: e.Weigh}] = true
			continue
		}
		measures[e.Serving.Measure] = true
		if n > most {
			most, l.unit = n, e.Unit
			l.second = c.Second(func(t words.Language) string { return t.Plural(n, e.Serving.Measure) })
			if e.Serving.Kg > 0 {
				one = float64(e.Serving.Kg) / n
			}
		}
	}
	switch {
	case len(measures) == 1:
		l.measure = true
		if one > 0 {
			l.each = "1" + words.NoBreak + "=" + words.NoBreak + c.Main.Weight(one)
		}
	case len(measures) == 0 && len(kinds) == 1:
		for k := range kinds {
			l.unit, l.weigh = k.unit, k.weigh
		}
	default:
		return label{warn: l.warn}
	}
	l.unit, l.second = shortUnit(l.unit), shortUnit(l.second)
	return l
}

// labels are those of all rows of the card, found once.
func (c *card) labels() map[*words.Row]label {
	if c.labelled == nil {
		c.labelled = map[*words.Row]label{}
		for _, m := range c.chart.Meals {
			for j := range m.Rows {
				c.labelled[&m.Rows[j]] = c.labelOf(m.Rows[j])
			}
		}
	}
	return c.labelled
}

// own says that an amount's unit is not its row's, and is said in its cell.
func (l label) own(e words.Entry) bool {
	if e.Unit == "" {
		return false
	}
	_, counted := e.Measures()
	return l.unit == "" || l.measure && !counted
}

// mostUnit is how many letters of a measure's name are beside its amounts: what is
// longer would make a row higher than a page. The scoop sheet has it whole.
const mostUnit = 40

func shortUnit(unit string) string {
	shown, _ := draw.Printable(unit)
	if r := []rune(shown); len(r) > mostUnit {
		return string(r[:mostUnit-1]) + "…"
	}
	return shown
}

// unitCell is a label's unit, with what is to be known before dishing out.
func (c *card) unitCell(l label, w float64, t sizes) *draw.Group {
	var lines []*draw.Group
	if l.weigh {
		lines = append(lines, c.boxed("amount.weigh", t.tag, w))
	}
	if l.unit != "" {
		lines = append(lines, fitTrim(c.d, draw.Bold, t.unit, least, w, draw.Black, l.unit))
	}
	if l.second != "" {
		lines = append(lines, fitTrim(c.d, draw.Regular, least, least, w, draw.Black, l.second))
	}
	if l.each != "" {
		lines = append(lines, fitTrim(c.d, draw.Regular, least, least, w, draw.Black, l.each))
	}
	if l.warn {
		lines = append(lines, c.boxed("amount.unweighed.short", t.tag, w))
	}
	if t.list {
		lines = flowLines(w, 0.8, lines)
	}
	return draw.Stack(0.6*t.pad+0.3, lines...)
}

// columns are a table's widths: the feeds' names, with the units at their end, and a day's.
type columns struct{ names, unit, day float64 }

// feed is how wide a feed's name may be.
func (k columns) feed() float64 { return k.names - k.unit - 1.5 }

// x is where a day's column begins.
func (k columns) x(day int) float64 { return k.names + float64(day)*k.day }

// dayColumns gives the days' columns as much as the widest of the amounts asks for, and the
// names the rest of w, between a share that holds them and one that they do not need more
// than. It says whether the days have not enough.
func (c *card) dayColumns(w float64, labels map[*words.Row]label, t sizes) (k columns, wide bool) {
	widest := 0.0
	for r, l := range labels {
		k.unit = max(k.unit, c.d.Set.Width(draw.Bold, t.unit, l.unit), c.d.Set.Width(draw.Regular, least, l.second), c.d.Set.Width(draw.Regular, least, l.each))
		if l.weigh {
			k.unit = max(k.unit, c.d.Set.Width(draw.Bold, t.tag, c.Word("amount.weigh"))+0.9*t.tag)
		}
		if l.warn {
			k.unit = max(k.unit, c.boxedWidth("amount.unweighed.short"))
		}
		for day, e := range r.Days {
			if e.Serving != nil && !e.None && !(day > 0 && !r.Step(day)) {
				widest = max(widest, c.number(e, t, 1e9).W)
			}
		}
	}
	k.unit = min(k.unit, 0.12*w) + 1.2
	widest = max(widest+2*t.cellPad()+0.4, c.wordsWidth(t))
	k.names = min(0.36*w, max(0.22*w, w-7*widest))
	k.day = (w - k.names) / 7
	wide = widest > k.day+0.4
	for _, name := range c.dayNames() {
		wide = wide || c.d.Set.Width(draw.Bold, t.day, name)+2*t.cellPad() > k.day
	}
	return k, wide
}

// sevenColumns is a week that changes: each day's amount is in its own column, also
// where it is yesterday's, and a heavy rule stands where it is another one.
func (c *card) sevenColumns(w float64, t sizes) (head *draw.Group, meals []*draw.Group, wide bool) {
	labels := c.labels()
	k, wide := c.dayColumns(w, labels, t)
	if wide && t.strict {
		return draw.Space(w, 0), nil, true
	}
	boxes := func(band *draw.Group, top, box float64) {
		tick := draw.TickBox(box)
		for day := range 7 {
			band.Add(k.x(day)+(k.day-box)/2, top, tick)
		}
	}
	for _, m := range c.chart.Meals {
		meals = append(meals, c.meal(m, w, k.names, t, boxes, func(r *words.Row) *draw.Group {
			name := c.feedName(*r, k.feed(), t)
			wide = wide || name.H > 3*t.feedLow // three lines of a name
			return c.dayRow(*r, name, labels[r], w, k, t)
		}))
	}
	return c.dayHeads(w, k, t), meals, wide
}

// meal is a meal's band, and its rows with what days get that are not planned.
func (c *card) meal(m words.ChartMeal, w, nameW float64, t sizes, boxes func(band *draw.Group, top, size float64), row func(*words.Row) *draw.Group) *draw.Group {
	g := draw.SpaceFor(w, 0, 2*len(m.Rows)+1)
	g.Add(0, 0, c.mealBand(m, w, nameW, t, boxes))
	for j := range m.Rows {
		if j > 0 {
			y0 := g.H
			g.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x, y+y0, x+w, y+y0, 0.2, draw.Mid) })
		}
		g.Add(0, g.H, row(&m.Rows[j]))
		for _, p := range m.Rows[j].Spare {
			g.Add(0, g.H, c.spareRow(p, w, nameW, t))
		}
	}
	return closed(g, w)
}

// wordsWidth is how wide a day's column must be for its words not to be broken: what is
// over it, what is to be weighed, and amounts that are words.
func (c *card) wordsWidth(t sizes) float64 {
	widest := 0.0
	take := func(key string, around float64) {
		for i, text := range []string{c.Word(key), c.Also(key)} {
			for _, word := range strings.FieldsFunc(text, unicode.IsSpace) {
				face := draw.Bold
				if i > 0 {
					face = draw.Regular
				}
				widest = max(widest, c.d.Set.Width(face, least, word)+around)
			}
		}
	}
	for _, k := range c.chart.Kinds {
		if k != yard.WorkDay {
			take("short."+string(k), 2*onTag+0.3)
		}
	}
	for _, m := range c.chart.Meals {
		for j := range m.Rows {
			r, l := &m.Rows[j], c.labels()[&m.Rows[j]]
			for _, e := range r.Days {
				switch {
				case e.Serving == nil || e.None || e.Unsaid:
				case l.own(e) && e.Weigh:
					take("amount.weigh", 2*boxMargin*least+2*t.cellPad())
				case e.Serving.AdLib:
					take("amount.adlib", 2*t.cellPad())
				}
			}
		}
	}
	return widest
}

// onTag is the black at each side of a word over a day, mm.
const onTag = 0.5

// closed is a meal with the rule below it.
func closed(g *draw.Group, w float64) *draw.Group {
	h := g.H
	return g.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x, y+h, x+w, y+h, 0.6, draw.Black) })
}

// dayNames are the seven days of the week as they are over the columns.
func (c *card) dayNames() [7]string {
	var out [7]string
	for day := range out {
		out[day] = c.Main.Weekday(c.Plan.Week, day)
	}
	return out
}

// dayHeads name the days over their columns, and which are days off or events.
func (c *card) dayHeads(w float64, k columns, t sizes) *draw.Group {
	head := draw.Space(w, 0)
	room := k.day - 2*t.cellPad()
	high := 0.0
	var cells [7]*draw.Group
	for day, name := range c.dayNames() {
		lines := []*draw.Group{fitTrim(c.d, draw.Bold, t.day, least, room, draw.Black, name)}
		if also := c.Second(func(l words.Language) string { return l.Weekday(c.Plan.Week, day) }); also != "" {
			lines = append(lines, fitTrim(c.d, draw.Regular, least, least, room, draw.Black, also))
		}
		if kind := c.chart.Kinds[day]; kind != yard.WorkDay {
			tag := k.day - 2*onTag - 0.2
			word := fitTrim(c.d, draw.Bold, t.tag, least, tag, draw.White, c.Word("short."+string(kind)))
			if also := c.Also("short." + string(kind)); also != "" {
				word = draw.Stack(0.4, word, fitTrim(c.d, draw.Regular, least, least, tag, draw.White, also))
			}
			lines = append(lines, draw.On(draw.Black, onTag, word))
		}
		cells[day] = centred(0.5+0.2*t.pad, lines...)
		high = max(high, cells[day].H)
	}
	for day, g := range cells {
		head.Add(k.x(day)+(k.day-g.W)/2, 0.8+t.pad, g)
	}
	head.W, head.H = w, high+1.2+1.4*t.pad
	return head
}

// centred puts groups under each other, each in the middle of the widest.
func centred(gap float64, gs ...*draw.Group) *draw.Group {
	wide := 0.0
	for _, g := range gs {
		wide = max(wide, g.W)
	}
	for i, g := range gs {
		gs[i] = draw.Pad(g, (wide-g.W)/2, 0, 0, 0)
	}
	return draw.Stack(gap, gs...)
}

// mealBand is a line with the meal's name, its time, and the boxes to tick.
func (c *card) mealBand(m words.ChartMeal, w, nameW float64, t sizes, boxes func(band *draw.Group, top, size float64)) *draw.Group {
	name, _ := draw.Printable(c.Main.Name("meal.", m.Name))
	room := nameW - 1
	parts := []*draw.Group{}
	if m.Clock != "" {
		parts = append(parts, c.d.Set.Trim(draw.Regular, t.clock, draw.Black, m.Clock))
	}
	if also := c.Second(func(l words.Language) string { return l.Name("meal.", m.Name) }); also != "" {
		parts = append(parts, fitTrim(c.d, draw.Regular, least, least, room, draw.Black, also))
	}
	used := 0.0
	for _, p := range parts {
		used += p.W + 1.5
	}
	cap := t.meal
	floor := min(cap, max(least, 0.75*t.meal))
	var title *draw.Group
	if full := c.d.Set.Width(draw.Bold, cap, name); full+used > room && full*floor/cap+used > room {
		title = draw.Stack(0.6, append([]*draw.Group{fitTrim(c.d, draw.Bold, cap, c.unbrokenCap(floor, least, room, name), room, draw.Black, name)}, flowLines(room, 1.5, parts)...)...)
	} else {
		title = draw.Beside(1.5, append([]*draw.Group{fitTrim(c.d, draw.Bold, cap, floor, room-used, draw.Black, name)}, parts...)...)
	}
	high := max(title.H+0.8*t.pad+0.6, t.box+1.2)
	band := draw.SpaceFor(w, high, 16)
	band.Draw(func(d *draw.Doc, x, y float64) {
		d.LineTo(x, y, x+w, y, 0.6, draw.Black)
		d.LineTo(x, y+high, x+w, y+high, 0.2, draw.Mid)
	})
	band.Add(0, 0.4+(high-0.4-title.H)/2, title)
	boxes(band, 0.4+(high-0.4-t.box)/2, t.box)
	band.W, band.H = w, high
	return band
}

// dayRow is one feed's amounts, a day a column.
func (c *card) dayRow(r words.Row, name *draw.Group, l label, w float64, k columns, t sizes) *draw.Group {
	unit := c.unitCell(l, k.unit-0.9, t)
	room := k.day - 2*t.cellPad()
	var cells [7]*draw.Group
	high := max(name.H, unit.H)
	beside := c.marksBeside(r, room, t)
	for day, e := range r.Days {
		if day > 0 && !r.Step(day) {
			cells[day] = cells[day-1]
		} else {
			cells[day] = c.dayCell(e, l, beside, room, t)
		}
		high = max(high, cells[day].H)
	}
	high += 2 * max(t.pad, 0.5)
	g := draw.SpaceFor(w, high, 12)
	for day := range 7 {
		if !t.list && c.chart.Kinds[day] != yard.WorkDay { // helps the eye; the head says it
			g.Draw(func(d *draw.Doc, gx, gy float64) { d.Rect(gx+k.x(day)+0.1, gy+0.15, k.day-0.2, high-0.3, draw.Light) })
		}
	}
	g.Add(0, (high-name.H)/2, name)
	g.Add(k.names-k.unit, (high-unit.H)/2, unit)
	for day, cell := range cells {
		g.Add(k.x(day)+(k.day-cell.W)/2, (high-cell.H)/2, cell)
	}
	var step [7]bool // and not the whole row: the list of a large yard keeps its lines to the end
	for day := range step {
		step[day] = r.Step(day)
	}
	return g.Draw(func(d *draw.Doc, gx, gy float64) {
		for day := range 7 {
			width, ink := 0.2, draw.Mid
			if step[day] {
				width, ink = 0.8, draw.Black // figures beside it stay clear of it
			}
			d.LineTo(gx+k.x(day), gy, gx+k.x(day), gy+high, width, ink)
		}
	})
}

// feedName is a feed's name before its amounts, an arrow before it where they differ
// from last week's: on one line, else on as many as it needs, words whole where they fit.
func (c *card) feedName(r words.Row, w float64, t sizes) *draw.Group {
	mark := draw.Space(0, 0)
	if r.Changed {
		mark = c.changedMark(r.Feed, t.feedLow)
	}
	room := w - mark.W
	shown, _ := draw.Printable(r.Feed)
	var g *draw.Group
	if full := c.d.Set.Width(draw.Bold, t.feed, shown); full*t.feedLow <= room*t.feed {
		g = c.d.Set.Trim(draw.Bold, min(t.feed, t.feed*room/max(full, 1e-9)*0.999), draw.Black, shown)
	} else {
		g = c.d.Set.Close(draw.Bold, c.unbrokenCap(t.feedLow, min(least, t.feedLow), room, shown), room, draw.Black, shown)
	}
	if mark.W > 0 {
		g = draw.Beside(0, mark, g)
	}
	return g
}

// changedMark is the arrow before a feed whose amount differs from last week; the line
// under the meals says by how much.
func (c *card) changedMark(feed string, cap float64) *draw.Group {
	var mark *draw.Group
	for _, ch := range c.horse.Changes {
		if strings.EqualFold(ch.Feed, feed) {
			if up := words.ChangeWay(ch); up != 0 {
				mark = draw.Arrow(up > 0, 1.15*cap)
			}
			break
		}
	}
	if mark == nil {
		mark = c.d.Set.Trim(draw.Bold, cap, draw.Black, "?")
	}
	return draw.Pad(mark, 0, 0, 0.3*cap, 0)
}

// oneColumn is a week in which every day is fed alike.
func (c *card) oneColumn(w float64, t sizes) (head *draw.Group, meals []*draw.Group, wide bool) {
	feedW := 0.0
	for _, m := range c.chart.Meals {
		for _, r := range m.Rows {
			shown, _ := draw.Printable(r.Feed)
			feedW = max(feedW, c.d.Set.Width(draw.Bold, t.feed, shown)+2.5*t.feed)
		}
	}
	feedW = min(max(feedW, 0.25*w), 0.46*w)
	head = c.everyDay(w, feedW, t)
	boxes := func(band *draw.Group, top, box float64) { c.dayBoxes(band, feedW, w-feedW, top, box) }
	for _, m := range c.chart.Meals {
		meals = append(meals, c.meal(m, w, feedW, t, boxes, func(r *words.Row) *draw.Group {
			row, small := c.plainRow(*r, w, feedW, t)
			wide = wide || small
			return row
		}))
	}
	return head, meals, wide
}

// spareRow is what a kind of day gets of the feed above it that is not planned this week:
// an amount like any other, behind the name of the day.
func (c *card) spareRow(p words.Spare, w, nameW float64, t sizes) *draw.Group {
	const margin = 0.7
	key := "spare." + string(p.Kind)
	room := nameW - 2*margin - 1.5
	tag := fitTrim(c.d, draw.Bold, t.tag, least, room, draw.White, c.Word(key))
	if also := c.Also(key); also != "" {
		tag = draw.Stack(0.4, tag, fitTrim(c.d, draw.Regular, least, least, room, draw.White, also))
	}
	tag = draw.On(draw.Black, margin, tag)
	amount, _ := c.amountOf(p.Entry, w-nameW-1, t)
	if p.None { // it stands alone, without the columns that show what is left out
		amount = c.d.Set.Trim(draw.Bold, max(t.aside, 0.6*t.amount), draw.Black, c.BothOf("amount.none"))
	}
	high := max(tag.H, amount.H) + 2*max(t.pad, 0.5)
	g := draw.Space(w, high)
	g.Add(nameW-tag.W-1.5, (high-tag.H)/2, tag)
	g.Add(nameW+1, (high-amount.H)/2, amount)
	return g.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x+nameW, y, x+w, y, 0.2, draw.Mid) })
}

// everyKey is the key of what the one column of a week that does not change is for.
func (c *card) everyKey() string {
	if c.chart.Spare() {
		return "column.every but off"
	}
	return "column.every"
}

// everyDay says that the one column is for all days, and that it is for days off too
// where no row of the card says what they get.
func (c *card) everyDay(w, feedW float64, t sizes) *draw.Group {
	room, key := w-feedW, c.everyKey()
	lines := []*draw.Group{fitTrim(c.d, draw.Bold, t.meal, least, room, draw.Black, c.Word(key))}
	if also := c.Also(key); also != "" {
		lines = append(lines, fitTrim(c.d, draw.Regular, least, least, room, draw.Black, also))
	}
	if events := c.daysOf(yard.EventDay); events.Any() {
		lines = append(lines, draw.On(draw.Black, 0.5, fitTrim(c.d, draw.Bold, t.tag, least, room-1, draw.White, words.Join(" ", c.Word("short.event"), c.Main.Listed(c.Plan.Week, events)))))
	}
	g := draw.Space(w, 0)
	g.Add(feedW, 0.8+t.pad, draw.Stack(0.5, flowLines(room, 3, lines)...))
	g.W, g.H = w, g.H+0.4+0.8*t.pad
	return g
}

// daysOf are the days of a kind.
func (c *card) daysOf(k yard.DayKind) (on words.Days) {
	for day, kind := range c.chart.Kinds {
		on[day] = kind == k
	}
	return on
}

// dayBoxes are seven boxes to tick, each behind its day's letters.
func (c *card) dayBoxes(band *draw.Group, x, w, top, box float64) {
	cap := max(least, min(0.62*box, 3.2))
	step, tick := w/7, draw.TickBox(box)
	for day := range 7 {
		letter := c.d.Set.Number(draw.Regular, cap, step-box-1, draw.Black, c.Main.Tick(c.Plan.Week, day))
		at := x + float64(day)*step
		band.Add(at, top+(box-letter.H)/2, letter)
		band.Add(at+letter.W+0.6, top, tick)
	}
}

// plainRow is a feed and its amount of every day: number, unit, the measures drawn, and
// what they weigh.
func (c *card) plainRow(r words.Row, w, feedW float64, t sizes) (_ *draw.Group, small bool) {
	name := c.feedName(r, feedW-2, t)
	amount, small := c.amountOf(r.Days[0], w-feedW, t)
	high := max(name.H, amount.H) + 2*max(t.pad, 0.5)
	g := draw.Space(w, high)
	g.Add(0, (high-name.H)/2, name)
	g.Add(feedW, (high-amount.H)/2, amount)
	return g, small
}
