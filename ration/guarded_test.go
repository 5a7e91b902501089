package ration

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

func named(d yard.Diagnosis) []yard.NamedDiagnosis {
	return []yard.NamedDiagnosis{{Kind: d, Text: string(d)}}
}

// Source: limits D-04: a quarter at a time, each for at least two days; that a week has two
// of those steps, and so half of the feed, is design §5d.
func TestANewHardFeedComesInByQuarters(t *testing.T) {
	t.Parallel()
	h := horse("Fern", 500)
	h.Work[6] = h.Work[0] // worked on all seven days
	lines := []yard.Line{line("Fern", "Hay", kilos(9), nothing), line("Fern", "Oats", nothing, kilos(0.8)), line("Fern", "Cubes", kilos(1), kilos(1))}
	hp := planOne(t, h, lines...)
	if f, ok := has(hp, "D-04"); !ok || f.Severity != yard.Warn || hp.Status != yard.Held || !near(hp.HardFeed.Card, 1.4) || !strings.Contains(heldFor(hp), "Oats is new. Half of it comes in this week") {
		t.Errorf("%s, card %v, %v, %+v", hp.Status, hp.HardFeed.Card, heldFor(hp), f)
	}
	want := [7]float64{1.2, 1.2, 1.2, 1.2, 1.4, 1.4, 1.4}
	for d, kg := range hp.Step.DayKg {
		if math.Abs(kg.Or(0)-want[d]) > 1e-6 {
			t.Errorf("day %d: %v kg in all, want %.2f", d+1, kg, want[d])
		}
	}
	if want := []float64{1.4, 1.8}; len(hp.Step.PathKg) != 2 || math.Abs(hp.Step.PathKg[0]-want[0]) > 1e-6 || math.Abs(hp.Step.PathKg[1]-want[1]) > 1e-6 {
		t.Errorf("path %v, want %v", hp.Step.PathKg, want)
	}
	// Somebody may answer for it.
	h = horse("Fern", 500)
	h.Override = yard.Override{Asked: true, Who: "R. Hale", Reason: "the old mix is no longer made"}
	if hp = planOne(t, h, lines...); hp.Status != yard.Carded || !near(hp.HardFeed.Card, 1.8) {
		t.Errorf("%s, card %v", hp.Status, hp.HardFeed.Card)
	}
	// What two days' steps hold (0.7 kg at 500 kg) comes in two halves, six days apart, and
	// what one holds at once: both ours.
	for kg, want := range map[float64][7]float64{0.4: {1.2, 1.2, 1.2, 1.2, 1.2, 1.2, 1.4}, 0.2: {1.2, 1.2, 1.2, 1.2, 1.2, 1.2, 1.2}} {
		h := horse("Fern", 500)
		h.Work[6] = h.Work[0]
		lines[1].Planned = kilos(kg)
		hp := planOne(t, h, lines...)
		for d, got := range hp.Step.DayKg {
			if math.Abs(got.Or(0)-want[d]) > 1e-6 {
				t.Errorf("%g kg of oats, day %d: %v kg in all, want %.2f", kg, d+1, got, want[d])
			}
		}
		if f, ok := has(hp, "D-04"); ok != (kg > 0.35) || hp.Status != yard.Carded {
			t.Errorf("%g kg of oats: %s, %+v", kg, hp.Status, f)
		}
	}
}

// Source: limits "How the weekly step is worked": the same kilograms of another
// feed are a change of type.
func TestExchangingOneFeedForANewOneIsDoneByQuartersToo(t *testing.T) {
	t.Parallel()
	h := horse("Fern", 500)
	h.Work[6] = h.Work[0]
	hp := planOne(t, h, line("Fern", "Hay", kilos(9), nothing), line("Fern", "Cubes", kilos(1.2), kilos(0)), line("Fern", "Oats", nothing, kilos(1.2)))
	if _, ok := has(hp, "D-04"); !ok || hp.Status != yard.Held {
		t.Fatalf("%s, %v", hp.Status, hp.Findings)
	}
	for d, kg := range hp.Step.DayKg {
		if math.Abs(kg.Or(0)-1.2) > 0.03 {
			t.Errorf("day %d: %v kg in all, want 1.2 all the week", d+1, kg)
		}
	}
	first := map[string]float64{}
	for _, s := range hp.Servings {
		if s.Day == yard.WorkDay && s.From == 0 {
			first[s.Feed] += float64(s.Kg)
		}
	}
	if math.Abs(first["Oats"]-0.2) > 1e-6 || math.Abs(first["Cubes"]-1) > 1e-6 { // of 0.3 kg a whole quarter of the scoop, 0.2
		t.Errorf("Monday has %.2f kg of oats and %.2f of cubes, want a quarter scoop of oats in place of as much", first["Oats"], first["Cubes"])
	}
}

