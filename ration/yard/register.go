package yard

// RuleID is the stable id of a rule: "D-02", a row of the reference table of
// limits, or a word such as "cell-number".
type RuleID string

// Rank is what a finding is about, by what it could do to the horse, the worst
// first. The ranks and which rule has which are ours: no source.
type Rank int

const (
	Deadly  Rank = iota + 1 // can kill or founder a horse within days
	Harmful                 // illness or injury over weeks, or pain
	Blind                   // what the card rests on is not known, or is doubted
	Upkeep                  // the yard's own business, or worth knowing
)

// Rule is a row of the register of rules.
type Rule struct {
	ID         RuleID
	Severities []Severity // those its findings may have, the worst first
	Rank       Rank
	SpeaksFor  []RuleID // rules whose findings on the same horse add nothing to one of this
}

// May says whether a finding of the rule may have a severity.
func (r Rule) May(s Severity) bool {
	for _, v := range r.Severities {
		if v == s {
			return true
		}
	}
	return false
}

// RuleOf is the row of an id; ok is false where there is none.
func RuleOf(id RuleID) (r Rule, ok bool) {
	r, ok = byID[id]
	return r, ok
}

// RankOf is a rule's rank. One that is in no register is a limit of the guard: its row is
// all there is of it, and it is Harmful until the register has it.
func RankOf(id RuleID) Rank {
	if r, ok := byID[id]; ok {
		return r.Rank
	}
	return Harmful
}

// Register is all rules there are, by rank and id.
func Register() []Rule { return append([]Rule(nil), register...) }

var byID = func() map[RuleID]Rule {
	out := make(map[RuleID]Rule, len(register))
	for _, r := range register {
		out[r.ID] = r
	}
	return out
}()

