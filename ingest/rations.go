package ingest

import (
	"time"

	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// mostKg is the largest daily amount of one feed that can be right: what a big
// draught horse eats of hay or haylage, with room to spare (common practice, no
// source).
const mostKg = 40

// rationLines are the lines of the rations as they are gathered.
type rationLines struct {
	log       *log
	list      []yard.Line
	rows      int                // of all tables of rations
	from      map[string]string  // horse, feed and meal -> the sheet its line was read from
	fed       map[string]bool    // horses with a line on a rations sheet
	history   map[yard.Cell]bool // amounts of weeks that are over, where a table keeps several
	willBeNow map[yard.Cell]bool // and those of the week itself, which next week are fed now
}

// add takes a line into the week. The same feed of a horse on two sheets is more likely
// written down twice than fed twice.
func (r *rationLines) add(sheet string, h *yard.Horse, l yard.Line) {
	key := h.Name + "\x00" + fold(l.Feed) + "\x00" + fold(l.Meal)
	if from, ok := r.from[key]; ok && from != sheet && (l.Now.Given || l.Planned.Given) {
		r.log.find("ration-twice", yard.Stop, h.Name, l.Cell, yard.Say("finding.ration-twice", yard.FeedArg("feed", l.Feed), yard.Named("horse", yard.HorseName, h.Name), yard.Named("first", yard.Place, from), yard.Named("second", yard.Place, sheet)))
		h.NoCard = append(h.NoCard, yard.Say("why.ration-twice", yard.FeedArg("feed", l.Feed), yard.Named("first", yard.Place, from), yard.Named("second", yard.Place, sheet)))
	} else if !ok {
		r.from[key] = sheet
	}
	if r.list == nil {
		r.list = make([]yard.Line, 0, r.rows)
	}
	r.list = append(r.list, l)
}

func newRationLines(said *log, rows int) *rationLines {
	return &rationLines{log: said, rows: rows, from: map[string]string{}, fed: map[string]bool{}, history: map[yard.Cell]bool{}, willBeNow: map[yard.Cell]bool{}}
}

// rationSheet reads a table of rations, each row a feed of a horse or all its feeds.
type rationSheet struct {
	t       *table
	dated   *datedRations // nil: it has no weeks
	cells   *cellReader
	horses  *horseList
	meals   *mealList
	feeds   *feedRoom
	amounts *amountReader
	lines   *rationLines
}

func readRations(in *layout, cells *cellReader, week time.Time, horses *horseList, meals *mealList, feeds *feedRoom, amounts *amountReader) *rationLines {
	lines := newRationLines(in.log, in.rowsIn(rationsKind))
	for i := range in.tables[rationsKind] {
		t := &in.tables[rationsKind][i]
		in.headings(t)
		walk := in.walkWith(horses)
		dated := datedRationsOf(t, walk, week)
		r := &rationSheet{t, dated, cells, horses, meals, feeds, amounts, lines}
		var above rationRow
		walk.each(t, "horse", func(rw xlsx.Row) { above = r.row(rw, above) })
		if dated != nil {
			dated.finish(horses, feeds, lines)
		}
	}
	return lines
}

// rationRow is a row above the one that is read, with the name in it; "": none.
type rationRow struct {
	name string
	n    int
	cell xlsx.Cell
}

// row reads a row, and gives what counts as the row above for the one below it.
func (r *rationSheet) row(rw xlsx.Row, above rationRow) rationRow {
	t := r.t
	nameCell, feedCell := t.cell(rw, "horse"), t.cell(rw, "feed")
	name := r.cells.name(t, nameCell, "horse")
	feed := r.cells.name(t, feedCell, "feed")
	if name == "" && nameCell.Kind == xlsx.Empty {
		// A block a horse with the name in its first row, joined or not.
		m, joined := t.sheet.Merged(rw.N, nameColumn(t))
		switch {
		case joined && above.name != "" && m.Row1 <= above.cell.Row && m.Row2 >= rw.N, above.name != "" && above.n == rw.N-1:
			name, nameCell = above.name, above.cell
			if !joined && feed != "" {
				r.cells.log.once("filled "+t.sheet.Name, "name-above", yard.Note, t.sheet.place(feedCell),
					yard.Say("finding.name-above"))
			}
		default:
			r.cells.log.find("name-missing", yard.Warn, "", t.sheet.place(rw.Cells[0]), yard.Say("finding.name-missing.ration", yard.Said("line", t.line(rw))))
			return above
		}
	}
	if name == "" {
		above.name = ""
		return above
	}
	r.ofHorse(rw, name, nameCell, feed, feedCell)
	return rationRow{name, rw.N, nameCell}
}

// ofHorse reads a row with the name it is for and the feed it names.
func (r *rationSheet) ofHorse(rw xlsx.Row, name string, nameCell xlsx.Cell, feed string, feedCell xlsx.Cell) {
	t, dated := r.t, r.dated
	if dated != nil && !dated.begin(rw, r.horses.called(name)) {
		return
	}
	h := r.horses.ofRow(t, nameCell, name, yard.Warn)
	if h == nil {
		r.maybeFed(rw, nameCell, name)
		return
	}
	if dated != nil && dated.past() {
		then := *h // what is wrong with a week that is over is nothing of today's horse
		h = &then
	} else {
		r.lines.fed[h.Name] = true
	}
	if !t.has("feed") {
		r.feedColumns(rw, h)
		return
	}
	if feed == "" {
		switch {
		case feedCell.Kind != xlsx.Empty || !t.amountsGiven(rw):
		case dated != nil && dated.past():
			dated.unread(h.Name, nameCell)
		default:
			r.cells.log.find("name-missing", yard.Stop, h.Name, t.sheet.place(nameCell), yard.Say("finding.name-missing.ration feed", yard.Said("line", t.line(rw)), yard.Named("horse", yard.HorseName, h.Name)))
			h.NoCard = append(h.NoCard, yard.Say("why.amount without feed", yard.Said("line", t.line(rw))))
		}
		return
	}
	r.line(rw, h, feed, feedCell)
}

// amount reads an amount of a horse. One that cannot be read stops the plan it is in; of
// a week that is over it is only noted.
func (r *rationSheet) amount(c xlsx.Cell, col column, h *yard.Horse, feed string, planned bool) yard.Amount {
	a, rule, why := r.amounts.amount(r.t, c, col, feed)
	switch {
	case rule == "":
		return a
	case r.dated != nil && r.dated.past():
		r.dated.unread(h.Name, c)
		return a
	}
	key, sev := "finding.amount.now", yard.Warn
	if planned {
		key, sev = "finding.amount.planned", yard.Stop
	}
	r.cells.log.find(rule, sev, h.Name, a.Cell, yard.Say(key, yard.FeedArg("feed", feed), yard.Said("why", why)))
	if planned {
		h.NoCard = append(h.NoCard, yard.Say("why.amount planned", yard.FeedArg("feed", feed), wrote("wrote", c.Shown), yard.Named("ref", yard.Place, a.Cell.Ref), yard.Named("sheet", yard.Place, a.Cell.Sheet)))
	}
	return a
}

// add takes a line into its week.
func (r *rationSheet) add(h *yard.Horse, l yard.Line) {
	if r.dated != nil {
		r.dated.add(l)
		return
	}
	r.lines.add(r.t.sheet.Name, h, l)
}

// maybeFed is a row whose name is not a horse's. Where it is nearly one's, that horse
// may be fed what it says: what it gets is then not known, which is not nothing.
func (r *rationSheet) maybeFed(rw xlsx.Row, nameCell xlsx.Cell, name string) {
	t, said := r.t, r.cells.log
	key := "maybe " + t.sheet.Name + plainName(name)
	if said.noted[key] || !t.amountsGiven(rw) || said.tooManyStrange() {
		return
	}
	said.noted[key] = true
	if near := r.horses.names.near(name); near != "" {
		h := &r.horses.all[r.horses.names.at[plainName(near)]]
		h.NoCard = append(h.NoCard, yard.Say("why.maybe fed", wrote("wrote", name), yard.Named("ref", yard.Place, t.sheet.place(nameCell).Ref)))
	}
}

// amountsGiven says whether a row has an amount of any feed.
func (t *table) amountsGiven(rw xlsx.Row) bool {
	for _, c := range t.cols {
		if (c.key == "now" || c.key == "planned" || c.meal != "" || c.feed != "") && !blank(rw.At(c.col)) {
			return true
		}
	}
	return false
}

// line reads a row with a feed and its amounts.
func (r *rationSheet) line(rw xlsx.Row, h *yard.Horse, feed string, feedCell xlsx.Cell) {
	t := r.t
	feed = r.feeds.named(feed)
	base := yard.Line{Horse: h.Name, Feed: feed, Cell: t.sheet.place(feedCell)}
	if why, ok := r.feeds.bad[fold(feed)]; ok {
		h.NoCard = append(h.NoCard, why)
	}
	base.Meal = mealOf(r.cells, r.meals, t, rw, h.Name)
	base.Since = r.cells.date(t, t.cell(rw, "since"), yard.Say("field.date.since"), h.Name)
	amount := func(col column, planned bool) yard.Amount {
		return r.amount(rw.At(col.col), col, h, feed, planned)
	}
	// The day's amounts, or the meal's where the row names one.
	if col, ok := t.col("now"); ok {
		base.Now = amount(col, false)
	}
	if col, ok := t.col("planned"); ok {
		if c := rw.At(col.col); base.Now.Given && r.amounts.sameAsNow(c) {
			base.Planned = base.Now
			base.Planned.Cell = t.sheet.place(c)
		} else {
			base.Planned = amount(col, true)
		}
	}
	var byMeal []yard.Line
	at := map[string]int{}
	for _, col := range t.cols {
		if col.meal == "" || blank(rw.At(col.col)) {
			continue
		}
		meal := r.meals.named(col.meal, t.sheet.place(col.cell))
		i, ok := at[meal]
		if !ok {
			i = len(byMeal)
			at[meal] = i
			byMeal = append(byMeal, yard.Line{Horse: h.Name, Feed: feed, Meal: meal, Since: base.Since, Cell: base.Cell})
		}
		if col.planned {
			byMeal[i].Planned = amount(col, true)
		} else {
			byMeal[i].Now = amount(col, false)
		}
	}
	// A total beside the meals it is made of would count the feed twice.
	now, planned := false, false
	for _, l := range byMeal {
		now, planned = now || l.Now.Given, planned || l.Planned.Given
	}
	if now && base.Now.Given {
		r.cells.log.find("amount-twice", yard.Warn, h.Name, base.Now.Cell, yard.Say("finding.amount-twice", yard.Named("horse", yard.HorseName, h.Name), yard.FeedArg("feed", feed)))
		base.Now = yard.Amount{}
	}
	if planned && base.Planned.Given {
		r.cells.log.find("amount-twice", yard.Warn, h.Name, base.Planned.Cell, yard.Say("finding.amount-twice.planned", yard.Named("horse", yard.HorseName, h.Name), yard.FeedArg("feed", feed)))
		base.Planned = yard.Amount{}
	}
	if len(byMeal) == 0 || base.Now.Given || base.Planned.Given {
		r.add(h, base)
	}
	for _, l := range byMeal {
		r.add(h, l)
	}
}

// mealOf is the meal a row, or else its sheet, is about.
func mealOf(cells *cellReader, meals *mealList, t *table, rw xlsx.Row, horse string) string {
	if m := cells.word(t, t.cell(rw, "meal"), yard.Say("field.meal"), horse); m != "" {
		return meals.named(m, t.sheet.place(t.cell(rw, "meal")))
	}
	return meals.ofSheet(t)
}

// feedColumns reads a row of a sheet with a column a feed.
func (r *rationSheet) feedColumns(rw xlsx.Row, h *yard.Horse) {
	t := r.t
	rowMeal := mealOf(r.cells, r.meals, t, rw, h.Name)
	at := map[[2]string]int{}
	var lines []yard.Line
	for _, col := range t.cols {
		c := rw.At(col.col)
		if col.feed == "" || blank(c) {
			continue
		}
		feed := r.feeds.named(col.feed)
		meal := rowMeal
		if col.meal != "" {
			meal = r.meals.named(col.meal, t.sheet.place(col.cell))
		}
		if why, ok := r.feeds.bad[fold(feed)]; ok {
			h.NoCard = append(h.NoCard, why)
		}
		i, ok := at[[2]string{feed, meal}]
		if !ok {
			i = len(lines)
			at[[2]string{feed, meal}] = i
			lines = append(lines, yard.Line{Horse: h.Name, Feed: feed, Meal: meal, Cell: t.sheet.place(col.cell)})
		}
		a := r.amount(c, col, h, feed, col.planned)
		switch {
		case col.planned && !lines[i].Planned.Given:
			lines[i].Planned = a
		case !col.planned && !lines[i].Now.Given:
			lines[i].Now = a
		default: // the same feed in two columns: both are fed
			l := yard.Line{Horse: h.Name, Feed: feed, Meal: meal, Cell: t.sheet.place(col.cell), Now: a}
			if col.planned {
				l.Now, l.Planned = yard.Amount{}, a
			}
			lines = append(lines, l)
		}
	}
	for _, l := range lines {
		r.add(h, l)
	}
}
