package main

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"hardfeed/templates"
)

// runSheets runs a workbook made of these sheets and gives its folder.
func runSheets(t *testing.T, sheets ...templates.Sheet) string {
	t.Helper()
	data, err := templates.Workbook(sheets)
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

func pdfWords(t *testing.T, file string) string {
	t.Helper()
	text, err := exec.Command("pdftotext", "-layout", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.Join(strings.Fields(string(text)), " ")
}

func rows(lines ...string) [][]string {
	var out [][]string
	for _, l := range lines {
		out = append(out, strings.Split(l, "|"))
	}
	return out
}

func oneHorseYard(work string) []templates.Sheet {
	return []templates.Sheet{
		{Name: "horses", Rows: rows("Name|Weight (kg)|How weighed|Date weighed|Score|Fitness|Keeper|Rider + tack (kg)", "Wheatear|500|scale|2026-11-28|5|part-fit|normal|80")},
		{Name: "work", Rows: rows("Horse|Mon|Tue|Wed|Thu|Fri|Sat|Sun", work)},
		{Name: "rations", Rows: rows("Horse|Feed|Now|Planned", "Wheatear|Hay|9 kg|", "Wheatear|Cubes|1 kg|", "Wheatear|Salt|30 g|")},
		{Name: "feeds", Rows: rows("Feed|Kind|What it is|One measure (kg)|Weighed on|DM %|DE (MJ/kg)|Protein %|Starch %|Sugar %|Ca %|P %|Na %|Basis",
			"Hay|forage|grass hay, mature|||||||||||", "Cubes|hard feed||1.3|2026-11-27|87|11.5|12|18|5|1.2|0.5|0.4|as fed", "Salt|salt|salt|||||||||||")},
		{Name: "yard", Rows: rows("Setting|Value", "Yard|Cold Brook Yard", "Week beginning|2026-11-30", "Meals|Breakfast 07:00, Lunch 12:30, Tea 17:00", "Measures|scoop 2 l")},
	}
}

// Work written down for a week to come is looked at, in results.json and on the
// office sheet.
func TestTheWorkOfTheWeeksToComeStandsOnTheSheets(t *testing.T) {
	ahead := []string{"Date|Horse|Work"}
	for _, day := range []string{"14", "15", "16", "17", "18", "19"} {
		ahead = append(ahead, "2026-12-"+day+"|Wheatear|W50 T65 C46")
	}
	dir := runSheets(t, append(oneHorseYard("Wheatear|rest|W40 T10|W40 T10|W40 T10|W40 T10|W40 T10|W40 T10"), templates.Sheet{Name: "work ahead", Rows: rows(ahead...)})...)
	data, err := os.ReadFile(filepath.Join(dir, resultsName))
	if err != nil {
		t.Fatal(err)
	}
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
	if err := json.Unmarshal(data, &results); err != nil {
		t.Fatal(err)
	}
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
	office := pdfWords(t, filepath.Join(dir, "office.pdf"))
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
	sheets := oneHorseYard("Wheatear|rest|hack 60|hack 60|hack 60|rest|XC 10:00|show jumping 15:00")
	sheets[2].Rows = rows("Horse|Feed|Now|Planned", "Wheatear|Hay|9 kg|9 kg", "Wheatear|Cubes|3 scoops|3 scoops")
	dir := runSheets(t, sheets...)
	data, err := os.ReadFile(filepath.Join(dir, resultsName))
	if err != nil {
		t.Fatal(err)
	}
	var results struct {
		Horses []struct {
			Ration []struct {
				Day, Meal, Feed, From string
				Kg                    float64
			}
		}
	}
	if err := json.Unmarshal(data, &results); err != nil {
		t.Fatal(err)
	}
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
	if card := pdfWords(t, filepath.Join(dir, "cards.pdf")); !strings.Contains(card, "EVENT Sat, Sun: Cubes: Sat none; Sun 1 scoop") || !strings.Contains(card, "Sun 1 scoop 1.3 kg") {
		t.Errorf("the card does not tell the two days apart: %s", card)
	}
}
