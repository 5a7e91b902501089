package wall

import (
	"math"
	"slices"
	"strings"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/words"
)

// gridRow is one feed of a meal: in each column its amounts one after the other.
type gridRow struct {
	feed  words.MealFeed
	cells [][]cellParts
}

// gridWidths are those of a card's meals, feeds and columns of days. Columns are
// alike where that does, and what they have to spare goes to the feeds, where their
// names are on one line then; else one that has more to say takes of the others, and
// of the meals and feeds. No column is narrower than its head is wide.
func gridWidths(w float64, names feedWidths, t sizes, heads []headWidth, rows []gridRow) (mealW, feedW float64, colW []float64) {
	columns := len(heads)
	mealW, feedW = 0.16*w, 0.2*w
	if t.q < 1 { // the boxes to tick need it
		mealW = 0.19 * w
	}
	if columns == 1 {
		feedW = 0.3 * w
	}
	need, want := make([]float64, columns), make([]float64, columns)
	sum, wanted, widest, line := 0.0, 0.0, 0.0, 0.0
	for i, head := range heads {
		need[i], want[i], line = head.least, head.least, max(line, head.line)
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
	if spare := room - float64(columns)*widest; spare >= 0 {
		if names.low-feedW <= spare {
			spare = min(spare, room-float64(columns)*line) // for higher type the heads are not parted
			more := max(0, names.low-feedW, min(names.high-feedW, spare))
			feedW += more
			colW = slices.Repeat([]float64{(room - more) / float64(columns)}, columns)
		}
		return mealW, feedW, colW
	}
	if short := wanted - room; short > 0 {
		less := min(short, 0.012*w)
		mealW -= less
		room += less
		less = max(0, min(short-less, feedW-names.least))
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

// feedWidths are widths of the column of feeds: at which no name takes more than two
// lines of the least size, as far as those can be wide; and at which each takes one, in
// low and in high type.
type feedWidths struct{ least, low, high float64 }

func (s *cards) feedWidths(h yard.HorsePlan, rows []gridRow, w float64, t sizes) feedWidths {
	low := t.at(3.2, 3)
	cap, least := t.at(3, 3), 0.0
	var out feedWidths
	for _, r := range rows {
		shown, _ := draw.Printable(r.feed.Feed)
		full := s.d.Width(draw.Bold, 1, shown)
		beside := 1.6 * t.q
		if r.feed.Changed {
			beside += s.changedMark(h, r.feed.Feed, t.feed).W
		}
		out.low, out.high = max(out.low, full*low+beside), max(out.high, full*t.feed+beside)
		texts := strings.Fields(shown)
		one := math.Inf(1)
		for i := range texts {
			one = min(one, max(s.d.Width(draw.Bold, cap, strings.Join(texts[:i], " ")), s.d.Width(draw.Bold, cap, strings.Join(texts[i:], " "))))
		}
		if len(texts) > 0 {
			least = max(least, one+1.2*cap)
		}
	}
	out.least = min(max(least+2*t.q, 0.12*w), 0.2*w)
	return out
}

// align has the numbers of a column stand under each other, behind the widest of the
// drawings that is no wider than a bale, where that leaves them on one line.
func (s *cards) align(rows []gridRow, colW []float64, t sizes) {
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
				if inLine(w-t.cellPad(), t.gap(), c.inOrder()) {
					r.cells[i][j] = c
				}
			}
		}
	}
}

func (t sizes) gap() float64 { return t.q * max(1.5*t.k, 1.2) } // between the parts of an amount

func (t sizes) hang() float64 { return max(0, t.pad-t.clear) } // of a unit below its number's feet

func (t sizes) cellPad() float64 { return 2.4 * t.q } // beside a column's rule

