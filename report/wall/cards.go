// Package wall is what hangs in the feed room: a card a horse, the whole yard by meal,
// and what a scoop of each feed weighs.
package wall

import (
	"hardfeed/report/draw"
	"hardfeed/report/flow"
	"hardfeed/report/words"
)

// Sizes of a full card, which is half a sheet, and of larger ones: capitals in mm.
const (
	fullCardW = 210.0
	border    = 5.5  // clear of print all round a card; the pouch and the scissors need 5
	nameFloor = 9.0  // a horse's name, legible at two metres
	nameTop   = 11.0 // the same where it has room
	amountCap = 6.0  // the least of an amount, legible at two metres

	// A card scaled by less is one of four on a page. It is read from close by:
	// its amounts are 3.5 mm at the least, and the rest of its rows in proportion.
	quarter      = 0.8
	quarterSizes = 3.5 / amountCap

	wordsFloor  = 2.6  // changes are read at arm's length, on any card; cautions on all but quarter cards
	bannerFloor = 2.4  // why a card is held and whom to ask, on full cards
	footFloor   = 1.45 // the general cautions, and whatever else is small: 6 point

	scaleFloor = 0.65
	scaleTop   = 1.7
	scaleStep  = 0.05
)

// sizes are those of a card's rows: amounts keep theirs where all else gives way
// a little, down to a floor of its own.
type sizes struct {
	k                                                float64 // the scale
	q                                                float64 // of all: less than 1 on quarter cards
	least                                            float64 // of anything
	amount, unit, aside, days, feed, meal, head, pad float64
	clear                                            float64 // of a row's rules, what hangs lowest
	line                                             float64 // between lines of a row or of the grid's head
}

func (s sizes) at(mm, floor float64) float64 { return max(s.q*max(mm*s.k, floor), s.least) }

func sizesAt(k, q float64) sizes {
	s := sizes{k: k, q: q, least: footFloor * min(1, q/quarterSizes)}
	s.amount = s.at(amountCap, amountCap)
	s.unit = s.at(3.25, 2.75)
	s.aside = s.at(2.65, 2.3) // the weight
	s.days = s.at(3.3, 2.7)
	s.feed = s.at(4, 3)
	s.meal = s.at(4.4, 3.2)
	s.head = s.at(3.5, 2.7)
	s.pad = q * max(0.88*k, 0.57)
	s.line = 0.7 * s.pad
	s.clear = q * max(0.55*k, 0.4)
	return s
}

// cards is cards.pdf on its way.
type cards struct {
	paper
	boxes struct { // to tick, the last that were made
		w         float64
		languages int
		all       *draw.Group
	}
}

// Cards is cards.pdf: the whole yard by meal, then a card a horse.
func Cards() *flow.Document {
	return &flow.Document{
		Title:     func(s *words.Sheet) string { return s.Word("title.cards") },
		Landscape: func(m words.Meta) bool { return m.CardsPerPage != 2 },
		Draw:      drawCards,
	}
}

// drawCards draws cards.pdf: the whole yard by meal, then a card a horse.
func drawCards(sheet *words.Sheet, d *draw.Doc) error {
	s := &cards{paper: paper{sheet, d}}
	(&who{paper: s.paper}).whoGetsWhat()
	across, down := 1, 2
	switch s.Meta.CardsPerPage {
	case 1:
		down = 1
	case 4:
		across = 2
	}
	w, h := s.d.PageW/float64(across), s.d.PageH/float64(down)
	slot := 0
	place := func(g *draw.Group) {
		if slot%(across*down) == 0 {
			s.d.AddPage()
			s.cutMarks(across, down)
		}
		at := slot % (across * down)
		s.d.Place(float64(at%across)*w+border, float64(at/across)*h+border, g)
		slot++
	}
	for _, hp := range s.Plan.Horses {
		s.d.Drawing = hp.Horse.Name
		for _, g := range s.card(hp, w-2*border, h-2*border) {
			place(g)
		}
	}
	s.d.Drawing = ""
	return nil
}

func (s *cards) cutMarks(across, down int) {
	if across == 2 {
		s.d.Dashes(s.d.PageW/2, 0, s.d.PageW/2, s.d.PageH)
	}
	if down == 2 {
		s.d.Dashes(0, s.d.PageH/2, s.d.PageW, s.d.PageH/2)
	}
}
