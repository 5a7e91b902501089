package report

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/office"
	"hardfeed/report/record"
	"hardfeed/report/reporttest"
	"hardfeed/report/wall"
	"hardfeed/report/words"
)

// Read back by poppler: what is in the plan is on that horse's card.
func TestEveryMealFeedAndAmountStandsOnItsHorsesCard(t *testing.T) {
	p := reporttest.Fixture()
	all := reporttest.Pages(t, named(t, files(t, p, words.Meta{CardsPerPage: 1}), "cards.pdf"))
	for _, h := range p.Horses {
		card := ""
		for _, pg := range all {
			if strings.HasPrefix(pg, reporttest.Bare(h.Horse.Name)) {
				card += pg
			}
		}
		want := []string{"Mon30Nov–Sun6Dec2026", "OUTOFDATEAFTERSUN6DEC", "NellHarrow01632960123", h.Horse.Notes}
		switch h.Status {
		case yard.Held:
			want = append(want, append([]string{"LESS THAN PLANNED"}, words.HeldWhy(h)...)...)
		case yard.NoCard:
			want = append(want, append([]string{"NO CARD – ASK", "Keep hay and water in front of the horse."}, words.NoCardWhy(h)...)...)
		default:
			if strings.Contains(card, "LESSTHAN") || strings.Contains(card, "NOCARD") {
				t.Errorf("%s is said to be less than planned or without a card", h.Horse.Name)
			}
		}
		want = append(want, words.Cautions(h)...)
		for _, s := range h.Servings {
			a := words.English().AmountOf(s, false)
			want = append(want, s.Meal, s.Feed, a.Number, a.Unit)
			if s.Weigh {
				want = append(want, "WEIGH")
			}
		}
		for _, w := range want {
			if !strings.Contains(card, reporttest.Bare(w)) {
				t.Errorf("%s: %q is not on the card:\n%s", h.Horse.Name, w, card)
			}
		}
	}
}

// dayColumns reads a card of seven columns back by the places of its text: for each feed
// in its order down the page what is under each day, without spaces.
func dayColumns(t testing.TB, s *reporttest.Drawing, page int, feeds []string) (rows []string, days [7]string) {
	t.Helper()
	at := func(b draw.Box) (x, y float64) { return b.X + b.W/2, b.Y + b.Cap/2 }
	var heads [7]draw.Box
	names := []string{"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"}
	for _, b := range s.D.Boxes {
		if i := slices.Index(names, b.Text); b.Page == page && i >= 0 && b.Cap > 3 {
			heads[i] = b
		}
	}
	wide := heads[1].X + heads[1].W/2 - heads[0].X - heads[0].W/2
	left := heads[0].X + heads[0].W/2 - wide/2
	// Where rows begin: the rules between them are as wide as the card.
	var rules []float64
	for _, l := range rulesOf(t, reporttest.Pdf(t, s), s.D.PageH)[page] {
		if l.y1 == l.y2 && l.x2-l.x1 > 0.9*(s.D.PageW-11) {
			rules = append(rules, l.y1)
		}
	}
	slices.Sort(rules)
	for r := 0; r+1 < len(rules); r++ {
		feed, cells := "", [7]string{}
		for _, b := range s.D.Boxes {
			x, y := at(b)
			if b.Page != page || y < rules[r] || y > rules[r+1] {
				continue
			}
			day := int(math.Floor((x - left) / wide))
			switch {
			case heads[0].Y > b.Y: // above the days' names
			case x < left:
				feed = words.Join(" ", feed, strings.TrimSpace(b.Text))
			case day < 7:
				cells[day] += strings.TrimSpace(b.Text)
			}
		}
		if y := heads[0].Y; rules[r] < y && y < rules[r+1] {
			days = cells
			continue
		}
		if slices.ContainsFunc(feeds, func(f string) bool { return strings.HasPrefix(feed, f) }) {
			rows = append(rows, feed+": "+strings.Join(cells[:], " "))
		}
	}
	return rows, days
}

