package board

import (
	"strings"
)

// cardLine is a cell that says itself what it is about: "Weight: 512 kg".
type cardLine struct {
	cell  *Cell
	label *Cell // what is before the colon
	value *Cell // what is behind it
}

// cardLineOf parts a cell at its first colon, where a heading that is understood whole
// is before it and something behind it.
func (v *vocabulary) cardLineOf(c *Cell) (cardLine, bool) {
	head, rest, ok := strings.Cut(c.Text, ":")
	rest = strings.TrimSpace(rest)
	if c.Kind != Text || !ok || rest == "" || len(head) > 30 || len(c.Text) > 300 {
		return cardLine{}, false
	}
	label := &Cell{Row: c.Row, Col: c.Col, Kind: Text, Text: strings.TrimSpace(head)}
	if l := v.labelOf(label); !l.full() || len(l.order) == 0 && l.day < 0 {
		return cardLine{}, false
	}
	return cardLine{c, label, &Cell{Row: c.Row, Col: c.Col, Kind: Text, Text: rest, Struck: c.Struck}}, true
}

// cardsOn finds the horses of a sheet that are written as lines below each other, a name
// first: "Name: Rufus" or "Rufus" alone, "Weight: 512 kg", "Work: Mon hack 45, Tue off".
func (ff *formFinder) cardsOn(s *sheetData) []*form {
	var out []*form
	for _, col := range sortedColumns(s) {
		var f *form
		alone := ff.namesAlone(s, col)
		for _, c := range s.cols[col] {
			if alone[c] {
				f = &form{sheet: s, horse: ff.titleName(c), name: c, parts: []part{{c.Row, c.Row, col, col}}}
				out = append(out, f)
				continue
			}
			line, ok := ff.words.cardLineOf(c)
			if !ok || !c.free() {
				continue
			}
			if ff.words.labelOf(line.label).has("name") && len(line.value.Text) <= 40 {
				f = &form{sheet: s, horse: line.value.Text, name: c, parts: []part{{c.Row, c.Row, col, col}}}
				out = append(out, f)
				continue
			}
			if f != nil {
				f.lines = append(f.lines, line)
			}
		}
	}
	return out
}

// namesAlone are the cells of a column with a name and nothing else, each over lines of what
// is about that horse; none where a line of the column names a horse, or only one does so.
func (ff *formFinder) namesAlone(s *sheetData, col int) map[*Cell]bool {
	out := map[*Cell]bool{}
	lines := func(row int) bool {
		c := s.cell(row, col)
		if c == nil {
			return false
		}
		_, ok := ff.words.cardLineOf(c)
		return ok
	}
	for _, c := range s.cols[col] {
		if line, ok := ff.words.cardLineOf(c); ok {
			if ff.words.labelOf(line.label).has("name") {
				return nil
			}
			continue
		}
		if c.free() && (ff.who.mayBeName(c) || ff.isNumbered(c)) && len(s.inRow(c.Row)) == 1 && lines(c.Row+1) && lines(c.Row+2) {
			out[c] = true
		}
	}
	if len(out) < 2 {
		return nil
	}
	return out
}

func sortedColumns(s *sheetData) []int { return grid{s, true}.sortedRows() }

// readLines reads a form whose cells say themselves what they are about.
func (fr *formReader) readLines(f *form, horse int) []*obs {
	var out []*obs
	for _, x := range f.lines {
		o := &obs{sheet: f.sheet, cell: x.value, horse: horse, day: -1, row: x.cell.Row, lab: fr.words.labelOf(x.label), head: x.label}
		fr.describe(o, []*Cell{x.label})
		if o.role == noRole {
			continue
		}
		f.sheet.mark(x.cell, "used", "")
		out = append(out, o)
	}
	return out
}
