package ration

import (
	"math"
	"slices"
	"time"

	"hardfeed/ration/feeds"
	"hardfeed/ration/yard"
)

// item is one feed of one horse: what it gets now and what is planned, all of
// its rows on the rations sheet added.
type item struct {
	feed          *feeds.Resolved
	cell          yard.Cell
	now, planned  portion
	since         time.Time // first fed to this horse; zero: not said
	assumedForage bool      // nobody wrote it down: ad lib forage taken because no forage is named
	grazed        bool      // eaten off the field, by the hours the horse is out
	offered       bool      // no row on the rations sheet: the chooser may take it or leave it
	mayComeIn     bool      // for what the ration is short of: the chooser may bring it in, or more of it
	tied          []float64 // 1 for each meal its rows name, nil where a row names none
	chosenKg      float64   // a day, where the chooser brings in a feed that is not fed now
	mealKg        float64   // of a hard feed: what one meal has room for beside the others
}

// portion is a day's amount on an ordinary work day.
type portion struct {
	given    bool
	adLib    bool
	unread   bool      // something is there that is not an amount
	kg       float64   // as fed, all meals
	perMeal  []float64 // kg by meal where the sheet names meals, else nil
	measured bool      // written in measures of unknown weight: unread for us
	countKg  float64   // of forage written in nets or flakes: the weight of one, or of half where halves are written; else 0
}

func (it item) class() yard.FeedClass { return it.feed.Feed.Class }

func (it item) hard() bool { return it.class() == yard.HardFeed }

// quarterKg is a quarter of a level measure, 0 where the feed has none.
func (it item) quarterKg() float64 {
	if c := it.class(); c != yard.HardFeed && c != yard.Chaff {
		return 0
	}
	return it.feed.MeasureKg.Or(0) / 4
}

// forageUnitKg is what forage is served in: whole nets or flakes where she counts it in
// those, halves where she does, else quarter kilos (design §5d).
func (it item) forageUnitKg() float64 {
	unit := 0.0
	for _, p := range []portion{it.now, it.planned} {
		if p.countKg > 0 && (unit == 0 || p.countKg < unit) {
			unit = p.countKg
		}
	}
	if unit == 0 {
		return hayUnitKg
	}
	return unit
}

// counted says whether forage is written in nets or flakes.
func (it item) counted() bool { return it.now.countKg > 0 || it.planned.countKg > 0 }

// startingPortion is the portion an ordinary day starts from: the plan, else what is fed now.
func (it item) startingPortion() portion {
	if it.planned.given {
		return it.planned
	}
	return it.now
}

// written says whether somebody wrote down what is fed now of a feed: hours at
// grass do not tell what the bucket holds.
func (it item) written() bool { return it.now.given && !it.assumedForage && !it.grazed }

// isNew says whether a feed is planned or chosen that is not fed now, where it is known
// what is.
func (it item) isNew(nowKnown bool) bool {
	return nowKnown && !it.grazed && !it.assumedForage && (!it.now.given || !it.now.unread && !it.now.adLib && it.now.kg == 0) &&
		(it.planned.given && (it.planned.kg > 0 || it.planned.adLib) || it.chosenKg > 0)
}

// bucket is the feeds of one horse.
type bucket []item

// hardKg adds the hard feeds (oil and chaff apart, limits "How the weekly step
// is worked").
func (b bucket) hardKg(d dailyKg) float64 {
	sum := 0.0
	for i, it := range b {
		if it.hard() {
			sum += d[i]
		}
	}
	return sum
}

func (b bucket) hardFeedPlanned() bool {
	return slices.ContainsFunc(b, func(it item) bool { return it.hard() && it.planned.given })
}

