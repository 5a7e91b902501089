package board

import (
	"slices"
	"time"

	"hardfeed/ingest/phrase"
)

// dayPlace is a place for a horse's work on one day: a cell, perhaps blank, under or
// beside the day.
type dayPlace struct {
	horse, day int
	week       *weekOf
	sheet      *sheetData
	head       *Cell // over or beside it
	blank      bool  // nothing is written there
	fill       string
}

// dayPlaces are all the places for work.
type dayPlaces struct {
	all []*dayPlace
	of  map[int][]*dayPlace // the same, by horse
}

func newDayPlaces() *dayPlaces { return &dayPlaces{of: map[int][]*dayPlace{}} }

// add keeps that a horse has a place for its work on a day.
func (ps *dayPlaces) add(p dayPlace) {
	if p.day >= 0 && p.day < 7 {
		ps.all = append(ps.all, &p)
		ps.of[p.horse] = append(ps.of[p.horse], &p)
	}
}

// weekPlaces is where a horse's seven days of the week planned stand; nil for a day
// the sheets have no place for.
func (ps *dayPlaces) weekPlaces(pw plannedWeek, horse int) (out [7]*dayPlace) {
	for _, p := range ps.of[horse] {
		if out[p.day] == nil && pw.age(&obs{week: p.week}) == 0 {
			out[p.day] = p
		}
	}
	return out
}

// restWritten says whether a sheet writes a word or a dash for a day off, so that a
// blank is not a day off there but a day nobody has filled in. Days off left blank by
// most, and written by a few, are blank by habit.
func (ww *workWeeks) restWritten(s *sheetData) bool {
	if v, ok := ww.rest[s]; ok {
		return v
	}
	type day struct {
		horse, day int
	}
	filled, rest := map[day]bool{}, map[day]bool{}
	for _, o := range ww.obs {
		if o.role != workRole || ww.week.age(o) != 0 || o.sheet != s {
			continue
		}
		w := ww.work.workCell(o)
		free := len(w.Sessions) == 0 && (w.Free == phrase.Rest || w.Free == phrase.Dash)
		for _, d := range o.daysOf() {
			filled[day{o.horse, d}] = true
			if free && len(o.daysOf()) == 1 {
				rest[day{o.horse, d}] = true
			}
		}
	}
	someWork := map[int]bool{}
	for d := range filled {
		someWork[d.horse] = true
	}
	blank := map[day]bool{}
	for _, p := range ww.places.all {
		if d := (day{p.horse, p.day}); p.sheet == s && someWork[p.horse] && !filled[d] && ww.week.age(&obs{week: p.week}) == 0 {
			blank[d] = true
		}
	}
	v := len(rest)*2 >= len(blank) && len(rest) > 1
	ww.rest[s] = v
	return v
}

// blankDay settles a day of the week nothing is written for. Where the sheets have no
// place for it, or write their days off, it is not known and asked about; else it is a
// day off, which is said once a sheet.
func (ww *workWeeks) blankDay(h *horse, d int, p *dayPlace, day *dayWork) {
	switch {
	case p == nil:
		day.said, day.unknown = true, true
		ww.askDay("noday", ask{rule: "work-blank", why: "none", cell: h.cell, sheet: h.sheet}, h, d)
	case ww.restWritten(p.sheet):
		day.said, day.unknown = true, true
		ww.askDay("blankday\x00"+p.sheet.Name, ask{rule: "work-blank", why: "blank", cell: p.head, sheet: p.sheet}, h, d)
	case p.fill != "" && ww.coloursDiffer(p.sheet):
		ww.askColour(h, d, p, day)
	case h.fate == "" && !h.struck:
		ww.askDay("restday\x00"+p.sheet.Name, ask{rule: "work-blank", why: "rest", cell: p.head, sheet: p.sheet, note: true}, h, d)
	}
}

// askDay adds a horse's day to a question about several.
func (ww *workWeeks) askDay(key string, a ask, h *horse, d int) {
	x := ww.asks.add(key, a)
	i := h.index
	if !slices.Contains(x.horses, i) {
		x.horses = append(x.horses, i)
	}
	if x.days == nil {
		x.days = map[int][]int{}
	}
	if !slices.Contains(x.days[i], d) {
		x.days[i] = append(x.days[i], d)
	}
}

// listedWeek is the stretch of a week that a list with a line for each horse and day
// speaks of.
type listedWeek struct {
	week        *weekOf
	first, last int // counted from the week's first day
	head        *Cell
}

// listDay keeps that a list speaks of a day.
func (t *table) listDay(day int, w *weekOf, head *Cell) {
	at := day
	if w.first.Weekday() == time.Sunday && !w.first.IsZero() {
		at = (day + 1) % 7
	}
	for i := range t.listed {
		if x := &t.listed[i]; x.week.first.Equal(w.first) && x.week.rel == w.rel {
			x.first, x.last = min(x.first, at), max(x.last, at)
			return
		}
	}
	t.listed = append(t.listed, listedWeek{w, at, at, head})
}

// placesOfList gives each horse of a list a place on each day the list speaks of:
// between its first and its last a horse that is not in it has no work.
func (tr *tableReader) placesOfList(t *table) {
	seen := map[*horse]bool{}
	for _, h := range t.horses {
		if seen[h] {
			continue
		}
		seen[h] = true
		for _, x := range t.listed {
			for at := x.first; at <= x.last; at++ {
				day := at
				if x.week.first.Weekday() == time.Sunday && !x.week.first.IsZero() {
					day = (at + 6) % 7
				}
				tr.places.add(dayPlace{horse: h.index, day: day, week: x.week, sheet: t.g.page, head: x.head})
			}
		}
	}
}
