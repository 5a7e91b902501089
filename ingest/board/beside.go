package board

import (
	"slices"
)

// mostlyHeads says whether nearly all of a row in a table's columns are headings, and five of
// them at least, or all of four: then what stands below is no form, whatever the horses are called.
func (h headRow) mostlyHeads(g grid, t *table) bool {
	part := h.within(g, t.c1, t.c2)
	return len(part.heads) >= 5 && len(part.heads)*10 >= len(part.cells)*8 || len(part.heads) >= 4 && len(part.heads) == len(part.cells)
}

// segments parts a row of headings into the tables that stand side by side.
func (tf *tableFinder) segments(g grid, h headRow, r int) []*table {
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
		first = tf.beside(g, r, g.colOf(h.names[0]), first)
		starts[0] = first
	}
	starts[0] = min(starts[0], first)
	starts = tf.namesAgain(g, r, starts, last)
	starts = tf.bandsAgain(h, g, starts)
	rota := tf.rotaFrom(h, g, starts)
	if rota > 0 {
		starts = append(starts, rota)
		slices.Sort(starts)
	}
	var out []*table
	for i, s := range starts {
		t := &table{g: g, head: r, h1: r, h2: r, c1: s, c2: last}
		if i+1 < len(starts) {
			t.c2 = starts[i+1] - 1
		}
		for t.c2 > t.c1 && g.over(r, t.c2) == nil && g.over(r+1, t.c2) == nil {
			t.c2--
		}
		if s == rota {
			t.name, t.kind = rota, "staff"
			tf.readColumns(t, h)
			out = append(out, t)
			continue
		}
		tf.trimBeside(t, h)
		for _, c := range h.names {
			if k := g.colOf(c); k >= t.c1 && k <= t.c2 && t.name == 0 && (h.mostlyHeads(g, t) || !tf.mostlyHeadings(t, k)) {
				t.name = k
			}
		}
		if t.name == 0 {
			t.name = tf.findNames(t, h)
		}
		if t.name == 0 {
			continue
		}
		t.c1 = min(t.c1, t.name)
		tf.headingRows(t)
		tf.readColumns(t, h)
		out = append(out, t)
	}
	return out
}

// namesAgain adds the columns in which the names of horses the book knows stand
// again, with nothing over them: there another table begins.
func (tf *tableFinder) namesAgain(g grid, r int, starts []int, last int) []int {
	out := slices.Clone(starts)
	for c := starts[0] + 1; c < last; c++ {
		if slices.Contains(starts, c) || g.at(r, c) != nil || g.at(r, c-1) != nil && g.over(r+2, c-1) == nil {
			continue
		}
		if x := g.at(r+1, c); x != nil && tf.words.labelOf(x).has("name") && tf.words.labelOf(x).full() && !tf.who.knows(x) {
			continue // it has a heading of its own, a row lower
		}
		n, known, gap := 0, 0, 0
		for _, x := range g.down(c, r+1, r+60) {
			if gap == 3 || gap == 2 && known >= 3 && known*10 >= n*7 { // what is behind the gap is another table
				break
			}
			if x == nil {
				gap++
				continue
			}
			gap, n = 0, n+1
			if tf.who.knows(x) {
				known++
			}
		}
		if known >= 3 && known*10 >= n*7 && tf.who.namesLeftOf(g, r, c) {
			out = append(out, c)
		}
	}
	slices.Sort(out)
	return out
}

// bandsAgain adds the columns behind an empty one from which the same headings stand
// again: there another band of horses begins, with its names over the empty corner.
func (tf *tableFinder) bandsAgain(h headRow, g grid, starts []int) []int {
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
	begun := map[[3]string]int{} // three headings that are no days, and where they stand first
	for j := 0; j+2 < len(heads); j++ {
		three := [3]string{heads[j].Text, heads[j+1].Text, heads[j+2].Text}
		if i, again := begun[three]; again {
			if at := g.colOf(heads[j]); j >= i+3 && g.over(g.rowOf(heads[j]), at-1) == nil {
				out = append(out, at-1)
			}
		} else if tf.words.labelOf(heads[j]).day < 0 {
			begun[three] = j
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// trimBeside takes off what is beside a table behind an empty column and
// is none of its headings: legends, prices.
func (tf *tableFinder) trimBeside(t *table, h headRow) {
	g := t.g
	last := 0 // column with a heading that is no price; 0: not looked for
	for c := t.c1 + 2; c <= t.c2; c++ {
		if g.over(t.head, c) == nil || g.over(t.head, c-1) != nil || g.over(t.head+1, c-1) != nil {
			continue
		}
		x := g.at(t.head, c)
		if tf.pricesFrom(t, c) {
			t.c2 = c - 2
			return
		}
		if last == 0 {
			last = tf.lastNoPrice(t, h)
		}
		if x != nil && (!h.heads[x] || c > last) {
			t.c2 = c - 2
			return
		}
	}
	if len(h.names) == 0 {
		return
	}
	for c := max(t.c1, g.colOf(h.names[0])) + 1; c < t.c2; c++ {
		if gapBefore(g, t.head, c) && tf.namesHeadedIn(g, t.head, c+1, c+3) {
			t.c2 = c - 1
			return
		}
	}
}

// lastNoPrice is the last column of a table with a heading that is no price; its first
// where there is none.
func (tf *tableFinder) lastNoPrice(t *table, h headRow) int {
	for c := t.c2; c > t.c1; c-- {
		if y := t.g.at(t.head, c); y != nil && h.heads[y] && !tf.words.labelOf(y).has("price") {
			return c
		}
	}
	return t.c1
}

// gapBefore says whether a column is empty about a row of headings.
func gapBefore(g grid, r, c int) bool {
	for q := max(1, r-1); q < r+6; q++ {
		if g.over(q, c) != nil {
			return false
		}
	}
	return true
}

// namesHeadedIn says whether a heading over names stands between two columns, a row or
// a few above or below another row of headings.
func (tf *tableFinder) namesHeadedIn(g grid, r, c1, c2 int) bool {
	for q := max(1, r-3); q <= r+3; q++ {
		for c := c1; c <= c2; c++ {
			if x := g.at(q, c); x != nil && tf.heads.isHeading(x) && tf.words.labelOf(x).headsNames() {
				return true
			}
		}
	}
	return false
}

// beside is the first column of a table whose names are headed in one column, where
// another table with names of its own stands left of it behind an empty column.
func (tf *tableFinder) beside(g grid, r, name, first int) int {
	for c := name - 1; c > first; c-- {
		if gapBefore(g, r, c) {
			if tf.namesHeadedIn(g, r, first, c-1) {
				return c + 1
			}
			return first
		}
	}
	return first
}

// pricesFrom says whether a list of prices begins at a column behind an empty one: its
// headings are over it or, where the table is turned, over its first two columns.
func (tf *tableFinder) pricesFrom(t *table, c int) bool {
	for r := t.head; r <= t.head+2; r++ {
		for k := c; k <= min(c+1, t.c2); k++ {
			if y := t.g.at(r, k); y != nil && tf.words.labelOf(y).has("price", "pack") {
				return true
			}
		}
	}
	return false
}
