package ration_test

import (
	"math"
	"testing"

	"hardfeed/ration"
	"hardfeed/ration/yard"
)

// aRacer is a horse in race training that needs what 22 racehorses did, 0.0475 Mcal a kg
// of body weight and day with a spread of 10 % before its work (evidence EN-10 and EN-13),
// and gets it: hay to the least there should be, and the rest in oats. Its breed is written
// down or not.
func aRacer(seed int) (s stable, maintenance float64) {
	n := yard.Known
	r := chance(7000 + seed)
	s = ordinary()
	kg := math.Round(between(r, 440, 560))
	s.WeightKg, s.HeightCm, s.AgeYears, s.RiderTackKg = n(kg), n(163), n(float64(3+r.IntN(5))), n(62)
	s.Breed = oneOf(r, "Thoroughbred", "TB", "")
	s.Work = week(between(r, 25, 40), between(r, 8, 15), between(r, 6, 12))
	for _, d := range []int{1, 3, 5} {
		s.Work[d].Sessions[0].Minutes[yard.Gallop] = between(r, 3, 4)
	}
	s.Before = s.Work
	s.without("Cubes", "Salt")
	maintenance = 0.0475 * (1 + 0.05*r.NormFloat64())
	hay := math.Round(4*0.0145*kg/0.88) / 4
	s.now("Hay", hay)
	s.now("Salt", 0.05)
	alone := s
	e := planEnergy(alone)
	oats := math.Round((maintenance*kg+e.Work.Or(0)-hay*0.88*2.05)/2.85/0.2) * 0.2
	s.now("Oats", min(oats, 6.6))
	return s, maintenance
}

func planEnergy(s stable) yard.Energy {
	c, _ := s.plan()
	return c.Energy
}

// Horses in race training on what they need keep their oats week after week, as the
// scale scatters: no table takes them away.
func TestRacersKeepTheirOats(t *testing.T) {
	t.Parallel()
	cut, weeks, racers := 0, 0, pick(12, 60)
	for seed := range racers {
		s, maintenance := aRacer(seed)
		r := chance(7500 + seed)
		w, name, trueKg := s.Week, s.Horse.Name, s.WeightKg.Or(0)
		c, _ := s.plan()
		start, less := c.now["Oats"], false
		for range 8 {
			x := weighed(r, trueKg, w.Beginning.AddDate(0, 0, -3))
			h := &w.Horses[0]
			h.Weighings, h.WeightKg, h.Weighed = append(h.Weighings, x), x.Kg, x.Date
			p := ration.Plan(w, ration.DefaultRules())
			c := readCard(p, name)
			if c.Status == yard.NoCard {
				t.Fatalf("seed %d: no card: %v", seed, c.NoCardWhy)
			}
			weeks++
			less = less || c.least(feed("Oats")) < 0.93*start
			if e := c.Energy; e.Supply.IsKnown() {
				trueKg += 7 * (e.Supply.Or(0) - maintenance*trueKg - e.Work.Or(0)) / 20
			}
			w = nextWeek(w, p)
			for k := range w.Feeds {
				if !w.Feeds[k].MeasureWeighed.IsZero() {
					w.Feeds[k].MeasureWeighed = w.Beginning.AddDate(0, 0, -5)
				}
			}
		}
		if less {
			cut++
			t.Logf("seed %d, breed %q: %.1f kg of oats at first, %v in the end, weight %.0f then %.0f", seed, s.Breed, start, w.Lines, s.WeightKg.Or(0), trueKg)
		}
	}
	t.Logf("%d weeks", weeks)
	holds(t, "racers that lose oats they need", float64(cut)/float64(racers), floors.racersCut)
}
