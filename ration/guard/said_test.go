package guard

import (
	"strings"
	"testing"
	"time"

	"hardfeed/ration/feeds"
	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// holding makes a feed whose dry matter holds something, a kg.
func holding(set func(*yard.Composition)) func(*feeds.Known) {
	return func(k *feeds.Known) { set(&k.Composition) }
}

func hayWith(set func(*yard.Composition)) Fed {
	return one("Hay", yard.Forage, 10, 1, holding(set))
}

func sugars(starch, sugar float64) func(*feeds.Known) {
	return holding(func(c *yard.Composition) { c.Starch, c.Sugar = yard.Known(starch), yard.Known(sugar) })
}

// plainHay brings nothing that any mark is on.
var plainHay = one("Hay", yard.Forage, 10, 1, func(k *feeds.Known) {
	k.Composition = yard.Composition{DM: yard.Known(1), DE: yard.Known(2), Starch: yard.Known(10), Sugar: yard.Known(60), K: yard.Known(9), Fat: yard.Known(20),
		Se: yard.Known(0.05), I: yard.Known(0.1), VitA: yard.Known(100), VitD: yard.Known(100), VitE: yard.Known(20)}
})

func changed(r Ration, change func(*Ration)) Ration {
	change(&r)
	return r
}

func meals(ms ...meal) Ration { return mealsOf(500, ms...) }

// mixOfUnknownStarch is a crumb of a feed whose starch nobody knows.
func mixOfUnknownStarch(r *Ration) { r.Feeds = append(r.Feeds, one("Mix", yard.Chaff, 1e-6, 0.9, nil)) }

// oilWithoutE is oil that brings no vitamin E.
func oilWithoutE(ml float64) Fed {
	f := oilOf(ml)
	f.Feed.Composition.VitE = yard.Known(0)
	return f
}

func called(text string, kind yard.Diagnosis, fed ...Fed) Ration {
	r := of(500, nil, fed...)
	r.Diagnoses = []yard.NamedDiagnosis{{Kind: kind, Text: text}}
	return r
}

func sick(kind yard.Diagnosis, change func(*HorseWeek)) HorseWeek {
	return aWeek(500, func(w *HorseWeek) {
		w.Horse.Diagnoses = []yard.NamedDiagnosis{{Kind: kind, Text: string(kind)}}
		change(w)
	})
}

func sevenDays(days ...yard.Day) (w [7]yard.Day) {
	copy(w[:], days)
	return w
}

func feedRoomOf(f yard.Feed) Room {
	return Room{Beginning: monday, Feeds: []feeds.Known{{FeedNeed: yard.FeedNeed{Feed: f}}}}
}

func daysAgo(n int) time.Time { return monday.AddDate(0, 0, -n) }

func scales(kgAndDaysAgo ...float64) (ws []yard.Weighing) {
	for i := 0; i < len(kgAndDaysAgo); i += 2 {
		ws = append(ws, weighed(kgAndDaysAgo[i], int(kgAndDaysAgo[i+1]), yard.ByScale))
	}
	return ws
}

// scoresTaken are scores taken some days before the week, without a weight.
func scoresTaken(scoreAndDaysAgo ...float64) (ws []yard.Weighing) {
	for i := 0; i < len(scoreAndDaysAgo); i += 2 {
		ws = append(ws, yard.Weighing{Date: daysAgo(int(scoreAndDaysAgo[i+1])), Score: yard.Known(scoreAndDaysAgo[i])})
	}
	return ws
}

func scored(score, target float64, ws []yard.Weighing) HorseWeek {
	return aWeek(500, func(w *HorseWeek) {
		w.Horse.Score, w.Horse.TargetScore, w.Horse.Weighings = yard.Known(score), yard.Known(target), ws
	})
}

func softWeek(kept yard.Kept, daysIn int, work ...yard.Day) HorseWeek {
	return aWeek(500, func(w *HorseWeek) {
		w.Horse.Fitness, w.Horse.Checks, w.Horse.Kept, w.Horse.InWorkSince = yard.Soft, yard.Checks(), kept, daysAgo(daysIn)
		w.Horse.Work = sevenDays(work...)
	})
}

func weather(c, humidity float64) HorseWeek {
	return aWeek(500, func(w *HorseWeek) {
		w.Class, w.Temperature, w.HumidityPct = yard.ClassLight, yard.Known(c), yard.Known(humidity)
	})
}

// saidCases are what each rule says, word for word: what was compared with what.
var saidCases = []struct {
	rule, row string // the rule's id and, where several share it, what is compared
	of        any    // a Ration, HorseWeek or Room
	sev       yard.Severity
	want      string
}{
	{"D-01", "", aWeek(500, func(w *HorseWeek) { w.RiseKg = yard.Known(0.8) }), yard.Warn, "hard feed goes up by 0.80 kg a day in the week; the warn mark for 500 kg is 0.70 kg"},
	{"D-02", "", aWeek(500, func(w *HorseWeek) { w.RiseKg = yard.Known(1.5) }), yard.Stop, "hard feed goes up by 1.50 kg a day in the week; the stop mark for 500 kg is 1.40 kg"},
	{"D-03", "", aWeek(500, func(w *HorseWeek) { w.DayRiseKg = yard.Known(0.25) }), yard.Warn, "dealt out over the week, hard feed still rises by 0.25 kg in one day; the warn mark is 0.20 kg"},
	{"D-03", "", aWeek(500, func(w *HorseWeek) { w.DayRiseKg = yard.Known(0.35) }), yard.Stop, "dealt out over the week, hard feed still rises by 0.35 kg in one day; the stop mark is 0.30 kg"},
	{"D-04", "", aWeek(500, func(w *HorseWeek) { w.NewHard = []NewFeed{{"Cubes", yard.Known(7)}, {"Mix", yard.Known(8)}} }), yard.Warn,
		"Cubes is new and reaches its full amount on day 7; the warn mark is under 10 days"},
	{"D-04", "", aWeek(500, func(w *HorseWeek) { w.NewHard = []NewFeed{{"Cubes", yard.Known(7)}, {"Mix", yard.Known(5)}} }), yard.Stop,
		"Mix is new and reaches its full amount on day 5; the stop mark is under 6 days"},
	{"D-04", "", aWeek(500, func(w *HorseWeek) { w.NewHard = []NewFeed{{Name: "Cubes"}} }), yard.Note,
		"Cubes is new; over how many days it is blended in is not known, the warn mark is under 10 days, the stop mark under 6"},
	{"D-05", "", aWeek(500, func(w *HorseWeek) { w.NewHay = []NewFeed{{"Hay", yard.Known(7)}} }), yard.Warn, "Hay is new and reaches its full amount on day 7; the warn mark is under 14 days"},
	{"D-05", "", aWeek(500, func(w *HorseWeek) { w.NewHay = []NewFeed{{"Hay", yard.Known(0)}} }), yard.Stop, "Hay is new and reaches its full amount on day 0; the stop mark is under 6 days"},
	{"D-06", "", aWeek(500, func(w *HorseWeek) { w.Horse.GrassBefore, w.Horse.GrassHours = yard.Known(1), yard.Known(4) }), yard.Warn,
		"180 minutes a day more at grass than last week, 26 for each of seven days; the warn mark is 15 minutes more a day than the day before"},
	{"D-06", "", sick(yard.InsulinEMS, func(w *HorseWeek) { w.Horse.GrassHours = yard.Known(0.5) }), yard.Warn,
		"0.5 h a day at grass, and last week's hours are not given, so they could not be compared; with the vet's diagnosis any rise is a stop"},
	{"D-06", "", sick(yard.Laminitis, func(w *HorseWeek) { w.Horse.GrassHours = yard.Known(24) }), yard.Warn,
		"24 h a day at grass, and last week's hours are not given, so they could not be compared; with the vet's diagnosis any rise is a stop"},
	{"D-06", "", sick(yard.PPID, func(w *HorseWeek) { w.Horse.GrassBefore, w.Horse.GrassHours = yard.Known(1), yard.Known(1.5) }), yard.Stop,
		"30 minutes a day more at grass than last week; with the vet's diagnosis any rise is a stop"},
	{"D-07", "", aWeek(500, func(w *HorseWeek) { w.OilNewMl, w.OilDays = 50, 1 }), yard.Warn, "oil goes up by 50 ml a day in 1 day; the warn mark is under 14 days"},
	{"D-07", "", aWeek(500, func(w *HorseWeek) { w.OilNewMl, w.OilDays = 0.5, 0 }), yard.Warn, "oil goes up by 0 ml a day in 0 days; the warn mark is under 14 days"},
	{"D-08", "", aWeek(500, func(w *HorseWeek) { w.Changes = threeChanges[:2] }), yard.Warn, "2 changes inside 14 days: hay and turnout; one is the mark"},
	{"D-08", "", sick(yard.PastColic, func(w *HorseWeek) { w.Changes = threeChanges }), yard.Stop,
		"3 changes inside 14 days: hay, turnout and work; one is the mark; with colic named by the vet two are a stop"},
	{"D-10", "", meals(meal{"Breakfast", 1.6, 0}, meal{"Tea", 1.6, 0}), yard.Warn, "Breakfast holds 1.60 kg of hard feed; the warn mark for a horse of 500 kg is 1.50 kg a meal"},
	{"D-10", "", changed(meals(meal{"Breakfast", 1.6, 0}, meal{"Tea", 2.1, 0}), func(r *Ration) { r.CeilingKg = 400 }), yard.Stop,
		"Tea holds 2.10 kg of hard feed; the stop mark for a horse of 400 kg is 2.00 kg a meal"},
	{"D-11", "", meals(meal{"Breakfast", 0, 600}, meal{"Tea", 0, 600}), yard.Warn, "Breakfast brings 1.20 g of starch per kg body weight; the warn mark is 1.0 g a meal"},
	{"D-11", "", changed(meals(meal{"Breakfast", 0, 100}, meal{"Tea", 0, 1050}), mixOfUnknownStarch), yard.Stop,
		"Tea brings at least 2.10 g of starch per kg body weight; the stop mark is 2.0 g a meal"},
	{"D-12", "", meals(meal{"Breakfast", 0, 600}, meal{"Tea", 0, 600}), yard.Warn, "the bucket brings 2.40 g of starch per kg body weight a day; the warn mark is 2.0 g"},
	{"starch-unknown", "", changed(meals(meal{"Tea", 0, 0}), mixOfUnknownStarch), yard.Warn,
		"the starch of Mix is not known: the starch marks were compared with the rest only; give Starch % on the feeds sheet"},
	{"D-13", "hard feed in a day", dryOf(500, 3, 9), yard.Warn, "hard feed is 0.60 % of body weight a day as dry matter; the warn mark is 0.50 %"},
	{"D-13", "hard feed in a day", dryOf(500, 5.5, 6), yard.Stop, "hard feed is 1.10 % of body weight a day as dry matter; the stop mark is 1.00 %"},
	{"D-13", "hard feed in a day", dryOf(500, 3, 5), yard.Stop, "hard feed is 60 % of the ration's dry matter; the stop mark is 50 %"},
	{"D-13", "hard feed in a day", oatsOf(500, 3), yard.Warn, "3.00 kg of oats a day; the warn mark for a horse of 500 kg is 2.70 kg"},
	{"D-13", "hard feed in a day, the older mark", meals(meal{"Tea", 4, 0}), yard.Warn, "4.00 kg of hard feed a day; an older warn mark for a horse of 500 kg is 3.50 kg"},
	{"D-14", "starch, ulcer history", changed(meals(meal{"Tea", 0, 600}), namedUlcers), yard.Stop,
		"Tea brings 1.20 g of starch per kg body weight; with ulcers named by the vet the stop mark is 1.0 g a meal"},
	{"D-14", "starch, ulcer history", changed(meals(meal{"a", 0, 400}, meal{"b", 0, 400}, meal{"c", 0, 400}), namedUlcers), yard.Stop,
		"the bucket brings 2.40 g of starch per kg body weight a day; with ulcers named by the vet the stop mark is 2.0 g"},
	{"D-14", "straw as the only forage, ulcer history", called("ulcers", yard.Ulcers, one("Straw", yard.Forage, 9, 0.9, func(k *feeds.Known) { k.Straw = true }), one("Cubes", yard.HardFeed, 1, 0.9, nil)), yard.Stop,
		"Straw is the only forage; with ulcers named by the vet straw alone is a stop"},
	{"D-15", "cereals and sweet feeds", called("EMS", yard.InsulinEMS, plainHay, one("Oats", yard.HardFeed, 1, 0.88, func(k *feeds.Known) { k.Cereal = true }), one("Carrots", yard.Succulent, 1, 0.12, nil)), yard.Stop,
		"Oats and Carrots: no cereals, fruit or roots, as your vet set it"},
	{"D-15", "starch and sugar of a bucket feed", called("EMS", yard.InsulinEMS, one("Cubes", yard.HardFeed, 0.1, 0.8, sugars(100, 50))), yard.Stop,
		"Cubes has at least 12 % starch and sugar; the stop mark is 10 %, as your vet set it"},
	{"D-15", "starch and sugar of a bucket feed", called("EMS", yard.InsulinEMS, one("Mash", yard.HardFeed, 0.1, 0.8, nil), one("Chop", yard.Chaff, 0.1, 0.8, nil)), yard.Warn,
		"the starch and sugar of Mash and Chop are not both known, so the mark of 10 % could not be compared, as your vet set it"},
	{"D-15", "starch and sugar of a bucket feed", called("EMS", yard.InsulinEMS, one("Mash", yard.HardFeed, 0.1, 0.8, holding(func(c *yard.Composition) { c.Starch = yard.Known(20) }))), yard.Warn,
		"the starch and sugar of Mash are not both known, so the mark of 10 % could not be compared, as your vet set it"},
	{"D-15", "starch and sugar of a bucket feed", called("EMS", yard.InsulinEMS, one("Mash", yard.HardFeed, 0.1, 0.8, func(k *feeds.Known) {
		k.Composition = yard.Composition{Starch: yard.Known(10), Sugar: yard.Known(10)} // its dry matter is not known
	})), yard.Warn, "the starch and sugar of Mash are not both known, so the mark of 10 % could not be compared, as your vet set it"},
	{"D-15", "starch and sugar of a bucket meal", called("EMS", yard.InsulinEMS, one("Balancer", yard.HardFeed, 2, 0.5, sugars(60, 40)), plainHay), yard.Stop,
		"the bucket at Tea brings at least 0.20 g of starch and sugar per kg body weight; the stop mark is 0.10 g, as your vet set it"},
	{"D-15", "starch and sugar of the hay", called("EMS", yard.InsulinEMS, one("Hay", yard.Forage, 10, 0.85, sugars(20, 100))), yard.Warn,
		"Hay has at least 12 % starch and sugar in its dry matter; the warn mark is 10 %, as your vet set it"},
	{"D-15", "starch and sugar of the hay", called("EMS", yard.InsulinEMS, one("Hay", yard.Forage, 10, 0.85, nil)), yard.Warn,
		"the starch and sugar of Hay are not both known, so the mark of 10 % could not be compared, as your vet set it"},
	{"D-16", "", called("tying-up", yard.TyingUp, one("Mix", yard.HardFeed, 2, 1, func(k *feeds.Known) {
		k.Composition = yard.Composition{DM: yard.Known(1), DE: yard.Known(4.2), Starch: yard.Known(100), Sugar: yard.Known(50)} // 4.2 Mcal a kg, from memory
	})), yard.Warn, "at least 15 % of the energy comes from starch and sugar, hay included; the warn mark for tying-up is 10 %, as your vet set it"},
	{"D-16", "", called("PSSM 1", yard.TyingUp, plainHay, one("Mix", yard.HardFeed, 2, 1, nil)), yard.Warn,
		"the energy of Mix is not known, so the share from starch and sugar (warn mark 10 %, PSSM) could not be compared, as your vet set it"},
	{"D-16", "", called("RER", yard.TyingUp, plainHay, one("Mix", yard.HardFeed, 2, 1, nil)), yard.Warn,
		"the energy of Mix is not known, so the share from starch and sugar (warn mark 20 %, RER) could not be compared, as your vet set it"},
	{"D-17", "", hayOf(500, 7), yard.Warn, "forage is 1.40 % of body weight a day as dry matter; the warn mark is under 1.50 %"},
	{"D-17", "", changed(hayOf(500, 6), func(r *Ration) { r.CeilingKg = 400 }), yard.Stop, "forage is 1.20 % of body weight a day as dry matter; the stop mark is under 1.25 %"},
	{"D-17", "", called("overweight", yard.Overweight, one("Hay", yard.Forage, 6, 1, nil)), yard.Warn,
		"forage is 1.20 % of body weight a day as dry matter; the warn mark is under 1.25 %, slimming as your vet set it"},
	{"D-17", "", Ration{BodyKg: 500, ForageUnknown: true}, yard.Warn, "the dry matter of the forage is not known, so the forage floor could not be compared; give DM % on the feeds sheet"},
	{"D-18", "", aWeek(500, func(w *HorseWeek) { w.Forage = []ForageMeal{{440, 3}, {1040, 11}} }), yard.Stop,
		"about 8 h without forage from about 09:20, at 40 minutes a kg of hay; the stop mark is 6 h"},
	{"D-18", "", aWeek(500, func(w *HorseWeek) { w.Forage = []ForageMeal{{440, 9}, {1040, 12}} }), yard.Warn,
		"about 6 h without forage from about 01:20, at 40 minutes a kg of hay; the warn mark is 4 h"},
	{"D-18", "", aWeek(500, func(w *HorseWeek) { w.Forage = []ForageMeal{{440, 9}, {1040, 11.7}} }), yard.Stop, // a mark is never passed by what reads the same
		"about 6.2 h without forage from about 01:08, at 40 minutes a kg of hay; the stop mark is 6.0 h"},
	{"D-18", "", aWeek(500, func(w *HorseWeek) { w.Forage = []ForageMeal{{1085, 7.5}, {395, 8}} }), yard.Stop, // in any order
		"about 8 h without forage from about 23:05, at 40 minutes a kg of hay; the stop mark is 6 h"},
	{"D-19", "", aWeek(500, func(w *HorseWeek) {
		w.Events = []EventMeals{{saturday, "Breakfast", 180, true}, {sunday, "Tea", 200, true}}
	}), yard.Warn,
		"Sat: hard feed at Breakfast is 3.0 h before work; the mark is 4 h"},
	{"D-19", "", aWeek(500, func(w *HorseWeek) {
		w.Events = []EventMeals{{saturday, "Breakfast", 90, false}, {sunday, "Tea", 30, false}}
	}), yard.Stop,
		"Sun: hard feed at Tea is 0.5 h before work; the mark is 1 h"},
	{"D-20", "", aWeek(500, func(w *HorseWeek) { w.HardCard, w.HardRestDayKg = yard.Known(2), 2 }), yard.Warn,
		"hard feed of 0.40 % of body weight on days off, as on days of work; the mark is 0.30 %, half would be 1.00 kg. The amounts are printed as they stand: ask whether it needs them"},
	{"D-20", "", sick(yard.TyingUp, func(w *HorseWeek) { w.HardCard, w.HardRestDayKg = yard.Known(0.5), 0.5 }), yard.Stop,
		"0.50 kg of hard feed on a day off, as on a day of work; with tying-up named by the vet that is a stop, half would be 0.25 kg"},
	{"D-21", "oil in a day", of(500, nil, oilOf(600)), yard.Warn, "600 ml of oil a day; the warn mark for a horse of 500 kg is 500 ml, in at least two meals"},
	{"D-21", "fat in the ration", of(500, nil, hayWith(func(c *yard.Composition) { c.Fat = yard.Known(80) })), yard.Warn, "fat is 8.0 % of the ration's dry matter; the warn mark is 6 %"},
	{"D-21", "fat in the ration", of(500, nil, hayWith(func(c *yard.Composition) { c.Fat = yard.Known(240) }), one("Straw", yard.Forage, 10, 1, nil)), yard.Stop,
		"fat is at least 12.0 % of the ration's dry matter; the stop mark is 10 %"},
	{"D-21", "vitamin E with oil", changed(of(500, nil, hayWith(func(c *yard.Composition) { c.VitE = yard.Known(40) })), func(r *Ration) { r.Feeds, r.VitENeeds = append(r.Feeds, oilWithoutE(100)), 500 }), yard.Warn,
		"400 IU of vitamin E a day with 100 ml of oil; 600 IU are asked for, an IU a ml beside the need of 500"},
	{"D-21", "vitamin E with oil", changed(of(500, nil, one("Hay", yard.Forage, 10, 1, nil)), func(r *Ration) { r.Feeds, r.VitENeeds = append(r.Feeds, oilWithoutE(0.5)), 500 }), yard.Note,
		"0 ml of oil asks for 0 IU of vitamin E beside the need of 500; what the feeds bring is not known of Hay"},
	{"D-22", "", of(500, nil, saltOf(60)), yard.Warn, "60 g of salt a day in light work or none; the warn mark for a horse of 500 kg is 50 g"},
	{"D-22", "", changed(of(500, nil, saltOf(110)), func(r *Ration) { r.Sweats = true }), yard.Stop, "110 g of salt a day; the stop mark for a horse of 500 kg is 100 g, and never without free water"},
	{"D-23", "selenium, all sources", of(500, nil, hayWith(func(c *yard.Composition) { c.Se = yard.Known(0.4) })), yard.Warn, "selenium is 0.40 mg per kg of dry matter; the warn mark is 0.3"},
	{"D-23", "selenium, all sources", of(500, nil, hayWith(func(c *yard.Composition) { c.Se = yard.Known(2) })), yard.Stop, "selenium is 2.00 mg per kg of dry matter; the stop mark is 0.5"},
	{"D-23", "selenium, all sources", of(500, nil, hayWith(func(c *yard.Composition) { c.Se = yard.Known(5) }), one("Straw", yard.Forage, 10, 1, nil)), yard.Stop,
		"selenium is at least 2.50 mg per kg of dry matter, over 2.0, the most that is tolerated for long: ring the vet now"},
	{"D-23", "sources of selenium", of(500, nil, plainHay, one("Balancer", yard.HardFeed, 0.5, 1, holding(func(c *yard.Composition) { c.Se = yard.Known(1) })), one("Selenium lick", yard.Supplement, 0.1, 1, nil)), yard.Warn,
		"Balancer and Selenium lick have selenium added; one source is the mark"},
	{"D-24", "", of(500, nil, hayWith(func(c *yard.Composition) { c.I = yard.Known(1.5) })), yard.Warn, "iodine is 1.50 mg per kg of dry matter; the warn mark is 1.0"},
	{"D-25", "vitamin A", of(500, nil, hayWith(func(c *yard.Composition) { c.VitA = yard.Known(17000) })), yard.Stop, "vitamin A is 17000 IU per kg of dry matter; the stop mark is 16000"},
	{"D-25", "vitamin D", of(500, nil, hayWith(func(c *yard.Composition) { c.VitD = yard.Known(2500) })), yard.Stop, "vitamin D is 50.0 IU per kg of body weight a day; the stop mark is 44"},
	{"D-25", "vitamin D", of(500, nil, hayWith(func(c *yard.Composition) { c.VitD = yard.Known(2500) }), one("Straw", yard.Forage, 1, 1, nil)), yard.Stop,
		"vitamin D is at least 50.0 IU per kg of body weight a day; the stop mark is 44"},
	{"D-23", "selenium, all sources", of(500, nil, hayWith(func(c *yard.Composition) { c.Se = yard.Known(0.1) }), one("Lick", yard.Supplement, 0.1, 1, holding(func(c *yard.Composition) { c.Se = yard.Known(15) })), one("Hoof meal", yard.Supplement, 0.1, 1, holding(func(c *yard.Composition) { c.Se = yard.Known(25) }))), yard.Warn,
		"Lick and Hoof meal together bring selenium to 0.49 mg per kg of dry matter; the warn mark is 0.3"},
	{"D-23", "selenium, all sources", of(500, nil, atMost(hayWith(func(c *yard.Composition) { c.Se = yard.Known(0.1) }), func(c *yard.Composition) { c.Se = yard.Known(0.4) })), yard.Warn,
		"with hay and cereals at the high end of what their kind holds, selenium is 0.40 mg per kg of dry matter; the warn mark is 0.3"},
	{"D-24", "", of(500, nil, hayWith(func(c *yard.Composition) { c.I = yard.Known(0.2) }), one("Seaweed", yard.Supplement, 0.02, 1, holding(func(c *yard.Composition) { c.I = yard.Known(700) })), one("Kelp bar", yard.Supplement, 0.02, 1, holding(func(c *yard.Composition) { c.I = yard.Known(700) }))), yard.Warn,
		"Seaweed and Kelp bar together bring iodine to 2.99 mg per kg of dry matter; the warn mark is 1.0"},
	{"D-24", "", of(500, nil, atMost(hayWith(func(c *yard.Composition) { c.I = yard.Known(0.2) }), func(c *yard.Composition) { c.I = yard.Known(1.2) })), yard.Warn,
		"with hay and cereals at the high end of what their kind holds, iodine is 1.20 mg per kg of dry matter; the warn mark is 1.0"},
	{"D-25", "iron as a supplement", of(500, nil, plainHay, one("Iron tonic", yard.Supplement, 0.5, 1, nil)), yard.Warn, "Iron tonic is fed for its iron; no iron supplement is the mark"},
	{"D-26", "", caAndP(500, 22, 20), yard.Warn, "calcium to phosphorus is 1.10 to 1 in the whole ration; the warn mark is under 1.2"},
	{"D-26", "", caAndP(500, 0.4, 0.5), yard.Stop, "calcium to phosphorus is 0.80 to 1 in the whole ration; the stop mark is under 1.0"},
	{"D-26", "", caAndP(500, 130, 20), yard.Warn, "calcium to phosphorus is 6.50 to 1 in the whole ration; the warn mark is over 6"},
	{"D-27", "", called("HYPP", yard.HYPP, hayWith(func(c *yard.Composition) { c.K = yard.Known(10.5) })), yard.Warn,
		"potassium is 1.05 % of the ration's dry matter; the warn mark is 1.0 %, as your vet set it"},
	{"D-27", "", called("HYPP", yard.HYPP, hayWith(func(c *yard.Composition) { c.K = yard.Known(24) }), one("Straw", yard.Forage, 10, 1, nil)), yard.Stop,
		"potassium is at least 1.20 % of the ration's dry matter; the stop mark is 1.1 %, as your vet set it"},
	{"D-27", "", called("HYPP", yard.HYPP, hayWith(func(c *yard.Composition) { c.K = yard.Known(5) }), one("Beet", yard.HardFeed, 2, 1, holding(func(c *yard.Composition) { c.K = yard.Known(20) }))), yard.Stop,
		"Tea brings at least 40 g of potassium; the stop mark is 33 g a meal, as your vet set it"},
	{"D-27", "", called("HYPP", yard.HYPP, hayWith(func(c *yard.Composition) { c.K = yard.Known(5) }), one("Mix", yard.HardFeed, 2, 1, nil)), yard.Warn,
		"the potassium of Mix is not known, so the mark of 1.1 % could not be compared, as your vet set it"},
	{"D-27", "", called("HYPP", yard.HYPP, one("Hay", yard.Forage, 9, 1, func(k *feeds.Known) { k.Composition.DM = yard.Num{} })), yard.Warn,
		"the dry matter of the ration is not known, so its potassium could not be compared, as your vet set it"},
	{"D-28", "weight going down", scored(5, 5, scales(500, 16, 485, 2)), yard.Stop, "it has lost 1.5 % of its weight a week over 14 days. The most is 1.0 % a week after the first"},
	{"D-28", "a donkey's weight going down", aWeek(180, func(w *HorseWeek) { w.Horse.Type, w.Horse.Weighings = yard.TypeDonkey, scales(180, 32, 174, 2) }), yard.Stop,
		"the donkey has lost weight at 6.0 kg a month over 30 days; the stop mark is 5 kg a month"},
	{"D-28", "weight going up", scored(5, 6, scales(500, 16, 515, 2)), yard.Warn, "it has gained 1.50 % of its weight a week over 14 days; the warn mark is 0.35 %"},
	{"D-29", "", aWeek(500, func(w *HorseWeek) { w.Horse.Score = yard.Known(2.5) }), yard.Stop, "its condition score is 2.5 of 9; under 3 no ration is computed: a vet sets it"},
	{"D-29", "", aWeek(180, func(w *HorseWeek) { w.Horse.Type, w.Horse.OffFeed = yard.TypeDonkey, true }), yard.Stop,
		"the figures used are for horses and ponies, not for donkeys: ask a vet or a donkey charity; it is off its feed: a donkey, pony or miniature off its feed needs a vet the same day and must not be starved"},
	{"D-29", "", aWeek(180, func(w *HorseWeek) { w.Horse.Breeding = yard.InFoal }), yard.Stop, "she is in foal; the figures used are for horses that are not: ask a vet or a nutritionist"},
	{"D-29", "", aWeek(180, func(w *HorseWeek) { w.Horse.Breeding = yard.BreedingUnclear }), yard.Stop, "it is not clear whether she is in foal or has a foal at foot; the figures used are for horses without: correct the horses sheet, or ask a vet"},
	{"D-29", "", aWeek(180, func(w *HorseWeek) { w.Horse.Breeding = yard.Lactating }), yard.Stop, "she has a foal at foot; the figures used are for mares without: ask a vet or a nutritionist"},
	{"D-29", "", aWeek(180, func(w *HorseWeek) { w.Horse.AgeYears = yard.Known(2.5) }), yard.Stop, "it is 2.5, under three years old; growing horses have needs of their own: ask a nutritionist"},
	{"D-30", "age of the body weight", aWeek(500, func(w *HorseWeek) { w.Horse.Weighed = daysAgo(31) }), yard.Warn, "the body weight is from 30 October 2026, 31 days before this week; 30 is the mark"},
	{"D-30", "measures weighed for each batch", feedRoomOf(yard.Feed{Name: "Oats", MeasureName: "scoop", MeasureKg: yard.Known(1), MeasureWeighed: daysAgo(31)}), yard.Note,
		"last weighed over 30 days before this week: the scoop of Oats on 30 October 2026"},
	{"weighing", "", scored(5, 5, scales(500, 9, 440, 2)), yard.Warn, "500 kg on 21 November and 440 kg on 28 November are over 10 % apart. Weigh it again today. One may be a slip of the pen, but if it has lost this much, ring the vet"},
	{"weighing", "", scored(5, 5, scales(440, 9, 500, 2)), yard.Warn, "440 kg on 21 November and 500 kg on 28 November are over 10 % apart: one may be a slip of the pen"},
	{"D-28", "weight going down", scored(5, 5, weekly(500, 9, -2.5)), yard.Warn, "it has lost 0.5 % of its weight a week over 56 days, 20 kg in all. That is more than the scales' scatter, and it is not meant to lose"},
	{"D-28", "weight going down", scored(5, 5, append(weekly(500, 8, 0)[:7], weighed(455, 2, yard.ByScale))), yard.Stop, "it weighed 455 kg on 28 November, and about 500 kg was to be expected. Weigh it again today; until then this counts as a loss"},
	{"slimming", "condition score against the aim", scored(7, 5, scoresTaken(6.5, 40, 6, 30, 6.5, 10, 7, 2)), yard.Warn, "its score has gone from 6 to 7 in 28 days, away from the 5 it is to have"},
	{"slimming", "condition score against the aim", scored(4, 5, scoresTaken(5, 16, 4, 2)), yard.Warn, "its score has gone from 5 to 4 in 14 days, away from the 5 it is to have"},
	{"slimming", "weight against the aim", scored(7, 5, scales(500, 16, 515, 2)), yard.Warn, "it is to go from score 7 to 5 and has gained 1.50 % a week over 14 days"},
	{"slimming", "weight against the aim", scored(4, 5, scales(500, 16, 485, 2)), yard.Warn, "it is to go from score 4 to 5 and has lost 1.50 % a week over 14 days"},
	{"holding", "", scored(5, 5, weekly(500, 9, 1.4)), yard.Warn, "it is to be held at score 5 and has gained 11 kg, 2.2 % of its weight, in 56 days; the warn mark is 2 %, half a score"},
	{"work-pace", "", softWeek(yard.Stabled, 21, session(yard.Canter, 5)), yard.Warn, "5 minutes of cantering are planned after 3 weeks in work; for a soft horse kept in a stable it comes after 4 weeks"},
	{"work-pace", "", softWeek(yard.InField, 21, session(yard.Gallop, 4), session(yard.Jump, 2)), 0, ""},
	{"work-pace", "", softWeek(yard.InField, 14, session(yard.Gallop, 4), session(yard.Jump, 2)), yard.Warn, "4 minutes of galloping are planned after 2 weeks in work; for a soft horse kept in a field it comes after 3 weeks"},
	{"work-pace", "", softWeek(yard.InPaddock, 21, session(yard.Jump, 2)), yard.Warn, "2 minutes of jumping are planned after 3 weeks in work; for a soft horse kept in a small paddock it comes after 4 weeks"},
	{"work-pace", "", softWeek("", 7, session(yard.Trot, 8)), yard.Warn, "8 minutes of trotting are planned after 1 week in work; for a soft horse, housing not said and taken as stabled, it comes after 2 weeks"},
	{"work-pace", "", softWeek("", -4, session(yard.Trot, 8)), yard.Warn, "8 minutes of trotting are planned after 0 weeks in work; for a soft horse, housing not said and taken as stabled, it comes after 2 weeks"},
	{"work-pace", "", aWeek(500, func(w *HorseWeek) {
		w.Horse.Fitness, w.Horse.Kept, w.Horse.Checks = yard.Soft, yard.Stabled, yard.Checks()
		w.Horse.Work[0] = session(yard.Canter, 5)
	}), yard.Note, "it is soft, and 5 minutes of cantering are planned; since when it is in work is not given, so its week could not be compared: for a soft horse kept in a stable it comes after 4 weeks"},
	{"work-step", "", aWeek(500, func(w *HorseWeek) {
		w.Horse.Fitness, w.Horse.BeforeGiven = yard.PartFit, true
		hills := session(yard.Walk, 50)
		hills.Sessions[0].Hills = true
		w.Horse.Before, w.Horse.Work = sevenDays(session(yard.Walk, 60), session(yard.Gallop, 1)), sevenDays(hills, session(yard.Walk, 40), session(yard.Canter, 10), session(yard.Jump, 3))
	}), yard.Warn, "raised together against last week: time from 61 to 103 minutes, canter and gallop from 1 to 10 minutes, hills from 0 to 50 minutes and jumping from 0 to 3 minutes; one is the mark"},
	{"work-distance", "", aWeek(500, func(w *HorseWeek) {
		w.Horse.BeforeGiven = true
		w.Horse.Before, w.Horse.Work = sevenDays(session(yard.Canter, 60)), sevenDays(session(yard.Gallop, 6)) // 60 × 350 m and 6 × 550 m in two weeks
	}), yard.Warn, "last week and this at this rate come to 45 km of canter and 7.1 km of gallop in thirty days; the marks are 44 and 6 km together"},
	{"work-gap", "", aWeek(500, func(w *HorseWeek) {
		w.Horse.Work = sevenDays(yard.Day{}, yard.Day{}, yard.Day{}, session(yard.Gallop, 5))
	}), yard.Warn, "5 minutes of galloping or jumping on day 4 of the week, after 3 days off; 3 days off are the mark"},
	{"work-gap", "", aWeek(500, func(w *HorseWeek) {
		w.Horse.BeforeGiven = true
		w.Horse.Before, w.Horse.Work = sevenDays(session(yard.Walk, 60)), sevenDays(session(yard.Jump, 3))
	}), yard.Warn, "3 minutes of galloping or jumping on day 1 of the week, after 6 days off; 3 days off are the mark"},
	{"overweight", "", sick(yard.Overweight, func(w *HorseWeek) { w.HardNow, w.HardCard = yard.Known(1), yard.Known(1.5) }), yard.Warn,
		"it is to lose weight, and its hard feed goes up from 1.00 to 1.50 kg a day"},
	{"off-feed", "", aWeek(500, func(w *HorseWeek) { w.Horse.OffFeed = true }), yard.Warn,
		"it is off its feed or leaves some of it. Don't put more in front of it than it clears up, keep hay and water there, and ring the vet if it is no better tomorrow"},
	{"rider", "", aWeek(500, func(w *HorseWeek) { w.Horse.RiderTackKg, w.Horse.Work = yard.Known(150), sevenOf(walk60, 3) }), yard.Warn,
		"rider and tack weigh 150 kg, 30 % of its own weight. Over 20 % is called a welfare concern"},
	{"work-rest", "", aWeek(500, func(w *HorseWeek) {
		for d := range w.Horse.Work {
			w.Horse.Work[d] = session(yard.Walk, 60)
		}
	}), yard.Warn, "it is ridden on all seven days; one day off in seven is the mark"},
	{"ready", "", aWeek(500, func(w *HorseWeek) { w.Horse.Fitness, w.Horse.Score = yard.Soft, yard.Num{} }), yard.Note,
		"not ticked yet: seen by the vet, feet done by the farrier, saddle fit looked at again, teeth looked at, worming by count and weight and score taken"},
	{"ready", "", aWeek(500, func(w *HorseWeek) {
		w.Horse.Fitness, w.Horse.Checks, w.Horse.WeightKg = yard.Soft, yard.Checks()[1:], yard.Num{}
	}), yard.Note,
		"not ticked yet: seen by the vet and weight and score taken"},
	{"fed-now", "far more fed now than is worked out", aWeek(500, func(w *HorseWeek) { fedTo(w, 30, 4, 2) }), yard.Warn,
		"what it is fed now gives 30.0 Mcal DE a day, 36 % over the most worked out for it (22.0), and its score is 5; hard feed goes from 4.00 to 2.00 kg"},
	{"fed-now", "far more fed now than is worked out", aWeek(500, func(w *HorseWeek) {
		fedTo(w, 30, 4, 2)
		w.NeedMcal.Low, w.Horse.Score = yard.Num{}, yard.Num{}
	}), yard.Warn,
		"what it is fed now gives 30.0 Mcal DE a day, 36 % over the most worked out for it (22.0), and there is no score and no second weighing to tell how it does on it; last week's work is not known; hard feed goes from 4.00 to 2.00 kg"},
	{"fed-now", "far less fed now than is worked out", aWeek(500, func(w *HorseWeek) {
		fedTo(w, 15, 1, 1.5)
		w.Horse.Weighings = []yard.Weighing{weighed(500, 30, yard.ByScale), weighed(502, 2, yard.ByScale)}
	}), yard.Warn,
		"what it is fed now gives 15.0 Mcal DE a day, 25 % under the least worked out for it (20.0), and its weight has changed by +0.1 % a week over 28 days; hard feed goes from 1.00 to 1.50 kg"},
	{"let-down", "", aWeek(500, func(w *HorseWeek) {
		w.HardNow, w.HardCard, w.Horse.BeforeGiven = yard.Known(0.5), yard.Known(0.5), true
		w.Horse.Before, w.Horse.Work = sevenDays(session(yard.Walk, 120)), sevenDays(session(yard.Walk, 60))
	}), yard.Warn, "work goes from 120 to 60 minutes a week, and hard feed stays at 0.50 kg"},
	{"choke", "", sick(yard.Choke, func(w *HorseWeek) { w.DryFeed = []string{"Cubes"} }), yard.Warn, "Cubes to be soaked, as your vet set it"},
	{"heaves", "", sick(yard.Heaves, func(w *HorseWeek) { w.DryHay = []string{"Hay", "Straw"} }), yard.Warn, "Hay, Straw fed dry; as your vet set it, no dust"},
	{"SH-01", "cattle or poultry feed", of(500, nil, plainHay, one("Calf nuts", yard.HardFeed, 0.5, 0.9, nil)), yard.Stop,
		"Calf nuts is by its name or label a feed for cattle or poultry, or holds an ionophore; none is the mark"},
	{"SH-01", "cattle or poultry feed kept in the feed room", feedRoomOf(yard.Feed{Name: "Layers pellets"}), yard.Warn,
		"by name or label a feed for cattle or poultry, or one that holds an ionophore; none in the room is the mark: Layers pellets"},
	{"SH-03", "", of(500, nil, one("Hay", yard.Forage, 7, 1, nil), one("Maize", yard.HardFeed, 3, 1, func(k *feeds.Known) { k.Maize = true })), yard.Warn, "maize is 30 % of the ration's dry matter; the mark is 20 %"},
	{"heat", "", weather(30, 100), yard.Stop, "30 °C and 100 % humidity are a heat index of 186 (°F + %); over 180 horses are not worked"},
	{"heat", "", weather(30, 70), yard.Warn, "30 °C and 70 % humidity are a heat index of 156 (°F + %); over 150 cooling by sweat is impaired"},
	{"heat", "", weather(20, 65), yard.Note, "20 °C and 65 % humidity are a heat index of 133 (°F + %); over 130 horses need help to cool"},
	{"heat", "", weather(5, 80), yard.Note, "80 % humidity; over 75 % sweat dries slowly even where the heat index is low (121)"},
	{"room-batch", "", feedRoomOf(yard.Feed{Name: "Oats", MeasureKg: yard.Known(1), MeasureWeighed: daysAgo(9), BatchSince: daysAgo(8)}), yard.Warn,
		"the measure was weighed before the batch in use: Oats, weighed on 21 November 2026, batch since 22 November 2026"},
	{"room-analysis", "", feedRoomOf(yard.Feed{Name: "Hay", AnalysedOn: daysAgo(366)}), yard.Note, "the analysis is over a year old or of an older batch: Hay of 29 November 2025"},
	{"room-open", "", feedRoomOf(yard.Feed{Name: "Grass haylage", OpenedOn: daysAgo(6)}), yard.Warn, "haylage open for over 5 days when the week begins: Grass haylage since 24 November 2026"},
	{"room-expired", "", feedRoomOf(yard.Feed{Name: "Balancer", BestBefore: daysAgo(1)}), yard.Warn, "past its date when the week begins: Balancer, best before 29 November 2026"},
	{"SH-14", "", Room{Events: []string{"Gannet", "Fern"}}, yard.Note, "competing this week: Gannet, Fern; poppy, cocoa, caffeine and medicines in feed are found"},
}

// check runs every rule that looks at such a thing.
func check(of any) []yard.Finding {
	switch x := of.(type) {
	case Ration:
		return Check("Fern", x, limits)
	case HorseWeek:
		return everything(x)
	case Room:
		return CheckRoom(x, limits)
	}
	panic("neither a ration nor a week nor a room")
}

// Where in the workbook: the first of the feeds named.
func TestTheFeedRoomsFindingsSayWhere(t *testing.T) {
	feed := func(name, ref string) feeds.Known {
		return feeds.Known{FeedNeed: yard.FeedNeed{Feed: yard.Feed{Name: name, Cell: yard.Cell{Sheet: "feeds", Ref: ref}}}}
	}
	got := CheckRoom(Room{Feeds: []feeds.Known{feed("Hay", "A2"), feed("Hen corn", "A3"), feed("Calf nuts", "A4")}}, limits)
	if len(got) != 1 || got[0].Cell.String() != "feeds!A3" || !strings.HasSuffix(message(got[0]), ": Hen corn; Calf nuts") {
		t.Errorf("%+v", got)
	}
}

func TestWhatEachRuleSays(t *testing.T) {
	said := map[string]bool{}
	for _, c := range saidCases {
		got := found(yard.RuleID(c.rule), c.row, check(c.of))
		if got.Severity != c.sev || message(got) != c.want {
			t.Errorf("%s %s: %v, %q\nwant %v, %q", c.rule, c.row, got.Severity, message(got), c.sev, c.want)
		}
		said[c.rule+c.row] = true
	}
	rows := map[string]int{}
	for _, r := range Rules() {
		rows[string(r.ID)]++
	}
	for _, r := range Rules() {
		if r.ID != "D-09" && !said[string(r.ID)+whatOf(r)] && (rows[string(r.ID)] > 1 || !said[string(r.ID)]) {
			t.Errorf("no case says what %s, %s, says", r.ID, whatOf(r))
		}
	}
}

// A finding that says "1.50 %; the mark is under 1.50 %" is taken for a mistake.
func TestAValueAndItsMarkNeverReadTheSame(t *testing.T) {
	r := hayOf(900, 13.4772)
	said := ""
	for _, f := range Check("Goliath", r, limits) {
		if f.Rule == "D-17" {
			said = message(f)
		}
	}
	if want := "forage is 1.497 % of body weight a day as dry matter; the warn mark is under 1.500 %"; said != want {
		t.Errorf("%q, want %q", said, want)
	}
	for _, c := range []struct {
		v           float64
		value, mark string
	}{{1.01, "1.01", "1.00"}, {1.001, "1.001", "1.000"}, {1.000001, "1.000001", "1.000000"}, {1.0000001, "1.000000", "1.000000"}} {
		v, m := distinct(2, c.v, 1, yard.NoUnit)
		if value, mark := words.English().Value(v.Value), words.English().Value(m.Value); value != c.value || mark != c.mark {
			t.Errorf("%v and its mark of 1: %s and %s", c.v, value, mark)
		}
	}
	f, _ := MarksFor(285, limits).DayFinding("Toffee", 0.1148)
	if want := "dealt out over the week, hard feed still rises by 0.115 kg in one day; the warn mark is 0.114 kg"; message(f) != want {
		t.Errorf("%q, want %q", message(f), want)
	}
}

// fedTo has a horse fed so many Mcal on a need of 20 to 22, its hard feed going
// from one amount to another.
func fedTo(w *HorseWeek, mcal, now, card float64) {
	w.FedMcal, w.NeedMcal = yard.Known(mcal), yard.Range{Low: yard.Known(20), High: yard.Known(22)}
	w.HardNow, w.HardCard = yard.Known(now), yard.Known(card)
}

// atMost is a feed that may hold as much as is set.
func atMost(f Fed, set func(*yard.Composition)) Fed {
	e := feeds.Ends{Low: f.Feed.Composition, High: f.Feed.Composition}
	set(&e.High)
	f.Feed.Ends = &e
	return f
}
