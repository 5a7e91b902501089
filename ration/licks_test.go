package ration

import (
	"math"
	"testing"

	"hardfeed/ration/need"
	"hardfeed/ration/yard"
)

// onHay is a horse on weighed hay with one thing more, in work or at rest.
func onHay(f yard.Feed, a yard.Amount, works bool, kg float64) yard.Week {

	h := horse("Fern", 500)
	if !works {
		h.Work = [7]yard.Day{}
	}
	w := smallYard(h)
	w.Feeds = append(w.Feeds[:3:3], f)
	w.Lines = []yard.Line{line("Fern", "Hay", kilos(kg), kilos(kg)), line("Fern", f.Name, a, a)}
	return w
}

// Plain salt is salt by whatever name the trade has for it: thirty grams hide nothing.
// What may hold more than salt, or none, is not taken for it.
func TestSaltByAnotherNameIsSalt(t *testing.T) {
	t.Parallel()
	salt := Plan(onHay(yard.Feed{Name: "Salt", Class: yard.Salt}, kilos(0.03), true, 9), DefaultRules()).Horses[0]
	for name, plain := range map[string]bool{"Pink salt": true, "Himalayan salt": true, "Salt lick": true, "Meersalz": true, "Steinsalz": true, "gros sel": true, "sal marina": true, "sól kuchenna": true,
		"Epsom salts": false, "Bittersalz": false, "Mineral salt": false, "Iodised salt": false, "Low salt": false, "Electrolytes": false, "sel minéralisé": false, "Salt marsh hay": false, "foin de pré salé et sel": false} {
		hp := Plan(onHay(yard.Feed{Name: name, Class: yard.Salt}, kilos(0.03), true, 9), DefaultRules()).Horses[0]
		got, want := nutrientOf(t, hp, "sodium"), nutrientOf(t, salt, "sodium")
		if (got.Between == want.Between) != plain {
			t.Errorf("%s: sodium %v, of salt %v", name, got.Between, want.Between)
		}
		if zinc := nutrientOf(t, hp, "zinc"); plain && !zinc.Between.High.IsKnown() {
			t.Errorf("%s hides zinc: %+v", name, zinc)
		}
	}
	if hp := Plan(onHay(yard.Feed{Name: "Pink salt"}, kilos(0.03), true, 9), DefaultRules()).Horses[0]; hp.HardFeed.Now.Or(0) != 0 {
		t.Errorf("salt of no kind is taken for hard feed: %+v", hp.HardFeed)
	}
}

// Nobody knows how much of a lick is eaten: no kilo of it is counted on, however little
// hay is fed, it fills no horse and holds no card. A horse in work is given salt beside it
// (limits SA-06); one at rest may have licked enough.
func TestALickIsCountedAsNothing(t *testing.T) {
	t.Parallel()
	adLib := yard.Amount{Given: true, AdLib: true}
	for _, kg := range []float64{4, 9} {
		for _, lick := range []yard.Feed{{Name: "Salt"}, {Name: "Salt lick", Class: yard.Salt}, {Name: "Mineral block", Class: yard.Supplement}} {
			for _, works := range []bool{true, false} {
				hp := Plan(onHay(lick, adLib, works, kg), DefaultRules()).Horses[0]
				for _, s := range hp.Servings {
					if s.Feed == lick.Name && (s.Kg != 0 || !s.AdLib) {
						t.Errorf("%s beside %g kg of hay: %+v", lick.Name, kg, s)
					}
				}
				if _, said := has(hp, "lick"); !said || hp.Status == yard.Held && kg > 4 || !hp.Energy.Supply.IsKnown() {
					t.Errorf("%s beside %g kg of hay: said %v, %s, energy %v", lick.Name, kg, said, hp.Status, hp.Energy.Supply)
				}
			}
		}
	}
	without := Plan(onHay(yard.Feed{Name: "Salt"}, kilos(0), false, 9), DefaultRules()).Horses[0]
	rest := Plan(onHay(yard.Feed{Name: "Salt"}, adLib, false, 9), DefaultRules()).Horses[0]
	// 143 g of salt hold 56 g of sodium.
	if more := nutrientOf(t, rest, "sodium").Between.High.Or(0) - nutrientOf(t, without, "sodium").Between.High.Or(0); math.Abs(more-56.2) > 1 {
		t.Errorf("at rest a lick may bring %g g of sodium", more)
	}
	h := horse("Fern", 500)
	for d := range 6 {
		h.Work[d] = yard.Day{Text: "work", Sessions: []yard.Session{{Minutes: [yard.Gaits]float64{30, 40, 20}}}}
	}
	w := onHay(yard.Feed{Name: "Salt lick", Class: yard.Salt}, adLib, true, 9)
	w.Horses[0], w.Feeds = h, append(w.Feeds, yard.Feed{Name: "Salt"})
	w.Lines = []yard.Line{line("Fern", "Hay", kilos(12), nothing), line("Fern", "Salt lick", adLib, nothing)}
	if hp := Plan(w, DefaultRules()).Horses[0]; amountOn(hp, w, "Salt") < 0.02 {
		t.Errorf("in hard work with a lick alone: %v, %v", hp.Changes, hp.Findings)
	}
}

