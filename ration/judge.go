package ration

import (
	"slices"

	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// judgePlan puts the planned hard feed against the weekly step. Over stop the
// card is reduced to the largest amount inside the usual limit, unless somebody overrides it
// by name and with a reason.
func judgePlan(c *horseWeek, say *log) decided {
	plan := c.dish.asWritten()
	d := decided{targetKg: c.dish.bucket.hardKg(plan), plannedKg: yard.Known(c.dish.bucket.hardKg(plan))}
	workedHard(c.dish.bucket, say, "planned", func(i int) (float64, yard.Saying, bool) { return plan[i], place(c.dish.bucket[i].cell.String()), true })
	sayBlank(&c.dish, say)
	final := slices.Clone(plan)
	now, known := c.fed.hardKg.Get()
	if !c.facts.Horse.Override.Valid() {
		d.why = slices.Concat(holdUnknownDiagnosis(c, final), holdUnknownNow(c, final), holdOffFeed(c, final), holdRest(c, final, say), holdFall(c, final, say))
		if over := holdOver(c, final, say); over != nil { // no week leads to what was planned
			d.why, d.over, d.targetKg = append(d.why, over...), true, c.dish.bucket.hardKg(final)
			d.passes = forbiddenIn(&c.dish, plan)
		}
		plan = slices.Clone(final) // what the step is judged on
		if c.rising().blendDays() != nil && !c.rising().blendFits() {
			d.why = append(d.why, holdNewFeed(c, final)...)
		}
	}
	if known && c.rising().stepVerdict(c.dish.bucket.hardKg(plan)-now) == yard.StepStop && !c.facts.Horse.Override.Valid() {
		c.rising().limitRise(final, min(now+c.rising().weekRoomKg(), c.dish.bucket.hardKg(final)))
		d.letThrough = yard.Known((c.dish.bucket.hardKg(final) - now) / (c.dish.bucket.hardKg(plan) - now))
		d.why = append(d.why, c.rising().overStep(c.dish.bucket.hardKg(plan), c.dish.bucket.hardKg(plan)-now))
		c.dish.estimateAdLib(final)
		for _, f := range guard.Check(c.facts.Horse.Name, c.dish.evaluate(plan, c.dish.sharing.keepsMealPattern), c.facts.rules.Limits) {
			if f.Severity == yard.Stop { // not on this week's card, but where the plan leads
				d.passes = append(d.passes, f)
			}
		}
	}
	if !c.facts.Horse.Override.Valid() {
		d.why = append(d.why, holdExchange(c, final, say)...)
		final = holdSteps(c, final, plan, &d)
	}
	d.step = c.rising().step(d.targetKg, c.dish.bucket.hardKg(plan), say)
	if len(d.step.PathKg) == 1 && below(c.dish.bucket.hardKg(final), c.dish.bucket.hardKg(plan)) {
		d.step.PathKg = c.rising().pathFrom(c.dish.bucket.hardKg(final), c.dish.bucket.hardKg(plan))
		d.step.WeeksToTarget = yard.Known(float64(len(d.step.PathKg)))
	}
	d.card = final
	return d
}

// forbiddenIn are the stop limits a plan passes of which no amount is allowed, for one that
// is held already by something else.
func forbiddenIn(c *dish, plan dailyKg) (stops []yard.Finding) {
	planned := c.evaluate(plan, c.sharing.keepsMealPattern)
	if !slices.Contains(guard.Forbidden(planned, c.facts.rules.Limits), true) {
		return nil
	}
	for _, f := range guard.Check(c.facts.Horse.Name, planned, c.facts.rules.Limits) {
		if f.Severity == yard.Stop {
			stops = append(stops, f)
		}
	}
	return stops
}

// pathFrom is the hard feed week by week from a card that two steps lead to on to what was
// planned: as much again each week.
func (c rising) pathFrom(cardKg, planKg float64) []float64 {
	path := []float64{cardKg}
	for room := c.roomTo(); room > 0 && below(path[len(path)-1]+room, planKg) && len(path) < mostWeeks; {
		path = append(path, path[len(path)-1]+room)
	}
	return append(path, planKg)
}

// holdSteps holds a plan that one week reaches in more than two steps at as far as two
// lead; the rest comes with the next (design §5d). Where the card is reduced already
// nothing more is said.
func holdSteps(c *horseWeek, final, plan dailyKg, d *decided) dailyKg {
	less := c.dealing().inTwoSteps(final)
	if same(less, final) {
		return final
	}
	now, rise := c.fed.hardKg.Or(0), c.dish.bucket.hardKg(plan)-c.fed.hardKg.Or(0)
	if above(rise, 0) {
		d.letThrough = yard.Known(max(0, c.dish.bucket.hardKg(less)-now) / rise)
	}
	if len(d.why) == 0 {
		d.why = []yard.Saying{yard.Say("reason.steps", yard.Kg("plan", c.dish.bucket.hardKg(plan)), yard.Kg("now", now), yard.Kg("card", c.dish.bucket.hardKg(less)))}
	}
	return less
}

// holdNewFeed holds hard feeds that are new, where half is all that two steps bring in, at
// half of it; the other comes with the next week (limits D-04).
func holdNewFeed(c *horseWeek, d dailyKg) (why []yard.Saying) {
	for i, it := range c.dish.bucket {
		if !it.isNew(c.fed.known) || !c.rising().blends(it, 0, d[i]) {
			continue
		}
		d[i] = it.halfOf(d[i])
		why = append(why, yard.Say("reason.new", yard.FeedArg("feed", it.feed.Feed.Name)))
	}
	if why != nil && !c.facts.mustNotFatten() { // what makes room for it goes half the way too
		for _, i := range c.dish.bucket.hardFeeds() {
			if it := c.dish.bucket[i]; below(d[i], c.fed.day[i]) {
				d[i] = it.moved(c.fed.day[i], (d[i]-c.fed.day[i])/2, c.facts.marks.QuietStepKg)
			}
		}
	}
	c.dish.estimateAdLib(d)
	return why
}

// holdNewHay holds a new forage that takes the place of all others at once: a
// quarter of it this week, three of the old (limits D-05; quarter steps RC-07).
// Where one of them is ad lib or not weighed there is nothing to mix by, and the
// finding alone says it.
func holdNewHay(c *horseWeek, planned dailyKg) (dailyKg, []yard.Saying) {
	if c.facts.Horse.Override.Valid() {
		return planned, nil
	}
	quarters := func(it item, kg float64, n int) float64 {
		return unitsFor(kg*float64(n)/blendSteps, it.forageUnitKg()) * it.forageUnitKg()
	}
	for i, it := range c.dish.bucket {
		if it.class() != yard.Forage || it.grazed || it.planned.adLib || !it.planned.given || !c.dish.bucket.forageSwapped(it) {
			continue
		}
		var old []string
		d := slices.Clone(planned)
		d[i] = quarters(it, it.planned.kg, 1)
		for k, o := range c.dish.bucket {
			if o.class() != yard.Forage || o.grazed || k == i || !o.now.given || o.now.kg == 0 && !o.now.adLib && !o.now.unread {
				continue
			}
			if o.now.adLib || o.now.unread {
				return planned, nil
			}
			d[k] = quarters(o, o.now.kg, blendSteps-1)
			old = append(old, o.feed.Feed.Name)
		}
		if old == nil {
			return planned, nil
		}
		c.dish.estimateAdLib(d)
		return d, []yard.Saying{yard.Say("why.hay", yard.FeedArg("feed", it.feed.Feed.Name), yard.Names("old", yard.AndAll, yard.FeedName, old), yard.Fixed("days", c.facts.rules.Limits.NewHayDaysStop, yard.Days, 0))}
	}
	return planned, nil
}
