package board

import (
	"slices"
	"strings"
	"time"
	"unicode"

	"hardfeed/ingest/phrase"
)

// table is a region with headings over it and a horse, or another key, to a row.
type table struct {
	g            grid
	head, h1, h2 int // the row with the headings, and the first and last of heading rows
	c1, c2       int
	end          int // the row behind the last
	name         int // column of the names; 0: none
	cols         []*column
	kind         string // "", or what sort of table it is that holds nothing of a horse's week
	week         *weekOf
	when         when
	unit         string // all amounts in it are in
	feed         string // all amounts in it are of
	horses       []*horse
	listed       []listedWeek // weeks of a list with a line for each horse and day
}

// column is a column of a table with all that stands over it.
type column struct {
	at             int
	own            *Cell // its own heading; nil: none
	cells          []*Cell
	lab            *label // of all headings over it
	span           []date // of the heading it shares: the week it is in
	role           role
	day            int // Monday 0; -1: none
	days           []date
	attr           string // its cells say the day, meal, … of their row
	group          *Cell  // the heading it shares with others
	unit           string
	feed           string
	meal           string
	when           when
	date           time.Time // the day it is about; zero: not known
	obs            []*obs
	lines          int // 2: it has amounts in the second lines of horses too; 1: it has none; 0: not looked at
	groupNo, shift int // which group of days it is of, and how many weeks off
}

// labelOf is the heading a cell may be.
func (b *book) labelOf(c *Cell) *label {
	switch {
	case c == nil:
		return &label{day: -1}
	case c.Kind == Date:
		return &label{day: (int(c.Day.Weekday()) + 6) % 7, dates: []date{{d: c.Day.Day(), m: int(c.Day.Month()), y: c.Day.Year()}}, used: 1}
	case c.Kind == Clock:
		return &label{day: -1, keys: map[string]bool{"clock": true}, order: []string{"clock"}, used: 1}
	case c.Kind == Text && len(c.Text) <= 80:
		return b.words.readCell(c)
	}
	return &label{day: -1}
}

// isHeading says whether a cell reads as a heading.
func (b *book) isHeading(c *Cell) bool {
	if b.headingSeen == nil {
		return b.asHeading(c)
	}
	is, seen := b.headingSeen[c]
	if !seen {
		is = b.asHeading(c)
		b.headingSeen[c] = is
	}
	return is
}

func (b *book) asHeading(c *Cell) bool {
	if c == nil || c.Kind != Text && c.Kind != Date && c.Kind != Clock {
		return false
	}
	l := b.labelOf(c)
	if c.Kind == Text && l.used == 0 && l.day < 0 && len(l.dates) == 0 && !clockHeading(c.Text) {
		return false // nothing was made of it
	}
	if c.Kind == Text && (strings.ContainsAny(c.Text, "½¼¾⅓⅔") || b.lang.saysSame(c.Text) && l.day < 0) {
		return false
	}
	if c.Kind == Text && l.unit != "" && len(l.rest) > 0 && b.lang.counted(c.Text) {
		return false // "half scoop cool mix"
	}
	if c.Kind == Text && l.day >= 0 && len(l.dates) == 0 && l.has("small") && b.lang.refers(c.Text) {
		return false // "as Mon"
	}
	if c.Kind == Text && len(l.dates) > 0 && l.day < 0 && !b.dateRuns[c] && fraction(l.dates[0]) && (l.used <= 2 || l.unit != "" || len(l.feeds) > 0) && !l.has("now", "plan", "week") {
		return false // a half and no 1 February
	}
	if l.full() {
		if len(strings.TrimSpace(c.Text)) < 2 && c.Kind == Text && len(l.order) == 0 && l.unit != "" {
			return false // an L is a lesson more often than litres
		}
		return len(l.order) != 1 || !l.keys["small"]
	}
	if clockHeading(c.Text) {
		return true
	}
	if c.Kind != Text || l.used == 0 || l.nums > 0 || len(c.Text) > 40 || strings.ContainsAny(strings.TrimSuffix(strings.TrimSpace(c.Text), ":"), ",=:;") {
		return false
	}
	if len(l.dates) > 0 && l.day < 0 && !l.has("now", "plan", "weight", "lastweek", "thisweek", "nextweek") || l.day >= 0 && len(l.dates) == 0 {
		return false
	}
	if len(b.lang.w.Conditions(c.Text)) > 0 {
		return false // "ulcers – on treatment"
	}
	known := l.has("now", "plan", "lastweek", "thisweek", "nextweek", "feed", "work") || l.unit != ""
	return l.used > len(l.rest) || known && l.used >= len(l.rest)
}

