package report

import (
	"slices"
	"time"

	"hardfeed/ration/yard"
)

// An invented yard with one of everything a card must be able to say.

var monday = time.Date(2026, 11, 30, 0, 0, 0, 0, time.UTC)

func n(v float64) yard.Num { return yard.Known(v) }

type sv = yard.Serving

func scoopsOf(day yard.DayKind, meal, feed string, measures, one float64, from yard.Weekday) sv {
	return sv{Day: day, Meal: meal, Feed: feed, Class: yard.HardFeed, Kg: yard.KgFed(measures * one),
		Measure: "scoop", Measures: n(measures), From: from}
}

func hay(day yard.DayKind, meal string, kg float64) sv {
	return sv{Day: day, Meal: meal, Feed: "Meadow hay", Class: yard.Forage, Kg: yard.KgFed(kg)}
}

func week(rest ...int) (days [7]yard.DayPlan) {
	for i := range days {
		days[i] = yard.DayPlan{Date: monday.AddDate(0, 0, i), Kind: yard.WorkDay, Work: "hack 60", HardFeedKg: n(2), EnergyWork: n(3.2)}
	}
	for _, r := range rest {
		days[r].Kind, days[r].Work, days[r].EnergyWork, days[r].HardFeedKg = yard.RestDay, "rest", n(0), n(1)
	}
	return days
}

func nutrients() []yard.Nutrient {
	return []yard.Nutrient{
		{Name: "crude protein", Unit: "g", Need: n(862), Supply: n(901.4), AtLeast: 901.4, Source: "NRC 2007, table 16"},
		{Name: "calcium", Unit: "g", Need: n(30), Supply: n(41), AtLeast: 41, Limit: n(100), Source: "NRC 2007, table 16"},
		{Name: "phosphorus", Unit: "g", Need: n(18), AtLeast: 12.2, Source: "NRC 2007, table 16"},
		{Name: "sodium", Unit: "g", Supply: n(9), AtLeast: 9},
	}
}

func carded(name string, kg float64, days [7]yard.DayPlan, ss ...sv) yard.HorsePlan {
	h := yard.HorsePlan{
		Horse: yard.Horse{Name: name, Cell: yard.Cell{Sheet: "Horses", Ref: "A5", Text: name}, Type: yard.TypeHorse,
			Score: n(5), Fitness: yard.PartFit, Keeper: yard.NormalDoer},
		Status: yard.Carded, WeightKg: n(kg), WeightBasis: yard.ByScale, WorkClass: yard.ClassLight, WorkMinutes: 300,
		Energy: yard.Energy{Maintenance: n(17.3), Work: n(3.1), Change: n(0), Cold: n(0), Need: n(20.4), Supply: n(20.9),
			SupplyAtLeast: 20.9, ClassNeed: n(20)},
		HardFeed: yard.HardFeedDay{Now: n(1.5), Planned: n(2), Target: n(2), Card: n(2)},
		Step: yard.Step{RiseKg: n(0.5), WarnKg: n(0.7), StopKg: n(1.4), DayWarnKg: n(0.2), DayStopKg: n(0.3),
			Verdict: yard.StepWithin, WeeksToTarget: n(1), PathKg: []float64{2}},
		ForageDMPct: n(1.62), StarchMax: n(0.7), Days: days, Servings: ss, Nutrients: nutrients(),
	}
	for i := range h.Step.DayKg {
		h.Step.DayKg[i] = n(2)
	}
	return h
}

const (
	longName  = "Ballymacarrett Thunderstruck Wellington-Featherstonehaugh of the Western Marches III"
	emojiName = "Pony 🐎🏆 Biscuit"
)

