package ration

import (
	"cmp"
	"math"
	"slices"

	"hardfeed/ration/choose"
	"hardfeed/ration/guard"
	"hardfeed/ration/need"
	"hardfeed/ration/yard"
)

// cheaperPct is by how much a ration of equal worth has to cost less to be worth a line,
// and mostPriced how many horses, the dearest first, are looked at for it: ours.
const (
	cheaperPct = 10
	mostPriced = 3
)

// cheaperRation is a ration that costs less than a horse's card.
type cheaperRation struct {
	now, least float64 // money a week
	week       *horseWeek
	day        dailyKg
	dearest    closing // what is short and costs the most to make up; nothing where none has a price
}

// sayCheapest is the note on the horse whose feed could cost the most less for the same
// worth. again plans a horse once more. ok is false where no price is known or none could.
func sayCheapest(horses []yard.HorsePlan, used []map[string]weekTotal, room *feedRoom, again func(i int) *served) (f yard.Finding, ok bool) {
	type priced struct {
		i    int
		cost float64
	}
	var dearest []priced
	for i, hp := range horses {
		if cost, ok := costOf(used[i], room).Get(); ok && hp.Status == yard.Carded && !vetNamed(&hp.Horse) {
			dearest = append(dearest, priced{i, cost})
		}
	}
	slices.SortStableFunc(dearest, func(a, b priced) int { return cmp.Compare(b.cost, a.cost) })
	var best cheaperRation
	for _, h := range dearest[:min(mostPriced, len(dearest))] {
		if s := again(h.i); s != nil {
			if r, ok := s.cheaper(room); ok && r.now-r.least > best.now-best.least {
				best = r
				best.dearest = s.dearestToClose(horses[h.i].Nutrients, room)
			}
		}
	}
	if best.week == nil {
		return yard.Finding{}, false
	}
	var fed []yard.Saying
	for i, it := range best.week.dish.bucket {
		if best.day[i] > 0 && !it.grazed {
			fed = append(fed, yard.Say("part.kilos of", yard.Kg("kg", best.day[i]), yard.FeedArg("feed", it.feed.Feed.Name)))
		}
	}
	args := []yard.Arg{yard.Named("horse", yard.HorseName, best.week.facts.Horse.Name), yard.Fixed("now", best.now, yard.NoUnit, 2), yard.Fixed("least", best.least, yard.NoUnit, 2), yard.SayingList("feeds", yard.And, fed)}
	says := yard.Say("finding.cheaper", args...)
	if o := best.dearest; o.makes != nil {
		names := make([]string, len(o.makes))
		for i, n := range o.makes {
			names[i] = n.Name
		}
		says = yard.Say("finding.cheaper.short", append(args, yard.Names("nutrients", yard.And, yard.Term, names), yard.Fixed("cost", o.cost(), yard.NoUnit, 2),
			yard.Said("dose", yard.Say("part.brought in", yard.Fixed("g", o.kg*1000, yard.Grams, 0), yard.FeedArg("feed", o.it.feed.Feed.Name))))...)
	}
	return yard.Finding{Rule: "cheaper", Severity: yard.Note, Source: "prices of the workbook", Cell: best.week.facts.Horse.Cell, Saying: says}, true
}

// mostDoses is how many amounts of a supplement are tried in a cheaper ration: ours.
const mostDoses = 12

// dosesFrom are the amounts of salt or a supplement that may stand in for what a dearer feed
// held: what the card has, and steps up to the most that may be thought of.
func (c *chooser) dosesFrom(it item, base dailyKg) []float64 {
	unit, most := c.horse.dish.completingAmounts(it, base)
	i := slices.IndexFunc(c.horse.dish.bucket, func(o item) bool { return o.feed == it.feed })
	if it.lick() || it.startingPortion().unread {
		return nil
	}
	if it.class() == yard.Salt {
		most += base[i]
	}
	unit = max(unit, math.Ceil((most-base[i])/mostDoses/gramKg)*gramKg)
	doses := []float64{base[i]}
	for kg := base[i] + unit; !above(kg, most); kg += unit {
		doses = append(doses, kg)
	}
	return doses
}

// dearestToClose is what costs the most of the feeds that would make up what is short.
func (s *served) dearestToClose(lines []yard.Nutrient, room *feedRoom) (dearest closing) {
	for _, o := range s.whatCloses(lines, room) {
		if o.cost() > dearest.cost() {
			dearest = o
		}
	}
	return dearest
}

// cost is what a week of it costs, 0 where it has no price.
func (o closing) cost() float64 {
	if o.it.feed == nil {
		return 0
	}
	price, known := priceOf(o.it)
	if !known {
		return 0
	}
	return 7 * o.kg * price
}

// costOf is what a horse's week of feed costs; unknown where a price is.
func costOf(used map[string]weekTotal, room *feedRoom) yard.Num {
	sum := 0.0
	for _, k := range room.order {
		if kg := used[k].kg; kg > 0 && !room.feeds[k].Grazed {
			price, ok := priceOf(item{feed: room.feeds[k]})
			if !ok || used[k].estimated {
				return yard.Num{}
			}
			sum += kg * price
		}
	}
	return yard.Known(sum)
}

