package xlsx

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"

	"hardfeed/ration/yard"
)

// cellKind says what a cell holds.
type Kind int

const (
	Empty    Kind = iota
	Number        // a number without a date or time format
	Text          // text
	Boolean       //
	Wrong         // an error value such as #REF!
	Uncached      // a formula whose result was not saved
	Date          // a number or text the cell's format makes a date
	Clock         // a number the cell's format makes a time of day
	Elapsed       // a number the cell's format makes hours and minutes, such as 1:15
)

// cell is one cell as it was saved and as it is shown.
type Cell struct {
	Row, Col int
	Kind     Kind
	Shown    string // as the user sees it, trimmed
	Num      float64
	Day      time.Time // dated
	Minute   int       // clocked, elapsed
	Percent  bool      // shown with a % format: 0.125 is seen as 12.5%
	Struck   bool      // shown struck through
	Format   string    // number: the code of its format, where it shows it differently from what is in the file
}

// Sheet is a tab of a workbook.
type Sheet struct {
	Name   string
	Hidden bool
	Rows   []Row // those with anything in them, rising
	Merges []Rect

	HiddenRows map[int]bool
	HiddenCols []Rect            // only the columns count
	Comments   map[[2]int]string // hung on cells, by row and column
	Fills      map[[2]int]string // the colours of cells, by row and column; nil where no empty cell has one

	joined *joinedRow // of the row last asked for
}

type Row struct {
	N     int
	Cells []Cell // rising
}

// at returns the cell in a column; an empty one where there is none.
func (r Row) At(col int) Cell {
	for i := range r.Cells {
		if c := &r.Cells[i]; c.Col >= col {
			if c.Col == col {
				return *c
			}
			break
		}
	}
	return Cell{Row: r.N, Col: col}
}

// merged returns the joined block a cell lies in.
func (s *Sheet) Merged(row, col int) (Rect, bool) {
	if col > MaxColumn { // of a turned sheet
		for _, m := range s.Merges {
			if row >= m.Row1 && row <= m.Row2 && col >= m.Col1 && col <= m.Col2 {
				return m, true
			}
		}
		return Rect{}, false
	}
	if len(s.Merges) == 0 || col < 1 {
		return Rect{}, false
	}
	if s.joined == nil || s.joined.row != row {
		s.joined = joinedIn(row, s.Merges)
	}
	if k := s.joined.over[col]; k > 0 {
		return s.Merges[k-1], true
	}
	return Rect{}, false
}

// joinedRow says which block lies over each column of a row.
type joinedRow struct {
	row  int
	over [MaxColumn + 1]int // one more than its index; 0: none
}

// joinedIn gives each column to the first block that lies over it: there may be
// thousands, one over the other.
func joinedIn(row int, merges []Rect) *joinedRow {
	j := &joinedRow{row: row}
	var next [MaxColumn + 2]int // towards the first column from here on that is free
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
		if row < m.Row1 || row > m.Row2 || m.Col1 > MaxColumn {
			continue
		}
		for c := free(m.Col1); c <= min(m.Col2, MaxColumn); c = free(c) {
			j.over[c], next[c] = k+1, c+1
		}
	}
	return j
}

var errorText = lazily(`^#(REF|N/A|VALUE|DIV/0|NAME|NUM|NULL|SPILL|CALC|BLOCKED|FIELD|BUSY|GETTING_DATA)[!?]?$`)

// readSheets turns what the preflight saw into cells.
func readSheets(s *scan) ([]Sheet, error) {
	look := &looks{codes: map[string]format{}, at: map[styled]int{}}
	sheets := make([]Sheet, len(s.sheets))
	for i := range s.sheets {
		if err := s.readSheet(&s.sheets[i], &sheets[i], look); err != nil {
			return nil, err
		}
	}
	look.show(s)
	return sheets, nil
}

func (s *scan) readSheet(ss *scannedSheet, sh *Sheet, look *looks) error {
	*sh = Sheet{Name: ss.name, Hidden: ss.hidden, Merges: ss.merges, HiddenRows: ss.hiddenRows, HiddenCols: ss.hiddenCols, Comments: ss.comments, Fills: s.fillsOf(ss)}
	cells := make([]Cell, 0, len(ss.cells)) // of all rows
	for i := range ss.cells {
		sc := &ss.cells[i]
		// What lies under a merge the user does not see either.
		if m, ok := sh.Merged(sc.row, sc.col); ok && (m.Row1 != sc.row || m.Col1 != sc.col) {
			continue
		}
		c, formatted := s.readCell(sc, look)
		if c.Kind == Empty {
			continue
		}
		if n := len(sh.Rows); n == 0 || sh.Rows[n-1].N != c.Row {
			sh.Rows = append(sh.Rows, Row{N: c.Row})
		}
		cells = append(cells, c)
		if formatted {
			look.ask(&cells[len(cells)-1], styled{sc.style, sc.value})
			if n := len(look.numbers); n > mostFormatted {
				return tooBig(yard.Say("part.large.numbers formatted", yard.Count("most", mostFormatted)))
			} else if n*s.ownFormats > mostFormatted*usualFormats {
				return tooBig(yard.Say("part.large.numbers", yard.Count("most", n-1), yard.Count("formats", s.ownFormats)))
			}
		}
		r := &sh.Rows[len(sh.Rows)-1]
		n := len(cells) - len(r.Cells) - 1
		r.Cells = cells[n:len(cells):len(cells)]
	}
	return nil
}

