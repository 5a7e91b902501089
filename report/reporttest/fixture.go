// Package reporttest is what the tests of report's rooms share: a yard with everything
// a sheet may have to carry, yards by chance, and how a PDF is read back.
package reporttest

import (
	"slices"
	"time"

	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// An invented yard with one of everything a card must be able to say.
var Monday = time.Date(2026, 11, 30, 0, 0, 0, 0, time.UTC)

// Num is a known number.
func Num(v float64) yard.Num { return yard.Known(v) }

// Serving is short for the type of ration/yard.
type Serving = yard.Serving

// ScoopsOf is a serving of so many scoops, each of so many kilos, from a day on.
func ScoopsOf(day yard.DayKind, meal, feed string, measures, one float64, from yard.Weekday) Serving {
	return Serving{Day: day, Meal: meal, Feed: feed, Class: yard.HardFeed, Kg: yard.KgFed(measures * one),
		Measure: "scoop", Measures: Num(measures), From: from}
}

// Hay is a serving of the fixture's hay.
func Hay(day yard.DayKind, meal string, kg float64) Serving {
	return Serving{Day: day, Meal: meal, Feed: "Meadow hay", Class: yard.Forage, Kg: yard.KgFed(kg)}
}

// Week is seven days of work but for the days off.
func Week(rest ...int) (days [7]yard.DayPlan) {
	for i := range days {
		days[i] = yard.DayPlan{Date: Monday.AddDate(0, 0, i), Kind: yard.WorkDay, Work: "hack 60", HardFeedKg: Num(2), EnergyWork: Num(3.2)}
	}
	for _, r := range rest {
		days[r].Kind, days[r].Work, days[r].EnergyWork, days[r].HardFeedKg = yard.RestDay, "rest", Num(0), Num(1)
	}
	return days
}

func nutrients() []yard.Nutrient {
	return []yard.Nutrient{
		{Name: "crude protein", Unit: "g", Need: Num(862), Supply: Num(901.4), AtLeast: 901.4, Source: "NRC 2007, table 16"},
		{Name: "calcium", Unit: "g", Need: Num(30), Supply: Num(41), AtLeast: 41, Limit: Num(100), Source: "NRC 2007, table 16"},
		{Name: "phosphorus", Unit: "g", Need: Num(18), AtLeast: 12.2, Source: "NRC 2007, table 16"},
		{Name: "sodium", Unit: "g", Supply: Num(9), AtLeast: 9},
	}
}

// Carded is a horse with a card.
func Carded(name string, kg float64, days [7]yard.DayPlan, ss ...Serving) yard.HorsePlan {
	h := yard.HorsePlan{
		Horse: yard.Horse{Name: name, Cell: yard.Cell{Sheet: "Horses", Ref: "A5", Text: name}, Type: yard.TypeHorse,
			Score: Num(5), Fitness: yard.PartFit, Keeper: yard.NormalDoer},
		Status: yard.Carded, WeightKg: Num(kg), WeightBasis: yard.ByScale, WorkClass: yard.ClassLight, WorkMinutes: 300,
		Energy: yard.Energy{Maintenance: Num(17.3), Work: Num(3.1), Change: Num(0), Cold: Num(0), Need: Num(20.4), Supply: Num(20.9),
			SupplyAtLeast: 20.9, ClassNeed: Num(20)},
		HardFeed: yard.HardFeedDay{Now: Num(1.5), Planned: Num(2), Target: Num(2), Card: Num(2)},
		Step: yard.Step{RiseKg: Num(0.5), WarnKg: Num(0.7), StopKg: Num(1.4), DayWarnKg: Num(0.2), DayStopKg: Num(0.3),
			Verdict: yard.StepWithin, WeeksToTarget: Num(1), PathKg: []float64{2}},
		ForageDMPct: Num(1.62), StarchMax: Num(0.7), Days: days, Servings: ss, Nutrients: nutrients(),
	}
	for i := range h.Step.DayKg {
		h.Step.DayKg[i] = Num(2)
	}
	return h
}

const (
	longName  = "Ballymacarrett Thunderstruck Wellington-Featherstonehaugh of the Western Marches III"
	EmojiName = "Pony 🐎🏆 Biscuit"
)

// Fixture is an invented yard with one of everything a sheet must be able to say.
func Fixture() yard.Plan {
	work, rest, event := yard.WorkDay, yard.RestDay, yard.EventDay

	plain := Carded("Bramble", 520, Week(2, 6),
		Hay(work, "Breakfast", 3.5), ScoopsOf(work, "Breakfast", "Conditioning cubes", 1, 0.5, 0), ScoopsOf(work, "Breakfast", "Chaff", 1, 0.2, 0),
		ScoopsOf(work, "Tea", "Conditioning cubes", 1.25, 0.5, 0), ScoopsOf(work, "Tea", "Conditioning cubes", 1.5, 0.5, 3), Hay(work, "Tea", 5),
		Serving{Day: work, Meal: "Tea", Feed: "Salt", Class: yard.Salt, Kg: 0.025},
		Hay(rest, "Breakfast", 3.5), ScoopsOf(rest, "Breakfast", "Conditioning cubes", 0.5, 0.5, 0), ScoopsOf(rest, "Breakfast", "Chaff", 1, 0.2, 0),
		ScoopsOf(rest, "Tea", "Conditioning cubes", 0.75, 0.5, 0), Hay(rest, "Tea", 5),
		Serving{Day: rest, Meal: "Tea", Feed: "Salt", Class: yard.Salt, Kg: 0.025})
	for i := range plain.Servings {
		plain.Servings[i].Changed = plain.Servings[i].Feed == "Conditioning cubes"
	}
	plain.Changes = []yard.Change{{Feed: "Conditioning cubes", FromKg: Num(0.75), ToKg: Num(1.25), From: 3}}
	plain.Cautions = Sayings("Rest day: hard feed is halved, hay stays the same.")

	plain.Horse.Weighings, plain.Evidence = learnt()
	plain.Energy.Own, plain.Energy.Need, plain.Energy.NeedRange = Num(1.2), Num(21.6), yard.Range{Low: Num(20.3), High: Num(22.9)}

	held := Carded("Quillfeather", 485, Week(6),
		Hay(work, "Breakfast", 4), ScoopsOf(work, "Breakfast", "Oats", 2.5, 0.4, 0),
		ScoopsOf(work, "Lunch", "Oats", 1, 0.4, 0), ScoopsOf(work, "Tea", "Oats", 2.25, 0.4, 0), Hay(work, "Tea", 6),
		Hay(rest, "Breakfast", 4), ScoopsOf(rest, "Breakfast", "Oats", 1.25, 0.4, 0), ScoopsOf(rest, "Tea", "Oats", 1, 0.4, 0), Hay(rest, "Tea", 6),
		Hay(event, "Breakfast", 1), ScoopsOf(event, "Breakfast", "Oats", 1, 0.4, 0), ScoopsOf(event, "Tea", "Oats", 1.5, 0.4, 0), Hay(event, "Tea", 6))
	held.Days[5].Kind, held.Days[5].Work = event, "show 10:00"
	held.Status = yard.Held
	for ago, kg := range map[int]float64{12: 0, 11: 0.75, 9: 1.25, 3: 1.5, 2: 1.75, 1: 1.9} { // the other weeks have no record
		held.Horse.Past = append(held.Horse.Past, yard.PastWeek{Beginning: time.Date(2026, 11, 30-7*ago, 0, 0, 0, 0, time.UTC), HardKg: yard.Known(kg)})
	}
	slices.SortFunc(held.Horse.Past, func(a, b yard.PastWeek) int { return a.Beginning.Compare(b.Beginning) })
	held.HeldWhy = Sayings("The plan rises from 1.9 to 4.2 kg of hard feed a day; the top limit for a week is 1.36 kg (D-02). This card gives 2.3 kg.")
	held.Step.Verdict = yard.StepStop
	held.HardFeed = yard.HardFeedDay{Now: Num(1.9), Planned: Num(4.2), Target: Num(4.2), Card: Num(2.3)}
	held.Step.PathKg = []float64{2.3, 2.9, 3.6, 4.2}
	held.Changes = []yard.Change{{Feed: "Oats", FromKg: Num(1.9), ToKg: Num(2.3)}, {Feed: "Barley", FromKg: Num(0.5), ToKg: Num(0)}, {Feed: "Meadow hay", ToKg: Num(10)}}
	held.Findings = []yard.Finding{{Rule: "D-02", Severity: yard.Stop, Horse: "Quillfeather",
		Message: "Hard feed rises by 2.3 kg a day in one week; above 1.36 kg the card is held. Plan a slower climb, or take the decision with your name and reason.",
		Cell:    yard.Cell{Sheet: "Rations", Ref: "F12", Text: "4.2"}, Source: "limits D-02, low end of RC-02"}}

	none := yard.HorsePlan{Horse: yard.Horse{Name: "Old Tom", Cell: yard.Cell{Sheet: "Horses", Ref: "A9"}, Fitness: yard.FitnessUnknown}, Status: yard.NoCard,
		NoCardWhy: Sayings("No body weight: the cell Horses!C9 says “big”, a number was expected, and there is no girth and length."), WeightBasis: yard.NoWeight}

	crowded := Carded(longName, 612.5, Week(0, 1))
	crowded.Days[5].Kind, crowded.Days[5].Work = event, "show 10:00"
	for _, m := range []string{"Early feed", "Breakfast", "Lunch", "Tea", "Late feed"} {
		for j, f := range []string{"Conditioning cubes", "Oats", "Chaff", "Soaked unmolassed sugar beet pulp shreds", "Micronised linseed", "Balancer", "Rolled barley", "Alfalfa pellets"} {
			s := ScoopsOf(work, m, f, 0.25*float64(j+1), 0.37, 0)
			if j == 3 {
				s.Weigh, s.Measures = true, Num(1.37)
			}
			crowded.Servings = append(crowded.Servings, s)
			if j == 0 {
				crowded.Servings = append(crowded.Servings, ScoopsOf(work, m, f, 0.5, 0.37, 2), ScoopsOf(work, m, f, 0.75, 0.37, 4))
			}
			crowded.Servings = append(crowded.Servings, ScoopsOf(rest, m, f, 0.25, 0.37, 0), ScoopsOf(event, m, f, 0.5, 0.37, 0))
		}
	}
	crowded.Cautions = Sayings("Choke in the past: every bucket feed soaked as its label says, and somebody stays until it is eaten.",
		"Laminitis named by a vet: no cereals, no grazing without the vet's word.")

	adlib := Carded("Аврора", 430, Week(),
		Serving{Day: work, Feed: "Haylage", Class: yard.Forage, AdLib: true, Kg: 11.3},
		Serving{Day: work, Meal: "Tea", Feed: "Linseed oil", Class: yard.Oil, Kg: 0.046, Ml: Num(50)},
		Serving{Day: work, Meal: "Tea", Feed: "Balancer", Class: yard.HardFeed, Kg: 0.43, Measure: "mug", Measures: Num(1.72), Weigh: true},
		Serving{Day: work, Meal: "Tea", Feed: "Vitamin E", Class: yard.Supplement, Kg: 0.005})
	adlib.HardFeed.Now, adlib.HardFeed.Planned, adlib.Step = yard.Num{}, yard.Num{}, yard.Step{Verdict: yard.StepUnknown}
	adlib.Energy.Supply, adlib.Energy.SupplyAtLeast = yard.Num{}, 14.2
	adlib.WorkAtLeast, adlib.Days[3].EnergyWork = true, yard.Num{}
	adlib.Days[3].Work = "torrt 20 ??"

	greek := Carded("Αστραπή", 390, Week(3), ScoopsOf(work, "Tea", "Oats", 0.25, 0.4, 4), ScoopsOf(rest, "Tea", "Oats", 0, 0.4, 0))
	emoji := Carded(EmojiName, 250, Week(), Hay(work, "Breakfast", 2.25), ScoopsOf(work, "Tea", "Chaff", 4, 0.2, 0))

	p := yard.Plan{
		Week: yard.Week{
			Yard: "Withy Brook Yard", Beginning: Monday, Paper: "A4",
			Meals:    []yard.Meal{{Name: "Breakfast", Minute: 390}, {Name: "Lunch", Minute: 750}, {Name: "Tea", Minute: 1050}, {Name: "Late feed", Minute: -1}},
			Measures: []yard.Measure{{Name: "scoop", Litres: Num(2)}, {Name: "mug", Litres: Num(0.4)}},
			Contacts: []yard.Contact{{Role: "Yard manager", Name: "Nell Harrow", Phone: "01632 960123"}, {Role: "Vet", Name: "Fenside Practice", Phone: "01632 960456"}},
			Read:     yard.Counts{Sheets: 6, Rows: 143, Horses: 7},
		},
		Standard: "NRC 2007", WorkModel: "pace",
		Horses: []yard.HorsePlan{plain, held, none, crowded, adlib, greek, emoji},
		Feeds: []yard.FeedNeed{
			{Feed: yard.Feed{Name: "Conditioning cubes", Class: yard.HardFeed, PackName: "bag", MeasureWeighed: Monday.AddDate(0, 0, -9)}, CompFrom: "workbook, as fed (Feeds!F3)", MeasureKg: Num(0.5), KgWeek: 17.5, Packs: Num(0.9), Cost: Num(12.6), StockDays: Num(9)},
			{Feed: yard.Feed{Name: "Oats", Class: yard.HardFeed, PackName: "bag"}, CompFrom: "generic: oats, whole", MeasureKg: Num(0.4), Unweighed: true, DensityFrom: "published bulk density of whole oats, 0.48 kg a litre", KgWeek: 21},
			{Feed: yard.Feed{Name: "Balancer", Class: yard.HardFeed, MeasureName: "mug"}, CompFrom: "workbook, dry matter", Unweighed: true, KgWeek: 3},
			{Feed: yard.Feed{Name: "Meadow hay", Class: yard.Forage, PackName: "bale"}, CompFrom: "generic: meadow hay", KgWeek: 310, Packs: Num(15.5), Cost: Num(93), StockDays: Num(21)},
			{Feed: yard.Feed{Name: "Haylage", Class: yard.Forage}, CompFrom: "generic: haylage", KgWeek: 79, Estimated: true},
		},
		Findings: []yard.Finding{held.Findings[0],
			{Rule: "cell-number", Severity: yard.Stop, Horse: "Old Tom", Message: "The weight “big” is not a number: write kilograms, or give girth and length.", Cell: yard.Cell{Sheet: "Horses", Ref: "C9", Text: "big"}},
			{Rule: "work-word", Severity: yard.Warn, Horse: "Аврора", Message: "“torrt” is not understood; did you mean “trot”?", Cell: yard.Cell{Sheet: "Work", Ref: "E7", Text: "torrt 20 ??"}},
			{Rule: "weight-stale", Severity: yard.Note, Horse: "Bramble", Message: "Weighed 70 days ago.", Source: "common practice, no source"}},
	}
	return p
}

// OnlyHorse is p with only its i-th horse, of status s.
func OnlyHorse(p yard.Plan, i int, s yard.Status) yard.Plan {
	p.Horses = p.Horses[i : i+1]
	p.Horses[0].Status = s
	return p
}

// Tried are the languages cards are tried in: each alone, and pairs in which each
// stands second.
func Tried() [][]string {
	out := [][]string{nil, {"en", "pl"}, {"de", "en"}, {"fr", "de"}, {"en", "es"}, {"pl", "fr"}, {"es", "pt"}}
	for _, code := range words.Languages() {
		out = append(out, []string{code})
	}
	return out
}

// EveryCaution is the sentences the program writes about a horse, filled in.
func EveryCaution() (all []string) {
	for _, k := range words.English().Keys("caution.") {
		all = append(all, words.English().Say(k, "day", "Sat", "start", "10:00", "last", "06:00", "hours", "4", "days", "14", "kg", "0.67", "what", "heaves", "feeds", "Soaked unmolassed sugar beet pulp shreds"))
	}
	return all
}
