package ingest

import (
	"slices"
	"strings"

	"hardfeed/ingest/board"
	"hardfeed/ingest/phrase"
	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// OwnList begins the first cell of a list of ours in a copy of a workbook: of the cells to
// put right, or of what was changed. The reader knows the list by it, in any language, and
// skips its sheet, so that a copy can be read like the workbook.
const OwnList = "hardfeed: "

// oldTitles are the first cells of such lists before release 0.3.
var oldTitles = []string{"What hardfeed could not take as it stood", "Moved on a week: what hardfeed changed"}

// isOwnList says whether a sheet whose first cell shows a text is a list of ours.
func isOwnList(first string) bool {
	return strings.HasPrefix(first, OwnList) || slices.Contains(oldTitles, first)
}

// Source is a workbook that was read, with where its facts stand.
type Source struct {
	Week   yard.Week
	Whence *board.Whence
	Data   []byte // its parts in their usual places
}

// Trace is [Read] with where the facts of the week stand, for whoever writes in a copy
// of the workbook.
func Trace(name string, data []byte, opt Options) (src Source, err error) {
	defer func() { // as in readWith: a panic costs this workbook only
		if p := recover(); p != nil {
			err = xlsx.Fault(name, p)
		}
	}()
	book, err := xlsx.Open(name, data)
	if err != nil {
		return src, err
	}
	week, err := readBook(name, book, opt)
	if err != nil {
		return src, err
	}
	src.Week, src.Data = week, book.Data
	sheets := sheetsOf(book)
	if !newLayout(newLog(), opt).isPlain(sheets) {
		in := make([]board.Sheet, 0, len(sheets))
		for _, s := range sheets {
			in = append(in, boardSheet(s))
		}
		if _, w, ok := board.Trace(in, book.Saved); ok {
			src.Whence = w
			return src, nil
		}
	}
	u, err := readPlain(name, sheets, book.Lost, opt)
	if err != nil {
		return src, err
	}
	src.Whence = u.whence(sheets)
	return src, nil
}

// whence says where the facts are in a workbook that is laid out as the starter is.
func (u *understood) whence(sheets []*sheet) *board.Whence {
	var texts []string
	for _, s := range sheets {
		for _, rw := range s.Rows {
			for _, c := range rw.Cells {
				if c.Kind == xlsx.Text && len(c.Shown) < 60 {
					texts = append(texts, c.Shown)
				}
			}
		}
	}
	out := &board.Whence{Words: phrase.Load(phrase.Languages(texts)...)}
	for _, s := range sheets {
		out.Weeks = append(out.Weeks, board.WeekPlace{Sheet: s.Name, Text: s.Name})
	}
	for _, k := range []sheetKind{yardKind, workKind, rationsKind} {
		for i := range u.in.tables[k] {
			out.Weeks = append(out.Weeks, weekPlaces(&u.in.tables[k][i])...)
		}
	}
	for i := range u.horses.all {
		h := &u.horses.all[i]
		for d, day := range h.Work {
			out.Spots = appendWork(out.Spots, h.Name, day, d, 0)
		}
		for d, day := range h.Before {
			out.Spots = appendWork(out.Spots, h.Name, day, d, 1)
		}
		for _, l := range h.Later {
			for d, day := range l.Work {
				out.Spots = appendWork(out.Spots, h.Name, day, d, -(plannedWeek{u.week.Beginning}).daysOn(l.Beginning)/7)
			}
		}
	}
	for _, l := range u.lines.list {
		if l.Now.Given && !u.lines.history[l.Now.Cell] {
			out.Spots = append(out.Spots, amountSpot(l, l.Now, board.NowSpot, out.Words))
		}
		if l.Planned.Given && l.Planned.Cell != l.Now.Cell {
			kind := board.PlanSpot
			if u.lines.willBeNow[l.Planned.Cell] {
				kind = board.NowSpot
			}
			out.Spots = append(out.Spots, amountSpot(l, l.Planned, kind, out.Words))
		}
	}
	for i := range u.in.tables[rationsKind] {
		u.rationPlaces(&u.in.tables[rationsKind][i], out)
	}
	for i := range u.in.tables[horsesKind] {
		out.Carry = append(out.Carry, u.carried(&u.in.tables[horsesKind][i])...)
	}
	for i := range u.in.tables[weightsKind] {
		if t := &u.in.tables[weightsKind][i]; !t.sheet.turned && t.end > t.head+1 {
			last := t.sheet.Rows[t.end-1].N
			full := t.end < len(t.sheet.Rows) && t.sheet.Rows[t.end].N == last+1
			out.Logs = append(out.Logs, board.Log{Sheet: t.sheet.Name, Last: last, Full: full})
		}
	}
	markDiaries(out)
	return out
}

// weekPlaces are the cells of a table that may say a week or a day.
func weekPlaces(t *table) (out []board.WeekPlace) {
	seen := map[yard.Cell]bool{}
	add := func(c xlsx.Cell) {
		at := t.sheet.place(c)
		col, row, ok := xlsx.ParseRef(at.Ref)
		if c.Kind != xlsx.Text && c.Kind != xlsx.Date || !ok || seen[at] {
			return
		}
		seen[at] = true
		w := board.WeekPlace{Sheet: at.Sheet, At: [2]int{row, col}, Text: c.Shown}
		if c.Kind == xlsx.Date {
			w.Day = c.Day
		}
		out = append(out, w)
	}
	add(t.title)
	for _, c := range t.cols {
		add(c.cell)
	}
	for _, rw := range t.sheet.Rows[max(t.head, 0):min(t.end, len(t.sheet.Rows))] {
		switch {
		case t.kind == yardKind:
			for _, c := range clip(rw, t.c1, t.c2).Cells {
				add(c)
			}
		case t.kind == workKind && t.has("date"):
			before := len(out)
			if add(t.cell(rw, "date")); len(out) > before {
				out[before].Diary = true
			}
		}
	}
	return out
}

// carried are the hours at grass of this week, which next week are last week's.
func (u *understood) carried(t *table) (out []board.Carry) {
	from, ok1 := t.col("grass hours")
	to, ok2 := t.col("grass before")
	if !ok1 || !ok2 {
		return nil
	}
	at := func(row, col int) [2]int {
		p, _ := spotAt(t.sheet.place(xlsx.Cell{Row: row, Col: col}))
		return p
	}
	u.in.walkWith(u.horses).rows(t, "horse", func(rw xlsx.Row) {
		if i, _ := u.horses.names.find(t.cell(rw, "horse").Shown); i >= 0 {
			out = append(out, board.Carry{Horse: u.horses.all[i].Name, Sheet: t.sheet.Name, From: at(rw.N, from.col), To: at(rw.N, to.col)})
		}
	}, func(xlsx.Cell) {})
	return out
}

// markDiaries marks the work that is in rows which say their day.
func markDiaries(out *board.Whence) {
	type row struct {
		sheet string
		n     int
	}
	diary := map[row]bool{}
	for _, w := range out.Weeks {
		if w.Diary {
			diary[row{w.Sheet, w.At[0]}] = true
		}
	}
	for i := range out.Spots {
		s := &out.Spots[i]
		s.Diary = s.Kind == board.WorkSpot && diary[row{s.Sheet, s.At[0]}]
	}
}

func spotAt(c yard.Cell) ([2]int, bool) {
	col, row, ok := xlsx.ParseRef(c.Ref)
	return [2]int{row, col}, ok
}

func appendWork(spots []board.Spot, horse string, day yard.Day, d, age int) []board.Spot {
	if at, ok := spotAt(day.Cell); ok {
		spots = append(spots, board.Spot{Horse: horse, Kind: board.WorkSpot, Sheet: day.Cell.Sheet, At: at, Age: age, Day: d, Text: day.Cell.Text, From: day.Cell.Text, Event: day.Event})
	}
	return spots
}

// amountSpot is where an amount of a line stands. Its number is the first of the cell
// that is the amount, in some unit.
func amountSpot(l yard.Line, a yard.Amount, kind board.SpotKind, words *phrase.Words) board.Spot {
	at, _ := spotAt(a.Cell)
	s := board.Spot{Horse: l.Horse, Kind: kind, Sheet: a.Cell.Sheet, At: at, Day: -1, Meal: l.Meal, Feed: l.Feed, Text: a.Cell.Text, From: a.Cell.Text}
	kg, known := a.Kg.Get()
	measures, counted := a.Measures.Get()
	if a.AdLib || !known && !counted {
		return s
	}
	p := board.SpotPart{Feed: l.Feed, Meal: l.Meal, End: len(a.Cell.Text), Kg: kg, Known: true}
	if v, ok := words.FirstNumber(a.Cell.Text); ok {
		p.Value = v
		if v > 0 && kg > 0 {
			p.KgPer = kg / v
		}
	}
	if !known {
		p.Measures = measures
	}
	s.Parts = []board.SpotPart{p}
	return s
}

// rationPlaces adds the empty places of a rations table for what is fed now and what
// is planned, and the table where rows can be added to it.
func (u *understood) rationPlaces(t *table, out *board.Whence) {
	now, hasNow := t.col("now")
	feed, hasFeed := t.col("feed")
	name, hasName := t.col("horse")
	dated := datedRationsOf(t, u.in.walkWith(u.horses), u.week.Beginning)
	u.in.walkWith(u.horses).rows(t, "horse", func(rw xlsx.Row) {
		i, _ := u.horses.names.find(t.cell(rw, "horse").Shown)
		if i < 0 || dated != nil && dated.weeksOn(dated.at[rw.N]) != 0 {
			return
		}
		place := func(c column, kind board.SpotKind, feed, meal string) {
			if x := rw.At(c.col); x.Kind == xlsx.Empty {
				x.Row, x.Col = rw.N, c.col
				at := t.sheet.place(x)
				if p, ok := spotAt(at); ok {
					out.Spots = append(out.Spots, board.Spot{Horse: u.horses.all[i].Name, Kind: kind, Sheet: at.Sheet, At: p, Day: -1, Feed: feed, Meal: meal, Empty: true})
				}
			}
		}
		h := &u.horses.all[i]
		if hasFeed && hasNow && t.cell(rw, "feed").Kind == xlsx.Text {
			place(now, board.NowSpot, u.feeds.named(t.cell(rw, "feed").Shown), mealOf(u.cells, u.meals, t, rw, h.Name))
		}
		for _, c := range t.cols {
			if c.feed == "" {
				continue
			}
			kind := board.NowSpot
			if c.planned {
				kind = board.PlanSpot
			}
			place(c, kind, u.feeds.named(c.feed), c.meal)
		}
	}, func(xlsx.Cell) {})
	if dated == nil && hasNow && hasFeed && hasName && !t.sheet.turned && t.end >= len(t.sheet.Rows) && len(t.sheet.Rows) > 0 {
		l := board.List{Sheet: t.sheet.Name, Horse: name.col, Feed: feed.col, Now: now.col, Last: t.sheet.Rows[len(t.sheet.Rows)-1].N}
		if m, ok := t.col("meal"); ok {
			l.Meal = m.col
		}
		out.Lists = append(out.Lists, l)
	}
}
