package board

import (
	"time"
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
	ofWeek       *label // of the title over it that says whether its feed is of last week, this or next; nil: none
	unit         string // all amounts in it are in
	feed         string // all amounts in it are of
	horses       []*horse
	dayOver      *Cell        // says which day all of it is of: "MONDAY"; nil: nothing does
	day          int          // that it says; Monday 0
	listed       []listedWeek // weeks of a list with a line for each horse and day
}

// column is a column of a table with all headings over it.
type column struct {
	at             int
	own            *Cell // its own heading; nil: none
	cells          []*Cell
	lab            *label // of all headings over it
	span           []date // of the heading it shares: the week it is in
	role           role
	why            string // it has that role, for whoever asks
	day            int    // Monday 0; -1: none
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

// tableFinder finds where the tables are, and what is over their columns: by their headings,
// and by the names below or beside these.
type tableFinder struct {
	words  *vocabulary
	lang   *language
	heads  *headings
	who    *names
	effort *effort
}

// tablesOn finds the tables of a sheet in one of its two views.
func (tf *tableFinder) tablesOn(g grid) []*table {
	var out []*table
	rows := g.sortedRows()
	taken := map[int]int{} // column -> row behind the table over it
	for _, r := range rows {
		h := tf.heads.headRow(g, r)
		if tf.effort.look(len(out) / tableLooks) {
			return nil
		}
		if len(h.heads) < 2 && len(h.names) == 0 {
			continue
		}
		// Headings that lie in a table found before are its own, said again.
		if len(h.names) == 0 {
			if insideAny(out, g, h, r) || likeItsNeighbour(g, h, r) {
				continue
			}
			few := len(h.heads) == 2 && h.kinds == 2 && len(h.cells) == 2 && tf.who.knownBelow(g, r, g.colOf(h.cells[0])-1) && !saidAgain(g, h.cells)
			if !few && (len(h.heads) < 3 || len(h.heads)*2 < len(h.cells) || h.kinds < 3) {
				continue
			}
		} else if len(h.heads) < 2 || len(h.heads)*3 < len(h.cells) {
			continue
		}
		if sameHeadings(out, g, h, r) {
			continue
		}
		for _, t := range tf.segments(g, h, r) {
			if taken[t.c1] > t.h1 && t.name == 0 {
				continue
			}
			tf.endOf(t, rows)
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

// insideAny says whether headings without a column of names lie among the rows
// of a table.
func insideAny(ts []*table, g grid, h headRow, r int) bool {
	for _, t := range ts {
		if r > t.h1 && r <= t.h2 || r > t.h2 && r < t.end && g.over(r, t.name) != nil && g.colOf(h.cells[0]) >= t.c1 {
			return true
		}
	}
	return false
}

// sameHeadings says whether a row repeats the headings of a table above it.
func sameHeadings(ts []*table, g grid, h headRow, r int) bool {
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

// readColumns puts together what is over each column.
func (tf *tableFinder) readColumns(t *table, h headRow) {
	g := t.g
	letters := tf.heads.lettersOver(t, h)
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
					if group && tf.standsAlone(g, t, c) {
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
				says = append(says, tf.words.labelOf(y))
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
func (tf *tableFinder) standsAlone(g grid, t *table, c int) bool {
	for r := t.h2; r >= t.h1; r-- {
		if y := g.at(r, c); y != nil {
			l := tf.words.labelOf(y)
			return l.has("name", "weight", "notes", "health", "hay", "height", "owner", "box", "tel", "total", "percent", "done") && l.unit == "" || l.has("weight", "tape", "scale", "hay", "notes", "health")
		}
	}
	return false
}

// joinLabels puts the headings over a column together; the lowest comes first
// where they differ.
func joinLabels(says []*label) *label {
	out := &label{day: -1}
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
