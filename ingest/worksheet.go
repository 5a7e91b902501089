package ingest

import (
	"maps"
	"math"
	"slices"
	"time"

	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

func (r *reader) readSessions() {
	for i := range r.tables[sessionsKind] {
		t := &r.tables[sessionsKind][i]
		r.headings(t)
		r.rowsOf(t, "session", func(rw xlsx.Row) {
			if len(r.sessions) > mostSessions {
				return // refused in the end
			}
			c := t.cell(rw, "session")
			name := r.nameOf(t, c, "session")
			if name == "" {
				return
			}
			if _, ok := r.sessions[fold(name)]; ok {
				r.find("session-twice", yard.Warn, "", t.sheet.place(c), yard.Say("finding.session-twice", wrote("session", name)))
				return
			}
			s := yard.Session{Name: name}
			good := true
			for g, key := range []string{"walk", "trot", "canter", "gallop", "jump"} {
				col, ok := t.col(key)
				if !ok || blank(rw.At(col.col)) {
					continue
				}
				v := r.take(t, rw.At(col.col), col.heading.unit, field{what: yard.Say("field.session minutes", yard.Named("gait", yard.Term, key), yard.Words("session", name)), factors: minPer, unit: "min", min: 0, max: MostMinutes, in: yard.Minutes, example: "20"}, "", yard.Warn)
				good = good && v.IsKnown()
				s.Minutes[g] = v.Or(0) // an unknown one drops the whole session below
			}
			if !good {
				// Half a session would understate the work without a word.
				r.find("session-unused", yard.Warn, "", t.sheet.place(c), yard.Say("finding.session-unused", wrote("session", name)))
				r.sessions[fold(name)] = yard.Session{Name: name}
				return
			}
			if v, ok := r.take(t, t.cell(rw, "efforts"), "", field{what: yard.Say("field.session efforts", yard.Words("session", name)), min: 0, max: 500, example: "12"}, "", yard.Note).Get(); ok {
				s.Efforts = int(v)
			}
			how := choice(r, t, t.cell(rw, "how"), yard.Say("field.how ridden"), "", riddenWords, "ridden", yard.Say("part.expected.how ridden"))
			s.Led = how == "led"
			s.Hills, _ = yes(t.cell(rw, "hills"))
			r.sessions[fold(name)] = s
		})
	}
}

var riddenWords = map[string]string{
	"ridden": "ridden", "rider": "ridden", "yes": "ridden", "mounted": "ridden",
	"led": "led", "loose": "led", "lunge": "led", "lunged": "led", "lungeing": "led", "lunging": "led", "walker": "led", "in hand": "led", "long reins": "led", "no rider": "led", "driven": "led", "ponied": "led",
}

// workGrid is where each day of each horse was first read from.
type workGrid map[string]*[7]yard.Cell

func (r *reader) readWork() {
	grid := workGrid{}
	r.work = newWorkWords(r.sessions, r.vocab.words)
	for i := range r.tables[workKind] {
		t := &r.tables[workKind][i]
		r.headings(t)
		days := 0
		for _, c := range t.cols {
			if c.isDay {
				days++
			}
		}
		if first, later := r.titledLater(t); days >= 3 && later {
			r.readLaterWeek(t, first)
		} else if days >= 3 {
			r.readWorkWeek(t, grid)
		} else {
			r.readWorkRows(t, grid)
		}
	}
	r.takeLater()
	for i := range r.week.Horses {
		h := &r.week.Horses[i]
		if !h.WorkGiven {
			if len(r.tables[workKind]) > 0 {
				r.find("work-missing", yard.Warn, h.Name, h.Cell, yard.Say("finding.work-missing", yard.Named("horse", yard.HorseName, h.Name)))
			}
			continue
		}
		var empty []yard.Value
		for d, c := range grid.of(h.Name) {
			if c.Ref == "" && !h.Work[d].Unknown {
				empty = append(empty, r.dayArg("", d).Value)
			}
		}
		if len(empty) > 0 {
			r.find("work-blank", yard.Note, h.Name, yard.Cell{}, yard.Say("finding.work-blank", yard.Listed("days", yard.Comma, empty...)))
		}
	}
}

// dayArg is a day of the week, by its date where the week has one; a week without
// begins on a Monday.
func (r *reader) dayArg(name string, d int) yard.Arg {
	beginning := r.week.Beginning
	if beginning.IsZero() {
		beginning = someMonday
	}
	return yard.Arg{Name: name, Value: yard.DayOfWeek{Date: beginning.AddDate(0, 0, d), Number: yard.Weekday(d)}}
}

// someMonday is any Monday: of a week without dates only the names of its days are said.
var someMonday = time.Date(2001, 1, 1, 0, 0, 0, 0, time.UTC)

func (r *reader) workHorse(t *table, rw xlsx.Row, above *string, aboveRow *int) *yard.Horse {
	c := t.cell(rw, "horse")
	name := r.nameOf(t, c, "horse")
	if name == "" && c.Kind == xlsx.Empty && *above != "" {
		if m, ok := t.sheet.Merged(rw.N, columnOf(c, t)); ok && m.Row1 <= *aboveRow {
			name = *above
		}
	}
	if name == "" {
		if c.Kind == xlsx.Empty {
			r.find("name-missing", yard.Warn, "", t.sheet.place(rw.Cells[0]), yard.Say("finding.name-missing.work", yard.Said("line", t.line(rw))))
		}
		return nil
	}
	*above, *aboveRow = name, rw.N
	return r.horseNamed(t, c, name, yard.Warn)
}

func columnOf(c xlsx.Cell, t *table) int {
	if c.Col != 0 {
		return c.Col
	}
	return nameColumn(t)
}

// readWorkWeek reads one row a horse with a column a day.
func (r *reader) readWorkWeek(t *table, grid workGrid) {
	above, aboveRow := "", 0
	var use, later []column
	inWeek := map[int]int{} // columns of each coming week: one or two alone are a slip of the pen
	for _, c := range t.cols {
		if c.isDay && !c.date.IsZero() && !r.week.Beginning.IsZero() {
			inWeek[r.daysOn(c.date)/7]++
		}
	}
	for _, c := range t.cols {
		if !c.isDay {
			continue
		}
		if !c.date.IsZero() && !r.week.Beginning.IsZero() {
			if n := r.daysOn(c.date); r.ahead(n) && inWeek[n/7] >= leastDaysAhead {
				later = append(later, c)
				continue
			} else if n < 0 || n > 6 {
				r.find("work-date", yard.Warn, "", t.sheet.place(c.cell), yard.Say("finding.work-date.column", yard.Arg{Name: "day", Value: yard.Date{Date: c.date, Year: true}}, yard.Arg{Name: "week", Value: yard.Date{Date: r.week.Beginning, Year: true}}))
				continue
			}
		}
		use = append(use, c)
	}
	// A day without a column is not a day without work.
	lacking := [7]bool{true, true, true, true, true, true, true}
	for _, c := range use {
		lacking[r.dayIndex(c.weekday)] = false
	}
	var none []yard.Value
	for d := range lacking {
		if lacking[d] {
			none = append(none, r.dayArg("", d).Value)
		}
	}
	if len(none) > 0 {
		r.find("day-missing", yard.Warn, "", t.sheet.place(t.cols[0].cell), yard.Say("finding.day-missing", yard.Listed("days", yard.And, none...)))
	}
	r.rowsOf(t, "horse", func(rw xlsx.Row) {
		h := r.workHorse(t, rw, &above, &aboveRow)
		if h == nil {
			return
		}
		// A second row is a second piece of work only where the sheet says so.
		_, partOfDay := t.col("time")
		adds := partOfDay && grid[h.Name] != nil
		h.WorkGiven = true
		g := grid.of(h.Name)
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
			d := r.dayIndex(c.weekday)
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

// daysOn is a date's distance from the first day of the week, days.
func (r *reader) daysOn(date time.Time) int {
	return int(math.Floor(date.Sub(r.week.Beginning).Hours() / 24))
}

// ahead says whether a day so far from the first of the week is in one of the
// weeks to come that are looked at.
func (r *reader) ahead(days int) bool { return days > 6 && days < 7*(1+yard.MostWeeksAhead) }

// titledLater is the first day of the coming week a work table is headed with;
// later is false where no other table has the work of this week.
func (r *reader) titledLater(t *table) (first time.Time, later bool) {
	if first, later = r.titledAhead(t); !later {
		return first, false
	}
	for i := range r.tables[workKind] {
		if _, ahead := r.titledAhead(&r.tables[workKind][i]); !ahead {
			return first, true
		}
	}
	return time.Time{}, false
}

// titledAhead is the week a work table is headed with, where it is one to come.
func (r *reader) titledAhead(t *table) (time.Time, bool) {
	if r.week.Beginning.IsZero() || slices.ContainsFunc(t.cols, func(c column) bool { return c.isDay && !c.date.IsZero() }) {
		return time.Time{}, false
	}
	d, ok := r.vocab.weekTitle(t.title)
	return d, ok && r.ahead(r.daysOn(d))
}

// readLaterWeek reads a table of one row a horse and one column a day, headed
// with a week to come.
func (r *reader) readLaterWeek(t *table, first time.Time) {
	r.find("work-ahead", yard.Note, "", t.sheet.place(t.title), yard.Say("finding.work-ahead.table", yard.Arg{Name: "week", Value: yard.Date{Date: first, Year: true}}))
	above, aboveRow := "", 0
	r.rowsOf(t, "horse", func(rw xlsx.Row) {
		h := r.workHorse(t, rw, &above, &aboveRow)
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
func (r *reader) addLater(t *table, h *yard.Horse, date time.Time, c xlsx.Cell) {
	n := r.daysOn(date)
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
func (r *reader) takeLater() {
	for i := range r.week.Horses {
		h := &r.week.Horses[i]
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
			begins := r.week.Beginning.AddDate(0, 0, 7*n)
			if written < leastDaysAhead {
				r.find("work-ahead", yard.Note, h.Name, first, yard.Say("finding.work-ahead.part", yard.Arg{Name: "week", Value: yard.Date{Date: begins, Year: true}}, yard.Count("n", written)))
				continue
			}
			h.Later = append(h.Later, yard.WorkWeek{Beginning: begins, Work: w.days})
		}
	}
}

func (g workGrid) of(horse string) *[7]yard.Cell {
	if g[horse] == nil {
		g[horse] = &[7]yard.Cell{}
	}
	return g[horse]
}

// addDay reads a work cell into a day. Where one is there already, the two
// are added if the sheet is laid out for it, and else the day is unknown.
func (r *reader) addDay(t *table, h *yard.Horse, days *[7]yard.Day, g *[7]yard.Cell, d int, c xlsx.Cell, adds bool) {
	if old := &days[d]; len(old.Sessions) > MostMinutes || len(old.Text) > 4000 { // no day has a session a minute
		old.Unknown = true
		return
	}
	day := r.readWorkCell(t, c, h.Name)
	if g[d].Ref == "" {
		g[d] = day.Cell
		days[d] = day
		return
	}
	old := &days[d]
	if !adds {
		old.Unknown = true
		r.find("work-twice", yard.Warn, h.Name, day.Cell, yard.Say("finding.work-twice", yard.Named("horse", yard.HorseName, h.Name), r.dayArg("day", d), yard.Named("first", yard.Place, g[d].Ref), yard.Named("sheet", yard.Place, g[d].Sheet), wrote("there", g[d].Text), wrote("here", day.Text)))
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
		r.find("work-minutes", yard.Warn, h.Name, day.Cell, yard.Say("finding.work-minutes.sum", yard.Named("horse", yard.HorseName, h.Name), r.dayArg("day", d), yard.Figures("minutes", total, yard.NoUnit, 6), yard.Count("most", MostMinutes)))
	}
}

func (r *reader) readWorkCell(t *table, c xlsx.Cell, horse string) yard.Day {
	place := t.sheet.place(c)
	unknown := yard.Day{Unknown: true, Text: c.Shown, Cell: place}
	switch c.Kind {
	case xlsx.Wrong, xlsx.Uncached:
		_, rule, why := quantityOf(c)
		r.find(rule, yard.Warn, horse, place, yard.Say("finding.cell.work", yard.Said("why", why)))
		return unknown
	case xlsx.Date:
		r.find("work-word", yard.Warn, horse, place, yard.Say("finding.work-word.date", wrote("wrote", c.Shown)))
		return unknown
	case xlsx.Boolean:
		r.find("work-word", yard.Warn, horse, place, yard.Say("finding.work-word.boolean", wrote("wrote", c.Shown)))
		return unknown
	case xlsx.Clock:
		r.find("work-word", yard.Warn, horse, place, yard.Say("finding.work-word.clock", wrote("wrote", c.Shown)))
		return unknown
	}
	read, seen := r.workRead[c.Shown]
	if !seen { // the same work is in many cells
		if len(c.Shown) > mostCellText {
			unknown.Text, unknown.Cell.Text = short(c.Shown), short(c.Shown)
			r.find("work-word", yard.Warn, horse, unknown.Cell, yard.Say("finding.work-word.long", yard.Count("n", len(c.Shown))))
			return unknown
		}
		if r.workText += len(c.Shown); r.workText > mostWorkText {
			return unknown // refused in the end
		}
		read.day, read.problems = r.work.parse(c.Shown)
		r.workRead[c.Shown] = read
	}
	day := read.day
	day.Sessions = slices.Clone(day.Sessions)
	day.Cell = place
	for _, p := range read.problems {
		r.find(p.Rule, yard.Warn, horse, place, yard.Say("finding.work.cell", wrote("wrote", c.Shown), yard.Said("why", p.Saying)))
	}
	return day
}

// readWorkRows reads one session a row: date or day, horse, work.
func (r *reader) readWorkRows(t *table, grid workGrid) {
	if !t.has("date", "day") && !t.date.IsZero() && !r.week.Beginning.IsZero() {
		if n := int(t.date.Sub(r.week.Beginning).Hours() / 24); n < 0 || n > 6 {
			r.find("work-date", yard.Note, "", yard.Cell{Sheet: t.sheet.Name}, yard.Say("finding.work-date.table", yard.Arg{Name: "day", Value: yard.Date{Date: t.date, Year: true}}, yard.Arg{Name: "week", Value: yard.Date{Date: r.week.Beginning, Year: true}}))
			return
		}
	}
	above, aboveRow := "", 0
	before := workGrid{}
	r.rowsOf(t, "horse", func(rw xlsx.Row) {
		h := r.workHorse(t, rw, &above, &aboveRow)
		if h == nil {
			return
		}
		days, at := &h.Work, grid
		workCell := t.cell(rw, "work")
		if workCell.Kind == xlsx.Empty {
			return
		}
		d := -1
		if c := t.cell(rw, "date"); !blank(c) {
			if w, ok := r.vocab.words.weekdayOf(c.Shown); ok && c.Kind == xlsx.Text {
				d = r.dayIndex(w)
			} else {
				date := r.takeDate(t, c, yard.Say("field.date.session"), h.Name)
				if date.IsZero() {
					r.lostWork(t, h, workCell, yard.Say("part.lost.date"))
					return
				}
				if r.week.Beginning.IsZero() {
					d = r.dayIndex(date.Weekday())
				} else if n := int(date.Sub(r.week.Beginning).Hours() / 24); n >= 0 && n <= 6 {
					d = n
				} else if n < 0 && n >= -7 {
					d, days, at = n+7, &h.Before, before // last week's work: what this week's is compared with
				} else if r.ahead(n) {
					r.addLater(t, h, date, workCell)
					return
				} else {
					// Other weeks are on the same sheet in a diary.
					r.once("other week "+t.sheet.Name, "work-date", yard.Note, t.sheet.place(c), yard.Say("finding.work-date.rows", yard.Arg{Name: "week", Value: yard.Date{Date: r.week.Beginning, Year: true}}, yard.Count("weeks", yard.MostWeeksAhead)))
					return
				}
			}
		} else if c := t.cell(rw, "day"); !blank(c) {
			w, ok := r.vocab.words.weekdayOf(c.Shown)
			if !ok && c.Kind == xlsx.Date {
				w, ok = c.Day.Weekday(), true
			}
			if !ok {
				r.find("cell-date", yard.Warn, h.Name, t.sheet.place(c), yard.Say("finding.cell-date.day", wrote("wrote", c.Shown)))
				r.lostWork(t, h, workCell, yard.Say("part.lost.day"))
				return
			}
			d = r.dayIndex(w)
		} else if t.isOfDay {
			d = r.dayIndex(t.day)
		} else {
			r.find("cell-date", yard.Warn, h.Name, t.sheet.place(workCell), yard.Say("finding.cell-date.no day"))
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
func (r *reader) lostWork(t *table, h *yard.Horse, c xlsx.Cell, why yard.Saying) {
	h.WorkGiven = true
	for d := range h.Work {
		h.Work[d].Unknown = true
	}
	r.find("work-date", yard.Warn, h.Name, t.sheet.place(c), yard.Say("finding.work-date.lost", wrote("wrote", c.Shown), yard.Said("why", why), yard.Named("horse", yard.HorseName, h.Name)))
}
