package quantity

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"hardfeed/ingest/lexicon"
)

// Date is a date as it stands in a text, with what is not said left out.
type Date struct {
	lexicon.Span
	Year    int // 0 if not said
	Month   int // 0 if not said: "Mon 30", "30th"
	Day     int
	Weekday int // 0 Monday to 6 Sunday; -1 if not said
	// Swapped says that day and month may stand the other way round.
	Swapped bool
	// Weak says that without more it may be no date: "4.1", "12-7", "1/2".
	Weak bool
	// From is the first day where it is the end of some days of one month, or of
	// two that meet ("7–13 Dec", "30–6 Dec"); else 0.
	From int
}

// Known says whether nothing is left out and nothing can be swapped.
func (d Date) Known() bool { return d.Year != 0 && d.Month != 0 && d.Day != 0 && !d.Swapped }

// Time is the day itself, of the year given where none is said; false if there
// is no such day.
func (d Date) Time(year int) (time.Time, bool) {
	if d.Year != 0 {
		year = d.Year
	}
	if d.Month == 0 || year == 0 {
		return time.Time{}, false
	}
	x := time.Date(year, time.Month(d.Month), d.Day, 0, 0, 0, 0, time.UTC)
	return x, x.Day() == d.Day && int(x.Month()) == d.Month
}

// swap is the date with day and month the other way round.
func (d Date) swap() Date {
	d.Day, d.Month = d.Month, d.Day
	return d
}

// Readings are the days it can be: with the year nearest to around where none
// is said, both ways round where they fit, and on the weekday said.
func (d Date) Readings(around time.Time) []time.Time {
	var out []time.Time
	forms := []Date{d}
	if d.Swapped {
		forms = append(forms, d.swap())
	}
	for _, f := range forms {
		years := []int{f.Year}
		if f.Year == 0 {
			if around.IsZero() {
				continue
			}
			years = []int{around.Year() - 1, around.Year(), around.Year() + 1}
		}
		var best time.Time
		for _, y := range years {
			x, ok := f.Time(y)
			if !ok || f.Weekday >= 0 && weekday(x) != f.Weekday {
				continue
			}
			if best.IsZero() || x.Sub(around).Abs() < best.Sub(around).Abs() {
				best = x
			}
		}
		if !best.IsZero() && !slices.Contains(out, best) {
			out = append(out, best)
		}
	}
	return out
}

// weekday is 0 for Monday to 6 for Sunday.
func weekday(t time.Time) int { return (int(t.Weekday()) + 6) % 7 }

// FindDates gives every date in a text, in order: in figures, with the month as
// a word, and days of a month beside a weekday or with their ending ("30th").
// Dates in figures without a year that may be something else are Weak.
func FindDates(t *lexicon.Table, text string, toks []lexicon.Token) []Date {
	var out []Date
	for i := 0; i < len(toks); {
		d, n := ReadDate(t, text, toks, i)
		if n == 0 {
			i++
			continue
		}
		out = append(out, d)
		for i < len(toks) && toks[i].Start < d.End {
			i++
		}
	}
	return out
}

// ReadDate reads the date that begins at token i.
func ReadDate(t *lexicon.Table, text string, toks []lexicon.Token, i int) (Date, int) {
	start := i
	wd := -1
	if toks[i].Kind == lexicon.Word {
		if w, n := ReadWeekday(t, toks, i); n > 0 {
			wd = w
			i += n
			for i < len(toks) && (toks[i].Text == "," || toks[i].Text == "." || toks[i].Text == "\n") {
				i++
			}
			if s, k := t.Match(toks, i, "date fillers"); k > 0 && s.Key == "the" {
				i += k
			}
		}
	}
	if i >= len(toks) {
		return Date{}, 0
	}
	var d Date
	ok := false
	if toks[i].Kind == lexicon.Number {
		if d, ok = dayToDay(t, text, toks, i); ok {
			// "7–13 Dec"
		} else if d, ok = figures(text, toks[i].Start); !ok {
			d, ok = dayMonth(t, text, toks, i, wd >= 0)
		} else if d.Weak && d.Year == 0 {
			if m, found := dayMonth(t, text, toks, i, false); found && m.Month != 0 {
				d = m
			}
		}
	} else if toks[i].Kind == lexicon.Word {
		d, ok = monthDay(t, text, toks, i)
	}
	if !ok {
		return Date{}, 0
	}
	d.Start = toks[start].Start
	if wd >= 0 && d.From == 0 {
		d.Weekday = wd
		d.Weak = false
	}
	n := 0
	for start+n < len(toks) && toks[start+n].Start < d.End {
		n++
	}
	return d, n
}

// ReadWeekday reads the name of a weekday at token i.
func ReadWeekday(t *lexicon.Table, toks []lexicon.Token, i int) (day, n int) {
	s, n := t.Match(toks, i, "weekdays")
	if n == 0 {
		return 0, 0
	}
	return slices.Index(weekdayKeys, s.Key), n
}