// isAmount says whether a text is amounts of feed and nothing else.
func (b *book) isAmount(text string) bool {
	a := b.lang.w.Amounts(text, phrase.AmountContext{})
	return len(a.Parts) > 0 && len(a.Unread) == 0 && !slices.ContainsFunc(a.Parts, func(p phrase.Part) bool { return !p.Known || p.Unit == "" })
}

// clockHeading recognises a time of day over a column: 6.30, 5pm, 7h, 16 Uhr.
func clockHeading(text string) bool {
	_, ok := clockOf(text)
	return ok
}

// headRow is a row that may be headings.
type headRow struct {
	cells   []*Cell
	heads   map[*Cell]bool
	names   []*Cell
	letters map[int]int // the columns whose headings are letters of a week, and their days
	days    int
	kinds   int // different things they say
}

// within is the part of a row that stands between two columns.
func (h headRow) within(g grid, c1, c2 int) headRow {
	in := func(c *Cell) bool { k := g.colOf(c); return k >= c1 && k <= c2 }
	out := h
	out.cells, out.names, out.heads = nil, nil, map[*Cell]bool{}
	for _, c := range h.cells {
		if in(c) {
			out.cells = append(out.cells, c)
			if h.heads[c] {
				out.heads[c] = true
			}
		}
	}
	for _, c := range h.names {
		if in(c) {
			out.names = append(out.names, c)
		}
	}
	return out
}

func (b *book) headRow(g grid, r int) headRow {
	h := headRow{heads: map[*Cell]bool{}}
	for _, c := range g.row(r) {
		if f := g.fate[c]; f != nil && f.what != "title" {
			continue
		}
		h.cells = append(h.cells, c)
	}
	if b.look(2 * len(h.cells)) {
		return headRow{}
	}
	h.letters = b.letterColumns(h.cells, g)
	seen := map[string]bool{}
	for _, c := range h.cells {
		_, letter := h.letters[g.colOf(c)]
		if !letter && !b.isHeading(c) {
			continue
		}
		h.heads[c] = true
		l := b.labelOf(c)
		if letter || l.day >= 0 || len(l.dates) > 0 && !l.has("now", "plan", "weight") {
			h.days++
		}
		if l.has("name") && l.full() && len(l.feeds) == 0 && l.unit == "" && !letter {
			h.names = append(h.names, c)
		}
		key := strings.Join(l.order, " ")
		if letter || l.day >= 0 || len(l.dates) > 0 {
			key = "day " + c.Text + c.Ref()
		} else if clockHeading(c.Text) {
			key = "at " + c.Text
		}
		seen[key+l.unit+strings.Join(l.feeds, " ")] = true
	}
	h.kinds = len(seen)
	return h
}

// mostLooks is how often cells are looked at to find where tables begin and end: some thirty
// times each cell of the largest yard. Where headings stand in most cells, a table could
// begin in any, and each would be followed to the foot of the sheet.
const (
	mostLooks  = 10_000_000
	tableLooks = 16 // tables that are as quickly looked at as a cell
)

// look counts, and says that it is enough.
func (b *book) look(n int) bool {
	b.looks += n
	b.tooMany = b.tooMany || b.looks > mostLooks
	return b.tooMany
}