// Source: limits D-08: with past colic a second change is a stop.
func TestWithPastColicHardFeedDoesNotGoUpOnTopOfAnotherChange(t *testing.T) {
	t.Parallel()
	h := horse("Fern", 500)
	h.Diagnoses = named(yard.PastColic)
	lines := []yard.Line{line("Fern", "Hay", kilos(9), nothing), line("Fern", "Cubes", kilos(1), kilos(1.3))}
	if hp := planOne(t, h, lines...); hp.Status != yard.Carded || !near(hp.HardFeed.Card, 1.3) {
		t.Errorf("one change: %s, card %v", hp.Status, hp.HardFeed.Card)
	}
	h.GrassBefore, h.GrassHours = yard.Known(2), yard.Known(4)
	hp := planOne(t, h, lines...)
	if hp.Status != yard.Held || !near(hp.HardFeed.Card, 1) || !strings.Contains(heldFor(hp), "has had colic, so change one thing at a time. Already changing within 14 days: hours at grass from 2 to 4") {
		t.Errorf("two changes: %s, card %v, %v", hp.Status, hp.HardFeed.Card, heldFor(hp))
	}
	h.Diagnoses = nil
	hp = planOne(t, h, lines...)
	if f, _ := has(hp, "D-08"); hp.Status != yard.Carded || f.Severity != yard.Warn {
		t.Errorf("without: %s, %+v", hp.Status, f)
	}
}

// Source: limits D-15.
func TestWhatAVetForbidsIsLeftOutAndTheCardReduced(t *testing.T) {
	t.Parallel()
	h := horse("Otter", 250)
	h.Type, h.Diagnoses = yard.TypePony, named(yard.InsulinEMS)
	hp := planOne(t, h, line("Otter", "Hay", kilos(5), kilos(5)), line("Otter", "Oats", kilos(0.2), kilos(0.2)))
	if hp.Status != yard.Held || !near(hp.HardFeed.Card, 0) {
		t.Errorf("%s, card %v", hp.Status, hp.HardFeed.Card)
	}
	for _, s := range hp.Servings {
		if s.Feed == "Oats" && s.Kg > 0 {
			t.Errorf("oats are on the card: %+v", s)
		}
	}
	// A diagnosis nobody knows, and one that asks nothing of the feed, take nothing away.
	for _, d := range []yard.Diagnosis{yard.OtherDiagnosis, yard.NoFeedRule} {
		h.Diagnoses = named(d)
		if hp := planOne(t, h, line("Otter", "Hay", kilos(5), kilos(5)), line("Otter", "Oats", kilos(0.2), kilos(0.2))); hp.Status != yard.Carded {
			t.Errorf("%s: %s %v", d, hp.Status, heldFor(hp))
		}
	}
}

func TestCattleFeedIsTakenOffTheCard(t *testing.T) {
	t.Parallel()
	w := smallYard(horse("Fern", 500))
	w.Feeds = append(w.Feeds, yard.Feed{Name: "Cattle nuts", Class: yard.HardFeed, MeasureKg: yard.Known(1)})
	w.Lines = []yard.Line{line("Fern", "Hay", kilos(9), nothing), line("Fern", "Cattle nuts", kilos(0.5), kilos(0.5)), line("Fern", "Cubes", kilos(1), kilos(1))}
	hp := Plan(w, DefaultRules()).Horses[0]
	f, _ := has(hp, "SH-01")
	if hp.Status != yard.Held || f.Severity != yard.Stop || !near(hp.HardFeed.Card, 1) {
		t.Errorf("%s, %+v, card %v", hp.Status, f, hp.HardFeed.Card)
	}
}

