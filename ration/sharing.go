package ration

import (
	"math"
	"slices"

	"hardfeed/ration/feeds"
	"hardfeed/ration/yard"
)

// servable units, kg as fed, for what goes on a scale.
const (
	hayUnitKg    = 0.25
	weighUnitKg  = 0.05
	fineUnitKg   = 0.01
	gramUnitKg   = 0.001
	saltUnitKg   = 0.005
	oilUnitKg    = 0.005 * oilKgPerLitre // 5 ml
	wholeQuarter = 1e-6                  // quarters, absolute: a sum of quarters off by float noise is still whole
)

// sharing is how a day's feed is shared over the yard's meals.
type sharing struct {
	meals            []yard.Meal
	keepsMealPattern bool  // the sheet's own sharing over the meals still holds
	mealOrder        []int // the meals in which hard feed that is tied to none is given, the first first
}

const oilKgPerLitre = feeds.OilKgPerLitre

// inQuarters says whether an amount is a whole number of quarter measures.
func (it item) inQuarters(kg float64) bool {
	q := it.quarterKg()
	if q == 0 {
		return false
	}
	n := kg / q
	return math.Abs(n-math.Round(n)) < wholeQuarter
}

// coarse is the share of an amount that whole quarters of its measure must come to,
// rounded down, to be dished out in its place: with less the scale is used. Ours.
const coarse = 0.6

// roundDownToMeasure rounds an amount down to what hands can dish out: whole quarters of
// the measure where they are not too coarse, else what goes on a scale.
func (it item) roundDownToMeasure(kg float64) float64 {
	if it.inQuarters(kg) {
		return kg
	}
	if q := it.quarterKg(); q > 0 {
		if whole := wholeUnits(kg, q) * q; whole >= coarse*kg {
			return whole
		}
	}
	return roundDownToScale(kg)
}

// roundDownToScale rounds an amount down to what is put on a scale; under the least
// nothing is.
func roundDownToScale(kg float64) float64 {
	if kg = wholeUnits(kg, weighUnitKg) * weighUnitKg; below(kg, leastWeighedKg) {
		return 0
	}
	return kg
}

// leastKg is the least of a hard feed that is served: a quarter of its measure, else what
// is put on a scale at the least (design §5d).
func (it item) leastKg() float64 {
	if q := it.quarterKg(); q > 0 {
		return q
	}
	return leastWeighedKg
}

// leastWeighedKg is the least hard feed that is put on a scale for one meal where
// the amounts are ours to choose: a card that asks for 20 g four times a day is not
// followed (ours).
const leastWeighedKg = 0.1

// halfOf is about half of a new feed's amount: whole quarters where half holds one, else
// what goes on a scale.
func (it item) halfOf(kg float64) float64 {
	if q := it.quarterKg(); q > 0 && wholeUnits(kg/2, q) > 0 {
		return wholeUnits(kg/2, q) * q
	}
	return min(kg, max(leastWeighedKg, roundDownToScale(kg/2)))
}

// raisedTo is the most that hands can dish out between what is fed and a mark: whole
// quarters where one fits in between, else what goes on a scale, else no more than is fed.
func (it item) raisedTo(fedKg, markKg float64) float64 {
	if it.inQuarters(markKg) {
		return markKg
	}
	if q := it.quarterKg(); q > 0 && it.inQuarters(fedKg) {
		if whole := wholeUnits(markKg, q) * q; above(whole, fedKg) {
			return whole
		}
	}
	return max(fedKg, roundDownToScale(markKg))
}

// roundDownToGrams rounds an amount on the way up down to ten grams: finer than a
// scoop on purpose, so that no day's rise passes its mark by rounding.
func (it item) roundDownToGrams(kg float64) float64 {
	if it.inQuarters(kg) {
		return kg
	}
	return math.Floor(kg/fineUnitKg+dealtNoise) * fineUnitKg
}

// pattern is how the sheet deals an item over the meals; keep is false where a
// stop made us share everything out evenly instead.
func (it item) pattern(keep bool) []float64 {
	if !keep && it.hard() {
		return nil
	}
	for _, given := range [][]float64{it.planned.perMeal, it.now.perMeal} {
		if sum(given) > 0 {
			return given
		}
	}
	return it.tied // nothing is fed yet
}

