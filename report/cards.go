package report

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
)

// Sizes of a full card, which is half an A4 sheet: capitals in mm.
const (
	fullCardW  = 210.0
	border     = 6.0 // clear of print all round a card; the pouch and the scissors need 5
	nameFloor  = 9.0 // a horse's name, legible at two metres
	nameTop    = 12.0
	amountCap  = 6.0 // an amount at scale 1
	scaleFloor = 3.5 / amountCap
	scaleTop   = 1.4

	quarter = 0.8 // a card scaled by less is one of four on a page

	wordsFloor  = 2.6  // changes are read at arm's length, on any card; cautions on all but quarter cards
	bannerFloor = 2.2  // why a card is held and whom to ask, on full cards
	footFloor   = 1.45 // the general cautions: 6 point
	scaleStep   = 0.04
)

// cards draws cards.pdf: the whole yard by meal, then a card a horse.
func cards(s *sheet) error {
	if err := s.start(s.word("title.cards"), s.m.CardsPerPage != 2); err != nil {
		return err
	}
	s.whoGetsWhat()
	across, down := 1, 2
	switch s.m.CardsPerPage {
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
	for _, hp := range s.p.Horses {
		s.horse = hp.Horse.Name
		for _, g := range s.card(hp, w-2*border, h-2*border) {
			place(g)
		}
	}
	s.horse = ""
	return nil
}

func (s *sheet) cutMarks(across, down int) {
	if across == 2 {
		s.d.Dashes(s.d.PageW/2, 0, s.d.PageW/2, s.d.PageH)
	}
	if down == 2 {
		s.d.Dashes(0, s.d.PageH/2, s.d.PageW, s.d.PageH/2)
	}
}

// card lays out one horse's card, as large as its content allows; where the
// floor is reached it goes on to a second card.
func (s *sheet) card(h yard.HorsePlan, w, ht float64) []*draw.Group {
	z := min(1.4, w/(fullCardW-2*border)) // quarter cards are smaller throughout, whole pages larger
	foot := s.cardFoot(h, w, z)
	head := s.cardHead(h, w, z, "")
	room := ht - head.H - foot.H - 2*z
	// The largest scale at which all fits one card. Height grows with scale, all
	// but exactly, so halving finds it.
	top := max(0, int((scaleTop*z-scaleFloor)/scaleStep))
	search := func(inline bool, lo int) (best []block, step int) {
		hi := top
		for lo < hi {
			mid := (lo + hi + 1) / 2
			bs := []block(nil)
			if !inline || s.oneLine(h, w, scaleAt(mid)) {
				bs = s.cardBlocks(h, w, scaleAt(mid), z, room, inline, false)
			}
			if bs != nil && height(bs) <= room {
				best, lo = bs, mid
			} else {
				hi = mid - 1
			}
		}
		return best, lo
	}
	best, step := search(true, -1)
	// Amounts on two lines may be larger, but their drawings are smaller: worth
	// it only from this step on.
	enough := 0
	if step >= 0 {
		enough = int((scaleAt(step)/0.75-scaleFloor)/scaleStep) + 1
	}
	if enough <= top {
		if two := s.cardBlocks(h, w, scaleAt(enough), z, room, false, false); height(two) <= room {
			best, step = two, enough
			if larger, at := search(false, enough); larger != nil {
				best, step = larger, at
			}
		}
	}
	oversize := step < 0
	split := func(step int) []block {
		k := scaleAt(step)
		return s.cardBlocks(h, w, k, z, room, s.oneLine(h, w, k), true)
	}
	for step := 0; oversize && step > -14; step-- {
		best = split(step)
		if tallest(best) <= room {
			break
		}
		// One block alone is taller than a card: smaller yet, rather than cut.
	}
	pages := paginate(best, room)
	for step := 1; len(pages) > 1 && step <= top; step++ {
		// Over several cards, too, the type is as large as their number allows.
		blocks := split(step)
		more := paginate(blocks, room)
		if len(more) > len(pages) || tallest(blocks) > room {
			break
		}
		pages = more
	}
	var out []*draw.Group
	for i, gs := range pages {
		part := ""
		if len(pages) > 1 {
			// The banner stands on the first card only; the word stands on each.
			part = join(", ", s.statusWord(h.Status), s.word("card.of", "n", strconv.Itoa(i+1), "all", strconv.Itoa(len(pages))))
		}
		c := draw.Space(w, ht)
		hd := s.cardHead(h, w, z, part)
		c.Add(0, 0, hd)
		c.Add(0, head.H+z, draw.Stack(0, gs...))
		c.Add(0, ht-foot.H, foot)
		out = append(out, c)
	}
	return out
}

// scaleAt is the scale of a step of the search; step 0 is the floor, under
// which only a block that is taller than a card can push it.
func scaleAt(step int) float64 { return scaleFloor + float64(step)*scaleStep }

// block is a piece of a card that stays whole; over is the grid's heading,
// which stands above the first grid block of every card.
type block struct{ g, over *draw.Group }

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

// cardHead: the horse's name, what it weighs, and the week the card holds for.
// Its height does not depend on part.
func (s *sheet) cardHead(h yard.HorsePlan, w, z float64, part string) *draw.Group {
	d, week := s.d, s.p.Week
	rw := 0.36 * w
	line := s.word("weight.unknown")
	if kg, ok := h.WeightKg.Get(); ok {
		is := s.main.figure(kg, 0) + nb + "kg"
		if week.Imperial {
			is += " (" + s.main.figure(kg*lbPerKg, 0) + nb + "lb)"
		}
		line = join(" ", s.word("weight.is", "weight", is), s.basisWord(h.WeightBasis))
	}
	last := d.Number(draw.Regular, 2.6*z, rw, draw.Black, week.Yard)
	if part != "" {
		last = draw.On(draw.Black, 0.4*z, d.Number(draw.Bold, 2.6*z, rw-0.8*z, draw.White, part))
	}
	until := d.Number(draw.Bold, 3.5*z, rw-2*z, draw.Black, strings.ToUpper(s.main.notAfter(week)))
	if t := s.second(func(t tongue) string { return t.notAfter(week) }); t != "" {
		until = draw.Stack(0, until, d.Number(draw.Regular, 2.6*z, rw-2*z, draw.Black, t))
	}
	right := draw.Stack(0.5*z,
		d.Number(draw.Bold, 3.5*z, rw, draw.Black, s.main.weekSpan(week)),
		draw.Framed(0.5*z, 0.8*z, until),
		d.Number(draw.Regular, 2.6*z, rw, draw.Black, line))
	name := d.Name(nameTop*z, nameFloor*z, w-rw-4*z, 34*z, h.Horse.Name)
	g := draw.Space(w, 0)
	g.Add(0, 0, name)
	g.Add(w-rw, 0, right)
	g.Add(w-rw, right.H, last)
	g.H = max(name.H, right.H+2.6*z*draw.Leading+0.8*z) + 0.8*z
	return g.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x, y+g.H, x+w, y+g.H, 0.9*z, draw.Black) })
}

