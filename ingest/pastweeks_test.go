package ingest

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"math"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// pastRecordOf is the record of a week with Gannet's hard feed in it.
func pastRecordOf(week, kg string) string {
	return fmt.Sprintf(`{"schema":1,"program":"hardfeed","week":%q,"horses":[{"name":" GANNET","status":"held","hard_feed_kg":{"card":%s}}]}`, week, kg)
}

// saidOf are the sentences of a rule, a line each with its horse.
func saidOf(w yard.Week, rule yard.RuleID) (said []string) {
	for _, f := range w.Findings {
		if f.Rule == rule {
			said = append(said, f.Horse+": "+words.Message(f))
		}
	}
	return said
}

// says checks that each sentence wanted was said, and nothing beside.
func says(t *testing.T, w yard.Week, rule yard.RuleID, want ...string) {
	t.Helper()
	said := saidOf(w, rule)
	for _, s := range want {
		if !slices.ContainsFunc(said, func(have string) bool { return strings.Contains(have, s) }) {
			t.Errorf("%q is not said in\n%s", s, strings.Join(said, "\n"))
		}
	}
	if len(said) != len(want) {
		t.Errorf("%d are said and %d wanted\n%s", len(said), len(want), strings.Join(said, "\n"))
	}
}

// The weeks before, oldest first; a week that is missing or not known is not a week
// of nothing, and what is odd is said.
func TestPastWeeks(t *testing.T) {
	archive := map[string]string{
		"2026-05-25": pastRecordOf("2026-05-25", "9"), // twenty-seven weeks ago
		"2026-06-01": pastRecordOf("2026-06-01", "0.5"),
		"2026-09-14": pastRecordOf("2026-09-14", "null"),
		"2026-09-21": pastRecordOf("2026-09-21", "0"),
		"2026-09-28": strings.Replace(pastRecordOf("2026-09-28", "3"), "held", "no_card", 1),
		"2026-10-05": pastRecordOf("2026-10-05", "-1"),
		"2026-10-12": pastRecordOf("2026-10-12", "1e300"),
		"2026-10-19": pastRecordOf("2026-10-26", "3"), // another week's
		"2026-10-26": "",
		"2026-11-02": `{"schema":1,"program":"hardfeed","week":"2026-11-02","horses":[{"name":"Gannet","status":"carded","hard_feed_kg":{"card":1}},{"name":"gannet","status":"carded","hard_feed_kg":{"card":2}}]}`,
		"2026-11-09": strings.Repeat("[", 20000),
		"2026-11-16": `{"schema":1,"program":"hardfeed","week":"2026-11-16","horses":null}`,
		"2026-11-23": pastRecordOf("2026-11-23", "2.25"),
	}
	record := func(beginning time.Time) []byte {
		if r, ok := archive[beginning.Format("2006-01-02")]; ok {
			return []byte(r)
		}
		return nil
	}
	w := PastWeeks(thisWeek(), record)
	var got []string
	for _, p := range w.Horses[0].Past {
		kg := "unknown"
		if v, ok := p.HardKg.Get(); ok {
			kg = fmt.Sprint(v)
		}
		got = append(got, p.Beginning.Format("2 Jan ")+kg)
	}
	if want := "1 Jun 0.5, 14 Sep unknown, 21 Sep 0, 28 Sep unknown, 23 Nov 2.25"; strings.Join(got, ", ") != want {
		t.Errorf("the past weeks are %v, want %s", got, want)
	}
	if len(w.Horses[1].Past) != 0 {
		t.Errorf("Otter has %v", w.Horses[1].Past)
	}
	says(t, w, "past-week", "Gannet: The record of the week of 5 Oct 2026 has -1 kg", "12 Oct 2026 has 1e+300 kg", ": We could not read the record of the week of 19 Oct 2026",
		"could not read the record of the week of 26 Oct 2026", "listed twice in the record of the week of 2 Nov 2026", "could not read the record of the week of 9 Nov 2026")
	undated := thisWeek()
	undated.Beginning = time.Time{}
	if w := Recall(undated, func(time.Time) []byte { return []byte(pastRecordOf("0001-01-01", "1")) }); len(w.Horses[0].Past) != 0 {
		t.Error("a week without a date has no weeks before it")
	}
}

