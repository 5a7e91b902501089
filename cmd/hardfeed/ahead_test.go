package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hardfeed/report/pdftest"
)

// runYard runs a small yard's workbook, its one horse's rations and work and any
// further sheets written as [workbookOf] takes them, and gives its folder.
func runYard(t *testing.T, rations, work, more string) string {
	t.Helper()
	data, err := workbookOf(fmt.Sprintf(`
[horses]
Name | Weight (kg) | How weighed | Score | Fitness | Rider + tack (kg)
Wheatear | 500 | scale | 5 | part-fit | 80
[work]
Horse | Mon | Tue | Wed | Thu | Fri | Sat | Sun
Wheatear | %s
[rations]
Horse | Feed | Now | Planned
%s
[feeds]
Feed | Kind | What it is | One measure (kg) | DM %% | DE (MJ/kg) | Protein %% | Starch %% | Basis
Hay | forage | grass hay, mature
Cubes | hard feed | | 1.3 | 87 | 11.5 | 12 | 18 | as fed
Salt | salt | salt
[yard]
Setting | Value
Week beginning | 2026-11-30
Meals | Breakfast 07:00, Lunch 12:30, Tea 17:00
Measures | scoop 2 l
%s`, work, rations, more))
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	book := filepath.Join(dir, "week.xlsx")
	if err := os.WriteFile(book, data, 0o600); err != nil {
		t.Fatal(err)
	}
	var said strings.Builder
	if code := run(t.Context(), []string{"run", book, "-o", filepath.Join(dir, "out")}, nil, &strings.Builder{}, &said); code != exitDone {
		t.Fatalf("exit code %d\n%s", code, said.String())
	}
	return filepath.Join(dir, "out")
}

// pdfText is the text of a file, every run of blanks as one.
func pdfText(t *testing.T, file string) string {
	t.Helper()
	return strings.Join(strings.Fields(pdftest.Layout(t, []byte(textOf(t, file)))), " ")
}

// pdfAsDrawn is the same in the order it was drawn, which is the order of reading.
func pdfAsDrawn(t *testing.T, file string) string {
	t.Helper()
	return strings.Join(strings.Fields(strings.Join(pdftest.Pages(t, []byte(textOf(t, file))), "\n")), " ")
}

// readResults reads a folder's results.json.
func readResults(t *testing.T, dir string, into any) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, resultsName))
	if err == nil {
		err = json.Unmarshal(data, into)
	}
	if err != nil {
		t.Fatal(err)
	}
}

// Work written down for a week to come is looked at, in results.json and on the
// office sheet.
func TestTheWorkOfTheWeeksToComeStandsOnTheSheets(t *testing.T) {
	ahead := "[work ahead]\nDate | Horse | Work\n"
	for day := range 6 {
		ahead += fmt.Sprintf("2026-12-%d | Wheatear | W50 T65 C46\n", 14+day)
	}
	dir := runYard(t, "Wheatear | Hay | 9 kg\nWheatear | Cubes | 1 kg\nWheatear | Salt | 30 g", "rest | W40 T10 | W40 T10 | W40 T10 | W40 T10 | W40 T10 | W40 T10", ahead)
	var results struct {
		Horses []struct {
			Step struct {
				Ahead []struct {
					Week      string
					Planned   bool
					NeedMcal  float64 `json:"need_mcal"`
					TargetKg  float64 `json:"target_kg"`
					CardKg    float64 `json:"card_kg"`
					ShortMcal float64 `json:"short_mcal"`
				}
				PathKg []float64 `json:"path_kg"`
			}
			Findings []struct{ Rule, Message string }
		}
	}
	readResults(t, dir, &results)
	h := results.Horses[0]
	a := h.Step.Ahead
	if len(a) != 2 || a[0].Planned || !a[1].Planned || a[1].Week != "2026-12-14" || a[1].TargetKg <= a[0].TargetKg || h.Step.PathKg[2] != a[1].CardKg {
		t.Fatalf("%+v", h.Step)
	}
	said := ""
	for _, f := range h.Findings {
		if f.Rule == "ahead" || f.Rule == "climb" {
			said += f.Message
		}
	}
	office := pdfText(t, filepath.Join(dir, "office.pdf"))
	for _, want := range []string{"Weeks to come", "14 Dec 2026", "not written down"} {
		if !strings.Contains(office, want) {
			t.Errorf("the office sheet does not say %q", want)
		}
	}
	if said == "" {
		t.Error("nothing is said of the work to come")
	}
}

// Two competitions in one week, each with its own hours without hard feed: the
// card has what changes for the second from that day on.
func TestTwoEventDaysEachHaveTheirOwnHours(t *testing.T) {
	dir := runYard(t, "Wheatear | Hay | 9 kg | 9 kg\nWheatear | Cubes | 3 scoops | 3 scoops", "rest | hack 60 | hack 60 | hack 60 | rest | XC 10:00 | show jumping 15:00", "")
	var results struct {
		Horses []struct {
			Ration []struct {
				Day, Meal, Feed, From string
				Kg                    float64
			}
		}
	}
	readResults(t, dir, &results)
	cubes := map[string]map[string]float64{"Sat": {}, "Sun": {}}
	for _, s := range results.Horses[0].Ration {
		if s.Day == "event" && s.Feed == "Cubes" {
			if s.From != "Sun" {
				cubes["Sat"][s.Meal] = s.Kg
			}
			cubes["Sun"][s.Meal] = s.Kg
		}
	}
	// 10:00: breakfast at 07:00 falls out; 15:00: lunch at 12:30 does, breakfast is 8 hours before.
	if cubes["Sat"]["Breakfast"] != 0 || cubes["Sat"]["Lunch"] == 0 || cubes["Sun"]["Breakfast"] == 0 || cubes["Sun"]["Lunch"] != 0 || cubes["Sun"]["Tea"] == 0 && cubes["Sat"]["Tea"] == 0 {
		t.Errorf("%+v", cubes)
	}
	card := strings.Join(strings.Fields(pdfAsDrawn(t, filepath.Join(dir, "cards.pdf"))), " ")
	if !strings.Contains(card, "Cubes scoop 1 = 1.3 kg ¾ 1 1 1 ¾ none 1 Lunch") || !strings.Contains(card, "Cubes scoop 1 = 1.3 kg none 1 1 1 none 1 none Tea") {
		t.Errorf("the card does not tell the two days apart: %s", card)
	}
}
