package ration

import (
	"math"
	"slices"
	"strings"

	"hardfeed/ration/guard"
	"hardfeed/ration/need"
	"hardfeed/ration/work"
	"hardfeed/ration/yard"
)

// card is one horse's week while it is being worked out.
type card struct {
	yard.HorsePlan
	bodyKg          float64
	capKg           float64       // the lowest estimate of its weight: ceilings go by it
	riderKg         float64       // rider and tack, given or taken
	sweatKg         float64       // a day, mean of the week
	vitaminENeed    float64       // IU a day
	red             []yard.Saying // stops no other ration would clear, in words for the card
	noRise          []yard.Saying // other changes that, with past colic, leave no room for more hard feed
	rules           yard.Rules
	meals           []yard.Meal
	week            yard.Week
	bucket          []item
	noForage        bool
	marks           guard.Marks
	nowKnown        bool     // what hard feed is fed now is known
	now             day      // ordinary day as fed now; hard feed meaningful only if nowKnown
	final           day      // ordinary day the week ends on
	keep            bool     // the sheet's own sharing over the meals still holds
	heldShare       yard.Num // of the rise she planned, what a hold for the step lets through
	stages          []stage
	ahead           outlook  // of a proposal
	dryFeed, dryHay []string // fed dry: what is usually soaked, and forage
	target          day      // of a proposal; nil where she plans hard feed, or no ration of its kind clears the stop marks
}

// newCard takes a horse as far as what it needs and what it is fed now; reasons
// say why no card can be computed.
func newCard(h yard.Horse, lines []yard.Line, room *feedRoom, week yard.Week, rules yard.Rules) (c *card, reasons []yard.Saying) {
	c = &card{HorsePlan: yard.HorsePlan{Horse: h, Status: yard.Carded}, rules: rules, meals: week.Meals, week: week, keep: true}
	if week.Beginning.IsZero() { // no telling how far off they are
		c.Horse.Later = nil
	}
	reasons = slices.Clone(h.NoCard)
	reasons = append(reasons, c.weigh()...)
	for _, why := range guard.NoRation(h) {
		row, _ := guard.Lookup("D-29")
		c.find("D-29", yard.Stop, h.Cell, row.Source, why)
		reasons = append(reasons, why)
	}
	bucket, found, unread := fillBucket(h, lines, room, week)
	c.Findings = append(c.Findings, found...)
	reasons = append(reasons, unread...)
	c.WorkClass, c.WorkMinutes = work.WeekClass(h.Work)
	if len(reasons) > 0 {
		return c, reasons
	}
	if !c.grassIsEnough() {
		bucket, found = addForage(h, bucket, room)
		c.Findings = append(c.Findings, found...)
	}
	c.bucket = bucket
	c.addGrass(room)
	c.noForage = !slices.ContainsFunc(c.bucket, func(it item) bool { return it.class() == yard.Forage })
	c.marks = guard.MarksFor(c.capKg, rules.Limits)

	c.energyNeed()
	c.sweatAndWater()
	c.readNow()
	c.leaveNoRise()
	return c, nil
}

// planHorse works out one horse. used is what its week takes of each feed.
func planHorse(h yard.Horse, lines []yard.Line, room *feedRoom, week yard.Week, rules yard.Rules) (yard.HorsePlan, map[string]weekTotal) {
	c, reasons := newCard(h, lines, room, week, rules)
	if len(reasons) > 0 {
		return c.noCard(reasons), nil
	}
	if c.hardFeedPlanned() {
		c.judgePlan()
	} else {
		c.propose(room)
	}
	c.holdNewHay()
	planned := slices.Clone(c.final)
	if why := c.clearStops(); !why.Empty() {
		return c.noCard([]yard.Saying{why}), nil
	}
	c.keepForage()
	c.closeHold(planned)
	c.lookOn()
	c.buildStages()
	c.buildDays()
	c.buildServings()
	used := c.supply()
	c.reportGap()
	c.compareNow()
	c.checkWeek()
	c.cautions()
	return c.HorsePlan, used
}

// find adds a finding on this horse.
func (c *card) find(rule yard.RuleID, sev yard.Severity, cell yard.Cell, source string, says yard.Saying) {
	c.Findings = append(c.Findings, yard.Finding{Rule: rule, Severity: sev, Horse: c.Horse.Name, Saying: says, Cell: cell, Source: source})
}

// noCard ends a horse that cannot be computed.
func (c *card) noCard(reasons []yard.Saying) yard.HorsePlan {
	slices.SortFunc(reasons, yard.Saying.Compare)
	c.Status, c.NoCardWhy = yard.NoCard, slices.CompactFunc(reasons, func(a, b yard.Saying) bool { return a.Compare(b) == 0 })
	c.Step.Verdict = yard.StepUnknown
	return c.HorsePlan
}

