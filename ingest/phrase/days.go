package phrase

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"hardfeed/ingest/lexicon"
)

// DayPart is what is done on some days of a week, by a cell that speaks of more than one:
// of "Mon, Wed hack 60; Sat school 40" the first is Monday and Wednesday, "hack 60".
type DayPart struct {
	Days []int // Monday 0
	Text string
}

// DaysSaid is what a cell of work says of its days.
type DaysSaid int

const (
	NoDays    DaysSaid = iota // none
	Parted                    // each part and its days
	WhichDays                 // how many days, and not which: "hack 60, 5 days a week"
	Unclear                   // days, and what is done on each cannot be told
)

// DaysOfWeek says what is done on which days: "Mo-Fr Dressur 45, Sa Ausritt", "daily 45 but
// not Sunday", "hack 45 every day bar Mon", "lunge 30 Mon Wed; rest off", "weekends only".
// Days that no part has are free. several: it names all days, the weekend, a run of days or
// an exception, and not only single days. isDay is which day of the week a word is.
func (w *Words) DaysOfWeek(text string, isDay func(word string) (day int, ok bool)) (parts []DayPart, several bool, said DaysSaid) {
	if len(text) > LongestCell {
		return nil, false, NoDays
	}
	r := daysReader{w: w, text: text, toks: lexicon.Scan(text), isDay: isDay}
	if r.countsDays() {
		return nil, true, WhichDays
	}
	r.parse()
	clauses, ok := r.clauses()
	if !ok {
		return nil, r.several, Unclear
	}
	if len(clauses) == 0 {
		return nil, r.several, NoDays
	}
	parts, ok = r.parts(clauses)
	if !ok {
		return nil, r.several, Unclear
	}
	return parts, r.several, Parted
}

// daySet is which days of the week are meant.
type daySet [7]bool

func (d *daySet) add(o daySet) {
	for i := range d {
		d[i] = d[i] || o[i]
	}
}

func (d *daySet) without(o daySet) {
	for i := range d {
		d[i] = d[i] && !o[i]
	}
}

func (d daySet) empty() bool { return d == daySet{} }

var (
	allDays  = daySet{true, true, true, true, true, true, true}
	workdays = daySet{true, true, true, true, true}
	weekend  = daySet{5: true, 6: true}
)

// How much a part's word for its days says; a closer one wins where the other days' work
// is a day off.
const (
	everyDay = iota
	halfWeek // the weekend, the days of work
	byName
	others // the days that no other part has
)

// dayItem is a piece of the cell: words for days, what is done, or what parts the two.
type dayItem struct {
	kind     dayItemKind
	days     daySet
	says     int // of days: everyDay, halfWeek, byName or others
	from, to int // in the text
}

type dayItemKind int

const (
	bodyItem dayItemKind = iota
	daysItem
	exceptItem
	breakItem
)

type daysReader struct {
	w       *Words
	text    string
	toks    []lexicon.Token
	isDay   func(string) (int, bool)
	items   []dayItem
	several bool
}

// daySection is the section of the words for several days.
const daySection = "days"

func (r *daysReader) word(i int) (key string, n int) {
	s, n := r.w.t.Match(r.toks, i, daySection)
	return s.Key, n
}

// weekday is the day of the week a token is.
func (r *daysReader) weekday(i int) (int, bool) {
	if i >= len(r.toks) || r.toks[i].Kind != lexicon.Word {
		return -1, false
	}
	return r.isDay(r.toks[i].Of(r.text))
}

// countsDays says whether the cell counts days or sessions of the week without saying
// which days: "5 x hack", "4 days a week", "every other day".
func (r *daysReader) countsDays() bool {
	weekly, counted, perDay, day := false, false, false, false
	for i := range r.toks {
		key, n := r.word(i)
		_, named := r.weekday(i)
		day = day || named || n > 0 && (key == "all" || key == "workdays" || key == "weekend")
		if s, k := r.w.t.Match(r.toks, i, "times"); k > 0 && (k > 1 && s.Key == "day" || s.Key >= "1" && s.Key <= "9") { // "a day", "twice daily"
			perDay = true
		}
		weekly = weekly || n > 0 && (key == "alternate" || key == "a week" && i > 0)
		switch {
		case r.toks[i].Kind != lexicon.Number || !r.toks[i].Whole || r.toks[i].Value < 2 || r.toks[i].Value > 6 || i+1 >= len(r.toks):
		default:
			next, _ := r.word(i + 1)
			counted = counted || next == "days" || next == "times"
		}
		if n > 0 && key == "times" && i+1 < len(r.toks) && i > 0 && r.toks[i-1].Kind != lexicon.Number && r.toks[i+1].Kind == lexicon.Number && r.toks[i+1].Value >= 2 && r.toks[i+1].Value <= 6 {
			counted = true // "lesson x5"
		}
	}
	return (weekly || counted && !perDay) && !day
}

