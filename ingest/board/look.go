package board

import (
	"slices"
	"strings"
)

// byLook settles what the headings leave open by what stands below them.
func (rf *roleFinder) byLook(t *table) {
	t.datesAreNoWeights()
	rf.weightsByLook(t)
	rf.peopleBesideWork(t)
	rf.weighedOnDates(t)
	rf.feedByLook(t)
	t.sameFeedAgain()
	t.feedOfRows()
	for _, k := range t.cols {
		rf.feedUnderGroup(k)
	}
}

// settle gives a column the role its cells speak for.
func (k *column) settle(r role, why string) { k.role, k.why = r, why }

// datesAreNoWeights takes "Last weighed" over dates for when, not how much.
func (t *table) datesAreNoWeights() {
	for _, k := range t.cols {
		if k.role != weightRole {
			continue
		}
		if s, n := t.shareOf(k.at, func(c *Cell) bool { return c.Kind == Date }); n > 0 && s > 0.5 {
			k.settle(otherRole, "dates")
		}
	}
}

// bareUnit says whether a column is taken for feed on a unit alone.
func (k *column) bareUnit() bool {
	return k.role == feedRole && k.when == unsaid && k.meal == "" && k.feed == "" && !k.lab.has("feed", "perday", "perfeed") && k.unit != ""
}

// maySayRows says whether a column's cells may say the meal, the day or the time of their
// rows, for all that its heading says.
func (k *column) maySayRows() bool {
	switch k.role {
	case noRole:
		return true
	case attrRole:
		return k.attr != "unit" && k.attr != "feedtype" && k.attr != "amount"
	case feedRole:
		return k.lab.has("feed") && k.when == unsaid
	case workRole:
		return k.day < 0 && len(k.days) == 0
	}
	return false
}

// weightsByLook finds the weights of a table without a heading for them, and the columns
// whose cells say the meal, the day or the time of their rows.
func (rf *roleFinder) weightsByLook(t *table) {
	hasWeight := slices.ContainsFunc(t.cols, func(k *column) bool { return k.role == weightRole })
	for _, k := range t.cols {
		bare := k.bareUnit()
		ofAHorse := k.own != nil && rf.who.knows(k.own) // what is written beside a horse is that horse's, whoever's column it is in
		if !ofAHorse && (bare || k.role == noRole && k.at != t.name && (len(k.cells) > 0 || rf.saysWeights(t, k))) && !hasWeight && (bare || k.group == nil) && rf.lang.isWeightUnit(k.unit) {
			if s, n := t.shareOf(k.at, rf.lang.looksLikeWeight); n > 0 && s >= 0.6 {
				k.settle(weightRole, "look weights")
				hasWeight = true
				continue
			}
		}
		if k.maySayRows() {
			if what := rf.rowWords(t, k.at); what != "" {
				k.settle(attrRole, "row words")
				k.attr = what
				continue
			}
		}
		if k.role == attrRole && k.attr == "dayhead" {
			k.settle(noRole, "no days")
		}
	}
}

// saysWeights says whether most cells of a column say by themselves what a horse weighs, so
// that it needs no heading.
func (rf *roleFinder) saysWeights(t *table, k *column) bool {
	s, n := t.shareOf(k.at, func(c *Cell) bool { return c.Kind == Text && rf.lang.saysWeight(c.Text) })
	return n > 0 && s >= 0.5
}

// peopleBesideWork takes a column of work in which no cell is any for who does it, where
// names are in it and another column has the work.
func (rf *roleFinder) peopleBesideWork(t *table) {
	isWork := func(c *Cell) bool { return rf.lang.isWork(c.Text) }
	elsewhere := slices.ContainsFunc(t.cols, func(k *column) bool {
		share, n := t.shareOf(k.at, isWork)
		return k.role == workRole && n > 0 && share >= 0.6
	})
	for _, k := range t.cols {
		if !elsewhere || k.role != workRole || k.day >= 0 || len(k.days) > 0 {
			continue
		}
		work, n := t.shareOf(k.at, isWork)
		people, _ := t.shareOf(k.at, func(c *Cell) bool { return rf.who.nameLike(c) && !rf.who.knows(c) })
		if n > 0 && work == 0 && people == 1 {
			k.settle(otherRole, "other")
		}
	}
}

// leastOnDates is what a horse weighs at least where nothing but the numbers under dates
// says that they are weights (ours): no week's days are all worked so many minutes.
const leastOnDates = 240

// weighedOnDates takes numbers under dates for weights where the tab or the line over the
// table speaks of weighing, or none of them can be minutes.
func (rf *roleFinder) weighedOnDates(t *table) {
	var dated []*column
	all, heavy := true, true
	for _, k := range t.cols {
		if k.role != workRole || len(k.days) == 0 || k.own == nil {
			continue
		}
		share, n := t.shareOf(k.at, rf.lang.looksLikeWeight)
		few, _ := t.shareOf(k.at, func(c *Cell) bool { v, ok := numberOf(c); return ok && v < leastOnDates })
		all, heavy = all && (n == 0 || share == 1), heavy && few == 0
		dated = append(dated, k)
	}
	if len(dated) == 0 || !all || !heavy && !rf.words.read(t.g.page.Name).has("weight", "tape", "scale") {
		return
	}
	for _, k := range dated {
		k.settle(weightRole, "look weights")
	}
}

