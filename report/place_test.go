package report

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"hardfeed/ration"
	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/flow"
	"hardfeed/report/office"
	"hardfeed/report/reporttest"
	"hardfeed/report/season"
	"hardfeed/report/wall"
	"hardfeed/report/words"
)

// What the list of the whole yard and the office sheet end on: no page with two lines
// on it, in any yard.
func TestNoSheetEndsOnNextToNothing(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(5, 5))
	several := 0
	for i := range sample(20, 40) {
		var p yard.Plan
		if i == 0 {
			p = reporttest.Fixture()
		} else {
			p = ration.Plan(reporttest.RandomWeek(r), ration.DefaultRules())
			for len(p.Horses) > 0 && len(p.Horses) < i%20 { // large yards, too
				p.Horses = append(p.Horses, p.Horses[0])
			}
		}
		m := words.Meta{CardsPerPage: []int{2, 4}[i%2], Paper: []string{"A4", "Letter"}[i/2%2], Languages: reporttest.Tried()[i%len(reporttest.Tried())]}
		inPlace(t, p, m, func(name string, s *reporttest.Drawing, first int) {
			last := s.D.Page()
			switch name {
			case "cards":
				last = first - 1
			case "scoops":
				return // whole feeds
			}
			if last == 1 {
				return
			}
			several++
			low := 0.0
			for _, b := range s.D.Boxes {
				if b.Page == last && b.Y+b.H < s.D.PageH-18 { // the page's foot is below
					low = max(low, b.Y+b.H)
				}
			}
			if low < 0.22*s.D.PageH {
				t.Errorf("yard %d, %v, %s, %d a page: the last page of %s ends %.0f mm from the top", i, m.Languages, m.Paper, m.CardsPerPage, name, low)
			}
		})
	}
	if several < sample(8, 20) {
		t.Errorf("only %d sheets of several pages were looked at", several)
	}
}

// inPlace draws the sheets, sees that on none of them text leaves its place or covers
// other text, and hands each on, with the page of the first card.
func inPlace(t *testing.T, p yard.Plan, m words.Meta, look func(name string, s *reporttest.Drawing, firstCard int)) {
	t.Helper()
	m.KeepBoxes = true
	for name, doc := range map[string]*flow.Document{"cards": wall.Cards(), "scoops": wall.Scoops(), "office": office.Document(), "season": season.Document()} {
		s, err := reporttest.Sketch(name, doc, p, m)
		if err != nil {
			t.Fatal(err)
		}
		first := 0
		if name == "cards" {
			if first = reporttest.FirstCardPage(s); first == 0 {
				t.Fatal("no card was found")
			}
		}
		reporttest.CheckPlaces(t, s)
		look(name, s, first)
	}
}

// Every language, alone and in pairs, on full and quarter cards.
func TestNoLanguageLeavesItsPlace(t *testing.T) {
	t.Parallel()
	for i, in := range reporttest.Tried() {
		t.Run(strings.Join(in, "+"), func(t *testing.T) {
			for j, per := range []int{2, 4, 1} {
				if reporttest.Raced && j > 0 {
					break
				}
				m := words.Meta{CardsPerPage: per, Paper: []string{"A4", "Letter"}[(i+j)%2], Languages: in}
				p := reporttest.Fixture()
				p.Week.Imperial = (i+j)%2 == 0
				p.Horses[1].Cautions = reporttest.Sayings(reporttest.EveryCaution()...)
				if j < 2 { // half and quarter cards
					p.Horses = append(p.Horses, reporttest.Harsh().Horses[1:4]...)
				}
				inPlace(t, p, m, func(string, *reporttest.Drawing, int) {})
			}
		})
	}
}

