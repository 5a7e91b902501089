// Package guard compares a ration, a horse's week and the feed room with the
// limits, and says what was compared.
//
// [Rules] is the whole list, one row a rule, so that a reader who is no
// programmer can check it against the reference table of limits. A limit that is a sum
// over feeds is added by a row of [Limits] and its words in templates/wording; any other
// rule by a row of checks, its words and one function.
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
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"hardfeed/ration/yard"
)

// Rule is one row. What is compared, for whom, why it matters and what to do stand
// in templates/wording under its [Rule.Key]. Either rows of [Limits] have its id and
// row, or just one of the four checks is set; each gives severity 0 where nothing is
// to be said.
type Rule struct {
	ID     yard.RuleID
	Row    string // names it among rules of one id; "" the first
	Source string
	vets   bool // what to do is the vet's to set

	ration func(Ration, yard.Limits) (yard.Severity, yard.Saying)    // of a ration, where it is not a row of [Limits]; a stop holds the card
	noRow  noRow                                                     // why it is none
	week   func(HorseWeek, yard.Limits) (yard.Severity, yard.Saying) // of a horse's week; a stop is red, no other ration clears it
	room   func(Room, yard.Limits) (yard.Severity, roomFinding)      // of the feed room and the yard
	step   func(HorseWeek, yard.Limits) (yard.Severity, yard.Saying) // worked where the step is spread, here for the record
}

// noRow is why what a rule compares of a ration is no sum over feeds.
type noRow int

const (
	_         noRow = iota
	yesOrNo         // which feeds there are, by class or name
	takenOut        // [Forbidden] takes it out before anything is added up
	ofOneFeed       // a property of one feed, not of its amount
	count           // how many feeds have it
	besideOil       // a floor that is asked for only where oil is fed
)

const noSource = "common practice, no source"

// Rules is every rule there is, in the order of the reference table: those written down
// here, and those that are rows of [Limits], each stated by its first row.
func Rules() []Rule { return rulesWith(Limits()) }

// rulesWith are the rules where the limits are these.
func rulesWith(limits []Linear) []Rule {
	rules := checks()
	for _, n := range limits {
		if n.Source != "" {
			rules = append(rules, Rule{ID: n.ID, Row: n.Row, Source: n.Source, vets: n.vets})
		}
	}
	slices.SortStableFunc(rules, func(a, b Rule) int {
		return cmp.Compare(a.place(), b.place())
	})
	return rules
}

// place is where a rule stands: rows of the reference table by their number, what has no
// name of its own first, then the rules of the trade as they are written down.
func (r Rule) place() int {
	n, err := strconv.Atoi(strings.TrimPrefix(string(r.ID), "D-"))
	switch {
	case err != nil:
		return math.MaxInt
	case r.Row == "":
		return 2 * n
	}
	return 2*n + 1
}

