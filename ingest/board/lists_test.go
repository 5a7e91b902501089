package board

import (
	"strings"
	"testing"
	"time"

	"hardfeed/ration/yard"
)

// Everything of a horse may be listed in pairs of a word and a value, one horse below the
// other or beside it, with colons or without, with a gap between two horses or none.
func TestListsOfPairs(t *testing.T) {
	list := func(head, name, weight string) string {
		return head + "|" + name + "\nWeight|" + weight + "\nMon|hack 60\nTue|off\nWed|school 45\nThu|hack 60\nFri|school 45\nSat|hack 90\nSun|off\nFeed now|2 kg nuts\nNew feed|2.5 kg nuts"
	}
	colons := func(text string) string {
		lines := strings.Split(text, "\n")
		for i, line := range lines {
			lines[i] = strings.Replace(line, "|", ":|", 1)
		}
		return strings.Join(lines, "\n")
	}
	beside := func(a, b string) string {
		x, y := strings.Split(a, "\n"), strings.Split(b, "\n")
		for i := range x {
			x[i] += "||" + y[i]
		}
		return strings.Join(x, "\n")
	}
	title := "Week commencing 1 March 2027\n\n"
	name, horse := list("Name", "Rowan", "500"), list("Name", "Sorrel", "420")
	for what, text := range map[string]string{
		"a gap":               name + "\n\n" + horse,
		"no gap":              name + "\n" + horse,
		"colons":              colons(name + "\n\n" + horse),
		"colons, no gap":      colons(name + "\n" + horse),
		"headed Horse":        list("Horse", "Rowan", "500") + "\n" + list("Horse", "Sorrel", "420"),
		"beside each other":   beside(name, horse),
		"three rows between":  name + "\n\n\n\n" + horse,
		"a line below a list": name + "\n\n\nFarrier comes Thursday\n\n" + horse,
	} {
		w, err := Read([]Sheet{sheetOf("Horses", title+text)}, time.Time{})
		if err != nil {
			t.Errorf("%s: not read", what)
			continue
		}
		if got, want := factsOf(w, "Rowan"), "500 kg; 60 0 45 60 45 90 0; 2 -> 2.5"; got != want || len(w.Horses) != 2 {
			t.Errorf("%s: %s, want %s; %d horses", what, got, want, len(w.Horses))
		}
		if got, want := factsOf(w, "Sorrel"), "420 kg; 60 0 45 60 45 90 0; 2 -> 2.5"; got != want {
			t.Errorf("%s: %s, want %s", what, got, want)
		}
	}
	// The name of a yard over its settings is not a horse.
	board := sheetOf("Week", title+"Horse|Weight|Mon|Tue|Wed|Thu|Fri|Sat|Sun|Feed now|New feed\nRowan|500|hack 60|off|off|off|off|off|off|2 kg nuts|2 kg nuts")
	w, _ := Read([]Sheet{board, sheetOf("Yard", "Name|Oakhill\nWeek|1 March 2027\nHay|bales\nFarrier|Thursday")}, time.Time{})
	if len(w.Horses) != 1 {
		t.Errorf("%d horses beside a sheet about the yard, want 1", len(w.Horses))
	}
}

// Feed of two weeks in two tables about one page, told apart by their titles alone: the
// week before is what is fed now.
func TestTitlesThatNameTheWeekOfTheFeed(t *testing.T) {
	read := func(left, right string) string {
		s := sheetOf("Week", "Week commencing 1 March 2027\n\nHorse|Weight|Mon|Tue|Wed|Thu|Fri|Sat|Sun\nRowan|500|hack 60|off|hack 60|off|hack 60|off|off\nSorrel|420|off|hack 60|off|hack 60|off|hack 60|off\n\n\n"+
			left+"|||"+right+"\nHorse|Feed||Horse|Feed\nRowan|2 kg nuts||Rowan|2.5 kg nuts\nSorrel|1 kg nuts||Sorrel|1 kg nuts")
		w, _ := Read([]Sheet{s}, time.Time{})
		return factsOf(w, "Rowan")
	}
	const work = "500 kg; 60 0 60 0 60 0 0; "
	for _, c := range [][3]string{
		{"FEED – LAST WEEK", "FEED – THIS WEEK", "2 -> 2.5"},
		{"Feeds this week", "Feeds last week", "2.5 -> 2"},
		{"Feeds this week", "Feeds next week", "2 -> 2.5"},
	} {
		if got := read(c[0], c[1]); got != work+c[2] {
			t.Errorf("%s beside %s: %s, want %s", c[0], c[1], got, work+c[2])
		}
	}
}

// The second line of a horse is no headings of another table, for all that words of it
// could be headings.
func TestSecondLinesAreNoHeadings(t *testing.T) {
	w, _ := Read([]Sheet{sheetOf("Work", "Week commencing 1 March 2027\nfast work = 40 min, walker = 20 min, canter = 30 min\n\nHorse|Weight||Mon|Tue|Wed|Thu|Fri|Sat|Sun\n"+
		"Rowan|500|am|canter|canter|off|off|off|off|off\n||pm||walker|||||\n"+
		"Sorrel|420|am|canter|canter|canter|||off|off\n||pm|fast work|walker|walker|canter|fast work||fast work\n"+
		"Alder|480|am|canter|off|off|off|off|off|off\n||pm|walker||||||")}, time.Time{})
	if got, want := factsOf(w, "Alder"), "480 kg; 50 0 0 0 0 0 0; - -> -"; got != want {
		t.Errorf("behind such a line: %s, want %s", got, want)
	}
	for _, f := range w.Findings {
		if f.Rule == "cell-unused" && f.Severity != yard.Note {
			t.Errorf("not used: %v", f.Cell)
		}
	}
	if got := factsOf(w, "Sorrel"); !strings.HasPrefix(got, "420 kg; 70 50 50 30 40 0 40") {
		t.Errorf("the line itself: %s", got)
	}
}
