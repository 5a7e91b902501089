package ingest

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"
)

// The spreadsheet library drops errors on the way: a damaged workbook comes back
// shorter, without an error. So every byte is looked at here, with the standard
// library, a workbook with anything amiss is refused, and the values are taken
// from what was looked at. The limits keep a hostile file from filling the memory; they are far above
// what a yard's week needs.
const (
	maxParts     = 4000
	maxUnzipped  = 96 << 20
	maxPart      = 48 << 20
	maxHorses    = 10_000  // the plan and the sheets of each need a quarter of a megabyte
	maxRows      = 80_000  // rows with values, all sheets together: ten thousand horses take six or seven each
	maxCells     = 450_000 // cells with values, all sheets together: ten thousand horses take forty each
	maxColumn    = 256     // column IV
	maxCellText  = 32_767  // characters: Excel's own limit
	maxCellGrid  = 600_000 // cells the library lays out: a row costs its last column
	maxSheetRows = 1_048_576
	// The library moves all later rows for every row without a number, and
	// goes through all joined blocks for every cell.
	maxUnnumbered = 5_000
	maxMerges     = 2_000
	maxStyles     = 65_490 // Excel's own limit
	// A formula is kept to be quoted, no more of it than that.
	maxFormulaText = 200
	// Up to this many bytes unzipped the sheets are scanned side by side; in larger
	// workbooks one after the other, until there are too many cells.
	scannedAhead = 16 << 20
)

// scan is what the first look at a workbook found.
type scan struct {
	sheets   []scannedSheet
	strings  []string // the shared texts
	counted  int      // how many cells the shared texts say use them; -1: not said
	textual  int      // how many cells do
	headings int      // headings of tables, which XlsxWriter counts twice
	used     []bool   // which of the shared texts some cell uses
	formats  []string // number format of each cell style, as a format code
	struck   []bool   // whether it strikes the text through
	date1904 bool
}

type scannedSheet struct {
	name       string
	hidden     bool
	cells      []scannedCell // those with a value or a formula, in reading order
	merges     []rect
	hiddenRows map[int]bool // rows with something in them that are not shown
	hiddenCols []rect       // columns that are not shown; only the columns count
	textual    int          // cells that name a shared text
}

// sheetScan is what came of scanning a sheet.
type sheetScan struct {
	scannedSheet
	rows int
	err  error
}

type scannedCell struct {
	row, col int
	typ      string // attribute t
	style    int
	text     int    // which of the shared texts, if typ is "s" and there is a value
	value    string // content of <v>, or of the inline text
	formula  string // content of <f>
	hasValue bool
	isCalc   bool // there is an <f>
}

type rect struct{ row1, col1, row2, col2 int }

// tooBig is an error about size rather than damage.
type tooBig string

func (t tooBig) Error() string { return string(t) }

func readPart(f *zip.File, limit int64) ([]byte, error) {
	if f.UncompressedSize64 > uint64(limit) {
		return nil, tooBig("a part of the workbook is too large")
	}
	r, err := f.Open()
	if err != nil {
		return nil, err
	}
	defer r.Close()
	b, err := io.ReadAll(io.LimitReader(r, limit+1)) // to the end, so that the check sum is compared
	if err != nil {
		return nil, err
	}
	if int64(len(b)) > limit {
		return nil, tooBig("a part of the workbook is too large")
	}
	return b, nil
}

