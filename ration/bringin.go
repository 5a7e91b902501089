package ration

import (
	"math"
	"slices"

	"hardfeed/ration/choose"
	"hardfeed/ration/guard"
	"hardfeed/ration/need"
	"hardfeed/ration/yard"
)

// completed is a proposal in which balancer, salt or supplements of the room come in where
// the ration is short of what they hold (design §5.6). The chooser decides it: the horse's
// week is chosen again with them among the feeds, and it stays as it was where they make up
// nothing or pass a mark that was kept.
func completed(c *horseWeek, room *feedRoom, p proposal) (*horseWeek, proposal) {
	if !mayBringIn(c, p) {
		return c, p
	}
	short := c.chooser().shortIn(p.target)
	if len(short) == 0 {
		return c, p
	}
	with := offerCompleting(c, room, short, p)
	if with == nil {
		return c, p
	}
	more := make([]float64, len(with.horse.dish.bucket)-len(c.dish.bucket))
	var ahead outlook
	for _, w := range p.ahead {
		h := *w.horse
		h.dish.bucket, h.fed.day = append(slices.Clone(h.dish.bucket), with.horse.dish.bucket[len(c.dish.bucket):]...), append(slices.Clone(h.fed.day), more...)
		ahead = append(ahead, outlookWeek{&h, append(slices.Clone(w.target), more...)})
	}
	q := with.choice(ahead)
	left, less := with.shortIn(q.target), 0.0
	for name, was := range short {
		by := was - left[name]
		if less += by; by > 0 {
			q.madeUp = append(q.madeUp, name)
		}
	}
	if q.how.broken() > p.how.broken() || less*100 < c.facts.rules.EnergyBandPct || with.horse.dish.passesMore(q.target, c.dish.marksPassed(p.target)) {
		return c, p
	}
	slices.Sort(q.madeUp)
	return with.horse, q
}

// mayBringIn says whether a horse may have a feed of its own accord that it is not fed now:
// not where what is fed is not known or is kept, where a vet's word is not understood or
// allows one change at a time (limits D-08), where its work is not known, not where it
// leaves what it gets, and not where no ration keeps every top limit.
func mayBringIn(c *horseWeek, p proposal) bool {
	return c.fed.known && p.kept == nil && p.how.model != nil && p.how.broken() < 2 && unknownNamed(&c.facts.Horse) == nil && !guard.Has(c.facts.Horse.Diagnoses, yard.PastColic) && !c.facts.WorkAtLeast && !c.facts.Horse.OffFeed
}

// shortIn are the nutrients of which a week on an ordinary day's ration is short, even where
// every feed holds the most that it may, each with the share of the need that is missing.
func (c *chooser) shortIn(d dailyKg) map[string]float64 {
	short := map[string]float64{}
	week := c.horse.dish.inSevenDays(d)
	for _, n := range need.Nutrients() {
		needed := n.Of(c.horse.facts.WorkClass, c.horse.facts.Horse.Keeper, c.horse.facts.bodyKg, c.horse.facts.sweatKg)
		ends := c.horse.dish.ofNutrient(c.knownIn(week, n), n, yard.Known(needed)).ends
		if needed > 0 && c.horse.facts.isShort(yard.Nutrient{Need: yard.Known(needed), Between: ends}) {
			short[n.Name] = 1 - ends.High.Or(0)/needed
		}
	}
	return short
}

// knownIn is a week without the feeds that may come in of which nobody knows what they hold
// of a nutrient: they make nothing up, and hide nothing.
func (c *chooser) knownIn(week []float64, n need.Nutrient) []float64 {
	if !c.completes {
		return week
	}
	known := slices.Clone(week)
	for i, it := range c.horse.dish.bucket {
		if it.mayComeIn && !it.feed.Contains(1, n.Content(it.feed.Composition)).IsKnown() {
			known[i] = 0
		}
	}
	return known
}

