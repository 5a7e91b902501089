package board

import (
	"slices"
	"time"
)

// Weeks may stand across: a column each, with what is fed or done in that week below it.
// Which of them is planned is told by the day the workbook was saved.

// leastDated is how many columns in a row must be headed by dates a week apart to be weeks
// where no word says so (ours).
const leastDated = 3

// weeksAcross finds the columns of a table that stand for a week each, and settles what they
// hold by what their cells look like.
func (rf *roleFinder) weeksAcross(t *table) {
	var said, dated []*column
	for _, k := range t.cols {
		switch date, byWord := rf.weekOver(k); {
		case date == nil || k.at == t.name:
			if len(dated) < leastDated {
				dated = nil
			}
		case byWord:
			k.weekDate = *date
			said = append(said, k)
		default:
			k.weekDate = *date
			if n := len(dated); n > 0 && !aWeekApart(dated[n-1].weekDate, *date) {
				dated = nil
			}
			dated = append(dated, k)
		}
	}
	weeks := said
	if len(weeks) < 2 {
		weeks = nil
	}
	if len(dated) >= leastDated {
		weeks = append(weeks, dated...)
	}
	for _, k := range t.cols {
		if !slices.Contains(weeks, k) {
			k.weekDate = date{}
			continue
		}
		k.days, k.span = nil, nil
		feed, n := t.shareOf(k.at, func(c *Cell) bool { return rf.lang.isAmount(c.Text) || rf.lang.sameAsNow(c.Text) })
		work, _ := t.shareOf(k.at, func(c *Cell) bool { return c.Kind == Text && rf.lang.isWork(c.Text) })
		switch {
		case n > 0 && feed >= 0.6 && feed >= work:
			k.settle(feedRole, "week")
		case n > 0 && work >= 0.6:
			k.settle(workRole, "week")
		default:
			k.settle(noRole, "blank")
		}
	}
}

// weekOver is the date over a column that is a week's, if nothing over it says anything else;
// byWord: a word says that it is one.
func (rf *roleFinder) weekOver(k *column) (*date, bool) {
	if k.own == nil || k.lab.day >= 0 || len(k.lab.feeds) > 0 || k.lab.unit != "" {
		return nil, false
	}
	for _, key := range k.lab.order {
		if key != "week" && key != "small" {
			return nil, false
		}
	}
	own := rf.words.labelOf(k.own)
	dates := own.dates
	if len(dates) == 0 && k.group != nil && k.group != k.own {
		dates = rf.words.labelOf(k.group).dates
	}
	if len(dates) == 0 || len(own.rest) > 0 {
		return nil, false
	}
	first := firstOfWeek(dates)
	return &first, k.lab.has("week")
}

// firstOfWeek is the first day of a week that is written with one date or both its ends. "Week
// 1 – 23 November" is the 23rd: from the 1st on it would be three weeks.
func firstOfWeek(dates []date) date {
	if len(dates) == 2 && dates[0].m == dates[1].m && dates[1].d-dates[0].d > 7 {
		return dates[1]
	}
	return dates[0]
}

// aWeekApart says whether one date is seven days behind another, in one of the two orders a
// day and a month may stand in.
func aWeekApart(x, y date) bool {
	days := func(d date) (out []time.Time) {
		year := d.y
		if year == 0 {
			year = 2001
		}
		for _, dm := range [][2]int{{d.d, d.m}, {d.a, d.b}, {d.b, d.a}} {
			out = append(out, makeDate(year, dm[1], dm[0]))
		}
		return out
	}
	from, to := days(x), days(y)
	for i := range from {
		if from[i].IsZero() || to[i].IsZero() {
			continue
		}
		if n := int(to[i].Sub(from[i]).Hours() / 24); n == 7 || n == 7-365 || n == 7-366 {
			return true
		}
	}
	return false
}

// weekOfColumns says of each column that stands for a week which one it is.
func (cal *calendar) weekOfColumns(t *table) {
	for _, k := range t.cols {
		if k.weekDate != (date{}) {
			k.week = cal.weekAcross(k.weekDate, t.week)
		}
	}
}

// weekAcross is the week of a date that is over a column; nil where it can't be told.
func (cal *calendar) weekAcross(d date, near *weekOf) *weekOf {
	t, sure := cal.resolve(d, -1)
	if t.IsZero() {
		return nil
	}
	if !sure {
		cal.guessedYear = true
		if near != nil && !near.first.IsZero() {
			t = nearWeek(t, near.first, -1)
		}
	}
	return &weekOf{first: cal.weekStart(t), rel: noRel, across: true}
}

// plannedAcross is which of weeks that stand across is planned: the first that begins on the
// day the workbook was saved or later; of weeks that are over all, the last.
func (cal *calendar) plannedAcross(weeks []time.Time) time.Time {
	slices.SortFunc(weeks, time.Time.Compare)
	if cal.saved.IsZero() {
		return weeks[len(weeks)-1]
	}
	today := makeDate(cal.saved.Year(), int(cal.saved.Month()), cal.saved.Day())
	for _, w := range weeks {
		if !w.Before(today) {
			return w
		}
	}
	return weeks[len(weeks)-1]
}
