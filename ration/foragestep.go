package ration

import (
	"slices"

	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// forageStepShare is the share of what is fed now by which forage moves in a day and, on
// its way down or above its floor, in a week (design §5.7, limits D-05): ours.
const forageStepShare = 0.25

// forageRise is what one day's step makes of a weighed forage, and what a week does: a
// quarter more of all forage, and under the forage floor a quarter again later in the week,
// as far as the floor asks for. Without an amount to count from there is no step, nor for a
// horse that has under half its floor: to be without forage is the greater danger (ours).
func (c *dish) forageRise(i int) (firstKg, mostKg float64, stepped bool) {
	it := c.bucket[i]
	if it.class() != yard.Forage || it.grazed || !it.now.given || it.now.unread || it.now.adLib || it.now.kg <= 0 || dmOf(it) <= 0 {
		return 0, 0, false
	}
	total := 0.0
	for _, o := range c.bucket {
		switch {
		case o.class() != yard.Forage:
		case o.grazed:
			total += c.facts.grassRangeKg().Low.Or(0)
		case o.now.adLib || o.now.unread: // nobody knows how much is eaten
			return 0, 0, false
		default:
			total += o.now.kg * dmOf(o)
		}
	}
	if below(total, c.facts.forageStopPct()/100*c.facts.bodyKg/2) {
		return 0, 0, false
	}
	unit := it.forageUnitKg()
	step := func(kg, totalKg float64) float64 {
		return max(kg+unit, wholeUnits(kg+forageStepShare*totalKg/dmOf(it), unit)*unit)
	}
	firstKg = step(it.now.kg, total)
	mostKg = firstKg
	if short := c.facts.forageWarnPct()/100*c.facts.bodyKg - total - (firstKg-it.now.kg)*dmOf(it); above(short, 0) {
		again := step(firstKg, total+(firstKg-it.now.kg)*dmOf(it))
		mostKg = min(again, unitsFor(firstKg+short/dmOf(it), unit)*unit)
	}
	return firstKg, mostKg, true
}

// inForageSteps is a ration whose weighed forages rise no further than a week's steps.
func (c *dish) inForageSteps(d dailyKg) dailyKg {
	out := slices.Clone(d)
	for i := range c.bucket {
		if _, most, stepped := c.forageRise(i); stepped {
			out[i] = min(d[i], max(most, c.bucket[i].now.kg))
		}
	}
	return out
}

// forageRising says whether some weighed forage goes up as far as a week's steps lead: what
// is short of the floor then comes with the next.
func (c *dish) forageRising(d dailyKg) (i int, rising bool) {
	for i := range c.bucket {
		if _, most, stepped := c.forageRise(i); stepped && !below(d[i], most) {
			return i, true
		}
	}
	return -1, false
}

// blocks says whether a ration passes a stop limit: too little forage is none where it is on
// its way up as fast as it may be.
func (c *dish) blocks(d dailyKg, found []yard.Finding) bool {
	_, rising := c.forageRising(d)
	return slices.ContainsFunc(found, func(f yard.Finding) bool { return f.Severity == yard.Stop && !(rising && f.Rule == "D-17") })
}

// sayRising says in place of what the forage is short of that it goes up by steps, and to
// what it is to come.
func sayRising(c *dish, d dailyKg, found []yard.Finding) []yard.Finding {
	i, rising := c.forageRising(d)
	if !rising {
		return found
	}
	out := slices.Clone(found)
	for k, f := range out {
		if f.Rule == "D-17" {
			out[k].Saying, out[k].Message = risingForage(c, i, d), ""
		}
	}
	return out
}

// risingForage is the sentence on a forage that goes up by steps.
func risingForage(c *dish, i int, d dailyKg) yard.Saying {
	floor := slices.Clone(d)
	raiseForage(c, floor, c.facts.forageWarnPct(), func(it item) bool { return it.feed == c.bucket[i].feed })
	return yard.Say("finding.D-17.rising", yard.FeedArg("feed", c.bucket[i].feed.Feed.Name), yard.Kg("card", d[i]), yard.Kg("floor", max(floor[i], d[i])))
}

// inForageDays puts the second step of a forage that goes up in two on a later day of the
// week: the stages before it have the first.
func inForageDays(c *dish, stages []stage) []stage {
	last := stages[len(stages)-1]
	first := map[int]float64{}
	for i := range c.bucket {
		if kg, _, stepped := c.forageRise(i); stepped && above(last.day[i], kg) {
			first[i] = kg
		}
	}
	if len(first) == 0 {
		return stages
	}
	const again = guard.QuietDays + 1
	var out []stage
	split := false
	for k, s := range stages {
		if s.from >= again && !split {
			split = true
			if s.from > again { // nothing else changes that day
				whole := stages[k-1]
				whole.from = again
				out = append(out, whole)
			}
		}
		if s.from >= again {
			out = append(out, s)
			continue
		}
		s.day, s.meals = slices.Clone(s.day), slices.Clone(s.meals)
		for i, kg := range first {
			s.day[i], s.meals[i] = kg, c.sharing.mealsOf(c.bucket[i], kg, c.bucket[i].pattern(c.sharing.keepsMealPattern))
		}
		out = append(out, s)
	}
	if !split {
		whole := last
		whole.from = again
		out = append(out, whole)
	}
	return out
}
