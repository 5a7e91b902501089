package ration

import (
	"fmt"
	"math"
	"slices"

	"hardfeed/ration/guard"
	"hardfeed/ration/need"
	"hardfeed/ration/yard"
)

// stage is an ordinary day that holds from one day of the week on.
type stage struct {
	from  int
	day   day
	meals [][]float64 // kilograms by item and meal
}

// buildStages deals the week's rise out in day steps. A fall, and an amount
// whose start is unknown, are done at once. In a week in which a hard feed is new
// every hard feed walks by quarters.
func (c *card) buildStages() {
	last := stage{day: c.final, meals: c.shares(c.final)}
	now, known := c.HardFeed.Now.Get()
	rise := c.hardKg(c.final) - now
	if froms := c.blendDays(); known && froms != nil {
		var shares []float64
		for k := range froms {
			shares = append(shares, float64(k+1)/float64(len(froms)))
		}
		c.dealOut(last, froms, shares)
	} else if !known || rise <= 1e-9 {
		c.stages = []stage{last}
	} else {
		froms := c.marks.StageDays(rise, c.fedDays())
		var shares []float64
		for _, kg := range c.marks.StageTotals(now, now+rise, len(froms)) {
			shares = append(shares, (kg-now)/rise)
		}
		c.dealOut(last, froms, shares)
	}
	for d := range c.Step.DayKg {
		c.Step.DayKg[d] = yard.Known(c.hardKg(c.stageOn(d).day))
	}
}

// dealOut makes a stage of each share of the way to the last one, from its day on.
func (c *card) dealOut(last stage, froms []int, shares []float64) {
	atOnce := c.fallsAtOnce(last)
	if froms[0] > 0 { // days off before the first step
		c.stages = append(c.stages, c.partWay(last, 0, atOnce))
	}
	// What falls at once may come back in part with the feeds that go up: to what is
	// fed now that is no rise, as after a day off (limits D-09).
	now, biggest := c.HardFeed.Now.Or(0), 0.0
	before := now
	for k, from := range froms {
		s := last
		if k < len(froms)-1 {
			s = c.partWay(last, shares[k], atOnce)
		}
		s.from = from
		c.stages = append(c.stages, s)
		kg := c.hardKg(s.day)
		biggest, before = max(biggest, kg-before), max(kg, now)
	}
	c.dayRise(biggest)
}

// dayRise compares the largest rise of one day with its marks.
func (c *card) dayRise(kg float64) {
	f, over := c.marks.DayFinding(c.Horse.Name, kg)
	if !over {
		return
	}
	if o := c.Horse.Override; c.Step.Verdict == yard.StepOverridden && f.Severity == yard.Stop {
		f.Severity, f.Cell = yard.Warn, o.Cell
		f.Saying, f.Message = yard.Say("finding.D-03.overridden", yard.Said("what", f.Says()), yard.Named("who", yard.PersonName, o.Who)), ""
		overruled(&f)
	}
	c.Findings = append(c.Findings, f)
}

// Days and shares a new hard feed is blended in over a week: a quarter at a time,
// each for at least two days, so that it reaches its full amount on the seventh
// day (limits D-04).
const blendSteps = 4

// blendDays are the days on which a new hard feed goes up by a quarter; nil
// where none is new.
func (c *card) blendDays() []int {
	for _, it := range c.bucket {
		if it.hard() && it.isNew(c.nowKnown) {
			return c.quarterDays()
		}
	}
	return nil
}

// quarterDays are the days on which a hard feed would go up by a quarter, were
// it new.
func (c *card) quarterDays() []int {
	var days []int
	for _, d := range c.fedDays() {
		if len(days) == 0 || len(days) < blendSteps && d-days[len(days)-1] >= 2 {
			days = append(days, d)
		}
	}
	return days
}

// blendFits says whether the week has room for all four quarters of a new feed
// inside the stop mark of D-04.
func (c *card) blendFits() bool { return c.blendDays() != nil && c.quartersFit() }

