package guard

import (
	"fmt"
	"strings"

	"hardfeed/ration/yard"
)

func selenium(r Ration, l yard.Limits) (yard.Severity, string) {
	per, atLeast, ok := r.perKgDM(func(c yard.Composition) yard.Num { return c.Se })
	if !ok {
		return 0, ""
	}
	if per > l.SeVetMg+tiny {
		return yard.Stop, fmt.Sprintf("selenium is %s%.2f mg per kg of dry matter, over %.1f, the most that is tolerated for long: ring the vet now", atLeast, per, l.SeVetMg)
	}
	sev, mark, word := verdict(per, l.SeWarnMg, l.SeStopMg)
	if sev == 0 {
		return 0, ""
	}
	return sev, fmt.Sprintf("selenium is %s%.2f mg per kg of dry matter; the %s mark is %.1f", atLeast, per, word, mark)
}

// addedSeleniumMg is what a feed holds where selenium was added to it: an order
// of magnitude over what grows (ours).
const addedSeleniumMg = 1.0

func twoSeleniums(r Ration, _ yard.Limits) (yard.Severity, string) {
	var with []string
	for _, f := range r.Feeds {
		if c := f.Feed.Feed.Class; c == yard.Forage || f.Kg <= 0 {
			continue
		}
		if f.Feed.Composition.Se.Or(0) >= addedSeleniumMg || wordsOf(f).has("selenium") {
			with = append(with, f.Feed.Feed.Name)
		}
	}
	if len(with) < 2 {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("%s both have selenium added; one source is the mark", list(with))
}

func iodine(r Ration, l yard.Limits) (yard.Severity, string) {
	per, atLeast, ok := r.perKgDM(func(c yard.Composition) yard.Num { return c.I })
	if !ok {
		return 0, ""
	}
	sev, mark, word := verdict(per, l.IodineWarnMg, l.IodineStopMg)
	if sev == 0 {
		return 0, ""
	}
	return sev, fmt.Sprintf("iodine is %s%.2f mg per kg of dry matter; the %s mark is %.1f", atLeast, per, word, mark)
}

func vitaminA(r Ration, l yard.Limits) (yard.Severity, string) {
	per, atLeast, ok := r.perKgDM(func(c yard.Composition) yard.Num { return c.VitA })
	if !ok || per <= l.VitAStopIU+tiny {
		return 0, ""
	}
	return yard.Stop, fmt.Sprintf("vitamin A is %s%.0f IU per kg of dry matter; the stop mark is %.0f", atLeast, per, l.VitAStopIU)
}

func vitaminD(r Ration, l yard.Limits) (yard.Severity, string) {
	iu, missing := r.total(func(c yard.Composition) yard.Num { return c.VitD })
	per := iu / r.capKg()
	if per <= l.VitDStopIU+tiny {
		return 0, ""
	}
	atLeast := ""
	if len(missing) > 0 {
		atLeast = "at least "
	}
	return yard.Stop, fmt.Sprintf("vitamin D is %s%.1f IU per kg of body weight a day; the stop mark is %.0f", atLeast, per, l.VitDStopIU)
}

func ironSupplement(r Ration, _ yard.Limits) (yard.Severity, string) {
	var iron []string
	for _, f := range r.Feeds {
		if f.Kg > 0 && f.Feed.Feed.Class == yard.Supplement && wordsOf(f).has("iron", "ferrous", "haematinic") {
			iron = append(iron, f.Feed.Feed.Name)
		}
	}
	if len(iron) == 0 {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("%s is fed for its iron; no iron supplement is the mark", list(iron))
}

func potassium(r Ration, l yard.Limits) (yard.Severity, string) {
	if !Has(r.Diagnoses, yard.HYPP) {
		return 0, ""
	}
	of := func(c yard.Composition) yard.Num { return c.K }
	per, atLeast, ok := r.perKgDM(of)
	if !ok {
		return yard.Warn, "the dry matter of the ration is not known, so its potassium could not be compared, as your vet set it"
	}
	sev, mark, word := verdict(per/10, l.KWarnPct, l.KStopPct)
	meal, g := r.mostAtOnce(of)
	switch {
	case sev == yard.Stop:
		return sev, fmt.Sprintf("potassium is %s%.2f %% of the ration's dry matter; the %s mark is %.1f %%, as your vet set it", atLeast, per/10, word, mark)
	case g > l.KMealStopG+tiny:
		return yard.Stop, fmt.Sprintf("%s brings at least %.0f g of potassium; the stop mark is %.0f g a meal, as your vet set it", meal, g, l.KMealStopG)
	case atLeast != "":
		_, missing := r.total(of)
		return yard.Warn, fmt.Sprintf("the potassium of %s is not known, so the mark of %.1f %% could not be compared, as your vet set it", list(missing), l.KStopPct)
	case sev != 0:
		return sev, fmt.Sprintf("potassium is %.2f %% of the ration's dry matter; the %s mark is %.1f %%, as your vet set it", per/10, word, mark)
	}
	return 0, ""
}

// mostAtOnce is the meal that brings the most of something; what is there all
// day counts in no meal.
func (r Ration) mostAtOnce(of func(yard.Composition) yard.Num) (meal string, most float64) {
	for m := range r.Meals {
		sum := 0.0
		for _, f := range r.Feeds {
			if f.Kg > 0 && m < len(f.PerMeal) {
				sum += f.amount(of).Or(0) * f.PerMeal[m] / f.Kg
			}
		}
		if sum > most {
			meal, most = r.Meals[m].Name, sum
		}
	}
	return meal, most
}

func maizeShare(r Ration, l yard.Limits) (yard.Severity, string) {
	total, ok := r.TotalDM.Get()
	if !ok || total <= 0 {
		return 0, ""
	}
	maize := 0.0
	for _, f := range r.Feeds {
		if f.Feed.Maize {
			dm, _ := f.Feed.DryMatter(yard.KgFed(f.Kg))
			maize += float64(dm)
		}
	}
	pct := maize / total * 100
	if pct <= l.MaizeSharePct+tiny {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("maize is %.0f %% of the ration's dry matter; the mark is %.0f %%", pct, l.MaizeSharePct)
}

// feedWords are the words of a feed's name, description and label.
type feedWords string

func wordsOf(f Fed) feedWords {
	x := f.Feed.Feed
	return feedWords(" " + strings.Join(strings.FieldsFunc(strings.ToLower(x.Name+" "+x.Generic+" "+x.Notes), func(r rune) bool {
		return !(r >= 'a' && r <= 'z')
	}), " ") + " ")
}

func (w feedWords) has(words ...string) bool {
	for _, x := range words {
		if strings.Contains(string(w), " "+x+" ") {
			return true
		}
	}
	return false
}

// ionophoreWords are the ionophores by their chemical names, and the animals
// whose feeds hold them.
var ionophoreWords = []string{"monensin", "lasalocid", "salinomycin", "narasin", "maduramicin", "laidlomycin", "semduramicin",
	"cattle", "cow", "cows", "beef", "calf", "calves", "bullock", "dairy", "poultry", "chicken", "chickens", "hen", "hens", "layers", "broiler", "broilers", "turkey", "turkeys"}

// forCattle says whether a feed is one for cattle or poultry, by its words.
func forCattle(f Fed) bool { return wordsOf(f).has(ionophoreWords...) }

func ionophores(r Ration, _ yard.Limits) (yard.Severity, string) {
	for _, f := range r.Feeds {
		if f.Kg > 0 && forCattle(f) {
			return yard.Stop, fmt.Sprintf("%s is by its name or label a feed for cattle or poultry, or holds an ionophore; none is the mark", f.Feed.Feed.Name)
		}
	}
	return 0, ""
}