// tablesOn finds the tables of a sheet in one of its two views.
func (b *book) tablesOn(g grid) []*table {
	b.headingSeen = map[*Cell]bool{}
	defer func() { b.headingSeen = nil }()
	var out []*table
	rows := g.sortedRows()
	taken := map[int]int{} // column -> row behind the table over it
	for _, r := range rows {
		h := b.headRow(g, r)
		if b.look(len(out) / tableLooks) {
			return nil
		}
		if len(h.heads) < 2 && len(h.names) == 0 {
			continue
		}
		// Headings that lie in a table found before are its own, said again.
		if len(h.names) == 0 {
			if b.insideAny(out, g, h, r) || likeItsNeighbour(g, h, r) {
				continue
			}
			few := len(h.heads) == 2 && h.kinds == 2 && len(h.cells) == 2 && b.knownBelow(g, r, g.colOf(h.cells[0])-1) && !saidAgain(g, h.cells)
			if !few && (len(h.heads) < 3 || len(h.heads)*2 < len(h.cells) || h.kinds < 3) {
				continue
			}
		} else if len(h.heads) < 2 || len(h.heads)*3 < len(h.cells) {
			continue
		}
		if b.sameHeadings(out, g, h, r) {
			continue
		}
		for _, t := range b.segments(g, h, r) {
			if taken[t.c1] > t.h1 && t.name == 0 {
				continue
			}
			b.endOf(t, rows)
			if t.end <= t.h2+1 {
				continue
			}
			// A table above ends where this one begins.
			for _, o := range out {
				if o.h2 < t.h1 && o.end > t.h1 && o.c1 <= t.c2 && t.c1 <= o.c2 {
					o.end = t.h1
				}
			}
			for c := t.c1; c <= t.c2; c++ {
				taken[c] = t.end
			}
			out = append(out, t)
		}
	}
	return out
}

// likeItsNeighbour says whether a row says in two places or more what the row above
// or below it says there: then it is a line of a list, and no headings.
func likeItsNeighbour(g grid, h headRow, r int) bool {
	for _, next := range []int{r - 1, r + 1} {
		same := 0
		for c := range h.heads {
			if o := g.at(next, g.colOf(c)); o != nil && o.Text == c.Text {
				same++
			}
		}
		if same >= 2 && same*3 >= len(h.heads) {
			return true
		}
	}
	return false
}

// saidAgain says whether the first of a row's words stands in its column again and again
// and what is beside it differs: "pm" and what is done then, which is no heading.
func saidAgain(g grid, cells []*Cell) bool {
	c, d := g.colOf(cells[0]), g.colOf(cells[1])
	again, alike := 0, 0
	for _, r := range g.sortedRows() {
		if x := g.at(r, c); x == nil || x.Text != cells[0].Text {
			continue
		}
		again++
		if y := g.at(r, d); y != nil && y.Text == cells[1].Text {
			alike++
		}
	}
	return again > 2 && alike*2 < again
}

// insideAny says whether headings without a column of names lie among the rows
// of a table.
func (b *book) insideAny(ts []*table, g grid, h headRow, r int) bool {
	for _, t := range ts {
		if r > t.h1 && r <= t.h2 || r > t.h2 && r < t.end && g.over(r, t.name) != nil && g.colOf(h.cells[0]) >= t.c1 {
			return true
		}
	}
	return false
}

// sameHeadings says whether a row repeats the headings of a table above it.
func (b *book) sameHeadings(ts []*table, g grid, h headRow, r int) bool {
	for _, t := range ts {
		if r <= t.h2 {
			if r >= t.h1 {
				return true
			}
			continue
		}
		if r >= t.end {
			continue // below it: not worth a look, and there may be thousands
		}
		same, all := 0, 0
		for _, c := range h.cells {
			if o := g.at(t.head, g.colOf(c)); o != nil {
				all++
				if o.Text == c.Text {
					same++
				}
			}
		}
		if all > 0 && same*4 >= all*3 && same >= 2 {
			return true
		}
	}
	return false
}