// parse parts the cell into its items.
func (r *daysReader) parse() {
	for i := 0; i < len(r.toks); {
		if i > 0 && strings.Contains(r.text[r.toks[i-1].End:r.toks[i].Start], "\n") {
			r.items = append(r.items, dayItem{kind: breakItem})
		}
		if it, n := r.daysAt(i); n > 0 {
			it.from, it.to = r.toks[i].Start, r.toks[i+n-1].End
			r.items = append(r.items, it)
			i += n
			continue
		}
		tok := r.toks[i]
		if r.isBreak(i) {
			r.items = append(r.items, dayItem{kind: breakItem})
		} else if k := len(r.items) - 1; k >= 0 && r.items[k].kind == bodyItem {
			r.items[k].to = tok.End
		} else {
			r.items = append(r.items, dayItem{kind: bodyItem, from: tok.Start, to: tok.End})
		}
		i++
	}
}

// isBreak says whether a token parts what is before it from what is behind it: a comma, or
// a joining word or mark that days follow.
func (r *daysReader) isBreak(i int) bool {
	switch r.toks[i].Text {
	case ",", ";":
		return true
	}
	if !r.joins(i) && r.toks[i].Text != ":" {
		return false
	}
	_, n := r.daysAt(i + 1)
	return n > 0
}

// joins says whether a token may stand between two days of a list.
func (r *daysReader) joins(i int) bool {
	if i >= len(r.toks) {
		return false
	}
	switch r.toks[i].Text {
	case ",", ";", "/", "&", "+", ".":
		return true
	}
	s, n := r.w.t.Match(r.toks, i, "number joins")
	return n == 1 && s.Key == "and"
}

// daysAt reads words for days: single ones and lists of them, runs, all of them, and an
// exception.
func (r *daysReader) daysAt(i int) (it dayItem, n int) {
	begin := i
	it.kind = daysItem
	if key, k := r.word(i); k > 0 && key == "except" {
		it.kind, i = exceptItem, i+k
	}
	for key, k := r.word(i); k > 0 && key == "on"; key, k = r.word(i) {
		i += k
	}
	if i >= len(r.toks) {
		return it, 0
	}
	k := 0
	switch key, m := r.word(i); {
	case m > 0 && key == "all":
		it.days, it.says, k = allDays, everyDay, m
	case m > 0 && key == "workdays":
		it.days, it.says, k = workdays, halfWeek, m
	case m > 0 && key == "weekend":
		it.days, it.says, k = weekend, halfWeek, m
	case m > 0 && (key == "others" || key == "others before off" && r.off(i+m)):
		it.says, k = others, m
	default:
		it.says = byName
		if it.days, k = r.listOfLetters(i); k == 0 {
			it.days, k = r.listOfDays(i)
		}
	}
	if k == 0 || it.kind == exceptItem && it.says == others {
		return it, 0
	}
	r.several = r.several || it.says != byName || it.kind == exceptItem
	i += k
	for key, k := r.word(i); k > 0 && key == "only"; key, k = r.word(i) {
		i += k
	}
	return it, i - begin
}

// off says whether a day off, or a dash for one, begins at a token.
func (r *daysReader) off(i int) bool {
	if i < len(r.toks) && r.toks[i].Text == ":" {
		i++
	}
	if i >= len(r.toks) {
		return false
	}
	_, n := r.w.t.Match(r.toks, i, "rest")
	return n > 0 || r.toks[i].Text == "-"
}

