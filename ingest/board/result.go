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

// result is the week that a workbook is of.
func (b *book) result(fs *facts) yard.Week {
	w := yard.Week{Paper: "A4", Beginning: b.week.first}
	w.Read.Sheets = len(b.sheets)
	for _, s := range b.sheets {
		w.Read.Rows += len(s.rows)
	}
	if b.lang.pound {
		w.Imperial = true
	}
	for _, h := range b.herd.horses { // the feeds of all are known before any is written down
		h.now, h.plan = fs.feeding.rations(h)
	}
	check := checks{herd: b.herd, asks: b.asks, room: b.room, scales: fs.scales, amounts: fs.feeding.amounts, week: b.week, tables: b.tables}
	check.farWeights()
	check.checkRations()
	check.blankMeals()
	check.compareTotals(b.totals)
	check.missingFeed()
	for _, h := range b.herd.horses {
		w.Horses = append(w.Horses, fs.horseWeek(h, &w))
	}
	unnamedHorses(b.unnamed, b.asks, &w)
	w.Read.Horses = len(w.Horses)
	fs.feedRoom(&w)
	left := account{sheets: b.sheets, words: b.words, lang: b.lang, who: b.who, herd: b.herd, tables: b.tables, obs: b.obs, asks: b.asks, week: b.week, cal: b.cal}
	left.leftOver()
	understood(b.asks, b.herd, b.room, b.sheets, &w)
	readAs(b.sheets, b.tables, b.forms, b.cal, &w)
	w.Findings = findings(b.asks, b.herd)
	yard.SortFindings(w.Findings)
	return w
}

func (b *book) newFacts() *facts {
	work := &workReader{lang: b.lang, bare: b.bare, read: map[string]phrase.Work{}}
	amounts := &rationReader{lang: b.lang, words: b.words, room: b.room, bare: b.bare, asks: b.asks}
	return &facts{herd: b.herd, asks: b.asks, room: b.room, lang: b.lang, cal: b.cal, week: b.week, mealsUsed: map[string]bool{},
		feeding: &feeding{amounts: amounts, asks: b.asks, week: b.week, cal: b.cal, work: work, room: b.room},
		scales:  &weigher{lang: b.lang, cal: b.cal, week: b.week, asks: b.asks},
		work:    &workWeeks{work: work, words: b.words, asks: b.asks, herd: b.herd, week: b.week, places: b.places, tables: b.tables, obs: b.obs, rest: map[*sheetData]bool{}},
		notes:   &noteReader{lang: b.lang, work: work, week: b.week, asks: b.asks}}
}
