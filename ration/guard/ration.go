package guard

import (
	"strings"

	"hardfeed/ration/feeds"
	"hardfeed/ration/yard"
)

// Ration is what the rules on a ration look at: one ordinary work day of one
// horse.
type Ration struct {
	BodyKg    float64
	CapKg     float64 // the lowest estimate of the body weight, for ceilings (limits D-30); 0: BodyKg
	Diagnoses []yard.NamedDiagnosis
	Meals     []Meal
	Feeds     []Fed
	// Day totals. DM figures are lower bounds where a feed's dry matter is unknown.
	HardKg    float64
	HardDM    yard.KgDM
	ForageDM  yard.Num // unknown where a forage's dry matter is
	TotalDM   yard.Num
	OatsKg    float64
	OilMl     float64
	SaltG     float64
	Sweats    bool     // the week's work is moderate or harder
	CaG, PG   yard.Num // the whole ration's, a day; unknown where any part is
	VitENeeds float64  // IU a day, without the oil
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

// Fed is one feed of the day.
type Fed struct {
	Feed    feeds.Known
	Kg      float64   // as fed, a day
	PerMeal []float64 // the same by meal; nil where it is there all day
}

// bucket says whether a feed goes in the bucket and counts as one for the marks
// on sugar: hard feed, chaff and succulents.
func (f Fed) bucket() bool {
	c := f.Feed.Feed.Class
	return c == yard.HardFeed || c == yard.Chaff || c == yard.Succulent
}

// amount is how much of something a feed brings a day.
func (f Fed) amount(of func(yard.Composition) yard.Num) yard.Num {
	return f.Feed.Contains(yard.KgFed(f.Kg), of(f.Feed.Composition))
}

// starchAndSugar is g per kg of dry matter, unknown where either is.
func starchAndSugar(c yard.Composition) yard.Num {
	a, ok1 := c.Starch.Get()
	b, ok2 := c.Sugar.Get()
	if !ok1 || !ok2 {
		return yard.Num{}
	}
	return yard.Known(a + b)
}

// knownStarchAndSugar is what is known of the two.
func knownStarchAndSugar(c yard.Composition) yard.Num {
	if !c.Starch.IsKnown() && !c.Sugar.IsKnown() {
		return yard.Num{}
	}
	return yard.Known(c.Starch.Or(0) + c.Sugar.Or(0))
}

// total adds what the feeds bring; missing names those of which it is not known.
func (r Ration) total(of func(yard.Composition) yard.Num) (sum float64, missing []string) {
	for _, f := range r.Feeds {
		v, ok := f.amount(of).Get()
		sum += v
		if !ok && f.Kg > 0 {
			missing = append(missing, f.Feed.Feed.Name)
		}
	}
	return sum, missing
}

// perKgDM is a total over the ration's dry matter; ok is false where that is
// not known.
func (r Ration) perKgDM(of func(yard.Composition) yard.Num) (per float64, atLeast string, ok bool) {
	dm, known := r.TotalDM.Get()
	if !known || dm <= 0 {
		return 0, "", false
	}
	sum, missing := r.total(of)
	if len(missing) > 0 {
		atLeast = "at least "
	}
	return sum / dm, atLeast, true
}

// capKg is the body weight ceilings are reckoned on.
func (r Ration) capKg() float64 {
	if r.CapKg > 0 {
		return r.CapKg
	}
	return r.BodyKg
}

// strictest are the diagnoses whose marks a diagnosis nobody knows is given. HYPP
// is not among them: its mark on potassium forbids nearly every hay, and it is
// only ever named by its name.
var strictest = []yard.Diagnosis{yard.Ulcers, yard.InsulinEMS, yard.TyingUp, yard.PastColic}

// Has says whether the marks of a diagnosis apply: a vet has named it, or has
// named one the program does not know.
func Has(named []yard.NamedDiagnosis, d yard.Diagnosis) bool {
	for _, n := range named {
		if n.Kind == d {
			return true
		}
		if n.Kind == yard.OtherDiagnosis {
			for _, s := range strictest {
				if s == d {
					return true
				}
			}
		}
	}
	return false
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

// says whether a diagnosis's own words hold a word.
func says(named []yard.NamedDiagnosis, d yard.Diagnosis, word string) bool {
	for _, n := range named {
		if n.Kind == d && strings.Contains(strings.ToLower(n.Text), word) {
			return true
		}
	}
	return false
}

// StarchDayG is the known starch of the day, g.
func (r Ration) StarchDayG() float64 {
	sum := 0.0
	for _, m := range r.Meals {
		sum += m.StarchG
	}
	return sum
}

func (r Ration) atLeast() string {
	if len(r.StarchUnknown) > 0 {
		return "at least "
	}
	return ""
}
