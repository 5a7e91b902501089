package ingest

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// feedHeadings is how the feeds' names read as column headings.
func (r *reader) feedHeadings() map[string]string {
	all := map[string]string{}
	for i := range r.tables[feedsKind] {
		t := &r.tables[feedsKind][i]
		r.rows(t, "feed", func(rw xlsx.Row) {
			if c := t.cell(rw, "feed"); c.Kind == xlsx.Text && !blank(c) {
				all[r.vocab.taken(c.Shown).words] = strings.TrimSpace(c.Shown)
			}
		}, func(xlsx.Cell) {})
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
			for _, c := range []xlsx.Cell{t.title, {Kind: xlsx.Text, Shown: r.owner[t.sheet.Name]}, {Kind: xlsx.Text, Shown: t.sheet.Name}} {
				if i, _ := r.names.find(c.Shown); c.Kind == xlsx.Text && i >= 0 {
					t.horse = c
					t.horse.Shown = r.week.Horses[i].Name
					break
				}
			}
			if t.horse.Kind != xlsx.Empty {
				keep = append(keep, t)
				continue
			}
			r.find("sheet-unused", yard.Warn, "", t.sheet.place(t.cols[0].cell), orNear("finding.sheet-unused.nameless", r.names.near(t.sheet.Name), sheetArg("sheet", k)))
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
		names = append(names, s.Name)
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
		if len(s.Rows) == 0 {
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
		if !slices.ContainsFunc(ts, func(t table) bool { return t.sheet.Hidden }) {
			continue
		}
		shown := map[string]bool{}
		names := func(t *table, f func(string)) {
			r.rows(t, key[k], func(rw xlsx.Row) {
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
			r.once("hidden "+t.sheet.Name, "sheet-hidden", yard.Warn, yard.Cell{Sheet: t.sheet.Name},
				yard.Say("finding.sheet-hidden.unread", yard.Named("name", yard.Place, t.sheet.Name), sheetArg("sheet", k)))
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
// are skipped. key is the column a row is named by.
func (r *reader) rowsOf(t *table, key string, f func(xlsx.Row)) {
	r.rows(t, key, f, func(c xlsx.Cell) {
		r.find("row-skipped", yard.Note, "", t.sheet.place(c),
			yard.Say("finding.row-skipped", sheetArg("sheet", t.kind), yard.Named("what", yard.Term, key)))
	})
}

func (r *reader) rows(t *table, key string, f func(xlsx.Row), skipped func(xlsx.Cell)) {
	keyCol, _ := t.col(key)
	for i := t.head + 1; i < t.end && r.misread <= r.mostMisread; i++ {
		rw := clip(t.sheet.Rows[i], t.c1, t.c2)
		used := 0
		var only xlsx.Cell
		for k := range t.cols {
			if x := rw.At(t.cols[k].col); x.Kind != xlsx.Empty {
				used++
				only = x
				if x.Struck {
					r.once("struck "+t.sheet.Name, "struck-through", yard.Warn, t.sheet.place(x), yard.Say("finding.struck-through", sheetArg("sheet", t.kind)))
				}
			}
		}
		if used == 0 {
			continue
		}
		if t.head >= 0 && sameHeader(t, rw) {
			continue
		}
		k := rw.At(keyCol.col)
		if (isTotal(k) || k.Kind == xlsx.Empty && isTotal(rw.Cells[0])) && !r.calledTotal(t, rw, key) {
			continue
		}
		if used == 1 && only.Kind == xlsx.Text {
			m, joined := t.sheet.Merged(only.Row, only.Col)
			if joined && m.Col2 > m.Col1 || isRemark(only.Shown) {
				skipped(only)
				continue
			}
		}
		f(rw)
	}
}

// line names a row of the table for sentences: "Row 5", or, where the table is
// turned, "Column E".
func (t *table) line(rw xlsx.Row) yard.Saying {
	if t.sheet.turned {
		return yard.Say("part.line.column", yard.Named("column", yard.Place, strings.TrimRight(xlsx.RefOf(rw.N, 1), "1")))
	}
	return yard.Say("part.line.row", yard.Count("row", rw.N))
}

// headings reports what is doubtful about a table before it is read: a heading
// that comes twice, one that had to be guessed, rows and columns out of sight.
func (r *reader) headings(t *table) {
	if t.head < 0 {
		return
	}
	for _, c := range clip(t.sheet.Rows[t.head], t.c1, t.c2).Cells {
		key := r.vocab.words.kind[t.kind][r.vocab.taken(c.Shown).words]
		first, ok := t.col(key)
		if key == "" || !ok || first.col >= c.Col || c.Kind != xlsx.Text || slices.ContainsFunc(t.cols, func(x column) bool { return x.col == c.Col }) {
			continue
		}
		r.find("column-twice", yard.Warn, "", t.sheet.place(c), yard.Say("finding.column-twice", sheetArg("sheet", t.kind), yard.Named("column", yard.Term, key), yard.Named("first", yard.Place, t.sheet.ref(first.col, first.cell.Row)), yard.Named("second", yard.Place, t.sheet.ref(c.Col, c.Row))))
	}
	for _, c := range t.cols {
		if !c.guessed {
			continue
		}
		word := strings.Join(strings.Fields(c.cell.Shown), " ")
		r.find("column-guessed", yard.Warn, "", t.sheet.place(c.cell), yard.Say("finding.column-guessed", yard.Words("heading", word), sheetArg("sheet", t.kind), yard.Named("column", yard.Term, c.key)))
		r.week.Guessed = append(r.week.Guessed, yard.GuessedColumn{Column: c.key, Word: word, Cell: t.sheet.place(c.cell)})
	}
	if t.sheet.Hidden {
		r.once("hidden read "+t.sheet.Name, "sheet-hidden", yard.Note, yard.Cell{Sheet: t.sheet.Name}, yard.Say("finding.sheet-hidden", yard.Named("name", yard.Place, t.sheet.Name)))
	}
	var rows []yard.Value
	for _, rw := range t.sheet.Rows[t.head+1 : t.end] {
		if t.sheet.HiddenRows[rw.N] && len(clip(rw, t.c1, t.c2).Cells) > 0 {
			rows = append(rows, t.line(rw))
		}
	}
	if len(rows) > 0 {
		r.once("rows "+t.sheet.Name+fmt.Sprint(rows[0]), "rows-hidden", yard.Note, yard.Cell{Sheet: t.sheet.Name}, yard.Say("finding.rows-hidden", yard.Named("name", yard.Place, t.sheet.Name), yard.Said("rows", someValues(rows))))
	}
	var cols []string
	for _, c := range t.cols {
		if slices.ContainsFunc(t.sheet.HiddenCols, func(h xlsx.Rect) bool { return c.col >= h.Col1 && c.col <= h.Col2 }) {
			cols = append(cols, t.sheet.ref(c.col, c.cell.Row))
		}
	}
	if len(cols) > 0 {
		r.once("cols "+t.sheet.Name+cols[0], "rows-hidden", yard.Note, yard.Cell{Sheet: t.sheet.Name}, yard.Say("finding.rows-hidden.columns", yard.Named("name", yard.Place, t.sheet.Name), someNames("headings", cols)))
	}
}

func sameHeader(t *table, rw xlsx.Row) bool {
	same := 0
	for i := range t.cols {
		c := &t.cols[i]
		if x := rw.At(c.col); x.Kind == xlsx.Text && strings.EqualFold(x.Shown, c.cell.Shown) {
			same++
		}
	}
	return same >= 2 || same == len(t.cols)
}

// calledTotal says whether a row that is headed like a total is a horse's all the same: words
// are beside the name on the horses sheet, or such a horse is there.
func (r *reader) calledTotal(t *table, rw xlsx.Row, key string) bool {
	if key != "horse" {
		return false
	}
	name := t.cell(rw, "horse")
	if t.kind != horsesKind {
		_, known := r.names.at[plainName(name.Shown)]
		return known
	}
	return name.Kind == xlsx.Text && slices.ContainsFunc(rw.Cells, func(c xlsx.Cell) bool {
		return c.Kind == xlsx.Text && c.Col != name.Col && strings.ContainsFunc(c.Shown, unicode.IsLetter) && !isTotal(c)
	})
}

// isTotal recognises the row under a table that adds it up.
func isTotal(c xlsx.Cell) bool {
	if c.Kind != xlsx.Text {
		return false
	}
	if len(c.Shown) > 40 {
		return false
	}
	w := strings.Trim(fold(c.Shown), ":. ")
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
