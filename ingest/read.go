package ingest

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

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
	data, err := FileBytes(path)
	if err != nil {
		return yard.Week{}, err
	}
	return Read(filepath.Base(path), data, opt)
}

// Read turns the bytes of a workbook into a week. Name is the file's name and
// serves only the sentences and, where no yard is named, the yard's name.
//
// The error, if any, is a [*Refused]: nothing could be taken from the file.
// Anything less is a finding of the week. The same bytes give the same week.
func Read(name string, data []byte, opt Options) (yard.Week, error) {
	return readWith(name, data, preflight, opt)
}

func readWith(name string, data []byte, look func([]byte) (*scan, error), opt Options) (week yard.Week, err error) {
	data = inUsualPlaces(data)
	if r := sniff(name, data); r != nil {
		return yard.Week{}, r
	}
	// What others wrote is read here, by us and by a library; a panic in either
	// must cost this workbook only. The other place is [Corrections].
	defer func() {
		if p := recover(); p != nil {
			week, err = yard.Week{}, refuse(fmt.Errorf("panic: %v", p),
				yard.Say("refused.fault", yard.Named("file", yard.Place, name)))
		}
	}()
	seen, err := look(data)
	var sheets []*sheet
	if err == nil {
		sheets, err = readSheets(seen)
	}
	if err != nil {
		var big tooBig
		if errors.As(err, &big) {
			return yard.Week{}, refuse(err, yard.Say("refused.too big", yard.Named("file", yard.Place, name), yard.Said("why", big.Told())))
		}
		return yard.Week{}, damaged(name, err)
	}
	if seen.ours {
		return yard.Week{}, refuse(nil, yard.Say("refused.ours", yard.Named("file", yard.Place, name)))
	}
	first := newReader(opt)
	first.sort(sheets)
	if !first.isPlain(sheets) {
		if week, ok := readOwnLayout(name, sheets, seen.saved); ok {
			return week, nil
		}
		// The plain layout would pass over what stands under headings it does not
		// know: a horse that is fed would get a card without its feed.
		if _, err := understand(name, sheets, seen.lost(), opt); err != nil {
			return yard.Week{}, err
		}
		return yard.Week{}, refuse(nil, yard.Say("refused.no rows", yard.Named("file", yard.Place, name)))
	}
	return understand(name, sheets, seen.lost(), opt)
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
	badFeed   map[string]yard.Saying // folded feed name -> why no horse fed it gets a card
	mealsSet  bool                   // the yard sheet names the meals
	noted     map[string]bool        // things said once
	lineFrom  map[string]string      // horse, feed and meal -> the sheet its line was read from
	fedHorse  map[string]bool        // horses with a line on a rations sheet
	owner     map[string]string      // sheet -> the one horse it is about
	bareUnit  map[string]string      // "weight" or "length" -> the unit of numbers without one
	yardAt    yard.Cell              // where the yard's settings stand
	work      *workWords             // what work cells are read by
	workRead  map[string]workCellRead
	workText  int                           // characters read into it
	found     map[[2]string]int             // findings by rule and horse
	later     map[string]map[int]*laterWeek // by horse and weeks after this one

	misread     int // entries of horses that could not be taken as they stand
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
)

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
	return refuse(nil, yard.Say("refused.given up", yard.Named("file", yard.Place, name), yard.Count("n", r.misread), yard.SayingList("first", yard.Semicolon, few)))
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

// lost says how many texts the workbook keeps for its cells that no cell shows.
// A program that saves a workbook writes the texts of its cells and no others,
// and most say how many cells use them.
func (s *scan) lost() int {
	n := 0
	for i, used := range s.used {
		if !used && strings.TrimSpace(s.strings[i]) != "" {
			n++
		}
	}
	if more := s.counted - s.textual; more != s.headings {
		n = max(n, more)
	}
	return n
}

func newReader(opt Options) *reader {
	return &reader{
		vocab: newVocabulary(opt.Synonyms), tables: map[sheetKind][]table{},
		names: newNames(), twice: map[string][]yard.Cell{}, feedAt: map[string]int{},
		sessions: map[string]yard.Session{}, badFeed: map[string]yard.Saying{}, noted: map[string]bool{},
		lineFrom: map[string]string{}, fedHorse: map[string]bool{}, owner: map[string]string{}, bareUnit: map[string]string{}, workRead: map[string]workCellRead{}, found: map[[2]string]int{}, later: map[string]map[int]*laterWeek{},
	}
}

func understand(name string, sheets []*sheet, lost int, opt Options) (yard.Week, error) {
	return newReader(opt).understand(name, sheets, lost)
}

