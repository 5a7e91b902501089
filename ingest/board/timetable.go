package board

import (
	"slices"
	"strconv"
	"strings"

	"hardfeed/ingest/phrase"
)

// timetable is a region with a column a day and the horses' names in its cells: who goes in
// which lesson, or who is worked that day and for how long.
type timetable struct {
	sheet  *sheetData
	head   int // row of the days
	end    int // row behind the last
	days   []timetableDay
	lesson float64 // minutes of one; 0 where nobody says
}

type timetableDay struct {
	col, day int
	date     date
	head     *Cell
}

// inLesson is a horse named in a cell of a timetable, with what is written behind its name.
type inLesson struct{ horse, work string }

// timetableFinder looks for timetables.
type timetableFinder struct {
	words *vocabulary
	lang  *language
	who   *names
}

// fewestDays is how many days a timetable has at least (ours): two may be anything.
const fewestDays = 3

// findTimetables finds the timetables of a workbook, and gives the tables back that are none.
// The horses are known by other tables.
func (tt *timetableFinder) findTimetables(sheets []*sheetData, tables []*table) (found []*timetable, rest []*table) {
	rest = tables
	for _, s := range sheets {
		if s.blank {
			continue
		}
		for _, r := range (grid{page: s}).sortedRows() {
			if len(found) > 0 && found[len(found)-1].sheet == s && r < found[len(found)-1].end {
				continue
			}
			t := tt.headedBy(s, r)
			if t == nil {
				continue
			}
			others := slices.DeleteFunc(slices.Clone(rest), t.overlaps)
			if tt.holdsHorses(t, others) {
				found, rest = append(found, t), others
			}
		}
	}
	return found, rest
}

// headedBy is the timetable under a row of days; nil where it is none.
func (tt *timetableFinder) headedBy(s *sheetData, r int) *timetable {
	t := &timetable{sheet: s, head: r, end: r + 1}
	seen := map[int]bool{}
	for _, c := range s.rows[r] {
		l := tt.words.labelOf(c)
		if l.day < 0 || len(l.order) > 0 || len(l.rest) > 0 || seen[l.day] || !c.free() && c.fate.what != "title" {
			continue
		}
		d := timetableDay{col: c.Col, day: l.day, head: c}
		if len(l.dates) > 0 {
			d.date = l.dates[0]
		}
		seen[l.day] = true
		t.days = append(t.days, d)
	}
	if len(t.days) < fewestDays {
		return nil
	}
	for q, blank := r+1, 0; q <= s.lastRow && blank < 2; q++ {
		filled := false
		for _, d := range t.days {
			if c := s.cell(q, d.col); c != nil && c.Kind != Text {
				return nil // a number, a date: of a horse's row
			} else if c != nil {
				filled = true
			}
		}
		if filled {
			t.end, blank = q+1, 0
		} else {
			blank++
		}
	}
	return t
}

// on is the day of the week a column is about, and the week: its date says more than the
// week over the timetable.
func (d *timetableDay) on(cal *calendar, week *weekOf) (int, *weekOf) {
	if d.date != (date{}) {
		if day, of := cal.dayOfDate(d.date, d.day, week); day >= 0 {
			return day, of
		}
	}
	return d.day, week
}

// overlaps says whether a table lies where the timetable does.
func (t *timetable) overlaps(o *table) bool {
	if o.g.page != t.sheet {
		return false
	}
	r1, r2, c1, c2 := o.h1, o.end-1, o.c1, o.c2
	if o.g.turned {
		r1, r2, c1, c2 = c1, c2, r1, r2
	}
	return r1 < t.end && t.head <= r2 && c1 <= t.days[len(t.days)-1].col && t.days[0].col <= c2
}

// mostStrange is the part of a timetable's cells that may say something else (ours): "closed".
const mostStrange = 0.2

// holdsHorses says whether nearly all cells name horses that other tables have, two at least,
// and no horse is named beside them.
func (tt *timetableFinder) holdsHorses(t *timetable, others []*table) bool {
	elsewhere := map[string]bool{}
	for _, o := range others {
		if o.kind != "" {
			continue
		}
		for r := o.h2 + 1; r < o.end; r++ {
			if x := o.g.at(r, o.name); x != nil {
				elsewhere[tt.who.key(x.Text)] = true
			}
		}
	}
	n, strange := 0, 0
	named := map[string]bool{}
	for r := t.head + 1; r < t.end; r++ {
		for _, c := range t.sheet.rows[r] {
			if c.Col < t.days[0].col {
				if elsewhere[tt.who.key(c.Text)] {
					return false
				}
				continue
			}
			if t.dayAt(c.Col) == nil {
				continue
			}
			n++
			in := tt.namedIn(c.Text)
			if len(in) == 0 {
				strange++
			}
			for _, x := range in {
				if h := tt.who.key(x.horse); elsewhere[h] {
					named[h] = true
				}
			}
		}
	}
	return n >= fewestDays && float64(strange) <= mostStrange*float64(n) && len(named) >= 2
}

