package ration_test

import "hardfeed/ration/yard"

// vetsDangers are thirty-odd more, written down before it was looked at what the program
// says of them: what a vet on a yard visit would put a finger on.
func vetsDangers() []danger {
	n := yard.Known
	idle := func(s *stable) { s.Work, s.Before = [7]yard.Day{}, [7]yard.Day{} }
	sized := func(s *stable, kg, cm float64, kind yard.HorseType) {
		s.WeightKg, s.HeightCm, s.Type, s.RiderTackKg = n(kg), n(cm), kind, n(kg*0.15)
	}
	bought := func(name string, class yard.FeedClass, x yard.Composition) yard.Feed {
		return yard.Feed{Name: name, Class: class, Analysis: x, AnalysisFrom: "workbook: dry matter"}
	}
	supplement := func(name string, x yard.Composition) yard.Feed {
		x.DM = n(1)
		return yard.Feed{Name: name, Class: yard.Supplement, Analysis: x, AnalysisFrom: "workbook: as fed"}
	}
	atOnce := func(s *stable, name, meal string, kg float64) {
		s.without(name)
		s.Lines = append(s.Lines, yard.Line{Horse: s.Horse.Name, Feed: name, Meal: meal, Now: kilos(kg), Planned: kilos(kg)})
	}
	return []danger{
		{"a laminitic native on oats, out on spring grass", func(s *stable) {
			s.spring()
			sized(s, 320, 135, yard.TypePony)
			s.named(yard.Laminitis, "laminitis last autumn")
			s.GrassBefore, s.GrassHours = n(6), n(6)
			s.without("Cubes")
			s.keep("Hay", 4)
			s.keep("Oats", 0.4)
		}, sugar, over(feed("Oats"), 0)},
		{"a foal of six months on adult cubes", func(s *stable) {
			idle(s)
			sized(s, 220, 125, yard.TypeHorse)
			s.AgeYears = n(0.5)
			s.keep("Cubes", 1.4)
		}, noRation, without(noCard)},
		{"PPID and thin, on molassed coarse mix", func(s *stable) {
			idle(s)
			s.AgeYears, s.Score, s.TargetScore = n(22), n(4), n(5)
			s.named(yard.PPID, "Cushing's")
			s.without("Cubes")
			s.room(bought("Coarse mix", yard.HardFeed, yard.Composition{DM: n(0.88), DE: n(3.2), CP: n(110), Starch: n(330), Sugar: n(90)}))
			s.now("Coarse mix", 1.5)
		}, about("D-15", "vet-named").orWords("cushing|vet"), nil},
		{"EMS and thin, hay planned down by a quarter", func(s *stable) {
			idle(s)
			s.Score, s.TargetScore = n(3.5), n(5)
			s.named(yard.InsulinEMS, "EMS")
			s.without("Cubes")
			s.from("Hay", 9, 6.75)
		}, tooLittle, nil},
		{"choked in May, dry grass nuts", func(s *stable) {
			s.named(yard.Choke, "choke in May")
			s.without("Cubes")
			s.room(bought("Grass nuts", yard.HardFeed, yard.Composition{DM: n(0.9), DE: n(2.2), CP: n(120), Starch: n(20), Sugar: n(90), CrudeFibre: n(240)}))
			s.keep("Grass nuts", 1)
		}, about("choke").orWords("soak|choke"), nil},
		{"quids his hay, dry lucerne cubes", func(s *stable) {
			s.noted(yard.PoorTeeth, "quids his hay")
			s.AgeYears = n(26)
			s.without("Cubes")
			s.room(bought("Lucerne cubes", yard.HardFeed, yard.Composition{DM: n(0.9), DE: n(2.3), CP: n(160), Starch: n(20), Sugar: n(60), CrudeFibre: n(250)}))
			s.keep("Lucerne cubes", 1)
		}, about("choke", "teeth").orWords("soak|choke|teeth"), nil},
		{"few teeth, straw for hay", func(s *stable) {
			idle(s)
			s.AgeYears = n(29)
			s.named(yard.PoorTeeth, "few teeth")
			s.without("Cubes", "Hay")
			s.keep("Straw", 7)
		}, about("D-17", "teeth", "D-14", "straw").orWords("teeth"), nil},
		{"no teeth, hay planned up instead of soaked feed", func(s *stable) {
			idle(s)
			s.AgeYears, s.Score, s.TargetScore = n(30), n(4), n(5)
			s.named(yard.PoorTeeth, "no teeth")
			s.without("Cubes")
			s.from("Veteran mash", 2, 0.5)
			s.from("Hay", 5, 6)
		}, about("energy", "D-17", "taper").orWords("teeth"), takesHalf("Veteran mash")},
		{"a donkey fed oats like a pony", func(s *stable) {
			idle(s)
			sized(s, 180, 108, yard.TypeDonkey)
			s.Score, s.TargetScore = n(6), n(5)
			s.without("Cubes", "Salt")
			s.keep("Hay", 4)
			s.keep("Oats", 0.8)
		}, about("D-29", "energy", "donkey"), without(noCard)},
		{"fifty grams of salt for a miniature", func(s *stable) {
			idle(s)
			sized(s, 85, 84, yard.TypePony)
			s.without("Cubes")
			s.keep("Hay", 1.7)
			s.keep("Salt", 0.05)
		}, about("D-22"), over(feed("Salt"), 0.2*0.085)},
		{"ponies with ten hours between meals", func(s *stable) {
			sized(s, 280, 128, yard.TypePony)
			s.Meals = []yard.Meal{{Name: "Breakfast", Minute: 8 * 60}, {Name: "Tea", Minute: 18 * 60}}
			s.without("Cubes")
			s.keep("Hay", 4.5)
		}, about("D-18"), nil},
		{"a body weight of 5", func(s *stable) { s.WeightKg = n(5) }, about("weight"), carded},
		{"dry beet for a sound horse", func(s *stable) { s.keep("Cubes", 1.4); s.keep("Beet", 0.6) }, about("beet").orWords("soak"), nil},
		{"sheep nuts because the cubes ran out", func(s *stable) {
			s.room(yard.Feed{Name: "Sheep nuts", Class: yard.HardFeed, MeasureKg: n(1.2)})
			s.from("Cubes", 1.4, 0)
			s.from("Sheep nuts", 0, 1.4)
		}, about("SH-01"), over(feed("Sheep nuts"), 0)},
		{"pheasant grower pellets", func(s *stable) {
			s.room(yard.Feed{Name: "Pheasant grower pellets", Class: yard.HardFeed, MeasureKg: n(1.2)})
			s.keep("Cubes", 1.4)
			s.keep("Pheasant grower pellets", 0.3)
		}, about("SH-01"), over(feed("Pheasant grower pellets"), 0)},
		{"ten days after colic surgery, from hay to haylage", func(s *stable) {
			idle(s)
			s.named(yard.PastColic, "colic surgery ten days ago")
			s.without("Cubes")
			s.from("Hay", 8, 0)
			s.from("Haylage", 0, 11)
		}, about("D-05", "D-08").orWords("hay"), mondayOver("Haylage", 4)},
		{"bran mash and nothing else in the bucket", func(s *stable) {
			s.without("Cubes")
			s.Feeds[0].Analysis.Ca, s.Feeds[0].Analysis.P = n(2.8), n(2.3)
			s.keep("Bran", 2)
		}, about("D-26"), nil},
		{"a big bran mash on the rest day's eve, new", func(s *stable) { s.keep("Cubes", 1.4); s.from("Bran", 0, 1.6) }, about("D-04", "D-02", "D-01", "D-26", "step"), mondayOver("Bran", 0.85)},
		{"whole barley, two kilos", func(s *stable) {
			s.without("Cubes")
			s.room(yard.Feed{Name: "Whole barley", Generic: "barley", Class: yard.HardFeed, MeasureKg: n(1.2)})
			s.keep("Hay", 8)
			s.keep("Whole barley", 2)
		}, about("whole", "barley", "D-11", "D-12").orWords("whole"), nil},
		{"race at half past two, oats at lunch", func(s *stable) {
			s.Work = week(40, 10, 15, 4)
			s.Before = s.Work
			s.without("Cubes")
			for _, m := range []string{"Breakfast", "Lunch", "Tea"} {
				s.Lines = append(s.Lines, yard.Line{Horse: s.Horse.Name, Feed: "Oats", Meal: m, Now: kilos(1.2), Planned: kilos(1.2)})
			}
			s.event(5, 14*60+30, 20, 10, 5, 2)
		}, eventTime, atMeal(5, "Lunch")},
		{"a travel day nobody has put a time to", func(s *stable) {
			s.now("Cubes", 2.1)
			s.Work[3] = yard.Day{Unknown: true, Text: "travel to the show", StartMin: -1}
		}, about("work").orWords("work"), changes("Hay", "Cubes")},
		{"tied up before, box rest from Monday on four kilos of oats", func(s *stable) {
			s.named(yard.TyingUp, "tied up twice")
			s.Before, s.Work = week(40, 30, 15), [7]yard.Day{}
			s.without("Cubes")
			s.keep("Hay", 7)
			s.keep("Oats", 4)
		}, about("D-20", "rest", "let-down"), over(hardFeed, 2)},
		{"three days off in the middle of a hard week on 4.2 kg", func(s *stable) {
			s.Work = week(45, 35, 15)
			s.Before = s.Work
			s.now("Hay", 8)
			s.keep("Cubes", 4.2)
			for _, d := range []int{2, 3, 4} {
				s.Work[d] = yard.Day{Text: "lame, box", StartMin: -1}
			}
		}, matter{}, overAtRest(2.1)},
		{"stale bread for a laminitic", func(s *stable) {
			s.named(yard.Laminitis, "laminitis")
			s.without("Cubes")
			s.room(yard.Feed{Name: "Stale bread", Class: yard.HardFeed})
			s.keep("Stale bread", 0.5)
		}, sugar, over(feed("Stale bread"), 0)},
		{"two kilos of apples, EMS", func(s *stable) {
			s.named(yard.InsulinEMS, "EMS")
			s.without("Cubes")
			s.room(yard.Feed{Name: "Apples"})
			s.keep("Apples", 2)
		}, sugar, over(feed("Apples"), 0)},
		{"molassed chaff, EMS", func(s *stable) {
			s.named(yard.InsulinEMS, "EMS")
			s.without("Cubes")
			s.room(bought("Molassed chaff", yard.Chaff, yard.Composition{DM: n(0.85), DE: n(2.1), CP: n(60), Starch: n(20), Sugar: n(210)}))
			s.keep("Molassed chaff", 1)
		}, sugar, over(feed("Molassed chaff"), 0)},
		{"two balancers, each by its label", func(s *stable) {
			s.room(bought("Hoof balancer", yard.HardFeed, yard.Composition{DM: n(0.9), DE: n(2.8), CP: n(300), Se: n(5), VitD: n(2500), VitA: n(25000), I: n(6)}))
			s.room(bought("Stud balancer", yard.HardFeed, yard.Composition{DM: n(0.9), DE: n(2.8), CP: n(300), Se: n(6), VitD: n(3000), VitA: n(30000), I: n(8)}))
			s.without("Cubes")
			s.keep("Hoof balancer", 0.5)
			s.keep("Stud balancer", 0.5)
		}, about("D-23", "D-24", "D-25", "balancer"), nil},
		{"out day and night in December with no hay", func(s *stable) {
			idle(s)
			s.Beginning = monday.AddDate(0, 0, 49)
			s.Weighed = s.Beginning.AddDate(0, 0, -3)
			s.Kept, s.GrassBefore, s.GrassHours, s.Temperature = yard.InField, n(24), n(24), n(-4)
			s.without("Hay", "Cubes", "Salt")
			s.keep("Balancer", 0.5)
		}, about("energy", "grass", "forage", "D-17"), nil},
		{"no hay any more, out for the day on winter grass", func(s *stable) {
			s.Beginning = monday.AddDate(0, 0, 42)
			s.Weighed = s.Beginning.AddDate(0, 0, -3)
			s.GrassBefore, s.GrassHours = n(6), n(6)
			s.from("Hay", 8, 0)
			s.keep("Cubes", 1.4)
		}, about("D-17", "D-05", "energy"), func(c printed) string {
			if got := c.least(feed("Hay")); got < 5.9 {
				return "hay gone in a week"
			}
			return ""
		}},
		{"fat, and the cubes planned up", func(s *stable) { s.Score, s.TargetScore = n(7.5), n(5); s.from("Cubes", 1.4, 2) }, about("overweight", "energy", "fat"), over(hardFeed, 1.4)},
		{"losing, and its hay planned down", func(s *stable) { s.weighings(14, 524, 518, 512, 506, 500); s.from("Hay", 9, 7.5); s.keep("Cubes", 1.4) }, losingIt, nil},
		{"HYPP, beet pulp and lucerne chaff", func(s *stable) {
			s.named(yard.HYPP, "HYPP")
			s.without("Cubes")
			s.Feeds[0].Analysis.K = n(19)
			s.keep("Alfalfa", 1.5)
		}, about("D-27"), nil},
		{"liver disease, soya planned in", func(s *stable) {
			s.named(yard.OtherDiagnosis, "liver disease")
			s.keep("Cubes", 1.4)
			s.room(yard.Feed{Name: "Soya meal", Generic: "soya bean meal", Class: yard.HardFeed})
			s.from("Soya meal", 0, 0.5)
		}, vetsWord, over(feed("Soya meal"), 0)},
		{"kidney trouble, cubes planned up", func(s *stable) { s.named(yard.OtherDiagnosis, "renal failure"); s.from("Cubes", 1.4, 2) }, vetsWord, over(hardFeed, 1.4)},
		{"a fat pony mare that stopped eating", func(s *stable) {
			idle(s)
			sized(s, 210, 112, yard.TypePony)
			s.Score, s.TargetScore, s.OffFeed, s.Notes = n(8), n(5), true, "not eating since Sunday"
			s.without("Cubes")
			s.keep("Hay", 3)
		}, about("D-29", "off-feed"), nil},
		{"laminitis, a mix nobody analysed", func(s *stable) {
			s.named(yard.Laminitis, "laminitis")
			s.without("Cubes")
			s.room(yard.Feed{Name: "Herby mix", Class: yard.HardFeed, MeasureKg: n(1)})
			s.keep("Herby mix", 0.5)
		}, sugar, nil},
		{"a pony's whole ration of cubes in one bucket", func(s *stable) {
			sized(s, 200, 117, yard.TypePony)
			s.keep("Hay", 3.5)
			atOnce(s, "Cubes", "Breakfast", 1.4)
		}, about("D-10", "D-13"), func(c printed) string {
			if got := c.atMeals(func(m []yard.Serving) float64 { return total(m, hardFeed) }); got > 1+1e-6 {
				return "over a kilo in a meal"
			}
			return ""
		}},
		{"a selenium drench weekly, written as daily", func(s *stable) {
			s.keep("Cubes", 1.4)
			s.room(supplement("Selenium drench", yard.Composition{Se: n(200)}))
			s.keep("Selenium drench", 0.03)
		}, about("D-23"), nil},
		{"thin, wormy and its work doubled", func(s *stable) {
			s.Score, s.TargetScore = n(3.5), n(5)
			s.Work, s.Before = week(50, 40, 15), week(35, 10)
			s.now("Hay", 7)
			s.now("Cubes", 1.4)
		}, about("energy", "thin", "work"), lessEnergy},
		{"a horse in hard work on hay at 6 kg and oats at 4", func(s *stable) {
			s.Work = week(45, 35, 15)
			s.Before = s.Work
			s.without("Cubes")
			s.keep("Hay", 6)
			s.keep("Oats", 4)
		}, about("D-17", "D-12", "D-13"), slowForage(1.25)},
	}
}

// takesHalf says that less than half of a feed is on an ordinary day.
func takesHalf(name string) func(printed) string {
	return func(c printed) string {
		if c.Status == yard.NoCard {
			return "no card"
		}
		if c.least(feed(name)) < c.now[name]/2-1e-6 {
			return "over half of it gone at once"
		}
		return ""
	}
}
