package board

import (
	"slices"
)

// A blank meal stands out where so many are written, and several where so many are for each.
const (
	fewestMeals  = 3
	mealsForEach = 16
)

// mealColumns are the columns of a table that are a meal each, of what is fed now or planned.
type mealColumns struct {
	when when
	cols []*column
}

// mealsOf are the meals of a table that has a row a horse: columns without a feed of their
// own, where a blank may be nothing or forgotten. Under a feed a blank is none of it.
func (t *table) mealsOf() (out []mealColumns) {
	for _, k := range t.cols {
		if k.role == attrRole && (k.attr == "meal" || k.attr == "feed" || k.attr == "when") {
			return nil
		}
		if k.role != feedRole || k.meal == "" || k.own == nil {
			continue
		}
		i := slices.IndexFunc(out, func(m mealColumns) bool { return m.when == k.when })
		if i < 0 {
			out = append(out, mealColumns{when: k.when})
			i = len(out) - 1
		}
		if k.feed == "" {
			out[i].cols = append(out[i].cols, k)
		}
	}
	return out
}

// blankMeals asks where a meal of a horse is left blank and nearly all others in the table have
// an amount or a dash: it may be nothing, and it may be forgotten.
func (ck *checks) blankMeals() {
	for _, t := range ck.tables {
		if t.kind != "" || t.g.page.blank {
			continue
		}
		for _, m := range t.mealsOf() {
			if len(m.cols) > 1 {
				ck.blankMealOf(t, m)
			}
		}
	}
}

func (ck *checks) blankMealOf(t *table, m mealColumns) {
	type place struct {
		col   *column
		horse int
	}
	var blank []place
	written := 0
	for r := t.h2 + 1; r < t.end; r++ {
		n := t.g.at(r, t.name)
		if n == nil {
			continue
		}
		i, ok := ck.herd.named(n.Text)
		if !ok || !slices.ContainsFunc(m.cols, func(k *column) bool { return t.g.over(r, k.at) != nil }) {
			continue
		}
		for _, k := range m.cols {
			if t.g.over(r, k.at) != nil {
				written++
			} else {
				blank = append(blank, place{k, i})
			}
		}
	}
	if written < fewestMeals || len(blank) > 1 && len(blank)*mealsForEach > written {
		return
	}
	for _, p := range blank {
		h := ck.herd.horses[p.horse]
		for _, r := range []*ration{&h.now, &h.plan} {
			if slices.ContainsFunc(r.portions, func(x portion) bool {
				return x.cell != nil && x.cell.table == t && x.cell.col != nil && x.cell.col.when == m.when
			}) {
				r.unknown = true
				ck.asks.askBlankMeal(t, p.col, p.horse)
			}
		}
	}
}