// weigh chooses the body weight: scale, then girth and length, then tape, then
// stated (design §5.1). Girth and length need both; the formula does not hold
// for donkeys.
func (c *card) weigh() (reasons []yard.Saying) {
	h := c.Horse
	stated, haveStated := h.WeightKg.Get()
	g, okG := h.GirthCm.Get()
	l, okL := h.LengthCm.Get()
	byTape := okG && okL && h.Type != yard.TypeDonkey
	switch {
	case haveStated && h.WeightBasis == yard.ByScale:
		c.bodyKg, c.WeightBasis = stated, yard.ByScale
	case byTape:
		c.bodyKg, c.WeightBasis = need.GirthLengthKg(g, l, h.Type), yard.ByGirthLength
		if haveStated && (stated < 0.85*c.bodyKg || stated > 1.15*c.bodyKg) {
			c.find("weight-differs", yard.Warn, h.Cell, "requirements §10", yard.Say("finding.weight-differs", kg0("kg", c.bodyKg), kg0("stated", stated)))
		}
	case haveStated:
		c.bodyKg, c.WeightBasis = stated, h.WeightBasis
		if c.WeightBasis != yard.ByTape {
			c.WeightBasis = yard.Stated
		}
	default:
		c.WeightBasis = yard.NoWeight
		c.find("weight-unknown", yard.Stop, h.Cell, "", yard.Say("finding.weight-unknown"))
		return []yard.Saying{yard.Say("reason.weight")}
	}
	if low, high, known := believedKg(h); known && (c.bodyKg < low || c.bodyKg > high) {
		cell, told := h.Cells["weight"]
		if c.WeightBasis == yard.ByGirthLength {
			cell, told = h.Cells["girth"]
		}
		if !told {
			cell = h.Cell
		}
		c.WeightBasis = yard.NoWeight
		if !h.HeightCm.IsKnown() {
			c.find("weight-height", yard.Stop, cell, "ours; common practice, no source", yard.Say("finding.weight-height.no height", kg0("kg", c.bodyKg), yard.Named("type", yard.Term, string(h.Type)), kg0("most", high)))
			return []yard.Saying{yard.Say("why.weight.no height", kg0("kg", c.bodyKg))}
		}
		c.find("weight-height", yard.Stop, cell, "ours; common practice, no source", yard.Say("finding.weight-height", kg0("kg", c.bodyKg), yard.Named("type", yard.Term, string(h.Type)), yard.Fixed("cm", h.HeightCm.Or(0), yard.Centimetres, 0), kg0("low", low), kg0("high", high)))
		return []yard.Saying{yard.Say("why.weight.height", kg0("kg", c.bodyKg))}
	}
	c.WeightKg = yard.Known(c.bodyKg)
	c.capKg = c.lowestWeight()
	if c.WeightBasis == yard.ByGirthLength {
		c.worked("body weight", "girth² × length / divisor", c.WeightKg, "kg", "Carroll and Huntington 1988; pony: girth² × length / 299 in inches and pounds (requirements §10)",
			in("girth", g, "cm", c.cell("girth")), in("length", l, "cm", c.cell("length")), in("divisor", need.GirthLengthDivisor(h.Type), "cm³ per kg", "requirements §10"))
	} else {
		c.worked("body weight", "as written, by "+string(c.WeightBasis), c.WeightKg, "kg", "", in("weight", stated, "kg", c.cell("weight")))
	}
	return nil
}

// believedKg is the range of body weights believed at a horse's height: 60 to 210
// kg per cubic metre of height, to 320 where the build is heavy, as of draught
// horses, donkeys and animals under 115 cm. Riding horses lie at 100 to 150, the
// fattest cobs near 195, draught horses and Shetlands up to 290 (common practice,
// no source); pounds read as kilograms make 220 and more of most. Without a height
// a riding horse is believed to 850 kg and a pony to 500 (common practice, no source).
func believedKg(h yard.Horse) (low, high float64, known bool) {
	cm, ok := h.HeightCm.Get()
	switch {
	case ok:
	case h.Type == yard.TypeHorse:
		return 0, 850, true
	case h.Type == yard.TypePony:
		return 0, 500, true
	default:
		return 0, 0, false
	}
	most := 210.0
	if h.Type == yard.TypeDraught || h.Type == yard.TypeDonkey || cm < 115 {
		most = 320
	}
	cubed := math.Pow(cm/100, 3)
	return 60 * cubed, most * cubed, true
}