// segments parts a row of headings into the tables that stand side by side.
func (b *book) segments(g grid, h headRow, r int) []*table {
	var starts []int
	first, last := g.colOf(h.cells[0]), g.colOf(h.cells[len(h.cells)-1])
	for _, c := range h.cells {
		if m, ok := g.joined(r, g.colOf(c)); ok {
			last = max(last, m.Col2)
		}
	}
	if len(h.names) > 1 {
		for _, c := range h.names {
			starts = append(starts, g.colOf(c))
		}
		// Names side by side ("Horse", "Owner's name") are columns of one table.
		starts = slices.Compact(starts)
		var keep []int
		for i, s := range starts {
			if i == 0 || s > keep[len(keep)-1]+1 {
				keep = append(keep, s)
			}
		}
		starts = keep
	} else {
		starts = []int{first}
	}
	if len(h.names) == 1 {
		first = b.beside(g, r, g.colOf(h.names[0]), first)
		starts[0] = first
	}
	starts[0] = min(starts[0], first)
	starts = b.namesAgain(g, r, starts, last)
	starts = b.bandsAgain(h, g, starts)
	var out []*table
	for i, s := range starts {
		t := &table{g: g, head: r, h1: r, h2: r, c1: s, c2: last}
		if i+1 < len(starts) {
			t.c2 = starts[i+1] - 1
		}
		for t.c2 > t.c1 && g.over(r, t.c2) == nil && g.over(r+1, t.c2) == nil {
			t.c2--
		}
		b.trimBeside(t, h)
		for _, c := range h.names {
			if k := g.colOf(c); k >= t.c1 && k <= t.c2 && t.name == 0 && !b.mostlyHeadings(t, k) {
				t.name = k
			}
		}
		if t.name == 0 {
			t.name = b.findNames(t, h)
		}
		if t.name == 0 {
			continue
		}
		t.c1 = min(t.c1, t.name)
		b.headingRows(t)
		b.readColumns(t, h)
		out = append(out, t)
	}
	return out
}

// namesAgain adds the columns in which the names of horses the book knows stand
// again, with nothing over them: there another table begins.
func (b *book) namesAgain(g grid, r int, starts []int, last int) []int {
	out := slices.Clone(starts)
	for c := starts[0] + 1; c < last; c++ {
		if slices.Contains(starts, c) || g.at(r, c) != nil || g.at(r, c-1) != nil && g.over(r+2, c-1) == nil {
			continue
		}
		if x := g.at(r+1, c); x != nil && b.labelOf(x).has("name") && b.labelOf(x).full() && !b.known[foldName(x.Text)] {
			continue // it has a heading of its own, a row lower
		}
		n, known, gap := 0, 0, 0
		for q := r + 1; q < r+60 && gap < 3; q++ {
			x := g.at(q, c)
			if x == nil {
				gap++
				continue
			}
			gap, n = 0, n+1
			if b.known[foldName(x.Text)] {
				known++
			}
		}
		if known >= 3 && known*10 >= n*7 && b.namesLeftOf(g, r, c) {
			out = append(out, c)
		}
	}
	slices.Sort(out)
	return out
}

// bandsAgain adds the columns behind an empty one from which the same headings stand
// again: there another band of horses begins, with its names over the empty corner.
func (b *book) bandsAgain(h headRow, g grid, starts []int) []int {
	if len(h.names) > 0 {
		return starts
	}
	var heads []*Cell
	for _, c := range h.cells {
		if h.heads[c] {
			heads = append(heads, c)
		}
	}
	out := slices.Clone(starts)
	for i, first := range heads {
		for j := i + 3; j+2 < len(heads); j++ {
			at := g.colOf(heads[j])
			if same := heads[j].Text == first.Text && heads[j+1].Text == heads[i+1].Text && heads[j+2].Text == heads[i+2].Text; !same || g.over(g.rowOf(first), at-1) != nil || b.labelOf(first).day >= 0 {
				continue
			}
			if !slices.Contains(out, at-1) {
				out = append(out, at-1)
			}
		}
	}
	slices.Sort(out)
	return out
}

// namesLeftOf says whether names the book knows stand in a column further left too.
func (b *book) namesLeftOf(g grid, r, c int) bool {
	for k := 1; k < c-1; k++ {
		if b.knownBelow(g, r, k) {
			return true
		}
	}
	return false
}

// trimBeside takes off what stands beside a table behind an empty column and
// is none of its headings: legends, prices.
func (b *book) trimBeside(t *table, h headRow) {
	g := t.g
	for c := t.c1 + 2; c <= t.c2; c++ {
		if g.over(t.head, c) == nil || g.over(t.head, c-1) != nil || g.over(t.head+1, c-1) != nil {
			continue
		}
		x := g.at(t.head, c)
		if b.pricesFrom(t, c) {
			t.c2 = c - 2
			return
		}
		rest := 0
		for k := c; k <= t.c2; k++ {
			if y := g.at(t.head, k); y != nil && h.heads[y] && !b.labelOf(y).has("price") {
				rest++
			}
		}
		if x != nil && (!h.heads[x] || rest == 0) {
			t.c2 = c - 2
			return
		}
	}
	if len(h.names) == 0 {
		return
	}
	for c := max(t.c1, g.colOf(h.names[0])) + 1; c < t.c2; c++ {
		if b.gapBefore(g, t.head, c) && b.namesHeadedIn(g, t.head, c+1, c+3) {
			t.c2 = c - 1
			return
		}
	}
}

