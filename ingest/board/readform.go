package board

import (
	"cmp"
	"maps"
	"strings"
)

// formReader reads the cells of a form by the headings beside and over them.
type formReader struct {
	words *vocabulary
	lang  *language
	heads *headings
}

// readForm reads the cells of a form.
func (fr *formReader) readForm(f *form, horse int) []*obs {
	if len(f.lines) > 0 {
		return fr.readLines(f, horse)
	}
	var out []*obs
	for _, p := range f.parts {
		out = append(out, fr.readPart(f, p, horse)...)
	}
	return out
}

// readPart reads the cells of a part of a form.
func (fr *formReader) readPart(f *form, p part, horse int) (out []*obs) {
	fr.readRows(f, p, horse, func(read []*obs) bool {
		out = append(out, read...)
		return false
	})
	return out
}

// readRows reads the cells of a part of a form row by row, until what is read of one is
// enough.
func (fr *formReader) readRows(f *form, p part, horse int, enough func(row []*obs) bool) {
	r := partReader{in: fr, f: f, p: p, horse: horse, g: grid{page: f.sheet}, over: map[int]*Cell{}, overDay: map[int]int{}, heads: map[*Cell]bool{}}
	r.down = r.lettersDown()
	rows := r.rowsIn()
	for i, row := range rows {
		r.out = r.out[:0]
		if r.readRow(row, rows[i+1:]); enough(r.out) {
			return
		}
	}
}

// partReader reads a part of a form: headings are over columns, before rows and right
// before the cells they speak of.
type partReader struct {
	in      *formReader
	f       *form
	p       part
	horse   int
	g       grid
	over    map[int]*Cell // the heading over each column
	overDay map[int]int   // the day over each, where it is a letter
	down    map[*Cell]int // letters of days below each other

	// Of the row that is read:
	letters map[*Cell]int  // letters of days
	heads   map[*Cell]bool // what may be a heading
	rowHead *Cell          // the first of the row, or of its part behind a gap
	near    *Cell          // the last before the cell
	last    *obs           // the cell read last
	out     []*obs
}

// rowsIn are the rows of the part in which something stands.
func (r *partReader) rowsIn() []int {
	var out []int
	for row := r.p.r1; row <= r.p.r2; row++ {
		if len(r.g.page.inBand(row, r.p.c1, r.p.c2)) > 0 {
			out = append(out, row)
		}
	}
	return out
}

// lettersDown finds the letters of days that stand below each other.
func (r *partReader) lettersDown() map[*Cell]int {
	out := map[*Cell]int{}
	for col := r.p.c1; col <= r.p.c2; col++ {
		cells := freeOf(stretch(r.g.page.cols[col], r.p.r1, r.p.r2, func(c *Cell) int { return c.Row }))
		maps.Copy(out, r.in.words.letterDays(cells, grid{r.f.sheet, true}))
	}
	return out
}

// readRow reads a row: headings over those that follow, or cells with their headings.
func (r *partReader) readRow(row int, below []int) {
	cells := r.g.page.inBand(row, r.p.c1, r.p.c2)
	if len(cells) > 1 && cells[1] == r.f.name && isWhole(cells[0]) {
		r.f.sheet.mark(cells[0], "decoration", "its stable's number")
		cells = cells[1:]
	}
	if cells[0] == r.f.name {
		cells = cells[1:]
	}
	if len(cells) == 0 {
		return
	}
	r.findHeads(cells)
	if r.headRow(cells, below) {
		r.setOver(cells)
		return
	}
	r.rowHead, r.near, r.last = nil, nil, nil
	for i, c := range cells {
		switch {
		case !r.heads[c] || i > 0 && r.isWork(c):
			r.read(c)
		case r.unitBehind(c):
		default:
			r.head(cells, i)
		}
	}
}

// findHeads finds what may be headings in a row, and keeps the days among them.
func (r *partReader) findHeads(cells []*Cell) {
	r.letters = r.in.words.letterDays(cells, r.g)
	clear(r.heads)
	for _, c := range cells {
		if d, ok := r.down[c]; ok {
			if r.letters == nil {
				r.letters = map[*Cell]int{}
			}
			r.letters[c] = d
		}
		if d, ok := r.letters[c]; ok || r.in.heads.isHeading(c) {
			r.heads[c] = true
			r.f.noteDay(c, r.in.words.labelOf(c), d, ok)
		}
	}
}

// headRow says whether a row is one of headings over the rows below it.
func (r *partReader) headRow(cells []*Cell, below []int) bool {
	return len(r.heads) == len(cells) && len(cells) >= 2 && !r.in.dayUnder(r.f.sheet, cells, r.over, r.down) && r.in.headsOver(r.f.sheet, below, cells, r.p)
}

