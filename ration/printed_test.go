package ration

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// asDishedOut is what a groom dishes out on a day of the week who has nothing but
// the card: the amounts of that kind of day, the latest that hold by then. It is
// kilograms by feed and meal; what is there all day is left out. Where hard feed is
// not cut on days off the card has one column for both, the work day's.
func asDishedOut(hp yard.HorsePlan, d int) map[[2]string]float64 {
	kind := hp.Days[d].Kind
	if kind == yard.RestDay && hp.RestAsWork {
		kind = yard.WorkDay
	}
	out := map[[2]string]float64{}
	for _, s := range hp.Servings { // in the order of the stages
		if s.Day == kind && int(s.From) <= d && !s.AdLib {
			out[[2]string{s.Feed, s.Meal}] = float64(s.Kg)
		}
	}
	return out
}

// What a card prints adds up, keeps the stop limits on every day of the week, and
// is a base from which next week is inside the step again.
func TestWhatIsPrintedAddsUpAndKeepsTheLimits(t *testing.T) {
	t.Parallel()
	cards, nexts, said := 0, 0, 0
	rapid.Check(t, func(t *rapid.T) {
		_, w := anyProposal(t)
		for k := range rapid.IntRange(0, 3).Draw(t, "weeks") {
			w.Horses[0].Later = append(w.Horses[0].Later, weekOf(k+1, workWeek(60, float64(rapid.IntRange(0, 60).Draw(t, "trot")), float64(rapid.IntRange(0, 40).Draw(t, "canter")))))
		}
		if rapid.IntRange(0, 3).Draw(t, "planned") == 0 {
			for i := range w.Lines {
				w.Lines[i].Planned = kilos(w.Lines[i].Now.Kg.Or(0) * rapid.Float64Range(0, 1.6).Draw(t, "plan"))
			}
		}
		p := Plan(w, DefaultRules())
		hp := p.Horses[0]
		if hp.Status == yard.NoCard {
			return
		}
		cards++
		for _, c := range hp.Changes {
			on := func(day yard.Weekday) (kg float64) { // on a day of work
				meals := map[string]float64{}
				for _, s := range hp.Servings {
					if s.Feed == c.Feed && s.Day == yard.WorkDay && s.From <= day && !s.AdLib {
						meals[s.Meal] = float64(s.Kg)
					}
				}
				for _, m := range meals {
					kg += m
				}
				return kg
			}
			to := c.ToKg.Or(0)
			if on(6) != 0 && math.Abs(on(6)-to) < 1e-3 && (math.Abs(on(c.From)-to) > 1e-3 || c.From > 0 && math.Abs(on(c.From-1)-to) < 1e-3) {
				t.Fatalf("%s is said to be %g kg from day %d on, and is %g kg the day before and %g kg on it", c.Feed, to, c.From, on(c.From-1), on(c.From))
			}
			said++
		}
		feed := map[string]yard.FeedNeed{}
		for _, f := range p.Feeds {
			feed[f.Feed.Name] = f
		}
		for _, s := range hp.Servings {
			if n, ok := s.Measures.Get(); ok && math.Abs(n*feed[s.Feed].MeasureKg.Or(math.NaN())-float64(s.Kg)) > 1e-4 {
				t.Fatalf("%v measures of %v kg are not %v kg of %s", n, feed[s.Feed].MeasureKg, s.Kg, s.Feed)
			}
		}
		body, l := hp.WeightKg.Or(math.NaN()), DefaultRules().Limits
		week := map[string]float64{}
		highest := 0.0
		for d := range 7 {
			meals, starch, hardKg := map[string]float64{}, map[string]float64{}, 0.0
			for k, kg := range asDishedOut(hp, d) {
				f := feed[k[0]]
				week[k[0]] += kg
				if f.Feed.Class != yard.Forage {
					starch[k[1]] += kg * f.Composition.DM.Or(0) * f.Composition.Starch.Or(0)
				}
				if f.Feed.Class == yard.HardFeed {
					meals[k[1]] += kg
					hardKg += kg
				}
			}
			if math.Abs(hardKg-hp.Days[d].HardFeedKg.Or(math.NaN())) > 1e-3 {
				t.Fatalf("day %d, %s: %.3f kg of hard feed is printed, the day has %v; servings %+v", d+1, hp.Days[d].Kind, hardKg, hp.Days[d].HardFeedKg, hp.Servings)
			}
			if hp.Days[d].Kind == yard.WorkDay {
				highest = max(highest, hardKg)
			}
			for m := range meals {
				if meals[m] > l.MealStopKg*body/100+1e-3 || starch[m] > l.StarchMealStopG*body+1 {
					t.Fatalf("day %d, %s: %.2f kg of hard feed, %.0f g of starch at %.0f kg", d+1, m, meals[m], starch[m], body)
				}
			}
		}
		for name, f := range feed {
			if !f.Estimated && math.Abs(week[name]-f.KgWeek) > 2e-3 {
				t.Fatalf("the days' %s adds up to %.3f kg, the order list has %.3f", name, week[name], f.KgWeek)
			}
		}
		now, known := hp.HardFeed.Now.Get()
		marks := guard.MarksFor(body, l)
		if known && highest > now+marks.WeekStopKg+1e-3 {
			t.Fatalf("%.3f kg on the highest day, %.3f now", highest, now)
		}
		if !known {
			return
		}
		// Next week: what the last of the card's work days say is fed now.
		next := w
		next.Lines = slices.Clone(w.Lines)
		next.Horses = slices.Clone(w.Horses)
		next.Beginning, next.Horses[0].Later = w.Beginning.AddDate(0, 0, 7), nil
		for i := range next.Lines {
			next.Lines[i].Planned = nothing
		}
		for _, c := range hp.Changes {
			i := slices.IndexFunc(next.Lines, func(l yard.Line) bool { return l.Feed == c.Feed })
			if i < 0 {
				i, next.Lines = len(next.Lines), append(next.Lines, line("Any", c.Feed, nothing, nothing))
			}
			next.Lines[i].Now = kilos(c.ToKg.Or(0))
		}
		after := Plan(next, DefaultRules()).Horses[0]
		if after.Status == yard.NoCard {
			return
		}
		if v := after.Step.Verdict; v != yard.StepWithin || after.HardFeed.Card.Or(math.NaN()) > hp.HardFeed.Card.Or(math.NaN())+marks.WeekWarnKg+1e-3 {
			t.Fatalf("the next week is %s: %v kg after %v kg", v, after.HardFeed.Card, hp.HardFeed.Card)
		}
		nexts++
	})
	t.Logf("%d cards, %d of them followed by another week", cards, nexts)
	if cards == 0 || nexts == 0 || said == 0 {
		t.Error("nothing was compared")
	}
}
