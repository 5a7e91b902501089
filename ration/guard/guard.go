// Package guard compares a ration with the limits and says what was compared.
//
// [Rules] is the whole list, one row a rule, so that a reader who is no
// programmer can check it against the reference table of limits. Rows D-01 to
// D-03 (the step) are worked in step.go.
//
// # Sources
//
// The ids are those of the project's reference table of limits, which gives the
// published work behind each row. No trial was found that sets a weekly step:
// the marks are the slower half of published husbandry guidance, and the
// message says so by naming the row.
package guard

import (
	"fmt"

	"hardfeed/ration/yard"
)

// Ration is what the rules look at: one ordinary work day of one horse.
type Ration struct {
	BodyKg float64
	Meals  []Meal
	// Day totals. DM figures are lower bounds where a feed's dry matter is unknown.
	HardKg   float64
	HardDM   yard.KgDM
	ForageDM yard.Num // unknown where a forage's dry matter is
	TotalDM  yard.Num
	OatsKg   float64
	OilMl    float64
	SaltG    float64
	Sweats   bool     // the week's work is moderate or harder
	CaG, PG  yard.Num // the whole ration's, a day; unknown where any part is
	// StarchUnknown names feeds whose starch is not known; the starch compared
	// is then what is known, "at least".
	StarchUnknown []string
}

// Meal is one meal's hard feed and what is known of its starch, all bucket
// feeds added.
type Meal struct {
	Name    string
	HardKg  float64
	StarchG float64
}

// StarchDayG is the known starch of the day, g.
func (r Ration) StarchDayG() float64 {
	sum := 0.0
	for _, m := range r.Meals {
		sum += m.StarchG
	}
	return sum
}

// Rule is one row: what is compared and whose figure it is.
type Rule struct {
	ID     string
	What   string
	Source string
	check  func(Ration, yard.Limits) (yard.Severity, string)
}

// tiny keeps a sum of exact quarter scoops from passing a mark by the last bit
// of a float; absolute, in the unit compared.
const tiny = 1e-9

// Rules is every rule on the ration of a day, in the order they are listed.
func Rules() []Rule {
	return []Rule{
		{"D-10", "hard feed in one meal", "MS-01 to MS-05 (Michigan State and Oklahoma State Universities; Andrews 2006; Ifce 2018)", mealSize},
		{"D-11", "starch in one meal", "MS-10, MS-17 (Luthersson 2009; Vervuert 2009); stop MS-16 (quoted from NRC 2007)", mealStarch},
		{"D-12", "starch in a day", "MS-11 (Luthersson 2009)", dayStarch},
		{"D-13", "hard feed in a day", "MS-07 to MS-09 (Lewis 1995; Tinker 1997; Hudson 2001)", dayHardFeed},
		{"D-21", "oil in a day", "OI-01 (Warren 2011, a rule of thumb)", oil},
		{"D-22", "salt in a day", "SA-01, SA-03 (NRC 2007; Zeyner 2017)", salt},
		{"D-26", "calcium to phosphorus", "MI-16, MI-17 (Ralston 2000 and others; the upper bound rests on memory)", calciumToPhosphorus},
		{"D-17", "forage in a day", "FO-01 to FO-04, FO-10 (after Harris 2017; Animals 2023, 13:1414)", forageFloor},
	}
}

// Check runs every rule over one horse's ration.
func Check(horse string, r Ration, l yard.Limits) []yard.Finding {
	var found []yard.Finding
	for _, rule := range Rules() {
		if sev, msg := rule.check(r, l); sev != 0 {
			found = append(found, yard.Finding{Rule: rule.ID, Severity: sev, Horse: horse, Message: msg, Source: rule.Source})
		}
	}
	if len(r.StarchUnknown) > 0 {
		found = append(found, yard.Finding{Rule: "starch-unknown", Severity: yard.Warn, Horse: horse,
			Message: fmt.Sprintf("the starch of %s is not known: the starch marks were compared with the rest only; give Starch %% on the feeds sheet", list(r.StarchUnknown)),
			Source:  "D-11, D-12"})
	}
	return found
}

// Stops says whether any finding stops the ration.
func Stops(found []yard.Finding) bool {
	for _, f := range found {
		if f.Severity == yard.Stop {
			return true
		}
	}
	return false
}

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
	sev, mark, word := verdict(big.HardKg, l.MealWarnKg*r.BodyKg/100, l.MealStopKg*r.BodyKg/100)
	return sev, fmt.Sprintf("%s holds %.2f kg of hard feed; the %s mark for a horse of %.0f kg is %.2f kg a meal", big.Name, big.HardKg, word, r.BodyKg, mark)
}

