package record

import (
	"strings"
	"testing"

	"hardfeed/ration/yard"
	"hardfeed/report/reporttest"
	"hardfeed/report/words"
)

func TestWhatCountsAsAChange(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(h *yard.HorsePlan)
		want   string // all that is said; empty: nothing
	}{
		{"nothing", func(*yard.HorsePlan) {}, ""},
		{"held", func(h *yard.HorsePlan) { h.Status = yard.Held }, "a reduced card, was a card"},
		{"no card", func(h *yard.HorsePlan) { h.Status = yard.NoCard }, "no card, was a card"},
		{"weight", func(h *yard.HorsePlan) { h.WeightKg = reporttest.Num(530) }, "body weight 530 kg, was 520 kg"},
		{"weight unknown", func(h *yard.HorsePlan) { h.WeightKg = yard.Num{} }, "body weight unknown, was 520 kg"},
		{"work", func(h *yard.HorsePlan) { h.Days[1].Work, h.Days[3].Work = "rest", "school 45" }, "other work on Tue, Thu"},
		{"an amount", func(h *yard.HorsePlan) { h.Servings[1].Kg = 1 }, "Conditioning cubes: 1.75 kg a work day, was 1.25 kg"},
		{"a feed less", func(h *yard.HorsePlan) { h.Servings = h.Servings[2:] }, "Hay"},
		{"another meal", func(h *yard.HorsePlan) { h.Servings[1].Meal = "Lunch" }, "Conditioning cubes: 1.25 kg a work day as before, but its meals, days off or steps have changed"},
		{"a day off", func(h *yard.HorsePlan) { h.Servings[8].Kg = 0.4 }, "Conditioning cubes: 1.25 kg a work day as before, but its meals, days off or steps have changed"},
		{"what was fed before", func(h *yard.HorsePlan) { h.Servings[1].Changed = !h.Servings[1].Changed }, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			was, err := JSON(reporttest.Fixture(), words.Meta{})
			if err != nil {
				t.Fatal(err)
			}
			now := reporttest.Fixture()
			c.change(&now.Horses[0])
			var said []string
			for _, e := range EditionChanges(was, now, words.Meta{Edition: 2}) {
				said = append(said, e.What)
			}
			got := strings.ReplaceAll(strings.Join(said, "; "), words.NoBreak, " ")
			if c.name == "a feed less" {
				if !strings.Contains(got, "kg a work day, was") {
					t.Errorf("it says %q", got)
				}
			} else if got != c.want {
				t.Errorf("it says %q, want %q", got, c.want)
			}
		})
	}
}

// What changed is said in the language of the sheet.
func TestAnEditionsChangesAreSaidInTheLanguage(t *testing.T) {
	was, err := JSON(reporttest.Fixture(), words.Meta{})
	if err != nil {
		t.Fatal(err)
	}
	now := reporttest.Fixture()
	now.Horses[0].WeightKg, now.Horses[0].Servings[1].Kg = reporttest.Num(530), 1
	var said []string
	for _, e := range EditionChanges(was, now, words.Meta{Edition: 2}) {
		said = append(said, strings.ReplaceAll(e.In(reporttest.In(t, "de")), words.NoBreak, " "))
	}
	if got, want := strings.Join(said, "; "), "Körpergewicht 530 kg, vorher 520 kg; Conditioning cubes: 1,75 kg am Arbeitstag, vorher 1,25 kg"; got != want {
		t.Errorf("it says %q, want %q", got, want)
	}
}
