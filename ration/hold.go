package ration

import (
	"fmt"
	"math"
	"slices"
	"strings"

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
		c.HeldWhy = append(c.HeldWhy, fmt.Sprintf("planned hard feed of %.2f kg a day is %.2f kg over what is fed now; %s",
			c.hardKg(plan), c.hardKg(plan)-now, c.stopWords(c.hardKg(plan)-now)))
		c.estimateAdLib(final)
		for _, f := range guard.Check(c.Horse.Name, c.evaluate(plan, c.keep), c.rules.Limits) {
			if f.Severity == yard.Stop { // not on this week's card, but where the plan leads
				c.find(f.Rule, yard.Warn, c.Horse.Cell, f.Source, "%s%s", onItsWay, f.Message)
			}
		}
	}
	c.closeStep(plan, c.hardKg(plan), final)
	if len(c.Step.PathKg) == 1 && c.hardKg(final) < c.hardKg(plan)-1e-9 {
		c.Step.PathKg, c.Step.WeeksToTarget = []float64{c.hardKg(final), c.hardKg(plan)}, yard.Known(2)
	}
}

// onItsWay begins a finding on the plan a held card leads to.
const onItsWay = "the plan this card is on its way to passes a stop mark: "

// sayOnce drops what is said of the plan where the same stop is said of this week.
func (c *card) sayOnce() {
	said := map[string]bool{}
	for _, f := range c.Findings {
		if f.Severity == yard.Stop {
			said[onItsWay+f.Message] = true
		}
	}
	c.Findings = slices.DeleteFunc(c.Findings, func(f yard.Finding) bool { return said[f.Message] })
}

// holdNewFeed holds hard feeds that are new, in a week without room for all four
// quarters, at three of them; the last comes with the next week (limits D-04).
func (c *card) holdNewFeed(d day) {
	for i, it := range c.bucket {
		if !it.hard() || !it.isNew(c.nowKnown) {
			continue
		}
		d[i] = it.floorServable(d[i] * (blendSteps - 1) / blendSteps)
		c.HeldWhy = append(c.HeldWhy, fmt.Sprintf("%s is new, and this week's days of work leave no room for all of its quarters in at least %.0f days (D-04): three quarters this week, the rest from the next",
			it.feed.Feed.Name, c.rules.Limits.NewFeedDaysStop))
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
		c.HeldWhy = append(c.HeldWhy, fmt.Sprintf("%s would take the place of %s at once; the stop mark is %.0f days (D-05): a quarter of the new and three of the old this week, half and half the next",
			it.feed.Feed.Name, strings.Join(old, " and "), c.rules.Limits.NewHayDaysStop))
		return
	}
}

// closeHold ends the reasons of a held card with what it prints instead.
func (c *card) closeHold(planned day) {
	if c.Status != yard.Held {
		return
	}
	rise := ""
	if now, ok := c.HardFeed.Now.Get(); ok && c.hardKg(c.final) > now+1e-9 {
		rise = fmt.Sprintf(", %.2f kg more than now", c.hardKg(c.final)-now)
	}
	hard := "no hard feed"
	if kg := c.hardKg(c.final); kg > 0 {
		hard = fmt.Sprintf("%.2f kg of hard feed a day", kg)
	}
	last := len(c.HeldWhy) - 1
	c.HeldWhy[last] += fmt.Sprintf(". The card prints %s%s, and %s%s", hard, rise, c.forageWords(c.final), c.saltWords(planned))
}

// stepVerdict is the week's verdict on a rise, stop also where the days there
// are cannot take it.
func (c *card) stepVerdict(riseKg float64) yard.Verdict {
	if c.tooFewDays(riseKg) || len(c.noRise) > 0 && riseKg > 1e-9 {
		return yard.StepStop
	}
	return c.marks.Verdict(riseKg)
}

