package report

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"hardfeed/ration/yard"
	"hardfeed/report/reporttest"
	"hardfeed/report/wall"
	"hardfeed/report/words"
)

func TestWholeYardStandsOnTheFirstPages(t *testing.T) {
	p := reporttest.Fixture()
	text := strings.Join(reporttest.Pages(t, named(t, files(t, p, words.Meta{}), "cards.pdf")), "")
	who := text[:strings.Index(text, "Ring:")]
	for _, h := range p.Horses {
		if !strings.Contains(who, reporttest.Bare(h.Horse.Name)) {
			t.Errorf("%s is not in who gets what", h.Horse.Name)
		}
		for _, s := range h.Servings {
			if a := words.English().AmountOf(s, false).String(); !strings.Contains(who, reporttest.Bare(a)) {
				t.Errorf("%s: %q is not in who gets what", h.Horse.Name, a)
			}
		}
	}
	for _, w := range []string{"LESS THAN PLANNED", "NO CARD – ASK", "Out of date after Sun 6 Dec", "Breakfast06:30"} {
		if !strings.Contains(who, reporttest.Bare(w)) {
			t.Errorf("%q is not in who gets what", w)
		}
	}
}

// whoOf is the text of the first pages, who gets what.
func whoOf(t testing.TB, p yard.Plan) string {
	t.Helper()
	text := reporttest.TextOf(t, wall.Cards(), p, 2)
	return text[:strings.Index(text, "OUTOFDATE")]
}

// A meal of eighteen ordinary horses is a page to carry along.
func TestWhoGetsWhatIsAPageAMeal(t *testing.T) {
	p := reporttest.Fixture()
	plain := p.Horses[0]
	p.Horses = nil
	for range 18 {
		p.Horses = append(p.Horses, plain)
	}
	s, err := reporttest.Sketch("cards", wall.Cards(), p, words.Meta{KeepBoxes: true, CardsPerPage: 2, Paper: "A4"})
	if err != nil {
		t.Fatal(err)
	}
	on := map[string]int{}
	first := reporttest.FirstCardPage(s)
	for _, b := range s.D.Boxes {
		if b.Page >= first {
			continue
		}
		on[b.Text] = max(on[b.Text], b.Page)
		if c := b.Cap; regexp.MustCompile(`^\d*[¼½¾]?\x{a0}(scoops?|kg)`).MatchString(b.Text) && c < 3-0.01 || b.Text == "Bramble" && c < 3.4-0.01 {
			t.Errorf("%q is %.2f mm high", b.Text, c)
		}
	}
	if first > 4 || on["Breakfast  06:30"] == 0 {
		t.Errorf("two meals of 18 horses take %d pages", first-1)
	}
}

