package ingest

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"time"

	"hardfeed/ration/yard"
)

func (r *reader) readSessions() {
	for i := range r.tables[sessionsKind] {
		t := &r.tables[sessionsKind][i]
		r.headings(t)
		r.rowsOf(t, "session", func(rw row) {
			if len(r.sessions) > mostSessions {
				return // refused in the end
			}
			c := t.cell(rw, "session")
			name := r.nameOf(t, c, "session")
			if name == "" {
				return
			}
			if _, ok := r.sessions[fold(name)]; ok {
				r.find("session-twice", yard.Warn, "", t.sheet.place(c), "The session %.60q stands twice; the first was used. Give the other another name.", name)
				return
			}
			s := yard.Session{Name: name}
			good := true
			for g, key := range []string{"walk", "trot", "canter", "gallop", "jump"} {
				col, ok := t.col(key)
				if !ok || blank(rw.at(col.col)) {
					continue
				}
				v := r.take(t, rw.at(col.col), col.heading.unit, field{what: key + " of the session " + name, factors: minPer, unit: "min", min: 0, max: MostMinutes, in: "minutes"}, "", yard.Warn)
				good = good && v.IsKnown()
				s.Minutes[g] = v.Or(0) // an unknown one drops the whole session below
			}
			if !good {
				// Half a session would understate the work without a word.
				r.find("session-unused", yard.Warn, "", t.sheet.place(c), "The session %.60q was not used, because some of its minutes could not be read; work cells that name it count as unknown.", name)
				r.sessions[fold(name)] = yard.Session{Name: name}
				return
			}
			if v, ok := r.take(t, t.cell(rw, "efforts"), "", field{what: "jumping efforts of " + name, min: 0, max: 500}, "", yard.Note).Get(); ok {
				s.Efforts = int(v)
			}
			how := choice(r, t, t.cell(rw, "how"), "entry for ridden or led", "", riddenWords, "ridden", "ridden, led or loose")
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
				r.find("work-missing", yard.Warn, h.Name, h.Cell, "%s has no row on the work sheet, so its work is unknown: its need is worked out as at rest and the program raises no hard feed of itself. Add a row, with rest where it does nothing.", h.Name)
			}
			continue
		}
		var empty []string
		for d, c := range grid.of(h.Name) {
			if c.Ref == "" && !h.Work[d].Unknown {
				empty = append(empty, r.dayName(d))
			}
		}
		if len(empty) > 0 {
			r.find("work-blank", yard.Note, h.Name, yard.Cell{}, "Left blank on the work sheet and read as no work: %s.", strings.Join(empty, ", "))
		}
	}
}

func (r *reader) dayName(d int) string {
	first := time.Monday
	if !r.week.Beginning.IsZero() {
		first = r.week.Beginning.Weekday()
	}
	return ((first + time.Weekday(d)) % 7).String()[:3]
}

func (r *reader) workHorse(t *table, rw row, above *string, aboveRow *int) *yard.Horse {
	c := t.cell(rw, "horse")
	name := r.nameOf(t, c, "horse")
	if name == "" && c.kind == empty && *above != "" {
		if m, ok := t.sheet.merged(rw.n, c.colOr(t)); ok && m.row1 <= *aboveRow {
			name = *above
		}
	}
	if name == "" {
		if c.kind == empty {
			r.find("name-missing", yard.Warn, "", t.sheet.place(rw.cells[0]), "%s of the work sheet has no horse's name, so it was not used. Write the name.", t.line(rw))
		}
		return nil
	}
	*above, *aboveRow = name, rw.n
	return r.horseNamed(t, c, name, yard.Warn)
}