// readCell takes a cell as it was saved. Formatted says that it is a number whose
// format shows it differently from what is in the file.
func (s *scan) readCell(sc *scannedCell, look *looks) (c Cell, formatted bool) {
	c = Cell{Row: sc.row, Col: sc.col, Struck: sc.style < len(s.struck) && s.struck[sc.style]}
	if sc.isCalc && (!sc.hasValue || sc.value == "" && sc.typ != "str") {
		c.Kind, c.Shown = Uncached, "="+sc.formula
		return c, false
	}
	text := s.textOf(sc)
	if text == "" {
		return c, false
	}
	c.Shown = text
	if sc.typ != "" && sc.typ != "n" {
		c.take(sc.typ)
		return c, false
	}
	v, ok := RawNumber(text)
	if !ok {
		c.Kind = Text // said to be a number, and none: the reader of the column will say so
		return c, false
	}
	c.Kind, c.Num = Number, v
	c.Shown = strconv.FormatFloat(v, 'f', -1, 64)
	code := ""
	if sc.style < len(s.formats) {
		code = s.formats[sc.style]
	}
	return c, c.takeFormat(look.code(code), code, s.date1904)
}

// textOf is the text of a cell's value, trimmed.
func (s *scan) textOf(sc *scannedCell) string {
	text := sc.value
	switch {
	case sc.typ == "s" && sc.hasValue:
		text = s.strings[sc.text]
	case sc.typ == "inlineStr" || sc.typ == "str":
		text = unescape(text)
	}
	return strings.TrimSpace(text)
}

// take settles what a cell of a type of its own holds (ECMA-376 part 1, 18.18.11).
func (c *Cell) take(typ string) {
	switch typ {
	case "b":
		c.Kind = Boolean
		if c.Shown == "1" || c.Shown == "true" {
			c.Shown = "TRUE"
		} else {
			c.Shown = "FALSE"
		}
	case "e":
		c.Kind = Wrong
	case "d":
		c.Kind = Text
		if t, ok := isoDay(c.Shown); ok {
			c.Kind, c.Day = Date, t
		}
	default:
		c.Kind = Text
		if errorText().MatchString(c.Shown) {
			c.Kind = Wrong
		}
	}
}

// isoDay reads the day of a cell that is stored as a date and not as a number, such as
// 2026-11-30 or 2026-11-30T00:00:00; a time of day makes it a text.
func isoDay(text string) (time.Time, bool) {
	for _, layout := range []string{time.DateOnly, "2006-01-02T15:04:05", "2006-01-02T15:04:05Z", "2006-01-02T15:04"} {
		if t, err := time.Parse(layout, text); err == nil {
			return t, believable(t) && t.Equal(t.Truncate(24*time.Hour))
		}
	}
	return time.Time{}, false
}

// believable says whether a day is of the years that are read as days: the number of an
// amount in a cell that has the format of a date is mostly of none of them.
func believable(t time.Time) bool { return t.Year() >= 1900 && t.Year() <= 2200 }

// takeFormat settles what a number's format makes of it, and says whether it has to be
// asked how the number is shown.
func (c *Cell) takeFormat(f format, code string, date1904 bool) (formatted bool) {
	switch f {
	case elapsedFormat, clockFormat, dateFormat:
		c.takeTime(f, date1904)
	case percentFormat:
		c.Percent = true
		return true
	case plainFormat:
		if code != "" && code != "#0" && code != "General" && code != "@" && code != "#49" {
			c.Format = code
			return true
		}
	}
	return false
}

// takeTime makes a day, a time of day or a time that went by of a number whose format
// shows it as one; where it can be none it stays a number.
func (c *Cell) takeTime(f format, date1904 bool) {
	switch t, err := excelize.ExcelDateToTime(c.Num, date1904); {
	case f == elapsedFormat && c.Num >= 0 && c.Num < 10:
		c.Kind, c.Minute = Elapsed, int(c.Num*24*60+0.5)
		c.Shown = fmt.Sprintf("%d:%02d", c.Minute/60, c.Minute%60)
	case c.Num >= 0 && c.Num < 1:
		c.Kind, c.Minute = Clock, int(c.Num*24*60+0.5)%(24*60)
		c.Shown = clock(c.Minute)
	case err == nil && c.Num >= 1 && believable(t):
		c.Kind, c.Day = Date, t.Truncate(24*time.Hour)
		c.Shown = c.Day.Format(time.DateOnly)
	}
}

// RawNumber reads the text a workbook stores for a number.
func RawNumber(raw string) (float64, bool) {
	if raw == "" || strings.ContainsAny(raw, "xXnNiIpP_") {
		return 0, false
	}
	v, err := strconv.ParseFloat(raw, 64)
	return v, err == nil && !math.IsInf(v, 0) && !math.IsNaN(v)
}