// Whatever stands where a lick's amount should be, it lies there; grams are grams.
func TestALickNeedsNoAmount(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		what  string
		a     yard.Amount
		adLib bool
	}{{"in the stable", yard.Amount{Given: true}, true}, {"1 of something", yard.Amount{Given: true, Measures: yard.Known(1)}, true}, {"40 g", kilos(0.04), false}} {
		hp := Plan(onHay(yard.Feed{Name: "Salt lick", Class: yard.Salt}, c.a, true, 9), DefaultRules()).Horses[0]
		_, said := has(hp, "lick")
		if _, asked := has(hp, "amount-unread"); asked || said != c.adLib {
			t.Errorf("%s: asked %v, counted as a lick %v", c.what, asked, said)
		}
	}
}

// How much is eaten of anything else by the gram that is written "ad lib" is asked.
func TestAnOilOrAPowderAdLibIsAsked(t *testing.T) {
	t.Parallel()
	hay := Plan(onHay(yard.Feed{Name: "Salt"}, kilos(0), true, 7.5), DefaultRules()).Horses[0]
	for _, f := range []yard.Feed{{Name: "Powder", Class: yard.Supplement}, {Name: "Oil", Generic: "vegetable oil"}, {Name: "Carrots"}} {
		hp := Plan(onHay(f, yard.Amount{Given: true, AdLib: true}, true, 7.5), DefaultRules()).Horses[0]
		if _, asked := has(hp, "amount-unread"); !asked || math.Abs(hp.Energy.Supply.Or(0)-hay.Energy.Supply.Or(1)) > 0.01 {
			t.Errorf("%s ad lib: %v Mcal, %v", f.Name, hp.Energy.Supply, hp.Findings)
		}
	}
}

// What nobody knows of a powder is a range where the most there can be of it is less than
// is needed: 30 g hold 30 g of protein at most, and could be all of a horse's selenium.
func TestWhatNobodyKnowsOfAPowderHasItsEnds(t *testing.T) {
	t.Parallel()
	without := Plan(onHay(yard.Feed{Name: "Salt"}, kilos(0), true, 9), DefaultRules()).Horses[0]
	with := Plan(onHay(yard.Feed{Name: "Powder", Class: yard.Supplement}, kilos(0.03), true, 9), DefaultRules()).Horses[0]
	for name, more := range map[string]float64{"crude protein": 30, "calcium": 0.03 * 401, "sodium": 0.03 * 434} {
		a, b := nutrientOf(t, without, name).Between, nutrientOf(t, with, name).Between
		if math.Abs(b.High.Or(0)-a.High.Or(0)-more) > 0.02*b.High.Or(0)+0.5 || !b.High.IsKnown() {
			t.Errorf("%s: without %v, with %v", name, a, b)
		}
	}
	if b := nutrientOf(t, with, "selenium").Between; b.High.IsKnown() {
		t.Errorf("selenium %v", b)
	}
}

// Source: evidence SW-01. A hot week asks for more salt, by the heat's share of the sweat.
func TestAHotWeekAsksForMoreSalt(t *testing.T) {
	t.Parallel()
	for c, want := range map[float64]float64{-5: 1, 20: 1, 27: 1.127, 34: 1.253, 40: 1.253} {
		w := onHay(yard.Feed{Name: "Salt"}, kilos(0.03), true, 9)
		mild := Plan(w, DefaultRules()).Horses[0]
		w.Temperature = yard.Known(c)
		hp := Plan(w, DefaultRules()).Horses[0]
		if got := hp.SweatKg.Or(0) / mild.SweatKg.Or(1); math.Abs(got-want) > 0.001 || math.Abs(need.HeatShare(yard.Known(c))-want) > 0.001 {
			t.Errorf("%g °C: %g times the sweat", c, got)
		}
		more := nutrientOf(t, hp, "sodium").Need.Or(0) - nutrientOf(t, mild, "sodium").Need.Or(0)
		if wantG := 3.1 * (want - 1) * mild.SweatKg.Or(0); math.Abs(more-wantG) > 0.02*mild.SweatKg.Or(0)+1e-9 {
			t.Errorf("%g °C: %g g more sodium, want %g", c, more, wantG)
		}
	}
}
