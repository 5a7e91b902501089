package ration_test

import (
	"slices"
	"testing"

	"hardfeed/ration"
	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// What stood last week is told in one line with its weeks (design §5b): by the same rule,
// of the same horse, as gravely; a note, and what is new or was told of another, is not.
func TestWhatStoodLastWeekIsStill(t *testing.T) {
	t.Parallel()
	s := ordinary()
	s.RiderTackKg = yard.Known(150)
	tell := func(told ...yard.Told) (yard.Finding, []yard.Finding) {
		w := s.Week
		w.Told = told
		all := ration.Plan(w, ration.DefaultRules()).Findings
		i := slices.IndexFunc(all, func(f yard.Finding) bool { return f.Rule == "rider" })
		if i < 0 {
			t.Fatalf("nothing is told of the rider: %v", all)
		}
		return all[i], all
	}
	for _, c := range []struct {
		what  string
		told  []yard.Told
		weeks int
		says  string
	}{
		{"new", nil, 1, ""},
		{"told last week", []yard.Told{{Horse: "rowan", Rule: "rider", Severity: yard.Warn, Weeks: 1}}, 2, "Still (2 weeks)."},
		{"for a month", []yard.Told{{Horse: "Rowan", Rule: "rider", Severity: yard.Warn, Weeks: 4}, {Horse: "Rowan", Rule: "D-18", Severity: yard.Warn, Weeks: 9}}, 5, "Still (5 weeks)."},
		{"of another horse", []yard.Told{{Horse: "Alder", Rule: "rider", Severity: yard.Warn, Weeks: 4}}, 1, ""},
		{"of the yard", []yard.Told{{Rule: "rider", Severity: yard.Warn, Weeks: 4}}, 1, ""},
		{"more gravely", []yard.Told{{Horse: "Rowan", Rule: "rider", Severity: yard.Stop, Weeks: 4}}, 1, ""},
	} {
		f, all := tell(c.told...)
		if f.Weeks != c.weeks || words.English().Still(f) != c.says {
			t.Errorf("%s: %d weeks, %q; want %d, %q", c.what, f.Weeks, words.English().Still(f), c.weeks, c.says)
		}
		for _, o := range all {
			if o.Severity == yard.Note && o.Weeks != 0 {
				t.Errorf("%s: a note has %d weeks", c.what, o.Weeks)
			}
		}
	}
	for _, severity := range []yard.Severity{yard.Stop, yard.Note} {
		if f := (yard.Finding{Rule: "D-02", Severity: severity, Weeks: 3}); f.Still() {
			t.Errorf("a %s is told whole each week", severity)
		}
	}
}