func (c *dish) shares(d dailyKg) [][]float64 {
	out := make([][]float64, len(c.bucket))
	for i, it := range c.bucket {
		out[i] = c.sharing.mealsOf(it, d[i], it.pattern(c.sharing.keepsMealPattern))
	}
	return out
}

// mealsOf shares a day's amount of one item over the yard's meals. pattern
// gives the weights (nil: evenly). The parts always add up to the amount.
func (c *sharing) mealsOf(it item, kg float64, pattern []float64) []float64 {
	n := len(c.meals)
	if kg <= 0 {
		return make([]float64, n)
	}
	if len(pattern) == n && !changed(sum(pattern), kg) { // as it was written
		return slices.Clone(pattern)
	}
	var unit float64
	switch it.class() {
	case yard.Forage:
		unit = it.forageUnitKg()
		if pattern == nil {
			pattern = minutesToNextMeal(c.meals)
		}
	case yard.Oil:
		unit = oilUnitKg
		if pattern == nil && n > 1 { // over at least two meals: OI-05
			pattern = make([]float64, n)
			pattern[0], pattern[n-1] = 1, 1
		}
	case yard.Salt, yard.Supplement, yard.Succulent:
		if pattern == nil {
			parts := make([]float64, n)
			parts[n-1] = kg
			return parts
		}
		unit = gramUnitKg
	default:
		unit = it.quarterKg()
		if !it.inQuarters(kg) {
			unit = weighUnitKg
		}
		if it.hard() && pattern == nil {
			pattern = c.fewestMeals(it, kg, unit, c.mealOrder)
		}
	}
	return apportion(kg, unit, pattern, n)
}

// minutesToNextMeal is the time from each meal to the next, minutes: forage is shared by
// it, so that the longest time without any is as short as can be (limits D-18).
// nil where a meal's time is not known.
func minutesToNextMeal(meals []yard.Meal) []float64 {
	out := make([]float64, len(meals))
	for i, m := range meals {
		next := meals[(i+1)%len(meals)].Minute
		if m.Minute < 0 || next < 0 {
			return nil
		}
		out[i] = float64((next - m.Minute + 24*60) % (24 * 60))
		if len(meals) == 1 || out[i] == 0 {
			out[i] = 24 * 60
		}
	}
	return out
}

// usualMeals is for how many meals nothing is set aside: a yard with more only costs more.
const usualMeals = 8

// apportion deals total in whole units by weight, largest remainder first, ties
// to the later meal; what is left under a unit goes to the last meal served.
func apportion(total, unit float64, weights []float64, n int) []float64 {
	parts := make([]float64, n)
	sum := 0.0
	for _, w := range weights {
		sum += w
	}
	if len(weights) != n || sum <= 0 {
		weights = make([]float64, n)
		for i := range weights {
			weights[i] = 1
		}
		sum = float64(n)
	}
	units := int(math.Floor(total/unit + dealtNoise))
	var fewCounts [usualMeals]int
	var fewRest [usualMeals]float64
	counts, rest := append(fewCounts[:0], make([]int, n)...), append(fewRest[:0], make([]float64, n)...)
	dealt := 0
	for i, w := range weights {
		exact := float64(units) * w / sum
		counts[i] = int(wholeUnits(exact, 1))
		rest[i] = exact - float64(counts[i])
		dealt += counts[i]
	}
	for ; dealt < units; dealt++ {
		best := -1
		for i := range rest {
			if weights[i] > 0 && (best < 0 || !below(rest[i], rest[best])) {
				best = i
			}
		}
		counts[best]++
		rest[best] = -1
	}
	given, last := 0.0, 0
	for i, k := range counts {
		parts[i] = float64(k) * unit
		given += parts[i]
		if weights[i] > 0 {
			last = i
		}
	}
	parts[last] += total - given
	if parts[last] < nothingKg {
		parts[last] = 0
	}
	return parts
}