// gapBefore says whether a column is empty about a row of headings.
func (b *book) gapBefore(g grid, r, c int) bool {
	for q := max(1, r-1); q < r+6; q++ {
		if g.over(q, c) != nil {
			return false
		}
	}
	return true
}

// namesHeadedIn says whether a heading over names stands between two columns, a row or
// a few above or below another row of headings.
func (b *book) namesHeadedIn(g grid, r, c1, c2 int) bool {
	for q := max(1, r-3); q <= r+3; q++ {
		for c := c1; c <= c2; c++ {
			x := g.at(q, c)
			if x == nil || !b.isHeading(x) {
				continue
			}
			if l := b.labelOf(x); l.full() && l.has("name") && len(l.feeds) == 0 && l.unit == "" {
				return true // and no "pony nuts"
			}
		}
	}
	return false
}

// beside is the first column of a table whose names are headed in one column, where
// another table with names of its own stands left of it behind an empty column.
func (b *book) beside(g grid, r, name, first int) int {
	for c := name - 1; c > first; c-- {
		if b.gapBefore(g, r, c) {
			if b.namesHeadedIn(g, r, first, c-1) {
				return c + 1
			}
			return first
		}
	}
	return first
}

// pricesFrom says whether a list of prices begins at a column behind an empty one: its
// headings stand over it or, where the table is turned, over its first two columns.
func (b *book) pricesFrom(t *table, c int) bool {
	for r := t.head; r <= t.head+2; r++ {
		for k := c; k <= min(c+1, t.c2); k++ {
			if y := t.g.at(r, k); y != nil && b.labelOf(y).has("price", "pack") {
				return true
			}
		}
	}
	return false
}

// findNames looks for the column of names of a table without a heading for them.
func (b *book) findNames(t *table, h headRow) int {
	g := t.g
	// The names stand before the longest run of headings, or in front of it behind
	// a box, an owner.
	firstHead, longest := t.c2, 0
	for c := t.c1; c <= t.c2; c++ {
		x := g.at(t.head, c)
		if x == nil || !h.heads[x] {
			continue
		}
		n, k := 0, c
		for ; k <= t.c2; k++ {
			if y := g.over(t.head, k); y == nil || !h.heads[y] {
				break
			}
			n++
		}
		if n > longest {
			firstHead, longest = c, n
			for firstHead < k-1 {
				if l := b.labelOf(g.over(t.head, firstHead)); l.has("box", "owner", "height", "tel", "weight", "tape", "scale") {
					firstHead++
					continue
				}
				break
			}
		}
		c = k
	}
	best, most := 0, 0.0
	for c := max(1, t.c1-2, firstHead-8); c <= b.dayColumn(t, h, firstHead); c++ {
		x := g.at(t.head, c)
		if x != nil && b.labelOf(x).full() && !b.labelOf(x).has("dayhead", "box", "week") {
			continue // it says what it is, and that is not names
		}
		n, like, may := 0, 0.0, 0.0
		seen := map[string]bool{}
		known, gap := 0, 0
		for r := t.head + 1; r < t.head+400 && gap < 3; r++ {
			y := g.at(r, c)
			if y == nil || g.fate[y] != nil && g.fate[y].what == "legend" {
				if gap++; n >= 3 && may >= float64(n)*0.9 && like >= float64(n)*0.6 {
					break // what stands behind a gap is something else
				}
				continue
			}
			gap = 0
			n++
			if b.nameLike(y) {
				like++
				if b.known[foldName(y.Text)] {
					known++
				}
			} else if !b.mayBeName(y) {
				continue
			}
			may++
			seen[foldName(y.Text)] = true
		}
		if n < 1 || n == 1 && known == 0 || x != nil && hasDigit(x.Text) && !b.labelOf(x).has("week", "box") || like < float64(n)*0.4 || may < float64(n)*0.6 || float64(len(seen)) < may*0.7 && known == 0 {
			continue
		}
		score := like/float64(n) + float64(known)/float64(n)*3
		if x == nil {
			score += 0.3
		}
		if score > most {
			best, most = c, score
		}
	}
	return best
}

