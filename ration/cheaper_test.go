package ration

import (
	"testing"

	"hardfeed/ration/yard"
)

// pricedYard is a yard of one horse on hay and dear cubes, with oats that cost less.
func pricedYard(cubes, oats float64) yard.Week {
	w := smallYard(horse("Fern", 500))
	for i := range w.Feeds {
		f := &w.Feeds[i]
		f.PackKg, f.StockPacks = yard.Known(20), yard.Known(100)
		f.PackPrice = yard.Known(map[string]float64{"Hay": 6, "Cubes": cubes, "Oats": oats, "Salt": 9, "Oil": 40}[f.Name])
	}
	w.Lines = []yard.Line{line("Fern", "Hay", kilos(9), kilos(9)), line("Fern", "Cubes", kilos(2), kilos(2)), line("Fern", "Oats", kilos(0.2), kilos(0.2)), line("Fern", "Salt", kilos(0.07), kilos(0.07))}
	return w
}

// figures are the two costs of the line on the cheapest ration.
func figures(p yard.Plan) (now, least float64, ok bool) {
	for _, f := range p.Findings {
		if f.Rule != "cheaper" {
			continue
		}
		for _, a := range f.Saying.Args {
			if q, is := a.Value.(yard.Quantity); is {
				if a.Name == "now" {
					now = q.Value
				} else if a.Name == "least" {
					least = q.Value
				}
			}
		}
		return now, least, true
	}
	return 0, 0, false
}

func TestTheCheapestRationOfEqualWorthIsSaidWhereItDiffersByATenth(t *testing.T) {
	t.Parallel()
	with := func(w yard.Week, change func(*yard.Week)) yard.Week { change(&w); return w }
	for _, c := range []struct {
		what string
		w    yard.Week
		said bool
	}{
		{"cubes at three times the price of oats", pricedYard(30, 9), true},
		{"at one price", pricedYard(9, 9), false},
		{"a price that nobody knows", with(pricedYard(30, 9), func(w *yard.Week) { w.Feeds[1].PackPrice = yard.Num{} }), false},
		{"a bag that nobody weighed", with(pricedYard(30, 9), func(w *yard.Week) { w.Feeds[1].PackKg = yard.Num{} }), false},
		{"a horse with laminitis", with(pricedYard(30, 9), func(w *yard.Week) {
			w.Horses[0].Diagnoses = []yard.NamedDiagnosis{{Kind: yard.Laminitis, Text: "laminitis"}}
		}), false},
		{"hay ad lib, of which nobody knows the cost", with(pricedYard(30, 9), func(w *yard.Week) {
			w.Lines[0].Now, w.Lines[0].Planned = yard.Amount{Given: true, AdLib: true}, yard.Amount{Given: true, AdLib: true}
		}), false},
		{"no oats left", with(pricedYard(30, 9), func(w *yard.Week) {
			w.Feeds[2].StockPacks, w.Lines = yard.Known(0), append(w.Lines[:2:2], w.Lines[3])
		}), false},
	} {
		p := Plan(c.w, DefaultRules())
		now, least, said := figures(p)
		if said != c.said || said && !(least < 0.9*now) {
			t.Errorf("%s: said %v, %.2f and %.2f", c.what, said, now, least)
		}
		if c.said { // what the card costs, by the order list
			cost := 0.0
			for _, n := range p.Feeds {
				cost += n.Cost.Or(0)
			}
			if d := cost - now; d > 0.02*cost || d < -0.02*cost {
				t.Errorf("%s: the card costs %.2f, the order list %.2f", c.what, now, cost)
			}
		}
	}
}

// Fed as the line says, the horse has as much energy within the band, no more of its
// nutrients short, and no mark passed that was kept.
func TestTheCheapestRationIsWorthAsMuch(t *testing.T) {
	t.Parallel()
	w := pricedYard(30, 9)
	p := Plan(w, DefaultRules())
	before := p.Horses[0]
	for _, f := range p.Findings {
		if f.Rule != "cheaper" {
			continue
		}
		w.Lines = nil
		for _, a := range f.Saying.Args {
			list, _ := a.Value.(yard.List)
			for _, part := range list.Items {
				feed, kg := "", 0.0
				for _, b := range part.(yard.Saying).Args {
					switch v := b.Value.(type) {
					case yard.Text:
						feed = v.Text
					case yard.Quantity:
						kg = v.Value
					}
				}
				w.Lines = append(w.Lines, line("Fern", feed, kilos(kg), kilos(kg)))
			}
		}
	}
	after := Plan(w, DefaultRules()).Horses[0]
	if off := after.Energy.Supply.Or(0)/before.Energy.Supply.Or(1) - 1; len(w.Lines) == 0 || off > 0.031 || off < -0.031 {
		t.Fatalf("fed %v: energy %.3f off", w.Lines, off)
	}
	for _, n := range before.Nutrients {
		if least := min(n.AtLeast, n.Need.Or(0)); nutrientOf(t, after, n.Name).AtLeast < least*0.999 {
			t.Errorf("%s: %.3g before, %.3g after, needed %v", n.Name, n.AtLeast, nutrientOf(t, after, n.Name).AtLeast, n.Need)
		}
	}
	for _, f := range after.Findings {
		if _, was := has(before, string(f.Rule)); !was && f.Severity > yard.Note {
			t.Errorf("new: %v", f)
		}
	}
}

// Where a horse is short of something that the room would make up, the line says what of it
// costs the most to make up, by the room's price.
func TestTheDearestShortfallIsSaidWithTheCheapestRation(t *testing.T) {
	t.Parallel()
	selenium := labelled("Selenium mix", yard.Supplement, yard.Composition{Se: yard.Known(50)})
	selenium.PackKg, selenium.PackPrice = yard.Known(1), yard.Known(80)
	for _, c := range []struct {
		what        string
		price       float64
		by, makesUp string
	}{
		{"a dear mix for selenium", 80, "Selenium mix", "selenium"},
		{"a cheap one, and dear salt", 0.1, "Salt", "sodium"},
	} {
		w := pricedYard(30, 9)
		w.Feeds[0].Analysis, w.Feeds[0].AnalysisFrom = yard.Composition{Na: yard.Known(0.3), Se: yard.Known(0.02)}, "workbook: dry matter"
		selenium.PackPrice = yard.Known(c.price)
		w.Feeds[1].Analysis.Se = yard.Known(0.1)
		w.Feeds, w.Lines = append(w.Feeds, selenium), w.Lines[:3]
		found := false
		for _, f := range Plan(w, DefaultRules()).Findings {
			if f.Rule != "cheaper" {
				continue
			}
			dose, _ := f.Saying.Arg("dose").(yard.Saying)
			feed, _ := dose.Arg("feed").(yard.Text)
			grams, _ := dose.Arg("g").(yard.Quantity)
			cost, _ := f.Saying.Arg("cost").(yard.Quantity)
			price := map[string]float64{"Selenium mix": c.price, "Salt": 9.0 / 20}[feed.Text]
			makes, _ := f.Saying.Arg("nutrients").(yard.List)
			found = feed.Text == c.by && len(makes.Items) > 0 && makes.Items[0].(yard.Text).Text == c.makesUp
			if d := cost.Value - grams.Value/1000*7*price; d > 0.005 || d < -0.005 {
				t.Errorf("%s: %g g of %s cost %g a week", c.what, grams.Value, feed.Text, cost.Value)
			}
		}
		if !found {
			t.Errorf("%s: %s for %s is not named", c.what, c.by, c.makesUp)
		}
	}
}
