package board

import (
	"slices"
	"time"
)

// dateColumns says of each column of work which day it is, and in which week. Whole
// dates settle everything; what they leave open is counted from the week's first day, and
// at last by the order the days stand in.
func (cal *calendar) dateColumns(qs *questions, t *table) {
	var days []*column
	for _, k := range t.cols {
		if (k.role == workRole || k.role == feedRole) && (k.day >= 0 || len(k.days) > 0 && k.when == unsaid) {
			days = append(days, k)
		}
	}
	if len(days) == 0 {
		return
	}
	cal.weekOfFirstDay(t, days)
	for _, k := range days {
		cal.wholeDate(t, k)
	}
	cal.yearOfColumns(t, days)
	for _, k := range days {
		if len(k.span) > 0 && len(k.days) == 0 {
			if first, _ := cal.resolve(k.span[0], -1); !first.IsZero() {
				k.date = first.AddDate(0, 0, (k.day-weekday(first)+7)%7)
			}
		}
	}
	if !t.week.first.IsZero() {
		daysOfMonth(days, t.week.first)
	}
	for _, k := range days {
		if k.day < 0 && !k.date.IsZero() {
			k.day = weekday(k.date)
		}
	}
	if !slices.ContainsFunc(days, func(k *column) bool { return !k.date.IsZero() }) {
		cal.daysInOrder(days)
	}
	cal.titleAgainstDays(qs, t, days)
	if t.week.first.IsZero() {
		cal.weekOfLastDay(t, days)
	}
}

// weekOfFirstDay takes the week of a table that nothing else says from its first day,
// where that has no year and no weekday.
func (cal *calendar) weekOfFirstDay(t *table, days []*column) {
	if !t.week.first.IsZero() || len(days) < 2 || days[0].day >= 0 || len(days[0].days) == 0 {
		return
	}
	if first, sure := cal.resolve(days[0].days[0], -1); !first.IsZero() && !sure {
		w := *t.week
		w.first, w.from = first, days[0].own
		t.week = &w
		cal.guessedYear = true
	}
}

// wholeDate gives a column the date that is written over it with its month; without a
// year, that of its table's week.
func (cal *calendar) wholeDate(t *table, k *column) {
	if len(k.days) == 0 || k.days[0].m == 0 && k.days[0].a == 0 {
		return
	}
	when, sure := cal.resolve(k.days[0], k.day)
	switch {
	case when.IsZero():
		return
	case sure:
	case t.week.first.IsZero():
		cal.guessedYear = true
	default:
		when = nearWeek(when, t.week.first, k.day)
	}
	k.date = when
	if k.day < 0 {
		k.day = weekday(when)
	}
}

// nearWeek moves a date whose year was guessed to the year in which it lies within two
// months of a week, and on the weekday that is written with it (-1: none is).
func nearWeek(when, first time.Time, day int) time.Time {
	if makeDate(first.Year(), int(when.Month()), when.Day()).IsZero() {
		return when
	}
	m, d := int(when.Month()), when.Day()
	for _, y := range []int{0, 1, -1} {
		x := makeDate(first.Year()+y, m, d)
		if !x.IsZero() && abs(int(x.Sub(first).Hours()/24)) < 60 && (day < 0 || weekday(x) == day) {
			when = x
		}
	}
	return when
}

// daysOfMonth dates columns headed by a day of the month alone: they are counted from the
// one that is the week's first day, forwards and backwards.
func daysOfMonth(days []*column, first time.Time) {
	anchor := slices.IndexFunc(days, func(k *column) bool {
		return k.date.IsZero() && len(k.days) > 0 && k.days[0].d == first.Day() && (k.day < 0 || k.day == weekday(first))
	})
	if anchor < 0 {
		return
	}
	another := func(k, last *column) bool { // day than the column before it
		return len(k.days) > 0 && (len(last.days) == 0 || k.days[0].d != last.days[0].d)
	}
	for _, way := range []int{1, -1} {
		last, step := days[anchor], 0
		for i := anchor; i >= 0 && i < len(days); i += way {
			k := days[i]
			if another(k, last) {
				step += way
			}
			if len(k.days) > 0 && k.date.IsZero() {
				k.date = first.AddDate(0, 0, step)
			}
			last = k
		}
	}
}

