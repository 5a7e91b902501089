package wall

import (
	"math"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/words"
)

// card lays out one horse's card, as large as its content allows; what does not
// fit at the least sizes goes on to a second card.
func (s *cards) card(h yard.HorsePlan, w, ht float64) []*draw.Group {
	c := cardFit{s: s, h: h, rows: s.rowsOf(h), w: w, ht: ht, q: 1,
		z: min(1.4, w/(fullCardW-2*border))} // quarter cards are smaller throughout, whole pages larger
	if c.z < quarter {
		c.q = quarterSizes
	}
	part := s.partOf(h, 88, 88) // as wide as any
	for c.frame(1); s.cardHead(h, w, c.z, 1, part).H+c.foot.H > 0.7*ht; c.frame(1) {
		c.z *= 0.9
	}
	if bs := c.onOne(); bs != nil {
		return c.drawn(paginate(bs, c.room))
	}
	// Rather than a second card the head and foot give way a little.
	c.frame(nameFloor / nameTop)
	if bs := c.onOne(); bs != nil {
		return c.drawn(paginate(bs, c.room))
	}
	c.frame(1)
	return c.drawn(c.onSeveral())
}

// cardFit is a horse's card while its sizes are sought.
type cardFit struct {
	s           *cards
	h           yard.HorsePlan
	rows        cardRows
	w, ht       float64
	z, q        float64 // scale of the card, and of its rows beside that
	tight       float64 // how much head and foot give way
	foot        *draw.Group
	headH, room float64
	split       bool // over several cards
}

// frame is what stands round the rows.
func (c *cardFit) frame(tight float64) {
	c.tight = tight
	c.foot = c.s.cardFoot(c.h, c.w, c.z, tight)
	c.under(c.s.cardHead(c.h, c.w, c.z, tight, "").H)
}

// under leaves the rows the room below a head.
func (c *cardFit) under(headH float64) {
	c.headH = headH
	c.room = c.ht - headH - c.foot.H - 2*c.gap()
}

// gap is the white space below the head, and above the foot.
func (c *cardFit) gap() float64 { return 0.5 * c.z * c.tight * c.tight }

func (c *cardFit) blocks(t sizes) []block {
	return c.s.cardBlocks(c.h, c.rows, c.w, t, c.z, c.room, c.split)
}

// steps is how many steps of the scale there are above the least.
func (c *cardFit) steps() int { return int((scaleTop*c.z/c.q - scaleFloor) / scaleStep) }

// sizes are those so many steps above the least.
func (c *cardFit) sizes(step int) sizes {
	return sizesAt(scaleFloor+scaleStep*float64(step), c.q)
}

// largest is the largest sizes at which the blocks pass, and those blocks; bs are
// those of a step that does. What passes at one scale passes at those below it, all
// but exactly. Each step is a card laid out, so where to look next is reckoned from
// the height of those that passed: rows grow with their amounts, the rest with the
// scale, up to about room in all.
func (c *cardFit) largest(step int, bs []block, room float64, passes func([]block) bool) (sizes, []block) {
	rowsAt := func(t sizes) float64 { return float64(len(c.rows.stages)) * (t.amount + 2*t.pad) }
	for hi := c.steps(); step < hi; {
		now := c.sizes(step)
		rest := max(0, height(bs)-rowsAt(now))
		next := hi
		for t := c.sizes(next); next > step+1 && rowsAt(t)+rest*t.k/now.k > room; t = c.sizes(next) {
			next--
		}
		if more := c.blocks(c.sizes(next)); passes(more) {
			step, bs = next, more
		} else {
			hi = next - 1
		}
	}
	return c.sizes(step), bs
}

