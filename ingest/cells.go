package ingest

import (
	"archive/zip"
	"bytes"
	"cmp"
	"encoding/xml"
	"fmt"
	"io"
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
	comments   map[[2]int]string
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
		return "" // a name that is on the tab
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
func readSheets(s *scan) ([]*sheet, error) {
	look := &looks{codes: map[string]formatCode{}, at: map[styled]int{}}
	var sheets []*sheet
	for _, ss := range s.sheets {
		sh := &sheet{name: ss.name, hidden: ss.hidden, merges: ss.merges, hiddenRows: ss.hiddenRows, hiddenCols: ss.hiddenCols, comments: ss.comments}
		cells := make([]cell, 0, len(ss.cells)) // of all rows
		for i := range ss.cells {
			sc := &ss.cells[i]
			// What lies under a merge the user does not see either.
			if m, ok := sh.merged(sc.row, sc.col); ok && (m.row1 != sc.row || m.col1 != sc.col) {
				continue
			}
			c, formatted := readCell(sc, s, look)
			if c.kind == empty {
				continue
			}
			if n := len(sh.rows); n == 0 || sh.rows[n-1].n != c.row {
				sh.rows = append(sh.rows, row{n: c.row})
			}
			cells = append(cells, c)
			if formatted {
				look.ask(&cells[len(cells)-1], styled{sc.style, sc.value})
				if n := len(look.numbers); n > mostFormatted {
					return nil, tooBig(yard.Say("part.large.numbers formatted", yard.Count("most", mostFormatted)))
				} else if n*s.ownFormats > mostFormatted*usualFormats {
					return nil, tooBig(yard.Say("part.large.numbers", yard.Count("most", n-1), yard.Count("formats", s.ownFormats)))
				}
			}
			r := &sh.rows[len(sh.rows)-1]
			n := len(cells) - len(r.cells) - 1
			r.cells = cells[n:len(cells):len(cells)]
		}
		if len(sh.rows) > 0 && sh.rows[0].cells[0].shown == correctionsTitle || len(sh.rows) > 0 && sh.rows[0].cells[0].shown == MovedTitle {
			continue // our own list in a copy that was sent back corrected, or moved on a week
		}
		sheets = append(sheets, sh)
	}
	look.show(s)
	return sheets, nil
}

// readCell takes a cell as it was saved. Formatted says that it is a number whose
// format shows it otherwise than it stands there.
func readCell(sc *scannedCell, s *scan, look *looks) (c cell, formatted bool) {
	c = cell{row: sc.row, col: sc.col, struck: sc.style < len(s.struck) && s.struck[sc.style]}
	if sc.isCalc && (!sc.hasValue || sc.value == "" && sc.typ != "str") {
		c.kind, c.shown = uncached, "="+sc.formula
		return c, false
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
		return c, false
	}
	c.shown = text
	switch sc.typ {
	case "b":
		c.kind, c.shown = boolean, "FALSE"
		if text == "1" || text == "true" {
			c.shown = "TRUE"
		}
		return c, false
	case "e":
		c.kind = wrong
		return c, false
	case "d":
		c.kind = written
		if t, err := ParseDate(text); err == nil {
			c.kind, c.day = dated, t
		}
		return c, false
	case "", "n":
	default:
		c.kind = written
		if errorText().MatchString(text) {
			c.kind = wrong
		}
		return c, false
	}
	v, ok := parseRawNumber(text)
	if !ok {
		c.kind = written // said to be a number, and none: the reader of the column will say so
		return c, false
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
		c.percent, formatted = true, true
	case plainFormat:
		if code != "" && code != "#0" && code != "General" && code != "@" && code != "#49" {
			c.unit, formatted = format.unit, true
		}
	}
	return c, formatted
}

// looks answers what cells look like. The spreadsheet library knows how a number
// format shows a number; it is asked only where the two differ, and once for all.
type looks struct {
	codes   map[string]formatCode
	at      map[styled]int // where in numbers each stands: the same amounts stand in many cells
	numbers []styled
	cells   []asked
}

// asked is a cell that looks like one of the numbers.
type asked struct {
	cell *cell
	at   int
}

// styled is a number as it is stored, in one of the workbook's cell styles.
type styled struct {
	style int
	value string
}

// mostFormatted bounds how many numbers the library is asked for: it takes a
// hundredth of a millisecond for each. It looks for the format of each among all
// of the workbook's own, so that fewer are asked for where there are more of those
// than usualFormats, many times what Excel lets a workbook have.
const (
	mostFormatted = 150_000
	usualFormats  = 2_000
)

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

func (l *looks) ask(c *cell, n styled) {
	at, ok := l.at[n]
	if !ok {
		at = len(l.numbers)
		l.at[n], l.numbers = at, append(l.numbers, n)
	}
	l.cells = append(l.cells, asked{c, at})
}

// show fills in what was asked for; where the library does not know, a number
// stays as it stands there.
func (l *looks) show(s *scan) {
	if len(l.numbers) == 0 {
		return
	}
	f, err := excelize.OpenReader(bytes.NewReader(l.book(s)), excelize.Options{UnzipSizeLimit: 2*maxUnzipped + 1, UnzipXMLSizeLimit: 2*maxUnzipped + 1})
	if f != nil {
		defer f.Close()
	}
	if err != nil {
		return
	}
	shown := make([]string, len(l.numbers))
	for i := range shown {
		if text, err := f.GetCellValue(lookSheet, refOf(1, i+1)); err == nil {
			shown[i] = strings.TrimSpace(text)
		}
	}
	for _, a := range l.cells {
		a.cell.shown = cmp.Or(shown[a.at], a.cell.shown)
	}
}

const lookSheet = "numbers"

// book is a workbook of the numbers alone, one under the other, in the styles of
// the one that is read: the library would take apart all of that for them.
func (l *looks) book(s *scan) []byte {
	const (
		head = `<?xml version="1.0" encoding="UTF-8"?>`
		main = `xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"`
		rels = `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">`
		rel  = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
		kind = "application/vnd.openxmlformats-officedocument.spreadsheetml."
	)
	var rows bytes.Buffer
	for i, n := range l.numbers {
		fmt.Fprintf(&rows, `<row r="%d"><c r="A%d" s="%d"><v>`, i+1, i+1, n.style)
		xml.EscapeText(&rows, []byte(n.value)) // a buffer takes everything
		rows.WriteString(`</v></c></row>`)
	}
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, part := range [][2]string{
		{"[Content_Types].xml", head + `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>` +
			`<Override PartName="/xl/workbook.xml" ContentType="` + kind + `sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="` + kind + `worksheet+xml"/><Override PartName="/xl/styles.xml" ContentType="` + kind + `styles+xml"/></Types>`},
		{"_rels/.rels", head + rels + `<Relationship Id="a" Type="` + rel + `/officeDocument" Target="xl/workbook.xml"/></Relationships>`},
		{"xl/workbook.xml", head + `<workbook ` + main + ` xmlns:r="` + rel + `"><workbookPr date1904="` + strconv.FormatBool(s.date1904) + `"/><sheets><sheet name="` + lookSheet + `" sheetId="1" r:id="a"/></sheets></workbook>`},
		{"xl/_rels/workbook.xml.rels", head + rels + `<Relationship Id="a" Type="` + rel + `/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="b" Type="` + rel + `/styles" Target="styles.xml"/></Relationships>`},
		{"xl/worksheets/sheet1.xml", head + `<worksheet ` + main + `><sheetData>` + rows.String() + `</sheetData></worksheet>`},
		{"xl/styles.xml", s.styles},
	} {
		if w, err := z.CreateHeader(&zip.FileHeader{Name: part[0], Method: zip.Store}); err == nil { // nor does a zip in a buffer fail
			io.WriteString(w, part[1])
		}
	}
	z.Close()
	return out.Bytes()
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
