package ration

import (
	"hardfeed/ration/evidence"
	"hardfeed/ration/yard"
)

// weightTrendOf is what a horse's weighings show by themselves, whatever it was fed.
// Of fewer than a line takes, the first and the last are compared.
func weightTrendOf(h yard.Horse, w weight, week yard.Week) yard.WeightTrend {
	if len(h.Weighings) < 2 || !w.known || week.Beginning.IsZero() {
		return yard.TrendUnknown
	}
	learnt := evidence.Learn(evidence.Yard{Today: week.Beginning, Assume: evidence.Published(), Horses: []evidence.Horse{{
		Name: h.Name, BodyKg: w.bodyKg, Basis: w.basis, Score: h.Score, Prior: evidence.PriorOf(h.Keeper, false), Weighings: h.Weighings}}})
	if is := learnt.Horses[0].Trend; is != yard.TrendUnknown {
		return is
	}
	return lostBetweenTwo(h)
}

// lostPct is a fall between two weighings that no scale and no gut fill explains: over
// three times the 0.7 % by which weighings on a scale scatter, twice (ours).
const lostPct = 3

func lostBetweenTwo(h yard.Horse) yard.WeightTrend {
	var first, last yard.Weighing
	for _, x := range h.Weighings {
		switch {
		case !x.Kg.IsKnown():
		case !first.Kg.IsKnown():
			first = x
		default:
			last = x
		}
	}
	a, b := first.Kg.Or(0), last.Kg.Or(0)
	if last.Kg.IsKnown() && first.Basis == last.Basis && a > 0 && below(b, a*(1-lostPct/100.)) {
		return yard.TrendLosing
	}
	return yard.TrendUnknown
}
