package ration

import (
	"slices"

	"hardfeed/ration/yard"
)

// leanScore is the score under which a horse's energy is not taken down and above
// which it may be: the middle of the scale of one to nine (requirements §9).
const leanScore = 5

// fatScore is the score from which cereals are not fed: overweight on the scale of
// one to nine (requirements §9).
const fatScore = 7

// nowFed is the ordinary day as it is fed now, with what is eaten ad lib estimated.
func (c *horseWeek) nowFed() dailyKg {
	d := slices.Clone(c.now)
	c.estimateAdLib(d)
	return d
}

// energyToKeep is the energy fed now, Mcal a day over the week, of a horse that is
// not to have less: one under score 5, one losing weight, and one with more work
// than last week (design §5.6). known is false for all others, and where what is fed
// now or its energy is not known.
func (c *horseWeek) energyToKeep() (mcal float64, known bool) {
	if !c.nowKnown || !c.mustNotFall() {
		return 0, false
	}
	return c.meanSupply(c.nowFed())
}

// lean says whether a horse is lean or losing weight, and is not to slim.
func (c *dish) lean() bool {
	return !toSlim(c.Horse) && (c.Horse.Score.Or(leanScore) < leanScore || c.trend == yard.TrendLosing)
}

// racesOnIt says whether a horse in race training is fed no more than the top of its need:
// such horses need more than the tables have, some far more (evidence EN-10 to EN-13), so
// no table takes its hard feed away.
func (c *horseWeek) racesOnIt() bool {
	if !c.nowKnown || !inRaceTraining(c.Horse) || toSlim(c.Horse) || allRest(c.Horse) {
		return false
	}
	supply, known := c.meanSupply(c.nowFed())
	return known && !above(supply, c.Energy.NeedRange.High.Or(0))
}

func (c *horseWeek) mustNotFall() bool {
	if toSlim(c.Horse) || c.lean() {
		return c.lean()
	}
	return c.Horse.BeforeGiven && c.Horse.WorkGiven && minutesOf(c.Horse.Work) > minutesOf(c.Horse.Before)
}

func minutesOf(days [7]yard.Day) (total float64) {
	for _, d := range days {
		for _, s := range d.Sessions {
			total += s.Total()
		}
	}
	return total
}

// harmedByCereal says whether this program gives a horse no cereal of its own
// accord (design §5.6).
func (c *dish) harmedByCereal() bool {
	return c.Horse.Score.Or(0) >= fatScore || vetNamed(c.Horse)
}

// forageKept are the ways to choose in: the main forage kept at what is fed now, or
// taken down in a ration without hard feed but balancer (design §5.6). Where a vet
// leads the slimming, and where no forage is moved, there is one way.
func (c *horseWeek) forageKept(options [][]float64) [][][]float64 {
	main := c.mainForage()
	if main < 0 || options[main] == nil || c.Horse.Has(yard.Overweight) {
		return [][][]float64{options}
	}
	now := c.bucket[main].now.kg
	kept := slices.Clone(options)
	kept[main] = slices.DeleteFunc(slices.Clone(options[main]), func(kg float64) bool { return below(kg, now) })
	if len(kept[main]) == len(options[main]) {
		return [][][]float64{options}
	}
	without := slices.Clone(options)
	for i, it := range c.bucket {
		switch {
		case !it.hard() || it.balancer():
		case options[i] == nil && it.startingPortion().kg > 0:
			return [][][]float64{kept} // some hard feed stays whatever is chosen
		case options[i] != nil && options[i][0] == 0:
			without[i] = []float64{0}
		}
	}
	if len(kept[main]) == 0 {
		return [][][]float64{without}
	}
	return [][][]float64{kept, without}
}

// hayBack gives the main forage back what a card takes from it while hard feed but
// balancer is on the card: forage goes last.
func (c *horseWeek) hayBack(d dailyKg) dailyKg {
	main := c.mainForage()
	if main < 0 || !c.bucket[main].movable() || !below(d[main], c.bucket[main].now.kg) || c.Horse.Has(yard.Overweight) {
		return d
	}
	for i, it := range c.bucket {
		if it.hard() && !it.balancer() && d[i] > 0 {
			d = slices.Clone(d)
			d[main] = c.bucket[main].now.kg
			c.estimateAdLib(d)
			return d
		}
	}
	return d
}
