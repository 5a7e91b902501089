package guard

import (
	"hardfeed/ration/yard"
)

func sayUlcersMeal(c Compared, r Ration, _ yard.Limits) yard.Saying {
	return yard.Say("finding.D-14", c.meal(), c.value(yard.GPerKgBW, 2), namedBy(r.Diagnoses, "ulcers"), c.mark(yard.GPerKgBW, 1))
}

func sayUlcersDay(c Compared, r Ration, _ yard.Limits) yard.Saying {
	return yard.Say("finding.D-14.day", c.value(yard.GPerKgBW, 2), namedBy(r.Diagnoses, "ulcers"), c.mark(yard.GPerKgBW, 1))
}

func onlyStraw(r Ration, _ yard.Limits) (yard.Severity, yard.Saying) {
	if !Has(r.Diagnoses, yard.Ulcers) {
		return 0, yard.Saying{}
	}
	var straw []string
	for _, f := range r.forages() {
		if !f.Feed.Straw {
			return 0, yard.Saying{}
		}
		straw = append(straw, f.Feed.Feed.Name)
	}
	if straw == nil {
		return 0, yard.Saying{}
	}
	return yard.Stop, yard.Say("finding.D-14.straw", feedNames("feeds", straw), namedBy(r.Diagnoses, "ulcers"))
}

// forages are the forages of which any is given.
func (r Ration) forages() (out []*Fed) {
	for f := range r.fed() {
		if f.Feed.Feed.Class == yard.Forage {
			out = append(out, f)
		}
	}
	return out
}

// forbiddenForInsulin says whether no amount of a feed may be given to a horse whose
// vet has named laminitis, EMS or a high insulin.
func forbiddenForInsulin(f *Fed, l yard.Limits) bool {
	return cerealOrSucculent(f) || inBucket(f.Feed.Feed.Class) && over(asFedPct(f.Feed.Composition), l.InsulinBucketPct)
}

// cerealOrSucculent are forbidden by what they are, whatever is known of them.
func cerealOrSucculent(f *Fed) bool {
	return f.Feed.Cereal || f.Feed.Feed.Class == yard.Succulent
}

// asFedPct is starch and sugar in per cent of the feed as it is fed, as labels
// have it; the known part where not all is known.
func asFedPct(c yard.Composition) float64 { return dryPct(c) * known(c.DM) }

// dryPct is the same in per cent of dry matter, as analyses of hay have it.
func dryPct(c yard.Composition) float64 { return known(knownStarchAndSugar(c)) / 10 }

// saySugarOf says that a feed has too much starch and sugar, in the words of key. Where
// it was not measured it says between which ends feeds of its kind lie: a middle figure
// is no least.
func saySugarOf(f *Fed, key string, pct func(yard.Composition) float64, mark float64, r Ration) yard.Saying {
	args := []yard.Arg{yard.FeedArg("feed", f.Feed.Feed.Name), yard.Fixed("mark", mark, yard.Percent, 0), asSet(r.Diagnoses)}
	low, high := pct(f.Feed.LowEnd()), pct(f.Feed.HighEnd())
	if high-low < 1 { // one figure in whole per cents
		return yard.Say(key, append(args, yard.Fixed("value", pct(f.Feed.Composition), yard.Percent, 0))...)
	}
	return yard.Say(key+".between", append(args, yard.Fixed("low", low, yard.Percent, 0), yard.Fixed("high", high, yard.Percent, 0))...)
}

func noCereal(r Ration, l yard.Limits) (yard.Severity, yard.Saying) {
	if !SugarMarks(r.Diagnoses) {
		return 0, yard.Saying{}
	}
	var out []string
	for f := range r.fed() {
		if cerealOrSucculent(f) {
			out = append(out, f.Feed.Feed.Name)
		}
	}
	if out == nil {
		return 0, yard.Saying{}
	}
	return yard.Stop, yard.Say("finding.D-15", feedNames("feeds", out), asSet(r.Diagnoses))
}

