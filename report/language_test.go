package report

import (
	"bytes"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"hardfeed/ration/yard"
	"hardfeed/report/flow"
	"hardfeed/report/reporttest"
	"hardfeed/report/wall"
	"hardfeed/report/words"
)

// Numbers and their words as each language writes them. The forms are from
// memory, as the tables are.
func TestAmountsInEveryLanguage(t *testing.T) {
	for _, c := range []struct {
		lang  string
		Num   float64
		words string
	}{
		{"en", 0.5, "½ scoop"}, {"en", 1, "1 scoop"}, {"en", 1.25, "1¼ scoops"},
		{"de", 2.5, "2½ Messbecher"}, {"fr", 1.5, "1½ mesure"}, {"fr", 2, "2 mesures"}, {"es", 0.5, "½ medida"}, {"pt", 3, "3 medidas"},
		{"pl", 0.25, "¼ miarki"}, {"pl", 1, "1 miarka"}, {"pl", 2, "2 miarki"}, {"pl", 4, "4 miarki"}, {"pl", 5, "5 miarek"},
		{"pl", 12, "12 miarek"}, {"pl", 22, "22 miarki"}, {"pl", 5.5, "5½ miarki"},
	} {
		w := reporttest.In(t, c.lang)
		a := w.AmountOf(yard.Serving{Kg: yard.KgFed(c.Num * 0.5), Measure: "scoop", Measures: reporttest.Num(c.Num)}, false)
		if got := strings.ReplaceAll(a.String(), words.NoBreak, " "); got != c.words {
			t.Errorf("%s: %v reads %q, want %q", c.lang, c.Num, got, c.words)
		}
	}
	for _, odd := range []float64{-8, 0, math.NaN(), math.Inf(1), math.Inf(-1), 1e300} { // no panic; which form is nobody's business
		if got := reporttest.In(t, "pl").Plural(odd, "scoop"); !strings.HasPrefix(got, "miar") {
			t.Errorf("%v: %q", odd, got)
		}
	}
	if got := reporttest.In(t, "de").Plural(3, "Emmer"); got != "Emmer" {
		t.Errorf("a measure of the yard's own is called %q", got)
	}
	for lang, want := range map[string]string{"en": "1.25 kg", "de": "1,25 kg", "fr": "1,25 kg", "es": "1,25 kg", "pl": "1,25 kg", "pt": "1,25 kg"} {
		if got := strings.ReplaceAll(reporttest.In(t, lang).AmountOf(reporttest.Hay(yard.WorkDay, "", 1.25), false).String(), words.NoBreak, " "); got != want {
			t.Errorf("%s: %q", lang, got)
		}
	}
}

// Names of the workbook that have a word in the language are said in it;
// others, and under English all, stay as they are written.
func TestNamesOfMealsAndPeople(t *testing.T) {
	for _, c := range []struct{ lang, kind, name, want string }{
		{"en", "meal.", "TEA", "TEA"}, {"en", "meal.", "Morgens", "Morgens"}, {"de", "meal.", "Breakfast", "Früh"}, {"pl", "meal.", "tea", "Wieczór"},
		{"de", "meal.", "Zweites Frühstück", "Zweites Frühstück"}, {"fr", "role.", "Vet", "Vétérinaire"}, {"fr", "role.", "Livery client", "Livery client"},
	} {
		if got := reporttest.In(t, c.lang).Name(c.kind, c.name); got != c.want {
			t.Errorf("%s: %q is called %q, want %q", c.lang, c.name, got, c.want)
		}
	}
}

func TestCautionsOfTheProgramAreSaidInTheLanguage(t *testing.T) {
	de := reporttest.In(t, "de")
	saturday := yard.Arg{Name: "day", Value: yard.DayOfWeek{Date: time.Date(2026, 12, 5, 0, 0, 0, 0, time.UTC), Number: 5}}
	for _, c := range []struct {
		say           yard.Saying
		english, want string
	}{
		{yard.Say("caution.event", saturday, yard.Arg{Name: "start", Value: yard.Clock(600)}, yard.Arg{Name: "last", Value: yard.Clock(360)}),
			"Sat: event at 10:00. No hard feed after 06:00 until an hour after the work. Hay as on this card, and water always.", de.Say("caution.event", "day", "Sa", "start", "10:00", "last", "06:00")},
		{yard.Say("caution.before"), "We don't know what this horse had last week. Ask before giving hard feed.", de.Say("caution.before")},
		{yard.Say("caution.dust", yard.Names("feeds", yard.Comma, yard.FeedName, []string{"hay", "straw"})),
			"Soak or steam hay, straw before feeding, because of what the vet found. No dust.", words.Sentence(de.Say("caution.dust", "feeds", "hay, straw"))},
		{yard.Verbatim("Bites at feed time."), "Bites at feed time.", "Bites at feed time."},
	} {
		if got := de.Caution(c.say); got != c.want {
			t.Errorf("%v is said as %q", c.say, got)
		}
		if got := words.English().Caution(c.say); got != c.english {
			t.Errorf("%v is said in English as %q", c.say, got)
		}
	}
}

