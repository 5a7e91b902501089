package ration

import (
	"slices"
	"time"

	"hardfeed/ration/feeds"
	"hardfeed/ration/guard"
	"hardfeed/ration/work"
	"hardfeed/ration/yard"
)

// ageDays is a date's age when the week begins, days; 0 where either is unknown.
func (c *facts) ageDays(t time.Time) float64 {
	if t.IsZero() || c.week.Beginning.IsZero() {
		return 0
	}
	return c.week.Beginning.Sub(t).Hours() / 24
}

// recent says whether a date lies within the days that count together, counted
// back from the end of the week.
func (c *facts) recent(t time.Time) bool {
	age := c.ageDays(t)
	return !t.IsZero() && !c.week.Beginning.IsZero() && age > -7 && age+7 <= c.rules.Limits.StackDays
}

// changesBesideHardFeed are the changes beside hard feed: hay, turnout, work.
func changesBesideHardFeed(c *dish) (changes []yard.Saying, hay []guard.NewFeed) {
	for _, it := range c.bucket {
		if it.class() != yard.Forage || it.grazed || it.assumedForage {
			continue
		}
		name := it.feed.Feed.Name
		switch {
		case c.bucket.forageSwapped(it):
			hay = append(hay, guard.NewFeed{Name: name, Days: yard.Known(1)})
		case c.facts.recent(it.feed.Feed.BatchSince), c.facts.recent(it.since), it.isNew(c.bucket.anyNow()):
			hay = append(hay, guard.NewFeed{Name: name})
		}
	}
	if len(hay) > 0 {
		changes = append(changes, yard.Say("part.change.hay", yard.FeedArg("feed", hay[0].Name)))
	}
	now, ok1 := c.facts.Horse.GrassHours.Get()
	before, ok2 := c.facts.Horse.GrassBefore.Get()
	if ok1 && ok2 && (now-before >= 1 || before-now >= 1) {
		changes = append(changes, yard.Say("part.change.grass", yard.Figures("before", before, yard.Hours, 3), yard.Figures("now", now, yard.Hours, 3)))
	}
	if c.facts.recent(c.facts.Horse.InWorkSince) {
		changes = append(changes, yard.Say("part.change.work", yard.Arg{Name: "since", Value: yard.Date{Date: c.facts.Horse.InWorkSince}}))
	}
	return changes, hay
}

// anyNow says whether anybody wrote down what the horse is fed now.
func (b bucket) anyNow() bool {
	return slices.ContainsFunc(b, item.written)
}

// forageSwapped says whether a new forage takes the place of all others at once.
func (b bucket) forageSwapped(it item) bool {
	if !it.isNew(b.anyNow()) {
		return false
	}
	old := false
	for _, o := range b {
		if o.class() != yard.Forage || o.grazed || o.feed.Feed.Name == it.feed.Feed.Name {
			continue
		}
		if p := o.startingPortion(); p.adLib || p.kg > 0 {
			return false
		}
		old = old || o.now.given
	}
	return old
}

// fedNowMcal is the energy of what is fed now, the mean of a week like this one;
// unknown where any of it is not weighed or its energy is not known.
func fedNowMcal(c *dish, fed fedNow) yard.Num {
	for _, it := range c.bucket {
		if it.grazed || it.assumedForage || it.now.adLib && !it.lick() || it.now.unread || it.planned.given && !it.now.given {
			return yard.Num{}
		}
	}
	mcal, known := c.meanSupply(fed.day)
	if !known || !fed.known {
		return yard.Num{}
	}
	return yard.Known(mcal)
}

// needRange is the lowest and the highest energy need of a day: for this week's
// work, for last week's, and by the class. While last week's work is not known no
// lowest is; while this week's is not, neither.
func (c *facts) needRange() yard.Range {
	need, ok := c.Energy.Need.Get()
	if !ok || c.WorkAtLeast {
		return yard.Range{}
	}
	class := c.Energy.ClassNeed.Or(need)
	if c.Energy.Own.IsKnown() { // the horse's own evidence outranks the class
		class = need
	}
	if h := c.Horse; !h.BeforeGiven || slices.ContainsFunc(h.Before[:], func(d yard.Day) bool { return d.Unknown }) {
		return yard.Range{High: yard.Known(max(need, class))}
	}
	sum := 0.0
	for _, mcal := range work.WeekMcal(c.Horse.Before, class, c.Energy.Maintenance.Or(0), c.bodyKg, c.riderKg, c.rules) {
		sum += mcal
	}
	before := need - c.Energy.Work.Or(0) + sum/7
	return yard.Range{Low: yard.Known(min(need, before, class)), High: yard.Known(max(need, before, class))}
}

// newHard are the hard feeds that are blended in, with the days until their full
// amount on this week's card; some says whether any is new, blended in or not.
func (c *served) newHard() (out []guard.NewFeed, some bool) {
	for i, it := range c.dish.bucket {
		if !it.hard() || !it.isNew(c.rising.fed.known) {
			continue
		}
		some = true
		if !c.rising.blends(it, 0, it.planned.kg) {
			continue
		}
		first, full := -1, -1
		for _, s := range c.stages {
			if first < 0 && s.day[i] > 0 {
				first = s.from
			}
			if full < 0 && !below(s.day[i], max(it.planned.kg, it.chosenKg)) {
				full = s.from
			}
		}
		days := float64(7 - first) // the rest comes with the next week at the earliest
		if full >= 0 {
			days = float64(full - first)
		}
		if age := c.facts.ageDays(it.since); !it.since.IsZero() && age > 0 {
			days += age
		}
		out = append(out, guard.NewFeed{Name: it.feed.Feed.Name, Days: yard.Known(days)})
	}
	return out, some
}