// Where a feed's amounts have their days printed, a day off that none of them names
// has a line of its own, also where what it gets is what the working days start from.
func TestADayOffThatNoAmountNamesIsSaid(t *testing.T) {
	type from = []yard.Weekday
	for _, c := range []struct {
		why        string
		days       string // w, r from Monday
		work, rest from   // from which days, ¼ scoop at first and ¼ more each time
		want       string // of the line of the day off; empty: there is none
	}{
		{"comes in on Saturday, Monday off", "rwwwwww", from{5, 6}, nil, "REST Mon: no Oats"},
		{"Monday off gets what Tuesday gets", "rwwwwww", from{0, 3}, from{0}, "REST Mon: U ¼ scoop Oats"},
		{"Sunday off gets none, nor does Monday", "wwwwwwr", from{2}, nil, "REST Sun: no Oats"},
		{"the first amount's days do not hold the day off", "wwrwwww", from{0, 4}, from{0}, "REST Wed: U ¼ scoop Oats"},
		{"every day the same", "wwrwwww", from{0}, from{0}, ""},
		{"from Tuesday on holds the Thursday off", "wwwrwww", from{0, 1}, from{0, 1}, ""},
		{"no day off planned, but one may come on any day", "wwwwwww", from{0, 3}, from{0}, "REST: U ¼ scoop Oats"},
	} {
		h := reporttest.Carded("Bramble", 520, reporttest.Week(), reporttest.Hay(yard.WorkDay, "Tea", 5), reporttest.Hay(yard.RestDay, "Tea", 5))
		for i, d := range c.days {
			if d == 'r' {
				h.Days[i].Kind = yard.RestDay
			}
		}
		for kind, froms := range map[yard.DayKind]from{yard.WorkDay: c.work, yard.RestDay: c.rest} {
			for i, d := range froms {
				h.Servings = append(h.Servings, reporttest.ScoopsOf(kind, "Tea", "Oats", 0.25*float64(i+1), 0.4, d))
			}
		}
		slices.SortStableFunc(h.Servings, func(a, b yard.Serving) int { return strings.Compare(a.Feed, b.Feed) })
		p := reporttest.OnlyHorse(reporttest.Fixture(), 0, yard.Carded)
		p.Horses[0] = h
		who := whoOf(t, p)
		who = strings.ReplaceAll(who, reporttest.Bare("REST and EVENT lines"), "")
		if strings.Contains(who, "REST") != (c.want != "") || !strings.Contains(who, reporttest.Bare(c.want)) {
			t.Errorf("%s: want %q in\n%s", c.why, c.want, who)
		}
	}
}

// Grass is not carried out: what goes out at a meal has no line for it, and its
// hours are not called ad lib.
func TestGrassStandsByItsHours(t *testing.T) {
	p := reporttest.OnlyHorse(reporttest.Fixture(), 0, yard.Carded)
	grass := reporttest.Serving{Day: yard.WorkDay, Feed: "Grass", Class: yard.Forage, AdLib: true, Grazed: reporttest.Num(4), Kg: 9}
	p.Horses[0] = reporttest.Carded("Bramble", 520, reporttest.Week(), reporttest.Hay(yard.WorkDay, "Tea", 5), grass)
	p.Horses[0].RestAsWork = true
	p.Horses = append(p.Horses, p.Horses[0])
	p.Horses[1].Horse.Name = "Fern"
	who, card := whoOf(t, p), cardOf(t, p, 0)
	for where, text := range map[string]string{"who gets what": who, "card": card} {
		if strings.Contains(text, reporttest.Bare("ad lib")) || !strings.Contains(text, reporttest.Bare("4 h")) {
			t.Errorf("%s does not say 4 h, or says ad lib, in\n%s", where, text)
		}
	}
	if got := strings.Count(who, "Grass"); got != 2 {
		t.Errorf("grass stands %d times in\n%s", got, who)
	}
}

// A horse no feed is known of is not said to get nothing: its card says ask.
func TestAHorseWithoutFeedsIsAskedAbout(t *testing.T) {
	p := reporttest.OnlyHorse(reporttest.Fixture(), 0, yard.Carded)
	fern := reporttest.Carded("Fern", 480, reporttest.Week())
	p.Horses = append(p.Horses, fern)
	who := whoOf(t, p)
	meals := strings.Count(who, reporttest.Bare("Conditioning cubes")) // there is another horse's line at each
	if strings.Contains(who, reporttest.Bare("Nothing at this meal: Fern")) || strings.Count(who, reporttest.Bare("Fern No feed stands on the sheets for this horse: ask before feeding")) < 2 || meals == 0 || !strings.Contains(who, reporttest.Bare("week's start, without Fern:")) {
		t.Errorf("Fern is not asked about at each meal in\n%s", who)
	}
	p.Horses = []yard.HorsePlan{fern}
	if who := whoOf(t, p); strings.Contains(who, reporttest.Bare("Nothing at this meal")) || !strings.Contains(who, reporttest.Bare("ask before feeding")) {
		t.Errorf("alone, Fern is not asked about in\n%s", who)
	}
}
