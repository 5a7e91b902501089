package ration

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"hardfeed/ration/choose"
	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// propose has the chooser pick the ration where no hard feed is planned: the
// target first, and then this week's card on the way to it, inside the step.
// Weighed forage, hard feed, oil and salt are moved; what goes by a label
// (supplements), chaff and succulents stay as fed, and so does forage she
// planned.
func (c *card) propose(room *feedRoom) {
	offered := c.offer(room)
	p := c.choice()
	c.target = p.target
	if more := c.hardKg(p.target) - p.askedKg; more > 1e-9 {
		c.find("climb", yard.Note, c.Horse.Cell, "CO-11 has feed follow work; the climb is this program's", yard.Say("finding.climb", yard.Kg("kg", more)))
	}
	c.noteNew(p.target, offered)
	c.workedChoice("ration chosen, the target", p.target, p.how)
	if supply, _ := c.meanSupply(p.target); p.why != nil && supply < c.Energy.Need.Or(0)*(1-c.rules.EnergyBandPct/100) {
		p.why()
	}
	c.sayClash(p.how)
	switch {
	case same(p.card, p.target):
	case p.cardHow.model == nil:
		c.find("taper", yard.Note, c.Horse.Cell, "limits RC-13 (Lewis 1995): coming off much hard feed is spread over 14 days; half at once is TI-11", yard.Say("finding.taper", yard.Kg("now", c.hardKg(c.now)), yard.Kg("card", c.hardKg(p.card)), yard.Kg("target", c.hardKg(p.target))))
	default:
		c.workedChoice(fmt.Sprintf("ration chosen, this week: at most %.2f kg more hard feed than now", c.roomTo(c.now, p.target)), p.card, p.cardHow)
	}
	c.closeStep(p.target, c.hardKg(p.card), p.card)
}

// proposal is what the chooser makes of one week.
type proposal struct {
	target  day     // what the week's work asks for, and the climb to later weeks' work
	how     chosen  // of the target
	askedKg float64 // hard feed the week's own work asks for
	card    day     // what is given this week, on the way to the target
	cardHow chosen  // of the card where it is not the target; without a model: half at once, see taper
	why     func()  // tells why hard feed is not raised; nil: it may be
}

// choice is the proposal for a horse's week. It writes nothing down.
func (c *card) choice() proposal {
	base := c.asWritten()
	c.raiseForage(base, c.forageWarnPct(), func(it item) bool { return !it.planned.given })
	options := c.options(base)
	p := proposal{why: c.neverRaise(options)}
	p.target, p.how = c.best(base, options, func(m *modelled) { m.hold(p.why != nil, base) })
	p.askedKg = c.hardKg(p.target)
	if p.why == nil {
		c.ahead = c.lookAhead(base)
		p.target, p.how = c.climb(base, p.target, p.how, options)
	}
	p.card = slices.Clone(p.target)
	if c.nowKnown {
		p.card, p.cardHow = c.weekOn(c.now, p.target, options, c.roomTo(c.now, p.target), c.hardKg(p.target) > p.askedKg+1e-9)
	}
	c.estimateAdLib(p.card)
	return p
}

// bringsIn says whether a hard feed that is not fed comes in on the way to a target.
func (c *card) bringsIn(from, target day) bool {
	for i, it := range c.bucket {
		if it.hard() && from[i] == 0 && target[i] > 0 {
			return true
		}
	}
	return false
}

// same says whether two days are fed alike, to the last gram.
func same(a, b day) bool {
	return slices.EqualFunc(a, b, func(x, y float64) bool { return math.Abs(x-y) < 1e-9 })
}

