package report

import (
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"hardfeed/ration"
	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/reporttest"
	"hardfeed/report/words"
)

// amountText is a number on a card that stands alone: an amount.
var amountText = regexp.MustCompile(`^\d+([.,]\d*[1-9])?$`) // no trailing zero: that is a word of a sentence

// fractionText is a fraction; its figures are what is measured.
var fractionText = regexp.MustCompile(`^[¼½¾]$`)

// TestSizesOnAnyYard draws random yards, planned, the harsh one and the fixture, on
// both papers, one, two and four cards a page, in every language and in two, and
// looks at each line of text the drawing layer wrote: nothing overlaps or leaves its
// card or page, and nothing is smaller than DESIGN §6 has it: names 9.3 mm, amounts
// 6 mm, the figures of fractions 4.7 mm, read at a metre; on quarter cards, read at
// 0.6 m, as much less; nothing on a card under 2.4 mm.
func TestSizesOnAnyYard(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(8, 6))
	yards := sample(30, 200)
	if reporttest.Raced {
		yards = 20
	}
	seen := map[string]int{}
	smallest := map[string]float64{}
	for i := range yards {
		var p yard.Plan
		switch i {
		case 0, 2:
			p = reporttest.Harsh()
		case 1:
			p = reporttest.Fixture()
		default:
			p = ration.Plan(reporttest.RandomWeek(r), ration.DefaultRules())
			p.Week.Imperial = i%5 == 0
		}
		m := words.Meta{CardsPerPage: []int{1, 2, 4}[i%3], Paper: []string{"A4", "Letter"}[i/3%2], Languages: reporttest.Tried()[i%len(reporttest.Tried())]}
		inPlace(t, p, m, func(name string, s *reporttest.Drawing, first int) {
			for _, b := range s.D.Boxes {
				kind, least := kindOf(p, b, name, first, m.CardsPerPage)
				seen[kind]++
				if was, ok := smallest[kind]; !ok || b.Cap < was {
					smallest[kind] = b.Cap
				}
				if b.Cap < least-0.01 {
					t.Errorf("yard %d, %v, %s %d a page: %s %q is %.2f mm high, the least is %.2f", i, m.Languages, m.Paper, m.CardsPerPage, kind, b.Text, b.Cap, least)
				}
			}
		})
	}
	for _, kind := range []string{"name, full", "amount, full", "amount, quarter", "fraction, full", "fraction, quarter", "feed, full", "feed, quarter", "words, full", "words, quarter", "cards", "office", "scoops"} {
		if seen[kind] < 20 {
			t.Errorf("only %d of %q were looked at", seen[kind], kind)
		}
	}
	for kind, n := range seen {
		t.Logf("%s: %d, the smallest %.2f mm", kind, n, smallest[kind])
	}
}

// kindOf is what a line of text is, and how small it may be.
func kindOf(p yard.Plan, b draw.Box, doc string, first, perPage int) (kind string, least float64) {
	if doc == "office" {
		return doc, 1.45
	}
	if doc != "cards" || b.Page < first {
		return doc, 1.45
	}
	size, near := "full", 1.0
	if perPage == 4 { // read from 0.6 m, not from 1 m
		size, near = "quarter", 0.6
	}
	text := strings.TrimSpace(b.Text)
	is := func(kind string, least float64) (string, float64) { return kind + ", " + size, max(least*near, 2.4) }
	switch {
	case slices.ContainsFunc(p.Horses, func(h yard.HorsePlan) bool { return h.Horse.Name == text }):
		return is("name", 9.3)
	case fractionText.MatchString(text):
		return is("fraction", 4.7)
	case amountText.MatchString(text):
		return is("amount", 6)
	case slices.ContainsFunc(p.Feeds, func(f yard.FeedNeed) bool { return f.Feed.Name == text }):
		return is("feed", 3)
	}
	return is("words", 2.4)
}
