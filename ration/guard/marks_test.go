package guard

import (
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"hardfeed/ration/feeds"
	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// The three animals every mark is tried on.
var sizes = []struct {
	name string
	kg   float64
}{{"pony", 120}, {"horse", 500}, {"draught", 800}}

// step is a mark: passed where a value goes beyond it.
type step struct {
	at  float64
	sev yard.Severity
}

// marked is one rule with its marks and a way to make a ration or a week in
// which the compared value is v. low: a value under the mark passes it.
type marked struct {
	rule, what string
	low        bool
	from       bool    // the mark itself passes too
	count      bool    // whole numbers
	rough      float64 // share of the mark it is tried at either side, 0 for hardly any: compared with a line through weighings, which is drawn a little flatter than they are
	steps      func(kg float64) []step
	ration     func(kg, v float64) Ration
	week       func(kg, v float64) HorseWeek
	room       func(v float64) Room
}

// fixed marks are the same for every size; perKg are in proportion to it.
func fixed(steps ...step) func(float64) []step { return func(float64) []step { return steps } }
func perKg(steps ...step) func(float64) []step {
	return func(kg float64) []step {
		out := append([]step(nil), steps...)
		for i := range out {
			out[i].at *= kg
		}
		return out
	}
}

var allMarks = append(paceMarks(), []marked{
	{rule: "D-01", steps: func(kg float64) []step { return []step{{MarksFor(kg, limits).WeekWarnKg, yard.Warn}} },
		week: func(kg, v float64) HorseWeek { return aWeek(kg, func(w *HorseWeek) { w.RiseKg = yard.Known(v) }) }},
	{rule: "D-02", steps: func(kg float64) []step { return []step{{MarksFor(kg, limits).WeekStopKg, yard.Stop}} },
		week: func(kg, v float64) HorseWeek { return aWeek(kg, func(w *HorseWeek) { w.RiseKg = yard.Known(v) }) }},
	{rule: "D-03", steps: func(kg float64) []step {
		m := MarksFor(kg, limits)
		return []step{{m.DayWarnKg, yard.Warn}, {m.DayStopKg, yard.Stop}}
	}, week: func(kg, v float64) HorseWeek { return aWeek(kg, func(w *HorseWeek) { w.DayRiseKg = yard.Known(v) }) }},
	{rule: "D-04", low: true, steps: fixed(step{10, yard.Warn}, step{6, yard.Stop}),
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) { w.NewHard = []NewFeed{{"Cubes", yard.Known(v)}} })
		}},
	{rule: "D-05", low: true, steps: fixed(step{14, yard.Warn}, step{6, yard.Stop}),
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) { w.NewHay = []NewFeed{{"Hay", yard.Known(v)}} })
		}},
	{rule: "D-06", steps: fixed(step{15 * 7, yard.Warn}), // minutes over the week, 15 a day
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) { w.Horse.GrassBefore, w.Horse.GrassHours = yard.Known(1), yard.Known(1+v/60) })
		}},
	{rule: "D-06", what: "laminitis", steps: fixed(step{0, yard.Stop}),
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) {
				w.Horse.GrassBefore, w.Horse.GrassHours = yard.Known(1), yard.Known(1+v/60)
				w.Horse.Diagnoses = []yard.NamedDiagnosis{{Kind: yard.Laminitis, Text: "laminitis"}}
			})
		}},
	{rule: "D-07", low: true, steps: fixed(step{14, yard.Warn}),
		week: func(kg, v float64) HorseWeek { return aWeek(kg, func(w *HorseWeek) { w.OilNewMl, w.OilDays = 50, v }) }},
	{rule: "D-08", count: true, steps: fixed(step{1, yard.Warn}),
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) { w.Changes = threeChanges[:int(v+0.5)] })
		}},
	{rule: "D-10", steps: perKg(step{0.003, yard.Warn}, step{0.005, yard.Stop}),
		ration: func(kg, v float64) Ration { return mealsOf(kg, meal{"Tea", v, 0}) }},
	{rule: "D-11", steps: perKg(step{1, yard.Warn}, step{2, yard.Stop}),
		ration: func(kg, v float64) Ration { return mealsOf(kg, meal{"Tea", 0, v}) }},
	{rule: "D-12", steps: perKg(step{2, yard.Warn}),
		ration: func(kg, v float64) Ration {
			return mealsOf(kg, meal{"Breakfast", 0, v / 2}, meal{"Tea", 0, v / 2})
		}},
	{rule: "D-13", what: "hard feed in a day", steps: perKg(step{0.005, yard.Warn}, step{0.01, yard.Stop}),
		ration: func(kg, v float64) Ration {
			return dryOf(kg, v, 4*v)
		}},
	{rule: "D-13", what: "hard feed in a day", steps: fixed(step{50, yard.Stop}), // % of the ration's dry matter
		ration: func(kg, v float64) Ration {
			hard := 0.004 * kg
			return dryOf(kg, hard, hard/(v/100))
		}},
	{rule: "D-13", what: "hard feed in a day", steps: perKg(step{2.7 / 500, yard.Warn}), // oats
		ration: func(kg, v float64) Ration { return oatsOf(kg, v) }},
	{rule: "D-13", what: "hard feed in a day, an older textbook's limit", steps: perKg(step{0.007, yard.Warn}),
		ration: func(kg, v float64) Ration { return mealsOf(kg, meal{"Tea", v, 0}) }},
	{rule: "D-14", what: "starch, ulcer history", steps: perKg(step{1, yard.Stop}),
		ration: func(kg, v float64) Ration {
			return changed(mealsOf(kg, meal{"Tea", 0, v}), namedUlcers)
		}},
	{rule: "D-14", what: "starch, ulcer history", steps: perKg(step{2, yard.Stop}), // a day, in three meals
		ration: func(kg, v float64) Ration {
			return changed(mealsOf(kg, meal{"a", 0, v / 3}, meal{"b", 0, v / 3}, meal{"c", 0, v / 3}), namedUlcers)
		}},
	{rule: "D-15", what: "starch and sugar of a bucket feed", steps: fixed(step{10, yard.Stop}), // % as fed
		ration: func(kg, v float64) Ration {
			return of(kg, vet(yard.InsulinEMS), one("Cubes", yard.HardFeed, 0.01, 0.8, func(k *feeds.Resolved) {
				k.Composition.Starch, k.Composition.Sugar = yard.Known(v*10/0.8/2), yard.Known(v*10/0.8/2)
			}))
		}},
	{rule: "D-15", what: "starch and sugar of a bucket meal", steps: perKg(step{0.1, yard.Stop}),
		ration: func(kg, v float64) Ration {
			return of(kg, vet(yard.Laminitis), one("Balancer", yard.HardFeed, 10, 0.5, func(k *feeds.Resolved) {
				k.Composition.Starch, k.Composition.Sugar = yard.Known(v/5/2), yard.Known(v/5/2)
			}))
		}},
	{rule: "D-15", what: "starch and sugar of the hay", steps: fixed(step{10, yard.Warn}), // % DM
		ration: func(kg, v float64) Ration {
			return of(kg, vet(yard.PPID), one("Hay", yard.Forage, 8, 0.85, func(k *feeds.Resolved) {
				k.Composition.Starch, k.Composition.Sugar = yard.Known(v), yard.Known(v*9)
			}))
		}},
	{rule: "D-16", steps: fixed(step{10, yard.Warn}), // % of DE
		ration: func(kg, v float64) Ration { return of(kg, vet(yard.TyingUp), starchy(v)) }},
	{rule: "D-16", steps: fixed(step{20, yard.Warn}),
		ration: func(kg, v float64) Ration {
			r := of(kg, nil, starchy(v))
			r.Diagnoses = []yard.NamedDiagnosis{{Kind: yard.TyingUp, Text: "RER"}}
			return r
		}},
	{rule: "D-17", low: true, steps: perKg(step{0.015, yard.Warn}, step{0.0125, yard.Stop}),
		ration: func(kg, v float64) Ration { return hayOf(kg, v) }},
	{rule: "D-17", what: "slimming", low: true, steps: perKg(step{0.0125, yard.Warn}, step{0.01, yard.Stop}),
		ration: func(kg, v float64) Ration {
			return of(kg, vet(yard.Overweight), one("Hay", yard.Forage, v, 1, nil))
		}},
	{rule: "D-17", what: "teeth", low: true, steps: perKg(step{0.015, yard.Warn}), // short fibre counts, and no stop: hay is no answer
		ration: func(kg, v float64) Ration {
			return of(kg, vet(yard.PoorTeeth), one("Hay", yard.Forage, v/2, 1, nil), one("Chop", yard.Chaff, v/2, 1, nil))
		}},
	{rule: "D-18", steps: fixed(step{4, yard.Warn}, step{6, yard.Stop}), // hours
		week: func(kg, v float64) HorseWeek {
			// twelve hours apart; what is put down lasts for all but v of them
			each := (12 - v) * 60 / MinutesPerKgHay
			return aWeek(kg, func(w *HorseWeek) { w.Forage = []ForageMeal{{7 * 60, each}, {19 * 60, each}} })
		}},
	{rule: "D-19", low: true, steps: fixed(step{4, yard.Warn}, step{1, yard.Stop}), // hours before fast work
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) { w.Events = []EventMeals{{saturday, "Breakfast", v * 60, true}} })
		}},
	{rule: "D-19", low: true, steps: fixed(step{2, yard.Warn}, step{1, yard.Stop}),
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) { w.Events = []EventMeals{{saturday, "Breakfast", v * 60, false}} })
		}},
	{rule: "D-20", what: "from", from: true, steps: perKg(step{0.003, yard.Warn}),
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) { w.HardCard, w.HardRestDayKg = yard.Known(v), v })
		}},
	{rule: "D-20", what: "tying-up", from: true, steps: perKg(step{0.001, yard.Stop}), // as on a work day
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) {
				w.HardCard, w.HardRestDayKg = yard.Known(0.001*kg), v
				w.Horse.Diagnoses = []yard.NamedDiagnosis{{Kind: yard.TyingUp, Text: "tying-up"}}
			})
		}},
	{rule: "D-21", what: "oil in a day", steps: perKg(step{1, yard.Warn}),
		ration: func(kg, v float64) Ration { return of(kg, nil, oilOf(v)) }},
	{rule: "D-21", what: "fat in the ration", steps: fixed(step{60, yard.Warn}, step{100, yard.Stop}), // g per kg DM
		ration: mix(func(c *yard.Composition, v yard.Num) { c.Fat = v })},
	{rule: "D-21", what: "vitamin E with oil", low: true, steps: fixed(step{600, yard.Warn}), // IU: a need of 500 and 100 ml
		ration: func(kg, v float64) Ration {
			r := of(kg, nil, one("Hay", yard.Forage, 10, 1, func(k *feeds.Resolved) { k.Composition.VitE = yard.Known(v / 10) }))
			r.Feeds, r.VitENeeds = append(r.Feeds, oilWithoutE(100)), 500
			return r
		}},
	{rule: "D-22", steps: perKg(step{0.1, yard.Warn}, step{0.2, yard.Stop}), // g
		ration: func(kg, v float64) Ration { return of(kg, nil, saltOf(v)) }},
	{rule: "D-22", what: "in sweating work", steps: perKg(step{0.2, yard.Stop}),
		ration: func(kg, v float64) Ration {
			return changed(of(kg, nil, saltOf(v)), func(r *Ration) { r.Sweats = true })
		}},
	{rule: "D-23", what: "sources of selenium", from: true, steps: fixed(step{1, yard.Warn}), // mg per kg of dry matter: added
		ration: func(kg, v float64) Ration {
			se := func(k *feeds.Resolved) { k.Composition.Se = yard.Known(v) }
			return of(kg, nil, one("Hay", yard.Forage, 1000, 1, nil), one("Balancer", yard.HardFeed, 0.1, 1, se), one("Lick", yard.Supplement, 0.1, 1, se))
		}},
	{rule: "heat", what: "humidity on a cool day", steps: fixed(step{75, yard.Note}), // %
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) {
				w.Class, w.Temperature, w.HumidityPct = yard.ClassLight, yard.Known(5), yard.Known(v)
			})
		}},
	{rule: "D-06", what: "PPID", steps: fixed(step{0, yard.Stop}),
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) {
				w.Horse.GrassBefore, w.Horse.GrassHours = yard.Known(1), yard.Known(1+v/60)
				w.Horse.Diagnoses = []yard.NamedDiagnosis{{Kind: yard.PPID, Text: "PPID"}}
			})
		}},
	{rule: "D-23", what: "selenium, all sources", steps: fixed(step{0.3, yard.Warn}, step{0.5, yard.Stop}),
		ration: mix(func(c *yard.Composition, v yard.Num) { c.Se = v })},
	{rule: "D-24", steps: fixed(step{1, yard.Warn}, step{4, yard.Stop}),
		ration: mix(func(c *yard.Composition, v yard.Num) { c.I = v })},
	{rule: "D-25", what: "vitamin A", steps: fixed(step{16000, yard.Stop}),
		ration: mix(func(c *yard.Composition, v yard.Num) { c.VitA = v })},
	{rule: "D-25", what: "vitamin D", steps: perKg(step{44, yard.Stop}),
		ration: func(kg, v float64) Ration {
			return of(kg, nil, one("Hay", yard.Forage, 10, 1, func(k *feeds.Resolved) { k.Composition.VitD = yard.Known(v / 10) }))
		}},
	{rule: "D-26", low: true, steps: fixed(step{1.2, yard.Warn}, step{1, yard.Stop}),
		ration: func(kg, v float64) Ration { return caAndP(kg, 20*v, 20) }},
	{rule: "D-26", steps: fixed(step{6, yard.Warn}),
		ration: func(kg, v float64) Ration { return caAndP(kg, 20*v, 20) }},
	{rule: "D-27", steps: fixed(step{10, yard.Warn}, step{11, yard.Stop}), // g per kg DM
		ration: func(kg, v float64) Ration {
			return of(kg, vet(yard.HYPP), one("Hay", yard.Forage, 10, 1, func(k *feeds.Resolved) { k.Composition.K = yard.Known(v) }))
		}},
	{rule: "D-27", steps: fixed(step{33, yard.Stop}), // g in a meal
		ration: func(kg, v float64) Ration {
			return of(kg, vet(yard.HYPP), one("Straw", yard.Forage, 20, 1, func(k *feeds.Resolved) { k.Composition.K = yard.Known(1) }),
				one("Cubes", yard.HardFeed, 1, 1, func(k *feeds.Resolved) { k.Composition.K = yard.Known(v) }))
		}},
	{rule: "D-28", what: "weight going down", rough: 0.02, steps: perKg(step{0.01, yard.Stop}), // kg in a week, of a horse to be slimmed
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) {
				w.Horse.Score, w.Horse.TargetScore = yard.Known(7), yard.Known(5)
				w.Horse.Weighings = weekly(kg, 12, -v)
			})
		}},
	{rule: "D-28", what: "weight going up", rough: 0.02, steps: perKg(step{0.0035, yard.Warn}),
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) {
				w.Horse.Weighings = weekly(kg, 12, v)
			})
		}},
	{rule: "D-28", what: "a donkey's weight going down", rough: 0.02, steps: fixed(step{5, yard.Stop}), // kg in thirty days
		week: func(kg, v float64) HorseWeek {
			return aWeek(min(kg, 250), func(w *HorseWeek) { // the largest donkeys
				w.Horse.Type, w.Horse.Weighings = yard.TypeDonkey, weekly(w.BodyKg, 12, -v*7/30)
			})
		}},
	{rule: "fed-now", what: "far more fed now than is worked out", steps: fixed(step{24, yard.Warn}), // Mcal a day, on a need of 20
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) {
				w.FedMcal, w.NeedMcal.High = yard.Known(v), yard.Known(20)
				w.HardNow, w.HardCard = yard.Known(w.Marks.WeekStopKg*2), yard.Known(0)
			})
		}},
	{rule: "fed-now", what: "far more fed now than is worked out", steps: func(kg float64) []step { return []step{{MarksFor(kg, limits).WeekStopKg, yard.Warn}} }, // kg it is to lose
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) {
				w.FedMcal, w.NeedMcal.High = yard.Known(25), yard.Known(20)
				w.HardNow, w.HardCard = yard.Known(v), yard.Known(0)
			})
		}},
	{rule: "fed-now", what: "far less fed now than is worked out", low: true, steps: fixed(step{16, yard.Warn}),
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) {
				w.FedMcal, w.NeedMcal = yard.Known(v), yard.Range{Low: yard.Known(20), High: yard.Known(22)}
				w.HardNow, w.HardCard = yard.Known(0.2), yard.Known(0.3)
				w.Horse.Weighings = []yard.Weighing{weighed(kg, 30, yard.ByScale), weighed(kg, 2, yard.ByScale)}
			})
		}},
	{rule: "holding", rough: 0.02, steps: perKg(step{0.02, yard.Warn}), // kg in twelve weeks
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) {
				w.Horse.TargetScore, w.Horse.Weighings = w.Horse.Score, weekly(kg, 12, v/11)
			})
		}},
	{rule: "slimming", rough: 0.5, steps: perKg(step{0.0016, yard.Warn}), // kg in a week
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) {
				w.Horse.Score, w.Horse.TargetScore = yard.Known(6), yard.Known(5)
				w.Horse.Weighings = weekly(kg, 12, v)
			})
		}},
	{rule: "slimming", what: "to be fed up", rough: 0.5, steps: perKg(step{0.0016, yard.Warn}),
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) {
				w.Horse.Score, w.Horse.TargetScore = yard.Known(4), yard.Known(5)
				w.Horse.Weighings = weekly(kg, 12, -v)
			})
		}},
	{rule: "D-29", low: true, steps: fixed(step{3, yard.Stop}),
		week: func(kg, v float64) HorseWeek { return aWeek(kg, func(w *HorseWeek) { w.Horse.Score = yard.Known(v) }) }},
	{rule: "D-30", what: "age of the body weight", steps: fixed(step{30, yard.Warn}), // days
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) { w.Horse.Weighed = monday.Add(-time.Duration(v * 24 * float64(time.Hour))) })
		}},
	{rule: "weighing", steps: fixed(step{10, yard.Warn}), // % between two weighings
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) {
				w.Horse.Weighings = []yard.Weighing{weighed(kg, 9, yard.ByScale), weighed(kg*(1-v/100), 2, yard.ByScale)}
			})
		}},
	{rule: "SH-03", steps: fixed(step{20, yard.Warn}), // % of DM
		ration: func(kg, v float64) Ration {
			return of(kg, nil, one("Hay", yard.Forage, 100-v, 1, nil), one("Maize", yard.HardFeed, v, 1, func(k *feeds.Resolved) { k.Maize = true }))
		}},
	{rule: "heat", steps: fixed(step{130, yard.Note}, step{150, yard.Warn}, step{180, yard.Stop}),
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) {
				w.Class, w.Temperature, w.HumidityPct = yard.ClassLight, yard.Known((v-70-32)/1.8), yard.Known(70)
			})
		}},
	{rule: "work-distance", steps: fixed(step{6, yard.Warn}), // km of gallop in thirty days, beside 60 km of canter
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) {
				w.Horse.BeforeGiven = true
				w.Horse.Work[0] = session(yard.Gallop, v*1000/550*14/30)
				w.Horse.Before[0] = session(yard.Canter, 60*1000/350*14.0/30)
			})
		}},
	{rule: "work-distance", steps: fixed(step{44, yard.Warn}), // km of canter, beside 8 km of gallop
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) {
				w.Horse.BeforeGiven = true
				w.Horse.Work[0] = session(yard.Canter, v*1000/350*14/30)
				w.Horse.Before[0] = session(yard.Gallop, 8*1000/550*14.0/30)
			})
		}},
	{rule: "D-29", what: "age", low: true, steps: fixed(step{3, yard.Stop}), // years
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) { w.Horse.AgeYears = yard.Known(v) })
		}},
	{rule: "D-29", what: "height of one off its feed", low: true, steps: fixed(step{148, yard.Stop}), // cm
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) { w.Horse.OffFeed, w.Horse.HeightCm = true, yard.Known(v) })
		}},
	{rule: "slimming", what: "condition score against the aim", from: true, steps: fixed(step{0.5, yard.Warn}), // scores away from the target
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) {
				w.Horse.TargetScore, w.Horse.Weighings = yard.Known(5), scoresTaken(6, 16, 6+v, 2)
			})
		}},
	{rule: "ready", low: true, from: true, steps: fixed(step{14, yard.Note}), // days in work
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) { w.Horse.Fitness, w.Horse.InWorkSince = yard.Soft, earlier(v) })
		}},
	{rule: "work-gap", count: true, steps: fixed(step{2, yard.Warn}), // days off
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) { w.Horse.Work[int(v)] = session(yard.Gallop, 5) })
		}},
	{rule: "overweight", steps: fixed(step{1.1, yard.Warn}), // kg, now 1
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) {
				w.HardNow, w.HardCard, w.Horse.Score, w.Horse.TargetScore = yard.Known(1), yard.Known(v), yard.Known(7), yard.Known(5)
			})
		}},
	{rule: "rider", steps: perKg(step{0.2, yard.Warn}), // kg
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) { w.Horse.RiderTackKg, w.Horse.Work = yard.Known(v), sevenOf(walk60, 3) })
		}},
	{rule: "work-rest", count: true, steps: fixed(step{6, yard.Warn}), // days ridden
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) {
				for d := range int(v) {
					w.Horse.Work[d] = session(yard.Walk, 60)
				}
			})
		}},
	{rule: "work-step", from: true, steps: fixed(step{5, yard.Warn}), // minutes of hills, beside jumping
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) {
				w.Horse.Fitness, w.Horse.BeforeGiven = yard.PartFit, true
				w.Horse.Before[0], w.Horse.Work[0], w.Horse.Work[1] = session(yard.Walk, 60), hilly(v), session(yard.Jump, 3)
			})
		}},
	{rule: "let-down", low: true, from: true, steps: fixed(step{60, yard.Warn}), // minutes of work after a week of 120
		week: func(kg, v float64) HorseWeek {
			return aWeek(kg, func(w *HorseWeek) {
				w.HardNow, w.HardCard, w.Horse.BeforeGiven = yard.Known(0.001*kg), yard.Known(0.001*kg), true
				w.Horse.Before[0], w.Horse.Work[0] = session(yard.Walk, 120), session(yard.Walk, v)
			})
		}},
	{rule: "D-30", what: "measures weighed for each batch", steps: fixed(step{30, yard.Note}), // days
		room: func(v float64) Room {
			return feedRoomOf(yard.Feed{Name: "Oats", MeasureKg: yard.Known(1), MeasureWeighed: earlier(v)})
		}},
	{rule: "room-batch", steps: fixed(step{8, yard.Warn}), // days; the batch is eight old
		room: func(v float64) Room {
			return feedRoomOf(yard.Feed{Name: "Oats", MeasureKg: yard.Known(1), MeasureWeighed: earlier(v), BatchSince: earlier(8)})
		}},
	{rule: "room-analysis", steps: fixed(step{365, yard.Note}),
		room: func(v float64) Room { return feedRoomOf(yard.Feed{Name: "Hay", AnalysedOn: earlier(v)}) }},
	{rule: "room-open", steps: fixed(step{5, yard.Warn}),
		room: func(v float64) Room { return feedRoomOf(yard.Feed{Name: "Haylage", OpenedOn: earlier(v)}) }},
	{rule: "room-expired", steps: fixed(step{0, yard.Warn}),
		room: func(v float64) Room { return feedRoomOf(yard.Feed{Name: "Balancer", BestBefore: earlier(v)}) }},
}...)