// offerCompleting chooses for the horse with the feeds among its own that may come in or
// rise; nil where none holds what is short.
func offerCompleting(c *horseWeek, room *feedRoom, short map[string]float64, p proposal) *chooser {
	with := *c
	by := &chooser{horse: &with, completes: true}
	// Hay that came up for hard feed does not go down again for a balancer.
	if main := c.dish.bucket.mainForage(); main >= 0 && slices.ContainsFunc(c.dish.bucket, func(it item) bool { return it.hard() && !it.balancer() }) {
		by.mainKg = p.target[main]
	}
	with.dish.bucket, with.fed.day = slices.Clone(c.dish.bucket), slices.Clone(c.fed.day)
	to := completing{horse: c, short: short, kept: c.dish.marksPassed(p.target), hardFeed: p.never == nil && !vetNamed(&c.facts.Horse) && !movesHardFeed(c, p)}
	some, salted := false, false
	for i := range with.dish.bucket {
		it := &with.dish.bucket[i]
		pinch := slices.Clone(p.target)
		pinch[i] += gramKg
		it.mayComeIn = to.mayComeIn(*it, &c.dish, pinch)
		some, salted = some || it.mayComeIn, salted || it.class() == yard.Salt && !it.lick()
	}
	for _, k := range room.order {
		it := item{feed: room.feeds[k], cell: room.feeds[k].Feed.Cell, mayComeIn: true}
		if it.class() == yard.Salt && salted || slices.ContainsFunc(c.dish.bucket, func(o item) bool { return o.feed == it.feed }) {
			continue
		}
		if !to.completes(it) { // most of a room's feeds: before they are put in the bucket
			continue
		}
		alone := c.dish
		alone.bucket = append(slices.Clone(c.dish.bucket), it)
		if to.mayComeIn(it, &alone, append(slices.Clone(p.target), gramKg)) {
			with.dish.bucket, with.fed.day, some = append(with.dish.bucket, it), append(with.fed.day, 0), true
		}
	}
	if !some {
		return nil
	}
	roomAtMeals(&with.dish)
	return by
}

// completing is what a feed that comes in has to make up, and what it may not change.
type completing struct {
	horse    *horseWeek
	short    map[string]float64
	kept     map[yard.RuleID]yard.Severity // the marks that the target passes as it is
	hardFeed bool                          // one may come in
}

// completes says whether a feed is one that is fed for what it holds, holds something that is
// short, and has an amount that may be moved.
func (c completing) completes(it item) bool {
	return it.completes() && !it.planned.given && !it.now.unread && !it.now.adLib && slices.ContainsFunc(need.Nutrients(), func(n need.Nutrient) bool {
		return c.short[n.Name] > 0 && it.feed.Contains(1, n.Content(it.feed.Composition)).Or(0) > 0
	})
}

// mayComeIn says whether a feed may, or more of it; beside is the dish with it, and target
// a day with a pinch of it.
func (c completing) mayComeIn(it item, beside *dish, target dailyKg) bool {
	switch {
	case !c.completes(it):
		return false
	case it.now.kg > 0: // more of what is fed already; salt is moved as it is
		return it.class() != yard.Salt
	case it.hard() && !(c.hardFeed && it.energyKnown()):
		return false
	}
	h := c.horse
	return it.inStock(h.facts.week) && !h.dish.comparesLess(it) && !hides(h, it, c.short) && !h.facts.sugary(it) && !beside.passesMore(target, c.kept)
}

// movesHardFeed says whether a proposal moves any hard feed: a balancer comes in in a week
// in which no other does, one change at a time (ours).
func movesHardFeed(c *horseWeek, p proposal) bool {
	return slices.ContainsFunc(c.dish.bucket.hardFeeds(), func(i int) bool { return changed(p.target[i], c.fed.day[i]) || changed(p.card[i], c.fed.day[i]) })
}

// gramKg is a pinch of a feed: what passes a mark by that does so by what it is.
const gramKg = 0.001

// completes says whether a feed is fed for what it holds, not for its energy.
func (it item) completes() bool {
	return !it.feed.Lick && (it.balancer() || it.class() == yard.Supplement || it.class() == yard.Salt)
}

// inStock says whether there is some of a feed in the room, as far as is written down, and
// it keeps.
func (it item) inStock(week yard.Week) bool {
	f := it.feed.Feed
	return f.StockPacks.Or(1) > 0 && (f.BestBefore.IsZero() || week.Beginning.IsZero() || !f.BestBefore.Before(week.Beginning))
}

// comparesLess says whether a limit could not be compared any more with some of a feed.
func (c *dish) comparesLess(it item) bool {
	asked := c.ofHorse()
	for _, n := range guard.Limits() {
		if n.Needs == nil || n.Needs(it.feed) || slices.ContainsFunc(c.bucket, func(o item) bool { return !n.Needs(o.feed) }) {
			continue
		}
		for _, sev := range []yard.Severity{yard.Stop, yard.Warn} {
			if _, ok := n.Mark(sev, asked, c.facts.rules.Limits); ok {
				return true
			}
		}
	}
	return false
}

