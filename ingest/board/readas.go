package board

import (
	"cmp"
	"slices"

	"hardfeed/ration/yard"
)

// readAs writes down how each table and each block was read, and why so.
func readAs(sheets []*sheetData, tables []*table, forms []*form, cal *calendar, w *yard.Week) {
	for _, t := range tables {
		w.Regions = append(w.Regions, tableReadAs(t))
	}
	for _, f := range forms {
		for _, p := range f.parts {
			r := yard.RegionRead{At: placeAt(f.sheet, p.r1, p.c1), To: refOf(p.c2, p.r2), What: yard.Say("read.block", yard.Named("horse", yard.HorseName, f.horse))}
			takeWeek(&r, cal.weekOfRegion(f.sheet, p.r2+1), f.sheet)
			w.Regions = append(w.Regions, r)
		}
	}
	order := map[string]int{}
	for i, s := range sheets {
		order[s.Name] = i
	}
	slices.SortStableFunc(w.Regions, func(x, y yard.RegionRead) int {
		return cmp.Compare(order[x.At.Sheet], order[y.At.Sheet])
	})
}

// takeWeek takes over the week a region is of, and what says so.
func takeWeek(r *yard.RegionRead, w *weekOf, s *sheetData) {
	if w == nil {
		return
	}
	r.Week = w.first
	switch {
	case w.from != nil:
		r.WeekBy = place(s, w.from)
	case !w.first.IsZero():
		r.WeekBy = yard.Cell{Sheet: s.Name}
	}
}

func placeAt(s *sheetData, row, col int) yard.Cell {
	return yard.Cell{Sheet: s.Name, Ref: refOf(col, row)}
}

// tableReadAs is how a table was read.
func tableReadAs(t *table) yard.RegionRead {
	at := func(r, c int) (row, col int) {
		if t.g.turned {
			return c, r
		}
		return r, c
	}
	r1, c1 := at(t.h1, t.c1)
	r2, c2 := at(t.end-1, t.c2)
	r := yard.RegionRead{At: placeAt(t.g.page, r1, c1), To: refOf(c2, r2), What: yard.Say("read.rows")}
	switch {
	case t.kind != "":
		r.What, r.NotOfUse = yard.Say("read.unread."+t.kind), true
		return r
	case t.g.page.blank:
		r.What, r.NotOfUse = yard.Say("read.unread.blank"), true
		return r
	case t.g.turned:
		r.What = yard.Say("read.columns")
	}
	takeWeek(&r, t.week, t.g.page)
	for _, k := range t.cols {
		if k.role == noRole && k.own == nil {
			continue
		}
		head := k.own
		row, col := at(t.head, k.at)
		c := yard.ColumnRead{Head: placeAt(t.g.page, row, col), As: k.readsAs(), Why: yard.Say("read.why." + cmp.Or(k.why, "blank"))}
		if head != nil {
			c.Head = place(t.g.page, head)
		}
		r.Columns = append(r.Columns, c)
	}
	return r
}

// readsAs is what a column was taken to be about.
func (k *column) readsAs() yard.Saying {
	switch {
	case k.role == attrRole:
		return yard.Say("read.as.row")
	case k.role == feedRole && k.when == nowFed:
		return yard.Say("read.as.feed now")
	case k.role == feedRole && k.when == planned:
		return yard.Say("read.as.feed planned")
	}
	return yard.Say("read.as." + roleKeys[k.role])
}

// roleKeys are the roles as the table of words has them.
var roleKeys = map[role]string{noRole: "nothing", nameRole: "names", weightRole: "weights", workRole: "work", feedRole: "feed", hayRole: "hay", notesRole: "notes", healthRole: "health",
	girthRole: "girths", lengthRole: "lengths", heightRole: "heights", minutesRole: "minutes", otherRole: "other"}
