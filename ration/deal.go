package ration

import (
	"math"
	"slices"

	"hardfeed/ration/guard"
)

// dealing spreads a change of hard feed over the days of one week.
type dealing struct {
	dish   dish
	rising rising
}

// deal deals the week's rise out in day steps, and gives the biggest rise of one day
// that is followed by another too soon ([guard.QuietDays]). A fall, and an amount whose
// start is unknown, are done at once. In a week in which a hard feed is blended in every
// hard feed walks by quarters.
func (c *dealing) deal(final dailyKg) (stages []stage, biggest float64) {
	last := stage{day: final, meals: c.dish.shares(final)}
	now, known := c.rising.fed.hardKg.Get()
	rise := c.dish.bucket.hardKg(final) - now
	blend := c.rising.blendDays()
	if !known || blend == nil && !above(rise, 0) {
		return []stage{last}, 0
	}
	atOnce := c.fallsAtOnce(last)
	if blend == nil {
		return c.dealRise(last, rise, atOnce)
	}
	ways := [][]int{c.blendedBy(final, blend), blend}
	if two := c.rising.stepDays(); len(two) == 2 && c.quartersIn(final) <= 2 { // half of a new feed at the most this week
		ways = [][]int{ways[0], two, blend}
	}
	for _, days := range ways {
		for _, mark := range []float64{c.dish.facts.marks.DayWarnKg, c.dish.facts.marks.DayStopKg} {
			for _, unit := range []handUnit{inMeasures, onScale} {
				stages = c.stagesOn(last, days, atOnce, unit, nil)
				if biggest = c.biggestRise(stages); !above(biggest, mark) {
					return stages, biggest
				}
			}
		}
	}
	stages = c.stagesOn(last, blend, atOnce, inGrams, nil)
	return stages, c.biggestRise(stages)
}

// dealRise deals a rise out: in two steps with quiet days between, else in as few as keep
// the day's warning limit, else its stop limit; in whole quarters, else in what goes on a scale,
// else in equal ones.
func (c *dealing) dealRise(last stage, rise float64, atOnce bool) (stages []stage, biggest float64) {
	units := []handUnit{inMeasures, onScale}
	for _, unit := range units {
		if stages = c.twoSteps(last, atOnce, unit); stages != nil {
			return stages, c.biggestRise(stages)
		}
	}
	now := c.rising.fed.hardKg.Or(0)
	for _, mark := range []float64{c.dish.facts.marks.DayWarnKg, c.dish.facts.marks.DayStopKg} {
		for _, unit := range units {
			for n := 1; n <= len(c.dish.facts.fedDays()); n++ {
				if stages = c.walk(last, guard.Spread(c.dish.facts.fedDays(), n), mark, math.Inf(1), atOnce, unit); stages != nil {
					return stages, c.biggestRise(stages)
				}
			}
		}
	}
	froms := c.dish.facts.marks.StageDays(rise, c.dish.facts.fedDays())
	var shares []float64
	for _, kg := range c.dish.facts.marks.StageTotals(now, now+rise, len(froms)) {
		shares = append(shares, (kg-now)/rise)
	}
	stages = c.stagesOn(last, froms, atOnce, inGrams, shares)
	return stages, c.biggestRise(stages)
}

// blendedBy are the days on which a feed that is blended in goes up: as many as it takes
// quarters of the full amount to come to what the week ends on, and two where that is half
// or where two days' steps hold all of it.
func (c *dealing) blendedBy(final dailyKg, days []int) []int {
	n, most := c.quartersIn(final), 0.0
	for _, it := range c.dish.bucket {
		if it.isNew(c.rising.fed.known) && c.rising.blends(it, 0, it.planned.kg) {
			most = max(most, it.planned.kg, it.chosenKg)
		}
	}
	if two := c.rising.halvesDays(); n > 2 && two != nil && !above(most, 2*c.dish.facts.marks.QuietStepKg) {
		return two
	}
	if two := c.rising.stepDays(); n <= len(two) {
		return two[:n]
	}
	return days[:min(n, len(days))]
}

// quartersIn is how many quarters of the full amount it takes to come to what the week ends
// on, of the new feed that has the most of them; at least one.
func (c *dealing) quartersIn(final dailyKg) int {
	n := 1
	for i, it := range c.dish.bucket {
		if it.isNew(c.rising.fed.known) && c.rising.blends(it, 0, it.planned.kg) {
			n = max(n, int(unitsFor(final[i]/max(it.planned.kg, it.chosenKg)*blendSteps-0.5, 1)))
		}
	}
	return n
}

// mostSteps is how often a week's hard feed changes (design §5d).
const mostSteps = 2

