package report

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
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
	scaleTop   = 1.4
	scaleStep  = 0.05
)

// sizes are those of a card's rows: amounts keep theirs where all else gives way
// a little, down to a floor of its own.
type sizes struct {
	k                                                float64 // the scale
	q                                                float64 // of all: less than 1 on quarter cards
	least                                            float64 // of anything
	amount, unit, aside, days, feed, meal, head, pad float64
}

func (s sizes) at(mm, floor float64) float64 { return max(s.q*max(mm*s.k, floor), s.least) }

func sizesAt(k, q float64) sizes {
	s := sizes{k: k, q: q, least: footFloor * min(1, q/quarterSizes)}
	s.amount = s.at(amountCap, amountCap)
	s.unit = s.at(3.25, 3)
	s.aside = s.at(2.65, 2.3) // the weight
	s.days = s.at(3.3, 2.7)
	s.feed = s.at(4, 3)
	s.meal = s.at(4.4, 3.2)
	s.head = s.at(3.5, 2.7)
	s.pad = q * max(0.95*k, 0.62)
	return s
}

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

// partOf is which of a horse's cards one is; nothing of the only one. The banner of a held card stands on the
// first only; the word stands on each.
func (s *sheet) partOf(h yard.HorsePlan, n, all int) string {
	if all == 1 {
		return ""
	}
	return join(", ", s.statusWord(h.Status), unbroken(s.word("card.of", "n", strconv.Itoa(n), "all", strconv.Itoa(all))))
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

// leastAt is the least height of head and foot at scale z: less than footFloor only
// where names as long as nobody's would leave no room on the card for feeds.
func leastAt(z float64) float64 { return footFloor * min(1, z/0.64) }

// cardHead: the horse's name, what it weighs, and the week the card holds for; part
// is which of several cards it is, or empty.
func (s *sheet) cardHead(h yard.HorsePlan, w, z float64, part string) *draw.Group {
	d, week := s.d, s.p.Week
	rw := 0.37 * w
	line := s.word("weight.unknown")
	if kg, ok := h.WeightKg.Get(); ok {
		is := s.main.figure(kg, 0) + nb + "kg"
		if week.Imperial {
			is += " (" + s.main.figure(kg*lbPerKg, 0) + nb + "lb)"
		}
		line = join(" ", s.word("weight.is", "weight", is), s.basisWord(h.WeightBasis))
	}
	until := fitTrim(d, draw.Bold, 3.7*z, leastAt(z), rw-2*z, draw.Black, strings.ToUpper(s.main.notAfter(week)))
	if t := s.second(func(t tongue) string { return t.notAfter(week) }); t != "" {
		until = draw.Stack(0.8*z, until, fitTrim(d, draw.Regular, 2.4*z, leastAt(z), rw-2*z, draw.Black, t))
	}
	right := draw.Stack(0.9*z,
		fitTrim(d, draw.Bold, 3.7*z, leastAt(z), rw, draw.Black, s.main.weekSpan(week)),
		draw.Framed(0.5*z, 1*z, until))
	// The last line: which of several cards, the weight, whose yard.
	about := join(" · ", line, week.Yard)
	small := max(1.8*z, leastAt(z))
	last := fitTrim(d, draw.Regular, 2.3*z, small, rw, draw.Black, about)
	if part != "" {
		t := draw.On(draw.Black, 0.7*z, fitTrim(d, draw.Bold, 2.6*z, leastAt(z), 0.6*rw, draw.White, part))
		last = draw.Beside(1.5*z, t, fitTrim(d, draw.Regular, 2.3*z, small, rw-t.W-1.5*z, draw.Black, about))
	}
	name := s.cardName(h.Horse.Name, z, w-rw-4*z)
	g := draw.Space(w, 0)
	g.Add(0, 0, name)
	g.Add(w-rw, 0, right)
	g.Add(w-rw, right.H+0.9*z, last)
	g.H += 0.9 * z
	return g.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x, y+g.H, x+w, y+g.H, 0.9*z, draw.Black) })
}

