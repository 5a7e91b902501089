package report

import (
	"cmp"
	"encoding/json"
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

// Read back by poppler: what stands in the plan stands on that horse's card.
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
		want := []string{"Mon30Nov–Sun6Dec2026", "OUTOFDATEAFTERSUN6DEC", "NellHarrow01632960123"}
		switch h.Status {
		case yard.Held:
			want = append(want, append([]string{"HELD"}, words.HeldWhy(h)...)...)
		case yard.NoCard:
			want = append(want, append([]string{"NO COMPUTED CARD", "Keep hay and water in front of it"}, words.NoCardWhy(h)...)...)
		default:
			if strings.Contains(card, "HELD") || strings.Contains(card, "NOCOMPUTED") {
				t.Errorf("%s is said to be held or without a card", h.Horse.Name)
			}
		}
		want = append(want, words.Cautions(h)...)
		for _, s := range h.Servings {
			a := words.English().AmountOf(s, false)
			want = append(want, s.Meal, s.Feed, a.String(), a.Aside)
			if s.Weigh {
				want = append(want, "WEIGH"+a.String())
			}
		}
		for _, w := range want {
			if !strings.Contains(card, reporttest.Bare(w)) {
				t.Errorf("%s: %q is not on the card:\n%s", h.Horse.Name, w, card)
			}
		}
	}
}

// The same, by position on the page: each amount stands in its feed's row and its
// day's column, its unit and weight beside it, and stages in order.
func TestBramblesCardReadsRowByRow(t *testing.T) {
	p := reporttest.Fixture()
	p.Horses = p.Horses[:1]
	s, err := reporttest.Sketch("cards", wall.Cards(), p, reporttest.KeepBoxes(words.Meta{CardsPerPage: 2, Paper: "A4"}))
	if err != nil {
		t.Fatal(err)
	}
	var card []draw.Box
	for _, b := range s.D.Boxes {
		if b.Page >= reporttest.FirstCardPage(s) {
			b.Text = strings.ReplaceAll(b.Text, words.NoBreak, " ")
			card = append(card, b)
		}
	}
	find := func(text string, nth int) draw.Box {
		t.Helper()
		for _, b := range card {
			if strings.TrimSpace(b.Text) == text {
				if nth--; nth < 0 {
					return b
				}
			}
		}
		t.Fatalf("no %q stands on the card", text)
		return draw.Box{}
	}
	rest := find("REST DAY", 0)
	mid := func(b draw.Box) float64 { return b.Y + b.Cap/2 }
	// all of a row's words in one column, from left to right and downwards
	texts := func(from, to float64, work bool) string {
		var in []draw.Box
		for _, b := range card {
			if m := mid(b); m > from && m < to && b.X > find("WORK DAY", 0).X-1 && (b.X < rest.X-1) == work {
				in = append(in, b)
			}
		}
		slices.SortStableFunc(in, func(a, b draw.Box) int { // stages are 8 mm and more apart
			if math.Abs(mid(a)-mid(b)) > 6 {
				return cmp.Compare(mid(a), mid(b))
			}
			return cmp.Compare(a.X, b.X)
		})
		var all []string
		for _, b := range in {
			all = append(all, b.Text)
		}
		return strings.Join(all, " ")
	}
	if got := texts(rest.Y-3, rest.Y+5, true); got != "WORK DAY Mon, Tue, Thu–Sat" {
		t.Errorf("over the first column stands %q", got)
	}
	rows := []struct {
		feed       string
		nth        int
		work, rest string
	}{
		{"Meadow hay", 0, "3.5 kg", "3.5 kg"},
		{"Conditioning", 0, "1 scoop 0.5 kg", "½ scoop 0.25 kg"},
		{"Chaff", 0, "1 scoop 0.2 kg", "1 scoop 0.2 kg"},
		{"Conditioning", 1, "Mon, Tue 1¼ scoops 0.63 kg from Thu 1½ scoops 0.75 kg", "¾ scoop 0.38 kg"},
		{"Meadow hay", 1, "5 kg", "5 kg"},
		{"Salt", 0, "25 g", "25 g"},
	}
	// Rows part between the feeds' names; one of two stages is twice as high.
	var centre, high []float64
	for _, r := range rows {
		b := find(r.feed, r.nth)
		c := mid(b)
		if r.feed == "Conditioning" {
			c = (b.Y + find("cubes", r.nth).Y + b.Cap) / 2
		}
		centre, high = append(centre, c), append(high, float64(1+strings.Count(r.work, "from")))
	}
	for i, r := range rows {
		from, to := centre[i]-5, centre[i]+5
		if i > 0 {
			from = centre[i] - (centre[i]-centre[i-1])*high[i]/(high[i]+high[i-1])
		}
		if i+1 < len(rows) {
			to = centre[i] + (centre[i+1]-centre[i])*high[i]/(high[i]+high[i+1])
		}
		if from >= to {
			t.Errorf("%s does not stand under the row before it", r.feed)
		}
		if work, rest := texts(from, to, true), texts(from, to, false); work != r.work || rest != r.rest {
			t.Errorf("%s: %q on a work day and %q on a rest day, want %q and %q", r.feed, work, rest, r.work, r.rest)
		}
	}
	find("Conditioning cubes: was 1½ scoops (0.75 kg) a day, now 2½ scoops (1.25 kg)", 0)
	find("from Thu 3 Dec", 0)
}

