package board

import (
	"cmp"
	"slices"
)

// role is what the cells of a column, or a single cell, are about.
type role int

const (
	noRole role = iota
	nameRole
	weightRole
	workRole
	feedRole
	hayRole
	notesRole
	healthRole
	girthRole
	lengthRole
	heightRole
	minutesRole // of the work beside it
	attrRole    // says the day, the meal, … of its row
	otherRole   // known, and nothing a card needs
)

func (r role) String() string {
	return [...]string{"nothing known", "the names", "weights", "work", "hard feed", "hay", "notes", "health", "girths", "lengths", "heights", "minutes", "what its row is about", "something no card needs"}[r]
}

// when is whether something is fed now or planned.
type when int

const (
	unsaid when = iota
	nowFed
	planned
)

// whenOf reads now or planned out of a heading. Which of last, this and next week
// is which depends on what else is there: both says that next week is too.
func whenOf(l *label, last, next bool) when {
	switch {
	case l.has("change"):
		return planned
	case l.has("nextweek"):
		return planned
	case l.has("lastweek"):
		return nowFed
	case l.has("thisweek"):
		if next && !last {
			return nowFed
		}
		return planned // the week of the plan, also where no other is beside it
	case l.has("plan"):
		return planned
	case l.has("now"):
		return nowFed
	}
	return unsaid
}

// mealOf is the meal a heading names, by the plain word for it.
// An hour says more than the half of the day behind it: "5pm" and "9pm" are two meals.
func mealOf(l *label, text string) string {
	if m, ok := clockOf(text); ok {
		return "@" + m
	}
	if l.clock != "" {
		return "@" + l.clock
	}
	for _, k := range l.order {
		switch k {
		case "am", "pm", "breakfast", "lunch", "tea", "late":
			return k
		}
	}
	return ""
}

// mealsNamed is how many meals a heading names.
func mealsNamed(l *label) int {
	n := 0
	for _, k := range l.order {
		switch k {
		case "am", "pm", "breakfast", "lunch", "tea", "late":
			n++
		}
	}
	return n
}

// weeksNamed is which weeks the headings of a table name besides each other.
type weeksNamed struct {
	last, next bool
	days       int // columns headed by a week and a day of it: "Last week 17th"
}

func (rf *roleFinder) weeksNamed(t *table) (w weeksNamed) {
	for _, k := range t.cols {
		w.last, w.next = w.last || k.lab.has("lastweek"), w.next || k.lab.has("nextweek")
		if ofAWeek(k.lab) && k.own != nil && len(rf.words.labelOf(k.own).dates) == 1 {
			w.days++
		}
	}
	return w
}

// headed is what the headings over a column say, as far as its role hangs on it.
type headed struct {
	*label
	col   *column
	names bool // it is the column of the names
	feed  bool // something in it speaks of feed
	day   bool // it stands for a day and for nothing that is fed
	dayed bool // its own heading names a day of the week
}

// headingRule is evidence for a role: what a heading says, and what follows from it.
type headingRule struct {
	role role
	why  string // read.why. and this is how it is said
	says func(h headed) bool
}

// headingRules are the roles a heading gives its column; the first that fits counts.
var headingRules = []headingRule{
	{nameRole, "names", func(h headed) bool { return h.names }},
	{noRole, "blank", func(h headed) bool { return len(h.col.cells) == 0 }},
	{otherRole, "other", func(h headed) bool {
		return h.has("price", "tel", "done", "farrier", "staff", "pack", "colour", "age", "score", "how") || h.has("owner") && !h.has("work") || h.has("box") && !h.feed && !h.dayed
	}},
	{otherRole, "total", func(h headed) bool { return h.has("total", "percent") }},
	{girthRole, "girth", func(h headed) bool { return h.has("girth") }},
	{lengthRole, "length", func(h headed) bool { return h.has("length") }},
	{weightRole, "weight", func(h headed) bool { return h.has("tape", "scale", "weight") && !h.has("feed") }},
	{heightRole, "height", func(h headed) bool { return h.has("height") && !h.feed }},
	{hayRole, "hay", func(h headed) bool { return h.has("hay") && h.col.feed == "" }},
	{workRole, "day", func(h headed) bool { return h.day && !h.has("feed") && h.col.feed == "" }},
	{healthRole, "health", func(h headed) bool { return h.has("health") }},
	{notesRole, "notes", func(h headed) bool { return h.has("notes") && !h.has("feed") }},
	{minutesRole, "minutes", func(h headed) bool {
		return h.has("minutes", "hours") && !h.has("work") && h.col.feed == "" && h.col.when == unsaid
	}},
	{workRole, "work", func(h headed) bool { return h.has("work") && !h.has("feed") && h.col.feed == "" }},
	{feedRole, "when", func(h headed) bool {
		return (h.col.when != unsaid || h.col.feed != "") && !h.has("meal", "when", "unit", "feedtype", "amount")
	}},
	{attrRole, "row", func(h headed) bool { return h.has(rowSaysOf...) }},
	{feedRole, "feed", func(h headed) bool { return h.feed }},
}

// rowSaysOf are the keys of headings whose cells say something of their rows; the first
// counts.
var rowSaysOf = []string{"meal", "when", "date", "dayhead", "unit", "feedtype", "amount"}

