package ingest

import (
	"strings"
	"testing"

	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// What is in a workbook for weeks to come, in the ways people write it.
func TestWorkOfWeeksToCome(t *testing.T) {
	for _, c := range []struct {
		what  string
		sheet tab
	}{
		{"a diary", tab{"Diary", "Date | Horse | Work\nd:2026-12-14 | Bramble | hack 60\nd:2026-12-15 | Bramble | W30 T20\nd:2026-12-19 | Bramble | show 10:00\nd:2026-12-20 | Bramble | rest"}},
		{"dates as headings", tab{"Plan", "Horse | d:2026-12-14 | d:2026-12-15 | d:2026-12-19 | d:2026-12-20\nBramble | hack 60 | W30 T20 | show 10:00 | rest"}},
		{"a week in the title", tab{"Later", "Week beginning 14 December 2026\n \nHorse | Mon | Tue | Wed | Thu | Fri | Sat | Sun\nBramble | hack 60 | W30 T20 | | | | show 10:00 | rest"}},
	} {
		t.Run(c.what, func(t *testing.T) {
			y := plainYard()
			w := read(t, append(y, c.sheet)...)
			b := horse(t, w, "Bramble")
			if len(b.Later) != 1 || b.Later[0].Beginning.Format("2006-01-02") != "2026-12-14" {
				t.Fatalf("later: %+v\n%v", b.Later, w.Findings)
			}
			days := b.Later[0].Work
			if describe(days[0]) != "hack 42/15/3/0/0" || days[1].Sessions[0].Minutes[yard.Trot] != 20 || !days[5].Event || days[5].StartMin != 600 || !days[6].Rest() || !days[2].Rest() {
				t.Errorf("%+v", days)
			}
			if b.Work[0].Cell.Sheet == c.sheet.name || !b.WorkGiven {
				t.Errorf("this week's work comes from the other sheet: %+v", b.Work[0])
			}
			for _, rule := range []string{"week-twice", "work-twice", "work-date"} {
				if fs := findings(w, rule); len(fs) > 0 {
					t.Errorf("%v", fs)
				}
			}
		})
	}
	t.Run("too little of a week to go by", func(t *testing.T) {
		y := append(plainYard(), tab{"Diary", "Date | Horse | Work\nd:2026-12-19 | Bramble | show 10:00"})
		w := read(t, y...)
		if fs := findings(w, "work-ahead"); len(horse(t, w, "Bramble").Later) != 0 || len(fs) != 1 || !strings.Contains(words.Message(fs[0]), "1 of its days") || fs[0].Cell.Ref == "" {
			t.Errorf("%v", fs)
		}
	})
	t.Run("further off than is looked", func(t *testing.T) {
		y := append(plainYard(), tab{"Diary", "Date | Horse | Work\nd:2027-12-13 | Bramble | hack 60\nd:2027-12-14 | Bramble | hack 60\nd:2027-12-15 | Bramble | hack 60"})
		w := read(t, y...)
		if len(horse(t, w, "Bramble").Later) != 0 || len(findings(w, "work-date")) != 1 {
			t.Errorf("%v", w.Findings)
		}
	})
}
