package ration

import (
	"slices"
	"strings"

	"hardfeed/ration/choose"
	"hardfeed/ration/guard"
	"hardfeed/ration/need"
	"hardfeed/ration/work"
	"hardfeed/ration/yard"
)

// limits adds what must hold of an ordinary day, the most important first: stop
// limits, what the horse can eat, then warning limits. They are the rows of
// [guard.Limits]; whatever is chosen is compared with them once more.
func (m *formulation) limits() {
	for _, n := range guard.Limits() {
		m.addMark(n, yard.Stop)
	}
	m.limit(eatableLimit, m.eatable()...)
	for _, n := range guard.Limits() {
		if !n.ToldOnly {
			m.addMark(n, yard.Warn)
		}
	}
	m.firstStock = len(m.model.Limits)
}

// addMark adds a mark of one limit, where the horse has it and enough is known of
// every feed that may be in the ration. Rows of one name are one limit.
func (m *formulation) addMark(n guard.Linear, sev yard.Severity) {
	mark, ok := n.Mark(sev, m.asked, m.c.facts.rules.Limits)
	if !ok || !m.comparable(n) {
		return
	}
	if now, passed := m.passedNow[n.ID]; passed && sev == yard.Warn {
		if fed := n.Compare(now, m.c.facts.rules.Limits); fed.Severity == yard.Warn {
			mark = fed.Value // no worse than what it is fed
		}
	}
	rows, name := m.rowsOf(n, mark), markName(n, sev)
	if last := len(m.model.Limits) - 1; last >= 0 && m.model.Limits[last].Name == name {
		m.model.Limits[last].Rows = append(m.model.Limits[last].Rows, rows...)
		return
	}
	if sev == yard.Warn {
		m.mark(name, rows...)
	} else {
		m.limit(name, rows...)
	}
}

// How the names of limits begin, so that they can be said in other languages.
const (
	topLimit   = "the top limit on "
	usualLimit = "the usual limit on "
	tolerated  = "the most tolerated "
	stockOf    = "stock of "
)

// The limits of a choice that are no rows of the guard's; their words are under
// part.limit.own.
const (
	eatableLimit    = "eatable"
	noRiseLimit     = "no rise"
	startLimit      = "start"
	stepLimit       = "step"
	starchStepLimit = "starch step"
	cutLimit        = "days off cut"
	uncutLimit      = "days off uncut"
	gapLimit        = "gaps"
	energyLimit     = "energy"
)

// saidLimit is a limit by its name.
func saidLimit(name string) yard.Saying {
	for prefix, key := range map[string]string{topLimit: "part.limit.top", usualLimit: "part.limit.usual", tolerated: "part.limit.tolerated"} {
		if what, ok := strings.CutPrefix(name, prefix); ok {
			return yard.Say(key, term("what", what))
		}
	}
	if feed, ok := strings.CutPrefix(name, stockOf); ok {
		return yard.Say("part.limit.stock", yard.FeedArg("feed", feed))
	}
	return yard.Say("part.limit.own." + name)
}

// forageRule is the one of the least forage in a day.
const forageRule yard.RuleID = "D-17"

// hardFeedMarks are the warning limits that hard feed is not cut for where energy is short.
var hardFeedMarks = []yard.RuleID{"D-10", "D-11", "D-12", "D-13", "D-26"}

// shortMarks are the warning limits on hard feed of a horse that is fed no more than it needs and
// is thin or losing, or in race training on no more than the top of its need: its hard feed may
// stay where it passes them, since to cut it is the greater harm (ours). None for a horse that is to slim, and none where a vet's word limits feed.
func (c *chooser) shortMarks() map[yard.RuleID]guard.Ration {
	if !c.horse.fed.known || slices.ContainsFunc(c.horse.facts.Horse.Diagnoses, func(d yard.NamedDiagnosis) bool { return d.Kind != yard.NoFeedRule }) {
		return nil
	}
	fed := c.horse.nowFed()
	supply, known := c.horse.dish.meanSupply(fed)
	is := c.horse.facts.condition()
	if !c.horse.racesOnIt() && (!known || !is.thin && !is.losing || above(supply, c.horse.facts.Energy.Need.Or(0))) {
		return nil
	}
	out, now := map[yard.RuleID]guard.Ration{}, c.horse.dish.evaluate(fed, c.horse.dish.sharing.keepsMealPattern)
	for _, id := range hardFeedMarks {
		out[id] = now
	}
	if slices.ContainsFunc(c.horse.dish.bucket, func(it item) bool { return it.class() == yard.Forage && it.startingPortion().adLib }) {
		out[forageRule] = now // it has as much as it eats; less hard feed is only less
	}
	return out
}

// markName is what a limit is called where no ration keeps it.
func markName(n guard.Linear, sev yard.Severity) string {
	switch {
	case sev == yard.Warn && n.Called != "":
		return n.Called
	case sev == yard.Stop:
		return topLimit + n.Name
	}
	return usualLimit + n.Name
}

