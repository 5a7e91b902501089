package board

// findNames looks for the column of names of a table without a heading for them.
func (tf *tableFinder) findNames(t *table, h headRow) int {
	from := tf.runOfHeadings(t, h)
	best, most := 0, 0.0
	for c := max(1, t.c1-2, from-8); c <= tf.dayColumn(t, h, from); c++ {
		if _, letter := h.letters[c]; letter {
			continue // below the letter of a day stands what is done that day
		}
		x := t.g.at(t.head, c)
		like := tf.likenessOf(t, c)
		if x != nil && tf.words.labelOf(x).full() && !tf.words.labelOf(x).has("dayhead", "box", "week", "date") && !tf.titleOverNames(t, x, like) {
			continue // it says what it is, and that is not names
		}
		if x != nil && hasDigit(x.Text) && !tf.words.labelOf(x).has("week", "box") || !like.names() {
			continue
		}
		score := like.score()
		if x == nil {
			score += 0.3
		}
		if score > most {
			best, most = c, score
		}
	}
	return best
}

// titleOverNames says whether a heading speaks of the whole table rather than of the column
// it is over, in which nearly all are horses the book knows: "Weigh tape" over the names,
// and dates beside it.
func (tf *tableFinder) titleOverNames(t *table, x *Cell, like likeness) bool {
	return t.g.colOf(x) == t.c1 && like.n >= 2 && like.known*10 >= like.n*8 && !tf.words.labelOf(x).has("owner", "staff", "tel")
}

// runOfHeadings is where the longest run of headings begins, behind a box, an owner, a
// weight: the names are before it or among these.
func (tf *tableFinder) runOfHeadings(t *table, h headRow) int {
	begin, longest := t.c2, 0
	for c := t.c1; c <= t.c2; c++ {
		x := t.g.at(t.head, c)
		if x == nil || !h.heads[x] {
			continue
		}
		k, run := c, 0
		for last := (*Cell)(nil); k <= t.c2; k++ {
			y := t.g.over(t.head, k)
			if y == nil || !h.heads[y] {
				break
			}
			if y != last { // one joined over seven days is one heading
				run, last = run+1, y
			}
		}
		if run > longest {
			begin, longest = c, run
			for begin < k-1 && tf.words.labelOf(t.g.over(t.head, begin)).has("box", "owner", "height", "tel", "weight", "tape", "scale") {
				begin++
			}
		}
		c = k
	}
	return begin
}

// likeness is how much the cells of a column look like names.
type likeness struct {
	n         int // cells
	like, may int // of them that look like names, and that could be
	known     int // that the book knows as names
	different int // names among them, where there are enough
}

// likenessOf looks at the cells below the headings, down to the first gap behind names.
func (tf *tableFinder) likenessOf(t *table, c int) (x likeness) {
	var mayBe []*Cell
	gap := 0
	for _, y := range t.g.down(c, t.head+1, t.head+400) {
		if gap == 3 {
			break
		}
		if y == nil || y.fate.what == "legend" {
			if gap++; x.n >= 3 && float64(x.may) >= float64(x.n)*0.9 && float64(x.like) >= float64(x.n)*0.6 || x.n == 2 && x.like == 2 {
				break // what is behind a gap is something else
			}
			continue
		}
		gap = 0
		if what := tf.who.notAHorse(y.Text); y.Kind == Text && what != "" && what != aTotal {
			continue // stands among the names, and is none
		}
		x.n++
		switch {
		case tf.who.nameLike(y):
			x.like++
			if tf.who.knows(y) {
				x.known++
			}
		case !tf.who.wordAsName(y):
			continue
		}
		x.may++
		mayBe = append(mayBe, y)
	}
	if x.enough() {
		different := map[string]bool{}
		for _, y := range mayBe {
			different[tf.words.nameOf(y)] = true
		}
		x.different = len(different)
	}
	return x
}

// enough says whether enough of the cells look like names.
func (x likeness) enough() bool {
	n := float64(x.n)
	return (x.n > 1 || x.n == 1 && x.known > 0) && float64(x.like) >= n*0.4 && float64(x.may) >= n*0.6
}

// names says whether the cells are names.
func (x likeness) names() bool {
	return x.enough() && (float64(x.different) >= float64(x.may)*0.7 || x.known > 0)
}

func (x likeness) score() float64 {
	n := float64(x.n)
	return float64(x.like)/n + float64(x.known)/n*3
}

// dayColumn is the column of the first day in an unbroken run of headings, if before it
// there is the title, the week or a word over the names; else where the run begins.
func (tf *tableFinder) dayColumn(t *table, h headRow, from int) int {
	for c := from; c <= t.c2; c++ {
		x := t.g.over(t.head, c)
		if x == nil || !h.heads[x] {
			return from
		}
		if l := tf.words.labelOf(x); l.day >= 0 && !l.has("week") {
			return c
		} else if !l.has("week", "work", "dayhead") {
			return from
		}
	}
	return from
}

// mostlyHeadings says whether what stands in a column is words of a form rather
// than names: days, meals.
func (tf *tableFinder) mostlyHeadings(t *table, c int) bool {
	n, heads, gap := 0, 0, 0
	for _, x := range t.g.down(c, t.head+1, t.head+60) {
		if gap == 3 || tf.effort.look(1) {
			break
		}
		gap++
		if x != nil && x.free() {
			gap = 0
			if tf.who.notAHorse(x.Text) != "" {
				continue // a total, a telephone number: of a list of horses as of a form
			}
			n++
			if l := tf.words.labelOf(x); tf.heads.isHeading(x) && l.full() && (len(l.order) > 0 || l.day >= 0 || len(l.dates) > 0) {
				heads++
			}
		}
	}
	return n > 2 && heads*10 >= n*6
}