// paceMarks are the days in work before which each pace is too early, by how a horse
// is kept (common practice, no source; the thirds are ours).
func paceMarks() (out []marked) {
	for kept, days := range map[yard.Kept]float64{yard.InField: 14, yard.InPaddock: 28, yard.Stabled: 42, yard.KeptUnknown: 42} {
		for gait, share := range map[yard.Gait]float64{yard.Trot: 1.0 / 3, yard.Canter: 2.0 / 3, yard.Jump: 1, yard.Gallop: 1.5} {
			out = append(out, marked{rule: "work-pace", low: true, steps: fixed(step{days * share, yard.Warn}), week: func(kg, v float64) HorseWeek {
				return aWeek(kg, func(w *HorseWeek) {
					w.Horse.Fitness, w.Horse.Kept, w.Horse.Checks = yard.Soft, kept, yard.Checks()
					w.Horse.InWorkSince, w.Horse.Work[0] = earlier(v), session(gait, 5)
				})
			}})
		}
	}
	return out
}

// earlier is a time some days before the week begins.
func earlier(days float64) time.Time {
	return monday.Add(-time.Duration(days * 24 * float64(time.Hour)))
}

// starchy is a feed of which pct of the energy comes from starch and sugar.
func starchy(pct float64) Fed {
	return one("Mix", yard.HardFeed, 1, 1, func(k *feeds.Resolved) {
		k.Composition.DE = yard.Known(3)
		g := pct / 100 * 3 / McalPerKgStarch * 1000
		k.Composition.Starch, k.Composition.Sugar = yard.Known(g/2), yard.Known(g/2)
	})
}

