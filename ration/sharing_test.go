package ration

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"hardfeed/ration/yard"
)

func TestSharesAddUpToTheWhole(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		total := rapid.Float64Range(0, 20).Draw(t, "total")
		unit := rapid.SampledFrom([]float64{0.01, 0.05, 0.25, 0.375}).Draw(t, "unit")
		n := rapid.IntRange(1, 5).Draw(t, "meals")
		weights := rapid.SliceOfN(rapid.Float64Range(0, 3), n, n).Draw(t, "weights")
		parts := apportion(total, unit, weights, n)
		sum := 0.0
		for _, p := range parts {
			if p < 0 {
				t.Fatalf("a negative share: %v", parts)
			}
			sum += p
		}
		if math.Abs(sum-total) > 1e-9 {
			t.Fatalf("%v add up to %g, not %g", parts, sum, total)
		}
	})
}

// Nothing is not printed as an amount: what is left of a meal by the last bit of a
// float is not a serving.
func TestNoServingOfNothing(t *testing.T) {
	t.Parallel()
	for n := range 40 { // as many plans as it takes for a float not to come out even
		h := horse("Nova", 500)
		w := smallYard(h)
		w.Meals = append(w.Meals, yard.Meal{Name: "Late", Minute: 21 * 60})
		w.Feeds[1].MeasureKg = yard.Known(1.1)
		w.Lines = []yard.Line{line("Nova", "Hay", kilos(8), kilos(4)), line("Nova", "Cubes", kilos(3.3), kilos(9.9)),
			line("Nova", "Oats", nothing, kilos(1+0.02*float64(n)))}
		for _, s := range Plan(w, DefaultRules()).Horses[0].Servings {
			if s.From == 0 && s.Kg == 0 {
				t.Errorf("%s of a %s day: nothing of %s is printed", s.Meal, s.Day, s.Feed)
			}
		}
	}
}

// A card that asks for 30 g four times a day is not followed: where the meals are
// ours to choose, hard feed goes in as few as the marks of a meal leave, here 0.9 kg
// (limits D-10: 0.3 kg per 100 kg).
func TestALittleHardFeedGoesInFewMeals(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		kg   float64
		want string
	}{{0.09, "[0 0 0.09]"}, {0.19, "[0 0 0.19]"}, {0.25, "[0 0 0.25]"}, {0.75, "[0 0 0.75]"}, {1.5, "[0.75 0 0.75]"}} {
		hp := planOne(t, horse("Zip", 300), line("Zip", "Hay", kilos(6), kilos(6)), line("Zip", "Cubes", kilos(c.kg), kilos(c.kg)))
		var meals [3]float64
		for _, s := range hp.Servings {
			if m := slices.Index([]string{"Breakfast", "Lunch", "Tea"}, s.Meal); s.Day == yard.WorkDay && s.Feed == "Cubes" && m >= 0 {
				meals[m] = float64(s.Kg)
			}
		}
		if got := fmt.Sprint(meals); got != c.want {
			t.Errorf("%g kg: %s, want %s", c.kg, got, c.want)
		}
	}
	at := line("Zip", "Cubes", kilos(0.09), kilos(0.09))
	at.Meal = "Breakfast"
	for _, s := range planOne(t, horse("Zip", 300), line("Zip", "Hay", kilos(6), kilos(6)), at).Servings {
		if s.Feed == "Cubes" && s.Meal != "Breakfast" {
			t.Errorf("she feeds it at breakfast, the card at %s", s.Meal)
		}
	}
}

// A day's amount that stays is spread over the meals as it was written, to the gram.
func TestMealsStayAsWritten(t *testing.T) {
	t.Parallel()
	const lb4 = 4 * 0.45359237
	am, pm := line("Fern", "Cubes", kilos(lb4), kilos(lb4)), line("Fern", "Cubes", kilos(lb4), kilos(lb4))
	am.Meal, pm.Meal = "Breakfast", "Tea"
	hp := planOne(t, horse("Fern", 600), line("Fern", "Hay", kilos(10), kilos(10)), am, pm)
	for _, s := range hp.Servings {
		if s.Feed == "Cubes" && s.Day == yard.WorkDay && math.Abs(float64(s.Kg)-lb4) > 1e-3 {
			t.Errorf("%v kg at %s, written were %.3f", s.Kg, s.Meal, lb4)
		}
	}
}
