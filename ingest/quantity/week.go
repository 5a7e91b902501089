package quantity

import (
	"cmp"
	"slices"
	"time"

	"hardfeed/ingest/lexicon"
)

// Week is a week as a title, a tab's name or a heading gives it.
type Week struct {
	lexicon.Span
	First, Last Date // Last with Day 0 where only one day is given
	Number      int  // of the year (ISO 8601) or of her term; 0 where none is given
	Year        int  // beside the number
	// Strong says that it is given as a week: by a word ("w/c", "KW"), a number,
	// or seven days; otherwise it is a date that is there.
	Strong bool
	// Ends says that the date is the week's last day.
	Ends bool
	// Relative is -1 for "last week", 1 for "next week", 0 for this one or none.
	Relative int
	// Named says that last, this or next week was said in words.
	Named bool
}

// weekReader looks through a text for the week it names.
type weekReader struct {
	t     *lexicon.Table
	text  string
	toks  []lexicon.Token
	dates []Date
	w     Week
	found bool // a week was said without a date
	first int  // which of the dates the week begins or ends with; -1 as long as none is said
}

// ReadWeek finds the week a text names; false where there is none.
func ReadWeek(t *lexicon.Table, text string) (Week, bool) {
	r := weekReader{t: t, text: text, toks: lexicon.Scan(text), first: -1}
	r.dates = slices.DeleteFunc(FindDates(t, text, r.toks), func(d Date) bool { return d.Month == 0 && d.Weekday < 0 && d.From == 0 })
	r.words()
	if r.span() {
		return r.w, true
	}
	if r.oneDate() {
		return r.w, true
	}
	return r.w, r.found
}

// words takes the words for weeks: "week 49", "w/c", "last week".
func (r *weekReader) words() {
	for i := 0; i < len(r.toks); {
		s, n := r.t.Match(r.toks, i, "week")
		if n == 0 {
			i++
			continue
		}
		switch s.Key {
		case "last", "this", "next":
			r.w.Named, r.found = true, true
			r.w.Relative = map[string]int{"last": -1, "next": 1}[s.Key]
			r.w.Span = r.w.Join(span(r.toks, i, n))
		case "begins", "ends":
			r.begins(i, n, s.Key == "ends")
		case "week":
			r.numbered(i, n)
		}
		i += n
	}
}

// tokenOf is the token a date begins with.
func (r *weekReader) tokenOf(d Date) int {
	return slices.IndexFunc(r.toks, func(k lexicon.Token) bool { return k.End > d.Start })
}

// begins takes "w/c" and its like with the date right behind.
func (r *weekReader) begins(i, n int, ends bool) {
	k := slices.IndexFunc(r.dates, func(d Date) bool { return d.Start >= r.toks[i+n-1].End && r.tokenOf(d)-(i+n) <= 2 })
	if k < 0 || r.first >= 0 {
		return
	}
	r.first, r.w.Ends, r.w.Strong = k, ends, true
	r.w.Span = r.w.Join(span(r.toks, i, n))
}

// numbered takes "week 49", "KW 2 / 2027", and "week 7 Dec", which is a date.
func (r *weekReader) numbered(i, n int) {
	j := i + n
	for j < len(r.toks) && (r.toks[j].Text == "." || r.toks[j].Text == ":" || r.toks[j].Text == "#") {
		j++
	}
	if j >= len(r.toks) {
		return
	}
	date := slices.IndexFunc(r.dates, func(d Date) bool { return d.Start == r.toks[j].Start })
	switch no := r.toks[j]; {
	case date >= 0 && r.first < 0:
		r.first, r.w.Strong = date, true
		r.w.Span = r.w.Join(span(r.toks, i, n))
	case date < 0 && no.Whole && no.Value >= 1 && no.Value <= 53:
		r.w.Number, r.found, r.w.Strong = int(no.Value), true, true
		r.w.Span = r.w.Join(span(r.toks, i, j+1-i))
		r.year(j + 1)
	}
}

// year takes the year behind the number of a week: "2 2027", "2 / 2027".
func (r *weekReader) year(j int) {
	isYear := func(k int) bool {
		return k < len(r.toks) && r.toks[k].Whole && r.toks[k].Value >= firstYear && r.toks[k].Value <= lastYear
	}
	if j < len(r.toks) && (r.toks[j].Text == "/" || r.toks[j].Text == "-" || r.toks[j].Text == ",") && isYear(j+1) {
		j++
	}
	if isYear(j) {
		r.w.Year, r.w.End = int(r.toks[j].Value), r.toks[j].End
	}
}

