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

// cellsOfWeek sorts a horse's cells of work by their days.
func (b *book) cellsOfWeek(h *horse, age int) (w weekCells) {
	for _, o := range h.obs {
		if o.role != workRole || b.age(o) != age {
			continue
		}
		w.n++
		o.use("its work")
		if ds := daysOf(o); len(ds) > 0 {
			for _, d := range ds {
				w.of[d] = append(w.of[d], o)
			}
			continue
		}
		if parts := b.words.daysInside(o); len(parts) > 0 {
			w.take(parts)
			continue
		}
		parts, ok := b.words.daysAmong(o)
		switch {
		case !ok:
			b.asks.askCell("work-word", o, "days")
			w.doubt = true
		case len(parts) > 0:
			w.take(parts)
			w.named = o
		default:
			w.loose = append(w.loose, o)
		}
	}
	return w
}

// take keeps the parts of a cell that say their days.
func (w *weekCells) take(parts []*obs) {
	for _, p := range parts {
		w.of[p.day] = append(w.of[p.day], p)
	}
}

// workOf reads a horse's week of work, and that of the week before where it is
// written.
func (b *book) workOf(h *horse, age int) (days [7]dayWork, given bool) {
	w := b.cellsOfWeek(h, age)
	if w.n == 0 {
		row := b.hasWorkRow(h, age)
		if !row && age == 0 && h.fate == "" && !h.struck {
			x := b.asks.add("nowork", ask{rule: "work-missing", word: h.name, cell: h.cell, sheet: h.sheet})
			x.horses = append(x.horses, b.byName[b.who.key(h.name)])
		}
		return days, row
	}
	if w.doubt || b.doubtLoose(w.loose) {
		for i := range days {
			days[i].said, days[i].unknown = true, len(w.of[i]) == 0
		}
		w.loose = nil
	}
	all := b.stateOfWeek(w)
	for d := range 7 {
		for _, o := range w.of[d] {
			b.addWork(h, &days[d], o, w.of, 0)
		}
		if len(w.of[d]) > 0 {
			continue
		}
		for _, o := range w.loose {
			b.addWork(h, &days[d], o, w.of, 0)
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
			b.asks.askCell("work-word", days[d].at, "much")
		}
	}
	if age == 0 {
		places := b.weekPlaces(b.byName[b.who.key(h.name)])
		for d := range 7 {
			if !days[d].said {
				b.blankDay(h, d, places[d], &days[d])
			}
		}
	}
	return days, true
}

