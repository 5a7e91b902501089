package ration_test

import (
	"testing"

	"hardfeed/ration"
	"hardfeed/ration/feeds"
	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// No top limit is passed where every feed is as rich as its kind may be, nor any floor
// where every feed is as poor: on the cards of random horses, well and ill, that keep it by
// the mean.
func TestTopLimitsHoldAtBothEnds(t *testing.T) {
	t.Parallel()
	table, rules := feeds.Load(), ration.DefaultRules()
	ills := []yard.Diagnosis{"", yard.Ulcers, yard.InsulinEMS, yard.TyingUp, yard.Laminitis, yard.HYPP}
	compared := map[string]int{}
	for i := range 300 {
		week := anyHorse(chance(9000 + i)).Week
		if ill := ills[i%len(ills)]; ill != "" {
			for j := range week.Horses {
				week.Horses[j].Diagnoses = append(week.Horses[j].Diagnoses, yard.NamedDiagnosis{Kind: ill, Text: string(ill)})
			}
		}
		p := ration.Plan(week, rules)
		for _, h := range p.Horses {
			if !h.WeightKg.IsKnown() {
				continue
			}
			mean := servedRation(table, p.Week, h)
			poor, rich := atEnd(mean, (*feeds.Resolved).LowEnd), atEnd(mean, (*feeds.Resolved).HighEnd)
			for _, n := range guard.Limits() {
				end := rich
				if n.Low {
					end = poor
				}
				_, limited := n.Mark(yard.Stop, mean, rules.Limits)
				byMean := n.Compare(mean, rules.Limits)
				if !limited || byMean.Unknown {
					continue
				}
				compared[string(n.ID)+" "+n.Name]++
				if c := n.Compare(end, rules.Limits); byMean.Severity < yard.Stop && c.Severity == yard.Stop {
					t.Errorf("horse %d, %s: %.3f by the mean, %.3f at the end, the limit is %.3f", i, n.Name, byMean.Value, c.Value, c.Mark)
				}
			}
		}
	}
	for _, n := range guard.Limits() {
		if n.Stop != nil && compared[string(n.ID)+" "+n.Name] == 0 {
			t.Errorf("%s of %s was never compared", n.Name, n.ID)
		}
	}
	t.Logf("cards compared: %v", compared)
}

// servedRation is what a card has on a work day, before the week's first step.
func servedRation(table *feeds.Table, w yard.Week, h yard.HorsePlan) guard.Ration {
	r := guard.Ration{BodyKg: h.WeightKg.Or(0), Diagnoses: h.Horse.Diagnoses}
	meal := map[string]int{}
	for i, m := range w.Meals {
		meal[m.Name], r.Meals = i, append(r.Meals, m.Name)
	}
	for _, f := range w.Feeds {
		k, _ := table.Resolve(f, w.Measures)
		fed := guard.Fed{Feed: &k, PerMeal: make([]float64, len(r.Meals))}
		for _, s := range h.Servings {
			if s.Feed != f.Name || s.Day != yard.WorkDay || s.From != 0 {
				continue
			}
			fed.Kg += float64(s.Kg)
			if m, atMeal := meal[s.Meal]; atMeal && !s.AdLib && !s.Grazed.IsKnown() {
				fed.PerMeal[m] += float64(s.Kg)
			}
		}
		if fed.Kg > 0 {
			r.Feeds = append(r.Feeds, fed)
		}
	}
	return r
}

// atEnd is a ration of feeds at one end of what they may hold.
func atEnd(r guard.Ration, end func(*feeds.Resolved) yard.Composition) guard.Ration {
	out := r
	out.Feeds = nil
	for _, f := range r.Feeds {
		k := *f.Feed
		k.Composition = end(f.Feed)
		f.Feed = &k
		out.Feeds = append(out.Feeds, f)
	}
	return out
}
