package board

import (
	"cmp"
	"slices"
	"strings"
)

// form is a region about one horse: a tab of its own, or a block.
type form struct {
	sheet *sheetData
	horse string
	name  *Cell // nil: the tab's name
	parts []part
	days  []formDay
	lines []cardLine // its cells say themselves what they are about
}

// formDay is a day that stands as a heading in a form.
type formDay struct {
	day  int
	date date
	head *Cell
}

// noteDay keeps a heading of a form that names a day.
func (f *form) noteDay(c *Cell, l *label, letter int, isLetter bool) {
	switch {
	case isLetter:
		f.days = append(f.days, formDay{day: letter, head: c})
	case l.has("weight", "tape", "scale", "week"):
	case len(l.dates) > 0:
		f.days = append(f.days, formDay{day: l.day, date: l.dates[0], head: c})
	case l.day >= 0:
		f.days = append(f.days, formDay{day: l.day, head: c})
	}
}

// part is a stretch of rows and columns of a form.
type part struct{ r1, r2, c1, c2 int }

// bands parts a sheet's columns where one is empty from top to bottom.
func (b *book) bands(s *sheetData) [][2]int {
	used := map[int]bool{}
	for _, c := range s.Sheet.Cells {
		c := s.byPlace[[2]int{c.Row, c.Col}]
		if !s.free(c) {
			continue
		}
		if m, ok := s.span[[2]int{c.Row, c.Col}]; ok && m.Col2-m.Col1 < 8 {
			for k := m.Col1; k <= m.Col2; k++ {
				used[k] = used[k] || len(s.rows[c.Row]) > 1
			}
		}
		if len(s.rows[c.Row]) > 1 || c.Col == 1 {
			used[c.Col] = true
		}
	}
	var out [][2]int
	for c := 1; c <= s.lastCol; c++ {
		switch {
		case !used[c]:
		case len(out) > 0 && out[len(out)-1][1] == c-1:
			out[len(out)-1][1] = c
		default:
			out = append(out, [2]int{c, c})
		}
	}
	return out
}

// inBand is what stands in a row between two columns and is not taken.
func (s *sheetData) inBand(r, c1, c2 int) []*Cell {
	var out []*Cell
	for _, c := range s.rows[r] {
		if c.Col >= c1 && c.Col <= c2 && s.free(c) {
			out = append(out, c)
		}
	}
	return out
}

// titlesIn finds the cells of a band that may be the name of a horse over its block.
func (b *book) titlesIn(s *sheetData, band [2]int) map[string][]*Cell {
	out := map[string][]*Cell{}
	rows := grid{sheetData: s}.sortedRows()
	for i, r := range rows {
		cells := s.inBand(r, band[0], band[1])
		if len(cells) == 0 || cells[0].Col > band[0]+1 || !b.mayBeName(cells[0]) && !(len(cells) == 1 && b.titleLike(s, cells[0])) {
			continue
		}
		heads := 0
		for _, c := range cells[1:] {
			if b.isHeading(c) {
				heads++
			}
		}
		if heads > 1 || len(cells) > 4 {
			continue
		}
		for j := i + 1; j < len(rows) && rows[j] <= r+2; j++ {
			next := s.inBand(rows[j], band[0], band[1])
			if len(next) == 0 {
				continue
			}
			if l := b.labelOf(next[0]); b.isHeading(next[0]) && (len(l.order) > 0 || l.day >= 0 && len(next) >= 5) {
				key := strings.Join(l.order, " ")
				out[key] = append(out[key], cells[0])
			}
			break
		}
	}
	return out
}

