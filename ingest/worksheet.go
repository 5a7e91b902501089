package ingest

import (
	"maps"
	"slices"
	"time"

	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// workGrid is where each day of each horse was first read from.
type workGrid map[string]*[7]yard.Cell

func (g workGrid) of(horse string) *[7]yard.Cell {
	if g[horse] == nil {
		g[horse] = &[7]yard.Cell{}
	}
	return g[horse]
}

// workSheets reads the work of each horse.
type workSheets struct {
	cells  *cellReader
	work   *workCells
	horses *horseList
	week   plannedWeek
	days   headerWords // the yard's own words for the days
	walk   walker
	grid   workGrid
	later  map[string]map[int]*laterWeek // by horse and weeks after this one
}

func readWork(in *layout, cells *cellReader, work *workCells, week plannedWeek, horses *horseList) {
	r := &workSheets{cells: cells, work: work, horses: horses, week: week, days: in.vocab.words, walk: in.walkWith(horses), grid: workGrid{}, later: map[string]map[int]*laterWeek{}}
	for i := range in.tables[workKind] {
		t := &in.tables[workKind][i]
		in.headings(t)
		days := 0
		for _, c := range t.cols {
			if c.isDay {
				days++
			}
		}
		if first, later := week.titledLater(in, t); days >= 3 && later {
			r.laterTable(t, first)
		} else if days >= 3 {
			r.weekTable(t)
		} else {
			r.rowsTable(t)
		}
	}
	r.takeLater()
	r.sayMissing(len(in.tables[workKind]) > 0)
}

// sayMissing says which horses have no work, and which days were left blank.
func (r *workSheets) sayMissing(any bool) {
	for i := range r.horses.all {
		h := &r.horses.all[i]
		if !h.WorkGiven {
			if any {
				r.cells.log.find("work-missing", yard.Warn, h.Name, h.Cell, yard.Say("finding.work-missing", yard.Named("horse", yard.HorseName, h.Name)))
			}
			continue
		}
		var empty []yard.Value
		for d, c := range r.grid.of(h.Name) {
			if c.Ref == "" && !h.Work[d].Unknown {
				empty = append(empty, r.week.dayArg("", d).Value)
			}
		}
		if len(empty) > 0 {
			r.cells.log.find("work-blank", yard.Note, h.Name, yard.Cell{}, yard.Say("finding.work-blank", yard.Listed("days", yard.Comma, empty...)))
		}
	}
}

// horse is the horse of a row, or of the block of rows it is in; nil: none.
func (r *workSheets) horse(t *table, rw xlsx.Row, above *string, aboveRow *int) *yard.Horse {
	c := t.cell(rw, "horse")
	name := r.cells.name(t, c, "horse")
	if name == "" && c.Kind == xlsx.Empty && *above != "" {
		if m, ok := t.sheet.Merged(rw.N, columnOf(c, t)); ok && m.Row1 <= *aboveRow {
			name = *above
		}
	}
	if name == "" {
		if c.Kind == xlsx.Empty {
			r.cells.log.find("name-missing", yard.Warn, "", t.sheet.place(rw.Cells[0]), yard.Say("finding.name-missing.work", yard.Said("line", t.line(rw))))
		}
		return nil
	}
	*above, *aboveRow = name, rw.N
	return r.horses.ofRow(t, c, name, yard.Warn)
}

func columnOf(c xlsx.Cell, t *table) int {
	if c.Col != 0 {
		return c.Col
	}
	return nameColumn(t)
}

// weekTable reads one row a horse with a column a day.
func (r *workSheets) weekTable(t *table) {
	above, aboveRow := "", 0
	var use, later []column
	inWeek := map[int]int{} // columns of each coming week: one or two alone are a slip of the pen
	for _, c := range t.cols {
		if c.isDay && !c.date.IsZero() && !r.week.beginning.IsZero() {
			inWeek[r.week.daysOn(c.date)/7]++
		}
	}
	for _, c := range t.cols {
		if !c.isDay {
			continue
		}
		if !c.date.IsZero() && !r.week.beginning.IsZero() {
			if n := r.week.daysOn(c.date); r.week.ahead(n) && inWeek[n/7] >= leastDaysAhead {
				later = append(later, c)
				continue
			} else if n < 0 || n > 6 {
				r.cells.log.find("work-date", yard.Warn, "", t.sheet.place(c.cell), yard.Say("finding.work-date.column", yard.Arg{Name: "day", Value: yard.Date{Date: c.date, Year: true}}, yard.Arg{Name: "week", Value: yard.Date{Date: r.week.beginning, Year: true}}))
				continue
			}
		}
		use = append(use, c)
	}
	// A day without a column is not a day without work.
	lacking := [7]bool{true, true, true, true, true, true, true}
	for _, c := range use {
		lacking[r.week.dayIndex(c.weekday)] = false
	}
	var none []yard.Value
	for d := range lacking {
		if lacking[d] {
			none = append(none, r.week.dayArg("", d).Value)
		}
	}
	if len(none) > 0 {
		r.cells.log.find("day-missing", yard.Warn, "", t.sheet.place(t.cols[0].cell), yard.Say("finding.day-missing", yard.Listed("days", yard.And, none...)))
	}
	r.walk.each(t, "horse", func(rw xlsx.Row) {
		h := r.horse(t, rw, &above, &aboveRow)
		if h == nil {
			return
		}
		// A second row is a second piece of work only where the sheet says so.
		_, partOfDay := t.col("time")
		adds := partOfDay && r.grid[h.Name] != nil
		h.WorkGiven = true
		g := r.grid.of(h.Name)
		seen := [7]bool{}
		for d := range lacking {
			if lacking[d] && g[d].Ref == "" {
				h.Work[d].Unknown = true
			}
		}
		for _, c := range use {
			x := rw.At(c.col)
			if x.Kind == xlsx.Empty {
				continue
			}
			d := r.week.dayIndex(c.weekday)
			r.addDay(t, h, &h.Work, g, d, x, adds || seen[d])
			seen[d] = true
		}
		for _, c := range later {
			if x := rw.At(c.col); x.Kind != xlsx.Empty {
				r.addLater(t, h, c.date, x)
			}
		}
	})
}

// laterTable reads a table of one row a horse and one column a day, headed
// with a week to come.
func (r *workSheets) laterTable(t *table, first time.Time) {
	r.cells.log.find("work-ahead", yard.Note, "", t.sheet.place(t.title), yard.Say("finding.work-ahead.table", yard.Arg{Name: "week", Value: yard.Date{Date: first, Year: true}}))
	above, aboveRow := "", 0
	r.walk.each(t, "horse", func(rw xlsx.Row) {
		h := r.horse(t, rw, &above, &aboveRow)
		if h == nil {
			return
		}
		for _, c := range t.cols {
			if x := rw.At(c.col); c.isDay && x.Kind != xlsx.Empty {
				r.addLater(t, h, first.AddDate(0, 0, (int(c.weekday)-int(first.Weekday())+7)%7), x)
			}
		}
	})
}

// addLater reads work for a day of a week still to come.
func (r *workSheets) addLater(t *table, h *yard.Horse, date time.Time, c xlsx.Cell) {
	n := r.week.daysOn(date)
	if r.later[h.Name] == nil {
		r.later[h.Name] = map[int]*laterWeek{}
	}
	w := r.later[h.Name][n/7]
	if w == nil {
		w = &laterWeek{}
		r.later[h.Name][n/7] = w
	}
	r.addDay(t, h, &w.days, &w.cells, n%7, c, true)
}

// laterWeek is the work of one horse for a week still to come.
type laterWeek struct {
	days  [7]yard.Day
	cells [7]yard.Cell
}

// leastDaysAhead is on how many days of a coming week something must be written
// before its other days are read as days without work: ours.
const leastDaysAhead = 3

// takeLater hands over the weeks to come that are written down far enough. One
// show in an empty week is not a week's work: what the horse does beside it is not
// known.
func (r *workSheets) takeLater() {
	for i := range r.horses.all {
		h := &r.horses.all[i]
		for _, n := range slices.Sorted(maps.Keys(r.later[h.Name])) {
			w := r.later[h.Name][n]
			written, first := 0, yard.Cell{}
			for _, c := range w.cells {
				if c.Ref != "" {
					written++
					if first.Ref == "" {
						first = c
					}
				}
			}
			begins := r.week.beginning.AddDate(0, 0, 7*n)
			if written < leastDaysAhead {
				r.cells.log.find("work-ahead", yard.Note, h.Name, first, yard.Say("finding.work-ahead.part", yard.Arg{Name: "week", Value: yard.Date{Date: begins, Year: true}}, yard.Count("n", written)))
				continue
			}
			h.Later = append(h.Later, yard.WorkWeek{Beginning: begins, Work: w.days})
		}
	}
}

// addDay reads a work cell into a day. Where one is there already, the two
// are added if the sheet is laid out for it, and else the day is unknown.
func (r *workSheets) addDay(t *table, h *yard.Horse, days *[7]yard.Day, g *[7]yard.Cell, d int, c xlsx.Cell, adds bool) {
	if old := &days[d]; len(old.Sessions) > MostMinutes || len(old.Text) > 4000 { // no day has a session a minute
		old.Unknown = true
		return
	}
	day := r.work.read(t, c, h.Name)
	if g[d].Ref == "" {
		g[d] = day.Cell
		days[d] = day
		return
	}
	old := &days[d]
	if !adds {
		old.Unknown = true
		r.cells.log.find("work-twice", yard.Warn, h.Name, day.Cell, yard.Say("finding.work-twice", yard.Named("horse", yard.HorseName, h.Name), r.week.dayArg("day", d), yard.Named("first", yard.Place, g[d].Ref), yard.Named("sheet", yard.Place, g[d].Sheet), wrote("there", g[d].Text), wrote("here", day.Text)))
		return
	}
	starts := append(old.Starts(), day.Starts()...)
	old.Sessions = append(old.Sessions, day.Sessions...)
	old.Unknown = old.Unknown || day.Unknown
	if old.Event = old.Event || day.Event; old.Event {
		old.SetStarts(starts)
	}
	old.Text += " + " + day.Text
	total := 0.0
	for _, s := range old.Sessions {
		total += s.Total()
	}
	if total > MostMinutes {
		old.Sessions, old.Unknown = nil, true
		r.cells.log.find("work-minutes", yard.Warn, h.Name, day.Cell, yard.Say("finding.work-minutes.sum", yard.Named("horse", yard.HorseName, h.Name), r.week.dayArg("day", d), yard.Figures("minutes", total, yard.NoUnit, 6), yard.Count("most", MostMinutes)))
	}
}

// rowsTable reads one session a row: date or day, horse, work.
func (r *workSheets) rowsTable(t *table) {
	if !t.has("date", "day") && !t.date.IsZero() && !r.week.beginning.IsZero() {
		if n := int(t.date.Sub(r.week.beginning).Hours() / 24); n < 0 || n > 6 {
			r.cells.log.find("work-date", yard.Note, "", yard.Cell{Sheet: t.sheet.Name}, yard.Say("finding.work-date.table", yard.Arg{Name: "day", Value: yard.Date{Date: t.date, Year: true}}, yard.Arg{Name: "week", Value: yard.Date{Date: r.week.beginning, Year: true}}))
			return
		}
	}
	above, aboveRow := "", 0
	before := workGrid{}
	r.walk.each(t, "horse", func(rw xlsx.Row) {
		h := r.horse(t, rw, &above, &aboveRow)
		if h == nil {
			return
		}
		days, at := &h.Work, r.grid
		workCell := t.cell(rw, "work")
		if workCell.Kind == xlsx.Empty {
			return
		}
		d := -1
		if c := t.cell(rw, "date"); !blank(c) {
			if w, ok := r.days.weekdayOf(c.Shown); ok && c.Kind == xlsx.Text {
				d = r.week.dayIndex(w)
			} else {
				date := r.cells.date(t, c, yard.Say("field.date.session"), h.Name)
				if date.IsZero() {
					r.lostWork(t, h, workCell, yard.Say("part.lost.date"))
					return
				}
				if r.week.beginning.IsZero() {
					d = r.week.dayIndex(date.Weekday())
				} else if n := int(date.Sub(r.week.beginning).Hours() / 24); n >= 0 && n <= 6 {
					d = n
				} else if n < 0 && n >= -7 {
					d, days, at = n+7, &h.Before, before // last week's work: what this week's is compared with
				} else if r.week.ahead(n) {
					r.addLater(t, h, date, workCell)
					return
				} else {
					// Other weeks are on the same sheet in a diary.
					r.cells.log.once("other week "+t.sheet.Name, "work-date", yard.Note, t.sheet.place(c), yard.Say("finding.work-date.rows", yard.Arg{Name: "week", Value: yard.Date{Date: r.week.beginning, Year: true}}, yard.Count("weeks", yard.MostWeeksAhead)))
					return
				}
			}
		} else if c := t.cell(rw, "day"); !blank(c) {
			w, ok := r.days.weekdayOf(c.Shown)
			if !ok && c.Kind == xlsx.Date {
				w, ok = c.Day.Weekday(), true
			}
			if !ok {
				r.cells.log.find("cell-date", yard.Warn, h.Name, t.sheet.place(c), yard.Say("finding.cell-date.day", wrote("wrote", c.Shown)))
				r.lostWork(t, h, workCell, yard.Say("part.lost.day"))
				return
			}
			d = r.week.dayIndex(w)
		} else if t.isOfDay {
			d = r.week.dayIndex(t.day)
		} else {
			r.cells.log.find("cell-date", yard.Warn, h.Name, t.sheet.place(workCell), yard.Say("finding.cell-date.no day"))
			r.lostWork(t, h, workCell, yard.Say("part.lost.no day"))
			return
		}
		if days == &h.Before {
			h.BeforeGiven = true
		} else {
			h.WorkGiven = true
		}
		r.addDay(t, h, days, at.of(h.Name), d, workCell, true)
	})
}

// lostWork: a session whose day is unknown may lie on any day, so no day can be
// called known.
func (r *workSheets) lostWork(t *table, h *yard.Horse, c xlsx.Cell, why yard.Saying) {
	h.WorkGiven = true
	for d := range h.Work {
		h.Work[d].Unknown = true
	}
	r.cells.log.find("work-date", yard.Warn, h.Name, t.sheet.place(c), yard.Say("finding.work-date.lost", wrote("wrote", c.Shown), yard.Said("why", why), yard.Named("horse", yard.HorseName, h.Name)))
}
