package board

import (
	"maps"
	"math"
)

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

// addsUp says whether a row that speaks of a total comes, in each of its numbers, to the rows
// right above it, or to all rows above that are no totals: then it is one whatever else its
// name says, as in "Mrs Marsh total".
func (who *names) addsUp(t *table, r int) bool {
	name := t.g.at(r, t.name)
	if name == nil || name.Kind != Text || !who.words.read(name.Text).has("total") {
		return false
	}
	own := map[int]float64{} // its numbers, by column
	for c := t.c1; c <= t.c2; c++ {
		x := t.g.at(r, c)
		if c == t.name || x == nil || dash(x.Text) || who.words.labelOf(x).has("total") {
			continue
		}
		v, ok := numberOf(x)
		if !ok {
			return false // a day's work, an amount in words: a horse's
		}
		if v != 0 {
			own[c] = v
		}
	}
	if len(own) == 0 {
		return false
	}
	near, all := map[int]float64{}, map[int]float64{}
	open := true // no total since
	for q := r - 1; q > t.h2; q-- {
		if who.addsUpBefore(t, q) {
			open = false
			continue
		}
		filled := false
		for c := range own {
			if x := t.g.at(q, c); x != nil {
				if v, ok := numberOf(x); ok {
					all[c] += v
					filled = true
				}
			}
		}
		if open && filled {
			maps.Copy(near, all)
			if sameSums(own, near) {
				return true
			}
		}
	}
	return sameSums(own, all)
}

// addsUpBefore says whether a row above another was found to be a total.
func (who *names) addsUpBefore(t *table, r int) bool {
	x := t.g.at(r, t.name)
	return x != nil && (x.fate.why == aTotal || who.notAHorse(x.Text) == aTotal && !who.fullRow(t, r) || who.addsUp(t, r))
}

func sameSums(a, b map[int]float64) bool {
	for c, v := range a {
		if math.Abs(v-b[c]) > 0.005*math.Abs(v) {
			return false
		}
	}
	return true
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