// dayColumn is the column of the first day in an unbroken run of headings, if what stands
// before it is the title, the week or a word over the names; else where the run begins.
func (b *book) dayColumn(t *table, h headRow, from int) int {
	for c := from; c <= t.c2; c++ {
		x := t.g.over(t.head, c)
		if x == nil || !h.heads[x] {
			return from
		}
		if l := b.labelOf(x); l.day >= 0 && !l.has("week") {
			return c
		} else if !l.has("week", "work", "dayhead") {
			return from
		}
	}
	return from
}

// nameLike says whether a text could be a horse's name: words, no figures, and
// nothing else that is known.
func (b *book) nameLike(c *Cell) bool {
	if c == nil || c.Kind != Text || len(c.Text) > 40 || dash(c.Text) || ditto(c.Text) {
		return false
	}
	if b.known[foldName(c.Text)] {
		return true
	}
	if hs := b.horsesIn(c.Text); len(hs) > 1 {
		return true // a team
	}
	letters, digits := 0, 0
	for _, r := range c.Text {
		if unicode.IsLetter(r) {
			letters++
		}
		if unicode.IsDigit(r) {
			digits++
		}
	}
	if letters < 2 || digits > 0 || strings.ContainsAny(c.Text, "=:;½¼¾") {
		return false
	}
	if l := b.labelOf(c); l.full() {
		return false
	}
	return len(strings.Fields(c.Text)) <= 5
}

// mayBeName says whether a text could be a horse's name where it stands like
// one: horses are called Barley and Monday too.
func (b *book) mayBeName(c *Cell) bool {
	if b.nameLike(c) {
		return true
	}
	if c == nil || c.Kind != Text || hasDigit(c.Text) || len(c.Text) > 30 {
		return false
	}
	l := b.labelOf(c)
	return l.full() && len(l.order) == 0 && l.unit == "" && len(l.dates) == 0
}

func foldName(s string) string {
	return strings.Join(strings.Fields(strings.ToLower(unaccent.Replace(strings.Trim(s, "\"' .")))), " ")
}

// headingRows adds to the row of the headings the one above and the one below
// that belong to it.
func (b *book) headingRows(t *table) {
	g := t.g
	// Below: nothing under the names, and only under headings that are over several.
	r := t.head + 1
	nameFree := g.at(r, t.name) == nil
	if m, ok := g.joined(t.head, t.name); ok && m.Row2 >= r {
		nameFree = true
	} else if m, ok := g.joined(r, t.name); ok && m.Col1 < t.name && m.Col2 > t.name {
		nameFree = false // a line across the names: "TOP YARD"
	}
	if nameFree {
		any, ok := false, true
		for c := t.c1; c <= t.c2+3; c++ {
			y := g.at(r, c)
			if y == nil || g.fate[y] != nil && g.fate[y].what != "title" {
				continue
			}
			if c > t.c2 {
				// A heading over several, the last of which have none of their own above.
				if over := g.over(t.head, c); over == nil && any && (g.at(r, c-1) != nil) && b.isHeading(y) {
					t.c2 = c
					continue
				}
				break
			}
			if m, wide := g.joined(r, c); wide && m.Col1 <= t.name && m.Col2 >= t.name {
				ok = false // over a group of horses
			}
			over := g.at(t.head, c)
			if over != nil {
				_, wide := g.joined(t.head, c)
				if m, _ := g.joined(t.head, c); wide && m.Row2 > t.head {
					ok = false
				}
				if !wide && g.at(t.head, c+1) != nil && c+1 <= t.c2 && !b.isHeading(y) {
					ok = false
				}
				if !wide && y.Kind == Number {
					ok = false
				}
			}
			any = true
		}
		if any && ok {
			t.h2 = r
			b.thirdRow(t)
		}
	}
	// Above: nothing over the names but a joined heading, words that are headings.
	r = t.head - 1
	if r >= 1 {
		any, ok := false, true
		for c := t.c1; c <= t.c2; c++ {
			y := g.at(r, c)
			if y == nil {
				continue
			}
			l := b.labelOf(y)
			m, wide := g.joined(r, c)
			switch {
			case len(g.row(r)) == 1 && !wide && c <= t.name, c == t.name && !(wide && m.Row2 >= t.head), l.has("week") && !l.has("now", "plan", "feed"), len(y.Text) > 60, y.Kind == Number:
				ok = false
			case !l.some() && !(wide && m.Col2 > m.Col1):
				ok = false
			case wide && m.Col1 <= t.c1 && m.Col2 >= t.c2:
				ok = false
			}
			if f := g.fate[y]; f != nil && f.what != "title" {
				ok = false
			}
			any = true
		}
		if any && ok {
			t.h1 = r
		}
	}
}

