package ration

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

func TestAnUnknownPartMakesTheTotalAtLeast(t *testing.T) {
	t.Parallel()
	w := smallYard(horse("Knot", 500))
	w.Feeds = append(w.Feeds, yard.Feed{Name: "Swedes", Class: yard.Succulent})
	w.Lines = []yard.Line{line("Knot", "Hay", kilos(10), nothing), line("Knot", "Swedes", kilos(1), nothing)}
	hp := Plan(w, DefaultRules()).Horses[0]
	if hp.Energy.Supply.IsKnown() || hp.Energy.SupplyAtLeast <= 0 {
		t.Errorf("supply %v, at least %.2f: swedes have no energy figure", hp.Energy.Supply, hp.Energy.SupplyAtLeast)
	}
}

func TestTheOrderListAddsTheWeek(t *testing.T) {
	t.Parallel()
	w := smallYard(horse("Ruff", 500), horse("Godwit", 500))
	w.Lines = []yard.Line{line("Ruff", "Hay", kilos(10), nothing), line("Godwit", "Hay", kilos(9), kilos(9))}
	p := Plan(w, DefaultRules())
	hay := p.Feeds[0]
	if math.Abs(hay.KgWeek-133) > 1e-6 || !near(hay.Packs, 133.0/20) || !near(hay.Cost, 133.0/20*6) || !near(hay.StockDays, 2000/19.0) {
		t.Errorf("%.3f kg, packs %v, cost %v, days %v", hay.KgWeek, hay.Packs, hay.Cost, hay.StockDays)
	}
}

// The workings are what the engine did: each number of the plan stands among
// them, and the plain ones can be worked out again from their own inputs.
func TestTheWorkingsAreTheNumbers(t *testing.T) {
	t.Parallel()
	h := horse("Avocet", 520)
	h.Score, h.TargetScore = yard.Known(4.5), yard.Known(5)
	hp := planOne(t, h, line("Avocet", "Hay", kilos(9.5), nothing), line("Avocet", "Cubes", kilos(1.5), kilos(3)), line("Avocet", "Oats", kilos(0.8), kilos(0.4)))
	of := map[string]yard.Working{}
	for _, w := range hp.Workings {
		what := words.AsWritten(w.What())
		if words.AsWritten(w.How()) == "" || what == "" {
			t.Errorf("a working without words: %+v", w)
		}
		of[what] = w
	}
	for what, want := range map[string]yard.Num{
		"body weight": hp.WeightKg, "maintenance energy": hp.Energy.Maintenance, "work energy": hp.Energy.Work,
		"energy for the change of condition": hp.Energy.Change, "energy need": hp.Energy.Need, "supply of energy": hp.Energy.Supply,
		"hard feed fed now": hp.HardFeed.Now, "hard feed planned": hp.HardFeed.Planned, "hard feed on the card": hp.HardFeed.Card,
		"rise in hard feed": hp.Step.RiseKg, "weekly rise, usual limit (D-01)": hp.Step.WarnKg, "weekly rise, top limit (D-02)": hp.Step.StopKg,
		"forage": hp.ForageDMPct, "starch in the starchiest meal": hp.StarchMax,
	} {
		if w, ok := of[what]; !ok || !want.IsKnown() || math.Abs(w.Result.Or(math.NaN())-want.Or(0)) > 1e-9 {
			t.Errorf("%s: the plan has %v, the workings %v", what, want, of[what].Result)
		}
	}
	for _, n := range hp.Nutrients {
		if !near(of["need of "+n.Name].Result, n.Need.Or(-1)) {
			t.Errorf("need of %s is not among the workings", n.Name)
		}
	}
	sum := 0.0
	for _, in := range of["energy need"].Inputs {
		sum += in.Value.Or(math.NaN())
	}
	if math.Abs(sum-hp.Energy.Need.Or(0)) > 1e-9 {
		t.Errorf("the parts of the need add up to %.4f, the need is %v", sum, hp.Energy.Need)
	}
	total, inputs := 0.0, of["supply of energy"].Inputs
	for i := 0; i+2 < len(inputs); i += 3 {
		total += inputs[i].Value.Or(math.NaN()) * inputs[i+1].Value.Or(math.NaN()) * inputs[i+2].Value.Or(math.NaN())
	}
	if math.Abs(total-hp.Energy.Supply.Or(0)) > 1e-9 {
		t.Errorf("kg × dry matter × energy adds up to %.4f, the supply is %v", total, hp.Energy.Supply)
	}
	days := 0.0
	for _, w := range hp.Workings {
		if what := words.AsWritten(w.What()); strings.HasPrefix(what, "work on ") {
			days += w.Result.Or(math.NaN())
			part := 0.0
			for i := 0; i+4 < len(w.Inputs); i += 5 { // minutes, speed, cost, weight, factor
				part += w.Inputs[i].Value.Or(0) / 60 * w.Inputs[i+2].Value.Or(0) / 1000 * w.Inputs[i+3].Value.Or(0) * w.Inputs[i+4].Value.Or(0)
			}
			if math.Abs(part-w.Result.Or(0)) > 1e-9 {
				t.Errorf("%s: the inputs give %.4f, it says %v", what, part, w.Result)
			}
		}
	}
	if math.Abs(days/7-hp.Energy.Work.Or(0)) > 1e-9 {
		t.Errorf("the days' work adds up to %.4f a day, the plan has %v", days/7, hp.Energy.Work)
	}
}

