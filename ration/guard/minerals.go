package guard

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"hardfeed/ration/yard"
)

func selenium(r Ration, l yard.Limits) (yard.Severity, string) {
	perKg, atLeast := r.perKgDM(func(c yard.Composition) yard.Num { return c.Se })
	if over(perKg, l.SeVetMg) {
		return yard.Stop, fmt.Sprintf("selenium is %s%.2f mg per kg of dry matter, over %.1f, the most that is tolerated for long: ring the vet now", atLeast, perKg, l.SeVetMg)
	}
	return most(perKg, l.SeWarnMg, l.SeStopMg, func(word string, mark float64) string {
		return fmt.Sprintf("selenium is %s%.2f mg per kg of dry matter; the %s mark is %.1f", atLeast, perKg, word, mark)
	})
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

func iodine(r Ration, l yard.Limits) (yard.Severity, string) {
	perKg, atLeast := r.perKgDM(func(c yard.Composition) yard.Num { return c.I })
	return most(perKg, l.IodineWarnMg, l.IodineStopMg, func(word string, mark float64) string {
		return fmt.Sprintf("iodine is %s%.2f mg per kg of dry matter; the %s mark is %.1f", atLeast, perKg, word, mark)
	})
}

func vitaminA(r Ration, l yard.Limits) (yard.Severity, string) {
	perKg, atLeast := r.perKgDM(func(c yard.Composition) yard.Num { return c.VitA })
	return most(perKg, l.VitAStopIU, l.VitAStopIU, func(word string, mark float64) string {
		return fmt.Sprintf("vitamin A is %s%.0f IU per kg of dry matter; the %s mark is %.0f", atLeast, perKg, word, mark)
	})
}

func vitaminD(r Ration, l yard.Limits) (yard.Severity, string) {
	iu, missing := r.total(func(c yard.Composition) yard.Num { return c.VitD })
	atLeast := ""
	if missing != nil {
		atLeast = "at least "
	}
	perKg := iu / r.capKg()
	return most(perKg, l.VitDStopIU, l.VitDStopIU, func(word string, mark float64) string {
		return fmt.Sprintf("vitamin D is %s%.1f IU per kg of body weight a day; the %s mark is %.0f", atLeast, perKg, word, mark)
	})
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

func potassium(r Ration, l yard.Limits) (yard.Severity, string) {
	if !Has(r.Diagnoses, yard.HYPP) {
		return 0, ""
	}
	if !r.TotalDM.IsKnown() {
		return yard.Warn, "the dry matter of the ration is not known, so its potassium could not be compared, as your vet set it"
	}
	of := func(c yard.Composition) yard.Num { return c.K }
	_, missing := r.total(of)
	perKg, atLeast := r.perKgDM(of)
	sev, msg := most(perKg/10, l.KWarnPct, l.KStopPct, func(word string, mark float64) string {
		return fmt.Sprintf("potassium is %s%.2f %% of the ration's dry matter; the %s mark is %.1f %%, as your vet set it", atLeast, perKg/10, word, mark)
	})
	meal, g := r.mostAtOnce(of)
	switch {
	case sev == yard.Stop:
		return sev, msg
	case over(g, l.KMealStopG):
		return yard.Stop, fmt.Sprintf("%s brings at least %.0f g of potassium; the stop mark is %.0f g a meal, as your vet set it", meal, g, l.KMealStopG)
	case missing != nil:
		return yard.Warn, fmt.Sprintf("the potassium of %s is not known, so the mark of %.1f %% could not be compared, as your vet set it", list(missing), l.KStopPct)
	}
	return sev, msg
}

// mostAtOnce is the meal that brings the most of something; what is there all
// day counts in no meal.
func (r Ration) mostAtOnce(of func(yard.Composition) yard.Num) (meal string, most float64) {
	for m := range r.Meals {
		sum := 0.0
		for f := range r.fed() {
			if f.PerMeal != nil {
				sum += known(f.amount(of)) * f.PerMeal[m] / f.Kg
			}
		}
		if sum > most {
			meal, most = r.Meals[m].Name, sum
		}
	}
	return meal, most
}

func maizeShare(r Ration, l yard.Limits) (yard.Severity, string) {
	maize := 0.0
	for f := range r.fed() {
		if f.Feed.Maize {
			dm, _ := f.Feed.DryMatter(yard.KgFed(f.Kg))
			maize += float64(dm)
		}
	}
	pct := maize / r.TotalDM.Or(notKnown) * 100
	return most(pct, l.MaizeSharePct, noStop, func(_ string, mark float64) string {
		return fmt.Sprintf("maize is %.0f %% of the ration's dry matter; the mark is %.0f %%", pct, mark)
	})
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
