package ration

import (
	"testing"

	"hardfeed/ration/yard"
)

// A yard that owns no measure weighs all it feeds: it is not asked what one weighs.
// A yard with a scoop is.
func TestOnlyMeasuresAYardOwnsAreAskedFor(t *testing.T) {
	week := yard.Week{Feeds: []yard.Feed{{Name: "Oats", Class: yard.HardFeed}}}
	asked := func() bool {
		for _, f := range newRoom(week, DefaultRules()).findings {
			if f.Rule == "D-30" {
				return true
			}
		}
		return false
	}
	if asked() {
		t.Error("asked for the weight of a measure nobody has")
	}
	week.Measures = []yard.Measure{{Name: "scoop"}}
	if !asked() {
		t.Error("the scoop of oats has no weight, and nobody is asked")
	}
}
