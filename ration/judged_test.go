package ration

import (
	"math"
	"strings"
	"testing"

	"hardfeed/ration/need"
	"hardfeed/ration/yard"
)

// The change of weight is arithmetic: 20 Mcal a kg (requirements §9), and 20 kg a score
// at 500 kg. The marks are design §5.10 (ours).
func TestEnergyIsJudgedByWhoseItIs(t *testing.T) {
	t.Parallel()
	n := yard.Known
	thin := func(h *yard.Horse) { h.Score, h.TargetScore = n(4), n(5) }
	fat := func(h *yard.Horse) { h.Score, h.TargetScore = n(8), n(5) }
	ill := func(h *yard.Horse) { h.Diagnoses = []yard.NamedDiagnosis{{Kind: yard.InsulinEMS, Text: "EMS"}} }
	pony := func(h *yard.Horse) { h.Type, h.Keeper = yard.TypePony, yard.GoodDoer }
	plain := func(h *yard.Horse) { h.Score = n(5) }
	for _, c := range []struct {
		what  string
		who   func(*yard.Horse)
		share float64 // of what it holds its weight on, and of the need of one that is to gain
		key   string
	}{
		{"thin, a twentieth short", thin, 0.95, "finding.energy.under"},
		{"thin, short of what would put weight on", thin, 0.8, "finding.energy.thin.keeps"},
		{"thin, three tenths short", thin, 0.7, "finding.energy.thin"},
		{"nobody's worry, a tenth short", plain, 0.89, "finding.energy.under"},
		{"nobody's worry, a sixth short", plain, 0.83, "finding.energy.short"},
		{"nobody's worry, a fifth over", plain, 1.2, "finding.energy.over"},
		{"fat, to be slimmed, a fifth under", fat, 0.8, ""},
		{"fat, on what it holds its weight on", fat, 1.05, "finding.energy.fat"},
		{"fat, a third over", fat, 1.33, "finding.energy.far over"},
		{"EMS, a twentieth over", ill, 1.05, "finding.energy.over"},
		{"EMS, a sixth over", ill, 1.17, "finding.energy.fat"},
		{"EMS, a third over", ill, 1.33, "finding.energy.far over"},
		{"good-doer pony, a sixth over", pony, 1.17, "finding.energy.fat"},
		{"good-doer pony, a twentieth over", pony, 1.05, "finding.energy.over"},
	} {
		h := horse("Plover", 500)
		h.Score, h.TargetScore = yard.Num{}, yard.Num{}
		c.who(&h)
		w := smallYard(h)
		say := &log{horse: "Plover"}
		known := &facts{Horse: h, week: w, rules: DefaultRules(), weight: weight{bodyKg: 500, known: true}}
		hw := &horseWeek{facts: known, dish: dish{facts: known}}
		holds := 20.0
		change := need.ChangeMcal(h.Score.Or(5), h.TargetScore.Or(h.Score.Or(5)), 500, 90)
		needed := holds + change
		of := holds
		if change > 0 {
			of = needed
		}
		e := yard.Energy{Need: n(needed), Change: n(change), Supply: n(c.share * of), NeedRange: yard.Range{Low: n(needed - 0.14*holds), High: n(needed + 0.14*holds)}}
		judgeEnergy(hw, e, false, say)
		key := ""
		var f yard.Finding
		for _, f = range say.findings {
			key = strings.TrimSuffix(f.Saying.Key, ".no hard feed")
		}
		if c.key == "" {
			if f.Severity == yard.Warn {
				t.Errorf("%s: %s", c.what, message(f))
			}
			continue
		}
		if key != c.key {
			t.Errorf("%s: %q, want %q", c.what, key, c.key)
		}
		if f.Severity == yard.Warn && message(f) == "" {
			t.Errorf("%s: no words", c.what)
		}
	}
	if got := kgAWeek(23, 20); math.Abs(got-1.05) > 1e-9 {
		t.Errorf("3 Mcal a day over put on %.2f kg a week, 1.05 by 20 Mcal a kg", got)
	}
}

