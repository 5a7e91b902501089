package board

import (
	"errors"
	"maps"
	"time"

	"hardfeed/ingest/phrase"
	"hardfeed/ration/yard"
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

// Read reads a workbook laid out in the yard's own way. saved is when it was last
// saved, which tells the year where none is written; zero if not known. The
// second result says whether any horses were found.
func Read(name string, sheets []Sheet, saved time.Time) (yard.Week, error) {
	b, err := readBook(sheets, saved)
	if err != nil {
		return yard.Week{}, err
	}
	return b.result(b.newFacts()), nil
}

// Trace is [Read] with where the facts of the week stand.
func Trace(name string, sheets []Sheet, saved time.Time) (yard.Week, *Whence, bool) {
	b, err := readBook(sheets, saved)
	if err != nil {
		return yard.Week{}, nil, false
	}
	fs := b.newFacts()
	w := b.result(fs)
	tc := tracer{sheets: b.sheets, tables: b.tables, obs: b.obs, lang: b.lang, words: b.words, cal: b.cal, week: b.week, herd: b.herd,
		feeding: fs.feeding, amounts: fs.feeding.amounts, room: b.room, bare: b.bare, work: fs.feeding.work}
	return w, tc.whence(), true
}

// Why a workbook could not be read.
var (
	ErrNoHorses = errors.New("no rows are horses")
	ErrHeadings = errors.New("too many headings")
)