// A supplement over a stop is taken out before hard feed is.
func TestASupplementOverAStopIsLeftOut(t *testing.T) {
	t.Parallel()
	w := smallYard(horse("Fern", 500))
	w.Feeds = append(w.Feeds, yard.Feed{Name: "Lick", Class: yard.Supplement, Analysis: yard.Composition{DM: yard.Known(1), VitD: yard.Known(1e6)}})
	w.Lines = []yard.Line{line("Fern", "Hay", kilos(9), nothing), line("Fern", "Lick", kilos(0.05), kilos(0.05)), line("Fern", "Cubes", kilos(1), kilos(1))}
	hp := Plan(w, DefaultRules()).Horses[0]
	if f, _ := has(hp, "D-25"); hp.Status != yard.Held || f.Severity != yard.Stop || !near(hp.HardFeed.Card, 1) {
		t.Errorf("%s, %+v, card %v: %v", hp.Status, f, hp.HardFeed.Card, hp.Servings)
	}
	for _, s := range hp.Servings {
		if s.Feed == "Lick" {
			t.Errorf("it is on the card: %+v", s)
		}
	}
}

// Source: limits D-30: the lower estimate for ceilings.
func TestCeilingsGoByTheLowerWeight(t *testing.T) {
	t.Parallel()
	h := horse("Fern", 500)
	monday := time.Date(2026, 11, 30, 0, 0, 0, 0, time.UTC)
	h.Weighings = []yard.Weighing{{Date: monday.AddDate(0, 0, -20), Kg: yard.Known(420), Basis: yard.ByScale}, {Date: monday.AddDate(0, 0, -3), Kg: yard.Known(500), Basis: yard.ByScale}}
	hp := planOne(t, h, line("Fern", "Hay", kilos(9), nothing), line("Fern", "Cubes", kilos(1), kilos(1)))
	if _, ok := has(hp, "weighing"); !ok || !near(hp.Step.WarnKg, 0.14*4.2) || !near(hp.WeightKg, 500) {
		t.Errorf("warning limit %v at %v kg, %v", hp.Step.WarnKg, hp.WeightKg, hp.Findings)
	}
	h.Weighings = nil
	h.GirthCm, h.LengthCm, h.WeightBasis = yard.Known(185), yard.Known(165), yard.Stated // 475 kg by the tape
	hp = planOne(t, h, line("Fern", "Hay", kilos(9), nothing))
	if hp.WeightBasis != yard.ByGirthLength || !near(hp.Step.WarnKg, 0.14*hp.WeightKg.Or(0)/100) {
		t.Errorf("%v, %v kg, warning limit %v", hp.WeightBasis, hp.WeightKg, hp.Step.WarnKg)
	}
	h.WeightKg = yard.Known(450)
	if hp = planOne(t, h, line("Fern", "Hay", kilos(9), nothing)); !near(hp.Step.WarnKg, 0.14*4.5) {
		t.Errorf("the sheet says 450 kg, the tape %v; warning limit %v", hp.WeightKg, hp.Step.WarnKg)
	}
}

// The yard's list tells once what many horses share; each page still has it.
func TestWhatManyShareIsToldOnce(t *testing.T) {
	t.Parallel()
	var horses []yard.Horse
	var lines []yard.Line
	for _, n := range []string{"Ash", "Beech", "Cedar", "Dill"} {
		horses = append(horses, horse(n, 500))
		lines = append(lines, line(n, "Hay", kilos(9), nothing))
	}
	w := smallYard(horses...)
	w.Lines = lines
	p := Plan(w, DefaultRules())
	n := 0
	for _, f := range p.Findings {
		if f.Rule == "D-18" {
			n++
			if f.Horse != "" || !strings.Contains(message(f), "Ash, Beech, Cedar, Dill") {
				t.Errorf("%+v", f)
			}
		}
	}
	if n != 1 {
		t.Errorf("told %d times", n)
	}
	for _, hp := range p.Horses {
		if _, ok := has(hp, "D-18"); !ok {
			t.Errorf("%s's own page does not have it", hp.Horse.Name)
		}
	}
}

// someOf draws one of the values.
func someOf[T any](t *rapid.T, what string, values ...T) T {
	return rapid.SampledFrom(values).Draw(t, what)
}

