package ration

import (
	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// weightTrendOf is what a horse's weighings show by themselves, whatever it was fed.
func weightTrendOf(h yard.Horse, w weight, week yard.Week) yard.WeightTrend {
	if !w.known {
		return yard.TrendUnknown
	}
	return guard.WeightTrend(guard.HorseWeek{Horse: h, Beginning: week.Beginning, BodyKg: w.bodyKg, WeightBasis: w.basis})
}
