package board

import (
	"strconv"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"
)

func dumpBook(path string) *book {
	f, err := excelize.OpenFile(path)
	if err != nil {
		panic(err)
	}
	var sheets []Sheet
	for _, name := range f.GetSheetList() {
		s := Sheet{Name: name, HiddenRows: map[int]bool{}, HiddenCols: map[int]bool{}}
		rows, _ := f.GetRows(name, excelize.Options{RawCellValue: true})
		merges, _ := f.GetMergeCells(name)
		for _, m := range merges {
			c1, r1, _ := excelize.CellNameToCoordinates(m.GetStartAxis())
			c2, r2, _ := excelize.CellNameToCoordinates(m.GetEndAxis())
			s.Joined = append(s.Joined, Rect{r1, c1, r2, c2})
		}
		for r, row := range rows {
			for c, v := range row {
				if v == "" {
					continue
				}
				ref, _ := excelize.CoordinatesToCellName(c+1, r+1)
				t, _ := f.GetCellType(name, ref)
				x := Cell{Row: r + 1, Col: c + 1, Kind: Text, Text: v}
				if t == excelize.CellTypeUnset || t == excelize.CellTypeNumber {
					x.Kind = Number
					var n float64
					for i := range v {
						_ = i
					}
					n = atof(v)
					x.Num = n
					st, _ := f.GetCellStyle(name, ref)
					sty, _ := f.GetStyle(st)
					if sty != nil && (sty.NumFmt >= 14 && sty.NumFmt <= 17 || sty.CustomNumFmt != nil && containsAny(*sty.CustomNumFmt, "dy")) {
						d, _ := excelize.ExcelDateToTime(n, false)
						x.Kind, x.Day, x.Text = Date, d, d.Format("2006-01-02")
					}
				}
				s.Cells = append(s.Cells, x)
			}
		}
		sheets = append(sheets, s)
	}
	b := newBook(sheets, time.Date(2026, 11, 30, 0, 0, 0, 0, time.UTC))
	b.gather()
	return b
}

func atof(s string) float64 { v, _ := strconv.ParseFloat(s, 64); return v }
func containsAny(s, chars string) bool {
	return strings.ContainsAny(strings.ReplaceAll(s, "\"", ""), chars) && !strings.Contains(s, "kg")
}
