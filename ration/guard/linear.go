package guard

import (
	"cmp"

	"hardfeed/ration/feeds"
	"hardfeed/ration/need"
	"hardfeed/ration/yard"
)

// Linear is a limit on a sum over feeds: so many kilos of each, times what a kilo
// counts. The rules compare a ration with it ([Linear.Compare]) and the chooser's
// model has the same row as an inequality, so a limit stands here once. To add one,
// add a row to [Limits] and its words.
type Linear struct {
	ID     yard.RuleID // of its rule
	Row    string      // of its rule, where several share the id
	Source string      // of its rule; "": a row before it has the rule
	vets   bool        // of its rule: what to do is the vet's to set
	Name   string      // what is limited, as it stands in a sentence: "salt"
	Over   Span
	Unit   yard.Unit // of value and mark, where nothing else says it

	// PerKg is what a kilo of a feed as fed counts; unknown: it counts nothing and
	// the sum is "at least".
	PerKg func(*feeds.Resolved) yard.Num
	// mean is the same of a feed as it mostly is, where PerKg is its high end; nil:
	// PerKg is.
	mean func(*feeds.Resolved) yard.Num
	// Of is what a kilo counts of the total the sum is a share of, such as dry
	// matter; nil: it is no share.
	Of func(*feeds.Resolved) yard.Num
	// By is what the sum is divided by, such as body weight; nil: one.
	By func(Ration) float64
	// Scale turns the quotient into the mark's unit, such as 100 for per cent; 0: one.
	Scale float64
	// Needs says whether enough is known of a feed for the comparison; nil: always.
	Needs func(*feeds.Resolved) bool
	// Whole: the sum is the whole ration's, and is not compared where nobody has
	// written down the forage.
	Whole bool

	Low        bool                                  // a floor: less than the mark passes it
	Warn, Stop func(r Ration, l yard.Limits) float64 // nil: no such mark
	Applies    func(Ration) bool                     // nil: to all

	// Called is what the warning limit is called where no ration keeps it; "": the warning
	// limit on its name.
	Called string
	// ToldOnly: the chooser does not keep the warning limit.
	ToldOnly bool

	// NoteWhere says where a passed warning limit is only worth knowing, since no change
	// of the hard feed would clear it; nil: nowhere.
	NoteWhere func(c Compared, r Ration) bool

	// say puts a passed mark in words; nil: the finding of the rule's id, and its row,
	// has value, mark and weight, and the meal of a limit on any.
	say func(c Compared, r Ration, l yard.Limits) yard.Saying
	// unknown says what could not be compared; nil: nothing is said.
	unknown func(c Compared, r Ration, l yard.Limits) yard.Saying
}

// Span is what a limit's sum runs over.
type Span int

const (
	_       Span = iota
	Day          // an ordinary work day
	AnyMeal      // each meal by itself; what is there all day counts in none
)

// Compared is what a ration comes to against a limit.
type Compared struct {
	Severity yard.Severity // 0: no mark is passed, or nothing was compared
	Value    float64
	Mark     float64  // the one passed
	Meal     string   // of a limit on any meal: the one with the most
	Missing  []string // feeds whose part is not known: the value is at least that
	AtMost   bool     // of some feed the high end of what it may hold is counted
	Unknown  bool     // too little is known to compare
	Lacking  []string // feeds of which too little is known
}

