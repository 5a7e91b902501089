package board

import (
	"strings"
	"testing"
	"time"
)

// shape is a workbook and what a careful person takes from it: of each horse its weight, the
// minutes of the week's days, and its hard feed now and as planned.
type shape struct {
	name   string
	sheets []Sheet
	facts  map[string]string
}

func (s shape) check(t *testing.T) {
	t.Helper()
	w, err := Read(s.sheets, time.Date(2026, 11, 27, 0, 0, 0, 0, time.UTC))
	if err != nil {
		t.Errorf("%s: refused: %v", s.name, err)
		return
	}
	for name, want := range s.facts {
		if got := factsOf(w, name); got != want {
			t.Errorf("%s: %s is read %s, meant %s", s.name, name, got, want)
		}
	}
	var others []string
	for _, h := range w.Horses {
		if s.facts[h.Name] == "" {
			others = append(others, h.Name)
		}
	}
	if others != nil {
		t.Errorf("%s: no horses: %s", s.name, strings.Join(others, ", "))
	}
}

// What a scoop weighs is not taken from a horse's row, one abbreviation that fills a table does
// not decide on the language, and a list of two columns needs no heading over its names.
func TestSmallTablesAroundTheHorses(t *testing.T) {
	for _, s := range []shape{
		{"a row in kilograms among rows in scoops", []Sheet{sheetOf("Feeds", "One scoop\nbran mix|0.8|kg\n\nHorse|Weight|Feed|am now|pm now|am new|pm new\n"+
			"Larkin|500|bran mix|½ scoop|1 scoop|1 scoop|1 scoop\nTansy|480|bran mix|0.5 kg|½ kg|0.5 kg|1 kg\nOtter|520|bran mix|1 scoop|2 scoops|1 scoop|2 scoops")},
			map[string]string{"Larkin": "500 kg; 0 0 0 0 0 0 0; 1.2 -> 1.6", "Tansy": "480 kg; 0 0 0 0 0 0 0; 1 -> 1.5", "Otter": "520 kg; 0 0 0 0 0 0 0; 2.4 -> 2.4"}},
		{"an abbreviation that is English too", []Sheet{sheetOf("Futter", "Schaufel: Hafer 1 kg\n\nPferd|Gewicht|Futter|früh jetzt|mittag jetzt|abend jetzt|früh neu|mittag neu|abend neu\n"+
			"Larkin|500|Hafer|½ Sch.|½ Sch.|1 Sch.|1 Sch.|½ Sch.|1 Sch.\nTansy|480|Hafer|1 Sch.|½ Sch.|1 Sch.|1 Sch.|½ Sch.|1 Sch.\nOtter|520|Hafer|1 Sch.|1 Sch.|1 Sch.|1 Sch.|1 Sch.|1 Sch.")},
			map[string]string{"Larkin": "500 kg; 0 0 0 0 0 0 0; 2 -> 2.5", "Tansy": "480 kg; 0 0 0 0 0 0 0; 2.5 -> 2.5", "Otter": "520 kg; 0 0 0 0 0 0 0; 3 -> 3"}},
		{"a list of weights below a blank corner", []Sheet{sheetOf("Week", "|Wt (kg)\nLarkin|500\nTansy|480\nOtter|520\n\n\n|Girth|Feed now|New feed\nLarkin||1 kg nuts|2 kg nuts\nTansy||1 kg nuts|1 kg nuts\nOtter||2 kg nuts|2 kg nuts")},
			map[string]string{"Larkin": "500 kg; 0 0 0 0 0 0 0; 1 -> 2", "Tansy": "480 kg; 0 0 0 0 0 0 0; 1 -> 1", "Otter": "520 kg; 0 0 0 0 0 0 0; 2 -> 2"}},
	} {
		s.check(t)
	}
}

