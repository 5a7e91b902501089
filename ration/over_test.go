package ration

import (
	"testing"
	"time"

	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// Design §5.10: a horse of score 7 up, or with laminitis, EMS or PPID, whose plan has a quarter
// more energy than it holds its weight on is not fed that plan, nor more hard feed than now
// where it has enough. Half a week is the most that is taken away at once.
func TestAPlanThatMakesAFatHorseFatterIsReduced(t *testing.T) {
	t.Parallel()
	n := yard.Known
	for _, c := range []struct {
		what       string
		h          func(h *yard.Horse)
		hay        float64
		now, plan  yard.Amount
		held       bool
		least, top float64 // of the card
	}{
		{"score 8, twice its need", func(h *yard.Horse) { h.Score, h.TargetScore = n(8), n(5) }, 14, kilos(3), kilos(3), true, 1.5, 1.5},
		{"score 8, a third over", func(h *yard.Horse) { h.Score, h.TargetScore = n(8), n(5) }, 10, kilos(3), kilos(3), true, 1.5, 2.25},
		{"score 8, raised, with enough", func(h *yard.Horse) { h.Score, h.TargetScore = n(8), n(5) }, 10, kilos(0.75), kilos(1.125), true, 0.75, 0.75},
		{"score 8, raised, with too little", func(h *yard.Horse) { h.Score, h.TargetScore = n(8), n(5) }, 7.25, kilos(0.375), kilos(0.75), false, 0.75, 0.75},
		{"score 6", func(h *yard.Horse) { h.Score, h.TargetScore = n(6), n(5) }, 12, kilos(3), kilos(3), false, 3, 3},
		{"a vet slims it", func(h *yard.Horse) { h.Diagnoses = named(yard.Overweight) }, 14, kilos(1.5), kilos(1.5), true, 0.75, 0.75},
		{"PPID, thin", func(h *yard.Horse) { h.Score, h.Diagnoses = n(4), named(yard.PPID) }, 14, kilos(1.5), kilos(1.5), false, 1.5, 1.5},
		{"somebody answers for it", func(h *yard.Horse) {
			h.Score, h.TargetScore, h.Override = n(8), n(5), yard.Override{Asked: true, Who: "R. Hale", Reason: "vet's instruction"}
		}, 14, kilos(3), kilos(3), false, 3, 3},
		{"work not known", func(h *yard.Horse) {
			h.Score, h.TargetScore, h.Work[1] = n(8), n(5), yard.Day{Text: "?", Unknown: true}
		}, 14, kilos(3), kilos(3), false, 3, 3},
		{"leaves feed, raised", func(h *yard.Horse) { h.OffFeed = true }, 9, kilos(1.5), kilos(1.875), true, 1.5, 1.5},
		{"leaves feed, less", func(h *yard.Horse) { h.OffFeed = true }, 9, kilos(1.5), kilos(1.125), false, 1.125, 1.125},
	} {
		h := horse("Plum", 500)
		c.h(&h)
		hp := planOne(t, h, line("Plum", "Hay", kilos(c.hay), kilos(c.hay)), line("Plum", "Cubes", c.now, c.plan))
		card := hp.HardFeed.Card.Or(-1)
		if held := hp.Status == yard.Held; held != c.held || card < c.least-1e-6 || card > c.top+1e-6 {
			t.Errorf("%s: %s, card %v of %v Mcal for %v; %v", c.what, hp.Status, hp.HardFeed.Card, hp.Energy.Supply, hp.Energy.Need, heldFor(hp))
		}
		if c.held && len(hp.Step.PathKg) > 0 && hp.Step.PathKg[len(hp.Step.PathKg)-1] > card+1e-6 && !h.OffFeed {
			t.Errorf("%s: the path leads to the plan: %v", c.what, hp.Step.PathKg)
		}
	}
}

// Design §5.5: hard feed left blank in a plan that names other hard feed is asked about.
func TestHardFeedLeftBlankInAPlanIsAskedAbout(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		what  string
		lines []yard.Line
		asked bool
	}{
		{"oats blank beside planned cubes", []yard.Line{line("Plum", "Cubes", kilos(1), kilos(1)), line("Plum", "Oats", kilos(0.8), nothing)}, true},
		{"oats planned at nothing", []yard.Line{line("Plum", "Cubes", kilos(1), kilos(1)), line("Plum", "Oats", kilos(0.8), kilos(0))}, false},
		{"oats neither fed nor planned", []yard.Line{line("Plum", "Cubes", kilos(1), kilos(1)), line("Plum", "Oats", kilos(0), nothing)}, false},
		{"nothing is planned", []yard.Line{line("Plum", "Cubes", kilos(1), nothing), line("Plum", "Oats", kilos(0.8), nothing)}, false},
		{"hay is blank", []yard.Line{line("Plum", "Cubes", kilos(1), kilos(1))}, false},
	} {
		hp := planOne(t, horse("Plum", 500), append(c.lines, line("Plum", "Hay", kilos(9), nothing))...)
		f, asked := has(hp, "amount-blank")
		if asked != c.asked || asked && f.Severity != yard.Warn {
			t.Errorf("%s: asked %v: %s", c.what, asked, words.Said(f.Saying))
		}
	}
	w := smallYard(horse("Plum", 500))
	w.Findings = []yard.Finding{{Rule: "amount-blank", Severity: yard.Warn, Message: "asked by the reader"}}
	w.Lines = []yard.Line{line("Plum", "Cubes", kilos(1), kilos(1)), line("Plum", "Oats", kilos(0.8), nothing)}
	if _, asked := has(Plan(w, DefaultRules()).Horses[0], "amount-blank"); asked {
		t.Error("the reader has asked, and it is asked again")
	}
}

