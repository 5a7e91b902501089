package board

import (
	"maps"
	"slices"
	"strings"
)

// listsOn finds the lists of a sheet that say everything of a horse in pairs of a word and
// a value, the name first: "Name" beside "Rowan", "Weight" beside 540 below it, and so on.
// A list ends where the next begins, or at a gap of two rows.
func (ff *formFinder) listsOn(s *sheetData) []*form {
	heads := map[int][]*Cell{} // by column, from the top
	for _, col := range sortedColumns(s) {
		for _, c := range s.cols[col] {
			if ff.beginsList(s, c) {
				heads[col] = append(heads[col], c)
			}
		}
	}
	if len(heads) == 0 {
		return nil
	}
	var out []*form
	cols, bands := slices.Sorted(maps.Keys(heads)), bands(s)
	for n, col := range cols {
		right := s.lastCol
		for _, band := range bands {
			if col >= band[0] && col <= band[1] {
				right = band[1]
			}
		}
		if n+1 < len(cols) {
			right = min(right, cols[n+1]-1)
		}
		for i, h := range heads[col] {
			p := part{h.Row, s.lastRow, col, right}
			if i+1 < len(heads[col]) {
				p.r2 = heads[col][i+1].Row - 1
			}
			p.r2 = s.lastBeforeGap(p)
			name := s.cell(h.Row, col+1)
			s.mark(h, "label", "a heading")
			out = append(out, &form{sheet: s, horse: strings.TrimSpace(name.Text), name: name, parts: []part{p}})
		}
	}
	return out
}

// beginsList says whether a cell is the heading of a name beside it, and words with values
// beside them stand below.
func (ff *formFinder) beginsList(s *sheetData, c *Cell) bool {
	if c == nil || c.Kind != Text || !c.free() || !ff.heads.isHeading(c) || !ff.words.labelOf(c).headsNames() {
		return false
	}
	name := s.cell(c.Row, c.Col+1)
	if name == nil || !name.free() || !ff.who.mayBeName(name) || ff.heads.isHeading(name) {
		return false
	}
	pairs := 0
	for r := c.Row + 1; r <= c.Row+4; r++ {
		head, value := s.cell(r, c.Col), s.cell(r, c.Col+1)
		if head != nil && ff.heads.isHeading(head) && !ff.words.labelOf(head).headsNames() && !(value != nil && ff.heads.isHeading(value)) {
			pairs++
		}
	}
	return pairs >= 2
}

// lastBeforeGap is the last row of a part before two blank ones.
func (s *sheetData) lastBeforeGap(p part) int {
	blank := 0
	for r := p.r1; r <= p.r2; r++ {
		if len(s.inBand(r, p.c1, p.c2)) > 0 {
			blank = 0
			continue
		}
		if blank++; blank >= 2 {
			return r - 2
		}
	}
	return p.r2
}
