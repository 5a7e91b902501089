package ration_test

import (
	"testing"

	"hardfeed/ration"
	"hardfeed/ration/feeds"
	"hardfeed/ration/yard"
)

// The top limits on what a meal and a day may hold stand where every feed is as rich, or as
// poor, as its kind may be: of the cards of random horses that pass none by the mean.
func TestTopLimitsHoldAtBothEnds(t *testing.T) {
	t.Parallel()
	table, rules := feeds.Load(), ration.DefaultRules()
	meals, days := 0, 0
	for i := range 300 {
		week := anyHorse(chance(7000 + i)).Week
		p := ration.Plan(week, rules)
		room := map[string]feeds.Resolved{}
		for _, f := range p.Week.Feeds {
			room[f.Name], _ = table.Resolve(f, week.Measures)
		}
		for _, h := range p.Horses {
			kg, ok := h.WeightKg.Get()
			if !ok {
				continue
			}
			type sums struct{ mean, end float64 }
			starch := map[string]*sums{}
			forage := sums{}
			free := false
			for _, s := range h.Servings {
				k, listed := room[s.Feed]
				if s.Day != yard.WorkDay || !listed {
					continue
				}
				if s.AdLib || s.Grazed.IsKnown() {
					free = true
					continue
				}
				if s.Class == yard.Forage && s.From == 0 {
					forage.mean += float64(s.Kg) * k.Composition.DM.Or(0)
					forage.end += float64(s.Kg) * k.LowEnd().DM.Or(0)
				}
				if s.Class != yard.Forage && s.From == 0 {
					m := starch[s.Meal]
					if m == nil {
						m = &sums{}
						starch[s.Meal] = m
					}
					m.mean += float64(s.Kg) * k.Composition.DM.Or(1) * k.Composition.Starch.Or(0)
					m.end += float64(s.Kg) * k.HighEnd().DM.Or(1) * k.HighEnd().Starch.Or(0)
				}
			}
			for meal, m := range starch {
				meals++
				if stop := rules.Limits.StarchMealStopG * kg; m.mean <= stop && m.end > stop {
					t.Errorf("horse %d, %s: %.2f g of starch a kg by the mean, %.2f at the high end", i, meal, m.mean/kg, m.end/kg)
				}
			}
			if !free && forage.mean > 0 {
				days++
				if floor := rules.Limits.ForageStopPct / 100 * kg; forage.mean >= floor && forage.end < floor {
					t.Errorf("horse %d: forage %.3f %% by the mean, %.3f at the low end", i, forage.mean/kg*100, forage.end/kg*100)
				}
			}
		}
	}
	t.Logf("%d meals, %d days", meals, days)
}
