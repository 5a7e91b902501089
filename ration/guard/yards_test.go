package guard

import (
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"hardfeed/ration/feeds"
	"hardfeed/ration/yard"
)

// pickOf draws one of the values.
func pickOf[T any](t *rapid.T, what string, values ...T) T {
	return rapid.SampledFrom(values).Draw(t, what)
}

// anyNum is a number now and then not known.
func anyNum(t *rapid.T, what string, low, high float64) yard.Num {
	if rapid.IntRange(0, 9).Draw(t, what+" known") == 0 {
		return yard.Num{}
	}
	return yard.Known(rapid.Float64Range(low, high).Draw(t, what))
}

// anyFeed is a feed of some kind, often one that some rule is about.
func anyFeed(t *rapid.T, class yard.FeedClass) Fed {
	name := pickOf(t, "name", "Mix", "Cubes", "Cattle nuts", "Iron tonic", "Selenium lick")
	kg := pickOf(t, "kg", 0, 0.05, 0.5, 1, 3, 6)
	switch class {
	case yard.Forage:
		name, kg = pickOf(t, "forage", "Hay", "Haylage", "Straw", "Grass cuttings"), pickOf(t, "kg of forage", 0.5, 3, 6, 9, 14)
	case yard.Supplement:
		name = pickOf(t, "supplement", "Iron tonic", "Selenium lick", "Balancer")
	case yard.Oil, yard.Salt:
		name, kg = string(class), pickOf(t, "kg of oil or salt", 0, 0.02, 0.1, 0.8)
	}
	f := one(name, class, kg, 0.9, func(k *feeds.Resolved) {
		k.Cereal, k.Straw = rapid.Bool().Draw(t, "cereal"), name == "Straw"
		k.Maize, k.IsOats = class == yard.HardFeed && rapid.Bool().Draw(t, "maize"), class == yard.HardFeed && rapid.Bool().Draw(t, "oats")
		c := &k.Composition
		c.DE, c.Fat, c.Starch, c.Sugar = anyNum(t, "energy", 1.5, 3.5), anyNum(t, "fat", 10, 250), pickOf(t, "starch", yard.Num{}, yard.Known(5), yard.Known(100), yard.Known(350), yard.Known(550)), anyNum(t, "sugar", 0, 200)
		c.K, c.Ca, c.P = anyNum(t, "potassium", 2, 30), anyNum(t, "calcium", 1, 20), anyNum(t, "phosphorus", 1, 10)
		c.Se, c.I = anyNum(t, "selenium", 0, 3), anyNum(t, "iodine", 0, 6)
		c.VitA, c.VitD, c.VitE = anyNum(t, "vitamin A", 0, 40000), anyNum(t, "vitamin D", 0, 10000), anyNum(t, "vitamin E", 0, 100)
	})
	if class != yard.Forage {
		share := pickOf(t, "share at breakfast", 0, 0.5, 1)
		f.PerMeal = []float64{kg * share, kg * (1 - share)}
	}
	return f
}

var diagnoses = []yard.Diagnosis{yard.Laminitis, yard.InsulinEMS, yard.PPID, yard.TyingUp, yard.Ulcers, yard.HYPP, yard.Choke, yard.PoorTeeth, yard.PastColic, yard.Heaves, yard.Overweight, yard.NoFeedRule, yard.OtherDiagnosis}

func anyDiagnoses(t *rapid.T) (named []yard.NamedDiagnosis) {
	for range pickOf(t, "diagnoses", 0, 1, 2, 4) {
		d := pickOf(t, "diagnosis", diagnoses...)
		named = append(named, yard.NamedDiagnosis{Kind: d, Text: pickOf(t, "words", string(d), "RER", "PSSM", "insulin normal")})
	}
	return named
}

// rationOf is a day's ration of two meals.
func rationOf(kg float64, fed []Fed) Ration {
	r := of(kg, nil, fed...)
	r.Meals = []string{"Breakfast", "Tea"}
	return r
}

func anyRation(t *rapid.T, kg float64) Ration {
	fed := []Fed{anyFeed(t, yard.Forage)}
	for range rapid.IntRange(0, 4).Draw(t, "feeds beside it") {
		fed = append(fed, anyFeed(t, pickOf(t, "class", yard.Forage, yard.HardFeed, yard.HardFeed, yard.Chaff, yard.Oil, yard.Salt, yard.Supplement, yard.Succulent)))
	}
	r := rationOf(kg, fed)
	r.Diagnoses, r.Sweats, r.VitENeeds = anyDiagnoses(t), rapid.Bool().Draw(t, "sweats"), 1.6*kg
	return r
}

func anyDays(t *rapid.T) (days [7]yard.Day) {
	kind := pickOf(t, "kind of week", "walk", "mixed", "rest first")
	for d := range days {
		s := yard.Session{Led: rapid.IntRange(0, 9).Draw(t, "led") == 0, Hills: rapid.Bool().Draw(t, "hills")}
		switch {
		case kind == "rest first" && d < 4:
			continue
		case kind == "walk":
			s.Minutes[yard.Walk] = pickOf(t, "walk", 10, 30, 90.0)
		default:
			s.Minutes = [yard.Gaits]float64{pickOf(t, "walk", 0, 40.0), pickOf(t, "trot", 0, 20.0), pickOf(t, "canter", 0, 30.0), pickOf(t, "gallop", 0, 4.0), pickOf(t, "jump", 0, 3.0)}
		}
		days[d] = yard.Day{Sessions: []yard.Session{s}}
	}
	return days
}

