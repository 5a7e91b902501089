package ingest

import (
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// thisWeek is Gannet's and Otter's week of 30 November; nobody wrote what they are fed now.
func thisWeek(lines ...yard.Line) yard.Week {
	return yard.Week{
		Yard: "Cold Brook", Beginning: time.Date(2026, 11, 30, 0, 0, 0, 0, time.UTC),
		Meals:  []yard.Meal{{Name: "Breakfast"}, {Name: "Tea"}},
		Horses: []yard.Horse{{Name: "Gannet", Cell: yard.Cell{Sheet: "horses", Ref: "A2"}}, {Name: "Otter"}},
		Feeds: []yard.Feed{{Name: "Hay", Class: yard.Forage}, {Name: "Oats", Class: yard.HardFeed, MeasureKg: yard.Known(1)},
			{Name: "Cubes", Class: yard.HardFeed}, {Name: "Oil", Class: yard.Oil}},
		Lines: lines,
		Findings: []yard.Finding{{Rule: "rations-missing", Severity: yard.Warn, Horse: "Gannet", Message: "no row"},
			{Rule: "rations-missing", Severity: yard.Warn, Horse: "Otter", Message: "no row"}},
	}
}

// recordWith is last week's results.json: the kinds of Gannet's days from Monday
// on (w, r, e) and its servings, one a line: day|meal|feed|class|kg|from, with
// "ad lib" in place of kilograms, and measures after a slash.
func recordWith(days, servings string) string {
	kinds := map[rune]string{'w': "work", 'r': "rest", 'e': "event"}
	var ds, ss []string
	for _, d := range days {
		work := `"sessions":[{"name":"hack","walk":30,"trot":30,"hills":true}]`
		switch d {
		case 'r':
			work = `"sessions":[]`
		case '?':
			work = `"sessions":null`
		}
		ds = append(ds, fmt.Sprintf(`{"kind":%q,"work":"as written",%s}`, kinds[d], work))
	}
	for line := range strings.Lines(servings) {
		c := strings.Split(strings.TrimSpace(line), "|")
		if len(c) < 6 {
			continue
		}
		kg, measures, measured := strings.Cut(c[4], "/")
		adLib := kg == "ad lib"
		if adLib {
			kg = "8"
		}
		if !measured {
			measures = "null"
		}
		ss = append(ss, fmt.Sprintf(`{"day":%q,"meal":%q,"feed":%q,"class":%q,"ad_lib":%t,"kg":%s,"measures":%s,"weigh":%t,"from":%q}`,
			c[0], c[1], c[2], c[3], adLib, kg, measures, !measured, c[5]))
	}
	return fmt.Sprintf(`{"schema":1,"program":"hardfeed","week":"2026-11-23","edition":2,
		"horses":[{"name":"gannet","status":"carded","days":[%s],"ration":[%s]}],
		"feeds":[{"feed":"Oats","measure_kg":1},{"feed":"Cubes","measure_kg":0.8}]}`, strings.Join(ds, ","), strings.Join(ss, ","))
}

const plainServings = `
work||Hay|forage|ad lib|Mon
work|Breakfast|Oats|hard feed|1/1|Mon
work|Tea|Oats|hard feed|1/1|Mon
work|Tea|Oats|hard feed|1.5/1.5|Thu
rest||Hay|forage|ad lib|Mon
rest|Breakfast|Oats|hard feed|0.5/0.5|Mon
rest|Tea|Oats|hard feed|0.5/0.5|Mon
`

// fedNow is what the lines of a horse add up to, in kilograms and measures taken
// at their weight; ad lib counts as 1000.
func fedNow(w yard.Week, horse string) map[string]float64 {
	now := map[string]float64{}
	for _, l := range w.Lines {
		if !strings.EqualFold(l.Horse, horse) || !l.Now.Given {
			continue
		}
		kg, ok := l.Now.Kg.Get()
		if !ok {
			for _, f := range w.Feeds {
				if f.Name == l.Feed {
					kg = l.Now.Measures.Or(math.NaN()) * f.MeasureKg.Or(math.NaN())
				}
			}
		}
		if l.Now.AdLib {
			kg = 1000
		}
		now[l.Feed] += kg
	}
	return now
}

// The step is measured from the highest amount of hard feed on at least two of
// the last seven days (limits D-01).
func TestWhatWasFedLastWeek(t *testing.T) {
	for _, c := range []struct {
		name, days, servings string
		want                 map[string]float64
	}{
		{"the last stage of the week", "wwwwwww", plainServings, map[string]float64{"Hay": 1000, "Oats": 2.5}},
		{"a stage of one day only does not count", "wwwrrrw", plainServings, map[string]float64{"Hay": 1000, "Oats": 2}},
		{"nor does one work day among days off", "rrrrrrw", plainServings, map[string]float64{"Hay": 1000, "Oats": 1}},
		{"two days of it do", "rrrrrww", plainServings, map[string]float64{"Hay": 1000, "Oats": 2.5}},
		{"a feed taken away on Thursday", "wwwwwww", `
work|Tea|Oats|hard feed|1|Mon
work|Tea|Cubes|hard feed|1|Mon
work|Tea|Oats|hard feed|0|Wed
work|Tea|Cubes|hard feed|2.4|Wed
`, map[string]float64{"Oats": 0, "Cubes": 2.4}},
		{"oil stays what it was in kilograms", "wwwwwww", "work|Tea|Oil|oil|0.092|Mon", map[string]float64{"Oil": 0.092}},
		{"a measure of another weight now counts by its kilograms", "wwwwwww", "work|Tea|Cubes|hard feed|1.6/2|Mon", map[string]float64{"Cubes": 1.6}},
		{"a feed no longer in the room is left out", "wwwwwww", "work|Tea|Barley|hard feed|1|Mon\nwork|Tea|Oats|hard feed|1|Mon", map[string]float64{"Oats": 1}},
		{"an amount that is not known is none", "wwwwwww", "work|Tea|Oats|hard feed|null|Mon\nwork|Tea|Hay|forage|9|Mon", map[string]float64{"Hay": 9}},
		{"nor is one that no horse could eat", "wwwwwww", "work|Tea|Oats|hard feed|-3|Mon\nwork|Tea|Hay|forage|1e9|Mon", map[string]float64{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			before := thisWeek()
			w := LastWeek(before, []byte(recordWith(c.days, c.servings)))
			if got := fedNow(w, "Gannet"); !reflect.DeepEqual(got, c.want) {
				t.Errorf("fed now: %v, want %v", got, c.want)
			}
			if got := fedNow(w, "Otter"); len(got) != 0 {
				t.Errorf("Otter has no record and is fed %v", got)
			}
			said := false
			for _, f := range w.Findings {
				if f.Rule == "last-week" && f.Horse == "Gannet" {
					said = strings.Contains(words.Message(f), "week beginning 23 Nov 2026, edition 2")
				}
				if f.Rule == "rations-missing" && f.Horse == "Gannet" && said {
					t.Error("it is said to be unknown, too")
				}
			}
			if !said {
				t.Errorf("nothing says where the amounts are from: %v", w.Findings)
			}
			if !reflect.DeepEqual(before, thisWeek()) {
				t.Error("the week handed in was changed")
			}
		})
	}
}

func TestWhatIsWrittenGoesBeforeTheRecord(t *testing.T) {
	line := yard.Line{Horse: "GANNET", Feed: "Hay", Now: yard.Amount{Given: true}} // something is there, though it could not be read
	w := LastWeek(thisWeek(line), []byte(recordWith("wwwwwww", plainServings)))
	if !reflect.DeepEqual(w.Lines, []yard.Line{line}) {
		t.Errorf("lines are %+v", w.Lines)
	}
	planned := yard.Line{Horse: "Gannet", Feed: "Oats", Meal: "Tea", Planned: yard.Amount{Given: true, Kg: yard.Known(3)}}
	w = LastWeek(thisWeek(planned), []byte(recordWith("wwwwwww", plainServings)))
	if got := fedNow(w, "Gannet"); got["Oats"] != 2.5 || !reflect.DeepEqual(w.Lines[0], planned) {
		t.Errorf("fed now %v, lines %+v", got, w.Lines)
	}
	for _, l := range w.Lines[1:] {
		if (l.Meal != "") != (l.Feed == "Oats") {
			t.Errorf("%+v: the workbook gives oats by meal, and hay by the day", l)
		}
	}
}

func TestLastWeeksWork(t *testing.T) {
	w := LastWeek(thisWeek(), []byte(recordWith("wwr?wew", plainServings)))
	h := w.Horses[0]
	if !h.BeforeGiven || w.Horses[1].BeforeGiven {
		t.Fatalf("given: %v, %v", h.BeforeGiven, w.Horses[1].BeforeGiven)
	}
	if s := h.Before[0].Sessions; len(s) != 1 || s[0].Total() != 60 || !s[0].Hills || s[0].Minutes[yard.Trot] != 30 {
		t.Errorf("Monday's work is %+v", s)
	}
	if !h.Before[2].Rest() || !h.Before[3].Unknown || h.Before[3].Rest() || !h.Before[5].Event {
		t.Errorf("the days are %+v", h.Before)
	}
	diary := thisWeek()
	diary.Horses[0].BeforeGiven = true
	if w := LastWeek(diary, []byte(recordWith("wwwwwww", plainServings))); len(w.Horses[0].Before[0].Sessions) != 0 {
		t.Error("what the workbook says of last week's work was replaced")
	}
}

// Only the week directly before is last week.
func TestAnotherRecordIsNotLastWeek(t *testing.T) {
	good := recordWith("wwwwwww", plainServings)
	for name, record := range map[string]string{
		"the week before that": strings.Replace(good, "2026-11-23", "2026-11-16", 1),
		"the same week":        strings.Replace(good, "2026-11-23", "2026-11-30", 1),
		"no week":              strings.Replace(good, `"2026-11-23"`, "null", 1),
		"no card that week":    strings.Replace(strings.Replace(good, "carded", "no_card", 1), `[{"name":"hack"`, `null,"x":[{"name":"hack"`, 7),
		"another horse":        strings.Replace(good, "gannet", "curlew", 1),
		"six days":             strings.Replace(good, `{"kind":"work","work":"as written","sessions":[{"name":"hack","walk":30,"trot":30,"hills":true}]},`, "", 1),
	} {
		t.Run(name, func(t *testing.T) {
			if !json.Valid([]byte(record)) {
				t.Fatal(record)
			}
			if w := LastWeek(thisWeek(), []byte(record)); len(w.Lines) != 0 || w.Horses[0].BeforeGiven {
				t.Errorf("lines %+v, work %v", w.Lines, w.Horses[0].Before)
			}
		})
	}
	undated := thisWeek()
	undated.Beginning = time.Time{}
	if w := LastWeek(undated, []byte(good)); len(w.Lines) != 0 {
		t.Error("a week without a date has no week before it")
	}
	for _, record := range []string{"", "{", "null", "[]", `{"schema":2,"program":"hardfeed"}`, `{"schema":1,"program":"other"}`} {
		w := LastWeek(thisWeek(), []byte(record))
		if len(w.Lines) != 0 || len(w.Findings) != 3 {
			t.Errorf("%q: %v", record, w.Findings)
		}
	}
}

func FuzzLastWeek(f *testing.F) {
	f.Add([]byte(recordWith("wwrewww", plainServings)))
	f.Add([]byte(recordWith("", "")))
	f.Add([]byte(`{"schema":1,"program":"hardfeed","week":"2026-11-23","horses":[{"name":"Gannet","status":"held","days":[{},{},{},{},{},{},{}],"ration":[{"from":"Mon"}]}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		for _, l := range LastWeek(thisWeek(), data).Lines {
			kg, ok := l.Now.Kg.Get()
			n, ok2 := l.Now.Measures.Get()
			if !l.Now.Given || !l.Now.AdLib && !ok && !ok2 || kg < 0 || n < 0 || math.IsNaN(kg+n) || kg > 100 {
				t.Errorf("%+v", l)
			}
		}
	})
}

// The stops and warnings of the week before are kept with their weeks; notes are not, and
// a record without a count has that week alone.
func TestWhatWasToldLastWeek(t *testing.T) {
	record := strings.Replace(recordWith("wwwwwww", plainServings), `"feeds":`, `"findings":[
		{"rule":"D-18","severity":"warn","horse":"","weeks":3},{"rule":"D-02","severity":"stop","horse":"Gannet"},
		{"rule":"energy","severity":"note","horse":"Gannet","weeks":2},{"rule":"rider","severity":"warn","horse":"Otter","weeks":-7}],"feeds":`, 1)
	want := []yard.Told{{Rule: "D-18", Severity: yard.Warn, Weeks: 3}, {Horse: "Gannet", Rule: "D-02", Severity: yard.Stop, Weeks: 1}, {Horse: "Otter", Rule: "rider", Severity: yard.Warn, Weeks: 1}}
	if got := LastWeek(thisWeek(), []byte(record)).Told; !reflect.DeepEqual(got, want) {
		t.Errorf("%+v, want %+v", got, want)
	}
	for what, other := range map[string]string{"none told": recordWith("wwwwwww", plainServings), "another week": strings.Replace(record, "2026-11-23", "2026-11-16", 1),
		"no list": strings.Replace(record, `"findings":[`, `"findings":7,"x":[`, 1)} {
		if got := LastWeek(thisWeek(), []byte(other)).Told; got != nil {
			t.Errorf("%s: %+v", what, got)
		}
	}
}
