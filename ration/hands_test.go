package ration_test

import (
	"math"
	"slices"
	"testing"

	"hardfeed/ration"
	"hardfeed/ration/yard"
)

// amountRules are the rules on amounts, which a proposal chooses itself.
var amountRules = []string{"D-10", "D-11", "D-12", "D-13", "D-14", "D-15", "D-16", "D-17", "D-20", "D-21", "D-22", "D-23", "D-24", "D-25", "D-26", "D-27", "SH-03"}

// What hands are asked to do by the cards of random yards of three horses each, some
// fed once, some three times a day.
func TestHandsCanDoWhatTheCardsAsk(t *testing.T) {
	t.Parallel()
	yards := pick(80, 400)
	hard, tiny, weigh, odd := 0, 0, 0, 0
	horses, steps, many, hayJumps := 0, 0, 0, 0
	most, proposals, warned := 0, 0, 0
	ownRules := map[string]int{}
	for i := range yards {
		r := chance(5000 + i)
		w := yard.Week{}
		for k := range 3 {
			s := anyHorse(r)
			s.Horse.Name += string(rune('A' + k))
			for n := range s.Lines {
				s.Lines[n].Horse = s.Horse.Name
			}
			if k == 0 {
				w = s.Week
				w.Meals = oneOf(r, w.Meals, w.Meals, []yard.Meal{w.Meals[0], w.Meals[2]}, []yard.Meal{w.Meals[0], w.Meals[1], w.Meals[2]})
			} else {
				w.Horses, w.Lines = append(w.Horses, *s.Horse), append(w.Lines, s.Lines...)
			}
		}
		p := ration.Plan(w, ration.DefaultRules())
		for _, h := range w.Horses {
			c := readCard(p, h.Name)
			if c.Status == yard.NoCard {
				continue
			}
			horses++
			for _, s := range c.Servings {
				scoop, measured := c.feeds[s.Feed].MeasureKg.Get()
				if !hardFeed(s) || s.Kg == 0 || !measured || s.AdLib {
					continue
				}
				hard++
				// A balancer is dished out by its label, a quarter measure or less (design §5d: supplements aside).
				if float64(s.Kg) <= scoop/4+1e-6 && s.Feed != "Balancer" {
					tiny++
				}
				if s.Weigh {
					weigh++
					if g := float64(s.Kg) * 1000; math.Abs(g-50*math.Round(g/50)) > 0.06 {
						odd++
					}
				}
			}
			if !c.HardFeed.Planned.IsKnown() && !slices.ContainsFunc(w.Lines, func(l yard.Line) bool { return l.Horse == h.Name && l.Planned.Given }) {
				proposals++
				own := false
				if c.tells("fed-now") { // kept as it is fed: nothing was chosen
					continue
				}
				if c.Horse.Score.Or(5) <= 4 && c.most(hardFeed) <= c.HardFeed.Now.Or(0)+1e-6 { // a thin horse keeps its hard feed
					continue
				}
				for _, f := range c.Findings {
					if slices.Contains(amountRules, string(f.Rule)) && (f.Severity == yard.Warn || f.Severity == yard.Stop) {
						own = true
						ownRules[string(f.Rule)]++
					}
				}
				if own {
					warned++
				}
			}
			n := 0
			_, known := c.HardFeed.Now.Get()
			hay, hayKnown := c.now["Hay"], false
			for _, l := range w.Lines {
				hayKnown = hayKnown || l.Horse == h.Name && l.Feed == "Hay" && l.Now.Kg.IsKnown()
			}
			jumped := false
			fed := map[string]float64{}
			for _, f := range w.Feeds {
				fed[f.Name] = c.now[f.Name]
			}
			for d := range 7 {
				day := c.servings(d, yard.WorkDay)
				step := false
				for _, f := range w.Feeds {
					if got := total(day, feed(f.Name)); c.feeds[f.Name].Feed.Class == yard.HardFeed && math.Abs(got-fed[f.Name]) > 1e-3 {
						step, fed[f.Name] = true, got
					}
				}
				if known && step { // any hard feed, the sum of all may stay
					n++
				}
				always, grazed := false, 0.0
				for _, s := range day {
					always = always || s.Feed == "Hay" && s.AdLib
					if s.Grazed.IsKnown() { // about a fifth dry, hay nine tenths: as hay
						grazed += float64(s.Kg) * 0.2 / 0.9
					}
				}
				if got := total(day, feed("Hay")); hayKnown && !always {
					jumped = jumped || math.Abs(got-hay) > 0.25*(hay+grazed)+1e-6 // forage in all, design §5.7
					hay = got
				}
			}
			steps, most = steps+n, max(most, n)
			if n > 2 { // design §5d, her own plans too
				many++
			}
			if jumped {
				hayJumps++
			}
		}
	}
	share := func(n, of int) float64 { return float64(n) / float64(max(of, 1)) }
	t.Logf("%d yards, %d horses, %d servings of hard feed, %d of them to be weighed; at most %d steps in a week", yards, horses, hard, weigh, most)
	holds(t, "servings of hard feed at or under a quarter measure", share(tiny, hard), floors.tinyServings)
	holds(t, "servings to be weighed where there is a measure", share(weigh, hard), floors.weighed)
	holds(t, "weighed amounts that are no multiple of 50 g", share(odd, weigh), floors.not50g)
	holds(t, "steps of hard feed a horse and week", share(steps, horses), floors.steps)
	holds(t, "horses with over two steps a week", share(many, horses), floors.manySteps)
	holds(t, "horses whose hay changes by over a quarter in a day", share(hayJumps, horses), floors.hayJumps)
	t.Logf("%d proposals; warned of by rule: %s", proposals, tally(ownRules))
	holds(t, "proposals that are warned of", share(warned, proposals), floors.ownWarned)
	if hard == 0 || horses == 0 || proposals == 0 {
		t.Error("nothing was asked of hands")
	}
}
