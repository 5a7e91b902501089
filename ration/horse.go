package ration

import (
	"slices"

	"hardfeed/ration/guard"
	"hardfeed/ration/work"
	"hardfeed/ration/yard"
)

// horseWeek is one horse's week before anything is decided: what it is fed now, the
// marks of its step, and what else changes. It is only read; a step that needs
// another gives one back.
type horseWeek struct {
	dish
	marks        guard.Marks
	nowKnown     bool           // what hard feed is fed now is known
	now          dailyKg        // ordinary day as fed now; hard feed meaningful only if nowKnown
	hardNow      yard.Num       // kg of it a day
	wasFed       yard.FedEnergy // of the ordinary day in the week before, as the sheet has it
	completes    bool           // the chooser may bring in what the ration is short of, beside mainKg at the least
	mainKg       float64        // of the main forage
	otherChanges []yard.Saying  // other changes that, with past colic, leave no room for more hard feed
}

// newHorseWeek takes a horse as far as what it needs and what it is fed now; reasons
// say why no card can be computed.
func newHorseWeek(h yard.Horse, lines []yard.Line, room *feedRoom, week yard.Week, rules yard.Rules, learnt *ownEvidence, say *log) (c *horseWeek, reasons []yard.Saying) {
	c = &horseWeek{dish: dish{Horse: h, rules: rules, meals: week.Meals, week: week, keepsMealPattern: true, learnt: learnt, wetHay: hayIsWetted(h)}}
	if week.Beginning.IsZero() { // no telling how far off they are
		c.Horse.Later = nil
	}
	c.leaveOutThinTarget(say)
	weight, unweighed := weigh(h, say)
	c.weight = weight
	reasons = append(slices.Clone(h.NoCard), unweighed...)
	for _, why := range guard.NoRation(h) {
		row, _ := guard.Lookup("D-29")
		say.find("D-29", yard.Stop, h.Cell, row.Source, why)
		reasons = append(reasons, why)
	}
	bucket, found, unread := fillBucket(h, lines, room, week)
	say.add(found...)
	reasons = append(reasons, unread...)
	c.WorkClass, c.WorkMinutes = work.WeekClass(h.Work)
	if len(reasons) > 0 {
		c.bucket = bucket
		return c, reasons
	}
	if !c.grassIsEnough() {
		bucket, found = addForage(h, bucket, room)
		say.add(found...)
	}
	c.bucket = bucket
	c.addGrass(room)
	c.noForage = !slices.ContainsFunc(c.bucket, func(it item) bool { return it.class() == yard.Forage })
	written := c.bucket
	c.byRecord(say)
	c.marks = guard.MarksFor(c.ceilingWeightKg, rules.Limits)
	c.needs = c.need(say)
	c.roomAtMeals()
	c.wasFed = c.writtenNow(written)
	c.readNow(say)
	return c, nil
}

// readNow takes down the ordinary day as it is fed now, and what else changes.
func (c *horseWeek) readNow(say *log) {
	c.now = make(dailyKg, len(c.bucket))
	c.nowKnown = false
	unread := false
	for i, it := range c.bucket {
		c.now[i] = it.now.kg
		c.nowKnown = c.nowKnown || it.written()
		unread = unread || it.hard() && it.now.unread
	}
	c.nowKnown = c.nowKnown && !unread
	c.hardNow = yard.Num{}
	if c.nowKnown {
		c.hardNow = yard.Known(c.hardKg(c.now))
	}
	c.workedHard(say, "now", func(i int) (float64, yard.Saying, bool) {
		it := c.bucket[i]
		return c.now[i], place(it.cell.String()), c.nowKnown && !it.now.unread
	})
	c.workedMarks(say)
	// With colic named by the vet a second change inside two weeks is a stop (limits
	// D-08), so hard feed does not go up on top of another.
	c.otherChanges = nil
	if guard.Has(c.Horse.Diagnoses, yard.PastColic) {
		c.otherChanges, _ = c.changesBesideHardFeed()
	}
}

