package ration_test

import (
	"math"
	"testing"

	"hardfeed/ration"
	"hardfeed/ration/yard"
)

// What a vet's word takes out of the bucket of a horse that is not fat, hay of little sugar
// makes up, by a quarter a week; a fat horse's, sugary hay and a horse at grass wait for the vet.
func TestHayMakesUpForTheCerealOfAHorseThatMayHaveNone(t *testing.T) {
	t.Parallel()
	n := yard.Known
	plant := func(change func(s *stable)) stable {
		s := ordinary()
		s.Work = week(45, 35, 15)
		s.Before = s.Work
		s.named(yard.InsulinEMS, "EMS")
		s.without("Cubes")
		s.now("Hay", 9)
		s.now("Barley", 1.65)
		change(&s)
		return s
	}
	for what, x := range map[string]struct {
		change func(s *stable)
		rises  bool
	}{
		"of score 5":          {func(*stable) {}, true},
		"thin":                {func(s *stable) { s.Score = n(4) }, true},
		"of score 6":          {func(s *stable) { s.Score, s.TargetScore = n(6), n(6) }, false},
		"to slim":             {func(s *stable) { s.TargetScore = n(4) }, false},
		"of no known score":   {func(s *stable) { s.Score = yard.Num{} }, false},
		"on sugary hay":       {func(s *stable) { s.Feeds[0].Analysis.Sugar = n(95) }, false},
		"on hay not analysed": {func(s *stable) { s.Feeds[0].Analysis.Sugar = yard.Num{}; s.Feeds[0].AnalysisFrom = "" }, false},
		"at grass":            {func(s *stable) { s.GrassBefore, s.GrassHours = n(3), n(3) }, false},
	} {
		c, _ := plant(x.change).plan()
		if got := c.most(feed("Hay")); got > 9.01 != x.rises || got > 9*1.25+0.01 {
			t.Errorf("%s: %.2f kg of hay after 9", what, got)
		}
		if c.most(feed("Barley")) > 0 {
			t.Errorf("%s: barley is on the card", what)
		}
	}
	w := plant(func(*stable) {}).Week
	for range 4 {
		w = nextWeek(w, ration.Plan(w, ration.DefaultRules()))
	}
	c := readCard(ration.Plan(w, ration.DefaultRules()), "Rowan")
	if off := c.Energy.Supply.Or(0)/c.Energy.Need.Or(math.NaN()) - 1; !(math.Abs(off) < 0.05) {
		t.Errorf("four weeks on its energy is %.0f %% off the need", off*100)
	}
}

// What a card took away explains why a horse gets less than it needs: it is no sign that
// the horse needs less, and is not kept.
func TestWhatACardTookAwayIsNotKeptAsWhatTheHorseNeeds(t *testing.T) {
	t.Parallel()
	s := ordinary()
	s.Work = week(45, 40, 20)
	s.Before = s.Work
	s.without("Cubes")
	s.now("Hay", 8)
	was := yard.FedEnergy{Forage: yard.Known(14.4), Other: yard.Known(8.5)}
	for _, c := range []struct {
		past []yard.PastWeek
		kept bool
	}{
		{nil, true},
		{[]yard.PastWeek{{Beginning: ago(7), WeekEnergy: yard.WeekEnergy{Now: was}}}, false},
		{[]yard.PastWeek{{Beginning: ago(49), WeekEnergy: yard.WeekEnergy{Now: was}}}, true},
		{[]yard.PastWeek{{Beginning: ago(7), WeekEnergy: yard.WeekEnergy{Now: yard.FedEnergy{Forage: was.Forage, Other: yard.Known(0)}}}}, true},
		{[]yard.PastWeek{{Beginning: ago(7), WeekEnergy: yard.WeekEnergy{Now: yard.FedEnergy{Forage: was.Forage}}}}, true},
	} {
		s.Past = c.past
		if got, _ := s.plan(); got.tells("fed-now") != c.kept {
			t.Errorf("after %+v: kept %v, want %v", c.past, !c.kept, c.kept)
		}
	}
}
