package phrase

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/quantity"
)

// dayIn reads the days of a language as a yard's book does.
func dayIn(w *Words, language string) func(string) (int, bool) {
	return func(word string) (int, bool) {
		toks := lexicon.Scan(word)
		d, n := quantity.ReadWeekday(w.t, toks, 0)
		return d, n > 0 && n == len(toks) && DayWord(word, language)
	}
}

// weekSaid writes what a cell says of its days, Monday first: "hack 60|·|hack 60|…".
func weekSaid(parts []DayPart, said DaysSaid) string {
	switch said {
	case NoDays:
		return "no days"
	case WhichDays:
		return "which days?"
	case Unclear:
		return "unclear"
	}
	var day [7]string
	for i := range day {
		day[i] = "·"
	}
	for _, p := range parts {
		for _, d := range p.Days {
			if day[d] != "·" {
				day[d] += " and "
			} else {
				day[d] = ""
			}
			day[d] += p.Text
		}
	}
	return strings.Join(day[:], "|")
}

// What managers write in one cell for a whole week.
func TestTheDaysOfAWholeWeek(t *testing.T) {
	for _, c := range []struct{ language, text, want string }{
		{"en", "hack 60 Mon, Wed; school 40 Sat", "hack 60|·|hack 60|·|·|school 40|·"},
		{"en", "Mon Wed Fri hack 60", "hack 60|·|hack 60|·|hack 60|·|·"},
		{"en", "daily 45 min flat except Sunday", "45 min flat|45 min flat|45 min flat|45 min flat|45 min flat|45 min flat|·"},
		{"en", "daily hack (1h) apart from Fridays", "hack (1h)|hack (1h)|hack (1h)|hack (1h)|·|hack (1h)|hack (1h)"},
		{"en", "hack 45 every day bar Mon", "·|hack 45|hack 45|hack 45|hack 45|hack 45|hack 45"},
		{"en", "every day 1hr hack, Sun off", "1hr hack|1hr hack|1hr hack|1hr hack|1hr hack|1hr hack|off"},
		{"en", "flat 45 Mon-Sat, Sun off", "flat 45|flat 45|flat 45|flat 45|flat 45|flat 45|off"},
		{"en", "Mon-Wed, Fri hack 60", "hack 60|hack 60|hack 60|·|hack 60|·|·"},
		{"en", "Fri-Mon hack 60", "hack 60|·|·|·|hack 60|hack 60|hack 60"},
		{"en", "Mon, Wed, Fri: lunge 30; rest off", "lunge 30|off|lunge 30|off|lunge 30|off|off"},
		{"en", "lunge 30 Tue, otherwise walk 20", "walk 20|lunge 30|walk 20|walk 20|walk 20|walk 20|walk 20"},
		{"en", "weekends only: hack 2h", "·|·|·|·|·|hack 2h|hack 2h"},
		{"en", "weekdays walker 30", "walker 30|walker 30|walker 30|walker 30|walker 30|·|·"},
		{"en", "School M/W/F 40, hack T/Th 60", "School 40|hack 60|School 40|hack 60|School 40|·|·"},
		{"en", "lessons Sat & Sun 2 x 30", "·|·|·|·|·|lessons 2 x 30|lessons 2 x 30"},
		{"en", "W/T 20", "no days"}, // walk and trot
		{"en", "W/T/C 30", "no days"},
		{"en", "hack 45", "no days"},
		{"en", "2 x 30 daily", "2 x 30|2 x 30|2 x 30|2 x 30|2 x 30|2 x 30|2 x 30"},
		{"en", "hack 45 twice a day", "no days"},
		{"en", "5 x hack 1 hr", "which days?"},
		{"en", "ridden 5x 1hr", "which days?"},
		{"en", "lesson x3", "which days?"},
		{"en", "45 mins schooling 5 days a week", "which days?"},
		{"en", "hack 45 twice a week", "which days?"},
		{"en", "4 days hacking (1h) 1 day jumping 40 mins", "which days?"},
		{"en", "hack 60 alternate days", "which days?"},
		{"en", "daily hack 45, Wed jump 40", "unclear"}, // on Wednesday both, or one?
		{"en", "hack 60 Mon and then some more", "unclear"},
		{"de", "tgl. 45 Min Dressur außer So", "45 Min Dressur|45 Min Dressur|45 Min Dressur|45 Min Dressur|45 Min Dressur|45 Min Dressur|·"},
		{"de", "Mo + Do Springen 40, sonst frei", "Springen 40|frei|frei|Springen 40|frei|frei|frei"},
		{"de", "am Wochenende Ausritt 2 Std", "·|·|·|·|·|Ausritt 2 Std|Ausritt 2 Std"},
		{"de", "Mo. - Fr. Dressur 45", "Dressur 45|Dressur 45|Dressur 45|Dressur 45|Dressur 45|·|·"},
		{"de", "Ausritt 60 mit Anna", "no days"}, // "Mit" is Wednesday, "mit" is not
		{"de", "5x die Woche 45 Min", "which days?"},
		{"fr", "tous les jours 45 min sauf dimanche", "45 min|45 min|45 min|45 min|45 min|45 min|·"},
		{"fr", "lun-ven dressage 45, sam balade 1h, dim repos", "dressage 45|dressage 45|dressage 45|dressage 45|dressage 45|balade 1h|repos"},
		{"fr", "un jour sur deux balade 1h", "which days?"},
		{"es", "lun a vie doma 45, sáb paseo 1h, dom descanso", "doma 45|doma 45|doma 45|doma 45|doma 45|paseo 1h|descanso"},
		{"es", "todos los días 45 min doma menos domingo", "45 min doma|45 min doma|45 min doma|45 min doma|45 min doma|45 min doma|·"},
		{"es", "3 veces por semana 45 min", "which days?"},
	} {
		w := Load(c.language)
		parts, _, said := w.DaysOfWeek(c.text, dayIn(w, c.language))
		if got := weekSaid(parts, said); got != c.want {
			t.Errorf("%s %q:\n is %s\nnot %s", c.language, c.text, got, c.want)
		}
	}
}

