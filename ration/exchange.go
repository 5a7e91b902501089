package ration

import (
	"math"
	"slices"

	"hardfeed/ration/yard"
)

// Marks on what changes inside the same kilos of hard feed (design §5.7). All ours: the
// step's marks filled with oats, and what counts as a change beside it.
const (
	starchRiseWarnG = 0.6 // g of starch per kg of body weight a day, in a week
	starchRiseStopG = 1.1
	likeKindPct     = 20  // starch of two feeds of like kind differs by less
	bucketForageKg  = 1.0 // rise of chaff, alfalfa and the like in a week
)

// starchG is the known starch in a kilo of a hard feed as fed, g.
func starchG(it item) float64 { return it.feed.Composition.Starch.Or(0) * dmOf(it) }

func (b bucket) hardStarchG(d dailyKg) (g float64) {
	for _, i := range b.hardFeeds() {
		g += starchG(b[i]) * d[i]
	}
	return g
}

// likeKind says whether a feed may take another's place: starch within a fifth.
func likeKind(a, b item) bool {
	return math.Abs(starchG(a)-starchG(b)) <= likeKindPct/100.*max(starchG(a), starchG(b))
}

// ownRiseKg is the rise of one hard feed less what it takes the place of in its kind.
func (c rising) ownRiseKg(i int, d dailyKg) float64 {
	rise := d[i] - c.fed.day[i]
	for _, k := range c.bucket.hardFeeds() {
		if k != i && d[k] < c.fed.day[k] && likeKind(c.bucket[i], c.bucket[k]) {
			rise -= c.fed.day[k] - d[k]
		}
	}
	return rise
}

// exchangePasses says which hard feed rises by more than weekKg by itself, or that
// starch does by more than g per kg of body weight; nil: neither.
func (c rising) exchangePasses(d dailyKg, weekKg, g float64) *yard.Saying {
	for _, i := range c.bucket.hardFeeds() {
		if above(c.ownRiseKg(i, d), weekKg) {
			says := yard.Say("why.exchange.feed", yard.FeedArg("feed", c.bucket[i].feed.Feed.Name), yard.Kg("now", c.fed.day[i]), yard.Kg("plan", d[i]), yard.Kg("mark", weekKg))
			return &says
		}
	}
	if rise := (c.bucket.hardStarchG(d) - c.bucket.hardStarchG(c.fed.day)) / c.facts.bodyKg; above(rise, g) {
		says := yard.Say("why.exchange.starch", yard.Fixed("rise", rise, yard.GPerKgBW, 1), yard.Fixed("mark", g, yard.GPerKgBW, 1))
		return &says
	}
	return nil
}

// holdExchange holds a plan that swaps one hard feed for another too fast: as many
// quarters of the way as keep the marks.
func holdExchange(c *horseWeek, d dailyKg, say *log) []yard.Saying {
	if !c.fed.known {
		return nil
	}
	passed := c.rising().exchangePasses(d, c.facts.marks.WeekStopKg, starchRiseStopG)
	if passed == nil {
		return nil
	}
	plan := slices.Clone(d)
	for _, try := range []struct{ share, kg, g float64 }{
		{0.75, c.facts.marks.WeekWarnKg, starchRiseWarnG}, {0.5, c.facts.marks.WeekWarnKg, starchRiseWarnG}, {0.25, c.facts.marks.WeekWarnKg, starchRiseWarnG},
		{0.25, c.facts.marks.WeekStopKg, starchRiseStopG}, {0.125, c.facts.marks.WeekStopKg, starchRiseStopG}, {0, c.facts.marks.WeekStopKg, starchRiseStopG},
	} {
		for _, i := range c.dish.bucket.hardFeeds() {
			d[i] = c.dish.bucket[i].moved(c.fed.day[i], (plan[i]-c.fed.day[i])*try.share, c.facts.marks.QuietStepKg)
		}
		if c.rising().exchangePasses(d, try.kg, try.g) == nil {
			break
		}
	}
	c.dish.estimateAdLib(d)
	say.find("D-02", yard.Stop, c.facts.Horse.Cell, "ours: the step's marks for each feed and for its starch", *passed)
	return []yard.Saying{*passed}
}

