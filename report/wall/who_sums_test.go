package wall

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"hardfeed/ration/yard"
	"hardfeed/report/reporttest"
	"hardfeed/report/words"
)

// What is under a meal is what its lines come to, added up here straight
// from the plan.
func TestTotalsOfAMealAddUp(t *testing.T) {
	whoOf := func(t testing.TB, p yard.Plan) string {
		text := reporttest.TextOf(t, Cards(), p, 2)
		return text[:strings.Index(text, "OUTOFDATE")]
	}
	p := reporttest.Fixture()
	sheet := words.New(p, words.Meta{})
	s := who{paper: paper{Sheet: sheet}}
	figures := 0
	for _, m := range s.meals() {
		sums := sumsOf(sheet)
		for i := range p.Horses {
			sums.add(sheet.RowsAt(&p.Horses[i], m.Name))
		}
		got := map[string][7]float64{}
		for _, r := range sums.done() {
			for day, e := range r.Days {
				of := got[r.Feed]
				of[day] += float64(e.Serving.Kg)
				got[r.Feed] = of
			}
		}
		want := map[string][7]float64{}
		for _, h := range p.Horses {
			for day, d := range h.Days {
				for _, v := range h.Servings {
					later := slices.ContainsFunc(h.Servings, func(o yard.Serving) bool {
						return o.Day == v.Day && o.Meal == v.Meal && o.Feed == v.Feed && o.From > v.From && int(o.From) <= day
					})
					if v.Day == d.Kind && strings.EqualFold(cmp.Or(v.Meal, words.AllDay), m.Name) && int(v.From) <= day && !later && !v.AdLib && v.Kg > 0 {
						of := want[v.Feed]
						of[day] += float64(v.Kg)
						want[v.Feed] = of
					}
				}
			}
		}
		for feed, on := range want {
			for day, kg := range on {
				figures++
				if math.Abs(got[feed][day]-kg) > 1e-9 {
					t.Errorf("%s, %s, day %d: %v kg, the plan comes to %v", m.Name, feed, day+1, got[feed][day], kg)
				}
			}
			delete(got, feed)
		}
		if len(got) > 0 {
			t.Errorf("%s: too much: %v", m.Name, got)
		}
	}
	if figures < 100 {
		t.Errorf("only %d figures were compared", figures)
	}
	who := whoOf(t, p)
	for _, w := range []string{
		"Total for this meal, without Old Tom",
		"Meadow hay kg 9.75 9.75 9.75 9.75 9.75 6.75 9.75", // 3.5 + 4 + 2.25, and on Saturday one for the show
		"Linseed oil ml 50 50 50 50 50 50 50", "Salt g 25 25 25 25 25 25 25",
	} {
		if !strings.Contains(who, reporttest.Bare(w)) {
			t.Errorf("%q is not in\n%s", w, who)
		}
	}
	// What is fed all day is added up where it is more than one horse's.
	for _, horses := range []int{1, 2} {
		said := strings.Contains(whoOf(t, p), reporttest.Bare(fmt.Sprintf("Haylage ad lib for %d horse", horses)))
		if said != (horses > 1) {
			t.Errorf("haylage of %d horses is added up: %v", horses, said)
		}
		p.Horses = append(p.Horses, p.Horses[4])
	}
}
