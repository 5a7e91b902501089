package ingest

import (
	"strings"

	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// mostKg is the largest daily amount of one feed that can be right: what a big
// draught horse eats of hay or haylage, with room to spare (common practice, no
// source).
const mostKg = 40

func (r *reader) readRations() {
	for i := range r.tables[rationsKind] {
		t := &r.tables[rationsKind][i]
		r.headings(t)
		dated := r.datedRations(t)
		r.dated = dated
		var above struct {
			name string
			row  int
			cell xlsx.Cell
		}
		r.rowsOf(t, "horse", func(rw xlsx.Row) {
			nameCell := t.cell(rw, "horse")
			name := r.nameOf(t, nameCell, "horse")
			feedCell := t.cell(rw, "feed")
			feed := r.nameOf(t, feedCell, "feed")
			if name == "" && nameCell.Kind == xlsx.Empty {
				// A block a horse with the name in its first row, joined or not.
				m, joined := t.sheet.Merged(rw.N, nameColumn(t))
				switch {
				case joined && above.name != "" && m.Row1 <= above.cell.Row && m.Row2 >= rw.N, above.name != "" && above.row == rw.N-1:
					name, nameCell = above.name, above.cell
					if !joined && feed != "" {
						r.once("filled "+t.sheet.Name, "name-above", yard.Note, t.sheet.place(feedCell),
							yard.Say("finding.name-above"))
					}
				default:
					r.find("name-missing", yard.Warn, "", t.sheet.place(rw.Cells[0]), yard.Say("finding.name-missing.ration", yard.Said("line", t.line(rw))))
					return
				}
			}
			if name == "" {
				above.name = ""
				return
			}
			above.name, above.row, above.cell = name, rw.N, nameCell
			if dated != nil && !dated.begin(rw, r.horseCalled(name)) {
				return
			}
			h := r.horseNamed(t, nameCell, name, yard.Warn)
			if h == nil {
				r.maybeFed(t, rw, nameCell, name)
				return
			}
			if dated != nil && dated.past() {
				then := *h // what is wrong with a week that is over is nothing of today's horse
				h = &then
			} else {
				r.fedHorse[h.Name] = true
			}
			if !t.has("feed") {
				r.readFeedColumns(t, rw, h)
				return
			}
			if feed == "" {
				switch {
				case feedCell.Kind != xlsx.Empty || !r.amountsGiven(t, rw):
				case dated != nil && dated.past():
					dated.unread(h.Name, nameCell)
				default:
					r.find("name-missing", yard.Stop, h.Name, t.sheet.place(nameCell), yard.Say("finding.name-missing.ration feed", yard.Said("line", t.line(rw)), yard.Named("horse", yard.HorseName, h.Name)))
					h.NoCard = append(h.NoCard, yard.Say("why.amount without feed", yard.Said("line", t.line(rw))))
				}
				return
			}
			r.readLine(t, rw, h, feed, feedCell)
		})
		if r.dated = nil; dated != nil {
			dated.finish()
		}
	}
}

// maybeFed is a row whose name is not a horse's. Where it is nearly one's, that horse
// may be fed what it says: what it gets is then not known, which is not nothing.
func (r *reader) maybeFed(t *table, rw xlsx.Row, nameCell xlsx.Cell, name string) {
	key := "maybe " + t.sheet.Name + plainName(name)
	if r.noted[key] || !r.amountsGiven(t, rw) || r.found[[2]string{"horse-unknown", ""}] > mostFindings {
		return
	}
	r.noted[key] = true
	if near := r.names.near(name); near != "" {
		h := &r.week.Horses[r.names.at[plainName(near)]]
		h.NoCard = append(h.NoCard, yard.Say("why.maybe fed", wrote("wrote", name), yard.Named("ref", yard.Place, t.sheet.place(nameCell).Ref)))
	}
}

func (r *reader) amountsGiven(t *table, rw xlsx.Row) bool {
	for _, c := range t.cols {
		if (c.key == "now" || c.key == "planned" || c.meal != "" || c.feed != "") && !blank(rw.At(c.col)) {
			return true
		}
	}
	return false
}

func (r *reader) readLine(t *table, rw xlsx.Row, h *yard.Horse, feed string, feedCell xlsx.Cell) {
	feed = r.feedNamed(feed)
	base := yard.Line{Horse: h.Name, Feed: feed, Cell: t.sheet.place(feedCell)}
	if why, ok := r.badFeed[fold(feed)]; ok {
		h.NoCard = append(h.NoCard, why)
	}
	base.Meal = r.mealOf(t, rw, h)
	base.Since = r.takeDate(t, t.cell(rw, "since"), yard.Say("field.date.since"), h.Name)
	amount := func(col column, planned bool) yard.Amount {
		return r.readAmount(t, rw.At(col.col), col, h, feed, planned)
	}
	// The day's amounts, or the meal's where the row names one.
	if col, ok := t.col("now"); ok {
		base.Now = amount(col, false)
	}
	if col, ok := t.col("planned"); ok {
		if c := rw.At(col.col); base.Now.Given && r.sameAsNow(c) {
			base.Planned = base.Now
			base.Planned.Cell = t.sheet.place(c)
		} else {
			base.Planned = amount(col, true)
		}
	}
	var byMeal []yard.Line
	at := map[string]int{}
	for _, col := range t.cols {
		if col.meal == "" || blank(rw.At(col.col)) {
			continue
		}
		meal := r.mealNamed(col.meal, t.sheet.place(col.cell))
		i, ok := at[meal]
		if !ok {
			i = len(byMeal)
			at[meal] = i
			byMeal = append(byMeal, yard.Line{Horse: h.Name, Feed: feed, Meal: meal, Since: base.Since, Cell: base.Cell})
		}
		if col.planned {
			byMeal[i].Planned = amount(col, true)
		} else {
			byMeal[i].Now = amount(col, false)
		}
	}
	// A total beside the meals it is made of would count the feed twice.
	now, planned := false, false
	for _, l := range byMeal {
		now, planned = now || l.Now.Given, planned || l.Planned.Given
	}
	if now && base.Now.Given {
		r.find("amount-twice", yard.Warn, h.Name, base.Now.Cell, yard.Say("finding.amount-twice", yard.Named("horse", yard.HorseName, h.Name), yard.FeedArg("feed", feed)))
		base.Now = yard.Amount{}
	}
	if planned && base.Planned.Given {
		r.find("amount-twice", yard.Warn, h.Name, base.Planned.Cell, yard.Say("finding.amount-twice.planned", yard.Named("horse", yard.HorseName, h.Name), yard.FeedArg("feed", feed)))
		base.Planned = yard.Amount{}
	}
	if len(byMeal) == 0 || base.Now.Given || base.Planned.Given {
		r.addLine(t, h, base)
	}
	for _, l := range byMeal {
		r.addLine(t, h, l)
	}
}

// mealOf is the meal a row, or else its sheet, is about.
func (r *reader) mealOf(t *table, rw xlsx.Row, h *yard.Horse) string {
	if m := r.word(t, t.cell(rw, "meal"), yard.Say("field.meal"), h.Name); m != "" {
		return r.mealNamed(m, t.sheet.place(t.cell(rw, "meal")))
	}
	for _, name := range []string{t.title.Shown, t.sheet.Name} {
		for _, m := range r.week.Meals {
			if plainName(m.Name) == plainName(name) {
				return m.Name
			}
		}
	}
	return ""
}

// feedNamed gives the feeds sheet's own spelling of a feed.
func (r *reader) feedNamed(name string) string {
	if i, ok := r.feedAt[fold(name)]; ok {
		return r.week.Feeds[i].Name
	}
	if r.feedsLike == nil {
		r.feedsLike = map[string][]string{}
		for _, f := range r.week.Feeds {
			r.feedsLike[plainName(f.Name)] = append(r.feedsLike[plainName(f.Name)], f.Name)
		}
	}
	if same := r.feedsLike[plainName(name)]; len(same) == 1 {
		return same[0]
	}
	return name
}

// readFeedColumns reads a row of a sheet with a column a feed.
func (r *reader) readFeedColumns(t *table, rw xlsx.Row, h *yard.Horse) {
	rowMeal := r.mealOf(t, rw, h)
	at := map[[2]string]int{}
	var lines []yard.Line
	for _, col := range t.cols {
		c := rw.At(col.col)
		if col.feed == "" || blank(c) {
			continue
		}
		feed := r.feedNamed(col.feed)
		meal := rowMeal
		if col.meal != "" {
			meal = r.mealNamed(col.meal, t.sheet.place(col.cell))
		}
		if why, ok := r.badFeed[fold(feed)]; ok {
			h.NoCard = append(h.NoCard, why)
		}
		i, ok := at[[2]string{feed, meal}]
		if !ok {
			i = len(lines)
			at[[2]string{feed, meal}] = i
			lines = append(lines, yard.Line{Horse: h.Name, Feed: feed, Meal: meal, Cell: t.sheet.place(col.cell)})
		}
		a := r.readAmount(t, c, col, h, feed, col.planned)
		switch {
		case col.planned && !lines[i].Planned.Given:
			lines[i].Planned = a
		case !col.planned && !lines[i].Now.Given:
			lines[i].Now = a
		default: // the same feed in two columns: both are fed
			l := yard.Line{Horse: h.Name, Feed: feed, Meal: meal, Cell: t.sheet.place(col.cell), Now: a}
			if col.planned {
				l.Now, l.Planned = yard.Amount{}, a
			}
			lines = append(lines, l)
		}
	}
	for _, l := range lines {
		r.addLine(t, h, l)
	}
}

// addLine takes a line into the week. The same feed of a horse on two sheets is
// more likely written down twice than fed twice.
func (r *reader) addLine(t *table, h *yard.Horse, l yard.Line) {
	if r.dated != nil {
		r.dated.add(l)
		return
	}
	key := h.Name + "\x00" + fold(l.Feed) + "\x00" + fold(l.Meal)
	if from, ok := r.lineFrom[key]; ok && from != t.sheet.Name && (l.Now.Given || l.Planned.Given) {
		r.find("ration-twice", yard.Stop, h.Name, l.Cell, yard.Say("finding.ration-twice", yard.FeedArg("feed", l.Feed), yard.Named("horse", yard.HorseName, h.Name), yard.Named("first", yard.Place, from), yard.Named("second", yard.Place, t.sheet.Name)))
		h.NoCard = append(h.NoCard, yard.Say("why.ration-twice", yard.FeedArg("feed", l.Feed), yard.Named("first", yard.Place, from), yard.Named("second", yard.Place, t.sheet.Name)))
	} else if !ok {
		r.lineFrom[key] = t.sheet.Name
	}
	if r.week.Lines == nil {
		r.week.Lines = make([]yard.Line, 0, r.rowsIn(rationsKind))
	}
	r.week.Lines = append(r.week.Lines, l)
}

// mealNamed gives the yard's own spelling of a meal. One the yard does not have
// is added, so that nothing fed is lost, and reported unless the yard sheet
// names no meals at all.
func (r *reader) mealNamed(name string, at yard.Cell) string {
	var known []string
	for _, m := range r.week.Meals {
		if fold(m.Name) == fold(name) {
			return m.Name
		}
		known = append(known, m.Name)
	}
	if len(r.week.Meals) > mostMeals {
		return strings.TrimSpace(name) // refused in the end
	}
	if m := r.onlyMealOf(fold(name)); r.mealsSet && m != "" {
		r.once("meal "+fold(name), "meal-unknown", yard.Note, at, yard.Say("finding.meal-unknown.half", yard.Words("wrote", strings.TrimSpace(name)), yard.Named("meal", yard.Term, m)))
		return m
	}
	if r.mealsSet {
		near := ""
		if len(name) > 2 {
			near = nearest(name, known)
		}
		r.once("meal "+fold(name), "meal-unknown", yard.Warn, at, orNear("finding.meal-unknown", near, wrote("wrote", name), someNames("known", known)))
	}
	r.week.Meals = append(r.week.Meals, yard.Meal{Name: strings.TrimSpace(name), Minute: -1})
	return strings.TrimSpace(name)
}

// onlyMealOf is the yard's one meal before noon, or after, where a name says no more
// than that; empty where there are more, none, or one without a time.
func (r *reader) onlyMealOf(half string) (only string) {
	var after bool
	switch half {
	case "am", "a.m.", "morning":
	case "pm", "p.m.", "evening", "night":
		after = true
	default:
		return ""
	}
	for _, m := range r.week.Meals {
		switch {
		case m.Minute < 0:
			return ""
		case m.Minute >= 12*60 != after:
		case only != "":
			return ""
		default:
			only = m.Name
		}
	}
	return only
}

// measure finds one of the yard's measures by a unit word, "scoop" or "jugs";
// "scoop" is also the only measure with that word in its name.
func (r *reader) measure(word string) *yard.Measure {
	word = singular(fold(word))
	if word == "" {
		return nil
	}
	var like *yard.Measure
	several := false
	for i := range r.week.Measures {
		m := &r.week.Measures[i]
		name := singular(fold(m.Name))
		if name == word {
			return m
		}
		if strings.HasSuffix(name, " "+word) {
			several = several || like != nil
			like = m
		}
	}
	if several {
		return nil
	}
	return like
}

// inMeasures reads "2 large scoops" where the yard has a measure of that name.
func (r *reader) inMeasures(text string) (n float64, name string, ok bool) {
	s := singular(fold(text))
	for _, m := range r.week.Measures {
		if head, found := strings.CutSuffix(s, singular(fold(m.Name))); found {
			if v, err := ParseNumber(head); err == nil && v >= 0 {
				return v, m.Name, true
			}
		}
	}
	return 0, "", false
}