// lowestWeight is the lowest estimate of the body weight: ceilings go by it, so
// that a tape or a slip of the pen makes no horse heavier than it is (limits
// D-30). A scale is believed unless the weighing before it disagrees.
func (c *card) lowestWeight() float64 {
	h, kg := c.Horse, c.bodyKg
	if before, last, odd := guard.OddWeighing(h); odd && last.Kg == h.WeightKg {
		kg = min(kg, before.Kg.Or(kg))
	}
	if c.WeightBasis == yard.ByScale {
		return kg
	}
	if stated, ok := h.WeightKg.Get(); ok {
		kg = min(kg, stated)
	}
	return kg
}

// readNow takes down the ordinary day as it is fed now.
func (c *card) readNow() {
	c.now = make(day, len(c.bucket))
	c.nowKnown = false
	unread := false
	for i, it := range c.bucket {
		c.now[i] = it.now.kg
		c.nowKnown = c.nowKnown || it.written()
		unread = unread || it.hard() && it.now.unread
	}
	c.nowKnown = c.nowKnown && !unread
	if c.nowKnown {
		c.HardFeed.Now = yard.Known(c.hardKg(c.now))
	}
	c.workedHard("hard feed fed now", func(i int) (float64, string, bool) {
		it := c.bucket[i]
		return c.now[i], it.cell.String(), c.nowKnown && !it.now.unread
	})
	c.workedMarks()
	c.Step.WarnKg, c.Step.StopKg = yard.Known(c.marks.WeekWarnKg), yard.Known(c.marks.WeekStopKg)
	c.Step.DayWarnKg, c.Step.DayStopKg = yard.Known(c.marks.DayWarnKg), yard.Known(c.marks.DayStopKg)
}

func (c *card) hardFeedPlanned() bool {
	return slices.ContainsFunc(c.bucket, func(it item) bool { return it.hard() && it.planned.given })
}

// asWritten is the ordinary day as the sheet has it: the plan where there is
// one, what is fed now where there is none.
func (c *card) asWritten() day {
	d := make(day, len(c.bucket))
	for i, it := range c.bucket {
		d[i] = it.fed().kg
	}
	c.estimateAdLib(d)
	return d
}

// vetNamed says whether a vet has named a condition for which this program
// raises no hard feed of its own accord; one the program does not know counts.
func vetNamed(h yard.Horse) bool {
	return h.Has(yard.Laminitis) || guard.Has(h.Diagnoses, yard.InsulinEMS) || h.Has(yard.PPID)
}

// kg0 is a body weight in whole kilograms.
func kg0(name string, v float64) yard.Arg { return yard.Fixed(name, v, yard.Kilograms, 0) }

// cautions are this horse's own plain words for the card, the worst first: a card
// has room for three.
func (c *card) cautions() {
	say := func(key string, args ...yard.Arg) { c.Cautions = append(c.Cautions, yard.Say(key, args...)) }
	c.Cautions = append(c.Cautions, c.red...)
	if c.Step.Verdict == yard.StepUnknown {
		say("caution.before", yard.Kg("kg", c.marks.WeekWarnKg))
	}
	for i, d := range c.Days {
		if d.Kind == yard.EventDay {
			c.Cautions = append(c.Cautions, c.eventCaution(i))
		}
	}
	for _, it := range c.bucket {
		if strings.Contains(strings.ToLower(it.feed.Feed.Generic+" "+it.feed.Feed.Name), "beet") {
			say("caution.beet")
			break
		}
	}
	for _, f := range c.Findings {
		switch f.Rule {
		case "choke", "heaves":
			c.Cautions = append(c.Cautions, c.dryCaution(f.Rule))
		case "D-05":
			say("caution.hay", yard.Fixed("days", c.rules.Limits.NewHayDaysWarn, yard.Days, 0))
		}
	}
	var named []string
	for _, d := range c.Horse.Diagnoses {
		named = append(named, d.Text)
	}
	if len(named) > 0 {
		say("caution.vet", yard.Names("what", yard.Comma, yard.HerWords, named))
	}
	if c.WorkAtLeast {
		say("caution.work")
	}
}

// dryCaution is what is fed dry to a horse that is to have it wet or without dust.
func (c *card) dryCaution(rule yard.RuleID) yard.Saying {
	key, feeds := "caution.soak", c.dryFeed
	if rule == "heaves" {
		key, feeds = "caution.dust", c.dryHay
	}
	if guard.OnlyUnknown(c.Horse.Diagnoses) {
		key += ".unknown"
	}
	return yard.Say(key, yard.Names("feeds", yard.Comma, yard.FeedName, feeds))
}