// stopWords is the stop mark a rise passes.
func (c *card) stopWords(riseKg float64) string {
	if len(c.noRise) > 0 {
		return guard.Worded(c.Horse.Diagnoses, fmt.Sprintf("with colic named by the vet a second change inside %.0f days is a stop (D-08), and there is already %s", c.rules.Limits.StackDays, strings.Join(c.noRise, " and ")))
	}
	if c.marks.Verdict(riseKg) == yard.StepStop {
		return fmt.Sprintf("the stop mark is %.2f kg a week", c.marks.WeekStopKg)
	}
	return fmt.Sprintf("dealt out over %d days of work it passes the stop mark of %.2f kg in one day", len(c.fedDays()), c.marks.DayStopKg)
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
		c.find("D-01", yard.Warn, c.Horse.Cell, guard.StepSource, "what hard feed this horse had last week is not known, so the rise could not be compared with the marks (%.2f kg warn, %.2f kg stop): fill in Now on the rations sheet", c.marks.WeekWarnKg, c.marks.WeekStopKg)
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
		c.find("D-01", yard.Warn, c.Horse.Cell, guard.StepSource, "hard feed goes up by %.2f kg a day in the week; the warn mark for %.0f kg is %.2f kg, the stop mark %.2f kg", rise, c.bodyKg, c.marks.WeekWarnKg, c.marks.WeekStopKg)
	case yard.StepStop:
		if o.Valid() {
			c.Step.Verdict = yard.StepOverridden
			c.Step.PathKg, c.Step.WeeksToTarget = []float64{targetKg}, yard.Known(1)
			c.find("D-02", yard.Warn, o.Cell, guard.StepSource, "hard feed goes up by %.2f kg a day in the week; %s. Overridden by %s: %s", rise, c.stopWords(rise), o.Who, o.Reason)
			overruled(&c.Findings[len(c.Findings)-1])
			return
		}
		c.find("D-02", yard.Stop, c.Horse.Cell, guard.StepSource, "hard feed would go up by %.2f kg a day in the week; %s for %.0f kg of body weight. Held: the card keeps within the warn mark of %.2f kg a week",
			rise, c.stopWords(rise), c.bodyKg, c.marks.WeekWarnKg)
		if o.Asked {
			c.find("override", yard.Warn, o.Cell, "", "an override was asked for without a name and a reason: it does not count; fill in both")
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
func (c *card) clearStops() string {
	found := guard.Check(c.Horse.Name, c.evaluate(c.final, c.keep), c.rules.Limits)
	c.Findings = append(c.Findings, found...)
	c.sayOnce()
	defer func() { c.HardFeed.Card = yard.Known(c.hardKg(c.final)) }()
	if !guard.Stops(found) {
		return ""
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
			return "no ration of these feeds clears every stop mark, even without hard feed: see the office sheet"
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
			c.HeldWhy = append(c.HeldWhy, f.Message)
		}
	}
	c.final, c.target = d, nil
	if c.Step.RiseKg.IsKnown() {
		// No week leads to a ration that passes a stop mark: the path ends on the card.
		c.Step.PathKg, c.Step.WeeksToTarget = c.marks.Path(c.HardFeed.Now.Or(0), c.hardKg(d)), yard.Num{}
	}
	return ""
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

// saltWords says the salt where it had to be cut from what was planned.
func (c *card) saltWords(planned day) string {
	kg, cut := 0.0, false
	for i, it := range c.bucket {
		if it.class() == yard.Salt {
			kg += c.final[i]
			cut = cut || c.final[i] < planned[i]
		}
	}
	if !cut {
		return ""
	}
	return fmt.Sprintf(", and %.0f g of salt", kg*1000)
}

func (c *card) forageWords(d day) string {
	kg, adLib, grass := 0.0, false, ""
	for i, it := range c.bucket {
		switch {
		case it.class() != yard.Forage:
		case it.grazed: // by its hours, which the card prints
			grass = " beside the grass"
		default:
			kg += d[i]
			adLib = adLib || it.fed().adLib
		}
	}
	if adLib {
		return "forage ad lib" + grass
	}
	return fmt.Sprintf("%.2f kg of forage%s", math.Round(kg*100)/100, grass)
}
