package ingest

import (
	"path/filepath"
	"strings"
	"time"

	"hardfeed/ingest/board"
	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// readOwnLayout reads a workbook that is laid out in the yard's own way.
func readOwnLayout(name string, sheets []*sheet, saved time.Time) (yard.Week, error) {
	in := make([]board.Sheet, 0, len(sheets))
	for _, s := range sheets {
		in = append(in, boardSheet(s))
	}
	week, err := board.Read(in, saved)
	if err == nil && week.Yard == "" {
		week.Yard = strings.TrimSpace(strings.TrimSuffix(filepath.Base(name), filepath.Ext(name)))
	}
	return week, err
}

// boardSheet is a sheet as the package board takes it.
func boardSheet(s *sheet) board.Sheet {
	n := 0
	for _, r := range s.Rows {
		n += len(r.Cells)
	}
	out := board.Sheet{Name: s.Name, Hidden: s.Hidden, Cells: make([]board.Cell, 0, n), HiddenRows: s.HiddenRows, HiddenCols: map[int]bool{}, Comments: s.Comments, Fills: s.Fills}
	for _, m := range s.Merges {
		out.Joined = append(out.Joined, board.Rect{Row1: m.Row1, Col1: m.Col1, Row2: m.Row2, Col2: m.Col2})
	}
	for _, h := range s.HiddenCols {
		for c := h.Col1; c <= min(h.Col2, xlsx.MaxColumn); c++ {
			out.HiddenCols[c] = true
		}
	}
	for _, r := range s.Rows {
		for i := range r.Cells {
			c := &r.Cells[i]
			out.Cells = append(out.Cells, board.Cell{Row: c.Row, Col: c.Col, Kind: boardKinds[c.Kind], Text: c.Shown, Num: c.Num, Day: c.Day, Minute: c.Minute, Percent: c.Percent, Struck: c.Struck, Unit: unitOfFormat(c.Format)})
		}
	}
	return out
}

var boardKinds = map[xlsx.Kind]board.Kind{xlsx.Empty: board.Empty, xlsx.Number: board.Number, xlsx.Text: board.Text, xlsx.Boolean: board.Boolean, xlsx.Wrong: board.Wrong,
	xlsx.Uncached: board.Uncached, xlsx.Date: board.Date, xlsx.Clock: board.Clock, xlsx.Elapsed: board.Elapsed}
