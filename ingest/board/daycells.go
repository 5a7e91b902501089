package board

import (
	"strings"
	"unicode"
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

// joinsDays recognises what stands between the days of a list.
var joinsDays = lazily(`^[\s,;./&+]*(?:and|und|et|y|e)?[\s,;./&+]*$`)

// toDay recognises what stands between the ends of a run of days.
var toDay = lazily(`^\.?\s*(?:[-–—]|to|bis|au?|al?)\s*$`)

// daysAmong parts a cell that says what is done and on which days, in either order:
// "hack 60 Mon, Wed; school 40 Sat", "Mo, Mi Dressur 45". Nil where it names no day;
// ok is false where it does and cannot be parted.
func (v *vocabulary) daysAmong(o *obs) (out []*obs, ok bool) {
	if o.cell.Kind != Text {
		return nil, true
	}
	text := o.cell.Text
	type run struct {
		days     []int
		from, to int
	}
	var runs []run
	last := -1 // the day found last
	for _, at := range dayWord().FindAllStringIndex(text, -1) {
		w := text[at[0]:at[1]]
		if !v.isDay(w) {
			continue
		}
		d, _ := v.day(foldWord(w))
		if n := len(runs) - 1; n >= 0 {
			gap := text[runs[n].to:at[0]]
			switch {
			case toDay().MatchString(gap):
				for x := (last + 1) % 7; ; x = (x + 1) % 7 {
					runs[n].days = append(runs[n].days, x)
					if x == d {
						break
					}
				}
				runs[n].to, last = at[1], d
				continue
			case joinsDays().MatchString(gap):
				runs[n].days = append(runs[n].days, d)
				runs[n].to, last = at[1], d
				continue
			}
		}
		runs = append(runs, run{[]int{d}, at[0], at[1]})
		last = d
	}
	if len(runs) == 0 {
		return nil, true
	}
	trim := func(s string) string { return strings.Trim(s, " ,;.:–-\n") }
	before := trim(text[:runs[0].from]) == "" // the days are before what is done
	for i, r := range runs {
		body := ""
		switch {
		case before && i+1 < len(runs):
			body = text[r.to:runs[i+1].from]
		case before:
			body = text[r.to:]
		case i > 0:
			body = text[runs[i-1].to:r.from]
		default:
			body = text[:r.from]
		}
		if body = trim(body); body == "" || strings.ContainsAny(body, ";") {
			return nil, false
		}
		for _, d := range r.days {
			p := *o
			p.cell = &Cell{Row: o.cell.Row, Col: o.cell.Col, Kind: Text, Text: body}
			p.day, p.joint = d, false
			out = append(out, &p)
		}
	}
	if !before && trim(text[runs[len(runs)-1].to:]) != "" {
		return nil, false
	}
	return out, true
}

// isDay says whether a word is a day of the week.
func (v *vocabulary) isDay(w string) bool {
	_, ok := v.day(foldWord(w))
	return ok && (len(w) > 2 || unicode.IsUpper(rune(w[0])))
}
