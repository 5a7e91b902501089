package board

import (
	"slices"
	"strings"

	"hardfeed/ingest/phrase"
	"hardfeed/ration/yard"
)

// dayWork is what a horse does on a day.
type dayWork struct {
	said    bool
	unknown bool
	event   bool
	starts  []yard.EventStart
	session []yard.Session
	texts   []string
	at      *obs
	last    *obs // the cell that is being read
}

// weekCells are a horse's cells of work in a week, by what they say of the day.
type weekCells struct {
	of    [7][]*obs
	loose []*obs // say no day
	named *obs   // names the days it is about: the others are off
	doubt bool   // one could not be parted by its days
	n     int
}

// workReader reads single cells of work, each text once.
type workReader struct {
	lang *language
	bare *bareFigures
	read map[string]phrase.Work
}

// workWeeks puts the weeks of work of the horses together.
type workWeeks struct {
	work   *workReader
	words  *vocabulary
	asks   *questions
	herd   *herd
	week   plannedWeek
	places *dayPlaces
	tables []*table
	obs    []*obs
	rest   map[*sheetData]bool // whether a sheet writes its days off
	colour map[*sheetData]bool // whether the colours of its blank days say something
}

// cellsOfWeek sorts a horse's cells of work by their days.
func (ww *workWeeks) cellsOfWeek(h *horse, age int) (w weekCells) {
	for _, o := range h.obs {
		if o.role != workRole || ww.week.age(o) != age {
			continue
		}
		w.n++
		o.use("its work")
		if ds := o.daysOf(); len(ds) > 0 {
			for _, d := range ds {
				w.of[d] = append(w.of[d], o)
			}
			continue
		}
		parts, said := ww.words.daysAmong(o)
		if len(parts) == 0 && o.week != nil && o.week.across && !ww.idle(o) {
			said = phrase.Unclear // of a whole week, and no day
		}
		switch w.take(parts); said {
		case phrase.Unclear:
			if age == 0 || o.week == nil || !o.week.across {
				ww.asks.askCell("work-word", o, "days")
			}
			w.doubt = true
		case phrase.WhichDays:
			ww.asks.askCell("work-word", o, "which days")
			w.doubt = true
		case phrase.Parted:
			w.named = o
		default:
			if len(parts) == 0 {
				w.loose = append(w.loose, o)
			}
		}
	}
	return w
}

// idle says whether a cell of a whole week says that nothing is done in it.
func (ww *workWeeks) idle(o *obs) bool {
	w := ww.work.workCell(o)
	return w.Free != phrase.Working && len(w.Sessions) == 0 && !w.Event
}

// take keeps the parts of a cell that say their days.
func (w *weekCells) take(parts []*obs) {
	for _, p := range parts {
		w.of[p.day] = append(w.of[p.day], p)
	}
}

// workOf reads a horse's week of work, and that of the week before where it is
// written.
func (ww *workWeeks) workOf(h *horse, age int) (days [7]dayWork, given bool) {
	w := ww.cellsOfWeek(h, age)
	if w.n == 0 {
		row := ww.hasWorkRow(h, age)
		if !row && age == 0 && h.fate == "" && !h.struck {
			x := ww.asks.add("nowork", ask{rule: "work-missing", word: h.name, cell: h.cell, sheet: h.sheet})
			x.horses = append(x.horses, h.index)
		}
		if row && age == 0 {
			ww.colouredDays(h, &days)
		}
		return days, row
	}
	if w.doubt || ww.doubtLoose(w.loose) {
		for i := range days {
			days[i].said, days[i].unknown = true, len(w.of[i]) == 0
		}
		w.loose = nil
	}
	all := ww.stateOfWeek(w)
	for d := range 7 {
		for _, o := range w.of[d] {
			ww.addWork(h, &days[d], o, w.of, 0)
		}
		if len(w.of[d]) > 0 {
			continue
		}
		for _, o := range w.loose {
			ww.addWork(h, &days[d], o, w.of, 0)
		}
		if w.named != nil && !days[d].said {
			days[d].said, days[d].at = true, w.named
		}
		if all != nil {
			days[d].said, days[d].at = true, all
			days[d].texts = append(days[d].texts, all.cell.Text)
		}
	}
	for d := range 7 {
		if tooMuchWork(days[d]) {
			days[d].unknown = true
			ww.asks.askCell("work-word", days[d].at, "much")
		}
	}
	if age == 0 {
		places := ww.places.weekPlaces(ww.week, h.index)
		for d := range 7 {
			if !days[d].said {
				ww.blankDay(h, d, places[d], &days[d])
			}
		}
	}
	return days, true
}

// hasWorkRow says whether a horse is in a table of work of that week, though
// with nothing written.
func (ww *workWeeks) hasWorkRow(h *horse, age int) bool {
	for _, t := range ww.tables {
		if t.kind != "" || t.g.page.blank {
			continue
		}
		if !slices.ContainsFunc(t.cols, func(k *column) bool { return k.role == workRole && k.day >= 0 }) {
			continue
		}
		if age == 0 && slices.Contains(t.horses, h) {
			return true
		}
	}
	return false
}