var register = []Rule{
	{"D-02", []Severity{Stop, Warn}, Deadly, []RuleID{"D-01", "D-03"}},
	{"D-03", []Severity{Stop, Warn}, Deadly, nil},
	{"D-04", []Severity{Stop, Warn, Note}, Deadly, nil},
	{"D-05", []Severity{Stop, Warn, Note}, Deadly, nil},
	{"D-06", []Severity{Stop, Warn}, Deadly, nil},
	{"D-08", []Severity{Stop, Warn}, Deadly, nil},
	{"D-10", []Severity{Stop, Warn}, Deadly, nil},
	{"D-11", []Severity{Stop, Warn}, Deadly, []RuleID{"D-12"}},
	{"D-13", []Severity{Stop, Warn}, Deadly, []RuleID{"D-12"}},
	{"D-14", []Severity{Stop, Warn}, Deadly, []RuleID{"D-11", "D-12"}},
	{"D-15", []Severity{Stop, Warn}, Deadly, []RuleID{"D-11", "D-12", "D-16"}},
	{"D-17", []Severity{Stop, Warn}, Deadly, nil},
	{"D-18", []Severity{Stop, Warn}, Deadly, nil},
	{"D-22", []Severity{Stop, Warn}, Deadly, nil},
	{"D-23", []Severity{Stop, Warn}, Deadly, nil},
	{"D-27", []Severity{Stop, Warn}, Deadly, nil},
	{"D-29", []Severity{Stop}, Deadly, nil},
	{"SH-01", []Severity{Stop, Warn}, Deadly, nil},
	{"choke", []Severity{Warn}, Deadly, nil},
	{"cuttings", []Severity{Warn}, Deadly, nil},
	{"hard-ad-lib", []Severity{Warn}, Deadly, nil},
	{"heat", []Severity{Stop, Warn, Note}, Deadly, nil},
	{"D-01", []Severity{Warn, Note}, Harmful, []RuleID{"D-03"}},
	{"D-07", []Severity{Warn, Note}, Harmful, nil},
	{"D-09", []Severity{Stop, Warn}, Harmful, nil},
	{"D-12", []Severity{Warn, Note}, Harmful, nil},
	{"D-16", []Severity{Warn, Note}, Harmful, nil},
	{"D-19", []Severity{Warn}, Harmful, nil},
	{"D-20", []Severity{Stop, Warn}, Harmful, []RuleID{"let-down"}},
	{"D-21", []Severity{Stop, Warn, Note}, Harmful, nil},
	{"D-24", []Severity{Stop, Warn}, Harmful, nil},
	{"D-25", []Severity{Stop, Warn}, Harmful, nil},
	{"D-26", []Severity{Stop, Warn}, Harmful, nil},
	{"D-28", []Severity{Stop, Warn}, Harmful, []RuleID{"slimming", "holding"}},
	{"SH-03", []Severity{Warn, Note}, Harmful, nil},
	{"clash", []Severity{Warn, Note}, Harmful, nil},
	{"energy", []Severity{Stop, Warn, Note}, Harmful, nil},
	{"heaves", []Severity{Warn, Note}, Harmful, nil},
	{"holding", []Severity{Warn, Note}, Harmful, nil},
	{"intake", []Severity{Warn}, Harmful, nil},
	{"off-feed", []Severity{Warn, Note}, Harmful, nil},
	{"overweight", []Severity{Warn}, Harmful, nil},
	{"ready", []Severity{Warn, Note}, Harmful, nil},
	{"rider", []Severity{Warn}, Harmful, nil},
	{"slimming", []Severity{Warn, Note}, Harmful, []RuleID{"holding"}},
	{"tolerable", []Severity{Warn, Note}, Harmful, nil},
	{"weighing", []Severity{Warn, Note}, Harmful, nil},
	{"work-distance", []Severity{Warn, Note}, Harmful, nil},
	{"work-gap", []Severity{Warn, Note}, Harmful, nil},
	{"work-pace", []Severity{Warn, Note}, Harmful, nil},
	{"work-rest", []Severity{Warn, Note}, Harmful, nil},
	{"work-step", []Severity{Warn, Note}, Harmful, nil},
	{"D-30", []Severity{Warn, Note}, Blind, nil},
	{"ahead", []Severity{Warn, Note}, Blind, nil},
	{"amount-blank", []Severity{Warn, Note}, Blind, nil},
	{"amount-missing", []Severity{Warn, Note}, Blind, nil},
	{"amount-sum", []Severity{Warn, Note}, Blind, nil},
	{"amount-doubt", []Severity{Warn, Note}, Blind, nil},
	{"amount-feed", []Severity{Warn, Note}, Blind, nil},
	{"amount-same", []Severity{Warn, Note}, Blind, nil},
	{"amount-times", []Severity{Warn, Note}, Blind, nil},
	{"amount-twice", []Severity{Warn, Note}, Blind, nil},
	{"amount-unit", []Severity{Warn, Note}, Blind, nil},
	{"amount-unread", []Severity{Stop, Warn}, Blind, nil},
	{"amount-vague", []Severity{Warn, Note}, Blind, nil},
	{"cell-date", []Severity{Warn, Note}, Blind, nil},
	{"cell-error", []Severity{Warn, Note}, Blind, nil},
	{"cell-number", []Severity{Warn, Note}, Blind, nil},
	{"cell-range", []Severity{Warn, Note}, Blind, nil},
	{"cell-unit", []Severity{Warn, Note}, Blind, nil},
	{"cell-unused", []Severity{Warn, Note}, Blind, nil},
	{"cell-word", []Severity{Warn, Note}, Blind, nil},
	{"cells-missing", []Severity{Warn, Note}, Blind, nil},
	{"column-guessed", []Severity{Warn, Note}, Blind, nil},
	{"column-twice", []Severity{Warn, Note}, Blind, nil},
	{"column-unknown", []Severity{Warn, Note}, Blind, nil},
	{"column-unused", []Severity{Warn, Note}, Blind, nil},
	{"day-missing", []Severity{Warn, Note}, Blind, nil},
	{"diagnosis-word", []Severity{Warn, Note}, Blind, nil},
	{"energy-unknown", []Severity{Warn, Note}, Blind, nil},
	{"fed-now", []Severity{Warn, Note}, Blind, []RuleID{"energy"}},
	{"feed-assumed", []Severity{Warn, Note}, Blind, nil},
	{"feed-basis", []Severity{Warn, Note}, Blind, nil},
	{"feed-energy", []Severity{Warn, Note}, Blind, nil},
	{"feed-generic", []Severity{Warn, Note}, Blind, nil},
	{"feed-kind", []Severity{Warn, Note}, Blind, nil},
	{"feed-range", []Severity{Warn, Note}, Blind, nil},
	{"feed-twice", []Severity{Warn, Note}, Blind, nil},
	{"feed-unlisted", []Severity{Stop, Warn}, Blind, nil},
	{"forage-assumed", []Severity{Warn, Note}, Blind, nil},
	{"forage-unknown", []Severity{Warn, Note}, Blind, nil},
	{"horse-name", []Severity{Warn, Note}, Blind, nil},
	{"horse-twice", []Severity{Stop, Warn}, Blind, nil},
	{"horse-unknown", []Severity{Warn, Note}, Blind, nil},
	{"history", []Severity{Warn, Note}, Blind, nil},
	{"last-week", []Severity{Warn, Note}, Blind, nil},
	{"last-week-work", []Severity{Warn, Note}, Blind, nil},
	{"line-twice", []Severity{Warn, Note}, Blind, nil},
	{"loosened", []Severity{Warn, Note}, Blind, nil},
	{"meal-twice", []Severity{Warn, Note}, Blind, nil},
	{"meal-unknown", []Severity{Warn, Note}, Blind, nil},
	{"measure-density", []Severity{Stop, Warn}, Blind, nil},
	{"measure-twice", []Severity{Warn, Note}, Blind, nil},
	{"measure-unknown", []Severity{Warn, Note}, Blind, nil},
	{"measure-volume", []Severity{Warn, Note}, Blind, nil},
	{"measure-weight", []Severity{Warn, Note}, Blind, nil},
	{"need-own", []Severity{Warn, Note}, Blind, nil},
	{"name-above", []Severity{Warn, Note}, Blind, nil},
	{"name-missing", []Severity{Stop, Warn}, Blind, []RuleID{"rations-missing", "weight-unknown", "work-missing"}},
	{"override", []Severity{Warn, Note}, Blind, nil},
	{"past-week", []Severity{Warn, Note}, Blind, nil},
	{"ration-twice", []Severity{Stop, Warn}, Blind, nil},
	{"ration-undated", []Severity{Stop, Warn}, Blind, nil},
	{"ration-ahead", []Severity{Note}, Blind, nil},
	{"ration-left-out", []Severity{Warn, Note}, Blind, nil},
	{"rations-missing", []Severity{Warn, Note}, Blind, nil},
	{"rider-unknown", []Severity{Warn, Note}, Blind, nil},
	{"row-skipped", []Severity{Warn, Note}, Blind, nil},
	{"rows-hidden", []Severity{Warn, Note}, Blind, nil},
	{"score-unknown", []Severity{Warn, Note}, Blind, nil},
	{"session-twice", []Severity{Warn, Note}, Blind, nil},
	{"session-unused", []Severity{Warn, Note}, Blind, nil},
	{"sheet-hidden", []Severity{Warn, Note}, Blind, nil},
	{"sheet-missing", []Severity{Warn, Note}, Blind, nil},
	{"sheet-old", []Severity{Warn, Note}, Blind, nil},
	{"sheet-unused", []Severity{Warn, Note}, Blind, nil},
	{"starch-unknown", []Severity{Warn, Note}, Blind, nil},
	{"week-epoch", []Severity{Warn, Note}, Blind, nil},
	{"week-twice", []Severity{Warn, Note}, Blind, nil},
	{"week-unknown", []Severity{Warn, Note}, Blind, nil},
	{"week-year", []Severity{Warn, Note}, Blind, nil},
	{"weight-differs", []Severity{Warn, Note}, Blind, nil},
	{"weight-doubt", []Severity{Warn, Note}, Blind, nil},
	{"weight-height", []Severity{Stop}, Blind, nil},
	{"weight-missing", []Severity{Warn, Note}, Blind, nil},
	{"weight-unknown", []Severity{Stop}, Blind, nil},
	{"weight-unread", []Severity{Warn, Note}, Blind, nil},
	{"work-ahead", []Severity{Warn, Note}, Blind, nil},
	{"work-blank", []Severity{Warn, Note}, Blind, nil},
	{"work-date", []Severity{Warn, Note}, Blind, nil},
	{"work-length", []Severity{Warn, Note}, Blind, nil},
	{"work-minutes", []Severity{Warn, Note}, Blind, nil},
	{"work-missing", []Severity{Warn, Note}, Blind, nil},
	{"work-same", []Severity{Warn, Note}, Blind, nil},
	{"work-time", []Severity{Warn, Note}, Blind, nil},
	{"work-twice", []Severity{Warn, Note}, Blind, nil},
	{"work-unknown", []Severity{Warn, Note}, Blind, nil},
	{"work-word", []Severity{Warn, Note}, Blind, nil},
	{"horse-gone", []Severity{Warn, Note}, Upkeep, nil},
	{"SH-14", []Severity{Warn, Note}, Upkeep, nil},
	{"climb", []Severity{Warn, Note}, Upkeep, nil},
	{"corrections", []Severity{Warn, Note}, Upkeep, nil},
	{"feed-soaked", []Severity{Warn, Note}, Upkeep, nil},
	{"forage-energy", []Severity{Warn, Note}, Upkeep, nil},
	{"grass", []Severity{Warn, Note}, Upkeep, nil},
	{"let-down", []Severity{Warn, Note}, Upkeep, nil},
	{"mail-damaged", []Severity{Warn, Note}, Upkeep, nil},
	{"mail-given-up", []Severity{Warn, Note}, Upkeep, nil},
	{"mail-refused", []Severity{Warn, Note}, Upkeep, nil},
	{"mail-waiting", []Severity{Warn, Note}, Upkeep, nil},
	{"name-print", []Severity{Warn, Note}, Upkeep, nil},
	{"nutrient", []Severity{Warn, Note}, Upkeep, nil},
	{"brought-in", []Severity{Note}, Upkeep, nil},
	{"cheaper", []Severity{Note}, Upkeep, nil},
	{"lick", []Severity{Note}, Upkeep, nil},
	{"room-analysis", []Severity{Warn, Note}, Upkeep, nil},
	{"room-batch", []Severity{Warn, Note}, Upkeep, nil},
	{"room-expired", []Severity{Warn, Note}, Upkeep, nil},
	{"room-open", []Severity{Warn, Note}, Upkeep, nil},
	{"setting-unknown", []Severity{Warn, Note}, Upkeep, nil},
	{"stock", []Severity{Warn, Note}, Upkeep, nil},
	{"taper", []Severity{Stop, Warn, Note}, Upkeep, nil},
	{"vet-named", []Severity{Warn, Note}, Upkeep, nil},
	{"yard-default", []Severity{Warn, Note}, Upkeep, nil},
}