// planHorse works out one horse, step by step. used is what its week takes of each
// feed, and s how it is served; nil where there is no card.
func planHorse(h yard.Horse, lines []yard.Line, room *feedRoom, week yard.Week, rules yard.Rules, learnt *ownEvidence) (p yard.HorsePlan, used map[string]weekTotal, s *served) {
	say := &log{horse: h.Name, workings: rules.Workings}
	c, reasons := newHorseWeek(h, lines, room, week, rules, learnt, say)
	c.readWeighings()
	p = c.begin()
	if len(reasons) > 0 {
		p.HardFeed = c.asRead()
		c.checkWeight(say)
		return noCard(p, reasons, say), nil, nil
	}
	var d decided
	if c.hardFeedPlanned() {
		d = c.judgePlan(say)
	} else {
		c, d = c.propose(room, say)
	}
	mixed, newHay := c.holdNewHay(d.card)
	if newHay == nil {
		mixed, newHay = c.holdForage(mixed, say)
	}
	p.HeldWhy = append(d.why, newHay...)
	p.Step, p.HardFeed = d.step, yard.HardFeedDay{Now: c.hardNow, Planned: d.plannedKg, Target: yard.Known(d.targetKg), Card: yard.Known(c.hardKg(mixed))}
	cleared := c.clearStops(mixed, d.passes, say)
	if cleared.none {
		return noCard(p, []yard.Saying{yard.Say("reason.none")}, say), nil, nil
	}
	if len(cleared.why) > 0 {
		c = c.sharedEvenly()
		p.HeldWhy = append(p.HeldWhy, cleared.why...)
		p.HardFeed.Card = yard.Known(c.hardKg(cleared.card))
		d = c.endingOn(d, cleared.card)
	}
	final := c.keepForage(cleared.card, d.letThrough)
	if len(p.HeldWhy) > 0 {
		p.Status, p.Instead = yard.Held, c.instead(final, mixed)
	}
	way := c.projectPath(final, d, room, say)
	p.HardFeed.Target, p.Step = yard.Known(way.targetKg), way.step
	s = c.serve(final, p.Step.Verdict, say)
	s.print(&p)
	used = s.supply(&p, room, say)
	c.tellEvidence(&p, say)
	c.judgeEnergy(p.Energy, d.over, say)
	p.Changes = s.changes(p.Servings)
	unclearedStops := s.checkWeek(p.HardFeed.Card, say)
	p.Cautions = append(unclearedStops, s.cautions(p.Step.Verdict, say)...)
	p.Findings, p.Workings = say.findings, say.worked
	return p, used, s
}

// begin is the plan as far as it is known before anything is decided.
func (c *horseWeek) begin() yard.HorsePlan {
	p := yard.HorsePlan{Horse: c.Horse, Status: yard.Carded, WeightBasis: c.basis, WorkClass: c.WorkClass, WorkMinutes: c.WorkMinutes,
		WorkAtLeast: c.WorkAtLeast, Energy: c.Energy, SweatFrom: c.sweatFrom, WaterLitres: c.waterLitres, Beside: c.beside}
	if c.weight.known {
		p.WeightKg = yard.Known(c.bodyKg)
	}
	if c.sweatFrom != "" {
		p.SweatKg = yard.Known(c.sweatKg)
	}
	for i, mcal := range c.WorkMcal {
		p.Days[i].EnergyWork = mcal
	}
	return p
}

// noCard ends a horse that cannot be computed.
func noCard(p yard.HorsePlan, reasons []yard.Saying, say *log) yard.HorsePlan {
	slices.SortFunc(reasons, yard.Saying.Compare)
	p.Status, p.NoCardWhy = yard.NoCard, slices.CompactFunc(reasons, func(a, b yard.Saying) bool { return a.Compare(b) == 0 })
	p.Step.Verdict = yard.StepUnknown
	p.Findings, p.Workings = say.findings, say.worked
	return p
}

// asRead is the hard feed that is written for a horse without a card: what was read
// is shown, though nothing is worked out from it.
func (c *horseWeek) asRead() (written yard.HardFeedDay) {
	now, planned := make(dailyKg, len(c.bucket)), make(dailyKg, len(c.bucket))
	var nowGiven, plannedGiven, nowUnread, plannedUnread bool
	for i, it := range c.bucket {
		now[i], planned[i] = it.now.kg, it.planned.kg
		if it.hard() {
			nowGiven, plannedGiven = nowGiven || it.now.given, plannedGiven || it.planned.given
			nowUnread, plannedUnread = nowUnread || it.now.unread, plannedUnread || it.planned.unread
		}
	}
	if nowGiven && !nowUnread {
		written.Now = yard.Known(c.hardKg(now))
	}
	if plannedGiven && !plannedUnread {
		written.Planned = yard.Known(c.hardKg(planned))
	}
	return written
}

// sharedEvenly is the same horse with its bucket shared evenly over the meals: the
// sheet's own sharing passed a stop limit.
func (c *horseWeek) sharedEvenly() *horseWeek {
	even := *c
	even.keepsMealPattern = false
	return &even
}

// vetNamed says whether a vet has named a condition for which this program
// raises no hard feed of its own accord; one the program does not know counts.
func vetNamed(h yard.Horse) bool {
	return h.Has(yard.Laminitis) || guard.Has(h.Diagnoses, yard.InsulinEMS) || h.Has(yard.PPID)
}

// kg0 is a body weight in whole kilograms.
func kg0(name string, v float64) yard.Arg { return yard.Fixed(name, v, yard.Kilograms, 0) }