// preflight reads every part to its end and returns the cells that must come
// back when the workbook is read.
func preflight(data []byte) (*scan, error) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, err
	}
	if len(z.File) > maxParts {
		return nil, tooBig("the workbook has too many parts")
	}
	total := uint64(0)
	for _, f := range z.File {
		total += f.UncompressedSize64
		if f.UncompressedSize64 > maxPart || total > maxUnzipped {
			return nil, tooBig("the workbook is too large once unpacked")
		}
	}
	parts := map[string][]byte{}
	for _, f := range z.File {
		key := strings.ToLower(strings.ReplaceAll(f.Name, `\`, "/"))
		if strings.HasSuffix(key, "/") && f.UncompressedSize64 == 0 {
			continue // a folder
		}
		if !fs.ValidPath(key) || strings.Contains(key, ":") {
			return nil, fmt.Errorf("a part is called %q, which leads out of the workbook", f.Name)
		}
		if _, twice := parts[key]; twice {
			return nil, fmt.Errorf("two parts are called %s", f.Name)
		}
		b, err := readPart(f, maxPart)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", f.Name, err)
		}
		if !readsAsXML(key) {
			b = nil // its check sum has been compared; its content is not needed
		}
		parts[key] = b
	}
	for _, must := range []string{"[content_types].xml", "_rels/.rels", "xl/workbook.xml", "xl/_rels/workbook.xml.rels"} {
		b, ok := parts[must]
		if !ok {
			return nil, fmt.Errorf("the part %s is missing", must)
		}
		if err := wellFormed(b); err != nil {
			return nil, fmt.Errorf("%s: %w", must, err)
		}
	}
	s := &scan{counted: -1}
	types, err := contentTypes(parts["[content_types].xml"])
	if err != nil {
		return nil, err
	}
	if !strings.HasSuffix(types.of("xl/workbook.xml"), ".main+xml") {
		return nil, fmt.Errorf("the workbook part is said to be %q", types.of("xl/workbook.xml"))
	}
	rels, err := relations(parts["xl/_rels/workbook.xml.rels"])
	if err != nil {
		return nil, err
	}
	for _, r := range rels {
		b, ok := parts[r.part]
		if !ok {
			return nil, fmt.Errorf("the part %s is missing", r.part)
		}
		switch r.kind {
		case "sharedStrings", "styles", "worksheet":
			// A part given out as another kind is no writer's slip.
			if ct := types.of(r.part); !strings.HasSuffix(ct, "."+r.kind+"+xml") {
				return nil, fmt.Errorf("the part %s is said to be %q", r.part, ct)
			}
		}
		switch r.kind {
		case "sharedStrings":
			if r.part != "xl/sharedstrings.xml" || s.strings != nil {
				return nil, fmt.Errorf("the texts are in an unusual place, %s", r.part)
			}
			if s.strings, s.counted, err = sharedStrings(b); err != nil {
				return nil, fmt.Errorf("%s: %w", r.part, err)
			}
		case "styles":
			if s.formats, s.struck, err = cellStyles(b); err != nil {
				return nil, fmt.Errorf("%s: %w", r.part, err)
			}
		case "theme":
			if err := wellFormed(b); err != nil {
				return nil, fmt.Errorf("%s: %w", r.part, err)
			}
		}
	}
	s.used = make([]bool, len(s.strings))
	book, err := workbookPart(parts["xl/workbook.xml"])
	if err != nil {
		return nil, err
	}
	s.date1904 = book.date1904
	var sheets []bookSheet
	var scans []func() sheetScan
	for _, sh := range book.sheets {
		r, ok := rels[sh.rel]
		if !ok {
			return nil, fmt.Errorf("the sheet %q leads nowhere", sh.name)
		}
		if r.kind != "worksheet" {
			continue // a chart, a dialogue, a macro sheet
		}
		part := parts[r.part]
		sheets = append(sheets, sh)
		scans = append(scans, sync.OnceValue(func() (ss sheetScan) {
			ss.scannedSheet, ss.rows, ss.err = scanSheet(part, len(s.strings))
			return ss
		}))
	}
	if total <= scannedAhead {
		for _, scan := range scans {
			go func() {
				defer func() { recover() }() // whoever asks for the scan gets the panic
				scan()
			}()
		}
	}
	rows, cells := 0, 0
	for i, sh := range sheets {
		got := scans[i]()
		scans[i] = nil
		if got.err != nil {
			return nil, fmt.Errorf("sheet %q: %w", sh.name, got.err)
		}
		for _, c := range got.cells {
			if c.typ == "s" && c.hasValue {
				s.used[c.text] = true
			}
		}
		if rows += got.rows; rows > maxRows {
			return nil, tooBig(fmt.Sprintf("the workbook has more than %d rows with something in them", maxRows))
		}
		if cells += len(got.cells); cells > maxCells {
			return nil, tooBig(fmt.Sprintf("the workbook has more than %d cells with something in them", maxCells))
		}
		got.name, got.hidden = sh.name, sh.hidden
		s.textual += got.textual
		s.sheets = append(s.sheets, got.scannedSheet)
	}
	for name, b := range parts {
		if strings.HasPrefix(name, "xl/tables/") {
			s.headings += bytes.Count(b, []byte("<tableColumn "))
		}
	}
	return s, nil
}

func readsAsXML(part string) bool {
	return strings.HasSuffix(part, ".rels") || strings.HasSuffix(part, ".xml")
}

// tokens calls f for every token and fails on anything that is not strict XML
// to the last byte. Document types are refused: no spreadsheet program writes
// one, and entity bombs live there.
func tokens(b []byte, f func(xml.Token) error) error {
	d := xml.NewDecoder(bytes.NewReader(b))
	roots, depth := 0, 0
	for {
		t, err := d.Token()
		if err != nil {
			if !errors.Is(err, io.EOF) {
				return err
			}
			if roots != 1 {
				return errors.New("the part holds no single document")
			}
			return nil
		}
		switch t := t.(type) {
		case xml.Directive:
			return errors.New("the part holds a document type")
		case xml.StartElement:
			if depth == 0 {
				roots++
			}
			depth++
			if depth > 200 {
				return errors.New("the part is nested too deeply")
			}
			for i, a := range t.Attr { // the decoder lets an attribute stand twice
				for _, b := range t.Attr[:i] {
					if a.Name == b.Name {
						return fmt.Errorf("%s has two attributes %s", t.Name.Local, a.Name.Local)
					}
				}
			}
		case xml.EndElement:
			depth--
		case xml.CharData:
			if depth == 0 && len(bytes.TrimLeft(t, " \t\r\n\ufeff")) > 0 {
				return errors.New("the part has something outside its document")
			}
		}
		if f != nil {
			if err := f(t); err != nil {
				return err
			}
		}
	}
}

func wellFormed(b []byte) error { return tokens(b, nil) }

func attr(e xml.StartElement, local string) (string, bool) {
	for _, a := range e.Attr {
		if a.Name.Local == local && a.Name.Space != "xml" {
			return a.Value, true
		}
	}
	return "", false
}

type relation struct{ kind, part string }

func relations(b []byte) (map[string]relation, error) {
	rels := map[string]relation{}
	err := tokens(b, func(t xml.Token) error {
		e, ok := t.(xml.StartElement)
		if !ok || e.Name.Local != "Relationship" {
			return nil
		}
		if mode, _ := attr(e, "TargetMode"); mode == "External" {
			return nil
		}
		id, _ := attr(e, "Id")
		kind, _ := attr(e, "Type")
		target, _ := attr(e, "Target")
		if id == "" || target == "" {
			return errors.New("a part is named without an address")
		}
		target = strings.ReplaceAll(target, `\`, "/")
		if strings.HasPrefix(target, "/") {
			target = target[1:]
		} else {
			target = path.Join("xl", target)
		}
		rels[id] = relation{path.Base(kind), strings.ToLower(target)}
		return nil
	})
	return rels, err
}

type bookSheet struct {
	name, rel string
	hidden    bool
}

func workbookPart(b []byte) (book struct {
	sheets   []bookSheet
	date1904 bool
}, err error) {
	seen := map[string]bool{}
	err = tokens(b, func(t xml.Token) error {
		e, ok := t.(xml.StartElement)
		if !ok {
			return nil
		}
		switch e.Name.Local {
		case "workbookPr":
			v, _ := attr(e, "date1904")
			book.date1904 = v == "1" || v == "true"
		case "sheet":
			var s bookSheet
			s.name, _ = attr(e, "name")
			for _, a := range e.Attr {
				if a.Name.Local == "id" && a.Name.Space != "" {
					s.rel = a.Value
				}
			}
			state, _ := attr(e, "state")
			s.hidden = state == "hidden" || state == "veryHidden"
			if s.name == "" || seen[strings.ToLower(s.name)] {
				return fmt.Errorf("two sheets are called %q, or one has no name", s.name)
			}
			seen[strings.ToLower(s.name)] = true
			book.sheets = append(book.sheets, s)
		}
		return nil
	})
	return book, err
}

// types is what [Content_Types].xml says each part is.
type types struct{ byPart, byExt map[string]string }

func (t types) of(part string) string {
	if ct, ok := t.byPart[part]; ok {
		return ct
	}
	return t.byExt[strings.TrimPrefix(path.Ext(part), ".")]
}

func contentTypes(b []byte) (types, error) {
	ts := types{map[string]string{}, map[string]string{}}
	err := tokens(b, func(t xml.Token) error {
		e, ok := t.(xml.StartElement)
		if !ok {
			return nil
		}
		ct, _ := attr(e, "ContentType")
		switch e.Name.Local {
		case "Default":
			ext, _ := attr(e, "Extension")
			ts.byExt[strings.ToLower(ext)] = ct
		case "Override":
			part, _ := attr(e, "PartName")
			part = strings.ToLower(strings.TrimPrefix(part, "/"))
			if _, twice := ts.byPart[part]; twice {
				return fmt.Errorf("the part %s is described twice", part)
			}
			ts.byPart[part] = ct
		}
		return nil
	})
	return ts, err
}

// cellStyles returns the format code of each cell style, numFmtId looked up among
// the workbook's own codes, else "#" and the built-in number; and whether its font
// is struck through.
func cellStyles(b []byte) (all []string, struck []bool, err error) {
	own := map[string]string{}
	var fonts []bool
	inCells, inFonts := false, false
	err = tokens(b, func(t xml.Token) error {
		switch t := t.(type) {
		case xml.StartElement:
			switch t.Name.Local {
			case "numFmt":
				id, _ := attr(t, "numFmtId")
				own[id], _ = attr(t, "formatCode")
			case "fonts":
				inFonts = true
			case "font":
				if inFonts {
					fonts = append(fonts, false)
				}
			case "strike":
				if v, said := attr(t, "val"); inFonts && len(fonts) > 0 && (!said || v != "0" && v != "false") {
					fonts[len(fonts)-1] = true
				}
			case "cellXfs":
				inCells = true
			case "xf":
				if !inCells {
					return nil
				}
				id, _ := attr(t, "numFmtId")
				code, ok := own[id]
				if !ok {
					code = "#" + id
				}
				all = append(all, code)
				font, _ := attr(t, "fontId")
				n, err := strconv.Atoi(font)
				struck = append(struck, err == nil && n >= 0 && n < len(fonts) && fonts[n])
				if len(all) > maxStyles {
					return tooBig("the workbook has too many cell styles")
				}
			}
		case xml.EndElement:
			inCells = inCells && t.Name.Local != "cellXfs"
			inFonts = inFonts && t.Name.Local != "fonts"
		}
		return nil
	})
	return all, struck, err
}

// escaped is how a character that XML cannot hold stands in a text: _x000D_.
var escaped = lazily(`_x[0-9A-Fa-f]{4}_`)

func unescape(s string) string {
	if !strings.Contains(s, "_x") {
		return s
	}
	return escaped().ReplaceAllStringFunc(s, func(e string) string {
		n, err := strconv.ParseUint(e[2:6], 16, 16)
		if err != nil {
			return e
		}
		return string(rune(n))
	})
}

// sharedStrings returns the texts, and how often cells are said to use them.
func sharedStrings(b []byte) ([]string, int, error) {
	all, counted := []string{}, -1
	var text strings.Builder
	inText, phonetic := false, 0
	err := tokens(b, func(t xml.Token) error {
		switch t := t.(type) {
		case xml.StartElement:
			switch t.Name.Local {
			case "sst":
				if n, ok := attr(t, "count"); ok {
					if v, err := strconv.Atoi(n); err == nil {
						counted = v
					}
				}
			case "si":
				text.Reset()
			case "rPh":
				phonetic++
			case "t":
				inText = phonetic == 0
			}
		case xml.EndElement:
			switch t.Name.Local {
			case "si":
				if utf8.RuneCountInString(text.String()) > maxCellText {
					return tooBig("a text is longer than a cell can hold")
				}
				all = append(all, unescape(text.String()))
			case "rPh":
				phonetic--
			case "t":
				inText = false
			}
		case xml.CharData:
			if inText {
				text.Write(t)
			}
		}
		return nil
	})
	return all, counted, err
}

// scanSheet returns the cells that hold something, and the number of rows that
// do. Rows and cells must stand in rising order and where they say they stand.
// A cell may name one of so many texts.
func scanSheet(b []byte, texts int) (scannedSheet, int, error) {
	s := scannedSheet{hiddenRows: map[int]bool{}, cells: make([]scannedCell, 0, min(bytes.Count(b, []byte("<c ")), maxCells))}
	var stack []string
	var c scannedCell
	var text, formula strings.Builder
	rowHidden, blocks := false, 0
	row, col, rowsUsed, lastUsed, grid, unnumbered := 0, 0, 0, 0, 0, 0
	at := func(n int, name string) bool { return len(stack) == n && stack[n-1] == name }
	err := tokens(b, func(t xml.Token) error {
		switch t := t.(type) {
		case xml.StartElement:
			stack = append(stack, t.Name.Local)
			switch {
			case at(2, "sheetData"):
				if blocks++; blocks > 1 {
					return errors.New("a sheet has its rows twice")
				}
			case at(3, "col") && stack[1] == "cols":
				if hides(t) {
					first, _ := attr(t, "min")
					end, _ := attr(t, "max")
					a, err1 := strconv.Atoi(first)
					z, err2 := strconv.Atoi(end)
					if err1 == nil && err2 == nil {
						s.hiddenCols = append(s.hiddenCols, rect{col1: a, col2: z})
					}
				}
			case at(3, "row") && stack[1] == "sheetData":
				rowHidden = hides(t)
				next := row + 1
				if r, ok := attr(t, "r"); ok {
					n, err := strconv.Atoi(r)
					if err != nil || n < next || n > maxSheetRows {
						return fmt.Errorf("row %q stands behind row %d", r, row)
					}
					next = n
				} else if unnumbered++; unnumbered > maxUnnumbered {
					return tooBig("a sheet has too many rows without a number")
				}
				if next > maxSheetRows {
					return tooBig("a sheet has too many rows")
				}
				if grid++; grid > maxCellGrid {
					return tooBig("a sheet has too many rows and cells")
				}
				row, col = next, 0
			case at(4, "c") && stack[2] == "row":
				c = scannedCell{row: row, col: col + 1}
				if r, ok := attr(t, "r"); ok {
					cc, rr, ok := parseRef(r)
					if !ok || rr != row || cc <= col {
						return fmt.Errorf("cell %q stands in row %d behind column %d", r, row, col)
					}
					c.col = cc
				}
				grid += c.col - col
				col = c.col
				if grid > maxCellGrid {
					return tooBig("a sheet has too many cells")
				}
				c.typ, _ = attr(t, "t")
				if st, ok := attr(t, "s"); ok {
					n, err := strconv.Atoi(st)
					if err != nil || n < 0 {
						return fmt.Errorf("a cell has the format %q", st)
					}
					c.style = n
				}
			case at(5, "f") && stack[3] == "c":
				if c.isCalc {
					return errors.New("a cell has two formulas")
				}
				c.isCalc = true
				formula.Reset()
			case (at(5, "v") || at(5, "is")) && stack[3] == "c":
				if c.hasValue {
					return errors.New("a cell has two values")
				}
				c.hasValue = true
				text.Reset()
			case at(3, "mergeCell"):
				if ref, ok := attr(t, "ref"); ok {
					a, z, two := strings.Cut(ref, ":")
					c1, r1, ok1 := parseRef(a)
					c2, r2, ok2 := c1, r1, ok1
					if two {
						c2, r2, ok2 = parseRef(z)
					}
					if !ok1 || !ok2 {
						return fmt.Errorf("cells are joined as %q", ref)
					}
					if len(s.merges) == maxMerges {
						return tooBig("a sheet has too many joined cells")
					}
					s.merges = append(s.merges, rect{r1, c1, r2, c2})
				}
			}
		case xml.CharData:
			if at(5, "f") && formula.Len() < maxFormulaText {
				formula.Write(t)
			}
			if n := len(stack); n >= 5 && stack[3] == "c" && (n == 5 && stack[4] == "v" ||
				stack[4] == "is" && (n == 6 && stack[5] == "t" || n == 7 && stack[5] == "r" && stack[6] == "t")) {
				if text.Len()+len(t) > 4*maxCellText {
					return tooBig("a text is longer than a cell can hold")
				}
				text.Write(t)
			}
		case xml.EndElement:
			switch {
			case at(5, "f"):
				c.formula = formula.String()
			case at(5, "v") || at(5, "is"):
				if stack[3] == "c" {
					c.value = text.String()
					if utf8.RuneCountInString(c.value) > maxCellText {
						return tooBig("a text is longer than a cell can hold")
					}
				}
			case at(4, "c") && stack[2] == "row":
				if c.typ == "s" && c.hasValue {
					if n, err := strconv.Atoi(strings.TrimSpace(c.value)); err != nil || n < 0 || n >= texts {
						return fmt.Errorf("a cell names text %q of %d", c.value, texts)
					} else {
						c.text = n
					}
					s.textual++
				}
				if c.isCalc || c.hasValue && c.value != "" {
					if c.col > maxColumn {
						return tooBig(fmt.Sprintf("a sheet has something beyond column %d", maxColumn))
					}
					if rowHidden {
						s.hiddenRows[row] = true
					}
					if row != lastUsed {
						rowsUsed, lastUsed = rowsUsed+1, row
						if rowsUsed > maxRows {
							return tooBig(fmt.Sprintf("the workbook has more than %d rows with something in them", maxRows))
						}
					}
					if len(s.cells) == maxCells {
						return tooBig(fmt.Sprintf("the workbook has more than %d cells with something in them", maxCells))
					}
					s.cells = append(s.cells, c)
				}
			}
			stack = stack[:len(stack)-1]
		}
		return nil
	})
	return s, rowsUsed, err
}

func hides(e xml.StartElement) bool {
	v, _ := attr(e, "hidden")
	return v == "1" || v == "true"
}

// parseRef reads "B12" as column 2, row 12.
func parseRef(ref string) (col, row int, ok bool) {
	i := 0
	for i < len(ref) && ref[i] >= 'A' && ref[i] <= 'Z' && i < 3 {
		col = col*26 + int(ref[i]-'A') + 1
		i++
	}
	if i == 0 || i == len(ref) || col > 16384 || ref[i] == '0' || len(ref)-i > 7 {
		return 0, 0, false
	}
	for _, c := range ref[i:] {
		if c < '0' || c > '9' {
			return 0, 0, false
		}
		row = row*10 + int(c-'0')
	}
	return col, row, row <= maxSheetRows
}

// refOf is the inverse of parseRef.
func refOf(col, row int) string {
	s := ""
	for col > 0 {
		col--
		s = string(rune('A'+col%26)) + s
		col /= 26
	}
	return s + strconv.Itoa(row)
}
