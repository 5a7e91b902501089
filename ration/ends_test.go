package ration

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"hardfeed/ration/feeds"
	"hardfeed/ration/need"
	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// openYard is a small yard with one horse on the table's hay, oats, chaff and salt, its
// amounts planned, so that no analysis moves them.
func openYard() yard.Week {
	w := smallYard(horse("Fern", 500))
	w.Feeds = append(w.Feeds, yard.Feed{Name: "Chaff", Generic: "oat chaff", MeasureKg: yard.Known(0.3)})
	for _, l := range []struct {
		feed string
		kg   float64
	}{{"Hay", 9}, {"Oats", 0.8}, {"Chaff", 0.6}, {"Salt", 0.03}} {
		w.Lines = append(w.Lines, line("Fern", l.feed, kilos(l.kg), kilos(l.kg)))
	}
	return w
}

func nutrientOf(t interface{ Fatalf(string, ...any) }, hp yard.HorsePlan, name string) yard.Nutrient {
	i := slices.IndexFunc(hp.Nutrients, func(n yard.Nutrient) bool { return n.Name == name })
	if i < 0 {
		t.Fatalf("no %s: %s, %v", name, hp.Status, hp.Findings)
	}
	return hp.Nutrients[i]
}

// Batches drawn from what each feed may hold, each planned as if it had been
// analysed: no supply lies outside the ends, the batches that hold the least and the
// most of everything reach them, and a draw from the middle does not.
func TestDrawnBatchesLieBetweenTheEnds(t *testing.T) {
	w := openYard()
	base := Plan(w, DefaultRules()).Horses[0]
	table := feeds.Load()
	r := rand.New(rand.NewPCG(1, 2))
	batch := func(at func() float64) yard.HorsePlan {
		x := w
		x.Feeds = slices.Clone(w.Feeds)
		for i := range x.Feeds {
			f := &x.Feeds[i]
			k, _ := table.Resolve(*f, nil)
			low, high := k.LowEnd(), k.HighEnd()
			f.AnalysisFrom = "workbook: dry matter"
			calcium := 0.0
			for _, n := range yard.Constituents() {
				a, ok1 := n.Of(low).Get()
				b, ok2 := n.Of(high).Get()
				share := at()
				switch n.Name {
				case "calcium":
					calcium = share
				case "phosphorus": // with the calcium: turned round they are a stop, and no card
					share = calcium
				}
				if ok1 && ok2 {
					*n.In(&f.Analysis) = yard.Known(a + share*(b-a))
				}
			}
		}
		return Plan(x, DefaultRules()).Horses[0]
	}
	end := func(v float64) func() float64 { return func() float64 { return v } }
	least, most := batch(end(0)), batch(end(1))
	between := 0
	for _, n := range base.Nutrients {
		low, high, ok := n.Ends()
		if !ok {
			continue
		}
		between++
		// What is of no consequence is in no batch: the high end allows for it.
		spare := n.Need.Or(0) * consequencePct / 100
		if a := nutrientOf(t, least, n.Name).AtLeast; math.Abs(a-low) > 1e-6*(1+low) {
			t.Errorf("%s: the poorest batch brings %g, the low end is %g", n.Name, a, low)
		}
		if b := nutrientOf(t, most, n.Name).AtLeast; b > high+1e-6*(1+high) || b < high-spare-1e-6*(1+high) {
			t.Errorf("%s: the richest batch brings %g, the high end is %g", n.Name, b, high)
		}
	}
	if between < 12 {
		t.Errorf("only %d nutrients have both ends", between)
	}
	if a, b := least.Energy.Supply.Or(0), most.Energy.Supply.Or(0); math.Abs(a-base.Energy.SupplyRange.Low.Or(0)) > 1e-6 || math.Abs(b-base.Energy.SupplyRange.High.Or(0)) > 1e-6 {
		t.Errorf("energy of the batches %g and %g, of the ends %v", a, b, base.Energy.SupplyRange)
	}
	widest := map[string][2]float64{}
	for range 300 {
		hp := batch(r.Float64)
		for _, n := range base.Nutrients {
			low, high, ok := n.Ends()
			got := nutrientOf(t, hp, n.Name).AtLeast
			if ok && !(got >= low-1e-6*(1+low) && got <= high+1e-6*(1+high)) {
				t.Fatalf("%s: a batch brings %g, outside %g to %g", n.Name, got, low, high)
			}
			w, seen := widest[n.Name]
			if !seen {
				w = [2]float64{got, got}
			}
			widest[n.Name] = [2]float64{min(w[0], got), max(w[1], got)}
		}
	}
	// The ends are no wider than the batches make them: what the hay alone spreads over
	// is nearly reached by the draws.
	zinc := nutrientOf(t, base, "zinc")
	low, high, _ := zinc.Ends()
	if got := (widest["zinc"][1] - widest["zinc"][0]) / (high - low); got < 0.7 {
		t.Errorf("the batches spread over %.2f of the range of zinc", got)
	}
}

