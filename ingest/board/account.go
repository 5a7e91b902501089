package board

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"
	"unicode"

	"hardfeed/ingest/phrase"
)

// account is what becomes of the cells that no fact, name or label was made of.
type account struct {
	sheets []*sheetData
	words  *vocabulary
	lang   *language
	who    *names
	herd   *herd
	tables []*table
	obs    []*obs
	asks   *questions
	week   plannedWeek
	cal    *calendar
}

// leftOver answers for the cells nothing has been made of yet: titles, remarks,
// telephone numbers, lists; and names once what was not used.
func (ac *account) leftOver() {
	ac.nameUnused()
	for _, s := range ac.sheets {
		ac.rowsLeft(s)
		ac.answerFor(s)
	}
	switch {
	case ac.week.first.IsZero():
		ac.asks.add("week", ask{rule: "week-unknown"})
	case ac.cal.guessedYear:
		for _, w := range ac.cal.weeks {
			if w.from.y == 0 && w.whole.IsZero() {
				a := ask{rule: "week-year", word: w.text, feed: fmt.Sprint(ac.week.first.Year()), sheet: w.sheet, cell: w.cell, note: !ac.cal.doubtfulYear}
				ac.asks.add("week", a)
				break
			}
		}
	}
}

var ofName = regexp.MustCompile(`\s*[:–—-]\s+|:`)

// remarks reads the lines outside the tables that name a horse and say something
// of it, and the comments hung on cells.
func remarks(sheets []*sheetData, hd *herd, lang *language, all []*obs) {
	for _, s := range sheets {
		if s.blank {
			continue
		}
		for _, at := range placesOf(s.Comments) {
			c := s.cell(at[0], at[1])
			if c == nil {
				c = &Cell{Row: at[0], Col: at[1]}
			}
			if h := hd.horseOfCell(all, s, c); h != nil {
				note := &Cell{Row: at[0], Col: at[1], Kind: Text, Text: s.Comments[at]}
				h.said = append(h.said, &obs{sheet: s, cell: note, horse: h.index, role: notesRole, day: -1})
			}
		}
		if len(hd.horses) == 0 {
			continue // nobody to speak of
		}
		for i := range s.Sheet.Cells {
			c := &s.Sheet.Cells[i]
			if c.Kind != Text || !s.free(c) || len(c.Text) > 300 {
				continue
			}
			parts := hd.partsByName(c.Text)
			if len(parts) == 0 && len(lang.ills(c.Text)) > 0 && len(strings.Fields(c.Text)) > 1 {
				for _, i := range hd.namedIn(c.Text) { // "Bella had laminitis in spring"
					parts = append(parts, saying{i, c.Text})
				}
			}
			if len(parts) == 0 && lang.speaksOfIllness(c.Text) {
				if i, ok := hd.horseBefore(s, c); ok { // of a row nothing else was made of
					parts = append(parts, saying{i, c.Text})
				}
			}
			for _, part := range parts {
				h := hd.horses[part.horse]
				note := &Cell{Row: c.Row, Col: c.Col, Kind: Text, Text: part.text}
				h.said = append(h.said, &obs{sheet: s, cell: note, horse: part.horse, role: notesRole, day: -1})
				s.mark(c, "used", "a note on a horse")
			}
		}
	}
}

// horseBefore is the horse whose name stands left of a cell in its row.
func (hd *herd) horseBefore(s *sheetData, c *Cell) (int, bool) {
	for _, x := range s.rows[c.Row] {
		if x.Col >= c.Col {
			break
		}
		if i, ok := hd.named(x.Text); ok && x.Kind == Text {
			return i, true
		}
	}
	return 0, false
}

// placesOf are the places of comments, row by row.
func placesOf(comments map[[2]int]string) [][2]int {
	out := make([][2]int, 0, len(comments))
	for at := range comments {
		out = append(out, at)
	}
	slices.SortFunc(out, func(x, y [2]int) int { return cmp.Or(x[0]-y[0], x[1]-y[1]) })
	return out
}

type saying struct {
	horse int
	text  string
}

// partsByName cuts a line at the names of horses that a colon or dash follows:
// "Bracken: ulcers. Teal: kicks".
func (hd *herd) partsByName(text string) []saying {
	if !strings.ContainsAny(text, ":-–—") {
		return nil
	}
	type start struct{ horse, from, body int }
	var starts []start
	lower := strings.ToLower(text)
	for i, h := range hd.horses {
		n := strings.ToLower(h.name)
		at := strings.Index(lower, n)
		if at < 0 || at > 0 && !strings.ContainsAny(lower[at-1:at], " .,;(") || len(lower) != len(text) {
			continue
		}
		m := ofName.FindStringIndex(text[at+len(n):])
		if m == nil || m[0] > 0 {
			continue
		}
		starts = append(starts, start{i, at, at + len(n) + m[1]})
	}
	slices.SortFunc(starts, func(x, y start) int { return x.from - y.from })
	var out []saying
	for i, s := range starts {
		end := len(text)
		if i+1 < len(starts) {
			end = starts[i+1].from
		}
		if s.body <= end {
			out = append(out, saying{s.horse, strings.TrimSpace(text[s.body:end])})
		}
	}
	return out
}

