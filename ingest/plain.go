package ingest

import (
	"hardfeed/ingest/xlsx"
	"slices"
)

// isPlain says whether a workbook is laid out as this program's own starter is:
// its feed room, its settings or its sessions stand in tables of their own, or
// every cell stands under a heading the plain layout knows. Any other workbook is
// read by what its regions are about.
func (r *reader) isPlain(sheets []*sheet) bool {
	if slices.ContainsFunc(r.tables[yardKind], func(t table) bool {
		return t.head >= 0 && t.has("setting") && t.has("value") ||
			t.head < 0 && !t.loose && len(r.tables[horsesKind]) > 0 && len(r.tables[workKind]) == 0 && len(r.tables[rationsKind]) == 0
	}) {
		return true
	}
	if slices.ContainsFunc(r.tables[sessionsKind], func(t table) bool { return t.has("session") && t.has("walk") && t.has("trot") }) {
		return true
	}
	for i := range r.tables[feedsKind] {
		t := &r.tables[feedsKind][i]
		said := 0
		for _, key := range []string{"kind", "what it is", "one measure", "dry matter", "energy", "protein", "fibre", "starch"} {
			if t.has(key) {
				said++
			}
		}
		if t.has("feed") && (said > 1 || t.has("kind")) && len(t.cols)*2 >= t.headings() {
			return true
		}
	}
	if len(r.tables[horsesKind]) == 0 {
		return false
	}
	if slices.ContainsFunc(r.tables[workKind], func(t table) bool { return t.nameless }) {
		return false // its headings are read as horses
	}
	for i := range r.tables[rationsKind] {
		t := &r.tables[rationsKind][i]
		if !t.has("feed") && !t.hasFeedColumns() {
			return false
		}
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
	known := map[string]bool{}
	for _, ts := range r.tables {
		for i := range ts {
			t := &ts[i]
			for k := max(t.head, 0); k < t.end && k < len(t.sheet.Rows); k++ {
				for _, c := range t.cols {
					if x := t.sheet.Rows[k].At(c.col); x.Kind != xlsx.Empty && !t.sheet.Hidden {
						known[t.sheet.Name+"!"+t.sheet.ref(x.Col, x.Row)] = true
					}
				}
			}
		}
	}
	return len(known) >= all
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