// stateOfWeek finds the one cell that says of the whole week that there is no work:
// box rest, turned out, sold; nil where there is none, or more is written.
func (ww *workWeeks) stateOfWeek(w weekCells) *obs {
	if w.n != 1 {
		return nil
	}
	for _, os := range w.of {
		for _, o := range os {
			x := ww.work.workCell(o)
			if x.AllWeek || x.Fate != "" {
				return o
			}
			switch x.Free {
			case phrase.BoxRest, phrase.Turnout, phrase.Retired, phrase.Lame, phrase.Rest:
				if len(x.Sessions) == 0 {
					return o
				}
			}
		}
	}
	return nil
}

// workCell reads one cell of work.
func (wr *workReader) workCell(o *obs) phrase.Work {
	ctx := phrase.WorkContext{Bare: wr.bare.bareWorkOf(o), SessionMinutes: wr.bare.sessionMin}
	text := o.cell.Text
	if o.rest != nil && !dash(o.rest.Text) {
		text += " " + o.rest.Text
		if o.rest.Kind == Number || isNumber(o.rest.Text) {
			text += " min"
		}
	}
	key := text + "\x00" + ctx.Bare
	if w, ok := wr.read[key]; ok {
		return w
	}
	if o.cell.Kind == Elapsed {
		text = strings.Replace(text, ":", "h", 1)
	}
	w := wr.lang.w.Work(text, ctx)
	if w.Ref != nil && w.Ref.Above && !ditto(text) && wr.lang.ownWord(text) {
		// Her own word for some work, which elsewhere means "ditto".
		w = wr.lang.w.Work(text+" + –", ctx)
	}
	wr.read[key] = w
	return w
}

func isNumber(s string) bool {
	s = strings.TrimSpace(s)
	return s != "" && strings.Trim(s, "0123456789.,") == ""
}

// addWork adds what a cell says to a day.
func (ww *workWeeks) addWork(h *horse, d *dayWork, o *obs, week [7][]*obs, depth int) {
	d.said = true
	if d.at == nil {
		d.at = o
	}
	d.last = o
	d.texts = append(d.texts, o.cell.Text)
	ww.addRead(h, d, o, ww.work.workCell(o), week, depth)
}

// addRead adds work that was read to a day; o is where it is written, which is another
// cell than the day's own where that says "as Mon" or ".
func (ww *workWeeks) addRead(h *horse, d *dayWork, o *obs, w phrase.Work, week [7][]*obs, depth int) {
	if w.Ref != nil {
		if depth > 7 {
			d.unknown = true
			ww.asks.askCell("work-same", o, "in a circle")
			return
		}
		switch {
		case w.Ref.Above:
			if x := o.above(); x != nil {
				ww.addRead(h, d, x, ww.work.workCell(x), week, depth+1)
				return
			}
		case w.Ref.Weekday >= 0:
			found := false
			for _, x := range week[w.Ref.Weekday] {
				if x.half == o.half && x != o {
					ww.addRead(h, d, x, ww.work.workCell(x), week, depth+1)
					found = true
				}
			}
			if found {
				return
			}
		case w.Ref.Other != "":
			if i, ok := ww.herd.byName[foldName(w.Ref.Other)]; ok && ww.herd.horses[i] != h {
				found := false
				for _, x := range ww.herd.horses[i].obs {
					if x.role == workRole && x.day == o.day && x.half == o.half && ww.week.age(x) == ww.week.age(o) {
						ww.addRead(ww.herd.horses[i], d, x, ww.work.workCell(x), [7][]*obs{}, depth+1)
						found = true
					}
				}
				if found {
					return
				}
			}
		}
		d.unknown = true
		ww.asks.askCell("work-same", o, "same")
		return
	}
	for _, x := range w.Doubts {
		d.unknown = true
		ww.asks.askWork(o, x)
		if d.last != o {
			ww.asks.askWork(d.last, x)
		}
	}
	for _, x := range w.Defaults {
		if x.Minutes > 0 {
			ww.asks.sayDefault(o, x)
			if d.last != o {
				ww.asks.sayDefault(d.last, x) // of another horse, perhaps
			}
		}
	}
	d.event = d.event || w.Event
	d.starts = append(d.starts, w.Starts()...)
	for _, s := range w.Sessions {
		d.session = append(d.session, s.Session)
	}
}

// mostLooseLines are how many lines of a horse's work may be the whole week's: what it does
// and what it does besides.
const mostLooseLines = 2

// doubtLoose asks where several cells of work of one horse say no day and stand in
// columns of their own, or in more lines than a whole week needs: one of them can be the
// whole week's, several can not.
func (ww *workWeeks) doubtLoose(loose []*obs) bool {
	lines := map[string]map[int]bool{} // by half of the day
	for _, o := range loose {
		if o.head == nil {
			continue
		}
		if lines[o.half] == nil {
			lines[o.half] = map[int]bool{}
		}
		if lines[o.half][o.cell.Row] = true; len(lines[o.half]) > mostLooseLines {
			ww.asks.askColumn(o)
			return true
		}
	}
	for i, o := range loose {
		for _, x := range loose[:i] {
			if o.half == x.half && o.col != x.col && o.head != nil {
				ww.asks.askColumn(o)
				return true
			}
		}
	}
	return false
}

// mostWorkMin is the longest a day's work can be, in minutes. A hundred-mile
// ride takes a day and a night; nothing else comes near (common practice, no source).
const mostWorkMin = 14 * 60

// tooMuchWork says whether more work was read for a day than any horse does.
func tooMuchWork(d dayWork) bool {
	sum := 0.0
	for _, s := range d.session {
		sum += s.Total()
	}
	return sum > mostWorkMin
}