// onOne is all that stands between head and foot as large as one card holds it, with
// no amount broken that is not at the least sizes; nil where one does not hold it.
func (c *cardFit) onOne() []block {
	least := c.blocks(c.sizes(0))
	if height(least) > c.room {
		return nil
	}
	within := func(broken int) func([]block) bool {
		return func(bs []block) bool { return height(bs) <= c.room && brokenIn(bs) <= broken }
	}
	t, bs := c.largest(0, least, c.room, within(brokenIn(least)))
	if height(bs) < 0.65*c.room { // amounts on two lines, where all is a good deal larger then
		from := int(math.Ceil((1.3*t.k-scaleFloor)/scaleStep - 1e-9))
		if from <= c.steps() {
			if more := c.blocks(c.sizes(from)); height(more) <= c.room {
				t, bs = c.largest(from, more, c.room, within(math.MaxInt))
			}
		}
	}
	// What is left goes between the rows.
	if left := c.room - height(bs); left > 0.01*c.room && len(c.rows.stages) > 0 {
		more := min(0.99*left/float64(2*len(c.rows.stages)), 0.5*t.amount)
		t.pad += more
		t.clear += more
		if wider := c.blocks(t); height(wider) <= c.room {
			bs = wider
		}
	}
	return bs
}

// onSeveral is the same over as few cards as hold it, the type as large as their
// number allows.
func (c *cardFit) onSeveral() [][]*draw.Group {
	c.split = true
	c.under(c.s.cardHead(c.h, c.w, c.z, c.tight, c.s.partOf(c.h, 88, 88)).H) // as wide as any
	for {
		bs := c.blocks(c.sizes(0))
		for shrunk := c.q; tallest(bs) > c.room && shrunk > 0.02*c.q; {
			// One block alone is taller than a card: smaller yet, rather than cut.
			shrunk *= 0.9
			bs = c.blocks(sizesAt(1, shrunk))
		}
		fewest, broken := len(paginate(bs, c.room)), brokenIn(bs)
		const filled = 0.85 // of several cards together, about
		_, bs = c.largest(0, bs, filled*c.room*float64(fewest), func(bs []block) bool {
			return tallest(bs) <= c.room && brokenIn(bs) <= broken && len(paginate(bs, c.room)) <= fewest
		})
		pages := paginate(bs, c.room)
		// A head may be higher than was thought: where a line of it breaks depends on
		// which card it is.
		highest := c.headH
		for i := range pages {
			highest = max(highest, c.s.cardHead(c.h, c.w, c.z, c.tight, c.s.partOf(c.h, i+1, len(pages))).H)
		}
		if highest == c.headH {
			return pages
		}
		c.under(highest)
	}
}

// drawn are the cards.
func (c *cardFit) drawn(pages [][]*draw.Group) (out []*draw.Group) {
	for i, gs := range pages {
		head := c.s.cardHead(c.h, c.w, c.z, c.tight, c.s.partOf(c.h, i+1, len(pages)))
		g := draw.Space(c.w, c.ht)
		g.Add(0, 0, head)
		g.Add(0, head.H+c.gap(), draw.Stack(0, gs...))
		g.Add(0, c.ht-c.foot.H, c.foot)
		out = append(out, g)
	}
	return out
}

// block is a piece of a card that stays whole; over is the grid's heading,
// which stands above the first grid block of every card.
type block struct {
	g, over *draw.Group
	broken  int // amounts in it that take more than one line
}

// brokenIn is how many amounts of blocks take more than one line.
func brokenIn(bs []block) int {
	n := 0
	for _, b := range bs {
		n += b.broken
	}
	return n
}

// paginate fills cards, each with room for blocks, in order.
func paginate(bs []block, room float64) [][]*draw.Group {
	pages := [][]*draw.Group{nil}
	left, over := room, (*draw.Group)(nil)
	for _, b := range bs {
		need := b.g.H
		if b.over != nil && over == nil {
			need += b.over.H
		}
		if need > left && len(pages[len(pages)-1]) > 0 {
			pages, left, over = append(pages, nil), room, nil
		}
		at := len(pages) - 1
		if b.over != nil && over == nil {
			over = b.over
			pages[at] = append(pages[at], over)
			left -= over.H
		}
		pages[at] = append(pages[at], b.g)
		left -= b.g.H
	}
	return pages
}