// Each amount is in its feed's row, under its day, in the order of the meals; days
// off are marked in their heads.
func TestAWeekThatChangesHasSevenColumns(t *testing.T) {
	for i, c := range []struct {
		feeds, rows []string
		days        string
	}{
		{[]string{"Meadow hay", "Conditioning cubes", "Chaff", "Salt"}, []string{
			"Meadow hay kg: 3.5 3.5 3.5 3.5 3.5 3.5 3.5",
			"Conditioning cubes scoop 1 = 500 g: 1 1 ½ 1 1 1 ½",
			"Chaff scoop 1 = 200 g: 1 1 1 1 1 1 1",
			"Conditioning cubes scoops 1 = 500 g: 1¼ 1¼ ¾ 1½ 1½ 1½ ¾",
			"Meadow hay kg: 5 5 5 5 5 5 5",
			"Salt g: 25 25 25 25 25 25 25",
		}, "Mon Tue WedREST Thu Fri Sat SunREST"},
		{[]string{"Meadow hay", "Oats"}, []string{
			"Meadow hay kg: 4 4 4 4 4 1 4",
			"Oats scoops 1 = 400 g U: 2½ 2½ 2½ 2½ 2½ 1 1¼",
			"Oats scoop 1 = 400 g U: 1 1 1 1 1 none none",
			"Oats scoops 1 = 400 g U: 2¼ 2¼ 2¼ 2¼ 2¼ 1½ 1",
			"Meadow hay kg: 6 6 6 6 6 6 6",
		}, "Mon Tue Wed Thu Fri SatEVENT SunREST"},
	} {
		p := reporttest.Fixture()
		p.Horses = p.Horses[i : i+1]
		s, err := reporttest.Sketch("cards", wall.Cards(), p, reporttest.KeepBoxes(words.Meta{CardsPerPage: 2, Paper: "A4"}))
		if err != nil {
			t.Fatal(err)
		}
		rows, days := dayColumns(t, s, reporttest.FirstCardPage(s), c.feeds)
		for n := range rows {
			rows[n] = strings.ReplaceAll(rows[n], words.NoBreak, " ")
		}
		if !slices.Equal(rows, c.rows) {
			t.Errorf("%s:\n%s\nwant\n%s", p.Horses[0].Horse.Name, strings.Join(rows, "\n"), strings.Join(c.rows, "\n"))
		}
		if got := strings.Join(days[:], " "); got != c.days {
			t.Errorf("over the columns stands %q, want %q", got, c.days)
		}
	}
}

// A week in which every day is fed alike is one column, and says so.
func TestAWeekThatDoesNotChangeHasOneColumn(t *testing.T) {
	card := cardOf(t, reporttest.Fixture(), 4)
	for _, w := range []string{"EVERY DAY, rest days too", "Haylage ad lib", "Linseed oil 50 ml", "Balancer WEIGH 430 g", "Vitamin E 5 g"} {
		if !strings.Contains(card, reporttest.Bare(w)) {
			t.Errorf("%q is not on\n%s", w, card)
		}
	}
	if strings.Contains(card, "WORKDAY") || strings.Contains(card, "REST") {
		t.Errorf("a kind of day is named on\n%s", card)
	}
}

// A meal is on one card; a horse that needs several has its name, its warnings and
// the days over its columns on each, and each says which it is.
func TestAMealIsNeverBroken(t *testing.T) {
	t.Parallel()
	p := reporttest.OnlyHorse(reporttest.Fixture(), 3, yard.Carded)
	p.Horses[0].Horse.Notes = "Bites the person next door."
	for _, per := range []int{1, 2, 4} {
		s, err := reporttest.Sketch("cards", wall.Cards(), p, reporttest.KeepBoxes(words.Meta{CardsPerPage: per, Paper: "A4"}))
		if err != nil {
			t.Fatal(err)
		}
		on := map[string]int{} // meals, by the page their rows are on
		pages := reporttest.Pages(t, reporttest.Pdf(t, s))[reporttest.FirstCardPage(s)-1:]
		for i, text := range pages {
			text, _, _ = strings.Cut(text, "Onashowday:")
			if !strings.Contains(text, fmt.Sprintf("card%dof%d", i+1, len(pages))) {
				t.Errorf("%d a page: card %d does not say which it is", per, i+1)
			}
			for _, w := range append(words.Cautions(p.Horses[0]), "Thunderstruck", "Bites the person", "Mon", "Sun") {
				if !strings.Contains(text, reporttest.Bare(w)) {
					t.Errorf("%d a page: card %d lacks %q", per, i+1, w)
				}
			}
			for _, m := range []string{"Earlyfeed", "Breakfast06:30", "Lunch12:30", "Tea17:30", "Latefeed"} {
				from := strings.Index(text, m+"Conditioning")
				if from < 0 {
					continue
				}
				on[m]++
				for _, f := range []string{"Conditioningcubes", "Oats", "Chaff", "Soakedunmolassed", "Micronisedlinseed", "Balancer", "Rolledbarley", "Alfalfapellets"} {
					if !strings.Contains(text[from:], f) {
						t.Errorf("%d a page: %s on card %d lacks %s", per, m, i+1, f)
					}
				}
			}
		}
		if len(pages) < 2 || len(on) != 5 {
			t.Errorf("%d a page: %d cards with the meals %v; the case wants several", per, len(pages), on)
		}
		for m, n := range on {
			if n != 1 {
				t.Errorf("%d a page: %s is on %d cards", per, m, n)
			}
		}
	}
}

