package report

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"hardfeed/report/reporttest"
	"hardfeed/report/words"
)

func TestANewEditionSaysSoOnEverySheet(t *testing.T) {
	p := reporttest.Fixture()
	m := words.Meta{Version: "1", Paper: "A4", Edition: 3, Changes: []words.EditionChange{
		{Horse: p.Horses[0].Horse.Name, What: "Conditioning cubes: 1.5 kg a work day, was 1 kg"},
		{Horse: "Old Nick", What: "no longer in the workbook: take its card down"},
	}}
	for i := range 5 {
		m.Changes = append(m.Changes, words.EditionChange{Horse: p.Horses[1].Horse.Name, What: fmt.Sprintf("change %d", i)})
	}
	for _, perPage := range []int{1, 2, 4} {
		m.CardsPerPage = perPage
		fs := files(t, p, m)
		cards := strings.Join(reporttest.Pages(t, named(t, fs, "cards.pdf")), "")
		for texts, want := range map[string]int{
			"VERSION 3 (replaces version 2). Conditioning cubes: 1.5 kg a work day, was 1 kg.": 1,
			"Change 0; change 1; change 2. There is more on the office sheet.":                 1,
			"Amounts, weight and work are the same as before.":                                 len(p.Horses) - 2,
			"change 3": 0,
		} {
			if got := strings.Count(cards, reporttest.Bare(texts)); got < want || want == 0 && got > 0 || want == 1 && got > 2 {
				t.Errorf("%d cards a page: %q stands there %d times, want %d (a card may go on to a second)", perPage, texts, got, want)
			}
		}
		officeText := strings.Join(reporttest.Pages(t, named(t, fs, "office.pdf")), "")
		for _, texts := range []string{"Version 3 (replaces version 2)", "Take down the cards of the version before.",
			"Old Nick: no longer in the workbook: take its card down.", "change 4", "version 3"} {
			if !strings.Contains(officeText, reporttest.Bare(texts)) {
				t.Errorf("the office sheet lacks %q", texts)
			}
		}
		var r struct {
			Edition int
			Changes []words.EditionChange `json:"changes_since_last_edition"`
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
		text := strings.Join(reporttest.Pages(t, named(t, fs, name)), "")
		word := map[string]string{"scoops.pdf": reporttest.In(t, "de").Say("edition", "n", "3"), "office.pdf": reporttest.In(t, "de").Say("edition", "n", "3")}[name]
		if got := strings.Count(text, reporttest.Bare(word)); got < least {
			t.Errorf("%s names the edition %d times", name, got)
		}
	}
	p.Week.Yard = "Bit & Bridle &P" + strings.Repeat("&", 300)
	book := reporttest.Opened(t, named(t, files(t, p, m), "results.xlsx"))
	for _, sheet := range book.GetSheetList() {
		h, err := book.GetHeaderFooter(sheet)
		if err != nil || !strings.HasPrefix(h.OddHeader, "&LBit && Bridle &&P&&") || len([]rune(h.OddHeader)) > 255 {
			t.Errorf("%s: the printed page is headed %q, %v", sheet, h.OddHeader, err)
		}
	}
	p.Week.Yard = "Bit & Bridle"
	book = reporttest.Opened(t, named(t, files(t, p, m), "results.xlsx"))
	if h, err := book.GetHeaderFooter("horses"); err != nil || h.OddHeader != "&LBit && Bridle, Mon"+words.NoBreak+"30"+words.NoBreak+"Nov"+words.NoBreak+"–"+words.NoBreak+"Sun"+words.NoBreak+"6"+words.NoBreak+"Dec"+words.NoBreak+"2026, version 3&Rhorses, &P/&N" {
		t.Errorf("a printed page is headed %q, %v", h.OddHeader, err)
	}
	if props, err := book.GetDocProps(); err != nil || props.Title != "Results, Bit & Bridle, version 3" {
		t.Errorf("it is called %q, %v", props.Title, err)
	}
	m.Changes, m.Languages = nil, nil
	if officeText := strings.Join(reporttest.Pages(t, named(t, files(t, p, m), "office.pdf")), ""); !strings.Contains(officeText, reporttest.Bare("No amount, body weight or work has changed")) {
		t.Error("nothing changed, and the office sheet does not say so")
	}
	for _, edition := range []int{0, 1} {
		m.Edition = edition
		fs := files(t, p, m)
		for _, name := range []string{"cards.pdf", "scoops.pdf", "office.pdf"} {
			if text := strings.Join(reporttest.Pages(t, named(t, fs, name)), ""); strings.Contains(strings.ToLower(text), "edition") {
				t.Errorf("%s of edition %d speaks of editions", name, edition)
			}
		}
	}
}
