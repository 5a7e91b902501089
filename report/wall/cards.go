// Package wall is what hangs in the feed room: a card a horse, the whole yard by meal,
// and what a scoop of each feed weighs.
package wall

import (
	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/flow"
	"hardfeed/report/words"
)

// border is clear of print all round a card, in mm; the pouch and the scissors need 5.
const border = 5.5

// Cards is cards.pdf: the whole yard by meal, then a card a horse.
func Cards() *flow.Document {
	return &flow.Document{
		Title:     func(s *words.Sheet) string { return s.Word("title.cards") },
		Landscape: func(m words.Meta) bool { return m.CardsPerPage != 2 },
		Draw:      drawCards,
	}
}

func drawCards(sheet *words.Sheet, d *draw.Doc) error {
	s := paper{sheet, d}
	(&who{paper: s}).whoGetsWhat()
	pages := cardPages{d: d, grid: gridOf(s.Meta.CardsPerPage)}
	for i := range s.Plan.Horses {
		hp := &s.Plan.Horses[i]
		d.Drawing = hp.Horse.Name
		shape, cards := s.card(hp, pages.shapes())
		name := hp.Horse.Name
		for _, g := range cards {
			pages.place(name, shape, g)
			name = ""
		}
	}
	pages.finish()
	d.Drawing = ""
	return nil
}

// card lays out one horse's card on the smallest of the shapes that holds it in type that
// can be read; what not even the largest holds goes on to a second card.
func (s paper) card(h *yard.HorsePlan, shapes []shape) (shape, []*draw.Group) {
	c := cardOf(s, h)
	for i, sh := range shapes {
		if g := c.onOne(sh, i == len(shapes)-1); g != nil {
			return sh, []*draw.Group{g}
		}
	}
	sh := shapes[len(shapes)-1]
	return sh, c.onSeveral(sh)
}

// grid is how many cards are on a page.
type grid struct{ across, down int }

func gridOf(perPage int) grid {
	switch perPage {
	case 1:
		return grid{1, 1}
	case 4:
		return grid{2, 2}
	}
	return grid{1, 2}
}

// shape is a card's size in places of the grid, and in mm inside its border.
type shape struct {
	across, down int
	w, h         float64
	near         bool // one of four on a page, read from close by
}

// cardPages fills pages with cards. A card of a part of a page waits for others to fill
// it, so that cards of a full page between them waste no paper.
type cardPages struct {
	d       *draw.Doc
	grid    grid
	waiting []placed
	taken   [2][2]bool // by row and column
}

// placed is a card with its place on the page.
type placed struct {
	name     string // whose; "" of a further card
	row, col int
	shape
	g *draw.Group
}

// shapes are the sizes a card may have, the smallest first: better one card of a full
// page than two that can part.
func (p *cardPages) shapes() []shape {
	var out []shape
	for _, n := range [][2]int{{1, 1}, {1, 2}, {2, 2}} {
		if n[0] <= p.grid.across && n[1] <= p.grid.down {
			w, h := p.d.PageW/float64(p.grid.across)*float64(n[0]), p.d.PageH/float64(p.grid.down)*float64(n[1])
			out = append(out, shape{n[0], n[1], w - 2*border, h - 2*border, p.grid.across > 1})
		}
	}
	return out
}

// place puts a card on the page that waits, or on a new one; name is whose it is, in the
// list of pages.
func (p *cardPages) place(name string, sh shape, g *draw.Group) {
	if sh.across == p.grid.across && sh.down == p.grid.down {
		p.page([]placed{{name, 0, 0, sh, g}})
		return
	}
	row, col, ok := p.free(sh)
	if !ok {
		p.finish()
		row, col = 0, 0
	}
	for r := row; r < row+sh.down; r++ {
		for c := col; c < col+sh.across; c++ {
			p.taken[r][c] = true
		}
	}
	p.waiting = append(p.waiting, placed{name, row, col, sh, g})
}

// free finds room for a card on the page begun, behind those on it.
func (p *cardPages) free(sh shape) (row, col int, ok bool) {
	for row := 0; row+sh.down <= p.grid.down; row++ {
		for col := 0; col+sh.across <= p.grid.across; col++ {
			fits := true
			for r := row; r < row+sh.down; r++ {
				for c := col; c < col+sh.across; c++ {
					fits = fits && !p.taken[r][c]
				}
			}
			if fits {
				return row, col, true
			}
		}
	}
	return 0, 0, false
}

// finish draws the page that waits.
func (p *cardPages) finish() {
	if len(p.waiting) > 0 {
		p.page(p.waiting)
	}
	p.waiting, p.taken = nil, [2][2]bool{}
}

// page draws a page of cards, and where it is to be cut.
func (p *cardPages) page(cards []placed) {
	p.d.AddPage()
	w, h := p.d.PageW/float64(p.grid.across), p.d.PageH/float64(p.grid.down)
	whole := [2]bool{} // columns in which one card stands alone
	for _, c := range cards {
		if c.name != "" {
			p.d.Mark(c.name, false)
		}
		p.d.Place(float64(c.col)*w+border, float64(c.row)*h+border, c.g)
		for col := c.col; col < c.col+c.across; col++ {
			whole[col] = c.down > 1
		}
		if c.across == p.grid.across && c.down == p.grid.down {
			return // nothing to cut
		}
	}
	if p.grid.across == 2 {
		p.d.Dashes(w, 0, w, p.d.PageH)
	}
	for col := 0; p.grid.down == 2 && col < p.grid.across; col++ {
		if !whole[col] {
			p.d.Dashes(float64(col)*w, h, float64(col+1)*w, h)
		}
	}
}