func (r *reader) understand(name string, sheets []*sheet, lost int) (yard.Week, error) {
	r.week.Paper = "A4"
	r.week.Read.Sheets = len(sheets)
	for _, s := range sheets {
		r.week.Read.Rows += len(s.rows)
	}
	if lost > 0 {
		r.find("cells-missing", yard.Warn, "", yard.Cell{}, yard.Say("finding.cells-missing", yard.Count("n", lost)))
	}
	r.sort(sheets)
	if r.vocab.tables > mostTables {
		return yard.Week{}, refuse(nil, yard.Say("refused.more.tables", yard.Named("file", yard.Place, name), yard.Count("most", mostTables)))
	}
	r.readYard(name)
	if what := r.tooMuch(); !what.Empty() { // every heading is compared with the meals
		return yard.Week{}, refuse(nil, yard.Say("refused.more", yard.Named("file", yard.Place, name), yard.Said("what", what)))
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
			return yard.Week{}, refuse(nil, yard.Say("refused.blank", yard.Named("file", yard.Place, name), yard.Named("sheet", yard.Place, r.tables[horsesKind][0].sheet.name), yard.Count("row", r.tables[horsesKind][0].sheet.rows[r.tables[horsesKind][0].head].n+1)))
		}
		return yard.Week{}, refuse(nil, yard.Say("refused.no horses", yard.Named("file", yard.Place, name), yard.Said("expected", expected(horsesKind)), yard.Said("sheets", sheetNames(sheets))))
	}
	if len(r.week.Horses) > maxHorses {
		return yard.Week{}, refuse(nil, yard.Say("refused.too many horses", yard.Named("file", yard.Place, name), yard.Count("most", maxHorses)))
	}
	r.giveOwners()
	r.readWeights()
	r.sortWeighings()
	r.readFeeds()
	r.readRations()
	if what := r.tooMuch(); !what.Empty() {
		return yard.Week{}, refuse(nil, yard.Say("refused.more", yard.Named("file", yard.Place, name), yard.Said("what", what)))
	}
	r.readWork()
	if r.workText > mostWorkText {
		return yard.Week{}, refuse(nil, yard.Say("refused.more.work", yard.Named("file", yard.Place, name), yard.Count("most", mostWorkText)))
	}
	if err := r.givenUp(name); err != nil {
		return yard.Week{}, err
	}
	r.finish()
	return r.week, nil
}

// blankStarter says whether a horses sheet is there and nobody has written in
// it yet.
func blankStarter(ts []table) bool {
	for _, t := range ts {
		if t.head+1 < len(t.sheet.rows) {
			return false
		}
	}
	return len(ts) > 0
}

// feedHeadings is how the feeds' names read as column headings.
func (r *reader) feedHeadings() map[string]string {
	all := map[string]string{}
	for i := range r.tables[feedsKind] {
		t := &r.tables[feedsKind][i]
		r.rows(t, "feed", func(rw row) {
			if c := t.cell(rw, "feed"); c.kind == written && !blank(c) {
				all[r.vocab.taken(c.shown).words] = strings.TrimSpace(c.shown)
			}
		}, func(cell) {})
	}
	return all
}

// giveOwners settles whose the tables without a column of names are: the horse
// of the title over it, of the sheet's own Name line, or of the tab.
func (r *reader) giveOwners() {
	for _, k := range []sheetKind{workKind, rationsKind} {
		var keep []table
		for _, t := range r.tables[k] {
			if !t.nameless {
				keep = append(keep, t)
				continue
			}
			for _, c := range []cell{t.title, {kind: written, shown: r.owner[t.sheet.name]}, {kind: written, shown: t.sheet.name}} {
				if i, _ := r.names.find(c.shown); c.kind == written && i >= 0 {
					t.horse = c
					t.horse.shown = r.week.Horses[i].Name
					break
				}
			}
			if t.horse.kind != empty {
				keep = append(keep, t)
				continue
			}
			r.find("sheet-unused", yard.Warn, "", t.sheet.place(t.cols[0].cell), orNear("finding.sheet-unused.nameless", r.names.near(t.sheet.name), sheetArg("sheet", k)))
		}
		r.tables[k] = keep
	}
}

func sheetNames(sheets []*sheet) yard.Saying {
	if len(sheets) == 0 {
		return yard.Say("part.none")
	}
	names := make([]string, 0, len(sheets))
	for _, s := range sheets {
		names = append(names, s.name)
	}
	return someOf(names)
}

