package main

import (
	"maps"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"hardfeed/ingest/rollover"
	"hardfeed/ration/yard"
	"hardfeed/templates"
)

func bookOf(t *testing.T, sheets ...templates.Sheet) []byte {
	t.Helper()
	data, err := templates.Workbook(sheets)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// plainSheets are those of a small yard that plans a week of two horses, beside its work.
func plainSheets() []templates.Sheet {
	return []templates.Sheet{
		{Name: "horses", Rows: [][]string{{"Name", "Weight (kg)", "Hours at grass", "Hours at grass last week"}, {"Fern", "512", "6", "4"}, {"Sedge", "455", "8", ""}}},
		{Name: "rations", Rows: [][]string{{"Horse", "Feed", "Now (kg)", "Planned (kg)"}, {"Fern", "Hay", "9", "9"}, {"Fern", "Oats", "2", "2"}, {"Sedge", "Hay", "8", "8"}, {"Sedge", "Oats", "1", "1"}}},
		{Name: "feeds", Rows: [][]string{{"Feed", "Kind", "What it is", "One measure (kg)"}, {"Hay", "forage", "grass hay", ""}, {"Oats", "hard feed", "oats", "0.9"}}},
		{Name: "yard", Rows: [][]string{{"Setting", "Value"}, {"Yard", "Alder"}, {"Week beginning", "2026-11-30"}, {"Measures", "scoop 2 l"}, {"Meals", "Breakfast 07:00, Tea 17:00"}}},
	}
}

func changed(m rollover.Moved, sheet string) (out []string) {
	for _, c := range m.Changes {
		if c.Sheet == sheet {
			out = append(out, c.Ref+" "+c.Was+" "+c.Is)
		}
	}
	return out
}

// A diary that has rows of the weeks to come goes on as it is: the next week is there
// already, day by day, and no work of it is lost. One of this week alone is moved on.
func TestDiariesGoOn(t *testing.T) {
	week := time.Date(2026, 11, 30, 0, 0, 0, 0, time.UTC)
	work := [][7]string{
		{"rest", "hack 45", "schooling 40", "hack 45", "schooling 40", "hack 60", "rest"},
		{"lunge 20", "hack 30", "hack 35", "schooling 50", "rest", "hack 90", "rest"},
		{"rest", "rest", "walk 30", "walk 35", "hack 40", "hack 45", "rest"},
	}
	for weeks := 1; weeks <= 3; weeks++ {
		diary := templates.Sheet{Name: "diary", Rows: [][]string{{"Date", "Horse", "Work"}}}
		for k := range weeks {
			for d := range 7 {
				day := week.AddDate(0, 0, 7*k+d).Format(time.DateOnly)
				diary.Rows = append(diary.Rows, []string{day, "Fern", work[k][d]})
				if k != 0 || d != 5 { // a day that is there next week only
					diary.Rows = append(diary.Rows, []string{day, "Sedge", work[k][(d+1)%7]})
				}
			}
		}
		before, after, m := movedOn(t, "week.xlsx", bookOf(t, append(plainSheets(), diary)...), untouched)
		for i, h := range after.Horses {
			want := before.Horses[i].Horse.Work
			if weeks > 1 {
				want = before.Horses[i].Horse.Later[0].Work
			}
			for d := range want {
				if h.Horse.Work[d].Text != want[d].Text || h.Horse.Work[d].Unknown != want[d].Unknown {
					t.Errorf("%d weeks, %s, day %d: %q (%v), want %q", weeks, h.Horse.Name, d, h.Horse.Work[d].Text, h.Horse.Work[d].Unknown, want[d].Text)
				}
			}
		}
		if n := len(changed(m, "diary")); weeks > 1 && n != 0 || weeks == 1 && n != 13 {
			t.Errorf("%d weeks: %d cells of the diary were changed", weeks, n)
		}
	}
}

// Hours at grass of this week are last week's next week; where the weighings have no free
// row below them, that is said.
func TestLastWeeksGrassAndTheNextWeighings(t *testing.T) {
	weights := templates.Sheet{Name: "weights", Rows: [][]string{{"Date", "Horse", "Weight (kg)"}, {"2026-11-21", "Fern", "510"}, {"2026-11-28", "Fern", "512"}}}
	_, after, m := movedOn(t, "week.xlsx", bookOf(t, append(plainSheets(), weights)...), untouched)
	if got := strings.Join(changed(m, "horses"), ", "); got != "D2 4 6, D3  8" {
		t.Errorf("changed: %s", got)
	}
	if h := after.Horses[0].Horse; h.GrassBefore != yard.Known(6) || h.GrassHours != yard.Known(6) || len(h.Weighings) != 2 {
		t.Errorf("Fern is out %v h, last week %v h, weighed %v", h.GrassHours, h.GrassBefore, h.Weighings)
	}
	if left(m, "", "part.next.no row") {
		t.Error("the row below the weighings is free, and the list says that none is")
	}
	weights.Rows = append(weights.Rows, []string{"Horse", "Mon", "Tue", "Wed", "Thu"}, []string{"Fern", "rest", "hack 30", "rest", "hack 30"})
	if _, _, m = movedOn(t, "week.xlsx", bookOf(t, append(plainSheets(), weights)...), untouched); !left(m, "", "part.next.no row") {
		t.Errorf("a table stands right below the weighings: %+v", m.Left)
	}
}

// Where she plans day by day, each day gets what the path gives for it.
func TestAPlanByTheDayIsFilledFromThePath(t *testing.T) {
	form := func(name, now, first, then string) templates.Sheet {
		s := templates.Sheet{Name: name, Rows: [][]string{{name}, {"Weight", "515 kg"}, {"Last week fed", now + " sc mix twice a day"}, {}, {"w/c Mon 30 Nov 2026", "Work", "AM", "PM"}}}
		for i, day := range []string{"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"} {
			plan := first
			if i > 2 {
				plan = then
			}
			work := []string{"off", "hack 45", "school 40", "hack 45", "school 40", "hack 60", "hack 45"}[i]
			s.Rows = append(s.Rows, []string{day, work, plan + " sc mix", plan + " sc mix"})
		}
		return s
	}
	key := templates.Sheet{Name: "Key", Rows: [][]string{{"1 scoop mix = 1.25 kg"}}}
	data := bookOf(t, form("Tansy", "½", "½", "¾"), form("Bracken", "1", "1", "1"), key)
	_, filled, m := movedOn(t, "forms.xlsx", data, nextFlags{planned: "path", work: "copy"})
	_, cleared, _ := movedOn(t, "forms.xlsx", data, untouched)
	written := map[string]bool{}
	for i, h := range filled.Horses {
		plan, planned := h.HardFeed.Planned.Get()
		card, _ := cleared.Horses[i].HardFeed.Card.Get()
		if !planned || math.Abs(plan-card) > 0.02 {
			t.Errorf("%s: planned %.3f kg (%v), the path gives %.3f", h.Horse.Name, plan, planned, card)
		}
		for _, c := range m.Changes {
			if c.Sheet == h.Horse.Name && (strings.HasPrefix(c.Ref, "C") || strings.HasPrefix(c.Ref, "D")) {
				written[c.Ref+" "+c.Was+" "+c.Is+" "+c.Why.Key] = true
			}
		}
	}
	for _, want := range []string{"C7 ½ sc mix ¾ sc mix part.next.path", "D8 ½ sc mix ¾ sc mix part.next.path", "C6 ½ sc mix  part.next.plan cleared"} {
		if !written[want] {
			t.Errorf("%q is not among the changes %v", want, slices.Sorted(maps.Keys(written)))
		}
	}
}