// Compare puts a ration against the limit.
func (n Linear) Compare(r Ration, l yard.Limits) (c Compared) {
	if n.Applies != nil && !n.Applies(r) {
		return Compared{}
	}
	c.Unknown = n.Whole && r.ForageUnknown
	sum, of := 0.0, 0.0
	var meals []float64
	if n.Over == AnyMeal {
		meals = make([]float64, len(r.Meals))
	}
	for f := range r.fed() {
		if n.Needs != nil && !n.Needs(f.Feed) {
			c.Unknown, c.Lacking = true, append(c.Lacking, f.Feed.Feed.Name)
			continue
		}
		per, ok := n.PerKg(f.Feed).Get()
		if !ok {
			c.Missing = append(c.Missing, f.Feed.Feed.Name)
		}
		c.AtMost = c.AtMost || n.mean != nil && per > known(n.mean(f.Feed))
		for m, kg := range f.PerMeal {
			if meals != nil {
				meals[m] += per * kg
			}
		}
		sum += per * n.kg(f)
		if n.Of != nil {
			of += known(n.Of(f.Feed)) * n.kg(f)
		}
	}
	if meals != nil {
		sum = 0
		for m, v := range meals {
			if v > sum {
				sum, c.Meal = v, r.Meals[m]
			}
		}
	}
	switch {
	case n.Of != nil && !over(of, 0):
		return c // a share of nothing passes no mark
	case n.Of != nil:
		sum /= of
	case n.By != nil:
		sum /= n.By(r)
	}
	c.Value = sum * n.scale()
	if c.Unknown {
		return c
	}
	for _, sev := range []yard.Severity{yard.Stop, yard.Warn} {
		if mark, ok := n.Mark(sev, r, l); ok && (n.Low && under(c.Value, mark) || !n.Low && over(c.Value, mark)) {
			c.Severity, c.Mark = sev, mark
			return c
		}
	}
	return c
}

func (n *Linear) scale() float64 { return cmp.Or(n.Scale, 1) }

// Factors are a mark multiplied out: a ration keeps it where what PerKg counts,
// less share times what Of counts, comes to bound and no further.
func (n Linear) Factors(mark float64, r Ration) (share, bound float64) {
	switch mark /= n.scale(); {
	case n.Of != nil:
		return mark, 0
	case n.By != nil:
		return 0, mark * n.By(r)
	}
	return 0, mark
}

// kg is how much of a feed counts: a floor on an amount must hold at the least that
// is eaten.
func (n *Linear) kg(f *Fed) float64 {
	if n.Low && n.Of == nil {
		return f.LeastKg.Or(f.Kg)
	}
	return f.Kg
}

// said puts a passed mark in words.
func (n Linear) said(c Compared, r Ration, l yard.Limits) yard.Saying {
	if n.say != nil {
		return n.say(c, r, l)
	}
	key := "finding." + string(n.ID)
	if n.Row != "" {
		key += "." + n.Row
	}
	v, mark := distinct(2, c.Value, c.Mark, n.Unit)
	args := []yard.Arg{v, c.word(), weightArg(r.ceilingKg()), mark}
	if n.Over == AnyMeal {
		args = append([]yard.Arg{c.meal()}, args...)
	}
	return yard.Say(key, args...)
}

// Mark is the warning or the stop limit for a horse; ok is false where it has none.
func (n Linear) Mark(sev yard.Severity, r Ration, l yard.Limits) (mark float64, ok bool) {
	of := n.Warn
	if sev == yard.Stop {
		of = n.Stop
	}
	if of == nil || n.Applies != nil && !n.Applies(r) {
		return mark, false
	}
	mark = of(r, l)
	return mark, mark != noMark
}

// Limits are the limits that are sums over feeds, the most important first: where
// no ration keeps them all, the chooser passes the later ones.
func Limits() []Linear { return linear }

var linear = append(limitRows(), tolerableRows()...)

// limitsOf are the rows of a rule.
func limitsOf(rule Rule) (out []Linear) {
	for _, n := range linear {
		if n.ID == rule.ID && n.Row == rule.Row {
			out = append(out, n)
		}
	}
	return out
}

// fixedMark is a mark that is the same for every horse.
func fixedMark(of func(yard.Limits) float64) func(Ration, yard.Limits) float64 {
	return func(_ Ration, l yard.Limits) float64 { return of(l) }
}

// perCeilingKg is a mark in proportion to the weight ceilings go by.
func perCeilingKg(of func(yard.Limits) float64) func(Ration, yard.Limits) float64 {
	return func(r Ration, l yard.Limits) float64 { return of(l) * r.ceilingKg() }
}