// mainForage is the weighed forage that is moved: the one fed most now, the first
// on the sheet where equal, straw only where there is nothing else; −1 none. The
// others stay as fed: one forage for another is a change of its own (limits
// D-05).
func (b bucket) mainForage() int {
	best := -1
	for i, it := range b {
		if it.class() != yard.Forage || it.grazed || it.startingPortion().adLib {
			continue
		}
		if best < 0 || !it.feed.Straw && b[best].feed.Straw || it.feed.Straw == b[best].feed.Straw && it.now.kg > b[best].now.kg {
			best = i
		}
	}
	return best
}

// mainHardFeed is the hard feed that is moved: the one fed most now, the first
// on the sheet where equal; -1 if the horse has none or its energy is unknown.
func (b bucket) mainHardFeed() int {
	best := -1
	for i, it := range b {
		if !it.hard() || !it.feed.Composition.DE.IsKnown() || !it.feed.Composition.DM.IsKnown() {
			continue
		}
		if best < 0 || it.now.kg > b[best].now.kg {
			best = i
		}
	}
	return best
}

// hardFeeds are the places of the hard feeds in the bucket.
func (b bucket) hardFeeds() (at []int) {
	for i, it := range b {
		if it.hard() {
			at = append(at, i)
		}
	}
	return at
}

// fillBucket gathers a horse's rows by feed. reasons say why no card can be
// computed.
func fillBucket(h yard.Horse, lines []yard.Line, room *feedRoom, week yard.Week) (b []item, found []yard.Finding, reasons []yard.Saying) {
	at := map[string]int{}
	rows := map[string]yard.Line{} // by feed and meal
	for _, l := range lines {
		known, f := room.find(l.Feed, l.Cell)
		if f != nil {
			f.Horse = h.Name
			found = append(found, *f)
			if f.Severity == yard.Stop {
				reasons = append(reasons, f.Says())
				continue
			}
		}
		k := fold(l.Feed)
		i, seen := at[k]
		if !seen {
			i = len(b)
			at[k] = i
			b = append(b, item{feed: known, cell: l.Cell})
		}
		if since := l.Since; !since.IsZero() && (b[i].since.IsZero() || since.Before(b[i].since)) {
			b[i].since = since
		}
		meal := -1
		for m := range week.Meals {
			if fold(week.Meals[m].Name) == fold(l.Meal) {
				meal = m
			}
		}
		b[i].tie(meal, len(week.Meals), !seen)
		row := k + "\x00" + fold(l.Meal)
		if first, twice := rows[row]; twice && (first.Now.Given && l.Now.Given || first.Planned.Given && l.Planned.Given) {
			says := yard.Say("finding.line-twice", yard.FeedArg("feed", known.Feed.Name), yard.Named("cell", yard.Place, first.Cell.String()))
			if l.Meal != "" {
				says = yard.Say("finding.line-twice.meal", yard.FeedArg("feed", known.Feed.Name), yard.Named("meal", yard.MealName, l.Meal), yard.Named("cell", yard.Place, first.Cell.String()))
			}
			found = append(found, yard.Finding{Rule: "line-twice", Severity: yard.Warn, Horse: h.Name, Cell: l.Cell, Saying: says})
		} else if !twice {
			rows[row] = l
		}
		b[i].now.add(l.Now, known, meal, len(week.Meals))
		b[i].planned.add(l.Planned, known, meal, len(week.Meals))
	}
	unread, why := sayUnread(h, b)
	return b, append(found, unread...), append(reasons, why...)
}

