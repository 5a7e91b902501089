package ingest

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"hardfeed/ingest/board"
	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// Files made to fill the memory or to take hours are refused, or read for what
// they hold, before the library lays them out.
func TestHostileWorkbooks(t *testing.T) {
	good := workbook(t, fullTabs()...)
	insert := func(rows string) []byte {
		return rezip(t, good, func(name string, b []byte) []byte {
			if name == "xl/worksheets/sheet2.xml" {
				return bytes.Replace(b, []byte("</sheetData>"), []byte(rows+"</sheetData>"), 1)
			}
			return b
		})
	}
	many := func(n int, f func(i int) string) string {
		var s strings.Builder
		for i := range n {
			s.WriteString(f(i))
		}
		return s.String()
	}
	far := func(i int) string {
		n := xlsx.RefOf(1, i+100)[1:]
		return `<row r="` + n + `"><c r="XFD` + n + `" s="0"/></row>`
	}
	for _, c := range []struct {
		what   string
		data   []byte
		horses int // 0: refused
	}{
		{"a formatted cell in the last row", insert(`<row r="1048576"><c r="A1048576" s="0"/></row>`), 3},
		{"a value in the last row", insert(`<row r="1048576"><c r="A1048576"><v>3</v></c></row>`), 4},
		{"formatted cells in the last column", insert(many(20, far)), 3},
		{"formatted cells in the last column of many rows", insert(many(2000, far)), 0},
		{"a million empty rows", insert(many(1_000_000, func(i int) string { return `<row r="` + xlsx.RefOf(1, i+100)[1:] + `"/>` })), 0},
		{"half a million small cells", insert(many(50_000, func(i int) string {
			return `<row r="` + xlsx.RefOf(1, i+100)[1:] + `">` + strings.Repeat(`<c><v>1</v></c>`, 10) + `</row>`
		})), 0},
		{"rows without numbers", insert(many(100_000, func(int) string { return `<row/>` })), 0},
		{"very many joined cells", insert("</sheetData><mergeCells>" + many(100_000, func(int) string { return `<mergeCell ref="A1:B2"/>` }) + "</mergeCells><sheetData>"), 0},
		{"a part of 200 MB", rezip(t, good, func(name string, b []byte) []byte {
			if name == "xl/worksheets/sheet2.xml" {
				return append(b, bytes.Repeat([]byte(" "), 200<<20)...)
			}
			return b
		}), 0},
		{"an element of very many attributes", insert(`<row ` + many(300_000, func(i int) string { return "a" + strconv.Itoa(i) + `="" ` }) + `/>`), 0},
		{"deep nesting", insert(strings.Repeat("<a>", 1000) + strings.Repeat("</a>", 1000)), 0},
	} {
		w, err := Read("week.xlsx", c.data, Options{})
		var r *xlsx.Refused
		switch {
		case c.horses == 0 && !errors.As(err, &r):
			t.Errorf("%s: read as %d horses (%v), want it refused", c.what, len(w.Horses), err)
		case c.horses > 0 && (err != nil || len(w.Horses) != c.horses):
			t.Errorf("%s: read as %d horses (%v), want %d", c.what, len(w.Horses), err, c.horses)
		}
	}
}

// More horses than any yard has would fill the memory when they are planned and
// drawn, however sound the file.
func TestTooManyHorses(t *testing.T) {
	for n, refused := range map[int]bool{maxHorses: false, maxHorses + 1: true} {
		tab := &sheet{Sheet: xlsx.Sheet{Name: "Horses", Rows: []xlsx.Row{{N: 1, Cells: []xlsx.Cell{{Row: 1, Col: 1, Kind: xlsx.Text, Shown: "Name"}, {Row: 1, Col: 2, Kind: xlsx.Text, Shown: "Weight (kg)"}}}}}}
		for i := range n {
			tab.Rows = append(tab.Rows, xlsx.Row{N: i + 2, Cells: []xlsx.Cell{{Row: i + 2, Col: 1, Kind: xlsx.Text, Shown: fmt.Sprintf("Horse %d", i)}, {Row: i + 2, Col: 2, Kind: xlsx.Text, Shown: "500 kg"}}})
		}
		w, err := understand("x.xlsx", []*sheet{tab}, 0, Options{})
		if refused != (err != nil) || !refused && len(w.Horses) != n {
			t.Errorf("%d horses: %d read, %v", n, len(w.Horses), err)
		}
	}
}