// inDM is a constituent per kg of dry matter as an amount in a kilo as fed.
func inDM(of func(yard.Composition) yard.Num) func(*feeds.Resolved) yard.Num {
	return func(k *feeds.Resolved) yard.Num { return k.Contains(1, of(k.Composition)) }
}

// times scales what a kilo counts.
func times(f float64, of func(*feeds.Resolved) yard.Num) func(*feeds.Resolved) yard.Num {
	return func(k *feeds.Resolved) yard.Num {
		v, ok := of(k).Get()
		if !ok {
			return yard.Num{}
		}
		return yard.Known(v * f)
	}
}

var nothing = yard.Known(0)

// ofClass counts feeds of one class only.
func ofClass(class yard.FeedClass, of func(*feeds.Resolved) yard.Num) func(*feeds.Resolved) yard.Num {
	return func(k *feeds.Resolved) yard.Num {
		if k.Feed.Class != class {
			return nothing
		}
		return of(k)
	}
}

func aKilo(*feeds.Resolved) yard.Num { return yard.Known(1) }

func dryMatter(k *feeds.Resolved) yard.Num { return k.Composition.DM }

// knowsDM says whether the dry matter of a feed is known, or counts for nothing beside
// that of the ration: a supplement of unknown content hides no mark on the rest.
func knowsDM(k *feeds.Resolved) bool {
	return k.Composition.DM.IsKnown() || k.Feed.Class == yard.Supplement
}

// hardDM is the dry matter of hard feed. Where that is not known it is the weight
// as fed, the most it can be.
var hardDM = ofClass(yard.HardFeed, func(k *feeds.Resolved) yard.Num { return yard.Known(k.Composition.DM.Or(1)) })

// bucketStarchG is the starch of all that is no forage, g in a kilo. Of what goes
// by the gram or the slice it counts as far as it is known.
func bucketStarchG(k *feeds.Resolved) yard.Num {
	starch := inDM(func(c yard.Composition) yard.Num { return c.Starch })(k)
	switch k.Feed.Class {
	case yard.Forage:
		return nothing
	case yard.HardFeed, yard.Chaff:
		return starch
	}
	return yard.Known(known(starch))
}

// mostBucketStarchG is the same at the most a feed may hold where its own figure is not known.
func mostBucketStarchG(k *feeds.Resolved) yard.Num {
	own := bucketStarchG(k)
	starch := func(c yard.Composition) yard.Num { return c.Starch }
	switch high := k.Between(1, starch).High; {
	case own.IsKnown():
		return own
	case high.IsKnown():
		return high
	}
	return k.AtMost(1, starch)
}

// starchAndSugarG is the known starch and sugar of a feed, g in a kilo.
func starchAndSugarG(k *feeds.Resolved) yard.Num {
	return yard.Known(known(inDM(knownStarchAndSugar)(k)))
}

// bucketSugarG is the same of what goes in the bucket.
func bucketSugarG(k *feeds.Resolved) yard.Num {
	if !inBucket(k.Feed.Class) {
		return nothing
	}
	return starchAndSugarG(k)
}

// mostBucketSugarG is the same at the high end of what each may hold: it harms a little
// over the limit, and a batch may be richer than the table.
func mostBucketSugarG(k *feeds.Resolved) yard.Num {
	if !inBucket(k.Feed.Class) {
		return nothing
	}
	return yard.Known(known(k.Between(1, knownStarchAndSugar).High))
}

func oats(k *feeds.Resolved) yard.Num {
	if !k.IsOats {
		return nothing
	}
	return yard.Known(1)
}

func maizeDM(k *feeds.Resolved) yard.Num {
	if !k.Maize {
		return nothing
	}
	return k.Composition.DM
}

func oilMl(k *feeds.Resolved) yard.Num { return yard.Known(1000 / feeds.OilKgPerLitre) }

func ceilingKg(r Ration) float64 { return r.ceilingKg() }

func bodyKg(r Ration) float64 { return r.BodyKg }

func named(d yard.Diagnosis) func(Ration) bool {
	return func(r Ration) bool { return Has(r.Diagnoses, d) }
}

