package board

import (
	"strings"
	"testing"
	"time"

	"hardfeed/ration/yard"
)

// The days of a week may be headed by letters alone: over one column or two, with one
// letter joined over both days it begins, behind the week they are of, before the day of
// the month.
func TestLettersOfTheWeek(t *testing.T) {
	const rowan = "500 kg; 60 0 45 60 0 45 0; 2 -> 2.5"
	for name, c := range map[string]struct {
		heads, row string
		joined     []Rect
	}{
		"one letter each":              {"M|T|W|T|F|S|S", "hack 60|off|school 45|hack 60|off|school 45|off", nil},
		"two letters each":             {"Mo|Tu|We|Th|Fr|Sa|Su", "hack 60|off|school 45|hack 60|off|school 45|off", nil},
		"with the day of the month":    {"Mo 1|Tu 2|We 3|Th 4|Fr 5|Sa 6|Su 7", "hack 60|off|school 45|hack 60|off|school 45|off", nil},
		"behind the week they are of":  {"Last week M|Last week T|Last week W|Last week T|Last week F|Last week S|Last week S|This week M|This week T|This week W|This week T|This week F|This week S|This week S", "hack 20|off|hack 20|off|hack 20|off|off|hack 60|off|school 45|hack 60|off|school 45|off", nil},
		"joined over morning and noon": {"M| |T| |W| |T| |F| |S| |S| ", "hack 60||off|||school 45|hack 60||off|||school 45|off|", twoEach(5, 7)},
		"one joined over two days":     {"M| |T| |W| |T| |F| |S| | | ", "hack 60||off|||school 45|hack 60||off|||school 45|off|", append(twoEach(5, 5), Rect{3, 15, 3, 18})},
	} {
		below := ""
		if c.joined != nil {
			below = "||||" + strings.Repeat("am|pm|", 7) + "\n"
		}
		s := sheetOf("Week", "Week commencing 1 March 2027\n\nHorse|Weight kg|Feed now|New feed|"+c.heads+"\n"+below+
			"Rowan|500|2 kg nuts|2.5 kg nuts|"+c.row+"\nSorrel|400|1 kg nuts|1 kg nuts|"+c.row)
		s.Joined = c.joined
		w, _ := Read([]Sheet{s}, time.Time{})
		if got := factsOf(w, "Rowan"); got != rowan {
			t.Errorf("%s: %s, want %s", name, got, rowan)
		}
	}
}

// twoEach joins pairs of columns in the third row.
func twoEach(first, n int) (out []Rect) {
	for i := range n {
		out = append(out, Rect{3, first + 2*i, 3, first + 2*i + 1})
	}
	return out
}

// Days that are twice in a table, with nothing that says which week is which, are
// nobody's: both are asked about, and neither is taken.
func TestDaysTwiceAreAskedAbout(t *testing.T) {
	week := "hack 60|off|hack 60|off|hack 60|off|off|"
	read := func(over string) (string, int) {
		s := sheetOf("Work", "Work and weights\n\nHorse|Weight kg|"+over+"\nRowan|500|"+week+strings.ReplaceAll(week, "60", "45")+"\nSorrel|400|"+week+week)
		w, _ := Read([]Sheet{s}, time.Time{})
		asked := 0
		for _, f := range w.Findings {
			if f.Rule == "column-unused" && f.Severity != yard.Note {
				asked++
			}
		}
		return factsOf(w, "Rowan"), asked
	}
	plain := "Mon|Tue|Wed|Thu|Fri|Sat|Sun|Mon|Tue|Wed|Thu|Fri|Sat|Sun"
	if got, asked := read(plain); asked != 14 || strings.Contains(got, "45") || strings.Contains(got, " 60") {
		t.Errorf("no week named: %s, %d asked", got, asked)
	}
	said := strings.NewReplacer("Mon", "Mon 1/3", "Tue", "Tue 2/3", "Wed", "Wed 3/3", "Thu", "Thu 4/3", "Fri", "Fri 5/3", "Sat", "Sat 6/3", "Sun", "Sun 7/3").Replace(plain[:27])
	next := strings.NewReplacer("Mon", "Mon 8/3", "Tue", "Tue 9/3", "Wed", "Wed 10/3", "Thu", "Thu 11/3", "Fri", "Fri 12/3", "Sat", "Sat 13/3", "Sun", "Sun 14/3").Replace(plain[28:])
	if got, asked := read(said + "|" + next); asked != 0 || got != "500 kg; 45 0 45 0 45 0 0; - -> -" {
		t.Errorf("with dates: %s, %d asked", got, asked)
	}
}