// A sheet whose every row is nearly a header is not compared with all known
// headings row by row: that took minutes.
func TestNearlyHeadersOnEveryRow(t *testing.T) {
	tab := &sheet{Sheet: xlsx.Sheet{Name: "x"}}
	for i := range 19_000 {
		r := xlsx.Row{N: i + 1}
		for c, text := range []string{"hoarse %d", "date thirtieth %d", "feeed now %d", "walkk %d", "wieght x%d"} {
			r.Cells = append(r.Cells, xlsx.Cell{Row: i + 1, Col: c + 1, Kind: xlsx.Text, Shown: fmt.Sprintf(text, i)})
		}
		tab.Rows = append(tab.Rows, r)
	}
	v := newVocabulary(nil)
	v.guess = true
	v.upright(tab)
	if looked := len(v.looks); looked > 40*5*3 { // every text alone and joined with its neighbour above or below
		t.Errorf("%d texts were compared", looked)
	}
	if _, err := understand("x.xlsx", []*sheet{tab}, 0, Options{}); err == nil {
		t.Error("horses were found in it")
	}
}

// Many rows of one kind are refused, or come to a list somebody can read: what
// follows the reading must not have thousands of pages to draw.
func TestMoreOfOneKindThanAYardHas(t *testing.T) {
	lines := func(head string, n int, row func(i int) string) string {
		var s strings.Builder
		s.WriteString(head)
		for i := range n {
			s.WriteString("\n" + row(i))
		}
		return s.String()
	}
	for _, c := range []struct {
		what    string
		sheet   tab
		refused string
	}{
		{"feeds", tab{"Feeds", lines("Feed | Kind | One measure (kg)", 1200, func(i int) string { return fmt.Sprintf("feed %d | hard feed | 1", i) })}, "more than 1000 feeds"},
		{"rows of one horse", tab{"Rations", lines("Horse | Feed | Now", 300, func(i int) string { return fmt.Sprintf("Bramble | feed %d | 1 kg", i) })}, "more than 200 rows on the rations sheet for Bramble"},
		{"meals", tab{"Rations", lines("Horse | Feed | Meal | Now", 60, func(i int) string { return fmt.Sprintf("Bramble | Hay | feed no %d | 1 kg", i) })}, "more than 24 meals"},
		{"sessions", tab{"Sessions", lines("Session | Walk | Trot", 1100, func(i int) string { return fmt.Sprintf("round %d | 10 | 10", i) })}, "more than 1000 sessions"},
		{"measures", tab{"Yard", "Setting | Value\nMeasures | " + strings.ReplaceAll(lines("bowl 1 l", 120, func(i int) string { return fmt.Sprintf(", jug %c%c 2 l", 'a'+i/26, 'a'+i%26) }), "\n", "")}, "more than 100 measures"},
		{"meals on the yard sheet", tab{"Yard", "Setting | Value\nMeals | " + strings.ReplaceAll(lines("Tea 17:00", 40, func(i int) string { return fmt.Sprintf(", feed no%d 9:%02d", i, i) }), "\n", "")}, "more than 24 meals"},
		{"work of one day", tab{"Diary", lines("Date | Horse | Work", 3000, func(i int) string { return fmt.Sprintf("d:2026-11-30 | Bramble | grind %d", i) })}, ""},
		{"names of no horse", tab{"Rations", lines("Horse | Feed | Now", 3000, func(i int) string { return fmt.Sprintf("Nobody %d | Hay | 1 kg", i) })}, ""},
	} {
		tabs := append(plainYard()[:3:3], c.sheet)
		if c.sheet.name == tabs[0].name {
			tabs = tabs[1:]
		}
		w, err := Read("week.xlsx", workbook(t, tabs...), Options{})
		if c.refused != "" {
			if err == nil || !strings.Contains(words.Told(err), c.refused) {
				t.Errorf("%s: %v", c.what, err)
			}
			continue
		}
		more := ""
		for _, f := range w.Findings {
			if strings.Contains(words.Message(f), "more findings of this kind") {
				more = words.Message(f)
			}
		}
		full := c.what == "work of one day" // no more is read of it
		if err != nil || more == "" != full || len(w.Findings) > 2*mostFindings || full && !horse(t, w, "Bramble").Work[0].Unknown {
			t.Errorf("%s: %v, %d findings, %q", c.what, err, len(w.Findings), more)
		}
	}
}