func (c cell) colOr(t *table) int {
	if c.col != 0 {
		return c.col
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
				r.find("work-date", yard.Warn, "", t.sheet.place(c.cell), "The column %s is not in the week beginning %s and was not read. Correct the date, or the week on the yard sheet.",
					c.date.Format("Mon 2 January 2006"), r.week.Beginning.Format("2 January 2006"))
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
	var none []string
	for d := range lacking {
		if lacking[d] {
			none = append(none, r.dayName(d))
		}
	}
	if len(none) > 0 {
		r.find("day-missing", yard.Warn, "", t.sheet.place(t.cols[0].cell), "The work sheet has no column for %s, so that work is unknown. Add the column, or head it with the day's usual name.", strings.Join(none, ", "))
	}
	r.rowsOf(t, "horse", func(rw row) {
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
			x := rw.at(c.col)
			if x.kind == empty {
				continue
			}
			d := r.dayIndex(c.weekday)
			r.addDay(t, h, &h.Work, g, d, x, adds || seen[d])
			seen[d] = true
		}
		for _, c := range later {
			if x := rw.at(c.col); x.kind != empty {
				r.addLater(t, h, c.date, x)
			}
		}
	})
}

// daysOn is a date's distance from the first day of the week, days.
func (r *reader) daysOn(date time.Time) int {
	return int(math.Floor(date.Sub(r.week.Beginning).Hours() / 24))
}

// ahead says whether a day so far from the first of the week lies in one of the
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
	r.find("work-ahead", yard.Note, "", t.sheet.place(t.title), "This table was read as work for the week beginning %s, a week to come.", first.Format("2 January 2006"))
	above, aboveRow := "", 0
	r.rowsOf(t, "horse", func(rw row) {
		h := r.workHorse(t, rw, &above, &aboveRow)
		if h == nil {
			return
		}
		for _, c := range t.cols {
			if x := rw.at(c.col); c.isDay && x.kind != empty {
				r.addLater(t, h, first.AddDate(0, 0, (int(c.weekday)-int(first.Weekday())+7)%7), x)
			}
		}
	})
}

// addLater reads work for a day of a week still to come.
func (r *reader) addLater(t *table, h *yard.Horse, date time.Time, c cell) {
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
// show in an empty week is no week's work: what the horse does beside it is not
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
				r.find("work-ahead", yard.Note, h.Name, first, "The week beginning %s has work on %d of its days only, so it was not looked at ahead. Write what the horse does on the others too, with rest where it does nothing.", begins.Format("2 January 2006"), written)
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

// addDay reads a work cell into a day. Where one stands there already, the two
// are added if the sheet is laid out for it, and else the day is unknown.
func (r *reader) addDay(t *table, h *yard.Horse, days *[7]yard.Day, g *[7]yard.Cell, d int, c cell, adds bool) {
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
		r.find("work-twice", yard.Warn, h.Name, day.Cell, "The work of %s for %s stands in two places, %s on %s (%.40q) and here (%.40q), so it counts as unknown. Write it in one place only.",
			h.Name, r.dayName(d), g[d].Ref, g[d].Sheet, g[d].Text, day.Text)
		return
	}
	old.Sessions = append(old.Sessions, day.Sessions...)
	old.Unknown = old.Unknown || day.Unknown
	if day.Event && (!old.Event || old.StartMin < 0 || day.StartMin >= 0 && day.StartMin < old.StartMin) {
		old.StartMin = day.StartMin
	}
	old.Event = old.Event || day.Event
	old.Text += " + " + day.Text
	total := 0.0
	for _, s := range old.Sessions {
		total += s.Total()
	}
	if total > MostMinutes {
		old.Sessions, old.Unknown = nil, true
		r.find("work-minutes", yard.Warn, h.Name, day.Cell, "The work of %s for %s adds up to %.0f minutes, and more than %d is not believed. Correct the minutes.", h.Name, r.dayName(d), total, MostMinutes)
	}
}

