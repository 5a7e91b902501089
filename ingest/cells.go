package ingest

import (
	"bytes"
	"cmp"
	"fmt"
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
	elapsed           // a number the cell's format makes hours and minutes, such as 1:15
)

// cell is one cell as it was saved and as it is shown.
type cell struct {
	row, col int
	kind     cellKind
	shown    string // as the user sees it, trimmed
	num      float64
	day      time.Time // dated
	minute   int       // clocked, elapsed
	percent  bool      // shown with a % format: 0.125 is seen as 12.5%
	struck   bool      // shown struck through
	dull     bool      // looked at, and no heading but perhaps one of the yard's own meals or feeds
	unit     string    // number: the unit its format writes behind it, "" none
}

type sheet struct {
	name   string
	hidden bool
	rows   []row // those with anything in them, rising
	merges []rect

	hiddenRows map[int]bool
	hiddenCols []rect // only the columns count
	// turned: rows and columns are exchanged, so that a table with its headings
	// down the side reads like any other.
	turned bool

	written map[int]int // see lastWritten
	joined  *joinedRow  // of the row last asked for
}

// lastWritten is the number of the last row with a text in a column; 0: none.
func (s *sheet) lastWritten(col int) int {
	if s.written == nil {
		s.written = map[int]int{}
		for _, r := range s.rows {
			for i := range r.cells {
				if c := &r.cells[i]; c.kind == written {
					s.written[c.col] = r.n
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
		return "" // a name that stands on the tab
	}
	return refOf(col, row)
}

type row struct {
	n     int
	cells []cell // rising
}

// at returns the cell in a column; an empty one where there is none.
func (r row) at(col int) cell {
	for i := range r.cells {
		if c := &r.cells[i]; c.col >= col {
			if c.col == col {
				return *c
			}
			break
		}
	}
	return cell{row: r.n, col: col}
}

func (s *sheet) place(c cell) yard.Cell {
	return yard.Cell{Sheet: s.name, Ref: s.ref(c.col, c.row), Text: c.shown}
}

// merged returns the joined block a cell lies in.
func (s *sheet) merged(row, col int) (rect, bool) {
	if col > maxColumn { // of a turned sheet
		for _, m := range s.merges {
			if row >= m.row1 && row <= m.row2 && col >= m.col1 && col <= m.col2 {
				return m, true
			}
		}
		return rect{}, false
	}
	if len(s.merges) == 0 || col < 1 {
		return rect{}, false
	}
	if s.joined == nil || s.joined.row != row {
		s.joined = joinedIn(row, s.merges)
	}
	if k := s.joined.over[col]; k > 0 {
		return s.merges[k-1], true
	}
	return rect{}, false
}

// joinedRow says which block lies over each column of a row.
type joinedRow struct {
	row  int
	over [maxColumn + 1]int // one more than its index; 0: none
}

// joinedIn gives each column to the first block that lies over it: there may be
// thousands, one over the other.
func joinedIn(row int, merges []rect) *joinedRow {
	j := &joinedRow{row: row}
	var next [maxColumn + 2]int // towards the first column from here on that is free
	for c := range next {
		next[c] = c
	}
	free := func(c int) int {
		for next[c] != c {
			next[c] = next[next[c]]
			c = next[c]
		}
		return c
	}
	for k, m := range merges {
		if row < m.row1 || row > m.row2 || m.col1 > maxColumn {
			continue
		}
		for c := free(m.col1); c <= min(m.col2, maxColumn); c = free(c) {
			j.over[c], next[c] = k+1, c+1
		}
	}
	return j
}

var errorText = lazily(`^#(REF|N/A|VALUE|DIV/0|NAME|NUM|NULL|SPILL|CALC|BLOCKED|FIELD|BUSY|GETTING_DATA)[!?]?$`)

// readSheets turns what the preflight saw into cells.
func readSheets(data []byte, s *scan) ([]*sheet, error) {
	look := &looks{data: data, codes: map[string]formatCode{}, known: map[styled]string{}}
	defer look.close()
	var sheets []*sheet
	for _, ss := range s.sheets {
		sh := &sheet{name: ss.name, hidden: ss.hidden, merges: ss.merges, hiddenRows: ss.hiddenRows, hiddenCols: ss.hiddenCols}
		cells := make([]cell, 0, len(ss.cells)) // of all rows
		for i := range ss.cells {
			sc := &ss.cells[i]
			// What lies under a merge the user does not see either.
			if m, ok := sh.merged(sc.row, sc.col); ok && (m.row1 != sc.row || m.col1 != sc.col) {
				continue
			}
			c := readCell(ss.name, sc, s, look)
			if look.asked > mostFormatted {
				return nil, tooBig(fmt.Sprintf("the workbook has more than %d different numbers in formats of its own", mostFormatted))
			}
			if c.kind == empty {
				continue
			}
			if n := len(sh.rows); n == 0 || sh.rows[n-1].n != c.row {
				sh.rows = append(sh.rows, row{n: c.row})
			}
			cells = append(cells, c)
			r := &sh.rows[len(sh.rows)-1]
			n := len(cells) - len(r.cells) - 1
			r.cells = cells[n:len(cells):len(cells)]
		}
		if len(sh.rows) > 0 && sh.rows[0].cells[0].shown == correctionsTitle {
			continue // our own list in a copy that was sent back corrected
		}
		sheets = append(sheets, sh)
	}
	return sheets, nil
}

func readCell(sheetName string, sc *scannedCell, s *scan, look *looks) cell {
	c := cell{row: sc.row, col: sc.col, struck: sc.style < len(s.struck) && s.struck[sc.style]}
	if sc.isCalc && (!sc.hasValue || sc.value == "" && sc.typ != "str") {
		c.kind, c.shown = uncached, "="+sc.formula
		return c
	}
	text := sc.value
	switch {
	case sc.typ == "s" && sc.hasValue:
		text = s.strings[sc.text]
	case sc.typ == "inlineStr" || sc.typ == "str":
		text = unescape(text)
	}
	text = strings.TrimSpace(text)
	if text == "" {
		return c
	}
	c.shown = text
	switch sc.typ {
	case "b":
		c.kind, c.shown = boolean, "FALSE"
		if text == "1" || text == "true" {
			c.shown = "TRUE"
		}
		return c
	case "e":
		c.kind = wrong
		return c
	case "d":
		c.kind = written
		if t, err := ParseDate(text); err == nil {
			c.kind, c.day = dated, t
		}
		return c
	case "", "n":
	default:
		c.kind = written
		if errorText().MatchString(text) {
			c.kind = wrong
		}
		return c
	}
	v, ok := parseRawNumber(text)
	if !ok {
		c.kind = written // said to be a number, and none: the reader of the column will say so
		return c
	}
	c.kind, c.num = number, v
	c.shown = strconv.FormatFloat(v, 'f', -1, 64)
	code := ""
	if sc.style < len(s.formats) {
		code = s.formats[sc.style]
	}
	format := look.code(code)
	switch kind := format.kind; kind {
	case clockFormat, dateFormat, elapsedFormat:
		switch t, err := excelize.ExcelDateToTime(v, s.date1904); {
		case kind == elapsedFormat && v >= 0 && v < 10:
			c.kind, c.minute = elapsed, int(v*24*60+0.5)
			c.shown = fmt.Sprintf("%d:%02d", c.minute/60, c.minute%60)
		case v >= 0 && v < 1:
			c.kind, c.minute = clocked, int(v*24*60+0.5)%(24*60)
			c.shown = clock(c.minute)
		case err == nil && v >= 1 && t.Year() >= 1900 && t.Year() <= 2200:
			c.kind, c.day = dated, t.Truncate(24*time.Hour)
			c.shown = c.day.Format("2006-01-02")
		}
	case percentFormat:
		c.percent = true
		c.shown = look.shown(sheetName, sc, c.shown)
	case plainFormat:
		if code != "" && code != "#0" && code != "General" && code != "@" && code != "#49" {
			c.shown = look.shown(sheetName, sc, c.shown)
			c.unit = format.unit
		}
	}
	return c
}

// looks answers what cells look like. The spreadsheet library knows how a number
// format shows a number; it is asked only where the two differ, because it takes
// the whole sheet apart for it.
type looks struct {
	data  []byte
	codes map[string]formatCode
	file  *excelize.File
	tried bool
	known map[styled]string // the same amounts stand in many cells
	asked int
}

// styled is a number as it is stored, in one of the workbook's cell styles.
type styled struct {
	style int
	value string
}

// mostFormatted bounds how many numbers the library is asked for, none of them
// twice while it is remembered: it takes a hundredth of a millisecond for each.
const mostFormatted = 150_000

// formatCode is what a format code makes of a number.
type formatCode struct {
	kind format
	unit string // see unitOfFormat
}

func (l *looks) code(code string) formatCode {
	c, ok := l.codes[code]
	if !ok {
		c = formatCode{formatOf(code), unitOfFormat(code)}
		l.codes[code] = c
	}
	return c
}

func (l *looks) shown(sheetName string, sc *scannedCell, otherwise string) string {
	if !l.tried {
		l.tried = true
		f, err := excelize.OpenReader(bytes.NewReader(l.data), excelize.Options{UnzipSizeLimit: maxUnzipped + 1, UnzipXMLSizeLimit: maxUnzipped + 1})
		if f != nil {
			l.file = f
		}
		if err != nil {
			l.close()
		}
	}
	if l.file == nil {
		return otherwise
	}
	key := styled{sc.style, sc.value}
	seen, ok := l.known[key]
	if !ok {
		if l.asked++; l.asked > mostFormatted {
			return otherwise // the workbook is refused
		}
		if shown, err := l.file.GetCellValue(sheetName, refOf(sc.col, sc.row)); err == nil {
			seen = strings.TrimSpace(shown)
		}
		if len(l.known) >= mostRemembered {
			clear(l.known)
		}
		l.known[key] = seen
	}
	return cmp.Or(seen, otherwise)
}

func (l *looks) close() {
	if l.file != nil {
		l.file.Close()
		l.file = nil
	}
}

func clock(minute int) string { return fmt.Sprintf("%02d:%02d", minute/60, minute%60) }

// format is what a cell's number format makes of a number.
type format int

const (
	plainFormat format = iota
	dateFormat
	clockFormat
	elapsedFormat // hours that may pass 24: [h]:mm
	percentFormat
)

// formatOf says what a format code, or "#" and a built-in number, makes of a
// number. The built-in numbers are those of ECMA-376 part 1, 18.8.30; 27-36 and
// 50-58 are dates in East Asian versions.
func formatOf(code string) format {
	builtIn, ok := strings.CutPrefix(code, "#")
	n, err := strconv.Atoi(builtIn)
	if !ok || err != nil {
		return customFormat(code)
	}
	switch {
	case n == 9 || n == 10:
		return percentFormat
	case n >= 14 && n <= 17, n == 22, n >= 27 && n <= 31, n == 36, n >= 50 && n <= 58:
		return dateFormat
	case n == 46:
		return elapsedFormat
	case n >= 18 && n <= 21, n >= 32 && n <= 35, n >= 45 && n <= 47:
		return clockFormat
	}
	return plainFormat
}

var (
	quotedInFormat  = lazily(`"[^"]*"|\\.|_.|\*.`)
	elapsedInFormat = lazily(`(?i)\[(h+|m+|s+)\]`)
	bracketInFormat = lazily(`\[[^\]]*\]`)
	literalInFormat = lazily(`"([^"]*)"`)
)

func customFormat(code string) format {
	code, _, _ = strings.Cut(quotedInFormat().ReplaceAllString(code, ""), ";")
	bare := strings.ToLower(bracketInFormat().ReplaceAllString(elapsedInFormat().ReplaceAllString(code, "h"), ""))
	if strings.Contains(bare, "general") {
		return plainFormat
	}
	hours := strings.ContainsAny(bare, "hs")
	switch {
	case strings.ContainsAny(bare, "dy"), strings.Contains(bare, "m") && !hours:
		return dateFormat
	case hours && elapsedInFormat().MatchString(code):
		return elapsedFormat
	case hours:
		return clockFormat
	case strings.Contains(bare, "%"):
		return percentFormat
	}
	return plainFormat
}

// unitOfFormat finds a unit that the number format writes behind the number:
// 0.0" kg" shows 2.5 kg for 2.5.
func unitOfFormat(code string) string {
	code, _, _ = strings.Cut(code, ";")
	for _, m := range literalInFormat().FindAllStringSubmatch(code, -1) {
		w := strings.ToLower(strings.TrimSpace(m[1]))
		if u, ok := unitWords[w]; ok {
			return u
		}
	}
	return ""
}
