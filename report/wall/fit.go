package wall

import (
	"math"
	"strconv"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/words"
)

// Floors of type on a card that is half a sheet, read at one metre: heights of capitals
// in mm. Sixteen minutes of arc at a metre are 4.65 mm (LE-01, LE-02), twenty 5.8 (LE-08).
const (
	nameFloor     = 9.3 // a horse's name
	nameTop       = 11.5
	amountFloor   = 6.0
	fractionFloor = 4.7 // the figures of a fraction
	dayFloor      = 4.7 // the days' names where amounts differ by day
	least         = 2.4 // anything on the wall

	// A card that is one of four on a page is read from close by, at 0.6 m.
	nearBy = 0.6

	scaleStep = 0.1 // what is left over goes between the rows
	scaleTop  = 2.2
)

// sizes are those of everything between a card's head and its foot.
type sizes struct {
	amount, fraction, unit, aside, feed, feedLow, meal, clock, day, tag, note, box float64
	pad, gap                                                                       float64
	mark                                                                           float64 // height of a measure drawn beside its number
	strict                                                                         bool    // where a number is too wide nothing is laid out
	list                                                                           bool    // lines of the whole yard: units beside each other, no drawing below a number
}

// sizesAt are the floors times a scale of 1 or more. Below 1, which is only for a card
// that no page holds otherwise, all is smaller.
func sizesAt(k, near float64) sizes {
	low := least * min(1, k)
	at := func(mm float64) float64 { return max(low, mm*k*near) }
	return sizes{
		amount: amountFloor * k * near, fraction: fractionFloor * k * near, day: dayFloor * min(k, 1.4) * near,
		unit: at(3.1), aside: at(2.9), feed: at(4), feedLow: at(3), meal: max(low, 4.4*min(k, 1.3)*near), clock: max(low, 3.6*min(k, 1.3)*near), tag: at(2.6), note: max(2.6*min(1, k), 2.9*k*near), box: 3.7 * min(k, 1.4) * max(near, 0.8),
		mark: 0.78 * amountFloor * k * near, pad: (0.5*min(k, 1) + 1.1*max(0, k-1)) * near, gap: 1.2 * k * near,
	}
}

// card is one horse's card: what it says, before it is known on what it stands.
type card struct {
	paper
	horse *yard.HorsePlan
	chart words.Chart
	far   bool // on a whole page

	labelled map[*words.Row]label // see [card.labels]
}

func cardOf(s paper, h *yard.HorsePlan) *card { return &card{paper: s, horse: h, chart: s.Chart(h)} }

// layout is a card's parts at one size.
type layout struct {
	notices []*draw.Group // what belongs to the horse, above its meals
	head    *draw.Group   // over the columns
	meals   []*draw.Group
	after   []*draw.Group // changes and the like, below the meals
	wide    bool          // a number had to be made smaller than its floor, or a word broken
	broken  bool          // a word had to be broken
}

func (l layout) height() float64 {
	t := l.head.H
	for _, gs := range [][]*draw.Group{l.notices, l.meals, l.after} {
		for _, g := range gs {
			t += g.H
		}
	}
	return t
}

func (c *card) layout(w float64, t sizes) layout {
	var l layout
	l.broken = c.d.Set.Breaks(func() { l = c.lay(w, t) })
	l.wide = l.wide || l.broken
	return l
}

func (c *card) lay(w float64, t sizes) layout {
	var l layout
	l.head = draw.Space(w, 0)
	if c.horse.Status != yard.NoCard || len(c.horse.Servings) > 0 {
		l.head, l.meals, l.wide = c.table(w, t)
	}
	if l.wide && t.strict {
		return l
	}
	l.notices = c.notices(w, t)
	l.after = c.after(w, t)
	return l
}

// frame is what stands round the layout.
type frame struct {
	shape
	z    float64 // scale of head and foot
	near float64
	foot *draw.Group
	room float64 // between head and foot
}

func (c *card) frame(sh shape, part string) frame {
	f := frame{shape: sh, z: min(1.4, sh.w/199), near: 1}
	c.far = sh.h > 190 && !sh.near
	if sh.near {
		f.z, f.near = max(0.69, min(1, sh.w/199)), nearBy
	}
	for {
		f.foot = c.cardFoot(sh.w, f.z)
		f.room = sh.h - c.cardHead(sh.w, f.z, part).H - f.foot.H - 2*f.gap()
		if f.room > 0.35*sh.h || f.z < 0.1 {
			return f
		}
		f.z *= 0.9 // names as long as nobody's
	}
}

func (f frame) gap() float64 { return 0.6 * f.z }