// A number of a stable, a peg or a lot may be before each horse's name, or be its only name
// where numbers can be nothing else.
func TestNumbersBesideAndInsteadOfNames(t *testing.T) {
	block := func(head string) string {
		return head + "\nWeight|%w kg\n|Mon|Tue|Wed|Thu|Fri|Sat|Sun\nWork|off|hack 60|hack 60|off|school 45|hack 60|off\nNow|%n kg nuts\nNew|%p kg nuts\n\n"
	}
	book := func(heads ...string) []Sheet {
		text := "Week beginning 30 November 2026\n\n"
		for i, h := range heads {
			b := block(h)
			text += strings.NewReplacer("%w", []string{"500", "480", "520"}[i], "%n", []string{"2", "1", "3"}[i], "%p", []string{"2.5", "1", "3"}[i]).Replace(b)
		}
		return []Sheet{sheetOf("Yard", text)}
	}
	facts := func(names ...string) map[string]string {
		const work = " kg; 0 60 60 0 45 60 0; "
		return map[string]string{names[0]: "500" + work + "2 -> 2.5", names[1]: "480" + work + "1 -> 1", names[2]: "520" + work + "3 -> 3"}
	}
	table := func(rows string) []Sheet {
		return []Sheet{sheetOf("Yard", "Week beginning 30 November 2026\n\n"+rows)}
	}
	const days = "|Mon|Tue|Wed|Thu|Fri|Sat|Sun|Feed now|New feed\n"
	const work = "|off|hack 60|hack 60|off|school 45|hack 60|off|"
	rows := func(a, b, c string) string {
		return a + "|500" + work + "2 kg nuts|2.5 kg nuts\n" + b + "|480" + work + "1 kg nuts|1 kg nuts\n" + c + "|520" + work + "3 kg nuts|3 kg nuts"
	}
	for _, s := range []shape{
		{"blocks: 1 Name", book("1 Larkin", "2 Tansy", "3 Otter"), facts("1 Larkin", "2 Tansy", "3 Otter")},
		{"blocks: 1. Name", book("1. Larkin", "2. Tansy", "3. Otter"), facts("Larkin", "Tansy", "Otter")},
		{"blocks: No. 1 Name", book("No. 1 Larkin", "No. 2 Tansy", "No. 3 Otter"), facts("Larkin", "Tansy", "Otter")},
		{"blocks: Box 4 - Name", book("Box 4 - Larkin", "Box 5 - Tansy", "Box 6 - Otter"), facts("Larkin", "Tansy", "Otter")},
		{"blocks: Stable 4: Name", book("Stable 4: Larkin", "Stable 5: Tansy", "Stable 6: Otter"), facts("Larkin", "Tansy", "Otter")},
		{"blocks: Name (4)", book("Larkin (4)", "Tansy (5)", "Otter (6)"), facts("Larkin", "Tansy", "Otter")},
		{"blocks: a number beside the name", book("4|Larkin", "5|Tansy", "6|Otter"), facts("Larkin", "Tansy", "Otter")},
		{"blocks: a number above the name", book("4\nLarkin", "5\nTansy", "6\nOtter"), facts("Larkin", "Tansy", "Otter")},
		{"blocks: Stable 4 above the name", book("Stable 4\nLarkin", "Stable 5\nTansy", "Stable 6\nOtter"), facts("Larkin", "Tansy", "Otter")},
		{"blocks: a feed and a weekday for names", book("1 Barley", "2 Monday", "3 Otter"), facts("1 Barley", "2 Monday", "3 Otter")},
		{"rows: 1 Name", table("Horse|Kg" + days + rows("1 Larkin", "2 Tansy", "3 Otter")), facts("1 Larkin", "2 Tansy", "3 Otter")},
		{"rows: numbers only", table("Horse|Kg" + days + rows("1", "2", "3")), facts("1", "2", "3")},
		{"rows: No. 1 only", table("Horse|Kg" + days + rows("No. 1", "No. 2", "No. 3")), facts("No. 1", "No. 2", "No. 3")},
		{"rows: numbers only, four figures", table("Horse|Weight kg" + days + rows("1071", "1072", "1075")), facts("1071", "1072", "1075")},
		{"rows: a number and a name", table("No.|Horse|Kg" + days + rows("1|Larkin", "2|Tansy", "3|Otter")), facts("Larkin", "Tansy", "Otter")},
	} {
		s.check(t)
	}
}
