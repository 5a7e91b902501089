package ingest

import (
	"math"
	"slices"
	"time"

	"hardfeed/ration/yard"
)

// plannedWeek is the week that is planned, by its first day; zero: not known.
type plannedWeek struct{ beginning time.Time }

// dayIndex is the day of the week from its beginning.
func (w plannedWeek) dayIndex(day time.Weekday) int {
	first := time.Monday
	if !w.beginning.IsZero() {
		first = w.beginning.Weekday()
	}
	return (int(day) - int(first) + 7) % 7
}

// dayArg is a day of the week, by its date where the week has one; a week without
// begins on a Monday.
func (w plannedWeek) dayArg(name string, d int) yard.Arg {
	beginning := w.beginning
	if beginning.IsZero() {
		beginning = someMonday
	}
	return yard.Arg{Name: name, Value: yard.DayOfWeek{Date: beginning.AddDate(0, 0, d), Number: yard.Weekday(d)}}
}

// someMonday is any Monday: of a week without dates only the names of its days are said.
var someMonday = time.Date(2001, 1, 1, 0, 0, 0, 0, time.UTC)

// daysOn is a date's distance from the first day of the week, days.
func (w plannedWeek) daysOn(date time.Time) int {
	return int(math.Floor(date.Sub(w.beginning).Hours() / 24))
}

// ahead says whether a day so far from the first of the week is in one of the
// weeks to come that are looked at.
func (w plannedWeek) ahead(days int) bool { return days > 6 && days < 7*(1+yard.MostWeeksAhead) }

// titledLater is the first day of the coming week a work table is headed with;
// later is false where no other table has the work of this week.
func (w plannedWeek) titledLater(in *layout, t *table) (first time.Time, later bool) {
	if first, later = w.titledAhead(in, t); !later {
		return first, false
	}
	for i := range in.tables[workKind] {
		if _, ahead := w.titledAhead(in, &in.tables[workKind][i]); !ahead {
			return first, true
		}
	}
	return time.Time{}, false
}

// titledAhead is the week a work table is headed with, where it is one to come.
func (w plannedWeek) titledAhead(in *layout, t *table) (time.Time, bool) {
	if w.beginning.IsZero() || slices.ContainsFunc(t.cols, func(c column) bool { return c.isDay && !c.date.IsZero() }) {
		return time.Time{}, false
	}
	d, ok := in.vocab.weekTitle(t.title)
	return d, ok && w.ahead(w.daysOn(d))
}
