package ingest

import (
	"fmt"
	"slices"
	"strings"

	"hardfeed/ration/yard"
)

// feedHeadings is how the feeds' names read as column headings.
func (r *reader) feedHeadings() map[string]string {
	all := map[string]string{}
	for i := range r.tables[feedsKind] {
		t := &r.tables[feedsKind][i]
		r.rows(t, "feed", func(rw row) {
			if c := t.cell(rw, "feed"); c.kind == written && !blank(c) {
				all[r.vocab.taken(c.shown).words] = strings.TrimSpace(c.shown)
			}
		}, func(cell) {})
	}
	return all
}

// giveOwners settles whose the tables without a column of names are: the horse
// of the title over it, of the sheet's own Name line, or of the tab.
func (r *reader) giveOwners() {
	for _, k := range []sheetKind{workKind, rationsKind} {
		var keep []table
		for _, t := range r.tables[k] {
			if !t.nameless {
				keep = append(keep, t)
				continue
			}
			for _, c := range []cell{t.title, {kind: written, shown: r.owner[t.sheet.name]}, {kind: written, shown: t.sheet.name}} {
				if i, _ := r.names.find(c.shown); c.kind == written && i >= 0 {
					t.horse = c
					t.horse.shown = r.week.Horses[i].Name
					break
				}
			}
			if t.horse.kind != empty {
				keep = append(keep, t)
				continue
			}
			r.find("sheet-unused", yard.Warn, "", t.sheet.place(t.cols[0].cell), orNear("finding.sheet-unused.nameless", r.names.near(t.sheet.name), sheetArg("sheet", k)))
		}
		r.tables[k] = keep
	}
}

func sheetNames(sheets []*sheet) yard.Saying {
	if len(sheets) == 0 {
		return yard.Say("part.none")
	}
	names := make([]string, 0, len(sheets))
	for _, s := range sheets {
		names = append(names, s.name)
	}
	return someOf(names)
}

// sort finds the tables on every sheet and gives each to the kind it fits best.
func (r *reader) sort(sheets []*sheet) {
	r.tables = map[sheetKind][]table{}
	r.vocab.tables = 0
	spare := map[sheetKind][]table{}
	var strange []*sheet
	put := func(all []found) {
		for _, f := range all {
			r.tables[f[0].kind] = append(r.tables[f[0].kind], f[0])
			for _, t := range f[1:] {
				// One sheet for horses and their work is usual in a small yard.
				if horsely(f[0].kind) && horsely(t.kind) {
					spare[t.kind] = append(spare[t.kind], t)
				}
			}
		}
	}
	r.vocab.guess = false
	for _, s := range sheets {
		if len(s.rows) == 0 {
			continue
		}
		all := r.vocab.tablesOn(s)
		if len(all) == 0 {
			strange = append(strange, s)
		}
		put(all)
	}
	// Sheets whose headings are slips of known ones, where a kind is lacking.
	r.vocab.guess = true
	for _, s := range strange {
		for _, f := range r.vocab.upright(s) {
			if f[0].kind != yardKind && !f[0].nameless && len(r.tables[f[0].kind]) == 0 {
				put([]found{f})
			}
		}
	}
	r.vocab.guess = false
	for _, k := range []sheetKind{horsesKind, workKind, rationsKind} {
		if len(r.tables[k]) == 0 {
			r.tables[k] = spare[k]
		}
	}
	// A horse's own sheet counts where there is no sheet of all horses.
	named := func(t table) bool { return !t.nameless }
	if hs := r.tables[horsesKind]; slices.ContainsFunc(hs, named) {
		r.tables[horsesKind] = slices.DeleteFunc(hs, func(t table) bool { return t.nameless })
	}
	r.hiddenTables()
}

func horsely(k sheetKind) bool { return k == horsesKind || k == workKind || k == rationsKind }

