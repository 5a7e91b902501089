package ration

import (
	"math"
	"slices"

	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// Amounts that are tried to make up what a ration is short of: supplements and salt by
// the 10 g, balancers by the 50 g. mostSupplementKg is the most of a supplement a day that
// is thought of. Ours; the label goes before it.
const (
	supplementUnitKg = 0.01
	mostSupplementKg = 0.1
)

// labelHorseKg is the horse that labels give their rates for: common practice, no source.
const labelHorseKg = 500.0

// labelUnitKg is what a supplement is weighed in: what its label counts in grams only is
// weighed by the gram (ours).
func labelUnitKg(labelKg float64) float64 {
	for _, unit := range []float64{supplementUnitKg, supplementUnitKg / 2} {
		if labelKg >= 5*unit {
			return unit
		}
	}
	return gramKg
}

// labelKg is the most of a feed a day that its label allows the horse.
func (c *facts) labelKg(it item) (kg float64, labelled bool) {
	kg, labelled = it.feed.Feed.LabelKg.Get()
	return kg * c.bodyKg / labelHorseKg, labelled
}

// balancerKg is the most of a balancer a day that the chooser gives.
func (c *facts) balancerKg(it item) float64 {
	if kg, labelled := c.labelKg(it); labelled {
		return kg
	}
	return usualBalancerKg * c.bodyKg / 100
}

// closing is an amount of one feed of the room, kg a day, and the nutrients that it would
// bring to their need.
type closing struct {
	it    item
	kg    float64
	makes []yard.Nutrient
}

// whatCloses are the supplements, salt and balancers of the room that would bring
// nutrients which are short to their need and pass no limit that the ration keeps, each in
// the smallest amount that does: first the one that makes up most of them, then the one
// that makes up most of what is left. It changes no card: a feed comes in when the manager
// says so.
func (c *served) whatCloses(lines []yard.Nutrient, room *feedRoom) []closing {
	var short []yard.Nutrient
	for _, n := range lines {
		if c.facts.isShort(n) {
			short = append(short, n)
		}
	}
	var with []closing
	for len(short) > 0 {
		var best closing
		for _, k := range room.order {
			it := item{feed: room.feeds[k]}
			if it.feed.Lick || slices.ContainsFunc(with, func(o closing) bool { return o.it.feed.Feed.Name == it.feed.Feed.Name }) {
				continue
			}
			got := c.closedBy(it, short, lines, with)
			if len(got.makes) > len(best.makes) || len(got.makes) == len(best.makes) && got.kg < best.kg {
				best = got
			}
		}
		if best.makes == nil {
			break
		}
		with = append(with, best)
		short = slices.DeleteFunc(short, func(n yard.Nutrient) bool {
			return slices.ContainsFunc(best.makes, func(m yard.Nutrient) bool { return m.Name == n.Name })
		})
	}
	return with
}

// closedBy is the smallest amount of a feed that makes up all of what is short that any
// amount of it could, beside what comes in already.
func (c *served) closedBy(it item, short, all []yard.Nutrient, with []closing) closing {
	unit, most := c.dish.completingAmounts(it, c.final)
	if i := slices.IndexFunc(c.dish.bucket, func(o item) bool { return o.feed == it.feed }); i >= 0 && it.class() != yard.Salt {
		most -= c.final[i] // what is named comes on top
	}
	best := closing{it: it}
	var kept map[yard.RuleID]yard.Severity
	for n := 1; !above(float64(n)*unit, most); n++ {
		try := closing{it: it, kg: float64(n) * unit}
		for _, s := range short {
			if more, ok := try.brings(s).Get(); ok && s.Between.High.Or(0)+brought(with, s)+more >= c.facts.enough(s) {
				try.makes = append(try.makes, s)
			}
		}
		if len(try.makes) <= len(best.makes) {
			continue
		}
		if kept == nil {
			kept = c.limitsPassed(with)
		}
		if !c.keepsLimits(append(slices.Clone(with), try), all, kept) {
			break // and no more of it does
		}
		best = try
	}
	return best
}

// completingAmounts are the unit and the most of a feed that may be thought of beside
// what is fed, kg a day.
func (c *dish) completingAmounts(it item, fed dailyKg) (unitKg, mostKg float64) {
	switch label, labelled := c.facts.labelKg(it); {
	case it.balancer():
		return weighUnitKg, c.facts.balancerKg(it)
	case it.class() == yard.Supplement && labelled:
		return labelUnitKg(label), label
	case it.class() == yard.Supplement:
		return supplementUnitKg, mostSupplementKg * c.facts.bodyKg / labelHorseKg
	case it.class() == yard.Salt:
		salt := 0.0
		for i, o := range c.bucket {
			if o.class() == yard.Salt {
				salt += fed[i]
			}
		}
		return saltUnitKg, saltRoom*guard.SaltStopG(c.facts.ceilingWeightKg, c.facts.rules.Limits)/1000 - salt
	}
	return supplementUnitKg, 0
}

// enough is how much of a nutrient is no shortfall.
func (c *facts) enough(n yard.Nutrient) float64 {
	return (1 - c.rules.EnergyBandPct/100) * n.Need.Or(0)
}

// isShort says whether a nutrient is short of its need even where every feed holds the
// most that it may.
func (c *facts) isShort(n yard.Nutrient) bool {
	high, ok := n.Between.High.Get()
	return ok && high < c.enough(n)
}

func (o closing) brings(n yard.Nutrient) yard.Num {
	return o.it.feed.Contains(yard.KgFed(o.kg), contentOf(o.it.feed, n.Name))
}

// brought is what is known to come of a nutrient with the feeds that come in.
func brought(with []closing, n yard.Nutrient) float64 {
	sum := 0.0
	for _, o := range with {
		sum += o.brings(n).Or(0)
	}
	return sum
}

// keepsLimits says whether the ration with the feeds that come in passes no tolerable
// level, and no limit but those that it passes without the last of them.
func (c *served) keepsLimits(with []closing, all []yard.Nutrient, kept map[yard.RuleID]yard.Severity) bool {
	if slices.ContainsFunc(all, func(n yard.Nutrient) bool {
		return n.AtLeast+brought(with, n) > n.Limit.Or(math.Inf(1))
	}) {
		return false
	}
	for rule, severity := range c.limitsPassed(with) {
		if was, passed := kept[rule]; !passed || was != severity {
			return false
		}
	}
	return true
}

// limitsPassed are the limits that the ration passes with the feeds that come in, each with
// its gravest mark.
func (c *served) limitsPassed(with []closing) map[yard.RuleID]yard.Severity {
	r := c.dish.evaluate(c.final, c.dish.sharing.keepsMealPattern)
	for _, o := range with {
		meals := make([]float64, len(c.dish.sharing.meals))
		if len(meals) > 0 {
			meals[0] = o.kg
		}
		r.Feeds = append(r.Feeds, guard.Fed{Feed: o.it.feed, Kg: o.kg, PerMeal: meals})
	}
	passed := map[yard.RuleID]yard.Severity{}
	for _, f := range guard.Check(c.facts.Horse.Name, r, c.facts.rules.Limits) {
		if was, ok := passed[f.Rule]; !ok || f.Severity == yard.Stop || was == yard.Note {
			passed[f.Rule] = f.Severity
		}
	}
	return passed
}

// sayShort says which nutrients are short, and what in the room would make them up.
func (c *served) sayShort(short []yard.Saying, severity yard.Severity, lines []yard.Nutrient, room *feedRoom, say *log) {
	if len(short) == 0 {
		return
	}
	list := yard.SayingList("short", yard.Comma, short)
	says := yard.Say("finding.nutrient", list)
	var by []yard.Saying
	for _, o := range c.whatCloses(lines, room) {
		names := make([]string, len(o.makes))
		for i, n := range o.makes {
			names[i] = n.Name
		}
		by = append(by, yard.Say("part.makes up", yard.Fixed("g", o.kg*1000, yard.Grams, 0), yard.FeedArg("feed", o.it.feed.Feed.Name), yard.Names("nutrients", yard.And, yard.Term, names)))
	}
	if by != nil {
		says = yard.Say("finding.nutrient.closed", list, yard.SayingList("by", yard.And, by))
	}
	say.find("nutrient", severity, yard.Cell{}, "NRC 2007", says)
}
