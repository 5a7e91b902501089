package ingest

import (
	"fmt"
	"slices"
	"strings"

	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// layout is the tables of a workbook, and which is which.
type layout struct {
	vocab   vocabulary
	tables  map[sheetKind][]table
	log     *log
	guessed []yard.GuessedColumn
}

func newLayout(said *log, opt Options) *layout {
	return &layout{vocab: newVocabulary(opt.Synonyms), tables: map[sheetKind][]table{}, log: said}
}

// newReading is a layout that reads: it knows besides what is written over the columns of any
// workbook, which does not decide whether one is laid out as the starter is.
func newReading(said *log, opt Options) *layout {
	l := newLayout(said, opt)
	l.vocab.words = withHeads(l.vocab.words)
	return l
}

// walk goes through rows before the horses are known, walkWith when they are.
func (l *layout) walk() walker { return walker{log: l.log} }

func (l *layout) walkWith(horses *horseList) walker { return walker{l.log, horses.names.at} }

// learn has the vocabulary know the yard's own meals and feeds, which may head columns of
// the rations, and sorts the sheets again where there are any.
func (l *layout) learn(meals []yard.Meal, sheets []*sheet) {
	var names []string
	for _, m := range meals {
		names = append(names, m.Name)
	}
	if feeds := l.feedHeadings(); len(names)+len(feeds) > 0 {
		l.vocab.learn(names, feeds)
		l.sort(sheets)
	}
}

// feedHeadings is how the feeds' names read as column headings.
func (l *layout) feedHeadings() map[string]string {
	all := map[string]string{}
	for i := range l.tables[feedsKind] {
		t := &l.tables[feedsKind][i]
		l.walk().rows(t, "feed", func(rw xlsx.Row) {
			if c := t.cell(rw, "feed"); c.Kind == xlsx.Text && !blank(c) {
				all[l.vocab.taken(c.Shown).words] = strings.TrimSpace(c.Shown)
			}
		}, func(xlsx.Cell) {})
	}
	return all
}

// giveOwners settles whose the tables without a column of names are: the horse
// of the title over it, of the sheet's own Name line, or of the tab.
func (l *layout) giveOwners(horses *horseList) {
	for _, k := range []sheetKind{workKind, rationsKind} {
		var keep []table
		for _, t := range l.tables[k] {
			if !t.nameless {
				keep = append(keep, t)
				continue
			}
			for _, c := range []xlsx.Cell{t.title, {Kind: xlsx.Text, Shown: horses.owner[t.sheet.Name]}, {Kind: xlsx.Text, Shown: t.sheet.Name}} {
				if i, _ := horses.names.find(c.Shown); c.Kind == xlsx.Text && i >= 0 {
					t.horse = c
					t.horse.Shown = horses.all[i].Name
					break
				}
			}
			if t.horse.Kind != xlsx.Empty {
				keep = append(keep, t)
				continue
			}
			l.log.find("sheet-unused", yard.Warn, "", t.sheet.place(t.cols[0].cell), orNear("finding.sheet-unused.nameless", horses.names.near(t.sheet.Name), sheetArg("sheet", k)))
		}
		l.tables[k] = keep
	}
}

func sheetNames(sheets []*sheet) yard.Saying {
	if len(sheets) == 0 {
		return yard.Say("part.none")
	}
	names := make([]string, 0, len(sheets))
	for _, s := range sheets {
		names = append(names, s.Name)
	}
	return someOf(names)
}

// sort finds the tables on every sheet and gives each to the kind it fits best.
func (l *layout) sort(sheets []*sheet) {
	l.tables = map[sheetKind][]table{}
	l.vocab.tables = 0
	spare := map[sheetKind][]table{}
	var strange []*sheet
	put := func(all []found) {
		for _, f := range all {
			l.tables[f[0].kind] = append(l.tables[f[0].kind], f[0])
			for _, t := range f[1:] {
				// One sheet for horses and their work is usual in a small yard.
				if horsely(f[0].kind) && horsely(t.kind) {
					spare[t.kind] = append(spare[t.kind], t)
				}
			}
		}
	}
	l.vocab.guess = false
	for _, s := range sheets {
		if len(s.Rows) == 0 {
			continue
		}
		all := l.vocab.tablesOn(s)
		if len(all) == 0 {
			strange = append(strange, s)
		}
		put(all)
	}
	// Sheets whose headings are slips of known ones, where a kind is lacking.
	l.vocab.guess = true
	for _, s := range strange {
		for _, f := range l.vocab.upright(s) {
			if f[0].kind != yardKind && !f[0].nameless && len(l.tables[f[0].kind]) == 0 {
				put([]found{f})
			}
		}
	}
	l.vocab.guess = false
	for _, k := range []sheetKind{horsesKind, workKind, rationsKind} {
		if len(l.tables[k]) == 0 {
			l.tables[k] = spare[k]
		}
	}
	// A horse's own sheet counts where there is no sheet of all horses.
	named := func(t table) bool { return !t.nameless }
	if hs := l.tables[horsesKind]; slices.ContainsFunc(hs, named) {
		l.tables[horsesKind] = slices.DeleteFunc(hs, func(t table) bool { return t.nameless })
	}
	l.hiddenTables()
}

func horsely(k sheetKind) bool { return k == horsesKind || k == workKind || k == rationsKind }

// hiddenTables leaves hidden tables unread where a shown one of the same kind
// names the same things: those are last year's. All others are read.
func (l *layout) hiddenTables() {
	key := map[sheetKind]string{horsesKind: "horse", workKind: "horse", rationsKind: "horse", feedsKind: "feed", sessionsKind: "session", weightsKind: "horse", yardKind: "setting"}
	for k, ts := range l.tables {
		if !slices.ContainsFunc(ts, func(t table) bool { return t.sheet.Hidden }) {
			continue
		}
		shown := map[string]bool{}
		names := func(t *table, f func(string)) {
			l.walk().rows(t, key[k], func(rw xlsx.Row) {
				if c := t.cell(rw, key[k]); c.Kind != xlsx.Empty {
					f(plainName(c.Shown))
				}
			}, func(xlsx.Cell) {})
		}
		for i := range ts {
			if !ts[i].sheet.Hidden {
				names(&ts[i], func(n string) { shown[n] = true })
			}
		}
		var keep []table
		for i := range ts {
			t := &ts[i]
			both := false
			if t.sheet.Hidden && !(k == workKind && t.isOfDay) {
				names(t, func(n string) { both = both || shown[n] })
			}
			if !both {
				keep = append(keep, *t)
				continue
			}
			l.log.once("hidden "+t.sheet.Name, "sheet-hidden", yard.Warn, yard.Cell{Sheet: t.sheet.Name},
				yard.Say("finding.sheet-hidden.unread", yard.Named("name", yard.Place, t.sheet.Name), sheetArg("sheet", k)))
		}
		l.tables[k] = keep
	}
}

// rowsIn is how many rows the tables of a kind have below their headers.
func (l *layout) rowsIn(k sheetKind) int {
	n := 0
	for i := range l.tables[k] {
		n += l.tables[k][i].end - l.tables[k][i].head - 1
	}
	return n
}

// headings reports what is doubtful about a table before it is read: a heading
// that comes twice, one that had to be guessed, rows and columns out of sight.
func (l *layout) headings(t *table) {
	if t.head < 0 {
		return
	}
	for _, c := range clip(t.sheet.Rows[t.head], t.c1, t.c2).Cells {
		key := l.vocab.words.kind[t.kind][l.vocab.taken(c.Shown).words]
		first, ok := t.col(key)
		if key == "" || !ok || first.col >= c.Col || c.Kind != xlsx.Text || slices.ContainsFunc(t.cols, func(x column) bool { return x.col == c.Col }) {
			continue
		}
		l.log.find("column-twice", yard.Warn, "", t.sheet.place(c), yard.Say("finding.column-twice", sheetArg("sheet", t.kind), yard.Named("column", yard.Term, key), yard.Named("first", yard.Place, t.sheet.ref(first.col, first.cell.Row)), yard.Named("second", yard.Place, t.sheet.ref(c.Col, c.Row))))
	}
	for _, c := range t.cols {
		if !c.guessed {
			continue
		}
		word := strings.Join(strings.Fields(c.cell.Shown), " ")
		l.log.find("column-guessed", yard.Warn, "", t.sheet.place(c.cell), yard.Say("finding.column-guessed", yard.Words("heading", word), sheetArg("sheet", t.kind), yard.Named("column", yard.Term, c.key)))
		l.guessed = append(l.guessed, yard.GuessedColumn{Column: c.key, Word: word, Cell: t.sheet.place(c.cell)})
	}
	if t.sheet.Hidden {
		l.log.once("hidden read "+t.sheet.Name, "sheet-hidden", yard.Note, yard.Cell{Sheet: t.sheet.Name}, yard.Say("finding.sheet-hidden", yard.Named("name", yard.Place, t.sheet.Name)))
	}
	var rows []yard.Value
	for _, rw := range t.sheet.Rows[t.head+1 : t.end] {
		if t.sheet.HiddenRows[rw.N] && len(clip(rw, t.c1, t.c2).Cells) > 0 {
			rows = append(rows, t.line(rw))
		}
	}
	if len(rows) > 0 {
		l.log.once("rows "+t.sheet.Name+fmt.Sprint(rows[0]), "rows-hidden", yard.Note, yard.Cell{Sheet: t.sheet.Name}, yard.Say("finding.rows-hidden", yard.Named("name", yard.Place, t.sheet.Name), yard.Said("rows", someValues(rows))))
	}
	var cols []string
	for _, c := range t.cols {
		if slices.ContainsFunc(t.sheet.HiddenCols, func(h xlsx.Rect) bool { return c.col >= h.Col1 && c.col <= h.Col2 }) {
			cols = append(cols, t.sheet.ref(c.col, c.cell.Row))
		}
	}
	if len(cols) > 0 {
		l.log.once("cols "+t.sheet.Name+cols[0], "rows-hidden", yard.Note, yard.Cell{Sheet: t.sheet.Name}, yard.Say("finding.rows-hidden.columns", yard.Named("name", yard.Place, t.sheet.Name), someNames("headings", cols)))
	}
}
