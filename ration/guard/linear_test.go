package guard

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"hardfeed/ration/feeds"
	"hardfeed/ration/need"
	"hardfeed/ration/yard"
)

// Every row belongs to a rule and says what it passes, and what the rules ask of a
// ration is a row or says why it is none.
func TestEveryLimitHasItsRuleAndEveryRuleItsLimit(t *testing.T) {
	used := 0
	for _, r := range Rules() {
		rows := limitsOf(r)
		used += len(rows)
		switch {
		case rows != nil && (r.ration != nil || r.week != nil || r.room != nil || r.step != nil):
			t.Errorf("%s, %s: rows and a check of its own", r.ID, whatOf(r))
		case (r.ration != nil) != (r.noRow != 0):
			t.Errorf("%s, %s: is no row of Limits, and does not say why; or says so and is one", r.ID, whatOf(r))
		}
	}
	for _, n := range Limits() {
		if n.ID == "tolerable" {
			used++
			continue
		}
		if n.PerKg == nil || n.Over == 0 || n.Name == "" || n.Warn == nil && n.Stop == nil || n.Of != nil && n.By != nil {
			t.Errorf("%s, %s: a part of the row is missing", n.ID, n.Name)
		}
	}
	if used != len(Limits()) {
		t.Errorf("%d rows of %d belong to a rule", used, len(Limits()))
	}
}

// A new limit is one row: its rule stands in the list, it is compared and it is said, and
// its finding has a rank.
func TestANewLimitIsOneRow(t *testing.T) {
	bran := Linear{ID: "beet", Source: "a test", Name: "beet pulp", Over: Day, Unit: yard.Kilograms,
		PerKg: func(k *feeds.Resolved) yard.Num {
			if k.Feed.Name != "Beet" {
				return nothing
			}
			return aKilo(k)
		},
		Warn: func(Ration, yard.Limits) float64 { return 0.5 }}
	rules := rulesWith(append(slices.Clone(Limits()), bran))
	i := slices.IndexFunc(rules, func(r Rule) bool { return r.ID == "beet" })
	if i < 0 || len(rules) != len(Rules())+1 || rules[i].Source != "a test" {
		t.Fatalf("%d rules with it, %d without", len(rules), len(Rules()))
	}
	of := rationRule{rules[i], []Linear{bran}}
	for kg, want := range map[float64]yard.Severity{0.49: 0, 0.5: 0, 0.51: yard.Warn} {
		r := mealsOf(500, meal{"tea", 1, 0})
		r.Feeds = append(r.Feeds, one("Beet", yard.HardFeed, kg, 0.9, nil))
		sev, says := of.check(r, limits)
		if sev != want || sev != 0 && (says.Key != "finding.beet" || says.Arg("value") != yard.Kg("", kg).Value || says.Arg("mark") != yard.Kg("", 0.5).Value || says.Arg("weight") == nil) {
			t.Errorf("%v kg: %v, %v", kg, sev, says)
		}
	}
	if yard.RankOf("beet") != yard.Harmful {
		t.Errorf("its rank is %v", yard.RankOf("beet"))
	}
}

// No stop limit of a constituent is less strict than its maximum tolerable level.
func TestNoStopLimitIsLaxerThanWhatIsTolerated(t *testing.T) {
	compared := 0
	for _, n := range Limits() {
		for _, of := range need.Nutrients() {
			most, ok := need.MaxTolerable(of.Name)
			if !ok || n.Name != of.Name || n.ID == "tolerable" {
				continue
			}
			mark, ok := n.Mark(yard.Stop, Ration{BodyKg: 500}, limits)
			if !ok {
				continue
			}
			if n.Of == nil { // per kg of body weight, at the dry matter the tables take
				mark /= need.IntakeDMPerKg(yard.ClassRest)
			}
			if mark > most.PerKgDM*(1+1e-9) {
				t.Errorf("%s: the stop limit is %v per kg of dry matter, tolerated are %v", n.Name, mark, most.PerKgDM)
			}
			compared++
		}
	}
	if compared < 4 {
		t.Errorf("only %d were compared", compared)
	}
}

