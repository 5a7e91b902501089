package board

import (
	"slices"
	"strings"
)

// form is a region about one horse: a tab of its own, or a block.
type form struct {
	sheet *sheetData
	horse string
	name  *Cell // nil: the tab's name
	parts []part
	days  []formDay
	lines []cardLine // its cells say themselves what they are about
}

// formDay is a day that stands as a heading in a form.
type formDay struct {
	day  int
	date date
	head *Cell
}

// noteDay keeps a heading of a form that names a day.
func (f *form) noteDay(c *Cell, l *label, letter int, isLetter bool) {
	switch {
	case isLetter:
		f.days = append(f.days, formDay{day: letter, head: c})
	case l.has("weight", "tape", "scale", "week"):
	case len(l.dates) > 0:
		f.days = append(f.days, formDay{day: l.day, date: l.dates[0], head: c})
	case l.day >= 0:
		f.days = append(f.days, formDay{day: l.day, head: c})
	}
}

// part is a stretch of rows and columns of a form.
type part struct{ r1, r2, c1, c2 int }

// bands parts a sheet's columns where one is empty from top to bottom.
func bands(s *sheetData) [][2]int {
	used := map[int]bool{}
	for _, c := range s.Sheet.Cells {
		c := s.cell(c.Row, c.Col)
		if !c.free() {
			continue
		}
		if m, ok := s.span[[2]int{c.Row, c.Col}]; ok && m.Col2-m.Col1 < 8 {
			for k := m.Col1; k <= m.Col2; k++ {
				used[k] = used[k] || len(s.inRow(c.Row)) > 1
			}
		}
		if len(s.inRow(c.Row)) > 1 || c.Col == 1 {
			used[c.Col] = true
		}
	}
	var out [][2]int
	for c := 1; c <= s.lastCol; c++ {
		switch {
		case !used[c]:
		case len(out) > 0 && out[len(out)-1][1] == c-1:
			out[len(out)-1][1] = c
		default:
			out = append(out, [2]int{c, c})
		}
	}
	return out
}

// inBand is what stands in a row between two columns and is not taken.
func (s *sheetData) inBand(r, c1, c2 int) []*Cell {
	return freeOf(stretch(s.inRow(r), c1, c2, func(c *Cell) int { return c.Col }))
}

// titlesIn finds the cells of a band that may be the name of a horse over its block.
// numbers are those that would be titles if a horse may be called by a number.
func (ff *formFinder) titlesIn(s *sheetData, band [2]int) (out, numbers map[string][]*Cell) {
	out, numbers = map[string][]*Cell{}, map[string][]*Cell{}
	rows := grid{page: s}.sortedRows()
	for i, r := range rows {
		cells := s.inBand(r, band[0], band[1])
		if len(cells) == 0 || cells[0].Col > band[0]+1 {
			continue
		}
		if isWhole(cells[0]) && len(cells) > 1 && ff.who.mayBeName(cells[1]) {
			cells = cells[1:] // the number of its stable is before the name
		}
		to := out
		if !ff.who.mayBeName(cells[0]) && !ff.isNumbered(cells[0]) && !(len(cells) == 1 && titleLike(s, cells[0])) {
			if to = numbers; !isWhole(cells[0]) {
				continue
			}
		}
		heads := 0
		for _, c := range cells[1:] {
			if ff.heads.isHeading(c) {
				heads++
			}
		}
		if heads > 1 || len(cells) > 4 {
			continue
		}
		for j := i + 1; j < len(rows) && rows[j] <= r+2; j++ {
			next := s.inBand(rows[j], band[0], band[1])
			if len(next) == 0 {
				continue
			}
			if l := ff.words.labelOf(next[0]); ff.heads.isHeading(next[0]) && (len(l.order) > 0 || l.day >= 0 && len(next) >= 5) {
				key := strings.Join(l.order, " ")
				to[key] = append(to[key], cells[0])
			}
			break
		}
	}
	return out, numbers
}

// isNumbered says whether a cell is a name with the number of a stable.
func (ff *formFinder) isNumbered(c *Cell) bool {
	_, ok := ff.who.numbered(c.Text)
	return ok && c.Kind == Text
}

// titleName is the name that is over a block, without the number of a stable.
func (ff *formFinder) titleName(c *Cell) string {
	if name, ok := ff.who.numbered(c.Text); ok {
		return name
	}
	return strings.TrimSpace(c.Text)
}

// formsOn finds the blocks of a sheet, a horse each.
func (ff *formFinder) formsOn(s *sheetData) []*form {
	bands := bands(s)
	var titles []*Cell
	most := map[string]int{}
	all, numbers := make([]map[string][]*Cell, len(bands)), make([]map[string][]*Cell, len(bands))
	for i, band := range bands {
		all[i], numbers[i] = ff.titlesIn(s, band)
		for k, cs := range all[i] {
			for _, c := range cs {
				if ff.who.nameLike(c) || ff.isNumbered(c) {
					most[k] += 3
				} else {
					most[k]++
				}
			}
		}
	}
	best := ""
	for _, k := range sortedKeys(most) {
		if most[k] > most[best] {
			best = k
		}
	}
	if most[best] < 4 {
		return nil // one title, or none that looks like a name
	}
	var out []*form
	last := s.lastRow
	for i, band := range bands {
		titles = append(all[i][best], numbers[i][best]...)
		slices.SortFunc(titles, func(x, y *Cell) int { return x.Row - y.Row })
		// A band may be split further by names that stand side by side.
		for j, t := range titles {
			end := last
			if j+1 < len(titles) {
				end = titles[j+1].Row - 1
			}
			c2 := band[1]
			f := &form{sheet: s, horse: ff.titleName(t), name: t}
			// Blocks end at a gap of two rows.
			blank := 0
			for r := t.Row; r <= end; r++ {
				if len(s.inBand(r, band[0], c2)) == 0 {
					if blank++; blank >= 2 {
						end = r - 2
						break
					}
				} else {
					blank = 0
				}
			}
			f.parts = append(f.parts, part{t.Row, end, band[0], c2})
			out = append(out, f)
		}
	}
	return out
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// tabForm takes a sheet for one horse's own.
func (ff *formFinder) tabForm(s *sheetData) *form {
	heads := 0
	for i := range s.Sheet.Cells {
		if ff.heads.isHeading(&s.Sheet.Cells[i]) {
			heads++
		}
	}
	if heads < 4 {
		return nil
	}
	f := &form{sheet: s}
	for _, band := range bands(s) {
		f.parts = append(f.parts, part{1, s.lastRow, band[0], band[1]})
	}
	for i := range s.Sheet.Cells {
		c := &s.Sheet.Cells[i]
		if c.Row > 3 {
			break
		}
		if c.Kind == Text && foldName(c.Text) == foldName(s.Name) {
			f.name = c
			break
		}
	}
	return f
}

// signature is the headings of a form, to tell which tabs are of one kind.
func (hs *headings) signature(s *sheetData) string {
	var out []string
	for i := range s.Sheet.Cells {
		if c := &s.Sheet.Cells[i]; c.Col <= 2 && hs.isHeading(c) && c.Kind == Text {
			if l := hs.words.labelOf(c); l.full() && len(l.dates) == 0 && l.day < 0 && len(l.order) > 0 {
				out = append(out, l.order[0])
			}
		}
	}
	slices.Sort(out)
	return strings.Join(slices.Compact(out), " ")
}
