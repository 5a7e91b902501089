package ration_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"hardfeed/ration/yard"
)

// danger is a horse with one thing wrong: what a person must be told, and what
// must not be on the card. Bounds of harm are the stop limits of the reference table
// of limits and design §5 where they have one, and ours where they have none.
type danger struct {
	what  string
	plant func(s *stable)
	seen  matter
	harm  func(c printed) string // "" none; nil: the danger is not an amount of the card
}

// What harm looks like.

// over says that more of something than kg is on some day's card.
func over(of func(yard.Serving) bool, kg float64) func(printed) string {
	return func(c printed) string {
		if most := c.most(of); most > kg+1e-6 {
			return fmt.Sprintf("%.2f kg a day", most)
		}
		return ""
	}
}

var hardFeed = class(yard.HardFeed)

// mondayOver is the same of the first day.
func mondayOver(name string, kg float64) func(printed) string {
	return func(c printed) string {
		if got := total(c.on(0), feed(name)); got > kg+1e-6 {
			return fmt.Sprintf("%.2f kg of %s on the first day", got, name)
		}
		return ""
	}
}

// takes says that less of a feed is on an ordinary day than is fed now; no card at
// all takes it too.
func takes(names ...string) func(printed) string {
	return func(c printed) string {
		if c.Status == yard.NoCard {
			return "no card"
		}
		for _, n := range names {
			if got := c.least(feed(n)); got < c.now[n]*0.97-1e-6 {
				return fmt.Sprintf("%s %.2f kg, now %.2f", n, got, c.now[n])
			}
		}
		return ""
	}
}

// changes says that an amount is not what is fed now.
func changes(names ...string) func(printed) string {
	return func(c printed) string {
		if why := takes(names...)(c); why != "" {
			return why
		}
		for _, n := range names {
			if got := c.most(feed(n)); got > c.now[n]*1.03+1e-6 {
				return fmt.Sprintf("%s %.2f kg, now %.2f", n, got, c.now[n])
			}
		}
		return ""
	}
}

// lessEnergy says that the card's ordinary day has less energy than what is fed now.
func lessEnergy(c printed) string {
	if c.Status == yard.NoCard {
		return "no card"
	}
	now := 0.0
	for f, kg := range c.now {
		x := c.feeds[f].Composition
		now += kg * x.DM.Or(0) * x.DE.Or(0)
	}
	for d := range 7 {
		all := slices.DeleteFunc(c.servings(d, yard.WorkDay), func(s yard.Serving) bool { return s.Grazed.IsKnown() })
		if got := c.holding(all, energyOf); got < now*0.97 {
			return fmt.Sprintf("%.1f Mcal on day %d, now %.1f", got, d+1, now)
		}
	}
	return ""
}

// hayBeforeHard says that forage is cut while hard feed other than balancer stays.
func hayBeforeHard(c printed) string {
	hay, hard := c.least(class(yard.Forage)), 0.0
	for d := range 7 {
		hard = max(hard, total(c.servings(d, yard.WorkDay), func(s yard.Serving) bool { return hardFeed(s) && s.Feed != "Balancer" }))
	}
	if now := c.now["Hay"]; hay < now*0.97 && hard > 0.05 {
		return fmt.Sprintf("hay %.2f kg, now %.2f, beside %.2f kg of hard feed", hay, now, hard)
	}
	return ""
}

// littleForage says that forage is under a share of the body weight as dry matter.
func littleForage(pct float64) func(printed) string {
	return func(c printed) string {
		for d := range 7 {
			if got := c.holding(forage(c.on(d)), one) / c.kg * 100; c.Status != yard.NoCard && got < pct-1e-6 {
				return fmt.Sprintf("%.2f %% of body weight of forage on day %d", got, d+1)
			}
		}
		return ""
	}
}

// slowForage says that forage is under a share of the body weight and does not go up by
// a quarter on the first day and another one later in the week (design §5.7); or that it
// goes up by more in a day.
func slowForage(pct float64) func(printed) string {
	return func(c printed) string {
		now, before := c.now["Hay"], c.now["Hay"]
		for d := range 7 {
			got := total(c.on(d), feed("Hay"))
			if got > before*1.25+0.01 {
				return fmt.Sprintf("hay from %.2f to %.2f kg on day %d", before, got, d+1)
			}
			least := 1.15 * now
			if d >= 4 {
				least = 1.35 * now
			}
			if dm := c.holding(forage(c.on(d)), one) / c.kg * 100; c.Status == yard.NoCard || dm < pct-1e-6 && got < least {
				return fmt.Sprintf("%.2f %% of body weight of forage on day %d, %.2f kg of hay", dm, d+1, got)
			}
			before = got
		}
		return ""
	}
}

