package board

import (
	"math"
	"slices"
	"time"
)

// calendar is what the book says of its weeks and how it writes its dates.
type calendar struct {
	saved        time.Time // when the workbook was last saved; zero: not said
	weeks        []rawWeek
	monthFirst   bool // in dates
	year         int
	guessedYear  bool
	doubtfulYear bool // nothing but a likely weekday speaks for the year
	firstKnown   bool // firstDay is what the book says
	firstDay     int  // its weeks begin on; Monday 0
}

// weekOf is the week a region is about.
type weekOf struct {
	first time.Time // zero: not known
	rel   int       // -1 last week, 0 this, 1 next, where words say so; noRel else
	from  *Cell
	// across: weeks lie beside each other, a column each
	across bool
}

const noRel = 99

// rawWeek is a week as it is written somewhere on a sheet.
type rawWeek struct {
	sheet  *sheetData
	cell   *Cell // nil: the tab's name
	text   string
	from   date
	whole  time.Time // of a date cell
	rel    int
	day    int // the weekday written with it; -1: none
	strong bool
	span   bool // both ends are written
}

// resolve makes a date of what is written. Where no year is, the nearest one in
// which it falls on the weekday counts; sure is false where that was needed.
func (cal *calendar) resolve(d date, day int) (t time.Time, sure bool) {
	dd, mm := d.d, d.m
	if d.a > 0 {
		dd, mm = d.a, d.b
		if cal.monthFirst {
			dd, mm = d.b, d.a
		}
		if mm > 12 {
			dd, mm = mm, dd
		}
	}
	if dd == 0 || mm == 0 {
		return time.Time{}, false
	}
	if d.y > 0 {
		return makeDate(d.y, mm, dd), true
	}
	base := cal.year
	if base == 0 {
		return time.Time{}, false
	}
	anchor := cal.saved
	var best, nearest time.Time
	bestAway, nearestAway := 1<<30, 1<<30
	for y := base - 3; y <= base+3; y++ {
		t := makeDate(y, mm, dd)
		if t.IsZero() {
			continue
		}
		away := abs(y-base) * 10
		if !anchor.IsZero() {
			away += abs(int(t.Sub(anchor).Hours()/24)) / 60
		}
		if day >= 0 && weekday(t) != day {
			continue
		}
		if away < nearestAway {
			nearest, nearestAway = t, away
		}
		if day < 0 {
			away += cal.oddAsFirst(t)
		}
		if away < bestAway {
			best, bestAway = t, away
		}
	}
	if day < 0 && !cal.firstKnown && !best.Equal(nearest) {
		cal.doubtfulYear = true // only the weekday speaks for it, and nothing says which
	}
	return best, false
}

// oddAsFirst says how unlikely a week begins on a day: not at all where the book's own
// weeks begin on its weekday; else Monday is the likeliest, then Sunday.
func (cal *calendar) oddAsFirst(t time.Time) int {
	switch day := weekday(t); {
	case cal.firstKnown && day == cal.firstDay, !cal.firstKnown && day == 0:
		return 0
	case !cal.firstKnown && day == 6:
		return 40
	}
	return 100
}

// weekOfRegion is the week written nearest to a region: over it on its sheet, or
// on its tab.
func (cal *calendar) weekOfRegion(s *sheetData, row int) *weekOf {
	var best *rawWeek
	for i := range cal.weeks {
		w := &cal.weeks[i]
		if w.sheet != s || w.cell != nil && w.cell.Row >= row && row > 0 {
			continue
		}
		switch {
		case best == nil, best.cell == nil && (w.cell != nil || best.from.m == 0 && best.from.a == 0):
			best = w
		case w.cell != nil && w.strong && !best.strong:
			best = w
		case w.cell != nil && w.cell.Row > best.cell.Row && w.strong:
			best = w
		}
	}
	out := &weekOf{rel: s.rel}
	if best == nil {
		return out
	}
	if best.rel != noRel {
		out.rel = best.rel
	}
	out.from = best.cell
	if !best.whole.IsZero() {
		out.first = best.whole
		return out
	}
	t, sure := cal.resolve(best.from, best.day)
	if !sure {
		cal.guessedYear = true
	}
	if best.span && best.from.y > 0 && weekday(t) != cal.firstDay && s.dayTab == 0 {
		// "28.12. – 3.1.2026": the year is that of the first day.
		if x := t.AddDate(1, 0, 0); weekday(x) == cal.firstDay {
			t = x
		}
	}
	if s.dayTab > 0 && !t.IsZero() {
		t = cal.weekStart(t)
	}
	// A title with the week in its tab too: the tab may know the rest.
	out.first = t
	return out
}

// weekStart is the first day of the week a date lies in, by the yard's own beginning.
func (cal *calendar) weekStart(t time.Time) time.Time {
	if t.IsZero() {
		return t
	}
	return t.AddDate(0, 0, -((weekday(t) - cal.firstDay + 7) % 7))
}

