package board

import (
	"slices"
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
	weighed      string       // by what, where its tab or the heading over its names says it
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
	weekDate       date
	week           *weekOf // it stands for; nil: for none
	groupNo, shift int     // which group of days it is of, and how many weeks off
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

// placeRow is the sheet's row a table begins in.
func (t *table) placeRow() int {
	if t.g.turned {
		return 0
	}
	return t.h1
}

// holds says whether a column of a table has a role.
func (t *table) holds(r role) bool {
	return slices.ContainsFunc(t.cols, func(k *column) bool { return k.role == r })
}

// freeCells are the cells of a row nothing has been made of yet.
func (t *table) freeCells(r int) []*Cell {
	var out []*Cell
	for c := t.c1; c <= t.c2; c++ {
		if x := t.g.at(r, c); x != nil && x.free() {
			out = append(out, x)
		}
	}
	return out
}

// markAll says what became of cells.
func (t *table) markAll(cells []*Cell, what, why string) {
	for _, x := range cells {
		t.g.page.mark(x, what, why)
	}
}

// rowOfTable is what of a row lies in a table.
type rowOfTable struct {
	at    int
	n     int   // cells that nothing has been made of
	only  *Cell // the last of them
	blank int   // rows left blank before it
}

// rowOf is a row below a table's last.
func (t *table) rowOf(r, last int) rowOfTable {
	x := rowOfTable{at: r, blank: r - last - 1}
	for _, c := range t.g.row(r) {
		if k := t.g.colOf(c); k >= t.c1 && k <= t.c2 && c.free() {
			x.n++
			x.only = c
		}
	}
	return x
}

// twoWeeks says whether the days of a table are of more than one week: then those of the
// last are of a week of their own too, whether or not anything says which.
func (t *table) twoWeeks() bool {
	return slices.ContainsFunc(t.cols, func(k *column) bool { return k.shift != 0 })
}
