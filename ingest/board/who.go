package board

import (
	"strings"
)

// names are who the horses are, by the texts that name them.
type names struct {
	words *vocabulary
	lang  *language
	known map[string]bool   // names of horses, folded
	alias map[string]string // a shorter name -> the whole one, folded
}

func newNames(words *vocabulary, lang *language) *names {
	return &names{words: words, lang: lang, known: map[string]bool{}, alias: map[string]string{}}
}

// knows says whether a cell names a horse the book knows.
func (who *names) knows(c *Cell) bool { return who.known[who.words.nameOf(c)] }

func (who *names) key(name string) string {
	f := foldName(name)
	if a := who.alias[f]; a != "" {
		return a
	}
	return f
}

// horsesIn are the horses a cell of names names: one, or the team of them.
func (who *names) horsesIn(text string) []string {
	if !mayJoin(text) {
		return []string{text}
	}
	parts := between().Split(text, -1)
	if len(parts) < 2 {
		return []string{text}
	}
	var out []string
	for _, p := range parts {
		if p = strings.TrimSpace(p); who.known[foldName(p)] || who.alias[foldName(p)] != "" {
			out = append(out, p)
		}
	}
	if len(out) == 0 {
		return []string{text}
	}
	return out
}

// learnNames takes the names of a table for horses'.
func (who *names) learnNames(t *table) {
	c := t.g.at(t.head, t.name)
	strong := c != nil && who.words.labelOf(c).has("name")
	behind := who.ownersBehind(t)
	for r := t.h2 + 1; r < t.end; r++ {
		x := t.g.at(r, t.name)
		if x == nil || x.Kind == Wrong || x.Kind == Uncached || dash(x.Text) || ditto(x.Text) || who.notAHorse(x.Text) != "" && !who.fullRow(t, r) || len(x.Text) > 40 || who.addsUp(t, r) {
			continue
		}
		others := 0
		for k := t.c1; k <= t.c2; k++ {
			if k != t.name && t.g.at(r, k) != nil {
				others++
			}
		}
		if others == 0 {
			continue
		}
		if len(who.horsesIn(x.Text)) > 1 || who.horsesIn(x.Text)[0] != x.Text {
			continue // a team of known ones
		}
		if name, _, ok := nameAndBracket(x.Text); ok && behind {
			who.known[foldName(name)], who.alias[who.words.nameOf(x)] = true, foldName(name)
			continue
		}
		if strong || who.nameLike(x) || who.notAHorse(x.Text) == aTotal {
			who.known[who.words.nameOf(x)] = true
		}
	}
}

// forgetTeams takes back names that are two or more others: "Pip & Dot".
func (who *names) forgetTeams() {
	for _, name := range sortedKeys(who.known) {
		parts := between().Split(name, -1)
		if len(parts) < 2 {
			continue
		}
		all := true
		for _, p := range parts {
			all = all && who.known[foldName(p)]
		}
		if all {
			delete(who.known, name)
		}
	}
}

// namesOfTabs takes the names of tabs that are of one form for horses'.
func (who *names) namesOfTabs(hs *headings, sheets []*sheetData) {
	by := map[string][]*sheetData{}
	for _, s := range sheets {
		if sig := hs.signature(s); sig != "" {
			by[sig] = append(by[sig], s)
		}
	}
	for _, ss := range by {
		if len(ss) < 2 {
			continue
		}
		for _, s := range ss {
			l := who.words.read(s.Name)
			if l.full() || hasDigit(s.Name) {
				continue
			}
			for i := range s.Sheet.Cells {
				if c := &s.Sheet.Cells[i]; c.Row <= 3 && c.Kind == Text && foldName(c.Text) == foldName(s.Name) {
					who.known[foldName(s.Name)] = true
				}
			}
		}
	}
}

// aliases finds names that are the shorter form of another: one of its words,
// and never beside it in one table.
func (who *names) aliases(tables []*table) {
	sets := []map[string]bool{}
	for _, t := range tables {
		if t.kind != "" {
			continue
		}
		set := map[string]bool{}
		for r := t.h2 + 1; r < t.end; r++ {
			if x := t.g.at(r, t.name); x != nil && (who.lang.nameCell(x.Text).note == "" || t.rowOf(r, r-1).n > 1) {
				set[who.words.nameOf(x)] = true // a line below the list is none of its rows
			}
		}
		sets = append(sets, set)
	}
	if len(sets) < 2 {
		return
	}
	for _, short := range who.shortNames(tables) {
		var whole []string
		for _, long := range sortedKeys(who.known) {
			if long == short || !wordOf(short, long) {
				continue
			}
			together := false
			for _, set := range sets {
				together = together || set[short] && set[long]
			}
			if !together {
				whole = append(whole, long)
			}
		}
		if len(whole) == 1 {
			who.alias[short] = whole[0]
		}
	}
}

// shortNames are the names the book knows, and what stands among names besides them and
// could be the shorter form of one though it says something else too: "Old".
func (who *names) shortNames(tables []*table) []string {
	names := map[string]bool{}
	for n := range who.known {
		names[n] = true
	}
	for _, t := range tables {
		if t.kind != "" || t.g.page.blank {
			continue
		}
		for r := t.h2 + 1; r < t.end; r++ {
			if x := t.g.at(r, t.name); x != nil && x.Kind == Text && !dash(x.Text) && !ditto(x.Text) && !hasDigit(x.Text) && who.notAHorse(x.Text) == "" {
				names[who.words.nameOf(x)] = true
			}
		}
	}
	return sortedKeys(names)
}

func wordOf(short, long string) bool {
	return strings.HasPrefix(long, short+" ") || strings.HasSuffix(long, " "+short) || strings.HasSuffix(long, " ("+short+")")
}

// knownBelow says whether names the book knows stand in a column below a row: then
// two headings beside them are enough.
func (who *names) knownBelow(g grid, r, c int) bool {
	known := 0
	for _, x := range g.down(c, r+1, r+12) {
		if x != nil && who.knows(x) {
			known++
		}
	}
	return known >= 3
}

// namesLeftOf says whether names the book knows stand in a column further left too.
func (who *names) namesLeftOf(g grid, r, c int) bool {
	for k := 1; k < c-1; k++ {
		if who.knownBelow(g, r, k) {
			return true
		}
	}
	return false
}

var between = lazily(`\s*(?:[,/&+;]|\s[-–—]\s|\band\b|\bund\b|\bet\b|\by\b|:)\s*`)

// mayJoin says whether [between] may be found in a text: one look is much quicker than
// the pattern, and most names have nothing of it.
func mayJoin(text string) bool {
	if !ascii(text) || strings.ContainsAny(text, ",/&+;:-") {
		return true
	}
	for w := range strings.FieldsFuncSeq(text, func(r rune) bool { return !isWordRune(r) }) {
		switch w {
		case "and", "und", "et", "y":
			return true
		}
	}
	return false
}

// isWordRune says whether a pattern's \b takes a character for one of a word.
func isWordRune(r rune) bool {
	return r == '_' || r >= '0' && r <= '9' || (r|0x20) >= 'a' && (r|0x20) <= 'z'
}
