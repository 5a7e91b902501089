package board

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"hardfeed/ration/yard"
)

var threeHorses = map[string]string{"Larkin": "500 kg; 0 60 60 0 45 60 0; 2 -> 2.5", "Tansy": "480 kg; 0 60 60 0 45 60 0; 1 -> 1", "Otter": "520 kg; 0 60 60 0 45 60 0; 3 -> 3"}

// ofThree fills a text in for each of the three horses: %h the name, %w the weight, %n and %p
// what it gets now and is to get.
func ofThree(text string) string {
	var all []string
	for _, h := range [][4]string{{"Larkin", "500", "2", "2.5"}, {"Tansy", "480", "1", "1"}, {"Otter", "520", "3", "3"}} {
		all = append(all, strings.NewReplacer("%h", h[0], "%w", h[1], "%n", h[2], "%p", h[3]).Replace(text))
	}
	return strings.Join(all, "")
}

const daysDown = "Mon%soff\nTue%shack 60\nWed%shack 60\nThu%soff\nFri%sschool 45\nSat%shack 60\nSun%soff\n"

// One horse after another may stand as words with what they say beside or behind them.
func TestListsOfWordsAndValues(t *testing.T) {
	days := func(sep string) string { return strings.ReplaceAll(daysDown, "%s", sep) }
	const week = "Week beginning 30 November 2026\n\n"
	for _, s := range []shape{
		{"two columns, a row between", []Sheet{sheetOf("Yard", week+ofThree("Horse|%h\nWeight|%w kg\n"+days("|")+"Feed now|%n kg nuts\nNew feed|%p kg nuts\n\n"))}, threeHorses},
		{"two columns, no row between, colons", []Sheet{sheetOf("Yard", week+ofThree("Name:|%h\nWeight:|%w\n"+days(":|")+"Now:|%n kg nuts\nNew:|%p kg nuts\n"))}, threeHorses},
		{"the name alone over its list", []Sheet{sheetOf("Yard", week+ofThree("%h\nBody weight|%w kg\n"+days("|")+"Fed now|%n kg nuts\nTo be fed|%p kg nuts\n\n"))}, threeHorses},
		{"lines in one column", []Sheet{sheetOf("Yard", week+ofThree("%h\nWeight: %w kg\n"+days(": ")+"Now: %n kg nuts\nNew: %p kg nuts\n\n"))}, threeHorses},
		{"numbered lines in one column", []Sheet{sheetOf("Yard", week+ofThree("No. 4 %h\nWeight: %w kg\n"+days(": ")+"Now: %n kg nuts\nNew: %p kg nuts\n\n"))}, threeHorses},
		{"German", []Sheet{sheetOf("Pferde", "Woche ab 30.11.2026\n\n"+ofThree("Pferd|%h\nGewicht|%w kg\nMontag|frei\nDienstag|Ausritt 60\nMittwoch|Ausritt 60\nDonnerstag|frei\nFreitag|Dressur 45\nSamstag|Ausritt 60\nSonntag|frei\nFutter bisher|%n kg Hafer\nFutter neu|%p kg Hafer\n\n"))}, threeHorses},
	} {
		s.check(t)
	}
}

// What a horse weighs is read where a person would find it: beside the name, behind it, in the
// notes, and with the day it was taped.
func TestWeightsWithoutAColumn(t *testing.T) {
	const week = "Week beginning 30 November 2026\n\n"
	const work = "|off|hack 60|hack 60|off|school 45|hack 60|off|%n kg nuts|%p kg nuts"
	const head = "Mon|Tue|Wed|Thu|Fri|Sat|Sun|Now|New"
	for _, s := range []shape{
		{"behind the table", []Sheet{sheetOf("Feed", week+"|"+head+"\n"+ofThree("%h"+work+"|%wkg taped Sunday\n"))}, threeHorses},
		{"in the cell of the name", []Sheet{sheetOf("Feed", week+"Horse|"+head+"\n"+ofThree("%h %wkg taped Sunday"+work+"\n"))}, threeHorses},
		{"in brackets behind the name", []Sheet{sheetOf("Feed", week+"Horse|"+head+"\n"+ofThree("%h (%w kg, weighbridge)"+work+"\n"))}, threeHorses},
		{"beside the name of a block", []Sheet{sheetOf("Feed", week+ofThree("%h|%w kg taped last week\n|Mon|Tue|Wed|Thu|Fri|Sat|Sun\nWork|off|hack 60|hack 60|off|school 45|hack 60|off\nNow|%n kg nuts\nNew|%p kg nuts\n\n"))}, threeHorses},
		{"among the notes", []Sheet{sheetOf("Feed", week+"Horse|"+head+"|Notes\n"+ofThree("%h"+work+"|greedy. Weighs %w kg\n"))}, threeHorses},
		{"a column without a heading", []Sheet{sheetOf("Feed", week+"Horse||"+head+"\n"+ofThree("%h|%wkg taped Sunday"+work+"\n"))}, threeHorses},
		{"lines over the table", []Sheet{sheetOf("Feed", week+ofThree("%h - %wkg taped Sunday\n")+"\nHorse|"+head+"\n"+ofThree("%h"+work+"\n"))}, threeHorses},
		{"German", []Sheet{sheetOf("Futter", "Woche ab 30.11.2026\n\nPferd|Mo|Di|Mi|Do|Fr|Sa|So|bisher|neu|Bemerkungen\n"+
			ofThree("%h|frei|Ausritt 60|Ausritt 60|frei|Dressur 45|Ausritt 60|frei|%n kg Hafer|%p kg Hafer|wiegt %w kg, Maßband gestern\n"))}, threeHorses},
	} {
		s.check(t)
	}
	// What somebody else weighs, or a sack, is no weight of the horse.
	for _, note := range []string{"max rider 75 kg", "order 500 kg oats", "rider 82 kg", "carries 12 stone"} {
		w, err := Read([]Sheet{sheetOf("Feed", week+"Horse|"+head+"|Notes\n"+ofThree("%h"+work+"|"+note+"\n"))}, time.Time{})
		if err != nil {
			t.Fatal(err)
		}
		for _, h := range w.Horses {
			if h.WeightKg.IsKnown() {
				t.Errorf("%q is taken for the weight of %s", note, h.Name)
			}
		}
	}
}