// formsOn finds the blocks of a sheet, a horse each.
func (b *book) formsOn(s *sheetData) []*form {
	bands := b.bands(s)
	var titles []*Cell
	most := map[string]int{}
	all := make([]map[string][]*Cell, len(bands))
	for i, band := range bands {
		all[i] = b.titlesIn(s, band)
		for k, cs := range all[i] {
			for _, c := range cs {
				if b.nameLike(c) {
					most[k] += 3
				} else {
					most[k]++
				}
			}
		}
	}
	best := ""
	for _, k := range sortedKeys(most) {
		if most[k] > most[best] {
			best = k
		}
	}
	if most[best] < 4 {
		return nil // one title, or none that looks like a name
	}
	var out []*form
	last := s.lastRow
	for i, band := range bands {
		titles = all[i][best]
		// A band may be split further by names that stand side by side.
		for j, t := range titles {
			end := last
			if j+1 < len(titles) {
				end = titles[j+1].Row - 1
			}
			c2 := band[1]
			f := &form{sheet: s, horse: strings.TrimSpace(t.Text), name: t}
			// Blocks end at a gap of two rows.
			blank := 0
			for r := t.Row; r <= end; r++ {
				if len(s.inBand(r, band[0], c2)) == 0 {
					if blank++; blank >= 2 {
						end = r - 2
						break
					}
				} else {
					blank = 0
				}
			}
			f.parts = append(f.parts, part{t.Row, end, band[0], c2})
			out = append(out, f)
		}
	}
	return out
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// tabForm takes a sheet for one horse's own.
func (b *book) tabForm(s *sheetData) *form {
	heads := 0
	for i := range s.Sheet.Cells {
		if b.isHeading(&s.Sheet.Cells[i]) {
			heads++
		}
	}
	if heads < 4 {
		return nil
	}
	f := &form{sheet: s}
	for _, band := range b.bands(s) {
		f.parts = append(f.parts, part{1, s.lastRow, band[0], band[1]})
	}
	for i := range s.Sheet.Cells {
		c := &s.Sheet.Cells[i]
		if c.Row > 3 {
			break
		}
		if c.Kind == Text && foldName(c.Text) == foldName(s.Name) {
			f.name = c
			break
		}
	}
	return f
}

// signature is the headings of a form, to tell which tabs are of one kind.
func (b *book) signature(s *sheetData) string {
	var out []string
	for i := range s.Sheet.Cells {
		if c := &s.Sheet.Cells[i]; c.Col <= 2 && b.isHeading(c) && c.Kind == Text {
			if l := b.labelOf(c); l.full() && len(l.dates) == 0 && l.day < 0 && len(l.order) > 0 {
				out = append(out, l.order[0])
			}
		}
	}
	slices.Sort(out)
	return strings.Join(slices.Compact(out), " ")
}

// readForm reads the cells of a form.
func (b *book) readForm(f *form, horse int) []*obs {
	if len(f.lines) > 0 {
		return b.readLines(f, horse)
	}
	var out []*obs
	for _, p := range f.parts {
		out = append(out, b.readPart(f, p, horse)...)
	}
	return out
}

func (b *book) readPart(f *form, p part, horse int) []*obs {
	s := f.sheet
	var out []*obs
	over := map[int]*Cell{} // heading over each column
	overDay := map[int]int{}
	bands := map[int]int{}
	_ = bands
	var rowsIn []int
	for r := p.r1; r <= p.r2; r++ {
		if len(s.inBand(r, p.c1, p.c2)) > 0 {
			rowsIn = append(rowsIn, r)
		}
	}
	g := grid{sheetData: s}
	var rowHead *Cell
	down := map[*Cell]int{} // letters of days below each other
	for c := p.c1; c <= p.c2; c++ {
		var cells []*Cell
		from, _ := slices.BinarySearchFunc(s.cols[c], p.r1, func(x *Cell, r int) int { return x.Row - r })
		for _, x := range s.cols[c][from:] {
			if x.Row > p.r2 {
				break
			}
			if s.free(x) {
				cells = append(cells, x)
			}
		}
		for x, d := range b.letterDays(cells, grid{s, true}) {
			down[x] = d
		}
	}
	for i, r := range rowsIn {
		cells := s.inBand(r, p.c1, p.c2)
		if cells[0] == f.name {
			cells = cells[1:]
		}
		if len(cells) == 0 {
			continue
		}
		letters := b.letterDays(cells, g)
		heads := map[*Cell]bool{}
		for _, c := range cells {
			if d, ok := down[c]; ok {
				letters[c] = d
			}
			if d, ok := letters[c]; ok || b.isHeading(c) {
				heads[c] = true
				f.noteDay(c, b.labelOf(c), d, ok)
			}
		}
		if len(heads) == len(cells) && len(heads) >= 2 && !b.dayUnder(s, cells, over, down) && b.headsOver(s, rowsIn[i+1:], cells, p) {
			clear(over)
			clear(overDay)
			for _, c := range cells {
				over[c.Col] = c
				if d, ok := letters[c]; ok {
					overDay[c.Col] = d
				}
				if m, ok := g.joined(c.Row, c.Col); ok {
					for k := m.Col1; k <= m.Col2; k++ {
						over[k] = c
					}
				}
				s.mark(c, "label", "a heading")
			}
			continue
		}
		rowHead = nil
		var near *Cell
		var lastObs *obs
		for k, c := range cells {
			if heads[c] && !(k > 0 && rowHead != nil && over[c.Col] != nil && b.isWorkCell(c, rowHead, over[c.Col], isDay(overDay, c.Col))) {
				l := b.labelOf(c)
				if lastObs != nil && l.unit != "" && l.used == 1 && c.Col == lastObs.cell.Col+1 {
					lastObs.unit = l.unit
					s.mark(c, "label", "a unit")
					continue
				}
				if k == 0 || len(over) > 0 && over[c.Col] != nil && over[c.Col-1] == nil && cells[k-1].Col < c.Col-1 {
					rowHead = c // the first of a row, or of its part behind a gap
				}
				near = c
				s.mark(c, "label", "a heading")
				continue
			}
			// What stands over a cell that has words of its own beside it counts
			// only where it is one of a row of headings.
			var labs []*Cell
			if near != nil {
				labs = append(labs, near)
			}
			col := over[c.Col]
			if near != nil && near != rowHead {
				col = nil
			}
			if col != nil {
				labs = append(labs, col)
			}
			if rowHead != nil && rowHead != near {
				labs = append(labs, rowHead)
			}
			o := &obs{sheet: s, cell: c, horse: horse, day: -1, row: r}
			b.describe(o, labs)
			if d, ok := overDay[c.Col]; ok && col != nil {
				o.day = d
			}
			if d, ok := down[rowHead]; ok && rowHead != nil {
				o.day, o.unit = d, ""
				if o.role == noRole {
					o.role = workRole
				}
			}
			if len(labs) > 0 {
				o.head = labs[0]
				if col != nil {
					o.head = col
				}
			}
			if m, ok := g.joined(c.Row, c.Col); ok && (m.Row2 > m.Row1 || m.Col2 > m.Col1) {
				o.span, o.joint = m, true
			}
			out = append(out, o)
			lastObs = o
		}
	}
	return out
}

// isWorkCell says whether what could be a heading is a piece of work under a day,
// or beside one: "exercise", "fast work".
func (b *book) isWorkCell(c, row, col *Cell, day bool) bool {
	r, o := b.labelOf(row), b.labelOf(col)
	if x := b.labelOf(c); formRole(r) == workRole && (day || o.day >= 0 || len(o.dates) > 0) && x.day < 0 && len(x.dates) == 0 {
		return true // "farrier" under a day is what happens on it
	}
	if (r.day >= 0 || len(r.dates) > 0) && o.has("work") {
		return true
	}
	l := b.labelOf(c)
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
func (b *book) headsOver(s *sheetData, below []int, cells []*Cell, p part) bool {
	if len(cells) >= 3 {
		first := b.labelOf(cells[0])
		if first.has("now", "plan", "lastweek", "thisweek", "nextweek") && cells[1].Col == cells[0].Col+1 && cells[2].Col > cells[1].Col+1 {
			return false // a meal, nothing, a meal, nothing
		}
	}
	for _, r := range below {
		next := s.inBand(r, p.c1, p.c2)
		heads, under := 0, 0
		for _, c := range next {
			if b.isHeading(c) {
				heads++
				continue
			}
			for _, h := range cells {
				m, ok := grid{sheetData: s}.joined(h.Row, h.Col)
				if h.Col == c.Col || ok && c.Col >= m.Col1 && c.Col <= m.Col2 {
					under++
				}
			}
		}
		if under > 0 {
			return true
		}
		if l := b.labelOf(next[0]); heads >= 2 && l.day < 0 && len(l.dates) == 0 {
			return false
		}
	}
	return false
}

// describe says what a cell is about by the words beside and over it; the
// first that says something counts.
func (b *book) describe(o *obs, labs []*Cell) {
	var ls []*label
	for _, c := range labs {
		ls = append(ls, b.labelOf(c))
	}
	last, this, next := false, false, false
	for _, l := range ls {
		last, this, next = last || l.has("lastweek"), this || l.has("thisweek"), next || l.has("nextweek")
	}
	o.thisWeek = this
	for i, l := range ls {
		when := whenOf(l, last, this, next)
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
func (b *book) titleLike(s *sheetData, c *Cell) bool {
	m, ok := s.span[[2]int{c.Row, c.Col}]
	return c.Kind == Text && ok && m.Col2 > m.Col1 && !hasDigit(c.Text) && len(c.Text) <= 30 && len(strings.Fields(c.Text)) <= 3
}

// dayUnder says whether a row is a day with what is done on it, under headings
// that stand already.
func (b *book) dayUnder(s *sheetData, cells []*Cell, over map[int]*Cell, down map[*Cell]int) bool {
	l := b.labelOf(cells[0])
	_, letter := down[cells[0]]
	if next := s.byPlace[[2]int{cells[0].Row + 1, cells[0].Col}]; next != nil && !l.has("week") && (l.day >= 0 || len(l.dates) > 0) {
		if n := b.labelOf(next); b.isHeading(next) && (n.day >= 0 || len(n.dates) > 0) {
			return true // days below each other
		}
	}
	return (letter || l.day >= 0 || len(l.dates) > 0) && over[cells[1].Col] != nil && b.labelOf(over[cells[1].Col]).day < 0
}
