package ration_test

import (
	"testing"

	"hardfeed/ration"
	"hardfeed/ration/yard"
)

// A fall that the program chooses never takes a horse below its low need unless a stop
// asks (design §5.7): what is fed now keeps a horse within it, and so does the card. A
// horse to slim, one whose cereal a diagnosis forbids, a reduced card and a week of rest
// are the stops and aims that ask; a plan of hers is printed as she wrote it.
func TestNoFallGoesBelowTheLowNeed(t *testing.T) {
	t.Parallel()
	compared, fell := 0, 0
	for i := range pick(400, 3000) {
		r := chance(11000 + i)
		s := anyHorse(r)
		p := ration.Plan(s.Week, ration.DefaultRules())
		c := readCard(p, s.Horse.Name)
		if c.Status != yard.Carded || c.HardFeed.Planned.IsKnown() || c.Horse.TargetScore.Or(5) < c.Horse.Score.Or(5) || c.Horse.Score.Or(5) >= 7 {
			continue
		}
		if c.Horse.Has(yard.InsulinEMS) || c.Horse.Has(yard.PPID) || c.Horse.Has(yard.TyingUp) { // a vet's word limits starch
			continue
		}
		now, card := c.ToLearnFrom.Now, c.Energy.Supply
		fed, known := now.Forage.Get()
		other, known2 := now.Other.Get()
		low, lowKnown := c.Energy.NeedRange.Low.Get()
		got, gotKnown := card.Get()
		if !known || !known2 || !lowKnown || !gotKnown || fed+other < low {
			continue
		}
		compared++
		if got < fed+other-0.05 {
			fell++
		}
		if got < low*0.995 {
			t.Errorf("horse %d: %.1f Mcal on the card, %.1f now, low need %.1f (need %v)", i, got, fed+other, low, c.Energy.Need)
		}
	}
	t.Logf("%d horses compared, %d of them get less than now", compared, fell)
	if compared == 0 || fell == 0 {
		t.Error("nothing was compared")
	}
}