// cardName is a horse's name: on one line as large as its width allows, between
// nameTop and nameFloor; else on as many lines of nameFloor as the head holds;
// else, which no horse's is, smaller.
func (s *sheet) cardName(name string, z, w float64) *draw.Group {
	shown, _ := draw.Printable(name)
	top, floor := nameTop*z, nameFloor*z
	if c := min(top, floor*w/max(1e-9, s.d.Width(draw.Bold, floor, shown))*0.999); c >= floor {
		return s.d.Trim(draw.Bold, c, draw.Black, shown)
	}
	for c := floor; ; c *= 0.93 {
		g := s.d.Close(draw.Bold, c, w, draw.Black, shown)
		if g.H <= 34*z || c < wordsFloor*min(1, z) {
			return g
		}
	}
}

// fitTrim is t on one line without room round it, between floor and cap; where even
// the floor is too wide, wrapped at the floor.
func fitTrim(d *draw.Doc, f draw.Face, cap, floor, w float64, ink draw.Ink, t string) *draw.Group {
	t, _ = draw.Printable(t)
	if full := d.Width(f, cap, t); full > w {
		if cap *= w / full * 0.999; cap < floor {
			return d.Close(f, floor, w, ink, t)
		}
	}
	return d.Trim(f, cap, ink, t)
}

// closer are lines of running text with a little less between them.
func closer(cap float64, lines []*draw.Group) []*draw.Group {
	const less = 0.18
	for i, l := range lines {
		lines[i] = draw.Pad(l, 0, -less*cap/2, 0, -less*cap/2)
	}
	return lines
}

// maxCautions is how many a card carries: more would not be read.
const maxCautions = 3

