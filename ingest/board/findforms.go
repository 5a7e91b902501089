package board

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// formFinder finds the forms: by the headings in them and the names over them.
type formFinder struct {
	words  *vocabulary
	heads  *headings
	who    *names
	reader *formReader
}

// findForms reads the sheets on which no table of horses was found.
func (ff *formFinder) findForms(sheets []*sheetData, tables []*table) (forms []*form) {
	with := map[*sheetData]bool{}
	for _, t := range tables {
		if t.kind != "other" {
			with[t.g.page] = true
		}
	}
	bySig := map[string][]*sheetData{}
	for _, s := range sheets {
		if with[s] {
			continue
		}
		bySig[ff.heads.signature(s)] = append(bySig[ff.heads.signature(s)], s)
	}
	for _, s := range sheets {
		if with[s] {
			continue
		}
		if fs := ff.cardsOn(s); len(fs) > 0 && !s.blank {
			forms = append(forms, fs...)
			for _, f := range fs {
				ff.who.known[foldName(f.horse)] = true
			}
			continue
		}
		if fs := ff.listsOn(s); len(fs) > 0 && !s.blank {
			forms = append(forms, fs...)
			for _, f := range fs {
				ff.who.known[foldName(f.horse)] = true
			}
			continue
		}
		if fs := ff.formsOn(s); len(fs) > 1 {
			lowerCapitals(fs)
			forms = append(forms, fs...)
			for _, f := range fs {
				ff.who.known[foldName(f.horse)] = true
			}
			continue
		}
		f := ff.tabForm(s)
		if f == nil {
			continue
		}
		if l := ff.words.read(s.Name); f.name != nil && l.full() && len(l.order) > 0 && !ff.who.known[foldName(s.Name)] {
			continue // "Current feeds" over itself is a title
		}
		if f.name != nil {
			f.horse = strings.TrimSpace(s.Name) // as on the tab
		} else if ff.who.known[foldName(s.Name)] || len(bySig[ff.heads.signature(s)]) > 1 && ff.who.nameLike(&Cell{Kind: Text, Text: s.Name}) && !s.blank {
			f.horse = s.Name
		} else {
			continue
		}
		if s.blank && f.name == nil {
			continue
		}
		if !ff.reader.worthAHorse(f) {
			continue
		}
		ff.who.known[foldName(f.horse)] = true
		forms = append(forms, f)
	}
	return forms
}

// worthAHorse says whether a form speaks of two things of a horse at least: its
// weight, its work, its feed.
func (fr *formReader) worthAHorse(f *form) (worth bool) {
	roles, days := map[role]bool{}, len(f.days)
	enough := func(read []*obs) bool {
		for _, o := range read {
			switch o.role {
			case weightRole, workRole, feedRole:
				roles[o.role] = true
			case noRole:
				if fr.lang.looksLikeWeight(o.cell) {
					roles[weightRole] = true
				}
			}
		}
		worth = len(roles) >= 2
		return worth
	}
	f.sheet.try(func() {
		if len(f.lines) > 0 {
			enough(fr.readLines(f, 0))
			return
		}
		for _, p := range f.parts {
			if fr.readRows(f, p, 0, enough); worth {
				return
			}
		}
	})
	f.days = f.days[:days]
	return worth
}

// readForms reads the forms, and settles together what the headings of their
// columns leave open.
func readForms(forms []*form, fr *formReader, lang *language, hd *herd, cal *calendar, ps *dayPlaces) []*obs {
	var all []*obs
	for _, f := range forms {
		if !fr.worthAHorse(f) {
			continue
		}
		i := hd.add(f.horse, f.sheet, f.name)
		if f.name != nil {
			f.sheet.mark(f.name, "name", "")
			if f.name.Struck {
				hd.horses[i].struck = true
			}
		}
		os := fr.readForm(f, i)
		w := cal.weekOfRegion(f.sheet, f.parts[0].r2+1)
		for _, o := range os {
			o.week = w
			if o.role == workRole || o.role == feedRole {
				if o.day < 0 {
					o.day, o.week = cal.dayOfDate(o.date, o.day, w)
				} else if o.date != (date{}) {
					_, o.week = cal.dayOfDate(o.date, o.day, w)
				}
				if o.weekDate != (date{}) {
					if of := cal.weekAcross(o.weekDate, w); of != nil {
						o.week = of
					}
				}
			}
		}
		all = append(all, os...)
		for _, x := range f.days {
			p := dayPlace{horse: i, day: x.day, week: w, sheet: f.sheet, head: x.head}
			if x.date != (date{}) {
				p.day, p.week = cal.dayOfDate(x.date, x.day, w)
			}
			ps.add(p)
		}
	}
	withMinutes(all)
	settleRoles(all, lang)
	for _, o := range all {
		if o.role == otherRole || o.role == heightRole {
			o.sheet.mark(o.cell, "decoration", "something no card needs")
		}
	}
	return all
}

// settleRoles settles what is left open in the forms together: feed or work, a weight or a height.
func settleRoles(all []*obs, lang *language) {
	// Meals over the days of a week: work in the morning and afternoon, or feeds?
	type key struct{ head, meal string }
	yes, no := map[key]int{}, map[key]int{}
	at := func(o *obs) key {
		h := ""
		if o.head != nil {
			h = o.head.Text
		}
		return key{h, o.meal}
	}
	for _, o := range all {
		if o.role == feedRole && o.day >= 0 && o.when == unsaid {
			if lang.looksLikeFeed(o.cell) {
				yes[at(o)]++
			} else if !dash(o.cell.Text) {
				no[at(o)]++
			}
		}
	}
	for _, o := range all {
		if o.role == feedRole && o.day >= 0 && o.when == unsaid && no[at(o)] > yes[at(o)] {
			o.role = workRole
		}
		if o.role == noRole {
			switch {
			case lang.looksLikeHeight(o.cell):
				o.role = heightRole
			case lang.looksLikeWeight(o.cell):
				o.role = weightRole
			}
		}
	}
}

// lowerCapitals writes the names over blocks in small letters where all of them
// stand in capitals, which is a way of setting a title and not of spelling.
func lowerCapitals(fs []*form) {
	for _, f := range fs {
		if f.horse != strings.ToUpper(f.horse) || len(f.horse) < 3 {
			return
		}
	}
	for _, f := range fs {
		words := strings.Fields(strings.ToLower(f.horse))
		for i, w := range words {
			r, n := utf8.DecodeRuneInString(w)
			words[i] = string(unicode.ToUpper(r)) + w[n:]
		}
		f.horse = strings.Join(words, " ")
	}
}
