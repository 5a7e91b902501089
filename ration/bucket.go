package ration

import (
	"math"
	"time"

	"hardfeed/ration/feeds"
	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// item is one feed of one horse: what it gets now and what is planned, all of
// its rows on the rations sheet added.
type item struct {
	feed          feeds.Known
	cell          yard.Cell
	now, planned  portion
	since         time.Time // first fed to this horse; zero: not said
	assumedForage bool      // nobody wrote it down: ad lib forage taken because no forage is named
	grazed        bool      // eaten off the field, by the hours the horse is out
	offered       bool      // no row on the rations sheet: the chooser may take it or leave it
	tied          []float64 // 1 for each meal its rows name, nil where a row names none
	chosenKg      float64   // a day, where the chooser brings in a hard feed that is not fed now
}

// portion is a day's amount on an ordinary work day.
type portion struct {
	given    bool
	adLib    bool
	unread   bool      // something stands there that is no amount
	kg       float64   // as fed, all meals
	perMeal  []float64 // kg by meal where the sheet names meals, else nil
	measured bool      // written in measures of unknown weight: unread for us
}

func (it item) class() yard.FeedClass { return it.feed.Feed.Class }
func (it item) hard() bool            { return it.class() == yard.HardFeed }

// quarterKg is a quarter of a level measure, 0 where the feed has none.
func (it item) quarterKg() float64 {
	if c := it.class(); c != yard.HardFeed && c != yard.Chaff {
		return 0
	}
	return it.feed.MeasureKg.Or(0) / 4
}

// fed is the portion an ordinary day starts from: the plan, else what is fed now.
func (it item) fed() portion {
	if it.planned.given {
		return it.planned
	}
	return it.now
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
	for _, it := range b {
		p := it.fed()
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
	return b, found, reasons
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

func (p *portion) add(a yard.Amount, k feeds.Known, meal, meals int) {
	if !a.Given {
		return
	}
	p.given = true
	if a.AdLib {
		p.adLib = true
		return
	}
	kg, ok := a.Kg.Get()
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
	p.kg += kg
	if meal >= 0 {
		if p.perMeal == nil {
			p.perMeal = make([]float64, meals)
		}
		p.perMeal[meal] += kg
	}
}

// addForage puts ad lib forage in a bucket that names none: the first forage on
// the feeds sheet, because a horse without forage is not what a blank means.
func addForage(h yard.Horse, b []item, room *feedRoom) ([]item, []yard.Finding) {
	for _, it := range b {
		if it.class() == yard.Forage && it.fed().given {
			return b, nil
		}
	}
	for _, k := range room.order {
		f := room.feeds[k]
		if f.Feed.Class != yard.Forage {
			continue
		}
		return append(b, item{feed: f, cell: f.Feed.Cell, now: portion{given: true, adLib: true}, assumedForage: true}),
			[]yard.Finding{{Rule: "forage-assumed", Severity: yard.Warn, Horse: h.Name,
				Saying: yard.Say("finding.forage-assumed", yard.FeedArg("feed", f.Feed.Name))}}
	}
	return b, []yard.Finding{{Rule: "forage-unknown", Severity: yard.Warn, Horse: h.Name,
		Saying: yard.Say("finding.forage-unknown")}}
}

// day is the kilograms as fed of each item of a bucket on one day; ad lib items
// hold an estimate.
type day []float64

// hardKg adds the hard feeds (oil and chaff apart, limits "How the weekly step
// is worked").
func (c *card) hardKg(d day) float64 {
	sum := 0.0
	for i, it := range c.bucket {
		if it.hard() {
			sum += d[i]
		}
	}
	return sum
}

// estimateAdLib fills in what is eaten ad lib: the whole intake of dry matter
// less everything that is weighed, shared equally over the ad lib forages.
func (c *card) estimateAdLib(d day) {
	left := c.rules.ForageIntakePct / 100 * c.bodyKg
	var open []int
	for i, it := range c.bucket {
		if it.grazed {
			continue
		}
		if it.fed().adLib {
			open = append(open, i)
		} else if dm, ok := it.feed.DryMatter(yard.KgFed(d[i])); ok {
			left -= float64(dm)
		}
	}
	for i, it := range c.bucket {
		if !it.grazed {
			continue
		}
		d[i] = 0
		if dm, ok := it.feed.Composition.DM.Get(); ok && dm > 0 {
			kg := min(c.grassKg(c.rules.GrazingPct), c.grassRoomKg(left))
			d[i] = kg / dm
			left -= kg
		}
	}
	for _, i := range open {
		d[i] = 0
		if dm, ok := c.bucket[i].feed.Composition.DM.Get(); ok && dm > 0 {
			d[i] = max(0, left) / float64(len(open)) / dm
		}
	}
}

// servable units, kg as fed, for what goes on a scale.
const (
	hayUnitKg    = 0.25
	weighUnitKg  = 0.05
	fineUnitKg   = 0.01
	gramUnitKg   = 0.001
	saltUnitKg   = 0.005
	oilUnitKg    = 0.005 * oilKgPerLitre // 5 ml
	wholeQuarter = 1e-6                  // quarters, absolute: a sum of quarters off by float noise is still whole
)

const oilKgPerLitre = feeds.OilKgPerLitre

// inQuarters says whether an amount is a whole number of quarter measures.
func (it item) inQuarters(kg float64) bool {
	q := it.quarterKg()
	if q == 0 {
		return false
	}
	n := kg / q
	return math.Abs(n-math.Round(n)) < wholeQuarter
}

// floorServable rounds an amount down to what can be dished out by weight.
func (it item) floorServable(kg float64) float64 {
	if it.inQuarters(kg) {
		return kg
	}
	unit := weighUnitKg
	if kg < 0.5 {
		unit = fineUnitKg
	}
	return math.Floor(kg/unit+1e-9) * unit
}

// mealsOf shares a day's amount of one item over the yard's meals. pattern
// gives the weights (nil: evenly). The parts always add up to the amount.
func (c *card) mealsOf(it item, kg float64, pattern []float64) []float64 {
	parts := make([]float64, len(c.meals))
	if kg <= 0 {
		return parts
	}
	if len(pattern) == len(parts) && math.Abs(sum(pattern)-kg) < 1e-6 { // as it was written
		copy(parts, pattern)
		return parts
	}
	var unit float64
	switch it.class() {
	case yard.Forage:
		unit = hayUnitKg
		if pattern == nil {
			pattern = untilNext(c.meals)
		}
	case yard.Oil:
		unit = oilUnitKg
		if pattern == nil && len(parts) > 1 { // over at least two meals: OI-05
			pattern = make([]float64, len(parts))
			pattern[0], pattern[len(parts)-1] = 1, 1
		}
	case yard.Salt, yard.Supplement, yard.Succulent:
		if pattern == nil {
			parts[len(parts)-1] = kg
			return parts
		}
		unit = gramUnitKg
	default:
		unit = it.quarterKg()
		if !it.inQuarters(kg) {
			unit = weighUnitKg
			if kg < 0.5 {
				unit = fineUnitKg
			}
			if it.hard() && pattern == nil {
				pattern = laterMeals(kg, len(parts))
			}
		}
	}
	return shareOut(kg, unit, pattern, len(parts))
}

// leastWeighedKg is the least hard feed that is put on a scale for one meal where
// the meals are ours to choose: a card that asks for 20 g four times a day is not
// followed (ours).
const leastWeighedKg = 0.1

// laterMeals are the last meals of a day, as many as the least that is weighed
// leaves; nil for all of them.
func laterMeals(kg float64, meals int) []float64 {
	n := max(1, int(kg/leastWeighedKg+1e-9))
	if n >= meals {
		return nil
	}
	pattern := make([]float64, meals)
	for m := meals - n; m < meals; m++ {
		pattern[m] = 1
	}
	return pattern
}

// untilNext is the time from each meal to the next, minutes: forage is shared by
// it, so that the longest time without any is as short as can be (limits D-18).
// nil where a meal's time is not known.
func untilNext(meals []yard.Meal) []float64 {
	out := make([]float64, len(meals))
	for i, m := range meals {
		next := meals[(i+1)%len(meals)].Minute
		if m.Minute < 0 || next < 0 {
			return nil
		}
		out[i] = float64((next - m.Minute + 24*60) % (24 * 60))
		if len(meals) == 1 || out[i] == 0 {
			out[i] = 24 * 60
		}
	}
	return out
}

// shareOut deals total in whole units by weight, largest remainder first, ties
// to the later meal; what is left under a unit goes to the last meal served.
func shareOut(total, unit float64, weights []float64, n int) []float64 {
	parts := make([]float64, n)
	sum := 0.0
	for _, w := range weights {
		sum += w
	}
	if len(weights) != n || sum <= 0 {
		weights = make([]float64, n)
		for i := range weights {
			weights[i] = 1
		}
		sum = float64(n)
	}
	units := int(math.Floor(total/unit + 1e-6))
	counts := make([]int, n)
	rest := make([]float64, n)
	dealt := 0
	for i, w := range weights {
		exact := float64(units) * w / sum
		counts[i] = int(math.Floor(exact + 1e-9))
		rest[i] = exact - float64(counts[i])
		dealt += counts[i]
	}
	for ; dealt < units; dealt++ {
		best := -1
		for i := range rest {
			if weights[i] > 0 && (best < 0 || rest[i] >= rest[best]-1e-9) {
				best = i
			}
		}
		counts[best]++
		rest[best] = -1
	}
	given, last := 0.0, 0
	for i, k := range counts {
		parts[i] = float64(k) * unit
		given += parts[i]
		if weights[i] > 0 {
			last = i
		}
	}
	parts[last] += total - given
	if parts[last] < 1e-12 {
		parts[last] = 0
	}
	return parts
}

// evaluate turns a day into what the limits look at.
func (c *card) evaluate(d day, keepPattern bool) guard.Ration {
	meals := make([][]float64, len(c.bucket))
	for i, it := range c.bucket {
		if !it.fed().adLib {
			meals[i] = c.mealsOf(it, d[i], c.pattern(it, keepPattern))
		}
	}
	return c.evaluateMeals(d, meals)
}

// evaluateMeals is evaluate for a day whose sharing over the meals is known.
func (c *card) evaluateMeals(d day, meals [][]float64) guard.Ration {
	r := c.ofHorse()
	r.Feeds = make([]guard.Fed, 0, len(c.bucket))
	for i, it := range c.bucket {
		f := guard.Fed{Feed: it.feed, Kg: d[i]}
		if !it.fed().adLib {
			f.PerMeal = meals[i]
		}
		if dm := dmOf(it); it.grazed && dm > 0 { // the floor must hold at the low end of what is grazed
			f.LeastKg = yard.Known(min(d[i], c.grassRangeKg().Low.Or(0)/dm))
		}
		r.Feeds = append(r.Feeds, f)
	}
	return r
}

// ofHorse is a ration without feeds: what the limits ask of the horse.
func (c *card) ofHorse() guard.Ration {
	r := guard.Ration{BodyKg: c.bodyKg, CeilingKg: c.capKg, Diagnoses: c.Horse.Diagnoses, VitENeeds: c.vitaminENeed, ForageUnknown: c.noForage,
		Sweats: c.WorkClass != yard.ClassRest && c.WorkClass != yard.ClassLight, Meals: make([]string, len(c.meals))}
	for m := range c.meals {
		r.Meals[m] = c.meals[m].Name
	}
	return r
}

// pattern is how the sheet deals an item over the meals; keep is false where a
// stop made us share everything out evenly instead.
func (c *card) pattern(it item, keep bool) []float64 {
	if !keep && it.hard() {
		return nil
	}
	for _, given := range [][]float64{it.planned.perMeal, it.now.perMeal} {
		if sum(given) > 0 {
			return given
		}
	}
	return it.tied // nothing is fed yet
}

// addTo adds to a sum that becomes unknown with its first unknown part.
func addTo(sum *yard.Num, v float64, known bool) {
	s, ok := sum.Get()
	if !ok || !known {
		*sum = yard.Num{}
		return
	}
	*sum = yard.Known(s + v)
}
