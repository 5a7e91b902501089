package xlsx

import (
	"archive/zip"
	"bytes"
	"io"
	"io/fs"
	"path"
	"strconv"
	"strings"
	"sync"
	"time"
	"unicode/utf8"

	"hardfeed/ration/yard"
)

// The spreadsheet library drops errors on the way: a damaged workbook comes back
// shorter, without an error. So every byte is looked at here, with the standard
// library, a workbook with anything amiss is refused, and the values are taken from
// what was looked at. The limits keep a hostile file from filling the memory; they
// are far above what a yard's week needs.
const (
	MaxParts     = 4000
	MaxUnzipped  = 96 << 20
	maxPart      = 48 << 20
	maxRows      = 80_000  // rows with values, all sheets together: ten thousand horses take six or seven each
	maxCells     = 450_000 // cells with values, all sheets together: ten thousand horses take forty each
	MaxColumn    = 256     // column IV
	MaxCellText  = 32_767  // characters: Excel's own limit
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
	sheets     []scannedSheet
	strings    []string // the shared texts
	counted    int      // how many cells the shared texts say use them; -1: not said
	textual    int      // how many cells do
	headings   int      // headings of tables, which XlsxWriter counts twice
	used       []bool   // which of the shared texts some cell uses
	styles     string   // the part with the cell styles
	formats    []string // number format of each cell style, as a format code
	ownFormats int      // how many format codes the workbook has of its own
	struck     []bool   // whether it strikes the text through
	fills      []string // the colour it fills a cell with; nil: none does
	date1904   bool
	saved      time.Time // when the workbook was last saved, as it says; zero: it does not
	ours       bool      // it says that it is a result of this program
}

