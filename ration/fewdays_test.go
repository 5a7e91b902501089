package ration

import (
	"fmt"
	"testing"

	"hardfeed/ration/yard"
)

// A new feed comes in on the days it is fed, a quarter at a time. A pony that works two days
// a week has two of them: our own card then rises by no more than two days take, and never
// past the limit of one day's rise.
func TestANewFeedOnFewDaysRisesWithinThem(t *testing.T) {
	t.Parallel()
	raised := 0
	for bodyKg := 180.0; bodyKg <= 320; bodyKg += 10 {
		for _, cubesKg := range []float64{0.1, 0.2, 0.3} {
			t.Run(fmt.Sprintf("%.0f kg, %.1f kg of cubes", bodyKg, cubesKg), func(t *testing.T) {
				h := horse("Tansy", bodyKg)
				h.Keeper = yard.PoorDoer
				h.Diagnoses = []yard.NamedDiagnosis{{Kind: yard.Overweight, Text: "overweight"}} // what is fed is not simply kept
				h.Before, h.BeforeGiven = workWeek(120, 60), true
				for d := range 7 {
					if d != 0 && d != 6 {
						h.Work[d] = yard.Day{Text: "rest"}
					}
				}
				w := withMixAndStraw(smallYard(h))
				w.Lines = []yard.Line{line("Tansy", "Straw", kilos(1.5), nothing), line("Tansy", "Cubes", kilos(cubesKg), nothing), line("Tansy", "Mix", kilos(0), nothing), line("Tansy", "Salt", kilos(0.0075), nothing)}
				w.Meals = w.Meals[:2]
				hp := Plan(w, DefaultRules()).Horses[0]
				if hp.Status == yard.Carded && hp.Step.Verdict == yard.StepStop {
					t.Errorf("the card rises from %.3f to %.3f kg; one day's rise may be %.3f kg: %v", hp.HardFeed.Now.Or(-1), hp.HardFeed.Card.Or(-1), hp.Step.DayStopKg.Or(-1), hp.Step.DayKg)
				}
				if hp.HardFeed.Card.Or(0) > hp.HardFeed.Now.Or(0) {
					raised++
				}
			})
		}
	}
	if raised < 20 {
		t.Errorf("hard feed went up for %d ponies only", raised)
	}
}
