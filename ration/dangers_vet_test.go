package ration_test

import (
	"fmt"

	"hardfeed/ration/yard"
)

// vetDangers are of what a vet has named, and of words like it.
func vetDangers() []danger {
	n := yard.Known
	keepsFed := takes("Hay", "Cubes")
	named := func(kind yard.Diagnosis, text string, plant func(*stable)) func(*stable) {
		return func(s *stable) { s.named(kind, text); plant(s) }
	}
	threeKilos := func(s *stable) {
		s.keep("Hay", 7.5)
		s.keep("Cubes", 2.8)
		s.Work = week(40, 30, 10)
		s.Before = s.Work
	}
	sweet := func(s *stable) { s.without("Cubes"); s.now("Hay", 8.5) }
	return []danger{
		{"wind operation, 2.8 kg fed", named(yard.OtherDiagnosis, "wind op 2024", threeKilos), matter{}, keepsFed},
		{"tendon injury, 2.8 kg fed", named(yard.OtherDiagnosis, "tendon injury near fore", threeKilos), matter{}, keepsFed},
		{"gelded in spring, 2.8 kg fed", named(yard.OtherDiagnosis, "gelded April", threeKilos), matter{}, keepsFed},
		{"sweet itch, 2.8 kg fed", named(yard.OtherDiagnosis, "sweet itch", threeKilos), matter{}, keepsFed},
		{"an unknown condition, 2.8 kg fed and planned", named(yard.OtherDiagnosis, "hepatopathy", threeKilos), vetsWord, keepsFed},
		{"an unknown condition, 2.8 kg fed, nothing planned", named(yard.OtherDiagnosis, "hepatopathy", func(s *stable) { s.now("Hay", 7.5); s.now("Cubes", 2.8) }), vetsWord, changes("Hay", "Cubes")},
		{"an unknown condition, cubes planned up by a kilo", named(yard.OtherDiagnosis, "hepatopathy", func(s *stable) { s.from("Cubes", 1.4, 2.4) }), vetsWord, both(over(hardFeed, 1.4), keepsFed)},
		{"an unknown condition, oats planned in", named(yard.OtherDiagnosis, "query shivers", func(s *stable) { s.keep("Cubes", 1.4); s.from("Oats", 0, 0.4) }), vetsWord, both(over(feed("Oats"), 0), keepsFed)},
		{"PPID, insulin normal, on mash", named(yard.PPID, "PPID, insulin normal", func(s *stable) { sweet(s); s.keep("Veteran mash", 1.5) }), matter{}, takes("Veteran mash", "Hay")},
		{"PPID on oats", named(yard.PPID, "Cushing's", func(s *stable) { sweet(s); s.keep("Oats", 1) }), about("D-15", "cereal", "vet-named"), over(feed("Oats"), 0.5)},
		{"laminitis, oats planned", named(yard.Laminitis, "laminitis", func(s *stable) { sweet(s); s.keep("Oats", 0.5) }), sugar, over(feed("Oats"), 0)},
		{"laminitis, oats fed, nothing planned", named(yard.Laminitis, "laminitis", func(s *stable) { sweet(s); s.now("Oats", 0.5) }), matter{}, over(feed("Oats"), 0)},
		{"EMS, barley planned", named(yard.InsulinEMS, "EMS", func(s *stable) { sweet(s); s.keep("Barley", 0.6) }), sugar, over(feed("Barley"), 0)},
		{"EMS, cubes of a quarter starch and sugar", named(yard.InsulinEMS, "insulin high", func(s *stable) { s.keep("Cubes", 1.4) }), sugar, over(feed("Cubes"), 0)},
		{"PPID with high insulin, on mash", func(s *stable) {
			s.named(yard.PPID, "PPID")
			s.named(yard.InsulinEMS, "insulin high")
			sweet(s)
			s.keep("Veteran mash", 1.5)
		}, sugar, over(feed("Veteran mash"), 0)},
		{"EMS, hay of 19 % sugar", named(yard.InsulinEMS, "EMS", func(s *stable) { sweet(s); s.Feeds[0].Analysis.Sugar = n(190) }), sugar, nil},
		{"EMS, carrots", named(yard.InsulinEMS, "EMS", func(s *stable) {
			sweet(s)
			s.room(yard.Feed{Name: "Carrots"})
			s.keep("Carrots", 1)
			s.keep("Fibre cubes", 0.3)
		}), sugar, over(feed("Carrots"), 0)},
		{"laminitis, from 2 to 8 hours at grass in April", named(yard.Laminitis, "laminitis", func(s *stable) {
			s.spring()
			sweet(s)
			s.GrassBefore, s.GrassHours = n(2), n(8)
		}), about("D-06", "grass").orWords("grass"), nil},
		{"EMS, score 8, 12 hours at grass", named(yard.InsulinEMS, "EMS", func(s *stable) {
			s.spring()
			sweet(s)
			s.Score, s.TargetScore, s.GrassBefore, s.GrassHours = n(8), n(5), n(12), n(12)
			s.now("Hay", 5)
		}), about("D-06", "energy", "fat", "grass"), nil},
		{"laminitis, no hay but 20 hours of grass", named(yard.Laminitis, "laminitis 2025", func(s *stable) {
			s.spring()
			s.without("Cubes", "Hay")
			s.Kept, s.GrassBefore, s.GrassHours = yard.InField, n(20), n(20)
		}), about("D-06", "D-15", "grass", "energy"), nil},
		{"ulcers, oats in two meals", named(yard.Ulcers, "ulcers (EGUS)", func(s *stable) { s.without("Cubes"); s.keep("Hay", 7.5); s.keep("Oats", 3.6) }), about("D-14"), mealStarch(1)},
		{"ulcers, straw for hay", named(yard.Ulcers, "ulcers", func(s *stable) { s.without("Hay"); s.keep("Straw", 8); s.keep("Cubes", 1.4) }), about("D-14"), nil},
		{"ulcers, hay at eight and at three only", named(yard.Ulcers, "ulcers", func(s *stable) { s.Meals = s.Meals[:2] }), about("D-18"), nil},
		{"HYPP on lucerne", named(yard.HYPP, "HYPP", func(s *stable) {
			s.room(yard.Feed{Name: "Lucerne hay"})
			s.without("Hay")
			s.keep("Lucerne hay", 8)
			s.keep("Cubes", 1.4)
		}), about("D-27"), func(c printed) string {
			for d := range 7 {
				all := c.on(d)
				if k, dm := c.holding(all, func(x yard.Composition) yard.Num { return x.K }), c.holding(all, one); k > 11*dm+1e-6 {
					return fmt.Sprintf("potassium %.1f g a kg of dry matter", k/dm)
				}
			}
			return ""
		}},
		{"tying-up (PSSM) on oats", named(yard.TyingUp, "PSSM", func(s *stable) { s.without("Cubes"); s.keep("Oats", 2.4) }), about("D-16"), nil},
		{"tying-up (RER), half a day's energy from cereals", named(yard.TyingUp, "RER", func(s *stable) { s.without("Cubes"); s.keep("Hay", 6.5); s.keep("Oats", 3.2) }), about("D-16"), nil},
		{"choke, dry beet", named(yard.Choke, "choke", func(s *stable) { s.keep("Cubes", 1.4); s.keep("Beet", 0.6) }), about("choke").orWords("soak|choke"), nil},
		{"choke, dry cubes", named(yard.Choke, "choked twice in May", func(s *stable) { s.keep("Cubes", 2.1) }), about("choke").orWords("soak|choke"), nil},
		{"heaves, dry hay", named(yard.Heaves, "RAO", func(s *stable) { s.keep("Cubes", 1.4) }), about("heaves").orWords("dust|soak|heaves|hay"), nil},
		{"overweight, hay cut to 4 kg", named(yard.Overweight, "overweight: vet's diet", func(s *stable) {
			s.Score, s.TargetScore = n(8), n(6)
			s.without("Cubes")
			s.fed("Hay", kilos(6), kilos(4))
			s.keep("Fibre cubes", 0.3)
		}), about("D-17"), littleForage(1)},
		{"colic in the notes, two changes", func(s *stable) {
			s.noted(yard.PastColic, "colic 24/11")
			s.from("Cubes", 1.4, 2)
			s.GrassBefore, s.GrassHours = n(0), n(3)
		}, about("D-08", "D-02"), over(hardFeed, 1.4)},
		{"choke in the notes, dry beet", func(s *stable) { s.noted(yard.Choke, "choke last week"); s.keep("Beet", 0.6) }, about("choke").orWords("soak|choke"), nil},
		{"broken wind in the notes, dry hay", func(s *stable) { s.noted(yard.Heaves, "broken wind") }, about("heaves").orWords("dust|soak|heaves|hay|wind"), nil},
		{"overweight in the notes, cubes planned up", func(s *stable) {
			s.noted(yard.Overweight, "overweight, diet")
			s.Score, s.TargetScore = n(7.5), n(5)
			s.from("Cubes", 1.4, 2.1)
		}, about("energy", "overweight", "fat", "vet-named"), over(hardFeed, 1.4)},
		{"off its feed, cubes planned up", func(s *stable) { s.OffFeed, s.Notes = true, "off feed since Sat"; s.from("Cubes", 1.4, 2.1) }, about("D-29", "off-feed"), over(hardFeed, 1.4)},
		{"leaves half of 4 kg", func(s *stable) { s.OffFeed, s.Notes = true, "leaves half"; s.now("Hay", 7); s.now("Cubes", 4.2) }, about("D-29", "off-feed"), over(hardFeed, 4.2)},
		{"a donkey off its feed", func(s *stable) {
			s.Type, s.WeightKg, s.HeightCm, s.OffFeed = yard.TypeDonkey, n(172), n(108), true
			s.Work, s.Before = [7]yard.Day{}, [7]yard.Day{}
			s.without("Cubes", "Hay")
			s.keep("Straw", 3)
		}, noRation, carded},
		{"lost weight in the notes, hard feed planned down", func(s *stable) {
			s.Notes = "lost weight since October"
			s.weighings(14, 524, 518, 512, 505, 500)
			s.from("Cubes", 2.1, 0.7)
		}, about("D-28", "losing", "slimming", "energy"), lessEnergyUnplanned},
	}
}

