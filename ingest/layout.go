package ingest

import (
	"hardfeed/ingest/xlsx"
	"slices"
)

// This file finds the tables on a sheet: by their header rows, wherever those
// stand, in one row or two, above or beside each other, upright or turned.

// wordKinds orders the kinds so that a draw goes to the one named first.
var wordKinds = []sheetKind{horsesKind, workKind, rationsKind, feedsKind, sessionsKind, weightsKind, yardKind}

// vocabulary is what headers are known by.
type vocabulary struct {
	words headerWords
	own   headerWords       // without those of any workbook: a slip of the pen is one of these
	meals []mealWord        // the yard's first, then those known everywhere
	feeds map[string]string // header words of each feed's name -> the name
	looks map[string]*look  // what each text may be as a heading
	known map[string]bool   // every word of everything a heading can be; nil: not gathered yet
	days  map[string]bool   // those that a day may begin with
	parts [7][][]string     // what heads the columns of each of wordKinds, word by word
	guess bool              // a table may be known by headings that are only like known ones

	tables int // found in the workbook
}

// mostTables is what no workbook has: two for each horse of the largest yard.
const mostTables = 2 * maxHorses

// newVocabulary knows the built-in words and the yard's own.
func newVocabulary(synonyms map[string][]string) vocabulary {
	own := allWords(synonyms)
	v := vocabulary{words: own, own: own, looks: map[string]*look{}}
	v.nameMeals(nil)
	return v
}

// learn tells the vocabulary the yard's own meals and feeds, by which columns
// of the rations sheet may be headed.
func (v *vocabulary) learn(meals []string, feeds map[string]string) {
	v.nameMeals(meals)
	v.feeds, v.known = feeds, nil
	for _, l := range v.looks {
		v.recognise(l)
	}
}

// headCell is a header over one column: one cell, or one above the other.
type headCell struct {
	col   int
	cell  *xlsx.Cell // the lower one, if there are two
	texts []string   // ways of reading it, the best first
	looks []*look    // what each of them may be, see headingsOf
	both  bool       // the first of them joins two cells
}

// found is one table in all the kinds it can be read as, best first.
type found []table

// tablesOn returns the tables of a sheet, from top to bottom. What is above
// the first is searched for pairs of a word and its value: a horse's own sheet,
// or the week.
func (v *vocabulary) tablesOn(s *sheet) []found {
	all := v.upright(s)
	above := len(s.Rows)
	for _, f := range all {
		above = min(above, f[0].first())
	}
	if above > 0 && (len(all) == 0 || v.pairsAbove(s, above)) {
		top := &sheet{Sheet: xlsx.Sheet{Name: s.Name, Hidden: s.Hidden, Rows: s.Rows[:above], Merges: s.Merges, HiddenRows: s.HiddenRows, HiddenCols: s.HiddenCols}}
		turned := v.upright(top.turn())
		pairs := table{kind: yardKind, sheet: top, head: -1, end: above, c1: 1, c2: xlsx.MaxColumn, score: v.looksLikeYard(top), loose: len(all) > 0}
		switch {
		case len(turned) > 0 && turned[0][0].score >= pairs.score*10:
			all = append(turned, all...)
		case pairs.score >= 2 || pairs.score == 1 && len(all) > 0:
			pairs.score *= 10
			all = append([]found{{pairs}}, all...)
		}
	}
	return all
}

// first is the index of the table's first row, headers counted.
func (t *table) first() int {
	n := t.head
	for _, c := range t.cols {
		for n > 0 && c.cell.Row < t.sheet.Rows[n].N {
			n--
		}
	}
	return n
}

// pairsAbove says whether anything but titles is in the first n rows.
func (v *vocabulary) pairsAbove(s *sheet, n int) bool {
	for _, r := range s.Rows[:n] {
		if len(r.Cells) >= 2 {
			return true
		}
		if _, ok := v.weekTitle(r.Cells[0]); ok {
			return true
		}
	}
	return false
}

// turn is the sheet with rows and columns exchanged.
func (s *sheet) turn() *sheet {
	t := &sheet{Sheet: xlsx.Sheet{Name: s.Name, Hidden: s.Hidden, HiddenRows: map[int]bool{}}, turned: !s.turned}
	byCol := map[int][]xlsx.Cell{}
	for _, r := range s.Rows {
		for _, c := range r.Cells {
			col := c.Col
			c.Row, c.Col = c.Col, c.Row
			byCol[col] = append(byCol[col], c)
		}
		if s.HiddenRows[r.N] {
			t.HiddenCols = append(t.HiddenCols, xlsx.Rect{Col1: r.N, Col2: r.N})
		}
	}
	for _, h := range s.HiddenCols {
		for c := h.Col1; c <= min(h.Col2, xlsx.MaxColumn); c++ {
			t.HiddenRows[c] = true
		}
	}
	for col, cells := range byCol {
		t.Rows = append(t.Rows, xlsx.Row{N: col, Cells: cells})
	}
	slices.SortFunc(t.Rows, func(a, b xlsx.Row) int { return a.N - b.N })
	for _, m := range s.Merges {
		t.Merges = append(t.Merges, xlsx.Rect{Row1: m.Col1, Col1: m.Row1, Row2: m.Col2, Col2: m.Row2})
	}
	return t
}