type scannedSheet struct {
	name       string
	hidden     bool
	cells      []scannedCell // those with a value or a formula, in reading order
	merges     []Rect
	hiddenRows map[int]bool      // rows with something in them that are not shown
	hiddenCols []Rect            // columns that are not shown; only the columns count
	textual    int               // cells that name a shared text
	comments   map[[2]int]string // hung on cells, by row and column
	filled     []filled          // empty cells that may have a colour
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

type Rect struct{ Row1, Col1, Row2, Col2 int }

// tooBig is an error about size rather than damage.
type tooBig yard.Saying

func (t tooBig) Error() string { return yard.Saying(t).String() }

// Told is of what there is too much.
func (t tooBig) Told() yard.Saying { return yard.Saying(t) }

// inPart says in which part of the file a fault is; one of size, or one known by its
// kind, stays what it is.
func inPart(part string, err error) error {
	if odd := oddity(err); !odd.Empty() {
		return &yard.Trouble{Saying: yard.Say("part.damage.in", stands("part", part), yard.Said("why", odd)), Cause: err}
	}
	return &yard.Trouble{Saying: yard.Say("part.damage.part", stands("part", part)), Cause: err}
}

// readPart unpacks a part to its end, so that the check sum is compared.
func readPart(f *zip.File, limit int64) (string, error) {
	if f.UncompressedSize64 > uint64(limit) {
		return "", tooBig(yard.Say("part.large.part"))
	}
	r, err := f.Open()
	if err != nil {
		return "", err
	}
	defer r.Close()
	var b strings.Builder
	b.Grow(int(f.UncompressedSize64))
	if _, err := io.Copy(&b, io.LimitReader(r, limit+1)); err != nil {
		return "", err
	}
	if int64(b.Len()) > limit {
		return "", tooBig(yard.Say("part.large.part"))
	}
	return b.String(), nil
}

// preflight reads every part to its end and returns the cells that must come
// back when the workbook is read.
func preflight(data []byte) (*scan, error) {
	parts, total, err := unzipped(data)
	if err != nil {
		return nil, err
	}
	for _, must := range []string{"[content_types].xml", "_rels/.rels", "xl/workbook.xml", "xl/_rels/workbook.xml.rels"} {
		b, ok := parts[must]
		if !ok {
			return nil, yard.Troubled(yard.Say("part.damage.missing", stands("part", must)))
		}
		if err := wellFormed(b); err != nil {
			return nil, inPart(must, err)
		}
	}
	types, err := contentTypes(parts["[content_types].xml"])
	if err != nil {
		return nil, err
	}
	if !strings.HasSuffix(types.of("xl/workbook.xml"), ".main+xml") {
		return nil, yard.Troubled(yard.Say("part.damage.book kind", stands("kind", types.of("xl/workbook.xml"))))
	}
	rels, err := relations(parts["xl/_rels/workbook.xml.rels"])
	if err != nil {
		return nil, err
	}
	s := &scan{counted: -1}
	for _, r := range rels {
		if err := s.related(r, parts, types); err != nil {
			return nil, err
		}
	}
	s.used = make([]bool, len(s.strings))
	book, err := workbookPart(parts["xl/workbook.xml"])
	if err != nil {
		return nil, err
	}
	s.date1904 = book.date1904
	if err := s.scanSheets(book.sheets, parts, rels, total <= scannedAhead); err != nil {
		return nil, err
	}
	s.saved, s.ours = savedOn(parts["docprops/core.xml"]), isResult(parts["docprops/core.xml"])
	for name, b := range parts {
		if strings.HasPrefix(name, "xl/tables/") {
			s.headings += strings.Count(b, "<tableColumn ")
		}
	}
	return s, nil
}

// unzipped are the parts of a workbook by their names in small letters, and how many
// bytes all have; of those that are no XML only that they are whole.
func unzipped(data []byte) (parts map[string]string, total uint64, err error) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, 0, err
	}
	if len(z.File) > MaxParts {
		return nil, 0, tooBig(yard.Say("part.large.parts"))
	}
	for _, f := range z.File {
		total += f.UncompressedSize64
		if f.UncompressedSize64 > maxPart || total > MaxUnzipped {
			return nil, 0, tooBig(yard.Say("part.large.unpacked"))
		}
	}
	parts = map[string]string{}
	for _, f := range z.File {
		key := strings.ToLower(strings.ReplaceAll(f.Name, `\`, "/"))
		if strings.HasSuffix(key, "/") && f.UncompressedSize64 == 0 {
			continue // a folder
		}
		if !fs.ValidPath(key) || strings.Contains(key, ":") {
			return nil, 0, yard.Troubled(yard.Say("part.damage.path", stands("part", f.Name)))
		}
		if _, twice := parts[key]; twice {
			return nil, 0, yard.Troubled(yard.Say("part.damage.twice", stands("part", f.Name)))
		}
		b, err := readPart(f, maxPart)
		if err != nil {
			return nil, 0, inPart(f.Name, err)
		}
		if !IsXML(key) {
			b = "" // its check sum has been compared; its content is not needed
		}
		parts[key] = b
	}
	return parts, total, nil
}

// related takes the texts and the styles from the part a workbook names, and sees that
// it has the parts that hold values, each of the kind it is given out as.
func (s *scan) related(r relation, parts map[string]string, types types) (err error) {
	b, ok := parts[r.part]
	switch r.kind {
	case "sharedStrings", "styles", "worksheet":
		if !ok {
			return yard.Troubled(yard.Say("part.damage.missing", stands("part", r.part)))
		}
		// A part given out as another kind is not a writer's slip; one of no kind is.
		if ct := types.of(r.part); !strings.HasSuffix(ct, "."+r.kind+"+xml") && ct != anyXML {
			return yard.Troubled(yard.Say("part.damage.kind", stands("part", r.part), stands("kind", ct)))
		}
	}
	if !ok {
		return nil // no cell's value is in it
	}
	switch r.kind {
	case "sharedStrings":
		if r.part != "xl/sharedstrings.xml" || s.strings != nil {
			return yard.Troubled(yard.Say("part.damage.texts", stands("part", r.part)))
		}
		s.strings, s.counted, err = sharedStrings(b)
	case "styles":
		s.styles = b
		if s.formats, s.struck, s.ownFormats, err = cellStyles(b); err == nil {
			s.fills, err = cellFills(b)
		}
	case "theme":
		err = wellFormed(b)
	}
	if err != nil {
		return inPart(r.part, err)
	}
	return nil
}

// scanSheets scans the sheets, side by side where they are not too large for that, and
// keeps them in their order.
func (s *scan) scanSheets(all []bookSheet, parts map[string]string, rels map[string]relation, sideBySide bool) error {
	var sheets []bookSheet
	var scans []func() sheetScan
	for _, sh := range all {
		r, ok := rels[sh.rel]
		if !ok {
			return yard.Troubled(yard.Say("part.damage.sheet", stands("sheet", sh.name)))
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
	if sideBySide {
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
			return inPart(sh.name, got.err)
		}
		if rows += got.rows; rows > maxRows {
			return tooBig(yard.Say("part.large.rows", yard.Count("most", maxRows)))
		}
		if cells += len(got.cells); cells > maxCells {
			return tooBig(yard.Say("part.large.cells", yard.Count("most", maxCells)))
		}
		s.take(got.scannedSheet, sh, CommentsOf(parts, rels[sh.rel].part, mostComment))
	}
	return nil
}

// take keeps a sheet, and which texts its cells use.
func (s *scan) take(got scannedSheet, sh bookSheet, comments map[[2]int]string) {
	for _, c := range got.cells {
		if c.typ == "s" && c.hasValue {
			s.used[c.text] = true
		}
	}
	got.name, got.hidden, got.comments = sh.name, sh.hidden, comments
	s.textual += got.textual
	s.sheets = append(s.sheets, got)
}

func IsXML(part string) bool {
	return strings.HasSuffix(part, ".rels") || strings.HasSuffix(part, ".xml")
}

type relation struct{ kind, part string }

func relations(b string) (map[string]relation, error) {
	rels := map[string]relation{}
	err := tokens(b, func(e *token) error {
		if e.kind != elementStart || e.name != "Relationship" {
			return nil
		}
		if mode, _ := e.attr("TargetMode"); mode == "External" {
			return nil
		}
		id, _ := e.attr("Id")
		kind, _ := e.attr("Type")
		target, _ := e.attr("Target")
		if id == "" || target == "" {
			return yard.Troubled(yard.Say("part.damage.address"))
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

func workbookPart(b string) (book struct {
	sheets   []bookSheet
	date1904 bool
}, err error) {
	seen := map[string]bool{}
	err = tokens(b, func(e *token) error {
		if e.kind != elementStart {
			return nil
		}
		switch e.name {
		case "workbookPr":
			v, _ := e.attr("date1904")
			book.date1904 = v == "1" || v == "true"
		case "sheet":
			var s bookSheet
			s.name, _ = e.attr("name")
			for _, a := range e.attrs {
				if a.Name.Local == "id" && a.Name.Space != "" {
					s.rel = a.Value
				}
			}
			state, _ := e.attr("state")
			s.hidden = state == "hidden" || state == "veryHidden"
			if s.name == "" || seen[strings.ToLower(s.name)] {
				return yard.Troubled(yard.Say("part.damage.sheet name", stands("sheet", s.name)))
			}
			seen[strings.ToLower(s.name)] = true
			book.sheets = append(book.sheets, s)
		}
		return nil
	})
	return book, err
}

// SheetPart is a sheet and the part of the workbook it is kept in.
type SheetPart struct{ Name, Part string }

// SheetParts are the sheets of a workbook, by its parts by their names in small letters.
func SheetParts(parts map[string]string) ([]SheetPart, error) {
	rels, err := relations(parts["xl/_rels/workbook.xml.rels"])
	if err != nil {
		return nil, err
	}
	book, err := workbookPart(parts["xl/workbook.xml"])
	if err != nil {
		return nil, err
	}
	var all []SheetPart
	for _, s := range book.sheets {
		all = append(all, SheetPart{s.name, rels[s.rel].part})
	}
	return all, nil
}

// anyXML is what a package says of a part of which it says nothing but that it is XML.
const anyXML = "application/xml"

// types is what [Content_Types].xml says each part is.
type types struct{ byPart, byExt map[string]string }

func (t types) of(part string) string {
	if ct, ok := t.byPart[part]; ok {
		return ct
	}
	return t.byExt[strings.TrimPrefix(path.Ext(part), ".")]
}

func contentTypes(b string) (types, error) {
	ts := types{map[string]string{}, map[string]string{}}
	err := tokens(b, func(e *token) error {
		if e.kind != elementStart {
			return nil
		}
		ct, _ := e.attr("ContentType")
		switch e.name {
		case "Default":
			ext, _ := e.attr("Extension")
			ts.byExt[strings.ToLower(ext)] = ct
		case "Override":
			part, _ := e.attr("PartName")
			part = strings.ToLower(strings.TrimPrefix(part, "/"))
			if _, twice := ts.byPart[part]; twice {
				return yard.Troubled(yard.Say("part.damage.described", stands("part", part)))
			}
			ts.byPart[part] = ct
		}
		return nil
	})
	return ts, err
}

// cellStyles returns the format code of each cell style, numFmtId looked up among
// the workbook's own codes, else "#" and the built-in number; and whether its font
// is struck through. Own is how many codes the workbook has.
func cellStyles(b string) (all []string, struck []bool, own int, err error) {
	codes := map[string]string{}
	var fonts []bool
	inCells, inFonts := false, false
	err = tokens(b, func(t *token) error {
		switch t.kind {
		case elementStart:
			switch t.name {
			case "numFmt":
				id, _ := t.attr("numFmtId")
				codes[id], _ = t.attr("formatCode")
				own++
			case "fonts":
				inFonts = true
			case "font":
				if inFonts {
					fonts = append(fonts, false)
				}
			case "strike":
				if v, said := t.attr("val"); inFonts && len(fonts) > 0 && (!said || v != "0" && v != "false") {
					fonts[len(fonts)-1] = true
				}
			case "cellXfs":
				inCells = true
			case "xf":
				if !inCells {
					return nil
				}
				id, _ := t.attr("numFmtId")
				code, ok := codes[id]
				if !ok {
					code = "#" + id
				}
				all = append(all, code)
				font, _ := t.attr("fontId")
				n, err := strconv.Atoi(font)
				struck = append(struck, err == nil && n >= 0 && n < len(fonts) && fonts[n])
				if len(all) > maxStyles {
					return tooBig(yard.Say("part.large.styles"))
				}
			}
		case elementEnd:
			inCells = inCells && t.name != "cellXfs"
			inFonts = inFonts && t.name != "fonts"
		}
		return nil
	})
	return all, struck, own, err
}

// escaped is how a character that XML cannot hold is in a text: _x000D_.
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
func sharedStrings(b string) ([]string, int, error) {
	all, counted := []string{}, -1
	var text strings.Builder
	inText, phonetic := false, 0
	others := 0 // open elements of how the text looks, and of other programs
	err := tokens(b, func(t *token) error {
		switch t.kind {
		case elementStart:
			if others > 0 {
				others++
				return nil
			}
			switch t.name {
			case "rPr", "extLst":
				others++
			case "r", "phoneticPr":
			case "sst":
				if n, ok := t.attr("count"); ok {
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
			default: // a text might be in it
				return yard.Troubled(yard.Say("part.damage.element", stands("element", t.name), stands("parent", "sst")))
			}
		case elementEnd:
			if others > 0 {
				others--
				return nil
			}
			switch t.name {
			case "si":
				if utf8.RuneCountInString(text.String()) > MaxCellText {
					return tooBig(yard.Say("part.large.text"))
				}
				all = append(all, unescape(text.String()))
			case "rPh":
				phonetic--
			case "t":
				inText = false
			}
		case charData:
			if inText {
				text.WriteString(t.text)
			}
		}
		return nil
	})
	return all, counted, err
}
