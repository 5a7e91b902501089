package ration

import (
	"math"
	"slices"
	"time"

	"hardfeed/ration/evidence"
	"hardfeed/ration/guard"
	"hardfeed/ration/need"
	"hardfeed/ration/yard"
)

// What is written down as fed is what the card had where it differs by no more than
// amounts are rounded (ours), % of the energy; the same as a week ago where it differs
// by no more than this.
const (
	asCardPct  = 5
	unmovedPct = 1
)

// withRecordedWeighings is the horses of a week with the weighings its records have,
// of those of which the sheets keep no history: where the weight is written over each
// week, the records have what it was.
func withRecordedWeighings(week yard.Week) []yard.Horse {
	out := slices.Clone(week.Horses)
	for i := range out {
		h := &out[i]
		if len(h.Weighings) > 1 {
			continue
		}
		all := slices.Clone(h.Weighings)
		add := func(w yard.Weighing) {
			if w.Kg.IsKnown() && !w.Date.IsZero() && !slices.ContainsFunc(all, func(o yard.Weighing) bool { return o.Date.Equal(w.Date) }) {
				all = append(all, w)
			}
		}
		add(h.DatedWeight())
		own := len(all)
		for _, p := range h.Past {
			add(p.Weighed)
		}
		if len(all) > own {
			slices.SortStableFunc(all, func(a, b yard.Weighing) int { return a.Date.Compare(b.Date) })
			h.Weighings = all
		}
	}
	return out
}

// ownEvidence is what a horse's weighings and its feed tell of its own need.
type ownEvidence struct {
	*evidence.Learnt
	forageTold bool // what is common to all horses is said of the yard's forage
}

// learn is what the weighings and the feed of past weeks tell of each horse, nil where
// they tell nothing of its need, and of the yard's forage.
func learn(horses []yard.Horse, rows map[string][]yard.Line, room *feedRoom, week yard.Week, rules yard.Rules) ([]*ownEvidence, yard.CommonForage) {
	out := make([]*ownEvidence, len(horses))
	asked := make([]*evidence.Horse, len(horses))
	rules.Workings = false
	eachIndex(len(horses), func(i int) {
		if h := horses[i]; mayTeach(h) {
			if c, reasons := newHorseWeek(h, rows[fold(h.Name)], room, week, rules, nil, nil); len(reasons) == 0 {
				e := c.toLearn()
				asked[i] = &e
			}
		}
	})
	y := evidence.Yard{Today: week.Beginning}
	var at []int
	for i, e := range asked {
		if e != nil {
			y.Horses, at = append(y.Horses, *e), append(at, i)
		}
	}
	if len(at) == 0 {
		return out, yard.CommonForage{}
	}
	r := evidence.Learn(y)
	for k, i := range at {
		if e := &r.Horses[k]; e.NotLearnt == yard.LearntSomething {
			out[i] = &ownEvidence{e, forageTold(r.Forage)}
		}
	}
	return out, r.Forage
}

// mayTeach says whether a horse has weeks of known feed and weighings at all.
func mayTeach(h yard.Horse) bool {
	return len(h.Weighings) > 2 && slices.ContainsFunc(h.Past, func(p yard.PastWeek) bool { return p.Full })
}

// toLearn is the horse as [evidence.Learn] takes it.
func (c *horseWeek) toLearn() evidence.Horse {
	h := evidence.Horse{Name: c.facts.Horse.Name, BodyKg: c.facts.bodyKg, Basis: c.facts.basis, Score: c.facts.Horse.Score,
		Prior: evidence.PriorOf(c.facts.Horse.Keeper, inRaceTraining(&c.facts.Horse)), Weighings: c.facts.Horse.Weighings, HardDays: guard.EventsBefore(c.facts.Horse, c.facts.week.Beginning)}
	if !c.facts.WorkAtLeast {
		h.Now.WorkMcal = yard.Known(c.facts.Energy.Work.Or(0) + c.facts.Energy.Cold.Or(0))
	}
	after := map[time.Time]yard.WeekEnergy{c.facts.week.Beginning: {Now: c.wasFed, WorkBefore: c.facts.workBefore()}} // by the week whose sheet says it
	for _, p := range c.facts.Horse.Past {
		after[p.Beginning] = p.WeekEnergy
	}
	for _, p := range c.facts.Horse.Past {
		for _, e := range p.Events {
			h.HardDays = append(h.HardDays, e.Date)
		}
		if !p.Full {
			continue
		}
		w := evidence.Week{Beginning: p.Beginning, DoubtMcal: p.DoubtMcal.Or(0)}
		next := after[p.Beginning.AddDate(0, 0, 7)]
		fed := fedInWeek(p, next.Now)
		w.ForageMcal, w.OtherMcal, w.WorkMcal = fed.Forage, fed.Other, p.WorkMcal
		if done, ok := next.WorkBefore.Get(); ok { // what was done outranks what was planned
			w.WorkMcal = yard.Known(done + p.ColdMcal.Or(0))
		}
		h.Weeks = append(h.Weeks, w)
	}
	return h
}

