package main

import (
	"bytes"
	"cmp"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"hardfeed/report/pdftest"
	"hardfeed/templates"
)

// printed is a figure as the sheets have it: so many decimals, no zeros behind.
func printed(v float64, decimals int) string {
	p := math.Pow10(decimals)
	s := strconv.FormatFloat(math.Round(v*p+math.Copysign(1e-7, v))/p, 'f', decimals, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

func orUnknown(v *float64, decimals int) string {
	if v == nil {
		return "unknown"
	}
	return printed(*v, decimals)
}

// What is in the demo's results.json is on the office sheet and on the
// scoop sheet, number by number.
func TestTheDemosResultsStandOnTheOfficeAndScoopSheets(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "demo")
	if code := run(t.Context(), []string{"demo", "-o", dir}, nil, &strings.Builder{}, &strings.Builder{}); code != exitDone {
		t.Fatalf("exit code %d", code)
	}
	var results struct {
		Horses []struct {
			Name   string
			DEMcal struct {
				Maintenance, Work, Change, Cold, Need, Supply *float64
				ClassNeed                                     *float64 `json:"class_need"`
			} `json:"de_mcal"`
			Step struct {
				RiseKg    *float64 `json:"rise_kg"`
				WarnKg    *float64 `json:"warn_kg"`
				StopKg    *float64 `json:"stop_kg"`
				DayWarnKg *float64 `json:"day_warn_kg"`
				DayStopKg *float64 `json:"day_stop_kg"`
			}
			Days []struct {
				HardFeedKg *float64 `json:"hard_feed_kg"`
				NeedMcal   *float64 `json:"need_mcal"`
				SupplyMcal *float64 `json:"supply_mcal"`
			}
			Nutrients []struct {
				Nutrient, Unit string
				Need, Supply   *float64
				AtLeast        *float64 `json:"supply_at_least"`
				Low            *float64 `json:"supply_low"`
				High           *float64 `json:"supply_high"`
			}
		}
		Feeds []struct {
			Feed      string
			KgWeek    float64  `json:"kg_week"`
			UnitsWeek *float64 `json:"units_week"`
			Cost      *float64
			StockDays *float64 `json:"stock_days"`
			MeasureKg *float64 `json:"measure_kg"`
		}
	}
	readResults(t, dir, &results)
	text := pdftest.Layout(t, []byte(textOf(t, filepath.Join(dir, "office.pdf"))))
	squeeze := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	// A horse's pages go from the one headed by its name to the next horse's.
	of, at := map[string]string{}, ""
	for _, page := range strings.Split(text, "\f") {
		head, _, _ := strings.Cut(strings.TrimSpace(page), "\n")
		for _, h := range results.Horses {
			if name := squeeze(head); name == h.Name || name == h.Name+" LESS THAN PLANNED" || name == h.Name+" ASK FIRST" {
				at = h.Name
			}
		}
		if strings.Contains(page, "Order list") {
			at = "order"
		}
		of[at] += " " + squeeze(page)
	}
	numbers := 0
	has := func(who, where, pattern string) {
		t.Helper()
		numbers++
		if !regexp.MustCompile(pattern).MatchString(where) {
			t.Errorf("%s: %s is not printed", who, pattern)
		}
	}
	lit := regexp.QuoteMeta
	brief := func(v *float64) string {
		if v != nil && *v >= 100 {
			return orUnknown(v, 0)
		}
		return orUnknown(v, 1)
	}
	for _, h := range results.Horses {
		page, e := of[h.Name], h.DEMcal
		if page == "" {
			t.Errorf("%s has no page", h.Name)
			continue
		}
		row := ""
		for _, v := range []*float64{e.Maintenance, e.Work, e.Change, e.Cold, e.Need, e.Supply, e.ClassNeed} {
			row += lit(orUnknown(v, 1)) + ` (at least [\d.]+ )?`
		}
		if e.Supply != nil { // an unknown one prints as "at least"
			has(h.Name, page+" ", strings.TrimSuffix(row, `(at least [\d.]+ )?`))
		}
		with := func(v *float64) string {
			if v == nil {
				return "unknown"
			}
			return printed(*v, 2) + " kg"
		}
		s := h.Step
		rise := "Rise " + with(s.RiseKg) + ". In a week the usual limit is "
		if s.RiseKg != nil && *s.RiseKg < 0 {
			fall := -*s.RiseKg
			rise = "Down " + with(&fall) + ". For a rise the usual limit in a week is "
		}
		has(h.Name, page, lit(rise+with(s.WarnKg)+" and the top limit "+with(s.StopKg)+". In a day they are "+with(s.DayWarnKg)+" and "+with(s.DayStopKg)+"."))
		feed := ""
		for _, d := range h.Days {
			has(h.Name, page, lit(orUnknown(d.NeedMcal, 1)+" / "+orUnknown(d.SupplyMcal, 1)))
			feed += lit(with(d.HardFeedKg)) + " "
		}
		has(h.Name, page+" ", feed)
		for _, n := range h.Nutrients {
			supply := lit(brief(n.Supply))
			if n.Low != nil && n.High != nil && brief(n.Low) != brief(n.High) {
				supply = lit(brief(n.Low) + "–" + brief(n.High))
			} else if least := cmp.Or(n.Low, n.AtLeast); n.Supply == nil && least != nil && brief(least) != "0" {
				supply = "at least " + lit(brief(least))
			}
			has(h.Name, page, lit(n.Nutrient+", "+n.Unit+" "+brief(n.Need)+" ")+supply)
		}
	}
	for _, f := range results.Feeds {
		line := lit(f.Feed) + ` (about )?` + lit(printed(f.KgWeek, 1)) + ` kg (\* )?`
		if f.UnitsWeek != nil {
			line += lit(printed(*f.UnitsWeek, 1)) + ` \S+ `
		}
		if f.Cost != nil {
			line += lit(printed(*f.Cost, 2)) + " "
		}
		if f.StockDays != nil {
			line += lit(printed(*f.StockDays, 0)) + " days"
		}
		has("the order list", of["order"], line)
	}
	// The scoop sheet, in reading order: each feed's own part.
	scoops := pdfAsDrawn(t, filepath.Join(dir, "scoops.pdf"))
	for _, f := range results.Feeds {
		if f.MeasureKg == nil {
			continue
		}
		kg := *f.MeasureKg
		from := strings.Index(scoops, f.Feed+" scoop")
		if from < 0 {
			continue // a feed nobody dishes out by the scoop
		}
		row := ""
		for _, n := range []float64{0.25, 0.5, 0.75, 1, 1.5, 2} {
			if g := math.Round(kg * n * 1000); g < 1000 {
				row += printed(g, 0) + " g "
			} else {
				row += printed(kg*n, 2) + " kg "
			}
			numbers++
		}
		has(f.Feed, scoops[from:], `^`+lit(f.Feed)+` scoop (scoop 2 l )?(Weighed on [\w ]+ 2026|UNWEIGHED [^.]*\.[^.]*\.) `+lit(strings.TrimSpace(row)))
	}
	t.Logf("%d figures compared", numbers)
	if numbers < 600 {
		t.Errorf("only %d figures were compared", numbers)
	}
}

// Cells that could each be read and do not go together are in the corrected copy
// too: a weight that is not the height's, a scoop no feed can fill, a row copied
// twice, a feed that was renamed on one sheet only.
func TestCellsThatContradictEachOtherAreMarked(t *testing.T) {
	sheets := func(kg, scoop, feed string, rows ...[]string) []templates.Sheet {
		return []templates.Sheet{
			{Name: "horses", Rows: [][]string{{"Name", "Weight (kg)", "How weighed", "Height (hh)", "Rider + tack (kg)"}, {"Gannet", kg, "scale", "16", "75"}}},
			{Name: "work", Rows: [][]string{{"Horse", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"}, {"Gannet", "rest", "W30", "W30", "rest", "W30", "W30", "W30"}}},
			{Name: "rations", Rows: append([][]string{{"Horse", "Feed", "Now", "Planned"}, {"Gannet", "Hay", "9 kg", "9 kg"}, {"Gannet", "Cubes", "½ scoop", "½ scoop"}}, rows...)},
			{Name: "feeds", Rows: [][]string{{"Feed", "Kind", "What it is", "One measure (kg)", "DM %", "DE (MJ/kg)", "Starch %", "Basis"}, {"Hay", "forage", "grass hay, mature"}, {feed, "hard feed", "", scoop, "87", "9.6", "14", "as fed"}}},
			{Name: "yard", Rows: [][]string{{"Setting", "Value"}, {"Yard", "Test"}, {"Week beginning", "2026-11-30"}, {"Meals", "Breakfast 07:00, Tea 17:00"}, {"Measures", "scoop 2 l"}}},
		}
	}
	for _, c := range []struct {
		what   string
		sheets []templates.Sheet
		marked bool
	}{
		{"nothing wrong", sheets("520", "1.3", "Cubes"), false},
		{"pounds for kilograms", sheets("1145", "1.3", "Cubes"), true},
		{"a slip of the point", sheets("520", "13", "Cubes"), true},
		{"a row copied twice", sheets("520", "1.3", "Cubes", []string{"Gannet", "Cubes", "½ scoop", "½ scoop"}), true},
		{"a feed renamed", sheets("520", "1.3", "Pony nuts"), true},
	} {
		data, err := templates.Workbook(c.sheets)
		if err != nil {
			t.Fatal(err)
		}
		dir := t.TempDir()
		book, folder := filepath.Join(dir, "week.xlsx"), filepath.Join(dir, "week")
		if err := os.WriteFile(book, data, 0o600); err != nil {
			t.Fatal(err)
		}
		var words bytes.Buffer
		if code := run(t.Context(), []string{"run", book, "-o", folder}, nil, &words, &words); code == exitNothing {
			t.Fatalf("%s: %s", c.what, words.String())
		}
		if _, err := os.Stat(filepath.Join(folder, correctionsName)); (err == nil) != c.marked {
			t.Errorf("%s: a corrected copy: %v, want %v\n%s", c.what, err == nil, c.marked, words.String())
		}
	}
}