// gPerKgPct turns g per kg into per cent.
const gPerKgPct = 0.1

// perDM is a row on a constituent of the whole ration's dry matter; scale turns its
// unit per kg into the mark's.
func perDM(row Linear, scale float64, of func(yard.Composition) yard.Num) Linear {
	row.Over, row.Whole, row.Of, row.Needs = Day, true, dryMatter, knowsDM
	row.PerKg, row.Scale = inDM(of), scale
	return row
}

// perDMAtMost is the same with each feed at the high end of what it may hold: for
// what harms a little over the mark.
func perDMAtMost(row Linear, scale float64, of func(yard.Composition) yard.Num) Linear {
	row = perDM(row, scale, of)
	row.mean = row.PerKg
	row.PerKg = func(k *feeds.Resolved) yard.Num { return k.AtHighEnd(1, of) }
	return row
}

// ForageFloor are the warning and stop limits on forage dry matter, % of body weight a
// day (limits D-17): lower where a vet leads the slimming.
func ForageFloor(h []yard.NamedDiagnosis, l yard.Limits) (warnPct, stopPct float64, slimming bool) {
	for _, n := range h {
		if n.Kind == yard.Overweight {
			return l.SlimForageWarnPct, l.SlimForageStopPct, true
		}
	}
	return l.ForageWarnPct, l.ForageStopPct, false
}

// hayLikeFibreG is the crude fibre from which a soaked bucket feed stands in for hay, g per kg of
// dry matter: what grass nuts have (feeds.csv). That it does is common practice, no source.
const hayLikeFibreG = 180

// ShortFibre says whether a feed stands in for hay in a horse that cannot chew it, soaked or
// short as it is: chaff, beet pulp and hulls, and what has as much fibre.
func ShortFibre(k *feeds.Resolved) bool {
	switch k.Feed.Class {
	case yard.Chaff:
		return true
	case yard.HardFeed:
		return k.BeetPulp || k.Kind == feeds.PulpAndHulls || !k.Balancer && !under(known(k.Composition.CrudeFibre), hayLikeFibreG)
	}
	return false
}

// SaltStopG is the most salt a day, g, for the lowest estimate of a horse's body
// weight (limits D-22).
func SaltStopG(ceilingKg float64, l yard.Limits) float64 { return l.SaltStopG * ceilingKg / 100 }

// RestCutKg is the hard feed a day, kg as fed, from which it is cut on days off
// (limits D-20).
func RestCutKg(bodyKg float64, l yard.Limits) float64 { return l.RestDayCutFromPct / 100 * bodyKg }

// forageRatio is calcium to phosphorus of the forage by itself, as it is given;
// [noMark] where all of it is put down at meals, or it is not known.
func forageRatio(r Ration) float64 {
	ca, p, free := 0.0, 0.0, false
	for f := range r.fed() {
		if f.Feed.Feed.Class != yard.Forage {
			continue
		}
		free = free || f.PerMeal == nil
		ca += known(f.amount(calciumInDM))
		p += known(f.amount(phosphorusInDM))
	}
	if !free || !over(p, 0) {
		return noMark
	}
	return ca / p
}

// calciumStop is the stop limit on calcium to phosphorus. Grass and hay that are
// there all day cannot be served differently: where the forage is under the mark by
// itself, what the bucket makes worse is the stop, and the rest is a warning.
func calciumStop(r Ration, l yard.Limits) float64 { return min(l.CaPStopLow, forageRatio(r)) }

func calciumInDM(c yard.Composition) yard.Num    { return c.Ca }
func phosphorusInDM(c yard.Composition) yard.Num { return c.P }
func potassiumInDM(c yard.Composition) yard.Num  { return c.K }
func energyInDM(c yard.Composition) yard.Num     { return c.DE }

