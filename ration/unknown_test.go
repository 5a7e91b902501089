package ration_test

import (
	"testing"

	"hardfeed/ingest"
	"hardfeed/ration"
	"hardfeed/ration/feeds"
	"hardfeed/ration/need"
	"hardfeed/ration/yard"
	"hardfeed/templates"
)

// unknownNutrients counts the nutrients of some horses' weeks: all, those of which nothing
// can be said by the workbook and the table of generic feeds alone, where one feed without a
// figure hides a total, and those of which nothing can be said with the ranges of kinds: no
// total and no two ends.
func unknownNutrients(p yard.Plan) (all, byTable, now int) {
	table, listed := feeds.Load(), map[string]yard.Composition{}
	for _, f := range p.Week.Feeds {
		of := f.Analysis
		what := f.Generic
		if what == "" {
			what = f.Name
		}
		if g, ok := table.Lookup(what); ok {
			for _, n := range yard.Constituents() {
				if to := n.In(&of); !to.IsKnown() {
					*to = n.Of(g.Composition)
				}
			}
		}
		listed[f.Name] = of
	}
	for _, h := range p.Horses {
		for _, line := range h.Nutrients {
			all++
			if _, _, ends := line.Ends(); !line.Supply.IsKnown() && !ends {
				now++
			}
			for _, s := range h.Servings {
				of, ok := listed[s.Feed]
				if !ok || !contentOf(of, line.Name).IsKnown() {
					byTable++
					break
				}
			}
		}
	}
	return all, byTable, now
}

func contentOf(of yard.Composition, nutrient string) yard.Num {
	for _, n := range need.Nutrients() {
		if n.Name == nutrient {
			return n.Content(of)
		}
	}
	return yard.Num{}
}

// What ranges are for: nutrients of which nothing could be said. Lower the floors with
// whatever makes more of them known.
func TestHowManyNutrientsAreUnknown(t *testing.T) {
	t.Parallel()
	data, err := templates.Demo()
	if err != nil {
		t.Fatal(err)
	}
	demo, err := ingest.Read("demo.xlsx", data, ingest.Options{})
	if err != nil {
		t.Fatal(err)
	}
	plans := map[string][]yard.Plan{"the demo": {ration.Plan(demo, ration.DefaultRules())}}
	for i := range 100 {
		plans["100 random horses"] = append(plans["100 random horses"], ration.Plan(anyHorse(chance(5000+i)).Week, ration.DefaultRules()))
	}
	for what, most := range map[string]float64{"the demo": 0.43, "100 random horses": 0.32} {
		all, byTable, now := 0, 0, 0
		for _, p := range plans[what] {
			a, b, n := unknownNutrients(p)
			all, byTable, now = all+a, byTable+b, now+n
		}
		t.Logf("%s: %d nutrients; unknown by the table alone %d, with ranges %d", what, all, byTable, now)
		if all == 0 || now > byTable || float64(now) > most*float64(all) {
			t.Errorf("%s: %d of %d nutrients are unknown, by the table alone %d", what, now, all, byTable)
		}
	}
}