var (
	weekdayKeys = []string{"mon", "tue", "wed", "thu", "fri", "sat", "sun"}
	monthKeys   = []string{"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"}
)

// ReadMonth reads the name of a month at token i, 1 to 12.
func ReadMonth(t *lexicon.Table, toks []lexicon.Token, i int) (month, n int) {
	if i >= len(toks) || toks[i].Kind != lexicon.Word {
		return 0, 0
	}
	s, n := t.Match(toks, i, "calendar")
	if n == 0 {
		return 0, 0
	}
	return slices.Index(monthKeys, s.Key) + 1, n
}

func digitsAt(s string, i int) int {
	for i < len(s) && s[i] >= '0' && s[i] <= '9' {
		i++
	}
	return i
}

// century is the whole of a year of two figures.
func century(y int) int {
	if y < 100 {
		return 2000 + y
	}
	return y
}

const firstYear, lastYear = 1990, 2100

// figures reads a date of figures only, at byte i: "30/11", "30.11.2026", "2026-11-30".
func figures(text string, i int) (Date, bool) {
	a := digitsAt(text, i)
	if a == len(text) || a == i || a-i == 3 || a-i > 4 || !strings.ContainsRune("/.-", rune(text[a])) {
		return Date{}, false
	}
	b := digitsAt(text, a+1)
	if b-a-1 < 1 || b-a-1 > 2 {
		return Date{}, false
	}
	f := figuresReader{text: text, sep: text[a], b: b}
	f.first, _ = strconv.Atoi(text[i:a])
	f.second, _ = strconv.Atoi(text[a+1 : b])
	f.d = Date{Span: lexicon.Span{Start: i, End: b}, Weekday: -1}
	if a-i == 4 {
		return f.yearFirst()
	}
	if !f.year() {
		return Date{}, false
	}
	return f.dayAndMonth()
}

// figuresReader reads a date of figures whose first two numbers are known.
type figuresReader struct {
	text          string
	sep           byte // between the numbers
	b             int  // the byte behind the second
	first, second int
	d             Date
}

// third is the number behind a second sign like the first, and where it ends; false
// where there is no such sign.
func (f *figuresReader) third() (v, figures, end int, ok bool) {
	if f.b >= len(f.text) || f.text[f.b] != f.sep {
		return 0, 0, 0, false
	}
	end = digitsAt(f.text, f.b+1)
	v, _ = strconv.Atoi(f.text[f.b+1 : end])
	return v, end - f.b - 1, end, true
}

// yearFirst reads "2026-11-30".
func (f *figuresReader) yearFirst() (Date, bool) {
	day, n, end, ok := f.third()
	if !ok || n < 1 || n > 2 {
		return Date{}, false
	}
	f.d.Year, f.d.Month, f.d.Day, f.d.End = f.first, f.second, day, end
	return f.d, valid(f.d)
}

// year reads the year behind, of two figures or four; "11.01." has none. Of "11.1. 2027"
// and "11.1 2027" the year stands by itself. False where the third number is no year.
func (f *figuresReader) year() bool {
	v, n, end, ok := f.third()
	switch {
	case !ok:
	case n == 2 || n == 4:
		f.d.Year, f.d.End = century(v), end
	case n == 0:
		if f.sep == '.' {
			f.d.End = f.b + 1
		}
	default:
		return false
	}
	return f.d.End >= len(f.text) || f.text[f.d.End] < '0' || f.text[f.d.End] > '9'
}

// dayAndMonth says which of the numbers is which, and whether they may be something else.
func (f *figuresReader) dayAndMonth() (Date, bool) {
	d, a, b := f.d, f.first, f.second
	if d.Year == 0 {
		dotted := f.sep == '.' && d.End == f.b+1
		d.Weak = f.sep != '/' && !dotted || f.sep == '/' && a < b && fractionLow(b)
	}
	d.Day, d.Month = a, b
	switch {
	case a > 31 || b > 31 || a == 0 || b == 0 || a > 12 && b > 12:
		return Date{}, false
	case b > 12: // 12/30
		d = d.swap()
	case a <= 12 && a != b && f.sep != '.':
		d.Swapped = true
	}
	return d, valid(d)
}

func fractionLow(n int) bool {
	switch n {
	case 2, 3, 4, 5, 6, 8, 10:
		return true
	}
	return false
}

func valid(d Date) bool {
	if d.Month < 1 || d.Month > 12 || d.Day < 1 || d.Day > 31 || d.Year != 0 && (d.Year < firstYear || d.Year > lastYear) {
		return false
	}
	y := d.Year
	if y == 0 {
		y = 2024 // a leap year
	}
	_, ok := Date{Month: d.Month, Day: d.Day}.Time(y)
	return ok
}

