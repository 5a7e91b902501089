package board

import (
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"hardfeed/templates/words"
)

// word is a piece of a heading.
type word struct {
	text  string // lower case, without accents and full stops
	num   bool
	slash bool // a slash is before it: "/day"
}

var wordPattern = lazily(`\d+(?:[.,]\d+)?|[\pL]+(?:['’.][\pL]+)*|[%£$€#]|n[°º.]º?`)

var unaccent = strings.NewReplacer("á", "a", "à", "a", "â", "a", "é", "e", "è", "e", "ê", "e", "ë", "e", "í", "i", "î", "i", "ï", "i", "ó", "o", "ô", "o", "ú", "u", "ù", "u", "û", "u", "ç", "c", "ñ", "n", "œ", "oe", "’", "'")

func foldWord(s string) string {
	if ascii(s) { // most are, and there is nothing to take off
		return strings.TrimSuffix(strings.ToLower(s), ".")
	}
	return strings.TrimSuffix(unaccent.Replace(strings.ToLower(s)), ".")
}

func ascii(s string) bool {
	for i := range len(s) {
		if s[i] >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

// placesOfWords is where wordPattern is found. Of a text without accents the words are
// picked by hand, which takes a tenth of the time.
func placesOfWords(text string) [][2]int {
	var out [][2]int
	if !ascii(text) {
		for _, at := range wordPattern().FindAllStringIndex(text, -1) {
			out = append(out, [2]int{at[0], at[1]})
		}
		return out
	}
	figure := func(i int) bool { return i < len(text) && text[i] >= '0' && text[i] <= '9' }
	letter := func(i int) bool { return i < len(text) && (text[i]|0x20) >= 'a' && (text[i]|0x20) <= 'z' }
	run := func(i int, of func(int) bool) int {
		for of(i) {
			i++
		}
		return i
	}
	for i := 0; i < len(text); {
		to := i + 1
		switch {
		case figure(i):
			to = run(i, figure)
			if to < len(text) && (text[to] == '.' || text[to] == ',') && figure(to+1) {
				to = run(to+1, figure)
			}
		case letter(i):
			to = run(i, letter)
			for to < len(text) && (text[to] == '.' || text[to] == '\'') && letter(to+1) {
				to = run(to+1, letter)
			}
		case text[i] == '%', text[i] == '$', text[i] == '#':
		default:
			i++
			continue
		}
		out = append(out, [2]int{i, to})
		i = to
	}
	return out
}

func wordsIn(text string) []word {
	var out []word
	for _, at := range placesOfWords(text) {
		t := text[at[0]:at[1]]
		w := word{text: foldWord(t), num: unicode.IsDigit(rune(t[0]))}
		for i := at[0] - 1; i >= 0; i-- {
			if text[i] == '/' {
				w.slash = true
			}
			if text[i] != ' ' {
				break
			}
		}
		out = append(out, w)
	}
	return out
}

// vocabulary is the words of headings, of all languages.
type vocabulary struct {
	keys     map[string][]sense // phrase, words with a blank between
	longest  map[string]int     // first word of a phrase -> words of the longest that begins so
	letters  [][]string         // seven letters of a week
	isLetter map[string]bool    // each of them
	days     map[string]map[string]int
	months   map[string]map[string]int
	// The first three bytes of each month of any language: most texts have none of them.
	monthBegins map[[3]byte]bool
	language    string // whose days and months come first
	memo        readings
	same        map[string]*label // by what they say: a label of many texts is kept once
	feeds       map[string]string // words of the book's own feeds, folded -> as written first
	lang        *language
}

// sense is what a phrase may mean, and in which language.
type sense struct{ key, language string }

var dayKeys = []string{"mon", "tue", "wed", "thu", "fri", "sat", "sun"}

var monthKeys = []string{"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"}

var loadHeads = sync.OnceValue(func() *vocabulary {
	v := &vocabulary{isLetter: map[string]bool{}, keys: map[string][]sense{}, longest: map[string]int{}, days: map[string]map[string]int{}, months: map[string]map[string]int{}, monthBegins: map[[3]byte]bool{}}
	for _, lang := range words.Languages() {
		v.days[lang], v.months[lang] = map[string]int{}, map[string]int{}
		for line := range strings.Lines(words.Heads(lang)) {
			line = strings.TrimSpace(line)
			if line == "" || line[0] == '#' {
				continue
			}
			key, list, _ := strings.Cut(line, ":")
			for phrase := range strings.SplitSeq(list, "|") {
				ws := wordsIn(phrase)
				var parts []string
				for _, w := range ws {
					parts = append(parts, w.text)
				}
				if key == "letters" {
					v.letters = append(v.letters, parts)
					for _, p := range parts {
						v.isLetter[p] = true
					}
					continue
				}
				p := strings.Join(parts, " ")
				if p == "" {
					continue
				}
				// The days and months of a language are kept apart: those of the book's own come first.
				if i := slices.Index(dayKeys, key); i >= 0 {
					v.days[lang][p] = i
					continue
				}
				if i := slices.Index(monthKeys, key); i >= 0 {
					v.months[lang][p] = i + 1
					if len(p) >= 3 {
						v.monthBegins[[3]byte([]byte(p))] = true
					}
					continue
				}
				v.keys[p] = append(v.keys[p], sense{key, lang})
				v.longest[parts[0]] = max(v.longest[parts[0]], len(parts))
			}
		}
	}
	return v
})

func newVocabulary() *vocabulary {
	v := *loadHeads()
	v.memo, v.same, v.feeds, v.language = readings{}, map[string]*label{}, map[string]string{}, "en"
	return &v
}

func (v *vocabulary) day(w string) (int, bool) {
	if d, ok := v.days[v.language][w]; ok {
		return d, true
	}
	if v.language != "en" {
		return -1, false
	}
	return -1, false
}

func (v *vocabulary) month(w string) (int, bool) {
	if m, ok := v.months[v.language][w]; ok {
		return m, true
	}
	m, ok := v.months["en"][w]
	return m, ok
}

// label is what a heading, or the text beside a row, says.
type label struct {
	order []string // what it says, by the keys of the words for headings
	day   int      // of the week, Monday 0; -1: none
	dates []date
	unit  string // a measure or a unit of weight, its plain word
	feeds []string
	rest  []string // words nothing was made of
	used  int
	nums  int    // how many numbers stand in it that are no dates or hours
	ones  bool   // none of them is another than 1
	hint  string // a word for feed that is the name of one too
	clock string // an hour that stands in it, as "06:30"
}

func (l *label) has(keys ...string) bool {
	for _, k := range keys {
		if slices.Contains(l.order, k) {
			return true
		}
	}
	return false
}

// full says whether all of it was understood, and something was.
func (l *label) full() bool {
	return len(l.rest) == 0 && l.nums == 0 && (l.used > 0 || l.day >= 0 || len(l.dates) > 0)
}

// some says whether the greater part was understood.
func (l *label) some() bool { return l.used > 0 && l.used >= len(l.rest)+l.nums }

// says is all that a label without dates says, in one text.
func (l *label) says() string {
	var s strings.Builder
	s.Grow(96)
	for _, list := range [][]string{l.order, l.feeds, l.rest, {l.unit, l.hint, l.clock}} {
		for _, w := range list {
			s.WriteString(w)
			s.WriteByte(0)
		}
		s.WriteByte(1)
	}
	for _, n := range []int{l.day, l.used, l.nums} {
		s.WriteString(strconv.Itoa(n))
		s.WriteByte(0)
	}
	if l.ones {
		s.WriteByte('1')
	}
	return s.String()
}

func (v *vocabulary) readText(text string) *label {
	l := &label{day: -1, ones: true}
	text, l.dates = v.takeDates(text)
	if len(l.dates) > 0 {
		l.used++
	}
	ws := wordsIn(text)
	for i := 0; i < len(ws); {
		i += v.readWords(l, ws, i)
	}
	return l
}

// readWords takes what stands from word i on into a label, and says how many words it is.
func (v *vocabulary) readWords(l *label, ws []word, i int) int {
	w := ws[i]
	if d, ok := v.day(w.text); ok && !w.num && !v.meansMore(ws, i) {
		if l.day < 0 {
			l.day = d
		}
		l.used++
		return 1
	}
	if n, ss := v.longestAt(ws, i); n > 0 {
		v.takePhrase(l, ws[i:i+n], ss)
		return n
	}
	if n, u := v.measureAt(ws, i); n > 0 {
		if l.unit == "" {
			l.unit = u
		}
		l.used++
		return n
	}
	if n, f := v.feedAt(ws, i); n > 0 {
		l.feeds = append(l.feeds, f)
		l.used++
		return n
	}
	if !w.num {
		l.rest = append(l.rest, w.text)
		return 1
	}
	if n := l.takeHour(ws, i); n > 0 {
		return n
	}
	l.nums++
	l.ones = l.ones && w.text == "1"
	return 1
}

// takePhrase takes words that mean something over a column into a label.
func (v *vocabulary) takePhrase(l *label, ws []word, ss []sense) {
	for _, s := range ss {
		if s.key == "dayhead" && (ws[0].slash || l.unit != "" || l.has("feed", "now", "plan")) {
			s.key = "perday"
		}
		l.add(s.key)
	}
	if ss[0].key != "small" {
		l.used++
	}
	if len(ws) == 1 && l.unit == "" && v.lang != nil && ss[0].key == "unit" {
		l.unit = v.lang.measureKey(ws[0].text)
	}
	if v.lang != nil && ss[0].key == "feed" && l.hint == "" {
		l.hint = v.feedWords(ws)
	}
}

// add keeps that a label says something.
func (l *label) add(key string) {
	if !l.has(key) {
		l.order = append(l.order, key)
	}
}

// takeHour takes an hour of the day: "6.30 new", "5 pm", "16 Uhr"; 0 if it is none. Which
// half of the day it is in is left to be read too.
func (l *label) takeHour(ws []word, i int) int {
	if quarterHour().MatchString(ws[i].text) && len(ws) > 1 {
		l.clock, _ = clockOf(ws[i].text)
		return 1
	}
	if i+1 == len(ws) {
		return 0
	}
	switch next := ws[i+1].text; next {
	case "am", "pm":
		l.clock, _ = clockOf(ws[i].text + " " + next)
		return 1
	case "h", "uhr":
		l.clock, _ = clockOf(ws[i].text + " " + next)
		l.used++
		return 2
	}
	return 0
}

var quarterHour = lazily(`^\d{1,2}[.](?:00|15|30|45)$`)

// feedWords is what words for all hard feed call it, where one of them is the name
// of a feed too: "hard feed", "pellets".
func (v *vocabulary) feedWords(ws []word) string {
	var parts []string
	named := false
	for _, w := range ws {
		parts = append(parts, w.text)
		named = named || v.lang.feedKey(w.text) != ""
	}
	name := strings.Join(parts, " ")
	if !named && v.lang.feedKey(name) == "" {
		return ""
	}
	return name
}

// meansMore says whether a word that could be a day begins a longer phrase.
func (v *vocabulary) meansMore(ws []word, i int) bool {
	n, _ := v.longestAt(ws, i)
	return n > 1
}

// longestAt finds the longest phrase from word i on, and its senses: those of
// the book's language, else of English, else of any.
func (v *vocabulary) longestAt(ws []word, i int) (int, []sense) {
	for n := min(v.longest[ws[i].text], len(ws)-i); n > 0; n-- {
		var p string
		if n == 1 {
			p = ws[i].text
		} else {
			parts := make([]string, n)
			for k := range n {
				parts[k] = ws[i+k].text
			}
			p = strings.Join(parts, " ")
		}
		ss := v.keys[p]
		if len(ss) == 0 {
			continue
		}
		for _, lang := range []string{v.language, "en"} {
			var mine []sense
			for _, s := range ss {
				if s.language == lang {
					mine = append(mine, s)
				}
			}
			if len(mine) > 0 {
				return n, mine
			}
		}
		if n == 1 && len(p) < 4 { // a short word of another language is not one of this book's
			continue
		}
		return n, ss[:1]
	}
	return 0, nil
}

// measureAt finds a unit or measure in the words from i on.
func (v *vocabulary) measureAt(ws []word, i int) (int, string) {
	if v.lang == nil || ws[i].num || !v.lang.t.MayBegin(ws[i].text) {
		return 0, ""
	}
	if u := v.lang.measureKey(ws[i].text); u != "" {
		return 1, u
	}
	return 0, ""
}

// feedAt finds the name of a feed in the words from i on.
func (v *vocabulary) feedAt(ws []word, i int) (int, string) {
	ours := v.lang != nil && v.lang.t.MayBegin(ws[i].text)
	if !ours && len(v.feeds) == 0 {
		return 0, ""
	}
	for n := min(3, len(ws)-i); n > 0; n-- {
		parts := make([]string, n)
		for k := range n {
			parts[k] = ws[i+k].text
		}
		p := strings.Join(parts, " ")
		if f, ok := v.feeds[p]; ok {
			return n, f
		}
		if ours && v.lang.feedKey(p) != "" {
			return n, p
		}
	}
	return 0, ""
}

// labelOf is the heading a cell may be.
func (v *vocabulary) labelOf(c *Cell) *label {
	switch {
	case c == nil:
		return &nothing
	case c.Kind == Date:
		return &label{day: (int(c.Day.Weekday()) + 6) % 7, dates: []date{{d: c.Day.Day(), m: int(c.Day.Month()), y: c.Day.Year()}}, used: 1}
	case c.Kind == Clock:
		return &label{day: -1, order: []string{"clock"}, used: 1}
	case c.Kind == Text && len(c.Text) <= 80:
		return v.readCell(c)
	}
	return &nothing
}

// nothing is the label of what says nothing.
var nothing = label{day: -1}