// someHorse is a horse of any kind, with its lines, to which many rules apply.
func someHorse(t *rapid.T, name string, monday time.Time) (yard.Horse, []yard.Line) {
	ago := func(days int) time.Time { return monday.AddDate(0, 0, -days) }
	kg := someOf(t, "kg", 120, 450, 500, 800.0)
	h := horse(name, kg)
	h.Fitness = someOf(t, "fitness", yard.Soft, yard.PartFit, yard.Hard)
	h.Kept = someOf(t, "kept", yard.KeptUnknown, yard.Stabled, yard.InPaddock, yard.InField)
	h.InWorkSince = someOf(t, "in work since", time.Time{}, ago(2), ago(9), ago(100))
	h.Score, h.TargetScore = yard.Known(someOf(t, "score", 2.5, 4, 5, 5, 7)), yard.Known(someOf(t, "target", 5, 5, 6.0))
	h.Type = someOf(t, "type", yard.TypeHorse, yard.TypeHorse, yard.TypeHorse, yard.TypePony, yard.TypeDonkey)
	h.Weighed = someOf(t, "weighed", time.Time{}, ago(40))
	if drift := someOf(t, "drift", -0.2, -0.03, 0, 0.006, 0.008); drift != 0 {
		for i := range 5 {
			h.Weighings = append(h.Weighings, yard.Weighing{Date: ago(37 - 7*i), Kg: yard.Known(kg * (1 - drift*float64(4-i))), Basis: yard.ByScale})
		}
	}
	for range someOf(t, "diagnoses", 0, 0, 1, 2) {
		h.Diagnoses = append(h.Diagnoses, named(someOf(t, "diagnosis", yard.Laminitis, yard.InsulinEMS, yard.TyingUp, yard.Ulcers, yard.HYPP, yard.HYPP, yard.Choke, yard.Choke, yard.Choke, yard.PastColic, yard.Heaves, yard.Overweight, yard.OtherDiagnosis))...)
	}
	h.GrassBefore, h.GrassHours = yard.Known(someOf(t, "grass before", 0, 2.0)), yard.Known(someOf(t, "grass now", 0, 2, 6.0))
	if kind := someOf(t, "last week", "", "same", "hard", "off"); kind != "" {
		h.BeforeGiven, h.Before = true, h.Work
		for d := range h.Before {
			switch kind {
			case "hard":
				h.Before[d] = yard.Day{Sessions: []yard.Session{{Minutes: [yard.Gaits]float64{90, 60, 60, 3}}}}
			case "off":
				h.Before[d] = yard.Day{}
			}
		}
	}
	for d := range h.Work {
		switch someOf(t, "day", "as it is", "as it is", "fast", "event", "hills", "short") {
		case "fast":
			h.Work[d] = yard.Day{Sessions: []yard.Session{{Minutes: [yard.Gaits]float64{30, 20, 40, 5, 3}}}}
		case "event":
			h.Work[d] = yard.Day{Event: true, StartMin: 9*60 + 30, Sessions: []yard.Session{{Minutes: [yard.Gaits]float64{30, 20, 10, 0, 3}}}}
		case "short":
			h.Work[d] = yard.Day{Sessions: []yard.Session{{Minutes: [yard.Gaits]float64{10}}}}
		case "hills":
			h.Work[d] = yard.Day{Sessions: []yard.Session{{Minutes: [yard.Gaits]float64{70, 20}, Hills: true}}}
		}
	}
	amount := func(what string, kg ...float64) yard.Amount {
		if v := someOf(t, what, append(kg, -1)...); v >= 0 {
			return kilos(v)
		}
		return nothing
	}
	lines := []yard.Line{line(name, someOf(t, "forage", "Hay", "Hay", "Straw"), kilos(kg*someOf(t, "hay", 0.008, 0.014, 0.02)), nothing)}
	for _, f := range []string{"Cubes", "Oats", "Maize", "Oil", "Salt", "Lick", "Balancer", "Iron tonic", "Cattle nuts"} {
		scale := map[string]float64{"Oil": 0.1, "Salt": 0.03, "Lick": 0.02, "Balancer": 0.2, "Iron tonic": 0.02, "Cattle nuts": 0.1}[f]
		if scale == 0 {
			scale = 1
		}
		if someOf(t, f+" fed", false, true) {
			lines = append(lines, line(name, f, amount(f+" now", 0, 1*scale, 4*scale), amount(f+" planned", 1*scale, 2*scale, 6*scale)))
		}
	}
	return h, lines
}

