package xlsx

import (
	"archive/zip"
	"bytes"
	"cmp"
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
)

// looks answers what cells look like. The spreadsheet library knows how a number
// format shows a number; it is asked only where the two differ, and once for all.
type looks struct {
	codes   map[string]format
	at      map[styled]int // where in numbers each stands: the same amounts are in many cells
	numbers []styled
	cells   []asked
}

// asked is a cell that looks like one of the numbers.
type asked struct {
	cell *Cell
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

func (l *looks) code(code string) format {
	f, ok := l.codes[code]
	if !ok {
		f = formatOf(code)
		l.codes[code] = f
	}
	return f
}

func (l *looks) ask(c *Cell, n styled) {
	at, ok := l.at[n]
	if !ok {
		at = len(l.numbers)
		l.at[n], l.numbers = at, append(l.numbers, n)
	}
	l.cells = append(l.cells, asked{c, at})
}

// show fills in what was asked for; where the library does not know, a number
// stays as it is there.
func (l *looks) show(s *scan) {
	if len(l.numbers) == 0 {
		return
	}
	f, err := excelize.OpenReader(bytes.NewReader(l.book(s)), excelize.Options{UnzipSizeLimit: 2*MaxUnzipped + 1, UnzipXMLSizeLimit: 2*MaxUnzipped + 1})
	if f != nil {
		defer f.Close()
	}
	if err != nil {
		return
	}
	shown := make([]string, len(l.numbers))
	for i := range shown {
		if text, err := f.GetCellValue(lookSheet, RefOf(1, i+1)); err == nil {
			shown[i] = strings.TrimSpace(text)
		}
	}
	for _, a := range l.cells {
		a.cell.Shown = cmp.Or(shown[a.at], a.cell.Shown)
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
