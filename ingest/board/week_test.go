package board

import (
	"slices"
	"strings"
	"testing"
	"time"
)

// A week without a year is that whose first day the table's days begin on, near the day
// the book was saved: 11 October is a Sunday in 2026 and a Monday in 2027, 13 October a
// Wednesday in 2027 (from a calendar). Where no order of days settles it, it is asked.
func TestTheDaysSettleAYearLeftOut(t *testing.T) {
	saved := time.Date(2026, 10, 5, 9, 0, 0, 0, time.UTC)
	for _, c := range []struct{ name, title, days, want string }{
		{"Sunday first", "Week of October 11", "Sun | Mon | Tue | Wed | Thu | Fri | Sat", "2026-10-11"},
		{"letters, Sunday first", "Week of October 11", "S | M | T | W | T | F | S", "2026-10-11"},
		{"Monday first", "Week of October 11", "Mon | Tue | Wed | Thu | Fri | Sat | Sun", "2027-10-11"},
		{"Wednesday first", "Week of October 13", "Wed | Thu | Fri | Sat | Sun | Mon | Tue", "2027-10-13"},
		{"the weekend before shown too", "Week of October 12", "Sat | Sun | Mon | Tue | Wed | Thu | Fri | Sat | Sun", "2026-10-12"},
		{"nothing settles it", "Week of October 11", "Work", "2027-10-11 asked"},
		{"the nearest year begins on a Monday", "Week of October 12", "Work", "2026-10-12"},
	} {
		n := strings.Count(c.days, "|") + 1
		row := func(first, last string) string {
			return first + strings.Repeat(" | hack 60", n) + last
		}
		page := c.title + "\n\nHorse | Weight | " + c.days + " | Nuts now (kg) | Nuts new (kg)\n" +
			row("Poppet | 500", " | 2 | 2") + "\n" + row("Rowan | 520", " | 2 | 2") + "\n" + row("Teal | 540", " | 2 | 2")
		w, err := Read([]Sheet{sheetOf("Week", page)}, saved)
		if err != nil {
			t.Fatal(err)
		}
		got := w.Beginning.Format(time.DateOnly)
		if ruleAt(w, "week-year") {
			got += " asked"
		}
		if got != c.want {
			t.Errorf("%s: read %s, meant %s", c.name, got, c.want)
		}
	}
}

// Each day of a week that begins on a Sunday keeps what is under it.
func TestDaysFromSundayKeepTheirWork(t *testing.T) {
	page := "Week of November 1\n\nHorse | Weight | Sun | Mon | Tue | Wed | Thu | Fri | Sat | Nuts now (kg)\nPoppet | 500 | off | hack 10 | hack 20 | hack 30 | hack 40 | hack 50 | hack 60 | 2\nRowan | 520 | hack 70 | off | off | off | off | off | off | 2"
	w, err := Read([]Sheet{sheetOf("Week", page)}, time.Date(2026, 10, 20, 9, 0, 0, 0, time.UTC))
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{"Poppet": "0 10 20 30 40 50 60", "Rowan": "70 0 0 0 0 0 0"} { // Beginning is the Sunday
		if got := factsOf(w, name); !strings.Contains(got, want) || w.Beginning.Weekday() != time.Sunday {
			t.Errorf("%s: read %s from %s, meant %s from the Sunday", name, got, w.Beginning.Format(time.DateOnly), want)
		}
	}
}

// Of two weighings headed by dates without a year the later counts, in the order of day
// and month in which they lie days apart.
func TestOfTwoHeadedWeighingsTheLaterCounts(t *testing.T) {
	for heads, want := range map[string]string{
		"Weight 1/3 | Weight 8/3":     "510 kg",
		"Weight 8/3 | Weight 1/3":     "500 kg",
		"Weight 10/18 | Weight 10/25": "510 kg",
		"Weight 3/8 | Weight 3/1":     "500 kg",
		"Weight 28/12 | Weight 4/1":   "510 kg",
	} {
		w, err := Read([]Sheet{sheetOf("Week", "Horse | "+heads+" | Mon | Tue | Wed | Thu | Fri | Sat | Sun\nPoppet | 500 | 510 | off | off | hack 60 | off | off | off | off\nRowan | 520 | 530 | off | off | hack 60 | off | off | off | off")}, time.Time{})
		if err != nil {
			t.Fatal(err)
		}
		if got := factsOf(w, "Poppet"); !strings.HasPrefix(got, want) {
			t.Errorf("%s: read %s, meant %s", heads, got, want)
		}
	}
}

