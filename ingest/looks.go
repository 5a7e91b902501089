package ingest

import (
	"hardfeed/ingest/xlsx"
	"slices"
	"strings"
	"time"
	"unicode/utf8"
)

// mostRemembered bounds what is kept of texts looked at: a file may have a new
// text in every cell.
const mostRemembered = 20_000

// taken is splitHeading, remembered: the same texts come again in every row.
func (v *vocabulary) taken(text string) heading { return v.lookAt(text).heading }

// needed are the columns, one of each line, without which a sheet is not of its
// kind, see [satisfied]; the place in the list is the bit in [headings.has].
var needed = [...]struct {
	kind  sheetKind
	oneOf []string
}{
	{horsesKind, []string{"horse"}}, {horsesKind, attributes},
	{workKind, []string{"work"}}, {workKind, []string{"horse", "date", "day"}},
	{rationsKind, []string{"horse"}}, {rationsKind, []string{"feed"}}, {rationsKind, []string{"now", "planned"}},
	{feedsKind, []string{"feed"}},
	{sessionsKind, []string{"session"}}, {sessionsKind, []string{"walk", "trot", "canter", "gallop"}},
	{weightsKind, []string{"date"}}, {weightsKind, []string{"horse"}}, {weightsKind, []string{"weight"}},
	{yardKind, []string{"setting"}}, {yardKind, []string{"value"}},
}

// headings counts what is in a row, or in a stretch of one, that may be
// part of a header.
type headings struct {
	cells              int    // short texts and dates
	like               int    // of those that may head a column; when guessing, all
	days, meals, feeds int    // headed by one
	has                uint16 // the needed columns that are there
}

// add counts one cell.
func (h *headings) add(l *look) {
	h.cells++
	if !l.any {
		return
	}
	h.like++
	h.has |= l.needed
	if l.day {
		h.days++
	}
	if l.meal {
		h.meals++
	}
	if l.feed {
		h.feeds++
	}
}

// headingsIn counts the headings in one row.
func (v *vocabulary) headingsIn(r xlsx.Row) headings {
	var h headings
	for i := range r.Cells {
		if c := &r.Cells[i]; headText(c) {
			l := v.likely(c.Shown)
			if c.Kind == xlsx.Date && !l.day {
				l = &look{day: true, any: true, meal: l.meal, feed: l.feed, needed: l.needed}
			}
			h.add(l)
		}
	}
	if v.guess {
		h.like = h.cells
	}
	return h
}

// headingsOf counts those of header cells, in whichever way each is read.
func (v *vocabulary) headingsOf(hs []headCell) headings {
	var h headings
	var ways []*look
	for i := range hs {
		c := &hs[i]
		if c.looks == nil {
			for _, text := range c.texts {
				ways = append(ways, v.likely(text))
			}
			c.looks = ways[len(ways)-len(c.texts):]
		}
		sum := look{day: c.cell.Kind == xlsx.Date, any: c.cell.Kind == xlsx.Date}
		for _, l := range c.looks {
			sum.any, sum.day, sum.meal, sum.feed, sum.needed = sum.any || l.any, sum.day || l.day, sum.meal || l.meal, sum.feed || l.feed, sum.needed|l.needed
		}
		h.add(&sum)
	}
	if v.guess {
		h.like = h.cells
	}
	return h
}

// worthALook spares most rows of data the comparison with every kind.
func (v *vocabulary) worthALook(s *sheet, h headings) bool {
	if h.like < 2 && (h.like == 0 || h.cells > 1) {
		return false
	}
	return v.guess || slices.ContainsFunc(wordKinds, func(k sheetKind) bool { return h.enoughFor(k, s.turned) })
}

// enoughFor spares a row of data the reading as a kind that it has not the
// columns for, see [satisfied]; a sheet a day needs no column of days.
func (h headings) enoughFor(k sheetKind, turned bool) bool {
	has := func(cols uint16) bool { return h.has&cols == cols }
	switch k {
	case horsesKind:
		return turned || has(horsesHorse|horsesAttribute)
	case workKind:
		return h.days >= 3 || has(workWork|workWhoOrWhen)
	case rationsKind:
		return h.feeds > 1 || h.feeds > 0 && has(rationsHorse) || has(rationsFeed) && (h.meals+h.feeds > 0 || has(rationsAmount))
	case feedsKind:
		return has(feedsFeed)
	case sessionsKind:
		return has(sessionsSession | sessionsPace)
	case weightsKind:
		return has(weightsDate | weightsHorse | weightsWeight)
	case yardKind:
		return has(yardSetting | yardValue)
	}
	return true
}