// hides says whether nobody could tell any more, with some of a feed, that a nutrient is
// short: its label says nothing of it, nor does its kind.
func hides(c *horseWeek, it item, short map[string]float64) bool {
	unit, _ := c.dish.completingAmounts(it, c.fed.day)
	return slices.ContainsFunc(need.Nutrients(), func(n need.Nutrient) bool {
		if short[n.Name] == 0 || it.feed.Contains(1, n.Content(it.feed.Composition)).IsKnown() || it.feed.Between(1, n.Content).High.IsKnown() {
			return false
		}
		needed := n.Of(c.facts.WorkClass, c.facts.Horse.Keeper, c.facts.bodyKg, c.facts.sweatKg)
		return it.feed.AtMost(yard.KgFed(unit), n.Content).Or(math.Inf(1)) > needed*consequencePct/100
	})
}

// sugary says whether a feed is not one for a horse that is to have little starch and
// sugar, or may not be: of a supplement the limits of the bucket ask nothing (ours).
func (c *facts) sugary(it item) bool {
	x := it.feed.Composition
	starch, ok1 := x.Starch.Get()
	sugar, ok2 := x.Sugar.Get()
	return guard.SugarMarks(c.Horse.Diagnoses) && !(ok1 && ok2 && (starch+sugar)*x.DM.Or(1)/10 <= c.rules.Limits.InsulinBucketPct)
}

// passesMore says whether a day passes a mark that is not among those passed, or worse.
func (c *dish) passesMore(d dailyKg, passed map[yard.RuleID]yard.Severity) bool {
	for rule, severity := range c.marksPassed(d) {
		if severity > passed[rule] {
			return true
		}
	}
	return false
}

// completingOptions are the amounts of a feed that may come in, or more of it than now; the
// least is what it gets now.
func (c *chooser) completingOptions(it item) []float64 {
	unit, most := c.horse.dish.completingAmounts(it, c.horse.fed.day)
	switch {
	case it.quarterKg() > 0:
		unit = it.quarterKg()
	case it.class() == yard.Salt:
		unit = supplementUnitKg
	}
	most = min(most, c.untoldKg(it))
	return slices.DeleteFunc(amounts(unit, most, it.now), func(kg float64) bool { return below(kg, it.now.kg) })
}

// untoldKg is the most of a feed that may come in without hiding the horse's energy: of
// those whose energy is not known all together stay of no consequence, each with the same
// share of it, so that hard feed is raised beside them as before.
func (c *chooser) untoldKg(it item) float64 {
	if it.energyTold() {
		return math.Inf(1)
	}
	spare, sharing := c.horse.facts.Energy.Need.Or(0)*consequencePct/100, 0.0
	for _, o := range c.horse.dish.bucket {
		if o.energyTold() {
			continue
		}
		spare -= o.mostMcal(o.now.kg)
		if o.mayComeIn {
			sharing++
		}
	}
	return it.now.kg + max(0, spare)/max(sharing, 1)/it.mostMcal(1)
}

// broughtIn counts what comes in, g a day: the least that makes up what is short.
func broughtIn(m *formulation) (choose.Goal, bool) {
	in, some := m.perChoice(func(i int, it item, kg float64) float64 {
		if !m.mayBring(it) {
			return 0
		}
		return max(0, kg-it.now.kg) * 1000
	})
	return choose.Goal{Sum: m.whole(in, 1)}, some
}

// sayBroughtIn says which feeds came in, or more of them, for which of the nutrients that
// were short, and how to begin with them: with a quarter, common practice, no source.
func sayBroughtIn(c *dish, p proposal, say *log) {
	var in []yard.Saying
	key, made := "finding.brought-in.more", map[string]bool{}
	for i, it := range c.bucket {
		if !it.mayComeIn || !changed(p.target[i], it.now.kg) {
			continue
		}
		if it.now.kg == 0 {
			key = "finding.brought-in"
		}
		for _, n := range need.Nutrients() { // the rest was chosen again, and may have made up others
			needed := n.Of(c.facts.WorkClass, c.facts.Horse.Keeper, c.facts.bodyKg, c.facts.sweatKg)
			brings := it.feed.Contains(yard.KgFed(p.target[i]-it.now.kg), n.Content(it.feed.Composition)).Or(0)
			made[n.Name] = made[n.Name] || above(brings, needed*consequencePct/100)
		}
		in = append(in, yard.Say("part.brought in", yard.Fixed("g", p.target[i]*1000, yard.Grams, 0), yard.FeedArg("feed", it.feed.Feed.Name)))
	}
	names := slices.DeleteFunc(slices.Clone(p.madeUp), func(name string) bool { return !made[name] })
	if len(names) == 0 {
		names = p.madeUp
	}
	if in != nil {
		say.find("brought-in", yard.Note, c.facts.Horse.Cell, "NRC 2007",
			yard.Say(key, yard.SayingList("feeds", yard.And, in), yard.Names("nutrients", yard.And, yard.Term, names)))
	}
}