// weekOn chooses one week's ration on the way from what is fed to the target:
// hard feeds between the two, at most roomKg more in all, the rest as in the
// target. Where quarters are too coarse for that the scale is used. climbs: the
// target is more than the week's own work asks for, so it is hard feed that is to
// come as near to it as it can.
func (c *card) weekOn(from, target day, options [][]float64, roomKg float64, climbs bool) (day, chosen) {
	threeQuarters := c.bringsIn(from, target) && !c.quartersFit() // the last quarter of a new feed comes with the next week (limits D-04)
	within := c.hardKg(target) <= c.hardKg(from)+roomKg+1e-9
	if half := c.taper(from, target, options); half != nil {
		return half, chosen{}
	}
	if within && !threeQuarters {
		return slices.Clone(target), chosen{}
	}
	ways := func(byWeight bool) [][]float64 {
		out := make([][]float64, len(c.bucket))
		for i, it := range c.bucket {
			if !it.hard() || options[i] == nil {
				continue
			}
			low, high := min(from[i], target[i]), max(from[i], target[i])
			if threeQuarters && from[i] == 0 && target[i] > 0 {
				high = it.floorServable(target[i] * (blendSteps - 1) / blendSteps)
				if within { // nothing else holds it back
					low = high
				}
			}
			kgs := []float64{low, high}
			for _, kg := range options[i] {
				if kg > low && kg < high {
					kgs = append(kgs, kg)
				}
			}
			if unit := it.weighUnit(high); byWeight {
				for kg := math.Ceil(low/unit) * unit; kg < high-1e-9; kg += unit {
					kgs = append(kgs, math.Round(kg/unit)*unit)
				}
			}
			out[i] = tidy(kgs)
		}
		return out
	}
	// Past the amount from which days off are cut (limits D-20) a week's energy dips
	// before it rises again: there only asking for hard feed leads on.
	var d day
	var how chosen
	for _, try := range []struct{ byWeight, climbs bool }{{false, climbs}, {true, climbs}, {true, true}} {
		d, how = c.best(target, ways(try.byWeight), func(m *modelled) {
			if try.climbs {
				m.climb = []choose.Row{m.hardAtLeast(c.hardKg(target))}
			}
			m.limit("the weekly step (D-01)", m.atMost(m.day(only(yard.HardFeed, one), intake{}), c.hardKg(from)+roomKg))
		})
		if c.hardKg(d) > c.hardKg(from)+1e-9 || c.hardKg(target) <= c.hardKg(from) || roomKg <= 0 {
			break
		}
	}
	return d, how
}

// weighUnit is how finely an amount goes on the scale.
func (it item) weighUnit(kg float64) float64 {
	if kg < 0.5 {
		return fineUnitKg
	}
	return weighUnitKg
}

// tidy sorts amounts and drops those that come twice.
func tidy(kgs []float64) []float64 {
	slices.Sort(kgs)
	return slices.CompactFunc(kgs, func(a, b float64) bool { return math.Abs(a-b) < 1e-9 })
}

// offer puts every hard feed of known energy that may be given in the bucket of a
// horse that has no row at all on the rations sheet.
func (c *card) offer(room *feedRoom) []string {
	if slices.ContainsFunc(c.bucket, func(it item) bool { return !it.assumedForage && !it.grazed }) || vetNamed(c.Horse) {
		return nil
	}
	var names []string
	for _, k := range room.order {
		f := room.feeds[k]
		if f.Feed.Class != yard.HardFeed || !f.Composition.DE.IsKnown() || !f.Composition.DM.IsKnown() {
			continue
		}
		c.bucket = append(c.bucket, item{feed: f, cell: f.Feed.Cell, offered: true})
		c.now = append(c.now, 0)
		names = append(names, f.Feed.Name)
	}
	return names
}

// noteNew remembers hard feeds that come in new, and says which of those offered
// were taken.
func (c *card) noteNew(target day, offered []string) {
	var taken []string
	for i := range c.bucket {
		it := &c.bucket[i]
		if it.hard() && c.now[i] == 0 && target[i] > 0 {
			it.chosenKg = target[i]
		}
		if it.offered && target[i] > 0 {
			taken = append(taken, it.feed.Feed.Name)
		}
	}
	switch {
	case len(offered) == 0:
	case len(taken) == 0:
		c.find("feed-assumed", yard.Note, c.Horse.Cell, "", yard.Say("finding.feed-assumed.none"))
	default:
		c.find("feed-assumed", yard.Warn, c.Horse.Cell, "", yard.Say("finding.feed-assumed", yard.Names("feeds", yard.AndAll, yard.FeedName, taken)))
	}
}