// Source: evidence EN-24: 82 % of the mean need slims; under three fifths of its
// maintenance no pony is to be fed (ours).
func TestSlimmingTakesNoMoreOffThanHorsesWereSlimmedOn(t *testing.T) {
	t.Parallel()
	h := horse("Plover", 250)
	h.Type, h.Keeper, h.Score, h.TargetScore = yard.TypePony, yard.GoodDoer, yard.Known(9), yard.Known(4)
	h.Work = [7]yard.Day{}
	hp := planOne(t, h, line("Plover", "Hay", kilos(5), nothing))
	holds := hp.Energy.Need.Or(0) - hp.Energy.Change.Or(0)
	if got := hp.Energy.Need.Or(0) / holds; math.Abs(got-0.82) > 1e-6 {
		t.Errorf("slimmed on %.3f of what it holds its weight on", got)
	}
}

// Source: evidence EN-10 to EN-14: 22 Thoroughbreds in training held their weight on
// 0.0475 Mcal a kg less their work; a fifth either side covers twice their CV.
func TestHorsesInRaceTrainingNeedMoreThanTheTables(t *testing.T) {
	t.Parallel()
	h := horse("Plover", 500)
	h.Breed = "Thoroughbred"
	h.Work[1].Sessions = []yard.Session{{Minutes: [yard.Gaits]float64{30, 15, 8, 2}}}
	hay := line("Plover", "Hay", kilos(8), nothing)
	racing := planOne(t, h, hay).Energy
	if got := racing.Maintenance.Or(0) / 500; math.Abs(got-0.0475) > 1e-9 {
		t.Errorf("maintenance %.4f Mcal a kg", got)
	}
	holds := racing.Need.Or(0) - racing.Change.Or(0)
	if got := (racing.NeedRange.High.Or(0) - racing.Need.Or(0)) / holds; math.Abs(got-0.2) > 1e-9 {
		t.Errorf("the high end is %.2f over", got)
	}
	h.Work[1].Sessions[0].Minutes[yard.Gallop] = 0
	if got := planOne(t, h, hay).Energy.Maintenance.Or(0); got >= 500*0.04 {
		t.Errorf("a Thoroughbred that hacks: %.1f Mcal", got)
	}
	h.Work[1].Text = "gallops on the beach"
	sand := planOne(t, h, hay).Energy
	holds = sand.Need.Or(0) - sand.Change.Or(0)
	if low, high := (sand.Need.Or(0)-sand.NeedRange.Low.Or(0))/holds, (sand.NeedRange.High.Or(0)-sand.Need.Or(0))/holds; math.Abs(low-0.14) > 1e-9 || math.Abs(high-0.21) > 1e-9 {
		t.Errorf("on sand %.3f under and %.3f over", low, high)
	}
}

// The order is ours: what chokes a horse before what tires it.
func TestCautionsStandByWhatTheyCouldDo(t *testing.T) {
	t.Parallel()
	h := horse("Plover", 500)
	h.Diagnoses = []yard.NamedDiagnosis{{Kind: yard.Choke, Text: "choke"}}
	h.Work[5] = yard.Day{Event: true, StartMin: -1, Text: "show", Sessions: []yard.Session{{Minutes: [yard.Gaits]float64{30, 20}}}}
	h.OffFeed = true
	hp := planOne(t, h, line("Plover", "Hay", kilos(9), nothing), line("Plover", "Cubes", kilos(1.3), kilos(1.3)))
	last := -1
	for _, c := range hp.Cautions {
		if at := cautionRank(c); at < last {
			t.Errorf("%s stands after a lesser one", c.Key)
		} else {
			last = at
		}
	}
	if len(hp.Cautions) < 4 || hp.Cautions[0].Key != "caution.soak" {
		t.Errorf("cautions %v", hp.Cautions)
	}
}