// someYard is a yard of two to four such horses.
func someYard(t *rapid.T) yard.Week {
	w := smallYard()
	for _, name := range []string{"Ash", "Beech", "Cedar", "Dill"}[:rapid.IntRange(2, 4).Draw(t, "horses")] {
		h, lines := someHorse(t, name, w.Beginning)
		w.Horses, w.Lines = append(w.Horses, h), append(w.Lines, lines...)
	}
	w.Temperature, w.HumidityPct = yard.Known(someOf(t, "temperature", 5, 30.0)), yard.Known(someOf(t, "humidity", 50, 80.0))
	rich := yard.Composition{DM: yard.Known(0.95), Se: yard.Known(20), I: yard.Known(100), VitA: yard.Known(2e6), VitD: yard.Known(4e5)}
	w.Feeds = append(w.Feeds, yard.Feed{Name: "Maize", MeasureKg: yard.Known(1)}, yard.Feed{Name: "Straw", Generic: "oat straw"},
		yard.Feed{Name: "Lick", Class: yard.Supplement, Analysis: rich}, yard.Feed{Name: "Balancer", Class: yard.HardFeed, Analysis: rich, MeasureKg: yard.Known(0.5)},
		yard.Feed{Name: "Iron tonic", Class: yard.Supplement}, yard.Feed{Name: "Cattle nuts", Class: yard.HardFeed})
	w.Feeds[0].BatchSince = someOf(t, "hay batch since", time.Time{}, w.Beginning.AddDate(0, 0, -2))
	w.Feeds[0].AnalysedOn = someOf(t, "hay analysed", time.Time{}, w.Beginning.AddDate(-2, 0, 0))
	oats := &w.Feeds[2]
	oats.MeasureWeighed, oats.BatchSince = someOf(t, "oats weighed", time.Time{}, w.Beginning.AddDate(0, 0, -40)), someOf(t, "oats since", time.Time{}, w.Beginning.AddDate(0, 0, -9))
	oats.BestBefore = someOf(t, "oats best before", time.Time{}, w.Beginning.AddDate(0, 0, -1))
	w.Feeds = append(w.Feeds, yard.Feed{Name: "Haylage", OpenedOn: someOf(t, "opened", time.Time{}, w.Beginning.AddDate(0, 0, -6))})
	return w
}

func TestTheOrderOfHorsesNeverMatters(t *testing.T) {
	t.Parallel()
	spoke := map[yard.RuleID]int{}
	rapid.Check(t, func(t *rapid.T) {
		w := someYard(t)
		p := Plan(w, DefaultRules())
		other := w
		other.Horses = rapid.Permutation(w.Horses).Draw(t, "in another order")
		q := Plan(other, DefaultRules())
		for _, a := range p.Horses {
			i := slices.IndexFunc(q.Horses, func(b yard.HorsePlan) bool { return b.Horse.Name == a.Horse.Name })
			if i < 0 || !reflect.DeepEqual(a, q.Horses[i]) {
				t.Fatalf("%s's plan differs with the order of the horses", a.Horse.Name)
			}
			for _, f := range a.Findings {
				spoke[f.Rule]++
			}
		}
		told := func(p yard.Plan) (out []string) {
			for _, f := range p.Findings {
				spoke[f.Rule]++
				out = append(out, fmt.Sprint(f.Rule, f.Severity, f.Horse))
			}
			slices.Sort(out)
			return out
		}
		if a, b := told(p), told(q); !slices.Equal(a, b) {
			t.Fatalf("the yard is told %v, in another order %v", a, b)
		}
	})
	// Each rule by itself is asked for in the guard's own random yards; here most of
	// them must have spoken, or the yards are too tame to prove anything.
	all, heard := map[yard.RuleID]bool{}, 0
	for _, r := range guard.Rules() {
		if !all[r.ID] && spoke[r.ID] > 0 {
			heard++
		}
		all[r.ID] = true
	}
	if heard < len(all)*3/4 {
		t.Errorf("only %d of %d rules spoke: %v", heard, len(all), spoke)
	}
}

func TestLooserLimitsAreSaidWithNameAndReason(t *testing.T) {
	t.Parallel()
	r := DefaultRules()
	r.Loosened = yard.Loosened{By: "R. Hale", Reason: "our vet's letter", Marks: []string{"meal stop kg 0.6 in place of 0.5"}}
	for _, f := range Plan(smallYard(horse("Fern", 500)), r).Findings {
		if f.Rule == "loosened" && strings.Contains(message(f), "R. Hale") && strings.Contains(message(f), "0.6 in place of 0.5") && f.Severity == yard.Warn {
			return
		}
	}
	t.Error("nobody is told")
}

