package guard

import (
	"slices"
	"testing"
	"time"

	"hardfeed/ration/feeds"
	"hardfeed/ration/yard"
)

func sevenOf(d yard.Day, n int) (w [7]yard.Day) {
	for i := range n {
		w[i] = d
	}
	return w
}

func before(was, is [7]yard.Day, change func(*HorseWeek)) HorseWeek {
	return aWeek(500, func(w *HorseWeek) {
		w.Horse.BeforeGiven, w.Horse.Before, w.Horse.Work = true, was, is
		change(w)
	})
}

func partFit(was, is [7]yard.Day) HorseWeek {
	return before(was, is, func(w *HorseWeek) { w.Horse.Fitness = yard.PartFit })
}

func fedOn(kg float64) func(*HorseWeek) {
	return func(w *HorseWeek) { w.HardNow, w.HardCard = yard.Known(kg), yard.Known(kg) }
}

func hilly(minutes float64) yard.Day {
	d := session(yard.Walk, minutes)
	d.Sessions[0].Hills = true
	return d
}

var walk60 = session(yard.Walk, 60)

// A yard on which every mark was looked at and none was passed is told nothing: no
// stop, no warning, not even a note.
func TestAnOrdinaryYardIsToldNothing(t *testing.T) {
	for _, size := range sizes {
		kg := size.kg
		ordinary := of(kg, nil, func() Fed { hay := *plainHay.Feed; return Fed{Feed: &hay, Kg: kg * 0.018} }(), one("Cubes", yard.HardFeed, kg*0.002, 0.88, func(k *feeds.Resolved) {
			k.Composition = plainHay.Feed.Composition
			k.Composition.DM, k.Composition.Starch = yard.Known(0.88), yard.Known(150)
		}), one("Selenium lick", yard.Supplement, 0, 1, nil), one("Iron tonic", yard.Supplement, 0, 1, nil), one("Cattle nuts", yard.HardFeed, 0, 0.9, nil))
		ordinary.Feeds = append(ordinary.Feeds, saltOf(5), one("Oats", yard.HardFeed, 0.0005*kg, 0.88, func(k *feeds.Resolved) {
			k.Composition = plainHay.Feed.Composition
			k.Composition.DM, k.Composition.Starch, k.IsOats = yard.Known(0.88), yard.Known(150), true
		}))
		for i := range ordinary.Feeds {
			ordinary.Feeds[i].Feed.Composition.Ca, ordinary.Feeds[i].Feed.Composition.P = yard.Known(4), yard.Known(2)
		}
		for what, of := range map[string]any{
			"a ration": ordinary,
			"a ration of unknown dry matter but for the forage": changed(ordinary, func(r *Ration) {
				lick := one("Lick", yard.Supplement, 0.05, 1, nil)
				lick.Feed.Composition.DM = yard.Num{}
				r.Feeds = append(slices.Clone(r.Feeds), lick)
			}),
			"a week": before(sevenOf(walk60, 6), sevenOf(walk60, 6), func(w *HorseWeek) {
				w.BodyKg, w.Marks = kg, MarksFor(kg, limits)
				h := &w.Horse
				h.Fitness, h.Kept, h.Type, h.HeightCm, h.AgeYears, h.TargetScore = yard.PartFit, yard.Stabled, yard.TypeHorse, yard.Known(160), yard.Known(9), yard.Known(5)
				h.GrassBefore, h.GrassHours, h.Weighed, h.InWorkSince = yard.Known(2), yard.Known(2), daysAgo(3), daysAgo(200)
				h.Weighings = []yard.Weighing{weighed(kg, 10, yard.ByScale), weighed(kg, 3, yard.ByScale)}
				h.Diagnoses = []yard.NamedDiagnosis{{Kind: yard.NoFeedRule, Text: "arthritis"}}
				w.RiseKg, w.DayRiseKg, w.HardNow, w.HardCard, w.HardRestDayKg = yard.Known(0), yard.Known(0), yard.Known(0.004*kg), yard.Known(0.004*kg), 0.002*kg
				w.Forage = []ForageMeal{{7 * 60, 11}, {18 * 60, 14}}
				w.Events = []EventMeals{{saturday, "Breakfast", 300, true}}
				w.Changes, w.DryFeed, w.DryHay = threeChanges[:1], []string{"Cubes"}, []string{"Hay"}
				w.NewHard, w.NewHay = []NewFeed{{"Cubes", yard.Known(12)}}, []NewFeed{{"Hay", yard.Known(16)}}
				w.OilNewMl, w.OilDays = 50, 16
				w.Class, w.Temperature, w.HumidityPct = yard.ClassLight, yard.Known(10), yard.Known(60)
			}),
			"a week of which little is known": aWeek(kg, func(w *HorseWeek) { w.Horse.WorkGiven = false }),
			"a feed room": feedRoomOf(yard.Feed{Name: "Grass haylage", MeasureName: "scoop", MeasureKg: yard.Known(1), MeasureWeighed: daysAgo(3), BatchSince: daysAgo(5),
				OpenedOn: daysAgo(1), BestBefore: daysAgo(-30), AnalysedOn: daysAgo(4)}),
			"a feed room without dates": feedRoomOf(yard.Feed{Name: "Oats", MeasureKg: yard.Known(1), BatchSince: daysAgo(5)}),
			"an empty yard":             Room{},
		} {
			if fs := check(of); len(fs) > 0 {
				t.Errorf("%s of a %s: %+v", what, size.name, fs)
			}
		}
	}
}

