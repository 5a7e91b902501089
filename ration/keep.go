package ration

import (
	"math"
	"slices"

	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// fedApartPct is how far what is fed may lie from the need before a proposal keeps it
// and asks for a weighing (design §5.3): ours.
const fedApartPct = 20

// workSamePct is by how much the minutes of two weeks may differ that count as the
// same work: ours.
const workSamePct = 10

// whyKept says why a proposal keeps what is fed now and only clears what passes a stop
// limit; nil: it chooses. What is fed has to be known for it.
func whyKept(c *horseWeek) *yard.Finding {
	if !c.fed.known || c.dish.cerealFed() {
		return nil
	}
	f := &yard.Finding{Severity: yard.Warn, Horse: c.facts.Horse.Name, Cell: c.facts.Horse.Cell}
	switch off, apart := c.fedApart(); {
	case unknownNamed(&c.facts.Horse) != nil:
		f.Rule, f.Saying = "vet-named", yard.Say("finding.vet-named.unknown", yard.Names("what", yard.Comma, yard.HerWords, unknownNamed(&c.facts.Horse)))
	case c.facts.WorkAtLeast || !c.facts.Horse.WorkGiven:
		f.Rule, f.Saying, f.Source = "work-unknown", yard.Say("finding.work-unknown.kept"), "CO-11: feed follows work"
	case grassUntold(&c.dish):
		f.Rule, f.Saying = "grass", yard.Say("finding.grass.untold")
	case c.holdsWeight():
		f.Rule, f.Severity, f.Saying = "fed-now", yard.Note, yard.Say("finding.fed-now.holds")
	case c.insideOwnNeed():
		f.Rule, f.Severity, f.Saying = "fed-now", yard.Note, yard.Say("finding.fed-now.inside")
	case apart:
		key := "finding.fed-now.kept.over"
		if off < 0 {
			key = "finding.fed-now.kept.under"
		}
		f.Rule, f.Saying, f.Source = "fed-now", yard.Say(key, yard.Fixed("off", math.Abs(off), yard.Percent, 0)), "ours: a fifth is three times what horses of one weight and work differ by (EN-01)"
	default:
		return nil
	}
	return f
}

// unknownNamed are the words of a vet that this program does not know.
func unknownNamed(h *yard.Horse) (what []string) {
	for _, d := range h.Diagnoses {
		if d.Kind == yard.OtherDiagnosis {
			what = append(what, d.Text)
		}
	}
	return what
}

// toSlim says whether a horse is to weigh less.
func toSlim(h *yard.Horse) bool {
	score, scored := h.Score.Get()
	target, aimed := h.TargetScore.Get()
	return scored && score >= fatScore || scored && aimed && target < score || h.Has(yard.Overweight)
}

// cerealFed says whether a horse is fed a cereal that it is to come off.
func (c *dish) cerealFed() bool {
	return c.facts.harmedByCereal() && slices.ContainsFunc(c.bucket, func(it item) bool { return it.hard() && it.feed.Cereal && it.now.kg > 0 })
}

// grassUntold says whether grass is written down and its hours are not.
func grassUntold(c *dish) bool {
	return c.facts.Horse.GrassHours.Or(0) <= 0 && slices.ContainsFunc(c.bucket, func(it item) bool { return it.feed.Grazed && it.startingPortion().adLib })
}

// fedApart is how far the energy of what is fed lies from the need, %, and whether
// that is more than anything known explains: a horse to slim is fed over its need; a
// lean or losing one, or one with more work, under it; after work has gone down or stopped
// what is fed is still that of before, and before harder work it is on its way there.
func (c *horseWeek) fedApart() (off float64, apart bool) {
	for _, it := range c.dish.bucket {
		if it.class() == yard.Forage && !it.now.given || it.now.unread { // what it is fed is not known
			return 0, false
		}
	}
	supply, known := c.dish.meanSupply(c.nowFed())
	needMcal := c.facts.Energy.Need.Or(0)
	if !known || needMcal <= 0 {
		return 0, false
	}
	off = (supply/needMcal - 1) * 100
	before, now := minutesOf(c.facts.Horse.Before), minutesOf(c.facts.Horse.Work)
	more, less := now > before*(1+workSamePct/100.), now < before*(1-workSamePct/100.)
	switch {
	case toSlim(&c.facts.Horse) || allRest(&c.facts.Horse):
		return off, false
	case off > 0:
		toCome := slices.ContainsFunc(c.facts.Horse.Later, func(w yard.WorkWeek) bool { return minutesOf(w.Work) > now })
		return off, above(off, fedApartPct) && !(c.facts.Horse.BeforeGiven && less) && !toCome
	}
	return off, below(off, -fedApartPct) && !(c.facts.Horse.BeforeGiven && more) && !c.facts.mustNotFall() && !c.facts.toGain() && !c.facts.takenDown(supply)
}

// takenDown says whether a card of the last six weeks took energy away that the horse
// was fed before: what it is fed now is then no sign of what it needs.
func (c *facts) takenDown(fedMcal float64) bool {
	least := fedMcal + latelyPct/100.0*c.Energy.Need.Or(0)
	return slices.ContainsFunc(c.Horse.Past, func(p yard.PastWeek) bool {
		forage, ok1 := p.Now.Forage.Get()
		other, ok2 := p.Now.Other.Get()
		days := c.ageDays(p.Beginning)
		return ok1 && ok2 && days > 0 && days <= 7*lateWeeks && above(forage+other, least)
	})
}

// holdsWeight says whether its weighings show that a horse holds its weight on what it
// gets.
func (c *horseWeek) holdsWeight() bool {
	return c.facts.scalesShowHeld() && c.asEver()
}

// scalesShowHeld says whether the weighings alone show that a horse holds its weight.
func (c *facts) scalesShowHeld() bool {
	return c.trend == yard.TrendHolding || c.learnt != nil && c.learnt.Holds
}

// asEver says whether a horse that is to stay as it is works as last week and, where
// the records have them, is fed and works as in the weeks it was weighed in.
func (c *horseWeek) asEver() bool {
	h := &c.facts.Horse
	before, now := minutesOf(h.Before), minutesOf(h.Work)
	return h.BeforeGiven && math.Abs(now-before) <= before*workSamePct/100 && !toSlim(h) && !c.facts.toGain() && !allRest(h) && c.asLately()
}

// insideOwnNeed says whether what is fed lies within a standard deviation of the
// horse's own need (ours): nothing it has shown speaks for another amount, and to follow
// the mean from week to week would be to follow the scatter of the scales.
func (c *horseWeek) insideOwnNeed() bool {
	if !c.facts.Energy.Own.IsKnown() || c.facts.losing() || c.facts.trend == yard.TrendGaining || !c.asEver() {
		return false
	}
	mean, low, high := c.facts.Energy.Need.Or(0), c.facts.Energy.NeedRange.Low.Or(0), c.facts.Energy.NeedRange.High.Or(0)
	fed, known := c.dish.meanSupply(c.nowFed())
	return known && fed >= mean-(mean-low)/z90 && fed <= mean+(high-mean)/z90
}

// lateWeeks is how many weeks back a change of feed still explains what is fed, as many as
// a trend is of: ours.
const lateWeeks = 6

// latelyPct is by how much the energy of feed, and of work, may differ from that of the
// last six weeks and still count as the same, % of the need: ours.
const latelyPct = 5

// asLately says whether what the horse gets and does now is what it got and did in the
// weeks its trend is of; so where nothing is known of them.
func (c *horseWeek) asLately() bool {
	if c.facts.learnt == nil {
		return true
	}
	was, ok := c.facts.learnt.Lately()
	if !ok {
		return true
	}
	fed, known := c.dish.meanSupply(c.nowFed())
	most := latelyPct / 100.0 * c.facts.Energy.Need.Or(0)
	worked := c.facts.Energy.Work.Or(0) + c.facts.Energy.Cold.Or(0)
	return known && math.Abs(fed-was.ForageMcal.Or(0)-was.OtherMcal.Or(0)) <= most && math.Abs(worked-was.WorkMcal.Or(0)) <= most
}

// keptAsFed is the proposal that keeps what is fed.
func keptAsFed(c *dish, why *yard.Finding) proposal {
	d := c.asWritten()
	return proposal{target: d, card: slices.Clone(d), askedKg: c.bucket.hardKg(d), kept: why}
}

// byRecord takes the record of last week's card for what is fed now where it has less
// hard feed than the sheet: the lower of the two is what a rise counts from.
func byRecord(c *dish, say *log) {
	record, ok := c.facts.lastCardKg()
	sheet, some := 0.0, false
	for _, it := range c.bucket {
		if it.hard() {
			if it.now.unread {
				return
			}
			sheet, some = sheet+it.now.kg, some || it.now.given
		}
	}
	if !ok || !some || !below(record, sheet*0.95) {
		return
	}
	c.bucket = slices.Clone(c.bucket)
	for i := range c.bucket {
		if it := &c.bucket[i]; it.hard() {
			it.now.kg *= record / sheet
			it.now.perMeal = slices.Clone(it.now.perMeal)
			for m := range it.now.perMeal {
				it.now.perMeal[m] *= record / sheet
			}
		}
	}
	say.find("last-week", yard.Warn, c.facts.Horse.Cell, "the record of last week's card", yard.Say("finding.last-week.record", yard.Kg("sheet", sheet), yard.Kg("record", record)))
}

// lastCardKg is the hard feed of last week's card.
func (c *facts) lastCardKg() (kg float64, ok bool) {
	for _, p := range c.Horse.Past {
		if p.Beginning.Equal(c.week.Beginning.AddDate(0, 0, -7)) {
			return p.HardKg.Get()
		}
	}
	return 0, false
}

// startKg is the hard feed a day that a horse of which nobody knows what it was fed may
// have: as much as one that had none may rise by in a week (limits D-01), on top of
// last week's card where there is a record of it.
func (c *facts) startKg() float64 {
	kg, _ := c.lastCardKg()
	return kg + c.marks.WeekWarnKg
}

// holdUnknownDiagnosis keeps hard feed as it is fed, in a plan that raises one or brings
// one in, for a horse with a diagnosis this program does not know (design §5.9).
func holdUnknownDiagnosis(c *horseWeek, d dailyKg) []yard.Saying {
	what := unknownNamed(&c.facts.Horse)
	if what == nil || !c.fed.known || !slices.ContainsFunc(c.dish.bucket.hardFeeds(), func(i int) bool { return above(d[i], c.fed.day[i]) }) {
		return nil
	}
	for _, i := range c.dish.bucket.hardFeeds() {
		d[i] = c.fed.day[i]
	}
	c.dish.estimateAdLib(d)
	return []yard.Saying{yard.Say("why.diagnosis", yard.Names("what", yard.Comma, yard.HerWords, what))}
}

// holdUnknownNow keeps a plan to what a horse may start on where nobody knows what it
// was fed.
func holdUnknownNow(c *horseWeek, d dailyKg) []yard.Saying {
	planned, most := c.dish.bucket.hardKg(d), c.facts.startKg()
	if c.fed.known || !above(planned, most) {
		return nil
	}
	c.rising().limitRise(d, most)
	c.dish.estimateAdLib(d)
	return []yard.Saying{yard.Say("reason.now unknown", yard.Kg("plan", planned), yard.Kg("card", c.dish.bucket.hardKg(d)))}
}

// holdRest feeds a week without work like a day off from its first day, as far as the
// horse has enough then (design §5.8).
func holdRest(c *horseWeek, d dailyKg, say *log) []yard.Saying {
	planned := c.dish.bucket.hardKg(d)
	if !allRest(&c.facts.Horse) || below(planned, guard.RestCutKg(c.facts.bodyKg, c.facts.rules.Limits)) || restedBefore(&c.facts.Horse) && (c.facts.lean() || c.facts.scalesShowHeld()) {
		return nil
	}
	enough := func(e dailyKg) bool {
		supply, known := c.dish.meanSupply(e)
		return !known || supply >= c.facts.Energy.Need.Or(0)
	}
	for _, share := range []float64{c.facts.rules.RestDayFactor, (1 + c.facts.rules.RestDayFactor) / 2} {
		e := slices.Clone(d)
		for _, i := range c.dish.bucket.hardFeeds() {
			e[i] = c.dish.bucket[i].roundDownToMeasure(d[i] * share)
			if share == c.facts.rules.RestDayFactor {
				e[i] = c.facts.cutToHalf(c.dish.bucket[i], d[i])
			}
		}
		c.dish.estimateAdLib(e)
		if enough(e) {
			copy(d, e)
			says := yard.Say("why.rest", yard.Kg("plan", planned), yard.Kg("card", c.dish.bucket.hardKg(d)))
			say.find("D-20", yard.Stop, c.facts.Horse.Cell, "limits D-20 (TI-11 to TI-13)", says)
			return []yard.Saying{says}
		}
	}
	return nil
}

// holdFall keeps a plan from taking away more than half of the hard feed in a week in
// which the horse works, or from one that is lean (design §5.7; limits RC-13).
func holdFall(c *horseWeek, d dailyKg, say *log) []yard.Saying {
	now, planned := c.dish.bucket.hardKg(c.fed.day), c.dish.bucket.hardKg(d)
	if !c.fed.known || allRest(&c.facts.Horse) && !c.facts.lean() || vetNamed(&c.facts.Horse) || !below(planned, now/2) || !above(now-planned, c.facts.marks.WeekWarnKg) {
		return nil
	}
	forbidden := guard.Forbidden(c.dish.evaluate(c.fed.day, c.dish.sharing.keepsMealPattern), c.facts.rules.Limits)
	for _, i := range c.dish.bucket.hardFeeds() {
		if it := c.dish.bucket[i]; !forbidden[i] && below(d[i], c.fed.day[i]) {
			d[i] = max(d[i], it.halfUp(c.fed.day[i]))
		}
	}
	c.dish.estimateAdLib(d)
	key := "why.fall"
	if allRest(&c.facts.Horse) {
		key = "why.fall.lean"
	}
	says := yard.Say(key, yard.Kg("now", now), yard.Kg("plan", planned), yard.Kg("card", c.dish.bucket.hardKg(d)))
	say.find("taper", yard.Stop, c.facts.Horse.Cell, "limits RC-13 (Lewis 1995); half a week is ours", says)
	return []yard.Saying{says}
}

// halfUp is half of an amount, rounded up to what can be dished out.
func (it item) halfUp(kg float64) float64 {
	unit := it.quarterKg()
	if unit == 0 || !it.inQuarters(kg) {
		unit = weighUnitKg
	}
	return min(kg, unitsFor(kg/2, unit)*unit)
}