// span takes some days of a month, or two dates with "to" or a dash between them.
func (r *weekReader) span() bool {
	for k, d := range r.dates {
		if d.From > 0 {
			first := d
			first.Day, first.From, first.Weekday = d.From, 0, -1
			if d.From > d.Day {
				first.monthBefore()
			}
			d.From = 0
			return r.spans(first, d)
		}
		if k+1 < len(r.dates) && joined(r.t, r.toks, r.tokenOf(d), r.dates[k+1], d) {
			if first, last := completed(d, r.dates[k+1]); first.Month != 0 && last.Month != 0 {
				return r.spans(first, last)
			}
		}
	}
	return false
}

func (r *weekReader) spans(first, last Date) bool {
	r.w.First, r.w.Last, r.w.Strong = first, last, true
	r.w.Span = r.w.Join(first.Span).Join(last.Span)
	return true
}

// monthBefore puts a date into the month before.
func (d *Date) monthBefore() {
	if d.Month--; d.Month == 0 {
		d.Month = 12
		if d.Year > 0 {
			d.Year--
		}
	}
}

// completed gives the first of two dates the month and the year that only the last one
// says.
func completed(first, last Date) (Date, Date) {
	if first.Month == 0 {
		first.Month, first.Year, first.Swapped = last.Month, last.Year, last.Swapped
		if first.Day > last.Day {
			first.monthBefore()
		}
	}
	if first.Year == 0 && last.Year != 0 {
		first.Year = last.Year
		if first.Month > last.Month {
			first.Year--
		}
	}
	return first, last
}

// oneDate takes the date the week begins with, or one that can be nothing else.
func (r *weekReader) oneDate() bool {
	dates := slices.DeleteFunc(r.dates, func(d Date) bool { return d.Month == 0 })
	k := r.first
	if k < 0 || k >= len(dates) {
		k = slices.IndexFunc(dates, func(d Date) bool {
			return !d.Weak || r.w.Strong || len(dates) == 1 && d.Start == 0 && d.End == len(r.text)
		})
	}
	if k < 0 {
		return false
	}
	r.w.First = dates[k]
	r.w.Span = r.w.Join(r.w.First.Span)
	if r.w.First.Year == 0 && r.w.Year != 0 {
		r.w.First.Year = r.w.Year
	}
	return true
}

// joined says whether nothing but "to" or a dash stands between two dates.
func joined(t *lexicon.Table, toks []lexicon.Token, i int, b, a Date) bool {
	for i < len(toks) && toks[i].Start < a.End {
		i++
	}
	if i >= len(toks) {
		return false
	}
	n := 1
	if toks[i].Text != "-" {
		s, k := t.Match(toks, i, "week")
		if k == 0 || s.Key != "to" {
			return false
		}
		n = k
	}
	return i+n < len(toks) && toks[i+n].Start == b.Start
}

// Days is how many days the week as given has, both ends counted, where both are
// given without doubt; else 0.
func (w Week) Days() int {
	a, ok1 := w.First.Time(2024)
	b, ok2 := w.Last.Time(2024)
	if !ok1 || !ok2 {
		return 0
	}
	if b.Before(a) && w.First.Year == 0 {
		b = b.AddDate(1, 0, 0)
	}
	return int(b.Sub(a).Hours()/24) + 1
}

// reading is a first day the week can have, and how much speaks for it.
type reading struct {
	day   time.Time
	score int
}

// What speaks for a first day, in the order of its weight (ours).
const (
	sevenDays   = 8 // the two dates are a week
	itsNumber   = 4 // the number of the week is right
	nextsNumber = 3 // it is right from the next day on
	onMonday    = 2
	onSunday    = 1
)

// farAway is how far from the other dates of a book a week may lie.
const farAway = 200 * 24 * time.Hour

// Readings are the first days the week can have, the likeliest ones only: seven
// days where two dates are given, the weekday said, the number of the week, a
// Monday before a Sunday before any other day. Where no year is said it is the
// one that brings it nearest to around; with around zero every year from 2015
// to 2040 in which it fits is given.
func (w Week) Readings(around time.Time) []time.Time {
	var all []reading
	if w.First.Day == 0 {
		all = w.byNumber(around)
	} else {
		for _, f := range w.forms() {
			for _, y := range w.years(f[0].Year, around) {
				if r, ok := w.reading(f[0], f[1], y); ok {
					all = append(all, r)
				}
			}
		}
	}
	return w.likeliest(all, around)
}