// What each rule must not speak of, row by row.
func TestWhatARuleDoesNotSpeakOf(t *testing.T) {
	sugary := sugars(400, 50)
	noScore := func(w HorseWeek, change func(*yard.Horse)) HorseWeek { change(&w.Horse); return w }
	for _, c := range []struct {
		what      string
		rule, row string
		of        any
	}{
		{"grass last week not known", "D-06", "", aWeek(500, func(w *HorseWeek) { w.Horse.GrassHours = yard.Known(4) })},
		{"grass this week not known", "D-06", "", aWeek(500, func(w *HorseWeek) { w.Horse.GrassBefore = yard.Known(4) })},
		{"no more grass, laminitis", "D-06", "", sick(yard.Laminitis, func(w *HorseWeek) { w.Horse.GrassBefore, w.Horse.GrassHours = yard.Known(4), yard.Known(4) })},
		{"no forage at all, ulcers", "D-14", "straw as the only forage, ulcer history", called("ulcers", yard.Ulcers)},
		{"a cereal, told as one", "D-15", "starch and sugar of a bucket feed", called("EMS", yard.InsulinEMS, one("Oats", yard.HardFeed, 0.01, 0.9, func(k *feeds.Resolved) { sugary(k); k.Cereal = true }))},
		{"a carrot, told as one", "D-15", "starch and sugar of a bucket feed", called("EMS", yard.InsulinEMS, one("Carrots", yard.Succulent, 0.01, 0.9, sugary))},
		{"hay is not in the bucket", "D-15", "starch and sugar of a bucket feed", called("EMS", yard.InsulinEMS, one("Hay", yard.Forage, 1, 0.9, sugary))},
		{"hay is no bucket meal", "D-15", "starch and sugar of a bucket meal", changed(called("EMS", yard.InsulinEMS, one("Hay", yard.Forage, 9, 0.9, sugary)), func(r *Ration) { r.Feeds[0].PerMeal = []float64{9} })},
		{"a supplement is no bucket feed", "D-15", "starch and sugar of a bucket feed", called("EMS", yard.InsulinEMS, one("Syrup", yard.Supplement, 0.01, 0.9, sugary))},
		{"a bucket feed is no hay", "D-15", "starch and sugar of the hay", called("EMS", yard.InsulinEMS, one("Mix", yard.HardFeed, 1, 0.9, sugary))},
		{"a mark reached but not passed by RER", "D-16", "", called("RER", yard.TyingUp, one("Mix", yard.HardFeed, 2, 1, func(k *feeds.Resolved) {
			k.Composition = yard.Composition{DM: yard.Known(1), DE: yard.Known(4.2), Starch: yard.Known(100), Sugar: yard.Known(95)}
		}))},
		{"tying-up and nothing fed", "D-16", "", called("tying-up", yard.TyingUp)},
		{"hay past midnight is counted to the next day", "D-18", "", aWeek(500, func(w *HorseWeek) { w.Forage = []ForageMeal{{0, 12}, {12 * 60, 12}} })},
		{"no hard feed on the card", "D-20", "", sick(yard.TyingUp, func(w *HorseWeek) { w.HardCard = yard.Known(0) })},
		{"hard feed not known", "D-20", "", sick(yard.TyingUp, func(w *HorseWeek) { w.HardRestDayKg = 1 })},
		{"no day off", "D-20", "", sick(yard.TyingUp, func(w *HorseWeek) { w.HardCard = yard.Known(2) })},
		{"no oil", "D-21", "vitamin E with oil", changed(of(500, nil, one("Hay", yard.Forage, 9, 1, nil)), func(r *Ration) { r.VitENeeds = 800 })},
		{"enough vitamin E in what is known", "D-21", "vitamin E with oil", changed(of(500, nil, hayWith(func(c *yard.Composition) { c.VitE = yard.Known(60) }), one("Straw", yard.Forage, 1, 1, nil)), func(r *Ration) { r.Feeds, r.VitENeeds = append(r.Feeds, oilWithoutE(100)), 500 })},
		{"selenium of a forage is not added", "D-23", "sources of selenium", of(500, nil, one("A", yard.Forage, 1, 1, holding(func(c *yard.Composition) { c.Se = yard.Known(3) })), one("B", yard.Forage, 1, 1, holding(func(c *yard.Composition) { c.Se = yard.Known(3) })))},
		{"one of two is not fed", "D-23", "sources of selenium", of(500, nil, one("Selenium lick", yard.Supplement, 1, 1, nil), one("Balancer with selenium", yard.HardFeed, 0, 1, nil))},
		{"cubes with iron are no iron supplement", "D-25", "iron as a supplement", of(500, nil, one("Cubes with iron", yard.HardFeed, 1, 1, nil))},
		{"an ironmonger's tonic", "D-25", "iron as a supplement", of(500, nil, one("Ironmonger's tonic", yard.Supplement, 1, 1, nil))},
		{"calcium not known", "D-26", "", of(500, nil, one("Chop", yard.Chaff, 1, 1, holding(func(c *yard.Composition) { c.P = yard.Known(20) })))},
		{"phosphorus not known", "D-26", "", of(500, nil, one("Chop", yard.Chaff, 1, 1, holding(func(c *yard.Composition) { c.Ca = yard.Known(20) })))},
		{"no phosphorus", "D-26", "", caAndP(500, 20, 0)},
		{"a horse that loses as fast as no donkey may", "D-28", "a donkey's weight going down", aWeek(500, func(w *HorseWeek) { w.Horse.Weighings = scales(500, 32, 490, 2) })},
		{"a donkey weighed once", "D-28", "a donkey's weight going down", aWeek(180, func(w *HorseWeek) { w.Horse.Type, w.Horse.Weighings = yard.TypeDonkey, scales(180, 2) })},
		{"gain over more than half a year", "D-28", "weight going up", scored(5, 6, scales(400, 185, 535, 2))},
		{"a loss from scales to tape", "D-28", "weight going down", scored(5, 5, []yard.Weighing{weighed(500, 9, yard.ByScale), weighed(480, 2, yard.ByTape)})},
		{"a horse off its feed", "D-29", "", aWeek(500, func(w *HorseWeek) { w.Horse.OffFeed = true })},
		{"a pony that eats", "D-29", "", aWeek(180, func(w *HorseWeek) { w.Horse.Type, w.Horse.HeightCm = yard.TypePony, yard.Known(120) })},
		{"weighed on no known day", "D-30", "age of the body weight", aWeek(500, nil)},
		{"a week that begins nobody knows when", "D-30", "age of the body weight", aWeek(500, func(w *HorseWeek) { w.Beginning, w.Horse.Weighed = time.Time{}, daysAgo(90) })},
		{"a batch, and a measure weighed nobody knows when", "room-batch", "", feedRoomOf(yard.Feed{Name: "Oats", MeasureKg: yard.Known(1), BatchSince: daysAgo(8)})},
		{"a batch, and no measure", "room-batch", "", feedRoomOf(yard.Feed{Name: "Oats", MeasureWeighed: daysAgo(9), BatchSince: daysAgo(8)})},
		{"a batch, and no analysis", "room-analysis", "", feedRoomOf(yard.Feed{Name: "Hay", BatchSince: daysAgo(8)})},
		{"weighed once", "weighing", "", aWeek(500, func(w *HorseWeek) { w.Horse.Weighings = scales(500, 2) })},
		{"two weights sixty-one days apart", "weighing", "", aWeek(500, func(w *HorseWeek) { w.Horse.Weighings = scales(500, 63, 440, 2) })},
		{"losing, score not known", "slimming", "", noScore(scored(4, 5, scales(500, 16, 490, 2)), func(h *yard.Horse) { h.Score = yard.Num{} })},
		{"gaining, target not known", "slimming", "", noScore(scored(7, 5, scales(500, 16, 510, 2)), func(h *yard.Horse) { h.TargetScore = yard.Num{} })},
		{"gaining, at its score", "slimming", "", scored(5, 5, scales(500, 16, 510, 2))},
		{"weighed once, to be slimmed", "slimming", "", scored(7, 5, scales(500, 2))},
		{"scores nearer to the target", "slimming", "condition score against the aim", scored(6, 5, scoresTaken(7, 30, 6, 2))},
		{"scores thirteen days apart", "slimming", "condition score against the aim", scored(7, 5, scoresTaken(6, 15, 7, 2))},
		{"scores eighty-five days apart", "slimming", "condition score against the aim", scored(7, 5, scoresTaken(6, 87, 7, 2))},
		{"scores, and no target", "slimming", "condition score against the aim", noScore(scored(7, 5, scoresTaken(6, 30, 7, 2)), func(h *yard.Horse) { h.TargetScore = yard.Num{} })},
		{"one score among weights", "slimming", "condition score against the aim", scored(7, 5, append(scales(500, 60, 500, 30), scoresTaken(7, 2)...))},
		{"gaining, neither score nor target known", "holding", "", noScore(scored(5, 5, scales(500, 44, 520, 2)), func(h *yard.Horse) { h.Score, h.TargetScore = yard.Num{}, yard.Num{} })},
		{"gaining, to be fed up", "holding", "", scored(5, 6, scales(500, 44, 520, 2))},
		{"held, and losing", "holding", "", scored(5, 5, scales(520, 44, 500, 2))},
		{"held, weighed once", "holding", "", scored(5, 5, scales(520, 44))},
		{"held, the gain older than a season", "holding", "", scored(5, 5, scales(480, 87, 500, 30, 501, 2))},
		{"soft and walking", "work-pace", "", softWeek(yard.Stabled, 3, walk60)},
		{"a hard horse cantering", "work-pace", "", aWeek(500, func(w *HorseWeek) { w.Horse.Fitness, w.Horse.Work[0] = yard.Hard, session(yard.Canter, 20) })},

		// time, canter and hills count from five minutes more, jumping from one; all from a tenth more
		{"hills alone", "work-step", "", partFit(sevenDays(session(yard.Walk, 45)), sevenDays(session(yard.Walk, 40), hilly(5)))},
		{"a little more time, and hills", "work-step", "", partFit(sevenDays(session(yard.Walk, 40)), sevenDays(session(yard.Walk, 39.9), hilly(5)))},
		{"more time, and a little of hills", "work-step", "", partFit(sevenDays(session(yard.Walk, 40)), sevenDays(session(yard.Walk, 40.1), hilly(4.9)))},
		{"a little canter, and hills", "work-step", "", partFit(sevenDays(session(yard.Walk, 45)), sevenDays(session(yard.Walk, 35.1), session(yard.Canter, 4.9), hilly(5)))},
		{"a little jumping, and hills", "work-step", "", partFit(sevenDays(session(yard.Walk, 45)), sevenDays(session(yard.Walk, 39.1), session(yard.Jump, 0.9), hilly(5)))},
		{"a tenth more of both", "work-step", "", partFit(sevenDays(session(yard.Walk, 100), session(yard.Canter, 100)), sevenDays(session(yard.Walk, 110), session(yard.Canter, 110)))},
		{"fitness not said", "work-step", "", before(sevenDays(walk60), sevenDays(walk60, hilly(50), session(yard.Canter, 20)), func(w *HorseWeek) {})},
		{"a day of this week not understood", "work-step", "", partFit(sevenDays(walk60), sevenDays(walk60, hilly(50), session(yard.Canter, 20), yard.Day{Unknown: true}))},
		{"last week not given", "work-distance", "", aWeek(500, func(w *HorseWeek) { w.Horse.Work = sevenDays(session(yard.Canter, 120), session(yard.Gallop, 12)) })},
		{"canter alone", "work-distance", "", before(sevenDays(session(yard.Canter, 120)), sevenDays(session(yard.Canter, 120)), func(w *HorseWeek) {})},
		{"gallop alone", "work-distance", "", before(sevenDays(session(yard.Gallop, 12)), sevenDays(session(yard.Gallop, 12)), func(w *HorseWeek) {})},
		{"a canter after days off", "work-gap", "", aWeek(500, func(w *HorseWeek) {
			w.Horse.Work = sevenDays(yard.Day{}, yard.Day{}, yard.Day{}, session(yard.Canter, 20))
		})},
		{"days not understood are no days off", "work-gap", "", aWeek(500, func(w *HorseWeek) {
			w.Horse.Work = sevenDays(yard.Day{Unknown: true}, yard.Day{}, yard.Day{}, session(yard.Gallop, 5))
		})},
		{"a gallop last week after days off", "work-gap", "", before(sevenDays(yard.Day{}, yard.Day{}, yard.Day{}, session(yard.Gallop, 5), walk60, walk60, walk60), sevenDays(walk60), func(w *HorseWeek) {})},
		{"this week not given", "work-gap", "", before([7]yard.Day{}, sevenDays(session(yard.Gallop, 5)), func(w *HorseWeek) { w.Horse.WorkGiven = false })},
		{"last week not given and idle", "work-gap", "", aWeek(500, func(w *HorseWeek) { w.Horse.Work = sevenDays(session(yard.Gallop, 5)) })},
		{"hard feed up in a horse of the right score", "overweight", "", scored(5, 5, nil)},
		{"a fat horse on what it had", "overweight", "", sick(yard.Overweight, func(w *HorseWeek) { w.HardNow, w.HardCard = yard.Known(1), yard.Known(1) })},
		{"eating up", "off-feed", "", aWeek(500, nil)},
		{"a heavy rider and no ridden work", "rider", "", aWeek(500, func(w *HorseWeek) { w.Horse.RiderTackKg = yard.Known(200) })},
		{"ridden on six days", "work-rest", "", aWeek(500, func(w *HorseWeek) { w.Horse.Work = sevenOf(walk60, 6) })},
		{"part-fit, nothing ticked", "ready", "", aWeek(500, func(w *HorseWeek) { w.Horse.Fitness = yard.PartFit })},
		{"ticked, weight from the tape", "ready", "", aWeek(500, func(w *HorseWeek) {
			w.Horse.Fitness, w.Horse.Checks, w.Horse.WeightKg, w.Horse.GirthCm = yard.Soft, yard.Checks(), yard.Num{}, yard.Known(180)
		})},
		{"this week's work not given", "let-down", "", before(sevenOf(walk60, 6), [7]yard.Day{}, func(w *HorseWeek) { fedOn(2)(w); w.Horse.WorkGiven = false })},
		{"idle both weeks", "let-down", "", before([7]yard.Day{}, [7]yard.Day{}, fedOn(2))},
		{"a day of last week not understood", "let-down", "", before(sevenDays(walk60, walk60, yard.Day{Unknown: true}), [7]yard.Day{}, fedOn(2))},
		{"a day of this week not understood", "let-down", "", before(sevenOf(walk60, 6), sevenDays(yard.Day{Unknown: true}), fedOn(2))},
		{"hard feed now not known", "let-down", "", before(sevenOf(walk60, 6), [7]yard.Day{}, func(w *HorseWeek) { w.HardCard = yard.Known(2) })},
		{"choke, all soaked", "choke", "", sick(yard.Choke, func(w *HorseWeek) {})},
		{"dry hay, no heaves", "heaves", "", aWeek(500, func(w *HorseWeek) { w.DryHay = []string{"Hay"} })},
		{"temperature not known", "heat", "", aWeek(500, func(w *HorseWeek) { w.Class, w.HumidityPct = yard.ClassLight, yard.Known(90) })},
		{"humidity not known", "heat", "", aWeek(500, func(w *HorseWeek) { w.Class, w.Temperature = yard.ClassLight, yard.Known(60) })},
		{"a cowslip chaff", "SH-01", "", of(500, nil, one("Cowslip chaff", yard.Chaff, 1, 0.9, nil))},
	} {
		if got := found(yard.RuleID(c.rule), c.row, check(c.of)); got.Severity != 0 {
			t.Errorf("%s: %s %s says %v %q", c.what, c.rule, c.row, got.Severity, message(got))
		}
	}
}

