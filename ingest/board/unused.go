package board

import (
	"strings"
)

// nameUnused names once what nothing was made of though it looks like a fact of a
// horse's week: a number or work or an amount beside or below a horse's name, or a
// whole sheet of them.
func (ac *account) nameUnused() {
	for _, o := range ac.obs {
		if ac.week.age(o) != 0 {
			o.sheet.mark(o.cell, "decoration", "of another week")
		}
	}
	columns := map[*Cell]*column{}
	for _, o := range ac.obs {
		if o.col != nil && o.role == noRole {
			columns[o.cell] = o.col
		}
	}
	for _, s := range ac.sheets {
		if s.blank {
			continue
		}
		facts, touched := 0, false
		var first *Cell
		for i := range s.Sheet.Cells {
			c := &s.Sheet.Cells[i]
			if !c.free() {
				touched = touched || c.fate.what == "used" || c.fate.what == "name" || c.fate.what == "decoration"
				continue
			}
			switch {
			case ac.looksLikeFact(c):
				if ac.herd.besideAHorse(s, c) {
					ac.asks.unusedCell(s, c, columns[c], false)
					touched = true
				} else if facts++; first == nil {
					first = c
				}
			case c.Kind == Number && ac.herd.besideAHorse(s, c):
				ac.asks.unusedCell(s, c, columns[c], true)
				touched = true
			}
		}
		if !touched && facts >= 3 {
			ac.asks.add("unused\x00"+s.Name, ask{rule: "sheet-unused", word: s.Name, cell: first, sheet: s})
		}
	}
}

// rowsLeft names rows of which nothing was made though they look like a horse's: a name,
// and two facts beside it.
func (ac *account) rowsLeft(s *sheetData) {
	if s.blank || s.Hidden {
		return
	}
	inTable := map[int]bool{}
	for _, t := range ac.tables {
		if t.g.page == s && t.kind != "" && t.kind != "other" && !t.g.turned {
			for r := t.h1; r < t.end; r++ {
				inTable[r] = true
			}
		}
	}
	var names []string
	var first *Cell
	said := map[string]bool{} // that it looks like a fact: the same is said in many cells
	looks := func(c *Cell) bool {
		is, seen := said[c.Text]
		if !seen || c.Kind != Text {
			is = ac.looksLikeFact(c)
			said[c.Text] = is
		}
		return is
	}
	g := grid{page: s}
	for _, r := range g.sortedRows() {
		var name *Cell
		facts := 0
		for _, c := range s.inRow(r) {
			if !c.free() && c.fate.what != "unused" || inTable[r] || ac.words.labelOf(c).has("price", "pack") {
				facts = -9
				break
			}
			switch {
			case name == nil && ac.who.nameLike(c):
				name = c
			case looks(c) || ac.lang.looksLikeWeight(c):
				facts++
			}
		}
		if _, ok := ac.herd.named(name.shown()); name == nil || facts < 2 || ok {
			continue
		}
		names = append(names, name.Text)
		if first == nil {
			first = name
		}
	}
	if len(names) > 0 {
		ac.asks.add("rows\x00"+s.Name, ask{rule: "row-skipped", word: first.Text, near: strings.Join(names, "\x00"), cell: first, sheet: s})
	}
}

// looksLikeFact says whether a text is a weight, work with its time, or an amount of
// a feed, wherever it stands.
func (ac *account) looksLikeFact(c *Cell) bool {
	if c.Kind != Text || len(c.Text) > 60 || !hasDigit(c.Text) || ac.lang.phone(c.Text) || ac.words.labelOf(c).has("price") {
		return false
	}
	w := ac.lang.work(c.Text)
	if len(w.Doubts) == 0 && w.Ref == nil {
		for _, x := range w.Sessions {
			if x.Session.Total() > 0 {
				return true
			}
		}
	}
	a := ac.lang.amount(c.Text)
	for _, p := range a.Parts {
		if len(a.Unread) == 0 && p.Known && p.Unit != "" {
			return true
		}
	}
	return false
}
