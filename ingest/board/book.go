package board

import (
	"maps"
	"slices"
	"strconv"
	"time"

	"hardfeed/ingest/phrase"
	"hardfeed/ration/yard"
)

// book is a workbook while it is read.
type book struct {
	sheets []*sheetData
	words  *vocabulary
	lang   *language
	saved  time.Time // when the workbook was last saved; zero: not said

	weeks        []rawWeek
	mdy          bool // dates are written month first
	year         int
	guessedYear  bool
	doubtfulYear bool // nothing but a likely weekday speaks for the year
	firstKnown   bool // firstDay is what the book says
	firstDay     int  // its weeks begin on; Monday 0

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
	dateRuns        map[*Cell]bool // cells in a row of dates
	workRead        map[string]phrase.Work
	nowOfLast       map[*horse][]*obs
	target          time.Time
	targetRel       int
	asked           []ask
	quiet           bool // nothing is asked just now
	extra           []yard.Finding
	hayCells        int
	mealsUsed       map[string]bool
	askAt           map[string]int

	known      map[string]bool // names of horses, folded
	tables     []*table
	looks      int // at cells, for the tables
	tooMany    bool
	forms      []*form
	horses     []*horse
	byName     map[string]int
	alias      map[string]string // a shorter name -> the whole one, folded
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
	b := &book{words: newVocabulary(), saved: saved, known: map[string]bool{}, byName: map[string]int{}, alias: map[string]string{},
		feeds: map[string]*feedInfo{}, anyFeedKg: map[string]float64{}, workRead: map[string]phrase.Work{}, nowOfLast: map[*horse][]*obs{}, placesOf: map[int][]*dayPlace{}, askAt: map[string]int{}, mealsUsed: map[string]bool{}, writesRest: map[*sheetData]bool{}}
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
	b.findDateRuns()
	return b
}

