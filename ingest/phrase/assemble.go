package phrase

import (
	"slices"
	"strings"

	"hardfeed/ingest/quantity"
)

// assemble gives each item its meals and how often, and puts the feeds where
// they are left out.
func (r *amountReader) assemble() {
	r.feedAtTheEnd()
	els := r.els
	leading := len(els) > 0 && els[0].kind == aMeal
	type group struct {
		items []int
		meals []string
	}
	var groups []group
	var cur group
	flush := func() {
		if len(cur.items) > 0 {
			groups = append(groups, cur)
		}
		cur = group{}
	}
	var meals []string // of a leading meal, in force
	for k := 0; k < len(els); k++ {
		e := &els[k]
		switch e.kind {
		case aMeal:
			// Meals with nothing but marks between them belong together.
			list := []string{e.meal}
			j := k + 1
			for j < len(els) {
				if els[j].kind == aMeal {
					list = append(list, els[j].meal)
					j++
					continue
				}
				if els[j].kind == aSeparator && j+1 < len(els) && els[j+1].kind == aMeal && els[j].text != "\n" && (j+2 >= len(els) || !leading || els[j+2].kind == aMeal || els[j+2].kind == anItem) {
					// "am / pm": one more of the same
					list = append(list, els[j+1].meal)
					j += 2
					continue
				}
				break
			}
			toNext := leading || len(cur.items) == 0 && j < len(els) && els[j].kind == anItem
			if toNext {
				flush()
				meals = list
				cur.meals = list
			} else {
				cur.meals = list
				flush()
			}
			k = j - 1
		case anItem:
			if leading && cur.meals == nil {
				cur.meals = meals
			}
			cur.items = append(cur.items, k)
		}
	}
	flush()
	// How often: behind all items it is for all of them, else for those before it
	// since the last mark of the outer kind.
	all := []int{}
	for k, e := range els {
		switch e.kind {
		case anItem:
			all = append(all, k)
		case aTimes:
			last := !slices.ContainsFunc(els[k:], func(x element) bool { return x.kind == anItem })
			to := all
			if !last && len(all) == 0 { // "2x täglich 1 kg Hafer"
				for j := k + 1; j < len(els); j++ {
					if els[j].kind == anItem {
						to = append(to, j)
					}
				}
			} else if !last {
				to = nil
				for b := len(all) - 1; b >= 0; b-- {
					to = append(to, all[b])
					if all[b] > 0 && els[all[b]-1].kind == aSeparator && strings.Contains(";/\n", els[all[b]-1].text) {
						break
					}
				}
			}
			for _, i := range to {
				p := &els[i].part
				switch {
				case e.day:
					p.PerDay = true
				case e.feed:
					p.PerFeed = true
				case p.Times == 0:
					p.Times = e.times
				}
			}
			if e.text == "x" && last && len(all) > 1 && (k == 0 || els[k-1].kind != aSeparator) {
				r.out.Why = "times"
			}
		}
	}
	feed, key := "", ""
	// A number without a unit has that of the part before it in the cell, else of
	// the first part that has one.
	unit := struct {
		Unit      string
		IsMeasure bool
		from      int
	}{from: len(els)}
	for k, e := range els {
		if e.kind == anItem && e.part.Unit != "" && e.part.UnitFrom == "" {
			unit.Unit, unit.IsMeasure, unit.from = e.part.Unit, e.part.IsMeasure, k
			break
		}
	}
	var parts []Part
	for _, g := range groups {
		for _, k := range g.items {
			p := els[k].part
			if p.Vague == noFeed {
				continue
			}
			// "same + ½ sc nuts"
			b, plus := k-1, false
			for b >= 0 && els[b].kind == aSeparator {
				plus = plus || els[b].text == "+"
				b--
			}
			if plus && b >= 0 && els[b].part.Same && p.Known && p.Relative == 0 {
				p.Relative = 1
			}
			if p.Feed != "" {
				feed, key = p.Feed, p.FeedKey
			} else if p.Known && !p.Same {
				p.Feed, p.FeedKey = feed, key
			}
			if p.Unit == "" && p.Vague == "" && p.Known && p.Value != 0 && unit.Unit != "" && (unit.from < k || r.ctx.Unit == "") {
				p.Unit, p.IsMeasure, p.UnitFrom = unit.Unit, unit.IsMeasure, "cell"
			} else if p.Unit == "" && p.Vague == "" && p.Known {
				p.Unit = r.ctx.Unit
				_, m := quantity.KgPer(p.Unit)
				_, v := quantity.LitresPer(p.Unit)
				p.IsMeasure = p.Unit != "" && !m && !v
			}
			if els[k].part.Unit != "" {
				unit.Unit, unit.IsMeasure, unit.from = els[k].part.Unit, els[k].part.IsMeasure, k
			}
			if p.Relative != 0 && p.Unit == "" && p.Known && p.Value < 1 && r.ctx.Unit == "" {
				r.out.Question = true // "half less"
			}
			ms := g.meals
			if len(ms) == 0 {
				ms = []string{r.ctx.Meal}
			}
			for _, m := range ms {
				q := p
				q.Meal = m
				parts = append(parts, q)
			}
		}
	}
	if r.out.Why == "times" {
		alt := slices.Clone(parts)
		for i := range alt[:len(alt)-1] {
			alt[i].Times = 0
		}
		r.out.Alternative = alt
	}
	if len(all) > 0 && len(parts) == 0 {
		r.out.None = true
	}
	if len(all) == 0 && !r.out.Ditto && !r.out.Question && slices.ContainsFunc(els, func(e element) bool { return e.kind != aSeparator }) {
		r.out.Unread = append(r.out.Unread, spanOf(r.toks, 0, len(r.toks))) // "twice a day": of what?
	}
	// Alone and of no meal it is said of the whole cell.
	whole := func(p Part) bool { return p.Feed == "" && p.Meal == r.ctx.Meal && p.Unit == "" }
	if len(parts) == 1 && parts[0].AdLib && whole(parts[0]) {
		r.out.AdLib, parts = true, nil
	}
	if k := slices.IndexFunc(parts, func(p Part) bool { return p.Same && whole(p) }); k >= 0 {
		r.out.Same, parts = true, slices.Delete(parts, k, k+1)
	}
	if r.out.excluded > 0 && r.out.excluded == len(parts) {
		r.out.Question = true // "no oats" alone says nothing of the rest
	}
	r.out.Parts = parts
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