// setOver puts a row of headings over the columns; those before it speak no more.
func (r *partReader) setOver(cells []*Cell) {
	clear(r.over)
	clear(r.overDay)
	for _, c := range cells {
		r.over[c.Col] = c
		if d, ok := r.letters[c]; ok {
			r.overDay[c.Col] = d
		}
		if m, ok := r.g.joined(c.Row, c.Col); ok {
			for k := m.Col1; k <= m.Col2; k++ {
				r.over[k] = c
			}
		}
		r.f.sheet.mark(c, "label", "a heading")
	}
}

// isWork says whether what may be a heading is work under one and beside one.
func (r *partReader) isWork(c *Cell) bool {
	return r.rowHead != nil && r.over[c.Col] != nil && r.in.isWorkCell(c, r.rowHead, r.over[c.Col], isDay(r.overDay, c.Col))
}

// unitBehind takes a unit that stands right behind the cell it belongs to.
func (r *partReader) unitBehind(c *Cell) bool {
	l := r.in.words.labelOf(c)
	if r.last == nil || l.unit == "" || l.used != 1 || c.Col != r.last.cell.Col+1 {
		return false
	}
	r.last.unit = l.unit
	r.f.sheet.mark(c, "label", "a unit")
	return true
}

// head takes cell number i of a row for the heading of those behind it.
func (r *partReader) head(cells []*Cell, i int) {
	c := cells[i]
	if i == 0 || r.over[c.Col] != nil && r.over[c.Col-1] == nil && cells[i-1].Col < c.Col-1 {
		r.rowHead = c
	}
	r.near = c
	r.f.sheet.mark(c, "label", "a heading")
}

// read takes a cell with what its headings say of it.
func (r *partReader) read(c *Cell) {
	labs, col := r.labelsOf(c)
	o := &obs{sheet: r.f.sheet, cell: c, horse: r.horse, day: -1, row: c.Row}
	r.in.describe(o, labs)
	if d, ok := r.overDay[c.Col]; ok && col != nil {
		o.day = d
	}
	if d, ok := r.down[r.rowHead]; ok && r.rowHead != nil {
		o.day, o.unit = d, ""
		if o.role == noRole {
			o.role = workRole
		}
	}
	switch {
	case col != nil:
		o.head = col
	case len(labs) > 0:
		o.head = labs[0]
	}
	if m, ok := r.g.joined(c.Row, c.Col); ok && (m.Row2 > m.Row1 || m.Col2 > m.Col1) {
		o.span, o.joint = m, true
	}
	r.out = append(r.out, o)
	r.last = o
}

// labelsOf are the headings that speak of a cell, the nearest first; col is the one over
// it, nil where it does not count. What is over a cell that has words of its own
// beside it counts only where it is one of a row of headings.
func (r *partReader) labelsOf(c *Cell) (labs []*Cell, col *Cell) {
	if r.near == nil || r.near == r.rowHead {
		col = r.over[c.Col]
	}
	row := r.rowHead
	if row == r.near {
		row = nil
	}
	for _, h := range []*Cell{r.near, col, row} {
		if h != nil {
			labs = append(labs, h)
		}
	}
	return labs, col
}

// isWorkCell says whether what could be a heading is a piece of work under a day,
// or beside one: "exercise", "fast work".
func (fr *formReader) isWorkCell(c, row, col *Cell, day bool) bool {
	r, o := fr.words.labelOf(row), fr.words.labelOf(col)
	if x := fr.words.labelOf(c); formRole(r) == workRole && (day || o.day >= 0 || len(o.dates) > 0) && x.day < 0 && len(x.dates) == 0 {
		return true // "farrier" under a day is what happens on it
	}
	if (r.day >= 0 || len(r.dates) > 0) && o.has("work") {
		return true
	}
	l := fr.words.labelOf(c)
	for _, k := range l.order {
		switch k {
		case "work", "small", "feed", "sessions", "minutes", "hours":
		default:
			return false
		}
	}
	return (r.day >= 0 || len(r.dates) > 0 || r.has("work")) && (o.day >= 0 || len(o.dates) > 0 || o.has("work"))
}

func isDay(days map[int]int, col int) bool {
	_, ok := days[col]
	return ok
}

// headsOver says whether cells are headings over what follows rather than words
// beside nothing.
func (fr *formReader) headsOver(s *sheetData, below []int, cells []*Cell, p part) bool {
	if len(cells) >= 3 {
		first := fr.words.labelOf(cells[0])
		if first.has("now", "plan", "lastweek", "thisweek", "nextweek") && cells[1].Col == cells[0].Col+1 && cells[2].Col > cells[1].Col+1 {
			return false // a meal, nothing, a meal, nothing
		}
	}
	for _, r := range below {
		next := s.inBand(r, p.c1, p.c2)
		heads, under := 0, 0
		for _, c := range next {
			if fr.heads.isHeading(c) {
				heads++
				continue
			}
			for _, h := range cells {
				m, ok := grid{page: s}.joined(h.Row, h.Col)
				if h.Col == c.Col || ok && c.Col >= m.Col1 && c.Col <= m.Col2 {
					under++
				}
			}
		}
		if under > 0 {
			return true
		}
		if l := fr.words.labelOf(next[0]); heads >= 2 && l.day < 0 && len(l.dates) == 0 {
			return false
		}
	}
	return false
}

