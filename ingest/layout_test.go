package ingest

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"

	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// The same small yard, laid out in many ways.
const plainHorses = "Name | Weight (kg) | Age | Score\nBramble | 520 | 9 | 5\nOtter | 300 | 14 | 6\nQuill | 610 | 6 | 5.5"

func plainYard() []tab {
	return []tab{
		{"Yard", "Setting | Value\nYard | Pine\nWeek beginning | d:2026-11-30\nMeals | Breakfast 07:00, Tea 17:00\nMeasures | scoop 2 l"},
		{"Horses", plainHorses},
		{"Work", "Horse | Mon | Tue | Wed | Thu | Fri | Sat | Sun\nBramble | rest | hack 60 | W30 T20 | rest | hack 45 | show 10:00 | rest\nOtter | rest | W20 | rest | W20 | rest | W20 | rest\nQuill | hack 60 | rest | schooling 45 | rest | hack 60 | rest | rest"},
		{"Feeds", "Feed | Kind | One measure (kg)\nHay | hay |\nOats | cereal | 0.9\nChaff | chaff | 0.3"},
		{"Rations", "Horse | Feed | Now | Planned\nBramble | Hay | '9 kg | '9 kg\nBramble | Oats | '2 scoops | '2 scoops\nOtter | Hay | '5 kg | '5 kg\nQuill | Hay | '10 kg | '10 kg\nQuill | Oats | '1 scoop | '1½ scoops\nQuill | Chaff | '1 scoop | '1 scoop"},
	}
}

// gist is all that a layout may not change.
func gist(w yard.Week) string {
	var b strings.Builder
	fmt.Fprintln(&b, w.Yard, w.Beginning.Format(time.DateOnly), w.Meals, w.Measures)
	for _, h := range w.Horses {
		fmt.Fprintln(&b, h.Name, h.WeightKg, h.AgeYears, h.Score, h.NoCard, h.WorkGiven)
		for _, d := range h.Work {
			fmt.Fprint(&b, d.Text, d.Sessions, d.Event, d.StartMin, d.Unknown, "; ")
		}
		fmt.Fprintln(&b)
		for _, l := range w.Lines {
			if l.Horse == h.Name {
				fmt.Fprintln(&b, " ", l.Feed, l.Meal, l.Now.Kg, l.Planned.Kg, l.Now.Given, l.Planned.Given)
			}
		}
	}
	for _, f := range w.Feeds {
		fmt.Fprintln(&b, f.Name, f.Class, f.MeasureKg)
	}
	return b.String()
}

