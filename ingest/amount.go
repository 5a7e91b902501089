package ingest

import (
	"fmt"
	"strings"

	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

var adLibWords = map[string]bool{"ad lib": true, "adlib": true, "ad-lib": true, "ad libitum": true, "free": true, "free choice": true, "unlimited": true, "as much as it eats": true, "always there": true, "ad lib.": true}

// readAmount reads an amount cell. Something that is there and cannot be
// read stays Given without a Kg: it is not zero.
func (r *reader) readAmount(t *table, c xlsx.Cell, col column, h *yard.Horse, feed string, planned bool) yard.Amount {
	if blank(c) {
		return yard.Amount{}
	}
	x := amountCell{r: r, c: c, col: col, sheet: t.sheet.Name, name: feed, a: yard.Amount{Given: true, Cell: t.sheet.place(c)}}
	if i, ok := r.feedAt[fold(feed)]; ok {
		x.feed, x.listed = r.week.Feeds[i], true
	}
	rule, why := x.read()
	if rule == "" {
		return x.a
	}
	if r.dated != nil && r.dated.past() {
		r.dated.unread(h.Name, c)
		x.a.Kg, x.a.Measures = yard.Num{}, yard.Num{}
		return x.a
	}
	key, sev := "finding.amount.now", yard.Warn
	if planned {
		key, sev = "finding.amount.planned", yard.Stop
	}
	at := x.a.Cell
	r.find(rule, sev, h.Name, at, yard.Say(key, yard.FeedArg("feed", feed), yard.Said("why", why)))
	if planned {
		h.NoCard = append(h.NoCard, yard.Say("why.amount planned", yard.FeedArg("feed", feed), wrote("wrote", c.Shown), yard.Named("ref", yard.Place, at.Ref), yard.Named("sheet", yard.Place, at.Sheet)))
	}
	x.a.Kg, x.a.Measures = yard.Num{}, yard.Num{}
	return x.a
}

// amountCell is a cell with the amount of a feed. Its steps give the rule that was
// offended, and why; an empty rule where all is well.
type amountCell struct {
	r      *reader
	c      xlsx.Cell
	col    column
	sheet  string
	name   string    // of the feed, as the sheet has it
	feed   yard.Feed // of the feed room
	listed bool      // it is there
	a      yard.Amount
}

func (x *amountCell) read() (rule string, why yard.Saying) {
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
	read, seen := x.r.amounts[key]
	if !seen { // the same amount of a feed stands in many cells
		read.q, read.rule, read.why = x.inText()
		x.r.amounts[key] = read
	}
	return read.q, read.rule, read.why
}

func (x *amountCell) inText() (q Quantity, rule string, why yard.Saying) {
	q, rule, why = quantityOf(x.c)
	if n, name, ok := x.r.inMeasures(x.c.Shown); ok {
		return Quantity{n, name}, "", why
	}
	n, ok, changed, how := x.r.amountInWords(x.c.Shown, x.name)
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
	if kgPer[unit] != 0 || litresPer[unit] != 0 || unit == "measure" || x.r.measure(unit) != nil {
		return unit
	}
	return ""
}

// bareUnit is the unit of a number that has none anywhere. Hay is weighed; what is
// dished out by a measure of known weight is counted in measures.
func (x *amountCell) bareUnit() (unit, rule string, why yard.Saying) {
	assumed := func(key, says string) {
		x.r.once(fmt.Sprint(key, x.sheet, x.col.col), "unit-assumed", yard.Note, x.a.Cell, yard.Say(says, wrote("heading", x.col.cell.Shown)))
	}
	switch class := x.feed.Class; {
	case class == yard.Oil || class == yard.Salt || class == yard.Supplement:
		return "", "cell-unit", yard.Say("part.amount.no unit", wrote("wrote", x.c.Shown), yard.Named("class", yard.Term, string(class)))
	case x.feed.MeasureKg.IsKnown() && class != yard.Forage:
		assumed("bare measure ", "finding.unit-assumed.measures")
		return "measure", "", why
	case x.r.week.Imperial:
		return "", "cell-unit", yard.Say("part.amount.no unit pounds", wrote("wrote", x.c.Shown))
	case class != yard.Forage:
		assumed("bare kg ", "finding.unit-assumed.kilograms")
	}
	return "kg", "", why
}

// in takes an amount in a unit as kilograms or as the feed's own measures.
func (x *amountCell) in(v float64, unit string) (rule string, why yard.Saying) {
	own := x.feed.MeasureName
	if own == "" && len(x.r.week.Measures) > 0 {
		own = x.r.week.Measures[0].Name
	}
	switch m := x.r.measure(unit); {
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
	if o := x.r.measure(own); o != nil {
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
	ours := x.r.measure(own)
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
