package ration

import (
	"slices"

	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// dish is what a horse has in front of it: its bucket and the meals it comes in, as its
// facts let it be fed. It knows how a day is eaten, and nothing of what was fed before.
type dish struct {
	facts    *facts
	bucket   bucket
	sharing  sharing
	noForage bool
	noLicks  bool // what lies there to be licked is left out of totals
}

// dailyKg is the kilograms as fed of each item of a bucket on one day; ad lib items
// hold an estimate.
type dailyKg []float64

// estimateAdLib fills in what is eaten ad lib: the whole intake of dry matter
// less everything that is weighed, shared equally over the ad lib forages. No hay is left
// for what is fed by the gram.
func (c *dish) estimateAdLib(d dailyKg) {
	left := c.facts.rules.ForageIntakePct / 100 * c.facts.bodyKg
	var open []int
	for i, it := range c.bucket {
		if it.grazed {
			continue
		}
		if it.startingPortion().adLib {
			if d[i] = 0; !it.lick() {
				open = append(open, i)
			}
		} else if dm, ok := it.feed.DryMatter(yard.KgFed(d[i])); ok && !it.byTheGram() {
			left -= float64(dm)
		}
	}
	for i, it := range c.bucket {
		if !it.grazed {
			continue
		}
		d[i] = 0
		if dm, ok := it.feed.Composition.DM.Get(); ok && dm > 0 {
			kg := min(c.facts.grassKg(), c.facts.grassRoomKg(left))
			d[i] = kg / dm
			left -= kg
		}
	}
	for _, i := range open {
		if dm, ok := c.bucket[i].feed.Composition.DM.Get(); ok && dm > 0 {
			d[i] = max(0, left) / float64(len(open)) / dm
		}
	}
}

// byTheGram says whether a feed is fed by the gram, and fills no horse: a horse that is to
// have no less energy than now gets its salt beside its hay (ours).
func (it item) byTheGram() bool {
	return it.class() == yard.Salt || it.class() == yard.Supplement
}

// lick says whether a feed by the gram lies there for the horse to take what it likes.
func (it item) lick() bool { return it.byTheGram() && it.startingPortion().adLib }

// asWritten is the ordinary day as the sheet has it: the plan where there is
// one, what is fed now where there is none.
func (c *dish) asWritten() dailyKg {
	d := make(dailyKg, len(c.bucket))
	for i, it := range c.bucket {
		d[i] = it.startingPortion().kg
	}
	c.estimateAdLib(d)
	return d
}

// evaluate turns a day into what the limits look at.
func (c *dish) evaluate(d dailyKg, keepPattern bool) guard.Ration {
	meals := make([][]float64, len(c.bucket))
	for i, it := range c.bucket {
		if !it.startingPortion().adLib {
			meals[i] = c.sharing.mealsOf(it, d[i], it.pattern(keepPattern))
		}
	}
	return c.evaluateMeals(d, meals)
}

// evaluateMeals is evaluate for a day whose sharing over the meals is known.
func (c *dish) evaluateMeals(d dailyKg, meals [][]float64) guard.Ration {
	r := c.ofHorse()
	r.Feeds = make([]guard.Fed, 0, len(c.bucket))
	for i, it := range c.bucket {
		f := guard.Fed{Feed: it.feed, Kg: d[i]}
		if !it.startingPortion().adLib {
			f.PerMeal = meals[i]
		}
		if dm := dmOf(it); it.grazed && dm > 0 { // the floor must hold at the low end of what is grazed
			f.LeastKg = yard.Known(min(d[i], c.facts.grassRangeKg().Low.Or(0)/dm))
		}
		r.Feeds = append(r.Feeds, f)
	}
	return r
}

// ofHorse is a ration without feeds: what the limits ask of the horse.
func (c *dish) ofHorse() guard.Ration {
	r := guard.Ration{BodyKg: c.facts.bodyKg, Lean: c.facts.lean(), CeilingKg: c.facts.ceilingWeightKg, Diagnoses: c.facts.Horse.Diagnoses, VitENeeds: c.facts.vitaminENeed, ForageUnknown: c.noForage,
		Sweats: c.facts.WorkClass != yard.ClassRest && c.facts.WorkClass != yard.ClassLight, Meals: make([]string, len(c.sharing.meals))}
	for m := range c.sharing.meals {
		r.Meals[m] = c.sharing.meals[m].Name
	}
	return r
}

// energyOf is the energy of a day, Mcal; where it is not known the figure is a lower bound.
// Feeds of unknown energy that are of no consequence hide nothing (design §5).
func (c *dish) energyOf(d dailyKg) (mcal float64, known bool) {
	most := 0.0 // that feeds of unknown energy could bring
	for i, it := range c.bucket {
		v, ok := it.feed.Contains(yard.KgFed(d[i]), it.feed.Composition.DE).Get()
		mcal += v
		if !ok {
			most += it.mostMcal(d[i])
		}
	}
	return mcal, most <= c.facts.Energy.Need.Or(0)*consequencePct/100
}

// meanSupply is the mean day's energy if an ordinary day were fed all week, its
// days off and events as they are fed; known is false where a feed's energy is
// not, and the figure is then a lower bound.
func (c *dish) meanSupply(ordinary dailyKg) (mcal float64, known bool) {
	known = !c.noForage
	c.eachDay(ordinary, func(d dailyKg) {
		v, ok := c.energyOf(d)
		mcal, known = mcal+v/7, known && ok
	})
	return mcal, known
}

// inSevenDays is what is fed of each item if an ordinary day were fed all week, kg.
func (c *dish) inSevenDays(ordinary dailyKg) []float64 {
	week := make([]float64, len(c.bucket))
	c.eachDay(ordinary, func(d dailyKg) {
		for i := range d {
			week[i] += d[i]
		}
	})
	return week
}

// eachDay gives the seven days of a week with one ordinary day, its days off and events as
// they are fed.
func (c *dish) eachDay(ordinary dailyKg, add func(dailyKg)) {
	off := c.onRest(ordinary, c.restCut(ordinary))
	meals := c.shares(ordinary)
	for d, kind := range dayKinds(&c.facts.Horse) {
		switch kind {
		case yard.EventDay:
			fed := slices.Clone(ordinary)
			for i, it := range c.bucket {
				if !it.startingPortion().adLib && !it.grazed {
					fed[i] = sum(c.onEvent(i, meals[i], c.facts.Horse.Work[d]))
				}
			}
			add(fed)
		case yard.RestDay:
			add(off)
		default:
			add(ordinary)
		}
	}
}

// marksPassed is the marks a day passes, each with how badly.
func (c *dish) marksPassed(d dailyKg) map[yard.RuleID]yard.Severity {
	passed := map[yard.RuleID]yard.Severity{}
	for _, f := range guard.Check(c.facts.Horse.Name, c.evaluate(d, c.sharing.keepsMealPattern), c.facts.rules.Limits) {
		if f.Severity > yard.Note {
			passed[f.Rule] = max(passed[f.Rule], f.Severity)
		}
	}
	return passed
}

// addTo adds to a sum that becomes unknown with its first unknown part.
func addTo(sum *yard.Num, v float64, known bool) {
	s, ok := sum.Get()
	if !ok || !known {
		*sum = yard.Num{}
		return
	}
	*sum = yard.Known(s + v)
}

func sum(xs []float64) float64 {
	t := 0.0
	for _, x := range xs {
		t += x
	}
	return t
}

// same says whether two days are fed alike, to the last gram.
func same(a, b dailyKg) bool {
	return slices.EqualFunc(a, b, alike)
}

// raiseForage lifts weighed forage to a floor, % of body weight as dry matter,
// in quarter kilos of the first weighed forage that may be lifted. It does nothing
// where there is none, forage is ad lib or the dry matter is unknown.
func raiseForage(c *dish, d dailyKg, floorPct float64, may func(item) bool) bool {
	if guard.Has(c.facts.Horse.Diagnoses, yard.PoorTeeth) { // what it cannot chew fills no floor
		return false
	}
	have, first := 0.0, -1
	for i, it := range c.bucket {
		if it.class() != yard.Forage {
			continue
		}
		if it.grazed {
			have += c.facts.grassRangeKg().Low.Or(0)
			continue
		}
		if it.startingPortion().adLib {
			return false
		}
		dm, ok := it.feed.DryMatter(yard.KgFed(d[i]))
		if !ok {
			return false
		}
		have += float64(dm)
		if first < 0 && may(it) {
			first = i
		}
	}
	short := floorPct/100*c.facts.bodyKg - have
	if first < 0 || !above(short, 0) {
		return false
	}
	short /= c.bucket[first].feed.Composition.DM.Or(1)
	unit := c.bucket[first].forageUnitKg()
	d[first] = unitsFor(d[first]+short, unit) * unit
	return true
}

// limitSalt brings salt down to its stop limit.
func limitSalt(c *dish, d dailyKg) {
	most := guard.SaltStopG(c.facts.ceilingWeightKg, c.facts.rules.Limits) / 1000
	have := 0.0
	for i, it := range c.bucket {
		if it.class() == yard.Salt {
			have += d[i]
		}
	}
	for i, it := range c.bucket {
		if it.class() == yard.Salt && have > most {
			d[i] = wholeUnits(d[i]*most/have, gramUnitKg) * gramUnitKg
		}
	}
}

// leaveOutForbidden takes out what may not be given to this horse at all.
func leaveOutForbidden(c *dish, d dailyKg) {
	for i, forbidden := range guard.Forbidden(c.evaluate(d, false), c.facts.rules.Limits) {
		if forbidden && !c.bucket[i].startingPortion().adLib {
			d[i] = 0
		}
	}
	c.estimateAdLib(d)
}
