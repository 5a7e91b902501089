package board

import (
	"cmp"
	"strings"
)

// tableReader reads the rows of tables: whose each is, and what its cells are about.
type tableReader struct {
	words  *vocabulary
	lang   *language
	who    *names
	herd   *herd
	cal    *calendar
	places *dayPlaces

	obs     []*obs
	totals  []total
	unnamed []nameless
}

// rowReader goes down the rows of a table and keeps whose row it is.
type rowReader struct {
	in        *tableReader
	t         *table
	who       []int // the horses of the row
	lastNamed int   // the last row that belongs to a name, or goes on with its list
}

// readTable reads the rows of a table.
func (tr *tableReader) readTable(t *table) {
	for r := t.h1; r <= t.h2; r++ {
		for c := t.c1; c <= t.c2; c++ {
			t.g.page.mark(t.g.at(r, c), "label", "a heading")
		}
	}
	if t.kind != "" {
		for r := t.h2 + 1; r < t.end; r++ {
			for c := t.c1; c <= t.c2; c++ {
				t.g.page.mark(t.g.at(r, c), "decoration", "of a table of "+t.kind)
			}
		}
		return
	}
	w := rowReader{in: tr, t: t}
	for r := t.h2 + 1; r < t.end; r++ {
		if cells := t.freeCells(r); len(cells) > 0 && w.takeRow(r, cells) && len(w.who) > 0 {
			tr.readRow(t, r, w.who)
		}
	}
	tr.placesOfList(t)
}

// takeRow finds out whose row it is; false where it holds nothing to read.
func (w *rowReader) takeRow(r int, cells []*Cell) bool {
	if w.t.repeatsHead(r) {
		w.t.markAll(cells, "label", "a heading, said again")
		return false
	}
	n := w.t.g.at(r, w.t.name)
	switch {
	case n != nil && n.free() && (n.Kind == Wrong || n.Kind == Uncached):
		w.who = nil
		w.in.rowWithoutName(w.t, n, cells)
		return false
	case n != nil && n.free() && !ditto(n.Text) && !dash(n.Text):
		return w.namedRow(r, n, cells)
	}
	return w.namelessRow(r, n, cells)
}

// namedRow takes a row with a text where the names stand: a horse's, a total's, or a line
// across the table.
func (w *rowReader) namedRow(r int, n *Cell, cells []*Cell) bool {
	t := w.t
	if len(cells) > 1 && (w.in.allTotals(cells) && !w.in.who.fullRow(t, r) || w.in.who.addsUp(t, r)) || w.in.who.notAHorse(n.Text) != "" && !w.in.who.realName(t, r, n.Text, len(cells)) {
		t.markAll(cells, "decoration", cmp.Or(w.in.who.notAHorse(n.Text), aTotal))
		w.who = nil
		return false
	}
	m, joined := t.g.joined(r, t.name)
	wide := joined && m.Col2 > m.Col1+1
	if len(cells) == 1 && !w.in.who.knows(n) {
		w.lineAcross(r, n)
		return false
	}
	if h := w.in.namesOfRow(t, n); len(h) > 0 {
		w.who = h
		w.in.behindName(t, n, r, w.who)
	}
	w.lastNamed = r
	t.g.page.mark(n, "name", "")
	if joined && !wide {
		w.lastNamed = m.Row2
	}
	if n.Struck {
		for _, i := range w.who {
			w.in.herd.horses[i].struck = true
		}
	}
	return true
}

// lineAcross takes a text alone in its row: a line about a horse by its name, a note on the
// horse above, or a heading over a group.
func (w *rowReader) lineAcross(r int, n *Cell) {
	switch {
	case len(w.in.herd.namedIn(n.Text)) > 0 && len(strings.Fields(n.Text)) > 2:
		w.who = nil // read with the remarks
	case w.in.herd.beginsWithName(n.Text) && len(strings.Fields(n.Text)) > 2:
		w.who = nil // about that horse or not: no note on the one above
	case r == w.lastNamed+1 && len(w.who) > 0 && len(w.in.lang.ills(n.Text)) > 0:
		w.in.noteBelow(w.t, n, r, w.who)
	case w.in.who.nameLike(n) && !w.namesBelow(r):
		w.who = nil // a heading over nothing: a horse of which nothing is written
	default:
		w.t.g.page.mark(n, "decoration", overAGroup)
		w.who = nil
	}
}