// moved is an amount taken some of a way, as far as hands can dish it out: whole quarters
// where it is fed in those and they are no coarser than a day's step, else what goes on a
// scale.
func (it item) moved(fromKg, wayKg, stepKg float64) float64 {
	if q := it.quarterKg(); q > 0 && it.inQuarters(fromKg) && (!above(q, stepKg) || math.Abs(wayKg) >= q) {
		return fromKg + math.Trunc(wayKg/q+math.Copysign(dealtNoise, wayKg))*q
	}
	if wayKg < 0 {
		return min(fromKg, unitsFor(fromKg+wayKg, weighUnitKg)*weighUnitKg)
	}
	return max(fromKg, roundDownToScale(fromKg+wayKg))
}

// dmAtMost is the dry matter in a kilo of a forage; where it is not known all of it is taken
// to be dry, so that a step is no longer than it may be.
func dmAtMost(it item) float64 { return it.feed.Composition.DM.Or(1) }

// moreGrass says whether a horse is out for longer than last week, or may be.
func (c *facts) moreGrass() bool {
	before, known := c.Horse.GrassBefore.Get()
	return !known || above(c.Horse.GrassHours.Or(0), before)
}

// holdForage holds weighed forage to a quarter of what is fed a week, up or down, and
// what goes in the bucket as forage to a kilo more (design §5.7, limits D-05).
func holdForage(c *horseWeek, planned dailyKg, say *log) (dailyKg, []yard.Saying) {
	if c.facts.Horse.Override.Valid() || !c.fed.known {
		return planned, nil
	}
	total := 0.0
	for i, it := range c.dish.bucket {
		switch {
		case it.class() != yard.Forage:
		case it.grazed && !c.facts.moreGrass(): // as last week: what is weighed changes by itself
		case it.grazed || it.now.adLib || it.now.unread || it.planned.adLib: // nobody knows how much is eaten
			return planned, nil
		default:
			total += c.fed.day[i] * dmAtMost(it)
		}
	}
	d := slices.Clone(planned)
	var why []yard.Saying
	for i, it := range c.dish.bucket {
		if !it.planned.given || !it.now.given && it.class() == yard.Forage && total == 0 {
			continue
		}
		key := ""
		switch {
		case it.class() == yard.Forage && !it.grazed && total > 0:
			most := total * forageStepShare / dmAtMost(it)
			unit := it.forageUnitKg()
			up, down := wholeUnits(c.fed.day[i]+most, unit)*unit, unitsFor(c.fed.day[i]-most, unit)*unit
			if _, twice, stepped := c.dish.forageRise(i); stepped {
				up = max(up, twice)
			}
			switch {
			case above(planned[i], max(up, c.fed.day[i])):
				d[i], key = max(up, c.fed.day[i]), "why.forage.up"
			case below(planned[i], min(down, c.fed.day[i])):
				d[i], key = min(down, c.fed.day[i]), "why.forage.down"
			}
		case it.class() == yard.Chaff && above(planned[i]-c.fed.day[i], bucketForageKg):
			d[i], key = it.roundDownToMeasure(c.fed.day[i]+bucketForageKg), "why.chaff"
		}
		if key != "" {
			says := yard.Say(key, yard.FeedArg("feed", it.feed.Feed.Name), yard.Kg("now", c.fed.day[i]), yard.Kg("plan", planned[i]), yard.Kg("card", d[i]))
			say.find("D-05", yard.Stop, it.cell, "limits D-05; a quarter a week is ours", says)
			why = append(why, says)
		}
	}
	c.dish.estimateAdLib(d)
	return d, why
}