// comparable says whether enough is known for a limit, whatever is chosen.
func (m *formulation) comparable(n guard.Linear) bool {
	if n.Whole && m.c.dish.noForage {
		return false
	}
	if n.Needs == nil {
		return true
	}
	for i := range m.c.dish.bucket {
		if !n.Needs(m.c.dish.bucket[i].feed) && m.mayBeFed(i) {
			return false
		}
	}
	return true
}

// mayBeFed says whether some choice has any of an item.
func (m *formulation) mayBeFed(i int) bool {
	return m.amount[i] == nil || slices.ContainsFunc(m.amount[i], func(kg float64) bool { return kg > 0 })
}

// rowsOf is a limit multiplied out: a share is a sum less the mark times the total
// it is a share of.
func (m *formulation) rowsOf(n guard.Linear, mark float64) []choose.Row {
	share, bound := n.Factors(mark, m.asked)
	f := func(it *item) float64 { return n.PerKg(it.feed).Or(0) }
	if n.Of != nil {
		f = difference(f, share, func(it *item) float64 { return n.Of(it.feed).Or(0) })
	}
	row := func(t table) choose.Row {
		if n.Low {
			return m.atLeast(t, bound)
		}
		return m.atMost(t, bound)
	}
	var rows []choose.Row
	if n.Over == guard.AnyMeal {
		for meal := range m.c.dish.sharing.meals {
			rows = append(rows, row(m.atMeal(meal, f)))
		}
		return rows
	}
	ends := m.intakes()
	if _, short := m.passedNow[forageRule]; !m.touchesFree(f) || short && n.ID == forageRule { // the same at each end of what is eaten; or of a guess, and it is short
		ends = ends[:1]
	}
	for _, at := range ends {
		rows = append(rows, row(m.day(f, at)))
	}
	return rows
}

// grassFills says whether grass leaves no room for what is there ad lib.
func (m *formulation) grassFills() bool {
	est := m.intakes()[0]
	return est.grass >= est.adLib
}

// touchesFree says whether something is in what is eaten ad lib or grazed.
func (m *formulation) touchesFree(f perKg) bool {
	return m.grass >= 0 && f(&m.c.dish.bucket[m.grass]) != 0 || slices.ContainsFunc(m.adLib, func(i int) bool { return f(&m.c.dish.bucket[i]) != 0 })
}

// limitsOf takes over another model's limits of an ordinary day.
func (m *formulation) limitsOf(o *formulation) {
	m.model.Limits = append(m.model.Limits, o.model.Limits[o.firstSoft:o.firstStock]...)
	m.warnOnly = append(m.warnOnly, o.warnOnly[o.firstSoft:o.firstStock]...)
	m.firstStock = len(m.model.Limits)
}

// holding is the model with one more limit that the choice rests on.
func (m *formulation) holding(name string, rows ...choose.Row) *formulation {
	h := *m
	h.model.Limits = slices.Concat(m.model.Limits[:m.firstSoft], []choose.Limit{{Name: name, Rows: rows}}, m.model.Limits[m.firstSoft:])
	h.warnOnly = slices.Concat(m.warnOnly[:m.firstSoft], []bool{false}, m.warnOnly[m.firstSoft:])
	h.firstSoft++
	return &h
}

// stock adds what is in the room.
func (m *formulation) stock() {
	for i, it := range m.c.dish.bucket {
		packs, ok1 := it.feed.Feed.StockPacks.Get()
		pack, ok2 := it.feed.Feed.PackKg.Get()
		if ok1 && ok2 && m.amount[i] != nil {
			m.mark(stockOf+it.feed.Feed.Name, m.atMost(m.singleItem(i, m.week[i]), packs*pack))
		}
	}
}

// eatable keeps dry matter in all to what the standard's tables let a horse of its
// class eat, or to what it eats now where that is more (design §5.6); where forage is
// ad lib, the weighed part to what leaves room for it.
func (m *formulation) eatable() []choose.Row {
	c := m.c
	est := m.intakes()[0]
	weighed := table{of: make([][]float64, len(c.dish.bucket))}
	written := 0.0
	for i, it := range c.dish.bucket {
		for _, kg := range m.amount[i] {
			weighed.of[i] = append(weighed.of[i], kg*dmOf(it))
		}
		if m.amount[i] != nil {
			written += it.startingPortion().kg * dmOf(it)
		}
	}
	share := need.IntakeDMPerKg(c.facts.WorkClass)
	if m.climb != nil { // hay does not give way to hard feed that is on its way to harder work
		for _, w := range c.facts.Horse.Later {
			class, _ := work.WeekClass(w.Work)
			share = max(share, need.IntakeDMPerKg(class))
		}
	}
	most := max(share*c.facts.bodyKg, written)
	switch {
	case len(m.adLib) > 0 && !m.grassFills():
		most = est.adLib - est.grass
	case m.grass >= 0:
		most = min(most, mostIntakePct/100*c.facts.bodyKg-est.grass)
		if c.facts.lean() { // what the bucket holds is eaten first
			most = max(most, written)
		}
	}
	return []choose.Row{m.atMost(weighed, most)}
}
