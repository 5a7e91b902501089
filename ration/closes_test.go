package ration

import (
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// closedBy is what the finding on shortfalls names: grams a day by feed.
func closedBy(hp yard.HorsePlan) map[string]float64 {
	f, _ := has(hp, "nutrient")
	grams := map[string]float64{}
	for _, a := range f.Saying.Args {
		list, ok := a.Value.(yard.List)
		if !ok || a.Name != "by" {
			continue
		}
		for _, part := range list.Items {
			feed, g := "", 0.0
			for _, b := range part.(yard.Saying).Args {
				switch v := b.Value.(type) {
				case yard.Text:
					feed = v.Text
				case yard.Quantity:
					g = v.Value
				}
			}
			grams[feed] = g
		}
	}
	return grams
}

// shortNames are the nutrients that the finding on shortfalls names, and madeUp those
// that it says can be made up.
func shortNames(hp yard.HorsePlan) []string { return nutrientsIn(hp, "short", "nutrient") }

func madeUp(hp yard.HorsePlan) []string { return nutrientsIn(hp, "by", "nutrients") }

func nutrientsIn(hp yard.HorsePlan, list, arg string) (names []string) {
	f, _ := has(hp, "nutrient")
	for _, a := range f.Saying.Args {
		parts, ok := a.Value.(yard.List)
		if !ok || a.Name != list {
			continue
		}
		for _, part := range parts.Items {
			for _, b := range part.(yard.Saying).Args {
				switch v := b.Value.(type) {
				case yard.Text:
					if b.Name == arg {
						names = append(names, v.Text)
					}
				case yard.List:
					for _, n := range v.Items {
						names = append(names, n.(yard.Text).Text)
					}
				}
			}
		}
	}
	return names
}

// saltless is a yard of one horse in work that gets no salt; the yard has salt, and
// what is added besides.
func saltless(more ...yard.Feed) yard.Week {
	w := smallYard(horse("Fern", 500))
	w.Lines = []yard.Line{line("Fern", "Hay", kilos(9), kilos(9)), line("Fern", "Oats", kilos(1), kilos(1))}
	w.Feeds = append(w.Feeds, more...)
	return w
}

func TestWhatWouldCloseAShortfall(t *testing.T) {
	t.Parallel()
	mineral := func(na, zn, se float64) yard.Feed {
		return yard.Feed{Name: "Mix", Class: yard.Supplement, AnalysisFrom: "label",
			Analysis: yard.Composition{DM: yard.Known(1), Na: yard.Known(na), Cl: yard.Known(1.6 * na), Zn: yard.Known(zn), Se: yard.Known(se)}}
	}
	for _, c := range []struct {
		what string
		w    yard.Week
		feed string
	}{
		{"salt in the room", saltless(), "Salt"},
		{"a mineral mix that makes up the zinc too needs no salt beside it", saltless(mineral(300, 9000, 0)), "Mix"},
		{"one without sodium does not make it up", saltless(mineral(0, 0, 0)), "Salt"},
		{"one whose selenium would pass the limit is not named", saltless(mineral(300, 9000, 3000)), "Salt"},
	} {
		hp := Plan(c.w, DefaultRules()).Horses[0]
		by := closedBy(hp)
		if by[c.feed] <= 0 || c.feed == "Salt" && by["Mix"] > 0 || c.feed == "Mix" && by["Salt"] > 0 {
			t.Errorf("%s: %v; findings %v", c.what, by, hp.Findings)
		}
	}
}

// What is named closes it: served, no nutrient it was named for is short any more, no limit
// is passed that was kept, and ten grams less would not do.
func TestWhatIsNamedClosesTheShortfallAndPassesNoLimit(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string, least, most float64) float64 { return rapid.Float64Range(least, most).Draw(t, name) }
		mix := yard.Feed{Name: "Mix", Class: yard.Supplement, AnalysisFrom: "label", Analysis: yard.Composition{DM: yard.Known(1), Na: yard.Known(draw("na", 0, 400)),
			Cl: yard.Known(draw("cl", 0, 600)), Se: yard.Known(draw("se", 0, 60)), Cu: yard.Known(draw("cu", 0, 9000))}}
		w := saltless(mix)
		before := Plan(w, DefaultRules()).Horses[0]
		short := shortNames(before)
		for feed, grams := range closedBy(before) {
			w.Lines = append(w.Lines, line("Fern", feed, kilos(grams/1000), kilos(grams/1000)))
		}
		after := Plan(w, DefaultRules()).Horses[0]
		for _, n := range madeUp(before) {
			if !slices.Contains(short, n) || slices.Contains(shortNames(after), n) {
				t.Fatalf("%s was said to be made up by %v: short before %v, after %v", n, closedBy(before), short, shortNames(after))
			}
		}
		for _, f := range after.Findings {
			_, was := has(before, string(f.Rule))
			if _, limit := guard.Lookup(f.Rule); limit && !was && f.Severity != yard.Note {
				t.Fatalf("%v passes %s", closedBy(before), f.Rule)
			}
		}
	})
}