// lessEnergyUnplanned is no harm of the card where she planned less: it is printed
// as planned, and told of.
func lessEnergyUnplanned(c printed) string {
	if got := c.least(feed("Cubes")); c.Status == yard.NoCard || got < c.HardFeed.Planned.Or(0)-1e-6 {
		return fmt.Sprintf("%.2f kg, less than was planned", got)
	}
	return ""
}

// feedDangers are too much of something, or too little.
func feedDangers() []danger {
	n := yard.Known
	supplement := func(name string, x yard.Composition) yard.Feed {
		x.DM = n(1)
		return yard.Feed{Name: name, Class: yard.Supplement, Analysis: x, AnalysisFrom: "workbook: as fed"}
	}
	oneMeal := func(s *stable, name string, kg float64) {
		s.without(name)
		s.Lines = append(s.Lines, yard.Line{Horse: s.Horse.Name, Feed: name, Meal: "Breakfast", Now: kilos(kg), Planned: kilos(kg)})
	}
	selenium, iodine := yard.Composition{Se: n(60)}, yard.Composition{I: n(700)}
	vitamins := yard.Composition{VitA: n(1.2e6), VitD: n(2.4e5)}
	dailySupply := func(of func(yard.Composition) yard.Num, most float64, what string) func(printed) string {
		return func(c printed) string {
			for d := range 7 {
				if got := c.holding(c.on(d), of); got > most+1e-6 {
					return fmt.Sprintf("%.0f of %s a day", got, what)
				}
			}
			return ""
		}
	}
	return []danger{
		{"5 kg of oats in one meal", func(s *stable) { s.without("Cubes"); s.keep("Hay", 7); oneMeal(s, "Oats", 5) }, about("D-10", "D-11"), both(mealStarch(2), over(feed("Oats"), 5))},
		{"cubes 3 kg in one meal", func(s *stable) { s.keep("Hay", 7); oneMeal(s, "Cubes", 3) }, about("D-10"), func(c printed) string {
			if got := c.atMeals(func(m []yard.Serving) float64 { return total(m, hardFeed) }); got > 2.5+1e-6 {
				return fmt.Sprintf("%.2f kg in one meal", got)
			}
			return ""
		}},
		{"4 g of starch per kg in a meal", func(s *stable) { s.without("Cubes"); s.keep("Hay", 7); oneMeal(s, "Maize", 3.3) }, about("D-11"), mealStarch(2)},
		{"2.4 g of starch per kg a day", func(s *stable) { s.without("Cubes"); s.keep("Hay", 7); s.keep("Oats", 3) }, about("D-12", "D-13"), nil},
		{"7 kg of cubes a day", func(s *stable) { s.keep("Hay", 6); s.keep("Cubes", 7) }, about("D-13"), over(hardFeed, 5.7)},
		{"oats 3.6 kg a day", func(s *stable) { s.without("Cubes"); s.keep("Hay", 7); s.keep("Oats", 3.6) }, about("D-13", "D-12"), nil},
		{"hay under 1 %", func(s *stable) { s.keep("Hay", 4.5); s.keep("Cubes", 2.8) }, about("D-17"), slowForage(1.25)},
		{"hay under 1 %, nothing planned", func(s *stable) { s.now("Hay", 4.5); s.now("Cubes", 2.8) }, about("D-17"), slowForage(1.25)},
		{"hay planned down to 4.5 kg", func(s *stable) { s.from("Hay", 8, 4.5); s.keep("Cubes", 1.4) }, about("D-17"), littleForage(1.25)},
		{"no forage on its rows", func(s *stable) { s.without("Hay"); s.keep("Cubes", 2.8) }, about("forage", "D-17"), nil},
		{"hay at eight and at three only", func(s *stable) {
			s.Meals = []yard.Meal{{Name: "Breakfast", Minute: 8 * 60}, {Name: "Tea", Minute: 15 * 60}}
		}, about("D-18"), nil},
		{"salt 200 g", func(s *stable) { s.keep("Cubes", 1.4); s.keep("Salt", 0.2) }, about("D-22"), over(feed("Salt"), 0.1)},
		{"salt 3 kg for 30 g", func(s *stable) { s.keep("Cubes", 1.4); s.keep("Salt", 3) }, about("D-22", "amount"), over(feed("Salt"), 0.1)},
		{"salt 80 g without sweat", func(s *stable) {
			s.keep("Cubes", 1.4)
			s.keep("Salt", 0.08)
			s.Work, s.Before = week(30), week(30)
		}, about("D-22"), over(feed("Salt"), 0.1)},
		{"oil 600 ml a day", func(s *stable) { s.keep("Cubes", 1.4); s.keep("Oil", 0.55) }, about("D-21"), over(feed("Oil"), 0.56)},
		{"fat over a tenth of the ration", func(s *stable) { s.keep("Cubes", 1.4); s.keep("Oil", 0.92) }, about("D-21"), func(c printed) string {
			for d := range 7 {
				if all := c.on(d); c.holding(all, func(x yard.Composition) yard.Num { return x.Fat }) > 100*c.holding(all, one)+1e-6 {
					return "fat over 10 % of dry matter"
				}
			}
			return ""
		}},
		{"selenium from two supplements", func(s *stable) {
			s.room(supplement("Sel-lick", selenium))
			s.room(supplement("Hoof meal", selenium))
			s.keep("Sel-lick", 0.02)
			s.keep("Hoof meal", 0.02)
		}, about("D-23"), nil},
		{"selenium of 1 mg a kilo", func(s *stable) { s.room(supplement("Sel-lick", selenium)); s.keep("Sel-lick", 0.15) }, about("D-23"), dailySupply(func(x yard.Composition) yard.Num { return x.Se }, 0.5*9.2, "mg selenium")},
		{"selenium of 1 mg a kilo, beside herbs of unknown content", func(s *stable) {
			s.room(supplement("Sel-lick", selenium))
			s.room(yard.Feed{Name: "Herbs", Class: yard.Supplement})
			s.keep("Sel-lick", 0.15)
			s.keep("Herbs", 0.03)
		}, about("D-23"), dailySupply(func(x yard.Composition) yard.Num { return x.Se }, 0.5*9.2, "mg selenium")},
		{"iodine by seaweed", func(s *stable) { s.room(supplement("Seaweed", iodine)); s.keep("Seaweed", 0.08) }, about("D-24"), dailySupply(func(x yard.Composition) yard.Num { return x.I }, 4*9.2, "mg iodine")},
		{"vitamins A and D from two supplements", func(s *stable) {
			s.room(supplement("Vitamin mix", vitamins))
			s.room(supplement("Show shine", vitamins))
			s.keep("Vitamin mix", 0.08)
			s.keep("Show shine", 0.08)
		}, about("D-25"), dailySupply(func(x yard.Composition) yard.Num { return x.VitD }, 44*500, "IU vitamin D")},
		{"iron tonic", func(s *stable) {
			s.room(supplement("Iron tonic", yard.Composition{Fe: n(20000)}))
			s.keep("Iron tonic", 0.03)
		}, about("D-25"), nil},
		{"calcium under phosphorus with bran", func(s *stable) {
			s.without("Cubes")
			s.Feeds[0].Analysis.Ca, s.Feeds[0].Analysis.P = n(3), n(2.4)
			s.keep("Bran", 2.4)
		}, about("D-26"), func(c printed) string {
			for d := range 7 {
				ca, p := c.holding(c.on(d), func(x yard.Composition) yard.Num { return x.Ca }), c.holding(c.on(d), func(x yard.Composition) yard.Num { return x.P })
				if ca < p-1e-6 {
					return fmt.Sprintf("calcium %.1f g to phosphorus %.1f", ca, p)
				}
			}
			return ""
		}},
		{"maize a third of the ration", func(s *stable) { s.without("Cubes"); s.keep("Hay", 7); s.keep("Maize", 3) }, about("SH-03", "D-12", "D-13"), nil},
		{"cattle nuts", func(s *stable) {
			s.room(yard.Feed{Name: "Cattle nuts", Class: yard.HardFeed, MeasureKg: n(1.2)})
			s.keep("Cubes", 1.4)
			s.keep("Cattle nuts", 0.6)
		}, about("SH-01"), over(feed("Cattle nuts"), 0)},
		{"hard feed written ad lib", func(s *stable) { s.fed("Cubes", adLib, adLib) }, amounts, func(c printed) string {
			for _, s := range c.Servings {
				if hardFeed(s) && s.AdLib {
					return "hard feed ad lib on the wall"
				}
			}
			return ""
		}},
		{"hard feed ad lib now, nothing planned", func(s *stable) { s.fed("Cubes", adLib, blank) }, amounts, over(hardFeed, 1.4)},
		{"grass ad lib beside weighed hay", func(s *stable) {
			s.room(yard.Feed{Name: "Grass", Generic: "grass pasture", Class: yard.Forage})
			s.now("Hay", 6)
			s.fed("Grass", adLib, blank)
		}, matter{}, over(feed("Hay"), 7.5)},
		{"carrots hide the energy", func(s *stable) { s.room(yard.Feed{Name: "Carrots"}); s.keep("Cubes", 1.4); s.keep("Carrots", 1) }, matter{}, energyHidden},
		{"soaked hay, weighed wet", func(s *stable) {
			s.room(yard.Feed{Name: "Soaked hay", Generic: "grass hay, mid-maturity"})
			s.without("Hay")
			s.keep("Soaked hay", 8)
			s.keep("Cubes", 1.4)
		}, about("soaked"), nil},
		{"salt hides the copper that is short", func(s *stable) {
			s.Feeds[0].Analysis.Cu, s.Feeds[0].Analysis.Zn = n(3), n(12)
			s.without("Cubes")
			s.keep("Hay", 9)
			s.keep("Oats", 0.4)
		}, about("nutrient", "copper", "mineral"), copperHidden},
		{"an amount that cannot be read", func(s *stable) { s.fed("Cubes", yard.Amount{Given: true}, yard.Amount{Given: true}) }, amounts, nil},
	}
}

func energyHidden(c printed) string {
	if c.Status != yard.NoCard && !c.Energy.Supply.IsKnown() {
		return "the energy of the ration counts as unknown"
	}
	return ""
}

func copperHidden(c printed) string {
	for _, x := range c.Nutrients {
		if x.Name == "copper" && !x.Supply.IsKnown() {
			return "the copper of the ration counts as unknown"
		}
	}
	return ""
}

// roomDangers are of the feed room.
func roomDangers() []danger {
	return []danger{
		{"haylage open for nine days", func(s *stable) {
			s.Feeds[1].OpenedOn = ago(9)
			s.without("Hay")
			s.now("Haylage", 11)
		}, about("room-open"), nil},
		{"a feed past its date", func(s *stable) { s.Feeds[3].BestBefore = ago(20) }, about("room-expired"), nil},
		{"cubes of a new batch, the scoop weighed on the old", func(s *stable) { s.Feeds[3].MeasureWeighed, s.Feeds[3].BatchSince = ago(40), ago(9) }, about("room-batch", "D-30"), nil},
		{"cattle nuts kept in the feed room", func(s *stable) { s.room(yard.Feed{Name: "Cattle nuts", Class: yard.HardFeed}) }, about("SH-01"), nil},
	}
}
