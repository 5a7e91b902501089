package rollover

import (
	"regexp"
	"strconv"
	"strings"
	"sync"
	"time"
	"unicode"
	"unicode/utf8"

	"hardfeed/ingest/board"
	"hardfeed/ingest/phrase"
	"hardfeed/ingest/quantity"
)

// calendar moves the dates of titles and headings on by a week, where they lie in the
// weeks that are moved.
type calendar struct {
	words       *phrase.Words
	first, last time.Time // days that are moved; both zero: the week is not known
	week        time.Time // first day of the week planned
	monthFirst  bool      // day and month are written the American way
}

const oneWeek = 7

// moves says whether a day is one of those that are moved.
func (c *calendar) moves(day time.Time) bool {
	return !c.first.IsZero() && !day.Before(c.first) && !day.After(c.last)
}

// learn finds out in which order day and month are written.
func (c *calendar) learn(all []board.WeekPlace) {
	dayFirst, monthFirst := 0, 0
	for _, w := range all {
		for _, d := range c.words.Dates(strings.ReplaceAll(w.Text, "-", "/")) {
			if !d.Swapped {
				continue
			}
			for _, day := range d.Readings(c.week) {
				if !c.moves(day) {
					continue
				}
				if day.Day() == d.Day {
					dayFirst++
				} else {
					monthFirst++
				}
			}
		}
	}
	c.monthFirst = monthFirst > dayFirst
}

// text is a title with its dates and its week's number moved on; false where it has
// none to move.
func (c *calendar) text(s string, tab bool) (string, bool) {
	if c.first.IsZero() {
		return s, false
	}
	is, ok := c.moved(s, s)
	if slashed := tabDash().ReplaceAllString(s, "$1/$2"); !ok && tab && slashed != s { // a tab's name can hold no slash
		is, ok = c.moved(s, slashed)
	}
	if ok {
		return is, true
	}
	if m := dayAlone().FindStringSubmatch(s); m != nil && !tab { // "9."
		n, _ := strconv.Atoi(m[1])
		if day, ok := c.day(quantity.Date{Day: n, Weekday: -1}, nil, 0); ok {
			return strings.Replace(s, m[1], strconv.Itoa(day.AddDate(0, 0, oneWeek).Day()), 1), true
		}
	}
	is = c.numbers(s)
	return is, is != s
}

// lazily compiles an expression when it is first used.
func lazily(expr string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expr) })
}

var dayAlone = lazily(`^\s*(\d{1,2})\.?\s*$`)

// moved is a text with its dates moved on, by what the dates are read in, which is as
// long.
func (c *calendar) moved(s, read string) (string, bool) {
	dates := c.words.Dates(read)
	out, at, moved := "", 0, false
	for i, d := range dates {
		day, ok := c.day(d, dates, i)
		if !ok || !c.moves(day) || d.Start < at {
			continue
		}
		out += c.numbers(s[at:d.Start])
		out += c.rewrite(s[d.Start:d.End], d, day)
		at, moved = d.End, true
	}
	return out + c.numbers(s[at:]), moved
}

var tabDash = lazily(`\b(\d{1,2})-(\d{1,2})\b`)

// day is the day a date means: in the weeks that are moved, where it can lie there.
func (c *calendar) day(d quantity.Date, all []quantity.Date, i int) (time.Time, bool) {
	if d.Month == 0 {
		// A day of the month alone: the one nearest to the week's beginning.
		for n := range 60 {
			for _, day := range []time.Time{c.week.AddDate(0, 0, n), c.week.AddDate(0, 0, -n)} {
				if day.Day() == d.Day && (d.Weekday < 0 || (int(day.Weekday())+6)%7 == d.Weekday) && c.moves(day) {
					return day, true
				}
			}
		}
		return time.Time{}, false
	}
	if d.Year == 0 && i+1 < len(all) && all[i+1].Year > 0 && !d.Swapped { // "30.11. – 6.12.2026"
		for _, y := range []int{all[i+1].Year, all[i+1].Year - 1} {
			if day, ok := d.Time(y); ok && c.moves(day) {
				return day, true
			}
		}
	}
	for _, day := range d.Readings(c.week) {
		if c.moves(day) {
			return day, true
		}
	}
	// The weekday beside it may be a slip of the pen, or last year's.
	return time.Time{}, false
}

var dayNumber = lazily(`\d+`)