// mealStarch says that a meal's bucket has more starch than g per kg body weight.
func mealStarch(g float64) func(printed) string {
	return func(c printed) string {
		if got := c.atMeals(func(m []yard.Serving) float64 { return c.holding(bucket(m), starchOf) }) / c.kg; got > g+1e-6 {
			return fmt.Sprintf("%.2f g of starch per kg in a meal", got)
		}
		return ""
	}
}

// carded says that a card is printed at all; noCard that none is.
func carded(c printed) string {
	if c.Status != yard.NoCard {
		return "a card"
	}
	return ""
}

func noCard(c printed) string {
	if c.Status == yard.NoCard {
		return fmt.Sprint("no card: ", c.NoCardWhy)
	}
	return ""
}

// both says the first of several harms.
func both(all ...func(printed) string) func(printed) string {
	return func(c printed) string {
		for _, harm := range all {
			if why := harm(c); why != "" {
				return why
			}
		}
		return ""
	}
}

// Matters of more than one danger.
var (
	aStep     = about("D-02", "D-04", "step", "exchange", "starch")
	aChange   = about("D-05", "D-08", "change", "forage-step", "chaff").orWords("new hay|mix it into the old")
	unknown   = about("D-01", "D-02", "now-unknown", "last-week", "rations-missing").orWords("not known|don't know")
	restFed   = about("D-20", "rest")
	losingIt  = about("D-28", "slimming", "losing", "weight-trend").orWords("weight going down|losing")
	tooLittle = about("energy", "short", "thin")
	tooMuch   = about("energy", "fat", "overfed")
	vetsWord  = about("diagnos", "vet-named").orWords("vet")
	sugar     = about("D-15")
	noRation  = about("D-29")
	unlikeNow = about("fed-now", "energy", "keeps-now")
	amounts   = about("amount", "ad-lib", "hard-ad-lib")
	eventTime = about("D-19", "event").orWords("event|show|competition")
)

func dangers() []danger {
	return slices.Concat(stepDangers(), workDangers(), conditionDangers(), vetDangers(), feedDangers(), roomDangers(), moreDangers(), caseDangers(), vetsDangers(), roundsDangers())
}

// try plans the horse: whether the danger is seen, its harm on the card, and all that is told.
func (d danger) try() (seen bool, harm string, all []sight) {
	c, told := d.plan()
	if d.harm != nil {
		harm = d.harm(c)
	}
	return d.silent() || d.seen.in(told), harm, told
}

func (d danger) plan() (printed, []sight) {
	s := ordinary()
	d.plant(&s)
	return s.plan()
}

// silent says that nothing need be told: it is enough that the harm is not done.
func (d danger) silent() bool { return d.seen.ids == nil }

// Each planted danger is seen by a person, and its harm is not on the card.
func TestPlantedDangersAreSeenAndNotPrinted(t *testing.T) {
	t.Parallel()
	var unseen, harmful []string
	all := dangers()
	names := map[string]bool{}
	withHarm, toSee := 0, 0
	for _, d := range all {
		if names[d.what] {
			t.Errorf("%s stands twice", d.what)
		}
		names[d.what] = true
		if d.harm != nil {
			withHarm++
		}
		if !d.silent() {
			toSee++
		}
		seen, harm, told := d.try()
		if !seen {
			unseen = append(unseen, d.what)
			if !slices.Contains(floors.unseen, d.what) {
				t.Errorf("%s: not seen; told of %v", d.what, told)
			}
		}
		if harm != "" {
			harmful = append(harmful, d.what)
			t.Logf("printed: %s: %s", d.what, harm)
			if !slices.Contains(floors.harmful, d.what) {
				t.Errorf("%s: %s", d.what, harm)
			}
		}
	}
	for _, n := range slices.Concat(floors.unseen, floors.harmful) {
		if !names[n] {
			t.Errorf("no danger is called %q", n)
		}
	}
	t.Logf("not seen: %s", strings.Join(unseen, "; "))
	t.Logf("%d dangers: %d of %d seen; %d of %d harms printed", len(all), toSee-len(unseen), toSee, len(harmful), withHarm)
	for _, n := range floors.unseen {
		if !slices.Contains(unseen, n) {
			t.Logf("is seen now, take it off the floor: %s", n)
		}
	}
	for _, n := range floors.harmful {
		if !slices.Contains(harmful, n) {
			t.Logf("is not printed now, take it off the floor: %s", n)
		}
	}
	if len(all) < 80 {
		t.Errorf("only %d dangers", len(all))
	}
}