// checkWeight compares the weighings of a horse no ration is worked out for.
func (c *facts) checkWeight(say *log) {
	if c.weight.known {
		say.add(guard.CheckWeight(c.ofWeek(), c.rules.Limits)...)
	}
}

// checkWeek compares the horse's week with every rule on it; unclearedStops are those no
// other ration would clear, in words for the card.
func (c *served) checkWeek(hardCard yard.Num, say *log) (unclearedStops []yard.Saying) {
	h := c.facts.Horse
	w := guard.HorseWeek{
		Evidence: c.facts.shown,
		Horse:    h, Beginning: c.facts.week.Beginning, BodyKg: c.facts.bodyKg, WeightBasis: c.facts.basis, StaleDays: float64(c.facts.rules.WeightStaleDays),
		Class: c.facts.WorkClass, PaceMPerMin: c.facts.rules.PaceMPerMin, Temperature: c.facts.week.Temperature, HumidityPct: c.facts.week.HumidityPct,
		Marks: c.facts.marks, HardNow: c.rising.fed.hardKg, HardCard: hardCard,
	}
	var newHard bool
	w.NewHard, newHard = c.newHard()
	w.FedMcal, w.NeedMcal = fedNowMcal(&c.dish, c.rising.fed), c.facts.needRange()
	changes, hay := changesBesideHardFeed(&c.dish)
	w.NewHay = hay
	if now, ok := w.HardNow.Get(); ok && (newHard || w.HardCard.Or(0) > now+0.1) { // a tenth of a kilo is not a change of feed (ours)
		changes = append([]yard.Saying{yard.Say("part.change.hard feed")}, changes...)
	}
	w.Changes = changes
	for _, d := range c.days {
		if d.Kind == yard.RestDay && !(restedBefore(&c.facts.Horse) && c.facts.lean()) { // one that does not work and is lean has no day of work to be halved from
			w.HardRestDayKg = max(w.HardRestDayKg, d.HardFeedKg.Or(0))
		}
	}
	for i, it := range c.dish.bucket {
		if it.class() == yard.Oil && c.dish.bucket.anyNow() && !it.now.unread {
			w.OilNewMl += (c.final[i] - it.now.kg) / oilKgPerLitre * 1000
			w.OilDays = 1
		}
	}
	w.DryFeed, w.DryHay = c.fedDry()
	for _, it := range c.dish.bucket {
		if it.hard() && (it.now.adLib || it.planned.adLib) {
			say.find("hard-ad-lib", yard.Warn, it.cell, noSource, yard.Say("finding.hard-ad-lib", yard.FeedArg("feed", it.feed.Feed.Name)))
		}
	}
	w.Forage = c.forageMeals()
	w.Events = c.eventMeals()
	found := guard.CheckWeek(w, c.facts.rules.Limits)
	for _, f := range found {
		if f.Severity == yard.Stop && f.Rule != "D-18" { // when hay is given is the manager's to change
			unclearedStops = append(unclearedStops, yard.Say("caution.red."+string(f.Rule)))
		}
	}
	say.add(found...)
	return unclearedStops
}

// hayIsWetted says whether the horse's notes or a vet's words say that its hay is soaked or
// steamed.
func hayIsWetted(h yard.Horse) bool {
	return feeds.SaysHayIsWetted(h.Notes) ||
		slices.ContainsFunc(h.Diagnoses, func(d yard.NamedDiagnosis) bool { return feeds.SaysHayIsWetted(d.Text) })
}

// fedDry is what is fed dry: feeds that are usually soaked, and forage.
func (c *served) fedDry() (hard, hay []string) {
	for i, it := range c.dish.bucket {
		switch {
		case c.final[i] <= 0 || it.feed.Wetted:
		case it.class() == yard.Forage && !it.grazed && !it.feed.Haylage && !c.facts.wetHay:
			hay = append(hay, it.feed.Feed.Name)
		case it.hard() && (it.feed.BeetPulp || it.feed.Pelleted):
			hard = append(hard, it.feed.Feed.Name)
		}
	}
	return hard, hay
}

// forageMeals is the weighed forage by meal on an ordinary day; nil where some is
// there all day or the horse is out, since when is then not known.
func (c *served) forageMeals() []guard.ForageMeal {
	out := make([]guard.ForageMeal, len(c.dish.sharing.meals))
	for m := range c.dish.sharing.meals {
		out[m].Minute = c.dish.sharing.meals[m].Minute
	}
	for i, it := range c.dish.bucket {
		if it.class() != yard.Forage {
			continue
		}
		if it.grazed || it.startingPortion().adLib {
			return nil
		}
		for m, kg := range c.dish.sharing.mealsOf(it, c.final[i], it.pattern(c.dish.sharing.keepsMealPattern)) {
			out[m].Kg += kg
		}
	}
	return out
}

// eventMeals are the hard feeds before each event, as they will be fed.
func (c *served) eventMeals() []guard.EventMeals {
	var out []guard.EventMeals
	for d, day := range c.days {
		starts := c.facts.Horse.Work[d].Starts()
		if day.Kind != yard.EventDay || starts == nil {
			continue
		}
		fed := c.fedOn(d)
		for m, meal := range c.dish.sharing.meals {
			hard := 0.0
			for i, it := range c.dish.bucket {
				if it.hard() {
					hard += fed[i][m]
				}
			}
			// Of several events the first one after the meal asks the most.
			for _, e := range starts {
				if hard > 0 && meal.Minute >= 0 && meal.Minute < e.Min {
					out = append(out, guard.EventMeals{Day: c.facts.weekday(d), Meal: meal.Name, Before: float64(e.Min - meal.Minute), Fast: true})
					break
				}
			}
		}
	}
	return out
}