// neverRaise says why this program does not raise hard feed for a horse, as what
// to tell where its energy is short; nil where it may.
func (c *card) neverRaise(options [][]float64) func() {
	switch {
	case vetNamed(c.Horse):
		return func() {
			c.find("vet-named", yard.Note, c.Horse.Cell, "", yard.Say("finding.vet-named"))
		}
	case c.WorkAtLeast:
		return func() {
			c.find("work-unknown", yard.Note, c.Horse.Cell, "CO-11: feed follows work", yard.Say("finding.work-unknown"))
		}
	case !c.newModel(c.asWritten(), options, false).known(energyIn):
		return func() {
			c.find("energy-unknown", yard.Note, c.Horse.Cell, "", yard.Say("finding.energy-unknown"))
		}
	}
	return nil
}

// forageWarnPct is the warn mark of the forage floor that holds for this horse.
func (c *card) forageWarnPct() float64 {
	warn, _, _ := guard.ForageFloor(c.Horse.Diagnoses, c.rules.Limits)
	return warn
}

// smallBalancerKg is what is fed of a balancer at the most, kg per 100 kg of body
// weight a day: common practice is 0.1, no source.
const smallBalancerKg = 0.15

// smallBalancer says whether a hard feed is a balancer in the amount balancers are
// made for. Its vitamins and trace minerals seldom stand on the feeds sheet, so a
// choice by what is known would take it from every horse on little energy, which
// are those it is for.
func (c *card) smallBalancer(it item) bool {
	name := strings.ToLower(it.feed.Feed.Name + " " + it.feed.Feed.Generic)
	return strings.Contains(name, "balancer") && it.now.given && !it.now.unread && it.now.kg > 0 && it.now.kg <= smallBalancerKg*c.bodyKg/100+1e-9
}

// options are the amounts each item may be given, kg as fed on a work day,
// rising; nil: it stays as it is.
func (c *card) options(base day) [][]float64 {
	out := make([][]float64, len(c.bucket))
	eats, written := usualIntakePct/100*c.bodyKg, 0.0
	for i, it := range c.bucket {
		if !it.grazed && !it.fed().adLib {
			written += base[i] * dmOf(it)
		}
	}
	eats = max(eats, written)
	grid := func(unit, most float64, now portion) []float64 {
		var kgs []float64
		for n := 0; float64(n)*unit <= most+1e-9; n++ {
			kgs = append(kgs, float64(n)*unit)
		}
		if now.given && !now.unread {
			kgs = append(kgs, now.kg)
		}
		return tidy(kgs)
	}
	main := c.mainForage()
	forbidden := guard.Forbidden(c.evaluate(base, c.keep), c.rules.Limits)
	for i, it := range c.bucket {
		x := it.feed.Composition
		known := x.DM.IsKnown() && x.DE.IsKnown() && dmOf(it) > 0
		asFed := it.now.given && !it.now.unread && !it.planned.given
		switch {
		case it.grazed || it.fed().adLib:
		case it.hard() && forbidden[i] != "":
			out[i] = []float64{0}
		case it.hard() && c.smallBalancer(it): // for what it holds, not for its energy: it stays (limits CO-11)
		case it.hard() && known:
			unit := it.quarterKg()
			if unit == 0 {
				unit = weighUnitKg
			}
			out[i] = grid(unit, c.rules.Limits.HardFeedStopPct/100*c.capKg/dmOf(it), it.now)
		case i == main && known && asFed:
			most := eats / dmOf(it)
			if vetNamed(c.Horse) { // more forage is the vet's to give, the floor apart
				most = max(it.now.kg, base[i])
			}
			out[i] = grid(hayUnitKg, most, it.now)
			if c.toGain() && slices.ContainsFunc(c.bucket, func(o item) bool { return o.grazed }) {
				out[i] = slices.DeleteFunc(out[i], func(kg float64) bool { return kg < it.now.kg-1e-9 })
			}
		case it.class() == yard.Oil && known && asFed: // brought in over two weeks (limits D-07) by people, not by this program
			out[i] = grid(oilUnitKg, it.now.kg, it.now)
		case it.class() == yard.Salt && asFed:
			out[i] = grid(saltUnitKg, guard.SaltStopG(c.capKg, c.rules.Limits)/1000, it.now)
		}
	}
	return out
}