func fixture() yard.Plan {
	work, rest, event := yard.WorkDay, yard.RestDay, yard.EventDay

	plain := carded("Bramble", 520, week(2, 6),
		hay(work, "Breakfast", 3.5), scoopsOf(work, "Breakfast", "Conditioning cubes", 1, 0.5, 0), scoopsOf(work, "Breakfast", "Chaff", 1, 0.2, 0),
		scoopsOf(work, "Tea", "Conditioning cubes", 1.25, 0.5, 0), scoopsOf(work, "Tea", "Conditioning cubes", 1.5, 0.5, 3), hay(work, "Tea", 5),
		sv{Day: work, Meal: "Tea", Feed: "Salt", Class: yard.Salt, Kg: 0.025},
		hay(rest, "Breakfast", 3.5), scoopsOf(rest, "Breakfast", "Conditioning cubes", 0.5, 0.5, 0), scoopsOf(rest, "Breakfast", "Chaff", 1, 0.2, 0),
		scoopsOf(rest, "Tea", "Conditioning cubes", 0.75, 0.5, 0), hay(rest, "Tea", 5),
		sv{Day: rest, Meal: "Tea", Feed: "Salt", Class: yard.Salt, Kg: 0.025})
	for i := range plain.Servings {
		plain.Servings[i].Changed = plain.Servings[i].Feed == "Conditioning cubes"
	}
	plain.Changes = []yard.Change{{Feed: "Conditioning cubes", FromKg: n(0.75), ToKg: n(1.25), From: 3}}
	plain.Cautions = []string{"Rest day: hard feed is halved, hay stays the same."}

	held := carded("Quillfeather", 485, week(6),
		hay(work, "Breakfast", 4), scoopsOf(work, "Breakfast", "Oats", 2.5, 0.4, 0),
		scoopsOf(work, "Lunch", "Oats", 1, 0.4, 0), scoopsOf(work, "Tea", "Oats", 2.25, 0.4, 0), hay(work, "Tea", 6),
		hay(rest, "Breakfast", 4), scoopsOf(rest, "Breakfast", "Oats", 1.25, 0.4, 0), scoopsOf(rest, "Tea", "Oats", 1, 0.4, 0), hay(rest, "Tea", 6),
		hay(event, "Breakfast", 1), scoopsOf(event, "Breakfast", "Oats", 1, 0.4, 0), scoopsOf(event, "Tea", "Oats", 1.5, 0.4, 0), hay(event, "Tea", 6))
	held.Days[5].Kind, held.Days[5].Work = event, "show 10:00"
	held.Status = yard.Held
	for ago, kg := range map[int]float64{12: 0, 11: 0.75, 9: 1.25, 3: 1.5, 2: 1.75, 1: 1.9} { // the other weeks have no record
		held.Horse.Past = append(held.Horse.Past, yard.PastWeek{Beginning: time.Date(2026, 11, 30-7*ago, 0, 0, 0, 0, time.UTC), HardKg: kg})
	}
	slices.SortFunc(held.Horse.Past, func(a, b yard.PastWeek) int { return a.Beginning.Compare(b.Beginning) })
	held.HeldWhy = []string{"The plan rises from 1.9 to 4.2 kg of hard feed a day; the stop mark for a week is 1.36 kg (D-02). This card gives 2.3 kg."}
	held.Step.Verdict = yard.StepStop
	held.HardFeed = yard.HardFeedDay{Now: n(1.9), Planned: n(4.2), Target: n(4.2), Card: n(2.3)}
	held.Step.PathKg = []float64{2.3, 2.9, 3.6, 4.2}
	held.Changes = []yard.Change{{Feed: "Oats", FromKg: n(1.9), ToKg: n(2.3)}, {Feed: "Barley", FromKg: n(0.5), ToKg: n(0)}, {Feed: "Meadow hay", ToKg: n(10)}}
	held.Findings = []yard.Finding{{Rule: "D-02", Severity: yard.Stop, Horse: "Quillfeather",
		Message: "Hard feed rises by 2.3 kg a day in one week; above 1.36 kg the card is held. Plan a slower climb, or take the decision with your name and reason.",
		Cell:    yard.Cell{Sheet: "Rations", Ref: "F12", Text: "4.2"}, Source: "limits D-02, low end of RC-02"}}

	none := yard.HorsePlan{Horse: yard.Horse{Name: "Old Tom", Cell: yard.Cell{Sheet: "Horses", Ref: "A9"}, Fitness: yard.FitnessUnknown}, Status: yard.NoCard,
		NoCardWhy: []string{"No body weight: the cell Horses!C9 says “big”, a number was expected, and there is no girth and length."}, WeightBasis: yard.NoWeight}

	crowded := carded(longName, 612.5, week(0, 1))
	for _, m := range []string{"Early feed", "Breakfast", "Lunch", "Tea", "Late feed"} {
		for j, f := range []string{"Conditioning cubes", "Oats", "Chaff", "Soaked unmolassed sugar beet pulp shreds", "Micronised linseed", "Balancer", "Rolled barley", "Alfalfa pellets"} {
			s := scoopsOf(work, m, f, 0.25*float64(j+1), 0.37, 0)
			if j == 3 {
				s.Weigh, s.Measures = true, n(1.37)
			}
			crowded.Servings = append(crowded.Servings, s)
			if j == 0 {
				crowded.Servings = append(crowded.Servings, scoopsOf(work, m, f, 0.5, 0.37, 2), scoopsOf(work, m, f, 0.75, 0.37, 4))
			}
			crowded.Servings = append(crowded.Servings, scoopsOf(rest, m, f, 0.25, 0.37, 0), scoopsOf(event, m, f, 0.5, 0.37, 0))
		}
	}
	crowded.Cautions = []string{"Choke in the past: every bucket feed soaked as its label says, and somebody stays until it is eaten.",
		"Laminitis named by a vet: no cereals, no grazing without the vet's word."}

	adlib := carded("Аврора", 430, week(),
		sv{Day: work, Feed: "Haylage", Class: yard.Forage, AdLib: true, Kg: 11.3},
		sv{Day: work, Meal: "Tea", Feed: "Linseed oil", Class: yard.Oil, Kg: 0.046, Ml: n(50)},
		sv{Day: work, Meal: "Tea", Feed: "Balancer", Class: yard.HardFeed, Kg: 0.43, Measure: "mug", Measures: n(1.72), Weigh: true},
		sv{Day: work, Meal: "Tea", Feed: "Vitamin E", Class: yard.Supplement, Kg: 0.005})
	adlib.HardFeed.Now, adlib.HardFeed.Planned, adlib.Step = yard.Num{}, yard.Num{}, yard.Step{Verdict: yard.StepUnknown}
	adlib.Energy.Supply, adlib.Energy.SupplyAtLeast = yard.Num{}, 14.2
	adlib.WorkAtLeast, adlib.Days[3].EnergyWork = true, yard.Num{}
	adlib.Days[3].Work = "torrt 20 ??"

	greek := carded("Αστραπή", 390, week(3), scoopsOf(work, "Tea", "Oats", 0.25, 0.4, 4), scoopsOf(rest, "Tea", "Oats", 0, 0.4, 0))
	emoji := carded(emojiName, 250, week(), hay(work, "Breakfast", 2.25), scoopsOf(work, "Tea", "Chaff", 4, 0.2, 0))

	p := yard.Plan{
		Week: yard.Week{
			Yard: "Withy Brook Yard", Beginning: monday, Paper: "A4",
			Meals:    []yard.Meal{{Name: "Breakfast", Minute: 390}, {Name: "Lunch", Minute: 750}, {Name: "Tea", Minute: 1050}, {Name: "Late feed", Minute: -1}},
			Measures: []yard.Measure{{Name: "scoop", Litres: n(2)}, {Name: "mug", Litres: n(0.4)}},
			Contacts: []yard.Contact{{Role: "Yard manager", Name: "Nell Harrow", Phone: "01632 960123"}, {Role: "Vet", Name: "Fenside Practice", Phone: "01632 960456"}},
			Read:     yard.Counts{Sheets: 6, Rows: 143, Horses: 7},
		},
		Standard: "NRC 2007", WorkModel: "pace",
		Horses: []yard.HorsePlan{plain, held, none, crowded, adlib, greek, emoji},
		Feeds: []yard.FeedNeed{
			{Feed: yard.Feed{Name: "Conditioning cubes", Class: yard.HardFeed, PackName: "bag", MeasureWeighed: monday.AddDate(0, 0, -9)}, CompFrom: "workbook, as fed (Feeds!F3)", MeasureKg: n(0.5), KgWeek: 17.5, Packs: n(0.9), Cost: n(12.6), StockDays: n(9)},
			{Feed: yard.Feed{Name: "Oats", Class: yard.HardFeed, PackName: "bag"}, CompFrom: "generic: oats, whole", MeasureKg: n(0.4), Unweighed: true, DensityFrom: "published bulk density of whole oats, 0.48 kg a litre", KgWeek: 21},
			{Feed: yard.Feed{Name: "Balancer", Class: yard.HardFeed, MeasureName: "mug"}, CompFrom: "workbook, dry matter", Unweighed: true, KgWeek: 3},
			{Feed: yard.Feed{Name: "Meadow hay", Class: yard.Forage, PackName: "bale"}, CompFrom: "generic: meadow hay", KgWeek: 310, Packs: n(15.5), Cost: n(93), StockDays: n(21)},
			{Feed: yard.Feed{Name: "Haylage", Class: yard.Forage}, CompFrom: "generic: haylage", KgWeek: 79, Estimated: true},
		},
		Findings: []yard.Finding{held.Findings[0],
			{Rule: "cell-number", Severity: yard.Stop, Horse: "Old Tom", Message: "The weight “big” is not a number: write kilograms, or give girth and length.", Cell: yard.Cell{Sheet: "Horses", Ref: "C9", Text: "big"}},
			{Rule: "work-word", Severity: yard.Warn, Horse: "Аврора", Message: "“torrt” is not understood; did you mean “trot”?", Cell: yard.Cell{Sheet: "Work", Ref: "E7", Text: "torrt 20 ??"}},
			{Rule: "weight-stale", Severity: yard.Note, Horse: "Bramble", Message: "Weighed 70 days ago.", Source: "common practice, no source"}},
	}
	return p
}
