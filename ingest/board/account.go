package board

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// leftOver answers for the cells nothing has been made of yet: titles, remarks,
// telephone numbers, lists; and names once what was not used.
func (b *book) leftOver() {
	b.nameUnused()
	switch {
	case b.target.IsZero():
		b.addAsk("week", ask{rule: "week-unknown"})
	case b.guessedYear:
		for _, w := range b.weeks {
			if w.from.y == 0 && w.whole.IsZero() {
				a := ask{rule: "week-year", word: w.text, feed: fmt.Sprint(b.target.Year()), sheet: w.sheet, cell: w.cell, note: true}
				b.addAsk("week", a)
				break
			}
		}
	}
}

var ofName = regexp.MustCompile(`\s*[:–—-]\s+|:`)

// remarks reads the lines outside the tables that name a horse and say something
// of it, and the comments hung on cells.
func (b *book) remarks() {
	for _, s := range b.sheets {
		if s.blank {
			continue
		}
		for _, at := range placesOf(s.Comments) {
			c := s.byPlace[at]
			if c == nil {
				c = &Cell{Row: at[0], Col: at[1]}
			}
			if h := b.horseOfCell(s, c); h != nil {
				note := &Cell{Row: at[0], Col: at[1], Kind: Text, Text: s.Comments[at]}
				h.said = append(h.said, &obs{sheet: s, cell: note, horse: b.byName[b.key(h.name)], role: notesRole, day: -1})
			}
		}
		for i := range s.Sheet.Cells {
			c := &s.Sheet.Cells[i]
			if c.Kind != Text || !s.free(c) || len(c.Text) > 300 {
				continue
			}
			for _, part := range b.partsByName(c.Text) {
				h := b.horses[part.horse]
				note := &Cell{Row: c.Row, Col: c.Col, Kind: Text, Text: part.text}
				h.said = append(h.said, &obs{sheet: s, cell: note, horse: part.horse, role: notesRole, day: -1})
				s.mark(c, "used", "a note on a horse")
			}
		}
	}
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
func (b *book) partsByName(text string) []saying {
	type start struct{ horse, from, body int }
	var starts []start
	lower := strings.ToLower(text)
	for i, h := range b.horses {
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

// horseOfCell is the horse a cell is about: its name, or one of its facts.
func (b *book) horseOfCell(s *sheetData, c *Cell) *horse {
	if i, ok := b.byName[b.key(c.Text)]; ok {
		return b.horses[i]
	}
	for _, o := range b.obs {
		if o.cell == c {
			return b.horses[o.horse]
		}
	}
	for _, x := range s.rows[c.Row] {
		if i, ok := b.byName[b.key(x.Text)]; ok {
			return b.horses[i]
		}
	}
	return nil
}