// maxCautions is how many a card carries: more would not be read.
const maxCautions = 3

// cardFoot: whom to ring, what a new edition changed, and the general cautions.
func (s *sheet) cardFoot(h yard.HorsePlan, w, z float64) *draw.Group {
	d := s.d
	ringCap, cap := max(2.4*z, 2), max(1.75*z, footFloor)
	ring := d.Para(draw.Bold, ringCap, w, draw.Black, s.ring())
	if s.beside != nil { // twice the words: smaller, so that the amounts keep their room
		cap = max(1.5*z, footFloor)
		ring = d.Fit(draw.Bold, ringCap, max(2*z, 1.8), w, draw.Black, s.ring())
	}
	rows := []*draw.Group{draw.Space(w, 0.6*z), ring}
	if t := s.editionOf(h); t != "" {
		rows = append(rows, d.Para(draw.Bold, max(2*z, 1.6), w, draw.Black, t))
	}
	for i, t := range s.tongues() {
		// A quarter card has no room for all of them twice.
		rows = append(rows, d.Para(draw.Regular, cap, w, draw.Black, t.standing(i > 0 && z < quarter)))
	}
	g := draw.Stack(0.3*z, rows...)
	return g.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x, y, x+w, y, 0.5*z, draw.Black) })
}

// cardBlocks is everything between head and foot at scale k, amounts on one
// line (inline) or two. Where it takes several cards (split), changes and cautions come before the meals, so that
// they are on the first.
func (s *sheet) cardBlocks(h yard.HorsePlan, w, k, z, room float64, inline, split bool) []block {
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
			out = append(out, s.grid(h, w, k, z, full, used, inline)...)
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
		lines := s.d.Lines(draw.Bold, max(3*k, 2, wordsFloor*min(1, z)), w-4*k, draw.Black, c)
		if s.beside != nil {
			if t, known := s.beside.caution(untold); known && t != c {
				lines = append(lines, s.d.Lines(draw.Regular, max(2.6*k, 2), w-4*k, draw.Black, t)...)
			}
		}
		for i, l := range lines {
			g := draw.Space(w, l.H)
			if i == 0 {
				g.H += 0.6 * k
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

// noCard says that nothing was computed, why, and what to do until somebody who
// knows the horse has spoken.
func (s *sheet) noCard(h yard.HorsePlan, w, k, z float64) []*draw.Group {
	d := s.d
	title := d.Number(draw.Bold, 9*k, w-4*k, draw.White, s.bothOf("status.no_card"))
	out := []*draw.Group{draw.Space(w, k), band(title, w, 2*k, 1*k)}
	say := func(f draw.Face, c float64, t string) {
		out = append(out, draw.Space(w, 1.2*k))
		out = append(out, d.Lines(f, c*k, w, draw.Black, t)...)
	}
	for i, t := range s.tongues() {
		if i > 0 && z < quarter { // what to do has to stand on the same card
			break
		}
		reasons := t.reasons(h, h.NoCardWhy, "nocard.office")
		if len(reasons) == 0 {
			reasons = []string{t.Say("nocard.office")}
		}
		for _, why := range reasons {
			say(draw.Regular, 3.8-0.8*float64(i), t.Say("nocard.why", "reason", why))
		}
	}
	for i, t := range s.tongues() {
		face, c := draw.Bold, 5.0
		if i > 0 {
			face, c = draw.Regular, 4
		}
		say(face, c, t.Say("nocard.ask", "who", t.ask(s.p.Week)))
		say(face, c, t.Say("nocard.hay"))
	}
	return out
}

// band is g on black over the full width.
func band(g *draw.Group, w, dx, dy float64) *draw.Group {
	b := draw.Space(w, g.H+2*dy)
	b.Draw(func(d *draw.Doc, x, y float64) { d.Rect(x, y, w, b.H+0.05, draw.Black) }) // no hairline to the band below
	return b.Add(dx, dy, g)
}

// banner is the hold: white on black, and in words.
func (s *sheet) banner(h yard.HorsePlan, w, k, z float64) []*draw.Group {
	d := s.d
	// The word takes at most a third of the band: some languages have a long one.
	word := d.Number(draw.Bold, 7.5*k, 0.34*w, draw.White, s.word("status.held"))
	if t := s.also("status.held"); t != "" {
		word = draw.Stack(0, word, d.Number(draw.Regular, 3.4*k, max(word.W, 0.25*w), draw.White, t))
	}
	x := word.W + 6*k
	c := max(2.9*k, bannerFloor*min(1, z))
	var lines []*draw.Group
	for _, t := range s.tongues() {
		for _, why := range t.reasons(h, h.HeldWhy, "reason.held") {
			lines = append(lines, d.Lines(draw.Regular, c, w-x-2*k, draw.White, why)...)
		}
		lines = append(lines, d.Lines(draw.Bold, c, w-x-2*k, draw.White, t.Say("held.do", "who", t.ask(s.p.Week)))...)
	}
	// The first block carries the word; further lines follow one by one, so that
	// a long reason may run on to the next card.
	n, first := 0, draw.Space(w-x, 0)
	for n < len(lines) && (n == 0 || first.H < word.H) {
		first.Add(0, first.H, lines[n])
		n++
	}
	top := draw.Space(w, max(first.H, word.H))
	top.Add(2*k, (top.H-word.H)/2, word)
	top.Add(x, (top.H-first.H)/2, first)
	out := []*draw.Group{draw.Space(w, k), band(top, w, 0, 0.6*k)}
	for _, l := range lines[n:] {
		out = append(out, band(draw.Pad(l, x, 0, 0, 0), w, 0, 0))
	}
	return append(out, band(draw.Space(w, 0), w, 0, 0.3*k))
}

// changes lists what is different from last week, with an arrow each.
func (s *sheet) changes(h yard.HorsePlan, w, k float64) []*draw.Group {
	c := max(2.9*k, wordsFloor)
	in := 1.6 * c
	out := []*draw.Group{draw.Space(w, 0.8*k)}
	say := func(mark *draw.Group, runs func(tongue) []draw.Run) {
		lines := s.d.Runs(c, w-in, draw.Black, runs(s.main)...)
		if s.beside != nil {
			lines = append(lines, s.d.Runs(0.85*c, w-in, draw.Black, runs(*s.beside)...)...)
		}
		for i, l := range lines {
			g := draw.Space(w, l.H)
			if i == 0 {
				g.Add(0, (l.H-mark.H)/2, mark)
			}
			out = append(out, g.Add(in, 0, l))
		}
	}
	ask := s.d.Line(draw.Bold, c, draw.Black, "?")
	for _, ch := range h.Changes {
		if !ch.FromKg.IsKnown() {
			continue
		}
		mark := ask
		if up := changeWay(ch); up != 0 {
			mark = draw.Arrow(up > 0, 1.2*c)
		}
		say(mark, func(t tongue) []draw.Run { return s.changeText(t, ch) })
	}
	if s.notKnownBefore(s.main, h.Changes) != nil {
		say(ask, func(t tongue) []draw.Run { return s.notKnownBefore(t, h.Changes) })
	}
	return out
}

// gridColumns are the widths of a card's meals, feeds and columns of days.
func gridColumns(h yard.HorsePlan, w float64) (cols []dayColumn, mealW, feedW, colW float64) {
	cols = dayColumns(h)
	if len(cols) == 0 {
		cols = []dayColumn{{kind: yard.WorkDay, head: "column.work", short: "short.work"}}
	}
	mealW, feedW = 0.18*w, 0.22*w
	if len(cols) == 3 {
		mealW, feedW = 0.16*w, 0.17*w
	}
	return cols, mealW, feedW, (w - mealW - feedW) / float64(len(cols))
}

// oneLine says whether every amount in measures has the room for drawing,
// words and weight on one line at scale k. Rows of a card are all alike: either
// all stand on one line or all on two.
func (s *sheet) oneLine(h yard.HorsePlan, w, k float64) bool {
	cols, _, _, colW := gridColumns(h, w)
	for _, m := range mealsOf(s.p.Week, h) {
		for _, f := range m.feeds {
			for _, c := range cols {
				for _, st := range s.stages(c, f.stages[c.kind]) {
					if !st.amount.weigh && s.stageCell(st, colW-3*k, k, true) == nil {
						return false
					}
				}
			}
		}
	}
	return true
}

// grid is the meals: a row a feed, a column a kind of day. It is parted into
// blocks for cards with room for so much, of which so much is used already.
func (s *sheet) grid(h yard.HorsePlan, w, k, z, room, used float64, inline bool) []block {
	d, week := s.d, s.p.Week
	cols, mealW, feedW, colW := gridColumns(h, w)
	pad := 0.8 * k

	head := draw.Space(w, 0)
	for i, c := range cols {
		x := mealW + feedW + float64(i)*colW + 2*k
		t := d.Fit(draw.Bold, 3.4*k, 2.4*k, colW-3*k, draw.Black, s.word(c.head))
		if also := s.also(c.head); also != "" {
			t = s.withSecond(t, draw.Regular, 2.7*k, colW-3*k, also)
		}
		n := d.Fit(draw.Regular, 2.9*k, 2*k, colW-3*k, draw.Black, s.both(func(t tongue) string { return t.says(week, c) }))
		head.Add(x, 0.6*k, draw.Stack(0, t, n))
	}
	head.W, head.H = w, head.H+0.6*k
	head.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x, y+head.H, x+w, y+head.H, 0.5*k, draw.Black) })

	meals := mealsOf(week, h)
	if len(meals) == 0 {
		t := d.Fit(draw.Bold, 4*k, 2*k, w, draw.Black, s.bothOf("nofeed"))
		return []block{{g: draw.Pad(t, 0, 2*k, 0, 2*k)}}
	}
	var out []block
	left := room - used - head.H
	for _, m := range meals {
		var rows []*draw.Group
		for _, f := range m.feeds {
			r := draw.Space(w, 0)
			mark := draw.Space(0, 0)
			if f.changed {
				mark = s.changedMark(h, f.feed, k)
			}
			fg := d.Fit(draw.Bold, 3.8*k, 2.7*k, feedW-2*k-mark.W, draw.Black, f.feed)
			if mark.W > 0 {
				fg = draw.Beside(0, mark, fg)
			}
			tallest := fg.H
			cells := make([]*draw.Group, len(cols))
			for i, c := range cols {
				cells[i] = s.stageCells(c, f.stages[c.kind], colW-3*k, k, inline)
				tallest = max(tallest, cells[i].H)
			}
			r.H = tallest + 2*pad
			r.Add(mealW, (r.H-fg.H)/2, fg)
			for i, c := range cells {
				r.Add(mealW+feedW+float64(i)*colW+2*k, (r.H-c.H)/2, c)
			}
			r.W = w
			rows = append(rows, r)
		}
		for i, piece := range pieces(rows, left, room-head.H) {
			label := s.mealLabel(m, mealW-3*k, k, z, i > 0)
			g := draw.Space(w, 0)
			g.Add(0, pad, label)
			g.H = 0
			for j, r := range piece {
				if j > 0 {
					y0 := g.H
					g.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x+mealW, y+y0, x+w, y+y0, 0.2, draw.Mid) })
				}
				g.Add(0, g.H, r)
			}
			g.H = max(g.H, label.H+2*pad)
			g.Draw(func(d *draw.Doc, x, y float64) {
				d.LineTo(x, y+g.H, x+w, y+g.H, 0.5*k, draw.Black)
				for i := range cols {
					cx := x + mealW + feedW + float64(i)*colW
					d.LineTo(cx, y, cx, y+g.H, 0.2, draw.Mid)
				}
			})
			out = append(out, block{g: g, over: head})
			if left -= g.H; left < 0 {
				left = room - head.H - g.H
			}
		}
	}
	return out
}

