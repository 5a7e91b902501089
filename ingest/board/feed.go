package board

import (
	"cmp"
	"slices"

	"hardfeed/ingest/phrase"
)

// portion is so much of one feed at one meal, or in a day.
type portion struct {
	feed    string // folded name
	meal    string // "" the day's
	kg      float64
	known   bool // kg is
	count   float64
	measure string
	vague   bool // "a handful": not weighed, and no hard feed
	adLib   bool
	cell    *obs
	// Where it is written, for whoever writes another amount there.
	part phrase.Part
	at   *obs    // with the part's text: another than cell where that says "same" or "
	per  float64 // kg of one of what the part counts; 0 where it is not known
}

// ration is what a horse gets, now or as planned.
type ration struct {
	said     bool // something was written
	none     bool // that it gets nothing
	unknown  bool // something was written that could not be read
	first    *obs // the first cell that is of it; nil: there is none
	portions []portion
	days     []portion // of all days, where it is written day by day and is that of the last of them
}

// rationReader reads cells of feed and puts what they say into rations.
type rationReader struct {
	lang  *language
	words *vocabulary
	room  *feedRoom
	bare  *bareFigures
	asks  *questions
	read  map[amountSaid]phrase.Amount
}

// readAmount reads one cell of feed.
func (rr *rationReader) readAmount(o *obs) phrase.Amount {
	ctx := phrase.AmountContext{Unit: o.unit, Feed: o.feed, Meal: o.meal, Feeds: func(s string) bool { return rr.room.feeds[foldFeed(s)] != nil }}
	if ctx.Unit == "" {
		ctx.Unit = rr.bare.unitAround(o)
	}
	if o.cell.Kind == Number && o.cell.Unit != "" {
		ctx.Unit = o.cell.Unit
	}
	said := amountSaid{o.cell.Text, ctx.Unit, ctx.Feed, ctx.Meal, rr.room.changes}
	a, ok := rr.read[said]
	if !ok {
		a = rr.lang.w.Amounts(o.cell.Text, ctx)
		rr.read[said] = a
	}
	return a
}

// amountSaid is an amount with all that it is read by.
type amountSaid struct {
	text, unit, feed, meal string
	changes                int // of the feeds there are
}

// rationOf puts together what a horse's cells of feed say. now is what it is fed,
// for "same" and "+½"; nil while that itself is read.
func (rr *rationReader) rationOf(cells []*obs, now *ration) ration {
	var r ration
	taken := portionsTaken{}
	meals := map[string]bool{}
	for _, o := range cells {
		if o.meal != "" {
			meals[o.meal] = true
		}
	}
	var sameAsNone []*obs // say "same" of a meal there is none of now
	written := 0
	for _, o := range cells {
		a, src := rr.amountAt(o)
		o.use("what it is fed")
		if a.Empty() {
			continue
		}
		r.said = true
		written++
		ask := func(rule, why string) {
			r.unknown = true
			rr.asks.askCell(rule, o, why)
		}
		if rule, why := doubted(a); rule != "" {
			ask(rule, why)
			continue
		}
		switch {
		case a.Same:
			if !now.settled() {
				ask("amount-same", "same")
				continue
			}
			if !taken.from(now, func(p portion) bool { return rr.covers(o, p, meals) }, o, &r) {
				sameAsNone = append(sameAsNone, o)
			}
			if now.none {
				r.none = true
			}
		case a.None && o.lab != nil && o.lab.has("change") && now != nil && len(now.portions) > 0 && len(cells) == 1:
			ask("amount-doubt", "no change") // or nothing any more?
			continue
		case a.None:
			r.none = true
			continue
		}
		if len(a.Unread) > 0 {
			ask("amount-unread", "unread")
			continue
		}
		relative := false
		for _, p := range a.Parts {
			relative = relative || p.Relative != 0
		}
		if relative && !a.Same {
			if !now.settled() {
				ask("amount-same", "more than")
				continue
			}
			taken.from(now, func(p portion) bool { return rr.covers(o, p, meals) }, o, &r)
		}
		if changesSome(o, a, now) {
			ask("amount-doubt", "some meals")
			continue
		}
		for _, p := range a.Parts {
			rr.addPart(&r, o, src, p, now, ask)
		}
	}
	rr.sameInOtherMeals(&r, now, meals, sameAsNone, len(sameAsNone) == written)
	if len(r.portions) > 0 {
		r.none = false
	}
	rr.twiceInARow(&r)
	rr.linesAlike(&r)
	return r
}

