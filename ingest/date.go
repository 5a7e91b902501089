package ingest

import (
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"hardfeed/ration/yard"
)

var (
	errDateUnclear  = unread(yard.Say("part.date.unclear"))
	errYearShort    = unread(yard.Say("part.date.short year"))
	errNoDate       = unread(yard.Say("part.date.none"))
	isoDate         = lazily(`^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[t ]00:00(?::00(?:\.0+)?)?z?)?$`)
	wordDate        = lazily(`^(?:\pL+[.,]? ?,? )?(\d{1,2})(?:st|nd|rd|th|er|\.|º)?[ -]+(?:of |de )?(\pL+)\.?,?[ -]+(?:de )?(\d{4})$`)
	wordDateUS      = lazily(`^(?:\pL+,? )?(\pL+)\.? (\d{1,2})(?:st|nd|rd|th)?,? (\d{4})$`)
	figureDate      = lazily(`^(\d{1,2})[/.\-](\d{1,2})[/.\-](\d{2}|\d{4})$`)
	clock24         = lazily(`^(\d{1,2})[:.](\d{2})(?::00)?\s*(am|pm)?$`)
	clockH          = lazily(`^(\d{1,2})\s*h\s*(\d{2})?$`)
	clockHour       = lazily(`^(\d{1,2})\s*(am|pm)$`)
	weekdayWords    = []string{"monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"}
	monthWords      = []string{"january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november", "december"}
	firstYear, last = 1990, 2100
)

// mayBeDate tells nearly all other texts apart at once: a date starts with the
// four figures of its year and a sign, or ends with a sign and four or two.
func mayBeDate(s string) bool {
	figures := func(t string) bool {
		return strings.IndexFunc(t, func(r rune) bool { return r < '0' || r > '9' }) < 0
	}
	ends := func(n int, signs string) bool {
		at := len(s) - n
		return at > 0 && strings.IndexByte(signs, s[at-1]) >= 0 && figures(s[at:])
	}
	return ends(4, " -/.") || ends(2, "-/.") || len(s) > 4 && strings.IndexByte("-/.", s[4]) >= 0 && figures(s[:4])
}

// ParseDate reads a date written as text: "2026-11-30", "30 November 2026",
// "Mon 30 Nov 2026", "November 30, 2026", "2026/11/30", months in English, German,
// French and Spanish, and "30/11/2026" where only one way
// of reading it exists. "06/09/26" and "06/09/2026" are refused: they are the
// 6th of September in Britain and the 9th of June in America. Years 1990 to
// 2100.
func ParseDate(text string) (time.Time, error) {
	s := strings.ToLower(tidy(text))
	if !mayBeDate(s) {
		return time.Time{}, errNoDate
	}
	if m := isoDate().FindStringSubmatch(s); m != nil {
		return makeDate(m[1], m[2], m[3])
	}
	if m := wordDate().FindStringSubmatch(s); m != nil {
		if mo := monthNumber(m[2]); mo > 0 {
			return makeDate(m[3], strconv.Itoa(mo), m[1])
		}
	}
	if m := wordDateUS().FindStringSubmatch(s); m != nil {
		if mo := monthNumber(m[1]); mo > 0 {
			return makeDate(m[3], strconv.Itoa(mo), m[2])
		}
	}
	if m := figureDate().FindStringSubmatch(s); m != nil {
		a, _ := strconv.Atoi(m[1])
		b, _ := strconv.Atoi(m[2])
		switch {
		case len(m[3]) == 2:
			return time.Time{}, errYearShort
		case a <= 12 && b <= 12 && a != b:
			return time.Time{}, errDateUnclear
		case b <= 12:
			return makeDate(m[3], m[2], m[1])
		default:
			return makeDate(m[3], m[1], m[2])
		}
	}
	return time.Time{}, errNoDate
}

// monthsAbroad are the months of the languages whose headings ship with the
// program, where they differ from the English ones.
var monthsAbroad = [][]string{
	{"januar", "februar", "märz", "april", "mai", "juni", "juli", "august", "september", "oktober", "november", "dezember"},
	{"janvier", "février", "mars", "avril", "mai", "juin", "juillet", "août", "septembre", "octobre", "novembre", "décembre"},
	{"enero", "febrero", "marzo", "abril", "mayo", "junio", "julio", "agosto", "septiembre", "octubre", "noviembre", "diciembre"},
}

// monthNumber reads a month's name or its beginning, of three letters or more,
// where all languages agree on which month it is.
func monthNumber(word string) int {
	if word == "sept" {
		return 9
	}
	if utf8.RuneCountInString(word) < 3 {
		return 0
	}
	for i, m := range monthWords {
		if strings.HasPrefix(m, word) {
			return i + 1
		}
	}
	n := 0
	for _, months := range monthsAbroad {
		for i, m := range months {
			if strings.HasPrefix(m, word) {
				if n != 0 && n != i+1 {
					return 0
				}
				n = i + 1
			}
		}
	}
	return n
}

func makeDate(y, m, d string) (time.Time, error) {
	yy, _ := strconv.Atoi(y)
	mm, _ := strconv.Atoi(m)
	dd, _ := strconv.Atoi(d)
	t := time.Date(yy, time.Month(mm), dd, 0, 0, 0, 0, time.UTC)
	if t.Day() != dd || int(t.Month()) != mm || yy < firstYear || yy > last {
		return time.Time{}, errNoDate
	}
	return t, nil
}

// ParseClock reads a time of day, "7:00", "07.00", "5pm", "5.30 pm", "7h30", as minutes
// after midnight.
func ParseClock(text string) (int, error) {
	s := strings.ToLower(tidy(text))
	var h, m int
	var half string
	if f := clock24().FindStringSubmatch(s); f != nil {
		h, _ = strconv.Atoi(f[1])
		m, _ = strconv.Atoi(f[2])
		half = f[3]
	} else if f := clockH().FindStringSubmatch(s); f != nil {
		h, _ = strconv.Atoi(f[1])
		m, _ = strconv.Atoi(f[2]) // "7h" is 7:00
	} else if f := clockHour().FindStringSubmatch(s); f != nil {
		h, _ = strconv.Atoi(f[1])
		half = f[2]
	} else {
		return 0, unread(yard.Say("part.clock.none"))
	}
	if half != "" {
		if h < 1 || h > 12 {
			return 0, unread(yard.Say("part.clock.none"))
		}
		h %= 12
		if half == "pm" {
			h += 12
		}
	}
	if h > 23 || m > 59 {
		return 0, unread(yard.Say("part.clock.none"))
	}
	return h*60 + m, nil
}

// weekdayOf reads "Mon", "Tues", "thursday".
func weekdayOf(text string) (time.Weekday, bool) {
	w := strings.Trim(strings.ToLower(tidy(text)), ". ")
	if w == "thur" || w == "thurs" {
		return time.Thursday, true
	}
	if w == "weds" {
		return time.Wednesday, true
	}
	for i, d := range weekdayWords {
		if len(w) >= 3 && strings.HasPrefix(d, w) || len(w) == 2 && strings.HasPrefix(d, w) {
			return time.Weekday((i + 1) % 7), true
		}
	}
	return 0, false
}
