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
func holding(set func(*yard.Composition)) func(*feeds.Resolved) {
	return func(k *feeds.Resolved) { set(&k.Composition) }
}

func hayWith(set func(*yard.Composition)) Fed {
	return one("Hay", yard.Forage, 10, 1, holding(set))
}

func sugars(starch, sugar float64) func(*feeds.Resolved) {
	return holding(func(c *yard.Composition) { c.Starch, c.Sugar = yard.Known(starch), yard.Known(sugar) })
}

// between is a feed that nobody has measured: feeds of its kind have from low to high
// g of starch and sugar in a kg of dry matter.
func between(middle func(*feeds.Resolved), low, high float64) func(*feeds.Resolved) {
	return func(k *feeds.Resolved) {
		middle(k)
		ends := feeds.Ends{Low: k.Composition, High: k.Composition}
		ends.Low.Starch, ends.Low.Sugar = yard.Known(0), yard.Known(low)
		ends.High.Starch, ends.High.Sugar = yard.Known(0), yard.Known(high)
		k.Ends = &ends
	}
}

// plainHay brings nothing that any mark is on.
var plainHay = one("Hay", yard.Forage, 10, 1, func(k *feeds.Resolved) {
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
	k, _ := feeds.Load().Resolve(f, nil)
	return Room{Beginning: monday, Feeds: []feeds.Resolved{{FeedNeed: yard.FeedNeed{Feed: f}, Haylage: k.Haylage}}}
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
	{"D-01", "", aWeek(500, func(w *HorseWeek) { w.RiseKg = yard.Known(0.8) }), yard.Warn, "Hard feed goes up by 0.8 kg a day this week. The usual limit for 500 kg of body weight is 0.7 kg."},
	{"D-02", "", aWeek(500, func(w *HorseWeek) { w.RiseKg = yard.Known(1.5) }), yard.Stop, "Hard feed goes up by 1.5 kg a day this week. The top limit for 500 kg of body weight is 1.4 kg."},
	{"D-03", "", aWeek(500, func(w *HorseWeek) { w.DayRiseKg = yard.Known(0.25) }), yard.Warn, "Even spread over the week, hard feed goes up by 0.25 kg in one day. The limit is 0.2 kg."},
	{"D-03", "", aWeek(500, func(w *HorseWeek) { w.DayRiseKg = yard.Known(0.35) }), yard.Stop, "Even spread over the week, hard feed goes up by 0.35 kg in one day. The limit is 0.3 kg."},
	{"D-04", "", aWeek(500, func(w *HorseWeek) { w.NewHard = []NewFeed{{"Cubes", yard.Known(7)}, {"Mix", yard.Known(8)}} }), yard.Warn,
		"Cubes is new and reaches its full amount on day 7. Take 10 days at least."},
	{"D-04", "", aWeek(500, func(w *HorseWeek) { w.NewHard = []NewFeed{{"Cubes", yard.Known(7)}, {"Mix", yard.Known(5)}} }), yard.Stop,
		"Mix is new and reaches its full amount on day 5. Take 6 days at least."},
	{"D-04", "", aWeek(500, func(w *HorseWeek) { w.NewHard = []NewFeed{{Name: "Cubes"}} }), yard.Note,
		"Cubes is new, and nobody has said over how many days it comes in. Take 10 days, and never fewer than 6."},
	{"D-05", "", aWeek(500, func(w *HorseWeek) { w.NewHay = []NewFeed{{"Hay", yard.Known(7)}} }), yard.Warn, "Hay is new and reaches its full amount on day 7. Take 14 days at least."},
	{"D-05", "", aWeek(500, func(w *HorseWeek) { w.NewHay = []NewFeed{{"Hay", yard.Known(0)}} }), yard.Stop, "Hay is new and reaches its full amount on day 0. Take 6 days at least."},
	{"D-06", "", aWeek(500, func(w *HorseWeek) { w.Horse.GrassBefore, w.Horse.GrassHours = yard.Known(1), yard.Known(4) }), yard.Warn,
		"The horse has 180 minutes a day more at grass than last week. That is 26 minutes more each day of the week. The limit is 15."},
	{"D-06", "", sick(yard.InsulinEMS, func(w *HorseWeek) { w.Horse.GrassHours = yard.Known(0.5) }), yard.Warn,
		"The horse has 0.5 h a day at grass, and last week's hours are not given. With this diagnosis it must not have more than before. Fill in last week's hours."},
	{"D-06", "", sick(yard.Laminitis, func(w *HorseWeek) { w.Horse.GrassHours = yard.Known(24) }), yard.Warn,
		"The horse has 24 h a day at grass, and last week's hours are not given. With this diagnosis it must not have more than before. Fill in last week's hours."},
	{"D-06", "", sick(yard.PPID, func(w *HorseWeek) { w.Horse.GrassBefore, w.Horse.GrassHours = yard.Known(1), yard.Known(1.5) }), yard.Stop,
		"The horse has 30 minutes a day more at grass than last week. With this diagnosis any rise is too much."},
	{"D-07", "", aWeek(500, func(w *HorseWeek) { w.OilNewMl, w.OilDays = 50, 1 }), yard.Warn, "Oil goes up by 50 ml a day in 1 day. Take 14 days at least."},
	{"D-07", "", aWeek(500, func(w *HorseWeek) { w.OilNewMl, w.OilDays = 0.5, 0 }), yard.Warn, "Oil goes up by 0 ml a day in 0 days. Take 14 days at least."},
	{"D-08", "", aWeek(500, func(w *HorseWeek) { w.Changes = threeChanges[:2] }), yard.Warn, "2 changes come within 14 days: hay and turnout. Make one at a time."},
	{"D-08", "", sick(yard.PastColic, func(w *HorseWeek) { w.Changes = threeChanges }), yard.Stop,
		"3 changes come within 14 days: hay, turnout and work. The vet has diagnosed colic. Make one at a time."},
	{"D-10", "", meals(meal{"Breakfast", 1.6, 0}, meal{"Tea", 1.6, 0}), yard.Warn, "Breakfast has 1.6 kg of hard feed. The limit for a horse of 500 kg is 1.5 kg a meal."},
	{"D-10", "", changed(meals(meal{"Breakfast", 1.6, 0}, meal{"Tea", 2.1, 0}), func(r *Ration) { r.CeilingKg = 400 }), yard.Stop,
		"Tea has 2.1 kg of hard feed. The limit for a horse of 400 kg is 2 kg a meal."},
	{"D-11", "", meals(meal{"Breakfast", 0, 600}, meal{"Tea", 0, 600}), yard.Warn, "Breakfast has 1.2 g of starch for each kg of body weight. The limit is 1 g a meal."},
	{"D-11", "", changed(meals(meal{"Breakfast", 0, 100}, meal{"Tea", 0, 1050}), mixOfUnknownStarch), yard.Stop,
		"Tea has at least 2.1 g of starch for each kg of body weight. The limit is 2 g a meal."},
	{"D-12", "", meals(meal{"Breakfast", 0, 600}, meal{"Tea", 0, 600}), yard.Warn, "The hard feed has 2.4 g of starch a day for each kg of body weight. The limit is 2 g."},
	{"starch-unknown", "", changed(meals(meal{"Tea", 0, 0}), mixOfUnknownStarch), yard.Warn,
		"We don't know the starch of Mix, so only the rest was compared with the limits. Fill in Starch % on the feeds sheet."},
	{"D-13", "hard feed in a day", dryOf(500, 3, 9), yard.Warn, "Hard feed is 0.6 % of body weight a day, counted dry. The limit is 0.5 %."},
	{"D-13", "hard feed in a day", dryOf(500, 5.5, 6), yard.Stop, "Hard feed is 1.1 % of body weight a day, counted dry. The limit is 1 %."},
	{"D-13", "hard feed in a day", dryOf(500, 3, 5), yard.Stop, "Hard feed is 60 % of the whole ration, counted dry. The limit is 50 %."},
	{"D-13", "hard feed in a day", oatsOf(500, 3), yard.Warn, "3 kg of oats a day is a lot. The limit for a horse of 500 kg is 2.7 kg."},
	{"D-13", "hard feed in a day, an older textbook's limit", meals(meal{"Tea", 4, 0}), yard.Warn, "The horse gets 4 kg of hard feed a day. An older textbook's limit for 500 kg of body weight is 3.5 kg."},
	{"D-14", "starch, ulcer history", changed(meals(meal{"Tea", 0, 600}), namedUlcers), yard.Stop,
		"Tea has 1.2 g of starch for each kg of body weight. The vet has diagnosed ulcers. The limit is 1 g a meal."},
	{"D-14", "starch, ulcer history", changed(meals(meal{"a", 0, 400}, meal{"b", 0, 400}, meal{"c", 0, 400}), namedUlcers), yard.Stop,
		"The hard feed has 2.4 g of starch a day for each kg of body weight. The vet has diagnosed ulcers. The limit is 2 g."},
	{"D-14", "straw as the only forage, ulcer history", called("ulcers", yard.Ulcers, one("Straw", yard.Forage, 9, 0.9, func(k *feeds.Resolved) { k.Straw = true }), one("Cubes", yard.HardFeed, 1, 0.9, nil)), yard.Stop,
		"Straw is the only forage. The vet has diagnosed ulcers. Straw must not be the only forage."},
	{"D-15", "cereals and sweet feeds", called("EMS", yard.InsulinEMS, plainHay, one("Oats", yard.HardFeed, 1, 0.88, func(k *feeds.Resolved) { k.Cereal = true }), one("Carrots", yard.Succulent, 1, 0.12, nil)), yard.Stop,
		"No cereals, fruit or roots for this horse, so no Oats and Carrots. Your vet has the last word."},
	{"D-15", "starch and sugar of a bucket feed", called("EMS", yard.InsulinEMS, one("Cubes", yard.HardFeed, 0.1, 0.8, sugars(100, 50))), yard.Stop,
		"Cubes has at least 12 % starch and sugar. The limit is 10 %. Your vet has the last word."},
	{"D-15", "starch and sugar of a bucket feed", called("EMS", yard.InsulinEMS, one("Mash", yard.HardFeed, 0.1, 0.8, nil), one("Chop", yard.Chaff, 0.1, 0.8, nil)), yard.Warn,
		"We don't know both the starch and the sugar of Mash and Chop, so we can't tell whether it is over the limit of 10 %. Your vet has the last word."},
	{"D-15", "starch and sugar of a bucket feed", called("EMS", yard.InsulinEMS, one("Mash", yard.HardFeed, 0.1, 0.8, holding(func(c *yard.Composition) { c.Starch = yard.Known(20) }))), yard.Warn,
		"We don't know both the starch and the sugar of Mash, so we can't tell whether it is over the limit of 10 %. Your vet has the last word."},
	{"D-15", "starch and sugar of a bucket feed", called("EMS", yard.InsulinEMS, one("Mash", yard.HardFeed, 0.1, 0.8, func(k *feeds.Resolved) {
		k.Composition = yard.Composition{Starch: yard.Known(10), Sugar: yard.Known(10)} // its dry matter is not known
	})), yard.Warn, "We don't know both the starch and the sugar of Mash, so we can't tell whether it is over the limit of 10 %. Your vet has the last word."},
	{"D-15", "starch and sugar of a bucket meal", called("EMS", yard.InsulinEMS, one("Balancer", yard.HardFeed, 2, 0.5, sugars(60, 40)), plainHay), yard.Stop,
		"Hard feed at Tea has at least 0.2 g of starch and sugar for each kg of body weight. The limit is 0.1 g. Your vet has the last word."},
	{"D-15", "starch and sugar of the hay", called("EMS", yard.InsulinEMS, one("Hay", yard.Forage, 10, 0.85, sugars(20, 100))), yard.Warn,
		"Hay has at least 12 % starch and sugar, counted dry. The limit is 10 %. Your vet has the last word."},
	{"D-15", "starch and sugar of the hay", called("EMS", yard.InsulinEMS, one("Hay", yard.Forage, 10, 0.85, between(sugars(20, 100), 110, 330))), yard.Warn,
		"Hay may have 11 to 33 % starch and sugar, counted dry; nobody has measured it. The limit is 10 %. Your vet has the last word."},
	{"D-15", "starch and sugar of a bucket feed", called("EMS", yard.InsulinEMS, one("Mash", yard.HardFeed, 0.1, 0.8, between(sugars(60, 80), 90, 300))), yard.Stop,
		"Mash may have 7 to 24 % starch and sugar; its label was not copied. The limit is 10 %. Your vet has the last word."},
	{"D-15", "starch and sugar of the hay", called("EMS", yard.InsulinEMS, one("Hay", yard.Forage, 10, 0.85, nil)), yard.Warn,
		"We don't know both the starch and the sugar of Hay, so we can't tell whether it is over the limit of 10 %. Your vet has the last word."},
	{"D-16", "", called("tying-up", yard.TyingUp, one("Mix", yard.HardFeed, 2, 1, func(k *feeds.Resolved) {
		k.Composition = yard.Composition{DM: yard.Known(1), DE: yard.Known(4.2), Starch: yard.Known(100), Sugar: yard.Known(50)} // 4.2 Mcal a kg, from memory
	})), yard.Warn, "At least 15 % of the energy comes from starch and sugar, hay included. The limit for tying-up is 10 %. Your vet has the last word."},
	{"D-16", "", called("PSSM 1", yard.TyingUp, plainHay, one("Mix", yard.HardFeed, 2, 1, nil)), yard.Warn,
		"We don't know the energy of Mix. Too much of the energy may come from starch and sugar (limit 10 % for PSSM). Your vet has the last word."},
	{"D-16", "", called("RER", yard.TyingUp, plainHay, one("Mix", yard.HardFeed, 2, 1, nil)), yard.Warn,
		"We don't know the energy of Mix. Too much of the energy may come from starch and sugar (limit 20 % for RER). Your vet has the last word."},
	{"D-17", "forage in a day", hayOf(500, 7), yard.Warn, "Forage is 1.4 % of body weight a day, counted dry. It should be 1.5 % at least."},
	{"D-17", "forage in a day", changed(hayOf(500, 6), func(r *Ration) { r.CeilingKg = 400 }), yard.Stop, "Forage is 1.2 % of body weight a day, counted dry. It should be 1.25 % at least."},
	{"D-17", "forage in a day", called("overweight", yard.Overweight, one("Hay", yard.Forage, 6, 1, nil)), yard.Warn,
		"Forage is 1.2 % of body weight a day, counted dry. It should be 1.25 % at least, even where a vet leads the slimming."},
	{"D-17", "forage in a day", Ration{BodyKg: 500, ForageUnknown: true}, yard.Warn, "We don't know the dry matter of the forage, so we can't tell whether there is enough of it. Fill in DM % on the feeds sheet."},
	{"D-17", "forage and short fibre in a day, poor teeth", called("no molars", yard.PoorTeeth, one("Hay", yard.Forage, 5, 1, nil), one("Chop", yard.Chaff, 2, 1, nil)), yard.Warn,
		"Forage, chaff and soaked fibre come to 1.4 % of body weight a day, counted dry. It should be 1.5 % at least. With poor teeth, more long hay may not be chewed."},
	{"D-18", "", aWeek(500, func(w *HorseWeek) { w.Forage = []ForageMeal{{440, 3}, {1040, 11}} }), yard.Stop,
		"The hay runs out for about 8 h from about 09:20, if a kilo lasts 40 minutes. The limit is 6 h."},
	{"D-18", "", aWeek(500, func(w *HorseWeek) { w.Forage = []ForageMeal{{440, 9}, {1040, 12}} }), yard.Warn,
		"The hay runs out for about 6 h from about 01:20, if a kilo lasts 40 minutes. The limit is 4 h."},
	{"D-18", "", aWeek(500, func(w *HorseWeek) { w.Forage = []ForageMeal{{440, 9}, {1040, 11.7}} }), yard.Stop, // a mark is never passed by what reads the same
		"The hay runs out for about 6.2 h from about 01:08, if a kilo lasts 40 minutes. The limit is 6 h."},
	{"D-18", "", aWeek(500, func(w *HorseWeek) { w.Forage = []ForageMeal{{1085, 7.5}, {395, 8}} }), yard.Stop, // in any order
		"The hay runs out for about 8 h from about 23:05, if a kilo lasts 40 minutes. The limit is 6 h."},
	{"D-19", "", aWeek(500, func(w *HorseWeek) {
		w.Events = []EventMeals{{saturday, "Breakfast", 180, true}, {sunday, "Tea", 200, true}}
	}), yard.Warn,
		"Sat: hard feed at Breakfast is 3 h before work. Leave at least 4 h."},
	{"D-19", "", aWeek(500, func(w *HorseWeek) {
		w.Events = []EventMeals{{saturday, "Breakfast", 90, false}, {sunday, "Tea", 30, false}}
	}), yard.Stop,
		"Sun: hard feed at Tea is 0.5 h before work. Leave at least 1 h."},
	{"D-20", "", aWeek(500, func(w *HorseWeek) { w.HardCard, w.HardRestDayKg = yard.Known(2), 2 }), yard.Warn,
		"Hard feed on days off is 0.4 % of body weight, as on days of work. From 0.3 % on it is usually halved, here to 1 kg. The amounts are printed as planned. Decide whether to halve them."},
	{"D-20", "", sick(yard.TyingUp, func(w *HorseWeek) { w.HardCard, w.HardRestDayKg = yard.Known(0.5), 0.5 }), yard.Stop,
		"The horse gets 0.5 kg of hard feed on a day off, as on a day of work. The vet has diagnosed tying-up. Halve it to 0.25 kg."},
	{"D-21", "oil in a day", of(500, nil, oilOf(600)), yard.Warn, "600 ml of oil a day is a lot. The limit for a horse of 500 kg is 500 ml, in two meals or more."},
	{"D-21", "fat in the ration", of(500, nil, hayWith(func(c *yard.Composition) { c.Fat = yard.Known(80) })), yard.Warn, "Fat is 8 % of the ration, counted dry. The limit is 6 %."},
	{"D-21", "fat in the ration", of(500, nil, hayWith(func(c *yard.Composition) { c.Fat = yard.Known(240) }), one("Straw", yard.Forage, 10, 1, nil)), yard.Stop,
		"Fat is at least 12 % of the ration, counted dry. The limit is 10 %."},
	{"D-21", "vitamin E with oil", changed(of(500, nil, hayWith(func(c *yard.Composition) { c.VitE = yard.Known(40) })), func(r *Ration) { r.Feeds, r.VitENeeds = append(r.Feeds, oilWithoutE(100)), 500 }), yard.Warn,
		"The horse gets 400 IU of vitamin E a day. With 100 ml of oil it needs 600 IU, 1 for every ml more than the usual 500."},
	{"D-21", "vitamin E with oil", changed(of(500, nil, one("Hay", yard.Forage, 10, 1, nil)), func(r *Ration) { r.Feeds, r.VitENeeds = append(r.Feeds, oilWithoutE(0.5)), 500 }), yard.Note,
		"With 0 ml of oil the horse needs 0 IU of vitamin E more than the usual 500. We don't know how much is in Hay."},
	{"D-22", "", of(500, nil, saltOf(60)), yard.Warn, "60 g of salt a day is a lot for light work or none. The usual limit for a horse of 500 kg is 50 g."},
	{"D-22", "", changed(of(500, nil, saltOf(110)), func(r *Ration) { r.Sweats = true }), yard.Stop, "110 g of salt a day is too much. The limit for a horse of 500 kg is 100 g, and never without free water."},
	{"D-23", "selenium, all sources", of(500, nil, hayWith(func(c *yard.Composition) { c.Se = yard.Known(0.4) })), yard.Warn, "Selenium is 0.4 mg per kg of dry matter. The limit is 0.3."},
	{"D-23", "selenium, all sources", of(500, nil, hayWith(func(c *yard.Composition) { c.Se = yard.Known(2) })), yard.Stop, "Selenium is 2 mg per kg of dry matter. The limit is 0.5."},
	{"D-23", "selenium, all sources", of(500, nil, hayWith(func(c *yard.Composition) { c.Se = yard.Known(5) }), one("Straw", yard.Forage, 10, 1, nil)), yard.Stop,
		"Ring the vet now. Selenium is at least 2.5 mg per kg of dry matter. More than 2 is harmful over time."},
	{"D-23", "sources of selenium", of(500, nil, plainHay, one("Balancer", yard.HardFeed, 0.5, 1, holding(func(c *yard.Composition) { c.Se = yard.Known(1) })), one("Selenium lick", yard.Supplement, 0.1, 1, nil)), yard.Warn,
		"Balancer and Selenium lick all have selenium added. Feed only one of them."},
	{"D-24", "", of(500, nil, hayWith(func(c *yard.Composition) { c.I = yard.Known(1.5) })), yard.Warn, "Iodine is 1.5 mg per kg of dry matter. The limit is 1."},
	{"D-25", "vitamin A", of(500, nil, hayWith(func(c *yard.Composition) { c.VitA = yard.Known(17000) })), yard.Stop, "Vitamin A is 17000 IU per kg of dry matter. The limit is 16000."},
	{"D-25", "vitamin D", of(500, nil, hayWith(func(c *yard.Composition) { c.VitD = yard.Known(2500) })), yard.Stop, "Vitamin D is 50 IU a day per kg of body weight. The limit is 44."},
	{"D-25", "vitamin D", of(500, nil, hayWith(func(c *yard.Composition) { c.VitD = yard.Known(2500) }), one("Straw", yard.Forage, 1, 1, nil)), yard.Stop,
		"Vitamin D is at least 50 IU a day per kg of body weight. The limit is 44."},
	{"D-23", "selenium, all sources", of(500, nil, hayWith(func(c *yard.Composition) { c.Se = yard.Known(0.1) }), one("Lick", yard.Supplement, 0.1, 1, holding(func(c *yard.Composition) { c.Se = yard.Known(15) })), one("Hoof meal", yard.Supplement, 0.1, 1, holding(func(c *yard.Composition) { c.Se = yard.Known(25) }))), yard.Warn,
		"Lick and Hoof meal together bring selenium to 0.49 mg per kg of dry matter. The limit is 0.3."},
	{"D-23", "selenium, all sources", of(500, nil, atMost(hayWith(func(c *yard.Composition) { c.Se = yard.Known(0.1) }), func(c *yard.Composition) { c.Se = yard.Known(0.4) })), yard.Warn,
		"If the hay and cereals are rich in selenium, it comes to 0.4 mg per kg of dry matter. The limit is 0.3."},
	{"D-24", "", of(500, nil, hayWith(func(c *yard.Composition) { c.I = yard.Known(0.2) }), one("Seaweed", yard.Supplement, 0.02, 1, holding(func(c *yard.Composition) { c.I = yard.Known(700) })), one("Kelp bar", yard.Supplement, 0.02, 1, holding(func(c *yard.Composition) { c.I = yard.Known(700) }))), yard.Warn,
		"Seaweed and Kelp bar together bring iodine to 2.99 mg per kg of dry matter. The limit is 1."},
	{"D-24", "", of(500, nil, atMost(hayWith(func(c *yard.Composition) { c.I = yard.Known(0.2) }), func(c *yard.Composition) { c.I = yard.Known(1.2) })), yard.Warn,
		"If the hay and cereals are rich in iodine, it comes to 1.2 mg per kg of dry matter. The limit is 1."},
	{"D-25", "iron as a supplement", of(500, nil, plainHay, one("Iron tonic", yard.Supplement, 0.5, 1, nil)), yard.Warn, "Iron tonic is fed for its iron. Horses don't need extra iron."},
	{"D-26", "", caAndP(500, 22, 20), yard.Warn, "The whole ration has 1.1 parts of calcium to 1 of phosphorus. It should be 1.2 at least."},
	{"D-26", "", caAndP(500, 0.4, 0.5), yard.Stop, "The whole ration has 0.8 parts of calcium to 1 of phosphorus. It should be 1 at least."},
	{"D-26", "", caAndP(500, 130, 20), yard.Warn, "The whole ration has 6.5 parts of calcium to 1 of phosphorus. The limit is 6."},
	{"D-27", "", called("HYPP", yard.HYPP, hayWith(func(c *yard.Composition) { c.K = yard.Known(10.5) })), yard.Warn,
		"Potassium is 1.05 % of the ration, counted dry. The limit is 1 %. Your vet has the last word."},
	{"D-27", "", called("HYPP", yard.HYPP, hayWith(func(c *yard.Composition) { c.K = yard.Known(24) }), one("Straw", yard.Forage, 10, 1, nil)), yard.Stop,
		"Potassium is at least 1.2 % of the ration, counted dry. The limit is 1.1 %. Your vet has the last word."},
	{"D-27", "", called("HYPP", yard.HYPP, hayWith(func(c *yard.Composition) { c.K = yard.Known(5) }), one("Beet", yard.HardFeed, 2, 1, holding(func(c *yard.Composition) { c.K = yard.Known(20) }))), yard.Stop,
		"Tea has at least 40 g of potassium. The limit is 33 g a meal. Your vet has the last word."},
	{"D-27", "", called("HYPP", yard.HYPP, hayWith(func(c *yard.Composition) { c.K = yard.Known(5) }), one("Mix", yard.HardFeed, 2, 1, nil)), yard.Warn,
		"We don't know the potassium in Mix, so we can't tell whether the ration is over the limit of 1.1 %. Your vet has the last word."},
	{"D-27", "", called("HYPP", yard.HYPP, one("Hay", yard.Forage, 9, 1, func(k *feeds.Resolved) { k.Composition.DM = yard.Num{} })), yard.Warn,
		"We don't know the dry matter of the ration, so we can't tell whether it has too much potassium. Your vet has the last word."},
	{"D-28", "weight going down", scored(5, 5, scales(500, 16, 485, 2)), yard.Stop, "The horse has lost 1.5 % of its weight a week over 14 days. After the first week 1 % is the most."},
	{"D-28", "a donkey's weight going down", aWeek(180, func(w *HorseWeek) { w.Horse.Type, w.Horse.Weighings = yard.TypeDonkey, scales(180, 32, 174, 2) }), yard.Stop,
		"The donkey has lost 6 kg a month over 30 days. The limit is 5 kg a month."},
	{"D-28", "weight going up", scored(5, 6, scales(500, 16, 515, 2)), yard.Warn, "The horse has gained 1.5 % of its weight a week over 14 days. The limit is 0.35 %."},
	{"D-29", "", aWeek(500, func(w *HorseWeek) { w.Horse.Score = yard.Known(2.5) }), yard.Stop, "The condition score is 2.5 of 9. Under 3 a vet must set the feed."},
	{"D-29", "", aWeek(180, func(w *HorseWeek) { w.Horse.Type, w.Horse.OffFeed = yard.TypeDonkey, true }), yard.Stop,
		"Our figures are for horses and ponies, not for donkeys. Ask a vet or a donkey charity. It is off its feed. A donkey, pony or miniature that stops eating needs a vet the same day. Never starve it."},
	{"D-29", "", aWeek(180, func(w *HorseWeek) { w.Horse.Breeding = yard.InFoal }), yard.Stop, "She is in foal, and our figures are for horses that are not. Ask a vet or a nutritionist."},
	{"D-29", "", aWeek(180, func(w *HorseWeek) { w.Horse.Breeding = yard.BreedingUnclear }), yard.Stop, "We can't tell whether she is in foal or has a foal at foot. Correct the horses sheet, or ask a vet."},
	{"D-29", "", aWeek(180, func(w *HorseWeek) { w.Horse.Breeding = yard.Lactating }), yard.Stop, "She has a foal at foot, and our figures are for mares without. Ask a vet or a nutritionist."},
	{"D-29", "", aWeek(180, func(w *HorseWeek) { w.Horse.AgeYears = yard.Known(2.5) }), yard.Stop, "We don't work out rations for horses under three, and this one is 2.5. Ask a nutritionist."},
	{"D-30", "age of the body weight", aWeek(500, func(w *HorseWeek) { w.Horse.Weighed = daysAgo(31) }), yard.Warn, "The body weight is from 30 Oct 2026, 31 days before this week. Weigh every 30 days."},
	{"D-30", "measures weighed for each batch", feedRoomOf(yard.Feed{Name: "Oats", MeasureName: "scoop", MeasureKg: yard.Known(1), MeasureWeighed: daysAgo(31)}), yard.Note,
		"Weigh these scoops again. They were last weighed more than 30 days before this week: the scoop of Oats on 30 Oct 2026."},
	{"weighing", "", scored(5, 5, scales(500, 9, 440, 2)), yard.Warn, "Weigh the horse again today. 500 kg on 21 Nov and 440 kg on 28 Nov are over 10 % apart. One may be a slip of the pen. If it has lost this much, ring the vet."},
	{"weighing", "", scored(5, 5, scales(440, 9, 500, 2)), yard.Warn, "440 kg on 21 Nov and 500 kg on 28 Nov are over 10 % apart. One may be a slip of the pen."},
	{"D-28", "weight going down", scored(5, 5, weekly(500, 9, -2.5)), yard.Warn, "The horse has lost 0.5 % of its weight a week over 56 days, 20 kg in all. That is more than the scales vary, and it is not meant to lose."},
	{"D-28", "weight going down", scored(5, 5, append(weekly(500, 8, 0)[:7], weighed(455, 2, yard.ByScale))), yard.Stop, "It weighed 455 kg on 28 Nov, and about 500 kg was expected. Weigh it again today. Until then this counts as a loss."},
	{"slimming", "condition score against the aim", scored(7, 5, scoresTaken(6.5, 40, 6, 30, 6.5, 10, 7, 2)), yard.Warn, "The score has gone from 6 to 7 in 28 days, away from the target of 5."},
	{"slimming", "condition score against the aim", scored(4, 5, scoresTaken(5, 16, 4, 2)), yard.Warn, "The score has gone from 5 to 4 in 14 days, away from the target of 5."},
	{"slimming", "weight against the aim", scored(7, 5, scales(500, 16, 515, 2)), yard.Warn, "The horse is to go from score 7 to 5, but has gained 1.5 % a week over 14 days."},
	{"slimming", "weight against the aim", scored(4, 5, scales(500, 16, 485, 2)), yard.Warn, "The horse is to go from score 4 to 5, but has lost 1.5 % a week over 14 days."},
	{"holding", "", scored(5, 5, weekly(500, 9, 1.4)), yard.Warn, "The horse is to stay at score 5, but has gained 11 kg in 56 days. That is 2.2 % of its weight. The usual limit is 2 %, half a score."},
	{"work-pace", "", softWeek(yard.Stabled, 21, session(yard.Canter, 5)), yard.Warn, "5 minutes of cantering are planned after 3 weeks in work. For unfit horses kept in a stable leave that until after 4 weeks."},
	{"work-pace", "", softWeek(yard.InField, 21, session(yard.Gallop, 4), session(yard.Jump, 2)), 0, ""},
	{"work-pace", "", softWeek(yard.InField, 14, session(yard.Gallop, 4), session(yard.Jump, 2)), yard.Warn, "4 minutes of galloping are planned after 2 weeks in work. For unfit horses kept in a field leave that until after 3 weeks."},
	{"work-pace", "", softWeek(yard.InPaddock, 21, session(yard.Jump, 2)), yard.Warn, "2 minutes of jumping are planned after 3 weeks in work. For unfit horses kept in a small paddock leave that until after 4 weeks."},
	{"work-pace", "", softWeek("", 7, session(yard.Trot, 8)), yard.Warn, "8 minutes of trotting are planned after 1 week in work. For unfit horses kept in a stable (nobody has said how this one is kept) leave that until after 2 weeks."},
	{"work-pace", "", softWeek("", -4, session(yard.Trot, 8)), yard.Warn, "8 minutes of trotting are planned after 0 weeks in work. For unfit horses kept in a stable (nobody has said how this one is kept) leave that until after 2 weeks."},
	{"work-pace", "", aWeek(500, func(w *HorseWeek) {
		w.Horse.Fitness, w.Horse.Kept, w.Horse.Checks = yard.Soft, yard.Stabled, yard.Checks()
		w.Horse.Work[0] = session(yard.Canter, 5)
	}), yard.Note, "The horse is unfit and has 5 minutes of cantering planned. For unfit horses kept in a stable leave that until after 4 weeks. Fill in \"In work since\"."},
	{"work-step", "", aWeek(500, func(w *HorseWeek) {
		w.Horse.Fitness, w.Horse.BeforeGiven = yard.PartFit, true
		hills := session(yard.Walk, 50)
		hills.Sessions[0].Hills = true
		w.Horse.Before, w.Horse.Work = sevenDays(session(yard.Walk, 60), session(yard.Gallop, 1)), sevenDays(hills, session(yard.Walk, 40), session(yard.Canter, 10), session(yard.Jump, 3))
	}), yard.Warn, "These go up together this week: time from 61 to 103 minutes, canter and gallop from 1 to 10 minutes, hills from 0 to 50 minutes and jumping from 0 to 3 minutes. Raise one at a time."},
	{"work-distance", "", aWeek(500, func(w *HorseWeek) {
		w.Horse.BeforeGiven = true
		w.Horse.Before, w.Horse.Work = sevenDays(session(yard.Canter, 60)), sevenDays(session(yard.Gallop, 6)) // 60 × 350 m and 6 × 550 m in two weeks
	}), yard.Warn, "Last week and this, at this rate, come to 45 km of canter and 7.1 km of gallop in thirty days. The limits are 44 and 6 km together."},
	{"work-gap", "", aWeek(500, func(w *HorseWeek) {
		w.Horse.Work = sevenDays(yard.Day{}, yard.Day{}, yard.Day{}, session(yard.Gallop, 5))
	}), yard.Warn, "5 minutes of galloping or jumping are planned on day 4 of the week, after 3 days off. After 3 days off, start with easy work."},
	{"work-gap", "", aWeek(500, func(w *HorseWeek) {
		w.Horse.BeforeGiven = true
		w.Horse.Before, w.Horse.Work = sevenDays(session(yard.Walk, 60)), sevenDays(session(yard.Jump, 3))
	}), yard.Warn, "3 minutes of galloping or jumping are planned on day 1 of the week, after 6 days off. After 3 days off, start with easy work."},
	{"overweight", "", sick(yard.Overweight, func(w *HorseWeek) { w.HardNow, w.HardCard = yard.Known(1), yard.Known(1.5) }), yard.Warn,
		"The horse is to lose weight, but its hard feed goes up from 1 to 1.5 kg a day."},
	{"off-feed", "", aWeek(500, func(w *HorseWeek) { w.Horse.OffFeed = true }), yard.Warn,
		"The horse leaves some of its feed. Don't give more than it clears up. Keep hay and water there, and ring the vet if it is no better tomorrow."},
	{"rider", "", aWeek(500, func(w *HorseWeek) { w.Horse.RiderTackKg, w.Horse.Work = yard.Known(150), sevenOf(walk60, 3) }), yard.Warn,
		"Rider and tack weigh 150 kg, 30 % of the horse's weight. Over 20 % is a welfare concern."},
	{"work-rest", "", aWeek(500, func(w *HorseWeek) {
		for d := range w.Horse.Work {
			w.Horse.Work[d] = session(yard.Walk, 60)
		}
	}), yard.Warn, "The horse is ridden on all seven days. Give it one day off in seven."},
	{"ready", "", aWeek(500, func(w *HorseWeek) { w.Horse.Fitness, w.Horse.Score = yard.Soft, yard.Num{} }), yard.Note,
		"Still to do before work starts: vet check, farrier, saddle fit, teeth, worm count and weight and score."},
	{"ready", "", aWeek(500, func(w *HorseWeek) {
		w.Horse.Fitness, w.Horse.Checks, w.Horse.WeightKg = yard.Soft, yard.Checks()[1:], yard.Num{}
	}), yard.Note,
		"Still to do before work starts: vet check and weight and score."},
	{"fed-now", "far more fed now than is worked out", aWeek(500, func(w *HorseWeek) { fedTo(w, 30, 4, 2) }), yard.Warn,
		"What the horse gets now is 36 % more energy than we can explain (30 Mcal a day, 22 at most). Its score is 5. Hard feed goes from 4 to 2 kg."},
	{"fed-now", "far more fed now than is worked out", aWeek(500, func(w *HorseWeek) {
		fedTo(w, 30, 4, 2)
		w.NeedMcal.Low, w.Horse.Score = yard.Num{}, yard.Num{}
	}), yard.Warn,
		"What the horse gets now is 36 % more energy than we can explain (30 Mcal a day, 22 at most). No score and no second weighing show how the horse does on it. We don't know last week's work. Hard feed goes from 4 to 2 kg."},
	{"fed-now", "far less fed now than is worked out", aWeek(500, func(w *HorseWeek) {
		fedTo(w, 15, 1, 1.5)
		w.Horse.Weighings = []yard.Weighing{weighed(500, 30, yard.ByScale), weighed(502, 2, yard.ByScale)}
	}), yard.Warn,
		"What the horse gets now is 25 % less energy than we can explain (15 Mcal a day, 20 at least). Its weight has gone up by 0.1 % a week over 28 days. Hard feed goes from 1 to 1.5 kg."},
	{"let-down", "", aWeek(500, func(w *HorseWeek) {
		w.HardNow, w.HardCard, w.Horse.BeforeGiven = yard.Known(0.5), yard.Known(0.5), true
		w.Horse.Before, w.Horse.Work = sevenDays(session(yard.Walk, 120)), sevenDays(session(yard.Walk, 60))
	}), yard.Warn, "Work goes from 120 to 60 minutes a week, but hard feed stays at 0.5 kg."},
	{"choke", "", sick(yard.Choke, func(w *HorseWeek) { w.DryFeed = []string{"Cubes"} }), yard.Warn, "Soak Cubes before feeding. Your vet has the last word."},
	{"heaves", "", sick(yard.Heaves, func(w *HorseWeek) { w.DryHay = []string{"Hay", "Straw"} }), yard.Warn, "Hay, Straw is fed dry, and this horse must have no dust. Your vet has the last word."},
	{"SH-01", "cattle or poultry feed", of(500, nil, plainHay, one("Calf nuts", yard.HardFeed, 0.5, 0.9, nil)), yard.Stop,
		"Calf nuts looks like cattle, sheep or poultry feed, or has an ionophore in it. Never feed it to a horse."},
	{"SH-01", "cattle or poultry feed kept in the feed room", feedRoomOf(yard.Feed{Name: "Layers pellets"}), yard.Warn,
		"Take this out of the feed room. It looks like cattle, sheep or poultry feed, or has an ionophore in it: Layers pellets."},
	{"cuttings", "", of(500, nil, plainHay, one("Lawn clippings", yard.Forage, 2, 0.2, nil)), yard.Warn, "Don't feed Lawn clippings. Mown grass ferments within hours, and can bring on colic or laminitis."},
	{"SH-03", "", of(500, nil, one("Hay", yard.Forage, 7, 1, nil), one("Maize", yard.HardFeed, 3, 1, func(k *feeds.Resolved) { k.Maize = true })), yard.Warn, "Maize is 30 % of the ration, counted dry. The limit is 20 %."},
	{"heat", "", weather(30, 100), yard.Stop, "Don't work the horses. 30 °C with 100 % humidity is a heat index of 186 (°F + %). The limit is 180."},
	{"heat", "", weather(30, 70), yard.Warn, "30 °C with 70 % humidity is a heat index of 156 (°F + %). Over 150 horses can't cool by sweating alone."},
	{"heat", "", weather(20, 65), yard.Note, "20 °C with 65 % humidity is a heat index of 133 (°F + %). Over 130 horses need help to cool."},
	{"heat", "", weather(5, 80), yard.Note, "Humidity is 80 %. Over 75 % sweat dries slowly, even where the heat index is low (121)."},
	{"room-batch", "", feedRoomOf(yard.Feed{Name: "Oats", MeasureKg: yard.Known(1), MeasureWeighed: daysAgo(9), BatchSince: daysAgo(8)}), yard.Warn,
		"These scoops were weighed before the batch in use came: Oats, weighed on 21 Nov 2026, batch since 22 Nov 2026."},
	{"room-analysis", "", feedRoomOf(yard.Feed{Name: "Hay", AnalysedOn: daysAgo(366)}), yard.Note, "This analysis is over a year old or of an older batch: Hay of 29 Nov 2025."},
	{"room-open", "", feedRoomOf(yard.Feed{Name: "Grass haylage", OpenedOn: daysAgo(6)}), yard.Warn, "This haylage will have been open for more than 5 days when the week begins: Grass haylage since 24 Nov 2026."},
	{"room-expired", "", feedRoomOf(yard.Feed{Name: "Balancer", BestBefore: daysAgo(1)}), yard.Warn, "This feed will be past its date when the week begins: Balancer, best before 29 Nov 2026."},
	{"SH-14", "", Room{Events: []string{"Gannet", "Fern"}}, yard.Note, "Competing this week: Gannet, Fern. Poppy, cocoa, caffeine or medicines in feed show up in a dope test."},
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
	feed := func(name, ref string) feeds.Resolved {
		return feeds.Resolved{FeedNeed: yard.FeedNeed{Feed: yard.Feed{Name: name, Cell: yard.Cell{Sheet: "feeds", Ref: ref}}}}
	}
	got := CheckRoom(Room{Feeds: []feeds.Resolved{feed("Hay", "A2"), feed("Hen corn", "A3"), feed("Calf nuts", "A4")}}, limits)
	if len(got) != 1 || got[0].Cell.String() != "feeds!A3" || !strings.HasSuffix(message(got[0]), ": Hen corn; Calf nuts.") {
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

// A finding that says "1.50 %; it should be 1.50 % at least" reads as a mistake.
func TestAValueAndItsLimitNeverReadTheSame(t *testing.T) {
	r := hayOf(900, 13.4772)
	said := ""
	for _, f := range Check("Goliath", r, limits) {
		if f.Rule == "D-17" {
			said = message(f)
		}
	}
	if want := "Forage is 1.497 % of body weight a day, counted dry. It should be 1.5 % at least."; said != want {
		t.Errorf("%q, want %q", said, want)
	}
	for _, c := range []struct {
		v           float64
		value, mark string
	}{{1.01, "1.01", "1"}, {1.001, "1.001", "1"}, {1.000001, "1.000001", "1"}, {1.0000001, "1", "1"}} {
		v, m := distinct(2, c.v, 1, yard.NoUnit)
		if value, mark := words.English().Value(v.Value), words.English().Value(m.Value); value != c.value || mark != c.mark {
			t.Errorf("%v and its mark of 1: %s and %s", c.v, value, mark)
		}
	}
	f, _ := MarksFor(285, limits).DayFinding("Toffee", 0.1148)
	if want := "Even spread over the week, hard feed goes up by 0.115 kg in one day. The limit is 0.114 kg."; message(f) != want {
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
