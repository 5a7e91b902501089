package board

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"
)

// date is a date as it is written, parts of it perhaps left out.
type date struct {
	d, m, y int // 0: not written
	a, b    int // day and month in an order that is not known yet; both 0 where it is
	start   int // where it stands
}

var (
	numericDate = lazily(`\b(\d{4})-(\d{1,2})-(\d{1,2})\b|\b(\d{1,2})([./-])(\d{1,2})(?:([./-])(\d{4}|\d{2})\b|[.])?`)
	worded      = lazily(`(?i)\b(\d{1,2})(?:st|nd|rd|th|er|º|\.)?\s*(?:of\s+|de\s+)?([\pL]{3,10})\.?(?:,?\s*(?:de\s+)?(\d{4}|'?\d{2})\b)?`)
	wordedUS    = lazily(`(?i)\b([\pL]{3,10})\.?\s+(\d{1,2})(?:st|nd|rd|th)?\b(?:,?\s+(\d{4})\b)?`)
	bareNumber  = lazily(`\b(\d{1,2})\b`)
	dayOnly     = lazily(`(?i)\b(\d{1,2})(st|nd|rd|th|er|º|°|\.)(?:\s|$|[,;–-])`)
)

// lazily compiles an expression when it is first used.
func lazily(expr string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expr) })
}

// all is where a pattern is found, in a text that may hold it.
func all(p func() *regexp.Regexp, text string, may bool) [][]int {
	if !may {
		return nil
	}
	return p().FindAllStringSubmatchIndex(text, -1)
}

// figures says of a text's figures whether a mark that may part a date is behind
// one, and whether what makes a first of 1 does: most texts hold neither, and a look
// costs less than a pattern.
func figures(text string) (marked, counted bool) {
	for i := 1; i < len(text); i++ {
		if text[i-1] < '0' || text[i-1] > '9' {
			continue
		}
		switch text[i] {
		case '.':
			marked, counted = true, true
		case '/', '-':
			marked = true
		case 's', 'S', 'n', 'N', 'r', 'R', 't', 'T', 'e', 'E':
			counted = true
		default:
			counted = counted || text[i] >= utf8.RuneSelf // ſt folds to st
		}
	}
	return marked, counted
}

// mayNameMonth says whether the name of a month is in a text; of one with accents it
// says so always.
func (v *vocabulary) mayNameMonth(text string) bool {
	if !ascii(text) {
		return true
	}
	text = strings.ToLower(text)
	begins := false
	for i := 0; i+3 <= len(text) && !begins; i++ {
		begins = v.monthBegins[[3]byte{text[i], text[i+1], text[i+2]}]
	}
	if !begins {
		return false
	}
	for _, months := range []map[string]int{v.months[v.language], v.months["en"]} {
		for name := range months {
			if strings.Contains(text, name) {
				return true
			}
		}
	}
	return false
}

// monthBehind says whether the name of a month stands next.
func (v *vocabulary) monthBehind(text string) bool {
	ws := strings.Fields(leadingWord().FindString(text))
	if len(ws) == 0 {
		return false
	}
	_, ok := v.month(foldWord(ws[len(ws)-1]))
	return ok
}

var leadingWord = lazily(`^\s*(?:de\s+)?[\pL]+`)

// takeDates cuts the dates out of a text.
func (v *vocabulary) takeDates(text string) (string, []date) {
	if !strings.ContainsAny(text, "0123456789") {
		return text, nil
	}
	c := dateCutter{v: v, text: text}
	marked, counted := figures(text)
	c.inFigures(marked)
	month := v.mayNameMonth(c.text)
	c.dayThenMonth(month)
	c.monthThenDay(month)
	c.daysAlone(counted)
	c.finish()
	return c.text, c.found
}

// dateCutter takes the dates out of a text, one way of writing them after another; what
// it has taken is blank to the ways that come after.
type dateCutter struct {
	v     *vocabulary
	text  string
	found []date
}

// take keeps a date and blanks where it stood.
func (c *dateCutter) take(d date, from, to int) {
	d.start = from
	c.found = append(c.found, d)
	c.text = c.text[:from] + strings.Repeat(" ", to-from) + c.text[to:]
}

// group is what a pattern found in brackets number i; "" if nothing.
func group(text string, m []int, i int) string {
	if m[2*i] < 0 {
		return ""
	}
	return text[m[2*i]:m[2*i+1]]
}

func figure(s string) int { n, _ := strconv.Atoi(strings.TrimPrefix(s, "'")); return n }

// yearOf is a year of two or four figures.
func yearOf(s string) int {
	n := figure(s)
	if s != "" && n < 100 {
		n += 2000
	}
	return n
}