// feedByLook takes a column under a heading that nobody can name, or that was taken for one
// of work without days, for feed where its cells are amounts of feeds with their names; and
// one that nobody can name for work where its cells are work and no other column has any.
func (rf *roleFinder) feedByLook(t *table) {
	isFeed := func(c *Cell) bool { return c.Kind == Text && rf.lang.namesFeed(c.Text) && !rf.lang.isWork(c.Text) }
	isWork := func(c *Cell) bool { return c.Kind == Text && rf.lang.isWork(c.Text) && !rf.lang.namesFeed(c.Text) }
	loose := func(k *column) bool {
		return k.at != t.name && k.own != nil && (k.role == noRole && k.group == nil || k.role == workRole && k.day < 0 && len(k.days) == 0)
	}
	for _, k := range t.cols {
		if share, n := t.shareOf(k.at, isFeed); loose(k) && n >= 2 && share >= 0.6 {
			k.settle(feedRole, "look feed")
		}
	}
	if slices.ContainsFunc(t.cols, func(k *column) bool { return k.role == workRole }) {
		return
	}
	for _, k := range t.cols {
		if share, n := t.shareOf(k.at, isWork); loose(k) && n >= 2 && share >= 0.6 {
			k.settle(workRole, "look work")
		}
	}
}

// sameFeedAgain takes an amount a day beside the amount of each feed for the same feed
// again.
func (t *table) sameFeedAgain() {
	for _, k := range t.cols {
		if k.role != feedRole || !k.lab.has("perday") {
			continue
		}
		for _, o := range t.cols {
			if o != k && o.role == feedRole && o.when == k.when && o.when != unsaid && o.feed == k.feed && o.meal == k.meal && !o.lab.has("perday") && o.at == k.at-1 {
				o.settle(otherRole, "day beside")
			}
		}
	}
}

// feedOfRows settles what the columns that name the feed, the amount or the unit of their
// rows are: an amount with no feed said in the same row is what is fed.
func (t *table) feedOfRows() {
	types, amounts := false, false
	for _, k := range t.cols {
		if k.role == attrRole && k.attr == "feedtype" || k.role == feedRole && k.when == unsaid && k.meal == "" && k.feed == "" && k.unit == "" {
			if s, n := t.shareOf(k.at, func(c *Cell) bool { return c.Kind == Text && !hasDigit(c.Text) }); n > 0 && s > 0.8 && t.othersFeed(k) {
				k.settle(attrRole, "words beside amounts")
				k.attr, types = "feed", true
			}
		}
		amounts = amounts || k.role == attrRole && k.attr == "amount"
	}
	for _, k := range t.cols {
		switch {
		case k.role == attrRole && (k.attr == "amount" || k.attr == "feedtype"):
			k.settle(feedRole, "only amounts")
		case k.role == attrRole && k.attr == "unit" && !types && !amounts:
			k.settle(otherRole, "no amounts")
		}
	}
}

// feedUnderGroup takes a column under a joined heading of feed that is known by nothing
// else for a feed, and its own words for the name of it.
func (rf *roleFinder) feedUnderGroup(k *column) {
	if k.own == nil {
		return
	}
	grouped := k.group != nil && k.own != k.group
	if k.role == noRole && grouped {
		gl := rf.words.labelOf(k.group)
		if gl.has("feed", "now", "plan", "change", "lastweek", "thisweek", "nextweek", "perday") || gl.unit != "" {
			k.settle(feedRole, "feed above")
		}
	}
	if k.role != feedRole || k.feed != "" || strings.HasPrefix(k.meal, "@") { // an hour is no feed
		return
	}
	if l := rf.words.labelOf(k.own); len(l.rest) > 0 && (!l.has("feed") || grouped) {
		k.feed = strings.Join(l.rest, " ")
	}
}

// othersFeed says whether other columns of a table hold amounts.
func (t *table) othersFeed(k *column) bool {
	for _, o := range t.cols {
		if o != k && (o.role == feedRole || o.role == attrRole && o.attr == "amount") {
			return true
		}
	}
	return false
}

func hasDigit(s string) bool { return strings.ContainsAny(s, "0123456789½¼¾⅓⅔") }

// fromTo is two small numbers with a dash between them: hours, unless days are meant.
var fromTo = lazily(`^\s*\d{1,2}\s*[-–]\s*\d{1,2}\s*$`)

// headsDays says whether a column's heading speaks of days or dates.
func (rf *roleFinder) headsDays(t *table, at int) bool {
	return rf.words.labelOf(t.g.over(t.head, at)).has("date", "dayhead", "week")
}

// rowWords says what the cells of a column say of their rows, if nearly all say
// the same sort of thing: "day", "meal", "when".
func (rf *roleFinder) rowWords(t *table, at int) string {
	n := 0
	count := map[string]int{}
	for r := t.h2 + 1; r < t.end; r++ {
		c := t.g.at(r, at)
		if c == nil {
			continue
		}
		n++
		l := rf.words.labelOf(c)
		switch {
		case c.Kind == Text && l.day >= 0 && rf.lang.saysWeight(c.Text): // "520kg taped Sunday"
		case c.Kind == Text && fromTo().MatchString(c.Text) && !rf.headsDays(t, at): // "10-3": hours
		case c.Kind == Date, l.day >= 0 && len(l.rest) == 0, len(l.dates) > 0 && len(l.rest) == 0 && !l.has("now", "plan") && len(l.feeds) == 0 && l.unit == "" && !fraction(l.dates[0]):
			count["day"]++
		case c.Kind == Text && rf.lang.saysSame(c.Text):
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

// notesByLook takes a column nobody can name for notes where its cells speak of an
// illness, or of a horse that is gone, and hold no work and no feed.
func (rf *roleFinder) notesByLook(t *table) {
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
			for _, x := range rf.lang.ills(c.Text) {
				if x.Sure && !x.Negated {
					speaks++
					break
				}
			}
			if c.Kind != Text || rf.lang.looksLikeFeed(c) || rf.lang.looksLikeWeight(c) {
				facts++
			}
		}
		if speaks > 0 && facts*3 <= n {
			k.settle(notesRole, "look ill")
		}
	}
}