// pieces parts a meal's rows over cards: left is the room on the card begun,
// full that on the next ones. A meal is kept whole where that leaves less than
// half a card empty.
func pieces(rows []*draw.Group, left, full float64) [][]*draw.Group {
	total := 0.0
	for _, r := range rows {
		total += r.H
	}
	limit := left
	if total > left && left < full/2 {
		limit = full
	}
	out := [][]*draw.Group{nil}
	used := 0.0
	for _, r := range rows {
		if used+r.H > limit && len(out[len(out)-1]) > 0 {
			out, used, limit = append(out, nil), 0, full
		}
		out[len(out)-1] = append(out[len(out)-1], r)
		used += r.H
	}
	return out
}

// mealLabel: the meal, its time, a box to tick for each day.
func (s *sheet) mealLabel(m meal, w, k, z float64, more bool) *draw.Group {
	d := s.d
	parts := []*draw.Group{d.Fit(draw.Bold, 4.2*k, 2.4*k, w, draw.Black, s.main.name("meal.", m.name))}
	clock := d.Number(draw.Bold, 3.6*k, w, draw.Black, m.clock)
	if t := s.second(func(t tongue) string { return t.name("meal.", m.name) }); t != "" {
		second := d.Line(draw.Regular, 2.9*k, draw.Black, t)
		switch {
		case m.clock != "" && clock.W+1.5*k+second.W <= w:
			clock = draw.Beside(1.5*k, clock, second)
		default:
			parts = append(parts, d.Fit(draw.Regular, 2.9*k, 2*k, w, draw.Black, t))
		}
	}
	if m.clock != "" {
		parts = append(parts, clock)
	}
	if more {
		parts = append(parts, d.Number(draw.Regular, 2.4*k, w, draw.Black, s.word("goes on")))
	}
	var labels [][]string
	for _, t := range s.tongues() {
		var days []string
		for i := range 7 {
			days = append(days, t.tick(s.p.Week, i))
		}
		labels = append(labels, days)
	}
	return draw.Stack(0.3*k, append(parts, draw.Space(w, 0.3*k), d.TickBoxes(min(w, 40*z), labels...))...)
}

