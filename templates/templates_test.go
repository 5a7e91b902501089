package templates

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
)

func open(t *testing.T, data []byte, err error) *excelize.File {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

func TestTheSameBytesEveryTime(t *testing.T) {
	for name, make := range map[string]func() ([]byte, error){"starter": Starter, "demo": Demo} {
		first, err := make()
		if err != nil {
			t.Fatal(err)
		}
		for range 5 {
			again, err := make()
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(first, again) {
				t.Errorf("%s: two workbooks made of the same tables differ", name)
			}
		}
	}
}

func TestEveryHeadingOfTheTablesIsDescribed(t *testing.T) {
	cols, err := columns()
	if err != nil {
		t.Fatal(err)
	}
	seen := map[[2]string]bool{}
	for _, folder := range []string{"starter", "demo"} {
		for _, sheet := range sheetOrder {
			rows, err := table(folder + "/" + sheet + ".csv")
			if err != nil {
				t.Fatal(err)
			}
			for _, h := range rows[0] {
				if _, ok := cols[[2]string{sheet, h}]; !ok {
					t.Errorf("%s, sheet %s: heading %q is not in columns.csv", folder, sheet, h)
				}
				seen[[2]string{sheet, h}] = true
			}
		}
	}
	if len(seen) != len(cols) {
		t.Errorf("%d headings, columns.csv describes %d", len(seen), len(cols))
	}
}

// The demo has to hang together: a slip in a name would show as a finding on
// the very first page anyone sees of the program.
func TestDemoNamesAgree(t *testing.T) {
	for _, folder := range []string{"starter", "demo"} {
		first := func(sheet string) map[string]bool {
			rows, err := table(folder + "/" + sheet + ".csv")
			if err != nil {
				t.Fatal(err)
			}
			names := map[string]bool{}
			for _, r := range rows[1:] {
				if sheet != "rations" && names[r[0]] {
					t.Errorf("%s: %q stands twice on sheet %s", folder, r[0], sheet)
				}
				names[r[0]] = true
			}
			return names
		}
		horses, feeds, work, fed := first("horses"), first("feeds"), first("work"), first("rations")
		for h := range horses {
			if !work[h] || !fed[h] {
				t.Errorf("%s: %s has no row on the work sheet or none on the rations sheet", folder, h)
			}
		}
		if len(work) != len(horses) || len(fed) != len(horses) {
			t.Errorf("%s: %d horses, %d with work, %d with rations", folder, len(horses), len(work), len(fed))
		}
		rations, err := table(folder + "/rations.csv")
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range rations[1:] {
			if !feeds[r[1]] {
				t.Errorf("%s: %s is fed %q, which is not on the feeds sheet", folder, r[0], r[1])
			}
		}
	}
}

func TestCellsAreTyped(t *testing.T) {
	data, err := Demo()
	f := open(t, data, err)
	raw := excelize.Options{RawCellValue: true}
	for _, c := range []struct{ sheet, cell, raw, shown string }{
		{"horses", "A2", "Juniper", "Juniper"},
		{"horses", "B2", "540", "540"},
		{"horses", "D2", "46349", "23 Nov 2026"}, // serial of 23 November 2026: 46023 is 1 January 2026, and 326 days
		{"yard", "B3", "46356", "30 Nov 2026"},
		{"yard", "B9", "Hattie Marsh, 01632 960101", "Hattie Marsh, 01632 960101"},
	} {
		got, err := f.GetCellValue(c.sheet, c.cell, raw)
		if err != nil || got != c.raw {
			t.Errorf("%s %s holds %q, %v; want %q", c.sheet, c.cell, got, err, c.raw)
		}
		if got, err = f.GetCellValue(c.sheet, c.cell); err != nil || got != c.shown {
			t.Errorf("%s %s shows %q, %v; want %q", c.sheet, c.cell, got, err, c.shown)
		}
	}
	if ty, err := f.GetCellType("horses", "B2"); err != nil || ty != excelize.CellTypeUnset {
		t.Errorf("a weight is of type %v, %v; want a number", ty, err)
	}
}

func TestStarterHelps(t *testing.T) {
	data, err := Starter()
	f := open(t, data, err)
	notes, err := f.GetComments("horses")
	if err != nil {
		t.Fatal(err)
	}
	if len(notes) != 21 {
		t.Errorf("%d notes on the horses sheet, want one on each of the 21 headings", len(notes))
	}
	for sheet, from := range map[string][]string{"work": {"horses!$A$2:$A$"}, "rations": {"horses!$A$2:$A$", "feeds!$A$2:$A$"}} {
		lists, err := f.GetDataValidations(sheet)
		if err != nil {
			t.Fatal(err)
		}
		for _, names := range from {
			if !slices.ContainsFunc(lists, func(l *excelize.DataValidation) bool { return strings.HasPrefix(l.Formula1, names) }) {
				t.Errorf("no drop-down list on the %s sheet offers the names of %s", sheet, names)
			}
		}
	}
	dated, err := StarterOf(time.Date(2027, 3, 1, 0, 0, 0, 0, time.UTC))
	g := open(t, dated, err)
	for cell, want := range map[[2]string]string{{"yard", "B3"}: "1 Mar 2027", {"horses", "D2"}: "22 Feb 2027"} {
		if got, err := g.GetCellValue(cell[0], cell[1]); err != nil || got != want {
			t.Errorf("%v shows %q, %v; want %q", cell, got, err, want)
		}
	}
	lists, err := f.GetDataValidations("horses")
	if err != nil {
		t.Fatal(err)
	}
	offered := ""
	for _, l := range lists {
		offered += l.Formula1 + "\n"
	}
	for _, word := range []string{"scale", "draught", "part-fit", "good doer"} {
		if !strings.Contains(offered, word) {
			t.Errorf("no drop-down list on the horses sheet offers %q", word)
		}
	}
	panes, err := f.GetPanes("work")
	if err != nil || !panes.Freeze {
		t.Errorf("headings of the work sheet do not stay in sight: %+v, %v", panes, err)
	}
}

func TestApostropheKeepsText(t *testing.T) {
	data, err := Workbook([]Sheet{{"horses", [][]string{{"Name", "Weight (kg)"}, {"'12", "'520"}}}})
	f := open(t, data, err)
	for cell, want := range map[string]string{"A2": "12", "B2": "520"} {
		if got, _ := f.GetCellValue("horses", cell); got != want {
			t.Errorf("%s is %q, want %q", cell, got, want)
		}
		if ty, _ := f.GetCellType("horses", cell); ty != excelize.CellTypeSharedString {
			t.Errorf("%s is of type %v, want text", cell, ty)
		}
	}
}