func TestNoTextLeavesItsPlaceOrCoversAnother(t *testing.T) {
	t.Parallel()
	for _, paper := range []string{"A4", "Letter"} {
		for _, per := range []int{1, 2, 4} {
			t.Run(fmt.Sprint(paper, per), func(t *testing.T) {
				for _, imperial := range []bool{false, true} {
					if reporttest.Raced && imperial == (paper == "A4") {
						continue // each paper with one kind of units
					}
					p := reporttest.Fixture()
					p.Week.Imperial = imperial
					inPlace(t, p, words.Meta{CardsPerPage: per, Paper: paper}, func(string, *reporttest.Drawing, int) {})
				}
			})
		}
	}
}

// On the sheet of the whole yard and the scoop sheet no label shrinks out of sight
// in a language of long words, and no word of a name is broken that need not be.
func TestSmallestTypeOffTheCards(t *testing.T) {
	t.Parallel()
	for _, in := range reporttest.Tried() {
		for _, paper := range []string{"A4", "Letter"} {
			for name, f := range map[string]*flow.Document{"cards": wall.Cards(), "scoops": wall.Scoops()} {
				s, err := reporttest.Sketch(name, f, reporttest.Harsh(), words.Meta{KeepBoxes: true, CardsPerPage: 2, Paper: paper, Languages: in})
				if err != nil {
					t.Fatal(err)
				}
				last := math.MaxInt
				if name == "cards" {
					last = reporttest.FirstCardPage(s) - 1
				}
				const longest = "Featherstonehaugh"
				broken, whole := false, false
				for _, b := range s.D.Boxes {
					if b.Page > last {
						continue
					}
					if mm := b.Cap; mm < 1.45-0.01 {
						t.Errorf("%v, %s, %s: %q is %.2f mm high", in, paper, name, b.Text, mm)
					}
					whole = whole || strings.Contains(b.Text, longest)
					for i := 1; i < len(longest); i++ { // a line that starts within the word
						broken = broken || b.Text == longest[i:] || strings.HasPrefix(b.Text, longest[i:]+" ")
					}
				}
				if name == "cards" && (broken || !whole) {
					t.Errorf("%v, %s: a word of a name is broken", in, paper)
				}
			}
		}
	}
}

// A card of half a sheet and more is read at a metre, one of four on a page at 0.6 m
// (LE-01 to LE-08); a day's name is as large as the figures of a fraction.
func TestTypeIsReadAtAMetre(t *testing.T) {
	p := reporttest.Fixture()
	p.Horses[3].Horse.Name = "Ballymacarrett Thunderstruck"
	for _, per := range []int{1, 2, 4} {
		s, err := reporttest.Sketch("cards", wall.Cards(), p, words.Meta{KeepBoxes: true, CardsPerPage: per, Paper: "A4"})
		if err != nil {
			t.Fatal(err)
		}
		near := 1.0
		if per == 4 {
			near = 0.6
		}
		first := reporttest.FirstCardPage(s)
		largest, days := map[string]float64{}, 0
		for _, b := range s.D.Boxes {
			if b.Page < first {
				continue
			}
			largest[b.Text] = max(largest[b.Text], b.Cap)
			least := 2.4
			switch {
			case amountText.MatchString(b.Text):
				least = 6 * near
			case fractionText.MatchString(b.Text):
				least = 4.7 * near
			case slices.Contains([]string{"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"}, b.Text):
				least = 4.7 * near
				days++
			}
			if b.Cap < least-0.01 {
				t.Errorf("%d a page: %q is %.2f mm high, the least is %.2f", per, b.Text, b.Cap, least)
			}
		}
		if days < 14 {
			t.Errorf("%d a page: only %d names of days stand over columns", per, days)
		}
		for _, want := range []string{"Bramble", "Quillfeather", "Old Tom", "Аврора", "Αστραπή", "Pony [?] Biscuit", "Ballymacarrett", "Thunderstruck"} {
			if floor := map[bool]float64{false: 9.3, true: 6.4}[per == 4]; largest[want] < floor-0.01 {
				t.Errorf("%d a page: the name %q is %.2f mm high", per, want, largest[want])
			}
		}
	}
}