// ofRule are a rule's own words in English.
func ofRule(r Rule, part string) string { return words.English().Say(r.Key() + "." + part) }

func whatOf(r Rule) string { return ofRule(r, "what") }

func message(f yard.Finding) string { return words.Message(f) }

// found is the worst finding of a rule, by its row where what is said.
func found(rule yard.RuleID, what string, fs []yard.Finding) yard.Finding {
	var worst yard.Finding
	next := ""
	for _, r := range Rules() {
		if r.ID == rule && whatOf(r) == what {
			next = r.Key() + ".next"
		}
	}
	for _, f := range fs {
		if f.Rule == rule && (next == "" || f.Next.Key == next) && f.Severity > worst.Severity {
			worst = f
		}
	}
	return worst
}

// everything checks a week with all its rules, those of the step too.
func everything(w HorseWeek) []yard.Finding {
	fs := CheckWeek(w, limits)
	for _, r := range Rules() {
		if r.step == nil {
			continue
		}
		if sev, says := r.step(w, limits); sev != 0 {
			fs = append(fs, r.finding(sev, w.Horse, says))
		}
	}
	return fs
}

// try is what a case's rule makes of a value, and what it should.
func (m marked) try(kg, v float64) (got yard.Finding, want yard.Severity) {
	for _, s := range m.steps(kg) {
		if !m.low && v > s.at || m.low && v < s.at || m.from && v == s.at {
			want = max(want, s.sev)
		}
	}
	switch {
	case m.ration != nil:
		return found(yard.RuleID(m.rule), m.what, Check("Fern", m.ration(kg, v), limits)), want
	case m.room != nil:
		f := found(yard.RuleID(m.rule), m.what, CheckRoom(m.room(v), limits))
		f.Horse = "Fern" // the feed room's is not a horse's
		return f, want
	}
	return found(yard.RuleID(m.rule), m.what, everything(m.week(kg, v))), want
}

