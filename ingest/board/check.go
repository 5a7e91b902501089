package board

import (
	"slices"
)

// What was put together is held against itself here: a reading that no careful person
// would believe is asked about, and the facts that rest on it are not known.

// checks hold the rations and weights of all horses against each other.
type checks struct {
	herd    *herd
	asks    *questions
	room    *feedRoom
	scales  *weigher
	amounts *rationReader
	week    plannedWeek
	tables  []*table
}

// mostHardFeed is the part of its weight that a horse can be fed in hard feed
// a day. A racehorse in full work gets 2 in 100 (common practice, no source).
const mostHardFeed = 0.035

// checkRations asks about what is fed where it can't be so.
func (ck *checks) checkRations() {
	for _, h := range ck.herd.horses {
		w, _ := ck.scales.weightOf(h)
		ck.sameOfNothing(h)
		for _, r := range []*ration{&h.now, &h.plan} {
			kg, ok := sumOf(*r, func(p portion) bool { return ck.room.isHard(p.feed) && !p.vague })
			if !ok || kg <= 6 || w.known && kg <= mostHardFeed*w.kg || !w.known && kg <= 20 {
				continue
			}
			r.unknown = true
			for _, p := range r.portions {
				if ck.room.isHard(p.feed) && !p.vague {
					ck.asks.askCell("amount-doubt", p.cell, "much")
				}
			}
		}
	}
	ck.unitsApart()
}

// sameOfNothing asks where a horse is to get the same as now, and nothing of what it
// gets now was found to be meant.
func (ck *checks) sameOfNothing(h *horse) {
	if h.plan.unknown || len(h.plan.portions) > 0 || len(h.now.portions) == 0 || h.now.unknown {
		return
	}
	for _, o := range h.obs {
		if o.role != feedRole || o.when == nowFed || ck.week.age(o) != 0 {
			continue
		}
		if a, _ := ck.amounts.amountAt(o); a.Same {
			h.plan.unknown = true
			ck.asks.askCell("amount-same", o, "nothing")
			return
		}
	}
}

// unitsApart asks where figures without a unit were taken to be in one unit now and in
// another as planned, and no heading of their own says so.
func (ck *checks) unitsApart() {
	type side struct {
		unit string
		at   *obs
	}
	for _, h := range ck.herd.horses {
		of := func(r ration) (out side) {
			for _, p := range r.portions {
				if p.at != nil && p.part.Unit == "" && p.at.unit == "" && p.known && p.at.cell.Kind == Number {
					return side{p.measure, p.at}
				}
			}
			return side{}
		}
		now, plan := of(h.now), of(h.plan)
		if now.at == nil || plan.at == nil || now.unit == plan.unit {
			continue
		}
		h.now.unknown, h.plan.unknown = true, true
		ck.asks.askCell("amount-unit", now.at, "apart")
		ck.asks.askCell("amount-unit", plan.at, "apart")
	}
}

// farWeights asks about weights that no horse of the yard can have: of a unit that is
// another than the others', or a slip of the pen.
func (ck *checks) farWeights() {
	var all []float64
	for _, h := range ck.herd.horses {
		if w, _ := ck.scales.weightOf(h); w.known {
			all = append(all, w.kg)
		}
	}
	if len(all) < 3 {
		return
	}
	slices.Sort(all)
	median := all[len(all)/2]
	for _, h := range ck.herd.horses {
		w, _ := ck.scales.weightOf(h)
		if !w.known || w.kg < 3.5*median && (w.kg < 1000 || median > 700) && w.kg > median/6 {
			continue
		}
		ck.asks.askCell("weight-doubt", w.at, "far")
		h.weighed.best, h.weighed.all = weight{asked: true}, nil
	}
}
