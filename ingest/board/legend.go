package board

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"hardfeed/ingest/phrase"
	"hardfeed/ingest/quantity"
)

// legendReader reads what a book defines for itself into its feed room and its figures.
type legendReader struct {
	words *vocabulary
	lang  *language
	room  *feedRoom
	bare  *bareFigures
}

// readLegends takes what lines and small tables beside the horses define: what a
// scoop weighs, how long a lesson is, what numbers alone mean. What she says wins
// over anything of ours.
func readLegends(p pages) (*feedRoom, *bareFigures) {
	lr := legendReader{words: p.words, lang: p.lang, room: newFeedRoom(p.lang), bare: &bareFigures{}}
	var defs []phrase.Definition
	take := func(s *sheetData, c *Cell, ds []phrase.Definition) {
		for _, d := range ds {
			defs = append(defs, d)
			lr.define(s, c, d)
		}
	}
	for _, s := range p.sheets {
		for i := range s.Sheet.Cells {
			c := &s.Sheet.Cells[i]
			if c.Kind != Text || !c.free() || len(c.Text) < 4 || len(c.Text) > 600 {
				continue
			}
			if ds := lr.legendTable(s, c); len(ds) > 0 {
				take(s, c, ds)
				continue
			}
			if ds := lr.legendColumn(s, c); len(ds) > 0 {
				take(s, c, ds)
				continue
			}
			if !mayDefine(s, c) {
				continue
			}
			ds := lr.lang.w.Define(c.Text)
			if _, inside, ok := strings.Cut(c.Text, "("); len(ds) == 0 && ok && strings.Contains(inside, "=") {
				ds = lr.lang.w.Define(strings.TrimRight(inside, ") "))
			}
			if len(ds) == 0 || !lr.isDefinition(s, c, ds) {
				continue
			}
			s.mark(c, "legend", "")
			take(s, c, ds)
		}
	}
	if len(defs) > 0 {
		p.lang.learn(defs)
		p.words.forget(p.sheets)
	}
	return lr.room, lr.bare
}

// mayDefine keeps single cells of tables from being taken for legends.
func mayDefine(s *sheetData, c *Cell) bool {
	if strings.Contains(c.Text, "=") {
		return true
	}
	alone := len(s.inRow(c.Row)) == 1
	return alone || len(c.Text) > 14
}

// isDefinition says whether what a text seems to define is meant so.
func (lr *legendReader) isDefinition(s *sheetData, c *Cell, ds []phrase.Definition) bool {
	if strings.Contains(c.Text, "=") {
		return true
	}
	alone := len(s.inRow(c.Row)) == 1
	if !alone && len(lr.lang.ills(c.Text)) > 0 {
		return false // "ulcers – on treatment" beside a horse is about the horse
	}
	weights, words, general := 0, 0, 0
	for _, d := range ds {
		switch d.Kind {
		case phrase.MeasureWeight:
			if d.Kg > 0 {
				weights++
			}
		case phrase.WorkLength, phrase.Meaning:
			words++
		default:
			general++
		}
	}
	gaps := slices.ContainsFunc([]string{"  ", "\n", ": ", " – "}, func(gap string) bool { return strings.Contains(c.Text, gap) })
	switch {
	case weights > 0:
		return lr.weighsFeeds(s, c)
	case words > 1 && gaps && (alone || c.Row < 8 || len(c.Text) > 30):
		return true
	case words == 1 && len(ds) == 1 && ds[0].Sure && alone:
		return true
	case words == 1 && alone && strings.ContainsAny(c.Text, ":–"):
		return false
	}
	return general > 0 && (alone || generalBeside(s, c, ds, general))
}

