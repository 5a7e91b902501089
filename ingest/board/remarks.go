package board

import (
	"cmp"
	"slices"
	"strings"
)

var ofName = lazily(`\s*[:–—-]\s+|:`)

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
			if c.Kind != Text || !c.free() || len(c.Text) > 300 {
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
		m := ofName().FindStringIndex(text[at+len(n):])
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