// wroteSheet is a sheet of texts.
func wroteSheet(name string, rows ...[]string) *sheet {
	s := &sheet{Sheet: xlsx.Sheet{Name: name}}
	for i, texts := range rows {
		r := xlsx.Row{N: i + 1}
		for c, text := range texts {
			if text != "" {
				r.Cells = append(r.Cells, xlsx.Cell{Row: i + 1, Col: c + 1, Kind: xlsx.Text, Shown: text})
			}
		}
		if len(r.Cells) > 0 {
			s.Rows = append(s.Rows, r)
		}
	}
	return s
}

// A bad column of a large yard and a diary nobody can read are findings; a sheet
// of nothing but nonsense is refused, with its first cells.
func TestReadingGivesUpOnNonsense(t *testing.T) {
	heads := []string{"Name", "Weight", "Girth", "Age", "Score", "Date weighed", "Rider"}
	horses := func(n, bad int) *sheet {
		rows := [][]string{heads}
		for i := range n {
			r := append([]string{fmt.Sprintf("Ash %d", i)}, "500 kg", "190 cm", "9", "5", "2026-11-23", "80 kg")
			for c := range bad {
				r[c+1] = fmt.Sprintf("hoarse %dx%d", i, c)
			}
			rows = append(rows, r)
		}
		return wroteSheet("Horses", rows...)
	}
	diary := [][]string{{"Date", "Horse", "Work"}}
	for i := range 50 * 182 {
		diary = append(diary, []string{fmt.Sprintf("2026-12-%02d", 1+i/50%28), fmt.Sprintf("Ash %d", i%50), fmt.Sprintf("took it to the beech, number %d", i)})
	}
	for _, c := range []struct {
		what    string
		sheets  []*sheet
		refused bool
	}{
		{"one bad column of the largest yard", []*sheet{horses(maxHorses, 1)}, false},
		{"five bad columns of a large yard", []*sheet{horses(2500, 5)}, false},
		{"six bad columns of a large yard", []*sheet{horses(2500, 6)}, true},
		{"six bad columns of a small yard", []*sheet{horses(300, 6)}, false},
		{"half a year of prose in the diary of fifty horses", []*sheet{horses(50, 0), wroteSheet("Diary", diary...), wroteSheet("Yard", []string{"Setting", "Value"}, []string{"Week beginning", "2026-11-30"})}, false},
	} {
		w, err := understand("week.xlsx", c.sheets, 0, Options{})
		if c.refused != (err != nil) {
			t.Errorf("%s: %d horses, %d findings, %v", c.what, len(w.Horses), len(w.Findings), err)
		}
		if c.refused {
			for _, want := range []string{"week.xlsx", "after 1250", "Horses!B2", "hoarse 0x0", "Write a number, such as 520 kg", "Compare the headings"} {
				if !strings.Contains(words.Told(err), want) {
					t.Errorf("%s: %q is not in %v", c.what, want, err)
				}
			}
		}
	}
}

