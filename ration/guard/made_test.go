package guard

import (
	"time"

	"hardfeed/ration/feeds"
	"hardfeed/ration/yard"
)

// What the cases of the other tests are made of: feeds, rations and weeks.

// one makes a feed of which kg are fed, in one meal unless it is forage, with its
// dry matter alone and what else set says, per kg of dry matter.
func one(name string, class yard.FeedClass, kg, dm float64, set func(*feeds.Resolved)) Fed {
	k := feeds.Resolved{FeedNeed: yard.FeedNeed{Feed: yard.Feed{Name: name, Class: class}, Composition: yard.Composition{DM: yard.Known(dm)}}}
	if set != nil {
		set(&k)
	}
	f := Fed{Feed: &k, Kg: kg}
	if class != yard.Forage {
		f.PerMeal = []float64{kg}
	}
	return f
}

// of is a ration of feeds, with the totals a real one would have.
func of(kg float64, named []yard.Diagnosis, fed ...Fed) Ration {
	r := Ration{BodyKg: kg, Meals: []string{"Tea"}, Feeds: fed}
	for _, d := range named {
		r.Diagnoses = append(r.Diagnoses, yard.NamedDiagnosis{Kind: d, Text: string(d)})
	}
	return r
}

// meal is what one meal of a ration brings.
type meal struct {
	name            string
	hardKg, starchG float64
}

// meals is the day of a horse whose bucket brings just that.
func mealsOf(kg float64, ms ...meal) Ration {
	r := Ration{BodyKg: kg}
	hard, starch := make([]float64, len(ms)), make([]float64, len(ms))
	for i, m := range ms {
		r.Meals = append(r.Meals, m.name)
		hard[i], starch[i] = m.hardKg, m.starchG/500
	}
	put := func(name string, class yard.FeedClass, perMeal []float64, starchG float64) {
		f := one(name, class, 0, 0.5, holding(func(c *yard.Composition) { c.Starch = yard.Known(starchG) }))
		f.PerMeal = perMeal
		for _, v := range perMeal {
			f.Kg += v
		}
		r.Feeds = append(r.Feeds, f)
	}
	put("Cubes", yard.HardFeed, hard, 0)
	put("Chop", yard.Chaff, starch, 1000)
	r.Feeds = append(r.Feeds, one("Hay", yard.Forage, 0.02*kg, 1, nil))
	return r
}

// dryOf is a ration with so much dry matter of hard feed and in all, kg.
func dryOf(kg, hard, all float64) Ration {
	return of(kg, nil, one("Hay", yard.Forage, all-hard, 1, nil), one("Cubes", yard.HardFeed, hard, 1, holding(func(c *yard.Composition) { c.Starch = yard.Known(0) })))
}

func oatsOf(kg, oats float64) Ration {
	return of(kg, nil, one("Hay", yard.Forage, 0.02*kg, 1, nil), one("Oats", yard.HardFeed, oats, 0.1, func(k *feeds.Resolved) { k.IsOats = true }))
}

func hayOf(kg, dm float64) Ration { return of(kg, nil, one("Hay", yard.Forage, dm, 1, nil)) }

func oilOf(ml float64) Fed { return one("Oil", yard.Oil, ml/1000*0.92, 1, nil) }

func saltOf(g float64) Fed { return one("Salt", yard.Salt, g/1000, 1, nil) }

// caAndP is a ration with so much calcium and phosphorus in what is served, g.
func caAndP(kg, ca, p float64) Ration {
	return of(kg, nil, one("Chop", yard.Chaff, 1, 1, holding(func(c *yard.Composition) { c.Ca, c.P = yard.Known(ca), yard.Known(p) })))
}

// mix is a ration of 10 kg of dry matter in which a kg holds v of something.
func mix(set func(*yard.Composition, yard.Num)) func(kg, v float64) Ration {
	return func(kg, v float64) Ration {
		return of(kg, nil, one("Hay", yard.Forage, 10, 1, func(k *feeds.Resolved) { set(&k.Composition, yard.Known(v)) }))
	}
}

func namedUlcers(r *Ration) {
	r.Diagnoses = []yard.NamedDiagnosis{{Kind: yard.Ulcers, Text: "ulcers"}}
}

var threeChanges = []yard.Saying{yard.Verbatim("hay"), yard.Verbatim("turnout"), yard.Verbatim("work")}

func vet(d yard.Diagnosis) []yard.Diagnosis { return []yard.Diagnosis{d} }

func date(s string) time.Time {
	t, err := time.Parse("2006-01-02", s)
	if err != nil {
		panic(err)
	}
	return t
}

var monday = date("2026-11-30")

var saturday, sunday = yard.DayOfWeek{Date: monday.AddDate(0, 0, 5)}, yard.DayOfWeek{Date: monday.AddDate(0, 0, 6)}

func aWeek(kg float64, change func(*HorseWeek)) HorseWeek {
	w := HorseWeek{Horse: yard.Horse{Name: "Fern", WorkGiven: true, WeightKg: yard.Known(kg), Score: yard.Known(5)}, Beginning: monday, BodyKg: kg, StaleDays: 30,
		Marks: MarksFor(kg, limits), PaceMPerMin: [yard.Gaits]float64{95, 220, 350, 550, 480}}
	if change != nil {
		change(&w)
	}
	return w
}

func weighed(kg float64, days int, basis yard.WeightBasis) yard.Weighing {
	return yard.Weighing{Date: monday.AddDate(0, 0, -days), Kg: yard.Known(kg), Basis: basis}
}

// weekly are weighings on a straight line, a week apart, the last two days before the week.
func weekly(kg float64, n int, kgAWeek float64) (ws []yard.Weighing) {
	for i := range n {
		ws = append(ws, weighed(kg+kgAWeek*float64(i-n+1), 2+7*(n-1-i), yard.ByScale))
	}
	return ws
}

func session(g yard.Gait, minutes float64) yard.Day {
	s := yard.Session{}
	s.Minutes[g] = minutes
	return yard.Day{Sessions: []yard.Session{s}}
}
