package ration_test

import (
	"fmt"

	"hardfeed/ration/yard"
)

// roundsDangers were written down, each with what must be told and what must not be printed,
// before it was looked at what the program says of them: what a vet meets on a year's rounds.
func roundsDangers() []danger {
	n := yard.Known
	idle := func(s *stable) { s.Work, s.Before = [7]yard.Day{}, [7]yard.Day{} }
	works := func(s *stable, minutes ...float64) { s.Work = week(minutes...); s.Before = s.Work }
	sized := func(s *stable, kg, cm float64, kind yard.HorseType) {
		s.WeightKg, s.HeightCm, s.Type, s.RiderTackKg = n(kg), n(cm), kind, n(kg*0.15)
	}
	supplement := func(name string, x yard.Composition) yard.Feed {
		x.DM = n(1)
		return yard.Feed{Name: name, Class: yard.Supplement, Analysis: x, AnalysisFrom: "workbook: as fed"}
	}
	atMeals := func(s *stable, name string, now, planned float64, meals ...string) {
		s.without(name)
		for _, m := range meals {
			s.Lines = append(s.Lines, yard.Line{Horse: s.Horse.Name, Feed: name, Meal: m, Now: kilos(now), Planned: kilos(planned)})
		}
	}
	off := yard.Day{Text: "off", StartMin: -1}
	gallop := yard.Day{Text: "gallops", StartMin: -1, Sessions: []yard.Session{{Minutes: [yard.Gaits]float64{20, 10, 12, 5}}}}
	return []danger{
		{"two and a half years old, in training on oats", func(s *stable) {
			s.AgeYears = n(2.5)
			works(s, 30, 15, 10, 3)
			s.without("Cubes")
			s.keep("Hay", 7)
			s.keep("Oats", 3)
		}, noRation, without(noCard)},
		{"a mare eight months in foal, ridden as ever", func(s *stable) { s.Breeding = yard.InFoal; s.keep("Cubes", 1.4) }, noRation, without(noCard)},
		{"a fat miniature that stopped eating", func(s *stable) {
			idle(s)
			sized(s, 85, 82, yard.TypePony)
			s.Score, s.TargetScore, s.OffFeed, s.Notes = n(8), n(5), true, "not touched her hay"
			s.without("Cubes", "Salt")
			s.keep("Hay", 1.5)
		}, about("D-29", "off-feed"), nil},
		{"a donkey in harness on a pony's mix", func(s *stable) {
			sized(s, 190, 112, yard.TypeDonkey)
			works(s, 60, 20)
			s.keep("Hay", 4)
			s.keep("Cubes", 1.05)
		}, noRation, without(noCard)},
		{"a Shetland with EMS, fat, oats for the show", func(s *stable) {
			sized(s, 180, 104, yard.TypePony)
			s.Keeper, s.Score, s.TargetScore = yard.GoodDoer, n(7), n(5)
			s.named(yard.InsulinEMS, "EMS, blood test in May")
			s.without("Cubes")
			s.keep("Hay", 3)
			s.from("Oats", 0, 0.4)
		}, sugar, over(feed("Oats"), 0)},
		{"laminitis, from hay to haylage on Monday", func(s *stable) {
			sized(s, 380, 143, yard.TypePony)
			s.named(yard.Laminitis, "laminitis in June")
			s.without("Cubes")
			s.from("Hay", 6.5, 0)
			s.from("Haylage", 0, 8)
		}, aChange, mondayOver("Haylage", 4)},
		{"haylage for hay, kilo for kilo", func(s *stable) { s.keep("Cubes", 1.4); s.from("Hay", 8, 0); s.from("Haylage", 0, 8) }, about("D-05", "D-17", "forage-step"), littleForage(1.25)},
		{"off ad lib hay overnight, to five kilos", func(s *stable) {
			s.Score, s.TargetScore = n(6.5), n(5)
			s.keep("Cubes", 0.7)
			s.fed("Hay", adLib, kilos(5))
		}, about("D-17", "D-05", "forage-step"), littleForage(1.25)},
		{"home from colic surgery, all its old feed at once", func(s *stable) {
			s.named(yard.PastColic, "colic surgery in October")
			idle(s)
			s.from("Hay", 5, 9)
			s.from("Cubes", 0, 2.1)
		}, about("D-08", "D-02", "D-04", "D-20", "step"), mondayOver("Cubes", 0.36)},
		{"leaves its oats after the race, oats planned up", func(s *stable) {
			s.Breed = "Thoroughbred"
			works(s, 40, 15, 10, 3)
			s.OffFeed, s.Notes = true, "left half on Sunday and Monday"
			s.without("Cubes")
			s.keep("Hay", 8)
			s.from("Oats", 4, 5)
		}, about("off-feed", "D-29"), over(feed("Oats"), 4)},
		{"calf pencils because the sack was there", func(s *stable) {
			s.room(yard.Feed{Name: "Calf rearer pencils", Class: yard.HardFeed, MeasureKg: n(1.2)})
			s.keep("Cubes", 1.4)
			s.from("Calf rearer pencils", 0, 0.6)
		}, about("SH-01"), over(feed("Calf rearer pencils"), 0)},
		{"lucerne chaff and nothing else", func(s *stable) { s.without("Hay", "Cubes"); s.keep("Alfalfa", 8) }, about("D-17", "forage", "D-26"), nil},
		{"straw as the only forage of a sound horse", func(s *stable) { s.without("Hay"); s.keep("Straw", 8); s.keep("Cubes", 2.1) }, about("straw", "energy", "D-17", "nutrient"), nil},
		{"four kilos of straw for half the hay, at once", func(s *stable) { s.keep("Cubes", 1.4); s.from("Hay", 8, 4); s.from("Straw", 0, 4) }, aChange, mondayOver("Straw", 2.1)},
		{"a racehorse on spring grass alone", func(s *stable) {
			s.spring()
			s.Breed = "Thoroughbred"
			works(s, 40, 20, 15, 4)
			s.GrassBefore, s.GrassHours = n(20), n(20)
			s.without("Hay", "Cubes")
		}, about("energy", "salt", "nutrient", "D-17"), nil},
		{"three days off on 4.2 kg, then gallops", func(s *stable) {
			works(s, 40, 30, 12)
			s.Work[0], s.Work[1], s.Work[2], s.Work[3] = off, off, off, gallop
			s.keep("Hay", 7.5)
			s.keep("Cubes", 4.2)
		}, about("work-gap", "D-20", "rest"), overAtRest(2.3)},
		{"hay to haylage and cubes to barley the same Monday", func(s *stable) {
			s.from("Hay", 8, 4)
			s.from("Haylage", 0, 5.5)
			s.from("Cubes", 1.4, 0)
			s.from("Barley", 0, 1.1)
		}, about("D-08", "D-05", "D-04", "exchange"), both(mondayOver("Barley", 0.6), mondayOver("Haylage", 3.5))},
		{"eight weeks of box rest, straight into fast work", func(s *stable) {
			s.Before = [7]yard.Day{}
			s.Fitness, s.InWorkSince = yard.Soft, ago(1)
			s.Work = week(30, 20, 20, 5)
			s.keep("Cubes", 1.4)
		}, about("work", "ready").orWords("work"), nil},
		{"twelve degrees of frost, the trough frozen since Friday", func(s *stable) {
			s.Temperature, s.Kept, s.Notes = n(-12), yard.InField, "trough frozen since Friday"
			s.keep("Cubes", 1.4)
		}, about("water", "cold", "frost").orWords("water|ice|frozen"), nil},
		{"heaves, round bales of hay in the field", func(s *stable) {
			s.named(yard.Heaves, "RAO")
			s.Kept = yard.InField
			s.fed("Hay", adLib, adLib)
			s.keep("Cubes", 1.4)
		}, about("heaves").orWords("dust|soak|heaves|hay"), nil},
		{"choked before, dry cubes brought in", func(s *stable) {
			s.noted(yard.Choke, "choked in 2025")
			s.without("Cubes")
			s.from("Fibre cubes", 0, 0.6)
		}, about("choke").orWords("soak|choke"), nil},
		{"old and losing, teeth worn flat, long hay and no mash", func(s *stable) {
			idle(s)
			s.AgeYears, s.Score, s.TargetScore = n(29), n(3.5), n(5)
			s.named(yard.PoorTeeth, "teeth worn flat, drops his hay")
			s.weighings(14, 470, 464, 457, 450)
			s.WeightKg = n(450)
			s.without("Cubes")
			s.now("Hay", 7)
		}, losingIt, nil},
		{"PPID in the notes, footsore, on barley", func(s *stable) {
			s.noted(yard.PPID, "Cushing's, footy in spring")
			s.without("Cubes")
			s.keep("Barley", 1.1)
		}, about("D-15", "vet-named", "cereal").orWords("cushing|ppid|vet"), over(feed("Barley"), 1.1)},
		{"tied up at the weekend, two rest days on full feed", func(s *stable) {
			s.named(yard.TyingUp, "tied up on Monday")
			s.keep("Hay", 8)
			s.keep("Cubes", 2.8)
			s.Work[5], s.Work[6] = off, off
		}, matter{}, overAtRest(1.4)},
		{"a fat cob at score 8 on 2.8 kg because he works", func(s *stable) {
			sized(s, 560, 152, yard.TypeHorse)
			s.Keeper, s.Score, s.TargetScore = yard.GoodDoer, n(8), n(5)
			s.keep("Hay", 10)
			s.keep("Cubes", 2.8)
		}, tooMuch, over(hardFeed, 2.1)},
		{"a fat cob, no target given, mix and haylage ad lib", func(s *stable) {
			sized(s, 520, 150, yard.TypeHorse)
			s.Keeper, s.Score, s.TargetScore = yard.GoodDoer, n(7.5), yard.Num{}
			s.without("Hay")
			s.fed("Haylage", adLib, adLib)
			s.from("Cubes", 1.4, 2.1)
		}, tooMuch, over(hardFeed, 1.4)},
		{"mix and oats in one bucket, three kilos together", func(s *stable) {
			s.keep("Hay", 8)
			atMeals(s, "Cubes", 1.4, 1.4, "Tea")
			atMeals(s, "Oats", 1.6, 1.6, "Tea")
		}, about("D-10", "D-11"), func(c printed) string {
			if got := c.atMeals(func(m []yard.Serving) float64 { return total(m, hardFeed) }); got > 2.5+1e-6 {
				return fmt.Sprintf("%.2f kg in a meal", got)
			}
			return ""
		}},
		{"six kilos of oats in two feeds", func(s *stable) {
			works(s, 40, 15, 12, 4)
			s.without("Cubes")
			s.keep("Hay", 7)
			atMeals(s, "Oats", 3, 3, "Breakfast", "Tea")
		}, about("D-10", "D-11", "D-13"), func(c printed) string {
			if got := c.atMeals(func(m []yard.Serving) float64 { return total(m, hardFeed) }); got > 2.5+1e-6 {
				return fmt.Sprintf("%.2f kg in a meal", got)
			}
			return ""
		}},
		{"lame, box rest, barley planned up", func(s *stable) {
			s.named(yard.NoFeedRule, "abscess, box rest")
			s.Work = [7]yard.Day{}
			s.without("Cubes")
			s.keep("Hay", 8)
			s.from("Barley", 1.1, 2.2)
		}, about("D-20", "rest", "D-02"), over(feed("Barley"), 1.1)},
		{"a second week in the box on 3.5 kg", func(s *stable) { idle(s); s.keep("Hay", 8); s.keep("Cubes", 3.5) }, about("D-20", "rest", "energy"), over(hardFeed, 3)},
		{"thin and clipped, out at -5 °C on six kilos of hay", func(s *stable) {
			s.Temperature, s.Kept, s.Notes = n(-5), yard.InField, "fully clipped, no rug"
			s.Score, s.TargetScore = n(3.5), n(5)
			s.now("Hay", 6)
			s.now("Cubes", 0.7)
		}, about("energy", "D-17", "thin"), lessEnergy},
		{"25 years, EMS, score 4.5, losing, fed less each month", func(s *stable) {
			idle(s)
			s.AgeYears, s.Score, s.TargetScore = n(25), n(4.5), n(5)
			s.named(yard.InsulinEMS, "EMS")
			s.weighings(14, 528, 521, 514, 507, 500)
			s.without("Cubes")
			s.from("Hay", 8, 7)
		}, losingIt, nil},
		{"its weight in stones", func(s *stable) { s.WeightKg, s.WeightBasis = n(79), yard.Stated }, about("weight"), carded},
		{"thirty kilos gained in three weeks at score 7", func(s *stable) {
			s.Score, s.TargetScore = n(7), n(5)
			s.weighings(7, 470, 480, 490, 500)
			s.now("Hay", 10)
			s.now("Cubes", 1.4)
		}, about("energy", "D-28", "gaining", "holding", "fat"), over(hardFeed, 1.4)},
		{"hay 80 kg for 8", func(s *stable) { s.from("Hay", 8, 80); s.keep("Cubes", 1.4) }, about("amount", "eat", "D-05", "forage"), over(feed("Hay"), 20)},
		{"hay 0.8 kg for 8", func(s *stable) { s.from("Hay", 8, 0.8); s.keep("Cubes", 1.4) }, about("D-17", "amount", "D-05"), littleForage(1.25)},
		{"nothing planned but naughts", func(s *stable) { s.from("Hay", 8, 0); s.from("Cubes", 1.4, 0) }, about("D-17", "forage", "D-05"), littleForage(1.25)},
		{"balancer by the scoop meant for cubes", func(s *stable) { s.from("Cubes", 1.4, 0); s.from("Balancer", 0, 1.4) }, about("D-23", "D-24", "D-25", "balancer", "D-04", "step", "exchange", "label"), mondayOver("Balancer", 0.75)},
		{"starved mare rescued, hay at once to all she eats", func(s *stable) {
			idle(s)
			s.Score, s.TargetScore = n(3), n(5)
			s.without("Cubes")
			s.from("Hay", 3.5, 10)
		}, about("forage-step", "D-05", "D-17", "energy"), mondayOver("Hay", 7.5)},
		{"starved mare rescued, two kilos of mix at once", func(s *stable) {
			idle(s)
			s.Score, s.TargetScore = n(3), n(5)
			s.now("Hay", 5)
			s.from("Cubes", 0, 2.1)
		}, aStep, mondayOver("Cubes", 0.7)},
		{"whole wheat, three kilos", func(s *stable) {
			s.room(yard.Feed{Name: "Wheat", Generic: "wheat", Class: yard.HardFeed, MeasureKg: n(1.4)})
			s.without("Cubes")
			s.keep("Hay", 7.5)
			s.keep("Wheat", 3)
		}, about("D-11", "D-12", "D-13", "D-10", "wheat"), mealStarch(2)},
		{"silage from the cattle clamp", func(s *stable) {
			s.room(yard.Feed{Name: "Clamp silage", Class: yard.Forage})
			s.keep("Cubes", 1.4)
			s.from("Clamp silage", 0, 6)
		}, about("silage", "SH", "forage-step", "D-05"), mondayOver("Clamp silage", 3.1)},
		{"the lick and 120 g of salt", func(s *stable) { s.keep("Cubes", 1.4); s.keep("Salt", 0.12) }, about("D-22"), over(feed("Salt"), 0.1)},
		{"copper drops for the coat", func(s *stable) {
			s.keep("Cubes", 1.4)
			s.room(supplement("Copper drops", yard.Composition{Cu: n(60000)}))
			s.keep("Copper drops", 0.05)
		}, about("tolerable", "copper"), nil},
		{"zinc for the feet, a handful", func(s *stable) {
			s.keep("Cubes", 1.4)
			s.room(supplement("Hoof zinc", yard.Composition{Zn: n(200000)}))
			s.keep("Hoof zinc", 0.03)
		}, about("tolerable", "zinc"), nil},
		{"cod liver oil, vitamin D over the top", func(s *stable) {
			s.keep("Cubes", 1.4)
			s.room(supplement("Cod liver oil", yard.Composition{VitD: n(1.2e6), VitA: n(5e6)}))
			s.keep("Cod liver oil", 0.03)
		}, about("D-25", "tolerable"), nil},
		{"limestone by the cupful", func(s *stable) {
			s.keep("Cubes", 1.4)
			s.room(supplement("Limestone flour", yard.Composition{Ca: n(370), P: n(0.2)}))
			s.keep("Limestone flour", 0.3)
		}, about("D-26", "tolerable"), nil},
		{"PSSM, a kilo of molasses on its hay", func(s *stable) {
			s.named(yard.TyingUp, "PSSM")
			s.without("Cubes")
			s.room(yard.Feed{Name: "Molasses", Generic: "cane molasses", Class: yard.HardFeed})
			s.keep("Hay", 8)
			s.keep("Molasses", 1.5)
		}, about("D-16"), nil},
		{"EMS, six hours of frosty winter grass", func(s *stable) {
			s.named(yard.InsulinEMS, "EMS")
			s.Temperature = n(-3)
			s.GrassBefore, s.GrassHours = n(6), n(6)
			s.without("Cubes")
			s.keep("Hay", 7)
		}, about("D-15", "grass").orWords("grass|frost"), nil},
		{"from the stable to grass day and night in May", func(s *stable) {
			s.spring()
			s.Beginning, s.Weighed = s.Beginning.AddDate(0, 0, 21), s.Weighed.AddDate(0, 0, 21)
			s.GrassBefore, s.GrassHours = n(0), n(24)
			s.keep("Cubes", 1.4)
		}, about("D-06"), nil},
		{"ulcers, hay in two nets twelve hours apart, no breakfast hay", func(s *stable) {
			s.named(yard.Ulcers, "ulcers, grade 3")
			s.without("Hay")
			atMeals(s, "Hay", 4, 4, "Tea", "Late")
			s.keep("Cubes", 1.4)
		}, about("D-18", "D-14"), nil},
		{"an evening race, the last hard feed an hour before", func(s *stable) {
			works(s, 30, 15, 10, 3)
			s.keep("Hay", 7.5)
			atMeals(s, "Cubes", 1.4, 1.4, "Breakfast", "Tea")
			s.event(4, 18*60+30, 20, 10, 5, 3)
		}, eventTime, atMeal(4, "Tea")},
		{"work trebled in a week", func(s *stable) {
			s.Before = week(20, 5)
			s.Work = week(60, 35, 15)
			s.now("Hay", 8)
			s.now("Cubes", 1.4)
		}, about("work", "energy"), lessEnergy},
		{"a four-year-old in its first season, losing on the plan", func(s *stable) {
			s.AgeYears = n(4)
			works(s, 40, 25, 10)
			s.weighings(14, 524, 518, 512, 506, 500)
			s.keep("Hay", 7.5)
			s.keep("Cubes", 1.4)
		}, losingIt, nil},
		{"the balancer taken away for cheapness, hay alone in hard work", func(s *stable) {
			works(s, 45, 35, 15)
			s.without("Cubes", "Salt")
			s.keep("Hay", 9)
			s.from("Balancer", 0.5, 0)
		}, about("energy", "nutrient", "salt"), nil},
		{"hard feed for a week of holidays, planned on a full 3.5 kg", func(s *stable) {
			s.Before = week(45, 30, 12)
			s.Work = [7]yard.Day{}
			s.keep("Hay", 7)
			s.keep("Cubes", 3.5)
		}, restFed, over(hardFeed, 1.9)},
	}
}
