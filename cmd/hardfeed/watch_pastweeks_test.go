package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"hardfeed/report"
)

// Several weeks through the drop folder: the office sheet draws each week's newest
// edition, a missing week and one with a damaged record are gaps, and the chart's
// figures are those of the records.
func TestTheOfficeSheetShowsThePastWeeks(t *testing.T) {
	t.Setenv("HARDFEED_WATCH_SETTLE_SECONDS", "0.05")
	dir := t.TempDir()
	week := func(beginning string, now, planned float64) string {
		t.Helper()
		book, err := workbookOf(fmt.Sprintf(`
[yard]
Yard | Cold Brook
Week beginning | %s
Meals | Breakfast 7:00, Tea 17:00
[horses]
Horse | Weight (kg) | How weighed | Score | Fitness
Gannet | 500 | scale | 5 | hard
[work]
Horse | Mon | Tue | Wed | Thu | Fri | Sat | Sun
Gannet | hack 60 | hack 60 | hack 60 | hack 60 | hack 60 | hack 60 | rest
[feeds]
Feed | Kind | What it is | One measure (kg)
Hay | forage | grass hay |
Oats | hard feed | oats | 1
[rations]
Horse | Feed | Now | Planned
Gannet | Hay | 9 kg | 9 kg
Gannet | Oats | %v kg | %v kg
`, beginning, now, planned))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, "week.xlsx"), book, 0o640); err != nil {
			t.Fatal(err)
		}
		var said bytes.Buffer
		if code := run(t.Context(), []string{"watch", dir, "--once"}, nil, nil, &said); code != exitDone {
			t.Fatalf("%s: %d\n%s", beginning, code, said.String())
		}
		return said.String()
	}
	week("2026-11-02", 1, 1)
	week("2026-11-02", 1, 1.25) // edition 2
	week("2026-11-16", 1.5, 1.75)
	week("2026-11-23", 1.75, 2)
	damaged := filepath.Join(dir, "archive", "2026-11-16", "Cold Brook edition 1", resultsName)
	if err := os.WriteFile(damaged, []byte(`{"schema":1,"horses":[`), 0o640); err != nil {
		t.Fatal(err)
	}
	week("2026-11-30", 2, 4.5)

	out := filepath.Join(dir, "2026-11-30 Cold Brook")
	var rec struct {
		Horses []struct {
			Past []struct {
				Week   string
				CardKg float64 `json:"card_kg"`
			} `json:"past_hard_feed"`
			Hard struct{ Now, Card, Target float64 } `json:"hard_feed_kg"`
			Step struct {
				Warn float64   `json:"warn_kg"`
				Stop float64   `json:"stop_kg"`
				Path []float64 `json:"path_kg"`
			}
		}
		Findings []struct{ Rule, Message string }
	}
	readResults(t, out, &rec)
	h := rec.Horses[0]
	if got := fmt.Sprint(h.Past); got != "[{2026-11-02 1.25} {2026-11-23 2}]" {
		t.Errorf("the record has the past weeks %s", got)
	}
	said := false
	for _, f := range rec.Findings {
		said = said || f.Rule == "past-week" && strings.Contains(f.Message, "16 Nov 2026")
	}
	if !said {
		t.Errorf("nothing is said of the damaged record: %v", rec.Findings)
	}
	if _, err := os.Stat(filepath.Join(dir, "2026-11-02 Cold Brook", report.SeasonName)); err == nil {
		t.Error("the first week has a season, and there is no record yet")
	}
	season := strings.Join(strings.Fields(pdfText(t, filepath.Join(out, report.SeasonName))), "")
	for _, want := range []string{"Gannet", "2Nov2026", "Work,minutesaweek"} {
		if !strings.Contains(season, want) {
			t.Errorf("the season lacks %s: %s", want, season)
		}
	}
	figure := func(v float64) string { return strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.2f", v), "0"), ".") }
	chart := pdfText(t, filepath.Join(out, "office.pdf"))
	chart = chart[strings.Index(chart, "Hard feed on a work day, kg as fed"):]
	chart, _, _ = strings.Cut(chart, "White = the cards")
	for _, want := range append(h.Step.Path, h.Past[0].CardKg, h.Past[1].CardKg, h.Hard.Now, h.Hard.Now+h.Step.Warn, h.Hard.Now+h.Step.Stop) {
		if !regexp.MustCompile(`(^|[^\d.])` + regexp.QuoteMeta(figure(want)) + `([^\d.]|$)`).MatchString(chart) {
			t.Errorf("%s is not in the chart\n%s", figure(want), chart)
		}
	}
	// The places below the bars: four weeks, two of them without a bar.
	if !regexp.MustCompile(`2 +9 +16 +23 +now +week +week`).MatchString(chart) || !strings.Contains(chart, "Nov") {
		t.Errorf("the places are not as wanted\n%s", chart)
	}
}
