package board

import (
	"maps"
	"slices"
	"strconv"
	"time"

	"hardfeed/ingest/phrase"
)

// book is a workbook while it is read.
type book struct {
	sheets []*sheetData
	words  *vocabulary
	lang   *language
	effort *effort
	heads  *headings
	who    *names
	find   *tableFinder
	roles  *roleFinder
	cal    *calendar
	wf     *weekFinder
	asks   *questions

	feeds           map[string]*feedInfo
	feedOrder       []string
	anyFeedKg       map[string]float64
	bareAmount      string // all amounts are in
	bareFeed        string
	perFeed         int // amounts are for each of so many feeds a day
	bareWork        string
	sessionMin      float64
	measuresSeen    []string
	feedLegend      *Cell
	feedLegendSheet *sheetData
	workRead        map[string]phrase.Work
	nowOfLast       map[*horse][]*obs
	target          time.Time
	targetRel       int
	hayCells        int
	mealsUsed       map[string]bool

	tables     []*table
	forms      []*form
	horses     []*horse
	byName     map[string]int
	obs        []*obs
	unnamed    []*Cell // rows with something in them and no name
	unnamedAt  []*sheetData
	totals     []total
	places     []*dayPlace
	placesOf   map[int][]*dayPlace // the same, by horse
	writesRest map[*sheetData]bool
}

// horse is one of the yard's, with where its name stands.
type horse struct {
	name      string
	sheet     *sheetData
	cell      *Cell // nil: its tab is called so
	obs       []*obs
	struck    bool
	fate      string
	now, plan ration
	said      []*obs // lines elsewhere that name it
	fateAt    *obs
	weighed   *weighings // nil: not read yet
}

func newBook(sheets []Sheet, saved time.Time) *book {
	b := &book{words: newVocabulary(), byName: map[string]int{},
		feeds: map[string]*feedInfo{}, anyFeedKg: map[string]float64{}, workRead: map[string]phrase.Work{}, nowOfLast: map[*horse][]*obs{}, placesOf: map[int][]*dayPlace{}, mealsUsed: map[string]bool{}, writesRest: map[*sheetData]bool{}}
	var texts []string
	for _, s := range sheets {
		d := newSheet(s)
		b.sheets = append(b.sheets, d)
		texts = append(texts, s.Name)
		for k := range d.Sheet.Cells {
			if c := &d.Sheet.Cells[k]; c.Kind == Text && len(c.Text) < 60 {
				texts = append(texts, c.Text)
			}
		}
	}
	order := phrase.Languages(texts)
	b.words.language = order[0]
	b.lang = newLanguage(texts, order, b.words.memo)
	b.words.lang = b.lang
	b.effort, b.asks = &effort{}, &questions{at: map[string]int{}}
	b.heads = &headings{words: b.words, lang: b.lang, effort: b.effort, dates: findDateRuns(b.sheets, b.words)}
	b.who = &names{words: b.words, lang: b.lang, known: map[string]bool{}, alias: map[string]string{}}
	b.find = &tableFinder{words: b.words, lang: b.lang, heads: b.heads, who: b.who, effort: b.effort}
	b.roles = &roleFinder{words: b.words, lang: b.lang, who: b.who}
	b.cal = &calendar{saved: saved}
	b.wf = &weekFinder{words: b.words, lang: b.lang, sheets: b.sheets, cal: b.cal}
	return b
}

// regions finds what stands where.
func (b *book) regions() {
	b.wf.findWeeks()
	b.wf.learnDates()
	b.wf.firstDayOfWeeks()
	b.who.namesOfTabs(b.heads, b.sheets)
	for range 2 { // the second time with the names the first has found, if any
		before := maps.Clone(b.who.known)
		b.tables = nil
		for _, s := range b.sheets {
			b.tables = append(b.tables, b.find.tablesOfSheet(s)...)
		}
		if b.effort.tooMany {
			return
		}
		for _, t := range b.tables {
			if !t.g.blank {
				b.who.learnNames(t)
			}
		}
		b.who.forgetTeams()
		if maps.Equal(before, b.who.known) {
			break
		}
	}
	for _, t := range b.tables {
		b.roles.decide(t)
		b.roles.sortOut(t)
		t.week = b.cal.weekOfRegion(t.g.sheetData, t.placeRow())
		b.cal.dateColumns(b.asks, t)
	}
	b.words.daysOverTables(b.tables)
	b.findForms()
}

// placeRow is the sheet's row a table begins in.
func (t *table) placeRow() int {
	if t.g.turned {
		return 0
	}
	return t.h1
}

// tablesOfSheet looks at a sheet both ways and takes the better.
func (tf *tableFinder) tablesOfSheet(s *sheetData) []*table {
	upright, turned := grid{s, false}, grid{s, true}
	up := tf.tablesOn(upright)
	if tf.strongNames(up) {
		return up
	}
	across := tf.tablesOn(turned)
	across = slices.DeleteFunc(across, func(t *table) bool { return !tf.acrossNames(t) })
	if tf.countHeadings(across) > tf.countHeadings(up) {
		return across
	}
	return up
}

// strongNames says whether a table has a heading over its names and more than
// one more.
func (tf *tableFinder) strongNames(ts []*table) bool {
	for _, t := range ts {
		if c := t.g.at(t.head, t.name); c != nil && tf.words.labelOf(c).has("name") {
			n := len(tf.heads.headRow(t.g, t.head).within(t.g, t.c1, t.c2).heads)
			if n >= 3 || n >= 2 && t.h2 > t.h1 {
				return true
			}
		}
	}
	return false
}

