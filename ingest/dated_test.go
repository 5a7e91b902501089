package ingest

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"hardfeed/ingest/board"
	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// weeklyYard is a small yard that keeps its rations week below week.
func weeklyYard(t *testing.T, rations string) yard.Week {
	t.Helper()
	return read(t, tab{"Horses", "Name | Weight (kg)\nAsh | 500\nElm | 450"},
		tab{"Feeds", "Feed | Kind | One measure (kg)\nHay | hay |\nOats | cereal | 0.9\nMystery | |"},
		tab{"Yard", "Setting | Value\nYard | Fir\nWeek beginning | d:2026-11-30\nMeals | Breakfast 07:00, Tea 17:00\nMeasures | scoop 2 l"},
		tab{"Rations", rations})
}

// ofLines says what a horse is fed now and what is planned, feed by feed.
func ofLines(w yard.Week, horse string) string {
	var all []string
	say := func(a yard.Amount) string {
		if kg, ok := a.Kg.Get(); ok {
			return fmt.Sprint(kg)
		}
		if a.Given {
			return "?"
		}
		return "-"
	}
	for _, l := range w.Lines {
		if l.Horse == horse {
			all = append(all, strings.TrimSpace(l.Feed+" "+l.Meal)+" "+say(l.Now)+" "+say(l.Planned))
		}
	}
	return strings.Join(all, ", ")
}

// ofPast are the past weeks of hard feed, with what the week began on where that is said.
func ofPast(h yard.Horse) string {
	var all []string
	for _, p := range h.Past {
		s := p.Beginning.Format("2.1.") + " " + fmt.Sprint(p.HardKg.Or(-1))
		if from, ok := p.FromKg.Get(); ok {
			s += fmt.Sprint(" from ", from)
		}
		all = append(all, s)
	}
	return strings.Join(all, ", ")
}