// A few rows for horses that are not listed are last year's. Where most are, by the
// thousand, the list of horses is another yard's: nothing is proposed for it.
func TestRowsForHorsesThatNobodyLists(t *testing.T) {
	horses := [][]string{{"Name", "Weight"}}
	for i := range 3_000 {
		horses = append(horses, []string{fmt.Sprintf("Ash %d", i), "500 kg"})
	}
	list := func(sheet string, known, strange int) *sheet {
		rows := [][]string{{"Horse", "Mon", "Tue", "Wed"}}
		cells := []string{"rest", "rest", "rest"}
		if sheet == "Rations" {
			rows, cells = [][]string{{"Horse", "Feed", "Now"}}, []string{"Oats", "1 kg"}
		}
		for i := range known {
			rows = append(rows, append([]string{fmt.Sprintf("Ash %d", i)}, cells...))
		}
		for i := range strange {
			rows = append(rows, append([]string{fmt.Sprintf("Larch %dx", i%700)}, cells...))
		}
		return wroteSheet(sheet, rows...)
	}
	feeds := wroteSheet("Feeds", []string{"Feed", "Kind"}, []string{"Oats", "hard feed"})
	for _, c := range []struct {
		sheet          string
		known, strange int
		refused        bool
	}{
		{"Rations", 0, mostStrangeRows, false},
		{"Rations", 0, mostStrangeRows + 1, true},
		{"Rations", mostStrangeRows + 1, mostStrangeRows + 2, true},
		{"Rations", mostStrangeRows + 2, mostStrangeRows + 1, false},
		{"Work", 10, mostStrangeRows + 1, true},
		{"Work", mostStrangeRows + 2, mostStrangeRows + 1, false},
	} {
		w, err := understand("week.xlsx", []*sheet{wroteSheet("Horses", horses...), feeds, list(c.sheet, c.known, c.strange)}, 0, Options{})
		switch {
		case c.refused != (err != nil):
			t.Errorf("%s of %d horses and %d strangers: %d horses, %v", c.sheet, c.known, c.strange, len(w.Horses), err)
		case c.refused && !(strings.Contains(words.Told(err), "Larch 0x") && strings.Contains(words.Told(err), c.sheet)):
			t.Errorf("%s: %v", c.sheet, err)
		case !c.refused && len(w.Horses) != 3_000:
			t.Errorf("%s: %d horses", c.sheet, len(w.Horses))
		}
	}
}

