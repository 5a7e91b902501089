package ration_test

import (
	"testing"

	"hardfeed/ration/yard"
)

// A thin horse that has hay at all times is not told to have more of it.
func TestHayThatIsAlwaysThereIsNoAnswer(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		hay   yard.Amount
		key   string
		teeth bool
	}{{kilos(7), "part.energy.more", false}, {adLib, "part.energy.more.always", false}, {adLib, "part.energy.more.teeth", true}} {
		s := ordinary()
		s.Score, s.TargetScore = yard.Known(3.5), yard.Known(5)
		s.Work = week(50, 45, 20)
		s.Before = s.Work
		if c.teeth {
			s.named(yard.PoorTeeth, "molars missing")
		}
		s.fed("Hay", c.hay, c.hay)
		s.keep("Cubes", 0.7)
		got, _ := s.plan()
		said := ""
		for _, f := range got.Findings {
			for _, a := range f.Saying.Args {
				if part, ok := a.Value.(yard.Saying); ok && a.Name == "more" {
					said = part.Key
				}
			}
		}
		if said != c.key {
			t.Errorf("hay %+v: %q, want %q", c.hay, said, c.key)
		}
	}
}
