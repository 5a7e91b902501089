package ration

import (
	"math"
	"slices"

	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// judgePlan puts the planned hard feed against the weekly step. Over stop the
// card is held at the largest amount within warn, unless somebody overrides it
// by name and with a reason.
func (c *card) judgePlan() {
	plan := c.asWritten()
	c.HardFeed.Planned = yard.Known(c.hardKg(plan))
	c.workedHard("hard feed planned", func(i int) (float64, string, bool) { return plan[i], c.bucket[i].cell.String(), true })
	final := slices.Clone(plan)
	now, known := c.HardFeed.Now.Get()
	if c.blendDays() != nil && !c.blendFits() && !c.Horse.Override.Valid() {
		c.holdNewFeed(final)
	}
	if known && c.stepVerdict(c.hardKg(plan)-now) == yard.StepStop && !c.Horse.Override.Valid() {
		c.limitRise(final, min(now+c.weekRoomKg(), c.hardKg(final)))
		c.heldShare = yard.Known((c.hardKg(final) - now) / (c.hardKg(plan) - now))
		c.Status = yard.Held
		c.HeldWhy = append(c.HeldWhy, c.overStep(c.hardKg(plan), c.hardKg(plan)-now))
		c.estimateAdLib(final)
		for _, f := range guard.Check(c.Horse.Name, c.evaluate(plan, c.keep), c.rules.Limits) {
			if f.Severity == yard.Stop { // not on this week's card, but where the plan leads
				c.find(f.Rule, yard.Warn, c.Horse.Cell, f.Source, yard.Say(onItsWay, yard.Said("what", f.Says())))
			}
		}
	}
	c.closeStep(plan, c.hardKg(plan), final)
	if len(c.Step.PathKg) == 1 && c.hardKg(final) < c.hardKg(plan)-1e-9 {
		c.Step.PathKg, c.Step.WeeksToTarget = []float64{c.hardKg(final), c.hardKg(plan)}, yard.Known(2)
	}
}

// onItsWay is a finding on the plan a held card leads to.
const onItsWay = "finding.on its way"

// sayOnce drops what is said of the plan where the same stop is said of this week.
func (c *card) sayOnce() {
	stops := func(said yard.Saying) bool {
		return slices.ContainsFunc(c.Findings, func(f yard.Finding) bool { return f.Severity == yard.Stop && f.Says().Compare(said) == 0 })
	}
	c.Findings = slices.DeleteFunc(c.Findings, func(f yard.Finding) bool {
		what, ok := f.Saying.Arg("what").(yard.Saying)
		return f.Saying.Key == onItsWay && ok && stops(what)
	})
}

// holdNewFeed holds hard feeds that are new, in a week without room for all four
// quarters, at three of them; the last comes with the next week (limits D-04).
func (c *card) holdNewFeed(d day) {
	for i, it := range c.bucket {
		if !it.hard() || !it.isNew(c.nowKnown) {
			continue
		}
		d[i] = it.floorServable(d[i] * (blendSteps - 1) / blendSteps)
		c.HeldWhy = append(c.HeldWhy, yard.Say("reason.new", yard.FeedArg("feed", it.feed.Feed.Name), yard.Fixed("days", c.rules.Limits.NewFeedDaysStop, yard.Days, 0)))
	}
	c.Status = yard.Held
	c.estimateAdLib(d)
}

// holdNewHay holds a new forage that takes the place of all others at once: a
// quarter of it this week, three of the old (limits D-05; quarter steps RC-07).
// Where one of them is ad lib or not weighed there is nothing to mix by, and the
// finding alone says it.
func (c *card) holdNewHay() {
	if c.Horse.Override.Valid() {
		return
	}
	quarters := func(kg float64, n int) float64 {
		return math.Ceil(kg*float64(n)/blendSteps/hayUnitKg-1e-9) * hayUnitKg
	}
	for i, it := range c.bucket {
		if it.class() != yard.Forage || it.grazed || it.planned.adLib || !it.planned.given || !c.forageSwapped(it) {
			continue
		}
		var old []string
		d := slices.Clone(c.final)
		d[i] = quarters(it.planned.kg, 1)
		for k, o := range c.bucket {
			if o.class() != yard.Forage || o.grazed || k == i || !o.now.given || o.now.kg == 0 && !o.now.adLib && !o.now.unread {
				continue
			}
			if o.now.adLib || o.now.unread {
				return
			}
			d[k] = quarters(o.now.kg, blendSteps-1)
			old = append(old, o.feed.Feed.Name)
		}
		if old == nil {
			return
		}
		c.final, c.Status = d, yard.Held
		c.estimateAdLib(c.final)
		c.HeldWhy = append(c.HeldWhy, yard.Say("why.hay", yard.FeedArg("feed", it.feed.Feed.Name), yard.Names("old", yard.AndAll, yard.FeedName, old), yard.Fixed("days", c.rules.Limits.NewHayDaysStop, yard.Days, 0)))
		return
	}
}

// closeHold says what a held card prints instead of the plan.
func (c *card) closeHold(planned day) {
	if c.Status != yard.Held {
		return
	}
	hard := yard.Say("part.hard feed.none")
	if kg := c.hardKg(c.final); kg > 0 {
		hard = yard.Say("part.hard feed", yard.Kg("kg", kg))
	}
	if now, ok := c.HardFeed.Now.Get(); ok && c.hardKg(c.final) > now+1e-9 {
		hard = yard.Say("part.hard feed.more", yard.Said("hard", hard), yard.Kg("rise", c.hardKg(c.final)-now))
	}
	c.Instead = yard.Say("part.instead", yard.Said("hard", hard), yard.Said("forage", c.forageOn(c.final)))
	if kg, cut := c.saltCut(planned); cut {
		c.Instead = yard.Say("part.instead.salt", append(c.Instead.Args, yard.Fixed("salt", kg*1000, yard.Grams, 0))...)
	}
}

// stepVerdict is the week's verdict on a rise, stop also where the days there
// are cannot take it.
func (c *card) stepVerdict(riseKg float64) yard.Verdict {
	if c.tooFewDays(riseKg) || len(c.noRise) > 0 && riseKg > 1e-9 {
		return yard.StepStop
	}
	return c.marks.Verdict(riseKg)
}

// overStep is why a plan that passes a stop mark of the step is held.
func (c *card) overStep(planKg, riseKg float64) yard.Saying {
	stop := c.stopPassed(riseKg)
	key := map[string]string{"part.stop.week": "reason.step", "part.stop.day": "reason.step.day", "part.stop.colic": "why.step.colic", "part.stop.colic.unknown": "why.step.colic.unknown"}[stop.Key]
	return yard.Say(key, append([]yard.Arg{yard.Kg("plan", planKg), yard.Kg("rise", riseKg)}, stop.Args...)...)
}

// stopPassed is the stop mark a rise passes.
func (c *card) stopPassed(riseKg float64) yard.Saying {
	if len(c.noRise) > 0 {
		key := "part.stop.colic"
		if guard.OnlyUnknown(c.Horse.Diagnoses) {
			key = "part.stop.colic.unknown"
		}
		return yard.Say(key, yard.Fixed("days", c.rules.Limits.StackDays, yard.Days, 0), yard.SayingList("changes", yard.AndAll, c.noRise))
	}
	if c.marks.Verdict(riseKg) == yard.StepStop {
		return yard.Say("part.stop.week", yard.Kg("mark", c.marks.WeekStopKg))
	}
	return yard.Say("part.stop.day", yard.Count("days", len(c.fedDays())), yard.Kg("mark", c.marks.DayStopKg))
}

// closeStep writes down the step: the rise to judged kg, its verdict, and the
// path to the target.
func (c *card) closeStep(target day, judgedKg float64, final day) {
	c.final = final
	targetKg := c.hardKg(target)
	c.HardFeed.Target = yard.Known(targetKg)
	now, known := c.HardFeed.Now.Get()
	if !known {
		c.Step.Verdict = yard.StepUnknown
		c.find("D-01", yard.Warn, c.Horse.Cell, guard.StepSource, yard.Say("finding.D-01.unknown", yard.Kg("warn", c.marks.WeekWarnKg), yard.Kg("stop", c.marks.WeekStopKg)))
		return
	}
	rise := judgedKg - now
	c.Step.RiseKg = yard.Known(rise)
	c.worked("rise in hard feed", "this week's amount − what is fed now, against the weekly marks", c.Step.RiseKg, "kg a day", guard.StepSource,
		in("this week's amount", judgedKg, "kg", ""), in("fed now", now, "kg", ""), in("warn mark", c.marks.WeekWarnKg, "kg", ""), in("stop mark", c.marks.WeekStopKg, "kg", ""))
	c.Step.Verdict = c.stepVerdict(rise)
	c.Step.PathKg = c.marks.Path(now, targetKg)
	c.Step.WeeksToTarget = yard.Known(float64(len(c.Step.PathKg)))
	o := c.Horse.Override
	switch c.Step.Verdict {
	case yard.StepWarn: // it prints, so the target is reached this week
		c.Step.PathKg, c.Step.WeeksToTarget = []float64{targetKg}, yard.Known(1)
		c.find("D-01", yard.Warn, c.Horse.Cell, guard.StepSource, yard.Say("finding.D-01", yard.Kg("rise", rise), kg0("weight", c.bodyKg), yard.Kg("warn", c.marks.WeekWarnKg), yard.Kg("stop", c.marks.WeekStopKg)))
	case yard.StepStop:
		if o.Valid() {
			c.Step.Verdict = yard.StepOverridden
			c.Step.PathKg, c.Step.WeeksToTarget = []float64{targetKg}, yard.Known(1)
			c.find("D-02", yard.Warn, o.Cell, guard.StepSource, yard.Say("finding.D-02.overridden", yard.Kg("rise", rise), yard.Said("stop", c.stopPassed(rise)), yard.Named("who", yard.PersonName, o.Who), yard.Words("reason", o.Reason)))
			overruled(&c.Findings[len(c.Findings)-1])
			return
		}
		c.find("D-02", yard.Stop, c.Horse.Cell, guard.StepSource, yard.Say("finding.D-02", yard.Kg("rise", rise), yard.Said("stop", c.stopPassed(rise)), kg0("weight", c.bodyKg), yard.Kg("warn", c.marks.WeekWarnKg)))
		if o.Asked {
			c.find("override", yard.Warn, o.Cell, "", yard.Say("finding.override"))
		}
	}
}

// overruled gives a finding on a mark that was overruled its next step: the rule's
// own is what to do instead of overruling it.
func overruled(f *yard.Finding) {
	if r, ok := guard.Lookup(f.Rule); ok {
		f.Why, f.Next = r.Why, "look at the horse every day; who overruled the mark answers for it"
	}
}

// limitRise cuts the feeds that go up, by the same share, so that hard feed in
// all comes to at most mostKg; what is taken away stays taken away.
func (c *card) limitRise(d day, mostKg float64) {
	base, up := 0.0, 0.0
	for i, it := range c.bucket {
		if it.hard() {
			low := min(c.now[i], d[i])
			base += low
			up += d[i] - low
		}
	}
	if up <= 0 {
		return
	}
	share := min(1, max(0, (mostKg-base)/up))
	for i, it := range c.bucket {
		if it.hard() {
			low := min(c.now[i], d[i])
			d[i] = max(low, it.floorServable(low+(d[i]-low)*share))
		}
	}
}

// keepForage gives back forage a held plan takes away for hard feed that is held
// back: no more of it goes than of the hard feed comes, where the horse would
// otherwise go short of energy it has now. Forage a horse is to slim on, and what
// a vet has a say in, stays as planned. Ours.
func (c *card) keepForage() {
	share, held := c.heldShare.Get()
	if !held {
		return
	}
	d := c.final
	score, okS := c.Horse.Score.Get()
	if target, okT := c.Horse.TargetScore.Get(); okS && okT && target < score || c.Horse.Has(yard.Overweight) || vetNamed(c.Horse) {
		return
	}
	short := func() bool {
		c.estimateAdLib(d)
		supply, known := c.meanSupply(d)
		return !known || supply < c.Energy.Need.Or(0)
	}
	for i, it := range c.bucket {
		if it.class() != yard.Forage || it.grazed || it.fed().adLib || !it.now.given || it.now.unread || it.now.adLib {
			continue
		}
		most := it.now.kg - (it.now.kg-d[i])*share
		for d[i] < most-1e-9 && short() {
			d[i] = min(d[i]+hayUnitKg, it.now.kg)
		}
	}
	c.estimateAdLib(d)
}

// clearStops holds a ration that passes a stop mark other than the step, and
// prints the nearest one that clears them all: shared out evenly, forage up to
// the floor, salt down to its mark, then all hard feed cut by one share. The reason is not empty where
// no such ration exists.
func (c *card) clearStops() yard.Saying {
	found := guard.Check(c.Horse.Name, c.evaluate(c.final, c.keep), c.rules.Limits)
	c.Findings = append(c.Findings, found...)
	c.sayOnce()
	defer func() { c.HardFeed.Card = yard.Known(c.hardKg(c.final)) }()
	if !guard.Stops(found) {
		return yard.Saying{}
	}
	c.keep = false
	stops := func(d day) bool {
		return guard.Stops(guard.Check(c.Horse.Name, c.evaluate(d, false), c.rules.Limits))
	}
	d := slices.Clone(c.final)
	c.leaveOutForbidden(d)
	if c.raiseForage(d, c.forageStopPct(), func(item) bool { return true }) {
		c.estimateAdLib(d)
	}
	c.limitSalt(d)
	if stops(d) {
		without := func(e day, classes ...yard.FeedClass) day {
			e = slices.Clone(e)
			for i, it := range c.bucket {
				if slices.Contains(classes, it.class()) {
					e[i] = 0
				}
			}
			c.estimateAdLib(e)
			return e
		}
		cut := func(d day, share float64) day {
			e := slices.Clone(d)
			for i, it := range c.bucket {
				if it.hard() {
					e[i] = it.floorServable(d[i] * share)
				}
			}
			c.estimateAdLib(e)
			return e
		}
		// The least is taken away: hard feed by one share, else supplements and
		// oil too.
		for _, try := range []day{d, without(d, yard.Supplement), without(d, yard.Supplement, yard.Oil, yard.Succulent)} {
			if !stops(cut(try, 0)) {
				d = try
				break
			}
		}
		if stops(cut(d, 0)) {
			return yard.Say("reason.none")
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
		d = cut(d, lo)
	}
	c.Status = yard.Held
	for _, f := range found {
		if f.Severity == yard.Stop {
			c.HeldWhy = append(c.HeldWhy, passed(f))
		}
	}
	c.final, c.target = d, nil
	if c.Step.RiseKg.IsKnown() {
		// No week leads to a ration that passes a stop mark: the path ends on the card.
		c.Step.PathKg, c.Step.WeeksToTarget = c.marks.Path(c.HardFeed.Now.Or(0), c.hardKg(d)), yard.Num{}
	}
	return yard.Saying{}
}

// passed is a stop mark that holds a card, as a reason: the languages that cannot
// say it send to the office sheet by its rule.
func passed(f yard.Finding) yard.Saying {
	return yard.Say("why.rule", yard.Named("rule", yard.RuleName, string(f.Rule)), yard.Said("what", f.Says()))
}

// leaveOutForbidden takes out what may not be given to this horse at all.
func (c *card) leaveOutForbidden(d day) {
	for i, why := range guard.Forbidden(c.evaluate(d, false), c.rules.Limits) {
		if why != "" && !c.bucket[i].fed().adLib {
			d[i] = 0
		}
	}
	c.estimateAdLib(d)
}

// forageStopPct is the stop mark of the forage floor that holds for this horse.
func (c *card) forageStopPct() float64 {
	_, stop, _ := guard.ForageFloor(c.Horse.Diagnoses, c.rules.Limits)
	return stop
}

// limitSalt brings salt down to its stop mark.
func (c *card) limitSalt(d day) {
	most := guard.SaltStopG(c.capKg, c.rules.Limits) / 1000
	have := 0.0
	for i, it := range c.bucket {
		if it.class() == yard.Salt {
			have += d[i]
		}
	}
	for i, it := range c.bucket {
		if it.class() == yard.Salt && have > most {
			d[i] = math.Floor(d[i]*most/have/gramUnitKg+1e-9) * gramUnitKg
		}
	}
}

// saltCut is the salt on the card, kg, and whether it had to be cut from what was
// planned.
func (c *card) saltCut(planned day) (kg float64, cut bool) {
	for i, it := range c.bucket {
		if it.class() == yard.Salt {
			kg += c.final[i]
			cut = cut || c.final[i] < planned[i]
		}
	}
	return kg, cut
}

// forageOn is the forage of a day; what is grazed goes by its hours, which the
// card prints.
func (c *card) forageOn(d day) yard.Saying {
	kg, adLib, grass := 0.0, false, false
	for i, it := range c.bucket {
		switch {
		case it.class() != yard.Forage:
		case it.grazed:
			grass = true
		default:
			kg += d[i]
			adLib = adLib || it.fed().adLib
		}
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