// The day of a weighing is the same in every way of writing it and in every language,
// whatever week is over the table; the week is never taken from it, though "wb" also
// heads weeks. A day that has not come yet is asked about and not used; the weight counts.
func TestTheDayOfAWeighing(t *testing.T) {
	heads := map[string]string{
		"en": "Week beginning 18 January 2027\n\nHorse | Weight | Mon | Tue | Wed | Thu | Fri | Sat | Sun | Nuts now (kg)",
		"de": "Woche vom 18. Januar 2027\n\nPferd | Gewicht | Mo | Di | Mi | Do | Fr | Sa | So | Hafer jetzt (kg)",
		"fr": "Semaine du 18 janvier 2027\n\nCheval | Poids | Lun | Mar | Mer | Jeu | Ven | Sam | Dim | Avoine actuelle (kg)",
		"es": "Semana del 18 de enero de 2027\n\nCaballo | Peso | Lun | Mar | Mié | Jue | Vie | Sáb | Dom | Avena actual (kg)",
	}
	scales := map[string]string{"en": "wb ", "de": "Waage ", "fr": "bascule ", "es": "báscula "}
	for lang, head := range heads {
		for _, c := range []struct{ on, want string }{
			{"11.1.27", "2027-01-11"}, {"11/1/27", "2027-01-11"}, {"11-1-27", "2027-01-11"}, {"11.01.27", "2027-01-11"},
			{"11.1.2027", "2027-01-11"}, {"11.1.", "2027-01-11"}, {"28/12/26", "2026-12-28"}, {"28.12.", "2026-12-28"},
			{"1/11/27", "2027-01-11"}, // the month first: the 1st of November has not come
			{"11.12.28", "0001-01-01 asked"}, {"25-12-27", "0001-01-01 asked"},
		} {
			page := head + "\nPoppet | 500 " + scales[lang] + c.on + " | 60 | 0 | 60 | 0 | 0 | 0 | 0 | 2\nRowan | 520 | 60 | 0 | 60 | 0 | 0 | 0 | 0 | 2\nTeal | 510 | 60 | 0 | 60 | 0 | 0 | 0 | 0 | 2"
			w, err := Read([]Sheet{sheetOf("Plan", page)}, time.Time{})
			if err != nil || len(w.Horses) != 3 {
				t.Fatal(lang, err, len(w.Horses))
			}
			got := w.Horses[0].Weighed.Format(time.DateOnly)
			if ruleAt(w, "weight-doubt") {
				got += " asked"
			}
			week := w.Beginning.Format(time.DateOnly)
			if kg := w.Horses[0].WeightKg.Or(-1); got != c.want || kg != 500 || week != "2027-01-18" {
				t.Errorf("%s, %s: read %g kg on %s in the week of %s, meant 500 kg on %s", lang, c.on, kg, got, week, c.want)
			}
		}
	}
}

// Two days with a dash between them are two days, however they are written.
func TestTwoDaysInOneTitle(t *testing.T) {
	v := newVocabulary()
	for text, want := range map[string][]date{
		"7/12-13/12":     {{a: 7, b: 12}, {a: 13, b: 12}},
		"7.12.-13.12.26": {{d: 7, m: 12, y: 2026}, {d: 13, m: 12, y: 2026}},
		"28/12-3/1":      {{a: 28, b: 12}, {a: 3, b: 1}},
		"11-1-27":        {{a: 11, b: 1, y: 2027}},
	} {
		_, got := v.takeDates(text)
		for i := range got {
			got[i].start = 0
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s: read %v, meant %v", text, got, want)
		}
	}
}
