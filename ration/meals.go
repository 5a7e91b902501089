package ration

import (
	"math"
	"slices"

	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// Hard feed that no row ties to a meal is given at as few as the limits of a meal allow
// (design §5d): a bucket the fewer, and none with a handful in it.

// mealLimits are the limits of any meal.
var mealLimits = slices.DeleteFunc(slices.Clone(guard.Limits()), func(n guard.Linear) bool { return n.Over != guard.AnyMeal || n.Of != nil })

// smallPart is the share of a horse's hard feed up to which a feed is given in one meal
// beside the others: a balancer, a handful of mash. Ours.
const smallPart = 0.3

// mealBound is what a meal may hold of something, and what a kilo of each item counts.
type mealBound struct {
	most float64
	per  []float64
}

// mealBounds are the marks of a meal that a proposal keeps, those of a horse that has any.
func mealBounds(c *dish) (out []mealBound) {
	asked := c.ofHorse()
	for _, n := range mealLimits {
		mark, ok := n.Mark(yard.Warn, asked, c.facts.rules.Limits)
		if !ok || n.ToldOnly {
			mark, ok = n.Mark(yard.Stop, asked, c.facts.rules.Limits)
		}
		if !ok {
			continue
		}
		b := mealBound{}
		_, b.most = n.Factors(mark, asked)
		for i := range c.bucket {
			b.per = append(b.per, n.PerKg(c.bucket[i].feed).Or(0))
		}
		out = append(out, b)
	}
	return out
}

// roomAtMeals finds how much of each hard feed a meal has room for beside the others, and
// in which order the meals are taken. A feed that is a small part of all is given whole
// beside the others; those share what is left as they share the day.
func roomAtMeals(c *dish) {
	c.sharing.mealOrder = hardMealOrder(c.sharing.meals)
	bounds := mealBounds(c)
	// On the way from now to a plan a meal holds some of both.
	most := func(it item) float64 { return max(it.startingPortion().kg, it.now.kg) }
	total := 0.0
	for _, i := range c.bucket.hardFeeds() {
		total += most(c.bucket[i])
	}
	small := func(i int) bool {
		kg := most(c.bucket[i])
		return kg > 0 && kg <= smallPart*total
	}
	for _, i := range c.bucket.hardFeeds() {
		kg := most(c.bucket[i])
		room := math.Inf(1)
		for _, b := range bounds {
			left, shared := b.most, 0.0
			for k, it := range c.bucket {
				fed := most(it)
				switch {
				case k == i || b.per[k] == 0 || it.startingPortion().adLib || it.grazed || fed <= 0:
				case !it.hard() || small(k):
					left -= b.per[k] * fed / float64(max(1, it.atMeals(len(c.sharing.meals))))
				default:
					shared += b.per[k] * fed
				}
			}
			if b.per[i] <= 0 {
				continue
			}
			share := 1.0
			switch own := b.per[i] * kg; {
			case small(i): // all of it: the others make room
			case own > 0:
				share = own / (own + shared)
			case shared > 0: // not fed yet, and others are
				share = 0.5
			}
			room = min(room, max(0, left)*share/b.per[i])
		}
		c.bucket[i].mealKg = room
	}
	sharedMore(c, bounds)
}

// sharedMore takes room away from meals, down to all of them, until what is fed and planned
// passes no mark of a meal that sharing over all meals keeps.
func sharedMore(c *dish, bounds []mealBound) {
	if len(bounds) == 0 {
		return
	}
	rooms := make([]float64, len(c.bucket))
	for i, it := range c.bucket {
		rooms[i] = it.mealKg
	}
	days := []dailyKg{c.asWritten()}
	if fed := c.bucket.asFed(); !same(fed, days[0]) {
		days = append(days, fed)
	}
	worst := func(share float64) []float64 {
		for i := range c.bucket {
			if c.bucket[i].mealKg = rooms[i] * share; share == 0 {
				c.bucket[i].mealKg = 0
			}
		}
		out := make([]float64, len(bounds))
		for _, d := range days {
			for k, v := range atWorstMeals(c, d, bounds) {
				out[k] = max(out[k], v)
			}
		}
		return out
	}
	hard := 0.0
	for _, d := range days {
		hard += c.bucket.hardKg(d)
	}
	if hard == 0 || len(c.sharing.meals) < 2 {
		return
	}
	all := worst(0)
	for _, share := range []float64{1, 0.7, 0.5, 0.35} {
		kept := true
		for k, v := range worst(share) {
			kept = kept && !above(v, max(bounds[k].most, all[k]))
		}
		if kept {
			return
		}
	}
	worst(0)
}

// asFed is the ordinary day as it is fed now, what is eaten ad lib aside.
func (b bucket) asFed() dailyKg {
	d := make(dailyKg, len(b))
	for i, it := range b {
		d[i] = it.now.kg
	}
	return d
}

// atWorstMeals is what each of some marks comes to in the meal with the most of it.
func atWorstMeals(c *dish, d dailyKg, bounds []mealBound) []float64 {
	out := make([]float64, len(bounds))
	shares := make([][]float64, len(c.bucket))
	for i, it := range c.bucket {
		if !it.startingPortion().adLib && !it.grazed {
			shares[i] = c.sharing.mealsOf(it, d[i], it.pattern(c.sharing.keepsMealPattern))
		}
	}
	for k, b := range bounds {
		for m := range c.sharing.meals {
			sum := 0.0
			for i := range shares {
				if shares[i] != nil && b.per[i] != 0 {
					sum += b.per[i] * shares[i][m]
				}
			}
			out[k] = max(out[k], sum)
		}
	}
	return out
}

// atMeals is at how many meals an item that is no hard feed, or a small part of it, is
// given.
func (it item) atMeals(all int) int {
	for _, given := range [][]float64{it.planned.perMeal, it.now.perMeal, it.tied} {
		if n := len(given) - countZero(given); n > 0 {
			return n
		}
	}
	if it.hard() {
		return 1
	}
	return all
}

func countZero(xs []float64) (n int) {
	for _, x := range xs {
		if x == 0 {
			n++
		}
	}
	return n
}

// fewestMeals are the weights of the fewest of some meals whose parts the room in one
// allows, each no less than is put on a scale; all of them where none are few enough.
func (c *sharing) fewestMeals(it item, kg, unit float64, order []int) []float64 {
	n := 1
	for n < len(order) && above(unitsFor(kg/float64(n), unit)*unit, it.mealKg) && !below(kg/float64(n+1), leastWeighedKg) {
		n++
	}
	weights := make([]float64, len(c.meals))
	for _, m := range order[:min(n, len(order))] {
		weights[m] = 1
	}
	return weights
}

// hardMealOrder is the order in which meals are taken for hard feed: the two farthest
// apart, the later of them first, then always the one farthest from those taken. Meals
// whose time is not known count as spread evenly from seven to seven.
func hardMealOrder(meals []yard.Meal) []int {
	at := make([]float64, len(meals))
	timed := !slices.ContainsFunc(meals, func(m yard.Meal) bool { return m.Minute < 0 })
	for i, m := range meals {
		at[i] = float64(m.Minute)
		if !timed {
			at[i] = 7*60 + 12*60*float64(i)/float64(max(1, len(meals)-1))
		}
	}
	apart := func(a, b int) float64 {
		d := math.Abs(at[a] - at[b])
		return min(d, 24*60-d)
	}
	var order []int
	if len(meals) > 1 {
		early, late := 0, 1
		for a := range meals {
			for b := range a {
				if above(apart(a, b), apart(early, late)) {
					early, late = b, a
				}
			}
		}
		order = []int{late, early}
	} else if len(meals) == 1 {
		return []int{0}
	}
	for len(order) < len(meals) {
		best, far := -1, -1.0
		for m := range meals {
			if slices.Contains(order, m) {
				continue
			}
			least := math.Inf(1)
			for _, o := range order {
				least = min(least, apart(m, o))
			}
			if above(least, far) {
				best, far = m, least
			}
		}
		order = append(order, best)
	}
	return order
}
