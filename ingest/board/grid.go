package board

import (
	"iter"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Kind says what a cell holds.
type Kind int

// The kinds of cells.
const (
	Empty    Kind = iota
	Number        // a number
	Text          // text
	Boolean       // TRUE or FALSE
	Wrong         // an error value such as #REF!
	Uncached      // a formula whose result was not saved
	Date          // a date
	Clock         // a time of day
	Elapsed       // hours and minutes, such as 1:15
)

// Cell is a cell of a sheet as its reader sees it.
type Cell struct {
	Row, Col int
	Kind     Kind
	Text     string // as shown
	Num      float64
	Day      time.Time // of a Date
	Minute   int       // of a Clock or Elapsed
	Percent  bool
	Struck   bool
	Unit     string // that the number's format writes behind it

	read    *reading // what its text says; nil: not asked yet
	heading verdict  // whether it reads as a heading
	fate    fate     // what became of it
}

// Rect is a block of joined cells.
type Rect struct{ Row1, Col1, Row2, Col2 int }

// Sheet is one tab of the workbook.
type Sheet struct {
	Name       string
	Hidden     bool
	Cells      []Cell // those with anything in them, in reading order
	Joined     []Rect
	HiddenRows map[int]bool
	HiddenCols map[int]bool
	Comments   map[[2]int]string // hung on cells, by row and column
	Fills      map[[2]int]string // the colours of cells, by row and column
}

// grid is a sheet to look things up in. Turned, its rows and columns are exchanged.
type grid struct {
	page   *sheetData
	turned bool
}

type sheetData struct {
	Sheet
	rows, cols map[int][]*Cell
	near       [][]*Cell       // the first rows once more, by their numbers: no more of them than cells
	span       map[[2]int]Rect // of the first cell of a joined block
	under      map[[2]int]Rect // of every cell of one
	plain      map[int]int     // the first column of each row with a text without figures; nil: not looked for
	lastRow    int
	dayTab     int    // 1 Monday to 7 Sunday where its tab is called by a day
	unit       string // all amounts on it are in
	bareWork   string // numbers of work are in
	when       when   // it is of what is fed now, or planned
	lastCol    int
	marked     []*Cell      // those of which something was made, in that order
	trying     bool         // what becomes of cells is taken back
	before     []fateBefore // what became of them before
	blank      bool         // a template: nothing in it is of a week
	rel        int          // -1 last week, 0 this, 1 next by its tab; noRel else
}

func newSheet(s Sheet) *sheetData {
	d := &sheetData{Sheet: s, rows: map[int][]*Cell{}, cols: map[int][]*Cell{}, span: map[[2]int]Rect{}, under: map[[2]int]Rect{}}
	byRow, first := make([]*Cell, len(s.Cells)), 0
	for i := range s.Cells {
		c := &s.Cells[i]
		c.read, c.heading, c.fate = nil, unasked, fate{} // of another reading
		byRow[i] = c
		if c.Row != byRow[first].Row {
			d.addRow(byRow[first:i:i])
			first = i
		}
		d.cols[c.Col] = append(d.cols[c.Col], c)
		d.lastRow, d.lastCol = max(d.lastRow, c.Row), max(d.lastCol, c.Col)
	}
	d.addRow(byRow[first:])
	d.near = make([][]*Cell, min(d.lastRow, len(s.Cells))+1)
	for r := range d.near {
		d.near[r] = d.rows[r]
	}
	cells := 0
	for _, m := range s.Joined {
		if cells += (m.Row2 - m.Row1 + 1) * (m.Col2 - m.Col1 + 1); cells > 200_000 {
			break // nobody joins so many
		}
		d.span[[2]int{m.Row1, m.Col1}] = m
		for r := m.Row1; r <= m.Row2; r++ {
			for c := m.Col1; c <= m.Col2; c++ {
				d.under[[2]int{r, c}] = m
			}
		}
	}
	return d
}

// row is what stands in a row, from left to right.
func (g grid) row(r int) []*Cell {
	if g.turned {
		return g.page.cols[r]
	}
	return g.page.inRow(r)
}

// addRow adds cells of a row, from left to right.
func (d *sheetData) addRow(cells []*Cell) {
	if len(cells) == 0 {
		return
	}
	r := cells[0].Row
	if before := d.rows[r]; before != nil {
		cells = append(before, cells...)
	}
	d.rows[r] = cells
}

// inRow is what stands in a row of the sheet.
func (d *sheetData) inRow(r int) []*Cell {
	if r >= 0 && r < len(d.near) {
		return d.near[r]
	}
	return d.rows[r]
}

// column is what stands in a column, from the top.
func (g grid) column(c int) []*Cell { return grid{g.page, !g.turned}.row(c) }

// stretch are those of a row's or a column's cells that stand from one place of it to
// another.
func stretch(cells []*Cell, from, to int, place func(*Cell) int) []*Cell {
	by := func(c *Cell, at int) int { return place(c) - at }
	first, _ := slices.BinarySearchFunc(cells, from, by)
	n, _ := slices.BinarySearchFunc(cells[first:], to+1, by)
	return cells[first : first+n]
}

// freeOf are those of some cells nothing has been made of.
func freeOf(cells []*Cell) []*Cell {
	taken := func(c *Cell) bool { return !c.free() }
	if !slices.ContainsFunc(cells, taken) {
		return cells
	}
	return slices.DeleteFunc(slices.Clone(cells), taken)
}

// down goes down a column from one row to the row before another: each row with what
// is there, nil where nothing does.
func (g grid) down(c, from, to int) iter.Seq2[int, *Cell] {
	return func(yield func(int, *Cell) bool) {
		cells := g.column(c)
		next, _ := slices.BinarySearchFunc(cells, from, func(x *Cell, row int) int { return g.rowOf(x) - row })
		for r := from; r < to; r++ {
			var x *Cell
			if next < len(cells) && g.rowOf(cells[next]) == r {
				x, next = cells[next], next+1
			}
			if !yield(r, x) {
				return
			}
		}
	}
}

func (g grid) at(r, c int) *Cell {
	if g.turned {
		r, c = c, r
	}
	return g.page.cell(r, c)
}

// cell is what is at a place; nil: nothing.
func (d *sheetData) cell(row, col int) *Cell {
	cells := d.inRow(row)
	if len(cells) == 0 {
		return nil
	}
	// Where none is left out, the place in the row is known; else it is less.
	for i := min(col-cells[0].Col, len(cells)-1); i >= 0 && cells[i].Col >= col; i-- {
		if cells[i].Col == col {
			return cells[i]
		}
	}
	return nil
}

// colOf is a cell's column in this view.
func (g grid) colOf(c *Cell) int {
	if g.turned {
		return c.Row
	}
	return c.Col
}

// rowOf is a cell's row in this view.
func (g grid) rowOf(c *Cell) int {
	if g.turned {
		return c.Col
	}
	return c.Row
}

// joined is the block a place lies in, in this view.
func (g grid) joined(r, c int) (Rect, bool) {
	if g.turned {
		r, c = c, r
	}
	m, ok := g.page.under[[2]int{r, c}]
	if ok && g.turned {
		m = Rect{m.Col1, m.Row1, m.Col2, m.Row2}
	}
	return m, ok
}

// over is the cell that is seen at a place: its own, or that of the block it lies in.
func (g grid) over(r, c int) *Cell {
	if x := g.at(r, c); x != nil {
		return x
	}
	if m, ok := g.joined(r, c); ok {
		return g.at(m.Row1, m.Col1)
	}
	return nil
}

// Ref is a cell's address.
func (c *Cell) Ref() string { return refOf(c.Col, c.Row) }

func refOf(col, row int) string {
	var letters [8]byte
	i := len(letters)
	for col > 0 {
		col--
		i--
		letters[i] = byte('A' + col%26)
		col /= 26
	}
	return string(letters[i:]) + strconv.Itoa(row)
}

// written says whether a cell holds text.
func (c *Cell) written() bool { return c != nil && c.Kind == Text }

// dash says whether a cell says "nothing": a dash, or dots.
func dash(text string) bool {
	return text != "" && strings.Trim(text, "-–—−.·/ _") == ""
}

// ditto says whether a cell repeats the one above.
func ditto(text string) bool {
	switch strings.TrimSpace(text) {
	case `"`, "''", "”", "“", "„", "〃", `" "`, "″", "´´", "``", "-\"-", "-”-", "–\"–":
		return true
	}
	return false
}

// taken says whether something was made of a cell other than a title, which may be a
// heading too.
func (c *Cell) taken() bool { return c.fate.what != "" && c.fate.what != "title" }

// fate is what became of a cell; "" nothing yet.
type fate struct {
	what string // "used", "label", "name", "legend", "decoration", …
	why  string
}

// mark says what became of a cell; the first word on it stands.
func (d *sheetData) mark(c *Cell, what, why string) {
	if c != nil && c.free() {
		d.remark(c, what, why)
	}
}

// remark puts another fate in place of one.
func (d *sheetData) remark(c *Cell, what, why string) {
	if c == nil {
		return
	}
	if d.trying {
		d.before = append(d.before, fateBefore{c, c.fate})
	}
	c.fate = fate{what, why}
	d.marked = append(d.marked, c)
}

// fateBefore is what had become of a cell before something was tried.
type fateBefore struct {
	cell *Cell
	fate fate
}

// try does something, and takes back what it made of cells. It is asked of thousands of
// blocks on one sheet: what is kept is what changed.
func (d *sheetData) try(do func()) {
	d.trying, d.before = true, d.before[:0]
	do()
	d.trying = false
	for _, was := range slices.Backward(d.before) {
		was.cell.fate = was.fate
	}
}

// free says whether nothing has been made of a cell.
func (c *Cell) free() bool { return c.fate.what == "" }

// sortedRows are the numbers of the rows with anything in them.
func (g grid) sortedRows() []int {
	m := g.page.rows
	if g.turned {
		m = g.page.cols
	}
	out := make([]int, 0, len(m))
	for r := range m {
		out = append(out, r)
	}
	slices.Sort(out)
	return out
}

// shown is a cell's text; "" of none.
func (c *Cell) shown() string {
	if c == nil {
		return ""
	}
	return c.Text
}
