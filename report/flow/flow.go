package flow

import (
	"slices"
	"strconv"

	"hardfeed/report/draw"
	"hardfeed/report/words"
)

// Flow fills pages downwards with whole blocks. The last pages of them are placed by
// [Flow.End], once all are known, so that none is left with next to nothing on it; the
// pages long before, of a large yard, as they fill.
type Flow struct {
	D         *draw.Doc
	X, W      float64
	Top, Foot float64 // room for blocks on a page
	blocks    []flowBlock
	next      flowBlock // what is asked for of the block to come
}

// flowBlock is a block and how it stands to those before and after it.
type flowBlock struct {
	g    *draw.Group
	head *draw.Group // its table's, repeated above it at the top of a page
	gap  float64     // white space before it, none at the top of a page
	keep float64     // as much as stays on one page, from its top
}

// Put adds blocks.
func (f *Flow) Put(gs ...*draw.Group) {
	for _, g := range gs {
		f.next.g = g
		f.blocks = append(f.blocks, f.next)
		f.next = flowBlock{}
	}
	if len(f.blocks) >= mostWaiting {
		f.placeFull()
	}
}

// mostWaiting is how many blocks wait for those after them: several pages of the
// narrowest rows, and little memory.
const mostWaiting = 1000

// placeFull places the pages that no block to come can change: all but the last few.
func (f *Flow) placeFull() {
	const open = 3 // the one being filled, the one that may give it some, and one to spare
	pages := f.laid(1, -1, 0)
	if len(pages) <= open {
		return
	}
	done := pages[:len(pages)-open]
	f.place(done)
	f.blocks = slices.Delete(f.blocks, 0, done[len(done)-1].next)
}

// Gap leaves white space before the next block.
func (f *Flow) Gap(h float64) { f.next.gap += h }

// Height is how high the blocks stand that wait for their pages.
func (f *Flow) Height() float64 {
	h := 0.0
	for _, b := range f.blocks {
		h += b.gap + b.g.H
	}
	return h
}

// Keep starts a new page before the next block unless h fits.
func (f *Flow) Keep(h float64) { f.next.keep = max(f.next.keep, h) }

// Room is the height of a page.
func (f *Flow) Room() float64 { return f.Foot - f.Top }

// Table sets rows under a heading that is repeated on every page; the heading
// never stands alone at the foot.
func (f *Flow) Table(head *draw.Group, rows []*draw.Group) {
	if len(rows) == 0 {
		return
	}
	f.Keep(head.H + rows[0].H)
	f.Put(head)
	f.More(head, rows...)
}

// More sets more rows under the heading of the table that was put last.
func (f *Flow) More(head *draw.Group, rows ...*draw.Group) {
	for _, r := range rows {
		f.next.head = head
		f.Put(r)
	}
}

// flowPage is one page: the first of its blocks and the one after its last, how far
// down each stands, and how much they take.
type flowPage struct {
	first, next int
	y           []float64
	full        float64
}

// laid parts the blocks into pages, gaps less by a factor; one page, by its number
// from 0, has only so much room.
func (f *Flow) laid(gaps float64, short int, room float64) []flowPage {
	var out []flowPage
	for i, b := range f.blocks {
		gap, high := b.gap*gaps, f.Room()
		at := len(out) - 1
		if at == short {
			high = room
		}
		if at < 0 || out[at].full+gap+max(b.g.H, b.keep) > high+1e-6 {
			out = append(out, flowPage{first: i})
			at, gap = at+1, 0
			if b.head != nil {
				gap = b.head.H
			}
		}
		p := &out[at]
		p.y = append(p.y, p.full+gap)
		p.full += gap + b.g.H
		p.next = i + 1
	}
	return out
}

// leastPage is how much of a page the last one of several holds at least.
const leastPage = 0.25