// listOfDays reads "Mon", "Mon Wed, Fri", "Mon-Fri", "lun a vie". Behind a run of days a
// comma before one more begins something else, unless nothing of that day follows: "flat
// 45 Mon-Fri, Sun off".
func (r *daysReader) listOfDays(i int) (days daySet, n int) {
	begin := i
	last, ok := r.weekday(i)
	if !ok {
		return days, 0
	}
	days[last], i = true, i+1
	run := false
	for i < len(r.toks) {
		j := i
		if r.toks[j].Text == "." && j+1 < len(r.toks) && r.toks[j].Start == r.toks[j-1].End {
			j++ // "Mo. - Fr."
		}
		if d, ok := r.weekday(j + 1); ok && r.toDay(j) {
			for x := last; x != d; {
				x = (x + 1) % 7
				days[x] = true
			}
			last, i, run, r.several = d, j+2, true, true
			continue
		}
		if j < len(r.toks) && r.joins(j) {
			j++
		}
		if key, k := r.word(j); k > 0 && key == "on" {
			j += k
		}
		d, ok := r.weekday(j)
		if !ok || strings.Contains(r.text[r.toks[i-1].End:r.toks[j].Start], "\n") {
			break
		}
		if run && !r.listEnds(j+1) {
			break
		}
		days[d], last, i = true, d, j+1
	}
	return days, i - begin
}

// listEnds says whether behind the last day of a list comes no work of its own.
func (r *daysReader) listEnds(i int) bool {
	if i >= len(r.toks) {
		return true
	}
	_, more := r.weekday(i)
	return more || r.joins(i) || r.toks[i].Text == ":"
}

// toDay says whether a token stands between the ends of a run of days.
func (r *daysReader) toDay(i int) bool {
	if i >= len(r.toks) {
		return false
	}
	key, n := r.word(i)
	return r.toks[i].Text == "-" || n == 1 && key == "to"
}

// letters are the days that one or two letters may be where English names days by them.
var letters = map[string]int{"M": 0, "Tu": 1, "W": 2, "Th": 3, "F": 4, "Sa": 5, "Su": 6}

// listOfLetters reads "M/W/F", "T/Th": letters of English days in the order of the week, two
// at least, and M, F or Th among them, since W/T is walk and trot.
func (r *daysReader) listOfLetters(i int) (days daySet, n int) {
	if d, ok := r.isDay("Monday"); !ok || d != 0 {
		return days, 0
	}
	last, count, sure, k := -1, 0, false, i
	for k < len(r.toks) && r.toks[k].Kind == lexicon.Word {
		name := r.toks[k].Of(r.text)
		d, ok := letters[name]
		if name == "T" {
			if d, ok = 1, true; last >= 1 {
				d = 3
			}
		}
		if !ok || d <= last {
			break
		}
		days[d], last, count = true, d, count+1
		sure = sure || name == "M" || name == "F" || name == "Th"
		if k++; k+1 >= len(r.toks) || r.toks[k].Text != "/" && r.toks[k].Text != "," && r.toks[k].Text != "&" {
			return onlyIf(count > 1 && sure, days, k-i)
		}
		k++
	}
	return days, 0
}

func onlyIf(ok bool, days daySet, n int) (daySet, int) {
	if !ok {
		return daySet{}, 0
	}
	return days, n
}

// dayClause is one saying of the cell: days and what is done on them, or one of the two.
type dayClause struct {
	days   daySet
	says   int
	dayed  bool
	except daySet
	body   string
}

// clauses puts days and what is done on them together. ok is false where that can be done
// in more than one way.
func (r *daysReader) clauses() (out []dayClause, ok bool) {
	if !slices.ContainsFunc(r.items, func(it dayItem) bool { return it.kind == daysItem || it.kind == exceptItem }) {
		return nil, true
	}
	var raw []dayClause
	for _, group := range r.groups() {
		c, ok := r.clausesOf(group)
		if !ok {
			return nil, false
		}
		raw = append(raw, c...)
	}
	return joinClauses(raw)
}

// groups are the items between two breaks.
func (r *daysReader) groups() (out [][]dayItem) {
	var group []dayItem
	for _, it := range append(r.items, dayItem{kind: breakItem}) {
		switch {
		case it.kind != breakItem:
			group = append(group, it)
		case len(group) > 0:
			out, group = append(out, group), nil
		}
	}
	return out
}