// inTwoSteps takes as much off a week's change of hard feed as leaves it in two steps; the
// rest comes with the weeks after it. What starts from an unknown amount is done at once.
func (c *dealing) inTwoSteps(final dailyKg) dailyKg {
	now, known := c.rising.fed.hardKg.Get()
	if !known || c.inFewSteps(final) {
		return final
	}
	if c.rising.blendDays() != nil {
		for _, share := range []float64{0.5, 0.25} {
			if less := c.partWay(final, share); c.inFewSteps(less) {
				return less
			}
		}
	}
	// Whole quarters where a step holds one, though the scale would lead further (design §5d).
	most := min(c.dish.bucket.hardKg(final)-now, c.rising.roomTo())
	for kg := roundDownToScale(most + dealtNoise); kg > 0; kg = roundDownToScale(kg - weighUnitKg) {
		less := slices.Clone(final)
		c.rising.limitRise(less, now+kg)
		c.dish.estimateAdLib(less)
		if c.inFewSteps(less) {
			return less
		}
	}
	for _, share := range []float64{0.75, 0.5, 0.25} {
		if less := c.partWay(final, share); c.inFewSteps(less) {
			return less
		}
	}
	return c.partWay(final, 0)
}

// inFewSteps says whether a week leads to a ration in no more steps than hands take.
func (c *dealing) inFewSteps(final dailyKg) bool {
	stages, _ := c.deal(final)
	return c.steps(stages) <= mostSteps
}

// partWay is a ration with its hard feeds taken a share of the way from what is fed now.
func (c *dealing) partWay(final dailyKg, share float64) dailyKg {
	d := slices.Clone(final)
	for _, i := range c.dish.bucket.hardFeeds() {
		d[i] = c.dish.bucket[i].moved(c.rising.fed.day[i], (final[i]-c.rising.fed.day[i])*share, c.dish.facts.marks.QuietStepKg)
	}
	c.dish.estimateAdLib(d)
	return d
}

// steps counts on how many days of the week any hard feed changes.
func (c *dealing) steps(stages []stage) (n int) {
	before := c.rising.fed.day
	for _, s := range stages {
		if slices.ContainsFunc(c.dish.bucket.hardFeeds(), func(i int) bool { return changed(s.day[i], before[i]) }) {
			n++
		}
		before = s.day
	}
	return n
}

// halvesDays are the first day the ordinary amount is fed on and the next one that is no
// sooner than a new feed may be given in full (limits D-04); nil where the week has none.
func (c rising) halvesDays() []int {
	days := c.facts.fedDays()
	for _, d := range days {
		if !below(float64(d-days[0]), c.facts.rules.Limits.NewFeedDaysStop) {
			return []int{days[0], d}
		}
	}
	return nil
}

// biggestRise is the biggest rise of one day of a week's stages, those aside that keep the
// mark of a step with quiet days after it. What falls at once may come back in part with
// the feeds that go up: to what is fed now that is not a rise, as after a day off (limits D-09).
func (c *dealing) biggestRise(stages []stage) (biggest float64) {
	now := c.rising.fed.hardKg.Or(0)
	before, lastDay := now, -guard.QuietDays-1
	rises := func(s stage) float64 { return c.dish.bucket.hardKg(s.day) - before }
	for k, s := range stages {
		kg := rises(s)
		if above(kg, 0) {
			quiet := s.from-lastDay > guard.QuietDays && !above(kg, c.dish.facts.marks.QuietStepKg)
			for _, next := range stages[k+1:] {
				quiet = quiet && (next.from-s.from > guard.QuietDays || !above(c.dish.bucket.hardKg(next.day), c.dish.bucket.hardKg(s.day)))
			}
			if !quiet {
				biggest = max(biggest, kg)
			}
			lastDay = s.from
		}
		before = max(c.dish.bucket.hardKg(s.day), now)
	}
	return biggest
}

// handUnit is how finely amounts on the way are dished out.
type handUnit int

const (
	inMeasures handUnit = iota // whole quarters
	onScale                    // 50 g
	inGrams                    // as fine as the marks ask for
)

// onTheWay is the amount at a share of the way from now to the last stage, rounded down so
// that no day's total passes its share.
func (c *dealing) onTheWay(i int, toKg, share float64, unit handUnit) float64 {
	it, from := c.dish.bucket[i], c.rising.fed.day[i]
	kg := from + (toKg-from)*share
	q := it.quarterKg()
	switch {
	case alike(kg, from) || alike(kg, toKg):
		return kg
	case unit == inMeasures && q > 0 && it.inQuarters(from) && it.inQuarters(toKg):
		return wholeUnits(kg, q) * q
	case unit == inGrams:
		return it.roundDownToGrams(kg)
	}
	return max(min(from, toKg), wholeUnits(kg+dealtNoise, weighUnitKg)*weighUnitKg)
}

