package phrase

import (
	"slices"
	"strings"

	"hardfeed/ingest/quantity"
)

// assemble gives each item its meals and how often, and puts the feeds and units
// where they are left out.
func (r *amountReader) assemble() {
	r.feedAtTheEnd()
	groups := r.grouped()
	items := r.items()
	r.spreadTimes(items)
	parts := r.parts(groups)
	if r.out.Why == "times" {
		r.out.Alternative = slices.Clone(parts)
		for i := range parts[:len(parts)-1] {
			r.out.Alternative[i].Times = 0
		}
	}
	if len(items) > 0 && len(parts) == 0 {
		r.out.None = true
	}
	if len(items) == 0 && !r.out.Ditto && !r.out.Question && slices.ContainsFunc(r.els, func(e element) bool { return e.kind != aSeparator }) {
		r.out.Unread = append(r.out.Unread, spanOf(r.toks, 0, len(r.toks))) // "twice a day": of what?
	}
	r.out.Parts = r.wholeCell(parts)
	if r.out.excluded > 0 && r.out.excluded == len(r.out.Parts) {
		r.out.Question = true // "no oats" alone says nothing of the rest
	}
}

// items are the elements that are items.
func (r *amountReader) items() []int {
	var all []int
	for k, e := range r.els {
		if e.kind == anItem {
			all = append(all, k)
		}
	}
	return all
}

// mealGroup is items of the same meals.
type mealGroup struct {
	items []int
	meals []string
}

// grouped parts the items by their meals. Where a cell begins with a meal, meals come
// before their items, else behind them.
func (r *amountReader) grouped() []mealGroup {
	els := r.els
	leading := len(els) > 0 && els[0].kind == aMeal
	var groups []mealGroup
	var cur mealGroup
	flush := func() {
		if len(cur.items) > 0 {
			groups = append(groups, cur)
		}
		cur = mealGroup{}
	}
	var inForce []string // of a leading meal
	for k := 0; k < len(els); k++ {
		switch els[k].kind {
		case aMeal:
			list, next := r.mealsFrom(k, leading)
			if leading || len(cur.items) == 0 && next < len(els) && els[next].kind == anItem {
				flush()
				inForce, cur.meals = list, list
			} else {
				cur.meals = list
				flush()
			}
			k = next - 1
		case anItem:
			if leading && cur.meals == nil {
				cur.meals = inForce
			}
			cur.items = append(cur.items, k)
		}
	}
	flush()
	return groups
}

// mealsFrom are the meals from element k on with nothing but marks between them, which
// belong together ("am / pm"), and the element behind them.
func (r *amountReader) mealsFrom(k int, leading bool) (meals []string, next int) {
	els := r.els
	kind := func(j int, of ...elementKind) bool { return j < len(els) && slices.Contains(of, els[j].kind) }
	meals, next = []string{els[k].meal}, k+1
	for next < len(els) {
		switch {
		case kind(next, aMeal):
		case kind(next, aSeparator) && kind(next+1, aMeal) && els[next].text != "\n" && (next+2 >= len(els) || !leading || kind(next+2, aMeal, anItem)):
			next++
		default:
			return meals, next
		}
		meals = append(meals, els[next].meal)
		next++
	}
	return meals, next
}

// spreadTimes says of each item how often it is fed: behind all items it is said of
// all of them, before all of all, else of those before it since the last mark of the
// outer kind.
func (r *amountReader) spreadTimes(items []int) {
	for k, e := range r.els {
		if e.kind != aTimes {
			continue
		}
		before := items[:firstFrom(items, k)]
		behind := len(before) == len(items)
		for _, i := range r.timesOf(items, before) {
			e.repeats(&r.els[i].part)
		}
		if e.text == "x" && behind && len(before) > 1 && (k == 0 || r.els[k-1].kind != aSeparator) {
			r.out.Why = "times"
		}
	}
}

// firstFrom is how many of the items are before element k.
func firstFrom(items []int, k int) int {
	n, _ := slices.BinarySearch(items, k)
	return n
}

// timesOf are the items that a word for how often speaks of.
func (r *amountReader) timesOf(items, before []int) []int {
	if len(before) == 0 || len(before) == len(items) { // "2x täglich 1 kg Hafer"
		return items
	}
	for b := len(before) - 1; b >= 0; b-- {
		if i := before[b]; i > 0 && r.els[i-1].kind == aSeparator && strings.Contains(";/\n", r.els[i-1].text) {
			return before[b:]
		}
	}
	return before
}

