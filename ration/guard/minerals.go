package guard

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"hardfeed/ration/yard"
)

func saySelenium(c Compared, _ Ration, l yard.Limits) string {
	if over(c.Value, l.SeVetMg) {
		return fmt.Sprintf("selenium is %s%.2f mg per kg of dry matter, over %.1f, the most that is tolerated for long: ring the vet now", c.atLeast(), c.Value, l.SeVetMg)
	}
	return fmt.Sprintf("selenium is %s%.2f mg per kg of dry matter; the %s mark is %.1f", c.atLeast(), c.Value, c.word(), c.Mark)
}

// addedSeleniumMg is what a feed holds where selenium was added to it: an order
// of magnitude over what grows (ours).
const addedSeleniumMg = 1.0

func twoSeleniums(r Ration, _ yard.Limits) (yard.Severity, string) {
	var with []string
	for f := range r.fed() {
		if f.Feed.Feed.Class != yard.Forage && (!under(known(f.Feed.Composition.Se), addedSeleniumMg) || wordsOf(f.Feed.Feed).has("selenium")) {
			with = append(with, f.Feed.Feed.Name)
		}
	}
	if len(with) < 2 {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("%s have selenium added; one source is the mark", list(with))
}

func sayIodine(c Compared, _ Ration, _ yard.Limits) string {
	return fmt.Sprintf("iodine is %s%.2f mg per kg of dry matter; the %s mark is %.1f", c.atLeast(), c.Value, c.word(), c.Mark)
}

func sayVitaminA(c Compared, _ Ration, _ yard.Limits) string {
	return fmt.Sprintf("vitamin A is %s%.0f IU per kg of dry matter; the %s mark is %.0f", c.atLeast(), c.Value, c.word(), c.Mark)
}

func sayVitaminD(c Compared, _ Ration, _ yard.Limits) string {
	return fmt.Sprintf("vitamin D is %s%.1f IU per kg of body weight a day; the %s mark is %.0f", c.atLeast(), c.Value, c.word(), c.Mark)
}

func ironSupplement(r Ration, _ yard.Limits) (yard.Severity, string) {
	var iron []string
	for f := range r.fed() {
		if f.Feed.Feed.Class == yard.Supplement && wordsOf(f.Feed.Feed).has("iron", "ferrous", "haematinic") {
			iron = append(iron, f.Feed.Feed.Name)
		}
	}
	if iron == nil {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("%s is fed for its iron; no iron supplement is the mark", list(iron))
}

func sayPotassium(c Compared, _ Ration, _ yard.Limits) string {
	return fmt.Sprintf("potassium is %s%.2f %% of the ration's dry matter; the %s mark is %.1f %%, as your vet set it", c.atLeast(), c.Value, c.word(), c.Mark)
}

func potassiumUnknown(c Compared, _ Ration, l yard.Limits) string {
	if c.Unknown {
		return "the dry matter of the ration is not known, so its potassium could not be compared, as your vet set it"
	}
	return fmt.Sprintf("the potassium of %s is not known, so the mark of %.1f %% could not be compared, as your vet set it", list(c.Missing), l.KStopPct)
}

func sayPotassiumMeal(c Compared, _ Ration, _ yard.Limits) string {
	return fmt.Sprintf("%s brings at least %.0f g of potassium; the stop mark is %.0f g a meal, as your vet set it", c.Meal, c.Value, c.Mark)
}

func sayMaize(c Compared, _ Ration, _ yard.Limits) string {
	return fmt.Sprintf("maize is %.0f %% of the ration's dry matter; the mark is %.0f %%", c.Value, c.Mark)
}

// feedWords are the words of a feed's name, description and label.
type feedWords []string

func wordsOf(f yard.Feed) feedWords {
	return strings.FieldsFunc(strings.ToLower(f.Name+" "+f.Generic+" "+f.Notes), func(r rune) bool { return !unicode.IsLetter(r) })
}

func (w feedWords) has(words ...string) bool {
	return slices.ContainsFunc(words, func(x string) bool { return slices.Contains(w, x) })
}

// ionophoreWords are the ionophores by their chemical names, and the animals
// whose feeds hold them.
var ionophoreWords = []string{"monensin", "lasalocid", "salinomycin", "narasin", "maduramicin", "laidlomycin", "semduramicin",
	"cattle", "cow", "cows", "beef", "calf", "calves", "bullock", "dairy", "poultry", "chicken", "chickens", "hen", "hens", "layers", "broiler", "broilers", "turkey", "turkeys"}

// forCattle says whether a feed is one for cattle or poultry, by its words.
func forCattle(f yard.Feed) bool { return wordsOf(f).has(ionophoreWords...) }

func ionophores(r Ration, _ yard.Limits) (yard.Severity, string) {
	for f := range r.fed() {
		if forCattle(f.Feed.Feed) {
			return yard.Stop, fmt.Sprintf("%s is by its name or label a feed for cattle or poultry, or holds an ionophore; none is the mark", f.Feed.Feed.Name)
		}
	}
	return 0, ""
}
