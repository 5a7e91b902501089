// Package guard compares a ration, a horse's week and the feed room with the
// limits, and says what was compared.
//
// [Rules] is the whole list, one row a rule, so that a reader who is no
// programmer can check it against the reference table of limits. To add a rule,
// add a row and, where no check does it yet, one function.
//
// # Sources
//
// The ids are those of the project's reference table of limits, which gives the
// published work behind each row; ids in words are rules of the trade, marked
// "common practice, no source". No trial was found that sets a weekly step: the
// marks are the slower half of published husbandry guidance, and the message
// says so by naming the row.
package guard

import (
	"fmt"
	"slices"
	"strings"

	"hardfeed/ration/yard"
)

// Rule is one row: what is compared, for whom, why it matters, what to do, and
// whose figure it is. Either rows of [Limits] have its id and what is compared, or
// just one of the four checks is set; each gives severity 0 where nothing is to be
// said.
type Rule struct {
	ID     yard.RuleID
	What   string
	Who    string // whom it applies to; "all"
	Why    string // one line
	Next   string // one line
	Source string

	ration func(Ration, yard.Limits) (yard.Severity, string)    // of a ration, where it is no row of [Limits]; a stop holds the card
	noRow  string                                               // why it is none
	week   func(HorseWeek, yard.Limits) (yard.Severity, string) // of a horse's week; a stop is red, no other ration clears it
	room   func(Room, yard.Limits) (yard.Severity, said)        // of the feed room and the yard
	step   func(HorseWeek, yard.Limits) (yard.Severity, string) // worked where the step is dealt out, here for the record
}

const (
	noSource = "common practice, no source"
	askVet   = "ask the vet before anything is changed"
	askBoth  = "ask a vet or a qualified nutritionist"
)