// Grass that is under the mark by itself is a warning, and what the bucket makes of
// it a stop; hay put down at meals is served, and so held to the mark.
func TestCalciumOfGrassAloneIsAWarning(t *testing.T) {
	hay := func(perMeal []float64, ca float64) Fed {
		f := one("Grass", yard.Forage, 10, 1, holding(func(c *yard.Composition) { c.Ca, c.P = yard.Known(ca), yard.Known(5) }))
		f.PerMeal = perMeal
		return f
	}
	bran := one("Bran", yard.HardFeed, 0.5, 1, holding(func(c *yard.Composition) { c.Ca, c.P, c.Starch = yard.Known(1), yard.Known(12), yard.Known(0) }))
	mouthful, crumb := hay(nil, 4.9), bran
	mouthful.Kg, crumb.Kg = 0.1, 0.005
	chalk := one("Limestone", yard.Supplement, 0.03, 1, holding(func(c *yard.Composition) { c.Ca, c.P = yard.Known(380), yard.Known(0) }))
	for _, c := range []struct {
		what string
		r    Ration
		want yard.Severity
	}{
		{"grass alone", of(500, nil, hay(nil, 4.9)), yard.Warn},
		{"grass and bran", of(500, nil, hay(nil, 4.9), bran), yard.Stop},
		{"grass, bran and limestone", of(500, nil, hay(nil, 4.9), bran, chalk), yard.Warn},
		{"better grass and bran", of(500, nil, hay(nil, 5.1), bran), yard.Stop},
		{"grass and hay at meals, better together", of(500, nil, hay(nil, 4.9), hay([]float64{10}, 6)), yard.Warn},
		{"the same with much bran", of(500, nil, hay(nil, 4.9), hay([]float64{10}, 6), bran, bran, bran, bran), yard.Stop},
		{"a mouthful of grass", of(500, nil, mouthful), yard.Warn},
		{"a mouthful of grass and of bran", of(500, nil, mouthful, crumb), yard.Stop},
		{"hay at meals", of(500, nil, hay([]float64{10}, 4.9)), yard.Stop},
	} {
		if f := found("D-26", "", Check("Fern", c.r, limits)); f.Severity != c.want {
			t.Errorf("%s: %v, want %v (%s)", c.what, f.Severity, c.want, message(f))
		}
	}
	if forageRatio(of(500, nil, bran)) != noMark {
		t.Error("without grass there is no ratio of it")
	}
}

// A mark multiplied out is passed where the mark is: what PerKg counts less the
// share of what Of counts lies beyond the bound.
func TestFactorsAreTheLimitMultipliedOut(t *testing.T) {
	seen := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		kg := rapid.Float64Range(120, 900).Draw(t, "kg")
		r := anyRation(t, kg)
		r.CeilingKg = kg * 0.9
		for _, n := range Limits() {
			if n.Over != Day {
				continue
			}
			for _, sev := range []yard.Severity{yard.Warn, yard.Stop} {
				mark, ok := n.Mark(sev, r, limits)
				c := n.Compare(r, limits)
				if !ok || c.Unknown {
					continue
				}
				share, bound := n.Factors(mark, r)
				sum, of := 0.0, 0.0
				for f := range r.fed() {
					sum += n.PerKg(f.Feed).Or(0) * f.Kg
					if n.Of != nil {
						of += n.Of(f.Feed).Or(0) * f.Kg
					}
				}
				beyond := sum - share*of - bound
				if n.Low {
					beyond = -beyond
				}
				passed := c.Severity >= sev
				if n.Of != nil && of <= tiny || math.Abs(beyond) < 1e-7*math.Max(1, math.Abs(sum)) {
					continue
				}
				if passed != (beyond > 0) {
					t.Fatalf("%s, %v mark %v: the value is %v, multiplied out it is beyond by %v", n.Name, sev, mark, c.Value, beyond)
				}
				if passed {
					seen[n.Name]++
				}
			}
		}
	})
	if len(seen) < 10 {
		t.Errorf("only %d limits were passed: %v", len(seen), seen)
	}
}

