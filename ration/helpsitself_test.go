package ration

import (
	"math"
	"slices"
	"testing"

	"hardfeed/ration/choose"
	"hardfeed/ration/guard"
	"hardfeed/ration/need"
	"hardfeed/ration/yard"
)

// modelOf is a horse's week with the amounts that are moved: those given, by feed. What is
// not given has the one amount it is fed.
func modelOf(t *testing.T, h yard.Horse, w yard.Week, options map[string][]float64) (*horseWeek, *formulation) {
	t.Helper()
	x, reasons := newHorseWeek(h, w.Lines, newRoom(w, DefaultRules()), w, DefaultRules(), nil, nil)
	if len(reasons) > 0 {
		t.Fatal(reasons)
	}
	x.facts.readWeighings()
	kgs := make([][]float64, len(x.dish.bucket))
	for i, it := range x.dish.bucket {
		kgs[i] = options[it.feed.Feed.Name]
	}
	return x, x.chooser().newModel(x.dish.asWritten(), kgs, false)
}

var adLib = yard.Amount{Given: true, AdLib: true}

// Two nets of one hay are one net: a horse that helps itself to both eats no more, and
// leaves no more of it for a scoop of cubes.
func TestTwoNetsOfOneHayCountAsOne(t *testing.T) {
	t.Parallel()
	of := func(lines ...yard.Line) (*formulation, table) {
		h := horse("Fern", 500)
		w := smallYard(h)
		second := w.Feeds[0]
		second.Name = "Hay outside"
		w.Feeds = append(w.Feeds, second)
		w.Lines = append(lines, line("Fern", "Cubes", kilos(1), nothing))
		_, m := modelOf(t, h, w, map[string][]float64{"Cubes": {0, 1, 2}})
		return m, m.day(inDM(func(c yard.Composition) yard.Num { return c.DE }), m.intakes()[0])
	}
	cubes := func(m *formulation, x table) []float64 {
		for i, it := range m.c.dish.bucket {
			if it.feed.Feed.Name == "Cubes" {
				return append([]float64{x.constant}, x.of[i]...)
			}
		}
		return nil
	}
	one, two := cubes(of(line("Fern", "Hay", adLib, nothing))), cubes(of(line("Fern", "Hay", adLib, nothing), line("Fern", "Hay outside", adLib, nothing)))
	if len(one) != 4 || !slices.EqualFunc(one, two, func(a, b float64) bool { return math.Abs(a-b) < 1e-9 }) {
		t.Errorf("Mcal of the hay, and what 0, 1 and 2 kg of cubes add: %v with one net, %v with two", one, two)
	}
}

// What a horse helps itself to is a guess, and a limit on anything in it is kept at both ends
// of the guess as well. A horse that is short already is held to the guess alone, in its forage and
// in nothing else.
func TestALimitHoldsAtBothEndsOfWhatIsEaten(t *testing.T) {
	t.Parallel()
	rows := func(id yard.RuleID, hay yard.Amount, short bool) int {
		h := horse("Fern", 500)
		w := smallYard(h)
		w.Lines = []yard.Line{line("Fern", "Hay", hay, nothing), line("Fern", "Cubes", kilos(1), nothing), line("Fern", "Oil", kilos(0.1), nothing)}
		x, m := modelOf(t, h, w, map[string][]float64{"Cubes": {0, 1, 2}, "Oil": {0, 0.1}})
		if short {
			m.passedNow = map[yard.RuleID]guard.Ration{forageRule: x.dish.evaluate(x.nowFed(), x.dish.sharing.keepsMealPattern)}
		}
		for _, n := range guard.Limits() {
			if mark, has := n.Mark(yard.Warn, m.asked, x.facts.rules.Limits); has && n.ID == id && n.Over == guard.Day {
				return len(m.rowsOf(n, mark))
			}
		}
		t.Fatal(id, "has no mark")
		return 0
	}
	for _, c := range []struct {
		what  string
		id    yard.RuleID
		hay   yard.Amount
		short bool
		want  int
	}{
		{"forage, hay as it likes", forageRule, adLib, false, 3},
		{"forage, hay weighed", forageRule, kilos(9), false, 1},
		{"forage, hay as it likes, and short of it", forageRule, adLib, true, 1},
		{"hard feed, of which there is none in hay", "D-13", adLib, false, 1},
		{"calcium, of which there is some", "D-26", adLib, false, 3},
		{"calcium, for a horse that is short of forage", "D-26", adLib, true, 3},
	} {
		if got := rows(c.id, c.hay, c.short); got != c.want {
			t.Errorf("%s: kept at %d intakes, want %d", c.what, got, c.want)
		}
	}
}