// regions finds what stands where.
func (b *book) regions() {
	b.findWeeks()
	b.learnDates()
	b.firstDayOfWeeks()
	b.namesOfTabs()
	for range 2 { // the second time with the names the first has found, if any
		before := maps.Clone(b.known)
		b.tables = nil
		for _, s := range b.sheets {
			b.tables = append(b.tables, b.tablesOfSheet(s)...)
		}
		if b.tooMany {
			return
		}
		for _, t := range b.tables {
			if !t.g.blank {
				b.learnNames(t)
			}
		}
		b.forgetTeams()
		if maps.Equal(before, b.known) {
			break
		}
	}
	for _, t := range b.tables {
		b.decide(t)
		b.sortOut(t)
		t.week = b.weekOfRegion(t.g.sheetData, t.placeRow())
		b.dateColumns(t)
	}
	b.daysOverTables()
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
func (b *book) tablesOfSheet(s *sheetData) []*table {
	upright, turned := grid{s, false}, grid{s, true}
	up := b.tablesOn(upright)
	if b.strongNames(up) {
		return up
	}
	across := b.tablesOn(turned)
	across = slices.DeleteFunc(across, func(t *table) bool { return !b.acrossNames(t) })
	if b.countHeadings(across) > b.countHeadings(up) {
		return across
	}
	return up
}

// strongNames says whether a table has a heading over its names and more than
// one more.
func (b *book) strongNames(ts []*table) bool {
	for _, t := range ts {
		if c := t.g.at(t.head, t.name); c != nil && b.labelOf(c).has("name") {
			n := len(b.headRow(t.g, t.head).within(t.g, t.c1, t.c2).heads)
			if n >= 3 || n >= 2 && t.h2 > t.h1 {
				return true
			}
		}
	}
	return false
}

// countHeadings counts the columns of tables with a heading over them.
func (b *book) countHeadings(ts []*table) int {
	n := 0
	for _, t := range ts {
		for k := t.c1; k <= t.c2; k++ {
			if x := t.g.over(t.head, k); x != nil && b.isHeading(x) {
				n++
			}
		}
	}
	return n
}

// acrossNames says whether what would be the horses of a turned table are names.
func (b *book) acrossNames(t *table) bool {
	n, like, may, work := 0, 0, 0, 0
	seen := map[string]bool{}
	for r := t.h2 + 1; r < t.end; r++ {
		c := t.g.at(r, t.name)
		if c == nil {
			continue
		}
		n++
		if b.nameLike(c) {
			like++
		}
		if b.mayBeName(c) || isWhole(c) || b.labelOf(c).full() && b.labelOf(c).day < 0 {
			may++ // beside names, a number or a word for something else is one too
		}
		if !b.knows(c) && b.lang.isWork(c.Text) {
			work++
		}
		seen[b.nameOf(c)] = true
	}
	if work*2 >= n && n > 0 || len(seen)*10 < n*7 {
		return false // what is done, not who does it
	}
	return like*10 >= n*4 && may*10 >= n*7 && (n > 1 || n == 1 && b.known[foldName(t.g.at(t.h2+1, t.name).shown())])
}

// isWhole says whether a cell is a whole number and nothing else.
func isWhole(c *Cell) bool {
	_, err := strconv.Atoi(c.Text)
	return (c.Kind == Number || c.Kind == Text) && err == nil
}

// forgetTeams takes back names that are two or more others: "Pip & Dot".
func (b *book) forgetTeams() {
	for _, name := range sortedKeys(b.known) {
		parts := between.Split(name, -1)
		if len(parts) < 2 {
			continue
		}
		all := true
		for _, p := range parts {
			all = all && b.known[foldName(p)]
		}
		if all {
			delete(b.known, name)
		}
	}
}

// learnNames takes the names of a table for horses'.
func (b *book) learnNames(t *table) {
	c := t.g.at(t.head, t.name)
	strong := c != nil && b.labelOf(c).has("name")
	for r := t.h2 + 1; r < t.end; r++ {
		x := t.g.at(r, t.name)
		if x == nil || x.Kind == Wrong || x.Kind == Uncached || dash(x.Text) || ditto(x.Text) || b.notAHorse(x.Text) != "" && !b.fullRow(t, r) || len(x.Text) > 40 {
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
		if len(b.horsesIn(x.Text)) > 1 || b.horsesIn(x.Text)[0] != x.Text {
			continue // a team of known ones
		}
		if strong || b.nameLike(x) || b.notAHorse(x.Text) == aTotal {
			b.known[b.nameOf(x)] = true
		}
	}
}

// namesOfTabs takes the names of tabs that are of one form for horses'.
func (b *book) namesOfTabs() {
	by := map[string][]*sheetData{}
	for _, s := range b.sheets {
		if sig := b.signature(s); sig != "" {
			by[sig] = append(by[sig], s)
		}
	}
	for _, ss := range by {
		if len(ss) < 2 {
			continue
		}
		for _, s := range ss {
			l := b.words.read(s.Name)
			if l.full() || hasDigit(s.Name) {
				continue
			}
			for i := range s.Sheet.Cells {
				if c := &s.Sheet.Cells[i]; c.Row <= 3 && c.Kind == Text && foldName(c.Text) == foldName(s.Name) {
					b.known[foldName(s.Name)] = true
				}
			}
		}
	}
}

// sortOut finds tables that hold nothing of a horse's week.
func (b *book) sortOut(t *table) {
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
			if b.knows(x) || len(b.horsesIn(x.Text)) > 1 {
				known++
			}
		}
	}
	switch {
	case name != nil && b.labelOf(name).has("staff"):
		t.kind = "staff"
	case (has["price"] || has["pack"]) && roles[workRole] == 0 && roles[weightRole] == 0:
		t.kind = "price"
	case has["farrier"] && roles[workRole]+roles[feedRole]+roles[weightRole] == 0:
		t.kind = "farrier"
	case useful == 0 && roles[hayRole] == 0:
		t.kind = "other"
	case b.labelsOfSheetHas(t.g.sheetData, "staff") && roles[feedRole]+roles[weightRole] == 0 && known*2 < n:
		t.kind = "staff"
	}
}

func (b *book) labelsOfSheetHas(s *sheetData, keys ...string) bool {
	return b.words.read(s.Name).has(keys...)
}
