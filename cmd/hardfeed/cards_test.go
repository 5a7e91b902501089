package main

import (
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"hardfeed/report/pdftest"
)

// cardWords are the words of a card in one language, written down here apart
// from the tables the program takes them from.
type cardWords struct {
	adLib, none, held, ask, decimal string
	scoop                           string            // what all forms of the measure begin with
	meals                           map[string]string // of the demo, as they are on the card
}

var cardsIn = map[string]cardWords{
	"en": {"ad lib", "none", "LESS THAN PLANNED", "ASK FIRST", ".", "scoop", map[string]string{"Breakfast": "Breakfast", "Lunch": "Lunch", "Tea": "Tea"}},
	"de": {"nach Belieben", "nichts", "WENIGER ALS GEPLANT", "ERST FRAGEN", ",", "Messbecher", map[string]string{"Breakfast": "Früh", "Lunch": "Mittag", "Tea": "Abend"}},
	"fr": {"à volonté", "rien", "MOINS QUE PRÉVU", "DEMANDER D’ABORD", ",", "mesure", map[string]string{"Breakfast": "Matin", "Lunch": "Midi", "Tea": "Soir"}},
	"es": {"a voluntad", "nada", "MENOS DE LO PREVISTO", "PREGUNTAR ANTES", ",", "medida", map[string]string{"Breakfast": "Desayuno", "Lunch": "Mediodía", "Tea": "Tarde"}},
	"pl": {"do woli", "nic", "MNIEJ NIŻ PLANOWANO", "NAJPIERW ZAPYTAJ", ",", "miar", map[string]string{"Breakfast": "Śniadanie", "Lunch": "Południe", "Tea": "Wieczór"}},
	"pt": {"à vontade", "nada", "MENOS DO QUE O PLANEADO", "PERGUNTAR PRIMEIRO", ",", "medida", map[string]string{"Breakfast": "Manhã", "Lunch": "Almoço", "Tea": "Tarde"}},
}

// What is in the demo's results.json is on the horse's card: every
// meal, feed and amount, and every hold, in every language. The text is read
// back out of the PDF.
func TestTheDemosResultsStandOnItsCards(t *testing.T) {
	for lang, w := range cardsIn {
		t.Run(lang, func(t *testing.T) { resultsStandOnCards(t, lang, w) })
	}
	for _, pair := range []string{"en, pl"} {
		main, second, _ := strings.Cut(pair, ", ")
		t.Run(pair, func(t *testing.T) {
			resultsStandOnCards(t, pair, cardsIn[main])
			w := cardsIn[main]
			w.held, w.ask, w.meals, w.adLib, w.none = cardsIn[second].held, cardsIn[second].ask, cardsIn[second].meals, cardsIn[second].adLib, cardsIn[second].none
			resultsStandOnCards(t, pair, w)
		})
	}
}