// repeats says in a part how often it is fed.
func (e element) repeats(p *Part) {
	switch {
	case e.day:
		p.PerDay = true
	case e.feed:
		p.PerFeed = true
	case p.Times == 0:
		p.Times = e.times
	}
}

// carried is what the next part takes from those before it where it does not say its
// own: the feed, and the unit.
type carried struct {
	feed, key string
	unit      string
	isMeasure bool
	from      int // the element that says the unit
}

// parts are the items as they are fed, one for each meal.
func (r *amountReader) parts(groups []mealGroup) []Part {
	c := r.firstUnit()
	var parts []Part
	for _, g := range groups {
		for _, k := range g.items {
			p := r.els[k].part
			if p.Vague == noFeed {
				continue
			}
			if p.Known && p.Relative == 0 && r.moreThanSame(k) {
				p.Relative = 1
			}
			c.fill(&p, k, r.ctx.Unit)
			if own := r.els[k].part; own.Unit != "" {
				c.unit, c.isMeasure, c.from = own.Unit, own.IsMeasure, k
			}
			if p.Relative != 0 && p.Unit == "" && p.Known && p.Value < 1 && r.ctx.Unit == "" {
				r.out.Question = true // "half less"
			}
			meals := g.meals
			if len(meals) == 0 {
				meals = []string{r.ctx.Meal}
			}
			for _, m := range meals {
				p.Meal = m
				parts = append(parts, p)
			}
		}
	}
	return parts
}

// firstUnit is the unit of the first part that has one: a number without a unit has
// that of the part before it in the cell, else this.
func (r *amountReader) firstUnit() carried {
	for k, e := range r.els {
		if e.kind == anItem && e.part.Unit != "" && e.part.UnitFrom == "" {
			return carried{unit: e.part.Unit, isMeasure: e.part.IsMeasure, from: k}
		}
	}
	return carried{from: len(r.els)}
}

// moreThanSame says whether item k comes on top of what is fed now: "same + ½ sc nuts".
func (r *amountReader) moreThanSame(k int) bool {
	b, plus := k-1, false
	for b >= 0 && r.els[b].kind == aSeparator {
		plus = plus || r.els[b].text == "+"
		b--
	}
	return plus && b >= 0 && r.els[b].part.Same
}

// fill gives a part the feed and the unit it does not say itself.
func (c *carried) fill(p *Part, k int, heading string) {
	if p.Feed != "" {
		c.feed, c.key = p.Feed, p.FeedKey
	} else if p.Known && !p.Same {
		p.Feed, p.FeedKey = c.feed, c.key
	}
	if p.Unit != "" || p.Vague != "" || !p.Known {
		return
	}
	if p.Value != 0 && c.unit != "" && (c.from < k || heading == "") {
		p.Unit, p.IsMeasure, p.UnitFrom = c.unit, c.isMeasure, "cell"
		return
	}
	p.Unit = heading
	_, mass := quantity.KgPer(heading)
	_, volume := quantity.LitresPer(heading)
	p.IsMeasure = heading != "" && !mass && !volume
}

// wholeCell takes out what is alone and of no meal, and so said of the whole cell: as
// much as it eats, the same as now.
func (r *amountReader) wholeCell(parts []Part) []Part {
	whole := func(p Part) bool { return p.Feed == "" && p.Meal == r.ctx.Meal && p.Unit == "" }
	if len(parts) == 1 && parts[0].AdLib && whole(parts[0]) {
		r.out.AdLib = true
		return nil
	}
	if k := slices.IndexFunc(parts, func(p Part) bool { return p.Same && whole(p) }); k >= 0 {
		r.out.Same = true
		return slices.Delete(parts, k, k+1)
	}
	return parts
}

// feedAtTheEnd gives a feed named once, behind the last meal, to the amounts before
// it: "1 sc am, 2 sc pm nuts".
func (r *amountReader) feedAtTheEnd() {
	n := len(r.els) - 1
	if n < 2 || r.els[n].kind != anItem || r.els[n-1].kind != aMeal {
		return
	}
	last := r.els[n].part
	if last.Feed == "" || last.Known || last.Vague != "" || last.AdLib {
		return
	}
	for _, e := range r.els[:n] {
		if e.kind == anItem && (e.part.Feed != "" || !e.part.Known) {
			return
		}
	}
	for k := range r.els[:n] {
		if r.els[k].kind == anItem {
			r.els[k].part.Feed, r.els[k].part.FeedKey = last.Feed, last.FeedKey
		}
	}
	r.els[n] = element{kind: aSeparator, text: ",", span: r.els[n].span}
}
