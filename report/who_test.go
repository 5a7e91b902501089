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

// whoOf is the text of the first pages, who gets what.
func whoOf(t testing.TB, p yard.Plan) string {
	t.Helper()
	text := reporttest.TextOf(t, wall.Cards(), p, 2)
	return text[:strings.Index(text, "OUTOFDATE")]
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
		if strings.Contains(text, reporttest.Bare("ad lib")) || !strings.Contains(text, reporttest.Bare(map[string]string{"who gets what": "Grass h 4 4 4 4 4 4 4", "card": "4 h"}[where])) {
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
	if strings.Contains(who, reporttest.Bare("Nothing at this meal: Fern")) || strings.Count(who, reporttest.Bare("Fern We don't know what this horse is fed. Ask before feeding")) < 2 || meals == 0 || !strings.Contains(who, reporttest.Bare("Total for this meal, without Fern")) {
		t.Errorf("Fern is not asked about at each meal in\n%s", who)
	}
	p.Horses = []yard.HorsePlan{fern}
	if who, card := whoOf(t, p), cardOf(t, p, 0); strings.Contains(who, reporttest.Bare("Nothing at this meal")) || !strings.Contains(card, reporttest.Bare("We don't know what this horse is fed. Ask before feeding.")) {
		t.Errorf("alone, Fern is not asked about in\n%s\n%s", who, card)
	}
}

// Every horse is at each of its meals with a line a feed, and under each day what it
// gets on that day, worked out here straight from the plan.
func TestWhoGetsWhatDayByDay(t *testing.T) {
	p := reporttest.Fixture()
	who := whoOf(t, p)
	lines := 0
	for _, m := range []string{"Breakfast06:30", "Lunch12:30", "Tea17:30", "Latefeed"} {
		_, section, ok := strings.Cut(who, m)
		if !ok {
			t.Fatalf("no %s in\n%s", m, who)
		}
		section, _, _ = strings.Cut(section, "Totalforthismeal")
		for _, h := range p.Horses {
			feeds := map[string][7]string{}
			for _, v := range h.Servings {
				if !strings.HasPrefix(m, reporttest.Bare(v.Meal)) || v.Meal == "" {
					continue
				}
				on, ok := feeds[v.Feed]
				if !ok {
					on = [7]string{"none", "none", "none", "none", "none", "none", "none"}
				}
				for day := int(v.From); day < 7; day++ { // later stages stand later
					if h.Days[day].Kind == v.Day {
						on[day] = words.English().AmountOf(v, false).Number
					}
				}
				feeds[v.Feed] = on
			}
			if len(feeds) == 0 {
				continue
			}
			_, own, ok := strings.Cut(section, reporttest.Bare(h.Horse.Name))
			if !ok {
				t.Errorf("%s does not stand at %s", h.Horse.Name, m)
			}
			for feed, on := range feeds {
				lines++
				row := regexp.QuoteMeta(reporttest.Bare(feed)) + `[^\d¼½¾]{0,25}?`
				for _, a := range on {
					row += regexp.QuoteMeta(reporttest.Bare(a)) + `[^\d¼½¾]{0,25}?`
				}
				if !regexp.MustCompile(row).MatchString(own) {
					t.Errorf("%s, %s: %s is not %v in\n%s", h.Horse.Name, m, feed, on, own)
				}
			}
		}
	}
	if lines < 40 {
		t.Errorf("only %d lines were looked at", lines)
	}
	for _, w := range []string{"LESS THAN PLANNED", "NO CARD – ASK", "Out of date after Sun 6 Dec", "Breakfast06:30"} {
		if !strings.Contains(who, reporttest.Bare(w)) {
			t.Errorf("%q is not in who gets what", w)
		}
	}
}

// The list is read from a trolley, at 0.7 m: figures of fractions are 4 mm, and nothing
// is under 2.4 mm but the pages' feet.
func TestTheListIsReadFromATrolley(t *testing.T) {
	for _, per := range []int{2, 4} {
		p := reporttest.Fixture()
		plain := p.Horses[0]
		p.Horses = nil
		for range 18 {
			p.Horses = append(p.Horses, plain)
		}
		s, err := reporttest.Sketch("cards", wall.Cards(), p, words.Meta{KeepBoxes: true, CardsPerPage: per, Paper: "A4"})
		if err != nil {
			t.Fatal(err)
		}
		first, fractions := reporttest.FirstCardPage(s), 0
		for i, b := range s.D.Boxes {
			if b.Page >= first || b.Y > s.D.PageH-17 {
				continue
			}
			if before := s.D.Boxes[max(0, i-1)].Text; len(before) > 1 && amountText.MatchString(before) || len(b.Text) > 4 {
				continue // a sum of ten measures and more, or of five figures, gives way to its column
			}
			least := 2.4
			switch {
			case fractionText.MatchString(b.Text):
				least = 4
				fractions++
			case amountText.MatchString(b.Text):
				least = 4.1
			case b.Text == "Bramble":
				least = 3.4
			}
			if b.Cap < least-0.01 {
				t.Errorf("%d a page: %q is %.2f mm high, the least is %.2f", per, b.Text, b.Cap, least)
			}
		}
		if fractions < 100 {
			t.Errorf("only %d fractions were looked at", fractions)
		}
		if most := 3 * 2; per == 2 && first-1 > most {
			t.Errorf("two meals of 18 horses take %d pages", first-1)
		}
	}
}

// What a day off gets is the rest day's, also where no amount of the work day's falls on
// the days before it.
func TestADayOffHasItsOwnAmount(t *testing.T) {
	type from = []yard.Weekday
	for _, c := range []struct {
		why        string
		days       string // w, r from Monday
		work, rest from   // from which days, ¼ scoop at first and ¼ more each time
		want       string
	}{
		{"comes in on Saturday, Monday off", "rwwwwww", from{5, 6}, nil, "none none none none none ¼ ½"},
		{"Monday off gets what Tuesday gets", "rwwwwww", from{0, 3}, from{0}, "¼ ¼ ¼ ½ ½ ½ ½"},
		{"Sunday off gets none, nor does Monday", "wwwwwwr", from{2}, nil, "none none ¼ ¼ ¼ ¼ none"},
		{"the first amount's days do not hold the day off", "wwrwwww", from{0, 4}, from{0}, "¼ ¼ ¼ ¼ ½ ½ ½"},
		{"every day the same", "wwrwwww", from{0}, from{0}, "¼ ¼ ¼ ¼ ¼ ¼ ¼"},
		{"from Tuesday on holds the Thursday off", "wwwrwww", from{0, 1}, from{0, 1}, "¼ ½ ½ ½ ½ ½ ½"},
		{"no day off planned", "wwwwwww", from{0, 3}, from{0}, "¼ ¼ ¼ ½ ½ ½ ½"},
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
		if who := whoOf(t, p); !strings.Contains(who, reporttest.Bare("Oats scoop U "+c.want)) {
			t.Errorf("%s: want %q in\n%s", c.why, c.want, who)
		}
	}
}

// The first meal begins under the title, also where it would have a page of its own.
func TestTheFirstMealStandsUnderTheTitle(t *testing.T) {
	p := reporttest.OnlyHorse(reporttest.Fixture(), 0, yard.Carded)
	for n := range 24 { // at some number of horses the meal fits a page, but not this one
		s, err := reporttest.Sketch("cards", wall.Cards(), p, words.Meta{KeepBoxes: true, CardsPerPage: 2, Paper: "A4"})
		if err != nil {
			t.Fatal(err)
		}
		low := 0.0
		for _, b := range s.D.Boxes {
			if b.Page == 1 && b.Y < s.D.PageH-20 {
				low = max(low, b.Y)
			}
		}
		if low < 75 {
			t.Errorf("%d horses: the first page ends %.0f mm from the top", n+1, low)
		}
		p.Horses = append(p.Horses, p.Horses[0])
	}
}

// A meal that is called by its time has it once.
func TestAMealCalledByItsTime(t *testing.T) {
	p := reporttest.OnlyHorse(reporttest.Fixture(), 0, yard.Carded)
	p.Week.Meals = []yard.Meal{{Name: "04:30", Minute: 270}, {Name: "Tea", Minute: 1050}}
	for i := range p.Horses[0].Servings {
		if p.Horses[0].Servings[i].Meal == "Breakfast" {
			p.Horses[0].Servings[i].Meal = "04:30"
		}
	}
	for where, text := range map[string]string{"who gets what": whoOf(t, p), "card": cardOf(t, p, 0)} {
		if !strings.Contains(text, "04:30") || strings.Contains(text, "04:3004:30") || !strings.Contains(text, "Tea17:30") {
			t.Errorf("%s has the times of meals as in\n%s", where, text)
		}
	}
}