// stagesOn makes a stage of each share of the way to the last one, from its day on; without
// shares they are quarters of what is blended in, a unit at least from the first.
func (c *dealing) stagesOn(last stage, froms []int, atOnce bool, unit handUnit, shares []float64) (stages []stage) {
	if froms[0] > 0 { // days off before the first step
		stages = append(stages, c.stageOf(slices.Clone(c.rising.fed.day), last, atOnce, 0))
	}
	for k, from := range froms {
		s := last
		if k < len(froms)-1 {
			share := float64(k+1) / float64(len(froms))
			if shares != nil {
				share = shares[k]
			}
			day := slices.Clone(last.day)
			for _, i := range c.dish.bucket.hardFeeds() {
				day[i] = c.onTheWay(i, last.day[i], share, unit)
				if it := c.dish.bucket[i]; shares == nil && unit != inGrams && c.rising.fed.day[i] == 0 && last.day[i] > 0 {
					least := leastWeighedKg
					if unit == inMeasures {
						least = it.leastKg()
					}
					day[i] = min(last.day[i], max(day[i], least))
				}
			}
			c.keepTotal(day, last.day, share, unit)
			s = c.stageOf(day, last, atOnce, from)
			if unit == onScale {
				s = c.weighedOut(s, last, false)
			}
		}
		s.from = from
		stages = append(stages, s)
	}
	return stages
}

// keepTotal gives back of what falls as much as what rises was rounded down by, so that an
// exchange takes nothing away on its way.
func (c *dealing) keepTotal(day, to dailyKg, share float64, unit handUnit) {
	now := c.dish.bucket.hardKg(c.rising.fed.day)
	want := now + (c.dish.bucket.hardKg(to)-now)*share
	for _, i := range c.dish.bucket.hardFeeds() {
		it, step := c.dish.bucket[i], weighUnitKg
		switch {
		case unit == inGrams:
			step = fineUnitKg
		case unit == inMeasures && it.inQuarters(day[i]) && it.inQuarters(c.rising.fed.day[i]):
			step = it.quarterKg()
		}
		if back := wholeUnits(want-c.dish.bucket.hardKg(day), step) * step; to[i] < c.rising.fed.day[i] && back > 0 {
			day[i] = min(c.rising.fed.day[i], day[i]+back)
		}
	}
}

// twoSteps deals a rise out in one step, or in two with quiet days between, the first of
// them halfway; nil where the marks leave no room for it in that unit.
func (c *dealing) twoSteps(last stage, atOnce bool, unit handUnit) []stage {
	froms := c.rising.stepDays()
	rise := c.dish.bucket.hardKg(last.day) - c.rising.fed.hardKg.Or(0)
	if !above(rise, c.dish.facts.marks.QuietStepKg) && len(froms) > 0 {
		froms = froms[:1]
	}
	return c.walk(last, froms, c.dish.facts.marks.QuietStepKg, rise/2, atOnce, unit)
}

// walk makes a stage of each of some days on the way to the last one, the first on each
// raised by as much as a mark allows and no further than enough, one feed after the other;
// nil where the last stage is not reached so.
func (c *dealing) walk(last stage, froms []int, mark, enough float64, atOnce bool, unit handUnit) (stages []stage) {
	before := c.rising.fed.hardKg.Or(0)
	if len(froms) == 0 || above(c.dish.bucket.hardKg(last.day)-before, float64(len(froms))*mark) {
		return nil
	}
	if froms[0] > 0 { // days off before the first step
		stages = append(stages, c.stageOf(slices.Clone(c.rising.fed.day), last, atOnce, 0))
	}
	day := slices.Clone(last.day)
	for _, i := range c.dish.bucket.hardFeeds() {
		day[i] = c.rising.fed.day[i]
		if atOnce {
			day[i] = min(c.rising.fed.day[i], last.day[i])
		}
	}
	for k, from := range froms[:len(froms)-1] {
		day = slices.Clone(day)
		for _, i := range c.dish.bucket.hardFeeds() {
			if last.day[i] < day[i] {
				day[i] = c.onTheWay(i, last.day[i], float64(k+1)/float64(len(froms)), unit)
			}
		}
		for _, i := range c.dish.bucket.hardFeeds() {
			for kg := day[i]; below(kg, last.day[i]) && below(c.dish.bucket.hardKg(day), before+enough); {
				kg = c.nextUp(i, kg, last.day[i], unit)
				if above(c.dish.bucket.hardKg(day)-day[i]+kg, before+mark) {
					break
				}
				day[i] = kg
			}
		}
		s := c.stageOf(slices.Clone(day), last, atOnce, from)
		if unit == onScale {
			even := c.weighedOut(s, last, false)
			if more := c.weighedOut(s, last, true); above(c.dish.bucket.hardKg(last.day)-c.dish.bucket.hardKg(even.day), mark) && !above(c.dish.bucket.hardKg(more.day), before+mark) {
				even = more
			}
			s = even
		}
		day, before = s.day, max(c.dish.bucket.hardKg(s.day), c.rising.fed.hardKg.Or(0))
		stages = append(stages, s)
	}
	if above(c.dish.bucket.hardKg(last.day)-before, mark) {
		return nil
	}
	last.from = froms[len(froms)-1]
	return append(stages, last)
}