// height is what blocks take on one card.
func height(bs []block) float64 {
	t, over := 0.0, false
	for _, b := range bs {
		t += b.g.H
		if b.over != nil && !over {
			over, t = true, t+b.over.H
		}
	}
	return t
}

func tallest(bs []block) float64 {
	t := 0.0
	for _, b := range bs {
		h := b.g.H
		if b.over != nil {
			h += b.over.H
		}
		t = max(t, h)
	}
	return t
}

// cardBlocks is everything between head and foot. Where it takes several cards
// (split), changes and cautions come before the meals, so that they are on the
// first.
func (s *cards) cardBlocks(h yard.HorsePlan, rows cardRows, w float64, t sizes, z, room float64, split bool) []block {
	k := t.k * t.q
	var out []block
	add := func(gs ...*draw.Group) {
		for _, g := range gs {
			out = append(out, block{g: g})
		}
	}
	meals := func() {
		if h.Status != yard.NoCard || len(h.Servings) > 0 {
			full, used := room, 0.0
			if !split {
				full = math.Inf(1)
			}
			for _, b := range out {
				used += b.g.H
			}
			if room > 0 {
				used = math.Mod(used, room)
			}
			out = append(out, s.grid(h, rows, w, t, z, full, used)...)
		}
	}
	switch h.Status {
	case yard.NoCard:
		add(s.noCard(h, w, k, z)...)
	case yard.Held:
		add(s.banner(h, w, k, z)...)
	}
	if !split {
		meals()
	}
	if len(h.Changes) > 0 {
		add(s.changes(h, w, k)...)
	}
	cautions := h.Cautions
	if o := h.Horse.Override; h.Step.Verdict == yard.StepOverridden {
		cautions = append([]yard.Saying{yard.Verbatim(s.BothOf("override", "who", s.Main.OrNotSaid(o.Who), "reason", s.Main.OrNotSaid(o.Reason)))}, cautions...)
	}
	// The worst three; all of them stand on the office sheet.
	for _, untold := range cautions[:min(len(cautions), words.MaxCautions)] {
		c := s.Main.Caution(untold)
		cap, small := max(3*k, 2, wordsFloor*min(1, z)), max(2.6*k, 2)
		lines := closer(cap, s.d.Lines(draw.Bold, cap, w-4*k, draw.Black, c))
		if s.Beside != nil {
			if t := s.Beside.Caution(untold); t != c {
				lines = append(lines, closer(small, s.d.Lines(draw.Regular, small, w-4*k, draw.Black, t))...)
			}
		}
		for i, l := range lines {
			g := draw.Space(w, l.H)
			if i == 0 {
				g.H += 0.8 * k
			}
			g.Add(4*k, g.H-l.H, l)
			g.Draw(func(d *draw.Doc, x, y float64) { d.Rect(x, y+g.H-l.H, 1.5*k, l.H, draw.Black) })
			add(g)
		}
	}
	if split {
		add(draw.Space(w, k))
		meals()
	}
	return out
}

// cardRows is what a card's rows say, whatever their size: the meals, the columns,
// and for each feed of each meal in each column its amounts.
type cardRows struct {
	meals  []words.Meal
	cols   []words.Column
	stages [][][]words.Stage
}

func (s *cards) rowsOf(h yard.HorsePlan) cardRows {
	r := cardRows{meals: words.MealsOf(s.Plan.Week, h), cols: words.Columns(h)}
	if len(r.cols) == 0 {
		r.cols = []words.Column{{Kind: yard.WorkDay, Head: "column.work", Short: "short.work"}}
	}
	for _, m := range r.meals {
		for _, f := range m.Feeds {
			var row [][]words.Stage
			for _, c := range r.cols {
				row = append(row, s.Stages(c, f.On(c.Kind)))
			}
			r.stages = append(r.stages, row)
		}
	}
	return r
}