func bucketSugar(r Ration, l yard.Limits) (yard.Severity, yard.Saying) {
	if !SugarMarks(r.Diagnoses) {
		return 0, yard.Saying{}
	}
	var unknown []string
	for f := range r.fed() {
		if !inBucket(f.Feed.Feed.Class) || cerealOrSucculent(f) {
			continue
		}
		if over(asFedPct(f.Feed.Composition), l.InsulinBucketPct) {
			sev := yard.Stop
			if insulinAsked(r) {
				sev = yard.Warn
			}
			return sev, saySugarOf(f, "finding.D-15.bucket", asFedPct, l.InsulinBucketPct, r)
		}
		if !f.amount(starchAndSugar).IsKnown() {
			unknown = append(unknown, f.Feed.Feed.Name)
		}
	}
	return sugarUnknown(unknown, l.InsulinBucketPct, r.Diagnoses)
}

// sugarUnknown says of which feeds a mark on starch and sugar was not compared.
func sugarUnknown(feeds []string, mark float64, named []yard.NamedDiagnosis) (yard.Severity, yard.Saying) {
	if feeds == nil {
		return 0, yard.Saying{}
	}
	return yard.Warn, yard.Say("finding.D-15.unknown", feedNames("feeds", feeds), yard.Fixed("mark", mark, yard.Percent, 0), asSet(named))
}

func sayInsulinMeal(c Compared, r Ration, _ yard.Limits) yard.Saying {
	key := "finding.D-15.meal"
	if c.AtMost {
		key += ".at most"
	}
	return yard.Say(key, c.meal(), c.value(yard.GPerKgBW, 2), c.word(), c.mark(yard.GPerKgBW, 2), asSet(r.Diagnoses))
}

func haySugar(r Ration, l yard.Limits) (yard.Severity, yard.Saying) {
	if !SugarMarks(r.Diagnoses) {
		return 0, yard.Saying{}
	}
	var unknown []string
	for _, f := range r.forages() {
		if over(dryPct(f.Feed.Composition), l.InsulinHayPct) {
			return yard.Warn, saySugarOf(f, "finding.D-15.hay", dryPct, l.InsulinHayPct, r)
		}
		if !starchAndSugar(f.Feed.Composition).IsKnown() {
			unknown = append(unknown, f.Feed.Feed.Name)
		}
	}
	return sugarUnknown(unknown, l.InsulinHayPct, r.Diagnoses)
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

func sayTyingUp(c Compared, r Ration, l yard.Limits) yard.Saying {
	_, kind := TyingUpMark(r.Diagnoses, l)
	return yard.Say("finding.D-16", c.value(yard.Percent, 0), c.word(), yard.Named("kind", yard.Term, kind), c.mark(yard.Percent, 0), asSet(r.Diagnoses))
}

// bucketStarchPct is how much of a ration's energy the starch and sugar of its bucket
// may bring before a passed mark is more than a note, % (ours: half the lower mark).
const bucketStarchPct = 5

// mostlyForage says whether the bucket has little to do with a passed mark: hay of a
// tenth sugar comes to a fifth of its energy, so no ration on hay keeps to a mark of ten
// per cent (feeds.csv).
func mostlyForage(c Compared, r Ration) bool {
	bucket, all := 0.0, 0.0
	for f := range r.fed() {
		g := known(starchAndSugarG(f.Feed)) * f.Kg
		all += g
		if f.Feed.Feed.Class != yard.Forage {
			bucket += g
		}
	}
	return !over(c.Value*bucket/max(all, tiny), bucketStarchPct)
}

func tyingUpUnknown(c Compared, r Ration, l yard.Limits) yard.Saying {
	mark, kind := TyingUpMark(r.Diagnoses, l)
	return yard.Say("finding.D-16.unknown", feedNames("feeds", c.Lacking), yard.Fixed("mark", mark, yard.Percent, 0), yard.Named("kind", yard.Term, kind), asSet(r.Diagnoses))
}

// Forbidden says of each of a ration's feeds whether no amount of it may be given to this
// horse.
func Forbidden(r Ration, l yard.Limits) []bool {
	out := make([]bool, len(r.Feeds))
	for i, f := range r.Feeds {
		out[i] = forCattle(f.Feed.Feed) ||
			SugarMarks(r.Diagnoses) && !(insulinAsked(r) && !cerealOrSucculent(&r.Feeds[i])) && forbiddenForInsulin(&r.Feeds[i], l)
	}
	return out
}