func TestTheWorstCautionsComeFirst(t *testing.T) {
	t.Parallel()
	h := horse("Fern", 500)
	h.Diagnoses = named(yard.Laminitis)
	h.GrassBefore, h.GrassHours = yard.Known(1), yard.Known(3)
	hp := planOne(t, h, line("Fern", "Hay", kilos(9), nothing))
	if len(hp.Cautions) < 2 || !strings.Contains(words.Said(hp.Cautions[0]), "more grass at once") {
		t.Errorf("cautions: %v", hp.Cautions)
	}
}

// Every stop that does not hold the card is red on the sheets and no more.
func TestStopsThatReduceNoCard(t *testing.T) {
	t.Parallel()
	for _, id := range []string{"D-18", "D-28", "D-06", "heat"} {
		if guard.Holds(yard.RuleID(id)) {
			t.Errorf("%s holds, and no other ration would clear it", id)
		}
	}
	for _, id := range []string{"D-02", "D-03", "D-10", "D-11", "D-13", "D-15", "D-17", "D-26", "SH-01"} {
		if !guard.Holds(yard.RuleID(id)) {
			t.Errorf("%s does not hold", id)
		}
	}
}

// A horse that has tied up has its hard feed cut on days off. A diagnosis nobody knows
// cuts nothing, and lets nothing rise or come in (design §5.9).
func TestADiagnosisNobodyKnowsChangesNothingThatIsFed(t *testing.T) {
	t.Parallel()
	for d, want := range map[yard.Diagnosis]float64{yard.TyingUp: 0.288, yard.OtherDiagnosis: 0.6} {
		h := horse("Grandad", 500)
		h.Diagnoses = named(d)
		hp := planOne(t, h, line("Grandad", "Hay", kilos(10), kilos(10)), line("Grandad", "Beet pulp", kilos(0.6), kilos(0.6)))
		if got := hp.Days[6].HardFeedKg; hp.Days[6].Kind != yard.RestDay || math.Abs(got.Or(0)-want) > 1e-9 && !near(got, want) {
			t.Errorf("%s: %v kg on a %s day, want %v", d, got, hp.Days[6].Kind, want)
		}
	}
	h := horse("Grandad", 500)
	h.Keeper, h.Diagnoses = yard.PoorDoer, named(yard.OtherDiagnosis)
	hp := planOne(t, h, line("Grandad", "Hay", kilos(8.5), nothing), line("Grandad", "Beet pulp", kilos(0.3), nothing))
	if !near(hp.HardFeed.Card, 0.3) || hp.ForageDMPct.Or(0) > 8.5*0.9/5 {
		t.Errorf("%v kg of hard feed, forage %v %%", hp.HardFeed.Card, hp.ForageDMPct)
	}
	if f, found := has(hp, "vet-named"); !found || f.Severity != yard.Warn {
		t.Errorf("and nobody is asked: %v", hp.Findings)
	}
	for what, planned := range map[string][2]float64{"more": {0.3, 0.5}, "new": {0, 0.3}} {
		hp := planOne(t, h, line("Grandad", "Hay", kilos(8.5), kilos(8.5)), line("Grandad", "Beet pulp", kilos(planned[0]), kilos(planned[1])))
		if hp.Status != yard.Held || !near(hp.HardFeed.Card, planned[0]) {
			t.Errorf("%s: %s, %v kg", what, hp.Status, hp.HardFeed.Card)
		}
	}
}

// What is read into a diagnosis nobody knows is not put in the vet's mouth.
func TestNoLimitIsPutInTheVetsMouth(t *testing.T) {
	t.Parallel()
	for d, vets := range map[yard.Diagnosis]bool{yard.InsulinEMS: true, yard.OtherDiagnosis: false} { // of one nobody knows only the horse's own words are said
		h := horse("Otter", 500)
		h.Diagnoses = named(d)
		hp := planOne(t, h, line("Otter", "Hay", kilos(8), kilos(10)), line("Otter", "Oats", kilos(2), kilos(2.5)))
		said := heldFor(hp)
		for _, f := range hp.Findings {
			said += "; " + message(f) + "; " + words.Said(f.Next)
		}
		if got := strings.Contains(said, "our vet has the last word") || strings.Contains(said, "vet has diagnosed"); got != vets {
			t.Errorf("%s: the vet is spoken for: %v, in %s", d, got, said)
		}
		if got := strings.Contains(said, "We don't know what other means"); got == vets {
			t.Errorf("%s: an unknown diagnosis is spoken of: %v, in %s", d, got, said)
		}
	}
}