// years are those a date without one may be of.
func (w Week) years(said int, around time.Time) []int {
	switch {
	case said != 0:
		return []int{said}
	case w.Year != 0:
		return []int{w.Year}
	case !around.IsZero():
		return []int{around.Year() - 1, around.Year(), around.Year() + 1}
	}
	var ys []int
	for y := 2015; y <= 2040; y++ {
		ys = append(ys, y)
	}
	return ys
}

// byNumber is the Monday of a week of which only the number is said.
func (w Week) byNumber(around time.Time) []reading {
	if w.Number == 0 {
		return nil
	}
	var all []reading
	for _, y := range w.years(0, around) {
		// The fourth of January lies in week 1 (ISO 8601).
		jan4 := time.Date(y, 1, 4, 0, 0, 0, 0, time.UTC)
		day := jan4.AddDate(0, 0, 7*(w.Number-1)-weekday(jan4))
		if yy, n := day.ISOWeek(); yy == y && n == w.Number {
			all = append(all, reading{day, 0})
		}
	}
	return all
}

// forms are the two dates as they stand, and with day and month swapped where they may
// be.
func (w Week) forms() [][2]Date {
	forms := [][2]Date{{w.First, w.Last}}
	if w.First.Swapped || w.Last.Swapped {
		a, b := w.First, w.Last
		if a.Day <= 12 {
			a = a.swap()
		}
		if b.Day <= 12 && b.Month > 0 {
			b = b.swap()
		}
		forms = append(forms, [2]Date{a, b})
	}
	return forms
}

// reading is the first day in one year, false where the dates do not go together.
func (w Week) reading(first, last Date, year int) (reading, bool) {
	day, ok := first.Time(year)
	if !ok || first.Weekday >= 0 && weekday(day) != first.Weekday {
		return reading{}, false
	}
	score := 0
	if last.Day > 0 {
		if score, ok = scoreOfSpan(day, first, last); !ok {
			return reading{}, false
		}
	}
	if w.Ends {
		day = day.AddDate(0, 0, -6)
	}
	return reading{day, score + w.scoreOfNumber(day) + scoreOfWeekday(day)}, true
}

// scoreOfSpan says how well the last day fits the first; false where it does not at all.
func scoreOfSpan(day time.Time, first, last Date) (int, bool) {
	year := day.Year()
	if last.Month < first.Month {
		year++
	}
	end, ok := last.Time(year)
	if !ok || last.Weekday >= 0 && weekday(end) != last.Weekday {
		return 0, false
	}
	switch n := int(end.Sub(day).Hours() / 24); {
	case n == 6:
		return sevenDays, true
	case n < 0 || n > 13:
		return 0, false
	}
	return 0, true
}

func (w Week) scoreOfNumber(day time.Time) int {
	if w.Number == 0 {
		return 0
	}
	if _, n := day.ISOWeek(); n == w.Number {
		return itsNumber
	}
	if _, n := day.AddDate(0, 0, 1).ISOWeek(); n == w.Number {
		return nextsNumber
	}
	return 0
}

func scoreOfWeekday(day time.Time) int {
	switch weekday(day) {
	case 0:
		return onMonday
	case 6:
		return onSunday
	}
	return 0
}

// likeliest are the days most speaks for, the nearest first. The nearest year counts
// first: another only where it fits better by more than the day of the week.
func (w Week) likeliest(all []reading, around time.Time) []time.Time {
	far := func(r reading) bool { return !around.IsZero() && r.day.Sub(around).Abs() > farAway }
	best := -1
	for _, r := range all {
		if !far(r) {
			best = max(best, r.score)
		}
	}
	var out []time.Time
	for _, r := range all {
		if r.score == best && !far(r) && !slices.Contains(out, r.day) {
			out = append(out, r.day)
		}
	}
	if len(out) == 0 && !around.IsZero() && w.First.Year != 0 { // a year of its own, far away
		for _, r := range all {
			out = append(out, r.day)
		}
	}
	slices.SortFunc(out, func(a, b time.Time) int { return cmp.Compare(a.Sub(around).Abs(), b.Sub(around).Abs()) })
	return out
}
