package board

import "slices"

// rotaFrom finds a list of people next to the horses, behind an empty column: a heading of
// its own, names below it that the book does not know as horses', and then the days that are
// in the headings left of it already. It gives the list's column; 0 where there is none.
func (tf *tableFinder) rotaFrom(h headRow, g grid, starts []int) int {
	days := map[int]bool{}
	for i, c := range h.cells {
		at := g.colOf(c)
		l := tf.words.labelOf(c)
		if l.day >= 0 {
			days[l.day] = true
			continue
		}
		if len(days) < 5 || slices.Contains(starts, at) || i+6 > len(h.cells) || !gapBefore(g, g.rowOf(c), at-1) || l.has("feed", "now", "plan", "work", "weight", "week", "hay") || l.headsNames() {
			continue
		}
		again := 0
		for _, x := range h.cells[i+1:] {
			if y := tf.words.labelOf(x); y.day >= 0 && len(y.dates) == 0 && days[y.day] {
				again++
			}
		}
		if again >= 5 && tf.peopleBelow(g, g.rowOf(c), at) {
			return at
		}
	}
	return 0
}

// peopleBelow says whether names stand in a column, none of which the book knows as a
// horse's.
func (tf *tableFinder) peopleBelow(g grid, r, c int) bool {
	n := 0
	for _, x := range g.down(c, r+1, r+30) {
		if x == nil {
			break
		}
		if !tf.who.nameLike(x) || tf.who.knows(x) || tf.lang.isWork(x.Text) {
			return false
		}
		n++
	}
	return n > 0
}