// Rules is every rule there is, in the order of the reference table.
func Rules() []Rule {
	return []Rule{
		{ID: "D-01", What: "weekly rise in hard feed, warn mark", Who: "all", step: weekRise,
			Why: "the gut is slower than the work", Next: "take two weeks over it, or look at the path on the office sheet",
			Source: StepSource},
		{ID: "D-02", What: "weekly rise in hard feed, stop mark", Who: "all", step: weekStop,
			Why: "the gut is slower than the work", Next: "hang the held card; to overrule it, name and reason in the workbook",
			Source: StepSource},
		{ID: "D-03", What: "rise in hard feed in one day", Who: "all", step: dayRise,
			Why: "a step in one day is the quickest of all changes", Next: "spread the rise over more days",
			Source: StepSource},
		{ID: "D-04", What: "days over which a new hard feed is blended in", Who: "all", week: newHardFeed,
			Why: "a change of hard feed is a colic risk factor for two weeks", Next: "a quarter at a time, each for at least two days, ten days in all; watch for fourteen",
			Source: "RC-07, RC-09; watch RC-24, RC-25"},
		{ID: "D-05", What: "days over which a new hay or batch is blended in", Who: "all", week: newHay,
			Why: "a change of hay has the highest odds of colic of all changes of feed", Next: "mix the new into the old over fourteen days",
			Source: "RC-07, RC-12; RC-20, RC-21 (Hudson 2001, Cohen 1999, second-hand)"},
		{ID: "D-06", What: "rise in hours at grass", Who: "all; laminitis, EMS and PPID stop", week: moreGrass,
			Why: "fresh grass is sugar, and the largest change of the gut's bacteria", Next: "raise by a quarter of an hour a day, hay first",
			Source: "RC-14, RC-15 (University of Minnesota style; eXtension)"},
		{ID: "D-07", What: "days over which oil is brought in", Who: "all", week: newOil,
			Why: "a gut not used to fat passes it on", Next: "bring it in over two weeks",
			Source: "RC-16, its long end"},
		{ID: "D-08", What: "changes on top of each other", Who: "all; a stop with past colic", week: stacked,
			Why: "hard feed, hay, housing and work each change the gut or the day", Next: "change one, wait two weeks, then the next",
			Source: "RC-17, RC-23, RC-24; no trial on stacking, a cautious reading"},
		{ID: "D-09", What: "the return from a rest day's cut is no rise", Who: "all", step: restReturn,
			Why: "the amount was already reached", Next: "nothing",
			Source: "this program's reading, no source"},
		{ID: "D-10", What: "hard feed in one meal", Who: "all",
			Why: "a large meal leaves the stomach half worked on", Next: "share it over more meals",
			Source: "MS-01 to MS-05 (Michigan State and Oklahoma State Universities; Andrews 2006; Ifce 2018)"},
		{ID: "D-11", What: "starch in one meal", Who: "all",
			Why: "starch the small gut cannot take ferments behind it", Next: "share it over more meals, or exchange cereal for fibre or oil",
			Source: "MS-10, MS-17 (Luthersson 2009; Vervuert 2009); stop MS-16 (quoted from NRC 2007)"},
		{ID: "D-12", What: "starch in a day", Who: "all",
			Why: "linked with stomach ulcers", Next: "exchange cereal for fibre or oil",
			Source: "MS-11 (Luthersson 2009)"},
		{ID: "D-13", What: "hard feed in a day", Who: "adults",
			Why: "colic odds rise with the kilograms of hard feed", Next: "more or better forage in its place",
			Source: "MS-08, MS-09 (Tinker 1997; Hudson 2001)"},
		{ID: "D-13", What: "hard feed in a day, the older mark", Who: "adults",
			Why: "an older textbook's mark is lower still", Next: "more or better forage in its place",
			Source: "MS-07 (Lewis 1995; does not agree with its own half of the ration)"},
		{ID: "D-14", What: "starch, ulcer history", Who: "ulcers named by a vet",
			Why: "starch feeds the acid", Next: askVet,
			Source: "MS-10 to MS-13 (Luthersson 2009 and 2019); for the glandular kind the evidence is weaker"},
		{ID: "D-14", What: "straw as the only forage, ulcer history", Who: "ulcers named by a vet", ration: onlyStraw, noRow: "a yes or no about which forages there are",
			Why: "straw alone raised the risk", Next: "hay or haylage beside it",
			Source: "FO-06 (Luthersson 2009)"},
		{ID: "D-15", What: "cereals and sweet feeds", Who: "laminitis, EMS or insulin, PPID with high insulin, named by a vet", ration: noCereal, noRow: "taken out by [Forbidden] before anything is added up",
			Why: "sugar and starch drive insulin", Next: "leave them out, as your vet set it",
			Source: "MS-20 (ECEIM consensus 2019)"},
		{ID: "D-15", What: "starch and sugar of a bucket feed", Who: "the same", ration: bucketSugar, noRow: "a property of one feed, not of its amount",
			Why: "sugar and starch drive insulin", Next: "a feed of at most 10 % starch and sugar, as your vet set it",
			Source: "MS-21 (UK label rule)"},
		{ID: "D-15", What: "starch and sugar of a bucket meal", Who: "the same",
			Why: "above this the insulin answer is out of proportion", Next: "smaller meals, as your vet set it",
			Source: "MS-19 (Kerley 2025)"},
		{ID: "D-15", What: "starch and sugar of the hay", Who: "the same", ration: haySugar, noRow: "a property of one feed, not of its amount",
			Why: "hay is most of the sugar", Next: "have it tested; soak it or find another, as your vet set it",
			Source: "MS-22, MS-23"},
		{ID: "D-16", What: "energy from starch and sugar", Who: "tying-up (PSSM, RER) named by a vet",
			Why: "starch and sugar load these muscles", Next: "energy from fibre and oil, as your vet set it",
			Source: "MS-24, MS-25 (MS-26 from memory); the lower end; 4.2 Mcal a kg of starch or sugar, from memory"},
		{ID: "D-17", What: "forage in a day", Who: "all; lower where a vet leads the slimming",
			Why: "a gut without fibre stops working", Next: "more hay",
			Source: "FO-01 to FO-04, FO-10 (after Harris 2017; Animals 2023, 13:1414)"},
		{ID: "D-18", What: "hours without forage", Who: "all", week: forageGap,
			Why: "the stomach makes acid whether or not there is hay in it", Next: "more hay at the last feed, a net with small holes, or hay always there",
			Source: "FO-03, FO-05, FO-07 (Luthersson 2009; Hardman 2019); 40 minutes a kg of hay from memory"},
		{ID: "D-19", What: "hard feed before work", Who: "all", week: beforeWork,
			Why: "hard feed eaten shortly before fast work takes sugar out of the blood during it", Next: "move the meal or leave the hard feed out; small hay stays",
			Source: "TI-01 to TI-06"},
		{ID: "D-20", What: "hard feed on a day off", Who: "all; a stop with tying-up history", week: restDay,
			Why: "hard feed without work has gone with tying-up", Next: "halve it on days off, keep the forage",
			Source: "TI-11 to TI-13"},
		{ID: "D-21", What: "oil in a day", Who: "all",
			Why: "a rule of thumb; no firm most is known", Next: "less, in at least two meals",
			Source: "OI-01 (Warren 2011, a rule of thumb)"},
		{ID: "D-21", What: "fat in the ration", Who: "all",
			Why: "most rations do not pass 6 %, and trouble is expected from 12 %", Next: "less oil or fewer fatty feeds",
			Source: "OI-02 (Crandell 2017); stop OI-03 from memory"},
		{ID: "D-21", What: "vitamin E with oil", Who: "horses fed oil", ration: oilVitaminE, noRow: "a floor that is asked for only where oil is fed",
			Why: "oil uses up vitamin E", Next: "vitamin E with the oil, an IU a ml",
			Source: "OI-04 (Crandell 2017)"},
		{ID: "D-22", What: "salt in a day", Who: "all",
			Why: "much salt without sweat shifts the blood's balance", Next: "less; and never without free water",
			Source: "SA-01, SA-03 (NRC 2007; Zeyner 2017)"},
		{ID: "D-23", What: "selenium, all sources", Who: "all",
			Why: "the margin is narrow, and a label may be half out", Next: "add up every label; " + askBoth,
			Source: "MI-02, MI-04, MI-05 (US and EU feed rules; NRC quoted); label error MI-23"},
		{ID: "D-23", What: "sources of selenium", Who: "all", ration: twoSeleniums, noRow: "a count of feeds",
			Why: "two feeds with added selenium are how it is overfed", Next: "keep one of them",
			Source: "MI-23; the count of sources is a habit of the trade"},
		{ID: "D-24", What: "iodine", Who: "all",
			Why: "too much harms the thyroid", Next: "leave seaweed out; " + askBoth,
			Source: "MI-08 to MI-10"},
		{ID: "D-25", What: "vitamin A", Who: "all",
			Why: "it is stored, and adds up", Next: askBoth, Source: "MI-14 (NRC quoted)"},
		{ID: "D-25", What: "vitamin D", Who: "all",
			Why: "it is stored, and adds up", Next: askBoth, Source: "MI-15 (NRC, from memory)"},
		{ID: "D-25", What: "iron as a supplement", Who: "all", ration: ironSupplement, noRow: "a yes or no by a feed's name",
			Why: "forage brings more than enough", Next: "leave it out unless a vet asks for it",
			Source: "MI-12; MI-13 from memory"},
		{ID: "D-26", What: "calcium to phosphorus", Who: "mature horses",
			Why: "too little calcium is taken out of the bones", Next: "limestone, lucerne, or less bran; " + askBoth,
			Source: "MI-16, MI-17 (Ralston 2000 and others; the upper bound rests on memory)"},
		{ID: "D-27", What: "potassium", Who: "HYPP named by a vet",
			Why: "potassium sets off the attacks", Next: "as your vet set it: late-cut hay, no lucerne, no molasses",
			Source: "MI-20, MI-21 (Texas A&M; Reynolds)"},
		{ID: "D-28", What: "weight going down", Who: "all", week: losing,
			Why: "faster than slimming may go", Next: askVet, Source: "CO-01 to CO-04"},
		{ID: "D-28", What: "a donkey's weight going down", Who: "donkeys", week: donkeyLosing,
			Why: "a donkey that loses fast falls ill of its own fat", Next: askVet, Source: "CO-05 (Donkey Sanctuary figure from memory)"},
		{ID: "D-28", What: "weight going up", Who: "all", week: gaining,
			Why: "faster than a thin horse should fill", Next: "less hard feed, or weigh again", Source: "CO-06 (a magazine)"},
		{ID: "D-29", What: "horses no ration is worked out for", Who: "score under 3; donkeys; off its feed; in foal or foal at foot; under three", week: noRation,
			Why: "the figures do not cover them", Next: "a vet sets the ration", Source: "SH-10 to SH-12"},
		{ID: "D-30", What: "age of the body weight", Who: "all", week: staleWeight,
			Why: "every mark is reckoned on it", Next: "weigh again", Source: "30 days is a habit, not a finding"},
		{ID: "D-30", What: "measures weighed for each batch", Who: "the feed room", room: staleMeasures,
			Why: "a scoop of the next batch weighs something else", Next: "weigh three level ones, write the mean on the feeds sheet", Source: "ER-01 to ER-08"},

		{ID: "weighing", What: "a weighing that disagrees", Who: "all", week: oddWeighing,
			Why: "every mark is reckoned on it", Next: "weigh again; until then ceilings go by the lower one",
			Source: "limits D-30: the lower estimate for ceilings; 10 % is ours"},
		{ID: "slimming", What: "weight against the aim", Who: "horses to be slimmed or fed up", week: againstAim,
			Why: "the ration does not do what it should", Next: "look at the hay and the grass first, they are estimates",
			Source: "limits D-28; requirements §9"},
		{ID: "slimming", What: "condition score against the aim", Who: "horses with a target score", week: scoreAgainstAim,
			Why: "the ration does not do what it should", Next: "look at the hay and the grass first, they are estimates",
			Source: "requirements §9; half a score is as fine as hands feel: " + noSource},
		{ID: "holding", What: "weight going up in a horse to be held", Who: "horses whose target score is their score", week: gainingHeld,
			Why: "it creeps up by less than a week shows", Next: "weigh the hay, look at the hours at grass, then take hard feed down",
			Source: "half a score, at 20 kg a score for 500 kg (requirements §9): " + noSource},
		{ID: "fed-now", What: "far more fed now than is worked out", Who: "horses that are to lose much hard feed and are neither fat nor gaining", week: fedOver,
			Why: "two horses of one weight and work differ, and the sheet may not have all it does", Next: "look for work the sheet does not have and feed left in the manger; to keep what it has, write it as planned; weigh it every week",
			Source: "NRC 2007 (requirements §1): keepers differ by 9 % from the middle; twice that is ours"},
		{ID: "fed-now", What: "far less fed now than is worked out", Who: "horses that are to have more hard feed and do not lose weight", week: fedUnder,
			Why: "two horses of one weight and work differ, and the sheet may not have all it eats", Next: "look for grass and feed the sheet does not have; if it is an easy keeper, say so on the horses sheet",
			Source: "NRC 2007 (requirements §1): keepers differ by 9 % from the middle; twice that is ours"},
		{ID: "work-pace", What: "a pace before its week", Who: "soft horses", week: paceBeforeWeek,
			Why: "tendon hardens over months, muscle over weeks", Next: "walk first, then trot, then short canters, then small fences",
			Source: noSource},
		{ID: "work-step", What: "more than one thing raised at once", Who: "soft and part-fit horses", week: raisedTogether,
			Why: "what is raised alone is noticed alone", Next: "raise minutes, pace, slope or jumping, one at a time",
			Source: "CO-09: " + noSource},
		{ID: "work-distance", What: "canter and gallop in thirty days", Who: "horses in fast work", week: raceDistance,
			Why: "fracture risk was raised beyond both", Next: "take out fast work, or ask the vet",
			Source: "Verheyen 2006, 1,178 horses (exercise §6)"},
		{ID: "work-gap", What: "fast work after days off", Who: "all", week: fastAfterGap,
			Why: "cold muscle and a full gut", Next: "a day of easy work first", Source: noSource},
		{ID: "work-rest", What: "a day off in seven", Who: "all in work", week: noDayOff,
			Why: "hardening happens on the easy days", Next: "leave a day free", Source: noSource},
		{ID: "ready", What: "seen to before a soft horse starts", Who: "soft horses in their first two weeks", week: notReady,
			Why: "what is not seen to before comes out in the work", Next: "tick it on the horses sheet when it is done", Source: noSource},
		{ID: "let-down", What: "hard feed against less work", Who: "horses let down", week: letDown,
			Why: "feed follows the work, down as well as up", Next: "take hard feed down with it, keep the forage",
			Source: "exercise §6 (roughing off); CO-11"},
		{ID: "choke", What: "dry feed, choke or teeth", Who: "choke or dental trouble named by a vet", week: dryFeed,
			Why: "dry cubes, beet and long stalks stick", Next: "soak it as its label says, as your vet set it", Source: "SH-18: " + noSource},
		{ID: "heaves", What: "dust", Who: "heaves named by a vet", week: dust,
			Why: "dust from dry hay and straw sets it off", Next: "soak or steam the hay, or haylage, as your vet set it", Source: noSource},

		{ID: "SH-01", What: "cattle or poultry feed", Who: "all", ration: ionophores, noRow: "taken out by [Forbidden] before anything is added up",
			Why: "the ionophores in it can kill a horse in one meal", Next: "out of the room; ring the vet if any was eaten",
			Source: "SH-01, SH-02 (monensin reviews)"},
		{ID: "SH-01", What: "cattle or poultry feed kept in the feed room", Who: "the feed room", room: ionophoresKept,
			Why: "the ionophores in it can kill a horse in one meal", Next: "out of the room; ring the vet if any was eaten",
			Source: "SH-01, SH-02 (monensin reviews)"},
		{ID: "SH-03", What: "maize in the ration", Who: "all",
			Why: "fumonisin, a mould poison of maize", Next: "less maize, no screenings", Source: "SH-03 (FDA guidance 2001)"},
		{ID: "heat", What: "heat and humidity", Who: "horses in work", week: heat,
			Why: "sweat no longer cools", Next: "early or late work, cool with water, salt and water always",
			Source: "exercise §4 (heat index bands of several pages)"},
		{ID: "room-batch", What: "measures of an older batch", Who: "the feed room", room: measureBeforeBatch,
			Why: "a scoop of the next batch weighs something else", Next: "weigh three level ones of the batch in use", Source: "limits D-30"},
		{ID: "room-analysis", What: "age of an analysis", Who: "the feed room", room: staleAnalysis,
			Why: "last year's hay is not this year's", Next: "have the hay in use tested", Source: noSource},
		{ID: "room-open", What: "haylage open too long", Who: "the feed room", room: openHaylage,
			Why: "it heats and moulds once the air is in", Next: "smell and look; discard heated, slimy or mouldy haylage", Source: "SH-05, SH-06; five days is " + noSource},
		{ID: "room-expired", What: "past its date", Who: "the feed room", room: expired,
			Why: "vitamins fade", Next: "replace it", Source: noSource},
		{ID: "SH-14", What: "competition", Who: "yards with an event this week", room: contaminants,
			Why: "the rider answers for what is in the blood", Next: "check your sport's rules; keep samples and batch numbers, medicines and cups away from feed",
			Source: "SH-14, SH-15 (FEI, British Equestrian)"},
	}
}