func TestLayoutsOfOneYard(t *testing.T) {
	want := gist(read(t, plainYard()...))
	y := plainYard()
	on := func(tabs ...tab) []tab { // replaces the sheets of the same name, adds the others
		out := append([]tab{}, y...)
		for _, n := range tabs {
			hit := false
			for i := range out {
				if out[i].name == n.name {
					out[i], hit = n, true
				}
			}
			if !hit {
				out = append(out, n)
			}
		}
		return out
	}
	without := func(tabs []tab, names ...string) []tab {
		var out []tab
		for _, tb := range tabs {
			if !strings.Contains("|"+strings.Join(names, "|")+"|", "|"+tb.name+"|") {
				out = append(out, tb)
			}
		}
		return out
	}
	beside := func(a, b string) string { // two tables next to each other, an empty column between
		l, r := strings.Split(a, "\n"), strings.Split(b, "\n")
		width := strings.Count(l[0], "|") + 1
		var out []string
		for i := range max(len(l), len(r)) {
			left, right := strings.Repeat("|", width-1), ""
			if i < len(l) {
				left = l[i] + strings.Repeat("|", width-1-strings.Count(l[i], "|"))
			}
			if i < len(r) {
				right = r[i]
			}
			out = append(out, left+"| |"+right)
		}
		return strings.Join(out, "\n")
	}
	dayTabs := without(y, "Work")
	for d, cells := range [][3]string{{"rest", "rest", "hack 60"}, {"hack 60", "W20", "rest"}, {"W30 T20", "rest", "schooling 45"}, {"rest", "W20", "rest"}, {"hack 45", "rest", "hack 60"}, {"show 10:00", "W20", "rest"}, {"rest", "rest", "rest"}} {
		name := time.Weekday((d + 1) % 7).String()
		dayTabs = append(dayTabs, tab{name, fmt.Sprintf("Horse | Work\nBramble | %s\nOtter | %s\nQuill | %s", cells[0], cells[1], cells[2])})
	}
	byDayText := ""
	for _, tb := range dayTabs[len(dayTabs)-7:] {
		byDayText += tb.name + "\n" + tb.text + "\n\n"
	}
	horseTab := func(name, weight, age, score string, work [7]string, ration string) tab {
		text := "Weight (kg) | " + weight + "\nAge | " + age + "\nCondition score | " + score + "\n \nDay | Work\n"
		for d, w := range work {
			text += time.Weekday((d + 1) % 7).String()[:3] + " | " + w + "\n"
		}
		return tab{name, text + " \nFeed | Now | Planned\n" + ration}
	}
	horseTabs := append(without(y, "Horses", "Work", "Rations"),
		horseTab("Bramble", "520", "9", "5", [7]string{"rest", "hack 60", "W30 T20", "rest", "hack 45", "show 10:00", "rest"}, "Hay | '9 kg | '9 kg\nOats | '2 scoops | '2 scoops"),
		horseTab("Otter", "300", "14", "6", [7]string{"rest", "W20", "rest", "W20", "rest", "W20", "rest"}, "Hay | '5 kg | '5 kg"),
		horseTab("Quill", "610", "6", "5.5", [7]string{"hack 60", "rest", "schooling 45", "rest", "hack 60", "rest", "rest"}, "Hay | '10 kg | '10 kg\nOats | '1 scoop | '1½ scoops\nChaff | '1 scoop | '1 scoop"))
	for what, tabs := range map[string][]tab{
		"header in row 28":            on(tab{"Horses", strings.Repeat("Our winter notes\n \n \n", 9) + plainHorses}),
		"totals and notes below":      on(tab{"Horses", plainHorses + "\nTotal | 1430\n \nNote: weights of the vet's scale\n* asked the owner"}),
		"blank rows and columns":      on(tab{"Horses", "Name | | Weight (kg) | | Age | Score\n \nBramble | | 520 | | 9 | 5\n \n \nOtter | | 300 | | 14 | 6\nQuill | | 610 | | 6 | 5.5"}),
		"horses turned":               on(tab{"Horses", "Name | Bramble | Otter | Quill\nWeight (kg) | 520 | 300 | 610\nAge | 9 | 14 | 6\nScore | 5 | 6 | 5.5"}),
		"horses turned, with dates":   on(tab{"Horses", "Name | Bramble | Otter | Quill\nWeight (kg) | 520 | 300 | 610\nHow weighed | scale | tape | scale\nDate weighed | d:2026-11-24 | d:2026-11-24 | d:2026-11-23\nAge | 9 | 14 | 6\nScore | 5 | 6 | 5.5"}),
		"horses turned, with a title": on(tab{"Horses", "The horses of this winter\n \nName | Bramble | Otter | Quill\nWeight (kg) | 520 | 300 | 610\nAge | 9 | 14 | 6\nScore | 5 | 6 | 5.5"}),
		"work turned":                 on(tab{"Work", "Day | Bramble | Otter | Quill\nMon | rest | rest | hack 60\nTue | hack 60 | W20 | rest\nWed | W30 T20 | rest | schooling 45\nThu | rest | W20 | rest\nFri | hack 45 | rest | hack 60\nSat | show 10:00 | W20 | rest\nSun | rest | rest | rest"}),
		"work turned, corner empty":   on(tab{"Work", " | Bramble | Otter | Quill\nMon | rest | rest | hack 60\nTue | hack 60 | W20 | rest\nWed | W30 T20 | rest | schooling 45\nThu | rest | W20 | rest\nFri | hack 45 | rest | hack 60\nSat | show 10:00 | W20 | rest\nSun | rest | rest | rest"}),
		"work, corner empty":          on(tab{"Work", strings.Replace(y[2].text, "Horse |", " |", 1)}),
		"one row a session":           on(tab{"Work", "Date | Horse | Work\nd:2026-11-30 | Bramble | rest\nd:2026-11-30 | Quill | hack 60\nd:2026-11-30 | Otter | rest\nTue | Bramble | hack 60\nTue | Otter | W20\nTue | Quill | rest\nd:2026-12-02 | Bramble | W30 T20\nd:2026-12-02 | Otter | rest\nd:2026-12-02 | Quill | schooling 45\nThu | Bramble | rest\nThu | Otter | W20\nThu | Quill | rest\nFri | Bramble | hack 45\nFri | Otter | rest\nFri | Quill | hack 60\nSat | Bramble | show 10:00\nSat | Otter | W20\nSat | Quill | rest\nSun | Bramble | rest\nSun | Otter | rest\nSun | Quill | rest"}),
		"one sheet per day":           dayTabs,
		"one table per day":           append(without(y, "Work"), tab{"Work", byDayText}),
		"one sheet per horse":         horseTabs,
		"horses and work in one":      on(tab{"Horses", beside0(plainHorses, y[2].text)}, tab{"Work", " "}),
		"work beside the horses":      append(without(y, "Work", "Horses"), tab{"Plan", beside(plainHorses, y[2].text)}),
		"work below the horses":       append(without(y, "Work", "Horses"), tab{"Plan", plainHorses + "\n \nThe work\n" + y[2].text}),
		"everything on one sheet":     {{"All", beside(y[0].text, plainHorses) + "\n \n \n" + y[2].text + "\n \nIn the feed room\n" + y[3].text + "\n \n" + y[4].text}},
		"feeds as columns":            on(tab{"Rations", "Horse | Hay | Oats | Chaff | Hay planned | Oats planned | Chaff planned\nBramble | '9 kg | '2 scoops | | '9 kg | '2 scoops |\nOtter | '5 kg | | | '5 kg | |\nQuill | '10 kg | '1 scoop | '1 scoop | '10 kg | '1½ scoops | '1 scoop"}),
		"rations turned":              on(tab{"Rations", "Feed | Bramble | Otter | Quill\nHay now | '9 kg | '5 kg | '10 kg\nOats now | '2 scoops | | '1 scoop\nChaff now | | | '1 scoop\nHay planned | '9 kg | '5 kg | '10 kg\nOats planned | '2 scoops | | '1½ scoops\nChaff planned | | | '1 scoop"}),
		"one ration per title":        on(tab{"Rations", "Bramble\nFeed | Now | Planned\nHay | '9 kg | '9 kg\nOats | '2 scoops | '2 scoops\n \nOtter\nFeed | Now | Planned\nHay | '5 kg | '5 kg\n \nQuill\nFeed | Now | Planned\nHay | '10 kg | '10 kg\nOats | '1 scoop | '1½ scoops\nChaff | '1 scoop | '1 scoop"}),
		"header repeated":             on(tab{"Horses", "Name | Weight (kg) | Age | Score\nBramble | 520 | 9 | 5\nName | Weight (kg) | Age | Score\nOtter | 300 | 14 | 6\nQuill | 610 | 6 | 5.5"}),
		"the week in a title":         append(on(tab{"Yard", "Setting | Value\nYard | Pine\nMeals | Breakfast 07:00, Tea 17:00\nMeasures | scoop 2 l"}), tab{"Notes", "Nothing"})[:0:0],
		"units below the headings":    on(tab{"Horses", "Name | Weight | Age | Score\n | (kg) | years | 1-9\nBramble | 520 | 9 | 5\nOtter | 300 | 14 | 6\nQuill | 610 | 6 | 5.5"}),
		"headings in two rows":        on(tab{"Horses", " | Body | | Condition\nName | weight (kg) | Age | score\nBramble | 520 | 9 | 5\nOtter | 300 | 14 | 6\nQuill | 610 | 6 | 5.5"}),
		"headings misspelled":         on(tab{"Horses", "Nmae of horse | Wieght (kg) | Age | Scoer\nBramble | 520 | 9 | 5\nOtter | 300 | 14 | 6\nQuill | 610 | 6 | 5.5"}),
	} {
		if len(tabs) == 0 {
			continue
		}
		w, err := Read("week.xlsx", workbook(t, tabs...), Options{})
		if err != nil {
			t.Errorf("%s: refused: %v", what, err)
			continue
		}
		if got := gist(w); got != want {
			t.Errorf("%s:\n%s\nwant\n%s", what, got, want)
			for _, f := range w.Findings {
				t.Logf("%s %s: %s", f.Rule, f.Cell, words.Message(f))
			}
		}
	}
}

