package ration

import (
	"slices"

	"hardfeed/ration/guard"
	"hardfeed/ration/work"
	"hardfeed/ration/yard"
)

// horseWeek is one horse's week before anything is decided: its facts, its dish, what it
// is fed now, and what else changes. It is only read; a step that needs another gives one
// back.
type horseWeek struct {
	facts        *facts
	dish         dish
	fed          fedNow
	wasFed       yard.FedEnergy // of the ordinary day in the week before, as the sheet has it
	otherChanges []yard.Saying  // other changes that, with past colic, leave no room for more hard feed
}

// fedNow is the ordinary day as it is fed now.
type fedNow struct {
	known  bool     // what hard feed there is in it
	day    dailyKg  // hard feed meaningful only if known
	hardKg yard.Num // kg of it
}

// rising is how the horse's hard feed may rise from what it is fed now.
func (c *horseWeek) rising() rising {
	return rising{facts: c.facts, bucket: c.dish.bucket, fed: c.fed, otherChanges: c.otherChanges}
}

// dealing is how the horse's hard feed is spread over the week.
func (c *horseWeek) dealing() *dealing { return &dealing{dish: c.dish, rising: c.rising()} }

// chooser chooses for the horse, with nothing brought in.
func (c *horseWeek) chooser() *chooser { return &chooser{horse: c} }

// newHorseWeek takes a horse as far as what it needs and what it is fed now; reasons
// say why no card can be computed.
func newHorseWeek(h yard.Horse, lines []yard.Line, room *feedRoom, week yard.Week, rules yard.Rules, learnt *ownEvidence, say *log) (c *horseWeek, reasons []yard.Saying) {
	of := &facts{Horse: h, rules: rules, week: week, learnt: learnt, wetHay: hayIsWetted(h)}
	c = &horseWeek{facts: of, dish: dish{facts: of, sharing: sharing{meals: week.Meals, keepsMealPattern: true}}}
	if week.Beginning.IsZero() { // no telling how far off they are
		c.facts.Horse.Later = nil
	}
	leaveOutThinTarget(c.facts, say)
	weight, unweighed := weigh(h, say)
	c.facts.weight = weight
	reasons = append(slices.Clone(h.NoCard), unweighed...)
	for _, why := range guard.NoRation(h) {
		row, _ := guard.Lookup("D-29")
		say.find("D-29", yard.Stop, h.Cell, row.Source, why)
		reasons = append(reasons, why)
	}
	bucket, found, unread := fillBucket(h, lines, room, week)
	say.add(found...)
	reasons = append(reasons, unread...)
	c.facts.WorkClass, c.facts.WorkMinutes = work.WeekClass(h.Work)
	if len(reasons) > 0 {
		c.dish.bucket = bucket
		return c, reasons
	}
	if !c.facts.grassIsEnough() {
		bucket, found = addForage(h, bucket, room)
		say.add(found...)
	}
	c.dish.bucket = bucket
	addGrass(&c.dish, room)
	c.dish.noForage = !slices.ContainsFunc(c.dish.bucket, func(it item) bool { return it.class() == yard.Forage })
	written := c.dish.bucket
	byRecord(&c.dish, say)
	c.facts.marks = guard.MarksFor(c.facts.ceilingWeightKg, rules.Limits)
	c.facts.needs = needsOf(c.facts, say)
	roomAtMeals(&c.dish)
	c.wasFed = writtenNow(&c.dish, written)
	c.readNow(say)
	return c, nil
}

// readNow takes down the ordinary day as it is fed now, and what else changes.
func (c *horseWeek) readNow(say *log) {
	c.fed.day = make(dailyKg, len(c.dish.bucket))
	c.fed.known = false
	unread := false
	for i, it := range c.dish.bucket {
		c.fed.day[i] = it.now.kg
		c.fed.known = c.fed.known || it.written()
		unread = unread || it.hard() && it.now.unread
	}
	c.fed.known = c.fed.known && !unread
	c.fed.hardKg = yard.Num{}
	if c.fed.known {
		c.fed.hardKg = yard.Known(c.dish.bucket.hardKg(c.fed.day))
	}
	workedHard(c.dish.bucket, say, "now", func(i int) (float64, yard.Saying, bool) {
		it := c.dish.bucket[i]
		return c.fed.day[i], place(it.cell.String()), c.fed.known && !it.now.unread
	})
	workedMarks(c.facts, say)
	// With colic named by the vet a second change inside two weeks is a stop (limits
	// D-08), so hard feed does not go up on top of another.
	c.otherChanges = nil
	if guard.Has(c.facts.Horse.Diagnoses, yard.PastColic) {
		c.otherChanges, _ = changesBesideHardFeed(&c.dish)
	}
}

