package phrase

import (
	"strings"

	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/quantity"
)

// hoursMayBeAmounts says whether what was read as an hour may be an amount and its
// meal: "1 am 2 pm" without another amount, "am 1 pm 2", "1 sc am & 2 pm".
func (r *amountReader) hoursMayBeAmounts() bool {
	small, items := false, false
	var before *element // a meal with nothing but marks behind it
	for k := range r.els {
		switch e := &r.els[k]; e.kind {
		case aMeal:
			if before != nil && (e.small && (before.small || before.word()) || before.small && e.word()) {
				return true
			}
			small, before = small || e.small, e
		case anItem:
			items, before = items || e.part.Known, nil
		case aTimes:
			before = nil
		}
	}
	return small && !items
}

// word says whether a meal is said by its name.
func (e *element) word() bool { return !strings.Contains(e.meal, ":") }

// mealList reads meals and then as many amounts: "morgens/mittags/abends 1/0,5/1 kg".
func (r *amountReader) mealList() int {
	t, toks := r.w.t, r.toks
	var meals []element
	i := 0
	for i < len(toks) {
		s, n := t.Match(toks, i, "meals")
		if n == 0 {
			break
		}
		meals = append(meals, element{kind: aMeal, meal: s.Key, span: spanOf(toks, i, n)})
		i += n
		if i < len(toks) && (toks[i].Text == "/" || toks[i].Text == "-" || toks[i].Text == ",") {
			i++
		}
	}
	if i < len(toks) && toks[i].Text == ":" {
		i++
	}
	var nums []quantity.Number
	for len(meals) > 1 {
		num, n := quantity.ReadNumber(t, toks, i)
		if n == 0 {
			break
		}
		nums = append(nums, num)
		i += n
		if i >= len(toks) || toks[i].Text != "/" && toks[i].Text != "-" {
			break
		}
		i++
	}
	if len(nums) < 2 || len(nums) != len(meals) {
		return 0
	}
	var last Part // a unit and a feed behind the last are those of all
	i += r.unit(i, &last)
	i += r.feed(i, &last)
	for k, num := range nums {
		p := last
		p.Span, p.Value, p.Known = num.Span, num.Value, true
		r.els = append(r.els, meals[k], element{kind: anItem, part: p, span: num.Span})
	}
	return r.read(0, i)
}

// byMeals reads "1-0-1" and "1 - ½ - 1 - 0" at the beginning of a cell, an amount
// for each meal in turn, and says how many tokens it took.
func (r *amountReader) byMeals() int {
	var nums []quantity.Number
	i := 0
	for {
		num, n := quantity.ReadNumber(r.w.t, r.toks, i)
		if n == 0 {
			return 0
		}
		nums = append(nums, num)
		i += n
		if i < len(r.toks) && r.toks[i].Text == "-" {
			i++
			continue
		}
		break
	}
	if len(nums) < 3 || len(nums) > 5 {
		return 0
	}
	for k, num := range nums {
		p := Part{Span: num.Span, Value: num.Value, Known: true}
		if k == len(nums)-1 {
			// A unit and a feed behind the last are those of all.
			var last Part
			j := r.unit(i, &last)
			j += r.feed(i+j, &last)
			for e := range r.els {
				r.els[e].part.Unit, r.els[e].part.UnitWord, r.els[e].part.IsMeasure, r.els[e].part.Feed, r.els[e].part.FeedKey = last.Unit, last.UnitWord, last.IsMeasure, last.Feed, last.FeedKey
			}
			p.Unit, p.UnitWord, p.IsMeasure, p.Feed, p.FeedKey = last.Unit, last.UnitWord, last.IsMeasure, last.Feed, last.FeedKey
			i += j
		}
		if k > 0 {
			r.els = append(r.els, element{kind: aSeparator, text: "/"})
		}
		r.els = append(r.els, element{kind: anItem, part: p, span: num.Span})
	}
	return r.read(0, i)
}

// clockMeal reads an hour as a meal: "7am", "17h", "6 Uhr", "6.30:".
func (r *amountReader) clockMeal(i int) int {
	toks := r.toks
	minute, n := ReadClock(r.w.t, r.text, toks, i)
	if m, ok := dotted(toks[i].Of(r.text)); n == 0 && ok && m%15 == 0 && len(r.els) > 0 && r.els[len(r.els)-1].kind == anItem && r.els[len(r.els)-1].part.Known &&
		(i+1 >= len(toks) || toks[i+1].Kind == lexicon.Mark) {
		minute, n = m, 1 // "1 kg nuts 12.00"
	}
	if n == 0 {
		return 0
	}
	small := n == 2 && toks[i].Whole && toks[i].Value <= 4 && (toks[i+1].Text == "am" || toks[i+1].Text == "pm")
	if small && r.noClock {
		return 0
	}
	r.els = append(r.els, element{kind: aMeal, meal: ClockMeal(minute), small: small, span: spanOf(toks, i, n)})
	n = r.read(i, n)
	for i+n < len(toks) && toks[i+n].Text == ":" {
		n += r.read(i+n, 1)
	}
	return n
}
