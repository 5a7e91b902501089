package ration

import (
	"reflect"
	"slices"

	"hardfeed/ration/choose"
	"hardfeed/ration/need"
	"hardfeed/ration/work"
	"hardfeed/ration/yard"
)

// outlook is the weeks to come, as far as work is written down for them and the
// rise looks.
type outlook []outlookWeek

type outlookWeek struct {
	horse  *horseWeek
	target dailyKg // what the week's work asks for of a horse fed as now
}

// mostLookedAt is how many weeks the rise looks ahead. In that time the weekly
// step leads from no hard feed to the most there may be (limits D-01, D-13).
const mostLookedAt = 8

// demandOfComingWeeks chooses what the work of each week to come asks for; known are those
// already looked at. A week nobody wrote down, between others, counts as like
// the one before it.
func demandOfComingWeeks(c *horseWeek, base dailyKg, known outlook) outlook {
	o, l := known, c
	if len(o) > 0 {
		l = o[len(o)-1].horse
	}
	for len(l.facts.Horse.Later) > 0 && len(o) < mostLookedAt {
		l = l.nextWeek()
		x := outlookWeek{horse: l}
		// The work of the week before counts too: more work than then takes no energy away.
		if k := slices.IndexFunc(o, func(y outlookWeek) bool {
			return reflect.DeepEqual(y.horse.facts.Horse.Work, l.facts.Horse.Work) && reflect.DeepEqual(y.horse.facts.Horse.Before, l.facts.Horse.Before)
		}); k >= 0 {
			x.target = o[k].target
		} else {
			x.target, _ = l.chooser().best(base, l.chooser().options(base), func(*formulation) {})
		}
		o = append(o, x)
	}
	return o
}

// nextWeek is the horse a week on with the work written down for it, else with the
// same work again; everything else is as now.
func (c *horseWeek) nextWeek() *horseWeek {
	l, of := *c, *c.facts
	l.facts, l.dish.facts = &of, &of
	l.facts.week.Beginning = c.facts.week.Beginning.AddDate(0, 0, 7)
	h := &l.facts.Horse
	h.Before, h.BeforeGiven, h.GrassBefore = h.Work, h.WorkGiven, h.GrassHours
	if later := h.Later; len(later) > 0 && !later[0].Beginning.After(l.facts.week.Beginning) {
		h.Work, h.WorkGiven, h.Later = later[0].Work, true, later[1:]
	}
	l.dish.bucket = slices.Clone(c.dish.bucket)
	l.otherChanges = nil
	l.facts.WorkClass, l.facts.WorkMinutes = work.WeekClass(h.Work)
	l.facts.needs = needsOf(l.facts, nil)
	return &l
}

// weekAfter is the next week of a horse that is fed what a card says. ahead are the
// weeks to come that were looked at for this one; those that still hold are given
// back: fed alike, it would ask for the same.
func (c *horseWeek) weekAfter(fed dailyKg, ahead outlook) (*horseWeek, outlook) {
	n := c.nextWeek()
	for i := range n.dish.bucket {
		it := &n.dish.bucket[i]
		it.chosenKg, it.mayComeIn = 0, false
		if it.hard() {
			it.planned = portion{} // hers was for the one week
		}
		if it.grazed || it.now.adLib || it.now.unread || !it.now.given && fed[i] == 0 {
			continue
		}
		now := portion{given: true, kg: fed[i]}
		if it.now.perMeal != nil {
			now.perMeal = c.dish.sharing.mealsOf(*it, fed[i], it.pattern(c.dish.sharing.keepsMealPattern))
		}
		it.now = now
	}
	roomAtMeals(&n.dish)
	n.readNow(nil)
	if len(ahead) > 0 && slices.EqualFunc(n.dish.bucket, c.dish.bucket, func(x, y item) bool { return reflect.DeepEqual(x.now, y.now) }) {
		return n, slices.Clip(ahead[1:])
	}
	return n, nil
}

// climb is this week's target raised so that the weeks to come reach what their
// work asks for inside the step. Steps are counted in whole quarter measures of the
// feed that is moved where those fit in the step, and a hard feed that comes in
// with more work comes in the week before, because a new one is not given in full
// at once (limits D-04). Other goals stay as they are: as hard feed goes up hay
// gives way.
func (c *chooser) climb(ahead outlook, base, target dailyKg, how chosen, options [][]float64) (dailyKg, chosen) {
	leastKg := 0.0
	for _, w := range slices.Backward(ahead) {
		leastKg = max(leastKg, c.horse.dish.bucket.hardKg(w.target)) - w.horse.rising().stepKg()
	}
	var new []int
	if len(ahead) > 0 {
		next := ahead[0].target
		for i, it := range c.horse.dish.bucket {
			if it.hard() && target[i] == 0 && next[i] > 0 && c.horse.dish.bucket.hardKg(next) > c.horse.dish.bucket.hardKg(target) {
				new = append(new, i)
			}
		}
	}
	if !above(leastKg, c.horse.dish.bucket.hardKg(target)) && new == nil {
		return target, how
	}
	lifted, by := c.best(base, options, func(m *formulation) {
		m.climb = []choose.Row{m.hardAtLeast(leastKg)}
		for _, i := range new {
			m.climb = append(m.climb, m.atLeast(m.singleItem(i, m.amount[i]), options[i][1]))
		}
	})
	if by.model == nil {
		return target, how
	}
	return lifted, by
}

// mostWeeks is how far a path is followed.
const mostWeeks = 60

// way is the path from this week's card to the target.
type way struct {
	targetKg float64 // hard feed it leads to
	step     yard.Step
}

