package board

import (
	"cmp"
	"maps"
	"slices"
)

// writeColours puts into coloured blank cells what the book says their colours mean: a
// coloured cell with work beside it, and nothing else in its row, is a legend.
func (p pages) writeColours() {
	means := map[string]string{}
	unclear := map[string]bool{} // said twice, and differently
	var legends []colourLegend
	for _, s := range p.sheets {
		for _, at := range sortedPlaces(s.Fills) {
			c := s.meaningOf(at)
			if c == nil || !p.lang.isWork(c.Text) {
				continue
			}
			fill := s.Fills[at]
			if was, ok := means[fill]; ok && was != c.Text {
				unclear[fill] = true
			}
			means[fill] = c.Text
			legends = append(legends, colourLegend{s, at, [2]int{c.Row, c.Col}})
		}
	}
	maps.DeleteFunc(means, func(fill, _ string) bool { return unclear[fill] })
	if len(means) == 0 {
		return
	}
	isLegend := func(s *sheetData, at [2]int) bool {
		return slices.ContainsFunc(legends, func(l colourLegend) bool { return l.sheet == s && l.colour == at })
	}
	for i, s := range p.sheets {
		var more []Cell
		for at, fill := range s.Fills {
			if text := means[fill]; text != "" && s.cell(at[0], at[1]) == nil && !isLegend(s, at) {
				more = append(more, Cell{Row: at[0], Col: at[1], Kind: Text, Text: text})
			}
		}
		if len(more) == 0 {
			continue
		}
		sheet := s.Sheet
		sheet.Cells = append(slices.Clone(sheet.Cells), more...)
		slices.SortFunc(sheet.Cells, func(x, y Cell) int { return cmp.Or(x.Row-y.Row, x.Col-y.Col) })
		p.sheets[i] = newSheet(sheet)
		for k := range legends {
			if legends[k].sheet == s {
				legends[k].sheet = p.sheets[i]
			}
		}
	}
	for _, l := range legends {
		l.sheet.mark(l.sheet.cell(l.text[0], l.text[1]), "legend", "")
	}
}

// colourLegend is a coloured cell of a legend, and the cell that says what it means.
type colourLegend struct {
	sheet        *sheetData
	colour, text [2]int
}

// meaningOf is the cell that says what a coloured blank cell means: right beside it, where
// nothing else is in the row; nil where none does.
func (d *sheetData) meaningOf(at [2]int) *Cell {
	row := d.rows[at[0]]
	if len(row) != 1 || row[0].Col != at[1]+1 || row[0].Kind != Text {
		return nil
	}
	for fill := range d.Fills {
		if fill[0] == at[0] && fill[1] != at[1] && fill[1] != at[1]+1 {
			return nil // a row of a table
		}
	}
	return row[0]
}

func sortedPlaces(m map[[2]int]string) [][2]int {
	return slices.SortedFunc(maps.Keys(m), func(x, y [2]int) int { return cmp.Or(x[0]-y[0], x[1]-y[1]) })
}

// fillAt is the colour of a place; "" of none.
func (g grid) fillAt(r, c int) string {
	if g.turned {
		r, c = c, r
	}
	return g.page.Fills[[2]int{r, c}]
}

// coloursDiffer says whether the blank days of a sheet have colours that go neither by the
// row, as bands do, nor by the column, as a weekend's: then they say something.
func (ww *workWeeks) coloursDiffer(s *sheetData) bool {
	if v, ok := ww.colour[s]; ok {
		return v
	}
	byHorse, byDay := map[int]map[string]bool{}, map[int]map[string]bool{}
	put := func(m map[int]map[string]bool, k int, fill string) {
		if m[k] == nil {
			m[k] = map[string]bool{}
		}
		m[k][fill] = true
	}
	each := func(do func(p *dayPlace)) {
		for _, p := range ww.places.all {
			if p.sheet == s && p.blank {
				do(p)
			}
		}
	}
	each(func(p *dayPlace) { put(byDay, p.day, p.fill) })
	each(func(p *dayPlace) {
		if len(byDay[p.day]) > 1 {
			put(byHorse, p.horse, p.fill)
		}
	})
	v := slices.ContainsFunc(slices.Collect(maps.Values(byHorse)), func(fills map[string]bool) bool { return len(fills) > 1 })
	ww.colour[s] = v
	return v
}

// askColour asks what the colour of a blank day means, once for a sheet.
func (ww *workWeeks) askColour(h *horse, d int, p *dayPlace, day *dayWork) {
	day.said, day.unknown = true, true
	ww.askDay("colour\x00"+p.sheet.Name, ask{rule: "work-blank", why: "colour", cell: p.head, sheet: p.sheet}, h, d)
}

// colouredDays asks about the coloured days of a horse of whose week nothing is written.
func (ww *workWeeks) colouredDays(h *horse, days *[7]dayWork) {
	for d, p := range ww.places.weekPlaces(ww.week, h.index) {
		if p != nil && p.fill != "" && ww.coloursDiffer(p.sheet) {
			ww.askColour(h, d, p, &days[d])
		}
	}
}
