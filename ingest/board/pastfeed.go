package board

import (
	"maps"
	"math"
	"slices"

	"hardfeed/ration/yard"
)

// pastWeeks are the weeks before the one planned whose feed the book still has, tab behind
// tab or block below block: what each horse was fed, and went on to. A week of which
// anything is not clear is left out, and nothing is asked of it.
func (fd *feeding) pastWeeks(h *horse) (out []yard.PastWeek) {
	if fd.week.first.IsZero() {
		return nil
	}
	byAge := map[int][]*obs{}
	for _, o := range h.obs {
		if o.role == feedRole && o.week != nil && !o.week.first.IsZero() && o.day < 0 {
			if age := fd.week.age(o); age > 0 && age <= yard.MostPastWeeks && o.week.first.Equal(fd.week.first.AddDate(0, 0, -7*age)) {
				byAge[age] = append(byAge[age], o)
			}
		}
	}
	for _, age := range slices.Backward(slices.Sorted(maps.Keys(byAge))) {
		p := yard.PastWeek{Beginning: fd.week.first.AddDate(0, 0, -7*age)}
		var fed, planned *float64
		fd.quietly(func() { fed, planned = fd.pastFeed(byAge[age]) })
		switch {
		case planned != nil && fed != nil:
			p.HardKg, p.FromKg = yard.Known(*planned), yard.Known(*fed)
		case planned != nil:
			p.HardKg = yard.Known(*planned)
		case fed != nil:
			p.HardKg = yard.Known(*fed)
		default:
			continue
		}
		out = append(out, p)
	}
	return out
}

// pastFeed is the hard feed of a week that is over as it was fed at its start and as it was
// planned, kg a day; nil where the book does not say or it is not clear.
func (fd *feeding) pastFeed(cells []*obs) (fed, planned *float64) {
	var was, plan []*obs
	for _, o := range cells {
		if o.asPlan {
			plan = append(plan, o)
		} else {
			was = append(was, o)
		}
	}
	known := len(fd.room.order)
	kg := func(r ration) *float64 {
		sum, ok := sumOf(r, func(p portion) bool { return fd.room.isHard(p.feed) })
		if !ok || len(fd.room.order) > known { // of a feed the yard no longer has, nobody knows what it is
			return nil
		}
		sum = math.Round(sum*1000) / 1000
		return &sum
	}
	var before *ration
	if len(was) > 0 {
		r := fd.amounts.rationOf(was, nil)
		if fed = kg(r); fed == nil {
			return nil, nil
		}
		before = &r
	}
	if len(plan) > 0 {
		if planned = kg(fd.amounts.rationOf(plan, before)); planned == nil {
			return nil, nil
		}
	}
	return fed, planned
}

// quietly does something of which nothing is asked and nothing stays.
func (fd *feeding) quietly(do func()) {
	fd.asks.quiet = true
	fd.room.leaving(do)
	fd.asks.quiet = false
}
