package ration

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"hardfeed/ration/choose"
	"hardfeed/ration/guard"
	"hardfeed/ration/need"
	"hardfeed/ration/work"
	"hardfeed/ration/yard"
)

// outlook is the weeks to come, as far as work is written down for them.
type outlook struct {
	weeks []outlookWeek
	// blocked: hard feed is not raised for this horse by this program.
	blocked bool
}

type outlookWeek struct {
	card    *card
	options [][]float64
	target  day     // what the week's work asks for, and the climb to later weeks' work
	askedKg float64 // hard feed its own work asks for
	planned bool
}

// inWeek is the horse n weeks on, with that week's work (given: somebody wrote it
// down), everything else as now.
func (c *card) inWeek(n int, days [7]yard.Day, given bool) *card {
	l := *c
	l.HorsePlan = yard.HorsePlan{Horse: c.Horse, Status: yard.Carded, WeightKg: c.WeightKg, WeightBasis: c.WeightBasis}
	l.Horse.Before, l.Horse.BeforeGiven = c.Horse.Work, c.Horse.WorkGiven
	l.Horse.Work, l.Horse.WorkGiven = days, given
	l.Horse.GrassBefore = c.Horse.GrassHours
	l.rules.Workings = false
	l.week.Beginning = c.week.Beginning.AddDate(0, 0, 7*n)
	l.bucket = slices.Clone(c.bucket)
	l.noRise, l.red = nil, nil
	l.WorkClass, l.WorkMinutes = work.WeekClass(days)
	l.energyNeed()
	l.sweatAndWater()
	return &l
}

// lookAhead chooses what the work of each week to come asks for. A week nobody
// wrote down, between others, is taken to be like the one before it.
func (c *card) lookAhead(base day, blocked bool) outlook {
	o := outlook{blocked: blocked}
	if len(c.Horse.Later) == 0 || c.week.Beginning.IsZero() {
		return o
	}
	days := c.Horse.Work
	for _, w := range c.Horse.Later {
		n := int(math.Round(w.Beginning.Sub(c.week.Beginning).Hours() / 24 / 7))
		for len(o.weeks) < min(n, yard.MostWeeksAhead) {
			planned := len(o.weeks) == n-1
			if planned {
				days = w.Work
			}
			l := c.inWeek(len(o.weeks)+1, days, true)
			x := outlookWeek{card: l, options: l.options(base), planned: planned}
			x.target, _ = l.best(base, x.options, func(m *modelled) { m.hold(blocked, base) })
			x.askedKg = l.hardKg(x.target)
			o.weeks = append(o.weeks, x)
		}
	}
	return o
}

// climb is this week's target raised so that the weeks to come reach what their
// work asks for inside the step; each of theirs is raised likewise. Steps are
// counted in whole quarter measures of the feed that is moved where those fit in
// the step, and a hard feed that comes in with more work comes in the week before,
// because a new one is not given in full at once (limits D-04). Other goals stay
// as they are: as hard feed goes up hay gives way.
func (o outlook) climb(c *card, base, target day, how chosen, options [][]float64) (day, chosen) {
	if o.blocked || len(o.weeks) == 0 {
		return target, how
	}
	lift := func(c *card, target day, how chosen, options [][]float64, leastKg float64, asked day) (day, chosen) {
		var new []int
		for i, it := range c.bucket {
			if it.hard() && target[i] == 0 && asked[i] > 0 && c.hardKg(asked) > c.hardKg(target) {
				new = append(new, i)
			}
		}
		if leastKg <= c.hardKg(target)+1e-9 && new == nil {
			return target, how
		}
		lifted, by := c.best(base, options, func(m *modelled) {
			m.climb = []choose.Row{m.hardAtLeast(leastKg)}
			for _, i := range new {
				m.climb = append(m.climb, m.atLeast(m.alone(i, m.amount[i]), options[i][1]))
			}
		})
		if by.model == nil {
			return target, how
		}
		return lifted, by
	}
	least := 0.0
	asked := o.weeks[len(o.weeks)-1].target
	for k := len(o.weeks) - 1; k >= 0; k-- {
		w := &o.weeks[k]
		own := w.target
		w.target, _ = lift(w.card, own, chosen{}, w.options, least, asked)
		least, asked = w.card.hardKg(w.target)-w.card.stepKg(), own
	}
	lifted, how := lift(c, target, how, options, least, asked)
	if more := c.hardKg(lifted) - c.hardKg(target); more > 1e-9 {
		c.find("climb", yard.Note, c.Horse.Cell, "CO-11 has feed follow work; the climb is this program's", "hard feed goes %.2f kg a day over what this week's work asks for, so that the climb to the work of the weeks to come starts early enough; hay gives way to it", more)
	}
	return lifted, how
}

// stepKg is how far hard feed climbs in a week inside the warn marks, in whole
// quarter measures where those fit.
func (c *card) stepKg() float64 {
	room := min(c.marks.WeekWarnKg, float64(len(c.fedDays()))*c.marks.DayWarnKg)
	if i := c.mainHardFeed(); i >= 0 {
		if q := c.bucket[i].quarterKg(); q > 0 && q <= room {
			return math.Floor(room/q+1e-9) * q
		}
	}
	return room
}