func (c *card) quartersFit() bool {
	days := c.quarterDays()
	return len(days) == blendSteps && float64(days[blendSteps-1]-days[0]) >= c.rules.Limits.NewFeedDaysStop-1e-9
}

// fedDays are the days of the week the ordinary amount is fed on: not the days
// off, unless the whole week is one.
func (c *card) fedDays() []int {
	var days []int
	for i, w := range c.Horse.Work {
		if !w.Rest() || !c.Horse.WorkGiven || c.allRest() {
			days = append(days, i)
		}
	}
	return days
}

// steps is how many steps a rise can be dealt out in: one a day the ordinary
// amount is fed on, four at most where a hard feed is new.
func (c *card) steps() int {
	if days := c.blendDays(); days != nil {
		return len(days)
	}
	return len(c.fedDays())
}

// weekRoomKg is the largest rise a week's card takes of its own accord: the warn
// mark, or less where there are too few days to deal it out on.
func (c *card) weekRoomKg() float64 {
	if len(c.noRise) > 0 {
		return 0
	}
	return min(c.marks.WeekWarnKg, float64(c.steps())*c.marks.DayWarnKg)
}

// tooFewDays says whether a rise dealt out over the days there are would pass
// the one-day stop mark, less what rounding each feed to ten grams can push from
// one step into the next.
func (c *card) tooFewDays(riseKg float64) bool {
	feeds := 0
	for _, it := range c.bucket {
		if it.hard() {
			feeds++
		}
	}
	return riseKg > float64(c.steps())*(c.marks.DayStopKg-fineUnitKg*float64(feeds))
}

func (c *card) shares(d day) [][]float64 {
	out := make([][]float64, len(c.bucket))
	for i, it := range c.bucket {
		out[i] = c.mealsOf(it, d[i], c.pattern(it, c.keep))
	}
	return out
}

// fallsAtOnce says whether the way from now to the last stage passes a stop mark,
// because too much is fed now: then the feeds that go down do so at once, in every
// stage of the week, and only those that go up are dealt out.
func (c *card) fallsAtOnce(last stage) bool {
	falls := false
	for i, it := range c.bucket {
		falls = falls || it.hard() && c.now[i] > last.day[i]
	}
	if !falls {
		return false
	}
	const looks = 8
	for k := range looks {
		s := c.partWay(last, float64(k)/looks, false)
		if guard.Stops(guard.Check(c.Horse.Name, c.evaluateMeals(s.day, s.meals), c.rules.Limits)) {
			return true
		}
	}
	return false
}

// partWay is the stage at a share of the way from now to the last one. What is
// still to come is left out of the earliest meals first, down to what they hold
// now, so that one meal goes up at a time and the card stays short.
func (c *card) partWay(last stage, share float64, fallAtOnce bool) stage {
	s := stage{day: append(day(nil), last.day...), meals: c.shares(last.day)}
	for i, it := range c.bucket {
		if !it.hard() || c.now[i] == last.day[i] || fallAtOnce && c.now[i] > last.day[i] {
			continue
		}
		s.day[i] = it.stepServable(c.now[i] + (last.day[i]-c.now[i])*share)
		if s.day[i] >= last.day[i] { // on its way down in exchange for another feed
			s.meals[i] = c.mealsOf(it, s.day[i], c.pattern(it, c.keep))
			continue
		}
		toCome := last.day[i] - s.day[i]
		before := c.mealsOf(it, c.now[i], c.pattern(it, c.keep))
		for m := range s.meals[i] {
			cut := min(toCome, max(0, s.meals[i][m]-before[m]))
			s.meals[i][m] -= cut
			toCome -= cut
			if s.meals[i][m] < nothingKg {
				s.meals[i][m] = 0
			}
		}
	}
	c.estimateAdLib(s.day)
	for i, it := range c.bucket {
		if it.fed().adLib {
			s.meals[i] = c.mealsOf(it, s.day[i], nil)
		}
	}
	return s
}

// nothingKg is what a float leaves of a meal that holds nothing, and far under a
// crumb.
const nothingKg = 1e-9