// The note on energy and the energy table are one figure.
func TestTheEnergyNoteIsTheSuppliedEnergy(t *testing.T) {
	t.Parallel()
	h := horse("Garganey", 500)
	hp := planOne(t, h, line("Garganey", "Hay", kilos(11), nothing), line("Garganey", "Cubes", kilos(0.5), kilos(3)))
	f, ok := has(hp, "energy")
	want := fmt.Sprintf("(%s for %s Mcal", words.Figure(hp.Energy.Supply.Or(0), 1), words.Figure(hp.Energy.Need.Or(0), 1))
	if !ok || !strings.Contains(message(f), want) {
		t.Errorf("%q does not say %q", message(f), want)
	}
}

func TestAFeedThatDoesNotLastTheWeekIsSaid(t *testing.T) {
	t.Parallel()
	for packs, want := range map[float64]int{3: 1, 3.5: 0} { // 10 kg a day of 20 kg bales: 3.5 for the week
		w := smallYard(horse("Ruff", 500))
		w.Feeds[0].StockPacks = yard.Known(packs)
		w.Lines = []yard.Line{line("Ruff", "Hay", kilos(10), kilos(10))}
		n := 0
		for _, f := range Plan(w, DefaultRules()).Findings {
			if f.Rule == "stock" && strings.Contains(message(f), "Order Hay. What is in stock lasts 6 days") {
				n++
			}
		}
		if n != want {
			t.Errorf("%v bales: said %d times", packs, n)
		}
	}
}

// A feed is to be ordered where its stock is known not to last the week, and never
// where nobody wrote the stock or the pack down.
func TestOnlyAKnownStockIsShort(t *testing.T) {
	t.Parallel()
	n := yard.Known
	for _, c := range []struct {
		what         string
		packs, packK yard.Num
		want         bool
	}{
		{"six days", n(60 / 20.0), n(20), true},
		{"seven days", n(70 / 20.0), n(20), false},
		{"a day short of a fortnight", n(130 / 20.0), n(20), false},
		{"nothing left", n(0), n(20), true},
		{"no stock written down", yard.Num{}, n(20), false},
		{"no pack written down", n(1), yard.Num{}, false},
		{"a pack of nothing", n(1), n(0), false},
		{"neither", yard.Num{}, yard.Num{}, false},
	} {
		w := smallYard(horse("Stoat", 500))
		w.Feeds[0].StockPacks, w.Feeds[0].PackKg = c.packs, c.packK
		w.Lines = []yard.Line{line("Stoat", "Hay", kilos(10), kilos(10)), line("Stoat", "Cubes", kilos(1), kilos(1))}
		said := slices.ContainsFunc(Plan(w, DefaultRules()).Findings, func(f yard.Finding) bool { return f.Rule == "stock" })
		if said != c.want {
			t.Errorf("%s: said %v", c.what, said)
		}
	}
}
