package ingest

import (
	"cmp"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// This file finds the tables on a sheet: by their header rows, wherever those
// stand, in one row or two, above or beside each other, upright or turned.

// wordKinds orders the kinds so that a draw goes to the one named first.
var wordKinds = []sheetKind{horsesKind, workKind, rationsKind, feedsKind, sessionsKind, weightsKind, yardKind}

// vocabulary is what headers are known by.
type vocabulary struct {
	words  headerWords
	meals  []mealWord        // the yard's first, then those known everywhere
	feeds  map[string]string // header words of each feed's name -> the name
	looks  map[string]*look  // what each text may be as a heading
	known  map[string]bool   // every word of everything a heading can be; nil: not gathered yet
	days   map[string]bool   // those that a day may begin with
	learnt map[string]bool   // the words of the yard's own meals and feeds, "" where one has none; nil: not told yet
	parts  [7][][]string     // what heads the columns of each of wordKinds, word by word
	guess  bool              // a table may be known by headings that are only like known ones

	tables int // found in the workbook
}

// mostTables is what no workbook has: two for each horse of the largest yard.
const mostTables = 2 * maxHorses

// mostRemembered bounds what is kept of texts looked at: a file may have a new
// text in every cell.
const mostRemembered = 20_000

// newVocabulary knows the built-in words and the yard's own.
func newVocabulary(synonyms map[string][]string) vocabulary {
	v := vocabulary{words: allWords(synonyms), looks: map[string]*look{}}
	v.nameMeals(nil)
	return v
}

// learn tells the vocabulary the yard's own meals and feeds, by which columns
// of the rations sheet may be headed.
func (v *vocabulary) learn(meals []string, feeds map[string]string) {
	v.nameMeals(meals)
	v.feeds, v.known, v.learnt = feeds, nil, map[string]bool{}
	for _, m := range v.meals[:len(meals)] {
		gather(v.learnt, m.words)
	}
	for words := range feeds {
		gather(v.learnt, words)
		if strings.IndexFunc(words, func(r rune) bool { return !noWord(r) }) < 0 { // "%"
			v.learnt[""] = true
		}
	}
	for _, l := range v.looks {
		v.recognise(l)
	}
}

// taken is splitHeading, remembered: the same texts come again in every row.
func (v *vocabulary) taken(text string) heading { return v.lookAt(text).heading }

// headCell is a header over one column: one cell, or one above the other.
type headCell struct {
	col   int
	cell  *cell    // the lower one, if there are two
	texts []string // ways of reading it, the best first
	looks []*look  // what each of them may be, see headingsOf
	both  bool     // the first of them joins two cells
}

// found is one table in all the kinds it can be read as, best first.
type found []table

// tablesOn returns the tables of a sheet, from top to bottom. What stands above
// the first is searched for pairs of a word and its value: a horse's own sheet,
// or the week.
func (v *vocabulary) tablesOn(s *sheet) []found {
	all := v.upright(s)
	above := len(s.rows)
	for _, f := range all {
		above = min(above, f[0].first())
	}
	if above > 0 && (len(all) == 0 || v.pairsAbove(s, above)) {
		top := &sheet{name: s.name, hidden: s.hidden, rows: s.rows[:above], merges: s.merges, hiddenRows: s.hiddenRows, hiddenCols: s.hiddenCols}
		turned := v.upright(top.turn())
		pairs := table{kind: yardKind, sheet: top, head: -1, end: above, c1: 1, c2: maxColumn, score: v.looksLikeYard(top), loose: len(all) > 0}
		switch {
		case len(turned) > 0 && turned[0][0].score >= pairs.score*10:
			all = append(turned, all...)
		case pairs.score >= 2 || pairs.score == 1 && len(all) > 0:
			pairs.score *= 10
			all = append([]found{{pairs}}, all...)
		}
	}
	return all
}

// first is the index of the table's first row, headers counted.
func (t *table) first() int {
	n := t.head
	for _, c := range t.cols {
		for n > 0 && c.cell.row < t.sheet.rows[n].n {
			n--
		}
	}
	return n
}

// pairsAbove says whether anything but titles stands in the first n rows.
func (v *vocabulary) pairsAbove(s *sheet, n int) bool {
	for _, r := range s.rows[:n] {
		if len(r.cells) >= 2 {
			return true
		}
		if _, ok := v.weekTitle(r.cells[0]); ok {
			return true
		}
	}
	return false
}

// turn is the sheet with rows and columns exchanged.
func (s *sheet) turn() *sheet {
	t := &sheet{name: s.name, hidden: s.hidden, turned: !s.turned, hiddenRows: map[int]bool{}}
	byCol := map[int][]cell{}
	for _, r := range s.rows {
		for _, c := range r.cells {
			col := c.col
			c.row, c.col = c.col, c.row
			byCol[col] = append(byCol[col], c)
		}
		if s.hiddenRows[r.n] {
			t.hiddenCols = append(t.hiddenCols, rect{col1: r.n, col2: r.n})
		}
	}
	for _, h := range s.hiddenCols {
		for c := h.col1; c <= min(h.col2, maxColumn); c++ {
			t.hiddenRows[c] = true
		}
	}
	for col, cells := range byCol {
		t.rows = append(t.rows, row{col, cells})
	}
	slices.SortFunc(t.rows, func(a, b row) int { return a.n - b.n })
	for _, m := range s.merges {
		t.merges = append(t.merges, rect{m.col1, m.row1, m.col2, m.row2})
	}
	return t
}

// mostGuessed is how many rows of a sheet are looked at for headings that are
// only like known ones: that takes long, and headings stand near the top.
const mostGuessed = 30

// upright returns the tables with their headers above.
func (v *vocabulary) upright(s *sheet) []found {
	var all []found
	open := []int{} // tables that go on, by index in all
	var here, below headings
	seen := -1 // the row below was looked at as
	for i := 0; i < len(s.rows); i++ {
		if v.guess && i >= mostGuessed || v.tables > mostTables {
			break
		}
		if here = below; seen != i {
			here = v.headingsIn(s.rows[i])
		}
		if below = (headings{}); i+1 < len(s.rows) {
			below, seen = v.headingsIn(s.rows[i+1]), i+1
		}
		heads, used := v.headersAt(s, i, here, below)
		heads = slices.DeleteFunc(heads, func(f found) bool {
			return slices.ContainsFunc(open, func(k int) bool { return datesUnder(f, all[k]) })
		})
		if len(heads) == 0 {
			continue
		}
		first := i
		i += used - 1
		v.tables += len(heads)
		for _, f := range heads {
			lo, hi := f[0].span()
			kept := open[:0]
			for _, k := range open {
				old := all[k]
				a, z := old[0].span()
				if lo <= z && a <= hi { // it stands in the way: the table above ends here
					old.each(func(t *table) { t.end = min(t.end, v.above(s, first, t)) })
					continue
				}
				kept = append(kept, k)
				old.each(func(t *table) {
					if lo > z {
						t.c2 = min(t.c2, lo-1)
					} else {
						t.c1 = max(t.c1, hi+1)
					}
				})
				f.each(func(t *table) {
					if lo > z {
						t.c1 = max(t.c1, z+1)
					} else {
						t.c2 = min(t.c2, a-1)
					}
				})
			}
			open = append(kept, len(all))
			all = append(all, f)
		}
	}
	return all
}

func (f found) each(do func(*table)) {
	for i := range f {
		do(&f[i])
	}
}

// above is where a table ends for which a header follows in row i: a line that
// stands alone over the next header is the next table's title.
func (v *vocabulary) above(s *sheet, i int, t *table) int {
	if i-1 > t.head && len(clip(s.rows[i-1], t.c1, t.c2).cells) == 1 && clip(s.rows[i-1], t.c1, t.c2).cells[0].kind == written {
		return i - 1
	}
	return i
}

func (t *table) span() (lo, hi int) {
	lo, hi = maxColumn+1, 0
	for _, c := range t.cols {
		lo, hi = min(lo, c.col), max(hi, c.col)
	}
	return lo, hi
}

// clip is the part of a row between two columns.
func clip(r row, c1, c2 int) row {
	a := 0
	for a < len(r.cells) && r.cells[a].col < c1 {
		a++
	}
	z := len(r.cells)
	for z > a && r.cells[z-1].col > c2 {
		z--
	}
	return row{r.n, r.cells[a:z]}
}

// headersAt returns the tables whose header begins in row i, and how many rows
// the header takes. Here and below are what that row and the next have of
// headings.
func (v *vocabulary) headersAt(s *sheet, i int, here, below headings) ([]found, int) {
	if here.like == 0 && below.like < 2 || here.like+below.like < 2 && len(s.rows[i].cells) > 1 {
		return nil, 1
	}
	var single []found
	if v.worthALook(s, here) {
		single = v.match(s, i, oneRow(s.rows[i]))
	}
	// A feed's name in each of two rows of amounts is no header yet.
	if here.like+below.like >= 3 && i+1 < len(s.rows) && s.rows[i+1].n <= s.rows[i].n+2 &&
		here.cells == len(s.rows[i].cells) && below.cells == len(s.rows[i+1].cells) {
		if two := twoRows(s, i); v.worthALook(s, v.headingsOf(two)) {
			joined := v.match(s, i+1, two)
			n := columnsIn(joined)
			if n <= columnsIn(single) || len(single) == 1 && slices.ContainsFunc(joined, func(f found) bool { return datesUnder(f, single[0]) }) {
				return single, 1
			}
			lower := 0
			if v.worthALook(s, below) {
				lower = columnsIn(v.match(s, i+1, oneRow(s.rows[i+1])))
			}
			if n > lower || n == lower && usesBoth(joined) {
				return joined, 2
			}
		}
	}
	return single, 1
}

// datesUnder says whether the days of a table of work are dates that stand under headings
// of the table above, such as Weighed on and Analysed on: its row is one of that table.
func datesUnder(f, above found) bool {
	days := 0
	for _, c := range f[0].cols {
		if !c.isDay {
			continue
		}
		if days++; c.date.IsZero() || !slices.ContainsFunc(above[0].cols, func(a column) bool { return a.col == c.col && a.key != "" && !a.isDay }) {
			return false
		}
	}
	return f[0].kind == workKind && days > 0
}

func columnsIn(fs []found) int {
	n := 0
	for _, f := range fs {
		n += len(f[0].cols)
	}
	return n
}

func usesBoth(fs []found) bool {
	for _, f := range fs {
		for _, c := range f[0].cols {
			if c.heading.joined {
				return true
			}
		}
	}
	return false
}

func headText(c *cell) bool {
	return (c.kind == written || c.kind == dated) && len(c.shown) <= 60
}

func oneRow(r row) []headCell {
	hs, texts := make([]headCell, 0, len(r.cells)), make([]string, 0, len(r.cells))
	for i := range r.cells {
		if c := &r.cells[i]; headText(c) {
			texts = append(texts, c.shown)
			hs = append(hs, headCell{col: c.col, cell: c, texts: texts[len(texts)-1:]})
		}
	}
	return hs
}

// twoRows reads two rows of nothing but short texts as one header: a heading
// over several columns counts for each of them, where its cells are joined.
func twoRows(s *sheet, i int) []headCell {
	above, below := s.spread(s.rows[i]), s.rows[i+1].cells
	hs := make([]headCell, 0, len(above)+len(below))
	texts := make([]string, 0, 2*cap(hs)) // of all
	ways := func(of ...string) []string {
		texts = append(texts, of...)
		return texts[len(texts)-len(of) : len(texts) : len(texts)]
	}
	for len(above)+len(below) > 0 {
		if len(below) == 0 || len(above) > 0 && above[0].col < below[0].col {
			if up := above[0]; up.col == up.cell.col {
				hs = append(hs, headCell{col: up.col, cell: up.cell, texts: ways(up.cell.shown)})
			}
			above = above[1:]
			continue
		}
		c := &below[0]
		h := headCell{col: c.col, cell: c}
		if len(above) > 0 && above[0].col == c.col {
			up := above[0].cell
			h.both, h.texts = true, ways(up.shown+" "+c.shown, c.shown+" "+up.shown, c.shown)
			if up.kind == dated { // a date over its weekday
				h.texts = ways(up.shown, h.texts[0], h.texts[1], h.texts[2])
			}
			above = above[1:]
		} else {
			h.texts = ways(c.shown)
		}
		hs, below = append(hs, h), below[1:]
	}
	return hs
}

// over is a cell and a column it stands over.
type over struct {
	col  int
	cell *cell
}

// spread gives the columns that the cells of a row stand over, rising: each its
// own, and those it is joined with.
func (s *sheet) spread(r row) []over {
	all := make([]over, 0, len(r.cells))
	put := func(o over) { // the later one counts where joined blocks overlap
		k := len(all)
		for k > 0 && all[k-1].col >= o.col {
			k--
		}
		if k < len(all) && all[k].col == o.col {
			all[k] = o
			return
		}
		all = slices.Insert(all, k, o)
	}
	for i := range r.cells {
		c := &r.cells[i]
		put(over{c.col, c})
		if m, ok := s.merged(c.row, c.col); ok && m.row1 == m.row2 {
			for col := m.col1; col <= min(m.col2, maxColumn); col++ {
				put(over{col, c})
			}
		}
	}
	return all
}

// match reads a row of header cells as tables: as one, or, where every stretch
// between empty columns makes a table of its own, as several.
func (v *vocabulary) match(s *sheet, head int, hs []headCell) []found {
	var runs [][]headCell
	for k, from := 1, 0; k <= len(hs); k++ {
		if k == len(hs) || hs[k].col > hs[k-1].col+1 {
			runs, from = append(runs, hs[from:k]), k
		}
	}
	if len(runs) > 1 {
		var parts []found
		for _, run := range runs {
			if f := v.kinds(s, head, run); f != nil && !f[0].nameless {
				parts = append(parts, f)
			}
		}
		if len(parts) > 1 {
			// What belongs to none goes to the table on its left.
			for k := range parts {
				lo, _ := parts[k][0].span()
				if k > 0 {
					parts[k].each(func(t *table) { t.c1 = lo })
					parts[k-1].each(func(t *table) { t.c2 = lo - 1 })
				}
			}
			return parts
		}
	}
	if f := v.kinds(s, head, hs); f != nil {
		return []found{f}
	}
	return nil
}

// attributes are the columns that tell a horses sheet from any list of horses.
var attributes = []string{"weight", "girth", "height", "age", "type", "score", "fitness", "keeper", "diagnoses", "rider", "temper", "housing"}

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

// headings counts what stands in a row, or in a stretch of one, that may be
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
func (v *vocabulary) headingsIn(r row) headings {
	var h headings
	for i := range r.cells {
		if c := &r.cells[i]; headText(c) {
			if c.dull && !v.learntIn(c.shown) {
				h.cells++
				continue
			}
			l := v.likely(c.shown)
			c.dull = !l.any && v.learnt == nil && c.kind != dated
			if c.kind == dated && !l.day {
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
		sum := look{day: c.cell.kind == dated, any: c.cell.kind == dated}
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

// learntIn says whether a text may have a word of the yard's own meals and feeds.
func (v *vocabulary) learntIn(text string) bool {
	if v.learnt == nil {
		return false
	}
	if v.learnt[""] {
		return true
	}
	none := true
	for w := range strings.FieldsFuncSeq(text, noWord) {
		if none = false; v.learnt[strings.ToLower(w)] {
			return true
		}
	}
	return none || !isPlain(text)
}

// kinds reads header cells as every kind of table they are enough for.
func (v *vocabulary) kinds(s *sheet, head int, hs []headCell) found {
	var f found
	have := v.headingsOf(hs)
	for i, k := range wordKinds {
		if !v.guess && !have.enoughFor(k, s.turned) || k == horsesKind && v.areTypes(hs) {
			continue
		}
		t := v.read(i, s, head, hs)
		if t.score == 0 {
			continue
		}
		// The name on the tab only breaks a draw, and a table that names no
		// horses comes behind any that does.
		t.score *= 10
		if name := strings.ToLower(s.name); strings.Contains(name, strings.TrimSuffix(string(k), "s")) ||
			k == workKind && strings.Contains(name, "exercise") || k == feedsKind && strings.Contains(name, "feed") {
			t.score += 5
		}
		if t.nameless {
			t.score = max(1, t.score-100)
		}
		f = append(f, t)
	}
	slices.SortStableFunc(f, func(a, b table) int { return b.score - a.score })
	return f
}

// areTypes says whether words for a horse stand next to each other, as those under
// Type do: no header names its horses twice running.
func (v *vocabulary) areTypes(hs []headCell) bool {
	named := -1
	for _, h := range hs {
		if v.words.kind[horsesKind][v.taken(h.cell.shown).words] != "horse" {
			continue
		}
		if named == h.col-1 {
			return true
		}
		named = h.col
	}
	return false
}

func (v *vocabulary) read(i int, s *sheet, head int, hs []headCell) table {
	k := wordKinds[i]
	t := table{kind: k, sheet: s, head: head, end: len(s.rows), c1: 1, c2: maxColumn}
	t.title = titleOver(s, head, hs)
	t.day, t.date, t.isOfDay = v.words.dayOf(t.title.shown)
	if !t.isOfDay {
		t.day, t.date, t.isOfDay = v.words.dayOf(s.name)
	}
	var rest []*headCell
next:
	for j := range hs {
		h := &hs[j]
		isDate := h.cell.kind == dated
		if isDate && k != workKind {
			rest = append(rest, h)
			continue
		}
		for n, l := range h.looks {
			isDay, isRation := k == workKind && (isDate || l.day), k == rationsKind && (l.meal || l.feed)
			if !isDay && !isRation && l.keys[i] == "" {
				continue
			}
			// A second column of the same name is left out here and reported when
			// the table is read.
			if !isDay && !isRation && t.has(l.keys[i]) {
				continue next
			}
			col := column{col: h.col, heading: l.heading, cell: *h.cell}
			col.heading.joined = h.both && n < len(h.texts)-1
			switch {
			case isDay && isDate:
				col.isDay, col.weekday, col.date = true, h.cell.day.Weekday(), h.cell.day
			case isDay:
				col.isDay, col.weekday, col.date = true, l.weekday, l.date
			case isRation:
				col.meal, col.feed, col.planned = l.mealName, l.feedName, l.planned
			default:
				col.key = l.keys[i]
			}
			t.cols = append(t.cols, col)
			continue next
		}
		rest = append(rest, h)
	}
	if v.guess {
		v.guessed(&t, rest)
	}
	t.namesBeside()
	if !satisfied(&t) || v.datesOfATurnedTable(&t, rest) {
		return t
	}
	if !v.guess {
		v.guessed(&t, rest)
	}
	t.score = len(t.cols)
	if k == yardKind {
		t.score += 3
	}
	return t
}

// datesOfATurnedTable says whether the days of a work table are the dates in a
// row of a turned table: "Date weighed | 24/11 | 24/11 | 23/11".
func (v *vocabulary) datesOfATurnedTable(t *table, rest []*headCell) bool {
	if t.kind != workKind || len(rest) == 0 {
		return false
	}
	for _, c := range t.cols {
		if c.date.IsZero() || c.col < rest[0].col {
			return false
		}
	}
	return slices.ContainsFunc(rest[0].looks, func(l *look) bool { return l.keys != [7]string{} })
}

// namesBeside takes the column left of the days (or of the feeds) for the
// horses where no heading says so: the corner of such a table is often empty,
// and in a turned one it heads the days.
func (t *table) namesBeside() {
	days, lo := 0, maxColumn+1
	for _, c := range t.cols {
		if t.kind == workKind && c.isDay || t.kind == rationsKind && c.feed != "" {
			days++
			lo = min(lo, c.col)
		}
	}
	least := 3
	if t.kind == rationsKind {
		least = 2
	}
	if days < least || t.has("horse") || lo < 2 {
		return
	}
	for k, c := range t.cols {
		if c.col == lo-1 && (c.key == "day" || c.key == "date" || c.key == "feed") {
			t.cols[k].key = "horse"
			return
		}
	}
	for _, c := range t.cols {
		if c.col < lo {
			return
		}
	}
	if t.sheet.rows[t.head].at(lo-1).kind == empty && t.sheet.lastWritten(lo-1) > t.sheet.rows[t.head].n {
		t.cols = append(t.cols, column{key: "horse", col: lo - 1, cell: cell{row: t.sheet.rows[t.head].n, col: lo - 1}})
	}
}

// titleOver is the line that stands alone above a header.
func titleOver(s *sheet, head int, hs []headCell) cell {
	top := s.rows[head].n
	for _, h := range hs {
		top = min(top, h.cell.row)
	}
	for i := head; i >= 0; i-- {
		r := s.rows[i]
		if r.n >= top {
			continue
		}
		if len(r.cells) == 1 && r.cells[0].kind == written && r.n >= top-3 {
			return r.cells[0]
		}
		break
	}
	return cell{}
}

// guessed adds columns whose heading is nearly a known one: a slip of the pen,
// or a known heading with words around it that change nothing.
func (v *vocabulary) guessed(t *table, rest []*headCell) {
	kind := slices.Index(wordKinds, t.kind)
	for _, h := range rest {
		if h.cell.kind != written {
			continue
		}
		for n, l := range h.looks {
			if l == &noHeading { // but perhaps nearly one
				l = v.lookAt(h.texts[n])
			}
			if key := v.nearest(kind, l); key != "" && !t.has(key) {
				t.cols = append(t.cols, column{key: key, col: h.col, heading: l.heading, cell: *h.cell, guessed: true})
				break
			}
		}
	}
}

var headingFillers = map[string]bool{"of": true, "the": true, "horse": true, "horses": true, "s": true, "in": true, "our": true, "a": true, "an": true, "for": true, "each": true,
	"per": true, "day": true, "daily": true, "today": true, "current": true, "approx": true, "about": true, "is": true, "this": true, "please": true, "no": false}

// falseFriends are a canter in German, French and Spanish, and one letter off a
// gallop.
var falseFriends = map[string]bool{"galopp": true, "galop": true, "galope": true}

// nearest is the column of a kind that a heading is nearly the word for.
func (v *vocabulary) nearest(kind int, l *look) string {
	if !l.compared[kind] {
		l.compared[kind] = true
		l.near[kind] = v.like(kind, l.heading.words)
	}
	return l.near[kind]
}

func (v *vocabulary) like(kind int, words string) string {
	if len(words) < 4 || utf8.RuneCountInString(words) < 4 || strings.IndexFunc(words, unicode.IsLetter) < 0 || falseFriends[words] {
		return ""
	}
	known := v.words.kind[wordKinds[kind]]
	all := strings.Fields(words)
	var bare []string
	for _, w := range all {
		if !headingFillers[w] {
			bare = append(bare, w)
		}
	}
	if key := known[strings.Join(bare, " ")]; key != "" && len(bare) > 0 {
		return key
	}
	if v.parts[kind] == nil {
		for w := range known {
			v.parts[kind] = append(v.parts[kind], strings.Fields(w))
		}
	}
	var near []string
	for _, f := range v.parts[kind] {
		if nearlyWords(all, f) || len(bare) < len(all) && nearlyWords(bare, f) {
			near = append(near, strings.Join(f, " "))
		}
	}
	slices.Sort(near)
	if len(near) == 1 {
		return known[near[0]]
	}
	return known[cmp.Or(nearest(words, near), nearest(strings.Join(bare, " "), near))]
}

// nearlyWords says whether two headings are the same word by word but for slips
// of the pen: "body wieght", but not "target weight", is "body weight".
func nearlyWords(a, b []string) bool {
	if len(a) != len(b) || len(a) == 0 {
		return false
	}
	for i := range a {
		if a[i] != b[i] && (len(a[i]) < 4 || len(b[i]) < 4 || !nearlyWord(a[i], b[i])) {
			return false
		}
	}
	return true
}

// nearlyWord is [nearest] for one candidate.
func nearlyWord(a, b string) bool { return nearest(a, []string{b}) != "" }

// satisfied says whether the columns are enough for the kind.
func satisfied(t *table) bool {
	days, meals, feeds := 0, 0, 0
	for _, c := range t.cols {
		switch {
		case c.isDay:
			days++
		case c.feed != "":
			feeds++
		case c.meal != "":
			meals++
		}
	}
	told := 0
	for _, k := range attributes {
		if t.has(k) {
			told++
		}
	}
	switch t.kind {
	case horsesKind:
		// A horse's own sheet has its name on the tab.
		t.nameless = !t.has("horse") && t.sheet.turned && told >= 3
		return t.has("horse") && told > 0 || t.nameless
	case workKind:
		t.nameless = !t.has("horse")
		return days >= 3 || t.has("date", "day") && t.has("work") || t.isOfDay && t.has("work") && t.has("horse")
	case rationsKind:
		if t.has("horse") && feeds > 0 && !t.has("feed") {
			return true
		}
		t.nameless = !t.has("horse")
		return t.has("feed") && (t.has("now", "planned") || meals > 0)
	case feedsKind:
		c, ok := t.col("feed")
		if !ok {
			return false
		}
		return t.has("kind", "what it is", "one measure", "dry matter", "energy", "protein", "starch", "pack", "stock") ||
			c.heading.words != "name" && c.heading.words != "item" && strings.Contains(strings.ToLower(t.sheet.name), "feed") && len(t.sheet.rows[t.head].cells) == 1
	case sessionsKind:
		return t.has("session") && t.has("walk", "trot", "canter", "gallop")
	case weightsKind:
		return t.has("date") && t.has("horse") && t.has("weight")
	case yardKind:
		return t.has("setting") && t.has("value")
	}
	return false
}
