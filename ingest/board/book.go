package board

import (
	"slices"
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

	weeks       []rawWeek
	mdy         bool // dates are written month first
	year        int
	guessedYear bool
	firstDay    int // its weeks begin on; Monday 0

	feeds           map[string]*feedInfo
	feedOrder       []string
	distinctFeeds   bool
	anyFeedKg       map[string]float64
	bareAmount      string // all amounts are in
	bareFeed        string
	soleFeed        string
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
	extra           []yard.Finding
	hayCells        int
	mealWords       map[string]string
	mealsUsed       map[string]bool
	askAt           map[string]int

	known       map[string]bool   // names of horses, folded
	notHorses   map[string]string // why a text names none; "": it may
	tables      []*table
	looks       int            // at cells, for the tables
	headingSeen map[*Cell]bool // while tables are looked for, each cell being asked of often
	tooMany     bool
	forms       []*form
	horses      []*horse
	byName      map[string]int
	alias       map[string]string // a shorter name -> the whole one, folded
	obs         []*obs
	unnamed     []*Cell // rows with something in them and no name
	unnamedAt   []*sheetData
	totals      []total
	places      []dayPlace
	writesRest  map[*sheetData]bool
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
		feeds: map[string]*feedInfo{}, anyFeedKg: map[string]float64{}, workRead: map[string]phrase.Work{}, nowOfLast: map[*horse][]*obs{}, askAt: map[string]int{}, mealWords: map[string]string{}, mealsUsed: map[string]bool{}, writesRest: map[*sheetData]bool{}, notHorses: map[string]string{}}
	var texts []string
	for i, s := range sheets {
		d := newSheet(s, i)
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
	b.lang = newLanguage(texts, order)
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
	for range 2 { // the second time with the names the first has found
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
	}
	for _, t := range b.tables {
		b.decide(t)
		b.sortOut(t)
		t.week = b.weekOfRegion(t.g.sheetData, t.placeRow())
		b.dateColumns(t)
	}
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
	if strongNames(b, up) {
		return up
	}
	across := b.tablesOn(turned)
	across = slices.DeleteFunc(across, func(t *table) bool { return !b.acrossNames(t) })
	if headings(b, across) > headings(b, up) {
		return across
	}
	return up
}

// strongNames says whether a table has a heading over its names and more than
// one more.
func strongNames(b *book, ts []*table) bool {
	for _, t := range ts {
		if c := t.g.at(t.head, t.name); c != nil && b.labelOf(c).has("name") {
			n := 0
			for k := t.c1; k <= t.c2; k++ {
				if x := t.g.at(t.head, k); x != nil && b.isHeading(x) {
					n++
				}
			}
			if n >= 3 || n >= 2 && t.h2 > t.h1 {
				return true
			}
		}
	}
	return false
}

