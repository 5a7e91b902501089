package guard

import (
	"fmt"

	"hardfeed/ration/yard"
)

// verdict picks the mark that v passes.
func verdict(v, warn, stop float64) (sev yard.Severity, mark float64, word string) {
	switch {
	case v > stop+tiny:
		return yard.Stop, stop, "stop"
	case v > warn+tiny:
		return yard.Warn, warn, "warn"
	}
	return 0, 0, ""
}

func mealSize(r Ration, l yard.Limits) (yard.Severity, string) {
	big := Meal{}
	for _, m := range r.Meals {
		if m.HardKg > big.HardKg {
			big = m
		}
	}
	sev, mark, word := verdict(big.HardKg, l.MealWarnKg*r.capKg()/100, l.MealStopKg*r.capKg()/100)
	if sev == 0 {
		return 0, ""
	}
	return sev, fmt.Sprintf("%s holds %.2f kg of hard feed; the %s mark for a horse of %.0f kg is %.2f kg a meal", big.Name, big.HardKg, word, r.capKg(), mark)
}

// starchiest is the meal with the most known starch.
func (r Ration) starchiest() Meal {
	big := Meal{}
	for _, m := range r.Meals {
		if m.StarchG > big.StarchG {
			big = m
		}
	}
	return big
}

func mealStarch(r Ration, l yard.Limits) (yard.Severity, string) {
	big := r.starchiest()
	v := big.StarchG / r.capKg()
	sev, mark, word := verdict(v, l.StarchMealWarnG, l.StarchMealStopG)
	if sev == 0 {
		return 0, ""
	}
	return sev, fmt.Sprintf("%s brings %s%.2f g of starch per kg body weight; the %s mark is %.1f g a meal", big.Name, r.atLeast(), v, word, mark)
}

func dayStarch(r Ration, l yard.Limits) (yard.Severity, string) {
	v := r.StarchDayG() / r.capKg()
	if v <= l.StarchDayWarnG+tiny {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("the bucket brings %s%.2f g of starch per kg body weight a day; the warn mark is %.1f g", r.atLeast(), v, l.StarchDayWarnG)
}

func dayHardFeed(r Ration, l yard.Limits) (yard.Severity, string) {
	pct := float64(r.HardDM) / r.capKg() * 100
	sev, mark, word := verdict(pct, l.HardFeedWarnPct, l.HardFeedStopPct)
	if total, ok := r.TotalDM.Get(); ok && total > 0 && sev != yard.Stop {
		if share := float64(r.HardDM) / total * 100; share > l.HardFeedShareStopPct+tiny {
			return yard.Stop, fmt.Sprintf("hard feed is %.0f %% of the ration's dry matter; the stop mark is %.0f %%", share, l.HardFeedShareStopPct)
		}
	}
	if sev != 0 {
		return sev, fmt.Sprintf("hard feed is %.2f %% of body weight a day as dry matter; the %s mark is %.2f %%", pct, word, mark)
	}
	if oats := l.OatsWarnKgPer500 * r.capKg() / 500; r.OatsKg > oats+tiny {
		return yard.Warn, fmt.Sprintf("%.2f kg of oats a day; the warn mark for a horse of %.0f kg is %.2f kg", r.OatsKg, r.capKg(), oats)
	}
	return 0, ""
}

func dayHardFeedOld(r Ration, l yard.Limits) (yard.Severity, string) {
	mark := l.HardFeedOldWarnKg * r.capKg() / 100
	if r.HardKg <= mark+tiny {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("%.2f kg of hard feed a day; an older warn mark for a horse of %.0f kg is %.2f kg", r.HardKg, r.capKg(), mark)
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
	switch {
	case pct < stop-tiny:
		return yard.Stop, fmt.Sprintf("forage is %.2f %% of body weight a day as dry matter; the stop mark is under %.2f %%%s", pct, stop, whose)
	case pct < warn-tiny:
		return yard.Warn, fmt.Sprintf("forage is %.2f %% of body weight a day as dry matter; the warn mark is under %.2f %%%s", pct, warn, whose)
	}
	return 0, ""
}

func oil(r Ration, l yard.Limits) (yard.Severity, string) {
	mark := l.OilWarnMlPerKg * r.capKg()
	if r.OilMl <= mark+tiny {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("%.0f ml of oil a day; the warn mark for a horse of %.0f kg is %.0f ml, in at least two meals", r.OilMl, r.capKg(), mark)
}

func fat(r Ration, l yard.Limits) (yard.Severity, string) {
	per, atLeast, ok := r.perKgDM(func(c yard.Composition) yard.Num { return c.Fat })
	if !ok {
		return 0, ""
	}
	sev, mark, word := verdict(per/10, l.FatWarnPct, l.FatStopPct)
	if sev == 0 {
		return 0, ""
	}
	return sev, fmt.Sprintf("fat is %s%.1f %% of the ration's dry matter; the %s mark is %.0f %%", atLeast, per/10, word, mark)
}

func oilVitaminE(r Ration, l yard.Limits) (yard.Severity, string) {
	if r.OilMl <= 0 {
		return 0, ""
	}
	iu, missing := r.total(func(c yard.Composition) yard.Num { return c.VitE })
	asked := r.VitENeeds + l.VitEPerMlOil*r.OilMl
	switch {
	case len(missing) > 0 && iu < asked-tiny:
		return yard.Note, fmt.Sprintf("%.0f ml of oil asks for %.0f IU of vitamin E beside the need of %.0f; what the feeds bring is not known of %s", r.OilMl, l.VitEPerMlOil*r.OilMl, r.VitENeeds, list(missing))
	case iu < asked-tiny:
		return yard.Warn, fmt.Sprintf("%.0f IU of vitamin E a day with %.0f ml of oil; %.0f IU are asked for, an IU a ml beside the need of %.0f", iu, r.OilMl, asked, r.VitENeeds)
	}
	return 0, ""
}

func salt(r Ration, l yard.Limits) (yard.Severity, string) {
	warn, stop := l.SaltWarnG*r.capKg()/100, l.SaltStopG*r.capKg()/100
	switch {
	case r.SaltG > stop+tiny:
		return yard.Stop, fmt.Sprintf("%.0f g of salt a day; the stop mark for a horse of %.0f kg is %.0f g, and never without free water", r.SaltG, r.capKg(), stop)
	case r.SaltG > warn+tiny && !r.Sweats:
		return yard.Warn, fmt.Sprintf("%.0f g of salt a day without work to sweat at; the warn mark for a horse of %.0f kg is %.0f g", r.SaltG, r.capKg(), warn)
	}
	return 0, ""
}

func calciumToPhosphorus(r Ration, l yard.Limits) (yard.Severity, string) {
	ca, ok1 := r.CaG.Get()
	p, ok2 := r.PG.Get()
	if !ok1 || !ok2 || p <= 0 {
		return 0, ""
	}
	ratio := ca / p
	switch {
	case ratio < l.CaPStopLow-tiny:
		return yard.Stop, fmt.Sprintf("calcium to phosphorus is %.2f to 1 in the whole ration; the stop mark is under %.1f", ratio, l.CaPStopLow)
	case ratio < l.CaPWarnLow-tiny:
		return yard.Warn, fmt.Sprintf("calcium to phosphorus is %.2f to 1 in the whole ration; the warn mark is under %.1f", ratio, l.CaPWarnLow)
	case ratio > l.CaPWarnHigh+tiny:
		return yard.Warn, fmt.Sprintf("calcium to phosphorus is %.2f to 1 in the whole ration; the warn mark is over %.0f", ratio, l.CaPWarnHigh)
	}
	return 0, ""
}