// checks are the rules that are no rows of [Limits].
func checks() []Rule {
	return []Rule{
		{ID: "D-01", Source: StepSource, step: weekRise},
		{ID: "D-02", Source: StepSource, step: weekStop},
		{ID: "D-03", Source: StepSource, step: dayRise},
		{ID: "D-04", Source: "RC-07, RC-09; watch RC-24, RC-25", week: newHardFeed},
		{ID: "D-05", Source: "RC-07, RC-12; RC-20, RC-21 (Hudson 2001, Cohen 1999, second-hand)", week: newHay},
		{ID: "D-06", Source: "RC-14, RC-15 (University of Minnesota style; eXtension)", week: moreGrass},
		{ID: "D-07", Source: "RC-16, its long end", week: newOil},
		{ID: "D-08", Source: "RC-17, RC-23, RC-24; no trial on stacking, a cautious reading", week: stacked},
		{ID: "D-09", Source: "this program's reading, no source", step: restReturn},
		{ID: "D-14", Row: "straw", Source: "FO-06 (Luthersson 2009)", ration: onlyStraw, noRow: yesOrNo},
		{ID: "D-15", Source: "MS-20 (ECEIM consensus 2019)", ration: noCereal, noRow: takenOut, vets: true},
		{ID: "D-15", Row: "bucket", Source: "MS-21 (UK label rule)", ration: bucketSugar, noRow: ofOneFeed, vets: true},
		{ID: "D-15", Row: "hay", Source: "MS-22, MS-23", ration: haySugar, noRow: ofOneFeed, vets: true},
		{ID: "D-18", Source: "FO-03, FO-05, FO-07 (Luthersson 2009; Hardman 2019); 40 minutes a kg of hay from memory", week: forageGap},
		{ID: "D-19", Source: "TI-01 to TI-06", week: beforeWork},
		{ID: "D-20", Source: "TI-11 to TI-13", week: restDay},
		{ID: "D-21", Row: "vitamin E", Source: "OI-04 (Crandell 2017)", ration: oilVitaminE, noRow: besideOil},
		{ID: "D-23", Row: "sources", Source: "MI-23; the count of sources is a habit of the trade", ration: twoSeleniums, noRow: count},
		{ID: "D-25", Row: "iron", Source: "MI-12; MI-13 from memory", ration: ironSupplement, noRow: yesOrNo},
		{ID: "D-28", Source: "CO-01 to CO-04; the error of the weighings: evidence WG-01 to WG-18", week: losing},
		{ID: "D-28", Row: "donkey", Source: "CO-05 (Donkey Sanctuary figure from memory)", week: donkeyLosing},
		{ID: "D-28", Row: "gain", Source: "CO-06 (a magazine)", week: gaining},
		{ID: "D-29", Source: "SH-10 to SH-12", week: noRation},
		{ID: "D-30", Source: "30 days is a habit, not a finding", week: staleWeight},
		{ID: "D-30", Row: "measures", Source: "ER-01 to ER-08", room: staleMeasures},

		{ID: "weighing", Source: "limits D-30: the lower estimate for ceilings; 10 % is ours", week: oddWeighing},
		{ID: "slimming", Source: "limits D-28; requirements §9", week: againstAim},
		{ID: "slimming", Row: "score", Source: "requirements §9; half a score is as fine as hands feel: " + noSource, week: scoreAgainstAim},
		{ID: "holding", Source: "half a score, at 20 kg a score for 500 kg (requirements §9): " + noSource, week: gainingHeld},
		{ID: "fed-now", Source: "NRC 2007 (requirements §1): keepers differ by 9 % from the middle; twice that is ours", week: fedOver},
		{ID: "fed-now", Row: "under", Source: "NRC 2007 (requirements §1): keepers differ by 9 % from the middle; twice that is ours", week: fedUnder},
		{ID: "work-pace", Source: noSource, week: paceBeforeWeek},
		{ID: "work-step", Source: "CO-09: " + noSource, week: raisedTogether},
		{ID: "work-distance", Source: "Verheyen 2006, 1,178 horses (exercise §6)", week: raceDistance},
		{ID: "work-gap", Source: noSource, week: fastAfterGap},
		{ID: "work-rest", Source: noSource, week: noDayOff},
		{ID: "ready", Source: noSource, week: notReady},
		{ID: "let-down", Source: "exercise §6 (roughing off); CO-11", week: letDown},
		{ID: "overweight", Source: "requirements §9: " + noSource, week: fatAndMore},
		{ID: "off-feed", Source: "SH-12: " + noSource, week: offFeed},
		{ID: "rider", Source: "a practitioner's 10, 15 and 20 % (exercise §4)", week: heavyRider},
		{ID: "choke", Source: "SH-18: " + noSource, week: dryFeed, vets: true},
		{ID: "heaves", Source: noSource, week: dust, vets: true},

		{ID: "SH-01", Source: "SH-01, SH-02 (monensin reviews)", ration: ionophores, noRow: takenOut},
		{ID: "SH-01", Row: "room", Source: "SH-01, SH-02 (monensin reviews)", room: ionophoresKept},
		{ID: "cuttings", Source: noSource, ration: mownGrass, noRow: yesOrNo},
		{ID: "heat", Source: "exercise §4 (heat index bands of several pages)", week: heat},
		{ID: "room-batch", Source: "limits D-30", room: measureBeforeBatch},
		{ID: "room-analysis", Source: noSource, room: staleAnalysis},
		{ID: "room-open", Source: "SH-05, SH-06; five days is " + noSource, room: openHaylage},
		{ID: "room-expired", Source: noSource, room: expired},
		{ID: "SH-14", Source: "SH-14, SH-15 (FEI, British Equestrian)", room: contaminants},
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

// Key begins the keys of the rule's own words: what, who, why and next.
func (r Rule) Key() string {
	if r.Row == "" {
		return "rule." + string(r.ID)
	}
	return "rule." + string(r.ID) + "." + r.Row
}

// Why says why it matters.
func (r Rule) Why() yard.Saying { return yard.Say(r.Key() + ".why") }

// Next says what to do next for a horse with these diagnoses.
func (r Rule) Next(named []yard.NamedDiagnosis) yard.Saying {
	if r.vets {
		return yard.Say(r.Key()+".next", asSet(named))
	}
	return yard.Say(r.Key() + ".next")
}

func (r Rule) finding(sev yard.Severity, horse yard.Horse, says yard.Saying) yard.Finding {
	return yard.Finding{Rule: r.ID, Severity: sev, Horse: horse.Name, Saying: says, Why: r.Why(), Next: r.Next(horse.Diagnoses), Source: r.Source}
}

// tiny keeps a sum of exact quarter scoops from passing a mark by the last bit
// of a float; absolute, in the unit compared.
const tiny = 1e-9

// table and its parts are made once: a ration is compared many times on the way
// to a card.
var table = Rules()

var (
	weekRules   = pick(func(r Rule) bool { return r.week != nil })
	weightRules = pick(func(r Rule) bool {
		return r.week != nil && slices.Contains([]yard.RuleID{"D-28", "weighing", "slimming"}, r.ID)
	})
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
func (rule rationRule) check(r Ration, l yard.Limits) (yard.Severity, yard.Saying) {
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
				return worst.sev, worst.says
			}
		case c.Severity == yard.Warn && row.NoteWhere != nil && row.NoteWhere(c, r):
			worst.add(yard.Note, row.said(c, r, l))
		case c.Severity != 0:
			worst.add(c.Severity, row.said(c, r, l))
		}
	}
	return worst.sev, worst.says
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
		if sev, says := rule.check(r, l); sev != 0 {
			found = append(found, rule.finding(sev, yard.Horse{Name: horse, Diagnoses: r.Diagnoses}, says))
		}
	}
	if unknown := starchUntold(r, l); unknown != nil {
		found = append(found, yard.Finding{Rule: "starch-unknown", Severity: yard.Warn, Horse: horse,
			Saying: yard.Say("finding.starch-unknown", feedNames("feeds", unknown)), Source: "D-11, D-12"})
	}
	return found
}

// CheckWeek runs every rule on a horse's week. A stop here is red and is said on
// the card, but no other ration would clear it.
func CheckWeek(w HorseWeek, l yard.Limits) []yard.Finding {
	return checkWeek(w, l, weekRules)
}

// CheckWeight runs the rules on a horse's weighings alone: a horse that no ration is
// worked out for is weighed too.
func CheckWeight(w HorseWeek, l yard.Limits) []yard.Finding { return checkWeek(w, l, weightRules) }

func checkWeek(w HorseWeek, l yard.Limits, rules []Rule) []yard.Finding {
	var found []yard.Finding
	w.trend = trendOf(w)
	for _, rule := range rules {
		if sev, says := rule.week(w, l); sev != 0 {
			f := rule.finding(sev, w.Horse, says)
			f.Cell = w.Horse.Cell
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
			f := rule.finding(sev, yard.Horse{}, s.says)
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

// IsOfTheWeek says whether a rule is one on a horse's week: a stop of it is red on
// the card and does not hold it.
func IsOfTheWeek(id yard.RuleID) bool {
	return slices.ContainsFunc(weekRules, func(r Rule) bool { return r.ID == id })
}