func anyWeek(t *rapid.T, kg float64) HorseWeek {
	return aWeek(kg, func(w *HorseWeek) {
		h := &w.Horse
		h.Diagnoses, h.Work, h.Before, h.BeforeGiven = anyDiagnoses(t), anyDays(t), anyDays(t), rapid.IntRange(0, 4).Draw(t, "last week given") > 0
		h.Fitness = pickOf(t, "fitness", yard.Soft, yard.Soft, yard.PartFit, yard.Hard)
		h.InWorkSince = pickOf(t, "in work since", time.Time{}, daysAgo(3), daysAgo(12), daysAgo(25), daysAgo(60))
		h.Kept = pickOf(t, "kept", yard.KeptUnknown, yard.Stabled, yard.InPaddock, yard.InField)
		h.Checks = yard.Checks()[:rapid.IntRange(0, 5).Draw(t, "ticked")]
		h.Score, h.TargetScore = yard.Known(pickOf(t, "score", 2.5, 4, 5, 5, 5, 7)), yard.Known(pickOf(t, "target", 4, 5, 5, 5, 6.0))
		h.Type = pickOf(t, "type", yard.TypeHorse, yard.TypePony, yard.TypeDonkey, yard.TypeDonkey)
		h.RiderTackKg = yard.Known(kg * pickOf(t, "rider", 0.12, 0.18, 0.22, 0.3))
		h.OffFeed = rapid.IntRange(0, 5).Draw(t, "off its feed") == 0
		h.Weighed = pickOf(t, "weighed", time.Time{}, daysAgo(3), daysAgo(40))
		at, drift := kg, pickOf(t, "drift", -0.02, -0.003, 0, 0.005, 0.008)
		for i := range pickOf(t, "weighings", 0, 2, 4, 5) {
			at *= 1 + drift + pickOf(t, "change", 0, 0, 0, 0, 0, 0, 0.005, -0.15)
			h.Weighings = append(h.Weighings, weighed(at, 40-8*i, yard.ByScale))
			h.Weighings[i].Score = anyNum(t, "score taken", 3, 8)
		}
		h.GrassBefore, h.GrassHours = anyNum(t, "grass before", 0, 8), anyNum(t, "grass now", 0, 20)
		w.RiseKg, w.DayRiseKg = anyNum(t, "rise", -1, 2), anyNum(t, "day's rise", 0, 0.4)
		w.HardNow, w.HardCard = yard.Known(pickOf(t, "now", 0, 1, 3.0)), yard.Known(pickOf(t, "card", 0, 1, 3.0))
		w.FedMcal = anyNum(t, "fed now", 10, 35)
		w.NeedMcal = yard.Range{Low: anyNum(t, "least need", 15, 20), High: yard.Known(20)}
		w.HardRestDayKg = pickOf(t, "on a day off", 0, 0.5, 1, 3)
		w.NewHard = []NewFeed{{"Cubes", anyNum(t, "days of cubes", 0, 16)}}
		w.NewHay = []NewFeed{{"Hay", anyNum(t, "days of hay", 0, 20)}}
		w.OilNewMl, w.OilDays = pickOf(t, "oil", 0, 100.0), pickOf(t, "days of oil", 1, 15.0)
		w.Changes = threeChanges[:rapid.IntRange(0, 3).Draw(t, "changes")]
		w.Forage = []ForageMeal{{420, rapid.Float64Range(0.5, 9).Draw(t, "hay early")}, {1080, rapid.Float64Range(0.5, 12).Draw(t, "hay late")}}
		w.Events = []EventMeals{{saturday, "Breakfast", pickOf(t, "before", 30, 100, 200, 300.0), rapid.Bool().Draw(t, "fast")}}
		w.DryFeed, w.DryHay = pickOf(t, "dry feed", nil, []string{"Cubes"}, []string{"Beet"}), pickOf(t, "dry hay", nil, []string{"Hay"}, []string{"Straw"})
		w.Class = pickOf(t, "class", yard.ClassRest, yard.ClassLight)
		w.Temperature, w.HumidityPct = anyNum(t, "temperature", -5, 45), anyNum(t, "humidity", 20, 100)
	})
}

// graveness is what each row of the table makes of a ration and a week.
func graveness(r Ration, w HorseWeek, l yard.Limits) []yard.Severity {
	rows := Rules()
	out := make([]yard.Severity, len(rows))
	w.trend = trendOf(w)
	for i, row := range rows {
		switch {
		case row.ration != nil || limitsOf(row) != nil:
			out[i], _ = rationRule{row, limitsOf(row)}.check(r, l)
		case row.week != nil:
			out[i], _ = row.week(w, l)
		case row.step != nil:
			w := w
			w.Marks = MarksFor(w.BodyKg, l)
			out[i], _ = row.step(w, l)
		}
	}
	return out
}