// Why a card is reduced: in words of the language where it has them all, else by the row
// of the limit, with the numbers left to the office sheet.
func TestReasonsAreSaidInTheLanguage(t *testing.T) {
	de := reporttest.In(t, "de")
	instead := yard.Say("part.instead", yard.Said("hard", yard.Say("part.hard feed", yard.Kg("kg", 3.7))), yard.Said("forage", yard.Say("part.forage.adlib")))
	starch := yard.Say("why.rule", yard.Named("rule", yard.RuleName, "D-11"), yard.Said("what", yard.Verbatim("Tea has 2.31 g of starch")))
	for _, c := range []struct {
		h             yard.HorsePlan
		english, want string
	}{
		{yard.HorsePlan{HeldWhy: []yard.Saying{yard.Say("reason.step", yard.Kg("plan", 4.5), yard.Kg("now", 3), yard.Kg("mark", 1.4))}, Instead: instead},
			"The plan was 4.5 kg of hard feed a day. That is too big a jump from 3 kg. It may go up by 1.4 kg a week at most. The card has 3.7 kg of hard feed a day, and forage ad lib.",
			de.Say("reason.step", "plan", "4,5", "now", "3", "mark", "1,4")},
		{yard.HorsePlan{HeldWhy: []yard.Saying{starch}, Instead: instead},
			"Tea has 2.31 g of starch. The card has 3.7 kg of hard feed a day, and forage ad lib.",
			strings.TrimSuffix(de.Say("reason.held"), ".") + " (D-11)."},
		{yard.HorsePlan{HeldWhy: reporttest.Sayings("no ration keeps both", "no ration keeps both")}, "No ration keeps both.",
			de.Say("reason.held")},
		{yard.HorsePlan{NoCardWhy: []yard.Saying{yard.Say("reason.score", yard.Figures("score", 2.5, yard.NoUnit, 3))}},
			"The condition score is 2.5 of 9. Under 3 a vet must set the feed.", words.Sentence(de.Say("reason.score", "score", "2,5"))},
	} {
		if got := de.Reasons(&c.h, "reason.held"); len(got) != 1 || !strings.HasPrefix(got[0], c.want) {
			t.Errorf("%q is said as %q", c.english, got)
		}
		if got := words.English().Reasons(&c.h, "reason.held"); len(got) != 1 || got[0] != c.english {
			t.Errorf("%q in English is %q", c.english, got)
		}
	}
}

// Two languages on a card: whatever is said in words is there in both.
func TestACardInTwoLanguages(t *testing.T) {
	p := reporttest.Fixture()
	p.Horses[1].Cautions = []yard.Saying{yard.Say("caution.beet")}
	s, err := reporttest.Sketch("cards.pdf", wall.Cards(), p, words.Meta{CardsPerPage: 1, Paper: "A4", Languages: []string{"en", "pl"}, KeepBoxes: true})
	if err != nil {
		t.Fatal(err)
	}
	text := ""
	for _, pg := range reporttest.Pages(t, reporttest.Pdf(t, s)) {
		text += pg
	}
	for _, w := range []string{
		"OUT OF DATE AFTER SUN 6 DEC", "Nieważna po niedz. 6 gru", "Who gets what / Kto co dostaje", "Wed śr. REST", "EVERY DAY, rest days too CODZIENNIE", "Breakfast", "Śniadanie",
		"LESS THAN PLANNED MNIEJ NIŻ PLANOWANO", "Daj ilości z tej karty.", "WEIGH", "Zważyć", "ad lib", "do woli",
		"was 1½ scoops (750 g) a day, now 2½ scoops (1.25 kg)", "było 1½ miarki (750 g) dziennie, teraz 2½ miarki (1,25 kg)", "od czw. 3 gru",
		"Ring / Dzwonić:", "Water always.", "Zawsze woda.", "NO CARD – ASK / BRAK KARTY – ZAPYTAJ", "Zapytaj przed karmieniem",
		"soak it as the label says", "Odmierz wysłodki na sucho", "Polski: jeszcze nieczytane",
	} {
		if !strings.Contains(text, reporttest.Bare(w)) {
			t.Errorf("%q is missing", w)
		}
	}
}

// What to do at once is on every card in both languages; the other general
// cautions in the second one where there is the room.
func TestWhatToDoAtOnceStandsOnEveryCardInBothLanguages(t *testing.T) {
	for _, per := range []int{1, 2, 4} {
		s, err := reporttest.Sketch("cards.pdf", wall.Cards(), reporttest.OnlyHorse(reporttest.Fixture(), 0, yard.Carded), words.Meta{KeepBoxes: true, CardsPerPage: per, Paper: "Letter", Languages: []string{"pl", "en"}})
		if err != nil {
			t.Fatal(err)
		}
		text := ""
		for _, b := range s.D.Boxes {
			if b.Page >= reporttest.FirstCardPage(s) {
				text += b.Text + " "
			}
		}
		text = reporttest.Unspaced(text)
		for _, code := range []string{"pl", "en"} {
			if w := reporttest.Bare(reporttest.In(t, code).Say("card.foot")); !strings.Contains(text, w) {
				t.Errorf("%d a page: %q is missing", per, w)
			}
		}
	}
	// The general warnings are on the first page, and behind the scoop weights.
	for name, doc := range map[string]*flow.Document{"cards.pdf": wall.Cards(), "scoops.pdf": wall.Scoops()} {
		s, err := reporttest.Sketch(name, doc, reporttest.Fixture(), words.Meta{KeepBoxes: true, CardsPerPage: 2, Paper: "A4", Languages: []string{"pl", "en"}})
		if err != nil {
			t.Fatal(err)
		}
		pages := reporttest.Pages(t, reporttest.Pdf(t, s))
		text := pages[0]
		if name == "scoops.pdf" {
			text = pages[len(pages)-1]
		}
		for _, code := range []string{"pl", "en"} {
			for _, k := range words.English().Keys("foot.") {
				if w := reporttest.Bare(reporttest.In(t, code).Say(k)); !strings.Contains(text, w) {
					t.Errorf("%s: %q is missing", name, w)
				}
			}
		}
	}
}

