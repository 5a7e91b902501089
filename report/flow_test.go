package report

import (
	"math/rand/v2"
	"slices"
	"testing"

	"hardfeed/ration"
	"hardfeed/ration/yard"
	"hardfeed/report/draw"
)

// What the list of the whole yard and the office sheet end on: no page with two lines
// on it, in any yard.
func TestNoSheetEndsOnNextToNothing(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	several := 0
	for i := range 40 {
		var p yard.Plan
		if i == 0 {
			p = fixture()
		} else {
			p = ration.Plan(anyYard(r), ration.DefaultRules())
			for len(p.Horses) > 0 && len(p.Horses) < i%20 { // large yards, too
				p.Horses = append(p.Horses, p.Horses[0])
			}
		}
		m := Meta{CardsPerPage: []int{2, 4}[i%2], Paper: []string{"A4", "Letter"}[i/2%2], Languages: tried()[i%len(tried())]}
		inPlace(t, p, m, func(name string, s *sheet, first int) {
			last := s.d.Page()
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
			for _, b := range s.d.Boxes {
				if b.Page == last && b.Y+b.H < s.d.PageH-18 { // the page's foot stands below
					low = max(low, b.Y+b.H)
				}
			}
			if low < 0.22*s.d.PageH {
				t.Errorf("yard %d, %v, %s, %d a page: the last page of %s ends %.0f mm from the top", i, m.Languages, m.Paper, m.CardsPerPage, name, low)
			}
		})
	}
	if several < 20 {
		t.Errorf("only %d sheets of several pages were looked at", several)
	}
}

// Whatever is put on pages: every block stands on one of them, in order and within
// it, nothing is parted that is to stay together and fits a page, and the last of
// several pages holds a quarter at least.
func TestNoFlowEndsOnNextToNothing(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	saved, moved := 0, 0
	for range 3000 {
		f := &flow{w: 100, top: 10, foot: 210}
		for i := range 1 + r.IntN(60) {
			if r.IntN(5) == 0 {
				f.gap(float64(1 + r.IntN(5)))
			}
			if r.IntN(5) == 0 {
				f.keep(float64(r.IntN(40)))
			}
			h := float64(1 + r.IntN(20))
			if i%7 == 0 {
				f.table(draw.Space(100, 5), []*draw.Group{draw.Space(100, h), draw.Space(100, 4)})
			} else {
				f.put(draw.Space(100, h))
			}
		}
		pages := f.pages()
		next := 0
		for _, p := range pages {
			if p.first != next || p.next <= p.first {
				t.Fatalf("a page holds blocks %d to %d, after %d", p.first, p.next, next)
			}
			next = p.next
			if p.full > 200+1e-6 {
				t.Errorf("a page of 200 mm holds %.1f mm", p.full)
			}
			for i, b := range f.blocks[p.first:p.next] {
				if y := p.y[i]; y+b.g.H > p.full+1e-6 || i > 0 && y < p.y[i-1]+f.blocks[p.first+i-1].g.H-1e-6 {
					t.Errorf("block %d of a page stands at %.1f", i, y)
				}
				if b.keep > 0 && p.next < len(f.blocks) && p.y[i]+b.keep > 200+1e-6 {
					t.Errorf("what is to stay together starts %.1f mm above the foot", 200-p.y[i])
				}
			}
		}
		if next != len(f.blocks) {
			t.Errorf("%d of %d blocks are on pages", next, len(f.blocks))
		}
		last := pages[len(pages)-1]
		if plain := f.laid(1, -1, 0); len(plain) > len(pages) {
			saved++
		} else if plain[len(plain)-1].full < last.full {
			moved++
		}
		if len(pages) > 1 && last.full < leastPage*200-1e-6 {
			t.Errorf("the last of %d pages holds %.1f of 200 mm", len(pages), last.full)
		}
	}
	if saved < 20 || moved < 20 {
		t.Errorf("only %d pages were saved and %d filled up", saved, moved)
	}
}

// Columns hold every row, in order, none higher than there is room.
func TestRowsInColumns(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1))
	for range 500 {
		var rows []*draw.Group
		var want, got []int
		for i := range r.IntN(40) {
			want = append(want, i)
			rows = append(rows, draw.Space(50, float64(1+r.IntN(30))).Draw(func(*draw.Doc, float64, float64) { got = append(got, i) }))
		}
		for _, g := range inColumns(rows, 2, 8, 90) {
			if g.H > 90 || g.W > 108 {
				t.Errorf("a block of %.0f × %.0f", g.W, g.H)
			}
			(&draw.Doc{}).Place(0, 0, g)
		}
		if !slices.Equal(got, want) {
			t.Errorf("rows come as %v", got)
		}
	}
}
