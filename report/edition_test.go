package report

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"hardfeed/ration/yard"
)

func TestANewEditionSaysSoOnEverySheet(t *testing.T) {
	p := fixture()
	m := Meta{Version: "1", Paper: "A4", Edition: 3, Changes: []EditionChange{
		{p.Horses[0].Horse.Name, "Conditioning cubes: 1.5 kg a work day, was 1 kg"},
		{"Old Nick", "no longer in the workbook: take its card down"},
	}}
	for i := range 5 {
		m.Changes = append(m.Changes, EditionChange{p.Horses[1].Horse.Name, fmt.Sprintf("change %d", i)})
	}
	for _, perPage := range []int{1, 2, 4} {
		m.CardsPerPage = perPage
		fs := files(t, p, m)
		cards := strings.Join(pages(t, named(t, fs, "cards.pdf")), "")
		for words, want := range map[string]int{
			"EDITION 3, in place of edition 2. Conditioning cubes: 1.5 kg a work day, was 1 kg.": 1,
			"Change 0; change 1; change 2; and more, see the office sheet.":                      1,
			"This card: amounts, weight and work as before.":                                     len(p.Horses) - 2,
			"change 3": 0,
		} {
			if got := strings.Count(cards, bare(words)); got < want || want == 0 && got > 0 || want == 1 && got > 2 {
				t.Errorf("%d cards a page: %q stands there %d times, want %d (a card may go on to a second)", perPage, words, got, want)
			}
		}
		office := strings.Join(pages(t, named(t, fs, "office.pdf")), "")
		for _, words := range []string{"Edition 3, in place of edition 2", "Take down the cards of the edition before.",
			"Old Nick: no longer in the workbook: take its card down.", "change 4", "edition 3"} {
			if !strings.Contains(office, bare(words)) {
				t.Errorf("the office sheet lacks %q", words)
			}
		}
		var r struct {
			Edition int
			Changes []EditionChange `json:"changes_since_last_edition"`
		}
		if err := json.Unmarshal(named(t, fs, "results.json"), &r); err != nil || r.Edition != 3 || len(r.Changes) != len(m.Changes) {
			t.Errorf("the record says %+v, %v", r, err)
		}
	}
	// Each sheet names the edition where it names the week: under its title and on
	// every page that may go about alone.
	m.Languages = []string{"de"}
	fs := files(t, p, m)
	for name, least := range map[string]int{"scoops.pdf": 2, "office.pdf": 3} {
		text := strings.Join(pages(t, named(t, fs, name)), "")
		word := map[string]string{"scoops.pdf": inTongue(t, "de").Say("edition", "n", "3"), "office.pdf": "edition 3"}[name]
		if got := strings.Count(text, bare(word)); got < least {
			t.Errorf("%s names the edition %d times", name, got)
		}
	}
	p.Week.Yard = "Bit & Bridle &P" + strings.Repeat("&", 300)
	book := opened(t, named(t, files(t, p, m), "results.xlsx"))
	for _, sheet := range book.GetSheetList() {
		h, err := book.GetHeaderFooter(sheet)
		if err != nil || !strings.HasPrefix(h.OddHeader, "&LBit && Bridle &&P&&") || len([]rune(h.OddHeader)) > 255 {
			t.Errorf("%s: the printed page is headed %q, %v", sheet, h.OddHeader, err)
		}
	}
	p.Week.Yard = "Bit & Bridle"
	book = opened(t, named(t, files(t, p, m), "results.xlsx"))
	if h, err := book.GetHeaderFooter("horses"); err != nil || h.OddHeader != "&LBit && Bridle, Mon"+nb+"30"+nb+"Nov"+nb+"–"+nb+"Sun"+nb+"6"+nb+"Dec"+nb+"2026, edition 3&Rhorses, &P/&N" {
		t.Errorf("a printed page is headed %q, %v", h.OddHeader, err)
	}
	if props, err := book.GetDocProps(); err != nil || props.Title != "Results, Bit & Bridle, edition 3" {
		t.Errorf("it is called %q, %v", props.Title, err)
	}
	m.Changes, m.Languages = nil, nil
	if office := strings.Join(pages(t, named(t, files(t, p, m), "office.pdf")), ""); !strings.Contains(office, bare("No amount, body weight or work differs")) {
		t.Error("nothing changed, and the office sheet does not say so")
	}
	for _, edition := range []int{0, 1} {
		m.Edition = edition
		fs := files(t, p, m)
		for _, name := range []string{"cards.pdf", "scoops.pdf", "office.pdf"} {
			if text := strings.Join(pages(t, named(t, fs, name)), ""); strings.Contains(strings.ToLower(text), "edition") {
				t.Errorf("%s of edition %d speaks of editions", name, edition)
			}
		}
	}
}

func TestWhatCountsAsAChange(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(h *yard.HorsePlan)
		want   string // all that is said; empty: nothing
	}{
		{"nothing", func(*yard.HorsePlan) {}, ""},
		{"held", func(h *yard.HorsePlan) { h.Status = yard.Held }, "a held card, was a card"},
		{"no card", func(h *yard.HorsePlan) { h.Status = yard.NoCard }, "no card, was a card"},
		{"weight", func(h *yard.HorsePlan) { h.WeightKg = n(530) }, "body weight 530 kg, was 520 kg"},
		{"weight unknown", func(h *yard.HorsePlan) { h.WeightKg = yard.Num{} }, "body weight unknown, was 520 kg"},
		{"work", func(h *yard.HorsePlan) { h.Days[1].Work, h.Days[3].Work = "rest", "school 45" }, "other work on Tue, Thu"},
		{"an amount", func(h *yard.HorsePlan) { h.Servings[1].Kg = 1 }, "Conditioning cubes: 1.75 kg a work day, was 1.25 kg"},
		{"a feed less", func(h *yard.HorsePlan) { h.Servings = h.Servings[2:] }, "Hay"},
		{"another meal", func(h *yard.HorsePlan) { h.Servings[1].Meal = "Lunch" }, "Conditioning cubes: 1.25 kg a work day as before; its meals, days off or day steps differ"},
		{"a day off", func(h *yard.HorsePlan) { h.Servings[8].Kg = 0.4 }, "Conditioning cubes: 1.25 kg a work day as before; its meals, days off or day steps differ"},
		{"what was fed before", func(h *yard.HorsePlan) { h.Servings[1].Changed = !h.Servings[1].Changed }, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			was, err := JSON(fixture(), Meta{})
			if err != nil {
				t.Fatal(err)
			}
			now := fixture()
			c.change(&now.Horses[0])
			var said []string
			for _, e := range EditionChanges(was, now, Meta{Edition: 2}) {
				said = append(said, e.What)
			}
			got := strings.ReplaceAll(strings.Join(said, "; "), nb, " ")
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
