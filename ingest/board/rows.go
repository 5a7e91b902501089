package board

import (
	"cmp"
	"regexp"
	"slices"
	"strings"
)

// notAHorse says what a text in a column of names is, if it is no name: "a
// total", "an empty stable", "a telephone number"; "" else.
func (who *names) notAHorse(text string) string {
	r := who.words.memo.of(text)
	if r.noHorse == nil {
		what := who.readsAsNoHorse(text)
		r.noHorse = &what
	}
	return *r.noHorse
}

// aTotal is what a text is that heads what was added up.
const aTotal = "a total"

func (who *names) readsAsNoHorse(text string) string {
	l := who.words.read(text)
	switch {
	case l.has("total") && l.used >= len(l.rest):
		return aTotal
	case who.lang.emptyStable(text):
		return "an empty stable"
	case who.lang.phone(text):
		return "a telephone number"
	case strings.ContainsAny(text, "=£€"):
		return "a remark"
	}
	return ""
}

var between = regexp.MustCompile(`\s*(?:[,/&+;]|\s[-–—]\s|\band\b|\bund\b|\bet\b|\by\b|:)\s*`)

// mayJoin says whether [between] may be found in a text: one look is much quicker than
// the pattern, and most names have nothing of it.
func mayJoin(text string) bool {
	if !ascii(text) || strings.ContainsAny(text, ",/&+;:-") {
		return true
	}
	for w := range strings.FieldsFuncSeq(text, func(r rune) bool { return !isWordRune(r) }) {
		switch w {
		case "and", "und", "et", "y":
			return true
		}
	}
	return false
}

// isWordRune says whether a pattern's \b takes a character for one of a word.
func isWordRune(r rune) bool {
	return r == '_' || r >= '0' && r <= '9' || (r|0x20) >= 'a' && (r|0x20) <= 'z'
}

// horsesIn are the horses a cell of names names: one, or the team of them.
func (who *names) horsesIn(text string) []string {
	if !mayJoin(text) {
		return []string{text}
	}
	parts := between.Split(text, -1)
	if len(parts) < 2 {
		return []string{text}
	}
	var out []string
	for _, p := range parts {
		if p = strings.TrimSpace(p); who.known[foldName(p)] || who.alias[foldName(p)] != "" {
			out = append(out, p)
		}
	}
	if len(out) == 0 {
		return []string{text}
	}
	return out
}

// add finds a horse by its name, or adds it.
func (hd *herd) add(name string, s *sheetData, c *Cell) int {
	f := foldName(name)
	if a := hd.who.alias[f]; a != "" {
		f = a
	}
	if i, ok := hd.byName[f]; ok {
		return i
	}
	hd.byName[f] = len(hd.horses)
	hd.horses = append(hd.horses, &horse{index: len(hd.horses), name: strings.Join(strings.Fields(name), " "), sheet: s, cell: c})
	return len(hd.horses) - 1
}

// aliases finds names that are the shorter form of another: one of its words,
// and never beside it in one table.
func (who *names) aliases(tables []*table) {
	sets := []map[string]bool{}
	for _, t := range tables {
		if t.kind != "" {
			continue
		}
		set := map[string]bool{}
		for r := t.h2 + 1; r < t.end; r++ {
			if x := t.g.at(r, t.name); x != nil {
				set[who.words.nameOf(x)] = true
			}
		}
		sets = append(sets, set)
	}
	if len(sets) < 2 {
		return
	}
	for _, short := range who.shortNames(tables) {
		var whole []string
		for _, long := range sortedKeys(who.known) {
			if long == short || !wordOf(short, long) {
				continue
			}
			together := false
			for _, set := range sets {
				together = together || set[short] && set[long]
			}
			if !together {
				whole = append(whole, long)
			}
		}
		if len(whole) == 1 {
			who.alias[short] = whole[0]
		}
	}
}