// around are values just under, at and just over each of a case's marks.
func (m marked) around(kg float64) (vs []float64) {
	for _, s := range m.steps(kg) {
		d := max(1e-6*s.at, 1e-5)
		if m.count {
			d = 1
		}
		if m.rough > 0 {
			vs = append(vs, s.at*(1-m.rough), s.at*(1+m.rough))
			continue
		}
		vs = append(vs, s.at-d, s.at, s.at+d)
	}
	return vs
}

// Source: the reference table of limits, row by row: just under, at and just over
// each mark, for a pony, a horse and a draught.
func TestEveryLimitUnderAtAndOver(t *testing.T) {
	for _, m := range allMarks {
		for _, size := range sizes {
			for _, v := range m.around(size.kg) {
				got, want := m.try(size.kg, v)
				if got.Severity != want {
					t.Errorf("%s %s, %s of %.0f kg, %.7g: %v, want %v (%s)", m.rule, m.what, size.name, size.kg, v, got.Severity, want, message(got))
				} else if want != 0 && (message(got) == "" || got.Source == "" || words.Said(got.Why) == "" || words.Said(got.Next) == "" || got.Horse != "Fern") {
					t.Errorf("%s: a finding without words: %+v", m.rule, got)
				}
			}
		}
	}
}

// A row of the reference table without a rule, a source or a case is a hole. A case
// is one only where, at each of the three sizes, the rule spoke on one side of its
// mark and was silent on the other.
func TestEveryRowOfTheTableHasARuleASourceAndACase(t *testing.T) {
	type side struct {
		rule, size string
		spoke      bool
	}
	seen := map[side]bool{}
	for _, m := range allMarks {
		for _, size := range sizes {
			for _, v := range m.around(size.kg) {
				got, _ := m.try(size.kg, v)
				seen[side{m.rule, size.name, got.Severity != 0}] = true
			}
		}
	}
	rowID := regexp.MustCompile(`\b(D|RC|MS|FO|TI|OI|SA|MI|CO|ER|SH)-[0-9]{2}\b`)
	for i := 1; i <= 30; i++ {
		id := yard.RuleID(fmt.Sprintf("D-%02d", i))
		rows := 0
		for _, r := range Rules() {
			if r.ID != id {
				continue
			}
			rows++
			if !rowID.MatchString(r.Source) && !strings.Contains(r.Source, "no source") && !strings.Contains(r.Source, "a habit") {
				t.Errorf("%s, %s: %q names no row of the reference and does not say that there is none", id, whatOf(r), r.Source)
			}
		}
		if rows == 0 {
			t.Errorf("%s has no rule", id)
		}
		if id == "D-09" { // an exemption: TestTheReturnFromARestDayIsNoRise
			continue
		}
		for _, size := range sizes {
			if !seen[side{string(id), size.name, true}] || !seen[side{string(id), size.name, false}] {
				t.Errorf("%s has no case on both sides of its marks for a %s", id, size.name)
			}
		}
	}
	// rules that ask yes or no; what they say and leave unsaid is in the other tables
	noFigure := map[yard.RuleID]bool{"D-09": true, "choke": true, "heaves": true, "off-feed": true, "SH-01": true, "SH-14": true, "cuttings": true}
	for _, r := range Rules() {
		for _, size := range sizes {
			if !noFigure[r.ID] && (!seen[side{string(r.ID), size.name, true}] || !seen[side{string(r.ID), size.name, false}]) {
				t.Errorf("%s has no case on both sides of its marks for a %s", r.ID, size.name)
			}
		}
		set := 0
		for _, is := range []bool{r.ration != nil || limitsOf(r) != nil, r.week != nil, r.room != nil, r.step != nil} {
			if is {
				set++
			}
		}
		if r.Source == "" || ofRule(r, "why") == "" || ofRule(r, "next") == "" || whatOf(r) == "" || ofRule(r, "who") == "" || set != 1 {
			t.Errorf("%s, %s: source, why, what next, for whom or its one check is missing", r.ID, whatOf(r))
		}
		if strings.Contains(strings.ToLower(ofRule(r, "why")+ofRule(r, "next")+whatOf(r)), "safe") {
			t.Errorf("%s says safe", r.ID)
		}
	}
}

func TestTheReturnFromARestDayIsNoRise(t *testing.T) {
	w := aWeek(500, func(w *HorseWeek) {
		w.RiseKg, w.HardCard, w.HardRestDayKg = yard.Known(0), yard.Known(3), 1.5
	})
	for _, f := range everything(w) {
		if f.Rule == "D-01" || f.Rule == "D-02" || f.Rule == "D-09" || f.Rule == "D-20" {
			t.Errorf("half on the day off and back again: %+v", f)
		}
	}
}