// projectPath follows the horse from this week's card through the weeks to come: each
// is planned from the card before it as this one was, with the work written down
// for it or as much again, and where work outruns the feed that is said. A
// proposal's path ends where a card is its own target. The target is chosen afresh
// each week, since what is changed is counted from what is fed then; so the end
// may be another than this week's target.
func projectPath(c *horseWeek, final dailyKg, d decided, room *feedRoom, say *log) way {
	w := way{targetKg: d.targetKg, step: d.step}
	path, at, target, ahead := []float64{c.dish.bucket.hardKg(final)}, final, d.target, d.ahead
	proposed := target != nil && c.fed.known
	x := c
	for len(path) < mostWeeks {
		written := len(x.facts.Horse.Later) > 0
		if !written && (!proposed || same(at, target)) {
			break
		}
		later := len(x.facts.Horse.Later)
		var p proposal
		x, ahead = x.weekAfter(at, ahead)
		x, p = completed(x, room, x.chooser().choice(ahead))
		if !written && same(p.card, at) { // no whole amount inside the step leads further
			break
		}
		at, target, ahead = p.card, p.target, p.ahead
		path = append(path, x.dish.bucket.hardKg(at))
		if written {
			w.step.Ahead = append(w.step.Ahead, weekAhead(c, len(path)-1, x, p, len(x.facts.Horse.Later) < later, say))
		}
	}
	if proposed {
		w.targetKg = x.dish.bucket.hardKg(target)
		w.step.PathKg, w.step.WeeksToTarget = path, yard.Known(float64(len(path)))
		if !alike(path[len(path)-1], w.targetKg) {
			w.step.WeeksToTarget = yard.Num{}
		}
	}
	return w
}

// weekAhead is a week to come, and says what it lacks; planned: somebody wrote its
// work down.
func weekAhead(c *horseWeek, n int, l *horseWeek, p proposal, planned bool, say *log) yard.WeekAhead {
	a := yard.WeekAhead{Beginning: l.facts.week.Beginning, Planned: planned, AtLeast: l.facts.WorkAtLeast, NeedMcal: l.facts.Energy.Need.Or(0), TargetKg: p.askedKg, CardKg: l.dish.bucket.hardKg(p.card)}
	supply, known := l.dish.meanSupply(p.card)
	if known {
		a.SupplyMcal = yard.Known(supply)
		if supply < a.NeedMcal*(1-c.facts.rules.EnergyBandPct/100)-shortMcal {
			a.ShortMcal = a.NeedMcal - supply
			a.WeightKg = a.ShortMcal * 7 / need.McalPerKgChange
		}
	}
	if a.ShortMcal == 0 || !planned {
		return a
	}
	week := yard.Said("week", yard.Say("part.ahead.week", yard.Count("n", n+1), yard.Arg{Name: "beginning", Value: yard.Date{Date: l.facts.week.Beginning, Year: true}}, yard.Fixed("need", a.NeedMcal, yard.Mcal, 1)))
	cost := yard.Said("cost", yard.Say("part.ahead.cost", yard.Fixed("short", a.ShortMcal, yard.Mcal, 1), yard.Fixed("weight", a.WeightKg, yard.Kilograms, 1)))
	says := yard.Say("finding.ahead.no ration", week, cost)
	switch behind := p.askedKg - a.CardKg; {
	case p.never != nil:
		says = yard.Say("finding.ahead.never raised", week, cost)
	case behind > printedKg:
		weeks := unitsFor(behind, max(l.rising().stepKg(), neverZero))
		key := "finding.ahead"
		if weeks == 1 {
			key = "finding.ahead.one"
		}
		says = yard.Say(key, week, yard.Kg("card", a.CardKg), yard.Kg("asked", p.askedKg), cost, yard.Fixed("weeks", weeks, yard.Weeks, 0))
	}
	say.find("ahead", yard.Warn, c.facts.Horse.Cell, "20 Mcal a kg of body weight, read backwards (requirements §9)", says)
	return a
}

// taper is the day a large fall begins with: each hard feed that goes down is cut
// at once as on a day off, to half, and the rest comes off from the next week
// on, so that coming off much hard feed is spread over about two weeks (limits
// RC-13; large is a fall over the weekly stop limit, which is ours). It is nil
// where the fall is not large, where a vet has named a condition, and where half
// would pass a mark that the target keeps, but for a warning limit that what is fed now
// passes too; and where more forage is to take its place than one week may bring.
func (c *chooser) taper(from, target, ends dailyKg, options [][]float64) dailyKg {
	if !above(c.horse.dish.bucket.hardKg(from)-c.horse.dish.bucket.hardKg(target), c.horse.facts.marks.WeekStopKg) || vetNamed(&c.horse.facts.Horse) || c.horse.rising().bringsIn(from, target) {
		return nil
	}
	if main := c.horse.dish.bucket.mainForage(); main >= 0 && above(target[main], ends[main]) {
		return nil
	}
	d := slices.Clone(target)
	for i, it := range c.horse.dish.bucket {
		if it.hard() && from[i] > target[i] && len(options[i]) > 1 { // one that is forbidden has no other amount
			d[i] = max(target[i], c.horse.facts.cutToHalf(it, from[i]))
		}
	}
	c.horse.dish.estimateAdLib(d)
	if !above(c.horse.dish.bucket.hardKg(d), c.horse.dish.bucket.hardKg(target)) {
		return nil
	}
	atTarget, now := c.horse.dish.marksPassed(target), c.horse.dish.marksPassed(from)
	for rule, severity := range c.horse.dish.marksPassed(d) {
		if severity > atTarget[rule] && (severity > yard.Warn || now[rule] < yard.Warn) {
			return nil
		}
	}
	return d
}
