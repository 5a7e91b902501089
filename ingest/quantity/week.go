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
	// or seven days; otherwise it is a date that stands there.
	Strong bool
	// Ends says that the date is the week's last day.
	Ends bool
	// Relative is -1 for "last week", 1 for "next week", 0 for this one or none.
	Relative int
	// Named says that last, this or next week was said in words.
	Named bool
}

// ReadWeek finds the week a text names; false where there is none.
func ReadWeek(t *lexicon.Table, text string) (Week, bool) {
	toks := lexicon.Scan(text)
	var w Week
	dates := slices.DeleteFunc(FindDates(t, text, toks), func(d Date) bool { return d.Month == 0 && d.Weekday < 0 && d.From == 0 })
	found := false
	at := func(d Date) int { // the token a date begins with
		return slices.IndexFunc(toks, func(k lexicon.Token) bool { return k.End > d.Start })
	}
	// Words: "week 49", "w/c", "last week".
	begins := -1
	for i := 0; i < len(toks); {
		s, n := t.Match(toks, i, "week")
		if n == 0 {
			i++
			continue
		}
		switch s.Key {
		case "last", "this", "next":
			w.Named, found = true, true
			w.Relative = map[string]int{"last": -1, "next": 1}[s.Key]
			w.Span = w.Join(span(toks, i, n))
		case "begins", "ends":
			if k := slices.IndexFunc(dates, func(d Date) bool { return d.Start >= toks[i+n-1].End && at(d)-(i+n) <= 2 }); k >= 0 && begins < 0 {
				begins, w.Ends, w.Strong = k, s.Key == "ends", true
				w.Span = w.Join(span(toks, i, n))
			}
		case "week":
			j := i + n
			for j < len(toks) && (toks[j].Text == "." || toks[j].Text == ":" || toks[j].Text == "#") {
				j++
			}
			isDate := j < len(toks) && slices.ContainsFunc(dates, func(d Date) bool { return d.Start == toks[j].Start })
			switch {
			case j < len(toks) && toks[j].Whole && toks[j].Value >= 1 && toks[j].Value <= 53 && !isDate:
				w.Number, found, w.Strong = int(toks[j].Value), true, true
				w.Span = w.Join(span(toks, i, j+1-i))
				if j+2 < len(toks) && (toks[j+1].Text == "/" || toks[j+1].Text == "-" || toks[j+1].Text == ",") && toks[j+2].Whole && toks[j+2].Value >= firstYear && toks[j+2].Value <= lastYear {
					w.Year = int(toks[j+2].Value)
					w.End = toks[j+2].End
				} else if j+1 < len(toks) && toks[j+1].Whole && toks[j+1].Value >= firstYear && toks[j+1].Value <= lastYear {
					w.Year = int(toks[j+1].Value)
					w.End = toks[j+1].End
				}
			case isDate && begins < 0:
				begins = slices.IndexFunc(dates, func(d Date) bool { return d.Start == toks[j].Start })
				w.Strong = true
				w.Span = w.Join(span(toks, i, n))
			}
		}
		i += n
	}
	// Two dates with "to" or a dash between them, or some days of a month.
	for k, d := range dates {
		if d.From > 0 {
			first := d
			first.Day, first.From, first.Weekday = d.From, 0, -1
			if d.From > d.Day {
				if first.Month--; first.Month == 0 {
					first.Month = 12
					if first.Year > 0 {
						first.Year--
					}
				}
			}
			d.From = 0
			w.First, w.Last, w.Strong = first, d, true
			w.Span = w.Join(d.Span)
			return w, true
		}
		if k+1 < len(dates) && joined(t, toks, at(d), dates[k+1], d) {
			first, last := d, dates[k+1]
			if first.Month == 0 {
				first.Month, first.Year, first.Swapped = last.Month, last.Year, last.Swapped
				if first.Day > last.Day {
					if first.Month--; first.Month == 0 {
						first.Month = 12
						if first.Year > 0 {
							first.Year--
						}
					}
				}
			}
			if first.Year == 0 && last.Year != 0 {
				first.Year = last.Year
				if first.Month > last.Month {
					first.Year--
				}
			}
			if first.Month != 0 && last.Month != 0 {
				w.First, w.Last, w.Strong = first, last, true
				w.Span = w.Join(first.Span).Join(last.Span)
				return w, true
			}
		}
	}
	dates = slices.DeleteFunc(dates, func(d Date) bool { return d.Month == 0 })
	if begins >= len(dates) {
		begins = -1
	}
	if begins < 0 {
		begins = slices.IndexFunc(dates, func(d Date) bool { return !d.Weak || w.Strong || len(dates) == 1 && d.Start == 0 && d.End == len(text) })
	}
	if begins >= 0 {
		w.First = dates[begins]
		w.Span = w.Join(w.First.Span)
		if w.First.Year == 0 && w.Year != 0 {
			w.First.Year = w.Year
		}
		return w, true
	}
	return w, found
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

// Readings are the first days the week can have, the likeliest ones only: seven
// days where two dates are given, the weekday said, the number of the week, a
// Monday before a Sunday before any other day. Where no year is said it is the
// one that brings it nearest to around; with around zero every year from 2015
// to 2040 in which it fits is given.
func (w Week) Readings(around time.Time) []time.Time {
	type reading struct {
		day   time.Time
		score int
	}
	var all []reading
	years := func(y int) []int {
		if y == 0 {
			y = w.Year
		}
		switch {
		case y != 0:
			return []int{y}
		case !around.IsZero():
			return []int{around.Year() - 1, around.Year(), around.Year() + 1}
		}
		var ys []int
		for y := 2015; y <= 2040; y++ {
			ys = append(ys, y)
		}
		return ys
	}
	if w.First.Day == 0 {
		if w.Number == 0 {
			return nil
		}
		for _, y := range years(0) {
			// The fourth of January lies in week 1 (ISO 8601).
			jan4 := time.Date(y, 1, 4, 0, 0, 0, 0, time.UTC)
			day := jan4.AddDate(0, 0, 7*(w.Number-1)-weekday(jan4))
			if yy, n := day.ISOWeek(); yy == y && n == w.Number {
				all = append(all, reading{day, 0})
			}
		}
	}
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
	for _, f := range forms {
		if w.First.Day == 0 {
			break
		}
		for _, y := range years(f[0].Year) {
			day, ok := f[0].Time(y)
			if !ok || f[0].Weekday >= 0 && weekday(day) != f[0].Weekday {
				continue
			}
			score := 0
			if f[1].Day > 0 {
				ly := day.Year()
				if f[1].Month < f[0].Month {
					ly++
				}
				last, ok := f[1].Time(ly)
				if !ok || f[1].Weekday >= 0 && weekday(last) != f[1].Weekday {
					continue
				}
				if n := int(last.Sub(day).Hours() / 24); n == 6 {
					score += 8
				} else if n < 0 || n > 13 {
					continue
				}
			}
			if w.Ends {
				day = day.AddDate(0, 0, -6)
			}
			if w.Number > 0 {
				if _, n := day.ISOWeek(); n == w.Number {
					score += 4
				} else if _, n := day.AddDate(0, 0, 1).ISOWeek(); n == w.Number {
					score += 3
				}
			}
			switch weekday(day) {
			case 0:
				score += 2
			case 6:
				score++
			}
			all = append(all, reading{day, score})
		}
	}
	// The nearest year first: another counts only where it fits better by more
	// than the day of the week.
	best, from := -1, time.Duration(0)
	for _, r := range all {
		d := r.day.Sub(around).Abs()
		if !around.IsZero() && d > 200*24*time.Hour {
			continue
		}
		if r.score > best || r.score == best && d < from {
			best, from = r.score, d
		}
	}
	var out []time.Time
	for _, r := range all {
		if r.score == best && (around.IsZero() || r.day.Sub(around).Abs() <= 200*24*time.Hour) && !slices.Contains(out, r.day) {
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
