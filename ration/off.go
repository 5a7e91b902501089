package ration

import (
	"slices"

	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// rests says whether a day of the week is a day off.
func rests(h *yard.Horse, d int) bool { return h.WorkGiven && h.Work[d].Rest() }

// dayKinds are the kinds of the week's days.
func dayKinds(h *yard.Horse) (kinds [7]yard.DayKind) {
	for d := range kinds {
		switch kinds[d] = yard.WorkDay; {
		case h.Work[d].Event:
			kinds[d] = yard.EventDay
		case h.WorkGiven && h.Work[d].Rest():
			kinds[d] = yard.RestDay
		}
	}
	return kinds
}

func restDays(h *yard.Horse) int {
	n := 0
	for d := range h.Work {
		if rests(h, d) {
			n++
		}
	}
	return n
}

// allRest says whether the week is one long rest.
func allRest(h *yard.Horse) bool { return h.WorkGiven && noWork(&h.Work) }

// noWork says whether all days of a week are days off.
func noWork(days *[7]yard.Day) bool {
	for i := range days {
		if !days[i].Rest() {
			return false
		}
	}
	return true
}

// restedBefore says whether a week without work follows one.
func restedBefore(h *yard.Horse) bool { return allRest(h) && h.BeforeGiven && noWork(&h.Before) }

// fedDays are the days of the week the ordinary amount is fed on: not the days
// off, unless the whole week is one.
func (c *facts) fedDays() []int {
	var days []int
	for i, w := range c.Horse.Work {
		if !w.Rest() || !c.Horse.WorkGiven || allRest(&c.Horse) {
			days = append(days, i)
		}
	}
	return days
}

// restCut says whether hard feed is cut on days off: from 0.3 % of body weight
// up, always with a tying-up history (limits D-20). ordinary is the day the week
// ends on, so that the cut does not come and go while an amount climbs. A horse
// that does nothing all week has no work day to be cut from, unless it has tied
// up before.
func (c *dish) restCut(ordinary dailyKg) bool {
	hard := c.bucket.hardKg(ordinary)
	switch {
	case hard <= 0:
		return false
	case guard.Has(c.facts.Horse.Diagnoses, yard.TyingUp):
		return true
	}
	return !below(hard, guard.RestCutKg(c.facts.bodyKg, c.facts.rules.Limits)) && !allRest(&c.facts.Horse)
}

// onRest is an ordinary day as it is fed on a day off.
func (c *dish) onRest(ordinary dailyKg, cut bool) dailyKg {
	d := append(dailyKg(nil), ordinary...)
	if !cut {
		return d
	}
	for i, it := range c.bucket {
		if it.hard() {
			d[i] = c.facts.restKg(it, d[i])
		}
	}
	c.estimateAdLib(d)
	return d
}

// restKg is a hard feed's amount cut for a day off: whole quarters where it is fed in
// those or has a measure of which whole ones are not too coarse, and none of what is one quarter only. A balancer is fed for what it holds, every
// day, but for a horse that has tied up.
func (c *facts) restKg(it item, kg float64) float64 {
	if half := c.cutToHalf(it, kg); half < kg {
		return it.roundDownToMeasure(half)
	}
	return kg
}

// cutToHalf is a hard feed's amount cut as on a day off, on the scale where it is fed so.
func (c *facts) cutToHalf(it item, kg float64) float64 {
	half := kg * c.rules.RestDayFactor
	switch {
	case it.balancer() && !above(kg, smallBalancerKg*c.bodyKg/100) && !guard.Has(c.Horse.Diagnoses, yard.TyingUp):
		return kg
	case it.inQuarters(kg):
		return wholeUnits(half, it.quarterKg()) * it.quarterKg()
	}
	return roundDownToScale(half)
}

// Hours without hard feed round an event (limits D-19: TI-01 to TI-06 before,
// TI-08 after).
const (
	hoursBeforeEvent = 4
	hoursAfterEvent  = 1
	// waitMinutes is how long a meal after an event waits rather than be lost: its hard
	// feed stays on the card, and the caution asks for the hour after the event (ours).
	waitMinutes = 15
)

// leftOut says whether a meal's hard feed is left out on an event day: it falls
// within four hours before a start, or before an hour after that event's end. Times
// that are not known leave the meal in, and the card says so.
func (c *sharing) leftOut(meal int, event yard.Day) bool {
	at := c.meals[meal].Minute
	return at >= 0 && slices.ContainsFunc(eventClocks(event), func(clock yard.EventClock) bool {
		return at > clock.LastHardFeed && at < clock.NextHardFeed-waitMinutes
	})
}

// eventClocks say when hard feed may be given round each event with a known start.
func eventClocks(day yard.Day) (out []yard.EventClock) {
	for _, e := range day.Starts() {
		end := e.Min + int(e.Minutes)
		out = append(out, yard.EventClock{Start: e.Min, End: end, LastHardFeed: e.Min - hoursBeforeEvent*60, NextHardFeed: end + hoursAfterEvent*60,
			Source: "limits D-19 (TI-01 to TI-06) before, TI-08 after"})
	}
	return out
}

// onEventDay is the meals of an event day by item: hard feed that the event takes from one
// meal goes to others only as far as these stay within the usual limits of a meal, or
// within what they have on any day. The rest is left out for that day.
func (c *dish) onEventDay(meals [][]float64, event yard.Day) [][]float64 {
	out := make([][]float64, len(c.bucket))
	for i := range c.bucket {
		out[i] = c.onEvent(i, meals[i], event)
	}
	for m := range c.sharing.meals {
		for i := range slices.Backward(c.bucket) {
			it := c.bucket[i]
			unit := it.quarterKg()
			if !it.inQuarters(out[i][m]) {
				unit = weighUnitKg
			}
			for it.hard() && out[i][m] > meals[i][m] && c.tooMuchAt(m, out, meals) {
				out[i][m] = max(meals[i][m], out[i][m]-unit)
			}
		}
	}
	return out
}

// tooMuchAt says whether a meal has more hard feed or starch than the usual limits of a
// meal allow, and more than on an ordinary day. Where a vet's diagnosis sets limits of its
// own on a meal, it has nothing more than on an ordinary day.
func (c *dish) tooMuchAt(m int, fed, ordinary [][]float64) bool {
	at := func(meals [][]float64) (hardKg, starchG float64) {
		for i, it := range c.bucket {
			if it.hard() {
				hardKg += meals[i][m]
				starchG += it.feed.Contains(yard.KgFed(meals[i][m]), it.feed.Composition.Starch).Or(0)
			}
		}
		return hardKg, starchG
	}
	l := c.facts.rules.Limits
	mostKg, mostG := at(ordinary)
	if named := c.facts.Horse.Diagnoses; !guard.SugarMarks(named) && !guard.Has(named, yard.Ulcers) {
		mostKg, mostG = max(mostKg, l.MealWarnKg*c.facts.ceilingWeightKg/100), max(mostG, l.StarchMealWarnG*c.facts.ceilingWeightKg)
	}
	hardKg, starchG := at(fed)
	return hardKg > mostKg+sameNoise || starchG > mostG+sameNoise
}

// onEvent is an item's meals on an event day: hard feed left out round the start,
// less hay where the work is hard.
func (c *dish) onEvent(i int, meals []float64, event yard.Day) []float64 {
	it, out := c.bucket[i], slices.Clone(meals)
	if most, held := c.eventHayKg(i, event); held && most < sum(meals) {
		return c.sharing.lessHayBefore(it, meals, sum(meals)-most, event)
	}
	var fed []int // the meals of the day at which hard feed may be given
	lost := false
	for m := range out {
		switch {
		case !it.hard():
		case c.sharing.leftOut(m, event):
			lost = lost || out[m] > 0
			out[m] = 0
		default:
			fed = append(fed, m)
		}
	}
	if lost && len(fed) > 0 && it.pattern(c.sharing.keepsMealPattern) == nil { // no row ties it to a meal: it goes to the others
		return c.sharing.atOthers(it, sum(meals), fed)
	}
	return out
}

// atOthers gives a day's amount of a hard feed at some of the meals, as far as they have
// room for it.
func (c *sharing) atOthers(it item, kg float64, meals []int) []float64 {
	unit := it.quarterKg()
	if !it.inQuarters(kg) {
		unit = weighUnitKg
	}
	kg = min(kg, max(unit, wholeUnits(it.mealKg, unit)*unit)*float64(len(meals)))
	var order []int
	for _, m := range c.mealOrder {
		if slices.Contains(meals, m) {
			order = append(order, m)
		}
	}
	return apportion(kg, unit, c.fewestMeals(it, kg, unit, order), len(c.meals))
}

// eventForagePct is the forage a day of hard competition is held near, % of body
// weight as dry matter: this program's rule, from the design; no trial is known.
// Small hay is kept (limits FO-14), and it is not under the warning limit of D-17.
const eventForagePct = 1.5

// eventHayKg is the most of the forage that is moved on a day of competition with
// galloping or jumping, kg as fed. No less is given where some forage is there all
// day or grazed, since how much of that is eaten is not known.
func (c *dish) eventHayKg(i int, event yard.Day) (kg float64, held bool) {
	fast := slices.ContainsFunc(event.Sessions, func(s yard.Session) bool {
		return s.Minutes[yard.Gallop] > 0 || s.Minutes[yard.Jump] > 0 || s.Efforts > 0
	})
	if !fast || i != c.bucket.mainForage() {
		return 0, false
	}
	left := max(eventForagePct, c.facts.forageWarnPct()) / 100 * c.facts.bodyKg
	for k, it := range c.bucket {
		if it.class() != yard.Forage || k == i {
			continue
		}
		dm, known := it.feed.DryMatter(yard.KgFed(it.startingPortion().kg))
		if it.grazed || it.startingPortion().adLib || !known {
			return 0, false
		}
		left -= float64(dm)
	}
	dm := dmOf(c.bucket[i])
	if dm <= 0 {
		return 0, false
	}
	unit := c.bucket[i].forageUnitKg()
	return unitsFor(max(0, left)/dm, unit) * unit, true
}

// smallHayKg is what is left in a meal before an event, kg: a small feed of hay is kept
// (limits FO-14); the amount is ours.
const smallHayKg = 1

// lessHayBefore takes hay off the meals before an event's last start, down to a small feed
// in each. What is fed after it is not touched: the horse comes home hungry. Where times are
// not known the last meal of the day is the one after it.
func (c *sharing) lessHayBefore(it item, meals []float64, cutKg float64, event yard.Day) []float64 {
	out, unit := slices.Clone(meals), it.forageUnitKg()
	last := -1
	for _, clock := range eventClocks(event) {
		last = max(last, clock.Start)
	}
	before := func(m int) bool {
		if last < 0 || c.meals[m].Minute < 0 {
			return m < len(meals)-1
		}
		return c.meals[m].Minute < last
	}
	for below(0, cutKg) { // a unit at a time off the one that has most
		most := -1
		for m := range out {
			if before(m) && !below(out[m]-unit, smallHayKg) && (most < 0 || above(out[m], out[most])) {
				most = m
			}
		}
		if most < 0 {
			break
		}
		out[most], cutKg = out[most]-unit, cutKg-unit
	}
	return out
}

// weekday is a day of the week to be said.
func (c *facts) weekday(i int) yard.DayOfWeek {
	d := yard.DayOfWeek{Number: yard.Weekday(i)}
	if !c.week.Beginning.IsZero() {
		d.Date = c.week.Beginning.AddDate(0, 0, i)
	}
	return d
}

// eventCautions are the cautions of the week's event days; those whose start nobody has
// written down are one.
func (c *served) eventCautions() (out []yard.Saying) {
	var untimed []yard.Value
	for i, d := range c.days {
		if d.Kind != yard.EventDay {
			continue
		}
		s := c.facts.eventCaution(i)
		if s.Key == untimedEvent {
			untimed = append(untimed, c.facts.weekday(i))
			if len(untimed) > 1 {
				continue
			}
		}
		out = append(out, s)
	}
	if len(untimed) > 1 {
		at := slices.IndexFunc(out, func(s yard.Saying) bool { return s.Key == untimedEvent })
		out[at] = yard.Say("caution.event.untimed.days", yard.Listed("days", yard.And, untimed...), yard.Fixed("hours", hoursBeforeEvent, yard.Hours, 0))
	}
	return out
}

// untimedEvent is the caution of an event whose start nobody has written down.
const untimedEvent = "caution.event.untimed"

func (c *facts) eventCaution(dayOfWeek int) yard.Saying {
	e, day := c.Horse.Work[dayOfWeek], yard.Arg{Name: "day", Value: c.weekday(dayOfWeek)}
	if len(e.Also) > 0 {
		return severalEvents(day, eventClocks(e))
	}
	start := yard.Arg{Name: "start", Value: yard.Clock(e.StartMin)}
	last := e.StartMin - hoursBeforeEvent*60
	switch {
	case e.StartMin < 0:
		return yard.Say(untimedEvent, day, yard.Fixed("hours", hoursBeforeEvent, yard.Hours, 0))
	case last < 0:
		return yard.Say("caution.event.early", day, start)
	}
	return yard.Say("caution.event", day, start, yard.Arg{Name: "last", Value: yard.Clock(last)})
}

// severalEvents says when hard feed may be given on a day of more events than one:
// before the first, between two that lie far enough apart, and after the last.
func severalEvents(day yard.Arg, clocks []yard.EventClock) yard.Saying {
	at := func(name string, minute int) yard.Arg { return yard.Arg{Name: name, Value: yard.Clock(minute)} }
	var starts []yard.Value
	var when []yard.Saying
	for i, e := range clocks {
		starts = append(starts, yard.Clock(e.Start))
		switch {
		case i == 0 && e.LastHardFeed >= 0:
			when = append(when, yard.Say("part.hard feed.until", at("at", e.LastHardFeed)))
		case i > 0 && clocks[i-1].NextHardFeed <= e.LastHardFeed:
			when = append(when, yard.Say("part.hard feed.between", at("from", clocks[i-1].NextHardFeed), at("to", e.LastHardFeed)))
		}
	}
	all := yard.Listed("starts", yard.And, starts...)
	if when == nil {
		return yard.Say("caution.events.early", day, all)
	}
	return yard.Say("caution.events", day, all, yard.SayingList("when", yard.And, when))
}
