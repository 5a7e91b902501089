package ingest

import (
	"bytes"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"

	"hardfeed/ration/yard"
)

// cellKind says what a cell holds.
type cellKind int

const (
	empty    cellKind = iota
	number            // a number without a date or time format
	written           // text
	boolean           //
	wrong             // an error value such as #REF!
	uncached          // a formula whose result was not saved
	dated             // a number or text the cell's format makes a date
	clocked           // a number the cell's format makes a time of day
)

// cell is one cell as it was saved and as it is shown.
type cell struct {
	row, col int
	kind     cellKind
	shown    string // as the user sees it, trimmed
	num      float64
	day      time.Time // dated
	minute   int       // clocked
	percent  bool      // shown with a % format: 0.125 is seen as 12.5%
}

type sheet struct {
	name   string
	hidden bool
	rows   []row // those with anything in them, rising
	merges []rect
}

type row struct {
	n     int
	cells []cell // rising
}

// at returns the cell in a column; an empty one where there is none.
func (r row) at(col int) cell {
	for _, c := range r.cells {
		if c.col == col {
			return c
		}
	}
	return cell{row: r.n, col: col}
}

func (s *sheet) place(c cell) yard.Cell {
	return yard.Cell{Sheet: s.name, Ref: refOf(c.col, c.row), Text: c.shown}
}

// merged returns the joined block a cell lies in.
func (s *sheet) merged(row, col int) (rect, bool) {
	for _, m := range s.merges {
		if row >= m.row1 && row <= m.row2 && col >= m.col1 && col <= m.col2 {
			return m, true
		}
	}
	return rect{}, false
}

var errorText = regexp.MustCompile(`^#(REF|N/A|VALUE|DIV/0|NAME|NUM|NULL|SPILL|CALC|BLOCKED|FIELD|BUSY|GETTING_DATA)[!?]?$`)

// readSheets takes the cells the preflight saw out of the workbook, and
// compares: a cell that comes back empty or different means that the two did
// not read the same workbook, and nothing of it can be trusted.
func readSheets(data []byte, s *scan) (sheets []*sheet, err error) {
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{
		RawCellValue: true, UnzipSizeLimit: maxUnzipped + 1, UnzipXMLSizeLimit: maxUnzipped + 1,
	})
	if f != nil {
		defer f.Close()
	}
	if err != nil {
		return nil, err
	}
	formats := map[int]format{}
	for _, ss := range s.sheets {
		sh := &sheet{name: ss.name, hidden: ss.hidden, merges: ss.merges}
		for _, sc := range ss.cells {
			// Under a merge the library answers with the merge's first cell.
			// What is hidden there the user does not see either.
			if m, ok := sh.merged(sc.row, sc.col); ok && (m.row1 != sc.row || m.col1 != sc.col) {
				continue
			}
			c, err := readCell(f, ss.name, sc, s, formats)
			if err != nil {
				return nil, fmt.Errorf("sheet %q, cell %s: %w", ss.name, refOf(sc.col, sc.row), err)
			}
			if c.kind == empty {
				continue
			}
			if n := len(sh.rows); n == 0 || sh.rows[n-1].n != c.row {
				sh.rows = append(sh.rows, row{n: c.row})
			}
			r := &sh.rows[len(sh.rows)-1]
			r.cells = append(r.cells, c)
		}
		sheets = append(sheets, sh)
	}
	return sheets, nil
}