// dayMonth reads "30 November 2026", "30th of Nov", "30. November", "11 de enero
// de 2027", and a day alone with its ending or behind a weekday.
func dayMonth(t *lexicon.Table, text string, toks []lexicon.Token, i int, afterWeekday bool) (Date, bool) {
	tok := toks[i]
	if !tok.Whole || tok.Value < 1 || tok.Value > 31 {
		return Date{}, false
	}
	d := Date{Span: tok.Span, Day: int(tok.Value), Weekday: -1}
	i++
	ending := false
	if i < len(toks) && toks[i].Glued {
		if s, n := t.Match(toks, i, "date fillers"); n > 0 && s.Key == "ordinal" {
			ending = true
			d.End = toks[i].End
			i += n
		} else if toks[i].Text == "." {
			d.End = toks[i].End
			i++
		} else if toks[i].Kind == lexicon.Word {
			if _, n := ReadMonth(t, toks, i); n == 0 { // "11Jan"
				return Date{}, false
			}
		}
	}
	j := i
	for j < len(toks) {
		if s, n := t.Match(toks, j, "date fillers"); n > 0 && s.Key == "of" || toks[j].Text == "-" && toks[j].Glued && n == 0 && j+1 < len(toks) && toks[j+1].Glued && toks[j+1].Kind == lexicon.Word {
			j += max(n, 1)
			continue
		}
		break
	}
	if m, n := ReadMonth(t, toks, j); n > 0 {
		d.Month, d.End = m, toks[j+n-1].End
		if toks[j+n-1].Dot {
			d.End++
		}
		year(t, toks, j+n, &d)
		return d, valid(d)
	}
	if ending || afterWeekday {
		return d, true
	}
	return Date{}, false
}

// dayToDay reads "7–13 Dec", "11 al domingo 17 de enero de 2027".
func dayToDay(t *lexicon.Table, text string, toks []lexicon.Token, i int) (Date, bool) {
	from := toks[i]
	if !from.Whole || from.Value < 1 || from.Value > 31 {
		return Date{}, false
	}
	i++
	if i < len(toks) && toks[i].Glued {
		if s, n := t.Match(toks, i, "date fillers"); n > 0 && s.Key == "ordinal" {
			i += n
		} else if toks[i].Text == "." {
			i++
		}
	}
	if i >= len(toks) {
		return Date{}, false
	}
	if toks[i].Text == "-" {
		i++
	} else if s, n := t.Match(toks, i, "week"); n > 0 && s.Key == "to" {
		i += n
	} else {
		return Date{}, false
	}
	if i < len(toks) {
		_, n := ReadWeekday(t, toks, i)
		i += n
	}
	if i >= len(toks) || toks[i].Kind != lexicon.Number {
		return Date{}, false
	}
	d, ok := dayMonth(t, text, toks, i, false)
	if !ok || d.Month == 0 {
		if d, ok = figures(text, toks[i].Start); !ok || d.Swapped && d.Year == 0 {
			return Date{}, false
		}
		d.Weak = false
	}
	d.From, d.Start = int(from.Value), from.Start
	return d, true
}

// monthDay reads "November 30, 2026" and "Nov 30th".
func monthDay(t *lexicon.Table, text string, toks []lexicon.Token, i int) (Date, bool) {
	m, n := ReadMonth(t, toks, i)
	if n == 0 || i+n >= len(toks) {
		return Date{}, false
	}
	start := toks[i].Start
	i += n
	tok := toks[i]
	if tok.Kind != lexicon.Number || !tok.Whole || tok.Value < 1 || tok.Value > 31 {
		return Date{}, false
	}
	d := Date{Span: lexicon.Span{Start: start, End: tok.End}, Month: m, Day: int(tok.Value), Weekday: -1}
	i++
	if i < len(toks) && toks[i].Glued {
		if s, k := t.Match(toks, i, "date fillers"); k > 0 && s.Key == "ordinal" {
			d.End = toks[i].End
			i += k
		}
	}
	if i < len(toks) && toks[i].Text == "," {
		i++
	}
	year(t, toks, i, &d)
	return d, valid(d)
}

// year takes a year standing at token i: four figures, or two with an
// apostrophe or right behind a month.
func year(t *lexicon.Table, toks []lexicon.Token, i int, d *Date) {
	for i < len(toks) {
		s, n := t.Match(toks, i, "date fillers")
		if n > 0 && s.Key == "of" {
			i += n
		} else if toks[i].Text == "," || toks[i].Text == "'" || toks[i].Text == "-" && toks[i].Glued {
			i++
		} else {
			break
		}
	}
	if i >= len(toks) || toks[i].Kind != lexicon.Number || !toks[i].Whole {
		return
	}
	v, width := int(toks[i].Value), toks[i].End-toks[i].Start
	if width == 4 && v >= firstYear && v <= lastYear {
		d.Year, d.End = v, toks[i].End
	} else if width == 2 && v >= 20 && v <= 50 && (i+1 >= len(toks) || toks[i+1].Text != "-" && toks[i+1].Kind != lexicon.Word || toks[i].Start > 0 && toks[i-1].Text == "'") {
		d.Year, d.End = 2000+v, toks[i].End
	}
}
