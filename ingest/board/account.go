package board

import "fmt"

// leftOver answers for the cells nothing has been made of yet: titles, remarks,
// telephone numbers, lists; and names once what was not used.
func (b *book) leftOver() {
	switch {
	case b.target.IsZero():
		b.addAsk("week", ask{rule: "week-unknown"})
	case b.guessedYear:
		for _, w := range b.weeks {
			if w.from.y == 0 && w.whole.IsZero() {
				a := ask{rule: "week-year", word: w.text, feed: fmt.Sprint(b.target.Year()), sheet: w.sheet, cell: w.cell, note: true}
				b.addAsk("week", a)
				break
			}
		}
	}
}