// Any plan at all is drawn without an error; every horse's name, as far as it
// can be printed, is on its card, inside the border and under nothing.
func TestAnyPlanIsDrawn(t *testing.T) {
	t.Parallel()
	text := rapid.OneOf(
		rapid.SampledFrom([]string{"", "Oats", "Bramble", "Аврора", "🐎", "Caf\xc3", "{nb}", "a\tb", "Wm-" + strings.Repeat("Long", 12), strings.Repeat("very long words ", 25)}),
		rapid.StringN(0, 30, -1))
	num := rapid.Custom(func(t *rapid.T) yard.Num {
		switch rapid.IntRange(0, 5).Draw(t, "kind") {
		case 0:
			return yard.Num{}
		case 1:
			return reporttest.Num(rapid.Float64().Draw(t, "any"))
		case 2:
			return reporttest.Num(rapid.SampledFrom([]float64{0, math.NaN(), math.Inf(1), math.Inf(-1), -1}).Draw(t, "odd"))
		}
		return reporttest.Num(float64(rapid.IntRange(0, 40).Draw(t, "quarters")) / 4)
	})
	kind := rapid.SampledFrom([]yard.DayKind{yard.WorkDay, yard.RestDay, yard.EventDay})
	class := rapid.SampledFrom([]yard.FeedClass{yard.Forage, yard.HardFeed, yard.Oil, yard.Salt, yard.Unclassed})
	serving := rapid.Custom(func(t *rapid.T) yard.Serving {
		return yard.Serving{Day: kind.Draw(t, "day"), Meal: text.Draw(t, "meal"), Feed: text.Draw(t, "feed"), Class: class.Draw(t, "class"),
			AdLib: rapid.Bool().Draw(t, "adlib"), Kg: yard.KgFed(num.Draw(t, "kg").Or(0)), Ml: num.Draw(t, "ml"), Measure: text.Draw(t, "measure"),
			Measures: num.Draw(t, "measures"), Weigh: rapid.Bool().Draw(t, "weigh"), From: yard.Weekday(rapid.IntRange(0, 6).Draw(t, "from")), Changed: rapid.Bool().Draw(t, "changed")}
	})
	finding := rapid.Custom(func(t *rapid.T) yard.Finding {
		return yard.Finding{Rule: "x", Severity: yard.Warn, Message: text.Draw(t, "message"), Source: text.Draw(t, "source"), Cell: yard.Cell{Sheet: text.Draw(t, "sheet"), Ref: "A1", Text: text.Draw(t, "text")}}
	})
	horse := rapid.Custom(func(t *rapid.T) yard.HorsePlan {
		h := yard.HorsePlan{
			Horse:    yard.Horse{Name: text.Draw(t, "name"), Score: num.Draw(t, "score")},
			Status:   rapid.SampledFrom([]yard.Status{yard.Carded, yard.Held, yard.NoCard}).Draw(t, "status"),
			WeightKg: num.Draw(t, "weight"), NoCardWhy: reporttest.Sayings(rapid.SliceOfN(text, 0, 2).Draw(t, "why")...), HeldWhy: reporttest.Sayings(rapid.SliceOfN(text, 0, 3).Draw(t, "held")...),
			HardFeed: yard.HardFeedDay{Now: num.Draw(t, "now"), Planned: num.Draw(t, "planned"), Target: num.Draw(t, "target"), Card: num.Draw(t, "card")},
			Step:     yard.Step{WarnKg: num.Draw(t, "warn"), StopKg: num.Draw(t, "stop"), PathKg: []float64{num.Draw(t, "path").Or(1)}},
			Energy:   yard.Energy{Need: num.Draw(t, "need"), Supply: num.Draw(t, "supply"), SupplyAtLeast: num.Draw(t, "least").Or(0)},
			Servings: rapid.SliceOfN(serving, 0, 12).Draw(t, "servings"), Cautions: reporttest.Sayings(rapid.SliceOfN(text, 0, 3).Draw(t, "cautions")...),
			Changes: rapid.SliceOfN(rapid.Custom(func(t *rapid.T) yard.Change {
				return yard.Change{Feed: text.Draw(t, "feed"), FromKg: num.Draw(t, "from"), ToKg: num.Draw(t, "to"), From: 2}
			}), 0, 3).Draw(t, "changes"),
			Nutrients: rapid.SliceOfN(rapid.Custom(func(t *rapid.T) yard.Nutrient {
				return yard.Nutrient{Name: text.Draw(t, "n"), Unit: "g", Need: num.Draw(t, "need"), Supply: num.Draw(t, "supply"), AtLeast: num.Draw(t, "least").Or(0), Limit: num.Draw(t, "limit")}
			}), 0, 3).Draw(t, "nutrients"),
			Findings: rapid.SliceOfN(finding, 0, 2).Draw(t, "findings"),
		}
		if rapid.Bool().Draw(t, "event") {
			at := rapid.IntRange(-300, 1800)
			h.Events = []yard.EventClock{{Day: 4, Start: at.Draw(t, "start"), LastHardFeed: at.Draw(t, "last"), NextHardFeed: at.Draw(t, "next")}}
		}
		for i := range h.Days {
			h.Days[i] = yard.DayPlan{Kind: kind.Draw(t, "kind"), Work: text.Draw(t, "work"), EnergyWork: num.Draw(t, "mcal"), HardFeedKg: num.Draw(t, "hard")}
		}
		return h
	})
	rapid.Check(t, func(t *rapid.T) {
		p := yard.Plan{
			Week: yard.Week{Yard: text.Draw(t, "yard"), Imperial: rapid.Bool().Draw(t, "imperial"),
				Meals:    []yard.Meal{{Name: text.Draw(t, "meal"), Minute: rapid.IntRange(-5, 2000).Draw(t, "minute")}},
				Contacts: []yard.Contact{{Role: text.Draw(t, "role"), Name: text.Draw(t, "who")}}},
			WorkModel: rapid.SampledFrom([]string{"pace", "hourly", "class"}).Draw(t, "work model"),
			Horses:    rapid.SliceOfN(horse, 1, 3).Draw(t, "horses"),
			Findings:  rapid.SliceOfN(finding, 0, 3).Draw(t, "findings"),
			Feeds:     []yard.FeedNeed{{Feed: yard.Feed{Name: text.Draw(t, "feed")}, MeasureKg: num.Draw(t, "measure"), KgWeek: num.Draw(t, "kg").Or(0), Packs: num.Draw(t, "packs"), Unweighed: rapid.Bool().Draw(t, "unweighed")}},
		}
		if rapid.Bool().Draw(t, "dated") {
			p.Week.Beginning = reporttest.Monday
		}
		m := words.Meta{CardsPerPage: rapid.SampledFrom([]int{1, 2, 4}).Draw(t, "per page"), Edition: rapid.IntRange(0, 3).Draw(t, "edition"),
			Languages: rapid.SampledFrom(reporttest.Tried()).Draw(t, "languages")}
		if m.Edition > 1 {
			names := []string{"", "Old Nick"}
			for _, h := range p.Horses {
				names = append(names, h.Horse.Name)
			}
			m.Changes = rapid.SliceOfN(rapid.Custom(func(t *rapid.T) words.EditionChange {
				return words.EditionChange{Horse: rapid.SampledFrom(names).Draw(t, "whose"), What: text.Draw(t, "what changed")}
			}), 0, 8).Draw(t, "what the edition changed")
		}
		if _, err := Files(p, m); err != nil {
			t.Fatal(err)
		}
		m, _ = m.Settled(p)
		s, err := reporttest.Sketch("cards", wall.Cards(), p, reporttest.KeepBoxes(m))
		if err != nil {
			t.Fatal(err)
		}
		first := reporttest.FirstCardPage(s)
		reporttest.CheckPlaces(t, s)
		for name, doc := range map[string]*flow.Document{"scoops": wall.Scoops(), "office": office.Document()} {
			other, err := reporttest.Sketch(name, doc, p, reporttest.KeepBoxes(m))
			if err != nil {
				t.Fatal(err)
			}
			reporttest.CheckPlaces(t, other)
		}
		var b strings.Builder
		for _, x := range s.D.Boxes {
			if x.Page >= first {
				b.WriteString(x.Text)
			}
		}
		for _, h := range p.Horses {
			if !strings.Contains(reporttest.Unspaced(b.String()), reporttest.Bare(h.Horse.Name)) {
				t.Fatalf("%q is on no card", h.Horse.Name)
			}
		}
	})
}

