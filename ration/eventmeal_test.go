package ration

import (
	"testing"

	"hardfeed/ration/yard"
)

// On the day of an event the lunch that falls in it goes to breakfast only as far as a meal
// may have: a breakfast of 1.4 kg takes hardly any lunch on top, a small one takes it up to 0.3 % of
// the body weight (limits D-10), and with ulcers none.
func TestTheMealBeforeAnEventIsNoLargerThanAMealMayBe(t *testing.T) {
	for _, c := range []struct {
		name          string
		atBreakfastKg float64
		ill           []yard.NamedDiagnosis
		most          float64 // kg of hard feed at breakfast on the event's day
	}{
		{"a large breakfast", 1.4, nil, 1.5},
		{"a small one", 0.5, nil, 1.5},
		{"a small one, with ulcers", 0.5, []yard.NamedDiagnosis{{Kind: yard.Ulcers, Text: "ulcers"}}, 0},
	} {
		h := horse("Any", 500)
		h.Diagnoses = c.ill
		h.Work[1] = yard.Day{Event: true, StartMin: 11*60 + 45, Sessions: h.Work[0].Sessions}
		w := withMixAndStraw(smallYard(h))
		w.Meals = w.Meals[:2] // breakfast and lunch
		oats, mix := line("Any", "Oats", kilos(c.atBreakfastKg), kilos(c.atBreakfastKg)), line("Any", "Mix", kilos(0.8), kilos(0.8))
		oats.Meal = "Breakfast"
		w.Lines = append(w.Lines, line("Any", "Hay", kilos(11), kilos(11)), oats, mix)
		hp := Plan(w, DefaultRules()).Horses[0]
		onDay := func(d int) (kg float64) {
			for k, v := range asDishedOut(hp, d) {
				if k[1] == "Breakfast" && (k[0] == "Oats" || k[0] == "Mix") {
					kg += v
				}
			}
			return kg
		}
		if hp.Days[1].Kind != yard.EventDay {
			t.Fatalf("%s: the day is %v", c.name, hp.Days[1].Kind)
		}
		if got, ordinary := onDay(1), onDay(0); got > max(c.most, ordinary)+1e-9 {
			t.Log(hp.Status)
			t.Errorf("%s: %.3f kg of hard feed at breakfast on the day of the event, %.3f on others", c.name, got, ordinary)
		}
	}
}