// look is what a text may be as a heading.
type look struct {
	heading         heading
	keys            [7]string // the column it heads, by the order of wordKinds
	needed          uint16    // those of them that a kind cannot do without
	day, meal, feed bool
	any             bool // any of it
	weekday         time.Weekday
	date            time.Time // of the day, where it is one
	mealName        string
	feedName        string
	planned         bool      // of the meal or the feed
	compared        [7]bool   // with the columns of each kind
	near            [7]string // the one it is nearly the word for
}

// lookAt is remembered by text: the same ones come again in row after row.
func (v *vocabulary) lookAt(text string) *look {
	l := v.looks[text]
	if l == nil {
		l = new(look)
		v.take(text, l)
		v.remember(text, l)
	}
	return l
}

func (v *vocabulary) remember(text string, l *look) {
	if len(v.looks) >= mostRemembered {
		clear(v.looks)
	}
	v.looks[text] = l
}

// take fills a look.
func (v *vocabulary) take(text string, l *look) {
	l.heading = splitHeading(text)
	l.weekday, l.date, l.day = v.words.dayHeading(text)
	for i, k := range wordKinds {
		if l.keys[i] = v.words.kind[k][l.heading.words]; l.keys[i] == "" {
			continue
		}
		for n, need := range needed {
			if need.kind == k && slices.Contains(need.oneOf, l.keys[i]) {
				l.needed |= 1 << n
			}
		}
	}
	v.recognise(l)
}

// recognise looks for the yard's meals and feeds in a text that was taken.
func (v *vocabulary) recognise(l *look) {
	words, planned := nowOrPlanned(l.heading.words)
	l.planned = planned
	l.mealName, l.meal = v.mealHeading(words)
	l.feedName, l.feed = "", false
	if !l.meal {
		l.feedName, l.mealName, l.feed = v.feedHeading(words)
	}
	l.any = l.day || l.meal || l.feed || l.keys != [7]string{}
}

var noHeading look

// likely is lookAt for texts that may be headings: most are told apart by a word
// that no heading has.
func (v *vocabulary) likely(text string) *look {
	if l := v.looks[text]; l != nil {
		return l
	}
	if s := tidy(text); v.strange(s) && !mayBeDate(s) {
		return &noHeading
	}
	return v.lookAt(text)
}

// strange says whether a tidy text has a word that no heading has, and does not
// begin with a day. It is sure of plain words outside brackets only.
func (v *vocabulary) strange(s string) bool {
	if v.known == nil {
		v.gatherWords()
	}
	if v.days[""] {
		return false
	}
	first := true
	for a := 0; a < len(s); a++ {
		switch c := s[a]; {
		case c == '(' || c == '[' || first && c >= utf8.RuneSelf:
			return false
		case !isWordByte(c):
			continue
		}
		z := a + 1
		for z < len(s) && isWordByte(s[z]) {
			z++
		}
		if a > 0 && s[a-1] >= utf8.RuneSelf || z < len(s) && s[z] >= utf8.RuneSelf {
			if first {
				return false
			}
		} else if word := strings.ToLower(s[a:z]); first && v.days[word] {
			return false
		} else if !v.known[word] {
			return true
		}
		a, first = z-1, false
	}
	return false
}

func isWordByte(b byte) bool {
	return b >= '0' && b <= '9' || b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z'
}

// gatherWords gathers the words of everything a heading can be.
func (v *vocabulary) gatherWords() {
	v.known, v.days = map[string]bool{}, map[string]bool{"thur": true, "thurs": true, "weds": true}
	for _, words := range v.words.kind {
		for w := range words {
			gather(v.known, w)
		}
	}
	for u := range headerUnits {
		gather(v.known, u)
	}
	gather(v.known, "dry matter dm as fed of in now current planned plan")
	for _, m := range v.meals {
		gather(v.known, m.words)
	}
	for w := range v.feeds {
		gather(v.known, w)
	}
	for _, d := range weekdayWords {
		for n := 2; n <= len(d); n++ {
			v.days[d[:n]] = true
		}
	}
	for d := range v.words.days { // "" where one has no plain word
		v.days[append(strings.FieldsFunc(d, noWord), "")[0]] = true
	}
}

func gather(words map[string]bool, from string) {
	for _, w := range strings.FieldsFunc(from, noWord) {
		words[w] = true
	}
}

func noWord(r rune) bool { return r >= utf8.RuneSelf || !isWordByte(byte(r)) }

const (
	horsesHorse = 1 << iota
	horsesAttribute
	workWork
	workWhoOrWhen
	rationsHorse
	rationsFeed
	rationsAmount
	feedsFeed
	sessionsSession
	sessionsPace
	weightsDate
	weightsHorse
	weightsWeight
	yardSetting
	yardValue
)
