package ration

import (
	"testing"

	"hardfeed/ration/yard"
)

// saltOn is the salt on a work day of a card, kg.
func saltOn(hp yard.HorsePlan) (kg float64) {
	for _, s := range hp.Servings {
		if s.Feed == "Salt" && s.Day == yard.WorkDay && int(s.From) == lastFrom(hp, s) {
			kg += float64(s.Kg)
		}
	}
	return kg
}

// lastFrom is the day from which a serving's meal has the week's last amount.
func lastFrom(hp yard.HorsePlan, of yard.Serving) (last int) {
	for _, s := range hp.Servings {
		if s.Feed == of.Feed && s.Meal == of.Meal && s.Day == of.Day {
			last = max(last, int(s.From))
		}
	}
	return last
}

// A horse that sweats more salt than it may be fed is proposed nine tenths of the top limit
// and no more, whether it has salt already or salt comes in: next week's weighing may be a
// little lower, and what was just inside would then be too much.
func TestAProposalKeepsATenthOffTheTopOfSalt(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		what string
		now  yard.Amount
	}{{"it has salt", kilos(0.03)}, {"salt comes in", nothing}} {
		h := horse("Fern", 500)
		h.SweatLitres = yard.Known(14)
		w := smallYard(h)
		w.Lines = []yard.Line{line("Fern", "Hay", kilos(9), nothing), line("Fern", "Cubes", kilos(1.5), nothing)}
		if c.now.Given {
			w.Lines = append(w.Lines, line("Fern", "Salt", c.now, nothing))
		}
		hp := Plan(w, DefaultRules()).Horses[0]
		if kg := saltOn(hp); kg < 0.08 || kg > 0.09+1e-9 {
			t.Errorf("%s: %.3f kg of salt a day, want no more than 0.09", c.what, kg)
		}
	}
}