// hasWorkRow says whether a horse is in a table of work of that week, though
// with nothing written.
func (b *book) hasWorkRow(h *horse, age int) bool {
	for _, t := range b.tables {
		if t.kind != "" || t.g.blank {
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

// daysOf are the days of the week a cell of work is about.
func daysOf(o *obs) []int {
	if o.day < 0 {
		return nil
	}
	if !o.joint || o.table == nil && o.span.Row1 == o.span.Row2 && o.span.Col1 == o.span.Col2 {
		return []int{o.day}
	}
	if o.table == nil { // a form: over days beside each other
		var out []int
		for i := range min(o.span.Col2-o.span.Col1+1, 7) {
			out = append(out, (o.day+i)%7)
		}
		return out
	}
	lo, hi := o.span.Col1, o.span.Col2
	if o.turned() {
		lo, hi = o.span.Row1, o.span.Row2
	}
	var out []int
	for _, k := range o.table.cols {
		if k.at >= lo && k.at <= hi && k.role == workRole && k.day >= 0 && k.shift == o.col.shift {
			out = append(out, k.day)
		}
	}
	if len(out) == 0 {
		return []int{o.day}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// stateOfWeek finds the one cell that says of the whole week that there is no work:
// box rest, turned out, sold; nil where there is none, or more is written.
func (b *book) stateOfWeek(w weekCells) *obs {
	if w.n != 1 {
		return nil
	}
	for _, os := range w.of {
		for _, o := range os {
			x := b.workCell(o)
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
func (b *book) workCell(o *obs) phrase.Work {
	ctx := phrase.WorkContext{Bare: b.bareWorkOf(o), SessionMinutes: b.sessionMin}
	text := o.cell.Text
	if o.rest != nil && !dash(o.rest.Text) {
		text += " " + o.rest.Text
		if o.rest.Kind == Number || isNumber(o.rest.Text) {
			text += " min"
		}
	}
	key := text + "\x00" + ctx.Bare
	if w, ok := b.workRead[key]; ok {
		return w
	}
	if o.cell.Kind == Elapsed {
		text = strings.Replace(text, ":", "h", 1)
	}
	w := b.lang.w.Work(text, ctx)
	if w.Ref != nil && w.Ref.Above && !ditto(text) && b.lang.ownWord(text) {
		// Her own word for some work, which elsewhere means "ditto".
		w = b.lang.w.Work(text+" + –", ctx)
	}
	b.workRead[key] = w
	return w
}

func isNumber(s string) bool {
	s = strings.TrimSpace(s)
	return s != "" && strings.Trim(s, "0123456789.,") == ""
}

// bareWorkOf is what a number alone is in a cell: minutes, hours, sessions.
func (b *book) bareWorkOf(o *obs) string {
	if s := unitOfWork(o.lab); s != "" {
		return s
	}
	if o.sheet.bareWork != "" {
		return o.sheet.bareWork
	}
	return b.bareWork
}

// addWork adds what a cell says to a day.
func (b *book) addWork(h *horse, d *dayWork, o *obs, week [7][]*obs, depth int) {
	d.said = true
	if d.at == nil {
		d.at = o
	}
	d.last = o
	d.texts = append(d.texts, o.cell.Text)
	b.addRead(h, d, o, b.workCell(o), week, depth)
}

// addRead adds work that was read to a day; o is where it is written, which is another
// cell than the day's own where that says "as Mon" or ".
func (b *book) addRead(h *horse, d *dayWork, o *obs, w phrase.Work, week [7][]*obs, depth int) {
	if w.Ref != nil {
		if depth > 7 {
			d.unknown = true
			b.asks.askCell("work-same", o, "in a circle")
			return
		}
		switch {
		case w.Ref.Above:
			if x := above(o); x != nil {
				b.addRead(h, d, x, b.workCell(x), week, depth+1)
				return
			}
		case w.Ref.Weekday >= 0:
			found := false
			for _, x := range week[w.Ref.Weekday] {
				if x.half == o.half && x != o {
					b.addRead(h, d, x, b.workCell(x), week, depth+1)
					found = true
				}
			}
			if found {
				return
			}
		case w.Ref.Other != "":
			if i, ok := b.byName[foldName(w.Ref.Other)]; ok && b.horses[i] != h {
				found := false
				for _, x := range b.horses[i].obs {
					if x.role == workRole && x.day == o.day && x.half == o.half && b.age(x) == b.age(o) {
						b.addRead(b.horses[i], d, x, b.workCell(x), [7][]*obs{}, depth+1)
						found = true
					}
				}
				if found {
					return
				}
			}
		}
		d.unknown = true
		b.asks.askCell("work-same", o, "same")
		return
	}
	for _, x := range w.Doubts {
		d.unknown = true
		b.asks.askWork(o, x)
		if d.last != o {
			b.asks.askWork(d.last, x)
		}
	}
	for _, x := range w.Defaults {
		if x.Minutes > 0 {
			b.asks.sayDefault(o, x)
			if d.last != o {
				b.asks.sayDefault(d.last, x) // of another horse, perhaps
			}
		}
	}
	d.event = d.event || w.Event
	d.starts = append(d.starts, w.Starts()...)
	for _, s := range w.Sessions {
		d.session = append(d.session, s.Session)
	}
}

// ownWord says whether her legend defines a text.
func (l *language) ownWord(text string) bool {
	f := foldName(text)
	for _, d := range l.w.Definitions() {
		if d.Word != "" && foldName(d.Word) == f {
			return true
		}
	}
	return false
}