// cardFoot: whom to ring, what a new edition changed, and the general cautions.
func (s *sheet) cardFoot(h yard.HorsePlan, w, z float64) *draw.Group {
	d := s.d
	ringCap, cap := max(2.4*z, 1.37*leastAt(z)), max(1.75*z, leastAt(z))
	if s.beside != nil { // twice the words: smaller, so that the amounts keep their room
		cap = max(1.5*z, leastAt(z))
		ringCap = max(2.2*z, 1.24*leastAt(z))
	}
	para := func(f draw.Face, cap float64, t string) *draw.Group {
		return d.Close(f, cap, w, draw.Black, t)
	}
	// Whom to ring is on one line where that takes little off its size.
	ring, _ := draw.Printable(s.ring())
	if full := d.Width(draw.Bold, ringCap, ring); full > w && full*0.8 < w {
		ringCap *= w / full * 0.999
	}
	rows := []*draw.Group{draw.Space(w, 0.5*z), para(draw.Bold, ringCap, ring)}
	if t := s.editionOf(h); t != "" {
		rows = append(rows, para(draw.Bold, max(2*z, 1.1*leastAt(z)), t))
	}
	for i, t := range s.tongues() {
		// A quarter card has no room for all of them twice.
		rows = append(rows, para(draw.Regular, cap, t.standing(i > 0 && z < quarter)))
	}
	g := draw.Stack(0, rows...)
	return g.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x, y, x+w, y, 0.5*z, draw.Black) })
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
		word = draw.Stack(0, word, d.Fit(draw.Regular, max(3.4*k, footFloor), footFloor, max(word.W, 0.25*w), draw.White, t))
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
		lines := closer(c, s.d.Runs(c, w-in, draw.Black, runs(s.main)...))
		if s.beside != nil {
			lines = append(lines, closer(0.85*c, s.d.Runs(0.85*c, w-in, draw.Black, runs(*s.beside)...))...)
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

// cellParts are what one amount is drawn of, before its place is known: the days
// it holds for, the drawing or the word before the number, the number, beside it
// its unit over its weight, and a word of warning.
type cellParts struct {
	days, lead, number, side, warn *draw.Group
	whole                          bool // all of it is in number
}

// inOrder are those parts there are.
func (c cellParts) inOrder() []*draw.Group {
	out := make([]*draw.Group, 0, 5)
	for _, g := range [...]*draw.Group{c.days, c.lead, c.number, c.side, c.warn} {
		if g != nil {
			out = append(out, g)
		}
	}
	return out
}

// parted says whether a part of it is wider than w, or the number and what stands
// beside it are.
func (c cellParts) parted(w, gap float64) bool {
	return c.side != nil && c.number.W+gap+c.side.W > w ||
		slices.ContainsFunc(c.inOrder(), func(g *draw.Group) bool { return g.W > w })
}

// inPieces are the parts there are: all but the days together, or those before the
// number together and the number with its unit, as far as they fit w.
func (c cellParts) inPieces(w, gap float64) []*draw.Group {
	pieces := [][2]*draw.Group{{c.days, c.lead}, {c.number, c.side}, {c.warn, nil}}
	if c.days != nil && c.lead != nil && c.side != nil && c.lead.W+c.number.W+c.side.W+2*gap <= w {
		pieces = [][2]*draw.Group{{c.days, nil}, {draw.Beside(gap, c.lead, c.number), c.side}, {c.warn, nil}}
	}
	var out []*draw.Group
	for _, two := range pieces {
		switch a, b := two[0], two[1]; {
		case a != nil && b != nil && a.W+gap+b.W <= w:
			out = append(out, draw.Beside(gap, a, b))
		default:
			for _, g := range two {
				if g != nil {
					out = append(out, g)
				}
			}
		}
	}
	return out
}

// gridRow is one feed of a meal: in each column its amounts one after the other.
type gridRow struct {
	feed  mealFeed
	cells [][]cellParts
}

// gridWidths are those of a card's meals, feeds and columns of days. Columns are
// alike where that does; else one that has more to say takes of the others, and of
// the meals and feeds down to least. No column is narrower than its head is wide.
func gridWidths(w, least float64, t sizes, heads []float64, rows []gridRow) (mealW, feedW float64, colW []float64) {
	columns := len(heads)
	mealW, feedW = 0.16*w, 0.2*w
	if t.q < 1 { // the boxes to tick need it
		mealW = 0.19 * w
	}
	if columns == 1 {
		feedW = 0.3 * w
	}
	need, want := make([]float64, columns), make([]float64, columns)
	sum, wanted, widest := 0.0, 0.0, 0.0
	for i, head := range heads {
		need[i], want[i] = head, head
		for _, r := range rows {
			all := t.cellPad()
			for _, c := range r.cells[i] {
				one := 0.0
				for _, g := range c.inOrder() {
					one += g.W + t.gap()
				}
				need[i] = max(need[i], t.cellPad()+one)
				all += one + t.gap()
			}
			want[i] = max(want[i], all)
		}
		sum, wanted, widest = sum+need[i], wanted+want[i], max(widest, want[i])
	}
	room := w - mealW - feedW
	colW = slices.Repeat([]float64{room / float64(columns)}, columns)
	if widest <= colW[0] {
		return mealW, feedW, colW
	}
	if short := wanted - room; short > 0 {
		less := min(short, 0.012*w)
		mealW -= less
		room += less
		less = max(0, min(short-less, feedW-least))
		feedW -= less
		room += less
	}
	if sum > room { // some will be broken: the widest
		share := room / float64(columns)
		for i := range need {
			want[i], need[i] = need[i], min(need[i], share)
		}
		wanted, sum = sum, 0
		for _, v := range need {
			sum += v
		}
	}
	left, short := room-sum, wanted-sum
	for i := range colW {
		switch {
		case left < short:
			colW[i] = need[i] + left*(want[i]-need[i])/short
		default:
			colW[i] = want[i] + (left-short)/float64(columns)
		}
	}
	return mealW, feedW, colW
}

// leastFeedW is the width at which no feed's name takes more than two lines of the
// least size, as far as those can be wide.
func (s *sheet) leastFeedW(rows []gridRow, w float64, t sizes) float64 {
	cap, least := t.at(3, 3), 0.0
	for _, r := range rows {
		shown, _ := draw.Printable(r.feed.feed)
		words := strings.Fields(shown)
		one := math.Inf(1)
		for i := range words {
			one = min(one, max(s.d.Width(draw.Bold, cap, strings.Join(words[:i], " ")), s.d.Width(draw.Bold, cap, strings.Join(words[i:], " "))))
		}
		if len(words) > 0 {
			least = max(least, one+1.2*cap)
		}
	}
	return min(max(least+2*t.q, 0.12*w), 0.2*w)
}

// align has the numbers of a column stand under each other, behind the widest of the
// drawings that is no wider than a bale, where that leaves them on one line.
func (s *sheet) align(rows []gridRow, colW []float64, t sizes) {
	for i, w := range colW {
		widest := 0.0
		for _, r := range rows {
			for _, c := range r.cells[i] {
				if c.lead != nil && c.days == nil && c.lead.W < 1.7*t.amount {
					widest = max(widest, c.lead.W)
				}
			}
		}
		for _, r := range rows {
			for j, c := range r.cells[i] {
				if c.days != nil || c.whole || c.side == nil && c.number.H < t.amount {
					continue
				}
				lead := draw.Space(widest, 0)
				if c.lead != nil {
					lead = draw.Space(max(widest, c.lead.W), c.lead.H).Add(0, 0, c.lead)
				}
				c.lead = lead
				if len(flowLines(w-t.cellPad(), t.gap(), c.inOrder())) == 1 {
					r.cells[i][j] = c
				}
			}
		}
	}
}

func (t sizes) gap() float64     { return t.q * max(1.5*t.k, 1.2) } // between the parts of an amount
func (t sizes) under() float64   { return 0.7 * t.pad }             // between lines of a cell
func (t sizes) cellPad() float64 { return 2.4 * t.q }               // beside a column's rule

// grid is the meals: a row a feed, a column a kind of day. It is parted into
// blocks for cards with room for so much, of which so much is used already.
func (s *sheet) grid(h yard.HorsePlan, content cardRows, w float64, t sizes, z, room, used float64) []block {
	d, meals, cols := s.d, content.meals, content.cols
	if len(meals) == 0 {
		g := d.Fit(draw.Bold, 4*t.k*t.q, max(2*t.k*t.q, t.least), w, draw.Black, s.bothOf("nofeed"))
		return []block{{g: draw.Pad(g, 0, 2*t.q, 0, 2*t.q)}}
	}
	var rows []gridRow
	for _, m := range meals {
		for _, f := range m.feeds {
			r := gridRow{feed: f}
			for i, c := range cols {
				r.cells = append(r.cells, s.cellsOf(c, content.stages[len(rows)][i], math.Inf(1), t))
			}
			rows = append(rows, r)
		}
	}
	mealW, feedW, colW := gridWidths(w, s.leastFeedW(rows, w, t), t, s.headWidths(cols, t), rows)
	for j, r := range rows {
		for i, cs := range r.cells {
			room := colW[i] - t.cellPad()
			if slices.ContainsFunc(cs, func(c cellParts) bool { return c.parted(room, t.gap()) }) {
				rows[j].cells[i] = s.cellsOf(cols[i], content.stages[j][i], room, t)
			}
		}
	}
	s.align(rows, colW, t)
	colX := make([]float64, len(cols))
	x := mealW + feedW
	for i := range cols {
		colX[i] = x
		x += colW[i]
	}

	head := s.gridHead(cols, colX, colW, w, t)
	var out []block
	left := room - used - head.H
	for _, m := range meals {
		var broken []int
		var drawn []*draw.Group
		for range m.feeds {
			r, n := s.gridRow(h, rows[0], w, mealW, feedW, colX, colW, t)
			rows, drawn, broken = rows[1:], append(drawn, r), append(broken, n)
		}
		for i, piece := range pieces(drawn, left, room-head.H) {
			full := 0.0
			for _, r := range piece {
				full += r.H
			}
			label := s.mealLabel(m, mealW-2.5*t.q, full-2*t.pad, t, z, i > 0)
			b := block{over: head}
			g := draw.Space(w, 0)
			g.Add(0, t.pad, label)
			g.H = 0
			for j, r := range piece {
				if j > 0 {
					y0 := g.H
					g.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x+mealW, y+y0, x+w, y+y0, 0.2, draw.Mid) })
				}
				g.Add(0, g.H, r)
				b.broken += broken[j]
			}
			broken = broken[len(piece):]
			g.H = max(g.H, label.H+2*t.pad)
			g.Draw(func(d *draw.Doc, x, y float64) {
				d.LineTo(x, y+g.H, x+w, y+g.H, 0.6*t.q, draw.Black)
				for _, cx := range colX {
					d.LineTo(x+cx, y, x+cx, y+g.H, 0.2, draw.Mid)
				}
			})
			b.g = g
			out = append(out, b)
			if left -= g.H; left < 0 {
				left = room - head.H - g.H
			}
		}
	}
	return out
}