// changedMark is the arrow before a feed whose amount differs from last week;
// the line under the meals says by how much.
func (s *sheet) changedMark(h yard.HorsePlan, feed string, k float64) *draw.Group {
	mark := s.d.Line(draw.Bold, 3.4*k, draw.Black, "?")
	if i := slices.IndexFunc(h.Changes, func(c yard.Change) bool { return strings.EqualFold(c.Feed, feed) }); i >= 0 {
		if up := changeWay(h.Changes[i]); up != 0 {
			mark = draw.Arrow(up > 0, 3.4*k)
		}
	}
	return draw.Pad(mark, 0, 0, 1*k, 0)
}

// stageCell draws one amount: the mark, the measures, the weight. With inline
// it returns nil where that does not fit on one line and must not take two.
func (s *sheet) stageCell(st stage, w, k float64, inline bool) *draw.Group {
	d, a := s.d, st.amount
	mark := markOf(st.serving, a, 1.3*amountCap*k)
	cap, small := amountCap*k, 3.5*k
	if a.weigh {
		small = 2.7 * k // what matters is the scale
	}
	if a.none {
		cap = 3.4 * k
	}
	if a.aside == "" && (a.none || st.serving.AdLib) {
		small = 2.9 * k
		a.aside = s.second(func(t tongue) string { return t.amountOf(st.serving, false).number })
	}
	main := s.amountLine(a, cap)
	aside := d.Number(draw.Regular, small, w, draw.Black, a.aside)
	if a.unweighed {
		word := s.boxed("amount.unweighed", max(2.4*k, 1.6), w)
		if all := draw.Beside(2.2*k, main, aside, word); mark.W+2.2*k+all.W <= w {
			aside = draw.Beside(2.2*k, aside, word)
		} else {
			aside = draw.Stack(0.2*k, aside, word)
		}
	}
	line := []*draw.Group{}
	if mark.W > 0 {
		line = append(line, mark)
	}
	line = append(line, main)
	one := draw.Beside(1.8*k, line...)
	switch {
	case a.unweighed: // with its box it may be two lines high: centred on the amount
		one = draw.Beside(2.2*k, one, aside)
	case a.aside != "":
		one = onBaseline(one, cap, one.H, aside, small, 2.2*k)
	}
	switch {
	case one.W <= w && (inline || a.aside == ""):
		return one
	case inline && !a.weigh:
		return nil
	}
	for c := cap; main.W > w; { // numbers shrink, they are never cut
		c *= 0.95 * w / main.W
		main = s.amountLine(a, c)
	}
	mark = markOf(st.serving, a, 0.95*amountCap*k)
	under := aside
	if mark.W > 0 && mark.W+1.5*k+aside.W <= w {
		under = draw.Beside(1.5*k, mark, aside)
	} else if mark.W > 0 && mark.W <= w {
		under = draw.Stack(0.3*k, mark, aside)
	}
	return draw.Stack(0, main, under)
}

