package board

import (
	"strings"
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
func whenOf(l *label, last, this, next bool) when {
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
		return planned // the week of the plan, also where no other stands beside it
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

// decide gives the columns of a table their roles.
func (b *book) decide(t *table) {
	last, this, next := false, false, false
	for _, k := range t.cols {
		last, this, next = last || k.lab.has("lastweek"), this || k.lab.has("thisweek"), next || k.lab.has("nextweek")
	}
	dated := 0 // columns headed by a week and a day of it: "Last week 17th"
	for _, k := range t.cols {
		if ofAWeek(k.lab) && k.own != nil && len(b.labelOf(k.own).dates) == 1 {
			dated++
		}
	}
	for _, k := range t.cols {
		l := k.lab
		k.day = l.day
		if k.own != nil {
			k.days = b.labelOf(k.own).dates
			if n := b.letterOf(k.own).day; len(k.days) == 0 && l.day >= 0 && n > 0 {
				k.days = []date{{d: n}} // "Sa 9"
			}
			if k.group != nil && k.group != k.own && len(k.days) == 0 && len(b.labelOf(k.group).dates) == 1 && (k.day < 0 || b.labelOf(k.group).day >= 0) {
				k.days = b.labelOf(k.group).dates
			}
		}
		if k.group != nil && k.day >= 0 && len(k.days) == 0 {
			k.span = b.labelOf(k.group).dates
		}
		k.unit = l.unit
		k.when = whenOf(l, last, this, next)
		if k.own != nil {
			k.meal = mealOf(l, k.own.Text)
		}
		if len(l.feeds) > 0 {
			k.feed = l.feeds[0]
		}
		feedish := k.when != unsaid || l.has("feed", "perday", "perfeed") || k.meal != "" || k.feed != "" || k.unit != ""
		switch {
		case k.at == t.name:
			k.role = nameRole
		case len(k.cells) == 0:
		case l.has("price", "tel", "done", "farrier", "staff", "pack", "colour", "age", "how"), l.has("owner") && !l.has("work"), l.has("box") && !feedish && b.labelOf(k.own).day < 0:
			k.role = otherRole
		case l.has("total", "percent"):
			k.role = otherRole
		case l.has("girth"):
			k.role = girthRole
		case l.has("length"):
			k.role = lengthRole
		case l.has("tape", "scale", "weight") && !l.has("feed"):
			k.role = weightRole
		case l.has("height") && !feedish:
			k.role = heightRole
		case l.has("hay") && k.feed == "":
			k.role = hayRole
		case (k.day >= 0 || len(k.days) > 0 && (k.when == unsaid || b.dayAlone(k) || dated >= 5 && ofAWeek(l))) && !l.has("feed") && k.feed == "":
			k.role = workRole
			if k.day < 0 {
				k.when = unsaid // which week it is is said by its date
			}
		case l.has("health"):
			k.role = healthRole
		case l.has("notes") && !l.has("feed"):
			k.role = notesRole
		case l.has("minutes", "hours") && !l.has("work") && k.feed == "" && k.when == unsaid:
			k.role = minutesRole
		case l.has("work") && !l.has("feed") && k.feed == "":
			k.role = workRole
		case feedish && (k.when != unsaid || k.feed != "") && !l.has("meal", "when", "unit", "feedtype", "amount"):
			k.role = feedRole
		case l.has("meal", "when", "date", "dayhead", "unit", "feedtype", "amount"):
			k.role = attrRole
			for _, a := range []string{"meal", "when", "date", "dayhead", "unit", "feedtype", "amount"} {
				if l.has(a) {
					k.attr = a
					break
				}
			}
		case feedish:
			k.role = feedRole
		}
	}
	b.byLook(t)
	b.notesByLook(t)
	mealsAgain(t)
}

// dayAlone says whether a column's own heading is a day and nothing else, under one
// that says which week it is of: "30." under "Last week".
func (b *book) dayAlone(k *column) bool {
	own := b.labelOf(k.own)
	return k.group != nil && k.group != k.own && len(own.dates) == 1 && len(own.order) == 0 && own.full() &&
		b.labelOf(k.group).has("lastweek", "thisweek", "nextweek", "week")
}

// ofAWeek says whether a heading names a week and nothing that is fed.
func ofAWeek(l *label) bool {
	return l.has("lastweek", "thisweek", "nextweek") && !l.has("now", "plan", "change", "feed") && len(l.feeds) == 0 && l.unit == ""
}

// notesByLook takes a column nobody can name for notes where its cells speak of an
// illness, or of a horse that is gone, and hold no work and no feed.
func (b *book) notesByLook(t *table) {
	for _, k := range t.cols {
		if k.role != noRole || k.own == nil || k.group != nil && k.group != k.own {
			continue
		}
		speaks, n, facts := 0, 0, 0
		for r := t.h2 + 1; r < t.end; r++ {
			c := t.g.at(r, k.at)
			if c == nil {
				continue
			}
			n++
			for _, x := range b.lang.w.Conditions(c.Text) {
				if x.Sure && !x.Negated {
					speaks++
					break
				}
			}
			if c.Kind != Text || b.lang.looksLikeFeed(c) || b.lang.looksLikeWeight(c) {
				facts++
			}
		}
		if speaks > 0 && facts*3 <= n {
			k.role = notesRole
		}
	}
}

// shareOf is the part of a column's cells of which something holds, and how many there are.
func (t *table) shareOf(at int, is func(*Cell) bool) (share float64, n int) {
	yes := 0
	for r := t.h2 + 1; r < t.end; r++ {
		c := t.g.at(r, at)
		if c == nil || dash(c.Text) || ditto(c.Text) {
			continue
		}
		n++
		if is(c) {
			yes++
		}
	}
	if n == 0 {
		return 0, 0
	}
	return float64(yes) / float64(n), n
}

// byLook settles what the headings leave open by what stands below them.
func (b *book) byLook(t *table) {
	hasWeight, hasDays := false, false
	for _, k := range t.cols {
		// "Last weighed" over dates is when, not how much.
		if k.role == weightRole {
			if s, n := t.shareOf(k.at, func(c *Cell) bool { return c.Kind == Date }); n > 0 && s > 0.5 {
				k.role = otherRole
			}
		}
		hasWeight = hasWeight || k.role == weightRole
		hasDays = hasDays || k.role == workRole && (k.day >= 0 || len(k.days) > 0)
	}
	weighs := func(c *Cell) bool { return b.lang.looksLikeWeight(c) }
	for _, k := range t.cols {
		bare := k.role == feedRole && k.when == unsaid && k.meal == "" && k.feed == "" && !k.lab.has("feed", "perday", "perfeed") && k.unit != ""
		if bare || k.role == noRole && k.at != t.name && len(k.cells) > 0 {
			if s, n := t.shareOf(k.at, weighs); n > 0 && s >= 0.6 && !hasWeight && (bare || k.group == nil) && b.lang.isWeightUnit(k.unit) {
				k.role, hasWeight = weightRole, true
				continue
			}
		}
		// Rows that say their own meal, day or time.
		if k.role == noRole || k.role == attrRole && k.attr != "unit" && k.attr != "feedtype" && k.attr != "amount" || k.role == feedRole && k.lab.has("feed") && k.when == unsaid || k.role == workRole && k.day < 0 && len(k.days) == 0 {
			if what := b.rowWords(t, k.at); what != "" {
				k.role, k.attr = attrRole, what
				continue
			}
		}
		if k.role == attrRole && k.attr == "dayhead" {
			k.role = noRole
		}
	}
	for _, k := range t.cols {
		// An amount a day beside the amount of each feed is the same feed again.
		if k.role == feedRole && k.lab.has("perday") {
			for _, o := range t.cols {
				if o != k && o.role == feedRole && o.when == k.when && o.when != unsaid && o.feed == k.feed && o.meal == k.meal && !o.lab.has("perday") && o.at == k.at-1 {
					o.role = otherRole
				}
			}
		}
	}
	// An "amount" with no feed said in the same row is what is fed.
	types, amounts := false, false
	for _, k := range t.cols {
		if k.role == attrRole && k.attr == "feedtype" || k.role == feedRole && k.when == unsaid && k.meal == "" && k.feed == "" && k.unit == "" {
			if s, n := t.shareOf(k.at, func(c *Cell) bool { return c.Kind == Text && !hasDigit(c.Text) }); n > 0 && s > 0.8 && b.othersFeed(t, k) {
				k.role, k.attr = attrRole, "feed"
				types = true
			}
		}
		if k.role == attrRole && k.attr == "amount" {
			amounts = true
		}
	}
	for _, k := range t.cols {
		switch {
		case k.role == attrRole && k.attr == "amount":
			k.role = feedRole
		case k.role == attrRole && k.attr == "feedtype":
			k.role = feedRole
		case k.role == attrRole && k.attr == "unit" && !types && !amounts:
			k.role = otherRole
		}
	}
	// A column under a joined heading of feed that is known by nothing else holds a feed.
	for _, k := range t.cols {
		if k.role == noRole && k.own != nil && k.group != nil && k.own != k.group {
			gl := b.labelOf(k.group)
			if gl.has("feed", "now", "plan", "change", "lastweek", "thisweek", "nextweek", "perday") || gl.unit != "" {
				k.role = feedRole
			}
		}
		if k.role == feedRole && k.feed == "" && k.own != nil {
			l := b.labelOf(k.own)
			if strings.HasPrefix(k.meal, "@") {
				continue // an hour
			}
			if len(l.rest) > 0 && !l.has("feed") || len(l.rest) > 0 && k.own != k.group && k.group != nil {
				k.feed = strings.Join(l.rest, " ")
			}
		}
	}
}

// othersFeed says whether other columns of a table hold amounts.
func (b *book) othersFeed(t *table, k *column) bool {
	for _, o := range t.cols {
		if o != k && (o.role == feedRole || o.role == attrRole && o.attr == "amount") {
			return true
		}
	}
	return false
}

func hasDigit(s string) bool { return strings.ContainsAny(s, "0123456789½¼¾⅓⅔") }

// rowWords says what the cells of a column say of their rows, if nearly all say
// the same sort of thing: "day", "meal", "when".
func (b *book) rowWords(t *table, at int) string {
	n := 0
	count := map[string]int{}
	for r := t.h2 + 1; r < t.end; r++ {
		c := t.g.at(r, at)
		if c == nil {
			continue
		}
		n++
		l := b.labelOf(c)
		switch {
		case c.Kind == Date, l.day >= 0 && len(l.rest) == 0, len(l.dates) > 0 && len(l.rest) == 0 && !l.has("now", "plan") && len(l.feeds) == 0 && l.unit == "" && !fraction(l.dates[0]):
			count["day"]++
		case c.Kind == Text && b.lang.saysSame(c.Text):
		case c.Kind == Text && len(l.rest) == 0 && l.has("now", "plan", "lastweek", "nextweek", "thisweek"):
			count["when"]++
		case c.Kind == Text && l.full() && mealOf(l, c.Text) != "", c.Kind == Clock, c.Kind == Text && clockHeading(c.Text):
			count["meal"]++
		}
	}
	if n < 2 && !(n == 1 && t.end-t.h2 <= 3) {
		return ""
	}
	for what, k := range count {
		if float64(k) >= 0.8*float64(n) {
			return what
		}
	}
	return ""
}

// obs is one cell read: whose it is and what it is about.
type obs struct {
	sheet    *sheetData
	cell     *Cell
	horse    int
	role     role
	when     when
	day      int // Monday 0; -1: not said
	date     date
	meal     string
	feed     string
	unit     string
	lab      *label
	head     *Cell // its heading
	week     *weekOf
	span     Rect // where the cell is joined with others
	joint    bool
	rest     *Cell // further part: minutes beside work
	table    *table
	row      int
	by       string // how a weight was come by
	col      *column
	half     string // which part of the day, of work: am, pm
	restUnit string
	daysDown bool
	attrDay  bool
	asPlan   bool
	meals    int  // how many meals its heading names
	thisWeek bool // its heading names this week, and no other week is
	each     bool // its heading says that the amount is for each feed
}