// headWidths are what the kinds of day over the columns need.
func (s *sheet) headWidths(cols []dayColumn, t sizes) []float64 {
	out := make([]float64, len(cols))
	for i, c := range cols {
		out[i] = s.d.Width(draw.Bold, t.at(2.9, 2.3), s.word(c.head)) + t.cellPad() + 0.5*t.q
	}
	return out
}

// gridHead says which days each column is for.
func (s *sheet) gridHead(cols []dayColumn, colX, colW []float64, w float64, t sizes) *draw.Group {
	head := draw.Space(w, 0)
	small := t.at(2.9, 2.3)
	for i, c := range cols {
		room := colW[i] - t.cellPad()
		words := []*draw.Group{fitTrim(s.d, draw.Bold, t.head, small, room, draw.Black, s.word(c.head))}
		if also := s.also(c.head); also != "" {
			words = append(words, fitTrim(s.d, draw.Regular, small, t.at(2.4, 2), room, draw.Black, also))
		}
		words = append(words, fitTrim(s.d, draw.Regular, small, t.at(2.4, 2), room, draw.Black, s.both(func(l tongue) string { return l.says(s.p.Week, c) })))
		head.Add(colX[i]+t.cellPad()/2, 0.5*t.q, flowing(room, 1.8*t.q, 0.9*t.q, words))
	}
	head.W, head.H = w, head.H+0.9*t.q
	return head.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x, y+head.H, x+w, y+head.H, 0.6*t.q, draw.Black) })
}

