package board

import (
	"strings"
)

// titleReader reads what titles, tabs and lines say of all of a sheet or of a table.
type titleReader struct {
	words  *vocabulary
	sheets []*sheetData
	tables []*table
}

// settleSheets says of each sheet and table what its title says of all of it.
func (ti *titleReader) settleSheets() {
	for _, s := range ti.sheets {
		l := ti.words.read(tabWords(s.Name))
		s.when = whenOf(l, false, false)
		if l.has("lastweek", "nextweek", "thisweek") {
			s.when = unsaid // which week it is says more
		}
		if s.unit == "" && l.unit != "" && len(l.dates) == 0 {
			s.unit = l.unit
		}
	}
	for _, t := range ti.tables {
		ti.titleOf(t)
	}
	for _, s := range ti.sheets {
		ti.feedWeeks(s)
		ti.numbersOfWork(s)
	}
}

// numbersOfWork takes what a line that stands alone on a sheet says its numbers
// are: "minutes in the saddle", "work in hours".
func (ti *titleReader) numbersOfWork(s *sheetData) {
	for i := range s.Sheet.Cells {
		c := &s.Sheet.Cells[i]
		// Close below the last horse it looks like a heading over more of them.
		if s.bareWork != "" || c.Kind != Text || !c.free() && c.fate.why != overAGroup || len(c.Text) > 60 || hasDigit(c.Text) || len(s.inRow(c.Row)) > 1 && ti.inATable(s, c) {
			continue
		}
		l := ti.words.readCell(c)
		if !l.has("work", "dayhead") && !(l.full() && len(l.order) == 1) {
			continue
		}
		if s.bareWork = unitOfWork(l); s.bareWork != "" {
			s.remark(c, "legend", "")
		}
	}
	if l := ti.words.read(s.Name); s.bareWork == "" && l.has("work") { // "Exercise (mins)"
		s.bareWork = unitOfWork(l)
	}
}

// inATable says whether a cell lies among the rows and columns of a table.
func (ti *titleReader) inATable(s *sheetData, c *Cell) bool {
	for _, t := range ti.tables {
		if t.g.page != s {
			continue
		}
		if r, k := t.g.rowOf(c), t.g.colOf(c); r >= t.h1 && r < t.end && k >= t.c1 && k <= t.c2 {
			return true
		}
	}
	return false
}

// overAGroup is why a name alone in its row is not a horse.
const overAGroup = "a heading over a group"

// titleOf takes what the lines over a table say of all of it: the unit and the
// feed of its amounts, whether they are fed now or planned, what its numbers are.
func (ti *titleReader) titleOf(t *table) {
	s := t.g.page
	top, c1, c2 := t.h1, t.c1, t.c2
	if t.g.turned {
		top, c1, c2 = t.name, 1, s.lastCol
	}
	for r := top - 1; r >= max(1, top-5); r-- {
		for _, c := range s.inRow(r) {
			if m, ok := s.under[[2]int{r, c.Col}]; c.Kind != Text || c.Col > c2 || c.Col < c1-1 && !(ok && m.Col2 >= c1) {
				continue
			}
			if c.fate.what == "used" || c.fate.what == "name" {
				return
			}
			text := c.Text
			if c.fate.what == "legend" && hasDigit(text) {
				// "mix 1.15 kg a scoop" says nothing of what the amounts are in; "all in
				// litres (1 litre = 0.65 kg)" does.
				before, _, ok := strings.Cut(text, "(")
				if !ok || hasDigit(before) {
					continue
				}
				text = strings.TrimSpace(before)
			}
			ti.sayTable(t, c, text)
		}
	}
}

// feedWeeks tells the feed of one week from that of the next where two tables about one
// page say it in their titles alone: "Feeds – last week" over one, "Feeds – this week" over
// the other. One such title says nothing: it may be of the work too.
func (ti *titleReader) feedWeeks(s *sheetData) {
	var of [3]bool // last, this, next
	var fed []*table
	for _, t := range ti.tables {
		if t.g.page != s || t.ofWeek == nil || !t.holds(feedRole) || t.holds(workRole) {
			continue
		}
		fed = append(fed, t)
		of[t.ofWeek.relative()+1] = true
	}
	if of[0] != of[1] || of[1] != of[2] {
		for _, t := range fed {
			if t.when == unsaid {
				t.when = whenOf(t.ofWeek, of[0], of[2])
			}
		}
	}
}

// sayTable takes over what one line over a table, or the text that counts of it, says, where no line nearer has.
func (ti *titleReader) sayTable(t *table, c *Cell, text string) {
	s, l := t.g.page, ti.words.read(text)
	if t.ofWeek == nil && len(c.Text) < 60 && l.has("feed") && l.relative() != noRel && len(l.dates) == 0 {
		t.ofWeek = l
	}
	if t.when == unsaid && len(c.Text) < 60 && (l.has("feed") || l.some()) && !l.has("week", "lastweek", "thisweek", "nextweek") {
		t.when = whenOf(l, false, false)
	}
	if t.unit == "" && s.unit == "" && l.unit != "" && len(c.Text) < 90 && (l.has("feed") || l.used > len(l.rest)) && !strings.Contains(text, "=") {
		t.unit = l.unit
	}
	if t.feed == "" && l.unit != "" && len(l.feeds) == 1 && len(c.Text) < 90 && !hasDigit(c.Text) {
		t.feed = l.feeds[0]
	}
	if s.bareWork == "" && l.has("work") {
		s.bareWork = unitOfWork(l)
	}
}