// The other side of the borders above: one step further, and the rule speaks.
func TestWhatARuleSpeaksOfAtItsBorders(t *testing.T) {
	for _, c := range []struct {
		what, rule, row string
		of              any
		want            yard.Severity
	}{
		{"gain over half a year", "D-28", "weight going up", scored(5, 6, scales(450, 184, 535, 2)), yard.Warn},
		{"scores eighty-four days apart", "slimming", "condition score against the aim", scored(7, 5, scoresTaken(6, 86, 7, 2)), yard.Warn},
		{"two weights sixty days apart", "weighing", "", aWeek(500, func(w *HorseWeek) { w.Horse.Weighings = scales(500, 62, 440, 2) }), yard.Warn},
		{"five minutes of time and of hills", "work-step", "", partFit(sevenDays(session(yard.Walk, 40)), sevenDays(session(yard.Walk, 40), hilly(5))), yard.Warn},
		{"five minutes of canter and of hills", "work-step", "", partFit(sevenDays(session(yard.Walk, 45)), sevenDays(session(yard.Walk, 35), session(yard.Canter, 5), hilly(5))), yard.Warn},
		{"five minutes of gallop and of hills", "work-step", "", partFit(sevenDays(session(yard.Walk, 45)), sevenDays(session(yard.Walk, 35), session(yard.Gallop, 5), hilly(5))), yard.Warn},
		{"a minute of jumping and five of hills", "work-step", "", partFit(sevenDays(session(yard.Walk, 45)), sevenDays(session(yard.Walk, 39), session(yard.Jump, 1), hilly(5))), yard.Warn},
		{"a seventh more of both", "work-step", "", partFit(sevenDays(session(yard.Walk, 100), session(yard.Canter, 100)), sevenDays(session(yard.Walk, 115), session(yard.Canter, 115))), yard.Warn},
		{"out for an hour less than counts as all day", "D-18", "", aWeek(500, func(w *HorseWeek) { w.Horse.GrassHours, w.Forage = yard.Known(17.5), []ForageMeal{{420, 1}} }), yard.Stop},
		{"forage at midnight", "D-18", "", aWeek(500, func(w *HorseWeek) { w.Forage = []ForageMeal{{0, 3}, {12 * 60, 3}} }), yard.Stop},
	} {
		if got := found(yard.RuleID(c.rule), c.row, check(c.of)); got.Severity != c.want {
			t.Errorf("%s: %s %s says %v %q, want %v", c.what, c.rule, c.row, got.Severity, message(got), c.want)
		}
	}
}