// doubted is what has to be asked about an amount before anything is made of it.
func doubted(a phrase.Amount) (rule, why string) {
	switch {
	case a.Question || a.Alternative != nil:
		return "amount-doubt", "doubt"
	case a.Ditto:
		return "amount-same", "ditto"
	}
	return "", ""
}

// linesAlike asks where more lines of a horse than it can have meals without a name hold
// the same feed for no day and no meal: they may be days, and are not added up.
func (rr *rationReader) linesAlike(r *ration) {
	type what struct{ feed, meal string }
	lines := map[what]map[int]bool{}
	for _, p := range r.portions {
		k := what{p.feed, p.meal}
		if p.vague || p.cell.day >= 0 {
			continue
		}
		if lines[k] == nil {
			lines[k] = map[int]bool{}
		}
		if lines[k][p.cell.cell.Row] = true; len(lines[k]) > mostLooseLines {
			r.unknown = true
			rr.asks.askCell("amount-doubt", p.cell, "twice")
			return
		}
	}
}

// twiceInARow asks where two columns of a row each hold amounts of the same feed and
// nothing says that they are for different meals: they may be now and new.
func (rr *rationReader) twiceInARow(r *ration) {
	for i, p := range r.portions {
		for _, q := range r.portions[:i] {
			x, y := p.cell, q.cell
			if p.feed != q.feed || p.meal != q.meal || p.vague || x.col == nil || y.col == nil || x.col == y.col || x.table != y.table || x.row != y.row || x.day != y.day {
				continue
			}
			if x.head != nil && y.head != nil && x.head.Text == y.head.Text && x.col.group == y.col.group {
				r.unknown = true
				rr.asks.askCell("amount-doubt", x, "twice")
				return
			}
			if x.feed != "" || y.feed != "" || !x.cell.written() || !y.cell.written() || !x.lab.has("feed") || !y.lab.has("feed") {
				continue
			}
			r.unknown = true
			rr.asks.askCell("amount-doubt", x, "twice")
			return
		}
	}
}

// settled says whether a ration is known, for another to be the same or so much more.
func (r *ration) settled() bool { return r != nil && r.said && !r.unknown }

// mealBesides says whether a ration has something at a meal that is none of these.
func (r *ration) mealBesides(meals map[string]bool) bool {
	return slices.ContainsFunc(r.portions, func(p portion) bool { return !p.vague && p.meal != "" && !meals[p.meal] })
}

// sameInOtherMeals answers for "same" where the meals now go by other names than those of
// the plan: all of it is as now where every cell says so, and else it is asked.
func (rr *rationReader) sameInOtherMeals(r, now *ration, meals map[string]bool, cells []*obs, all bool) {
	if len(cells) == 0 || r.unknown || !now.mealBesides(meals) {
		return
	}
	if all {
		portionsTaken{}.from(now, func(portion) bool { return true }, cells[0], r)
		return
	}
	r.unknown = true
	for _, o := range cells {
		if o.meal != "" {
			rr.asks.askCell("amount-same", o, "same")
		}
	}
}

// portionsTaken are the portions of what is fed now that "same" has taken over: each
// counts once, however many cells say so.
type portionsTaken map[int]bool