// Lookup is a rule's first row, for its source and its words; ok is false where
// there is no such rule.
func Lookup(id yard.RuleID) (rule Rule, ok bool) {
	for _, r := range table {
		if r.ID == id {
			return r, true
		}
	}
	return Rule{}, false
}

func (r Rule) finding(sev yard.Severity, horse, message string) yard.Finding {
	return yard.Finding{Rule: r.ID, Severity: sev, Horse: horse, Message: message, Why: r.Why, Next: r.Next, Source: r.Source}
}

// tiny keeps a sum of exact quarter scoops from passing a mark by the last bit
// of a float; absolute, in the unit compared.
const tiny = 1e-9

// table and its parts are made once: a ration is compared many times on the way
// to a card.
var table = Rules()

var (
	weekRules = pick(func(r Rule) bool { return r.week != nil })
	roomRules = pick(func(r Rule) bool { return r.room != nil })
	// rationRules are those on a ration, each with its rows of [Limits].
	rationRules = func() (out []rationRule) {
		for _, r := range table {
			if rows := limitsOf(r); rows != nil || r.ration != nil {
				out = append(out, rationRule{r, rows})
			}
		}
		return out
	}()
)

type rationRule struct {
	Rule
	rows []Linear
}

// check is the first of the worst that the rule says of a ration.
func (rule rationRule) check(r Ration, l yard.Limits) (yard.Severity, string) {
	if rule.ration != nil {
		return rule.ration(r, l)
	}
	var worst worstSaid
	for _, row := range rule.rows {
		c := row.Compare(r, l)
		switch {
		case c.Severity != yard.Stop && row.unknown != nil && (c.Unknown || c.Missing != nil):
			worst.add(yard.Warn, row.unknown(c, r, l))
			if c.Unknown { // nor are the rule's other rows
				return worst.sev, worst.msg
			}
		case c.Severity != 0:
			worst.add(c.Severity, row.say(c, r, l))
		}
	}
	return worst.sev, worst.msg
}

