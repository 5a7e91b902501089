package ration_test

import (
	"testing"

	"hardfeed/ration/yard"
)

// A handful of chaff of no known starch is no matter, a scoop of a mix of which nothing is
// known is one, and so is
// chaff that could pass a mark beside what the rest holds.
func TestStarchNobodyKnowsIsAskedForWhereItCounts(t *testing.T) {
	t.Parallel()
	for what, x := range map[string]struct {
		plant func(s *stable)
		told  bool
	}{
		"a handful of chaff":         {func(s *stable) { s.keep("Cubes", 1.4); s.keep("Chaff", 0.3) }, false},
		"chaff beside much oats":     {func(s *stable) { s.without("Cubes"); s.keep("Oats", 2.5); s.keep("Chaff", 2) }, true},
		"a mix nobody knows":         {func(s *stable) { s.keep("Cubes", 1.4); s.room(mixOfNobody()); s.keep("Mix", 0.5) }, true},
		"none of it is fed any more": {func(s *stable) { s.keep("Cubes", 1.4); s.room(mixOfNobody()) }, false},
	} {
		s := ordinary()
		x.plant(&s)
		if c, _ := s.plan(); c.tells("starch-unknown") != x.told {
			t.Errorf("%s: told %v, want %v", what, !x.told, x.told)
		}
	}
}

func mixOfNobody() yard.Feed {
	return yard.Feed{Name: "Mix", Class: yard.HardFeed, MeasureKg: yard.Known(1)}
}