// hiddenTables leaves hidden tables unread where a shown one of the same kind
// names the same things: those are last year's. All others are read.
func (r *reader) hiddenTables() {
	key := map[sheetKind]string{horsesKind: "horse", workKind: "horse", rationsKind: "horse", feedsKind: "feed", sessionsKind: "session", weightsKind: "horse", yardKind: "setting"}
	for k, ts := range r.tables {
		if !slices.ContainsFunc(ts, func(t table) bool { return t.sheet.hidden }) {
			continue
		}
		shown := map[string]bool{}
		names := func(t *table, f func(string)) {
			r.rows(t, key[k], func(rw row) {
				if c := t.cell(rw, key[k]); c.kind != empty {
					f(plainName(c.shown))
				}
			}, func(cell) {})
		}
		for i := range ts {
			if !ts[i].sheet.hidden {
				names(&ts[i], func(n string) { shown[n] = true })
			}
		}
		var keep []table
		for i := range ts {
			t := &ts[i]
			both := false
			if t.sheet.hidden && !(k == workKind && t.isOfDay) {
				names(t, func(n string) { both = both || shown[n] })
			}
			if !both {
				keep = append(keep, *t)
				continue
			}
			r.once("hidden "+t.sheet.name, "sheet-hidden", yard.Warn, yard.Cell{Sheet: t.sheet.name},
				yard.Say("finding.sheet-hidden.unread", yard.Named("name", yard.Place, t.sheet.name), sheetArg("sheet", k)))
		}
		r.tables[k] = keep
	}
}

// rowsIn is how many rows the tables of a kind have below their headers.
func (r *reader) rowsIn(k sheetKind) int {
	n := 0
	for i := range r.tables[k] {
		n += r.tables[k][i].end - r.tables[k][i].head - 1
	}
	return n
}

// rowsOf calls f for each row of the table below its header that is part of
// the table: blank rows, repeated headers, totals and headings over a group
// are passed over. key is the column a row is named by.
func (r *reader) rowsOf(t *table, key string, f func(row)) {
	r.rows(t, key, f, func(c cell) {
		r.find("row-skipped", yard.Note, "", t.sheet.place(c),
			yard.Say("finding.row-skipped", sheetArg("sheet", t.kind), yard.Named("what", yard.Term, key)))
	})
}

func (r *reader) rows(t *table, key string, f func(row), skipped func(cell)) {
	keyCol, _ := t.col(key)
	for i := t.head + 1; i < t.end && r.misread <= r.mostMisread; i++ {
		rw := clip(t.sheet.rows[i], t.c1, t.c2)
		used := 0
		var only cell
		for k := range t.cols {
			if x := rw.at(t.cols[k].col); x.kind != empty {
				used++
				only = x
				if x.struck {
					r.once("struck "+t.sheet.name, "struck-through", yard.Warn, t.sheet.place(x), yard.Say("finding.struck-through", sheetArg("sheet", t.kind)))
				}
			}
		}
		if used == 0 {
			continue
		}
		if t.head >= 0 && sameHeader(t, rw) {
			continue
		}
		k := rw.at(keyCol.col)
		if isTotal(k) || k.kind == empty && isTotal(rw.cells[0]) {
			continue
		}
		if used == 1 && only.kind == written {
			m, joined := t.sheet.merged(only.row, only.col)
			if joined && m.col2 > m.col1 || isRemark(only.shown) {
				skipped(only)
				continue
			}
		}
		f(rw)
	}
}

// line names a row of the table for sentences: "Row 5", or, where the table is
// turned, "Column E".
func (t *table) line(rw row) yard.Saying {
	if t.sheet.turned {
		return yard.Say("part.line.column", yard.Named("column", yard.Place, strings.TrimRight(refOf(rw.n, 1), "1")))
	}
	return yard.Say("part.line.row", yard.Count("row", rw.n))
}

