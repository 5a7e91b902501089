package ration

import (
	"slices"
	"strings"

	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// options are the amounts each item may be given, kg as fed on a work day,
// rising; nil: it stays as it is.
func (c *dish) options(base day) [][]float64 {
	out := make([][]float64, len(c.bucket))
	eats, written := usualIntakePct/100*c.bodyKg, 0.0
	for i, it := range c.bucket {
		if !it.grazed && !it.fed().adLib {
			written += base[i] * dmOf(it)
		}
	}
	eats = max(eats, written)
	grid := func(unit, most float64, now portion) []float64 {
		var kgs []float64
		for n := 0; !above(float64(n)*unit, most); n++ {
			kgs = append(kgs, float64(n)*unit)
		}
		if now.given && !now.unread {
			kgs = append(kgs, now.kg)
		}
		return tidy(kgs)
	}
	main := c.mainForage()
	forbidden := guard.Forbidden(c.evaluate(base, c.keep), c.rules.Limits)
	for i, it := range c.bucket {
		x := it.feed.Composition
		known := x.DM.IsKnown() && x.DE.IsKnown() && dmOf(it) > 0
		asFed := it.now.given && !it.now.unread && !it.planned.given
		switch {
		case it.grazed || it.fed().adLib:
		case it.hard() && forbidden[i] != "":
			out[i] = []float64{0}
		case it.hard() && c.smallBalancer(it): // for what it holds, not for its energy: it stays (limits CO-11)
		case it.hard() && known:
			unit := it.quarterKg()
			if unit == 0 {
				unit = weighUnitKg
			}
			out[i] = grid(unit, c.rules.Limits.HardFeedStopPct/100*c.capKg/dmOf(it), it.now)
		case i == main && known && asFed:
			most := eats / dmOf(it)
			if vetNamed(c.Horse) { // more forage is the vet's to give, the floor apart
				most = max(it.now.kg, base[i])
			}
			out[i] = grid(hayUnitKg, most, it.now)
			if c.toGain() && slices.ContainsFunc(c.bucket, func(o item) bool { return o.grazed }) {
				out[i] = slices.DeleteFunc(out[i], func(kg float64) bool { return below(kg, it.now.kg) })
			}
		case it.class() == yard.Oil && known && asFed: // brought in over two weeks (limits D-07) by people, not by this program
			out[i] = grid(oilUnitKg, it.now.kg, it.now)
		case it.class() == yard.Salt && asFed:
			out[i] = grid(saltUnitKg, guard.SaltStopG(c.capKg, c.rules.Limits)/1000, it.now)
		}
	}
	return out
}

// smallBalancerKg is what is fed of a balancer at the most, kg per 100 kg of body
// weight a day: common practice is 0.1, no source.
const smallBalancerKg = 0.15

// smallBalancer says whether a hard feed is a balancer in the amount balancers are
// made for. Its vitamins and trace minerals seldom stand on the feeds sheet, so a
// choice by what is known would take it from every horse on little energy, which
// are those it is for.
func (c *dish) smallBalancer(it item) bool {
	name := strings.ToLower(it.feed.Feed.Name + " " + it.feed.Feed.Generic)
	return strings.Contains(name, "balancer") && it.now.given && !it.now.unread && it.now.kg > 0 && !above(it.now.kg, smallBalancerKg*c.bodyKg/100)
}

// toGain says whether the horse is to put on weight. Hay is not taken from it for
// grass, of which nobody knows how much is eaten (ours).
func (c *dish) toGain() bool {
	score, okS := c.Horse.Score.Get()
	target, okT := c.Horse.TargetScore.Get()
	return okS && okT && target > score
}
