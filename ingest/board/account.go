package board

import (
	"cmp"
	"strings"
	"time"
)

// account is what becomes of the cells that no fact, name or label was made of.
type account struct {
	sheets []*sheetData
	words  *vocabulary
	lang   *language
	who    *names
	herd   *herd
	tables []*table
	obs    []*obs
	asks   *questions
	week   plannedWeek
}

// leftOver answers for the cells nothing has been made of yet: titles, remarks,
// telephone numbers, lists; and names once what was not used.
func (ac *account) leftOver() {
	ac.nameUnused()
	for _, s := range ac.sheets {
		ac.rowsLeft(s)
		ac.answerFor(s)
	}
}

// answerFor answers for the cells of a sheet that nothing has been made of.
func (ac *account) answerFor(s *sheetData) {
	top := s.lastRow + 1 // the first row with something used in it
	used := 0
	for _, c := range s.marked {
		switch c.fate.what {
		case "used", "name", "asked", "label":
			used++
			top = min(top, c.Row)
		}
	}
	columns := map[*column]*obs{}
	for _, o := range ac.obs {
		if o.sheet == s && o.cell.free() && o.col != nil {
			columns[o.col] = o
		}
	}
	for i := range s.Sheet.Cells {
		c := &s.Sheet.Cells[i]
		if !c.free() {
			continue
		}
		switch what := ac.lang.decoration(c); {
		case what != "":
			s.mark(c, "decoration", what)
		case s.blank:
			s.mark(c, "decoration", "of an empty template")
		case c.Row < top && c.Kind == Text:
			s.mark(c, "decoration", "a title")
		case used == 0 && s.Hidden:
			s.mark(c, "decoration", "of a hidden list")
		case c.Kind == Text && !hasDigit(c.Text) && len(strings.Fields(c.Text)) > 2 && !ac.lang.mayBeIll(c.Text):
			s.mark(c, "decoration", "a remark")
		}
	}
	for _, k := range ac.columnsInOrder(columns) {
		o := columns[k]
		head := k.own
		if head == nil {
			head = o.cell
		}
		for _, x := range k.obs {
			s.mark(x.cell, "unused", "")
		}
		ac.asks.add("unused\x00"+s.Name+"\x00"+head.Ref(), ask{rule: "column-unused", word: head.Text, cell: head, sheet: s, note: true})
	}
	var first *Cell
	n := 0
	for i := range s.Sheet.Cells {
		c := &s.Sheet.Cells[i]
		if !c.free() {
			continue
		}
		s.mark(c, "unused", "")
		if n++; first == nil {
			first = c
		}
	}
	switch {
	case n == 0:
	case used == 0:
		ac.asks.add("unused\x00"+s.Name, ask{rule: "sheet-unused", word: s.Name, sheet: s, cell: nil, note: true})
	default:
		a := ask{rule: "cell-unused", word: first.Text, cell: first, sheet: s, note: true}
		ac.asks.add("unused\x00"+s.Name, a).cells += n - 1
	}
}

// columnsInOrder are columns of a sheet from left to right, those of upper tables
// first.
func (ac *account) columnsInOrder(in map[*column]*obs) []*column {
	var out []*column
	for _, t := range ac.tables {
		for _, k := range t.cols {
			if in[k] != nil {
				out = append(out, k)
			}
		}
	}
	return out
}

// Account is what became of the cells of a workbook, by kind: used for a fact,
// asked about, a name, a label, a legend, decoration, or named as not used; nil where no
// horses are found.
func Account(sheets []Sheet, saved time.Time) map[string]int {
	b, err := readBook(sheets, saved)
	if err != nil {
		return nil
	}
	b.result(b.newFacts())
	out := map[string]int{}
	for _, s := range b.pages.sheets {
		for i := range s.Sheet.Cells {
			out[cmp.Or(s.Sheet.Cells[i].fate.what, "lost")]++
		}
	}
	return out
}
