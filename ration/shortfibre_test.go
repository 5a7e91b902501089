package ration_test

import (
	"math"
	"testing"

	"hardfeed/ration"
	"hardfeed/ration/feeds"
	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// A lean horse that cannot chew hay keeps the soaked and short fibre it is fed, whatever
// else in the room the tables like better: its beet pulp is not changed for a mix (common
// practice, no source). A top limit goes before that.
func TestPoorTeethKeepTheirShortFibre(t *testing.T) {
	t.Parallel()
	table := feeds.Load()
	horses := 0
	for i := range 300 {
		r := chance(4000 + i)
		s := anyHorse(r)
		s.Score, s.TargetScore, s.AgeYears = yard.Known(oneOf(r, 3.5, 4, 4.5)), yard.Known(5), yard.Known(28)
		s.named(yard.PoorTeeth, "few teeth")
		if i%2 == 0 {
			s.named(yard.PPID, "PPID")
		}
		s.room(yard.Feed{Name: "Beet pulp", Generic: "beet pulp, unmolassed", Class: yard.HardFeed, MeasureKg: yard.Known(0.576)})
		s.Lines = nil
		kg := s.WeightKg.Or(0)
		s.now("Hay", math.Round(2*between(r, 0.009, 0.016)*kg)/2)
		s.now("Beet pulp", 0.576*float64(1+r.IntN(3))/2)
		s.now("Fibre cubes", math.Round(10*between(r, 0.001, 0.004)*kg)/10)
		p := ration.Plan(s.Week, ration.DefaultRules())
		c := readCard(p, s.Horse.Name)
		if c.Status != yard.Carded {
			continue
		}
		horses++
		for _, f := range p.Week.Feeds {
			k, _ := table.Resolve(f, s.Measures)
			if got, now := c.least(feed(f.Name)), c.now[f.Name]; guard.ShortFibre(&k) && f.Class != yard.Forage && got < now-1e-6 {
				t.Errorf("horse %d, %.0f kg: %.2f kg of %s, now %.2f", i, kg, got, f.Name, now)
			}
		}
	}
	if horses < 100 {
		t.Errorf("only %d cards", horses)
	}
}