// In a winter week of -10 °C and less a horse may find no grass: ours, no source.
func TestGrassUnderFrostIsNotCountedOn(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		month time.Month
		temp  yard.Num
		none  bool
	}{{time.January, yard.Known(-20), true}, {time.January, yard.Known(-10), true}, {time.January, yard.Known(-9), false}, {time.January, yard.Num{}, false}, {time.April, yard.Known(-12), false}} {
		h := horse("Plum", 500)
		h.GrassHours = yard.Known(20)
		w := smallYard(h)
		w.Beginning, w.Temperature = time.Date(2027, c.month, 4, 0, 0, 0, 0, time.UTC), c.temp
		w.Lines = []yard.Line{line("Plum", "Hay", kilos(8), nothing)}
		hw := undecided(t, w)
		if low := hw.facts.grassRangeKg().Low.Or(-1); (low == 0) != c.none || hw.facts.grassKg() <= 0 || c.none != (hw.facts.grassKg() < 2.5) {
			t.Errorf("%s at %v °C: at least %.2f kg, about %.2f", c.month, c.temp, low, hw.facts.grassKg())
		}
	}
}

// Source: requirements §9: four of nine is moderately thin. No horse is slimmed to less.
func TestNoHorseIsSlimmedUntilItIsThin(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		score, target float64
		told          bool
	}{{3.5, 3, true}, {5, 3, true}, {8, 3.5, true}, {8, 4, false}, {3, 3.5, false}, {3.5, 3.5, false}} {
		h := horse("Plum", 500)
		h.Score, h.TargetScore = yard.Known(c.score), yard.Known(c.target)
		hp := planOne(t, h, line("Plum", "Hay", kilos(9), nothing), line("Plum", "Cubes", kilos(1.5), nothing))
		if _, told := has(hp, "score-unknown"); told != c.told || c.told && hp.Energy.Change.Or(0) < 0 {
			t.Errorf("score %g to %g: told %v, change %v", c.score, c.target, told, hp.Energy.Change)
		}
	}
}