func resultsStandOnCards(t *testing.T, language string, w cardWords) {
	t.Setenv("HARDFEED_LANGUAGE", language)
	number := func(v float64) string { return strings.Replace(strconv.FormatFloat(v, 'f', -1, 64), ".", w.decimal, 1) }
	dir := filepath.Join(t.TempDir(), "demo")
	if code := run(t.Context(), []string{"demo", "-o", dir, "--cards-per-page", "1"}, nil, &strings.Builder{}, &strings.Builder{}); code != exitDone {
		t.Fatalf("exit code %d", code)
	}
	var results struct {
		Horses []struct {
			Name, Status string
			HeldWhy      []string `json:"held_why"`
			HardFeed     struct {
				Now *float64 // nil: nobody knows
			} `json:"hard_feed_kg"`
			Cautions []string
			Days     []demoDay
			Ration   []demoServing
		}
	}
	readResults(t, dir, &results)
	// In the file's own order, which is the order of reading.
	pages := pdftest.Pages(t, []byte(textOf(t, filepath.Join(dir, "cards.pdf"))))
	squeeze := func(s string) string { return strings.Join(strings.Fields(s), "") }
	if file, err := os.Stat(filepath.Join(dir, "cards.pdf")); err != nil || file.Size() > 60_000*int64(len(results.Horses)) {
		t.Errorf("more than 60 kB a card: %v (%v)", file, err)
	}
	cards := map[string]string{}
	for _, page := range pages {
		for _, h := range results.Horses {
			if strings.HasPrefix(page, h.Name+" ") || strings.HasPrefix(page, h.Name+"\n") {
				cards[h.Name] += squeeze(page)
			}
		}
	}
	amounts, cautions, rows := 0, 0, 0
	for _, h := range results.Horses {
		card, ok := cards[h.Name]
		if !ok {
			t.Errorf("%s has no card", h.Name)
			continue
		}
		need := func(what string) {
			if !strings.Contains(card, squeeze(what)) {
				t.Errorf("%s: %q does not stand on the card", h.Name, what)
			}
		}
		if h.Status == "held" && h.HardFeed.Now == nil {
			need(w.ask)
		} else if h.Status == "held" {
			need(w.held)
			for _, why := range h.HeldWhy {
				why = why[1:] // its first letter is a capital on the card
				if h.HardFeed.Now == nil {
					why = strings.Replace(why, " Ask first.", "", 1) // the largest words of the card say so
				}
				if strings.HasPrefix(language, "en") {
					need(why)
					continue
				}
				// In another language its numbers are there, and no English.
				if strings.Contains(card, squeeze(why)) {
					t.Errorf("%s: %q is on the card in English", h.Name, why)
				}
				why, _, _ = strings.Cut(why, " The card has ")
				for _, v := range regexp.MustCompile(`\d+\.\d+`).FindAllString(why, -1) {
					need(strings.Replace(v, ".", w.decimal, 1))
				}
			}
		}
		// The demo's cautions are all sentences that the tables of words have: they
		// are there in English where English is spoken, and only there.
		for _, c := range h.Cautions {
			cautions++
			if strings.HasPrefix(c, "We don't know what this horse had last week.") && strings.Contains(card, squeeze(w.ask)) {
				continue // the largest words of the card say so
			}
			if english := strings.Contains(card, squeeze(c)); english != strings.HasPrefix(language, "en") {
				t.Errorf("%s: %q is on the card in English: %v", h.Name, c, english)
			}
		}
		for _, r := range h.Ration {
			need(r.Feed)
			if r.Meal != "" {
				need(w.meals[r.Meal])
			}
			amounts++
		}
		// Each feed of a meal, day by day: seven amounts in a row, or one where every day
		// of the horse's week is alike.
		type line struct{ meal, feed string }
		var lines []line
		week := map[line][7]string{}
		alike := true
		for _, r := range h.Ration {
			l := line{r.Meal, r.Feed}
			if _, ok := week[l]; !ok {
				lines = append(lines, l)
				week[l] = [7]string{w.none, w.none, w.none, w.none, w.none, w.none, w.none}
			}
			on := week[l]
			for day, d := range h.Days { // later stages stand later and write over the earlier
				if d.Kind == r.Day && day >= slices.IndexFunc(h.Days, func(d demoDay) bool { return d.Day == r.From }) {
					on[day] = demoAmount(r, w, number)
				}
			}
			week[l] = on
		}
		for _, l := range lines {
			for _, a := range week[l] {
				alike = alike && a == week[l][0]
			}
		}
		for _, l := range lines {
			on := week[l]
			if !slices.ContainsFunc(on[:], func(a string) bool { return a != w.none }) {
				continue // only on a kind of day that is not planned
			}
			row := regexp.QuoteMeta(squeeze(l.feed)) + `[^=]{0,40}(1=[\d.,]+k?g)?U?[^\d¼½¾]{0,25}`
			for day, a := range on {
				if day > 0 && alike {
					break
				}
				row += regexp.QuoteMeta(squeeze(a)) + `[^\d¼½¾]{0,25}?`
			}
			rows++
			if !regexp.MustCompile(row).MatchString(card) {
				t.Errorf("%s, %s: %s is not %v on the card:\n%s", h.Name, l.meal, l.feed, on, card)
			}
		}
	}
	if len(results.Horses) != 18 || amounts < 200 || cautions < 5 || rows < 120 {
		t.Errorf("%d horses with %d amounts in %d rows and %d cautions: the demo has 18, several hundred and some", len(results.Horses), amounts, rows, cautions)
	}
}

type demoDay struct{ Day, Kind string }

type demoServing struct {
	Day, Meal, Feed, Class, Measure, From string
	Kg                                    float64
	Measures, Ml                          *float64
	Weigh                                 bool
	AdLib                                 bool `json:"ad_lib"`
}

// demoAmount is the number of a serving as its cell has it.
func demoAmount(r demoServing, w cardWords, number func(float64) string) string {
	switch {
	case r.AdLib:
		return w.adLib
	case r.Ml != nil:
		return number(*r.Ml)
	case r.Kg == 0:
		return w.none
	case r.Measures != nil && !r.Weigh:
		return quarters(*r.Measures)
	case math.Round(r.Kg*1000) < 1000:
		return number(math.Round(r.Kg * 1000))
	}
	return number(r.Kg)
}

// quarters writes a number of quarter measures as the cards do.
func quarters(n float64) string {
	whole := int(n)
	s := map[float64]string{0: "", 0.25: "¼", 0.5: "½", 0.75: "¾"}[n-float64(whole)]
	if whole > 0 {
		s = strconv.Itoa(whole) + s
	}
	return s
}