// February's grass: less is eaten of it than in May, by the mean and at the low end, and
// August's in the south is February's. Without a date nothing is known of the season.
func TestGrassByTheSeason(t *testing.T) {
	t.Parallel()
	grazed := func(month time.Month, south bool) (mean, low float64) {
		w := smallYard(horse("Fern", 500))
		w.Horses[0].GrassHours = yard.Known(8)
		w.Lines = []yard.Line{line("Fern", "Hay", kilos(9), kilos(9))}
		w.Beginning = time.Time{}
		if month != 0 {
			w.Beginning = time.Date(2026, month, 4, 0, 0, 0, 0, time.UTC)
		}
		rules := DefaultRules()
		if south {
			rules.Hemisphere = yard.South
		}
		hp := Plan(w, rules).Horses[0]
		return hp.Energy.Supply.Or(math.NaN()), hp.ForageDMPct.Or(math.NaN())
	}
	may, mayLow := grazed(time.May, false)
	for _, c := range []struct {
		month  time.Month
		south  bool
		winter bool
	}{
		{time.December, false, true}, {time.January, false, true}, {time.February, false, true},
		{time.March, false, false}, {time.November, false, false}, {time.July, false, false}, {0, false, false},
		{time.June, true, true}, {time.August, true, true}, {time.January, true, false}, {time.September, true, false}, {0, true, false},
	} {
		mean, low := grazed(c.month, c.south)
		if less := mean < may-1e-9 && low < mayLow-1e-9; less != c.winter {
			t.Errorf("month %d, south %v: energy %.2f of %.2f in May, forage %.2f of %.2f", c.month, c.south, mean, may, low, mayLow)
		}
	}
	// Evidence GR-01 (seen): 0.088 % of body weight an hour in February. The setting's 0.1
	// in winter, against the measured rate: within a fifth of it.
	c := facts{week: yard.Week{Beginning: time.Date(2026, time.February, 2, 0, 0, 0, 0, time.UTC)}, rules: DefaultRules()}
	if got := c.grazingPct(); math.Abs(got-0.088)/0.088 > 0.2 {
		t.Errorf("February: %.3f %% of body weight an hour, measured 0.088", got)
	}
}

// Selenium where the soil is poor: hay that nobody analysed brings less, and hay that was
// analysed what its analysis says (evidence HY-05: 0.02 mg a kg in 124 Nordic haylages).
func TestForageOfSoilPoorInSelenium(t *testing.T) {
	t.Parallel()
	of := func(poor bool, own yard.Num) yard.Nutrient {
		w := saltless()
		w.Feeds[0].Analysis.Se = own
		rules := DefaultRules()
		if poor {
			rules.ForageSelenium = yard.SeleniumLow
		}
		return nutrientOf(t, Plan(w, rules).Horses[0], "selenium")
	}
	table, poor := of(false, yard.Num{}), of(true, yard.Num{})
	if !(poor.Supply.Or(math.NaN()) < table.Supply.Or(math.NaN())) || !(poor.Between.High.Or(math.NaN()) < table.Between.High.Or(math.NaN())) {
		t.Errorf("poor soil: %+v; by the table: %+v", poor, table)
	}
	if a, b := of(false, yard.Known(0.1)), of(true, yard.Known(0.1)); a.Supply != b.Supply || !a.Supply.IsKnown() {
		t.Errorf("an analysis does not count before the soil: %v, %v", a.Supply, b.Supply)
	}
}

// Calcium to phosphorus and zinc to copper by the means, and their ends one against the
// other: no batch inside the ends has a ratio outside them.
func TestRatiosOfMinerals(t *testing.T) {
	t.Parallel()
	hp := Plan(openYard(), DefaultRules()).Horses[0]
	if len(hp.Ratios) != 2 {
		t.Fatalf("%d ratios", len(hp.Ratios))
	}
	for _, r := range hp.Ratios {
		of, to := nutrientOf(t, hp, r.Of), nutrientOf(t, hp, r.To)
		low, okLow := r.Between.Low.Get()
		high, okHigh := r.Between.High.Get()
		if v, ok := r.Value.Get(); ok && (math.Abs(v-of.Supply.Or(0)/to.Supply.Or(0)) > 1e-9 || okLow && v < low || okHigh && v > high) {
			t.Errorf("%s to %s: %+v of %+v and %+v", r.Of, r.To, r, of, to)
		}
		if okHigh && math.Abs(high*to.Between.Low.Or(0)-of.Between.High.Or(0)) > 1e-9 || okLow && math.Abs(low*to.Between.High.Or(0)-of.Between.Low.Or(0)) > 1e-9 {
			t.Errorf("%s to %s lies between %v, of %+v and %+v", r.Of, r.To, r.Between, of, to)
		}
	}
	if r := hp.Ratios[1].Asked.Or(0); math.Abs(r-4) > 0.01 { // NRC 2007: 400 mg zinc and 100 mg copper for 500 kg at rest (requirements §2)
		t.Errorf("the needs of zinc and copper are %.2f to 1", r)
	}
}