// headings reports what is doubtful about a table before it is read: a heading
// that stands twice, one that had to be guessed, rows and columns out of sight.
func (r *reader) headings(t *table) {
	if t.head < 0 {
		return
	}
	for _, c := range clip(t.sheet.rows[t.head], t.c1, t.c2).cells {
		key := r.vocab.words.kind[t.kind][r.vocab.taken(c.shown).words]
		first, ok := t.col(key)
		if key == "" || !ok || first.col >= c.col || c.kind != written || slices.ContainsFunc(t.cols, func(x column) bool { return x.col == c.col }) {
			continue
		}
		r.find("column-twice", yard.Warn, "", t.sheet.place(c), yard.Say("finding.column-twice", sheetArg("sheet", t.kind), yard.Named("column", yard.Term, key), yard.Named("first", yard.Place, t.sheet.ref(first.col, first.cell.row)), yard.Named("second", yard.Place, t.sheet.ref(c.col, c.row))))
	}
	for _, c := range t.cols {
		if !c.guessed {
			continue
		}
		word := strings.Join(strings.Fields(c.cell.shown), " ")
		r.find("column-guessed", yard.Warn, "", t.sheet.place(c.cell), yard.Say("finding.column-guessed", yard.Words("heading", word), sheetArg("sheet", t.kind), yard.Named("column", yard.Term, c.key)))
		r.week.Guessed = append(r.week.Guessed, yard.GuessedColumn{Column: c.key, Word: word, Cell: t.sheet.place(c.cell)})
	}
	if t.sheet.hidden {
		r.once("hidden read "+t.sheet.name, "sheet-hidden", yard.Note, yard.Cell{Sheet: t.sheet.name}, yard.Say("finding.sheet-hidden", yard.Named("name", yard.Place, t.sheet.name)))
	}
	var rows []yard.Value
	for _, rw := range t.sheet.rows[t.head+1 : t.end] {
		if t.sheet.hiddenRows[rw.n] && len(clip(rw, t.c1, t.c2).cells) > 0 {
			rows = append(rows, t.line(rw))
		}
	}
	if len(rows) > 0 {
		r.once("rows "+t.sheet.name+fmt.Sprint(rows[0]), "rows-hidden", yard.Note, yard.Cell{Sheet: t.sheet.name}, yard.Say("finding.rows-hidden", yard.Named("name", yard.Place, t.sheet.name), yard.Said("rows", someValues(rows))))
	}
	var cols []string
	for _, c := range t.cols {
		if slices.ContainsFunc(t.sheet.hiddenCols, func(h rect) bool { return c.col >= h.col1 && c.col <= h.col2 }) {
			cols = append(cols, t.sheet.ref(c.col, c.cell.row))
		}
	}
	if len(cols) > 0 {
		r.once("cols "+t.sheet.name+cols[0], "rows-hidden", yard.Note, yard.Cell{Sheet: t.sheet.name}, yard.Say("finding.rows-hidden.columns", yard.Named("name", yard.Place, t.sheet.name), someNames("headings", cols)))
	}
}

func sameHeader(t *table, rw row) bool {
	same := 0
	for i := range t.cols {
		c := &t.cols[i]
		if x := rw.at(c.col); x.kind == written && strings.EqualFold(x.shown, c.cell.shown) {
			same++
		}
	}
	return same >= 2 || same == len(t.cols)
}

// isTotal recognises the row under a table that adds it up.
func isTotal(c cell) bool {
	if c.kind != written {
		return false
	}
	if len(c.shown) > 40 {
		return false
	}
	w := strings.Trim(fold(c.shown), ":. ")
	switch w {
	case "total", "totals", "sum", "average", "mean", "subtotal", "sub total", "sub-total", "grand total", "yard total", "count":
		return true
	}
	return strings.HasPrefix(w, "total ") || strings.HasPrefix(w, "totals ")
}

// isRemark recognises a sentence where a name is expected.
func isRemark(text string) bool {
	w := fold(text)
	for _, p := range []string{"note", "nb", "n.b", "*", "please", "remember", "key:", "ps", "updated", "last updated", "source", "printed"} {
		if rest, ok := strings.CutPrefix(w, p); ok && (p == "*" || rest == "" || strings.HasPrefix(rest, "s") || strings.ContainsAny(rest[:1], " :.")) {
			return true
		}
	}
	return len(strings.Fields(w)) > 6 || strings.HasSuffix(w, ":") || strings.HasSuffix(w, ".") && len(strings.Fields(w)) > 3
}
