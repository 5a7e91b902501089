package guard

import (
	"fmt"

	"hardfeed/ration/yard"
)

func ulcerStarch(r Ration, l yard.Limits) (yard.Severity, string) {
	if !Has(r.Diagnoses, yard.Ulcers) {
		return 0, ""
	}
	big := r.starchiest()
	if v := big.StarchG / r.capKg(); v > l.UlcerStarchMealG+tiny {
		return yard.Stop, fmt.Sprintf("%s brings %s%.2f g of starch per kg body weight; with ulcers named by the vet the stop mark is %.1f g a meal", big.Name, r.atLeast(), v, l.UlcerStarchMealG)
	}
	if v := r.StarchDayG() / r.capKg(); v > l.UlcerStarchDayG+tiny {
		return yard.Stop, fmt.Sprintf("the bucket brings %s%.2f g of starch per kg body weight a day; with ulcers named by the vet the stop mark is %.1f g", r.atLeast(), v, l.UlcerStarchDayG)
	}
	return 0, ""
}

func onlyStraw(r Ration, _ yard.Limits) (yard.Severity, string) {
	if !Has(r.Diagnoses, yard.Ulcers) {
		return 0, ""
	}
	straw, other := "", false
	for _, f := range r.Feeds {
		if f.Kg <= 0 || f.Feed.Feed.Class != yard.Forage {
			continue
		}
		if f.Feed.Straw {
			straw = f.Feed.Feed.Name
		} else {
			other = true
		}
	}
	if straw == "" || other {
		return 0, ""
	}
	return yard.Stop, fmt.Sprintf("%s is the only forage; with ulcers named by the vet straw alone is a stop", straw)
}

// forbiddenForInsulin says why no amount of a feed may be given to a horse whose
// vet has named laminitis, EMS or a high insulin; "" where it may.
func forbiddenForInsulin(f Fed, l yard.Limits) string {
	x := f.Feed
	switch {
	case x.Cereal:
		return "a cereal"
	case x.Feed.Class == yard.Succulent:
		return "fruit or roots"
	}
	if pct, ok := asFedPct(f); ok && f.bucket() && pct > l.InsulinBucketPct+tiny {
		return fmt.Sprintf("%.0f %% starch and sugar", pct)
	}
	return ""
}

// asFedPct is starch and sugar in per cent of the feed as it is fed, as labels
// have it; the known part where only one is known.
func asFedPct(f Fed) (pct float64, ok bool) {
	per, ok1 := knownStarchAndSugar(f.Feed.Composition).Get()
	dm, ok2 := f.Feed.Composition.DM.Get()
	return per * dm / 10, ok1 && ok2
}

func noCereal(r Ration, l yard.Limits) (yard.Severity, string) {
	if !SugarMarks(r.Diagnoses) {
		return 0, ""
	}
	var out []string
	for _, f := range r.Feeds {
		if f.Kg > 0 && (f.Feed.Cereal || f.Feed.Feed.Class == yard.Succulent) {
			out = append(out, f.Feed.Feed.Name)
		}
	}
	if len(out) == 0 {
		return 0, ""
	}
	return yard.Stop, fmt.Sprintf("%s: no cereals, fruit or roots, as your vet set it", list(out))
}

func bucketSugar(r Ration, l yard.Limits) (yard.Severity, string) {
	if !SugarMarks(r.Diagnoses) {
		return 0, ""
	}
	var unknown []string
	for _, f := range r.Feeds {
		if f.Kg <= 0 || !f.bucket() || f.Feed.Cereal || f.Feed.Feed.Class == yard.Succulent {
			continue
		}
		pct, ok := asFedPct(f)
		if ok && pct > l.InsulinBucketPct+tiny {
			return yard.Stop, fmt.Sprintf("%s has at least %.0f %% starch and sugar; the stop mark is %.0f %%, as your vet set it", f.Feed.Feed.Name, pct, l.InsulinBucketPct)
		}
		if !starchAndSugar(f.Feed.Composition).IsKnown() || !ok {
			unknown = append(unknown, f.Feed.Feed.Name)
		}
	}
	if len(unknown) > 0 {
		return yard.Warn, fmt.Sprintf("the starch and sugar of %s are not both known, so the mark of %.0f %% could not be compared, as your vet set it", list(unknown), l.InsulinBucketPct)
	}
	return 0, ""
}

func mealSugar(r Ration, l yard.Limits) (yard.Severity, string) {
	if !SugarMarks(r.Diagnoses) {
		return 0, ""
	}
	bucket := r
	bucket.Feeds = nil
	for _, f := range r.Feeds {
		if f.bucket() {
			bucket.Feeds = append(bucket.Feeds, f)
		}
	}
	meal, g := bucket.mostAtOnce(knownStarchAndSugar)
	if per := g / r.capKg(); per > l.InsulinMealG+tiny {
		return yard.Stop, fmt.Sprintf("the bucket at %s brings at least %.2f g of starch and sugar per kg body weight; the stop mark is %.2f g, as your vet set it", meal, per, l.InsulinMealG)
	}
	return 0, ""
}

func haySugar(r Ration, l yard.Limits) (yard.Severity, string) {
	if !SugarMarks(r.Diagnoses) {
		return 0, ""
	}
	var unknown []string
	for _, f := range r.Feeds {
		if f.Kg <= 0 || f.Feed.Feed.Class != yard.Forage {
			continue
		}
		if per, ok := knownStarchAndSugar(f.Feed.Composition).Get(); ok && per/10 > l.InsulinHayPct+tiny {
			return yard.Warn, fmt.Sprintf("%s has at least %.0f %% starch and sugar in its dry matter; the warn mark is %.0f %%, as your vet set it", f.Feed.Feed.Name, per/10, l.InsulinHayPct)
		}
		if !starchAndSugar(f.Feed.Composition).IsKnown() {
			unknown = append(unknown, f.Feed.Feed.Name)
		}
	}
	if len(unknown) > 0 {
		return yard.Warn, fmt.Sprintf("the starch and sugar of %s are not both known, so the warn mark of %.0f %% could not be compared, as your vet set it", list(unknown), l.InsulinHayPct)
	}
	return 0, ""
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

func tyingUpSugar(r Ration, l yard.Limits) (yard.Severity, string) {
	if !Has(r.Diagnoses, yard.TyingUp) {
		return 0, ""
	}
	mark, kind := TyingUpMark(r.Diagnoses, l)
	de, missing := r.total(func(c yard.Composition) yard.Num { return c.DE })
	if len(missing) > 0 || de <= 0 {
		return yard.Warn, fmt.Sprintf("the energy of %s is not known, so the share from starch and sugar (warn mark %.0f %%, %s) could not be compared, as your vet set it", list(missing), mark, kind)
	}
	g, _ := r.total(knownStarchAndSugar)
	pct := g / 1000 * McalPerKgStarch / de * 100
	if pct <= mark+tiny {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("at least %.0f %% of the energy comes from starch and sugar, hay included; the warn mark for %s is %.0f %%, as your vet set it", pct, kind, mark)
}

// Forbidden says of each of a ration's feeds why no amount of it may be given
// to this horse; "" where it may.
func Forbidden(r Ration, l yard.Limits) []string {
	out := make([]string, len(r.Feeds))
	for i, f := range r.Feeds {
		switch {
		case forCattle(f):
			out[i] = "a feed for cattle or poultry"
		case SugarMarks(r.Diagnoses):
			out[i] = forbiddenForInsulin(f, l)
		}
	}
	return out
}