// Where most cells could be a heading, a table could begin in any of them, and each would
// be followed to the foot of the sheet.
func TestHeadingsInMostCells(t *testing.T) {
	heads := []string{"Name", "Weight", "Mon", "Horse", "Feed", "Now", "Age", "Tue"}
	rows := make([][]string, 1500)
	for r := range rows {
		for c := range 100 {
			rows[r] = append(rows[r], heads[(r*7+c*11+r*c)%len(heads)])
		}
	}
	var in []board.Sheet
	in = append(in, boardSheet(wroteSheet("horses", rows...)))
	if w, err := board.Read(in, time.Time{}); !errors.Is(err, board.ErrHeadings) {
		t.Errorf("%d horses, %v", len(w.Horses), err)
	}
	// As many cells under one row of headings are a large yard.
	rows = [][]string{{"Horse", "Weight", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"}}
	for i := range 2_000 {
		rows = append(rows, []string{fmt.Sprint("Ash", strings.Repeat("x", i%7), string(rune('a'+i%26)), string(rune('a'+i/26%26)), string(rune('a'+i/676))), "500 kg", "hack 60", "off", "school 45", "hack 60", "off", "off", "off"})
	}
	if w, err := board.Read([]board.Sheet{boardSheet(wroteSheet("week", rows...))}, time.Time{}); err != nil || len(w.Horses) != 2_000 {
		t.Errorf("%d horses, %v", len(w.Horses), err)
	}
}

// A header on every other row, each under a title of its own.
func TestMoreTablesThanAYardHas(t *testing.T) {
	rows := [][]string{{"Name", "Weight"}, {"Ash", "500 kg"}}
	for i := range mostTables {
		rows = append(rows, []string{fmt.Sprintf("Week beginning %d December 2026", 7+i%20)}, []string{"Horse", "Mon", "Tue", "Wed"})
	}
	if w, err := understand("x.xlsx", []*sheet{wroteSheet("x", rows...)}, 0, Options{}); err == nil || !strings.Contains(words.Told(err), "tables") {
		t.Errorf("%d horses, %v", len(w.Horses), err)
	}
}

// What is skipped for a word that no heading has is none, and a row that has not
// the columns of a kind is not read as one.
func checkPassedOver(t noter, synonyms map[string][]string, feeds []string, rows ...[]string) {
	v, all := newVocabulary(synonyms), newVocabulary(synonyms)
	words := map[string]string{}
	for _, f := range feeds {
		words[v.taken(f).words] = f
	}
	for _, x := range []*vocabulary{&v, &all} {
		x.learn([]string{"Elevenses", "Night Hay"}, words)
	}
	s, again := wroteSheet("Mon", rows...), wroteSheet("Mon", rows...)
	x := newVocabulary(synonyms)
	for _, r := range again.Rows {
		x.headingsIn(r) // before anything is learnt
	}
	x.learn([]string{"Elevenses", "Night Hay"}, words)
	for i, r := range s.Rows {
		if got, want := x.headingsIn(again.Rows[i]), v.headingsIn(r); got != want {
			t.Fatalf("%v has %+v, looked at before %+v", rows[i], want, got)
		}
		for _, c := range r.Cells {
			if l := all.lookAt(c.Shown); l.any && !v.likely(c.Shown).any {
				t.Fatalf("%q is passed over: %+v", c.Shown, *l)
			}
		}
		hs := oneRow(r)
		if i > 0 {
			hs = append(hs, twoRows(s, i-1)...)
		}
		have := v.headingsOf(hs)
		for n, k := range wordKinds {
			if f := v.read(n, s, i, hs); f.score > 0 && !have.enoughFor(k, false) {
				t.Fatalf("%v is a %s table and was not looked at: %+v", rows, k, have)
			}
		}
	}
}

func TestWhatIsPassedOverIsNoHeading(t *testing.T) {
	known := []string{"Night hay now", "planned Elevenses", "30 November", "2026", "Mon.", "am", "(kg) Weight", "Wt", "D.E. MJ/kg", "Ra/tion", "%", "?", "Ecurie", "Écurie", "Pferd", "Ho\u00adrse", " Horse", "ＨORSE", "Kg", "½", "thurs 3", "x"}
	for _, cols := range columnWords {
		for _, ws := range cols {
			known = append(known, ws...)
		}
	}
	slices.Sort(known)
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.Custom(func(t *rapid.T) string {
			s := rapid.SampledFrom(known).Draw(t, "words")
			switch rapid.IntRange(0, 5).Draw(t, "way") {
			case 0:
				s += rapid.SampledFrom([]string{" ", "/", "", " (", " ", "\u200b", "é", "́"}).Draw(t, "between") + rapid.SampledFrom(known).Draw(t, "more")
			case 1:
				s = strings.ToUpper(s)
			case 2:
				s = rapid.SampledFrom([]string{"(", "[x] ", "¿", "- ", ".", "É", "our "}).Draw(t, "before") + s
			case 3:
				s = rapid.String().Draw(t, "anything")
			}
			return s
		})
		line := rapid.SliceOfN(text, 1, 8)
		checkPassedOver(t, map[string][]string{"horse": {"Pferd", "Écurie"}, "monday": {"Lun."}}, rapid.SliceOfN(text, 0, 3).Draw(t, "feeds"), rapid.SliceOfN(line, 1, 3).Draw(t, "rows")...)
	})
}

func FuzzHeading(f *testing.F) {
	f.Add("Horse", "Night hay", "Pferd")
	f.Add("30 November 2026", "%", "(x)")
	f.Add("Oats planned", "Oats", "Lun.")
	f.Fuzz(func(t *testing.T, text, feed, own string) {
		checkPassedOver(t, map[string][]string{"horse": {own}, "tuesday": {own}}, []string{feed}, []string{text, feed + " " + text, own + text})
	})
}

