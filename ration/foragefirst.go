package ration

import (
	"math"
	"slices"

	"hardfeed/ration/guard"
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
	d := slices.Clone(c.fed.day)
	c.dish.estimateAdLib(d)
	return d
}

// energyToKeep is the energy fed now, Mcal a day over the week, of a horse that is
// not to have less: one under score 5, one losing weight, and one with more work
// than last week (design §5.6). known is false for all others, and where what is fed
// now or its energy is not known.
func (c *horseWeek) energyToKeep() (mcal float64, known bool) {
	if !c.fed.known || !c.facts.mustNotFall() {
		return 0, false
	}
	return c.dish.meanSupply(c.nowFed())
}

// lean says whether a horse is lean or losing weight, and is not to slim.
func (c *facts) lean() bool {
	return !toSlim(&c.Horse) && (c.Horse.Score.Or(leanScore) < leanScore || c.losing())
}

// losing says whether a horse is losing weight: by its weighings, or by what somebody wrote
// where these show nothing (design §5.9).
func (c *facts) losing() bool {
	return c.trend == yard.TrendLosing || c.Horse.Losing && c.trend != yard.TrendHolding && c.trend != yard.TrendGaining
}

// racesOnIt says whether a horse in race training is fed no more than the top of its need:
// such horses need more than the tables have, some far more (evidence EN-10 to EN-13), so
// no table takes its hard feed away.
func (c *horseWeek) racesOnIt() bool {
	if !c.fed.known || !inRaceTraining(&c.facts.Horse) || toSlim(&c.facts.Horse) || allRest(&c.facts.Horse) {
		return false
	}
	supply, known := c.dish.meanSupply(c.nowFed())
	return known && !above(supply, c.facts.Energy.NeedRange.High.Or(0))
}

func (c *facts) mustNotFall() bool {
	if toSlim(&c.Horse) || c.lean() {
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
func (c *facts) harmedByCereal() bool {
	return c.Horse.Score.Or(0) >= fatScore || vetNamed(&c.Horse)
}

// forageKept are the ways to choose in: the main forage kept at what is fed now, or
// taken down in a ration without hard feed but balancer (design §5.6). Where a vet
// leads the slimming, and where no forage is moved, there is one way.
func (c *chooser) forageKept(options [][]float64) [][][]float64 {
	main := c.horse.dish.bucket.mainForage()
	if main < 0 || options[main] == nil || c.horse.facts.Horse.Has(yard.Overweight) {
		return [][][]float64{options}
	}
	now := c.horse.dish.bucket[main].now.kg
	kept := slices.Clone(options)
	kept[main] = slices.DeleteFunc(slices.Clone(options[main]), func(kg float64) bool { return below(kg, now) })
	if len(kept[main]) == len(options[main]) {
		return [][][]float64{options}
	}
	without := slices.Clone(options)
	for i, it := range c.horse.dish.bucket {
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

// shortFibreKept are the options that leave a horse with poor teeth the short fibre it is fed,
// which it can chew where it cannot chew hay; nil where there is none, or it is to slim. A
// stop limit goes before it.
func (c *chooser) shortFibreKept(options [][]float64) [][]float64 {
	if !guard.Has(c.horse.facts.Horse.Diagnoses, yard.PoorTeeth) || toSlim(&c.horse.facts.Horse) {
		return nil
	}
	var kept [][]float64
	for i, it := range c.horse.dish.bucket {
		if !guard.ShortFibre(it.feed) || !it.movable() {
			continue
		}
		enough := slices.DeleteFunc(slices.Clone(options[i]), func(kg float64) bool { return below(kg, it.now.kg) })
		if len(enough) == 0 || len(enough) == len(options[i]) {
			continue
		}
		if kept == nil {
			kept = slices.Clone(options)
		}
		kept[i] = enough
	}
	return kept
}

// steadyPct is by how much the energy of what is fed may lie off the need before a
// proposal moves forage for that alone, % of the need: ours. A scale's scatter of 0.7 %
// (evidence WG-01) moves the need by 1 % from week to week, what is learnt by a few more.
const steadyPct = 5

// forageAsFed is the same choice with the main forage as it is fed, where that is all that
// would change and what is fed lies within the need's own error: forage follows no scatter
// of the scales, and turns round within three weeks only where what is fed lies outside all
// of the need's range. A horse that is to gain gets no less than it needs so.
func (c *chooser) forageAsFed(base dailyKg, options [][]float64, target dailyKg, how chosen, more func(*formulation)) (dailyKg, chosen) {
	main := c.horse.dish.bucket.mainForage()
	if main < 0 || how.model == nil || len(options[main]) < 2 || !c.horse.fed.known || alike(target[main], c.horse.fed.day[main]) ||
		slices.ContainsFunc(c.horse.dish.bucket.hardFeeds(), func(i int) bool { return changed(target[i], c.horse.fed.day[i]) }) {
		return target, how
	}
	supply, known := c.horse.dish.meanSupply(c.horse.nowFed())
	off := supply - c.horse.facts.Energy.Need.Or(0)
	most := steadyPct / 100.0 * c.horse.facts.Energy.Need.Or(0)
	if c.horse.facts.Energy.Own.IsKnown() {
		most = max(most, (c.horse.facts.Energy.NeedRange.High.Or(0)-c.horse.facts.Energy.Need.Or(0))/z90)
	}
	if toSlim(&c.horse.facts.Horse) {
		most = steadyPct / 100.0 * c.horse.facts.Energy.Need.Or(0)
	}
	if chosen, _ := c.horse.dish.meanSupply(target); c.horse.facts.turns(supply, chosen) {
		most = max(most, c.horse.facts.Energy.NeedRange.High.Or(0)-c.horse.facts.Energy.Need.Or(0))
	}
	if !known || above(math.Abs(off), most) || off < 0 && (c.horse.facts.lean() || c.horse.facts.toGain()) {
		return target, how
	}
	kept := slices.Clone(options)
	kept[main] = []float64{c.horse.fed.day[main]}
	d, with := c.best(base, kept, more)
	if with.model == nil || with.broken() > how.broken() || how.keepsGaps() && !with.keepsGaps() || slices.ContainsFunc(c.horse.dish.bucket.hardFeeds(), func(i int) bool { return changed(d[i], c.horse.fed.day[i]) }) {
		return target, how
	}
	return d, with
}

// turnWeeks is in how many weeks a feed that goes up and down again has swung: ours.
const turnWeeks = 3

// turns says whether a change of energy would turn round one of the last weeks, while work
// stays.
func (c *facts) turns(fedMcal, chosenMcal float64) bool {
	if before, now := minutesOf(c.Horse.Before), minutesOf(c.Horse.Work); !c.Horse.BeforeGiven || math.Abs(now-before) > before*workSamePct/100 {
		return false
	}
	for _, p := range c.Horse.Past {
		days := c.ageDays(p.Beginning)
		forage, ok := p.ForageMcal.Get()
		other, ok2 := p.OtherMcal.Get()
		if !ok || !ok2 || days <= 0 || days > 7*turnWeeks {
			continue
		}
		moved := fedMcal - forage - other
		if math.Abs(moved) > fedMcal/200 && (moved > 0) != (chosenMcal > fedMcal) {
			return true
		}
	}
	return false
}

// hayBack gives the main forage back what a card takes from it while hard feed but
// balancer is on the card: forage goes last.
func hayBack(c *dish, d dailyKg) dailyKg {
	main := c.bucket.mainForage()
	if main < 0 || !c.bucket[main].movable() || !below(d[main], c.bucket[main].now.kg) || c.facts.Horse.Has(yard.Overweight) {
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