// A feed that a horse gets none of, whatever is chosen, hides nothing, though nobody knows
// what is in it. One that it may get does.
func TestAFeedThatIsNotFedHidesNoLimit(t *testing.T) {
	t.Parallel()
	for what, c := range map[string]struct {
		kg       []float64
		compared bool
	}{"none": {[]float64{0}, true}, "none or some": {[]float64{0, 0.5}, false}} {
		h := horse("Fern", 500)
		w := smallYard(h)
		w.Feeds = append(w.Feeds, yard.Feed{Name: "Sack", Class: yard.HardFeed, Analysis: yard.Composition{DM: yard.Known(0.88)}, AnalysisFrom: "workbook: dry matter"})
		w.Lines = []yard.Line{line("Fern", "Hay", kilos(9), nothing), line("Fern", "Cubes", kilos(1), nothing), line("Fern", "Sack", kilos(0), nothing)}
		_, m := modelOf(t, h, w, map[string][]float64{"Sack": c.kg})
		needing := 0
		for _, n := range guard.Limits() {
			sack := slices.IndexFunc(m.c.dish.bucket, func(it item) bool { return it.feed.Feed.Name == "Sack" })
			if n.Needs == nil || n.Needs(m.c.dish.bucket[sack].feed) {
				continue
			}
			others := true
			for i, it := range m.c.dish.bucket {
				others = others && (i == sack || n.Needs(it.feed))
			}
			if others {
				needing++
				if m.comparable(n) != c.compared {
					t.Errorf("%s of the sack: %s %s compared %v", what, n.ID, n.Name, !c.compared)
				}
			}
		}
		if needing == 0 {
			t.Error("no limit hangs on the sack")
		}
	}
}

// How much dry matter the bucket may hold: what the tables let a horse eat, less what it
// helps itself to. A lean horse at grass keeps what it is fed: it is eaten first.
func TestHowMuchTheBucketMayHold(t *testing.T) {
	t.Parallel()
	most := func(h yard.Horse, hay yard.Amount, cubesKg float64) (x *horseWeek, kg float64) {
		w := smallYard(h)
		if hay.Given {
			w.Lines = []yard.Line{line("Fern", "Hay", hay, nothing)}
		}
		w.Lines = append(w.Lines, line("Fern", "Cubes", kilos(cubesKg), nothing))
		var kgs []float64
		for k := range 400 {
			kgs = append(kgs, float64(k)*0.1)
		}
		x, m := modelOf(t, h, w, map[string][]float64{"Cubes": kgs})
		l := choose.Limit{Rows: m.eatable()}
		for k := range kgs {
			choice := make([]int, len(m.model.Feeds))
			choice[slices.IndexFunc(m.model.Feeds, func(f choose.Feed) bool { return f.Name == "Cubes" })] = k
			if l.Outside(choice) > 0 {
				return x, kgs[k-1]*0.88 + hay.Kg.Or(0)*dmOf(x.dish.bucket[slices.IndexFunc(x.dish.bucket, func(it item) bool { return it.class() == yard.Forage })])
			}
		}
		return x, math.Inf(1)
	}
	for _, c := range []struct {
		what  string
		score float64
		grass float64 // hours
		hay   yard.Amount
		cubes float64
		want  func(tables, adLib, grass float64) float64
	}{
		{"all of it weighed", 5, 0, kilos(2), 2, func(tables, _, _ float64) float64 { return tables }},
		{"more than the tables have, as fed now", 5, 0, kilos(0), 14, func(_, _, _ float64) float64 { return 14 * 0.88 }},
		{"hay as it likes", 5, 0, adLib, 2, func(_, adLib, _ float64) float64 { return adLib }},
		{"hay as it likes, and some grass", 5, 3, adLib, 2, func(_, adLib, grass float64) float64 { return adLib - grass }},
		{"grass by day and night", 5, 20, nothing, 2, func(tables, _, grass float64) float64 { return min(tables, 15-grass) }},
		{"much in the bucket beside it", 5, 20, nothing, 12, func(_, _, grass float64) float64 { return 15 - grass }},
		{"the same, thin", 3.5, 20, nothing, 12, func(_, _, grass float64) float64 { return 12 * 0.88 }},
	} {
		h := horse("Fern", 500)
		h.Score, h.GrassHours = yard.Known(c.score), yard.Known(c.grass)
		x, got := most(h, c.hay, c.cubes)
		want := c.want(need.IntakeDMPerKg(x.facts.WorkClass)*500, x.facts.rules.ForageIntakePct/100*500, x.facts.grassKg())
		if got > want+1e-6 || got < want-0.1 {
			t.Errorf("%s: %.2f kg of dry matter fit in the bucket, want %.2f", c.what, got, want)
		}
	}
}