// The line of changes is read at arm's length, the day of a change stands out,
// and what nobody knows is said once.
func TestChangesAreReadAtArmsLength(t *testing.T) {
	for _, per := range []int{1, 2, 4} {
		p := reporttest.OnlyHorse(reporttest.Fixture(), 0, yard.Carded)
		p.Horses[0].Changes = append(p.Horses[0].Changes,
			yard.Change{Feed: "Oats", ToKg: reporttest.Num(1), From: 0}, yard.Change{Feed: "Meadow hay", ToKg: reporttest.Num(8.5), From: 0}, yard.Change{Feed: "Chaff", From: 2})
		s, err := reporttest.Sketch("cards", wall.Cards(), p, words.Meta{KeepBoxes: true, CardsPerPage: per, Paper: "A4"})
		if err != nil {
			t.Fatal(err)
		}
		text, said := "", 0
		for _, b := range s.D.Boxes {
			if b.Page < reporttest.FirstCardPage(s) {
				continue
			}
			text += b.Text + " "
			texts := strings.TrimSpace(b.Text)
			if !regexp.MustCompile(`was 1½|^from\x{a0}Thu\x{a0}3|of these was fed|^From\x{a0}`).MatchString(texts) {
				continue
			}
			said++
			if c := b.Cap; c < 2.6-0.01 {
				t.Errorf("%d a page: %q is %.2f mm high", per, b.Text, c)
			}
			bold := s.D.Set.Width(draw.Bold, b.Cap, b.Text)
			if dated := strings.HasPrefix(strings.ToLower(texts), "from"); dated != (math.Abs(b.W-bold) < 1e-6) {
				t.Errorf("%d a page: %q is bold: %v", per, b.Text, !dated)
			}
		}
		if said < 5 {
			t.Errorf("%d a page: only %d pieces of the changes were found in %q", per, said, text)
		}
		text = reporttest.Unspaced(text)
		if strings.Count(text, reporttest.Bare("We don't know")) != 1 {
			t.Errorf("%d a page: what is not known is not said once:\n%s", per, text)
		}
		for _, w := range []string{
			"We don't know how much of these was fed last week. From Mon 30 Nov: Oats 2½ scoops (1 kg) a day; Meadow hay 8.5 kg a day. From Wed 2 Dec: Chaff amount not known, ask.",
		} {
			if !strings.Contains(text, reporttest.Bare(w)) {
				t.Errorf("%d a page: %q is not on the card:\n%s", per, w, text)
			}
		}
	}
}

// The page with the title is the first meal's too, in every language.
func TestTheTitleDoesNotStandAlone(t *testing.T) {
	t.Parallel()
	for _, in := range reporttest.Tried() {
		p := reporttest.Fixture()
		horses := p.Horses
		for len(p.Horses) < 18 {
			p.Horses = append(p.Horses, horses[0], horses[1])
		}
		s, err := reporttest.Sketch("cards.pdf", wall.Cards(), p, words.Meta{KeepBoxes: true, CardsPerPage: 2, Paper: "A4", Languages: in})
		if err != nil {
			t.Fatal(err)
		}
		alone := true
		for _, b := range s.D.Boxes {
			alone = alone && !(b.Page == 1 && b.Text == "Bramble")
		}
		if alone {
			t.Errorf("%v: no horse stands under the title", in)
		}
	}
}