// clausesOf are the clauses of items that nothing parts: "Mon hack 60 Tue off" has the days
// before what is done, "hack 60 Mon school 40 Tue" behind it.
func (r *daysReader) clausesOf(group []dayItem) (out []dayClause, ok bool) {
	n := 0
	for _, it := range group {
		if it.kind == daysItem {
			n++
		}
	}
	before := group[0].kind == daysItem
	if n > 1 && !before && group[len(group)-1].kind != daysItem {
		return nil, false
	}
	c := dayClause{}
	flush := func() {
		if c.dayed || c.body != "" || !c.except.empty() {
			out, c = append(out, c), dayClause{}
		}
	}
	for _, it := range group {
		switch it.kind {
		case bodyItem:
			if n > 1 && !before && c.dayed {
				flush()
			}
			if text := strings.Trim(r.text[it.from:it.to], " ,;.:–—-+/&\n"); text != "" {
				c.body = strings.TrimSpace(c.body + " " + text)
			}
		case daysItem:
			if n > 1 && c.dayed {
				flush()
			}
			c.days, c.says, c.dayed = it.days, it.says, true
		case exceptItem:
			c.except.add(it.days)
		}
	}
	around := c.dayed && n == 1 && !before && group[len(group)-1].kind == bodyItem // "school Mon Wed 40"
	if around && !r.w.Work(c.body, WorkContext{}).Known() {
		return nil, false // what is behind the days may be of others: "hack 60 Mon and then some more"
	}
	flush()
	return out, true
}

// joinClauses joins what is said in two clauses: days alone, what is done alone, an exception
// alone.
func joinClauses(raw []dayClause) (out []dayClause, ok bool) {
	var work, days *dayClause // what waits for its days, and days that wait for what is done
	for _, c := range raw {
		switch bodied := c.body != ""; {
		case c.dayed && bodied:
			if work != nil {
				return nil, false
			}
			if days != nil {
				if c.says != byName || days.says != byName {
					return nil, false
				}
				c.days.add(days.days)
				c.except.add(days.except)
				days = nil
			}
			out = append(out, c)
		case c.dayed && work != nil:
			c.body = work.body
			c.except.add(work.except)
			out, work = append(out, c), nil
		case c.dayed:
			if days != nil {
				return nil, false
			}
			days = &c
		case bodied && days != nil:
			days.body = c.body
			days.except.add(c.except)
			out, days = append(out, *days), nil
		case bodied && len(out) > 0 && c.except.empty():
			out[len(out)-1].body += ", " + c.body
		case bodied && work != nil:
			work.body += ", " + c.body
			work.except.add(c.except)
		case bodied:
			work = &c
		case days != nil:
			days.except.add(c.except)
		case len(out) > 0:
			out[len(out)-1].except.add(c.except)
		case work != nil:
			work.except.add(c.except)
		}
	}
	if work != nil && !work.except.empty() { // "hack 45 except Sunday"
		work.days, work.says, work.dayed = allDays, everyDay, true
		out, work = append(out, *work), nil
	}
	return out, work == nil && days == nil && len(out) > 0
}

// parts gives every clause its days. A day off takes the day out of a clause that says less
// exactly which days it means; ok is false where two clauses with work have one day.
func (r *daysReader) parts(clauses []dayClause) (out []DayPart, ok bool) {
	var named, free daySet
	for _, c := range clauses {
		if c.says != others {
			named.add(c.days)
		}
		free.add(c.except)
	}
	for i := range clauses {
		c := &clauses[i]
		if c.says == others {
			c.days = allDays
			c.days.without(named)
		}
		c.days.without(c.except)
	}
	for i := range clauses {
		for k := range clauses {
			c, o := &clauses[i], &clauses[k]
			both := c.days
			for d := range both {
				both[d] = both[d] && o.days[d]
			}
			if both.empty() || c.says >= o.says {
				continue
			}
			if w := r.w.Work(o.body, WorkContext{}); len(w.Sessions) > 0 || !w.Known() {
				return nil, false // "daily hack 45, Wed jump 40": both, or one of them
			}
			c.days.without(both)
		}
	}
	for _, c := range clauses {
		p := DayPart{Text: c.body}
		for d := range c.days {
			if c.days[d] {
				p.Days = append(p.Days, d)
			}
		}
		if len(p.Days) > 0 {
			out = append(out, p)
		}
	}
	return out, len(out) > 0
}

// DayWord says whether a word for a day counts as one where it stands: short ones, and in
// German those of three letters, are words for other things too unless written large.
func DayWord(word, language string) bool {
	short := 2
	if language == "de" {
		short = 3
	}
	first, _ := utf8.DecodeRuneInString(word)
	return utf8.RuneCountInString(word) > short || unicode.IsUpper(first)
}