func (r *reader) readWorkCell(t *table, c cell, horse string) yard.Day {
	place := t.sheet.place(c)
	unknown := yard.Day{Unknown: true, Text: c.shown, Cell: place}
	switch c.kind {
	case wrong, uncached:
		_, rule, why := c.quantity()
		r.find(rule, yard.Warn, horse, place, "The work %s. Write the work as text, such as hack 60 or rest.", why)
		return unknown
	case dated:
		r.find("work-word", yard.Warn, horse, place, "The work cell holds the date %s. Write the work as text, such as hack 60 or rest.", c.shown)
		return unknown
	case boolean:
		r.find("work-word", yard.Warn, horse, place, "The work cell holds %s. Write the work as text, such as hack 60 or rest.", c.shown)
		return unknown
	case clocked:
		r.find("work-word", yard.Warn, horse, place, "The work cell holds the time %s and no work. Write it as text, such as show 10:00.", c.shown)
		return unknown
	}
	read, seen := r.workRead[c.shown]
	if !seen { // the same work stands in many cells
		if len(c.shown) > mostCellText {
			unknown.Text, unknown.Cell.Text = short(c.shown), short(c.shown)
			r.find("work-word", yard.Warn, horse, unknown.Cell, "The work is %d characters long, more than is read. Write what the horse does only, such as hack 60 or rest.", len(c.shown))
			return unknown
		}
		if r.workText += len(c.shown); r.workText > mostWorkText {
			return unknown // refused in the end
		}
		read.day, read.problems = r.work.parse(c.shown)
		r.workRead[c.shown] = read
	}
	day := read.day
	day.Sessions = slices.Clone(day.Sessions)
	day.Cell = place
	for _, p := range read.problems {
		r.find(p.Rule, yard.Warn, horse, place, "Work %q: %s", short(c.shown), sentence(p.Message))
	}
	return day
}

func short(s string) string {
	if r := []rune(s); len(r) > 60 {
		return string(r[:60]) + "…"
	}
	return s
}

func sentence(s string) string {
	if strings.HasSuffix(s, "?") || strings.HasSuffix(s, ".") {
		return s
	}
	return s + "."
}

// readWorkRows reads one session a row: date or day, horse, work.
func (r *reader) readWorkRows(t *table, grid workGrid) {
	if !t.has("date", "day") && !t.date.IsZero() && !r.week.Beginning.IsZero() {
		if n := int(t.date.Sub(r.week.Beginning).Hours() / 24); n < 0 || n > 6 {
			r.find("work-date", yard.Note, "", yard.Cell{Sheet: t.sheet.name}, "The work of %s is not in the week beginning %s and was not read.", t.date.Format("Mon 2 January 2006"), r.week.Beginning.Format("2 January 2006"))
			return
		}
	}
	above, aboveRow := "", 0
	before := workGrid{}
	r.rowsOf(t, "horse", func(rw row) {
		h := r.workHorse(t, rw, &above, &aboveRow)
		if h == nil {
			return
		}
		days, at := &h.Work, grid
		workCell := t.cell(rw, "work")
		if workCell.kind == empty {
			return
		}
		d := -1
		if c := t.cell(rw, "date"); !blank(c) {
			if w, ok := r.vocab.words.weekdayOf(c.shown); ok && c.kind == written {
				d = r.dayIndex(w)
			} else {
				date := r.takeDate(t, c, "of the work", h.Name)
				if date.IsZero() {
					r.lostWork(t, h, workCell, "its date could not be read")
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
					// Other weeks stand on the same sheet in a diary.
					r.once("other week "+t.sheet.name, "work-date", yard.Note, t.sheet.place(c), "Rows of the work sheet before the week before the one beginning %s, or more than %d weeks after it, were not read, from this one on.", r.week.Beginning.Format("2 January 2006"), yard.MostWeeksAhead)
					return
				}
			}
		} else if c := t.cell(rw, "day"); !blank(c) {
			w, ok := r.vocab.words.weekdayOf(c.shown)
			if !ok && c.kind == dated {
				w, ok = c.day.Weekday(), true
			}
			if !ok {
				r.find("cell-date", yard.Warn, h.Name, t.sheet.place(c), "The day %.40q was not understood. Write Mon to Sun.", c.shown)
				r.lostWork(t, h, workCell, "its day could not be read")
				return
			}
			d = r.dayIndex(w)
		} else if t.isOfDay {
			d = r.dayIndex(t.day)
		} else {
			r.find("cell-date", yard.Warn, h.Name, t.sheet.place(workCell), "This work has no date and no day. Write one.")
			r.lostWork(t, h, workCell, "it has no day")
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
func (r *reader) lostWork(t *table, h *yard.Horse, c cell, why string) {
	h.WorkGiven = true
	for d := range h.Work {
		h.Work[d].Unknown = true
	}
	r.find("work-date", yard.Warn, h.Name, t.sheet.place(c), "The work %q was not used, because %s; the whole week of %s counts as unknown.", short(c.shown), why, fmt.Sprint(h.Name))
}