// Feed of which nobody wrote how much is there, or how heavy a bag is, is not feed of which
// there is none.
func TestAStockNobodyWroteDownIsNoLimit(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		what        string
		packs, pack yard.Num
		want        bool
	}{{"both written", yard.Known(3), yard.Known(20), true}, {"no stock", yard.Num{}, yard.Known(20), false}, {"no weight of a bag", yard.Known(3), yard.Num{}, false}} {
		h := horse("Fern", 500)
		w := smallYard(h)
		w.Feeds[1].StockPacks, w.Feeds[1].PackKg = c.packs, c.pack
		w.Lines = []yard.Line{line("Fern", "Hay", kilos(9), nothing), line("Fern", "Cubes", kilos(1), nothing)}
		_, m := modelOf(t, h, w, map[string][]float64{"Cubes": {0, 1, 20}})
		m.stock()
		at := slices.IndexFunc(m.model.Limits, func(l choose.Limit) bool { return l.Name == stockOf+"Cubes" })
		if (at >= 0) != c.want {
			t.Errorf("%s: a limit %v", c.what, at >= 0)
		}
		if at >= 0 { // 60 kg: six days of 20 kg are too much, six of 1 kg are not
			for k, fits := range []bool{true, true, false} {
				choice := make([]int, len(m.model.Feeds))
				choice[slices.IndexFunc(m.model.Feeds, func(f choose.Feed) bool { return f.Name == "Cubes" })] = k
				if (m.model.Limits[at].Outside(choice) == 0) != fits {
					t.Errorf("%s: choice %d fits: %v", c.what, k, !fits)
				}
			}
		}
	}
}

// A pinch of something whose energy nobody knows hides nothing of what a horse was fed; a
// scoop of it does, and nothing is learnt from that week.
func TestWhatHidesTheEnergyOfAFeed(t *testing.T) {
	t.Parallel()
	for what, c := range map[string]struct {
		kg    float64
		known bool
	}{"none": {0, true}, "20 g": {0.02, true}, "half a kilo": {0.5, false}} {
		h := horse("Fern", 500)
		w := smallYard(h)
		w.Feeds = append(w.Feeds, yard.Feed{Name: "Herbs", Class: yard.Supplement, Analysis: yard.Composition{DM: yard.Known(0.9)}, AnalysisFrom: "label"})
		w.Lines = []yard.Line{line("Fern", "Hay", kilos(9), nothing), line("Fern", "Cubes", kilos(1), nothing), line("Fern", "Herbs", kilos(c.kg), nothing)}
		x, _ := modelOf(t, h, w, nil)
		f := x.dish.fedEnergy(x.nowFed())
		if f.Forage.IsKnown() != c.known || f.Other.IsKnown() != c.known {
			t.Errorf("%s: the energy is %+v", what, f)
		}
	}
}

// On a day of galloping or jumping hay is held near its mark; where another forage is there
// all day nobody knows how much of that is eaten, and none is taken away.
func TestHayIsNotCutBesideForageThatIsThereAllDay(t *testing.T) {
	t.Parallel()
	event := yard.Day{Event: true, StartMin: 600, Sessions: []yard.Session{{Minutes: [yard.Gaits]float64{20, 20, 10, 0, 5}}}}
	for what, c := range map[string]struct {
		other yard.Amount
		held  bool
	}{"all weighed": {kilos(2), true}, "the other as it likes": {adLib, false}} {
		h := horse("Fern", 500)
		w := smallYard(h)
		second := w.Feeds[0]
		second.Name = "Haylage"
		w.Feeds = append(w.Feeds, second)
		w.Lines = []yard.Line{line("Fern", "Hay", kilos(10), nothing), line("Fern", "Haylage", c.other, nothing), line("Fern", "Cubes", kilos(1), nothing)}
		x, _ := modelOf(t, h, w, nil)
		hay := slices.IndexFunc(x.dish.bucket, func(it item) bool { return it.feed.Feed.Name == "Hay" })
		if kg, held := x.dish.eventHayKg(hay, event); held != c.held || held && !(kg > 0 && kg < 10) {
			t.Errorf("%s: %v kg of hay, held %v", what, kg, held)
		}
	}
}

// While a ration is made up, a nutrient that nobody knows of a feed that may hold much of it
// is not counted; a pinch of that feed hides nothing.
func TestWhatIsMadeUpIsCountedWhereItIsKnown(t *testing.T) {
	t.Parallel()
	counted := func(kg float64) int {
		h := horse("Fern", 500)
		w := smallYard(h)
		w.Feeds = append(w.Feeds, yard.Feed{Name: "Herbs", Class: yard.Supplement, Analysis: yard.Composition{DM: yard.Known(0.9)}, AnalysisFrom: "label"})
		w.Lines = []yard.Line{line("Fern", "Hay", kilos(9), nothing), line("Fern", "Cubes", kilos(1), nothing), line("Fern", "Herbs", kilos(kg), nothing)}
		_, m := modelOf(t, h, w, map[string][]float64{"Herbs": {kg}})
		m.completes = true
		g, _ := nutrientsShort(m)
		return len(g.Bands)
	}
	if none, pinch, scoop := counted(0), counted(1e-6), counted(0.05); none == 0 || pinch != none || scoop >= none {
		t.Errorf("%d nutrients are counted without herbs, %d with a pinch, %d with 50 g", none, pinch, scoop)
	}
}