// daysInOrder parts days without any date into groups of a week each, in the order they
// stand in.
func (cal *calendar) daysInOrder(days []*column) {
	group, seen := 0, map[int]int{}
	for i, k := range days {
		if k.day < 0 && len(k.days) > 0 && len(days) == 7 { // days of a month nobody knows
			k.day = (cal.firstDay + i) % 7
		}
		if n, ok := seen[k.day]; ok && n == group && (i == 0 || days[i-1].day != k.day) {
			group++
		}
		seen[k.day] = group
		k.groupNo = group
	}
	if group > 0 {
		nameGroups(days, group)
	}
}

// weekOfLastDay takes the week of a table that nothing else says from the last of its
// dated days.
func (cal *calendar) weekOfLastDay(t *table, days []*column) {
	for _, k := range days {
		if k.date.IsZero() || k.lab.has("lastweek") {
			continue
		}
		if s := cal.weekStart(k.date); s.After(t.week.first) {
			t.week = &weekOf{first: s, rel: t.week.rel, from: k.own}
		}
	}
}

// yearOfColumns takes the year of a table's week from its columns where all of them name
// weekdays with their dates and agree with each other, and not with the year that was
// guessed for the title: seven weekdays say more than the likeliest Monday.
func (cal *calendar) yearOfColumns(t *table, days []*column) {
	first := t.week.first
	if first.IsZero() || len(days) < 5 {
		return
	}
	var least time.Time
	for _, k := range days {
		if k.date.IsZero() || weekday(k.date) != k.day || abs(int(k.date.Sub(first).Hours()/24)) < 300 {
			return
		}
		if least.IsZero() || k.date.Before(least) {
			least = k.date
		}
	}
	w := *t.week
	w.first = cal.weekStart(least)
	t.week = &w
}

// titleAgainstDays asks where a table's title and the dated days of its columns lie weeks
// apart. The days count: there are seven of them.
func (cal *calendar) titleAgainstDays(qs *questions, t *table, days []*column) {
	first := t.week.first
	if first.IsZero() || len(days) < 5 {
		return
	}
	var least, last time.Time
	for _, k := range days {
		if k.date.IsZero() || k.day >= 0 && weekday(k.date) != k.day {
			return
		}
		if least.IsZero() || k.date.Before(least) {
			least = k.date
		}
		if k.date.After(last) {
			last = k.date
		}
	}
	if !first.Before(least.AddDate(0, 0, -7)) && !first.After(last.AddDate(0, 0, 7)) {
		return
	}
	word := t.g.page.Name
	if t.week.from != nil {
		word = t.week.from.Text
	}
	qs.add("weeks\x00"+t.g.page.Name, ask{rule: "week-unknown", why: "days", word: word, cell: t.week.from, sheet: t.g.page})
	w := *t.week
	w.first = cal.weekStart(last)
	t.week = &w
}

// nameGroups says which group of days is which week, by the heading over it; the
// last of them is the coming one.
func nameGroups(days []*column, groups int) {
	for _, k := range days {
		l := k.lab
		switch {
		case l.has("nextweek"):
			k.shift = 0
		case l.has("lastweek"):
			k.shift = -1
		default:
			k.shift = k.groupNo - groups
		}
	}
}

// headedDays are the days of the year, counted in months of 31 days, that are over two
// weighings of one table; false where one has none that can be read in one way.
func (cal *calendar) headedDays(x, y weight) (int, int, bool) {
	if x.at.table == nil || x.at.table != y.at.table || x.at.col == nil || y.at.col == nil || len(x.at.col.days) == 0 || len(y.at.col.days) == 0 {
		return 0, 0, false
	}
	d, e := x.at.col.days[0], y.at.col.days[0]
	if d.m == 0 && e.m == 0 && d.a > 0 && e.a > 0 {
		var o dateOrder
		o.see(d)
		o.see(e)
		switch { // two weighings of one month are days apart, not months
		case d.b == e.b && d.a != e.a:
			o.dmy++
		case d.a == e.a && d.b != e.b:
			o.mdy++
		}
		if o.dmy > o.mdy || o.dmy == o.mdy && !cal.monthFirst {
			d.d, d.m, e.d, e.m = d.a, d.b, e.a, e.b
		} else {
			d.d, d.m, e.d, e.m = d.b, d.a, e.b, e.a
		}
	}
	return d.m*31 + d.d, e.m*31 + e.d, d.m > 0 && e.m > 0
}
