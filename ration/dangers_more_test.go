package ration_test

import "hardfeed/ration/yard"

// moreDangers were written down before it was looked at what the program says of them.
func moreDangers() []danger {
	n := yard.Known
	return []danger{
		{"cubes and oats both up, each inside its mark", func(s *stable) { s.now("Hay", 8); s.from("Cubes", 1.4, 2.4); s.from("Oats", 0.4, 1.2) }, aStep, over(hardFeed, 1.8+1.4)},
		{"back from box rest to all its old feed at once", func(s *stable) {
			s.Before = [7]yard.Day{}
			s.now("Hay", 8)
			s.from("Cubes", 1.05, 3.15)
			s.Past = []yard.PastWeek{{Beginning: ago(14), HardKg: n(1.05)}, {Beginning: ago(7), HardKg: n(1.05)}}
		}, aStep, over(hardFeed, 2.5)},
		{"a thin horse's target score is lower still", func(s *stable) { s.Score, s.TargetScore = n(3.5), n(3); s.now("Hay", 8); s.now("Cubes", 2.1) }, about("energy", "thin", "score", "target"), lessEnergy},
		{"a small pony on a horse's balancer", func(s *stable) {
			s.WeightKg, s.HeightCm, s.Type, s.RiderTackKg = n(150), n(107), yard.TypePony, n(25)
			s.without("Cubes", "Salt")
			s.keep("Hay", 3.2)
			s.keep("Balancer", 0.5)
		}, about("D-23", "D-24", "D-25", "balancer", "label"), nil},
		{"tied up before, three days off on 3.5 kg, nothing planned", func(s *stable) {
			s.named(yard.TyingUp, "tying-up")
			s.now("Hay", 7)
			s.now("Cubes", 3.5)
			for _, d := range []int{2, 3, 4} {
				s.Work[d] = yard.Day{Text: "off", StartMin: -1}
			}
		}, matter{}, overAtRest(1.75)},
		{"two kilos of carrots for a pony with EMS", func(s *stable) {
			s.named(yard.InsulinEMS, "EMS")
			s.room(yard.Feed{Name: "Carrots", Generic: "carrots", Class: yard.Succulent})
			s.without("Cubes")
			s.keep("Hay", 8)
			s.keep("Carrots", 2)
		}, sugar, over(feed("Carrots"), 0.1)},
		{"the weight is fourteen months old", func(s *stable) { s.Weighed = ago(430); s.now("Cubes", 1.4) }, about("weight", "weigh", "D-30"), nil},
		{"a new feed in the week of a three-day event", func(s *stable) {
			s.keep("Cubes", 1.4)
			s.from("Barley", 0, 1.1)
			s.event(4, 10*60, 20, 20, 15, 4, 4)
			s.event(5, 10*60, 20, 20, 15, 4, 4)
		}, about("D-04", "D-19", "D-08"), mondayOver("Barley", 0.3)},
		{"hay down by a third, cubes twice as much", func(s *stable) { s.from("Hay", 8, 5.5); s.from("Cubes", 1.4, 2.8) }, about("D-05", "D-17"), littleForage(1.25)},
		{"a fat good doer out on spring grass day and night", func(s *stable) {
			s.spring()
			s.WeightKg, s.HeightCm, s.Type, s.Keeper, s.RiderTackKg = n(250), n(125), yard.TypePony, yard.GoodDoer, n(40)
			s.Score, s.TargetScore = n(7.5), n(5)
			s.Work, s.Before = [7]yard.Day{}, [7]yard.Day{}
			s.GrassBefore, s.GrassHours = n(24), n(24)
			s.Lines = nil
			s.now("Balancer", 0.2)
		}, tooMuch, nil},
		{"it leaves feed, and is fed less than it needs, nothing planned", func(s *stable) {
			s.OffFeed, s.Notes = true, "leaves some"
			s.now("Hay", 7)
			s.now("Cubes", 0.7)
		}, about("off-feed", "D-29"), over(hardFeed, 0.7)},
		{"28 years, few teeth, score 3.5, on 5 kg of hay", func(s *stable) {
			s.AgeYears, s.Work, s.Before, s.Fitness, s.RiderTackKg = n(28), [7]yard.Day{}, [7]yard.Day{}, yard.Soft, yard.Num{}
			s.Score, s.TargetScore = n(3.5), n(5)
			s.named(yard.PoorTeeth, "molars missing")
			s.without("Cubes")
			s.now("Hay", 5)
			s.now("Veteran mash", 1.5)
		}, about("D-17").orWords("teeth"), both(noCard, takes("Veteran mash"), over(feed("Hay"), 5))},
		{"a score-9 pony starved to be thin", func(s *stable) {
			s.WeightKg, s.HeightCm, s.Type, s.Keeper, s.RiderTackKg = n(250), n(125), yard.TypePony, yard.GoodDoer, n(40)
			s.Score, s.TargetScore = n(9), n(5)
			s.without("Cubes")
			s.from("Hay", 4.5, 2)
		}, about("D-17", "D-05", "slimming"), littleForage(1.25)},
	}
}
