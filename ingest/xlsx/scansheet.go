package xlsx

import (
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"hardfeed/ration/yard"
)

// scanSheet returns the cells of a sheet's part that hold something, and the number of
// rows that do. Rows and cells must stand in rising order and where they say they
// stand. A cell may name one of so many texts. What a cell, a row or the data of a
// sheet may not hold by the format (ECMA-376 part 1, 18.3.1) is damage: a value might
// stand in it.
func scanSheet(b string, texts int) (scannedSheet, int, error) {
	s := sheetScanner{texts: texts}
	s.out = scannedSheet{hiddenRows: map[int]bool{}, cells: make([]scannedCell, 0, min(strings.Count(b, "<c "), maxCells))}
	err := tokens(b, s.token)
	if err == nil && s.blocks == 0 && (s.elements > 1 || s.root != "worksheet") { // a tab with nothing at all in it is an empty one
		err = yard.Troubled(yard.Say("part.damage.no rows"))
	}
	return s.out, s.rowsUsed, err
}

// sheetScanner goes through the tokens of a sheet's part.
type sheetScanner struct {
	out   scannedSheet
	texts int      // how many shared texts there are
	stack []string // the elements that are open

	root       string
	elements   int // met
	blocks     int // of rows
	row, col   int // the last met
	rowHidden  bool
	unnumbered int // rows without a number
	grid       int // what the library would lay out
	rowsUsed   int // rows with something in them
	lastUsed   int

	cell    scannedCell
	text    strings.Builder // of its value
	formula strings.Builder
}

// at says whether so many elements are open, the last of that name.
func (s *sheetScanner) at(n int, name string) bool { return len(s.stack) == n && s.stack[n-1] == name }

func (s *sheetScanner) token(t *token) error {
	switch t.kind {
	case elementStart:
		s.stack = append(s.stack, t.name)
		if s.elements++; s.elements == 1 {
			s.root = t.name
		}
		return s.start(t)
	case charData:
		return s.chars(t.text)
	case elementEnd:
		err := s.end()
		s.stack = s.stack[:len(s.stack)-1]
		return err
	}
	return nil
}

func (s *sheetScanner) start(t *token) error {
	switch {
	case len(s.stack) < 2:
		return nil
	case s.stack[1] == "sheetData":
		return s.startInData(t)
	case s.at(3, "col") && s.stack[1] == "cols" && hides(t):
		s.hiddenColumns(t)
	case s.at(3, "mergeCell"):
		return s.joined(t)
	}
	return nil
}

// mayHold are the elements that may stand in one of the data of a sheet, by its
// parent's name; a parent that is not here may hold none.
var mayHold = map[string][]string{
	"sheetData": {"row"},
	"row":       {"c", "extLst"},
	"c":         {"f", "v", "is", "extLst"},
	"is":        {"t", "r", "rPh", "phoneticPr"},
	"r":         {"rPr", "t"},
	"rPh":       {"t"},
}

// startInData is an element in the rows of a sheet, or the data's own.
func (s *sheetScanner) startInData(t *token) error {
	n := len(s.stack)
	if n == 2 {
		if s.blocks++; s.blocks > 1 {
			return yard.Troubled(yard.Say("part.damage.rows"))
		}
		return nil
	}
	if slices.Contains(s.stack[2:n-1], "extLst") || slices.Contains(s.stack[2:n-1], "rPr") {
		return nil // how it looks, and what other programs keep
	}
	if parent := s.stack[n-2]; !slices.Contains(mayHold[parent], t.name) {
		return yard.Troubled(yard.Say("part.damage.element", stands("element", t.name), stands("parent", parent)))
	}
	switch t.name {
	case "row":
		return s.startRow(t)
	case "c":
		return s.startCell(t)
	case "f":
		if s.cell.isCalc {
			return yard.Troubled(yard.Say("part.damage.formulas"))
		}
		s.cell.isCalc = true
		s.formula.Reset()
	case "v", "is":
		if s.cell.hasValue {
			return yard.Troubled(yard.Say("part.damage.values"))
		}
		s.cell.hasValue = true
		s.text.Reset()
	}
	return nil
}

func (s *sheetScanner) startRow(t *token) error {
	s.rowHidden = hides(t)
	next := s.row + 1
	if r, ok := t.attr("r"); ok {
		n, err := strconv.Atoi(r)
		if err != nil || n < next || n > maxSheetRows {
			return yard.Troubled(yard.Say("part.damage.row", stands("row", r), yard.Count("after", s.row)))
		}
		next = n
	} else if s.unnumbered++; s.unnumbered > maxUnnumbered {
		return tooBig(yard.Say("part.large.rows unnumbered"))
	}
	if next > maxSheetRows {
		return tooBig(yard.Say("part.large.sheet rows"))
	}
	if s.grid++; s.grid > maxCellGrid {
		return tooBig(yard.Say("part.large.sheet rows and cells"))
	}
	s.row, s.col = next, 0
	return nil
}

// cellAttributes are those a cell has by the format; others, of other programs, have
// a name space before them.
var cellAttributes = []string{"r", "s", "t", "cm", "vm", "ph"}