// toGain says whether the horse is to put on weight. Hay is not taken from it for
// grass, of which nobody knows how much is eaten (ours).
func (c *card) toGain() bool {
	score, okS := c.Horse.Score.Get()
	target, okT := c.Horse.TargetScore.Get()
	return okS && okT && target > score
}

// mainForage is the weighed forage that is moved: the one fed most now, the first
// on the sheet where equal, straw only where there is nothing else; −1 none. The
// others stay as fed: one forage for another is a change of its own (limits
// D-05).
func (c *card) mainForage() int {
	best := -1
	for i, it := range c.bucket {
		if it.class() != yard.Forage || it.grazed || it.fed().adLib {
			continue
		}
		if best < 0 || !it.feed.Straw && c.bucket[best].feed.Straw || it.feed.Straw == c.bucket[best].feed.Straw && c.now[i] > c.now[best] {
			best = i
		}
	}
	return best
}

// chosen is how a ration was come by.
type chosen struct {
	model  *modelled
	answer choose.Answer
}

// best is the best ration of a bucket. The stop mark on hours without forage
// (limits D-18) is a limit where some ration keeps it and its energy lies no
// further out for it: with two or three feeds a day there mostly is none, and it
// is the hours of the feeds that have to change.
func (c *card) best(base day, options [][]float64, more func(*modelled)) (day, chosen) {
	models := c.models(base, options, more)
	solve := choose.SolveWithin
	won := bestOf(models, solve)
	if won.model == nil {
		solve = choose.Solve
		won = bestOf(models, solve)
	}
	if gaps := c.forageGaps(); gaps != nil && won.model != nil {
		for i, m := range models {
			models[i] = m.holding("hours without forage (D-18)", gaps(m)...)
		}
		how := bestOf(models, solve)
		if how.model != nil && how.broken() == won.broken() && slices.Equal(how.untilEnergy(), won.untilEnergy()) {
			won = how
		}
	}
	d := slices.Clone(base)
	if won.model != nil {
		for i := range c.bucket {
			if at := won.model.place[i]; at >= 0 {
				d[i] = won.model.amount[i][won.answer.Choice[at]]
			}
		}
	}
	c.estimateAdLib(d)
	return d, won
}

// untilEnergy is the goals down to the energy outside the band.
func (a chosen) untilEnergy() []int64 {
	for k, g := range a.model.model.Goals {
		if g.Name == energyGoal {
			return a.answer.Values[:k+1]
		}
	}
	return nil
}

// forageGaps gives the rows that keep the hours from where the forage of a meal
// is eaten up to the next meal under the stop mark; nil where forage is there all
// day, the horse is out, or the meals' times are not known.
func (c *card) forageGaps() func(*modelled) []choose.Row {
	until := untilNext(c.meals)
	if until == nil || guard.OutAllDay(c.Horse) || slices.ContainsFunc(c.bucket, func(it item) bool { return it.class() == yard.Forage && (it.grazed || it.fed().adLib) }) {
		return nil
	}
	return func(m *modelled) []choose.Row {
		var rows []choose.Row
		for meal, minutes := range until {
			kg := (minutes - c.rules.Limits.GapStopHours*60) / guard.MinutesPerKgHay
			rows = append(rows, m.atLeast(m.atMeal(meal, only(yard.Forage, one)), max(0, kg)))
		}
		return rows
	}
}