// stepServable rounds an amount on the way up down to ten grams: finer than a
// scoop on purpose, so that no day's rise passes its mark by rounding.
func (it item) stepServable(kg float64) float64 {
	if it.inQuarters(kg) {
		return kg
	}
	return math.Floor(kg/fineUnitKg+1e-6) * fineUnitKg
}

func (c *card) stageOn(dayOfWeek int) stage {
	s := c.stages[0]
	for _, t := range c.stages {
		if t.from <= dayOfWeek {
			s = t
		}
	}
	return s
}

// restCut says whether hard feed is cut on days off: from 0.3 % of body weight
// up, always with a tying-up history (limits D-20). ordinary is the day the week
// ends on, so that the cut does not come and go while an amount climbs. A horse
// that does nothing all week has no work day to be cut from, unless it has tied
// up before.
func (c *card) restCut(ordinary day) bool {
	hard := c.hardKg(ordinary)
	switch {
	case hard <= 0:
		return false
	case guard.Has(c.Horse.Diagnoses, yard.TyingUp):
		return true
	}
	return hard >= guard.RestCutKg(c.bodyKg, c.rules.Limits)-1e-9 && !c.allRest()
}

// allRest says whether the week is one long rest.
func (c *card) allRest() bool {
	for _, w := range c.Horse.Work {
		if !w.Rest() {
			return false
		}
	}
	return c.Horse.WorkGiven
}

// onRest is an ordinary day as it is fed on a day off.
func (c *card) onRest(ordinary day, cut bool) day {
	d := append(day(nil), ordinary...)
	if !cut {
		return d
	}
	for i, it := range c.bucket {
		if it.hard() {
			d[i] = c.restKg(it, d[i])
		}
	}
	c.estimateAdLib(d)
	return d
}

// restKg is a hard feed's amount cut for a day off.
func (c *card) restKg(it item, kg float64) float64 {
	half := kg * c.rules.RestDayFactor
	q := it.quarterKg()
	if n := math.Floor(half/max(q, 1e-9) + 1e-9); q > 0 && n > 0 && it.inQuarters(kg) {
		return n * q
	}
	return it.floorServable(half)
}

// Hours without hard feed round an event (limits D-19: TI-01 to TI-06 before,
// TI-08 after).
const (
	hoursBeforeEvent = 4
	hoursAfterEvent  = 1
)

// leftOut says whether a meal's hard feed is left out on an event day: it falls
// within four hours before the start, or before an hour after the end. Times
// that are not known leave the meal in, and the card says so.
func (c *card) leftOut(meal int, event yard.Day) bool {
	at := c.meals[meal].Minute
	if at < 0 || event.StartMin < 0 {
		return false
	}
	clock := eventClock(event)
	return at > clock.LastHardFeed && at < clock.NextHardFeed
}

// eventClock is when hard feed may be given round an event with a known start.
func eventClock(event yard.Day) yard.EventClock {
	minutes := 0.0
	for _, s := range event.Sessions {
		minutes += s.Total()
	}
	end := event.StartMin + int(minutes)
	return yard.EventClock{Start: event.StartMin, End: end, LastHardFeed: event.StartMin - hoursBeforeEvent*60, NextHardFeed: end + hoursAfterEvent*60,
		Source: "limits D-19 (TI-01 to TI-06) before, TI-08 after"}
}

func (c *card) eventCaution(dayOfWeek int) yard.Saying {
	e, day := c.Horse.Work[dayOfWeek], yard.Arg{Name: "day", Value: c.weekday(dayOfWeek)}
	start := yard.Arg{Name: "start", Value: yard.Clock(e.StartMin)}
	last := e.StartMin - hoursBeforeEvent*60
	switch {
	case e.StartMin < 0:
		return yard.Say("caution.event.untimed", day, yard.Fixed("hours", hoursBeforeEvent, yard.Hours, 0))
	case last < 0:
		return yard.Say("caution.event.early", day, start)
	}
	return yard.Say("caution.event", day, start, yard.Arg{Name: "last", Value: yard.Clock(last)})
}

