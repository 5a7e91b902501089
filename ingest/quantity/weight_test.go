package quantity

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"hardfeed/ingest/lexicon"
)

var all = lexicon.Load("en", "de", "fr", "es")

func describeWeight(w Weight) string {
	var parts []string
	for _, x := range w.Weighings {
		s := fmt.Sprintf("%g", math.Round(x.Value*100)/100)
		if x.Unit != "" {
			s += " " + x.Unit
		}
		if x.Approx {
			s += " approx"
		}
		if x.Basis != "" {
			s += " " + string(x.Basis)
		}
		if x.Date.Day != 0 {
			s += fmt.Sprintf(" on %d/%d", x.Date.Day, x.Date.Month)
		}
		if x.Was {
			s += " was"
		}
		parts = append(parts, s)
	}
	out := strings.Join(parts, ", ")
	if w.Range != 0 {
		out += fmt.Sprintf(" to %g", w.Range)
	}
	if w.Question {
		out += " ?"
	}
	if w.Unknown {
		out += " unknown"
	}
	if len(w.Unread) > 0 {
		out += " unread"
	}
	return strings.TrimSpace(out)
}

func TestReadWeight(t *testing.T) {
	for _, c := range []struct{ text, unit, want string }{
		{"540", "", "540"}, {"540", "kg", "540 kg"}, {"540kg", "", "540 kg"}, {"540 KG", "", "540 kg"}, {"540 kilos", "", "540 kg"}, {"c. 480", "", "480 approx"}, {"c480", "kg", "480 kg approx"},
		{"c.480", "", "480 approx"}, {"~220", "", "220 approx"}, {"480 approx", "", "480 approx"}, {"approx. 1,200", "lb", "1200 lb approx"}, {"about 500", "", "500 approx"}, {"550ish", "", "550 approx"},
		{"1,050 lb", "", "1050 lb"}, {"1,050", "lb", "1050 lb"}, {"1,050", "", "1050"}, {"1050lbs", "", "1050 lb"}, {"1,140 lb (tape)", "", "1140 lb tape"},
		{"35 st", "", "35 st"}, {"35 st 7 lb", "", "35.5 st"}, {"35st 7", "", "35.5 st"}, {"76 st?", "", "76 st ?"}, {"545?", "kg", "545 kg ?"}, {"?", "", "? unknown"},
		{"480 (weighbridge)", "", "480 scale"}, {"560 (weighbridge 20/11)", "", "560 scale on 20/11"}, {"540kg (tape 12/11)", "", "540 kg tape on 12/11"}, {"540kg tape 12/11", "", "540 kg tape on 12/11"},
		{"438 kg (tape 5/12)", "", "438 kg tape on 5/12"}, {"545 tape", "", "545 tape"}, {"tape 545", "", "545 tape"}, {"545 on 8/2", "", "545 on 8/2"}, {"585 on 1/2", "", "585 on 1/2"}, {"535 (12/3)", "", "535 on 12/3"},
		{"545 on 12 Nov", "kg", "545 kg on 12/11"}, {"612 (weighbridge 1/12)", "", "612 scale on 1/12"}, {"545 kg 12.11.2026", "", "545 kg on 12/11"}, {"480-500", "kg", "480 kg to 500"}, {"480 to 500", "", "480 to 500"},
		{"560 (was 575)", "kg", "560 kg, 575 kg was"}, {"tape 560, weighbridge 548", "", "560 tape, 548 scale"}, {"560 tape / 548 weighbridge", "kg", "560 kg tape, 548 kg scale"},
		{"560 (12/11) 552 (19/11)", "kg", "560 kg on 12/11, 552 kg on 19/11"}, {"not weighed", "", "unknown"}, {"tbc", "", "unknown"}, {"weigh!", "", "unknown"}, {"over 600", "", "600 ?"},
		{"635,5", "kg", "635.5 kg"}, {"ca. 495", "", "495 approx"}, {"etwa 500 kg", "", "500 kg approx"}, {"540 (Waage)", "", "540 scale"}, {"540 (Maßband)", "", "540 tape"}, {"540 am 12.11.", "", "540 on 12/11"}, {"nicht gewogen", "", "unknown"},
		{"env. 600", "", "600 approx"}, {"environ 600 kg", "", "600 kg approx"}, {"600 (bascule)", "", "600 scale"}, {"600 (ruban)", "", "600 tape"}, {"600 le 12/11", "", "600 on 12/11"}, {"à peser", "", "unknown"},
		{"aprox. 575", "", "575 approx"}, {"unos 575", "", "575 approx"}, {"575 (báscula)", "", "575 scale"}, {"575 (cinta)", "", "575 tape"}, {"575 el 12/11", "", "575 on 12/11"}, {"sin pesar", "", "unknown"},
		{"five hundred", "", "5 unread"}, {"bay mare", "", "unread"}, {"540 kg (scales) 2 Nov 2026", "", "540 kg scale on 2/11"}, {"1.050", "lb", "1050 lb"}, {"540 est.", "", "540 approx"}, {"est 540kg by tape", "", "540 kg approx tape"},
	} {
		w := ReadWeight(all, c.text, WeightContext{Unit: c.unit})
		if got := describeWeight(w); got != c.want {
			t.Errorf("%q in %q reads as %q, want %q", c.text, c.unit, got, c.want)
		}
	}
}

