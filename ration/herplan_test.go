package ration_test

import (
	"math"
	"testing"

	"hardfeed/ration"
	"hardfeed/ration/yard"
)

// Hard feed that she plans by weight, to the gram, is printed as she planned it, and only one
// serving of a day has the odd grams: the rest, on the way and on days off too, are multiples
// of 50 g or whole quarters of the measure (design §5d).
func TestOnlyHerOwnOddGramsAreWeighed(t *testing.T) {
	t.Parallel()
	weighed, odd := 0, 0
	for i := range pick(150, 600) {
		r := chance(7000 + i)
		s := ordinary()
		kg := math.Round(between(r, 220, 680))
		s.WeightKg, s.HeightCm, s.RiderTackKg = yard.Known(kg), yard.Known(math.Round(100*math.Cbrt(kg/122))), yard.Known(math.Round(0.15*kg))
		s.Work = anyWork(r)
		s.Before = s.Work
		s.now("Hay", math.Round(2*0.018*kg)/2)
		f := oneOf(r, "Cubes", "Oats", "Fibre cubes")
		s.without("Cubes")
		unit := oneOf(r, 0.001, 0.01, 0.1)
		grams := func(kg float64) float64 { return math.Round(kg/unit) * unit }
		now := grams(between(r, 0.001, 0.005) * kg)
		plan, balancer := now, 0.0
		switch r.IntN(4) {
		case 0:
			plan = grams(now + between(r, 0, 0.0025)*kg)
		case 1:
			plan = grams(now * between(r, 0.5, 1))
		case 2:
			balancer = grams(0.001 * kg)
			s.from("Balancer", 0, balancer)
		}
		if r.IntN(3) == 0 {
			for k := range s.Feeds {
				if s.Feeds[k].Name == f {
					s.Feeds[k].MeasureKg = yard.Num{}
				}
			}
		}
		s.from(f, now, plan)
		c := readCard(ration.Plan(s.Week, ration.DefaultRules()), s.Horse.Name)
		if c.Status == yard.NoCard {
			continue
		}
		byHand := func(name string, kg float64) bool {
			q := c.feeds[name].MeasureKg.Or(math.Inf(1)) / 4
			near := func(unit float64) bool { return math.Abs(kg-unit*math.Round(kg/unit)) < 1e-4 }
			return near(0.05) || !math.IsInf(q, 1) && near(q)
		}
		before := map[string]float64{f: now, "Balancer": 0}
		steps := 0
		for d := range 7 {
			for _, kind := range []yard.DayKind{yard.WorkDay, yard.RestDay} {
				day := c.servings(d, kind)
				for name := range before {
					n, all := 0, total(day, feed(name))
					for _, v := range day {
						if v.Feed != name || v.Kg == 0 {
							continue
						}
						weighed++
						if !byHand(name, float64(v.Kg)) {
							n++
						}
					}
					odd += n
					hers := false
					for _, kg := range map[string][]float64{f: {now, plan}, "Balancer": {0, balancer}}[name] { // the meal with the odd grams stays as it is on the way
						hers = hers || byHand("", all-kg)
					}
					if n > 1 || n == 1 && !hers {
						t.Errorf("horse %d, day %d, %s: %d odd servings of %.3f kg of %s; now %.3f, planned %.3f", 7000+i, d+1, kind, n, all, name, now, plan)
					}
				}
			}
			step := false
			for name, was := range before {
				got := total(c.servings(d, yard.WorkDay), feed(name))
				step = step || math.Abs(got-was) > 1e-3
				before[name] = got
			}
			if step {
				steps++
			}
		}
		if steps > 2 {
			t.Errorf("horse %d: %d steps", 7000+i, steps)
		}
	}
	t.Logf("%d servings, %d with odd grams", weighed, odd)
	if odd == 0 || weighed < 1000 {
		t.Error("nothing was weighed")
	}
}