// lookOn follows the work written down for the weeks to come from this week's
// card, and says where it outruns the feed. The path of a proposal is then the
// one through those weeks.
func (c *card) lookOn() {
	o := c.outlook
	if len(c.Horse.Later) == 0 {
		return
	}
	if o.weeks == nil { // hard feed is planned by hand
		base := c.asWritten()
		o = c.lookAhead(base, c.neverRaise(c.options(base)) != nil)
	}
	if len(o.weeks) == 0 {
		return
	}
	at, path := c.final, []float64{c.hardKg(c.final)}
	for k, w := range o.weeks {
		at, _ = w.card.weekOn(at, w.target, w.options, w.card.roomTo(at, w.target), w.card.hardKg(w.target) > w.askedKg+1e-9)
		w.card.estimateAdLib(at)
		path = append(path, c.hardKg(at))
		c.sayAhead(k+1, w, at, o.blocked)
	}
	if c.hardFeedPlanned() || c.Status != yard.Carded || !c.HardFeed.Now.IsKnown() {
		return
	}
	last := o.weeks[len(o.weeks)-1]
	tail, end := last.card.follow(at, last.target)
	c.endPath(append(path, tail[1:]...), end)
}

// roomTo is the rise a coming week takes on its way to a target.
func (c *card) roomTo(from, target day) float64 {
	if len(c.noRise) > 0 {
		return 0
	}
	steps := c.fedDays()
	if c.bringsIn(from, target) {
		steps = c.quarterDays()
	}
	return min(c.marks.WeekWarnKg, float64(len(steps))*c.marks.DayWarnKg)
}

// endPath writes down a path and where it leads; how many weeks it takes stays
// unknown where it does not get there.
func (c *card) endPath(path []float64, target day) {
	c.HardFeed.Target = yard.Known(c.hardKg(target))
	c.Step.PathKg, c.Step.WeeksToTarget = path, yard.Known(float64(len(path)))
	if math.Abs(path[len(path)-1]-c.hardKg(target)) > 1e-9 {
		c.Step.WeeksToTarget = yard.Num{}
	}
}

// sayAhead writes down a week to come, and what it lacks.
func (c *card) sayAhead(n int, w outlookWeek, at day, blocked bool) {
	l := w.card
	a := yard.WeekAhead{Beginning: l.week.Beginning, Planned: w.planned, AtLeast: l.WorkAtLeast, NeedMcal: l.Energy.Need.Or(0), TargetKg: w.askedKg, CardKg: l.hardKg(at)}
	supply, known := l.meanSupply(at)
	if known {
		a.SupplyMcal = yard.Known(supply)
		if supply < a.NeedMcal*(1-c.rules.EnergyBandPct/100)-1e-6 {
			a.ShortMcal = a.NeedMcal - supply
			a.WeightKg = a.ShortMcal * 7 / need.McalPerKgChange
		}
	}
	c.Step.Ahead = append(c.Step.Ahead, a)
	if a.ShortMcal == 0 || !w.planned {
		return
	}
	week := fmt.Sprintf("week %d, beginning %s, asks for %.1f Mcal DE a day", n+1, l.week.Beginning.Format("2 January 2006"), a.NeedMcal)
	cost := fmt.Sprintf("%.1f Mcal a day short, which would cost about %.1f kg of body weight in that week", a.ShortMcal, a.WeightKg)
	const source = "20 Mcal a kg of body weight, read backwards (requirements §9)"
	switch behind := w.askedKg - a.CardKg; {
	case blocked:
		c.find("ahead", yard.Warn, c.Horse.Cell, source, "%s; hard feed is not raised for this horse by this program: %s. Ask before that work is done", week, cost)
	case behind > 1e-6:
		weeks := math.Ceil(behind/max(l.stepKg(), 1e-9) - 1e-9)
		c.find("ahead", yard.Warn, c.Horse.Cell, source, "%s, and that is more than can be reached inside the weekly step: %.2f kg of hard feed by then, of %.2f kg; %s. Ease that week's work, or move it back by %.0f %s so that the climb starts early enough",
			week, a.CardKg, w.askedKg, cost, weeks, map[bool]string{true: "week", false: "weeks"}[weeks == 1])
	default:
		c.find("ahead", yard.Warn, c.Horse.Cell, source, "%s, and no ration of these feeds inside the limits gives it: %s. Ease that week's work, or ask a nutritionist", week, cost)
	}
}

// taper is the day a large fall begins with: each hard feed that goes down is cut
// at once as on a day off, to half, and the rest is taken away from the next week
// on, so that coming off much hard feed is spread over about two weeks (limits
// RC-13; large is a fall over the weekly stop mark, which is ours). It is nil
// where the fall is not large, where a vet has named a condition, and where half
// would pass a mark that the target keeps.
func (c *card) taper(from, target day, options [][]float64) day {
	if c.hardKg(from)-c.hardKg(target) <= c.marks.WeekStopKg+1e-9 || vetNamed(c.Horse) || c.bringsIn(from, target) {
		return nil
	}
	d := slices.Clone(target)
	for i, it := range c.bucket {
		if it.hard() && from[i] > target[i] && len(options[i]) > 1 { // one that is forbidden has no other amount
			d[i] = max(target[i], c.restKg(it, from[i]))
		}
	}
	c.estimateAdLib(d)
	if c.hardKg(d) <= c.hardKg(target)+1e-9 || c.marksPassed(d) != c.marksPassed(target) {
		return nil
	}
	return d
}

// marksPassed is the marks a day passes, each with how badly.
func (c *card) marksPassed(d day) string {
	var s strings.Builder
	for _, f := range guard.Check(c.Horse.Name, c.evaluate(d, c.keep), c.rules.Limits) {
		if f.Severity > yard.Note {
			fmt.Fprintln(&s, f.Rule, f.Severity)
		}
	}
	return s.String()
}