// A rations sheet that keeps its weeks below each other is one ration a week: what was
// fed in the last of them is fed now, what is under the week itself is the plan, and
// the others are past weeks. They were added up.
func TestRationsByWeeks(t *testing.T) {
	for _, c := range []struct {
		what, rations string
		lines, past   string // of Ash
		found         string // rules said of Ash or of nobody, in order
		noCard        bool
	}{
		{"a column of amounts, the plan under its week", `
Week | Horse | Feed | Amount (kg)
d:2026-11-16 | Ash | Hay | 9
d:2026-11-16 | Ash | Oats | 1.5
d:2026-11-23 | Ash | Hay | 9.5
d:2026-11-23 | Ash | Oats | 2
d:2026-11-30 | Ash | Hay | 9.5
d:2026-11-30 | Ash | Oats | 2.25`, "Hay 9.5 9.5, Oats 2 2.25", "16.11. 1.5, 23.11. 2", "", false},
		{"weeks in words, no plan yet", `
Week | Horse | Feed | Amount (kg)
'16 November 2026 | Ash | Hay | 9
'16 November 2026 | Ash | Oats | 1.5
'w/c 23 November 2026 | Ash | Hay | 9
'w/c 23 November 2026 | Ash | Oats | 2`, "Hay 9 -, Oats 2 -", "16.11. 1.5, 23.11. 2", "", false},
		{"fed and planned side by side", `
Week | Horse | Feed | Now (kg) | Planned (kg)
d:2026-11-23 | Ash | Hay | 9 | 9
d:2026-11-23 | Ash | Oats | 1.5 | 2
d:2026-11-30 | Ash | Hay | 9 | 9
d:2026-11-30 | Ash | Oats | 2 | 2.5`, "Hay 9 9, Oats 2 2.5", "23.11. 2 from 1.5", "", false},
		{"a column a feed", `
Week | Horse | Hay now (kg) | Oats now (kg)
d:2026-11-16 | Ash | 9 | 1.5
d:2026-11-23 | Ash | 9 | 2`, "Hay 9 -, Oats 2 -", "16.11. 1.5, 23.11. 2", "", false},
		{"the week before is not there", `
Week | Horse | Feed | Amount (kg)
d:2026-11-09 | Ash | Oats | 1.5
d:2026-11-16 | Ash | Oats | 2
d:2026-11-23 | Elm | Oats | 1`, "", "9.11. 1.5, 16.11. 2", "rations-missing", false},
		{"a week that cannot be read is left out, and that one only", `
Week | Horse | Feed | Amount (kg)
d:2026-11-09 | Ash | Oats | 1
d:2026-11-16 | Ash | Oats | 'a bit
d:2026-11-23 | Ash | Oats | 2`, "Oats 2 -", "9.11. 1, 23.11. 2", "past-week", false},
		{"an amount that is not there", `
Week | Horse | Feed | Amount (kg)
d:2026-11-16 | Ash | Hay | 9
d:2026-11-16 | Ash | Oats |
d:2026-11-23 | Ash | Hay | 9
d:2026-11-23 | Ash | Oats | 2`, "Hay 9 -, Oats 2 -", "23.11. 2", "past-week", false},
		{"a feed nobody knows the kind of", `
Week | Horse | Feed | Amount (kg)
d:2026-11-16 | Ash | Mystery | 1
d:2026-11-16 | Ash | Oats | 2
d:2026-11-23 | Ash | Oats | 2`, "Oats 2 -", "23.11. 2", "ration-left-out, past-week", false},
		{"a day's list each, the last counts", `
Date | Horse | Feed | Amount (kg)
d:2026-11-16 | Ash | Oats | 1.5
d:2026-11-17 | Ash | Oats | 1.5
d:2026-11-23 | Ash | Oats | 2
d:2026-11-27 | Ash | Oats | 2.2`, "Oats 2.2 -", "16.11. 1.5", "past-week", false},
		{"a row without its week", `
Week | Horse | Feed | Amount (kg)
d:2026-11-16 | Ash | Oats | 1.5
d:2026-11-23 | Ash | Oats | 2
 | Ash | Hay | 9`, "Oats 2 -", "16.11. 1.5, 23.11. 2", "ration-undated", true},
		{"weeks by their numbers", `
Week | Horse | Feed | Amount (kg)
47 | Ash | Oats | 1.5
48 | Ash | Oats | 2`, "", "", "ration-undated, ration-undated, rations-missing", true},
		{"a feed of a list of changes only", `
Week | Horse | Feed | Amount (kg)
d:2026-11-16 | Ash | Hay | 9
d:2026-11-16 | Ash | Oats | 1.5
d:2026-11-23 | Ash | Oats | 2`, "Oats 2 -", "16.11. 1.5, 23.11. 2", "ration-left-out", false},
		{"weeks to come", `
Week | Horse | Feed | Amount (kg)
d:2026-11-23 | Ash | Oats | 2
d:2026-11-30 | Ash | Oats | 2
d:2026-12-07 | Ash | Oats | 2.5`, "Oats 2 2", "23.11. 2", "ration-ahead", false},
		{"a date beside each row is not a week of it", `
Date | Horse | Feed | Now (kg)
d:2026-03-01 | Ash | Hay | 9
d:2026-11-02 | Ash | Oats | 2`, "Hay 9 -, Oats 2 -", "", "", false},
		{"the same feed at two meals", `
Week | Horse | Feed | Meal | Amount (kg)
d:2026-11-16 | Ash | Oats | Breakfast | 0.5
d:2026-11-16 | Ash | Oats | Tea | 0.7
d:2026-11-23 | Ash | Oats | Breakfast | 0.6
d:2026-11-23 | Ash | Oats | Tea | 0.8`, "Oats Breakfast 0.6 -, Oats Tea 0.8 -", "16.11. 1.2, 23.11. 1.4", "", false},
		{"more than half a year ago", `
Week | Horse | Feed | Amount (kg)
d:2026-01-05 | Ash | Oats | 9
d:2026-11-23 | Ash | Oats | 2`, "Oats 2 -", "23.11. 2", "", false},
	} {
		w := weeklyYard(t, c.rations)
		h := horse(t, w, "Ash")
		var rules []string
		for _, f := range w.Findings {
			if (f.Horse == "Ash" || f.Rule == "ration-ahead") && f.Severity > 0 && strings.Contains("ration-undated ration-left-out ration-ahead past-week rations-missing ration-twice amount-twice cell-number", string(f.Rule)) {
				rules = append(rules, string(f.Rule))
			}
		}
		if got := ofLines(w, "Ash"); got != c.lines {
			t.Errorf("%s: fed %q, want %q", c.what, got, c.lines)
		}
		if got := ofPast(h); got != c.past {
			t.Errorf("%s: past weeks %q, want %q", c.what, got, c.past)
		}
		if got := strings.Join(rules, ", "); got != c.found || (len(h.NoCard) > 0) != c.noCard {
			t.Errorf("%s: found %q, want %q (no card: %v)", c.what, got, c.found, h.NoCard)
		}
	}
}