// from takes over the portions of now that a cell speaks of, and says whether there are any.
func (t portionsTaken) from(now *ration, speaksOf func(portion) bool, o *obs, r *ration) (any bool) {
	for i, p := range now.portions {
		if !speaksOf(p) {
			continue
		}
		any = true
		if t[i] {
			continue
		}
		t[i], p.cell = true, o
		r.portions = append(r.portions, p)
	}
	return any
}

// covers says whether a cell that says "same" speaks of a portion.
func (rr *rationReader) covers(o *obs, p portion, meals map[string]bool) bool {
	if o.joint && (o.span.Col2 > o.span.Col1 && !o.turned() || o.span.Row2 > o.span.Row1 && o.turned()) {
		return true // it is joined over several columns
	}
	feed := o.feed
	if feed == "" && o.head != nil && o.col != nil {
		feed = rr.words.labelOf(o.head).hint
		if !rr.room.isFeedOfBook(feed) || !o.besideOthers() {
			feed = ""
		}
	}
	if feed != "" && rr.room.feedKeyOf(feed) != p.feed {
		return false
	}
	return o.meal == "" || o.meal == p.meal || p.meal == "" && len(meals) < 2
}

// addPart adds one item of a cell to a ration.
func (rr *rationReader) addPart(r *ration, o, src *obs, p phrase.Part, now *ration, ask func(rule, why string)) {
	meal := p.Meal
	if meal == "" && o.meals < 2 {
		meal = o.meal
	}
	if p.Same {
		r.addSame(now, meal, o)
		return
	}
	name := rr.feedOfPart(o, p, now, meal)
	if name == "" {
		ask("amount-feed", "no feed")
		return
	}
	key := p.FeedKey
	if key == "" {
		key, _ = rr.lang.t.Has(name, "feeds")
	}
	if key == "medicine" {
		return // no feed
	}
	f := rr.room.feedNamed(name, key, o)
	rr.room.feeds[f].uses++
	q := portion{feed: f, meal: meal, cell: o, part: p, at: src}
	switch {
	case p.AdLib:
		q.adLib = true
		r.portions = append(r.portions, q)
		return
	case p.Vague != "" || !p.Known:
		if notHard(key) {
			rr.addVague(r, q)
		} else {
			ask("amount-vague", "vague")
		}
		return
	case p.High != 0 || p.Other != 0:
		ask("amount-doubt", "range")
		return
	}
	unit := rr.unitOfPart(o, p)
	if unit == "" {
		ask("amount-unit", "unit")
		return
	}
	times, why := rr.bare.timesOfPart(o, p, meal)
	if why != "" {
		ask("amount-times", why)
		return
	}
	if p.Size != "" {
		rr.asks.noteSize(o, p)
	}
	kg, ok := rr.room.kgOf(unit, f)
	q.count, q.measure = p.Value*times, unit
	if !ok {
		if notHard(key) {
			rr.addVague(r, q)
			return
		}
		rr.askMeasure(f, unit, o)
		r.unknown = true
		return
	}
	q.kg, q.known, q.per = p.Value*times*kg, true, times*kg
	switch {
	case p.Relative == 0:
		r.portions = append(r.portions, q)
	case !r.change(q, p.Relative < 0):
		ask("amount-doubt", "less than nothing")
	}
}

// addSame takes over what a horse gets now, at one meal or at all.
func (r *ration) addSame(now *ration, meal string, o *obs) {
	if now == nil {
		return
	}
	for _, q := range now.portions {
		if meal == "" || q.meal == meal {
			q.cell = o
			r.portions = append(r.portions, q)
		}
	}
}

// addVague adds what nobody weighs and what is no hard feed: a handful of chaff.
func (rr *rationReader) addVague(r *ration, q portion) {
	q.vague = true
	rr.asks.noteVague(q.cell, rr.room.feeds[q.feed].name)
	r.portions = append(r.portions, q)
}

