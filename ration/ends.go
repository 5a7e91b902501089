package ration

import (
	"cmp"
	"hardfeed/ration/need"
	"hardfeed/ration/yard"
	"math"
	"slices"
)

// consequencePct is how much of the need all feeds together may bring of what is not
// known of them and still hide nothing: 30 g of salt or a carrot. Ours; the analyses
// of what is known are no finer.
const consequencePct = 2.0

// A nutrient that even at its high end is less than a quarter of the need is a warning, and
// else a note; so is sodium under three quarters of what hard work asks, most of which is
// sweat, where no hay holds it. Ours.
const (
	farShort       = 0.25
	farShortSweats = 0.75
)

// assumedForage says whether nobody wrote down what forage there is.
func (b bucket) assumedForage() bool {
	return slices.ContainsFunc(b, func(it item) bool { return it.assumedForage })
}

// farShort is the share of a need under which a horse is warned of.
func (c *facts) farShort(n need.Nutrient) float64 {
	if n.Name == "sodium" && (c.WorkClass == yard.ClassHeavy || c.WorkClass == yard.ClassVeryHeavy) {
		return farShortSweats
	}
	return farShort
}

// weekly is what the week's feeds bring of one thing, a day.
type weekly struct {
	mean    yard.Num   // unknown where it is of a feed of consequence
	atLeast float64    // the known part of it
	ends    yard.Range // over what each feed may hold, and grass may be eaten of
}

// total adds one thing up over the week. What is not known of a feed is no doubt
// where the most that feeds of its kind are believed to hold comes to less than
// consequencePct of the need.
func (c *dish) total(week []float64, of func(yard.Composition) yard.Num, needed yard.Num) weekly {
	var t weekly
	spared := needed.Or(0) * consequencePct / 100
	low, high := 0.0, 0.0
	unknown, unbounded := 0.0, 0.0 // the most that feeds of unknown content, and of unknown ends, bring
	for i := range c.bucket {
		it, kg := &c.bucket[i], week[i]/7
		if kg == 0 && (!it.lick() || c.noLicks) {
			continue
		}
		per, known := it.feed.Contains(1, of(it.feed.Composition)).Get()
		t.atLeast += per * kg
		// A kilo of each end, times the kilos of that end.
		leastKg, mostKg := c.grazedEndsKg(i, kg)
		ends := it.feed.Between(1, of)
		low += ends.Low.Or(0) * leastKg
		end, bounded := ends.High.Get()
		end *= mostKg
		most := end
		if !bounded {
			most = it.feed.AtMost(yard.KgFed(mostKg), of).Or(math.Inf(1))
			unbounded += most
		}
		if !known || it.lick() {
			unknown += most
		}
		high += end
	}
	t.ends.Low = yard.Known(low)
	if !c.noForage && unknown <= spared {
		t.mean = yard.Known(t.atLeast)
	}
	// What could bring as much again as is needed tells nothing any more (ours).
	if !c.noForage && (unbounded <= spared || unbounded < needed.Or(0)) {
		t.ends.High = yard.Known(high + unbounded)
	}
	return t
}

// mostLickedKg is the most salt a day that horses of 500 kg took of their own will: 19 to
// 143 g, 53 g on average (Schryver and others 1987, from memory). Some take none.
const mostLickedKg = 0.143

// ofNutrient adds a nutrient up over the week. Of sodium and chloride no lick is counted on
// where a horse works: it alone does not cover what that needs (limits SA-06).
func (c *dish) ofNutrient(week []float64, n need.Nutrient, needed yard.Num) weekly {
	if (n.Name == "sodium" || n.Name == "chloride") && c.facts.works() && slices.ContainsFunc(c.bucket, item.lick) {
		counted := *c
		counted.noLicks = true
		return counted.total(week, n.Content, needed)
	}
	return c.total(week, n.Content, needed)
}

// works says whether a horse works more than lightly.
func (c *facts) works() bool {
	return c.WorkClass != yard.ClassRest && c.WorkClass != yard.ClassLight
}

// sayLicks says of which feeds nobody knows how much is eaten, so that none is counted on.
func sayLicks(c *dish, say *log) {
	var names []string
	for _, it := range c.bucket {
		if it.lick() {
			names = append(names, it.feed.Feed.Name)
		}
	}
	if names != nil {
		say.find("lick", yard.Note, c.facts.Horse.Cell, "limits SA-06", yard.Say("finding.lick", yard.Names("feeds", yard.AndAll, yard.FeedName, names)))
	}
}

// grazedEndsKg are the ends of what is eaten of a feed a day, kg as fed: of grass
// what may be grazed in the hours, of a lick nothing to the most that was licked, of all
// else what is served.
func (c *dish) grazedEndsKg(i int, kg float64) (least, most float64) {
	it := c.bucket[i]
	if it.lick() {
		return 0, mostLickedKg * c.facts.bodyKg / labelHorseKg
	}
	dm, ok := it.feed.Composition.DM.Get()
	if !it.grazed || !ok || dm <= 0 {
		return kg, kg
	}
	r := c.facts.grassRangeKg()
	return min(kg, r.Low.Or(0)/dm), max(kg, r.High.Or(0)/dm)
}

// shortOf says how far short of its need a nutrient is, at both ends where they
// differ.
func shortOf(name string, t weekly, needed float64) yard.Saying {
	low, high := math.Round(t.ends.Low.Or(0)/needed*100), math.Round(t.ends.High.Or(0)/needed*100)
	if low == high {
		return yard.Say("part.of need", yard.Named("nutrient", yard.Term, name), yard.Fixed("pct", high, yard.Percent, 0))
	}
	return yard.Say("part.of need.between", yard.Named("nutrient", yard.Term, name), yard.Fixed("low", low, yard.Percent, 0), yard.Fixed("high", high, yard.Percent, 0))
}

// overLimit says by how much a nutrient passes its limit, and which of the bucket's
// feeds pass it together.
func (c *served) overLimit(n need.Nutrient, line yard.Nutrient, week []float64) yard.Saying {
	args := []yard.Arg{yard.Named("nutrient", yard.Term, n.Name), yard.Figures("amount", line.AtLeast, yard.Unit(n.Unit), 3), yard.Named("unit", yard.Term, n.Unit), yard.Figures("limit", line.Limit.Or(0), yard.Unit(n.Unit), 3)}
	if names := c.broughtBy(n.Content, week, line.AtLeast); len(names) > 1 {
		return yard.Say("part.over limit.together", append(args, yard.Names("feeds", yard.And, yard.FeedName, names))...)
	}
	return yard.Say("part.over limit", args...)
}

// broughtBy are the feeds, forage aside, that bring a tenth or more of a total, the
// one that brings most first.
func (c *served) broughtBy(of func(yard.Composition) yard.Num, week []float64, total float64) []string {
	const share = 0.1
	type part struct {
		name string
		of   float64
	}
	var parts []part
	for i, it := range c.dish.bucket {
		v := it.feed.Contains(yard.KgFed(week[i]/7), of(it.feed.Composition)).Or(0)
		if it.feed.Feed.Class != yard.Forage && v >= share*total {
			parts = append(parts, part{it.feed.Feed.Name, v})
		}
	}
	slices.SortStableFunc(parts, func(a, b part) int { return cmp.Compare(b.of, a.of) })
	names := make([]string, len(parts))
	for i, p := range parts {
		names[i] = p.name
	}
	return names
}
