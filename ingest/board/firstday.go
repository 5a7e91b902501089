package board

import (
	"time"
)

// The day a week begins on: as titles, named days and dated columns have it.

// firstDayOfWeeks finds out on which day the yard's weeks begin: a Sunday where its
// titles name one as the first day, with the year; any day where no title says so and its
// rows or columns of seven days begin on it.
func (wf *weekFinder) firstDayOfWeeks() {
	if sun, mon := wf.firstOfTitles(); sun+mon > 0 {
		wf.cal.firstKnown = true
		if sun > mon {
			wf.cal.firstDay = 6
		}
		return
	}
	for _, from := range []func() (int, bool){wf.firstOfNamedDays, wf.firstOfDates} {
		if day, ok := from(); ok {
			wf.cal.firstDay, wf.cal.firstKnown = day, true
			return
		}
	}
}

// firstOfTitles counts the titles with a year whose week begins on a Sunday, and on a
// Monday.
func (wf *weekFinder) firstOfTitles() (sun, mon int) {
	for _, w := range wf.cal.weeks {
		t := w.whole
		if t.IsZero() {
			if w.from.y == 0 {
				continue
			}
			t, _ = wf.cal.resolve(w.from, w.day)
		}
		switch {
		case t.IsZero() || !w.strong:
		case w.span && t.Weekday() == time.Sunday && t.AddDate(1, 0, 0).Weekday() == time.Monday && t.Month() == time.December:
			mon++ // "28.12. – 3.1.2026": the year is that of the first day
		case t.Weekday() == time.Sunday:
			sun++
		case t.Weekday() == time.Monday:
			mon++
		}
	}
	return sun, mon
}

// firstOfNamedDays is the weekday on which most rows and columns of whole weeks of named
// days begin: "Sun … Sat", "S M T W T F S". A row that shows the weekend before the week
// too says nothing.
func (wf *weekFinder) firstOfNamedDays() (day int, ok bool) {
	begins := map[int]int{}
	for _, s := range wf.sheets {
		for _, cells := range s.rows {
			wf.wholeWeeks(begins, cells, grid{s, false})
		}
		for _, cells := range s.cols {
			wf.wholeWeeks(begins, cells, grid{s, true})
		}
	}
	for d := range 7 {
		if begins[d] > begins[day] {
			day = d
		}
	}
	return day, begins[day] > 0
}

// wholeWeeks counts the runs of named days in a line that are whole weeks, by the day each
// begins on. A day may be in it twice, once for each half.
func (wf *weekFinder) wholeWeeks(begins map[int]int, cells []*Cell, g grid) {
	letters := wf.words.letterDays(cells, g)
	first, last, days := -1, -1, 0
	end := func() {
		if days > 0 && days%7 == 0 {
			begins[first]++
		}
		first, last, days = -1, -1, 0
	}
	for _, c := range cells {
		day, ok := letters[c]
		if !ok {
			day = wf.words.labelOf(c).day
		}
		switch {
		case day < 0:
			end()
			continue
		case day == last:
			continue
		case last >= 0 && day != (last+1)%7:
			end()
		}
		if days == 0 {
			first = day
		}
		last, days = day, days+1
	}
	end()
}

// firstOfDates is the weekday on which every row or column of seven days in a row, as
// dates, begins.
func (wf *weekFinder) firstOfDates() (day int, ok bool) {
	for _, s := range wf.sheets {
		for _, lines := range []map[int][]*Cell{s.rows, s.cols} {
			for _, cells := range lines {
				var run []*Cell
				for i, c := range cells {
					if n := len(run); c.Kind == Date && (n == 0 || c.Day.Equal(run[n-1].Day.AddDate(0, 0, 1))) {
						run = append(run, c)
					} else {
						run = nil
					}
					if i+1 < len(cells) && cells[i+1].Kind == Date || len(run) != 7 {
						continue
					}
					if first := weekday(run[0].Day); ok && first != day {
						return 0, false
					} else {
						day, ok = first, true
					}
				}
			}
		}
	}
	return day, ok
}
