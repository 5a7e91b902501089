package board

import (
	"fmt"
	"testing"
	"time"
)

// What older tabs and blocks say of the feed is kept as past weeks; a week that is not clear
// is left out, nothing is asked of it, and what is fed now and planned stays as it was.
func TestOlderWeeksOfFeedAreKept(t *testing.T) {
	tab := func(day, larkin, pilot string) Sheet {
		return sheetOf("Week "+day, "Week beginning "+day+` 2027
Horse | Weight kg | Mon | Tue | Wed | Thu | Fri | Sat | Sun | Feed now | New feed
Larkin | 512 | off | hack 60 | off | off | hack 60 | off | off | `+larkin+`
Pilot | 430 | off | off | hack 45 | off | off | hack 45 | off | `+pilot)
	}
	last := tab("22 March", "2.5 kg nuts | 3 kg nuts", "1 kg nuts | same")
	for _, c := range []struct {
		what          string
		older         []Sheet
		larkin, pilot string
	}{
		{"two weeks", []Sheet{tab("8 March", "1.5 kg nuts | 2 kg nuts", "1 kg nuts | same"), tab("15 March", "2 kg nuts | 2.5 kg nuts", "1 kg nuts | 1 kg nuts")},
			"2027-03-08 1.5 to 2, 2027-03-15 2 to 2.5, ", "2027-03-08 1 to 1, 2027-03-15 1 to 1, "},
		{"a week between is missing", []Sheet{tab("8 March", "1.5 kg nuts | 2 kg nuts", "1 kg nuts | same")}, "2027-03-08 1.5 to 2, ", "2027-03-08 1 to 1, "},
		{"an amount that can't be read", []Sheet{tab("15 March", "2 kg nuts | 2.5 zxqv", "1 kg nuts | 1 kg nuts")}, "", "2027-03-15 1 to 1, "},
		{"a measure nobody has weighed", []Sheet{tab("15 March", "2 jugs nuts | 2 jugs nuts", "1 kg nuts | 1 kg nuts")}, "", "2027-03-15 1 to 1, "},
		{"a feed the yard no longer has", []Sheet{tab("15 March", "2 kg racing mix | 2 kg racing mix", "1 kg nuts | 1 kg nuts")}, "", "2027-03-15 1 to 1, "},
	} {
		alone, _ := Read([]Sheet{last}, time.Time{})
		w, err := Read(append(c.older, last), time.Time{})
		if err != nil || w.Beginning.Format(time.DateOnly) != "2027-03-22" {
			t.Fatalf("%s: %v, week of %s", c.what, err, w.Beginning)
		}
		for i, want := range []string{c.larkin, c.pilot} {
			got := ""
			for _, p := range w.Horses[i].Past {
				got += fmt.Sprintf("%s %g to %g, ", p.Beginning.Format(time.DateOnly), p.FromKg.Or(-1), p.HardKg.Or(-1))
			}
			name := w.Horses[i].Name
			if got != want {
				t.Errorf("%s: %s was fed %q, want %q", c.what, name, got, want)
			}
			if a, b := factsOf(w, name), factsOf(alone, name); a != b {
				t.Errorf("%s: %s is %s, alone %s", c.what, name, a, b)
			}
		}
		if len(w.Feeds) != len(alone.Feeds) {
			t.Errorf("%s: %d feeds, alone %d", c.what, len(w.Feeds), len(alone.Feeds))
		}
		for _, f := range w.Findings {
			if f.Rule != "sheet-old" && f.Rule != "sheet-unused" && f.Cell.Sheet != "" && f.Cell.Sheet != last.Name && f.Severity > 0 {
				t.Errorf("%s: %s is asked of %s", c.what, f.Rule, f.Cell)
			}
		}
	}
}