// sayUnread says which amounts of a bucket are not known; reasons are those a card
// cannot do without.
func sayUnread(h yard.Horse, b []item) (found []yard.Finding, reasons []yard.Saying) {
	for _, it := range b {
		p := it.startingPortion()
		if !p.unread {
			if it.now.unread {
				found = append(found, yard.Finding{Rule: "amount-unread", Severity: yard.Warn, Horse: h.Name, Cell: it.cell,
					Saying: yard.Say("finding.amount-unread.now", yard.FeedArg("feed", it.feed.Feed.Name))})
			}
			continue
		}
		name, measure := yard.FeedArg("feed", it.feed.Feed.Name), yard.Named("measure", yard.Term, it.feed.Feed.MeasureName)
		says := yard.Say("finding.amount-unread", name)
		switch {
		case p.measured && it.feed.NotBelieved:
			says = yard.Say("finding.amount-unread.doubted", name, measure)
		case p.measured:
			says = yard.Say("finding.amount-unread.unweighed", name, measure)
		}
		sev := yard.Warn
		if it.hard() && it.planned.given || it.class() == yard.Forage {
			sev = yard.Stop
			reasons = append(reasons, says)
		}
		found = append(found, yard.Finding{Rule: "amount-unread", Severity: sev, Horse: h.Name, Cell: it.cell, Saying: says})
	}
	return found, reasons
}

// tie notes the meal a row names; -1: it names none, and the feed is tied to none.
func (it *item) tie(meal, meals int, first bool) {
	switch {
	case meal < 0:
		it.tied = nil
		return
	case first:
		it.tied = make([]float64, meals)
	}
	if it.tied != nil {
		it.tied[meal] = 1
	}
}

func (p *portion) add(a yard.Amount, k *feeds.Resolved, meal, meals int) {
	if !a.Given {
		return
	}
	p.given = true
	if c := k.Feed.Class; a.AdLib && (c == yard.HardFeed || c == yard.Oil || c == yard.Succulent || k.Kind == feeds.Supplementary) { // how much of it is not known
		p.unread = true
		return
	}
	if a.AdLib {
		p.adLib = true
		return
	}
	kg, ok := a.Kg.Get()
	if !ok && k.Lick && k.Kind != feeds.Compound { // "in the stable": it lies there
		p.adLib = true
		return
	}
	if a.Measures.IsKnown() && k.NotBelieved { // whatever it was turned into went by that weight
		p.unread, p.measured = true, true
		return
	}
	if !ok {
		n, measured := a.Measures.Get()
		w, weighed := k.MeasureKg.Get()
		if !measured || !weighed {
			p.unread = true
			p.measured = measured
			return
		}
		kg = n * w
	}
	p.count(a, k, kg)
	p.kg += kg
	if meal >= 0 {
		if p.perMeal == nil {
			p.perMeal = make([]float64, meals)
		}
		p.perMeal[meal] += kg
	}
}

// count takes down what forage is counted in: whole ones, or halves where a row has a half.
func (p *portion) count(a yard.Amount, k *feeds.Resolved, kg float64) {
	n, counted := a.Measures.Get()
	if k.Feed.Class != yard.Forage || !counted || n <= 0 || kg <= 0 {
		return
	}
	unit := kg / n
	if math.Abs(n-math.Round(n)) > wholeQuarter {
		unit /= 2
	}
	if p.countKg == 0 || unit < p.countKg {
		p.countKg = unit
	}
}

// addForage puts ad lib forage in a bucket that names none: the first forage on
// the feeds sheet, because a horse without forage is not what a blank means.
func addForage(h yard.Horse, b []item, room *feedRoom) ([]item, []yard.Finding) {
	for _, it := range b {
		if it.class() == yard.Forage && it.startingPortion().given {
			return b, nil
		}
	}
	for _, k := range room.order {
		f := room.feeds[k]
		if f.Feed.Class != yard.Forage || toSlim(&h) && h.GrassHours.Or(0) > 0 { // a horse to slim gets no hay that nobody wrote
			continue
		}
		return append(b, item{feed: f, cell: f.Feed.Cell, now: portion{given: true, adLib: true}, assumedForage: true}),
			[]yard.Finding{{Rule: "forage-assumed", Severity: yard.Warn, Horse: h.Name,
				Saying: yard.Say("finding.forage-assumed", yard.FeedArg("feed", f.Feed.Name))}}
	}
	return b, []yard.Finding{{Rule: "forage-unknown", Severity: yard.Warn, Horse: h.Name,
		Saying: yard.Say("finding.forage-unknown")}}
}
