package board

import (
	"strconv"
	"strings"
)

// shifts are the days a week may begin with, from Monday on: Monday, Saturday, Sunday.
var shifts = [3]int{0, 5, 6}

// fewestLetters is in how many cells the letters of a week are at least: two days of the
// same letter may be joined in one.
const fewestLetters = 6

// longestLetter is how long a letter of a week may be as it is written, in bytes, with
// its accents and its full stop: the longest in our words has two letters (ours).
const longestLetter = 16

// letter is a word as the letters of a week are known; "" of one that is not among them.
func (v *vocabulary) letter(w string) string {
	if len(w) > longestLetter {
		return ""
	}
	if w = foldWord(w); !v.isLetter[w] {
		return ""
	}
	return w
}

// dayLetter is what a heading says that may be a letter of a week.
type dayLetter struct {
	cell   *Cell
	letter string
	half   string // the part of the day behind it: "M am"
	day    int    // of the month behind it: "Sa 9"; 0: none
	week   *label // the week before it: "Last week M"; nil: none
}

// letterOf reads a heading as a letter of a week, with the half of the day behind it
// or the week before it.
func (v *vocabulary) letterOf(c *Cell) dayLetter {
	if c.Kind != Text || len(c.Text) > 30 {
		return dayLetter{cell: c}
	}
	r := v.memo.at(c)
	if r.letter == nil {
		r.letter = &noLetter
		if l := v.readLetter(c.Text); l != noLetter {
			r.letter = &l
		}
	}
	out := *r.letter
	out.cell = c
	return out
}

var noLetter dayLetter

func (v *vocabulary) readLetter(text string) (out dayLetter) {
	line := lastLine(text)
	ws := strings.Fields(line)
	switch {
	case len(ws) == 1:
		out.letter = v.letter(line)
		out.week = v.weekBefore(strings.TrimSuffix(strings.TrimSpace(text), line))
	case len(ws) > 1:
		last := ws[len(ws)-1]
		if out.week = v.weekBefore(strings.Join(ws[:len(ws)-1], " ")); out.week != nil {
			out.letter = v.letter(last)
		} else if len(ws) == 2 {
			if half := mealOf(v.read(last), last); half != "" {
				out.letter, out.half = v.letter(ws[0]), half
			} else if n, err := strconv.Atoi(strings.Trim(last, ".,")); err == nil && n >= 1 && n <= 31 {
				out.letter, out.day = v.letter(ws[0]), n
			}
		}
	}
	return out
}

// weekBefore is the week a text before a letter names; nil: none.
func (v *vocabulary) weekBefore(text string) *label {
	if l := v.read(strings.TrimSpace(text)); l.full() && l.has("lastweek", "thisweek", "nextweek") {
		return l
	}
	return nil
}

// letterDays finds the cells in a row that are the letters of a week, and gives each
// the first day it is over.
func (v *vocabulary) letterDays(cells []*Cell, g grid) map[*Cell]int {
	var out map[*Cell]int
	for col, day := range v.letterColumns(cells, g) {
		if out == nil {
			out = map[*Cell]int{}
		}
		for _, c := range cells {
			if g.colOf(c) == col {
				out[c] = day
			}
		}
	}
	return out
}

// letterColumns finds the columns of a row whose headings are the letters of a week:
// seven in a row, or each over two columns, joined or with the halves of the day behind
// them. One letter joined over two days of the same letter is both.
func (v *vocabulary) letterColumns(cells []*Cell, g grid) map[int]int {
	if len(cells) < fewestLetters {
		return nil
	}
	var cols []dayLetter // from the first letter's column on
	first, letters := 0, 0
	for _, c := range cells {
		l := v.letterOf(c)
		if l.letter == "" {
			continue
		}
		at, wide := g.colOf(c), 1
		if m, ok := g.joined(g.rowOf(c), at); ok {
			wide = min(m.Col2-m.Col1+1, 14)
		}
		if letters == 0 {
			first = at
		}
		letters++
		for len(cols) < at-first {
			gap := dayLetter{}
			if n := len(cols); n == at-first-1 && cols[n-1].cell != nil && g.at(g.rowOf(c), at-1) == nil && g.at(g.rowOf(c)+1, at-1) != nil {
				gap = cols[n-1] // a letter over two columns, the second with nothing over it
			}
			cols = append(cols, gap)
		}
		for range wide {
			cols = append(cols, l)
		}
	}
	if letters < fewestLetters {
		return nil
	}
	out := map[int]int{}
	for per := 1; per <= 2; per++ {
		for i := 0; i+7*per <= len(cols); i++ {
			if days, ok := v.weekOfLetters(cols[i:i+7*per], per); ok {
				for k, d := range days {
					out[first+i+k] = d
				}
			}
		}
	}
	return out
}

// weekOfLetters are the days of the columns of one week, so many columns a day; false
// where they are not the letters of one.
func (v *vocabulary) weekOfLetters(cols []dayLetter, per int) (days []int, ok bool) {
	for _, c := range cols {
		if c.cell == nil || c.week != cols[0].week {
			return nil, false
		}
	}
	for _, letters := range v.letters {
		for _, shift := range shifts {
			if !fitsLetters(cols, per, letters, shift) {
				continue
			}
			days = days[:0]
			for k := range cols {
				days = append(days, (k/per+shift)%7)
			}
			return days, true
		}
	}
	return nil, false
}

// fitsLetters says whether columns have the letters of a week that begins on a day.
func fitsLetters(cols []dayLetter, per int, letters []string, shift int) bool {
	for k, c := range cols {
		if c.letter != letters[(k/per+shift)%7] {
			return false
		}
	}
	if per == 1 {
		// Side by side: each in its own cell, but for two of the same letter.
		cells := map[*Cell]bool{}
		for _, c := range cols {
			cells[c.cell] = true
		}
		return len(cells) >= 6
	}
	for k := 0; k < len(cols); k += per {
		day := cols[k : k+per]
		joined := day[0].cell == day[1].cell
		halves := day[0].half != "" && day[1].half != "" && day[0].half != day[1].half
		if !joined && !halves {
			return false
		}
	}
	return true
}

// lastLine is the last line of a heading: "Last week" over "M".
func lastLine(text string) string {
	return strings.TrimSpace(text[strings.LastIndexByte(text, '\n')+1:])
}

// placeOfDay is a place in the rows of headings that stands for a day.
type placeOfDay struct{ row, col int }

// lettersOver says what the letters in the rows of headings of a table say over its
// columns: the day, and the week before it.
func (hs *headings) lettersOver(t *table, h headRow) map[placeOfDay]*label {
	out := map[placeOfDay]*label{}
	for r := t.h1; r <= t.h2; r++ {
		of := h
		if r != t.head {
			of = hs.headRow(t.g, r)
		}
		for c, d := range of.letters {
			l := &label{day: d, used: 1}
			if x := t.g.over(r, c); x != nil {
				said := hs.words.letterOf(x)
				if said.week != nil {
					l.order = said.week.order
				}
				if said.day > 0 {
					l.dates = []date{{d: said.day}}
				}
			}
			out[placeOfDay{r, c}] = l
		}
	}
	return out
}
