package ration

import (
	"fmt"
	"math"
	"slices"

	"hardfeed/ration/choose"
	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// propose has the chooser pick the ration where no hard feed is planned: the
// target first, and then this week's card on the way to it, inside the step.
// Weighed forage, hard feed, oil and salt are moved; what goes by a label
// (supplements), chaff and succulents stay as fed, and so does forage she
// planned. It gives back the horse with the feeds that came in.
func propose(c *horseWeek, room *feedRoom, say *log) (*horseWeek, decided) {
	c, offered := offer(c, room)
	p := c.chooser().choice(nil)
	c, p = completed(c, room, p)
	if p.kept != nil {
		say.add(*p.kept)
	}
	if more := c.dish.bucket.hardKg(p.target) - p.askedKg; above(more, 0) {
		say.find("climb", yard.Note, c.facts.Horse.Cell, "CO-11: feed follows work; the early rise is ours", yard.Say("finding.climb", yard.Kg("kg", more)))
	}
	c = c.bringing(p.target)
	sayTaken(&c.dish, p.target, offered, say)
	sayBroughtIn(&c.dish, p, say)
	workedChoice(c.dish.bucket, say, yard.Say("working.choice.target"), p.target, p.how)
	if supply, _ := c.dish.meanSupply(p.target); p.never != nil && supply < c.facts.Energy.Need.Or(0)*(1-c.facts.rules.EnergyBandPct/100) {
		say.add(*p.never)
	}
	d := decided{card: p.card, target: p.target, targetKg: c.dish.bucket.hardKg(p.target), ahead: p.ahead}
	d.why = sayClash(c.facts, p.how, say)
	switch {
	case same(p.card, p.target):
	case p.cardHow.model == nil:
		say.find("taper", yard.Note, c.facts.Horse.Cell, "limits RC-13 (Lewis 1995): coming off much hard feed is spread over 14 days; half at once is TI-11", yard.Say("finding.taper", yard.Kg("now", c.dish.bucket.hardKg(c.fed.day)), yard.Kg("card", c.dish.bucket.hardKg(p.card)), yard.Kg("target", c.dish.bucket.hardKg(p.target))))
	default:
		workedChoice(c.dish.bucket, say, yard.Say("working.choice.week", yard.Words("kg", fmt.Sprintf("%.2f", c.roomOnTheWayTo(p.target)))), p.card, p.cardHow)
	}
	d.step = c.rising().step(d.targetKg, c.dish.bucket.hardKg(p.card), say)
	return c, d
}

// proposal is what the chooser makes of one week.
type proposal struct {
	target  dailyKg       // what the week's work asks for, and the rise to later weeks' work
	how     chosen        // of the target
	askedKg float64       // hard feed the week's own work asks for
	card    dailyKg       // what is given this week, on the way to the target
	cardHow chosen        // of the card where it is not the target; without a model: half at once, see taper
	kept    *yard.Finding // why what is fed is kept; nil: it was chosen
	never   *yard.Finding // why hard feed is not raised; nil: it may be
	ahead   outlook       // the weeks to come that it looked at
	madeUp  []string      // nutrients that were short until feeds came in for them
}

// choice is the proposal for a horse's week; known are weeks to come already looked
// at. It writes nothing down.
func (c *chooser) choice(known outlook) proposal {
	if why := whyKept(c.horse); why != nil {
		return keptAsFed(&c.horse.dish, why)
	}
	base := c.horse.dish.asWritten()
	raiseForage(&c.horse.dish, base, c.horse.facts.forageWarnPct(), func(it item) bool { return !it.planned.given })
	options := c.options(base)
	p := proposal{never: c.neverRaise(options)}
	held := func(m *formulation) { m.hold(p.never != nil, base) }
	p.target, p.how = c.best(base, options, held)
	p.target, p.how = c.forageAsFed(base, options, p.target, p.how, held)
	p.askedKg = c.horse.dish.bucket.hardKg(p.target)
	if p.never == nil {
		p.ahead = demandOfComingWeeks(c.horse, base, known)
		p.target, p.how = c.climb(p.ahead, base, p.target, p.how, options)
	}
	p.card = slices.Clone(p.target)
	if c.horse.fed.known {
		p.card, p.cardHow = c.stepTowards(c.horse.fed.day, p.target, options, c.horse.roomOnTheWayTo(p.target), above(c.horse.dish.bucket.hardKg(p.target), p.askedKg))
	} else if above(c.horse.dish.bucket.hardKg(p.target), c.horse.facts.startKg()) {
		p.card, p.cardHow = c.best(base, options, func(m *formulation) {
			m.hold(p.never != nil, base)
			m.limit(startLimit, m.atMost(m.day(ofClass(yard.HardFeed, perKgAsFed), intake{}), c.horse.facts.startKg()))
		})
	}
	c.horse.dish.estimateAdLib(p.card)
	p.card = hayBack(&c.horse.dish, p.card)
	if less := c.horse.bringing(p.target).dealing().inTwoSteps(p.card); !same(less, p.card) {
		p.card = less
		if p.cardHow.model == nil {
			p.cardHow = p.how
		}
	}
	return p
}

// stepTowards chooses one week's ration on the way from what is fed to the target:
// hard feeds and the main forage between the two, as far as a week may move them
// ([chooser.weekEnds]), at most roomKg more hard feed in all, the rest as in the
// target. Where quarters are too coarse for that the scale is used. climbs: the
// target is more than the week's own work asks for, so it is hard feed that is to
// come as near to it as it can.
func (c *chooser) stepTowards(from, target dailyKg, options [][]float64, roomKg float64, climbs bool) (dailyKg, chosen) {
	halfIn := c.horse.rising().bringsIn(from, target) // the other half of a new feed comes with the next week (limits D-04)
	within := !above(c.horse.dish.bucket.hardKg(target), c.horse.dish.bucket.hardKg(from)+roomKg)
	ends := c.weekEnds(from, target, options)
	if half := c.taper(from, target, ends, options); half != nil {
		return half, chosen{}
	}
	starchy := above(c.horse.dish.bucket.hardStarchG(target)-c.horse.dish.bucket.hardStarchG(from), starchRiseWarnG*c.horse.facts.bodyKg)
	if within && !halfIn && !starchy && same(ends, target) {
		return slices.Clone(target), chosen{}
	}
	ways := func(byWeight bool) [][]float64 {
		out := make([][]float64, len(c.horse.dish.bucket))
		for i, it := range c.horse.dish.bucket {
			if options[i] == nil || !it.hard() && i != c.horse.dish.bucket.mainForage() {
				continue
			}
			low, high := min(from[i], ends[i]), max(from[i], ends[i])
			if c.horse.rising().blends(it, from[i], target[i]) {
				high = it.halfOf(target[i])
				if within { // nothing else holds it back
					low = high
				}
			}
			kgs := []float64{low, high}
			if it.hard() && below(high, target[i]) && it.quarterKg() > 0 { // capped: whole quarters up to there
				kgs = kgs[:1]
			}
			for _, kg := range options[i] {
				if kg > low && !above(kg, high) {
					kgs = append(kgs, kg)
				}
			}
			if byWeight && it.hard() {
				for n := math.Ceil(max(low, leastWeighedKg)/weighUnitKg - dealtNoise); below(n*weighUnitKg, high); n++ {
					kgs = append(kgs, n*weighUnitKg)
				}
			}
			out[i] = tidy(kgs)
		}
		return out
	}
	// Past the amount from which days off are cut (limits D-20) a week's energy dips
	// before it rises again: there only asking for hard feed leads on.
	var d dailyKg
	var how chosen
	for _, try := range []struct{ byWeight, climbs bool }{{false, climbs}, {true, climbs}, {true, true}} {
		d, how = c.best(target, ways(try.byWeight), func(m *formulation) {
			if try.climbs {
				m.climb = []choose.Row{m.hardAtLeast(c.horse.dish.bucket.hardKg(target))}
			}
			m.limit(stepLimit, m.atMost(m.day(ofClass(yard.HardFeed, perKgAsFed), intake{}), c.horse.dish.bucket.hardKg(from)+roomKg))
			m.limit(starchStepLimit, m.atMost(m.day(ofClass(yard.HardFeed, inDM(starchIn)), intake{}), c.horse.dish.bucket.hardStarchG(from)+starchRiseWarnG*c.horse.facts.bodyKg))
		})
		if above(c.horse.dish.bucket.hardKg(d), c.horse.dish.bucket.hardKg(from)) || c.horse.dish.bucket.hardKg(target) <= c.horse.dish.bucket.hardKg(from) || roomKg <= 0 {
			break
		}
	}
	if above(c.horse.dish.bucket.hardKg(d), c.horse.dish.bucket.hardKg(from)+max(roomKg, 0)) {
		// No ration keeps every limit, and the step was among those passed: nothing rises.
		d = slices.Clone(d)
		for _, i := range c.horse.dish.bucket.hardFeeds() {
			d[i] = min(d[i], from[i])
		}
		c.horse.dish.estimateAdLib(d)
	}
	return d, how
}

// weekEnds is as far as one week moves each feed towards the target, the rise of hard
// feed aside: hard feed falls by half at the most, or by the week's warning limit where
// that is more, and the main forage moves by a quarter. What no amount of may be given
// goes at once; forage under its floor goes up twice in the week ([dish.forageRise]); where a vet has named a condition,
// and in the second week without work, hard feed falls as far as it is to.
func (c *chooser) weekEnds(from, target dailyKg, options [][]float64) dailyKg {
	ends := slices.Clone(target)
	main := c.horse.dish.bucket.mainForage()
	for i, it := range c.horse.dish.bucket {
		switch {
		case options[i] == nil || len(options[i]) == 1:
		case it.hard() && (vetNamed(&c.horse.facts.Horse) || restedBefore(&c.horse.facts.Horse)):
		case it.hard() && above(target[i], from[i]+c.horse.facts.marks.WeekWarnKg) && !c.horse.rising().bringsKind(i, from, target):
			ends[i] = it.raisedTo(from[i], from[i]+c.horse.facts.marks.WeekWarnKg)
		case it.hard() && below(target[i], from[i]):
			ends[i] = max(target[i], min(c.horse.facts.fallTo(it, from[i]), from[i]))
		case i == main && it.now.given && !it.now.unread:
			if target[i] > from[i] {
				if _, most, stepped := c.horse.dish.forageRise(i); stepped {
					ends[i] = min(target[i], max(most, from[i]))
				}
			} else {
				ends[i] = max(target[i], min(from[i], unitsFor(from[i]*(1-forageStepShare), it.forageUnitKg())*it.forageUnitKg()))
			}
		}
	}
	return ends
}

// bringsKind says whether a hard feed takes the place of others of its kind.
func (c rising) bringsKind(i int, from, target dailyKg) bool {
	kg := target[i] - from[i]
	for _, k := range c.bucket.hardFeeds() {
		if k != i && likeKind(c.bucket[i], c.bucket[k]) {
			kg -= max(0, from[k]-target[k])
		}
	}
	return !above(kg, c.facts.marks.WeekWarnKg)
}

// fallTo is what a hard feed falls to in one week at the most (limits RC-13: coming
// off it is spread over two weeks; half a week is design §5.7, and that a fall within
// the week's warning limit is done at once is ours).
func (c *facts) fallTo(it item, kg float64) float64 {
	least := kg - guard.MarksFor(c.ceilingWeightKg, c.rules.Limits).WeekWarnKg
	if it.inQuarters(kg) {
		least = it.roundDownToMeasure(least)
	} else {
		least = roundDownToScale(least)
	}
	to := min(c.cutToHalf(it, kg), least)
	if below(to, leastWeighedKg) { // nobody dishes out what is left
		return 0
	}
	return to
}

// tidy sorts amounts and drops those that come twice.
func tidy(kgs []float64) []float64 {
	slices.Sort(kgs)
	return slices.CompactFunc(kgs, alike)
}

// offer puts every hard feed of known energy that may be given in the bucket of a
// horse that has no row at all on the rations sheet, and names them.
func offer(c *horseWeek, room *feedRoom) (*horseWeek, []string) {
	if slices.ContainsFunc(c.dish.bucket, func(it item) bool { return !it.assumedForage && !it.grazed }) || vetNamed(&c.facts.Horse) {
		return c, nil
	}
	with := *c
	with.dish.bucket, with.fed.day = slices.Clone(c.dish.bucket), slices.Clone(c.fed.day)
	var names []string
	for _, k := range room.order {
		f := room.feeds[k]
		if f.Feed.Class != yard.HardFeed || !f.Composition.DE.IsKnown() || !f.Composition.DM.IsKnown() {
			continue
		}
		with.dish.bucket = append(with.dish.bucket, item{feed: f, cell: f.Feed.Cell, offered: true})
		with.fed.day = append(with.fed.day, 0)
		names = append(names, f.Feed.Name)
	}
	roomAtMeals(&with.dish)
	return &with, names
}

// roomOnTheWayTo is the rise, kg of hard feed a day, that this week takes on its way to a
// target of ours: a new feed in it has no more days to rise on than those it is blended
// in on.
func (c *horseWeek) roomOnTheWayTo(target dailyKg) float64 {
	return min(c.rising().roomTo(), c.bringing(target).rising().weekRoomKg())
}

// bringing is the horse with the hard feeds of a target that come in new marked.
func (c *horseWeek) bringing(target dailyKg) *horseWeek {
	with := *c
	with.dish.bucket = slices.Clone(c.dish.bucket)
	for i := range with.dish.bucket {
		if it := &with.dish.bucket[i]; (it.hard() || it.mayComeIn) && c.fed.day[i] == 0 && target[i] > 0 {
			it.chosenKg = target[i]
		}
	}
	return &with
}

// sayTaken says which of the hard feeds offered were taken.
func sayTaken(c *dish, target dailyKg, offered []string, say *log) {
	var taken []string
	for i, it := range c.bucket {
		if it.offered && target[i] > 0 {
			taken = append(taken, it.feed.Feed.Name)
		}
	}
	switch {
	case len(offered) == 0:
	case len(taken) == 0:
		say.find("feed-assumed", yard.Note, c.facts.Horse.Cell, "", yard.Say("finding.feed-assumed.none"))
	default:
		say.find("feed-assumed", yard.Warn, c.facts.Horse.Cell, "", yard.Say("finding.feed-assumed", yard.Names("feeds", yard.AndAll, yard.FeedName, taken)))
	}
}

// neverRaise says why this program does not raise hard feed for a horse, as what
// to tell where its energy is short; nil where it may.
func (c *chooser) neverRaise(options [][]float64) *yard.Finding {
	f := &yard.Finding{Severity: yard.Note, Horse: c.horse.facts.Horse.Name, Cell: c.horse.facts.Horse.Cell}
	switch {
	case vetNamed(&c.horse.facts.Horse):
		f.Rule, f.Saying = "vet-named", yard.Say("finding.vet-named")
	case c.horse.facts.WorkAtLeast:
		f.Rule, f.Saying, f.Source = "work-unknown", yard.Say("finding.work-unknown"), "CO-11: feed follows work"
	case c.horse.facts.Horse.OffFeed:
		f.Rule, f.Saying, f.Source = "off-feed", yard.Say("finding.off-feed.never"), "SH-12; that it is not fed more is common practice, no source"
	case !c.newModel(c.horse.dish.asWritten(), options, false).energyKnown():
		f.Rule, f.Saying = "energy-unknown", yard.Say("finding.energy-unknown")
	default:
		return nil
	}
	return f
}

// clash says which limits no ration keeps together; why is the reason it holds the
// card.
func sayClash(c *facts, how chosen, say *log) (why []yard.Saying) {
	if how.broken() == 0 {
		return nil
	}
	clash := how.answer.Clash
	limits := func(name string, is []int) yard.Arg {
		var names []yard.Saying
		for _, i := range is {
			names = append(names, saidLimit(how.model.model.Limits[i].Name))
		}
		return yard.SayingList(name, yard.And, names)
	}
	kept, broken := limits("limits", clash.Limits), limits("broken", clash.Broken)
	says := yard.Say("part.clash.together", kept, broken)
	switch one := len(clash.Limits) <= 1; {
	case one && slices.Equal(clash.Limits, clash.Broken):
		says = yard.Say("part.clash.one", kept)
	case one:
		says = yard.Say("part.clash", kept, broken)
	}
	say.find("clash", yard.Warn, c.Horse.Cell, "", yard.Say("finding.clash", yard.Said("what", says)))
	if how.broken() >= 2 {
		return []yard.Saying{yard.Say("why.clash", yard.Said("what", says))}
	}
	return nil
}

// workedChoice records what was chosen, by which goals, and which of them decided.
func workedChoice(c bucket, say *log, what yard.Saying, d dailyKg, how chosen) {
	if how.model == nil {
		return
	}
	say.work(func() yard.Working {
		a, m := how.answer, how.model
		w := yard.Working{Key: "choice", Result: yard.Known(c.hardKg(d)), Unit: unitCalled("hard feed"), Source: "this program's rule"}
		for i, it := range c {
			if len(m.amount[i]) > 1 {
				w.Inputs = append(w.Inputs, inFeed(it.feed.Feed.Name, yard.Known(d[i]), unitKg, yard.Say("working.from.amounts", yard.Count("n", len(m.amount[i])))))
			}
		}
		proven := found("proven")
		if !a.Proven {
			proven = found("not proven")
		}
		decided := yard.Say("working.choice.equal")
		for k, g := range m.model.Goals {
			w.Inputs = append(w.Inputs, yard.Input{Name: goalName(g.Name), Value: yard.Known(float64(a.Values[k])), Unit: goalUnit(g.Name), From: proven})
			if k == a.Decided {
				decided = yard.Say("working.choice.decided", yard.Said("goal", goalName(g.Name)))
			}
		}
		w.Args = []yard.Arg{yard.Said("what", what), yard.Said("decided", decided)}
		return w
	})
}

// reportGap says how the week's energy stands to the need, where it is outside
// the band.
func reportGap(c *dish, e yard.Energy, say *log) {
	needMcal, supply := e.Need.Or(0), e.Supply.Or(0)
	if !e.Supply.IsKnown() || needMcal <= 0 {
		return
	}
	pct := (supply - needMcal) / needMcal * 100
	if math.Abs(pct) <= c.facts.rules.EnergyBandPct {
		return
	}
	key := "finding.energy.over"
	if pct < 0 {
		key = "finding.energy.under"
	}
	args := []yard.Arg{yard.Fixed("pct", math.Abs(pct), yard.Percent, 0), yard.Fixed("supply", supply, yard.Mcal, 1), yard.Fixed("need", needMcal, yard.Mcal, 1)}
	switch off := -e.Change.Or(0); {
	case pct < 0 && c.bucket.mainHardFeed() < 0:
		key += ".no hard feed"
	case pct > 0 && off > 0:
		key += ".to slim"
		args = append(args, yard.Fixed("off", off, yard.Mcal, 1))
	}
	say.find("energy", yard.Note, yard.Cell{}, "NRC 2007; the band is this program's", yard.Say(key, args...))
}
