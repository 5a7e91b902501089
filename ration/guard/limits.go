package guard

import (
	"fmt"
	"math"

	"hardfeed/ration/yard"
)

// over and under say whether a value lies beyond a mark; at the mark it does not.
func over(v, mark float64) bool  { return v > mark+tiny }
func under(v, mark float64) bool { return v < mark-tiny }

// noStop is the stop mark of a rule that has a warn mark alone: nothing passes it.
var noStop = math.MaxFloat64

// notKnown divides in place of a total that is not known: a share of it is then 0
// and passes no mark.
var notKnown = math.MaxFloat64

// most compares v with two upper marks, the warn mark and the stop mark, and has
// say put in words the one it passes.
func most(v, warn, stop float64, say func(word string, mark float64) string) (yard.Severity, string) {
	return beyond(over, v, warn, stop, say)
}

// least compares v with two lower marks.
func least(v, warn, stop float64, say func(word string, mark float64) string) (yard.Severity, string) {
	return beyond(under, v, warn, stop, say)
}

func beyond(is func(v, mark float64) bool, v, warn, stop float64, say func(word string, mark float64) string) (yard.Severity, string) {
	switch {
	case is(v, stop):
		return yard.Stop, say("stop", stop)
	case is(v, warn):
		return yard.Warn, say("warn", warn)
	}
	return 0, ""
}

// apart are a value and the mark it passes in words: to two digits, to more where
// the two would read the same.
func apart(v, mark float64) (value, passed string) { return apartFrom(2, v, mark) }

// apartFrom is apart to at least some digits.
func apartFrom(least int, v, mark float64) (value, passed string) {
	for digits := least; digits <= 6 && value == passed; digits++ {
		value, passed = fmt.Sprintf("%.*f", digits, v), fmt.Sprintf("%.*f", digits, mark)
	}
	return value, passed
}

func mealSize(r Ration, l yard.Limits) (yard.Severity, string) {
	big := r.largest(func(m Meal) float64 { return m.HardKg })
	return most(big.HardKg, l.MealWarnKg*r.capKg()/100, l.MealStopKg*r.capKg()/100, func(word string, mark float64) string {
		v, shown := apart(big.HardKg, mark)
		return fmt.Sprintf("%s holds %s kg of hard feed; the %s mark for a horse of %.0f kg is %s kg a meal", big.Name, v, word, r.capKg(), shown)
	})
}

// largest is the first of the meals with the most of something.
func (r Ration) largest(of func(Meal) float64) (big Meal) {
	for _, m := range r.Meals {
		if of(m) > of(big) {
			big = m
		}
	}
	return big
}

func mealStarch(r Ration, l yard.Limits) (yard.Severity, string) {
	big := r.largest(starchOf)
	v := big.StarchG / r.capKg()
	return most(v, l.StarchMealWarnG, l.StarchMealStopG, func(word string, mark float64) string {
		return fmt.Sprintf("%s brings %s%.2f g of starch per kg body weight; the %s mark is %.1f g a meal", big.Name, r.atLeast(), v, word, mark)
	})
}

func starchOf(m Meal) float64 { return m.StarchG }

func dayStarch(r Ration, l yard.Limits) (yard.Severity, string) {
	v := r.StarchDayG() / r.capKg()
	return most(v, l.StarchDayWarnG, noStop, func(word string, mark float64) string {
		return fmt.Sprintf("the bucket brings %s%.2f g of starch per kg body weight a day; the %s mark is %.1f g", r.atLeast(), v, word, mark)
	})
}

func dayHardFeed(r Ration, l yard.Limits) (yard.Severity, string) {
	pct := float64(r.HardDM) / r.capKg() * 100
	sev, msg := most(pct, l.HardFeedWarnPct, l.HardFeedStopPct, func(word string, mark float64) string {
		v, shown := apart(pct, mark)
		return fmt.Sprintf("hard feed is %s %% of body weight a day as dry matter; the %s mark is %s %%", v, word, shown)
	})
	if sev == yard.Stop {
		return sev, msg
	}
	if share := float64(r.HardDM) / r.TotalDM.Or(notKnown) * 100; over(share, l.HardFeedShareStopPct) {
		return yard.Stop, fmt.Sprintf("hard feed is %.0f %% of the ration's dry matter; the stop mark is %.0f %%", share, l.HardFeedShareStopPct)
	}
	if sev == yard.Warn {
		return sev, msg
	}
	return most(r.OatsKg, l.OatsWarnKgPer500*r.capKg()/500, noStop, func(word string, mark float64) string {
		return fmt.Sprintf("%.2f kg of oats a day; the %s mark for a horse of %.0f kg is %.2f kg", r.OatsKg, word, r.capKg(), mark)
	})
}

