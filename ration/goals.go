package ration

import (
	"math"

	"hardfeed/ration/choose"
	"hardfeed/ration/need"
	"hardfeed/ration/yard"
)

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

const energyGoal = "energy outside the band"

// goals adds the goals in their order (design §5.5).
func (m *formulation) goals() {
	c := m.c
	goal := func(name string, g choose.Goal) {
		g.Name = name
		m.model.Goals = append(m.model.Goals, g)
	}
	if m.climb != nil {
		goal("short of the climb", choose.Goal{Bands: m.climb})
	}
	// Energy in kcal over the week.
	const kcal = 1000
	energy := m.whole(m.inWeek(inDM(energyIn)), kcal)
	asked := c.Energy.Need.Or(0) * 7 * kcal // always known here
	band := c.rules.EnergyBandPct / 100
	goal(energyGoal, choose.Goal{Bands: []choose.Row{{Sum: energy, Low: int64(math.Ceil(asked * (1 - band))), High: int64(math.Floor(asked * (1 + band)))}}})

	// What is not known of a feed cannot be counted as short when the feed is
	// taken away, and is not nothing: such a feed makes room for the energy and
	// the known nutrients only. Grams a day below now.
	lost, some := table{of: make([][]float64, len(c.bucket))}, false
	for i, it := range c.bucket {
		unknown := it.hard() && len(m.amount[i]) > 1 && c.nowKnown && !it.allKnown()
		for _, kg := range m.amount[i] {
			less := 0.0
			if unknown {
				less = max(0, it.now.kg-kg) * 1000
			}
			some = some || less > 0
			lost.of[i] = append(lost.of[i], less)
		}
	}
	if some {
		goal("feed of unknown content taken away", choose.Goal{Sum: m.whole(lost, 1)})
	}

	// Nutrients in millionths of the need, counted in whole per cents: analyses
	// are not known more finely. One that is not known of some feed is left out.
	const millionth = 1e6
	var short []choose.Row
	for _, n := range need.Nutrients() {
		of := n.Content
		asked := n.Of(c.WorkClass, c.Horse.Keeper, c.bodyKg, c.sweatKg)
		if asked > 0 && m.known(of) {
			short = append(short, choose.Row{Sum: m.whole(m.inWeek(inDM(of)), millionth/(asked*7)), Low: millionth, High: choose.NoHigh})
		}
	}
	goal("nutrients short", choose.Goal{Bands: short, Grain: millionth / 100})

	// Hard feed in grams over the week.
	goal("hard feed", choose.Goal{Sum: m.whole(m.inWeekKg(func(it item) float64 {
		if it.hard() {
			return 1000
		}
		return 0
	}), 1)})

	differs, feeds, cost := table{of: make([][]float64, len(c.bucket))}, table{of: make([][]float64, len(c.bucket))}, true
	for i, it := range c.bucket {
		if len(m.amount[i]) < 2 {
			continue
		}
		for _, kg := range m.amount[i] {
			not, there := 0.0, 0.0
			if c.nowKnown && it.now.given && !it.now.unread && changed(kg, it.now.kg) {
				not = 1
			}
			if kg > 0 {
				there = 1
			}
			differs.of[i], feeds.of[i] = append(differs.of[i], not), append(feeds.of[i], there)
		}
		_, ok1 := it.feed.Feed.PackPrice.Get()
		pack, ok2 := it.feed.Feed.PackKg.Get()
		cost = cost && ok1 && ok2 && pack > 0
	}
	for i := range c.bucket { // what is not moved is no reason
		if m.amount[i] != nil && differs.of[i] == nil {
			differs.of[i], feeds.of[i] = make([]float64, len(m.amount[i])), make([]float64, len(m.amount[i]))
		}
	}
	goal("feeds changed", choose.Goal{Sum: m.whole(differs, 1)})
	goal("feeds", choose.Goal{Sum: m.whole(feeds, 1)})
	if cost { // in hundredths; where one price is not known they are not compared
		goal("cost", choose.Goal{Sum: m.whole(m.inWeekKg(func(it item) float64 {
			return it.feed.Feed.PackPrice.Or(0) / max(it.feed.Feed.PackKg.Or(1), neverZero) * 100
		}), 1)})
	}
	nearest := int64(math.Round(asked))
	goal("energy off the need", choose.Goal{Bands: []choose.Row{{Sum: energy, Low: nearest, High: nearest}}})
}
