package quantity

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"hardfeed/ingest/lexicon"
)

// Date is a date as it is in a text, with what is not said left out.
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
	wd, n := weekdayBefore(t, toks, i)
	i += n
	if i >= len(toks) {
		return Date{}, 0
	}
	var d Date
	ok := false
	switch toks[i].Kind {
	case lexicon.Number:
		d, ok = dayFirst(t, text, toks, i, wd >= 0)
	case lexicon.Word:
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
	n = 0
	for start+n < len(toks) && toks[start+n].Start < d.End {
		n++
	}
	return d, n
}

// weekdayBefore reads the weekday before a date, with what stands between them; -1 where
// there is none.
func weekdayBefore(t *lexicon.Table, toks []lexicon.Token, i int) (day, n int) {
	if toks[i].Kind != lexicon.Word {
		return -1, 0
	}
	day, n = ReadWeekday(t, toks, i)
	if n == 0 {
		return -1, 0
	}
	for i+n < len(toks) && (toks[i+n].Text == "," || toks[i+n].Text == "." || toks[i+n].Text == "\n") {
		n++
	}
	return day, n + filler(t, toks, i+n, "the")
}

// filler is how many tokens a little word of dates takes at token i: "the", "of", "th".
func filler(t *lexicon.Table, toks []lexicon.Token, i int, key string) int {
	if s, n := t.Match(toks, i, "date fillers"); n > 0 && s.Key == key {
		return n
	}
	return 0
}

// dayFirst reads a date that begins with a number.
func dayFirst(t *lexicon.Table, text string, toks []lexicon.Token, i int, afterWeekday bool) (Date, bool) {
	d, ok := figures(text, toks[i].Start)
	if ok && d.Year != 0 { // "11-1-27" is a day, not the 11th to the 27th of January
		return d, true
	}
	if days, to := dayToDay(t, text, toks, i); to { // "7–13 Dec"
		return days, true
	}
	if !ok {
		return dayMonth(t, text, toks, i, afterWeekday)
	}
	if d.Weak && d.Year == 0 {
		if m, found := dayMonth(t, text, toks, i, false); found && m.Month != 0 {
			return m, true
		}
	}
	return d, true
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
	if !f.yearBehind() {
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

// yearBehind reads the year behind, of two figures or four; "11.01." has none. Of "11.1. 2027"
// and "11.1 2027" the year stands by itself. False where the third number is not a year.
func (f *figuresReader) yearBehind() bool {
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

// aDay says whether a token may be the day of a month.
func aDay(tok lexicon.Token) bool { return tok.Whole && tok.Value >= 1 && tok.Value <= 31 }

// dayMonth reads "30 November 2026", "30th of Nov", "30. November", "11 de enero
// de 2027", and a day alone with its ending or behind a weekday.
func dayMonth(t *lexicon.Table, text string, toks []lexicon.Token, i int, afterWeekday bool) (Date, bool) {
	tok := toks[i]
	if !aDay(tok) {
		return Date{}, false
	}
	d := Date{Span: tok.Span, Day: int(tok.Value), Weekday: -1}
	i++
	ordinal := 0
	if i < len(toks) && toks[i].Glued {
		ordinal = filler(t, toks, i, "ordinal")
		_, month := ReadMonth(t, toks, i)
		switch {
		case ordinal > 0:
			d.End = toks[i].End
			i += ordinal
		case toks[i].Text == ".":
			d.End = toks[i].End
			i++
		case toks[i].Kind == lexicon.Word && month == 0: // "11Jan" is a date, "11kg" none
			return Date{}, false
		}
	}
	j := beforeMonth(t, toks, i)
	if m, n := ReadMonth(t, toks, j); n > 0 {
		d.Month, d.End = m, toks[j+n-1].End
		if toks[j+n-1].Dot {
			d.End++
		}
		year(t, toks, j+n, &d)
		return d, valid(d)
	}
	if ordinal > 0 || afterWeekday {
		return d, true
	}
	return Date{}, false
}

// beforeMonth skips "of" and hyphens between a day and its month.
func beforeMonth(t *lexicon.Table, toks []lexicon.Token, i int) int {
	for i < len(toks) {
		n := filler(t, toks, i, "of")
		if n == 0 && toks[i].Text == "-" && toks[i].Glued && i+1 < len(toks) && toks[i+1].Glued && toks[i+1].Kind == lexicon.Word {
			n = 1
		}
		if n == 0 {
			break
		}
		i += n
	}
	return i
}

// dayToDay reads "7–13 Dec", "11 al domingo 17 de enero de 2027".
func dayToDay(t *lexicon.Table, text string, toks []lexicon.Token, i int) (Date, bool) {
	from := toks[i]
	if !aDay(from) {
		return Date{}, false
	}
	i++
	if i < len(toks) && toks[i].Glued {
		if n := filler(t, toks, i, "ordinal"); n > 0 {
			i += n
		} else if toks[i].Text == "." {
			i++
		}
	}
	n := till(t, toks, i)
	if n == 0 {
		return Date{}, false
	}
	i += n
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

// till is how many tokens a dash or "to" takes at token i.
func till(t *lexicon.Table, toks []lexicon.Token, i int) int {
	if i >= len(toks) {
		return 0
	}
	if toks[i].Text == "-" {
		return 1
	}
	if s, n := t.Match(toks, i, "week"); n > 0 && s.Key == "to" {
		return n
	}
	return 0
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
		n := filler(t, toks, i, "of")
		if n == 0 && (toks[i].Text == "," || toks[i].Text == "'" || toks[i].Text == "-" && toks[i].Glued) {
			n = 1
		}
		if n == 0 {
			break
		}
		i += n
	}
	if i >= len(toks) || toks[i].Kind != lexicon.Number || !toks[i].Whole {
		return
	}
	switch v := int(toks[i].Value); toks[i].End - toks[i].Start {
	case 4:
		if v >= firstYear && v <= lastYear {
			d.Year, d.End = v, toks[i].End
		}
	case 2:
		// Two figures before a word or a dash may be minutes or a day.
		alone := i+1 >= len(toks) || toks[i+1].Text != "-" && toks[i+1].Kind != lexicon.Word
		if v >= firstShortYear && v <= lastShortYear && (alone || toks[i].Start > 0 && toks[i-1].Text == "'") {
			d.Year, d.End = 2000+v, toks[i].End
		}
	}
}

// The years that two figures can mean (ours).
const firstShortYear, lastShortYear = 20, 50
