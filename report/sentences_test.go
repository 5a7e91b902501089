package report

import (
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"hardfeed/ration"
	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
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
	t.Parallel()
	spoken := map[string]bool{}
	translated := func(kind string, say yard.Saying) bool {
		spoken[say.Key] = true
		return strings.HasPrefix(say.Key, kind)
	}
	english := regexp.MustCompile(`(?i)\b(the|and|with|this|feed|from|kept|held|hay|over|week|vet)\b`)
	r := rand.New(rand.NewPCG(8, 1))
	yards, drawnYards := sample(450, 900), sample(4, 12)
	if reporttest.Raced {
		yards, drawnYards = 900, 1
	}
	plain := 0
	for i := range yards {
		p := ration.Plan(reporttest.RandomWeek(r), ration.DefaultRules())
		for _, f := range p.Findings {
			row, ok := yard.RuleOf(f.Rule)
			if _, limit := guard.Lookup(f.Rule); ok && !row.May(f.Severity) || !ok && !limit {
				t.Errorf("the register has no %s of %s: %s", f.Severity, f.Rule, words.Message(f))
			}
		}
		for _, h := range p.Horses {
			for _, c := range h.Cautions {
				if !translated("caution.", c) {
					t.Errorf("not in the tables: %v", c)
				}
			}
			for _, why := range slices.Concat(h.HeldWhy, h.NoCardWhy) {
				if !translated("reason.", why) {
					plain++
				}
			}
		}
		if i >= drawnYards {
			continue
		}
		for _, code := range words.Languages()[1:] {
			for name, doc := range map[string]*flow.Document{"cards.pdf": wall.Cards(), "scoops.pdf": wall.Scoops()} {
				s, err := reporttest.Sketch(name, doc, p, words.Meta{CardsPerPage: 2, Paper: "A4", Languages: []string{code}, KeepBoxes: true, Edition: 2, Changes: []words.EditionChange{words.ChangeOf("", yard.Say("edition.change.new"))}})
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
	// A shelf of hay weighed for months and a vet's words the program does not know
	// are no part of these yards, nor is frost, nor a horse of which nothing it eats is written.
	rare := []string{"reason.held", "caution.red.D-20", "caution.red.D-28", "caution.red.D-05", "caution.frost", "caution.soak.unknown", "caution.dust.unknown", "reason.empty"}
	for _, key := range slices.Concat(words.English().Keys("caution."), words.English().Keys("reason.")) {
		if !spoken[key] && !slices.Contains(rare, key) {
			t.Errorf("%s is never said by the engine", key)
		}
	}
	t.Logf("%d yards, %d reasons of the office's kind", yards, plain)
}