// shortNames are the names the book knows, and what stands among names besides them and
// could be the shorter form of one though it says something else too: "Old".
func (who *names) shortNames(tables []*table) []string {
	names := map[string]bool{}
	for n := range who.known {
		names[n] = true
	}
	for _, t := range tables {
		if t.kind != "" || t.g.blank {
			continue
		}
		for r := t.h2 + 1; r < t.end; r++ {
			if x := t.g.at(r, t.name); x != nil && x.Kind == Text && !dash(x.Text) && !ditto(x.Text) && !hasDigit(x.Text) && who.notAHorse(x.Text) == "" {
				names[who.words.nameOf(x)] = true
			}
		}
	}
	return sortedKeys(names)
}

func wordOf(short, long string) bool {
	return strings.HasPrefix(long, short+" ") || strings.HasSuffix(long, " "+short) || strings.HasSuffix(long, " ("+short+")")
}

// named is the horse a text names, by its name or a shorter one.
func (hd *herd) named(text string) (horse int, ok bool) {
	horse, ok = hd.byName[hd.who.key(text)]
	return horse, ok
}

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
func (in *tableReader) readTable(t *table) {
	for r := t.h1; r <= t.h2; r++ {
		for c := t.c1; c <= t.c2; c++ {
			t.g.mark(t.g.at(r, c), "label", "a heading")
		}
	}
	if t.kind != "" {
		for r := t.h2 + 1; r < t.end; r++ {
			for c := t.c1; c <= t.c2; c++ {
				t.g.mark(t.g.at(r, c), "decoration", "of a table of "+t.kind)
			}
		}
		return
	}
	w := rowReader{in: in, t: t}
	for r := t.h2 + 1; r < t.end; r++ {
		if cells := t.freeCells(r); len(cells) > 0 && w.takeRow(r, cells) && len(w.who) > 0 {
			in.readRow(t, r, w.who)
		}
	}
	in.placesOfList(t)
}

// freeCells are the cells of a row nothing has been made of yet.
func (t *table) freeCells(r int) []*Cell {
	var out []*Cell
	for c := t.c1; c <= t.c2; c++ {
		if x := t.g.at(r, c); x != nil && t.g.free(x) {
			out = append(out, x)
		}
	}
	return out
}

// markAll says what became of cells.
func (t *table) markAll(cells []*Cell, what, why string) {
	for _, x := range cells {
		t.g.mark(x, what, why)
	}
}

// takeRow finds out whose row it is; false where it holds nothing to read.
func (w *rowReader) takeRow(r int, cells []*Cell) bool {
	if repeatsHead(w.t, r) {
		w.t.markAll(cells, "label", "a heading, said again")
		return false
	}
	n := w.t.g.at(r, w.t.name)
	switch {
	case n != nil && w.t.g.free(n) && (n.Kind == Wrong || n.Kind == Uncached):
		w.who = nil
		w.in.rowWithoutName(w.t, n, cells)
		return false
	case n != nil && w.t.g.free(n) && !ditto(n.Text) && !dash(n.Text):
		return w.namedRow(r, n, cells)
	}
	return w.namelessRow(r, n, cells)
}

