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
	go cellWords() // they take as long to make ready as a small workbook to open
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
	if first := newLayout(newLog(), opt); !first.isPlain(sheets) {
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

// tooMuch says of what there is more than any yard has; nothing if of nothing.
func tooMuch(lines []yard.Line, feeds []yard.Feed, meals []yard.Meal, ms measures, sessions int) yard.Saying {
	ofHorse := map[string]int{}
	for _, l := range lines {
		k := fold(l.Horse)
		if ofHorse[k]++; ofHorse[k] > mostHorseLines {
			return yard.Say("part.more.lines", yard.Count("most", mostHorseLines), yard.Named("horse", yard.HorseName, l.Horse))
		}
	}
	switch {
	case len(feeds) > mostFeeds:
		return yard.Say("part.more.feeds", yard.Count("most", mostFeeds))
	case len(meals) > mostMeals:
		return yard.Say("part.more.meals", yard.Count("most", mostMeals))
	case len(ms) > mostMeasures:
		return yard.Say("part.more.measures", yard.Count("most", mostMeasures))
	case sessions > mostSessions:
		return yard.Say("part.more.sessions", yard.Count("most", mostSessions))
	}
	return yard.Saying{}
}

// fold makes two spellings of one name equal: case and blanks do not count.
func fold(name string) string {
	if isPlain(name) && !strings.Contains(name, "  ") {
		return strings.ToLower(strings.TrimSpace(name))
	}
	return strings.Join(strings.Fields(strings.ToLower(tidy(name))), " ")
}

// understood is a workbook laid out as the starter is, read: the week, and what it was
// read from.
type understood struct {
	week   yard.Week
	in     *layout
	cells  *cellReader
	horses *horseList
	meals  *mealList
	feeds  *feedRoom
	lines  *rationLines
}

// understand is the week of a workbook laid out as the starter is.
func understand(name string, sheets []*sheet, lost int, opt Options) (yard.Week, error) {
	u, err := readPlain(name, sheets, lost, opt)
	if err != nil {
		return yard.Week{}, err
	}
	return u.week, nil
}

// readPlain reads a workbook laid out as the starter is, sheet by sheet: each step is
// given what the steps before it found, and what cannot be read goes to the log.
func readPlain(name string, sheets []*sheet, lost int, opt Options) (*understood, error) {
	file := yard.Named("file", yard.Place, name)
	said := newLog()
	if lost > 0 {
		said.find("cells-missing", yard.Warn, "", yard.Cell{}, yard.Say("finding.cells-missing", yard.Count("n", lost)))
	}
	in := newReading(said, opt)
	in.sort(sheets)
	if in.vocab.tables > mostTables {
		return nil, xlsx.Refuse(nil, yard.Say("refused.more.tables", file, yard.Count("most", mostTables)))
	}
	set := readYard(in, name)
	if what := tooMuch(nil, nil, set.meals.list, set.measures, 0); !what.Empty() { // every heading is compared with the meals
		return nil, xlsx.Refuse(nil, yard.Say("refused.more", file, yard.Said("what", what)))
	}
	in.learn(set.meals.list, sheets)
	said.most = max(mostMisread, mostMisreadHorse*in.rowsIn(horsesKind))
	nameMeals(in, set.meals, set.at)
	cells, week := &cellReader{said, set.units}, plannedWeek{set.beginning}
	sessions := readSessions(in, cells)
	horses := readHorses(in, cells, set.beginning)
	if err := anyHorses(file, horses.all, in.tables[horsesKind], sheets); err != nil {
		return nil, err
	}
	in.giveOwners(horses)
	readWeights(in, cells, horses)
	sortWeighings(horses.all)
	feeds := readFeeds(in, cells, set.measures)
	amounts := newAmountReader(said, set.measures, set.units.imperial, feeds)
	lines := readRations(in, cells, set.beginning, horses, set.meals, feeds, amounts)
	if what := tooMuch(lines.list, feeds.list, set.meals.list, set.measures, len(sessions)); !what.Empty() {
		return nil, xlsx.Refuse(nil, yard.Say("refused.more", file, yard.Said("what", what)))
	}
	if err := horses.strangers(name); err != nil {
		return nil, err
	}
	work := newWorkCells(said, newWorkWords(sessions, in.vocab.words))
	readWork(in, cells, work, week, horses)
	if work.tooMuch() {
		return nil, xlsx.Refuse(nil, yard.Say("refused.more.work", file, yard.Count("most", mostWorkText)))
	}
	if err := cmp.Or(said.refusal(name), horses.strangers(name)); err != nil {
		return nil, err
	}
	sayMissing(in, horses, lines)
	return &understood{weekOf(sheets, in, set, horses, feeds, lines), in, cells, horses, set.meals, feeds, lines}, nil
}

// weekOf puts the week together of what the steps found.
func weekOf(sheets []*sheet, in *layout, set settings, horses *horseList, feeds *feedRoom, lines *rationLines) yard.Week {
	w := yard.Week{
		Yard: set.yard, Beginning: set.beginning, Paper: set.paper, Imperial: set.units.imperial, Meals: set.meals.list, Measures: set.measures, Contacts: set.contacts,
		Temperature: set.temperature, HumidityPct: set.humidityPct,
		Horses: horses.all, Feeds: feeds.list, Lines: lines.list, Guessed: in.guessed, Findings: in.log.all(),
	}
	w.Read.Sheets, w.Read.Horses = len(sheets), len(horses.all)
	for _, s := range sheets {
		w.Read.Rows += len(s.Rows)
	}
	return w
}

// anyHorses is the refusal of a workbook without horses, or with more than any yard has;
// nil where it has some.
func anyHorses(file yard.Arg, horses []yard.Horse, tables []table, sheets []*sheet) error {
	switch {
	case len(horses) == 0 && blankStarter(tables):
		return xlsx.Refuse(nil, yard.Say("refused.blank", file, yard.Named("sheet", yard.Place, tables[0].sheet.Name), yard.Count("row", tables[0].sheet.Rows[tables[0].head].N+1)))
	case len(horses) == 0:
		return xlsx.Refuse(nil, yard.Say("refused.no horses", file, yard.Said("expected", expected(horsesKind)), yard.Said("sheets", sheetNames(sheets))))
	case len(horses) > maxHorses:
		return xlsx.Refuse(nil, yard.Say("refused.too many horses", file, yard.Count("most", maxHorses)))
	}
	return nil
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

// sayMissing adds what can only be said once everything has been read.
func sayMissing(in *layout, horses *horseList, lines *rationLines) {
	for k, why := range map[sheetKind]yard.Saying{
		workKind:  yard.Say("part.sheet-missing.work"),
		feedsKind: yard.Say("part.sheet-missing.feeds"),
	} {
		if len(in.tables[k]) == 0 {
			in.log.find("sheet-missing", yard.Warn, "", yard.Cell{}, yard.Say("finding.sheet-missing", yard.Said("why", why), yard.Said("expected", expected(k))))
		}
	}
	if len(in.tables[rationsKind]) == 0 {
		in.log.find("sheet-missing", yard.Warn, "", yard.Cell{}, yard.Say("finding.sheet-missing.rations", yard.Said("expected", expected(rationsKind))))
	}
	for i := range horses.all {
		h := &horses.all[i]
		if len(in.tables[rationsKind]) > 0 && !lines.fed[h.Name] {
			in.log.find("rations-missing", yard.Warn, h.Name, h.Cell, yard.Say("finding.rations-missing", yard.Named("horse", yard.HorseName, h.Name)))
		}
		if cells := horses.twice[plainName(h.Name)]; len(cells) > 0 {
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
}