// sort finds the tables on every sheet and gives each to the kind it fits best.
func (r *reader) sort(sheets []*sheet) {
	r.tables = map[sheetKind][]table{}
	r.vocab.tables = 0
	spare := map[sheetKind][]table{}
	var strange []*sheet
	put := func(all []found) {
		for _, f := range all {
			r.tables[f[0].kind] = append(r.tables[f[0].kind], f[0])
			for _, t := range f[1:] {
				// One sheet for horses and their work is usual in a small yard.
				if horsely(f[0].kind) && horsely(t.kind) {
					spare[t.kind] = append(spare[t.kind], t)
				}
			}
		}
	}
	r.vocab.guess = false
	for _, s := range sheets {
		if len(s.rows) == 0 {
			continue
		}
		all := r.vocab.tablesOn(s)
		if len(all) == 0 {
			strange = append(strange, s)
		}
		put(all)
	}
	// Sheets whose headings are slips of known ones, where a kind is lacking.
	r.vocab.guess = true
	for _, s := range strange {
		for _, f := range r.vocab.upright(s) {
			if f[0].kind != yardKind && !f[0].nameless && len(r.tables[f[0].kind]) == 0 {
				put([]found{f})
			}
		}
	}
	r.vocab.guess = false
	for _, k := range []sheetKind{horsesKind, workKind, rationsKind} {
		if len(r.tables[k]) == 0 {
			r.tables[k] = spare[k]
		}
	}
	// A horse's own sheet counts where there is no sheet of all horses.
	named := func(t table) bool { return !t.nameless }
	if hs := r.tables[horsesKind]; slices.ContainsFunc(hs, named) {
		r.tables[horsesKind] = slices.DeleteFunc(hs, func(t table) bool { return t.nameless })
	}
	r.hiddenTables()
}

func horsely(k sheetKind) bool { return k == horsesKind || k == workKind || k == rationsKind }

// hiddenTables leaves hidden tables unread where a shown one of the same kind
// names the same things: those are last year's. All others are read.
func (r *reader) hiddenTables() {
	key := map[sheetKind]string{horsesKind: "horse", workKind: "horse", rationsKind: "horse", feedsKind: "feed", sessionsKind: "session", weightsKind: "horse", yardKind: "setting"}
	for k, ts := range r.tables {
		if !slices.ContainsFunc(ts, func(t table) bool { return t.sheet.hidden }) {
			continue
		}
		shown := map[string]bool{}
		names := func(t *table, f func(string)) {
			r.rows(t, key[k], func(rw row) {
				if c := t.cell(rw, key[k]); c.kind != empty {
					f(plainName(c.shown))
				}
			}, func(cell) {})
		}
		for i := range ts {
			if !ts[i].sheet.hidden {
				names(&ts[i], func(n string) { shown[n] = true })
			}
		}
		var keep []table
		for i := range ts {
			t := &ts[i]
			both := false
			if t.sheet.hidden && !(k == workKind && t.isOfDay) {
				names(t, func(n string) { both = both || shown[n] })
			}
			if !both {
				keep = append(keep, *t)
				continue
			}
			r.once("hidden "+t.sheet.name, "sheet-hidden", yard.Warn, yard.Cell{Sheet: t.sheet.name},
				yard.Say("finding.sheet-hidden.unread", yard.Named("name", yard.Place, t.sheet.name), sheetArg("sheet", k)))
		}
		r.tables[k] = keep
	}
}

// rowsIn is how many rows the tables of a kind have below their headers.
func (r *reader) rowsIn(k sheetKind) int {
	n := 0
	for i := range r.tables[k] {
		n += r.tables[k][i].end - r.tables[k][i].head - 1
	}
	return n
}

// rowsOf calls f for each row of the table below its header that is part of
// the table: blank rows, repeated headers, totals and headings over a group
// are passed over. key is the column a row is named by.
func (r *reader) rowsOf(t *table, key string, f func(row)) {
	r.rows(t, key, f, func(c cell) {
		r.find("row-skipped", yard.Note, "", t.sheet.place(c),
			yard.Say("finding.row-skipped", sheetArg("sheet", t.kind), yard.Named("what", yard.Term, key)))
	})
}

func (r *reader) rows(t *table, key string, f func(row), skipped func(cell)) {
	keyCol, _ := t.col(key)
	for i := t.head + 1; i < t.end && r.misread <= r.mostMisread; i++ {
		rw := clip(t.sheet.rows[i], t.c1, t.c2)
		used := 0
		var only cell
		for k := range t.cols {
			if x := rw.at(t.cols[k].col); x.kind != empty {
				used++
				only = x
				if x.struck {
					r.once("struck "+t.sheet.name, "struck-through", yard.Warn, t.sheet.place(x), yard.Say("finding.struck-through", sheetArg("sheet", t.kind)))
				}
			}
		}
		if used == 0 {
			continue
		}
		if t.head >= 0 && sameHeader(t, rw) {
			continue
		}
		k := rw.at(keyCol.col)
		if isTotal(k) || k.kind == empty && isTotal(rw.cells[0]) {
			continue
		}
		if used == 1 && only.kind == written {
			m, joined := t.sheet.merged(only.row, only.col)
			if joined && m.col2 > m.col1 || isRemark(only.shown) {
				skipped(only)
				continue
			}
		}
		f(rw)
	}
}

