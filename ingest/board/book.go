package board

import (
	"errors"
	"maps"
	"time"

	"hardfeed/ingest/phrase"
	"hardfeed/ration/yard"
)

// Read reads a workbook laid out in the yard's own way. saved is when it was last
// saved, which tells the year where none is written; zero if not known. Errors are
// [ErrNoHorses] and [ErrHeadings].
func Read(sheets []Sheet, saved time.Time) (yard.Week, error) {
	b, err := readBook(sheets, saved)
	if err != nil {
		return yard.Week{}, err
	}
	return b.result(b.newFacts()), nil
}

// Trace is [Read] with where the facts of the week stand.
func Trace(sheets []Sheet, saved time.Time) (yard.Week, *Whence, bool) {
	b, err := readBook(sheets, saved)
	if err != nil {
		return yard.Week{}, nil, false
	}
	fs := b.newFacts()
	w := b.result(fs)
	return w, b.whence(fs), true
}

// Why a workbook could not be read.
var (
	ErrNoHorses = errors.New("no rows are horses")
	ErrHeadings = errors.New("too many headings")
)

// book is a workbook whose cells have been read one by one: whose each is, and of what.
type book struct {
	pages pages
	asks  *questions
	room  *feedRoom    // what its legends say of feeds
	bare  *bareFigures // and of figures alone
	found regions
	seen  observed
	week  plannedWeek
}

// pages are the tabs of a workbook, with the words they are read by.
type pages struct {
	sheets []*sheetData
	words  *vocabulary
	lang   *language
	heads  *headings
}

// regions are what stands where, of whom and of which weeks.
type regions struct {
	tables []*table
	lists  []*timetable
	forms  []*form
	who    *names
	cal    *calendar
}

// observed is what the cells of the regions are, one by one.
type observed struct {
	herd    *herd
	obs     []*obs
	places  *dayPlaces
	totals  []total
	unnamed []nameless
}

// readBook goes from the legends to the week that is planned. Each step takes what those
// before it have found.
func readBook(sheets []Sheet, saved time.Time) (*book, error) {
	p, asks := newPages(sheets), newQuestions()
	room, bare := readLegends(p)
	found, err := findRegions(p, saved, asks)
	if err != nil {
		return nil, err
	}
	seen := observe(p, found, bare)
	if len(seen.herd.horses) == 0 {
		return nil, ErrNoHorses
	}
	doubts := columnDoubts{tables: found.tables, obs: seen.obs, asks: asks, lang: p.lang}
	doubts.doubtColumns()
	seen.herd.take(seen.obs)
	titles := titleReader{words: p.words, sheets: p.sheets, tables: found.tables}
	titles.settleSheets()
	weightsBeside(p.sheets, seen.herd, p.lang)
	remarks(p.sheets, seen.herd, p.lang, seen.obs)
	week := chooseWeek(seen.obs, found.tables, p.sheets, found.cal)
	found.cal.beginLike(week)
	return &book{p, asks, room, bare, found, seen, week}, nil
}

// newPages makes a workbook's words ready to be read.
func newPages(sheets []Sheet) pages {
	p := pages{words: newVocabulary()}
	var texts []string
	for _, s := range sheets {
		d := newSheet(s)
		p.sheets = append(p.sheets, d)
		texts = append(texts, s.Name)
		for k := range d.Sheet.Cells {
			if c := &d.Sheet.Cells[k]; c.Kind == Text && len(c.Text) < 60 {
				texts = append(texts, c.Text)
			}
		}
	}
	order := phrase.Languages(texts)
	p.words.language = order[0]
	p.lang = newLanguage(texts, order, p.words.memo)
	p.words.lang = p.lang
	p.writeColours()
	p.heads = &headings{words: p.words, lang: p.lang, effort: &effort{}, dates: findDateRuns(p.sheets, p.words)}
	return p
}

// findRegions finds what stands where: weeks and names first, for tables and forms are
// found by them.
func findRegions(p pages, saved time.Time, asks *questions) (regions, error) {
	found := regions{cal: &calendar{saved: saved}, who: newNames(p.words, p.lang)}
	weeks := weekFinder{words: p.words, lang: p.lang, sheets: p.sheets, cal: found.cal}
	weeks.findWeeks()
	weeks.learnDates()
	weeks.firstDayOfWeeks()
	found.who.namesOfTabs(p.heads, p.sheets)
	var err error
	if found.tables, err = findTables(p, found.who); err != nil {
		return found, err
	}
	plans := timetableFinder{words: p.words, lang: p.lang, who: found.who}
	found.lists, found.tables = plans.findTimetables(p.sheets, found.tables)
	roles := roleFinder{words: p.words, lang: p.lang, who: found.who}
	for _, t := range found.tables {
		roles.decide(t)
		roles.sortOut(t)
		t.week = found.cal.weekOfRegion(t.g.page, t.placeRow())
		found.cal.weekOfColumns(t)
		found.cal.dateColumns(asks, t)
	}
	p.words.daysOverTables(found.tables)
	forms := formFinder{words: p.words, heads: p.heads, who: found.who, reader: p.formReader()}
	found.forms = forms.findForms(p.sheets, found.tables)
	return found, nil
}

// findTables finds the tables and the names in them, the second time with the names the
// first has found, if any.
func findTables(p pages, who *names) (tables []*table, err error) {
	find := tableFinder{words: p.words, lang: p.lang, heads: p.heads, who: who, effort: p.heads.effort}
	for range 2 {
		before := maps.Clone(who.known)
		tables = nil
		for _, s := range p.sheets {
			tables = append(tables, find.tablesOfSheet(s)...)
		}
		if find.effort.tooMany {
			return nil, ErrHeadings
		}
		for _, t := range tables {
			if !t.g.page.blank && t.kind == "" {
				who.learnNames(t)
			}
		}
		who.forgetTeams()
		if maps.Equal(before, who.known) {
			break
		}
	}
	return tables, nil
}

func (p pages) formReader() *formReader {
	return &formReader{words: p.words, lang: p.lang, heads: p.heads}
}

// observe reads the cells of the tables and of the forms.
func observe(p pages, found regions, bare *bareFigures) observed {
	found.who.aliases(found.tables)
	herd, places := newHerd(p.words, found.who), newDayPlaces()
	read := tableReader{words: p.words, lang: p.lang, who: found.who, herd: herd, cal: found.cal, places: places}
	for _, t := range found.tables {
		if !t.g.page.blank {
			read.readTable(t)
		}
	}
	plans := timetableFinder{words: p.words, lang: p.lang, who: found.who}
	lessons := plans.readTimetables(found.lists, bare, herd, found.cal, places)
	forms := readForms(found.forms, p.formReader(), p.lang, herd, found.cal, places)
	return observed{herd: herd, obs: append(append(read.obs, lessons...), forms...), places: places, totals: read.totals, unnamed: read.unnamed}
}
