package report

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"hardfeed/ration/yard"
	"hardfeed/report/office"
	"hardfeed/report/reporttest"
	"hardfeed/report/words"
)

func TestOfficeSheetStartsWithDecisionsAndLeavesNothingOut(t *testing.T) {
	p := words.Proof(reporttest.Fixture())
	all := reporttest.Pages(t, named(t, files(t, p, words.Meta{Version: "9.9"}), "office.pdf"))
	text := strings.Join(all, "")
	for _, w := range []string{"Sheets read: 6. Rows: 143. Horses: 7. Horses planned: 7.", "What to decide this week", "Quillfeather LESS THAN PLANNED", "The plan was 4.2 kg of hard feed a day. The card has 2.3 kg.", "Old Tom NO CARD"} {
		if !strings.Contains(all[0], reporttest.Bare(w)) {
			t.Errorf("%q is not on the first page", w)
		}
	}
	for _, f := range p.Findings {
		for _, w := range []string{words.Message(f), words.Where(f.Cell), string(f.Rule), f.Source} {
			if !strings.Contains(text, reporttest.Bare(w)) {
				t.Errorf("%q of a finding is missing", w)
			}
		}
	}
	for _, w := range []string{"at least 12.2", "at least 14.2", "name-print", "week 4", "usual limit 2.6", "about 79 kg *", "15.5 bales", "21 days",
		"published bulk density of whole oats, 0.48 kg a litre", "NRC 2007", "hardfeed 9.9", "qualified nutritionist"} {
		if !strings.Contains(text, reporttest.Bare(w)) {
			t.Errorf("%q is missing", w)
		}
	}
}

// The office sheet of an ordinary horse can be handed to its vet as one page:
// three meals, an amount that climbs, rest and event days, all nutrients of
// NRC 2007 and a few findings.
func TestAnOrdinaryHorseIsOnePageOfTheOfficeSheet(t *testing.T) {
	for _, c := range []struct {
		paper string
		past  bool // its past weeks are drawn too, 17 mm
		more  int  // findings
	}{{"A4", false, 2}, {"Letter", false, 1}, {"A4", true, 1}, {"Letter", true, 0}} { // Letter is 18 mm shorter
		paper, more := c.paper, c.more
		p := reporttest.OnlyHorse(reporttest.Fixture(), 1, yard.Held)
		if !c.past {
			p.Horses[0].Horse.Past = nil
		}
		p.Findings = nil // of others
		h := &p.Horses[0]
		h.Servings, h.Nutrients = nil, nil
		for _, k := range []yard.DayKind{yard.WorkDay, yard.RestDay, yard.EventDay} {
			for _, m := range []string{"Breakfast", "Lunch", "Tea"} {
				h.Servings = append(h.Servings, reporttest.Hay(k, m, 3), reporttest.ScoopsOf(k, m, "Oats", 1, 0.4, 0), reporttest.ScoopsOf(k, m, "Chaff", 1, 0.2, 0), reporttest.ScoopsOf(k, m, "Conditioning cubes", 0.5, 0.5, 0))
			}
			h.Servings = append(h.Servings, reporttest.Serving{Day: k, Meal: "Tea", Feed: "Salt", Class: yard.Salt, Kg: 0.03})
		}
		for i := range 3 {
			h.Servings = append(h.Servings, reporttest.ScoopsOf(yard.WorkDay, "Tea", "Oats", 1.25+float64(i)/4, 0.4, yard.Weekday(i+1)))
		}
		for _, u := range []string{"g", "mg"} {
			for i := range 10 {
				h.Nutrients = append(h.Nutrients, yard.Nutrient{Name: fmt.Sprint("mineral ", i), Unit: u, Need: reporttest.Num(12345), AtLeast: 9876})
			}
		}
		for range more {
			h.Findings = append(h.Findings, h.Findings[0])
		}
		s, err := reporttest.Sketch("office", office.Document(), p, words.Meta{KeepBoxes: true, Paper: paper})
		if err != nil {
			t.Fatal(err)
		}
		for _, b := range s.D.Boxes {
			if b.Text == "Order list" && b.Page != 4 { // behind what to decide, how it was read, and the horse
				t.Errorf("%+v: the order list is on page %d: the horse's block takes %d", c, b.Page, b.Page-3)
			}
		}
	}
}

// The clock of an event day: the hours without hard feed, the start, and what is
// fed at each meal of that kind of day.
func TestAnEventDayByTheClock(t *testing.T) {
	for _, c := range []struct {
		why   string
		clock yard.EventClock
		want  []string
	}{
		{"a morning", yard.EventClock{Day: 5, Start: 600, End: 690, LastHardFeed: 360, NextHardFeed: 750}, []string{
			"Event on Sat 5 Dec", "last hard feed by 06:00", "start 10:00", "hard feed again from 12:30", "Breakfast 06:30: Meadow hay 1 kg, Oats 1 scoop", "Tea 17:30: Oats 1½ scoops, Meadow hay 6 kg", "Lunch 12:30: nothing", "no hard feed, until an hour after the end"}},
		{"before four in the morning", yard.EventClock{Day: 5, Start: 180, End: 180, LastHardFeed: -60, NextHardFeed: 240}, []string{"start 03:00", "hard feed again from 04:00", "You did not write how long the event lasts"}},
		{"late at night", yard.EventClock{Day: 5, Start: 1400, End: 1430, LastHardFeed: 1160, NextHardFeed: 1490}, []string{"start 23:20", "hard feed again from the day after"}},
	} {
		p := reporttest.OnlyHorse(reporttest.Fixture(), 1, yard.Held)
		c.clock.Source = "a source"
		p.Horses[0].Events = []yard.EventClock{c.clock}
		s, err := reporttest.Sketch("office.pdf", office.Document(), p, reporttest.KeepBoxes(words.Meta{Paper: "A4"}))
		if err != nil {
			t.Fatal(err)
		}
		reporttest.CheckPlaces(t, s)
		text := strings.Join(reporttest.Pages(t, reporttest.Pdf(t, s)), "")
		for _, w := range append(c.want, "water always", "The hours come from a source.") {
			if !strings.Contains(text, reporttest.Bare(w)) {
				t.Errorf("%s: %q is missing", c.why, w)
			}
		}
	}
}

