package ration

import (
	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// decided is the ration of a week, as planned or proposed, held to the step.
type decided struct {
	card       dailyKg        // the ordinary day the week ends on
	why        []yard.Saying  // why it is held; none: it is not
	target     dailyKg        // of a proposal; nil where she plans hard feed, or no ration of its kind clears the stop limits
	targetKg   float64        // hard feed the path leads to
	plannedKg  yard.Num       // hard feed she planned
	letThrough yard.Num       // of the rise she planned, what a hold for the step lets through
	passes     []yard.Finding // stop limits that a held plan is on its way to pass
	over       bool           // a plan held because the horse must not get fatter
	step       yard.Step
	ahead      outlook // of a proposal
}

// rising is what hard feed may rise by: from what it is fed now, inside the marks of the
// weekly step, on the days on which the ordinary amount is fed.
type rising struct {
	facts        *facts
	bucket       bucket
	fed          fedNow
	otherChanges []yard.Saying // that leave no room for more hard feed
}

// step judges the rise to judgedKg of hard feed a day, and the path to the target.
func (c rising) step(targetKg, judgedKg float64, say *log) yard.Step {
	s := yard.Step{WarnKg: yard.Known(c.facts.marks.WeekWarnKg), StopKg: yard.Known(c.facts.marks.WeekStopKg), DayWarnKg: yard.Known(c.facts.marks.DayWarnKg), DayStopKg: yard.Known(c.facts.marks.DayStopKg)}
	now, known := c.fed.hardKg.Get()
	if !known {
		s.Verdict = yard.StepUnknown
		say.find("D-01", yard.Warn, c.facts.Horse.Cell, guard.StepSource, yard.Say("finding.D-01.unknown", yard.Kg("warn", c.facts.marks.WeekWarnKg), yard.Kg("stop", c.facts.marks.WeekStopKg)))
		return s
	}
	rise := judgedKg - now
	s.RiseKg = yard.Known(rise)
	say.work(func() yard.Working {
		return yard.Working{Key: "rise", Result: s.RiseKg, Unit: unitKgADay, Source: guard.StepSource,
			Inputs: []yard.Input{in("this week", judgedKg, unitKg, computed), in("fed now", now, unitKg, computed), in("usual limit", c.facts.marks.WeekWarnKg, unitKg, computed), in("top limit", c.facts.marks.WeekStopKg, unitKg, computed)}}
	})
	s.Verdict = c.stepVerdict(rise)
	s.PathKg = c.facts.marks.Path(now, targetKg)
	s.WeeksToTarget = yard.Known(float64(len(s.PathKg)))
	o := c.facts.Horse.Override
	switch s.Verdict {
	case yard.StepWarn: // it prints, so the target is reached this week
		s.PathKg, s.WeeksToTarget = []float64{targetKg}, yard.Known(1)
		say.find("D-01", yard.Warn, c.facts.Horse.Cell, guard.StepSource, yard.Say("finding.D-01", yard.Kg("rise", rise), kg0("weight", c.facts.bodyKg), yard.Kg("warn", c.facts.marks.WeekWarnKg), yard.Kg("stop", c.facts.marks.WeekStopKg)))
	case yard.StepStop:
		if o.Valid() {
			s.Verdict = yard.StepOverridden
			s.PathKg, s.WeeksToTarget = []float64{targetKg}, yard.Known(1)
			f := yard.Finding{Rule: "D-02", Severity: yard.Warn, Horse: c.facts.Horse.Name, Cell: o.Cell, Source: guard.StepSource, Saying: yard.Say("finding.D-02.overridden", yard.Kg("rise", rise), yard.Said("stop", c.stopPassed(rise)), yard.Named("who", yard.PersonName, o.Who), yard.Words("reason", o.Reason))}
			overruled(&f)
			say.add(f)
			return s
		}
		say.find("D-02", yard.Stop, c.facts.Horse.Cell, guard.StepSource, yard.Say("finding.D-02", yard.Kg("rise", rise), yard.Said("stop", c.stopPassed(rise)), kg0("weight", c.facts.bodyKg), yard.Kg("warn", c.facts.marks.WeekWarnKg)))
		if o.Asked {
			say.find("override", yard.Warn, o.Cell, "", yard.Say("finding.override"))
		}
	}
	return s
}

// overruled puts in a finding what to do where somebody overruled its mark: the
// rule's own next step is to keep the mark.
func overruled(f *yard.Finding) {
	if r, ok := guard.Lookup(f.Rule); ok {
		f.Why, f.Next = r.Why(), yard.Say("rule.overruled.next")
	}
}

// stepVerdict is the week's verdict on a rise, stop also where the days there
// are cannot take it.
func (c rising) stepVerdict(riseKg float64) yard.Verdict {
	if c.tooFewDays(riseKg) || len(c.otherChanges) > 0 && above(riseKg, 0) {
		return yard.StepStop
	}
	return c.facts.marks.Verdict(riseKg)
}

// overStep is why a plan that passes a stop limit of the step is held.
func (c rising) overStep(planKg, riseKg float64) yard.Saying {
	stop := c.stopPassed(riseKg)
	key := map[string]string{"part.stop.week": "reason.step", "part.stop.day": "reason.step.day", "part.stop.colic": "why.step.colic", "part.stop.colic.unknown": "why.step.colic.unknown"}[stop.Key]
	return yard.Say(key, append([]yard.Arg{yard.Kg("plan", planKg), yard.Kg("now", planKg-riseKg), yard.Kg("rise", riseKg)}, stop.Args...)...)
}

// stopPassed is the stop limit a rise passes.
func (c rising) stopPassed(riseKg float64) yard.Saying {
	if len(c.otherChanges) > 0 {
		key := "part.stop.colic"
		if guard.OnlyUnknown(c.facts.Horse.Diagnoses) {
			key = "part.stop.colic.unknown"
		}
		return yard.Say(key, yard.Fixed("days", c.facts.rules.Limits.StackDays, yard.Days, 0), yard.SayingList("changes", yard.AndAll, c.otherChanges))
	}
	if c.facts.marks.Verdict(riseKg) == yard.StepStop {
		return yard.Say("part.stop.week", yard.Kg("mark", c.facts.marks.WeekStopKg))
	}
	return yard.Say("part.stop.day", yard.Count("days", len(c.facts.fedDays())), yard.Kg("mark", c.facts.marks.DayStopKg))
}

// limitRise cuts the feeds that go up, by the same share, so that hard feed in
// all comes to at most mostKg; what is taken away stays taken away.
func (c rising) limitRise(d dailyKg, mostKg float64) {
	base, up := 0.0, 0.0
	for i, it := range c.bucket {
		if it.hard() {
			low := min(c.fed.day[i], d[i])
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
			low := min(c.fed.day[i], d[i])
			d[i] = min(d[i], it.raisedTo(low, low+(d[i]-low)*share))
		}
	}
}

// Days and shares a new hard feed is blended in over a week: a quarter at a time,
// each for at least two days, so that it reaches its full amount on the seventh
// day (limits D-04).
const blendSteps = 4

// blends says whether a hard feed that comes in is blended in by quarters: more of it than
// one day's step takes (limits D-04; that less is not is ours).
func (c rising) blends(it item, fromKg, fullKg float64) bool {
	return it.hard() && fromKg == 0 && above(max(fullKg, it.chosenKg), c.facts.marks.QuietStepKg)
}

// blendDays are the days on which a new hard feed goes up by a quarter; nil
// where none is new.
func (c rising) blendDays() []int {
	for _, it := range c.bucket {
		if it.isNew(c.fed.known) && c.blends(it, 0, it.planned.kg) {
			return c.quarterDays()
		}
	}
	return nil
}

// quarterDays are the days on which a hard feed would go up by a quarter, were
// it new.
func (c rising) quarterDays() []int {
	var days []int
	for _, d := range c.facts.fedDays() {
		if len(days) == 0 || len(days) < blendSteps && d-days[len(days)-1] >= 2 {
			days = append(days, d)
		}
	}
	return days
}

// blendFits says whether a week brings all of a new feed in: two halves of one that two
// days' steps hold, far enough apart (limits D-04). Of more, half comes in this week, a
// quarter at a time, because a week has two steps (design §5d).
func (c rising) blendFits() bool {
	for i, it := range c.bucket {
		if it.isNew(c.fed.known) && c.blends(it, 0, it.planned.kg) && above(c.bucket[i].planned.kg, 2*c.facts.marks.QuietStepKg) {
			return false
		}
	}
	return c.halvesDays() != nil
}

// stepDays are the days on which a week's rise is spread: the first day the ordinary
// amount is fed on, and the first one that leaves the days between on which nothing
// rises ([guard.QuietDays]).
func (c rising) stepDays() []int {
	days := c.facts.fedDays()
	if len(days) == 0 {
		return nil
	}
	out := days[:1]
	for _, d := range days {
		if d-out[0] > guard.QuietDays {
			return []int{out[0], d}
		}
	}
	return out
}

// weekRoomKg is the largest rise a week's card takes of its own accord: the warning
// limit, or less where there are too few days to deal it out on.
func (c rising) weekRoomKg() float64 {
	switch days := c.blendDays(); {
	case len(c.otherChanges) > 0:
		return 0
	case days != nil:
		return min(c.facts.marks.WeekWarnKg, float64(len(days))*c.facts.marks.DayWarnKg)
	}
	return min(c.facts.marks.WeekWarnKg, float64(len(c.stepDays()))*c.facts.marks.QuietStepKg)
}

// tooFewDays says whether a rise spread over the days there are would pass
// the one-day stop limit, less what rounding each feed to ten grams can push from
// one step into the next.
func (c rising) tooFewDays(riseKg float64) bool {
	days := c.blendDays()
	if days == nil {
		if !above(riseKg, float64(len(c.stepDays()))*c.facts.marks.QuietStepKg) {
			return false
		}
		days = c.facts.fedDays()
	}
	return riseKg > float64(len(days))*(c.facts.marks.DayStopKg-fineUnitKg*float64(len(c.bucket.hardFeeds())))
}

// stepKg is how far hard feed climbs in a week inside the warning limits: whole quarter measures
// a step where one fits in it, else whole quarters a week, else what goes on a scale.
func (c rising) stepKg() float64 {
	days := float64(len(c.stepDays()))
	step, room := c.facts.marks.QuietStepKg, min(c.facts.marks.WeekWarnKg, days*c.facts.marks.QuietStepKg)
	q := 0.0
	if i := c.bucket.mainHardFeed(); i >= 0 {
		q = c.bucket[i].quarterKg()
	}
	switch {
	case q > 0 && !above(q, step):
		return min(days*wholeUnits(step, q), wholeUnits(room, q)) * q
	case q > 0 && !above(q, room):
		return wholeUnits(room, q) * q
	case !below(step, weighUnitKg):
		return min(days*wholeUnits(step, weighUnitKg), wholeUnits(room, weighUnitKg)) * weighUnitKg
	}
	return room
}

// bringsIn says whether a hard feed is blended in on the way to a target.
func (c rising) bringsIn(from, target dailyKg) bool {
	for i, it := range c.bucket {
		if c.blends(it, from[i], target[i]) {
			return true
		}
	}
	return false
}

// roomTo is the rise a coming week takes on its way to a target: whole quarters a step
// where they are fed and one fits in it.
func (c rising) roomTo() float64 {
	if len(c.otherChanges) > 0 {
		return 0
	}
	if i := c.bucket.mainHardFeed(); i >= 0 && c.bucket[i].inQuarters(c.fed.day[i]) && !above(c.bucket[i].quarterKg(), c.facts.marks.QuietStepKg) {
		return c.stepKg()
	}
	return min(c.facts.marks.WeekWarnKg, float64(len(c.stepDays()))*c.facts.marks.QuietStepKg)
}
