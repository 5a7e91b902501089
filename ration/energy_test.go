package ration

import (
	"math"
	"testing"

	"hardfeed/ration/yard"
)

func needOf(t *testing.T, hp yard.HorsePlan, nutrient string) float64 {
	t.Helper()
	for _, n := range hp.Nutrients {
		if n.Name == nutrient {
			return n.Need.Or(math.NaN())
		}
	}
	t.Fatalf("no need of %s", nutrient)
	return 0
}

var hayAdLib = yard.Amount{Given: true, AdLib: true}

// Source: requirements §7, the worked heavy-sweat day: the day's own sweat takes
// the place of the class's, the maintenance part stays.
func TestTheYardsOwnSweatReplacesTheClasss(t *testing.T) {
	t.Parallel()
	byClass := planOne(t, horse("Fern", 500), line("Fern", "Hay", hayAdLib, nothing))
	if byClass.SweatFrom != yard.SweatByClass {
		t.Fatalf("sweat from %q", byClass.SweatFrom)
	}
	h := horse("Fern", 500)
	h.SweatScore = yard.Known(2) // 4 to 7 litres on each of six work days
	scored := planOne(t, h, line("Fern", "Hay", hayAdLib, nothing))
	if want := 5.5 * 6 / 7; !near(scored.SweatKg, want) || scored.SweatFrom != yard.SweatScored {
		t.Errorf("scored sweat %v from %q, want %.3f", scored.SweatKg, scored.SweatFrom, want)
	}
	h.SweatLitres = yard.Known(3)
	measured := planOne(t, h, line("Fern", "Hay", hayAdLib, nothing))
	sweat := 3.0 * 6 / 7
	if !near(measured.SweatKg, sweat) || measured.SweatFrom != yard.SweatMeasured {
		t.Errorf("measured sweat %v from %q, want %.3f", measured.SweatKg, measured.SweatFrom, sweat)
	}
	for _, c := range []struct {
		nutrient string
		want     float64
	}{
		{"sodium", 0.02*500 + 3.1*sweat},
		{"chloride", 0.08*500 + 5.3*sweat},
		{"potassium", 0.05*500 + 2.8*sweat},
		{"calcium", needOf(t, byClass, "calcium")}, // sweat is not built into it
	} {
		if got := needOf(t, measured, c.nutrient); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %.3f, want %.3f", c.nutrient, got, c.want)
		}
	}
	if needOf(t, scored, "sodium") <= needOf(t, measured, "sodium") {
		t.Error("more sweat asks for no more sodium")
	}
}

func TestOtherStandardsStandBesideInTheirOwnUnits(t *testing.T) {
	t.Parallel()
	h := horse("Fern", 500)
	h.Breed = "Thoroughbred x"
	hp := planOne(t, h, line("Fern", "Hay", hayAdLib, nothing))
	by := map[string]yard.StandardEnergy{}
	for _, o := range hp.Beside {
		by[o.Standard] = o
		if o.Source == "" {
			t.Errorf("%s has no source", o.Standard)
		}
	}
	if g := by["GfE 2014"]; g.Unit != "MJ ME" || math.Abs(g.Maintenance.Low.Or(0)-67.7) > 0.05 || !g.Total.High.IsKnown() || len(g.Assumed) == 0 || g.Assumed[0].Key != "part.assumed.thoroughbred" {
		t.Errorf("GfE: %+v", g)
	}
	if i := by["INRA 1990"]; i.Unit != "UFC" || math.Abs(i.Maintenance.Low.Or(0)-4.2) > 1e-9 || i.Total.High.IsKnown() {
		t.Errorf("INRA: unnamed work has no row, and yet %+v", i)
	}
	h.Work[0].Sessions[0].Minutes[yard.Gallop] = 5
	hp = planOne(t, h, line("Fern", "Hay", hayAdLib, nothing))
	if g := hp.Beside[0]; g.Total.High.IsKnown() || !g.Total.Low.IsKnown() {
		t.Errorf("GfE gives no galloping, and yet %+v", g.Total)
	}
}