// A billionth of the unit compared is not a passing of a mark, more is.
func TestTheMarginOfALimit(t *testing.T) {
	if over(tiny, 0) || over(1, 1) || !over(1.05e-9, 0) || under(-tiny, 0) || under(1, 1) || !under(-1.05e-9, 0) {
		t.Error("the margin is not a billionth, or its border passes")
	}
}

func TestAGapThatIsNotKnownHasNoMinutes(t *testing.T) {
	if minutes, from, ok := Gap([]ForageMeal{{420, 1}, {-1, 4}}); minutes != 0 || from != 0 || ok {
		t.Errorf("%v %v %v", minutes, from, ok)
	}
}

// Of meals that bring as much, the first is named.
func TestTheFirstOfEqualMealsIsNamed(t *testing.T) {
	r := mealsOf(500, meal{"Breakfast", 1, 0}, meal{"Tea", 1, 0})
	if c := limitCalled("hard feed in one meal").Compare(r, limits); c.Meal != "Breakfast" || c.Value != 1 {
		t.Errorf("%s, %v kg", c.Meal, c.Value)
	}
}

// A horse without a body weight has no marks: what is asked for is done at once.
func TestWithoutLimitsThereIsOneStep(t *testing.T) {
	if got := (Marks{}).Path(1, 3); len(got) != 1 || got[0] != 3 {
		t.Errorf("path %v", got)
	}
	if got := (Marks{}).StageDays(2, []int{2, 4, 6}); len(got) != 1 || got[0] != 2 {
		t.Errorf("steps on %v", got)
	}
}