// Whatever days a manager takes out of a week, in whatever words, they are free and the
// others are worked.
func TestDaysTakenOutAreFree(t *testing.T) {
	w := Load("en")
	names := []string{"Mon", "Tuesday", "Weds", "Thu", "Fri", "Saturdays", "Sun"}
	rapid.Check(t, func(t *rapid.T) {
		out := map[int]bool{}
		var said []string
		for _, d := range rapid.SliceOfNDistinct(rapid.IntRange(0, 6), 1, 3, rapid.ID[int]).Draw(t, "out") {
			out[d], said = true, append(said, names[d])
		}
		list := strings.Join(said, rapid.SampledFrom([]string{", ", " & ", " and ", "/"}).Draw(t, "joined"))
		but := rapid.SampledFrom([]string{"except", "bar", "but not", "apart from", "excluding"}).Draw(t, "but")
		all := rapid.SampledFrom([]string{"daily", "every day", "each day"}).Draw(t, "all")
		text := rapid.SampledFrom([]string{"%[1]s hack 45 %[2]s %[3]s", "hack 45 %[1]s %[2]s %[3]s", "%[1]s %[2]s %[3]s hack 45", "hack 45 %[1]s, %[2]s %[3]s", "hack 45 %[2]s %[3]s"}).Draw(t, "order")
		text = strings.TrimSpace(strings.Split(fmt.Sprintf(text, all, but, list), "%!")[0])
		parts, _, verdict := w.DaysOfWeek(text, dayIn(w, "en"))
		var want [7]string
		for d := range want {
			if want[d] = "hack 45"; out[d] {
				want[d] = "·"
			}
		}
		if got := weekSaid(parts, verdict); got != strings.Join(want[:], "|") {
			t.Fatalf("%q: %s", text, got)
		}
	})
}

func FuzzDaysOfWeek(f *testing.F) {
	for _, s := range []string{"", "Mon-Fri 45, Sat off", "daily except Sun", "M/W/F", "rest off", "Mon,", "except", "Mo-", "5x", ", , Tue", "hack\nMon\nTue 40"} {
		f.Add(s)
	}
	w := Load("en", "de")
	f.Fuzz(func(t *testing.T, text string) {
		parts, _, said := w.DaysOfWeek(text, dayIn(w, "en"))
		if (said == Parted) != (len(parts) > 0) {
			t.Fatalf("%q: %v and %d parts", text, said, len(parts))
		}
		for _, p := range parts {
			if len(p.Days) == 0 || strings.TrimSpace(p.Text) == "" {
				t.Fatalf("%q: a part %+v", text, p)
			}
		}
	})
}