func (t *timetable) dayAt(col int) *timetableDay {
	for i := range t.days {
		if t.days[i].col == col {
			return &t.days[i]
		}
	}
	return nil
}

// namedIn are the horses a cell names, each with what is behind its name: "Pip, Dot 30"; nil
// where it begins with another word.
func (tt *timetableFinder) namedIn(text string) (out []inLesson) {
	text = strings.ReplaceAll(text, "\n", ", ")
	for _, part := range between().Split(text, -1) {
		part = strings.TrimSpace(part)
		if part == "" {
			continue
		}
		name, work, ok := tt.nameBefore(part)
		switch {
		case ok:
			out = append(out, inLesson{name, work})
		case len(out) == 0:
			return nil
		default:
			out[len(out)-1].work += ", " + part
		}
	}
	return out
}

// nameBefore parts a text behind the longest name it begins with.
func (tt *timetableFinder) nameBefore(text string) (name, work string, ok bool) {
	for end := len(text); end > 0; end = strings.LastIndexAny(text[:end], " (") {
		if n := strings.TrimSpace(text[:end]); tt.who.known[foldName(n)] || tt.who.alias[foldName(n)] != "" {
			return n, strings.Trim(text[end:], " ()-–:"), true
		}
	}
	return "", "", false
}

// lessonLength is how long one lesson is: what a legend says of a session, or of the one word
// of work it gives a length.
func (l *language) lessonLength(bare *bareFigures) float64 {
	if bare.sessionMin > 0 {
		return bare.sessionMin
	}
	minutes := 0.0
	for _, d := range l.w.Definitions() {
		if d.Kind == phrase.WorkLength && d.Length.Minutes > 0 && !d.Length.Event {
			if minutes > 0 && minutes != d.Length.Minutes {
				return 0
			}
			minutes = d.Length.Minutes
		}
	}
	return minutes
}

// fewestBehindName and mostBehindName are the numbers behind a name that are taken for
// minutes (ours).
const fewestBehindName, mostBehindName = 10, 240

// readTimetables reads the cells of timetables as work of the horses they name. Where nobody
// says how long a lesson is, names alone stay unread.
func (tt *timetableFinder) readTimetables(all []*timetable, bare *bareFigures, hd *herd, cal *calendar, ps *dayPlaces) (out []*obs) {
	minutes := tt.lang.lessonLength(bare)
	for _, t := range all {
		t.lesson = minutes
		out = append(out, tt.readTimetable(t, hd, cal, ps)...)
	}
	return out
}

func (tt *timetableFinder) readTimetable(t *timetable, hd *herd, cal *calendar, ps *dayPlaces) (out []*obs) {
	week := cal.weekOfRegion(t.sheet, t.head)
	seen := map[int]bool{}
	for r := t.head + 1; r < t.end; r++ {
		for _, c := range t.sheet.rows[r] {
			d := t.dayAt(c.Col)
			if d == nil {
				if c.Col < t.days[0].col {
					t.sheet.mark(c, "label", rowsOwn)
				}
				continue
			}
			read := t.obsOf(c, d, tt.namedIn(c.Text), hd, cal, week)
			if len(read) > 0 {
				t.sheet.mark(c, "used", "its work")
			}
			for _, o := range read {
				seen[o.horse] = true
			}
			out = append(out, read...)
		}
	}
	if len(out) == 0 {
		return nil
	}
	for _, c := range t.sheet.rows[t.head] {
		t.sheet.mark(c, "label", "a heading")
	}
	for h := range hd.horses {
		if !seen[h] {
			continue
		}
		for _, d := range t.days {
			day, of := d.on(cal, week)
			ps.add(dayPlace{horse: h, day: day, week: of, sheet: t.sheet, head: d.head, blank: true})
		}
	}
	return out
}

// obsOf is the work a cell gives the horses it names; nil where that of one cannot be told.
func (t *timetable) obsOf(c *Cell, d *timetableDay, named []inLesson, hd *herd, cal *calendar, week *weekOf) (out []*obs) {
	for _, x := range named {
		i, ok := hd.named(x.horse)
		if !ok {
			return nil
		}
		work := x.work
		switch v, err := strconv.Atoi(work); {
		case work == "" && t.lesson == 0:
			return nil
		case work == "":
			work = strconv.FormatFloat(t.lesson, 'f', -1, 64) + " min"
		case err == nil && v >= fewestBehindName && v <= mostBehindName:
			work += " min"
		}
		o := &obs{sheet: t.sheet, cell: &Cell{Row: c.Row, Col: c.Col, Kind: Text, Text: work}, horse: i, role: workRole, day: d.day, head: d.head, lab: &label{day: d.day}, row: c.Row, week: week}
		o.day, o.week = d.on(cal, week)
		out = append(out, o)
	}
	return out
}
