package ration

import (
	"math"
	"slices"

	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// cleared is a ration that passes no stop limit other than the step's.
type cleared struct {
	card dailyKg
	why  []yard.Saying // the stop limits that were passed; none: nothing was changed
	none bool          // no ration of these feeds clears them all
}

// clearStops holds a ration that passes a stop limit other than the step, and gives
// the nearest one that clears them all: shared out evenly, forage up to the floor by steps,
// salt down to its limit, then all hard feed cut by one share. onItsWay are the stop
// limits of the plan that this week's card leads to.
func clearStops(c *horseWeek, planned dailyKg, onItsWay []yard.Finding, say *log) cleared {
	found := guard.Check(c.facts.Horse.Name, c.dish.evaluate(planned, c.dish.sharing.keepsMealPattern), c.facts.rules.Limits)
	if !c.dish.blocks(planned, found) {
		found = sayRising(&c.dish, planned, found)
	}
	say.add(found...)
	for _, f := range onItsWay { // said once: not where this week's ration passes the same
		if !slices.ContainsFunc(found, func(g yard.Finding) bool { return g.Severity == yard.Stop && g.Says().Compare(f.Says()) == 0 }) {
			say.find(f.Rule, yard.Warn, c.facts.Horse.Cell, f.Source, yard.Say("finding.on its way", yard.Said("what", f.Says())))
		}
	}
	if !c.dish.blocks(planned, found) {
		return cleared{card: planned}
	}
	stops := func(d dailyKg) bool {
		return c.dish.blocks(d, guard.Check(c.facts.Horse.Name, c.dish.evaluate(d, false), c.facts.rules.Limits))
	}
	d := slices.Clone(planned)
	leaveOutForbidden(&c.dish, d)
	if raiseForage(&c.dish, d, c.facts.forageStopPct(), func(item) bool { return true }) {
		d = c.dish.inForageSteps(d)
		c.dish.estimateAdLib(d)
	}
	limitSalt(&c.dish, d)
	if stops(d) {
		var possible bool
		if d, possible = cutHardFeed(&c.dish, d, stops); !possible {
			return cleared{none: true}
		}
	}
	why := make([]yard.Saying, 0, len(found))
	for _, f := range found {
		if f.Severity == yard.Stop {
			why = append(why, passed(f))
		}
	}
	if i, rising := c.dish.forageRising(d); rising && short(guard.Check(c.facts.Horse.Name, c.dish.evaluate(d, false), c.facts.rules.Limits)) {
		why = append(why, risingForage(&c.dish, i, d))
	}
	return cleared{card: d, why: why}
}

// short says whether forage is under its floor.
func short(found []yard.Finding) bool {
	return slices.ContainsFunc(found, func(f yard.Finding) bool { return f.Rule == "D-17" })
}

// cutHardFeed takes away the least that clears every stop limit: hard feed by one
// share, else supplements and oil too. possible is false where even no hard feed
// does not.
func cutHardFeed(c *dish, d dailyKg, stops func(dailyKg) bool) (_ dailyKg, possible bool) {
	cut := func(d dailyKg, share float64) dailyKg {
		e := slices.Clone(d)
		for i, it := range c.bucket {
			if it.hard() && share < 1 {
				e[i] = it.roundDownToMeasure(d[i] * share)
			}
		}
		c.estimateAdLib(e)
		return e
	}
	for _, try := range []dailyKg{d, c.without(d, yard.Supplement), c.without(d, yard.Supplement, yard.Oil, yard.Succulent)} {
		if !stops(cut(try, 0)) {
			d = try
			break
		}
	}
	if stops(cut(d, 0)) {
		return d, false
	}
	lo, hi := 0.0, 1.0
	if !stops(cut(d, 1)) {
		lo = 1
	}
	for range 30 { // 30 halvings: far finer than any scoop
		if mid := (lo + hi) / 2; stops(cut(d, mid)) {
			hi = mid
		} else {
			lo = mid
		}
	}
	return cut(d, lo), true
}

// without is a day with all feeds of some classes left out.
func (c *dish) without(d dailyKg, classes ...yard.FeedClass) dailyKg {
	d = slices.Clone(d)
	for i, it := range c.bucket {
		if slices.Contains(classes, it.class()) {
			d[i] = 0
		}
	}
	c.estimateAdLib(d)
	return d
}

// endingOn is a decision whose card had to clear stop limits: no week leads to a
// ration that passes one, so the path ends on the card.
func endingOn(c *horseWeek, d decided, card dailyKg) decided {
	d.target = nil
	if d.step.RiseKg.IsKnown() {
		d.step.PathKg, d.step.WeeksToTarget = c.facts.marks.Path(c.fed.hardKg.Or(0), c.dish.bucket.hardKg(card)), yard.Num{}
	}
	return d
}

// passed is a stop limit that holds a card, as a reason: the languages that cannot
// say it send to the office sheet by its rule.
func passed(f yard.Finding) yard.Saying {
	return yard.Say("why.rule", yard.Named("rule", yard.RuleName, string(f.Rule)), yard.Said("what", f.Says()))
}

// instead is what a reduced card prints, and planned is what was planned.
func instead(c *horseWeek, final, planned dailyKg) yard.Saying {
	hard := yard.Say("part.hard feed.none")
	if kg := c.dish.bucket.hardKg(final); kg > 0 {
		hard = yard.Say("part.hard feed", yard.Kg("kg", kg))
	}
	if now, ok := c.fed.hardKg.Get(); ok && above(c.dish.bucket.hardKg(final), now) {
		hard = yard.Say("part.hard feed.more", yard.Said("hard", hard), yard.Kg("rise", c.dish.bucket.hardKg(final)-now))
	}
	key, args, alone := "part.instead", []yard.Arg{yard.Said("hard", hard)}, ".alone"
	if forage := c.dish.bucket.forageOn(final); !forage.Empty() {
		args, alone = append(args, yard.Said("forage", forage)), ""
	}
	if kg, cut := c.dish.bucket.saltCut(final, planned); cut {
		key, args = "part.instead.salt", append(args, yard.Fixed("salt", kg*1000, yard.Grams, 0))
	}
	return yard.Say(key+alone, args...)
}

// saltCut is the salt on the card, kg, and whether it had to be cut from what was
// planned.
func (b bucket) saltCut(final, planned dailyKg) (kg float64, cut bool) {
	for i, it := range b {
		if it.class() == yard.Salt {
			kg += final[i]
			cut = cut || final[i] < planned[i]
		}
	}
	return kg, cut
}

// forageOn is the forage of a day; what is grazed goes by its hours, which the
// card prints. It is empty where none is written down, which is not none.
func (b bucket) forageOn(d dailyKg) yard.Saying {
	kg, adLib, grass, known := 0.0, false, false, false
	for i, it := range b {
		known = known || it.class() == yard.Forage
		switch {
		case it.class() != yard.Forage:
		case it.grazed:
			grass = true
		default:
			kg += d[i]
			adLib = adLib || it.startingPortion().adLib
		}
	}
	if !known {
		return yard.Saying{}
	}
	key := "part.forage"
	if grass {
		key = "part.forage.grass"
	}
	if adLib {
		return yard.Say(key + ".adlib")
	}
	return yard.Say(key, yard.Kg("kg", math.Round(kg*100)/100))
}

// keepForage gives back forage a held plan takes away for hard feed that is held
// back: no more of it goes than of the hard feed comes, where the horse would
// otherwise go short of energy it has now. Forage a horse is to slim on, and what
// a vet has a say in, stays as planned. Ours.
func keepForage(c *horseWeek, d dailyKg, letThrough yard.Num) dailyKg {
	share, held := letThrough.Get()
	if !held {
		return d
	}
	d = slices.Clone(d)
	score, okS := c.facts.Horse.Score.Get()
	if target, okT := c.facts.Horse.TargetScore.Get(); okS && okT && target < score || c.facts.Horse.Has(yard.Overweight) || vetNamed(&c.facts.Horse) {
		return d
	}
	short := func() bool {
		c.dish.estimateAdLib(d)
		supply, known := c.dish.meanSupply(d)
		return !known || supply < c.facts.Energy.Need.Or(0)
	}
	for i, it := range c.dish.bucket {
		if it.class() != yard.Forage || it.grazed || it.startingPortion().adLib || !it.now.given || it.now.unread || it.now.adLib {
			continue
		}
		most := it.now.kg - (it.now.kg-d[i])*share
		for below(d[i], most) && short() {
			d[i] = min(d[i]+it.forageUnitKg(), it.now.kg)
		}
	}
	c.dish.estimateAdLib(d)
	return d
}