func headings(b *book, ts []*table) int {
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
		if b.mayBeName(c) {
			may++
		}
		if !b.known[foldName(c.Text)] && b.lang.isWork(c.Text) {
			work++
		}
		seen[foldName(c.Text)] = true
	}
	if work*2 >= n && n > 0 || len(seen)*10 < n*7 {
		return false // what is done, not who does it
	}
	return like*10 >= n*4 && may*10 >= n*7 && (n > 1 || n == 1 && b.known[foldName(t.g.at(t.h2+1, t.name).shown())])
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
		if strong || b.nameLike(x) {
			b.known[foldName(x.Text)] = true
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
		for key := range k.lab.keys {
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
			if b.known[foldName(x.Text)] || len(b.horsesIn(x.Text)) > 1 {
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

// dateColumns says of each column of work which day it is, and in which week.
func (b *book) dateColumns(t *table) {
	var days []*column
	for _, k := range t.cols {
		if (k.role == workRole || k.role == feedRole) && (k.day >= 0 || len(k.days) > 0 && k.when == unsaid) {
			days = append(days, k)
		}
	}
	if len(days) == 0 {
		return
	}
	// Whole dates settle everything. Without a year and a weekday the first says
	// which week it is.
	if t.week.first.IsZero() && len(days) > 1 && days[0].day < 0 && len(days[0].days) > 0 {
		if first, sure := b.resolve(days[0].days[0], -1); !first.IsZero() && !sure {
			w := *t.week
			w.first, w.from = first, days[0].own
			t.week = &w
			b.guessedYear = true
		}
	}
	for _, k := range days {
		if len(k.days) == 0 {
			continue
		}
		d := k.days[0]
		if d.m == 0 && d.a == 0 {
			continue
		}
		when, sure := b.resolve(d, k.day)
		if when.IsZero() {
			continue
		}
		if !sure {
			if !t.week.first.IsZero() { // the title's year
				if w, _ := b.resolve(date{d: when.Day(), m: int(when.Month()), y: t.week.first.Year()}, -1); !w.IsZero() {
					for _, y := range []int{0, 1, -1} {
						x := makeDate(t.week.first.Year()+y, int(when.Month()), when.Day())
						if !x.IsZero() && abs(int(x.Sub(t.week.first).Hours()/24)) < 60 && (k.day < 0 || weekday(x) == k.day) {
							when = x
						}
					}
				}
			} else {
				b.guessedYear = true
			}
		}
		k.date = when
		if k.day < 0 {
			k.day = weekday(when)
		}
	}
	b.yearOfColumns(t, days)
	for _, k := range days {
		if len(k.span) > 0 && len(k.days) == 0 {
			if first, _ := b.resolve(k.span[0], -1); !first.IsZero() {
				k.date = first.AddDate(0, 0, (k.day-weekday(first)+7)%7)
			}
		}
	}
	// A day of the month alone: found from the week's first day on.
	first := t.week.first
	if !first.IsZero() {
		anchor := -1
		for i, k := range days {
			if k.date.IsZero() && len(k.days) > 0 && k.days[0].d == first.Day() && (k.day < 0 || k.day == weekday(first)) {
				anchor = i
				break
			}
		}
		if anchor >= 0 {
			step := 0
			var last *column
			for i := anchor; i < len(days); i++ {
				if last != nil && days[i].days != nil && (len(last.days) == 0 || days[i].days[0].d != last.days[0].d) {
					step++
				}
				if len(days[i].days) > 0 && days[i].date.IsZero() {
					days[i].date = first.AddDate(0, 0, step)
				}
				last = days[i]
			}
			step = 0
			last = days[anchor]
			for i := anchor - 1; i >= 0; i-- {
				if len(days[i].days) > 0 && days[i].days[0].d != last.days[0].d {
					step--
				}
				if len(days[i].days) > 0 && days[i].date.IsZero() {
					days[i].date = first.AddDate(0, 0, step)
				}
				last = days[i]
			}
		}
	}
	for _, k := range days {
		if k.day < 0 && !k.date.IsZero() {
			k.day = weekday(k.date)
		}
	}
	// Neither: the order of the days, one group of seven after another.
	undated := slices.DeleteFunc(slices.Clone(days), func(k *column) bool { return !k.date.IsZero() })
	if len(undated) == len(days) {
		group, seen := 0, map[int]int{}
		for i, k := range days {
			if k.day < 0 && len(k.days) > 0 && len(days) == 7 { // days of a month nobody knows
				k.day = (b.firstDay + i) % 7
			}
			if n, ok := seen[k.day]; ok && n == group && (i == 0 || days[i-1].day != k.day) {
				group++
			}
			seen[k.day] = group
			k.groupNo = group
		}
		if group > 0 {
			b.nameGroups(t, days, group)
		}
	}
	b.titleAgainstDays(t, days)
	if t.week.first.IsZero() {
		for _, k := range days {
			if !k.date.IsZero() && !k.lab.has("lastweek") {
				if s := b.weekStart(k.date); s.After(t.week.first) {
					t.week = &weekOf{first: s, rel: t.week.rel, from: k.own}
				}
			}
		}
	}
}

// yearOfColumns takes the year of a table's week from its columns where all of them name
// weekdays with their dates and agree with each other, and not with the year that was
// guessed for the title: seven weekdays say more than the likeliest Monday.
func (b *book) yearOfColumns(t *table, days []*column) {
	first := t.week.first
	if first.IsZero() || len(days) < 5 {
		return
	}
	var least time.Time
	for _, k := range days {
		if k.date.IsZero() || weekday(k.date) != k.day || abs(int(k.date.Sub(first).Hours()/24)) < 300 {
			return
		}
		if least.IsZero() || k.date.Before(least) {
			least = k.date
		}
	}
	w := *t.week
	w.first = b.weekStart(least)
	t.week = &w
}

// titleAgainstDays asks where a table's title and the dated days of its columns lie weeks
// apart. The days count: there are seven of them.
func (b *book) titleAgainstDays(t *table, days []*column) {
	first := t.week.first
	if first.IsZero() || len(days) < 5 {
		return
	}
	var least, last time.Time
	for _, k := range days {
		if k.date.IsZero() || k.day >= 0 && weekday(k.date) != k.day {
			return
		}
		if least.IsZero() || k.date.Before(least) {
			least = k.date
		}
		if k.date.After(last) {
			last = k.date
		}
	}
	if !first.Before(least.AddDate(0, 0, -7)) && !first.After(last.AddDate(0, 0, 7)) {
		return
	}
	word := t.g.Name
	if t.week.from != nil {
		word = t.week.from.Text
	}
	b.addAsk("weeks\x00"+t.g.Name, ask{rule: "week-unknown", why: "days", word: word, cell: t.week.from, sheet: t.g.sheetData})
	w := *t.week
	w.first = b.weekStart(last)
	t.week = &w
}

// nameGroups says which group of days is which week, by the heading over it; the
// last of them is the coming one.
func (b *book) nameGroups(t *table, days []*column, groups int) {
	for _, k := range days {
		l := k.lab
		switch {
		case l.has("nextweek"):
			k.shift = 0
		case l.has("lastweek"):
			k.shift = -1
		default:
			k.shift = k.groupNo - groups
		}
	}
}
