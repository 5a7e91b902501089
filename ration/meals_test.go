package ration

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// The order in which meals are taken for hard feed that no row ties to one: breakfast and
// tea before lunch, and lunch before a late feed (ours).
func TestHardFeedIsGivenAtMealsFarApart(t *testing.T) {
	t.Parallel()
	at := func(minutes ...int) (meals []yard.Meal) {
		for _, m := range minutes {
			meals = append(meals, yard.Meal{Minute: m})
		}
		return meals
	}
	for _, c := range []struct {
		what  string
		meals []yard.Meal
		want  string
	}{
		{"one", at(7 * 60), "[0]"},
		{"two", at(7*60, 17*60), "[1 0]"},
		{"three", at(7*60, 12*60+30, 17*60), "[2 0 1]"},
		{"four", at(7*60, 12*60+30, 17*60+30, 21*60+30), "[2 0 1 3]"},
		{"times not known", at(-1, -1, -1), "[2 0 1]"},
		{"none", nil, "[]"},
	} {
		if got := fmt.Sprint(hardMealOrder(c.meals)); got != c.want {
			t.Errorf("%s: %s, want %s", c.what, got, c.want)
		}
	}
}

// Hard feed that no row ties to a meal is given at as few as the marks of a meal leave
// (limits D-10: 0.3 kg per 100 kg, D-11: 1 g of starch per kg), whatever else is fed; what
// is tied stays at its meals.
func TestHardFeedIsGivenAtAsFewMealsAsTheLimitsAllow(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		what  string
		lines []yard.Line
		want  map[string]int // meals of each feed
	}{
		{"1.5 kg of cubes", []yard.Line{line("Zip", "Cubes", kilos(1.5), nothing)}, map[string]int{"Cubes": 1}},
		{"2.25 kg of cubes", []yard.Line{line("Zip", "Cubes", kilos(2.25), nothing)}, map[string]int{"Cubes": 2}},
		{"1.6 kg of oats, 780 g of starch", []yard.Line{line("Zip", "Oats", kilos(1.6), nothing)}, map[string]int{"Oats": 2}},
		{"a little oats beside cubes", []yard.Line{line("Zip", "Cubes", kilos(1.5), nothing), line("Zip", "Oats", kilos(0.2), nothing)}, map[string]int{"Cubes": 2, "Oats": 1}},
		{"her breakfast stays", []yard.Line{{Horse: "Zip", Feed: "Cubes", Meal: "Breakfast", Now: kilos(0.75)}, {Horse: "Zip", Feed: "Cubes", Meal: "Tea", Now: kilos(0.75)}}, map[string]int{"Cubes": 2}},
	} {
		w := smallYard(horse("Zip", 500))
		w.Lines = append([]yard.Line{line("Zip", "Hay", kilos(9), nothing)}, c.lines...)
		h := undecided(t, w)
		for i, it := range h.dish.bucket {
			n := 0
			for _, kg := range h.dish.shares(h.fed.day)[i] {
				if kg > 0 {
					n++
				}
			}
			if want, asked := c.want[it.feed.Feed.Name]; asked && n != want {
				t.Errorf("%s: %s at %d meals, want %d", c.what, it.feed.Feed.Name, n, want)
			}
		}
		for _, f := range guard.Check("Zip", h.dish.evaluate(h.fed.day, true), h.facts.rules.Limits) {
			if f.Severity > yard.Note && (f.Rule == "D-10" || f.Rule == "D-11") {
				t.Errorf("%s: %s is passed", c.what, f.Rule)
			}
		}
	}
}

// Whatever a horse is fed, a meal's marks that sharing over all meals keeps are kept by
// sharing over the fewest: what is given at fewer meals passes none of them.
func TestFewerMealsPassNoLimitThatAllMealsKeep(t *testing.T) {
	t.Parallel()
	rnd := rand.New(rand.NewPCG(3, 20))
	compared, worse := 0, 0
	for n := range 600 {
		c := someBucket(t, rnd, n)
		d := c.dish.asWritten()
		few := c.dish.marksPassed(d)
		for i := range c.dish.bucket {
			c.dish.bucket[i].mealKg = 0
		}
		for rule, sev := range few {
			if rule != "D-10" && rule != "D-11" && rule != "D-14" && rule != "D-15" && rule != "D-27" {
				continue
			}
			compared++
			if c.dish.marksPassed(d)[rule] < sev {
				worse++
			}
		}
	}
	t.Logf("%d marks of a meal passed, %d of them only at the fewest meals", compared, worse)
	if compared == 0 || worse > 0 {
		t.Error("the fewest meals are too few")
	}
}
