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
)

// What must hold for any horse and any rows on the rations sheet.
func TestWhatAlwaysHolds(t *testing.T) {
	t.Parallel()
	rules := DefaultRules()
	rapid.Check(t, func(t *rapid.T) {
		kg := rapid.Float64Range(150, 900).Draw(t, "body kg")
		h := horse("Any", kg)
		h.Keeper = rapid.SampledFrom([]yard.Keeper{yard.GoodDoer, yard.NormalDoer, yard.PoorDoer}).Draw(t, "keeper")
		for _, d := range rapid.SliceOfNDistinct(rapid.SampledFrom([]yard.Diagnosis{yard.Laminitis, yard.InsulinEMS, yard.PPID, yard.TyingUp, yard.Ulcers,
			yard.HYPP, yard.Choke, yard.PoorTeeth, yard.PastColic, yard.Heaves, yard.Overweight, yard.NoFeedRule, yard.OtherDiagnosis}), 0, 2, rapid.ID).Draw(t, "diagnoses") {
			h.Diagnoses = append(h.Diagnoses, yard.NamedDiagnosis{Kind: d, Text: string(d)})
		}
		if rapid.Bool().Draw(t, "override") {
			h.Override = yard.Override{Asked: true, Who: "A", Reason: "B"}
		}
		for d := range 7 {
			switch rapid.IntRange(0, 4).Draw(t, fmt.Sprintf("day %d", d)) {
			case 0:
				h.Work[d] = yard.Day{Text: "rest"}
			case 1:
				h.Work[d] = yard.Day{Text: "?", Unknown: true}
			case 2:
				h.Work[d] = yard.Day{Event: true, StartMin: rapid.IntRange(-1, 1439).Draw(t, "start"), Sessions: h.Work[0].Sessions}
			}
		}
		perhaps := func(label string, low, high float64) yard.Num {
			if rapid.Bool().Draw(t, label+" given") {
				return yard.Known(rapid.Float64Range(low, high).Draw(t, label))
			}
			return yard.Num{}
		}
		h.GrassHours, h.SweatScore, h.SweatLitres = perhaps("grass hours", 0, 24), perhaps("sweat score", 1, 5), perhaps("sweat litres", 0, 60)
		h.Score, h.TargetScore = perhaps("score", 3, 9), perhaps("target score", 3, 9)
		w := smallYard(h)
		w.Temperature = perhaps("temperature", -40, 45)
		w.Meals = w.Meals[:rapid.IntRange(1, 3).Draw(t, "meals")]
		amount := func(label string, most float64) yard.Amount {
			switch rapid.IntRange(0, 5).Draw(t, label+" kind") {
			case 0:
				return nothing
			case 1:
				return yard.Amount{Given: true} // unreadable
			case 2:
				return kilos(0)
			}
			return kilos(rapid.Float64Range(0, most).Draw(t, label))
		}
		for _, f := range []struct {
			name string
			most float64
		}{{"Hay", 14}, {"Cubes", 6}, {"Oats", 4}, {"Salt", 0.1}, {"Oil", 0.3}} {
			if rapid.Bool().Draw(t, f.name) {
				l := line("Any", f.name, amount(f.name+" now", f.most), amount(f.name+" planned", f.most))
				l.Meal = rapid.SampledFrom([]string{"", "Breakfast", "Tea"}).Draw(t, "meal")
				if f.name == "Hay" && rapid.Bool().Draw(t, "ad lib") {
					l.Now = yard.Amount{Given: true, AdLib: true}
				}
				w.Lines = append(w.Lines, l)
			}
		}
		p := Plan(w, rules)
		if again := Plan(w, rules); !reflect.DeepEqual(p, again) {
			t.Fatal("the same week gave two plans")
		}
		hp := p.Horses[0]
		noMonsters(t, reflect.ValueOf(p), "plan")
		for _, f := range p.Findings {
			if f.Severity < yard.Note || f.Severity > yard.Stop || f.Rule == "" || message(f) == "" || strings.Contains(strings.ToLower(message(f)), "safe") {
				t.Fatalf("a finding without severity, rule or words: %+v", f)
			}
		}
		if hp.Status == yard.NoCard {
			if len(hp.NoCardWhy) == 0 || len(hp.Servings) > 0 {
				t.Fatalf("no card without a reason, or with servings: %+v", hp.NoCardWhy)
			}
			return
		}
		for _, f := range hp.Findings {
			if f.Severity == yard.Stop && guard.Holds(f.Rule) && hp.Status != yard.Held {
				t.Fatalf("a card prints as planned over a stop limit: %+v", f)
			}
		}
		m := guard.MarksFor(kg, rules.Limits)
		card := hp.HardFeed.Card.Or(math.NaN())
		now, known := hp.HardFeed.Now.Get()
		if known && hp.Step.Verdict != yard.StepOverridden {
			if card-now > m.WeekStopKg+1e-6 {
				t.Fatalf("the card rises by %.3f kg, over the stop limit of %.3f, and nobody overrode it", card-now, m.WeekStopKg)
			}
			if hp.Step.Verdict == yard.StepStop && (hp.Status != yard.Held || card-now > m.WeekWarnKg+1e-6) {
				t.Fatalf("over stop, but %s and a rise of %.3f kg", hp.Status, card-now)
			}
			before := now
			for d, v := range hp.Step.DayKg {
				day, mark := v.Or(math.NaN()), m.DayStopKg
				if !slices.ContainsFunc(hp.Step.DayKg[d:min(d+4, 7)], func(x yard.Num) bool { return x.Or(math.NaN()) > day+1e-9 }) {
					mark = max(mark, min(0.07*kg/100, 0.4)) // design §5d: three days without a rise after it
				}
				if step := day - before; step > mark+1e-6 {
					t.Fatalf("day %d rises by %.3f kg, stop limit %.3f", d+1, step, mark)
				}
				before = max(day, now) // up to what was fed before it is not a rise (limits D-09)
			}
		}
		// Only a fall of over half is made less, and then to half of what is fed; and where a
		// new feed comes in by halves, so does what it takes the place of go.
		swapped := slices.ContainsFunc(w.Lines, func(l yard.Line) bool { return l.Now.Kg.Or(0) == 0 && l.Planned.Kg.Or(0) > 0 })
		if planned, ok := hp.HardFeed.Planned.Get(); ok && card > planned+1e-6 && !(hp.Status == yard.Held && card < now && (planned < now/2 || swapped)) {
			t.Fatalf("planned %.3f kg, the card prints %.3f", planned, card)
		}
		floor := rules.Limits.ForageStopPct
		if h.Has(yard.Overweight) {
			floor = rules.Limits.SlimForageStopPct
		}
		if pct, ok := hp.ForageDMPct.Get(); ok && pct < floor-1e-6 {
			// Design §5.7: forage goes up by quarters, two a week; a horse that had some, and is
			// short of the floor still, has at least that.
			if _, told := has(hp, "D-17"); told && guard.Has(h.Diagnoses, yard.PoorTeeth) {
				return // what it cannot chew is not raised: somebody is told and asked
			}
			hayNow, hayCard := 0.0, 0.0
			for _, l := range w.Lines {
				if l.Feed == "Hay" {
					hayNow += l.Now.Kg.Or(0)
				}
			}
			atMeal := map[string]float64{}
			for _, s := range hp.Servings { // a meal that does not change is listed once, later days of one that does after it
				if s.Feed == "Hay" && s.Day == yard.WorkDay {
					atMeal[s.Meal] = float64(s.Kg)
				}
			}
			for _, kg := range atMeal {
				hayCard += kg
			}
			if least := 1.5625*hayNow - 0.5; hayCard < least || hayNow == 0 {
				t.Fatalf("forage %.3f %% on the card: %.2f kg of hay after %.2f", pct, hayCard, hayNow)
			}
		}
		if s, ok := hp.StarchMax.Get(); ok && s > rules.Limits.StarchMealStopG+1e-6 {
			t.Fatalf("starch %.3f g/kg in a meal on the card", s)
		}
		// The servings of a work day, latest stage, are the card.
		last := map[string]float64{}
		for _, s := range hp.Servings {
			if s.Kg < 0 || math.IsNaN(float64(s.Kg)) {
				t.Fatalf("serving %+v", s)
			}
			if s.Day == yard.WorkDay && s.Class == yard.HardFeed {
				last[s.Meal+"/"+s.Feed] = float64(s.Kg)
			}
		}
		sum := 0.0
		for _, v := range last {
			sum += v
		}
		if math.Abs(sum-card) > 0.002 {
			t.Fatalf("the servings add up to %.4f kg, the card says %.4f", sum, card)
		}
	})
}

// noMonsters fails on a number that is none, anywhere in a plan, and on a
// negative need or supply.
func noMonsters(t *rapid.T, v reflect.Value, at string) {
	switch v.Kind() {
	case reflect.Float64:
		if f := v.Float(); math.IsNaN(f) || math.IsInf(f, 0) {
			t.Fatalf("%s is %v", at, f)
		}
	case reflect.Struct:
		if n, ok := v.Interface().(yard.Num); ok {
			if f, known := n.Get(); known && (math.IsNaN(f) || math.IsInf(f, 0)) {
				t.Fatalf("%s is %v", at, f)
			}
			return
		}
		if n, ok := v.Interface().(yard.Nutrient); ok && (n.Need.Or(0) < 0 || n.Supply.Or(0) < -1e-9 || n.AtLeast < -1e-9) {
			t.Fatalf("%s: need %v, supply %v, at least %v", n.Name, n.Need, n.Supply, n.AtLeast)
		}
		if _, ok := v.Interface().(time.Time); ok {
			return
		}
		for i := range v.NumField() {
			noMonsters(t, v.Field(i), at+"."+v.Type().Field(i).Name)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			noMonsters(t, v.Index(i), fmt.Sprintf("%s[%d]", at, i))
		}
	}
}