// A horse of a record, as this program writes it.
const pastHorseText = `{"name":"Gannet","status":"carded","body_weight_kg":512,"body_weight_basis":"tape","work_at_least":false,
"de_mcal":{"maintenance":17,"work":4.5,"change":1,"cold":0.5,"need":23,"supply":22.5,"supply_forage":16.25,"supply_estimated_sd":0.75},
"fed_mcal":{"card_end":{"forage":16.5,"other":7},"now":{"forage":15,"other":6},"work_before":4},"last_weighing":{"date":"2026-11-14","kg":511,"basis":"scale"},
"hard_feed_kg":{"now":1.5,"card":2},"step":{"warn_kg":0.7,"stop_kg":1.4},
"days":[{"kind":"work","work":"hack","sessions":[{"walk":30,"trot":20,"canter":0,"gallop":0,"jump":0}]},
{"kind":"rest","work":"","sessions":[]},{"kind":"rest","work":"","sessions":[]},{"kind":"rest","work":"","sessions":[]},{"kind":"rest","work":"","sessions":[]},
{"kind":"event","work":"show 10:00","sessions":[{"walk":20,"trot":20,"canter":10,"gallop":2,"jump":3.5},{"walk":5,"trot":0,"canter":0,"gallop":0,"jump":0}]},
{"kind":"rest","work":"","sessions":[]}]}`

func pastWith(horse string) string {
	return `{"schema":1,"program":"hardfeed","yard":"Cold Brook","week":"2026-11-16","horses":[` + horse + `]}`
}

func pastOf(t *testing.T, record string) yard.PastWeek {
	t.Helper()
	w := PastWeeks(thisWeek(), func(beginning time.Time) []byte {
		if beginning.Equal(time.Date(2026, 11, 16, 0, 0, 0, 0, time.UTC)) {
			return []byte(record)
		}
		return nil
	})
	says(t, w, "past-week")
	if len(w.Horses[0].Past) != 1 {
		t.Fatalf("%d past weeks", len(w.Horses[0].Past))
	}
	return w.Horses[0].Past[0]
}

// A weighing without a date is none, and what cannot be is unknown.
func TestOddFiguresOfAWeekBefore(t *testing.T) {
	p := pastOf(t, pastWith(strings.NewReplacer("2026-11-14", "last Saturday", `"forage":15`, `"forage":-15`, `"work_before":4`, `"work_before":"4"`).Replace(pastHorseText)))
	if p.Weighed.Kg.IsKnown() || p.Now.Forage.IsKnown() || p.WorkBefore.IsKnown() || !p.Now.Other.IsKnown() {
		t.Errorf("read as %+v and %+v", p.Weighed, p.WeekEnergy)
	}
	if p := pastOf(t, pastWith(pastHorseText)); !p.Weighed.Date.Equal(time.Date(2026, 11, 14, 0, 0, 0, 0, time.UTC)) || p.Weighed.Basis != yard.ByScale {
		t.Errorf("the last weighing is %+v", p.Weighed)
	}
}

// What a full week of a record tells of a horse.
func TestAFullWeekOfTheRecord(t *testing.T) {
	p := pastOf(t, pastWith(pastHorseText))
	for name, c := range map[string]struct {
		got  yard.Num
		want float64
	}{
		"hard feed":             {p.HardKg, 2},
		"fed at the start":      {p.FromKg, 1.5},
		"warned from":           {p.WarnKg, 0.7},
		"reduced from":          {p.StopKg, 1.4},
		"weight":                {p.WeightKg, 512},
		"forage's energy":       {p.ForageMcal, 16.25},
		"the other energy":      {p.OtherMcal, 6.25},
		"work and cold":         {p.WorkMcal, 5},
		"cold":                  {p.ColdMcal, 0.5},
		"forage at the end":     {p.CardEnd.Forage, 16.5},
		"the rest at the end":   {p.CardEnd.Other, 7},
		"forage before":         {p.Now.Forage, 15},
		"the rest before":       {p.Now.Other, 6},
		"work before":           {p.WorkBefore, 4},
		"last weighing":         {p.Weighed.Kg, 511},
		"doubt of what it eats": {p.DoubtMcal, 0.75},
		"walk":                  {p.Minutes[yard.Walk], 55},
		"trot":                  {p.Minutes[yard.Trot], 40},
		"canter":                {p.Minutes[yard.Canter], 10},
		"gallop":                {p.Minutes[yard.Gallop], 2},
		"jumping":               {p.Minutes[yard.Jump], 3.5},
		"all work":              {p.WorkMinutes(), 110.5},
	} {
		if v, ok := c.got.Get(); !ok || math.Abs(v-c.want) > 1e-9 {
			t.Errorf("%s: %v, want %v", name, c.got, c.want)
		}
	}
	if !p.Full || p.Basis != yard.ByTape || fmt.Sprint(p.Events) != "[{2026-11-21 00:00:00 +0000 UTC show 10:00}]" {
		t.Errorf("full %v, by %s, events %v", p.Full, p.Basis, p.Events)
	}
}