// namedRow takes a row with a text where the names stand: a horse's, a total's, or a line
// across the table.
func (w *rowReader) namedRow(r int, n *Cell, cells []*Cell) bool {
	t := w.t
	if len(cells) > 1 && w.in.allTotals(t, cells) && !w.in.who.fullRow(t, r) || w.in.who.notAHorse(n.Text) != "" && !w.in.who.realName(t, r, n.Text, len(cells)) {
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
		w.in.weightBehindName(t, n, r, w.who)
	}
	w.lastNamed = r
	t.g.mark(n, "name", "")
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
		w.t.g.mark(n, "decoration", overAGroup)
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
	case len(w.who) > 0 && rowSays(t, r) && r <= w.lastNamed+4:
		w.lastNamed = r // a list goes on as long as its lines do
		return true
	case w.in.allTotals(t, cells):
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
func (in *tableReader) namesOfRow(t *table, n *Cell) []int {
	var out []int
	text, _ := in.lang.nameAndWeight(n.Text)
	for _, name := range in.who.horsesIn(text) {
		i := in.herd.add(name, t.g.sheetData, n)
		out = append(out, i)
		t.horses = append(t.horses, in.herd.horses[i])
	}
	return out
}

// noteBelow takes a line close below a horse's row that speaks of an illness for a
// note on that horse.
func (in *tableReader) noteBelow(t *table, n *Cell, r int, who []int) {
	t.g.mark(n, "used", "a note on the horse above")
	for _, i := range who {
		h := in.herd.horses[i]
		h.said = append(h.said, &obs{sheet: t.g.sheetData, cell: n, horse: i, role: notesRole, day: -1, row: r})
	}
}

var behindName = regexp.MustCompile(`^(\pL[^()]*?)[\s,–-]*\(?\s*((?:c\.?|ca\.?|approx\.?|~|about)?\s*\d[\d.,]*\s*(?:kg|kgs|kilos|lb|lbs))\.?\s*\)?$`)

// nameAndWeight parts a name from the weight that is behind it in its cell:
// "Bramble (540 kg)".
func (l *language) nameAndWeight(text string) (name, weight string) {
	m := behindName.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil || !l.looksLikeWeight(&Cell{Kind: Text, Text: m[2]}) {
		return text, ""
	}
	return strings.TrimSpace(m[1]), m[2]
}

// weightBehindName takes the weight that stands in the cell of a name.
func (in *tableReader) weightBehindName(t *table, n *Cell, r int, who []int) {
	_, weight := in.lang.nameAndWeight(n.Text)
	if weight == "" || len(who) != 1 {
		return
	}
	c := &Cell{Row: n.Row, Col: n.Col, Kind: Text, Text: weight}
	in.obs = append(in.obs, &obs{sheet: t.g.sheetData, cell: c, horse: who[0], role: weightRole, day: -1, when: unsaid, table: t, row: r, week: t.week})
}

// repeatsHead says whether a row is the headings again.
func repeatsHead(t *table, r int) bool {
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
func rowSays(t *table, r int) bool {
	for _, k := range t.cols {
		if k.role == attrRole && t.g.at(r, k.at) != nil && (k.attr == "meal" || k.attr == "when" || k.attr == "feed") {
			return true
		}
	}
	return false
}

// allTotals says whether a row adds up what stands above it.
func (in *tableReader) allTotals(t *table, cells []*Cell) bool {
	for _, c := range cells {
		if c.Kind == Text && in.words.readCell(c).has("total") && in.words.readCell(c).some() {
			return true
		}
	}
	return false
}

// rowsOwn is why a cell is a label: it is the day, the meal or the feed of its row.
const rowsOwn = "says what its row is about"

// readRow reads one row for its horses.
func (in *tableReader) readRow(t *table, r int, who []int) {
	row, minutes := in.rowSaid(t, r)
	for _, k := range t.cols {
		if k.role == nameRole || k.role == attrRole || k.role == minutesRole {
			continue
		}
		if k.role == workRole {
			in.placeOfRow(t, k, row, who)
		}
		x := t.g.at(r, k.at)
		if x == nil || !t.g.free(x) && x.fate.what != "used" {
			continue
		}
		if k.role == otherRole || k.role == heightRole {
			in.needless(t, k, x, who)
			continue
		}
		o := in.obsOf(t, k, r, row)
		o.cell = x
		if k.role == workRole && minutes != nil {
			o.rest = minutes
			t.g.mark(minutes, "used", "")
		}
		for _, i := range who {
			p := o
			p.horse = i
			in.obs = append(in.obs, &p)
		}
	}
	t.g.mark(minutes, "decoration", "minutes of no work")
}

// rowSaid is what the cells of a row say of all of it, and the minutes of its work.
func (in *tableReader) rowSaid(t *table, r int) (row obs, minutes *Cell) {
	row = obs{day: -1, when: unsaid}
	for _, k := range t.cols {
		if k.role == minutesRole {
			minutes = t.g.at(r, k.at)
		}
		x := t.g.over(r, k.at)
		if k.role != attrRole || x == nil {
			continue
		}
		t.g.mark(x, "label", rowsOwn)
		for q := r - 1; ditto(x.Text) && q > t.h2; q-- { // what the row above says
			if y := t.g.over(q, k.at); y != nil {
				x = y
			}
		}
		in.sayRow(&row, k.attr, x)
	}
	return row, minutes
}

// sayRow takes over what one cell says of its row.
func (in *tableReader) sayRow(row *obs, attr string, x *Cell) {
	l := in.words.labelOf(x)
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
		row.when = whenOf(l, false, false, false)
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
func (in *tableReader) needless(t *table, k *column, x *Cell, who []int) {
	why := "something no card needs"
	if k.role == heightRole {
		why = "a height"
	}
	if v, ok := numberOf(x); ok && k.lab.has("total") && !k.lab.has("percent") && len(who) == 1 {
		in.totals = append(in.totals, total{who[0], x, v, k, t.g.sheetData})
	}
	t.g.mark(x, "decoration", why)
}

// obsOf is what a cell of a column is about: what its row says, and over it its column.
func (in *tableReader) obsOf(t *table, k *column, r int, row obs) obs {
	s := t.g.sheetData
	o := row
	o.sheet, o.role, o.head, o.table, o.row, o.col = s, k.role, k.own, t, r, k
	o.lab, o.thisWeek = k.lab, row.thisWeek || k.lab.has("thisweek")
	o.by = basisOf(k.lab)
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
	case k.role == feedRole && row.meal != "" && !byLine(t, k, r):
		o.meal = "" // the lines are of the work
	}
	switch k.role {
	case feedRole:
		o.meals, o.each = mealsNamed(k.lab), k.lab.has("perfeed")
	case workRole:
		o.half = cmp.Or(k.meal, row.meal)
	}
	o.week = in.cal.weekOfObs(t, k, &o)
	if m, ok := t.g.joined(r, k.at); ok && (m.Col2 > m.Col1 || m.Row2 > m.Row1) {
		o.span, o.joint = m, true
	}
	return o
}

// placeOfRow keeps that the horses of a row have a place for work under a column.
func (in *tableReader) placeOfRow(t *table, k *column, row obs, who []int) {
	o := row
	if k.day >= 0 {
		o.day = k.day
	} else if d := t.ownDay(); o.day < 0 && d >= 0 && o.date == (date{}) {
		o.day = d
	}
	week := in.cal.weekOfObs(t, k, &o)
	if k.day < 0 && o.day >= 0 && week != nil {
		t.listDay(o.day, week, t.g.at(t.head, k.at))
	}
	for _, i := range who {
		in.places.add(dayPlace{horse: i, day: o.day, week: week, sheet: t.g.sheetData, head: k.own})
	}
}

// weekOfObs is the week a cell is about: that of its column's or row's date, else
// of its table.
func (cal *calendar) weekOfObs(t *table, k *column, o *obs) *weekOf {
	if !k.date.IsZero() {
		return &weekOf{first: cal.weekStart(k.date), rel: noRel}
	}
	if o.date != (date{}) && (k.role == workRole || k.role == feedRole) {
		d, w := cal.dayOfDate(o.date, o.day, t.week)
		if d >= 0 {
			if o.day < 0 {
				o.day = d
			}
			return w
		}
	}
	if k.shift != 0 || k.role == workRole && t.twoWeeks() {
		w := *t.week
		if !w.first.IsZero() {
			w.first = w.first.AddDate(0, 0, 7*k.shift)
		}
		if w.rel == noRel {
			w.rel = 0
		}
		w.rel += k.shift
		return &w
	}
	return t.week
}

// twoWeeks says whether the days of a table are of more than one week: then those of the
// last are of a week of their own too, whether or not anything says which.
func (t *table) twoWeeks() bool {
	return slices.ContainsFunc(t.cols, func(k *column) bool { return k.shift != 0 })
}

// byLine says whether a column of feed has something to say in lines that say
// their meal other than the first of each horse.
func byLine(t *table, k *column, r int) bool {
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