// priceOf is what a kilo of a feed costs.
func priceOf(it item) (perKg float64, known bool) {
	price, ok1 := it.feed.Feed.PackPrice.Get()
	pack, ok2 := it.feed.Feed.PackKg.Get()
	return price / max(pack, neverZero), ok1 && ok2 && pack > 0
}

// withPriced is the horse with every priced feed of the room that may take part in a
// cheaper ration, and its card; ok is false where something it is fed has no price, or is
// eaten ad lib.
func (s *served) withPriced(room *feedRoom) (c *horseWeek, base dailyKg, ok bool) {
	c = &horseWeek{facts: s.facts, dish: s.dish, fed: s.rising.fed}
	c.dish.bucket, c.fed.day = slices.Clone(c.dish.bucket), slices.Clone(c.fed.day)
	base = slices.Clone(s.final)
	for i, it := range c.dish.bucket {
		if _, priced := priceOf(it); it.startingPortion().adLib && !it.lick() || !it.grazed && base[i] > 0 && !priced {
			return nil, nil, false
		}
	}
	for _, k := range room.order {
		it := item{feed: room.feeds[k], cell: room.feeds[k].Feed.Cell, offered: true}
		if _, priced := priceOf(it); (it.hard() && it.energyKnown() || it.completes()) && priced && it.inStock(c.facts.week) && !c.dish.comparesLess(it) && !slices.ContainsFunc(c.dish.bucket, func(o item) bool { return o.feed == it.feed }) {
			c.dish.bucket, c.fed.day, base = append(c.dish.bucket, it), append(c.fed.day, 0), append(base, 0)
		}
	}
	roomAtMeals(&c.dish)
	return c, base, true
}

// cheaperOptions are the amounts a cheaper ration chooses from: no less of the main forage
// than the card has, and all else that is no hard feed and no supplement as it is.
func (c *chooser) cheaperOptions(base dailyKg) [][]float64 {
	options, main := c.options(base), c.horse.dish.bucket.mainForage()
	for i, it := range c.horse.dish.bucket {
		switch {
		case it.completes() && !it.hard():
			options[i] = c.dosesFrom(it, base)
		case !it.hard() && i != main:
			options[i] = nil
		case options[i] != nil:
			options[i] = tidy(append(slices.DeleteFunc(slices.Clone(options[i]), func(kg float64) bool { return i == main && below(kg, base[i]) }), base[i]))
		}
	}
	return options
}

// cheaper is the cheapest ration of the horse's forage and the room's hard feeds, salt and
// supplements inside all
// limits that has the energy of its card, within the band, as much forage, and no less of
// what is known of each nutrient or all that is needed of it.
func (s *served) cheaper(room *feedRoom) (r cheaperRation, ok bool) {
	c, base, ok := s.withPriced(room)
	if !ok {
		return r, false
	}
	options := c.chooser().cheaperOptions(base)
	m := c.chooser().newModel(base, options, c.dish.restCut(base))
	week := c.dish.inSevenDays(base)
	total := func(of func(yard.Composition) yard.Num) (sum float64) {
		for i := range c.dish.bucket {
			sum += inDM(of)(&c.dish.bucket[i]) * week[i]
		}
		return sum
	}
	band, energy := c.facts.rules.EnergyBandPct/100, total(energyIn)
	m.limit(energyLimit, m.row(m.inWeek(inDM(energyIn)), energy*(1-band), energy*(1+band)))
	for _, n := range need.Nutrients() {
		asked := n.Of(c.facts.WorkClass, c.facts.Horse.Keeper, c.facts.bodyKg, c.facts.sweatKg)
		m.limit(n.Name, m.atLeast(m.inWeek(inDM(n.Content)), min(total(n.Content), asked*7)))
	}
	m.firstSoft = len(m.model.Limits)
	m.limits()
	m.stock()
	perKg := func(it *item) float64 { price, _ := priceOf(*it); return price }
	m.model.Goals = []choose.Goal{{Name: "cost", Sum: m.whole(m.inWeekKg(perKg), 100)}}
	a, err := choose.SolveWithin(m.model)
	if err != nil || a.Choice == nil || a.Clash != nil {
		return r, false
	}
	r = cheaperRation{week: c, day: base}
	for i := range c.dish.bucket {
		price := perKg(&c.dish.bucket[i])
		at := m.feedIndex[i]
		if at < 0 {
			continue
		}
		r.now += week[i] * price
		r.day[i] = m.amount[i][a.Choice[at]]
		r.least += m.week[i][a.Choice[at]] * price
	}
	if guard.Stops(guard.Check(c.facts.Horse.Name, c.dish.evaluate(r.day, c.dish.sharing.keepsMealPattern), c.facts.rules.Limits)) || math.IsNaN(r.least) {
		return r, false
	}
	return r, below(r.least, r.now*(1-cheaperPct/100.0))
}