// rounds of a hundred random yards: enough that each rule speaks in some of them.
const rounds = 8

// otherYards makes a round draw other yards than those before it: with a fixed seed each
// begins alike.
func otherYards(t *rapid.T, round int) {
	for range round {
		rapid.Bool().Draw(t, "round")
	}
}

// lowerMarks are the settings a value must not go under: tighter is higher.
var lowerMarks = []string{"Forage", "SlimForage", "NewFeedDays", "NewHayDays", "OilRiseDays", "CaPStopLow", "CaPWarnLow", "VitEPerMlOil", "StackDays"}

// tighter makes every mark stricter, each by as much as is drawn.
func tighter(t *rapid.T, l yard.Limits) yard.Limits {
	v := reflect.ValueOf(&l).Elem()
	for i := range v.NumField() {
		by := pickOf(t, "tighter by", 1, 0.9, 0.5)
		for _, low := range lowerMarks {
			if strings.HasPrefix(v.Type().Field(i).Name, low) {
				by = 1 / by
			}
		}
		v.Field(i).SetFloat(v.Field(i).Float() * by)
	}
	return l
}

func TestTighteningNeverRemovesAFinding(t *testing.T) {
	rows := Rules()
	spoke, harder := make([]int, len(rows)), 0 // how often
	for round := range rounds {
		rapid.Check(t, func(t *rapid.T) {
			otherYards(t, round)
			kg := rapid.Float64Range(120, 900).Draw(t, "kg")
			r, w := anyRation(t, kg), anyWeek(t, kg)
			before, after := graveness(r, w, limits), graveness(r, w, tighter(t, limits))
			for i, row := range rows {
				if after[i] < before[i] {
					t.Fatalf("%s, %s, was %v and is %v with tighter marks", row.ID, whatOf(row), before[i], after[i])
				}
				if before[i] != 0 {
					spoke[i]++
				}
				if after[i] > before[i] {
					harder++
				}
			}
		})
	}
	for i, row := range rows {
		if spoke[i] == 0 && row.room == nil && row.ID != "D-09" {
			t.Errorf("%s, %s, never spoke in %d hundred random yards", row.ID, whatOf(row), rounds)
		}
	}
	if harder == 0 {
		t.Error("tighter marks found nothing more")
	}
}

// excesses are the rows that compare an amount with a most, for which more of any
// feed of these classes can only be more; shares of the ration are not among them,
// since a feed added can thin them.
var excesses = map[string][]yard.FeedClass{
	"hard feed in one meal": nil, "starch in one meal": nil, "starch in a day": nil,
	"hard feed in a day":                            {yard.HardFeed},
	"hard feed in a day, an older textbook's limit": nil,
	"starch, ulcer history":                         nil,
	"cereals and sweet feeds":                       nil,
	"starch and sugar of a bucket feed":             nil,
	"starch and sugar of a bucket meal":             nil,
	"starch and sugar of the hay":                   nil,
	"oil in a day":                                  nil,
	"salt in a day":                                 nil,
	"sources of selenium":                           nil,
	"vitamin D":                                     nil,
	"iron as a supplement":                          nil,
	"cattle or poultry feed":                        nil,
	"cut grass":                                     nil,
}

func TestAddingFeedNeverRemovesAnExcess(t *testing.T) {
	rows := Rules()
	stayed, came := map[string]int{}, map[string]int{} // how often
	for round := range 2 * rounds {
		rapid.Check(t, func(t *rapid.T) {
			otherYards(t, round)
			kg := rapid.Float64Range(120, 900).Draw(t, "kg")
			r := anyRation(t, kg)
			d := pickOf(t, "named besides", yard.Ulcers, yard.InsulinEMS, yard.NoFeedRule)
			r.Diagnoses = append(r.Diagnoses, yard.NamedDiagnosis{Kind: d, Text: string(d)})
			class := pickOf(t, "class added", yard.Forage, yard.HardFeed, yard.HardFeed, yard.Chaff, yard.Oil, yard.Salt, yard.Supplement, yard.Succulent)
			more := rationOf(kg, append(r.Feeds[:len(r.Feeds):len(r.Feeds)], anyFeed(t, class)))
			more.Diagnoses, more.Sweats, more.VitENeeds = r.Diagnoses, r.Sweats, r.VitENeeds
			before, after := graveness(r, HorseWeek{}, limits), graveness(more, HorseWeek{}, limits)
			for i, row := range rows {
				only, is := excesses[whatOf(row)]
				if !is || only != nil && only[0] != class {
					continue
				}
				if after[i] < before[i] {
					t.Fatalf("%s, %s, was %v and is %v with more %s", row.ID, whatOf(row), before[i], after[i], class)
				}
				if before[i] != 0 {
					stayed[whatOf(row)]++
				}
				if after[i] > before[i] {
					came[whatOf(row)]++
				}
			}
		})
	}
	for what := range excesses {
		if stayed[what] == 0 || came[what] == 0 {
			t.Errorf("%s: there before (%d times) and come with more feed (%d times) must both be tried", what, stayed[what], came[what])
		}
	}
}