func mealStarch(r Ration, l yard.Limits) (yard.Severity, string) {
	big := Meal{}
	for _, m := range r.Meals {
		if m.StarchG > big.StarchG {
			big = m
		}
	}
	v := big.StarchG / r.BodyKg
	sev, mark, word := verdict(v, l.StarchMealWarnG, l.StarchMealStopG)
	return sev, fmt.Sprintf("%s brings %s%.2f g of starch per kg body weight; the %s mark is %.1f g a meal", big.Name, r.atLeast(), v, word, mark)
}

func dayStarch(r Ration, l yard.Limits) (yard.Severity, string) {
	v := r.StarchDayG() / r.BodyKg
	if v <= l.StarchDayWarnG+tiny {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("the bucket brings %s%.2f g of starch per kg body weight a day; the warn mark is %.1f g", r.atLeast(), v, l.StarchDayWarnG)
}

func dayHardFeed(r Ration, l yard.Limits) (yard.Severity, string) {
	pct := float64(r.HardDM) / r.BodyKg * 100
	sev, mark, word := verdict(pct, l.HardFeedWarnPct, l.HardFeedStopPct)
	msg := fmt.Sprintf("hard feed is %.2f %% of body weight a day as dry matter; the %s mark is %.2f %%", pct, word, mark)
	if total, ok := r.TotalDM.Get(); ok && total > 0 && sev != yard.Stop {
		if share := float64(r.HardDM) / total * 100; share > l.HardFeedShareStopPct+tiny {
			return yard.Stop, fmt.Sprintf("hard feed is %.0f %% of the ration's dry matter; the stop mark is %.0f %%", share, l.HardFeedShareStopPct)
		}
	}
	if oats := l.OatsWarnKgPer500 * r.BodyKg / 500; sev == 0 && r.OatsKg > oats+tiny {
		return yard.Warn, fmt.Sprintf("%.2f kg of oats a day; the warn mark for a horse of %.0f kg is %.2f kg", r.OatsKg, r.BodyKg, oats)
	}
	return sev, msg
}

func forageFloor(r Ration, l yard.Limits) (yard.Severity, string) {
	dm, ok := r.ForageDM.Get()
	if !ok {
		return yard.Warn, "the dry matter of the forage is not known, so the forage floor could not be compared; give DM % on the feeds sheet"
	}
	pct := dm / r.BodyKg * 100
	switch {
	case pct < l.ForageStopPct-tiny:
		return yard.Stop, fmt.Sprintf("forage is %.2f %% of body weight a day as dry matter; the stop mark is under %.2f %%", pct, l.ForageStopPct)
	case pct < l.ForageWarnPct-tiny:
		return yard.Warn, fmt.Sprintf("forage is %.2f %% of body weight a day as dry matter; the warn mark is under %.2f %%", pct, l.ForageWarnPct)
	}
	return 0, ""
}

func oil(r Ration, l yard.Limits) (yard.Severity, string) {
	if mark := l.OilWarnMlPerKg * r.BodyKg; r.OilMl > mark+tiny {
		return yard.Warn, fmt.Sprintf("%.0f ml of oil a day; the warn mark for a horse of %.0f kg is %.0f ml, in at least two meals", r.OilMl, r.BodyKg, mark)
	}
	return 0, ""
}

func salt(r Ration, l yard.Limits) (yard.Severity, string) {
	warn, stop := l.SaltWarnG*r.BodyKg/100, l.SaltStopG*r.BodyKg/100
	switch {
	case r.SaltG > stop+tiny:
		return yard.Stop, fmt.Sprintf("%.0f g of salt a day; the stop mark for a horse of %.0f kg is %.0f g, and never without free water", r.SaltG, r.BodyKg, stop)
	case r.SaltG > warn+tiny && !r.Sweats:
		return yard.Warn, fmt.Sprintf("%.0f g of salt a day without work to sweat at; the warn mark for a horse of %.0f kg is %.0f g", r.SaltG, r.BodyKg, warn)
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

func (r Ration) atLeast() string {
	if len(r.StarchUnknown) > 0 {
		return "at least "
	}
	return ""
}

func list(names []string) string {
	switch n := len(names); n {
	case 1:
		return names[0]
	default:
		s := names[0]
		for _, m := range names[1 : n-1] {
			s += ", " + m
		}
		return s + " and " + names[n-1]
	}
}