// onOne is the card as large as the shape holds it; nil where it does not hold the floors,
// or where a word would have to be broken that a larger shape may hold.
func (c *card) onOne(sh shape, largest bool) *draw.Group {
	f := c.frame(sh, "")
	at := func(step int) layout {
		t := sizesAt(1+scaleStep*float64(step), f.near)
		t.strict = step > 0
		return c.layout(sh.w, t)
	}
	low := at(0)
	if low.height() > f.room || low.broken && !largest {
		return nil
	}
	best, step := low, 0
	fits := func(try int) bool {
		l := at(try)
		if l.wide || l.height() > f.room {
			return false
		}
		best, step = l, try
		return true
	}
	// Heights go with the scale, about: from there down to what fits, or up to what no longer does.
	top := int(math.Round((scaleTop - 1) / scaleStep))
	likely := min(top, int((f.room/low.height()-1)/scaleStep))
	for try := likely; try > 0 && !fits(try); try-- {
	}
	for step == likely && step < top && fits(step+1) {
		likely++
	}
	// What is left goes between the rows.
	rows := 0
	for _, m := range c.chart.Meals {
		rows += len(m.Rows)
	}
	for _, part := range []float64{0.98, 0.6, 0.35} {
		left := f.room - best.height()
		if rows == 0 || left < 1 {
			break
		}
		t := sizesAt(1+scaleStep*float64(step), f.near)
		t.pad += min(part*left/float64(2*rows), 0.45*t.amount)
		if l := c.layout(sh.w, t); l.height() <= f.room {
			best = l
			break
		}
	}
	return c.drawn(f, "", append(append(append(best.notices, best.head), best.meals...), best.after...))
}

// onSeveral is the card over as few pages as hold it at the floors. A meal is never
// broken, and what belongs to the horse is on each.
func (c *card) onSeveral(sh shape) []*draw.Group {
	f := c.frame(sh, c.partOf(88, 88)) // as wide as any
	for {
		pages := c.pages(sh, f)
		// A head may be higher than was thought: where a line of it breaks depends on
		// which card it is.
		var out []*draw.Group
		room := f.room
		for i, gs := range pages {
			part := ""
			if len(pages) > 1 {
				part = c.partOf(i+1, len(pages))
			}
			room = min(room, sh.h-c.cardHead(sh.w, f.z, part).H-f.foot.H-2*f.gap())
			out = append(out, c.drawn(f, part, gs))
		}
		if room == f.room {
			return out
		}
		f.room = room
	}
}

// pages are what is on each of several cards: as few as hold it at the floors, in type as
// large as that many hold.
func (c *card) pages(sh shape, f frame) [][]*draw.Group {
	k := 1.0
	t := sizesAt(k, f.near)
	l := c.layout(sh.w, t)
	for tallest(l.meals)+l.head.H > 0.9*f.room && k > 0.02 {
		k *= 0.9
		t = sizesAt(k, f.near)
		l = c.layout(sh.w, t)
	}
	best := c.spread(sh, f, l, t)
	for ; k >= 1 && k < scaleTop; k += scaleStep {
		t = sizesAt(k+scaleStep, f.near)
		t.strict = true
		if l = c.layout(sh.w, t); l.wide || tallest(l.meals)+l.head.H > 0.9*f.room {
			break
		}
		pages := c.spread(sh, f, l, t)
		if len(pages) > len(best) {
			break
		}
		best = pages
	}
	return best
}

// spread puts a layout on pages.
func (c *card) spread(sh shape, f frame, l layout, t sizes) [][]*draw.Group {
	above := append(l.notices[:len(l.notices):len(l.notices)], l.head)
	// Too much to stand on every card: on cards of its own, first, and the others say so.
	apart := stackHeight(above)+tallest(l.meals) > f.room
	var pages [][]*draw.Group
	left := 0.0
	fill := func(gs []*draw.Group, above ...*draw.Group) {
		for _, g := range gs {
			if len(pages) == 0 || g.H > left {
				pages = append(pages, append([]*draw.Group(nil), above...))
				left = f.room - stackHeight(above)
			}
			pages[len(pages)-1] = append(pages[len(pages)-1], g)
			left -= g.H
		}
	}
	if apart || len(l.meals) == 0 {
		fill(l.notices)
		above, left = append(c.caution(sh.w, t, c.Word("card.first"), c.Also("card.first")), l.head), 0
	}
	fill(l.meals, above...)
	fill(l.after, above[:len(above)-1]...)
	return pages
}

func (c *card) drawn(f frame, part string, gs []*draw.Group) *draw.Group {
	head := c.cardHead(f.w, f.z, part)
	g := draw.Space(f.w, f.h)
	g.Add(0, 0, head)
	g.Add(0, head.H+f.gap(), draw.Stack(0, gs...))
	return g.Add(0, f.h-f.foot.H, f.foot)
}

// partOf is which of a horse's cards one is, and the word that must be seen on each.
func (c *card) partOf(n, all int) string {
	return words.Join(", ", c.StatusWord(c.horse), words.Unbroken(c.Word("card.of", "n", strconv.Itoa(n), "all", strconv.Itoa(all))))
}

func stackHeight(gs []*draw.Group) float64 {
	t := 0.0
	for _, g := range gs {
		t += g.H
	}
	return t
}

func tallest(gs []*draw.Group) float64 {
	t := 0.0
	for _, g := range gs {
		t = max(t, g.H)
	}
	return t
}