// roleFinder says what the columns of a table are about: by their headings, and by what is
// below where these leave it open.
type roleFinder struct {
	words *vocabulary
	lang  *language
	who   *names
}

// decide gives the columns of a table their roles.
func (rf *roleFinder) decide(t *table) {
	t.weighed = cmp.Or(basisOf(rf.words.labelOf(t.g.at(t.head, t.name))), basisOf(rf.words.read(t.g.page.Name)))
	weeks := rf.weeksNamed(t)
	for _, k := range t.cols {
		rf.sayColumn(k, weeks)
		l := k.lab
		h := headed{label: l, col: k, names: k.at == t.name,
			dayed: rf.words.labelOf(k.own).day >= 0,
			feed:  k.when != unsaid || l.has("feed", "perday", "perfeed") || k.meal != "" || k.feed != "" || k.unit != "",
			day:   k.day >= 0 || len(k.days) > 0 && (k.when == unsaid || rf.dayAlone(k) || weeks.days >= 5 && ofAWeek(l))}
		i := slices.IndexFunc(headingRules, func(r headingRule) bool { return r.says(h) })
		if i < 0 {
			continue
		}
		k.role, k.why = headingRules[i].role, headingRules[i].why
		if k.role == attrRole {
			k.attr = rowSaysOf[slices.IndexFunc(rowSaysOf, func(a string) bool { return l.has(a) })]
		}
		if k.role == workRole && h.day && k.day < 0 {
			k.when = unsaid // which week it is is said by its date
		}
	}
	rf.weeksAcross(t)
	rf.byLook(t)
	rf.notesByLook(t)
	sections(t)
	mealsAgain(t)
}

// sayColumn takes over from its headings what a column's cells are of.
func (rf *roleFinder) sayColumn(k *column, weeks weeksNamed) {
	l := k.lab
	k.day = l.day
	if k.own != nil {
		k.days = rf.words.labelOf(k.own).dates
		if n := rf.words.letterOf(k.own).day; len(k.days) == 0 && l.day >= 0 && n > 0 {
			k.days = []date{{d: n}} // "Sa 9"
		}
		if k.group != nil && k.group != k.own && len(k.days) == 0 && len(rf.words.labelOf(k.group).dates) == 1 && (k.day < 0 || rf.words.labelOf(k.group).day >= 0) {
			k.days = rf.words.labelOf(k.group).dates
		}
		k.meal = mealOf(l, k.own.Text)
	}
	if k.group != nil && k.day >= 0 && len(k.days) == 0 {
		if k.span = rf.words.labelOf(k.group).dates; len(k.span) > 0 {
			k.span = []date{firstOfWeek(k.span)}
		}
	}
	k.unit = l.unit
	k.when = whenOf(l, weeks.last, weeks.next)
	if len(l.feeds) > 0 {
		k.feed = l.feeds[0]
	}
}

// dayAlone says whether a column's own heading is a day and nothing else, under one
// that says which week it is of: "30." under "Last week".
func (rf *roleFinder) dayAlone(k *column) bool {
	own := rf.words.labelOf(k.own)
	return k.group != nil && k.group != k.own && len(own.dates) == 1 && len(own.order) == 0 && own.full() &&
		rf.words.labelOf(k.group).has("lastweek", "thisweek", "nextweek", "week")
}

// ofAWeek says whether a heading names a week and nothing that is fed.
func ofAWeek(l *label) bool {
	return l.has("lastweek", "thisweek", "nextweek") && !l.has("now", "plan", "change", "feed") && len(l.feeds) == 0 && l.unit == ""
}

// sortOut finds tables that hold nothing of a horse's week.
func (rf *roleFinder) sortOut(t *table) {
	has := map[string]bool{}
	roles := map[role]int{}
	days := 0
	for _, k := range t.cols {
		for _, key := range k.lab.order {
			has[key] = true
		}
		roles[k.role]++
		if k.day >= 0 {
			days++
		}
	}
	useful := roles[workRole] + roles[feedRole] + roles[weightRole] + roles[notesRole] + roles[healthRole] + roles[girthRole]
	name := t.g.at(t.head, t.name)
	known, n := 0, 0
	for r := t.h2 + 1; r < t.end; r++ {
		if x := t.g.at(r, t.name); x != nil {
			n++
			if rf.who.knows(x) || len(rf.who.horsesIn(x.Text)) > 1 {
				known++
			}
		}
	}
	switch {
	case name != nil && rf.words.labelOf(name).has("staff"):
		t.kind = "staff"
	case (has["price"] || has["pack"]) && roles[workRole] == 0 && roles[weightRole] == 0:
		t.kind = "price"
	case has["farrier"] && roles[workRole]+roles[feedRole]+roles[weightRole] == 0:
		t.kind = "farrier"
	case useful == 0 && roles[hayRole] == 0:
		t.kind = "other"
	case rf.labelsOfSheetHas(t.g.page, "staff") && roles[feedRole]+roles[weightRole] == 0 && known*2 < n:
		t.kind = "staff"
	}
}

func (rf *roleFinder) labelsOfSheetHas(s *sheetData, keys ...string) bool {
	return rf.words.read(s.Name).has(keys...)
}