// beside0 puts the columns of b but its first behind those of a.
func beside0(a, b string) string {
	l, r := strings.Split(a, "\n"), strings.Split(b, "\n")
	for i := range l {
		_, rest, _ := strings.Cut(r[i], "|")
		l[i] += " |" + rest
	}
	return strings.Join(l, "\n")
}

func TestTheWeekInATitle(t *testing.T) {
	for _, title := range []string{"Work, week commencing 30 November 2026", "W/C 30/11/2026", "Week beginning | d:2026-11-30", "Week beginning: | '30 Nov 2026"} {
		y := plainYard()
		y[0].text = "Setting | Value\nYard | Pine\nMeals | Breakfast 07:00, Tea 17:00\nMeasures | scoop 2 l"
		y[2].text = title + "\n \n" + y[2].text
		w := read(t, y...)
		if w.Beginning.Format(time.DateOnly) != "2026-11-30" || len(findings(w, "week-unknown")) != 0 {
			t.Errorf("%q: the week begins on %v, %v", title, w.Beginning, w.Findings)
		}
	}
	y := plainYard()
	y[2].text = "Week beginning 7 December 2026\n \n" + y[2].text
	if w := read(t, y...); w.Beginning.Day() != 30 || len(findings(w, "week-twice")) != 1 {
		t.Errorf("two weeks: %v %v", w.Beginning, w.Findings)
	}
}

