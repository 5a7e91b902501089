package ration

import (
	"math"
	"slices"

	"hardfeed/ration/choose"
	"hardfeed/ration/need"
	"hardfeed/ration/yard"
)

// goal is one aim of a choice.
type goal struct {
	name string // and of its words among those of workings
	unit string // what its value is counted in, the same
	of   func(*formulation) (g choose.Goal, counts bool)
}

const energyGoal = "energy outside band"

// goalsInOrder are the aims of a choice, the most important first (design §5.6). One
// that counts nothing for a horse is left out of its model.
var goalsInOrder = []goal{
	{"climb", "shares", shortOfTheClimb},
	{"energy under now", "kcal", lessThanNow},
	{"lean hard feed", "g", hardFeedTaken},
	{energyGoal, "kcal", energyOutsideBand},
	{"energy from hard feed", "kcal", energyFromHardFeed},
	{"nutrients short", "% of needs", nutrientsShort},
	{"brought in", "g", broughtIn},
	{"unknown feed", "g", unknownTakenAway},
	{"servings", "servings", servingsOfHardFeed},
	{"feeds changed", "feeds", feedsChanged},
	{"feeds", "feeds", feedsGiven},
	{"cost", "hundredths", costInWeek},
	{"energy off the need", "kcal", energyOffNeed},
}

// goals adds the goals in their order.
func (m *formulation) goals() {
	m.weekKcal = m.whole(m.inWeek(inDM(energyIn)), 1000)
	for _, aim := range goalsInOrder {
		if g, counts := aim.of(m); counts {
			g.Name = aim.name
			m.model.Goals = append(m.model.Goals, g)
		}
	}
}

// goalName is what a goal is called.
func goalName(name string) yard.Saying { return yard.Say("working.goal." + name) }

// goalUnit is what a goal's value is counted in.
func goalUnit(name string) yard.Saying {
	for _, g := range goalsInOrder {
		if g.name == name {
			return unitCalled("goal." + g.unit)
		}
	}
	return noUnit
}

func shortOfTheClimb(m *formulation) (choose.Goal, bool) {
	return choose.Goal{Bands: m.climb}, m.climb != nil
}

// needKcal is the week's need; it is always known here.
func (m *formulation) needKcal() float64 { return m.c.facts.Energy.Need.Or(0) * 7 * 1000 }

func energyOutsideBand(m *formulation) (choose.Goal, bool) {
	asked, band := m.needKcal(), m.c.facts.rules.EnergyBandPct/100
	return choose.Goal{Bands: []choose.Row{{Sum: m.weekKcal, Low: int64(math.Ceil(asked * (1 - band))), High: int64(math.Floor(asked * (1 + band)))}}}, true
}

func energyOffNeed(m *formulation) (choose.Goal, bool) {
	nearest := int64(math.Round(m.needKcal()))
	return choose.Goal{Bands: []choose.Row{{Sum: m.weekKcal, Low: nearest, High: nearest}}}, true
}

// unknownTakenAway: what is not known of a feed cannot be counted as short when the
// feed is taken away, and is not nothing; such a feed makes room for the energy and
// the known nutrients only. Grams a day below now.
func unknownTakenAway(m *formulation) (choose.Goal, bool) {
	unknown := make([]bool, len(m.c.dish.bucket))
	for i, it := range m.c.dish.bucket {
		unknown[i] = it.hard() && len(m.amount[i]) > 1 && m.c.fed.known && !it.allKnown()
	}
	lost, some := m.perChoice(func(i int, it item, kg float64) float64 {
		if !unknown[i] {
			return 0
		}
		return max(0, it.now.kg-kg) * 1000
	})
	return choose.Goal{Sum: m.whole(lost, 1)}, some
}

// nutrientsShort counts in millionths of the need, in whole per cents: analyses are
// not known more finely. What is not known of a feed counts at the most that its kind is
// published to hold, as a shortfall is claimed only where even that is short. A nutrient
// that has no such end for some feed of consequence is left out.
func nutrientsShort(m *formulation) (choose.Goal, bool) {
	const millionth = 1e6
	c := m.c
	var short []choose.Row
	for _, n := range need.Nutrients() {
		asked := n.Of(c.facts.WorkClass, c.facts.Horse.Keeper, c.facts.bodyKg, c.facts.sweatKg)
		spared := 0.0
		if m.completes { // as the shortfall is counted that it makes up
			spared = asked * consequencePct / 100
		}
		if asked > 0 && m.mostUnknown(n.Content) <= spared {
			holds := func(it *item) float64 { return m.countedOn(*it, n.Content).Or(0) }
			short = append(short, choose.Row{Sum: m.whole(m.inWeek(holds), millionth/(asked*7)), Low: millionth, High: choose.NoHigh})
		}
	}
	return choose.Goal{Bands: short, Grain: millionth / 100}, true
}

// countedOn is what a kg of a feed counts of a nutrient against a shortfall: its own
// figure or its kind's mean, else the most its kind is published to hold, else the most
// there can be of it. A feed that may come in is counted on for what is known of it.
func (m *formulation) countedOn(it item, of func(yard.Composition) yard.Num) yard.Num {
	own := it.feed.Contains(1, of(it.feed.Composition))
	switch high := it.feed.Between(1, of).High; {
	case own.IsKnown() || m.mayBring(it):
		return own
	case high.IsKnown():
		return high
	}
	return it.feed.AtMost(1, of)
}