// models are the models of a bucket. Whether hard feed is cut on days off hangs on
// how much there is (limits D-20), so both ways are tried where both may be.
func (c *card) models(base day, options [][]float64, more func(*modelled)) []*modelled {
	cuts := []bool{false, true}
	switch {
	case guard.Has(c.Horse.Diagnoses, yard.TyingUp):
		cuts = []bool{true}
	case c.allRest() || c.restDays() == 0:
		cuts = []bool{false}
	}
	var models []*modelled
	for _, cut := range cuts {
		m := c.newModel(base, options, cut)
		more(m)
		if len(cuts) > 1 {
			hard, mark := m.day(only(yard.HardFeed, one), intake{}), guard.RestCutKg(c.bodyKg, c.rules.Limits)
			if cut {
				m.limit("hard feed from which days off are cut (D-20)", m.atLeast(hard, mark))
			} else {
				m.limit("hard feed up to which days off are not cut (D-20)", m.atMost(hard, mark*(1-1e-7)))
			}
		}
		m.firm = len(m.model.Limits)
		if len(models) == 0 {
			m.limits()
		} else { // an ordinary day is the same, cut or not
			m.limitsOf(models[0])
		}
		m.stock()
		m.goals()
		models = append(models, m)
	}
	return models
}

// bestOf is the best answer there is to some models; without a model where there
// is none.
func bestOf(models []*modelled, solve func(choose.Model) (choose.Answer, error)) chosen {
	var won chosen
	for _, m := range models {
		a, err := solve(m.model)
		if err != nil || a.Choice == nil {
			continue
		}
		if this := (chosen{m, a}); won.model == nil || this.better(won) {
			won = this
		}
	}
	return won
}

// better says whether a choice beats another: keeping every limit, else every
// stop, then the goals in their order.
func (a chosen) better(b chosen) bool {
	if x, y := a.broken(), b.broken(); x != y {
		return x < y
	}
	return slices.Compare(a.answer.Values, b.answer.Values) < 0
}

// broken is 0 where every limit is kept, 1 where warn marks are passed, 2 for
// stop marks, 3 for what the choice itself rests on.
func (a chosen) broken() int {
	if a.answer.Clash == nil {
		return 0
	}
	worst := 1
	for _, i := range a.answer.Clash.Broken {
		switch {
		case i < a.model.firm:
			return 3
		case !a.model.weak[i]:
			worst = 2
		}
	}
	return worst
}

// sayClash says which limits no ration keeps together.
func (c *card) sayClash(how chosen) {
	if how.broken() == 0 {
		return
	}
	clash := how.answer.Clash
	limits := func(name string, is []int) yard.Arg {
		var names []string
		for _, i := range is {
			names = append(names, how.model.model.Limits[i].Name)
		}
		return yard.Names(name, yard.And, yard.Term, names)
	}
	kept, broken := limits("limits", clash.Limits), limits("broken", clash.Broken)
	says := yard.Say("part.clash.together", kept, broken)
	switch one := len(clash.Limits) <= 1; {
	case one && slices.Equal(clash.Limits, clash.Broken):
		says = yard.Say("part.clash.one", kept)
	case one:
		says = yard.Say("part.clash", kept, broken)
	}
	c.find("clash", yard.Warn, c.Horse.Cell, "", yard.Say("finding.clash", yard.Said("what", says)))
	if how.broken() >= 2 {
		c.Status = yard.Held
		c.HeldWhy = append(c.HeldWhy, yard.Say("why.clash", yard.Said("what", says)))
	}
}