func pick(is func(Rule) bool) (out []Rule) {
	for _, r := range table {
		if is(r) {
			out = append(out, r)
		}
	}
	return out
}

// Check runs every rule on a ration. A stop here holds the card.
func Check(horse string, r Ration, l yard.Limits) []yard.Finding {
	var found []yard.Finding
	for _, rule := range rationRules {
		if sev, msg := rule.check(r, l); sev != 0 {
			f := rule.finding(sev, horse, Worded(r.Diagnoses, msg))
			f.Next = Worded(r.Diagnoses, f.Next)
			found = append(found, f)
		}
	}
	if unknown := mealStarch.Compare(r, l).Missing; unknown != nil {
		found = append(found, yard.Finding{Rule: "starch-unknown", Severity: yard.Warn, Horse: horse,
			Message: fmt.Sprintf("the starch of %s is not known: the starch marks were compared with the rest only; give Starch %% on the feeds sheet", list(unknown)),
			Source:  "D-11, D-12"})
	}
	return found
}

// CheckWeek runs every rule on a horse's week. A stop here is red and is said on
// the card, but no other ration would clear it.
func CheckWeek(w HorseWeek, l yard.Limits) []yard.Finding {
	var found []yard.Finding
	for _, rule := range weekRules {
		if sev, msg := rule.week(w, l); sev != 0 {
			f := rule.finding(sev, w.Horse.Name, Worded(w.Horse.Diagnoses, msg))
			f.Cell, f.Next = w.Horse.Cell, Worded(w.Horse.Diagnoses, f.Next)
			found = append(found, f)
		}
	}
	return found
}