// grid is the meals: a row a feed, a column a kind of day. It is parted into
// blocks for cards with room for so much, of which so much is used already.
func (s *cards) grid(h yard.HorsePlan, content cardRows, w float64, t sizes, z, room, used float64) []block {
	d, meals, cols := s.d, content.meals, content.cols
	if len(meals) == 0 {
		g := d.Fit(draw.Bold, 4*t.k*t.q, max(2*t.k*t.q, t.least), w, draw.Black, s.BothOf("nofeed"))
		return []block{{g: draw.Pad(g, 0, 2*t.q, 0, 2*t.q)}}
	}
	var rows []gridRow
	for _, m := range meals {
		for _, f := range m.Feeds {
			r := gridRow{feed: f}
			for i, c := range cols {
				r.cells = append(r.cells, s.cellsOf(c, content.stages[len(rows)][i], math.Inf(1), t))
			}
			rows = append(rows, r)
		}
	}
	mealW, feedW, colW := gridWidths(w, s.feedWidths(h, rows, w, t), t, s.headWidths(cols, t), rows)
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
		for range m.Feeds {
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
			more := max(0, label.H+2*t.pad-full) / float64(len(piece)) // the label may need more than the rows
			for j, r := range piece {
				r = draw.Pad(r, 0, more/2, 0, more/2)
				if j > 0 {
					y0 := g.H
					g.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x+mealW, y+y0, x+w, y+y0, 0.2, draw.Mid) })
				}
				g.Add(0, g.H, r)
				b.broken += broken[j]
			}
			broken = broken[len(piece):]
			g.Draw(func(d *draw.Doc, x, y float64) {
				d.LineTo(x, y+g.H, x+w, y+g.H, 0.4*t.q, draw.Black)
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

// headWidth is what the words over a column need: the kind of day, and all on one line.
type headWidth struct{ least, line float64 }

func (s *cards) headWidths(cols []words.Column, t sizes) []headWidth {
	out := make([]headWidth, len(cols))
	for i, c := range cols {
		head, small := s.Word(c.Head), t.at(2.9, 2.3)
		out[i].least = s.d.Width(draw.Bold, small, head) + t.cellPad() + 0.5*t.q
		out[i].line = s.d.Width(draw.Bold, t.head, head) + t.cellPad() + 0.5*t.q
		for _, w := range []string{s.Also(c.Head), s.Both(func(l words.Language) string { return l.Says(s.Plan.Week, c) })} {
			if w != "" {
				out[i].line += 1.8*t.q + s.d.Width(draw.Regular, small, w)
			}
		}
	}
	return out
}

// gridHead says which days each column is for.
func (s *cards) gridHead(cols []words.Column, colX, colW []float64, w float64, t sizes) *draw.Group {
	head := draw.Space(w, 0)
	small := t.at(2.9, 2.3)
	for i, c := range cols {
		room := colW[i] - t.cellPad()
		texts := []*draw.Group{fitTrim(s.d, draw.Bold, t.head, small, room, draw.Black, s.Word(c.Head))}
		if also := s.Also(c.Head); also != "" {
			texts = append(texts, fitTrim(s.d, draw.Regular, small, t.at(2.4, 2), room, draw.Black, also))
		}
		texts = append(texts, fitTrim(s.d, draw.Regular, small, t.at(2.4, 2), room, draw.Black, s.Both(func(l words.Language) string { return l.Says(s.Plan.Week, c) })))
		head.Add(colX[i]+t.cellPad()/2, 1.2*t.line, flowing(room, 1.8*t.q, 1.2*t.line, texts))
	}
	head.W, head.H = w, head.H+1.7*t.line
	return head.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x, y+head.H, x+w, y+head.H, 0.4*t.q, draw.Black) })
}