func TestGrassByTheHour(t *testing.T) {
	t.Parallel()
	h := horse("Fern", 500)
	h.GrassHours = yard.Known(6)
	hp := planOne(t, h, line("Fern", "Hay", kilos(9), kilos(9))) // planned, so that the proposal leaves the hay alone
	note, ok := has(hp, "grass")
	if !ok || note.Severity != yard.Note {
		t.Fatalf("the estimate is not said: %v", hp.Findings)
	}
	low, high := hp.Energy.SupplyRange.Low.Or(math.NaN()), hp.Energy.SupplyRange.High.Or(math.NaN())
	if s := hp.Energy.Supply.Or(math.NaN()); !(low < s && s < high) {
		t.Errorf("supply %.1f is not between %.1f and %.1f", s, low, high)
	}
	// 6 h at 0.1 % of 500 kg are 3 kg of dry matter; the floor counts 6/24 of 1.5 %.
	dry := planOne(t, horse("Fern", 500), line("Fern", "Hay", kilos(9), kilos(9)))
	if more := hp.ForageDMPct.Or(0) - dry.ForageDMPct.Or(0); math.Abs(more-1.5*6/24) > 1e-9 {
		t.Errorf("the forage floor counts %.3f %% of grass, want its low end %.3f %%", more, 1.5*6/24)
	}
	for _, s := range hp.Servings {
		if s.Feed == "Grass" && (!s.AdLib || s.Grazed != yard.Known(6)) || s.Feed == "Hay" && s.Grazed.IsKnown() {
			t.Errorf("grass is served by its hours, and nothing else is: %+v", s)
		}
	}
	// Out day and night with no hay written down: none is assumed.
	h.GrassHours = yard.Known(24)
	hp = planOne(t, h)
	if _, assumed := has(hp, "forage-assumed"); assumed || hp.Status == yard.NoCard {
		t.Errorf("24 h at grass: status %s, %v", hp.Status, hp.Findings)
	}
	h.GrassHours = yard.Known(3)
	if _, assumed := has(planOne(t, h), "forage-assumed"); !assumed {
		t.Error("3 h at grass are no whole day's forage, and no hay was assumed")
	}
}

func TestGrassIsNotOrdered(t *testing.T) {
	t.Parallel()
	h := horse("Fern", 500)
	h.GrassHours = yard.Known(6)
	w := smallYard(h)
	w.Lines = []yard.Line{line("Fern", "Hay", kilos(8), nothing)}
	for _, f := range Plan(w, DefaultRules()).Feeds {
		if f.Feed.Name == "Grass" && (!f.Grazed || f.Packs.IsKnown()) {
			t.Errorf("grass in the order list: %+v", f)
		}
	}
}

func TestJumpsAreCosted(t *testing.T) {
	t.Parallel()
	h := horse("Fern", 500)
	flat := planOne(t, h, line("Fern", "Hay", hayAdLib, nothing))
	h.Work[0].Sessions = []yard.Session{{Minutes: [yard.Gaits]float64{42, 15, 3}, Efforts: 30}}
	jumped := planOne(t, h, line("Fern", "Hay", hayAdLib, nothing))
	if jumped.Energy.Work.Or(0) <= flat.Energy.Work.Or(0) || jumped.WorkMinutes != flat.WorkMinutes {
		t.Errorf("thirty jumps: %.3f Mcal and %.0f minutes against %.3f and %.0f", jumped.Energy.Work.Or(0), jumped.WorkMinutes, flat.Energy.Work.Or(0), flat.WorkMinutes)
	}
}

// A horse that lives out has the field for its forage: nothing of its ration is
// unknown because no hay is written down.
func TestAHorseThatLivesOutIsFedByTheField(t *testing.T) {
	t.Parallel()
	h := horse("Fern", 500)
	h.GrassHours, h.Keeper = yard.Known(24), yard.GoodDoer
	hp := planOne(t, h, line("Fern", "Cubes", kilos(0.375), kilos(0.375)))
	// Source: limits D-17 by way of the low end of what is grazed, 1.5 % of body
	// weight in a day (from memory).
	if !near(hp.ForageDMPct, 1.5) {
		t.Errorf("forage %v %% of body weight, want the low end of what is grazed, 1.5", hp.ForageDMPct)
	}
	// 0.1 % of body weight an hour is 12 kg of dry matter at 2.43 Mcal, and 0.375 kg
	// of cubes at 0.88 and 2.84 Mcal.
	if want := 12*2.43 + 0.375*0.88*2.84; math.Abs(hp.Energy.Supply.Or(0)-want) > 0.01 {
		t.Errorf("energy supplied %v Mcal, want %.2f", hp.Energy.Supply, want)
	}
	if f, found := has(hp, "D-17"); found {
		t.Errorf("the field reaches the forage floor, and yet: %s", message(f))
	}
	if _, found := has(hp, "energy"); !found {
		t.Error("grass brings nearly twice the energy it needs, and nothing says so")
	}
}
