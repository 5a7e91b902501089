package board

import (
	"slices"
)

// headingRows adds to the row of the headings the one above and the one below
// that belong to it.
func (tf *tableFinder) headingRows(t *table) {
	if t.nameFreeBelow() && tf.headsBelow(t) {
		t.h2 = t.head + 1
		tf.thirdRow(t)
	}
	if t.head > 1 && tf.headsAbove(t) {
		t.h1 = t.head - 1
	}
}

// nameFreeBelow says whether nothing is under the heading of the names.
func (t *table) nameFreeBelow() bool {
	r := t.head + 1
	if m, ok := t.g.joined(t.head, t.name); ok && m.Row2 >= r {
		return true
	}
	if m, ok := t.g.joined(r, t.name); ok && m.Col1 < t.name && m.Col2 > t.name {
		return false // a line across the names: "TOP YARD"
	}
	return t.g.at(r, t.name) == nil
}

// headsBelow says whether the row below the headings belongs to them: it stands only under
// headings that are over several columns. The table may be wider for it.
func (tf *tableFinder) headsBelow(t *table) bool {
	g, r := t.g, t.head+1
	any, ok := false, true
	for c := t.c1; c <= t.c2+3; c++ {
		y := g.at(r, c)
		if y == nil || y.taken() {
			continue
		}
		if c > t.c2 {
			// A heading over several, the last of which have none of their own above.
			if g.over(t.head, c) != nil || !any || g.at(r, c-1) == nil || !tf.heads.isHeading(y) {
				break
			}
			t.c2 = c
			continue
		}
		if m, wide := g.joined(r, c); wide && m.Col1 <= t.name && m.Col2 >= t.name {
			ok = false // over a group of horses
		}
		ok = ok && tf.headBelow(t, c, y)
		any = true
	}
	return any && ok
}

// headBelow says whether a cell right below the headings can be one too.
func (tf *tableFinder) headBelow(t *table, c int, y *Cell) bool {
	if t.g.at(t.head, c) == nil {
		return true
	}
	m, wide := t.g.joined(t.head, c)
	if wide {
		return m.Row2 <= t.head
	}
	return y.Kind != Number && (t.g.at(t.head, c+1) == nil || c+1 > t.c2 || tf.heads.isHeading(y))
}

// headsAbove says whether the row above the headings belongs to them: nothing over the
// names but a joined heading, and words that are headings.
func (tf *tableFinder) headsAbove(t *table) bool {
	any := false
	for c := t.c1; c <= t.c2; c++ {
		y := t.g.at(t.head-1, c)
		if y == nil {
			continue
		}
		if !tf.headAbove(t, c, y) {
			return false
		}
		any = true
	}
	return any
}

// headAbove says whether a cell right above the headings can be one too.
func (tf *tableFinder) headAbove(t *table, c int, y *Cell) bool {
	r := t.head - 1
	l := tf.words.labelOf(y)
	m, wide := t.g.joined(r, c)
	if y.taken() {
		return false
	}
	switch {
	case len(t.g.row(r)) == 1 && !wide && c <= t.name, c == t.name && !(wide && m.Row2 >= t.head):
		return false // a title
	case l.has("week") && !l.has("now", "plan", "feed"), len(y.Text) > 60, y.Kind == Number:
		return false
	case !l.some() && !(wide && m.Col2 > m.Col1):
		return false
	}
	return !(wide && m.Col1 <= t.c1 && m.Col2 >= t.c2)
}

// headsInTwoRows says whether a row without a heading over names and the row below it are the
// headings of a table together, though the upper alone says too little: some of what it says
// is over several columns, which the lower tells apart, with nothing under the corner, and
// names that the book knows stand below that.
func (tf *tableFinder) headsInTwoRows(g grid, h headRow, r int) bool {
	first := g.colOf(h.cells[0])
	if first < 2 || len(h.heads) != len(h.cells) || g.over(r+1, first-1) != nil || !tf.who.knownBelow(g, r+1, first-1) {
		return false
	}
	low := tf.heads.headRow(g, r+1)
	if len(low.heads) < 2 || len(low.heads) != len(low.cells) || len(low.names) > 0 {
		return false
	}
	under := map[*Cell]int{} // a heading of the upper row, and how many of the lower are under it
	for _, c := range low.cells {
		k := g.colOf(c)
		up := g.over(r, k)
		for x := k - 1; up == nil && x >= first; x-- { // over several, and not joined
			up = g.over(r, x)
		}
		if up == nil || !h.heads[up] {
			return false
		}
		under[up]++
	}
	for _, n := range under {
		if n > 1 {
			return h.kinds+low.kinds >= 3
		}
	}
	return false
}