// mostUnknown is the most that feeds bring a day of what has no end for them, as
// [dish.total] counts it.
func (m *formulation) mostUnknown(of func(yard.Composition) yard.Num) float64 {
	if m.c.dish.noForage {
		return math.Inf(1)
	}
	most := 0.0
	for i, it := range m.c.dish.bucket {
		if m.mayBring(it) || it.feed.Contains(1, of(it.feed.Composition)).IsKnown() || it.feed.Between(1, of).High.IsKnown() || !m.mayBeFed(i) {
			continue
		}
		if m.amount[i] == nil {
			return math.Inf(1)
		}
		most += slices.Max(m.amount[i]) * it.feed.AtMost(1, of).Or(math.Inf(1))
	}
	return most
}

// mayBring says whether an item may come in for what is short.
func (m *formulation) mayBring(it item) bool { return m.completes && it.mayComeIn }

// hardFeedGrainPct is how finely hard feed is counted, % of the week's need: what
// differs by less leaves the choice to the nutrients and to what is fed now. Ours.
const hardFeedGrainPct = 2

// energyFromHardFeed puts forage first. Hard feed counts by its energy, in whole
// grains: by the kilo the starchiest would win, because it is the densest.
func energyFromHardFeed(m *formulation) (choose.Goal, bool) {
	fed := func(it *item) float64 {
		if m.mayBring(*it) { // it comes in for what it holds
			return 0
		}
		return inDM(energyIn)(it)
	}
	return choose.Goal{
		Sum:   m.whole(m.inWeekKg(ofClass(yard.HardFeed, fed)), 1000),
		Grain: max(1, int64(m.needKcal()*hardFeedGrainPct/100)),
	}, true
}

// lessThanNow keeps a horse's energy where it must not fall: kcal of the week below
// what it is fed now.
func lessThanNow(m *formulation) (choose.Goal, bool) {
	now, known := m.c.energyToKeep()
	if !known {
		return choose.Goal{}, false
	}
	return choose.Goal{Bands: []choose.Row{{Sum: m.weekKcal, Low: int64(math.Floor(now * 7 * 1000)), High: choose.NoHigh}}}, true
}

// hardFeedTaken keeps the hard feed of a lean or losing horse, and of one in race
// training: hay in its place is eaten only as far as its appetite and its teeth go (ours).
// Grams a day below now.
func hardFeedTaken(m *formulation) (choose.Goal, bool) {
	c := m.c
	if !c.fed.known || !c.facts.lean() && !c.racesOnIt() {
		return choose.Goal{}, false
	}
	taken, some := m.perChoice(func(i int, it item, kg float64) float64 {
		if !it.hard() || len(m.amount[i]) < 2 {
			return 0
		}
		return max(0, c.fed.day[i]-kg) * 1000
	})
	return choose.Goal{Sum: m.whole(taken, 1)}, some
}

// feedsChanged counts the feeds that are moved from what is fed now; one that has one
// amount only is not a reason for or against any.
func feedsChanged(m *formulation) (choose.Goal, bool) {
	differs, _ := m.perChoice(func(i int, it item, kg float64) float64 {
		if len(m.amount[i]) > 1 && m.c.fed.known && it.now.given && !it.now.unread && changed(kg, it.now.kg) {
			return 1
		}
		return 0
	})
	return choose.Goal{Sum: m.whole(differs, 1)}, true
}

// servingsOfHardFeed counts how often a day hard feed is dished out (design §5d).
func servingsOfHardFeed(m *formulation) (choose.Goal, bool) {
	t := table{of: make([][]float64, len(m.c.dish.bucket))}
	some := false
	for i, it := range m.c.dish.bucket {
		some = some || it.hard() && len(m.amount[i]) > 1
		for v := range m.amount[i] {
			n := 0.0
			if it.hard() && len(m.amount[i]) > 1 {
				for _, kg := range m.meals[i][v] {
					if kg > nothingKg {
						n++
					}
				}
			}
			t.of[i] = append(t.of[i], n)
		}
	}
	return choose.Goal{Sum: m.whole(t, 1)}, some
}

func feedsGiven(m *formulation) (choose.Goal, bool) {
	feeds, _ := m.perChoice(func(i int, it item, kg float64) float64 {
		if len(m.amount[i]) > 1 && kg > 0 {
			return 1
		}
		return 0
	})
	return choose.Goal{Sum: m.whole(feeds, 1)}, true
}

// costInWeek counts in hundredths; where one price of what is moved is not known they
// are not compared.
func costInWeek(m *formulation) (choose.Goal, bool) {
	for i, it := range m.c.dish.bucket {
		_, priced := it.feed.Feed.PackPrice.Get()
		pack, weighed := it.feed.Feed.PackKg.Get()
		if len(m.amount[i]) > 1 && (!priced || !weighed || pack <= 0) {
			return choose.Goal{}, false
		}
	}
	return choose.Goal{Sum: m.whole(m.inWeekKg(func(it *item) float64 {
		return it.feed.Feed.PackPrice.Or(0) / max(it.feed.Feed.PackKg.Or(1), neverZero) * 100
	}), 1)}, true
}

// perChoice is a number for each amount of each item; some says whether any is over 0.
func (m *formulation) perChoice(of func(i int, it item, kg float64) float64) (t table, some bool) {
	t = m.blank()
	for i, it := range m.c.dish.bucket {
		for k, kg := range m.amount[i] {
			v := of(i, it, kg)
			some = some || v > 0
			t.of[i][k] = v
		}
	}
	return t, some
}

// allKnown says whether a feed's content is known of all the standard asks for.
func (it item) allKnown() bool {
	for _, n := range need.Nutrients() {
		if !n.Content(it.feed.Composition).IsKnown() {
			return false
		}
	}
	return true
}

func energyIn(x yard.Composition) yard.Num { return x.DE }

func starchIn(x yard.Composition) yard.Num { return x.Starch }