func TestSentencesAreWhole(t *testing.T) {
	p := reporttest.Fixture()
	p.Horses[1].HeldWhy = reporttest.Sayings("planned hard feed climbs")
	p.Horses[1].Findings[0].Message, p.Findings[0].Message = "éclair climbs", "éclair climbs"
	fs := files(t, p, words.Meta{})
	for name, want := range map[string][]string{"cards.pdf": {"Planned hard feed climbs"}, "office.pdf": {"Planned hard feed climbs", "Éclair climbs"}} {
		text := strings.Join(reporttest.Pages(t, named(t, fs, name)), "")
		for _, w := range want {
			if !strings.Contains(text, reporttest.Bare(w)) {
				t.Errorf("%s lacks %q", name, w)
			}
		}
	}
	if b := string(named(t, fs, "results.json")); !strings.Contains(b, "Planned hard feed climbs.") || !strings.Contains(b, "Éclair climbs.") {
		t.Error("the record has no whole sentences")
	}
	if got := words.Whose(yard.Finding{Rule: "D-02", Source: "D-02 of the table"}); got != "D-02 of the table" {
		t.Errorf("the rule is said twice: %q", got)
	}
}

// The second page is how the workbook was read, a line a horse, as it was understood.
func TestTheSecondPageIsHowTheWorkbookWasRead(t *testing.T) {
	p := reporttest.Fixture()
	h := &p.Horses[0].Horse
	h.WorkGiven = true
	h.Work[1] = yard.Day{Text: "hack + school", Sessions: []yard.Session{{Minutes: [yard.Gaits]float64{yard.Walk: 30, yard.Trot: 10}}, {Minutes: [yard.Gaits]float64{yard.Trot: 10, yard.Canter: 5}}}}
	h.Work[2] = yard.Day{Text: "torrt 20", Unknown: true}
	h.Work[5] = yard.Day{Event: true, StartMin: 600, Sessions: []yard.Session{{Minutes: [yard.Gaits]float64{yard.Jump: 4}}}}
	h.Diagnoses = []yard.NamedDiagnosis{{Kind: yard.Laminitis, Text: "laminitic, autumn"}}
	p.Horses[0].Findings = append(p.Horses[0].Findings, yard.Finding{Rule: "work-word", Severity: yard.Warn, Horse: "Bramble", Message: "?", Cell: yard.Cell{Sheet: "Work", Ref: "D2"}})
	page := reporttest.Pages(t, named(t, files(t, p, words.Meta{}), "office.pdf"))[1]
	for _, w := range []string{"How the workbook was read", "520 kg by scale", "W30 T20 C5", "? torrt 20", "event 10:00", "J4", "1.5 kg 2 kg", "laminitic, autumn", "Work!D2", "Old Tom unknown not given"} {
		if !strings.Contains(page, reporttest.Bare(w)) && !strings.Contains(page, reporttest.Bare(strings.ReplaceAll(w, "event 10:00", "event"))) {
			t.Errorf("%q is not on the second page:\n%s", w, page)
		}
	}
	for _, h := range p.Horses {
		if !strings.Contains(page, reporttest.Bare(h.Horse.Name)) {
			t.Errorf("%s is not on the second page", h.Horse.Name)
		}
	}
}

// A yard in pounds has no kilo on any sheet but in the sources' own words.
func TestAYardInPoundsHasPoundsEverywhere(t *testing.T) {
	p := reporttest.OnlyHorse(reporttest.Fixture(), 0, yard.Carded)
	p.Week.Imperial = true
	p.Findings, p.Horses[0].Findings = nil, nil
	kilo := regexp.MustCompile(`\d(kg|g)([^a-zA-Z/]|$)`)
	for name, want := range map[string][]string{
		"cards.pdf":  {"Body weight 1,146 lb", "7.7", "1.1 lb", "0.9"},
		"scoops.pdf": {"1.1 lb"},
		"office.pdf": {"1,146 lb", "4.41", "683.4 lb", "Rise 1.1 lb."},
	} {
		text := strings.Join(reporttest.Pages(t, named(t, files(t, p, words.Meta{}), name)), " ")
		for _, w := range want {
			if !strings.Contains(text, reporttest.Bare(w)) {
				t.Errorf("%s: %q is missing from\n%s", name, w, text)
			}
		}
		text = regexp.MustCompile(`sweat[\d.]*kg|0\.48kgalitre`).ReplaceAllString(text, "")
		for _, at := range kilo.FindAllStringIndex(text, -1) {
			t.Errorf("%s: a weight in kilos or grams: …%s…", name, text[max(0, at[0]-30):min(len(text), at[1]+10)])
		}
	}
}
