package board

import (
	"strings"

	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/phrase"
	"hardfeed/ingest/quantity"
)

var dayThen = lazily(`(^|[,;/\n+]\s*|\.\s+)(\pL{2,12})\.?(\s*[:–-]\s*|\s+)`)

// daysInside parts a cell that says its day itself, or several of them: "Mon: lesson
// 45", "Mon hack 60, Tue off". Nil where it begins with no day.
func (v *vocabulary) daysInside(o *obs) []*obs {
	if o.cell.Kind != Text {
		return nil
	}
	text := o.cell.Text
	type start struct{ day, from, body int }
	var starts []start
	for _, m := range dayThen().FindAllStringSubmatchIndex(text, -1) {
		if d, ok := v.day(foldWord(text[m[4]:m[5]])); ok {
			starts = append(starts, start{d, m[0], m[1]})
		}
	}
	if len(starts) == 0 || starts[0].from > 0 {
		return nil
	}
	var out []*obs
	for i, s := range starts {
		end := len(text)
		if i+1 < len(starts) {
			end = starts[i+1].from
		}
		body := strings.Trim(text[s.body:end], " ,;\n")
		if first, _, _ := strings.Cut(body, " "); body == "" || v.isDay(strings.Trim(first, ",.:–-")) || v.isDay(dayWord().FindString(first)) {
			return nil // "Mon Wed Fri hack 60", "Mon–Fri hack 60": for several days
		}
		p := *o
		p.cell = &Cell{Row: o.cell.Row, Col: o.cell.Col, Kind: Text, Text: body}
		p.day, p.joint = s.day, false
		out = append(out, &p)
	}
	return out
}

// withMinutes puts the minutes that stand in a row of their own below the days of a
// form beside the work of the same day.
func withMinutes(all []*obs) {
	for _, m := range all {
		if m.role != minutesRole || m.day < 0 {
			continue
		}
		for _, o := range all {
			if o.role != workRole || o.day != m.day || o.horse != m.horse || o.sheet != m.sheet || o.rest != nil {
				continue
			}
			o.rest = m.cell
			m.sheet.mark(m.cell, "used", "")
			break
		}
	}
}

var dayWord = lazily(`\pL{2,12}`)

// daysAmong parts a cell that says what is done and on which days. Nil where it names no
// day; said is phrase.Parted else, or why it cannot be parted.
func (v *vocabulary) daysAmong(o *obs) (out []*obs, said phrase.DaysSaid) {
	if o.cell.Kind != Text {
		return nil, phrase.NoDays
	}
	parts, several, said := v.lang.w.DaysOfWeek(o.cell.Text, v.weekday)
	if !several { // single days each with their own: the rest of the week may be in another cell
		if inside := v.daysInside(o); inside != nil {
			return inside, phrase.NoDays
		}
	}
	for _, part := range parts {
		for _, d := range part.Days {
			p := *o
			p.cell = &Cell{Row: o.cell.Row, Col: o.cell.Col, Kind: Text, Text: part.Text}
			p.day, p.joint = d, false
			out = append(out, &p)
		}
	}
	return out, said
}

// weekday is which day of the week a word is.
func (v *vocabulary) weekday(w string) (int, bool) {
	d, ok := v.day(foldWord(w))
	if !ok && len(w) > 3 { // "Fridays"
		n := 0
		d, n = quantity.ReadWeekday(v.lang.w.Table(), lexicon.Scan(w), 0)
		ok = n == 1
	}
	return d, ok && phrase.DayWord(w, v.language)
}

// isDay says whether a word is a day of the week.
func (v *vocabulary) isDay(w string) bool {
	_, ok := v.weekday(w)
	return ok
}