func readCell(f *excelize.File, sheetName string, sc scannedCell, s *scan, formats map[int]format) (cell, error) {
	c := cell{row: sc.row, col: sc.col}
	ref := refOf(sc.col, sc.row)
	raw, err := f.GetCellValue(sheetName, ref)
	if err != nil {
		return c, err
	}
	want := sc.value
	if sc.typ == "s" && sc.hasValue {
		n, _ := strconv.Atoi(sc.value)
		want = s.strings[n]
	}
	if !sameText(raw, want) {
		return c, fmt.Errorf("it holds %.40q but was read as %.40q", want, raw)
	}
	if sc.formula && (!sc.hasValue || sc.value == "" && sc.typ != "str") {
		formula, err := f.GetCellFormula(sheetName, ref)
		if err != nil {
			return c, err
		}
		c.kind, c.shown = uncached, "="+formula
		return c, nil
	}
	text := strings.TrimSpace(raw)
	if text == "" {
		return c, nil
	}
	c.shown = text
	switch sc.typ {
	case "b":
		c.kind, c.shown = boolean, "FALSE"
		if raw == "1" {
			c.kind, c.shown = boolean, "TRUE"
		}
		return c, nil
	case "e":
		c.kind = wrong
		return c, nil
	case "d":
		c.kind = written
		if t, err := ParseDate(text); err == nil {
			c.kind, c.day = dated, t
		}
		return c, nil
	case "", "n":
	default:
		c.kind = written
		if errorText.MatchString(text) {
			c.kind = wrong
		}
		return c, nil
	}
	v, ok := parseRawNumber(text)
	if !ok {
		c.kind = written // said to be a number, and none: the reader of the column will say so
		return c, nil
	}
	c.kind, c.num = number, v
	fm, ok := formats[sc.style]
	if !ok {
		if fm, err = formatOf(f, sc.style); err != nil {
			return c, err
		}
		formats[sc.style] = fm
	}
	if sc.style != 0 {
		if shown, err := f.GetCellValue(sheetName, ref, excelize.Options{}); err == nil && strings.TrimSpace(shown) != "" {
			c.shown = strings.TrimSpace(shown)
		}
	} else {
		c.shown = strconv.FormatFloat(v, 'f', -1, 64)
	}
	switch fm {
	case percentFormat:
		c.percent = true
	case clockFormat, dateFormat:
		if v >= 0 && v < 1 {
			c.kind, c.minute = clocked, int(v*24*60+0.5)%(24*60)
			c.shown = clock(c.minute)
		} else if t, err := excelize.ExcelDateToTime(v, s.date1904); err == nil && v >= 1 && t.Year() >= 1900 && t.Year() <= 2200 {
			c.kind, c.day = dated, t.Truncate(24*time.Hour)
			c.shown = c.day.Format("2006-01-02")
		}
	}
	return c, nil
}

// sameText compares what two decoders made of one text. Escapes such as
// _x000D_ are decoded by one of them only; blanks at the ends do not count.
func sameText(a, b string) bool {
	if strings.Contains(b, "_x") {
		return strings.TrimSpace(b) == "" || strings.TrimSpace(a) != ""
	}
	return strings.Join(strings.Fields(a), " ") == strings.Join(strings.Fields(b), " ")
}

func clock(minute int) string { return fmt.Sprintf("%02d:%02d", minute/60, minute%60) }

// format is what a cell's number format makes of a number.
type format int

const (
	plainFormat format = iota
	dateFormat
	clockFormat
	percentFormat
)

// formatOf looks a number format up. The built-in numbers are those of ECMA-376
// part 1, 18.8.30; 27-36 and 50-58 are dates in East Asian versions.
func formatOf(f *excelize.File, style int) (format, error) {
	if style == 0 {
		return plainFormat, nil
	}
	st, err := f.GetStyle(style)
	if err != nil {
		return plainFormat, err
	}
	if st.CustomNumFmt != nil {
		return customFormat(*st.CustomNumFmt), nil
	}
	switch n := st.NumFmt; {
	case n == 9 || n == 10:
		return percentFormat, nil
	case n >= 14 && n <= 17, n == 22, n >= 27 && n <= 31, n == 36, n >= 50 && n <= 58:
		return dateFormat, nil
	case n >= 18 && n <= 21, n >= 32 && n <= 35, n >= 45 && n <= 47:
		return clockFormat, nil
	}
	return plainFormat, nil
}

var (
	quotedInFormat  = regexp.MustCompile(`"[^"]*"|\\.|_.|\*.`)
	elapsedInFormat = regexp.MustCompile(`(?i)\[(h+|m+|s+)\]`)
	bracketInFormat = regexp.MustCompile(`\[[^\]]*\]`)
)

func customFormat(code string) format {
	code, _, _ = strings.Cut(quotedInFormat.ReplaceAllString(code, ""), ";")
	code = elapsedInFormat.ReplaceAllString(code, "h")
	code = strings.ToLower(bracketInFormat.ReplaceAllString(code, ""))
	if strings.Contains(code, "general") {
		return plainFormat
	}
	hours := strings.ContainsAny(code, "hs")
	switch {
	case strings.ContainsAny(code, "dy"), strings.Contains(code, "m") && !hours:
		return dateFormat
	case hours:
		return clockFormat
	case strings.Contains(code, "%"):
		return percentFormat
	}
	return plainFormat
}
