package ingest

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
	"time"

	"hardfeed/ration/yard"
)

// A workbook that counts its days from 1904, written by another program, is read as what
// it shows; with the mark for that lost or put where it does not belong, its week is four
// years off, and that is asked about.
func TestDaysCountedFrom1904(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("xlsx", "testdata", "epoch1904_openpyxl.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	flag := func(to string) []byte {
		return rezip(t, data, func(name string, b []byte) []byte {
			if name == "xl/workbook.xml" {
				if !bytes.Contains(b, []byte(`date1904="1"`)) {
					t.Fatal("it does not count from 1904")
				}
				return bytes.Replace(b, []byte(`date1904="1"`), []byte(to), 1)
			}
			return b
		})
	}
	for what, c := range map[string]struct {
		data    []byte
		week    string
		doubted int
	}{
		"as written":  {data, "2026-11-30", 0},
		"in words":    {flag(`date1904="true"`), "2026-11-30", 0},
		"mark lost":   {flag(``), "2022-11-29", 1},
		"mark denied": {flag(`date1904="0"`), "2022-11-29", 1},
	} {
		w, err := Read("week.xlsx", c.data, Options{})
		if err != nil {
			t.Fatalf("%s: %v", what, err)
		}
		if got := w.Beginning.Format(time.DateOnly); got != c.week || len(findings(w, "week-epoch")) != c.doubted {
			t.Errorf("%s: the week is %s, want %s (%v)", what, got, c.week, findings(w, "week-epoch"))
		}
		h := horse(t, w, "Thistle")
		if h.WeightKg != yard.Known(512) || len(h.Work) != 7 || len(h.Work[1].Sessions) != 1 || len(h.Work[5].Sessions) != 1 || !h.Work[6].Rest() {
			t.Errorf("%s: %+v", what, h.Work)
		}
	}
}

func TestWeeksFarFromTheDaySaved(t *testing.T) {
	day := func(s string) time.Time {
		d, err := time.Parse(time.DateOnly, s)
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	for _, c := range []struct {
		week, saved time.Time
		doubtful    bool
	}{
		{day("2026-11-30"), day("2026-11-27"), false},
		{day("2026-11-30"), day("2027-03-01"), false}, // opened again
		{day("2030-12-01"), day("2026-11-27"), true},
		{day("2022-11-29"), day("2026-11-27"), true},
		{day("2024-11-25"), day("2026-11-27"), false}, // an old one, saved again
		{time.Time{}, day("2026-11-27"), false},
		{day("2030-12-01"), time.Time{}, false},
	} {
		if got := epochDoubtful(c.week, c.saved); got != c.doubtful {
			t.Errorf("week of %s, saved %s: %v", c.week.Format(time.DateOnly), c.saved.Format(time.DateOnly), got)
		}
	}
}
