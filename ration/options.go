package ration

import (
	"slices"

	"hardfeed/ration/guard"
	"hardfeed/ration/need"
	"hardfeed/ration/yard"
)

// options are the amounts each item may be given, kg as fed on a work day,
// rising; nil: it stays as it is.
func (c *chooser) options(base dailyKg) [][]float64 {
	out := make([][]float64, len(c.horse.dish.bucket))
	main := c.horse.dish.bucket.mainForage()
	forbidden := guard.Forbidden(c.horse.dish.evaluate(base, c.horse.dish.sharing.keepsMealPattern), c.horse.facts.rules.Limits)
	for i, it := range c.horse.dish.bucket {
		switch {
		case c.completes && it.mayComeIn && !forbidden[i]:
			out[i] = c.completingOptions(it)
		case it.grazed || it.startingPortion().adLib:
		case it.hard() && forbidden[i]:
			out[i] = []float64{0}
		case it.hard():
			out[i] = hardFeedOptions(&c.horse.dish, it)
		case i == main:
			out[i] = slices.DeleteFunc(forageOptions(&c.horse.dish, i, base), func(kg float64) bool { return c.completes && below(kg, c.mainKg) })
		case it.class() == yard.Oil && it.energyKnown() && it.movable(): // brought in over two weeks (limits D-07) by people, not by this program
			out[i] = amounts(oilUnitKg, it.now.kg, it.now)
		case it.class() == yard.Salt && it.movable():
			out[i] = amounts(saltUnitKg, saltRoom*guard.SaltStopG(c.horse.facts.ceilingWeightKg, c.horse.facts.rules.Limits)/1000, it.now)
		}
	}
	return out
}

// saltRoom is the share of the stop limit on salt that a proposal goes to at the most: next
// week's weighing may be a little lower, and the mark with it. Ours.
const saltRoom = 0.9

// amounts are the whole units up to the most, and what is fed now.
func amounts(unit, most float64, now portion) []float64 {
	var kgs []float64
	for n := 0; !above(float64(n)*unit, most); n++ {
		kgs = append(kgs, float64(n)*unit)
	}
	if now.given && !now.unread {
		kgs = append(kgs, now.kg)
	}
	return tidy(kgs)
}

// energyKnown says whether a feed's energy and dry matter are known.
func (it item) energyKnown() bool {
	x := it.feed.Composition
	return x.DM.IsKnown() && x.DE.IsKnown() && dmOf(it) > 0
}

// movable says whether the chooser may move what somebody wrote down as fed now.
func (it item) movable() bool { return it.now.given && !it.now.unread && !it.planned.given }

// hardFeedOptions go up to the most hard feed there may be in a day. A balancer is
// fed for what it holds, not for its energy: it stays (limits CO-11).
func hardFeedOptions(c *dish, it item) []float64 {
	if c.facts.smallBalancer(it) || !it.energyKnown() {
		return nil
	}
	unit := it.quarterKg()
	if unit == 0 {
		unit = weighUnitKg
	}
	most := c.facts.rules.Limits.HardFeedStopPct / 100 * c.facts.ceilingWeightKg / dmOf(it)
	switch {
	case it.feed.Cereal && c.facts.harmedByCereal():
		return []float64{0}
	case it.balancer():
		most = c.facts.balancerKg(it)
	}
	return amounts(unit, most, it.now)
}

// forageOptions go up to what the horse can eat, or eats now where that is more.
func forageOptions(c *dish, main int, base dailyKg) []float64 {
	it := c.bucket[main]
	if !it.energyKnown() || !it.movable() {
		return nil
	}
	written := 0.0
	for i, o := range c.bucket {
		if !o.grazed && !o.startingPortion().adLib {
			written += base[i] * dmOf(o)
		}
	}
	most := max(need.IntakeDMPerKg(c.facts.WorkClass)*c.facts.bodyKg, written) / dmOf(it)
	if vetNamed(&c.facts.Horse) && !hayFillsUp(c, it) { // more forage is the vet's to give, the floor apart
		most = max(it.now.kg, base[main])
	}
	if guard.Has(c.facts.Horse.Diagnoses, yard.PoorTeeth) && !it.feed.Haylage && !it.feed.Wetted { // long hay it may not be able to chew
		most = it.now.kg
	}
	kgs := amounts(it.forageUnitKg(), most, it.now)
	if c.facts.toGain() && slices.ContainsFunc(c.bucket, func(o item) bool { return o.grazed }) {
		kgs = slices.DeleteFunc(kgs, func(kg float64) bool { return below(kg, it.now.kg) })
	}
	return kgs
}

// hayFillsUp says whether hay may make up the energy of a horse that a vet has named a
// condition for: hay known to be low in starch and sugar (limits D-15, MS-22), for a horse of
// the middle score or under it that is not to slim, and at no grass, of which it may eat more
// than is counted. Ours.
func hayFillsUp(c *dish, it item) bool {
	score, scored := c.facts.Horse.Score.Get()
	x := it.feed.Composition
	starch, ok1 := x.Starch.Get()
	sugar, ok2 := x.Sugar.Get()
	return scored && score <= leanScore && !toSlim(&c.facts.Horse) && ok1 && ok2 && starch+sugar <= 10*c.facts.rules.Limits.InsulinHayPct && // % of dry matter as g a kg
		!slices.ContainsFunc(c.bucket, func(o item) bool { return o.grazed })
}

// smallBalancerKg is what is fed of a balancer at the most, kg per 100 kg of body
// weight a day: common practice is 0.1, no source.
const smallBalancerKg = 0.15

// usualBalancerKg is what the chooser gives of a balancer at the most where its label
// gives no rate, kg per 100 kg of body weight a day: common practice, no source.
const usualBalancerKg = 0.1

// balancer says whether a feed is a balancer: vitamins and minerals in little feed.
func (it item) balancer() bool { return it.feed.Balancer }

// smallBalancer says whether a hard feed is a balancer in the amount balancers are
// made for. Its vitamins and trace minerals seldom stand on the feeds sheet, so a
// choice by what is known would take it from every horse on little energy, which
// are those it is for.
func (c *facts) smallBalancer(it item) bool {
	return it.balancer() && it.now.given && !it.now.unread && it.now.kg > 0 && !above(it.now.kg, smallBalancerKg*c.bodyKg/100)
}

// toGain says whether the horse is to put on weight. Hay is not taken from it for
// grass, of which nobody knows how much is eaten (ours).
func (c *facts) toGain() bool {
	score, okS := c.Horse.Score.Get()
	target, okT := c.Horse.TargetScore.Get()
	return okS && okT && target > score
}
