package board

import (
	"slices"
	"strings"
)

// headings tells what reads as a heading.
type headings struct {
	words  *vocabulary
	lang   *language
	effort *effort
	dates  map[*Cell]bool // cells in a row of dates
}

// isHeading says whether a cell reads as a heading.
func (hs *headings) isHeading(c *Cell) bool {
	return c != nil && c.heading.is(func() bool { return hs.asHeading(c) })
}

func (hs *headings) asHeading(c *Cell) bool {
	if c.Kind != Text && c.Kind != Date && c.Kind != Clock {
		return false
	}
	l := hs.words.labelOf(c)
	if c.Kind == Text && hs.saysOfItsRow(c, l) {
		return false
	}
	if l.full() {
		if len(strings.TrimSpace(c.Text)) < 2 && c.Kind == Text && len(l.order) == 0 && l.unit != "" {
			return false // an L is a lesson more often than litres
		}
		return len(l.order) != 1 || !l.has("small")
	}
	return clockHeading(c.Text) || c.Kind == Text && hs.mostlyHeading(c, l)
}

// saysOfItsRow says whether a text is an amount, a day's work or a word for one, for all
// that it has words of headings in it; or nothing was made of it.
func (hs *headings) saysOfItsRow(c *Cell, l *label) bool {
	switch {
	case l.used == 0 && l.day < 0 && len(l.dates) == 0 && !clockHeading(c.Text):
		return true // nothing was made of it
	case strings.ContainsAny(c.Text, "½¼¾⅓⅔"), l.day < 0 && hs.lang.saysSame(c.Text):
		return true
	case l.unit != "" && len(l.rest) > 0 && hs.lang.counted(c.Text):
		return true // "half scoop cool mix"
	case l.day >= 0 && len(l.dates) == 0 && l.has("small") && hs.lang.refers(c.Text):
		return true // "as Mon"
	case len(l.dates) > 0 && l.day < 0 && !hs.dates[c] && fraction(l.dates[0]):
		// A half and no 1 February.
		return (l.used <= 2 || l.unit != "" || len(l.feeds) > 0) && !l.has("now", "plan", "week")
	}
	return false
}

// mostlyHeading says whether a text of which a part was understood is a heading all the same.
func (hs *headings) mostlyHeading(c *Cell, l *label) bool {
	if l.used == 0 || l.nums > 0 || len(c.Text) > 40 || strings.ContainsAny(strings.TrimSuffix(strings.TrimSpace(c.Text), ":"), ",=:;") {
		return false
	}
	if len(l.dates) > 0 && l.day < 0 && !l.has("now", "plan", "weight", "lastweek", "thisweek", "nextweek") || l.day >= 0 && len(l.dates) == 0 {
		return false
	}
	if len(hs.lang.ills(c.Text)) > 0 {
		return false // "ulcers – on treatment"
	}
	known := l.has("now", "plan", "lastweek", "thisweek", "nextweek", "feed", "work") || l.unit != ""
	return l.used > len(l.rest) || known && l.used >= len(l.rest)
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

func (hs *headings) headRow(g grid, r int) headRow {
	h := headRow{cells: g.row(r)}
	if slices.ContainsFunc(h.cells, (*Cell).taken) {
		h.cells = slices.DeleteFunc(slices.Clone(h.cells), (*Cell).taken)
	}
	if hs.effort.look(2 * len(h.cells)) {
		return headRow{}
	}
	h.letters = hs.words.letterColumns(h.cells, g)
	seen := map[string]bool{}
	for _, c := range h.cells {
		_, letter := h.letters[g.colOf(c)]
		if !letter && !hs.isHeading(c) {
			continue
		}
		if h.heads == nil {
			h.heads = map[*Cell]bool{}
		}
		h.heads[c] = true
		l := hs.words.labelOf(c)
		if letter || l.day >= 0 || len(l.dates) > 0 && !l.has("now", "plan", "weight") {
			h.days++
		}
		if l.headsNames() && !letter {
			h.names = append(h.names, c)
		}
		if letter || l.day >= 0 || len(l.dates) > 0 {
			h.kinds++ // each is another day
		} else {
			seen[hs.subject(c, l)] = true
		}
	}
	h.kinds += len(seen)
	return h
}

// subject is what a heading is about, to tell whether two are about the same.
func (hs *headings) subject(c *Cell, l *label) string {
	about := func() string {
		if clockHeading(c.Text) {
			return "at " + c.Text + l.unit + strings.Join(l.feeds, " ")
		}
		return strings.Join(l.order, " ") + l.unit + strings.Join(l.feeds, " ")
	}
	if c.Kind != Text {
		return about()
	}
	r := hs.words.memo.at(c)
	if r.subject == "" {
		r.subject = about()
	}
	return r.subject
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
	for _, x := range g.column(c) {
		if x.Text != cells[0].Text {
			continue
		}
		again++
		if y := g.at(g.rowOf(x), d); y != nil && y.Text == cells[1].Text {
			alike++
		}
	}
	return again > 2 && alike*2 < again
}

// kindsOfHorses says whether a text is a word for horses and nothing else: "PONIES".
func (v *vocabulary) kindsOfHorses(c *Cell) bool {
	l := v.labelOf(c)
	return l.full() && l.has("name") && len(l.order) == 1 && len(l.feeds) == 0
}

// headsNames says whether a heading is one over names: "Pony", and not "pony nuts".
func (l *label) headsNames() bool {
	return l.has("name") && l.full() && len(l.feeds) == 0 && l.unit == ""
}