// change adds more or less of a feed to what of it is in a ration, and says whether it
// could: nothing can be taken from nothing.
func (r *ration) change(q portion, less bool) bool {
	if less {
		q.kg, q.count = -q.kg, -q.count
	}
	for i := range r.portions {
		x := &r.portions[i]
		if x.feed != q.feed || x.meal != q.meal && q.meal != "" && x.meal != "" || !x.known {
			continue
		}
		x.kg += q.kg
		x.count += q.count
		if x.kg < 0 {
			x.kg, x.count = 0, 0
		}
		return true
	}
	if q.kg < 0 {
		return false
	}
	r.portions = append(r.portions, q)
	return true
}

// feedOfPart is the feed an amount is of: what its cell says, its heading, the book, or
// the one feed the horse gets now; "" where nothing says it.
func (rr *rationReader) feedOfPart(o *obs, p phrase.Part, now *ration, meal string) string {
	if name := cmp.Or(p.Feed, o.feed); name != "" {
		return name
	}
	if p.Relative != 0 && now != nil { // more of what it gets at that meal
		if name := rr.room.onlyFeed(now, func(q portion) bool { return meal == "" || q.meal == meal || q.meal == "" }); name != "" {
			return name
		}
	}
	name := ""
	if p.Vague == "" {
		if name := rr.room.feedOfMeasure(rr.unitOfPart(o, p)); name != "" {
			return name
		}
		name = rr.bare.feed
		if o.table != nil && o.table.feed != "" {
			name = o.table.feed
		}
	}
	if name == "" && o.lab != nil {
		name = o.lab.hint
	}
	if name == "" && now != nil {
		name = rr.room.onlyFeed(now, func(portion) bool { return true })
	}
	return name
}

// unitOfPart is what an amount is counted in; "" where nobody says.
func (rr *rationReader) unitOfPart(o *obs, p phrase.Part) string {
	if unit := cmp.Or(p.Unit, o.unit, rr.bare.unitAround(o)); unit != "" {
		return unit
	}
	if len(rr.room.measures) == 1 {
		return rr.room.measures[0]
	}
	return ""
}

// amountAt reads a cell; a ditto mark is what is above it.
func (rr *rationReader) amountAt(o *obs) (phrase.Amount, *obs) {
	if !ditto(o.cell.Text) {
		return rr.readAmount(o), o
	}
	above := o.above()
	if above == nil {
		return phrase.Amount{Ditto: true}, o
	}
	above.use("")
	return rr.amountAt(above)
}

// askMeasure asks what one measure of a feed weighs, once: at the legend, where
// there is one.
func (rr *rationReader) askMeasure(feed, unit string, o *obs) {
	a := ask{rule: "measure-weight", word: o.cell.Text, feed: rr.room.feeds[feed].name, unit: unit, at: o, cell: o.cell, sheet: o.sheet}
	if rr.room.legend != nil {
		a.cell, a.sheet, a.word = rr.room.legend, rr.room.legendSheet, rr.room.legend.Text
	}
	rr.asks.add("measure\x00"+feed+"\x00"+unit, a)
}

// changesSome says whether a cell of changes speaks of some of the meals a horse gets now
// and of no others: they may stay as they are, or fall away.
func changesSome(o *obs, a phrase.Amount, now *ration) bool {
	if now == nil || o.lab == nil || !o.lab.has("change") || o.meal != "" || len(a.Parts) == 0 {
		return false
	}
	if !slices.ContainsFunc(a.Parts, func(p phrase.Part) bool { return p.Relative == 0 }) {
		return false // "+½ scoop pm" is added to what it gets: the other meals stay
	}
	named := map[string]bool{}
	for _, p := range a.Parts {
		if p.Meal == "" || p.Same {
			return false
		}
		named[p.Meal] = true
	}
	return slices.ContainsFunc(now.portions, func(p portion) bool { return p.meal != "" && !named[p.meal] })
}
