package report_test

import (
	"strings"
	"testing"

	"hardfeed/ration"
	"hardfeed/ration/yard"
	"hardfeed/report/flow"
	"hardfeed/report/office"
	"hardfeed/report/reporttest"
	"hardfeed/report/season"
	"hardfeed/report/wall"
	"hardfeed/report/words"
)

// No word, no unit and no number is broken between letters on any sheet, in any language,
// on either paper, at any size of card: "EVEN" and "T" are no word, and 1.32 k no weight.
func TestNoWordIsBroken(t *testing.T) {
	t.Parallel()
	demo := ration.Plan(demoWeek(t), ration.DefaultRules())
	fixture := reporttest.Fixture()
	for i, in := range reporttest.Tried() {
		for j, per := range []int{4, 2, 1} {
			docs := map[string]*flow.Document{"cards": wall.Cards()}
			if per == 4 {
				docs["scoops"], docs["office"], docs["season"] = wall.Scoops(), office.Document(), season.Document()
			}
			m := words.Meta{KeepBoxes: true, CardsPerPage: per, Paper: []string{"A4", "Letter"}[(i+j)%2], Languages: in}
			for name, doc := range docs {
				for _, p := range []yard.Plan{demo, fixture} {
					p.Week.Imperial = (i/2+j)%2 == 0
					s, err := reporttest.Sketch(name, doc, p, m)
					if err != nil {
						t.Fatal(err)
					}
					for _, b := range s.D.Broken {
						if !strings.Contains(b.Word, "Featherstonehaugh") { // nobody's name: it may
							t.Errorf("%v, %s, %d a page: %q is broken on page %d of %s", in, m.Paper, per, b.Word, b.Page, name)
						}
					}
				}
			}
		}
	}
}