// What does not fit half a sheet has the whole of one, before it has two cards.
func TestAFullPageBeforeTwoCards(t *testing.T) {
	p := reporttest.OnlyHorse(reporttest.Fixture(), 0, yard.Carded)
	for i := range 4 {
		for day := range 2 {
			p.Horses[0].Servings = append(p.Horses[0].Servings, reporttest.ScoopsOf([]yard.DayKind{yard.WorkDay, yard.RestDay}[day], "Lunch", fmt.Sprintf("Feed %d", i), 0.5, 0.4, 0))
		}
	}
	s, err := reporttest.Sketch("cards", wall.Cards(), p, reporttest.KeepBoxes(words.Meta{CardsPerPage: 2, Paper: "A4"}))
	if err != nil {
		t.Fatal(err)
	}
	if n := s.D.Page() - reporttest.FirstCardPage(s) + 1; n != 1 || slices.ContainsFunc(s.D.Cuts, func(c draw.Box) bool { return c.Page == s.D.Page() }) {
		t.Errorf("%d pages of cards, cut at %v", n, s.D.Cuts)
	}
	low := 0.0
	for _, b := range s.D.Boxes {
		if b.Page == s.D.Page() && b.Cap >= 4.7 {
			low = max(low, b.Y)
		}
	}
	if low < s.D.PageH/2 {
		t.Errorf("the amounts end %.0f mm from the top", low)
	}
}

// A caution is never left out, however many there are, nor are the notes; of long ones
// the card says where the rest is read.
func TestEveryCautionAndNoteStandsOnTheCard(t *testing.T) {
	t.Parallel()
	p := reporttest.OnlyHorse(reporttest.Fixture(), 0, yard.Carded)
	h := &p.Horses[0]
	for i := range 9 {
		h.Cautions = append(h.Cautions, yard.Verbatim(fmt.Sprintf("Warning number %d of this horse: do as it says.", i+1)))
	}
	h.Horse.Notes = "Hay soaked an hour"
	for _, long := range []bool{false, true} {
		if long {
			h.Horse.Notes = strings.Repeat("Walks in hand before the rest of the yard. ", 40)
		}
		for _, per := range []int{1, 2, 4} {
			text := strings.Join(reporttest.Pages(t, named(t, files(t, p, words.Meta{CardsPerPage: per}), "cards.pdf")), "")
			card := text[strings.Index(text, "OUTOFDATE"):]
			for _, w := range append(words.Cautions(*h), "Notes: "+h.Horse.Notes[:18]) {
				if !strings.Contains(card, reporttest.Bare(w)) {
					t.Errorf("%d a page: %q is not on the card", per, w)
				}
			}
			if strings.Contains(card, reporttest.Bare("(more on the office sheet)")) != long {
				t.Errorf("%d a page: the card sends to the office sheet: %v", per, !long)
			}
		}
		office := strings.Join(reporttest.Pages(t, named(t, files(t, p, words.Meta{}), "office.pdf")), "")
		if !strings.Contains(office, reporttest.Bare(h.Horse.Notes)) {
			t.Error("the notes are not on the office sheet in full")
		}
	}
}

