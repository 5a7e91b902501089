package board

import (
	"maps"
	"slices"
	"strconv"
	"time"

	"hardfeed/ingest/phrase"
)

// book is a workbook as far as it has been read.
type book struct {
	sheets []*sheetData
	words  *vocabulary
	lang   *language
	heads  *headings
	asks   *questions

	room *feedRoom    // what its legends say of feeds
	bare *bareFigures // and of figures alone

	cal    *calendar
	who    *names
	tables []*table
	forms  []*form

	herd    *herd
	obs     []*obs
	totals  []total
	unnamed []nameless
	places  *dayPlaces

	week plannedWeek
}

// horse is one of the yard's, with where its name stands.
type horse struct {
	index     int // among the yard's
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

// newBook makes a workbook's words ready to be read.
func newBook(sheets []Sheet, saved time.Time) *book {
	b := &book{words: newVocabulary(), asks: newQuestions(), cal: &calendar{saved: saved}, room: newFeedRoom(), bare: &bareFigures{}}
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
	b.words.lang, b.room.lang = b.lang, b.lang
	b.heads = &headings{words: b.words, lang: b.lang, effort: &effort{}, dates: findDateRuns(b.sheets, b.words)}
	b.who = &names{words: b.words, lang: b.lang, known: map[string]bool{}, alias: map[string]string{}}
	b.herd = &herd{words: b.words, who: b.who, byName: map[string]int{}}
	b.places = &dayPlaces{of: map[int][]*dayPlace{}}
	return b
}

// readBook reads a workbook as far as its cells say it one by one.
func readBook(sheets []Sheet, saved time.Time) (*book, error) {
	b := newBook(sheets, saved)
	switch err := b.gather(); {
	case err != nil:
		return nil, err
	case len(b.herd.horses) == 0:
		return nil, ErrNoHorses
	}
	return b, nil
}

// gather goes from the legends to whose each cell is and of what, and which week is planned.
// Each step takes what those before it have found.
func (b *book) gather() error {
	legends := legendReader{words: b.words, lang: b.lang, room: b.room, bare: b.bare}
	legends.readLegends(b.sheets)
	if err := b.regions(); err != nil {
		return err
	}
	b.observe()
	doubts := columnDoubts{tables: b.tables, obs: b.obs, asks: b.asks, lang: b.lang}
	doubts.doubtColumns()
	sortObs(b.obs, b.herd)
	titles := titleReader{words: b.words, sheets: b.sheets, tables: b.tables}
	titles.settleSheets()
	remarks(b.sheets, b.herd, b.lang, b.obs)
	b.week = chooseWeek(b.obs, b.tables, b.sheets, b.cal)
	massUnit(b.lang, b.obs)
	return nil
}

// regions finds what stands where.
func (b *book) regions() error {
	weeks := weekFinder{words: b.words, lang: b.lang, sheets: b.sheets, cal: b.cal}
	weeks.findWeeks()
	weeks.learnDates()
	weeks.firstDayOfWeeks()
	b.who.namesOfTabs(b.heads, b.sheets)
	if err := b.findTables(); err != nil {
		return err
	}
	roles := roleFinder{words: b.words, lang: b.lang, who: b.who}
	for _, t := range b.tables {
		roles.decide(t)
		roles.sortOut(t)
		t.week = b.cal.weekOfRegion(t.g.sheetData, t.placeRow())
		b.cal.dateColumns(b.asks, t)
	}
	b.words.daysOverTables(b.tables)
	forms := formFinder{words: b.words, heads: b.heads, who: b.who, fr: b.formReader()}
	b.forms = forms.findForms(b.sheets, b.tables)
	return nil
}

// findTables finds the tables and the names in them, the second time with the names the
// first has found, if any.
func (b *book) findTables() error {
	find := tableFinder{words: b.words, lang: b.lang, heads: b.heads, who: b.who, effort: b.heads.effort}
	for range 2 {
		before := maps.Clone(b.who.known)
		b.tables = nil
		for _, s := range b.sheets {
			b.tables = append(b.tables, find.tablesOfSheet(s)...)
		}
		if find.effort.tooMany {
			return ErrHeadings
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
	return nil
}

func (b *book) formReader() *formReader {
	return &formReader{words: b.words, lang: b.lang, heads: b.heads}
}

// observe reads the cells of the tables and of the forms.
func (b *book) observe() {
	b.who.aliases(b.tables)
	in := tableReader{words: b.words, lang: b.lang, who: b.who, herd: b.herd, cal: b.cal, places: b.places}
	for _, t := range b.tables {
		if !t.g.blank {
			in.readTable(t)
		}
	}
	b.totals, b.unnamed = in.totals, in.unnamed
	b.obs = append(in.obs, readForms(b.forms, b.formReader(), b.lang, b.herd, b.cal, b.places)...)
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