// Work under a heading that was taken for feed is not fed, and feed under a heading of work
// is no work: the column is asked about.
func TestColumnsAreHeldAgainstTheirCells(t *testing.T) {
	read := func(head string, cells ...string) (w yard.Week, asked bool) {
		text := "Week commencing 1 March 2027\n\nHorse|Weight kg|" + head + "|Feed now\n"
		for i, n := range []string{"Rowan", "Sorrel", "Alder", "Hazel"} {
			text += n + "|500|" + cells[i] + "|2 kg nuts\n"
		}
		w, _ = Read([]Sheet{sheetOf("Week", text)}, time.Time{})
		for _, f := range w.Findings {
			asked = asked || f.Rule == "column-unused" && f.Cell.Ref == "C3" && f.Severity != yard.Note
		}
		return w, asked
	}
	w, asked := read("Next week", "hack 60", "school 45", "hack 60", "lunge 20")
	if got := hardOf(w, "Rowan", false); !asked || got != "2" {
		t.Errorf("work under a heading taken for feed: fed %s, asked %t", got, asked)
	}
	if _, asked = read("Next week", "2 kg nuts", "2.5 kg nuts", "3 kg nuts", "1 kg nuts"); asked {
		t.Error("feed under the same heading is asked about")
	}
}

// Of every column that is read as something, somebody can be told why.
func TestEveryRoleSaysWhy(t *testing.T) {
	sheets := []Sheet{sheetOf("Week", "Week commencing 1 March 2027\n\nHorse|Owner|Ht|Kg|Mon|Tue|Wed|Thu|Fri|Sat|Sun|Feed now|New feed|Hay|Vet|Remarks|Total\n"+
		"Rowan|Kim|16.1|500|hack 60|off|hack 60|off|hack 60|off|off|2 kg nuts|2 kg nuts|2 nets|colic in May|kicks|2\nSorrel|Jo|15|420|off|hack 60|off|hack 60|off|off|off|1 kg nuts|1 kg nuts|1 net|||1")}
	b, err := readBook(sheets, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	seen := map[role]bool{}
	for _, x := range b.found.tables {
		for _, k := range x.cols {
			seen[k.role] = true
			if k.role != noRole && k.why == "" {
				t.Errorf("%s over column %d is read as %s, and nothing says why", k.own.shown(), k.at, k.role)
			}
		}
	}
	for _, r := range []role{nameRole, otherRole, heightRole, weightRole, workRole, feedRole, hayRole, healthRole, notesRole} {
		if !seen[r] {
			t.Errorf("no column is read as %s", r)
		}
	}
}

// The names may be far left of the days, with nothing over them and one heading joined over
// all that is done; below letters of a week stands what is done, and no names; and a line
// over a group of horses may be a word for headings.
func TestWhereTheNamesAre(t *testing.T) {
	const rowan, sorrel = "500 kg; 60 0 45 60 0 45 0; 2 -> 2.5", "400 kg; 0 60 0 60 0 60 0; 1 -> 1"
	rowanDays, sorrelDays := "hack 60|off|school 45|hack 60|off|school 45|off", "off|hack 60|off|hack 60|off|hack 60|off"
	block := func(name, kg, now, plan, days string) string {
		return "\n" + name + "\nWeight|" + kg + " kg|Height|16\n|M|T|W|T|F|S|S\nWork|" + days + "\nNow|" + now + "\nNew|" + plan + "\n"
	}
	wide := sheetOf("Week", "Week commencing 1 March 2027\n\n|Ht|Kg|Owner||Feed||New feed||Exercise\n|||||nuts (kg)||nuts (kg)||Mon|Tue|Wed|Thu|Fri|Sat|Sun\n"+
		"Rowan|16|500|Kim||2||2.5||"+rowanDays+"\nSorrel|15|400|Jo||1||1||"+sorrelDays)
	wide.Joined = []Rect{{3, 1, 4, 1}, {3, 10, 3, 16}}
	groups := sheetOf("Week", "Week commencing 1 March 2027\n\nNo.|Horse|Kg|Mon|Tue|Wed|Thu|Fri|Sat|Sun|Feed now|New feed\n\nBOARDERS\n"+
		"1|Rowan|500|"+rowanDays+"|2 kg nuts|2.5 kg nuts\nSCHOOL HORSES\n2|Sorrel|400|"+sorrelDays+"|1 kg nuts|1 kg nuts")
	groups.Joined = []Rect{{5, 1, 5, 12}, {7, 1, 7, 12}}
	for what, s := range map[string]Sheet{
		"no heading over them, one over all the days": wide,
		"a line over a group, behind a blank row":     groups,
		"a block a horse, its days in letters": sheetOf("1 March", "Week commencing 1 March 2027\n"+
			block("Rowan", "500", "2 kg nuts", "2.5 kg nuts", rowanDays)+block("Sorrel", "400", "1 kg nuts", "same", sorrelDays)+
			block("Alder", "450", "1 kg nuts", "same", strings.Repeat("holiday|", 7))),
	} {
		w, _ := Read([]Sheet{s}, time.Time{})
		if got := factsOf(w, "Rowan"); got != rowan {
			t.Errorf("%s: %s, want %s", what, got, rowan)
		}
		if got := factsOf(w, "Sorrel"); got != sorrel {
			t.Errorf("%s: %s, want %s", what, got, sorrel)
		}
	}
}

// Empty stables among the names are none, and make no column of names doubtful that has
// no heading.
func TestEmptyStablesAmongNames(t *testing.T) {
	const days = "|hack 60|off|hack 60|off|hack 60|off|off|2 kg nuts|2 kg nuts\n"
	w, err := Read([]Sheet{sheetOf("Week", "Week commencing 1 March 2027\n|Height|Weight kg|Mon|Tue|Wed|Thu|Fri|Sat|Sun|Feed now|New feed\n"+
		"Rowan|15.1|500"+days+"Sorrel|14.2|420"+days+"Box 7 – empty\nBox 8 – empty\nBox 9 – empty")}, time.Time{})
	if err != nil {
		t.Fatal("not read")
	}
	if got, want := factsOf(w, "Rowan"), "500 kg; 60 0 60 0 60 0 0; 2 -> 2"; got != want || len(w.Horses) != 2 {
		t.Errorf("%s, want %s; %d horses, want 2", got, want, len(w.Horses))
	}
}

// The 21st is a day and no weight of 21 stones, down a tab of a horse's own too.
func TestDaysOfTheMonthDownATab(t *testing.T) {
	tab := func(name, kg string) Sheet {
		return sheetOf(name, name+"|||w/c 21st Feb\nWeight|about "+kg+" kg\n\nDay|Work|Feed AM\n21st|day off|1 kg nuts\n22nd|hack 60|1 kg nuts\n23rd|school 40|1 kg nuts\n24th|lunge 30|1 kg nuts\n25th|hack 90|1 kg nuts\n26th|off|1 kg nuts\n27th|hack 45|1 kg nuts")
	}
	w, _ := Read([]Sheet{tab("Rowan", "500"), tab("Sorrel", "420"), tab("Alder", "450")}, time.Date(2028, 2, 18, 0, 0, 0, 0, time.UTC))
	if got, want := factsOf(w, "Rowan"), "500 kg; 0 60 40 30 90 0 45; - -> 1"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	// Where no year is known nobody can tell which days these are: they are asked about, and
	// not added up.
	w, _ = Read([]Sheet{tab("Rowan", "500"), tab("Sorrel", "420"), tab("Alder", "450")}, time.Time{})
	if got := factsOf(w, "Rowan"); !strings.HasPrefix(got, "500 kg; -1 -1 -1 -1 -1 -1 -1;") || !ruleAt(w, "column-unused") {
		t.Errorf("no year: %s", got)
	} else if !strings.Contains(got, "; ? -> ") && !strings.Contains(got, "; - -> ") {
		t.Errorf("no year, fed: %s", got)
	}
	for text, is := range map[string]bool{"21st": false, "w/c 21st Feb": false, "31st": false, "76 st": true, "76st": true, "31 st": true} {
		if got := newPages(nil).lang.looksLikeWeight(&Cell{Kind: Text, Text: text}); got != is {
			t.Errorf("%q looks like a weight: %t", text, got)
		}
	}
}