// Weeks may stand across: of a feed plan, of a fortnight's days, of a pony's own page. What is
// fed in the week before is what is fed now, and the weeks to come are not added to either.
func TestWeeksAcross(t *testing.T) {
	fed := map[string]string{"Larkin": "500 kg; 0 0 0 0 0 0 0; 2 -> 2.5", "Tansy": "480 kg; 0 0 0 0 0 0 0; 1 -> 1", "Otter": "520 kg; 0 0 0 0 0 0 0; 3 -> 3"}
	worked := map[string]string{"Larkin": "500 kg; 0 60 60 0 45 60 0; - -> -", "Tansy": "480 kg; 0 60 60 0 45 60 0; - -> -", "Otter": "520 kg; 0 60 60 0 45 60 0; - -> -"}
	page := func(name, w, before, now, next string) Sheet {
		return sheetOf(name, "Weight "+w+" kg\n|w/c 23 Nov|w/c 30 Nov|w/c 7 Dec\nMon|off|off|hack 90\nTue|hack 30|hack 60|hack 90\nWed|off|hack 60|hack 90\nThu|off|off|off\nFri|off|school 45|off\nSat|hack 30|hack 60|off\nSun|off|off|off\n"+
			"Feed|"+before+" kg nuts|"+now+" kg nuts|"+next+" kg nuts")
	}
	fortnight := "|off|hack 30|off|off|off|off|off|off|hack 60|hack 60|off|school 45|hack 60|off\n"
	for _, s := range []shape{
		{"a feed plan", []Sheet{sheetOf("Term", "Feed plan\n\nHorse|Weight|w/c 23 Nov|w/c 30 Nov|w/c 7 Dec\n"+ofThree("%h|%w|%n kg nuts|%p kg nuts|3.5 kg nuts\n"))}, fed},
		{"a feed plan under dates alone", []Sheet{sheetOf("Term", "Feed plan\n\nHorse|Weight|23/11|30/11|7/12|14/12\n"+ofThree("%h|%w|%n kg nuts|%p kg nuts|3.5 kg nuts|4 kg nuts\n"))}, fed},
		{"a feed plan, the weeks over their dates", []Sheet{sheetOf("Term", "Horse|Weight|Wk 1|Wk 2|Wk 3\n||w/c 23 Nov|w/c 30 Nov|w/c 7 Dec\n"+ofThree("%h|%w|%n kg nuts|%p kg nuts|3.5 kg nuts\n"))}, fed},
		{"the days of two weeks", []Sheet{sheetOf("Term", "Horse|Weight|Week 1 - 23 Nov 2026|||||||Week 2 - 30 Nov 2026\n||Mon|Tue|Wed|Thu|Fri|Sat|Sun|Mon|Tue|Wed|Thu|Fri|Sat|Sun\n"+ofThree("%h|%w"+fortnight))}, worked},
		{"a page a horse", []Sheet{page("Larkin", "500", "2", "2.5", "3"), page("Tansy", "480", "1", "1", "2"), page("Otter", "520", "3", "3", "4")}, threeHorses},
	} {
		s.check(t)
	}
	// Work of a week without its days is asked about once for each text, and no day is guessed.
	w, err := Read([]Sheet{sheetOf("Term", "Horse|Weight|w/c 23 Nov|w/c 30 Nov|w/c 7 Dec\n"+ofThree("%h|%w|3 x hack 45|4 x hack 60|5 x hack 60\n"))}, time.Date(2026, 11, 27, 0, 0, 0, 0, time.UTC))
	if err != nil {
		t.Fatal(err)
	}
	for _, h := range w.Horses {
		for d, day := range h.Work {
			if !day.Unknown {
				t.Errorf("%s, day %d: %s", h.Name, d, fmt.Sprint(day.Sessions))
			}
		}
	}
	asked := 0
	for _, f := range w.Findings {
		if f.Rule == "work-word" && f.Severity == yard.Warn {
			asked++
		}
	}
	if asked != 1 || len(w.Horses) != 3 {
		t.Errorf("%d horses, asked %d times", len(w.Horses), asked)
	}
}