// The records of past runs count where there is one; the workbook fills the weeks they
// lack.
func TestRationsByWeeksBesideRecords(t *testing.T) {
	w := weeklyYard(t, `
Week | Horse | Feed | Amount (kg)
d:2026-11-09 | Ash | Oats | 1
d:2026-11-16 | Ash | Oats | 1.5
d:2026-11-23 | Ash | Oats | 2`)
	again := PastWeeks(w, func(beginning time.Time) []byte {
		day := beginning.Format(time.DateOnly)
		if day != "2026-11-16" && day != "2026-11-02" {
			return nil
		}
		return []byte(`{"schema":1,"program":"hardfeed","week":"` + day + `","horses":[{"name":"Ash","status":"carded","hard_feed_kg":{"card":1.75,"now":1.6}}]}`)
	})
	if got := ofPast(horse(t, again, "Ash")); got != "2.11. 1.75 from 1.6, 9.11. 1, 16.11. 1.75 from 1.6, 23.11. 2" {
		t.Errorf("past weeks %q", got)
	}
	if got := ofPast(horse(t, w, "Ash")); got != "9.11. 1, 16.11. 1.5, 23.11. 2" {
		t.Errorf("the week itself was changed: %q", got)
	}
}

// What next week's workbook is written from: the rows of the week that is over are left
// as they are, and the amounts under the week itself will be what is fed now.
func TestWhereRationsByWeeksStand(t *testing.T) {
	for _, c := range []struct{ what, rations, spots string }{
		{"the plan under its week", `
Week | Horse | Feed | Amount (kg)
d:2026-11-23 | Ash | Oats | 2
d:2026-11-30 | Ash | Oats | 2.25`, "now D3 2.25"},
		{"fed and planned side by side", `
Week | Horse | Feed | Now (kg) | Planned (kg)
d:2026-11-23 | Ash | Oats | 1.5 | 2
d:2026-11-30 | Ash | Oats | 2 | 2.5`, "now D3 2, plan E3 2.5"},
	} {
		data := workbook(t, tab{"Horses", "Name | Weight (kg)\nAsh | 500"}, tab{"Feeds", "Feed | Kind | One measure (kg)\nOats | cereal | 0.9"},
			tab{"Yard", "Setting | Value\nYard | Fir\nWeek beginning | d:2026-11-30\nMeals | Breakfast 07:00\nMeasures | scoop 2 l"}, tab{"Rations", c.rations})
		src, err := Trace("week.xlsx", data, Options{})
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, s := range src.Whence.Spots {
			if s.Sheet != "Rations" {
				continue
			}
			kind := map[board.SpotKind]string{board.NowSpot: "now", board.PlanSpot: "plan"}[s.Kind]
			got = append(got, kind+" "+xlsx.RefOf(s.At[1], s.At[0])+" "+s.Text)
		}
		if all := strings.Join(got, ", "); all != c.spots {
			t.Errorf("%s: %q, want %q", c.what, all, c.spots)
		}
	}
}
