package ingest

import (
	"cmp"
	"errors"
	"math"
	"path/filepath"
	"strings"
	"time"

	"hardfeed/ingest/board"
	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// Options is what a yard's settings may tell the reader.
type Options struct {
	// Synonyms adds header words to the built-in ones, by column key; see
	// [ColumnKeys].
	Synonyms map[string][]string
}

// ReadFile reads the workbook at path. See [Read].
func ReadFile(path string, opt Options) (yard.Week, error) {
	data, err := xlsx.FileBytes(path)
	if err != nil {
		return yard.Week{}, err
	}
	return Read(filepath.Base(path), data, opt)
}

// Read turns the bytes of a workbook into a week. Name is the file's name and
// serves only the sentences and, where no yard is named, the yard's name.
//
// The error, if any, is a [*xlsx.Refused]: nothing could be taken from the file.
// Anything less is a finding of the week. The same bytes give the same week.
func Read(name string, data []byte, opt Options) (yard.Week, error) {
	return readWith(name, data, xlsx.Open, opt)
}

func readWith(name string, data []byte, open func(string, []byte) (*xlsx.Book, error), opt Options) (week yard.Week, err error) {
	// A panic must cost this workbook only. The other places are [Trace] and [Corrections].
	defer func() {
		if p := recover(); p != nil {
			week, err = yard.Week{}, xlsx.Fault(name, p)
		}
	}()
	book, err := open(name, data)
	if err != nil {
		return yard.Week{}, err
	}
	return readBook(name, book, opt)
}

func readBook(name string, book *xlsx.Book, opt Options) (yard.Week, error) {
	week, err := readLayout(name, book, opt)
	if err == nil && epochDoubtful(week.Beginning, book.Saved) {
		week.Findings = append(week.Findings, yard.Finding{Rule: "week-epoch", Severity: yard.Warn,
			Saying: yard.Say("finding.week-epoch", yard.Arg{Name: "week", Value: yard.Date{Date: week.Beginning, Year: true}}, yard.Arg{Name: "saved", Value: yard.Date{Date: book.Saved, Year: true}})})
		yard.SortFindings(week.Findings)
	}
	return week, err
}

// epochDoubtful says whether a week lies from the day the workbook was saved about as far
// as the two ways to count days do from each other, from 1900 and from 1904: 1,462 days.
// A yard writes its plan within a few months.
func epochDoubtful(week, saved time.Time) bool {
	if week.IsZero() || saved.IsZero() {
		return false
	}
	away := math.Abs(week.Sub(saved).Hours() / 24)
	return math.Abs(away-1462) <= 200
}

func readLayout(name string, book *xlsx.Book, opt Options) (yard.Week, error) {
	if book.Ours {
		return yard.Week{}, xlsx.Refuse(nil, yard.Say("refused.ours", yard.Named("file", yard.Place, name)))
	}
	sheets := sheetsOf(book)
	first := newReader(opt)
	first.sort(sheets)
	if !first.isPlain(sheets) {
		week, err := readOwnLayout(name, sheets, book.Saved)
		switch {
		case err == nil:
			return week, nil
		case errors.Is(err, board.ErrHeadings):
			return yard.Week{}, xlsx.Refuse(err, yard.Say("refused.more", yard.Named("file", yard.Place, name), yard.Said("what", yard.Say("part.more.headings"))))
		}
		// The plain layout would pass over what is under headings it does not
		// know: a horse that is fed would get a card without its feed.
		if _, err := understand(name, sheets, book.Lost, opt); err != nil {
			return yard.Week{}, err
		}
		return yard.Week{}, xlsx.Refuse(nil, yard.Say("refused.no rows", yard.Named("file", yard.Place, name)))
	}
	return understand(name, sheets, book.Lost, opt)
}

// reader gathers the week.
type reader struct {
	week   yard.Week
	vocab  vocabulary
	tables map[sheetKind][]table

	names     names // of the horses
	twice     map[string][]yard.Cell
	feedAt    map[string]int
	feedsLike map[string][]string // plain name -> the feeds so called; nil: to be gathered
	sessions  map[string]yard.Session
	badFeed   map[string]yard.Saying   // folded feed name -> why no horse fed it gets a card
	mealsSet  bool                     // the yard sheet names the meals
	noted     map[string]bool          // things said once
	lineFrom  map[string]string        // horse, feed and meal -> the sheet its line was read from
	fedHorse  map[string]bool          // horses with a line on a rations sheet
	owner     map[string]string        // sheet -> the one horse it is about
	bareUnit  map[string]string        // "weight" or "length" -> the unit of numbers without one
	yardAt    yard.Cell                // where the yard's settings stand
	dated     *datedRations            // of the rations table that is being read; nil: it has no weeks
	history   map[yard.Cell]bool       // amounts of weeks that are over, where a table keeps several
	willBeNow map[yard.Cell]bool       // and those of the week itself, which next week are fed now
	work      *workWords               // what work cells are read by
	amounts   map[[2]string]amountRead // by text and feed
	sameNow   map[string]bool          // texts of planned amounts: nothing changes
	workRead  map[string]workCellRead
	workText  int                           // characters read into it
	found     map[[2]string]int             // findings by rule and horse
	later     map[string]map[int]*laterWeek // by horse and weeks after this one

	misread     int // entries of horses that could not be taken as they stand
	namedRows   map[sheetKind]rowsByName
	mostMisread int // reading ends above it
	lastMisread yard.Cell
	inOneCell   int            // findings of it
	firstFew    []yard.Finding // of them
}

// workCellRead is the text of a work cell, read.
type workCellRead struct {
	day      yard.Day
	problems []Problem
}

func (r *reader) find(rule string, sev yard.Severity, horse string, c yard.Cell, says yard.Saying) {
	f := yard.Finding{Rule: yard.RuleID(rule), Severity: sev, Horse: horse, Cell: c, Saying: says}
	misread := horse != "" && meanwhile[rule] != ""
	if misread {
		if c.Ref != r.lastMisread.Ref || c.Sheet != r.lastMisread.Sheet {
			r.lastMisread, r.inOneCell = c, 0
		}
		// A few words of one cell are one thing that could not be understood.
		if r.inOneCell++; r.inOneCell == 1 || r.inOneCell > 4 {
			r.misread++
		}
	}
	kind := [2]string{rule, horse}
	if r.found[kind]++; r.found[kind] > mostFindings {
		return // finish says how many
	}
	r.week.Findings = append(r.week.Findings, f)
	if misread && len(r.firstFew) < 3 {
		r.firstFew = append(r.firstFew, f)
	}
}

// What no yard has: a workbook with more is hostile or not a yard's, and is
// refused before anything is worked out or drawn from it.
const (
	maxHorses      = 10_000 // the plan and the sheets of each need a quarter of a megabyte
	mostFeeds      = 1000
	mostMeals      = 24
	mostMeasures   = 100
	mostSessions   = 1000
	mostHorseLines = 200       // rows of the rations sheet for one horse
	mostFindings   = 500       // of one rule for one horse, or for the yard: nobody reads on
	mostCellText   = 1_000     // characters of work or diagnoses in one cell
	mostWorkText   = 2_000_000 // of work in all, the same text counted once
	// Entries of horses that could not be understood, and how many a horse may have of
	// them in a large yard: a column or two may be wrong from top to bottom, but where
	// most are, it is not this workbook that is meant.
	mostMisread      = 10_000
	mostMisreadHorse = 5
	// Rows for horses that nobody lists, of a yard of more horses than that, where they are
	// more than half: a few hundred are last year's, but these were not written for this
	// list of horses.
	mostStrangeRows = 1_000
)

// rowsByName are the rows of a kind of sheet that are for a horse, and of them those for a
// horse that is not listed.
type rowsByName struct{ all, strange int }

// strangers is the refusal where most rows of a kind of sheet are for horses that are not
// listed; nil where they are not. A card without them would be a guess for every horse.
func (r *reader) strangers(name string) error {
	for _, kind := range []sheetKind{rationsKind, workKind} {
		n := r.namedRows[kind]
		if len(r.week.Horses) <= mostStrangeRows || n.strange <= mostStrangeRows || n.strange*2 <= n.all {
			continue
		}
		var few []yard.Saying
		for _, f := range r.week.Findings {
			if f.Rule == "horse-unknown" && len(few) < 3 {
				few = append(few, yard.Say("part.given up", yard.Named("cell", yard.Place, f.Cell.String()), yard.Said("what", f.Saying)))
			}
		}
		return xlsx.Refuse(nil, yard.Say("refused.given up", yard.Named("file", yard.Place, name), yard.Count("n", n.strange), yard.SayingList("first", yard.Semicolon, few)))
	}
	return nil
}

// givenUp is the refusal where too many cells could not be understood; nil where
// they could.
func (r *reader) givenUp(name string) error {
	if r.misread <= r.mostMisread {
		return nil
	}
	var few []yard.Saying
	for _, f := range r.firstFew {
		few = append(few, yard.Say("part.given up", yard.Named("cell", yard.Place, f.Cell.String()), yard.Said("what", f.Saying)))
	}
	return xlsx.Refuse(nil, yard.Say("refused.given up", yard.Named("file", yard.Place, name), yard.Count("n", r.misread), yard.SayingList("first", yard.Semicolon, few)))
}

// tooMuch says of what there is more than any yard has; nothing if of nothing.
func (r *reader) tooMuch() yard.Saying {
	lines := map[string]int{}
	for _, l := range r.week.Lines {
		k := fold(l.Horse)
		if lines[k]++; lines[k] > mostHorseLines {
			return yard.Say("part.more.lines", yard.Count("most", mostHorseLines), yard.Named("horse", yard.HorseName, l.Horse))
		}
	}
	switch {
	case len(r.week.Feeds) > mostFeeds:
		return yard.Say("part.more.feeds", yard.Count("most", mostFeeds))
	case len(r.week.Meals) > mostMeals:
		return yard.Say("part.more.meals", yard.Count("most", mostMeals))
	case len(r.week.Measures) > mostMeasures:
		return yard.Say("part.more.measures", yard.Count("most", mostMeasures))
	case len(r.sessions) > mostSessions:
		return yard.Say("part.more.sessions", yard.Count("most", mostSessions))
	}
	return yard.Saying{}
}

// once reports a thing only the first time it is met.
func (r *reader) once(key, rule string, sev yard.Severity, c yard.Cell, says yard.Saying) {
	if !r.noted[key] {
		r.noted[key] = true
		r.find(rule, sev, "", c, says)
	}
}

// fold makes two spellings of one name equal: case and blanks do not count.
func fold(name string) string {
	if isPlain(name) && !strings.Contains(name, "  ") {
		return strings.ToLower(strings.TrimSpace(name))
	}
	return strings.Join(strings.Fields(strings.ToLower(tidy(name))), " ")
}

func newReader(opt Options) *reader {
	return &reader{
		vocab: newVocabulary(opt.Synonyms), tables: map[sheetKind][]table{},
		names: newNames(), twice: map[string][]yard.Cell{}, feedAt: map[string]int{},
		sessions: map[string]yard.Session{}, badFeed: map[string]yard.Saying{}, noted: map[string]bool{}, history: map[yard.Cell]bool{}, willBeNow: map[yard.Cell]bool{},
		lineFrom: map[string]string{}, namedRows: map[sheetKind]rowsByName{}, fedHorse: map[string]bool{}, owner: map[string]string{}, bareUnit: map[string]string{}, amounts: map[[2]string]amountRead{}, sameNow: map[string]bool{}, workRead: map[string]workCellRead{}, found: map[[2]string]int{}, later: map[string]map[int]*laterWeek{},
	}
}

func understand(name string, sheets []*sheet, lost int, opt Options) (yard.Week, error) {
	return newReader(opt).understand(name, sheets, lost)
}

func (r *reader) understand(name string, sheets []*sheet, lost int) (yard.Week, error) {
	r.week.Paper = "A4"
	r.week.Read.Sheets = len(sheets)
	for _, s := range sheets {
		r.week.Read.Rows += len(s.Rows)
	}
	if lost > 0 {
		r.find("cells-missing", yard.Warn, "", yard.Cell{}, yard.Say("finding.cells-missing", yard.Count("n", lost)))
	}
	r.sort(sheets)
	if r.vocab.tables > mostTables {
		return yard.Week{}, xlsx.Refuse(nil, yard.Say("refused.more.tables", yard.Named("file", yard.Place, name), yard.Count("most", mostTables)))
	}
	r.readYard(name)
	if what := r.tooMuch(); !what.Empty() { // every heading is compared with the meals
		return yard.Week{}, xlsx.Refuse(nil, yard.Say("refused.more", yard.Named("file", yard.Place, name), yard.Said("what", what)))
	}
	var meals []string
	for _, m := range r.week.Meals {
		meals = append(meals, m.Name)
	}
	if feeds := r.feedHeadings(); len(meals)+len(feeds) > 0 {
		// Columns of the rations sheet carry the yard's own meals and feeds.
		r.vocab.learn(meals, feeds)
		r.sort(sheets)
	}
	r.mostMisread = max(mostMisread, mostMisreadHorse*r.rowsIn(horsesKind))
	r.nameMeals()
	r.readSessions()
	r.readHorses()
	if len(r.week.Horses) == 0 {
		if blankStarter(r.tables[horsesKind]) {
			return yard.Week{}, xlsx.Refuse(nil, yard.Say("refused.blank", yard.Named("file", yard.Place, name), yard.Named("sheet", yard.Place, r.tables[horsesKind][0].sheet.Name), yard.Count("row", r.tables[horsesKind][0].sheet.Rows[r.tables[horsesKind][0].head].N+1)))
		}
		return yard.Week{}, xlsx.Refuse(nil, yard.Say("refused.no horses", yard.Named("file", yard.Place, name), yard.Said("expected", expected(horsesKind)), yard.Said("sheets", sheetNames(sheets))))
	}
	if len(r.week.Horses) > maxHorses {
		return yard.Week{}, xlsx.Refuse(nil, yard.Say("refused.too many horses", yard.Named("file", yard.Place, name), yard.Count("most", maxHorses)))
	}
	r.giveOwners()
	r.readWeights()
	r.sortWeighings()
	r.readFeeds()
	r.readRations()
	if what := r.tooMuch(); !what.Empty() {
		return yard.Week{}, xlsx.Refuse(nil, yard.Say("refused.more", yard.Named("file", yard.Place, name), yard.Said("what", what)))
	}
	if err := r.strangers(name); err != nil {
		return yard.Week{}, err
	}
	r.readWork()
	if r.workText > mostWorkText {
		return yard.Week{}, xlsx.Refuse(nil, yard.Say("refused.more.work", yard.Named("file", yard.Place, name), yard.Count("most", mostWorkText)))
	}
	if err := cmp.Or(r.givenUp(name), r.strangers(name)); err != nil {
		return yard.Week{}, err
	}
	r.finish()
	return r.week, nil
}

// blankStarter says whether a horses sheet is there and nobody has written in
// it yet.
func blankStarter(ts []table) bool {
	for _, t := range ts {
		if t.head+1 < len(t.sheet.Rows) {
			return false
		}
	}
	return len(ts) > 0
}

// finish adds what can only be said once everything has been read.
func (r *reader) finish() {
	for k, why := range map[sheetKind]yard.Saying{
		workKind:  yard.Say("part.sheet-missing.work"),
		feedsKind: yard.Say("part.sheet-missing.feeds"),
	} {
		if len(r.tables[k]) == 0 {
			r.find("sheet-missing", yard.Warn, "", yard.Cell{}, yard.Say("finding.sheet-missing", yard.Said("why", why), yard.Said("expected", expected(k))))
		}
	}
	if len(r.tables[rationsKind]) == 0 {
		r.find("sheet-missing", yard.Warn, "", yard.Cell{}, yard.Say("finding.sheet-missing.rations", yard.Said("expected", expected(rationsKind))))
	}
	for i := range r.week.Horses {
		h := &r.week.Horses[i]
		if len(r.tables[rationsKind]) > 0 && !r.fedHorse[h.Name] {
			r.find("rations-missing", yard.Warn, h.Name, h.Cell, yard.Say("finding.rations-missing", yard.Named("horse", yard.HorseName, h.Name)))
		}
		if cells := r.twice[plainName(h.Name)]; len(cells) > 0 {
			all := h.Cell.Ref
			for _, c := range cells {
				all += ", " + c.Ref
				if c.Sheet != h.Cell.Sheet {
					all += " on " + c.Sheet
				}
			}
			h.NoCard = append(h.NoCard, yard.Say("reason.twice", yard.Named("cells", yard.Place, all)))
		}
	}
	for kind, n := range r.found { // sorted below
		if n > mostFindings {
			r.week.Findings = append(r.week.Findings, yard.Finding{Rule: yard.RuleID(kind[0]), Severity: yard.Warn, Horse: kind[1],
				Saying: yard.Say("finding.more", yard.Count("n", n-mostFindings), yard.Named("rule", yard.RuleName, kind[0]))})
		}
	}
	r.week.Read.Horses = len(r.week.Horses)
	yard.SortFindings(r.week.Findings)
}

// dayIndex is the day of the week from its beginning.
func (r *reader) dayIndex(w time.Weekday) int {
	first := time.Monday
	if !r.week.Beginning.IsZero() {
		first = r.week.Beginning.Weekday()
	}
	return (int(w) - int(first) + 7) % 7
}