// mostGuessed is how many rows of a sheet are looked at for headings that are
// only like known ones: that takes long, and headings stand near the top.
const mostGuessed = 30

// upright returns the tables with their headers above.
func (v *vocabulary) upright(s *sheet) []found {
	var all []found
	open := []int{} // tables that go on, by index in all
	var here, below headings
	seen := -1 // the row below was looked at as
	for i := 0; i < len(s.Rows); i++ {
		if v.guess && i >= mostGuessed || v.tables > mostTables {
			break
		}
		if here = below; seen != i {
			here = v.headingsIn(s.Rows[i])
		}
		if below = (headings{}); i+1 < len(s.Rows) {
			below, seen = v.headingsIn(s.Rows[i+1]), i+1
		}
		heads, used := v.headersAt(s, i, here, below)
		heads = slices.DeleteFunc(heads, func(f found) bool {
			return slices.ContainsFunc(open, func(k int) bool { return datesUnder(f, all[k]) })
		})
		if len(heads) == 0 {
			continue
		}
		first := i
		i += used - 1
		v.tables += len(heads)
		for _, f := range heads {
			lo, hi := f[0].span()
			kept := open[:0]
			for _, k := range open {
				old := all[k]
				a, z := old[0].span()
				if lo <= z && a <= hi { // it is in the way: the table above ends here
					old.each(func(t *table) { t.end = min(t.end, v.above(s, first, t)) })
					continue
				}
				kept = append(kept, k)
				old.each(func(t *table) {
					if lo > z {
						t.c2 = min(t.c2, lo-1)
					} else {
						t.c1 = max(t.c1, hi+1)
					}
				})
				f.each(func(t *table) {
					if lo > z {
						t.c1 = max(t.c1, z+1)
					} else {
						t.c2 = min(t.c2, a-1)
					}
				})
			}
			open = append(kept, len(all))
			all = append(all, f)
		}
	}
	return all
}

func (f found) each(do func(*table)) {
	for i := range f {
		do(&f[i])
	}
}

// above is where a table ends for which a header follows in row i: a line that
// stands alone over the next header is the next table's title.
func (v *vocabulary) above(s *sheet, i int, t *table) int {
	if i-1 > t.head && len(clip(s.Rows[i-1], t.c1, t.c2).Cells) == 1 && clip(s.Rows[i-1], t.c1, t.c2).Cells[0].Kind == xlsx.Text {
		return i - 1
	}
	return i
}

func (t *table) span() (lo, hi int) {
	lo, hi = xlsx.MaxColumn+1, 0
	for _, c := range t.cols {
		lo, hi = min(lo, c.col), max(hi, c.col)
	}
	return lo, hi
}

// clip is the part of a row between two columns.
func clip(r xlsx.Row, c1, c2 int) xlsx.Row {
	a := 0
	for a < len(r.Cells) && r.Cells[a].Col < c1 {
		a++
	}
	z := len(r.Cells)
	for z > a && r.Cells[z-1].Col > c2 {
		z--
	}
	return xlsx.Row{N: r.N, Cells: r.Cells[a:z]}
}

// headersAt returns the tables whose header begins in row i, and how many rows
// the header takes. Here and below are what that row and the next have of
// headings.
func (v *vocabulary) headersAt(s *sheet, i int, here, below headings) ([]found, int) {
	if here.like == 0 && below.like < 2 || here.like+below.like < 2 && len(s.Rows[i].Cells) > 1 {
		return nil, 1
	}
	var single []found
	if v.worthALook(s, here) {
		single = v.match(s, i, oneRow(s.Rows[i]))
	}
	// A feed's name in each of two rows of amounts is not a header yet.
	if here.like+below.like >= 3 && i+1 < len(s.Rows) && s.Rows[i+1].N <= s.Rows[i].N+2 &&
		here.cells == len(s.Rows[i].Cells) && below.cells == len(s.Rows[i+1].Cells) {
		if two := twoRows(s, i); v.worthALook(s, v.headingsOf(two)) {
			joined := v.match(s, i+1, two)
			n := columnsIn(joined)
			if n <= columnsIn(single) || len(single) == 1 && slices.ContainsFunc(joined, func(f found) bool { return datesUnder(f, single[0]) }) {
				return single, 1
			}
			lower := 0
			if v.worthALook(s, below) {
				lower = columnsIn(v.match(s, i+1, oneRow(s.Rows[i+1])))
			}
			if n > lower || n == lower && usesBoth(joined) {
				return joined, 2
			}
		}
	}
	return single, 1
}

