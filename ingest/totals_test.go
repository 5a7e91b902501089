package ingest

import (
	"strings"
	"testing"
)

// A total on the tab of a week long over adds up what was fed then, not what is fed now.
func TestTotalsOfOldTabsAreNotHeldAgainstThisWeek(t *testing.T) {
	tab1 := func(date, a, b, sumA, sumB string) tab {
		return tab{"Wk " + strings.TrimSuffix(date, " 2027"), "YARD SHEET week commencing " + date + "\n" +
			"Horse | Weight kg | Mon | Tue | Wed | Thu | Fri | Sat | Sun | Nuts kg a day | Mix kg a day | Total kg\n" +
			"Juniper | 540 | hack 60 | hack 60 | off | hack 60 | off | hack 60 | off | " + a + " | 0.5 | " + sumA + "\n" +
			"Marlow | 560 | hack 60 | hack 60 | off | hack 60 | off | hack 60 | off | " + b + " | 0.5 | " + sumB + "\n" +
			"Teal | 500 | hack 60 | off | hack 60 | hack 60 | off | hack 60 | off | 1 | 0.5 | 1.5"}
	}
	week, err := Read("tabs.xlsx", workbook(t, tab1("4 Jan 2027", "0.5", "1", "1", "1.5"), tab1("11 Jan 2027", "1", "1", "1.5", "1.5"), tab1("18 Jan 2027", "1.5", "1", "2", "1.5")), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(week.Horses) != 3 || week.Beginning.Format("2006-01-02") != "2027-01-18" {
		t.Fatalf("read as %d horses, week %v", len(week.Horses), week.Beginning)
	}
	for _, f := range week.Findings {
		if f.Rule == "amount-sum" {
			t.Errorf("%s: %s", f.Cell, f.Rule)
		}
	}
	wrong, err := Read("tabs.xlsx", workbook(t, tab1("11 Jan 2027", "1", "1", "1.5", "1.5"), tab1("18 Jan 2027", "1.5", "1", "9", "1.5")), Options{})
	if err != nil {
		t.Fatal(err)
	}
	found := false
	for _, f := range wrong.Findings {
		found = found || f.Rule == "amount-sum"
	}
	if !found {
		t.Error("a total of this week that is no sum is not asked about")
	}
}
