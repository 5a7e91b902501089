package ration_test

import "hardfeed/ration/yard"

// caseDangers are cases a vet would name, written down before it was looked at what
// the program says of them or how it is built.
func caseDangers() []danger {
	n := yard.Known
	idle := func(s *stable) { s.Work, s.Before = [7]yard.Day{}, [7]yard.Day{} }
	sized := func(s *stable, kg, cm float64, kind yard.HorseType) {
		s.WeightKg, s.HeightCm, s.Type, s.RiderTackKg = n(kg), n(cm), kind, n(kg*0.15)
	}
	supplement := func(name string, x yard.Composition) yard.Feed {
		x.DM = n(1)
		return yard.Feed{Name: name, Class: yard.Supplement, Analysis: x, AnalysisFrom: "workbook: as fed"}
	}
	return []danger{
		{"thirty years old, losing on little hay, nothing planned", func(s *stable) {
			idle(s)
			s.AgeYears, s.Score, s.TargetScore = n(30), n(4), n(5)
			s.weighings(14, 520, 516, 511, 505, 500)
			s.without("Cubes")
			s.now("Hay", 6.5)
		}, losingIt, lessEnergy},
		{"no molars left, on hay alone", func(s *stable) {
			idle(s)
			s.AgeYears, s.Notes = n(27), "no molars left, quids his hay"
			s.named(yard.OtherDiagnosis, "no molars left, quids his hay")
			s.without("Cubes")
			s.now("Hay", 8)
		}, about("vet", "teeth").orWords("quid|teeth|molar"), takes("Hay")},
		{"a yearling", func(s *stable) { idle(s); s.AgeYears = n(1); sized(s, 320, 142, yard.TypeHorse) }, noRation, without(noCard)},
		{"a mare with a foal at foot", func(s *stable) { idle(s); s.Breeding = yard.Lactating }, noRation, without(noCard)},
		{"choked before, dry beet and dry cubes planned in", func(s *stable) {
			s.named(yard.Choke, "choke, October")
			s.keep("Cubes", 1.4)
			s.from("Beet", 0, 0.3)
		}, about("choke").orWords("soak|choke"), nil},
		{"EMS, from three to nine hours of grass in May", func(s *stable) {
			s.spring()
			s.named(yard.InsulinEMS, "EMS")
			s.without("Cubes")
			s.keep("Hay", 7)
			s.GrassBefore, s.GrassHours = n(3), n(9)
		}, about("D-06", "grass").orWords("grass"), nil},
		{"27 years, PPID, oats, nothing planned", func(s *stable) {
			idle(s)
			s.AgeYears = n(27)
			s.named(yard.PPID, "PPID, on tablets")
			s.without("Cubes")
			s.now("Hay", 8)
			s.now("Oats", 1.6)
		}, about("D-15", "vet-named", "cereal").orWords("ppid"), over(feed("Oats"), 1.6)},
		{"tied up in spring, a day off on full feed", func(s *stable) {
			s.named(yard.TyingUp, "tied up in spring (RER)")
			s.keep("Hay", 7.5)
			s.keep("Cubes", 2.8)
			s.Work[2] = yard.Day{Text: "day off", StartMin: -1}
		}, matter{}, overAtRest(1.4)},
		{"a fat pony on haylage ad lib", func(s *stable) {
			idle(s)
			sized(s, 220, 120, yard.TypePony)
			s.Keeper, s.Score, s.TargetScore = yard.GoodDoer, n(7.5), n(5)
			s.without("Cubes", "Hay")
			s.fed("Haylage", adLib, adLib)
		}, tooMuch, nil},
		{"box rest from Monday on 3.5 kg, planned as before", func(s *stable) {
			s.named(yard.NoFeedRule, "tendon, box rest from Monday")
			s.Before, s.Work = week(40, 35, 12), [7]yard.Day{}
			s.keep("Hay", 8)
			s.keep("Cubes", 3.5)
		}, restFed, over(hardFeed, 1.75)},
		{"electrolytes 150 g a day", func(s *stable) {
			s.room(yard.Feed{Name: "Electrolytes", Class: yard.Salt, Generic: "salt"})
			s.keep("Cubes", 1.4)
			s.without("Salt")
			s.from("Electrolytes", 0, 0.15)
		}, about("D-22", "salt"), over(class(yard.Salt), 0.1)},
		{"electrolytes and salt together over the limit", func(s *stable) {
			s.room(yard.Feed{Name: "Electrolytes", Class: yard.Salt, Generic: "salt"})
			s.keep("Cubes", 1.4)
			s.keep("Salt", 0.06)
			s.keep("Electrolytes", 0.06)
		}, about("D-22", "salt"), over(class(yard.Salt), 0.1)},
		{"selenium from balancer and a supplement, each by its label", func(s *stable) {
			s.room(supplement("E and selenium", yard.Composition{Se: n(50), VitE: n(100000)}))
			s.without("Cubes")
			s.keep("Balancer", 0.5)
			s.keep("E and selenium", 0.05)
		}, about("D-23"), nil},
		{"no weight, only a girth", func(s *stable) { s.WeightKg, s.WeightBasis, s.GirthCm = yard.Num{}, yard.NoWeight, n(182) }, about("weight"), carded},
		{"the weight of the horse next door", func(s *stable) {
			sized(s, 590, 122, yard.TypePony)
			s.keep("Hay", 10)
			s.from("Cubes", 1.4, 2.4)
		}, about("weight"), nil},
		{"the hay's row stands twice", func(s *stable) {
			s.keep("Hay", 8)
			s.keep("Cubes", 1.4)
			s.Lines = append(s.Lines, yard.Line{Horse: s.Horse.Name, Feed: "Hay", Now: kilos(6), Planned: kilos(6)})
		}, about("twice"), nil},
		{"all its hay from a new field on Monday", func(s *stable) {
			other := s.Feeds[0]
			other.Name = "Hay from the top field"
			s.room(other)
			s.keep("Cubes", 1.4)
			s.from("Hay", 8, 0)
			s.from(other.Name, 0, 8)
		}, aChange, mondayOver("Hay from the top field", 4)},
		{"oil 300 ml at once", func(s *stable) { s.keep("Cubes", 1.4); s.from("Oil", 0, 0.28) }, about("D-07"), mondayOver("Oil", 0.14)},
		{"hay cut to five kilos before the race", func(s *stable) {
			s.Work = week(40, 10, 15, 4)
			s.Before = s.Work
			s.event(5, 14*60+30, 20, 10, 5, 2)
			s.without("Cubes")
			s.keep("Oats", 3.2)
			s.from("Hay", 7.5, 5)
		}, about("D-17", "D-05"), littleForage(1.25)},
		{"had laminitis two years ago, on a mix with cereals", func(s *stable) {
			sized(s, 330, 138, yard.TypePony)
			s.noted(yard.Laminitis, "had laminitis in 2024")
			s.keep("Hay", 5.5)
			s.keep("Cubes", 0.7)
		}, sugar, over(feed("Cubes"), 0)},
		{"a donkey of score 7 on cubes", func(s *stable) {
			idle(s)
			sized(s, 180, 108, yard.TypeDonkey)
			s.Score, s.TargetScore = n(7), n(5)
			s.keep("Hay", 4)
			s.keep("Cubes", 1.05)
		}, noRation, without(noCard)},
		{"a miniature's cubes times four", func(s *stable) {
			idle(s)
			sized(s, 90, 84, yard.TypePony)
			s.without("Salt")
			s.keep("Hay", 1.8)
			s.from("Cubes", 0.35, 1.4)
		}, aStep, over(hardFeed, 0.35+0.28*0.9)},
		{"three weeks after colic surgery, hard feed planned up", func(s *stable) {
			s.named(yard.OtherDiagnosis, "colic surgery three weeks ago")
			s.from("Cubes", 0.7, 1.75)
		}, about("vet", "D-08", "colic", "D-02").orWords("colic|vet"), over(hardFeed, 0.7)},
		{"off its feed in the week of hard work", func(s *stable) {
			s.OffFeed, s.Notes = true, "leaving his breakfast"
			s.Work = week(40, 35, 15)
			s.keep("Hay", 7)
			s.from("Cubes", 2.8, 3.5)
		}, about("off-feed", "D-29"), over(hardFeed, 2.8)},
		{"a long hot ride, no salt", func(s *stable) {
			s.Temperature, s.HumidityPct = n(29), n(60)
			s.Work = week(60, 90, 30)
			s.Before = s.Work
			s.without("Salt")
			s.keep("Hay", 9)
			s.keep("Cubes", 2.8)
		}, about("salt", "sodium", "D-22", "heat", "nutrient"), nil},
		{"maize for cubes on Monday, a pony", func(s *stable) {
			sized(s, 300, 132, yard.TypePony)
			s.keep("Hay", 5)
			s.from("Cubes", 2.1, 0)
			s.from("Maize", 0, 1.8)
		}, aStep, over(feed("Maize"), 0.84)},
		{"the ride at half past six, breakfast at seven", func(s *stable) {
			s.without("Cubes")
			for _, m := range []string{"Breakfast", "Tea"} {
				s.Lines = append(s.Lines, yard.Line{Horse: s.Horse.Name, Feed: "Cubes", Meal: m, Now: kilos(0.7), Planned: kilos(0.7)})
			}
			s.event(5, 6*60+30, 40, 60, 20)
		}, eventTime, atMeal(5, "Breakfast")},
		{"layers' pellets in the bucket", func(s *stable) {
			s.room(yard.Feed{Name: "Layers pellets", Class: yard.HardFeed, MeasureKg: n(1.2)})
			s.keep("Cubes", 1.4)
			s.keep("Layers pellets", 0.6)
		}, about("SH-01"), over(feed("Layers pellets"), 0)},
		{"grass cuttings off the lawn", func(s *stable) {
			s.room(yard.Feed{Name: "Lawn clippings", Class: yard.Forage})
			s.keep("Cubes", 1.4)
			s.keep("Lawn clippings", 3)
		}, about("SH", "clipping", "cuttings", "lawn").orWords("clipping|cuttings|lawn"), nil},
		{"a heavy rider on a small cob", func(s *stable) { sized(s, 400, 142, yard.TypeHorse); s.RiderTackKg = n(96) }, about("rider"), nil},
		{"a draught horse with PSSM on five kilos of mix", func(s *stable) {
			sized(s, 900, 178, yard.TypeDraught)
			s.named(yard.TyingUp, "PSSM1")
			s.keep("Hay", 14)
			s.without("Cubes")
			s.keep("Barley", 5)
		}, about("D-16"), nil},
		{"hay and hard feed both cut by half at score 4", func(s *stable) {
			s.Score, s.TargetScore = n(4), n(5)
			s.from("Hay", 9, 7)
			s.from("Cubes", 2.8, 1.4)
		}, tooLittle, nil},
	}
}