// describe says what a cell is about by the words beside and over it; the
// first that says something counts.
func (fr *formReader) describe(o *obs, labs []*Cell) {
	var ls []*label
	for _, c := range labs {
		ls = append(ls, fr.words.labelOf(c))
	}
	last, this, next := false, false, false
	for _, l := range ls {
		last, this, next = last || l.has("lastweek"), this || l.has("thisweek"), next || l.has("nextweek")
	}
	o.thisWeek = this
	for i, l := range ls {
		when := whenOf(l, last, next)
		if o.when == unsaid {
			o.when = when
		}
		o.describeBy(l, labs[i].Text, when)
	}
	if o.role == noRole && (o.when != unsaid || o.meal != "" || o.feed != "") {
		o.role = feedRole
	}
	if o.role == noRole && (o.day >= 0 || o.date != (date{})) {
		o.role = workRole
	}
}

// describeBy takes from one label what none before it has said. when is what it says of
// now and planned.
func (o *obs) describeBy(l *label, text string, when when) {
	if o.meal == "" {
		o.meal = mealOf(l, text)
	}
	if l.has("week") && l.day < 0 && len(l.dates) > 0 && !l.has("weight", "tape", "scale") {
		o.weekDate = firstOfWeek(l.dates)
	}
	if o.day < 0 && (l.day >= 0 || len(l.dates) > 0 && when == unsaid) && !l.has("weight", "tape", "scale") {
		o.day = l.day
		if len(l.dates) > 0 && !l.has("week") {
			o.date = l.dates[0]
		}
	}
	o.unit = cmp.Or(o.unit, l.unit)
	if o.feed == "" && len(l.feeds) > 0 {
		o.feed = l.feeds[0]
	}
	if o.role != noRole {
		return
	}
	o.role = formRole(l)
	if o.role == weightRole {
		o.by = basisOf(l)
	}
	if o.role == noRole && (o.when != unsaid || o.feed != "") {
		o.role = feedRole
	}
}

// basisOf is how a weight was come by, as its heading says.
func basisOf(l *label) string {
	switch {
	case l.has("scale"):
		return "scale"
	case l.has("tape"):
		return "tape"
	}
	return ""
}

// formRole is what a word beside a cell says it is.
func formRole(l *label) role {
	switch {
	case l.has("price", "tel", "done", "farrier", "staff", "pack", "colour", "age", "total", "percent"):
		return otherRole
	case l.has("girth"):
		return girthRole
	case l.has("length"):
		return lengthRole
	case l.has("weight", "tape", "scale") && !l.has("feed"):
		return weightRole
	case l.has("height"):
		return heightRole
	case l.has("hay") && len(l.feeds) == 0:
		return hayRole
	case l.has("health"):
		return healthRole
	case l.has("notes"):
		return notesRole
	case l.has("work") && !l.has("feed"):
		return workRole
	case l.has("minutes"):
		return minutesRole
	case l.has("feed"):
		return feedRole
	case l.has("owner", "box"):
		return otherRole
	}
	return noRole
}

// titleLike says whether a text stands alone like the name over a block: joined
// over several columns, in a few words.
func titleLike(s *sheetData, c *Cell) bool {
	m, ok := s.span[[2]int{c.Row, c.Col}]
	return c.Kind == Text && ok && m.Col2 > m.Col1 && !hasDigit(c.Text) && len(c.Text) <= 30 && len(strings.Fields(c.Text)) <= 3
}

// dayUnder says whether a row is a day with what is done on it, under headings
// that stand already.
func (fr *formReader) dayUnder(s *sheetData, cells []*Cell, over map[int]*Cell, down map[*Cell]int) bool {
	l := fr.words.labelOf(cells[0])
	_, letter := down[cells[0]]
	if next := s.cell(cells[0].Row+1, cells[0].Col); next != nil && !l.has("week") && (l.day >= 0 || len(l.dates) > 0) {
		if n := fr.words.labelOf(next); fr.heads.isHeading(next) && (n.day >= 0 || len(n.dates) > 0) {
			return true // days below each other
		}
	}
	return (letter || l.day >= 0 || len(l.dates) > 0) && over[cells[1].Col] != nil && fr.words.labelOf(over[cells[1].Col]).day < 0
}
