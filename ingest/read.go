package ingest

import (
	"errors"
	"fmt"
	"path/filepath"
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
	data, err := readBytes(path)
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
func Read(name string, data []byte, opt Options) (week yard.Week, err error) {
	if r := sniff(name, data); r != nil {
		return yard.Week{}, r
	}
	seen, err := preflight(data)
	if err != nil {
		var big tooBig
		if errors.As(err, &big) {
			return yard.Week{}, refuse(err, "%s is larger than a yard's week can be (%s): keep only the sheets of this week and save it again.", name, string(big))
		}
		return yard.Week{}, damaged(name, err)
	}
	// The library reads what others wrote; a panic in it or in us must cost this
	// workbook only.
	defer func() {
		if p := recover(); p != nil {
			week, err = yard.Week{}, refuse(fmt.Errorf("panic: %v", p),
				"%s could not be read because of a fault in this program, not in your file: keep the file and report it.", name)
		}
	}()
	sheets, err := readSheets(data, seen)
	if err != nil {
		return yard.Week{}, damaged(name, err)
	}
	return understand(name, sheets, opt)
}

// reader gathers the week.
type reader struct {
	week   yard.Week
	words  headerWords
	tables map[sheetKind][]table

	horseAt  map[string]int // folded name -> index in week.Horses
	twice    map[string][]yard.Cell
	feedAt   map[string]int
	sessions map[string]yard.Session
	badFeed  map[string]string // folded feed name -> why no horse fed it gets a card
	mealsSet bool              // the yard sheet names the meals
	noted    map[string]bool   // things said once
}

func (r *reader) find(rule string, sev yard.Severity, horse string, c yard.Cell, format string, args ...any) {
	r.week.Findings = append(r.week.Findings, yard.Finding{Rule: rule, Severity: sev, Horse: horse, Cell: c, Message: fmt.Sprintf(format, args...)})
}

// once reports a thing only the first time it is met.
func (r *reader) once(key, rule string, sev yard.Severity, c yard.Cell, format string, args ...any) {
	if !r.noted[key] {
		r.noted[key] = true
		r.find(rule, sev, "", c, format, args...)
	}
}

// fold makes two spellings of one name equal: case and blanks do not count.
func fold(name string) string {
	return strings.Join(strings.Fields(strings.ToLower(tidy(name))), " ")
}

func understand(name string, sheets []*sheet, opt Options) (yard.Week, error) {
	r := &reader{
		words: allWords(opt.Synonyms), tables: map[sheetKind][]table{},
		horseAt: map[string]int{}, twice: map[string][]yard.Cell{}, feedAt: map[string]int{},
		sessions: map[string]yard.Session{}, badFeed: map[string]string{}, noted: map[string]bool{},
	}
	r.week.Paper = "A4"
	r.week.Read.Sheets = len(sheets)
	for _, s := range sheets {
		r.week.Read.Rows += len(s.rows)
	}
	r.sort(sheets, nil)
	r.readYard(name)
	if len(r.week.Meals) > 0 {
		// Meal columns of the rations sheet carry the yard's own meal names.
		names := make([]string, len(r.week.Meals))
		for i, m := range r.week.Meals {
			names[i] = m.Name
		}
		r.sort(sheets, names)
	}
	r.readSessions()
	r.readHorses()
	if len(r.week.Horses) == 0 {
		return yard.Week{}, refuse(nil, "No horses found in %s: expected %s, with a row a horse; sheets seen: %s.", name, expected(horsesKind), sheetNames(sheets))
	}
	r.readWeights()
	r.sortWeighings()
	r.readFeeds()
	r.readRations()
	r.readWork()
	r.finish()
	return r.week, nil
}

func sheetNames(sheets []*sheet) string {
	if len(sheets) == 0 {
		return "none"
	}
	var names []string
	for i, s := range sheets {
		if i == 12 {
			names = append(names, fmt.Sprintf("and %d more", len(sheets)-i))
			break
		}
		names = append(names, s.name)
	}
	return strings.Join(names, ", ")
}

// sort gives each sheet to the kind it fits best.
func (r *reader) sort(sheets []*sheet, meals []string) {
	r.tables = map[sheetKind][]table{}
	spare := map[sheetKind][]table{}
	for _, s := range sheets {
		if len(s.rows) == 0 {
			continue
		}
		all := recognise(s, meals, r.words)
		if len(all) == 0 {
			continue
		}
		r.tables[all[0].kind] = append(r.tables[all[0].kind], all[0])
		for _, t := range all[1:] {
			// One sheet for horses and their work is usual in a small yard.
			if all[0].kind == workKind && t.kind == horsesKind || all[0].kind == horsesKind && t.kind == workKind {
				spare[t.kind] = append(spare[t.kind], t)
			}
		}
	}
	for _, k := range []sheetKind{horsesKind, workKind} {
		if len(r.tables[k]) == 0 {
			r.tables[k] = spare[k]
		}
	}
	// A hidden sheet beside a shown one of the same kind is last year's.
	for k, ts := range r.tables {
		shown := 0
		for _, t := range ts {
			if !t.sheet.hidden {
				shown++
			}
		}
		if shown == 0 || shown == len(ts) {
			continue
		}
		var keep []table
		for _, t := range ts {
			if !t.sheet.hidden {
				keep = append(keep, t)
				continue
			}
			r.once("hidden "+t.sheet.name, "sheet-hidden", yard.Warn, yard.Cell{Sheet: t.sheet.name},
				"The hidden sheet %q looks like a %s sheet and was not read, because there is a shown one; delete it, or show it if it belongs to the week.", t.sheet.name, k)
		}
		r.tables[k] = keep
	}
}

// rowsOf calls f for each row of the table below its header that is part of
// the table: blank rows, repeated headers, totals and headings over a group
// are passed over. key is the column a row is named by.
func (r *reader) rowsOf(t *table, key string, f func(row)) {
	keyCol, _ := t.col(key)
	for i := t.head + 1; i < len(t.sheet.rows); i++ {
		rw := t.sheet.rows[i]
		used := 0
		var only cell
		for _, c := range t.cols {
			if x := rw.at(c.col); x.kind != empty {
				used++
				only = x
			}
		}
		if used == 0 {
			continue
		}
		if t.head >= 0 && sameHeader(t, rw) {
			continue
		}
		k := rw.at(keyCol.col)
		if isTotal(k) || k.kind == empty && len(rw.cells) > 0 && isTotal(rw.cells[0]) {
			continue
		}
		if used == 1 && only.kind == written {
			m, joined := t.sheet.merged(only.row, only.col)
			if joined && m.col2 > m.col1 || isRemark(only.shown) {
				r.find("row-skipped", yard.Note, "", t.sheet.place(only),
					"This row of the %s sheet was taken for a heading or a remark, not for a %s; if it is one, fill in the other columns.", t.kind, key)
				continue
			}
		}
		f(rw)
	}
}

func sameHeader(t *table, rw row) bool {
	same := 0
	for _, c := range t.cols {
		if rw.at(c.col).kind == written && fold(rw.at(c.col).shown) == fold(c.cell.shown) {
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
	for k, why := range map[sheetKind]string{
		workKind:  "no horse's work is known, so the energy it needs cannot be reckoned",
		feedsKind: "what is in the feed room is not known, so nothing can be served from it",
	} {
		if len(r.tables[k]) == 0 {
			r.find("sheet-missing", yard.Warn, "", yard.Cell{}, "No %s sheet was found, and %s: expected %s.", k, why, expected(k))
		}
	}
	if len(r.tables[rationsKind]) == 0 {
		r.find("sheet-missing", yard.Warn, "", yard.Cell{}, "No rations sheet was found, so it is not known what is fed now: expected %s.", expected(rationsKind))
	}
	for i := range r.week.Horses {
		h := &r.week.Horses[i]
		if cells := r.twice[fold(h.Name)]; len(cells) > 0 {
			all := h.Cell.Ref
			for _, c := range cells {
				all += ", " + c.Ref
				if c.Sheet != h.Cell.Sheet {
					all += " on " + c.Sheet
				}
			}
			h.NoCard = append(h.NoCard, fmt.Sprintf("stands twice on the horses sheet (cells %s)", all))
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
