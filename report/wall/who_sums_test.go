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

// What stands under a meal is what its lines come to, added up here straight
// from the plan.
func TestTotalsOfAMealAddUp(t *testing.T) {
	whoOf := func(t testing.TB, p yard.Plan) string {
		text := reporttest.TextOf(t, Cards(), p, 2)
		return text[:strings.Index(text, "OUTOFDATE")]
	}
	p := reporttest.Fixture()
	s := who{paper: paper{Sheet: words.New(p, words.Meta{})}}
	meals, rest := s.yardMeals()
	if rest != nil {
		meals = append(meals, *rest)
	}
	for _, m := range meals {
		want := map[string]float64{}
		for _, h := range p.Horses {
			day := slices.IndexFunc(h.Days[:], func(d yard.DayPlan) bool { return d.Kind == yard.WorkDay })
			for _, v := range h.Servings {
				later := slices.ContainsFunc(h.Servings, func(o yard.Serving) bool {
					return o.Day == v.Day && o.Meal == v.Meal && o.Feed == v.Feed && o.From > v.From && int(o.From) <= day
				})
				if v.Day == yard.WorkDay && strings.EqualFold(cmp.Or(v.Meal, words.AllDay), m.Name) && int(v.From) <= day && !later && !v.AdLib && !v.Ml.IsKnown() {
					want[v.Feed] += float64(v.Kg)
				}
			}
		}
		sums, without := s.sums(m)
		for _, x := range sums {
			if math.Abs(x.kg-want[x.feed]) > 1e-9 {
				t.Errorf("%s, %s: %v kg, the plan comes to %v", m.Name, x.feed, x.kg, want[x.feed])
			}
			delete(want, x.feed)
		}
		if len(want) > 0 {
			t.Errorf("%s: left out: %v", m.Name, want)
		}
		if !slices.Equal(without, []string{"Old Tom"}) {
			t.Errorf("%s: left out and named: %q", m.Name, without)
		}
	}
	who := whoOf(t, p)
	for _, w := range []string{
		"All together, a work day at the week's start, without Old Tom:",
		"Meadow hay 9.75 kg",                  // 3.5 + 4 + 2.25
		"Conditioning cubes 1½ scoops, 685 g", // 1 of half a kilo and ½ of 0.37 from the third day
		"Linseed oil 50 ml", "Salt 25 g",
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