// namesBelow says whether a row further down its table has something beside a name.
func (w *rowReader) namesBelow(r int) bool {
	for q := r + 1; q < w.t.end; q++ {
		if w.t.g.at(q, w.t.name) != nil && w.t.rowOf(q, q-1).n > 1 {
			return true
		}
	}
	return false
}

// namelessRow takes a row without a name. It belongs to the one above where it says what
// it is about, or stands close below.
func (w *rowReader) namelessRow(r int, n *Cell, cells []*Cell) bool {
	t := w.t
	m, joined := t.g.joined(r, t.name)
	switch {
	case n != nil && ditto(n.Text), joined && m.Row1 < r && len(w.who) > 0:
		return true
	case len(w.who) > 0 && t.rowSays(r) && r <= w.lastNamed+4:
		w.lastNamed = r // a list goes on as long as its lines do
		return true
	case w.in.allTotals(cells):
		t.markAll(cells, "decoration", aTotal)
	case n == nil && r == w.lastNamed+1 && len(w.who) > 0 && w.in.who.ridersOf(cells):
		t.markAll(cells, "decoration", "who rides it")
	case n != nil && r > w.lastNamed+1 && n.fate.what == "legend":
		w.who = nil // behind the last horse stands what a scoop weighs, and what is under it
	default:
		w.who = nil
		w.in.rowWithoutName(t, nil, cells)
	}
	return false
}

// namesOfRow are the horses of a row.
func (tr *tableReader) namesOfRow(t *table, n *Cell) []int {
	var out []int
	text := tr.lang.nameCell(n.Text).name
	if name, _, ok := nameAndBracket(text); ok && tr.who.alias[foldName(text)] == foldName(name) {
		text = name // the rest is its owner
	}
	for _, name := range tr.who.horsesIn(text) {
		i := tr.herd.add(name, t.g.page, n)
		out = append(out, i)
		t.horses = append(t.horses, tr.herd.horses[i])
	}
	return out
}

// noteBelow takes a line close below a horse's row that speaks of an illness for a
// note on that horse.
func (tr *tableReader) noteBelow(t *table, n *Cell, r int, who []int) {
	t.g.page.mark(n, "used", "a note on the horse above")
	for _, i := range who {
		h := tr.herd.horses[i]
		h.said = append(h.said, &obs{sheet: t.g.page, cell: n, horse: i, role: notesRole, day: -1, row: r})
	}
}

// behindName takes the weight and the note that stand in the cell of a name.
func (tr *tableReader) behindName(t *table, n *Cell, r int, who []int) {
	cell := tr.lang.nameCell(n.Text)
	if cell.note != "" {
		for _, i := range who {
			h := tr.herd.horses[i]
			h.said = append(h.said, &obs{sheet: t.g.page, cell: &Cell{Row: n.Row, Col: n.Col, Kind: Text, Text: cell.note}, horse: i, role: notesRole, day: -1, row: r})
		}
	}
	if cell.weight == "" || len(who) != 1 {
		return
	}
	c := &Cell{Row: n.Row, Col: n.Col, Kind: Text, Text: cell.weight}
	tr.obs = append(tr.obs, &obs{sheet: t.g.page, cell: c, horse: who[0], role: weightRole, day: -1, when: unsaid, table: t, row: r, week: t.week})
}

// repeatsHead says whether a row is the headings again.
func (t *table) repeatsHead(r int) bool {
	for _, head := range []int{t.head, t.h1, t.h2} {
		same, n := 0, 0
		for c := t.c1; c <= t.c2; c++ {
			x := t.g.at(r, c)
			if x == nil {
				continue
			}
			n++
			if y := t.g.at(head, c); y != nil && y.Text == x.Text {
				same++
			}
		}
		if same >= 2 && same*3 >= n*2 {
			return true
		}
	}
	return false
}