// countHeadings counts the columns of tables with a heading over them.
func (tf *tableFinder) countHeadings(ts []*table) int {
	n := 0
	for _, t := range ts {
		for k := t.c1; k <= t.c2; k++ {
			if x := t.g.over(t.head, k); x != nil && tf.heads.isHeading(x) {
				n++
			}
		}
	}
	return n
}

// acrossNames says whether what would be the horses of a turned table are names.
func (tf *tableFinder) acrossNames(t *table) bool {
	n, like, may, work := 0, 0, 0, 0
	seen := map[string]bool{}
	for r := t.h2 + 1; r < t.end; r++ {
		c := t.g.at(r, t.name)
		if c == nil {
			continue
		}
		n++
		if tf.who.nameLike(c) {
			like++
		}
		if tf.who.mayBeName(c) || isWhole(c) || tf.words.labelOf(c).full() && tf.words.labelOf(c).day < 0 {
			may++ // beside names, a number or a word for something else is one too
		}
		if !tf.who.knows(c) && tf.lang.isWork(c.Text) {
			work++
		}
		seen[tf.words.nameOf(c)] = true
	}
	if work*2 >= n && n > 0 || len(seen)*10 < n*7 {
		return false // what is done, not who does it
	}
	return like*10 >= n*4 && may*10 >= n*7 && (n > 1 || n == 1 && tf.who.known[foldName(t.g.at(t.h2+1, t.name).shown())])
}

// isWhole says whether a cell is a whole number and nothing else.
func isWhole(c *Cell) bool {
	_, err := strconv.Atoi(c.Text)
	return (c.Kind == Number || c.Kind == Text) && err == nil
}

// forgetTeams takes back names that are two or more others: "Pip & Dot".
func (who *names) forgetTeams() {
	for _, name := range sortedKeys(who.known) {
		parts := between.Split(name, -1)
		if len(parts) < 2 {
			continue
		}
		all := true
		for _, p := range parts {
			all = all && who.known[foldName(p)]
		}
		if all {
			delete(who.known, name)
		}
	}
}

// learnNames takes the names of a table for horses'.
func (who *names) learnNames(t *table) {
	c := t.g.at(t.head, t.name)
	strong := c != nil && who.words.labelOf(c).has("name")
	for r := t.h2 + 1; r < t.end; r++ {
		x := t.g.at(r, t.name)
		if x == nil || x.Kind == Wrong || x.Kind == Uncached || dash(x.Text) || ditto(x.Text) || who.notAHorse(x.Text) != "" && !who.fullRow(t, r) || len(x.Text) > 40 {
			continue
		}
		others := 0
		for k := t.c1; k <= t.c2; k++ {
			if k != t.name && t.g.at(r, k) != nil {
				others++
			}
		}
		if others == 0 {
			continue
		}
		if len(who.horsesIn(x.Text)) > 1 || who.horsesIn(x.Text)[0] != x.Text {
			continue // a team of known ones
		}
		if strong || who.nameLike(x) || who.notAHorse(x.Text) == aTotal {
			who.known[who.words.nameOf(x)] = true
		}
	}
}

// namesOfTabs takes the names of tabs that are of one form for horses'.
func (who *names) namesOfTabs(hs *headings, sheets []*sheetData) {
	by := map[string][]*sheetData{}
	for _, s := range sheets {
		if sig := hs.signature(s); sig != "" {
			by[sig] = append(by[sig], s)
		}
	}
	for _, ss := range by {
		if len(ss) < 2 {
			continue
		}
		for _, s := range ss {
			l := who.words.read(s.Name)
			if l.full() || hasDigit(s.Name) {
				continue
			}
			for i := range s.Sheet.Cells {
				if c := &s.Sheet.Cells[i]; c.Row <= 3 && c.Kind == Text && foldName(c.Text) == foldName(s.Name) {
					who.known[foldName(s.Name)] = true
				}
			}
		}
	}
}

// sortOut finds tables that hold nothing of a horse's week.
func (rf *roleFinder) sortOut(t *table) {
	has := map[string]bool{}
	roles := map[role]int{}
	days := 0
	for _, k := range t.cols {
		for _, key := range k.lab.order {
			has[key] = true
		}
		roles[k.role]++
		if k.day >= 0 {
			days++
		}
	}
	useful := roles[workRole] + roles[feedRole] + roles[weightRole] + roles[notesRole] + roles[healthRole] + roles[girthRole]
	name := t.g.at(t.head, t.name)
	known, n := 0, 0
	for r := t.h2 + 1; r < t.end; r++ {
		if x := t.g.at(r, t.name); x != nil {
			n++
			if rf.who.knows(x) || len(rf.who.horsesIn(x.Text)) > 1 {
				known++
			}
		}
	}
	switch {
	case name != nil && rf.words.labelOf(name).has("staff"):
		t.kind = "staff"
	case (has["price"] || has["pack"]) && roles[workRole] == 0 && roles[weightRole] == 0:
		t.kind = "price"
	case has["farrier"] && roles[workRole]+roles[feedRole]+roles[weightRole] == 0:
		t.kind = "farrier"
	case useful == 0 && roles[hayRole] == 0:
		t.kind = "other"
	case rf.labelsOfSheetHas(t.g.sheetData, "staff") && roles[feedRole]+roles[weightRole] == 0 && known*2 < n:
		t.kind = "staff"
	}
}

func (rf *roleFinder) labelsOfSheetHas(s *sheetData, keys ...string) bool {
	return rf.words.read(s.Name).has(keys...)
}