// stageCells sets the amounts of one feed under each other, each with the days
// it holds for: before it where all have the room, else above it.
func (s *sheet) stageCells(col dayColumn, ss []yard.Serving, w, k float64, inline bool) *draw.Group {
	d := s.d
	stages := s.stages(col, ss)
	if len(stages) == 0 {
		return d.Number(draw.Regular, 3.4*k, w, draw.Black, s.bothOf(col.nothing()))
	}
	days, amounts := make([]*draw.Group, len(stages)), make([]*draw.Group, len(stages))
	daysW, beside := 0.0, true
	for i, st := range stages {
		days[i] = d.Number(draw.Bold, 3.3*k, w, draw.Black, s.both(func(t tongue) string { return t.days(s.p.Week, st) }))
		daysW = max(daysW, days[i].W)
		amounts[i] = s.stageCell(st, w, k, inline)
	}
	if daysW == 0 {
		return draw.Stack(0.4*k, amounts...)
	}
	for _, a := range amounts {
		beside = beside && daysW+2*k+a.W <= w
	}
	out := &draw.Group{}
	for i, a := range amounts {
		if beside {
			line := draw.Space(0, max(days[i].H, a.H))
			line.Add(0, (line.H-days[i].H)/2, days[i])
			line.Add(daysW+2*k, (line.H-a.H)/2, a)
			out.Add(0, out.H, line)
		} else {
			out.Add(0, out.H, draw.Stack(0, days[i], a))
		}
		out.H += 0.3 * k
	}
	return out
}

