package work

import (
	"math/rand/v2"
	"slices"
	"testing"

	"hardfeed/ration/yard"
)

// Twenty-five minutes led in hand beside its work make no week easier: its class falls by no
// walk that is added, though the mean heart rate does.
func TestWalksBesideTheWorkMakeNoWeekEasier(t *testing.T) {
	place := func(days [7]yard.Day) int {
		class, _ := WeekClass(days)
		return slices.Index(classesUp[:], class)
	}
	fell := 0
	r := rand.New(rand.NewPCG(29, 1))
	for range 4000 {
		var days [7]yard.Day
		for d := range days {
			if r.IntN(7) == 0 {
				continue
			}
			s := yard.Session{}
			for g, most := range []int{5, 20, 30} {
				s.Minutes[g] = float64(most/2 + r.IntN(most-most/2+1))
			}
			days[d].Sessions = []yard.Session{s}
		}
		before := place(days)
		walked := days
		for d := range walked {
			walked[d].Sessions = append(slices.Clone(days[d].Sessions), yard.Session{Minutes: [yard.Gaits]float64{yard.Walk: 25}, Led: true})
		}
		if after := place(walked); after < before {
			t.Fatalf("%v, with a walk a day %v: %v", classesUp[before], classesUp[after], days)
		}
		var all bout
		for _, d := range walked {
			for _, s := range d.Sessions {
				all.add(boutOf(s))
			}
		}
		if all.class() < before {
			fell++
		}
	}
	if fell < 20 {
		t.Errorf("the mean fell in %d weeks only: nothing was tried", fell)
	}
}