// fedInWeek is what a horse was fed in a past week, the mean day: its card, or where
// the sheet of the week after says otherwise, that. Where that sheet still has what was
// fed before the card, nobody can tell which of the two it got: unknown.
func fedInWeek(p yard.PastWeek, said yard.FedEnergy) yard.FedEnergy {
	card := yard.FedEnergy{Forage: p.ForageMcal, Other: p.OtherMcal}
	forage, other, ok := both(said)
	endForage, endOther, ok2 := both(p.CardEnd)
	if !ok || !ok2 {
		return card
	}
	near := func(f, o, pct float64) bool {
		most := pct / 100 * (f + o)
		return math.Abs(forage-f) <= most && math.Abs(other-o) <= most && math.Abs(forage+other-f-o) <= most
	}
	if near(endForage, endOther, asCardPct) {
		return card
	}
	if f, o, ok := both(p.Now); ok {
		if near(f, o, unmovedPct) {
			return yard.FedEnergy{}
		}
		between := func(v, a, b float64) bool { return v >= min(a, b) && v <= max(a, b) }
		if between(forage, f, endForage) && between(other, o, endOther) { // a day on the way of the week's steps
			return card
		}
	}
	scaled := func(mean yard.Num, now, end float64) yard.Num {
		if end <= 0 {
			return yard.Known(now)
		}
		return yard.Known(mean.Or(0) * now / end)
	}
	return yard.FedEnergy{Forage: scaled(p.ForageMcal, forage, endForage), Other: scaled(p.OtherMcal, other, endOther)}
}

func both(f yard.FedEnergy) (forage, other float64, ok bool) {
	forage, ok1 := f.Forage.Get()
	other, ok2 := f.Other.Get()
	return forage, other, ok1 && ok2
}

// readWeighings takes what is learnt, or else what the weighings show by themselves.
func (c *facts) readWeighings() {
	if c.learnt != nil {
		c.shown = &c.learnt.Evidence
	} else if e, ok := guard.Weighed(c.ofWeek()); ok {
		c.shown = &e
	}
	c.trend = c.weightTrendOf()
}

// ownNeed is what the horse's own evidence adds to the tables' need, Mcal a day, and
// fills in the range; false where there is none, or where it would lower the feed of a
// horse that is thin, unscored or losing.
func ownNeed(c *facts, tables float64, n *needs) (own float64, ok bool) {
	if c.learnt == nil {
		return 0, false
	}
	e := &n.Energy
	change := e.Change.Or(0)
	is := c.learnt.NeedWorking(e.Work.Or(0) + e.Cold.Or(0))
	own = is.Mean + change - tables
	if own < 0 && !c.learnt.MayLower {
		return 0, false
	}
	e.Own = yard.Known(own)
	e.NeedRange = yard.Range{Low: yard.Known(is.Low + change), High: yard.Known(is.Mean + change + (is.High-is.Mean)*need.GoingFactor(c.Horse.Work))}
	return own, true
}

// workedOwnNeed takes down how the horse's own need came about.
func workedOwnNeed(c *facts, e yard.Energy, say *log) {
	l := c.learnt
	say.work(func() yard.Working {
		return yard.Working{Key: "own need", Result: e.Own, Unit: unitDEADay, Source: "evidence EN-01, EN-18, EN-20, HY-29, WG-02, WG-14; where those have no figure it is ours",
			Inputs: []yard.Input{in("weighings", float64(l.Weighings), noUnit, found("weights")), in("weeks known", float64(l.Weeks), noUnit, found("records")),
				in("need.low", e.NeedRange.Low.Or(0), unitMcal, computed), in("need.high", e.NeedRange.High.Or(0), unitMcal, computed), in("by the tables", l.TablesMcal, unitMcal, computed)}}
	})
}