// onBaseline sets a line of small type beside an amount line, their feet level.
func onBaseline(big *draw.Group, bigCap, bigH float64, small *draw.Group, smallCap, gap float64) *draw.Group {
	g := draw.Space(0, 0)
	g.Add(0, 0, big)
	// An amount line is centred in bigH and its feet stand 0.405 capitals under its
	// middle; a plain line's stand 0.41 of its own.
	drop := 0.405*bigCap - 0.41*smallCap
	g.Add(big.W+gap, bigH/2+drop-small.H/2, small)
	return g
}

// amountLine is "2½ scoops", the unit a little smaller, boxed WEIGH before it
// where the scale must be used.
func (s *sheet) amountLine(a amount, cap float64) *draw.Group {
	d := s.d
	g := d.Line(draw.Bold, cap, draw.Black, a.number)
	if a.unit != "" {
		c := 0.68 * cap
		u := d.Line(draw.Bold, c, draw.Black, nb+a.unit)
		g = draw.Space(0, 0).Add(0, 0, g).Add(g.W, 1.22*(cap-c), u)
	}
	g = draw.Tight(g, cap)
	if a.weigh {
		c := 0.5 * cap
		g = draw.Beside(0.3*cap, s.boxed("amount.weigh", c, math.Inf(1)), g)
	}
	return g
}