// One thing not known, and the week is not full: its energy teaches nothing. What is
// known of the rest stays.
func TestAPartOfAWeekTeachesNothing(t *testing.T) {
	for name, c := range map[string]struct {
		from, to string
		minutes  bool
	}{
		"no card":                        {`"carded"`, `"no_card"`, true},
		"energy unknown":                 {`"supply":22.5`, `"supply":null`, true},
		"a record from before the field": {`"supply_forage":16.25,"supply_estimated_sd":0.75`, `"supply_range":{"low":null,"high":null}`, true},
		"no number":                      {`"supply":22.5`, `"supply":"22.5"`, true},
		"energy no horse eats":           {`"supply":22.5`, `"supply":2250`, true},
		"work more than is written":      {`"work_at_least":false`, `"work_at_least":true`, true},
		"a day's work unknown":           {`"kind":"rest","work":"","sessions":[]`, `"kind":"work","work":"?","sessions":null`, false},
		"a day missing":                  {`{"kind":"rest","work":"","sessions":[]},`, ``, false},
		"a day without its work":         {`"kind":"rest","work":"","sessions":[]`, `"kind":"rest"`, false},
		"minutes that cannot be":         {`"gallop":2`, `"gallop":-2`, false},
		"minutes missing":                {`"gallop":2,`, ``, false},
	} {
		t.Run(name, func(t *testing.T) {
			record := pastWith(strings.Replace(pastHorseText, c.from, c.to, 1))
			if !json.Valid([]byte(record)) || record == pastWith(pastHorseText) {
				t.Fatal(record)
			}
			p := pastOf(t, record)
			if p.Full || p.ForageMcal.IsKnown() || p.OtherMcal.IsKnown() || p.WorkMcal.IsKnown() || p.DoubtMcal.IsKnown() {
				t.Errorf("%+v", p)
			}
			if p.WorkMinutes().IsKnown() != c.minutes || p.WeightKg != yard.Known(512) {
				t.Errorf("minutes %v, weight %v", p.WorkMinutes(), p.WeightKg)
			}
		})
	}
}

func FuzzPastWeeks(f *testing.F) {
	f.Add([]byte(pastRecordOf("2026-11-23", "2")))
	f.Add([]byte(pastRecordOf("2026-11-23", "-0")))
	f.Add([]byte(strings.Replace(pastWith(pastHorseText), "11-16", "11-23", 1)))
	f.Add([]byte("{"))
	f.Fuzz(func(t *testing.T, data []byte) {
		w := PastWeeks(thisWeek(), func(time.Time) []byte { return data })
		for _, p := range w.Horses[0].Past {
			for _, n := range append(p.Minutes[:], p.HardKg, p.FromKg, p.WarnKg, p.StopKg, p.WeightKg, p.ForageMcal, p.OtherMcal, p.WorkMcal, p.DoubtMcal) {
				if v, ok := n.Get(); ok && !(v >= 0 && v <= 1e6) {
					t.Errorf("%+v", p)
				}
			}
			if !p.Beginning.Before(w.Beginning) || p.Full != p.WorkMcal.IsKnown() {
				t.Errorf("%+v", p)
			}
		}
		if len(w.Horses[0].Past) > 1 {
			t.Errorf("one record is of %d weeks", len(w.Horses[0].Past))
		}
	})
}