// line names a row of the table for sentences: "Row 5", or, where the table is
// turned, "Column E".
func (t *table) line(rw row) yard.Saying {
	if t.sheet.turned {
		return yard.Say("part.line.column", yard.Named("column", yard.Place, strings.TrimRight(refOf(rw.n, 1), "1")))
	}
	return yard.Say("part.line.row", yard.Count("row", rw.n))
}

// headings reports what is doubtful about a table before it is read: a heading
// that stands twice, one that had to be guessed, rows and columns out of sight.
func (r *reader) headings(t *table) {
	if t.head < 0 {
		return
	}
	for _, c := range clip(t.sheet.rows[t.head], t.c1, t.c2).cells {
		key := r.vocab.words.kind[t.kind][r.vocab.taken(c.shown).words]
		first, ok := t.col(key)
		if key == "" || !ok || first.col >= c.col || c.kind != written || slices.ContainsFunc(t.cols, func(x column) bool { return x.col == c.col }) {
			continue
		}
		r.find("column-twice", yard.Warn, "", t.sheet.place(c), yard.Say("finding.column-twice", sheetArg("sheet", t.kind), yard.Named("column", yard.Term, key), yard.Named("first", yard.Place, t.sheet.ref(first.col, first.cell.row)), yard.Named("second", yard.Place, t.sheet.ref(c.col, c.row))))
	}
	for _, c := range t.cols {
		if !c.guessed {
			continue
		}
		word := strings.Join(strings.Fields(c.cell.shown), " ")
		r.find("column-guessed", yard.Warn, "", t.sheet.place(c.cell), yard.Say("finding.column-guessed", yard.Words("heading", word), sheetArg("sheet", t.kind), yard.Named("column", yard.Term, c.key)))
		r.week.Guessed = append(r.week.Guessed, yard.GuessedColumn{Column: c.key, Word: word, Cell: t.sheet.place(c.cell)})
	}
	if t.sheet.hidden {
		r.once("hidden read "+t.sheet.name, "sheet-hidden", yard.Note, yard.Cell{Sheet: t.sheet.name}, yard.Say("finding.sheet-hidden", yard.Named("name", yard.Place, t.sheet.name)))
	}
	var rows []yard.Value
	for _, rw := range t.sheet.rows[t.head+1 : t.end] {
		if t.sheet.hiddenRows[rw.n] && len(clip(rw, t.c1, t.c2).cells) > 0 {
			rows = append(rows, t.line(rw))
		}
	}
	if len(rows) > 0 {
		r.once("rows "+t.sheet.name+fmt.Sprint(rows[0]), "rows-hidden", yard.Note, yard.Cell{Sheet: t.sheet.name}, yard.Say("finding.rows-hidden", yard.Named("name", yard.Place, t.sheet.name), yard.Said("rows", someValues(rows))))
	}
	var cols []string
	for _, c := range t.cols {
		if slices.ContainsFunc(t.sheet.hiddenCols, func(h rect) bool { return c.col >= h.col1 && c.col <= h.col2 }) {
			cols = append(cols, t.sheet.ref(c.col, c.cell.row))
		}
	}
	if len(cols) > 0 {
		r.once("cols "+t.sheet.name+cols[0], "rows-hidden", yard.Note, yard.Cell{Sheet: t.sheet.name}, yard.Say("finding.rows-hidden.columns", yard.Named("name", yard.Place, t.sheet.name), someNames("headings", cols)))
	}
}

func sameHeader(t *table, rw row) bool {
	same := 0
	for i := range t.cols {
		c := &t.cols[i]
		if x := rw.at(c.col); x.kind == written && strings.EqualFold(x.shown, c.cell.shown) {
			same++
		}
	}
	return same >= 2 || same == len(t.cols)
}

// isTotal recognises the row under a table that adds it up.
func isTotal(c cell) bool {
	if c.kind != written {
		return false
	}
	if len(c.shown) > 40 {
		return false
	}
	w := strings.Trim(fold(c.shown), ":. ")
	switch w {
	case "total", "totals", "sum", "average", "mean", "subtotal", "sub total", "sub-total", "grand total", "yard total", "count":
		return true
	}
	return strings.HasPrefix(w, "total ") || strings.HasPrefix(w, "totals ")
}

// isRemark recognises a sentence where a name is expected.
func isRemark(text string) bool {
	w := fold(text)
	for _, p := range []string{"note", "nb", "n.b", "*", "please", "remember", "key:", "ps", "updated", "last updated", "source", "printed"} {
		if rest, ok := strings.CutPrefix(w, p); ok && (p == "*" || rest == "" || strings.HasPrefix(rest, "s") || strings.ContainsAny(rest[:1], " :.")) {
			return true
		}
	}
	return len(strings.Fields(w)) > 6 || strings.HasSuffix(w, ":") || strings.HasSuffix(w, ".") && len(strings.Fields(w)) > 3
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
