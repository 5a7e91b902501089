package board

import (
	"strings"
	"time"
)

// weekFinder reads what titles, tabs and cells say of weeks into the calendar.
type weekFinder struct {
	words  *vocabulary
	lang   *language
	sheets []*sheetData
	cal    *calendar
}

// findWeeks gathers what titles, tabs and cells say of weeks.
func (wf *weekFinder) findWeeks() {
	for _, s := range wf.sheets {
		wf.weekOfTab(s)
		for i := range s.Sheet.Cells {
			if c := &s.Sheet.Cells[i]; c.Kind == Text && len(c.Text) <= 120 {
				wf.weekOfCell(s, c)
			}
		}
	}
}

// weekOfTab takes what a tab's name says of its week.
func (wf *weekFinder) weekOfTab(s *sheetData) {
	l := wf.words.read(tabWords(s.Name))
	if w, ok := weekIn(l, true); ok {
		w.sheet, w.text = s, s.Name
		wf.cal.weeks = append(wf.cal.weeks, w)
	}
	if l.day >= 0 && !l.has("week") && len(l.rest) == 0 {
		s.dayTab = l.day + 1
	}
	if l.has("blank") && len(l.dates) == 0 {
		s.blank = true
	}
	s.rel = l.relative()
}

// firstDayAlone says whether a line is a day with its year and nothing else, and weeks begin
// on that day: "12 July 2027" over the table.
func firstDayAlone(l *label) bool {
	if !l.full() || len(l.dates) != 1 || l.dates[0].y == 0 || len(l.order) > 0 || len(l.feeds) > 0 {
		return false
	}
	d := l.dates[0]
	t := makeDate(d.y, d.b, d.a)
	if d.m > 0 {
		t = makeDate(d.y, d.m, d.d)
	}
	return !t.IsZero() && t.Weekday() == time.Monday
}

// relative is -1 where a label speaks of last week, 0 of this and 1 of next; noRel else.
func (l *label) relative() int {
	switch {
	case l.has("lastweek"):
		return -1
	case l.has("nextweek"):
		return 1
	case l.has("thisweek"):
		return 0
	}
	return noRel
}

// weekOfCell takes what a cell says of a week.
func (wf *weekFinder) weekOfCell(s *sheetData, c *Cell) {
	l := wf.words.readCell(c)
	if strings.Contains(c.Text, "=") {
		before, ok := beforeLegend(c.Text)
		if !ok {
			return
		}
		l = wf.words.read(before)
	}
	dated := c.Row <= 4 && len(l.dates) > 0 && len(c.Text) > 10 && (l.has("plan") || l.day >= 0 && (l.dates[0].y > 0 || s.dayTab > 0))
	if c.Row <= 3 && len(s.inRow(c.Row)) == 1 && firstDayAlone(l) {
		wf.cal.weeks = append(wf.cal.weeks, rawWeek{sheet: s, cell: c, text: c.Text, from: l.dates[0], rel: noRel, day: l.day, strong: true})
		return
	}
	switch {
	case !l.has("week", "weekof") && len(l.dates) < 2 && !dated,
		len(l.feeds) > 0 && len(l.dates) > 0 && fraction(l.dates[0]),
		wf.lang.looksLikeWeight(c): // "540 wb 11/1": the weighbridge
		return
	}
	if w, ok := weekIn(wf.clauseOfWeek(c.Text, l), false); ok {
		w.sheet, w.cell, w.text = s, c, c.Text
		wf.cal.weeks = append(wf.cal.weeks, w)
		return
	}
	if l.has("week") && len(l.dates) == 0 && len(l.rest)+l.nums == 0 {
		wf.weekBeside(s, c)
	}
}

// beforeLegend is what a line says before what it defines: "Week of 1 February 2027. Scoop =
// 1.2 kg"; false where nothing is before it.
func beforeLegend(text string) (string, bool) {
	before, _, _ := strings.Cut(text, "=")
	at := max(strings.LastIndex(before, ". "), strings.LastIndex(before, "  "), strings.LastIndex(before, ";"), strings.LastIndex(before, "\n"))
	if at < 0 {
		return "", false
	}
	before = strings.Trim(before[:at], " .;\n")
	return before, before != ""
}

// weekBeside takes the week whose date stands in the cell next to its words.
func (wf *weekFinder) weekBeside(s *sheetData, c *Cell) {
	for k := 1; k <= 3; k++ {
		n := s.cell(c.Row, c.Col+k)
		if n == nil {
			continue
		}
		w := rawWeek{sheet: s, cell: n, rel: noRel, day: -1, strong: true}
		switch {
		case n.Kind == Date:
			w.text, w.whole = c.Text, n.Day
		case n.Kind == Text && len(wf.words.readCell(n).dates) > 0:
			l := wf.words.readCell(n)
			w.text, w.from, w.day = n.Text, l.dates[0], l.day
		default:
			return
		}
		wf.cal.weeks = append(wf.cal.weeks, w)
		s.mark(c, "title", "says which week")
		s.mark(n, "used", "the week")
		return
	}
}

// clauseOfWeek is the part of a line that says the week, where another date is
// before it: "Printed 9/1, for week beginning 11/1".
func (wf *weekFinder) clauseOfWeek(text string, l *label) *label {
	if len(l.dates) < 2 || !l.has("week") {
		return l
	}
	other := false
	for part := range strings.FieldsFuncSeq(text, func(r rune) bool { return r == ',' || r == ';' }) {
		p := wf.words.read(strings.TrimSpace(part))
		switch {
		case len(p.dates) > 0 && p.has("week"):
			if other {
				return p
			}
			return l
		case len(p.dates) > 0:
			other = true
		}
	}
	return l
}