// inFigures takes dates in figures: 2027-01-11, 11/1, 11.1.27.
func (c *dateCutter) inFigures(may bool) {
	for _, m := range all(numericDate, c.text, may) {
		g := func(i int) string { return group(c.text, m, i) }
		if g(1) != "" {
			c.take(date{y: figure(g(1)), m: figure(g(2)), d: figure(g(3))}, m[0], m[1])
			continue
		}
		a, b, mark, year := figure(g(4)), figure(g(6)), g(5), g(8)
		another := year != "" && g(7) != mark && strings.HasPrefix(c.text[m[1]:], mark) // "7/12-13/12"
		if another {
			year, m[1] = "", m[13]
		}
		switch {
		case a == 0 || b == 0 || a > 31 || b > 31 || a > 12 && b > 12:
			continue
		case mark == "." && year == "" && !another && c.text[m[1]-1] != '.': // 5.30 is a time or a figure
			continue
		case mark == "-" && year == "" && c.v.monthBehind(c.text[m[1]:]): // "27-2 April": the 27th to the 2nd
			continue
		}
		d := date{a: a, b: b, y: yearOf(year)}
		if mark == "." {
			d.d, d.m, d.a, d.b = a, b, 0, 0
		}
		c.take(d, m[0], m[1])
		if another {
			c.inFigures(true)
			return
		}
	}
}

// dayThenMonth takes dates such as "11 January 2027", "11th of Jan", "1er mars".
func (c *dateCutter) dayThenMonth(may bool) {
	for _, m := range all(worded, c.text, may) {
		mon, ok := c.v.month(foldWord(group(c.text, m, 2)))
		c.takeNamed(ok, group(c.text, m, 1), mon, strings.TrimPrefix(group(c.text, m, 3), "'"), m)
	}
}

// monthThenDay takes dates such as "January 11, 2027".
func (c *dateCutter) monthThenDay(may bool) {
	for _, m := range all(wordedUS, c.text, may) {
		name := foldWord(group(c.text, m, 1))
		mon, ok := c.v.month(name)
		_, day := c.v.day(name)
		c.takeNamed(ok && !day, group(c.text, m, 2), mon, group(c.text, m, 3), m)
	}
}

func (c *dateCutter) takeNamed(ok bool, day string, month int, year string, m []int) {
	if d := figure(day); ok && d > 0 && d <= 31 {
		c.take(date{d: d, m: month, y: yearOf(year)}, m[0], m[1])
	}
}

// daysAlone takes days without a month: with "th" behind them, beside a weekday, before
// another date.
func (c *dateCutter) daysAlone(counted bool) {
	hasDay := false
	for w := range strings.FieldsSeq(c.text) {
		_, ok := c.v.day(foldWord(strings.Trim(w, ",;:–-")))
		hasDay = hasDay || ok
	}
	for _, m := range all(dayOnly, c.text+" ", counted) {
		if n := figure(c.text[m[2]:m[3]]); n >= 1 && n <= 31 {
			c.take(date{d: n}, m[0], min(m[5], len(c.text)))
		}
	}
	if !hasDay && len(c.found) == 0 {
		return
	}
	for _, m := range bareNumber().FindAllStringIndex(c.text, -1) {
		n := figure(c.text[m[0]:m[1]])
		if n < 1 || n > 31 || m[1] < len(c.text) && hourMark(c.text[m[1]]) || m[0] > 0 && hourMark(c.text[m[0]-1]) {
			continue
		}
		if hasDay && len(c.found) == 0 || c.leadsToDate(m[1]) {
			c.take(date{d: n}, m[0], m[1])
		}
	}
}

// hourMark says whether a mark makes the figures beside it an hour or a fraction.
func hourMark(b byte) bool { return b == ':' || b == '.' }

// leadsToDate says whether only a dash or a word for "until" stands between a place and
// the next date.
func (c *dateCutter) leadsToDate(from int) bool {
	next := -1
	for _, d := range c.found {
		if d.start >= from && (next < 0 || d.start < next) {
			next = d.start
		}
	}
	if next < 0 {
		return false
	}
	between := strings.ToLower(strings.TrimSpace(c.text[from:next]))
	switch between {
	case "–", "-", "to", "al", "au", "bis", "until":
		return true
	}
	return strings.HasPrefix(between, "au ") || strings.HasPrefix(between, "al ") || strings.HasPrefix(between, "to ")
}

// finish puts the dates in their order and gives a beginning the month and year of its end.
func (c *dateCutter) finish() {
	slices.SortStableFunc(c.found, func(a, b date) int { return a.start - b.start })
	for i := len(c.found) - 2; i >= 0; i-- {
		a, b := &c.found[i], c.found[i+1]
		if a.m == 0 && a.a == 0 {
			a.m = b.m
			if a.m != 0 && b.d < a.d {
				a.m = (a.m+10)%12 + 1
			}
		}
		if a.y == 0 && b.y != 0 {
			a.y = b.y
			if a.m > b.m && b.m != 0 && a.m != 0 {
				a.y--
			}
		}
	}
}
