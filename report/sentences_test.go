package report

import (
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"hardfeed/ration"
	"hardfeed/report/flow"
	"hardfeed/report/reporttest"
	"hardfeed/report/wall"
	"hardfeed/report/words"
)

// Whatever the engine writes on a card is said in every language: each caution
// has its line in the tables, and each reason one of its own or the one that
// sends to the office sheet. Each line of the tables is spoken, so that none
// outlives the engine's wording. No English is left on the wall.
func TestEverySentenceOfACardIsSaidInTheLanguage(t *testing.T) {
	spoken := map[string]bool{}
	met := func(kind, text string) bool {
		for _, f := range words.Forms() {
			if strings.HasPrefix(f.Key, kind) && f.MatchString(words.Capital(text)) {
				spoken[f.Key] = true
				return true
			}
		}
		return false
	}
	english := regexp.MustCompile(`(?i)\b(the|and|with|this|feed|from|kept|held|hay|over|week|vet)\b`)
	r := rand.New(rand.NewPCG(8, 1))
	yards, drawnYards := 900, 12
	if reporttest.Raced {
		yards, drawnYards = 900, 1
	}
	plain := 0
	for i := range yards {
		p := ration.Plan(reporttest.RandomWeek(r), ration.DefaultRules())
		for _, h := range p.Horses {
			for _, c := range h.Cautions {
				if !met("caution.", c) {
					t.Errorf("not in the tables: %q", c)
				}
			}
			for _, why := range append(h.HeldWhy, h.NoCardWhy...) {
				first, _, _ := strings.Cut(why, ". The card prints ")
				if !met("reason.", first) {
					plain++
				}
			}
		}
		if i >= drawnYards {
			continue
		}
		for _, code := range words.Languages()[1:] {
			for name, doc := range map[string]*flow.Document{"cards.pdf": wall.Cards(), "scoops.pdf": wall.Scoops()} {
				s, err := reporttest.Sketch(name, doc, p, words.Meta{CardsPerPage: 2, Paper: "A4", Languages: []string{code}, KeepBoxes: true, Edition: 2, Changes: []words.EditionChange{{What: "the work of this week"}}})
				if err != nil {
					t.Fatal(err)
				}
				for _, b := range s.D.Boxes {
					if m := english.FindString(b.Text); m != "" {
						t.Errorf("%s, %s: %q is in English", code, name, b.Text)
					}
				}
			}
		}
	}
	for _, f := range words.Forms() {
		if !spoken[f.Key] && f.Key != "reason.held" {
			t.Errorf("%s is never said by the engine: %q", f.Key, f.String())
		}
	}
	if plain == 0 {
		t.Error("no reason was sent to the office sheet")
	}
	t.Logf("%d yards, %d reasons told on the office sheet only", yards, plain)
}
