package ration

import (
	"testing"

	"hardfeed/ration/yard"
)

// A hard feed that next week's work asks for comes in this week: a new one is not given in
// full at once (limits D-04). One that next week does not ask for does not, and a week
// that lacks nothing is not spoken of.
func TestANewFeedComesInTheWeekBeforeItIsAskedFor(t *testing.T) {
	t.Parallel()
	met := map[bool]int{}
	for trot := 0.0; trot <= 100; trot += 10 {
		h := horse("Fern", 500)
		h.Score = yard.Known(5)
		for d := range h.Work {
			h.Work[d] = yard.Day{Text: "walk", Sessions: []yard.Session{{Minutes: [yard.Gaits]float64{20}}}}
		}
		h.Before, h.BeforeGiven = h.Work, true
		w := smallYard(h)
		h.Later = []yard.WorkWeek{weekOf(1, workWeek(50, trot, 0.7*trot))}
		w.Horses[0] = h
		w.Lines = []yard.Line{line("Fern", "Hay", kilos(11), nothing), line("Fern", "Cubes", kilos(0), nothing)}
		hp := Plan(w, DefaultRules()).Horses[0]
		if len(hp.Step.Ahead) == 0 {
			t.Fatalf("%v minutes: no week ahead: %v", trot, hp.Findings)
		}
		ahead := hp.Step.Ahead[0]
		if _, said := has(hp, "ahead"); said && ahead.ShortMcal == 0 {
			t.Errorf("%v minutes of trot: a week that lacks nothing is spoken of: %v", trot, hp.Findings)
		}
		asks := ahead.TargetKg > 0
		t.Logf("%v: asks %v, card %v, ahead %v", trot, ahead.TargetKg, hp.HardFeed.Card, ahead.CardKg)
		met[asks]++
		if got := hp.HardFeed.Card.Or(0) > 0; got != asks {
			t.Errorf("%v minutes of trot: next week asks for %v kg of hard feed, this week's card has %v", trot, ahead.TargetKg, hp.HardFeed.Card)
		}
	}
	if met[true] < 3 || met[false] < 3 {
		t.Errorf("weeks that ask for hard feed and not: %v", met)
	}
}