// boxed is a word in a box: something to be done or known before dishing out. A
// second language stands small under it.
func (s *sheet) boxed(key string, cap, w float64) *draw.Group {
	d := s.d
	word := d.Number(draw.Bold, cap, w-0.48*cap, draw.Black, s.word(key))
	if t := s.also(key); t != "" {
		word = draw.Stack(0, word, d.Number(draw.Regular, 0.75*cap, w-0.48*cap, draw.Black, t))
	}
	return draw.Framed(0.18*cap, 0.24*cap, word)
}

// withSecond puts the second language's words after a stroke where they have the
// room, else under the main ones.
func (s *sheet) withSecond(main *draw.Group, f draw.Face, cap, w float64, text string) *draw.Group {
	if one := draw.Beside(0, main, s.d.Line(f, cap, draw.Black, nb+"/"+nb+text)); one.W <= w {
		return one
	}
	return draw.Stack(0, main, s.d.Fit(f, cap, 0.7*cap, w, draw.Black, text))
}

// ring is whom to ring.
func (s *sheet) ring() string {
	if t := s.also("ring", "who", ""); t != "" {
		head := strings.TrimRight(s.word("ring", "who", ""), ": ")
		return head + " / " + s.beside.Say("ring", "who", s.main.ask(s.p.Week))
	}
	return s.word("ring", "who", s.main.ask(s.p.Week))
}

// markOf is the drawing of an amount, h high: scoops as scoops, hay as a bale.
func markOf(sv yard.Serving, a amount, h float64) *draw.Group {
	n, ok := sv.Measures.Get()
	switch {
	case a.none || a.weigh:
	case sv.Class == yard.Forage:
		return draw.Bale(h)
	case sv.Class == yard.Oil:
		return draw.Drop(h)
	case ok && sv.Measure != "" && !math.IsNaN(n):
		return draw.Scoops(n, h*0.85)
	}
	return draw.Space(0, 0)
}
