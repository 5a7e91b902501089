package choose

import (
	"fmt"
	"math/rand/v2"
)

// fullModel is a ration of full size made up from a seed: two forages, four to
// seven hard feeds, chaff, oil and salt with made-up analyses in the ranges
// of real ones, every kind of limit of the issue, and the seven goals.
// Energy in kcal a day, nutrients in 1/10,000 of the need, hard feed in grams.
func fullModel(seed uint64) Model {
	rnd := rand.New(rand.NewPCG(seed, 6))
	between := func(a, b int64) int64 { return a + rnd.Int64N(b-a+1) }
	type feed struct {
		name                string
		class               string
		unitG, most         int64 // grams of one amount, and how many
		dm                  int64 // ‰
		kcal, starch, ca, p int64 // per kg DM: kcal, g, 0.1 g, 0.1 g
		price               int64 // 1/100 penny a gram
		now                 int64
	}
	var feeds []feed
	add := func(f feed) { feeds = append(feeds, f) }
	bodyKg := between(280, 720)
	for k := range 2 {
		add(feed{name: fmt.Sprintf("hay %d", k), class: "forage", unitG: 250, most: bodyKg * 28 / 1000 * 4 / (1 + int64(k)), dm: between(800, 910), kcal: between(1700, 2300), starch: 0, ca: between(30, 60), p: between(15, 30), price: between(1, 3)})
	}
	for k := range 4 + rnd.IntN(4) {
		unit := between(20, 110) * 5 // grams of a quarter
		add(feed{name: fmt.Sprintf("hard %d", k), class: "hard", unitG: unit, most: bodyKg * 12 / unit, dm: between(860, 900), kcal: between(2400, 3700), starch: between(40, 560), ca: between(5, 160), p: between(25, 80), price: between(3, 12)})
	}
	add(feed{name: "chaff", class: "chaff", unitG: between(40, 80), most: 16, dm: between(850, 900), kcal: between(1600, 2500), starch: between(10, 40), ca: between(30, 130), p: between(15, 30), price: between(4, 9)})
	add(feed{name: "oil", class: "oil", unitG: 5, most: bodyKg / 5, dm: 1000, kcal: 9200, price: between(15, 30)})
	add(feed{name: "salt", class: "salt", unitG: 5, most: bodyKg / 25, dm: 1000, price: 2})
	n := len(feeds)

	restDays := int64(rnd.IntN(4))
	hardNow := int64(0)
	for i := range feeds {
		f := &feeds[i]
		if f.class == "hard" && rnd.IntN(2) == 0 {
			f.now = between(0, min(f.most, 6))
			hardNow += f.now * f.unitG
		}
		if f.class == "forage" && i == 0 {
			f.now = between(f.most/3, f.most)
		}
	}
	// week is what an amount v of a hard feed comes to in the mean day, in
	// sevenths: halved to whole amounts on days off.
	halved := rnd.IntN(2) == 0
	week := func(f feed, v int64) int64 {
		if f.class == "hard" && halved {
			return v*(7-restDays) + v/2*restDays
		}
		return 7 * v
	}
	sum := func(of func(f feed, i int, v int64) int64) Sum {
		s := Sum{Adds: make([][]int64, n)}
		for i, f := range feeds {
			adds := make([]int64, f.most+1)
			zero := true
			for v := range adds {
				adds[v] = of(f, i, int64(v))
				zero = zero && adds[v] == 0
			}
			if !zero {
				s.Adds[i] = adds
			}
		}
		return s
	}
	per := func(f feed, perKgDM int64) int64 { return f.unitG * f.dm * perKgDM / 1000000 } // a unit's share
	is := func(f feed, class string) int64 {
		if f.class == class {
			return 1
		}
		return 0
	}
	var m Model
	for _, f := range feeds {
		m.Feeds = append(m.Feeds, Feed{f.name, int(f.most) + 1})
	}
	limit := func(name string, rows ...Row) { m.Limits = append(m.Limits, Limit{name, rows}) }
	dm := func(f feed) int64 { return f.unitG * f.dm / 1000 }

	limit("forage floor", Row{sum(func(f feed, _ int, v int64) int64 { return is(f, "forage") * dm(f) * v }), between(125, 150) * bodyKg / 10, NoHigh})
	limit("what it can eat", Row{sum(func(f feed, _ int, v int64) int64 { return dm(f) * v }), NoLow, between(22, 27) * bodyKg})
	meals := between(2, 4)
	limit("hard feed a meal", Row{sum(func(f feed, _ int, v int64) int64 { return is(f, "hard") * f.unitG * v }), NoLow, meals * 3 * bodyKg})
	if rnd.IntN(3) == 0 { // starch meal by meal, in whole amounts
		var rows []Row
		for k := range meals {
			rows = append(rows, Row{sum(func(f feed, _ int, v int64) int64 { return per(f, f.starch*10) * ((v + k) / meals) }), NoLow, 10 * bodyKg})
		}
		limit("starch a meal", rows...)
	} else {
		limit("starch a meal", Row{sum(func(f feed, _ int, v int64) int64 { return per(f, f.starch*10) * v }), NoLow, meals * 10 * bodyKg})
	}
	limit("starch a day", Row{sum(func(f feed, _ int, v int64) int64 { return per(f, f.starch*10) * v }), NoLow, 20 * bodyKg})
	limit("hard feed a day", Row{sum(func(f feed, _ int, v int64) int64 { return is(f, "hard") * dm(f) * v }), NoLow, 10 * bodyKg})
	limit("half the dry matter", Row{sum(func(f feed, _ int, v int64) int64 { return (2*is(f, "hard") - 1) * dm(f) * v }), NoLow, 0})
	limit("weekly step", Row{sum(func(f feed, _ int, v int64) int64 { return is(f, "hard") * f.unitG * v }), NoLow, hardNow + between(14, 60)*bodyKg/10})
	limit("oil", Row{sum(func(f feed, _ int, v int64) int64 { return is(f, "oil") * f.unitG * v }), NoLow, bodyKg * 92 / 100})
	limit("salt", Row{sum(func(f feed, _ int, v int64) int64 { return is(f, "salt") * f.unitG * v }), NoLow, bodyKg / 5})
	limit("calcium to phosphorus", Row{sum(func(f feed, _ int, v int64) int64 { return per(f, f.ca-f.p) * v }), 0, NoHigh})
	for _, name := range []string{"selenium", "iodine", "vitamin A"} {
		mark := between(30, 60)
		of := make([]int64, n)
		for i, f := range feeds {
			of[i] = is(f, "hard")*between(0, 200) + (is(f, "forage")+is(f, "chaff"))*between(2, 20)
		}
		limit(name, Row{sum(func(f feed, i int, v int64) int64 { return dm(f) * (of[i] - mark) / 100 * v }), NoLow, 0})
	}

	stock := feeds[0].most
	if seed%16 == 0 {
		stock = between(0, 3) // and none of the other hay
		limit("second hay not for this horse", Row{sum(func(f feed, i int, v int64) int64 {
			if i == 1 {
				return v
			}
			return 0
		}), NoLow, 0})
	}
	limit("hay in stock", Row{sum(func(f feed, i int, v int64) int64 {
		if i == 0 {
			return v
		}
		return 0
	}), NoLow, stock})

	need := bodyKg * between(30, 55)
	energy := func() Sum { return sum(func(f feed, _ int, v int64) int64 { return per(f, f.kcal) * week(f, v) }) }
	goal := func(g Goal) { m.Goals = append(m.Goals, g) }
	goal(Goal{Name: "energy outside the band", Bands: []Row{{energy(), need * 7 * 97 / 100, need * 7 * 103 / 100}}})
	var short []Row
	for range 21 {
		of := make([]int64, n)
		for i, f := range feeds {
			switch f.class {
			case "forage", "chaff":
				of[i] = between(100, 1400)
			case "hard":
				of[i] = between(100, 6000)
			}
		}
		if rnd.IntN(7) == 0 {
			of[n-1] = between(20000, 200000) // salt
		}
		// of: 1/10,000 of the need of a 500 kg horse in a kg of dry matter
		short = append(short, Row{sum(func(f feed, i int, v int64) int64 { return f.unitG * f.dm / 1000 * of[i] / 1000 * 500 / bodyKg * v }), 10000, NoHigh})
	}
	goal(Goal{Name: "nutrients short", Bands: short, Grain: 100})
	goal(Goal{Name: "hard feed", Sum: sum(func(f feed, _ int, v int64) int64 { return is(f, "hard") * f.unitG * week(f, v) })})
	goal(Goal{Name: "feeds changed", Sum: sum(func(f feed, _ int, v int64) int64 {
		if v != f.now {
			return 1
		}
		return 0
	})})
	goal(Goal{Name: "feeds", Sum: sum(func(f feed, _ int, v int64) int64 { return min(v, 1) })})
	goal(Goal{Name: "cost", Sum: sum(func(f feed, _ int, v int64) int64 { return f.price * f.unitG / 5 * week(f, v) })})
	goal(Goal{Name: "energy off the need", Bands: []Row{{energy(), need * 7, need * 7}}})
	return m
}
