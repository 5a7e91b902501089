package guard

import (
	"cmp"
	"iter"
	"slices"
	"strings"

	"hardfeed/ration/feeds"
	"hardfeed/ration/yard"
)

// Ration is what the rules on a ration look at: one ordinary work day of one
// horse.
type Ration struct {
	BodyKg    float64
	CeilingKg float64 // the lowest estimate of the body weight, for ceilings (limits D-30); 0: BodyKg
	Diagnoses []yard.NamedDiagnosis
	Meals     []string // by name, in the order of the day
	Feeds     []Fed
	// ForageUnknown: nobody has written down the forage, so nothing is known of the
	// ration as a whole.
	ForageUnknown bool
	Lean          bool    // score under 5 or losing weight
	Sweats        bool    // the week's work is moderate or harder
	VitENeeds     float64 // IU a day, without the oil
}

// Fed is one feed of the day.
type Fed struct {
	Feed    *feeds.Resolved
	Kg      float64   // as fed, a day
	LeastKg yard.Num  // the least of it that is eaten, where Kg is an estimate; unknown: Kg
	PerMeal []float64 // Kg by meal where it is put down at meals; nil where it is there all day
}

// inBucket says whether feeds of a class go in the bucket and count as one for the
// marks on sugar: hard feed, chaff and succulents.
func inBucket(class yard.FeedClass) bool {
	switch class {
	case yard.HardFeed, yard.Chaff, yard.Succulent:
		return true
	}
	return false
}

// amount is how much of something a feed brings a day.
func (f *Fed) amount(of func(yard.Composition) yard.Num) yard.Num {
	return f.Feed.Contains(yard.KgFed(f.Kg), of(f.Feed.Composition))
}

// known is a number as far as it is known: 0 where it is not, so that what it is
// added to is at least that much.
func known(n yard.Num) float64 {
	v, _ := n.Get()
	return v
}

// starchAndSugar is g per kg of dry matter, unknown where either is.
func starchAndSugar(c yard.Composition) yard.Num {
	if !c.Starch.IsKnown() || !c.Sugar.IsKnown() {
		return yard.Num{}
	}
	return knownStarchAndSugar(c)
}

// knownStarchAndSugar is what is known of the two.
func knownStarchAndSugar(c yard.Composition) yard.Num {
	return yard.Known(known(c.Starch) + known(c.Sugar))
}

// fed are the feeds of which any is given.
func (r *Ration) fed() iter.Seq[*Fed] {
	return func(yield func(*Fed) bool) {
		for i := range r.Feeds {
			if f := &r.Feeds[i]; f.Kg != 0 && !yield(f) {
				return
			}
		}
	}
}

// total adds what the feeds bring; missing names those of which it is not known.
func (r Ration) total(of func(yard.Composition) yard.Num) (sum float64, missing []string) {
	for f := range r.fed() {
		v, ok := f.amount(of).Get()
		sum += v
		if !ok {
			missing = append(missing, f.Feed.Feed.Name)
		}
	}
	return sum, missing
}

// ceilingKg is the body weight ceilings go by.
func (r Ration) ceilingKg() float64 { return cmp.Or(r.CeilingKg, r.BodyKg) }

// Has says whether a vet has named a diagnosis. One that this program does not know
// brings no marks with it: it lets nothing rise (design §5.9).
func Has(named []yard.NamedDiagnosis, d yard.Diagnosis) bool {
	return slices.ContainsFunc(named, func(n yard.NamedDiagnosis) bool { return n.Kind == d })
}

// OnlyUnknown says whether a vet has named something, and nothing of it is known to
// the program: what is read into such a diagnosis is then not put in the vet's mouth.
func OnlyUnknown(named []yard.NamedDiagnosis) bool {
	unknown := false
	for _, n := range named {
		switch n.Kind {
		case yard.OtherDiagnosis:
			unknown = true
		case yard.NoFeedRule:
		default:
			return false
		}
	}
	return unknown
}

// SugarMarks says whether the marks on sugar apply: laminitis, EMS or insulin,
// and PPID unless the sheet says that its insulin is normal (limits D-15, MS-27).
func SugarMarks(named []yard.NamedDiagnosis) bool {
	if Has(named, yard.Laminitis) || Has(named, yard.InsulinEMS) {
		return true
	}
	for _, n := range named {
		if t := strings.ToLower(n.Text); n.Kind == yard.PPID && !strings.Contains(t, "insulin normal") && !strings.Contains(t, "normal insulin") {
			return true
		}
	}
	return false
}

// insulinAsked says whether a lean horse has PPID and nobody has written what its
// insulin is: what it is fed in the bucket is warned of and stays, because a lean old
// horse needs it; cereals and roots do not (ours; limits MS-27 has it tested).
func insulinAsked(r Ration) bool {
	return r.Lean && !Has(r.Diagnoses, yard.Laminitis) && !Has(r.Diagnoses, yard.InsulinEMS)
}

// says whether a diagnosis's own words hold a word.
func says(named []yard.NamedDiagnosis, d yard.Diagnosis, word string) bool {
	for _, n := range named {
		if n.Kind == d && strings.Contains(strings.ToLower(n.Text), word) {
			return true
		}
	}
	return false
}

// limitCalled is the row of that name; it panics where there is none.
func limitCalled(name string) Linear {
	i := slices.IndexFunc(linear, func(n Linear) bool { return n.Name == name })
	if i < 0 {
		panic("guard: no limit is called " + name)
	}
	return linear[i]
}

// StarchiestMealG is the known starch of the meal with the most of it, g, and the
// feeds of which it is not known.
func (r Ration) StarchiestMealG() (g float64, unknown []string) {
	row := mealStarch
	row.By = nil
	c := row.Compare(r, yard.Limits{})
	return c.Value, c.Missing
}

var mealStarch = limitCalled("starch in one meal")

// starchUntold are the feeds whose starch is not known, where it counts: where a mark on
// starch could be passed with the most that feeds of their kind are published to hold, or
// nothing is published. A handful of chaff hides no mark.
func starchUntold(r Ration, l yard.Limits) []string {
	untold := mealStarch.Compare(r, l).Missing
	if untold == nil {
		return nil
	}
	for _, row := range linear {
		if row.ID != "D-11" && row.ID != "D-12" && row.ID != "D-14" {
			continue
		}
		row.PerKg = mostBucketStarchG
		if c := row.Compare(r, l); c.Severity != 0 || c.Missing != nil {
			return untold
		}
	}
	return nil
}

var forageInADay = func() Linear {
	row := limitCalled("forage")
	row.Applies = nil // how much there is counts for all
	return row
}()

// ForageDMKg is the dry matter of the forage of the day, at the least that is eaten
// of it, kg; unknown where it is of one of them.
func (r Ration) ForageDMKg() yard.Num {
	c := forageInADay.Compare(r, yard.Limits{})
	if c.Unknown {
		return yard.Num{}
	}
	return yard.Known(c.Value / 100 * r.BodyKg)
}