// pages are the blocks' pages. Where the last one would hold next to nothing, white
// space is taken out so that it is not needed, or failing that it takes over some of
// the page before it, from some white space on if that can be.
func (f *Flow) pages() []flowPage {
	plain := f.laid(1, -1, 0)
	last := len(plain) - 1
	enough := func(p []flowPage) bool { return p[len(p)-1].full >= leastPage*f.Room() }
	if last < 1 || last > 1 && enough(plain) {
		return plain
	}
	for _, gaps := range []float64{0.7, 0.4, 0.2} { // two pages that can be one are one, however much the second holds
		if p := f.laid(gaps, -1, 0); len(p) <= last && (len(p) == 1 || enough(p)) {
			return p
		}
	}
	if enough(plain) {
		return plain
	}
	before := plain[last-1]
	for _, anywhere := range []bool{false, true} {
		for i := len(before.y) - 1; i > 0; i-- {
			if !anywhere && f.blocks[before.first+i].gap == 0 {
				continue
			}
			if p := f.laid(1, last-1, before.y[i]); len(p) == last+1 && enough(p) {
				return p
			}
		}
	}
	return plain
}

// End places the blocks; what is put next starts a new page.
func (f *Flow) End() {
	f.place(f.pages())
	f.blocks, f.next = nil, flowBlock{}
}

func (f *Flow) place(pages []flowPage) {
	for _, p := range pages {
		f.D.AddPage()
		for i, b := range f.blocks[p.first:p.next] {
			if i == 0 && b.head != nil {
				f.D.Place(f.X, f.Top, b.head)
			}
			f.D.Place(f.X, f.Top+p.y[i], b.g)
		}
	}
}

// Cell is a table cell's content, lines under each other.
type Cell []*draw.Group

// Row makes a table row, ruled below. A row taller than maxH is split between
// lines into several.
func Row(widths []float64, pad, maxH float64, cells ...Cell) []*draw.Group {
	total := 0.0
	for _, w := range widths {
		total += w
	}
	var out []*draw.Group
	for left := slices.Clone(cells); len(out) == 0 || slices.ContainsFunc(left, func(c Cell) bool { return len(c) > 0 }); {
		lines := 0
		for _, c := range left {
			lines += len(c)
		}
		r := draw.SpaceFor(total, 0, lines+1)
		x := 0.0
		for i, c := range left {
			y, n := pad, 0
			for n < len(c) && (n == 0 || y+c[n].H+pad <= maxH) {
				r.Add(x+pad, y, c[n])
				y += c[n].H
				n++
			}
			r.H = max(r.H, y+pad)
			left[i] = c[n:]
			x += widths[i]
		}
		r.W = total
		r.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x, y+r.H, x+total, y+r.H, 0.15, draw.Mid) })
		out = append(out, r)
	}
	return out
}

// Columns turns shares of a width into widths.
func Columns(w float64, shares ...float64) []float64 {
	sum := 0.0
	for _, s := range shares {
		sum += s
	}
	for i := range shares {
		shares[i] *= w / sum
	}
	return shares
}

// leastCell is how small a cell's type may get before a word of it is broken, mm.
const leastCell = 1.5

// Whole is a text as a cell, w wide: no word of it is broken that smaller type holds whole.
func Whole(d *draw.Doc, f draw.Face, capMM, w float64, text string) Cell {
	return d.Set.Whole(f, capMM, leastCell, w, draw.Black, text)
}

// Heading is a table's head: bold words over a rule.
func Heading(d *draw.Doc, widths []float64, pad, capMM float64, texts ...string) *draw.Group {
	cells := make([]Cell, len(texts))
	for i, t := range texts {
		cells[i] = d.Set.Whole(draw.Bold, capMM, leastCell, widths[i]-2*pad, draw.Black, t)
	}
	g := Row(widths, pad, 1e9, cells...)[0]
	rule := g.H
	g.H += 0.4
	return g.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x, y+rule, x+g.W, y+rule, 0.5, draw.Black) })
}

// PageFeet writes the document's foot on every page.
func PageFeet(s *words.Sheet, d *draw.Doc, margin, width float64, text string) {
	d.OnEachPage(func(page, pages int) {
		n := d.Set.Line(draw.Regular, 1.9, draw.Black, s.Word("page.of", "n", strconv.Itoa(page), "all", strconv.Itoa(pages)))
		// Two lines where one would be too small; less only for the longest names.
		t := d.Set.Fit(draw.Regular, 1.9, 1.6, width-n.W-4, draw.Black, text)
		for c := 1.6; t.H > 5.5 && c > 0.2; c *= 0.93 {
			t = d.Set.Para(draw.Regular, c, width-n.W-4, draw.Black, text)
		}
		y := d.PageH - margin - n.H
		d.Place(margin, d.PageH-margin-t.H, t)
		d.Place(margin+width-n.W, y, n)
	})
}