// A kind of day that is not planned has no column, and is not lost: what it gets is an
// amount below the one it stands for, on the card and on the list of the yard.
func TestADayOffThatIsNotPlannedHasItsAmounts(t *testing.T) {
	p := reporttest.OnlyHorse(reporttest.Fixture(), 0, yard.Carded)
	p.Horses[0].Days = reporttest.Week()
	card := cardOf(t, p, 0)
	list := reporttest.Pages(t, named(t, files(t, p, words.Meta{}), "cards.pdf"))[0]
	for where, text := range map[string]string{"card": card, "list": list} {
		for _, w := range []string{"ON A DAY OFF ½ scoop 250 g", "ON A DAY OFF ¾ scoop 375 g"} {
			if strings.Count(text, reporttest.Bare(w)) != 1 {
				t.Errorf("%q is not on the %s:\n%s", w, where, text)
			}
		}
		if strings.Count(text, "ONADAYOFF") != 2 { // hay, chaff and salt are the same
			t.Errorf("days off are told of feeds that do not change:\n%s", text)
		}
		if strings.Contains(text, "REST") {
			t.Errorf("a day off is a column on the %s:\n%s", where, text)
		}
	}
}

// A day off in a week in which a feed goes down gets no more of it than a day of work does.
func TestADayOffGetsNoMoreThanADayOfWork(t *testing.T) {
	p := reporttest.OnlyHorse(reporttest.Fixture(), 0, yard.Carded)
	p.Horses[0].Days = reporttest.Week()
	for i, v := range p.Horses[0].Servings {
		if v.Meal == "Tea" && v.From == 3 { // it was 1¼ scoops until then, and ¾ on a day off
			p.Horses[0].Servings[i] = reporttest.ScoopsOf(v.Day, v.Meal, v.Feed, 0.5, 0.5, 3)
		}
	}
	card := cardOf(t, p, 0)
	if _, tea, _ := strings.Cut(card, "Tea17:30"); !strings.Contains(tea, reporttest.Bare("ON A DAY OFF ½ scoop 250 g")) || strings.Contains(card, reporttest.Bare("DAY OFF ¾")) {
		t.Errorf("a day off gets more than a day of work:\n%s", card)
	}
}

// Hard feed though nobody knows what was fed last week is asked about, in the largest
// words of the card.
func TestAskFirstWhereLastWeekIsNotKnown(t *testing.T) {
	p := reporttest.OnlyHorse(reporttest.Fixture(), 0, yard.Carded)
	if card := cardOf(t, p, 0); strings.Contains(card, "ASKFIRST") {
		t.Error("asked though it is known")
	}
	p.Horses[0].HardFeed.Now, p.Horses[0].Step = yard.Num{}, yard.Step{Verdict: yard.StepUnknown}
	if card := cardOf(t, p, 0); !strings.Contains(card, reporttest.Bare("ASK FIRST Before you give hard feed, ask Yard manager Nell Harrow")) {
		t.Errorf("not asked:\n%s", card)
	}
}

// Where the scale is asked for, the card has no scoops beside the weight: they would be used.
func TestWhatIsWeighedSaysNoScoops(t *testing.T) {
	p := reporttest.OnlyHorse(reporttest.Fixture(), 4, yard.Carded)
	card := cardOf(t, p, 0)
	if !strings.Contains(card, reporttest.Bare("WEIGH 430 g")) {
		t.Errorf("the case wants a feed to be weighed:\n%s", card)
	}
	if strings.Contains(card, reporttest.Bare("about 1.7 mugs")) {
		t.Errorf("mugs of what is to be weighed on\n%s", card)
	}
}

// Less is said only where the hard feed is less: a card with more hay than planned and all
// of its hard feed is not as planned.
func TestLessIsSaidOnlyOfLess(t *testing.T) {
	for _, c := range []struct {
		planned yard.Num
		want    string
	}{{reporttest.Num(3), "LESS THAN PLANNED"}, {reporttest.Num(2), "NOT AS PLANNED"}, {reporttest.Num(1.5), "NOT AS PLANNED"}, {yard.Num{}, "NOT AS PLANNED"}} {
		p := reporttest.OnlyHorse(reporttest.Fixture(), 0, yard.Held)
		p.Horses[0].HardFeed.Planned = c.planned
		all := files(t, p, words.Meta{})
		for _, name := range []string{"cards.pdf", "office.pdf"} {
			text := strings.Join(reporttest.Pages(t, named(t, all, name)), "")
			for _, said := range []string{"LESS THAN PLANNED", "NOT AS PLANNED"} {
				if strings.Contains(text, reporttest.Bare(said)) != (said == c.want) {
					t.Errorf("planned %v, on the card 2: %s says %q: %v", c.planned, name, said, said != c.want)
				}
			}
		}
		if html := string(named(t, all, "cards.html")); !strings.Contains(html, c.want) {
			t.Errorf("planned %v, on the card 2: the page does not say %q", c.planned, c.want)
		}
	}
}

