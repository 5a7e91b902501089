package board

// daysOverTables finds the tables of a sheet that are a day each: a day stands alone over
// their headings, and over another's too.
func (v *vocabulary) daysOverTables(tables []*table) {
	bySheet := map[*sheetData][]*table{}
	for _, t := range tables {
		if t.g.turned || t.kind != "" {
			continue
		}
		if c := v.dayOver(t); c != nil {
			t.dayOver, t.day = c, v.labelOf(c).day
			bySheet[t.g.page] = append(bySheet[t.g.page], t)
		}
	}
	for s, ts := range bySheet {
		for _, t := range ts {
			if len(ts) < 2 || ts[0].day == ts[1].day {
				t.dayOver = nil
				continue
			}
			s.mark(t.dayOver, "label", "its table's day")
		}
	}
}

// dayOver is the cell that stands alone in the row over a table, or in the one above that,
// and is a day and nothing else; nil where there is none, or the table has days of its own.
func (v *vocabulary) dayOver(t *table) *Cell {
	for _, k := range t.cols {
		if k.day >= 0 || len(k.days) > 0 {
			return nil
		}
	}
	for r := t.h1 - 1; r >= max(1, t.h1-2); r-- {
		row := t.g.row(r)
		if len(row) == 0 {
			continue
		}
		c := row[0]
		if l := v.labelOf(c); len(row) == 1 && c.free() && t.g.colOf(c) <= t.c2 && l.day >= 0 && l.full() && len(l.order) == 0 {
			return c
		}
		return nil
	}
	return nil
}

// ownDay is the day that all of a table is of, by what is over it or by its tab; -1 where
// neither says.
func (t *table) ownDay() int {
	switch {
	case t.dayOver != nil:
		return t.day
	case t.g.page.dayTab > 0:
		return t.g.page.dayTab - 1
	}
	return -1
}
