package main

import (
	"math"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// printed is a figure as the sheets have it: so many decimals, no noughts behind.
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

// What stands in the demo's results.json stands on the office sheet and on the
// scoop sheet, number by number. The text is read back by poppler's pdftotext.
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
	text, err := exec.Command("pdftotext", "-layout", filepath.Join(dir, "office.pdf"), "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	squeeze := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	// A horse's pages go from the one headed by its name to the next horse's.
	of, at := map[string]string{}, ""
	for _, page := range strings.Split(string(text), "\f") {
		head, _, _ := strings.Cut(strings.TrimSpace(page), "\n")
		for _, h := range results.Horses {
			if name := squeeze(head); name == h.Name || name == h.Name+" HELD" {
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
		if v != nil && *v >= 1000 {
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
		has(h.Name, page, lit("Rise against now "+with(s.RiseKg)+"; warn and stop marks for a week "+with(s.WarnKg)+" and "+with(s.StopKg)+"; for a day "+with(s.DayWarnKg)+" and "+with(s.DayStopKg)+"."))
		feed := ""
		for _, d := range h.Days {
			has(h.Name, page, lit(orUnknown(d.NeedMcal, 1)+" / "+orUnknown(d.SupplyMcal, 1)))
			feed += lit(with(d.HardFeedKg)) + " "
		}
		has(h.Name, page+" ", feed)
		for _, n := range h.Nutrients {
			supply := lit(brief(n.Supply))
			if n.Supply == nil && n.AtLeast != nil && *n.AtLeast > 0 {
				supply = "at least " + lit(brief(n.AtLeast))
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
	scoops := pdfText(t, filepath.Join(dir, "scoops.pdf"), "-raw")
	for _, f := range results.Feeds {
		if f.MeasureKg == nil {
			continue
		}
		kg := *f.MeasureKg
		head := f.Feed + " 1 level scoop = " + printed(kg, 3) + " kg = " + printed(kg/0.45359237, 2) + " lb"
		from := strings.Index(scoops, head)
		if from < 0 {
			continue // a feed nobody dishes out by the scoop
		}
		part := scoops[from:]
		if next := strings.Index(part[len(head):], "1 level scoop ="); next > 0 {
			part = part[:len(head)+next]
		}
		fractions := []string{"", "¼", "½", "¾"}
		for quarters := 1; quarters <= 16; quarters++ {
			w, whole := kg*float64(quarters)/4, ""
			if quarters >= 4 {
				whole = strconv.Itoa(quarters / 4)
			}
			has(f.Feed, part, lit(whole+fractions[quarters%4]+" "+printed(w, 3)+" kg "+printed(w/0.45359237, 2)+" lb"))
		}
		for quarters := 1; quarters <= 12; quarters++ {
			w := float64(quarters) / 4
			n := printed(w/kg, 2)
			if q := w / kg * 4; math.Abs(q-math.Round(q)) < 1e-9 { // whole quarters are written as such
				n = strings.TrimPrefix(strconv.Itoa(int(q+0.5)/4), "0") + fractions[int(q+0.5)%4]
			}
			has(f.Feed, part, lit(printed(w, 2)+" kg "+n))
		}
	}
	t.Logf("%d figures compared", numbers)
	if numbers < 700 {
		t.Errorf("only %d figures were compared", numbers)
	}
}
