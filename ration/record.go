package ration

import (
	"hardfeed/ration/work"
	"hardfeed/ration/yard"
)

// fedEnergy is the energy of a day's feed, forage and all else apart; unknown where
// forage is only assumed, or the energy of a feed is not known.
func (c *dish) fedEnergy(d dailyKg) (f yard.FedEnergy) {
	if c.noForage {
		return f
	}
	forage, other := 0.0, 0.0
	for i, it := range c.bucket {
		mcal, known := it.feed.Contains(yard.KgFed(d[i]), it.feed.Composition.DE).Get()
		switch {
		case d[i] == 0:
		case it.assumedForage:
			return f
		case !known && it.mostMcal(d[i]) > c.facts.Energy.Need.Or(0)*consequencePct/100:
			return f
		case it.class() == yard.Forage:
			forage += mcal
		default:
			other += mcal
		}
	}
	return yard.FedEnergy{Forage: yard.Known(forage), Other: yard.Known(other)}
}

// fatMcalPerKg is the gross energy of pure fat, Mcal a kg: no feed holds more (physics;
// from memory).
const fatMcalPerKg = 9.4

// energyTold says whether a feed's energy as fed is known, be it none.
func (it item) energyTold() bool {
	return it.feed.Contains(1, energyIn(it.feed.Composition)).IsKnown()
}

// mostMcal is the most energy an amount of a feed can hold.
func (it item) mostMcal(kg float64) float64 {
	return it.feed.AtMost(yard.KgFed(kg), energyIn).Or(fatMcalPerKg * kg)
}

// writtenNow is what somebody wrote down in a bucket as fed in the week before, an
// ordinary work day; unknown where a part of it is.
func writtenNow(c *dish, bucket []item) (f yard.FedEnergy) {
	sheet := *c
	sheet.bucket = bucket
	c = &sheet
	d, some := make(dailyKg, len(c.bucket)), false
	for i, it := range c.bucket {
		if it.now.unread || it.planned.given && !it.now.given && !it.grazed {
			return f
		}
		d[i], some = it.now.kg, some || it.now.given && !it.grazed
	}
	if !some {
		return f
	}
	c.estimateAdLib(d)
	return c.fedEnergy(d)
}

// workBefore is the energy of the work done in the week before, Mcal DE a day.
func (c *facts) workBefore() yard.Num {
	if !c.Horse.BeforeGiven {
		return yard.Num{}
	}
	for _, d := range c.Horse.Before {
		if d.Unknown {
			return yard.Num{}
		}
	}
	sum := 0.0
	for _, mcal := range work.WeekMcal(c.Horse.Before, c.Energy.ClassNeed.Or(0), c.Energy.Maintenance.Or(0), c.bodyKg, c.riderKg, c.rules) {
		sum += mcal
	}
	return yard.Known(sum / 7)
}

// toLearnFrom is what this week's record keeps beside its card for the weeks to come.
func (c *served) toLearnFrom() yard.WeekEnergy {
	return yard.WeekEnergy{CardEnd: c.dish.fedEnergy(c.final), Now: c.wasFed, WorkBefore: c.facts.workBefore()}
}
