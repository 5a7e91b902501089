package board

import (
	"slices"

	"hardfeed/ingest/phrase"
)

// feeding tells what a horse is fed now from what is planned for it, and from what it was
// fed before.
type feeding struct {
	amounts  *rationReader
	asks     *questions
	week     plannedWeek
	firstDay int // of the week; Monday 0
	work     *workReader
	room     *feedRoom
}

// feedSides are the cells of feed of a horse, by what they are of.
type feedSides struct {
	was, now, plan []*obs // was: at the start of last week, whose plan it is fed now
}

// feedCells parts a horse's cells of feed into what is fed now and what is planned.
func (fd *feeding) feedCells(h *horse) (of feedSides) {
	var now, plan, plain []*obs
	oldest := map[int][]*obs{}
	for _, o := range h.obs {
		if o.role != feedRole {
			continue
		}
		w := o.when
		if w == unsaid {
			w = o.sheet.when
			if o.table != nil && o.table.when != unsaid {
				w = o.table.when
			}
		}
		age := fd.week.age(o)
		if age > 0 {
			oldest[age] = append(oldest[age], o)
			o.asPlan = w == planned
			continue
		}
		if o.week != nil && o.week.across {
			if age < 0 {
				o.use("of a later week")
				continue
			}
			w = planned
		}
		switch w {
		case nowFed:
			now = append(now, o)
		case planned:
			plan = append(plan, o)
		default:
			plain = append(plain, o)
		}
	}
	switch {
	case len(plain) == 0:
	case len(now) > 0 && len(plan) == 0:
		plan = plain
	case len(plan) > 0 && len(now) == 0 && !daily(plain):
		now = plain
	case len(oldest[1]) > 0 && len(now) == 0 && len(plan) == 0:
		plan = plain
	case daily(plain), len(now) == 0 && len(plan) == 0 && ofThisWeek(plain):
		plan = append(plan, plain...)
	default:
		now = append(now, plain...)
	}
	if len(now) == 0 && len(oldest[1]) > 0 {
		of.was, now = fd.ofLastWeek(h, oldest[1])
	}
	for _, os := range oldest {
		for _, o := range os {
			o.use("of a week before")
		}
	}
	of.now, of.plan = now, plan
	return of
}

// ofLastWeek is what is fed now where only last week's tab says: what it planned. was is
// what it fed, where it says that too.
func (fd *feeding) ofLastWeek(h *horse, cells []*obs) (was, now []*obs) {
	var fed, plan []*obs
	for _, o := range cells {
		if o.asPlan {
			plan = append(plan, o)
		} else {
			fed = append(fed, o)
		}
	}
	switch {
	case len(plan) == 0:
		return nil, fed
	case len(fed) > 0:
		return fed, plan
	}
	x := fd.asks.add("lastplan", ask{rule: "amount-missing", why: "last plan", word: plan[0].cell.Text, cell: plan[0].cell, sheet: plan[0].sheet})
	x.horses = append(x.horses, h.index)
	return nil, plan
}

// ofThisWeek says whether the headings of all cells say that they are of this week,
// and of no other: what is planned, and nobody says what is fed now.
func ofThisWeek(os []*obs) bool {
	return !slices.ContainsFunc(os, func(o *obs) bool { return !o.thisWeek })
}

// daily says whether cells of feed are written day by day.
func daily(os []*obs) bool {
	return slices.ContainsFunc(os, func(o *obs) bool { return o.day >= 0 })
}

// notDaily are the cells of feed that are not written for one day.
func notDaily(os []*obs) []*obs {
	var out []*obs
	for _, o := range os {
		if o.day < 0 {
			out = append(out, o)
		}
	}
	return out
}

// rations are what a horse gets now and is to get.
func (fd *feeding) rations(h *horse) (now, plan ration) {
	of := fd.feedCells(h)
	nowCells, planCells := of.now, of.plan
	if of.was != nil {
		before := fd.amounts.rationOf(of.was, nil)
		now = fd.amounts.rationOf(nowCells, &before)
	} else if daily(nowCells) {
		if said := notDaily(nowCells); len(said) > 0 && len(planCells) == 0 {
			// What was fed is said once; the days are the plan.
			var days []*obs
			for _, o := range nowCells {
				if o.day >= 0 {
					days = append(days, o)
				}
			}
			nowCells, planCells = said, days
			now = fd.amounts.rationOf(nowCells, nil)
		} else {
			now = fd.byDay(h, nowCells, nil)
		}
	} else {
		now = fd.amounts.rationOf(nowCells, nil)
	}
	if daily(planCells) {
		plan = fd.byDay(h, planCells, &now)
	} else {
		plan = fd.amounts.rationOf(planCells, &now)
		fd.fillPlan(nowCells, &now, &plan)
	}
	if len(planCells) > 0 {
		plan.first = planCells[0]
	}
	return now, plan
}

// byDay takes the plan of a week written day by day: that of its last working day.
func (fd *feeding) byDay(h *horse, cells []*obs, now *ration) ration {
	var days [7][]*obs
	var all []*obs
	for _, o := range cells {
		if o.day < 0 {
			all = append(all, o)
			continue
		}
		days[o.day] = append(days[o.day], o)
	}
	order := make([]int, 7)
	for i := range order {
		order[i] = (fd.firstDay + i) % 7
	}
	off := fd.offDays(h)
	of := func(counts func(day int) bool) (out ration) {
		for _, d := range order {
			if len(days[d]) == 0 || !counts(d) {
				continue
			}
			r := fd.amounts.rationOf(append(slices.Clone(days[d]), all...), now)
			if r.unknown {
				out.unknown = true
			}
			if r.said {
				r.unknown, r.days = r.unknown || out.unknown, append(out.days, r.portions...)
				out = r
			}
		}
		return out
	}
	if out := of(func(day int) bool { return !off[day] }); out.said || out.unknown {
		for d, cells := range days {
			for _, o := range cells {
				if off[d] {
					o.use("what it is fed on a day off")
				}
			}
		}
		return out
	}
	return of(func(int) bool { return true })
}

// offDays are the days a horse has no work on: what it is fed then is not its ordinary
// day's ration.
func (fd *feeding) offDays(h *horse) (off [7]bool) {
	for _, o := range h.obs {
		if o.role != workRole || fd.week.age(o) != 0 {
			continue
		}
		if w := fd.work.workCell(o); w.Free != phrase.Working && len(w.Sessions) == 0 && !w.Event {
			for _, d := range o.daysOf() {
				off[d] = true
			}
		}
	}
	return off
}

// fillPlan looks at what is left blank among what is planned.
func (fd *feeding) fillPlan(nowCells []*obs, now, plan *ration) {
	if plan.said || !now.said {
		return
	}
	// Nothing planned for this horse, though there is a column for it: "change to"
	// with nothing to change is as now; under any other heading it is a question.
	for _, o := range nowCells {
		if o.table == nil {
			continue
		}
		var col *column
		change := false
		for _, k := range o.table.cols {
			if k.role == feedRole && k.when == planned {
				col = k
				change = change || k.lab.has("change")
			}
		}
		if col == nil {
			return
		}
		if change || now.none && len(now.portions) == 0 {
			*plan = *now
			return
		}
		if slices.ContainsFunc(o.table.cols, func(k *column) bool { return k.role == feedRole && k.when == planned && len(k.obs) > 0 }) {
			fd.asks.askBlank(col, o) // one blank among others; a whole column of them plans nothing
		}
		return
	}
}