// In one language that is not English no English word of ours is left, bar what
// a finding says.
func TestACardInOneLanguageHasNoEnglish(t *testing.T) {
	english := regexp.MustCompile(`WORKDAY|RESTDAY|EVENTDAY|NOTAFTER|HELD|UNWEIGHED|WEIGH|adlib|Hayfirst|Ring:|Bodyweight|byscale|scoop|Breakfast|Who gets|from(Mon|Thu)|Notafter|page\dof|card\dof|Allday|aday`)
	for _, lang := range words.Languages()[1:] {
		p := reporttest.Fixture()
		for i := range p.Horses { // these are free text
			p.Horses[i].HeldWhy, p.Horses[i].NoCardWhy, p.Horses[i].Cautions = nil, nil, nil
		}
		p.Feeds[1].DensityFrom = ""
		for name, doc := range map[string]*flow.Document{"cards.pdf": wall.Cards(), "scoops.pdf": wall.Scoops()} {
			s, err := reporttest.Sketch(name, doc, p, words.Meta{CardsPerPage: 1, Paper: "A4", Languages: []string{lang}})
			if err != nil {
				t.Fatal(err)
			}
			file := reporttest.Pdf(t, s)
			for i, pg := range reporttest.Pages(t, file) {
				if m := english.FindString(pg); m != "" {
					t.Errorf("%s: page %d of %s says %q in\n%s", lang, i+1, name, m, pg)
				}
			}
			if w := reporttest.In(t, lang); !bytes.Contains(file, []byte("/Lang ("+w.Say("language")+")")) {
				t.Errorf("%s does not say that it is in %s", name, lang)
			}
		}
	}
}

// The results stay in English, whatever the cards are in: programs read them. What hangs
// on the wall, and the office sheet once it is translated, is in the first language.
func TestTheResultsStayInEnglish(t *testing.T) {
	a, b := files(t, reporttest.Fixture(), words.Meta{}), files(t, reporttest.Fixture(), words.Meta{Languages: []string{"de", "pl"}})
	for i := range a {
		same := bytes.Equal(a[i].Bytes, b[i].Bytes)
		if a[i].Name == "office.pdf" { // whose fonts hold the letters of the others
			same = slices.Equal(reporttest.Pages(t, a[i].Bytes), reporttest.Pages(t, b[i].Bytes))
		}
		spoken := slices.Contains([]string{"cards.pdf", "cards.html", "scoops.pdf"}, a[i].Name) || a[i].Name == "office.pdf" && reporttest.In(t, "de").Has("office.title")
		if same == spoken {
			t.Errorf("%s is the same under de, pl: %v", a[i].Name, same)
		}
	}
}

// On the wall a limit on dry matter is said without per cents, which nobody can weigh; on
// the office sheet with them.
func TestTheWallHasNoPerCents(t *testing.T) {
	for _, in := range reporttest.Tried() {
		p := reporttest.OnlyHorse(reporttest.Fixture(), 1, yard.Held)
		p.Horses[0].HeldWhy = nil
		for _, key := range []string{"D-13", "D-13.share", "D-17", "D-17.slimming", "D-21.fat", "D-27", "SH-03"} {
			p.Horses[0].HeldWhy = append(p.Horses[0].HeldWhy, yard.Say("why.rule", yard.Said("what", yard.Say("finding."+key,
				yard.Fixed("value", 1.12, yard.NoUnit, 2), yard.Fixed("mark", 1, yard.NoUnit, 0), yard.Said("whose", yard.Saying{})))))
		}
		all := files(t, p, words.Meta{Languages: in})
		if html := string(named(t, all, "cards.html")); strings.Contains(html, "1.12") || strings.Contains(html, "1,12") {
			t.Errorf("%v: a per cent of dry matter is on the page of cards", in)
		}
		for name, want := range map[string]bool{"cards.pdf": false, "office.pdf": true} {
			text := strings.Join(reporttest.Pages(t, named(t, all, name)), "")
			if got := strings.Contains(text, "1.12%") || strings.Contains(text, "1,12%"); got != want {
				t.Errorf("%v: %s has a per cent of dry matter: %v", in, name, got)
			}
		}
	}
}
