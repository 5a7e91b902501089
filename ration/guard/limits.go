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

// upperMark compares v with two upper marks, the warn mark and the stop mark, and
// has say put in words the one it passes.
func upperMark(v, warn, stop float64, say func(word string, mark float64) string) (yard.Severity, string) {
	return compareMarks(over, v, warn, stop, say)
}

// lowerMark compares v with two lower marks.
func lowerMark(v, warn, stop float64, say func(word string, mark float64) string) (yard.Severity, string) {
	return compareMarks(under, v, warn, stop, say)
}

func compareMarks(is func(v, mark float64) bool, v, warn, stop float64, say func(word string, mark float64) string) (yard.Severity, string) {
	switch {
	case is(v, stop):
		return yard.Stop, say("stop", stop)
	case is(v, warn):
		return yard.Warn, say("warn", warn)
	}
	return 0, ""
}

// formatDistinct are a value and the mark it passes in words: to two digits, to
// more where the two would read the same.
func formatDistinct(v, mark float64) (value, passed string) { return formatDistinctFrom(2, v, mark) }

// formatDistinctFrom is formatDistinct to at least some digits.
func formatDistinctFrom(least int, v, mark float64) (value, passed string) {
	for digits := least; digits <= 6 && value == passed; digits++ {
		value, passed = fmt.Sprintf("%.*f", digits, v), fmt.Sprintf("%.*f", digits, mark)
	}
	return value, passed
}

func sayMeal(c Compared, r Ration, _ yard.Limits) string {
	v, shown := formatDistinct(c.Value, c.Mark)
	return fmt.Sprintf("%s holds %s kg of hard feed; the %s mark for a horse of %.0f kg is %s kg a meal", c.Meal, v, c.word(), r.ceilingKg(), shown)
}

func sayMealStarch(c Compared, _ Ration, _ yard.Limits) string {
	return fmt.Sprintf("%s brings %s%.2f g of starch per kg body weight; the %s mark is %.1f g a meal", c.Meal, c.atLeast(), c.Value, c.word(), c.Mark)
}

func sayDayStarch(c Compared, _ Ration, _ yard.Limits) string {
	return fmt.Sprintf("the bucket brings %s%.2f g of starch per kg body weight a day; the %s mark is %.1f g", c.atLeast(), c.Value, c.word(), c.Mark)
}

func sayHardFeed(c Compared, _ Ration, _ yard.Limits) string {
	v, shown := formatDistinct(c.Value, c.Mark)
	return fmt.Sprintf("hard feed is %s %% of body weight a day as dry matter; the %s mark is %s %%", v, c.word(), shown)
}

func sayHardFeedShare(c Compared, _ Ration, _ yard.Limits) string {
	return fmt.Sprintf("hard feed is %.0f %% of the ration's dry matter; the stop mark is %.0f %%", c.Value, c.Mark)
}

func sayOats(c Compared, r Ration, _ yard.Limits) string {
	return fmt.Sprintf("%.2f kg of oats a day; the %s mark for a horse of %.0f kg is %.2f kg", c.Value, c.word(), r.ceilingKg(), c.Mark)
}

func sayHardFeedOld(c Compared, r Ration, _ yard.Limits) string {
	v, shown := formatDistinct(c.Value, c.Mark)
	return fmt.Sprintf("%s kg of hard feed a day; an older %s mark for a horse of %.0f kg is %s kg", v, c.word(), r.ceilingKg(), shown)
}

func sayForage(c Compared, r Ration, l yard.Limits) string {
	whose := ""
	if _, _, slimming := ForageFloor(r.Diagnoses, l); slimming {
		whose = ", slimming as your vet set it"
	}
	v, shown := formatDistinct(c.Value, c.Mark)
	return fmt.Sprintf("forage is %s %% of body weight a day as dry matter; the %s mark is under %s %%%s", v, c.word(), shown, whose)
}

func forageUnknown(Compared, Ration, yard.Limits) string {
	return "the dry matter of the forage is not known, so the forage floor could not be compared; give DM % on the feeds sheet"
}

func sayOil(c Compared, r Ration, _ yard.Limits) string {
	return fmt.Sprintf("%.0f ml of oil a day; the %s mark for a horse of %.0f kg is %.0f ml, in at least two meals", c.Value, c.word(), r.ceilingKg(), c.Mark)
}

func sayFat(c Compared, _ Ration, _ yard.Limits) string {
	return fmt.Sprintf("fat is %s%.1f %% of the ration's dry matter; the %s mark is %.0f %%", c.atLeast(), c.Value, c.word(), c.Mark)
}

var oilInADay = limitCalled("oil")

func oilVitaminE(r Ration, l yard.Limits) (yard.Severity, string) {
	iu, missing := r.total(func(c yard.Composition) yard.Num { return c.VitE })
	ml := oilInADay.Compare(r, l).Value
	forOil := l.VitEPerMlOil * ml
	switch asked := r.VitENeeds + forOil; {
	case !over(ml, 0) || !under(iu, asked):
		return 0, ""
	case missing != nil:
		return yard.Note, fmt.Sprintf("%.0f ml of oil asks for %.0f IU of vitamin E beside the need of %.0f; what the feeds bring is not known of %s", ml, forOil, r.VitENeeds, list(missing))
	default:
		return yard.Warn, fmt.Sprintf("%.0f IU of vitamin E a day with %.0f ml of oil; %.0f IU are asked for, an IU a ml beside the need of %.0f", iu, ml, asked, r.VitENeeds)
	}
}

func saySalt(c Compared, r Ration, _ yard.Limits) string {
	if c.Severity == yard.Stop {
		return fmt.Sprintf("%.0f g of salt a day; the stop mark for a horse of %.0f kg is %.0f g, and never without free water", c.Value, r.ceilingKg(), c.Mark)
	}
	return fmt.Sprintf("%.0f g of salt a day in light work or none; the warn mark for a horse of %.0f kg is %.0f g", c.Value, r.ceilingKg(), c.Mark)
}

func sayCalciumHigh(c Compared, _ Ration, _ yard.Limits) string {
	return fmt.Sprintf("calcium to phosphorus is %.2f to 1 in the whole ration; the warn mark is over %.0f", c.Value, c.Mark)
}

func sayCalciumLow(c Compared, _ Ration, _ yard.Limits) string {
	return fmt.Sprintf("calcium to phosphorus is %.2f to 1 in the whole ration; the %s mark is under %.1f", c.Value, c.word(), c.Mark)
}