// 30 g of salt or a carrot hides nothing: what a feed of no consequence may bring at
// the most is under 2 % of the need. Salt that brings more is of consequence.
func TestAFeedOfNoConsequenceHidesNothing(t *testing.T) {
	with := func(feed string, kg float64) yard.HorsePlan {
		w := openYard()
		w.Feeds = append(w.Feeds, yard.Feed{Name: "Carrots"}, yard.Feed{Name: "House mix", Class: yard.HardFeed, MeasureKg: yard.Known(1)})
		w.Lines = append(w.Lines, line("Fern", feed, kilos(kg), kilos(kg)))
		return Plan(w, DefaultRules()).Horses[0]
	}
	for _, c := range []struct {
		feed     string
		kg       float64
		nutrient string
		bounded  bool // the most is known
	}{
		{"Carrots", 0.5, "copper", true},
		{"Carrots", 0.5, "lysine", true},
		{"House mix", 0.5, "copper", false},
		{"House mix", 0.5, "zinc", false},
	} {
		n := nutrientOf(t, with(c.feed, c.kg), c.nutrient)
		if _, _, bounded := n.Ends(); bounded != c.bounded {
			t.Errorf("%g kg of %s: the most %s is known: %v (%+v)", c.kg, c.feed, c.nutrient, bounded, n)
		}
	}
	// Copper of hay, oats and salt is known; without the oats' and the hay's it would not be.
	w := openYard()
	w.Lines = slices.DeleteFunc(w.Lines, func(l yard.Line) bool { return l.Feed == "Chaff" })
	for _, name := range []string{"copper", "zinc", "selenium", "sulphur"} {
		if n := nutrientOf(t, Plan(w, DefaultRules()).Horses[0], name); !n.Supply.IsKnown() {
			t.Errorf("30 g of salt hides the %s: %+v", name, n)
		}
	}
	// No 30 g of anything can hold a fiftieth of a horse's energy: pure oil would bring
	// 0.28 Mcal (feeds.csv row 142). 100 g could.
	for grams, known := range map[float64]bool{30: true, 100: false} {
		w := openYard()
		w.Feeds = append(w.Feeds, yard.Feed{Name: "Herbs", Class: yard.Supplement})
		w.Lines = append(w.Lines, line("Fern", "Herbs", kilos(grams/1000), kilos(grams/1000)))
		hp := Plan(w, DefaultRules()).Horses[0]
		if hp.Energy.Supply.IsKnown() != known || hp.Days[0].Supply.IsKnown() != known {
			t.Errorf("%g g of a supplement of unknown content: the energy is %v, of Monday %v", grams, hp.Energy.Supply, hp.Days[0].Supply)
		}
	}
	if hp := with("Carrots", 1); !hp.Energy.Supply.IsKnown() {
		t.Error("a kilo of carrots hides the energy")
	}
}

// A shortfall is claimed only where even the high end is short, and a surplus only
// where what is known is over.
func TestAShortfallIsClaimedAtTheHighEnd(t *testing.T) {
	claimed := func(w yard.Week) string {
		hp := Plan(w, DefaultRules()).Horses[0]
		f, ok := has(hp, "nutrient")
		if !ok {
			return ""
		}
		return words.Message(f)
	}
	w := openYard()
	if got := claimed(w); strings.Contains(got, "manganese") || strings.Contains(got, "copper") {
		t.Errorf("short of what good hay of the kind holds enough of: %s", got)
	}
	w.Feeds[0].Analysis.Mn, w.Feeds[0].AnalysisFrom = yard.Known(20), "workbook: dry matter"
	if got := claimed(w); !strings.Contains(got, "manganese") || strings.Contains(got, "copper") {
		t.Errorf("an analysed hay is short of manganese: %s", got)
	}
	w.Feeds[0].Analysis.Mn = yard.Known(80)
	if got := claimed(w); strings.Contains(got, "manganese") {
		t.Errorf("an analysed hay holds enough manganese: %s", got)
	}
}