// Steps go by what a kitchen scale shows at a glance, 50 g.
func TestStagesGoByFiftyGrams(t *testing.T) {
	m := MarksFor(500, limits) // 0.2 kg a day
	for _, c := range []struct {
		now, target float64
		n           int
		want        []float64
	}{
		{1.03, 1.38, 2, []float64{1.2, 1.38}},
		{1, 1.6, 3, []float64{1.2, 1.4, 1.6}},
		{1.04, 1.44, 2, []float64{1.24, 1.44}},    // 1.2 and 1.4 would not get there
		{1, 2, 2, []float64{1.5, 2}},              // fewer days than steps: equal and larger ones
		{1.033, 1.423, 2, []float64{1.23, 1.423}}, // by fifty grams 1.2 and 1.4 fall short, by ten they do not
	} {
		got := m.StageTotals(c.now, c.target, c.n)
		for i, want := range c.want {
			if len(got) != len(c.want) || got[i] < want-1e-9 || got[i] > want+1e-9 {
				t.Errorf("from %.2f to %.2f kg in %d: %v, want %v", c.now, c.target, c.n, got, c.want)
				break
			}
		}
	}
	for _, c := range []struct {
		rise float64
		over bool
	}{{0.2, false}, {0.21, true}, {0.31, true}} {
		if _, is := m.DayFinding("Fern", c.rise); is != c.over {
			t.Errorf("a rise of %.2f kg in one day: %v", c.rise, is)
		}
	}
}
