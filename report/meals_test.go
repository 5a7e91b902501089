package report

import (
	"strings"
	"testing"

	"hardfeed/ration/yard"
	"hardfeed/report/reporttest"
	"hardfeed/report/words"
)

// A day belongs to one column: a stage's label names only that column's days.
func TestStagesNameOnlyTheirOwnDays(t *testing.T) {
	for _, c := range []struct {
		why    string
		days   string // w, r, e from Monday
		from   []yard.Weekday
		work   string
		rest   string
		asWork bool
	}{
		{"one stage", "wwwwwww", []yard.Weekday{0}, "1", "1", false},
		{"Monday off", "rwwwwww", []yard.Weekday{0, 2}, "Tue 1 | from Wed 2", "1", false},
		{"the first stage has no work day in it", "rwwwwww", []yard.Weekday{0, 1}, "2", "1", false},
		{"a day off in the middle", "wwrwwww", []yard.Weekday{0, 3}, "Mon, Tue 1 | from Thu 2", "1", false},
		{"rest in both stages", "rwwwwwr", []yard.Weekday{0, 4}, "Tue–Thu 1 | from Fri 2", "Mon 1 | Sun 2", false},
		{"a show at the end; no day off, so its column is laid out whole", "wwwwwwe", []yard.Weekday{0, 6}, "1", "Mon–Sat 1 | Sun 2", false},
		{"one day of the last stage is left", "wwwwwrr", []yard.Weekday{0, 4}, "Mon–Thu 1 | Fri 2", "2", false},
		{"none before the first", "rwwwwww", []yard.Weekday{3}, "Tue, Wed none | from Thu 1", "none", false},
		{"days off fed as days of work", "rwwwwwr", []yard.Weekday{0, 4}, "Mon–Thu 1 | from Fri 2", "", true},
	} {
		h := yard.HorsePlan{RestAsWork: c.asWork}
		for i := range h.Days {
			h.Days[i].Kind = map[byte]yard.DayKind{'w': yard.WorkDay, 'r': yard.RestDay, 'e': yard.EventDay}[c.days[i]]
		}
		for i, from := range c.from {
			for _, k := range []yard.DayKind{yard.WorkDay, yard.RestDay} {
				h.Servings = append(h.Servings, reporttest.Serving{Day: k, Meal: "Tea", Feed: "Hay", Class: yard.Forage, Kg: yard.KgFed(i + 1), From: from})
			}
		}
		s := words.New(yard.Plan{Week: yard.Week{Beginning: reporttest.Monday}}, words.Meta{})
		got := map[yard.DayKind]string{}
		for _, col := range words.Columns(h) {
			var parts []string
			for _, st := range s.Stages(col, words.MealsOf(s.Plan.Week, &h)[0].Feeds[0].On(col.Kind)) {
				n := st.Amount.Number
				parts = append(parts, strings.ReplaceAll(words.Join(" ", s.Main.Days(s.Plan.Week, st), n), words.NoBreak, " "))
			}
			got[col.Kind] = strings.Join(parts, " | ")
		}
		if got[yard.WorkDay] != c.work || got[yard.RestDay] != c.rest {
			t.Errorf("%s (%s): work %q, rest %q; want %q, %q", c.why, c.days, got[yard.WorkDay], got[yard.RestDay], c.work, c.rest)
		}
	}
}
