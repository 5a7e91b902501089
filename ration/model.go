package ration

import (
	"math"
	"slices"
	"strings"

	"hardfeed/ration/choose"
	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// formulation is one horse's week as the chooser sees it. Every weighed item of the
// bucket is a feed of the model, those that are not moved with one amount only.
// What is eaten ad lib or grazed is no choice: it gives way to the bucket, and so
// is a constant less something for each kilo weighed.
type formulation struct {
	c          *horseWeek
	completes  bool                         // what the ration is short of may come in
	amount     [][]float64                  // kg on a work day, by item and choice; nil: ad lib or grazed
	week       [][]float64                  // kg in the seven days
	meals      [][][]float64                // kg by item, choice and meal on a work day
	displaced  [][]float64                  // kg over the week that ad lib forage gives way to
	cut        bool                         // hard feed is cut on days off
	adLib      []int                        // ad lib forages
	grass      int                          // the grazed item, −1 none
	feedIndex  []int                        // of each item in the model's feeds, −1 none
	firstSoft  int                          // the limits before this one are the step and what the tables rest on
	firstStock int                          // the limits from this one on are what is in the room
	climb      []choose.Row                 // what hard feed is to come to for the work of the weeks to come
	weekKcal   choose.Sum                   // DE of the week
	warnOnly   []bool                       // of each limit: those that are warning limits or the stock: passing one holds no card
	passedNow  map[yard.RuleID]guard.Ration // what is fed now, by the warning limits that are kept no better than it keeps them
	asked      guard.Ration                 // what the limits ask of the horse, with what it eats ad lib and grazes
	model      choose.Model
	room       [][]float64 // of the table that is being made
	rounded    []int64     // the same of its whole numbers
	ends       []intake    // what is eaten: the estimate and the ends of its range
}

// intake is how much dry matter is eaten in all where forage is ad lib, and
// grazed, kg a day.
type intake struct{ adLib, grass float64 }

// Dry matter a horse eats with free access, g per kg of body weight to the power
// of 0.75: the ends of GfE's ranges at rest and in work (requirements §5, seen).
const (
	freeIntakeLowG      = 90.0
	freeIntakeHighRestG = 110.0
	freeIntakeHighWorkG = 140.0
)

// intakes are the estimate and, where something is eaten ad lib or grazed, the
// ends it may lie between: the hard limits are kept at all of them.
func (m *formulation) intakes() []intake {
	if m.ends == nil {
		m.ends = m.intakeRange()
	}
	return m.ends
}

func (m *formulation) intakeRange() []intake {
	c := m.c
	est := intake{adLib: c.facts.rules.ForageIntakePct / 100 * c.facts.bodyKg}
	if m.grass >= 0 {
		est.grass = c.facts.grassKg()
	}
	if len(m.adLib) == 0 && m.grass < 0 {
		return []intake{est}
	}
	size := math.Pow(c.facts.bodyKg, 0.75) / 1000
	high := freeIntakeHighRestG
	if c.facts.WorkClass != yard.ClassRest {
		high = freeIntakeHighWorkG
	}
	low, most := intake{min(est.adLib, freeIntakeLowG*size), est.grass}, intake{max(est.adLib, high*size), est.grass}
	if m.grass >= 0 {
		r := c.facts.grassRangeKg()
		low.grass, most.grass = min(est.grass, r.Low.Or(0)), max(est.grass, r.High.Or(0))
		low.adLib -= est.grass - low.grass // less grazed is not made up for at the hay
	}
	return []intake{est, low, most}
}

// newModel takes a bucket with the amounts each item may have; base is what the
// others are fed.
func (c *chooser) newModel(base dailyKg, options [][]float64, cut bool) *formulation {
	m := &formulation{c: c.horse, completes: c.completes, cut: cut, grass: -1}
	horse, off := &c.horse.facts.Horse, restDays(&c.horse.facts.Horse)
	days, n := dayKinds(horse), len(c.horse.dish.bucket)
	m.feedIndex, m.amount, m.week, m.meals, m.displaced = make([]int, n), make([][]float64, n), make([][]float64, n), make([][][]float64, n), make([][]float64, n)
	for i, it := range c.horse.dish.bucket {
		m.feedIndex[i] = -1
		if it.grazed {
			m.grass = i
			continue
		}
		if it.startingPortion().adLib {
			if !it.lick() {
				m.adLib = append(m.adLib, i)
			}
			continue
		}
		kgs := options[i]
		if kgs == nil {
			kgs = []float64{base[i]}
		}
		m.amount[i] = kgs
		m.meals[i] = make([][]float64, 0, len(kgs))
		m.week[i], m.displaced[i] = make([]float64, 0, len(kgs)), make([]float64, 0, len(kgs))
		for _, kg := range kgs {
			parts := c.horse.dish.sharing.mealsOf(it, kg, it.pattern(c.horse.dish.sharing.keepsMealPattern))
			rest := kg
			if cut && it.hard() {
				rest = c.horse.facts.restKg(it, kg)
			}
			m.meals[i] = append(m.meals[i], parts)
			m.displaced[i] = append(m.displaced[i], kg*float64(7-off)+rest*float64(off))
			week := rest * float64(off)
			for d, kind := range days {
				switch kind {
				case yard.EventDay:
					week += sum(c.horse.dish.onEvent(i, parts, horse.Work[d]))
				case yard.WorkDay:
					week += kg
				}
			}
			m.week[i] = append(m.week[i], week)
		}
	}
	m.inOrder()
	m.asked = c.horse.dish.ofHorse()
	m.asked.Feeds = m.freeForage()
	return m
}

// inOrder puts the items that are weighed in the model's feeds by their names, as the chooser
// takes them.
func (m *formulation) inOrder() {
	bucket := m.c.dish.bucket
	at := make([]int, 0, len(bucket))
	for i := range bucket {
		if m.amount[i] != nil {
			at = append(at, i)
		}
	}
	slices.SortStableFunc(at, func(a, b int) int { return strings.Compare(bucket[a].feed.Feed.Name, bucket[b].feed.Feed.Name) })
	m.model.Feeds = make([]choose.Feed, len(at))
	for k, i := range at {
		m.feedIndex[i] = k
		m.model.Feeds[k] = choose.Feed{Name: bucket[i].feed.Feed.Name, Choices: len(m.amount[i])}
	}
}

// freeForage is the worst by calcium of what is grazed or eaten ad lib, for a horse
// that is served no forage at meals: its mark goes by that (guard's calciumStop).
func (m *formulation) freeForage() []guard.Fed {
	var worst []guard.Fed
	low := math.Inf(1)
	for i, it := range m.c.dish.bucket {
		switch x := it.feed.Composition; {
		case it.class() != yard.Forage:
		case m.amount[i] == nil:
			if ratio := x.Ca.Or(0) / x.P.Or(math.Inf(1)); ratio < low {
				low, worst = ratio, []guard.Fed{{Feed: it.feed, Kg: 1}}
			}
		case m.mayBeFed(i):
			return nil
		}
	}
	return worst
}

// perKg gives an amount of something in a kilo as fed of an item.
type perKg func(it *item) float64

func dmOf(it item) float64 { return it.feed.Composition.DM.Or(0) }

// inDM is a content per kg of dry matter as one per kg as fed; the known part.
func inDM(of func(yard.Composition) yard.Num) perKg {
	return func(it *item) float64 { return of(it.feed.Composition).Or(0) * it.feed.Composition.DM.Or(0) }
}

// table is numbers by item and choice, and a constant.
type table struct {
	constant float64
	of       [][]float64
}

// blank is a table with a place for every choice. It lasts until the next one is asked
// for: tables are turned into rows and sums one after the other, hundreds for a horse, and
// all take the same room.
func (m *formulation) blank() table {
	if m.room == nil {
		room := make([]float64, m.choices())
		m.room = make([][]float64, len(m.amount))
		for i, kgs := range m.amount {
			if kgs != nil {
				m.room[i], room = piece(room, len(kgs))
			}
		}
	}
	return table{of: m.room}
}

// sum is a day's or (days = 7) a week's total of something, at an intake.
func (m *formulation) sum(f perKg, amounts, beside [][]float64, days float64, at intake) table {
	t := m.blank()
	free := at.adLib - at.grass // eaten ad lib where nothing is weighed
	instead := 0.0              // in a kilo of dry matter of it; none where grass fills the horse
	for _, i := range m.adLib {
		if m.grassFills() {
			break
		}
		if dm := dmOf(m.c.dish.bucket[i]); dm > 0 {
			instead += f(&m.c.dish.bucket[i]) / dm / float64(len(m.adLib))
		}
	}
	if m.grass >= 0 {
		if dm := dmOf(m.c.dish.bucket[m.grass]); dm > 0 {
			t.constant += days * at.grass * f(&m.c.dish.bucket[m.grass]) / dm
		}
	}
	t.constant += days * free * instead
	for i := range m.c.dish.bucket {
		if m.amount[i] == nil {
			continue
		}
		it := &m.c.dish.bucket[i]
		per, dm := f(it), dmOf(*it)
		if it.byTheGram() {
			dm = 0
		}
		for v := range t.of[i] {
			t.of[i][v] = amounts[i][v]*per - beside[i][v]*dm*instead
		}
	}
	return t
}

// choices is how many numbers a table has over all items.
func (m *formulation) choices() int {
	n := 0
	for _, kgs := range m.amount {
		n += len(kgs)
	}
	return n
}

// piece takes the first n of a slice off: the lists of a table are made in one piece.
func piece[T any](from []T, n int) (first, rest []T) { return from[:n:n], from[n:] }

// day is a total of an ordinary work day, inWeek one of the seven days.
func (m *formulation) day(f perKg, at intake) table { return m.sum(f, m.amount, m.amount, 1, at) }

func (m *formulation) inWeek(f perKg) table { return m.sum(f, m.week, m.displaced, 7, m.intakes()[0]) }

func ofClass(class yard.FeedClass, f perKg) perKg {
	return func(it *item) float64 {
		if it.class() != class {
			return 0
		}
		return f(it)
	}
}

// atMeal is a total of one meal; what is there all day counts in none.
func (m *formulation) atMeal(meal int, f perKg) table {
	t := m.blank()
	for i := range m.c.dish.bucket {
		if m.amount[i] == nil {
			continue
		}
		per := f(&m.c.dish.bucket[i])
		for v := range t.of[i] {
			t.of[i][v] = m.meals[i][v][meal] * per
		}
	}
	return t
}

// whole turns a table into whole numbers, each times scale.
func (m *formulation) whole(t table, scale float64) choose.Sum {
	s := choose.Sum{Const: int64(math.Round(t.constant * scale)), Adds: make([][]int64, len(m.model.Feeds))}
	if m.rounded == nil {
		m.rounded = make([]int64, m.choices())
	}
	room, some := m.rounded[:0], 0 // what is nothing for every choice of a feed takes no room
	for i, xs := range t.of {
		if m.amount[i] == nil {
			continue
		}
		from := len(room)
		counts := false
		for _, x := range xs {
			n := int64(math.Round(x * scale))
			counts = counts || n != 0
			room = append(room, n)
		}
		if counts {
			s.Adds[m.feedIndex[i]] = room[from:]
			some += len(xs)
		} else {
			room = room[:from]
		}
	}
	kept := make([]int64, some)
	for k, adds := range s.Adds {
		if adds != nil {
			copy(kept, adds)
			s.Adds[k], kept = piece(kept, len(adds))
		}
	}
	return s
}

// fine is how finely limits are compared: their largest number is this many
// units, and rounding each feed to whole ones is allowed for.
const fine = 1e9

// row keeps a table between two values; ±Inf: no mark.
func (m *formulation) row(t table, low, high float64) choose.Row {
	size := max(math.Abs(t.constant), smallestRow)
	for _, mark := range []float64{low, high} {
		if !math.IsInf(mark, 0) {
			size = max(size, math.Abs(mark))
		}
	}
	for _, xs := range t.of {
		for _, x := range xs {
			size = max(size, math.Abs(x))
		}
	}
	scale := fine / size
	r := choose.Row{Sum: m.whole(t, scale), Low: choose.NoLow, High: choose.NoHigh}
	slack := float64(len(m.model.Feeds) + 1)
	if !math.IsInf(low, 0) {
		r.Low = int64(math.Round(low*scale - slack))
	}
	if !math.IsInf(high, 0) {
		r.High = int64(math.Round(high*scale + slack))
	}
	return r
}

func (m *formulation) limit(name string, rows ...choose.Row) {
	m.model.Limits = append(m.model.Limits, choose.Limit{Name: name, Rows: rows})
	m.warnOnly = append(m.warnOnly, false)
}

// mark adds a limit that is a warning limit only.
func (m *formulation) mark(name string, rows ...choose.Row) {
	m.limit(name, rows...)
	m.warnOnly[len(m.warnOnly)-1] = true
}

func (m *formulation) atMost(t table, high float64) choose.Row { return m.row(t, math.Inf(-1), high) }

func (m *formulation) atLeast(t table, low float64) choose.Row { return m.row(t, low, math.Inf(1)) }

// hold keeps hard feed at what is fed where this program does not raise it.
func (m *formulation) hold(held bool, base dailyKg) {
	if held {
		m.limit(noRiseLimit, m.atMost(m.day(ofClass(yard.HardFeed, perKgAsFed), intake{}), m.c.dish.bucket.hardKg(base)))
	}
}

// singleItem is one item's amounts.
func (m *formulation) singleItem(i int, kgs []float64) table {
	t := table{of: make([][]float64, len(m.c.dish.bucket))}
	t.of[i] = kgs
	return t
}

// hardAtLeast asks for that much hard feed on a work day.
func (m *formulation) hardAtLeast(kg float64) choose.Row {
	return m.atLeast(m.day(ofClass(yard.HardFeed, perKgAsFed), intake{}), kg)
}

// difference is one total less another times a factor, for ratios multiplied out.
func difference(f perKg, times float64, g perKg) perKg {
	return func(it *item) float64 { return f(it) - times*g(it) }
}

// energyKnown says whether the energy is known of every item that may be in the ration, but
// for feeds of no consequence: what all of those could bring at the most is less than
// consequencePct of the need (design §5).
func (m *formulation) energyKnown() bool {
	if m.c.dish.noForage {
		return false
	}
	most := 0.0
	for i, it := range m.c.dish.bucket {
		if it.energyTold() {
			continue
		}
		if m.amount[i] == nil {
			return false
		}
		most += it.mostMcal(slices.Max(m.amount[i]))
	}
	return most <= m.c.facts.Energy.Need.Or(0)*consequencePct/100
}

func perKgAsFed(*item) float64 { return 1 }

// inWeekKg adds something over what is weighed in the week, what is eaten ad lib
// left out.
func (m *formulation) inWeekKg(f perKg) table {
	t := m.blank()
	for i := range m.c.dish.bucket {
		if m.amount[i] == nil {
			continue
		}
		per := f(&m.c.dish.bucket[i])
		for v, kg := range m.week[i] {
			t.of[i][v] = kg * per
		}
	}
	return t
}