// weighsFeeds says whether a text with weights of feeds is a legend. "1.5 kg nuts, 100 ml
// oil, 30 g salt" in a horse's row is what it gets, and so is whatever names a meal.
func (lr *legendReader) weighsFeeds(s *sheetData, c *Cell) bool {
	if len(s.inRow(c.Row)) < 4 {
		return true
	}
	if slices.ContainsFunc(lr.lang.amount(c.Text).Parts, func(p phrase.Part) bool { return p.Meal != "" }) {
		return false
	}
	return c.Text[0] < '0' || c.Text[0] > '9' || !strings.ContainsAny(c.Text, ",+&;")
}

// generalBeside says whether a text in a row with others says of a whole sheet what its
// numbers are.
func generalBeside(s *sheetData, c *Cell, ds []phrase.Definition, general int) bool {
	if general == 1 && ds[0].Kind == phrase.BareWork && ds[0].Length.Minutes > 0 && s.cell(c.Row, c.Col-1) == nil && s.cell(c.Row, c.Col+1) == nil {
		return true
	}
	return apart(s, c) && !slices.ContainsFunc(ds, func(d phrase.Definition) bool { return d.Kind != phrase.BareWork && d.Kind != phrase.BareAmount })
}

// apart says whether nothing stands right beside a cell, nor above or below it.
func apart(s *sheetData, c *Cell) bool {
	for _, at := range [][2]int{{c.Row, c.Col - 1}, {c.Row, c.Col + 1}, {c.Row - 1, c.Col}, {c.Row + 1, c.Col}} {
		if s.cell(at[0], at[1]) != nil {
			return false
		}
	}
	return true
}

// define keeps one definition.
func (lr *legendReader) define(s *sheetData, c *Cell, d phrase.Definition) {
	switch d.Kind {
	case phrase.MeasureWeight:
		if d.Kg <= 0 {
			return
		}
		if d.Measure != "" && !slices.Contains(lr.room.measures, d.Measure) {
			lr.room.measures = append(lr.room.measures, d.Measure)
		}
		if lr.room.legend == nil {
			lr.room.legend, lr.room.legendSheet = c, s
		}
		if d.Feed == "" {
			lr.room.anyFeed[d.Measure] = d.Kg
			return
		}
		f := foldFeed(d.Feed)
		info := lr.room.feeds[f]
		if info == nil {
			info = lr.room.add(f, &feedInfo{name: strings.TrimSpace(d.Feed), key: d.FeedKey})
		}
		info.legend = true
		if was, ok := info.perKg[d.Measure]; ok && math.Abs(was-d.Kg) > 0.02*was {
			info.twice[d.Measure] = true // she says two things of it
		}
		info.perKg[d.Measure] = d.Kg
		lr.words.feeds[f] = d.Feed
	case phrase.BareWork:
		if d.Unit == "session" {
			lr.bare.sessionMin = d.Length.Minutes
		}
		s.bareWork = d.Unit
		if lr.bare.work == "" {
			lr.bare.work = d.Unit
		}
	case phrase.BareAmount:
		if d.Unit != "" && lr.lang.countable(d.Unit) {
			s.unit = d.Unit
			lr.bare.amount = d.Unit
		}
		if d.Feed != "" {
			lr.bare.feed = d.Feed
			lr.room.feedNamed(d.Feed, d.FeedKey, nil)
		}
	case phrase.PerFeed:
		n := d.Times
		if n == 0 {
			n = 2
		}
		lr.bare.perFeed = n
	}
}

// legendTable reads a small table of what a measure of each feed weighs: the
// measure over it, a feed and a number in each row below.
func (lr *legendReader) legendTable(s *sheetData, c *Cell) []phrase.Definition {
	measure := lr.words.measureAlone(c)
	if measure == "" {
		return nil
	}
	var out []phrase.Definition
	for r := c.Row + 1; r < c.Row+14; r++ {
		line := legendLine{s.cell(r, c.Col), s.cell(r, c.Col+1), s.cell(r, c.Col+2)}
		if !lr.isLegendLine(line) {
			break
		}
		ds := lr.weightsOfLine(line, measure)
		if len(ds) == 0 {
			break
		}
		out = append(out, ds...)
		s.mark(line.feed, "legend", "")
		s.mark(line.weight, "legend", "")
		if line.unitText() != "" {
			s.mark(line.unit, "legend", "")
		}
	}
	if len(out) > 0 {
		s.mark(c, "legend", "")
	}
	return out
}

