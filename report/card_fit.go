package report

import (
	"math"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
)

// card lays out one horse's card, as large as its content allows; what does not
// fit at the least sizes goes on to a second card.
func (s *sheet) card(h yard.HorsePlan, w, ht float64) []*draw.Group {
	z := min(1.4, w/(fullCardW-2*border)) // quarter cards are smaller throughout, whole pages larger
	q := 1.0
	if z < quarter {
		q = quarterSizes
	}
	part := s.partOf(h, 88, 88) // as wide as any
	foot := s.cardFoot(h, w, z)
	for s.cardHead(h, w, z, part).H+foot.H > 0.7*ht {
		z *= 0.9
		foot = s.cardFoot(h, w, z)
	}
	room := ht - s.cardHead(h, w, z, "").H - foot.H - z
	rows := s.rowsOf(h)
	at := func(step int, split bool) []block {
		return s.cardBlocks(h, rows, w, sizesAt(scaleAt(step), q), z, room, split)
	}
	// largest is the largest step up to top that passes, from one that does. Each one
	// tried tells how full the card is at it, and so which to try next; height grows
	// with scale, all but exactly.
	top := max(0, int((scaleTop*z/q-scaleFloor)/scaleStep))
	largest := func(lo, guess int, try func(step int) (passes bool, full float64)) {
		for hi := top; lo < hi; {
			at := min(max(guess, lo+1), hi)
			passes, full := try(at)
			if passes {
				lo = at
			} else {
				hi = at - 1
			}
			if guess = (lo + hi + 1) / 2; full > 0 {
				k := scaleAt(at)
				guess = stepAt(k * math.Pow(full, -1.1/min(1, k*k)))
			}
		}
	}
	var pages [][]*draw.Group
	best, filled := 0, 1.0
	onOne := func(broken int) func(int) (bool, float64) {
		return func(step int) (bool, float64) {
			bs := at(step, false)
			full := height(bs) / room
			switch {
			case full > 1:
				return false, full
			case brokenIn(bs) > broken:
				return false, 0
			}
			pages, best, filled = paginate(bs, room), step, full
			return true, full
		}
	}
	// All on one card, as large as it holds, with no amount broken; unless the rows
	// alone, one line each, are too many for that.
	if least := sizesAt(scaleFloor, q); float64(len(rows.stages))*(least.amount+2*least.pad) <= room {
		largest(-1, rows.guess(room/q, len(h.Changes)+len(h.Cautions), h.Status == yard.Held), onOne(0))
		if pages == nil {
			if bs := at(0, false); height(bs) <= room { // some cannot but be broken
				pages = paginate(bs, room)
				largest(0, top/2, onOne(brokenIn(bs)))
			}
		}
	}
	if filled < 0.65 { // amounts on two lines, but a good deal larger
		larger := stepAt(1.3 * scaleAt(best))
		largest(min(larger, top)-1, larger, onOne(math.MaxInt))
	}
	for headH := s.cardHead(h, w, z, part).H; pages == nil; {
		// Over several cards, too, the type is as large as their number allows.
		room = ht - headH - foot.H - z
		bs := at(0, true)
		for shrunk := q; tallest(bs) > room && shrunk > 0.02*q; {
			// One block alone is taller than a card: smaller yet, rather than cut.
			shrunk *= 0.9
			bs = s.cardBlocks(h, rows, w, sizesAt(1, shrunk), z, room, true)
			top = 0
		}
		pages = paginate(bs, room)
		broken := brokenIn(bs)
		largest(0, 1, func(step int) (bool, float64) {
			bs := at(step, true)
			more := paginate(bs, room)
			fits := tallest(bs) <= room && brokenIn(bs) <= broken && len(more) <= len(pages)
			if fits {
				pages = more
			}
			return fits, 0
		})
		// A head may be higher than was thought: where a line of it breaks depends on
		// which card it is.
		for i := range pages {
			if higher := s.cardHead(h, w, z, s.partOf(h, i+1, len(pages))).H; higher > headH {
				headH, pages = higher, nil
				break
			}
		}
	}
	var out []*draw.Group
	for i, gs := range pages {
		c := draw.Space(w, ht)
		head := s.cardHead(h, w, z, s.partOf(h, i+1, len(pages)))
		c.Add(0, 0, head)
		c.Add(0, head.H+0.5*z, draw.Stack(0, gs...))
		c.Add(0, ht-foot.H, foot)
		out = append(out, c)
	}
	return out
}

// scaleAt is the scale of a step of the search, stepAt the step just under a scale;
// step 0 is the floor.
func scaleAt(step int) float64 { return scaleFloor + scaleStep*float64(step) }
func stepAt(k float64) int     { return int((k - scaleFloor) / scaleStep) }

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
func (s *sheet) cardBlocks(h yard.HorsePlan, rows cardRows, w float64, t sizes, z, room float64, split bool) []block {
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
			for used > room {
				used -= room
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
		cautions = append([]string{s.bothOf("override", "who", s.main.said(o.Who), "reason", s.main.said(o.Reason))}, cautions...)
	}
	// The worst three; all of them stand on the office sheet.
	for _, untold := range cautions[:min(len(cautions), maxCautions)] {
		c, _ := s.main.caution(untold)
		cap, small := max(3*k, 2, wordsFloor*min(1, z)), max(2.6*k, 2)
		lines := closer(cap, s.d.Lines(draw.Bold, cap, w-4*k, draw.Black, c))
		if s.beside != nil {
			if t, known := s.beside.caution(untold); known && t != c {
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
	meals  []meal
	cols   []dayColumn
	stages [][][]stage
}

func (s *sheet) rowsOf(h yard.HorsePlan) cardRows {
	r := cardRows{meals: mealsOf(s.p.Week, h), cols: dayColumns(h)}
	if len(r.cols) == 0 {
		r.cols = []dayColumn{{kind: yard.WorkDay, head: "column.work", short: "short.work"}}
	}
	for _, m := range r.meals {
		for _, f := range m.feeds {
			var row [][]stage
			for _, c := range r.cols {
				row = append(row, s.stages(c, f.stages[c.kind]))
			}
			r.stages = append(r.stages, row)
		}
	}
	return r
}

// guess is about the step at which the rows, with so many lines of other words,
// fill room: where the search for it starts.
func (r cardRows) guess(room float64, others int, held bool) int {
	lines := 0.8 + 0.7*float64(others)
	if held {
		lines += 2
	}
	for _, cols := range r.stages {
		most := 0
		for _, stages := range cols {
			most = max(most, (len(stages)+1)/2)
		}
		lines += 1.04 * float64(most)
	}
	return stepAt(room / (lines * (amountCap + 2*0.95)))
}
