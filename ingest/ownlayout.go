package ingest

import (
	"path/filepath"
	"strings"
	"time"

	"hardfeed/ingest/board"
	"hardfeed/ration/yard"
)

// readOwnLayout reads a workbook that is laid out in the yard's own way.
func readOwnLayout(name string, sheets []*sheet, saved time.Time) (yard.Week, bool) {
	in := make([]board.Sheet, 0, len(sheets))
	for _, s := range sheets {
		in = append(in, boardSheet(s))
	}
	week, ok := board.Read(name, in, saved)
	if ok && week.Yard == "" {
		week.Yard = strings.TrimSpace(strings.TrimSuffix(filepath.Base(name), filepath.Ext(name)))
	}
	return week, ok
}

// boardSheet is a sheet as the package board takes it.
func boardSheet(s *sheet) board.Sheet {
	n := 0
	for _, r := range s.rows {
		n += len(r.cells)
	}
	out := board.Sheet{Name: s.name, Hidden: s.hidden, Cells: make([]board.Cell, 0, n), HiddenRows: s.hiddenRows, HiddenCols: map[int]bool{}, Comments: s.comments}
	for _, m := range s.merges {
		out.Joined = append(out.Joined, board.Rect{Row1: m.row1, Col1: m.col1, Row2: m.row2, Col2: m.col2})
	}
	for _, h := range s.hiddenCols {
		for c := h.col1; c <= min(h.col2, maxColumn); c++ {
			out.HiddenCols[c] = true
		}
	}
	for _, r := range s.rows {
		for i := range r.cells {
			c := &r.cells[i]
			out.Cells = append(out.Cells, board.Cell{Row: c.row, Col: c.col, Kind: boardKinds[c.kind], Text: c.shown, Num: c.num, Day: c.day, Minute: c.minute, Percent: c.percent, Struck: c.struck, Unit: c.unit})
		}
	}
	return out
}

var boardKinds = map[cellKind]board.Kind{empty: board.Empty, number: board.Number, written: board.Text, boolean: board.Boolean, wrong: board.Wrong,
	uncached: board.Uncached, dated: board.Date, clocked: board.Clock, elapsed: board.Elapsed}