// An analysis never makes a total less certain: with one figure more of any feed, no
// range gets wider and nothing that was known is unknown.
func TestAnAnalysisMakesNoTotalLessCertain(t *testing.T) {
	w := openYard()
	table := feeds.Load()
	before := Plan(w, DefaultRules()).Horses[0]
	rapid.Check(t, func(t *rapid.T) {
		x := w
		x.Feeds = slices.Clone(w.Feeds)
		f := &x.Feeds[rapid.SampledFrom([]int{0, 2, 3, 5}).Draw(t, "feed")]
		of := rapid.SampledFrom(need.Nutrients()).Draw(t, "nutrient")
		i := slices.IndexFunc(yard.Constituents(), func(n yard.Constituent) bool { return n.Name == of.Name })
		n := yard.Constituents()[i]
		k, _ := table.Resolve(*f, nil)
		r, ok := table.RangeOf(k.Kind, n)
		if !ok {
			return
		}
		low, high := r.Low.Or(r.Least.Or(0)), r.High.Or(r.Most.Or(1))
		f.AnalysisFrom = "workbook: dry matter"
		*n.In(&f.Analysis) = yard.Known(rapid.Float64Range(low, high).Draw(t, "value"))
		after := Plan(x, DefaultRules()).Horses[0]
		for _, b := range before.Nutrients {
			a := nutrientOf(t, after, b.Name)
			if b.Supply.IsKnown() && !a.Supply.IsKnown() {
				t.Fatalf("%s is no longer known", b.Name)
			}
			bl, bh, ok := b.Ends()
			if al, ah, still := a.Ends(); ok && (!still || ah-al > bh-bl+1e-6*(1+bh)) {
				t.Fatalf("%s: %g to %g with the figure, %g to %g without", b.Name, al, ah, bl, bh)
			}
		}
	})
}

// Two supplements that pass a ceiling together are named together, one that passes it
// alone is not put beside what brings nothing.
func TestSupplementsThatPassACeilingTogetherAreNamed(t *testing.T) {
	message := func(kgA, kgB float64) string {
		w := openYard()
		zinc := yard.Composition{DM: yard.Known(1), Zn: yard.Known(60000)}
		w.Feeds = append(w.Feeds, yard.Feed{Name: "Hoof meal", Class: yard.Supplement, Analysis: zinc, AnalysisFrom: "workbook"},
			yard.Feed{Name: "Skin shine", Class: yard.Supplement, Analysis: zinc, AnalysisFrom: "workbook"})
		for name, kg := range map[string]float64{"Hoof meal": kgA, "Skin shine": kgB} {
			if kg > 0 {
				w.Lines = append(w.Lines, line("Fern", name, kilos(kg), kilos(kg)))
			}
		}
		f, ok := has(Plan(w, DefaultRules()).Horses[0], "tolerable")
		if !ok {
			return ""
		}
		return words.Message(f)
	}
	if got := message(0.06, 0); got != "" {
		t.Errorf("60 g of one is under the ceiling: %s", got)
	}
	if got := message(0.06, 0.05); !strings.Contains(got, "Hoof meal and Skin shine together") {
		t.Errorf("both together are over: %q", got)
	}
	if got := message(0.11, 0.002); !strings.Contains(got, "zinc") || strings.Contains(got, "together") {
		t.Errorf("one of them is over by itself: %q", got)
	}
}

// 30 g of herbs of which nothing is written down hide no danger in the rest: selenium
// over its mark is seen, and the ceilings stand.
func TestASupplementOfUnknownContentHidesNoDanger(t *testing.T) {
	w := openYard()
	known := yard.Composition{DM: yard.Known(1), DE: yard.Known(0), Se: yard.Known(60)}
	w.Feeds = append(w.Feeds, yard.Feed{Name: "Herbs", Class: yard.Supplement}, yard.Feed{Name: "Lick", Class: yard.Supplement, Analysis: known, AnalysisFrom: "workbook"})
	for feed, kg := range map[string]float64{"Herbs": 0.03, "Lick": 0.06} {
		w.Lines = append(w.Lines, line("Fern", feed, kilos(kg), kilos(kg)))
	}
	hp := Plan(w, DefaultRules()).Horses[0]
	if f, ok := has(hp, "D-23"); !ok {
		t.Errorf("0.4 mg of selenium per kg is not seen beside herbs: %+v", hp.Findings)
	} else if got := words.Message(f); !strings.Contains(strings.ToLower(got), "selenium") {
		t.Errorf("%q", got)
	}
	if n := nutrientOf(t, hp, "selenium"); !n.Limit.IsKnown() || !hp.DMPct.IsKnown() {
		t.Errorf("the dry matter of 9 kg of hay is not known for 30 g of herbs: %+v", n)
	}
}