// thirdRow adds one more row of headings below two: nothing in it but headings, and
// nothing under the names.
func (b *book) thirdRow(t *table) {
	g, r := t.g, t.h2+1
	if g.at(r, t.name) != nil || g.at(r+1, t.name) == nil {
		return
	}
	h := b.headRow(g, r)
	n := 0
	for _, c := range h.cells {
		if k := g.colOf(c); k < t.c1 || k > t.c2+3 {
			continue
		}
		if !h.heads[c] {
			return
		}
		n++
	}
	if n < 3 {
		return
	}
	t.h2 = r
	for g.at(r, t.c2+1) != nil && g.over(t.head, t.c2+1) == nil {
		t.c2++
	}
}

// readColumns puts together what stands over each column.
func (b *book) readColumns(t *table, h headRow) {
	g := t.g
	letters := b.lettersOver(t, h)
	for c := t.c1; c <= t.c2; c++ {
		k := &column{at: c, day: -1}
		var says []*label
		for r := t.h1; r <= t.h2; r++ {
			y := g.over(r, c)
			group := false
			if y == nil && r < t.h2 {
				// A heading over several that is not joined: the nearest to the left
				// with nothing of its own below it that stands alone.
				if below := g.at(t.h2, c); below != nil || r == t.h1 && t.head > t.h1 && g.at(t.head, c) != nil {
					for x := c - 1; x >= t.c1; x-- {
						if o := g.at(r, x); o != nil {
							if mm, ok := g.joined(r, x); ok && (mm.Col2 < c || mm.Row2 > r) {
								break
							}
							if x == t.name && g.at(r+1, x) == nil {
								break
							}
							y, group = o, true
							break
						}
					}
					if group && b.standsAlone(g, t, c) {
						y, group = nil, false
					}
				}
			}
			if y == nil || len(k.cells) > 0 && k.cells[len(k.cells)-1] == y {
				continue
			}
			if m, ok := g.joined(r, c); ok && m.Col2 > m.Col1 {
				group = true
			}
			if group {
				k.group = y
			}
			k.cells = append(k.cells, y)
			if l := letters[placeOfDay{r, c}]; l != nil {
				says = append(says, l)
			} else {
				says = append(says, b.labelOf(y))
			}
		}
		if n := len(k.cells); n > 0 {
			k.own = k.cells[n-1]
		}
		k.lab = joinLabels(says)
		t.cols = append(t.cols, k)
	}
}

// standsAlone says whether a column's own heading needs none over it.
func (b *book) standsAlone(g grid, t *table, c int) bool {
	for r := t.h2; r >= t.h1; r-- {
		if y := g.at(r, c); y != nil {
			l := b.labelOf(y)
			return l.has("name", "weight", "notes", "health", "hay", "height", "owner", "box", "tel", "total", "percent", "done") && l.unit == "" || l.has("weight", "tape", "scale", "hay", "notes", "health")
		}
	}
	return false
}

// joinLabels puts the headings over a column together; the lowest comes first
// where they differ.
func joinLabels(says []*label) *label {
	out := &label{keys: map[string]bool{}, day: -1}
	for i := len(says) - 1; i >= 0; i-- {
		l := says[i]
		for _, k := range l.order {
			out.add(k)
		}
		if out.day < 0 {
			out.day = l.day
		}
		if len(out.dates) == 0 || out.day < 0 {
			out.dates = append(out.dates, l.dates...)
		}
		if out.unit == "" {
			out.unit = l.unit
		}
		out.feeds = append(out.feeds, l.feeds...)
		if out.hint == "" {
			out.hint = l.hint
		}
		if out.clock == "" {
			out.clock = l.clock
		}
		if i == len(says)-1 {
			out.rest, out.nums, out.ones = l.rest, l.nums, l.ones
		}
		out.used += l.used
	}
	return out
}