// planHorse works out one horse, step by step. used is what its week takes of each
// feed, and s how it is served; nil where there is no card.
func planHorse(h yard.Horse, lines []yard.Line, room *feedRoom, week yard.Week, rules yard.Rules, learnt *ownEvidence) (p yard.HorsePlan, used map[string]weekTotal, s *served) {
	say := &log{horse: h.Name, workings: rules.Workings}
	c, reasons := newHorseWeek(h, lines, room, week, rules, learnt, say)
	c.facts.readWeighings()
	p = c.begin()
	if len(reasons) > 0 {
		p.HardFeed = c.dish.bucket.asRead()
		c.facts.checkWeight(say)
		return noCard(p, reasons, say), nil, nil
	}
	var d decided
	if c.dish.bucket.hardFeedPlanned() {
		d = judgePlan(c, say)
	} else {
		c, d = propose(c, room, say)
	}
	mixed, newHay := holdNewHay(c, d.card)
	if newHay == nil {
		mixed, newHay = holdForage(c, mixed, say)
	}
	p.HeldWhy = append(d.why, newHay...)
	if !h.PlanUnread.Empty() { // the card is not hers, whatever is on it
		p.HeldWhy = append(p.HeldWhy, h.PlanUnread)
	}
	p.Step, p.HardFeed = d.step, yard.HardFeedDay{Now: c.fed.hardKg, Planned: d.plannedKg, Target: yard.Known(d.targetKg), Card: yard.Known(c.dish.bucket.hardKg(mixed))}
	cleared := clearStops(c, mixed, d.passes, say)
	if cleared.none {
		return noCard(p, []yard.Saying{yard.Say("reason.none")}, say), nil, nil
	}
	if len(cleared.why) > 0 {
		c = c.sharedEvenly()
		p.HeldWhy = append(p.HeldWhy, cleared.why...)
		p.HardFeed.Card = yard.Known(c.dish.bucket.hardKg(cleared.card))
		d = endingOn(c, d, cleared.card)
	}
	final := keepForage(c, cleared.card, d.letThrough)
	if len(p.HeldWhy) > 0 {
		p.Status, p.Instead = yard.Held, instead(c, final, mixed)
	}
	way := projectPath(c, final, d, room, say)
	p.HardFeed.Target, p.Step = yard.Known(way.targetKg), way.step
	s = serve(c, final, p.Step.Verdict, say)
	s.print(&p)
	if len(p.Servings) == 0 && !c.fed.known && c.facts.Horse.GrassHours.Or(0) == 0 { // every horse eats, and not even that it has no hard feed is written
		return noCard(p, []yard.Saying{yard.Say("reason.empty")}, say), nil, nil
	}
	used = s.supply(&p, room, say)
	tellEvidence(c.facts, &p, say)
	judgeEnergy(c, p.Energy, d.over, say)
	p.Changes = s.changes(p.Servings)
	unclearedStops := s.checkWeek(p.HardFeed.Card, say)
	p.Cautions = append(unclearedStops, s.cautions(p.Step.Verdict, say.findings)...)
	p.Findings, p.Workings = say.findings, say.worked
	return p, used, s
}

// begin is the plan as far as it is known before anything is decided.
func (c *horseWeek) begin() yard.HorsePlan {
	p := yard.HorsePlan{Horse: c.facts.Horse, Status: yard.Carded, WeightBasis: c.facts.basis, WorkClass: c.facts.WorkClass, WorkMinutes: c.facts.WorkMinutes,
		WorkAtLeast: c.facts.WorkAtLeast, Energy: c.facts.Energy, SweatFrom: c.facts.sweatFrom, WaterLitres: c.facts.waterLitres, Beside: c.facts.beside}
	if c.facts.weight.known {
		p.WeightKg = yard.Known(c.facts.bodyKg)
	}
	if c.facts.sweatFrom != "" {
		p.SweatKg = yard.Known(c.facts.sweatKg)
	}
	for i, mcal := range c.facts.WorkMcal {
		p.Days[i].EnergyWork = mcal
	}
	return p
}

// noCard ends a horse that cannot be computed. Why a card would have been reduced goes
// with the card.
func noCard(p yard.HorsePlan, reasons []yard.Saying, say *log) yard.HorsePlan {
	slices.SortFunc(reasons, yard.Saying.Compare)
	p.Status, p.NoCardWhy = yard.NoCard, slices.CompactFunc(reasons, func(a, b yard.Saying) bool { return a.Compare(b) == 0 })
	p.HeldWhy, p.Step.Verdict = nil, yard.StepUnknown
	p.Findings, p.Workings = say.findings, say.worked
	return p
}

// asRead is the hard feed that is written for a horse without a card: what was read
// is shown, though nothing is worked out from it.
func (b bucket) asRead() (written yard.HardFeedDay) {
	now, planned := make(dailyKg, len(b)), make(dailyKg, len(b))
	var nowGiven, plannedGiven, nowUnread, plannedUnread bool
	for i, it := range b {
		now[i], planned[i] = it.now.kg, it.planned.kg
		if it.hard() {
			nowGiven, plannedGiven = nowGiven || it.now.given, plannedGiven || it.planned.given
			nowUnread, plannedUnread = nowUnread || it.now.unread, plannedUnread || it.planned.unread
		}
	}
	if nowGiven && !nowUnread {
		written.Now = yard.Known(b.hardKg(now))
	}
	if plannedGiven && !plannedUnread {
		written.Planned = yard.Known(b.hardKg(planned))
	}
	return written
}

// sharedEvenly is the same horse with its bucket shared evenly over the meals: the
// sheet's own sharing passed a stop limit.
func (c *horseWeek) sharedEvenly() *horseWeek {
	even := *c
	even.dish.sharing.keepsMealPattern = false
	return &even
}

// vetNamed says whether a vet has named a condition for which this program
// raises no hard feed of its own accord; one the program does not know counts.
func vetNamed(h *yard.Horse) bool {
	return h.Has(yard.Laminitis) || guard.Has(h.Diagnoses, yard.InsulinEMS) || h.Has(yard.PPID)
}

// kg0 is a body weight in whole kilograms.
func kg0(name string, v float64) yard.Arg { return yard.Fixed(name, v, yard.Kilograms, 0) }