// rowSays says whether a row has a cell that says its meal, time of day or whether
// it is now or new.
func (t *table) rowSays(r int) bool {
	for _, k := range t.cols {
		if k.role == attrRole && t.g.at(r, k.at) != nil && (k.attr == "meal" || k.attr == "when" || k.attr == "feed") {
			return true
		}
	}
	return false
}

// allTotals says whether a row adds up what stands above it.
func (tr *tableReader) allTotals(cells []*Cell) bool {
	for _, c := range cells {
		if c.Kind == Text && tr.words.readCell(c).has("total") && tr.words.readCell(c).some() {
			return true
		}
	}
	return false
}

// rowsOwn is why a cell is a label: it is the day, the meal or the feed of its row.
const rowsOwn = "says what its row is about"

// readRow reads one row for its horses.
func (tr *tableReader) readRow(t *table, r int, who []int) {
	row, minutes := tr.rowSaid(t, r)
	for _, k := range t.cols {
		if k.role == nameRole || k.role == attrRole || k.role == minutesRole {
			continue
		}
		if k.role == workRole {
			tr.placeOfRow(t, k, r, row, who)
		}
		x := t.g.at(r, k.at)
		if x == nil || !x.free() && x.fate.what != "used" {
			continue
		}
		if k.role == otherRole || k.role == heightRole {
			tr.needless(t, k, x, who)
			continue
		}
		o := tr.obsOf(t, k, r, row)
		o.cell = x
		if k.role == workRole && minutes != nil {
			o.rest = minutes
			t.g.page.mark(minutes, "used", "")
		}
		for _, i := range who {
			p := o
			p.horse = i
			tr.obs = append(tr.obs, &p)
		}
	}
	t.g.page.mark(minutes, "decoration", "minutes of no work")
}

// rowSaid is what the cells of a row say of all of it, and the minutes of its work.
func (tr *tableReader) rowSaid(t *table, r int) (row obs, minutes *Cell) {
	row = obs{day: -1, when: unsaid}
	for _, k := range t.cols {
		if k.role == minutesRole {
			minutes = t.g.at(r, k.at)
		}
		x := t.g.over(r, k.at)
		if k.role != attrRole || x == nil {
			continue
		}
		t.g.page.mark(x, "label", rowsOwn)
		for q := r - 1; ditto(x.Text) && q > t.h2; q-- { // what the row above says
			if y := t.g.over(q, k.at); y != nil {
				x = y
			}
		}
		tr.sayRow(&row, k.attr, x)
	}
	return row, minutes
}

// sayRow takes over what one cell says of its row.
func (tr *tableReader) sayRow(row *obs, attr string, x *Cell) {
	l := tr.words.labelOf(x)
	switch attr {
	case "day", "date", "dayhead":
		row.day = l.day
		if len(l.dates) > 0 {
			row.date = l.dates[0]
		}
		if x.Kind == Date {
			row.day = weekday(x.Day)
		}
	case "meal":
		row.meal = cmp.Or(mealOf(l, x.Text), "="+strings.TrimSpace(x.Text))
	case "when":
		row.when = whenOf(l, false, false)
		if l.has("thisweek") {
			row.when, row.thisWeek = unsaid, true
		}
	case "feed":
		row.feed = strings.TrimSpace(x.Text)
	case "unit":
		row.unit = cmp.Or(l.unit, foldWord(x.Text))
	}
}

// needless answers for a cell no card needs; a total is kept to be compared.
func (tr *tableReader) needless(t *table, k *column, x *Cell, who []int) {
	why := "something no card needs"
	if k.role == heightRole {
		why = "a height"
	}
	if v, ok := tr.lang.totalIn(x, k.unit); ok && k.lab.has("total") && !k.lab.has("percent") && len(who) == 1 {
		tr.totals = append(tr.totals, total{who[0], x, v, k, t.g.page})
	}
	t.g.page.mark(x, "decoration", why)
}