func TestReadWeek(t *testing.T) {
	around := time.Date(2026, 12, 20, 0, 0, 0, 0, time.UTC)
	for text, want := range map[string]string{
		"wc 11 Jan": "2027-01-11", "Week of 11th January 2027": "2027-01-11", "WORK  w/c 15/3/27": "2027-03-15", "OSIERS  wk 49 (30 Nov – 6 Dec)": "2026-11-30", "STRING – week 7 December": "2026-12-07",
		"Work wk 7 Dec": "2026-12-07", "Week beginning Monday 4th January 2027": "2027-01-04", "Week 7 Dec 2026 to 13 Dec": "2026-12-07", "TRAINING wk 50, 7–13 Dec 2026": "2026-12-07", "Week of 12-7": "2026-12-07",
		"ELM BARN – Week of 12/7/2026": "2026-12-07", "Plan KW 2 (11.01. – 17.01.2027)": "2027-01-11", "PLANNING SEMAINE 2 – du lundi 11 au dimanche 17 janvier 2027": "2027-01-11",
		"SEMANA DEL 11 AL 17 DE ENERO DE 2027": "2027-01-11", "11-17 enero": "2027-01-11", "CARRIAGE WORK  Week 9: 1–7 March 2027": "2027-03-01", "FEEDS from Mon 15 March.": "2027-03-15", "w/b 4.1.27": "2027-01-04", "w/b 4/1": "2027-01-04",
		"Work 15-21 Feb 27": "2027-02-15", "Rota 1-7 March": "2027-03-01", "FEEDS – new from 4.1": "2027-01-04", "NETHER  w/c 1 Mar 2027": "2027-03-01", "REHAB BOARD from Mon 30 November 2026": "2026-11-30",
		"Woche ab Montag, 11. Januar 2027": "2027-01-11", "Woche vom 11.1. bis 17.1.2027": "2027-01-11", "KW 2 / 2027, ab 11.1.": "2027-01-11", "KW 2 ab 11.1.": "2027-01-11", "KW 2 2027": "2027-01-11", "ab 11.1.": "2027-01-11", "11.1.-17.1.": "2027-01-11",
		"Semaine du 11 janvier 2027": "2027-01-11", "Semaine du lundi 11 janvier 2027": "2027-01-11", "Semaine 2 – du 11/1 au 17/1/2027": "2027-01-11", "du 11 janv. au 17 janv. 2027": "2027-01-11", "sem 11-1": "2027-01-11",
		"Semana del 11 de enero de 2027": "2027-01-11", "Semana del 11 al 17 de enero de 2027": "2027-01-11", "Semana del 11/1/2027": "2027-01-11", "Semana del 11/1 al 17/1": "2027-01-11", "11 enero": "2027-01-11",
		"30–6 Dec": "2026-11-30", "30 Nov – 6 Dec 2026": "2026-11-30", "Week 2 (11 Jan – 17 Jan 2027)": "2027-01-11", "w/e 6 December": "2026-11-30", "Week commencing Monday 11th January 2027": "2027-01-11", "w-c 4.1": "2027-01-04", "wk 4 Jan": "2027-01-04",
		"Mon 30 Nov": "2026-11-30", "November 30, 2026": "2026-11-30", "2026-11-30": "2026-11-30", "w/c 30.11.26": "2026-11-30", "28 Dec – 3 Jan": "2026-12-28", "28 Dec - 3 Jan 2027": "2026-12-28", "Week 53 2026": "2026-12-28",
	} {
		w, ok := ReadWeek(all, text)
		r := w.Readings(around)
		if !ok || len(r) != 1 || r[0].Format("2006-01-02") != want {
			t.Errorf("%q reads as %v %v (%+v), want %s", text, ok, r, w, want)
		}
	}
	for _, text := range []string{"SILVER LIVERY", "Horse", "Farrier 07700 900211", "MASTER copy me", "1 scoop nuts = 1.35 kg", "lesson = 45 min", "3 nets", "540"} {
		if w, ok := ReadWeek(all, text); ok {
			t.Errorf("%q reads as the week %+v", text, w)
		}
	}
}