// CheckRoom runs every rule on the feed room and the yard.
func CheckRoom(r Room, l yard.Limits) []yard.Finding {
	var found []yard.Finding
	for _, rule := range roomRules {
		if sev, s := rule.room(r, l); sev != 0 {
			f := rule.finding(sev, "", s.words)
			f.Cell = s.first
			found = append(found, f)
		}
	}
	return found
}

// Holds says whether a stop of this rule holds the card: it can be cleared by
// another ration. The step holds too, unless it is overridden.
func Holds(id yard.RuleID) bool {
	for _, r := range table {
		if r.ID == id && (r.ration != nil || r.step != nil || limitsOf(r) != nil) {
			return true
		}
	}
	return false
}

// Stops says whether any finding stops the ration.
func Stops(found []yard.Finding) bool {
	for _, f := range found {
		if f.Severity == yard.Stop {
			return true
		}
	}
	return false
}

func list(names []string) string {
	switch n := len(names); n {
	case 0:
		return ""
	case 1:
		return names[0]
	default:
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
}

// IsOfTheWeek says whether a rule is one on a horse's week: a stop of it is red on
// the card and does not hold it.
func IsOfTheWeek(id yard.RuleID) bool {
	return slices.ContainsFunc(weekRules, func(r Rule) bool { return r.ID == id })
}
