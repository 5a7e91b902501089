package board

import (
	"slices"
)

// tableFinder finds where the tables are, and what is over their columns: by their headings,
// and by the names below or beside these.
type tableFinder struct {
	words  *vocabulary
	lang   *language
	heads  *headings
	who    *names
	effort *effort
}

// tablesOfSheet looks at a sheet both ways and takes the better.
func (tf *tableFinder) tablesOfSheet(s *sheetData) []*table {
	upright, turned := grid{s, false}, grid{s, true}
	up := tf.tablesOn(upright)
	if tf.strongNames(up) {
		return up
	}
	across := tf.tablesOn(turned)
	across = slices.DeleteFunc(across, func(t *table) bool { return !tf.acrossNames(t) })
	if tf.countHeadings(across) > tf.countHeadings(up) {
		return across
	}
	return up
}

// strongNames says whether a table has a heading over its names and more than
// one more.
func (tf *tableFinder) strongNames(ts []*table) bool {
	for _, t := range ts {
		if c := t.g.at(t.head, t.name); c != nil && tf.words.labelOf(c).has("name") {
			n := len(tf.heads.headRow(t.g, t.head).within(t.g, t.c1, t.c2).heads)
			if n >= 3 || n >= 2 && t.h2 > t.h1 {
				return true
			}
		}
	}
	return false
}

// countHeadings counts the columns of tables with a heading over them.
func (tf *tableFinder) countHeadings(ts []*table) int {
	n := 0
	for _, t := range ts {
		heads := tf.heads.headRow(t.g, t.head).heads // the letters of a week are headings in their row alone
		for k := t.c1; k <= t.c2; k++ {
			if x := t.g.over(t.head, k); x != nil && (heads[x] || tf.heads.isHeading(x)) {
				n++
			}
		}
	}
	return n
}

// acrossNames says whether what would be the horses of a turned table are names.
func (tf *tableFinder) acrossNames(t *table) bool {
	n, like, may, work := 0, 0, 0, 0
	seen := map[string]bool{}
	for r := t.h2 + 1; r < t.end; r++ {
		c := t.g.at(r, t.name)
		if c == nil {
			continue
		}
		n++
		if tf.who.nameLike(c) {
			like++
		}
		if tf.who.mayBeName(c) || isWhole(c) || tf.words.labelOf(c).full() && tf.words.labelOf(c).day < 0 {
			may++ // beside names, a number or a word for something else is one too
		}
		if !tf.who.knows(c) && tf.lang.isWork(c.Text) {
			work++
		}
		seen[tf.words.nameOf(c)] = true
	}
	if work*2 >= n && n > 0 || len(seen)*10 < n*7 {
		return false // what is done, not who does it
	}
	return like*10 >= n*4 && may*10 >= n*7 && (n > 1 || n == 1 && tf.who.known[foldName(t.g.at(t.h2+1, t.name).shown())])
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
		alone := tf.headsAlone(g, h, r) && !insideAny(out, g, h, r)
		if len(h.heads) < 2 && len(h.names) == 0 && !alone {
			continue
		}
		// Headings that lie in a table found before are its own, said again.
		if len(h.names) == 0 {
			if insideAny(out, g, h, r) || likeItsNeighbour(g, h, r) {
				continue
			}
			few := len(h.heads) == 2 && h.kinds == 2 && len(h.cells) == 2 && tf.who.knownBelow(g, r, g.colOf(h.cells[0])-1) && !saidAgain(g, h.cells)
			if !few && !alone && !tf.headsInTwoRows(g, h, r) && (len(h.heads) < 3 || len(h.heads)*2 < len(h.cells) || h.kinds < 3) {
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

// headsAlone says whether the one cell of a row is the heading of a list of two columns: names
// the book knows below it, one column to the left, and beside each what the heading says.
func (tf *tableFinder) headsAlone(g grid, h headRow, r int) bool {
	if len(h.cells) != 1 || len(h.heads) != 1 || len(h.names) > 0 {
		return false
	}
	c := g.colOf(h.cells[0])
	if c < 2 || !tf.words.labelOf(h.cells[0]).has("weight", "now", "plan", "feed", "health", "notes") || !tf.who.knownBelow(g, r, c-1) {
		return false
	}
	first, last := g.at(r+1, c-1), g.at(r+2, c-1)
	return first != nil && last != nil && tf.who.knows(first) && tf.who.knows(last) && g.at(r+1, c) != nil && g.at(r+2, c) != nil
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
