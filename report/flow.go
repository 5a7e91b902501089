package report

import (
	"slices"
	"strconv"

	"hardfeed/report/draw"
)

// flow fills pages downwards with whole blocks.
type flow struct {
	d          *draw.Doc
	x, w       float64
	top, foot  float64 // room for blocks on a page
	y          float64
	onPage     func() // draws what each page carries outside the room
	repeat     *draw.Group
	repeatNext bool // repeat stands at the top of the next page
}

func (f *flow) page() {
	f.d.AddPage()
	f.y = f.top
	if f.onPage != nil {
		f.onPage()
	}
	if f.repeatNext && f.repeat != nil {
		f.set(f.repeat)
	}
}

func (f *flow) set(g *draw.Group) {
	f.d.Place(f.x, f.y, g)
	f.y += g.H
}

// fits says whether h more is left on this page.
func (f *flow) fits(h float64) bool { return f.y+h <= f.foot+1e-6 }

// put sets a block, on the next page where it does not fit this one.
func (f *flow) put(gs ...*draw.Group) {
	for _, g := range gs {
		if f.d.Page() == 0 || !f.fits(g.H) {
			f.page()
		}
		f.set(g)
	}
}

// gap leaves white space, none at the top of a page.
func (f *flow) gap(h float64) {
	if f.y > f.top {
		f.y += h
	}
}

// keep starts a new page unless h fits.
func (f *flow) keep(h float64) {
	if f.d.Page() == 0 || !f.fits(h) {
		f.page()
	}
}

// table sets rows under a heading that is repeated on every page; the heading
// never stands alone at the foot.
func (f *flow) table(head *draw.Group, rows []*draw.Group) {
	if len(rows) == 0 {
		return
	}
	f.keep(head.H + rows[0].H)
	f.set(head)
	f.repeat, f.repeatNext = head, true
	f.put(rows...)
	f.repeat, f.repeatNext = nil, false
}

// cell is a table cell's content, lines under each other.
type cell []*draw.Group

// row makes a table row, ruled below. A row taller than maxH is split between
// lines into several.
func row(widths []float64, pad, maxH float64, cells ...cell) []*draw.Group {
	total := 0.0
	for _, w := range widths {
		total += w
	}
	var out []*draw.Group
	for left := slices.Clone(cells); len(out) == 0 || slices.ContainsFunc(left, func(c cell) bool { return len(c) > 0 }); {
		r := draw.Space(total, 0)
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

// columns turns shares of a width into widths.
func columns(w float64, shares ...float64) []float64 {
	sum := 0.0
	for _, s := range shares {
		sum += s
	}
	for i := range shares {
		shares[i] *= w / sum
	}
	return shares
}

// heading is a table's head: bold words over a rule.
func (s *sheet) heading(widths []float64, pad, capMM float64, words ...string) *draw.Group {
	cells := make([]cell, len(words))
	for i, t := range words {
		cells[i] = s.d.Lines(draw.Bold, capMM, widths[i]-2*pad, draw.Black, t)
	}
	g := row(widths, pad, 1e9, cells...)[0]
	rule := g.H
	g.H += 0.4
	return g.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x, y+rule, x+g.W, y+rule, 0.5, draw.Black) })
}

// pageFeet writes the document's foot on every page.
func (s *sheet) pageFeet(margin, width float64, text string) {
	s.d.OnEachPage(func(page, pages int) {
		n := s.d.Line(draw.Regular, 1.9, draw.Black, s.word("page.of", "n", strconv.Itoa(page), "all", strconv.Itoa(pages)))
		// Two lines where one would be too small; less only for the longest names.
		t := s.d.Fit(draw.Regular, 1.9, 1.6, width-n.W-4, draw.Black, text)
		for c := 1.6; t.H > 5.5 && c > 0.2; c *= 0.93 {
			t = s.d.Para(draw.Regular, c, width-n.W-4, draw.Black, text)
		}
		y := s.d.PageH - margin - n.H
		s.d.Place(margin, s.d.PageH-margin-t.H, t)
		s.d.Place(margin+width-n.W, y, n)
	})
}