func (s *sheetScanner) startCell(t *token) error {
	for _, a := range t.attrs {
		if a.Name.Space == "" && !slices.Contains(cellAttributes, a.Name.Local) && a.Name.Local != "xmlns" {
			return yard.Troubled(yard.Say("part.damage.attribute", stands("attribute", a.Name.Local)))
		}
	}
	c := scannedCell{row: s.row, col: s.col + 1}
	if r, ok := t.attr("r"); ok {
		col, row, ok := ParseRef(r)
		if strings.ToUpper(r) != r { // the spreadsheet library finds nothing in it
			return yard.Troubled(yard.Say("part.damage.small letters", stands("cell", r)))
		}
		if !ok || row != s.row || col <= s.col {
			return yard.Troubled(yard.Say("part.damage.cell", stands("cell", r), yard.Count("row", s.row), yard.Count("column", s.col)))
		}
		c.col = col
	}
	s.grid += c.col - s.col
	s.col = c.col
	if s.grid > maxCellGrid {
		return tooBig(yard.Say("part.large.sheet cells"))
	}
	c.typ, _ = t.attr("t")
	if st, ok := t.attr("s"); ok {
		n, err := strconv.Atoi(st)
		if err != nil || n < 0 {
			return yard.Troubled(yard.Say("part.damage.format", stands("format", st)))
		}
		c.style = n
	}
	s.cell = c
	return nil
}

func (s *sheetScanner) hiddenColumns(t *token) {
	first, _ := t.attr("min")
	end, _ := t.attr("max")
	a, err1 := strconv.Atoi(first)
	z, err2 := strconv.Atoi(end)
	if err1 == nil && err2 == nil {
		s.out.hiddenCols = append(s.out.hiddenCols, Rect{Col1: a, Col2: z})
	}
}

func (s *sheetScanner) joined(t *token) error {
	ref, ok := t.attr("ref")
	if !ok {
		return nil
	}
	a, z, two := strings.Cut(ref, ":")
	c1, r1, ok1 := ParseRef(a)
	c2, r2, ok2 := c1, r1, ok1
	if two {
		c2, r2, ok2 = ParseRef(z)
	}
	if !ok1 || !ok2 {
		return yard.Troubled(yard.Say("part.damage.joined", stands("cells", ref)))
	}
	if len(s.out.merges) == maxMerges {
		return tooBig(yard.Say("part.large.joined"))
	}
	s.out.merges = append(s.out.merges, Rect{r1, c1, r2, c2})
	return nil
}

func (s *sheetScanner) chars(text string) error {
	n := len(s.stack)
	if n < 5 || s.stack[3] != "c" {
		return nil
	}
	switch {
	case s.at(5, "f"):
		if s.formula.Len() < maxFormulaText {
			s.formula.WriteString(text)
		}
	case s.at(5, "v"), s.stack[4] == "is" && (s.at(6, "t") || s.at(7, "t") && s.stack[5] == "r"):
		if s.text.Len()+len(text) > 4*MaxCellText {
			return tooBig(yard.Say("part.large.text"))
		}
		s.text.WriteString(text)
	}
	return nil
}

func (s *sheetScanner) end() error {
	if len(s.stack) < 4 || s.stack[3] != "c" || s.stack[2] != "row" {
		return nil
	}
	switch {
	case s.at(5, "f"):
		s.cell.formula = s.formula.String()
	case s.at(5, "v") || s.at(5, "is"):
		s.cell.value = s.text.String()
		if utf8.RuneCountInString(s.cell.value) > MaxCellText {
			return tooBig(yard.Say("part.large.text"))
		}
	case s.at(4, "c"):
		return s.endCell()
	}
	return nil
}

// endCell keeps a cell that holds something.
func (s *sheetScanner) endCell() error {
	c := s.cell
	if c.typ == "s" && c.hasValue {
		n, err := strconv.Atoi(strings.TrimSpace(c.value))
		if err != nil || n < 0 || n >= s.texts {
			return yard.Troubled(yard.Say("part.damage.text", stands("text", c.value), yard.Count("of", s.texts)))
		}
		c.text = n
		s.out.textual++
	}
	if !c.isCalc && (!c.hasValue || c.value == "") {
		if c.style > 0 && c.col <= MaxColumn && len(s.out.filled) < mostFilled {
			s.out.filled = append(s.out.filled, filled{c.row, c.col, c.style})
		}
		return nil
	}
	if c.col > MaxColumn {
		return tooBig(yard.Say("part.large.column", yard.Count("column", MaxColumn)))
	}
	if s.rowHidden {
		s.out.hiddenRows[s.row] = true
	}
	if s.row != s.lastUsed {
		s.rowsUsed, s.lastUsed = s.rowsUsed+1, s.row
		if s.rowsUsed > maxRows {
			return tooBig(yard.Say("part.large.rows", yard.Count("most", maxRows)))
		}
	}
	if len(s.out.cells) == maxCells {
		return tooBig(yard.Say("part.large.cells", yard.Count("most", maxCells)))
	}
	s.out.cells = append(s.out.cells, c)
	return nil
}

func hides(e *token) bool {
	v, _ := e.attr("hidden")
	return v == "1" || v == "true"
}