// dayOfDate is the weekday of a date in a column of days, with the year of the
// region's week; a day of the month alone is counted from the week's first day.
func (cal *calendar) dayOfDate(d date, day int, w *weekOf) (int, *weekOf) {
	if d == (date{}) {
		return -1, w
	}
	if d.m == 0 && d.a == 0 {
		if w == nil || w.first.IsZero() {
			return -1, w
		}
		for i := -7; i < 14; i++ {
			if t := w.first.AddDate(0, 0, i); t.Day() == d.d && i >= 0 {
				return weekday(t), &weekOf{first: cal.weekStart(t), rel: noRel}
			}
		}
		return -1, w
	}
	if d.y == 0 && w != nil && !w.first.IsZero() {
		d.y = w.first.Year()
		t, _ := cal.resolve(d, -1)
		if t.IsZero() {
			return -1, w
		}
		for _, y := range []int{1, -1} {
			if x := t.AddDate(y, 0, 0); abs(int(x.Sub(w.first).Hours())) < abs(int(t.Sub(w.first).Hours())) {
				t = x
			}
		}
		if day < 0 || weekday(t) == day {
			return weekday(t), &weekOf{first: cal.weekStart(t), rel: noRel}
		}
		d.y = 0
	}
	t, sure := cal.resolve(d, day)
	if t.IsZero() {
		return -1, w
	}
	if !sure {
		cal.guessedYear = true
	}
	return weekday(t), &weekOf{first: cal.weekStart(t), rel: noRel}
}

// weekOfObs is the week a cell is about: that of its column's or row's date, else
// of its table.
func (cal *calendar) weekOfObs(t *table, k *column, o *obs) *weekOf {
	if k.week != nil {
		return k.week
	}
	if !k.date.IsZero() {
		return &weekOf{first: cal.weekStart(k.date), rel: noRel}
	}
	if o.date != (date{}) && (k.role == workRole || k.role == feedRole) {
		d, w := cal.dayOfDate(o.date, o.day, t.week)
		if d >= 0 {
			if o.day < 0 {
				o.day = d
			}
			return w
		}
	}
	if k.shift != 0 || k.role == workRole && t.twoWeeks() {
		w := *t.week
		if !w.first.IsZero() {
			w.first = w.first.AddDate(0, 0, 7*k.shift)
		}
		if w.rel == noRel {
			w.rel = 0
		}
		w.rel += k.shift
		return &w
	}
	return t.week
}

func makeDate(y, m, d int) time.Time {
	if m < 1 || m > 12 || d < 1 || d > 31 {
		return time.Time{}
	}
	t := time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC)
	if t.Day() != d {
		return time.Time{}
	}
	return t
}

func weekday(t time.Time) int { return (int(t.Weekday()) + 6) % 7 }

func abs(x int) int {
	if x < 0 {
		return -x
	}
	return x
}

// plannedWeek is the week that is planned.
type plannedWeek struct {
	first time.Time // zero: not known
	rel   int       // where words alone say it: -1 last week, 0 this, 1 next; -9 none do
}

// chooseWeek settles which week is planned: the last one somebody has filled in
// work for.
func chooseWeek(all []*obs, tables []*table, sheets []*sheetData, cal *calendar) plannedWeek {
	var best time.Time
	dated := map[time.Time]int{}
	relMax := -9
	var across []time.Time
	for _, o := range all {
		if o.week != nil && o.week.across && (o.role == workRole || o.role == feedRole) && !slices.Contains(across, o.week.first) {
			across = append(across, o.week.first)
		}
	}
	for _, o := range all {
		if o.role != workRole || o.week == nil || o.week.across {
			continue
		}
		if !o.week.first.IsZero() {
			dated[o.week.first]++
		} else if o.week.rel != noRel {
			relMax = max(relMax, o.week.rel)
		}
	}
	for t, n := range dated {
		if n > 0 && t.After(best) {
			best = t
		}
	}
	if best.IsZero() && len(across) > 0 {
		best = cal.plannedAcross(across)
	}
	if best.IsZero() {
		// No work with a date: a title's week will do.
		for _, t := range tables {
			if t.kind == "" && t.week != nil && t.week.first.After(best) && !t.g.page.blank {
				best = t.week.first
			}
		}
		for _, s := range sheets {
			if w := cal.weekOfRegion(s, 0); !s.blank && w.first.After(best) && (w.rel == noRel || w.rel >= 0) {
				best = w.first
			}
		}
	}
	if best.IsZero() && relMax == -9 {
		// Rations with their weeks: the last of them. All others would be added to it.
		for _, o := range all {
			if o.role == feedRole && o.week != nil && o.week.first.After(best) {
				best = o.week.first
			}
		}
	}
	return plannedWeek{best, relMax}
}

// beginLike has all weeks begin on a Sunday where the one that is planned does.
func (cal *calendar) beginLike(pw plannedWeek) {
	if !pw.first.IsZero() && pw.first.Weekday() == time.Sunday {
		cal.firstDay = 6
	}
}

// age is how many weeks before the one planned a cell's week lies; 0 where it is
// the week itself or none is said.
func (pw plannedWeek) age(o *obs) int {
	w := o.week
	if w == nil {
		return 0
	}
	if !w.first.IsZero() && !pw.first.IsZero() {
		if w.across { // the weeks to come are there too
			return int(math.Round(pw.first.Sub(w.first).Hours() / 24 / 7))
		}
		return int(pw.first.Sub(w.first).Hours()/24+3.5*7/7) / 7
	}
	if w.rel != noRel {
		if pw.rel > -9 && pw.first.IsZero() {
			return pw.rel - w.rel
		}
		if w.rel < 0 {
			return -w.rel
		}
	}
	return 0
}

// ahead says whether a day lies after the week planned and the one behind it: no horse has
// been weighed on it.
func (pw plannedWeek) ahead(t time.Time) bool {
	return !pw.first.IsZero() && t.After(pw.first.AddDate(0, 0, 13))
}
