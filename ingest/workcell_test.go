package ingest

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

var testSessions = map[string]yard.Session{
	"hill loop":    {Name: "Hill loop", Minutes: [yard.Gaits]float64{40, 15, 5, 0, 0}, Hills: true},
	"xc":           {Name: "XC", Minutes: [yard.Gaits]float64{50, 10, 10, 8, 3}, Efforts: 20},
	"long hack(b)": {Name: "Long hack(b)", Minutes: [yard.Gaits]float64{80, 10, 0, 0, 0}},
	"schooling":    {Name: "Schooling", Minutes: [yard.Gaits]float64{10, 20, 10, 0, 0}},
	"broken":       {Name: "broken"},
}

// describe puts a day into words, minutes by walk/trot/canter/gallop/jump.
func describe(d yard.Day) string {
	var parts []string
	for _, s := range d.Sessions {
		p := fmt.Sprintf("%s %g/%g/%g/%g/%g", s.Name, round(s.Minutes[0]), round(s.Minutes[1]), round(s.Minutes[2]), round(s.Minutes[3]), round(s.Minutes[4]))
		if s.Led {
			p += " led"
		}
		if s.Hills {
			p += " hills"
		}
		if s.Efforts > 0 {
			p += fmt.Sprintf(" %d efforts", s.Efforts)
		}
		parts = append(parts, strings.TrimSpace(p))
	}
	out := strings.Join(parts, " + ")
	if d.Rest() {
		out = "rest"
	}
	if d.Event {
		out += fmt.Sprintf(" event %d", d.StartMin)
	}
	if d.Unknown {
		out += " unknown"
	}
	return strings.TrimSpace(out)
}

func round(v float64) float64 { return math.Round(v*100) / 100 }