func dayHardFeedOld(r Ration, l yard.Limits) (yard.Severity, string) {
	return most(r.HardKg, l.HardFeedOldWarnKg*r.capKg()/100, noStop, func(word string, mark float64) string {
		v, shown := apart(r.HardKg, mark)
		return fmt.Sprintf("%s kg of hard feed a day; an older %s mark for a horse of %.0f kg is %s kg", v, word, r.capKg(), shown)
	})
}

func forageFloor(r Ration, l yard.Limits) (yard.Severity, string) {
	dm, ok := r.ForageDM.Get()
	if !ok {
		return yard.Warn, "the dry matter of the forage is not known, so the forage floor could not be compared; give DM % on the feeds sheet"
	}
	pct := dm / r.BodyKg * 100
	warn, stop, whose := l.ForageWarnPct, l.ForageStopPct, ""
	for _, n := range r.Diagnoses {
		if n.Kind == yard.Overweight {
			warn, stop, whose = l.SlimForageWarnPct, l.SlimForageStopPct, ", slimming as your vet set it"
		}
	}
	return least(pct, warn, stop, func(word string, mark float64) string {
		v, shown := apart(pct, mark)
		return fmt.Sprintf("forage is %s %% of body weight a day as dry matter; the %s mark is under %s %%%s", v, word, shown, whose)
	})
}

func oil(r Ration, l yard.Limits) (yard.Severity, string) {
	return most(r.OilMl, l.OilWarnMlPerKg*r.capKg(), noStop, func(word string, mark float64) string {
		return fmt.Sprintf("%.0f ml of oil a day; the %s mark for a horse of %.0f kg is %.0f ml, in at least two meals", r.OilMl, word, r.capKg(), mark)
	})
}

func fat(r Ration, l yard.Limits) (yard.Severity, string) {
	perKg, atLeast := r.perKgDM(func(c yard.Composition) yard.Num { return c.Fat })
	return most(perKg/10, l.FatWarnPct, l.FatStopPct, func(word string, mark float64) string {
		return fmt.Sprintf("fat is %s%.1f %% of the ration's dry matter; the %s mark is %.0f %%", atLeast, perKg/10, word, mark)
	})
}

func oilVitaminE(r Ration, l yard.Limits) (yard.Severity, string) {
	iu, missing := r.total(func(c yard.Composition) yard.Num { return c.VitE })
	forOil := l.VitEPerMlOil * r.OilMl
	switch asked := r.VitENeeds + forOil; {
	case !over(r.OilMl, 0) || !under(iu, asked):
		return 0, ""
	case missing != nil:
		return yard.Note, fmt.Sprintf("%.0f ml of oil asks for %.0f IU of vitamin E beside the need of %.0f; what the feeds bring is not known of %s", r.OilMl, forOil, r.VitENeeds, list(missing))
	default:
		return yard.Warn, fmt.Sprintf("%.0f IU of vitamin E a day with %.0f ml of oil; %.0f IU are asked for, an IU a ml beside the need of %.0f", iu, r.OilMl, asked, r.VitENeeds)
	}
}

func salt(r Ration, l yard.Limits) (yard.Severity, string) {
	warn, stop := l.SaltWarnG*r.capKg()/100, l.SaltStopG*r.capKg()/100
	switch {
	case over(r.SaltG, stop):
		return yard.Stop, fmt.Sprintf("%.0f g of salt a day; the stop mark for a horse of %.0f kg is %.0f g, and never without free water", r.SaltG, r.capKg(), stop)
	case over(r.SaltG, warn) && !r.Sweats:
		return yard.Warn, fmt.Sprintf("%.0f g of salt a day in light work or none; the warn mark for a horse of %.0f kg is %.0f g", r.SaltG, r.capKg(), warn)
	}
	return 0, ""
}

func calciumToPhosphorus(r Ration, l yard.Limits) (yard.Severity, string) {
	ca, ok1 := r.CaG.Get()
	p, ok2 := r.PG.Get()
	if !ok1 || !ok2 || !over(p, 0) {
		return 0, ""
	}
	ratio := ca / p
	if over(ratio, l.CaPWarnHigh) {
		return yard.Warn, fmt.Sprintf("calcium to phosphorus is %.2f to 1 in the whole ration; the warn mark is over %.0f", ratio, l.CaPWarnHigh)
	}
	return least(ratio, l.CaPWarnLow, l.CaPStopLow, func(word string, mark float64) string {
		return fmt.Sprintf("calcium to phosphorus is %.2f to 1 in the whole ration; the %s mark is under %.1f", ratio, word, mark)
	})
}