// folderOf is a folder of past results.
func folderOf(files map[string]string) fs.FS {
	m := fstest.MapFS{}
	for name, text := range files {
		m[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return m
}

func editionOf(n int, kg string) string {
	return fmt.Sprintf(`{"schema":1,"program":"hardfeed","yard":"Cold Brook","week":"2026-11-23","edition":%d,"horses":[{"name":"Gannet","status":"carded","hard_feed_kg":{"card":%s}}]}`, n, kg)
}

// A folder of past results: what counts in it, and what is said of the rest.
func TestRecallFromAFolder(t *testing.T) {
	good := pastRecordOf("2026-11-16", "1")
	late := `{"findings":["` + strings.Repeat("long ", 2000) + `"],"horses":[{"name":"Gannet","status":"held","hard_feed_kg":{"card":3}}],"program":"hardfeed","schema":1,"week":"2026-11-16"}`
	for _, c := range []struct {
		name  string
		files map[string]string
		past  string
		said  []string
	}{
		{"nothing", nil, "", []string{"no record of a week before 30 Nov 2026"}},
		{"finished folders", map[string]string{"week 47/results.json": good, "week 48/results.json": pastRecordOf("2026-11-23", "2")}, "16 Nov 1, 23 Nov 2",
			[]string{": 2. The first begins 16 Nov 2026, the last 23 Nov 2026"}},
		{"folders in folders", map[string]string{"a/b/c/d/results.json": good}, "16 Nov 1", []string{": 1. The first"}},
		{"other files", map[string]string{"results.json": good, "cards.pdf": "%PDF", "results.xlsx": "PK", "old results.json": "{", "job.json": `{"schema":1}`}, "16 Nov 1", []string{": 1. The first"}},
		{"what is being written", map[string]string{"results.json": good, ".hardfeed/new/x/results.json": `{"schema":1,"pro`}, "16 Nov 1", []string{": 1. The first"}},
		{"the newest edition", map[string]string{"9/results.json": editionOf(9, "1"), "10/results.json": editionOf(10, "2"), "2/results.json": editionOf(2, "3")}, "23 Nov 2", []string{": 1. The first"}},
		{"a record kept twice", map[string]string{"archive/results.json": editionOf(1, "1"), "2026-11-23/results.json": editionOf(1, "1")}, "23 Nov 1", []string{": 1. The first"}},
		{"two that differ", map[string]string{"a/results.json": editionOf(1, "1"), "b/results.json": editionOf(1, "2")}, "",
			[]string{"two different records of the week of 23 Nov 2026, and nothing says which is newer: a/results.json and b/results.json", "no record of a week"}},
		{"this week's own and weeks to come", map[string]string{"a/results.json": good, "b/results.json": pastRecordOf("2026-11-30", "5"), "c/results.json": pastRecordOf("2026-12-07", "6")}, "16 Nov 1", []string{": 1. The first"}},
		{"a week that begins on another day", map[string]string{"a/results.json": pastRecordOf("2026-11-17", "5")}, "", []string{"no record of a week"}},
		{"cut short", map[string]string{"a/results.json": good, "b/results.json": editionOf(1, "2")[:150]}, "16 Nov 1", []string{": 1. The first"}},
		{"no record of this program", map[string]string{"a/results.json": good, "b/results.json": `{"schema":1,"program":"other","week":"2026-11-23"}`, "c/results.json": "", "d/results.json": `{"schema":9,"program":"hardfeed","week":"2026-11-23"}`}, "16 Nov 1",
			[]string{"We could not read b/results.json in the folder", "We could not read c/results.json in the folder", "We could not read d/results.json in the folder", ": 1. The first"}},
		{"no date", map[string]string{"a/results.json": good, "b/results.json": `{"schema":1,"program":"hardfeed","week":null}`}, "16 Nov 1", []string{"In the folder of past results, b/results.json has no date", ": 1. The first"}},
		{"another yard's", map[string]string{"a/results.json": good, "b/results.json": strings.Replace(editionOf(1, "2"), "Cold Brook", "High Barn", 1), "c/results.json": strings.Replace(editionOf(2, "2"), "Cold Brook", "High Barn", 1)}, "16 Nov 1",
			[]string{"2 records of another yard, High Barn", ": 1. The first"}},
		{"the yard's name in other letters", map[string]string{"b/results.json": strings.Replace(editionOf(1, "2"), "Cold Brook", "cold  BROOK", 1)}, "23 Nov 2", []string{": 1. The first"}},
		{"fields in another order", map[string]string{"a/results.json": late}, "16 Nov 3", []string{": 1. The first"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			w, err := RecallFrom(thisWeek(), folderOf(c.files))
			if err != nil {
				t.Fatal(err)
			}
			var past []string
			for _, p := range w.Horses[0].Past {
				past = append(past, p.Beginning.Format("2 Jan ")+fmt.Sprint(p.HardKg.Or(math.NaN())))
			}
			if got := strings.Join(past, ", "); got != c.past {
				t.Errorf("past weeks %q, want %q", got, c.past)
			}
			says(t, w, "history", c.said...)
		})
	}
}

// A record of last week that is damaged is told of once.
func TestADamagedLastWeekIsSaidOnce(t *testing.T) {
	w, err := RecallFrom(thisWeek(), folderOf(map[string]string{"b/results.json": editionOf(1, "2")[:150]}))
	if err != nil {
		t.Fatal(err)
	}
	says(t, w, "past-week")
	says(t, w, "last-week", "We could not read last week's record")
}

// What the workbook does not say of last week comes from the folder as from an archive.
func TestTheFolderTellsOfLastWeek(t *testing.T) {
	w, err := RecallFrom(thisWeek(), folderOf(map[string]string{"week/results.json": recordWith("wwwwwww", plainServings)}))
	if err != nil {
		t.Fatal(err)
	}
	if got := fedNow(w, "Gannet"); got["Oats"] != 2.5 {
		t.Errorf("fed now: %v", got)
	}
	undated := thisWeek()
	undated.Beginning = time.Time{}
	w, err = RecallFrom(undated, folderOf(map[string]string{"week/results.json": recordWith("wwwwwww", plainServings)}))
	if err != nil || len(fedNow(w, "Gannet")) != 0 {
		t.Errorf("%v: a week without a date has no week before it", err)
	}
	says(t, w, "history", "does not say which week it is for")
}

type brokenFolder struct{ fs.FS }

func (brokenFolder) Open(string) (fs.File, error) { return nil, fs.ErrPermission }

func TestAFolderThatCannotBeRead(t *testing.T) {
	if _, err := RecallFrom(thisWeek(), brokenFolder{}); err == nil {
		t.Error("no error")
	}
}