// A hold must be seen on each card of a horse that needs more than one.
func TestHeldStandsOnEveryCardOfAHorse(t *testing.T) {
	p := reporttest.OnlyHorse(reporttest.Fixture(), 3, yard.Held)
	p.Horses[0].HardFeed.Planned = reporttest.Num(3)
	n := 0
	for _, pg := range reporttest.Pages(t, named(t, files(t, p, words.Meta{CardsPerPage: 1}), "cards.pdf")) {
		if strings.HasPrefix(pg, "Ballymacarrett") {
			n++
			if !strings.Contains(pg, "LESSTHANPLANNED") {
				t.Errorf("card %d does not say LESS THAN PLANNED: %s", n, pg)
			}
		}
	}
	if n < 2 {
		t.Fatalf("%d cards, the case wants several", n)
	}
}

func TestAnOverrideIsPrintedWithNameAndReason(t *testing.T) {
	p := reporttest.OnlyHorse(reporttest.Fixture(), 0, yard.Carded)
	p.Horses[0].Step.Verdict = yard.StepOverridden
	p.Horses[0].Horse.Override = yard.Override{Asked: true, Who: "Nell Harrow", Reason: "vet's advice of 24 Nov"}
	fs := files(t, p, words.Meta{})
	for _, f := range []string{"cards.pdf", "office.pdf"} {
		text := strings.Join(reporttest.Pages(t, named(t, fs, f)), "")
		if !strings.Contains(text, reporttest.Bare("Reason: vet's advice of 24 Nov")) || !strings.Contains(text, reporttest.Bare("Nell Harrow")) {
			t.Errorf("%s does not say who decided and why", f)
		}
	}
}

// cardOf is the text of the cards of the plan's i-th horse.
func cardOf(t testing.TB, p yard.Plan, i int) string {
	t.Helper()
	p.Horses = p.Horses[i : i+1]
	text := reporttest.TextOf(t, wall.Cards(), p, 1)
	return text[strings.Index(text, "OUTOFDATE"):]
}

func TestHardFeedNotCutOnDaysOffIsOneColumn(t *testing.T) {
	servingTable := func(p yard.Plan) string {
		text := reporttest.TextOf(t, office.Document(), p, 2)
		return text[strings.Index(text, "MealFeed"):]
	}
	has := func(where, text string, want bool, texts ...string) {
		t.Helper()
		for _, w := range texts {
			if strings.Contains(text, reporttest.Bare(w)) != want {
				t.Errorf("%s: %q stands there: %v, want %v, in\n%s", where, w, !want, want, text)
			}
		}
	}
	p := reporttest.OnlyHorse(reporttest.Fixture(), 0, yard.Carded)
	h := &p.Horses[0]
	h.Servings = slices.DeleteFunc(h.Servings, func(s yard.Serving) bool { return s.Day == yard.RestDay })

	// Rest days without servings are no order to feed nothing.
	has("card", cardOf(t, p, 0), true, "Wed REST", "not said: ask")
	has("card", cardOf(t, p, 0), false, "none")
	has("who gets what", whoOf(t, p), true, "Conditioning cubes scoop 1 1 not said: ask 1 1 1 not said: ask")
	has("office", servingTable(p), true, "not said: ask")

	h.RestAsWork = true
	has("card", cardOf(t, p, 0), true, "1¼ 1¼ 1¼ 1½ 1½ 1½ 1½")
	has("card", cardOf(t, p, 0), false, "none", "not said")
	has("who gets what", whoOf(t, p), false, "not said")
	has("office", servingTable(p), true, "EVERY DAY")
	has("office", servingTable(p), false, "REST DAY", "not said")

	h.Days[5].Kind = yard.EventDay
	h.Servings = append(h.Servings, reporttest.ScoopsOf(yard.EventDay, "Breakfast", "Chaff", 0.25, 0.2, 0), reporttest.ScoopsOf(yard.RestDay, "Breakfast", "Chaff", 1, 0.2, 0))
	has("card", cardOf(t, p, 0), true, "Sat EVENT", "1 1 1 1 1 none 1")
	has("who gets what", whoOf(t, p), true, "Conditioning cubes scoop 1 1 1 1 1 none 1")
	b, err := record.JSON(p, words.Meta{})
	if err != nil || !strings.Contains(string(b), `"day": "rest"`) {
		t.Errorf("the record lost its rest rows: %v", err)
	}
}