// namedIn are the horses, of those known so far, whose names stand in a line as words. A
// name that is a word for something else too, or a number, is one where the line begins
// with it and a mark is behind it: "Feed: choked in May".
func (hd *herd) namedIn(text string) []int {
	folded := foldName(text)
	words := wordsBetweenBlanks(folded, false)
	figures := ""
	var out []int
	for i, h := range hd.horses {
		n := foldName(h.name)
		named := false
		switch {
		case !hasLetters(n) || !hasDigit(n) && hd.words.read(h.name).full():
			rest, begins := strings.CutPrefix(folded, n)
			rest = strings.TrimSpace(rest)
			named = begins && rest != "" && strings.ContainsRune(":-–—=,", []rune(rest)[0])
		case hasDigit(n):
			if figures == "" {
				figures = wordsBetweenBlanks(folded, true)
			}
			named = strings.Contains(figures, wordsBetweenBlanks(n, true))
		default:
			named = len(n) > 2 && strings.Contains(words, " "+n+" ")
		}
		if named {
			out = append(out, i)
		}
	}
	return out
}

// beginsWithName says whether a line begins with the name of a horse, whatever follows.
func (hd *herd) beginsWithName(text string) bool {
	folded := foldName(text)
	return slices.ContainsFunc(hd.horses, func(h *horse) bool { return strings.HasPrefix(folded, foldName(h.name)+" ") })
}

// wordsBetweenBlanks is a text's words, or its words and numbers, with a blank before and
// behind each.
func wordsBetweenBlanks(folded string, figures bool) string {
	return " " + strings.Join(strings.FieldsFunc(folded, func(r rune) bool {
		return !unicode.IsLetter(r) && r != '\'' && !(figures && unicode.IsDigit(r))
	}), " ") + " "
}

func hasLetters(s string) bool { return strings.ContainsFunc(s, unicode.IsLetter) }

// horseOfCell is the horse a cell is about: its name, or one of its facts.
func (hd *herd) horseOfCell(all []*obs, s *sheetData, c *Cell) *horse {
	if i, ok := hd.named(c.Text); ok {
		return hd.horses[i]
	}
	for _, o := range all {
		if o.cell == c {
			return hd.horses[o.horse]
		}
	}
	for _, x := range s.rows[c.Row] {
		if i, ok := hd.named(x.Text); ok {
			return hd.horses[i]
		}
	}
	return nil
}

// answerFor answers for the cells of a sheet that nothing has been made of.
func (ac *account) answerFor(s *sheetData) {
	top := s.lastRow + 1 // the first row with something used in it
	used := 0
	for _, c := range s.marked {
		switch c.fate.what {
		case "used", "name", "asked", "label":
			used++
			top = min(top, c.Row)
		}
	}
	columns := map[*column]*obs{}
	for _, o := range ac.obs {
		if o.sheet == s && s.free(o.cell) && o.col != nil {
			columns[o.col] = o
		}
	}
	for i := range s.Sheet.Cells {
		c := &s.Sheet.Cells[i]
		if !s.free(c) {
			continue
		}
		switch what := ac.lang.decoration(c); {
		case what != "":
			s.mark(c, "decoration", what)
		case s.blank:
			s.mark(c, "decoration", "of an empty template")
		case c.Row < top && c.Kind == Text:
			s.mark(c, "decoration", "a title")
		case used == 0 && s.Hidden:
			s.mark(c, "decoration", "of a hidden list")
		case c.Kind == Text && !hasDigit(c.Text) && len(strings.Fields(c.Text)) > 2 && !ac.lang.mayBeIll(c.Text):
			s.mark(c, "decoration", "a remark")
		}
	}
	for _, k := range ac.columnsInOrder(s, columns) {
		o := columns[k]
		head := k.own
		if head == nil {
			head = o.cell
		}
		for _, x := range k.obs {
			s.mark(x.cell, "unused", "")
		}
		ac.asks.add("unused\x00"+s.Name+"\x00"+head.Ref(), ask{rule: "column-unused", word: head.Text, cell: head, sheet: s, note: true})
	}
	var first *Cell
	n := 0
	for i := range s.Sheet.Cells {
		c := &s.Sheet.Cells[i]
		if !s.free(c) {
			continue
		}
		s.mark(c, "unused", "")
		if n++; first == nil {
			first = c
		}
	}
	switch {
	case n == 0:
	case used == 0:
		ac.asks.add("unused\x00"+s.Name, ask{rule: "sheet-unused", word: s.Name, sheet: s, cell: nil, note: true})
	default:
		a := ask{rule: "cell-unused", word: first.Text, cell: first, sheet: s, note: true}
		ac.asks.add("unused\x00"+s.Name, a).cells += n - 1
	}
}

// speaksOfIllness says whether a text names something a horse has or had for sure.
func (l *language) speaksOfIllness(text string) bool {
	return slices.ContainsFunc(l.ills(text), func(x phrase.Condition) bool { return x.Sure && !x.Negated })
}

// mayBeIll says whether a text has a word of illness in it that it does not deny.
func (l *language) mayBeIll(text string) bool {
	return slices.ContainsFunc(l.ills(text), func(x phrase.Condition) bool { return !x.Negated })
}

// columnsInOrder are columns of a sheet from left to right, those of upper tables
// first.
func (ac *account) columnsInOrder(s *sheetData, in map[*column]*obs) []*column {
	var out []*column
	for _, t := range ac.tables {
		for _, k := range t.cols {
			if in[k] != nil {
				out = append(out, k)
			}
		}
	}
	return out
}

// Account is what became of the cells of a workbook, by kind: used for a fact,
// asked about, a name, a label, a legend, decoration, or named as not used.
func Account(sheets []Sheet, saved time.Time) map[string]int {
	b := newBook(sheets, saved)
	if b.gather() == nil {
		b.result(b.newFacts())
	}
	out := map[string]int{}
	for _, s := range b.sheets {
		for i := range s.Sheet.Cells {
			out[cmp.Or(s.Sheet.Cells[i].fate.what, "lost")]++
		}
	}
	return out
}
