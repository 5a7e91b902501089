package ration

import (
	"math"
	"testing"
	"time"

	"hardfeed/ration/yard"
)

var nothing = yard.Amount{}

// A small yard: hay, cubes of known analysis at 1.5 kg a scoop, oats.
func smallYard(horses ...yard.Horse) yard.Week {
	cubes := yard.Composition{DM: yard.Known(0.88), DE: yard.Known(2.84), CP: yard.Known(114), Starch: yard.Known(205),
		Sugar: yard.Known(60), Ca: yard.Known(11), P: yard.Known(5.7), Na: yard.Known(3.4)}
	return yard.Week{
		Yard:      "Test yard",
		Beginning: time.Date(2026, 11, 30, 0, 0, 0, 0, time.UTC),
		Meals:     []yard.Meal{{Name: "Breakfast", Minute: 7 * 60}, {Name: "Lunch", Minute: 12*60 + 30}, {Name: "Tea", Minute: 17 * 60}},
		Measures:  []yard.Measure{{Name: "scoop", Litres: yard.Known(2)}},
		Horses:    horses,
		Feeds: []yard.Feed{
			{Name: "Hay", Generic: "grass hay, mid-maturity", PackKg: yard.Known(20), PackName: "bale", PackPrice: yard.Known(6), StockPacks: yard.Known(100)},
			{Name: "Cubes", Class: yard.HardFeed, Analysis: cubes, AnalysisFrom: "workbook: dry matter", MeasureKg: yard.Known(1.5)},
			{Name: "Oats", MeasureKg: yard.Known(0.8)},
			{Name: "Salt"},
			{Name: "Oil", Generic: "vegetable oil"},
		},
	}
}

func horse(name string, kg float64) yard.Horse {
	h := yard.Horse{Name: name, WeightKg: yard.Known(kg), WeightBasis: yard.ByScale, Type: yard.TypeHorse, Keeper: yard.NormalDoer,
		Fitness: yard.PartFit, RiderTackKg: yard.Known(80), WorkGiven: true}
	for d := range 6 { // six days' hacking, one off
		h.Work[d] = yard.Day{Text: "hack 60", Sessions: []yard.Session{{Minutes: [yard.Gaits]float64{42, 15, 3}}}}
	}
	return h
}

func kilos(kg float64) yard.Amount { return yard.Amount{Given: true, Kg: yard.Known(kg)} }

func line(horse, feed string, now, planned yard.Amount) yard.Line {
	return yard.Line{Horse: horse, Feed: feed, Now: now, Planned: planned}
}

func planOne(t *testing.T, h yard.Horse, lines ...yard.Line) yard.HorsePlan {
	t.Helper()
	w := smallYard(h)
	w.Lines = lines
	p := Plan(w, DefaultRules())
	if len(p.Horses) != 1 {
		t.Fatalf("%d horses planned", len(p.Horses))
	}
	return p.Horses[0]
}

func has(hp yard.HorsePlan, rule string) (yard.Finding, bool) {
	for _, f := range hp.Findings {
		if string(f.Rule) == rule {
			return f, true
		}
	}
	return yard.Finding{}, false
}

func near(a yard.Num, want float64) bool { return math.Abs(a.Or(math.NaN())-want) < 1e-6 }

func round(xs []float64) []float64 {
	out := make([]float64, len(xs))
	for i, x := range xs {
		out[i] = math.Round(x*1e6) / 1e6
	}
	return out
}