func limitRows() []Linear {
	calcium := Linear{ID: "D-26", Source: "MI-16, MI-17 (Ralston 2000 and others; the upper bound rests on memory)", Name: "calcium to phosphorus", Over: Day, Whole: true,
		PerKg: inDM(calciumInDM), Of: inDM(phosphorusInDM),
		Needs: func(k *feeds.Resolved) bool {
			return inDM(calciumInDM)(k).IsKnown() && inDM(phosphorusInDM)(k).IsKnown()
		},
		ToldOnly: true} // it would bring in feed that nothing else asks for
	calciumLow, calciumHigh := calcium, calcium
	calciumHigh.Source = ""
	calciumLow.Low, calciumLow.Stop = true, calciumStop
	calciumLow.Warn = fixedMark(func(l yard.Limits) float64 { return l.CaPWarnLow })
	calciumLow.say = sayCalciumLow
	calciumHigh.Warn = fixedMark(func(l yard.Limits) float64 { return l.CaPWarnHigh })
	calciumHigh.say = sayCalciumHigh

	return []Linear{
		{ID: "D-17", Source: "FO-01 to FO-04, FO-10 (after Harris 2017; Animals 2023, 13:1414)", Name: "forage", Over: Day, Whole: true, Low: true,
			Applies: func(r Ration) bool { return !Has(r.Diagnoses, yard.PoorTeeth) },
			PerKg:   ofClass(yard.Forage, dryMatter), By: bodyKg, Scale: 100,
			Needs: func(k *feeds.Resolved) bool { return k.Feed.Class != yard.Forage || knowsDM(k) },
			Warn:  func(r Ration, l yard.Limits) float64 { warn, _, _ := ForageFloor(r.Diagnoses, l); return warn },
			Stop:  func(r Ration, l yard.Limits) float64 { _, stop, _ := ForageFloor(r.Diagnoses, l); return stop },
			say:   sayForage, unknown: forageUnknown},
		{ID: "D-17", Row: "teeth", Source: "FO-01 to FO-04: " + noSource, Name: "forage and short fibre", Over: Day, Whole: true, Low: true,
			Applies: func(r Ration) bool { return Has(r.Diagnoses, yard.PoorTeeth) },
			PerKg: func(k *feeds.Resolved) yard.Num {
				if !ShortFibre(k) && k.Feed.Class != yard.Forage {
					return yard.Known(0)
				}
				return dryMatter(k)
			}, By: bodyKg, Scale: 100,
			Needs: func(k *feeds.Resolved) bool { return k.Feed.Class != yard.Forage || knowsDM(k) },
			Warn:  func(r Ration, l yard.Limits) float64 { warn, _, _ := ForageFloor(r.Diagnoses, l); return warn },
			say:   sayForageTeeth, unknown: forageUnknown,
			ToldOnly: true}, // the chooser moves long hay, which such a horse may not be able to chew
		{ID: "D-10", Source: "MS-01 to MS-05 (Michigan State and Oklahoma State Universities; Andrews 2006; Ifce 2018)", Name: "hard feed in one meal", Over: AnyMeal,
			PerKg: ofClass(yard.HardFeed, aKilo),
			Warn:  perCeilingKg(func(l yard.Limits) float64 { return l.MealWarnKg / 100 }),
			Stop:  perCeilingKg(func(l yard.Limits) float64 { return l.MealStopKg / 100 }),
			Unit:  yard.Kilograms},
		{ID: "D-11", Source: "MS-10, MS-17 (Luthersson 2009; Vervuert 2009); stop MS-16 (quoted from NRC 2007)", Name: "starch in one meal", Over: AnyMeal,
			PerKg: bucketStarchG, By: ceilingKg,
			Warn: fixedMark(func(l yard.Limits) float64 { return l.StarchMealWarnG }),
			Stop: fixedMark(func(l yard.Limits) float64 { return l.StarchMealStopG }),
			say:  sayMealStarch},
		{ID: "D-12", Source: "MS-11 (Luthersson 2009)", Name: "starch in a day", Over: Day,
			PerKg: bucketStarchG, By: ceilingKg,
			Warn: fixedMark(func(l yard.Limits) float64 { return l.StarchDayWarnG }),
			say:  sayDayStarch},
		{ID: "D-13", Source: "MS-08, MS-09 (Tinker 1997; Hudson 2001)", Name: "hard feed in a day", Over: Day,
			PerKg: hardDM, By: ceilingKg, Scale: 100,
			Warn: fixedMark(func(l yard.Limits) float64 { return l.HardFeedWarnPct }),
			Stop: fixedMark(func(l yard.Limits) float64 { return l.HardFeedStopPct }),
			say:  sayHardFeed},
		{ID: "D-13", Name: "hard feed as a share of the ration", Over: Day, Whole: true,
			PerKg: hardDM, Of: dryMatter, Scale: 100, Needs: knowsDM,
			Stop: fixedMark(func(l yard.Limits) float64 { return l.HardFeedShareStopPct }),
			say:  sayHardFeedShare},
		{ID: "D-13", Name: "oats", Over: Day,
			PerKg: ofClass(yard.HardFeed, oats),
			Warn:  perCeilingKg(func(l yard.Limits) float64 { return l.OatsWarnKgPer500 / 500 }),
			say:   sayOats},
		{ID: "D-13", Row: "old", Source: "MS-07 (Lewis 1995; does not agree with its own half of the ration)", Name: "hard feed in a day, by an older textbook", Over: Day,
			PerKg: ofClass(yard.HardFeed, aKilo),
			Warn:  perCeilingKg(func(l yard.Limits) float64 { return l.HardFeedOldWarnKg / 100 }),
			// It does not agree with its own book's half of the ration; the newer one is chosen by.
			Unit: yard.Kilograms, ToldOnly: true},
		{ID: "D-14", Source: "MS-10 to MS-13 (Luthersson 2009 and 2019); for the glandular kind the evidence is weaker", Name: "starch, with ulcers", Over: AnyMeal,
			PerKg: bucketStarchG, By: ceilingKg, Applies: named(yard.Ulcers),
			Stop: fixedMark(func(l yard.Limits) float64 { return l.UlcerStarchMealG }),
			say:  sayUlcersMeal},
		{ID: "D-14", Name: "starch, with ulcers", Over: Day,
			PerKg: bucketStarchG, By: ceilingKg, Applies: named(yard.Ulcers),
			Stop: fixedMark(func(l yard.Limits) float64 { return l.UlcerStarchDayG }),
			say:  sayUlcersDay},
		{ID: "D-15", Row: "meal", Source: "MS-19 (Kerley 2025)", vets: true, Name: "starch and sugar in one meal", Over: AnyMeal,
			PerKg: mostBucketSugarG, mean: bucketSugarG, By: ceilingKg, Applies: func(r Ration) bool { return SugarMarks(r.Diagnoses) && !insulinAsked(r) },
			Stop: fixedMark(func(l yard.Limits) float64 { return l.InsulinMealG }),
			say:  sayInsulinMeal},
		{ID: "D-16", Source: "MS-24, MS-25 (MS-26 from memory); the lower end; 4.2 Mcal a kg of starch or sugar, from memory", vets: true, Name: "energy from starch and sugar", Over: Day,
			PerKg: starchAndSugarG, Of: inDM(energyInDM), Scale: McalPerKgStarch / 1000 * 100, Applies: named(yard.TyingUp),
			Needs: func(k *feeds.Resolved) bool { return inDM(energyInDM)(k).IsKnown() },
			Warn:  func(r Ration, l yard.Limits) float64 { pct, _ := TyingUpMark(r.Diagnoses, l); return pct },
			say:   sayTyingUp, unknown: tyingUpUnknown, NoteWhere: mostlyForage},
		{ID: "D-22", Source: "SA-01, SA-03 (NRC 2007; Zeyner 2017)", Name: "salt", Over: Day,
			PerKg: times(1000, ofClass(yard.Salt, aKilo)),
			Warn: func(r Ration, l yard.Limits) float64 {
				if r.Sweats {
					return noMark
				}
				return l.SaltWarnG * r.ceilingKg() / 100
			},
			Stop: func(r Ration, l yard.Limits) float64 { return SaltStopG(r.ceilingKg(), l) },
			say:  saySalt},
		{ID: "D-21", Source: "OI-01 (Warren 2011, a rule of thumb)", Name: "oil", Over: Day,
			PerKg: ofClass(yard.Oil, oilMl),
			Warn:  perCeilingKg(func(l yard.Limits) float64 { return l.OilWarnMlPerKg }),
			say:   sayOil},
		perDM(Linear{ID: "D-21", Row: "fat", Source: "OI-02 (Crandell 2017); stop OI-03 from memory", Name: "fat",
			Warn: fixedMark(func(l yard.Limits) float64 { return l.FatWarnPct }),
			Stop: fixedMark(func(l yard.Limits) float64 { return l.FatStopPct }),
			say:  sayFat}, gPerKgPct, func(c yard.Composition) yard.Num { return c.Fat }),
		perDMAtMost(Linear{ID: "D-23", Source: "MI-02, MI-04, MI-05 (US and EU feed rules; NRC quoted); label error MI-23", Name: "selenium",
			Warn: fixedMark(func(l yard.Limits) float64 { return l.SeWarnMg }),
			Stop: fixedMark(func(l yard.Limits) float64 { return min(l.SeStopMg, l.SeVetMg) }),
			say:  saySelenium}, 1, seleniumInDM),
		perDMAtMost(Linear{ID: "D-24", Source: "MI-08 to MI-10", Name: "iodine",
			Warn: fixedMark(func(l yard.Limits) float64 { return l.IodineWarnMg }),
			Stop: fixedMark(func(l yard.Limits) float64 { return l.IodineStopMg }),
			say:  sayIodine}, 1, iodineInDM),
		perDM(Linear{ID: "D-25", Row: "vitamin A", Source: "MI-14 (NRC quoted)", Name: "vitamin A",
			Stop: fixedMark(func(l yard.Limits) float64 { return l.VitAStopIU }),
			say:  sayVitaminA}, 1, vitaminAInDM),
		{ID: "D-25", Row: "vitamin D", Source: "MI-15 (NRC, from memory)", Name: "vitamin D", Over: Day,
			PerKg: inDM(vitaminDInDM), By: ceilingKg,
			Stop: fixedMark(func(l yard.Limits) float64 { return l.VitDStopIU }),
			say:  sayVitaminD},
		perDM(Linear{ID: "D-27", Source: "MI-20, MI-21 (Texas A&M; Reynolds)", vets: true, Name: "potassium", Applies: named(yard.HYPP),
			Warn: fixedMark(func(l yard.Limits) float64 { return l.KWarnPct }),
			Stop: fixedMark(func(l yard.Limits) float64 { return l.KStopPct }),
			say:  sayPotassium, unknown: potassiumUnknown}, gPerKgPct, potassiumInDM),
		{ID: "D-27", Name: "potassium in one meal", Over: AnyMeal, Applies: named(yard.HYPP),
			PerKg: inDM(potassiumInDM),
			Stop:  fixedMark(func(l yard.Limits) float64 { return l.KMealStopG }),
			say:   sayPotassiumMeal},
		calciumLow, calciumHigh,
		{ID: "SH-03", Source: "SH-03 (FDA guidance 2001)", Name: "maize", Over: Day, Whole: true,
			PerKg: maizeDM, Of: dryMatter, Scale: 100, Needs: knowsDM,
			Warn: fixedMark(func(l yard.Limits) float64 { return l.MaizeSharePct }),
			say:  sayMaize},
	}
}

// tolerableRows are the maximum tolerable levels, for the chooser to keep; what the
// week comes to is compared with them where it is added up.
func tolerableRows() (out []Linear) {
	for _, n := range need.Nutrients() {
		if most, ok := need.MaxTolerable(n.Name); ok {
			out = append(out, perDM(Linear{ID: "tolerable", Name: n.Name, Called: "the most tolerated " + n.Name,
				Warn: func(Ration, yard.Limits) float64 { return most.PerKgDM }}, 1, n.Content))
		}
	}
	return out
}
