package ingest

import (
	"cmp"
	"hardfeed/ingest/xlsx"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// attributes are the columns that tell a horses sheet from any list of horses.
var attributes = []string{"weight", "girth", "height", "age", "type", "score", "fitness", "keeper", "diagnoses", "rider", "temper", "housing"}

// kinds reads header cells as every kind of table they are enough for.
func (v *vocabulary) kinds(s *sheet, head int, hs []headCell) found {
	var f found
	have := v.headingsOf(hs)
	for i, k := range wordKinds {
		if !v.guess && !have.enoughFor(k, s.turned) || k == horsesKind && v.areTypes(hs) {
			continue
		}
		t := v.read(i, s, head, hs)
		if t.score == 0 {
			continue
		}
		// The name on the tab only breaks a draw, and a table that names no
		// horses comes behind any that does.
		t.score *= 10
		if name := strings.ToLower(s.Name); strings.Contains(name, strings.TrimSuffix(string(k), "s")) ||
			k == workKind && strings.Contains(name, "exercise") || k == feedsKind && strings.Contains(name, "feed") {
			t.score += 5
		}
		if t.nameless {
			t.score = max(1, t.score-100)
		}
		f = append(f, t)
	}
	slices.SortStableFunc(f, func(a, b table) int { return b.score - a.score })
	return f
}

// areTypes says whether words for a horse stand next to each other, as those under
// Type do: no header names its horses twice running.
func (v *vocabulary) areTypes(hs []headCell) bool {
	named := -1
	for _, h := range hs {
		if v.words.kind[horsesKind][v.taken(h.cell.Shown).words] != "horse" {
			continue
		}
		if named == h.col-1 {
			return true
		}
		named = h.col
	}
	return false
}

func (v *vocabulary) read(i int, s *sheet, head int, hs []headCell) table {
	k := wordKinds[i]
	t := table{kind: k, sheet: s, head: head, end: len(s.Rows), c1: 1, c2: xlsx.MaxColumn}
	t.title = titleOver(s, head, hs)
	t.day, t.date, t.isOfDay = v.words.dayOf(t.title.Shown)
	if !t.isOfDay {
		t.day, t.date, t.isOfDay = v.words.dayOf(s.Name)
	}
	var rest []*headCell
next:
	for j := range hs {
		h := &hs[j]
		isDate := h.cell.Kind == xlsx.Date
		if isDate && k != workKind {
			rest = append(rest, h)
			continue
		}
		for n, l := range h.looks {
			isDay, isRation := k == workKind && (isDate || l.day), k == rationsKind && (l.meal || l.feed)
			if !isDay && !isRation && l.keys[i] == "" {
				continue
			}
			// A second column of the same name is left out here and reported when
			// the table is read.
			if !isDay && !isRation && t.has(l.keys[i]) {
				continue next
			}
			col := column{col: h.col, heading: l.heading, cell: *h.cell}
			col.heading.joined = h.both && n < len(h.texts)-1
			switch {
			case isDay && isDate:
				col.isDay, col.weekday, col.date = true, h.cell.Day.Weekday(), h.cell.Day
			case isDay:
				col.isDay, col.weekday, col.date = true, l.weekday, l.date
			case isRation:
				col.meal, col.feed, col.planned = l.mealName, l.feedName, l.planned
			default:
				col.key = l.keys[i]
			}
			t.cols = append(t.cols, col)
			continue next
		}
		rest = append(rest, h)
	}
	if v.guess {
		v.guessed(&t, rest)
	}
	t.namesBeside()
	if !satisfied(&t) || v.datesOfATurnedTable(&t, rest) {
		return t
	}
	if !v.guess {
		v.guessed(&t, rest)
	}
	t.score = len(t.cols)
	if k == yardKind {
		t.score += 3
	}
	return t
}

// datesOfATurnedTable says whether the days of a work table are the dates in a
// row of a turned table: "Date weighed | 24/11 | 24/11 | 23/11".
func (v *vocabulary) datesOfATurnedTable(t *table, rest []*headCell) bool {
	if t.kind != workKind || len(rest) == 0 {
		return false
	}
	for _, c := range t.cols {
		if c.date.IsZero() || c.col < rest[0].col {
			return false
		}
	}
	return slices.ContainsFunc(rest[0].looks, func(l *look) bool { return l.keys != [7]string{} })
}

// namesBeside takes the column left of the days (or of the feeds) for the
// horses where no heading says so: the corner of such a table is often empty,
// and in a turned one it heads the days.
func (t *table) namesBeside() {
	days, lo := 0, xlsx.MaxColumn+1
	for _, c := range t.cols {
		if t.kind == workKind && c.isDay || t.kind == rationsKind && c.feed != "" {
			days++
			lo = min(lo, c.col)
		}
	}
	least := 3
	if t.kind == rationsKind {
		least = 2
	}
	if days < least || t.has("horse") || lo < 2 {
		return
	}
	for k, c := range t.cols {
		if c.col == lo-1 && (c.key == "day" || c.key == "date" || c.key == "feed") {
			t.cols[k].key = "horse"
			return
		}
	}
	for _, c := range t.cols {
		if c.col < lo {
			return
		}
	}
	if t.sheet.Rows[t.head].At(lo-1).Kind == xlsx.Empty && t.sheet.lastWritten(lo-1) > t.sheet.Rows[t.head].N {
		t.cols = append(t.cols, column{key: "horse", col: lo - 1, cell: xlsx.Cell{Row: t.sheet.Rows[t.head].N, Col: lo - 1}})
	}
}

// titleOver is the line that stands alone above a header.
func titleOver(s *sheet, head int, hs []headCell) xlsx.Cell {
	top := s.Rows[head].N
	for _, h := range hs {
		top = min(top, h.cell.Row)
	}
	for i := head; i >= 0; i-- {
		r := s.Rows[i]
		if r.N >= top {
			continue
		}
		if len(r.Cells) == 1 && r.Cells[0].Kind == xlsx.Text && r.N >= top-3 {
			return r.Cells[0]
		}
		break
	}
	return xlsx.Cell{}
}

// guessed adds columns whose heading is nearly a known one: a slip of the pen,
// or a known heading with words around it that change nothing.
func (v *vocabulary) guessed(t *table, rest []*headCell) {
	kind := slices.Index(wordKinds, t.kind)
	for _, h := range rest {
		if h.cell.Kind != xlsx.Text {
			continue
		}
		for n, l := range h.looks {
			if l == &noHeading { // but perhaps nearly one
				l = v.lookAt(h.texts[n])
			}
			if key := v.nearest(kind, l); key != "" && !t.has(key) {
				t.cols = append(t.cols, column{key: key, col: h.col, heading: l.heading, cell: *h.cell, guessed: true})
				break
			}
		}
	}
}

var headingFillers = map[string]bool{"of": true, "the": true, "horse": true, "horses": true, "s": true, "in": true, "our": true, "a": true, "an": true, "for": true, "each": true,
	"per": true, "day": true, "daily": true, "today": true, "current": true, "approx": true, "about": true, "is": true, "this": true, "please": true, "no": false}

// falseFriends are a canter in German, French and Spanish, and one letter off a
// gallop.
var falseFriends = map[string]bool{"galopp": true, "galop": true, "galope": true}

// nearest is the column of a kind that a heading is nearly the word for.
func (v *vocabulary) nearest(kind int, l *look) string {
	if !l.compared[kind] {
		l.compared[kind] = true
		l.near[kind] = v.like(kind, l.heading.words)
	}
	return l.near[kind]
}

func (v *vocabulary) like(kind int, words string) string {
	if len(words) < 4 || utf8.RuneCountInString(words) < 4 || strings.IndexFunc(words, unicode.IsLetter) < 0 || falseFriends[words] {
		return ""
	}
	known := v.own.kind[wordKinds[kind]]
	all := strings.Fields(words)
	var bare []string
	for _, w := range all {
		if !headingFillers[w] {
			bare = append(bare, w)
		}
	}
	if key := known[strings.Join(bare, " ")]; key != "" && len(bare) > 0 {
		return key
	}
	if v.parts[kind] == nil {
		for w := range known {
			v.parts[kind] = append(v.parts[kind], strings.Fields(w))
		}
	}
	var near []string
	for _, f := range v.parts[kind] {
		if nearlyWords(all, f) || len(bare) < len(all) && nearlyWords(bare, f) {
			near = append(near, strings.Join(f, " "))
		}
	}
	slices.Sort(near)
	if len(near) == 1 {
		return known[near[0]]
	}
	return known[cmp.Or(nearest(words, near), nearest(strings.Join(bare, " "), near))]
}

// nearlyWords says whether two headings are the same word by word but for slips
// of the pen: "body wieght", but not "target weight", is "body weight".
func nearlyWords(a, b []string) bool {
	if len(a) != len(b) || len(a) == 0 {
		return false
	}
	for i := range a {
		if a[i] != b[i] && (len(a[i]) < 4 || len(b[i]) < 4 || !nearlyWord(a[i], b[i])) {
			return false
		}
	}
	return true
}

// nearlyWord is [nearest] for one candidate.
func nearlyWord(a, b string) bool { return nearest(a, []string{b}) != "" }

// satisfied says whether the columns are enough for the kind.
func satisfied(t *table) bool { return enough[t.kind](t) }

// enough says for each kind whether a table's columns will do for it.
var enough = map[sheetKind]func(*table) bool{
	horsesKind: func(t *table) bool {
		told := 0
		for _, k := range attributes {
			if t.has(k) {
				told++
			}
		}
		// A horse's own sheet has its name on the tab.
		t.nameless = !t.has("horse") && t.sheet.turned && told >= 3
		return t.has("horse") && told > 0 || t.nameless
	},
	workKind: func(t *table) bool {
		days := t.count(func(c column) bool { return c.isDay })
		t.nameless = !t.has("horse")
		return days >= 3 || t.has("date", "day") && t.has("work") || t.isOfDay && t.has("work") && t.has("horse")
	},
	rationsKind: func(t *table) bool {
		feeds := t.count(func(c column) bool { return c.feed != "" })
		meals := t.count(func(c column) bool { return c.feed == "" && c.meal != "" })
		if t.has("horse") && feeds > 0 && !t.has("feed") {
			return true
		}
		t.nameless = !t.has("horse")
		return t.has("feed") && (t.has("now", "planned") || meals > 0)
	},
	feedsKind: func(t *table) bool {
		c, ok := t.col("feed")
		if !ok {
			return false
		}
		return t.has("kind", "what it is", "one measure", "dry matter", "energy", "protein", "starch", "pack", "stock") ||
			c.heading.words != "name" && c.heading.words != "item" && strings.Contains(strings.ToLower(t.sheet.Name), "feed") && len(t.sheet.Rows[t.head].Cells) == 1
	},
	sessionsKind: func(t *table) bool { return t.has("session") && t.has("walk", "trot", "canter", "gallop") },
	weightsKind:  func(t *table) bool { return t.has("date") && t.has("horse") && t.has("weight") },
	yardKind:     func(t *table) bool { return t.has("setting") && t.has("value") },
}

func (t *table) count(is func(column) bool) int {
	n := 0
	for _, c := range t.cols {
		if is(c) {
			n++
		}
	}
	return n
}