// rewrite is a date as she writes it, a week later.
func (c *calendar) rewrite(s string, d quantity.Date, day time.Time) string {
	next := day.AddDate(0, 0, oneWeek)
	if d.From > 0 {
		return c.rewriteSpan(s, d, day)
	}
	digits := dayNumber().FindAllStringIndex(s, -1)
	padded := false
	for _, m := range digits {
		padded = padded || s[m[0]] == '0' && m[1]-m[0] == 2
	}
	padded = padded || len(digits) == 3 && digits[2][1]-digits[2][0] == 4 && !strings.Contains(s, " ") && !shortParts(s, digits)
	pad := func(n int) string {
		if padded && n < 10 {
			return "0" + strconv.Itoa(n)
		}
		return strconv.Itoa(n)
	}
	var to []string
	if name, ok := c.month(s, int(day.Month())); ok && d.Month > 0 {
		// Words: the number that is the day's, and the year's.
		for _, m := range digits {
			n, _ := strconv.Atoi(s[m[0]:m[1]])
			switch {
			case n == day.Day() && len(to) == 0:
				to = append(to, pad(next.Day()))
			case n == day.Year():
				to = append(to, strconv.Itoa(next.Year()))
			case n == day.Year()%100:
				to = append(to, next.Format("06"))
			case n == day.Day():
				to = append(to, pad(next.Day()))
			default:
				to = append(to, s[m[0]:m[1]])
			}
		}
		s = replaceDigits(s, digits, to)
		s = ordinals(s, next.Day())
		return strings.Replace(s, name.text, name.in(int(next.Month())), 1)
	}
	switch {
	case len(digits) == 1:
		to = []string{pad(next.Day())}
		return ordinals(replaceDigits(s, digits, to), next.Day())
	case digits[0][1]-digits[0][0] == 4: // 2026-11-30
		to = []string{strconv.Itoa(next.Year()), pad(int(next.Month())), pad(next.Day())}
	default:
		first, _ := strconv.Atoi(s[digits[0][0]:digits[0][1]])
		dayFirst := first == day.Day()
		if first == day.Day() && first == int(day.Month()) {
			dayFirst = !c.monthFirst
		}
		to = []string{pad(next.Day()), pad(int(next.Month()))}
		if !dayFirst {
			to[0], to[1] = to[1], to[0]
		}
		if len(digits) > 2 {
			y := strconv.Itoa(next.Year())
			if digits[2][1]-digits[2][0] == 2 {
				y = y[2:]
			}
			to = append(to, y)
		}
	}
	return replaceDigits(s, digits, to)
}

// shortParts says whether a date in figures has a day or month of one figure.
func shortParts(s string, digits [][]int) bool {
	for _, m := range digits {
		if m[1]-m[0] == 1 {
			return true
		}
	}
	return false
}

// rewriteSpan is "7–13 Dec" a week later. day is the last of the days.
func (c *calendar) rewriteSpan(s string, d quantity.Date, day time.Time) string {
	last := day.AddDate(0, 0, oneWeek)
	first := day
	for range 31 {
		if first = first.AddDate(0, 0, -1); first.Day() == d.From {
			break
		}
	}
	first = first.AddDate(0, 0, oneWeek)
	digits := dayNumber().FindAllStringIndex(s, -1)
	if len(digits) < 2 {
		return s
	}
	to := []string{strconv.Itoa(first.Day()), strconv.Itoa(last.Day())}
	for _, m := range digits[2:] {
		n, _ := strconv.Atoi(s[m[0]:m[1]])
		switch n {
		case int(day.Month()):
			to = append(to, strconv.Itoa(int(last.Month())))
		case day.Year():
			to = append(to, strconv.Itoa(last.Year()))
		case day.Year() % 100:
			to = append(to, last.Format("06"))
		default:
			to = append(to, s[m[0]:m[1]])
		}
	}
	between := s[digits[0][1]:digits[1][0]]
	name, inWords := c.month(s, int(day.Month()))
	if inWords && first.Month() != last.Month() { // "30 Nov–6 Dec" for "23–29 Nov"
		between = " " + name.in(int(first.Month())) + between
	}
	parts := []string{ordinals(to[0]+between, first.Day()), ordinals(to[1]+tail(s, digits, to), last.Day())}
	if inWords {
		parts[1] = strings.Replace(parts[1], name.text, name.in(int(last.Month())), 1)
	}
	return s[:digits[0][0]] + parts[0] + parts[1]
}

// tail is what is behind the second number, with the numbers in it replaced.
func tail(s string, digits [][]int, to []string) string {
	out, at := "", digits[1][1]
	for i, m := range digits[2:] {
		out += s[at:m[0]] + to[i+2]
		at = m[1]
	}
	return out + s[at:]
}

func replaceDigits(s string, digits [][]int, to []string) string {
	out, at := "", 0
	for i, m := range digits {
		if i >= len(to) {
			break
		}
		out += s[at:m[0]] + to[i]
		at = m[1]
	}
	return out + s[at:]
}

var ordinal = lazily(`(\d+)(st|nd|rd|th|ST|ND|RD|TH|er)\b`)