// A hold must be seen on each card of a horse that needs more than one.
func TestHeldStandsOnEveryCardOfAHorse(t *testing.T) {
	p := reporttest.Fixture()
	n := 0
	for _, pg := range reporttest.Pages(t, named(t, files(t, reporttest.OnlyHorse(p, 3, yard.Held), words.Meta{CardsPerPage: 1}), "cards.pdf")) {
		if strings.HasPrefix(pg, "Ballymacarrett") {
			n++
			if !strings.Contains(pg, "HELD") {
				t.Errorf("card %d does not say HELD: %s", n, pg)
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
		if !strings.Contains(text, reporttest.Bare("Nell Harrow: vet's advice of 24 Nov")) {
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
	has("card", cardOf(t, p, 0), true, "WORK DAY", "REST DAY", "not said: ask")
	has("card", cardOf(t, p, 0), false, "none")
	has("who gets what", whoOf(t, p), true, "REST Wed, Sun: not said: ask")
	has("office", servingTable(p), true, "not said: ask")

	h.RestAsWork = true
	has("card", cardOf(t, p, 0), true, "EVERY DAY Mon–Sun, days off too", "from Thu")
	has("card", cardOf(t, p, 0), false, "WORK DAY", "REST DAY", "none", "BUT THE EVENT")
	has("who gets what", whoOf(t, p), false, "REST Wed", "not said")
	has("office", servingTable(p), true, "every day")
	has("office", servingTable(p), false, "rest day: ", "not said")

	h.Days[5].Kind = yard.EventDay
	h.Servings = append(h.Servings, reporttest.ScoopsOf(yard.EventDay, "Breakfast", "Chaff", 0.25, 0.2, 0), reporttest.ScoopsOf(yard.RestDay, "Breakfast", "Chaff", 1, 0.2, 0))
	has("card", cardOf(t, p, 0), true, "EVERY DAY BUT THE EVENT", "Mon–Fri, Sun, days off too", "EVENT DAY")
	has("who gets what", whoOf(t, p), true, "EVENT Sat:", "no Conditioning cubes")
	b, err := record.JSON(p, words.Meta{})
	if err != nil || !strings.Contains(string(b), `"day": "rest"`) {
		t.Errorf("the record lost its rest rows: %v", err)
	}
}

func TestMeasuresNobodyHasWeighedSaySo(t *testing.T) {
	p := reporttest.Fixture()
	for i, want := range map[int]int{0: 0, 1: 7} { // Quillfeather: oats three times on a work day, twice at rest and at the show
		if got := strings.Count(cardOf(t, p, i), "UNWEIGHED"); got != want {
			t.Errorf("%s: the card says UNWEIGHED %d times, want %d", p.Horses[i].Horse.Name, got, want)
		}
	}
	if got := strings.Count(whoOf(t, p), "UNWEIGHED"); got != 1 {
		t.Errorf("who gets what explains its mark %d times", got)
	}
	if who := whoOf(t, p); !strings.Contains(who, reporttest.Bare("U 2½ scoops Oats")) {
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