// weekday is a day of the week to be said.
func (c *card) weekday(i int) yard.DayOfWeek {
	d := yard.DayOfWeek{Number: yard.Weekday(i)}
	if !c.week.Beginning.IsZero() {
		d.Date = c.week.Beginning.AddDate(0, 0, i)
	}
	return d
}

func (c *card) dayName(i int) string {
	if c.week.Beginning.IsZero() {
		return fmt.Sprintf("Day %d", i+1)
	}
	return c.week.Beginning.AddDate(0, 0, i).Format("Mon")
}

// buildDays fills the seven days.
func (c *card) buildDays() {
	c.RestAsWork = !c.restCut(c.final)
	for i := range c.Days {
		w := c.Horse.Work[i]
		d := &c.Days[i]
		d.Work, d.Kind = w.Text, yard.WorkDay
		if !c.week.Beginning.IsZero() {
			d.Date = c.week.Beginning.AddDate(0, 0, i)
		}
		switch {
		case w.Event:
			d.Kind = yard.EventDay
			if w.StartMin >= 0 {
				e := eventClock(w)
				e.Day = yard.Weekday(i)
				c.Events = append(c.Events, e)
			}
		case w.Rest() && c.Horse.WorkGiven:
			d.Kind = yard.RestDay
		}
		fed := c.fedOn(i)
		hard := 0.0
		for k, it := range c.bucket {
			if it.hard() {
				hard += sum(fed[k])
			}
		}
		d.HardFeedKg = yard.Known(hard)
	}
}

// fedOn is what is fed on a day of the week: kilograms by item and meal.
func (c *card) fedOn(dayOfWeek int) [][]float64 {
	return c.fed(c.stageOn(dayOfWeek), c.Days[dayOfWeek].Kind, c.Horse.Work[dayOfWeek])
}

func (c *card) fed(s stage, kind yard.DayKind, event yard.Day) [][]float64 {
	switch {
	case kind == yard.RestDay && !c.RestAsWork:
		return c.shares(c.onRest(s.day, true))
	case kind != yard.EventDay:
		return s.meals
	}
	out := make([][]float64, len(c.bucket))
	for i := range c.bucket {
		out[i] = c.onEvent(i, s.meals[i], event)
	}
	return out
}

// onEvent is an item's meals on an event day: hard feed left out round the start,
// hay held where the work is hard.
func (c *card) onEvent(i int, meals []float64, event yard.Day) []float64 {
	it, out := c.bucket[i], slices.Clone(meals)
	if most, held := c.eventHayKg(i, event); held && most < sum(meals) {
		return c.mealsOf(it, most, c.pattern(it, c.keep))
	}
	for m := range out {
		if it.hard() && c.leftOut(m, event) {
			out[m] = 0
		}
	}
	return out
}

// eventForagePct is the forage a day of hard competition is held near, % of body
// weight as dry matter: this program's rule, from the design; no trial is known.
// Small hay is kept (limits FO-14), and it is not under the warn mark of D-17.
const eventForagePct = 1.5

// eventHayKg is the most of the forage that is moved on a day of competition with
// galloping or jumping, kg as fed. Nothing is held where some forage is there all
// day or grazed, since how much of that is eaten is not known.
func (c *card) eventHayKg(i int, event yard.Day) (kg float64, held bool) {
	fast := slices.ContainsFunc(event.Sessions, func(s yard.Session) bool {
		return s.Minutes[yard.Gallop] > 0 || s.Minutes[yard.Jump] > 0 || s.Efforts > 0
	})
	if !fast || i != c.mainForage() {
		return 0, false
	}
	left := max(eventForagePct, c.forageWarnPct()) / 100 * c.bodyKg
	for k, it := range c.bucket {
		if it.class() != yard.Forage || k == i {
			continue
		}
		dm, known := it.feed.DryMatter(yard.KgFed(it.fed().kg))
		if it.grazed || it.fed().adLib || !known {
			return 0, false
		}
		left -= float64(dm)
	}
	dm := dmOf(c.bucket[i])
	if dm <= 0 {
		return 0, false
	}
	return math.Ceil(max(0, left)/dm/hayUnitKg-1e-9) * hayUnitKg, true
}