// gridRow draws a row, and says how many of its amounts take more than one line.
func (s *cards) gridRow(h yard.HorsePlan, r gridRow, w, mealW, feedW float64, colX, colW []float64, t sizes) (*draw.Group, int) {
	mark := draw.Space(0, 0)
	if r.feed.Changed {
		mark = s.changedMark(h, r.feed.Feed, t.feed)
	}
	room := feedW - 1.5*t.q - mark.W
	name, hang := s.feedName(r.feed.Feed, room, t)
	if mark.W > 0 {
		name = draw.Beside(0, mark, name)
	}
	g := draw.Space(w, 0)
	high, broken := t.amount+2*t.pad, 0
	high = max(high, name.H+2*t.clear)
	var cells []*draw.Group
	for i, cs := range r.cells {
		c, n := stacked(cs, colW[i]-t.cellPad(), t)
		broken += n
		cells = append(cells, c)
		high = max(high, c.H+2*t.clear)
	}
	g.H = high
	g.Add(mealW, min((high-name.H+hang)/2, high-t.clear-name.H), name)
	for i, c := range cells {
		g.Add(colX[i]+t.cellPad()/2, (high-c.H)/2, c)
	}
	return g, broken
}

// feedName is a feed's name: on one line, else on as many as it needs, words whole
// where they fit. Of one line it says how much of its height hangs below it.
func (s *cards) feedName(name string, w float64, t sizes) (g *draw.Group, hang float64) {
	floor := t.at(3.2, 3)
	shown, _ := draw.Printable(name)
	if full := s.d.Width(draw.Bold, t.feed, shown); full*floor <= w*t.feed {
		cap := min(t.feed, t.feed*w/full*0.999)
		g = s.d.Trim(draw.Bold, cap, draw.Black, shown)
		return g, g.H - cap
	}
	cap := s.unbrokenCap(floor, t.q*2.4, w, shown)
	return draw.Pad(s.d.Close(draw.Bold, cap, w, draw.Black, shown), 0, -0.2*cap, 0, -0.07*cap), 0
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
func (s *cards) mealLabel(m words.Meal, w, room float64, t sizes, z float64, more bool) *draw.Group {
	d := s.d
	fit := func(f draw.Face, cap, floor, w float64, text string) *draw.Group {
		floor = s.unbrokenCap(max(floor, t.least), max(2*t.q, t.least), w, text)
		return fitTrim(d, f, cap, floor, w, draw.Black, text)
	}
	name := s.Main.Name("meal.", m.Name)
	also := s.Second(func(l words.Language) string { return l.Name("meal.", m.Name) })
	var small []*draw.Group
	if m.Clock != "" {
		small = append(small, fit(draw.Bold, t.at(3.6, 3), t.at(2.4, 2.2), w, m.Clock))
	}
	if also != "" {
		small = append(small, fit(draw.Regular, t.at(2.9, 2.3), t.at(2, 2), w, also))
	}
	if more {
		small = append(small, fit(draw.Regular, t.at(2.4, 2.2), t.at(2, 2), w, s.Word("goes on")))
	}
	languages := s.Languages()
	if z < quarter { // a second one would be too small to read
		languages = languages[:1]
	}
	gap := t.q * max(0.9*t.k, 0.7)
	boxes := s.tickBoxes(min(w, 40*z), languages)
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

// tickBoxes is a box to tick for each day, w wide in all. Most cards have the same, so
// the last are kept.
func (s *cards) tickBoxes(w float64, languages []words.Language) *draw.Group {
	if last := &s.boxes; last.all == nil || last.w != w || last.languages != len(languages) {
		var labels [][]string
		for _, l := range languages {
			var days []string
			for i := range 7 {
				days = append(days, l.Tick(s.Plan.Week, i))
			}
			labels = append(labels, days)
		}
		last.w, last.languages, last.all = w, len(languages), s.d.TickBoxes(w, labels...)
	}
	return s.boxes.all
}

// changedMark is the arrow before a feed whose amount differs from last week;
// the line under the meals says by how much.
func (s *cards) changedMark(h yard.HorsePlan, feed string, cap float64) *draw.Group {
	mark := s.d.Trim(draw.Bold, cap, draw.Black, "?")
	if i := slices.IndexFunc(h.Changes, func(c yard.Change) bool { return strings.EqualFold(c.Feed, feed) }); i >= 0 {
		if up := words.ChangeWay(h.Changes[i]); up != 0 {
			mark = draw.Arrow(up > 0, 1.15*cap)
		}
	}
	return draw.Pad(mark, 0, 0, 0.3*cap, 0)
}
