package ration

import (
	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// weightTrendOf is what a horse's weighings show.
func (c *facts) weightTrendOf() yard.WeightTrend {
	if !c.weight.known {
		return yard.TrendUnknown
	}
	return guard.WeightTrend(c.ofWeek())
}

// ofWeek is the horse's week as far as its weighings go.
func (c *facts) ofWeek() guard.HorseWeek {
	return guard.HorseWeek{Horse: c.Horse, Beginning: c.week.Beginning, BodyKg: c.bodyKg, WeightBasis: c.basis, Evidence: c.shown}
}
