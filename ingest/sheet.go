package ingest

import (
	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// sheet is a tab as its tables are looked for.
type sheet struct {
	xlsx.Sheet
	// turned: rows and columns are exchanged, so that a table with its headings
	// down the side reads like any other.
	turned bool

	written map[int]int // see lastWritten
}

// sheetsOf are the tabs of a workbook but for our own list in a copy that was sent back
// corrected, or moved on a week.
func sheetsOf(book *xlsx.Book) []*sheet {
	all := make([]*sheet, 0, len(book.Sheets))
	for i := range book.Sheets {
		s := &book.Sheets[i]
		if len(s.Rows) > 0 {
			if first := s.Rows[0].Cells[0].Shown; isOwnList(first) {
				continue
			}
		}
		all = append(all, &sheet{Sheet: *s})
	}
	return all
}

// lastWritten is the number of the last row with a text in a column; 0: none.
func (s *sheet) lastWritten(col int) int {
	if s.written == nil {
		s.written = map[int]int{}
		for _, r := range s.Rows {
			for i := range r.Cells {
				if c := &r.Cells[i]; c.Kind == xlsx.Text {
					s.written[c.Col] = r.N
				}
			}
		}
	}
	return s.written[col]
}

// ref is the address of a cell as the spreadsheet program shows it.
func (s *sheet) ref(col, row int) string {
	if s.turned {
		col, row = row, col
	}
	if col < 1 || row < 1 {
		return "" // a name that is on the tab
	}
	return xlsx.RefOf(col, row)
}

func (s *sheet) place(c xlsx.Cell) yard.Cell {
	return yard.Cell{Sheet: s.Name, Ref: s.ref(c.Col, c.Row), Text: c.Shown}
}
