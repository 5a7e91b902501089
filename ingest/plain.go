package ingest

import (
	"hardfeed/ingest/xlsx"
	"slices"
)

// isPlain sorts the sheets, and says whether the workbook is laid out as this program's own starter is:
// its feed room, its settings or its sessions stand in tables of their own, or
// every cell is under a heading the plain layout knows. Any other workbook is
// read by what its regions are about.
func (l *layout) isPlain(sheets []*sheet) bool {
	l.sort(sheets)
	switch {
	case l.hasPlainYard(), l.hasPlainSessions(), l.hasPlainFeeds():
		return true
	case len(l.tables[horsesKind]) == 0:
		return false
	case slices.ContainsFunc(l.tables[workKind], func(t table) bool { return t.nameless }):
		return false // its headings are read as horses
	case slices.ContainsFunc(l.tables[workKind], func(t table) bool { return t.sheet.turned && l.strangersIn(&t) }):
		return false // a list whose headings stand where a turned table has its horses
	case slices.ContainsFunc(l.tables[rationsKind], func(t table) bool { return !t.has("feed") && !t.hasFeedColumns() }):
		return false
	}
	all := 0
	for _, s := range sheets {
		if s.Hidden {
			continue // left unread where a shown one has the same horses
		}
		for _, rw := range s.Rows {
			all += len(rw.Cells)
		}
	}
	return l.cellsUnderHeadings() >= all
}

// strangersIn says whether most names of a table are on no horses sheet.
func (l *layout) strangersIn(t *table) bool {
	known, all, strange := map[string]bool{}, 0, 0
	each := func(t *table, f func(name string)) {
		l.walk().rows(t, "horse", func(rw xlsx.Row) {
			if c := t.cell(rw, "horse"); c.Kind != xlsx.Empty {
				f(plainName(c.Shown))
			}
		}, func(xlsx.Cell) {})
	}
	for i := range l.tables[horsesKind] {
		each(&l.tables[horsesKind][i], func(name string) { known[name] = true })
	}
	each(t, func(name string) {
		if all++; !known[name] {
			strange++
		}
	})
	return strange*2 > all
}

func (l *layout) hasPlainYard() bool {
	return slices.ContainsFunc(l.tables[yardKind], func(t table) bool {
		return t.head >= 0 && t.has("setting") && t.has("value") ||
			t.head < 0 && !t.loose && l.mostlySettings(t.sheet) && len(l.tables[horsesKind]) > 0 && len(l.tables[workKind]) == 0 && len(l.tables[rationsKind]) == 0
	})
}

// mostlySettings says whether the lines of a sheet are pairs of a setting and its value,
// and not a title or two over a table: most are known, and none has more than four cells.
func (l *layout) mostlySettings(s *sheet) bool {
	lines, known := 0, 0
	for _, rw := range s.Rows {
		switch {
		case len(rw.Cells) < 2:
			continue
		case len(rw.Cells) > 4:
			return false
		case rw.Cells[0].Kind == xlsx.Text && l.vocab.words.settings[splitHeading(rw.Cells[0].Shown).words] != "":
			known++
		}
		lines++
	}
	return known*2 >= lines
}

func (l *layout) hasPlainSessions() bool {
	return slices.ContainsFunc(l.tables[sessionsKind], func(t table) bool { return t.has("session") && t.has("walk") && t.has("trot") })
}

func (l *layout) hasPlainFeeds() bool {
	return slices.ContainsFunc(l.tables[feedsKind], func(t table) bool {
		said := 0
		for _, key := range []string{"kind", "what it is", "one measure", "dry matter", "energy", "protein", "fibre", "starch"} {
			if t.names(key) {
				said++
			}
		}
		return t.has("feed") && (said > 1 || t.names("kind")) && len(t.cols)*2 >= t.headings()
	})
}

// names says whether a heading of a table is the very word for a column, no slip of it:
// "Tape" beside "Feeds" is what a horse weighs by tape, and no type of feed.
func (t *table) names(key string) bool {
	c, ok := t.col(key)
	return ok && !c.guessed
}

// cellsUnderHeadings is how many cells of shown sheets are under a heading that is
// known, those with them.
func (l *layout) cellsUnderHeadings() int {
	known := map[string]bool{}
	for _, ts := range l.tables {
		for i := range ts {
			t := &ts[i]
			if t.sheet.Hidden {
				continue
			}
			for k := max(t.head, 0); k < t.end && k < len(t.sheet.Rows); k++ {
				for _, c := range t.cols {
					if x := t.sheet.Rows[k].At(c.col); x.Kind != xlsx.Empty {
						known[t.sheet.Name+"!"+t.sheet.ref(x.Col, x.Row)] = true
					}
				}
			}
		}
	}
	return len(known)
}

// headings is how many cells stand in the row of a table's headings, understood or not.
func (t *table) headings() int {
	if t.head < 0 || t.head >= len(t.sheet.Rows) {
		return 0
	}
	n := 0
	for _, c := range t.sheet.Rows[t.head].Cells {
		if c.Kind != xlsx.Empty {
			n++
		}
	}
	return n
}

// hasFeedColumns says whether columns of a table are headed by feeds.
func (t *table) hasFeedColumns() bool {
	for _, c := range t.cols {
		if c.feed != "" {
			return true
		}
	}
	return false
}