// datesUnder says whether the days of a table of work are dates that are under headings
// of the table above, such as Weighed on and Analysed on: its row is one of that table.
func datesUnder(f, above found) bool {
	days := 0
	for _, c := range f[0].cols {
		if !c.isDay {
			continue
		}
		if days++; c.date.IsZero() || !slices.ContainsFunc(above[0].cols, func(a column) bool { return a.col == c.col && a.key != "" && !a.isDay }) {
			return false
		}
	}
	return f[0].kind == workKind && days > 0
}

func columnsIn(fs []found) int {
	n := 0
	for _, f := range fs {
		n += len(f[0].cols)
	}
	return n
}

func usesBoth(fs []found) bool {
	for _, f := range fs {
		for _, c := range f[0].cols {
			if c.heading.joined {
				return true
			}
		}
	}
	return false
}

func headText(c *xlsx.Cell) bool {
	return (c.Kind == xlsx.Text || c.Kind == xlsx.Date) && len(c.Shown) <= 60
}

func oneRow(r xlsx.Row) []headCell {
	hs, texts := make([]headCell, 0, len(r.Cells)), make([]string, 0, len(r.Cells))
	for i := range r.Cells {
		if c := &r.Cells[i]; headText(c) {
			texts = append(texts, c.Shown)
			hs = append(hs, headCell{col: c.Col, cell: c, texts: texts[len(texts)-1:]})
		}
	}
	return hs
}

// twoRows reads two rows of nothing but short texts as one header: a heading
// over several columns counts for each of them, where its cells are joined.
func twoRows(s *sheet, i int) []headCell {
	above, below := s.spread(s.Rows[i]), s.Rows[i+1].Cells
	hs := make([]headCell, 0, len(above)+len(below))
	texts := make([]string, 0, 2*cap(hs)) // of all
	ways := func(of ...string) []string {
		texts = append(texts, of...)
		return texts[len(texts)-len(of) : len(texts) : len(texts)]
	}
	for len(above)+len(below) > 0 {
		if len(below) == 0 || len(above) > 0 && above[0].col < below[0].Col {
			if up := above[0]; up.col == up.cell.Col {
				hs = append(hs, headCell{col: up.col, cell: up.cell, texts: ways(up.cell.Shown)})
			}
			above = above[1:]
			continue
		}
		c := &below[0]
		h := headCell{col: c.Col, cell: c}
		if len(above) > 0 && above[0].col == c.Col {
			up := above[0].cell
			h.both, h.texts = true, ways(up.Shown+" "+c.Shown, c.Shown+" "+up.Shown, c.Shown)
			if up.Kind == xlsx.Date { // a date over its weekday
				h.texts = ways(up.Shown, h.texts[0], h.texts[1], h.texts[2])
			}
			above = above[1:]
		} else {
			h.texts = ways(c.Shown)
		}
		hs, below = append(hs, h), below[1:]
	}
	return hs
}

// over is a cell and a column it is over.
type over struct {
	col  int
	cell *xlsx.Cell
}

// spread gives the columns that the cells of a row are over, rising: each its
// own, and those it is joined with.
func (s *sheet) spread(r xlsx.Row) []over {
	all := make([]over, 0, len(r.Cells))
	put := func(o over) { // the later one counts where joined blocks overlap
		k := len(all)
		for k > 0 && all[k-1].col >= o.col {
			k--
		}
		if k < len(all) && all[k].col == o.col {
			all[k] = o
			return
		}
		all = slices.Insert(all, k, o)
	}
	for i := range r.Cells {
		c := &r.Cells[i]
		put(over{c.Col, c})
		if m, ok := s.Merged(c.Row, c.Col); ok && m.Row1 == m.Row2 {
			for col := m.Col1; col <= min(m.Col2, xlsx.MaxColumn); col++ {
				put(over{col, c})
			}
		}
	}
	return all
}

// match reads a row of header cells as tables: as one, or, where every stretch
// between empty columns makes a table of its own, as several.
func (v *vocabulary) match(s *sheet, head int, hs []headCell) []found {
	var runs [][]headCell
	for k, from := 1, 0; k <= len(hs); k++ {
		if k == len(hs) || hs[k].col > hs[k-1].col+1 {
			runs, from = append(runs, hs[from:k]), k
		}
	}
	if len(runs) > 1 {
		var parts []found
		for _, run := range runs {
			if f := v.kinds(s, head, run); f != nil && !f[0].nameless {
				parts = append(parts, f)
			}
		}
		if len(parts) > 1 {
			// What belongs to none goes to the table on its left.
			for k := range parts {
				lo, _ := parts[k][0].span()
				if k > 0 {
					parts[k].each(func(t *table) { t.c1 = lo })
					parts[k-1].each(func(t *table) { t.c2 = lo - 1 })
				}
			}
			return parts
		}
	}
	if f := v.kinds(s, head, hs); f != nil {
		return []found{f}
	}
	return nil
}
