package ingest

import (
	"fmt"
	"strings"

	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/phrase"
	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

var adLibWords = map[string]bool{"ad lib": true, "adlib": true, "ad-lib": true, "ad libitum": true, "free": true, "free choice": true, "unlimited": true, "as much as it eats": true, "always there": true, "ad lib.": true}

// amountReader reads the cells with the amounts of feeds.
type amountReader struct {
	log      *log
	measures measures
	imperial bool // the yard works in pounds
	room     *feedRoom
	read     map[[2]string]amountRead // by text and feed
	same     map[string]bool          // texts of planned amounts: nothing changes
}

func newAmountReader(said *log, ms measures, imperial bool, room *feedRoom) *amountReader {
	return &amountReader{log: said, measures: ms, imperial: imperial, room: room, read: map[[2]string]amountRead{}, same: map[string]bool{}}
}

// amount reads an amount cell. Something that is there and cannot be read stays Given
// without a Kg: it is not zero. Rule and why say what is wrong with it.
func (r *amountReader) amount(t *table, c xlsx.Cell, col column, feed string) (a yard.Amount, rule string, why yard.Saying) {
	if blank(c) {
		return a, "", why
	}
	x := amountCell{by: r, c: c, col: col, sheet: t.sheet.Name, name: feed, a: yard.Amount{Given: true, Cell: t.sheet.place(c)}}
	x.feed, x.listed = r.room.find(feed)
	if rule, why = x.take(); rule != "" {
		x.a.Kg, x.a.Measures = yard.Num{}, yard.Num{}
	}
	return x.a, rule, why
}

// amountCell is a cell with the amount of a feed. Its steps give the rule that was
// offended, and why; an empty rule where all is well.
type amountCell struct {
	by     *amountReader
	c      xlsx.Cell
	col    column
	sheet  string
	name   string    // of the feed, as the sheet has it
	feed   yard.Feed // of the feed room
	listed bool      // it is there
	a      yard.Amount
}

func (x *amountCell) take() (rule string, why yard.Saying) {
	if x.c.Kind == xlsx.Text {
		switch w := fold(x.c.Shown); {
		case adLibWords[w]:
			x.a.AdLib = true
			return "", why
		case w == "none" || w == "nil" || w == "no" || w == "nothing":
			x.a.Kg = yard.Known(0)
			return "", why
		}
	}
	q, rule, why := x.number()
	switch {
	case rule != "":
		return rule, yard.Say("part.amount.unread", yard.Said("why", why))
	case q.Value < 0:
		return "cell-range", yard.Say("part.amount.negative", wrote("wrote", x.c.Shown))
	case q.Value == 0:
		x.a.Kg = yard.Known(0)
		return "", why
	}
	unit := x.unitOf(q)
	if unit == "" {
		if unit, rule, why = x.bareUnit(); rule != "" {
			return rule, why
		}
	}
	if rule, why = x.in(q.Value, unit); rule != "" {
		return rule, why
	}
	return x.weigh()
}

// amountRead is the text of an amount of a feed, read.
type amountRead struct {
	q    Quantity
	rule string
	why  yard.Saying
}

// number is the amount with its unit, as a number or in words.
func (x *amountCell) number() (q Quantity, rule string, why yard.Saying) {
	if x.c.Kind != xlsx.Text {
		return quantityOf(x.c)
	}
	key := [2]string{x.c.Shown, x.name}
	read, seen := x.by.read[key]
	if !seen { // the same amount of a feed stands in many cells
		read.q, read.rule, read.why = x.inText()
		x.by.read[key] = read
	}
	return read.q, read.rule, read.why
}

func (x *amountCell) inText() (q Quantity, rule string, why yard.Saying) {
	q, rule, why = quantityOf(x.c)
	if n, name, ok := x.by.measures.inText(x.c.Shown); ok {
		return Quantity{n, name}, "", why
	}
	n, ok, changed, how := x.by.inWords(x.c.Shown, x.name)
	switch {
	case changed != "":
		return q, changed, how
	case ok && rule != "":
		return n, "", why
	}
	return q, rule, why
}

// unitOf is the unit of the cell, else of the heading, where that is one.
func (x *amountCell) unitOf(q Quantity) string {
	if q.Unit != "" {
		return q.Unit
	}
	unit := unitName(x.col.heading.unit)
	if kgPer[unit] != 0 || litresPer[unit] != 0 || unit == "measure" || x.by.measures.named(unit) != nil {
		return unit
	}
	return ""
}

// bareUnit is the unit of a number that has none anywhere. Hay is weighed; what is
// dished out by a measure of known weight is counted in measures.
func (x *amountCell) bareUnit() (unit, rule string, why yard.Saying) {
	assumed := func(key, says string) {
		x.by.log.once(fmt.Sprint(key, x.sheet, x.col.col), "unit-assumed", yard.Note, x.a.Cell, yard.Say(says, wrote("heading", x.col.cell.Shown)))
	}
	switch class := x.feed.Class; {
	case class == yard.Oil || class == yard.Salt || class == yard.Supplement:
		return "", "cell-unit", yard.Say("part.amount.no unit", wrote("wrote", x.c.Shown), yard.Named("class", yard.Term, string(class)))
	case x.feed.MeasureKg.IsKnown() && class != yard.Forage:
		assumed("bare measure ", "finding.unit-assumed.measures")
		return "measure", "", why
	case x.by.imperial:
		return "", "cell-unit", yard.Say("part.amount.no unit pounds", wrote("wrote", x.c.Shown))
	case class != yard.Forage:
		assumed("bare kg ", "finding.unit-assumed.kilograms")
	}
	return "kg", "", why
}

// in takes an amount in a unit as kilograms or as the feed's own measures.
func (x *amountCell) in(v float64, unit string) (rule string, why yard.Saying) {
	own := x.feed.MeasureName
	if own == "" && len(x.by.measures) > 0 {
		own = x.by.measures[0].Name
	}
	switch m := x.by.measures.named(unit); {
	case kgPer[unit] != 0:
		x.a.Kg = yard.Known(exact(v * kgPer[unit]))
	case unit == "measure", m != nil && fold(m.Name) == fold(own):
		x.a.Measures = yard.Known(v)
	case m != nil:
		return x.inOther(v, m, own)
	case litresPer[unit] != 0:
		return x.inLitres(v*litresPer[unit], own)
	default:
		return "cell-unit", yard.Say("part.amount.unknown unit", yard.Words("unit", unit))
	}
	return "", why
}

// inOther takes an amount in another measure than the feed's own, by their volumes.
func (x *amountCell) inOther(v float64, m *yard.Measure, own string) (rule string, why yard.Saying) {
	theirs, known := m.Litres.Get()
	ours, ok := 0.0, false
	if o := x.by.measures.named(own); o != nil {
		ours, ok = o.Litres.Get()
	}
	if !known || !ok {
		return "cell-unit", yard.Say("part.amount.other measure", yard.Words("measure", m.Name), yard.FeedArg("feed", x.name), yard.Words("own", own))
	}
	x.a.Measures = yard.Known(v * theirs / ours)
	return "", why
}

// inLitres takes a volume: of oil by its density, else by the volume of the feed's own
// measure.
func (x *amountCell) inLitres(litres float64, own string) (rule string, why yard.Saying) {
	ours := x.by.measures.named(own)
	switch {
	case x.feed.Class == yard.Oil || !x.listed && strings.Contains(fold(x.name), "oil"):
		x.a.Kg = yard.Known(exact(litres * oilKgPerLitre))
	case ours != nil && ours.Litres.Or(0) > 0:
		x.a.Measures = yard.Known(litres / ours.Litres.Or(1))
	default:
		return "cell-unit", yard.Say("part.amount.volume", wrote("wrote", x.c.Shown))
	}
	return "", why
}

// weigh turns measures of known weight into kilograms, and believes no more of either
// than a horse could be given.
func (x *amountCell) weigh() (rule string, why yard.Saying) {
	if m, ok := x.a.Measures.Get(); ok {
		if one, ok := x.feed.MeasureKg.Get(); ok {
			x.a.Kg = yard.Known(exact(m * one))
		} else if m > mostMeasured {
			return "cell-range", yard.Say("part.amount.too many", yard.Figures("n", m, yard.NoUnit, 6))
		}
	}
	if kg, ok := x.a.Kg.Get(); ok && kg > mostKg {
		return "cell-range", yard.Say("part.amount.too much", yard.Figures("kg", kg, yard.NoUnit, 6), yard.Count("most", mostKg))
	}
	return "", why
}

// mostMeasured is how many measures of a feed a day are believed (common practice, no
// source).
const mostMeasured = 40

// inWords reads an amount of one feed as people write it, "two scoops", "2 x
// scoop", "1 sc twice a day", where it says one amount without a doubt. rule and
// why say what is wrong with one that is understood and is not an amount by itself.
func (r *amountReader) inWords(text, feed string) (q Quantity, ok bool, rule string, why yard.Saying) {
	known := func(words string) bool {
		_, listed := r.room.find(words)
		return listed || fold(words) == fold(feed)
	}
	a := cellWords().Amounts(text, phrase.AmountContext{Feeds: known})
	for _, p := range a.Parts {
		if p.Relative != 0 {
			return q, false, "cell-number", yard.Say("part.amount.change", wrote("wrote", text))
		}
	}
	if a.Question || a.Alternative != nil || a.Same || a.Ditto || a.None || a.AdLib || len(a.Unread) > 0 || len(a.Parts) != 1 {
		return q, false, "", why
	}
	p := a.Parts[0]
	if !p.Known || p.High != 0 || p.Other != 0 || p.Vague != "" || p.Meal != "" || p.PerFeed || p.GivenKg != 0 || p.Feed != "" && lexicon.Fold(p.Feed) != lexicon.Fold(feed) {
		return q, false, "", why
	}
	q = Quantity{p.Value, p.Unit}
	if p.Times > 1 && !p.PerDay {
		q.Value *= float64(p.Times)
	}
	if p.IsMeasure && p.UnitWord != "" {
		q.Unit = unitName(singular(fold(p.UnitWord)))
	}
	return q, true, "", why
}

// sameAsNow says whether a planned amount says that nothing changes.
func (r *amountReader) sameAsNow(c xlsx.Cell) bool {
	if c.Kind != xlsx.Text {
		return false
	}
	is, seen := r.same[c.Shown]
	if !seen {
		a := cellWords().Amounts(c.Shown, phrase.AmountContext{})
		is = a.Same && len(a.Parts) == 0 && len(a.Unread) == 0 && !a.Question
		r.same[c.Shown] = is
	}
	return is
}