// gridRow draws a row, and says how many of its amounts take more than one line.
func (s *sheet) gridRow(h yard.HorsePlan, r gridRow, w, mealW, feedW float64, colX, colW []float64, t sizes) (*draw.Group, int) {
	mark := draw.Space(0, 0)
	if r.feed.changed {
		mark = s.changedMark(h, r.feed.feed, t.feed)
	}
	room := feedW - 1.5*t.q - mark.W
	name := s.feedName(r.feed.feed, room, t)
	if mark.W > 0 {
		name = draw.Beside(0, mark, name)
	}
	g := draw.Space(w, 0)
	high, broken := t.amount+2*t.pad, 0
	high = max(high, name.H+0.3*t.q)
	var cells []*draw.Group
	for i, cs := range r.cells {
		c, n := stacked(cs, colW[i]-t.cellPad(), t)
		broken += n
		cells = append(cells, c)
		high = max(high, c.H)
	}
	g.H = high
	g.Add(mealW, (high-name.H)/2, name)
	for i, c := range cells {
		g.Add(colX[i]+t.cellPad()/2, (high-c.H)/2, c)
	}
	return g, broken
}

// feedName is a feed's name: on one line, else on as many as it needs, words whole
// where they fit.
func (s *sheet) feedName(name string, w float64, t sizes) *draw.Group {
	floor := t.at(3.2, 3)
	shown, _ := draw.Printable(name)
	if full := s.d.Width(draw.Bold, t.feed, shown); full*floor <= w*t.feed {
		return fitTrim(s.d, draw.Bold, t.feed, floor, w, draw.Black, shown)
	}
	cap := s.unbrokenCap(floor, t.q*2.4, w, shown)
	return draw.Pad(s.d.Close(draw.Bold, cap, w, draw.Black, shown), 0, -0.2*cap, 0, -0.2*cap)
}

// flowing sets groups one after the other, on as many lines as w asks for.
func flowing(w, gap, between float64, gs []*draw.Group) *draw.Group {
	lines := flowLines(w, gap, gs)
	return draw.Stack(between, lines...)
}

func flowLines(w, gap float64, gs []*draw.Group) []*draw.Group {
	var out []*draw.Group
	for i := 0; i < len(gs); {
		wide, j := gs[i].W, i+1
		for j < len(gs) && wide+gap+gs[j].W <= w {
			wide += gap + gs[j].W
			j++
		}
		if j == i+1 {
			out = append(out, gs[i])
		} else {
			out = append(out, draw.Beside(gap, gs[i:j]...))
		}
		i = j
	}
	return out
}

// stackOf puts lines under each other; one alone is itself.
func stackOf(gap float64, lines []*draw.Group) *draw.Group {
	if len(lines) == 1 {
		return lines[0]
	}
	return draw.Stack(gap, lines...)
}

