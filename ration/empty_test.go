package ration

import (
	"testing"

	"hardfeed/ration/yard"
)

// A card that gives a horse nothing at all is none where nobody wrote what it eats. A horse
// at grass has one, and so has one of which it is written that it gets no hard feed.
func TestACardWithNothingOnItIsNone(t *testing.T) {
	none := yard.Line{Horse: "Grandpa", Feed: "Oats", Now: yard.Amount{Given: true, Kg: yard.Known(0)}}
	for _, c := range []struct {
		name  string
		grass float64
		lines []yard.Line
		want  yard.Status
	}{
		{"nothing written", 0, nil, yard.NoCard},
		{"at grass all day", 24, nil, yard.Carded},
		{"no hard feed, and nobody says what hay", 0, []yard.Line{none}, yard.Carded},
	} {
		week := yard.Week{Meals: []yard.Meal{{Name: "Breakfast"}, {Name: "Tea"}}, Feeds: []yard.Feed{{Name: "Oats", Class: yard.HardFeed}}, Lines: c.lines,
			Horses: []yard.Horse{{Name: "Grandpa", WeightKg: yard.Known(430), WeightBasis: yard.Stated, GrassHours: yard.Known(c.grass)}}}
		if got := Plan(week, DefaultRules()).Horses[0]; got.Status != c.want {
			t.Errorf("%s: %v, %v, %v", c.name, got.Status, got.NoCardWhy, got.Servings)
		}
	}
}
