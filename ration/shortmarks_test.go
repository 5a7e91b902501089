package ration

import (
	"slices"
	"testing"

	"hardfeed/ration/yard"
)

// Whose hard feed may stay where it passes a warning limit: the thin or losing horse that
// gets no more than it needs. In any other horse too much starch in a meal, or too much
// hard feed for its hay, is put right; most of all where a vet has said what it may have.
func TestWhoKeepsHardFeedOverAWarningLimit(t *testing.T) {
	t.Parallel()
	ill := func(d yard.Diagnosis) func(*yard.Horse, *yard.Week) {
		return func(h *yard.Horse, _ *yard.Week) {
			h.Score, h.Diagnoses = yard.Known(3.5), []yard.NamedDiagnosis{{Kind: d, Text: "as written"}}
		}
	}
	score := func(is, target float64) func(*yard.Horse, *yard.Week) {
		return func(h *yard.Horse, _ *yard.Week) { h.Score, h.TargetScore = yard.Known(is), yard.Known(target) }
	}
	now := func(feed string, a yard.Amount) func(*yard.Horse, *yard.Week) {
		return func(h *yard.Horse, w *yard.Week) {
			h.Score = yard.Known(3.5)
			w.Lines = slices.DeleteFunc(w.Lines, func(l yard.Line) bool { return l.Feed == feed })
			w.Lines = append(w.Lines, line(h.Name, feed, a, nothing))
		}
	}
	racer := func(kg float64) func(*yard.Horse, *yard.Week) {
		return func(h *yard.Horse, w *yard.Week) {
			h.Breed, h.AgeYears, h.Fitness = "Thoroughbred", yard.Known(4), yard.Hard
			for d := range 6 {
				h.Work[d] = yard.Day{Text: "gallop", Sessions: []yard.Session{{Minutes: [yard.Gaits]float64{30, 10, 8, 3}}}}
			}
			w.Lines[1].Now = kilos(kg)
		}
	}
	for _, c := range []struct {
		what        string
		change      func(*yard.Horse, *yard.Week)
		keeps, free bool // the marks on hard feed; that on forage too
	}{
		{"thin", score(3.5, 5), true, false},
		{"at four", score(4, 5), true, false},
		{"between four and five", score(4.5, 5), false, false},
		{"well", score(5, 5), false, false},
		{"fat and losing", func(h *yard.Horse, _ *yard.Week) { h.Score, h.Losing = yard.Known(7.5), true }, false, false},
		{"losing", func(h *yard.Horse, _ *yard.Week) { h.Score, h.Losing = yard.Known(5), true }, true, false},
		{"thin, on more than it needs", now("Oats", kilos(4)), false, false},
		{"thin, fed what nobody could read", now("Oats", yard.Amount{Given: true, Kg: yard.Num{}}), false, false},
		{"thin in hard work, with hay as it likes", func(h *yard.Horse, w *yard.Week) {
			h.Score, w.Lines[0].Now = yard.Known(3.5), yard.Amount{Given: true, AdLib: true}
			for d := range 6 {
				h.Work[d] = yard.Day{Text: "ride", Sessions: []yard.Session{{Minutes: [yard.Gaits]float64{60, 70, 30}}}}
			}
		}, true, true},
		{"thin, with ulcers", ill(yard.Ulcers), false, false},
		{"thin, with an illness nobody knows", ill(yard.OtherDiagnosis), false, false},
		{"thin and lame", ill(yard.NoFeedRule), true, false},
		{"a racehorse that is well", racer(3), true, false},
		{"a racehorse on more than any needs", racer(8), false, false},
	} {
		h := horse("Fern", 500)
		h.Score = yard.Known(5)
		w := smallYard(h)
		w.Lines = []yard.Line{line("Fern", "Hay", kilos(8), nothing), line("Fern", "Oats", kilos(1), nothing)}
		c.change(&h, &w)
		x, reasons := newHorseWeek(h, w.Lines, newRoom(w, DefaultRules()), w, DefaultRules(), nil, nil)
		if len(reasons) > 0 {
			t.Fatal(c.what, reasons)
		}
		x.facts.readWeighings()
		got := x.chooser().shortMarks()
		_, free := got[forageRule]
		for _, id := range hardFeedMarks {
			if _, keeps := got[id]; keeps != c.keeps {
				t.Errorf("%s: %s may stay passed: %v", c.what, id, keeps)
			}
		}
		if free != c.free {
			t.Errorf("%s: its forage may stay short: %v", c.what, free)
		}
	}
}