func TestMeasuresNobodyHasWeighedSaySo(t *testing.T) {
	p := reporttest.Fixture()
	for i, want := range map[int]int{0: 0, 1: 3} { // Quillfeather: three rows of oats
		if got := strings.Count(cardOf(t, p, i), "400gU"); got != want {
			t.Errorf("%s: the card marks unweighed measures %d times, want %d", p.Horses[i].Horse.Name, got, want)
		}
	}
	if got := strings.Count(whoOf(t, p), reporttest.Bare("Nobody has weighed a scoop of this feed here.")); got != 1 {
		t.Errorf("who gets what explains its mark %d times", got)
	}
	if who := whoOf(t, p); !strings.Contains(who, reporttest.Bare("Oats scoops U 2½")) {
		t.Errorf("no mark at the oats in\n%s", who)
	}
	if text := reporttest.TextOf(t, office.Document(), reporttest.OnlyHorse(reporttest.Fixture(), 1, yard.Held), 2); !strings.Contains(text, reporttest.Bare("2½ scoops, 1 kg, UNWEIGHED")) {
		t.Error("the office sheet's serving table does not say it")
	}
	b, err := record.JSON(p, words.Meta{})
	if err != nil {
		t.Fatal(err)
	}
	var r record.Record
	if err := json.Unmarshal(b, &r); err != nil {
		t.Fatal(err)
	}
	for i, h := range r.Horses {
		for j, q := range h.Ration {
			s := p.Horses[i].Servings[j]
			if want := (s.Feed == "Oats" || s.Feed == "Balancer") && !s.Weigh && s.Kg > 0; q.Unweighed != want {
				t.Errorf("%s, %+v: unweighed is %v in the record", h.Name, s, q.Unweighed)
			}
		}
	}
}

// Beside an amount stands what it weighs, on its line: on a line of its own it would be
// taken for another amount, however large the card could be.
func TestWhatItWeighsStandsBesideTheAmount(t *testing.T) {
	p := reporttest.OnlyHorse(reporttest.Fixture(), 0, yard.Carded)
	p.Horses[0] = reporttest.Carded("Bramble", 520, reporttest.Week(), reporttest.Hay(yard.WorkDay, "Breakfast", 3),
		reporttest.ScoopsOf(yard.WorkDay, "Breakfast", "Conditioning cubes", 2.75, 0.5, 0), reporttest.ScoopsOf(yard.WorkDay, "Tea", "Chaff", 0.25, 0.28, 0))
	p.Horses[0].RestAsWork = true
	for _, in := range reporttest.Tried() {
		for _, per := range []int{1, 2, 4} {
			s, err := reporttest.Sketch("cards", wall.Cards(), p, reporttest.KeepBoxes(words.Meta{CardsPerPage: per, Paper: "A4", Languages: in}))
			if err != nil {
				t.Fatal(err)
			}
			first, weights := reporttest.FirstCardPage(s), 0
			for _, b := range s.D.Boxes {
				if text := strings.ReplaceAll(b.Text, words.NoBreak, " "); b.Page < first || text != "70 g" && text != s.Main.Figure(1.38, 2)+" kg" {
					continue
				}
				weights++
				if !slices.ContainsFunc(s.D.Boxes, func(o draw.Box) bool {
					return o.Page == b.Page && strings.ContainsAny(o.Text, "¼¾") && o.Cap > 2.5 && o.Y < b.Y+b.H && b.Y < o.Y+o.H && o.X < b.X
				}) {
					t.Errorf("%v, %d a page: %q stands on a line of its own", in, per, b.Text)
				}
			}
			if weights != 2 {
				t.Errorf("%v, %d a page: %d weights were found", in, per, weights)
			}
		}
	}
}
