package board

// fullRow says whether a row has beside its name what a horse's has: several words, a day's
// work, or numbers like those of the rows above it. A total's come to all of them.
func (who *names) fullRow(t *table, r int) bool {
	words, numbers, like, more := 0, 0, 0, 0
	first := t.fewAbove(r)
	for c := t.c1; c <= t.c2; c++ {
		x := t.g.at(r, c)
		switch {
		case c == t.name || x == nil:
		case (x.Kind == Number || isNumber(x.Text)) && !x.Percent:
			v, _ := numberOf(x)
			switch sum, n := t.sumAbove(r, c); {
			case n < 2 || v == 0:
			case v < 0.75*sum:
				like++
			default:
				more++
			}
			numbers++
		case x.written() && !dash(x.Text) && !isNumber(x.Text) && !who.words.labelOf(x).has("total"):
			if words++; who.lang.isWork(x.Text) {
				return true
			}
		}
	}
	return words >= 4 || like >= 2 && like > more || like > 0 && more == 0 && words > 0 || first && words+numbers >= 2
}

// fewAbove says whether at most one row is over one where the names do, and another than
// its like: a total is of something, and of one it is the same.
func (t *table) fewAbove(r int) bool {
	last, n := 0, 0
	for q := t.h2 + 1; q < r && n < 2; q++ {
		if t.g.at(q, t.name) != nil {
			last, n = q, n+1
		}
	}
	if n != 1 {
		return n == 0
	}
	for c := t.c1; c <= t.c2; c++ {
		if x, y := t.g.at(r, c), t.g.at(last, c); c != t.name && x != nil && (y == nil || x.Text != y.Text) {
			return true
		}
	}
	return false
}

// sumAbove is what the numbers of a column above a row of a table come to, and how many they
// are.
func (t *table) sumAbove(r, c int) (sum float64, n int) {
	for q := t.h2 + 1; q < r; q++ {
		if x := t.g.at(q, c); x != nil {
			if v, ok := numberOf(x); ok {
				sum += v
				n++
			}
		}
	}
	return sum, n
}

// realName says whether a text that could be something else is a horse's name
// after all: the book knows it as one, and its row has things to say of it.
func (who *names) realName(t *table, r int, text string, cells int) bool {
	full := who.fullRow(t, r)
	return who.known[foldName(text)] && (cells > 3 || full) && !who.lang.emptyStable(text) || full && who.notAHorse(text) == aTotal
}