// measureAlone is the measure a heading names and nothing besides; "" where it does not.
func (v *vocabulary) measureAlone(c *Cell) string {
	if len(c.Text) > 30 || strings.ContainsAny(c.Text, "½¼¾⅓⅔") {
		return ""
	}
	l := v.readCell(c)
	if l.unit == "" || !l.ones || len(l.feeds) > 0 || len(l.dates) > 0 || l.has("now", "plan", "weight", "feed", "hay", "total") {
		return ""
	}
	if _, mass := quantity.KgPer(l.unit); mass {
		return ""
	}
	if slices.ContainsFunc(l.rest, func(w string) bool { return !slices.Contains(besideMeasure, w) }) {
		return ""
	}
	return l.unit
}

// besideMeasure are the words that may be beside the measure over a list of what one
// weighs.
var besideMeasure = []string{"one", "level", "a", "un", "une", "una", "uno", "eine", "ein", "per", "each", "of", "1"}

// legendLine is a row of such a list.
type legendLine struct{ feed, weight, unit *Cell }

func (lr *legendReader) isLegendLine(x legendLine) bool {
	f, n := x.feed, x.weight
	if f == nil || n == nil || f.Kind != Text || hasDigit(f.Text) || dash(f.Text) || lr.lang.sameAsNow(f.Text) {
		return false
	}
	if lr.words.read(f.Text).unit != "" {
		return false // "half a bowl" is fed, and is no feed
	}
	return n.Kind == Number && n.Num > 0 || n.Kind != Number && hasDigit(n.Text)
}

// unitText is the unit behind the weight; "" where none is there.
func (x legendLine) unitText() string {
	if x.unit == nil || x.unit.Kind != Text || len(x.unit.Text) >= 10 {
		return ""
	}
	return x.unit.Text
}

// weightsOfLine is what a measure of the line's feed weighs.
func (lr *legendReader) weightsOfLine(x legendLine, measure string) []phrase.Definition {
	text := "1 " + measure + " " + x.feed.Text + " = " + x.weight.Text
	unit := x.unitText()
	switch {
	case unit != "":
		text += " " + unit
	case x.weight.Kind == Number:
		text += " " + cmp.Or(x.weight.Unit, "kg")
	}
	var out []phrase.Definition
	for _, d := range lr.lang.w.Define(text) {
		if d.Kind == phrase.MeasureWeight && d.Kg > 0 {
			d.Feed, d.Measure = cmp.Or(d.Feed, x.feed.Text), measure
			out = append(out, d)
		}
	}
	if len(out) > 0 {
		return out
	}
	v, err := strconv.ParseFloat(strings.ReplaceAll(x.weight.Text, ",", "."), 64)
	kg, known := quantity.KgPer(lr.lang.measureKey(foldWord(unit)))
	if unit == "" {
		kg, known = 1, true
	}
	if err != nil || !known {
		return nil
	}
	return []phrase.Definition{lr.weighing(measure, x.feed, v*kg)}
}

// weighing is a definition of what a measure of a feed weighs.
func (lr *legendReader) weighing(measure string, feed *Cell, kg float64) phrase.Definition {
	return phrase.Definition{Kind: phrase.MeasureWeight, Measure: measure, Feed: feed.Text, FeedKey: lr.lang.feedKey(foldWord(feed.Text)), Kg: kg}
}

