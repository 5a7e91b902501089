package board

import (
	"cmp"
	"slices"
	"time"

	"hardfeed/ingest/quantity"
)

// weight is what a horse weighs.
type weight struct {
	kg    float64
	known bool
	basis quantity.Basis
	at    *obs
	date  time.Time
	asked bool
}

// weighings are all a horse's, and the one to go by.
type weighings struct {
	best weight
	all  []weight
}

// weigher reads what the horses weigh.
type weigher struct {
	lang *language
	unit string // of figures alone; "" not known
	cal  *calendar
	week plannedWeek
	asks *questions
}

// weightOf reads a horse's weighings, once.
func (wg *weigher) weightOf(h *horse) (weight, []weight) {
	if h.weighed == nil {
		best, all := wg.readWeights(h)
		h.weighed = &weighings{best, all}
	}
	return h.weighed.best, h.weighed.all
}

// readWeights reads a horse's weighings. What could not be read has been asked about, so
// that a doubtful newer weighing is not skipped for an older one in silence.
func (wg *weigher) readWeights(h *horse) (weight, []weight) {
	var all []weight
	var girth, length *obs
	doubt := false
	for _, o := range h.obs {
		switch o.role {
		case girthRole:
			girth = o
		case lengthRole:
			length = o
		case weightRole:
			ws, ok := wg.readWeight(o)
			all = append(all, ws...)
			doubt = doubt || !ok
		}
	}
	switch {
	case len(all) > 0:
		best := all[0]
		for _, v := range all[1:] {
			if wg.better(v, best) {
				best = v
			}
		}
		return best, all
	case girth != nil && length != nil:
		girth.use("its girth")
		length.use("its length")
		return weight{at: girth, asked: true}, nil
	}
	if !doubt {
		if all = wg.weightsInNotes(h); len(all) > 0 {
			return slices.MaxFunc(all, func(x, y weight) int {
				if wg.better(x, y) {
					return 1
				}
				return -1
			}), all
		}
	}
	return weight{asked: doubt}, nil
}

// readWeight reads one cell of weighings; ok is false where something of it was asked.
func (wg *weigher) readWeight(o *obs) (all []weight, ok bool) {
	o.use("what it weighs")
	if dash(o.cell.Text) {
		return nil, true
	}
	unit := cmp.Or(o.unit, wg.unit)
	if o.cell.Kind == Number && o.cell.Unit != "" {
		unit = o.cell.Unit
	}
	w := wg.lang.weightIn(o.cell.Text, unit)
	none := len(w.Weighings) == 0
	switch {
	case w.Question || w.Range != 0 || len(w.Unread) > 0 && none:
		wg.asks.askCell("weight-doubt", o, "doubt")
		return nil, false
	case w.Unknown && none:
		wg.asks.askCell("weight-missing", o, "unknown")
		return nil, false
	case none:
		wg.asks.askCell("weight-unread", o, "unread")
		return nil, false
	}
	ok = true
	for _, x := range w.Weighings {
		if x.Was && len(w.Weighings) > 1 {
			continue
		}
		if x.Other != 0 || x.Unit == "" || x.Kg < 40 || x.Kg > 1300 {
			ok = false
			wg.asks.askCell("weight-doubt", o, "doubt")
			continue
		}
		v := weight{kg: x.Kg, known: true, basis: x.Basis, at: o, date: wg.weighedOn(o, x)}
		if v.basis == quantity.NotSaid {
			v.basis = quantity.Basis(o.by)
		}
		if x.Approx && v.basis == quantity.NotSaid {
			v.basis = quantity.Stated
		}
		all = append(all, v)
	}
	return all, ok
}

// weighedOn is the day of a weighing, as its cell, its row or its heading says it; zero
// where none does, or where it has not come yet, which is asked.
func (wg *weigher) weighedOn(o *obs, x quantity.Weighing) time.Time {
	var d date
	switch {
	case x.Date.Day != 0:
		d = date{d: x.Date.Day, m: x.Date.Month, y: x.Date.Year}
		if x.Date.Swapped {
			d = date{a: d.d, b: d.m, y: d.y} // the book may write the month first
		}
	case o.date != (date{}):
		d = o.date
	case o.col != nil && len(o.col.days) > 0:
		d = o.col.days[0]
	default:
		return time.Time{}
	}
	t, _ := wg.resolveNear(d)
	if t.IsZero() && o.date != (date{}) {
		t, _ = wg.resolveNear(o.date) // no week says which year the cell's own day is in
	}
	if !wg.week.ahead(t) {
		return t
	}
	if d.a > 0 {
		d.d, d.m, d.a, d.b = d.b, d.a, 0, 0
		if wg.cal.monthFirst {
			d.d, d.m = d.m, d.d
		}
		if t, _ = wg.resolveNear(d); !t.IsZero() && !wg.week.ahead(t) {
			return t // the other way round it has been
		}
	}
	wg.asks.askCell("weight-doubt", o, "ahead")
	return time.Time{}
}