// endOf finds where a table ends.
func (b *book) endOf(t *table, rows []int) {
	g := t.g
	t.end = t.h2 + 1
	at, ok := slices.BinarySearch(rows, t.h2+1)
	_ = ok
	blank, last := 0, t.h2
	for _, r := range rows[at:] {
		n, others := 0, 0
		var only *Cell
		cells := g.row(r)
		if b.look(len(cells)) {
			return
		}
		for _, c := range cells {
			if k := g.colOf(c); k >= t.c1 && k <= t.c2 && g.free(c) {
				n++
				only = c
				if k != t.name {
					others++
				}
			}
		}
		if n == 0 {
			continue
		}
		blank = r - last - 1
		if blank > 2 {
			break
		}
		if m, wide := g.joined(r, g.colOf(only)); blank > 0 && n == 1 && wide && m.Col2 > m.Col1+2 && (b.nameLike(only) || b.kindsOfHorses(only)) {
			continue // a heading over a group of horses
		}
		if x := g.at(r, t.name); n == 1 && x != nil && b.lang.emptyStable(x.Text) {
			last = r // the list may go on
			continue
		}
		if blank > 0 && n == 1 {
			// Alone behind a gap: a horse only if the book knows it as one.
			if g.colOf(only) != t.name || !b.known[foldName(only.Text)] {
				break
			}
		}
		if blank > 0 && g.over(r, t.name) == nil {
			break
		}
		if x := g.at(r, t.name); blank > 0 && n <= 2 && x != nil && b.isHeading(x) && (!b.known[foldName(x.Text)] || len(b.labelOf(x).order) > 0) {
			break
		}
		if n >= 2 && r > t.h2 {
			h := b.headRow(g, r).within(g, t.c1, t.c2)
			if len(h.heads) >= 2 && len(h.heads)*2 > len(h.cells) && (len(h.names) > 0 || len(h.heads) >= 4 && g.at(r, t.name) == nil) && !b.sameHeadings([]*table{{g: g, head: t.head, h1: t.h1, h2: t.h2, end: 1 << 30}}, g, h, r) && (len(h.names) > 0 || !likeItsNeighbour(g, h, r)) {
				break
			}
		}
		last = r
		t.end = r + 1
	}
}

// kindsOfHorses says whether a text is a word for horses and nothing else: "PONIES".
func (b *book) kindsOfHorses(c *Cell) bool {
	l := b.labelOf(c)
	return l.full() && l.has("name") && len(l.order) == 1 && len(l.feeds) == 0
}

// fraction says whether what reads as a date is as likely a part of one.
func fraction(d date) bool {
	return d.y == 0 && d.a > 0 && d.a < d.b && (d.b == 2 || d.b == 3 || d.b == 4 || d.b == 8)
}

// mostlyHeadings says whether what stands in a column is words of a form rather
// than names: days, meals.
func (b *book) mostlyHeadings(t *table, c int) bool {
	n, heads, gap := 0, 0, 0
	for r := t.head + 1; r < t.head+60 && gap < 3 && !b.look(1); r++ {
		gap++
		if x := t.g.at(r, c); x != nil && t.g.fate[x] == nil {
			gap = 0
			if b.notAHorse(x.Text) != "" {
				continue // a total, a telephone number: of a list of horses as of a form
			}
			n++
			if l := b.labelOf(x); b.isHeading(x) && l.full() && (len(l.order) > 0 || l.day >= 0 || len(l.dates) > 0) {
				heads++
			}
		}
	}
	return n > 2 && heads*10 >= n*6
}

// knownBelow says whether names the book knows stand in a column below a row: then
// two headings beside them are enough.
func (b *book) knownBelow(g grid, r, c int) bool {
	known := 0
	for q := r + 1; q < r+12; q++ {
		if x := g.at(q, c); x != nil && b.known[foldName(x.Text)] {
			known++
		}
	}
	return known >= 3
}