// merge joins cells of a workbook.
func merge(t *testing.T, data []byte, sheet string, blocks ...[2]string) []byte {
	t.Helper()
	return edited(t, data, func(f *excelize.File) error {
		for _, b := range blocks {
			if err := f.MergeCell(sheet, b[0], b[1]); err != nil {
				return err
			}
		}
		return nil
	})
}

func edited(t *testing.T, data []byte, do func(*excelize.File) error) []byte {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := do(f); err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestHeadingsOverSeveralColumns(t *testing.T) {
	y := plainYard()
	y[4].text = "The rations of this week\n | | Fed now | | Planned |\nHorse | Feed | Breakfast | Tea | Breakfast | Tea\nBramble | Hay | '4 kg | '5 kg | '4 kg | '6 kg\nOtter | Hay | '2 kg | '3 kg | |\nQuill | Hay | '1 kg | '1 kg | |"
	y[2].text = "Horse | Mon | | Tue | | Wed | Thu | Fri | Sat | Sun\n | am | pm | am | pm | | | | |\nBramble | W20 | hack 30 | rest | | W10 | rest | rest | rest | rest\nOtter | rest | | rest | | rest | rest | rest | rest | rest\nQuill | rest | | rest | | rest | rest | rest | rest | rest"
	data := workbook(t, y...)
	data = merge(t, data, "Rations", [2]string{"A1", "F1"}, [2]string{"C2", "D2"}, [2]string{"E2", "F2"})
	data = merge(t, data, "Work", [2]string{"B1", "C1"}, [2]string{"D1", "E1"})
	w, err := Read("week.xlsx", data, Options{})
	if err != nil {
		t.Fatal(err)
	}
	b := w.Lines
	if len(b) != 6 || b[0].Meal != "Breakfast" || b[0].Now.Kg != yard.Known(4) || b[0].Planned.Kg != yard.Known(4) || b[1].Meal != "Tea" || b[1].Now.Kg != yard.Known(5) || b[1].Planned.Kg != yard.Known(6) {
		t.Errorf("lines: %+v", b)
	}
	if d := horse(t, w, "Bramble").Work; len(d[0].Sessions) != 2 || len(d[2].Sessions) != 1 || d[1].Unknown || !d[1].Rest() {
		t.Errorf("work: %+v", d)
	}
}

func TestHiddenIsReadWithANote(t *testing.T) {
	data := edited(t, workbook(t, plainYard()...), func(f *excelize.File) error {
		for _, err := range []error{f.SetRowVisible("Horses", 3, false), f.SetColVisible("Horses", "B", false), f.SetSheetVisible("Feeds", false)} {
			if err != nil {
				return err
			}
		}
		return nil
	})
	w, err := Read("week.xlsx", data, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := gist(w), gist(read(t, plainYard()...)); got != want {
		t.Errorf("%s\nwant\n%s", got, want)
	}
	if fs := findings(w, "rows-hidden"); len(fs) != 2 || !strings.Contains(words.Message(fs[0])+words.Message(fs[1]), "row 3") || !strings.Contains(words.Message(fs[0])+words.Message(fs[1]), "B1") {
		t.Errorf("hidden rows and columns: %v", fs)
	}
	if fs := findings(w, "sheet-hidden"); len(fs) != 1 || fs[0].Severity != yard.Note {
		t.Errorf("the hidden sheet: %v", fs)
	}
}

func TestADayWithoutAColumnIsUnknown(t *testing.T) {
	y := plainYard()
	y[2].text = "Horse | Mon | Tue | Wed | Thu | Fri | Sat\nBramble | rest | rest | rest | rest | rest | rest\nOtter | rest | rest | rest | rest | rest | rest\nQuill | rest | rest | rest | rest | rest | rest"
	w := read(t, y...)
	if d := w.Horses[0].Work[6]; !d.Unknown || d.Rest() || len(findings(w, "day-missing")) != 1 {
		t.Errorf("Sunday: %+v, %v", d, findings(w, "day-missing"))
	}
}

func TestAFeedOnTwoSheetsIsNotFedTwice(t *testing.T) {
	w := read(t, append(plainYard(), tab{"Rations old", "Horse | Feed | Now\nQuill | Hay | '8 kg"})...)
	if h := horse(t, w, "Quill"); len(h.NoCard) != 1 || len(findings(w, "ration-twice")) != 1 {
		t.Errorf("%v %v", h.NoCard, findings(w, "ration-twice"))
	}
}

func TestGuessedColumnsAreToldWithTheirSettings(t *testing.T) {
	y := plainYard()
	y[1].text = strings.Replace(y[1].text, "Weight (kg)", "Body wieght (kg)", 1)
	w := read(t, y...)
	if len(w.Guessed) != 1 || w.Guessed[0].Column != "weight" || w.Guessed[0].Word != "Body wieght (kg)" || w.Horses[0].WeightKg != yard.Known(520) || len(findings(w, "column-guessed")) != 1 {
		t.Fatalf("%+v %v", w.Guessed, w.Findings)
	}
	data := workbook(t, y...)
	again, err := Read("week.xlsx", data, Options{Synonyms: map[string][]string{w.Guessed[0].Column: {w.Guessed[0].Word}}})
	if err != nil || len(again.Guessed) != 0 || len(findings(again, "column-guessed")) != 0 || again.Horses[0].WeightKg != yard.Known(520) {
		t.Errorf("with the settings: %v %+v", err, again.Guessed)
	}
	// A target weight is not a weight.
	y[1].text = strings.Replace(y[1].text, "Body wieght (kg)", "Target weight (kg)", 1)
	if w := read(t, y...); w.Horses[0].WeightKg.IsKnown() {
		t.Error("a target weight was taken for the weight")
	}
}

func TestHorseNamesAcrossSheets(t *testing.T) {
	horses := "Name | Weight\nBramble (mare) | 500\nÉtoile d'Or | 510\nLady Jane 'Jinny' | 520\nAsh (Grey) | 530\nAsh (Bay) | 540\nTom | 550"
	for name, want := range map[string]struct{ horse, rule string }{
		"bramble": {"Bramble (mare)", "horse-name"}, "BRAMBLE  (Mare)": {"Bramble (mare)", ""}, "Bramble (gelding)": {"Bramble (mare)", "horse-name"},
		"etoile d’or": {"Étoile d'Or", ""}, "Etoile D'OR": {"Étoile d'Or", ""}, "Jinny": {"Lady Jane 'Jinny'", "horse-name"}, "Lady Jane": {"Lady Jane 'Jinny'", "horse-name"},
		"Ash": {"", "horse-unknown"}, "ash (grey)": {"Ash (Grey)", ""}, "Brambel": {"", "horse-unknown"}, "Tom\u00a0": {"Tom", ""}, "\u200fTom": {"Tom", ""}, "Mare": {"", "horse-unknown"}, "Tim": {"", "horse-unknown"},
	} {
		w := read(t, tab{"Horses", horses}, tab{"Work", "Horse | Mon | Tue | Wed | Thu | Fri | Sat | Sun\n" + name + " | hack 60 | rest | rest | rest | rest | rest | rest"})
		got := ""
		for _, h := range w.Horses {
			if h.WorkGiven {
				got += h.Name
			}
		}
		rule := ""
		for _, f := range w.Findings {
			if f.Rule == "horse-name" || f.Rule == "horse-unknown" {
				rule += string(f.Rule)
			}
		}
		if got != want.horse || rule != want.rule {
			t.Errorf("%q is %q with %q, want %q with %q", name, got, rule, want.horse, want.rule)
		}
		if name == "Brambel" && !strings.Contains(words.Message(findings(w, "horse-unknown")[0]), `Is it "Bramble (mare)"`) {
			t.Errorf("no likely match is named: %v", findings(w, "horse-unknown"))
		}
	}
}

// Where joined blocks overlap, as no spreadsheet program leaves them, the first
// one counts for every cell.
func TestTheFirstJoinedBlockCounts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		edge := func(most int) *rapid.Generator[int] { return rapid.IntRange(1, most) }
		s := &sheet{}
		for range rapid.IntRange(0, 12).Draw(t, "blocks") {
			r, c := edge(6).Draw(t, "row"), rapid.OneOf(edge(12), rapid.IntRange(250, 300)).Draw(t, "column")
			s.Merges = append(s.Merges, xlsx.Rect{Row1: r, Col1: c, Row2: r + rapid.IntRange(-1, 3).Draw(t, "more rows"), Col2: c + rapid.IntRange(-1, 9).Draw(t, "more columns")})
		}
		for row := range 10 {
			for _, col := range []int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 20, 250, 255, 256, 257, 260, 300} {
				var want xlsx.Rect
				first := slices.IndexFunc(s.Merges, func(m xlsx.Rect) bool { return row >= m.Row1 && row <= m.Row2 && col >= m.Col1 && col <= m.Col2 })
				if first >= 0 {
					want = s.Merges[first]
				}
				if got, ok := s.Merged(row, col); got != want || ok != (first >= 0) {
					t.Fatalf("row %d, column %d of %v: %v, want %v", row, col, s.Merges, got, want)
				}
			}
		}
	})
}

// A column of types, "horse" in each row, is not a header of a table lying on its side:
// where the heading over the names is not known no horse is made of the other columns.
func TestAColumnOfTypesIsNoHeader(t *testing.T) {
	_, err := Read("week.xlsx", workbook(t,
		tab{"Horses", "String|Sex|Weight (kg)|How weighed|Age|Type|Score|Fitness\nCopper|g|498|scale|4|horse|5|hard\nMistral|f|455|scale|3|horse|5|hard\nHarrow|g|521|scale|5|horse|5|hard"},
		tab{"Work", "Horse|Mon|Tue|Wed|Thu|Fri|Sat|Sun\nCopper|rest|rest|rest|rest|rest|rest|rest"},
		tab{"Feeds", "Feed|Kind\nHay|hay"}), Options{})
	if err == nil || !strings.Contains(words.Told(err), "No horses were found") {
		t.Errorf("read: %v", err)
	}
}