// besideFeed says whether the text before a cell in its row, other amounts left out, is a
// feed: then "1 scoop" is what is fed of it, and no heading.
func (lr *legendReader) besideFeed(s *sheetData, c *Cell) bool {
	for col := c.Col - 1; col > 0; col-- {
		if k := s.cell(c.Row, col); k != nil && k.Kind == Text && !hasDigit(k.Text) && !dash(k.Text) {
			_, heading := lr.lang.t.Has(k.Text, "columns")
			return !heading && lr.lang.feedKey(foldWord(k.Text)) != ""
		}
	}
	return false
}

// legendColumn reads a column headed "1 scoop (kg)" beside a column of feeds.
func (lr *legendReader) legendColumn(s *sheetData, c *Cell) []phrase.Definition {
	if len(c.Text) > 40 || s.cell(c.Row+1, c.Col) == nil || !s.plainLeftOf(c.Row+1, c.Col) {
		return nil
	}
	measure, unit, ok := lr.lang.measureOver(c)
	if !ok || lr.besideFeed(s, c) {
		return nil
	}
	var out []phrase.Definition
	for r := c.Row + 1; r < c.Row+40; r++ {
		n, f := s.cell(r, c.Col), s.wordsLeftOf(r, c.Col)
		if n == nil || f == nil || len(f.Text) > 40 {
			break
		}
		if f.Text == lr.textOver(s, f) {
			return nil // a list of weights has each feed once
		}
		kg := lr.kgOfMeasure(n, unit)
		if kg <= 0 {
			break
		}
		out = append(out, lr.weighing(measure, f, kg))
		s.mark(f, "legend", "")
		if own := s.wordsLeftOf(r, f.Col); own != nil && own.Col == f.Col-1 && len(own.Text) <= 20 {
			out = append(out, lr.weighing(measure, own, kg)) // her word for it, before what it is
			s.mark(own, "legend", "")
		}
		s.mark(n, "legend", "")
	}
	if len(out) > 0 {
		s.mark(c, "legend", "")
	}
	return out
}

// textOver is what stands right above a cell.
func (lr *legendReader) textOver(s *sheetData, c *Cell) string {
	if k := s.cell(c.Row-1, c.Col); k != nil {
		return k.Text
	}
	return ""
}

// wordsLeftOf is the nearest text without figures left of a place.
func (d *sheetData) wordsLeftOf(row, col int) *Cell {
	for c := col - 1; c > 0; c-- {
		if k := d.cell(row, c); k != nil && k.Kind == Text && !hasDigit(k.Text) {
			return k
		}
	}
	return nil
}

// kgOfMeasure reads what one measure weighs out of a cell under a heading with a unit; 0
// where it says something else.
func (lr *legendReader) kgOfMeasure(n *Cell, unit string) float64 {
	per, mass := quantity.KgPer(unit)
	if !mass {
		per = 1
	}
	switch n.Kind {
	case Number:
		if k, ok := quantity.KgPer(n.Unit); ok {
			per = k
		}
		return n.Num * per
	case Text:
		a := lr.lang.w.Amounts(n.Text, phrase.AmountContext{Unit: unit})
		if len(a.Parts) != 1 || len(a.Unread) > 0 || a.Question || a.Parts[0].High != 0 || !a.Parts[0].Known {
			return 0
		}
		u := a.Parts[0].Unit
		k, mass := quantity.KgPer(u)
		if u != "" && u != unit && !mass {
			return 0 // scoops below a scoop are what is fed, not what one weighs
		}
		if mass {
			per = k
		}
		return a.Parts[0].Value * per
	}
	return 0
}

// plainLeftOf says whether a text without figures stands in a row left of a column.
func (d *sheetData) plainLeftOf(row, col int) bool {
	if d.plain == nil {
		d.plain = map[int]int{}
		for i := range d.Sheet.Cells {
			c := &d.Sheet.Cells[i]
			if first, ok := d.plain[c.Row]; c.Kind == Text && (!ok || c.Col < first) && !hasDigit(c.Text) {
				d.plain[c.Row] = c.Col
			}
		}
	}
	first, ok := d.plain[row]
	return ok && first < col
}
