package ration_test

import (
	"math"
	"testing"

	"hardfeed/ration/yard"
)

// Weighed hay is held down on a day of galloping only where it is all the forage there is, or
// the rest is known: beside forage that is there all day or of unknown dry matter nobody knows
// how much is eaten, and none is taken away.
func TestHayIsHeldBeforeAGallopOnlyWhereAllForageIsKnown(t *testing.T) {
	t.Parallel()
	for what, x := range map[string]struct {
		plant func(s *stable)
		held  bool
	}{
		"hay alone":                       {func(*stable) {}, true},
		"hay and weighed haylage":         {func(s *stable) { s.keep("Haylage", 2) }, true},
		"hay and haylage ad lib":          {func(s *stable) { s.fed("Haylage", adLib, adLib) }, false},
		"hay and forage nobody knows":     {func(s *stable) { s.room(yard.Feed{Name: "Bale", Class: yard.Forage}); s.keep("Bale", 2) }, false},
		"hay and grass":                   {func(s *stable) { s.GrassBefore, s.GrassHours = yard.Known(3), yard.Known(3) }, false},
		"hay alone, and nothing but trot": {func(s *stable) { s.Work[5].Sessions[0] = yard.Session{Minutes: [yard.Gaits]float64{30, 20}} }, false},
	} {
		s := ordinary()
		s.keep("Hay", 11)
		s.keep("Cubes", 0.7)
		s.event(5, 14*60, 20, 20, 10, 6)
		x.plant(&s)
		c, _ := s.plan()
		day, event := total(c.servings(5, yard.WorkDay), feed("Hay")), total(c.servings(5, yard.EventDay), feed("Hay"))
		if c.Days[5].Kind != yard.EventDay || day < 1 || math.IsNaN(event) {
			t.Fatalf("%s: %s, %.2f kg of hay, %.2f on the day of the event", what, c.Days[5].Kind, day, event)
		}
		if held := event < day-0.1; held != x.held {
			t.Errorf("%s: %.2f kg of hay, %.2f on the day of the event", what, day, event)
		}
	}
}
