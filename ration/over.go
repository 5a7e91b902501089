package ration

import (
	"math"
	"slices"

	"hardfeed/ration/yard"
)

// mustNotFatten says whether more energy than it holds its weight on would harm a horse:
// one of score 7 up, one a vet slims, and one with laminitis, EMS or PPID that is neither
// thin nor losing (design §5.10).
func (c *facts) mustNotFatten() bool {
	h := &c.Horse
	ill := h.Has(yard.Laminitis) || h.Has(yard.InsulinEMS) || h.Has(yard.PPID)
	return h.Score.Or(0) >= fatScore || h.Has(yard.Overweight) || ill && !c.lean()
}

// overPct is how far a day's energy lies over what a horse holds its weight on, %, at the
// most it may graze; known is false where the need is not, or where work is unknown. A feed
// of unknown energy makes it "at least".
func (c *dish) overPct(d dailyKg) (pct float64, known bool) {
	holds := c.facts.Energy.Need.Or(0) - c.facts.Energy.Change.Or(0)
	if holds <= 0 || c.facts.WorkAtLeast {
		return 0, false
	}
	supply, _ := c.meanSupply(d)
	_, high := c.grassEnds(supply)
	return (high/holds - 1) * 100, true
}

// holdOver holds the plan of a horse that must not get fatter: no more hard feed than now
// where it has enough, and less where it has a quarter more energy than it holds its weight
// on. The least that mends it is taken away, and no more than half a week at once.
func holdOver(c *horseWeek, d dailyKg, say *log) []yard.Saying {
	pct, known := c.dish.overPct(d)
	if !known || !c.facts.mustNotFatten() {
		return nil
	}
	planned, less := c.dish.bucket.hardKg(d), slices.Clone(d)
	if supply, _ := c.dish.meanSupply(d); toSlim(&c.facts.Horse) && above(supply, c.facts.Energy.Need.Or(0)*(1+c.facts.rules.EnergyBandPct/100)) {
		pct = max(pct, (supply/c.facts.Energy.Need.Or(0)-1)*100) // over what it is to slim on: no more hard feed either
	}
	if c.fed.known && above(pct, c.facts.rules.EnergyBandPct) {
		for _, i := range c.dish.bucket.hardFeeds() {
			less[i] = min(d[i], c.fed.day[i])
		}
		c.dish.estimateAdLib(less)
	}
	if over, _ := c.dish.overPct(less); above(over, farApartPct) {
		less = lessHard(c, less)
	}
	if !below(c.dish.bucket.hardKg(less), planned) {
		return nil
	}
	copy(d, less)
	says := yard.Say("why.over", yard.Kg("plan", planned), yard.Kg("card", c.dish.bucket.hardKg(d)), yard.Fixed("pct", math.Max(1, pct), yard.Percent, 0))
	say.find("energy", yard.Stop, c.facts.Horse.Cell, "design of this program: a quarter over at score 7 up, laminitis, EMS, PPID; NRC 2007 for the need", says)
	return []yard.Saying{says}
}

// lessHard takes hard feed but balancer away by quarters of it, until the energy is no
// quarter over what the horse holds its weight on, or half a week is reached.
func lessHard(c *horseWeek, d dailyKg) dailyKg {
	less := d
	for _, share := range []float64{0.75, 0.5, 0.25, 0} {
		e := slices.Clone(d)
		for _, i := range c.dish.bucket.hardFeeds() {
			it := c.dish.bucket[i]
			if it.balancer() {
				continue
			}
			from := d[i]
			if c.fed.known {
				from = max(c.fed.day[i], d[i])
			}
			e[i] = min(d[i], max(c.facts.fallTo(it, from), it.roundDownToMeasure(d[i]*share)))
		}
		c.dish.estimateAdLib(e)
		over, _ := c.dish.overPct(e)
		if below(over, 0) {
			break
		}
		if less = e; !above(over, farApartPct) {
			break
		}
	}
	return less
}

// holdOffFeed keeps hard feed as it is in a plan that raises it for a horse that does not
// eat up: what is left in the manger is no reason for more (common practice, no source).
func holdOffFeed(c *horseWeek, d dailyKg) []yard.Saying {
	if !c.facts.Horse.OffFeed || !c.fed.known || !slices.ContainsFunc(c.dish.bucket.hardFeeds(), func(i int) bool { return above(d[i], c.fed.day[i]) }) {
		return nil
	}
	planned := c.dish.bucket.hardKg(d)
	for _, i := range c.dish.bucket.hardFeeds() {
		d[i] = min(d[i], c.fed.day[i])
	}
	c.dish.estimateAdLib(d)
	return []yard.Saying{yard.Say("why.off feed", yard.Kg("plan", planned), yard.Kg("card", c.dish.bucket.hardKg(d)))}
}

// sayBlank asks about hard feed that is fed now and left blank in a plan that names others
// (design §5.5): it stays as it is fed. Where the reader has asked already it is not asked
// again.
func sayBlank(c *dish, say *log) {
	if slices.ContainsFunc(c.facts.week.Findings, func(f yard.Finding) bool { return f.Rule == "amount-blank" }) {
		return
	}
	var names []string
	at := c.facts.Horse.Cell
	for _, i := range c.bucket.hardFeeds() {
		if it := c.bucket[i]; !it.planned.given && it.now.given && !it.now.unread && it.now.kg > 0 {
			names, at = append(names, it.feed.Feed.Name), it.cell
		}
	}
	if len(names) > 0 {
		say.find("amount-blank", yard.Warn, at, "", yard.Say("finding.amount-blank", yard.Names("feeds", yard.AndAll, yard.FeedName, names)))
	}
}

// thinScore is the score up to which a horse is thin: four of nine is "moderately thin"
// (requirements §9).
const thinScore = 4

// leaveOutThinTarget leaves out a target score that would slim a horse until it is thin: a
// slip, or a vet's to ask for (ours).
func leaveOutThinTarget(c *facts, say *log) {
	target, ok := c.Horse.TargetScore.Get()
	if !ok || !below(target, thinScore) || !below(target, c.Horse.Score.Or(leanScore)) {
		return
	}
	c.Horse.TargetScore = yard.Num{}
	say.find("score-unknown", yard.Warn, c.Horse.Cell, "requirements §9: four of nine is moderately thin; that no horse is slimmed to less is ours", yard.Say("finding.score-unknown.thin", yard.Figures("target", target, yard.NoUnit, 3)))
}