// better says whether a weighing goes before another: a later one; of two without
// dates the weighbridge before the tape; else the later column or tab.
func (wg *weigher) better(x, y weight) bool {
	if !x.date.IsZero() && !y.date.IsZero() && !x.date.Equal(y.date) {
		return x.date.After(y.date)
	}
	rank := func(w weight) int {
		switch w.basis {
		case quantity.Scale:
			return 3
		case quantity.Tape:
			return 2
		}
		return 1
	}
	if ax, ay := wg.week.age(x.at), wg.week.age(y.at); ax != ay {
		return ax < ay
	}
	if d, e, ok := wg.cal.headedDays(x, y); ok && d != e && x.date.IsZero() && y.date.IsZero() {
		later := d > e
		if max(d, e)-min(d, e) > 6*31 { // the turn of the year lies between them
			later = !later
		}
		return later
	}
	if rank(x) != rank(y) && (x.at.sheet == y.at.sheet) {
		return rank(x) > rank(y)
	}
	if !x.date.IsZero() && y.date.IsZero() {
		return true
	}
	if x.date.IsZero() && !y.date.IsZero() {
		return false
	}
	return x.at.sheet == y.at.sheet && x.at.cell.Col > y.at.cell.Col
}

// resolveNear finds the day a date without a year means: the last before the week
// planned ends.
func (wg *weigher) resolveNear(d date) (time.Time, bool) {
	if d.y > 0 {
		return wg.cal.resolve(d, -1)
	}
	base := wg.week.first
	if base.IsZero() {
		return time.Time{}, false
	}
	if d.a > 0 && d.a <= 12 && d.b <= 12 {
		// Day and month either way: the one that lies shortly before the week.
		near := func(m, day int) bool {
			t := makeDate(base.Year(), m, day)
			if wg.week.ahead(t) {
				t = makeDate(base.Year()-1, m, day)
			}
			return !t.IsZero() && base.Sub(t) < 100*24*time.Hour
		}
		if x, y := near(d.b, d.a), near(d.a, d.b); x != y {
			d.d, d.m = d.a, d.b
			if y {
				d.d, d.m = d.b, d.a
			}
			d.a, d.b = 0, 0
		}
	}
	d.y = base.Year()
	t, ok := wg.cal.resolve(d, -1)
	if ok && wg.week.ahead(t) {
		d.y--
		t, ok = wg.cal.resolve(d, -1)
	}
	return t, ok
}

// massUnit settles what bare weights are in: the one unit the book writes beside
// the others, else what a horse can weigh.
func massUnit(lang *language, all []*obs) string {
	kg, lb := 0, 0
	var bare, named []float64 // numbers without a unit, and kilograms of those with one
	for _, o := range all {
		if o.role != weightRole {
			continue
		}
		for _, x := range lang.weightIn(o.cell.Text, o.unit).Weighings {
			switch x.Unit {
			case "kg":
				kg++
				named = append(named, x.Kg)
			case "lb":
				lb++
				named = append(named, x.Kg)
			case "":
				bare = append(bare, max(x.Value, x.Other))
			}
		}
	}
	slices.Sort(bare)
	slices.Sort(named)
	switch {
	case otherUnit(bare, named, kg, lb):
		return "" // each is asked about
	case kg > 0 && lb == 0:
		return "kg"
	case lb > 0 && kg == 0:
		return "lb"
	case len(bare) > 0 && bare[len(bare)/2] > 760:
		return "lb"
	case len(bare) > 0:
		return "kg"
	}
	return ""
}

// otherUnit says whether numbers without a unit are likely in another than the one that is
// written beside others: read in it they lie far from those, and read in the other they do not.
func otherUnit(bare, named []float64, kg, lb int) bool {
	if len(bare) == 0 || len(named) == 0 || kg > 0 && lb > 0 {
		return false
	}
	per, other := 1.0, 0.45359237
	if lb > 0 {
		per, other = other, per
	}
	apart := func(per float64) bool {
		r := bare[len(bare)/2] * per / named[len(named)/2]
		return r < 0.6 || r > 1.7
	}
	return apart(per) && !apart(other)
}