// ordinals puts the ending right behind a day: 30th, 7th, 1st; French has one for the
// first only.
func ordinals(s string, day int) string {
	done := false
	s = ordinal().ReplaceAllStringFunc(s, func(m string) string {
		n := dayNumber().FindString(m)
		if done || n != strconv.Itoa(day) {
			return m
		}
		done = true
		end := m[len(n):]
		if end == "er" {
			if day == 1 {
				return m
			}
			return n
		}
		is := "th"
		switch {
		case day%10 == 1 && day != 11:
			is = "st"
		case day%10 == 2 && day != 12:
			is = "nd"
		case day%10 == 3 && day != 13:
			is = "rd"
		}
		if strings.ToUpper(end) == end {
			is = strings.ToUpper(is)
		}
		return n + is
	})
	return s
}

var weekNumber = lazily(`(?i)(?:^|[^\pL\d])((?:week|wk|kw|woche|semaine|sem|semana|tydzień|tydz|semana|uke|vecka|v)\.?\s?(?:no\.?\s?|nr\.?\s?|#\s?)?)(\d{1,2})(\D|$)`)

// numbers moves on the number of a week.
func (c *calendar) numbers(s string) string {
	m := weekNumber().FindStringSubmatchIndex(s)
	if m == nil {
		return s
	}
	n, _ := strconv.Atoi(s[m[4]:m[5]])
	// "week 7 Dec" and "wk 7/12" are dates.
	if len(c.words.Dates(s[m[4]:])) > 0 && c.words.Dates(s[m[4]:])[0].Start == 0 || n == 0 {
		return s
	}
	_, now := c.week.ISOWeek()
	_, next := c.week.AddDate(0, 0, oneWeek).ISOWeek()
	is := n + 1
	if n >= 52 && n-now >= -1 && n-now <= 1 && next <= 2 || n == now {
		is = next
	}
	to := strconv.Itoa(is)
	if m[5]-m[4] == 2 && s[m[4]] == '0' && is < 10 {
		to = "0" + to
	}
	return s[:m[4]] + to + s[m[5]:]
}

// monthNames are the ways the months are written, the full names of each language and
// its short ones. From memory; the reader's tables of words have the same.
var monthNames = []struct {
	language string
	names    [12]string
}{
	{"en", [12]string{"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"}},
	{"en", [12]string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}},
	{"en", [12]string{"Jan", "Feb", "Mar", "Apr", "May", "June", "July", "Aug", "Sept", "Oct", "Nov", "Dec"}},
	{"de", [12]string{"Januar", "Februar", "März", "April", "Mai", "Juni", "Juli", "August", "September", "Oktober", "November", "Dezember"}},
	{"de", [12]string{"Jänner", "Feber", "März", "April", "Mai", "Juni", "Juli", "August", "September", "Oktober", "November", "Dezember"}},
	{"de", [12]string{"Jan", "Feb", "Mär", "Apr", "Mai", "Jun", "Jul", "Aug", "Sep", "Okt", "Nov", "Dez"}},
	{"de", [12]string{"Jan", "Feb", "Mrz", "Apr", "Mai", "Juni", "Juli", "Aug", "Sept", "Okt", "Nov", "Dez"}},
	{"fr", [12]string{"janvier", "février", "mars", "avril", "mai", "juin", "juillet", "août", "septembre", "octobre", "novembre", "décembre"}},
	{"fr", [12]string{"janv", "févr", "mars", "avr", "mai", "juin", "juil", "août", "sept", "oct", "nov", "déc"}},
	{"fr", [12]string{"jan", "fév", "mars", "avr", "mai", "juin", "juil", "août", "sep", "oct", "nov", "déc"}},
	{"es", [12]string{"enero", "febrero", "marzo", "abril", "mayo", "junio", "julio", "agosto", "septiembre", "octubre", "noviembre", "diciembre"}},
	{"es", [12]string{"ene", "feb", "mar", "abr", "may", "jun", "jul", "ago", "sep", "oct", "nov", "dic"}},
}

// monthName is a month as it is in a text.
type monthName struct {
	text string
	row  int // of monthNames
}

// month finds a month where it is written in a text, in the likeliest of the book's
// languages.
func (c *calendar) month(s string, month int) (monthName, bool) {
	words := strings.FieldsFunc(s, func(r rune) bool { return !unicode.IsLetter(r) })
	for _, language := range c.words.Table().Languages() {
		for row, m := range monthNames {
			if m.language != language {
				continue
			}
			for _, w := range words {
				if strings.EqualFold(w, m.names[month-1]) {
					return monthName{w, row}, true
				}
			}
		}
	}
	return monthName{}, false
}

// in is another month, written the same way.
func (n monthName) in(month int) string {
	to := monthNames[n.row].names[month-1]
	switch {
	case strings.ToUpper(n.text) == n.text && utf8.RuneCountInString(n.text) > 1:
		return strings.ToUpper(to)
	case strings.ToLower(n.text) == n.text:
		return strings.ToLower(to)
	}
	r, size := utf8.DecodeRuneInString(to)
	return string(unicode.ToUpper(r)) + to[size:]
}
