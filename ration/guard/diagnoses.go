package guard

import (
	"fmt"

	"hardfeed/ration/yard"
)

func sayUlcersMeal(c Compared, _ Ration, _ yard.Limits) string {
	return fmt.Sprintf("%s brings %s%.2f g of starch per kg body weight; with ulcers named by the vet the stop mark is %.1f g a meal", c.Meal, c.atLeast(), c.Value, c.Mark)
}

func sayUlcersDay(c Compared, _ Ration, _ yard.Limits) string {
	return fmt.Sprintf("the bucket brings %s%.2f g of starch per kg body weight a day; with ulcers named by the vet the stop mark is %.1f g", c.atLeast(), c.Value, c.Mark)
}

func onlyStraw(r Ration, _ yard.Limits) (yard.Severity, string) {
	if !Has(r.Diagnoses, yard.Ulcers) {
		return 0, ""
	}
	var straw []string
	for _, f := range r.forages() {
		if !f.Feed.Straw {
			return 0, ""
		}
		straw = append(straw, f.Feed.Feed.Name)
	}
	if straw == nil {
		return 0, ""
	}
	return yard.Stop, fmt.Sprintf("%s is the only forage; with ulcers named by the vet straw alone is a stop", list(straw))
}

// forages are the forages of which any is given.
func (r Ration) forages() (out []Fed) {
	for f := range r.fed() {
		if f.Feed.Feed.Class == yard.Forage {
			out = append(out, f)
		}
	}
	return out
}

// forbiddenForInsulin says why no amount of a feed may be given to a horse whose
// vet has named laminitis, EMS or a high insulin; "" where it may.
func forbiddenForInsulin(f Fed, l yard.Limits) string {
	switch {
	case f.Feed.Cereal:
		return "a cereal"
	case f.Feed.Feed.Class == yard.Succulent:
		return "fruit or roots"
	}
	if pct := asFedPct(f); inBucket(f.Feed.Feed.Class) && over(pct, l.InsulinBucketPct) {
		return fmt.Sprintf("%.0f %% starch and sugar", pct)
	}
	return ""
}

// cerealOrSucculent are forbidden by what they are, whatever is known of them.
func cerealOrSucculent(f Fed) bool {
	return f.Feed.Cereal || f.Feed.Feed.Class == yard.Succulent
}

// asFedPct is starch and sugar in per cent of the feed as it is fed, as labels
// have it; the known part where not all is known.
func asFedPct(f Fed) float64 {
	return known(knownStarchAndSugar(f.Feed.Composition)) * known(f.Feed.Composition.DM) / 10
}

func noCereal(r Ration, l yard.Limits) (yard.Severity, string) {
	if !SugarMarks(r.Diagnoses) {
		return 0, ""
	}
	var out []string
	for f := range r.fed() {
		if cerealOrSucculent(f) {
			out = append(out, f.Feed.Feed.Name)
		}
	}
	if out == nil {
		return 0, ""
	}
	return yard.Stop, fmt.Sprintf("%s: no cereals, fruit or roots, as your vet set it", list(out))
}

func bucketSugar(r Ration, l yard.Limits) (yard.Severity, string) {
	if !SugarMarks(r.Diagnoses) {
		return 0, ""
	}
	var unknown []string
	for f := range r.fed() {
		if !inBucket(f.Feed.Feed.Class) || cerealOrSucculent(f) {
			continue
		}
		if pct := asFedPct(f); over(pct, l.InsulinBucketPct) {
			return yard.Stop, fmt.Sprintf("%s has at least %.0f %% starch and sugar; the stop mark is %.0f %%, as your vet set it", f.Feed.Feed.Name, pct, l.InsulinBucketPct)
		}
		if !f.amount(starchAndSugar).IsKnown() {
			unknown = append(unknown, f.Feed.Feed.Name)
		}
	}
	return sugarUnknown(unknown, l.InsulinBucketPct)
}

// sugarUnknown says of which feeds a mark on starch and sugar was not compared.
func sugarUnknown(feeds []string, mark float64) (yard.Severity, string) {
	if feeds == nil {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("the starch and sugar of %s are not both known, so the mark of %.0f %% could not be compared, as your vet set it", list(feeds), mark)
}

func sayInsulinMeal(c Compared, _ Ration, _ yard.Limits) string {
	return fmt.Sprintf("the bucket at %s brings at least %.2f g of starch and sugar per kg body weight; the %s mark is %.2f g, as your vet set it", c.Meal, c.Value, c.word(), c.Mark)
}

func haySugar(r Ration, l yard.Limits) (yard.Severity, string) {
	if !SugarMarks(r.Diagnoses) {
		return 0, ""
	}
	var unknown []string
	for _, f := range r.forages() {
		if pct := known(knownStarchAndSugar(f.Feed.Composition)) / 10; over(pct, l.InsulinHayPct) {
			return yard.Warn, fmt.Sprintf("%s has at least %.0f %% starch and sugar in its dry matter; the warn mark is %.0f %%, as your vet set it", f.Feed.Feed.Name, pct, l.InsulinHayPct)
		}
		if !starchAndSugar(f.Feed.Composition).IsKnown() {
			unknown = append(unknown, f.Feed.Feed.Name)
		}
	}
	return sugarUnknown(unknown, l.InsulinHayPct)
}

// McalPerKgStarch is the energy of digested starch or sugar (from memory, 17.5
// MJ a kg).
const McalPerKgStarch = 4.2

// TyingUpMark is the mark on starch and sugar of a horse that has tied up, % of
// its energy, and the kind of tying-up it is for.
func TyingUpMark(named []yard.NamedDiagnosis, l yard.Limits) (pct float64, kind string) {
	switch {
	case says(named, yard.TyingUp, "pssm"):
		return l.TyingUpPSSMPct, "PSSM"
	case says(named, yard.TyingUp, "rer"):
		return l.TyingUpRERPct, "RER"
	}
	return l.TyingUpPSSMPct, "tying-up"
}

func sayTyingUp(c Compared, r Ration, l yard.Limits) string {
	_, kind := TyingUpMark(r.Diagnoses, l)
	return fmt.Sprintf("at least %.0f %% of the energy comes from starch and sugar, hay included; the %s mark for %s is %.0f %%, as your vet set it", c.Value, c.word(), kind, c.Mark)
}

func tyingUpUnknown(c Compared, r Ration, l yard.Limits) string {
	mark, kind := TyingUpMark(r.Diagnoses, l)
	return fmt.Sprintf("the energy of %s is not known, so the share from starch and sugar (warn mark %.0f %%, %s) could not be compared, as your vet set it", list(c.Lacking), mark, kind)
}

// Forbidden says of each of a ration's feeds why no amount of it may be given
// to this horse; "" where it may.
func Forbidden(r Ration, l yard.Limits) []string {
	out := make([]string, len(r.Feeds))
	for i, f := range r.Feeds {
		switch {
		case forCattle(f.Feed.Feed):
			out[i] = "a feed for cattle or poultry"
		case SugarMarks(r.Diagnoses):
			out[i] = forbiddenForInsulin(f, l)
		}
	}
	return out
}
