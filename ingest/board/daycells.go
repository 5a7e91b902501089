package board

import (
	"regexp"
	"strings"
)

var dayThen = regexp.MustCompile(`(^|[,;/\n+]\s*|\.\s+)(\pL{2,12})\.?(\s*[:–-]\s*|\s+)`)

// daysInside parts a cell that says its day itself, or several of them: "Mon: lesson
// 45", "Mon hack 60, Tue off". Nil where it begins with no day.
func (b *book) daysInside(o *obs) []*obs {
	if o.cell.Kind != Text {
		return nil
	}
	text := o.cell.Text
	type start struct{ day, from, body int }
	var starts []start
	for _, m := range dayThen.FindAllStringSubmatchIndex(text, -1) {
		if d, ok := b.words.day(foldWord(text[m[4]:m[5]])); ok {
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
		if body == "" {
			return nil
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

// ridersOf says whether a row below a horse's is who rides it: names and nothing else.
func (b *book) ridersOf(cells []*Cell) bool {
	for _, c := range cells {
		if !b.nameLike(c) || b.known[foldName(c.Text)] || b.lang.isWork(c.Text) || len(strings.Fields(c.Text)) > 2 {
			return false
		}
	}
	return true
}