// obsOf is what a cell of a column is about: what its row says, and over it its column.
func (tr *tableReader) obsOf(t *table, k *column, r int, row obs) obs {
	s := t.g.page
	o := row
	o.sheet, o.role, o.head, o.table, o.row, o.col = s, k.role, k.own, t, r, k
	o.lab, o.thisWeek = k.lab, row.thisWeek || k.lab.has("thisweek")
	o.by = cmp.Or(basisOf(k.lab), t.weighed)
	o.feed, o.unit = cmp.Or(k.feed, row.feed), cmp.Or(row.unit, k.unit)
	if k.when != unsaid {
		o.when = k.when
	}
	if k.day >= 0 {
		o.day = k.day
	} else if d := t.ownDay(); o.day < 0 && d >= 0 && o.date == (date{}) {
		o.day = d
	}
	switch {
	case k.meal != "":
		o.meal = k.meal
	case k.role == feedRole && row.meal != "" && !t.byLine(k, r):
		o.meal = "" // the lines are of the work
	}
	switch k.role {
	case feedRole:
		o.meals, o.each = mealsNamed(k.lab), k.lab.has("perfeed")
	case workRole:
		o.half = cmp.Or(k.meal, row.meal)
	}
	o.week = tr.cal.weekOfObs(t, k, &o)
	if m, ok := t.g.joined(r, k.at); ok && (m.Col2 > m.Col1 || m.Row2 > m.Row1) {
		o.span, o.joint = m, true
	}
	return o
}

// placeOfRow keeps that the horses of a row have a place for work under a column.
func (tr *tableReader) placeOfRow(t *table, k *column, r int, row obs, who []int) {
	o := row
	if k.day >= 0 {
		o.day = k.day
	} else if d := t.ownDay(); o.day < 0 && d >= 0 && o.date == (date{}) {
		o.day = d
	}
	week := tr.cal.weekOfObs(t, k, &o)
	if k.day < 0 && o.day >= 0 && week != nil {
		t.listDay(o.day, week, t.g.at(t.head, k.at))
	}
	for _, i := range who {
		tr.places.add(dayPlace{horse: i, day: o.day, week: week, sheet: t.g.page, head: k.own, blank: t.g.over(r, k.at) == nil, fill: t.g.fillAt(r, k.at)})
	}
}

// byLine says whether a column of feed has something to say in lines that say
// their meal other than the first of each horse.
func (t *table) byLine(k *column, r int) bool {
	if m, ok := t.g.joined(r, k.at); ok && m.Row2 > m.Row1 {
		return false
	}
	if k.lines == 0 {
		k.lines = 1
		for q := t.h2 + 1; q < t.end; q++ {
			n := t.g.at(q, t.name)
			m, joined := t.g.joined(q, t.name)
			if (n == nil || joined && m.Row1 < q || ditto(n.Text)) && t.g.at(q, k.at) != nil || n != nil && q > t.h2+1 && t.g.at(q-1, t.name) != nil && t.g.at(q-1, t.name).Text == n.Text {
				k.lines = 2
			}
		}
	}
	return k.lines == 2
}

// nameless is a row with something in it and no name, by a cell of it.
type nameless struct {
	sheet *sheetData
	cell  *Cell
}

// rowWithoutName keeps a row with something in it and no horse.
func (tr *tableReader) rowWithoutName(t *table, name *Cell, cells []*Cell) {
	useful := name
	for _, c := range cells {
		for _, k := range t.cols {
			if k.at == t.g.colOf(c) && (k.role == weightRole || k.role == workRole || k.role == feedRole) && useful == nil {
				useful = c
			}
		}
	}
	if useful == nil || len(cells) < 2 && name == nil {
		return
	}
	for _, c := range cells {
		t.g.page.mark(c, "unnamed", "")
	}
	tr.unnamed = append(tr.unnamed, nameless{t.g.page, useful})
}
