package ration

import (
	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// decided is the ration of a week, as planned or proposed, held to the step.
type decided struct {
	card       dailyKg        // the ordinary day the week ends on
	why        []yard.Saying  // why it is held; none: it is not
	target     dailyKg        // of a proposal; nil where she plans hard feed, or no ration of its kind clears the stop marks
	targetKg   float64        // hard feed the path leads to
	plannedKg  yard.Num       // hard feed she planned
	letThrough yard.Num       // of the rise she planned, what a hold for the step lets through
	passes     []yard.Finding // stop marks that a held plan is on its way to pass
	step       yard.Step
	ahead      outlook // of a proposal
}

// step judges the rise to judgedKg of hard feed a day, and the path to the target.
func (c *horseWeek) step(targetKg, judgedKg float64, say *log) yard.Step {
	s := yard.Step{WarnKg: yard.Known(c.marks.WeekWarnKg), StopKg: yard.Known(c.marks.WeekStopKg), DayWarnKg: yard.Known(c.marks.DayWarnKg), DayStopKg: yard.Known(c.marks.DayStopKg)}
	now, known := c.hardNow.Get()
	if !known {
		s.Verdict = yard.StepUnknown
		say.find("D-01", yard.Warn, c.Horse.Cell, guard.StepSource, yard.Say("finding.D-01.unknown", yard.Kg("warn", c.marks.WeekWarnKg), yard.Kg("stop", c.marks.WeekStopKg)))
		return s
	}
	rise := judgedKg - now
	s.RiseKg = yard.Known(rise)
	say.work("rise in hard feed", "this week's amount − what is fed now, against the weekly marks", s.RiseKg, "kg a day", guard.StepSource,
		in("this week's amount", judgedKg, "kg", ""), in("fed now", now, "kg", ""), in("warn mark", c.marks.WeekWarnKg, "kg", ""), in("stop mark", c.marks.WeekStopKg, "kg", ""))
	s.Verdict = c.stepVerdict(rise)
	s.PathKg = c.marks.Path(now, targetKg)
	s.WeeksToTarget = yard.Known(float64(len(s.PathKg)))
	o := c.Horse.Override
	switch s.Verdict {
	case yard.StepWarn: // it prints, so the target is reached this week
		s.PathKg, s.WeeksToTarget = []float64{targetKg}, yard.Known(1)
		say.find("D-01", yard.Warn, c.Horse.Cell, guard.StepSource, yard.Say("finding.D-01", yard.Kg("rise", rise), kg0("weight", c.bodyKg), yard.Kg("warn", c.marks.WeekWarnKg), yard.Kg("stop", c.marks.WeekStopKg)))
	case yard.StepStop:
		if o.Valid() {
			s.Verdict = yard.StepOverridden
			s.PathKg, s.WeeksToTarget = []float64{targetKg}, yard.Known(1)
			f := yard.Finding{Rule: "D-02", Severity: yard.Warn, Horse: c.Horse.Name, Cell: o.Cell, Source: guard.StepSource, Saying: yard.Say("finding.D-02.overridden", yard.Kg("rise", rise), yard.Said("stop", c.stopPassed(rise)), yard.Named("who", yard.PersonName, o.Who), yard.Words("reason", o.Reason))}
			overruled(&f)
			say.add(f)
			return s
		}
		say.find("D-02", yard.Stop, c.Horse.Cell, guard.StepSource, yard.Say("finding.D-02", yard.Kg("rise", rise), yard.Said("stop", c.stopPassed(rise)), kg0("weight", c.bodyKg), yard.Kg("warn", c.marks.WeekWarnKg)))
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
func (c *horseWeek) stepVerdict(riseKg float64) yard.Verdict {
	if c.tooFewDays(riseKg) || len(c.otherChanges) > 0 && above(riseKg, 0) {
		return yard.StepStop
	}
	return c.marks.Verdict(riseKg)
}

// overStep is why a plan that passes a stop mark of the step is held.
func (c *horseWeek) overStep(planKg, riseKg float64) yard.Saying {
	stop := c.stopPassed(riseKg)
	key := map[string]string{"part.stop.week": "reason.step", "part.stop.day": "reason.step.day", "part.stop.colic": "why.step.colic", "part.stop.colic.unknown": "why.step.colic.unknown"}[stop.Key]
	return yard.Say(key, append([]yard.Arg{yard.Kg("plan", planKg), yard.Kg("now", planKg-riseKg), yard.Kg("rise", riseKg)}, stop.Args...)...)
}

// stopPassed is the stop mark a rise passes.
func (c *horseWeek) stopPassed(riseKg float64) yard.Saying {
	if len(c.otherChanges) > 0 {
		key := "part.stop.colic"
		if guard.OnlyUnknown(c.Horse.Diagnoses) {
			key = "part.stop.colic.unknown"
		}
		return yard.Say(key, yard.Fixed("days", c.rules.Limits.StackDays, yard.Days, 0), yard.SayingList("changes", yard.AndAll, c.otherChanges))
	}
	if c.marks.Verdict(riseKg) == yard.StepStop {
		return yard.Say("part.stop.week", yard.Kg("mark", c.marks.WeekStopKg))
	}
	return yard.Say("part.stop.day", yard.Count("days", len(c.fedDays())), yard.Kg("mark", c.marks.DayStopKg))
}

// limitRise cuts the feeds that go up, by the same share, so that hard feed in
// all comes to at most mostKg; what is taken away stays taken away.
func (c *horseWeek) limitRise(d dailyKg, mostKg float64) {
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
			d[i] = max(low, it.roundDownToMeasure(low+(d[i]-low)*share))
		}
	}
}

// Days and shares a new hard feed is blended in over a week: a quarter at a time,
// each for at least two days, so that it reaches its full amount on the seventh
// day (limits D-04).
const blendSteps = 4

// blendDays are the days on which a new hard feed goes up by a quarter; nil
// where none is new.
func (c *horseWeek) blendDays() []int {
	for _, it := range c.bucket {
		if it.hard() && it.isNew(c.nowKnown) {
			return c.quarterDays()
		}
	}
	return nil
}

// quarterDays are the days on which a hard feed would go up by a quarter, were
// it new.
func (c *horseWeek) quarterDays() []int {
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
func (c *horseWeek) blendFits() bool { return c.blendDays() != nil && c.quartersFit() }

func (c *horseWeek) quartersFit() bool {
	days := c.quarterDays()
	return len(days) == blendSteps && !below(float64(days[blendSteps-1]-days[0]), c.rules.Limits.NewFeedDaysStop)
}

// steps is how many steps a rise can be dealt out in: one a day the ordinary
// amount is fed on, four at most where a hard feed is new.
func (c *horseWeek) steps() int {
	if days := c.blendDays(); days != nil {
		return len(days)
	}
	return len(c.fedDays())
}

// weekRoomKg is the largest rise a week's card takes of its own accord: the warn
// mark, or less where there are too few days to deal it out on.
func (c *horseWeek) weekRoomKg() float64 {
	if len(c.otherChanges) > 0 {
		return 0
	}
	return min(c.marks.WeekWarnKg, float64(c.steps())*c.marks.DayWarnKg)
}

// tooFewDays says whether a rise dealt out over the days there are would pass
// the one-day stop mark, less what rounding each feed to ten grams can push from
// one step into the next.
func (c *horseWeek) tooFewDays(riseKg float64) bool {
	feeds := 0
	for _, it := range c.bucket {
		if it.hard() {
			feeds++
		}
	}
	return riseKg > float64(c.steps())*(c.marks.DayStopKg-fineUnitKg*float64(feeds))
}

// stepKg is how far hard feed climbs in a week inside the warn marks, in whole
// quarter measures where those fit.
func (c *horseWeek) stepKg() float64 {
	room := min(c.marks.WeekWarnKg, float64(len(c.fedDays()))*c.marks.DayWarnKg)
	if i := c.mainHardFeed(); i >= 0 {
		if q := c.bucket[i].quarterKg(); q > 0 && q <= room {
			return wholeUnits(room, q) * q
		}
	}
	return room
}

// bringsIn says whether a hard feed that is not fed comes in on the way to a target.
func (c *horseWeek) bringsIn(from, target dailyKg) bool {
	for i, it := range c.bucket {
		if it.hard() && from[i] == 0 && target[i] > 0 {
			return true
		}
	}
	return false
}

// roomTo is the rise a coming week takes on its way to a target.
func (c *horseWeek) roomTo(from, target dailyKg) float64 {
	if len(c.otherChanges) > 0 {
		return 0
	}
	steps := c.fedDays()
	if c.bringsIn(from, target) {
		steps = c.quarterDays()
	}
	return min(c.marks.WeekWarnKg, float64(len(steps))*c.marks.DayWarnKg)
}