// stacked sets a cell's amounts: each on one line where it fits, as many on a line
// as fit, with what it keeps clear of the rules. It says how many do not fit on one.
func stacked(cs []cellParts, w float64, t sizes) (_ *draw.Group, broken int) {
	amounts := make([]*draw.Group, 0, len(cs))
	for _, c := range cs {
		ls := flowLines(w, t.gap(), c.inOrder())
		if len(ls) > 1 { // then before the number, which keeps its unit where it can
			broken++
			ls = flowLines(w, t.gap(), c.inPieces(w, t.gap()))
		}
		amounts = append(amounts, stackOf(t.under(), ls))
	}
	rows := flowLines(w, 2*t.gap(), amounts)
	if len(rows) == 1 && broken == 0 {
		return draw.Pad(rows[0], 0, 0.15*t.q, 0, 0.15*t.q), broken
	}
	return draw.Pad(stackOf(t.under(), rows), 0, t.under(), 0, t.under()), broken
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

// mealLabel: the meal, its time, a box to tick for each day; in less height where
// there is less.
func (s *sheet) mealLabel(m meal, w, room float64, t sizes, z float64, more bool) *draw.Group {
	d := s.d
	fit := func(f draw.Face, cap, floor, w float64, text string) *draw.Group {
		return fitTrim(d, f, cap, max(floor, t.least), w, draw.Black, text)
	}
	name := s.main.name("meal.", m.name)
	also := s.second(func(l tongue) string { return l.name("meal.", m.name) })
	var small []*draw.Group
	if m.clock != "" {
		small = append(small, fit(draw.Bold, t.at(3.6, 3), t.at(2.4, 2.2), w, m.clock))
	}
	if also != "" {
		small = append(small, fit(draw.Regular, t.at(2.9, 2.3), t.at(2, 2), w, also))
	}
	if more {
		small = append(small, fit(draw.Regular, t.at(2.4, 2.2), t.at(2, 2), w, s.word("goes on")))
	}
	var labels [][]string
	for i, l := range s.tongues() {
		if i > 0 && z < quarter { // too small to read
			break
		}
		var days []string
		for i := range 7 {
			days = append(days, l.tick(s.p.Week, i))
		}
		labels = append(labels, days)
	}
	gap := t.q * max(0.9*t.k, 0.7)
	boxes := d.TickBoxes(min(w, 40*z), labels...)
	title := fit(draw.Bold, t.meal, t.at(3, 2.8), w, name)
	one := draw.Stack(gap, append([]*draw.Group{title}, flowLines(w, 1.5*t.q, small)...)...)
	if one.H+gap+boxes.H > room { // name and time on one line
		cap := t.at(3.4, 2.8)
		if tight := flowLines(w, 1.2*t.q, append([]*draw.Group{fit(draw.Bold, cap, cap, w, name)}, small...)); len(tight) < 1+len(small) {
			one = draw.Stack(gap, tight...)
		}
	}
	return draw.Stack(gap, one, boxes)
}

// changedMark is the arrow before a feed whose amount differs from last week;
// the line under the meals says by how much.
func (s *sheet) changedMark(h yard.HorsePlan, feed string, cap float64) *draw.Group {
	mark := s.d.Trim(draw.Bold, cap, draw.Black, "?")
	if i := slices.IndexFunc(h.Changes, func(c yard.Change) bool { return strings.EqualFold(c.Feed, feed) }); i >= 0 {
		if up := changeWay(h.Changes[i]); up != 0 {
			mark = draw.Arrow(up > 0, 1.15*cap)
		}
	}
	return draw.Pad(mark, 0, 0, 0.3*cap, 0)
}

// cellsOf are the amounts of one feed in one column, one after the other, each with
// the days it holds for where they are not all the column's.
func (s *sheet) cellsOf(col dayColumn, stages []stage, w float64, t sizes) []cellParts {
	if len(stages) == 0 {
		return []cellParts{{number: fitTrim(s.d, draw.Regular, t.at(3.6, 3), t.at(2.4, 2.4), w, draw.Black, s.bothOf(col.nothing()))}}
	}
	var out []cellParts
	for _, st := range stages {
		c := s.amountParts(st, w, t)
		if days := s.both(func(l tongue) string { return l.days(s.p.Week, st) }); days != "" {
			c.days = draw.On(draw.Black, 0.22*t.days, fitTrim(s.d, draw.Bold, t.days, t.at(2.3, 2.3), w-0.44*t.days, draw.White, days))
			if st.amount.weigh && c.side != nil {
				c = s.weighedOn(c, st, w, t)
			}
		}
		out = append(out, c)
	}
	return out
}

// weighedOn is an amount for the scale on some days of a column in as little width
// as can be: about how much it is in measures stands under the days, not under the
// unit. Where even that is too wide the parts stay as they are.
func (s *sheet) weighedOn(c cellParts, st stage, w float64, t sizes) cellParts {
	if st.amount.aside == "" {
		return c
	}
	before := draw.Beside(0.8*t.gap(), c.days, c.lead)
	aside := s.d.Trim(draw.Regular, t.aside, draw.Black, st.amount.aside)
	unit := s.d.Trim(draw.Bold, t.unit, draw.Black, st.amount.unit)
	x := max(before.W, aside.W) + t.gap()
	g := draw.Space(x+c.number.W+t.gap()+unit.W, before.H+0.15*t.aside+aside.H)
	if g.W > w {
		return c
	}
	g.Add(0, 0, before)
	top := (before.H + 1.15*t.aside - t.amount) / 2
	g.Add(x, top, c.number)
	g.Add(x+c.number.W+t.gap(), top+t.amount-t.unit, unit)
	g.Add(0, before.H+0.15*t.aside, aside)
	return cellParts{number: g, whole: true}
}

// amountParts are an amount's, none wider than w: the drawing, the number, its unit
// over its weight; in place of the drawing WEIGH, where the scale must be used. A
// number is never broken: one of more signs than a yard feeds is smaller.
func (s *sheet) amountParts(st stage, w float64, t sizes) cellParts {
	d, a := s.d, st.amount
	cap := t.amount
	if a.none {
		cap = t.at(3.6, 3)
	}
	var c cellParts
	if full := d.Width(draw.Bold, cap, a.number); full > w {
		cap *= w / full * 0.999
	}
	c.number = d.Trim(draw.Bold, cap, draw.Black, a.number)
	hang := c.number.H - cap
	if hang < 0.3*cap { // a decimal comma's, whose tip may stand in the margin
		hang *= 0.85
		c.number.H = cap + hang
	}
	if a.aside == "" && (a.none || st.serving.AdLib) {
		a.aside = s.second(func(l tongue) string { return l.amountOf(st.serving, false).number })
	}
	unit, aside := draw.Space(0, 0), draw.Space(0, 0)
	if a.unit != "" {
		unit = fitTrim(d, draw.Bold, t.unit, t.at(2.4, 2.4), w, draw.Black, a.unit)
	}
	if a.aside != "" {
		aside = fitTrim(d, draw.Regular, t.aside, t.at(2, 2), w, draw.Black, a.aside)
	}
	switch {
	case a.unit != "" && a.aside != "":
		c.side = draw.Stack(max(0, 1.32*t.unit-unit.H), unit, aside)
	case a.unit != "":
		c.side = draw.Pad(unit, 0, max(0, t.amount-t.unit), 0, max(t.unit-unit.H, -0.4*t.unit)+hang) // on the number's feet
	case a.aside != "":
		c.side = aside
	}
	if wide := c.number.W + t.gap() + unit.W; a.unit != "" && a.aside != "" && wide <= w && c.parted(w, t.gap()) {
		// The unit does not part from the number; the weight stands under both.
		c.number = draw.Space(wide, c.number.H).Add(0, 0, c.number).Add(c.number.W+t.gap(), max(0, t.amount-t.unit), unit)
		c.side = aside
	}
	if a.weigh {
		c.lead = s.boxed("amount.weigh", t.at(2.7, 2.3), w)
	} else if mark := markOf(st.serving, a, 1.1*t.amount); mark.W > 0 && mark.W <= w {
		c.lead = mark
	}
	if a.unweighed {
		c.warn = s.boxed("amount.unweighed", t.at(2.3, 2), w)
	}
	return c
}

// boxed is a word in a box: something to be done or known before dishing out. A
// second language stands small under it.
func (s *sheet) boxed(key string, cap, w float64) *draw.Group {
	const margin = 0.42
	small := min(cap, footFloor)
	word := fitTrim(s.d, draw.Bold, cap, small, w-2*margin*cap, draw.Black, s.word(key))
	if t := s.also(key); t != "" {
		word = draw.Stack(0.35*cap, word, fitTrim(s.d, draw.Regular, max(0.75*cap, small), small, w-2*margin*cap, draw.Black, t))
	}
	return draw.Framed(0.16*cap, margin*cap, word)
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
		return draw.Bale(0.85 * h)
	case sv.Class == yard.Oil:
		return draw.Drop(h)
	case sv.Class == yard.Salt && sv.Kg > 0:
		return draw.Shaker(h)
	case ok && sv.Measure != "" && !math.IsNaN(n):
		return draw.Scoops(n, h*0.85)
	}
	return draw.Space(0, 0)
}
