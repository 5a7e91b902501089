package ration

import (
	"math"
	"testing"

	"hardfeed/ration/yard"
)

// hardWorked is a horse in six days of hard work on hay and one kilo of cubes, and a powder
// in the room of which nobody knows the energy; so much of it is fed.
func hardWorked(powder yard.Feed, kg float64) yard.Week {
	h := horse("Fern", 500)
	h.Fitness = yard.Hard
	for d := range 6 {
		h.Work[d] = yard.Day{Text: "work", Sessions: []yard.Session{{Minutes: [yard.Gaits]float64{30, 40, 20}}}}
	}
	w := smallYard(h)
	w.Feeds[0].Analysis, w.Feeds[0].AnalysisFrom = yard.Composition{DE: yard.Known(1.6)}, "workbook: dry matter"
	w.Feeds[3] = powder
	w.Lines = []yard.Line{line("Fern", "Hay", kilos(12), nothing), line("Fern", "Cubes", kilos(1), nothing)}
	if kg > 0 {
		w.Lines = append(w.Lines, line("Fern", powder.Name, kilos(kg), nothing))
	}
	return w
}

// A feed of no consequence hides nothing (design §5): twenty grams of a powder hold 0.2 Mcal
// at the most, were it pure fat, and hard feed rises beside them as without; half a kilo
// could be a fifth of the need.
func TestGramsOfUnknownEnergyHideNothing(t *testing.T) {
	t.Parallel()
	powder := yard.Feed{Name: "Powder", Class: yard.Supplement}
	without := Plan(hardWorked(powder, 0), DefaultRules()).Horses[0]
	if without.HardFeed.Card.Or(0) < 1.05 {
		t.Fatalf("hard feed is to rise: %+v", without.HardFeed)
	}
	for _, c := range []struct {
		kg     float64
		raised bool
	}{{0.02, true}, {0.5, false}} {
		hp := Plan(hardWorked(powder, c.kg), DefaultRules()).Horses[0]
		_, hidden := has(hp, "energy-unknown")
		if hidden == c.raised || (hp.HardFeed.Card.Or(0) > 1.05) != c.raised || hp.Energy.Supply.IsKnown() != c.raised {
			t.Errorf("%g kg: %+v, energy %v, said to be unknown: %v", c.kg, hp.HardFeed, hp.Energy.Supply, hidden)
		}
		if c.raised && hp.HardFeed.Card != without.HardFeed.Card {
			t.Errorf("%g kg: %v kg of hard feed, without it %v", c.kg, hp.HardFeed.Card, without.HardFeed.Card)
		}
	}
}

// A horse under score 5 keeps its energy: grams of unknown energy hide what is fed no more
// than they hide what is needed.
func TestAThinHorseKeepsItsEnergyBesideAPowder(t *testing.T) {
	t.Parallel()
	plan := func(kg float64) yard.HorsePlan {
		w := hardWorked(yard.Feed{Name: "Powder", Class: yard.Supplement}, kg)
		w.Horses[0].Score = yard.Known(4)
		w.Horses[0].Work = [7]yard.Day{}
		w.Lines[1].Now = kilos(2)
		return Plan(w, DefaultRules()).Horses[0]
	}
	without, with := plan(0), plan(0.02)
	if over := without.Energy.Supply.Or(0) / without.Energy.Need.Or(1); over < 1.1 {
		t.Fatalf("it is to be fed well over its need: %.2f of it", over)
	}
	if math.Abs(with.Energy.Supply.Or(0)-without.Energy.Supply.Or(0)) > 0.1 || with.HardFeed != without.HardFeed {
		t.Errorf("with the powder %v and %+v, without %v and %+v", with.Energy.Supply, with.HardFeed, without.Energy.Supply, without.HardFeed)
	}
}

// A powder that came in for what was short does not keep hard feed from rising, in the week
// it comes in or after.
func TestHardFeedRisesBesideWhatComesIn(t *testing.T) {
	t.Parallel()
	powder := mineralMix(300, 12000, 0)
	powder.Analysis.DE = yard.Num{}
	w := hardWorked(powder, 0)
	w.Feeds[0].Analysis.Na = yard.Known(0.3)
	hp := Plan(w, DefaultRules()).Horses[0]
	came := broughtInto(hp)["Mix"]
	if came == 0 {
		t.Fatalf("nothing came in: %v, %v", hp.Changes, hp.Findings)
	}
	before, _ := hp.HardFeed.Card.Get()
	if before < 1.05 {
		t.Errorf("with %g g coming in: %+v", came, hp.HardFeed)
	}
	for week := range 3 {
		hay, cubes := amountOn(hp, w, "Hay"), amountOn(hp, w, "Cubes")
		w.Lines = []yard.Line{line("Fern", "Hay", kilos(hay), nothing), line("Fern", "Cubes", kilos(cubes), nothing), line("Fern", "Mix", kilos(came/1000), nothing)}
		w.Beginning, w.Horses[0].Weighed = w.Beginning.AddDate(0, 0, 7), w.Beginning.AddDate(0, 0, 5)
		hp = Plan(w, DefaultRules()).Horses[0]
		if f, ok := has(hp, "energy-unknown"); ok || !hp.Energy.Supply.IsKnown() {
			t.Fatalf("week %d, %g g fed: %+v, energy %v", week, came, f, hp.Energy.Supply)
		}
		if more := broughtInto(hp)["Mix"]; more > 0 {
			came = more
		}
	}
	if math.Abs(hp.HardFeed.Card.Or(0)-hp.HardFeed.Target.Or(0)) > 1e-6 && hp.HardFeed.Card.Or(0) <= before {
		t.Errorf("hard feed stands still: %+v", hp.HardFeed)
	}
}

// No hay is left for grams of salt, so a thin horse on hay ad lib, whose energy is not to
// fall, keeps its salt, and gets some where it has none and is short.
func TestAThinHorseOnHayAdLibHasItsSalt(t *testing.T) {
	t.Parallel()
	for _, now := range []float64{0.04, 0} {
		w := unsalted(yard.Feed{Name: "Salt"})
		w.Horses[0].Score = yard.Known(4)
		w.Lines[0].Now = yard.Amount{Given: true, AdLib: true}
		if now > 0 {
			w.Lines = append(w.Lines, line("Fern", "Salt", kilos(now), nothing))
		}
		hp := Plan(w, DefaultRules()).Horses[0]
		if kg := amountOn(hp, w, "Salt"); kg < 0.02 {
			t.Errorf("fed %g kg of salt now: %g kg on the card; %v", now, kg, hp.Changes)
		}
	}
}