// Source: limits D-05 and RC-07: hay changed at once has the highest odds of colic
// in the table (RC-20, RC-21). The card is reduced to a quarter of the new, since a
// ration of old and new clears the stop.
func TestHayChangedAtOnceIsReducedToAQuarter(t *testing.T) {
	t.Parallel()
	lines := func(now, planned yard.Amount) []yard.Line {
		return []yard.Line{line("Swap", "Hay", now, planned), line("Swap", "Haylage", nothing, kilos(13)), line("Swap", "Cubes", kilos(0.75), kilos(0.75))}
	}
	plan := func(h yard.Horse, lines []yard.Line) yard.HorsePlan {
		w := smallYard(h)
		w.Feeds = append(w.Feeds, yard.Feed{Name: "Haylage", Generic: "grass haylage"})
		w.Lines = lines
		return Plan(w, DefaultRules()).Horses[0]
	}
	kg := func(hp yard.HorsePlan, feed string) (sum float64) {
		for _, s := range hp.Servings {
			if s.Day == yard.WorkDay && s.Feed == feed {
				sum += float64(s.Kg)
			}
		}
		return sum
	}
	hp := plan(horse("Swap", 540), lines(kilos(10), kilos(0)))
	if hp.Status != yard.Held || kg(hp, "Haylage") != 3.25 || kg(hp, "Hay") != 7.5 {
		t.Errorf("%s, %g kg of haylage and %g of hay, want a quarter of 13 and three of 10", hp.Status, kg(hp, "Haylage"), kg(hp, "Hay"))
	}
	if f, found := has(hp, "D-05"); !found || f.Severity != yard.Stop {
		t.Errorf("the plan's stop is not said: %+v", f)
	}
	if why := heldFor(hp); !strings.Contains(why, "Haylage would replace Hay all at once") || !strings.Contains(why, "10.75 kg of forage") {
		t.Errorf("why: %s", why)
	}
	if hp := plan(horse("Swap", 540), lines(kilos(10), kilos(7.5))); hp.Status != yard.Held || kg(hp, "Haylage") != 3.5 { // a quarter of the hay's dry matter
		t.Errorf("beside the old hay: %s, %g kg of haylage", hp.Status, kg(hp, "Haylage"))
	}
	if hp := plan(horse("Swap", 540), lines(yard.Amount{Given: true, AdLib: true}, kilos(0))); hp.Status != yard.Carded || kg(hp, "Haylage") != 13 {
		t.Errorf("nothing to mix by: %s, %g kg of haylage", hp.Status, kg(hp, "Haylage"))
	}
	h := horse("Swap", 540)
	h.Override = yard.Override{Asked: true, Who: "A vet", Reason: "the old hay is mouldy"}
	if hp := plan(h, lines(kilos(10), kilos(0))); hp.Status != yard.Carded || kg(hp, "Haylage") != 13 {
		t.Errorf("overridden: %s, %g kg of haylage", hp.Status, kg(hp, "Haylage"))
	}
}

// A cereal by its name, of unknown analysis, is not fed to a laminitic pony, and the
// card says in words that it has no hard feed.
func TestOatsOfAnUnknownKindAreKeptFromALaminiticPony(t *testing.T) {
	t.Parallel()
	h := horse("Hector", 430)
	h.Type, h.Diagnoses = yard.TypePony, []yard.NamedDiagnosis{{Kind: yard.Laminitis, Text: "laminitis"}}
	w := smallYard(h)
	w.Feeds = append(w.Feeds, yard.Feed{Name: "Oats from the hill", Generic: "own grown", Class: yard.HardFeed, MeasureKg: yard.Known(0.9)})
	w.Lines = []yard.Line{line("Hector", "Hay", kilos(8), kilos(8)), line("Hector", "Oats from the hill", nothing, kilos(0.45))}
	hp := Plan(w, DefaultRules()).Horses[0]
	for _, s := range hp.Servings {
		if s.Class == yard.HardFeed && s.Kg > 0 {
			t.Errorf("the card has %v kg of %s", s.Kg, s.Feed)
		}
	}
	if hp.Status != yard.Held || !strings.Contains(heldFor(hp), "No cereals, fruit or roots for this horse, so no Oats from the hill. Your vet has the last word. The card has no hard feed, and 8 kg of forage.") {
		t.Errorf("%s: %q", hp.Status, heldFor(hp))
	}
}