// What is too long to be a day's work or a list of diagnoses is not taken word by
// word: the work is unknown, and the diagnoses are read as strictly as can be.
func TestTextsTooLongForTheirCells(t *testing.T) {
	long := strings.Repeat("hack 60, ", mostCellText/9+1)
	w, err := understand("x.xlsx", []*sheet{
		wroteSheet("Horses", []string{"Name", "Weight", "Diagnoses"}, []string{"Ash", "500 kg", long}, []string{"Elm", "500 kg", "laminitis"}),
		wroteSheet("Work", []string{"Horse", "Mon", "Tue", "Wed"}, []string{"Ash", long, "hack 60", "rest"}, []string{"Elm", "rest", "rest", "rest"}),
	}, 0, Options{})
	if err != nil {
		t.Fatal(err)
	}
	ash := horse(t, w, "Ash")
	if d := ash.Work[0]; !d.Unknown || len(d.Sessions) != 0 || len(d.Text) > 100 || len(ash.Work[1].Sessions) != 1 {
		t.Errorf("%+v", ash.Work)
	}
	if len(ash.Diagnoses) != 1 || ash.Diagnoses[0].Kind != yard.OtherDiagnosis || len(ash.Diagnoses[0].Text) > 100 {
		t.Errorf("%+v", ash.Diagnoses)
	}
	if len(findings(w, "work-word")) != 1 || len(findings(w, "diagnosis-word")) != 1 {
		t.Errorf("%v", w.Findings)
	}
	if d := horse(t, w, "Elm").Diagnoses; len(d) != 1 || d[0].Kind != yard.Laminitis {
		t.Errorf("%+v", d)
	}
	much := [][]string{{"Horse", "Mon", "Tue", "Wed"}}
	heads := [][]string{{"Name", "Weight"}}
	for i := range mostWorkText/900/3 + 1 {
		name := fmt.Sprintf("Ash %d", i)
		heads = append(heads, []string{name, "500 kg"})
		rest := fmt.Sprintf("rest %s%d", strings.Repeat("on the ", 128), i)
		much = append(much, []string{name, rest + "a", rest + "b", rest + "c"})
	}
	if _, err := understand("x.xlsx", []*sheet{wroteSheet("Horses", heads...), wroteSheet("Work", much...)}, 0, Options{}); err == nil || !strings.Contains(words.Told(err), "characters of work") {
		t.Errorf("much work: %v", err)
	}
}

// The quick look at the letters leaves out no candidate that is near.
func TestNearestLeavesNobodyOut(t *testing.T) {
	words := []string{"hack", "schooling", "body weight", "Lärche", "ÉCURIE", "gallop", "trot", "Torte", "Ash 7", "", "x", "lunge", "long reining", "ſ", "K"}
	rapid.Check(t, func(t *rapid.T) {
		near := rapid.Custom(func(t *rapid.T) string {
			rs := []rune(rapid.SampledFrom(words).Draw(t, "word"))
			for range rapid.IntRange(0, 3).Draw(t, "slips") {
				at := rapid.IntRange(0, len(rs)).Draw(t, "at")
				switch {
				case rapid.Bool().Draw(t, "more"):
					rs = slices.Insert(rs, at, rapid.RuneFrom([]rune("abeé tßK")).Draw(t, "letter"))
				case at+1 < len(rs):
					rs[at], rs[at+1] = rs[at+1], rs[at]
				case at < len(rs):
					rs = slices.Delete(rs, at, at+1)
				}
			}
			return string(rs)
		})
		word, known := near.Draw(t, "asked"), rapid.SliceOfN(near, 0, 6).Draw(t, "known")
		if got, want := nearest(word, known), yard.Nearest(word, known); got != want {
			t.Fatalf("%q of %q: %q, want %q", word, known, got, want)
		}
	})
}