// nextUp is the next amount up from one, a unit more and no more than the last.
func (c *dealing) nextUp(i int, kg, lastKg float64, unit handUnit) float64 {
	it, step := c.dish.bucket[i], weighUnitKg
	if unit == inMeasures {
		if step = it.quarterKg(); step == 0 || !it.inQuarters(c.rising.fed.day[i]) || !it.inQuarters(lastKg) {
			return lastKg // it goes in one step or not at all
		}
	}
	return max(min(lastKg, leastWeighedKg), min(lastKg, (math.Floor(kg/step+dealtNoise)+1)*step))
}

// interpolateStage is the stage at a share of the way from now to the last one.
func (c *dealing) interpolateStage(last stage, share float64, fallAtOnce bool) stage {
	day := slices.Clone(last.day)
	for _, i := range c.dish.bucket.hardFeeds() {
		day[i] = c.onTheWay(i, last.day[i], share, inGrams)
	}
	return c.stageOf(day, last, fallAtOnce, last.from)
}

// stageOf is a stage on the way to the last one, with that much of each hard feed a day.
// What is still to come is left out of the earliest meals first, down to what they hold
// now, so that one meal goes up at a time and the card stays short.
func (c *dealing) stageOf(day dailyKg, last stage, fallAtOnce bool, from int) stage {
	s := stage{from: from, day: day, meals: c.dish.shares(last.day)}
	for i, it := range c.dish.bucket {
		if it.hard() && fallAtOnce && c.rising.fed.day[i] > last.day[i] {
			s.day[i] = last.day[i]
		}
		if !it.hard() || s.day[i] == last.day[i] {
			continue
		}
		if alike(s.day[i], c.rising.fed.day[i]) { // not begun: as it is fed
			s.meals[i] = c.dish.sharing.mealsOf(it, c.rising.fed.day[i], it.pattern(c.dish.sharing.keepsMealPattern))
			continue
		}
		if s.day[i] >= last.day[i] { // on its way down in exchange for another feed
			s.meals[i] = c.dish.sharing.mealsOf(it, s.day[i], it.pattern(c.dish.sharing.keepsMealPattern))
			continue
		}
		toCome := last.day[i] - s.day[i]
		before := c.dish.sharing.mealsOf(it, c.rising.fed.day[i], it.pattern(c.dish.sharing.keepsMealPattern))
		for m := range s.meals[i] {
			cut := min(toCome, max(0, s.meals[i][m]-before[m]))
			s.meals[i][m] -= cut
			toCome -= cut
			if s.meals[i][m] < nothingKg {
				s.meals[i][m] = 0
			}
		}
	}
	c.dish.estimateAdLib(s.day)
	for i, it := range c.dish.bucket {
		if it.startingPortion().adLib {
			s.meals[i] = c.dish.sharing.mealsOf(it, s.day[i], nil)
		}
	}
	return s
}

// weighedOut is a stage whose parts of a meal, where they are no whole quarters, are what
// goes on a scale: the day's amount comes to a little less, or more.
func (c *dealing) weighedOut(s, last stage, more bool) stage {
	s.day, s.meals = slices.Clone(s.day), slices.Clone(s.meals)
	for _, i := range c.dish.bucket.hardFeeds() {
		it := c.dish.bucket[i]
		if alike(s.day[i], last.day[i]) || alike(s.day[i], c.rising.fed.day[i]) {
			continue
		}
		s.meals[i] = slices.Clone(s.meals[i])
		for m, kg := range s.meals[i] {
			if it.inQuarters(kg) || alike(kg, last.meals[i][m]) {
				continue
			}
			s.meals[i][m] = roundDownToScale(kg + dealtNoise)
			if up := unitsFor(kg, weighUnitKg) * weighUnitKg; more && !below(up, leastWeighedKg) {
				s.meals[i][m] = min(up, max(kg, last.meals[i][m]))
			}
		}
		s.day[i] = sum(s.meals[i])
	}
	c.dish.estimateAdLib(s.day)
	return s
}
