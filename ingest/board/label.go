package board

import (
	"regexp"
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
	slash bool // a slash stands before it: "/day"
}

var wordPattern = regexp.MustCompile(`\d+(?:[.,]\d+)?|[\pL]+(?:['’.][\pL]+)*|[%£$€#]|n[°º.]º?`)

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
		for _, at := range wordPattern.FindAllStringIndex(text, -1) {
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
	days     map[string]map[string]int
	months   map[string]map[string]int
	language string // whose days and months come first
	memo     map[string]*label
	same     map[string]*label // by what they say: a label of many texts is kept once
	feeds    map[string]string // words of the book's own feeds, folded -> as written first
	lang     *language
}

// sense is what a phrase may mean, and in which language.
type sense struct{ key, language string }

var dayKeys = []string{"mon", "tue", "wed", "thu", "fri", "sat", "sun"}
var monthKeys = []string{"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"}

var loadHeads = sync.OnceValue(func() *vocabulary {
	v := &vocabulary{keys: map[string][]sense{}, longest: map[string]int{}, days: map[string]map[string]int{}, months: map[string]map[string]int{}}
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
	v.memo, v.same, v.feeds, v.language = map[string]*label{}, map[string]*label{}, map[string]string{}, "en"
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
	keys  map[string]bool
	order []string
	day   int // of the week, Monday 0; -1: none
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
		if l.keys[k] {
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

// readCell is [vocabulary.read] of a cell's text.
func (v *vocabulary) readCell(c *Cell) *label {
	if c.read == nil {
		c.read = v.read(c.Text)
	}
	return c.read
}

// read takes a heading apart.
func (v *vocabulary) read(text string) *label {
	if l, ok := v.memo[text]; ok {
		return l
	}
	l := v.readText(text)
	if l.nums > 0 && len(l.dates) == 0 { // texts that say the same but for their numbers share a label
		says := l.says()
		if same, ok := v.same[says]; ok {
			l = same
		} else {
			v.same[says] = l
		}
	}
	v.memo[text] = l
	return l
}

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
		w := ws[i]
		if d, ok := v.day(w.text); ok && !w.num && !v.meansMore(ws, i) {
			if l.day < 0 {
				l.day = d
			}
			l.used++
			i++
			continue
		}
		n, ss := v.longestAt(ws, i)
		if n > 0 {
			for _, s := range ss {
				if s.key == "dayhead" && (w.slash || l.unit != "" || l.has("feed", "now", "plan")) {
					s.key = "perday"
				}
				if l.keys == nil {
					l.keys = map[string]bool{}
				}
				if !l.keys[s.key] {
					l.keys[s.key] = true
					l.order = append(l.order, s.key)
				}
			}
			if ss[0].key != "small" {
				l.used++
			}
			if n == 1 && l.unit == "" && v.lang != nil && ss[0].key == "unit" {
				l.unit = v.lang.measureKey(w.text)
			}
			if v.lang != nil && ss[0].key == "feed" && l.hint == "" {
				l.hint = v.feedWords(ws[i : i+n])
			}
			i += n
			continue
		}
		if k, u := v.measureAt(ws, i); k > 0 {
			if l.unit == "" {
				l.unit = u
			}
			l.used++
			i += k
			continue
		}
		if k, f := v.feedAt(ws, i); k > 0 {
			l.feeds = append(l.feeds, f)
			l.used++
			i += k
			continue
		}
		if w.num {
			if quarterHour.MatchString(w.text) && len(ws) > 1 { // "6.30 new": an hour
				l.clock, _ = clockOf(w.text)
				i++
				continue
			}
			if i+1 < len(ws) && (ws[i+1].text == "am" || ws[i+1].text == "pm" || ws[i+1].text == "h" || ws[i+1].text == "uhr") {
				l.clock, _ = clockOf(w.text + " " + ws[i+1].text)
				i++
				if ws[i].text == "h" || ws[i].text == "uhr" {
					l.used++
					i++
				}
				continue // an hour
			}
			l.nums++
			l.ones = l.ones && w.text == "1"
		} else {
			l.rest = append(l.rest, w.text)
		}
		i++
	}
	return l
}

var quarterHour = regexp.MustCompile(`^\d{1,2}[.](?:00|15|30|45)$`)

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

// date is a date as it is written, parts of it perhaps left out.
type date struct {
	d, m, y int // 0: not written
	a, b    int // day and month in an order that is not known yet; both 0 where it is
	start   int // where it stands
}

var (
	numericDate = regexp.MustCompile(`\b(\d{4})-(\d{1,2})-(\d{1,2})\b|\b(\d{1,2})([./-])(\d{1,2})(?:[./-](\d{4}|\d{2})\b|[.])?`)
	worded      = regexp.MustCompile(`(?i)\b(\d{1,2})(?:st|nd|rd|th|er|º|\.)?\s*(?:of\s+|de\s+)?([\pL]{3,10})\.?(?:,?\s*(?:de\s+)?(\d{4}|'?\d{2})\b)?`)
	wordedUS    = regexp.MustCompile(`(?i)\b([\pL]{3,10})\.?\s+(\d{1,2})(?:st|nd|rd|th)?\b(?:,?\s+(\d{4})\b)?`)
	bareNumber  = regexp.MustCompile(`\b(\d{1,2})\b`)
	dayOnly     = regexp.MustCompile(`(?i)\b(\d{1,2})(st|nd|rd|th|er|º|°|\.)(?:\s|$|[,;–-])`)
)

// all is where a pattern is found, in a text that may hold it.
func all(p *regexp.Regexp, text string, may bool) [][]int {
	if !may {
		return nil
	}
	return p.FindAllStringSubmatchIndex(text, -1)
}

// figures says of a text's figures whether a mark that may part a date stands behind
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

// mayNameMonth says whether the name of a month lies in a text; of one with accents it
// says so always.
func (v *vocabulary) mayNameMonth(text string) bool {
	if !ascii(text) {
		return true
	}
	text = strings.ToLower(text)
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
	ws := strings.Fields(leadingWord.FindString(text))
	if len(ws) == 0 {
		return false
	}
	_, ok := v.month(foldWord(ws[len(ws)-1]))
	return ok
}

var leadingWord = regexp.MustCompile(`^\s*(?:de\s+)?[\pL]+`)

// takeDates cuts the dates out of a text.
func (v *vocabulary) takeDates(text string) (string, []date) {
	if !strings.ContainsAny(text, "0123456789") {
		return text, nil
	}
	var out []date
	cut := func(from, to int) {
		text = text[:from] + strings.Repeat(" ", to-from) + text[to:]
	}
	atoi := func(s string) int { n, _ := strconv.Atoi(strings.TrimPrefix(s, "'")); return n }
	year := func(s string) int {
		n := atoi(s)
		if s != "" && n < 100 {
			n += 2000
		}
		return n
	}
	marked, counted := figures(text)
	for _, m := range all(numericDate, text, marked) {
		g := func(i int) string {
			if m[2*i] < 0 {
				return ""
			}
			return text[m[2*i]:m[2*i+1]]
		}
		if g(1) != "" {
			out = append(out, date{y: atoi(g(1)), m: atoi(g(2)), d: atoi(g(3)), start: m[0]})
			cut(m[0], m[1])
			continue
		}
		a, b := atoi(g(4)), atoi(g(6))
		if a == 0 || b == 0 || a > 31 || b > 31 || a > 12 && b > 12 {
			continue
		}
		if g(5) == "." && g(7) == "" && text[m[1]-1] != '.' { // 5.30 is a time or a figure
			continue
		}
		if g(5) == "-" && g(7) == "" && v.monthBehind(text[m[1]:]) { // "27-2 April": the 27th to the 2nd
			continue
		}
		d := date{a: a, b: b, y: year(g(7)), start: m[0]}
		if g(5) == "." {
			d.d, d.m, d.a, d.b = a, b, 0, 0
		}
		out = append(out, d)
		cut(m[0], m[1])
	}
	month := v.mayNameMonth(text)
	for _, m := range all(worded, text, month) {
		mon, ok := v.month(foldWord(text[m[4]:m[5]]))
		if !ok {
			continue
		}
		d := date{d: atoi(text[m[2]:m[3]]), m: mon, start: m[0]}
		if m[6] >= 0 {
			d.y = year(strings.TrimPrefix(text[m[6]:m[7]], "'"))
		}
		if d.d == 0 || d.d > 31 {
			continue
		}
		out = append(out, d)
		cut(m[0], m[1])
	}
	for _, m := range all(wordedUS, text, month) {
		mon, ok := v.month(foldWord(text[m[2]:m[3]]))
		if _, day := v.day(foldWord(text[m[2]:m[3]])); !ok || day {
			continue
		}
		d := date{d: atoi(text[m[4]:m[5]]), m: mon, start: m[0]}
		if m[6] >= 0 {
			d.y = year(text[m[6]:m[7]])
		}
		if d.d == 0 || d.d > 31 {
			continue
		}
		out = append(out, d)
		cut(m[0], m[1])
	}
	// A day alone: beside a weekday, before another date, or with "th" behind it.
	hasDay := false
	for w := range strings.FieldsSeq(text) {
		if _, ok := v.day(foldWord(strings.Trim(w, ",;:–-"))); ok {
			hasDay = true
		}
	}
	for _, m := range all(dayOnly, text+" ", counted) {
		if n := atoi(text[m[2]:m[3]]); n >= 1 && n <= 31 {
			out = append(out, date{d: n, start: m[0]})
			cut(m[0], min(m[5], len(text)))
		}
	}
	if hasDay || len(out) > 0 {
		for _, m := range bareNumber.FindAllStringIndex(text, -1) {
			n := atoi(text[m[0]:m[1]])
			if n < 1 || n > 31 || m[1] < len(text) && (text[m[1]] == ':' || text[m[1]] == '.') || m[0] > 0 && (text[m[0]-1] == ':' || text[m[0]-1] == '.') {
				continue
			}
			if len(out) > 0 && !hasDay && !strings.ContainsAny(strings.TrimSpace(text[m[1]:]), "") {
				// Only "7–13 Dec": a bare day right before a dated end.
				gap := strings.TrimSpace(text[m[1]:])
				_ = gap
			}
			next := 1 << 30
			for _, d := range out {
				if d.start > m[0] {
					next = min(next, d.start)
				}
			}
			between := ""
			if next < 1<<30 {
				between = strings.ToLower(strings.TrimSpace(text[m[1]:next]))
			}
			if hasDay && len(out) == 0 || next < 1<<30 && (between == "–" || between == "-" || between == "to" || between == "al" || between == "au" || between == "bis" || strings.HasPrefix(between, "au ") || strings.HasPrefix(between, "al ") || strings.HasPrefix(between, "to ") || between == "until") {
				out = append(out, date{d: n, start: m[0]})
				cut(m[0], m[1])
			}
		}
	}
	slices.SortStableFunc(out, func(a, b date) int { return a.start - b.start })
	// The month and year of an end hold for a beginning without.
	for i := len(out) - 2; i >= 0; i-- {
		a, b := &out[i], out[i+1]
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
	if len(out) == 0 {
		return text, nil
	}
	return text, out
}
