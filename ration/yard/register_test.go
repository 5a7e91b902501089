package yard

import (
	"slices"
	"testing"
)

func TestTheRegisterHoldsEachRuleOnce(t *testing.T) {
	seen := map[RuleID]bool{}
	for _, r := range Register() {
		if r.ID == "" || seen[r.ID] {
			t.Errorf("%q stands twice, or is empty", r.ID)
		}
		seen[r.ID] = true
		if r.Rank < Deadly || r.Rank > Upkeep || len(r.Severities) == 0 {
			t.Errorf("%s has no rank or no severity", r.ID)
		}
		if !slices.IsSortedFunc(r.Severities, func(a, b Severity) int { return int(b - a) }) {
			t.Errorf("%s: its worst severity is not the first", r.ID)
		}
		for _, id := range r.SpeaksFor {
			if _, ok := RuleOf(id); !ok || id == r.ID {
				t.Errorf("%s speaks for %s", r.ID, id)
			}
		}
	}
	if _, ok := RuleOf("no such rule"); ok {
		t.Error("a rule nobody wrote down was found")
	}
	if r, _ := RuleOf("SH-01"); r.Rank != Deadly || !r.May(Stop) || r.May(Note) {
		t.Errorf("SH-01: %+v", r)
	}
}

func TestSayingsAreComparedByWhatTheySay(t *testing.T) {
	a := Say("k", Kg("kg", 1), FeedArg("feed", "Oats"))
	for name, b := range map[string]Saying{
		"another key":      Say("l", Kg("kg", 1), FeedArg("feed", "Oats")),
		"another amount":   Say("k", Kg("kg", 1.01), FeedArg("feed", "Oats")),
		"another unit":     Say("k", Fixed("kg", 1, Grams, 2), FeedArg("feed", "Oats")),
		"another feed":     Say("k", Kg("kg", 1), FeedArg("feed", "Barley")),
		"another kind":     Say("k", Kg("kg", 1), FeedArg("feed", "Oats"), Count("n", 1)),
		"a list in place":  Say("k", Kg("kg", 1), Names("feed", And, FeedName, []string{"Oats"})),
		"a saying in one":  Say("k", Kg("kg", 1), Said("feed", Say("k"))),
		"a day in place":   Say("k", Kg("kg", 1), Arg{"feed", DayOfWeek{Number: 2}}),
		"an empty one":     {},
		"a clock in place": Say("k", Kg("kg", 1), Arg{"feed", Clock(60)}),
	} {
		if a.Compare(b) == 0 || a.Compare(b) != -b.Compare(a) {
			t.Errorf("%s: %d and %d", name, a.Compare(b), b.Compare(a))
		}
	}
	if b := Say("k", Kg("kg", 1), FeedArg("feed", "Oats")); a.Compare(b) != 0 || !(Finding{Saying: a}).Equal(Finding{Saying: b}) {
		t.Error("the same differs from itself")
	}
	if (Finding{Saying: a}).Equal(Finding{Saying: Say("k")}) {
		t.Error("two findings that say different things are equal")
	}
}