func sum(xs []float64) float64 {
	t := 0.0
	for _, x := range xs {
		t += x
	}
	return t
}

// buildServings lists what the card prints: each kind of day complete, later
// stages only where an amount changes.
func (c *card) buildServings() {
	add := func(kind yard.DayKind, stages []stage, fed func(n int) [][]float64) {
		var before [][]float64
		for n, s := range stages {
			fed := fed(n)
			for m := range c.meals {
				for i, it := range c.bucket {
					kg := fed[i][m]
					adLib := it.fed().adLib
					if adLib && (n > 0 || m > 0) {
						continue // said once: it hangs there all day
					}
					if n == 0 && kg == 0 && !adLib || n > 0 && math.Abs(kg-before[i][m]) < 1e-9 {
						continue
					}
					c.Servings = append(c.Servings, c.serving(it, kind, m, kg, s, n, sum(fed[i])))
				}
			}
			before = fed
		}
	}
	plain := func(kind yard.DayKind, stages []stage) {
		add(kind, stages, func(n int) [][]float64 { return c.fed(stages[n], kind, yard.Day{}) })
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
	for i, d := range c.Days {
		if d.Kind == yard.EventDay {
			events = append(events, stage{from: i})
		}
	}
	add(yard.EventDay, events, func(n int) [][]float64 { return c.fedOn(events[n].from) })
}

// stagesOf is the stages in which a kind of day falls; the first stage where
// none does, because a day off may still come. Where days off are fed as days of
// work both are printed in one column, which has the stages of both: a rise begins
// on a day of work, and the day off before it is not fed the rise.
func (c *card) stagesOf(kind yard.DayKind) []stage {
	var out []stage
	for i, d := range c.Days {
		if d.Kind == kind || c.RestAsWork && d.Kind != yard.EventDay && kind != yard.EventDay {
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

func (c *card) serving(it item, kind yard.DayKind, meal int, kg float64, s stage, n int, dayKg float64) yard.Serving {
	from := yard.Weekday(s.from)
	if n == 0 {
		from = 0
	}
	v := yard.Serving{Day: kind, Meal: c.meals[meal].Name, Feed: it.feed.Feed.Name, Class: it.class(), From: from,
		AdLib: it.fed().adLib, Kg: yard.KgFed(math.Round(kg*1e4) / 1e4),
		Changed: kind == yard.WorkDay && it.now.given && !it.now.unread && !it.now.adLib && math.Abs(it.now.kg-dayKg) > 1e-6}
	if v.AdLib {
		v.Meal = "" // it hangs there all day
		v.Kg = yard.KgFed(math.Round(dayKg*1e4) / 1e4)
	}
	if it.grazed {
		v.Grazed = c.Horse.GrassHours
	}
	switch it.class() {
	case yard.Oil:
		v.Ml = yard.Known(math.Round(kg / oilKgPerLitre * 1000))
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

// meanSupply is the mean day's energy if an ordinary day were fed all week, its
// days off and events as they are fed; known is false where a feed's energy is
// not, and the figure is then a lower bound.
func (c *card) meanSupply(ordinary day) (mcal float64, known bool) {
	known = !c.noForage
	add := func(d day) {
		v, ok := c.energyOf(d)
		mcal, known = mcal+v/7, known && ok
	}
	off := c.onRest(ordinary, c.restCut(ordinary))
	meals := c.shares(ordinary)
	for d, w := range c.Horse.Work {
		switch {
		case w.Event:
			fed := slices.Clone(ordinary)
			for i, it := range c.bucket {
				if !it.fed().adLib && !it.grazed {
					fed[i] = sum(c.onEvent(i, meals[i], w))
				}
			}
			add(fed)
		case c.rests(d):
			add(off)
		default:
			add(ordinary)
		}
	}
	return mcal, known
}

func (c *card) energyOf(d day) (mcal float64, known bool) {
	known = true
	for i, it := range c.bucket {
		v, ok := it.feed.Contains(yard.KgFed(d[i]), it.feed.Composition.DE).Get()
		mcal += v
		known = known && ok
	}
	return mcal, known
}

// supply fills energy and nutrients, the mean of the seven days, and returns
// the week's use of each feed.
func (c *card) supply() map[string]weekTotal {
	used := map[string]weekTotal{}
	week := make([]float64, len(c.bucket))
	for d := range c.Days {
		for i, parts := range c.fedOn(d) {
			week[i] += sum(parts)
		}
	}
	for i, it := range c.bucket {
		used[fold(it.feed.Feed.Name)] = weekTotal{week[i], it.fed().adLib}
	}
	mean := func(of func(yard.Composition) yard.Num) (total yard.Num, atLeast float64) {
		total = yard.Known(0)
		if c.noForage {
			total = yard.Num{}
		}
		for i, it := range c.bucket {
			v, ok := it.feed.Contains(yard.KgFed(week[i]/7), of(it.feed.Composition)).Get()
			addTo(&total, v, ok)
			atLeast += v
		}
		return total, atLeast
	}
	energy := func(x yard.Composition) yard.Num { return x.DE }
	c.Energy.Supply, c.Energy.SupplyAtLeast = mean(energy)
	for i := range c.Days {
		c.dayEnergy(i)
	}
	c.workedHard("hard feed on the card", func(i int) (float64, string, bool) { return c.final[i], "", true })
	c.workedSupply("energy", "Mcal DE", c.Energy.Supply, week, energy)
	c.grazing(week)
	dmKg := c.dryMatter(week)
	var short, over []yard.Saying
	for _, n := range need.Nutrients() {
		needed := n.Of(c.WorkClass, c.Horse.Keeper, c.bodyKg, c.sweatKg)
		total, atLeast := mean(n.Content)
		formula, inputs := "per kg × body weight", []yard.Input{in("per kg, "+string(c.WorkClass)+" work", n.PerKg(c.WorkClass, c.Horse.Keeper), n.Unit, ""), c.bodyWeight()}
		if n.PerKgSweat > 0 {
			formula += " + per kg of sweat × sweat"
			inputs = append(inputs, in("per kg of sweat", n.PerKgSweat, n.Unit, ""), in("sweat", c.sweatKg, "kg", ""))
		}
		c.worked("need of "+n.Name, formula, yard.Known(needed), n.Unit+" a day", n.Source, inputs...)
		c.workedSupply(n.Name, n.Unit, total, week, n.Content)
		line := yard.Nutrient{Name: n.Name, Unit: n.Unit, Need: yard.Known(needed), Supply: total, AtLeast: atLeast, Source: n.Source}
		if most, ok := need.MaxTolerable(n.Name); ok && dmKg.IsKnown() {
			line.Limit = yard.Known(most.PerKgDM * dmKg.Or(0))
			line.LimitSource = most.Source
			c.worked("limit of "+n.Name, "maximum tolerable level × dry matter in all", line.Limit, n.Unit+" a day", most.Source,
				in("level", most.PerKgDM, n.Unit+" per kg dry matter", ""), in("dry matter in all", dmKg.Or(0), "kg", ""))
			if atLeast > line.Limit.Or(0) {
				over = append(over, yard.Say("part.over limit", yard.Named("nutrient", yard.Term, n.Name), yard.Figures("amount", atLeast, yard.Unit(n.Unit), 3), yard.Named("unit", yard.Term, n.Unit), yard.Figures("limit", line.Limit.Or(0), yard.Unit(n.Unit), 3)))
			}
		}
		c.Nutrients = append(c.Nutrients, line)
		if s, ok := total.Get(); ok && s < (1-c.rules.EnergyBandPct/100)*needed {
			short = append(short, yard.Say("part.of need", yard.Named("nutrient", yard.Term, n.Name), yard.Fixed("pct", s/needed*100, yard.Percent, 0)))
		}
	}
	if len(short) > 0 {
		c.find("nutrient", yard.Note, yard.Cell{}, "NRC 2007", yard.Say("finding.nutrient", yard.SayingList("short", yard.Comma, short)))
	}
	if len(over) > 0 {
		c.find("tolerable", yard.Warn, yard.Cell{}, "maximum tolerable levels, NRC 2005/2007 (requirements §6)", yard.Say("finding.tolerable", yard.SayingList("over", yard.Comma, over)))
	}

	r := c.evaluate(c.final, c.keep)
	if dm, ok := r.ForageDMKg().Get(); ok {
		c.ForageDMPct = yard.Known(dm / c.bodyKg * 100)
		c.worked("forage", "dry matter of the forage on a work day / body weight × 100", c.ForageDMPct, "% of body weight", "limits D-17",
			in("forage dry matter", dm, "kg", ""), c.bodyWeight())
	}
	if g, unknown := r.StarchiestMealG(); unknown == nil {
		most := g / c.bodyKg
		c.StarchMax = yard.Known(most)
		c.worked("starch in the starchiest meal", "starch of the bucket feeds in that meal / body weight", c.StarchMax, "g per kg body weight", "limits D-11",
			in("starch in that meal", most*c.bodyKg, "g", ""), c.bodyWeight())
	}
	return used
}

// dayEnergy fills a day's own need and supply.
func (c *card) dayEnergy(i int) {
	day := &c.Days[i]
	if work, ok := day.EnergyWork.Get(); ok {
		day.EnergyNeed = yard.Known(c.Energy.Need.Or(0) - c.Energy.Work.Or(0) + work)
	}
	supply := yard.Known(0)
	if c.noForage {
		supply = yard.Num{}
	}
	for k, parts := range c.fedOn(i) {
		it := c.bucket[k]
		v, ok := it.feed.Contains(yard.KgFed(sum(parts)), it.feed.Composition.DE).Get()
		addTo(&supply, v, ok)
	}
	day.Supply = supply
}

// dryMatter fills the mean day's dry matter in all, and says where it is more
// than a horse usually eats. week is kilograms as fed of each item.
func (c *card) dryMatter(week []float64) yard.Num {
	total := yard.Known(0)
	if c.noForage {
		total = yard.Num{}
	}
	for i, it := range c.bucket {
		dm, ok := it.feed.DryMatter(yard.KgFed(week[i] / 7))
		addTo(&total, float64(dm), ok)
	}
	c.TablesDMPct = need.IntakeDMPerKg(c.WorkClass) * 100
	kg, ok := total.Get()
	if !ok {
		return total
	}
	pct := kg / c.bodyKg * 100
	c.DMPct = yard.Known(pct)
	c.worked("dry matter in all", "dry matter of all feeds, mean day / body weight × 100", c.DMPct, "% of body weight", "",
		in("dry matter", kg, "kg", ""), c.bodyWeight(), in("the tables take, "+string(c.WorkClass)+" work", c.TablesDMPct, "% of body weight", "NRC 2007 (requirements §5, from memory)"))
	if pct > mostIntakePct+1e-9 {
		c.find("intake", yard.Warn, yard.Cell{}, "requirements §5: 2.5 to 3 % is the largest usual intake", yard.Say("finding.intake", yard.Fixed("pct", pct, yard.Percent, 1)))
	}
	return total
}

// compareNow lists the feeds whose amount changes.
func (c *card) compareNow() {
	for i, it := range c.bucket {
		if it.fed().adLib && it.now.adLib || it.assumedForage {
			continue
		}
		from := yard.Known(it.now.kg)
		if !it.now.given && !c.nowKnown || it.now.unread || it.now.adLib {
			from = yard.Num{}
		}
		if f := from.Or(0); math.Abs(f-c.final[i]) < 1e-6 { // an unknown that comes to nothing is no change to print
			continue
		}
		last := c.stages[len(c.stages)-1].from
		if !it.hard() {
			last = 0
		}
		c.Changes = append(c.Changes, yard.Change{Feed: it.feed.Feed.Name, FromKg: from, ToKg: yard.Known(c.final[i]), From: yard.Weekday(last)})
	}
}
