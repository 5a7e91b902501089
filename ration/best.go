package ration

import (
	"slices"

	"hardfeed/ration/choose"
	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// chooser chooses an ordinary day for a horse's week, of the amounts each feed may be given.
type chooser struct {
	horse     *horseWeek
	completes bool    // it may bring in what the ration is short of, beside mainKg at the least
	mainKg    float64 // of the main forage
}

// chosen is how a ration was come by.
type chosen struct {
	model  *formulation
	answer choose.Answer
}

// best is the best ration of a bucket. The stop limit on hours without forage
// (limits D-18) is a limit where some ration keeps it and its energy lies no
// further out for it: with two or three feeds a day there mostly is none, and it
// is the hours of the feeds that have to change.
func (c *chooser) best(base dailyKg, options [][]float64, more func(*formulation)) (dailyKg, chosen) {
	if kept := c.shortFibreKept(options); kept != nil {
		if d, how := c.bestOfAll(base, kept, more); how.model != nil && how.broken() < 2 {
			return d, how
		}
	}
	return c.bestOfAll(base, options, more)
}

// bestOfAll is the same of all options there are.
func (c *chooser) bestOfAll(base dailyKg, options [][]float64, more func(*formulation)) (dailyKg, chosen) {
	models := c.models(base, options, more)
	solve := choose.SolveWithin
	won := bestOf(models, solve)
	if won.model == nil {
		solve = choose.Solve
		won = bestOf(models, solve)
	}
	if gaps := c.forageGaps(); gaps != nil && won.model != nil {
		for i, m := range models {
			models[i] = m.holding(gapLimit, gaps(m)...)
		}
		how := bestOf(models, solve)
		if how.model != nil && how.broken() == won.broken() && slices.Equal(how.untilEnergy(), won.untilEnergy()) {
			won = how
		}
	}
	d := slices.Clone(base)
	if won.model != nil {
		for i := range c.horse.dish.bucket {
			if at := won.model.feedIndex[i]; at >= 0 {
				d[i] = won.model.amount[i][won.answer.Choice[at]]
			}
		}
	}
	c.horse.dish.estimateAdLib(d)
	return d, won
}

// keepsGaps says whether a choice was held to the hours without forage.
func (a chosen) keepsGaps() bool {
	return slices.ContainsFunc(a.model.model.Limits, func(l choose.Limit) bool { return l.Name == gapLimit })
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
// is eaten up to the next meal under the stop limit; nil where forage is there all
// day, the horse is out, or the meals' times are not known.
func (c *chooser) forageGaps() func(*formulation) []choose.Row {
	until := minutesToNextMeal(c.horse.dish.sharing.meals)
	if until == nil || guard.OutAllDay(c.horse.facts.Horse) || slices.ContainsFunc(c.horse.dish.bucket, func(it item) bool { return it.class() == yard.Forage && (it.grazed || it.startingPortion().adLib) }) {
		return nil
	}
	return func(m *formulation) []choose.Row {
		var rows []choose.Row
		for meal, minutes := range until {
			kg := (minutes - c.horse.facts.rules.Limits.GapStopHours*60) / guard.MinutesPerKgHay
			rows = append(rows, m.atLeast(m.atMeal(meal, ofClass(yard.Forage, perKgAsFed)), max(0, kg)))
		}
		return rows
	}
}

// models are the models of a bucket. Whether hard feed is cut on days off hangs on
// how much there is (limits D-20), so both ways are tried where both may be.
func (c *chooser) models(base dailyKg, options [][]float64, more func(*formulation)) []*formulation {
	cuts := []bool{false, true}
	switch {
	case guard.Has(c.horse.facts.Horse.Diagnoses, yard.TyingUp):
		cuts = []bool{true}
	case allRest(&c.horse.facts.Horse) || restDays(&c.horse.facts.Horse) == 0:
		cuts = []bool{false}
	}
	var models []*formulation
	short := c.shortMarks()
	for _, way := range c.forageKept(options) {
		models = append(models, c.modelsOf(base, way, cuts, short, more)...)
	}
	return models
}

// usualLimits is how many limits there is room for without asking for more: a horse has
// thirty to fifty.
const usualLimits = 64

// modelsOf are the models of one way to choose.
func (c *chooser) modelsOf(base dailyKg, options [][]float64, cuts []bool, short map[yard.RuleID]guard.Ration, more func(*formulation)) []*formulation {
	var models []*formulation
	for _, cut := range cuts {
		m := c.newModel(base, options, cut)
		m.model.Limits, m.warnOnly = make([]choose.Limit, 0, usualLimits), make([]bool, 0, usualLimits)
		more(m)
		if len(cuts) > 1 {
			hard, mark := m.day(ofClass(yard.HardFeed, perKgAsFed), intake{}), guard.RestCutKg(c.horse.facts.bodyKg, c.horse.facts.rules.Limits)
			if cut {
				m.limit(cutLimit, m.atLeast(hard, mark))
			} else {
				m.limit(uncutLimit, m.atMost(hard, mark*(1-strictShare)))
			}
		}
		m.firstSoft = len(m.model.Limits)
		if len(models) == 0 {
			m.passedNow = short
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
func bestOf(models []*formulation, solve func(choose.Model) (choose.Answer, error)) chosen {
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

// broken is 0 where every limit is kept, 1 where warning limits are passed, 2 for
// stop limits, 3 for what the choice itself rests on.
func (a chosen) broken() int {
	if a.answer.Clash == nil {
		return 0
	}
	worst := 1
	for _, i := range a.answer.Clash.Broken {
		switch {
		case i < a.model.firstSoft:
			return 3
		case !a.model.warnOnly[i]:
			worst = 2
		}
	}
	return worst
}