// A stop says that the card is not what she planned, or that there is none (design
// §5b); and one cause is told once: a horse with one thing wrong is told of little beside what
// the ordinary horse is told of, which has its hay in four feeds.
func TestAStopIsACardThatDiffersAndOneCauseIsToldOnce(t *testing.T) {
	t.Parallel()
	all := dangers()
	stops, told := 0, 0
	rules := map[string]int{}
	plain := ordinary()
	_, always := plain.plan()
	for _, d := range all {
		c, _ := d.plan()
		stopped := false
		for _, f := range c.Findings {
			if (f.Severity == yard.Warn || f.Severity == yard.Stop) && !slices.Contains(always, sight{rule: string(f.Rule)}) {
				told++
			}
			if f.Severity == yard.Stop && c.Status == yard.Carded {
				stopped = true
				rules[string(f.Rule)]++
			}
		}
		if stopped {
			stops++
		}
	}
	t.Logf("stops on cards printed as planned, by rule: %s", tally(rules))
	n := float64(len(all))
	holds(t, "planted horses with a stop and the card as planned", float64(stops)/n, floors.idleStops)
	holds(t, "stops and warnings a planted horse", float64(told)/n, floors.toldEach)
}

// What tells of a danger is not told of the ordinary horse, fed weighed hay or hay
// at all times: else to see it would prove nothing.
func TestTheOrdinaryHorseHasNoneOfTheDangers(t *testing.T) {
	t.Parallel()
	weighed, always := ordinary(), ordinary()
	always.fed("Hay", adLib, blank)
	a, one := weighed.plan()
	_, other := always.plan()
	t.Logf("told of the ordinary horse: %v, with hay ad lib: %v; %s, need %v Mcal, supply %v", one, other, a.Status, a.Energy.Need, a.Energy.Supply)
	for _, d := range dangers() {
		if d.seen.in(one) && d.seen.in(other) {
			t.Errorf("%s: the same is told of the ordinary horse: %v, %v", d.what, one, other)
		}
	}
	if a.Status != yard.Carded {
		t.Errorf("the ordinary horse is %s: %v %v", a.Status, a.HeldWhy, a.NoCardWhy)
	}
}

// A harm that is printed is found: cards on which it is are made by hand, as the
// bounds would be worth nothing that no card can pass.
func TestEachKindOfHarmIsFoundWhereItIs(t *testing.T) {
	t.Parallel()
	s := ordinary()
	s.keep("Cubes", 1.4)
	c, _ := s.plan()
	with := func(change func(c *printed)) printed {
		d := c
		d.HorsePlan.Servings = slices.Clone(c.HorsePlan.Servings)
		change(&d)
		return d
	}
	amountOf := func(c *printed, name string, factor float64) {
		for i := range c.Servings {
			if c.Servings[i].Feed == name {
				c.Servings[i].Kg *= yard.KgFed(factor)
			}
		}
	}
	amount := func(name string, factor float64) printed {
		return with(func(c *printed) { amountOf(c, name, factor) })
	}
	marks := func(base float64) func(printed) string {
		return func(c printed) string { return c.passes(yard.Known(base)) }
	}
	for what, x := range map[string]struct {
		harm      func(printed) string
		good, bad printed
	}{
		"over":         {over(hardFeed, 1.5), c, amount("Cubes", 2)},
		"on Monday":    {mondayOver("Cubes", 1.5), c, amount("Cubes", 2)},
		"taken":        {takes("Cubes"), c, amount("Cubes", 0.9)},
		"raised":       {changes("Cubes"), c, amount("Cubes", 1.1)},
		"less energy":  {lessEnergy, c, amount("Hay", 0.9)},
		"hay first":    {hayBeforeHard, c, amount("Hay", 0.9)},
		"forage":       {littleForage(1.25), c, amount("Hay", 0.5)},
		"slow forage":  {slowForage(1.25), c, amount("Hay", 0.6)},
		"fast forage":  {slowForage(1.25), c, amount("Hay", 1.3)},
		"starch":       {mealStarch(1), c, amount("Cubes", 10)},
		"a card":       {carded, with(func(c *printed) { c.Status = yard.NoCard }), c},
		"no card":      {noCard, c, with(func(c *printed) { c.Status = yard.NoCard })},
		"D-02":         {marks(1.4), c, amount("Cubes", 2.2)},
		"D-03":         {marks(1.4), c, amount("Cubes", 1.5)},
		"D-10":         {marks(1.4), c, amount("Cubes", 10)},
		"D-13":         {marks(9), c, amount("Cubes", 6)},
		"D-17":         {marks(1.4), c, amount("Hay", 0.7)},
		"D-22":         {marks(1.4), c, amount("Salt", 4)},
		"exchange":     {printed.exchanges, c, with(func(c *printed) { c.now = map[string]float64{"Hay": 8, "Oats": 1.4}; amountOf(c, "Cubes", 1.2) })},
		"starch step":  {printed.exchanges, c, with(func(c *printed) { c.now = map[string]float64{"Hay": 8}; amountOf(c, "Cubes", 2.4) })},
		"one of a few": {both(noCard, takes("Cubes")), c, amount("Cubes", 0.9)},
	} {
		if why := x.harm(x.good); why != "" {
			t.Errorf("%s: found where it is not: %s", what, why)
		}
		if x.harm(x.bad) == "" {
			t.Errorf("%s: not found", what)
		}
	}
}
