package ration

import (
	"math"
	"slices"

	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// stage is an ordinary day that holds from one day of the week on.
type stage struct {
	from  int
	day   dailyKg
	meals [][]float64 // kilograms by item and meal
}

// served is a week as it will be fed.
type served struct {
	facts      *facts
	dish       dish
	rising     rising
	wasFed     yard.FedEnergy // as of the [horseWeek]
	final      dailyKg        // the ordinary day the week ends on
	stages     []stage        // on the way to it, the last is final
	days       [7]yard.DayPlan
	events     []yard.EventClock
	restAsWork bool // hard feed is not cut on days off
}

// serve deals a ration out over the week.
func serve(c *horseWeek, final dailyKg, verdict yard.Verdict, say *log) *served {
	s := &served{facts: c.facts, dish: c.dish, rising: c.rising(), wasFed: c.wasFed, final: final}
	var biggest float64
	s.stages, biggest = c.dealing().deal(final)
	s.stages = inForageDays(&c.dish, s.stages)
	sayDayRise(c.facts, biggest, verdict, say)
	s.fillDays()
	return s
}

// sayDayRise compares the largest rise of one day with its marks.
func sayDayRise(c *facts, kg float64, verdict yard.Verdict, say *log) {
	f, over := c.marks.DayFinding(c.Horse.Name, kg)
	if !over {
		return
	}
	if o := c.Horse.Override; verdict == yard.StepOverridden && f.Severity == yard.Stop {
		f.Severity, f.Cell = yard.Warn, o.Cell
		f.Saying, f.Message = yard.Say("finding.D-03.overridden", yard.Said("what", f.Says()), yard.Named("who", yard.PersonName, o.Who)), ""
		overruled(&f)
	}
	say.add(f)
}

// fallsAtOnce says whether the way from now to the last stage passes a stop limit,
// because too much is fed now: then the feeds that go down do so at once, in every
// stage of the week, and only those that go up are spread.
func (c *dealing) fallsAtOnce(last stage) bool {
	falls := false
	for i, it := range c.dish.bucket {
		falls = falls || it.hard() && c.rising.fed.day[i] > last.day[i]
	}
	if !falls {
		return false
	}
	const looks = 8
	for k := range looks {
		s := c.interpolateStage(last, float64(k)/looks, false)
		if guard.Stops(guard.Check(c.dish.facts.Horse.Name, c.dish.evaluateMeals(s.day, s.meals), c.dish.facts.rules.Limits)) {
			return true
		}
	}
	return false
}

func (c *served) stageOn(dayOfWeek int) stage {
	s := c.stages[0]
	for _, t := range c.stages {
		if t.from <= dayOfWeek {
			s = t
		}
	}
	return s
}

// fillDays fills the seven days.
func (c *served) fillDays() {
	c.restAsWork = !c.dish.restCut(c.final)
	for i := range c.days {
		w := c.facts.Horse.Work[i]
		d := &c.days[i]
		d.EnergyWork = c.facts.WorkMcal[i]
		d.Work, d.Kind = w.Text, yard.WorkDay
		if !c.facts.week.Beginning.IsZero() {
			d.Date = c.facts.week.Beginning.AddDate(0, 0, i)
		}
		switch {
		case w.Event:
			d.Kind = yard.EventDay
			for _, e := range eventClocks(w) {
				e.Day = yard.Weekday(i)
				c.events = append(c.events, e)
			}
		case w.Rest() && c.facts.Horse.WorkGiven:
			d.Kind = yard.RestDay
		}
		fed := c.fedOn(i)
		hard := 0.0
		for k, it := range c.dish.bucket {
			if it.hard() {
				hard += sum(fed[k])
			}
		}
		d.HardFeedKg = yard.Known(hard)
	}
}

// fedOn is what is fed on a day of the week: kilograms by item and meal.
func (c *served) fedOn(dayOfWeek int) [][]float64 {
	return c.onDayOf(c.stageOn(dayOfWeek), c.days[dayOfWeek].Kind, c.facts.Horse.Work[dayOfWeek])
}

func (c *served) onDayOf(s stage, kind yard.DayKind, event yard.Day) [][]float64 {
	switch {
	case kind == yard.RestDay && !c.restAsWork:
		return c.dish.shares(c.dish.onRest(s.day, true))
	case kind != yard.EventDay:
		return s.meals
	}
	return c.dish.onEventDay(s.meals, event)
}

// stagesOf is the stages in which a kind of day falls; the first stage where
// none does, because a day off may still come. Where days off are fed as days of
// work both are printed in one column, which has the stages of both: a rise begins
// on a day of work, and the day off before it is not fed the rise.
func (c *served) stagesOf(kind yard.DayKind) []stage {
	var out []stage
	for i, d := range c.days {
		if d.Kind == kind || c.restAsWork && d.Kind != yard.EventDay && kind != yard.EventDay {
			if s := c.stageOn(i); len(out) == 0 || out[len(out)-1].from != s.from {
				out = append(out, s)
			}
		}
	}
	if len(out) == 0 {
		return slices.Clone(c.stages[:1]) // the caller appends to it
	}
	return out
}

// print puts the week's days and servings in the plan.
func (c *served) print(p *yard.HorsePlan) {
	for d := range p.Step.DayKg {
		p.Step.DayKg[d] = yard.Known(c.dish.bucket.hardKg(c.stageOn(d).day))
	}
	// Copied once all are known: a large yard's servings are a quarter of its plan.
	p.Days, p.Events, p.RestAsWork, p.Servings = c.days, c.events, c.restAsWork, slices.Clone(c.servings())
}

// servings lists what the card prints: each kind of day complete, later
// stages only where an amount changes.
func (c *served) servings() (out []yard.Serving) {
	add := func(kind yard.DayKind, stages []stage, fed func(n int) [][]float64) {
		var before [][]float64
		for n, s := range stages {
			fed := fed(n)
			for m := range c.dish.sharing.meals {
				for i, it := range c.dish.bucket {
					kg := fed[i][m]
					adLib := it.startingPortion().adLib
					if adLib && (n > 0 || m > 0) {
						continue // said once: it hangs there all day
					}
					if n == 0 && kg == 0 && !adLib || n > 0 && alike(kg, before[i][m]) {
						continue
					}
					out = append(out, c.serving(it, kind, m, kg, s, n, sum(fed[i])))
				}
			}
			before = fed
		}
	}
	plain := func(kind yard.DayKind, stages []stage) {
		add(kind, stages, func(n int) [][]float64 { return c.onDayOf(stages[n], kind, yard.Day{}) })
	}
	work := c.stagesOf(yard.WorkDay)
	if last := c.stages[len(c.stages)-1]; work[len(work)-1].from != last.from {
		work = append(work, last)
	}
	plain(yard.WorkDay, work)
	plain(yard.RestDay, c.stagesOf(yard.RestDay))
	// Each event has its own start, so a second one is printed as what changes from
	// that day on.
	var events []stage
	for i, d := range c.days {
		if d.Kind == yard.EventDay {
			events = append(events, stage{from: i})
		}
	}
	add(yard.EventDay, events, func(n int) [][]float64 { return c.fedOn(events[n].from) })
	return out
}

func (c *served) serving(it item, kind yard.DayKind, meal int, kg float64, s stage, n int, dayKg float64) yard.Serving {
	from := yard.Weekday(s.from)
	if n == 0 {
		from = 0
	}
	v := yard.Serving{Day: kind, Meal: c.dish.sharing.meals[meal].Name, Feed: it.feed.Feed.Name, Class: it.class(), From: from,
		AdLib: it.startingPortion().adLib, Kg: yard.KgFed(math.Round(kg*1e4) / 1e4),
		Changed: kind == yard.WorkDay && it.now.given && !it.now.unread && !it.now.adLib && changed(it.now.kg, dayKg)}
	if v.AdLib {
		v.Meal = "" // it hangs there all day
		v.Kg = yard.KgFed(math.Round(dayKg*1e4) / 1e4)
	}
	if it.grazed {
		v.Grazed = c.facts.Horse.GrassHours
	}
	switch it.class() {
	case yard.Oil:
		v.Ml = yard.Known(math.Round(kg / oilKgPerLitre * 1000))
	case yard.Forage:
		if w, ok := it.feed.MeasureKg.Get(); ok && it.counted() && !v.AdLib && !it.grazed {
			v.Measure, v.Measures = it.feed.Feed.MeasureName, yard.Known(math.Round(kg/w*4)/4)
			if math.Abs(v.Measures.Or(0)*w-kg) > 1e-4 { // a quarter of a kilo more or less than whole ones
				v.Measure, v.Measures = "", yard.Num{}
			}
		}
	case yard.HardFeed, yard.Chaff:
		w, ok := it.feed.MeasureKg.Get()
		v.Weigh = !ok || !it.inQuarters(kg)
		if ok {
			v.Measure, v.Measures = it.feed.Feed.MeasureName, yard.Known(kg/w)
			if !v.Weigh {
				v.Measures = yard.Known(math.Round(kg/w*4) / 4)
			}
		}
	}
	return v
}

// reached is the day from which a day of work has as much of a feed as the week ends on.
func reached(servings []yard.Serving, feed string) yard.Weekday {
	on := func(day yard.Weekday) (kg yard.KgFed) {
		for i, s := range servings {
			later := func(o yard.Serving) bool {
				return o.Feed == feed && o.Day == s.Day && o.Meal == s.Meal && o.From > s.From && o.From <= day
			}
			if s.Feed == feed && s.Day == yard.WorkDay && s.From <= day && !slices.ContainsFunc(servings[i+1:], later) {
				kg += s.Kg
			}
		}
		return kg
	}
	day := yard.Weekday(6)
	for day > 0 && !changed(float64(on(day-1)), float64(on(6))) {
		day--
	}
	return day
}

// changes lists the feeds whose amount changes, as they are served.
func (c *served) changes(servings []yard.Serving) (out []yard.Change) {
	for i, it := range c.dish.bucket {
		if it.startingPortion().adLib && it.now.adLib || it.assumedForage {
			continue
		}
		from := yard.Known(it.now.kg)
		if !it.now.given && !c.rising.fed.known || it.now.unread || it.now.adLib {
			from = yard.Num{}
		}
		if !changed(from.Or(0), c.final[i]) { // an unknown that comes to nothing is no change to print
			continue
		}
		out = append(out, yard.Change{Feed: it.feed.Feed.Name, FromKg: from, ToKg: yard.Known(c.final[i]), From: reached(servings, it.feed.Feed.Name), InSteps: c.inSteps(i, it.now.kg)})
	}
	return out
}

// inSteps says whether an item moves more than once on its way from what it was.
func (c *served) inSteps(i int, was float64) bool {
	moves := 0
	for _, s := range c.stages {
		if changed(was, s.day[i]) {
			moves++
		}
		was = s.day[i]
	}
	return moves > 1
}