func TestParseWork(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", "rest"}, {"rest", "rest"}, {"REST", "rest"}, {"off", "rest"}, {"off – farrier", "rest"}, {"Off - lame, see vet", "rest"}, {"day off", "rest"},
		{"off (lame)", "rest"}, {"off farrier", "rest"}, {"0", "rest"}, {"-", "rest"}, {"turnout", "rest"}, {"field", "rest"}, {"rest day", "rest"},
		{"hack 60", "hack 42/15/3/0/0"}, {"60 hack", "hack 42/15/3/0/0"}, {"60 min hack", "hack 42/15/3/0/0"}, {"hack 1h", "hack 42/15/3/0/0"}, {"Hack, 60", "unknown"},
		{"W30 T20 C10", "30/20/10/0/0"}, {"W30T20C10", "30/20/10/0/0"}, {"w30, t20, c10", "30/20/10/0/0"}, {"30 walk 20 trot", "30/20/0/0/0"},
		{"1 schooling", "Schooling 10/20/10/0/0"}, {"2 schoolings", "Schooling 10/20/10/0/0 + Schooling 10/20/10/0/0"}, {"2 hill loops + schooling", "Hill loop 40/15/5/0/0 hills + Hill loop 40/15/5/0/0 hills + Schooling 10/20/10/0/0"},
		{"gallops W30 T15 C12 G4", "30/15/12/4/0"}, {"gallops W30 T15", "30/15/0/0/0 unknown"}, {"W30 gallop", "30/0/0/0/0 unknown"},
		{"2 lessons", "unknown"}, {"1 hack", "unknown"}, {"hack 2", "hack 1.4/0.5/0.1/0/0 unknown"}, {"schooling 1", "Schooling 0.25/0.5/0.25/0/0 unknown"}, {"½ schooling", "Schooling 0.13/0.25/0.13/0/0 unknown"},
		{"2 lessons 45", "lesson 18/20.25/6.75/0/0 + lesson 18/20.25/6.75/0/0"}, {"2h hack", "hack 84/30/6/0/0"}, {"2 min hack", "hack 1.4/0.5/0.1/0/0"},
		{"walk 30, trot 20 + lunge 15 led", "30/20/0/0/0 + lunge 6/7.5/1.5/0/0 led"},
		{"1h15 hack (hills)", "hack 52.5/18.75/3.75/0/0 hills"}, {"hack 1 h 15", "hack 52.5/18.75/3.75/0/0"}, {"1h 15 hack", "hack 52.5/18.75/3.75/0/0"}, {"hack 1.5 hours", "hack 63/22.5/4.5/0/0"},
		{"hack 1½h", "hack 63/22.5/4.5/0/0"}, {"walk 20'", "20/0/0/0/0"},
		{"jump 20", "0/0/0/0/20"}, {"gallop 5", "0/0/0/5/0"}, {"W30 x2", "60/0/0/0/0"}, {"hack 30 x2", "hack 21/7.5/1.5/0/0 + hack 21/7.5/1.5/0/0"}, {"2x hack 30", "hack 21/7.5/1.5/0/0 + hack 21/7.5/1.5/0/0"},
		{"walker 30", "walker 30/0/0/0/0 led"}, {"field + walker 30", "walker 30/0/0/0/0 led"}, {"hack W40 T20", "hack 40/20/0/0/0"}, {"hack 60 W40 T20", "hack 40/20/0/0/0"},
		{"show 10:00", "show 40/20/10/0/0 event 600"}, {"show 10am", "show 40/20/10/0/0 event 600"}, {"10:00 show", "show 40/20/10/0/0 event 600"}, {"hunt 240", "hunt 133.33/66.67/33.33/6.67/0 event -1"},
		{"XC 14:30", "XC 50/10/10/8/3 20 efforts event 870"}, {"cross-country 14.30", "cross country 40/15/10/6/2 event 870"}, {"team chase 11:00", "team chase 30/10/10/8/0 event 660"},
		{"sponsored ride", "sponsored ride 60/45/15/0/0 event -1"}, {"Hill loop", "Hill loop 40/15/5/0/0 hills"}, {"hill loop 30", "Hill loop 20/7.5/2.5/0/0 hills"}, {"Long hack (B)", "Long hack(b) 80/10/0/0/0"},
		{"schooling 40", "Schooling 10/20/10/0/0"}, {"lesson 45 with Anna", "lesson 18/20.25/6.75/0/0"}, {"lesson 45 10:00", "lesson 18/20.25/6.75/0/0"}, {"walk 20\ntrot 10", "20/0/0/0/0 + 0/10/0/0/0"},
		{"easy hack 40 on the roads", "hack 28/10/2/0/0"}, {"walk 20 in hand", "20/0/0/0/0 led"},
		// What is not understood is never a day off, and what is, is kept.
		{"grind 60", "unknown"}, {"hack", "unknown"}, {"45", "unknown"}, {"walk", "unknown"}, {"walk 30, torrt 20", "30/0/0/0/0 unknown"}, {"farrier", "unknown"}, {"?", "unknown"},
		{"W30 T20 x2", "30/20/0/0/0 unknown"}, {"hack 60 W10 T20", "hack 42/15/3/0/0 unknown"}, {"rest or hack 60", "hack 42/15/3/0/0 unknown"}, {"hack 60, rest", "hack 42/15/3/0/0 unknown"},
		{"show 10", "show 40/20/10/0/0 event -1 unknown"}, {"hack 6000", "unknown"}, {"broken 30", "broken 0/0/0/0/0 unknown"}, {"led", "unknown"}, {"hack 60 🐴", "hack 42/15/3/0/0 unknown"}, {"W-30", "unknown"},
		{"0.10", "unknown"}, {"10:00", "unknown"}, {"easy", "unknown"}, {"am", "unknown"}, {"2x", "unknown"}, {"()", "unknown"}, {"hack 60 + 2x", "hack 42/15/3/0/0 unknown"}, {"field 14:30", "rest"},
	} {
		day, problems := ParseWork(c.text, testSessions)
		if got := describe(day); got != c.want {
			t.Errorf("%q reads as %q, want %q (%v)", c.text, got, c.want, problems)
		}
		if day.Unknown != (len(problems) > 0) {
			t.Errorf("%q: unknown %v with problems %v", c.text, day.Unknown, problems)
		}
	}
}