var (
	tabDash   = lazily(`(\d)[-.](\d)`)
	tabDays   = lazily(`\b\d{1,2}-\d{1,2}\b`)
	tabWord   = lazily(`^\s*[\pL]`)
	tabDotted = lazily(`\b(\d{1,2})\.(\d{1,2})\b\.?`)
	tabSpan   = lazily(`(\d/\d{1,2})\s*-\s*(\d{1,2}/)`)
)

// tabWords makes of a tab's name what it would be in a cell: tabs can hold no slash.
func tabWords(name string) string {
	if m := tabDays().FindString(name); m != "" {
		// 12-7 is a date, 18-24 before a month is a stretch of days.
		rest := name[strings.Index(name, m)+len(m):]
		if strings.TrimSpace(rest) == "" || !tabWord().MatchString(rest) || strings.HasPrefix(strings.TrimSpace(strings.ToLower(rest)), "to ") {
			name = tabDash().ReplaceAllString(name, "$1/$2")
		}
	}
	name = tabDotted().ReplaceAllString(name, "$1/$2")
	return tabSpan().ReplaceAllString(name, "$1 – $2")
}

func weekIn(l *label, tab bool) (rawWeek, bool) {
	w := rawWeek{rel: l.relative(), day: l.day, strong: l.has("week") || len(l.dates) > 1 || len(l.dates) == 1 && l.dates[0].y > 0 && (l.day >= 0 || l.has("plan"))}
	if len(l.dates) == 0 {
		return w, false
	}
	w.from, w.span = firstOfWeek(l.dates), len(l.dates) > 1
	return w, w.strong || tab
}

// learnDates settles in which order days and months are written, and which year the book
// is of: the latest it names, else that in which it was saved.
func (wf *weekFinder) learnDates() {
	var o dateOrder
	for _, s := range wf.sheets {
		for _, lines := range []map[int][]*Cell{s.rows, s.cols} {
			for _, cells := range lines {
				wf.learnLine(&o, cells)
			}
		}
		for i := range s.Sheet.Cells {
			if c := &s.Sheet.Cells[i]; c.Kind == Date {
				o.year = max(o.year, c.Day.Year())
			}
		}
	}
	wf.cal.monthFirst = o.mdy > o.dmy
	if o.mdy == o.dmy {
		wf.cal.monthFirst = wf.likelyMonthFirst()
	}
	switch {
	case o.year > 0:
		wf.cal.year = o.year
	case !wf.cal.saved.IsZero():
		wf.cal.year = wf.cal.saved.Year()
	}
}

// dateOrder is what speaks for the day being written first, and for the month, and the
// latest year that is written.
type dateOrder struct{ dmy, mdy, year int }

// see takes a date of which one figure can be no month.
func (o *dateOrder) see(d date) {
	if d.a > 12 {
		o.dmy += 3
	}
	if d.b > 12 {
		o.mdy += 3
	}
}

// pair takes two dates that are so many days apart if the day is written first, or last.
func (o *dateOrder) pair(x, y date, days, weight int) {
	if y.a-x.a == days && x.b == y.b {
		o.dmy += weight
	}
	if y.b-x.b == days && x.a == y.a {
		o.mdy += weight
	}
}

// learnLine takes the dates of a row or a column of cells.
func (wf *weekFinder) learnLine(o *dateOrder, cells []*Cell) {
	var last date
	for _, c := range cells {
		if c.Kind != Text || len(c.Text) > 100 {
			continue
		}
		l := wf.words.readCell(c)
		for _, d := range l.dates {
			if len(c.Text) < 40 || l.has("week") {
				o.see(d)
			}
			if (l.has("week") || len(l.dates) > 1) && !wf.lang.looksLikeWeight(c) {
				o.year = max(o.year, d.y)
			}
		}
		if len(l.dates) == 2 && l.dates[0].a > 0 && l.dates[1].a > 0 {
			o.pair(l.dates[0], l.dates[1], 6, 2)
		}
		if len(l.dates) == 1 && l.dates[0].a > 0 {
			if last.a > 0 {
				o.pair(last, l.dates[0], 1, 1)
			}
			last = l.dates[0]
		}
	}
}

// likelyMonthFirst settles a book whose dates go both ways: a week begins on a Monday or
// a Sunday and is written down within two months of it, and who weighs in pounds writes the
// month first.
func (wf *weekFinder) likelyMonthFirst() bool {
	first := wf.lang.pounds() && wf.words.language == "en"
	for _, w := range wf.cal.weeks {
		if w.from.a > 0 && w.from.y > 0 {
			x, y := makeDate(w.from.y, w.from.b, w.from.a), makeDate(w.from.y, w.from.a, w.from.b)
			switch {
			case begins(x) != begins(y):
				first = begins(y)
			case wf.cal.savedAround(x) != wf.cal.savedAround(y):
				first = wf.cal.savedAround(y)
			}
		}
	}
	return first
}

// savedAround says whether the book was saved within two months of a day.
func (cal *calendar) savedAround(t time.Time) bool {
	return !t.IsZero() && !cal.saved.IsZero() && abs(int(t.Sub(cal.saved).Hours()/24)) <= 61
}

func begins(t time.Time) bool {
	return !t.IsZero() && (t.Weekday() == time.Monday || t.Weekday() == time.Sunday)
}