// longestUnit is how many bytes a unit that nobody knows has at most, among units (ours).
const longestUnit = 5

// thirdRow adds one more row of headings below two: nothing in it but headings, with a unit
// here and there that is not known, and nothing under the names.
func (tf *tableFinder) thirdRow(t *table) {
	g, r := t.g, t.h2+1
	if g.at(r, t.name) != nil || g.at(r+1, t.name) == nil {
		return
	}
	h := tf.heads.headRow(g, r)
	n, others := 0, 0
	for _, c := range h.cells {
		switch k := g.colOf(c); {
		case k < t.c1 || k > t.c2+3:
		case h.heads[c]:
			n++
		case c.Kind == Text && !hasDigit(c.Text) && len(c.Text) <= longestUnit:
			others++ // "ml" among the kilograms
		default:
			return
		}
	}
	if n < 3 || others*2 > n {
		return
	}
	t.h2 = r
	for g.at(r, t.c2+1) != nil && g.over(t.head, t.c2+1) == nil {
		t.c2++
	}
}

// endOf finds where a table ends.
func (tf *tableFinder) endOf(t *table, rows []int) {
	t.end = t.h2 + 1
	at, _ := slices.BinarySearch(rows, t.h2+1)
	last := t.h2
	for _, r := range rows[at:] {
		if tf.effort.look(len(t.g.row(r))) {
			return
		}
		x := t.rowOf(r, last)
		switch {
		case x.n == 0, x.blank <= 2 && tf.headsAGroup(t, x):
		case x.blank <= 2 && tf.emptyStableAt(t, x):
			last = r // the list may go on
		case x.blank > 2, x.blank > 0 && tf.elsewhere(t, x), x.n >= 2 && tf.otherHeadings(t, r):
			return
		default:
			last, t.end = r, r+1
		}
	}
}

// headsAGroup says whether a row behind a gap is a heading over a group of horses.
func (tf *tableFinder) headsAGroup(t *table, x rowOfTable) bool {
	if x.blank == 0 || x.n != 1 {
		return false
	}
	m, wide := t.g.joined(x.at, t.g.colOf(x.only))
	return wide && m.Col2 > m.Col1+2 && (tf.who.nameLike(x.only) || tf.words.kindsOfHorses(x.only) || tf.goesOn(t, x.at+1))
}

// goesOn says whether a row is one more of the table: a name, and two things of it.
func (tf *tableFinder) goesOn(t *table, r int) bool {
	return tf.who.mayBeName(t.g.at(r, t.name)) && t.rowOf(r, r-1).n >= 3 && !tf.otherHeadings(t, r)
}

// emptyStableAt says whether a row is an empty stable.
func (tf *tableFinder) emptyStableAt(t *table, x rowOfTable) bool {
	name := t.g.at(x.at, t.name)
	return x.n == 1 && name != nil && tf.lang.emptyStableIn(name)
}

// elsewhere says whether a row behind a gap is not a horse's of this table.
func (tf *tableFinder) elsewhere(t *table, x rowOfTable) bool {
	if x.n == 1 && (t.g.colOf(x.only) != t.name || !tf.who.knows(x.only)) {
		return true // alone: a horse only if the book knows it as one
	}
	if t.g.over(x.at, t.name) == nil {
		return true
	}
	name := t.g.at(x.at, t.name)
	return x.n <= 2 && name != nil && tf.heads.isHeading(name) && (!tf.who.knows(name) || len(tf.words.labelOf(name).order) > 0)
}

// otherHeadings says whether a row is the headings of another table.
func (tf *tableFinder) otherHeadings(t *table, r int) bool {
	g := t.g
	h := tf.heads.headRow(g, r).within(g, t.c1, t.c2)
	if len(h.heads) < 2 || len(h.heads)*2 <= len(h.cells) {
		return false
	}
	if len(h.names) == 0 && (len(h.heads) < 4 || h.kinds < 3 || g.at(r, t.name) != nil || likeItsNeighbour(g, h, r)) {
		return false // "pm", "fast work" and "fast work" again are the other line of a horse
	}
	endless := &table{g: g, head: t.head, h1: t.h1, h2: t.h2, end: 1 << 30}
	return !sameHeadings([]*table{endless}, g, h, r)
}
