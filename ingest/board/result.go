package board

import (
	"hardfeed/ingest/phrase"
	"hardfeed/ration/yard"
)

// place is a cell as findings name it.
func place(s *sheetData, c *Cell) yard.Cell {
	if c == nil {
		return yard.Cell{Sheet: s.Name}
	}
	return yard.Cell{Sheet: s.Name, Ref: c.Ref(), Text: c.Text}
}

// newFacts makes ready what puts the facts of a horse together.
func (b *book) newFacts() *facts {
	p, seen, cal := b.pages, b.seen, b.found.cal
	work := &workReader{lang: p.lang, bare: b.bare, read: map[string]phrase.Work{}}
	amounts := &rationReader{lang: p.lang, words: p.words, room: b.room, bare: b.bare, asks: b.asks, read: map[amountSaid]phrase.Amount{}}
	return &facts{asks: b.asks, room: b.room, lang: p.lang, week: b.week, firstDay: cal.firstDay, mealsUsed: map[string]bool{},
		feeding: &feeding{amounts: amounts, asks: b.asks, week: b.week, firstDay: cal.firstDay, work: work, room: b.room},
		scales:  &weigher{lang: p.lang, unit: massUnit(p.lang, seen.obs), cal: cal, week: b.week, asks: b.asks},
		work:    &workWeeks{work: work, words: p.words, asks: b.asks, herd: seen.herd, week: b.week, places: seen.places, tables: b.found.tables, obs: seen.obs, rest: map[*sheetData]bool{}, colour: map[*sheetData]bool{}},
		notes:   &noteReader{lang: p.lang, work: work, week: b.week, asks: b.asks}}
}

// result is the week that a workbook is of.
func (b *book) result(fs *facts) yard.Week {
	p, found, seen := b.pages, b.found, b.seen
	w := yard.Week{Paper: "A4", Beginning: b.week.first, Imperial: p.lang.pound}
	w.Read.Sheets = len(p.sheets)
	for _, s := range p.sheets {
		w.Read.Rows += len(s.rows)
	}
	for _, h := range seen.herd.horses { // the feeds of all are known before any is written down
		h.now, h.plan = fs.feeding.rations(h)
	}
	check := checks{herd: seen.herd, asks: b.asks, room: b.room, scales: fs.scales, amounts: fs.feeding.amounts, week: b.week, tables: found.tables}
	check.farWeights()
	check.checkRations()
	check.blankMeals()
	check.compareTotals(seen.totals)
	check.missingFeed()
	check.plansUnread()
	w.Horses = make([]yard.Horse, 0, len(seen.herd.horses)+len(seen.unnamed)) // each is large
	for _, h := range seen.herd.horses {
		w.Horses = append(w.Horses, fs.horseWeek(h, &w))
	}
	unnamedHorses(seen.unnamed, b.asks, &w)
	w.Read.Horses = len(w.Horses)
	fs.listFeeds(&w)
	left := account{sheets: p.sheets, words: p.words, lang: p.lang, who: found.who, herd: seen.herd, tables: found.tables, obs: seen.obs, asks: b.asks, week: b.week}
	left.leftOver()
	askWeek(b.asks, found.cal, b.week)
	understood(b.asks, seen.herd, b.room, p.sheets, &w)
	readAs(p.sheets, found.tables, found.forms, found.cal, &w)
	w.Findings = findings(b.asks, seen.herd)
	yard.SortFindings(w.Findings)
	return w
}

// whence says where the facts stand that were put together.
func (b *book) whence(fs *facts) *Whence {
	p, tables := b.pages, b.found.tables
	out := &Whence{Words: p.lang.w}
	for _, s := range p.sheets {
		out.Weeks = append(out.Weeks, weekPlaces(s, tables, p.words, b.found.cal.weeks)...)
	}
	tc := tracer{lang: p.lang, cal: b.found.cal, week: b.week, herd: b.seen.herd, feeding: fs.feeding, amounts: fs.feeding.amounts, room: b.room, bare: b.bare, work: fs.feeding.work}
	kinds := map[*column]SpotKind{}
	for _, h := range b.seen.herd.horses {
		out.Spots = append(out.Spots, tc.spotsOf(h, kinds)...)
	}
	out.Spots = append(out.Spots, tc.emptySpots(tables, b.seen.obs, kinds)...)
	return out
}
