package ingest

import (
	"slices"
	"strings"
	"unicode"

	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// walker goes through the rows of a table that are part of it.
type walker struct {
	log    *log
	horses map[string]int // those that are known, by plain name
}

// each calls f for each row of the table below its header that is part of
// the table: blank rows, repeated headers, totals and headings over a group
// are skipped. key is the column a row is named by.
func (w walker) each(t *table, key string, f func(xlsx.Row)) {
	w.rows(t, key, f, func(c xlsx.Cell) {
		w.log.find("row-skipped", yard.Note, "", t.sheet.place(c),
			yard.Say("finding.row-skipped", sheetArg("sheet", t.kind), yard.Named("what", yard.Term, key)))
	})
}

// rows is each, with what is done about a remark or a heading over a group.
func (w walker) rows(t *table, key string, f func(xlsx.Row), skipped func(xlsx.Cell)) {
	keyCol, _ := t.col(key)
	for i := t.head + 1; i < t.end && !w.log.givenUp(); i++ {
		rw := clip(t.sheet.Rows[i], t.c1, t.c2)
		used := 0
		var only xlsx.Cell
		for k := range t.cols {
			if x := rw.At(t.cols[k].col); x.Kind != xlsx.Empty {
				used++
				only = x
				if x.Struck {
					w.log.once("struck "+t.sheet.Name, "struck-through", yard.Warn, t.sheet.place(x), yard.Say("finding.struck-through", sheetArg("sheet", t.kind)))
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
		if (isTotal(k) || k.Kind == xlsx.Empty && isTotal(rw.Cells[0])) && !w.calledTotal(t, rw, key) {
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
func (w walker) calledTotal(t *table, rw xlsx.Row, key string) bool {
	if key != "horse" {
		return false
	}
	name := t.cell(rw, "horse")
	if t.kind != horsesKind {
		_, known := w.horses[plainName(name.Shown)]
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