// What is grazed is an estimate: a floor on forage must hold at the least of it, and
// nothing else goes by that.
func TestAFloorHoldsAtTheLeastThatIsEaten(t *testing.T) {
	grass := one("Grass", yard.Forage, 40, 0.2, func(k *feeds.Resolved) {
		k.Composition.Ca, k.Composition.P, k.Composition.Se = yard.Known(1), yard.Known(2), yard.Known(0.4)
	})
	grass.LeastKg = yard.Known(20) // 4 kg of dry matter of 8
	hay := one("Hay", yard.Forage, 3, 1, holding(func(c *yard.Composition) { c.Ca, c.P = yard.Known(4), yard.Known(2) }))
	r := of(500, nil, grass, hay)
	if f := found("D-17", "", Check("Fern", r, limits)); f.Severity != yard.Warn || message(f) != "Forage is 1.4 % of body weight a day, counted dry. It should be 1.5 % at least." {
		t.Errorf("%v, %s", f.Severity, message(f))
	}
	if dm := r.ForageDMKg().Or(0); math.Abs(dm-7) > 1e-9 {
		t.Errorf("%v kg of forage, want 7", dm)
	}
	if v := limitCalled("calcium to phosphorus").Compare(r, limits).Value; math.Abs(v-20.0/22) > 1e-9 {
		t.Errorf("calcium to phosphorus %v, want %v: by the estimate", v, 20.0/22)
	}
	if v := limitCalled("selenium").Compare(r, limits).Value; math.Abs(v-3.2/11) > 1e-9 {
		t.Errorf("selenium %v, want %v: by the estimate", v, 3.2/11)
	}
}

// Every maximum tolerable level is a warning limit for the chooser: at it, and over it.
func TestWhatIsToleratedIsALimit(t *testing.T) {
	levels := 0
	for _, of := range need.Nutrients() {
		most, ok := need.MaxTolerable(of.Name)
		if !ok {
			continue
		}
		levels++
		i := slices.IndexFunc(Limits(), func(n Linear) bool { return n.ID == "tolerable" && n.Name == of.Name })
		if i < 0 {
			t.Errorf("%s is no limit", of.Name)
			continue
		}
		k := slices.IndexFunc(yard.Constituents(), func(c yard.Constituent) bool { return c.Name == of.Name })
		for share, want := range map[float64]yard.Severity{0.999: 0, 1.001: yard.Warn} {
			r := hayOf(500, 5)
			*yard.Constituents()[k].In(&r.Feeds[0].Feed.Composition) = yard.Known(most.PerKgDM * share)
			if got := Limits()[i].Compare(r, limits).Severity; got != want {
				t.Errorf("%s at %.3f of what is tolerated: %v", of.Name, share, got)
			}
		}
	}
	if levels < 12 {
		t.Errorf("%d levels", levels)
	}
}

func TestDryMatterThatIsNotKnown(t *testing.T) {
	unknown := func(class yard.FeedClass, kg float64) Fed {
		return one("Mix", class, kg, 1, func(k *feeds.Resolved) { k.Composition.DM = yard.Num{} })
	}
	// of hard feed the weight as fed is the most it can be
	if v := limitCalled("hard feed in a day").Compare(of(500, nil, unknown(yard.HardFeed, 2)), limits).Value; math.Abs(v-0.4) > 1e-12 {
		t.Errorf("hard feed %v %%, want 0.4", v)
	}
	if of(500, nil, unknown(yard.Forage, 2)).ForageDMKg().IsKnown() {
		t.Error("the dry matter of the forage is known where its feed's is not")
	}
}