// workedChoice records what was chosen, by which goals, and which of them decided.
func (c *card) workedChoice(what string, d day, how chosen) {
	if how.model == nil {
		return
	}
	a, m := how.answer, how.model
	var inputs []yard.Input
	for i, it := range c.bucket {
		if len(m.amount[i]) > 1 {
			inputs = append(inputs, in(it.feed.Feed.Name, d[i], "kg", fmt.Sprintf("one of %d amounts", len(m.amount[i]))))
		}
	}
	proven := "proven: no ration inside the limits has less, given the goals before it"
	if !a.Proven {
		proven = "the best found; the search was ended before it was proven"
	}
	units := map[string]string{"short of the climb": "shares of the largest amount", energyGoal: "kcal a week", "feed of unknown content taken away": "g a day", "nutrients short": "% of a need, added", "hard feed": "g a week", "feeds changed": "feeds", "feeds": "feeds",
		"cost": "hundredths a week", "energy off the need": "kcal a week"}
	decided := "two or more were equal by all of them: the least of the feed first by name"
	for k, g := range m.model.Goals {
		inputs = append(inputs, in(g.Name, float64(a.Values[k]), units[g.Name], proven))
		if k == a.Decided {
			decided = "after “" + g.Name + "” only this one was left"
		}
	}
	c.worked(what, "of all whole amounts inside the limits, the best by the goals in their order; "+decided, yard.Known(c.hardKg(d)), "kg of hard feed on a work day", "this program's rule", inputs...)
}

// mainHardFeed is the hard feed that is moved: the one fed most now, the first
// on the sheet where equal; -1 if the horse has none or its energy is unknown.
func (c *card) mainHardFeed() int {
	best := -1
	for i, it := range c.bucket {
		if !it.hard() || !it.feed.Composition.DE.IsKnown() || !it.feed.Composition.DM.IsKnown() {
			continue
		}
		if best < 0 || c.now[i] > c.now[best] {
			best = i
		}
	}
	return best
}

// raiseForage lifts weighed forage to a floor, % of body weight as dry matter,
// in quarter kilos of the first weighed forage that may be lifted. It does nothing
// where there is none, forage is ad lib or the dry matter is unknown.
func (c *card) raiseForage(d day, floorPct float64, may func(item) bool) bool {
	have, first := 0.0, -1
	for i, it := range c.bucket {
		if it.class() != yard.Forage {
			continue
		}
		if it.grazed {
			have += c.grassRangeKg().Low.Or(0)
			continue
		}
		if it.fed().adLib {
			return false
		}
		dm, ok := it.feed.DryMatter(yard.KgFed(d[i]))
		if !ok {
			return false
		}
		have += float64(dm)
		if first < 0 && may(it) {
			first = i
		}
	}
	short := floorPct/100*c.bodyKg - have
	if first < 0 || short <= 1e-9 {
		return false
	}
	short /= c.bucket[first].feed.Composition.DM.Or(1)
	d[first] = math.Ceil((d[first]+short)/hayUnitKg-1e-9) * hayUnitKg
	return true
}

// reportGap says how the week's energy stands to the need, where it is outside
// the band.
func (c *card) reportGap() {
	needMcal, supply := c.Energy.Need.Or(0), c.Energy.Supply.Or(0)
	if !c.Energy.Supply.IsKnown() || needMcal <= 0 {
		return
	}
	pct := (supply - needMcal) / needMcal * 100
	if math.Abs(pct) <= c.rules.EnergyBandPct {
		return
	}
	key := "finding.energy.over"
	if pct < 0 {
		key = "finding.energy.under"
	}
	args := []yard.Arg{yard.Fixed("pct", math.Abs(pct), yard.Percent, 0), yard.Fixed("supply", supply, yard.Mcal, 1), yard.Fixed("need", needMcal, yard.Mcal, 1)}
	switch off := -c.Energy.Change.Or(0); {
	case pct < 0 && c.mainHardFeed() < 0:
		key += ".no hard feed"
	case pct > 0 && off > 0:
		key += ".to slim"
		args = append(args, yard.Fixed("off", off, yard.Mcal, 1))
	}
	c.find("energy", yard.Note, yard.Cell{}, "NRC 2007; the band is this program's", yard.Say(key, args...))
}