func TestWorkWordSuggested(t *testing.T) {
	_, problems := ParseWork("walk 30, trott 20", nil)
	if len(problems) != 1 || problems[0].Pos != 9 || problems[0].Word != "trott" || !strings.Contains(words.Said(problems[0].Saying), `"trot"`) {
		t.Errorf("problems are %+v, want one at 9 that suggests trot", problems)
	}
}

// Work written out from minutes reads back as those minutes, however it is
// parted and whichever way round.
func TestWorkReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var want [yard.Gaits]float64
		var parts []string
		for g := range yard.Gait(4) {
			m := rapid.IntRange(0, 60).Draw(t, g.String())
			if m == 0 {
				continue
			}
			want[g] = float64(m)
			switch rapid.IntRange(0, 2).Draw(t, "style") {
			case 0:
				parts = append(parts, fmt.Sprintf("%s%d", strings.ToUpper(g.String()[:1]), m))
			case 1:
				parts = append(parts, fmt.Sprintf("%s %d min", g, m))
			case 2:
				parts = append(parts, fmt.Sprintf("%d min %s", m, g))
			}
		}
		text := strings.Join(parts, rapid.SampledFrom([]string{", ", ",", ";", " + "}).Draw(t, "mark"))
		day, problems := ParseWork(text, nil)
		var got [yard.Gaits]float64
		for _, s := range day.Sessions {
			for g, m := range s.Minutes {
				got[g] += m
			}
		}
		if len(problems) > 0 || got != want {
			t.Fatalf("%q reads as %v (%v), want %v", text, got, problems, want)
		}
	})
}

func FuzzWork(f *testing.F) {
	for _, s := range []string{"rest", "off – farrier", "hack 60", "W30 T20 C10", "walk 30, trot 20 + lunge 15 led", "1h15 hack (hills)", "XC 14:30", "show 10:00", "W30 x2", "2x hack 30",
		"hack 60 W40 T20", "walk 20 in hand", "hack with Anna", "0", "½ h hack", "x2", "10am show 2pm", "Hill loop 30; rest", "hack 99999999999999999999999999999999", "broken 0"} {
		f.Add(s)
	}
	f.Add("0.10") // found by fuzzing: a lone time passed for a day off
	f.Fuzz(func(t *testing.T, s string) {
		day, problems := ParseWork(s, testSessions)
		if day.Unknown != (len(problems) > 0) {
			t.Fatalf("%q: unknown %v with %v", s, day.Unknown, problems)
		}
		total := 0.0
		for _, x := range day.Sessions {
			for _, m := range x.Minutes {
				if m < 0 || math.IsNaN(m) || math.IsInf(m, 0) {
					t.Fatalf("%q: minutes %v", s, x.Minutes)
				}
				total += m
			}
		}
		if total > MostMinutes {
			t.Fatalf("%q: %v minutes", s, total)
		}
		if day.StartMin < -1 || day.StartMin >= 24*60 {
			t.Fatalf("%q starts at minute %d", s, day.StartMin)
		}
		for _, p := range problems {
			if p.Rule == "" || p.Saying.Empty() || p.Pos < 0 || p.Pos > len(s) {
				t.Fatalf("%q: problem %+v", s, p)
			}
		}
		// A figure other than zero must end up in the work or in a problem.
		if day.Rest() && strings.ContainsAny(s, "123456789") && !strings.ContainsAny(strings.ToLower(s), "abcdefghijklmnopqrstuvwxyz") && len(problems) == 0 {
			t.Fatalf("%q passes for a day off", s)
		}
	})
}
